/* Which part of the log is a shift's. */
#include "actual_inside.h"

#include <string.h>

static int64_t start_of(const struct sg_shift *shift)
{
    return shift->date == SG_NO_DATE ? INT64_MIN : (int64_t)shift->date * SG_DAY_S + shift->start;
}

static int32_t shift_of_clock(const struct sg_shop *shop, int32_t clock)
{
    int32_t stock = sg_actual_stock(shop, shop->clocks[clock].place);
    return stock == SG_UNKNOWN ? SG_UNKNOWN : shop->jobs[shop->stocks[stock].job].shift;
}

/* The start of work on the jobs of a shift that starts later. */
static int64_t start_of_next(const struct sg_shop *shop, int32_t shift, int64_t from)
{
    for (int32_t i = 0; i < shop->n_clocks; i++) {
        if (shop->clocks[i].at < from)
            continue;
        int32_t other = shift_of_clock(shop, i);
        if (other != SG_UNKNOWN && other != shift &&
            start_of(&shop->shifts[other]) > start_of(&shop->shifts[shift]))
            return shop->clocks[i].at;
    }
    return INT64_MAX;
}

void sg_actual_window(const struct sg_shop *shop, int32_t shift, int64_t *from, int64_t *until)
{
    int64_t start = start_of(&shop->shifts[shift]), closed_before = INT64_MIN;
    bool closed = false;
    *until = INT64_MAX;
    for (int32_t i = 0; i < shop->n_records && !closed; i++) {
        if (shop->records[i].what != SG_RECORD_CLOSE)
            continue;
        closed = strcmp(shop->records[i].place, shop->shifts[shift].id) == 0;
        if (closed)
            *until = shop->records[i].at + 1;
        else
            closed_before = shop->records[i].at;
    }
    *from = start == INT64_MIN ? start : start - SG_EARLY_S;
    if (closed_before > *from)
        *from = closed_before + 1;
    if (!closed)
        *until = start_of_next(shop, shift, *from);
}

int64_t sg_actual_planned_end(const struct sg_shop *shop, const struct sg_actual *actual, int32_t shift)
{
    for (int32_t i = 0; i <= actual->last; i++) {
        const struct sg_clock *clock = &shop->clocks[i];
        if (actual->clocks[i].from < actual->since || clock->planned_end == SG_NO_MOMENT)
            continue;
        if (shift_of_clock(shop, i) == shift)
            return clock->planned_end;
    }
    return SG_NO_MOMENT;
}
