/* What the parts of a job use: their own time and stuff from the plan, and their share of what parts have in
 * common. */
#include "cost_inside.h"

#include <string.h>

static enum sg_status count_pieces(const struct sg_shop *shop, int32_t job, const struct sg_cost_job *c,
                                   struct sg_error *error)
{
    for (int32_t i = c->first_part; i < c->first_part + c->n_parts; i++)
        if (shop->parts[i].quantity > 0)
            return SG_OK;
    return sg_fail(error, SG_BAD_DATA, "job %s has no pieces to price: give one of its parts a quantity",
                   shop->jobs[job].id);
}

enum sg_status sg_cost_start(const struct sg_shop *shop, int32_t job, struct sg_arena *arena,
                             struct sg_cost_job *out, struct sg_error *error)
{
    const struct sg_job *of = &shop->jobs[job];
    struct sg_cost_job c = {.job = job, .first_stock = of->first_stock, .n_stocks = of->n_stocks};
    c.n_heads = shop->n_heads;
    c.chores = shop->chores;
    c.n_chores = shop->n_chores;
    for (int32_t i = 0; i < of->n_stocks; i++)
        c.n_parts += shop->stocks[of->first_stock + i].n_parts;
    c.first_part = of->n_stocks > 0 ? shop->stocks[of->first_stock].first_part : 0;
    enum sg_status status = count_pieces(shop, job, &c, error);
    if (status != SG_OK)
        return status;
    c.work = sg_arena_take(arena, (size_t)c.n_parts * sizeof *c.work);
    c.pools = sg_arena_take(arena, (size_t)c.n_stocks * sizeof *c.pools);
    c.changes = sg_arena_take(arena, (size_t)c.n_heads * sizeof *c.changes);
    if (!c.work || !c.pools || !c.changes)
        return sg_fail(error, SG_FAULT, "no memory to price job %s", of->id);
    *out = c;
    return SG_OK;
}

/* ---- work by hand that parts share ---- */

static void add_chore(struct sg_cost_job *c, const struct sg_event *event, const struct sg_batch *batch,
                      struct sg_cost_pool *pool)
{
    switch (c->shop->chores[event->chore].when) {
    case SG_CHORE_SHIFT_START:
    case SG_CHORE_SHIFT_END:
        c->shift_chores += event->seconds;
        break;
    case SG_CHORE_JOB:
        c->job_chores += batch->job == c->job ? event->seconds : 0;
        break;
    case SG_CHORE_SHEET:
        if (pool)
            pool->sheets += event->seconds;
        break;
    default: /* of a piece: each part has its own; services are dealt by what is used up */
        break;
    }
}

static void add_event(struct sg_cost_job *c, const struct sg_event *event)
{
    const struct sg_batch *batch = &c->plan->batches[event->batch];
    struct sg_cost_pool *pool = batch->job == c->job ? &c->pools[batch->stock - c->first_stock] : NULL;
    switch (event->kind) {
    case SG_EVENT_REFILL:
        c->refills += event->seconds;
        c->refills_stop += event->flags & SG_EVENT_WHILE_CUTTING ? 0 : event->seconds;
        break;
    case SG_EVENT_TUBE_CHANGE:
    case SG_EVENT_ORIFICE_CHANGE:
        c->changes[batch->head] += event->seconds;
        break;
    case SG_EVENT_HEAD_CHANGE:
    case SG_EVENT_FIRST_CHECK:
        if (pool)
            pool->setup += event->seconds;
        break;
    case SG_EVENT_LOAD:
    case SG_EVENT_INDEX_MOVE:
        if (pool)
            pool->sheets += event->seconds;
        break;
    case SG_EVENT_CHORE:
        add_chore(c, event, batch, pool);
        break;
    default: /* cutting is counted by part, tabs too */
        break;
    }
}

