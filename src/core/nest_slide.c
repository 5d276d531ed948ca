/* How near one shape may come to another along a direction.
 *
 * Edge b at t, h is nearer to edge a than the gap where t, h lies in the parallelogram of all differences of
 * their points, widened by the gap: along a level that is one span of t. On a level that only touches a
 * parallelogram from above or below, the edges touch and do not cross. So two levels are asked, the one just
 * above and the one just below, and what is free on either is free: there, edges cross or they do not, and
 * shapes within each other are told by a corner of each loop. */
#include "nest_inside.h"

#include <math.h>

enum { ABOVE, BELOW, SIDES };

double sg_nest_gap(const struct sg_nest *nest, int32_t a, int32_t b)
{
    return nest->gap + nest->shapes[a].slack + nest->shapes[b].slack;
}

/* Differences of the points of two edges, and on which levels. */
struct meeting {
    double x[4], y[4]; /* a0-b0, a1-b0, a0-b1 (the lowest), a1-b1 */
    double low, high;
};

static struct meeting meeting_of(const struct sg_nest_edge *a, const struct sg_nest_edge *b, double gap)
{
    return (struct meeting){{a->x0 - b->x0, a->x1 - b->x0, a->x0 - b->x1, a->x1 - b->x1},
                            {a->y0 - b->y0, a->y1 - b->y0, a->y0 - b->y1, a->y1 - b->y1},
                            a->y0 - b->y1 - gap,
                            a->y1 - b->y0 + gap};
}

static void widen(struct sg_nest_span *span, double x)
{
    span->lo = x < span->lo ? x : span->lo;
    span->hi = x > span->hi ? x : span->hi;
}

/* A side of the parallelogram, moved outward by the gap to the right and to the left. */
static void widen_side(struct sg_nest_span *span, const struct meeting *m, int from, int to,
                       const struct sg_nest_edge *edge, double h, double gap)
{
    double up = gap * edge->ny, out = gap * edge->nx;
    if (m->y[from] + up <= h && h <= m->y[to] + up)
        widen(span, m->x[from] + out + (h - m->y[from] - up) * edge->slope);
    if (m->y[from] - up <= h && h <= m->y[to] - up)
        widen(span, m->x[from] - out + (h - m->y[from] + up) * edge->slope);
}

static struct sg_nest_span span_of(const struct meeting *m, const struct sg_nest_edge *a,
                                   const struct sg_nest_edge *b, double h, double gap)
{
    struct sg_nest_span span = {(double)INFINITY, -(double)INFINITY};
    for (int i = 0; i < 4; i++) {
        double dy = h - m->y[i];
        if (fabs(dy) > gap)
            continue;
        double dx = sqrt(gap * gap - dy * dy);
        widen(&span, m->x[i] - dx);
        widen(&span, m->x[i] + dx);
    }
    if (a->y1 > a->y0) {
        widen_side(&span, m, 0, 1, a, h, gap);
        widen_side(&span, m, 2, 3, a, h, gap);
    }
    if (b->y1 > b->y0) {
        widen_side(&span, m, 2, 0, b, h, gap);
        widen_side(&span, m, 3, 1, b, h, gap);
    }
    return span;
}

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static double smaller(double a, double b)
{
    return a < b ? a : b;
}

/* From the right, b meets a with an edge that faces left on one that faces right. */
double sg_nest_reach(struct sg_nest *nest, const struct sg_nest_view *a, const struct sg_nest_view *b,
                     double h, double gap)
{
    double reach[SIDES] = {-(double)INFINITY, -(double)INFINITY}, least = -(double)INFINITY;
    const struct sg_nest_edge *of_a = nest->edges + a->edges, *of_b = nest->edges + b->edges + b->n_right;
    for (int32_t k = 0; k < b->n_left; k++) {
        const struct sg_nest_edge *eb = &of_b[k];
        double bottom = h + eb->y0 - gap, top = h + eb->y1 + gap, left = smaller(eb->x0, eb->x1) - gap;
        for (int32_t i = 0; i < a->n_right && of_a[i].y0 <= top; i++) {
            const struct sg_nest_edge *ea = &of_a[i];
            if (ea->y1 < bottom || larger(ea->x0, ea->x1) - left <= least)
                continue;
            struct meeting m = meeting_of(ea, eb, gap);
            double hi = span_of(&m, ea, eb, h, gap).hi;
            if (h < m.high)
                reach[ABOVE] = larger(reach[ABOVE], hi);
            if (h > m.low)
                reach[BELOW] = larger(reach[BELOW], hi);
            least = smaller(reach[ABOVE], reach[BELOW]);
        }
        nest->looks += a->n_right;
    }
    return least;
}

/* ---- between others ---- */

static void add_span(struct sg_nest *nest, struct sg_nest_span span, double from, double to)
{
    if (span.lo >= span.hi || span.hi <= from || span.lo >= to ||
        !sg_nest_room(nest, &nest->spans, &nest->spans_room, nest->n_spans + 1, sizeof *nest->spans))
        return;
    nest->spans[nest->n_spans++] = span;
}

