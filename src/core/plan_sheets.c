/* What lies where on the sheets of a stock, and the batches of the run that come of it. */
#include "plan_inside.h"

#include "sandglass/cut_order.h"
#include "sandglass/nest.h"
#include "sandglass/sheet.h"

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
    bool made; /* the layout is that of what stands here */
};

/* Take something that the layout depends on; it is made anew where that is not what it was. Of structures
 * only those without padding. */
static void take(struct sg_stock_sheets *sheets, void *kept, const void *now, size_t size)
{
    if (memcmp(kept, now, size) == 0)
        return;
    memcpy(kept, now, size);
    sheets->made = false;
}

static void take_count(struct sg_stock_sheets *sheets, int32_t *kept, int32_t now)
{
    take(sheets, kept, &now, sizeof now);
}

static void take_mm(struct sg_stock_sheets *sheets, double *kept, double now)
{
    take(sheets, kept, &now, sizeof now);
}

static void take_flag(struct sg_stock_sheets *sheets, bool *kept, bool now)
{
    take(sheets, kept, &now, sizeof now);
}

static void take_size(struct sg_stock_sheets *sheets, int32_t i, double length, double width, bool across,
                      int64_t count)
{
    struct sg_layout_sheet size = {across ? width : length, across ? length : width, count};
    take(sheets, &sheets->layout.sizes[i], &size, sizeof size);
}

/* Where there is a grain it runs alike in all sheets: a remnant lies as the whole sheet does. */
static bool remnant_lies_across(const struct sg_machine *machine, const struct sg_stock *stock,
                                const double *size)
{
    return stock->turn ? sg_sheet_lies_across(machine->table_width, size[0], size[1])
                       : sg_sheet_lies_across(machine->table_width, stock->sheet_length, stock->sheet_width);
}

static bool is_remnant_too_wide(const struct sg_machine *machine, const struct sg_stock *stock,
                                const double *size)
{
    return sg_sheet_too_wide(machine->table_width, size[remnant_lies_across(machine, stock, size) ? 0 : 1]);
}

int64_t sg_plan_remnants_off_table(const struct sg_machine *machine, const struct sg_stock *stock)
{
    int64_t off = 0;
    for (int64_t i = 0; i < stock->remnants.n; i++)
        if (is_remnant_too_wide(machine, stock, stock->remnants.at[i]))
            off += (int64_t)stock->remnants.at[i][2];
    return off;
}

/* Remnants, without those that are too wide for the table, and whole sheets. */
static void take_sizes(const struct sg_machine *machine, const struct sg_stock *stock,
                       struct sg_stock_sheets *sheets)
{
    int32_t n = 0;
    bool whole = sg_sheet_lies_across(machine->table_width, stock->sheet_length, stock->sheet_width);
    for (int64_t i = 0; i < stock->remnants.n; i++) {
        const double *size = stock->remnants.at[i];
        int64_t stacks = (int64_t)size[2] / stock->stack;
        if (stacks > 0 && !is_remnant_too_wide(machine, stock, size))
            take_size(sheets, n++, size[0], size[1], remnant_lies_across(machine, stock, size), stacks);
    }
    take_size(sheets, n++, stock->sheet_length, stock->sheet_width, whole, -1);
    take_count(sheets, &sheets->layout.n_sizes, n);
    take_flag(sheets, &sheets->layout.across, whole && !stock->turn);
}

/* Clamps are typed as the sheet is; it may lie across. */
static void take_clamps(const struct sg_machine *machine, const struct sg_stock *stock,
                        struct sg_stock_sheets *sheets)
{
    bool across = sg_sheet_lies_across(machine->table_width, stock->sheet_length, stock->sheet_width);
    take_count(sheets, &sheets->n_clamps, (int32_t)stock->clamps.n);
    for (int32_t i = 0; i < sheets->n_clamps; i++) {
        const double *at = stock->clamps.at[i];
        struct sg_layout_clamp clamp = across ? (struct sg_layout_clamp){at[3], at[2], at[1], at[0]}
                                              : (struct sg_layout_clamp){at[2], at[3], at[0], at[1]};
        take(sheets, &sheets->clamps[i], &clamp, sizeof clamp);
    }
}

static void take_box(const struct sg_part *part, const struct sg_plan_part *planned, bool turn,
                     struct sg_stock_sheets *sheets, int32_t i)
{
    struct sg_layout_part *box = &sheets->layout.boxes[i];
    bool laid = planned->cuts > 0 && sg_known(part->length) && sg_known(part->width);
    int64_t quantity = laid ? planned->cuts - part->begun_cuts : 0;
    take_mm(sheets, &box->length, laid ? part->length : 1);
    take_mm(sheets, &box->width, laid ? part->width : 1);
    take(sheets, &box->quantity, &quantity, sizeof quantity);
    take_flag(sheets, &box->turn, turn);
}

