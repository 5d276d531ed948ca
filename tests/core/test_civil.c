/* Dates and times of day, against a counter that knows nothing but the lengths of the months. */
#include "sandglass/civil.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static const int month_days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

static bool leap_year(int year)
{
    return year % 400 == 0 || (year % 4 == 0 && year % 100 != 0);
}

START_TEST(every_day_from_1970_to_2400_goes_both_ways)
{
    int32_t count = 0;
    for (int year = 1970; year <= 2400; year++)
        for (int month = 1; month <= 12; month++) {
            int length = month_days[month - 1] + (month == 2 && leap_year(year) ? 1 : 0);
            for (int day = 1; day <= length; day++, count++) {
                int y, m, d;
                char text[16];
                int32_t read = -1;
                ck_assert(sg_date_exists(year, month, day));
                ck_assert_int_eq(sg_date_days(year, month, day), count);
                sg_date_split(count, &y, &m, &d);
                ck_assert(y == year && m == month && d == day);
                ck_assert_int_eq(sg_date_format(count, text, sizeof text), 10);
                ck_assert(sg_date_parse(text, &read) && read == count);
            }
            ck_assert(!sg_date_exists(year, month, length + 1));
        }
    /* 431 years, and of the 108 multiples of 4 among them 2100, 2200 and 2300 have no leap day. */
    ck_assert_int_eq(count, 431 * 365 + 105);
}
END_TEST

START_TEST(the_calendar_ends_with_the_year_9999)
{
    int year, month, day;
    int32_t days = 7;
    int64_t moment = 7;
    char text[24];
    ck_assert(sg_date_parse("9999-12-31", &days));
    ck_assert_int_eq(days, 2932896); /* 8030 years: 8030 x 365 + 1947 - 1 */
    ck_assert_int_eq(sg_date_days(9999, 12, 32), SG_NO_DATE);
    ck_assert(!sg_moment_parse("9999-12-31 24:00", &moment) && moment == 7);
    sg_date_split(INT32_MAX, &year, &month, &day);
    ck_assert(year == 9999 && month == 12 && day == 31);
    sg_date_split(SG_NO_DATE, &year, &month, &day);
    ck_assert(year == 1970 && month == 1 && day == 1);
    sg_date_format(SG_NO_DATE, text, sizeof text);
    ck_assert_str_eq(text, "-");
    sg_date_format(2932897, text, sizeof text);
    ck_assert_str_eq(text, "-");
    sg_moment_format(SG_NO_MOMENT, text, sizeof text);
    ck_assert_str_eq(text, "-");
    sg_moment_format(INT64_MAX, text, sizeof text);
    ck_assert_str_eq(text, "-");
}
END_TEST

START_TEST(what_is_not_a_date_is_refused)
{
    static const char *const wrong[] = {
        "",
        " ",
        "2026",
        "2026-12",
        "2026-13-01",
        "2026-00-10",
        "2026-01-00",
        "2026-01-32",
        "2026-02-29",
        "2100-02-29",
        "2026-04-31",
        "1969-12-31",
        "26-12-01",
        "2026-1-1",
        "2026-12-1",
        "2026/12/01",
        "01.12.2026",
        "12/01/2026",
        "2026-12-01x",
        "2026-12-01 1",
        "-2026-12-01",
        "2026-12-011",
        "10000-01-01",
        "today",
        "2026 -12-01",
    };
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        int32_t days = 12345;
        ck_assert_msg(!sg_date_parse(wrong[i], &days), "%s", wrong[i]);
        ck_assert_int_eq(days, 12345);
    }
    int32_t days;
    ck_assert(sg_date_parse(" 2024-02-29\t", &days));
    ck_assert_int_eq(days, sg_date_days(2024, 3, 1) - 1);
    ck_assert(sg_date_parse("2000-02-29", &days));
}
END_TEST

START_TEST(every_second_of_a_day_goes_both_ways)
{
    for (int32_t second = 0; second < SG_DAY_S; second++) {
        char text[16];
        int32_t read = -1;
        int length = sg_time_format(second, text, sizeof text);
        ck_assert_int_eq(length, second % 60 ? 8 : 5);
        ck_assert(sg_time_parse(text, &read) && read == second);
    }
}
END_TEST