static void add_events(struct sg_cost_job *c)
{
    memset(c->pools, 0, (size_t)c->n_stocks * sizeof *c->pools);
    memset(c->changes, 0, (size_t)c->n_heads * sizeof *c->changes);
    c->job_chores = c->shift_chores = c->refills = c->refills_stop = 0;
    for (int32_t i = 0; i < c->plan->run.n_events; i++)
        add_event(c, &c->plan->run.events[i]);
}

/* ---- dealing it out ---- */

static double or_zero(double value)
{
    return sg_known(value) ? value : 0;
}

static const struct sg_plan_part *planned(const struct sg_cost_job *c, int32_t part)
{
    return &c->plan->parts[part - c->plan->first_part];
}

/* How much a part of the shop counts when something is dealt out. */
typedef double weigh(const struct sg_cost_job *c, int32_t part);

static double by_time(const struct sg_cost_job *c, int32_t part)
{
    const struct sg_plan_part *p = planned(c, part);
    return or_zero(p->cut + p->pierce + p->rapid);
}

static double by_garnet(const struct sg_cost_job *c, int32_t part)
{
    return or_zero(planned(c, part)->garnet);
}

static double by_jet(const struct sg_cost_job *c, int32_t part)
{
    const struct sg_plan_part *p = planned(c, part);
    const struct sg_plan_stock *stock = &c->plan->stocks[c->shop->parts[part].stock - c->plan->first_stock];
    return stock->head == c->head ? or_zero(p->cut + p->pierce) : 0;
}

static double by_sheets(const struct sg_cost_job *c, int32_t part)
{
    return planned(c, part)->sheets;
}

static double by_cuts(const struct sg_cost_job *c, int32_t part)
{
    return (double)planned(c, part)->cuts;
}

struct parts {
    int32_t first, n;
};

static double sum_of(const struct sg_cost_job *c, struct parts among, weigh *weight)
{
    double sum = 0;
    for (int32_t i = among.first; i < among.first + among.n; i++)
        sum += weight(c, i);
    return sum;
}

/* What is dealt out: seconds of hands, of which some stop the machine. */
struct hands {
    double all, stops;
    enum sg_price_cause cause;
};

/* Deal to parts of the job by weight. */
static void deal(struct sg_cost_job *c, struct hands hands, struct parts among, weigh *weight)
{
    double sum = sum_of(c, among, weight);
    if (!(sum > 0))
        sum = sum_of(c, among, weight = by_cuts); /* as of parts whose time is 0 */
    if (!(sum > 0) || !(hands.all > 0))
        return;
    for (int32_t part = among.first; part < among.first + among.n; part++) {
        struct sg_cost_work *work = &c->work[part - c->first_part];
        double share = weight(c, part) / sum;
        work->labour[hands.cause] += hands.all * share;
        work->machine[hands.cause] += hands.stops * share;
    }
}

static struct hands stopping(double seconds, enum sg_price_cause cause)
{
    return (struct hands){seconds, seconds, cause};
}

static void deal_stock(struct sg_cost_job *c, int32_t stock)
{
    const struct sg_stock *of = &c->shop->stocks[stock];
    const struct sg_cost_pool *pool = &c->pools[stock - c->first_stock];
    bool laid_out = c->plan->stocks[stock - c->plan->first_stock].sheets != SG_UNKNOWN;
    struct parts parts = {of->first_part, of->n_parts};
    deal(c, stopping(pool->setup, SG_CAUSE_SETUP), parts, by_time);
    deal(c, stopping(pool->sheets, SG_CAUSE_LOADS), parts, laid_out ? by_sheets : by_time);
}

static double sum_causes(const double *seconds)
{
    double sum = 0;
    for (int i = 0; i < SG_CAUSES; i++)
        sum += seconds[i];
    return sum;
}

/* How much of a service's interval the job uses up; `share` is what it takes of a shift. */
static double interval_used(const struct sg_cost_job *c, const struct sg_chore *chore, double share)
{
    struct parts job = {c->first_part, c->n_parts};
    if (chore->counts == SG_COUNTS_CALENDAR)
        return chore->every_days > 0 ? share / chore->every_days : 0;
    double used = 0; /* as the run counts them */
    for (int32_t i = 0; i < c->n_parts; i++)
        used += or_zero(c->work[i].jet);
    used = chore->counts == SG_COUNTS_TABLE ? sum_of(c, job, by_time) : used;
    return chore->every > 0 ? used / chore->every : 0; /* NaN: never */
}

