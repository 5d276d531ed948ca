/* Bringing a shop file up to this version: a copy beside it, then step after step, each whole or not at all.
 */
#include "store/inside.h"

#include <unistd.h>

static enum sg_status check_numbers(const struct sg_step *steps, int n_steps, struct sg_error *error)
{
    for (int i = 0; i < n_steps; i++)
        if (steps[i].number != i + 1)
            return sg_fail(error, SG_FAULT, "step %s of the shop file stands where number %d should",
                           steps[i].name, i + 1);
    return SG_OK;
}

static enum sg_status check_foreign_keys(struct sg_store *store, struct sg_error *error)
{
    int64_t broken = 0;
    enum sg_status status =
        sg_store_ask(store, "SELECT count(*) FROM pragma_foreign_key_check", &broken, error);
    if (status == SG_OK && broken > 0)
        return sg_fail(error, SG_BAD_DATA, "%s: %lld rows point to rows that are not there", store->path,
                       (long long)broken);
    return status;
}

/* A column that a step adds is not in the rows that are there: SQLite puts its default in when it reads them,
 * but what it records of such a row for the history has NULL there, and an undo would meet another row. So
 * each row is written anew, with all of its columns. */
static enum sg_status write_rows_anew(struct sg_store *store, struct sg_error *error)
{
    char sql[120];
    enum sg_status status = SG_OK;
    for (int kind = 0; kind < SG_KINDS && status == SG_OK; kind++) {
        const struct sg_table *table = sg_table_of((enum sg_kind)kind);
        int64_t there = 0; /* not before the step that makes it */
        sqlite3_snprintf(sizeof sql, sql, "SELECT count(*) FROM sqlite_schema WHERE name = '%s'",
                         table->name);
        status = sg_store_ask(store, sql, &there, error);
        if (status != SG_OK || there == 0)
            continue;
        sqlite3_snprintf(sizeof sql, sql, "UPDATE %s SET \"%s\" = \"%s\"", table->name, table->key,
                         table->key);
        status = sg_store_run(store, sql, error);
    }
    return status;
}

/* The body of a transaction that has been begun. */
static enum sg_status apply(struct sg_store *store, const struct sg_step *step, bool last,
                            struct sg_error *error)
{
    int code = sqlite3_exec(store->db, (const char *)step->sql, NULL, NULL, NULL);
    if (code == SQLITE_ERROR) /* the step is wrong, not the file */
        return sg_fail(error, SG_FAULT, "%s: %s", store->path, sqlite3_errmsg(store->db));
    enum sg_status status = code == SQLITE_OK ? SG_OK : sg_store_trouble(store, code, error);
    if (status == SG_OK && sqlite3_get_autocommit(store->db))
        return sg_fail(error, SG_FAULT, "%s: the step ends its own transaction", store->path);
    if (status == SG_OK && last)
        status = write_rows_anew(store, error);
    if (status == SG_OK)
        status = check_foreign_keys(store, error);
    if (status != SG_OK)
        return status;
    char pragma[60];
    sqlite3_snprintf(sizeof pragma, pragma, "PRAGMA user_version = %d; COMMIT", step->number);
    return sg_store_run(store, pragma, error);
}

/* Another process may have taken the step since the version was read: it is read again under the lock. */
static enum sg_status take_step(struct sg_store *store, const struct sg_step *step, bool last,
                                struct sg_error *error)
{
    int64_t version = 0;
    enum sg_status status = sg_store_run(store, "BEGIN IMMEDIATE", error);
    if (status != SG_OK)
        return status;
    struct sg_error why = {0};
    status = sg_store_ask(store, "PRAGMA user_version", &version, error);
    if (status == SG_OK && version < step->number)
        status = apply(store, step, last, &why);
    sg_store_rollback(store);
    if (why.status == SG_OK)
        return status;
    return sg_fail(error, status, "step %s failed, the file stays at version %lld: %s", step->name,
                   (long long)version, why.text);
}

enum sg_status sg_steps_run(struct sg_store *store, const struct sg_step *steps, int n_steps,
                            struct sg_error *error)
{
    enum sg_status status = check_numbers(steps, n_steps, error);
    /* A step that rebuilds a table must not cascade; what it leaves is checked before it is committed. The
     * setting does not change inside a transaction. */
    if (status == SG_OK)
        status = sg_store_run(store, "PRAGMA foreign_keys = OFF", error);
    for (int i = 0; i < n_steps && status == SG_OK; i++)
        status = take_step(store, &steps[i], i + 1 == n_steps, error);
    if (status == SG_OK)
        status = sg_store_run(store, "PRAGMA foreign_keys = ON", error);
    return status;
}

/* A free name: PATH.v1.backup, or with .2, .3, ... behind it where an earlier try left one. */
static char *backup_path(const struct sg_store *store, int64_t version)
{
    char *path = sqlite3_mprintf("%s.v%lld.backup", store->path, (long long)version);
    for (int i = 2; path && access(path, F_OK) == 0; i++) {
        sqlite3_free(path);
        path = sqlite3_mprintf("%s.v%lld.backup.%d", store->path, (long long)version, i);
    }
    return path;
}

static enum sg_status back_up(struct sg_store *store, int n_steps, struct sg_error *error)
{
    int64_t version = 0;
    enum sg_status status = sg_store_ask(store, "PRAGMA user_version", &version, error);
    if (status != SG_OK || version >= n_steps)
        return status;
    bool again = true; /* another process may take the free name first */
    while (again) {
        char *path = backup_path(store, version);
        if (!path)
            return sg_fail(error, SG_FAULT, "no memory to back up %s", store->path);
        status = sg_store_backup(store, path, error);
        again = status == SG_NO_WRITE && access(path, F_OK) == 0;
        sqlite3_free(path);
    }
    return status;
}

enum sg_status sg_store_upgrade(struct sg_store *store, const struct sg_step *steps, int n_steps,
                                struct sg_error *error)
{
    enum sg_status status = check_numbers(steps, n_steps, error);
    /* One transaction, so that the copy is of the version that names it. */
    if (status == SG_OK)
        status = sg_store_run(store, "BEGIN", error);
    if (status == SG_OK)
        status = back_up(store, n_steps, error);
    sg_store_rollback(store);
    return status == SG_OK ? sg_steps_run(store, steps, n_steps, error) : status;
}
