/* What lies where on the sheets of a stock, in words. */
#include "exchange/render.h"

#include "sandglass/outline.h"

#include <math.h>
#include <stdio.h>

enum { CELL = 80, LISTED = 300 }; /* pieces of one sheet that are told one by one */

#define NO_BREAK '\x1f' /* for a blank at which no line is broken; no text of a shop holds it */

static const char *length(const struct sg_shop *shop, double mm, char out[CELL])
{
    int decimals = shop->units == SG_UNITS_US ? 3 : 1;
    sg_number_short(mm, sg_unit_of_shop(SG_DIM_LENGTH, shop->units), decimals, out, CELL);
    return out;
}

static const char *length_unit(const struct sg_shop *shop)
{
    return sg_unit_of_shop(SG_DIM_LENGTH, shop->units)->name;
}

double sg_sheet_used(const struct sg_shop *shop, int32_t first_part, const struct sg_plan_layout *layout,
                     const struct sg_layout_used *used, bool *by_boxes)
{
    const struct sg_layout_sheet *size = &layout->sizes[used->size];
    double area = 0;
    *by_boxes = false;
    for (int64_t i = 0; i < used->n_pieces; i++) {
        int32_t of = layout->placements[used->first + i].part;
        const struct sg_part *part = &shop->parts[first_part + of];
        const struct sg_layout_part *box = &layout->boxes[of];
        double drawn = part->outline == SG_UNKNOWN ? 0 : shop->drawn[part->outline].outline->area;
        bool boxed = !sg_known(part->area) && !(drawn > 0);
        area += sg_known(part->area) ? part->area : boxed ? box->length * box->width : drawn;
        *by_boxes = *by_boxes || boxed;
    }
    return area / (size->length * size->width);
}

void sg_used_words(const struct sg_shop *shop, int32_t first_part, const struct sg_plan_layout *layout,
                   const struct sg_layout_used *used, char *out, size_t size)
{
    bool by_boxes;
    double share = sg_sheet_used(shop, first_part, layout, used, &by_boxes);
    snprintf(out, size, "used %.0f %% (by %s)", 100 * share, by_boxes ? "boxes" : "areas");
}

/* From `at` for `side` mm: the place rounded up to what lengths show, the side down to a tenth of an inch or
 * a mm, so that what is said lies within what is left over. */
static void within(double at, double side, enum sg_unit_system units, char place[CELL],
                   char length_shown[CELL])
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_LENGTH, units);
    bool us = units == SG_UNITS_US;
    double fine = sg_to_canonical(us ? 0.001L : 0.1L, unit), coarse = sg_to_canonical(us ? 0.1L : 1.0L, unit);
    double from = ceil(at / fine - 1e-6) * fine;
    sg_number_short(from, unit, us ? 3 : 1, place, CELL);
    sg_number_short(fmax(0, floor((at + side - from) / coarse + 1e-6) * coarse), unit, 1, length_shown, CELL);
}

void sg_left_over_words(const struct sg_layout_used *used, enum sg_unit_system units, char *size_words,
                        char *place_words, size_t size)
{
    char x[CELL], y[CELL], a[CELL], b[CELL];
    within(used->drop_x, used->drop_length, units, x, a);
    within(used->drop_y, used->drop_width, units, y, b);
    snprintf(size_words, size, "%s x %s %s", a, b, sg_unit_of_shop(SG_DIM_LENGTH, units)->name);
    snprintf(place_words, size, "x %s y %s", x, y);
}

bool sg_is_left_over(const struct sg_layout_used *used)
{
    return used->drop_length >= SG_DROP_LEAST && used->drop_width >= SG_DROP_LEAST;
}

const char *sg_turn_words(bool turned, bool flipped)
{
    static const char *const words[] = {"", "turned 90", "turned 180", "turned 270"};
    return words[turned + 2 * flipped];
}

/* "20 of A, 36 of B". */
static void put_counts(struct sg_text *words, const struct sg_shop *shop, const struct sg_plan *plan,
                       const struct sg_sheets *sheets)
{
    for (int32_t i = sheets->first; i < sheets->first + sheets->n; i++) {
        int64_t cuts = 0;
        bool told = false;
        for (int32_t k = sheets->first; k < sheets->first + sheets->n; k++)
            if (plan->batches[k].part == plan->batches[i].part) {
                told = told || k < i;
                cuts += plan->batches[k].cuts;
            }
        if (!told)
            sg_text_format(words, "%s%lld of %s", i > sheets->first ? ", " : "", (long long)cuts,
                           shop->parts[plan->batches[i].part].id);
    }
}

static void put_figures(struct sg_text *words, const struct sg_shop *shop, int32_t first_part,
                        const struct sg_plan_layout *layout, const struct sg_layout_used *used)
{
    char a[CELL], b[CELL];
    const struct sg_layout_sheet *size = &layout->sizes[used->size];
    sg_used_words(shop, first_part, layout, used, a, sizeof a);
    sg_text_format(words, "; %s", a);
    sg_text_format(words, " of %s%s x %s %s", size->count < 0 ? "" : "a remnant ",
                   length(shop, size->length, a), length(shop, size->width, b), length_unit(shop));
    if (!sg_is_left_over(used))
        return;
    sg_left_over_words(used, shop->units, a, b, sizeof a);
    sg_text_format(words, "; left over %s at %s", a, b);
}

