/* From outlines to polygons of whole numbers that contain them. */
#include "nest_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    POINTS_GOOD = 48,  /* so many are quick */
    POINTS_MOST = 300, /* a shape of more counts as its box */
    POINTS_RAW = 200000
};
static const double joint = 40;          /* units: ends of segments that near are one point */
static const double coarse_good = 0.002; /* of the smaller side of the box: trimmed so far to be quick */
static const double coarse_most = 0.02;  /* and so far to have a shape at all */

bool sg_nest_room(struct sg_nest *nest, void *array, int64_t *room, int64_t n, size_t size)
{
    bool enough = sg_room(array, room, n, size);
    nest->failed = nest->failed || !enough;
    return enough;
}

/* ---- a contour into points ---- */

struct drawing {
    struct sg_nest *nest;
    double x, y;   /* mm of the box's corner */
    double box[2]; /* its size in units */
    double slack;
    int32_t n;
};

static void put(struct drawing *d, double x_mm, double y_mm)
{
    struct sg_nest *nest = d->nest;
    struct sg_nest_point p = {fmin(fmax((x_mm - d->x) * SG_LAYOUT_UNITS, 0), d->box[0]),
                              fmin(fmax((y_mm - d->y) * SG_LAYOUT_UNITS, 0), d->box[1])};
    if (d->n > 0) {
        const struct sg_nest_point *last = &nest->work_points[d->n - 1];
        double off = sqrt((p.x - last->x) * (p.x - last->x) + (p.y - last->y) * (p.y - last->y));
        if (off < joint) {
            d->slack = fmax(d->slack, off > SG_NEST_FUZZ ? off : 0);
            return;
        }
    }
    if (d->n < POINTS_RAW && sg_nest_room(nest, &nest->work_points, &nest->work_room, (int64_t)d->n + 1,
                                          sizeof *nest->work_points))
        nest->work_points[d->n++] = p;
}

/* An arc within a quarter: chords, or tangents where the material bulges. Neither leaves its box. */
static void put_quarter(struct drawing *d, const struct sg_segment *s, double r, double from, double sweep,
                        double to_x, double to_y)
{
    int n = (int)fmin(ceil(fabs(sweep) / sqrt(8 * SG_NEST_CHORD / fmax(r, SG_NEST_CHORD))), 1000);
    n = n > 1 ? n : 1;
    double step = sweep / n, out = r / cos(step / 2);
    for (int i = 0; i < n; i++) {
        double angle = from + step * (sweep > 0 ? i + 0.5 : i + 1);
        if (sweep > 0)
            put(d, s->cx + out * cos(angle), s->cy + out * sin(angle));
        else if (i < n - 1)
            put(d, s->cx + r * cos(angle), s->cy + r * sin(angle));
    }
    put(d, to_x, to_y);
}

