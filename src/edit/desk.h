/* The desk: a shop file open for work, with the plan of what is kept in it.
 * Commands and screens go through it, so that each rule of editing
 * stands here once.
 *
 * A change is read, checked against the field table and the rules, and kept as
 * one transaction that reads the file anew first, so that two people who change
 * different things both keep theirs; or nothing is changed at all. */
#ifndef SANDGLASS_DESK_H
#define SANDGLASS_DESK_H

#include "sandglass/key.h"
#include "sandglass/plan.h"
#include "sandglass/status.h"
#include "store/store.h"

#include <time.h>

struct sg_desk;

/* Open a shop file. Errors as sg_store_open and sg_store_load. Close with
 * sg_desk_close, which takes NULL. */
enum sg_status sg_desk_open(const char *path, enum sg_store_mode mode, struct sg_desk **out,
                            struct sg_error *error);
void sg_desk_close(struct sg_desk *desk);

/* The shop as kept (after a change: as changed). Valid until the next change.
 */
const struct sg_shop *sg_desk_shop(const struct sg_desk *desk);
struct sg_store *sg_desk_store(struct sg_desk *desk);

/* Who signs what is changed. */
const char *sg_desk_who(const struct sg_desk *desk);

/* Show and read bare numbers in these units from now on, whatever the shop's own are; the file keeps its own.
 */
void sg_desk_units(struct sg_desk *desk, enum sg_unit_system units);

/* Its plan for a shift; valid until the next call on the desk. */
enum sg_status sg_desk_plan(struct sg_desk *desk, int32_t shift, const struct sg_plan **out,
                            struct sg_error *error);

enum { SG_CHANGE_TEXT = 400 };

/* One field of one row, as it was and as it is. */
struct sg_change {
    const struct sg_field *field;
    char before[SG_CHANGE_TEXT], after[SG_CHANGE_TEXT]; /* as shown, cut to fit */
    char say[300];                                      /* "read as 4.5", "unusually large, kept", or "" */
    bool odd;
};

/* Set fields of the row that key names; assignments are texts F=V. All of them
 * or none. With keep false the desk's shop is changed but not the file. changes
 * gets n entries. *target (may be NULL) is the row in the changed shop. */
enum sg_status sg_desk_set(struct sg_desk *desk, const char *key, const char *const *assignments, int n,
                           bool keep, struct sg_change *changes, struct sg_target *target,
                           struct sg_error *error);

/* Add a row: a job (id), a stock (to the job `parent`), a part (id, to the
 * stock `parent`), a shift, head or material (id). today is the date of a new
 * shift. *target is the new row. */
enum sg_status sg_desk_add(struct sg_desk *desk, enum sg_kind kind, const char *parent, const char *id,
                           const char *const *assignments, int n, int32_t today, struct sg_change *changes,
                           struct sg_target *target, struct sg_error *error);

/* One field of one row, as it would be typed. */
struct sg_edit {
    char key[1200];
    char assignment[300];
    const char *longer; /* the assignment where it has no room there, borrowed; else NULL */
    const char *before; /* what it was based on, as sg_field_show writes it, whole; NULL: whatever it is */
};

/* A field that somebody else set while it was being typed. */
struct sg_clash {
    int edit; /* index of the edit */
    char theirs[SG_CHANGE_TEXT], yours[SG_CHANGE_TEXT];
    struct sg_step_told step; /* theirs: who, when, words; id 0 where the history does not say */
};

/* Keep edits of any number of rows as one step; all of them or none: the rules
 * are asked when all are made, so the start, end and breaks of a shift may come
 * together. Edits of one row that follow one another are one change of it. words
 * NULL: made from the changes. changes gets n entries. SG_NO with *clash
 * filled, and nothing kept, where a field is no longer what an edit's `before`
 * says. */
enum sg_status sg_desk_keep(struct sg_desk *desk, const struct sg_edit *edits, int n, const char *words,
                            struct sg_change *changes, struct sg_clash *clash, struct sg_error *error);

/* Remove the row that key names with what belongs to it; copy a row with what
 * belongs to it under a new key: a job to a new job's key, a stock to a JOB, a
 * part to JOB/STOCK or JOB/STOCK/PART, others within their kind (head:a to
 * head:b); move a job to shift:ID, a stock to a JOB, a part to
 * JOB/STOCK[/PART]. *target is where the row is then. */
