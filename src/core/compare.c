#include "sandglass/compare.h"

static double ends(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->ends;
}

static double over(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->over;
}

static double cut(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.cut;
}

static double pierce(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.pierce;
}

static double rapid(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.rapid;
}

static double hands_on(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.hands_on;
}

static double waiting(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.waiting;
}

static double garnet(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.garnet;
}

static double water(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.water;
}

static double energy(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.energy;
}

/* What a run that stops before a part that cannot be timed does not tell of the whole shift. */
static double of_whole_run(const struct sg_plan *plan, double value)
{
    return plan->unknown ? (double)NAN : value;
}

static double refills(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return of_whole_run(plan, plan->totals.refills);
}

static double bags(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return of_whole_run(plan, plan->totals.bags);
}

static double level_end(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return of_whole_run(plan, plan->run.level_end);
}

static double sheets(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return plan->totals.sheets == SG_UNKNOWN ? (double)NAN : (double)plan->totals.sheets;
}

static double pieces(const struct sg_plan *plan, int32_t job)
{
    (void)job;
    return (double)plan->totals.pieces;
}

/* ---- one job ---- */

static double job_cut(const struct sg_plan *plan, int32_t job)
{
    return plan->jobs[job].cut;
}

static double job_pierce(const struct sg_plan *plan, int32_t job)
{
    return plan->jobs[job].pierce;
}

static double job_rapid(const struct sg_plan *plan, int32_t job)
{
    return plan->jobs[job].rapid;
}

static double job_garnet(const struct sg_plan *plan, int32_t job)
{
    return plan->jobs[job].garnet;
}

static double job_ends(const struct sg_plan *plan, int32_t job)
{
    return plan->jobs[job].ends;
}

static double job_late(const struct sg_plan *plan, int32_t job)
{
    return plan->jobs[job].late;
}

static double job_sheets(const struct sg_plan *plan, int32_t job)
{
    return plan->jobs[job].sheets == SG_UNKNOWN ? (double)NAN : (double)plan->jobs[job].sheets;
}

/* What is in the hopper when the last event of the job is over. */
static double job_level(const struct sg_plan *plan, int32_t job)
{
    double level = (double)NAN;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (plan->batches[e->batch].job != plan->first_job + job)
            continue;
        level = e->level + (e->kind == SG_EVENT_REFILL ? e->garnet
                            : e->kind == SG_EVENT_CUT  ? -e->garnet
                                                       : 0);
    }
    return sg_known(plan->jobs[job].ends) ? level : (double)NAN;
}

const struct sg_compare_row sg_compare_job_rows[] = {
    {"job_cut_s", "cut time", SG_COMPARE_DURATION, SG_DIM_DURATION, job_cut},
    {"job_pierce_s", "pierce", SG_COMPARE_DURATION, SG_DIM_DURATION, job_pierce},
    {"job_rapid_s", "rapid", SG_COMPARE_DURATION, SG_DIM_DURATION, job_rapid},
    {"job_garnet_kg", "garnet", SG_COMPARE_NUMBER, SG_DIM_MASS, job_garnet},
    {"job_level_kg", "hopper at job end", SG_COMPARE_NUMBER, SG_DIM_MASS, job_level},
    {"job_sheets", "sheets", SG_COMPARE_COUNT, SG_DIM_NUMBER, job_sheets},
    {"job_ends_s", "job ends", SG_COMPARE_MOMENT, SG_DIM_DURATION, job_ends},
    {"job_late_s", "job late", SG_COMPARE_DURATION, SG_DIM_DURATION, job_late},
    {NULL, NULL, SG_COMPARE_COUNT, SG_DIM_NUMBER, NULL},
};

/* ---- a shift ---- */

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
