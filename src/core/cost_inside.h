/* What the files of cost and sweep share: what a job uses, before and after its price is put on it. */
#ifndef SANDGLASS_COST_INSIDE_H
#define SANDGLASS_COST_INSIDE_H

#include "sandglass/cost.h"

/* What one part uses, all of its quantity. */
struct sg_cost_work {
    double amounts[SG_COST_SETUP + 1];            /* by row; of SETUP its share of the job's set-up */
    double machine[SG_CAUSES], labour[SG_CAUSES]; /* s of those two rows, by cause */
    double costs[SG_COST_ROWS];                   /* currency, up to SETUP; 0 where it lacks something */
    unsigned lacks[SG_COST_ROWS];
    double jet; /* s of the jet on one head */
    int64_t cuts;
};

/* What the parts of one stock of the job share, s. */
struct sg_cost_pool {
    double setup, sheets;
};

/* The reckoning of one job, used again for each plan of a shop of the same shape. */
struct sg_cost_job {
    const struct sg_shop *shop; /* of the plan at hand */
    const struct sg_plan *plan;
    int32_t job, first_stock, n_stocks, first_part, n_parts, n_heads;
    struct sg_cost_work *work;     /* of the job's parts */
    struct sg_cost_pool *pools;    /* of its stocks */
    double *changes;               /* s of tube and orifice changes by head */
    const struct sg_chore *chores; /* of the shop itself: in the copy no service falls due */
    int32_t n_chores;
    double job_chores, shift_chores, refills, refills_stop; /* s */
    int32_t head;                                           /* that by_jet asks for */
};

/* Make room in the arena. SG_BAD_DATA: a job without pieces; SG_FAULT: no memory. */
enum sg_status sg_cost_start(const struct sg_shop *shop, int32_t job, struct sg_arena *arena,
                             struct sg_cost_job *out, struct sg_error *error);

/* Work out what the job uses in a plan (cost_work.c), then what that costs, rows up to SETUP (cost.c). */
void sg_cost_take(struct sg_cost_job *cost, const struct sg_shop *shop, const struct sg_plan *plan);
void sg_cost_price(struct sg_cost_job *cost, const struct sg_rates *rates);

/* Deal total cents to n wants by largest remainder. carry (of n, or NULL) is how much each came off too low
 * so far: it is looked at first, and brought up to date. Scratch of n. */
struct sg_cent_place {
    double carry;
    int32_t index;
    bool whole; /* it wants no fraction */
};
void sg_deal_cents(const double *wants, int32_t n, int64_t total, double *carry,
                   struct sg_cent_place *scratch, int64_t *out);

/* A copy of the shop to price the job in: alone in its shift, as the head of cost.h says; heads, stocks and
 * parts may be changed. In the arena; SG_FAULT: no memory. */
enum sg_status sg_cost_copy(const struct sg_shop *shop, int32_t job, struct sg_arena *arena,
                            struct sg_shop *out, struct sg_error *error);

/* Mark-up or margin as a share of the cost; NaN: neither is known. */
double sg_cost_addition(const struct sg_rates *rates);

/* Smallest units in one of a currency. */
double sg_cents_in(int decimals);

/* Check the rates and make what pricing needs: the copy, and the reckoning of the job. */
enum sg_status sg_quote_start(const struct sg_shop *shop, int32_t job, const struct sg_rates *rates,
                              struct sg_arena *arena, struct sg_shop *copy, struct sg_cost_job *cost,
                              struct sg_error *error);

/* Plan the copy and price the job in it. */
enum sg_status sg_quote_copy(struct sg_planner *planner, const struct sg_shop *copy, struct sg_cost_job *cost,
                             const struct sg_rates *rates, struct sg_arena *arena, struct sg_quote *out,
                             struct sg_error *error);

#endif
