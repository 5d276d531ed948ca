/* Cuts from their beginning to their end: one load may be cut by several clocks, with a first check between.
 */
#include "actual_inside.h"

#include <math.h>
#include <string.h>

/* ---- one clock ---- */

double sg_clock_planned(const struct sg_clock *clock)
{
    if (clock->phase != SG_PHASE_CUT)
        return clock->planned_hands;
    double cut = clock->planned_cut + clock->planned_corner + clock->planned_acceleration;
    return clock->cut_only ? cut : cut + clock->planned_pierce + clock->planned_rapid;
}

double sg_clock_scale(const struct sg_clock *clock, const struct sg_actual_clock *actual)
{
    if (!actual->counted || clock->pieces <= 0)
        return 1;
    if (sg_known(actual->share))
        return actual->share;
    return (double)(actual->good + actual->scrapped) / clock->pieces;
}

double sg_actual_net(const struct sg_actual_clock *actual)
{
    return (double)(actual->until - actual->from) - actual->paused;
}

double sg_actual_net_from(const struct sg_actual *actual, int32_t clock, int64_t from)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    if (from <= c->from)
        return sg_actual_net(c);
    if (from >= c->until)
        return 0;
    double net = (double)(c->until - from);
    for (int32_t i = c->first_pause; i < c->first_pause + c->n_pauses; i++) {
        const struct sg_actual_pause *pause = &actual->pauses[i];
        if (pause->until > from)
            net -= (double)(pause->until - (pause->from > from ? pause->from : from));
    }
    return net;
}

int64_t sg_actual_left(const struct sg_part *part, const struct sg_actual_part *done)
{
    int64_t wanted = part->quantity - done->left_good;
    int64_t allowed = part->scrap - done->left_scrapped; /* scrap that was planned for and has not happened */
    if (wanted <= 0)
        return 0; /* all are there: nothing need fail any more */
    return allowed > 0 ? wanted + allowed : wanted;
}

bool sg_actual_all_counted(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    if (!c->counted || shop->clocks[clock].pieces <= 0 || c->counted_at <= c->from ||
        c->good + c->scrapped < shop->clocks[clock].pieces)
        return false;
    for (int32_t i = c->first_pause; i < c->first_pause + c->n_pauses; i++)
        if (actual->pauses[i].from > c->counted_at ||
            (!actual->pauses[i].open && actual->pauses[i].until > c->counted_at))
            return false; /* somebody thought that it went on */
    return true;
}

/* ---- one load in several clocks ---- */

static bool is_same_sheet(const struct sg_clock *a, const struct sg_clock *b)
{
    return a->phase == SG_PHASE_CUT && b->phase == SG_PHASE_CUT && a->sheets == 1 && b->sheets == 1 &&
           a->sheet != SG_UNKNOWN && a->sheet == b->sheet;
}

bool sg_actual_cut_short(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    int32_t next = c->next;
    if (shop->clocks[clock].phase != SG_PHASE_CUT || !c->happened || c->counted || next == SG_UNKNOWN)
        return false;
    if (shop->clocks[next].phase == SG_PHASE_CHECK)
        return next == clock + 1;
    return (c->stop != SG_UNKNOWN || c->mended) && is_same_sheet(&shop->clocks[clock], &shop->clocks[next]);
}

double sg_actual_before(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    double seconds = 0;
    for (int32_t i = actual->clocks[clock].previous; i != SG_UNKNOWN; i = actual->clocks[i].previous) {
        if (sg_actual_cut_short(shop, actual, i))
            seconds += sg_actual_net(&actual->clocks[i]);
        else if (shop->clocks[i].phase != SG_PHASE_CHECK)
            break;
    }
    return seconds;
}

/* The next clock of the same place that is no first check; SG_UNKNOWN: none yet. */
static int32_t next_but_checks(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    int32_t next = actual->clocks[clock].next;
    while (next != SG_UNKNOWN && shop->clocks[next].phase == SG_PHASE_CHECK)
        next = actual->clocks[next].next;
    return next;
}

/* The clock with which the load of a cut that was stopped was cut on, and on: the last such one, which may be
 * stopped itself. */
static int32_t end_of_run(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    while (sg_actual_cut_short(shop, actual, clock)) {
        int32_t next = next_but_checks(shop, actual, clock);
        if (next == SG_UNKNOWN || shop->clocks[next].phase != SG_PHASE_CUT)
            break;
        clock = next;
    }
    return clock;
}

/* Of a cut that was stopped before anything was counted, and no cut went on: whether something else was
 * clocked since. */
