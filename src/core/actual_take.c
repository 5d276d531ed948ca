/* Between plans, clocks and study runs. */
#include "actual_inside.h"

#include <math.h>
#include <string.h>

/* ---- the plan of a clock ---- */

struct taking {
    const struct sg_rest *rest;
    const struct sg_plan *plan;
    const struct sg_stock *stock;
    const struct sg_plan_stock *planned;
    const struct sg_head *head;
    struct sg_clock *clock;
    double edged;      /* mm x edge^1.15, for the edge that they have together */
    double pierces;    /* of one head */
    int64_t pieces;    /* of all parts */
    bool typed_pierce; /* seconds of a pierce were typed */
};

/* Edge and feed that a part has of its own, or its stock's. */
static double edge_of(const struct taking *t, const struct sg_part *part)
{
    return sg_known(part->edge) ? part->edge : t->stock->edge;
}

static void take_batch(struct taking *t, const struct sg_batch *batch, double copies)
{
    const struct sg_part *part = &t->rest->shop.parts[batch->part];
    const struct sg_plan_split *split = &t->plan->parts[batch->part - t->plan->first_part].split;
    struct sg_clock *clock = t->clock;
    double cuts = copies * (double)batch->cuts, heads = t->head->heads;
    double corner = cuts * split->corner / heads, acceleration = cuts * split->acceleration / heads;
    double length = cuts * (part->cut_length + split->lead_length) / heads;
    clock->planned_cut += cuts * batch->cut - corner - acceleration;
    clock->planned_corner += corner;
    clock->planned_acceleration += acceleration;
    clock->planned_pierce += cuts * batch->pierce;
    clock->planned_rapid += cuts * batch->rapid;
    clock->planned_garnet += cuts * batch->garnet;
    clock->cut_length += length;
    t->edged += length * pow(edge_of(t, part), SG_TRAVERSE_EXPONENT);
    t->pierces += cuts * part->pierces / heads;
    if (sg_known(part->feed) || sg_known(t->stock->feed))
        clock->feed_typed = 1;
    t->typed_pierce = t->typed_pierce || sg_known(part->pierce_seconds) || sg_known(t->stock->pierce_seconds);
}

int32_t sg_plan_each_load(const struct sg_plan *plan, int32_t stock, int32_t loads, sg_load_visit *visit,
                          void *context)
{
    const struct sg_plan_stock *planned = &plan->stocks[stock - plan->first_stock];
    int64_t left = loads;
    for (int32_t i = planned->first_sheets; i < planned->first_sheets + planned->n_sheets && left > 0; i++) {
        int64_t copies = plan->sheets[i].copies < left ? plan->sheets[i].copies : left;
        visit(context, &plan->sheets[i], copies);
        left -= copies;
    }
    return (int32_t)(loads - left);
}

static void take_load(void *context, const struct sg_sheets *sheets, int64_t copies)
{
    struct taking *t = context;
    t->clock->planned_hands += (double)copies * sheets->load;
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
        take_batch(t, &t->plan->batches[b], (double)copies);
}

static void take_settings(struct taking *t)
{
    const struct sg_shop *shop = &t->rest->shop;
    const struct sg_setup *setup = &t->planned->setup;
    struct sg_clock *clock = t->clock;
    int32_t m = t->stock->material;
    clock->material = m == SG_UNKNOWN ? "" : shop->materials[m].name;
    clock->head = t->head->name;
    clock->head_kind = t->head->kind;
    clock->heads = t->head->heads;
    clock->height = setup->height;
    clock->edge = t->stock->edge;
    clock->pressure = t->head->pressure;
    clock->low_pressure = t->head->low_pressure;
    clock->orifice = t->head->orifice;
    clock->tube = setup->abrasive ? setup->bore : (double)NAN;
    clock->garnet = setup->abrasive ? setup->garnet : (double)NAN;
    clock->abrasive_factor = t->head->abrasive_factor;
    clock->discharge = t->head->discharge;
    clock->threshold = m == SG_UNKNOWN ? (double)NAN : shop->materials[m].threshold;
    clock->feed_override = t->stock->feed_override;
    clock->top_feed = shop->machine.top_feed;
    clock->feed_typed = 0;
    clock->pierce = t->stock->pierce != SG_UNKNOWN ? t->stock->pierce
                    : m != SG_UNKNOWN              ? shop->materials[m].pierce
                                                   : SG_UNKNOWN;
}

