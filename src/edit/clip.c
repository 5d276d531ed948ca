/* Rows copied into memory of their own, and cut. */
#include "edit/clip_inside.h"

#include <stdlib.h>
#include <string.h>

void sg_clip_free(struct sg_clip *clip)
{
    if (!clip)
        return;
    sg_arena_free(&clip->arena);
    free(clip);
}

enum sg_kind sg_clip_kind(const struct sg_clip *clip)
{
    return clip->kind;
}

int sg_clip_count(const struct sg_clip *clip)
{
    return clip->n;
}

const char *sg_clip_said(const struct sg_clip *clip)
{
    return clip->said;
}

/* ---- taking rows ---- */

/* A record with texts of its own. */
static bool own(struct sg_clip *clip, enum sg_kind kind, const void *from, void *to)
{
    int n_fields;
    bool whole = true;
    const struct sg_field *fields = sg_fields(kind, &n_fields);
    memcpy(to, from, sg_kind_size(kind));
    for (int i = 0; i < n_fields; i++) {
        struct sg_value value;
        if (fields[i].type != SG_FIELD_TEXT)
            continue;
        sg_field_get(&fields[i], from, &value);
        if (value.none)
            continue; /* "" is nobody's memory */
        value.text = sg_arena_text(&clip->arena, value.text, strlen(value.text));
        whole = whole && value.text;
        sg_field_put(&fields[i], to, &value);
    }
    const char **key = sg_record_key(kind, to);
    if (key)
        *key = sg_arena_text(&clip->arena, *key, strlen(*key));
    return whole && (!key || *key);
}

static bool own_parts(struct sg_clip *clip, const struct sg_shop *shop, int32_t first, int32_t n)
{
    bool whole = true;
    for (int32_t i = 0; i < n && whole; i++) {
        struct sg_part *part = &clip->shop.parts[clip->shop.n_parts++];
        whole = own(clip, SG_KIND_PART, &shop->parts[first + i], part);
        part->stock = clip->shop.n_stocks - 1;
    }
    return whole;
}

static bool own_stock(struct sg_clip *clip, const struct sg_shop *shop, int32_t index)
{
    struct sg_stock *stock = &clip->shop.stocks[clip->shop.n_stocks++];
    bool whole = own(clip, SG_KIND_STOCK, &shop->stocks[index], stock);
    stock->job = clip->shop.n_jobs - 1;
    stock->first_part = clip->shop.n_parts;
    return whole && own_parts(clip, shop, shop->stocks[index].first_part, stock->n_parts);
}

static bool own_job(struct sg_clip *clip, const struct sg_shop *shop, int32_t index)
{
    struct sg_job *job = &clip->shop.jobs[clip->shop.n_jobs++];
    bool whole = own(clip, SG_KIND_JOB, &shop->jobs[index], job);
    job->first_stock = clip->shop.n_stocks;
    for (int32_t i = 0; i < job->n_stocks && whole; i++)
        whole = own_stock(clip, shop, shop->jobs[index].first_stock + i);
    return whole;
}

static bool own_row(struct sg_clip *clip, const struct sg_shop *shop, struct sg_target row)
{
    switch (row.kind) {
    case SG_KIND_JOB:
        return own_job(clip, shop, row.index);
    case SG_KIND_STOCK:
        return own_stock(clip, shop, row.index);
    case SG_KIND_PART:
        return own_parts(clip, shop, row.index, 1);
    default:
        return own(clip, row.kind, sg_target_record(shop, row),
                   sg_target_record(&clip->shop, (struct sg_target){row.kind, clip->n}));
    }
}

/* Room for the rows and what belongs to them. */
static bool make_room(struct sg_clip *clip, const struct sg_shop *shop, const struct sg_target *rows, int n)
{
    struct sg_shop *own_shop = &clip->shop;
    size_t jobs = 0, stocks = 0, parts = 0, others = (size_t)n;
    for (int i = 0; i < n; i++) {
        int32_t first = rows[i].index, count = rows[i].kind == SG_KIND_STOCK;
        if (rows[i].kind == SG_KIND_JOB) {
            first = shop->jobs[rows[i].index].first_stock;
            count = shop->jobs[rows[i].index].n_stocks;
            jobs++;
        }
        for (int32_t k = 0; k < count; k++)
            parts += (size_t)shop->stocks[first + k].n_parts;
        stocks += (size_t)count;
        parts += rows[i].kind == SG_KIND_PART;
    }
    own_shop->jobs = sg_arena_take(&clip->arena, jobs * sizeof *own_shop->jobs + 1);
    own_shop->stocks = sg_arena_take(&clip->arena, stocks * sizeof *own_shop->stocks + 1);
    own_shop->parts = sg_arena_take(&clip->arena, parts * sizeof *own_shop->parts + 1);
    own_shop->shifts = sg_arena_take(&clip->arena, others * sizeof *own_shop->shifts);
    own_shop->chores = sg_arena_take(&clip->arena, others * sizeof *own_shop->chores);
    return own_shop->jobs && own_shop->stocks && own_shop->parts && own_shop->shifts && own_shop->chores;
}

