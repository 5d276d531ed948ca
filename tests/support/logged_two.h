/* The logged shop with two parts on a sheet, of which B takes three minutes where A takes one. */
#ifndef SANDGLASS_TESTS_LOGGED_TWO_H
#define SANDGLASS_TESTS_LOGGED_TWO_H

#include "support/logged.h"

static inline void lay_two_parts(void)
{
    shop->stocks[0].sheet_length = 1330;
    struct sg_part *b = test_shop_part(&test, 4, 1800, 100, 100);
    b->id = "B";
    b->pierces = 0;
}

static inline struct sg_clock *start_two(double minutes, const char *lies)
{
    lay_two_parts();
    struct sg_clock *clock = start(minutes, "A/1");
    clock->pieces = 12;
    clock->planned_cut = 20 * 60; /* 8 of A, 4 of B */
    clock->planned_garnet = 6;
    clock->lies = lies;
    return clock;
}

static const char two[] = "8 50000000 A\n4 150000000 B\n";

#endif
