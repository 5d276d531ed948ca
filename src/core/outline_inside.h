/* An outline while it is made, shared by the outline files. */
#ifndef SANDGLASS_CORE_OUTLINE_INSIDE_H
#define SANDGLASS_CORE_OUTLINE_INSIDE_H

#include "sandglass/outline.h"
#include "sandglass/shop.h" /* SG_UNKNOWN */

struct sg_outlining {
    const struct sg_path *path;
    const struct sg_outline_how *how;
    double tolerance;
    struct sg_outline *out;
    int32_t listed[SG_PROBLEMS], last[SG_PROBLEMS]; /* how many of each kind, and the place of the last */
};

void sg_outline_note(struct sg_outlining *o, int kind, double x, double y, double size);

/* ---- outline_chain.c: which segment follows which ---- */

/* An entry of the order: index of a segment of the path, twice, + 1 where it is turned; with marks at the
 * first of a chain. */
#define SG_LINK_START 0x80000000u
#define SG_LINK_CLOSED 0x40000000u
#define SG_LINK_INDEX(link) ((int64_t)(((link) & ~(SG_LINK_START | SG_LINK_CLOSED)) >> 1))

struct sg_chains {
    uint32_t *order;
    int64_t n;
    int32_t n_contours;
};

bool sg_chain(struct sg_outlining *o, struct sg_chains *chains); /* false: no memory */

/* The area that n segments go round, counter-clockwise positive, taken about a point near them. (outline.c)
 */
double sg_area_around(const struct sg_segment *segments, int64_t n, double x, double y);

/* ---- outline_lead.c: the leads of a part program ---- */

void sg_part_leads(struct sg_outlining *o);
double sg_drawn_leads(const struct sg_outline *outline, const struct sg_contour *contour); /* mm */

/* ---- outline_gap.c ---- */

bool sg_find_gaps(struct sg_outlining *o);

/* ---- outline_grid.c: what lies where ---- */

/* A stretch of a segment that goes one way in x and in y. */
struct sg_stretch {
    double xa, ya, xb, yb;
    double cx, cy, r2;
    int side; /* of an arc: -1 left of its centre, 1 right of it; 0: a line */
};

enum { SG_STRETCHES = 6 };
int sg_stretches(const struct sg_segment *segment, struct sg_stretch out[SG_STRETCHES]);
double sg_stretch_x(const struct sg_stretch *stretch, double y);

/* Cells between borders at quantiles of the coordinates, so that a point far away does not put all the rest
 * into one cell. */
struct sg_grid {
    double *xs, *ys; /* inner borders, growing */
    int32_t cols, rows;
    uint32_t *first;  /* entry of each cell, row by row; one more at the end */
    int32_t *entries; /* segments */
};

bool sg_grid_make(struct sg_grid *grid, const struct sg_segment *segments, int64_t n, double pad);
void sg_grid_free(struct sg_grid *grid);
int32_t sg_grid_place(const double *borders, int32_t n, double value);
static inline int64_t sg_grid_cell(const struct sg_grid *grid, double x, double y)
{
    return (int64_t)sg_grid_place(grid->ys, grid->rows, y) * grid->cols +
           sg_grid_place(grid->xs, grid->cols, x);
}

/* ---- outline_cross.c, outline_meet.c: doubles and crossings ---- */

void sg_find_crossings(struct sg_outlining *o, const struct sg_grid *grid, const int32_t *contour_of);

enum sg_meeting { SG_MEET_NOT, SG_MEET_CROSS, SG_MEET_DOUBLE };
struct sg_meet {
    int n; /* crossings, at most two; or one double */
    double x[2], y[2];
};
enum sg_meeting sg_segments_meet(const struct sg_segment *a, const struct sg_segment *b, double tolerance,
                                 bool neighbours, struct sg_meet *out);
bool sg_point_inside(const struct sg_segment *segment, double x, double y, double tolerance);

/* ---- outline_nest.c: which contour lies in which ---- */

bool sg_nest(struct sg_outlining *o, const struct sg_grid *grid, const int32_t *contour_of,
             const double *signed_area);

/* ---- outline_fit.c ---- */

void sg_fit_arcs(struct sg_outlining *o);

#endif
