/* What the seconds of a run are made of, and what they would be with other numbers. */
#include "study_inside.h"

#include "sandglass/jet.h"
#include "sandglass/traverse.h"

#include <math.h>

double sg_study_separation_speed(const struct sg_abrasive_jet *jet, double machinability, double height,
                                 double exponent, double reference)
{
    if (!sg_known(exponent) || !sg_known(reference))
        return sg_separation_speed(jet, machinability, height);
    return sg_separation_speed(jet, machinability, reference) * pow(height / reference, -exponent);
}

/* mm/min at which a material of number 1 is parted. */
static double unit_speed(const struct sg_study_run *run, double pressure, double garnet)
{
    if (run->head_kind == SG_HEAD_WATER) {
        double flow = sg_jet_flow(pressure, run->orifice, run->discharge);
        return sg_water_speed(sg_jet_power(pressure, flow), pressure, 1, run->threshold, run->height);
    }
    struct sg_abrasive_jet jet = {pressure, run->orifice, run->tube, garnet, run->abrasive_factor};
    return sg_separation_speed(&jet, 1, run->height);
}

/* Slowing down for the lag goes with the cutting speed (motion.h: the lag at the feed of an edge does not
 * depend on the material); speeding up and braking hardly does and stays as planned. */
struct sg_study_parts sg_study_parts_of(const struct sg_study_run *run, double garnet)
{
    bool water = run->head_kind == SG_HEAD_WATER;
    double separation = unit_speed(run, run->pressure, garnet);
    double feed = separation * (water ? 1 : sg_edge_factor(run->edge)) * run->feed_override;
    double corners = run->planned_cut > 0 ? run->planned_corner / run->planned_cut : 0;
    struct sg_study_parts parts = {.cut = run->cut_length / feed * 60 * (1 + corners),
                                   .rest = run->planned_acceleration};
    if (run->cut_only)
        return parts;
    parts.rest += run->planned_rapid;
    if (run->pierce == SG_UNKNOWN) {
        parts.rest += run->planned_pierce;
        return parts;
    }
    if (run->pierce == SG_PIERCE_LOW && !water)
        separation = unit_speed(run, run->low_pressure, garnet);
    parts.pierces = run->pierces;
    parts.rise = run->pierce == SG_PIERCE_DRILLED && !water ? 0 : run->height / separation * 60;
    return parts;
}

/* Logarithm of the speed at number 1 that the plan had: of the number and exponent of that day. */
static double planned_speed(const struct sg_study_run *run)
{
    return log(sg_study_parts_of(run, run->garnet).cut / (run->planned_cut + run->planned_corner));
}

static double fitted_speed(const struct sg_study_run *run, const struct sg_study_cutting *cutting,
                           unsigned use)
{
    if (!cutting)
        return (double)NAN;
    if (use & SG_STUDY_USE_THICKNESS && cutting->exponent.verdict == SG_STUDY_OFFERED)
        return SG_TRAVERSE_EXPONENT * log(cutting->speed_at.estimate) -
               (cutting->exponent.estimate - SG_TRAVERSE_EXPONENT) * log(run->height / cutting->reference);
    if (!(use & SG_STUDY_USE_SPEED) || cutting->speed.verdict != SG_STUDY_OFFERED)
        return (double)NAN;
    return run->head_kind == SG_HEAD_WATER ? -log(cutting->speed.estimate)
                                           : SG_TRAVERSE_EXPONENT * log(cutting->speed.estimate);
}

static double fitted_feed(const struct sg_study_run *run, const struct sg_study *study, unsigned use)
{
    for (int32_t i = 0; use & SG_STUDY_USE_FEED && i < study->n_feeds; i++) {
        const struct sg_study_feed *feed = &study->feeds[i];
        if (feed->head == run->head && feed->set == run->garnet && feed->feed.verdict == SG_STUDY_OFFERED)
            return feed->feed.estimate;
    }
    return run->garnet;
}

double sg_study_replanned(const struct sg_study_run *run, const struct sg_study *study,
                          const struct sg_machine *machine, unsigned use)
{
    double speed = fitted_speed(run, sg_study_of_material(study, run->material, run->head_kind), use);
    struct sg_study_parts parts = sg_study_parts_of(run, fitted_feed(run, study, use));
    if (!sg_known(speed) && (speed = planned_speed(run), !isfinite(speed)))
        return sg_study_planned(run);
    double base = 0.5, factor = 1, cut = parts.cut * exp(-speed);
    if (run->feed_typed)
        cut = run->planned_cut + run->planned_corner;
    else if (sg_known(run->top_feed))
        cut = fmax(cut, run->cut_length / run->top_feed * 60);
    if (run->head_kind != SG_HEAD_WATER && parts.pierces > 0) {
        const struct sg_study_piercing *way = &study->piercing[run->pierce];
        bool offered = use & SG_STUDY_USE_PIERCE && way->base.verdict == SG_STUDY_OFFERED;
        base = offered ? way->base.estimate : machine->pierce_base[run->pierce];
        factor = offered ? way->factor.estimate : machine->pierce_factor[run->pierce];
    }
    return cut + parts.pierces * (base + factor * parts.rise * exp(-speed)) + parts.rest;
}
