/* What lies where on the sheets of a stock, and the batches of the run that come of it. */
#include "plan_inside.h"

#include "sandglass/cut_order.h"
#include "sandglass/nest.h"

#include <stdlib.h>
#include <string.h>

/* ---- what a layout is made from ---- */

struct sg_stock_sheets {
    struct sg_plan_layout layout;
    const struct sg_outline **outlines; /* of the boxes; NULL: only the box is known, or it is to count */
    uint64_t *prints;                   /* of those; 0 */
    struct sg_layout_clamp clamps[SG_MAX_ITEMS];
    int32_t n_clamps, n_outlines;
    int32_t search;
    double table_length, slat_pitch;
    int32_t boxes_room, placements_room, used_room, outlines_room, prints_room;
    bool made;
};

/* A sheet as it lies on the table: turned if only that fits. */
static bool lies_across(const struct sg_machine *machine, double length, double width)
{
    double room = machine->table_width * (1 + 1e-12);
    return width > room && length <= room;
}

static struct sg_layout_sheet lying(const struct sg_machine *machine, double length, double width,
                                    int64_t count)
{
    bool across = lies_across(machine, length, width);
    return (struct sg_layout_sheet){across ? width : length, across ? length : width, count};
}

static void take_sizes(const struct sg_machine *machine, const struct sg_stock *stock,
                       struct sg_plan_layout *out)
{
    for (int64_t i = 0; i < stock->remnants.n; i++) {
        const double *size = stock->remnants.at[i];
        int64_t stacks = (int64_t)size[2] / stock->stack;
        if (stacks > 0)
            out->sizes[out->n_sizes++] = lying(machine, size[0], size[1], stacks);
    }
    out->sizes[out->n_sizes++] = lying(machine, stock->sheet_length, stock->sheet_width, -1);
}

/* Clamps are typed as the sheet is; it may lie across. */
static void take_clamps(const struct sg_machine *machine, const struct sg_stock *stock,
                        struct sg_stock_sheets *out)
{
    bool across = lies_across(machine, stock->sheet_length, stock->sheet_width);
    out->n_clamps = (int32_t)stock->clamps.n;
    for (int32_t i = 0; i < out->n_clamps; i++) {
        const double *at = stock->clamps.at[i];
        out->clamps[i] = across ? (struct sg_layout_clamp){at[3], at[2], at[1], at[0]}
                                : (struct sg_layout_clamp){at[2], at[3], at[0], at[1]};
    }
}

static bool is_laid_out(const struct sg_part *part, const struct sg_plan_part *planned)
{
    return planned->cuts > 0 && sg_known(part->length) && sg_known(part->width);
}

static bool take_boxes(struct sg_planner *p, const struct sg_shop *shop, const struct sg_stock *stock,
                       struct sg_stock_sheets *out)
{
    struct sg_plan_layout *layout = &out->layout;
    if (!sg_planner_room(p, &layout->boxes, &out->boxes_room, stock->n_parts, sizeof *layout->boxes) ||
        !sg_planner_room(p, &out->outlines, &out->outlines_room, stock->n_parts, sizeof *out->outlines) ||
        !sg_planner_room(p, &out->prints, &out->prints_room, stock->n_parts, sizeof *out->prints))
        return false;
    layout->n_boxes = stock->n_parts;
    out->n_outlines = 0;
    for (int32_t i = 0; i < stock->n_parts; i++) {
        const struct sg_part *part = &shop->parts[stock->first_part + i];
        const struct sg_plan_part *planned = &p->plan.parts[stock->first_part + i - p->plan.first_part];
        bool laid = is_laid_out(part, planned);
        layout->boxes[i] = (struct sg_layout_part){.length = laid ? part->length : 1,
                                                   .width = laid ? part->width : 1,
                                                   .quantity = laid ? planned->cuts : 0,
                                                   .turn = stock->turn};
        bool drawn = laid && stock->interlock && part->outline != SG_UNKNOWN;
        out->outlines[i] = drawn ? shop->drawn[part->outline].outline : NULL;
        out->prints[i] = drawn ? shop->drawn[part->outline].print : 0;
        out->n_outlines += drawn;
    }
    return true;
}

