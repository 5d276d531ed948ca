/* Reading the history: what was changed when, by whom, and who changed something just now. */
#include "store/history.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

enum sg_status sg_store_prepare(struct sg_store *store, sqlite3_stmt **out, struct sg_error *error,
                                const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    char *sql = sqlite3_vmprintf(format, arguments);
    va_end(arguments);
    *out = NULL;
    int code = sql ? sqlite3_prepare_v2(store->db, sql, -1, out, NULL) : SQLITE_NOMEM;
    sqlite3_free(sql);
    return code == SQLITE_OK ? SG_OK : sg_store_trouble(store, code, error);
}

/* ---- rows of the history ---- */

static void copy_text(sqlite3_stmt *statement, int column, char *out, size_t size)
{
    const char *text = (const char *)sqlite3_column_text(statement, column);
    sg_clean_copy(out, size, text ? text : "");
}

void sg_told_read(sqlite3_stmt *statement, struct sg_step_told *out)
{
    const char *kind = (const char *)sqlite3_column_text(statement, 1);
    out->id = sqlite3_column_int64(statement, 0);
    out->kind = kind && strcmp(kind, "undo") == 0   ? SG_STEP_UNDO
                : kind && strcmp(kind, "redo") == 0 ? SG_STEP_REDO
                                                    : SG_STEP_CHANGE;
    out->of = sqlite3_column_int64(statement, 2);
    copy_text(statement, 3, out->who, sizeof out->who);
    out->at = sqlite3_column_double(statement, 4);
    copy_text(statement, 5, out->words, sizeof out->words);
    out->undone = sqlite3_column_int(statement, 6);
}

enum sg_status sg_told_find(struct sg_store *store, int64_t step, struct sg_step_told *out,
                            struct sg_error *error)
{
    sqlite3_stmt *statement;
    enum sg_status status =
        sg_store_prepare(store, &statement, error, "SELECT " SG_TOLD_COLUMNS "WHERE s.id = ?");
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, 1, step);
    int code = sqlite3_step(statement);
    if (code == SQLITE_ROW)
        sg_told_read(statement, out);
    else
        status = code == SQLITE_DONE ? sg_fail(error, SG_NO_FILE, "%s: step %lld of the history is missing",
                                               store->path, (long long)step)
                                     : sg_store_trouble(store, code, error);
    sqlite3_finalize(statement);
    return status;
}

static enum sg_status tell(struct sg_store *store, const char *which, int64_t number,
                           void (*say)(void *context, const struct sg_step_told *step), void *context,
                           struct sg_error *error)
{
    sqlite3_stmt *statement;
    struct sg_step_told step;
    int code;
    enum sg_status status = sg_store_prepare(store, &statement, error, "SELECT " SG_TOLD_COLUMNS "%s", which);
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, 1, number);
    while ((code = sqlite3_step(statement)) == SQLITE_ROW) {
        sg_told_read(statement, &step);
        say(context, &step);
    }
    if (code != SQLITE_DONE)
        status = sg_store_trouble(store, code, error);
    sqlite3_finalize(statement);
    return status;
}

enum sg_status sg_store_history(struct sg_store *store, int limit,
                                void (*say)(void *context, const struct sg_step_told *step), void *context,
                                struct sg_error *error)
{
    return tell(store, "ORDER BY s.id DESC LIMIT ?", limit > 0 ? limit : -1, say, context, error);
}

enum sg_status sg_store_news(struct sg_store *store, int64_t after,
                             void (*say)(void *context, const struct sg_step_told *step), void *context,
                             struct sg_error *error)
{
    return tell(store, "WHERE s.id > ? ORDER BY s.id", after, say, context, error);
}

/* ---- what a step changed ---- */

static enum sg_status join(struct sg_store *store, sqlite3_stmt *statement, struct sg_changes *out,
                           struct sg_error *error)
{
    int code;
    while ((code = sqlite3_step(statement)) == SQLITE_ROW) {
        int size = sqlite3_column_bytes(statement, 0);
        char *longer = size <= INT32_MAX - out->size
                           ? sqlite3_realloc64(out->bytes, (sqlite3_uint64)out->size + (sqlite3_uint64)size)
                           : NULL;
        if (!longer)
            return sg_fail(error, SG_FAULT, "no memory to read the history of %s", store->path);
        memcpy(longer + out->size, sqlite3_column_blob(statement, 0), (size_t)size);
        out->bytes = longer;
        out->size += size;
    }
    return code == SQLITE_DONE ? SG_OK : sg_store_trouble(store, code, error);
}

enum sg_status sg_changes_read(struct sg_store *store, int64_t step, struct sg_changes *out,
                               struct sg_error *error)
{
    sqlite3_stmt *statement;
    struct sg_changes changes = {0};
    enum sg_status status =
        sg_store_prepare(store, &statement, error,
                         "SELECT bytes FROM step_changes WHERE step_id = ? AND length(bytes) > 0 "
                         "ORDER BY id");
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, 1, step);
    status = join(store, statement, &changes, error);
    sqlite3_finalize(statement);
    if (status == SG_OK)
        *out = changes;
    else
        sqlite3_free(changes.bytes);
    return status;
}