static bool is_left_lying(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    int32_t next = clock + 1;
    if (end_of_run(shop, actual, clock) != clock)
        return false;
    while (next <= actual->last && shop->clocks[next].phase == SG_PHASE_CHECK &&
           strcmp(shop->clocks[next].place, shop->clocks[clock].place) == 0)
        next++;
    return next <= actual->last;
}

int32_t sg_actual_cut_before(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    int32_t i = actual->clocks[clock].previous;
    while (i != SG_UNKNOWN && shop->clocks[i].phase != SG_PHASE_CUT)
        i = actual->clocks[i].previous;
    return i;
}

int32_t sg_actual_goes_on_with(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    int32_t i = actual->clocks[clock].previous;
    while (i != SG_UNKNOWN && shop->clocks[i].phase == SG_PHASE_CHECK)
        i = actual->clocks[i].previous;
    if (i == SG_UNKNOWN || !is_same_sheet(&shop->clocks[i], &shop->clocks[clock]))
        return SG_UNKNOWN;
    return actual->clocks[i].counted && sg_actual_pieces_left(shop, actual, i) > 0 ? i : SG_UNKNOWN;
}

/* Whether the sheet of a cut that was counted in part was cut on by the next. */
static bool is_gone_on_with(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    int32_t next = next_but_checks(shop, actual, clock);
    return next != SG_UNKNOWN && sg_actual_goes_on_with(shop, actual, next) == clock;
}

/* Nobody knows when it ended: the next cut was clocked without a stop in between, and it was loaded first. */
static bool was_forgotten(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    return actual->clocks[clock].mended && clock < actual->last &&
           shop->clocks[clock + 1].phase == SG_PHASE_CUT;
}

static enum sg_actual_left_out left_out(const struct sg_shop *shop, const struct sg_actual *actual,
                                        int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    if (shop->clocks[clock].phase != SG_PHASE_CUT || !c->happened || c->running)
        return SG_LEFT_NO_CUT;
    if (sg_actual_cut_short(shop, actual, clock) || sg_actual_broke_off(shop, actual, clock))
        return is_left_lying(shop, actual, clock) ? SG_LEFT_SHORT : SG_LEFT_NO_CUT;
    if (is_gone_on_with(shop, actual, clock))
        return SG_LEFT_NO_CUT;
    if (was_forgotten(shop, actual, clock))
        return SG_LEFT_FORGOTTEN;
    return c->counted && c->good <= 0 ? SG_LEFT_SPOILT : SG_LEFT_NOTHING;
}

/* Of a clock with what was cut of its load and not counted before the check. */
static struct sg_actual_run run_of_clock(const struct sg_shop *shop, const struct sg_actual *actual,
                                         int32_t clock)
{
    const struct sg_clock *frozen = &shop->clocks[clock];
    const struct sg_actual_clock *c = &actual->clocks[clock];
    bool cut = frozen->phase == SG_PHASE_CUT;
    struct sg_actual_run run = {.scale = cut && !c->running ? sg_clock_scale(frozen, c) : 1,
                                .before = cut ? sg_actual_before(shop, actual, clock) : 0};
    run.planned = sg_clock_planned(frozen) * run.scale;
    run.took = sg_actual_net(c) + run.before;
    return run;
}

enum sg_actual_left_out sg_actual_run_of(const struct sg_shop *shop, const struct sg_actual *actual,
                                         int32_t clock, struct sg_actual_run *out)
{
    if (!out)
        return left_out(shop, actual, clock);
    double whole = sg_clock_planned(&shop->clocks[clock]);
    *out = run_of_clock(shop, actual, clock);
    for (int32_t i = sg_actual_goes_on_with(shop, actual, clock); i != SG_UNKNOWN;
         i = sg_actual_goes_on_with(shop, actual, i)) {
        struct sg_actual_run before = run_of_clock(shop, actual, i);
        out->planned += before.planned;
        out->took += before.took;
        out->before += before.took;
        out->scale = out->planned / whole;
    }
    return left_out(shop, actual, clock);
}

double sg_actual_share(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    struct sg_actual_run run;
    int32_t end = shop->clocks[clock].phase == SG_PHASE_CUT ? end_of_run(shop, actual, clock) : clock;
    run = run_of_clock(shop, actual, end);
    if (!sg_known(run.planned) || shop->clocks[clock].phase != SG_PHASE_CUT)
        return run.planned;
    double left = fmax(0, run.planned - sg_actual_before(shop, actual, clock));
    bool stopped = sg_actual_cut_short(shop, actual, clock) || sg_actual_broke_off(shop, actual, clock);
    return stopped ? fmin(sg_actual_net(&actual->clocks[clock]), left) : left;
}
