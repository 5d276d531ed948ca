/* The order of rows: of jobs in memory, of jobs and parts a step up or down. */
#include "edit/clip_inside.h"

#include <stdio.h>
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

/* ---- up and down ---- */

struct stepping {
    const struct sg_shop *shop;
    const struct sg_target *rows; /* that move, in the order of the shop */
    int n;
    struct sg_rows there; /* all of their parent */
    struct sg_error *error;
};

static enum sg_status check_steps(struct stepping *s)
{
    enum sg_kind kind = s->rows[0].kind, parent = kind;
    if (kind == SG_KIND_STOCK)
        return sg_fail(
            s->error, SG_USAGE,
            "the stocks of a job stand by their numbers, which are their keys; jobs and parts can be "
            "moved");
    if (kind == SG_KIND_HEAD || kind == SG_KIND_MATERIAL)
        return sg_fail(s->error, SG_USAGE, "%ss have no order; jobs and parts can be moved",
                       sg_kind_word(kind));
    sg_parent_kind(kind, &parent);
    for (int i = 1; i < s->n; i++)
        if (sg_parent_of(s->shop, s->rows[i]) != sg_parent_of(s->shop, s->rows[0]))
            return sg_fail(s->error, SG_USAGE, "%ss of one %s are moved together; these are of several",
                           sg_kind_word(kind), sg_kind_word(parent));
    s->there = sg_rows_of(s->shop, kind, sg_parent_of(s->shop, s->rows[0]));
    return SG_OK;
}

/* By how many places they can go, of those that are wanted. */
static enum sg_status limit_steps(struct stepping *s, int *by)
{
    char key[1200];
    bool up = *by < 0;
    struct sg_target edge = s->rows[up ? 0 : s->n - 1];
    int32_t room = up ? edge.index - s->there.first : s->there.first + s->there.n - 1 - edge.index;
    if (room == 0) {
        sg_key_write(s->shop, edge, key, sizeof key);
        return sg_fail(s->error, SG_NO, "%.400s is %s already", key, up ? "first" : "last");
    }
    *by = up ? (*by < -room ? -room : *by) : (*by > room ? room : *by);
    return SG_OK;
}

/* The ids of all rows of the parent in their new order: those that move at their places, the others around.
 */
static void step(const struct stepping *s, int by, int64_t *order)
{
    int32_t place = 0;
    for (int32_t i = 0; i < s->there.n; i++)
        order[i] = 0;
    for (int i = 0; i < s->n; i++)
        order[s->rows[i].index - s->there.first + by] = sg_row_of(s->shop, s->rows[i]);
    for (int32_t i = 0, next = 0; i < s->there.n; i++) {
        struct sg_target other = {s->rows[0].kind, s->there.first + i};
        if (next < s->n && s->rows[next].index == other.index) {
            next++;
            continue;
        }
        while (order[place] != 0)
            place++;
        order[place] = sg_row_of(s->shop, other);
    }
}

static enum sg_status write_steps(struct sg_desk *desk, const struct stepping *s, int by, char *words,
                                  size_t size)
{
    const char *way = by < 0 ? "up" : "down";
    char behind[12];
    snprintf(behind, sizeof behind, " %s", way);
    const struct sg_deed deed = {.verb = "moved", .of = "of", .behind = behind};
    int64_t *order = malloc((size_t)s->there.n * sizeof *order);
    if (!order)
        return sg_fail(s->error, SG_FAULT, "no memory to order %d rows", s->there.n);
    sg_deed_words(&deed, s->shop, s->rows, s->n, words, size);
    step(s, by, order);
    enum sg_status status = sg_store_rearrange(desk->store, s->rows[0].kind, order, s->there.n, s->error);
    free(order);
    return status == SG_OK ? sg_desk_reload(desk, s->error) : status;
}

enum sg_status sg_desk_step_rows(struct sg_desk *desk, const char *const *keys, int n, int by,
                                 struct sg_error *error)
{
    char words[SG_WORDS_SIZE] = "";
    struct sg_target *rows = NULL;
    struct stepping s = {.shop = &desk->held.shop, .error = error};
    if (by == 0)
        return sg_fail(error, SG_USAGE, "by no place is no move");
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = sg_rows_find(s.shop, keys, &n, &rows, error);
    s.rows = rows;
    s.n = n;
    if (status == SG_OK)
        status = check_steps(&s);
    if (status == SG_OK)
        status = limit_steps(&s, &by);
    if (status == SG_OK)
        status = write_steps(desk, &s, by, words, sizeof words);
    free(rows);
    return sg_desk_finish(desk, status, words, error);
}
