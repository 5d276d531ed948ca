/* Handing over: what was done in a shift, closing it with and without what is left, what to watch; and spoilt
 * pieces that are noted once. */
#include "cli/acts.h"

static void two_shifts(void)
{
    example();
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-01", "start=14:30", "end=22:30");
}

/* Flanges: 7 of 12 are cut, and checked. */
static void half_of_the_flanges(void)
{
    two_shifts();
    ck_record("06:05", "start", "2602/1");
    ck_record("06:20", "check", "2602/1");
    ck_record("06:23", "start", "2602/1");
    ck_record("07:00", "done", "7");
    ck_record("07:00", "stop");
}

#define ck_line(ran, line)                                                                                   \
    ck_assert_msg(strstr((ran).out, line "\n") != NULL, "\"%s\" is no line of: %s", line, (ran).out)

START_TEST(what_was_done_stays_with_the_shift_that_did_it)
{
    half_of_the_flanges();
    struct ran ran = record("14:00", "hand-over", "A");
    ck_line(ran, "done    7 of 12 of 2602/1/A");
    done(&ran);
    ck_record("14:30", "close", "A", "--move", "B");
    ran = record("14:31", "hand-over", "A");
    ck_line(ran, "done    7 of 12 of 2602/1/A");
    ck_line(ran, "next    nothing is left in this shift");
    done(&ran);
    ran = record("14:31", "hand-over", "B");
    ck_line(ran, "done    no pieces noted");
    done(&ran);
    ck_record("14:40", "start", "2602/1");
    ck_record("15:00", "done", "2");
    ck_record("15:01", "scrap", "1");
    ran = record("15:02", "hand-over", "A");
    ck_line(ran, "done    7 of 12 of 2602/1/A");
    done(&ran);
    ran = record("15:02", "hand-over", "B");
    ck_line(ran, "done    2 of 5 of 2602/1/A (1 scrapped)");
    done(&ran);
}
END_TEST

START_TEST(a_check_that_is_done_is_not_planned_again_in_the_next_shift)
{
    half_of_the_flanges();
    ck_done("set", "-f", "shop.db", "2602/1", "fill=yes");
    char *rest = json_of(record("14:30", "note", "x", "--json"));
    ck_assert(json_number(rest, "$.pieces_left") > 5);
    ck_record("14:30", "close", "A", "--move", "B");
    struct ran ran = run("plan", "B", "--json", "-f", "shop.db", NULL);
    char *moved = json_of(record("14:30", "note", "x", "--json"));
    double ends = json_seconds(ran.out, "$.answers.ends_at");
    ck_assert_msg(fabs(ends - json_seconds(moved, "$.answers.ends_at")) < 1, "%.0f s apart",
                  ends - json_seconds(moved, "$.answers.ends_at"));
    done(&ran);
    ran = run("events", "B", "--json", "-f", "shop.db", NULL);
    ck_assert(json_ask(ran.out, "SELECT count(*) FROM json_each(?1, '$.events') WHERE "
                                "json_extract(value, '$.what') = 'first check' AND "
                                "json_extract(value, '$.where') LIKE '2602/1%'") == 0);
    ck_assert(json_ask(ran.out, "SELECT count(*) FROM json_each(?1, '$.events') WHERE "
                                "json_extract(value, '$.what') = 'first check'") > 0); /* of the others */
    done(&ran);
    ck_done("undo", "-f", "shop.db");
    ck_done("undo", "-f", "shop.db");
    ran = run("set", "2602/1", "--list", "-f", "shop.db", NULL);
    ck_says(strstr(ran.out, "\nfill "), "yes");
    done(&ran);
    free(rest);
    free(moved);
}
END_TEST

