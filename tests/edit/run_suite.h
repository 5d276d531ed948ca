#ifndef SANDGLASS_TESTS_EDIT_RUN_SUITE_H
#define SANDGLASS_TESTS_EDIT_RUN_SUITE_H

#include <check.h>

/* Run a suite; what a main returns. */
static inline int run(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}

#endif
