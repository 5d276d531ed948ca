/* Open ends that lie near each other and not within the tolerance. Each is told once, with the nearest. */
#include "outline_inside.h"

#include <math.h>
#include <stdlib.h>

static const double gap_near = 0.5;      /* mm; what is wider is no slip of the drawing */
static const double gap_tolerances = 10; /* or so many tolerances, if that is more */
static const double most_of_chain = 0.5; /* a chain that short against the way between its ends is no loop */
enum { LOOKS = 64 };                     /* at other ends, for each end on average */

struct open_end {
    double x, y;
    double column; /* strip of the drawing, as wide as what is near */
    int32_t contour, nearest;
    double distance;
};

static int by_strip(const void *a, const void *b)
{
    const struct open_end *p = a, *q = b;
    if (p->column != q->column)
        return p->column < q->column ? -1 : 1;
    if (p->y != q->y)
        return p->y < q->y ? -1 : 1;
    if (p->x != q->x)
        return p->x < q->x ? -1 : 1;
    return (p->contour > q->contour) - (p->contour < q->contour);
}

static void add_open_end(struct open_end *end, double x, double y, int32_t contour, double near)
{
    *end = (struct open_end){.x = x, .y = y, .column = floor(x / near), .contour = contour, .nearest = -1};
    end->distance = (double)INFINITY;
}

static void compare(const struct sg_outlining *o, struct open_end *ends, int32_t i, int32_t j, double near)
{
    struct open_end *a = &ends[i], *b = &ends[j];
    double d = hypot(a->x - b->x, a->y - b->y);
    if (d <= o->tolerance || d > near)
        return;
    if (a->contour == b->contour && d > most_of_chain * o->out->contours[a->contour].length)
        return;
    if (a->contour != b->contour && o->how->chained)
        return; /* a part program says itself where the jet is on */
    if (d < a->distance) {
        a->distance = d;
        a->nearest = j;
    }
    if (d < b->distance) {
        b->distance = d;
        b->nearest = i;
    }
}

/* Each end against those behind it in its own strip and those at its height in the next one. */
static bool compare_all(const struct sg_outlining *o, struct open_end *ends, int32_t n, double near)
{
    int64_t looks = (int64_t)LOOKS * n;
    int32_t beside = 0;
    for (int32_t i = 0; i < n; i++) {
        for (int32_t j = i + 1; j < n && ends[j].column == ends[i].column && ends[j].y <= ends[i].y + near;
             j++) {
            compare(o, ends, i, j, near);
            if (--looks < 0)
                return false;
        }
        double next = ends[i].column + 1;
        while (beside < n && (ends[beside].column < next ||
                              (ends[beside].column == next && ends[beside].y < ends[i].y - near)))
            beside++;
        for (int32_t j = beside; j < n && ends[j].column == next && ends[j].y <= ends[i].y + near; j++) {
            compare(o, ends, i, j, near);
            if (--looks < 0)
                return false;
        }
    }
    return true;
}

static int32_t collect(const struct sg_outline *out, struct open_end *ends, double near)
{
    int32_t n = 0;
    for (int32_t i = 0; i < out->n_contours; i++) {
        const struct sg_contour *c = &out->contours[i];
        if (c->closed)
            continue;
        const struct sg_segment *first = &out->segments[c->first], *last = &first[c->n - 1];
        add_open_end(&ends[n++], first->x0, first->y0, i, near);
        add_open_end(&ends[n++], last->x1, last->y1, i, near);
    }
    return n;
}

bool sg_find_gaps(struct sg_outlining *o)
{
    const struct sg_outline *out = o->out;
    double near = fmax(gap_near, gap_tolerances * o->tolerance);
    struct open_end *ends = malloc(((size_t)out->open * 2 + 1) * sizeof *ends);
    if (!ends)
        return false;
    int32_t n = collect(out, ends, near);
    qsort(ends, (size_t)n, sizeof *ends, by_strip);
    if (!compare_all(o, ends, n, near) && n > 0)
        sg_outline_note(o, SG_PROBLEM_TANGLED, ends[0].x, ends[0].y, (double)NAN);
    for (int32_t i = 0; i < n; i++) {
        int32_t j = ends[i].nearest;
        if (j >= 0 && (ends[j].nearest != i || i < j))
            sg_outline_note(o, SG_PROBLEM_GAP, ends[i].x, ends[i].y, ends[i].distance);
    }
    free(ends);
    return true;
}
