/* Which part of the log is a shift's. */
#include "actual_inside.h"

#include <stddef.h>
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

static bool is_in_log_of(const struct sg_shop *shop, int32_t shift, int64_t at)
{
    int64_t from, until;
    sg_actual_window(shop, shift, &from, &until);
    return at >= from && at < until;
}

int32_t sg_actual_shift_at(const struct sg_shop *shop, int64_t at)
{
    int32_t clock = shop->n_clocks - 1, found = SG_UNKNOWN;
    while (clock >= 0 && shop->clocks[clock].at > at)
        clock--;
    int32_t shift = clock < 0 ? SG_UNKNOWN : shift_of_clock(shop, clock);
    if (shift != SG_UNKNOWN && is_in_log_of(shop, shift, at))
        return shift;
    for (int32_t i = 0; i < shop->n_shifts; i++)
        if (is_in_log_of(shop, i, at) &&
            (found == SG_UNKNOWN || start_of(&shop->shifts[i]) >= start_of(&shop->shifts[found])))
            found = i;
    return found;
}

/* Index of the first of n rows, sorted by the moment at an offset in them, that is not before `from`. */
static int32_t first_from(const void *rows, size_t size, size_t offset, int32_t n, int64_t from)
{
    int32_t low = 0;
    while (low < n) {
        int32_t middle = low + (n - low) / 2;
        if (*(const int64_t *)((const char *)rows + (size_t)middle * size + offset) < from)
            low = middle + 1;
        else
            n = middle;
    }
    return low;
}

bool sg_actual_outside(const struct sg_shop *shop, struct sg_arena *arena, struct sg_actual_outside *out)
{
    out->clocks = sg_arena_take(arena, ((size_t)shop->n_clocks + 1) * sizeof *out->clocks);
    out->records = sg_arena_take(arena, ((size_t)shop->n_records + 1) * sizeof *out->records);
    if (!out->clocks || !out->records)
        return false;
    memset(out->clocks, true, (size_t)shop->n_clocks * sizeof *out->clocks);
    memset(out->records, true, (size_t)shop->n_records * sizeof *out->records);
    for (int32_t shift = 0; shift < shop->n_shifts; shift++) {
        struct sg_log_walk walk = {.shop = shop};
        int32_t clock, record;
        sg_actual_window(shop, shift, &walk.from, &walk.until);
        walk.clock = first_from(shop->clocks, sizeof *shop->clocks, offsetof(struct sg_clock, at),
                                shop->n_clocks, walk.from);
        walk.record = first_from(shop->records, sizeof *shop->records, offsetof(struct sg_record, at),
                                 shop->n_records, walk.from);
        while (sg_log_next(&walk, &clock, &record))
            if (clock != SG_UNKNOWN)
                out->clocks[clock] = false;
            else
                out->records[record] = false;
    }
    return true;
}

bool sg_actual_near_shift(const struct sg_shop *shop, int64_t at)
{
    for (int32_t i = 0; i < shop->n_shifts; i++) {
        const struct sg_shift *shift = &shop->shifts[i];
        if (shift->date == SG_NO_DATE)
            continue;
        int64_t start = start_of(shift), length = shift->end - shift->start;
        length += length <= 0 ? SG_DAY_S : 0; /* over midnight */
        if (at >= start - SG_NEAR_SHIFT_S && at <= start + length + SG_NEAR_SHIFT_S)
            return true;
    }
    return false;
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