static bool take_question(struct sg_planner *p, const struct sg_shop *shop, const struct sg_stock *stock,
                          double kerf, struct sg_stock_sheets *out)
{
    out->layout.n_sizes = 0;
    out->layout.common = sg_plan_is_common(shop, stock, kerf);
    out->layout.gap = out->layout.common || (sg_known(kerf) && kerf > stock->gap) ? kerf : stock->gap;
    out->layout.margin = stock->margin;
    out->search = stock->search;
    out->table_length = shop->machine.table_length;
    out->slat_pitch = shop->machine.slat_pitch;
    take_sizes(&shop->machine, stock, &out->layout);
    take_clamps(&shop->machine, stock, out);
    return take_boxes(p, shop, stock, out);
}

/* ---- whether it is the same as before ---- */

static bool same_box(const struct sg_layout_part *a, const struct sg_layout_part *b)
{
    return a->length == b->length && a->width == b->width && a->quantity == b->quantity && a->turn == b->turn;
}

static bool same_size(const struct sg_layout_sheet *a, const struct sg_layout_sheet *b)
{
    return a->length == b->length && a->width == b->width && a->count == b->count;
}

static bool same_clamp(const struct sg_layout_clamp *a, const struct sg_layout_clamp *b)
{
    return a->x == b->x && a->y == b->y && a->length == b->length && a->width == b->width;
}

static bool same_question(const struct sg_stock_sheets *a, const struct sg_stock_sheets *b)
{
    const struct sg_plan_layout *x = &a->layout, *y = &b->layout;
    bool same = a->made && x->n_boxes == y->n_boxes && x->n_sizes == y->n_sizes &&
                a->n_clamps == b->n_clamps && x->gap == y->gap && x->margin == y->margin &&
                x->common == y->common && a->search == b->search && a->table_length == b->table_length &&
                a->slat_pitch == b->slat_pitch;
    for (int32_t i = 0; same && i < x->n_sizes; i++)
        same = same_size(&x->sizes[i], &y->sizes[i]);
    for (int32_t i = 0; same && i < a->n_clamps; i++)
        same = same_clamp(&a->clamps[i], &b->clamps[i]);
    for (int32_t i = 0; same && i < x->n_boxes; i++)
        same = same_box(&x->boxes[i], &y->boxes[i]) && a->prints[i] == b->prints[i];
    return same;
}

/* Copied, so that what is asked next finds room already. */
static bool keep_boxes(struct sg_planner *p, struct sg_stock_sheets *kept,
                       const struct sg_stock_sheets *asked)
{
    int32_t n = asked->layout.n_boxes;
    if (!sg_planner_room(p, &kept->layout.boxes, &kept->boxes_room, n, sizeof *kept->layout.boxes) ||
        !sg_planner_room(p, &kept->outlines, &kept->outlines_room, n, sizeof *kept->outlines) ||
        !sg_planner_room(p, &kept->prints, &kept->prints_room, n, sizeof *kept->prints))
        return false;
    for (int32_t i = 0; i < n; i++) {
        kept->layout.boxes[i] = asked->layout.boxes[i];
        kept->outlines[i] = asked->outlines[i];
        kept->prints[i] = asked->prints[i];
    }
    return true;
}

static bool keep_question(struct sg_planner *p, struct sg_stock_sheets *kept,
                          const struct sg_stock_sheets *asked)
{
    kept->made = false;
    if (!keep_boxes(p, kept, asked))
        return false;
    kept->n_outlines = asked->n_outlines;
    kept->layout.n_boxes = asked->layout.n_boxes;
    memcpy(kept->layout.sizes, asked->layout.sizes, sizeof kept->layout.sizes);
    kept->layout.n_sizes = asked->layout.n_sizes;
    kept->layout.gap = asked->layout.gap;
    kept->layout.margin = asked->layout.margin;
    kept->layout.common = asked->layout.common;
    memcpy(kept->clamps, asked->clamps, sizeof kept->clamps);
    kept->n_clamps = asked->n_clamps;
    kept->search = asked->search;
    kept->table_length = asked->table_length;
    kept->slat_pitch = asked->slat_pitch;
    return true;
}

