/* Two plans side by side: what is in the plan, what a change would make of it, and the difference. One table
 * of rows serves `try`, what-ifs and (later) the block under a field that is being typed. */
#ifndef SANDGLASS_COMPARE_H
#define SANDGLASS_COMPARE_H

#include "sandglass/plan.h"

enum sg_compare_shape {
    SG_COMPARE_MOMENT,   /* seconds after the shift's start, shown as a time of day */
    SG_COMPARE_DURATION, /* seconds */
    SG_COMPARE_NUMBER,   /* of a dimension */
    SG_COMPARE_COUNT     /* a whole number */
};

struct sg_compare_row {
    const char *name;  /* as in JSON, with its unit: "ends_s", "garnet_kg" */
    const char *title; /* as shown: "shift ends" */
    enum sg_compare_shape shape;
    enum sg_dimension dimension;
    /* NaN: not known. job is an index into the plan's jobs; rows of the shift do not look at it. */
    double (*value)(const struct sg_plan *plan, int32_t job);
};

/* The rows of a shift, and those of one job in it, ended by a NULL name.  */
extern const struct sg_compare_row sg_compare_rows[];
extern const struct sg_compare_row sg_compare_job_rows[];

/* Seconds by which `after` ends earlier than `before`; an end that becomes known is worth more than any, one
 * that is lost less. NaN where neither ends. */
double sg_compare_saving(const struct sg_plan *before, const struct sg_plan *after);

#endif
