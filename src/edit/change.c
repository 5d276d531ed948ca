/* Setting fields and adding rows. */
#include "edit/inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <string.h>

enum sg_status sg_desk_begin(struct sg_desk *desk, struct sg_error *error)
{
    enum sg_status status = sg_store_begin(desk->store, error);
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    if (status != SG_OK)
        sg_store_rollback(desk->store);
    return status;
}

/* ---- set ---- */

enum sg_status sg_desk_write_fields(struct sg_desk *desk, struct sg_target target,
                                    const struct sg_change *changes, int n, bool *moved,
                                    struct sg_error *error)
{
    const struct sg_field *fields[64];
    int n_fields = 0, count;
    bool outline = target.kind == SG_KIND_PART && sg_change_has(changes, n, "outline");
    const struct sg_field *all = sg_fields(target.kind, &count);
    for (int i = 0; i < count && outline; i++) /* what it measures goes along */
        if (sg_part_is_measured(&all[i]))
            fields[n_fields++] = &all[i];
    for (int i = 0; i < n && n_fields < 64; i++) {
        bool place = target.kind == SG_KIND_JOB && (strcmp(changes[i].field->name, "shift") == 0 ||
                                                    strcmp(changes[i].field->name, "order") == 0);
        if (!place)
            fields[n_fields++] = changes[i].field;
        *moved = *moved || place;
    }
    if (n_fields < 64 - SG_TRUSTS)
        n_fields += sg_trust_follows(target.kind, changes, n, fields + n_fields);
    return sg_desk_update_row(desk, target.kind, sg_target_record(&desk->held.shop, target), fields, n_fields,
                              error);
}

enum sg_status sg_desk_write(struct sg_desk *desk, struct sg_target target, const struct sg_change *changes,
                             int n, struct sg_error *error)
{
    bool moved = false;
    enum sg_status status = sg_desk_write_fields(desk, target, changes, n, &moved, error);
    return status == SG_OK && moved ? sg_store_orders(desk->store, &desk->held.shop, error) : status;
}

enum sg_status sg_desk_set(struct sg_desk *desk, const char *key, const char *const *assignments, int n,
                           bool keep, struct sg_change *changes, struct sg_target *target,
                           struct sg_error *error)
{
    struct sg_target found;
    char words[SG_WORDS_SIZE];
    enum sg_status status = keep ? sg_desk_begin(desk, error) : SG_OK;
    if (status != SG_OK)
        return status;
    status = sg_held_set(&desk->held, key, assignments, n, changes, &found, error);
    if (status == SG_OK && keep)
        status = sg_desk_write(desk, found, changes, n, error);
    if (status == SG_OK) {
        char name[1200]; /* as it is called, however it was typed */
        sg_key_write(&desk->held.shop, found, name, sizeof name);
        sg_change_words(name, changes, n, words, sizeof words);
    }
    if (keep)
        status = sg_desk_finish(desk, status, words, error);
    else if (status != SG_OK)
        sg_desk_reload(desk, NULL);
    if (status == SG_OK && target)
        *target = found;
    return status;
}

/* ---- add ---- */

static void make_fresh(const struct sg_desk *desk, enum sg_kind kind, const char *id, int32_t today,
                       union sg_any *record)
{
    memset(record, 0, sizeof *record);
    switch (kind) {
    case SG_KIND_JOB:
        record->job = sg_fresh_job;
        record->job.id = id;
        record->job.shift = sg_plan_default_shift(&desk->held.shop);
        break;
    case SG_KIND_STOCK:
        record->stock = sg_fresh_stock;
        break;
    case SG_KIND_PART:
        record->part = sg_fresh_part;
        record->part.id = id;
        break;
    case SG_KIND_SHIFT:
        record->shift = sg_fresh_shift;
        record->shift.id = id;
        record->shift.date = today;
        break;
    case SG_KIND_CHORE:
        record->chore = sg_fresh_chore;
        record->chore.name = id;
        break;
    case SG_KIND_CLOCK:
        record->clock = sg_fresh_clock;
        record->clock.id = id;
        break;
    case SG_KIND_RECORD:
        record->record = sg_fresh_record;
        record->record.id = id;
        break;
    case SG_KIND_HEAD:
        record->head = sg_fresh_heads[0];
        record->head.name = id;
        break;
    default:
        record->material = sg_fresh_material;
        record->material.name = id;
    }
}

int32_t sg_next_stock_number(const struct sg_shop *shop, int32_t job)
{
    const struct sg_job *j = &shop->jobs[job];
    return j->n_stocks ? shop->stocks[j->first_stock + j->n_stocks - 1].number + 1 : 1;
}

static int32_t jobs_in(const struct sg_shop *shop, int32_t shift)
{
    int32_t n = 0;
    for (int32_t i = 0; i < shop->n_jobs; i++)
        n += shop->jobs[i].shift == shift;
    return n;
}

