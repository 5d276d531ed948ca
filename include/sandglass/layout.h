/* Layout: boxes of pieces onto sheets. Everything is whole numbers of SG_LAYOUT_UNIT, in which 0.001 mm,
 * 0.001 in and 1/64 in are whole, so that what fits exactly fits. Work is counted, never timed: the same
 * answer on every machine. */
#ifndef SANDGLASS_LAYOUT_H
#define SANDGLASS_LAYOUT_H

#include "sandglass/placement.h"

#define SG_LAYOUT_UNITS 40000                  /* in a mm */
#define SG_LAYOUT_UNIT (1.0 / SG_LAYOUT_UNITS) /* mm */

struct sg_layout_clamp {
    double x, y, length, width; /* mm from the sheet's corner; no piece reaches into it, on any sheet. The gap
                                   is not kept from it: it is as large as it has to be */
};

/* Lengths up to 1e6 mm. */
struct sg_layout_input {
    const struct sg_layout_part *parts;
    int32_t n_parts;
    const struct sg_layout_sheet *sheets;
    int32_t n_sheets; /* sizes */
    const struct sg_layout_clamp *clamps;
    int32_t n_clamps;
    double gap, margin; /* mm, 0 and more; a gap is between finished edges */
    bool across;        /* parts that may not be turned lie turned, all of them: so does the grain */
    double drop_least;  /* mm: what is left over with both sides that long goes before what is larger and
                           narrower;  0: the largest */
    int32_t effort;     /* of the improving search after the first layouts, in thousands of looks at a free
                           rectangle (a few hundred are a millisecond); 0: none. More effort never takes more
                           sheets. Not where sheets are short */
};

/* Start with {0}. Memory is kept between calls. */
struct sg_layout {
    struct sg_placement *placements; /* in placing order */
    int64_t n_placements;
    struct sg_layout_used *used; /* by size, the fullest first */
    int32_t n_used;
    int64_t sheets;      /* copies of all that are used */
    int64_t lower_bound; /* sheets that any layout needs at least; of the largest length and width where there
                            are several sizes, whatever is on hand */
    int64_t unplaced;    /* pieces for which no sheet was left, those too large not among them */
    int32_t too_large;   /* index of the first part that fits no sheet and is not placed; -1 */
    int64_t looks;       /* at free rectangles: the work done */
    double utilisation;  /* area of the boxes placed over area of the sheets used; 0 without a sheet */
    struct sg_lay *memory;
};

/* Lay out. False: no memory. */
bool sg_layout_make(const struct sg_layout_input *input, struct sg_layout *layout);

/* The largest rectangle left over on a sheet of used->size (drop_least as above) where these n_pieces of it
 * lie, into used. Of `layout` only the memory is used. False: no memory. */
bool sg_layout_drop(const struct sg_layout_input *input, const struct sg_placement *placements,
                    struct sg_layout_used *used, struct sg_layout *layout);
void sg_layout_free(struct sg_layout *layout);

#endif
