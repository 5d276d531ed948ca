/* Rows into the shop file. Every statement is built once from the field table. */
#include "store/inside.h"

#include <string.h>

static enum sg_status prepare(struct sg_store *store, sqlite3_str *sql, sqlite3_stmt **out,
                              struct sg_error *error)
{
    char *text = sqlite3_str_finish(sql);
    if (!text)
        return sg_fail(error, SG_FAULT, "no memory to write %s", store->path);
    int code = sqlite3_prepare_v3(store->db, text, -1, SQLITE_PREPARE_PERSISTENT, out, NULL);
    sqlite3_free(text);
    return code == SQLITE_OK ? SG_OK : sg_store_trouble(store, code, error);
}

/* "2604": the key of a record for a sentence. */
static void key_text(enum sg_kind kind, const void *record, char *out, size_t size)
{
    const char *member = (const char *)record + sg_table_of(kind)->key_offset;
    const char *key;
    int32_t number;
    if (kind == SG_KIND_STOCK) {
        memcpy(&number, member, sizeof number);
        sqlite3_snprintf((int)size, out, "%d", number);
    } else {
        memcpy(&key, member, sizeof key);
        sqlite3_snprintf((int)size, out, "%s", key);
    }
}

/* Run a statement that is bound, and make it ready for the next time. */
static enum sg_status finish(struct sg_store *store, sqlite3_stmt *statement, enum sg_kind kind,
                             const void *record, struct sg_error *error)
{
    enum sg_status status = SG_OK;
    int code = sqlite3_step(statement);
    char key[100];
    if (code == SQLITE_CONSTRAINT_UNIQUE) {
        key_text(kind, record, key, sizeof key);
        status =
            sg_fail(error, SG_BAD_DATA, "%s: %s %s exists already", store->path, sg_kind_word(kind), key);
    } else if (code != SQLITE_DONE) {
        status = sg_store_trouble(store, code, error);
    }
    sqlite3_reset(statement);
    return status;
}

static enum sg_status refuse(struct sg_store *store, sqlite3_stmt *statement, enum sg_kind kind,
                             const void *record, const char *what, struct sg_error *error)
{
    char key[100];
    key_text(kind, record, key, sizeof key);
    sqlite3_reset(statement);
    return sg_fail(error, SG_BAD_DATA, "%s: %s %s: a value of %s is not possible", store->path,
                   sg_kind_word(kind), key, what);
}

static enum sg_status bind_fields(struct sg_store *store, sqlite3_stmt *statement, int *at, enum sg_kind kind,
                                  const struct sg_shop *shop, const void *record, uint64_t chosen,
                                  struct sg_error *error)
{
    int n_fields;
    const struct sg_field *fields = sg_fields(kind, &n_fields);
    struct sg_value value;
    for (int i = 0; i < n_fields; i++) {
        if (!(chosen >> i & 1))
            continue;
        sg_field_get(&fields[i], record, &value);
        if (!sg_column_bind(statement, at, &fields[i], shop, &value))
            return refuse(store, statement, kind, record, fields[i].name, error);
    }
    return SG_OK;
}

/* ---- a new row ---- */

static enum sg_status prepare_insert(struct sg_store *store, enum sg_kind kind, struct sg_error *error)
{
    int n_fields, parameters = 1;
    const struct sg_table *table = sg_table_of(kind);
    const struct sg_field *fields = sg_fields(kind, &n_fields);
    sqlite3_str *sql = sqlite3_str_new(store->db);
    sqlite3_str_appendf(sql, "INSERT INTO %s (\"%s\"", table->name, table->key);
    for (int i = 0; i < n_fields; i++)
        for (int j = 0; j < fields[i].count; j++, parameters++)
            sg_column_append(sql, &fields[i], j, ", ", "");
    if (table->parent)
        sqlite3_str_appendf(sql, ", %s", table->parent);
    sqlite3_str_appendf(sql, "%s, id) VALUES (?", table->placed ? ", position" : "");
    for (int i = 1; i < parameters + (table->parent != NULL); i++)
        sqlite3_str_appendall(sql, ", ?");
    if (table->placed)
        sqlite3_str_appendf(sql, ", 1 + ifnull((SELECT max(position) FROM %s", table->name);
    if (table->placed && table->parent)
        sqlite3_str_appendf(sql, " WHERE %s = ?%d", table->parent, parameters + 1);
    sqlite3_str_appendall(sql, table->placed ? "), 0), ?)" : ", ?)");
    return prepare(store, sql, &store->insert[kind], error);
}

/* Inside a transaction nobody else adds rows: the history is asked once. */
enum sg_status sg_store_next_row(struct sg_store *store, enum sg_kind kind, int64_t *row,
                                 struct sg_error *error)
{
    char sql[200];
    const char *table = sg_table_of(kind)->name;
    enum sg_status status = SG_OK;
    if (store->next_row[kind] == 0 || sqlite3_get_autocommit(store->db)) {
        sqlite3_snprintf(sizeof sql, sql,
                         "SELECT 1 + max(ifnull((SELECT max(id) FROM %s), 0), "
                         "ifnull((SELECT id FROM used_row WHERE kind = '%s'), 0))",
                         table, table);
        status = sg_store_ask(store, sql, &store->next_row[kind], error);
    }
    *row = store->next_row[kind];
    return status;
}

