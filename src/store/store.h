/* The shop file: one SQLite database that holds a shop, made, opened, migrated, read and written here and
 * nowhere else. No function computes anything of the plan; all of them may be called with a path from a
 * stranger.
 *
 * Every function that fails fills the error with a sentence that names the file. A file is only ever changed
 * inside a transaction; between sg_store_begin and sg_store_commit a failure leaves the file as it was. */
#ifndef SANDGLASS_STORE_H
#define SANDGLASS_STORE_H

#include "sandglass/arena.h"
#include "sandglass/field.h"
#include "sandglass/shop.h"
#include "sandglass/status.h"

struct sg_store;

/* What a new file holds. */
struct sg_store_new {
    enum sg_unit_system units;
    int32_t date; /* of its first shift, days since 1970-01-01 */
    bool example; /* the invented example shop instead of an empty one; it has a date of its own */
};

/* Make a shop file with the starter library; SG_NO_WRITE if anything is at that path already. The file
 * appears whole or not at all. */
enum sg_status sg_store_create(const char *path, const struct sg_store_new *how, struct sg_error *error);

/* The same shop in memory only; name stands for it in sentences. Close with sg_store_close. */
enum sg_status sg_store_memory(const char *name, const struct sg_store_new *how, struct sg_store **out,
                               struct sg_error *error);

enum sg_store_mode { SG_STORE_READ, SG_STORE_WRITE };

/* Open a shop file and bring it up to this version: a checked backup copy beside it first (PATH.vN.backup),
 * then each step in one transaction. SG_NO_FILE: missing, unreadable, not a shop file; SG_NEWER; SG_BUSY.
 * Opened for reading, a file of an older version is refused with SG_NO_WRITE and a sentence that says how to
 * bring it up. Free with sg_store_close, which takes NULL. */
enum sg_status sg_store_open(const char *path, enum sg_store_mode mode, struct sg_store **out,
                             struct sg_error *error);
void sg_store_close(struct sg_store *store);

/* Read the whole shop in one transaction; its arrays and strings lie in the arena. Calendars and due_epoch
 * are left for the edge to fill. */
enum sg_status sg_store_load(struct sg_store *store, struct sg_arena *arena, struct sg_shop *out,
                             struct sg_error *error);

/* One transaction that takes the write lock at once. Rollback is safe at any time. */
enum sg_status sg_store_begin(struct sg_store *store, struct sg_error *error);
enum sg_status sg_store_commit(struct sg_store *store, struct sg_error *error);
void sg_store_rollback(struct sg_store *store);

/* Set some fields of a row to those in record (a struct of that kind); shop turns the indexes of materials,
 * heads and shifts into rows. */
enum sg_status sg_store_update(struct sg_store *store, enum sg_kind kind, int64_t row,
                               const struct sg_shop *shop, const void *record,
                               const struct sg_field *const *fields, int n_fields, struct sg_error *error);

/* Add a row with every field of record. parent is the job's row of a stock, the stock's row of a part, else
 * 0. A job's place is its order, a stock's its number, a part goes to the end of its stock; job and part and
 * head and material take their key from record. The new row's id goes to *row. A key that exists is
 * SG_BAD_DATA. */
enum sg_status sg_store_insert(struct sg_store *store, enum sg_kind kind, int64_t parent,
                               const struct sg_shop *shop, const void *record, int64_t *row,
                               struct sg_error *error);

/* Renumber: write the shift and order of every job of shop (after a job was moved). */
enum sg_status sg_store_orders(struct sg_store *store, const struct sg_shop *shop, struct sg_error *error);

/* Look for anything wrong: SQLite's own integrity check, foreign keys, every value against the ranges of the
 * field table, keys and orders without gaps or doubles. Calls say once for each finding and returns how many,
 * or -1 with the error filled. */
int sg_store_check(struct sg_store *store, void (*say)(void *context, const char *sentence), void *context,
                   struct sg_error *error);

/* A checked copy of the file at rest. SG_NO_WRITE if the path exists. */
enum sg_status sg_store_backup(struct sg_store *store, const char *path, struct sg_error *error);

#endif
