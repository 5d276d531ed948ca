#include "sandglass/common_line.h"

#include <math.h>
#include <stdlib.h>

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

static int32_t first_from(const struct sg_common_side *sides, int32_t n, double at)
{
    int32_t low = 0, high = n;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (sides[middle].at < at)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Sides across one direction: where a piece ends, and a gap further on another begins. */
static double one_way(const struct sg_layout_part *boxes, const struct sg_placement *placements, int32_t n,
                      double gap, bool along, struct sg_common_side *sides)
{
    double spared = 0;
    for (int32_t i = 0; i < n; i++) {
        struct lying l = lying_of(boxes, &placements[i]);
        sides[i] =
            along ? (struct sg_common_side){l.x0, l.y0, l.y1} : (struct sg_common_side){l.y0, l.x0, l.x1};
    }
    if (n > 1)
        qsort(sides, (size_t)n, sizeof *sides, by_place);
    for (int32_t i = 0; i < n; i++) {
        struct lying l = lying_of(boxes, &placements[i]);
        double at = (along ? l.x1 : l.y1) + gap, from = along ? l.y0 : l.x0, to = along ? l.y1 : l.x1;
        for (int32_t k = first_from(sides, n, at - close_to); k < n && sides[k].at <= at + close_to; k++)
            spared += fmax(0, fmin(to, sides[k].to) - fmax(from, sides[k].from));
    }
    return spared;
}

double sg_common_lines(const struct sg_layout_part *boxes, const struct sg_placement *placements, int32_t n,
                       double gap, struct sg_common_side *sides)
{
    return one_way(boxes, placements, n, gap, true, sides) + one_way(boxes, placements, n, gap, false, sides);
}
