/* Rows put beside others: out of a clip, doubled, new. */
#include "edit/clip_inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- where ---- */

static enum sg_status wrong_place(enum sg_kind kind, const char *beside, enum sg_kind found,
                                  struct sg_error *error)
{
    enum sg_kind parent;
    if (!sg_parent_kind(kind, &parent))
        return sg_fail(error, SG_USAGE, "a %s is put beside a %s; %.80s is a %s", sg_kind_word(kind),
                       sg_kind_word(kind), beside, sg_kind_word(found));
    return sg_fail(error, SG_USAGE, "a %s is put beside a %s or into a %s; %.80s is a %s", sg_kind_word(kind),
                   sg_kind_word(kind), sg_kind_word(parent), beside, sg_kind_word(found));
}

enum sg_status sg_spot_find(const struct sg_shop *shop, enum sg_kind kind, const char *beside, bool above,
                            struct sg_spot *out, struct sg_error *error)
{
    struct sg_target at;
    enum sg_kind parent = kind;
    enum sg_status status = sg_key_find(shop, beside, &at, error);
    if (status != SG_OK)
        return status;
    bool has_parent = sg_parent_kind(kind, &parent);
    bool into = has_parent && at.kind == parent;
    if (at.kind != kind && !into)
        return wrong_place(kind, beside, at.kind, error);
    out->kind = kind;
    out->parent = into ? at.index : sg_parent_of(shop, at);
    out->parent_row = has_parent ? sg_row_of(shop, (struct sg_target){parent, out->parent}) : 0;
    out->there = sg_rows_of(shop, kind, out->parent);
    out->before = into ? out->there.n : at.index - out->there.first + !above;
    return SG_OK;
}

/* Kinds whose order is of their own; stocks go by their number. */
static bool has_order(enum sg_kind kind)
{
    return kind == SG_KIND_JOB || kind == SG_KIND_PART || kind == SG_KIND_SHIFT || kind == SG_KIND_CHORE;
}

enum sg_status sg_spot_settle(struct sg_desk *desk, const struct sg_spot *spot, const int64_t *rows,
                              int32_t n, struct sg_error *error)
{
    int32_t behind = spot->there.n - spot->before;
    if (behind == 0 || !has_order(spot->kind))
        return SG_OK;
    int64_t *order = malloc(((size_t)n + (size_t)behind) * sizeof *order);
    if (!order)
        return sg_fail(error, SG_FAULT, "no memory to order %d rows", n + behind);
    memcpy(order, rows, (size_t)n * sizeof *order);
    for (int32_t i = 0; i < behind; i++)
        order[n + i] =
            sg_row_of(&desk->held.shop, (struct sg_target){spot->kind, spot->there.first + spot->before + i});
    enum sg_status status = sg_store_rearrange(desk->store, spot->kind, order, n + behind, error);
    free(order);
    return status;
}

/* ---- rows of a clip ---- */

struct putting {
    struct sg_desk *desk;
    const struct sg_clip *clip;
    struct sg_arena arena;       /* of what follows */
    int32_t *materials, *heads;  /* of the clip: where they are in the desk's shop, or SG_UNKNOWN */
    bool *no_material, *no_head; /* missed by a row that was put */
    struct sg_taken taken;       /* keys at the spot; not for stocks */
    int64_t *rows;               /* that were put */
    int32_t n;
    struct sg_error *error;
};

static enum sg_status no_memory(struct putting *p)
{
    return sg_fail(p->error, SG_FAULT, "no memory to put %d rows", p->clip->n);
}

/* By the whole name as it is written, which no two rows have. */
static int32_t index_of(const struct sg_shop *shop, enum sg_kind kind, const char *name)
{
    struct sg_rows rows = sg_rows_of(shop, kind, 0);
    for (int32_t i = 0; i < rows.n; i++)
        if (strcmp(*sg_record_key(kind, sg_target_record(shop, (struct sg_target){kind, i})), name) == 0)
            return i;
    return SG_UNKNOWN;
}