START_TEST(what_is_left_in_a_closed_shift_can_still_be_moved)
{
    half_of_the_flanges();
    ck_record("07:10", "done", "4", "2602/1/A");
    for (int job = 2603; job <= 2606; job++) {
        char key[8];
        snprintf(key, sizeof key, "%d", job);
        struct ran gone = run("remove", key, "-f", "shop.db", NULL);
        done(&gone);
    }
    ck_done("remove", "-f", "shop.db", "2601");
    struct ran ran = record("14:30", "close", "A");
    ck_code(ran, 0);
    ck_says(ran.err,
            "2602/1 (1 left) in shift A: `sandglass record close A --move SHIFT` moves what is left");
    ck_says(ran.out, "1 piece left");
    done(&ran);
    ran = record("14:31", "hand-over", "A");
    ck_line(ran,
            "next    2602/1 (1 left); the shift is closed: `record close A --move SHIFT` moves what is left");
    ck_says_not(ran.out, "all done");
    ck_says_not(ran.out, "next refill");
    done(&ran);
    ran = record("14:31", "hand-over", "A", "--json");
    ck_assert_str_eq(json_type(ran.out, "$.answers"), "null");
    done(&ran);
    ck_not(3, "closed already; 1 piece is left in it: `record close A --move SHIFT`", "14:32", "close", "A");
    ck_record("14:33", "close", "A", "--move", "B");
    ran = run("plan", "B", "--json", "-f", "shop.db", NULL);
    ck_assert(json_number(ran.out, "$.totals.pieces") == 1);
    done(&ran);
    ran = record("14:34", "hand-over", "A");
    ck_line(ran, "done    11 of 12 of 2602/1/A");
    ck_line(ran, "next    nothing is left in this shift");
    done(&ran);
    ck_not(3, "closed already, and nothing of it is left", "14:35", "close", "A", "--move", "B");
    ck_done("undo", "-f", "shop.db"); /* one step */
    ran = run("plan", "B", "--json", "-f", "shop.db", NULL);
    ck_assert(json_number(ran.out, "$.totals.pieces") == 0);
    done(&ran);
    ck_done("check", "-f", "shop.db");
}
END_TEST

START_TEST(a_move_of_what_is_cut_in_part_says_so)
{
    half_of_the_flanges();
    struct ran ran = run("move", "2602", "shift:B", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.err, "7 pieces of it are cut");
    ck_says(ran.err, "`sandglass record close A --move B` moves what is left alone");
    done(&ran);
    ck_quiet("move", "2601", "shift:B", "-f", "shop.db");
}
END_TEST

/* ---- what to watch ---- */

START_TEST(what_to_watch_has_changes_stops_and_what_was_spoilt)
{
    example();
    ck_record("06:05", "start", "2602/1");
    ck_record("06:30", "pause", "no", "crane");
    ck_record("06:42", "resume");
    ck_record("06:50", "tube", "abrasive", "worn");
    ck_record("06:55", "orifice", "abrasive");
    ck_record("07:00", "scrap", "2");
    ck_record("07:10", "stop", "shift", "meeting");
    ck_record("07:30", "start", "2602/1");
    ck_record("07:40", "pause", "");
    struct ran ran = record("07:50", "hand-over");
    ck_says(ran.out, "06:30 no crane, 0:12:00");
    ck_says(ran.out, "06:50 tube of head abrasive changed: worn");
    ck_says(ran.out, "06:55 orifice of head abrasive changed");
    ck_says(ran.out, "07:00 2 of 2602/1/A scrapped");
    ck_says(ran.out, "07:10 shift meeting, 0:20:00");
    ck_says(ran.out, "07:40 the machine stood, no reason noted, still standing");
    done(&ran);
}
END_TEST

