/* What the files of the run share: its state, and the steps from which the others are made. */
#ifndef SANDGLASS_RUN_INSIDE_H
#define SANDGLASS_RUN_INSIDE_H

#include "sandglass/run.h"

/* kg; so that rounding of a level never asks for a refill or refuses a piece. */
#define LEVEL_SLACK 1e-9
struct sg_run_state {
    const struct sg_run_input *in;
    struct sg_run *run;
    double now;    /* the machine is free */
    double person; /* the person is free */
    double level;  /* kg; a refill under way counts as in */
    int32_t stock_bags, fitted, place;
    double *tube, *orifice;   /* s on each head's parts */
    double *counted;          /* s by chore that falls due */
    double fill_end, fill_kg; /* of the last filling while cutting */
    double longest_gap;
    bool long_piece; /* the next CUT is one that no gap holds */
};

/* Where refills may fall: before a sheet, before a piece, anywhere in one that takes more than a full hopper.
 */
enum sg_run_boundary { SG_REFILL_BY_SHEET, SG_REFILL_BY_PIECE, SG_REFILL_INSIDE };

/* One sheet under the head, and the batch on it that is cut. */
struct sg_run_sheet {
    const struct sg_batch *batch;
    int32_t batch_index, number;
    bool at_start;           /* nothing of the sheet is cut yet */
    int64_t cuts, done;      /* of the batch */
    double each, rest_after; /* s of a cut; kg of all that comes after this batch */
    double kg;               /* of the whole sheet */
    enum sg_run_boundary boundary;
};

/* Add an event; a person's is marked when it starts after the shift. Never NULL. */
struct sg_event *sg_run_push(struct sg_run_state *s, int kind, const struct sg_run_sheet *sheet, double at,
                             double seconds);

/* When a person who is asked for at t can start. */
double sg_run_person_at(const struct sg_run_state *s, double t);

/* A person's event that stops the machine. */
struct sg_event *sg_run_hands_on(struct sg_run_state *s, int kind, const struct sg_run_sheet *sheet,
                                 double seconds);

/* Largest k <= limit with value0 - k step >= floor_value, judged by that very expression. */
int64_t sg_run_steps_down_to(double value0, double step, double floor_value, int64_t limit);

/* The refill rule (run_refill.c): where refills of a sheet may fall; refill here if due or wanted (false:
 * out of garnet); cuts that may follow before the next; wait for a filling while cutting; one piece that
 * takes more than a full hopper. */
enum sg_run_boundary sg_run_boundary(const struct sg_machine *machine, double sheet_kg, double piece_kg);
bool sg_run_refill_if_due(struct sg_run_state *s, const struct sg_run_sheet *sheet);
int64_t sg_run_until_refill(const struct sg_run_state *s, const struct sg_run_sheet *sheet, int64_t limit);
void sg_run_wait_for_filling(struct sg_run_state *s, const struct sg_run_sheet *sheet);
bool sg_run_cut_inside(struct sg_run_state *s, struct sg_run_sheet *sheet);

#endif
