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

#include "sandglass/room.h"

#include <math.h>
#include <stdlib.h>

static const double lag_power = 1.15;
static const double corner_cosine = 0.98480775301220805937; /* of 10 degrees: what turns by less is smooth */
static const double no_turn = 1 - 2e-12; /* (1 + cosine) / 2 where only rounding turns: 3e-6 radians */
static const double first_step = 0.02;   /* mm from a corner; then twice as far each */

enum { STEPS_AT_CORNER = 64 };

/* One piece of the path with a top speed of its own. */
struct step {
    double length;
    double by_lag; /* mm/s that edge and machine allow */
    double top;    /* and the centripetal acceleration */
    double w;      /* v^2 at its end that is reached from the start and passes the joint there */
};

struct sg_motion_memory {
    struct step *steps;
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
    free(memory);
}

static bool make_room(struct sg_motion_memory *memory)
{
    memory->failed = !sg_room(&memory->steps, &memory->room, memory->n + 1, sizeof *memory->steps);
    return !memory->failed;
}

static double least(double a, double b) /* fmin without its care for NaN, which costs a call */
{
    return a < b ? a : b;
}

/* ---- the lag at a corner ---- */

/* The power of a distance that the integral of the lag's rule has. */
static double lag_root(double s)
{
    return pow(s, 1 - lag_power);
}

struct corner {
    double lag, lag_raised, lag_rooted; /* the lag, to the power and lag_root of it */
    double ec, ec_rooted;
};

/* Seconds at 1 mm/s of feed from a corner to the distance s: the integral of (lag / max(ec, s))^1.15 below
 * the lag, 1 beyond it. Where the permitted lag is no less than the lag, nothing is slowed. */
static double corner_time(const struct corner *c, double s, double s_rooted)
{
    if (!(c->ec < c->lag))
        return s;
    double slow = c->lag_raised * c->ec_rooted / c->ec; /* (lag / ec)^1.15 */
    if (s <= c->ec)
        return s * slow;
    double far = s < c->lag ? s_rooted : c->lag_rooted;
    double t = c->ec * slow + c->lag_raised / (lag_power - 1) * (c->ec_rooted - far);
    return s > c->lag ? t + (s - c->lag) : t;
}

static struct corner corner_of(double lag, double ec)
{
    return (struct corner){lag, pow(lag, lag_power), lag_root(lag), ec, lag_root(ec)};
}

double sg_motion_corner(double half, double lag, double ec)
{
    if (!(half > 0) || !(ec < lag))
        return half > 0 ? half : 0;
    struct corner corner = corner_of(lag, ec);
    return corner_time(&corner, half, lag_root(half));
}

/* ---- from segments to steps ---- */

/* A segment as far as its motion goes. */
struct stretch {
    double length, radius; /* infinite of a line */
    double sx, sy, ex, ey; /* tangents */
};

/* Where two segments meet. */
struct joint {
    double w;  /* v^2 at most */
    double ec; /* mm of lag permitted there; infinite where it is smooth or the jet stands */
};

struct walk {
    const struct sg_motion_limits *limits;
    struct sg_motion_memory *memory;
    double free_joint;                       /* half the cosine of a turn, + 1/2, that bounds no speed here */
    double joint_w;                          /* at the start of the next step */
    double reach;                            /* v^2 at the end of the last step, joint and next one aside */
    double last_radius, last_speed;          /* of the last arc: neighbours are often alike */
    struct corner corner;                    /* the last one */
    double ends_rooted[STEPS_AT_CORNER + 1]; /* of the fixed distances; 0: not yet needed */
};

static void put_step(struct walk *walk, double length, double by_lag, double round)
{
    struct sg_motion_memory *memory = walk->memory;
    if (!(length > 0) || memory->failed || (memory->n == memory->room && !make_room(memory)))
        return;
    double fast = least(by_lag, walk->limits->top), top = least(fast, round), w = 0;
    if (memory->n > 0) {
        struct step *last = &memory->steps[memory->n - 1];
        double passes = least(last->top, top);
        w = least(least(walk->reach, walk->joint_w), passes * passes);
        last->w = w;
    }
    memory->steps[memory->n++] = (struct step){length, fast, top, 0};
    walk->joint_w = (double)INFINITY;
    walk->reach = w + 2 * walk->limits->acceleration * length;
}

