/* What is in the way of an undo: a later step that changed what would come back, or that points to it. The
 * sentence names who, when and the step's words. */
#include "store/undo.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

const char *sg_undo_deed(const struct sg_undo *undo)
{
    return undo->kind == SG_STEP_UNDO ? "taken back" : "done again";
}

static void local_day(double at, struct tm *out)
{
    time_t seconds = (time_t)at;
    memset(out, 0, sizeof *out);
    localtime_r(&seconds, out);
}

/* "10:32", of another day "10:32 on 2026-11-27". */
static void time_text(double at, double now, char *out, size_t size)
{
    struct tm then, today;
    local_day(at, &then);
    local_day(now, &today);
    bool same = then.tm_year == today.tm_year && then.tm_yday == today.tm_yday;
    if (strftime(out, size, same ? "%H:%M" : "%H:%M on %Y-%m-%d", &then) == 0)
        *out = '\0';
}

static enum sg_status refuse(struct sg_undo *undo, const struct sg_step_told *by)
{
    char words[SG_UNDO_WORDS], when[40];
    sg_clean_copy(words, sizeof words, undo->step.words);
    time_text(by->at, undo->at, when, sizeof when);
    return sg_fail(undo->error, SG_BAD_DATA, "%s: \"%s\" cannot be %s: %s changed it at %s after that: %s",
                   undo->store->path, words, sg_undo_deed(undo), by->who, when, by->words);
}

/* The last step that touched a row is in the way. */
enum sg_status sg_undo_blame(struct sg_undo *undo, enum sg_kind kind, int64_t row, uint64_t columns)
{
    struct sg_step_told by;
    char words[SG_UNDO_WORDS];
    enum sg_status status = sg_history_last(undo->store, kind, row, columns, &by, undo->error);
    if (status == SG_OK && by.id > undo->base)
        return refuse(undo, &by);
    if (status != SG_OK && status != SG_NO)
        return status;
    sg_clean_copy(words, sizeof words, undo->step.words);
    return sg_fail(undo->error, SG_BAD_DATA,
                   "%s: \"%s\" cannot be %s: something changed it after that which is no step of the history",
                   undo->store->path, words, sg_undo_deed(undo));
}

uint64_t sg_undo_firm(const struct sg_undo *undo, enum sg_kind kind, uint64_t columns)
{
    return kind == SG_KIND_JOB ? columns & ~undo->loose : columns;
}

/* Whether a later row of the history touched what would come back. */
static enum sg_status overlaps(struct sg_undo *undo, int64_t later, bool *yes)
{
    struct sg_touches touches;
    enum sg_status status = sg_touches_read(undo->store, later, &touches, undo->error);
    *yes = false;
    if (status != SG_OK)
        return status;
    for (int i = 0; i < touches.n && !*yes; i++) {
        const struct sg_touch *touch = &touches.at[i];
        const struct sg_touch *ours = bsearch(touch, undo->touches.at, (size_t)undo->touches.n,
                                              sizeof *undo->touches.at, sg_touch_compare);
        *yes = ours && sg_undo_firm(undo, touch->kind, touch->columns & ours->columns) != 0;
    }
    free(touches.at);
    return SG_OK;
}

/* The rows of the history after the base that may have touched our rows of one kind, latest first, of steps
 * that are in force now but were not then, or the other way round: one that was kept and taken back since
 * left no trace. */
static enum sg_status prepare_later(struct sg_undo *undo, enum sg_kind kind,
                                    const struct sg_span_touched *span, sqlite3_stmt **out)
{
    enum sg_status status = sg_store_prepare(
        undo->store, out, undo->error,
        "SELECT later.id, change.state_id FROM step_touch AS touch "
        "JOIN step AS later ON later.id = touch.step_id "
        "JOIN step AS change ON change.id = ifnull(later.of_id, later.id) "
        "JOIN step AS now ON now.id = change.state_id "
        "WHERE touch.kind = '%s' AND touch.step_id > ?1 AND touch.first_row <= ?3 AND touch.last_row >= ?2 "
        "AND touch.columns & ?4 <> 0 AND change.id <> ?5 AND (now.kind <> 'undo') <> "
        "ifnull((SELECT past.kind <> 'undo' FROM step AS past WHERE past.of_id = change.id AND past.id <= ?1 "
        "ORDER BY past.id DESC LIMIT 1), change.id <= ?1) ORDER BY touch.step_id DESC",
        sg_table_of(kind)->name);
    if (status != SG_OK)
        return status;
    sqlite3_bind_int64(*out, 1, undo->base);
    sqlite3_bind_int64(*out, 2, span->first);
    sqlite3_bind_int64(*out, 3, span->last);
    sqlite3_bind_int64(*out, 4, (int64_t)sg_undo_firm(undo, kind, span->columns));
    sqlite3_bind_int64(*out, 5, undo->step.id);
    return SG_OK;
}

