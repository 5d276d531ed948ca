/* Layout by true shape, shared by the nest files.
 *
 * Shapes are polygons with whole coordinates in SG_LAYOUT_UNIT that contain the true outlines, less
 * SG_NEST_FUZZ all around, so that what fits exactly has a little room, seen as they lie. How near two may
 * come is asked along one direction: at a given height h of one above the other, which places t along it are
 * free? Free is the closure: what may be approached from above or from below. */
#ifndef SANDGLASS_CORE_NEST_INSIDE_H
#define SANDGLASS_CORE_NEST_INSIDE_H

#include "layout_inside.h"
#include "sandglass/nest.h"

#define SG_NEST_WORTH 0.985     /* of the room that boxes take: a block that takes no less gains nothing */
#define SG_NEST_FUZZ 0.00390625 /* of a unit, 1e-7 mm: rounding of sums of doubles */

struct sg_nest_point {
    double x, y;
};

struct sg_nest_loop {
    int64_t first; /* of the points */
    int32_t n;
};

/* Going up: y0 <= y1. */
struct sg_nest_edge {
    double x0, y0, x1, y1;
    double slope;  /* dx / dy; 0 where it is level */
    double nx, ny; /* to its right */
    int facing;    /* of the outer contour: 1 outward is right, -1 left; 0 of a hole, or level */
};

/* A shape turned by q quarters counter-clockwise, or that with x and y exchanged. */
struct sg_nest_view {
    bool made;
    int64_t edges; /* first one: those that face right, those that face left, the others; each by y0 */
    int32_t n_right, n_left;
    int64_t marks; /* first one: a corner of each loop */
    int32_t n, n_marks;
    double length, width;
    double inside_x, inside_y; /* a point in its material, off its edges */
};

struct sg_nest_shape {
    int64_t length, width; /* of the box, rounded up */
    double area;           /* mm2 of its material */
    double slack;          /* by which the polygon may be less than the outline, from rounding */
    bool boxed;            /* a rectangle */
    bool turn;
    int64_t loops; /* material to the left of them; the first is the outer one */
    int32_t n_loops, first_row, n_rows;
    struct sg_nest_view views[2][4];
    signed char
        like_before[4]; /* turned by so many quarters it is as with fewer: 1 yes, -1 no, 0 not known */
};

/* Equal pieces in rows: every second one of a row turned by 180 degrees, or none. In direction along and
 * across the row, which is x, y or y, x. */
struct sg_nest_row {
    int32_t part;
    bool up;                       /* it runs along y */
    bool alternate;                /* every second one is turned */
    int64_t pitch;                 /* from a piece to the next one that lies alike */
    int64_t second, second_across; /* where the first turned one lies */
    int64_t shift, rise;           /* every second row is shifted by that; from row to row. rise 0: one row */
};

/* Pieces that lie within the box of another. */
struct sg_nest_inner {
    int32_t part, q;
    int64_t x, y;
};

/* Pieces that are alike in what lies in them. */
struct sg_nest_kind {
    int32_t part, n_inner;
    int64_t quantity, inner; /* first of them */
    bool bays;               /* some lie in bays, so that nothing else may */
};

/* What is laid out as one box: n pieces of a kind in each of some rows. */
struct sg_nest_block {
    int32_t kind, row; /* row -1: a single piece */
    int64_t n, rows;
    int64_t length, width; /* 0 of one that cannot be */
};

struct sg_nest_result {
    struct sg_placement *placements;
    struct sg_layout_used *used;
    int64_t n_placements, placements_room, used_room;
    int32_t n_used;
    int64_t unplaced, cost, emptiest;
};

enum { SG_NEST_TRIED = 64 };

enum { SG_NEST_PLAIN, SG_NEST_HOLES, SG_NEST_BAYS, SG_NEST_FILLINGS };

struct sg_nest_set { /* of kinds, by how pieces lie in others */
    bool made, some; /* some lie in others */
    int64_t first, n;
};

struct sg_nest_span {
    double lo, hi;
};

