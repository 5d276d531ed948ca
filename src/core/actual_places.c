/* Which clocks of the log are of one place. */
#include "actual_inside.h"

#include <stdlib.h>
#include <string.h>

struct placed {
    const char *place;
    int32_t clock;
};

static int by_place(const void *a, const void *b)
{
    const struct placed *x = a, *y = b;
    return strcmp(x->place, y->place);
}

int32_t *sg_places_make(const struct sg_shop *shop, struct sg_arena *arena)
{
    size_t clocks = (size_t)shop->n_clocks + 1;
    struct placed *placed = sg_arena_take(arena, clocks * sizeof *placed);
    int32_t *ids = sg_arena_take(arena, clocks * sizeof *ids), id = 0;
    if (!placed || !ids)
        return NULL;
    for (int32_t i = 0; i < shop->n_clocks; i++)
        placed[i] = (struct placed){shop->clocks[i].place, i};
    qsort(placed, (size_t)shop->n_clocks, sizeof *placed, by_place);
    for (int32_t i = 0; i < shop->n_clocks; i++) {
        id += i > 0 && strcmp(placed[i].place, placed[i - 1].place) != 0;
        ids[placed[i].clock] = id;
    }
    return ids;
}
