/* Taking a step back and doing it again: the changes of the row of the history that put the step into its
 * state are inverted. First the history is asked whether a later step is in the way; then SQLite compares
 * each value with the one that should be there; then what points to what is looked at. Whatever is in the way
 * is named, and nothing is changed.
 *
 * The places of jobs are another matter: a job added or removed moves those behind it, which must not bar
 * anyone's undo. So where a step adds or removes jobs, places that do not fit are left, and the jobs are
 * numbered anew around those that came back. */
#include "store/undo.h"

#include <stdlib.h>

/* ---- what came of it ---- */

static int by_id(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* The jobs that came back or were moved back have their places; the others make room. */
static enum sg_status settle_jobs(struct sg_undo *undo, const struct sg_touches *touches)
{
    int n_fixed = 0;
    int64_t *fixed = malloc(((size_t)touches->n + 1) * sizeof *fixed);
    if (!fixed)
        return sg_fail(undo->error, SG_FAULT, "no memory to order the jobs of %s", undo->store->path);
    for (int i = 0; i < touches->n; i++)
        if (touches->at[i].kind == SG_KIND_JOB && touches->at[i].op != SQLITE_DELETE)
            fixed[n_fixed++] = touches->at[i].row;
    qsort(fixed, (size_t)n_fixed, sizeof *fixed, by_id);
    enum sg_status status = sg_places_settle(undo->store, fixed, n_fixed, undo->error);
    free(fixed);
    return status;
}

static enum sg_status settle(struct sg_undo *undo, const struct sg_touches *touches)
{
    struct sg_span_touched span;
    enum sg_status status = sg_undo_check_links(undo, touches);
    if (status == SG_OK)
        status = sg_places_free(undo->store, touches, undo->error);
    if (status == SG_OK && sg_touches_span(touches, SG_KIND_JOB, &span))
        status = settle_jobs(undo, touches);
    return status;
}

/* ---- the step ---- */

static const char *word_of(const struct sg_undo *undo)
{
    return undo->kind == SG_STEP_UNDO ? "undo" : "redo";
}

static enum sg_status nothing_to_do(struct sg_undo *undo)
{
    return sg_fail(undo->error, SG_NO, "%s: nothing of yours to %s", undo->store->path, word_of(undo));
}

static enum sg_status check_version(struct sg_undo *undo, int64_t version)
{
    int64_t current = 0;
    char words[SG_UNDO_WORDS];
    enum sg_status status = sg_store_ask(undo->store, "PRAGMA user_version", &current, undo->error);
    if (status != SG_OK || version == current)
        return status;
    sg_clean_copy(words, sizeof words, undo->step.words);
    return sg_fail(undo->error, SG_NO,
                   "%s: \"%s\" was kept when the file had version %lld; it has since been brought up to "
                   "version %lld, and what was kept before that can no longer be %s",
                   undo->store->path, words, (long long)version, (long long)current, sg_undo_deed(undo));
}

/* Who kept something new after an undo has gone another way. */
static enum sg_status check_no_newer(struct sg_undo *undo)
{
    sqlite3_stmt *statement;
    struct sg_step_told newer;
    char words[SG_UNDO_WORDS];
    enum sg_status status = sg_store_prepare(
        undo->store, &statement, undo->error,
        "SELECT " SG_TOLD_COLUMNS "WHERE s.who = ? AND s.kind = 'change' ORDER BY s.id DESC LIMIT 1");
    if (status != SG_OK)
        return status;
    sqlite3_bind_text(statement, 1, undo->who, -1, SQLITE_STATIC);
    bool found = sqlite3_step(statement) == SQLITE_ROW;
    if (found)
        sg_told_read(statement, &newer);
    sqlite3_finalize(statement);
    if (!found || newer.id < undo->base)
        return SG_OK;
    sg_clean_copy(words, sizeof words, undo->step.words);
    return sg_fail(undo->error, SG_NO,
                   "%s: nothing of yours to redo: since you took back \"%s\" you kept a new step: %s",
                   undo->store->path, words, newer.words);
}

static enum sg_status find_step(struct sg_undo *undo)
{
    static const char undoable[] =
        "WHERE s.who = ? AND s.kind = 'change' AND t.kind <> 'undo' ORDER BY s.id DESC LIMIT 1",
                      redoable[] = "WHERE s.who = ? AND s.kind = 'change' AND t.kind = 'undo' "
                                   "ORDER BY s.state_id DESC LIMIT 1";
    sqlite3_stmt *statement;
    int64_t version = 0;
    enum sg_status status =
        sg_store_prepare(undo->store, &statement, undo->error, "SELECT " SG_TOLD_COLUMNS "%s",
                         undo->kind == SG_STEP_UNDO ? undoable : redoable);
    if (status != SG_OK)
        return status;
    sqlite3_bind_text(statement, 1, undo->who, -1, SQLITE_STATIC);
    int code = sqlite3_step(statement);
    if (code == SQLITE_ROW) {
        sg_told_read(statement, &undo->step);
        undo->base = sqlite3_column_int64(statement, SG_TOLD_STATE);
        version = sqlite3_column_int64(statement, SG_TOLD_VERSION);
    } else {
        status = code == SQLITE_DONE ? nothing_to_do(undo) : sg_store_trouble(undo->store, code, undo->error);
    }
    sqlite3_finalize(statement);
    if (status == SG_OK && undo->kind == SG_STEP_REDO)
        status = check_no_newer(undo);
    return status == SG_OK ? check_version(undo, version) : status;
}

static enum sg_status read_changes(struct sg_undo *undo)
{
    struct sg_span_touched span;
    int position = 0;
    enum sg_status status = sg_changes_read(undo->store, undo->base, &undo->changes, undo->error);
    if (status == SG_OK)
        status = sg_touches_of(undo->store, &undo->changes, &undo->touches, undo->error);
    if (status != SG_OK || undo->touches.n == 0)
        return status;
    qsort(undo->touches.at, (size_t)undo->touches.n, sizeof *undo->touches.at, sg_touch_compare);
    if (!sg_touches_span(&undo->touches, SG_KIND_JOB, &span) || !span.came_or_went)
        return SG_OK;
    status = sg_column_number(undo->store, SG_KIND_JOB, "position", &position, undo->error);
    undo->loose = sg_column_bit(position);
    return status;
}

/* Write what the applying changed as a row of the history. */
static enum sg_status write_down(struct sg_undo *undo, int64_t *id)
{
    char words[SG_WORDS_SIZE + 10], sql[120];
    struct sg_changes changes = {0};
    sqlite3_snprintf(sizeof words, words, "%s: %s", word_of(undo), undo->step.words);
    struct sg_entry entry = {
        .kind = undo->kind, .of = undo->step.id, .who = undo->who, .words = words, .at = undo->at};
    enum sg_status status = sg_record_take(undo->store, &changes, undo->error);
    if (status == SG_OK)
        status = sg_record_write(undo->store, &entry, &changes, id, undo->error);
    sqlite3_free(changes.bytes);
    if (status != SG_OK)
        return status;
    sqlite3_snprintf(sizeof sql, sql, "UPDATE step SET state_id = %lld WHERE id = %lld", (long long)*id,
                     (long long)undo->step.id);
    return sg_store_run(undo->store, sql, undo->error);
}

static enum sg_status turn(struct sg_undo *undo, int64_t *id)
{
    struct sg_changes applied = {0};
    struct sg_touches touches = {0};
    enum sg_status status = find_step(undo);
    if (status == SG_OK)
        status = read_changes(undo);
    if (status == SG_OK)
        status = sg_undo_check_later(undo);
    if (status == SG_OK)
        status = sg_undo_apply(undo);
    if (status == SG_OK)
        status = sg_record_take(undo->store, &applied, undo->error);
    if (status == SG_OK)
        status = sg_touches_of(undo->store, &applied, &touches, undo->error);
    sqlite3_free(applied.bytes);
    if (status == SG_OK && touches.n == 0) /* SQLite passes over tables that are not as they were */
        status = sg_fail(undo->error, SG_NO_FILE, "%s: step %lld of the history is damaged",
                         undo->store->path, (long long)undo->step.id);
    if (status == SG_OK)
        status = settle(undo, &touches);
    free(touches.at);
    return status == SG_OK ? write_down(undo, id) : status;
}

static enum sg_status take(struct sg_store *store, enum sg_step_kind kind, const char *who, double at,
                           struct sg_step_told *told, struct sg_error *error)
{
    char clean[SG_WHO_SIZE];
    sg_clean_copy(clean, sizeof clean, who);
    struct sg_undo undo = {.store = store, .kind = kind, .who = clean, .at = at, .error = error};
    int64_t id = 0;
    if (!sqlite3_get_autocommit(store->db))
        return sg_fail(error, SG_FAULT, "%s: %s in the middle of a change", store->path, word_of(&undo));
    /* The setting does not change inside a transaction. */
    enum sg_status status = sg_store_run(store, "PRAGMA foreign_keys = OFF", error);
    if (status == SG_OK)
        status = sg_store_begin(store, error);
    if (status == SG_OK)
        status = turn(&undo, &id);
    if (status == SG_OK)
        status = sg_record_commit(store, id, error);
    sg_store_rollback(store);
    sqlite3_free(undo.changes.bytes);
    free(undo.touches.at);
    enum sg_status on = sg_store_run(store, "PRAGMA foreign_keys = ON", status == SG_OK ? error : NULL);
    if (status != SG_OK || on != SG_OK)
        return status != SG_OK ? status : on;
    undo.step.undone = kind == SG_STEP_UNDO;
    *told = undo.step;
    return SG_OK;
}

enum sg_status sg_store_undo(struct sg_store *store, const char *who, double at, struct sg_step_told *told,
                             struct sg_error *error)
{
    return take(store, SG_STEP_UNDO, who, at, told, error);
}

enum sg_status sg_store_redo(struct sg_store *store, const char *who, double at, struct sg_step_told *told,
                             struct sg_error *error)
{
    return take(store, SG_STEP_REDO, who, at, told, error);
}
