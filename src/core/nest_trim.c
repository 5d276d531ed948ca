/* Fewer points for an outline, on the safe side of it. Loops have the material to their left: a right-hand
 * corner cut off and two left-hand corners drawn out to one both add material and take none. */
#include "nest_inside.h"

#include <math.h>

static double cross(const struct sg_nest_point *a, const struct sg_nest_point *b,
                    const struct sg_nest_point *c)
{
    return (b->x - a->x) * (c->y - b->y) - (b->y - a->y) * (c->x - b->x);
}

static double off_line(const struct sg_nest_point *a, const struct sg_nest_point *c,
                       const struct sg_nest_point *p)
{
    double dx = c->x - a->x, dy = c->y - a->y, length = sqrt(dx * dx + dy * dy);
    double twice = fabs(dx * (p->y - a->y) - dy * (p->x - a->x));
    return length > 0 ? twice / length : (double)INFINITY;
}

/* Where a to b and d to c go on and meet; false where they do not beyond b and c. */
static bool draw_out(const struct sg_nest_point *a, const struct sg_nest_point *b,
                     const struct sg_nest_point *c, const struct sg_nest_point *d, struct sg_nest_point *meet)
{
    double ux = b->x - a->x, uy = b->y - a->y, wx = d->x - c->x, wy = d->y - c->y;
    double turn = ux * wy - uy * wx;
    if (turn <= 0 || cross(a, b, c) <= 0 || cross(b, c, d) <= 0)
        return false;
    double t = ((c->x - b->x) * wy - (c->y - b->y) * wx) / turn;
    *meet = (struct sg_nest_point){b->x + t * ux, b->y + t * uy};
    return t >= 0;
}

/* The last points of a chain that grows. */
struct chain {
    struct sg_nest_point *p;
    double *errors;
    int32_t n;
};

/* The last but one goes where it is a right-hand corner. */
static bool cut_corner(struct chain *chain, double tolerance)
{
    int32_t b = chain->n - 2;
    struct sg_nest_point *p = chain->p + b;
    double *errors = chain->errors + b;
    if (b < 1 || cross(&p[-1], &p[0], &p[1]) > 0)
        return false;
    double error = fmax(errors[0], fmax(errors[-1], errors[1])) + off_line(&p[-1], &p[1], &p[0]);
    if (!(error <= tolerance))
        return false;
    errors[-1] = errors[0] = error;
    p[0] = p[1];
    chain->n--;
    return true;
}

/* The two before the last become one. */
static bool join_corners(struct chain *chain, double tolerance, const double box[2])
{
    int32_t b = chain->n - 3;
    struct sg_nest_point *p = chain->p + b, meet;
    double *errors = chain->errors + b;
    if (b < 1 || !draw_out(&p[-1], &p[0], &p[1], &p[2], &meet) || meet.x < 0 || meet.y < 0 ||
        meet.x > box[0] || meet.y > box[1])
        return false;
    double error = fmax(errors[0], errors[1]) + off_line(&p[0], &p[1], &meet);
    if (!(error <= tolerance))
        return false;
    p[0] = meet;
    errors[0] = error;
    p[1] = p[2];
    errors[1] = errors[2];
    chain->n--;
    return true;
}

static int32_t trim_once(struct sg_nest_point *points, double *errors, int32_t n, double tolerance,
                         const double box[2])
{
    struct chain chain = {points, errors, 0};
    for (int32_t i = 0; i < n; i++) {
        points[chain.n] = points[i];
        errors[chain.n++] = errors[i];
        while (n - i + chain.n > 5 && (cut_corner(&chain, tolerance) || join_corners(&chain, tolerance, box)))
            ;
    }
    return chain.n;
}

static void mirror(struct sg_nest_point *points, double *errors, int32_t n)
{
    for (int32_t i = 0, k = n - 1; i < k; i++, k--) {
        struct sg_nest_point p = points[i];
        double error = errors[i];
        points[i] = points[k];
        errors[i] = errors[k];
        points[k] = p;
        errors[k] = error;
    }
}

/* Another point first, so that the joint of the ring is looked at too. */
static void turn_ring(struct sg_nest_point *points, double *errors, int32_t n)
{
    int32_t half = n / 2;
    mirror(points, errors, half);
    mirror(points + half, errors + half, n - half);
    mirror(points, errors, n);
}

int32_t sg_nest_trim(struct sg_nest_point *points, double *errors, int32_t n, double tolerance,
                     const double box[2])
{
    enum { PASSES = 40 };
    int still = 0;
    for (int pass = 0; pass < PASSES && still < 2; pass++) {
        int32_t before = n;
        n = trim_once(points, errors, n, tolerance, box);
        still = n == before ? still + 1 : 0;
        turn_ring(points, errors, n);
    }
    return n;
}

/* ---- does it touch itself ---- */

static int side_of(const struct sg_nest_point *a, const struct sg_nest_point *b,
                   const struct sg_nest_point *p)
{
    double twice = cross(a, b, p);
    return (twice > 0) - (twice < 0);
}

static bool boxes_touch(const struct sg_nest_point *a, const struct sg_nest_point *b,
                        const struct sg_nest_point *c, const struct sg_nest_point *d)
{
    return fmin(a->x, b->x) <= fmax(c->x, d->x) && fmin(c->x, d->x) <= fmax(a->x, b->x) &&
           fmin(a->y, b->y) <= fmax(c->y, d->y) && fmin(c->y, d->y) <= fmax(a->y, b->y);
}

static bool touch(const struct sg_nest_point *a, const struct sg_nest_point *b, const struct sg_nest_point *c,
                  const struct sg_nest_point *d)
{
    return boxes_touch(a, b, c, d) && side_of(a, b, c) * side_of(a, b, d) <= 0 &&
           side_of(c, d, a) * side_of(c, d, b) <= 0;
}

static bool folds_back(const struct sg_nest_point *a, const struct sg_nest_point *b,
                       const struct sg_nest_point *c)
{
    return cross(a, b, c) == 0 && (b->x - a->x) * (c->x - b->x) + (b->y - a->y) * (c->y - b->y) <= 0;
}

static bool loops_touch(const struct sg_nest_point *points, const struct sg_nest_loop *one,
                        const struct sg_nest_loop *other)
{
    const struct sg_nest_point *p = points + one->first, *q = points + other->first;
    for (int32_t i = 0; i < one->n; i++)
        for (int32_t k = one == other ? i + 1 : 0; k < other->n; k++) {
            int32_t next = (i + 1) % one->n, after = (k + 1) % other->n;
            if (one == other && (k == next || after == i)) {
                if (k == next ? folds_back(&p[i], &p[k], &p[after]) : folds_back(&p[k], &p[i], &p[next]))
                    return true;
            } else if (touch(&p[i], &p[next], &q[k], &q[after])) {
                return true;
            }
        }
    return false;
}

bool sg_nest_touches(const struct sg_nest_point *points, const struct sg_nest_loop *loops, int32_t n_loops)
{
    for (int32_t i = 0; i < n_loops; i++)
        for (int32_t k = i; k < n_loops; k++)
            if (loops_touch(points, &loops[i], &loops[k]))
                return true;
    return false;
}