struct sg_nest {
    const struct sg_nest_input *input;
    struct sg_lay *lay;     /* of the layout of boxes: sizes with their costs */
    struct sg_layout trial; /* of blocks */
    struct sg_nest_point *points, *work_points, *marks;
    double *errors;
    struct sg_nest_loop *loops;
    struct sg_nest_edge *edges;
    struct sg_nest_shape *shapes; /* one for each part */
    struct sg_nest_row *rows;
    struct sg_nest_inner *inner;
    struct sg_nest_kind *kinds;
    struct sg_nest_block *blocks; /* one for each of the trial's parts */
    struct sg_layout_part *parts;
    struct sg_layout_sheet *sheets;
    struct sg_layout_clamp *clamps;
    struct sg_nest_span *spans;
    int64_t *left; /* pieces of each part that are in no pattern yet */
    int32_t *order;
    int *policies; /* one for each kind */
    struct sg_key *keys;
    int64_t n_points, n_loops, n_edges, n_marks, n_rows, n_inner, n_all_kinds, n_blocks, n_spans;
    int64_t first_kind, n_kinds; /* that are laid out */
    struct sg_nest_set sets[SG_NEST_FILLINGS];
    int64_t points_room, work_room, errors_room, loops_room, edges_room, marks_room, shapes_room, rows_room,
        inner_room, kinds_room, blocks_room, parts_room, sheets_room, clamps_room, spans_room, left_room,
        order_room, policies_room, keys_room;
    double gap;                        /* units, whole */
    int64_t limit_length, limit_width; /* of a block, from the largest size */
    int64_t looks, look_stop, mix_looks;
    uint64_t tried[SG_NEST_TRIED]; /* mixes that were laid out */
    int n_tried;
    struct sg_nest_result best, other;
    bool failed;
};

/* Room for n things; false, and failed, where there is none. */
bool sg_nest_room(struct sg_nest *nest, void *array, int64_t *room, int64_t n, size_t size);

static inline int64_t sg_nest_up(double mm)
{
    double units = mm * SG_LAYOUT_UNITS, whole = (double)(int64_t)units;
    return (int64_t)(whole < units - SG_NEST_FUZZ ? whole + 1 : whole);
}

/* ---- nest_shape.c, nest_trim.c ---- */

void sg_nest_shapes(struct sg_nest *nest);

/* Fewer points, all within `tolerance` of units outside of the material; the box is kept. */
int32_t sg_nest_trim(struct sg_nest_point *points, double *errors, int32_t n, double tolerance,
                     const double box[2]);

/* Whether edges of the loops touch that do not follow each other, or a spike folds back. */
bool sg_nest_touches(const struct sg_nest_point *points, const struct sg_nest_loop *loops, int32_t n_loops);

/* ---- nest_view.c ---- */

const struct sg_nest_view *sg_nest_view(struct sg_nest *nest, int32_t part, bool up, int q);

/* Whether it is the same with fewer quarters, as a disc is. */
bool sg_nest_like_before(struct sg_nest *nest, int32_t part, int q);

/* ---- nest_slide.c ---- */

/* The gap between two shapes, with what their rounding asks for. */
double sg_nest_gap(const struct sg_nest *nest, int32_t a, int32_t b);

/* The least t so that b at t, h and everything right of it is free of a; -INFINITY: they do not meet. */
double sg_nest_reach(struct sg_nest *nest, const struct sg_nest_view *a, const struct sg_nest_view *b,
                     double h, double gap);

/* A shape that lies somewhere. */
struct sg_nest_lying {
    const struct sg_nest_view *view;
    double x, y, gap; /* the gap is that from the piece that comes */
};

/* The least whole t of from to `to` at which b at t, h keeps off all of n lying ones; false: none. */
bool sg_nest_find(struct sg_nest *nest, const struct sg_nest_lying *lying, int32_t n,
                  const struct sg_nest_view *b, double h, double from, double to, double *t);

/* Whether a point lies inside the outer contour, holes or not. */
bool sg_nest_within(struct sg_nest *nest, const struct sg_nest_view *view, double x, double y);

/* ---- nest_rows.c ---- */

/* The rows worth having, of all parts. */
void sg_nest_rows(struct sg_nest *nest);

/* A block's box; where a piece of it lies, as q, x, y of its box in it. */
void sg_nest_block_size(const struct sg_nest *nest, struct sg_nest_block *block);
struct sg_nest_inner sg_nest_block_piece(const struct sg_nest *nest, const struct sg_nest_block *block,
                                         int64_t i, int64_t row);

/* ---- nest_fill.c ---- */

/* Add the set of kinds: nothing in another, in holes, or in bays too. */
void sg_nest_kinds(struct sg_nest *nest, int filling);

/* ---- nest_mix.c ---- */

/* Try mixes of blocks; true where one is better than `score` of the boxes: it is in nest->best. No better one
 * than `bound` sheets of the largest size is looked for. */
bool sg_nest_mixes(struct sg_nest *nest, int64_t unplaced, int64_t cost, int64_t bound);

#endif
