/* Sweeps: the setting into a copy of the shop, a plan of it, and what it took. */
#include "sandglass/sweep.h"

#include "cost_inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char sg_sweep_rising[] = "the formula would go on rising, jets do not";

struct sweep {
    const struct sg_sweep_input *in;
    struct sg_shop copy; /* the job alone, for what it takes and costs */
    struct sg_shop day;  /* the shop with the same heads, stocks and parts, for when it ends */
    struct sg_cost_job cost;
    int32_t first_stock, n_stocks; /* that are changed */
    unsigned range_forbids;        /* SG_BOUND_RANGE, unless the job is outside it as it is */
    bool starved;                  /* ... and with hardly any garnet */
    bool *swept;                   /* heads that are changed */
    struct sg_sweep_step *steps;
    int32_t n_steps;
    unsigned lacking;
};

/* ---- steps ---- */

static enum sg_status count_steps(const struct sg_sweep_input *in, int32_t *out, struct sg_error *error)
{
    const char *word = sg_sweep_word((int)in->field);
    double steps;
    if (in->field == SG_SWEEP_HEAD) {
        steps = in->shop->n_heads;
    } else if (in->field == SG_SWEEP_ORIFICE && in->pairs) {
        steps = in->n_pairs;
    } else {
        if (!isfinite(in->from) || !isfinite(in->to) || !(in->step > 0) || !isfinite(in->step))
            return sg_fail(error, SG_BAD_DATA, "%s from %g to %g by %g: give two figures and a step above 0",
                           word, in->from, in->to, in->step);
        if (in->to < in->from)
            return sg_fail(error, SG_BAD_DATA, "%s from %g down to %g: give the lower figure first", word,
                           in->from, in->to);
        steps = floor((in->to - in->from) / in->step + 1e-9) + 1;
    }
    if (!(steps >= 1 && steps <= SG_SWEEP_STEPS_MAX))
        return sg_fail(error, SG_BAD_DATA, "%.0f steps of %s: a sweep has 1 to %d, take a larger step", steps,
                       word, SG_SWEEP_STEPS_MAX);
    *out = (int32_t)steps;
    return SG_OK;
}

/* 0.1 + 2 x 0.1 is 0.3, as anybody would type it. */
static long double as_typed(double value)
{
    char text[40];
    snprintf(text, sizeof text, "%.12g", value);
    return strtold(text, NULL);
}

static double value_at(const struct sg_sweep_input *in, int32_t step)
{
    if (in->field == SG_SWEEP_HEAD)
        return step;
    if (in->field == SG_SWEEP_ORIFICE && in->pairs)
        return in->pairs[step].orifice;
    double value =
        fmin(in->from + step * in->step, in->to); /* from the start each time: no sum of roundings */
    return in->unit ? sg_to_canonical(as_typed(value), in->unit) : value;
}

/* ---- a setting into the copy ---- */

static double tube_at(const struct sg_sweep_input *in, int32_t step, const struct sg_head *head)
{
    if (in->pairs)
        return in->pairs[step].tube;
    double ratio = sg_known(in->tube_ratio) ? in->tube_ratio : head->tube / head->orifice;
    return value_at(in, step) * ratio;
}

static enum sg_status check_field(const struct sg_sweep_input *in, enum sg_kind kind, double value,
                                  struct sg_error *error)
{
    const char *word = sg_sweep_word((int)in->field);
    const struct sg_field *field = sg_field_find(kind, word);
    const struct sg_unit *unit = sg_unit_canonical(field->dimension);
    bool above = !(field->flags & SG_FIELD_ABOVE_MIN) || value > field->min;
    if (sg_known(value) && above && value >= field->min && value <= field->max * (1 + 1e-12)) /* 25 x 0.2 */
        return SG_OK;
    return sg_fail(error, SG_BAD_DATA, "%s %g %s cannot be: it is %s %g and at most %g", word, value,
                   unit->name, field->flags & SG_FIELD_ABOVE_MIN ? "above" : "at least", field->min,
                   field->max);
}

