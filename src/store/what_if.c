/* What-ifs: named lists of edits. They are no part of the plan, so no step of its history either. */
#include "store/inside.h"

#include <string.h>

static enum sg_status prepare(struct sg_store *store, const char *sql, sqlite3_stmt **out,
                              struct sg_error *error)
{
    int code = sqlite3_prepare_v2(store->db, sql, -1, out, NULL);
    return code == SQLITE_OK ? SG_OK : sg_store_trouble(store, code, error);
}

/* Run a statement that is bound, alone in its transaction, and free it. *changed (may be NULL) is how many
 * rows it took. */
static enum sg_status run_once(struct sg_store *store, sqlite3_stmt *statement, int *changed,
                               struct sg_error *error)
{
    int code = sqlite3_step(statement);
    enum sg_status status = code == SQLITE_DONE ? SG_OK : sg_store_trouble(store, code, error);
    sqlite3_finalize(statement);
    if (changed)
        *changed = sqlite3_changes(store->db);
    return status;
}

enum sg_status sg_store_what_if_put(struct sg_store *store, const struct sg_what_if *what_if,
                                    struct sg_error *error)
{
    sqlite3_stmt *statement;
    enum sg_status status =
        prepare(store,
                "INSERT INTO what_if (name, edits, who, at) VALUES (?, ?, ?, ?) ON CONFLICT (name) DO "
                "UPDATE SET edits = excluded.edits, who = excluded.who, at = excluded.at",
                &statement, error);
    if (status != SG_OK)
        return status;
    sqlite3_bind_text(statement, 1, what_if->name, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(statement, 2, what_if->edits, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(statement, 3, what_if->who, -1, SQLITE_TRANSIENT);
    sqlite3_bind_double(statement, 4, what_if->at);
    return run_once(store, statement, NULL, error);
}

enum sg_status sg_store_what_if_drop(struct sg_store *store, const char *name, struct sg_error *error)
{
    sqlite3_stmt *statement;
    int changed = 0;
    enum sg_status status = prepare(store, "DELETE FROM what_if WHERE name = ?", &statement, error);
    if (status != SG_OK)
        return status;
    sqlite3_bind_text(statement, 1, name, -1, SQLITE_TRANSIENT);
    status = run_once(store, statement, &changed, error);
    if (status == SG_OK && changed == 0)
        return sg_fail(error, SG_BAD_DATA, "there is no what-if \"%.60s\"; `sandglass what-if` lists them",
                       name);
    return status;
}

enum sg_status sg_store_what_ifs(struct sg_store *store,
                                 void (*say)(void *context, const struct sg_what_if *what_if), void *context,
                                 struct sg_error *error)
{
    sqlite3_stmt *statement;
    enum sg_status status =
        prepare(store, "SELECT name, edits, who, at FROM what_if ORDER BY id", &statement, error);
    if (status != SG_OK)
        return status;
    int code;
    while ((code = sqlite3_step(statement)) == SQLITE_ROW) {
        const struct sg_what_if what_if = {.name = (const char *)sqlite3_column_text(statement, 0),
                                           .edits = (const char *)sqlite3_column_text(statement, 1),
                                           .who = (const char *)sqlite3_column_text(statement, 2),
                                           .at = sqlite3_column_double(statement, 3)};
        if (!what_if.name || !what_if.edits || !what_if.who) {
            code = SQLITE_NOMEM;
            break;
        }
        say(context, &what_if);
    }
    status = code == SQLITE_DONE ? SG_OK : sg_store_trouble(store, code, error);
    sqlite3_finalize(statement);
    return status;
}
