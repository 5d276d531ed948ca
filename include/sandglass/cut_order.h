/* The order in which the pieces of one sheet are cut, and what a table that is shorter than the sheet makes
 * of it. Basis: common practice of the trade. */
#ifndef SANDGLASS_CUT_ORDER_H
#define SANDGLASS_CUT_ORDER_H

#include "sandglass/placement.h"

struct sg_cut_order {
    const struct sg_layout_part *parts; /* boxes of the placements' parts */
    double margin;                      /* mm */
    double table_length;                /* mm */
    double slat_pitch;                  /* mm: a piece narrower than that both ways may tip */
    bool interlocked;                   /* pieces may lie in holes of others, and are cut before those */
};

/* What a placement is sorted by; scratch, twice as many as placements. */
struct sg_cut_key {
    double group, x, y;
    int32_t moves, part, index;
    int32_t small; /* 0 for what may tip, which is cut first */
};

/* Index moves that are done before a piece can be cut: ceil(X / T) - 1 with X its far edge and the margin, T
 * the table. */
int32_t sg_placement_moves(const struct sg_cut_order *how, const struct sg_placement *placement);

/* Whether it lies across the line at which the sheet is then moved: its cut is taken up again there. */
bool sg_placement_crosses(const struct sg_cut_order *how, const struct sg_placement *placement);

/* Put n placements into cutting order: by index moves; what may tip first, while the sheet is stiff; part by
 * part in their order (where pieces interlock: the smaller boxes first, so that what lies in a hole is cut
 * before the hole is); columns of a part up and down in turn. */
void sg_cut_order(const struct sg_cut_order *how, struct sg_placement *placements, int32_t n,
                  struct sg_cut_key *keys, struct sg_placement *scratch);

#endif
