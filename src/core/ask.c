#include "sandglass/ask.h"

#include "sandglass/rules.h"

#include <stdlib.h>
#include <string.h>

static bool is_untimed(const struct sg_plan_part *part)
{
    return part->cuts > 0 && !sg_known(part->each);
}

int32_t sg_ask_untimed(const struct sg_plan *plan, int32_t last)
{
    for (int32_t i = 0; i < plan->n_parts && plan->first_part + i <= last; i++)
        if (is_untimed(&plan->parts[i]))
            return plan->first_part + i;
    return SG_UNKNOWN;
}

static int32_t last_part(const struct sg_plan *plan)
{
    return plan->first_part + plan->n_parts - 1;
}

static int32_t stop_of(const struct sg_plan *plan)
{
    for (int32_t i = plan->run.n_events - 1; i >= 0 && !plan->run.finished; i--)
        if (plan->run.events[i].kind == SG_EVENT_OUT_OF_GARNET)
            return i;
    return -1;
}

/* ---- done ---- */

static int32_t last_part_of_job(const struct sg_shop *shop, int32_t job)
{
    const struct sg_job *j = &shop->jobs[job];
    if (j->n_stocks == 0)
        return SG_UNKNOWN;
    const struct sg_stock *stock = &shop->stocks[j->first_stock + j->n_stocks - 1];
    return stock->first_part + stock->n_parts - 1;
}

void sg_ask_done(const struct sg_shop *shop, const struct sg_plan *plan, int32_t job, struct sg_ask_done *out)
{
    bool all = job == SG_UNKNOWN;
    int64_t pieces = all ? plan->totals.pieces : plan->jobs[job - plan->first_job].pieces;
    double at = all ? plan->ends : plan->jobs[job - plan->first_job].ends;
    int32_t untimed = sg_ask_untimed(plan, all ? last_part(plan) : last_part_of_job(shop, job));
    int32_t stop = stop_of(plan);
    *out = (struct sg_ask_done){.at = (double)NAN, .event = -1, .part = SG_UNKNOWN};
    if (pieces == 0) {
        out->end = SG_ASK_NOTHING;
        out->at = 0;
    } else if (plan->closed_day) {
        out->end = SG_ASK_CLOSED;
    } else if (stop >= 0 && (all || plan->batches[plan->run.events[stop].batch].job <= job)) {
        out->end = SG_ASK_NO_GARNET;
        out->event = stop;
    } else if (untimed != SG_UNKNOWN) {
        out->end = SG_ASK_NOT_TIMED;
        out->part = untimed;
    } else {
        out->end = SG_ASK_ENDS;
        out->at = at;
    }
}

/* ---- hopper and people ---- */

bool sg_ask_lasts(const struct sg_plan *plan, int32_t *untimed)
{
    bool known = plan->closed_day || !plan->unknown || !plan->run.finished || plan->run.refills > 0;
    *untimed = known ? SG_UNKNOWN : sg_ask_untimed(plan, last_part(plan));
    return plan->hopper_lasts || plan->closed_day;
}

bool sg_ask_calls(const struct sg_event *event)
{
    return sg_event_needs_person(event->kind) &&
           (event->seconds > 0 || event->kind == SG_EVENT_OUT_OF_GARNET);
}

const struct sg_event *sg_ask_next_call(const struct sg_plan *plan, const struct sg_event *last)
{
    const struct sg_event *event = last ? last + 1 : plan->run.events;
    const struct sg_event *end = plan->run.events + plan->run.n_events;
    while (event < end && !sg_ask_calls(event))
        event++;
    return event < end ? event : NULL;
}

bool sg_ask_alone(const struct sg_plan *plan, double from, double to, int32_t *event)
{
    int32_t stop = stop_of(plan);
    if (!sg_run_alone(&plan->run, from, to, event))
        return false;
    if (stop >= 0 && plan->run.events[stop].at < to) { /* it waits for garnet from then on */
        *event = stop;
        return false;
    }
    return plan->closed_day || !plan->unknown || to <= plan->run.end;
}

bool sg_ask_breaks_over(const struct sg_shop *shop, const struct sg_plan *plan)
{
    const struct sg_shift *shift = &shop->shifts[plan->shift];
    int32_t from, to;
    for (int32_t i = 0; i < shift->n_breaks && plan->n_breaks == 0; i++)
        if (sg_break_in_shift(shift, &shift->breaks[i], &from, &to))
            return true;
    return false;
}

/* ---- what fits ---- */

