/* The example as a shop file, and random changes of it: of fields, of the order of jobs, rows that come and
 * go. */
#ifndef SANDGLASS_TESTS_STORE_RANDOM_CHANGES_H
#define SANDGLASS_TESTS_STORE_RANDOM_CHANGES_H

#include "store/steps.h"

static struct sg_store *store;
static struct dice dice;

static void open_example(void)
{
    enter_folder();
    make_shop("shop.db", true);
    /* Fewer materials than a new file has: each content is read cell by cell. */
    tamper("shop.db", "DELETE FROM material WHERE id NOT IN (SELECT material_id FROM stock) AND id % 20 > 0");
    store = open_shop("shop.db", SG_STORE_WRITE);
    begin(store);
    insert_plates(store, 3);
    ck_assert_int_eq(sg_store_commit(store, &error), SG_OK);
    dice = (struct dice){.state = 0x5A4D61D1CE};
}

static void close_example(void)
{
    sg_store_close(store);
    sg_arena_free(&dice.arena);
    leave_folder();
}

union any {
    struct sg_job job;
    struct sg_stock stock;
    struct sg_part part;
    struct sg_shift shift;
    struct sg_machine machine;
    struct sg_head head;
    struct sg_material material;
    struct sg_chore chore;
    struct sg_clock clock;
    struct sg_record record;
};

static struct loaded now;

static const void *records_of(const struct sg_shop *shop, enum sg_kind kind, int *n)
{
    switch (kind) {
    case SG_KIND_JOB:
        *n = shop->n_jobs;
        return shop->jobs;
    case SG_KIND_STOCK:
        *n = shop->n_stocks;
        return shop->stocks;
    case SG_KIND_PART:
        *n = shop->n_parts;
        return shop->parts;
    case SG_KIND_SHIFT:
        *n = shop->n_shifts;
        return shop->shifts;
    case SG_KIND_HEAD:
        *n = shop->n_heads;
        return shop->heads;
    case SG_KIND_MATERIAL:
        *n = shop->n_materials;
        return shop->materials;
    case SG_KIND_CHORE:
        *n = shop->n_chores;
        return shop->chores;
    case SG_KIND_CLOCK:
        *n = shop->n_clocks;
        return shop->clocks;
    case SG_KIND_RECORD:
        *n = shop->n_records;
        return shop->records;
    case SG_KIND_RATES:
        *n = 1;
        return &shop->rates;
    default:
        *n = 1;
        return &shop->machine;
    }
}

/* A random record of a kind; NULL if there is none. */
static const void *pick(enum sg_kind kind)
{
    int n;
    const char *records = records_of(&now.shop, kind, &n);
    return n ? records + (size_t)roll_below(&dice, n) * sg_kind_size(kind) : NULL;
}

static int64_t row_in(enum sg_kind kind, const void *record)
{
    int64_t row;
    memcpy(&row, (const char *)record + sg_table_of(kind)->row_offset, sizeof row);
    return row;
}

static enum sg_kind roll_kind(void)
{
    static const enum sg_kind kinds[] = {SG_KIND_JOB,   SG_KIND_JOB,   SG_KIND_JOB,      SG_KIND_STOCK,
                                         SG_KIND_STOCK, SG_KIND_PART,  SG_KIND_PART,     SG_KIND_PART,
                                         SG_KIND_SHIFT, SG_KIND_HEAD,  SG_KIND_MATERIAL, SG_KIND_CHORE,
                                         SG_KIND_CLOCK, SG_KIND_RECORD};
    return kinds[roll_below(&dice, 14)];
}

static enum sg_status change_fields(void)
{
    enum sg_kind kind = roll_below(&dice, 10) ? roll_kind() : SG_KIND_MACHINE;
    const void *found = pick(kind);
    union any record;
    int n_fields, n_chosen = 0;
    const struct sg_field *fields = sg_fields(kind, &n_fields), *chosen[3];
    struct sg_value value;
    if (!found)
        return SG_OK;
    memcpy(&record, found, sg_kind_size(kind));
    for (int i = 0; i < 3; i++) {
        const struct sg_field *field = &fields[roll_below(&dice, n_fields)];
        if (field->type == SG_FIELD_SHIFT || strcmp(field->name, "order") == 0)
            continue;
        roll_value(&dice, field, &now.shop, &value);
        sg_field_put(field, &record, &value);
        chosen[n_chosen++] = field;
    }
    return sg_store_update(store, kind, row_in(kind, found), &now.shop, &record, chosen, n_chosen, &error);
}

/* Put the job with that row at a place of a shift. */
static enum sg_status place_job(int64_t row, int shift, int place)
{
    struct sg_shop *shop = &now.shop;
    int next[64] = {0};
    for (int i = 0; i < shop->n_jobs; i++) {
        struct sg_job *job = &shop->jobs[i];
        if (job->row == row) {
            job->shift = shift;
            job->order = place;
            continue;
        }
        int *at = &next[job->shift];
        ++*at;
        *at += job->shift == shift && *at == place;
        job->order = *at;
    }
    for (int i = 0; i < shop->n_jobs; i++) /* behind the last: to the end */
        if (shop->jobs[i].row == row && place > next[shift])
            shop->jobs[i].order = next[shift] + 1;
    return sg_store_orders(store, shop, &error);
}