/* What is drawn is told by its print; where it lies in memory may have changed. */
static void take_outline(const struct sg_drawn *drawn, struct sg_stock_sheets *sheets, int32_t i)
{
    uint64_t print = drawn ? drawn->print : 0;
    take(sheets, &sheets->prints[i], &print, sizeof print);
    sheets->outlines[i] = drawn ? drawn->outline : NULL;
    sheets->n_outlines += drawn != NULL;
}

static bool take_boxes(struct sg_planner *p, const struct sg_shop *shop, const struct sg_stock *stock,
                       struct sg_stock_sheets *sheets)
{
    struct sg_plan_layout *layout = &sheets->layout;
    const struct sg_plan_part *planned = &p->plan.parts[stock->first_part - p->plan.first_part];
    int32_t n = stock->n_parts, boxes = sheets->boxes_room, prints = sheets->prints_room;
    if (!sg_planner_room(p, &layout->boxes, &sheets->boxes_room, n, sizeof *layout->boxes) ||
        !sg_planner_room(p, &sheets->outlines, &sheets->outlines_room, n, sizeof *sheets->outlines) ||
        !sg_planner_room(p, &sheets->prints, &sheets->prints_room, n, sizeof *sheets->prints))
        return false;
    for (; boxes < sheets->boxes_room; boxes++) /* what is new is compared before it is written */
        layout->boxes[boxes] = (struct sg_layout_part){0};
    for (; prints < sheets->prints_room; prints++)
        sheets->prints[prints] = 0;
    take_count(sheets, &layout->n_boxes, n);
    sheets->n_outlines = 0;
    for (int32_t i = 0; i < n; i++) {
        const struct sg_part *part = &shop->parts[stock->first_part + i];
        take_box(part, &planned[i], stock->turn, sheets, i);
        bool drawn = layout->boxes[i].quantity > 0 && stock->interlock && part->outline != SG_UNKNOWN;
        take_outline(drawn ? &shop->drawn[part->outline] : NULL, sheets, i);
    }
    return true;
}

static bool take_question(struct sg_planner *p, const struct sg_shop *shop, const struct sg_stock *stock,
                          double kerf, struct sg_stock_sheets *sheets)
{
    struct sg_plan_layout *layout = &sheets->layout;
    bool common = sg_plan_is_common(shop, stock, kerf);
    take_flag(sheets, &layout->common, common);
    take_mm(sheets, &layout->gap, common ? kerf : sg_plan_spacing(stock, kerf));
    take_mm(sheets, &layout->margin, stock->margin);
    take_count(sheets, &sheets->search, stock->search);
    take_mm(sheets, &sheets->table_length, shop->machine.table_length);
    take_mm(sheets, &sheets->slat_pitch, shop->machine.slat_pitch);
    take_sizes(&shop->machine, stock, sheets);
    take_clamps(&shop->machine, stock, sheets);
    return take_boxes(p, shop, stock, sheets);
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
    if (!sg_planner_room(p, &p->cut_keys, &p->cut_keys_room, 2 * (int32_t)most, sizeof *p->cut_keys) ||
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
    layout->sheets = work->sheets;
    layout->lower_bound = work->lower_bound;
    layout->utilisation = work->utilisation;
    return true;
}

/* Outlines into each other where that takes fewer sheets than their boxes. */
static bool make_layout(struct sg_planner *p, const struct sg_layout_input *boxes,
                        struct sg_stock_sheets *sheets)
{
    struct sg_plan_layout *layout = &sheets->layout;
    struct sg_nest_input input = {.boxes = *boxes, .outlines = sheets->outlines, .effort = sheets->search};
    struct sg_nest_gain gain = {false, 0};
    bool made = sheets->n_outlines > 0 ? sg_nest_make(&input, &p->nest, &p->work, &gain)
                                       : sg_layout_make(boxes, &p->work);
    layout->interlocked = gain.interlocked;
    if (!made || !take_answer(p, sheets))
        return false;
    layout->sheets_of_boxes = layout->interlocked ? gain.sheets_of_boxes : layout->sheets;
    return sg_plan_pull(p, layout, boxes, sheets->table_length);
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
                                    .across = layout->across,
                                    .drop_least = SG_DROP_LEAST,
                                    .effort = sheets->search};
    sheets->made = make_layout(p, &input, sheets) && order_pieces(p, sheets) && sg_plan_common(p, layout);
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
    if (!take_question(p, shop, stock, kerf, kept)) {
        kept->made = false;
        return NULL;
    }
    return kept->made || lay_out(p, kept) ? kept : NULL;
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
    struct sg_plan_part *parts =
        stock->n_parts > 0 ? &p->plan.parts[stock->first_part - p->plan.first_part] : NULL;
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
                (double)((layout->sheets + stock->begun_loads) * stock->stack) *
                ((double)parts[i].cuts * layout->boxes[i].length * layout->boxes[i].width / all);
}

