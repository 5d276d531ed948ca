/* Looking for anything wrong in a shop file: what SQLite can tell of it, its layout, its values, its order.
 */
#include "store/history.h"

#include <stdlib.h>
#include <string.h>

struct check {
    struct sg_store *store;
    struct sg_findings findings;
    char last[SG_ERROR_SIZE];
};

/* SQLite says of each row that breaks a CHECK only which table it is in: once is enough, the values follow.
 */
static void say(struct check *check, const char *sentence)
{
    char text[SG_ERROR_SIZE];
    sqlite3_snprintf(sizeof text, text, "%s", sentence);
    sg_disarm(text);
    if (strcmp(text, check->last) == 0)
        return;
    strcpy(check->last, text);
    check->findings.count++;
    check->findings.say(check->findings.context, text);
}

/* Each row of a query is a sentence. */
static enum sg_status say_rows(struct check *check, const char *sql)
{
    sqlite3_stmt *statement;
    int code = sqlite3_prepare_v2(check->store->db, sql, -1, &statement, NULL);
    while (code == SQLITE_OK || code == SQLITE_ROW) {
        code = sqlite3_step(statement);
        const char *sentence = code == SQLITE_ROW ? (const char *)sqlite3_column_text(statement, 0) : NULL;
        if (sentence && strcmp(sentence, "ok") != 0)
            say(check, sentence);
    }
    enum sg_status status =
        code == SQLITE_DONE ? SG_OK : sg_store_trouble(check->store, code, check->findings.error);
    sqlite3_finalize(statement);
    return status;
}

/* ---- layout ---- */

#define PARTS_OF_SCHEMA "SELECT type, name, sql FROM sqlite_schema WHERE name NOT GLOB 'sqlite_*'"

/* Say each part of the layout `from` that a query on `in` does not know. */
static int compare(struct check *check, sqlite3 *from, sqlite3 *in, const char *query, const char *sentence)
{
    sqlite3_stmt *all = NULL, *same = NULL;
    int code = sqlite3_prepare_v2(from, PARTS_OF_SCHEMA, -1, &all, NULL);
    if (code == SQLITE_OK)
        code = sqlite3_prepare_v2(in, query, -1, &same, NULL);
    while (code == SQLITE_OK && (code = sqlite3_step(all)) == SQLITE_ROW) {
        for (int i = 0; i < sqlite3_bind_parameter_count(same); i++)
            sqlite3_bind_value(same, i + 1, sqlite3_column_value(all, i));
        bool known = sqlite3_step(same) == SQLITE_ROW;
        code = sqlite3_reset(same);
        char *text =
            known ? NULL
                  : sqlite3_mprintf(sentence, sqlite3_column_text(all, 0), sqlite3_column_text(all, 1));
        if (text)
            say(check, text);
        sqlite3_free(text);
    }
    sqlite3_finalize(all);
    sqlite3_finalize(same);
    return code;
}

/* Against a database that has just had all steps. */
static enum sg_status check_layout(struct check *check)
{
    struct sg_store *fresh = sg_store_fresh("a fresh shop file", SG_STORE_WRITE, 0);
    if (!fresh)
        return sg_fail(check->findings.error, SG_FAULT, "no memory to check %s", check->store->path);
    int code = sqlite3_open_v2(":memory:", &fresh->db,
                               SQLITE_OPEN_READWRITE | SQLITE_OPEN_EXRESCODE | SQLITE_OPEN_NOMUTEX, NULL);
    enum sg_status status =
        code == SQLITE_OK ? sg_steps_run(fresh, sg_schema_steps, sg_schema_n_steps, check->findings.error)
                          : sg_store_trouble(fresh, code, check->findings.error);
    if (status == SG_OK) {
        code = compare(check, fresh->db, check->store->db,
                       PARTS_OF_SCHEMA " AND type = ? AND name = ? AND sql = ?",
                       "the %s %s is missing or is not laid out as this version lays it out");
        if (code == SQLITE_DONE)
            code = compare(check, check->store->db, fresh->db, PARTS_OF_SCHEMA " AND type = ? AND name = ?",
                           "the %s %s does not belong in a shop file");
        if (code != SQLITE_DONE)
            status = sg_store_trouble(check->store, code, check->findings.error);
    }
    sg_store_close(fresh);
    return status;
}

