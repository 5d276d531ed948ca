/* A second simulator of the run, written from the rules and not from src/core/run.c: one piece after another,
 * plain sums, no stepping in bulk. Slow; for tests only. */
#ifndef SANDGLASS_TESTS_PLAIN_RUN_H
#define SANDGLASS_TESTS_PLAIN_RUN_H

#include "sandglass/run.h"

struct plain_event {
    int kind; /* enum sg_event_kind; a CUT is one piece or a part of one */
    int32_t batch, sheet;
    int64_t piece;             /* of the batch on the sheet, from 0, at or before which it happens */
    double at, seconds, asked; /* s */
    double level, garnet;      /* kg when it starts; kg added or taken */
    int32_t bags;
    int16_t chore;  /* of CHORE */
    unsigned flags; /* enum sg_event_flag */
};

enum { PLAIN_MAX_EVENTS = 4096 };

struct plain_run {
    struct plain_event events[PLAIN_MAX_EVENTS];
    int n_events;
    bool overflow; /* more events than fit: nothing else is valid */
    bool finished;
    double end, hands_on, waiting, level_end;
    double cut_seconds, taken_kg, added_kg;
    int32_t refills, bags, bags_short;
};

/* Run the batches, with input->places as well. */
void plain_run(const struct sg_run_input *input, struct plain_run *out);

/* kg really in the hopper at a time: what has been cut by then is gone, what has been filled by then is in.
 * Only fillings before event number `before` count (n_events: all), so that the level at which one starts
 * does not hold itself. */
double plain_level_at(const struct sg_run_input *input, const struct plain_run *run, double at, int before);

#endif
