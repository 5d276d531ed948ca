/* The plan: everything computed from a shop for one shift. plan(job) is a pure function: the same shop gives
 * the same bits. The planner is the only one who knows the order: setup (jet, traverse, pierce) -> pieces ->
 * sheets -> run -> totals, answers, cautions. Times are seconds after the shift's start, masses kg, lengths
 * mm. NaN is "not known or not applicable". */
#ifndef SANDGLASS_PLAN_H
#define SANDGLASS_PLAN_H

#include "sandglass/caution.h"
#include "sandglass/key.h"
#include "sandglass/placement.h"
#include "sandglass/run.h"
#include "sandglass/setup.h"
#include "sandglass/status.h"

/* What one cut along an outline takes, by one head. */
struct sg_plan_split {
    double straight;            /* s: length / traverse */
    double corner;              /* s lost to slowing at corners and small arcs for the edge */
    double acceleration;        /* s lost to the machine's acceleration */
    double lead, lead_length;   /* s, mm of lead-ins and lead-outs */
    double rapid, rapid_length; /* s, mm from pierce to pierce, and to the next piece */
    double lag, error;          /* mm: of the jet at the traverse, permitted at the edge */
};

static inline double sg_split_cut(const struct sg_plan_split *split)
{
    return split->straight + split->corner + split->acceleration + split->lead;
}

/* A part's seconds, garnet and mass are for its quantity and the scrap allowed for. */
struct sg_plan_part {
    double traverse, edge_cut; /* mm/min and q' of this part */
    double pierce_each;        /* s of one pierce */
    double each;               /* s of one piece: its cut, over the stack */
    double cut, pierce, rapid; /* s of the whole quantity */
    double garnet, mass;       /* kg of the whole quantity */
    int64_t cuts;              /* ceil((quantity + scrap) / stack) */
    int64_t per_sheet;         /* the most that lie on one sheet; 0: not known */
    int64_t crossing;          /* cuts that are taken up again behind an index move */
    double sheets;             /* its share of the stock's sheets, by the area of its boxes; NaN: not known */
    enum sg_basis basis;       /* of each, the weakest of its inputs */
    struct sg_plan_split split; /* of a part with an outline */
};

/* What lies where on the sheets of a stock; a stack counts as one sheet. Owned by the planner. */
struct sg_plan_layout {
    struct sg_layout_sheet
        sizes[SG_MAX_ITEMS + 1]; /* as they lie on the table: remnants, then the whole sheets */
    int32_t n_sizes;
    struct sg_layout_part *boxes; /* of the stock's parts, in their order; quantity 0: not laid out */
    int32_t n_boxes;
    double gap, margin;
    bool across;                     /* the sheet is turned and has a grain: all pieces lie turned with it */
    struct sg_placement *placements; /* those of each of `used` in cutting order */
    struct sg_layout_used *used;     /* in the order in which they are cut */
    int32_t n_used;
    int64_t sheets, lower_bound;
    double utilisation;
    bool interlocked;        /* outlines lie into each other */
    int64_t sheets_of_boxes; /* sheets without that; the same where not interlocked */
    bool common;             /* neighbours lie a kerf apart and share a cut */
    double spared;           /* mm of cut that this spares on all sheets; the times do not count on it */
};

struct sg_plan_stock {
    struct sg_setup setup;
    int32_t head;
    double load;                    /* s of one load */
    double sheet_mass;              /* kg of one sheet */
    double slat_load;               /* kg/m2 of the whole stack */
    int64_t sheets;                 /* SG_UNKNOWN where a part's are not known */
    int64_t remnants;               /* how many of them are remnants */
    int64_t lower_bound;            /* sheets that any layout takes at least; SG_UNKNOWN */
    int32_t first_sheets, n_sheets; /* of the plan; those of the layout first */
    double drop_length, drop_width; /* mm of the largest rectangle of one sheet that is left over and worth
                                       keeping; NaN: none */
    double drop_mass;               /* kg */
    int64_t index_moves;
    double cut, pierce, rapid, garnet, mass;
    int64_t pieces;
    const struct sg_plan_layout *layout; /* NULL where nothing is laid out */
};

