/* Why one cut along an outline takes its time: straight, corners, acceleration, leads; the way between. */
#include "why_inside.h"

static const char *const lag_source =
    "jet lag: derived from recalled constants of Zeng, Olsen & Olsen 1999, a factor of 2";

static const char *in_shop_units(struct sg_why_build *w, double mm)
{
    char figure[60];
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_LENGTH, w->shop->units);
    sg_why_figure(mm, unit, figure, sizeof figure);
    return sg_why_words(w, "%s %s", figure, unit->name);
}

static void straight_lines(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_plan_split *split = &at->planned_part->split;
    struct sg_why_line *line = sg_why_number(w, "straight", NULL, SG_DIM_DURATION, split->straight);
    sg_why_formula(line, "cut length / traverse x 60", true, sg_why_traverse_basis(at), NULL);
    w->depth++;
    sg_why_part_field(w, at, "cut_length");
    sg_why_part_traverse(w, at);
    w->depth--;
}

static void corner_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_plan_split *split = &at->planned_part->split;
    struct sg_why_line *line = sg_why_number(w, "corners", NULL, SG_DIM_DURATION, split->corner);
    line->basis = SG_BASIS_ESTIMATE;
    line->source = lag_source;
    if (!(split->lag > 0))
        line->note = "the jet does not lag here: nothing is slowed for the edge";
    else
        line->note = sg_why_words(w, "slowed at corners and small arcs: the jet lags %s, the edge permits %s",
                                  in_shop_units(w, split->lag), in_shop_units(w, split->error));
    w->depth++;
    line = sg_why_field(w, at->machine, "edge_error", NULL, NULL);
    line->aside = true;
    w->depth--;
}

static void acceleration_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_plan_split *split = &at->planned_part->split;
    struct sg_why_line *line = sg_why_number(w, "speeding up", NULL, SG_DIM_DURATION, split->acceleration);
    line->basis = SG_BASIS_DERIVED;
    w->depth++;
    line = sg_why_field(w, at->machine, "acceleration", NULL, NULL);
    line->aside = true;
    w->depth--;
}

static void lead_lines(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_plan_split *split = &at->planned_part->split;
    bool program = w->shop->drawn[at->part->outline].program;
    struct sg_why_line *line = sg_why_number(w, "leads", NULL, SG_DIM_DURATION, split->lead);
    sg_why_formula(line, "lead length / traverse x 60", true, SG_BASIS_PRACTICE, NULL);
    w->depth++;
    line = sg_why_number(w, "lead length", NULL, SG_DIM_LENGTH, split->lead_length);
    line->basis = SG_BASIS_PRACTICE;
    line->note = program ? "a part program has its leads in it"
                         : "into and out of each closed contour, by the thickness";
    sg_why_part_traverse(w, at);
    line = sg_why_field(w, at->machine, "lead", NULL, NULL);
    line->aside = true;
    w->depth--;
}

void sg_why_outline_cut(struct sg_why_build *w, const struct sg_why_place *at)
{
    double cut = sg_split_cut(&at->planned_part->split) / at->head->heads;
    struct sg_why_line *line = sg_why_number(w, "cut of one", NULL, SG_DIM_DURATION, cut);
    sg_why_formula(line, "(straight + corners + speeding up + leads) / heads", false, sg_why_cut_basis(at),
                   NULL);
    line->note = sg_why_words(w, "along the outline %.120s", w->shop->drawn[at->part->outline].name);
    w->depth++;
    straight_lines(w, at);
    corner_line(w, at);
    acceleration_line(w, at);
    lead_lines(w, at);
    sg_why_field(w, at->of_head, "heads", NULL, NULL);
    w->depth--;
}

void sg_why_outline_rapid(struct sg_why_build *w, const struct sg_why_place *at)
{
    const struct sg_plan_split *split = &at->planned_part->split;
    double rapid = split->rapid + at->part->pierces * w->shop->machine.z_lift;
    struct sg_why_line *line = sg_why_number(w, "rapid of one", NULL, SG_DIM_DURATION, rapid);
    sg_why_formula(line, "moves + pierces x z lift", true, SG_BASIS_DERIVED, NULL);
    w->depth++;
    line = sg_why_number(w, "moves", NULL, SG_DIM_DURATION, split->rapid);
    line->basis = SG_BASIS_DERIVED;
    if (sg_known(at->part->rapid_length))
        sg_why_formula(line, "rapid length / rapid x 60", true, SG_BASIS_TYPED, NULL);
    else
        line->note = sg_why_words(w,
                                  "%s from pierce to pierce and one box on to the next piece, each move "
                                  "from rest to rest",
                                  in_shop_units(w, split->rapid_length));
    w->depth++;
    if (sg_known(at->part->rapid_length))
        sg_why_part_field(w, at, "rapid_length");
    sg_why_field(w, at->machine, "rapid", NULL, NULL)->aside = !sg_known(at->part->rapid_length);
    w->depth--;
    sg_why_part_field(w, at, "pierces");
    sg_why_field(w, at->machine, "z_lift", NULL, NULL);
    w->depth--;
}
