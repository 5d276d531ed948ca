/* Shapes moved, turned, scaled and mirrored. An arc under a scale that differs in x and y is an ellipse; an
 * ellipse whose axes became equal is an arc again. */
#include "exchange/dxf_inside.h"

#include <math.h>
#include <string.h>

struct put put_after(const struct put *outer, const struct put *inner)
{
    struct put both = {.xx = outer->xx * inner->xx + outer->xy * inner->yx,
                       .xy = outer->xx * inner->xy + outer->xy * inner->yy,
                       .yx = outer->yx * inner->xx + outer->yy * inner->yx,
                       .yy = outer->yx * inner->xy + outer->yy * inner->yy,
                       .x = inner->x,
                       .y = inner->y};
    put_point(outer, &both.x, &both.y);
    return both;
}

void put_point(const struct put *put, double *x, double *y)
{
    double old = *x;
    *x = put->xx * old + put->xy * *y + put->x;
    *y = put->yx * old + put->yy * *y + put->y;
}

static void put_direction(const struct put *put, double *x, double *y)
{
    struct put turn = *put;
    turn.x = turn.y = 0;
    put_point(&turn, x, y);
}

/* Two half axes of one length that stand upright on each other, within rounding. */
static bool round_axes(double ux, double uy, double vx, double vy)
{
    double uu = ux * ux + uy * uy, vv = vx * vx + vy * vy, size = uu + vv;
    return fabs(uu - vv) <= 1e-11 * size && fabs(ux * vx + uy * vy) <= 1e-11 * size;
}

bool put_segment(const struct put *put, struct sg_segment *segment)
{
    if (sg_is_arc(segment)) {
        if (!round_axes(put->xx, put->yx, put->xy, put->yy))
            return false;
        if (put->xx * put->yy - put->xy * put->yx < 0)
            segment->sweep = -segment->sweep;
        put_point(put, &segment->cx, &segment->cy);
    }
    put_point(put, &segment->x0, &segment->y0);
    put_point(put, &segment->x1, &segment->y1);
    return true;
}

void put_curve(const struct put *put, struct curve *curve)
{
    if (curve->degree == 0) {
        put_point(put, &curve->cx, &curve->cy);
        put_direction(put, &curve->ux, &curve->uy);
        put_direction(put, &curve->vx, &curve->vy);
        return;
    }
    for (int i = 0; i <= curve->degree; i++) {
        double *point = curve->points[i], x = point[0];
        point[0] = put->xx * x + put->xy * point[1] + put->x * point[2];
        point[1] = put->yx * x + put->yy * point[1] + put->y * point[2];
    }
}

struct curve curve_of_arc(const struct sg_segment *arc)
{
    struct curve curve = {.cx = arc->cx, .cy = arc->cy, .t1 = arc->sweep};
    curve.ux = arc->x0 - arc->cx;
    curve.uy = arc->y0 - arc->cy;
    curve.vx = -curve.uy;
    curve.vy = curve.ux;
    return curve;
}

/* ---- into the drawing ---- */

static bool take_fitted(void *context, const struct sg_segment *segment)
{
    return gather_segment(context, segment, false);
}

static bool draw_curve(struct gather *gather, const struct curve *curve)
{
    gather->out->curves++;
    if (curve->degree > 0 || !round_axes(curve->ux, curve->uy, curve->vx, curve->vy))
        return curve_fit(curve, take_fitted, gather);
    double turned = curve->ux * curve->vy - curve->uy * curve->vx, t0 = curve->t0, t1 = curve->t1;
    bool whole = fabs(t1 - t0) >= 2 * acos(-1.0) * (1 - 1e-12);
    struct sg_segment arc = {.cx = curve->cx, .cy = curve->cy, .sweep = turned < 0 ? t0 - t1 : t1 - t0};
    arc.x0 = curve->cx + curve->ux * cos(t0) + curve->vx * sin(t0);
    arc.y0 = curve->cy + curve->uy * cos(t0) + curve->vy * sin(t0);
    arc.x1 = whole ? arc.x0 : curve->cx + curve->ux * cos(t1) + curve->vx * sin(t1);
    arc.y1 = whole ? arc.y0 : curve->cy + curve->uy * cos(t1) + curve->vy * sin(t1);
    return gather_segment(gather, &arc, false);
}

static bool draw_segment(struct dxf *dxf, const struct sg_segment *segment, const struct put *put)
{
    struct sg_segment moved = *segment;
    if (put_segment(put, &moved))
        return gather_segment(dxf->gather, &moved, true);
    struct curve curve = curve_of_arc(segment);
    put_curve(put, &curve);
    return draw_curve(dxf->gather, &curve);
}

/* Draw in a cell of an insert on `layer`, -1: in the drawing itself. */
static bool draw(struct dxf *dxf, const struct shape *shape, const struct put *put, int32_t layer);

/* Inserts within inserts can name a thousand million shapes in a few lines. */
static bool count_placed(struct dxf *dxf)
{
    if (++dxf->placed <= 3 * dxf->gather->most)
        return true;
    return refuse(dxf->gather, "INSERT: blocks place more than %lld shapes: split the drawing",
                  (long long)(3 * dxf->gather->most));
}

