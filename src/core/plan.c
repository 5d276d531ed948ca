#include "plan_inside.h"

#include <stdlib.h>
#include <string.h>

bool sg_planner_room(struct sg_planner *planner, void *array, int32_t *room, int32_t need, size_t item)
{
    int64_t items = *room;
    bool enough = sg_room(array, &items, need, item);
    planner->failed = planner->failed || !enough;
    *room = (int32_t)items;
    return enough;
}

struct sg_planner *sg_planner_new(void)
{
    return calloc(1, sizeof(struct sg_planner));
}

void sg_planner_free(struct sg_planner *planner)
{
    if (!planner)
        return;
    free(planner->plan.jobs);
    free(planner->plan.stocks);
    free(planner->plan.parts);
    free(planner->plan.batches);
    free(planner->plan.sheets);
    sg_plan_sheets_free(planner);
    free(planner->plan.cautions);
    free(planner->memory.heads);
    free(planner->memory.materials);
    free(planner->memory.inputs);
    free(planner->memory.setups);
    free(planner->memory.stocks);
    free(planner->memory.parts);
    free(planner->memory.made);
    free(planner->memory.prints);
    sg_plan_motions_free(planner->motions);
    free(planner->heads);
    free(planner->chores);
    free(planner->chain);
    free(planner->places);
    free(planner->head_marks);
    free(planner->material_said);
    sg_run_free(&planner->plan.run);
    sg_run_free(&planner->scratch);
    free(planner);
}

int32_t sg_plan_default_shift(const struct sg_shop *shop)
{
    for (int32_t i = 0; i < shop->n_shifts; i++)
        if (!shop->shifts[i].closed)
            return i;
    return shop->n_shifts - 1;
}

int32_t sg_event_sheet(const struct sg_plan *plan, const struct sg_event *event)
{
    return plan->sheets[plan->batches[event->batch].sheets].before + event->sheet;
}

int32_t sg_shift_of(const struct sg_shop *shop, struct sg_target target)
{
    int32_t job = sg_job_of(shop, target);
    if (job != SG_UNKNOWN)
        return shop->jobs[job].shift;
    return target.kind == SG_KIND_SHIFT ? target.index : sg_plan_default_shift(shop);
}

/* The jobs, stocks and parts of the shift lie one after another in the shop. */
static void find_ranges(struct sg_plan *plan, const struct sg_shop *shop, int32_t shift)
{
    int32_t first = 0;
    while (first < shop->n_jobs && shop->jobs[first].shift != shift)
        first++;
    int32_t end = first;
    while (end < shop->n_jobs && shop->jobs[end].shift == shift)
        end++;
    plan->shift = shift;
    plan->first_job = first;
    plan->n_jobs = end - first;
    plan->first_stock = plan->first_part = plan->n_stocks = plan->n_parts = 0;
    if (first == end)
        return;
    const struct sg_job *last = &shop->jobs[end - 1];
    plan->first_stock = shop->jobs[first].first_stock;
    plan->n_stocks = last->first_stock + last->n_stocks - plan->first_stock;
    if (plan->n_stocks == 0)
        return;
    const struct sg_stock *stock = &shop->stocks[plan->first_stock + plan->n_stocks - 1];
    plan->first_part = shop->stocks[plan->first_stock].first_part;
    plan->n_parts = stock->first_part + stock->n_parts - plan->first_part;
}

static bool make_room(struct sg_planner *p, const struct sg_shop *shop)
{
    struct sg_plan *plan = &p->plan;
    return sg_planner_room(p, &plan->jobs, &p->jobs_room, plan->n_jobs, sizeof *plan->jobs) &&
           sg_planner_room(p, &plan->stocks, &p->stocks_room, plan->n_stocks, sizeof *plan->stocks) &&
           sg_planner_room(p, &plan->parts, &p->parts_room, plan->n_parts, sizeof *plan->parts) &&
           sg_planner_room(p, &p->head_marks, &p->heads_room, shop->n_heads, sizeof *p->head_marks) &&
           sg_planner_room(p, &p->material_said, &p->materials_room, shop->n_materials,
                           sizeof *p->material_said);
}

