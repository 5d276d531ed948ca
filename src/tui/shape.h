/* An outline drawn in characters. */
#ifndef SANDGLASS_TUI_SHAPE_H
#define SANDGLASS_TUI_SHAPE_H

#include "sandglass/outline.h"
#include "tui/inside.h"

/* A line is drawn as - | / \ by its slope, + where several meet or it bends; with `fine` in Braille dots, two
 * by four in a cell. Where a contour is pierced stands its place in the cutting order: 1 to 9, A to Z, *
 * beyond; * too where several share a cell. */
struct sg_shape_how {
    bool turned, flipped; /* as of struct sg_placement */
    bool down;            /* y grows downwards: the mirror image */
    bool fine;
    bool pierces;
    double lead; /* mm from the line to the pierce; those of very long contours stand on the line */
    enum sg_role role;
    const char *fill;  /* one character for each cell inside; NULL: they stay as they are */
    const char *ink;   /* one character for all lines; NULL: by their slope */
    const char *label; /* put once into cells that are filled, where there is room for it and one more */
};

/* The cells that an outline takes where it is drawn as large as the area allows, true to scale: from the
 * area's upper left corner. */
struct sg_area sg_shape_cells(struct sg_area area, const struct sg_outline *outline,
                              const struct sg_shape_how *how);

/* Stretched over these cells, which may reach far beyond the area: cells outside the area are left alone. y
 * is up unless `down`. Returns how many cells are filled. The work is bounded whatever the outline: of very
 * long contours only every so many corners are joined, of very many contours the last are drawn. Where memory
 * is out nothing is drawn. */
int sg_shape_draw(struct sg_canvas *canvas, struct sg_area area, struct sg_area cells,
                  const struct sg_outline *outline, const struct sg_shape_how *how);

#endif
