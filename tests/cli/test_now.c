/* --now: plan, events, hopper and ask of what is left; and what is printed when the log is mended. What is
 * left is checked against what `record` says of the same moment. */
#include "cli/acts.h"

/* An hour is lost in the first sheet. */
static void late_day(void)
{
    example();
    ck_record("06:00", "load", "2601/1");
    ck_record("06:06", "start", "2601/1");
    ck_record("07:30", "pause", "no", "crane");
    ck_record("09:30", "resume");
    ck_record("09:31", "done", "20", "A");
}

#define ck_same_moment(a, b)                                                                                 \
    ck_assert_msg(fabs((a) - (b)) < 1e-3, "%s is %.3f, %s is %.3f", #a, (double)(a), #b, (double)(b))

#define now(...) run(__VA_ARGS__, "--at", DAY "09:32", "-f", "shop.db", NULL)

START_TEST(what_is_left_is_told_by_each_command)
{
    late_day();
    char *rest = json_of(record("09:32", "note", "late", "--json"));
    double ends = json_seconds(rest, "$.answers.ends_at");
    double refill = json_seconds(rest, "$.answers.next_refill_at");
    char *made = json_of(run("plan", "-f", "shop.db", "--json", NULL));
    ck_assert(ends > json_seconds(made, "$.answers.ends_at") + 3600);
    char *plan = json_of(now("plan", "--now", "--json"));
    ck_same_moment(json_seconds(plan, "$.answers.ends_at"), ends);
    ck_assert(json_number(plan, "$.totals.pieces") == json_number(rest, "$.pieces_left"));
    char *events = json_of(now("events", "--json")); /* --at alone says that it is now */
    ck_assert(json_count(events, "$.events") > 3);
    ck_assert(json_seconds(events, "$.events[0].at") >= json_seconds(rest, "$.rest_from") - 10 * 60);
    ck_same_moment(json_seconds(plan, "$.refills[0].at"), refill);
    char *hopper = json_of(now("hopper", "--now", "--json"));
    ck_same_moment(json_seconds(hopper, "$.refills[0].at"), refill);
    struct ran ask = now("ask", "ends", "--now", "--json");
    ck_same_moment(json_seconds(ask.out, "$.ends_at"), ends);
    ck_code(ask, 1);
    done(&ask);
    ask = now("ask", "refill", "--now", "--json");
    ck_same_moment(json_seconds(ask.out, "$.at"), refill);
    done(&ask);
    free(rest);
    free(made);
    free(plan);
    free(events);
    free(hopper);
}
END_TEST

START_TEST(a_deadline_that_is_over_is_not_tomorrows)
{
    late_day();
    struct ran ran = run("ask", "done-by", "14:00", "--at", DAY "14:05", "-f", "shop.db", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, "after 14:00.");
    done(&ran);
    ran = now("ask", "done-by", "23:00", "--now");
    ck_code(ran, 0);
    done(&ran);
    ran = now("ask", "alone", "06:00", "06:30", "--now"); /* that is gone */
    ck_code(ran, 3);
    ck_says(ran.err, "06:00 is not in shift A");
    done(&ran);
}
END_TEST

START_TEST(the_plan_as_made_says_that_it_is_while_the_shift_is_at_work)
{
    late_day();
    struct ran rest = now("ask", "ends", "--now");
    char ends[6] = "", hint[120];
    ck_assert(sscanf(rest.out, "Shift A ends at %5[0-9:]", ends) == 1);
    done(&rest);
    ck_record("09:32", "note", "x"); /* the last act lies ahead of the clock, or far behind it */
    snprintf(hint, sizeof hint, "this is the plan as made; what is left ends at ");
    static const char *const commands[][3] = {{"plan"},   {"plan", "--all"}, {"events"},
                                              {"hopper"}, {"ask", "ends"},   {"suggest"}};
    for (size_t i = 0; i < sizeof commands / sizeof *commands; i++) {
        const char *const *c = commands[i];
        struct ran ran = c[1] ? run(c[0], c[1], "-f", "shop.db", NULL) : run(c[0], "-f", "shop.db", NULL);
        ck_says(ran.err, hint);
        ck_says(ran.err, "--now");
        ck_assert_msg(strchr(ran.err, '\n') == ran.err + ran.err_length - 1, "%s", ran.err);
        ck_says_not(ran.out, "as made");
        done(&ran);
        ran = c[1] ? run(c[0], c[1], "--json", "-f", "shop.db", NULL)
                   : run(c[0], "--json", "-f", "shop.db", NULL);
        ck_assert_str_eq(ran.err, "");
        done(&ran);
    }
    struct ran ran = now("plan", "--now");
    ck_assert_str_eq(ran.err, "");
    ck_says(ran.out, "What is left, from 2026-12-01 09:32\n");
    ck_says(ran.out, ends);
    done(&ran);
    ran = run("ask", "refill", "--now", "-f", "shop.db", NULL);
    ck_assert_str_eq(ran.err, "");
    done(&ran);
}
END_TEST

START_TEST(without_clocks_nothing_is_said)
{
    example();
    ck_record("06:00", "note", "hello");
    ck_quiet("plan", "-f", "shop.db");
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-02");
    ck_record("06:06", "start", "2601/1");
    ck_quiet("plan", "B", "-f", "shop.db"); /* nothing of B is at work */
    ck_refused(2, "--at \"soon\" is no time", "plan", "--at", "soon", "-f", "shop.db");
    ck_record("07:00", "stop");
    ck_record("07:05", "close", "A");
    ck_quiet("plan", "A", "-f", "shop.db");
    ck_refused(3, "shift A is closed: `record hand-over A`", "plan", "A", "--now", "-f", "shop.db");
}
END_TEST

/* ---- the log mended ---- */

START_TEST(undo_of_an_act_tells_what_is_left)
{
    late_day();
    char *before = json_of(record("09:32", "level", "100 lb", "--json"));
    struct ran act = record("09:33", "scrap", "2", "A", "--json");
    ck_assert(json_seconds(act.out, "$.answers.ends_at") > json_seconds(before, "$.answers.ends_at"));
    struct ran ran = run("undo", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_assert_msg(strncmp(ran.out, "undone: 2 of 2601/1/A scrapped", 30) == 0, "%s", ran.out);
    ck_says(ran.out, "\nrest from ");
    ck_says(ran.out, "\nhopper about 100 lb, read");
    ck_says(ran.out, " later than planned at the first clock\n");
    done(&ran);
    ran = run("redo", "--json", "-f", "shop.db", NULL);
    ck_document(ran.out);
    ck_says(json_text(ran.out, "$.redone"), "2 of 2601/1/A scrapped");
    ck_keys(ran.out, "$", "step:number rest_from:text answers:object pieces_left:number hopper:object");
    ck_assert(json_number(ran.out, "$.pieces_left") == json_number(act.out, "$.pieces_left"));
    done(&ran);
    done(&act);
    free(before);
    /* what is no act of the log prints the plan */
    ck_done("set", "-f", "shop.db", "2605", "name=other");
    ran = run("undo", "-f", "shop.db", NULL);
    ck_says_not(ran.out, "rest from");
    ck_says(ran.out, "\nends ");
    done(&ran);
}
END_TEST

START_TEST(a_row_of_the_log_that_is_mended_tells_what_is_left)
{
    late_day();
    char *before = json_of(record("09:32", "note", "x", "--json"));
    /* an hour less of the pause, written so that it comes before another row */
    struct ran ran = run("set", "-f", "shop.db", "record:2", "at=2026-12-01 07:10", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "record:2 at: 2026-12-01 09:30 -> 2026-12-01 07:10\nrest from ");
    ck_says_not(ran.out, "before ");
    ck_says(ran.out, "\nhopper about ");
    ck_says(ran.err, "resume at 07:10: it was not paused"); /* so the pause lasts */
    done(&ran);
    ran = run("set", "-f", "shop.db", "record:2", "at=2026-12-01 08:30", "--json", NULL);
    ck_document(ran.out);
    ck_keys(ran.out, "$", "target:text kept:true changes:array rest_from:text answers:object later_s:number");
    ck_assert_str_eq(json_text(ran.out, "$.target"), "record:2");
    done(&ran);
    char *after = json_of(record("09:32", "list", "--json"));
    ck_assert(json_number(after, "$.pauses[0].seconds_s") == 3600);
    free(after);
    ran = run("set", "-f", "shop.db", "record:2", "at=2026-12-01 09:00", "--dry-run", NULL);
    ck_assert_str_eq(ran.out, "record:2 at: 2026-12-01 08:30 -> 2026-12-01 09:00\n");
    done(&ran);
    ran = run("remove", "-f", "shop.db", "record:3", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "record:3 removed; `sandglass undo` brings it back\nrest from ");
    ck_says(ran.out, "hopper about ");
    done(&ran);
    free(before);
}
END_TEST

static void fill(TCase *tests)
{
    tcase_add_test(tests, what_is_left_is_told_by_each_command);
    tcase_add_test(tests, a_deadline_that_is_over_is_not_tomorrows);
    tcase_add_test(tests, the_plan_as_made_says_that_it_is_while_the_shift_is_at_work);
    tcase_add_test(tests, without_clocks_nothing_is_said);
    tcase_add_test(tests, undo_of_an_act_tells_what_is_left);
    tcase_add_test(tests, a_row_of_the_log_that_is_mended_tells_what_is_left);
}

int main(void)
{
    return run_suite("now", fill);
}
