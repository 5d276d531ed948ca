/* The rest of a shift, planned. */
#include "edit/actuals.h"

void sg_now_free(struct sg_now *now)
{
    sg_arena_free(&now->arena);
    sg_planner_free(now->planner);
    *now = (struct sg_now){0};
}

enum sg_status sg_now_make(struct sg_now *now, const struct sg_shop *shop, int64_t at, int32_t shift,
                           struct sg_error *error)
{
    return sg_now_make_next(now, shop, at, shift, SG_UNKNOWN, error);
}

enum sg_status sg_now_make_next(struct sg_now *now, const struct sg_shop *shop, int64_t at, int32_t shift,
                                int32_t stock, struct sg_error *error)
{
    struct sg_planner *warm = now->planner; /* it remembers the layouts of last time */
    now->planner = NULL;
    sg_now_free(now);
    now->planner = warm ? warm : sg_planner_new();
    if (shop->n_shifts == 0)
        return sg_fail(error, SG_BAD_DATA, "there is no shift; `add shift` makes one");
    bool made = now->planner && sg_actual_make(shop, at, &now->arena, &now->actual);
    if (made && stock != SG_UNKNOWN)
        sg_actual_end_forgotten(shop, &now->actual, stock);
    if (!made || !sg_actual_rest(shop, &now->actual, sg_moment_epoch(at), &now->arena, &now->rest))
        return sg_fail(error, SG_FAULT, "no memory for a log of %d clocks", shop->n_clocks);
    return sg_plan_shift(now->planner, &now->rest.shop, shift == SG_UNKNOWN ? now->rest.shift : shift,
                         &now->plan, error);
}

int64_t sg_log_end(const struct sg_shop *shop)
{
    int64_t end = SG_NO_MOMENT;
    if (shop->n_clocks > 0)
        end = shop->clocks[shop->n_clocks - 1].at;
    if (shop->n_records > 0 && shop->records[shop->n_records - 1].at > end)
        end = shop->records[shop->n_records - 1].at;
    return end;
}

enum { LATER_S = 5 * 60, LONG_AGO_S = 183 * SG_DAY_S };

enum sg_status sg_note_moment(const struct sg_shop *shop, int64_t at, int64_t now, struct sg_error *error)
{
    char then[40], clock[40];
    if ((at <= now + LATER_S && at >= now - LONG_AGO_S) || sg_actual_near_shift(shop, at))
        return SG_OK;
    sg_moment_format(at, then, sizeof then);
    sg_moment_format(now / 60 * 60, clock, sizeof clock);
    if (at < now)
        return sg_fail(error, SG_BAD_DATA,
                       "%s is more than half a year ago (it is %s), and no shift is near: is the year right?",
                       then, clock);
    return sg_fail(
        error, SG_BAD_DATA,
        "%s is later than now (%s), and no shift is near: say a moment up to now, or within 12 h of "
        "a shift",
        then, clock);
}
