/* record: the list with what counts outside a shift, differences, and what is refused. */
#include "cli/acts.h"

/* ---- moments ---- */

/* Local moment so many seconds from now. */
static const char *from_now(double seconds, char out[32])
{
    time_t at = time(NULL) + (time_t)seconds;
    strftime(out, 32, "%Y-%m-%d %H:%M:%S", gmtime(&at));
    return out;
}

START_TEST(a_moment_to_come_or_of_another_year_is_refused_unless_a_shift_is_near)
{
    char at[32];
    example();
    ck_done("set", "-f", "shop.db", "shift:A", "date=2020-12-01"); /* nowhere near */
    ck_refused(3, "later than now", "record", "start", "2601/1", "--at", from_now(3 * 3600, at), "-f",
               "shop.db");
    ck_refused(3, "is the year right?", "record", "start", "2601/1", "--at", from_now(-365.0 * 86400, at),
               "-f", "shop.db");
    ck_done("record", "note", "x", "--at", from_now(120, at), "-f", "shop.db");
    ck_done("record", "note", "x", "--at", from_now(-86400, at), "-f", "shop.db");
    ck_done("record", "start", "2601/1", "--at", "2020-12-01 06:05", "-f", "shop.db");
    ck_refused(3, "later than now", "record", "start", "2601/1", "--at", "2090-01-01 06:00", "-f", "shop.db");
    struct ran ran = run("record", "note", "y", "--at", "2020-12-01 06:10", "-f", "shop.db", NULL);
    ck_says(ran.out, "2020-12-01 06:10  noted: y\n"); /* another day has its date */
    done(&ran);
}
END_TEST

START_TEST(what_is_outside_any_shift_is_listed_with_its_key)
{
    example();
    ck_done("record", "note", "moved in", "--at", from_now(-86400, (char[32]){""}), "-f", "shop.db");
    ck_record("06:05", "start", "2601/1");
    /* no moment, no shift: those of the last act, though that may lie ahead */
    struct ran ran = run("record", "list", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "shift A  now 06:05  clock on 2601/1");
    const char *outside = strstr(ran.out, "\noutside the shift\n");
    ck_assert_ptr_nonnull(outside);
    ck_says(outside, "note: moved in");
    ck_says(outside, "record:1");
    ck_assert_ptr_null(strstr(outside, "clock:1"));
    ck_says(ran.out, "clock:1");
    done(&ran);
    char *json = json_of(run("record", "list", "--json", "-f", "shop.db", NULL));
    ck_assert_int_eq(json_count(json, "$.clocks"), 1);
    ck_assert_int_eq(json_count(json, "$.records"), 0);
    ck_assert_str_eq(json_text(json, "$.outside.records[0].record"), "1");
    ck_assert_int_eq(json_count(json, "$.outside.clocks"), 0);
    free(json);
    ran = run("record", "hand-over", "-f", "shop.db", NULL);
    ck_says(ran.out, "runs    cutting 2601/1 sheet 1 since 06:05");
    done(&ran);
    ck_done("remove", "-f", "shop.db", "record:1");
    ran = run("record", "list", "-f", "shop.db", NULL);
    ck_assert_ptr_null(strstr(ran.out, "outside"));
    done(&ran);
}
END_TEST

START_TEST(without_a_shift_the_list_is_of_the_last_acts_shift)
{
    example();
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-01", "start=14:30", "end=22:30");
    ck_done("set", "-f", "shop.db", "2605", "shift=B");
    ck_record("06:05", "start", "2601/1");
    ck_record("14:30", "stop");
    struct ran ran = record("14:31", "list");
    ck_says(ran.out, "shift A");
    done(&ran);
    ck_record("14:40", "start", "2605/1");
    ran = record("14:41", "list");
    ck_says(ran.out, "shift B");
    done(&ran);
    ck_record("14:45", "stop");
    ck_record("14:50", "close", "B");
    ran = record("14:51", "list");
    ck_says(ran.out, "shift B");
    done(&ran);
    char *over = json_of(record("14:51", "hand-over", "--json")); /* what is closed needs no handing over */
    ck_assert_str_eq(json_text(over, "$.shift.id"), "A");
    free(over);
}
END_TEST