static bool draw_cell(struct dxf *dxf, const struct block *block, const struct put *put, int32_t layer)
{
    struct shape shape;
    for (int64_t at = 0; at < block->n;) {
        at = block_shape(block, at, &shape);
        if (!count_placed(dxf) || !draw(dxf, &shape, put, layer))
            return false;
    }
    return true;
}

enum { DEPTH_MOST = 100 };

static bool may_open(struct dxf *dxf, const struct insert *insert)
{
    const struct block *block = &dxf->blocks[insert->block];
    char name[200];
    shown(dxf->block_names.names[insert->block], name, sizeof name);
    if (block->open)
        return refuse(dxf->gather, "INSERT: block \"%s\" holds itself: take the inner INSERT out of it",
                      name);
    if (dxf->depth >= DEPTH_MOST)
        return refuse(dxf->gather, "INSERT: blocks lie more than %d deep in each other", DEPTH_MOST);
    return true;
}

static bool draw_cells(struct dxf *dxf, const struct insert *insert, const struct put *put, int32_t layer)
{
    const struct block *block = &dxf->blocks[insert->block];
    struct put base = {.xx = 1, .yy = 1, .x = -block->base_x, .y = -block->base_y};
    struct put first = put_after(&insert->first, &base);
    for (double row = 0; row < insert->rows; row++) {
        for (double column = 0; column < insert->columns; column++) {
            struct put cell = first;
            cell.x += column * insert->column_x + row * insert->row_x;
            cell.y += column * insert->column_y + row * insert->row_y;
            struct put both = put_after(put, &cell);
            if (!count_placed(dxf) || !draw_cell(dxf, block, &both, layer))
                return false;
        }
    }
    return true;
}

static bool draw_insert(struct dxf *dxf, const struct insert *insert, const struct put *put, int32_t layer)
{
    struct block *block = &dxf->blocks[insert->block];
    if (!block->defined || block->outside) {
        char name[200];
        tell(dxf->gather, PROBLEM_BLOCK, "block \"%s\" %s and was left out: put its lines into this file",
             shown(dxf->block_names.names[insert->block], name, sizeof name),
             block->outside ? "lies in another file" : "is inserted but not defined before");
        dxf->gather->out->left_out++;
        return true;
    }
    if (!may_open(dxf, insert))
        return false;
    block->open = true;
    dxf->depth++;
    bool good = draw_cells(dxf, insert, put, layer);
    dxf->depth--;
    block->open = false;
    return good;
}

static bool draw(struct dxf *dxf, const struct shape *shape, const struct put *put, int32_t layer)
{
    int32_t on = shape->layer == 0 && layer >= 0 ? layer : shape->layer;
    if (dxf->layers[on].left_out)
        return true;
    int64_t before = dxf->gather->out->path.n;
    struct curve curve;
    switch (shape->kind) {
    case SHAPE_INSERT:
        return draw_insert(dxf, &shape->of.insert, put, on);
    case SHAPE_CURVE:
        curve = shape->of.curve;
        put_curve(put, &curve);
        if (!draw_curve(dxf->gather, &curve))
            return false;
        break;
    default:
        if (!draw_segment(dxf, &shape->of.segment, put))
            return false;
    }
    dxf->layers[on].segments += dxf->gather->out->path.n - before;
    return true;
}

/* ---- of the entity that was read ---- */

static bool keep_or_draw(struct dxf *dxf, const struct shape *shape)
{
    if (dxf->into >= 0)
        return block_keep(dxf, &dxf->blocks[dxf->into], shape);
    struct put unit = {.xx = dxf->scale, .yy = dxf->scale};
    return draw(dxf, shape, &unit, -1);
}

bool dxf_segment(struct dxf *dxf, int32_t layer, const struct sg_segment *segment, const struct put *plane)
{
    struct shape shape;
    shape.kind = SHAPE_SEGMENT; /* the union stays as it is: clearing it would cost more than the rest */
    shape.layer = layer;
    shape.of.segment = *segment;
    if (put_segment(plane, &shape.of.segment))
        return keep_or_draw(dxf, &shape);
    struct curve curve = curve_of_arc(segment);
    return dxf_curve(dxf, layer, &curve, plane);
}

bool dxf_curve(struct dxf *dxf, int32_t layer, const struct curve *curve, const struct put *plane)
{
    struct shape shape = {.kind = SHAPE_CURVE, .layer = layer, .of.curve = *curve};
    put_curve(plane, &shape.of.curve);
    return keep_or_draw(dxf, &shape);
}

bool dxf_insert(struct dxf *dxf, int32_t layer, const struct insert *insert, const struct put *plane)
{
    struct shape shape = {.kind = SHAPE_INSERT, .layer = layer, .of.insert = *insert};
    struct insert *moved = &shape.of.insert;
    moved->first = put_after(plane, &insert->first);
    put_direction(plane, &moved->column_x, &moved->column_y);
    put_direction(plane, &moved->row_x, &moved->row_y);
    return keep_or_draw(dxf, &shape);
}
