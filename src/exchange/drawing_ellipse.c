/* An ellipse as arcs, each through two places on it and the one between them. In its own axes it is
 * (a cos t, b sin t): where it turns in x and y of the drawing is known in closed form, and there the arcs
 * have its own tangent, so that the box is exact. One quarter gives a whole one by its mirror images.
 *
 * An arc through three places swings to both sides of the curve: with k' the change of the curvature along
 * the way h, by k' h^3 / 125 at most. Steps of t that go as the root of the speed make the errors of length
 * and area small together; where they are not small enough, all steps become shorter. The sector is a b t /
 * 2; the length is Gauss and Lobatto's rule with 5 places (Abramowitz and Stegun, table 25.6, from memory;
 * the tests hold it against closed forms). */
#include "exchange/drawing_inside.h"

#include <math.h>
#include <string.h>

static const double pi = 3.14159265358979323846;

enum { BREAKS_MOST = 12, TRIES_MOST = 30 };
#define AREA_OFF 5e-7   /* over the area */
#define LENGTH_OFF 2e-7 /* over the length */
#define SLENDER 1e-4    /* short axis over long one, below which halving has to do */
#define SWEEP_MOST 0.3  /* radians of an arc, so that arcs meet without corners */
#define SAME_BREAK 1e-8 /* radians; the box misses half its square */

#define INNER_NODE 0.17267316464601143 /* (1 - sqrt(3/7)) / 2 */

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
    double pace;   /* a step of t over the root of the speed */
    double length; /* of the ellipse along them */
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

/* ---- one interval ---- */

static void add_arc(struct fitting *fitting, struct sg_segment arc)
{
    if (fitting->n < fitting->room)
        fitting->arcs[fitting->n] = arc;
    fitting->n++;
}

/* Between two of its chords the path turns by half the sweep of their arc. */
static void add_through(struct fitting *fitting, const struct end *from, const struct end *middle,
                        const struct end *to)
{
    double ax = middle->x - from->x, ay = middle->y - from->y, bx = to->x - middle->x, by = to->y - middle->y;
    add_arc(fitting, arc_over(from->x, from->y, to->x, to->y, ax * by - ay * bx, ax * bx + ay * by));
}

/* How it goes on from one place to another. */
enum { FROM_TANGENT, THROUGH, TO_TANGENT };

static void go_on(struct fitting *fitting, struct stop *at, double t, int how)
{
    const struct ellipse *e = fitting->ellipse;
    double step = t - at->t;
    struct stop first = stop_at(e, at->t + step * INNER_NODE), middle = stop_at(e, at->t + step / 2),
                last = stop_at(e, t - step * INNER_NODE), to = stop_at(e, t);
    fitting->length +=
        step * ((at->speed + to.speed) * 9 + (first.speed + last.speed) * 49 + middle.speed * 64) / 180;
    if (how == THROUGH)
        add_through(fitting, &at->end, &middle.end, &to.end);
    else
        add_arc(fitting,
                how == FROM_TANGENT ? arc_by_tangent(&at->end, &to.end) : arc_to_tangent(&at->end, &to.end));
    *at = to;
}

/* Of t. It turns by a b / speed^2 in a radian of t. */
static double step_at(const struct fitting *fitting, double speed)
{
    const struct ellipse *e = fitting->ellipse;
    return fmin(fitting->pace * sqrt(speed), SWEEP_MOST * speed * speed / (e->a * e->b));
}