/* ---- batches ---- */

struct sg_sheets *sg_plan_push_sheets(struct sg_planner *p, const struct sg_sheets *sheets)
{
    struct sg_plan *plan = &p->plan;
    if (!sg_planner_room(p, &plan->sheets, &p->sheets_room, plan->n_sheets + 1, sizeof *plan->sheets))
        return NULL;
    plan->sheets[plan->n_sheets] = *sheets;
    plan->sheets[plan->n_sheets].first = plan->n_batches;
    return &plan->sheets[plan->n_sheets++];
}

bool sg_plan_push_batch(struct sg_planner *p, const struct sg_batch *of_part, int64_t cuts, int32_t moves)
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

/* Sheets that are cut alike, part after part. */
static void add_sheets(struct sg_planner *p, const struct sg_stock_sheets *sheets, int32_t i,
                       const struct sg_sheets *like)
{
    const struct sg_layout_used *used = &sheets->layout.used[i];
    const struct sg_placement *placements = sheets->layout.placements + used->first;
    struct sg_cut_order how = order_of(sheets);
    struct sg_sheets one = *like;
    one.copies = used->copies;
    if (!sg_plan_push_sheets(p, &one))
        return;
    for (int64_t k = 0, run; k < used->n_pieces && !p->failed; k = run) {
        int32_t moves = sg_placement_moves(&how, &placements[k]);
        for (run = k + 1; run < used->n_pieces && placements[run].part == placements[k].part &&
                          sg_placement_moves(&how, &placements[run]) == moves;
             run++)
            ;
        sg_plan_push_batch(p, &p->protos[placements[k].part], run - k, moves);
    }
}

/* What is not laid out of a part: one load for all of it. */
static void add_alone(struct sg_planner *p, const struct sg_sheets *like, int32_t part, int64_t cuts)
{
    struct sg_sheets one = *like;
    one.copies = 1;
    if (sg_plan_push_sheets(p, &one))
        sg_plan_push_batch(p, &p->protos[part], cuts, 0);
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
    int64_t begun = (int64_t)stock->begun_loads * stock->stack;
    out->sheets = begun + (out->layout ? out->layout->sheets * stock->stack : 0);
    out->lower_bound = begun + (out->layout ? out->layout->lower_bound * stock->stack : 0);
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
    struct sg_plan_part *parts =
        stock->n_parts > 0 ? &p->plan.parts[stock->first_part - p->plan.first_part] : NULL;
    bool sized = sg_known(stock->sheet_length) && sg_known(stock->sheet_width);
    const struct sg_stock_sheets *sheets = sized ? layout_of(p, shop, index) : NULL;
    struct sg_sheets like = {.job = stock->job, .before = stock->loads_before, .load = out->load};
    out->layout = sheets ? &sheets->layout : NULL;
    if (!sg_planner_room(p, &p->counts, &p->counts_room, stock->n_parts, sizeof *p->counts))
        return;
    out->first_sheets = p->plan.n_sheets;
    out->index_moves = out->remnants = 0;
    out->drop_length = out->drop_width = out->drop_mass = (double)NAN;
    for (int32_t i = 0; i < stock->n_parts; i++) {
        p->counts[i] = (struct sg_part_count){.laid = shop->parts[stock->first_part + i].begun_cuts};
        parts[i].per_sheet = parts[i].crossing = 0;
        parts[i].sheets = parts[i].cuts > 0 ? (double)NAN : 0;
    }
    for (int32_t i = 0; i < stock->n_begun; i++)
        count_run(&p->counts[stock->begun[i].part], -1 - stock->begun[i].load, stock->begun[i].cuts);
    if (sheets) {
        count_pieces(p, stock, sheets);
        find_drop(&sheets->layout, stock, density, out);
    }
    sg_plan_begun(p, &shop->machine, stock, &like);
    for (int32_t i = 0; sheets && i < sheets->layout.n_used && !p->failed; i++) {
        const struct sg_layout_used *used = &sheets->layout.used[i];
        const struct sg_layout_sheet *size = &sheets->layout.sizes[used->size];
        like.load = sg_plan_load(&shop->machine, stock,
                                 sg_sheet_mass(size->length, size->width, stock->thickness, density));
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
    free(p->sides);
    sg_nest_free(p->nest);
    free(p->stock_sheets);
    free(p->pulled);
    free(p->cut_keys);
    free(p->cut_scratch);
    free(p->protos);
    free(p->counts);
    sg_layout_free(&p->work);
}