/* ---- the first check ---- */

START_TEST(differences_of_a_day_with_a_first_check_add_up)
{
    example();
    ck_record("06:05", "start", "2601/1");
    ck_record("06:10", "check", "2601/1");
    ck_record("06:13", "start", "2601/1");
    ck_record("07:48", "done");
    ck_record("07:48", "stop");
    ck_record("07:50", "start", "2601/1");
    ck_record("08:35", "done");
    ck_record("08:35", "stop");
    char *log = json_of(record("09:00", "list", "--json"));
    double planned = json_number(log, "$.clocks[0].planned_s");
    ck_assert(json_number(log, "$.clocks[0].diff_s") == 0);
    ck_near(json_number(log, "$.clocks[2].diff_s"), 100 * 60 - planned, 1e-6);
    ck_near(json_ask(log, "SELECT sum(json_extract(value, '$.diff_s')) FROM json_each(?1, '$.clocks')"),
            (5 + 3 + 95 + 45) * 60 - planned - json_number(log, "$.clocks[1].planned_s") -
                json_number(log, "$.clocks[3].planned_s"),
            1e-6);
    double both = planned + json_number(log, "$.clocks[3].planned_s");
    free(log);
    struct ran ran = record("09:00", "list");
    ck_says(ran.out, "cut, sheet 1, stopped for the first check");
    ck_says(ran.out, "cut, sheet 1, goes on behind the check, 31 of 31 pieces");
    ck_assert_ptr_null(strstr(ran.out, "to check"));
    done(&ran);
    char *again = json_of(run("repeat", "2601", "2701", "--json", "-f", "shop.db", NULL));
    ck_assert_int_eq((int)json_number(again, "$.stocks[0].clocks"), 2);
    ck_near(json_number(again, "$.stocks[0].took_s"), 145 * 60, 1e-9);
    ck_near(json_number(again, "$.stocks[0].planned_s"), both, 1e-6);
    free(again);
    char *studies = json_of(run("studies", "--json", "-f", "shop.db", NULL));
    ck_assert_int_eq((int)json_number(studies, "$.runs"), 2);
    ck_assert_int_eq((int)json_number(studies, "$.left_out"), 0);
    free(studies);
}
END_TEST

START_TEST(studies_say_why_a_clock_is_left_out)
{
    example();
    ck_record("06:05", "start", "2601/1");
    ck_record("06:10", "check", "2601/1");
    ck_record("06:13", "start", "2602/1");
    ck_record("07:00", "scrap", "all");
    ck_record("07:00", "stop");
    struct ran ran = run("studies", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.out,
            "2 left out (1: stopped before a piece was counted and not cut on; 1: no piece of it was good)");
    done(&ran);
    char *json = json_of(run("studies", "--json", "-f", "shop.db", NULL));
    ck_assert_int_eq((int)json_number(json, "$.left_out_why.check"), 1);
    ck_assert_int_eq((int)json_number(json, "$.left_out_why.spoilt"), 1);
    ck_assert_int_eq((int)json_number(json, "$.left_out_why.forgotten"), 0);
    free(json);
}
END_TEST

/* ---- slips ---- */

START_TEST(slips_are_refused_with_what_would_be_right)
{
    example();
    ck_not(3, "no clock runs; `record start PLACE` starts one", "06:00", "stop");
    ck_not(3, "the machine is not paused", "06:00", "resume");
    ck_record("06:05", "start", "2602/1");
    ck_not(3, "no part Z in 2602/1; it has A", "06:10", "done", "3", "Z");
    ck_not(3, "cannot be taken back: 0 are noted as done", "06:10", "done", "-30");
    ck_not(3, "and 12 more lie on the clocked sheets", "06:10", "scrap", "500");
    ck_not(3, " lb, not 700 lb", "06:10", "level", "700");
    ck_not(3, "fit into the hopper of ", "06:10", "fill", "15");
    ck_not(3, "bags (1100 lb) are in stock", "06:10", "fill", "99");
    struct ran ran = record("06:10", "done", "99");
    ck_code(ran, 0);
    ck_says(ran.err, "more done than asked for");
    ck_assert_ptr_null(strstr(ran.err, "would be empty"));
    done(&ran);
    ran = record("06:20", "start", "2603/1", "--sheets", "99");
    ck_code(ran, 0);
    ck_says(ran.out, " of 99 are left to cut");
    done(&ran);
    ck_record("06:30", "stop");
    ck_record("06:35", "pause", "no water");
    ran = record("06:40", "list");
    ck_says(ran.out, "machine stands: no water (no clock ran)");
    done(&ran);
}
END_TEST

