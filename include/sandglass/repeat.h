/* A job again, with what it really took: the clocked cuts of its stocks say how fast they will be next time.
 */
#ifndef SANDGLASS_REPEAT_H
#define SANDGLASS_REPEAT_H

#include "sandglass/actual.h"

/* What the clocks of a stock say. */
struct sg_took {
    int32_t clocks;       /* cuts that are over and were planned; 0: nothing is known */
    double planned, took; /* s of them, pauses left out; planned for the pieces that were cut, then */
    double planned_now;   /* the same by the shop's present numbers: what the change is reckoned from */
    double before, after; /* its feed_override, or of a stock with a typed feed that feed, mm/min */
    bool feed;            /* before and after are a feed */
    bool held; /* what it took leaves no time to cut, or asks for more than a field holds: as it was */
    double load, first_check; /* s of one, as clocked; NaN: not clocked */
};

/* Make a stock, and its parts' scrap and typed feeds, those that would have been planned right: cutting so
 * much faster or slower that the clocked cuts come out as they took (pierces as the shop plans them now,
 * rapids as planned then), loads and first checks as clocked (their mean), scrap as it was. It is faster or
 * slower than the shop's present numbers would plan it, so that a number that was fitted to the same clocks
 * meanwhile is not counted twice. `stock` and `parts` are copies of the shop's row `index` and of its parts.
 * Pure; basis: shop. */
void sg_took_stock(const struct sg_shop *shop, const struct sg_actual *actual, int32_t index,
                   struct sg_stock *stock, struct sg_part *parts, struct sg_took *out);

/* "2:42:00 of 2:30:00 planned (x 1.08) in 3 clocked cuts: feed_override 100% -> 92.3%", where the plan would
 * be another now "2:42:00 of 2:30:00 planned then (x 1.08), 2:40:10 now, in ...". As snprintf returns. */
int sg_took_text(const struct sg_shop *shop, const struct sg_took *took, char *out, size_t size);

#endif
