/* What the files of the planner share. */
#ifndef SANDGLASS_PLAN_INSIDE_H
#define SANDGLASS_PLAN_INSIDE_H

#include "sandglass/plan.h"

struct sg_planner {
    struct sg_plan plan;
    struct sg_run scratch; /* of the least-wait search */
    unsigned *head_marks;  /* marks of each head already said in this plan */
    bool *material_said;
    int32_t jobs_room, stocks_room, parts_room, batches_room, cautions_room, heads_room, materials_room;
    bool unknown; /* a part's time is not known */
    bool failed;  /* memory ran out */
};

/* Make room for `need` items of an array whose memory is kept. False (and failed) when memory is out. */
bool sg_planner_room(struct sg_planner *planner, void *array, int32_t *room, int32_t need, size_t item);

/* Setups and pieces of every stock of the shift, and the batches of the run (plan_pieces.c). */
void sg_plan_pieces(struct sg_planner *planner, const struct sg_shop *shop);

/* Everything worth saying (plan_cautions.c): of the setups, sheets and parts before the run, then of the run.
 */
void sg_plan_cautions(struct sg_planner *planner, const struct sg_shop *shop);

#endif