/* ---- the run ---- */

/* Whether one place comes before another in the run: sheet after sheet, on each its batches in order. */
static bool is_before(const struct sg_plan *plan, const struct sg_refill_place *a,
                      const struct sg_refill_place *b)
{
    int32_t x = plan->batches[a->batch].sheets, y = plan->batches[b->batch].sheets;
    if (x != y)
        return x < y;
    if (a->sheet != b->sheet)
        return a->sheet < b->sheet;
    return a->batch != b->batch ? a->batch < b->batch : a->cut <= b->cut;
}

static bool add_place(struct sg_planner *p, int32_t *n, int32_t batch, int32_t sheet, int64_t cut)
{
    if (!sg_planner_room(p, &p->places, &p->places_room, *n + 1, sizeof *p->places))
        return false;
    int32_t at = (*n)++;
    const struct sg_refill_place place = {batch, sheet, cut};
    for (; at > 0; at--) { /* in order of the run */
        const struct sg_refill_place *before = &p->places[at - 1];
        if (is_before(&p->plan, before, &place))
            break;
        p->places[at] = *before;
    }
    p->places[at] = place;
    return true;
}

/* Refills wanted where the first sheet of a stock is loaded. */
static int32_t places_at_loads(struct sg_planner *p, const struct sg_shop *shop)
{
    int32_t n = 0, last = SG_UNKNOWN;
    for (int32_t i = 0; i < p->plan.n_sheets; i++) {
        int32_t batch = p->plan.sheets[i].first, stock = p->plan.batches[batch].stock;
        if (stock != last && shop->stocks[stock].fill)
            add_place(p, &n, batch, 1, 0);
        last = stock;
    }
    return n;
}

/* The last boundary before a break at which a refill may fall, in the run just made. */
static bool place_before(const struct sg_plan *plan, const struct sg_machine *machine, double from,
                         struct sg_refill_place *out)
{
    const struct sg_run *run = &plan->run;
    bool found = false;
    for (int32_t i = 0; i < run->n_events; i++) {
        const struct sg_event *e = &run->events[i];
        if (e->kind != SG_EVENT_CUT || e->cuts == 0 || e->at >= from)
            continue;
        double pieces = ceil((from - e->at) / (e->seconds / (double)e->cuts)) -
                        1; /* one that ends at the break is too late */
        int64_t whole = pieces < (double)e->cuts ? (int64_t)pieces : e->cuts - 1;
        if (machine->refill_at == SG_AT_SHEETS)
            whole = 0;
        bool at_start = e->first == 0 && plan->sheets[plan->batches[e->batch].sheets].first == e->batch;
        if (whole < 0 || (machine->refill_at == SG_AT_SHEETS && !at_start))
            continue;
        *out = (struct sg_refill_place){e->batch, e->sheet, e->first + whole};
        found = true;
    }
    return found;
}

static void simulate(struct sg_planner *planner, const struct sg_shop *shop)
{
    struct sg_plan *plan = &planner->plan;
    const struct sg_shift *shift = &shop->shifts[plan->shift];
    int32_t places = places_at_loads(planner, shop);
    struct sg_run_input input = {.calendar = &shift->calendar,
                                 .start = plan->start.late,
                                 .sheet_on = plan->sheet_on,
                                 .job_begun = shift->job_begun != 0,
                                 .chores = shop->chores,
                                 .n_chores = shop->n_chores,
                                 .date = shift->date,
                                 .run_in_breaks = shift->run_in_breaks,
                                 .machine = &shop->machine,
                                 .heads = shop->heads,
                                 .n_heads = shop->n_heads,
                                 .batches = plan->batches,
                                 .sheets = plan->sheets,
                                 .n_sheets = plan->n_sheets,
                                 .places = planner->places,
                                 .n_places = places};
    if (shop->machine.refill_when == SG_WHEN_LEAST_WAIT && places == 0)
        sg_run_least_wait(&input, &plan->run, &planner->scratch);
    else
        sg_run_simulate(&input, &plan->run);
    for (int i = 0; shift->fill_before_breaks && i < shift->calendar.n_breaks && !plan->run.failed; i++) {
        struct sg_refill_place place;
        if (!place_before(plan, &shop->machine, shift->calendar.breaks[i].from_s, &place))
            continue;
        add_place(planner, &places, place.batch, place.sheet, place.cut);
        input.places = planner->places;
        input.n_places = places;
        sg_run_simulate(&input, &plan->run);
    }
}

