/* Paths: lines and arcs in the plane, as drawings and part programs give them. Arcs stay arcs. mm and
 * radians; x to the right, y up. */
#ifndef SANDGLASS_PATH_H
#define SANDGLASS_PATH_H

#include <stdbool.h>
#include <stdint.h>

/* A line from (x0, y0) to (x1, y1), or an arc between them around (cx, cy). */
struct sg_segment {
    double x0, y0, x1, y1;
    double cx, cy; /* of an arc */
    double sweep;  /* angle of an arc, counter-clockwise positive, at most one turn; 0: a line */
    bool fitted;   /* made of chords or of a curve: no arc of the drawing */
};

/* What a reader hands over: segments in the order of the file. */
struct sg_path {
    struct sg_segment *segments;
    int64_t n;
};

static inline bool sg_is_arc(const struct sg_segment *segment)
{
    return segment->sweep != 0;
}

double sg_segment_length(const struct sg_segment *segment);
double sg_segment_radius(const struct sg_segment *segment); /* of an arc; infinite of a line */

/* Unit tangent at its start and end, in the direction of travel. A segment without length: 0, 0. */
void sg_segment_tangents(const struct sg_segment *segment, double *start_x, double *start_y, double *end_x,
                         double *end_y);

/* Widen a box {min x, min y, max x, max y} by a segment, tangent points inside an arc included. */
void sg_segment_box(const struct sg_segment *segment, double box[4]);

/* Its part of the area by Green's theorem: 1/2 of the integral of x dy - y dx along it. */
double sg_segment_area(const struct sg_segment *segment);

/* The other way round. */
struct sg_segment sg_segment_reversed(const struct sg_segment *segment);

#endif