static enum sg_status set_head(const struct sweep *s, int32_t index, int32_t step, struct sg_error *error)
{
    const struct sg_sweep_input *in = s->in;
    const struct sg_head *was = &in->shop->heads[index];
    struct sg_head *head = &s->copy.heads[index];
    double value = value_at(in, step);
    enum sg_status status = check_field(in, SG_KIND_HEAD, value, error);
    if (status != SG_OK)
        return status;
    switch (in->field) {
    case SG_SWEEP_PRESSURE:
        head->pressure = value;
        head->low_pressure = fmin(was->low_pressure, value);
        break;
    case SG_SWEEP_GARNET:
        head->garnet = value;
        break;
    default:
        head->orifice = value;
        head->tube = was->kind == SG_HEAD_ABRASIVE ? tube_at(in, step, was) : was->tube;
        break;
    }
    return sg_rules_check(SG_KIND_HEAD, head, &s->copy, error);
}

static enum sg_status set_step(const struct sweep *s, int32_t step, struct sg_error *error)
{
    const struct sg_sweep_input *in = s->in;
    enum sg_status status = SG_OK;
    if (in->field == SG_SWEEP_EDGE)
        status = check_field(in, SG_KIND_STOCK, value_at(in, step), error);
    for (int32_t i = s->first_stock; i < s->first_stock + s->n_stocks; i++) {
        if (in->field == SG_SWEEP_EDGE)
            s->copy.stocks[i].edge = value_at(in, step);
        if (in->field == SG_SWEEP_HEAD)
            s->copy.stocks[i].head = step;
    }
    for (int32_t i = 0; i < s->copy.n_heads && status == SG_OK; i++)
        if (s->swept[i])
            status = set_head(s, i, step, error);
    return status;
}

/* ---- what bounds it ---- */

static const struct {
    unsigned mark, bound;
} of_marks[] = {
    {SG_MARK_PRESSURE, SG_BOUND_PRESSURE},     {SG_MARK_FLOW, SG_BOUND_FLOW},
    {SG_MARK_POWER, SG_BOUND_POWER},           {SG_MARK_RANGE, SG_BOUND_RANGE},
    {SG_MARK_TUBE_RATIO, SG_BOUND_TUBE_RATIO}, {SG_MARK_WILL_NOT_CUT, SG_BOUND_NO_CUT},
    {SG_MARK_NO_SPEED, SG_BOUND_NO_CUT},       {SG_MARK_WATER_NO, SG_BOUND_WATER_NO},
    {SG_MARK_TOP_FEED, SG_BOUND_TOP_FEED},
};

/* What forbids a step. A mark that the sweep does not move stands on every step and forbids none, but for the
 * pump's, which no setting gets around. */
enum {
    ALWAYS = SG_BOUND_PRESSURE | SG_BOUND_FLOW | SG_BOUND_POWER | SG_BOUND_UNWEIGHED | SG_BOUND_NO_CUT |
             SG_BOUND_WATER_NO | SG_BOUND_TOO_COARSE | SG_BOUND_NO_END
};
static const unsigned forbids[SG_SWEEP_FIELDS] = {
    [SG_SWEEP_PRESSURE] = ALWAYS | SG_BOUND_LOADING,
    [SG_SWEEP_GARNET] = ALWAYS | SG_BOUND_LOADING,
    [SG_SWEEP_EDGE] = ALWAYS,
    [SG_SWEEP_ORIFICE] = ALWAYS | SG_BOUND_LOADING | SG_BOUND_TUBE_RATIO,
    [SG_SWEEP_HEAD] = ALWAYS | SG_BOUND_LOADING | SG_BOUND_TUBE_RATIO,
};

/* A feed that the shop has weighed runs there, whatever its ratio; through another orifice, or at another
 * pressure, it says nothing. */
