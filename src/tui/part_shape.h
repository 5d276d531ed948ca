/* The outline of the part one stands on, in words and as a picture. */
#ifndef SANDGLASS_TUI_PART_SHAPE_H
#define SANDGLASS_TUI_PART_SHAPE_H

#include "tui/inside.h"

/* The outline that the part has with what is typed; NULL where one stands on no part, or on one without. */
const struct sg_drawn *sg_part_drawn(struct sg_ui *ui);

/* What it measures, of what the time of one cut is made, and the picture below or beside that, as large as
 * there is room for. Nothing where there is none. */
void sg_part_shape_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area);

#endif
