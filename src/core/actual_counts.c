/* Pieces that were counted: for each part a chain of counts, the last in front. What is taken back is taken
 * from the last, so it costs no search of the log. */
#include "actual_inside.h"

bool sg_counts_make(const struct sg_shop *shop, struct sg_arena *arena, struct sg_counts *out)
{
    size_t parts = (size_t)shop->n_parts + 1;
    /* A record adds a count; where good pieces become spoilt ones, those of one count may become two. */
    out->counts = sg_arena_take(arena, (2 * (size_t)shop->n_records + 1) * sizeof *out->counts);
    out->n_counts = 0;
    bool made = out->counts;
    for (int of = 0; of < SG_COUNTEDS && made; of++) {
        out->last[of] = sg_arena_take(arena, parts * sizeof *out->last[of]);
        made = out->last[of];
        for (int32_t i = 0; i < shop->n_parts && made; i++)
            out->last[of][i] = SG_UNKNOWN;
    }
    return made;
}

void sg_counts_add(struct sg_counts *counts, enum sg_counted of, int32_t part, int32_t clock, int64_t n)
{
    int32_t *last = &counts->last[of][part];
    counts->counts[counts->n_counts] = (struct sg_count){n, clock, *last};
    *last = counts->n_counts++;
}

int64_t sg_counts_take(struct sg_counts *counts, enum sg_counted of, int32_t part, int64_t most,
                       int32_t *clock)
{
    int32_t *last = &counts->last[of][part];
    while (*last != SG_UNKNOWN && counts->counts[*last].n == 0)
        *last = counts->counts[*last].before;
    if (*last == SG_UNKNOWN || most <= 0)
        return 0;
    struct sg_count *count = &counts->counts[*last];
    int64_t n = count->n < most ? count->n : most;
    count->n -= n;
    *clock = count->clock;
    return n;
}
