/* Changes inverted, by SQLite, which compares each value with the one that should be there. */
#include "store/undo.h"

#include <string.h>

struct applying {
    struct sg_undo *undo;
    struct sg_touch clash; /* what SQLite found in the way; op 0: nothing */
    sqlite3_value *clash_key, *clash_parent;
    int key[SG_KINDS], parent[SG_KINDS]; /* numbers of these columns */
};

static bool same_value(sqlite3_value *a, sqlite3_value *b)
{
    int type = sqlite3_value_type(a);
    if (type != sqlite3_value_type(b))
        return false;
    if (type == SQLITE_INTEGER)
        return sqlite3_value_int64(a) == sqlite3_value_int64(b);
    if (type == SQLITE_FLOAT)
        return sqlite3_value_double(a) == sqlite3_value_double(b);
    int size = sqlite3_value_bytes(a);
    return type == SQLITE_NULL || (size == sqlite3_value_bytes(b) &&
                                   memcmp(sqlite3_value_blob(a), sqlite3_value_blob(b), (size_t)size) == 0);
}

/* The columns that hold another value than the change expects. */
static uint64_t differing(sqlite3_changeset_iter *at)
{
    const char *table;
    int n_columns = 0, op, indirect;
    uint64_t columns = 0;
    sqlite3changeset_op(at, &table, &n_columns, &op, &indirect);
    for (int i = 0; i < n_columns; i++) {
        sqlite3_value *expected = NULL, *found = NULL;
        sqlite3changeset_old(at, i, &expected);
        sqlite3changeset_conflict(at, i, &found);
        if (expected && found && !same_value(expected, found))
            columns |= sg_column_bit(i);
    }
    return columns;
}

/* The key that a row would have that comes back, for the row that has it now. */
static void keep_key(struct applying *applying, sqlite3_changeset_iter *at)
{
    enum sg_kind kind = applying->clash.kind;
    sqlite3_value *key = NULL, *parent = NULL;
    if (applying->key[kind] <= 0 || sqlite3changeset_new(at, applying->key[kind], &key) != SQLITE_OK)
        return;
    if (applying->parent[kind] > 0)
        sqlite3changeset_new(at, applying->parent[kind], &parent);
    applying->clash_key = key ? sqlite3_value_dup(key) : NULL;
    applying->clash_parent = parent ? sqlite3_value_dup(parent) : NULL;
}

/* The change that SQLite stands on. */
static int read_touch(sqlite3_changeset_iter *at, struct sg_touch *out)
{
    const char *table;
    int n_columns, indirect;
    sqlite3_value *value = NULL;
    int code = sqlite3changeset_op(at, &table, &n_columns, &out->op, &indirect);
    if (code == SQLITE_OK && !sg_table_find(table, &out->kind))
        code = SQLITE_CORRUPT;
    if (code == SQLITE_OK)
        code = out->op == SQLITE_INSERT ? sqlite3changeset_new(at, 0, &value)
                                        : sqlite3changeset_old(at, 0, &value);
    if (code != SQLITE_OK)
        return code;
    if (!value || sqlite3_value_type(value) != SQLITE_INTEGER)
        return SQLITE_CORRUPT;
    out->row = sqlite3_value_int64(value);
    out->columns = out->op == SQLITE_UPDATE ? 0 : SG_ALL_COLUMNS;
    for (int i = 1; i < n_columns && out->op == SQLITE_UPDATE; i++) {
        if ((code = sqlite3changeset_new(at, i, &value)) != SQLITE_OK)
            return code;
        out->columns |= value ? sg_column_bit(i) : 0;
    }
    return SQLITE_OK;
}

static int on_conflict(void *context, int why, sqlite3_changeset_iter *at)
{
    struct applying *applying = context;
    const struct sg_undo *undo = applying->undo;
    struct sg_touch touch;
    if (read_touch(at, &touch) != SQLITE_OK)
        return SQLITE_CHANGESET_ABORT;
    bool other_values = why == SQLITE_CHANGESET_DATA;
    uint64_t columns = other_values ? differing(at) : touch.columns;
    if ((other_values || why == SQLITE_CHANGESET_NOTFOUND) && sg_undo_firm(undo, touch.kind, columns) == 0)
        return other_values && sg_undo_firm(undo, touch.kind, touch.columns) != 0 ? SQLITE_CHANGESET_REPLACE
                                                                                  : SQLITE_CHANGESET_OMIT;
    applying->clash = touch;
    applying->clash.columns = columns;
    if (why == SQLITE_CHANGESET_CONSTRAINT && touch.op == SQLITE_INSERT)
        keep_key(applying, at);
    return SQLITE_CHANGESET_ABORT;
}

/* A changeset may come from a stranger: it reaches the shop's tables only. */
static int is_ours(void *context, const char *table)
{
    enum sg_kind kind;
    (void)context;
    return sg_table_find(table, &kind);
}

static enum sg_status number_columns(struct applying *applying)
{
    struct sg_undo *undo = applying->undo;
    enum sg_status status = SG_OK;
    for (int i = 0; i < SG_KINDS && status == SG_OK; i++) {
        enum sg_kind kind = (enum sg_kind)i;
        const struct sg_table *table = sg_table_of(kind);
        struct sg_span_touched span;
        if (!sg_touches_span(&undo->touches, kind, &span) || !span.came_or_went)
            continue;
        status = sg_column_number(undo->store, kind, table->key, &applying->key[kind], undo->error);
        if (status == SG_OK && table->parent)
            status = sg_column_number(undo->store, kind, table->parent, &applying->parent[kind], undo->error);
    }
    return status;
}

/* Another row has the key. */
static enum sg_status blame_key(const struct applying *applying)
{
    struct sg_undo *undo = applying->undo;
    const struct sg_table *table = sg_table_of(applying->clash.kind);
    sqlite3_stmt *statement;
    int64_t row = applying->clash.row;
    enum sg_status status =
        sg_store_prepare(undo->store, &statement, undo->error,
                         "SELECT id FROM %s WHERE \"%s\" = ?1 AND (?2 IS NULL OR %s = ?2)", table->name,
                         table->key, table->parent ? table->parent : "NULL");
    if (status != SG_OK)
        return status;
    sqlite3_bind_value(statement, 1, applying->clash_key);
    if (applying->clash_parent)
        sqlite3_bind_value(statement, 2, applying->clash_parent);
    if (sqlite3_step(statement) == SQLITE_ROW)
        row = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    return sg_undo_blame(undo, applying->clash.kind, row, SG_ALL_COLUMNS);
}

static enum sg_status invert(struct applying *applying)
{
    struct sg_undo *undo = applying->undo;
    int code = sqlite3changeset_apply_v2(undo->store->db, undo->changes.size, undo->changes.bytes, is_ours,
                                         on_conflict, applying, NULL, NULL, SQLITE_CHANGESETAPPLY_INVERT);
    if (code == SQLITE_OK)
        return SG_OK;
    if (code != SQLITE_ABORT || applying->clash.op == 0)
        return sg_store_trouble(undo->store, code, undo->error);
    if (applying->clash_key)
        return blame_key(applying);
    return sg_undo_blame(undo, applying->clash.kind, applying->clash.row, applying->clash.columns);
}

enum sg_status sg_undo_apply(struct sg_undo *undo)
{
    struct applying applying = {.undo = undo};
    enum sg_status status = number_columns(&applying);
    if (status == SG_OK && undo->changes.size > 0)
        status = invert(&applying);
    sqlite3_value_free(applying.clash_key);
    sqlite3_value_free(applying.clash_parent);
    return status;
}
