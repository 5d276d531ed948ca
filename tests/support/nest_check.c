#include "support/nest_check.h"

#include "support/layout_check.h"
#include "support/must.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ENDLESS ((double)INFINITY)
#define NEAR 1e-6 /* mm: what rounding may take from a gap */

static const double turn = 2 * 3.14159265358979323846;

/* A line, or an arc that goes one way in y, as it lies on the sheet. */
struct curve {
    double x0, y0, x1, y1, cx, cy, r, from, sweep; /* sweep 0: a line */
};

struct lying {
    struct curve *curves;
    int n;
    double box[4];
};

/* ---- onto the sheet ---- */

struct way {
    double x, y, length, width, out_x, out_y;
    int quarters;
};

/* From a point of the drawing, by what nest.h says. */
static void move(const struct way *w, double x, double y, double *to_x, double *to_y)
{
    double px = x - w->x, py = y - w->y;
    double xs[4] = {px, w->width - py, w->length - px, py};
    double ys[4] = {py, px, w->width - py, w->length - px};
    *to_x = w->out_x + xs[w->quarters];
    *to_y = w->out_y + ys[w->quarters];
}

static void add(struct lying *piece, struct curve curve)
{
    piece->curves = realloc(piece->curves, (size_t)(piece->n + 1) * sizeof curve);
    must_hold(piece->curves != NULL);
    piece->curves[piece->n++] = curve;
    piece->box[0] = fmin(piece->box[0], fmin(curve.x0, curve.x1));
    piece->box[1] = fmin(piece->box[1], fmin(curve.y0, curve.y1));
    piece->box[2] = fmax(piece->box[2], fmax(curve.x0, curve.x1));
    piece->box[3] = fmax(piece->box[3], fmax(curve.y0, curve.y1));
}

/* Cut at its utmost points. Its ends are, to the bit, those of what lies beside it. */
static void add_arc(struct lying *piece, const struct curve *arc)
{
    double cx = arc->cx, cy = arc->cy, sweep = arc->sweep, way = sweep > 0 ? 1 : -1, done = 0;
    double r = hypot(arc->x0 - cx, arc->y0 - cy), from = atan2(arc->y0 - cy, arc->x0 - cx);
    double x = arc->x0, y = arc->y0;
    for (int k = -20; k <= 20; k++) {
        double at = way * (way * k * turn / 4 - from);
        double end = at > fabs(sweep) ? fabs(sweep) : at;
        if (end <= done)
            continue;
        double a = from + way * done, b = from + way * end;
        bool last = end == fabs(sweep);
        double to_x = last ? arc->x1 : cx + r * cos(b), to_y = last ? arc->y1 : cy + r * sin(b);
        add(piece, (struct curve){x, y, to_x, to_y, cx, cy, r, a, b - a});
        x = to_x;
        y = to_y;
        done = end;
    }
}

static struct lying lay(const struct sg_nest_input *input, const struct sg_placement *at)
{
    const struct sg_layout_part *part = &input->boxes.parts[at->part];
    const struct sg_outline *outline = input->outlines ? input->outlines[at->part] : NULL;
    struct lying piece = {.box = {ENDLESS, ENDLESS, -ENDLESS, -ENDLESS}};
    struct way w = {0, 0, part->length, part->width, at->x, at->y, at->turned + 2 * at->flipped};
    double ends[5][2] = {{0, 0}, {part->length, 0}, {part->length, part->width}, {0, part->width}, {0, 0}};
    int open = 0, outer = 0;
    for (int i = 0; outline && i < outline->n_contours; i++) {
        open += !outline->contours[i].closed;
        outer += outline->contours[i].closed && !outline->contours[i].inner;
    }
    if (!outline || open > 0 || outer != 1 ||
        fabs(outline->box[2] - outline->box[0] - part->length) > 0.001 ||
        fabs(outline->box[3] - outline->box[1] - part->width) > 0.001) {
        for (int i = 0; i < 4; i++) {
            struct curve c = {0};
            move(&w, ends[i][0], ends[i][1], &c.x0, &c.y0);
            move(&w, ends[i + 1][0], ends[i + 1][1], &c.x1, &c.y1);
            add(&piece, c);
        }
        return piece;
    }
    w.length = outline->box[2] - outline->box[0];
    w.width = outline->box[3] - outline->box[1];
    w.x = outline->box[0];
    w.y = outline->box[1];
    for (int64_t i = 0; i < outline->n_segments; i++) {
        const struct sg_segment *s = &outline->segments[i];
        struct curve c = {.sweep = s->sweep};
        move(&w, s->x0, s->y0, &c.x0, &c.y0);
        move(&w, s->x1, s->y1, &c.x1, &c.y1);
        if (s->sweep == 0) {
            add(&piece, c);
            continue;
        }
        move(&w, s->cx, s->cy, &c.cx, &c.cy);
        add_arc(&piece, &c);
    }
    return piece;
}

