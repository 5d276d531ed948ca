/* A figure worked out by hand, to within the rounding of doubles. */
#ifndef SANDGLASS_TESTS_EXPECT_H
#define SANDGLASS_TESTS_EXPECT_H

#include "support/must.h"

#include <math.h>

#define expect(value, expected) expect_at(__LINE__, value, expected)
static inline void expect_at(int line, double value, double expected)
{
    must(fabs(value - expected) <= 1e-9 * fmax(1, fabs(expected)), "line %d: %.15g, expected %.15g", line,
         value, expected);
}

#endif
