/* A layout by true shape looked over without the help of what made it: lines and arcs as they are drawn, each
 * against each. */
#ifndef SANDGLASS_TESTS_NEST_CHECK_H
#define SANDGLASS_TESTS_NEST_CHECK_H

#include "sandglass/nest.h"

/* Fail unless every piece lies inside the margin, off the clamps, its outline off all others by the gap less
 * 1e-6 mm and not within their material, turned and flipped only where it may be; every piece wanted is
 * placed once or told as not placed; no more sheets are used than are on hand; the drops are free; and the
 * totals are sums. Without `interlocked` it has to be a layout of boxes. `name` is for the message. */
void ck_nest(const struct sg_nest_input *input, const struct sg_layout *layout, bool interlocked,
             const char *name);

#endif
