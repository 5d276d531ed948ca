/* What the tests of the history share: small steps through the public functions, and the content of a file
 * as cells, read past the store. */
#ifndef SANDGLASS_TESTS_STORE_STEPS_H
#define SANDGLASS_TESTS_STORE_STEPS_H

#include "store/common.h"

static struct sg_error error;

/* 2026-12-01 10:00 UTC, and minutes after it. */
static inline double minute(int n)
{
    return 1796119200.0 + 60 * n;
}

/* ---- a shop in memory ---- */

struct loaded {
    struct sg_shop shop;
    struct sg_arena arena;
};

static inline void load(struct sg_store *store, struct loaded *loaded)
{
    sg_arena_free(&loaded->arena);
    enum sg_status status = sg_store_load(store, &loaded->arena, &loaded->shop, &error);
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

static inline void begin(struct sg_store *store)
{
    ck_assert_msg(sg_store_begin(store, &error) == SG_OK, "%s", error.text);
}

static inline void keep(struct sg_store *store, const char *who, int at, const char *words)
{
    struct sg_step_note note = {who, minute(at), words};
    ck_assert_msg(sg_store_keep(store, &note, &error) == SG_OK, "%s", error.text);
}

static inline int64_t row_of(struct sg_store *store, const char *sql)
{
    int64_t row = 0;
    ck_assert_msg(sg_store_ask(store, sql, &row, &error) == SG_OK, "%s: %s", sql, error.text);
    return row;
}

/* One step that sets the quantity or the pierces of a part, or the note of a job. */
static inline void write_part(struct sg_store *store, int64_t row, const char *name, int32_t value)
{
    struct loaded loaded = {0};
    load(store, &loaded);
    struct sg_part part = sg_fresh_part;
    part.id = "any";
    part.quantity = part.pierces = value;
    const struct sg_field *field = sg_field_find(SG_KIND_PART, name);
    enum sg_status status = sg_store_update(store, SG_KIND_PART, row, &loaded.shop, &part, &field, 1, &error);
    ck_assert_msg(status == SG_OK, "%s", error.text);
    sg_arena_free(&loaded.arena);
}

static inline void set_part(struct sg_store *store, const char *who, int at, int64_t row, const char *name,
                            int32_t value, const char *words)
{
    begin(store);
    write_part(store, row, name, value);
    keep(store, who, at, words);
}

static inline int64_t put_job(struct sg_store *store, const char *id)
{
    struct loaded loaded = {0};
    load(store, &loaded);
    struct sg_job job = sg_fresh_job;
    int64_t row = 0;
    job.id = id;
    job.shift = 0;
    job.order = 1;
    for (int i = 0; i < loaded.shop.n_jobs; i++)
        job.order += loaded.shop.jobs[i].shift == 0;
    enum sg_status status = sg_store_insert(store, SG_KIND_JOB, 0, &loaded.shop, &job, &row, &error);
    ck_assert_msg(status == SG_OK, "%s", error.text);
    sg_arena_free(&loaded.arena);
    return row;
}

static inline int64_t add_job(struct sg_store *store, const char *who, int at, const char *id,
                              const char *words)
{
    begin(store);
    int64_t row = put_job(store, id);
    keep(store, who, at, words);
    return row;
}

static inline void take_away(struct sg_store *store, const char *who, int at, enum sg_kind kind, int64_t row,
                             const char *words)
{
    begin(store);
    ck_assert_msg(sg_store_remove(store, kind, row, &error) == SG_OK, "%s", error.text);
    keep(store, who, at, words);
}

/* The keys of the jobs of all shifts in their order: "2601 2602 ..." */
static inline const char *order_of(struct sg_store *store)
{
    static char text[2000];
    struct loaded loaded = {0};
    load(store, &loaded);
    *text = '\0';
    for (int i = 0; i < loaded.shop.n_jobs; i++)
        strcat(strcat(text, i ? " " : ""), loaded.shop.jobs[i].id);
    sg_arena_free(&loaded.arena);
    return text;
}

static inline void undoes(struct sg_store *store, const char *who, int at, const char *words)
{
    struct sg_step_told told;
    enum sg_status status = sg_store_undo(store, who, minute(at), &told, &error);
    ck_assert_msg(status == SG_OK, "%s", error.text);
    ck_assert_str_eq(told.words, words);
    ck_assert(told.undone);
}

static inline void redoes(struct sg_store *store, const char *who, int at, const char *words)
{
    struct sg_step_told told;
    enum sg_status status = sg_store_redo(store, who, minute(at), &told, &error);
    ck_assert_msg(status == SG_OK, "%s", error.text);
    ck_assert_str_eq(told.words, words);
    ck_assert(!told.undone);
}

static inline void is_sound(struct sg_store *store)
{
    struct told told = {0};
    int found = sg_store_check(store, tell, &told, &error);
    ck_assert_msg(found == 0, "%d: %s%s", found, told.text, found < 0 ? error.text : "");
}

/* A file as an earlier version laid it out, with the rows of shop.db. */
static inline void make_version(const char *path, int version)
{
    struct sg_store *old = sg_store_fresh(path, SG_STORE_WRITE, 20);
    sqlite3_stmt *tables;
    ck_assert_int_eq(sqlite3_open(path, &old->db), SQLITE_OK);
    ck_assert_msg(sg_steps_run(old, sg_schema_steps, version, &error) == SG_OK, "%s", error.text);
    ck_assert_int_eq(sg_store_run(old, "PRAGMA foreign_keys = OFF; ATTACH 'shop.db' AS full", &error), SG_OK);
    ck_assert_int_eq(sqlite3_prepare_v2(old->db,
                                        "SELECT t.name, group_concat('\"' || c.name || '\"') FROM "
                                        "main.sqlite_schema AS t JOIN pragma_table_info(t.name) AS c WHERE "
                                        "t.type = 'table' GROUP BY t.name",
                                        -1, &tables, NULL),
                     SQLITE_OK);
    while (sqlite3_step(tables) == SQLITE_ROW) {
        const unsigned char *name = sqlite3_column_text(tables, 0), *columns = sqlite3_column_text(tables, 1);
        char *sql =
            sqlite3_mprintf("INSERT INTO main.%s (%s) SELECT %s FROM full.%s", name, columns, columns, name);
        ck_assert_msg(sg_store_run(old, sql, &error) == SG_OK, "%s", error.text);
        sqlite3_free(sql);
    }
    sqlite3_finalize(tables);
    char *mark = sqlite3_mprintf("DETACH full; PRAGMA application_id = %d", SG_APPLICATION_ID);
    ck_assert_int_eq(sg_store_run(old, mark, &error), SG_OK);
    sqlite3_free(mark);
    sg_store_close(old);
}

/* ---- the content, cell by cell ---- */

struct cell {
    int table, column;
    int64_t row;
    const char *value;
};

struct content {
    struct cell *cells;
    int n;
    struct sg_arena arena;
};

static const char *const content_tables[] = {"job",      "stock", "part",    "shift", "machine", "head",
                                             "material", "chore", "setting", "rates", "clock",   "record"};
enum { CONTENT_TABLES = sizeof content_tables / sizeof *content_tables };

static inline const char *cell_value(sqlite3_stmt *statement, int column, struct sg_arena *arena)
{
    char text[400];
    switch (sqlite3_column_type(statement, column)) {
    case SQLITE_NULL:
        return "-";
    case SQLITE_INTEGER:
        snprintf(text, sizeof text, "%lld", sqlite3_column_int64(statement, column));
        break;
    case SQLITE_FLOAT:
        snprintf(text, sizeof text, "%.17gf", sqlite3_column_double(statement, column));
        break;
    default:
        snprintf(text, sizeof text, "'%.390s", (const char *)sqlite3_column_text(statement, column));
    }
    return sg_arena_text(arena, text, strlen(text));
}

static inline void read_table_content(sqlite3 *db, int table, struct content *out)
{
    char sql[80];
    sqlite3_stmt *statement;
    snprintf(sql, sizeof sql, "SELECT rowid, * FROM %s ORDER BY rowid", content_tables[table]);
    ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK, "%s", sqlite3_errmsg(db));
    while (sqlite3_step(statement) == SQLITE_ROW)
        for (int column = 1; column < sqlite3_column_count(statement); column++) {
            if (out->n % 1000 == 0)
                out->cells = realloc(out->cells, ((size_t)out->n + 1000) * sizeof *out->cells);
            out->cells[out->n++] = (struct cell){.table = table,
                                                 .column = column - 1,
                                                 .row = sqlite3_column_int64(statement, 0),
                                                 .value = cell_value(statement, column, &out->arena)};
        }
    sqlite3_finalize(statement);
}

