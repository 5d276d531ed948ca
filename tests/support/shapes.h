/* Outlines drawn at random. */
#ifndef SANDGLASS_TESTS_SHAPES_H
#define SANDGLASS_TESTS_SHAPES_H

#include "random.h"

#include "sandglass/outline.h"

#include <math.h>

enum { SHAPE_MOST = 400 };

static const double full_turn = 2 * 3.14159265358979323846;

static inline struct sg_segment straight(double x0, double y0, double x1, double y1)
{
    return (struct sg_segment){.x0 = x0, .y0 = y0, .x1 = x1, .y1 = y1};
}

/* An arc over a chord: its middle is off the chord by `bulge` half chords, to the left of the way. */
static inline struct sg_segment bulged(struct sg_segment s, double bulge)
{
    double mx = (s.x0 + s.x1) / 2, my = (s.y0 + s.y1) / 2, hx = (s.x1 - s.x0) / 2, hy = (s.y1 - s.y0) / 2;
    double k = (1 - bulge * bulge) / (2 * bulge);
    s.cx = mx + k * hy;
    s.cy = my - k * hx;
    s.sweep = -4 * atan(bulge);
    return s;
}

/* A contour around a point, its corners at random distances from `least` to `most`, some sides arcs. Returns
 * how many segments. */
static inline int shape_star(struct random *r, struct sg_segment *out, double cx, double cy, double least,
                             double most, int corners, int arcs_of_8)
{
    double x0 = 0, y0 = 0, x = 0, y = 0;
    for (int i = 0; i <= corners; i++) {
        double angle = full_turn * (i + 0.6 * random_unit(r)) / corners;
        double reach = least + (most - least) * random_unit(r);
        double nx = i == corners ? x0 : cx + reach * cos(angle),
               ny = i == corners ? y0 : cy + reach * sin(angle);
        if (i == 0) {
            x0 = nx;
            y0 = ny;
        } else {
            out[i - 1] = straight(x, y, nx, ny);
            if ((int)random_below(r, 8) < arcs_of_8)
                out[i - 1] = bulged(out[i - 1], (random_below(r, 2) ? 0.15 : -0.15) * random_unit(r) - 0.01);
        }
        x = nx;
        y = ny;
    }
    return corners;
}

static inline int polygon(struct sg_segment *out, const double (*p)[2], int n)
{
    for (int i = 0; i < n; i++)
        out[i] = straight(p[i][0], p[i][1], p[(i + 1) % n][0], p[(i + 1) % n][1]);
    return n;
}

static inline int ring(struct sg_segment *out, double cx, double cy, double radius)
{
    *out = (struct sg_segment){
        .x0 = cx + radius, .y0 = cy, .x1 = cx + radius, .y1 = cy, .cx = cx, .cy = cy, .sweep = full_turn};
    return 1;
}

/* One of the shapes that shops cut: triangle, trapezoid, L, C, ring or disc, plate with a hole, or a star.
 * `size` mm. */
static inline int shape_any(struct random *r, struct sg_segment *out, double size, int corners)
{
    double l = floor(size * (0.4 + 0.6 * random_unit(r))), w = floor(size * (0.4 + 0.6 * random_unit(r)));
    double a = floor(l * (0.15 + 0.3 * random_unit(r))), b = floor(w * (0.15 + 0.3 * random_unit(r)));
    switch (random_below(r, 8)) {
    case 0:
        return polygon(out, (const double[][2]){{0, 0}, {l, 0}, {a, w}}, 3);
    case 1:
        return polygon(out, (const double[][2]){{0, 0}, {l, 0}, {l - a, w}, {a, w}}, 4);
    case 2:
        return polygon(out, (const double[][2]){{0, 0}, {l, 0}, {l, b}, {a, b}, {a, w}, {0, w}}, 6);
    case 3:
        return polygon(out,
                       (const double[][2]){
                           {0, 0}, {l, 0}, {l, b}, {a, b}, {a, w - b}, {l - a / 2, w - b}, {l, w}, {0, w}},
                       8);
    case 4:
        return ring(out, 0, 0, l / 2) + ring(out + 1, 0, 0, l / 2 * (0.3 + 0.5 * random_unit(r)));
    case 5:
        return ring(out, 0, 0, l / 2);
    case 6: {
        int n = polygon(out, (const double[][2]){{0, 0}, {l, 0}, {l, w}, {0, w}}, 4);
        return n +
               shape_star(r, out + n, l / 2, w / 2, fmin(l, w) * 0.2, fmin(l, w) * 0.4, 3 + corners / 2, 3);
    }
    default:
        return shape_star(r, out, 0, 0, size * 0.2, size * 0.5, corners, 2);
    }
}

#endif