enum sg_status sg_touches_read(struct sg_store *store, int64_t step, struct sg_touches *out,
                               struct sg_error *error)
{
    struct sg_changes changes;
    enum sg_status status = sg_changes_read(store, step, &changes, error);
    if (status != SG_OK)
        return status;
    status = sg_touches_of(store, &changes, out, error);
    sqlite3_free(changes.bytes);
    return status;
}

/* ---- who set a field ---- */

static enum sg_status touched(struct sg_store *store, int64_t step, const struct sg_touch *wanted, bool *is,
                              struct sg_error *error)
{
    struct sg_touches touches;
    enum sg_status status = sg_touches_read(store, step, &touches, error);
    if (status != SG_OK)
        return status;
    *is = false;
    for (int i = 0; i < touches.n && !*is; i++)
        *is = touches.at[i].kind == wanted->kind && touches.at[i].row == wanted->row &&
              touches.at[i].columns & wanted->columns;
    free(touches.at);
    return SG_OK;
}

/* step_touch says where to look; a step that changed many rows has to be read to be sure. */
enum sg_status sg_history_last(struct sg_store *store, enum sg_kind kind, int64_t row, uint64_t columns,
                               struct sg_step_told *out, struct sg_error *error)
{
    struct sg_touch wanted = {.kind = kind, .row = row, .columns = columns};
    sqlite3_stmt *statement;
    int code = SQLITE_DONE;
    bool found = false;
    enum sg_status status =
        sg_store_prepare(store, &statement, error,
                         "SELECT step_id FROM step_touch WHERE kind = '%s' AND first_row <= ?1 AND "
                         "last_row >= ?1 AND columns & ?2 <> 0 ORDER BY step_id DESC",
                         sg_table_of(kind)->name);
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, 1, row);
    sqlite3_bind_int64(statement, 2, (int64_t)columns);
    while (status == SG_OK && !found && (code = sqlite3_step(statement)) == SQLITE_ROW)
        status = touched(store, sqlite3_column_int64(statement, 0), &wanted, &found, error);
    if (status == SG_OK && found)
        status = sg_told_find(store, sqlite3_column_int64(statement, 0), out, error);
    else if (status == SG_OK)
        status = code == SQLITE_DONE ? SG_NO : sg_store_trouble(store, code, error);
    sqlite3_finalize(statement);
    return status;
}

enum sg_status sg_column_number(struct sg_store *store, enum sg_kind kind, const char *column, int *out,
                                struct sg_error *error)
{
    sqlite3_stmt *statement;
    const char *table = sg_table_of(kind)->name;
    enum sg_status status = sg_store_prepare(
        store, &statement, error, "SELECT cid FROM pragma_table_info(%Q) WHERE name = %Q", table, column);
    if (status != SG_OK)
        return status;
    if (sqlite3_step(statement) == SQLITE_ROW)
        *out = sqlite3_column_int(statement, 0);
    else
        status = sg_fail(error, SG_NO_FILE, "%s: table %s has no column %s", store->path, table, column);
    sqlite3_finalize(statement);
    return status;
}

static enum sg_status columns_of(struct sg_store *store, const struct sg_field *field, uint64_t *columns,
                                 struct sg_error *error)
{
    enum sg_status status = SG_OK;
    for (int i = 0; i < field->count && status == SG_OK; i++) {
        int number = 0;
        char column[100];
        sg_column_name(field, i, column, sizeof column);
        status = sg_column_number(store, field->kind, column, &number, error);
        *columns |= sg_column_bit(number);
    }
    return status;
}

enum sg_status sg_store_last_set(struct sg_store *store, enum sg_kind kind, int64_t row,
                                 const struct sg_field *field, struct sg_step_told *out,
                                 struct sg_error *error)
{
    uint64_t columns = 0;
    enum sg_status status = columns_of(store, field, &columns, error);
    if (status == SG_OK)
        status = sg_history_last(store, kind, row, columns, out, error);
    if (status == SG_NO)
        return sg_fail(error, SG_NO, "%s: no step of the history set %s there", store->path, field->name);
    return status;
}

/* ---- the watch ---- */

bool sg_store_moved(struct sg_store *store)
{
    int64_t version = store->seen;
    if (!store->watch && sqlite3_prepare_v3(store->db, "PRAGMA data_version", -1, SQLITE_PREPARE_PERSISTENT,
                                            &store->watch, NULL) != SQLITE_OK)
        return false;
    sqlite3_busy_timeout(store->db, 0); /* someone is just writing: the next look will tell */
    if (sqlite3_step(store->watch) == SQLITE_ROW)
        version = sqlite3_column_int64(store->watch, 0);
    sqlite3_reset(store->watch);
    sqlite3_busy_timeout(store->db, store->wait_ms);
    bool moved = version != store->seen;
    store->seen = version;
    return moved;
}
