/* Pieces that were counted: for each part a chain of counts, the last in front, and for each clock a chain of
 * those that it has. What is taken back is taken from the last, so it costs no search of the log. */
#include "actual_inside.h"

bool sg_counts_make(const struct sg_shop *shop, struct sg_arena *arena, struct sg_counts **out)
{
    size_t parts = (size_t)shop->n_parts + 1;
    struct sg_counts *counts = *out = sg_arena_take(arena, sizeof *counts);
    if (!counts)
        return false;
    /* A record adds a count, and one more for each clock that it is shared out to: for those there is room as
     * it is needed. Where good pieces become spoilt ones, those of one count may become two. */
    *counts = (struct sg_counts){.arena = arena};
    for (int of = 0; of < SG_COUNTEDS; of++) {
        counts->last[of] = sg_arena_take(arena, parts * sizeof *counts->last[of]);
        if (!counts->last[of])
            return false;
        for (int32_t i = 0; i < shop->n_parts; i++)
            counts->last[of][i] = NULL;
    }
    return true;
}

bool sg_counts_add(struct sg_actual *actual, enum sg_counted of, int32_t part, int32_t clock, int64_t n)
{
    struct sg_counts *counts = actual->counts;
    struct sg_count *count = sg_arena_take(counts->arena, sizeof *count);
    if (!count)
        return false;
    *count = (struct sg_count){.n = n, .clock = clock, .part = part, .before = counts->last[of][part]};
    counts->last[of][part] = count;
    if (clock != SG_UNKNOWN) {
        count->other = actual->clocks[clock].counts;
        actual->clocks[clock].counts = count;
    }
    return true;
}

int64_t sg_counts_take(struct sg_actual *actual, enum sg_counted of, int32_t part, int64_t most,
                       int32_t *clock)
{
    struct sg_count **last = &actual->counts->last[of][part];
    while (*last && (*last)->n == 0)
        *last = (*last)->before;
    if (!*last || most <= 0)
        return 0;
    int64_t n = (*last)->n < most ? (*last)->n : most;
    (*last)->n -= n;
    *clock = (*last)->clock;
    return n;
}

int64_t sg_actual_counted(const struct sg_actual *actual, int32_t clock, int32_t part)
{
    int64_t n = 0;
    for (const struct sg_count *count = actual->clocks[clock].counts; count; count = count->other)
        n += count->part == part ? count->n : 0;
    return n;
}
