/* Why sheets weigh, load and count what they do. */
#include "why_inside.h"

static void stock_field(struct sg_why_build *w, const struct sg_why_place *at, const char *field)
{
    sg_why_field(w, at->of_stock, field, NULL, NULL);
}

/* ---- mass, load ---- */

static void sheet_mass_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "sheet mass", NULL, SG_DIM_MASS, at->planned->sheet_mass);
    sg_why_formula(line, "sheet length / 1000 x sheet width / 1000 x thickness / 1000 x density", true,
                   SG_BASIS_DERIVED, NULL);
    w->depth++;
    stock_field(w, at, "sheet_length");
    stock_field(w, at, "sheet_width");
    stock_field(w, at, "thickness");
    sg_why_material(w, at, "density", NULL);
    w->depth--;
}

void sg_why_sheet_mass(struct sg_why_build *w, const struct sg_why_place *at)
{
    sheet_mass_line(w, at);
}

void sg_why_slat_load(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line =
        sg_why_number(w, "load on the slats", NULL, SG_DIM_AREAL, at->planned->slat_load);
    sg_why_formula(line, "h / 1000 x density", true, SG_BASIS_DERIVED, NULL);
    w->depth++;
    sg_why_height(w, at);
    sg_why_material(w, at, "density", NULL);
    sg_why_field(w, at->machine, "slat_load", "what the slats carry", NULL)->aside = true;
    w->depth--;
}

void sg_why_load(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "one load", NULL, SG_DIM_DURATION, at->planned->load);
    if (sg_known(at->stock->load)) {
        sg_why_read_field(w, line, at->of_stock, sg_field_find(SG_KIND_STOCK, "load"));
        line->note = "typed; it wins over the load by mass";
        return;
    }
    double mass = at->planned->sheet_mass * at->stock->stack;
    sg_why_formula(line, "load fixed + 60 x mass on the table / load mass", false, SG_BASIS_DERIVED, NULL);
    line->note = "none is typed: by mass, one minute more for each load mass";
    w->depth++;
    sg_why_field(w, at->machine, "load_fixed", NULL, NULL);
    line = sg_why_number(w, "mass on the table", NULL, SG_DIM_MASS, sg_known(mass) ? mass : 0);
    if (sg_known(mass))
        sg_why_formula(line, "sheet mass x stack", false, SG_BASIS_DERIVED, NULL);
    else
        line->note = "taken as 0, because the sheet's mass is not known";
    w->depth++;
    if (sg_known(mass)) {
        sheet_mass_line(w, at);
        stock_field(w, at, "stack");
    }
    w->depth--;
    sg_why_field(w, at->machine, "load_mass", NULL, NULL);
    w->depth--;
}

/* ---- pieces on a sheet ---- */

/* How pieces lie on the sheet; tests compare it with what the planner counted. */
struct laying {
    bool sheet_turned, piece_turned;
    double spacing;
    struct sg_grid grid;
};

static struct laying laying_of(const struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_stock *stock = at->stock;
    const struct sg_part *part = at->part;
    double room = w->shop->machine.table_width * (1 + 1e-12), along = stock->sheet_length;
    double across = stock->sheet_width, kerf = sg_known(at->setup->kerf) ? at->setup->kerf : 0;
    struct laying out = {.sheet_turned = across > room && along <= room,
                         .spacing = stock->gap > kerf ? stock->gap : kerf};
    if (out.sheet_turned) {
        along = stock->sheet_width;
        across = stock->sheet_length;
    }
    struct sg_grid straight =
        sg_sheet_grid(along, across, stock->margin, out.spacing, part->length, part->width, false);
    out.grid =
        sg_sheet_grid(along, across, stock->margin, out.spacing, part->length, part->width, stock->turn);
    out.piece_turned = out.grid.along * out.grid.across > straight.along * straight.across;
    return out;
}

static void spacing_line(struct sg_why_build *w, const struct sg_why_place *at, const struct laying *laying)
{
    struct sg_why_line *line = sg_why_number(w, "spacing", NULL, SG_DIM_LENGTH, laying->spacing);
    if (!sg_known(at->setup->kerf)) {
        line->note = "the gap, because the kerf is not known";
        return;
    }
    sg_why_formula(line, "max(gap, kerf)", false, SG_BASIS_DERIVED, NULL);
    line->note = "the kerf lies inside the gap";
    w->depth++;
    stock_field(w, at, "gap");
    line = sg_why_number(w, "kerf", NULL, SG_DIM_LENGTH, at->setup->kerf);
    line->basis = SG_BASIS_ESTIMATE;
    sg_why_more(line, at->of_stock, "kerf");
    w->depth--;
}