/* "1 A x 0.25 y 0.25 turned 90": where the corner of each piece's box lies, in cutting order. */
static void put_pieces(struct sg_text *words, const struct sg_shop *shop, const struct sg_stock *stock,
                       const struct sg_plan_layout *layout, const struct sg_layout_used *used)
{
    char x[CELL], y[CELL];
    for (int64_t i = 0; i < used->n_pieces && i < LISTED; i++) {
        const struct sg_placement *placement = &layout->placements[used->first + i];
        const char *turn = sg_turn_words(placement->turned, placement->flipped);
        sg_text_format(words, "%s%lld %s x %s y %s%s%s", i > 0 ? ", " : "", (long long)i + 1,
                       shop->parts[stock->first_part + placement->part].id, length(shop, placement->x, x),
                       length(shop, placement->y, y), turn[0] ? " " : "", turn);
    }
    if (used->n_pieces > LISTED)
        sg_text_format(words, ", and %lld more", (long long)used->n_pieces - LISTED);
}

/* As sg_wrap, but lines are broken behind commas only, so that a piece stays on one: "16 A x 23 y 27.25". */
static void wrap_pieces(struct sg_text *out, const char *first, int width, struct sg_text *words)
{
    size_t from = out->length;
    for (size_t i = 1; i < words->length; i++)
        if (words->data[i] == ' ' && words->data[i - 1] != ',')
            words->data[i] = NO_BREAK;
    sg_wrap(out, first, 4, width, words->data);
    for (size_t i = from; i < out->length; i++)
        if (out->data[i] == NO_BREAK)
            out->data[i] = ' ';
}

/* A layout counts stacks. Where remnants are taken instead of a whole sheet they may be more. */
int64_t sg_spared_sheets(const struct sg_stock *stock, const struct sg_plan_layout *layout)
{
    int64_t spared = layout ? (layout->sheets_of_boxes - layout->sheets) * stock->stack : 0;
    return spared > 0 ? spared : 0;
}

static void put_interlocked(struct sg_text *out, const struct sg_stock *stock,
                            const struct sg_plan_layout *layout, int width)
{
    char words[200] = "lie into each other";
    long long spared = sg_spared_sheets(stock, layout);
    if (!layout || !layout->interlocked)
        return;
    if (spared > 0)
        snprintf(words, sizeof words, "lie into each other: boxes alone would take %lld sheet%s more", spared,
                 spared == 1 ? "" : "s");
    sg_wrap(out, "Outlines", 2, width, words);
}

static void put_common_lines(struct sg_text *out, const struct sg_shop *shop,
                             const struct sg_plan_layout *layout, int width)
{
    char words[200], spared[CELL];
    if (!layout || !layout->common || !(layout->spared > 0))
        return;
    snprintf(
        words, sizeof words,
        "neighbours lie a kerf apart and share a cut, which spares %s %s on all sheets; the times do not "
        "count on it",
        length(shop, layout->spared, spared), length_unit(shop));
    sg_wrap(out, "Common lines:", 2, width, words);
}

/* "Sheet 1:", "Sheets 1 to 3, each:", "Stack 2, each of its 2 sheets:". */
static void name_sheets(const struct sg_sheets *sheets, int32_t stack, char out[CELL])
{
    bool several = sheets->copies > 1;
    char which[CELL], each[CELL] = "";
    snprintf(which, sizeof which, "%d", sheets->before + 1);
    if (several)
        snprintf(which, sizeof which, "%d to %lld", sheets->before + 1,
                 (long long)(sheets->before + sheets->copies));
    if (stack > 1)
        snprintf(each, sizeof each, ", each of %s %d sheets", several ? "their" : "its", stack);
    else if (several)
        snprintf(each, sizeof each, ", each");
    snprintf(out, CELL, "%s%s %.30s%.30s:", stack > 1 ? "Stack" : "Sheet", several ? "s" : "", which, each);
}

static void put_sheet(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                      int32_t stock, int32_t i, int width)
{
    const struct sg_plan_stock *planned = &plan->stocks[stock - plan->first_stock];
    const struct sg_sheets *sheets = &plan->sheets[planned->first_sheets + i];
    const struct sg_stock *of = &shop->stocks[stock];
    struct sg_text figures = {0}, pieces = {0};
    char first[CELL];
    put_counts(&figures, shop, plan, sheets);
    put_figures(&figures, shop, of->first_part, planned->layout, &planned->layout->used[i]);
    put_pieces(&pieces, shop, of, planned->layout, &planned->layout->used[i]);
    out->failed = out->failed || figures.failed || pieces.failed;
    if (!out->failed) {
        name_sheets(sheets, of->stack, first);
        sg_wrap(out, first, 2, width, figures.data);
        snprintf(first, sizeof first, "  In cutting order, %s from the sheet's corner:",
                 shop->units == SG_UNITS_US ? "inches" : "mm");
        wrap_pieces(out, first, width, &pieces);
    }
    sg_text_free(&figures);
    sg_text_free(&pieces);
}

void sg_layout_words(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                     int32_t stock, int width)
{
    const struct sg_plan_layout *layout = plan->stocks[stock - plan->first_stock].layout;
    put_interlocked(out, &shop->stocks[stock], layout, width);
    put_common_lines(out, shop, layout, width);
    for (int32_t i = 0; layout && i < layout->n_used; i++)
        put_sheet(out, shop, plan, stock, i, width);
}