/* ---- distances ---- */

static bool on_arc(const struct curve *c, double x, double y)
{
    double way = (atan2(y - c->cy, x - c->cx) - c->from) * (c->sweep > 0 ? 1 : -1);
    way -= turn * floor(way / turn);
    return way <= fabs(c->sweep) + 1e-12 || way >= turn - 1e-12;
}

static double to_point(const struct curve *c, double x, double y)
{
    double best = fmin(hypot(x - c->x0, y - c->y0), hypot(x - c->x1, y - c->y1));
    if (c->sweep != 0)
        return on_arc(c, x, y) ? fmin(best, fabs(hypot(x - c->cx, y - c->cy) - c->r)) : best;
    double dx = c->x1 - c->x0, dy = c->y1 - c->y0, square = dx * dx + dy * dy;
    double t = square > 0 ? ((x - c->x0) * dx + (y - c->y0) * dy) / square : 0;
    return t > 0 && t < 1 ? fmin(best, hypot(x - c->x0 - t * dx, y - c->y0 - t * dy)) : best;
}

static double line_line(const struct curve *a, const struct curve *b)
{
    double ux = a->x1 - a->x0, uy = a->y1 - a->y0, vx = b->x1 - b->x0, vy = b->y1 - b->y0;
    double det = ux * vy - uy * vx;
    double s = ((b->x0 - a->x0) * vy - (b->y0 - a->y0) * vx) / det;
    double t = ((b->x0 - a->x0) * uy - (b->y0 - a->y0) * ux) / det;
    return det != 0 && s >= 0 && s <= 1 && t >= 0 && t <= 1 ? 0 : ENDLESS;
}

static double line_arc(const struct curve *line, const struct curve *arc)
{
    double dx = line->x1 - line->x0, dy = line->y1 - line->y0, length = hypot(dx, dy), best = ENDLESS;
    if (length == 0)
        return best;
    double along = ((arc->cx - line->x0) * dx + (arc->cy - line->y0) * dy) / length;
    double fx = line->x0 + along * dx / length, fy = line->y0 + along * dy / length;
    double off = hypot(fx - arc->cx, fy - arc->cy);
    if (off > arc->r) { /* the nearest point of the circle lies towards the foot */
        double k = arc->r / off;
        bool meets = along >= 0 && along <= length &&
                     on_arc(arc, arc->cx + (fx - arc->cx) * k, arc->cy + (fy - arc->cy) * k);
        return meets ? off - arc->r : best;
    }
    for (int sign = -1; sign <= 1; sign += 2) {
        double at = along + sign * sqrt(arc->r * arc->r - off * off);
        if (at >= 0 && at <= length && on_arc(arc, line->x0 + at * dx / length, line->y0 + at * dy / length))
            best = 0;
    }
    return best;
}

static double arc_arc(const struct curve *a, const struct curve *b)
{
    double dx = b->cx - a->cx, dy = b->cy - a->cy, d = hypot(dx, dy), best = ENDLESS;
    if (d < 1e-12)
        return ENDLESS; /* around one centre: an end of one is as near as any point */
    for (int i = -1; i <= 1; i += 2)
        for (int k = -1; k <= 1; k += 2) { /* on the line of the centres */
            double ax = a->cx + i * a->r * dx / d, ay = a->cy + i * a->r * dy / d;
            double bx = b->cx + k * b->r * dx / d, by = b->cy + k * b->r * dy / d;
            if (on_arc(a, ax, ay) && on_arc(b, bx, by))
                best = fmin(best, hypot(ax - bx, ay - by));
        }
    double along = (d * d + a->r * a->r - b->r * b->r) / (2 * d), square = a->r * a->r - along * along;
    for (int sign = -1; sign <= 1 && square >= 0; sign += 2) {
        double x = a->cx + (along * dx - sign * sqrt(square) * dy) / d;
        double y = a->cy + (along * dy + sign * sqrt(square) * dx) / d;
        if (on_arc(a, x, y) && on_arc(b, x, y))
            best = 0;
    }
    return best;
}

static double distance(const struct curve *a, const struct curve *b)
{
    double best = fmin(fmin(to_point(a, b->x0, b->y0), to_point(a, b->x1, b->y1)),
                       fmin(to_point(b, a->x0, a->y0), to_point(b, a->x1, a->y1)));
    if (a->sweep == 0 && b->sweep == 0)
        return fmin(best, line_line(a, b));
    if (a->sweep != 0 && b->sweep != 0)
        return fmin(best, arc_arc(a, b));
    return fmin(best, a->sweep == 0 ? line_arc(a, b) : line_arc(b, a));
}

/* ---- within ---- */

