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

/* ---- sheets ---- */

static void spacing_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "spacing", NULL, SG_DIM_LENGTH, at->planned->layout->gap);
    line->aside = true;
    if (!sg_known(at->setup->kerf)) {
        line->note = "the gap, because the kerf is not known";
        return;
    }
    bool common = at->planned->layout->common;
    sg_why_formula(line, common ? "kerf" : "max(gap, kerf)", false, SG_BASIS_DERIVED, NULL);
    line->note = common ? "neighbours share a cut" : "the kerf lies inside the gap";
    w->depth++;
    if (!common)
        stock_field(w, at, "gap");
    line = sg_why_number(w, "kerf", NULL, SG_DIM_LENGTH, at->setup->kerf);
    line->basis = SG_BASIS_ESTIMATE;
    sg_why_more(line, at->of_stock, "kerf");
    w->depth--;
}

static void aside_field(struct sg_why_build *w, const struct sg_why_place *at, const char *field)
{
    sg_why_field(w, at->of_stock, field, NULL, NULL)->aside = true;
}

/* What common lines spare, or why there are none although they are asked for. */
static void common_lines(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_plan_layout *layout = at->planned->layout;
    if (!at->stock->common_line)
        return;
    struct sg_why_line *line = sg_why_number(w, "cut that common lines spare", NULL, SG_DIM_LENGTH,
                                             layout->common ? layout->spared : 0);
    line->aside = true;
    line->basis = SG_BASIS_DERIVED;
    line->note = layout->common ? "on all sheets; the times do not count on it"
                                : "none: a part is not known to be a rectangle, or the kerf is not known";
    w->depth++;
    stock_field(w, at, "common_line");
    w->depth--;
}

/* How many sheets the pieces lie on, and what that depends on. */
static void laid_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_plan_layout *layout = at->planned->layout;
    struct sg_why_line *line = sg_why_whole(w, "sheets of the layout", layout->sheets);
    char percent[32];
    sg_number_short(layout->utilisation, sg_unit_find("%", 1), 1, percent, sizeof percent);
    line->basis = SG_BASIS_DERIVED;
    line->note =
        sg_why_words(w, "pieces take %s %% of them; no layout takes fewer than %lld%s", percent,
                     (long long)layout->lower_bound,
                     layout->interlocked ? sg_why_words(w,
                                                        "; outlines lie into each other, boxes alone "
                                                        "would take %lld",
                                                        (long long)layout->sheets_of_boxes)
                                         : "");
    w->depth++;
    aside_field(w, at, "sheet_length");
    aside_field(w, at, "sheet_width");
    aside_field(w, at, "remnants");
    aside_field(w, at, "margin");
    spacing_line(w, at);
    aside_field(w, at, "clamps");
    aside_field(w, at, "turn");
    aside_field(w, at, "interlock");
    aside_field(w, at, "search");
    common_lines(w, at);
    w->depth--;
}

static void missing_sizes(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_stock *stock = at->stock;
    if (!sg_known(stock->sheet_length) || !sg_known(stock->sheet_width)) {
        stock_field(w, at, "sheet_length");
        stock_field(w, at, "sheet_width");
    }
    for (int32_t i = stock->first_part, n = 0; i < stock->first_part + stock->n_parts && n < SG_WHY_MOST;
         i++) {
        const struct sg_plan_part *part = &w->plan->parts[i - w->plan->first_part];
        struct sg_target of = {SG_KIND_PART, i};
        if (part->cuts == 0 || part->per_sheet > 0)
            continue;
        n++;
        bool boxed = sg_known(w->shop->parts[i].length) && sg_known(w->shop->parts[i].width);
        struct sg_why_line *line = sg_why_whole(w, sg_why_key(w, of), SG_UNKNOWN);
        line->note = boxed ? "not one piece of it fits on the sheet" : "its length or width is not known";
        w->depth++;
        sg_why_field(w, of, "length", NULL, NULL);
        sg_why_field(w, of, "width", NULL, NULL);
        w->depth--;
    }
}

static void stock_sheets(struct sg_why_build *w, const struct sg_why_place *at, const char *name)
{
    bool known = at->planned->sheets != SG_UNKNOWN;
    struct sg_why_line *line = sg_why_whole(w, name, at->planned->sheets);
    if (known && at->planned->layout)
        sg_why_formula(line, "sheets of the layout x stack", false, SG_BASIS_DERIVED, NULL);
    else
        line->note = known ? "nothing is cut" : "the sheets of a part are not known";
    w->depth++;
    if (known && at->planned->layout) {
        laid_line(w, at);
        stock_field(w, at, "stack");
    } else if (!known) {
        missing_sizes(w, at);
    }
    w->depth--;
}

