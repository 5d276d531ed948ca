/* Which contour lies in which.
 *
 * From the leftmost point of a closed contour one looks to the left, as if a hair above that height. The
 * first segment met belongs to a contour that reaches farther left; if it goes down there (and its contour
 * counter-clockwise), the point lies inside that contour, else beside it, in whatever that one lies in. So
 * contours are taken from left to right, and each is settled by one look. */
#include "outline_inside.h"

#include <math.h>
#include <stdlib.h>

enum { LOOKS = 100, LOOKS_LEAST = 20000000 }; /* at cells and segments, for each segment; for all at least */

struct left_point {
    double x, y, area;
    int32_t contour;
};

struct nesting {
    const struct sg_outline *out;
    const struct sg_grid *grid;
    const int32_t *contour_of;
    const double *signed_area;
    int32_t *rank; /* of each contour from the left; -1: an open one */
    int64_t looks;
};

/* What a look to the left has met so far. */
struct hit {
    double x, slope; /* dx/dy: what leans right is met first just above */
    bool up;
    int32_t contour; /* -1: nothing */
};

static int from_left(const void *a, const void *b)
{
    const struct left_point *p = a, *q = b;
    if (p->x != q->x)
        return p->x < q->x ? -1 : 1;
    if (p->area != q->area)
        return p->area > q->area ? -1 : 1;
    return (p->contour > q->contour) - (p->contour < q->contour);
}

static struct left_point leftmost(const struct sg_outline *out, int32_t contour)
{
    const struct sg_contour *c = &out->contours[contour];
    struct left_point left = {.x = (double)INFINITY, .area = c->area, .contour = contour};
    struct sg_stretch parts[SG_STRETCHES];
    for (int64_t i = c->first; i < c->first + c->n; i++)
        for (int k = 0, n = sg_stretches(&out->segments[i], parts); k < n; k++)
            if (parts[k].xa < left.x || (parts[k].xa == left.x && parts[k].ya < left.y)) {
                left.x = parts[k].xa; /* the lowest of them: there the sides of what stands in line begin */
                left.y = parts[k].ya;
            }
    return left;
}

static double slope_at(const struct sg_stretch *s, double x, double y)
{
    if (s->side == 0)
        return (s->xb - s->xa) / (s->yb - s->ya);
    return -(y - s->cy) / (x - s->cx); /* along the circle */
}

static void meet(const struct sg_stretch *s, const struct left_point *from, int32_t contour, struct hit *hit)
{
    double low = fmin(s->ya, s->yb), high = fmax(s->ya, s->yb);
    if (!(low <= from->y && from->y < high))
        return;
    double x = sg_stretch_x(s, from->y), slope = slope_at(s, x, from->y);
    if (x > from->x || x < hit->x || (x == hit->x && !(slope > hit->slope)))
        return;
    *hit = (struct hit){x, slope, s->yb > s->ya, contour};
}

static void look_in_cell(struct nesting *n, int64_t cell, const struct left_point *from, struct hit *hit)
{
    struct sg_stretch parts[SG_STRETCHES];
    n->looks -= 1 + n->grid->first[cell + 1] - n->grid->first[cell];
    for (uint32_t i = n->grid->first[cell]; i < n->grid->first[cell + 1]; i++) {
        int32_t segment = n->grid->entries[i], contour = n->contour_of[segment];
        if (n->rank[contour] < 0 || n->rank[contour] >= n->rank[from->contour])
            continue;
        for (int k = 0, m = sg_stretches(&n->out->segments[segment], parts); k < m; k++)
            meet(&parts[k], from, contour, hit);
    }
}

/* The contour right around a point, all before it being settled. */
static int32_t around(struct nesting *n, const struct left_point *from)
{
    const struct sg_grid *g = n->grid;
    struct hit hit = {.x = -(double)INFINITY, .slope = -(double)INFINITY, .contour = SG_UNKNOWN};
    int64_t row = (int64_t)sg_grid_place(g->ys, g->rows, from->y) * g->cols;
    for (int32_t c = sg_grid_place(g->xs, g->cols, from->x); c >= 0; c--) {
        look_in_cell(n, row + c, from, &hit);
        if (c > 0 && hit.x >= g->xs[c - 1])
            break; /* what is met farther left is not met first */
    }
    if (hit.contour < 0)
        return SG_UNKNOWN;
    bool inside = hit.up != (n->signed_area[hit.contour] > 0);
    return inside ? hit.contour : n->out->contours[hit.contour].outside;
}

bool sg_nest(struct sg_outlining *o, const struct sg_grid *grid, const int32_t *contour_of,
             const double *signed_area)
{
    struct sg_outline *out = o->out;
    struct nesting n = {out, grid, contour_of, signed_area, NULL, LOOKS_LEAST};
    struct left_point *left = malloc(((size_t)out->closed + 1) * sizeof *left);
    int32_t closed = 0;
    n.rank = malloc(((size_t)out->n_contours + 1) * sizeof *n.rank);
    if (out->n_segments * LOOKS > n.looks)
        n.looks = out->n_segments * LOOKS;
    if (n.rank)
        n.rank[out->n_contours] = -1; /* leads */
    for (int32_t i = 0; left && n.rank && i < out->n_contours; i++) {
        n.rank[i] = -1;
        if (out->contours[i].closed)
            left[closed++] = leftmost(out, i);
    }
    bool room = left && n.rank;
    if (room)
        qsort(left, (size_t)closed, sizeof *left, from_left);
    for (int32_t i = 0; room && i < closed; i++)
        n.rank[left[i].contour] = i;
    for (int32_t i = 0; i < closed && room; i++) {
        struct sg_contour *c = &out->contours[left[i].contour];
        if (n.looks < 0) {
            sg_outline_note(o, SG_PROBLEM_TANGLED, left[i].x, left[i].y, (double)NAN);
            break;
        }
        c->outside = around(&n, &left[i]);
        c->depth = c->outside < 0 ? 0 : out->contours[c->outside].depth + 1;
    }
    free(left);
    free(n.rank);
    return room;
}