START_TEST(times_of_day_have_hours_to_24_and_two_digits_behind_a_colon)
{
    static const struct {
        const char *text;
        int32_t seconds; /* -1: refused */
    } times[] = {
        {"06:00", 21600},
        {"6:00", 21600},
        {" 06:00:30 ", 21630},
        {"24:00", 86400},
        {"24:00:00", 86400},
        {"00:00", 0},
        {"23:59:59", 86399},
        {"24:00:01", -1},
        {"24:01", -1},
        {"25:00", -1},
        {"6", -1},
        {"6:0", -1},
        {"6:60", -1},
        {"06:00:60", -1},
        {"06:00:", -1},
        {"06:00:3", -1},
        {"006:00", -1},
        {"6:000", -1},
        {":30", -1},
        {"-6:00", -1},
        {"6:00am", -1},
        {"6 :00", -1},
        {"", -1},
    };
    for (size_t i = 0; i < sizeof times / sizeof *times; i++) {
        int32_t seconds = -1;
        ck_assert_msg(sg_time_parse(times[i].text, &seconds) == (times[i].seconds >= 0), "%s", times[i].text);
        ck_assert_int_eq(seconds, times[i].seconds);
    }
    char text[16];
    sg_time_format(90000, text, sizeof text);
    ck_assert_str_eq(text, "01:00");
    sg_time_format(-60, text, sizeof text);
    ck_assert_str_eq(text, "23:59");
}
END_TEST

START_TEST(a_moment_is_a_date_or_a_date_and_a_time)
{
    static const struct {
        const char *text;
        int64_t seconds; /* -1: refused */
        const char *written;
    } moments[] = {
        {"1970-01-02", 2 * 86400 - 1, "1970-01-02"},
        {"1970-01-02 00:00", 86400, "1970-01-02 00:00"},
        {"1970-01-02T06:00", 86400 + 21600, "1970-01-02 06:00"},
        {" 1970-01-02  6:00:05 ", 86400 + 21605, "1970-01-02 06:00:05"},
        {"1970-01-02 24:00", 2 * 86400, "1970-01-03 00:00"},
        {"1970-01-02 23:59:59", 2 * 86400 - 1, "1970-01-02"},
        {"1970-01-0206:00", -1, NULL},
        {"1970-01-02 T06:00", -1, NULL},
        {"1970-01-02T", -1, NULL},
        {"1970-01-02T 06:00", -1, NULL},
        {"1970-01-02 06:00Z", -1, NULL},
        {"06:00", -1, NULL},
        {"", -1, NULL},
    };
    for (size_t i = 0; i < sizeof moments / sizeof *moments; i++) {
        int64_t seconds = -1;
        char text[32];
        bool read = sg_moment_parse(moments[i].text, &seconds);
        ck_assert_msg(read == (moments[i].seconds >= 0), "%s", moments[i].text);
        ck_assert_int_eq(seconds, moments[i].seconds);
        if (read) {
            sg_moment_format(seconds, text, sizeof text);
            ck_assert_str_eq(text, moments[i].written);
        }
    }
}
END_TEST

START_TEST(spans_are_read_and_written_alike)
{
    static const struct {
        const char *text;
        int count;
        struct sg_span spans[3];
        const char *written;
    } lists[] = {
        {"none", 0, {{0, 0}}, "none"},
        {" none ", 0, {{0, 0}}, "none"},
        {"09:30-09:45,12:00-12:30", 2, {{34200, 35100}, {43200, 45000}}, "09:30-09:45,12:00-12:30"},
        {" 9:30 - 9:45 , 12:00-12:30:30 ", 2, {{34200, 35100}, {43200, 45030}}, "09:30-09:45,12:00-12:30:30"},
        {"23:50-00:10", 1, {{85800, 87000}}, "23:50-00:10"},
        {"22:00-00:00", 1, {{79200, 86400}}, "22:00-24:00"},
        {"00:00-24:00", 1, {{0, 86400}}, "00:00-24:00"},
    };
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        struct sg_span spans[3] = {{-1, -1}};
        char text[64];
        ck_assert_int_eq(sg_spans_parse(lists[i].text, spans, 3), lists[i].count);
        for (int n = 0; n < lists[i].count; n++)
            ck_assert(spans[n].from_s == lists[i].spans[n].from_s && spans[n].to_s == lists[i].spans[n].to_s);
        sg_spans_format(spans, lists[i].count, text, sizeof text);
        ck_assert_str_eq(text, lists[i].written);
        ck_assert_int_eq(sg_spans_parse(text, spans, 3), lists[i].count);
    }
}
END_TEST

