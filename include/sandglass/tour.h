/* Rapid order: the shortest open path over pierces, inner contours before the outer one around them. Nearest
 * neighbour, then 2-opt and Or-opt with neighbour lists, then a counted number of kicks: the same answer on
 * every machine. */
#ifndef SANDGLASS_TOUR_H
#define SANDGLASS_TOUR_H

#include <stdbool.h>
#include <stdint.h>

struct sg_tour_input {
    const double *x, *y; /* mm of the n points */
    int32_t n;
    const int32_t
        *after; /* point that must come later than i: the outer of an inner; -1 none; NULL: none at all */
    double start_x, start_y; /* where the head parks; NaN: the path may start anywhere */
    bool closed;             /* a round tour instead of an open path (checks against published tours) */
    int32_t kicks;           /* 0: one pass */
};

enum { SG_TOUR_SEARCHED = 10000 }; /* more points than that are taken as they come, inner ones first */

/* Up to 14 points the shortest order, else a short one. order gets n indexes; *length mm. False: no memory.
 */
bool sg_tour(const struct sg_tour_input *input, int32_t *order, double *length);

#endif