static double end_rooted(struct walk *walk, int k, double s)
{
    if (!(walk->ends_rooted[k] > 0))
        walk->ends_rooted[k] = lag_root(s);
    return walk->ends_rooted[k];
}

/* The half of a segment at a corner, from it outwards as fixed distances, written in the order of travel. */
static void put_corner(struct walk *walk, double half, double ec, double by_lag, double round, bool leaving)
{
    double times[STEPS_AT_CORNER + 2] = {0}, ends[STEPS_AT_CORNER + 2] = {0}, s = first_step;
    int n = 0;
    if (!(ec < walk->limits->lag)) {
        put_step(walk, half, by_lag, round);
        return;
    }
    if (ec != walk->corner.ec) {
        walk->corner.ec = ec;
        walk->corner.ec_rooted = lag_root(ec);
    }
    for (bool beyond = false; s < half && n < STEPS_AT_CORNER && !beyond; s *= 2) {
        ends[++n] = s;
        times[n] = corner_time(&walk->corner, s, end_rooted(walk, n, s));
        beyond = s >= walk->limits->lag;
    }
    ends[++n] = half;
    times[n] = corner_time(&walk->corner, half, half < walk->limits->lag ? lag_root(half) : 0);
    for (int i = 1; i <= n; i++) {
        int k = leaving ? i : n + 1 - i;
        double length = ends[k] - ends[k - 1];
        put_step(walk, length, least(walk->limits->feed * length / (times[k] - times[k - 1]), by_lag), round);
    }
}

static double arc_speed(struct walk *walk, double radius)
{
    const struct sg_motion_limits *limits = walk->limits;
    double e = limits->error, allowed = sqrt((2 * radius + e) * e);
    if (!(limits->lag > 0) || !(allowed < limits->lag))
        return limits->feed;
    if (radius != walk->last_radius) {
        walk->last_radius = radius;
        walk->last_speed = limits->feed * pow(allowed / limits->lag, lag_power);
    }
    return walk->last_speed;
}

/* v^2 where the path turns by an angle of these sine and cosine. With s the sine of half the inner angle,
 * 1 - s = (1 - s^2) / (1 + s), and 1 - s^2 = (1 - cosine) / 2, which loses no digits for a small turn as
 * sine^2 / 2 (1 + cosine). */
static double joint_speed(const struct sg_motion_limits *limits, double sine, double cosine)
{
    if (!(cosine > -1))
        return 0;
    double s = sqrt((1 + cosine) / 2), rest = cosine > 0 ? sine * sine / (1 + cosine) : 1 - cosine;
    return limits->acceleration * limits->deviation * s * (1 + s) / (rest / 2);
}

static struct joint joint_between(const struct walk *walk, const struct stretch *a, const struct stretch *b)
{
    double cosine = a->ex * b->sx + a->ey * b->sy, sine = fabs(a->ex * b->sy - a->ey * b->sx);
    struct joint joint = {(double)INFINITY, (double)INFINITY};
    if ((1 + cosine) / 2 < walk->free_joint)
        joint.w = joint_speed(walk->limits, sine, cosine);
    if (cosine < corner_cosine)
        joint.ec = walk->limits->error / (cosine > 0 ? sine : 1);
    return joint;
}

static void put_stretch(struct walk *walk, const struct stretch *s, double ec_before, double ec_after)
{
    const struct sg_motion_limits *limits = walk->limits;
    bool arc = s->radius < (double)INFINITY;
    double by_lag = arc ? arc_speed(walk, s->radius) : limits->feed;
    double round = arc ? sqrt(limits->acceleration * s->radius) : (double)INFINITY;
    if (ec_before < limits->lag || ec_after < limits->lag) {
        put_corner(walk, s->length / 2, ec_before, by_lag, round, true);
        put_corner(walk, s->length / 2, ec_after, by_lag, round, false);
    } else {
        put_step(walk, s->length, by_lag, round);
    }
}

static void read_arc(const struct sg_segment *segment, struct stretch *s)
{
    s->radius = sg_segment_radius(segment);
    s->length = s->radius * fabs(segment->sweep);
    sg_segment_tangents(segment, &s->sx, &s->sy, &s->ex, &s->ey);
}