static enum sg_status move_a_job(void)
{
    const struct sg_job *job = pick(SG_KIND_JOB);
    if (!job)
        return SG_OK;
    return place_job(job->row, (int)roll_below(&dice, now.shop.n_shifts),
                     1 + (int)roll_below(&dice, now.shop.n_jobs));
}

/* A key out of few, so that a removed one comes again; "" if it is taken. */
static const char *roll_key(enum sg_kind kind)
{
    char key[20], sql[100];
    snprintf(key, sizeof key, "%c%d", "jsphmkcxrlo"[kind], (int)roll_below(&dice, 30));
    snprintf(sql, sizeof sql, "SELECT count(*) FROM %s WHERE \"%s\" = '%s'", sg_table_of(kind)->name,
             sg_table_of(kind)->key, key);
    return row_of(store, sql) ? "" : sg_arena_text(&dice.arena, key, strlen(key));
}

static enum sg_status insert(enum sg_kind kind, int64_t parent, const union any *record, int64_t *row)
{
    return sg_store_insert(store, kind, parent, &now.shop, record, row, &error);
}

static enum sg_status add_a_job(const char *key)
{
    union any record = {.job = sg_fresh_job};
    int64_t row;
    roll_record(&dice, SG_KIND_JOB, &now.shop, &record);
    record.job.id = key;
    record.job.order = 1;
    for (int i = 0; i < now.shop.n_jobs; i++)
        record.job.order += now.shop.jobs[i].shift == record.job.shift;
    enum sg_status status = insert(SG_KIND_JOB, 0, &record, &row);
    if (status != SG_OK || roll_below(&dice, 2))
        return status;
    load(store, &now);
    return place_job(row, record.job.shift, 1 + (int)roll_below(&dice, record.job.order));
}

static enum sg_status add_a_stock(void)
{
    union any record = {.stock = sg_fresh_stock};
    const struct sg_job *job = pick(SG_KIND_JOB);
    int64_t row;
    if (!job)
        return SG_OK;
    roll_record(&dice, SG_KIND_STOCK, &now.shop, &record);
    record.stock.number = 1 + (int32_t)roll_below(&dice, 4);
    for (int i = 0; i < job->n_stocks; i++)
        if (now.shop.stocks[job->first_stock + i].number == record.stock.number)
            return SG_OK;
    return insert(SG_KIND_STOCK, job->row, &record, &row);
}

static enum sg_status add_a_row(void)
{
    static const int most[SG_KINDS] = {[SG_KIND_JOB] = 10,  [SG_KIND_STOCK] = 14, [SG_KIND_PART] = 25,
                                       [SG_KIND_SHIFT] = 4, [SG_KIND_HEAD] = 4,   [SG_KIND_MATERIAL] = 12,
                                       [SG_KIND_CHORE] = 4, [SG_KIND_CLOCK] = 6,  [SG_KIND_RECORD] = 9};
    enum sg_kind kind = roll_kind();
    union any record;
    int n;
    int64_t row;
    records_of(&now.shop, kind, &n);
    if (n >= most[kind])
        return SG_OK;
    if (kind == SG_KIND_STOCK)
        return add_a_stock();
    const char *key = roll_key(kind);
    if (!*key)
        return SG_OK;
    if (kind == SG_KIND_JOB)
        return add_a_job(key);
    const struct sg_stock *stock = kind == SG_KIND_PART ? pick(SG_KIND_STOCK) : NULL;
    if (kind == SG_KIND_PART && !stock)
        return SG_OK;
    memcpy(&record, sg_table_of(kind)->fresh, sg_kind_size(kind));
    roll_record(&dice, kind, &now.shop, &record);
    memcpy((char *)&record + sg_table_of(kind)->key_offset, &key, sizeof key);
    return insert(kind, stock ? stock->row : 0, &record, &row);
}

static int in_use;

static enum sg_status remove_a_row(void)
{
    enum sg_kind kind = roll_kind();
    const void *found = pick(kind);
    if (!found)
        return SG_OK;
    enum sg_status status = sg_store_remove(store, kind, row_in(kind, found), &error);
    in_use += status == SG_BAD_DATA;
    return status == SG_BAD_DATA ? SG_OK : status;
}

static void change_something(void)
{
    static enum sg_status (*const ways[])(void) = {change_fields, change_fields, change_fields, change_fields,
                                                   move_a_job,    add_a_row,     add_a_row,     remove_a_row};
    int n = roll_below(&dice, 4) ? 1 : 3;
    for (int i = 0; i < n; i++) {
        load(store, &now);
        enum sg_status status = ways[roll_below(&dice, 8)]();
        ck_assert_msg(status == SG_OK, "%s", error.text);
    }
}

#endif
