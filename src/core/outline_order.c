/* The order in which the contours of a part are cut, and the way between them. */
#include "sandglass/motion.h"
#include "sandglass/outline.h"
#include "sandglass/shop.h"
#include "sandglass/tour.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Contours in that order; what says which contour lies around another goes along. */
static bool permute(struct sg_outline *outline, const int32_t *order)
{
    size_t n = (size_t)outline->n_contours;
    struct sg_contour *old = malloc(n * sizeof *old);
    int32_t *place = malloc(n * sizeof *place);
    bool room = old && place;
    if (room)
        memcpy(old, outline->contours, n * sizeof *old);
    for (int32_t i = 0; room && i < outline->n_contours; i++)
        place[order[i]] = i;
    for (int32_t i = 0; room && i < outline->n_contours; i++) {
        struct sg_contour *c = &outline->contours[i];
        *c = old[order[i]];
        c->outside = c->outside == SG_UNKNOWN ? SG_UNKNOWN : place[c->outside];
    }
    free(old);
    free(place);
    return room;
}

bool sg_outline_arrange(struct sg_outline *outline, int32_t kicks)
{
    size_t n = (size_t)outline->n_contours;
    if (n == 0)
        return true;
    double *x = malloc(n * sizeof *x), *y = malloc(n * sizeof *y), length;
    int32_t *after = malloc(n * sizeof *after), *order = malloc(n * sizeof *order);
    bool room = x && y && after && order;
    for (int32_t i = 0; room && i < outline->n_contours; i++) {
        sg_outline_pierce(outline, i, 0, &x[i], &y[i]);
        after[i] = outline->contours[i].outside;
    }
    struct sg_tour_input input = {.x = x, .y = y, .n = outline->n_contours, .after = after, .kicks = kicks};
    if (room) { /* the head comes from the piece before: from the side where x is least */
        input.start_x = outline->box[0];
        input.start_y = outline->box[1];
        room = sg_tour(&input, order, &length) && permute(outline, order);
    }
    free(x);
    free(y);
    free(after);
    free(order);
    return room;
}

double sg_outline_rapid(const struct sg_outline *outline, double lead, double step, double speed,
                        double acceleration, double *length)
{
    double seconds = 0, x, y, to_x, to_y;
    *length = 0;
    for (int32_t i = 0; i < outline->n_contours; i++) {
        bool last = i + 1 == outline->n_contours;
        sg_outline_end(outline, i, lead, &x, &y);
        sg_outline_pierce(outline, last ? 0 : i + 1, lead, &to_x, &to_y);
        double way = hypot(to_x - x, to_y + (last ? step : 0) - y);
        *length += way;
        seconds += sg_motion_straight(way, speed, acceleration);
    }
    return seconds;
}
