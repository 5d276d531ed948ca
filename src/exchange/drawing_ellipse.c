/* An ellipse as arcs. In its own axes it is (a cos t, b sin t): where it turns in x and y of the drawing is
 * known in closed form, and one quarter gives a whole one by its mirror images. Each step is as long as the last
 * one's error lets it be. Length: Gauss and Lobatto, 5 points (Abramowitz and Stegun, table 25.6, from memory;
 * the tests hold it against closed forms). */
#include "exchange/drawing_inside.h"

#include <math.h>
#include <string.h>

static const double pi = 3.14159265358979323846;

enum { BREAKS_MOST = 12, TRIES_MOST = 20 };
#define PART_OFF 4e-7         /* allowed error of a piece's length and of its sector's area, over them */
#define SLENDER 1e-4          /* short axis over long one, below which halving has to do */
#define SAME_BREAK 1e-8       /* radians; the box misses half its square */
#define INNER_NODE 0.17267316464601142 /* (1 - sqrt(3/7)) / 2 */

struct ellipse {
    double a, b;
    double cx, cy, ux, uy, vx, vy; /* unit vectors along a and b */
    double off;                    /* mm that its arcs may lie off it */
};

/* A place with its direction, and how far it goes in a radian of t. */
struct stop {
    double t, speed;
    struct end end;
};

struct fitting {
    const struct ellipse *ellipse;
    struct sg_segment *arcs; /* in the ellipse's own axes */
    int n, room;
    double step; /* of t, tried next */
};

static struct stop stop_at(const struct ellipse *e, double t)
{
    double c = cos(t), s = sin(t), quarters = t / (pi / 2);
    if (quarters == floor(quarters)) { /* so that the quarters meet */
        c = round(c);
        s = round(s);
    }
    double dx = -e->a * s, dy = e->b * c, speed = sqrt(dx * dx + dy * dy);
    return (struct stop){t, speed, {e->a * c, e->b * s, dx / speed, dy / speed}};
}

static double off_arc(const struct sg_segment *s, double r, double x, double y)
{
    if (sg_is_arc(s))
        return fabs(sqrt((x - s->cx) * (x - s->cx) + (y - s->cy) * (y - s->cy)) - r);
    double dx = s->x1 - s->x0, dy = s->y1 - s->y0;
    return fabs((x - s->x0) * dy - (y - s->y0) * dx) / sqrt(dx * dx + dy * dy);
}

/* How far over what is allowed two arcs are, at most 1 where they will do. Arcs that meet with the curve's own
 * tangents swing to both sides of it: at the inner nodes by a bit more than half of their most. */
static double excess(const struct ellipse *e, const struct stop *from, const struct stop *to,
                     const struct sg_segment arcs[2])
{
    double step = to->t - from->t, r[2], length = 0, area = 0;
    for (int i = 0; i < 2; i++) {
        double dx = arcs[i].x0 - arcs[i].cx, dy = arcs[i].y0 - arcs[i].cy;
        r[i] = sqrt(dx * dx + dy * dy);
        length += sg_is_arc(&arcs[i]) ? r[i] * arcs[i].sweep : sg_segment_length(&arcs[i]);
        area += sg_segment_area(&arcs[i]);
    }
    struct stop first = stop_at(e, from->t + step * INNER_NODE), middle = stop_at(e, from->t + step / 2),
                last = stop_at(e, to->t - step * INNER_NODE);
    double ends = (from->speed + to->speed) / 20, inner = (first.speed + last.speed) * 49 / 180;
    double true_length = step * (ends + inner + middle.speed * 16 / 45), true_area = e->a * e->b * step / 2;
    double off = fmax(off_arc(&arcs[0], r[0], first.end.x, first.end.y),
                      off_arc(&arcs[1], r[1], last.end.x, last.end.y));
    double shares = fmax(fabs(length / true_length - 1), fabs(area / true_area - 1));
    return fmax(2 * off / e->off, shares / PART_OFF);
}

/* One pair of arcs from a place towards t; false: none will do, or there is no more room. */
static bool fit_step(struct fitting *fitting, struct stop *from, double t)
{
    const struct ellipse *e = fitting->ellipse;
    if (fitting->n + 2 > fitting->room)
        return false;
    for (int tries = 0; tries < TRIES_MOST; tries++) {
        double left = t - from->t, steps = ceil(left / fitting->step);
        struct stop to = stop_at(e, steps > 1 ? from->t + left / steps : t);
        double over = two_arcs(&from->end, &to.end, &fitting->arcs[fitting->n])
                          ? excess(e, from, &to, &fitting->arcs[fitting->n])
                          : (double)INFINITY;
        double next = (to.t - from->t) * fmin(fmax(0.9 / sqrt(sqrt(over)), 0.3), 2); /* it grows as step^3 */
        fitting->step = over <= 1 && next < fitting->step && steps <= 1 ? fitting->step : next;
        if (over <= 1) {
            fitting->n += 2;
            *from = to;
            return true;
        }
    }
    return false;
}

static bool fit_between(struct fitting *fitting, const double *breaks, int n)
{
    struct stop at = stop_at(fitting->ellipse, breaks[0]);
    for (int i = 1; i < n; i++)
        while (at.t < breaks[i])
            if (!fit_step(fitting, &at, breaks[i]))
                return false;
    return true;
}

