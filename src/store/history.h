/* What the files of the history share: changes as SQLite's session extension records them. */
#ifndef SANDGLASS_STORE_HISTORY_H
#define SANDGLASS_STORE_HISTORY_H

#include "store/inside.h"

/* What a transaction changed: a changeset. Free the bytes with sqlite3_free. */
struct sg_changes {
    void *bytes;
    int size;
};

/* One row that was changed. Columns are bits by number; those from 62 on share the last bit. A row that was
 * added or removed has all bits. */
struct sg_touch {
    enum sg_kind kind;
    int op; /* SQLITE_INSERT, SQLITE_UPDATE or SQLITE_DELETE */
    int64_t row;
    uint64_t columns;
};
enum { SG_LAST_COLUMN_BIT = 62 };
#define SG_ALL_COLUMNS ((UINT64_C(1) << (SG_LAST_COLUMN_BIT + 1)) - 1)

struct sg_touches {
    struct sg_touch *at; /* free with free */
    int n;
};

/* What was recorded since sg_store_begin. */
enum sg_status sg_record_take(struct sg_store *store, struct sg_changes *out, struct sg_error *error);

/* What a step of the history changed. A step without changes gives a size of 0. */
enum sg_status sg_changes_read(struct sg_store *store, int64_t step, struct sg_changes *out,
                               struct sg_error *error);

/* All rows of the changes, in any order. SG_NO_FILE: the bytes cannot be read. */
enum sg_status sg_touches_of(struct sg_store *store, const struct sg_changes *changes, struct sg_touches *out,
                             struct sg_error *error);
/* Those of a step. */
enum sg_status sg_touches_read(struct sg_store *store, int64_t step, struct sg_touches *out,
                               struct sg_error *error);

/* By kind and row, for qsort and bsearch. */
int sg_touch_compare(const void *a, const void *b);

/* The rows of one kind together: first and last row, all columns, SQLITE_UPDATE if no row came or went. False
 * if there are none of that kind. */
struct sg_span_touched {
    int64_t first, last;
    uint64_t columns;
    bool came_or_went;
};
bool sg_touches_span(const struct sg_touches *touches, enum sg_kind kind, struct sg_span_touched *out);

/* Write a row of the history with its changes into the open transaction; its id goes to *id. */
struct sg_entry {
    enum sg_step_kind kind;
    int64_t of; /* undo, redo: the change */
    const char *who, *words;
    double at;
};
enum sg_status sg_record_write(struct sg_store *store, const struct sg_entry *entry,
                               const struct sg_changes *changes, int64_t *id, struct sg_error *error);
/* Commit it, and remember that it is ours. */
enum sg_status sg_record_commit(struct sg_store *store, int64_t id, struct sg_error *error);

/* The columns that every query for a struct sg_step_told begins with; step is named s, and t is the row that
 * its state is from (LEFT JOIN). */
#define SG_TOLD_COLUMNS                                                                                      \
    "s.id, s.kind, s.of_id, s.who, s.at, s.words, s.kind = 'change' AND t.kind = 'undo', s.state_id, "       \
    "s.version FROM step AS s LEFT JOIN step AS t ON t.id = s.state_id "
void sg_told_read(sqlite3_stmt *statement, struct sg_step_told *out);
enum { SG_TOLD_STATE = 7, SG_TOLD_VERSION = 8 }; /* columns behind those */
enum sg_status sg_told_find(struct sg_store *store, int64_t step, struct sg_step_told *out,
                            struct sg_error *error);

/* The last row of the history that touched one of these columns of a row. SG_NO, without a sentence, if none
 * did. */
enum sg_status sg_history_last(struct sg_store *store, enum sg_kind kind, int64_t row, uint64_t columns,
                               struct sg_step_told *out, struct sg_error *error);

/* The number of a column and its bit. SG_NO_FILE if the table has no such column. */
enum sg_status sg_column_number(struct sg_store *store, enum sg_kind kind, const char *column, int *out,
                                struct sg_error *error);
uint64_t sg_column_bit(int number);

/* A statement out of a format as sqlite3_mprintf takes it; *out is NULL on failure. */
enum sg_status sg_store_prepare(struct sg_store *store, sqlite3_stmt **out, struct sg_error *error,
                                const char *format, ...);

/* Text for a person: valid UTF-8 without what a terminal would obey, cut at a whole character. */
void sg_clean_copy(char *out, size_t size, const char *text);

/* ---- places and links ---- */

/* Number the jobs of each shift 1, 2, ... The jobs in fixed (sorted) have the place that they are to have;
 * the others keep their order around them. */
enum sg_status sg_places_settle(struct sg_store *store, const int64_t *fixed, int n_fixed,
                                struct sg_error *error);

/* Send each row that came to the end of its table where another has its place. */
enum sg_status sg_places_free(struct sg_store *store, const struct sg_touches *touches,
                              struct sg_error *error);

/* A column that holds the row of another table. */
struct sg_link {
    enum sg_kind child;
    const char *column;
    enum sg_kind parent;
};
extern const struct sg_link sg_links[];
extern const int sg_n_links;

/* "stock 2605/1": a row for a sentence. */
void sg_row_name(struct sg_store *store, enum sg_kind kind, int64_t row, char *out, size_t size);

#endif
