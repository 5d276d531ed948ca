/* A suite of one case, which is what most test programs are. */
#ifndef SANDGLASS_TESTS_SUITE_H
#define SANDGLASS_TESTS_SUITE_H

#include <check.h>
#include <stdlib.h>

/* Run it and free it; what main returns. */
static inline int run_case(const char *name, TCase *tests)
{
    Suite *suite = suite_create(name);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

#endif