static int64_t cuts_of_event_by(const struct sg_event *e, double by)
{
    if (e->at + e->seconds <= by)
        return e->cuts;
    if (e->at > by)
        return 0;
    int64_t whole = (int64_t)floor((by - e->at) / (e->seconds / (double)e->cuts));
    return whole < e->cuts ? whole : e->cuts;
}

int64_t sg_ask_cuts_by(const struct sg_plan *plan, int32_t part, double by)
{
    int64_t cuts = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (e->kind == SG_EVENT_CUT && e->cuts > 0 && plan->batches[e->batch].part == part)
            cuts += cuts_of_event_by(e, by + SG_ASK_SLACK);
    }
    return cuts;
}

static double finished_at(const struct sg_plan *plan, int32_t part)
{
    double at = plan->parts[part - plan->first_part].cuts == 0 ? 0 : (double)NAN;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (e->kind == SG_EVENT_CUT && plan->batches[e->batch].part == part)
            at = e->at + e->seconds;
    }
    return sg_ask_cuts_by(plan, part, HUGE_VAL) == plan->parts[part - plan->first_part].cuts ? at
                                                                                             : (double)NAN;
}

static bool is_boxed(const struct sg_shop *shop, int32_t part)
{
    const struct sg_part *p = &shop->parts[part];
    const struct sg_stock *stock = &shop->stocks[p->stock];
    return sg_known(p->length) && sg_known(p->width) && sg_known(stock->sheet_length) &&
           sg_known(stock->sheet_width);
}

/* Whether pieces of part i may be cut before the last one of another is. Parts with boxes share the sheets of
 * their stock and come before those without. */
static bool may_come_before(const struct sg_shop *shop, int32_t i, int32_t other)
{
    bool boxed = is_boxed(shop, i), other_boxed = is_boxed(shop, other);
    if (shop->parts[i].stock != shop->parts[other].stock)
        return i < other;
    return boxed != other_boxed ? boxed : boxed || i <= other;
}

/* The first part without a time that may stop the run before all of a part is cut. */
static int32_t untimed_before(const struct sg_shop *shop, const struct sg_plan *plan, int32_t part)
{
    for (int32_t i = 0; i < plan->n_parts; i++)
        if (is_untimed(&plan->parts[i]) && may_come_before(shop, plan->first_part + i, part))
            return plan->first_part + i;
    return SG_UNKNOWN;
}

/* A shop that is the kept one but for the quantity of one part. */
struct trial {
    struct sg_planner *planner;
    struct sg_shop shop;
    int32_t shift, part;
    double by;
    const struct sg_plan *plan;
};

static enum sg_status try_quantity(struct trial *trial, int64_t quantity, bool *fits, struct sg_error *error)
{
    trial->shop.parts[trial->part].quantity = (int32_t)quantity;
    enum sg_status status = sg_plan_shift(trial->planner, &trial->shop, trial->shift, &trial->plan, error);
    if (status != SG_OK)
        return status;
    const struct sg_plan_part *part = &trial->plan->parts[trial->part - trial->plan->first_part];
    *fits = sg_ask_cuts_by(trial->plan, trial->part, trial->by) == part->cuts;
    return SG_OK;
}

/* Between a quantity that fits and one that does not: doubled until one does not, then halved. */
static enum sg_status search(struct trial *trial, int64_t fits, int64_t too_many, int64_t *pieces,
                             struct sg_error *error)
{
    while (too_many - fits > 1) {
        int64_t next = fits + (too_many - fits) / 2;
        bool yes;
        if (too_many > SG_ASK_MOST)
            next = 2 * fits + 1 < SG_ASK_MOST ? 2 * fits + 1 : SG_ASK_MOST;
        enum sg_status status = try_quantity(trial, next, &yes, error);
        if (status != SG_OK)
            return status;
        if (yes)
            fits = next;
        else
            too_many = next;
    }
    *pieces = fits;
    return SG_OK;
}

static enum sg_status fits(struct trial *trial, int64_t planned, struct sg_ask_fits *out,
                           struct sg_error *error)
{
    bool yes;
    enum sg_status status = try_quantity(trial, planned, &yes, error);
    if (status != SG_OK)
        return status;
    const struct sg_plan *plan = trial->plan;
    const struct sg_plan_part *part = &plan->parts[trial->part - plan->first_part];
    *out = (struct sg_ask_fits){.end = SG_ASK_ENDS, .planned_at = (double)NAN, .untimed = SG_UNKNOWN};
    int32_t untimed = sg_known(part->each) ? untimed_before(&trial->shop, plan, trial->part) : trial->part;
    if (plan->closed_day) {
        out->end = SG_ASK_CLOSED;
    } else if (untimed != SG_UNKNOWN) {
        out->end = SG_ASK_NOT_TIMED;
        out->untimed = untimed;
    } else {
        out->planned_fits = yes;
        out->planned_at = finished_at(plan, trial->part);
        status =
            search(trial, yes ? planned : 0, yes ? (int64_t)SG_ASK_MOST + 1 : planned, &out->pieces, error);
    }
    return status;
}

