/* Layout by true shape: pieces whose outlines are known may interlock. Alternating rows, rows against rows
 * and small pieces in the holes and bays of larger ones are found by exact sliding and laid out as boxes
 * (layout.h), as many mixes of them as the effort allows. Work is counted, never timed: the same answer on
 * every machine. Never worse than the layout of boxes. */
#ifndef SANDGLASS_NEST_H
#define SANDGLASS_NEST_H

#include "sandglass/layout.h"
#include "sandglass/outline.h"

/* A part counts as its box where it has no outline, or one that is not a single closed outer contour with
 * holes, that crosses or touches itself, or whose box is not the part's length and width within
 * SG_NEST_BOX_OFF. Arcs and long chains of chords are replaced by fewer chords that lie on the safe side of
 * them: at most SG_NEST_CHORD off, more only for outlines of very many corners. */
#define SG_NEST_BOX_OFF 0.001 /* mm */
#define SG_NEST_CHORD 0.02    /* mm */

struct sg_nest_input {
    struct sg_layout_input boxes;
    const struct sg_outline *const *outlines; /* one for each of boxes.parts; NULL: only its box is known */
    int32_t effort; /* layouts of other mixes that are tried after the first ones (each about a millisecond
                       for 30 parts); more effort never takes more sheets */
};

struct sg_nest; /* memory kept between calls; start with NULL */

struct sg_nest_gain {
    bool interlocked;        /* pieces interlock; else it is the layout of boxes as sg_layout_make gives it */
    int64_t sheets_of_boxes; /* that the layout of boxes takes */
};

/* Lay out. Pieces interlock only where that takes fewer sheets (by area, where there are several sizes) or
 * places more pieces, and not where boxes.across. Then
 *   - a piece lies as it is drawn, turned by 90 degrees counter-clockwise if `turned`, by 180 besides if
 *     `flipped`, the corner of the box around it as it lies at x, y: a point px, py of a drawing of length x
 *     width is at px, py; turned at width - py, px; flipped at length - px, width - py; both at
 *     py, length - px;
 *   - outlines keep the gap from each other, 1e-6 mm of rounding left aside;
 *   - of each sheet's drop: it is free of all pieces, but not always the largest such rectangle;
 *   - utilisation is the net area of the pieces placed over the area of the sheets used.
 * Whether they interlock or not, lower_bound is by the net areas of the pieces, each with half the gap around
 * it, as soon as one of them is no rectangle: no layout of these outlines takes fewer sheets, while that of
 * their boxes may ask for more.
 * A piece in a hole of another must be cut before that hole is. Parts that may not be turned may be flipped.
 * False: no memory. */
bool sg_nest_make(const struct sg_nest_input *input, struct sg_nest **memory, struct sg_layout *layout,
                  struct sg_nest_gain *gain);
void sg_nest_free(struct sg_nest *memory);

#endif
