/* Paths for tests, drawn by hand. */
#ifndef SANDGLASS_TESTS_DRAWING_H
#define SANDGLASS_TESTS_DRAWING_H

#include "sandglass/outline.h"

#include <math.h>

enum { DRAWING_MOST = 20000 };

static const double pi = 3.14159265358979323846;

struct drawing {
    struct sg_segment segments[DRAWING_MOST];
    int64_t n;
};

static inline struct sg_segment line(double x0, double y0, double x1, double y1)
{
    return (struct sg_segment){x0, y0, x1, y1, 0, 0, 0, false};
}

/* Around (cx, cy) from the angle `from`, radians. */
static inline struct sg_segment arc(double cx, double cy, double r, double from, double sweep)
{
    return (struct sg_segment){cx + r * cos(from),
                               cy + r * sin(from),
                               cx + r * cos(from + sweep),
                               cy + r * sin(from + sweep),
                               cx,
                               cy,
                               sweep,
                               false};
}

/* A whole one begins and ends at the same point, to the bit. */
static inline struct sg_segment circle(double cx, double cy, double r, bool clockwise)
{
    return (struct sg_segment){cx + r, cy, cx + r, cy, cx, cy, clockwise ? -2 * pi : 2 * pi, false};
}

static inline void draw(struct drawing *drawing, struct sg_segment segment)
{
    if (drawing->n < DRAWING_MOST)
        drawing->segments[drawing->n++] = segment;
}

/* From corner to corner, counter-clockwise from the lower left. */
static inline void draw_box(struct drawing *drawing, double x, double y, double w, double h)
{
    draw(drawing, line(x, y, x + w, y));
    draw(drawing, line(x + w, y, x + w, y + h));
    draw(drawing, line(x + w, y + h, x, y + h));
    draw(drawing, line(x, y + h, x, y));
}

/* n chords of an arc. */
static inline void draw_chords(struct drawing *drawing, double cx, double cy, double r, double from,
                               double sweep, int n)
{
    for (int i = 0; i < n; i++) {
        double a = from + sweep * i / n, b = from + sweep * (i + 1) / n;
        draw(drawing, line(cx + r * cos(a), cy + r * sin(a), cx + r * cos(b), cy + r * sin(b)));
    }
}

static inline struct sg_path path_of(struct drawing *drawing)
{
    return (struct sg_path){drawing->segments, drawing->n};
}

#endif
