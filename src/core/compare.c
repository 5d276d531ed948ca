#include "sandglass/compare.h"

static double ends(const struct sg_plan *plan)
{
    return plan->ends;
}

static double over(const struct sg_plan *plan)
{
    return plan->over;
}

static double cut(const struct sg_plan *plan)
{
    return plan->totals.cut;
}

static double pierce(const struct sg_plan *plan)
{
    return plan->totals.pierce;
}

static double rapid(const struct sg_plan *plan)
{
    return plan->totals.rapid;
}

static double hands_on(const struct sg_plan *plan)
{
    return plan->totals.hands_on;
}

static double waiting(const struct sg_plan *plan)
{
    return plan->totals.waiting;
}

static double garnet(const struct sg_plan *plan)
{
    return plan->totals.garnet;
}

static double water(const struct sg_plan *plan)
{
    return plan->totals.water;
}

static double energy(const struct sg_plan *plan)
{
    return plan->totals.energy;
}

/* What a run that stops before a part that cannot be timed does not tell of the whole shift. */
static double of_whole_run(const struct sg_plan *plan, double value)
{
    return plan->unknown ? (double)NAN : value;
}

static double refills(const struct sg_plan *plan)
{
    return of_whole_run(plan, plan->totals.refills);
}

static double bags(const struct sg_plan *plan)
{
    return of_whole_run(plan, plan->totals.bags);
}

static double level_end(const struct sg_plan *plan)
{
    return of_whole_run(plan, plan->run.level_end);
}

static double sheets(const struct sg_plan *plan)
{
    return plan->totals.sheets == SG_UNKNOWN ? (double)NAN : (double)plan->totals.sheets;
}

static double pieces(const struct sg_plan *plan)
{
    return (double)plan->totals.pieces;
}

const struct sg_compare_row sg_compare_rows[] = {
    {"ends_s", "shift ends", SG_COMPARE_MOMENT, SG_DIM_DURATION, ends},
    {"over_s", "over", SG_COMPARE_DURATION, SG_DIM_DURATION, over},
    {"cut_s", "cutting", SG_COMPARE_DURATION, SG_DIM_DURATION, cut},
    {"pierce_s", "piercing", SG_COMPARE_DURATION, SG_DIM_DURATION, pierce},
    {"rapid_s", "rapid", SG_COMPARE_DURATION, SG_DIM_DURATION, rapid},
    {"hands_on_s", "hands on", SG_COMPARE_DURATION, SG_DIM_DURATION, hands_on},
    {"waiting_s", "waiting", SG_COMPARE_DURATION, SG_DIM_DURATION, waiting},
    {"refills", "refills", SG_COMPARE_COUNT, SG_DIM_NUMBER, refills},
    {"bags", "bags", SG_COMPARE_COUNT, SG_DIM_NUMBER, bags},
    {"garnet_kg", "garnet", SG_COMPARE_NUMBER, SG_DIM_MASS, garnet},
    {"level_end_kg", "hopper at the end", SG_COMPARE_NUMBER, SG_DIM_MASS, level_end},
    {"water_l", "water", SG_COMPARE_NUMBER, SG_DIM_VOLUME, water},
    {"energy_kwh", "energy", SG_COMPARE_NUMBER, SG_DIM_ENERGY, energy},
    {"sheets", "sheets", SG_COMPARE_COUNT, SG_DIM_NUMBER, sheets},
    {"pieces", "pieces", SG_COMPARE_COUNT, SG_DIM_NUMBER, pieces},
    {NULL, NULL, SG_COMPARE_COUNT, SG_DIM_NUMBER, NULL},
};

double sg_compare_saving(const struct sg_plan *before, const struct sg_plan *after)
{
    if (sg_known(before->ends) && sg_known(after->ends))
        return before->ends - after->ends;
    if (sg_known(after->ends))
        return (double)INFINITY;
    return sg_known(before->ends) ? -(double)INFINITY : (double)NAN;
}
