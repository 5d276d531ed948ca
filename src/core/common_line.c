#include "sandglass/common_line.h"

#include "sandglass/sort.h"

#include <math.h>

static const double close_to = 1e-4; /* mm: layouts are made in 1/40000 */

bool sg_outline_is_box(const struct sg_outline *outline)
{
    int32_t outer = 0;
    bool whole = outline->open == 0;
    for (int32_t i = 0; i < outline->n_contours && whole; i++) {
        const struct sg_contour *c = &outline->contours[i];
        double box = (c->box[2] - c->box[0]) * (c->box[3] - c->box[1]);
        if (c->depth > 0)
            continue;
        outer++;
        whole = outer == 1 && fabs(c->area - box) <= 1e-9 * box;
    }
    return whole && outer == 1;
}

struct lying {
    double x0, y0, x1, y1;
};

static struct lying lying_of(const struct sg_layout_part *boxes, const struct sg_placement *p)
{
    const struct sg_layout_part *box = &boxes[p->part];
    return (struct lying){p->x, p->y, p->x + (p->turned ? box->width : box->length),
                          p->y + (p->turned ? box->length : box->width)};
}

static int by_place(const void *a, const void *b)
{
    const struct sg_common_side *x = a, *y = b;
    if (x->at != y->at)
        return x->at < y->at ? -1 : 1;
    return (x->from > y->from) - (x->from < y->from);
}

/* The first of the sides low..high that lies there or further on, and begins at `from` or later. */
static int32_t first_side(const struct sg_common_side *sides, int32_t low, int32_t high, double at,
                          double from)
{
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (sides[middle].at < at || (sides[middle].at == at && sides[middle].from < from))
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* What a piece shares with the sides on one line, of which `first` is the first. They do not lie on each
 * other, so that only the last that begins before the piece's may reach beyond its beginning. */
static double shared(const struct sg_common_side *sides, int32_t first, const struct sg_common_side *piece)
{
    double length = 0;
    int32_t end = sides[first].next, i = first_side(sides, first, end, sides[first].at, piece->from);
    for (i -= i > first; i < end && sides[i].from < piece->to; i++)
        length += fmax(0, fmin(piece->to, sides[i].to) - fmax(piece->from, sides[i].from));
    return length;
}

/* Sorted along one direction. The second half of `sides` is scratch. */
static void find_sides(const struct sg_layout_part *boxes, const struct sg_placement *placements, int32_t n,
                       bool along, struct sg_common_side *sides)
{
    for (int32_t i = 0; i < n; i++) {
        struct lying l = lying_of(boxes, &placements[i]);
        sides[i] = along ? (struct sg_common_side){l.x0, l.y0, l.y1, l.x1, 0}
                         : (struct sg_common_side){l.y0, l.x0, l.x1, l.y1, 0};
    }
    sg_sort(sides, sides + n, n, sizeof *sides, by_place);
    for (int32_t i = n - 1; i >= 0; i--)
        sides[i].next = i + 1 < n && sides[i + 1].at == sides[i].at ? sides[i + 1].next : i + 1;
}

/* Sides across one direction: where a piece ends, and a gap further on another begins. */
static double one_way(const struct sg_layout_part *boxes, const struct sg_placement *placements, int32_t n,
                      double gap, bool along, struct sg_common_side *sides)
{
    double spared = 0, looked_for = (double)NAN;
    int32_t first = 0;
    find_sides(boxes, placements, n, along, sides);
    for (int32_t i = 0; i < n; i++) {
        double at = sides[i].behind + gap;
        if (at != looked_for)
            first = first_side(sides, 0, n, at - close_to, -(double)INFINITY);
        looked_for = at;
        for (int32_t k = first; k < n && sides[k].at <= at + close_to; k = sides[k].next)
            spared += shared(sides, k, &sides[i]);
    }
    return spared;
}

double sg_common_lines(const struct sg_layout_part *boxes, const struct sg_placement *placements, int32_t n,
                       double gap, struct sg_common_side *sides)
{
    return one_way(boxes, placements, n, gap, true, sides) + one_way(boxes, placements, n, gap, false, sides);
}
