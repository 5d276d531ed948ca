/* Cuts from their beginning to their end: one load may be cut by several clocks, with a first check between.
 */
#include "actual_inside.h"

#include <math.h>
#include <string.h>

bool sg_actual_cut_short(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_clock *cut = &shop->clocks[clock];
    return cut->phase == SG_PHASE_CUT && !actual->clocks[clock].counted && clock < actual->last &&
           cut[1].phase == SG_PHASE_CHECK && strcmp(cut[1].place, cut->place) == 0;
}

double sg_actual_before(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    double seconds = 0;
    const char *place = shop->clocks[clock].place;
    for (int32_t i = clock - 1; i >= 0 && strcmp(shop->clocks[i].place, place) == 0; i--) {
        if (sg_actual_cut_short(shop, actual, i))
            seconds += sg_actual_net(&actual->clocks[i]);
        else if (shop->clocks[i].phase != SG_PHASE_CHECK)
            break;
    }
    return seconds;
}

/* The clock with which the load of a cut that was stopped for the check was cut on, and on: the last such
 * one, which may be stopped for a check itself. */
static int32_t end_of_run(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const char *place = shop->clocks[clock].place;
    for (int32_t i = clock; sg_actual_cut_short(shop, actual, i); clock = i) {
        do
            i++;
        while (i <= actual->last && shop->clocks[i].phase == SG_PHASE_CHECK &&
               strcmp(shop->clocks[i].place, place) == 0);
        if (i > actual->last || shop->clocks[i].phase != SG_PHASE_CUT ||
            strcmp(shop->clocks[i].place, place) != 0)
            break;
    }
    return clock;
}

/* Of a cut that was stopped for the check, and no cut went on: whether none can, as something else was
 * clocked since. */
static bool is_left_at_check(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    int32_t next = clock + 1;
    if (end_of_run(shop, actual, clock) != clock)
        return false;
    while (next <= actual->last && shop->clocks[next].phase == SG_PHASE_CHECK &&
           strcmp(shop->clocks[next].place, shop->clocks[clock].place) == 0)
        next++;
    return next <= actual->last;
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
    if (sg_actual_cut_short(shop, actual, clock))
        return is_left_at_check(shop, actual, clock) ? SG_LEFT_CHECK : SG_LEFT_NO_CUT;
    if (was_forgotten(shop, actual, clock))
        return SG_LEFT_FORGOTTEN;
    return c->counted && c->good <= 0 ? SG_LEFT_SPOILT : SG_LEFT_NOTHING;
}

enum sg_actual_left_out sg_actual_run_of(const struct sg_shop *shop, const struct sg_actual *actual,
                                         int32_t clock, struct sg_actual_run *out)
{
    const struct sg_clock *frozen = &shop->clocks[clock];
    const struct sg_actual_clock *c = &actual->clocks[clock];
    if (out) {
        bool cut = frozen->phase == SG_PHASE_CUT;
        *out = (struct sg_actual_run){.scale = cut && !c->running ? sg_clock_scale(frozen, c) : 1,
                                      .before = cut ? sg_actual_before(shop, actual, clock) : 0};
        out->planned = sg_clock_planned(frozen) * out->scale;
        out->took = sg_actual_net(c) + out->before;
    }
    return left_out(shop, actual, clock);
}

double sg_actual_share(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    struct sg_actual_run run;
    int32_t end = shop->clocks[clock].phase == SG_PHASE_CUT ? end_of_run(shop, actual, clock) : clock;
    sg_actual_run_of(shop, actual, end, &run);
    if (!sg_known(run.planned) || shop->clocks[clock].phase != SG_PHASE_CUT)
        return run.planned;
    double left = fmax(0, run.planned - sg_actual_before(shop, actual, clock));
    bool stopped = sg_actual_cut_short(shop, actual, clock);
    return stopped ? fmin(sg_actual_net(&actual->clocks[clock]), left) : left;
}
