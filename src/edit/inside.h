/* What the files of the edit room share. */
#ifndef SANDGLASS_EDIT_INSIDE_H
#define SANDGLASS_EDIT_INSIDE_H

#include "edit/desk.h"

struct sg_desk {
    struct sg_store *store;
    struct sg_arena arena; /* holds the shop */
    struct sg_shop shop;
    struct sg_planner *planner;
};

/* Read the file anew. On failure the desk is as it was. */
enum sg_status sg_desk_reload(struct sg_desk *desk, struct sg_error *error);

/* Take the write lock and read the file anew: it is as the desk shows it for as long as the transaction
 * lasts. */
enum sg_status sg_desk_begin(struct sg_desk *desk, struct sg_error *error);

/* Commit where keep and all went well, else take everything back. After a failure the desk shows the file
 * again. Returns the status that stands. */
enum sg_status sg_desk_finish(struct sg_desk *desk, enum sg_status status, bool keep, struct sg_error *error);

/* The number of the next stock of a job. */
int32_t sg_next_stock_number(const struct sg_shop *shop, int32_t job);

/* Read F=V into a record of that kind; change says what it was and is. The record is untouched on failure. */
enum sg_status sg_desk_assign(struct sg_desk *desk, enum sg_kind kind, void *record, const char *assignment,
                              struct sg_change *change, struct sg_error *error);

/* Put a job whose shift or order was set at its place in memory, the others around it. *moved is its index
 * before and after. to_end: it came into the shift without an order of its own. SG_FAULT: no memory. */
enum sg_status sg_desk_place_job(struct sg_desk *desk, int32_t *moved, bool to_end, struct sg_error *error);

#endif
