#include "outline_inside.h"

#include "sandglass/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double least_tolerance = 1e-9; /* mm; finer than any coordinate is */
static const double flat = 1e-6;            /* mm an arc may leave its chord to be taken as a line */

enum { SHARE = SG_PROBLEMS_LISTED / SG_PROBLEMS, MOST_SEGMENTS = 1 << 29 };

void sg_outline_note(struct sg_outlining *o, int kind, double x, double y, double size)
{
    if (o->listed[kind] == SHARE) {
        o->out->problems[o->last[kind]].more++;
        return;
    }
    o->listed[kind]++;
    o->last[kind] = o->out->n_problems;
    o->out->problems[o->out->n_problems++] = (struct sg_outline_problem){kind, x, y, size, 0};
}

/* ---- what is taken ---- */

static bool within_reach(double value)
{
    return fabs(value) <= SG_OUTLINE_REACH; /* false of NaN */
}

/* An arc so flat that its centre lies out of reach is a line. */
static bool is_flat(const struct sg_segment *s)
{
    return hypot(s->x1 - s->x0, s->y1 - s->y0) * fabs(s->sweep) / 8 < flat && fabs(s->sweep) < 1;
}

static enum sg_status check(const struct sg_path *path, struct sg_error *error)
{
    if (path->n > MOST_SEGMENTS)
        return sg_fail(error, SG_BAD_DATA, "The drawing has %lld segments; at most %d are measured.",
                       (long long)path->n, MOST_SEGMENTS);
    for (int64_t i = 0; i < path->n; i++) {
        const struct sg_segment *s = &path->segments[i];
        bool ends = within_reach(s->x0) && within_reach(s->y0) && within_reach(s->x1) && within_reach(s->y1);
        if (!ends || (s->sweep != 0 && !(within_reach(s->cx) && within_reach(s->cy)) && !is_flat(s)))
            return sg_fail(error, SG_BAD_DATA,
                           "Segment %lld of the drawing has a coordinate that is no number or lies more than "
                           "%.0f km from zero.",
                           (long long)i + 1, SG_OUTLINE_REACH / 1e6);
        if (!(fabs(s->sweep) <= 2 * acos(-1.0) + 1e-9))
            return sg_fail(error, SG_BAD_DATA, "Segment %lld of the drawing is an arc of more than one turn.",
                           (long long)i + 1);
    }
    return SG_OK;
}

static struct sg_segment taken(const struct sg_segment *segment, bool reversed)
{
    struct sg_segment s = reversed ? sg_segment_reversed(segment) : *segment;
    if (s.sweep != 0 && !(within_reach(s.cx) && within_reach(s.cy)))
        s.sweep = 0;
    return s;
}

/* ---- from chains to contours ---- */

static bool take_room(struct sg_outline *out, const struct sg_chains *chains)
{
    size_t segments = (size_t)chains->n * sizeof *out->segments;
    out->segments = malloc(segments + (size_t)chains->n_contours * sizeof *out->contours + 1);
    if (!out->segments)
        return false;
    out->contours = (struct sg_contour *)(void *)((char *)out->segments + segments);
    out->n_segments = chains->n;
    return true;
}

static void lay_out(const struct sg_path *path, const struct sg_chains *chains, struct sg_outline *out)
{
    for (int64_t i = 0; i < chains->n; i++) {
        uint32_t link = chains->order[i];
        out->segments[i] = taken(&path->segments[SG_LINK_INDEX(link)], link & 1);
        if (link & SG_LINK_START)
            out->contours[out->n_contours++] = (struct sg_contour){
                .first = i, .closed = (link & SG_LINK_CLOSED) != 0, .outside = SG_UNKNOWN};
        out->contours[out->n_contours - 1].n++;
    }
}

/* ---- measuring ---- */

static bool turns_sharply(const struct sg_segment *before, const struct sg_segment *after)
{
    double x, y, ex, ey, sx, sy;
    sg_segment_tangents(before, &x, &y, &ex, &ey);
    sg_segment_tangents(after, &sx, &sy, &x, &y);
    return fabs(atan2(ex * sy - ey * sx, ex * sx + ey * sy)) > SG_CORNER_TURN;
}

static void shift(struct sg_segment *s, double x, double y)
{
    s->x0 -= x;
    s->y0 -= y;
    s->x1 -= x;
    s->y1 -= y;
    s->cx -= x;
    s->cy -= y;
}

/* Taken about a point near it, so that a part far from zero loses no digits; a joint that is open within the
 * tolerance is closed by a line. */
