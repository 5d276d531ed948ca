/* Whether two segments cross or lie on each other. A touch is neither: what crosses must come through by more
 * than the tolerance, away from the ends of both. */
#include "outline_inside.h"

#include <math.h>

static const double double_tolerances = 10;                     /* that two must share to be doubles */
static const double smooth = 10 * 3.14159265358979323846 / 180; /* neighbours that meet by less only touch */

static double full_turn(void)
{
    return 2 * acos(-1.0);
}

/* How far round an arc a point lies from its start, 0 to a turn. */
static double way_round(const struct sg_segment *arc, double x, double y)
{
    double rx = arc->x0 - arc->cx, ry = arc->y0 - arc->cy, px = x - arc->cx, py = y - arc->cy;
    double angle = atan2(rx * py - ry * px, rx * px + ry * py);
    angle = arc->sweep > 0 ? angle : -angle;
    return angle < 0 ? angle + full_turn() : angle;
}

static double away(double x0, double y0, double x1, double y1)
{
    return sqrt((x1 - x0) * (x1 - x0) + (y1 - y0) * (y1 - y0));
}

/* A point of the whole line or circle: whether it lies on the segment and away from its ends. */
static bool between_ends(const struct sg_segment *s, double x, double y, double tolerance)
{
    if (away(x, y, s->x0, s->y0) <= tolerance || away(x, y, s->x1, s->y1) <= tolerance)
        return false;
    if (sg_is_arc(s))
        return way_round(s, x, y) < fabs(s->sweep);
    double dx = s->x1 - s->x0, dy = s->y1 - s->y0, t = (x - s->x0) * dx + (y - s->y0) * dy;
    return t > 0 && t < dx * dx + dy * dy;
}

/* How far a point lies from the whole line or circle. */
static double distance_from(const struct sg_segment *s, double x, double y)
{
    if (sg_is_arc(s))
        return fabs(away(x, y, s->cx, s->cy) - away(s->x0, s->y0, s->cx, s->cy));
    double dx = s->x1 - s->x0, dy = s->y1 - s->y0;
    return fabs(dx * (y - s->y0) - dy * (x - s->x0)) / sqrt(dx * dx + dy * dy);
}

bool sg_point_inside(const struct sg_segment *segment, double x, double y, double tolerance)
{
    return distance_from(segment, x, y) <= tolerance && between_ends(segment, x, y, tolerance);
}

/* ---- points that two whole curves share ---- */

static int line_line(const struct sg_segment *a, const struct sg_segment *b, double tolerance,
                     struct sg_meet *out)
{
    double ax = a->x1 - a->x0, ay = a->y1 - a->y0, bx = b->x1 - b->x0, by = b->y1 - b->y0;
    double la = sqrt(ax * ax + ay * ay), lb = sqrt(bx * bx + by * by);
    double d0 = (ax * (b->y0 - a->y0) - ay * (b->x0 - a->x0)) / la;
    double d1 = (ax * (b->y1 - a->y0) - ay * (b->x1 - a->x0)) / la;
    double e0 = (bx * (a->y0 - b->y0) - by * (a->x0 - b->x0)) / lb;
    double e1 = (bx * (a->y1 - b->y0) - by * (a->x1 - b->x0)) / lb;
    if (!(d0 * d1 < 0 && e0 * e1 < 0 && fmin(fabs(d0), fabs(d1)) > tolerance &&
          fmin(fabs(e0), fabs(e1)) > tolerance))
        return 0;
    double t = d0 / (d0 - d1);
    out->x[0] = b->x0 + t * bx;
    out->y[0] = b->y0 + t * by;
    return 1;
}

static int line_arc(const struct sg_segment *a, const struct sg_segment *arc, double tolerance,
                    struct sg_meet *out)
{
    double dx = a->x1 - a->x0, dy = a->y1 - a->y0, length = sqrt(dx * dx + dy * dy);
    dx /= length;
    dy /= length;
    double px = arc->cx - a->x0, py = arc->cy - a->y0, along = px * dx + py * dy,
           off = fabs(dx * py - dy * px);
    double r = sg_segment_radius(arc);
    if (off > r - tolerance)
        return 0;
    double half = sqrt(r * r - off * off);
    for (int i = 0; i < 2; i++) {
        double t = i ? along + half : along - half;
        out->x[i] = a->x0 + t * dx;
        out->y[i] = a->y0 + t * dy;
    }
    return 2;
}

static int arc_arc(const struct sg_segment *a, const struct sg_segment *b, double tolerance,
                   struct sg_meet *out)
{
    double ra = sg_segment_radius(a), rb = sg_segment_radius(b), dx = b->cx - a->cx, dy = b->cy - a->cy;
    double d = sqrt(dx * dx + dy * dy);
    if (d > ra + rb - tolerance || d < fabs(ra - rb) + tolerance)
        return 0;
    double along = (d * d + ra * ra - rb * rb) / (2 * d), half = sqrt(fmax(0, ra * ra - along * along));
    dx /= d;
    dy /= d;
    for (int i = 0; i < 2; i++) {
        double side = i ? half : -half;
        out->x[i] = a->cx + along * dx - side * dy;
        out->y[i] = a->cy + along * dy + side * dx;
    }
    return 2;
}

