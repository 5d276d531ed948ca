/* Where a job stands along a setting now, and between which values a sweep of it makes sense: from what the
 * shop's pump, heads and records say. Pure, as the sweep. */
#ifndef SANDGLASS_SWEEP_SPAN_H
#define SANDGLASS_SWEEP_SPAN_H

#include "sandglass/sweep.h"

/* The largest garnet feed, g/min of one head, that was weighed on a head that cuts the job (with a stock,
 * that stock), or on one that was not named; NaN: none. It is sg_sweep_input.weighed. */
double sg_sweep_weighed(const struct sg_shop *shop, int32_t job, int32_t stock);

/* What the stocks and heads that the sweep changes hold now; NaN where two of them differ, or none has the
 * field. *tube is that of an orifice. */
double sg_sweep_now(const struct sg_sweep_input *input, double *tube);

/* The least and the most that are worth trying, with what is held now between them; false where no stock has
 * the field. pressure  from half of what the pump gives garnet    from a quarter of the most that is offered:
 * what was weighed, else a loading ratio of SG_SWEEP_LOADING edge      1 to 5 orifice   from half of the one
 * that takes all of the pump's flow, at the head's pressure head      all of them, by index Heads that
 * differ: by the first. Basis of the halves and the quarter: practice. */
bool sg_sweep_span(const struct sg_sweep_input *input, double *least, double *most);

#endif
