/* record: an invented day with a plugged nozzle and a sheet that is spoilt at 10:40, what is refused, and
 * what undo takes back. Times are typed with their date, so that the clock of the machine does not matter. */
#include "cli/acts.h"

/* ---- the day ---- */

START_TEST(a_day_with_a_plugged_nozzle_and_a_spoilt_sheet)
{
    example();
    ck_done("set", "-f", "shop.db", "shift:A", "breaks=none"); /* so that nothing waits */
    struct ran plan = run("plan", "-f", "shop.db", "--json", NULL);
    double planned = json_seconds(plan.out, "$.answers.ends_at");
    done(&plan);
    ck_record("06:00", "load", "2601/1");
    ck_record("06:06", "start", "2601/1");
    ck_record("07:30", "pause", "nozzle", "plugged");
    char *standing = json_of(record("07:34", "resume", "--json"));
    ck_near(json_number(standing, "$.later_s"), 4 * 60 + 22, 0.02); /* 4 min, and 22 s of the load */
    ck_assert(json_seconds(standing, "$.answers.ends_at") > planned);
    free(standing);

    /* the sheet is done, and the next one */
    ck_record("08:00", "done", "A");
    ck_record("08:00", "done", "B");
    ck_record("08:00", "stop");
    ck_record("08:05", "load", "2601/1");
    ck_record("08:10", "start", "2601/1");
    ck_not(3, "no piece of 2601/1/A lies on the clocked sheet", "09:20", "done", "A");
    ck_record("09:20", "done", "B");
    ck_record("09:20", "stop");
    ck_record("09:52", "fill", "3");

    /* flanges: at 10:40 the sheet slips, and all of it is lost */
    ck_record("09:55", "load", "2602/1");
    ck_record("10:00", "start", "2602/1");
    char *before = json_of(record("10:39", "note", "bore 0.08 over, offset set", "--json"));
    char *after = json_of(record("10:40", "scrap", "all", "--reason", "sheet slipped", "--json"));
    ck_assert_str_eq(json_text(after, "$.noted"), "12 of 2602/1/A scrapped: sheet slipped");
    ck_assert(json_number(after, "$.pieces_left") == json_number(before, "$.pieces_left"));
    ck_assert(json_number(before, "$.pieces_left") == 12 + 18 + 20 + 52);
    double lost = json_seconds(after, "$.answers.ends_at") - json_seconds(before, "$.answers.ends_at");
    ck_assert_msg(lost > 40 * 60 + 300 && lost < 40 * 60 + 500, "%.0f s", lost); /* 40 min, and a load */
    free(before);
    free(after);
    ck_record("10:40", "stop");
    ck_record("10:41", "load", "2602/1");
    ck_record("10:50", "start", "2602/1");
    ck_record("11:00", "done", "3");

    char *log = json_of(record("11:05", "list", "--json"));
    ck_assert_int_eq(json_count(log, "$.clocks"), 8);
    ck_assert_str_eq(json_text(log, "$.running"), "8");
    ck_assert(json_number(log, "$.clocks[7].sheet") == 2);
    ck_assert_str_eq(json_text(log, "$.pauses[0].reason"), "nozzle plugged");
    ck_assert(json_number(log, "$.pauses[0].seconds_s") == 240);
    ck_assert(json_number(log, "$.clocks[1].took_s") == 114 * 60 - 240);
    ck_assert(json_number(log, "$.clocks[1].good") == json_number(log, "$.clocks[1].planned_pieces"));
    ck_assert(json_ask(log, "SELECT sum(json_extract(value, '$.left')) FROM json_each(?1, '$.parts')") ==
              9 + 18 + 20 + 52);
    ck_assert_int_eq(json_count(log, "$.remarks"), 0);
    free(log);

    struct ran text = record("11:05", "list");
    ck_says(text.out, "now 11:05  clock on 2602/1");
    ck_says(text.out, "machine stands: nozzle plugged");
    ck_says(text.out, "0:04:00");
    ck_says(text.out, "scrapped 12: sheet slipped");
    ck_says(text.out, "filled 3 bags");
    ck_says(text.out, "so far");
    done(&text);

    struct ran over = record("11:05", "hand-over");
    ck_code(over, 0);
    int lines = 0;
    for (const char *at = over.out; *at; at++)
        lines += *at == '\n';
    ck_assert_int_eq(lines, 5);
    ck_says(over.out, "runs    cutting 2602/1 sheet 2 since 10:50");
    ck_says(over.out, "20 of 20 of 2601/1/A, 36 of 36 of 2601/1/B, 3 of 12 of 2602/1/A (12 scrapped)");
    ck_says(over.out, "next    2602/1 (9 left), then 2603/1 (18 left)");
    ck_says(over.out, "hopper  about ");
    ck_says(over.out, "07:30 nozzle plugged");
    ck_says(over.out, "10:40 sheet slipped (12 of 2602/1/A scrapped)");
    done(&over);
}
END_TEST

