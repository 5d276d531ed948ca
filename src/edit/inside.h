/* What the files of the edit room share. */
#ifndef SANDGLASS_EDIT_INSIDE_H
#define SANDGLASS_EDIT_INSIDE_H

#include "edit/desk.h"

/* A shop held in memory, with the arena of its arrays and strings: the kept one
 * of a desk, the changed one of a draft. */
struct sg_held {
    struct sg_arena arena;
    struct sg_shop shop;
};

/* Room for a record of any kind. */
union sg_any {
    struct sg_job job;
    struct sg_stock stock;
    struct sg_part part;
    struct sg_shift shift;
    struct sg_machine machine;
    struct sg_head head;
    struct sg_material material;
    struct sg_chore chore;
    struct sg_rates rates;
    struct sg_clock clock;
    struct sg_record record;
};

struct sg_desk {
    bool own_units; /* shown in other units than the shop's own: */
    enum sg_unit_system units;
    char who[SG_WHO_SIZE]; /* signs the steps */
    int64_t seen; /* the last step of the history that was there at the opening, was told or was made */
    int64_t *own; /* steps made here that stand behind others' steps which are not told yet */
    int n_own, own_room;
    bool stale; /* the file moved, and not all of that is shown and told yet */
    struct sg_store *store;
    struct sg_held held;
    struct sg_planner *planner;
};

/* Set fields of the row that key names, in memory only: everything is read and
 * checked against the rules, jobs are put in order, calendars filled. On
 * failure the shop may be half changed: the caller takes it anew.
 */
enum sg_status sg_held_set(struct sg_held *held, const char *key, const char *const *assignments, int n,
                           struct sg_change *changes, struct sg_target *target, struct sg_error *error);

/* ---- outlines (outlines.c) ---- */

/* sg_field_read, where an outline may be a file, with a unit behind its name. It is then measured into the
 * shop in memory, unless the same outline is there; out->text says what it measures, out->odd that there is
 * something to look at in it. */
void sg_held_read(struct sg_held *held, const struct sg_field *field, const char *text, struct sg_typed *out);

/* The same where the file is looked for in a folder ("" or with a / at its end) first. */
void sg_held_read_beside(struct sg_held *held, const struct sg_field *field, const char *folder,
                         const char *text, struct sg_typed *out);

/* The text of a moment; where it is a time of day alone, with the day of the moment that the record has. */
const char *sg_held_with_day(const struct sg_field *field, const void *record, const char *text,
                             char out[40]);

/* Write a new row, or fields of one that is there, into the open transaction; what belongs to it and is not
 * in the file, the outline of a part, before it. */
enum sg_status sg_desk_insert_row(struct sg_desk *desk, enum sg_kind kind, int64_t parent, const void *record,
                                  int64_t *row, struct sg_error *error);
enum sg_status sg_desk_update_row(struct sg_desk *desk, enum sg_kind kind, const void *record,
                                  const struct sg_field *const *fields, int n, struct sg_error *error);

/* Put the row where its shift and order say, if they are among the changes, and fill its calendar. target
 * becomes where it stands then. */
enum sg_status sg_held_settle(struct sg_held *held, struct sg_target *target, const struct sg_change *changes,
                              int n, struct sg_error *error);

/* Fill the calendar of a shift, the due_epoch of a job. */
void sg_held_fill(struct sg_shop *shop, struct sg_target target);

/* ---- what a number is trusted by (trust.c) ---- */

/* Fields that follow from changes of a row and are not among them: the basis and source of a number that is
 * typed over. Returns how many, at most SG_TRUSTS; settle puts them into the record. */
enum { SG_TRUSTS = 4 };
int sg_trust_follows(enum sg_kind kind, const struct sg_change *changes, int n, const struct sg_field **out);
void sg_trust_settle(enum sg_kind kind, void *record, const struct sg_change *changes, int n);

/* ---- edits of several rows (edits.c) ---- */

/* How many edits are made at once: those of one row that follow one another, up to a field that comes again.
 */
int sg_edits_together(const struct sg_edit *edits, int n);

