/* The places of rows that came or went: jobs of a shift without a gap, no two rows in one place. */
#include "store/history.h"

#include <stdlib.h>
#include <string.h>

struct placed {
    int64_t row, shift, position;
    bool fixed;
};

static int by_number(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

static enum sg_status read_jobs(struct sg_store *store, const int64_t *fixed, int n_fixed,
                                struct placed **jobs, int *n_jobs, struct sg_error *error)
{
    int64_t count = 0;
    sqlite3_stmt *statement = NULL;
    enum sg_status status = sg_store_ask(store, "SELECT count(*) FROM job", &count, error);
    if (status == SG_OK)
        status = sg_store_prepare(store, &statement, error,
                                  "SELECT id, shift_id, position FROM job ORDER BY shift_id, position, id");
    if (status != SG_OK)
        return status;
    *jobs = calloc((size_t)count + 1, sizeof **jobs);
    for (int i = 0; *jobs && i < count && sqlite3_step(statement) == SQLITE_ROW; i++) {
        struct placed *job = &(*jobs)[(*n_jobs)++];
        job->row = sqlite3_column_int64(statement, 0);
        job->shift = sqlite3_column_int64(statement, 1);
        job->position = sqlite3_column_int64(statement, 2);
        job->fixed =
            n_fixed > 0 && bsearch(&job->row, fixed, (size_t)n_fixed, sizeof *fixed, by_number) != NULL;
    }
    sqlite3_finalize(statement);
    return *jobs ? SG_OK : sg_fail(error, SG_FAULT, "no memory to order the jobs of %s", store->path);
}

/* The next job of a shift that is fixed, or is not; n_jobs where there is none. */
static int next_of(const struct placed *jobs, int n_jobs, int at, int64_t shift, bool fixed)
{
    while (at < n_jobs && jobs[at].shift == shift && jobs[at].fixed != fixed)
        at++;
    return at < n_jobs && jobs[at].shift == shift ? at : n_jobs;
}

static enum sg_status put(sqlite3_stmt *statement, struct sg_store *store, const struct placed *job,
                          int place, struct sg_error *error)
{
    if (job->position == place)
        return SG_OK;
    sqlite3_bind_int64(statement, 1, job->row);
    sqlite3_bind_int(statement, 2, place);
    int code = sqlite3_step(statement);
    sqlite3_reset(statement);
    return code == SQLITE_DONE ? SG_OK : sg_store_trouble(store, code, error);
}

/* The jobs of one shift, from `first` on; the first job of the next goes to *end. */
static enum sg_status number_shift(struct sg_store *store, sqlite3_stmt *statement, const struct placed *jobs,
                                   int n_jobs, int first, int *end, struct sg_error *error)
{
    int64_t shift = jobs[first].shift;
    int fixed = next_of(jobs, n_jobs, first, shift, true);
    int other = next_of(jobs, n_jobs, first, shift, false);
    int place = 1;
    enum sg_status status = SG_OK;
    for (; status == SG_OK && (fixed < n_jobs || other < n_jobs); place++) {
        bool take = fixed < n_jobs && (other == n_jobs || jobs[fixed].position <= place);
        int *taken = take ? &fixed : &other;
        status = put(statement, store, &jobs[*taken], place, error);
        *taken = next_of(jobs, n_jobs, *taken + 1, shift, take);
    }
    *end = first + place - 1;
    return status;
}

enum sg_status sg_places_settle(struct sg_store *store, const int64_t *fixed, int n_fixed,
                                struct sg_error *error)
{
    struct placed *jobs = NULL;
    sqlite3_stmt *statement = NULL;
    int n_jobs = 0;
    enum sg_status status = read_jobs(store, fixed, n_fixed, &jobs, &n_jobs, error);
    if (status == SG_OK)
        status = sg_store_prepare(store, &statement, error, "UPDATE job SET position = ?2 WHERE id = ?1");
    for (int i = 0; i < n_jobs && status == SG_OK;)
        status = number_shift(store, statement, jobs, n_jobs, i, &i, error);
    sqlite3_finalize(statement);
    free(jobs);
    return status;
}

/* ---- a new order ---- */

static enum sg_status read_places(struct sg_store *store, enum sg_kind kind, const int64_t *rows, int n,
                                  int64_t *places, struct sg_error *error)
{
    sqlite3_stmt *statement;
    enum sg_status status = sg_store_prepare(store, &statement, error, "SELECT position FROM %s WHERE id = ?",
                                             sg_table_of(kind)->name);
    for (int i = 0; i < n && status == SG_OK; i++) {
        sqlite3_bind_int64(statement, 1, rows[i]);
        int code = sqlite3_step(statement);
        places[i] = sqlite3_column_int64(statement, 0);
        sqlite3_reset(statement);
        if (code == SQLITE_DONE)
            status =
                sg_fail(error, SG_BAD_DATA, "%s: the %s is no longer there", store->path, sg_kind_word(kind));
        else if (code != SQLITE_ROW)
            status = sg_store_trouble(store, code, error);
    }
    sqlite3_finalize(statement);
    return status;
}

static enum sg_status deal(struct sg_store *store, enum sg_kind kind, const int64_t *rows, int n,
                           const int64_t *places, struct sg_error *error)
{
    sqlite3_stmt *statement;
    enum sg_status status = sg_store_prepare(store, &statement, error,
                                             "UPDATE %s SET position = ?2 WHERE id = ?1 AND position <> ?2",
                                             sg_table_of(kind)->name);
    for (int i = 0; i < n && status == SG_OK; i++) {
        sqlite3_bind_int64(statement, 1, rows[i]);
        sqlite3_bind_int64(statement, 2, places[i]);
        int code = sqlite3_step(statement);
        sqlite3_reset(statement);
        if (code != SQLITE_DONE)
            status = sg_store_trouble(store, code, error);
    }
    sqlite3_finalize(statement);
    return status;
}

enum sg_status sg_store_rearrange(struct sg_store *store, enum sg_kind kind, const int64_t *rows, int n,
                                  struct sg_error *error)
{
    int64_t *places = malloc(((size_t)n + 1) * sizeof *places);
    if (!places)
        return sg_fail(error, SG_FAULT, "no memory to order %d rows of %s", n, store->path);
    enum sg_status status = read_places(store, kind, rows, n, places, error);
    if (status == SG_OK) {
        qsort(places, (size_t)n, sizeof *places, by_number);
        status = deal(store, kind, rows, n, places, error);
    }
    free(places);
    return status;
}

/* ---- rows that came back ---- */

static enum sg_status prepare_free(struct sg_store *store, enum sg_kind kind, sqlite3_stmt **out,
                                   struct sg_error *error)
{
    const struct sg_table *table = sg_table_of(kind);
    char *others = table->parent ? sqlite3_mprintf("FROM %s AS other WHERE other.%s = %s.%s", table->name,
                                                   table->parent, table->name, table->parent)
                                 : sqlite3_mprintf("FROM %s AS other WHERE true", table->name);
    if (!others)
        return sg_fail(error, SG_FAULT, "no memory to write %s", store->path);
    enum sg_status status = sg_store_prepare(
        store, out, error,
        "UPDATE %s SET position = 1 + (SELECT max(position) %s) WHERE id = ?1 AND EXISTS (SELECT 1 %s AND "
        "other.position = %s.position AND other.id <> ?1)",
        table->name, others, others, table->name);
    sqlite3_free(others);
    return status;
}

static enum sg_status free_kind(struct sg_store *store, enum sg_kind kind, const struct sg_touches *touches,
                                struct sg_error *error)
{
    sqlite3_stmt *statement;
    enum sg_status status = prepare_free(store, kind, &statement, error);
    for (int i = 0; i < touches->n && status == SG_OK; i++) {
        if (touches->at[i].kind != kind || touches->at[i].op != SQLITE_INSERT)
            continue;
        sqlite3_bind_int64(statement, 1, touches->at[i].row);
        int code = sqlite3_step(statement);
        sqlite3_reset(statement);
        if (code != SQLITE_DONE)
            status = sg_store_trouble(store, code, error);
    }
    sqlite3_finalize(statement);
    return status;
}

enum sg_status sg_places_free(struct sg_store *store, const struct sg_touches *touches,
                              struct sg_error *error)
{
    enum sg_status status = SG_OK;
    struct sg_span_touched span;
    for (int i = 0; i < SG_KINDS && status == SG_OK; i++) {
        enum sg_kind kind = (enum sg_kind)i;
        if (sg_table_of(kind)->placed && sg_touches_span(touches, kind, &span) && span.came_or_went)
            status = free_kind(store, kind, touches, error);
    }
    return status;
}
