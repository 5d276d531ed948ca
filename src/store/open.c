/* Opening and closing a shop file, transactions, and the sentences for what SQLite reports. */
#include "store/inside.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Extended codes stand before the primary code that they belong to: the first that fits is taken. */
static const struct {
    int code;
    enum sg_status status;
    const char *text;
} troubles[] = {
    {SQLITE_READONLY_DBMOVED, SG_NO_WRITE,
     "was moved, deleted or replaced after it was opened; nothing was written"},
    {SQLITE_READONLY_ROLLBACK, SG_NO_FILE,
     "was left in the middle of a change; it comes right when someone who may write it opens it"},
    {SQLITE_BUSY, SG_BUSY,
     "is in use by another process that did not let go of it in time; nothing was changed"},
    {SQLITE_LOCKED, SG_BUSY, "is in use; nothing was changed"},
    {SQLITE_CORRUPT, SG_NO_FILE,
     "is damaged; take the last backup, or see what `sandglass check` can tell of it"},
    {SQLITE_NOTADB, SG_NO_FILE, "is not a sandglass shop file"},
    {SQLITE_READONLY, SG_NO_WRITE, "may be read but not written"},
    {SQLITE_FULL, SG_NO_WRITE, "cannot be written: the disk is full; nothing was changed"},
    {SQLITE_CANTOPEN, SG_NO_WRITE, "cannot be opened for writing: its folder must be writable too"},
    {SQLITE_IOERR, SG_NO_WRITE, "could not be read or written"},
    {SQLITE_CONSTRAINT, SG_BAD_DATA, "cannot hold this"},
    {SQLITE_TOOBIG, SG_BAD_DATA, "holds a value that is far too long"},
    {SQLITE_NOMEM, SG_FAULT, "needs more memory than there is"},
    {SQLITE_ERROR, SG_NO_FILE, "is not laid out as a sandglass shop file"},
};

enum sg_status sg_store_trouble(const struct sg_store *store, int code, struct sg_error *error)
{
    const char *why = store->db ? sqlite3_errmsg(store->db) : sqlite3_errstr(code);
    for (size_t i = 0; i < sizeof troubles / sizeof *troubles; i++)
        if (troubles[i].code == code || troubles[i].code == (code & 0xFF))
            return sg_fail(error, troubles[i].status, "%s %s (%s)", store->path, troubles[i].text, why);
    return sg_fail(error, SG_FAULT, "%s: %s (code %d)", store->path, why, code);
}

enum sg_status sg_store_run(struct sg_store *store, const char *sql, struct sg_error *error)
{
    int code = sqlite3_exec(store->db, sql, NULL, NULL, NULL);
    return code == SQLITE_OK ? SG_OK : sg_store_trouble(store, code, error);
}

enum sg_status sg_store_ask(struct sg_store *store, const char *sql, int64_t *out, struct sg_error *error)
{
    sqlite3_stmt *statement;
    int code = sqlite3_prepare_v2(store->db, sql, -1, &statement, NULL);
    if (code == SQLITE_OK)
        code = sqlite3_step(statement);
    enum sg_status status = SG_OK;
    if (code == SQLITE_ROW)
        *out = sqlite3_column_int64(statement, 0);
    else
        status = sg_store_trouble(store, code, error);
    sqlite3_finalize(statement);
    return status;
}

struct sg_store *sg_store_fresh(const char *path, enum sg_store_mode mode, int wait_ms)
{
    struct sg_store *store = calloc(1, sizeof *store);
    if (!store)
        return NULL;
    store->mode = mode;
    store->wait_ms = wait_ms;
    store->path = malloc(strlen(path) + 1);
    if (!store->path) {
        free(store);
        return NULL;
    }
    strcpy(store->path, path);
    return store;
}

