/* Whole rows: removed, copied, moved. */
#include "edit/actuals.h"
#include "edit/clip_inside.h"
#include "edit/repeat.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum sg_status sg_desk_remove(struct sg_desk *desk, const char *key, struct sg_error *error)
{
    struct sg_target target;
    char name[1200], words[SG_WORDS_SIZE];
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = sg_key_find_whole(&desk->held.shop, key, &target, error);
    if (status == SG_OK) {
        sg_key_write(&desk->held.shop, target, name, sizeof name); /* as it is called, however it was typed */
        snprintf(words, sizeof words, "%.380s removed", name);
        status = sg_store_remove(desk->store, target.kind, sg_row_of(&desk->held.shop, target), error);
    }
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    return sg_desk_finish(desk, status, words, error);
}

/* ---- copies ---- */

struct copying {
    struct sg_desk *desk;
    const struct sg_shop *shop;
    struct sg_target from;
    int64_t row;                    /* of the copy */
    const struct sg_actual *actual; /* a repeat: copies are as they took; NULL: as they are */
    int32_t shift;                  /* of a repeat */
    struct sg_took *took;           /* of a repeat, by stock of the job */
    struct sg_error *error;
};

static enum sg_status insert(struct copying *c, enum sg_kind kind, int64_t parent, const void *record,
                             int64_t *row)
{
    return sg_store_insert(c->desk->store, kind, parent, c->shop, record, row, c->error);
}

static enum sg_status copy_stock(struct copying *c, const struct sg_stock *stock, int64_t job_row,
                                 int32_t number, int64_t *row)
{
    struct sg_stock copy = *stock;
    struct sg_part *parts = malloc(((size_t)stock->n_parts + 1) * sizeof *parts);
    if (!parts)
        return sg_fail(c->error, SG_FAULT, "no memory to copy %d parts", stock->n_parts);
    if (stock->n_parts > 0)
        memcpy(parts, &c->shop->parts[stock->first_part], (size_t)stock->n_parts * sizeof *parts);
    copy.number = number;
    if (c->actual) {
        int32_t index = (int32_t)(stock - c->shop->stocks);
        sg_took_stock(c->shop, c->actual, index, &copy, parts,
                      &c->took[index - c->shop->jobs[stock->job].first_stock]);
    }
    enum sg_status status = insert(c, SG_KIND_STOCK, job_row, &copy, row);
    for (int32_t i = 0; i < stock->n_parts && status == SG_OK; i++) {
        int64_t part;
        status = insert(c, SG_KIND_PART, *row, &parts[i], &part);
    }
    free(parts);
    return status;
}

static enum sg_status copy_job(struct copying *c, const char *id)
{
    struct sg_job copy = c->shop->jobs[c->from.index];
    const struct sg_job *job = &c->shop->jobs[c->from.index];
    enum sg_status status = sg_key_check(SG_KIND_JOB, id, c->error);
    copy.id = id;
    copy.order = 1;
    if (c->actual)
        copy.shift = c->shift;
    for (int32_t i = 0; i < c->shop->n_jobs; i++)
        copy.order += c->shop->jobs[i].shift == copy.shift;
    if (status == SG_OK)
        status = insert(c, SG_KIND_JOB, 0, &copy, &c->row);
    for (int32_t i = 0; i < job->n_stocks && status == SG_OK; i++) {
        const struct sg_stock *stock = &c->shop->stocks[job->first_stock + i];
        int64_t row;
        status = copy_stock(c, stock, c->row, stock->number, &row);
    }
    return status;
}

/* To a job: the next number there. */
static enum sg_status copy_stock_to(struct copying *c, const char *to)
{
    struct sg_target job;
    enum sg_status status = sg_key_find(c->shop, to, &job, c->error);
    if (status != SG_OK)
        return status;
    if (job.kind != SG_KIND_JOB)
        return sg_fail(c->error, SG_BAD_DATA, "a stock goes to a JOB; %.80s is a %s", to,
                       sg_kind_word(job.kind));
    return copy_stock(c, &c->shop->stocks[c->from.index], c->shop->jobs[job.index].row,
                      sg_next_stock_number(c->shop, job.index), &c->row);
}

/* JOB/STOCK keeps the part's key; JOB/STOCK/PART gives it another one. */
static enum sg_status copy_part_to(struct copying *c, const char *to)
{
    char key[200];
    struct sg_target stock;
    const char *slash = strchr(to, '/'), *id = slash ? strchr(slash + 1, '/') : NULL;
    size_t length = id ? (size_t)(id - to) : strlen(to);
    if (length >= sizeof key)
        return sg_fail(c->error, SG_BAD_DATA, "there is no stock \"%.80s\"", to);
    memcpy(key, to, length);
    key[length] = '\0';
    enum sg_status status = sg_key_find(c->shop, key, &stock, c->error);
    if (status == SG_OK && stock.kind != SG_KIND_STOCK)
        return sg_fail(c->error, SG_BAD_DATA, "a part goes to JOB/STOCK or JOB/STOCK/PART; %.80s is a %s",
                       key, sg_kind_word(stock.kind));
    struct sg_part copy = c->shop->parts[c->from.index];
    copy.id = id ? id + 1 : copy.id;
    if (status == SG_OK)
        status = sg_key_check(SG_KIND_PART, copy.id, c->error);
    return status == SG_OK ? insert(c, SG_KIND_PART, c->shop->stocks[stock.index].row, &copy, &c->row)
                           : status;
}

