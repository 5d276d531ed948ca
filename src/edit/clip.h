/* Many rows at once: copied, cut, put elsewhere, doubled, moved up and down, added beside another. Each call
 * that changes the file is one transaction and one step of the history, all of its rows or none; after a
 * failure the desk shows the file as it is.
 *
 * Keys of several rows are of one kind and may come in any order; a row that is named twice is taken once.
 * The rows keep their order in the shop. */
#ifndef SANDGLASS_CLIP_H
#define SANDGLASS_CLIP_H

#include "edit/desk.h"

/* Rows of one kind with what belongs to them (jobs with stocks and parts, stocks with parts), in memory of
 * their own: neither a change of the desk nor its closing touches them. */
struct sg_clip;
void sg_clip_free(struct sg_clip *clip); /* takes NULL */

enum sg_kind sg_clip_kind(const struct sg_clip *clip);
int sg_clip_count(const struct sg_clip *clip);

/* What the last paste of it could not find again, as a sentence; else "". Valid until the next paste. */
const char *sg_clip_said(const struct sg_clip *clip);

/* Copy the rows into a new clip, *clip, to be freed with sg_clip_free. With cut they are removed too
 * ("removed 4 parts of 2604/1: A, B, C, D"); without, nothing is written. SG_USAGE: no key, keys of several
 * kinds, the machine. SG_BAD_DATA: a row is not there, or cannot be removed because something uses it. *clip
 * is left as it was on failure. */
enum sg_status sg_desk_yank(struct sg_desk *desk, const char *const *keys, int n, bool cut,
                            struct sg_clip **clip, struct sg_error *error);

/* Put the rows of the clip below the row that beside names, or above it. beside is of the clip's kind, or
 * what such rows belong to, at whose end they go: shift:ID for jobs, a job for stocks, a stock for parts.
 * Stocks go by their number: they get the next ones of the job. Heads and materials have no order: they go to
 * the end. A key that is taken gets the next free one, A-2 for A. A material or head is found again by its
 * name; where that is gone it is not known, and the history and sg_clip_said say so. *first is the first row
 * that was put. SG_USAGE: beside is of a kind that takes no such rows. SG_BAD_DATA: beside is not there, or
 * no number is left. */
enum sg_status sg_desk_paste(struct sg_desk *desk, struct sg_clip *clip, const char *beside, bool above,
                             struct sg_target *first, struct sg_error *error);

/* Copy the rows, each parent's behind the last of them there. *first is the first copy. Errors as of yank. */
enum sg_status sg_desk_duplicate(struct sg_desk *desk, const char *const *keys, int n,
                                 struct sg_target *first, struct sg_error *error);

/* Move jobs of one shift, parts of one stock, shifts or chores: by < 0 up, by > 0 down, by so many places or
 * as many as there are. Those that are moved keep the places between them. SG_NO with a sentence ("2601 is
 * first already"): the first or last of them has no place to go, nothing is changed. SG_USAGE: rows of
 * several parents, or of a kind that has no order. */
enum sg_status sg_desk_step_rows(struct sg_desk *desk, const char *const *keys, int n, int by,
                                 struct sg_error *error);

/* As sg_desk_add, but the row goes directly below the row that beside names, if that is of the same kind; or
 * to the end of shift:ID (a job), of a job (a stock), of a stock (a part). A stock gets the next number, id
 * is not read. changes gets n entries, and may be NULL where n is 0. SG_USAGE: no job, stock or part is
 * added, beside takes no such row, or a job's shift or order is among the assignments. */
enum sg_status sg_desk_add_beside(struct sg_desk *desk, enum sg_kind kind, const char *beside, const char *id,
                                  const char *const *assignments, int n, struct sg_change *changes,
                                  struct sg_target *target, struct sg_error *error);

/* A key that is free for a new row beside another, as sg_desk_add_beside takes it. A part: the first of A, B,
 * ... Z, AA, ... A job: the number behind the highest of those that are called like the one beside (2607
 * where 2606 is the highest, J-010 for J-009), else like the last that ends in a number, else "job-1".
 * Another kind: its word and a number, beside is not read. Somebody else may take it before it is used.
 * False, and "" in out: a stock, which has a number of its own, or beside is not there or takes no such row.
 */
enum { SG_FREE_ID = 248 };
bool sg_desk_free_id(const struct sg_desk *desk, enum sg_kind kind, const char *beside, char *out,
                     size_t size);

#endif
