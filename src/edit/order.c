/* The order of jobs, in memory. */
#include "edit/inside.h"

#include <stdlib.h>
#include <string.h>

static int by_shift_and_order(const void *a, const void *b)
{
    const struct sg_job *x = a, *y = b;
    if (x->shift != y->shift)
        return x->shift < y->shift ? -1 : 1;
    return x->order < y->order ? -1 : x->order > y->order;
}

/* Give job `moved` its new number: the others close up and make room. */
static void renumber(struct sg_shop *shop, int32_t moved, bool to_end)
{
    struct sg_job *job = &shop->jobs[moved];
    int32_t others = 0;
    for (int32_t i = 0; i < shop->n_jobs; i++)
        others += i != moved && shop->jobs[i].shift == job->shift;
    if (to_end || job->order > others + 1)
        job->order = others + 1;
    for (int32_t shift = 0; shift < shop->n_shifts; shift++) {
        int32_t place = 1;
        for (int32_t i = 0; i < shop->n_jobs; i++) {
            if (i == moved || shop->jobs[i].shift != shift)
                continue;
            place += shift == job->shift && place == job->order;
            shop->jobs[i].order = place++;
        }
    }
}

/* Lay stocks and parts anew in the order of the jobs. */
static enum sg_status lay_anew(struct sg_held *held, struct sg_error *error)
{
    struct sg_shop *shop = &held->shop;
    struct sg_stock *stocks = sg_arena_take(&held->arena, (size_t)shop->n_stocks * sizeof *stocks);
    struct sg_part *parts = sg_arena_take(&held->arena, (size_t)shop->n_parts * sizeof *parts);
    int32_t n_stocks = 0, n_parts = 0;
    if (!stocks || !parts)
        return sg_fail(error, SG_FAULT, "no memory to order %d jobs", shop->n_jobs);
    for (int32_t j = 0; j < shop->n_jobs; j++) {
        struct sg_job *job = &shop->jobs[j];
        int32_t first = n_stocks;
        for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++) {
            struct sg_stock *stock = &stocks[n_stocks];
            *stock = shop->stocks[i];
            stock->job = j;
            stock->first_part = n_parts;
            for (int32_t k = 0; k < stock->n_parts; k++) {
                parts[n_parts] = shop->parts[shop->stocks[i].first_part + k];
                parts[n_parts++].stock = n_stocks;
            }
            n_stocks++;
        }
        job->first_stock = first;
    }
    shop->stocks = stocks;
    shop->parts = parts;
    return SG_OK;
}

enum sg_status sg_held_place_job(struct sg_held *held, int32_t *moved, bool to_end, struct sg_error *error)
{
    struct sg_shop *shop = &held->shop;
    int64_t row = shop->jobs[*moved].row;
    renumber(shop, *moved, to_end);
    qsort(shop->jobs, (size_t)shop->n_jobs, sizeof *shop->jobs, by_shift_and_order);
    for (int32_t i = 0; i < shop->n_jobs; i++)
        if (shop->jobs[i].row == row)
            *moved = i;
    return lay_anew(held, error);
}
