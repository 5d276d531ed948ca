/* The time of a part along its outline. */
#include "plan_inside.h"

#include "sandglass/motion.h"
#include "sandglass/outline.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The jet's exit trails its entry by 0.231 of the thickness at the separation speed (derived from the
 * recalled constants 182/788 of Zeng, Olsen & Olsen 1999, a factor of 2), and by the 1/1.15th power of the
 * feed. */
static const double lag_per_height = 0.231, lag_power = 1 / 1.15;

/* Between the errors permitted at two whole edges; finer edges permit less. */
double sg_edge_error(const struct sg_machine *machine, double edge)
{
    int below = (int)floor(edge);
    below = below < 1 ? 1 : below > SG_EDGES - 1 ? SG_EDGES - 1 : below;
    double part = edge - below;
    return machine->edge_error[below - 1] * (1 - part) + machine->edge_error[below] * part;
}

double sg_jet_lag(const struct sg_setup *setup, double traverse)
{
    if (!setup->abrasive || !(setup->separation > 0) || !(traverse > 0))
        return 0;
    return lag_per_height * setup->height * pow(traverse / setup->separation, lag_power);
}

static struct sg_motion_limits limits_of(const struct sg_machine *machine, const struct sg_stock *stock,
                                         const struct sg_part *part, const struct sg_setup *setup)
{
    double edge = sg_known(part->edge) ? part->edge : stock->edge;
    return (struct sg_motion_limits){.feed = setup->traverse / 60,
                                     .top = machine->top_feed / 60,
                                     .acceleration = machine->acceleration,
                                     .deviation = SG_DEVIATION,
                                     .lag = sg_jet_lag(setup, setup->traverse),
                                     .error = sg_edge_error(machine, edge)};
}

/* ---- what was worked out before ---- */

/* One outline at one set of limits: a change of a quantity must not walk a million segments again. */
struct sg_motion_kept {
    uint64_t print; /* of the outline; 0: nothing is kept here */
    struct sg_motion_limits limits;
    struct sg_motion motion;
};

enum { KEPT = 4096 }; /* a power of two */

struct sg_motions {
    struct sg_motion_memory *scratch;
    struct sg_motion_kept kept[KEPT];
};

static bool same_limits(const struct sg_motion_limits *a, const struct sg_motion_limits *b)
{
    return a->feed == b->feed && a->top == b->top && a->acceleration == b->acceleration &&
           a->deviation == b->deviation && a->lag == b->lag && a->error == b->error;
}

static size_t place_of(uint64_t print, const struct sg_motion_limits *limits)
{
    uint64_t bits, hash = print;
    const double parts[] = {limits->feed, limits->lag, limits->error, limits->acceleration};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        memcpy(&bits, &parts[i], sizeof bits);
        hash = (hash ^ bits) * 0x9e3779b97f4a7c15;
        hash ^= hash >> 29;
    }
    return (size_t)(hash & (KEPT - 1));
}

static struct sg_motions *motions_of(struct sg_planner *planner)
{
    if (!planner->motions) {
        planner->motions = calloc(1, sizeof *planner->motions);
        if (planner->motions && !(planner->motions->scratch = sg_motion_memory_new())) {
            free(planner->motions);
            planner->motions = NULL;
        }
    }
    return planner->motions;
}

void sg_plan_motions_free(struct sg_motions *motions)
{
    if (!motions)
        return;
    sg_motion_memory_free(motions->scratch);
    free(motions);
}

static bool motion_of(struct sg_planner *planner, const struct sg_drawn *drawn,
                      const struct sg_motion_limits *limits, struct sg_motion *out)
{
    struct sg_motions *motions = motions_of(planner);
    if (!motions)
        return false;
    struct sg_motion_kept *kept = &motions->kept[place_of(drawn->print, limits)];
    if (kept->print == drawn->print && same_limits(&kept->limits, limits)) {
        *out = kept->motion;
        return true;
    }
    if (!sg_motion_outline(drawn->outline, limits, motions->scratch, out))
        return false;
    *kept = (struct sg_motion_kept){drawn->print, *limits, *out};
    return true;
}

/* ---- one cut of a part ---- */

void sg_plan_outline(struct sg_planner *planner, const struct sg_shop *shop, const struct sg_stock *stock,
                     const struct sg_part *part, const struct sg_setup *setup, struct sg_plan_split *out)
{
    const struct sg_machine *machine = &shop->machine;
    const struct sg_drawn *drawn = &shop->drawn[part->outline];
    struct sg_motion_limits limits = limits_of(machine, stock, part, setup);
    struct sg_motion motion;
    double step = sg_known(part->width) ? part->width + sg_plan_spacing(stock, setup->kerf) : 0;
    double lead = drawn->program ? 0 : sg_lead(machine->lead, setup->height);
    *out = (struct sg_plan_split){.lag = limits.lag, .error = limits.error};
    out->lead_length = sg_outline_leads(drawn->outline, lead);
    out->rapid = sg_outline_rapid(drawn->outline, lead, step, machine->rapid / 60, machine->acceleration,
                                  &out->rapid_length);
    if (sg_known(part->rapid_length)) {
        out->rapid_length = part->rapid_length;
        out->rapid = part->rapid_length / machine->rapid * 60;
    }
    if (!(limits.feed > 0)) { /* never, or not known */
        out->straight = limits.feed == 0 ? (double)INFINITY : (double)NAN;
        return;
    }
    if (!motion_of(planner, drawn, &limits, &motion)) {
        planner->failed = true;
        return;
    }
    out->straight = motion.straight;
    out->corner = motion.corner;
    out->acceleration = motion.acceleration;
    out->lead = out->lead_length / limits.feed;
}
