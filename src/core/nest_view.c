/* Shapes as they lie: turned by quarters, and with x and y exchanged to slide along y. */
#include "nest_inside.h"

#include <math.h>
#include <stdlib.h>

static struct sg_nest_point seen(const struct sg_nest_shape *shape, bool up, int q, struct sg_nest_point p)
{
    double l = (double)shape->length, w = (double)shape->width;
    struct sg_nest_point turned[4] = {p, {w - p.y, p.x}, {l - p.x, w - p.y}, {p.y, l - p.x}};
    return up ? (struct sg_nest_point){turned[q].y, turned[q].x} : turned[q];
}

static struct sg_nest_edge edge_of(struct sg_nest_point a, struct sg_nest_point b, bool up, bool outer)
{
    bool rises = b.y > a.y;
    struct sg_nest_point low = rises ? a : b, high = rises ? b : a;
    double dx = high.x - low.x, dy = high.y - low.y, length = sqrt(dx * dx + dy * dy);
    struct sg_nest_edge edge = {low.x,       low.y,        high.x, high.y, dy > 0 ? dx / dy : 0,
                                dy / length, -dx / length, 0};
    if (outer && dy > 0) /* the material is to the left of it, and to the right with x and y exchanged */
        edge.facing = rises != up ? 1 : -1;
    return edge;
}

static int compare_edges(const void *a, const void *b)
{
    static const int place[] = {1, 2, 0};
    const struct sg_nest_edge *p = a, *q = b;
    if (p->facing != q->facing) /* right, left, others */
        return place[p->facing + 1] < place[q->facing + 1] ? -1 : 1;
    if (p->y0 != q->y0)
        return p->y0 < q->y0 ? -1 : 1;
    if (p->x0 != q->x0)
        return p->x0 < q->x0 ? -1 : 1;
    if (p->y1 != q->y1)
        return p->y1 < q->y1 ? -1 : 1;
    return (p->x1 > q->x1) - (p->x1 < q->x1);
}

/* ---- a point inside ---- */

static int compare_numbers(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The middle of the widest material on a level. */
static double widest_on(const struct sg_nest_edge *edges, int32_t n, double y, double *xs, double *middle)
{
    int32_t crossings = 0;
    double widest = 0;
    for (int32_t i = 0; i < n; i++)
        if (edges[i].y0 <= y && edges[i].y1 > y)
            xs[crossings++] = edges[i].x0 + (y - edges[i].y0) * edges[i].slope;
    qsort(xs, (size_t)crossings, sizeof *xs, compare_numbers);
    for (int32_t i = 0; i + 1 < crossings; i += 2)
        if (xs[i + 1] - xs[i] > widest) {
            widest = xs[i + 1] - xs[i];
            *middle = (xs[i] + xs[i + 1]) / 2;
        }
    return widest;
}

static void find_inside(struct sg_nest *nest, struct sg_nest_view *view)
{
    enum { LEVELS = 7 };
    double widest = 0, middle = 0;
    if (!sg_nest_room(nest, &nest->errors, &nest->errors_room, view->n, sizeof *nest->errors))
        return;
    for (int i = 0; i < LEVELS; i++) {
        double y = floor(view->width * (i + 0.45) / LEVELS) + 0.5; /* through no point */
        double here = widest_on(nest->edges + view->edges, view->n, y, nest->errors, &middle);
        if (here <= widest)
            continue;
        widest = here;
        view->inside_x = middle;
        view->inside_y = y;
    }
}

/* ---- */

const struct sg_nest_view *sg_nest_view(struct sg_nest *nest, int32_t part, bool up, int q)
{
    struct sg_nest_shape *shape = &nest->shapes[part];
    struct sg_nest_view *view = &shape->views[up][q];
    if (view->made)
        return view;
    *view = (struct sg_nest_view){.made = true, .edges = nest->n_edges, .marks = nest->n_marks};
    bool lies = (q & 1) != up; /* its length is across */
    view->length = (double)(lies ? shape->width : shape->length);
    view->width = (double)(lies ? shape->length : shape->width);
    for (int32_t k = 0; k < shape->n_loops; k++) {
        const struct sg_nest_loop *loop = &nest->loops[shape->loops + k];
        const struct sg_nest_point *points = nest->points + loop->first;
        if (!sg_nest_room(nest, &nest->edges, &nest->edges_room, nest->n_edges + loop->n,
                          sizeof *nest->edges) ||
            !sg_nest_room(nest, &nest->marks, &nest->marks_room, nest->n_marks + 1, sizeof *nest->marks)) {
            view->n = view->n_marks = 0;
            return view;
        }
        nest->marks[nest->n_marks++] = seen(shape, up, q, points[0]);
        view->n_marks++;
        for (int32_t i = 0; i < loop->n; i++)
            nest->edges[nest->n_edges++] = edge_of(seen(shape, up, q, points[i]),
                                                   seen(shape, up, q, points[(i + 1) % loop->n]), up, k == 0);
        view->n += loop->n;
    }
    qsort(nest->edges + view->edges, (size_t)view->n, sizeof *nest->edges, compare_edges);
    for (int32_t i = 0; i < view->n; i++) {
        view->n_right += nest->edges[view->edges + i].facing > 0;
        view->n_left += nest->edges[view->edges + i].facing < 0;
    }
    find_inside(nest, view);
    return view;
}

static bool is_among(const struct sg_nest_edge *edge, const struct sg_nest_edge *edges, int32_t n)
{
    const double near = 3; /* units: rounded one way and the other */
    for (int32_t i = 0; i < n; i++)
        if (fabs(edges[i].x0 - edge->x0) <= near && fabs(edges[i].y0 - edge->y0) <= near &&
            fabs(edges[i].x1 - edge->x1) <= near && fabs(edges[i].y1 - edge->y1) <= near)
            return true;
    return false;
}

static bool same_edges(const struct sg_nest_edge *a, const struct sg_nest_edge *b, int32_t n)
{
    for (int32_t i = 0; i < n; i++)
        if (!is_among(&a[i], b, n))
            return false;
    return true;
}

bool sg_nest_like_before(struct sg_nest *nest, int32_t part, int q)
{
    signed char *known = &nest->shapes[part].like_before[q];
    if (*known != 0)
        return *known > 0;
    const struct sg_nest_view *view = sg_nest_view(nest, part, false, q);
    *known = -1;
    for (int i = 0; i < q; i++) {
        const struct sg_nest_view *before = sg_nest_view(nest, part, false, i);
        if (!nest->failed && before->length == view->length &&
            same_edges(nest->edges + before->edges, nest->edges + view->edges, view->n))
            *known = 1;
    }
    return *known > 0;
}
