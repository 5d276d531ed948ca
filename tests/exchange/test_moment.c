/* Times as they are shown: cut to the minute, and what is reckoned from two of them agrees with that. */
#include "exchange/render.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>

static double at(int hour, int minute, double second)
{
    return 1796083200.0 + hour * 3600 + minute * 60 + second; /* 2026-12-01 00:00 UTC, by `date -d` */
}

static const struct {
    int hour, minute;
    double second;
    const char *clock, *over; /* past 14:30 */
} ends[] = {
    {15, 10, 0, "15:10", "0:40"},
    {15, 10, 6, "15:10", "0:40"}, /* not 0:41, which nobody reckons from 14:30 and 15:10 */
    {15, 10, 59.9, "15:10", "0:40"},
    {15, 10, 59.9999999, "15:11", "0:41"},
    {14, 30, 1, "14:30", "under 1 min"},
    {14, 30, 59, "14:30", "under 1 min"},
    {14, 31, 0, "14:31", "0:01"},
    {26, 30, 30, "02:30", "12:00"},
};

START_TEST(over_is_the_difference_of_the_clock_times_shown)
{
    char clock[16], over[32];
    double end = at(ends[_i].hour, ends[_i].minute, ends[_i].second);
    sg_clock_format(end, clock, sizeof clock);
    sg_over_format(at(14, 30, 0), end, over, sizeof over);
    ck_assert_str_eq(clock, ends[_i].clock);
    ck_assert_str_eq(over, ends[_i].over);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("moment");
    TCase *c = tcase_create("moment");
    tcase_add_loop_test(c, over_is_the_difference_of_the_clock_times_shown, 0, sizeof ends / sizeof *ends);
    suite_add_tcase(suite, c);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
