/* Splines as arcs, and ellipses that are too slender for drawing_ellipse.c: pairs of arcs that share the
 * curve's ends and tangents and meet each other with one tangent, the two of equal tangent length. Halved
 * until three points of the curve lie near enough to them and their length is the curve's. Length of the
 * curve: Gauss and Legendre, 8 points (Abramowitz and Stegun, table 25.4, from memory; the tests hold it
 * against closed forms). */
#include "exchange/drawing_inside.h"

#include <math.h>
#include <string.h>

enum { HALVINGS_MOST = 26, ROOT_STEPS = 60, PIECES_MOST = 100000 };
#define PART_OF_SIZE 1e-5   /* allowed deviation over the size of the curve */
#define PART_OF_LENGTH 1e-8 /* allowed error of a piece's length over the size of the curve */
#define AREA_OFF 1e-7       /* allowed error of the area beside a piece over its length times that size */
#define STRAIGHT 1e-7       /* radians of a sweep that is a line */

struct place {
    double t, x, y, dx, dy;
};

enum { POWERS_MOST = 5 }; /* by powers of t rounding grows as 3^degree */

struct fit {
    const struct curve *curve;
    int powers; /* degree of the piece by powers of t, below; 0: by its points */
    double by_powers[POWERS_MOST + 1][3];
    double size, off, length_off, rounding;
    int given; /* pieces; a curve that is not to be had ends in PIECES_MOST lines */
    bool (*take)(void *context, const struct sg_segment *segment);
    void *context;
};

static void place_on_ellipse(const struct curve *curve, double t, struct place *at)
{
    double c = cos(t), s = sin(t);
    at->x = curve->cx + curve->ux * c + curve->vx * s;
    at->y = curve->cy + curve->uy * c + curve->vy * s;
    at->dx = curve->vx * c - curve->ux * s;
    at->dy = curve->vy * c - curve->uy * s;
}

/* De Casteljau; the last but one row gives the derivative. */
static void by_points(const struct curve *curve, double t, double value[3], double slope[3])
{
    double row[DEGREE_MOST + 1][3];
    int n = curve->degree;
    memcpy(row, curve->points, (size_t)(n + 1) * sizeof row[0]);
    for (int left = n; left > 0; left--) {
        if (left == 1)
            for (int k = 0; k < 3; k++)
                slope[k] = n * (row[1][k] - row[0][k]);
        for (int i = 0; i < left; i++)
            for (int k = 0; k < 3; k++)
                row[i][k] += t * (row[i + 1][k] - row[i][k]);
    }
    memcpy(value, row[0], sizeof row[0]);
}

/* Horner. */
static void by_powers(const struct fit *fit, double t, double value[3], double slope[3])
{
    for (int k = 0; k < 3; k++) {
        value[k] = fit->by_powers[fit->powers][k];
        slope[k] = 0;
    }
    for (int i = fit->powers - 1; i >= 0; i--)
        for (int k = 0; k < 3; k++) {
            slope[k] = slope[k] * t + value[k];
            value[k] = value[k] * t + fit->by_powers[i][k];
        }
}

/* The power of t^k is n over k times the k-th difference of the points at their beginning. */
static void find_powers(struct fit *fit)
{
    double row[POWERS_MOST + 1][3], over = 1;
    int n = fit->curve->degree;
    if (n == 0 || n > POWERS_MOST)
        return;
    fit->powers = n;
    memcpy(row, fit->curve->points, (size_t)(n + 1) * sizeof row[0]);
    for (int k = 0; k <= n; k++) {
        for (int c = 0; c < 3; c++) {
            fit->by_powers[k][c] = over * row[0][c];
            for (int i = 0; i < n - k; i++)
                row[i][c] = row[i + 1][c] - row[i][c];
        }
        over = over * (n - k) / (k + 1);
    }
}