/* ---- laying out ---- */

static struct sg_cut_order order_of(const struct sg_stock_sheets *sheets)
{
    return (struct sg_cut_order){.parts = sheets->layout.boxes,
                                 .margin = sheets->layout.margin,
                                 .table_length = sheets->table_length,
                                 .slat_pitch = sheets->slat_pitch,
                                 .interlocked = sheets->layout.interlocked};
}

static bool order_pieces(struct sg_planner *p, struct sg_stock_sheets *sheets)
{
    struct sg_plan_layout *layout = &sheets->layout;
    struct sg_cut_order how = order_of(sheets);
    int64_t most = 0;
    for (int32_t i = 0; i < layout->n_used; i++)
        most = layout->used[i].n_pieces > most ? layout->used[i].n_pieces : most;
    if (!sg_planner_room(p, &p->cut_keys, &p->cut_keys_room, (int32_t)most, sizeof *p->cut_keys) ||
        !sg_planner_room(p, &p->cut_scratch, &p->cut_scratch_room, (int32_t)most, sizeof *p->cut_scratch))
        return false;
    for (int32_t i = 0; i < layout->n_used; i++)
        sg_cut_order(&how, layout->placements + layout->used[i].first, (int32_t)layout->used[i].n_pieces,
                     p->cut_keys, p->cut_scratch);
    return true;
}

static bool take_answer(struct sg_planner *p, struct sg_stock_sheets *sheets)
{
    const struct sg_layout *work = &p->work;
    struct sg_plan_layout *layout = &sheets->layout;
    if (work->n_placements > INT32_MAX / 2 ||
        !sg_planner_room(p, &layout->placements, &sheets->placements_room, (int32_t)work->n_placements,
                         sizeof *layout->placements) ||
        !sg_planner_room(p, &layout->used, &sheets->used_room, work->n_used, sizeof *layout->used))
        return false;
    if (work->n_placements > 0)
        memcpy(layout->placements, work->placements, (size_t)work->n_placements * sizeof *work->placements);
    if (work->n_used > 0)
        memcpy(layout->used, work->used, (size_t)work->n_used * sizeof *work->used);
    layout->n_used = work->n_used;
    layout->sheets = layout->sheets_of_boxes = work->sheets;
    layout->lower_bound = work->lower_bound;
    layout->utilisation = work->utilisation;
    if (!layout->interlocked &&
        !sg_plan_pull(p, layout, sheets->clamps, sheets->n_clamps, sheets->table_length))
        return false;
    return order_pieces(p, sheets) && sg_plan_common(p, layout);
}

/* Outlines into each other where that takes fewer sheets; the boxes are laid out first, to say what it gains.
 */
static bool interlock(struct sg_planner *p, const struct sg_layout_input *boxes,
                      struct sg_stock_sheets *sheets)
{
    struct sg_nest_input input = {.boxes = *boxes, .outlines = sheets->outlines};
    int64_t before = sheets->layout.sheets;
    bool interlocked = false;
    if (!sg_nest_make(&input, &p->nest, &p->work, &interlocked))
        return false;
    if (!interlocked)
        return true;
    sheets->layout.interlocked = true;
    if (!take_answer(p, sheets))
        return false;
    sheets->layout.sheets_of_boxes = before;
    return true;
}

