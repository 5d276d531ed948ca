/* Small runs at random: every setting that the run knows, figures round often enough to meet the edges (a
 * piece that just ends at a break, a hopper that just lasts). */
#ifndef SANDGLASS_TESTS_RANDOM_RUN_H
#define SANDGLASS_TESTS_RANDOM_RUN_H

#include "sandglass/run.h"
#include "support/random.h"

enum { RANDOM_SHEETS = 6, RANDOM_ON_SHEET = 3, RANDOM_PLACES = 6, RANDOM_CHORES = 5 };

struct random_run {
    struct sg_calendar calendar;
    struct sg_machine machine;
    struct sg_head heads[3]; /* abrasive, water, a second abrasive one */
    struct sg_batch batches[RANDOM_SHEETS * RANDOM_ON_SHEET];
    struct sg_sheets sheets[RANDOM_SHEETS];
    struct sg_chore chores[RANDOM_CHORES];
    struct sg_refill_place places[RANDOM_PLACES];
    struct sg_run_input input; /* points into the same struct: do not copy it */
};

struct random_limits {
    int sheets;        /* of different kinds, at most */
    int on_sheet;      /* batches on one, at most; 0: one */
    int copies;        /* sheets that are cut alike, at most; 0: four */
    int cuts;          /* of a batch on a sheet, at most */
    bool inside;       /* pieces that take more than a full hopper may come up */
    bool no_load_time; /* some loads take no time */
    int breaks;        /* at most */
    bool chores; /* the shop's own work, a late start, a sheet that lies on the table already may come up */
    bool places; /* refills wanted early may come up */
    unsigned short_stock; /* one in this many has few bags; 0: never */
};

/* The boundaries at which a refill may fall, in order; with r one in eight of them. More than max: max + 1,
 * or with r the first ones. */
int random_boundaries(const struct sg_run_input *input, struct sg_refill_place *places, int max,
                      struct random *r);

void random_run_make(struct random *r, const struct random_limits *limits, struct random_run *out);

#endif
