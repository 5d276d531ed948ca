/* What stands beside the picture of a sheet. */
#include "exchange/render.h"
#include "tui/pieces.h"

#include <stdio.h>
#include <string.h>

enum { TEXT = 500 };

/* ---- lengths ---- */

static const char *length_unit(const struct sg_look *look)
{
    return sg_unit_of_shop(SG_DIM_LENGTH, look->shop->units)->name;
}

const char *sg_sheet_length(const struct sg_look *look, double mm, char out[40])
{
    int decimals = look->shop->units == SG_UNITS_US ? 3 : 1;
    sg_number_short(mm, sg_unit_of_shop(SG_DIM_LENGTH, look->shop->units), decimals, out, 40);
    return out;
}

/* "8 x 6 in" */
void sg_sheet_lengths(const struct sg_look *look, double a, double b, char *out, size_t size)
{
    char first[40], second[40];
    snprintf(out, size, "%s x %s %s", sg_sheet_length(look, a, first), sg_sheet_length(look, b, second),
             length_unit(look));
}

/* ---- figures ---- */

struct side {
    struct sg_canvas *canvas;
    struct sg_area area;
    int row;
};

static void put_side(struct side *side, enum sg_role role, const char *words)
{
    if (side->row < side->area.rows)
        sg_canvas_field(side->canvas, side->area.row + side->row++, side->area.column, side->area.columns,
                        false, role, words);
}

static void skip_side(struct side *side)
{
    side->row += side->area.rows >= 20 ? 1 : 0;
}

static void put_stock(struct side *side, const struct sg_look *look, const struct sg_sheet_page *page)
{
    const struct sg_stock *stock = &look->shop->stocks[page->stock];
    const struct sg_plan_stock *planned = &look->plan->stocks[page->stock - look->plan->first_stock];
    char words[TEXT], thick[40];
    bool several = look->shop->jobs[stock->job].n_stocks > 1;
    snprintf(words, sizeof words, "%s %lld of %lld", stock->stack > 1 ? "stack" : "sheet",
             (long long)page->index + 1, (long long)page->of);
    put_side(side, SG_ROLE_RESULT, words);
    if (stock->sheets != SG_UNKNOWN && page->number * stock->stack - planned->remnants > stock->sheets)
        put_side(side, SG_ROLE_ODD, "not on hand");
    if (several) {
        snprintf(words, sizeof words, "stock %d: %lld of %lld", stock->number, (long long)page->number,
                 (long long)page->total);
        if (page->total == 0)
            snprintf(words, sizeof words, "stock %d: number %lld", stock->number, (long long)page->number);
        put_side(side, SG_ROLE_RESULT, words);
    }
    if (sg_known(page->length) && sg_known(page->width)) {
        sg_sheet_lengths(look, page->length, page->width, words, sizeof words);
        put_side(side, SG_ROLE_RESULT, words);
    }
    if (page->known && page->layout->sizes[page->used->size].count >= 0)
        put_side(side, SG_ROLE_RESULT, "a remnant");
    snprintf(words, sizeof words, "%s %s %s", sg_sheet_length(look, stock->thickness, thick),
             length_unit(look),
             stock->material == SG_UNKNOWN ? "no material" : look->shop->materials[stock->material].name);
    put_side(side, SG_ROLE_RESULT, words);
    snprintf(words, sizeof words, "head %s", look->shop->heads[planned->head].name);
    put_side(side, SG_ROLE_RESULT, words);
    if (stock->stack > 1) {
        snprintf(words, sizeof words, "%d sheets at once", stock->stack);
        put_side(side, SG_ROLE_RESULT, words);
    }
    if (page->alike > 1) {
        snprintf(words, sizeof words, "one of %lld alike", (long long)page->alike);
        put_side(side, SG_ROLE_RESULT, words);
    }
    if (page->known && planned->sheets > planned->lower_bound) {
        snprintf(words, sizeof words, "at least %lld needed", (long long)planned->lower_bound);
        put_side(side, SG_ROLE_RESULT, words);
    }
}

/* "left 87.2 x 47.5 in" and where, or nothing where it is not worth keeping. */
static void put_left_over(struct side *side, const struct sg_look *look, const struct sg_sheet_page *page)
{
    char left[80], at[80], words[TEXT];
    if (!sg_is_left_over(page->used))
        return;
    sg_left_over_words(page->used, look->shop->units, left, at, sizeof left);
    snprintf(words, sizeof words, "left %s", left);
    put_side(side, SG_ROLE_RESULT, words);
    snprintf(words, sizeof words, "  at %s", at);
    put_side(side, SG_ROLE_RESULT, words);
}