static bool lay_out(struct sg_planner *p, struct sg_stock_sheets *sheets)
{
    struct sg_plan_layout *layout = &sheets->layout;
    struct sg_layout_input input = {.parts = layout->boxes,
                                    .n_parts = layout->n_boxes,
                                    .sheets = layout->sizes,
                                    .n_sheets = layout->n_sizes,
                                    .clamps = sheets->clamps,
                                    .n_clamps = sheets->n_clamps,
                                    .gap = layout->gap,
                                    .margin = layout->margin,
                                    .drop_least = SG_DROP_LEAST,
                                    .effort = sheets->search};
    layout->interlocked = false;
    sheets->made = sg_layout_make(&input, &p->work) && take_answer(p, sheets);
    if (sheets->made && sheets->n_outlines > 0)
        sheets->made = interlock(p, &input, sheets);
    p->failed = p->failed || !sheets->made;
    return sheets->made;
}

static struct sg_stock_sheets *sheets_of(struct sg_planner *p, int32_t index)
{
    int32_t before = p->stock_sheets_room;
    if (!sg_planner_room(p, &p->stock_sheets, &p->stock_sheets_room, index + 1, sizeof *p->stock_sheets))
        return NULL;
    for (int32_t i = before; i < p->stock_sheets_room; i++)
        p->stock_sheets[i] = NULL;
    if (!p->stock_sheets[index])
        p->stock_sheets[index] = calloc(1, sizeof **p->stock_sheets);
    p->failed = p->failed || !p->stock_sheets[index];
    return p->stock_sheets[index];
}

/* The layout of a stock: the last one where nothing that it depends on has changed. */
static const struct sg_stock_sheets *layout_of(struct sg_planner *p, const struct sg_shop *shop,
                                               int32_t index)
{
    const struct sg_stock *stock = &shop->stocks[index];
    double kerf = p->plan.stocks[index - p->plan.first_stock].setup.kerf;
    struct sg_stock_sheets *kept = sheets_of(p, index);
    if (!kept)
        return NULL;
    if (!p->asked)
        p->asked = calloc(1, sizeof *p->asked);
    if (!p->asked || !take_question(p, shop, stock, kerf, p->asked)) {
        p->failed = true;
        return NULL;
    }
    if (same_question(kept, p->asked))
        return kept;
    return keep_question(p, kept, p->asked) && lay_out(p, kept) ? kept : NULL;
}

/* ---- figures of the layout ---- */

static void find_drop(const struct sg_plan_layout *layout, const struct sg_stock *stock, double density,
                      struct sg_plan_stock *out)
{
    double largest = 0;
    for (int32_t i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        double area = used->drop_length * used->drop_width;
        if (used->drop_length < SG_DROP_LEAST || used->drop_width < SG_DROP_LEAST || area <= largest)
            continue;
        largest = area;
        out->drop_length = used->drop_length;
        out->drop_width = used->drop_width;
        out->drop_mass = sg_sheet_mass(used->drop_length, used->drop_width, stock->thickness, density);
    }
}

/* More pieces of a part on sheet `of` (from 1). */
static void count_run(struct sg_part_count *count, int32_t of, int64_t pieces)
{
    count->on = count->of == of ? count->on + pieces : pieces;
    count->of = of;
    count->most = count->on > count->most ? count->on : count->most;
}

/* How many of each part lie on one sheet at most, how many are cut across an index line, and its share. A
 * part that fits on remnants alone may be too many for them: then its sheets are not known. */
static void count_pieces(struct sg_planner *p, const struct sg_stock *stock,
                         const struct sg_stock_sheets *sheets)
{
    const struct sg_plan_layout *layout = &sheets->layout;
    struct sg_plan_part *parts = &p->plan.parts[stock->first_part - p->plan.first_part];
    struct sg_cut_order how = order_of(sheets);
    double all = 0;
    for (int32_t i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        const struct sg_placement *placements = layout->placements + used->first;
        for (int64_t k = 0, run; k < used->n_pieces; k = run) {
            int64_t here = 0, crossing = 0;
            for (run = k; run < used->n_pieces && placements[run].part == placements[k].part; run++) {
                here++;
                crossing += sg_placement_crosses(&how, &placements[run]);
            }
            count_run(&p->counts[placements[k].part], i + 1, here);
            p->counts[placements[k].part].laid += here * used->copies;
            parts[placements[k].part].crossing += crossing * used->copies;
        }
    }
    for (int32_t i = 0; i < stock->n_parts; i++)
        if (p->counts[i].laid == parts[i].cuts && (parts[i].per_sheet = p->counts[i].most) > 0)
            all += (double)parts[i].cuts * layout->boxes[i].length * layout->boxes[i].width;
    for (int32_t i = 0; i < stock->n_parts; i++)
        if (parts[i].per_sheet > 0)
            parts[i].sheets =
                (double)(layout->sheets * stock->stack) *
                ((double)parts[i].cuts * layout->boxes[i].length * layout->boxes[i].width / all);
}

