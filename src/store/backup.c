/* A checked copy of a shop file. */
#include "store/inside.h"

#include <string.h>

static enum sg_status read_check(sqlite3_stmt *statement, const char *path, struct sg_error *error)
{
    int code = sqlite3_step(statement);
    const char *found = code == SQLITE_ROW ? (const char *)sqlite3_column_text(statement, 0) : NULL;
    if (found && strcmp(found, "ok") == 0)
        return SG_OK;
    return sg_fail(error, SG_NO_FILE, "%s was not made: the copy is damaged, and so may be the file (%s)",
                   path, found ? found : sqlite3_errstr(code));
}

/* Read back what was written, through SQLite. */
static enum sg_status check_copy(const struct sg_beside *file, struct sg_error *error)
{
    sqlite3 *db = NULL;
    sqlite3_stmt *statement = NULL;
    char *name = sqlite3_mprintf("%s%s", file->temporary[0] == '/' ? "" : "./", file->temporary);
    int code = name ? sqlite3_open_v2(name, &db, SQLITE_OPEN_READONLY, NULL) : SQLITE_NOMEM;
    if (code == SQLITE_OK)
        code = sqlite3_prepare_v2(db, "PRAGMA quick_check(1)", -1, &statement, NULL);
    enum sg_status status = code == SQLITE_OK ? read_check(statement, file->path, error)
                                              : sg_fail(error, SG_NO_FILE, "%s was not made: %s", file->path,
                                                        sqlite3_errstr(code));
    sqlite3_finalize(statement);
    sqlite3_close(db);
    sqlite3_free(name);
    return status;
}

enum sg_status sg_store_backup(struct sg_store *store, const char *path, struct sg_error *error)
{
    sqlite3_int64 size;
    unsigned char *bytes = sqlite3_serialize(store->db, "main", &size, 0);
    if (!bytes) /* a page could not be read, or the file was locked, or memory is out */
        return sg_store_trouble(store, sqlite3_extended_errcode(store->db), error);
    struct sg_beside file;
    enum sg_status status = sg_beside_write(&file, path, bytes, (size_t)size, error);
    sqlite3_free(bytes);
    if (status == SG_OK)
        status = check_copy(&file, error);
    if (status == SG_OK)
        return sg_beside_publish(&file, error);
    sg_beside_drop(&file);
    return status;
}