/* A shop file may come from a stranger: nothing in it may act, only hold data. */
enum sg_status sg_store_settle(struct sg_store *store, struct sg_error *error)
{
    static const struct {
        int option, value;
    } options[] = {
        {SQLITE_DBCONFIG_DQS_DML, 0},     {SQLITE_DBCONFIG_DQS_DDL, 0},
        {SQLITE_DBCONFIG_DEFENSIVE, 1},   {SQLITE_DBCONFIG_ENABLE_TRIGGER, 0},
        {SQLITE_DBCONFIG_ENABLE_VIEW, 0}, {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
    };
    for (size_t i = 0; i < sizeof options / sizeof *options; i++)
        sqlite3_db_config(store->db, options[i].option, options[i].value, NULL);
    sqlite3_limit(store->db, SQLITE_LIMIT_LENGTH, 1000000);
    sqlite3_busy_timeout(store->db, store->wait_ms);
    return sg_store_run(store,
                        store->mode == SG_STORE_READ
                            ? "PRAGMA foreign_keys = ON; PRAGMA cell_size_check = ON; PRAGMA query_only = ON"
                            : "PRAGMA foreign_keys = ON; PRAGMA cell_size_check = ON;"
                              "PRAGMA journal_mode = DELETE; PRAGMA synchronous = FULL",
                        error);
}

/* Only stat and access: reading the file behind SQLite's back would, when closed, let go of every lock that
 * this process holds on it. */
static enum sg_status look(const char *path, struct sg_error *error)
{
    struct stat found;
    if (stat(path, &found) != 0)
        return sg_fail(error, SG_NO_FILE, "%s: %s", path, strerror(errno));
    if (S_ISDIR(found.st_mode))
        return sg_fail(error, SG_NO_FILE, "%s is a folder, not a sandglass shop file", path);
    if (!S_ISREG(found.st_mode))
        return sg_fail(error, SG_NO_FILE, "%s is not a file but a device or a pipe", path);
    if (access(path, R_OK) != 0)
        return sg_fail(error, SG_NO_FILE, "%s may not be read: %s", path, strerror(errno));
    if (found.st_size == 0)
        return sg_fail(error, SG_NO_FILE, "%s is empty, not a sandglass shop file", path);
    return SG_OK;
}

/* Open for writing even to read: a reader must be able to roll back what a killed writer left. A path is
 * never taken for a URI or for a name with a meaning of its own, such as ":memory:". */
static enum sg_status connect(struct sg_store *store, struct sg_error *error)
{
    char *name = sqlite3_mprintf("%s%s", store->path[0] == '/' ? "" : "./", store->path);
    if (!name)
        return sg_fail(error, SG_FAULT, "no memory to open %s", store->path);
    int code = sqlite3_open_v2(name, &store->db,
                               SQLITE_OPEN_READWRITE | SQLITE_OPEN_EXRESCODE | SQLITE_OPEN_NOMUTEX, NULL);
    sqlite3_free(name);
    if (code != SQLITE_OK)
        return sg_store_trouble(store, code, error);
    enum sg_status status = sg_store_settle(store, error);
    if (status == SG_OK && store->mode == SG_STORE_WRITE && sqlite3_db_readonly(store->db, "main") == 1)
        return sg_fail(error, SG_NO_WRITE, "%s may be read but not written", store->path);
    return status;
}

/* SQLite takes the rest of a page that was cut off for zeros. */
static enum sg_status check_size(struct sg_store *store, struct sg_error *error)
{
    struct stat found;
    int64_t page = 1;
    enum sg_status status = sg_store_ask(store, "PRAGMA page_size", &page, error);
    if (status == SG_OK && stat(store->path, &found) == 0 && found.st_size % page != 0)
        return sg_fail(error, SG_NO_FILE, "%s is damaged: its end is cut off", store->path);
    return status;
}

static enum sg_status identify(struct sg_store *store, int n_steps, int64_t *version, struct sg_error *error)
{
    int64_t application = 0;
    enum sg_status status = sg_store_ask(store, "PRAGMA application_id", &application, error);
    if (status == SG_OK)
        status = sg_store_ask(store, "PRAGMA user_version", version, error);
    if (status != SG_OK)
        return status;
    if (application != SG_APPLICATION_ID || *version < 1)
        return sg_fail(error, SG_NO_FILE, "%s is a database, but not a sandglass shop file", store->path);
    if (*version > n_steps)
        return sg_fail(error, SG_NEWER,
                       "%s has version %lld, this program knows up to version %d: it was made by a newer "
                       "sandglass; nothing was changed",
                       store->path, (long long)*version, n_steps);
    return check_size(store, error);
}

static enum sg_status bring_up(struct sg_store *store, const struct sg_opening *how, int64_t version,
                               struct sg_error *error)
{
    if (version == how->n_steps)
        return SG_OK;
    if (store->mode == SG_STORE_WRITE)
        return sg_store_upgrade(store, how->steps, how->n_steps, error);
    return sg_fail(
        error, SG_NO_WRITE,
        "%s has version %lld, this program reads version %d: any command that changes the file, or "
        "the screens, bring it up and keep a copy of it as it is",
        store->path, (long long)version, how->n_steps);
}

enum sg_status sg_store_open_as(const char *path, enum sg_store_mode mode, const struct sg_opening *how,
                                struct sg_store **out, struct sg_error *error)
{
    enum sg_status status = look(path, error);
    if (status != SG_OK)
        return status;
    struct sg_store *store = sg_store_fresh(path, mode, how->wait_ms);
    if (!store)
        return sg_fail(error, SG_FAULT, "no memory to open %s", path);
    int64_t version = 0;
    status = connect(store, error);
    if (status == SG_OK)
        status = identify(store, how->n_steps, &version, error);
    if (status == SG_OK)
        status = bring_up(store, how, version, error);
    if (status != SG_OK) {
        sg_store_close(store);
        return status;
    }
    sg_store_moved(store); /* what comes from now on is news */
    *out = store;
    return SG_OK;
}

enum sg_status sg_store_open(const char *path, enum sg_store_mode mode, struct sg_store **out,
                             struct sg_error *error)
{
    struct sg_opening how = {sg_schema_steps, sg_schema_n_steps, SG_STORE_WAIT_MS};
    return sg_store_open_as(path, mode, &how, out, error);
}

void sg_store_close(struct sg_store *store)
{
    if (!store)
        return;
    for (int kind = 0; kind < SG_KINDS; kind++) {
        sqlite3_finalize(store->insert[kind]);
        sqlite3_finalize(store->update[kind].statement);
    }
    sqlite3_finalize(store->order);
    sqlite3_finalize(store->watch);
    sg_record_stop(store);
    sg_store_drop_drawn(store);
    sqlite3_close(store->db);
    free(store->path);
    free(store);
}

enum sg_status sg_store_begin(struct sg_store *store, struct sg_error *error)
{
    if (store->mode == SG_STORE_READ)
        return sg_fail(error, SG_FAULT, "%s was opened for reading only", store->path);
    enum sg_status status = sg_store_run(store, "BEGIN IMMEDIATE", error);
    if (status != SG_OK)
        return status;
    memset(store->next_row, 0, sizeof store->next_row);
    status = sg_record_start(store, error);
    if (status != SG_OK)
        sg_store_rollback(store);
    return status;
}

enum sg_status sg_store_commit(struct sg_store *store, struct sg_error *error)
{
    sg_record_stop(store);
    enum sg_status status = sg_store_run(store, "COMMIT", error);
    if (status != SG_OK)
        sg_store_rollback(store);
    return status;
}

void sg_store_rollback(struct sg_store *store)
{
    sg_record_stop(store);
    if (!sqlite3_get_autocommit(store->db))
        sqlite3_exec(store->db, "ROLLBACK", NULL, NULL, NULL);
}