static bool crosses_right_of(const struct curve *c, double x, double y)
{
    if ((c->y0 <= y) == (c->y1 <= y))
        return false;
    if (c->sweep == 0)
        return c->x0 + (y - c->y0) / (c->y1 - c->y0) * (c->x1 - c->x0) > x;
    double half = sqrt(fmax(0, c->r * c->r - (y - c->cy) * (y - c->cy)));
    double middle = cos(c->from + c->sweep / 2);
    return c->cx + (middle > 0 ? half : -half) > x;
}

/* How deep a point lies in the material; 0 outside of it. */
static double depth(const struct lying *piece, double x, double y)
{
    bool inside = false;
    double near = ENDLESS;
    if (x <= piece->box[0] || x >= piece->box[2] || y <= piece->box[1] || y >= piece->box[3])
        return 0;
    for (int i = 0; i < piece->n; i++)
        inside ^= crosses_right_of(&piece->curves[i], x, y);
    for (int i = 0; inside && i < piece->n; i++)
        near = fmin(near, to_point(&piece->curves[i], x, y));
    return inside ? near : 0;
}

enum { ALONG = 12, GRID = 9 };

/* Whether points of a's outline, or of a lattice over both, lie in the material of b (and of a). */
static bool reaches_into(const struct lying *a, const struct lying *b, double allowed)
{
    for (int i = 0; i < a->n; i++)
        for (int k = 0; k <= ALONG; k++) {
            const struct curve *c = &a->curves[i];
            double t = (double)k / ALONG, angle = c->from + t * c->sweep;
            double x = c->sweep == 0 ? c->x0 + t * (c->x1 - c->x0) : c->cx + c->r * cos(angle);
            double y = c->sweep == 0 ? c->y0 + t * (c->y1 - c->y0) : c->cy + c->r * sin(angle);
            if (depth(b, x, y) > allowed)
                return true;
        }
    double x0 = fmax(a->box[0], b->box[0]), x1 = fmin(a->box[2], b->box[2]);
    double y0 = fmax(a->box[1], b->box[1]), y1 = fmin(a->box[3], b->box[3]);
    for (int i = 0; i < GRID; i++)
        for (int k = 0; k < GRID; k++) {
            double x = x0 + (x1 - x0) * (i + 0.49) / GRID, y = y0 + (y1 - y0) * (k + 0.51) / GRID;
            if (depth(a, x, y) > allowed && depth(b, x, y) > allowed)
                return true;
        }
    return false;
}

static bool apart(const struct lying *a, const struct lying *b, double gap)
{
    return a->box[0] >= b->box[2] + gap || b->box[0] >= a->box[2] + gap || a->box[1] >= b->box[3] + gap ||
           b->box[1] >= a->box[3] + gap;
}

static void ck_pair(const struct lying *a, const struct lying *b, double gap, const char *name)
{
    if (apart(a, b, gap))
        return;
    for (int i = 0; gap > NEAR && i < a->n; i++)
        for (int k = 0; k < b->n; k++) {
            double d = distance(&a->curves[i], &b->curves[k]);
            must(d >= gap - NEAR, "%s: outlines are %.9g mm apart, not %.9g", name, d, gap);
        }
    must(!reaches_into(a, b, 2 * NEAR) && !reaches_into(b, a, 2 * NEAR),
         "%s: pieces at %.6f, %.6f and %.6f, %.6f overlap", name, a->box[0], a->box[1], b->box[0], b->box[1]);
}

/* ---- sheets ---- */

static void ck_on_sheet(const struct sg_nest_input *input, const struct lying *p, int size, const char *name)
{
    const struct sg_layout_sheet *sheet = &input->boxes.sheets[size];
    double m = input->boxes.margin - NEAR;
    must(p->box[0] >= m && p->box[1] >= m && p->box[2] <= sheet->length - m && p->box[3] <= sheet->width - m,
         "%s: a piece at %.9g, %.9g reaches into the margin", name, p->box[0], p->box[1]);
    for (int i = 0; i < input->boxes.n_clamps; i++) {
        const struct sg_layout_clamp *c = &input->boxes.clamps[i];
        struct lying kept = {.box = {c->x, c->y, c->x + c->length, c->y + c->width}};
        must(apart(p, &kept, -NEAR), "%s: a piece reaches into clamp %d", name, i);
    }
}