/* Chores of the shift and services, by what the job takes of them; last, as the time by hand counts. */
static void deal_shift(struct sg_cost_job *c, struct parts job)
{
    double taken = 0;
    for (int32_t i = 0; i < c->n_parts; i++)
        taken += or_zero(sum_causes(c->work[i].machine));
    double share = fmin(1, taken / SG_COST_SHIFT), seconds = c->shift_chores * share;
    for (int32_t i = 0; i < c->n_chores; i++)
        if (c->chores[i].when == SG_CHORE_DUE && c->chores[i].time > 0)
            seconds += c->chores[i].time * interval_used(c, &c->chores[i], share);
    deal(c, stopping(seconds, SG_CAUSE_SETUP), job, by_time);
}

static void deal_shared(struct sg_cost_job *c)
{
    struct parts job = {c->first_part, c->n_parts};
    for (int32_t i = 0; i < c->n_stocks; i++)
        deal_stock(c, c->first_stock + i);
    deal(c, stopping(c->job_chores, SG_CAUSE_SETUP), job, by_time);
    deal(c, (struct hands){c->refills, c->refills_stop, SG_CAUSE_REFILLS}, job, by_garnet);
    for (c->head = 0; c->head < c->n_heads; c->head++)
        deal(c, stopping(c->changes[c->head], SG_CAUSE_CHANGES), job, by_jet);
    deal_shift(c, job);
}

/* ---- what is a part's own ---- */

static double chores_of_pieces(const struct sg_shop *shop, double pieces)
{
    double seconds = 0;
    for (int32_t i = 0; i < shop->n_chores; i++)
        if (shop->chores[i].when == SG_CHORE_PIECE && shop->chores[i].time > 0)
            seconds += shop->chores[i].time * pieces;
    return seconds;
}

/* Used up by `jet` seconds on each of the heads; nothing is used without a jet, whatever its life. */
static double used_up(double jet, int32_t heads, double life)
{
    return jet == 0 ? 0 : jet * heads / life;
}

static void take_jet(const struct sg_head *head, const struct sg_plan_stock *stock, struct sg_cost_work *w)
{
    double jet = w->jet, all = jet * head->heads;
    w->amounts[SG_COST_POWER] = jet == 0 ? 0 : all / 3600 * stock->setup.shaft_power;
    w->amounts[SG_COST_WATER] = jet == 0 ? 0 : all / 60 * stock->setup.water;
    w->amounts[SG_COST_TUBE] = stock->setup.abrasive ? used_up(jet, head->heads, head->tube_life) : 0;
    w->amounts[SG_COST_ORIFICE] = used_up(jet, head->heads, head->orifice_life);
    if (w->amounts[SG_COST_TUBE] != 0 && !sg_known(head->tube_life))
        w->lacks[SG_COST_TUBE] |= SG_LACK_TUBE_LIFE;
    if (w->amounts[SG_COST_ORIFICE] != 0 && !sg_known(head->orifice_life))
        w->lacks[SG_COST_ORIFICE] |= SG_LACK_ORIFICE_LIFE;
}

static void take_part(struct sg_cost_job *c, int32_t index)
{
    const struct sg_part *part = &c->shop->parts[index];
    const struct sg_stock *stock = &c->shop->stocks[part->stock];
    const struct sg_plan_stock *of = &c->plan->stocks[part->stock - c->plan->first_stock];
    const struct sg_plan_part *p = planned(c, index);
    struct sg_cost_work *w = &c->work[index - c->first_part];
    *w = (struct sg_cost_work){.cuts = p->cuts, .jet = p->cut + p->pierce};
    double by_hand = (double)(p->cuts * part->tabs * stock->stack) * c->shop->machine.tab_time +
                     chores_of_pieces(c->shop, (double)(p->cuts * stock->stack));
    w->labour[SG_CAUSE_CUTTING] = by_hand;
    w->machine[SG_CAUSE_CUTTING] = by_hand + p->cut + p->pierce + p->rapid;
    w->amounts[SG_COST_GARNET] = w->amounts[SG_COST_DISPOSAL] = p->garnet;
    take_jet(&c->shop->heads[of->head], of, w);
}

