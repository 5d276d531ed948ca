/* Parts by their keys, for a log of years: sorted by a hash of the key. */
#include "actual_inside.h"

#include <stdlib.h>
#include <string.h>

enum { KEY = 400 }; /* a place has at most 200 characters */

static uint64_t hash_of(const char *text)
{
    uint64_t hash = UINT64_C(14695981039346656037); /* FNV-1a */
    for (; *text; text++)
        hash = (hash ^ (unsigned char)*text) * UINT64_C(1099511628211);
    return hash;
}

static int by_hash(const void *a, const void *b)
{
    const struct sg_part_place *x = a, *y = b;
    return (x->hash > y->hash) - (x->hash < y->hash);
}

bool sg_part_index_make(const struct sg_shop *shop, struct sg_arena *arena, struct sg_part_index *out)
{
    char key[4 * KEY];
    *out = (struct sg_part_index){
        shop, sg_arena_take(arena, ((size_t)shop->n_parts + 1) * sizeof *out->places), shop->n_parts};
    if (!out->places)
        return false;
    for (int32_t i = 0; i < shop->n_parts; i++) {
        sg_key_write(shop, (struct sg_target){SG_KIND_PART, i}, key, sizeof key);
        out->places[i] = (struct sg_part_place){hash_of(key), i};
    }
    qsort(out->places, (size_t)out->n, sizeof *out->places, by_hash);
    return true;
}

int32_t sg_part_index_find(const struct sg_part_index *index, const char *place)
{
    char key[4 * KEY];
    uint64_t hash = hash_of(place);
    int32_t low = 0, high = index->n;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (index->places[middle].hash < hash)
            low = middle + 1;
        else
            high = middle;
    }
    for (; low < index->n && index->places[low].hash == hash; low++) {
        sg_key_write(index->shop, (struct sg_target){SG_KIND_PART, index->places[low].part}, key, sizeof key);
        if (strcmp(key, place) == 0)
            return index->places[low].part;
    }
    return SG_UNKNOWN;
}