START_TEST(an_act_says_what_was_noted_and_the_rest_from_now)
{
    example();
    struct ran ran = record("06:06", "start", "2601/1");
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_says(ran.out, "clock started on 2601/1, sheet 1\n");
    ck_says(ran.out, "06:06: ends ");
    ck_says(ran.out, "as planned at the first clock");
    ck_says(ran.out, "hopper about 230 lb");
    done(&ran);
    ran = record("11:43", "start", "2602/1");
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "sandglass: clock on 2601/1 ended at 11:43, where 2602/1 started\n"
                              "sandglass: 2601/1 sheet 1, cut from 06:06: nothing is counted, it is taken "
                              "as cut\n");
    ck_says(ran.out, "later than planned at the first clock");
    done(&ran);
    /* said once */
    ran = record("11:44", "note", "all well");
    ck_assert_str_eq(ran.err, "");
    done(&ran);
}
END_TEST

START_TEST(times_may_come_in_any_order)
{
    example();
    ck_record("08:30", "note", "all well");
    struct ran ran = record("06:06", "start", "2601/1", "--json");
    ck_code(ran, 0);
    ck_assert_str_eq(json_text(ran.out, "$.at"), "2026-12-01T06:06:00.000+00:00");
    ck_assert_str_eq(json_text(ran.out, "$.rest_from"), "2026-12-01T08:30:00.000+00:00");
    done(&ran);
    ck_record("08:00", "stop");
    ck_record("07:00", "pause", "coffee");
    char *log = json_of(record("09:00", "list", "--json"));
    ck_assert(json_number(log, "$.clocks[0].took_s") == 54 * 60);
    ck_assert(json_number(log, "$.clocks[0].paused_s") == 3600);
    ck_assert_int_eq(json_count(log, "$.remarks"), 0);
    free(log);
}
END_TEST

