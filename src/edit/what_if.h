/* What-ifs: named copies of the plan that are kept in the shop file until they are dropped, and compared with
 * the plan. */
#ifndef SANDGLASS_WHAT_IF_H
#define SANDGLASS_WHAT_IF_H

#include "edit/draft.h"

enum { SG_WHAT_IF_EDITS = 200 };

/* The edits of a what-if. Big: have it on the heap or static. */
struct sg_what_if_edits {
    struct sg_edit edits[SG_WHAT_IF_EDITS];
    int n;
    bool found; /* there is a what-if of that name */
};

/* Read the edits of a what-if; found is false and n 0 where there is none. */
enum sg_status sg_what_if_read(struct sg_desk *desk, const char *name, struct sg_what_if_edits *out,
                               struct sg_error *error);

/* Add F=V, ... of a row to a what-if, which is made where missing; of two who add at once both get theirs in.
 * The draft then shows it. What does not go through the rules is refused: nothing is kept, and the draft is
 * the kept shop. */
enum sg_status sg_what_if_add(struct sg_desk *desk, struct sg_draft *draft, const char *name, const char *key,
                              const char *const *assignments, int n, struct sg_error *error);

/* Make the draft show a what-if over the plan as it is now. SG_BAD_DATA where an edit no longer goes: a row
 * that is gone; the draft is the kept shop then. */
enum sg_status sg_what_if_show(struct sg_draft *draft, const struct sg_what_if_edits *edits,
                               struct sg_error *error);

/* Put it into the plan as one step, and drop it. SG_BAD_DATA where it was changed since its edits were read.
 */
enum sg_status sg_what_if_keep(struct sg_desk *desk, const char *name, const struct sg_what_if_edits *edits,
                               struct sg_error *error);

#endif
