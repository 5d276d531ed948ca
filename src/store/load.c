/* The shop out of its file: one pass over each table, parents before children. */
#include "store/inside.h"

#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Which record of a loaded array has a row's id, sorted by id. */
struct place {
    int64_t row;
    int32_t index;
};

struct reader {
    struct sg_store *store;
    struct sg_arena *arena;
    struct sg_findings *findings;
    struct sg_shop shop;
    struct place *places[SG_KINDS];
    int32_t n_places[SG_KINDS];
};

/* ---- what is found wrong ---- */

void sg_disarm(char *text)
{
    for (unsigned char *at = (unsigned char *)text; *at; at++)
        if (*at < ' ' || *at == 0x7F || (*at == 0xC2 && at[1] >= 0x80 && at[1] < 0xA0))
            *at = '?';
}

static enum sg_status found(struct reader *reader, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static enum sg_status found(struct reader *reader, const char *format, ...)
{
    struct sg_findings *findings = reader->findings;
    char text[SG_ERROR_SIZE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    sg_disarm(text);
    findings->count++;
    if (!findings->say)
        return sg_fail(findings->error, SG_BAD_DATA, "%s: %s", reader->store->path, text);
    findings->say(findings->context, text);
    return SG_OK;
}

static enum sg_status no_memory(struct reader *reader)
{
    return sg_fail(reader->findings->error, SG_FAULT, "no memory to read %s", reader->store->path);
}

/* The key of a record, of a stock and a part with those before it as far as they are known: 2604/1/A. */
static void write_key(const struct reader *reader, enum sg_kind kind, const void *record, char *out,
                      size_t size)
{
    const struct sg_shop *shop = &reader->shop;
    if (kind == SG_KIND_PART) {
        const struct sg_part *part = record;
        char before[120] = "";
        if (part->stock >= 0)
            write_key(reader, SG_KIND_STOCK, &shop->stocks[part->stock], before, sizeof before);
        snprintf(out, size, "%s%s%s", before, *before ? "/" : "", part->id);
    } else if (kind == SG_KIND_STOCK) {
        const struct sg_stock *stock = record;
        snprintf(out, size, "%s/%d", stock->job >= 0 ? shop->jobs[stock->job].id : "?", stock->number);
    } else {
        const char *key;
        memcpy(&key, (const char *)record + sg_table_of(kind)->key_offset, sizeof key);
        snprintf(out, size, "%s", key);
    }
}

static enum sg_status found_value(struct reader *reader, enum sg_kind kind, const void *record,
                                  sqlite3_stmt *statement, int at, const char *should)
{
    char key[300], value[60];
    int type = sqlite3_column_type(statement, at);
    const char *text = (const char *)sqlite3_column_text(statement, at);
    write_key(reader, kind, record, key, sizeof key);
    snprintf(value, sizeof value, "%s%.50s%s", type == SQLITE_TEXT ? "\"" : "", text ? text : "no value",
             type == SQLITE_TEXT ? "\"" : "");
    return found(reader, "table %s, key %s, column %s: %s is not possible; %s", sg_table_of(kind)->name, key,
                 sqlite3_column_name(statement, at), value, should);
}

/* ---- rows and indexes ---- */

static int by_row(const void *a, const void *b)
{
    const struct place *x = a, *y = b;
    return (x->row > y->row) - (x->row < y->row);
}

static enum sg_status remember_places(struct reader *reader, enum sg_kind kind, const void *records,
                                      int32_t count)
{
    struct place *places = sg_arena_take(reader->arena, (size_t)count * sizeof *places);
    if (!places)
        return no_memory(reader);
    bool sorted = true;
    for (int32_t i = 0; i < count; i++) {
        const char *record = (const char *)records + (size_t)i * sg_kind_size(kind);
        memcpy(&places[i].row, record + sg_table_of(kind)->row_offset, sizeof places[i].row);
        places[i].index = i;
        sorted = sorted && (i == 0 || places[i - 1].row <= places[i].row);
    }
    if (!sorted)
        qsort(places, (size_t)count, sizeof *places, by_row);
    reader->places[kind] = places;
    reader->n_places[kind] = count;
    return SG_OK;
}

static int32_t index_of(const struct reader *reader, enum sg_kind kind, int64_t row)
{
    struct place wanted = {row, 0};
    int32_t count = reader->n_places[kind];
    const struct place *place =
        count ? bsearch(&wanted, reader->places[kind], (size_t)count, sizeof wanted, by_row) : NULL;
    return place ? place->index : SG_UNKNOWN;
}

static enum sg_kind kind_referred(const struct sg_field *field)
{
    return field->type == SG_FIELD_MATERIAL ? SG_KIND_MATERIAL
           : field->type == SG_FIELD_HEAD   ? SG_KIND_HEAD
                                            : SG_KIND_SHIFT;
}

/* Index of the outline with that row: they lie in its order. */
static int32_t drawn_index(const struct sg_shop *shop, int64_t row)
{
    int32_t low = 0, high = shop->n_drawn;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (shop->drawn[middle].row < row)
            low = middle + 1;
        else
            high = middle;
    }
    return low < shop->n_drawn && shop->drawn[low].row == row ? low : SG_UNKNOWN;
}

static bool resolve(const struct reader *reader, const struct sg_field *field, struct sg_value *value)
{
    bool drawn = field->type == SG_FIELD_OUTLINE;
    if (field->type != SG_FIELD_MATERIAL && field->type != SG_FIELD_HEAD && field->type != SG_FIELD_SHIFT &&
        !drawn)
        return true;
    if (value->none)
        return true;
    value->whole = drawn ? drawn_index(&reader->shop, value->whole)
                         : index_of(reader, kind_referred(field), value->whole);
    return value->whole != SG_UNKNOWN;
}

/* ---- one table ---- */

/* Where a table's records come together and in which order; the children of one parent lie in a row. */
struct plan {
    enum sg_kind kind, parent;
    size_t parent_offset; /* of the parent's index; int32_t */
    size_t first_offset;  /* in the parent: first child, count behind it; 0: the parent does not say */
    const char *order;
};

static const struct plan plans[] = {
    {.kind = SG_KIND_MATERIAL, .order = "id"},
    {.kind = SG_KIND_CHORE, .order = "position, id"},
    {.kind = SG_KIND_HEAD, .order = "id"},
    {.kind = SG_KIND_MACHINE, .order = "id"},
    {.kind = SG_KIND_RATES, .order = "id"},
    {.kind = SG_KIND_CLOCK, .order = "at, id"},
    {.kind = SG_KIND_RECORD, .order = "at, id"},
    {.kind = SG_KIND_SHIFT, .order = "position, id"},
    {.kind = SG_KIND_JOB,
     .parent = SG_KIND_SHIFT,
     .parent_offset = offsetof(struct sg_job, shift),
     .order = "shift_id, position, id"},
    {.kind = SG_KIND_STOCK,
     .parent = SG_KIND_JOB,
     .parent_offset = offsetof(struct sg_stock, job),
     .first_offset = offsetof(struct sg_job, first_stock),
     .order = "job_id, number"},
    {.kind = SG_KIND_PART,
     .parent = SG_KIND_STOCK,
     .parent_offset = offsetof(struct sg_part, stock),
     .first_offset = offsetof(struct sg_stock, first_part),
     .order = "stock_id, position, id"},
};

static enum sg_status prepare(struct reader *reader, const struct plan *plan, sqlite3_stmt **out)
{
    int n_fields;
    const struct sg_table *table = sg_table_of(plan->kind);
    const struct sg_field *fields = sg_fields(plan->kind, &n_fields);
    sqlite3_str *sql = sqlite3_str_new(reader->store->db);
    sqlite3_str_appendf(sql, "SELECT id, \"%s\", %s", table->key, table->parent ? table->parent : "NULL");
    for (int i = 0; i < n_fields; i++)
        for (int j = 0; j < fields[i].count; j++)
            sg_column_append(sql, &fields[i], j, ", ", "");
    sqlite3_str_appendf(sql, " FROM %s ORDER BY %s", table->name, plan->order);
    char *text = sqlite3_str_finish(sql);
    if (!text)
        return no_memory(reader);
    int code = sqlite3_prepare_v2(reader->store->db, text, -1, out, NULL);
    sqlite3_free(text);
    return code == SQLITE_OK ? SG_OK : sg_store_trouble(reader->store, code, reader->findings->error);
}

static enum sg_status read_key(struct reader *reader, const struct plan *plan, sqlite3_stmt *statement,
                               char *record)
{
    const struct sg_table *table = sg_table_of(plan->kind);
    int64_t row = sqlite3_column_int64(statement, 0);
    memcpy(record + table->row_offset, &row, sizeof row);
    if (plan->kind == SG_KIND_STOCK) {
        int64_t number = sqlite3_column_int64(statement, 1);
        int32_t kept = number > 0 && number <= INT32_MAX ? (int32_t)number : 0;
        memcpy(record + table->key_offset, &kept, sizeof kept);
        return kept ? SG_OK
                    : found_value(reader, plan->kind, record, statement, 1, "a stock's number starts at 1");
    }
    const char *key = sg_column_text(statement, 1, SG_TEXT_MAX, reader->arena);
    const char *kept = key ? key : "";
    memcpy(record + table->key_offset, &kept, sizeof kept);
    if (*kept && (plan->kind != SG_KIND_JOB || !strchr(kept, '/')))
        return SG_OK;
    char where[40];
    snprintf(where, sizeof where, "it is row %lld", (long long)row);
    return found_value(reader, plan->kind, record, statement, 1, where);
}

static enum sg_status read_fields(struct reader *reader, const struct plan *plan, sqlite3_stmt *statement,
                                  char *record)
{
    int n_fields, at = 3;
    const struct sg_field *fields = sg_fields(plan->kind, &n_fields);
    struct sg_value value;
    enum sg_status status = SG_OK;
    for (int i = 0; i < n_fields && status == SG_OK; i++) {
        int first = at;
        if (sg_column_read(statement, &at, &fields[i], reader->arena, &value) &&
            resolve(reader, &fields[i], &value)) {
            sg_field_put(&fields[i], record, &value);
            continue;
        }
        char range[200];
        sg_field_range(&fields[i], &reader->shop, range, sizeof range);
        status = found_value(reader, plan->kind, record, statement, first, range);
    }
    return status;
}

static enum sg_status read_row(struct reader *reader, const struct plan *plan, sqlite3_stmt *statement,
                               char *record)
{
    const struct sg_table *table = sg_table_of(plan->kind);
    int32_t parent = SG_UNKNOWN;
    memcpy(record, table->fresh, sg_kind_size(plan->kind));
    if (table->parent)
        parent = index_of(reader, plan->parent, sqlite3_column_int64(statement, 2));
    if (plan->parent_offset)
        memcpy(record + plan->parent_offset, &parent, sizeof parent);
    enum sg_status status = read_key(reader, plan, statement, record);
    if (status == SG_OK && table->parent && parent == SG_UNKNOWN)
        status = found_value(reader, plan->kind, record, statement, 2, "there is no such row");
    return status == SG_OK ? read_fields(reader, plan, statement, record) : status;
}

static enum sg_status count_rows(struct reader *reader, const struct plan *plan, int32_t *count)
{
    char sql[60];
    int64_t n = 0;
    sqlite3_snprintf(sizeof sql, sql, "SELECT count(*) FROM %s", sg_table_of(plan->kind)->name);
    enum sg_status status = sg_store_ask(reader->store, sql, &n, reader->findings->error);
    if (status == SG_OK && n > INT32_MAX / 2)
        return found(reader, "table %s has too many rows", sg_table_of(plan->kind)->name);
    if (status == SG_OK)
        *count = (int32_t)n;
    return status;
}

/* Read all rows; *count becomes smaller if the table had fewer than it said. */
static enum sg_status read_rows(struct reader *reader, const struct plan *plan, char *records, int32_t *count)
{
    sqlite3_stmt *statement = NULL;
    int32_t n = 0;
    int code = SQLITE_DONE;
    enum sg_status status = prepare(reader, plan, &statement);
    while (status == SG_OK && n < *count && (code = sqlite3_step(statement)) == SQLITE_ROW)
        status = read_row(reader, plan, statement, records + (size_t)n++ * sg_kind_size(plan->kind));
    if (status == SG_OK && code != SQLITE_ROW && code != SQLITE_DONE)
        status = sg_store_trouble(reader->store, code, reader->findings->error);
    sqlite3_finalize(statement);
    *count = n;
    return status;
}

static int32_t parent_of(const struct plan *plan, const char *record)
{
    int32_t parent;
    memcpy(&parent, record + plan->parent_offset, sizeof parent);
    return parent;
}

/* Put the records of each parent together, in the order of the parents, and tell the parents. Records that
 * belong to none are left out; they have been found. */
static enum sg_status gather(struct reader *reader, const struct plan *plan, char *parents,
                             const char *records, char *out, int32_t *count)
{
    int32_t n_parents = reader->n_places[plan->parent], place = 0;
    size_t size = sg_kind_size(plan->kind), parent_size = sg_kind_size(plan->parent);
    int32_t *next = calloc((size_t)n_parents + 1, sizeof *next);
    if (!next)
        return no_memory(reader);
    for (int32_t i = 0; i < *count; i++)
        if (parent_of(plan, records + (size_t)i * size) >= 0)
            next[parent_of(plan, records + (size_t)i * size)]++;
    for (int32_t p = 0; p < n_parents; p++) {
        int32_t span[2] = {place, next[p]};
        if (plan->first_offset)
            memcpy(parents + (size_t)p * parent_size + plan->first_offset, span, sizeof span);
        next[p] = place;
        place += span[1];
    }
    for (int32_t i = 0; i < *count; i++) {
        int32_t parent = parent_of(plan, records + (size_t)i * size);
        if (parent >= 0)
            memcpy(out + (size_t)next[parent]++ * size, records + (size_t)i * size, size);
    }
    *count = place;
    free(next);
    return SG_OK;
}

static enum sg_status read_table(struct reader *reader, const struct plan *plan, void *parents, void **out,
                                 int32_t *count)
{
    size_t size = sg_kind_size(plan->kind);
    int32_t n = 0;
    enum sg_status status = count_rows(reader, plan, &n);
    if (status != SG_OK)
        return status;
    char *records = sg_arena_take(reader->arena, (size_t)n * size);
    char *scratch = plan->parent_offset && n > 0 ? malloc((size_t)n * size) : NULL;
    if (!records || (plan->parent_offset && n > 0 && !scratch))
        status = no_memory(reader);
    if (status == SG_OK)
        status = read_rows(reader, plan, scratch ? scratch : records, &n);
    if (status == SG_OK && plan->parent_offset)
        status = gather(reader, plan, parents, scratch, records, &n);
    free(scratch);
    if (status != SG_OK)
        return status;
    *out = records;
    *count = n;
    return remember_places(reader, plan->kind, records, n);
}

/* ---- the whole ---- */

static enum sg_status read_units(struct reader *reader)
{
    sqlite3_stmt *statement;
    int code = sqlite3_prepare_v2(reader->store->db, "SELECT value FROM setting WHERE name = 'units'", -1,
                                  &statement, NULL);
    if (code == SQLITE_OK)
        code = sqlite3_step(statement);
    enum sg_status status = SG_OK;
    const char *word = code == SQLITE_ROW ? (const char *)sqlite3_column_text(statement, 0) : NULL;
    if (code != SQLITE_ROW && code != SQLITE_DONE)
        status = sg_store_trouble(reader->store, code, reader->findings->error);
    else if (word && strcmp(word, "metric") == 0)
        reader->shop.units = SG_UNITS_METRIC;
    else if (word && strcmp(word, "us") == 0)
        reader->shop.units = SG_UNITS_US;
    else
        status = found(reader, "table setting, key units, column value: it should be us or metric");
    sqlite3_finalize(statement);
    return status;
}

static enum sg_status found_drawn(void *context, const char *sentence)
{
    return found(context, "%s", sentence);
}

static enum sg_status read_drawn(struct reader *reader, bool remember)
{
    const struct sg_bad_drawn bad = {found_drawn, reader, reader->findings->say != NULL};
    return sg_store_read_drawn(reader->store, remember, reader->arena, &reader->shop, &bad,
                               reader->findings->error);
}

static enum sg_status read_tables(struct reader *reader)
{
    struct sg_shop *shop = &reader->shop;
    void *arrays[SG_KINDS] = {0};
    int32_t counts[SG_KINDS] = {0};
    enum sg_status status = SG_OK;
    for (size_t i = 0; i < sizeof plans / sizeof *plans && status == SG_OK; i++) {
        enum sg_kind kind = plans[i].kind;
        status = read_table(reader, &plans[i], arrays[plans[i].parent], &arrays[kind], &counts[kind]);
        /* Kept at once: a finding in a child names its parents. */
        shop->jobs = arrays[SG_KIND_JOB];
        shop->stocks = arrays[SG_KIND_STOCK];
    }
    shop->materials = arrays[SG_KIND_MATERIAL];
    shop->heads = arrays[SG_KIND_HEAD];
    shop->shifts = arrays[SG_KIND_SHIFT];
    shop->parts = arrays[SG_KIND_PART];
    shop->n_materials = counts[SG_KIND_MATERIAL];
    shop->n_heads = counts[SG_KIND_HEAD];
    shop->n_shifts = counts[SG_KIND_SHIFT];
    shop->n_jobs = counts[SG_KIND_JOB];
    shop->n_stocks = counts[SG_KIND_STOCK];
    shop->n_parts = counts[SG_KIND_PART];
    shop->chores = arrays[SG_KIND_CHORE];
    shop->n_chores = counts[SG_KIND_CHORE];
    shop->clocks = arrays[SG_KIND_CLOCK];
    shop->n_clocks = counts[SG_KIND_CLOCK];
    shop->records = arrays[SG_KIND_RECORD];
    shop->n_records = counts[SG_KIND_RECORD];
    if (status == SG_OK && counts[SG_KIND_MACHINE] == 0)
        return found(reader, "table machine: there is no machine in it");
    if (status == SG_OK && counts[SG_KIND_RATES] == 0)
        return found(reader, "table rates: there is no row in it");
    if (status == SG_OK) {
        shop->machine = *(const struct sg_machine *)arrays[SG_KIND_MACHINE];
        shop->rates = *(const struct sg_rates *)arrays[SG_KIND_RATES];
    }
    return status;
}

enum sg_status sg_store_read(struct sg_store *store, struct sg_arena *arena, struct sg_shop *out,
                             struct sg_findings *findings)
{
    struct reader reader = {.store = store, .arena = arena, .findings = findings};
    bool alone = sqlite3_get_autocommit(store->db);
    enum sg_status status = alone ? sg_store_run(store, "BEGIN", findings->error) : SG_OK;
    if (status == SG_OK)
        status = read_units(&reader);
    if (status == SG_OK)
        status = read_drawn(&reader, alone);
    if (status == SG_OK)
        status = read_tables(&reader);
    if (alone)
        sg_store_rollback(store); /* nothing was changed: this only ends the reading */
    if (status == SG_OK)
        *out = reader.shop;
    return status;
}

enum sg_status sg_store_load(struct sg_store *store, struct sg_arena *arena, struct sg_shop *out,
                             struct sg_error *error)
{
    struct sg_findings findings = {.error = error};
    return sg_store_read(store, arena, out, &findings);
}
