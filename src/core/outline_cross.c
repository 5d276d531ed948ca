/* Doubles and crossings: each pair of segments that share a cell, told in the cell where they meet. */
#include "outline_inside.h"

#include <math.h>

enum {
    PAIRS = 48,
    PAIRS_LEAST = 10000000
}; /* looked at for each segment, and for a whole drawing at least */

static const double comes_through = 0.02; /* sine of the angle by which a joint must pass another line */

struct crossing {
    struct sg_outlining *o;
    const struct sg_grid *grid;
    const int32_t *contour_of;
    int64_t cell;
};

/* The segment behind another in its contour, SG_UNKNOWN. */
static int64_t behind(const struct crossing *c, int32_t segment)
{
    const struct sg_contour *contour = &c->o->out->contours[c->contour_of[segment]];
    if (segment + 1 < contour->first + contour->n)
        return segment + 1;
    return contour->closed && contour->n > 1 ? contour->first : SG_UNKNOWN;
}

static void tell(const struct crossing *c, int kind, double x, double y)
{
    if (sg_grid_cell(c->grid, x, y) == c->cell)
        sg_outline_note(c->o, kind, x, y, (double)NAN);
}

/* A joint of one contour that lies on a segment of another (or of its own) and passes through it. */
static void look_at_joint(const struct crossing *c, int32_t before, int32_t across)
{
    const struct sg_segment *s = &c->o->out->segments[before], *wall = &c->o->out->segments[across];
    int64_t after = behind(c, before);
    if (after < 0 || after == across || !sg_point_inside(wall, s->x1, s->y1, c->o->tolerance))
        return;
    double skip, bx, by, ax, ay, tx = wall->x1 - wall->x0, ty = wall->y1 - wall->y0;
    if (sg_is_arc(wall)) {
        tx = wall->cy - s->y1;
        ty = s->x1 - wall->cx;
    }
    double length = hypot(tx, ty);
    sg_segment_tangents(s, &skip, &skip, &bx, &by);
    sg_segment_tangents(&c->o->out->segments[after], &ax, &ay, &skip, &skip);
    double into = (tx * by - ty * bx) / length, out_of = (tx * ay - ty * ax) / length;
    if (fmin(fabs(into), fabs(out_of)) > comes_through && (into > 0) == (out_of > 0))
        tell(c, SG_PROBLEM_CROSSING, s->x1, s->y1);
}

/* Whether the boxes of two segments touch; of an arc that of its whole circle. */
static bool boxes_touch(const struct sg_segment *a, const struct sg_segment *b, double pad)
{
    double box[2][4];
    for (int i = 0; i < 2; i++) {
        const struct sg_segment *s = i ? b : a;
        double r = sg_is_arc(s) ? sg_segment_radius(s) + pad : pad;
        box[i][0] = (sg_is_arc(s) ? s->cx : s->x0 < s->x1 ? s->x0 : s->x1) - r;
        box[i][1] = (sg_is_arc(s) ? s->cy : s->y0 < s->y1 ? s->y0 : s->y1) - r;
        box[i][2] = (sg_is_arc(s) ? s->cx : s->x0 < s->x1 ? s->x1 : s->x0) + r;
        box[i][3] = (sg_is_arc(s) ? s->cy : s->y0 < s->y1 ? s->y1 : s->y0) + r;
    }
    return box[0][0] <= box[1][2] && box[1][0] <= box[0][2] && box[0][1] <= box[1][3] &&
           box[1][1] <= box[0][3];
}

static void look_at_pair(const struct crossing *c, int32_t a, int32_t b)
{
    const struct sg_segment *segments = c->o->out->segments;
    struct sg_meet meet;
    int32_t lead = c->o->out->n_contours; /* what is no contour's: it touches its own loop by right */
    if (c->contour_of[a] == lead || c->contour_of[b] == lead ||
        !boxes_touch(&segments[a], &segments[b], c->o->tolerance))
        return;
    bool neighbours = behind(c, a) == b || behind(c, b) == a;
    enum sg_meeting how = sg_segments_meet(&segments[a], &segments[b], c->o->tolerance, neighbours, &meet);
    if (how == SG_MEET_DOUBLE) {
        tell(c, SG_PROBLEM_DOUBLE, meet.x[0], meet.y[0]);
        return;
    }
    for (int i = 0; how == SG_MEET_CROSS && i < meet.n; i++)
        tell(c, SG_PROBLEM_CROSSING, meet.x[i], meet.y[i]);
    look_at_joint(c, a, b);
    look_at_joint(c, b, a);
}

static int64_t count_pairs(const struct sg_grid *grid, int64_t cells, int64_t most, int64_t *fullest)
{
    int64_t pairs = 0, largest = -1;
    for (int64_t i = 0; i < cells && pairs <= most; i++) {
        int64_t k = grid->first[i + 1] - grid->first[i];
        pairs += k * (k - 1) / 2;
        if (k > largest) {
            largest = k;
            *fullest = i;
        }
    }
    return pairs;
}

void sg_find_crossings(struct sg_outlining *o, const struct sg_grid *grid, const int32_t *contour_of)
{
    struct crossing c = {o, grid, contour_of, 0};
    int64_t cells = (int64_t)grid->rows * grid->cols, most = PAIRS_LEAST, fullest = 0;
    if (o->out->n_segments * PAIRS > most)
        most = o->out->n_segments * PAIRS;
    if (count_pairs(grid, cells, most, &fullest) > most) {
        const struct sg_segment *s = &o->out->segments[grid->entries[grid->first[fullest]]];
        sg_outline_note(o, SG_PROBLEM_TANGLED, s->x0, s->y0, (double)NAN);
        return;
    }
    for (c.cell = 0; c.cell < cells; c.cell++)
        for (uint32_t i = grid->first[c.cell]; i < grid->first[c.cell + 1]; i++)
            for (uint32_t k = i + 1; k < grid->first[c.cell + 1]; k++)
                look_at_pair(&c, grid->entries[i], grid->entries[k]);
}
