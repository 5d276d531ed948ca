/* The rest: a shop in which what is left starts now. */
#include "actual_inside.h"

#include <math.h>
#include <string.h>

/* ---- the rows in their order ---- */

struct copying {
    const struct sg_shop *from;
    const struct sg_actual *actual;
    struct sg_shop *to;
    struct sg_arena *arena;
    bool failed;   /* memory ran out */
    int32_t front; /* stock that comes first in its shift, SG_UNKNOWN: none */
};

static bool take_rows(const struct sg_shop *from, struct sg_arena *arena, struct sg_shop *to)
{
    *to = *from;
    to->jobs = sg_arena_take(arena, ((size_t)from->n_jobs + 1) * sizeof *to->jobs);
    to->stocks = sg_arena_take(arena, ((size_t)from->n_stocks + 1) * sizeof *to->stocks);
    to->parts = sg_arena_take(arena, ((size_t)from->n_parts + 1) * sizeof *to->parts);
    to->shifts = sg_arena_take(arena, ((size_t)from->n_shifts + 1) * sizeof *to->shifts);
    to->heads = sg_arena_take(arena, ((size_t)from->n_heads + 1) * sizeof *to->heads);
    to->chores = sg_arena_take(arena, ((size_t)from->n_chores + 1) * sizeof *to->chores);
    if (!to->jobs || !to->stocks || !to->parts || !to->shifts || !to->heads || !to->chores)
        return false;
    to->n_jobs = to->n_stocks = to->n_parts = 0;
    for (int32_t i = 0; i < from->n_shifts; i++)
        to->shifts[i] = from->shifts[i];
    for (int32_t i = 0; i < from->n_heads; i++)
        to->heads[i] = from->heads[i];
    for (int32_t i = 0; i < from->n_chores; i++)
        to->chores[i] = from->chores[i];
    return true;
}

static void add_part(struct copying *c, int32_t index)
{
    struct sg_part *part = &c->to->parts[c->to->n_parts++];
    *part = c->from->parts[index];
    int64_t left = sg_actual_left(part, &c->actual->parts[index]);
    part->quantity = (int32_t)(left < INT32_MAX ? left : INT32_MAX);
    part->scrap = 0;
    part->stock = c->to->n_stocks;
}

/* The sheets that are cut are gone, and what lies on those that are cut in part lies there. */
static void add_sheets(struct copying *c, int32_t index, struct sg_stock *stock)
{
    int64_t gone = sg_actual_loads_cut(c->from, c->actual, index);
    c->failed =
        !sg_actual_lay_begun(c->from, c->actual, index, c->arena, stock, c->to->parts + stock->first_part) ||
        c->failed;
    sg_use_up_sheets(stock, gone + stock->begun_loads);
}

static bool is_uncounted(const struct sg_shop *to, const struct sg_stock *stock)
{
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        if (to->parts[i].uncounted > 0)
            return true;
    return false;
}

static void add_stock(struct copying *c, int32_t index)
{
    char key[400];
    bool on, good = false;
    struct sg_stock *stock = &c->to->stocks[c->to->n_stocks];
    const struct sg_stock *from = &c->from->stocks[index];
    *stock = *from;
    stock->job = c->to->n_jobs;
    stock->first_part = c->to->n_parts;
    for (int32_t i = from->first_part; i < from->first_part + from->n_parts; i++) {
        good = good || c->actual->parts[i].good > 0;
        add_part(c, i);
    }
    c->to->n_stocks++;
    if (c->from->shifts[c->from->jobs[from->job].shift].closed)
        return; /* nothing of it is left to plan, and the log of years need not be searched */
    int32_t next = sg_actual_next_sheet(c->from, c->actual, index, &on);
    add_sheets(c, index, stock);
    sg_key_write(c->from, (struct sg_target){SG_KIND_STOCK, index}, key, sizeof key);
    good = good || is_uncounted(c->to, stock);
    if (good || sg_actual_was_checked(c->from, c->actual, key))
        stock->first_check = 0;
    if (good || next > 1 || on)
        stock->fill = 0; /* wanted at its first load */
}

static void add_job(struct copying *c, int32_t index)
{
    const struct sg_job *from = &c->from->jobs[index];
    struct sg_job *job = &c->to->jobs[c->to->n_jobs];
    bool has_front = c->front != SG_UNKNOWN && c->from->stocks[c->front].job == index;
    *job = *from;
    job->first_stock = c->to->n_stocks;
    if (has_front)
        add_stock(c, c->front);
    for (int32_t i = from->first_stock; i < from->first_stock + from->n_stocks; i++)
        if (i != c->front)
            add_stock(c, i);
    c->to->n_jobs++;
}

/* In the order of the shop, but the stock in front before the others of its shift. */
static void add_jobs(struct copying *c)
{
    const struct sg_shop *from = c->from;
    int32_t front = c->front == SG_UNKNOWN ? SG_UNKNOWN : from->stocks[c->front].job;
    bool waiting = front != SG_UNKNOWN;
    for (int32_t i = 0; i < from->n_jobs; i++) {
        if (waiting && from->jobs[i].shift == from->jobs[front].shift) {
            add_job(c, front);
            waiting = false;
        }
        if (i != front)
            add_job(c, i);
    }
    for (int32_t i = 0, order = 0; i < from->n_jobs; i++) {
        order = i > 0 && c->to->jobs[i].shift == c->to->jobs[i - 1].shift ? order + 1 : 1;
        c->to->jobs[i].order = order;
    }
}

/* ---- the machine as it is now ---- */