static void ck_sheet(const struct sg_nest_input *input, const struct sg_layout *layout,
                     const struct sg_layout_used *used, const char *name)
{
    struct lying *pieces = calloc((size_t)used->n_pieces, sizeof *pieces);
    must_hold(pieces != NULL);
    struct lying drop = {.box = {used->drop_x, used->drop_y, used->drop_x + used->drop_length,
                                 used->drop_y + used->drop_width}};
    for (int64_t i = 0; i < used->n_pieces; i++) {
        const struct sg_placement *at = &layout->placements[used->first + i];
        must(!at->turned || input->boxes.parts[at->part].turn, "%s: part %d is turned and may not be", name,
             at->part);
        pieces[i] = lay(input, at);
        ck_on_sheet(input, &pieces[i], used->size, name);
        must(fabs(pieces[i].box[0] - at->x) < 0.002 && fabs(pieces[i].box[1] - at->y) < 0.002,
             "%s: x and y are not the corner", name);
        for (int64_t k = 0; k < i; k++)
            ck_pair(&pieces[k], &pieces[i], input->boxes.gap, name);
        must(used->drop_length == 0 || apart(&drop, &pieces[i], input->boxes.gap - NEAR),
             "%s: the drop is not free", name);
    }
    if (used->drop_length > 0)
        ck_on_sheet(input, &drop, used->size, name);
    for (int64_t i = 0; i < used->n_pieces; i++)
        free(pieces[i].curves);
    free(pieces);
}

/* ---- totals ---- */

static double net_area(const struct sg_nest_input *input, int part)
{
    struct sg_placement at = {.part = part};
    struct lying piece = lay(input, &at);
    double box = input->boxes.parts[part].length * input->boxes.parts[part].width;
    const struct sg_outline *outline = input->outlines ? input->outlines[part] : NULL;
    bool boxed = !outline || piece.n == 4; /* a drawn rectangle has the same */
    free(piece.curves);
    return boxed && (!outline || fabs(outline->area - box) < 1e-6) ? box : outline->area;
}

static void ck_totals(const struct sg_nest_input *input, const struct sg_layout *layout,
                      const long long *placed, const long long *on_hand, const char *name)
{
    long long sheets = 0, missing = 0;
    double area = 0, pieces = 0;
    for (int i = 0; i < layout->n_used; i++) {
        const struct sg_layout_sheet *sheet = &input->boxes.sheets[layout->used[i].size];
        sheets += layout->used[i].copies;
        area += sheet->length * sheet->width * (double)layout->used[i].copies;
    }
    for (int i = 0; i < input->boxes.n_parts; i++) {
        long long wanted = input->boxes.parts[i].quantity > 0 ? input->boxes.parts[i].quantity : 0;
        must(placed[i] <= wanted, "%s: %lld of part %d, wanted %lld", name, placed[i], i, wanted);
        must(placed[i] == wanted || layout->unplaced > 0 || layout->too_large >= 0, "%s: part %d is missing",
             name, i);
        missing += wanted - placed[i];
        if (placed[i] > 0)
            pieces += net_area(input, i) * (double)placed[i];
    }
    must(layout->too_large >= 0 ? missing >= layout->unplaced : missing == layout->unplaced,
         "%s: %lld pieces are missing, %lld are told", name, missing, (long long)layout->unplaced);
    must(sheets == layout->sheets, "%s: %lld sheets, %lld told", name, sheets, (long long)layout->sheets);
    must(pieces <= area, "%s: more material than sheet", name);
    must(layout->utilisation <= 1, "%s: utilisation %g", name, layout->utilisation);
    for (int i = 0; i < input->boxes.n_sheets; i++)
        must(input->boxes.sheets[i].count < 0 || on_hand[i] <= input->boxes.sheets[i].count,
             "%s: %lld sheets of size %d", name, on_hand[i], i);
    must(layout->unplaced > 0 || layout->lower_bound <= layout->sheets,
         "%s: the bound is %lld, the sheets %lld", name, (long long)layout->lower_bound,
         (long long)layout->sheets);
}

void ck_nest(const struct sg_nest_input *input, const struct sg_layout *layout, bool interlocked,
             const char *name)
{
    long long next = 0;
    if (!interlocked) {
        ck_layout(&input->boxes, layout, name);
        return;
    }
    long long *placed = calloc((size_t)input->boxes.n_parts + 1, sizeof *placed);
    long long *on_hand = calloc((size_t)input->boxes.n_sheets + 1, sizeof *on_hand);
    must_hold(placed != NULL && on_hand != NULL);
    for (int i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        must_hold(used->size >= 0 && used->size < input->boxes.n_sheets && used->copies > 0);
        must_hold(used->n_pieces > 0 && used->first == next);
        next += used->n_pieces;
        on_hand[used->size] += used->copies;
        for (long long k = 0; k < used->n_pieces; k++) {
            int part = layout->placements[used->first + k].part;
            must_hold(part >= 0 && part < input->boxes.n_parts);
            placed[part] += used->copies;
        }
        ck_sheet(input, layout, used, name);
    }
    must_hold(next == layout->n_placements);
    ck_totals(input, layout, placed, on_hand, name);
    free(placed);
    free(on_hand);
}
