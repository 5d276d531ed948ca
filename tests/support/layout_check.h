/* A layout looked over without the help of what made it: by whole numbers of its own, piece against piece. */
#ifndef SANDGLASS_TESTS_LAYOUT_CHECK_H
#define SANDGLASS_TESTS_LAYOUT_CHECK_H

#include "sandglass/layout.h"

/* Fail unless every piece lies inside the margin, off the clamps, off the others by the gap, turned only
 * where it may be; every piece wanted is placed once or told as not placed; no more sheets are used than are
 * on hand; the drops are free; and the totals are the sums. `name` is for the message. */
void ck_layout(const struct sg_layout_input *input, const struct sg_layout *layout, const char *name);

#endif
