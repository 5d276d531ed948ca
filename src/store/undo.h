/* What the files of undo share: one taking back or doing again, from begin to commit. */
#ifndef SANDGLASS_STORE_UNDO_H
#define SANDGLASS_STORE_UNDO_H

#include "store/history.h"

struct sg_undo {
    struct sg_store *store;
    enum sg_step_kind kind; /* SG_STEP_UNDO or SG_STEP_REDO */
    const char *who;
    double at;
    struct sg_step_told step;  /* to take back or to do again */
    int64_t base;              /* the row that put it into its state: the changes to invert */
    struct sg_changes changes; /* of that row */
    struct sg_touches touches; /* of these, sorted by kind and row */
    uint64_t loose;            /* the column position of a job, where it must not bar */
    struct sg_error *error;
};

/* The columns of these that may bar. */
uint64_t sg_undo_firm(const struct sg_undo *undo, enum sg_kind kind, uint64_t columns);

/* "taken back" or "done again"; the words of the step, cut for a sentence. */
const char *sg_undo_deed(const struct sg_undo *undo);
enum { SG_UNDO_WORDS = 140 };

/* Refuse where the history has a later step, in force now but not then or the other way round, that touched
 * what would come back. */
enum sg_status sg_undo_check_later(struct sg_undo *undo);

/* Refuse because of the last step that touched these columns of a row. */
enum sg_status sg_undo_blame(struct sg_undo *undo, enum sg_kind kind, int64_t row, uint64_t columns);

/* Refuse where one of these rows, as they are now, points to a row that is gone, or is gone and another
 * points to it. */
enum sg_status sg_undo_check_links(struct sg_undo *undo, const struct sg_touches *touches);

/* Invert the changes. Values that are not as they should be, and keys that another row has, refuse. */
enum sg_status sg_undo_apply(struct sg_undo *undo);

#endif
