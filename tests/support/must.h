/* Assertions for inner loops: Check writes a mark for each of its own, which costs more than what is tested.
 */
#ifndef SANDGLASS_TESTS_MUST_H
#define SANDGLASS_TESTS_MUST_H

#include <check.h>

#define must(condition, ...)                                                                                 \
    do {                                                                                                     \
        if (!(condition))                                                                                    \
            ck_abort_msg(__VA_ARGS__);                                                                       \
    } while (0)

#define must_hold(condition) must(condition, "line %d: not %s", __LINE__, #condition)

#endif