static void place_on_piece(const struct fit *fit, double t, struct place *at)
{
    double value[3], slope[3];
    if (fit->powers > 0)
        by_powers(fit, t, value, slope);
    else
        by_points(fit->curve, t, value, slope);
    at->x = value[0] / value[2];
    at->y = value[1] / value[2];
    at->dx = (slope[0] - slope[2] * at->x) / value[2];
    at->dy = (slope[1] - slope[2] * at->y) / value[2];
    const double *end = fit->curve->points[fit->curve->degree];
    if (t == 1) { /* so that pieces meet */
        at->x = end[0] / end[2];
        at->y = end[1] / end[2];
    }
}

static struct place place_on(const struct fit *fit, double t)
{
    struct place at = {.t = t};
    if (fit->curve->degree == 0)
        place_on_ellipse(fit->curve, t, &at);
    else
        place_on_piece(fit, t, &at);
    return at;
}

/* ---- two arcs ---- */

struct sg_segment arc_over(double x0, double y0, double x1, double y1, double across, double along)
{
    struct sg_segment arc = {.x0 = x0, .y0 = y0, .x1 = x1, .y1 = y1};
    double sweep = 2 * atan2(across, along);
    if (!(fabs(sweep) > STRAIGHT))
        return arc;
    double away = along / (2 * across); /* of the centre from the chord, to its left, in chords */
    arc.sweep = sweep;
    arc.cx = (x0 + x1) / 2 - (y1 - y0) * away;
    arc.cy = (y0 + y1) / 2 + (x1 - x0) * away;
    return arc;
}

struct sg_segment arc_by_tangent(const struct end *from, const struct end *to)
{
    double dx = to->x - from->x, dy = to->y - from->y;
    return arc_over(from->x, from->y, to->x, to->y, from->tx * dy - from->ty * dx,
                    from->tx * dx + from->ty * dy);
}

struct sg_segment arc_to_tangent(const struct end *from, const struct end *to)
{
    double dx = to->x - from->x, dy = to->y - from->y;
    return arc_over(from->x, from->y, to->x, to->y, dx * to->ty - dy * to->tx, dx * to->tx + dy * to->ty);
}

bool two_arcs(const struct end *from, const struct end *to, struct sg_segment arcs[2])
{
    double vx = to->x - from->x, vy = to->y - from->y, vv = vx * vx + vy * vy;
    double vt = vx * (from->tx + to->tx) + vy * (from->ty + to->ty);
    double bend = 2 * (1 - (from->tx * to->tx + from->ty * to->ty));
    if (!(vt > 0))
        return false; /* it turns too far */
    /* bend d^2 + 2 vt d - vv = 0, in the form that stays exact when there is no bend. */
    double d = vv / (vt + sqrt(vt * vt + bend * vv));
    struct end joint = {(from->x + to->x + d * (from->tx - to->tx)) / 2,
                        (from->y + to->y + d * (from->ty - to->ty)) / 2, 0, 0};
    arcs[0] = arc_by_tangent(from, &joint);
    arcs[1] = arc_to_tangent(&joint, to);
    return true;
}

static bool end_of(const struct place *at, double size, struct end *end)
{
    double speed = hypot(at->dx, at->dy);
    *end = (struct end){at->x, at->y, at->dx / speed, at->dy / speed};
    return speed > 1e-12 * size;
}

/* Both arcs of a piece; false where its ends have no direction, or it must be halved. */
static bool fit_arcs(const struct fit *fit, const struct place *from, const struct place *to,
                     struct sg_segment arcs[2])
{
    struct end a, b;
    return end_of(from, fit->size, &a) && end_of(to, fit->size, &b) && two_arcs(&a, &b, arcs);
}

static double off_segment(const struct sg_segment *s, double x, double y)
{
    if (sg_is_arc(s))
        return fabs(hypot(x - s->cx, y - s->cy) - sg_segment_radius(s));
    double dx = s->x1 - s->x0, dy = s->y1 - s->y0, length = hypot(dx, dy);
    return length > 0 ? fabs((x - s->x0) * dy - (y - s->y0) * dx) / length : hypot(x - s->x0, y - s->y0);
}

