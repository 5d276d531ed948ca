/* Removing rows, and what holds on to what. */
#include "store/history.h"

#include <string.h>

const struct sg_link sg_links[] = {
    {SG_KIND_JOB, "shift_id", SG_KIND_SHIFT},         {SG_KIND_STOCK, "job_id", SG_KIND_JOB},
    {SG_KIND_STOCK, "material_id", SG_KIND_MATERIAL}, {SG_KIND_STOCK, "head_id", SG_KIND_HEAD},
    {SG_KIND_PART, "stock_id", SG_KIND_STOCK},        {SG_KIND_MACHINE, "head_fitted_id", SG_KIND_HEAD},
};
const int sg_n_links = sizeof sg_links / sizeof *sg_links;

void sg_row_name(struct sg_store *store, enum sg_kind kind, int64_t row, char *out, size_t size)
{
    static const char stock[] = "SELECT job.key || '/' || number FROM stock JOIN job ON job.id = job_id "
                                "WHERE stock.id = ?",
                      part[] = "SELECT job.key || '/' || number || '/' || part.key FROM part JOIN stock ON "
                               "stock.id = stock_id JOIN job ON job.id = job_id WHERE part.id = ?";
    sqlite3_stmt *statement = NULL;
    const struct sg_table *table = sg_table_of(kind);
    enum sg_status status = kind == SG_KIND_STOCK ? sg_store_prepare(store, &statement, NULL, "%s", stock)
                            : kind == SG_KIND_PART
                                ? sg_store_prepare(store, &statement, NULL, "%s", part)
                                : sg_store_prepare(store, &statement, NULL, "SELECT %s FROM %s WHERE id = ?",
                                                   table->key, table->name);
    const char *key = NULL;
    char clean[120];
    if (status == SG_OK && sqlite3_bind_int64(statement, 1, row) == SQLITE_OK &&
        sqlite3_step(statement) == SQLITE_ROW)
        key = (const char *)sqlite3_column_text(statement, 0);
    sg_clean_copy(clean, sizeof clean, key ? key : "?");
    sqlite3_snprintf((int)size, out, "%s %s", sg_kind_word(kind), clean);
    sqlite3_finalize(statement);
}

/* What belongs to a row goes with it; what only points to it keeps it. */
static bool goes_along(const struct sg_link *link)
{
    const char *parent = sg_table_of(link->child)->parent;
    return parent && strcmp(parent, link->column) == 0;
}

static enum sg_status check_unused(struct sg_store *store, const struct sg_link *link, int64_t row,
                                   struct sg_error *error)
{
    sqlite3_stmt *statement;
    char name[160], user[160], others[40] = "";
    enum sg_status status = sg_store_prepare(
        store, &statement, error, "SELECT min(id), count(*) FROM %s WHERE %s = ? HAVING count(*) > 0",
        sg_table_of(link->child)->name, link->column);
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, 1, row);
    int code = sqlite3_step(statement);
    int64_t first = sqlite3_column_int64(statement, 0), count = sqlite3_column_int64(statement, 1);
    sqlite3_finalize(statement);
    if (code != SQLITE_ROW)
        return code == SQLITE_DONE ? SG_OK : sg_store_trouble(store, code, error);
    sg_row_name(store, link->parent, row, name, sizeof name);
    sg_row_name(store, link->child, first, user, sizeof user);
    if (count > 1)
        sqlite3_snprintf(sizeof others, others, " and %lld more", (long long)count - 1);
    return sg_fail(error, SG_BAD_DATA,
                   "%s: %s cannot be removed while %s%s %s it; change or remove that first", store->path,
                   name, user, others, count > 1 ? "use" : "uses");
}

static enum sg_status check_removable(struct sg_store *store, enum sg_kind kind, int64_t row,
                                      struct sg_error *error)
{
    enum sg_status status = SG_OK;
    if (kind == SG_KIND_MACHINE)
        return sg_fail(error, SG_BAD_DATA, "%s: the machine cannot be removed; set its fields instead",
                       store->path);
    if (kind == SG_KIND_RATES)
        return sg_fail(error, SG_BAD_DATA, "%s: the rates cannot be removed; set them to none instead",
                       store->path);
    for (int i = 0; i < sg_n_links && status == SG_OK; i++)
        if (sg_links[i].parent == kind && !goes_along(&sg_links[i]))
            status = check_unused(store, &sg_links[i], row, error);
    return status;
}

/* The ids of rows that go must not come again in this transaction: they are noted before. */
static enum sg_status note_ids(struct sg_store *store, struct sg_error *error)
{
    int64_t row;
    enum sg_status status = SG_OK;
    for (int kind = 0; kind < SG_KINDS && status == SG_OK; kind++)
        status = sg_store_next_row(store, (enum sg_kind)kind, &row, error);
    return status;
}

static enum sg_status remove_row(struct sg_store *store, sqlite3_stmt *statement, enum sg_kind kind,
                                 int64_t row, struct sg_error *error)
{
    enum sg_status status = check_removable(store, kind, row, error);
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(statement, 1, row);
    int code = sqlite3_step(statement);
    sqlite3_reset(statement);
    if (code != SQLITE_DONE)
        return sg_store_trouble(store, code, error);
    if (sqlite3_changes(store->db) == 0)
        return sg_fail(error, SG_BAD_DATA, "%s: the %s is no longer there", store->path, sg_kind_word(kind));
    return SG_OK;
}

enum sg_status sg_store_remove_rows(struct sg_store *store, enum sg_kind kind, const int64_t *rows, int n,
                                    struct sg_error *error)
{
    sqlite3_stmt *statement = NULL;
    enum sg_status status = note_ids(store, error);
    if (status == SG_OK)
        status = sg_store_prepare(store, &statement, error, "DELETE FROM %s WHERE id = ?",
                                  sg_table_of(kind)->name);
    for (int i = 0; i < n && status == SG_OK; i++)
        status = remove_row(store, statement, kind, rows[i], error);
    sqlite3_finalize(statement);
    return status == SG_OK && kind == SG_KIND_JOB ? sg_places_settle(store, NULL, 0, error) : status;
}

enum sg_status sg_store_remove(struct sg_store *store, enum sg_kind kind, int64_t row, struct sg_error *error)
{
    return sg_store_remove_rows(store, kind, &row, 1, error);
}
