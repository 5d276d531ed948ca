/* What a lead asks of a plan: when is it done, may I leave, how much fits before a time. Pure functions of
 * plan and shop. Times are seconds after the start of the plan's shift; NaN is "never" or "not known". */
#ifndef SANDGLASS_ASK_H
#define SANDGLASS_ASK_H

#include "sandglass/plan.h"

/* s; so that the rounding of a sum never makes late what is done on the minute. */
#define SG_ASK_SLACK 1e-6

enum { SG_ASK_MOST = 1000000 }; /* pieces of a part that a plan may hold */

/* Whether work comes to an end, and if not, what is in the way. */
enum sg_ask_end {
    SG_ASK_ENDS,
    SG_ASK_NOTHING,   /* there is nothing to cut: it is done from the start */
    SG_ASK_CLOSED,    /* nobody works on that day */
    SG_ASK_NO_GARNET, /* the garnet runs out before it is done */
    SG_ASK_NOT_TIMED  /* the time of a part of it, or of one before it, is not known */
};

struct sg_ask_done {
    enum sg_ask_end end;
    double at;     /* when it is done; 0 for NOTHING, NaN where it does not end */
    int32_t event; /* of NO_GARNET: where the run stops; else -1 */
    int32_t part;  /* of NOT_TIMED: the first such part, index into the shop's; else SG_UNKNOWN */
};

/* When all of the shift, or of one of its jobs (index into the shop's; SG_UNKNOWN: all), is done: its cuts,
 * checks and chores. */
void sg_ask_done(const struct sg_shop *shop, const struct sg_plan *plan, int32_t job,
                 struct sg_ask_done *out);

/* The first part of the shop up to and with `last` that is to be cut in this plan and cannot be timed;
 * SG_UNKNOWN where there is none. */
int32_t sg_ask_untimed(const struct sg_plan *plan, int32_t last);

/* Whether the hopper lasts without a refill. *untimed is the part that cannot be timed, where nothing but it
 * is against it, else SG_UNKNOWN. */
bool sg_ask_lasts(const struct sg_plan *plan, int32_t *untimed);

/* Whether an event asks for somebody: it needs a person and takes time, or the run stops at it. */
bool sg_ask_calls(const struct sg_event *event);

/* The next event after `last` (NULL: from the start) that asks for somebody, NULL behind the last. There is
 * one person, so the order in which they are asked for is that of their starts. */
const struct sg_event *sg_ask_next_call(const struct sg_plan *plan, const struct sg_event *last);

/* Whether nobody is asked for from `from` to `to`: no person's event starts or waits in it, and the run has
 * not stopped before for want of garnet. *event is the first that does, or -1. Where a part cannot be timed
 * the answer is no for all that comes after the parts before it. */
bool sg_ask_alone(const struct sg_plan *plan, double from, double to, int32_t *event);

/* Whether the shift has breaks and all of them are over: of the plan of what is left of it (actual.h). */
bool sg_ask_breaks_over(const struct sg_shop *shop, const struct sg_plan *plan);

/* Cuts of a part that are finished by `by`: a stretch of cuts counts by its cuts, a cut with a stop inside
 * when it is whole. */
int64_t sg_ask_cuts_by(const struct sg_plan *plan, int32_t part, double by);

struct sg_ask_fits {
    int64_t pieces; /* a quantity that is finished by then, one more is not; at most SG_ASK_MOST. Where parts
                       share sheets a smaller one may lie on a later sheet and not be finished */
    bool planned_fits;   /* the quantity in the plan is */
    double planned_at;   /* when that quantity is finished; NaN: never, or not known */
    enum sg_ask_end end; /* CLOSED and NOT_TIMED: it cannot be said, pieces is 0 and planned_fits false */
    int32_t untimed;     /* of NOT_TIMED: the part, else SG_UNKNOWN */
};

/* How many pieces of a part fit before `by`, seconds after the start of its shift, with everything else in
 * the shop as it is. Each try is a whole plan with another quantity, scrap of the part included, so that
 * sheets, refills, breaks and wear count as they would: with `pieces` all of its cuts are finished by then,
 * with one piece more they are not. Errors as sg_plan_shift; plans of the planner become invalid. */
enum sg_status sg_ask_fits(struct sg_planner *planner, const struct sg_shop *shop, int32_t part, double by,
                           struct sg_ask_fits *out, struct sg_error *error);

/* The most pieces of a part that lie on one whole sheet of its stock with nothing else on it, laid out as the
 * plan does: never fewer than `plan`, of the same shop, lays there; 0 where that is not known. Each try is a
 * whole plan of `planner`, which must be another one than that of `plan`. Errors as sg_plan_shift. */
enum sg_status sg_ask_on_sheet(struct sg_planner *planner, const struct sg_shop *shop,
                               const struct sg_plan *plan, int32_t part, int64_t *pieces,
                               struct sg_error *error);

#endif