/* Pieces in one direction: the sheet's and the piece's side that lie there. */
static void row_line(struct sg_why_build *w, const struct sg_why_place *at, const struct laying *laying,
                     bool along)
{
    struct sg_why_line *line =
        sg_why_whole(w, along ? "along" : "across", along ? laying->grid.along : laying->grid.across);
    sg_why_formula(line, "max(0, floor((sheet - 2 x margin + spacing) / (piece + spacing) + 0.000000001))",
                   false, SG_BASIS_DERIVED, NULL);
    w->depth++;
    sg_why_field(w, at->of_stock, along != laying->sheet_turned ? "sheet_length" : "sheet_width", "sheet",
                 NULL);
    stock_field(w, at, "margin");
    spacing_line(w, at, laying);
    sg_why_field(w, at->of_part, along != laying->piece_turned ? "length" : "width", "piece", NULL);
    w->depth--;
}

static void per_sheet_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct laying laying = laying_of(w, at);
    int64_t per_sheet = at->planned_part->per_sheet;
    struct sg_why_line *line = sg_why_whole(w, "per sheet", per_sheet > 0 ? per_sheet : SG_UNKNOWN);
    bool fits = laying.grid.along * laying.grid.across > 0;
    const char *turned = laying.piece_turned ? "pieces turned by 90 degrees, the better way"
                                             : "rows and columns, one kind of part to a sheet";
    line->note = fits ? turned : "not one piece fits on the sheet";
    if (per_sheet > 0)
        sg_why_formula(line, "along x across", false, SG_BASIS_DERIVED, NULL);
    w->depth++;
    row_line(w, at, &laying, true);
    row_line(w, at, &laying, false);
    w->depth--;
}

static bool has_sizes(const struct sg_why_place *at)
{
    return sg_known(at->part->length) && sg_known(at->part->width) && sg_known(at->stock->sheet_length) &&
           sg_known(at->stock->sheet_width);
}

void sg_why_part_sheets_line(struct sg_why_build *w, const struct sg_why_place *at, const char *name)
{
    struct sg_why_line *line = sg_why_whole(w, name, at->planned_part->sheets);
    sg_why_more(line, at->of_part, "sheets");
    if (at->planned_part->cuts == 0)
        line->note = "the quantity is 0: nothing is cut";
    else
        sg_why_formula(line, "ceil(cuts / per sheet) x stack", false, SG_BASIS_DERIVED, NULL);
    if (!sg_known(line->value))
        line->note = has_sizes(at) ? "not one piece fits on the sheet" : "a size is not known";
    w->depth++;
    if (at->planned_part->cuts == 0) {
        sg_why_field(w, at->of_part, "quantity", NULL, NULL);
    } else if (!has_sizes(at)) {
        sg_why_field(w, at->of_part, "length", NULL, NULL);
        sg_why_field(w, at->of_part, "width", NULL, NULL);
        stock_field(w, at, "sheet_length");
        stock_field(w, at, "sheet_width");
    } else {
        sg_why_cuts(w, at);
        per_sheet_line(w, at);
        stock_field(w, at, "stack");
    }
    w->depth--;
}

void sg_why_part_sheets(struct sg_why_build *w, const struct sg_why_place *at)
{
    sg_why_part_sheets_line(w, at, "sheets");
    w->lines[0].more = NULL;
}

/* ---- sums over the parts of a stock ---- */

static struct sg_why_place part_place(const struct sg_why_build *w, int32_t part)
{
    return sg_why_place_of(w, (struct sg_target){SG_KIND_PART, part});
}

void sg_why_stock_sheets(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_stock *stock = at->stock;
    bool known = at->planned->sheets != SG_UNKNOWN;
    struct sg_why_item *items = sg_arena_take(w->arena, ((size_t)stock->n_parts + 1) * sizeof *items);
    struct sg_why_line *line = sg_why_whole(w, "sheets", at->planned->sheets);
    if (known)
        sg_why_formula(line, "sum of its lines", false, SG_BASIS_DERIVED, NULL);
    else
        line->note = "the sheets of a part are not known";
    w->failed = w->failed || !items;
    w->depth++;
    for (int32_t i = 0, explained = 0; i < stock->n_parts && items; i++) {
        struct sg_why_place part = part_place(w, stock->first_part + i);
        const char *name = sg_why_key(w, part.of_part);
        items[i] = (struct sg_why_item){sg_why_count(part.planned_part->sheets),
                                        name,
                                        part.of_part,
                                        "sheets",
                                        (double)NAN,
                                        stock->first_part + i};
        if (!known && part.planned_part->sheets == SG_UNKNOWN && explained++ < SG_WHY_MOST)
            sg_why_part_sheets_line(w, &part, name);
    }
    if (known && items)
        sg_why_items(w, items, stock->n_parts, SG_WHY_WHOLE, SG_DIM_NUMBER, SG_WHY_MOST, NULL);
    sg_why_field(w, at->of_stock, "sheets", "on hand", NULL)->aside = true;
    w->depth--;
}

