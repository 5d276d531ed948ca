/* Runs of short chords become arcs, so that the speed along them is that of the curve they stand for.
 *
 * A curve is a run of lines whose joints all turn the same way, by little. From its beginning the longest run
 * is taken whose points and whose chords' middles all lie within SG_CHORD_FIT of one circle, through its
 * first, middle and last point: the run grows twofold until it does not fit, then the limit is halved in. At
 * most half a turn at once, where such a circle is well known. */
#include "outline_inside.h"

#include <math.h>

enum { LEAST_CHORDS = 3 };

static const double least_turn = 0.05 * 3.14159265358979323846 / 180; /* of a joint of a curve */

/* Signed angle of the joint between two lines. */
static double joint(const struct sg_segment *a, const struct sg_segment *b)
{
    double ax = a->x1 - a->x0, ay = a->y1 - a->y0, bx = b->x1 - b->x0, by = b->y1 - b->y0;
    return atan2(ax * by - ay * bx, ax * bx + ay * by);
}

/* Lines from s[0] whose joints go on turning the way of the first. */
static int64_t curve_length(const struct sg_segment *s, int64_t n)
{
    if (sg_is_arc(s))
        return 1;
    int64_t k = 1;
    double way = 0;
    for (; k < n && !sg_is_arc(&s[k]); k++) {
        double turn = joint(&s[k - 1], &s[k]);
        if (!(fabs(turn) > least_turn && fabs(turn) <= SG_CORNER_TURN) || (k > 1 && (turn > 0) != (way > 0)))
            break;
        way = turn;
    }
    return k;
}

/* The circle through three points; false where they lie on a line. */
static bool circle(const double p[3][2], double *cx, double *cy)
{
    double ax = p[1][0] - p[0][0], ay = p[1][1] - p[0][1], bx = p[2][0] - p[0][0], by = p[2][1] - p[0][1];
    double across = 2 * (ax * by - ay * bx), a2 = ax * ax + ay * ay, b2 = bx * bx + by * by;
    *cx = p[0][0] + (by * a2 - ay * b2) / across;
    *cy = p[0][1] + (ax * b2 - bx * a2) / across;
    return fabs(*cx) <= SG_OUTLINE_REACH && fabs(*cy) <= SG_OUTLINE_REACH; /* false of NaN */
}

/* Whether k chords are an arc, and which. */
static bool fits(const struct sg_segment *s, int64_t k, struct sg_segment *arc)
{
    const double p[3][2] = {{s[0].x0, s[0].y0}, {s[k / 2].x0, s[k / 2].y0}, {s[k - 1].x1, s[k - 1].y1}};
    double cx, cy, sweep = 0;
    if (!circle(p, &cx, &cy))
        return false;
    double r = hypot(p[0][0] - cx, p[0][1] - cy);
    for (int64_t i = 0; i < k; i++) {
        double mx = (s[i].x0 + s[i].x1) / 2 - cx, my = (s[i].y0 + s[i].y1) / 2 - cy;
        double ax = s[i].x0 - cx, ay = s[i].y0 - cy, bx = s[i].x1 - cx, by = s[i].y1 - cy;
        if (fabs(hypot(mx, my) - r) > SG_CHORD_FIT || fabs(hypot(bx, by) - r) > SG_CHORD_FIT)
            return false;
        sweep += atan2(ax * by - ay * bx, ax * bx + ay * by);
    }
    *arc = (struct sg_segment){p[0][0], p[0][1], p[2][0], p[2][1], cx, cy, sweep, true};
    return fabs(sweep) <= acos(-1.0) * 1.01 && fabs(sweep) > 0;
}

/* How many of the first n chords become one arc; 0: too few. */
static int64_t longest_fit(const struct sg_segment *s, int64_t n, struct sg_segment *arc)
{
    struct sg_segment tried;
    int64_t good = 0, bad = n + 1;
    for (int64_t k = LEAST_CHORDS; k <= n; k = k < n && 2 * k > n ? n : 2 * k) {
        if (!fits(s, k, &tried)) {
            bad = k;
            break;
        }
        good = k;
        *arc = tried;
    }
    while (good > 0 && bad - good > 1) {
        int64_t k = good + (bad - good) / 2;
        if (fits(s, k, &tried)) {
            good = k;
            *arc = tried;
        } else {
            bad = k;
        }
    }
    return good;
}

/* One curve of n chords at `from`, written at `to`. Returns the end of what is written. */
static int64_t fit_curve(struct sg_outlining *o, int64_t from, int64_t n, int64_t to)
{
    struct sg_segment *all = o->out->segments, arc;
    int64_t chords = 0, longest = 0;
    double x = all[from].x0, y = all[from].y0; /* where the chords begin that stay */
    for (int64_t i = 0; i < n;) {
        int64_t k = longest_fit(&all[from + i], n - i, &arc);
        if (k == 0) {
            if (chords++ == 0 && longest < LEAST_CHORDS) {
                x = all[from + i].x0;
                y = all[from + i].y0;
            }
            all[to++] = all[from + i++];
        } else {
            chords = 0;
            all[to++] = arc;
            i += k;
        }
        longest = chords > longest ? chords : longest;
    }
    if (longest >= LEAST_CHORDS)
        sg_outline_note(o, SG_PROBLEM_CHORDS, x, y, (double)NAN);
    return to;
}

void sg_fit_arcs(struct sg_outlining *o)
{
    struct sg_outline *out = o->out;
    int64_t to = 0;
    for (int32_t c = 0; c < out->n_contours; c++) {
        struct sg_contour *contour = &out->contours[c];
        int64_t end = contour->first + contour->n, from = contour->first;
        for (int64_t i = from - contour->lead_in; i < from; i++)
            out->segments[to++] = out->segments[i];
        contour->first = to;
        while (from < end) {
            int64_t n = curve_length(&out->segments[from], end - from);
            if (n >= LEAST_CHORDS) {
                to = fit_curve(o, from, n, to);
                from += n;
            } else {
                out->segments[to++] = out->segments[from++];
            }
        }
        contour->n = to - contour->first;
        for (int64_t i = end; i < end + contour->lead_out; i++)
            out->segments[to++] = out->segments[i];
    }
    out->n_segments = to;
}