/* What the arcs of a piece are held against. */
struct truth {
    double x[3], y[3], length, area; /* area between it and its chord, to the left of its way */
};

static struct truth truth_of(const struct fit *fit, const struct place *from, const struct place *to)
{
    static const double nodes[8] = {-0.9602898564975363, -0.7966664774136267, -0.5255324099163290,
                                    -0.1834346424956498, 0.1834346424956498,  0.5255324099163290,
                                    0.7966664774136267,  0.9602898564975363};
    static const double weights[8] = {0.1012285362903763, 0.2223810344533745, 0.3137066458778873,
                                      0.3626837833783620, 0.3626837833783620, 0.3137066458778873,
                                      0.2223810344533745, 0.1012285362903763};
    struct truth truth = {.length = 0};
    double middle = (from->t + to->t) / 2, half = (to->t - from->t) / 2;
    for (int i = 0; i < 8; i++) {
        struct place at = place_on(fit, middle + half * nodes[i]);
        truth.length += weights[i] * fabs(half) * sqrt(at.dx * at.dx + at.dy * at.dy);
        truth.area += weights[i] * half * ((at.x - from->x) * at.dy - (at.y - from->y) * at.dx) / 2;
    }
    for (int i = 0; i < 3; i++) {
        struct place at = place_on(fit, from->t + (to->t - from->t) * (i + 1) / 4);
        truth.x[i] = at.x;
        truth.y[i] = at.y;
    }
    return truth;
}

/* Between a piece and its chord. */
static double area_beside(const struct sg_segment *piece)
{
    double r = sg_is_arc(piece) ? sg_segment_radius(piece) : 0;
    return r * r * (piece->sweep - sin(piece->sweep)) / 2;
}

static bool right_size(const struct fit *fit, const struct truth *truth, const struct sg_segment *pieces,
                       int n)
{
    const struct sg_segment *first = &pieces[0], *last = &pieces[n - 1];
    double length = 0, area = 0;
    for (int i = 0; i < n; i++) {
        length += sg_segment_length(&pieces[i]);
        area += area_beside(&pieces[i]);
    }
    /* The triangle of both chords. */
    area +=
        ((last->x0 - first->x0) * (last->y1 - first->y0) - (last->y0 - first->y0) * (last->x1 - first->x0)) /
        2;
    return fabs(length - truth->length) <= fit->length_off &&
           fabs(area - truth->area) <= (AREA_OFF * fit->size + fit->rounding) * truth->length;
}

static bool near_enough(const struct fit *fit, const struct truth *truth, const struct sg_segment *pieces,
                        int n)
{
    for (int i = 0; i < 3; i++) {
        double off = off_segment(&pieces[0], truth->x[i], truth->y[i]);
        if (n > 1)
            off = fmin(off, off_segment(&pieces[1], truth->x[i], truth->y[i]));
        if (!(off <= fit->off))
            return false;
    }
    return right_size(fit, truth, pieces, n);
}

/* ---- halving ---- */

/* Where the curve turns in x (or y) between two places, if its direction there changes sign. */
static bool turning(const struct fit *fit, const struct place *from, const struct place *to, bool in_y,
                    double *t)
{
    double a = in_y ? from->dy : from->dx, b = in_y ? to->dy : to->dx;
    double speed = fmax(hypot(from->dx, from->dy), hypot(to->dx, to->dy)), nothing = 1e-9 * speed;
    if (fabs(a) <= nothing || fabs(b) <= nothing || (a > 0) == (b > 0))
        return false;
    double low = from->t, high = to->t;
    for (int i = 0; i < ROOT_STEPS; i++) {
        double middle = (low + high) / 2;
        struct place at = place_on(fit, middle);
        if (((in_y ? at.dy : at.dx) > 0) == (a > 0))
            low = middle;
        else
            high = middle;
    }
    *t = (low + high) / 2;
    return *t != from->t && *t != to->t;
}

static bool fit_piece(struct fit *fit, const struct place *from, const struct place *to, int halvings);