static void time_jobs(struct sg_plan *plan, const struct sg_shop *shop, struct sg_barrier stop)
{
    for (int32_t i = 0; i < plan->n_jobs; i++)
        plan->jobs[i].starts = plan->jobs[i].ends = (double)NAN;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        struct sg_plan_job *job = &plan->jobs[plan->batches[e->batch].job - plan->first_job];
        if (!sg_known(job->starts))
            job->starts = e->at;
        if (!(e->flags & SG_EVENT_WHILE_CUTTING))
            job->ends = e->at + e->seconds;
        if (e->kind == SG_EVENT_OUT_OF_GARNET)
            job->ends = (double)NAN;
    }
    if (plan->unknown)
        plan->jobs[stop.job - plan->first_job].ends = (double)NAN;
    double epoch = shop->shifts[plan->shift].calendar.epoch;
    for (int32_t i = 0; i < plan->n_jobs; i++) {
        double after = epoch + plan->jobs[i].ends - shop->jobs[plan->first_job + i].due_epoch;
        plan->jobs[i].late = after < 0 ? 0 : after;
    }
}

static void sum_job(struct sg_plan *plan, const struct sg_job *job, struct sg_plan_job *out)
{
    out->cut = out->pierce = out->rapid = out->garnet = 0;
    out->sheets = out->pieces = 0;
    for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++) {
        const struct sg_plan_stock *stock = &plan->stocks[i - plan->first_stock];
        out->cut += stock->cut;
        out->pierce += stock->pierce;
        out->rapid += stock->rapid;
        out->garnet += stock->garnet;
        out->pieces += stock->pieces;
        bool unknown = stock->sheets == SG_UNKNOWN || out->sheets == SG_UNKNOWN;
        out->sheets = unknown ? SG_UNKNOWN : out->sheets + stock->sheets;
    }
}

static void sum_totals(struct sg_planner *planner, const struct sg_shop *shop)
{
    struct sg_plan *plan = &planner->plan;
    struct sg_plan_totals *t = &plan->totals;
    int32_t wanted = shop->machine.reorder + plan->run.bags_short - plan->run.bags_left;
    *t = (struct sg_plan_totals){.bags_to_order = wanted > 0 && shop->machine.bag > 0 ? wanted : 0,
                                 .hands_on = plan->run.hands_on,
                                 .waiting = plan->run.waiting + plan->start.late,
                                 .bags = plan->run.bags,
                                 .refills = plan->run.refills};
    for (int32_t i = 0; i < plan->n_jobs; i++) {
        struct sg_plan_job *job = &plan->jobs[i];
        sum_job(plan, &shop->jobs[plan->first_job + i], job);
        t->cut += job->cut;
        t->pierce += job->pierce;
        t->rapid += job->rapid;
        t->garnet += job->garnet;
        t->pieces += job->pieces;
        bool unknown = job->sheets == SG_UNKNOWN || t->sheets == SG_UNKNOWN;
        t->sheets = unknown ? SG_UNKNOWN : t->sheets + job->sheets;
    }
    t->sludge = shop->machine.sludge + t->garnet; /* all garnet that is used ends in the tank */
    if (plan->unknown)
        t->hands_on = t->waiting = (double)NAN;
    for (int32_t i = 0; i < plan->n_stocks; i++) {
        const struct sg_plan_stock *stock = &plan->stocks[i];
        double jet = (stock->cut + stock->pierce) * shop->heads[stock->head].heads;
        t->water += jet / 60 * stock->setup.water;
        t->energy += jet / 3600 * stock->setup.shaft_power;
    }
}

