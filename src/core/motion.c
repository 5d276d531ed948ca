/* Time along a path.
 *
 * The path is cut into steps of constant top speed. In w = v^2 the limits of a constant acceleration are
 * linear: one pass forward and one backward give the fastest profile (a box limit on tangential acceleration;
 * the scheme is that of minimum-time velocity planning, see Consolini, Laurini, Locatelli and Minari; general
 * theory Bobrow, Dubowsky and Gibson 1985). A joint is rounded by the circle that passes `deviation` from the
 * corner: R = d s / (1 - s), s the sine of half the inner angle, v^2 <= a R. On an arc v^2 <= a r.
 *
 * The jet's lag: on an arc of radius R it may be sqrt((R + E)^2 - R^2) for a radial error E; at a distance s
 * from a joint that turns by theta it may be max(Ec, s), Ec = E / sin(min(theta, 90 degrees)). The lag grows
 * with the 1/1.15th power of the feed (rule and constant: estimate, from published lag measurements). Near a
 * corner the speed changes all the way: steps end at fixed distances from it, whatever the lag, and each has
 * the mean speed that its exact time gives, so that a tighter limit never makes a path faster. */
#include "sandglass/motion.h"

#include <math.h>
#include <stdlib.h>

static const double lag_power = 1.15;
static const double corner_turn = 10 * 3.14159265358979323846 / 180; /* what turns by less is smooth */
static const double first_step = 0.02; /* mm from a corner; then twice as far each */

/* One piece of the path with a top speed of its own. */
struct step {
    double length;
    double by_lag; /* mm/s that edge and machine allow */
    double top;    /* and the centripetal acceleration */
    double joint;  /* v^2 at its end at most */
};

struct sg_motion_memory {
    struct step *steps;
    double *w; /* v^2 at the end of each step */
    int64_t n, room;
    bool failed;
};

struct sg_motion_memory *sg_motion_memory_new(void)
{
    return calloc(1, sizeof(struct sg_motion_memory));
}

void sg_motion_memory_free(struct sg_motion_memory *memory)
{
    if (!memory)
        return;
    free(memory->steps);
    free(memory->w);
    free(memory);
}

static void add(struct sg_motion_memory *memory, const struct step *step)
{
    if (memory->n == memory->room) {
        int64_t room = memory->room > 0 ? memory->room * 2 : 256;
        struct step *steps = realloc(memory->steps, (size_t)room * sizeof *steps);
        memory->steps = steps ? steps : memory->steps;
        double *w = realloc(memory->w, (size_t)room * sizeof *w);
        memory->w = w ? w : memory->w;
        if (!steps || !w) {
            memory->failed = true;
            return;
        }
        memory->room = room;
    }
    memory->steps[memory->n++] = *step;
}

/* ---- the lag at a corner ---- */

/* Seconds from distance s0 to s1 (s0 < s1) of a corner at 1 mm/s of feed: the integral of
 * (lag / max(ec, s))^1.15 below the lag, 1 beyond it. */
static double corner_part(double s0, double s1, double lag, double ec)
{
    double near = fmin(s1, fmin(ec, lag)), t = 0;
    if (s0 < near)
        t += (near - s0) * (ec < lag ? pow(lag / ec, lag_power) : 1);
    double a = fmax(s0, near), b = fmin(s1, lag);
    if (a < b)
        t += pow(lag, lag_power) / (lag_power - 1) * (pow(a, 1 - lag_power) - pow(b, 1 - lag_power));
    double far = fmax(s0, fmax(lag, near));
    return far < s1 ? t + (s1 - far) : t;
}

double sg_motion_corner(double half, double lag, double ec)
{
    return corner_part(0, half, lag, ec);
}

/* Where the permitted lag at a joint begins to grow; infinite where it is smooth. */
static double corner_start(double turn, double error)
{
    if (turn < corner_turn)
        return (double)INFINITY;
    double right = acos(-1.0) / 2;
    return error / sin(fmin(turn, right));
}

/* ---- from segments to steps ---- */

struct walk {
    const struct sg_motion_limits *limits;
    struct sg_motion_memory *memory;
    double radius; /* of the segment */
    double by_lag; /* mm/s of the segment away from corners */
};

static void put_step(const struct walk *walk, double length, double by_lag)
{
    double fast = fmin(by_lag, walk->limits->top);
    double round = sqrt(walk->limits->acceleration * walk->radius);
    if (length > 0)
        add(walk->memory, &(struct step){length, fast, fmin(fast, round), (double)INFINITY});
}

/* The half of a segment at a corner, from it outwards as fixed distances, written in the order of travel. */
static void put_corner(const struct walk *walk, double half, double ec, bool leaving)
{
    double lag = walk->limits->lag, ends[64];
    int n = 0;
    if (ec < lag)
        for (double s = first_step; s < half && n < 63; s *= 2) {
            ends[n++] = s;
            if (s >= lag)
                break;
        }
    ends[n++] = half;
    for (int i = 0; i < n; i++) {
        int k = leaving ? i : n - 1 - i;
        double from = k > 0 ? ends[k - 1] : 0, length = ends[k] - from;
        double mean = walk->limits->feed * length / corner_part(from, ends[k], lag, ec);
        put_step(walk, length, fmin(mean, walk->by_lag));
    }
}