double sg_area_around(const struct sg_segment *s, int64_t n, double x, double y)
{
    double area = 0;
    for (int64_t i = 0; i < n; i++) {
        struct sg_segment here = s[i];
        const struct sg_segment *next = &s[i + 1 < n ? i + 1 : 0];
        shift(&here, x, y);
        struct sg_segment joint = {.x0 = here.x1, .y0 = here.y1, .x1 = next->x0 - x, .y1 = next->y0 - y};
        area += sg_segment_area(&here) + sg_segment_area(&joint);
    }
    return area;
}

static void start_box(double box[4])
{
    box[0] = box[1] = (double)INFINITY;
    box[2] = box[3] = -(double)INFINITY;
}

static void measure_contour(const struct sg_segment *s, struct sg_contour *c, double *smallest_radius)
{
    start_box(c->box);
    for (int64_t i = 0; i < c->n; i++) {
        c->length += sg_segment_length(&s[i]);
        sg_segment_box(&s[i], c->box);
        if (i + 1 < c->n || c->closed)
            c->corners += turns_sharply(&s[i], &s[i + 1 < c->n ? i + 1 : 0]);
        if (sg_is_arc(&s[i]))
            *smallest_radius = fmin(*smallest_radius, sg_segment_radius(&s[i])); /* never NaN where one is */
    }
}

static void measure(struct sg_outline *out, double *signed_area)
{
    start_box(out->box);
    out->smallest_radius = (double)NAN;
    for (int32_t i = 0; i < out->n_contours; i++) {
        struct sg_contour *c = &out->contours[i];
        const struct sg_segment *s = &out->segments[c->first];
        measure_contour(s, c, &out->smallest_radius);
        signed_area[i] =
            c->closed ? sg_area_around(s, c->n, (c->box[0] + c->box[2]) / 2, (c->box[1] + c->box[3]) / 2) : 0;
        c->area = fabs(signed_area[i]);
        c->clockwise = signed_area[i] < 0;
        out->cut_length += c->length + sg_drawn_leads(out, c);
        out->corners += c->corners;
        out->closed += c->closed;
        out->open += !c->closed;
        out->box[0] = fmin(out->box[0], c->box[0]);
        out->box[1] = fmin(out->box[1], c->box[1]);
        out->box[2] = fmax(out->box[2], c->box[2]);
        out->box[3] = fmax(out->box[3], c->box[3]);
    }
    out->pierces = out->closed + out->open;
    for (int side = 0; side < 4 && out->n_contours == 0; side++)
        out->box[side] = (double)NAN;
}

static void sum_area(struct sg_outline *out)
{
    for (int32_t i = 0; i < out->n_contours; i++) {
        struct sg_contour *c = &out->contours[i];
        c->inner = c->depth % 2 == 1;
        out->area += c->inner ? -c->area : c->area;
    }
}

/* ---- the whole ---- */

static bool look_around(struct sg_outlining *o, const double *signed_area)
{
    struct sg_outline *out = o->out;
    struct sg_grid grid = {0};
    int32_t *contour_of = malloc(((size_t)out->n_segments + 1) * sizeof *contour_of);
    bool room = contour_of != NULL && sg_grid_make(&grid, out->segments, out->n_segments, o->tolerance);
    for (int64_t i = 0; room && i < out->n_segments; i++)
        contour_of[i] = out->n_contours; /* of a lead: no contour's */
    for (int32_t i = 0; room && i < out->n_contours; i++)
        for (int64_t k = 0; k < out->contours[i].n; k++)
            contour_of[out->contours[i].first + k] = i;
    if (room) {
        sg_find_crossings(o, &grid, contour_of);
        room = sg_nest(o, &grid, contour_of, signed_area);
    }
    sg_grid_free(&grid);
    free(contour_of);
    return room;
}

static bool build(struct sg_outlining *o)
{
    struct sg_chains chains;
    bool room = sg_chain(o, &chains) && take_room(o->out, &chains);
    if (room)
        lay_out(o->path, &chains, o->out);
    if (room && o->how->chained)
        sg_part_leads(o);
    free(chains.order);
    double *signed_area = room ? malloc(((size_t)o->out->n_contours + 1) * sizeof *signed_area) : NULL;
    if (!signed_area)
        return false;
    measure(o->out, signed_area);
    room = sg_find_gaps(o) && look_around(o, signed_area);
    sum_area(o->out);
    free(signed_area);
    if (room && o->how->fit_arcs)
        sg_fit_arcs(o);
    return room;
}

enum sg_status sg_outline_make(const struct sg_path *path, const struct sg_outline_how *how,
                               struct sg_outline *out, struct sg_error *error)
{
    struct sg_outline made = {0};
    struct sg_outlining o = {.path = path, .how = how, .out = &made, .tolerance = least_tolerance};
    enum sg_status status = check(path, error);
    if (status != SG_OK)
        return status;
    if (how->tolerance > least_tolerance)
        o.tolerance = fmin(how->tolerance, SG_OUTLINE_REACH);
    if (!build(&o)) {
        sg_outline_free(&made);
        return sg_fail(error, SG_FAULT, "There is no memory for a drawing of %lld segments.",
                       (long long)path->n);
    }
    *out = made;
    return SG_OK;
}