/* ---- batches ---- */

static struct sg_sheets *push_sheets(struct sg_planner *p, const struct sg_sheets *sheets)
{
    struct sg_plan *plan = &p->plan;
    if (!sg_planner_room(p, &plan->sheets, &p->sheets_room, plan->n_sheets + 1, sizeof *plan->sheets))
        return NULL;
    plan->sheets[plan->n_sheets] = *sheets;
    plan->sheets[plan->n_sheets].first = plan->n_batches;
    return &plan->sheets[plan->n_sheets++];
}

static bool push_batch(struct sg_planner *p, const struct sg_batch *of_part, int64_t cuts, int32_t moves)
{
    struct sg_plan *plan = &p->plan;
    if (!sg_planner_room(p, &plan->batches, &p->batches_room, plan->n_batches + 1, sizeof *plan->batches))
        return false;
    struct sg_batch *batch = &plan->batches[plan->n_batches++];
    *batch = *of_part;
    batch->cuts = cuts;
    batch->moves = moves;
    batch->sheets = plan->n_sheets - 1;
    plan->sheets[plan->n_sheets - 1].n++;
    return true;
}

/* s to load one of those that are cut alike: a remnant weighs less than a whole sheet. */
static double load_of(const struct sg_shop *shop, const struct sg_stock *stock, double density,
                      const struct sg_layout_sheet *size, double whole)
{
    double mass = sg_sheet_mass(size->length, size->width, stock->thickness, density) * stock->stack;
    if (size->count < 0 || sg_known(stock->load) || !sg_known(mass))
        return whole;
    return shop->machine.load_fixed + 60 * mass / shop->machine.load_mass;
}

/* Sheets that are cut alike, part after part. */
static void add_sheets(struct sg_planner *p, const struct sg_stock_sheets *sheets, int32_t i,
                       const struct sg_sheets *like)
{
    const struct sg_layout_used *used = &sheets->layout.used[i];
    const struct sg_placement *placements = sheets->layout.placements + used->first;
    struct sg_cut_order how = order_of(sheets);
    struct sg_sheets one = *like;
    one.copies = used->copies;
    if (!push_sheets(p, &one))
        return;
    for (int64_t k = 0, run; k < used->n_pieces && !p->failed; k = run) {
        int32_t moves = sg_placement_moves(&how, &placements[k]);
        for (run = k + 1; run < used->n_pieces && placements[run].part == placements[k].part &&
                          sg_placement_moves(&how, &placements[run]) == moves;
             run++)
            ;
        push_batch(p, &p->protos[placements[k].part], run - k, moves);
    }
}

/* What is not laid out of a part: one load for all of it. */
static void add_alone(struct sg_planner *p, const struct sg_sheets *like, int32_t part, int64_t cuts)
{
    struct sg_sheets one = *like;
    one.copies = 1;
    if (push_sheets(p, &one))
        push_batch(p, &p->protos[part], cuts, 0);
}

/* The first check comes with the first sheet of the stock. */
static void ask_for_check(struct sg_planner *p, const struct sg_plan_stock *out, const struct sg_stock *stock)
{
    if (out->n_sheets > 0)
        p->plan.batches[p->plan.sheets[out->first_sheets].first].first_check = stock->first_check;
}