/* Spans of an edge of b over n edges of a, those by y0. */
static void add_spans_of(struct sg_nest *nest, const struct sg_nest_edge *of_a, int32_t n, double a_x,
                         double gap, const struct sg_nest_edge *eb, double h, int side, double from,
                         double to)
{
    double bottom = h + eb->y0 - gap, top = h + eb->y1 + gap;
    double right = to - a_x + larger(eb->x0, eb->x1) + gap, left = from - a_x + smaller(eb->x0, eb->x1) - gap;
    for (int32_t i = 0; i < n && of_a[i].y0 <= top; i++) {
        const struct sg_nest_edge *ea = &of_a[i];
        nest->looks++;
        if (ea->y1 < bottom || larger(ea->x0, ea->x1) < left || smaller(ea->x0, ea->x1) > right)
            continue;
        struct meeting m = meeting_of(ea, eb, gap);
        if (side == ABOVE ? h < m.low || h >= m.high : h <= m.low || h > m.high)
            continue;
        struct sg_nest_span span = span_of(&m, ea, eb, h, gap);
        add_span(nest, (struct sg_nest_span){span.lo + a_x, span.hi + a_x}, from, to);
    }
}

static void add_spans(struct sg_nest *nest, const struct sg_nest_lying *a, const struct sg_nest_view *b,
                      double h, int side, double from, double to)
{
    const struct sg_nest_edge *of_a = nest->edges + a->view->edges, *of_b = nest->edges + b->edges;
    const int32_t parts[] = {a->view->n_right, a->view->n_left,
                             a->view->n - a->view->n_right - a->view->n_left};
    for (int32_t k = 0; k < b->n; k++) {
        const struct sg_nest_edge *edges = of_a;
        for (int i = 0; i < 3; edges += parts[i++])
            add_spans_of(nest, edges, parts[i], a->x, a->gap, &of_b[k], h - a->y, side, from, to);
    }
}

/* By even and odd; a point on the level of a corner is just above or below it. */
static bool holds(const struct sg_nest *nest, const struct sg_nest_view *view, double x, double y, int side)
{
    bool inside = false;
    const struct sg_nest_edge *edges = nest->edges + view->edges;
    for (int32_t i = 0; i < view->n; i++) {
        const struct sg_nest_edge *e = &edges[i];
        if (side == ABOVE ? e->y0 <= y && e->y1 > y : e->y0 < y && e->y1 >= y)
            inside ^= e->x0 + (y - e->y0) * e->slope < x;
    }
    return inside;
}

/* Whether a corner of any loop of one that lies at x, y from the other is in the other's material. */
static bool loop_lies_in(struct sg_nest *nest, const struct sg_nest_view *one, double x, double y,
                         const struct sg_nest_view *other, int side)
{
    nest->looks += (int64_t)one->n_marks * other->n;
    for (int32_t i = 0; i < one->n_marks; i++) {
        const struct sg_nest_point *mark = &nest->marks[one->marks + i];
        if (holds(nest, other, x + mark->x, y + mark->y, side))
            return true;
    }
    return false;
}

/* Where no edges cross, each loop is on one side of the other's edges: shapes overlap where one is inside. */
static bool lies_in_another(struct sg_nest *nest, const struct sg_nest_lying *lying, int32_t n,
                            const struct sg_nest_view *b, double t, double h, int side)
{
    for (int32_t i = 0; i < n; i++) {
        const struct sg_nest_lying *a = &lying[i];
        if (loop_lies_in(nest, b, t - a->x, h - a->y, a->view, side) ||
            loop_lies_in(nest, a->view, a->x - t, a->y - h, b, side == ABOVE ? BELOW : ABOVE))
            return true;
    }
    return false;
}

/* The least place from `at` on that no span covers, which is well before the next one begins: *end. */
static double free_from(const struct sg_nest *nest, double at, double *end)
{
    const double least = 0.5;
    for (bool moved = true; moved;) {
        moved = false;
        *end = (double)INFINITY;
        for (int64_t i = 0; i < nest->n_spans; i++) {
            const struct sg_nest_span *span = &nest->spans[i];
            if (span->hi <= at)
                continue;
            if (span->lo > at + least) {
                *end = smaller(*end, span->lo);
            } else {
                at = span->hi;
                moved = true;
            }
        }
    }
    return at;
}

static double whole_up(double x)
{
    return ceil(x - SG_NEST_FUZZ);
}

static bool find_on(struct sg_nest *nest, const struct sg_nest_lying *lying, int32_t n,
                    const struct sg_nest_view *b, double h, double from, double to, int side, double *t)
{
    double at = from;
    nest->n_spans = 0;
    for (int32_t i = 0; i < n && !nest->failed; i++)
        add_spans(nest, &lying[i], b, h, side, from - 1, to + 1);
    for (double end; (at = free_from(nest, at, &end)) <= to; at = end) {
        double last = smaller(end, to);
        if (whole_up(at) <= last && !lies_in_another(nest, lying, n, b, (at + last) / 2, h, side)) {
            *t = whole_up(at);
            return true;
        }
    }
    return false;
}

bool sg_nest_find(struct sg_nest *nest, const struct sg_nest_lying *lying, int32_t n,
                  const struct sg_nest_view *b, double h, double from, double to, double *t)
{
    double other;
    bool found = find_on(nest, lying, n, b, h, from, to, ABOVE, t);
    if (found && *t == from)
        return true;
    if (!find_on(nest, lying, n, b, h, from, to, BELOW, &other))
        return found;
    *t = found ? smaller(*t, other) : other;
    return true;
}

bool sg_nest_within(struct sg_nest *nest, const struct sg_nest_view *view, double x, double y)
{
    bool inside = false;
    const struct sg_nest_edge *edges = nest->edges + view->edges;
    for (int32_t i = 0; i < view->n; i++)
        if (edges[i].facing != 0 && edges[i].y0 <= y && edges[i].y1 > y)
            inside ^= edges[i].x0 + (y - edges[i].y0) * edges[i].slope < x;
    return inside;
}