enum sg_status sg_desk_remove(struct sg_desk *desk, const char *key, struct sg_error *error);
enum sg_status sg_desk_copy(struct sg_desk *desk, const char *from, const char *to, struct sg_target *target,
                            struct sg_error *error);
enum sg_status sg_desk_move(struct sg_desk *desk, const char *from, const char *to, struct sg_target *target,
                            struct sg_error *error);

/* Sheet `number` (from 1, as the plan counts) of a stock, or so many pieces of a part, were spoilt: the
 * pieces are added to the scrap of their parts, so that they are cut again and what they take is asked for.
 * One step of the history, which undo takes back. SG_BAD_DATA: there is no such sheet. (scrap.c) */
enum sg_status sg_desk_scrap(struct sg_desk *desk, struct sg_target target, int64_t number,
                             struct sg_error *error);

/* ---- who, undo, watch (steps.c) ---- */

/* Who signs what is changed through the desk from now on. The text is copied;
 * empty: "somebody". */
void sg_desk_sign(struct sg_desk *desk, const char *who);

/* Take back the signer's last step, or do it again; as sg_store_undo and
 * sg_store_redo say. *told is that step. */
enum sg_status sg_desk_undo(struct sg_desk *desk, struct sg_step_told *told, struct sg_error *error);
enum sg_status sg_desk_redo(struct sg_desk *desk, struct sg_step_told *told, struct sg_error *error);

/* Look whether the file was changed by another than this desk since it was
 * opened or looked at last, be it under the same name: if so the desk shows it
 * as it is now, say is called for each step of others since, and *moved is
 * true. Cheap enough for ten times a second. On failure (SG_BUSY) *moved says
 * whether the desk shows the file anew all the same, and what was not told is
 * told by a later look. */
enum sg_status sg_desk_look(struct sg_desk *desk, bool *moved,
                            void (*say)(void *context, const struct sg_step_told *step), void *context,
                            struct sg_error *error);

/* A part on its way into the plan: from a parts list. */
struct sg_incoming {
    struct sg_part part;
    const bool *has; /* by index of sg_fields(SG_KIND_PART): replace only what the
                        list said */
    const char
        *material;       /* its name in the library, exactly, which no other's change moves; NULL: not said */
    double thickness;    /* mm, or NaN */
    const char *outline; /* file of its drawing or part program; NULL: not said */
};

/* Why a row of a list is refused, so that who asks can say what to do about it there. */
enum sg_refusal {
    SG_REFUSED_EXISTS,   /* the part is in the plan, and is not to be replaced */
    SG_REFUSED_NO_STOCK, /* nothing says which sheets it is cut from */
    SG_REFUSED_OTHER
};

struct sg_import_how {
    bool replace;     /* a part that exists takes what the list says; else its row is
                         refused */
    bool good_only;   /* refused rows are left out; else one refusal stops all */
    bool keep;        /* false: write nothing */
    const char *list; /* what it is called, for the history */
    const char
        *path; /* the list's file: the files of outlines lie beside it, or where they say; NULL: none */
    /* Called for each refused row, in order. */
    void (*refuse)(void *context, int row, enum sg_refusal why, const char *sentence);
    /* Called for each row that is taken with an outline in which there is something to look at; or NULL. */
    void (*remark)(void *context, int row, const char *sentence);
    void *context;
};

struct sg_import_result {
    int added, replaced, stocks_made, refused;
};

/* Bring parts in as one transaction: all into the stock where key names one,
 * which refuses those that are said to be of another material or thickness,
 * else into the job's stocks of their material and thickness, which are made
 * where missing. SG_BAD_DATA and nothing written where a row is refused and not
 * good_only; result->refused is then not 0. The desk then shows the shop as it is in the file; with keep
 * false the result only tells what would be. */
enum sg_status sg_desk_import(struct sg_desk *desk, const char *key, const struct sg_incoming *parts, int n,
                              const struct sg_import_how *how, struct sg_import_result *result,
                              struct sg_error *error);

/* Fill a shift's calendar (and a job's due_epoch) from its local times by the
 * time zone of TZ: real seconds, across a clock change too (calendar.c). */
void sg_calendar_fill(struct sg_shift *shift);
double sg_moment_epoch(int64_t local_seconds);
void sg_calendar_fill_all(struct sg_shop *shop);

#endif