/* All materials and heads, which stocks point to by their index; or those that are copied. */
static bool own_library(struct sg_clip *clip, const struct sg_shop *shop, int n)
{
    struct sg_shop *own_shop = &clip->shop;
    bool whole = true, materials = clip->kind == SG_KIND_MATERIAL, heads = clip->kind == SG_KIND_HEAD;
    own_shop->n_materials = materials ? 0 : shop->n_materials;
    own_shop->n_heads = heads ? 0 : shop->n_heads;
    own_shop->materials = sg_arena_take(
        &clip->arena, (size_t)(materials ? n : shop->n_materials) * sizeof *own_shop->materials + 1);
    own_shop->heads =
        sg_arena_take(&clip->arena, (size_t)(heads ? n : shop->n_heads) * sizeof *own_shop->heads + 1);
    if (!own_shop->materials || !own_shop->heads)
        return false;
    for (int32_t i = 0; i < own_shop->n_materials && whole; i++)
        whole = own(clip, SG_KIND_MATERIAL, &shop->materials[i], &own_shop->materials[i]);
    for (int32_t i = 0; i < own_shop->n_heads && whole; i++)
        whole = own(clip, SG_KIND_HEAD, &shop->heads[i], &own_shop->heads[i]);
    return whole;
}

enum sg_status sg_clip_take(const struct sg_shop *shop, const struct sg_target *rows, int n,
                            struct sg_clip **out, struct sg_error *error)
{
    struct sg_clip *clip = calloc(1, sizeof *clip);
    if (!clip)
        return sg_fail(error, SG_FAULT, "no memory for %d rows", n);
    clip->kind = rows[0].kind;
    bool whole = make_room(clip, shop, rows, n) && own_library(clip, shop, n);
    for (int i = 0; i < n && whole; i++, clip->n++)
        whole = own_row(clip, shop, rows[i]);
    if (!whole) {
        sg_clip_free(clip);
        return sg_fail(error, SG_FAULT, "no memory for %d rows", n);
    }
    *out = clip;
    return SG_OK;
}

/* ---- copy and cut ---- */

/* Remove the rows inside the open transaction; words say so. */
static enum sg_status take_out(struct sg_desk *desk, const struct sg_target *rows, int n, char *words,
                               size_t size, struct sg_error *error)
{
    const struct sg_deed deed = {.verb = "removed", .of = "of"};
    int64_t *ids = malloc((size_t)n * sizeof *ids);
    if (!ids)
        return sg_fail(error, SG_FAULT, "no memory to remove %d rows", n);
    for (int i = 0; i < n; i++)
        ids[i] = sg_row_of(&desk->held.shop, rows[i]);
    sg_deed_words(&deed, &desk->held.shop, rows, n, words, size);
    enum sg_status status = sg_store_remove_rows(desk->store, rows[0].kind, ids, n, error);
    free(ids);
    return status == SG_OK ? sg_desk_reload(desk, error) : status;
}

enum sg_status sg_desk_yank(struct sg_desk *desk, const char *const *keys, int n, bool cut,
                            struct sg_clip **clip, struct sg_error *error)
{
    char words[SG_WORDS_SIZE];
    struct sg_target *rows = NULL;
    struct sg_clip *taken = NULL;
    enum sg_status status = cut ? sg_desk_begin(desk, error) : SG_OK;
    if (status != SG_OK)
        return status;
    status = sg_rows_find(&desk->held.shop, keys, &n, &rows, error);
    if (status == SG_OK)
        status = sg_clip_take(&desk->held.shop, rows, n, &taken, error);
    if (status == SG_OK && cut)
        status = take_out(desk, rows, n, words, sizeof words, error);
    if (cut)
        status = sg_desk_finish(desk, status, words, error);
    free(rows);
    if (status == SG_OK)
        *clip = taken;
    else
        sg_clip_free(taken);
    return status;
}