static void answer(struct sg_planner *planner, const struct sg_shop *shop)
{
    struct sg_plan *plan = &planner->plan;
    const struct sg_calendar *calendar = &shop->shifts[plan->shift].calendar;
    bool ends = plan->run.finished && !plan->unknown && !(plan->closed_day && plan->totals.pieces > 0);
    plan->ends = ends ? plan->run.end : (double)NAN;
    plan->totals.elapsed = plan->ends;
    double over = plan->ends - calendar->close_s;
    plan->over = over < 0 ? 0 : over;
    plan->next_refill = -1;
    for (int32_t i = 0; i < plan->run.n_events && plan->next_refill < 0; i++)
        if (plan->run.events[i].kind == SG_EVENT_REFILL)
            plan->next_refill = i;
    double need = plan->run.rest[0]; /* kg of the whole run; a refill that was only wished for says nothing */
    plan->hopper_lasts = plan->run.finished && !plan->unknown &&
                         (need == 0 || plan->start.level - need >= shop->machine.low_line - 1e-9);
    plan->n_breaks = calendar->n_breaks;
    for (int32_t i = 0; i < calendar->n_breaks; i++) {
        struct sg_plan_break *b = &plan->breaks[i];
        b->from = calendar->breaks[i].from_s;
        b->to = calendar->breaks[i].to_s;
        b->alone =
            sg_run_alone(&plan->run, b->from, b->to, &b->event) && (!plan->unknown || b->to <= plan->run.end);
    }
}

static bool is_closed_day(const struct sg_shift *shift)
{
    for (int32_t i = 0; i < shift->n_closed_days; i++)
        if (shift->closed_days[i] == shift->date)
            return true;
    return false;
}

/* The sheet found on the table is of the stock that is cut first. */
static bool is_on_table(const struct sg_plan *plan, const struct sg_shop *shop)
{
    const char *key = shop->shifts[plan->shift].sheet_on;
    struct sg_target target;
    return key && key[0] && plan->n_batches > 0 && sg_key_find(shop, key, &target, NULL) == SG_OK &&
           target.kind == SG_KIND_STOCK && target.index == plan->batches[0].stock;
}

/* One shift, with the machine and heads of shop as it finds them. */
static enum sg_status plan_one(struct sg_planner *planner, const struct sg_shop *shop, int32_t shift,
                               struct sg_error *error)
{
    struct sg_plan *plan = &planner->plan;
    planner->failed = false;
    find_ranges(plan, shop, shift);
    plan->closed_day = is_closed_day(&shop->shifts[shift]);
    if (make_room(planner, shop))
        sg_plan_remember(planner, shop);
    if (planner->failed)
        return sg_fail(error, SG_FAULT, "no memory for a plan of %d parts", plan->n_parts);
    sg_plan_pieces(planner, shop);
    if (planner->failed)
        return sg_fail(error, SG_FAULT, "no memory to lay out %d parts", plan->n_parts);
    if (plan->closed_day)
        plan->n_batches = plan->n_sheets = 0;
    plan->sheet_on = is_on_table(plan, shop);
    simulate(planner, shop);
    if (plan->run.failed && plan->run.n_events >= SG_RUN_MAX_EVENTS)
        return sg_fail(
            error, SG_BAD_DATA,
            "the plan of shift %s has more than %d events: look for a quantity, hopper or low line typed "
            "wrong",
            shop->shifts[shift].id, SG_RUN_MAX_EVENTS);
    if (!plan->run.failed) {
        sum_totals(planner, shop);
        time_jobs(plan, shop, planner->stop);
        answer(planner, shop);
        sg_plan_cautions(planner, shop);
    }
    if (planner->failed || plan->run.failed)
        return sg_fail(error, SG_FAULT, "no memory for the events of shift %s", shop->shifts[shift].id);
    return SG_OK;
}

/* ---- one shift after another ---- */

static bool comes_before(const struct sg_shop *shop, int32_t a, int32_t b)
{
    double x = shop->shifts[a].calendar.epoch, y = shop->shifts[b].calendar.epoch;
    return x < y || (x == y && a < b);
}