static enum sg_status start(struct putting *p)
{
    const struct sg_shop *own = &p->clip->shop, *shop = &p->desk->held.shop;
    size_t materials = (size_t)own->n_materials, heads = (size_t)own->n_heads;
    p->materials = sg_arena_take(&p->arena, materials * sizeof *p->materials + 1);
    p->heads = sg_arena_take(&p->arena, heads * sizeof *p->heads + 1);
    p->no_material = sg_arena_take(&p->arena, materials + 1);
    p->no_head = sg_arena_take(&p->arena, heads + 1);
    p->rows = sg_arena_take(&p->arena, (size_t)p->clip->n * sizeof *p->rows);
    if (!p->materials || !p->heads || !p->no_material || !p->no_head || !p->rows)
        return no_memory(p);
    for (int32_t i = 0; i < own->n_materials; i++)
        p->materials[i] = index_of(shop, SG_KIND_MATERIAL, own->materials[i].name);
    for (int32_t i = 0; i < own->n_heads; i++)
        p->heads[i] = index_of(shop, SG_KIND_HEAD, own->heads[i].name);
    return SG_OK;
}

/* The keys that a new one must not meet: of a part those of its stock, of the others all of the kind. */
static enum sg_status note_taken(struct putting *p, const struct sg_spot *spot)
{
    const struct sg_shop *shop = &p->desk->held.shop;
    struct sg_rows rows = spot->there;
    if (spot->kind == SG_KIND_STOCK || (spot->kind != SG_KIND_PART && p->taken.at))
        return SG_OK;
    if (spot->kind == SG_KIND_JOB)
        rows = (struct sg_rows){0, shop->n_jobs};
    enum sg_status status =
        sg_taken_start(&p->taken, (size_t)rows.n + (size_t)p->clip->n, &p->arena, p->error);
    for (int32_t i = 0; i < rows.n && status == SG_OK; i++)
        sg_taken_add(&p->taken,
                     *sg_record_key(spot->kind,
                                    sg_target_record(shop, (struct sg_target){spot->kind, rows.first + i})));
    return status;
}

static enum sg_status insert(struct putting *p, enum sg_kind kind, int64_t parent, const void *record,
                             int64_t *row)
{
    return sg_store_insert(p->desk->store, kind, parent, &p->desk->held.shop, record, row, p->error);
}

static enum sg_status put_stock(struct putting *p, const struct sg_stock *from, int64_t job_row,
                                int32_t number, int64_t *row)
{
    struct sg_stock stock = *from;
    stock.number = number;
    if (from->material != SG_UNKNOWN) {
        stock.material = p->materials[from->material];
        p->no_material[from->material] |= stock.material == SG_UNKNOWN;
    }
    if (from->head != SG_UNKNOWN) {
        stock.head = p->heads[from->head];
        p->no_head[from->head] |= stock.head == SG_UNKNOWN;
    }
    enum sg_status status = insert(p, SG_KIND_STOCK, job_row, &stock, row);
    for (int32_t i = 0; i < from->n_parts && status == SG_OK; i++) {
        int64_t part;
        status = insert(p, SG_KIND_PART, *row, &p->clip->shop.parts[from->first_part + i], &part);
    }
    return status;
}

static enum sg_status put_job(struct putting *p, const struct sg_job *from, const char *id, int32_t shift,
                              int32_t order, int64_t *row)
{
    struct sg_job job = *from;
    job.id = id;
    job.shift = shift;
    job.order = order;
    enum sg_status status = insert(p, SG_KIND_JOB, 0, &job, row);
    for (int32_t i = 0; i < from->n_stocks && status == SG_OK; i++) {
        const struct sg_stock *stock = &p->clip->shop.stocks[from->first_stock + i];
        int64_t stock_row;
        status = put_stock(p, stock, *row, stock->number, &stock_row);
    }
    return status;
}

