/* What the files of this room share, and its tests: nothing outside includes it. */
#ifndef SANDGLASS_STORE_INSIDE_H
#define SANDGLASS_STORE_INSIDE_H

#include "store/store.h"

/* The history is built on these two; CMakeLists.txt makes sure that the library has them. */
#define SQLITE_ENABLE_SESSION 1
#define SQLITE_ENABLE_PREUPDATE_HOOK 1
#include <sqlite3.h>

/* "sand", in the header of every shop file. */
enum { SG_APPLICATION_ID = 0x73616E64, SG_STORE_WAIT_MS = 5000 };

/* One step of the schema: brings a file of version number - 1 to version number. */
struct sg_step {
    int number;
    const char *name;
    const unsigned char *sql; /* ended by NUL */
};

/* Made of schema/ at the build by schema/embed.cmake. */
extern const struct sg_step sg_schema_steps[];
extern const int sg_schema_n_steps;
extern const unsigned char sg_schema_starter[], sg_schema_example[];

struct sg_drawn_list {
    struct sg_drawn *at;
    int32_t n, room;
};

struct sg_store {
    sqlite3 *db;
    char *path;
    enum sg_store_mode mode;
    int wait_ms;
    /* Prepared at the first use and kept, so that an import of many rows parses each statement once. */
    sqlite3_stmt *insert[SG_KINDS];
    struct {
        sqlite3_stmt *statement;
        uint64_t fields; /* a bit for each field that it sets, by place in the field table */
    } update[SG_KINDS];
    sqlite3_stmt *order;
    int64_t next_row[SG_KINDS]; /* id of the next new row in the open transaction; 0: not yet known */
    sqlite3_session *recording; /* what the open transaction changes; NULL: nothing is recorded */
    int64_t kept;               /* the row of the history that was written last here */
    struct sg_drawn_list
        drawn; /* read once; the outlines lie in drawn_arena for as long as the file is open */
    struct sg_arena drawn_arena;
    sqlite3_stmt *watch;
    int64_t seen; /* data_version at the last look */
};

/* How to open: the tests use other steps and a shorter wait. */
struct sg_opening {
    const struct sg_step *steps;
    int n_steps;
    int wait_ms;
};
enum sg_status sg_store_open_as(const char *path, enum sg_store_mode mode, const struct sg_opening *how,
                                struct sg_store **out, struct sg_error *error);

/* Begin a connection: a store without database, and the settings that each connection of ours has. */
struct sg_store *sg_store_fresh(const char *path, enum sg_store_mode mode, int wait_ms);
enum sg_status sg_store_settle(struct sg_store *store, struct sg_error *error);

/* The sentence and status for a result code of SQLite. */
enum sg_status sg_store_trouble(const struct sg_store *store, int code, struct sg_error *error);

/* Run statements without results; one whole number out of the first row of a query. */
enum sg_status sg_store_run(struct sg_store *store, const char *sql, struct sg_error *error);
enum sg_status sg_store_ask(struct sg_store *store, const char *sql, int64_t *out, struct sg_error *error);

/* Begin to record what changes, and stop; stopping is safe at any time. */
enum sg_status sg_record_start(struct sg_store *store, struct sg_error *error);
void sg_record_stop(struct sg_store *store);

/* An id that no row of that kind ever had. */
enum sg_status sg_store_next_row(struct sg_store *store, enum sg_kind kind, int64_t *row,
                                 struct sg_error *error);

/* Steps are numbered 1, 2, ...: SG_FAULT if not. Bring an open file to the last of them, each in one
 * transaction. sg_store_upgrade makes the checked copy first. */
enum sg_status sg_steps_run(struct sg_store *store, const struct sg_step *steps, int n_steps,
                            struct sg_error *error);
enum sg_status sg_store_upgrade(struct sg_store *store, const struct sg_step *steps, int n_steps,
                                struct sg_error *error);

/* A new file, written beside its place and synced first, then given its name: whole or not at all, and never
 * over another. */
struct sg_beside {
    const char *path;
    char *temporary;
};
enum sg_status sg_beside_write(struct sg_beside *file, const char *path, const void *bytes, size_t size,
                               struct sg_error *error);
enum sg_status sg_beside_publish(struct sg_beside *file, struct sg_error *error);
void sg_beside_drop(struct sg_beside *file);

/* A kind as a table of the shop file. */
struct sg_table {
    const char *name;
    const char *key;    /* column of the key */
    size_t key_offset;  /* in the struct: const char * or, of a stock, int32_t */
    size_t row_offset;  /* in the struct: int64_t */
    const char *parent; /* column of the row it belongs to, NULL if none */
    bool placed;        /* has a column position that is no field: a new row goes to the end */
    const void *fresh;  /* a record of this kind before anyone typed */
};
const struct sg_table *sg_table_of(enum sg_kind kind);
bool sg_table_find(const char *name, enum sg_kind *out);

/* A value of the field table into parameters *at, *at + 1, ... of a statement; false if this field cannot
 * hold it. And back, out of columns *at, ...: false if what stands there is not such a value. A text is
 * copied into the arena. References stay rows of the shop file. */
bool sg_column_bind(sqlite3_stmt *statement, int *at, const struct sg_field *field,
                    const struct sg_shop *shop, const struct sg_value *value);
bool sg_column_read(sqlite3_stmt *statement, int *at, const struct sg_field *field, struct sg_arena *arena,
                    struct sg_value *value);

/* The name of a field's i-th column (of `count`); and in quotes, into a statement. */
void sg_column_name(const struct sg_field *field, int i, char *out, size_t size);
void sg_column_append(sqlite3_str *sql, const struct sg_field *field, int i, const char *before,
                      const char *behind);

/* UTF-8 without control characters and not longer than `max` characters. */
bool sg_text_is_clean(const char *text, int max);

/* The text of column `at` in the arena; "" for NULL; NULL if it is no text that this program writes: over
 * `max` characters, not UTF-8, with control characters. */
const char *sg_column_text(sqlite3_stmt *statement, int at, int max, struct sg_arena *arena);

/* A sentence may quote what stands in a file from a stranger: a terminal must not obey it. */
void sg_disarm(char *text);

/* What is said of a damaged outline, without the file; SG_OK: and on with the next. */
struct sg_bad_drawn {
    enum sg_status (*say)(void *context, const char *sentence);
    void *context;
    bool anew; /* nothing that is remembered is believed, and nothing is remembered */
};

/* The outlines into shop; what is new goes into the store's memory, or without `remember` (in a transaction
 * rows may be read that are never kept) into the arena. sg_store_drop_drawn forgets them. */
enum sg_status sg_store_read_drawn(struct sg_store *store, bool remember, struct sg_arena *arena,
                                   struct sg_shop *shop, const struct sg_bad_drawn *bad,
                                   struct sg_error *error);
void sg_store_drop_drawn(struct sg_store *store);

/* Where the reader puts what it finds wrong: the first ends it with SG_BAD_DATA, or, with say, each is told.
 */
struct sg_findings {
    void (*say)(void *context, const char *sentence);
    void *context;
    int count;
    struct sg_error *error;
};
enum sg_status sg_store_read(struct sg_store *store, struct sg_arena *arena, struct sg_shop *out,
                             struct sg_findings *findings);

#endif