/* ---- index moves ---- */

static bool has_moves(const struct sg_why_place *at)
{
    const struct sg_plan_part *planned = at->planned_part;
    return sg_known(planned->each) && planned->cuts > 0 && planned->per_sheet > 0;
}

static void one_sheet(struct sg_why_build *w, const struct sg_why_place *at, const struct laying *laying,
                      const char *name, int64_t cuts)
{
    int64_t column = (cuts - 1) / laying->grid.across, moves = 0;
    if (cuts > 0)
        moves = sg_index_moves(&laying->grid, w->shop->machine.table_length, column);
    struct sg_why_line *line = sg_why_whole(w, name, moves);
    if (cuts == 0) {
        line->note = "there is no such sheet";
        return;
    }
    sg_why_formula(line, "max(0, ceil(farthest / table length - 0.000000001) - 1)", false, SG_BASIS_PRACTICE,
                   NULL);
    w->depth++;
    line = sg_why_number(w, "farthest", NULL, SG_DIM_LENGTH,
                         laying->grid.reach + (double)column * laying->grid.pitch);
    sg_why_formula(line, "2 x margin + piece + column x (piece + spacing)", false, SG_BASIS_DERIVED, NULL);
    line->note = "edge of the last piece from the loading end, and the margin";
    w->depth++;
    stock_field(w, at, "margin");
    sg_why_field(w, at->of_part, laying->piece_turned ? "width" : "length", "piece", NULL);
    sg_why_whole(w, "column", column)->note = "of the last piece, from 0";
    spacing_line(w, at, laying);
    w->depth--;
    sg_why_field(w, at->machine, "table_length", NULL, NULL);
    w->depth--;
}

static int64_t moves_of(const struct sg_why_build *w, const struct sg_why_place *at,
                        const struct laying *laying)
{
    const struct sg_plan_part *planned = at->planned_part;
    double table = w->shop->machine.table_length;
    int64_t full = planned->cuts / planned->per_sheet, left = planned->cuts % planned->per_sheet, moves = 0;
    if (full > 0)
        moves = full * sg_index_moves(&laying->grid, table, (planned->per_sheet - 1) / laying->grid.across);
    if (left > 0)
        moves += sg_index_moves(&laying->grid, table, (left - 1) / laying->grid.across);
    return moves;
}

static void part_moves(struct sg_why_build *w, const struct sg_why_item *item)
{
    struct sg_why_place at = sg_why_place_of(w, item->from);
    struct laying laying = laying_of(w, &at);
    const struct sg_plan_part *planned = at.planned_part;
    int64_t left = planned->cuts % planned->per_sheet, full = planned->cuts / planned->per_sheet;
    w->lines[w->n - 1].formula = "full sheets x moves of a full sheet + moves of the last sheet";
    w->lines[w->n - 1].basis = SG_BASIS_PRACTICE;
    sg_why_whole(w, "full sheets", full)->note = "a stack counts as one";
    one_sheet(w, &at, &laying, "moves of a full sheet", full > 0 ? planned->per_sheet : 0);
    one_sheet(w, &at, &laying, "moves of the last sheet", left);
}

void sg_why_index_moves(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_stock *stock = at->stock;
    struct sg_why_item *items = sg_arena_take(w->arena, ((size_t)stock->n_parts + 1) * sizeof *items);
    struct sg_why_line *line = sg_why_whole(w, "index moves", at->planned->index_moves);
    sg_why_formula(line, "sum of its lines", false, SG_BASIS_PRACTICE, NULL);
    if (at->planned->index_moves == 0)
        line->note = "no piece lies beyond the table, as far as boxes and sheets are known";
    int n = 0;
    w->failed = w->failed || !items;
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts && items; i++) {
        struct sg_why_place part = part_place(w, i);
        if (!has_moves(&part))
            continue;
        struct laying laying = laying_of(w, &part);
        items[n++] = (struct sg_why_item){(double)moves_of(w, &part, &laying),
                                          sg_why_key(w, part.of_part),
                                          part.of_part,
                                          NULL,
                                          (double)NAN,
                                          i};
    }
    w->depth++;
    if (items)
        sg_why_items(w, items, n, SG_WHY_WHOLE, SG_DIM_NUMBER, SG_WHY_MOST, part_moves);
    sg_why_field(w, at->machine, "table_length", NULL, NULL)->aside = true;
    w->depth--;
}
