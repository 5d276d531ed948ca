/* Local times against a walk through a whole year, half an hour at a time, that writes down when the clock on
 * the wall first shows each time. */
#include "edit/desk.h"

#include <check.h>
#include <stdlib.h>

enum { STEP_S = 1800, SLOTS = 366 * 48 };

static void live_in(const char *zone)
{
    ck_assert_int_eq(setenv("TZ", zone, 1), 0);
    tzset();
}

static int64_t wall_at(time_t epoch)
{
    struct tm local;
    ck_assert_ptr_nonnull(localtime_r(&epoch, &local));
    return (int64_t)sg_date_days(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday) * SG_DAY_S +
           local.tm_hour * 3600 + local.tm_min * 60 + local.tm_sec;
}

static const char *const zones[] = {
    "UTC",
    "Europe/Berlin",
    "America/New_York",
    "America/St_Johns",
    "Asia/Kolkata",
    "Australia/Lord_Howe", /* changes by half an hour */
    "Europe/Dublin",
    "CET-1CEST,M3.5.0,M10.5.0/3",
    "EST5EDT,M3.2.0,M11.1.0",
    "AEST-10AEDT,M10.1.0,M4.1.0/3",
};
enum { ZONES = sizeof zones / sizeof *zones };

/* A time that is left out is the moment at which the clock jumps over it, so that no time is before an
 * earlier one. */
START_TEST(every_half_hour_of_a_year)
{
    static time_t first[SLOTS];
    live_in(zones[_i]);
    const int64_t start = (int64_t)sg_date_days(2026, 1, 2) * SG_DAY_S;
    const time_t from = (time_t)start - 2 * SG_DAY_S;
    for (int i = 0; i < SLOTS; i++)
        first[i] = -1;
    for (time_t at = from; at < from + (time_t)(SLOTS + 192) * STEP_S; at += STEP_S) {
        int64_t slot = (wall_at(at) - start) / STEP_S;
        if (slot >= 0 && slot < SLOTS && first[slot] < 0)
            first[slot] = at;
    }
    int left_out = 0;
    double before = 0;
    for (int i = 0; i < SLOTS - 48; i++) {
        int shown = i;
        while (first[shown] < 0)
            shown++;
        left_out += shown > i;
        double epoch = sg_moment_epoch(start + (int64_t)i * STEP_S);
        ck_assert_msg(epoch == (double)first[shown], "%s: slot %d is %.0f, first shown at %lld", zones[_i], i,
                      epoch, (long long)first[shown]);
        ck_assert(epoch >= before);
        before = epoch;
    }
    bool changes = _i != 0 && _i != 4;
    ck_assert_int_eq(left_out, !changes ? 0 : _i == 5 ? 1 : 2); /* an hour, at Lord Howe half of one */
}
END_TEST

static struct sg_shift night(int month, int day)
{
    struct sg_shift shift = sg_fresh_shift;
    shift.date = sg_date_days(2026, month, day);
    shift.start = 22 * 3600;
    shift.end = 6 * 3600;
    return shift;
}

static void add_break(struct sg_shift *shift, int from_minute, int to_minute)
{
    shift->breaks[shift->n_breaks++] = (struct sg_span){from_minute * 60, to_minute * 60};
}

/* Nights of the changes: Berlin 2026-03-29 and 2026-10-25, from the zone's rule (last Sundays, from memory).
 */
START_TEST(a_night_has_seven_eight_or_nine_hours)
{
    static const struct {
        int month, day, hours;
    } nights[] = {{3, 28, 7}, {10, 24, 9}, {6, 1, 8}, {12, 31, 8}};
    live_in("Europe/Berlin");
    for (int i = 0; i < 4; i++) {
        struct sg_shift shift = night(nights[i].month, nights[i].day);
        sg_calendar_fill(&shift);
        ck_assert(shift.calendar.close_s == nights[i].hours * 3600.0);
        ck_assert(wall_at((time_t)shift.calendar.epoch) == (int64_t)shift.date * SG_DAY_S + 22 * 3600);
    }
}
END_TEST

START_TEST(breaks_are_seconds_after_the_start)
{
    live_in("Europe/Berlin");
    struct sg_shift shift = night(6, 1);
    add_break(&shift, 23 * 60 + 30, 24 * 60 + 15); /* over midnight */
    add_break(&shift, 2 * 60, 2 * 60 + 30);
    sg_calendar_fill(&shift);
    ck_assert_int_eq(shift.calendar.n_breaks, 2);
    ck_assert(shift.calendar.breaks[0].from_s == 5400 && shift.calendar.breaks[0].to_s == 8100);
    ck_assert(shift.calendar.breaks[1].from_s == 14400 && shift.calendar.breaks[1].to_s == 16200);
}
END_TEST

/* From 02:00 to 03:00 there is no time in the night of the change: 4 h after 22:00. */
START_TEST(a_break_that_is_left_out_is_none)
{
    live_in("Europe/Berlin");
    struct sg_shift shift = night(3, 28);
    add_break(&shift, 60 + 30, 2 * 60 + 30);     /* 01:30 to the jump */
    add_break(&shift, 2 * 60 + 35, 2 * 60 + 50); /* not there */
    add_break(&shift, 2 * 60 + 55, 3 * 60 + 10); /* from the jump, 10 min */
    sg_calendar_fill(&shift);
    ck_assert_int_eq(shift.calendar.n_breaks, 2);
    ck_assert(shift.calendar.breaks[0].from_s == 12600 && shift.calendar.breaks[0].to_s == 14400);
    ck_assert(shift.calendar.breaks[1].from_s == 14400 && shift.calendar.breaks[1].to_s == 15000);
    shift = night(3, 27); /* the night before has them all */
    add_break(&shift, 60 + 30, 2 * 60 + 30);
    add_break(&shift, 2 * 60 + 35, 2 * 60 + 50);
    sg_calendar_fill(&shift);
    ck_assert_int_eq(shift.calendar.n_breaks, 2);
}
END_TEST

/* The clock shows 02:00 to 03:00 twice; the first is meant, so a break over the turn is an hour longer. */
START_TEST(a_break_over_the_turn_is_an_hour_longer)
{
    live_in("Europe/Berlin");
    struct sg_shift shift = night(10, 24);
    add_break(&shift, 2 * 60 + 30, 3 * 60 + 30);
    sg_calendar_fill(&shift);
    ck_assert(shift.calendar.breaks[0].from_s == 16200);
    ck_assert(shift.calendar.breaks[0].to_s - shift.calendar.breaks[0].from_s == 7200);
}
END_TEST

START_TEST(what_is_no_moment_stays_unknown)
{
    live_in("UTC");
    ck_assert(!sg_known(sg_moment_epoch(SG_NO_MOMENT)));
    ck_assert(sg_moment_epoch(86400 + 61) == 86461);
    struct sg_shift shift = sg_fresh_shift; /* without a date it is the first of 1970 */
    sg_calendar_fill(&shift);
    ck_assert(shift.calendar.epoch == 6 * 3600 && shift.calendar.close_s == 8 * 3600);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("calendar");
    TCase *tcase = tcase_create("calendar");
    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, every_half_hour_of_a_year, 0, ZONES);
    tcase_add_test(tcase, a_night_has_seven_eight_or_nine_hours);
    tcase_add_test(tcase, breaks_are_seconds_after_the_start);
    tcase_add_test(tcase, a_break_that_is_left_out_is_none);
    tcase_add_test(tcase, a_break_over_the_turn_is_an_hour_longer);
    tcase_add_test(tcase, what_is_no_moment_stays_unknown);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
