/* Sweeps: a job planned again and again along one setting, to see what it trades: time, garnet, refills,
 * wear, cost, and what bounds it. Each step is a plan of its own of a copy of the shop, so everything that
 * the planner knows counts. Nothing is changed. What a step takes and costs is that of the job alone, as its
 * price (cost.h); only when it ends is of the plan of its shift.
 *
 * A step is allowed where the pump can hold it, the jet cuts, and nobody would be led past what is known: the
 * formula of the traverse has no optimum in garnet, a real jet has. So no garnet feed is allowed above the
 * largest that the shop weighed in a time study, nor, without one, above a loading ratio of 0.15. What is not
 * allowed is computed and shown with its mark all the same. Nor is a step allowed outside the range over
 * which the formula was fitted, unless the job is outside it as it is; and below a loading ratio of 0.01 only
 * if the job's is. Among the allowed the cheapest and the quickest are told.
 *
 * Check of record: for cut time alone, cost ~ Ma^-a (F + c Ma) with a = 0.343 x 1.15, F the cost of a minute
 * of jet without garnet and c the price and disposal of a gram, which is least where c Ma / (F + c Ma) = a.
 * Basis: as the plan; the bounds of 0.15 and 0.01: practice. */
#ifndef SANDGLASS_SWEEP_H
#define SANDGLASS_SWEEP_H

#include "sandglass/cost.h"

enum { SG_SWEEP_STEPS_MAX = 10000 };

/* The largest loading ratio that is offered where no garnet feed was weighed. */
#define SG_SWEEP_LOADING 0.15

/* The least loading ratio at which the formula is believed, where the job's is not below it. */
#define SG_SWEEP_LOADING_LEAST 0.01

enum sg_sweep_field {
    SG_SWEEP_PRESSURE, /* MPa, of the heads that cut the stocks; a low pressure above it goes down with it */
    SG_SWEEP_GARNET,   /* g/min, of those heads */
    SG_SWEEP_EDGE,     /* of the stocks; a part with an edge of its own keeps it */
    SG_SWEEP_ORIFICE,  /* mm, of those heads, with their tubes; both are as worn as those fitted */
    SG_SWEEP_HEAD,     /* index into the shop's heads: which one cuts the stocks */
    SG_SWEEP_FIELDS
};

/* An orifice and the tube that goes with it, mm. tube NaN on a water-only head. */
struct sg_bore_pair {
    double orifice, tube;
};

struct sg_sweep_input {
    const struct sg_shop *shop;
    int32_t job;
    int32_t stock; /* index into the shop's stocks: only it is changed; SG_UNKNOWN: all of the job */
    enum sg_sweep_field field;
    double from, to, step; /* in `unit`; not looked at with pairs and with SG_SWEEP_HEAD, which tries all */
    const struct sg_unit *unit;       /* as they are typed, so that 47 ksi is that of every other step; NULL:
                                         canonical */
    double tube_ratio;                /* of ORIFICE: tube over orifice; NaN: as it is on each head */
    const struct sg_bore_pair *pairs; /* of ORIFICE: just these; NULL: from..to */
    int32_t n_pairs;
    const struct sg_rates *rates;
    double weighed; /* g/min: the largest garnet feed weighed in a time study; NaN: none */
};

/* What bounds a step; a mark says so, and some forbid it. */
enum sg_sweep_bound {
    SG_BOUND_PRESSURE = 1 << 0,   /* pump */
    SG_BOUND_FLOW = 1 << 1,       /* pump */
    SG_BOUND_POWER = 1 << 2,      /* pump */
    SG_BOUND_LOADING = 1 << 3,    /* loading ratio above 0.25 */
    SG_BOUND_UNWEIGHED = 1 << 4,  /* garnet above the largest weighed, or above a ratio of 0.15 without one */
    SG_BOUND_TOP_FEED = 1 << 5,   /* the machine moves no faster */
    SG_BOUND_TYPED = 1 << 6,      /* a feed was typed: the speed does not follow the setting */
    SG_BOUND_RANGE = 1 << 7,      /* outside the range over which the formula was fitted */
    SG_BOUND_TUBE_RATIO = 1 << 8, /* tube over orifice outside 2.5 to 4.5 */
    SG_BOUND_NO_CUT = 1 << 9,     /* will not cut through, or no speed is known */
    SG_BOUND_WATER_NO = 1 << 10,  /* water alone does not cut it */
    SG_BOUND_TOO_COARSE =
        1 << 11,               /* coarser than a part may be: its edge_least, else the edge that is wanted */
    SG_BOUND_NO_END = 1 << 12, /* the plan does not come to the job's end */
    SG_BOUNDS = 13
};

struct sg_sweep_step {
    double value;   /* canonical unit; of HEAD the index */
    double tube;    /* mm, of ORIFICE; else NaN */
    double seconds; /* machine time of the job alone, from a full hopper: cutting, and all that hands stop
                       for it, refills and its share of the shift's chores too */
    double jet, hands_on;   /* s: of the jet; by hand */
    double garnet;          /* kg */
    double water, energy;   /* L, kWh */
    double ends;            /* s after the shift's start at which the job ends in the plan of its shift */
    int32_t refills;        /* of the job alone */
    double tubes, orifices; /* used up, shares of a life; NaN: a life is not known */
    double cost;          /* currency, not rounded, without mark-up and minimum, of the rows that are known */
    double loading_ratio; /* the highest of the stocks; NaN on water-only heads */
    double traverse;      /* mm/min, of the first stock */
    unsigned bounds;      /* enum sg_sweep_bound */
    unsigned forbidding;  /* those of them for which it is not allowed */
    bool allowed;         /* there are none */
};

struct sg_sweep {
    const struct sg_sweep_step *steps; /* in the arena */
    int32_t n_steps;
    int32_t cheapest, quickest; /* steps; SG_UNKNOWN: none is allowed */
    unsigned lacking;           /* enum sg_cost_lack: what the costs leave out */
    bool still_rising; /* the cheapest or the quickest lies at SG_BOUND_UNWEIGHED: say sg_sweep_rising */
};

/* "the formula would go on rising, jets do not" */
extern const char sg_sweep_rising[];

/* Sweep. Steps lie in the arena; a plan that the planner holds is gone afterwards. SG_BAD_DATA with a
 * sentence that names the field, the figure and what would be right: no way from `from` to `to`, more than
 * SG_SWEEP_STEPS_MAX steps, a value out of the field's range, a tube not wider than its orifice, no head that
 * has the field; else as sg_quote_make. */
enum sg_status sg_sweep_make(struct sg_planner *planner, const struct sg_sweep_input *input,
                             struct sg_arena *arena, struct sg_sweep *out, struct sg_error *error);

/* The cheapest and quickest of steps that were made one by one, in the order of their values: fills all of
 * out but what lacks, and keeps steps. */
void sg_sweep_best(enum sg_sweep_field field, const struct sg_sweep_step *steps, int32_t n,
                   struct sg_sweep *out);

/* The field's word as it is typed: "pressure", "garnet", "edge", "orifice", "head"; and the field with that
 * word, or SG_UNKNOWN. */
const char *sg_sweep_word(int field);
int sg_sweep_find(const char *word);

/* A bound's word in files ("pump_power"), and in words ("pump power"); bit is its number, 0 to SG_BOUNDS - 1.
 */
const char *sg_bound_word(int bit);
const char *sg_bound_text(int bit);

#endif