START_TEST(a_fill_does_not_change_the_plan_and_a_close_does)
{
    example();
    struct ran plan = run("plan", "-f", "shop.db", "--json", NULL);
    ck_record("06:05", "fill", "3");
    struct ran same = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_text(plan.out, "$.answers.ends_at"), json_text(same.out, "$.answers.ends_at"));
    done(&same);
    done(&plan);
    ck_record("06:10", "close", "A");
    struct ran ran = run("set", "-f", "shop.db", "machine:main", "--list", NULL);
    const char *line = strstr(ran.out, "bags_in_stock");
    ck_assert(line && strtol(line + strlen("bags_in_stock"), NULL, 10) == 20 - 3);
    done(&ran);
}
END_TEST

START_TEST(a_remark_is_listed_with_its_shift)
{
    example();
    struct ran ran =
        run("add", "-f", "shop.db", "shift", "B", "date=2026-12-02", "start=06:00", "end=14:30", NULL);
    ck_code(ran, 0);
    done(&ran);
    ck_record("06:05", "start", "2601/1");
    ck_record("06:10", "start", "2602/1");
    ran = run("record", "list", "A", "-f", "shop.db", NULL);
    ck_says(ran.out, "ended at 06:10, where 2602/1 started");
    done(&ran);
    for (int json = 0; json < 2; json++) {
        ran = run("record", "list", "B", "-f", "shop.db", json ? "--json" : NULL, NULL);
        ck_code(ran, 0);
        ck_says_not(ran.out, "where 2602/1 started");
        done(&ran);
    }
}
END_TEST

START_TEST(a_time_alone_keeps_the_day_of_what_is_mended)
{
    example();
    ck_record("11:40", "start", "2601/1");
    ck_record("12:00", "done", "2", "A");
    struct ran ran = run("set", "-f", "shop.db", "record:1", "at=11:46", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "record:1 at: 2026-12-01 12:00 -> 2026-12-01 11:46");
    done(&ran);
    ck_refused(3, "not a date; type 2026-12-01 or 2026-12-01 12:00", "set", "-f", "shop.db", "2601",
               "due=25:46", NULL);
    ran = run("set", "-f", "shop.db", "clock:1", "--list", NULL);
    ck_code(ran, 0);
    const char *line = strstr(ran.out, "\nlies ");
    ck_assert(line && strstr(line, " A,11 ")); /* a line a field, though it has a line a part */
    done(&ran);
}
END_TEST

static void fill(TCase *tests)
{
    tcase_add_test(tests, a_remark_is_listed_with_its_shift);
    tcase_add_test(tests, a_time_alone_keeps_the_day_of_what_is_mended);
    tcase_add_test(tests, a_moment_to_come_or_of_another_year_is_refused_unless_a_shift_is_near);
    tcase_add_test(tests, what_is_outside_any_shift_is_listed_with_its_key);
    tcase_add_test(tests, without_a_shift_the_list_is_of_the_last_acts_shift);
    tcase_add_test(tests, differences_of_a_day_with_a_first_check_add_up);
    tcase_add_test(tests, studies_say_why_a_clock_is_left_out);
    tcase_add_test(tests, slips_are_refused_with_what_would_be_right);
    tcase_add_test(tests, a_fill_does_not_change_the_plan_and_a_close_does);
}

int main(void)
{
    return run_suite("record list", fill);
}
