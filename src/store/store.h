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

/* Read the whole shop in one transaction; its arrays and strings lie in the arena, its outlines stay with the
 * store. Calendars and due_epoch
 * are left for the edge to fill. */
enum sg_status sg_store_load(struct sg_store *store, struct sg_arena *arena, struct sg_shop *out,
                             struct sg_error *error);

/* One transaction that takes the write lock at once and records what changes. sg_store_keep ends it as a step
 * of the history, sg_store_commit as a change that is none and can not be taken back. Rollback is safe at any
 * time. */
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

/* Add an outline, which gets its row. SG_BAD_DATA: its name is taken, or it has more segments than can be
 * kept. */
enum sg_status sg_store_insert_drawn(struct sg_store *store, struct sg_drawn *drawn, struct sg_error *error);

/* Remove a row with what belongs to it: a job with its stocks and parts, a stock with its parts. The jobs
 * behind a job close up. Or rows of one kind: the first that cannot go ends it. SG_BAD_DATA with what uses it
 * for a shift with jobs, a head or material in use, and for the machine. */
enum sg_status sg_store_remove(struct sg_store *store, enum sg_kind kind, int64_t row,
                               struct sg_error *error);
enum sg_status sg_store_remove_rows(struct sg_store *store, enum sg_kind kind, const int64_t *rows, int n,
                                    struct sg_error *error);

/* Renumber: write the shift and order of every job of shop (after a job was moved). */
enum sg_status sg_store_orders(struct sg_store *store, const struct sg_shop *shop, struct sg_error *error);

/* Let rows of one parent stand in this order: the places that they have are dealt out anew among them. For
 * jobs of a shift, parts of a stock, shifts, chores. */
enum sg_status sg_store_rearrange(struct sg_store *store, enum sg_kind kind, const int64_t *rows, int n,
                                  struct sg_error *error);

/* ---- the history ---- */

enum { SG_WHO_SIZE = 100, SG_WORDS_SIZE = 400 };

/* Who changed something, when, and in which words. Longer texts are cut; control characters become blanks. */
struct sg_step_note {
    const char *who;
    double at; /* seconds since 1970-01-01 UTC */
    const char *words;
};

enum sg_step_kind { SG_STEP_CHANGE, SG_STEP_UNDO, SG_STEP_REDO };

/* A row of the history. */
struct sg_step_told {
    int64_t id; /* a later one is higher */
    int64_t of; /* undo, redo: the change that was taken back or done again; else 0 */
    enum sg_step_kind kind;
    bool undone; /* a change that is taken back now */
    double at;
    char who[SG_WHO_SIZE], words[SG_WORDS_SIZE];
};

/* Commit what was changed since sg_store_begin as one step. Where nothing changed, no step is written. The
 * words stand in later refusals: "due of 2606: 27 Nov -> 30 Nov". On failure all is rolled back. */
enum sg_status sg_store_keep(struct sg_store *store, const struct sg_step_note *note, struct sg_error *error);

/* The id of the last row of the history that was written through this store, 0 if none: what sg_store_news
 * need not tell its own screen. */
int64_t sg_store_kept(const struct sg_store *store);

/* Take back the latest step of `who` that is not taken back; do again the one that `who` took back last. One
 * transaction, outside of any other; itself a row of the history with the words "undo: ..." or "redo: ...".
 * *told is the step.
 * SG_NO: there is none; or, for redo, who has kept another step since; or the step was kept by an earlier
 * version of the file.
 * SG_BAD_DATA, nothing changed: a later step changed what would come back; the sentence has who, when (local
 * time) and its words. The order of jobs is in the way only where the step itself is about it. */
enum sg_status sg_store_undo(struct sg_store *store, const char *who, double at, struct sg_step_told *told,
                             struct sg_error *error);
enum sg_status sg_store_redo(struct sg_store *store, const char *who, double at, struct sg_step_told *told,
                             struct sg_error *error);

/* Call say for the rows of the history, newest first; limit 0: all of them. say must leave the store alone.
 */
enum sg_status sg_store_history(struct sg_store *store, int limit,
                                void (*say)(void *context, const struct sg_step_told *step), void *context,
                                struct sg_error *error);

/* The rows behind the one with id `after`, oldest first. */
enum sg_status sg_store_news(struct sg_store *store, int64_t after,
                             void (*say)(void *context, const struct sg_step_told *step), void *context,
                             struct sg_error *error);

/* The last row of the history that set a field of a row, or added the row. SG_NO if none did: it is from
 * before the history. */
enum sg_status sg_store_last_set(struct sg_store *store, enum sg_kind kind, int64_t row,
                                 const struct sg_field *field, struct sg_step_told *out,
                                 struct sg_error *error);

/* Whether another connection has committed something since the last call (the first: since opening). Does not
 * wait; cheap enough for ten times a second. */
bool sg_store_moved(struct sg_store *store);

/* ---- what-ifs (what_if.c) ---- */

struct sg_what_if {
    const char *name, *edits; /* edits: lines KEY TAB FIELD=VALUE */
    const char *who;
    double at; /* seconds since 1970-01-01 UTC */
};

/* Keep a what-if under its name, over one that has it; drop one (SG_BAD_DATA if there is none); call say for
 * each, the oldest first. Each is a transaction of its own and no step of the history. */
enum sg_status sg_store_what_if_put(struct sg_store *store, const struct sg_what_if *what_if,
                                    struct sg_error *error);
enum sg_status sg_store_what_if_drop(struct sg_store *store, const char *name, struct sg_error *error);
enum sg_status sg_store_what_ifs(struct sg_store *store,
                                 void (*say)(void *context, const struct sg_what_if *what_if), void *context,
                                 struct sg_error *error);

/* Look for anything wrong: SQLite's own integrity check, foreign keys, every value against the ranges of the
 * field table, keys and orders without gaps or doubles, the history. Calls say once for each finding and
 * returns how many, or -1 with the error filled. */
int sg_store_check(struct sg_store *store, void (*say)(void *context, const char *sentence), void *context,
                   struct sg_error *error);

/* A checked copy of the file at rest. SG_NO_WRITE if the path exists. */
enum sg_status sg_store_backup(struct sg_store *store, const char *path, struct sg_error *error);

#endif