/* The row that the new one hangs on, and its place there. */
static enum sg_status place(struct sg_desk *desk, enum sg_kind kind, const char *parent, union sg_any *record,
                            int64_t *parent_row, struct sg_error *error)
{
    struct sg_target on;
    *parent_row = 0;
    if (kind == SG_KIND_JOB && desk->held.shop.n_shifts == 0)
        return sg_fail(error, SG_BAD_DATA, "there is no shift for a job; `add shift` makes one");
    if (kind != SG_KIND_STOCK && kind != SG_KIND_PART)
        return SG_OK;
    enum sg_status status = sg_key_find(&desk->held.shop, parent, &on, error);
    if (status != SG_OK)
        return status;
    enum sg_kind wanted = kind == SG_KIND_STOCK ? SG_KIND_JOB : SG_KIND_STOCK;
    if (on.kind != wanted)
        return sg_fail(error, SG_BAD_DATA, "a %s is added to a %s; %.80s is a %s", sg_kind_word(kind),
                       sg_kind_word(wanted), parent, sg_kind_word(on.kind));
    if (kind == SG_KIND_STOCK) {
        record->stock.job = on.index;
        record->stock.number = sg_next_stock_number(&desk->held.shop, on.index);
        *parent_row = desk->held.shop.jobs[on.index].row;
    } else {
        record->part.stock = on.index;
        *parent_row = desk->held.shop.stocks[on.index].row;
    }
    return SG_OK;
}

enum sg_status sg_desk_find_new(struct sg_desk *desk, enum sg_kind kind, int64_t row,
                                struct sg_target *target, struct sg_error *error)
{
    const struct sg_shop *shop = &desk->held.shop;
    const int32_t counts[SG_KINDS] = {
        [SG_KIND_JOB] = shop->n_jobs,      [SG_KIND_STOCK] = shop->n_stocks,
        [SG_KIND_PART] = shop->n_parts,    [SG_KIND_SHIFT] = shop->n_shifts,
        [SG_KIND_HEAD] = shop->n_heads,    [SG_KIND_MATERIAL] = shop->n_materials,
        [SG_KIND_CHORE] = shop->n_chores,  [SG_KIND_CLOCK] = shop->n_clocks,
        [SG_KIND_RECORD] = shop->n_records};
    for (int32_t i = 0; i < counts[kind]; i++) {
        int64_t at;
        *target = (struct sg_target){kind, i};
        memcpy(&at, sg_target_record(shop, *target), sizeof at);
        if (at == row)
            return SG_OK;
    }
    return sg_fail(error, SG_FAULT, "the new %s is not in the file", sg_kind_word(kind));
}

static enum sg_status insert_job(struct sg_desk *desk, struct sg_job *job, bool ordered, int64_t *row,
                                 struct sg_error *error)
{
    int32_t order = job->order, index;
    job->order = jobs_in(&desk->held.shop, job->shift) + 1;
    enum sg_status status = sg_store_insert(desk->store, SG_KIND_JOB, 0, &desk->held.shop, job, row, error);
    if (status != SG_OK || !ordered)
        return status;
    struct sg_target target;
    if ((status = sg_desk_reload(desk, error)) != SG_OK ||
        (status = sg_desk_find_new(desk, SG_KIND_JOB, *row, &target, error)) != SG_OK)
        return status;
    index = target.index;
    desk->held.shop.jobs[index].order = order;
    if ((status = sg_held_place_job(&desk->held, &index, false, error)) != SG_OK)
        return status;
    return sg_store_orders(desk->store, &desk->held.shop, error);
}

static enum sg_status add_row(struct sg_desk *desk, enum sg_kind kind, const char *parent,
                              union sg_any *record, const char *const *assignments, int n,
                              struct sg_change *changes, int64_t *row, struct sg_error *error)
{
    int64_t parent_row;
    enum sg_status status = place(desk, kind, parent, record, &parent_row, error);
    if (status == SG_OK)
        status = sg_held_assign_all(&desk->held, kind, record, assignments, n, changes, error);
    if (status == SG_OK)
        status = sg_rules_check(kind, record, &desk->held.shop, error);
    if (status != SG_OK)
        return status;
    if (kind == SG_KIND_JOB)
        return insert_job(desk, &record->job, sg_change_has(changes, n, "order"), row, error);
    return sg_desk_insert_row(desk, kind, parent_row, record, row, error);
}

enum sg_status sg_desk_add(struct sg_desk *desk, enum sg_kind kind, const char *parent, const char *id,
                           const char *const *assignments, int n, int32_t today, struct sg_change *changes,
                           struct sg_target *target, struct sg_error *error)
{
    union sg_any record;
    int64_t row = 0;
    enum sg_status status = kind == SG_KIND_STOCK ? SG_OK : sg_key_check(kind, id, error);
    if (status != SG_OK || (status = sg_desk_begin(desk, error)) != SG_OK)
        return status;
    make_fresh(desk, kind, id, today, &record);
    status = add_row(desk, kind, parent, &record, assignments, n, changes, &row, error);
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    if (status == SG_OK)
        status = sg_desk_find_new(desk, kind, row, target, error);
    char key[SG_WORDS_SIZE - 20], words[SG_WORDS_SIZE];
    if (status == SG_OK) {
        sg_key_write(&desk->held.shop, *target, key, sizeof key);
        snprintf(words, sizeof words, "%s added", key);
    }
    return sg_desk_finish(desk, status, words, error);
}
