/* Where the hours of a shift go, and what it needs people for: parts of a screen, drawn from the plan alone.
 */
#ifndef SANDGLASS_TUI_HOURS_H
#define SANDGLASS_TUI_HOURS_H

#include "tui/inside.h"

/* Cutting, piercing, rapid, hands on and waiting, a row and a bar each below a heading: 6 rows. The parts as
 * shown add up to the total as shown. With fewer rows all of it stands in one. */
void sg_hours_draw(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look);

/* Everything that needs a person, in order, in as many columns as fit below a heading; what has no room is
 * counted in the last row: what waits, then refills, changes and loads are the last to leave. */
void sg_people_draw(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look);

/* Whether the machine stands, ready for somebody who is not there yet. */
bool sg_event_waits(const struct sg_event *event);

/* What there is where the run stops: "no bags". */
const char *sg_bags_wanting(const struct sg_look *look);

/* An event in a few words: "load 2602 2/3", "refill 3 bags". */
void sg_event_told(const struct sg_look *look, const struct sg_event *event, char *out, size_t size);

#endif
