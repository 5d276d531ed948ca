/* What lies where on the sheets of a stock, in words. */
#include "exchange/render.h"

#include <math.h>
#include <stdio.h>

enum { CELL = 60, LISTED = 300 }; /* pieces of one sheet that are told one by one */

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

/* Rounded down, so that it can be cut out. */
static const char *length_down(const struct sg_shop *shop, double mm, char out[CELL])
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_LENGTH, shop->units);
    double grain = sg_to_canonical(shop->units == SG_UNITS_US ? 0.1L : 1.0L, unit);
    sg_number_short(floor(mm / grain + 1e-6) * grain, unit, 1, out, CELL);
    return out;
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

static void put_figures(struct sg_text *words, const struct sg_shop *shop,
                        const struct sg_plan_layout *layout, const struct sg_layout_used *used)
{
    char a[CELL], b[CELL];
    const struct sg_layout_sheet *size = &layout->sizes[used->size];
    double area = 0;
    for (int64_t i = 0; i < used->n_pieces; i++) {
        const struct sg_layout_part *box = &layout->boxes[layout->placements[used->first + i].part];
        area += box->length * box->width;
    }
    sg_text_format(words, "; boxes take %.0f %% of %s x %s %s", 100 * area / (size->length * size->width),
                   length(shop, size->length, a), length(shop, size->width, b), length_unit(shop));
    if (used->drop_length >= SG_DROP_LEAST && used->drop_width >= SG_DROP_LEAST)
        sg_text_format(words, "; %s x %s %s left over", length_down(shop, used->drop_length, a),
                       length_down(shop, used->drop_width, b), length_unit(shop));
}

/* "1 A 0.25 0.25 turned": where the corner of each piece's box lies, in cutting order. */
static void put_pieces(struct sg_text *words, const struct sg_shop *shop, const struct sg_stock *stock,
                       const struct sg_plan_layout *layout, const struct sg_layout_used *used)
{
    char x[CELL], y[CELL];
    for (int64_t i = 0; i < used->n_pieces && i < LISTED; i++) {
        const struct sg_placement *placement = &layout->placements[used->first + i];
        sg_text_format(words, "%s%lld %s x %s y %s%s%s", i > 0 ? ", " : "", (long long)i + 1,
                       shop->parts[stock->first_part + placement->part].id, length(shop, placement->x, x),
                       length(shop, placement->y, y), placement->turned ? " turned" : "",
                       placement->flipped ? " upside down" : "");
    }
    if (used->n_pieces > LISTED)
        sg_text_format(words, ", and %lld more", (long long)used->n_pieces - LISTED);
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

void sg_layout_words(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                     int32_t stock, int width)
{
    const struct sg_plan_stock *planned = &plan->stocks[stock - plan->first_stock];
    const struct sg_plan_layout *layout = planned->layout;
    put_common_lines(out, shop, layout, width);
    for (int32_t i = 0; layout && i < layout->n_used; i++) {
        const struct sg_sheets *sheets = &plan->sheets[planned->first_sheets + i];
        struct sg_text words = {0};
        char first[CELL];
        put_counts(&words, shop, plan, sheets);
        put_figures(&words, shop, layout, &layout->used[i]);
        if (sheets->copies > 1)
            snprintf(first, sizeof first, "Sheets %d to %lld:", sheets->before + 1,
                     (long long)(sheets->before + sheets->copies));
        else
            snprintf(first, sizeof first, "Sheet %d:", sheets->before + 1);
        sg_wrap(out, first, 2, width, words.failed ? "" : words.data);
        words.length = 0;
        put_pieces(&words, shop, &shop->stocks[stock], layout, &layout->used[i]);
        sg_wrap(out, "  In cutting order, from the sheet's corner:", 4, width,
                words.failed ? "" : words.data);
        sg_text_free(&words);
    }
}