START_TEST(what_is_not_a_list_of_spans_is_refused_and_leaves_the_array)
{
    static const char *const wrong[] = {
        "",
        "09:30",
        "09:30-",
        "09:30-09:30",
        "09:30-09:45,",
        ",",
        "09:30-25:00",
        "24:00-00:30",
        "09:30-09:45 12:00-12:30",
        "09:30-09:45,none",
        "none,",
        "nonesuch",
        "09:30-09:45;x",
        "1:00-2:00,3:00-4:00,5:00-6:00",
    };
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        struct sg_span spans[2] = {{-1, -2}, {-3, -4}};
        ck_assert_msg(sg_spans_parse(wrong[i], spans, 2) == -1, "%s", wrong[i]);
        ck_assert(spans[0].from_s == -1 && spans[0].to_s == -2 && spans[1].from_s == -3 &&
                  spans[1].to_s == -4);
    }
}
END_TEST

START_TEST(dates_are_read_and_written_alike)
{
    int32_t days[3] = {-1, -1, -1};
    char text[64];
    ck_assert_int_eq(sg_dates_parse("none", days, 3), 0);
    ck_assert_int_eq(sg_dates_parse("2026-12-24, 2026-12-25", days, 3), 2);
    ck_assert_int_eq(days[1] - days[0], 1);
    ck_assert_int_eq(sg_dates_format(days, 2, text, sizeof text), 21);
    ck_assert_str_eq(text, "2026-12-24,2026-12-25");
    ck_assert_int_eq(sg_dates_format(days, 0, text, sizeof text), 4);
    ck_assert_str_eq(text, "none");
    days[0] = 7;
    ck_assert_int_eq(sg_dates_parse("2026-12-24,2026-12-32", days, 3), -1);
    ck_assert_int_eq(sg_dates_parse("2026-12-24,2026-12-25", days, 1), -1);
    ck_assert_int_eq(sg_dates_parse("", days, 3), -1);
    ck_assert_int_eq(days[0], 7);
}
END_TEST

START_TEST(a_text_that_does_not_fit_is_cut_and_its_length_told)
{
    char text[8] = "#######";
    ck_assert_int_eq(sg_date_format(0, text, 5), 10);
    ck_assert_str_eq(text, "1970");
    ck_assert_int_eq(text[5], '#');
    ck_assert_int_eq(sg_moment_format(0, NULL, 0), 16);
    struct sg_span spans[] = {{0, 60}, {120, 180}};
    ck_assert_int_eq(sg_spans_format(spans, 2, text, sizeof text), 23);
    ck_assert_str_eq(text, "00:00-0");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("civil");
    TCase *dates = tcase_create("dates");
    tcase_add_test(dates, every_day_from_1970_to_2400_goes_both_ways);
    tcase_add_test(dates, the_calendar_ends_with_the_year_9999);
    tcase_add_test(dates, what_is_not_a_date_is_refused);
    tcase_add_test(dates, dates_are_read_and_written_alike);
    suite_add_tcase(suite, dates);
    TCase *times = tcase_create("times");
    tcase_add_test(times, every_second_of_a_day_goes_both_ways);
    tcase_add_test(times, times_of_day_have_hours_to_24_and_two_digits_behind_a_colon);
    tcase_add_test(times, a_moment_is_a_date_or_a_date_and_a_time);
    tcase_add_test(times, spans_are_read_and_written_alike);
    tcase_add_test(times, what_is_not_a_list_of_spans_is_refused_and_leaves_the_array);
    tcase_add_test(times, a_text_that_does_not_fit_is_cut_and_its_length_told);
    suite_add_tcase(suite, times);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