static bool fit_halves(struct fit *fit, const struct place *from, const struct place *to, double t,
                       int halvings)
{
    struct place middle = place_on(fit, t);
    return fit_piece(fit, from, &middle, halvings + 1) && fit_piece(fit, &middle, to, halvings + 1);
}

static bool hand_over(struct fit *fit, const struct sg_segment *pieces, int n)
{
    fit->given += n;
    for (int i = 0; i < n; i++)
        if (sg_segment_length(&pieces[i]) != 0 && !fit->take(fit->context, &pieces[i]))
            return false;
    return true;
}

static bool fit_piece(struct fit *fit, const struct place *from, const struct place *to, int halvings)
{
    struct sg_segment pieces[2] = {{.x0 = from->x, .y0 = from->y, .x1 = to->x, .y1 = to->y}};
    double t = (from->t + to->t) / 2;
    if (halvings >= HALVINGS_MOST || fit->given > PIECES_MOST)
        return hand_over(fit, pieces, 1);
    if (turning(fit, from, to, false, &t) || turning(fit, from, to, true, &t))
        return fit_halves(fit, from, to, t, halvings);
    struct truth truth = truth_of(fit, from, to);
    if (near_enough(fit, &truth, pieces, 1))
        return hand_over(fit, pieces, 1);
    if (fit_arcs(fit, from, to, pieces) && near_enough(fit, &truth, pieces, 2))
        return hand_over(fit, pieces, 2);
    return fit_halves(fit, from, to, t, halvings);
}

/* Half the sum of both sides of a box around it. */
static double size_of(const struct curve *curve)
{
    if (curve->degree == 0)
        return hypot(curve->ux, curve->uy) + hypot(curve->vx, curve->vy);
    double box[4] = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (int i = 0; i <= curve->degree; i++) {
        double x = curve->points[i][0] / curve->points[i][2], y = curve->points[i][1] / curve->points[i][2];
        box[0] = fmin(box[0], x);
        box[1] = fmin(box[1], y);
        box[2] = fmax(box[2], x);
        box[3] = fmax(box[3], y);
    }
    return (box[2] - box[0] + box[3] - box[1]) / 2;
}

static bool fit_ellipse(const struct curve *curve, double off,
                        bool (*take)(void *context, const struct sg_segment *segment), void *context, int *n)
{
    struct sg_segment arcs[ELLIPSE_ARCS];
    *n = ellipse_arcs(curve, off, arcs, ELLIPSE_ARCS);
    for (int i = 0; i < *n; i++)
        if (!take(context, &arcs[i]))
            return false;
    return true;
}

bool curve_fit(const struct curve *curve, bool (*take)(void *context, const struct sg_segment *segment),
               void *context)
{
    struct fit fit = {.curve = curve, .size = size_of(curve), .take = take, .context = context};
    bool ellipse = curve->degree == 0;
    find_powers(&fit);
    struct place from = place_on(&fit, ellipse ? curve->t0 : 0), to = place_on(&fit, ellipse ? curve->t1 : 1);
    fit.rounding = 1e-14 * (fabs(from.x) + fabs(from.y)); /* of places far from zero */
    fit.off = fmin(SG_CURVE_OFF, PART_OF_SIZE * fit.size) + fit.rounding;
    fit.length_off = PART_OF_LENGTH * fit.size + fit.rounding;
    if (ellipse) {
        int n;
        bool good = fit_ellipse(curve, fit.off, take, context, &n);
        if (n > 0)
            return good;
    }
    /* Ends that coincide in a full ellipse say nothing about its inside: an ellipse goes by quarters. */
    int parts = ellipse ? 1 + (int)(fabs(curve->t1 - curve->t0) / 1.6) : 1;
    struct place last = from;
    for (int i = 1; i <= parts; i++) {
        double t = from.t + (to.t - from.t) * i / parts;
        struct place next = i == parts ? to : place_on(&fit, t);
        if (!fit_piece(&fit, &last, &next, 0))
            return false;
        last = next;
    }
    return true;
}