static double arc_speed(const struct sg_motion_limits *limits, double radius)
{
    double e = limits->error, allowed = sqrt((2 * radius + e) * e);
    if (!(limits->lag > 0) || !(allowed < limits->lag))
        return limits->feed;
    return limits->feed * pow(allowed / limits->lag, lag_power);
}

/* The angle between two unit tangents. */
static double turn_between(double ax, double ay, double bx, double by)
{
    return fabs(atan2(ax * by - ay * bx, ax * bx + ay * by));
}

/* v^2 at most where the path turns. */
static double joint_limit(const struct sg_motion_limits *limits, double turn)
{
    double s = cos(turn / 2); /* the sine of half the inner angle */
    if (1 - s < 1e-12)
        return (double)INFINITY;
    return limits->acceleration * limits->deviation * s / (1 - s);
}

struct ends {
    double sx, sy, ex, ey;
};

static void put_segment(const struct walk *walk, double length, double turn_before, double turn_after)
{
    double before = corner_start(turn_before, walk->limits->error);
    double after = corner_start(turn_after, walk->limits->error);
    if (!(before < walk->limits->lag) && !(after < walk->limits->lag)) {
        put_step(walk, length, walk->by_lag);
        return;
    }
    put_corner(walk, length / 2, before, true);
    put_corner(walk, length / 2, after, false);
}

static void walk_path(const struct sg_segment *segments, int64_t n, struct walk *walk)
{
    struct ends here = {0}, next;
    double turn = 0; /* at the start and the end of the path the jet stands: no corner */
    if (n > 0)
        sg_segment_tangents(&segments[0], &here.sx, &here.sy, &here.ex, &here.ey);
    for (int64_t i = 0; i < n; i++) {
        double turn_after = 0;
        if (i + 1 < n) {
            sg_segment_tangents(&segments[i + 1], &next.sx, &next.sy, &next.ex, &next.ey);
            turn_after = turn_between(here.ex, here.ey, next.sx, next.sy);
        }
        walk->radius = sg_segment_radius(&segments[i]);
        walk->by_lag = isinf(walk->radius) ? walk->limits->feed : arc_speed(walk->limits, walk->radius);
        put_segment(walk, sg_segment_length(&segments[i]), turn, turn_after);
        if (i + 1 < n && walk->memory->n > 0)
            walk->memory->steps[walk->memory->n - 1].joint = joint_limit(walk->limits, turn_after);
        turn = turn_after;
        here = next;
    }
}

/* ---- the passes ---- */

static void pass_forward(struct sg_motion_memory *m, double a)
{
    double w = 0;
    for (int64_t i = 0; i < m->n; i++) {
        double top = m->steps[i].top;
        if (i + 1 < m->n)
            top = fmin(top, m->steps[i + 1].top);
        w = fmin(fmin(top * top, m->steps[i].joint), w + 2 * a * m->steps[i].length);
        m->w[i] = w;
    }
}

static void pass_backward(struct sg_motion_memory *m, double a)
{
    double w = 0; /* at rest at the end */
    for (int64_t i = m->n - 1; i >= 0; i--) {
        w = fmin(m->w[i], w);
        m->w[i] = w;
        w += 2 * a * m->steps[i].length;
    }
}

/* Seconds of a step between its ends' speeds. */
static double step_time(const struct step *step, double w0, double w1, double a)
{
    double v0 = sqrt(w0), v1 = sqrt(w1), v = step->top, p = sqrt((w0 + w1) / 2 + a * step->length);
    if (p <= v)
        return (2 * p - v0 - v1) / a;
    return (2 * v - v0 - v1) / a + (step->length - (2 * v * v - w0 - w1) / (2 * a)) / v;
}

bool sg_motion_time(const struct sg_segment *segments, int64_t n, const struct sg_motion_limits *limits,
                    struct sg_motion_memory *memory, struct sg_motion *out)
{
    struct walk walk = {.limits = limits, .memory = memory};
    double slowed = 0, w0 = 0;
    memory->n = 0;
    memory->failed = false;
    walk_path(segments, n, &walk);
    *out = (struct sg_motion){0};
    if (memory->failed)
        return false;
    pass_forward(memory, limits->acceleration);
    pass_backward(memory, limits->acceleration);
    for (int64_t i = 0; i < memory->n; i++) {
        const struct step *step = &memory->steps[i];
        out->length += step->length;
        slowed += step->length / step->by_lag;
        out->total += step_time(step, w0, memory->w[i], limits->acceleration);
        w0 = memory->w[i];
    }
    out->straight = out->length / limits->feed;
    out->corner = slowed - out->straight;
    out->acceleration = out->total - slowed;
    return true;
}

bool sg_motion_outline(const struct sg_outline *outline, const struct sg_motion_limits *limits,
                       struct sg_motion_memory *memory, struct sg_motion *out)
{
    struct sg_motion one;
    *out = (struct sg_motion){0};
    for (int32_t i = 0; i < outline->n_contours; i++) {
        const struct sg_contour *contour = &outline->contours[i];
        if (!sg_motion_time(outline->segments + contour->first, contour->n, limits, memory, &one))
            return false;
        out->total += one.total;
        out->straight += one.straight;
        out->corner += one.corner;
        out->acceleration += one.acceleration;
        out->length += one.length;
    }
    return true;
}

double sg_motion_straight(double length, double speed, double acceleration)
{
    if (length >= speed * speed / acceleration)
        return length / speed + speed / acceleration;
    return 2 * sqrt(length / acceleration);
}
