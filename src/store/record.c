/* Recording what a transaction changes, and writing it down as a row of the history. */
#include "store/history.h"

#include "sandglass/utf8.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- recording ---- */

enum sg_status sg_record_start(struct sg_store *store, struct sg_error *error)
{
    int code = sqlite3session_create(store->db, "main", &store->recording);
    for (int kind = 0; kind < SG_KINDS && code == SQLITE_OK; kind++)
        code = sqlite3session_attach(store->recording, sg_table_of((enum sg_kind)kind)->name);
    if (code == SQLITE_OK)
        return SG_OK;
    sg_record_stop(store);
    return sg_fail(error, SG_FAULT, "no memory to record what changes in %s", store->path);
}

void sg_record_stop(struct sg_store *store)
{
    if (store->recording)
        sqlite3session_delete(store->recording);
    store->recording = NULL;
}

enum sg_status sg_record_take(struct sg_store *store, struct sg_changes *out, struct sg_error *error)
{
    if (!store->recording)
        return sg_fail(error, SG_FAULT, "%s: a step is kept that was not begun", store->path);
    int code = sqlite3session_changeset(store->recording, &out->size, &out->bytes);
    return code == SQLITE_OK ? SG_OK : sg_store_trouble(store, code, error);
}

/* ---- rows that were touched ---- */

uint64_t sg_column_bit(int number)
{
    return UINT64_C(1) << (number < SG_LAST_COLUMN_BIT ? number : SG_LAST_COLUMN_BIT);
}

int sg_touch_compare(const void *a, const void *b)
{
    const struct sg_touch *x = a, *y = b;
    if (x->kind != y->kind)
        return x->kind < y->kind ? -1 : 1;
    return (x->row > y->row) - (x->row < y->row);
}

bool sg_touches_span(const struct sg_touches *touches, enum sg_kind kind, struct sg_span_touched *out)
{
    *out = (struct sg_span_touched){.first = INT64_MAX, .last = INT64_MIN};
    for (int i = 0; i < touches->n; i++) {
        const struct sg_touch *touch = &touches->at[i];
        if (touch->kind != kind)
            continue;
        out->first = touch->row < out->first ? touch->row : out->first;
        out->last = touch->row > out->last ? touch->row : out->last;
        out->columns |= touch->columns;
        out->came_or_went |= touch->op != SQLITE_UPDATE;
    }
    return out->first <= out->last;
}

/* ---- into the history ---- */

void sg_clean_copy(char *out, size_t size, const char *text)
{
    size_t left = strlen(text), used = 0;
    while (left > 0) {
        uint32_t code = '?';
        size_t length = sg_utf8_character(text, left, &code);
        bool shown = length > 0 && !sg_utf8_hidden(code);
        size_t room = shown ? length : 1;
        if (used + room >= size)
            break;
        if (shown)
            memcpy(out + used, text, length);
        else
            out[used] = length > 0 ? ' ' : '?';
        used += room;
        text += length > 0 ? length : 1;
        left -= length > 0 ? length : 1;
    }
    out[used] = '\0';
}

static enum sg_status finish(struct sg_store *store, sqlite3_stmt *statement, struct sg_error *error)
{
    int code = sqlite3_step(statement);
    sqlite3_reset(statement);
    return code == SQLITE_DONE ? SG_OK : sg_store_trouble(store, code, error);
}

static enum sg_status write_entry(struct sg_store *store, const struct sg_entry *entry, int64_t id,
                                  struct sg_error *error)
{
    static const char *const kinds[] = {"change", "undo", "redo"};
    char who[SG_WHO_SIZE], words[SG_WORDS_SIZE];
    sqlite3_stmt *statement;
    bool change = entry->kind == SG_STEP_CHANGE;
    sg_clean_copy(who, sizeof who, entry->who);
    sg_clean_copy(words, sizeof words, entry->words);
    if (!*who || !*words || !(entry->at >= 0))
        return sg_fail(error, SG_FAULT, "%s: a step of the history needs a person, a time and words",
                       store->path);
    enum sg_status status =
        sg_store_prepare(store, &statement, error,
                         "INSERT INTO step (id, kind, of_id, state_id, who, at, words, version) "
                         "SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, user_version FROM pragma_user_version");
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, 1, id);
    sqlite3_bind_text(statement, 2, kinds[entry->kind], -1, SQLITE_STATIC);
    if (change)
        sqlite3_bind_int64(statement, 4, id);
    else
        sqlite3_bind_int64(statement, 3, entry->of);
    sqlite3_bind_text(statement, 5, who, -1, SQLITE_STATIC);
    sqlite3_bind_double(statement, 6, entry->at);
    sqlite3_bind_text(statement, 7, words, -1, SQLITE_STATIC);
    status = finish(store, statement, error);
    sqlite3_finalize(statement);
    return status;
}