/* "a  flange, 8 holes 6 of 12". */
static void put_part(struct side *side, const struct sg_look *look, const struct sg_sheet_page *page,
                     int32_t index)
{
    const struct sg_part *part = &look->shop->parts[index];
    const struct sg_plan_part *planned = &look->plan->parts[index - look->plan->first_part];
    int64_t n = page->known ? sg_sheet_pieces_of(page, index) : planned->cuts;
    char words[TEXT];
    if (n == 0)
        return;
    snprintf(words, sizeof words, "%c  %s %s", sg_piece_letter(look->shop, index), part->id, part->name);
    put_side(side, SG_ROLE_TEXT, words);
    if (page->known)
        snprintf(words, sizeof words, "  %lld of %lld %s", (long long)n, (long long)planned->cuts,
                 look->shop->stocks[page->stock].stack > 1 ? "cuts" : "on it");
    else
        snprintf(words, sizeof words, "  %lld in all", (long long)n);
    put_side(side, SG_ROLE_RESULT, words);
}

static int64_t pierces_of(const struct sg_look *look, const struct sg_sheet_page *page)
{
    int64_t n = 0;
    for (int64_t i = 0; i < page->n; i++)
        n += look->shop->parts[page->first_part + page->placements[i].part].pierces;
    return n;
}

/* Index moves of the sheet: those before its last batch. */
static int64_t moves_of(const struct sg_look *look, const struct sg_sheet_page *page)
{
    const struct sg_plan_stock *planned = &look->plan->stocks[page->stock - look->plan->first_stock];
    int64_t i = page->used - page->layout->used;
    const struct sg_sheets *sheets = &look->plan->sheets[planned->first_sheets + i];
    return look->plan->batches[sheets->first + sheets->n - 1].moves;
}

static void put_parts(struct side *side, const struct sg_look *look, const struct sg_sheet_page *page)
{
    const struct sg_stock *stock = &look->shop->stocks[page->stock];
    char words[TEXT];
    if (!page->known) {
        put_part(side, look, page, page->part);
        return;
    }
    for (int32_t i = 0; i < stock->n_parts; i++)
        put_part(side, look, page, stock->first_part + i);
    sg_used_words(look->shop, page->first_part, page->layout, page->used, words, sizeof words);
    put_side(side, SG_ROLE_RESULT, words);
    put_left_over(side, look, page);
    snprintf(words, sizeof words, "pierces %lld", (long long)pierces_of(look, page));
    put_side(side, SG_ROLE_RESULT, words);
    snprintf(words, sizeof words, "index moves %lld", (long long)moves_of(look, page));
    if (moves_of(look, page) > 0)
        put_side(side, SG_ROLE_RESULT, words);
}

static void put_piece(struct side *side, const struct sg_look *look, const struct sg_sheet_page *page,
                      int64_t at)
{
    struct sg_piece piece = sg_sheet_piece(page, at);
    char words[TEXT], x[40], y[40];
    snprintf(words, sizeof words, "this: %s, cut %lld of %lld", look->shop->parts[piece.part].id,
             (long long)piece.number, (long long)page->n);
    put_side(side, SG_ROLE_TEXT, words);
    put_side(side, SG_ROLE_RESULT, "from sheet corner");
    snprintf(words, sizeof words, "x %s y %s %s", sg_sheet_length(look, piece.x, x),
             sg_sheet_length(look, piece.y, y), length_unit(look));
    put_side(side, SG_ROLE_RESULT, words);
    sg_sheet_lengths(look, piece.length, piece.width, words, sizeof words);
    put_side(side, SG_ROLE_RESULT, words);
    if (piece.turned || piece.flipped)
        put_side(side, SG_ROLE_RESULT, sg_turn_words(piece.turned, piece.flipped));
}

void sg_sheet_figures(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look,
                      const struct sg_sheet_page *page, int64_t at)
{
    struct side side = {canvas, area, 0};
    put_stock(&side, look, page);
    skip_side(&side);
    put_parts(&side, look, page);
    skip_side(&side);
    if (page->known)
        put_piece(&side, look, page, at);
}
