/* The leads that a part program draws: a run begins at its pierce beside the part, comes up to the part line,
 * goes round, and often leaves it again. What goes round is the contour; leads belong to no box, no area and
 * no hole.
 *
 * A lead is a few short segments: the loop is looked for between the first and the last of a run, as the pair
 * of ends that meet with the fewest segments left over. A run that ends where it began is its own loop,
 * unless its leads are one way there and back. */
#include "outline_inside.h"

#include <math.h>

enum { MOST = 6 }; /* segments of one lead */

static const double most_lead = 1; /* of the loop's length that both leads may be */
static const double thin = 1e-6;   /* of what a circle of that length holds: a loop that is only a way back */

static double length_of(const struct sg_segment *s, int64_t n)
{
    double length = 0;
    for (int64_t i = 0; i < n; i++)
        length += sg_segment_length(&s[i]);
    return length;
}

static double area_of(const struct sg_segment *s, int64_t n)
{
    return fabs(sg_area_around(s, n, s->x0, s->y0));
}

/* Whether segments from `in` to `out` segments before the end of a run of n are a loop with leads beside it.
 */
static bool is_loop(const struct sg_outlining *o, const struct sg_segment *s, int64_t n, int64_t in,
                    int64_t out)
{
    const struct sg_segment *first = &s[in], *last = &s[n - 1 - out];
    if (hypot(first->x0 - last->x1, first->y0 - last->y1) > o->tolerance)
        return false;
    double loop = length_of(first, n - in - out), leads = length_of(s, in) + length_of(last + 1, out);
    double full = loop * loop / (4 * acos(-1.0)), area = area_of(first, n - in - out);
    if (leads > most_lead * loop || area < thin * full)
        return false;
    bool run_closes = hypot(s->x0 - s[n - 1].x1, s->y0 - s[n - 1].y1) <= o->tolerance;
    return !run_closes || fabs(area_of(s, n) - area) < thin * full;
}

static void part(const struct sg_outlining *o, struct sg_contour *c)
{
    const struct sg_segment *s = &o->out->segments[c->first];
    for (int64_t over = 1; over <= 2 * MOST && over < c->n; over++)
        for (int64_t in = over < MOST ? over : MOST; in >= 0 && over - in <= MOST; in--) {
            int64_t rest = c->n - over;
            if (rest < 2 && !(rest == 1 && sg_is_arc(&s[in])))
                continue;
            if (!is_loop(o, s, c->n, in, over - in))
                continue;
            c->lead_in = (int32_t)in;
            c->lead_out = (int32_t)(over - in);
            c->first += in;
            c->n = rest;
            c->closed = true;
            return;
        }
}

void sg_part_leads(struct sg_outlining *o)
{
    for (int32_t i = 0; i < o->out->n_contours; i++)
        part(o, &o->out->contours[i]);
}

double sg_drawn_leads(const struct sg_outline *outline, const struct sg_contour *c)
{
    const struct sg_segment *s = &outline->segments[c->first];
    return length_of(s - c->lead_in, c->lead_in) + length_of(s + c->n, c->lead_out);
}