/* In pieces, because no value of a shop file is longer than the limit that is set for strangers' files. */
static enum sg_status write_changes(struct sg_store *store, int64_t id, const struct sg_changes *changes,
                                    struct sg_error *error)
{
    enum { PIECE = 500000 };
    sqlite3_stmt *statement;
    enum sg_status status =
        sg_store_prepare(store, &statement, error, "INSERT INTO step_changes (step_id, bytes) VALUES (?, ?)");
    for (int at = 0; at < changes->size && status == SG_OK; at += PIECE) {
        int size = changes->size - at < PIECE ? changes->size - at : PIECE;
        sqlite3_bind_int64(statement, 1, id);
        sqlite3_bind_blob(statement, 2, (const char *)changes->bytes + at, size, SQLITE_STATIC);
        status = finish(store, statement, error);
    }
    sqlite3_finalize(statement);
    return status;
}

static enum sg_status write_touch(struct sg_store *store, int64_t id, enum sg_kind kind,
                                  const struct sg_span_touched *span, struct sg_error *error)
{
    char sql[400];
    const char *table = sg_table_of(kind)->name;
    sqlite3_snprintf(sizeof sql, sql, "INSERT INTO step_touch VALUES ('%s', %lld, %lld, %lld, %lld)", table,
                     (long long)id, (long long)span->first, (long long)span->last, (long long)span->columns);
    enum sg_status status = sg_store_run(store, sql, error);
    if (status != SG_OK || !span->came_or_went)
        return status;
    sqlite3_snprintf(sizeof sql, sql,
                     "INSERT INTO used_row VALUES ('%s', %lld) ON CONFLICT (kind) DO UPDATE SET id = "
                     "max(id, excluded.id)",
                     table, (long long)span->last);
    return sg_store_run(store, sql, error);
}

enum sg_status sg_record_write(struct sg_store *store, const struct sg_entry *entry,
                               const struct sg_changes *changes, int64_t *id, struct sg_error *error)
{
    struct sg_touches touches = {0};
    struct sg_span_touched span;
    enum sg_status status = sg_store_ask(store, "SELECT 1 + ifnull(max(id), 0) FROM step", id, error);
    if (status == SG_OK)
        status = write_entry(store, entry, *id, error);
    if (status == SG_OK)
        status = write_changes(store, *id, changes, error);
    if (status == SG_OK)
        status = sg_touches_of(store, changes, &touches, error);
    for (int kind = 0; kind < SG_KINDS && status == SG_OK; kind++)
        if (sg_touches_span(&touches, (enum sg_kind)kind, &span))
            status = write_touch(store, *id, (enum sg_kind)kind, &span, error);
    free(touches.at);
    return status;
}

enum sg_status sg_record_commit(struct sg_store *store, int64_t id, struct sg_error *error)
{
    enum sg_status status = sg_store_commit(store, error);
    if (status == SG_OK && id > 0)
        store->kept = id;
    return status;
}

enum sg_status sg_store_keep(struct sg_store *store, const struct sg_step_note *note, struct sg_error *error)
{
    struct sg_changes changes = {0};
    struct sg_entry entry = {.kind = SG_STEP_CHANGE, .who = note->who, .at = note->at, .words = note->words};
    int64_t id = 0;
    enum sg_status status = sg_record_take(store, &changes, error);
    if (status == SG_OK && changes.size > 0)
        status = sg_record_write(store, &entry, &changes, &id, error);
    sqlite3_free(changes.bytes);
    if (status == SG_OK)
        return sg_record_commit(store, id, error);
    sg_store_rollback(store);
    return status;
}

int64_t sg_store_kept(const struct sg_store *store)
{
    return store->kept;
}
