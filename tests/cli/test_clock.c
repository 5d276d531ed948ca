/* Local time: shifts over midnight and over both clock changes, by the time zone of TZ. Dates of the changes,
 * by the rules of the zones (from memory: last Sundays of March and October in Europe; second Sunday of
 * March, first of November in America): Berlin 2026-03-29 and 2026-10-25, New York 2026-03-08 and 2026-11-01.
 */
#include "cli/json.h"
#include "cli/run.h"

static struct ran plan_in(const char *zone)
{
    char variable[80];
    snprintf(variable, sizeof variable, "TZ=%s", zone);
    const struct run_how how = {.environment = {variable}};
    struct ran ran = run_how(&how, "plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    return ran;
}

/* A night shift with work for about 6 h 40 min from its start: load 300 s, ten pieces of 2,400 s. */
static void make_night(const char *date)
{
    make_shop();
    ck_done("set", "-f", "shop.db", "shift:A", date, "start=22:00", "end=06:00");
    ck_done("set", "-f", "shop.db", "machine:main", "z_lift=0");
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "feed=60", "load=5",
            "first_check=0", "sheet_length=2000", "sheet_width=1000");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=10", "cut_length=2400", "pierces=0",
            "length=100", "width=100");
}

START_TEST(a_night_shift_ends_the_next_day)
{
    make_night("date=2026-12-31");
    struct ran ran = plan_in("UTC");
    ck_assert_str_eq(json_text(ran.out, "$.shift.starts_at"), "2026-12-31T22:00:00.000+00:00");
    ck_assert_str_eq(json_text(ran.out, "$.shift.closes_at"), "2027-01-01T06:00:00.000+00:00");
    ck_assert_str_eq(json_text(ran.out, "$.answers.ends_at"), "2027-01-01T04:45:00.000+00:00");
    done(&ran);
    ck_done("set", "-f", "shop.db", "shift:A", "breaks=23:30-00:15,02:00-02:30");
    ran = plan_in("UTC");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].from"), "2026-12-31T23:30:00.000+00:00");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].to"), "2027-01-01T00:15:00.000+00:00");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[1].from"), "2027-01-01T02:00:00.000+00:00");
    done(&ran);
}
END_TEST

static const struct {
    const char *zone, *date, *starts, *closes, *ends;
    double hours;
} changes[] = {
    {"Europe/Berlin", "date=2026-03-28", "2026-03-28T22:00:00.000+01:00", "2026-03-29T06:00:00.000+02:00",
     "2026-03-29T05:45:00.000+02:00", 7},
    {"Europe/Berlin", "date=2026-10-24", "2026-10-24T22:00:00.000+02:00", "2026-10-25T06:00:00.000+01:00",
     "2026-10-25T03:45:00.000+01:00", 9},
    {"America/New_York", "date=2026-03-07", "2026-03-07T22:00:00.000-05:00", "2026-03-08T06:00:00.000-04:00",
     "2026-03-08T05:45:00.000-04:00", 7},
    {"America/New_York", "date=2026-10-31", "2026-10-31T22:00:00.000-04:00", "2026-11-01T06:00:00.000-05:00",
     "2026-11-01T03:45:00.000-05:00", 9},
    {"Europe/Berlin", "date=2026-06-10", "2026-06-10T22:00:00.000+02:00", "2026-06-11T06:00:00.000+02:00",
     "2026-06-11T04:45:00.000+02:00", 8},
    {"Asia/Kolkata", "date=2026-06-10", "2026-06-10T22:00:00.000+05:30", "2026-06-11T06:00:00.000+05:30",
     "2026-06-11T04:45:00.000+05:30", 8},
};

START_TEST(seconds_are_real_across_a_clock_change)
{
    make_night("date=2026-03-28");
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
        ck_done("set", "-f", "shop.db", "shift:A", changes[i].date);
        struct ran ran = plan_in(changes[i].zone);
        ck_assert_str_eq(json_text(ran.out, "$.shift.starts_at"), changes[i].starts);
        ck_assert_str_eq(json_text(ran.out, "$.shift.closes_at"), changes[i].closes);
        ck_assert(json_seconds(ran.out, "$.shift.closes_at") - json_seconds(ran.out, "$.shift.starts_at") ==
                  changes[i].hours * 3600);
        /* 300 + 10 x 2,400 = 24,300 s = 6 h 45 min of real time. */
        ck_assert_str_eq(json_text(ran.out, "$.answers.ends_at"), changes[i].ends);
        ck_near(json_number(ran.out, "$.totals.elapsed_s"), 24300, 1e-12L);
        ck_assert(json_number(ran.out, "$.answers.over_s") == 0);
        done(&ran);
    }
}
END_TEST

/* The clock goes from 02:00 to 03:00: a break from 01:50 to 03:10 lasts 20 minutes, one from 02:30 to 03:20
 * starts with the change, one from 02:10 to 02:50 is not there at all. */