/* Cut at the quarters, so that its utmost points are points of the polygon. */
static void put_arc(struct drawing *d, const struct sg_segment *s)
{
    double quarter = acos(-1.0) / 2, way = s->sweep > 0 ? 1 : -1, turned = 0;
    double from = atan2(s->y0 - s->cy, s->x0 - s->cx);
    double r = fmax(sg_segment_radius(s), hypot(s->x1 - s->cx, s->y1 - s->cy));
    for (double k = way > 0 ? floor(from / quarter) + 1 : ceil(from / quarter) - 1;; k += way) {
        double next = fabs(k * quarter - from);
        int side = (int)(k - 4 * floor(k / 4));
        static const double out[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
        if (next - turned < 1e-9)
            continue;
        if (next >= fabs(s->sweep) - 1e-9)
            break;
        put_quarter(d, s, r, from + way * turned, way * (next - turned), s->cx + r * out[side][0],
                    s->cy + r * out[side][1]);
        turned = next;
    }
    put_quarter(d, s, r, from + way * turned, way * (fabs(s->sweep) - turned), s->x1, s->y1);
}

static void put_segment(struct drawing *d, const struct sg_segment *segment, bool reversed)
{
    struct sg_segment s = reversed ? sg_segment_reversed(segment) : *segment;
    put(d, s.x0, s.y0);
    if (sg_is_arc(&s))
        put_arc(d, &s);
    else
        put(d, s.x1, s.y1);
}

/* With the material to the left: the outer one counter-clockwise, a hole clockwise. */
static void put_contour(struct drawing *d, const struct sg_outline *outline, const struct sg_contour *contour)
{
    const struct sg_segment *s = outline->segments + contour->first;
    bool reversed = contour->inner != contour->clockwise;
    d->n = 0;
    for (int64_t i = 0; i < contour->n; i++)
        put_segment(d, &s[reversed ? contour->n - 1 - i : i], reversed);
    while (d->n > 1) {
        const struct sg_nest_point *first = &d->nest->work_points[0], *last = first + d->n - 1;
        double off = hypot(first->x - last->x, first->y - last->y);
        if (off >= joint)
            break;
        d->slack = fmax(d->slack, off > SG_NEST_FUZZ ? off : 0);
        d->n--;
    }
}

/* ---- a shape ---- */

/* Trimmed to few points, if need be with more tolerance. */
static void trim(struct drawing *d)
{
    struct sg_nest *nest = d->nest;
    double side = fmin(d->box[0], d->box[1]), tolerance = SG_NEST_CHORD * SG_LAYOUT_UNITS;
    if (!sg_nest_room(nest, &nest->errors, &nest->errors_room, d->n, sizeof *nest->errors))
        return;
    for (int32_t i = 0; i < d->n; i++)
        nest->errors[i] = 0;
    for (;; tolerance *= 2) {
        d->n = sg_nest_trim(nest->work_points, nest->errors, d->n, tolerance, d->box);
        if (d->n <= POINTS_GOOD || tolerance > side * (d->n > POINTS_MOST ? coarse_most : coarse_good))
            return;
    }
}

/* Whole numbers; points that fall together are one. */
static void keep_loop(struct drawing *d, struct sg_nest_shape *shape)
{
    struct sg_nest *nest = d->nest;
    if (!sg_nest_room(nest, &nest->points, &nest->points_room, nest->n_points + d->n, sizeof *nest->points) ||
        !sg_nest_room(nest, &nest->loops, &nest->loops_room, nest->n_loops + 1, sizeof *nest->loops))
        return;
    struct sg_nest_loop *loop = &nest->loops[nest->n_loops++];
    *loop = (struct sg_nest_loop){nest->n_points, 0};
    shape->n_loops++;
    for (int32_t i = 0; i < d->n; i++) {
        struct sg_nest_point p = nest->work_points[i], whole = {nearbyint(p.x), nearbyint(p.y)};
        const struct sg_nest_point *kept = nest->points + loop->first;
        if (fabs(p.x - whole.x) > SG_NEST_FUZZ || fabs(p.y - whole.y) > SG_NEST_FUZZ)
            d->slack = fmax(d->slack, 1);
        if (loop->n > 0 && ((kept[loop->n - 1].x == whole.x && kept[loop->n - 1].y == whole.y) ||
                            (i == d->n - 1 && kept[0].x == whole.x && kept[0].y == whole.y)))
            continue;
        nest->points[nest->n_points++] = whole;
        loop->n++;
    }
}

/* ---- less a fuzz ---- */

static struct sg_nest_point left_of(const struct sg_nest_point *a, const struct sg_nest_point *b)
{
    double dx = b->x - a->x, dy = b->y - a->y, length = sqrt(dx * dx + dy * dy);
    return (struct sg_nest_point){-dy / length, dx / length};
}

/* Where the sides beside a corner meet when both are moved into the material; of a needle not as far. Whole
 * parts of the fuzz, so that level sides stay level. */
static struct sg_nest_point moved_in(const struct sg_nest_point *a, const struct sg_nest_point *b,
                                     const struct sg_nest_point *c)
{
    const double farthest = 0.25, grain = 1024;
    struct sg_nest_point one = left_of(a, b), two = left_of(b, c);
    double cosine = one.x * two.x + one.y * two.y;
    double k = SG_NEST_FUZZ / fmax(1 + cosine, 1e-6), x = k * (one.x + two.x), y = k * (one.y + two.y);
    double off = sqrt(x * x + y * y), keep = off > farthest ? farthest / off : 1;
    return (struct sg_nest_point){b->x + nearbyint(x * keep * grain) / grain,
                                  b->y + nearbyint(y * keep * grain) / grain};
}

static void move_in(struct sg_nest_point *p, int32_t n)
{
    struct sg_nest_point first = p[0], before = p[n - 1];
    for (int32_t i = 0; i < n; i++) {
        struct sg_nest_point here = p[i];
        p[i] = moved_in(&before, &here, i + 1 < n ? &p[i + 1] : &first);
        before = here;
    }
}

/* ---- a shape of all contours ---- */

static bool is_one_piece(const struct sg_outline *outline)
{
    int32_t outer = 0;
    for (int32_t i = 0; i < outline->n_contours; i++) {
        if (!outline->contours[i].closed)
            return false;
        outer += !outline->contours[i].inner;
    }
    return outer == 1;
}

static const struct sg_contour *contour_of(const struct sg_outline *outline, int32_t i)
{
    for (int32_t k = 0; k < outline->n_contours; k++)
        if (!outline->contours[k].inner && i-- == 0)
            return &outline->contours[k];
    for (int32_t k = 0; k < outline->n_contours; k++)
        if (outline->contours[k].inner && i-- == 0)
            return &outline->contours[k];
    return NULL;
}

static bool draw_shape(struct sg_nest *nest, const struct sg_outline *outline, struct sg_nest_shape *shape)
{
    struct drawing d = {
        nest, outline->box[0], outline->box[1], {(double)shape->length, (double)shape->width}, shape->slack,
        0};
    int32_t n = 0;
    for (int32_t i = 0; i < outline->n_contours; i++) {
        put_contour(&d, outline, contour_of(outline, i));
        if (d.n >= POINTS_RAW)
            return false;
        if (d.n >= 3)
            trim(&d);
        if (d.n < 3 && i > 0)
            continue; /* a hole of no size */
        keep_loop(&d, shape);
        if (nest->failed || nest->loops[nest->n_loops - 1].n < 3)
            return false;
        n += nest->loops[nest->n_loops - 1].n;
    }
    shape->slack = d.slack > 0 ? 2 * d.slack : 0;
    return n <= POINTS_MOST && !sg_nest_touches(nest->points, nest->loops + shape->loops, shape->n_loops);
}

static bool draw_box(struct sg_nest *nest, struct sg_nest_shape *shape)
{
    double l = (double)shape->length, w = (double)shape->width;
    if (!sg_nest_room(nest, &nest->points, &nest->points_room, nest->n_points + 4, sizeof *nest->points) ||
        !sg_nest_room(nest, &nest->loops, &nest->loops_room, nest->n_loops + 1, sizeof *nest->loops))
        return false;
    struct sg_nest_point corners[4] = {{0, 0}, {l, 0}, {l, w}, {0, w}};
    nest->loops[nest->n_loops++] = (struct sg_nest_loop){nest->n_points, 4};
    memcpy(nest->points + nest->n_points, corners, sizeof corners);
    nest->n_points += 4;
    shape->n_loops = 1;
    shape->boxed = true;
    return true;
}

static bool fits_box(const struct sg_outline *outline, const struct sg_layout_part *part)
{
    return fabs(outline->box[2] - outline->box[0] - part->length) <= SG_NEST_BOX_OFF &&
           fabs(outline->box[3] - outline->box[1] - part->width) <= SG_NEST_BOX_OFF;
}

static void make_shape(struct sg_nest *nest, int32_t part, struct sg_nest_shape *shape)
{
    const struct sg_layout_part *p = &nest->input->boxes.parts[part];
    const struct sg_outline *outline = nest->input->outlines ? nest->input->outlines[part] : NULL;
    int64_t points = nest->n_points;
    bool drawn = outline && is_one_piece(outline) && fits_box(outline, p) && outline->area > 0 &&
                 outline->area <= p->length * p->width * (1 + 1e-3);
    double length = drawn ? outline->box[2] - outline->box[0] : p->length;
    double width = drawn ? outline->box[3] - outline->box[1] : p->width;
    *shape = (struct sg_nest_shape){.length = sg_nest_up(fmax(length, p->length)),
                                    .width = sg_nest_up(fmax(width, p->width)),
                                    .area = p->length * p->width,
                                    .loops = nest->n_loops,
                                    .turn = p->turn};
    double off = fmax((double)shape->length - length * SG_LAYOUT_UNITS,
                      (double)shape->width - width * SG_LAYOUT_UNITS);
    shape->slack = off > 2 * SG_NEST_FUZZ ? off : 0; /* flipped, it lies that far off */
    if (drawn && draw_shape(nest, outline, shape)) {
        shape->area = outline->area;
    } else {
        nest->n_points = points;
        nest->n_loops = shape->loops;
        if (nest->failed || !draw_box(nest, shape))
            return;
    }
    for (int32_t i = 0; i < shape->n_loops; i++)
        move_in(nest->points + nest->loops[shape->loops + i].first, nest->loops[shape->loops + i].n);
}

void sg_nest_shapes(struct sg_nest *nest)
{
    int32_t n = nest->input->boxes.n_parts;
    nest->n_points = nest->n_loops = nest->n_edges = nest->n_marks = 0;
    if (!sg_nest_room(nest, &nest->shapes, &nest->shapes_room, n, sizeof *nest->shapes))
        return;
    for (int32_t i = 0; i < n && !nest->failed; i++)
        make_shape(nest, i, &nest->shapes[i]);
}