/* Whole sheets by area, remnants too. NaN: not known how many. */
static double sheets_of(const struct sg_stock *stock, const struct sg_plan_stock *of)
{
    if (of->sheets == SG_UNKNOWN || (of->sheets > 0 && !of->layout))
        return (double)NAN;
    double area = 0;
    for (int32_t i = 0; of->layout && i < of->layout->n_used; i++) {
        const struct sg_layout_used *used = &of->layout->used[i];
        const struct sg_layout_sheet *size = &of->layout->sizes[used->size];
        bool whole = used->size == of->layout->n_sizes - 1;
        double each = whole ? 1 : size->length * size->width / (stock->sheet_length * stock->sheet_width);
        area += (double)(used->copies * stock->stack) * each;
    }
    return area;
}

static void take_sheets(struct sg_cost_job *c, int32_t stock)
{
    const struct sg_stock *of = &c->shop->stocks[stock];
    double sheets = sheets_of(of, &c->plan->stocks[stock - c->plan->first_stock]);
    double all = sum_of(c, (struct parts){of->first_part, of->n_parts}, by_sheets);
    for (int32_t i = of->first_part; i < of->first_part + of->n_parts; i++) {
        struct sg_cost_work *w = &c->work[i - c->first_part];
        if (w->cuts == 0)
            continue;
        w->amounts[SG_COST_MATERIAL] = all > 0 ? sheets * (by_sheets(c, i) / all) : (double)NAN;
        if (!sg_known(w->amounts[SG_COST_MATERIAL]) && of->owner != SG_OWNER_CUSTOMER)
            w->lacks[SG_COST_MATERIAL] |= SG_LACK_SHEETS;
    }
}

/* Set-up is once a job, shared by time. */
static void take_setup(struct sg_cost_job *c)
{
    struct parts job = {c->first_part, c->n_parts};
    weigh *weight = by_time;
    double sum = sum_of(c, job, weight);
    if (!(sum > 0))
        sum = sum_of(c, job, weight = by_cuts);
    for (int32_t i = 0; i < c->n_parts; i++)
        c->work[i].amounts[SG_COST_SETUP] = weight(c, c->first_part + i) / sum;
}

/* Where the plan does not come to the job's end, nothing of its time is known. */
static void mark_times(struct sg_cost_job *c)
{
    bool stops = !sg_known(c->plan->jobs[c->job - c->plan->first_job].ends);
    for (int32_t i = 0; i < c->n_parts; i++) {
        struct sg_cost_work *w = &c->work[i];
        unsigned lack = w->cuts == 0 ? 0 : !sg_known(w->jet) ? SG_LACK_TIME : stops ? SG_LACK_RUN : 0;
        for (int row = SG_COST_MACHINE; row <= SG_COST_ORIFICE; row++)
            if (lack == SG_LACK_TIME || row <= SG_COST_LABOUR) /* by hand: only the run knows */
                w->lacks[row] |= lack;
        w->amounts[SG_COST_MACHINE] = lack ? (double)NAN : sum_causes(w->machine);
        w->amounts[SG_COST_LABOUR] = lack ? (double)NAN : sum_causes(w->labour);
    }
}

void sg_cost_take(struct sg_cost_job *c, const struct sg_shop *shop, const struct sg_plan *plan)
{
    c->shop = shop;
    c->plan = plan;
    add_events(c);
    for (int32_t i = 0; i < c->n_parts; i++)
        take_part(c, c->first_part + i);
    for (int32_t i = 0; i < c->n_stocks; i++)
        take_sheets(c, c->first_stock + i);
    deal_shared(c);
    take_setup(c);
    mark_times(c);
}