enum { MOST_STOCKS = 1000000 };

/* The i-th of the rows that go to a spot: to the end of its parent. */
static enum sg_status put_row(struct putting *p, const struct sg_spot *spot, int32_t index, int32_t i,
                              int64_t *row)
{
    const struct sg_shop *own = &p->clip->shop;
    const struct sg_target from = {spot->kind, index};
    union sg_any copy;
    memcpy(&copy, sg_target_record(own, from), sg_kind_size(spot->kind));
    if (spot->kind == SG_KIND_STOCK) {
        int32_t number = sg_next_stock_number(&p->desk->held.shop, spot->parent);
        if (number > MOST_STOCKS - i)
            return sg_fail(p->error, SG_BAD_DATA, "job %.60s has no number left for a stock: the last is %d",
                           p->desk->held.shop.jobs[spot->parent].id, number - 1);
        return put_stock(p, &own->stocks[index], spot->parent_row, number + i, row);
    }
    const char **key = sg_record_key(spot->kind, &copy);
    *key = sg_taken_free(&p->taken, spot->kind, *key, &p->arena);
    if (!*key)
        return no_memory(p);
    if (spot->kind == SG_KIND_JOB)
        return put_job(p, &own->jobs[index], *key, spot->parent, spot->there.n + 1 + i, row);
    return insert(p, spot->kind, spot->parent_row, &copy, row);
}

/* Rows of the clip, from `first` on, to a spot. */
static enum sg_status put_rows(struct putting *p, const struct sg_spot *spot, int32_t first, int32_t n)
{
    enum sg_status status = note_taken(p, spot);
    int64_t *rows = p->rows + p->n;
    for (int32_t i = 0; i < n && status == SG_OK; i++)
        status = put_row(p, spot, first + i, i, &rows[i]);
    p->n += n;
    return status == SG_OK ? sg_spot_settle(p->desk, spot, rows, n, p->error) : status;
}

/* ---- what came of it ---- */

/* The row with that id, from an index on and round: of many in a row each is found at once. */
static enum sg_status find_put(struct putting *p, int64_t row, struct sg_target *at)
{
    const struct sg_shop *shop = &p->desk->held.shop;
    const int32_t counts[SG_KINDS] = {
        [SG_KIND_JOB] = shop->n_jobs, [SG_KIND_STOCK] = shop->n_stocks, [SG_KIND_PART] = shop->n_parts};
    int32_t n = counts[at->kind] > 0 ? counts[at->kind] : sg_rows_of(shop, at->kind, 0).n;
    for (int32_t i = 0; i < n; i++, at->index++) {
        at->index = at->index < n ? at->index : 0;
        if (sg_row_of(shop, *at) == row)
            return SG_OK;
    }
    return sg_fail(p->error, SG_FAULT, "the new %s is not in the file", sg_kind_word(at->kind));
}

/* "material brass and head long are gone: not known there now"; "" where nothing is missing. */
static void say_missing(const struct putting *p, char *out, size_t size)
{
    const struct sg_shop *own = &p->clip->shop;
    size_t used = 0;
    int n = 0;
    out[0] = '\0';
    for (int32_t i = 0; i < own->n_materials + own->n_heads && used < size; i++) {
        bool material = i < own->n_materials;
        int32_t at = material ? i : i - own->n_materials;
        if (material ? p->no_material[at] : p->no_head[at])
            used += (size_t)snprintf(out + used, size - used, "%s%s %.80s", n++ ? ", " : "",
                                     material ? "material" : "head",
                                     material ? own->materials[at].name : own->heads[at].name);
    }
    if (n > 0 && used < size)
        snprintf(out + used, size - used, " %s gone: not known there now", n > 1 ? "are" : "is");
}