struct sg_plan_job {
    double starts,
        ends; /* first event's start and last cut's end; NaN for a job without cuts or past the stop */
    double cut, pierce, rapid, garnet;
    int64_t sheets, pieces; /* sheets SG_UNKNOWN where a stock's are not known */
    double late;            /* s after its due time; 0 in time; NaN without a due time or an end */
};

struct sg_plan_break {
    double from, to;
    bool alone;
    int32_t event; /* the first that asks for a person, or -1 */
};

struct sg_plan_totals {
    double cut, pierce, rapid, hands_on, waiting;
    double elapsed;               /* NaN where there is no end */
    double garnet, water, energy; /* kg, L, kWh at the pump's shaft */
    int32_t bags, refills;
    int32_t bags_to_order;  /* so that reorder bags are left after it */
    double sludge;          /* kg in the tank since its last clean-out, at the end */
    int64_t sheets, pieces; /* sheets SG_UNKNOWN where a job's are not known */
};

/* What the shift starts with: as the machine's fields say, or as the open shifts before it leave it. */
struct sg_plan_start {
    double level;         /* kg in the hopper */
    int32_t bags, fitted; /* bags in stock, index of the head on the machine */
    double late;  /* s after the shift's start at which the machine is free; 0 unless the shift before runs
                     over */
    bool carried; /* from the shifts before */
};

struct sg_plan {
    struct sg_plan_start start;
    bool closed_day; /* nobody works: nothing is cut */
    bool sheet_on;   /* the first sheet lay on the table already */
    bool unknown;    /* a part cannot be timed: the run stops before it, sums that hold it are not known */
    int32_t shift;   /* index into the shop's shifts */
    int32_t first_job, n_jobs; /* of the shop; jobs[0] is first_job */
    int32_t first_stock, n_stocks, first_part, n_parts;
    struct sg_plan_job *jobs;
    struct sg_plan_stock *stocks;
    struct sg_plan_part *parts;
    struct sg_run run; /* events */
    struct sg_batch *batches;
    struct sg_sheets *sheets;    /* in order of the run */
    int32_t n_batches, n_sheets; /* of the run; those of stocks behind a stop lie there too */
    struct sg_plan_totals totals;
    double ends;         /* NaN: it cannot end, or a part's time is not known */
    double over;         /* s past closing; 0 in time; NaN without an end */
    int32_t next_refill; /* event, or -1 */
    bool hopper_lasts;   /* the level at the start needs no refill to the end */
    int32_t n_breaks;
    struct sg_plan_break breaks[SG_MAX_SPANS];
    struct sg_caution *cautions; /* in order of the shop, then of the run */
    int32_t n_cautions;
};

struct sg_planner;

/* A planner keeps its memory, so that planning again allocates nothing once it is warm. NULL when memory is
 * out. */
struct sg_planner *sg_planner_new(void);
void sg_planner_free(struct sg_planner *planner);

/* Plan one shift. A shift that is not over starts as the open shifts before it, by their starts, leave
 * hopper, bags, head and wear, and not before the last of them ends; one that lies on a closed day is left
 * out. The plan is owned by the planner and valid until the next call on it. SG_BAD_DATA: no such shift, or
 * more events than 2^31; SG_FAULT: no memory. */
enum sg_status sg_plan_shift(struct sg_planner *planner, const struct sg_shop *shop, int32_t shift,
                             const struct sg_plan **out, struct sg_error *error);

/* The shift that `plan` shows by default: the first that is not closed, else the last; SG_UNKNOWN without
 * any. */
int32_t sg_plan_default_shift(const struct sg_shop *shop);

/* The least side of a rectangle that is worth keeping as a remnant, mm: about a foot. Basis: common practice.
 */
#define SG_DROP_LEAST 300

/* The number of an event's sheet among those of its stock, from 1. */
int32_t sg_event_sheet(const struct sg_plan *plan, const struct sg_event *event);

/* The shift whose end a change of that row moves: a job's own, else the default one. */
int32_t sg_shift_of(const struct sg_shop *shop, struct sg_target target);

#endif
