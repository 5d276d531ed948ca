/* The chart of the hopper as it stands on the canvas, and the levels that it should show. */
#ifndef TESTS_HOPPER_CHART_H
#define TESTS_HOPPER_CHART_H

#include "tui/chart.h"
#include "tui/pictures.h"

#include <math.h>

/* From the events, not through the function that the chart is drawn with: refills stop the machine here. */
static inline double level_at(const struct sg_plan *plan, double t)
{
    double level = plan->start.level;
    for (int32_t i = 0; i < plan->run.n_events && plan->run.events[i].at <= t; i++) {
        const struct sg_event *e = &plan->run.events[i];
        double part = e->seconds > 0 ? fmin(1, (t - e->at) / e->seconds) : 1;
        level = e->level;
        if (e->kind == SG_EVENT_CUT)
            level -= e->garnet * part;
        else if (e->kind == SG_EVENT_REFILL && part >= 1)
            level += e->garnet;
    }
    return level;
}

/* Minutes by which the first column starts before the shift does: it starts at a round time of the clock. */
static inline int early(int minutes)
{
    return (int)(fmod(shop.shifts[0].calendar.epoch, 86400) / 60) % minutes;
}

struct seen {
    int top, axis, left, columns,
        minutes;      /* rows of the highest level and of the axis; columns of the cells */
    int n, low;       /* levels, and the one that the low line closes; 0: none */
    double edge[100]; /* kg at the upper edge of each level, from the axis on, which is edge[0] */
};

static inline double brim(void)
{
    return fmax(shop.shop.machine.hopper, ui.tried.plan->start.level);
}

/* The figure in front of a level. Of the brim and the low line it is rounded: those are taken as they are,
 * and must be what is said. */
static inline double edge_of(int row, bool highest, bool *low)
{
    double unit = shop.shop.units == SG_UNITS_US ? POUND_KG : 1;
    const char *label = row_of(row);
    label += strspn(label, " ");
    *low = strncmp(label, "low ", 4) == 0;
    double figure = atof(label + (*low ? 4 : 0)) * unit, exact = *low ? shop.shop.machine.low_line : brim();
    if (!highest && !*low)
        return figure;
    must(fabs(figure - exact) <= (highest ? 0.5 : 0.05) * unit + 1e-9, "%g is not %g", figure, exact);
    return exact;
}

/* The frame of the chart, from what stands on the canvas. */
static inline struct seen see_chart(void)
{
    struct seen seen = {0};
    int heading = 0;
    while (heading < canvas.rows && !strstr(row_of(heading), " a column"))
        heading++;
    must(heading < canvas.rows, "no heading");
    const char *comma = strchr(row_of(heading), ',');
    seen.minutes = atoi(comma + 1) * (strstr(comma, "hour") ? 60 : 1);
    seen.top = heading + 1;
    while (cell(seen.top, seen.left)[0] != '|' && cell(seen.top, seen.left)[0] != '-')
        seen.left++;
    seen.left++;
    for (seen.axis = seen.top; cell(seen.axis, seen.left - 1)[0] != '+';)
        seen.axis++;
    while (seen.left + seen.columns < canvas.columns &&
           strchr("+-^", cell(seen.axis, seen.left + seen.columns)[0]))
        seen.columns++;
    must(seen.axis > seen.top && seen.axis - seen.top < 100 && seen.columns > 10, "no chart");
    for (int row = seen.axis - 1; row >= seen.top; row--) {
        bool low;
        seen.edge[++seen.n] = edge_of(row, row == seen.top, &low);
        seen.low = low ? seen.n : seen.low;
        must(seen.edge[seen.n] > seen.edge[seen.n - 1], "level %d is not above the one before", seen.n);
        must_hold((cell(row, seen.left - 1)[0] == '-') == low);
    }
    return seen;
}

/* kg that are drawn in a column. */
static inline double height_of(const struct seen *seen, int column)
{
    double height = 0;
    for (int i = 1; i <= seen->n; i++) {
        const char *text = cell(seen->axis - i, seen->left + column);
        double part = text[0] == '#' ? 1 : text[0] == ':' ? 0.5 : 0;
        if ((unsigned char)text[0] == 0xE2)
            part = ((unsigned char)text[2] - 0x80) / 8.0;
        height += part * (seen->edge[i] - seen->edge[i - 1]);
    }
    return height;
}

/* Never more than is there, and less by no more than the smallest mark of the row in which the level lies. */
static inline void check_height(const struct seen *seen, int column, double level, bool wide)
{
    double shown = height_of(seen, column);
    int i = 1;
    while (i < seen->n && level >= seen->edge[i])
        i++;
    double grain = (seen->edge[i] - seen->edge[i - 1]) * (wide ? 1 / 8.0 : 0.5);
    must(shown <= level + 1e-3 && shown > level - grain - 1e-3, "column %d: %g kg drawn, %g kg in plan",
         column, shown, level);
}

#endif