/* After all are put: the shop anew, the first of them, the words, which say what is missing too. */
static enum sg_status tell(struct putting *p, const struct sg_deed *deed, struct sg_target *first,
                           char *words, char *missing)
{
    enum sg_status status = sg_desk_reload(p->desk, p->error);
    struct sg_target *rows = sg_arena_take(&p->arena, (size_t)p->n * sizeof *rows);
    struct sg_target at = {p->clip->kind, 0};
    if (status == SG_OK && !rows)
        status = no_memory(p);
    for (int32_t i = 0; i < p->n && status == SG_OK; i++) {
        status = find_put(p, p->rows[i], &at);
        rows[i] = at;
    }
    if (status != SG_OK)
        return status;
    say_missing(p, missing, SG_WORDS_SIZE / 2);
    size_t room = SG_WORDS_SIZE - (*missing ? strlen(missing) + 2 : 0);
    sg_deed_words(deed, &p->desk->held.shop, rows, p->n, words, room);
    size_t used = strlen(words);
    if (*missing)
        snprintf(words + used, SG_WORDS_SIZE - used, "; %s", missing);
    *first = rows[0];
    return SG_OK;
}

enum sg_status sg_desk_paste(struct sg_desk *desk, struct sg_clip *clip, const char *beside, bool above,
                             struct sg_target *first, struct sg_error *error)
{
    const struct sg_deed deed = {.verb = "pasted", .of = "into"};
    struct putting p = {.desk = desk, .clip = clip, .error = error};
    struct sg_spot spot;
    struct sg_target target;
    char words[SG_WORDS_SIZE] = "", missing[SG_WORDS_SIZE / 2] = "";
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = sg_spot_find(&desk->held.shop, clip->kind, beside, above, &spot, error);
    if (status == SG_OK)
        status = start(&p);
    if (status == SG_OK)
        status = put_rows(&p, &spot, 0, clip->n);
    if (status == SG_OK)
        status = tell(&p, &deed, &target, words, missing);
    status = sg_desk_finish(desk, status, words, error);
    sg_arena_free(&p.arena);
    if (status == SG_OK) {
        *first = target;
        memcpy(clip->said, missing, sizeof missing);
    }
    return status;
}

/* ---- doubled ---- */

/* The rows of one parent that stand together in `rows` go behind the last of them. */
static enum sg_status double_group(struct putting *p, const struct sg_target *rows, int32_t first, int32_t n)
{
    const struct sg_shop *shop = &p->desk->held.shop;
    const struct sg_target last = rows[first + n - 1];
    enum sg_kind parent;
    struct sg_spot spot = {.kind = last.kind, .parent = sg_parent_of(shop, last)};
    spot.there = sg_rows_of(shop, spot.kind, spot.parent);
    spot.before = last.index - spot.there.first + 1;
    if (sg_parent_kind(spot.kind, &parent))
        spot.parent_row = sg_row_of(shop, (struct sg_target){parent, spot.parent});
    return put_rows(p, &spot, first, n);
}

static enum sg_status double_all(struct putting *p, const struct sg_target *rows, int32_t n)
{
    const struct sg_shop *shop = &p->desk->held.shop;
    enum sg_status status = start(p);
    for (int32_t i = 0, together; i < n && status == SG_OK; i += together) {
        int32_t parent = sg_parent_of(shop, rows[i]);
        for (together = 1; i + together < n && sg_parent_of(shop, rows[i + together]) == parent;)
            together++;
        status = double_group(p, rows, i, together);
    }
    return status;
}