void sg_outline_free(struct sg_outline *outline)
{
    free(outline->segments);
    *outline = (struct sg_outline){0};
}

/* ---- problems in words ---- */

/* In words: before the place, behind it, and behind a size if there is one. */
static const struct {
    const char *before, *behind, *end;
} sentences[SG_PROBLEMS] = {
    [SG_PROBLEM_GAP] = {"an end at ", " lies ", " from the next one and does not meet it"},
    [SG_PROBLEM_BRANCH] = {"more than two ends meet at ", ": the contours are cut there", NULL},
    [SG_PROBLEM_DOUBLE] = {"a line lies on another at ", ": it would be cut twice", NULL},
    [SG_PROBLEM_CROSSING] = {"contours cross at ", "", NULL},
    [SG_PROBLEM_NO_LENGTH] = {"a segment without length at ", " is left out", NULL},
    [SG_PROBLEM_CHORDS] = {"a curve of chords at ", " is no arc within ",
                           ": its chords are taken as they are"},
    [SG_PROBLEM_TANGLED] = {"too much lies on top of each other at ",
                            ": not all gaps, doubles, crossings and holes were looked for", NULL},
};

int sg_outline_problem_text(const struct sg_outline_problem *problem, bool inches, char *out, size_t size)
{
    const char *name = inches ? "in" : "mm", *end = sentences[problem->kind].end;
    const struct sg_unit *unit = sg_unit_find(name, 2);
    double length = problem->kind == SG_PROBLEM_CHORDS ? SG_CHORD_FIT : problem->size;
    char x[60], y[60], length_text[60] = "", more[60] = "";
    sg_number_short(problem->x, unit, inches ? 4 : 3, x, sizeof x);
    sg_number_short(problem->y, unit, inches ? 4 : 3, y, sizeof y);
    if (end)
        sg_number_short(length, unit, inches ? 5 : 4, length_text, sizeof length_text);
    if (problem->more > 0)
        snprintf(more, sizeof more, " (and %lld more like it)", (long long)problem->more);
    return snprintf(out, size, "%sx %s, y %s %s%s%s%s%s%s%s", sentences[problem->kind].before, x, y, name,
                    sentences[problem->kind].behind, length_text, end ? " " : "", end ? name : "",
                    end ? end : "", more);
}

/* ---- leads ---- */

double sg_lead(double per_thickness, double thickness)
{
    return per_thickness > 0 ? fmax(SG_LEAD_LEAST, per_thickness * thickness) : 0;
}

static double lead_of(const struct sg_contour *c, double lead)
{
    double half = fmin(c->box[2] - c->box[0], c->box[3] - c->box[1]) / 2;
    if (!c->closed)
        return 0;
    if (c->lead_in + c->lead_out > 0)
        return 0;
    return c->inner ? fmin(lead, half) : lead;
}

double sg_outline_leads(const struct sg_outline *outline, double lead)
{
    double length = 0;
    for (int32_t i = 0; i < outline->n_contours; i++)
        length += 2 * lead_of(&outline->contours[i], lead);
    return length;
}

/* Between the tangents of the closing joint, turned to the scrap side: left of a counter-clockwise hole. */
void sg_outline_pierce(const struct sg_outline *outline, int32_t contour, double lead, double *x, double *y)
{
    const struct sg_contour *c = &outline->contours[contour];
    const struct sg_segment *s = &outline->segments[c->first];
    double own = lead_of(c, lead), sx, sy, ex, ey, skip;
    *x = (s - c->lead_in)->x0;
    *y = (s - c->lead_in)->y0;
    if (!(own > 0))
        return;
    sg_segment_tangents(s, &sx, &sy, &skip, &skip);
    sg_segment_tangents(&s[c->n - 1], &skip, &skip, &ex, &ey);
    double dx = sx + ex, dy = sy + ey, length = hypot(dx, dy);
    if (length < 1e-9) { /* it turns back on itself */
        dx = ex;
        dy = ey;
        length = 1;
    }
    double left = !c->clockwise == c->inner ? own / length : -own / length;
    *x += -dy * left;
    *y += dx * left;
}

void sg_outline_end(const struct sg_outline *outline, int32_t contour, double lead, double *x, double *y)
{
    const struct sg_contour *c = &outline->contours[contour];
    const struct sg_segment *last = &outline->segments[c->first + c->n - 1 + c->lead_out];
    if (c->closed && c->lead_in + c->lead_out == 0) {
        sg_outline_pierce(outline, contour, lead, x, y);
        return;
    }
    *x = last->x1;
    *y = last->y1;
}
