/* The level in the hopper over a shift, with what runs and who is needed below it on the same hours. */
#ifndef SANDGLASS_TUI_CHART_H
#define SANDGLASS_TUI_CHART_H

#include "tui/inside.h"

struct sg_chart_how {
    bool wide;       /* eighth blocks instead of # and : */
    int32_t at;      /* event that is pointed at, -1: none */
    double from, to; /* s after the shift's start that are shown; both 0: all of it */
};

/* Rows from the top: unit and scale, levels (as many as fit), hours, job, hands, break. The figure in front
 * of a row of levels is that of its upper edge: the first is what the hopper holds, one is the low line, the
 * others are round. Where the area is too small for levels the figures stand there in words. */
void sg_chart_hopper(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look,
                     const struct sg_chart_how *how);

/* Seconds from the shift's start to the end of the chart: closing, or the last event after it. */
double sg_chart_whole(const struct sg_look *look);

/* What the letters and marks that occur in this plan mean. */
void sg_chart_legend(const struct sg_look *look, bool wide, char *out, size_t size);

/* What the plan does to the hopper. */
struct sg_hopper_facts {
    double used;              /* kg that the cuts of the run take */
    double lowest, lowest_at; /* kg and the first time, s */
};
void sg_hopper_facts(const struct sg_plan *plan, struct sg_hopper_facts *out);

/* In words, a row each: lowest, start, end. */
void sg_hopper_words(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look);

/* Bags that the refills of the plan would put in if none filled more than the rest of the run asks for, as
 * with refill_amount = enough; SG_UNKNOWN where the run has no end or no bags are counted. */
int32_t sg_hopper_enough(const struct sg_look *look);

#endif