/* The open shifts before one, in order of their starts: the chain whose end it starts from. */
static int32_t find_chain(struct sg_planner *p, const struct sg_shop *shop, int32_t shift)
{
    int32_t n = 0;
    if (shop->shifts[shift].closed)
        return 0;
    for (int32_t i = 0; i < shop->n_shifts; i++) {
        if (shop->shifts[i].closed || !comes_before(shop, i, shift))
            continue;
        int32_t at = n++;
        for (; at > 0 && comes_before(shop, i, p->chain[at - 1]); at--)
            p->chain[at] = p->chain[at - 1];
        p->chain[at] = i;
    }
    return n;
}

/* What a shift leaves to the next: into the machine and heads of view. */
static void carry_over(struct sg_planner *p, struct sg_shop *view)
{
    const struct sg_run *run = &p->plan.run;
    view->machine.hopper_level = run->level_end;
    view->machine.bags_in_stock = run->bags_left;
    view->machine.head_fitted = run->fitted_end;
    view->machine.sludge = p->plan.totals.sludge;
    for (int32_t i = 0; i < view->n_heads; i++) {
        p->heads[i].tube_hours = run->hours[i];
        p->heads[i].orifice_hours = run->hours[view->n_heads + i];
    }
    for (int32_t i = 0; i < view->n_chores; i++) {
        double counted = run->hours[2 * view->n_heads + i];
        if (p->chores[i].counts != SG_COUNTS_CALENDAR)
            p->chores[i].hours = counted;
        else if (counted == 0)
            p->chores[i].last = view->shifts[p->plan.shift].date;
    }
}

/* Plan a shift of the chain from what the one before left. freed is when the machine is free, seconds since
 * the epoch. */
static enum sg_status plan_next(struct sg_planner *p, struct sg_shop *view, int32_t shift, bool carried,
                                double *freed, struct sg_error *error)
{
    double epoch = view->shifts[shift].calendar.epoch;
    p->plan.start = (struct sg_plan_start){.level = view->machine.hopper_level,
                                           .bags = view->machine.bags_in_stock,
                                           .fitted = view->machine.head_fitted,
                                           .late = carried && *freed > epoch ? *freed - epoch : 0,
                                           .carried = carried};
    enum sg_status status = plan_one(p, view, shift, error);
    if (status == SG_OK && p->plan.n_batches > 0)
        *freed = epoch + p->plan.run.end;
    return status;
}

enum sg_status sg_plan_shift(struct sg_planner *planner, const struct sg_shop *shop, int32_t shift,
                             const struct sg_plan **out, struct sg_error *error)
{
    struct sg_shop view = *shop;
    double freed = 0;
    if (shift < 0 || shift >= shop->n_shifts)
        return sg_fail(error, SG_BAD_DATA, "there is no shift to plan; `add shift` makes one");
    if (!sg_planner_room(planner, &planner->heads, &planner->heads_now_room, shop->n_heads,
                         sizeof *planner->heads) ||
        !sg_planner_room(planner, &planner->chores, &planner->chores_room, shop->n_chores,
                         sizeof *planner->chores) ||
        !sg_planner_room(planner, &planner->chain, &planner->chain_room, shop->n_shifts,
                         sizeof *planner->chain))
        return sg_fail(error, SG_FAULT, "no memory to plan %d shifts", shop->n_shifts);
    view.heads = planner->heads;
    if (shop->n_heads > 0)
        memcpy(planner->heads, shop->heads, (size_t)shop->n_heads * sizeof *planner->heads);
    view.chores = planner->chores;
    if (shop->n_chores > 0)
        memcpy(planner->chores, shop->chores, (size_t)shop->n_chores * sizeof *planner->chores);
    int32_t before = find_chain(planner, shop, shift);
    for (int32_t i = 0; i < before; i++) {
        enum sg_status status = plan_next(planner, &view, planner->chain[i], i > 0, &freed, error);
        if (status != SG_OK)
            return status;
        carry_over(planner, &view);
    }
    enum sg_status status = plan_next(planner, &view, shift, before > 0, &freed, error);
    if (status == SG_OK)
        *out = &planner->plan;
    return status;
}
