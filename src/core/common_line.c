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
    if (x->from != y->from)
        return x->from < y->from ? -1 : 1;
    return (x->piece > y->piece) - (x->piece < y->piece);
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
static void one_way(const struct sg_layout_part *boxes, const bool *straight,
                    const struct sg_placement *placements, int32_t n, double gap, bool along,
                    struct sg_common_side *sides, double *saved)
{
    int32_t n_sides = 0;
    for (int32_t i = 0; i < n; i++) {
        struct lying l = lying_of(boxes, &placements[i]);
        if (straight[placements[i].part])
            sides[n_sides++] = along ? (struct sg_common_side){l.x0, l.y0, l.y1, i}
                                     : (struct sg_common_side){l.y0, l.x0, l.x1, i};
    }
    if (n_sides > 1)
        qsort(sides, (size_t)n_sides, sizeof *sides, by_place);
    for (int32_t i = 0; i < n; i++) {
        struct lying l = lying_of(boxes, &placements[i]);
        double at = (along ? l.x1 : l.y1) + gap, from = along ? l.y0 : l.x0, to = along ? l.y1 : l.x1;
        if (!straight[placements[i].part])
            continue;
        for (int32_t k = first_from(sides, n_sides, at - close_to);
             k < n_sides && sides[k].at <= at + close_to; k++) {
            double both = fmin(to, sides[k].to) - fmax(from, sides[k].from);
            if (!(both > 0))
                continue;
            saved[placements[i].part] += both / 2;
            saved[placements[sides[k].piece].part] += both / 2;
        }
    }
}

void sg_common_lines(const struct sg_layout_part *boxes, const bool *straight,
                     const struct sg_placement *placements, int32_t n, double gap,
                     struct sg_common_side *sides, double *saved)
{
    one_way(boxes, straight, placements, n, gap, true, sides, saved);
    one_way(boxes, straight, placements, n, gap, false, sides, saved);
}
