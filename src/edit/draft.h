/* A draft: the kept shop with changes that nobody has kept yet, and its plan. Typing goes into it on every
 * key; the shop file does not notice.
 *
 * Once warm, typing a number and planning again allocates nothing, but where outlines are laid into each
 * other. */
#ifndef SANDGLASS_DRAFT_H
#define SANDGLASS_DRAFT_H

#include "edit/desk.h"

struct sg_draft;

/* A draft over the desk's shop as it is now; the desk must outlive it. Whatever reloads the desk (a change
 * kept, a look that found news) makes the draft's texts stale: reset it then. Free with sg_draft_free, which
 * takes NULL. */
enum sg_status sg_draft_new(struct sg_desk *desk, struct sg_draft **out, struct sg_error *error);
void sg_draft_free(struct sg_draft *draft);

/* Take the kept shop again: every change of the draft is dropped. */
enum sg_status sg_draft_reset(struct sg_draft *draft, struct sg_error *error);

/* The shop with the changes, and its plan for a shift (valid until the next call on the draft). */
const struct sg_shop *sg_draft_shop(const struct sg_draft *draft);
enum sg_status sg_draft_plan(struct sg_draft *draft, int32_t shift, const struct sg_plan **out,
                             struct sg_error *error);

/* The kept shop that the draft lies over. */
const struct sg_shop *sg_draft_kept(const struct sg_draft *draft);

/* What is typed into a field right now. Whole text that keeps to the rules goes into the draft; anything else
 * puts the kept value back, and typed says what would be right. Fields that move a job (shift, order) are
 * changed with sg_draft_set only. */
void sg_draft_type(struct sg_draft *draft, struct sg_target target, const struct sg_field *field,
                   const char *text, struct sg_typed *typed);

/* The same text typed into one field of several rows of its kind: all of them get it, or all have their kept
 * values back and typed says why; where one row's rule refuses it, with that row's key. */
void sg_draft_type_rows(struct sg_draft *draft, const struct sg_target *targets, int n,
                        const struct sg_field *field, const char *text, struct sg_typed *typed);

/* Assign F=V, ... to a row of the draft, all or none; like sg_desk_set, but only here. */
enum sg_status sg_draft_set(struct sg_draft *draft, const char *key, const char *const *assignments, int n,
                            struct sg_change *changes, struct sg_target *target, struct sg_error *error);

/* Make the draft the kept shop with these edits and nothing else, by the rules of sg_desk_keep. changes gets
 * n entries. On failure the draft is the kept shop; SG_NO where a field is no longer what an edit's `before`
 * says. */
enum sg_status sg_draft_edit(struct sg_draft *draft, const struct sg_edit *edits, int n,
                             struct sg_change *changes, struct sg_error *error);

#endif
