#include "sandglass/path.h"

#include <math.h>

double sg_segment_radius(const struct sg_segment *segment)
{
    if (!sg_is_arc(segment))
        return (double)INFINITY;
    return hypot(segment->x0 - segment->cx, segment->y0 - segment->cy);
}

double sg_segment_length(const struct sg_segment *segment)
{
    if (sg_is_arc(segment))
        return sg_segment_radius(segment) * fabs(segment->sweep);
    return hypot(segment->x1 - segment->x0, segment->y1 - segment->y0);
}

/* The tangent of an arc at a point on it: the radius turned by a right angle, forward or backward. */
static void arc_tangent(const struct sg_segment *segment, double x, double y, double *out_x, double *out_y)
{
    double rx = x - segment->cx, ry = y - segment->cy, r = hypot(rx, ry);
    double sign = segment->sweep > 0 ? 1 : -1;
    *out_x = r > 0 ? -sign * ry / r : 0;
    *out_y = r > 0 ? sign * rx / r : 0;
}

void sg_segment_tangents(const struct sg_segment *segment, double *start_x, double *start_y, double *end_x,
                         double *end_y)
{
    if (sg_is_arc(segment)) {
        arc_tangent(segment, segment->x0, segment->y0, start_x, start_y);
        arc_tangent(segment, segment->x1, segment->y1, end_x, end_y);
        return;
    }
    double length = sg_segment_length(segment);
    *start_x = *end_x = length > 0 ? (segment->x1 - segment->x0) / length : 0;
    *start_y = *end_y = length > 0 ? (segment->y1 - segment->y0) / length : 0;
}

static void widen(double box[4], double x, double y)
{
    box[0] = fmin(box[0], x);
    box[1] = fmin(box[1], y);
    box[2] = fmax(box[2], x);
    box[3] = fmax(box[3], y);
}

/* Whether an arc passes the direction `angle` from its centre. */
static bool passes(const struct sg_segment *segment, double angle)
{
    double start = atan2(segment->y0 - segment->cy, segment->x0 - segment->cx), turn = 2 * acos(-1.0);
    double way = segment->sweep > 0 ? angle - start : start - angle;
    way -= turn * floor(way / turn);
    return way <= fabs(segment->sweep);
}

void sg_segment_box(const struct sg_segment *segment, double box[4])
{
    widen(box, segment->x0, segment->y0);
    widen(box, segment->x1, segment->y1);
    if (!sg_is_arc(segment))
        return;
    double r = sg_segment_radius(segment), quarter = acos(-1.0) / 2;
    static const double out[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    for (int i = 0; i < 4; i++)
        if (passes(segment, i * quarter))
            widen(box, segment->cx + r * out[i][0], segment->cy + r * out[i][1]);
}

double sg_segment_area(const struct sg_segment *segment)
{
    const struct sg_segment *s = segment;
    if (!sg_is_arc(s))
        return (s->x0 * s->y1 - s->x1 * s->y0) / 2;
    /* Of the ends against the centre, and the sector: cx dy - cy dx over the arc is cx (y1 - y0) - cy (x1 -
     * x0). */
    double r = sg_segment_radius(s);
    return (r * r * s->sweep + s->cx * (s->y1 - s->y0) - s->cy * (s->x1 - s->x0)) / 2;
}

struct sg_segment sg_segment_reversed(const struct sg_segment *segment)
{
    struct sg_segment other = *segment;
    other.x0 = segment->x1;
    other.y0 = segment->y1;
    other.x1 = segment->x0;
    other.y1 = segment->y0;
    other.sweep = -segment->sweep;
    return other;
}