/* ---- values and orders ---- */

static enum sg_status check_values(struct check *check)
{
    struct sg_arena arena = {0};
    struct sg_shop shop;
    enum sg_status status = sg_store_read(check->store, &arena, &shop, &check->findings);
    sg_arena_free(&arena);
    return status;
}

static const char *const questions[] = {
    "PRAGMA integrity_check(100)",
    "SELECT 'table ' || \"table\" || ', row ' || rowid || ': it points to a row of ' || parent || ' that is "
    "not "
    "there' FROM pragma_foreign_key_check",
    "SELECT 'the places of the ' || count(*) || ' jobs of shift ' || shift.key || ' are not 1 to ' || "
    "count(*) "
    "FROM job JOIN shift ON shift.id = shift_id GROUP BY shift_id "
    "HAVING min(job.position) <> 1 OR max(job.position) <> count(*) OR count(DISTINCT job.position) <> "
    "count(*)",
    "SELECT count(*) || ' shifts have the place ' || position FROM shift GROUP BY position HAVING count(*) > "
    "1",
    "SELECT count(*) || ' parts of ' || job.key || '/' || number || ' have the place ' || part.position "
    "FROM part JOIN stock ON stock.id = stock_id JOIN job ON job.id = job_id "
    "GROUP BY stock_id, part.position HAVING count(*) > 1",
    "SELECT 'step ' || id || ' of the history is not in the state that its last undo or redo left it in' "
    "FROM step AS s WHERE kind = 'change' AND state_id <> "
    "ifnull((SELECT max(id) FROM step AS later WHERE later.of_id = s.id), s.id)",
    "SELECT 'step ' || s.id || ' of the history takes back or repeats step ' || s.of_id || ', which is no "
    "change' FROM step AS s JOIN step AS t ON t.id = s.of_id WHERE t.kind <> 'change'",
    "SELECT 'there are ' || count(*) || ' machines; only the first is used' FROM machine HAVING count(*) > 1",
};

/* ---- the history ---- */

static void check_step(struct check *check, int64_t step, bool change)
{
    struct sg_touches touches = {0};
    char text[120];
    enum sg_status status = sg_touches_read(check->store, step, &touches, NULL);
    if (status != SG_OK || (change && touches.n == 0)) {
        sqlite3_snprintf(sizeof text, text, "step %lld of the history: what it changed cannot be read",
                         (long long)step);
        say(check, text);
    }
    free(touches.at);
}

static enum sg_status check_history(struct check *check)
{
    sqlite3_stmt *statement;
    int code;
    enum sg_status status = sg_store_prepare(check->store, &statement, check->findings.error,
                                             "SELECT id, kind = 'change' FROM step ORDER BY id");
    if (status != SG_OK)
        return status;
    while ((code = sqlite3_step(statement)) == SQLITE_ROW)
        check_step(check, sqlite3_column_int64(statement, 0), sqlite3_column_int(statement, 1));
    if (code != SQLITE_DONE)
        status = sg_store_trouble(check->store, code, check->findings.error);
    sqlite3_finalize(statement);
    return status;
}

int sg_store_check(struct sg_store *store, void (*tell)(void *context, const char *sentence), void *context,
                   struct sg_error *error)
{
    struct check check = {.store = store, .findings = {.say = tell, .context = context, .error = error}};
    enum sg_status status = SG_OK;
    for (size_t i = 0; i < sizeof questions / sizeof *questions && status == SG_OK; i++)
        status = say_rows(&check, questions[i]);
    if (status == SG_OK)
        status = check_layout(&check);
    if (status == SG_OK)
        status = check_values(&check);
    if (status == SG_OK)
        status = check_history(&check);
    /* A file that cannot be read to its end because of what was already told is a finding, not an error. */
    return status == SG_OK || check.findings.count > 0 ? check.findings.count : -1;
}
