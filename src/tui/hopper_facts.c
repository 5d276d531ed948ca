#include "tui/chart.h"

#include <stdio.h>

double sg_chart_whole(const struct sg_look *look)
{
    const struct sg_run *run = &look->plan->run;
    double whole = fmax(look->shop->shifts[look->plan->shift].calendar.close_s, run->end);
    for (int32_t i = run->n_events - 1; i >= 0 && i >= run->n_events - 8; i--) /* a filling may end later */
        whole = fmax(whole, run->events[i].at + run->events[i].seconds);
    return fmax(whole, 60);
}

static void lower(void *context, double at, double level)
{
    struct sg_hopper_facts *facts = context;
    if (level < facts->lowest - 1e-9) {
        facts->lowest = level;
        facts->lowest_at = at;
    }
}

void sg_hopper_facts(const struct sg_plan *plan, struct sg_hopper_facts *out)
{
    *out = (struct sg_hopper_facts){.lowest = plan->start.level};
    sg_run_hopper(&plan->run, lower, out);
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == SG_EVENT_CUT)
            out->used += plan->run.events[i].garnet;
}

/* The rule of the run with refill_amount = enough, over the refills that the plan has: the one that would
 * fill more than the rest asks for is the last that puts anything in. */
int32_t sg_hopper_enough(const struct sg_look *look)
{
    const struct sg_plan *plan = look->plan;
    const struct sg_machine *machine = &look->shop->machine;
    double level = plan->start.level, rest = 0, all = 0;
    if (machine->bag <= 0 || !plan->run.finished || plan->unknown)
        return SG_UNKNOWN;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        rest += plan->run.events[i].kind == SG_EVENT_CUT ? plan->run.events[i].garnet : 0;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (e->kind == SG_EVENT_CUT) {
            level -= e->garnet;
            rest -= e->garnet;
        } else if (e->kind == SG_EVENT_REFILL) {
            double bags = ceil((rest + machine->low_line - level) / machine->bag - 1e-9);
            bags = fmax(0, fmin(bags, e->bags));
            level += bags == e->bags ? e->garnet : bags * machine->bag; /* the last one may fill in part */
            all += bags;
        }
    }
    return (int32_t)all;
}

void sg_hopper_words(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look)
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, look->shop->units);
    struct sg_hopper_facts facts;
    char start[40], lowest[40], at[40], end[40], lines[3][160];
    sg_hopper_facts(look->plan, &facts);
    sg_number_short(look->plan->start.level, unit, 1, start, sizeof start);
    sg_number_short(facts.lowest, unit, 1, lowest, sizeof lowest);
    sg_number_short(look->plan->run.level_end, unit, 1, end, sizeof end);
    sg_look_clock(look, facts.lowest_at, at, sizeof at);
    snprintf(lines[0], sizeof lines[0], "lowest %s %s at %s", lowest, unit->name, at);
    snprintf(lines[1], sizeof lines[1], "start %s %s", start, unit->name);
    snprintf(lines[2], sizeof lines[2], "end %s %s", end, unit->name);
    for (int i = 0; i < area.rows && i < 3; i++)
        sg_canvas_field(canvas, area.row + i, area.column, area.columns, false, SG_ROLE_RESULT, lines[i]);
}