static unsigned garnet_bounds(const struct sg_sweep_input *in, const struct sg_setup *setup)
{
    double weighed = in->weighed;
    bool proven = in->field == SG_SWEEP_GARNET && sg_known(weighed) && setup->garnet <= weighed * (1 + 1e-9);
    if (!setup->abrasive || proven)
        return 0;
    unsigned bounds = setup->marks & SG_MARK_LOADING ? SG_BOUND_LOADING : 0;
    bool past = sg_known(weighed) || setup->loading_ratio > SG_SWEEP_LOADING * (1 + 1e-9);
    return in->field == SG_SWEEP_GARNET && past ? bounds | SG_BOUND_UNWEIGHED : bounds;
}

static unsigned setup_bounds(const struct sg_machine *machine, const struct sg_setup *setup)
{
    unsigned bounds = 0;
    for (size_t i = 0; i < sizeof of_marks / sizeof *of_marks; i++)
        bounds |= setup->marks & of_marks[i].mark ? of_marks[i].bound : 0;
    if (setup->traverse >= machine->top_feed)
        bounds |= SG_BOUND_TOP_FEED;
    return sg_known(setup->traverse) ? bounds : bounds | SG_BOUND_NO_CUT;
}

/* So little garnet that no formula of an abrasive jet speaks of it. */
static bool is_starved(const struct sg_setup *setup)
{
    return setup->abrasive && setup->loading_ratio < SG_SWEEP_LOADING_LEAST;
}

/* Whether the job lies outside the range of the formula as it is. */
static void look_at_now(struct sweep *s)
{
    const struct sg_shop *shop = s->in->shop;
    s->range_forbids = SG_BOUND_RANGE;
    for (int32_t i = s->first_stock; i < s->first_stock + s->n_stocks; i++) {
        const struct sg_stock *stock = &shop->stocks[i];
        const struct sg_material *material =
            stock->material == SG_UNKNOWN ? NULL : &shop->materials[stock->material];
        struct sg_setup setup;
        sg_setup_compute(&shop->machine, &shop->heads[sg_setup_head(shop, stock)], material, stock, &setup);
        if (setup.marks & SG_MARK_RANGE)
            s->range_forbids = 0;
        s->starved = s->starved || is_starved(&setup);
    }
}

/* The setups of the parts, which may have an edge or feed of their own. */
static unsigned part_bounds(const struct sweep *s, const struct sg_part *part,
                            const struct sg_setup *of_stock)
{
    const struct sg_stock *stock = &s->copy.stocks[part->stock], *was = &s->in->shop->stocks[part->stock];
    struct sg_setup setup = *of_stock;
    sg_setup_for_part(&s->copy.machine, stock, part, &setup);
    unsigned bounds = setup_bounds(&s->copy.machine, &setup);
    if (sg_known(part->feed) || sg_known(stock->feed))
        bounds |= SG_BOUND_TYPED;
    double coarsest = sg_known(part->edge_least) ? part->edge_least : was->edge;
    if (s->in->field == SG_SWEEP_EDGE && setup.abrasive && !sg_known(part->edge) && stock->edge < coarsest)
        bounds |= SG_BOUND_TOO_COARSE;
    return bounds;
}

static unsigned find_bounds(const struct sweep *s, const struct sg_plan *plan)
{
    unsigned bounds = 0;
    for (int32_t i = s->first_stock; i < s->first_stock + s->n_stocks; i++) {
        const struct sg_stock *stock = &s->copy.stocks[i];
        const struct sg_setup *setup = &plan->stocks[i - plan->first_stock].setup;
        for (int32_t k = stock->first_part; k < stock->first_part + stock->n_parts; k++)
            if (s->copy.parts[k].quantity > 0)
                bounds |= part_bounds(s, &s->copy.parts[k], setup) | garnet_bounds(s->in, setup);
    }
    if (!sg_known(plan->jobs[s->in->job - plan->first_job].ends))
        bounds |= SG_BOUND_NO_END;
    return bounds;
}

/* ---- what it took ---- */

