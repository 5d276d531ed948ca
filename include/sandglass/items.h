/* Short lists of sizes and of places on a sheet, as they are typed: "24 x 16 x 2; 30 x 20" are two sheets of
 * one size and one of another, "4 x 2 at 0 x 10" is a place that is kept free. Lengths may carry units. */
#ifndef SANDGLASS_ITEMS_H
#define SANDGLASS_ITEMS_H

#include "sandglass/number.h"

#include <stdint.h>

enum { SG_MAX_ITEMS = 8 };

struct sg_items {
    int64_t n;
    double at[SG_MAX_ITEMS][4]; /* mm: length, width, and x, y of a place; or how many of a size, then 0 */
};

/* Read a list of sizes, or of places; bare is the unit of a length without one. Lengths are above 0 and up to
 * 100 m, places from 0 on, counts 1 to 100000. `why` (of `size` bytes) says what is unfinished or wrong. */
enum sg_parse_state sg_items_parse(const char *text, bool places, const struct sg_unit *bare,
                                   struct sg_items *out, char *why, size_t size);

/* Write it so that it reads back: in a unit with so many decimals at most, or with decimals -1 exactly. As
 * snprintf returns. */
int sg_items_format(const struct sg_items *items, bool places, const struct sg_unit *unit, int decimals,
                    char *out, size_t size);

/* Whether all of it is possible. */
bool sg_items_in_range(const struct sg_items *items, bool places);

#endif