/* The latest such row that did touch them; *by stays as it is if there is none. */
static enum sg_status find_later(struct sg_undo *undo, enum sg_kind kind, int64_t *by)
{
    struct sg_span_touched span;
    sqlite3_stmt *statement;
    bool found = false;
    int code = SQLITE_DONE;
    if (!sg_touches_span(&undo->touches, kind, &span))
        return SG_OK;
    enum sg_status status = prepare_later(undo, kind, &span, &statement);
    while (status == SG_OK && !found && (code = sqlite3_step(statement)) == SQLITE_ROW)
        status = overlaps(undo, sqlite3_column_int64(statement, 0), &found);
    if (status == SG_OK && found && sqlite3_column_int64(statement, 1) > *by)
        *by = sqlite3_column_int64(statement, 1);
    if (status == SG_OK && !found && code != SQLITE_DONE)
        status = sg_store_trouble(undo->store, code, undo->error);
    sqlite3_finalize(statement);
    return status;
}

enum sg_status sg_undo_check_later(struct sg_undo *undo)
{
    int64_t by = 0;
    struct sg_step_told told;
    enum sg_status status = SG_OK;
    for (int kind = 0; kind < SG_KINDS && status == SG_OK; kind++)
        status = find_later(undo, (enum sg_kind)kind, &by);
    if (status != SG_OK || by == 0)
        return status;
    status = sg_told_find(undo->store, by, &told, undo->error);
    return status == SG_OK ? refuse(undo, &told) : status;
}

/* ---- what points where ---- */

/* Foreign keys are off while changes are applied, because they would take other people's rows along. For each
 * row that came or changed, where it points must be a row; to each that went, none may point. */
static enum sg_status check_link(struct sg_undo *undo, const struct sg_link *link,
                                 const struct sg_touches *touches)
{
    const char *child = sg_table_of(link->child)->name, *parent = sg_table_of(link->parent)->name;
    sqlite3_stmt *lost = NULL, *orphan = NULL;
    int column = 0;
    enum sg_status status = sg_column_number(undo->store, link->child, link->column, &column, undo->error);
    if (status == SG_OK)
        status = sg_store_prepare(undo->store, &lost, undo->error,
                                  "SELECT %s FROM %s AS child WHERE id = ? AND %s IS NOT NULL AND NOT EXISTS "
                                  "(SELECT 1 FROM %s AS parent WHERE parent.id = child.%s)",
                                  link->column, child, link->column, parent, link->column);
    if (status == SG_OK)
        status = sg_store_prepare(undo->store, &orphan, undo->error, "SELECT id FROM %s WHERE %s = ?", child,
                                  link->column);
    for (int i = 0; i < touches->n && status == SG_OK; i++) {
        const struct sg_touch *touch = &touches->at[i];
        bool gone = touch->op == SQLITE_DELETE && touch->kind == link->parent;
        bool here = touch->op != SQLITE_DELETE && touch->kind == link->child;
        sqlite3_stmt *question = gone ? orphan : lost;
        if (!gone && !here)
            continue;
        sqlite3_bind_int64(question, 1, touch->row);
        if (sqlite3_step(question) == SQLITE_ROW)
            status = sg_undo_blame(undo, gone ? link->child : link->parent, sqlite3_column_int64(question, 0),
                                   gone ? sg_column_bit(column) : SG_ALL_COLUMNS);
        sqlite3_reset(question);
    }
    sqlite3_finalize(lost);
    sqlite3_finalize(orphan);
    return status;
}

enum sg_status sg_undo_check_links(struct sg_undo *undo, const struct sg_touches *touches)
{
    enum sg_status status = SG_OK;
    for (int i = 0; i < sg_n_links && status == SG_OK; i++)
        status = check_link(undo, &sg_links[i], touches);
    return status;
}