static void add_work(const struct sg_cost_work *w, struct sg_sweep_step *step)
{
    step->seconds += w->amounts[SG_COST_MACHINE];
    step->hands_on += w->amounts[SG_COST_LABOUR];
    step->jet += w->jet;
    step->garnet += w->amounts[SG_COST_GARNET];
    step->water += w->amounts[SG_COST_WATER];
    step->energy += w->amounts[SG_COST_POWER];
    step->tubes += w->amounts[SG_COST_TUBE];
    step->orifices += w->amounts[SG_COST_ORIFICE];
    for (int row = 0; row <= SG_COST_SETUP; row++)
        step->cost += w->costs[row];
}

static int32_t count_refills(const struct sg_plan *plan, int32_t job)
{
    int32_t n = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *event = &plan->run.events[i];
        n += event->kind == SG_EVENT_REFILL && plan->batches[event->batch].job == job;
    }
    return n;
}

static double highest_loading(const struct sweep *s, const struct sg_plan *plan)
{
    double highest = (double)NAN;
    for (int32_t i = s->first_stock; i < s->first_stock + s->n_stocks; i++)
        highest = fmax(highest, plan->stocks[i - plan->first_stock].setup.loading_ratio); /* NaN gives way */
    return highest;
}

static void take_step(struct sweep *s, const struct sg_plan *plan, int32_t index)
{
    const struct sg_sweep_input *in = s->in;
    struct sg_sweep_step *step = &s->steps[index];
    *step = (struct sg_sweep_step){.value = value_at(in, index), .tube = (double)NAN};
    sg_cost_take(&s->cost, &s->copy, plan);
    sg_cost_price(&s->cost, in->rates);
    for (int32_t i = 0; i < s->cost.n_parts; i++) {
        add_work(&s->cost.work[i], step);
        for (int row = 0; row <= SG_COST_SETUP; row++)
            s->lacking |= s->cost.work[i].lacks[row] & ~(unsigned)(SG_LACK_TIME | SG_LACK_RUN);
    }
    for (int32_t i = 0; in->field == SG_SWEEP_ORIFICE && i < s->copy.n_heads; i++)
        if (s->swept[i])
            step->tube = fmax(step->tube, s->copy.heads[i].tube);
    step->refills = count_refills(plan, in->job);
    step->loading_ratio = highest_loading(s, plan);
    step->traverse = plan->stocks[s->first_stock - plan->first_stock].setup.traverse;
    step->bounds = find_bounds(s, plan);
    bool starved = step->loading_ratio < SG_SWEEP_LOADING_LEAST && !s->starved;
    unsigned range = starved ? SG_BOUND_RANGE : s->range_forbids;
    step->forbidding = step->bounds & (forbids[in->field] | range);
    step->allowed = !step->forbidding;
    if (step->bounds & SG_BOUND_NO_END)
        step->seconds = step->hands_on = step->cost = (double)NAN;
}

/* ---- the best ---- */

static bool is_better(double a, double b, double next_a, double next_b)
{
    return a < b || (a == b && next_a < next_b);
}

void sg_sweep_best(enum sg_sweep_field field, const struct sg_sweep_step *steps, int32_t n,
                   struct sg_sweep *out)
{
    *out = (struct sg_sweep){.steps = steps,
                             .n_steps = n,
                             .cheapest = SG_UNKNOWN,
                             .quickest = SG_UNKNOWN,
                             .lacking = out->lacking};
    for (int32_t i = 0; i < n; i++) {
        const struct sg_sweep_step *a = &steps[i];
        if (!a->allowed)
            continue;
        const struct sg_sweep_step *c = &steps[out->cheapest == SG_UNKNOWN ? i : out->cheapest];
        const struct sg_sweep_step *q = &steps[out->quickest == SG_UNKNOWN ? i : out->quickest];
        if (a == c || is_better(a->cost, c->cost, a->seconds, c->seconds))
            out->cheapest = i;
        if (a == q || is_better(a->seconds, q->seconds, a->cost, q->cost))
            out->quickest = i;
    }
    for (int32_t i = 1; i < n; i++) /* only its garnet feed keeps it from going on */
        if ((i - 1 == out->cheapest || i - 1 == out->quickest) &&
            (steps[i].bounds & forbids[field]) == SG_BOUND_UNWEIGHED)
            out->still_rising = true;
}