enum sg_status sg_desk_duplicate(struct sg_desk *desk, const char *const *keys, int n,
                                 struct sg_target *first, struct sg_error *error)
{
    const struct sg_deed deed = {.verb = "duplicated", .of = "in"};
    struct putting p = {.desk = desk, .error = error};
    struct sg_clip *clip = NULL;
    struct sg_target *rows = NULL, target;
    char words[SG_WORDS_SIZE] = "", missing[SG_WORDS_SIZE / 2] = "";
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = sg_rows_find(&desk->held.shop, keys, &n, &rows, error);
    if (status == SG_OK)
        status = sg_clip_take(&desk->held.shop, rows, n, &clip, error);
    p.clip = clip;
    if (status == SG_OK)
        status = double_all(&p, rows, n);
    if (status == SG_OK)
        status = tell(&p, &deed, &target, words, missing);
    status = sg_desk_finish(desk, status, words, error);
    if (status == SG_OK)
        *first = target;
    sg_arena_free(&p.arena);
    sg_clip_free(clip);
    free(rows);
    return status;
}

/* ---- new ---- */

static enum sg_status assign(struct sg_desk *desk, enum sg_kind kind, union sg_any *record,
                             const char *const *assignments, int n, struct sg_change *changes,
                             struct sg_error *error)
{
    enum sg_status status = sg_held_assign_all(&desk->held, kind, record, assignments, n, changes, error);
    if (status == SG_OK && kind == SG_KIND_JOB &&
        (sg_change_has(changes, n, "shift") || sg_change_has(changes, n, "order")))
        status =
            sg_fail(error, SG_USAGE, "a job that is added beside another has its shift and order from there");
    return status == SG_OK ? sg_rules_check(kind, record, &desk->held.shop, error) : status;
}

/* A row as it is before anyone typed, at the end of the spot's parent. */
static void make_fresh(const struct sg_shop *shop, const struct sg_spot *spot, const char *id,
                       union sg_any *record)
{
    memset(record, 0, sizeof *record);
    if (spot->kind == SG_KIND_JOB) {
        record->job = sg_fresh_job;
        record->job.id = id;
        record->job.shift = spot->parent;
        record->job.order = spot->there.n + 1;
    } else if (spot->kind == SG_KIND_STOCK) {
        record->stock = sg_fresh_stock;
        record->stock.job = spot->parent;
        record->stock.number = sg_next_stock_number(shop, spot->parent);
    } else {
        record->part = sg_fresh_part;
        record->part.id = id;
        record->part.stock = spot->parent;
    }
}

enum sg_status sg_desk_add_beside(struct sg_desk *desk, enum sg_kind kind, const char *beside, const char *id,
                                  const char *const *assignments, int n, struct sg_change *changes,
                                  struct sg_target *target, struct sg_error *error)
{
    const struct sg_deed deed = {.verb = "added", .of = "to"};
    enum sg_kind parent;
    union sg_any record;
    struct sg_spot spot;
    struct sg_target found;
    int64_t row = 0;
    char words[SG_WORDS_SIZE] = "";
    if (!sg_parent_kind(kind, &parent))
        return sg_fail(error, SG_USAGE, "a job, stock or part is added beside another; a %s is not",
                       sg_kind_word(kind));
    enum sg_status status = kind == SG_KIND_STOCK ? SG_OK : sg_key_check(kind, id, error);
    if (status != SG_OK || (status = sg_desk_begin(desk, error)) != SG_OK)
        return status;
    status = sg_spot_find(&desk->held.shop, kind, beside, false, &spot, error);
    if (status == SG_OK) {
        make_fresh(&desk->held.shop, &spot, id, &record);
        status = assign(desk, kind, &record, assignments, n, changes, error);
    }
    if (status == SG_OK)
        status =
            sg_desk_insert_row(desk, kind, kind == SG_KIND_JOB ? 0 : spot.parent_row, &record, &row, error);
    if (status == SG_OK)
        status = sg_spot_settle(desk, &spot, &row, 1, error);
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    if (status == SG_OK)
        status = sg_desk_find_new(desk, kind, row, &found, error);
    if (status == SG_OK)
        sg_deed_words(&deed, &desk->held.shop, &found, 1, words, sizeof words);
    status = sg_desk_finish(desk, status, words, error);
    if (status == SG_OK)
        *target = found;
    return status;
}