/* shift:A to shift:B, and so on: the same kind, another name. */
static enum sg_status copy_named(struct copying *c, const char *to)
{
    union sg_any copy;
    const char *word = sg_kind_word(c->from.kind), *name = to + strlen(word) + 1;
    if (strncmp(to, word, strlen(word)) != 0 || to[strlen(word)] != ':')
        return sg_fail(c->error, SG_BAD_DATA, "a %s is copied to %s:NAME", word, word);
    enum sg_status status = sg_key_check(c->from.kind, name, c->error);
    memset(&copy, 0, sizeof copy);
    memcpy(&copy, sg_target_record(c->shop, c->from), sg_kind_size(c->from.kind));
    *sg_record_key(c->from.kind, &copy) = name;
    return status == SG_OK ? insert(c, c->from.kind, 0, &copy, &c->row) : status;
}

static enum sg_status copy_row(struct copying *c, const char *to)
{
    switch (c->from.kind) {
    case SG_KIND_JOB:
        return copy_job(c, to);
    case SG_KIND_STOCK:
        return copy_stock_to(c, to);
    case SG_KIND_PART:
        return copy_part_to(c, to);
    case SG_KIND_MACHINE:
    case SG_KIND_RATES:
        return sg_fail(c->error, SG_BAD_DATA, "a shop file holds one machine and one row of rates");
    default:
        return copy_named(c, to);
    }
}

/* A copy, or with `away` a move: the original is removed once the copy is
 * there. */
static enum sg_status copy_or_move(struct sg_desk *desk, const char *from, const char *to, bool away,
                                   struct sg_target *target, struct sg_error *error)
{
    char name[1200], words[SG_WORDS_SIZE];
    struct copying c = {.desk = desk, .shop = &desk->held.shop, .error = error};
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = sg_key_find(c.shop, from, &c.from, error);
    if (status == SG_OK) {
        sg_key_write(c.shop, c.from, name, sizeof name); /* as it is called, however it was typed */
        snprintf(words, sizeof words, "%.180s %s to %.180s", name, away ? "moved" : "copied", to);
        status = copy_row(&c, to);
    }
    if (status == SG_OK && away)
        status = sg_store_remove(desk->store, c.from.kind, sg_row_of(c.shop, c.from), error);
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    if (status == SG_OK)
        status = sg_desk_find_new(desk, c.from.kind, c.row, target, error);
    return sg_desk_finish(desk, status, words, error);
}

/* ---- a job again ---- */

static enum sg_status repeat(struct copying *c, const struct sg_repeat *how, struct sg_error *error)
{
    struct sg_actual actual;
    struct sg_arena arena = {0};
    enum sg_status status = sg_key_find(c->shop, how->from, &c->from, error);
    if (status == SG_OK && c->from.kind != SG_KIND_JOB)
        status = sg_fail(error, SG_BAD_DATA, "a job is repeated; %.80s is a %s", how->from,
                         sg_kind_word(c->from.kind));
    if (status == SG_OK && c->shop->jobs[c->from.index].n_stocks > how->room)
        status = sg_fail(error, SG_BAD_DATA, "job %.80s has more than %d stocks", how->from, how->room);
    c->shift = how->shift ? sg_find_shift(c->shop, how->shift) : sg_plan_default_shift(c->shop);
    if (status == SG_OK && c->shift == SG_UNKNOWN)
        status = sg_fail(error, SG_BAD_DATA, "there is no shift %.80s", how->shift);
    if (status == SG_OK && !sg_actual_make(c->shop, sg_log_end(c->shop), &arena, &actual))
        status = sg_fail(error, SG_FAULT, "no memory to read what was clocked");
    c->actual = &actual;
    c->took = how->took;
    if (status == SG_OK)
        status = copy_job(c, how->to);
    sg_arena_free(&arena);
    return status;
}

enum sg_status sg_desk_repeat(struct sg_desk *desk, const struct sg_repeat *how, struct sg_target *target,
                              struct sg_error *error)
{
    char words[SG_WORDS_SIZE];
    struct copying c = {.desk = desk, .shop = &desk->held.shop, .error = error};
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    snprintf(words, sizeof words, "%.180s repeated as %.180s with what it took", how->from, how->to);
    status = repeat(&c, how, error);
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    if (status == SG_OK)
        status = sg_desk_find_new(desk, SG_KIND_JOB, c.row, target, error);
    return sg_desk_finish(desk, status, words, error);
}

enum sg_status sg_desk_copy(struct sg_desk *desk, const char *from, const char *to, struct sg_target *target,
                            struct sg_error *error)
{
    return copy_or_move(desk, from, to, false, target, error);
}

enum sg_status sg_desk_move(struct sg_desk *desk, const char *from, const char *to, struct sg_target *target,
                            struct sg_error *error)
{
    struct sg_target found;
    enum sg_status status = sg_key_find(&desk->held.shop, from, &found, error);
    if (status != SG_OK)
        return status;
    if (found.kind == SG_KIND_STOCK || found.kind == SG_KIND_PART)
        return copy_or_move(desk, from, to, true, target, error);
    char assignment[200];
    struct sg_change change;
    const char *field = assignment;
    const char *shift = strncmp(to, "shift:", 6) == 0 ? to + 6 : to;
    bool named = shift != to || sg_find_shift(&desk->held.shop, shift) != SG_UNKNOWN;
    if (found.kind != SG_KIND_JOB || !named)
        return sg_fail(error, SG_BAD_DATA,
                       "a job is moved to shift:ID, a stock to a JOB, a part to "
                       "JOB/STOCK; %.80s is a %s",
                       from, sg_kind_word(found.kind));
    snprintf(assignment, sizeof assignment, "shift=%s", shift);
    return sg_desk_set(desk, from, &field, 1, true, &change, target, error);
}