/* Make the edits in memory. The rules are asked when all are made, since a rule may hold only then. changes
 * gets n entries. SG_NO without a sentence, and *clash and its change say which, where a field is not as its
 * edit's `before` says; nothing is changed then. On another failure the shop may be half changed. */
enum sg_status sg_held_edit(struct sg_held *held, const struct sg_edit *edits, int n,
                            struct sg_change *changes, int *clash, struct sg_error *error);

/* The same in the desk's shop, and written into the open transaction. words (may be NULL) gets the changes in
 * words, as long as they fit. */
enum sg_status sg_desk_edit(struct sg_desk *desk, const struct sg_edit *edits, int n,
                            struct sg_change *changes, int *clash, char *words, size_t size,
                            struct sg_error *error);

/* sg_key_find for what cannot be taken lightly: the whole name of a material or a whole alias, whatever the
 * case, not its beginning. */
enum sg_status sg_key_find_whole(const struct sg_shop *shop, const char *key, struct sg_target *out,
                                 struct sg_error *error);

/* Read the file anew. On failure the desk is as it was. */
enum sg_status sg_desk_reload(struct sg_desk *desk, struct sg_error *error);

/* Take the write lock and read the file anew: it is as the desk shows it for as
 * long as the transaction lasts. */
enum sg_status sg_desk_begin(struct sg_desk *desk, struct sg_error *error);

/* Keep as one step of the history, in these words, where `words` is not NULL
 * and all went well; else take everything back. After a failure the desk shows
 * the file again. Returns the status that stands. */
enum sg_status sg_desk_finish(struct sg_desk *desk, enum sg_status status, const char *words,
                              struct sg_error *error);

/* "quantity of 2604/1/A: 16 -> 20; edge ...", as long as it fits. */
void sg_change_words(const char *key, const struct sg_change *changes, int n, char *out, size_t size);

/* Write the fields that changed of a row of the shop in memory, in the open
 * transaction; with sg_desk_write_fields all but the places of jobs, and *moved
 * becomes true where those are to be written (sg_store_orders). */
enum sg_status sg_desk_write(struct sg_desk *desk, struct sg_target target, const struct sg_change *changes,
                             int n, struct sg_error *error);
enum sg_status sg_desk_write_fields(struct sg_desk *desk, struct sg_target target,
                                    const struct sg_change *changes, int n, bool *moved,
                                    struct sg_error *error);

/* The watch begins: what stands in the history now is no news. */
enum sg_status sg_desk_watch(struct sg_desk *desk, struct sg_error *error);

/* Seconds since the epoch by the clock, for what is signed. */
double sg_desk_now(void);

/* Find the row that was just added, after a reload. */
enum sg_status sg_desk_find_new(struct sg_desk *desk, enum sg_kind kind, int64_t row,
                                struct sg_target *target, struct sg_error *error);

/* The number of the next stock of a job. */
int32_t sg_next_stock_number(const struct sg_shop *shop, int32_t job);

/* Read F=V into a record of that kind; change says what it was and is. The
 * record is untouched on failure. */
enum sg_status sg_held_assign(struct sg_held *held, enum sg_kind kind, void *record, const char *assignment,
                              struct sg_change *change, struct sg_error *error);

/* All of them, none twice. The outline of a part is read before the fields of its row, wherever it stands: a
 * figure that it measures and that is typed along with it is then refused by the rules. */
enum sg_status sg_held_assign_all(struct sg_held *held, enum sg_kind kind, void *record,
                                  const char *const *assignments, int n, struct sg_change *changes,
                                  struct sg_error *error);

/* Put a job whose shift or order was set at its place in memory, the others
 * around it. *moved is its index before and after. to_end: it came into the
 * shift without an order of its own. SG_FAULT: no memory. */
enum sg_status sg_held_place_job(struct sg_held *held, int32_t *moved, bool to_end, struct sg_error *error);

/* No field twice: SG_USAGE. */
enum sg_status sg_change_once(const struct sg_change *changes, int n, struct sg_error *error);

/* Whether a field is among the changes. */
bool sg_change_has(const struct sg_change *changes, int n, const char *field);

#endif