/* ---- crossings ---- */

static void tangent_at(const struct sg_segment *s, double x, double y, double *tx, double *ty)
{
    double dx = sg_is_arc(s) ? s->cy - y : s->x1 - s->x0, dy = sg_is_arc(s) ? x - s->cx : s->y1 - s->y0;
    double length = sqrt(dx * dx + dy * dy);
    *tx = dx / length;
    *ty = dy / length;
}

/* Neighbours that are meant to be tangent cross now and then by what their coordinates were rounded. */
static bool only_touch(const struct sg_segment *a, const struct sg_segment *b, double x, double y)
{
    double ax, ay, bx, by;
    tangent_at(a, x, y, &ax, &ay);
    tangent_at(b, x, y, &bx, &by);
    return fabs(ax * by - ay * bx) < sin(smooth);
}

static int crossings(const struct sg_segment *a, const struct sg_segment *b, double tolerance,
                     bool neighbours, struct sg_meet *out)
{
    struct sg_meet all = {0};
    if (sg_is_arc(a))
        all.n = sg_is_arc(b) ? arc_arc(a, b, tolerance, &all) : line_arc(b, a, tolerance, &all);
    else
        all.n = sg_is_arc(b) ? line_arc(a, b, tolerance, &all) : line_line(a, b, tolerance, &all);
    out->n = 0;
    for (int i = 0; i < all.n; i++) {
        double x = all.x[i], y = all.y[i];
        if (!between_ends(a, x, y, tolerance) || !between_ends(b, x, y, tolerance) ||
            (neighbours && only_touch(a, b, x, y)))
            continue;
        out->x[out->n] = x;
        out->y[out->n++] = y;
    }
    return out->n;
}

/* ---- doubles ---- */

static bool double_lines(const struct sg_segment *a, const struct sg_segment *b, double tolerance,
                         struct sg_meet *out)
{
    double dx = a->x1 - a->x0, dy = a->y1 - a->y0, length = sqrt(dx * dx + dy * dy);
    dx /= length;
    dy /= length;
    double t0 = (b->x0 - a->x0) * dx + (b->y0 - a->y0) * dy, t1 = (b->x1 - a->x0) * dx + (b->y1 - a->y0) * dy;
    double low = fmax(0, fmin(t0, t1)), high = fmin(length, fmax(t0, t1));
    if (!(high - low > double_tolerances * tolerance))
        return false;
    double off0 = dx * (b->y0 - a->y0) - dy * (b->x0 - a->x0),
           off1 = dx * (b->y1 - a->y0) - dy * (b->x1 - a->x0);
    double slope = (off1 - off0) / (t1 - t0);
    if (fabs(off0 + slope * (low - t0)) > tolerance || fabs(off0 + slope * (high - t0)) > tolerance)
        return false;
    *out = (struct sg_meet){1, {a->x0 + (low + high) / 2 * dx}, {a->y0 + (low + high) / 2 * dy}};
    return true;
}

static bool double_arcs(const struct sg_segment *a, const struct sg_segment *b, double tolerance,
                        struct sg_meet *out)
{
    double r = sg_segment_radius(a), turn = full_turn();
    if (away(a->cx, a->cy, b->cx, b->cy) > tolerance || fabs(r - sg_segment_radius(b)) > tolerance)
        return false;
    struct sg_segment same = (a->sweep > 0) == (b->sweep > 0) ? *b : sg_segment_reversed(b);
    double from = way_round(a, same.x0, same.y0), wide = fabs(same.sweep), mine = fabs(a->sweep);
    for (int i = 0; i < 2; i++, from -= turn) {
        double low = fmax(0, from), high = fmin(mine, from + wide);
        if (!((high - low) * r > double_tolerances * tolerance))
            continue;
        double angle = (low + high) / 2 * (a->sweep > 0 ? 1 : -1), rx = a->x0 - a->cx, ry = a->y0 - a->cy;
        double x = a->cx + rx * cos(angle) - ry * sin(angle), y = a->cy + rx * sin(angle) + ry * cos(angle);
        *out = (struct sg_meet){1, {x}, {y}};
        return true;
    }
    return false;
}

enum sg_meeting sg_segments_meet(const struct sg_segment *a, const struct sg_segment *b, double tolerance,
                                 bool neighbours, struct sg_meet *out)
{
    if (sg_is_arc(a) && sg_is_arc(b) && double_arcs(a, b, tolerance, out))
        return SG_MEET_DOUBLE;
    if (!sg_is_arc(a) && !sg_is_arc(b) && double_lines(a, b, tolerance, out))
        return SG_MEET_DOUBLE;
    return crossings(a, b, tolerance, neighbours, out) > 0 ? SG_MEET_CROSS : SG_MEET_NOT;
}