static inline void read_content(sqlite3 *db, struct content *out)
{
    *out = (struct content){0};
    for (int table = 0; table < CONTENT_TABLES; table++)
        read_table_content(db, table, out);
}

static inline void free_content(struct content *content)
{
    free(content->cells);
    sg_arena_free(&content->arena);
}

static inline int compare_cells(const struct cell *a, const struct cell *b)
{
    if (a->table != b->table)
        return a->table < b->table ? -1 : 1;
    if (a->row != b->row)
        return a->row < b->row ? -1 : 1;
    return (a->column > b->column) - (a->column < b->column);
}

/* Walk two contents side by side: the next cell that differs, with NULL where one has none. False at the end.
 */
struct both {
    const struct content *before, *after;
    int i, j;
};

static inline bool next_difference(struct both *both, const struct cell **before, const struct cell **after)
{
    while (both->i < both->before->n || both->j < both->after->n) {
        const struct cell *a = both->i < both->before->n ? &both->before->cells[both->i] : NULL;
        const struct cell *b = both->j < both->after->n ? &both->after->cells[both->j] : NULL;
        int order = !a ? 1 : !b ? -1 : compare_cells(a, b);
        both->i += order <= 0;
        both->j += order >= 0;
        *before = order <= 0 ? a : NULL;
        *after = order >= 0 ? b : NULL;
        if (order != 0 || strcmp(a->value, b->value) != 0)
            return true;
    }
    return false;
}

static inline void assert_same_content(const struct content *a, const struct content *b, const char *when)
{
    struct both both = {.before = a, .after = b};
    const struct cell *x, *y;
    if (next_difference(&both, &x, &y)) {
        const struct cell *cell = x ? x : y;
        ck_abort_msg("%s: %s row %lld column %d: %s, then %s", when, content_tables[cell->table],
                     (long long)cell->row, cell->column, x ? x->value : "nothing", y ? y->value : "nothing");
    }
}

/* The content now is the one that was read before, which is freed. */
static inline void is_as(struct sg_store *store, struct content *before, const char *when)
{
    struct content now;
    read_content(store->db, &now);
    assert_same_content(before, &now, when);
    free_content(&now);
    free_content(before);
}

#endif