/* ---- where it turns ---- */

/* Put t into its place among the breaks, if it lies between the first and the last and not on another. */
static void add_break(double *breaks, int *n, double t)
{
    int i = *n - 1;
    if (!(t > breaks[0] && t < breaks[i]))
        return;
    while (breaks[i - 1] > t)
        i--;
    if (t - breaks[i - 1] < SAME_BREAK || breaks[i] - t < SAME_BREAK)
        return;
    memmove(&breaks[i + 1], &breaks[i], (size_t)(*n - i) * sizeof *breaks);
    breaks[i] = t;
    *n += 1;
}

/* In x and in y, from -pi/2 to pi/2; half a turn on it turns again. */
static void turns_of(const struct ellipse *e, double turns[2])
{
    turns[0] = atan(e->b * e->vx / (e->a * e->ux)); /* of infinity: a quarter */
    turns[1] = atan(e->b * e->vy / (e->a * e->uy));
}

static bool fit_part(struct fitting *fitting, double t0, double t1)
{
    double breaks[BREAKS_MOST] = {t0, t1}, turns[2];
    int n = 2;
    turns_of(fitting->ellipse, turns);
    for (int i = 0; i < 2; i++)
        for (double t = turns[i] + pi * ceil((t0 - turns[i]) / pi); t < t1 && n < BREAKS_MOST; t += pi)
            add_break(breaks, &n, t);
    return fit_between(fitting, breaks, n);
}

/* The first quarter; the second is its image in y, backwards; both half a turn further. */
static bool fit_whole(struct fitting *fitting)
{
    double breaks[BREAKS_MOST] = {0, pi / 2}, turns[2];
    int n = 2;
    turns_of(fitting->ellipse, turns);
    for (int i = 0; i < 2; i++)
        add_break(breaks, &n, fabs(turns[i]));
    fitting->room /= 4;
    if (!fit_between(fitting, breaks, n))
        return false;
    struct sg_segment *arcs = fitting->arcs;
    n = fitting->n;
    for (int i = 0; i < n; i++) {
        const struct sg_segment *s = &arcs[n - 1 - i];
        arcs[n + i] = (struct sg_segment){-s->x1, s->y1, -s->x0, s->y0, -s->cx, s->cy, s->sweep, true};
    }
    for (int i = 0; i < 2 * n; i++) {
        const struct sg_segment *s = &arcs[i];
        arcs[2 * n + i] =
            (struct sg_segment){-s->x0, -s->y0, -s->x1, -s->y1, -s->cx, -s->cy, s->sweep, true};
    }
    fitting->n = 4 * n;
    return true;
}

/* ---- its own axes ---- */

static void put(const struct ellipse *e, double *x, double *y)
{
    double along = *x, across = *y;
    *x = e->cx + along * e->ux + across * e->vx;
    *y = e->cy + along * e->uy + across * e->vy;
}

/* The long axis lies where the half axes that it came with, turned by *turn of t, stand upright. */
static bool own_axes(const struct curve *curve, struct ellipse *e, double *turn)
{
    double uu = curve->ux * curve->ux + curve->uy * curve->uy, vv = curve->vx * curve->vx + curve->vy * curve->vy;
    double uv = curve->ux * curve->vx + curve->uy * curve->vy;
    *turn = fabs(uv) > 1e-15 * (uu + vv) || vv > uu ? atan2(2 * uv, uu - vv) / 2 : 0;
    double c = cos(*turn), s = sin(*turn);
    e->ux = curve->ux * c + curve->vx * s;
    e->uy = curve->uy * c + curve->vy * s;
    e->vx = curve->vx * c - curve->ux * s;
    e->vy = curve->vy * c - curve->uy * s;
    e->a = hypot(e->ux, e->uy);
    e->b = hypot(e->vx, e->vy);
    e->ux /= e->a;
    e->uy /= e->a;
    e->vx /= e->b;
    e->vy /= e->b;
    e->cx = curve->cx;
    e->cy = curve->cy;
    return e->b > SLENDER * e->a && e->a > 1e-100; /* false of NaN */
}

int ellipse_arcs(const struct curve *curve, double off, struct sg_segment *arcs, int room)
{
    struct ellipse e = {.off = off};
    double turn, t0 = curve->t0, t1 = curve->t1;
    if (!own_axes(curve, &e, &turn))
        return 0;
    if (t1 < t0) { /* the other way round */
        e.vx = -e.vx;
        e.vy = -e.vy;
        t0 = -t0;
        t1 = -t1;
        turn = -turn;
    }
    struct fitting fitting = {.ellipse = &e, .arcs = arcs, .room = room, .step = 0.4 * e.b / e.a};
    bool whole = t1 - t0 >= 2 * pi * (1 - 1e-12);
    if (!(whole ? fit_whole(&fitting) : fit_part(&fitting, t0 - turn, t1 - turn)))
        return 0;
    double way = e.ux * e.vy - e.uy * e.vx < 0 ? -1 : 1;
    for (int i = 0; i < fitting.n; i++) {
        put(&e, &arcs[i].x0, &arcs[i].y0);
        put(&e, &arcs[i].x1, &arcs[i].y1);
        put(&e, &arcs[i].cx, &arcs[i].cy);
        arcs[i].sweep *= way;
    }
    return fitting.n;
}