static void forget_plan(struct sg_clock *clock)
{
    clock->planned_cut = clock->planned_corner = clock->planned_acceleration = (double)NAN;
    clock->planned_pierce = clock->planned_rapid = clock->planned_garnet = (double)NAN;
    clock->cut_length = (double)NAN;
    clock->planned_hands = (double)NAN;
    clock->pieces = clock->pierces = SG_UNKNOWN;
}

static double or_unknown(double value)
{
    return isfinite(value) ? value : (double)NAN;
}

static void take_sums(struct taking *t)
{
    struct sg_clock *clock = t->clock;
    double *sums[] = {&clock->planned_cut,    &clock->planned_corner, &clock->planned_acceleration,
                      &clock->planned_pierce, &clock->planned_rapid,  &clock->planned_garnet,
                      &clock->cut_length};
    for (size_t i = 0; i < sizeof sums / sizeof *sums; i++)
        *sums[i] = or_unknown(*sums[i]);
    clock->pieces = (int32_t)t->pieces;
    clock->pierces = (int32_t)lround(t->pierces);
    if (t->typed_pierce)
        clock->pierce = SG_UNKNOWN;
    if (clock->cut_length > 0) {
        double edge = pow(t->edged / clock->cut_length, 1 / SG_TRAVERSE_EXPONENT);
        clock->edge = fmin(fmax(edge, 0), SG_EDGES);
    }
}

struct piece_count {
    const struct sg_rest *rest;
    const struct sg_plan *plan;
    int32_t part;
    int64_t cuts;
};

static void count_part(void *context, const struct sg_sheets *sheets, int64_t copies)
{
    struct piece_count *c = context;
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
        if (c->plan->batches[b].part == c->part)
            c->cuts += copies * c->plan->batches[b].cuts;
}

int64_t sg_rest_pieces(const struct sg_rest *rest, const struct sg_plan *plan, int32_t part, int32_t sheets)
{
    struct piece_count count = {rest, plan, part, 0};
    int32_t stock = rest->shop.parts[part].stock;
    sg_plan_each_load(plan, stock, sheets, count_part, &count);
    int64_t pieces = count.cuts * rest->shop.stocks[stock].stack;
    int64_t left = rest->shop.parts[part].quantity; /* the last cut of a stack gives fewer that count */
    return pieces < left ? pieces : left;
}

static int64_t moment_of(const struct sg_rest *rest, const struct sg_plan *plan)
{
    double epoch = rest->shop.shifts[plan->shift].calendar.epoch + plan->ends;
    return sg_known(plan->ends) ? rest->now + llround(epoch - rest->now_epoch) : SG_NO_MOMENT;
}

int32_t sg_clock_take(const struct sg_rest *rest, const struct sg_plan *plan, int32_t stock, int32_t sheets,
                      struct sg_clock *clock)
{
    const struct sg_stock *of = &rest->shop.stocks[stock];
    struct taking t = {.rest = rest,
                       .plan = plan,
                       .stock = of,
                       .planned = &plan->stocks[stock - plan->first_stock],
                       .clock = clock};
    t.head = &rest->shop.heads[t.planned->head];
    take_settings(&t);
    clock->planned_end = moment_of(rest, plan);
    clock->sheets = sheets;
    clock->planned_cut = clock->planned_corner = clock->planned_acceleration = 0;
    clock->planned_pierce = clock->planned_rapid = clock->planned_garnet = clock->planned_hands = 0;
    clock->cut_length = 0;
    int32_t loads = sg_plan_each_load(plan, stock, sheets, take_load, &t);
    for (int32_t i = of->first_part; i < of->first_part + of->n_parts; i++)
        t.pieces += sg_rest_pieces(rest, plan, i, sheets);
    double hands = clock->phase == SG_PHASE_CHECK ? of->first_check : clock->planned_hands;
    if (loads > 0)
        take_sums(&t);
    if (loads == 0 || clock->phase != SG_PHASE_CUT)
        forget_plan(clock);
    clock->planned_hands = clock->phase == SG_PHASE_CUT ? (double)NAN : hands;
    if (loads > 0)
        clock->sheets = loads;
    return loads;
}