START_TEST(without_a_time_it_is_now)
{
    example();
    struct ran ran = run("record", "note", "hello", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    double age = (double)time(NULL) - json_seconds(ran.out, "$.at");
    ck_assert(age >= -1 && age < RUN_DEADLINE_S + 60);
    done(&ran);
    ran = run("record", "note", "hello", "-f", "shop.db", NULL);
    ck_assert_msg(strncmp(ran.out, "noted: hello\n", 13) == 0, "%s", ran.out); /* today needs no date */
    done(&ran);
    /* a time of day lies within half a day, here near a shift */
    char today[24];
    time_t now = time(NULL);
    strftime(today, sizeof today, "date=%Y-%m-%d", gmtime(&now));
    ck_done("set", "-f", "shop.db", "shift:A", today, "start=00:30", "end=23:30");
    ran = run("record", "note", "hello", "--at", "11:43", "-f", "shop.db", "--json", NULL);
    age = (double)time(NULL) - json_seconds(ran.out, "$.at");
    ck_assert(age >= -43205 && age < 86400);
    ck_says(ran.out, "T11:43:00");
    done(&ran);
}
END_TEST

START_TEST(every_act_is_taken_back_by_undo)
{
    static const char *const acts[][4] = {{"load", "2601/1"},
                                          {"start", "2601/1"},
                                          {"check", "2601/1"},
                                          {"pause", "no crane"},
                                          {"resume"},
                                          {"done", "1", "2601/1/A"},
                                          {"done", "-1", "2601/1/A"},
                                          {"scrap", "1", "2601/1/B"},
                                          {"fill", "2"},
                                          {"fill", "40lb"},
                                          {"level", "200 lb"},
                                          {"weigh", "abrasive", "0.69 lb/min"},
                                          {"tube", "abrasive"},
                                          {"orifice", "abrasive", "cracked"},
                                          {"note", "hello"},
                                          {"stop"},
                                          {"close", "A"}};
    example();
    for (size_t i = 0; i < sizeof acts / sizeof *acts; i++) {
        const char *const *a = acts[i];
        struct ran before = record("12:00", "list", "--json");
        struct ran machine = run("set", "-f", "shop.db", "machine:main", "--list", NULL);
        struct ran ran = a[1] && a[2] ? record("11:00", a[0], a[1], a[2])
                         : a[1]       ? record("11:00", a[0], a[1])
                                      : record("11:00", a[0]);
        ck_code(ran, 0);
        done(&ran);
        ran = record("12:00", "list", "--json");
        ck_assert_msg(strcmp(before.out, ran.out) != 0, "%s noted nothing", a[0]);
        done(&ran);
        ck_done("undo", "-f", "shop.db");
        ran = record("12:00", "list", "--json");
        ck_assert_msg(strcmp(before.out, ran.out) == 0, "%s: %s", a[0], ran.out);
        done(&ran);
        ran = run("set", "-f", "shop.db", "machine:main", "--list", NULL);
        ck_assert_str_eq(machine.out, ran.out);
        done(&ran);
        done(&before);
        done(&machine);
        ck_done("redo", "-f", "shop.db");
    }
    ck_done("check", "-f", "shop.db");
}
END_TEST

START_TEST(what_was_noted_wrongly_is_set_or_removed)
{
    example();
    ck_record("06:06", "start", "2601/1");
    ck_record("07:00", "pause", "coffee");
    ck_record("07:30", "stop");
    ck_done("set", "-f", "shop.db", "record:2", "at=2026-12-01 07:10");
    ck_done("remove", "-f", "shop.db", "record:1");
    char *log = json_of(record("09:00", "list", "--json"));
    ck_assert(json_number(log, "$.clocks[0].took_s") == 64 * 60);
    ck_assert_int_eq(json_count(log, "$.pauses"), 0);
    free(log);
}
END_TEST

START_TEST(a_shift_is_handed_over_with_what_is_left)
{
    example();
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-01", "start=14:30", "end=22:30");
    ck_record("06:06", "start", "2601/1", "--sheets", "2");
    ck_record("08:40", "done", "A");
    ck_record("08:40", "done", "B");
    ck_record("08:40", "stop");
    struct ran ran = record("14:30", "close", "A", "--move", "B");
    ck_code(ran, 0);
    ck_says(ran.out, "shift A closed: hopper about ");
    ck_says(ran.out, "102 pieces left, to shift B");
    done(&ran);
    ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.shift.id"), "B");
    ck_assert(json_number(ran.out, "$.totals.pieces") == 102);
    done(&ran);
    ran = record("14:35", "hand-over", "B");
    ck_says(ran.out, "done    no pieces noted");
    ck_says(ran.out, "next    2602/1 (12 left)");
    done(&ran);
    ck_done("undo", "-f", "shop.db");
    ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.shift.id"), "A");
    done(&ran);
}
END_TEST

/* ---- what is refused ---- */

START_TEST(bad_input_is_named)
{
    example();
    ck_refused(2, "usage: sandglass record", "record", "-f", "shop.db");
    ck_refused(2, "\"begin\" is nothing to record", "record", "begin", "-f", "shop.db");
    ck_refused(2, "usage: sandglass record start PLACE", "record", "start", "-f", "shop.db");
    ck_refused(2, "usage: sandglass record pause WHY", "record", "pause", "-f", "shop.db");
    ck_refused(2, "--at \"noon\" is no time", "record", "stop", "--at", "noon", "-f", "shop.db");
    ck_refused(2, "--at \"25:00\" is no time", "record", "stop", "--at", "25:00", "-f", "shop.db");
    ck_refused(2, "--at \"2026-12-01\" is no time", "record", "stop", "--at", "2026-12-01", "-f", "shop.db");
    ck_refused(2, "is no whole number", "record", "start", "2601/1", "--sheets", "two", "-f", "shop.db");
    ck_refused(2, "how many pieces?", "record", "scrap", "A", "-f", "shop.db");
    ck_refused(4, "there is no shop file", "record", "stop", "-f", "none.db");
    ck_not(3, "1 to 1000000 sheets", "06:00", "start", "2601/1", "--sheets", "0");
    ck_not(3, "no job \"26\"", "06:00", "start", "26/1");
    ck_not(3, "name JOB/STOCK", "06:00", "start", "2605");
    ck_not(3, "no clock says of which part", "06:00", "done");
    ck_not(3, "\"lots\"", "06:00", "fill", "lots");
    ck_not(3, "1 bag or more", "06:00", "fill", "0");
    ck_not(3, "the hopper holds", "06:00", "level", "5000 lb");
    ck_not(3, "\"5 mm\"", "06:00", "level", "5 mm");
    ck_not(3, "no head \"laser\"", "06:00", "tube", "laser");
    ck_not(3, "above 0", "06:00", "weigh", "abrasive", "0");
    ck_not(3, "no chore \"grease\"", "06:00", "service", "grease");
    ck_not(3, "no shift \"Z\"", "06:00", "close", "Z");
    ck_not(3, "to itself", "06:00", "close", "A", "--move", "A");
    struct ran ran = run("history", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.steps"), 0);
    done(&ran);
}
END_TEST

START_TEST(a_shop_without_a_shift_notes_all_the_same)
{
    make_shop();
    ck_done("remove", "-f", "shop.db", "shift:A");
    struct ran ran = run("record", "note", "moving in", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.out, "noted: moving in\n");
    done(&ran);
    ran = run("record", "level", "10kg", "--json", "-f", "shop.db", NULL);
    ck_document(ran.out);
    done(&ran);
    ck_not(3, "there is no shift", "06:00", "list");
}
END_TEST

START_TEST(an_empty_log_is_shown_as_such)
{
    example();
    struct ran ran = record("06:00", "list");
    ck_code(ran, 0);
    ck_says(ran.out, "no clock runs");
    done(&ran);
    ran = record("05:30", "hand-over", "--json");
    ck_document(ran.out);
    ck_keys(ran.out, "$", "lines:object hopper:object answers:object");
    ck_keys(ran.out, "$.lines", "runs:text done:text next:text hopper:text watch:text");
    done(&ran);
    ck_refused(3, "no shift \"Q\"", "record", "list", "Q", "-f", "shop.db");
}
END_TEST

static void fill(TCase *tests)
{
    tcase_add_test(tests, a_day_with_a_plugged_nozzle_and_a_spoilt_sheet);
    tcase_add_test(tests, an_act_says_what_was_noted_and_the_rest_from_now);
    tcase_add_test(tests, times_may_come_in_any_order);
    tcase_add_test(tests, without_a_time_it_is_now);
    tcase_add_test(tests, every_act_is_taken_back_by_undo);
    tcase_add_test(tests, what_was_noted_wrongly_is_set_or_removed);
    tcase_add_test(tests, a_shift_is_handed_over_with_what_is_left);
    tcase_add_test(tests, bad_input_is_named);
    tcase_add_test(tests, a_shop_without_a_shift_notes_all_the_same);
    tcase_add_test(tests, an_empty_log_is_shown_as_such);
}

int main(void)
{
    return run_suite("record", fill);
}
