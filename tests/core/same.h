/* A figure against a second evaluation in long double. */
#ifndef SANDGLASS_TESTS_CORE_SAME_H
#define SANDGLASS_TESTS_CORE_SAME_H

#include "support/must.h"

#include <math.h>

/* The second evaluation is wider on purpose. */
#pragma GCC diagnostic ignored "-Wdouble-promotion"

#define UNKNOWN ((double)NAN)

#define same(value, expected) same_at(__LINE__, value, expected)
static void same_at(int line, double value, long double expected)
{
    must(fabsl(value - expected) <= 1e-12L * fabsl(expected), "line %d: %.17g, expected %.17Lg", line, value,
         expected);
}

#endif