static void take_machine(const struct sg_actual *actual, struct sg_shop *to)
{
    to->machine.hopper_level = actual->hopper.level;
    to->machine.bags_in_stock = sg_bags_left(to, actual);
    to->machine.sludge = actual->sludge;
    for (int32_t i = actual->last; i >= 0; i--) {
        const struct sg_clock *clock = &to->clocks[i];
        int head = clock->phase == SG_PHASE_CUT ? sg_find_head(to, clock->head) : SG_UNKNOWN;
        if (actual->clocks[i].from < actual->since)
            break;
        if (head != SG_UNKNOWN) {
            to->machine.head_fitted = head;
            break;
        }
    }
    for (int32_t i = 0; i < to->n_heads; i++) {
        to->heads[i].tube_hours = actual->heads[i].tube;
        to->heads[i].orifice_hours = actual->heads[i].orifice;
    }
    for (int32_t i = 0; i < to->n_chores; i++) {
        to->chores[i].hours = actual->chores[i];
        to->chores[i].last = actual->chore_days[i];
    }
}

/* ---- what runs ---- */

/* s of a load or a first check under the clock that are left. */
static double hands_left(const struct sg_shop *shop, const struct sg_actual *actual)
{
    int32_t clock = actual->running;
    if (clock == SG_UNKNOWN || shop->clocks[clock].phase == SG_PHASE_CUT)
        return 0;
    double left = shop->clocks[clock].planned_hands - sg_actual_net(&actual->clocks[clock]);
    return left > 0 ? left : 0; /* of one that was not planned nobody knows */
}

/* Whether nothing is left to cut of the load that comes first: its time is over. */
static bool is_first_load_cut(const struct sg_shop *to, int32_t stock)
{
    const struct sg_stock *of = &to->stocks[stock];
    bool cut = of->n_begun > 0;
    for (int32_t i = 0; i < of->n_begun && of->begun[i].load == 0; i++)
        cut = cut && of->begun[i].cut >= of->begun[i].cuts - 1e-9;
    return cut;
}

/* The stock whose sheet lies on the table and is cut next; a load that runs puts it there. */
static bool is_on(const struct sg_shop *shop, const struct sg_actual *actual, const char *place)
{
    bool loads = actual->running != SG_UNKNOWN && shop->clocks[actual->running].phase == SG_PHASE_LOAD;
    return loads || sg_actual_on_table(shop, actual, place);
}

/* ---- shifts ---- */

static void start_at(struct sg_calendar *calendar, double epoch)
{
    double gone = epoch - calendar->epoch;
    int n = 0;
    calendar->epoch = epoch;
    calendar->close_s -= gone;
    for (int i = 0; i < calendar->n_breaks; i++) {
        double from = fmax(calendar->breaks[i].from_s - gone, 0), to = calendar->breaks[i].to_s - gone;
        if (to <= 0)
            continue;
        calendar->breaks[n].from_s = from;
        calendar->breaks[n++].to_s = to;
    }
    calendar->n_breaks = n;
}

/* at_work: work was clocked in the shift of the rest since the log's start; begun: on its first job; on: the
 * stock on the table. */
static void start_shifts(struct sg_rest *rest, bool at_work, bool begun, const char *on)
{
    double work = rest->shift == SG_UNKNOWN ? 0 : rest->shop.shifts[rest->shift].calendar.epoch;
    for (int32_t i = 0; i < rest->shop.n_shifts; i++) {
        struct sg_shift *shift = &rest->shop.shifts[i];
        bool own = i == rest->shift;
        bool before = shift->calendar.epoch < work || (shift->calendar.epoch == work && i < rest->shift);
        if (at_work && before)
            shift->closed = 1; /* passed over: not what comes next */
        if (shift->closed || (!(own && at_work) && shift->calendar.epoch >= rest->now_epoch))
            continue;
        start_at(&shift->calendar, rest->now_epoch + (own ? rest->busy : 0));
        if (own && at_work) {
            shift->sheet_on = on;
            shift->job_begun = begun;
        }
    }
    for (int32_t i = 0; i < rest->shop.n_chores && at_work; i++)
        if (rest->shop.chores[i].when == SG_CHORE_SHIFT_START)
            rest->shop.chores[i].time = 0;
}

/* ---- all of it ---- */

bool sg_actual_rest(const struct sg_shop *shop, const struct sg_actual *actual, double now_epoch,
                    struct sg_arena *arena, struct sg_rest *out)
{
    struct copying c = {
        .from = shop, .actual = actual, .to = &out->shop, .arena = arena, .front = SG_UNKNOWN};
    const char *place = actual->last == SG_UNKNOWN ? "" : shop->clocks[actual->last].place;
    int32_t stock = sg_actual_stock(shop, place);
    int32_t shift = stock == SG_UNKNOWN ? SG_UNKNOWN : shop->jobs[shop->stocks[stock].job].shift;
    bool at_work = shift != SG_UNKNOWN && !shop->shifts[shift].closed &&
                   (actual->running != SG_UNKNOWN || actual->clocks[actual->last].from >= actual->since);
    bool on = at_work && is_on(shop, actual, place);
    *out = (struct sg_rest){
        .shift = at_work ? shift : sg_plan_default_shift(shop), .now = actual->now, .now_epoch = now_epoch};
    if (at_work && (on || actual->running != SG_UNKNOWN))
        c.front = stock;
    if (!take_rows(shop, arena, &out->shop))
        return false;
    add_jobs(&c);
    take_machine(actual, &out->shop);
    out->busy = at_work ? hands_left(shop, actual) : 0;
    if (on && is_first_load_cut(&out->shop, sg_actual_stock(&out->shop, place)))
        on = false;
    start_shifts(out, at_work, c.front != SG_UNKNOWN, on ? place : "");
    return !c.failed;
}