/* Steps to t, in which an end with the tangent counts as half of one. */
static void fit_between(struct fitting *fitting, struct stop *at, double t, bool from_tangent,
                        bool to_tangent)
{
    double halves = to_tangent ? 0.5 : 0;
    if (from_tangent) {
        double steps = fmax(ceil((t - at->t) / step_at(fitting, at->speed) - 0.5 - halves), 0);
        go_on(fitting, at, at->t + (t - at->t) / (1 + 2 * steps + 2 * halves), FROM_TANGENT);
    }
    while (at->t < t && fitting->n <= fitting->room) {
        double left = t - at->t, steps = ceil(left / step_at(fitting, at->speed) - halves);
        if (to_tangent && steps < 1)
            go_on(fitting, at, t, TO_TANGENT);
        else
            go_on(fitting, at, steps > 1 || to_tangent ? at->t + left / (steps + halves) : t, THROUGH);
    }
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

/* How far the arcs' length and area from the middle are over what they may be off, at most 1 if they will do.
 */
static double excess(const struct fitting *fitting, double t0, double t1)
{
    const struct ellipse *e = fitting->ellipse;
    double length = 0, area = 0, sector = e->a * e->b * (t1 - t0) / 2;
    for (int i = 0; i < fitting->n; i++) {
        length += sg_segment_length(&fitting->arcs[i]);
        area += sg_segment_area(&fitting->arcs[i]);
    }
    return fmax(fabs(area / sector - 1) / AREA_OFF, fabs(length / fitting->length - 1) / LENGTH_OFF);
}

/* Steps become shorter until they will do; false: there is no room for so many, or no end of it. */
static bool fit_breaks(struct fitting *fitting, const double *breaks, int n, bool ends_with_tangents)
{
    for (int tries = 0; tries < TRIES_MOST; tries++) {
        struct stop at = stop_at(fitting->ellipse, breaks[0]);
        fitting->n = 0;
        fitting->length = 0;
        for (int i = 1; i < n; i++)
            fit_between(fitting, &at, breaks[i], i > 1 || ends_with_tangents,
                        i + 1 < n || ends_with_tangents);
        if (fitting->n > fitting->room)
            return false;
        double over = excess(fitting, breaks[0], breaks[n - 1]);
        if (over <= 1)
            return true;
        fitting->pace *= fmax(0.95 / sqrt(sqrt(over)), 0.5); /* it grows as step^4 */
    }
    return false;
}

static bool fit_part(struct fitting *fitting, double t0, double t1)
{
    double breaks[BREAKS_MOST] = {t0, t1}, turns[2];
    int n = 2;
    turns_of(fitting->ellipse, turns);
    for (int i = 0; i < 2; i++)
        for (double t = turns[i] + pi * ceil((t0 - turns[i]) / pi); t < t1 && n < BREAKS_MOST; t += pi)
            add_break(breaks, &n, t);
    return fit_breaks(fitting, breaks, n, false);
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
    if (!fit_breaks(fitting, breaks, n, true))
        return false;
    struct sg_segment *arcs = fitting->arcs;
    n = fitting->n;
    for (int i = 0; i < n; i++) {
        const struct sg_segment *s = &arcs[n - 1 - i];
        arcs[n + i] = (struct sg_segment){-s->x1, s->y1, -s->x0, s->y0, -s->cx, s->cy, s->sweep, true};
    }
    for (int i = 0; i < 2 * n; i++) {
        const struct sg_segment *s = &arcs[i];
        arcs[2 * n + i] = (struct sg_segment){-s->x0, -s->y0, -s->x1, -s->y1, -s->cx, -s->cy, s->sweep, true};
    }
    fitting->n = 4 * n;
    return true;
}

/* ---- how long the steps are ---- */

/* k' h^3 / 125 = off in its worst place, where with x = sin(t)^2 and e = a^2 - b^2 the power
 * x (1 - x) (b^2 + e x)^-1.5 is largest; and a first guess at what the area needs. */
static double pace_of(const struct ellipse *e)
{
    double aa = e->a * e->a, bb = e->b * e->b, ee = aa - bb, half = 2 * bb + ee / 2;
    double x = 2 * bb / (half + sqrt(half * half + 2 * ee * bb)), w = bb + ee * x;
    double worst = sqrt(x * (1 - x)) / (sqrt(w) * sqrt(sqrt(w)));
    double by_off = cbrt(125 * e->off / (3 * e->a * e->b * ee * worst));
    return fmin(by_off,
                0.104 / sqrt(e->a - e->b)); /* measured: just right within 6 % from a / b = 1.02 to 1e4 */
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
    double uu = curve->ux * curve->ux + curve->uy * curve->uy,
           vv = curve->vx * curve->vx + curve->vy * curve->vy;
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
    return e->b > SLENDER * e->a && e->a > 1e-50 && e->a < 1e50; /* false of NaN */
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
    struct fitting fitting = {.ellipse = &e, .arcs = arcs, .room = room, .pace = pace_of(&e)};
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