static void count_stock(struct sg_planner *p, const struct sg_shop *shop, int32_t index,
                        struct sg_plan_stock *out)
{
    const struct sg_stock *stock = &shop->stocks[index];
    for (int32_t i = out->first_sheets; i < out->first_sheets + out->n_sheets; i++) {
        const struct sg_sheets *sheets = &p->plan.sheets[i];
        out->index_moves += sheets->copies * p->plan.batches[sheets->first + sheets->n - 1].moves;
    }
    out->sheets = out->layout ? out->layout->sheets * stock->stack : 0;
    out->lower_bound = out->layout ? out->layout->lower_bound * stock->stack : 0;
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++) {
        const struct sg_plan_part *part = &p->plan.parts[i - p->plan.first_part];
        if (part->cuts > 0 && part->per_sheet == 0)
            out->sheets = out->lower_bound = SG_UNKNOWN;
    }
}

void sg_plan_sheets(struct sg_planner *p, const struct sg_shop *shop, int32_t index, double density)
{
    const struct sg_stock *stock = &shop->stocks[index];
    struct sg_plan_stock *out = &p->plan.stocks[index - p->plan.first_stock];
    struct sg_plan_part *parts = &p->plan.parts[stock->first_part - p->plan.first_part];
    bool sized = sg_known(stock->sheet_length) && sg_known(stock->sheet_width);
    const struct sg_stock_sheets *sheets = sized ? layout_of(p, shop, index) : NULL;
    struct sg_sheets like = {.job = stock->job, .load = out->load};
    out->layout = sheets ? &sheets->layout : NULL;
    if (!sg_planner_room(p, &p->counts, &p->counts_room, stock->n_parts, sizeof *p->counts))
        return;
    out->first_sheets = p->plan.n_sheets;
    out->index_moves = out->remnants = 0;
    out->drop_length = out->drop_width = out->drop_mass = (double)NAN;
    for (int32_t i = 0; i < stock->n_parts; i++) {
        p->counts[i] = (struct sg_part_count){0};
        parts[i].per_sheet = parts[i].crossing = 0;
        parts[i].sheets = parts[i].cuts > 0 ? (double)NAN : 0;
    }
    if (sheets) {
        count_pieces(p, stock, sheets);
        find_drop(&sheets->layout, stock, density, out);
    }
    for (int32_t i = 0; sheets && i < sheets->layout.n_used && !p->failed; i++) {
        const struct sg_layout_used *used = &sheets->layout.used[i];
        const struct sg_layout_sheet *size = &sheets->layout.sizes[used->size];
        like.load = load_of(shop, stock, density, size, out->load);
        out->remnants += size->count < 0 ? 0 : used->copies * stock->stack;
        add_sheets(p, sheets, i, &like);
        like.before += (int32_t)used->copies;
    }
    like.load = out->load;
    for (int32_t i = 0; i < stock->n_parts && !p->failed; i++)
        if (parts[i].cuts > p->counts[i].laid) {
            add_alone(p, &like, i, parts[i].cuts - p->counts[i].laid);
            like.before++;
        }
    out->n_sheets = p->plan.n_sheets - out->first_sheets;
    if (p->failed)
        return;
    ask_for_check(p, out, stock);
    count_stock(p, shop, index, out);
}

void sg_plan_sheets_free(struct sg_planner *p)
{
    for (int32_t i = 0; i < p->stock_sheets_room; i++) {
        struct sg_stock_sheets *sheets = p->stock_sheets[i];
        if (!sheets)
            continue;
        free(sheets->layout.boxes);
        free(sheets->layout.placements);
        free(sheets->layout.used);
        free(sheets->outlines);
        free(sheets->prints);
        free(sheets);
    }
    if (p->asked) {
        free(p->asked->layout.boxes);
        free(p->asked->outlines);
        free(p->asked->prints);
    }
    free(p->sides);
    sg_nest_free(p->nest);
    free(p->asked);
    free(p->stock_sheets);
    free(p->pulled);
    free(p->cut_keys);
    free(p->cut_scratch);
    free(p->protos);
    free(p->counts);
    sg_layout_free(&p->work);
}