static inline void read_segment(const struct sg_segment *segment, struct stretch *s)
{
    if (sg_is_arc(segment)) {
        read_arc(segment, s);
        return;
    }
    double dx = segment->x1 - segment->x0, dy = segment->y1 - segment->y0, length = sqrt(dx * dx + dy * dy);
    double each = 1 / length;
    *s = (struct stretch){length, (double)INFINITY, dx * each, dy * each, dx * each, dy * each};
}

/* At the start and the end of the path the jet stands: no corner there. What has no length has no direction
 * and is passed over. */
static void walk_path(const struct sg_segment *segments, int64_t n, struct walk *walk)
{
    struct stretch here = {0}, next;
    double ec = (double)INFINITY;
    for (int64_t i = 0; i < n; i++) {
        read_segment(&segments[i], &next);
        if (!(next.length > 0))
            continue;
        if (here.length > 0) {
            struct joint joint = joint_between(walk, &here, &next);
            put_stretch(walk, &here, ec, joint.ec);
            walk->joint_w = joint.w;
            ec = joint.ec;
        }
        here = next;
    }
    put_stretch(walk, &here, ec, (double)INFINITY);
}

/* ---- the way back, and the time ---- */

/* Seconds of a step between its ends' speeds v = sqrt(w), in the form that divides once: with p the speed
 * where the two ramps meet, (2p - v0 - v1) / a, or if that is over the top L / V + ((V - v0)^2 + (V - v1)^2)
 * / (2 a V). */
static inline double step_time(const struct step *step, double w0, double v0, double w1, double v1, double a)
{
    double v = step->top, p2 = (w0 + w1) / 2 + a * step->length, d0 = v - v0, d1 = v - v1;
    if (p2 <= v * v)
        return (2 * sqrt(p2) - v0 - v1) / a;
    return (2 * a * step->length + d0 * d0 + d1 * d1) / (2 * a * v);
}

static void add_up(const struct sg_motion_memory *memory, const struct sg_motion_limits *limits,
                   struct sg_motion *out)
{
    double w1 = 0, v1 = 0, a = limits->acceleration, slowed = 0, slow_length = 0;
    for (int64_t i = memory->n - 1; i >= 0; i--) {
        const struct step *step = &memory->steps[i];
        double w0 = i > 0 ? least(memory->steps[i - 1].w, w1 + 2 * a * step->length) : 0, v0 = sqrt(w0);
        out->total += step_time(step, w0, v0, w1, v1, a);
        out->length += step->length;
        if (step->by_lag < limits->feed) {
            slowed += step->length / step->by_lag;
            slow_length += step->length;
        }
        w1 = w0;
        v1 = v0;
    }
    out->straight = out->length / limits->feed;
    out->corner = slowed - slow_length / limits->feed;
    out->acceleration = out->total - out->straight - out->corner;
}

bool sg_motion_time(const struct sg_segment *segments, int64_t n, const struct sg_motion_limits *limits,
                    struct sg_motion_memory *memory, struct sg_motion *out)
{
    struct walk walk = {.limits = limits, .memory = memory, .joint_w = (double)INFINITY};
    double fast = least(limits->feed, limits->top), round = limits->acceleration * limits->deviation;
    double s = fast * fast / (fast * fast + round); /* a (1 - s) v^2 = a d s where the joint allows the top */
    walk.free_joint = least(s * s, no_turn);
    if (limits->lag > 0)
        walk.corner = corner_of(limits->lag, 1);
    memory->n = 0;
    memory->failed = false;
    walk_path(segments, n, &walk);
    *out = (struct sg_motion){0};
    if (memory->failed)
        return false;
    add_up(memory, limits, out);
    return true;
}

bool sg_motion_outline(const struct sg_outline *outline, const struct sg_motion_limits *limits,
                       struct sg_motion_memory *memory, struct sg_motion *out)
{
    struct sg_motion one;
    *out = (struct sg_motion){0};
    for (int32_t i = 0; i < outline->n_contours; i++) {
        const struct sg_contour *contour = &outline->contours[i];
        if (!sg_motion_time(outline->segments + contour->first - contour->lead_in,
                            contour->lead_in + contour->n + contour->lead_out, limits, memory, &one))
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