static bool bind_key(sqlite3_stmt *statement, enum sg_kind kind, const void *record)
{
    const char *member = (const char *)record + sg_table_of(kind)->key_offset;
    const char *key;
    int32_t number;
    if (kind == SG_KIND_STOCK) {
        memcpy(&number, member, sizeof number);
        return sqlite3_bind_int(statement, 1, number) == SQLITE_OK;
    }
    memcpy(&key, member, sizeof key);
    return *key && sg_text_is_clean(key, SG_TEXT_MAX) &&
           sqlite3_bind_text(statement, 1, key, -1, SQLITE_TRANSIENT) == SQLITE_OK;
}

enum sg_status sg_store_insert(struct sg_store *store, enum sg_kind kind, int64_t parent,
                               const struct sg_shop *shop, const void *record, int64_t *row,
                               struct sg_error *error)
{
    enum sg_status status = store->insert[kind] ? SG_OK : prepare_insert(store, kind, error);
    if (status != SG_OK)
        return status;
    sqlite3_stmt *statement = store->insert[kind];
    int64_t id;
    int at = 2;
    if (!bind_key(statement, kind, record))
        return refuse(store, statement, kind, record, "its key", error);
    status = bind_fields(store, statement, &at, kind, shop, record, UINT64_MAX, error);
    if (status != SG_OK)
        return status;
    if (sg_table_of(kind)->parent)
        sqlite3_bind_int64(statement, at++, parent);
    status = sg_store_next_row(store, kind, &id, error);
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, at, id);
    status = finish(store, statement, kind, record, error);
    if (status == SG_OK) {
        store->next_row[kind] = id + 1;
        *row = id;
    }
    return status;
}

/* ---- values of a row ---- */

static uint64_t chosen_fields(enum sg_kind kind, const struct sg_field *const *fields, int n_fields)
{
    int count;
    const struct sg_field *first = sg_fields(kind, &count);
    uint64_t chosen = 0;
    for (int i = 0; i < n_fields; i++)
        chosen |= UINT64_C(1) << (fields[i] - first);
    return chosen;
}

static enum sg_status prepare_update(struct sg_store *store, enum sg_kind kind, uint64_t chosen,
                                     struct sg_error *error)
{
    int n_fields;
    const struct sg_field *fields = sg_fields(kind, &n_fields);
    const char *before = " SET ";
    sqlite3_finalize(store->update[kind].statement);
    store->update[kind].statement = NULL;
    store->update[kind].fields = chosen;
    sqlite3_str *sql = sqlite3_str_new(store->db);
    sqlite3_str_appendf(sql, "UPDATE %s", sg_table_of(kind)->name);
    for (int i = 0; i < n_fields; i++)
        for (int j = 0; j < fields[i].count && chosen >> i & 1; j++, before = ", ")
            sg_column_append(sql, &fields[i], j, before, " = ?");
    sqlite3_str_appendall(sql, " WHERE id = ?");
    return prepare(store, sql, &store->update[kind].statement, error);
}

enum sg_status sg_store_update(struct sg_store *store, enum sg_kind kind, int64_t row,
                               const struct sg_shop *shop, const void *record,
                               const struct sg_field *const *fields, int n_fields, struct sg_error *error)
{
    uint64_t chosen = chosen_fields(kind, fields, n_fields);
    enum sg_status status = SG_OK;
    if (chosen == 0)
        return SG_OK;
    if (!store->update[kind].statement || store->update[kind].fields != chosen)
        status = prepare_update(store, kind, chosen, error);
    sqlite3_stmt *statement = store->update[kind].statement;
    int at = 1;
    if (status == SG_OK)
        status = bind_fields(store, statement, &at, kind, shop, record, chosen, error);
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, at, row);
    status = finish(store, statement, kind, record, error);
    if (status == SG_OK && sqlite3_changes(store->db) == 0) {
        char key[100];
        key_text(kind, record, key, sizeof key);
        return sg_fail(error, SG_BAD_DATA, "%s: %s %s is no longer there", store->path, sg_kind_word(kind),
                       key);
    }
    return status;
}

enum sg_status sg_store_orders(struct sg_store *store, const struct sg_shop *shop, struct sg_error *error)
{
    enum sg_status status = SG_OK;
    if (!store->order) {
        sqlite3_str *sql = sqlite3_str_new(store->db);
        sqlite3_str_appendall(sql, "UPDATE job SET shift_id = ?1, position = ?2 WHERE id = ?3 "
                                   "AND (shift_id <> ?1 OR position <> ?2)");
        status = prepare(store, sql, &store->order, error);
    }
    for (int i = 0; i < shop->n_jobs && status == SG_OK; i++) {
        const struct sg_job *job = &shop->jobs[i];
        if (job->shift < 0 || job->shift >= shop->n_shifts)
            return sg_fail(error, SG_BAD_DATA, "%s: job %s belongs to no shift", store->path, job->id);
        sqlite3_bind_int64(store->order, 1, shop->shifts[job->shift].row);
        sqlite3_bind_int(store->order, 2, job->order);
        sqlite3_bind_int64(store->order, 3, job->row);
        status = finish(store, store->order, SG_KIND_JOB, job, error);
    }
    return status;
}
