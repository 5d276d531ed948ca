/* Time along a path: the feed slowed at corners and small arcs by the jet's lag, bounded by acceleration.
 * Equations: forward and backward pass in v^2 (box limit on tangential acceleration; see the source notes in
 * motion.c). */
#ifndef SANDGLASS_MOTION_H
#define SANDGLASS_MOTION_H

#include "sandglass/outline.h"

/* What bounds the motion of one cut. */
struct sg_motion_limits {
    double feed;         /* mm/s wanted along straights: the planned traverse */
    double top;          /* mm/s the machine does at most */
    double acceleration; /* mm/s2 */
    double deviation;    /* mm allowed from a corner for the machine's own rounding; SG_DEVIATION */
    /* The jet's lag (0 lag: no slowing for the edge): */
    double lag;   /* mm at the planned feed */
    double error; /* mm of permitted radial error for this edge */
};
#define SG_DEVIATION 0.02

/* Seconds of one run, split. total = straight + corner + acceleration. */
struct sg_motion {
    double total;
    double straight;     /* length / feed */
    double corner;       /* lost to slowing at corners and arcs, were the acceleration unbounded */
    double acceleration; /* lost to acceleration */
    double length;       /* mm */
};

struct sg_motion_memory; /* scratch, kept between calls */
struct sg_motion_memory *sg_motion_memory_new(void);
void sg_motion_memory_free(struct sg_motion_memory *memory);

/* Time of one chain of segments from rest to rest. False: no memory. */
bool sg_motion_time(const struct sg_segment *segments, int64_t n, const struct sg_motion_limits *limits,
                    struct sg_motion_memory *memory, struct sg_motion *out);

/* Time of all contours of an outline (each from rest to rest). */
bool sg_motion_outline(const struct sg_outline *outline, const struct sg_motion_limits *limits,
                       struct sg_motion_memory *memory, struct sg_motion *out);

/* Seconds, at a feed of 1 mm/s, from a corner to `half` mm away where the lag at full feed is `lag` mm and
 * that permitted at the corner `ec` (model: Ec = E / sin(min(theta, 90 degrees))). In closed form. */
double sg_motion_corner(double half, double lag, double ec);

/* A straight move from rest to rest in closed form: trapezoid or triangle. */
double sg_motion_straight(double length, double speed, double acceleration);

#endif