void sg_why_stock_sheets(struct sg_why_build *w, const struct sg_why_place *at)
{
    stock_sheets(w, at, "sheets");
    w->depth++;
    sg_why_field(w, at->of_stock, "sheets", "on hand", NULL)->aside = true;
    w->depth--;
}

/* Area of the boxes of a part, or of all that are laid out. */
static double boxes_area(const struct sg_why_build *w, const struct sg_why_place *at, int32_t part)
{
    const struct sg_plan_layout *layout = at->planned->layout;
    const struct sg_plan_part *parts = &w->plan->parts[at->stock->first_part - w->plan->first_part];
    double area = 0;
    for (int32_t i = 0; i < layout->n_boxes; i++)
        if (parts[i].per_sheet > 0 && (part == SG_UNKNOWN || part == i))
            area += (double)layout->boxes[i].quantity * layout->boxes[i].length * layout->boxes[i].width;
    return area;
}

void sg_why_part_sheets_line(struct sg_why_build *w, const struct sg_why_place *at, const char *name)
{
    const struct sg_plan_part *planned = at->planned_part;
    struct sg_why_line *line = sg_why_number(w, name, NULL, SG_DIM_NUMBER, planned->sheets);
    sg_why_more(line, at->of_part, "sheets");
    if (planned->cuts == 0) {
        line->note = "the quantity is 0: nothing is cut";
        w->depth++;
        sg_why_field(w, at->of_part, "quantity", NULL, NULL);
        w->depth--;
        return;
    }
    if (planned->per_sheet == 0) {
        line->note = "not known";
        w->depth++;
        missing_sizes(w, at);
        w->depth--;
        return;
    }
    sg_why_formula(line, "sheets of the layout x stack x own boxes / all boxes", false, SG_BASIS_DERIVED,
                   NULL);
    line->note = sg_why_words(w, "its share of the stock's sheets; at most %lld lie on one",
                              (long long)planned->per_sheet);
    w->depth++;
    laid_line(w, at);
    stock_field(w, at, "stack");
    sg_why_number(w, "own boxes", NULL, SG_DIM_AREA,
                  boxes_area(w, at, at->part_index - at->stock->first_part))
        ->note = "cuts x length x width";
    sg_why_number(w, "all boxes", NULL, SG_DIM_AREA, boxes_area(w, at, SG_UNKNOWN))->note =
        "of all parts that are laid out";
    w->depth--;
}

void sg_why_part_sheets(struct sg_why_build *w, const struct sg_why_place *at)
{
    sg_why_part_sheets_line(w, at, "sheets");
    w->lines[0].more = NULL;
}

/* ---- index moves ---- */

static void moves_detail(struct sg_why_build *w, const struct sg_why_item *item)
{
    const struct sg_sheets *sheets = &w->plan->sheets[item->index];
    const struct sg_batch *last = &w->plan->batches[sheets->first + sheets->n - 1];
    struct sg_why_line *line = &w->lines[w->n - 1];
    line->formula = "such sheets x moves of one";
    line->basis = SG_BASIS_PRACTICE;
    sg_why_whole(w, "such sheets", sheets->copies)->note = "cut alike; a stack counts as one";
    sg_why_whole(w, "moves of one", last->moves)->note =
        sg_why_words(w,
                     "for %s, which lies farthest from the loading end: far edge and margin over the "
                     "table's length, rounded up, less one",
                     sg_why_key(w, (struct sg_target){SG_KIND_PART, last->part}));
}

void sg_why_index_moves(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_plan_stock *planned = at->planned;
    struct sg_why_item *items = sg_arena_take(w->arena, ((size_t)planned->n_sheets + 1) * sizeof *items);
    struct sg_why_line *line = sg_why_whole(w, "index moves", planned->index_moves);
    sg_why_formula(line, "sum of its lines", false, SG_BASIS_PRACTICE, NULL);
    if (planned->index_moves == 0)
        line->note = "no piece lies beyond the table, as far as boxes and sheets are known";
    w->failed = w->failed || !items;
    int32_t end = planned->first_sheets + planned->n_sheets;
    int n = 0;
    for (int32_t i = planned->first_sheets; i < end && items; i++) {
        const struct sg_sheets *sheets = &w->plan->sheets[i];
        double moves = (double)(sheets->copies * w->plan->batches[sheets->first + sheets->n - 1].moves);
        items[n++] = (struct sg_why_item){
            moves, sg_why_words(w, "sheets from %d on", sheets->before + 1), at->of_stock, NULL, (double)NAN,
            i};
    }
    w->depth++;
    if (items)
        sg_why_items(w, items, n, SG_WHY_WHOLE, SG_DIM_NUMBER, SG_WHY_MOST, moves_detail);
    sg_why_field(w, at->machine, "table_length", NULL, NULL)->aside = true;
    w->depth--;
}
