/* Common-line cutting: neighbours that lie a kerf apart with straight sides towards each other need one cut
 * where two would be made. Basis: derived; that it is done, common practice of the trade. */
#ifndef SANDGLASS_COMMON_LINE_H
#define SANDGLASS_COMMON_LINE_H

#include "sandglass/outline.h"
#include "sandglass/placement.h"

/* Whether a part's outline cuts all four sides of its box: one straight-sided rectangle, whatever holes it
 * has. */
bool sg_outline_is_box(const struct sg_outline *outline);

/* A side of a piece while neighbours are looked for; scratch, twice as many as placements. */
struct sg_common_side {
    double at, from, to; /* mm: where it lies, and its ends across */
    double behind;       /* where the piece's other side lies */
    int32_t next;        /* the first side that lies further on */
};

/* mm of cut that are spared on one sheet of pieces whose sides are all straight; gap mm is between the sides
 * of neighbours. */
double sg_common_lines(const struct sg_layout_part *boxes, const struct sg_placement *placements, int32_t n,
                       double gap, struct sg_common_side *sides);

#endif