enum sg_status sg_ask_fits(struct sg_planner *planner, const struct sg_shop *shop, int32_t part, double by,
                           struct sg_ask_fits *out, struct sg_error *error)
{
    struct trial trial = {.planner = planner, .shop = *shop, .part = part, .by = by};
    struct sg_ask_fits found;
    trial.shift = shop->jobs[shop->stocks[shop->parts[part].stock].job].shift;
    trial.shop.parts = malloc((size_t)shop->n_parts * sizeof *shop->parts);
    if (!trial.shop.parts)
        return sg_fail(error, SG_FAULT, "no memory for a trial of %d parts", shop->n_parts);
    memcpy(trial.shop.parts, shop->parts, (size_t)shop->n_parts * sizeof *shop->parts);
    enum sg_status status = fits(&trial, shop->parts[part].quantity, &found, error);
    if (status == SG_OK)
        *out = found;
    free(trial.shop.parts);
    return status;
}

/* ---- on one sheet ---- */

/* A shop with nothing on the sheets of a stock but one part, and without its remnants. */
struct sheet_trial {
    struct sg_planner *planner;
    struct sg_shop shop; /* with parts and stocks of its own */
    int32_t shift, part, stock;
};

static bool clear_stock(struct sheet_trial *trial, const struct sg_shop *shop)
{
    const struct sg_stock *stock = &shop->stocks[trial->stock];
    trial->shop = *shop;
    trial->shop.parts = malloc((size_t)shop->n_parts * sizeof *shop->parts);
    trial->shop.stocks = malloc((size_t)shop->n_stocks * sizeof *shop->stocks);
    if (!trial->shop.parts || !trial->shop.stocks)
        return false;
    memcpy(trial->shop.parts, shop->parts, (size_t)shop->n_parts * sizeof *shop->parts);
    memcpy(trial->shop.stocks, shop->stocks, (size_t)shop->n_stocks * sizeof *shop->stocks);
    trial->shop.stocks[trial->stock].remnants.n = 0;
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        trial->shop.parts[i].quantity = trial->shop.parts[i].scrap = 0;
    return true;
}

/* One cut goes through all sheets of a stack, which is laid out as one. */
static enum sg_status on_one_sheet(struct sheet_trial *trial, int64_t pieces, bool *fits,
                                   struct sg_error *error)
{
    const struct sg_plan *plan;
    int32_t stack = trial->shop.stocks[trial->stock].stack;
    *fits = false;
    if (pieces > SG_ASK_MOST / stack)
        return SG_OK;
    trial->shop.parts[trial->part].quantity = (int32_t)pieces * stack;
    enum sg_status status = sg_plan_shift(trial->planner, &trial->shop, trial->shift, &plan, error);
    if (status == SG_OK)
        *fits = plan->parts[trial->part - plan->first_part].per_sheet == pieces;
    return status;
}

/* More and more until they no longer fit, then between. */
static enum sg_status most_on_sheet(struct sheet_trial *trial, int64_t *pieces, struct sg_error *error)
{
    int64_t fit = *pieces, step = 1, too_many = 0;
    while (too_many == 0 || too_many - fit > 1) {
        bool fits;
        int64_t next = too_many == 0 ? fit + step : fit + (too_many - fit) / 2;
        enum sg_status status = on_one_sheet(trial, next, &fits, error);
        if (status != SG_OK)
            return status;
        *(fits ? &fit : &too_many) = next;
        step *= 2;
    }
    *pieces = fit;
    return SG_OK;
}

enum sg_status sg_ask_on_sheet(struct sg_planner *planner, const struct sg_shop *shop,
                               const struct sg_plan *plan, int32_t part, int64_t *pieces,
                               struct sg_error *error)
{
    struct sheet_trial trial = {.planner = planner, .part = part, .stock = shop->parts[part].stock};
    int64_t most = plan->parts[part - plan->first_part].per_sheet;
    trial.shift = plan->shift;
    enum sg_status status =
        clear_stock(&trial, shop)
            ? most_on_sheet(&trial, &most, error)
            : sg_fail(error, SG_FAULT, "no memory for a trial of %d parts", shop->n_parts);
    free(trial.shop.parts);
    free(trial.shop.stocks);
    if (status == SG_OK)
        *pieces = most;
    return status;
}