/* ---- study runs ---- */

static int32_t named_material(const struct sg_shop *shop, const char *name)
{
    for (int32_t i = 0; i < shop->n_materials; i++)
        if (strcmp(shop->materials[i].name, name) == 0)
            return i;
    return SG_UNKNOWN;
}

static struct sg_study_run run_of(const struct sg_clock *clock, const struct sg_actual_clock *actual,
                                  double scale)
{
    return (struct sg_study_run){.material_name = clock->material,
                                 .head_kind = clock->head_kind,
                                 .heads = clock->heads,
                                 .height = clock->height,
                                 .edge = clock->edge,
                                 .pressure = clock->pressure,
                                 .low_pressure = clock->low_pressure,
                                 .orifice = clock->orifice,
                                 .tube = clock->tube,
                                 .garnet = clock->garnet,
                                 .abrasive_factor = clock->abrasive_factor,
                                 .discharge = clock->discharge,
                                 .threshold = clock->threshold,
                                 .feed_override = clock->feed_override,
                                 .top_feed = clock->top_feed,
                                 .feed_typed = clock->feed_typed,
                                 .pierce = clock->pierce,
                                 .cut_length = clock->cut_length * scale,
                                 .pierces = (int32_t)lround(fmax(0, clock->pierces) * scale),
                                 .planned_cut = clock->planned_cut * scale,
                                 .planned_corner = clock->planned_corner * scale,
                                 .planned_acceleration = clock->planned_acceleration * scale,
                                 .planned_pierce = clock->planned_pierce * scale,
                                 .planned_rapid = clock->planned_rapid * scale,
                                 .took = (double)(actual->until - actual->from),
                                 .cut_only = clock->cut_only,
                                 .stops = actual->paused,
                                 .garnet_used = actual->garnet_used,
                                 .garnet_weighed = actual->weighed};
}

/* What was cut of its first sheet before the check is in its plan, and so belongs to what it took. */
static void add_before(struct sg_study_run *run, double seconds)
{
    if (seconds > 0)
        run->garnet_used = (double)NAN; /* read around the rest alone */
    run->took += seconds;
}

/* Whether the shop still has what a cut was about. */
static bool is_there(const struct sg_shop *shop, const struct sg_clock *clock)
{
    return named_material(shop, clock->material) != SG_UNKNOWN &&
           sg_find_head(shop, clock->head) != SG_UNKNOWN;
}

void sg_actual_left_out(const struct sg_shop *shop, const struct sg_actual *actual, int32_t n[SG_LEFT_WHYS])
{
    memset(n, 0, SG_LEFT_WHYS * sizeof *n);
    for (int32_t i = 0; i <= actual->last; i++) {
        enum sg_actual_left_out why = sg_actual_run_of(shop, actual, i, NULL);
        n[why == SG_LEFT_NOTHING && !is_there(shop, &shop->clocks[i]) ? SG_LEFT_GONE : why]++;
    }
}

bool sg_actual_runs(const struct sg_shop *shop, const struct sg_actual *actual, struct sg_arena *arena,
                    struct sg_study_run **runs, int32_t **clocks, int32_t *n, int32_t *left_out)
{
    *runs = sg_arena_take(arena, ((size_t)shop->n_clocks + 1) * sizeof **runs);
    int32_t *of = sg_arena_take(arena, ((size_t)shop->n_clocks + 1) * sizeof *of);
    *n = *left_out = 0;
    if (!*runs || !of)
        return false;
    for (int32_t i = 0; i <= actual->last; i++) {
        struct sg_actual_run joined;
        const struct sg_clock *clock = &shop->clocks[i];
        enum sg_actual_left_out why = sg_actual_run_of(shop, actual, i, &joined);
        if (why == SG_LEFT_NO_CUT)
            continue;
        if (why != SG_LEFT_NOTHING || !is_there(shop, clock)) {
            ++*left_out;
            continue;
        }
        struct sg_study_run *run = &(*runs)[*n];
        *run = run_of(clock, &actual->clocks[i], joined.scale);
        add_before(run, joined.before);
        run->material = named_material(shop, clock->material);
        run->head = sg_find_head(shop, clock->head);
        of[(*n)++] = i;
    }
    if (clocks)
        *clocks = of;
    return true;
}