/* ---- start ---- */

/* The heads that cut the changed stocks and have the field. */
static enum sg_status find_heads(struct sweep *s, struct sg_error *error)
{
    const struct sg_sweep_input *in = s->in;
    bool any = in->field == SG_SWEEP_EDGE || in->field == SG_SWEEP_HEAD;
    bool on_head = !any;
    for (int32_t i = s->first_stock; on_head && i < s->first_stock + s->n_stocks; i++) {
        int head = sg_setup_head(in->shop, &in->shop->stocks[i]);
        if (in->field == SG_SWEEP_GARNET && in->shop->heads[head].kind != SG_HEAD_ABRASIVE)
            continue;
        s->swept[head] = any = true;
    }
    return any ? SG_OK
               : sg_fail(error, SG_BAD_DATA, "job %s is cut with water alone: there is no garnet to sweep",
                         in->shop->jobs[in->job].id);
}

static enum sg_status start(struct sweep *s, struct sg_arena *arena, struct sg_error *error)
{
    const struct sg_sweep_input *in = s->in;
    const struct sg_job *job = &in->shop->jobs[in->job];
    enum sg_status status = count_steps(in, &s->n_steps, error);
    if (status == SG_OK)
        status = sg_quote_start(in->shop, in->job, in->rates, arena, &s->copy, &s->cost, error);
    if (status != SG_OK)
        return status;
    bool one = in->stock != SG_UNKNOWN;
    s->first_stock = one ? in->stock : job->first_stock;
    s->n_stocks = one ? 1 : job->n_stocks;
    s->swept = sg_arena_take(arena, (size_t)in->shop->n_heads * sizeof *s->swept);
    s->steps = sg_arena_take(arena, (size_t)s->n_steps * sizeof *s->steps);
    s->day = *in->shop;
    s->day.heads = s->copy.heads;
    s->day.stocks = s->copy.stocks;
    s->day.parts = s->copy.parts;
    look_at_now(s);
    if (!s->swept || !s->steps)
        return sg_fail(error, SG_FAULT, "no memory for %d steps", (int)s->n_steps);
    return find_heads(s, error);
}

/* One step: what the job takes alone, or, of the day's plan, when it ends. */
static enum sg_status plan_step(struct sg_planner *planner, struct sweep *s, int32_t index, bool day,
                                struct sg_error *error)
{
    const struct sg_shop *shop = day ? &s->day : &s->copy;
    const struct sg_plan *plan;
    enum sg_status status = set_step(s, index, error);
    if (status == SG_OK)
        status = sg_plan_shift(planner, shop, shop->jobs[s->in->job].shift, &plan, error);
    if (status == SG_OK && day)
        s->steps[index].ends = plan->jobs[s->in->job - plan->first_job].ends;
    else if (status == SG_OK)
        take_step(s, plan, index);
    return status;
}

enum sg_status sg_sweep_make(struct sg_planner *planner, const struct sg_sweep_input *input,
                             struct sg_arena *arena, struct sg_sweep *out, struct sg_error *error)
{
    struct sweep s = {.in = input};
    enum sg_status status = start(&s, arena, error);
    for (int32_t i = 0; i < s.n_steps && status == SG_OK; i++)
        status =
            set_step(&s, i, error); /* all of them before the first is planned: a late error costs nothing */
    for (int day = 0; day < 2;
         day++) /* one after the other: the planner remembers the shop that it planned */
        for (int32_t i = 0; i < s.n_steps && status == SG_OK; i++)
            status = plan_step(planner, &s, i, day != 0, error);
    if (status != SG_OK)
        return status;
    out->lacking = s.lacking;
    sg_sweep_best(input->field, s.steps, s.n_steps, out);
    return SG_OK;
}
