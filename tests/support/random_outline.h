/* Outlines drawn at random: an outer contour of straight lines or with rounded corners, round and square
 * holes in it, some with a piece left standing inside, and now and then an open cut beside it. */
#ifndef SANDGLASS_TESTS_RANDOM_OUTLINE_H
#define SANDGLASS_TESTS_RANDOM_OUTLINE_H

#include "support/drawing.h"
#include "support/random.h"

#include <check.h>

static inline double within(struct random *r, double low, double high)
{
    return low + (high - low) * random_unit(r);
}

/* Corners around the middle, none nearer to it than 30. */
static inline void draw_star(struct random *r, struct drawing *drawing, double scale)
{
    enum { MOST = 12 };
    int n = 4 + (int)random_below(r, MOST - 3);
    double x[MOST + 1], y[MOST + 1];
    for (int i = 0; i < n; i++) {
        double far = scale * within(r, 45, 80), angle = 2 * pi * (i + 0.3 * random_unit(r)) / n;
        x[i] = far * cos(angle);
        y[i] = far * sin(angle);
    }
    x[n] = x[0];
    y[n] = y[0];
    for (int i = 0; i < n; i++)
        draw(drawing, line(x[i], y[i], x[i + 1], y[i + 1]));
}

static inline void draw_rounded(struct random *r, struct drawing *drawing, double scale)
{
    double w = scale * within(r, 40, 90), h = scale * within(r, 40, 90), c = scale * within(r, 0.5, 9);
    draw(drawing, line(-w + c, -h, w - c, -h));
    draw(drawing, arc(w - c, -h + c, c, -pi / 2, pi / 2));
    draw(drawing, line(w, -h + c, w, h - c));
    draw(drawing, arc(w - c, h - c, c, 0, pi / 2));
    draw(drawing, line(w - c, h, -w + c, h));
    draw(drawing, arc(-w + c, h - c, c, pi / 2, pi / 2));
    draw(drawing, line(-w, h - c, -w, -h + c));
    draw(drawing, arc(-w + c, -h + c, c, pi, pi / 2));
}

static inline void draw_hole(struct random *r, struct drawing *drawing, double x, double y, double most)
{
    double size = most * within(r, 0.2, 1);
    if (random_below(r, 3) > 0)
        draw(drawing, circle(x, y, size, random_below(r, 2)));
    else
        draw_box(drawing, x - size, y - size, 2 * size, 2 * size);
    if (random_below(r, 4) == 0) /* a piece inside */
        draw(drawing, circle(x, y, size / 2, false));
}

static inline void draw_at_random(struct random *r, struct drawing *drawing)
{
    double scale = within(r, 0.3, 6);
    drawing->n = 0;
    if (random_below(r, 2))
        draw_star(r, drawing, scale);
    else
        draw_rounded(r, drawing, scale);
    for (int place = 0; place < 9; place++)
        if (random_below(r, 2))
            draw_hole(r, drawing, scale * 8 * (place % 3 - 1), scale * 8 * (place / 3 - 1), scale * 3);
    for (int n = random_below(r, 3) ? 0 : 2; n > 0; n--)
        draw(drawing, line(scale * (100 + n), 0, scale * (110 + n), scale * 5));
}

static inline void outline_of(struct drawing *drawing, struct sg_outline *out)
{
    struct sg_path path = path_of(drawing);
    struct sg_outline_how how = {.tolerance = 1e-4, .fit_arcs = true};
    struct sg_error why = {.text = ""};
    ck_assert_msg(sg_outline_make(&path, &how, out, &why) == SG_OK, "%s", why.text);
}

/* Free with sg_outline_free. */
static inline void random_outline(struct random *r, struct sg_outline *out)
{
    static struct drawing drawing;
    draw_at_random(r, &drawing);
    outline_of(&drawing, out);
}

#endif