/* One sheet of flanges is wanted and on hand, and is spoilt. */
START_TEST(sheets_that_run_short_are_said_once_and_handed_over)
{
    example();
    ck_done("set", "-f", "shop.db", "2602/1", "sheets=1");
    ck_done("set", "-f", "shop.db", "2602/1/A", "scrap=0");
    ck_record("06:05", "start", "2602/1");
    struct ran ran = record("06:30", "note", "x", "--json");
    ck_assert_int_eq(cautions_of(ran.out, "sheets_short"), 0);
    done(&ran);
    ran = record("07:00", "scrap", "all");
    ck_says(ran.out, "\ncaution 2602/1: 1 sheet is needed, ");
    done(&ran);
    ran = record("07:01", "note", "y");
    ck_says_not(ran.out, "caution");
    done(&ran);
    ran = record("07:02", "note", "z", "--json");
    ck_assert_int_eq(cautions_of(ran.out, "sheets_short"), 1);
    done(&ran);
    ran = record("07:03", "hand-over");
    ck_says(strstr(ran.out, "watch "), "2602/1: 1 sheet is needed, 0 are on hand");
    done(&ran);
}
END_TEST

/* ---- spoilt once ---- */

START_TEST(what_is_in_the_log_is_scrapped_there)
{
    example();
    ck_done("scrap", "-f", "shop.db", "2602/1", "1"); /* nothing of it is in the log */
    ck_done("undo", "-f", "shop.db");
    ck_record("06:05", "start", "2602/1");
    ck_refused(3, "`record scrap N|all PART`", "scrap", "2602/1", "1", "-f", "shop.db");
    ck_refused(3, "X on the screen Actuals", "scrap", "2602/1/A", "3", "-f", "shop.db");
    ck_done("scrap", "-f", "shop.db", "2601/1", "1"); /* another stock */
    ck_done("undo", "-f", "shop.db");
    char *before = json_of(record("07:00", "note", "x", "--json"));
    char *after = json_of(record("07:01", "scrap", "all", "--json"));
    ck_assert(json_number(after, "$.pieces_left") == json_number(before, "$.pieces_left"));
    free(before);
    free(after);
    ck_record("07:05", "stop");
    ck_record("07:10", "close", "A"); /* what was cut before the log's start is in the fields */
    ck_done("scrap", "-f", "shop.db", "2602/1/A", "3");
}
END_TEST

START_TEST(an_empty_note_is_refused)
{
    example();
    ck_not(3, "a note without words says nothing", "06:05", "note", "");
    ck_not(3, "a note without words says nothing", "06:05", "note", " ", "");
}
END_TEST

START_TEST(pieces_of_the_shift_before_are_not_more_than_asked_for)
{
    half_of_the_flanges();
    struct ran ran = record("14:30", "close", "A", "--move", "B");
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    done(&ran);
}
END_TEST

START_TEST(only_what_falls_due_is_serviced)
{
    example();
    ck_done("add", "-f", "shop.db", "chore", "warm up", "when=shift_start", "time=5min");
    ck_not(3, "chore warm up does not fall due", "06:05", "service", "warm up");
    ck_done("add", "-f", "shop.db", "chore", "seals", "when=due", "counts=pump", "every=100h");
    ck_not(3, "those that do: ", "06:05", "service", "warm up");
    ck_record("06:05", "service", "seals");
}
END_TEST

static void fill(TCase *tests)
{
    tcase_add_test(tests, pieces_of_the_shift_before_are_not_more_than_asked_for);
    tcase_add_test(tests, only_what_falls_due_is_serviced);
    tcase_add_test(tests, what_was_done_stays_with_the_shift_that_did_it);
    tcase_add_test(tests, a_check_that_is_done_is_not_planned_again_in_the_next_shift);
    tcase_add_test(tests, what_is_left_in_a_closed_shift_can_still_be_moved);
    tcase_add_test(tests, a_move_of_what_is_cut_in_part_says_so);
    tcase_add_test(tests, what_to_watch_has_changes_stops_and_what_was_spoilt);
    tcase_add_test(tests, sheets_that_run_short_are_said_once_and_handed_over);
    tcase_add_test(tests, what_is_in_the_log_is_scrapped_there);
    tcase_add_test(tests, an_empty_note_is_refused);
}

int main(void)
{
    return run_suite("hand over", fill);
}