START_TEST(a_break_over_the_hour_that_is_left_out)
{
    make_night("date=2026-03-28");
    ck_done("set", "-f", "shop.db", "shift:A", "breaks=01:50-03:10");
    struct ran ran = plan_in("Europe/Berlin");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].from"), "2026-03-29T01:50:00.000+01:00");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].to"), "2026-03-29T03:10:00.000+02:00");
    done(&ran);
    ck_done("set", "-f", "shop.db", "shift:A", "breaks=02:10-02:50,02:55-03:20");
    ran = plan_in("Europe/Berlin");
    ck_assert_int_eq(json_count(ran.out, "$.answers.alone"), 1);
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].from"), "2026-03-29T03:00:00.000+02:00");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].to"), "2026-03-29T03:20:00.000+02:00");
    done(&ran);
    ran = plan_in("America/New_York"); /* not its night */
    ck_assert_int_eq(json_count(ran.out, "$.answers.alone"), 2);
    done(&ran);
}
END_TEST

/* The clock goes from 03:00 back to 02:00: of a time that comes twice the first is meant. */
START_TEST(a_break_in_the_hour_that_comes_twice)
{
    make_night("date=2026-10-24");
    ck_done("set", "-f", "shop.db", "shift:A", "breaks=02:15-02:45,03:00-03:30");
    struct ran ran = plan_in("Europe/Berlin");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].from"), "2026-10-25T02:15:00.000+02:00");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].to"), "2026-10-25T02:45:00.000+02:00");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[1].from"), "2026-10-25T03:00:00.000+01:00");
    done(&ran);
}
END_TEST

START_TEST(a_due_time_is_local_too)
{
    make_night("date=2026-10-24");
    ck_done("set", "-f", "shop.db", "J", "due=2026-10-25 03:30");
    struct ran ran = plan_in("Europe/Berlin");
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].due_at"), "2026-10-25T03:30:00.000+01:00");
    ck_near(json_number(ran.out, "$.jobs[0].late_s"), 900, 1e-9L); /* done at 03:45 */
    ck_assert_int_eq(cautions_of(ran.out, "late"), 1);
    done(&ran);
    ck_done("set", "-f", "shop.db", "J", "due=2026-10-25");
    ran = plan_in("Europe/Berlin");
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].due_at"), "2026-10-25T23:59:59.000+01:00");
    ck_assert(json_number(ran.out, "$.jobs[0].late_s") == 0);
    done(&ran);
}
END_TEST

START_TEST(breaks_must_lie_in_the_shift_apart_and_in_order)
{
    make_night("date=2026-12-01");
    struct bytes before = bytes_of("shop.db");
    static const struct {
        const char *breaks, *piece;
    } bad[] = {
        {"breaks=21:00-22:30", "does not lie inside the shift, 22:00 to 06:00"},
        {"breaks=05:30-06:30", "does not lie inside the shift"},
        {"breaks=12:00-12:30", "does not lie inside the shift"},
        {"breaks=23:30-00:15,00:15-01:00", "touches"},
        {"breaks=23:30-00:15,00:00-01:00", "touches"},
        {"breaks=01:00-02:00,23:00-23:30", "out of order"},
        {"breaks=00:15-23:30", "does not lie inside the shift"},
        {"breaks=23:00-23:00", "not a list of breaks"},
        {"breaks=23:00", "not a list of breaks"},
        {"breaks=23:00-23:30;01:00-02:00", "not a list of breaks"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        ck_refused(3, bad[i].piece, "set", "-f", "shop.db", "shift:A", bad[i].breaks);
    ck_unchanged("shop.db", &before);
    ck_quiet("set", "-f", "shop.db", "shift:A", "breaks=22:00-22:10,05:50-06:00");
    ck_refused(3, "22:00-22:10 does not lie inside the shift", "set", "-f", "shop.db", "shift:A",
               "start=22:05");
    ck_quiet("set", "-f", "shop.db", "shift:A", "start=22:05", "breaks=none");
}
END_TEST

START_TEST(a_shift_that_ends_when_it_starts_lasts_a_day)
{
    make_night("date=2026-12-01");
    ck_done("set", "-f", "shop.db", "shift:A", "start=06:00", "end=06:00");
    struct ran ran = plan_in("UTC");
    ck_assert(json_seconds(ran.out, "$.shift.closes_at") - json_seconds(ran.out, "$.shift.starts_at") ==
              86400);
    done(&ran);
    ck_done("set", "-f", "shop.db", "shift:A", "closed_days=2026-12-01");
    ran = plan_in("UTC");
    ck_assert_int_eq(cautions_of(ran.out, "closed_day"), 1);
    done(&ran);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_night_shift_ends_the_next_day);
    tcase_add_test(tcase, seconds_are_real_across_a_clock_change);
    tcase_add_test(tcase, a_break_over_the_hour_that_is_left_out);
    tcase_add_test(tcase, a_break_in_the_hour_that_comes_twice);
    tcase_add_test(tcase, a_due_time_is_local_too);
    tcase_add_test(tcase, breaks_must_lie_in_the_shift_apart_and_in_order);
    tcase_add_test(tcase, a_shift_that_ends_when_it_starts_lasts_a_day);
}

int main(void)
{
    return run_suite("clock", fill);
}
