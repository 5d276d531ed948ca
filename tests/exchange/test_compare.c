/* What changes between two plans, as it is shown. */
#include "exchange/render.h"
#include "sandglass/compare.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sg_compare_row row_of(enum sg_compare_shape shape)
{
    return (struct sg_compare_row){.name = "x", .title = "x", .shape = shape, .dimension = SG_DIM_MASS};
}

static const char *shown(enum sg_compare_shape shape, double change)
{
    static char out[SG_COMPARE_CELL];
    static struct sg_shop shop;
    shop.units = SG_UNITS_METRIC;
    struct sg_compare_row row = row_of(shape);
    sg_compare_show_change(&row, &shop, change, out);
    return out;
}

/* Half of a shown unit: a second of a time, 0.1 kg of a mass, one of a count. */
START_TEST(a_change_too_small_to_show_is_none)
{
    static const struct {
        enum sg_compare_shape shape;
        double unit;
        const char *one;
    } shapes[] = {{SG_COMPARE_MOMENT, 1, "0:00:01"},
                  {SG_COMPARE_DURATION, 1, "0:00:01"},
                  {SG_COMPARE_NUMBER, 0.1, "0.1"},
                  {SG_COMPARE_COUNT, 1, "1"}};
    char one[40];
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++)
        for (int sign = -1; sign <= 1; sign += 2) {
            double unit = sign * shapes[i].unit;
            ck_assert_str_eq(shown(shapes[i].shape, 0.4 * unit), "");
            ck_assert_str_eq(shown(shapes[i].shape, 1e-9 * unit), "");
            snprintf(one, sizeof one, "%c%s", sign < 0 ? '-' : '+', shapes[i].one);
            ck_assert_str_eq(shown(shapes[i].shape, 0.6 * unit), one);
            ck_assert_str_eq(shown(shapes[i].shape, unit), one);
        }
    ck_assert_str_eq(shown(SG_COMPARE_NUMBER, 0), "");
    ck_assert_str_eq(shown(SG_COMPARE_NUMBER, (double)NAN), "");
    ck_assert_str_eq(shown(SG_COMPARE_DURATION, -1160), "-0:19:20");
    ck_assert_str_eq(shown(SG_COMPARE_NUMBER, 20), "+20.0"); /* a zero at its end is no zero */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("compare");
    TCase *tcase = tcase_create("compare");
    tcase_add_test(tcase, a_change_too_small_to_show_is_none);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
