/* Noting what really happens, and the plan of what is left. Each act is one step of the history, which undo
 * takes back whole. Moments are local seconds since 1970-01-01 00:00. */
#ifndef SANDGLASS_ACTUALS_H
#define SANDGLASS_ACTUALS_H

#include "edit/desk.h"
#include "sandglass/actual.h"

/* ---- what is left, from a moment on (actuals_now.c) ---- */

/* Start with {0}; free with sg_now_free, which may be called again. Borrows from the shop. */
struct sg_now {
    struct sg_arena arena;
    struct sg_planner *planner;
    struct sg_actual actual;
    struct sg_rest rest;
    const struct sg_plan *plan; /* of the rest */
};

/* Read the log up to a moment and plan the rest of a shift (SG_UNKNOWN: of the one at work). SG_BAD_DATA:
 * there is no shift. */
enum sg_status sg_now_make(struct sg_now *now, const struct sg_shop *shop, int64_t at, int32_t shift,
                           struct sg_error *error);

/* The same where the next sheet of a stock (SG_UNKNOWN: of none) starts then: a cut of it that nobody stopped
 * ends there. */
enum sg_status sg_now_make_next(struct sg_now *now, const struct sg_shop *shop, int64_t at, int32_t shift,
                                int32_t stock, struct sg_error *error);
void sg_now_free(struct sg_now *now);

/* The latest moment in the log, SG_NO_MOMENT where it is empty. */
int64_t sg_log_end(const struct sg_shop *shop);

/* ---- acts ---- */

/* What the history says of it: "clock started on 2604/1, sheet 1". */
struct sg_noted {
    char words[SG_WORDS_SIZE];
};

struct sg_start {
    enum sg_phase phase;
    const char *place; /* a stock, a part of it, or a job of one stock */
    int32_t sheets;    /* loads, at least 1 */
    bool cut_only;
    const char *note; /* or NULL */
};

/* Start a clock, with its plan as it stands then. What runs ends there. SG_BAD_DATA: no such stock. */
enum sg_status sg_desk_start(struct sg_desk *desk, const struct sg_start *start, int64_t at,
                             struct sg_noted *noted, struct sg_error *error);

/* Whether something may be noted for a moment: later than now by no more than a few minutes and no half a
 * year ago, or near a shift of the shop. SG_BAD_DATA says what would be right. */
enum sg_status sg_note_moment(const struct sg_shop *shop, int64_t at, int64_t now, struct sg_error *error);

/* Note a stop, pause, resume, level, weighing, change of a tube or orifice, service or note: what, at, place,
 * mass, feed and reason of `record`. SG_BAD_DATA: no such head or chore, or what belongs to it is missing; a
 * stop where no clock runs, a resume where the machine does not stand. */
enum sg_status sg_desk_record(struct sg_desk *desk, const struct sg_record *record, struct sg_noted *noted,
                              struct sg_error *error);

/* Pieces. part: a key, an id in the stock under the clock (or clocked last), NULL: the only part of that
 * stock; of all, a stock too. Pieces that are scrapped are taken from those that were not counted, and when
 * there are no more, from those counted as done: they are taken back. */
struct sg_counting {
    bool scrap;
    bool all;      /* what lies on the clocked loads and is not counted yet, of each part where none is named;
                      count says nothing */
    int32_t count; /* below 0: noted by mistake before */
    const char *part, *reason;
};

/* SG_BAD_DATA: no such part; more taken back than was noted; more scrapped than was cut or lies there. */
enum sg_status sg_desk_count(struct sg_desk *desk, const struct sg_counting *counting, int64_t at,
                             struct sg_noted *noted, struct sg_error *error);

/* Bags (SG_UNKNOWN: by mass) or kg into the hopper; the log counts them out of the stock of bags, which like
 * hopper_level stays that of the shift's start. SG_BAD_DATA: bags of a hopper that is filled in bulk, more
 * than there are in stock, more than fit. */
enum sg_status sg_desk_fill(struct sg_desk *desk, int32_t bags, double mass, int64_t at,
                            struct sg_noted *noted, struct sg_error *error);

/* The shift is over: hopper, bags, head, hours, services and sludge become those of machine, heads and
 * chores. to: a shift to which jobs that are not done go, in front, with what is left of them; SG_UNKNOWN:
 * they stay. SG_BAD_DATA: it is closed. (actuals_close.c) */
enum sg_status sg_desk_close_shift(struct sg_desk *desk, int32_t shift, int32_t to, int64_t at,
                                   struct sg_noted *noted, struct sg_error *error);

#endif
