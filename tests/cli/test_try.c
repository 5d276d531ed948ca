/* try and suggest: what a change would do, as set then does it, with the file left as it is. */
#include "cli/json.h"
#include "cli/run.h"

static const char *const rows[] = {"ends_s",       "over_s",    "cut_s",      "pierce_s", "rapid_s",
                                   "hands_on_s",   "waiting_s", "refills",    "bags",     "garnet_kg",
                                   "level_end_kg", "water_l",   "energy_kwh", "sheets",   "pieces"};
enum { ROWS = sizeof rows / sizeof *rows };

static void make_example(void)
{
    ck_done("example", "shop.db");
}

static double row_of(const char *json, const char *of, const char *row)
{
    char path[80];
    snprintf(path, sizeof path, "$.%s.%s", of, row);
    return json_number(json, path);
}

/* The rows of a side of try that `plan` says too. */
static void ck_side_is_plan(const char *tried, const char *side, const char *plan)
{
    static const char *const same[] = {"cut_s", "pierce_s",  "rapid_s", "hands_on_s", "waiting_s", "refills",
                                       "bags",  "garnet_kg", "water_l", "energy_kwh", "sheets",    "pieces"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++)
        ck_assert_msg(row_of(tried, side, same[i]) == row_of(plan, "totals", same[i]),
                      "%s %s: %.17g, plan %.17g", side, same[i], row_of(tried, side, same[i]),
                      row_of(plan, "totals", same[i]));
    ck_assert(row_of(tried, side, "over_s") == row_of(plan, "answers", "over_s"));
    double level = json_ask(plan, "SELECT json_extract(?1, '$.hopper[#-1].level_kg')");
    ck_assert(fabs(row_of(tried, side, "level_end_kg") - level) < 1e-9);
}

static void ck_try_is_set(const char *target, const char *first, const char *second)
{
    struct bytes before = bytes_of("shop.db");
    struct ran now = run("plan", "-f", "shop.db", "--json", NULL);
    struct ran tried = run("try", "set", "-f", "shop.db", "--json", target, first, second, NULL);
    ck_code(now, 0);
    ck_code(tried, 0);
    ck_document(tried.out);
    ck_keys(tried.out, "$",
            "target:text changes:array before:object after:object change:object answers:object");
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
    ck_side_is_plan(tried.out, "before", now.out);
    struct ran set = run("set", "-f", "shop.db", "--json", target, first, second, NULL);
    ck_code(set, 0);
    struct ran then = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(then, 0);
    ck_side_is_plan(tried.out, "after", then.out);
    ck_assert_str_eq(json_text(tried.out, "$.target"), json_text(set.out, "$.target"));
    ck_assert_str_eq(json_text(tried.out, "$.answers.ends_at"), json_text(then.out, "$.answers.ends_at"));
    for (int i = 0; i < json_count(set.out, "$.changes"); i++) {
        static const char *const keys[] = {"field", "before", "after"};
        for (int k = 0; k < 3; k++) {
            char path[60];
            snprintf(path, sizeof path, "$.changes[%d].%s", i, keys[k]);
            ck_assert_str_eq(json_text(tried.out, path), json_text(set.out, path));
        }
    }
    for (int i = 0; i < ROWS; i++)
        ck_assert_msg(row_of(tried.out, "change", rows[i]) ==
                          row_of(tried.out, "after", rows[i]) - row_of(tried.out, "before", rows[i]),
                      "%s", rows[i]);
    double ends = json_seconds(tried.out, "$.answers.ends_at") - json_seconds(now.out, "$.answers.ends_at");
    ck_assert_msg(fabs(row_of(tried.out, "change", "ends_s") - ends) < 2e-3,
                  "ends %.9g later, change says %.9g", ends, row_of(tried.out, "change", "ends_s"));
    done(&now);
    done(&tried);
    done(&set);
    done(&then);
}

START_TEST(what_is_tried_is_what_set_then_does)
{
    make_example();
    ck_try_is_set("2601/1/A", "quantity=27", NULL);
    ck_try_is_set("2602/1/A", "edge=coarse", "quantity=20");
    ck_try_is_set("2603/1", "thickness=3/8in", "feed_override=110%");
    ck_try_is_set("2603", "order=1", NULL);
    ck_try_is_set("machine:main", "hopper_level=90 lb", "bags_in_stock=9");
    ck_try_is_set("head:abrasive", "pressure=50 ksi", "garnet=0.6 lb/min");
    ck_try_is_set("material:steel, mild", "machinability=95", NULL);
    ck_try_is_set("shift:A", "breaks=10:00-10:30", "run_in_breaks=no");
    ck_try_is_set("shift:A", "start=05:15", NULL);
    ck_try_is_set("2605", "note=as tried", "due=2026-12-01 15:00");
}
END_TEST

START_TEST(a_trial_reads_as_before_tried_and_change)
{
    make_example();
    struct bytes before = bytes_of("shop.db");
    struct ran plan = run("plan", "-f", "shop.db", NULL);
    struct ran tried = run("try", "set", "-f", "shop.db", "2601/1/A", "quantity=10", NULL);
    ck_code(tried, 0);
    ck_assert_str_eq(tried.err, "");
    ck_says(plan.out, "Ends    14:41, 0:11 over\n");
    ck_says(tried.out, "2601/1/A quantity: 20 -> 10\nbefore  ends 14:41, 0:11 over | refill ");
    ck_says(tried.out, "\ntried   ends 1");
    ck_says(tried.out,
            "                   in plan    tried    change  unit\nshift ends           14:41    1");
    ck_says(tried.out, "\npieces                 158      148       -10\n");
    ck_says(tried.out, "\nsheets                  11       10        -1\n");
    ck_says(tried.out, "Nothing is written");
    ck_unchanged("shop.db", &before);
    done(&plan);
    done(&tried);
}
END_TEST

/* The plan as kept ends at 14:41 whatever start is tried, and the change is what the wall clock shows. */
START_TEST(another_start_of_the_shift_leaves_the_kept_end_where_it_is)
{
    make_example();
    struct ran tried = run("try", "set", "-f", "shop.db", "shift:A", "start=07:00", NULL);
    ck_code(tried, 0);
    ck_says(tried.out, "\nbefore  ends 14:41, 0:11 over");
    ck_says(tried.out, "\ntried   ends 15:36, 1:06 over");
    ck_says(tried.out, "\nshift ends           14:41    15:36  +0:54:08\n");
    ck_says(tried.out, "\nover               0:11:57  1:06:05  +0:54:08\n");
    done(&tried);
}
END_TEST

START_TEST(what_cannot_be_timed_is_a_dash_and_null)
{
    make_example();
    struct ran tried = run("try", "set", "-f", "shop.db", "2605/2/A", "cut_length=none", NULL);
    ck_code(tried, 0);
    ck_says(tried.out, "\nshift ends           14:41      -");
    ck_says(tried.out,
            "\nrefills                  1      -"); /* the run stops before it: there may be more */
    ck_says(tried.out, "\npieces                 158    158");
    done(&tried);
    tried = run("try", "set", "-f", "shop.db", "2605/2/A", "cut_length=none", "--json", NULL);
    ck_code(tried, 0);
    ck_document(tried.out);
    ck_assert_str_eq(json_type(tried.out, "$.after.ends_s"), "null");
    ck_assert_str_eq(json_type(tried.out, "$.change.ends_s"), "null");
    ck_assert_str_eq(json_type(tried.out, "$.after.level_end_kg"), "null");
    ck_assert(row_of(tried.out, "before", "ends_s") > 0);
    done(&tried);
}
END_TEST

/* As set does: how a comma was read, and that a value is unusual. */
START_TEST(a_remark_about_a_value_is_said)
{
    make_example();
    struct ran tried = run("try", "set", "-f", "shop.db", "2601/1", "thickness=12,5 mm", NULL);
    ck_code(tried, 0);
    ck_says(tried.err, "2601/1 thickness: read as 12.5");
    done(&tried);
    tried = run("try", "set", "-f", "shop.db", "2601/1/A", "quantity=200000", "--json", NULL);
    ck_code(tried, 0);
    ck_says(tried.err, "unusually large, kept");
    ck_assert_str_eq(json_type(tried.out, "$.changes[0].odd"), "true");
    done(&tried);
}
END_TEST

START_TEST(a_wrong_trial_is_refused_as_set_refuses_it)
{
    make_example();
    struct bytes before = bytes_of("shop.db");
    ck_refused(2, "usage: sandglass try set TARGET", "try", "-f", "shop.db");
    ck_refused(2, "usage: sandglass try set TARGET", "try", "set", "-f", "shop.db", "2601");
    ck_refused(2, "usage: sandglass try set TARGET", "try", "add", "-f", "shop.db", "job", "X");
    ck_refused(2, "is not of the form FIELD=VALUE", "try", "set", "-f", "shop.db", "2601/1/A", "quantity");
    ck_refused(2, "quantity is given twice", "try", "set", "-f", "shop.db", "2601/1/A", "quantity=1",
               "quantity=2");
    ck_refused(2, "takes no option --dry-run", "try", "set", "-f", "shop.db", "2601/1/A", "quantity=1",
               "--dry-run");
    ck_refused(3, "a part has no field \"colour\"", "try", "set", "-f", "shop.db", "2601/1/A", "colour=red");
    ck_refused(3, "quantity=many", "try", "set", "-f", "shop.db", "2601/1/A", "quantity=many");
    ck_refused(3, "quantity=:", "try", "set", "-f", "shop.db", "2601/1/A", "quantity=");
    ck_refused(3, "no job \"9999\"", "try", "set", "-f", "shop.db", "9999", "order=1");
    ck_refused(3, "has no part \"Z\"", "try", "set", "-f", "shop.db", "2601/1/Z", "quantity=1");
    ck_refused(3, "not below the hopper's", "try", "set", "-f", "shop.db", "machine:main", "low_line=900 lb");
    ck_refused(4, "there is no shop file", "try", "set", "-f", "none.db", "2601", "order=1");
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

/* ---- suggest ---- */

/* The jobs that a suggestion calls late are those that the plan with it has late. */
static void ck_late(const char *found, const char *at, const char *plan)
{
    char path[100];
    int late = 0;
    snprintf(path, sizeof path, "%s.late", at);
    int said = (int)json_number(found, path);
    for (int i = 0; i < json_count(plan, "$.jobs"); i++) {
        char job[60], id[60];
        snprintf(path, sizeof path, "$.jobs[%d].late_s", i);
        if (!json_is_number(plan, path) || json_number(plan, path) <= 0)
            continue;
        snprintf(path, sizeof path, "$.jobs[%d].job", i);
        snprintf(id, sizeof id, "%s", json_text(plan, path));
        snprintf(path, sizeof path, "%s.late_jobs[%d]", at, late++);
        snprintf(job, sizeof job, "%s", json_text(found, path));
        ck_assert_str_eq(job, id);
    }
    ck_assert_int_eq(said, late);
    snprintf(path, sizeof path, "%s.late_jobs", at);
    ck_assert_int_eq(json_count(found, path), late);
}

START_TEST(each_suggestion_is_what_set_then_does)
{
    make_example();
    ck_done("set", "-f", "shop.db", "2602/1/A", "edge_least=1");
    struct bytes before = bytes_of("shop.db");
    struct ran now = run("plan", "-f", "shop.db", "--json", NULL);
    struct ran found = run("suggest", "-f", "shop.db", "--json", NULL);
    ck_code(found, 0);
    ck_document(found.out);
    ck_keys(found.out, "$", "shift:text tried:integer changes:array");
    ck_unchanged("shop.db", &before);
    before = bytes_of("shop.db");
    ck_assert_str_eq(json_text(found.out, "$.shift"), "A");
    int n = json_count(found.out, "$.changes");
    ck_assert_int_ge(n, 2);
    ck_assert_int_ge((int)json_number(found.out, "$.tried"), n);
    for (int i = 0; i < n; i++) {
        char at[60], path[100];
        snprintf(at, sizeof at, "$.changes[%d]", i);
        ck_keys(found.out, at,
                "words:text saving_s:number ends_at:text over_s:number refills:integer late:integer "
                "late_jobs:array set:array");
        snprintf(path, sizeof path, "%s.set", at);
        for (int k = 0; k < json_count(found.out, path); k++) {
            char target[100], assignment[100];
            snprintf(target, sizeof target, "%s.set[%d].target", at, k);
            snprintf(assignment, sizeof assignment, "%s.set[%d].assignment", at, k);
            ck_done("set", "-f", "shop.db", json_text(found.out, target), json_text(found.out, assignment));
        }
        struct ran then = run("plan", "-f", "shop.db", "A", "--json", NULL);
        snprintf(path, sizeof path, "%s.ends_at", at);
        ck_assert_str_eq(json_text(then.out, "$.answers.ends_at"), json_text(found.out, path));
        snprintf(path, sizeof path, "%s.saving_s", at);
        double saved =
            json_seconds(now.out, "$.answers.ends_at") - json_seconds(then.out, "$.answers.ends_at");
        ck_assert(fabs(json_number(found.out, path) - saved) < 2e-3);
        snprintf(path, sizeof path, "%s.refills", at);
        ck_assert(json_number(found.out, path) == json_number(then.out, "$.totals.refills"));
        ck_late(found.out, at, then.out);
        done(&then);
        write_bytes("shop.db", before.at, before.size);
    }
    free(before.at);
    done(&now);
    done(&found);
}
END_TEST

/* Four swaps end it at the same time; the three that make a second customer wait are left out. */
START_TEST(suggestions_read_best_first_with_the_words_that_keep_them)
{
    make_example();
    struct ran found = run("suggest", "-f", "shop.db", NULL);
    ck_code(found, 0);
    ck_assert_str_eq(found.err, "");
    ck_says(found.out, "Shift A: 18 changes tried, 1 ends it earlier\n");
    ck_says(found.out, " 1  swap jobs 2603 and 2604: ends 14:35, 0:06:19 earlier, 0:05 over, late: 2605\n"
                       "      sandglass set 2604 order=3\n");
    done(&found);
    ck_done("set", "-f", "shop.db", "2602", "due=none");
    ck_done("set", "-f", "shop.db", "2601", "due=none");
    found = run("suggest", "-f", "shop.db", NULL);
    ck_says(found.out, "Shift A: 18 changes tried, 4 end it earlier, the best first\n");
    ck_says(found.out, " 3  swap jobs 2601 and 2603: ends 14:35, 0:06:19 earlier, 0:05 over, late: 2605\n"
                       "      sandglass set 2603 order=1 && sandglass set 2601 order=3\n");
    struct ran named = run("suggest", "-f", "shop.db", "A", NULL),
               keyed = run("suggest", "shift:A", "-f", "shop.db", NULL);
    ck_code(named, 0);
    ck_code(keyed, 0);
    ck_assert_str_eq(named.out, found.out);
    ck_assert_str_eq(keyed.out, found.out);
    done(&found);
    done(&named);
    done(&keyed);
}
END_TEST

/* A name with a blank and an apostrophe: what is printed is run by a shell as it stands. */
START_TEST(the_words_that_keep_a_suggestion_can_be_pasted_into_a_shell)
{
    make_example();
    ck_done("add", "-f", "shop.db", "part", "2602/1", "it's $HOME; x", "quantity=8", "cut_length=40 in",
            "length=5 in", "width=5 in", "edge_least=1");
    struct ran found = run("suggest", "-f", "shop.db", NULL);
    ck_code(found, 0);
    const char *line = strstr(found.out, "sandglass set '2602/1/it'\\''s $HOME; x' edge=3\n");
    ck_assert_msg(line != NULL, "%s", found.out);
    char command[1200];
    snprintf(command, sizeof command,
             "sandglass() { '%s' \"$@\"; }; SANDGLASS_FILE=shop.db; export SANDGLASS_FILE; %.*s >kept.txt",
             PROGRAM, (int)strcspn(line, "\n"), line);
    ck_assert_int_eq(system(command), 0);
    struct bytes kept = bytes_of("kept.txt");
    ck_says(kept.at, "2602/1/it's $HOME; x edge: none -> 3 medium\n");
    free(kept.at);
    done(&found);
}
END_TEST

START_TEST(where_nothing_helps_the_answer_is_no)
{
    make_shop();
    struct ran found = run("suggest", "-f", "shop.db", NULL);
    ck_code(found, 1);
    ck_assert_str_eq(found.out, "Shift A: 1 change tried, 0 end it earlier\n");
    ck_assert_str_eq(found.err, "");
    done(&found);
    found = run("suggest", "-f", "shop.db", "--json", NULL);
    ck_code(found, 1);
    ck_document(found.out);
    ck_assert_int_eq(json_count(found.out, "$.changes"), 0);
    done(&found);
}
END_TEST

START_TEST(a_shift_that_could_not_end_before_has_no_saving_in_seconds)
{
    make_example();
    ck_done("set", "-f", "shop.db", "machine:main", "bags_in_stock=1");
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-02");
    struct ran plan = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_type(plan.out, "$.answers.ends_at"), "null");
    struct ran found = run("suggest", "-f", "shop.db", NULL),
               json = run("suggest", "-f", "shop.db", "--json", NULL);
    ck_code(found, 0);
    ck_says(found.out, "move job 2601 to shift B: ends ");
    ck_says_not(found.out, "earlier, 0"); /* nothing to be earlier than */
    ck_code(json, 0);
    ck_document(json.out);
    ck_assert_str_eq(json_type(json.out, "$.changes[0].saving_s"), "null");
    done(&plan);
    done(&found);
    done(&json);
}
END_TEST

START_TEST(a_shift_that_is_not_there_is_named)
{
    make_example();
    ck_refused(3, "no shift \"Z\"; the first is A", "suggest", "-f", "shop.db", "Z");
    ck_refused(3, "no shift \"Z\"; the first is A", "suggest", "-f", "shop.db", "shift:Z");
    ck_refused(2, "usage: sandglass suggest [SHIFT]", "suggest", "-f", "shop.db", "A", "B");
    ck_refused(4, "there is no shop file", "suggest", "-f", "none.db");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, what_is_tried_is_what_set_then_does);
    tcase_add_test(tcase, a_trial_reads_as_before_tried_and_change);
    tcase_add_test(tcase, another_start_of_the_shift_leaves_the_kept_end_where_it_is);
    tcase_add_test(tcase, what_cannot_be_timed_is_a_dash_and_null);
    tcase_add_test(tcase, a_remark_about_a_value_is_said);
    tcase_add_test(tcase, a_wrong_trial_is_refused_as_set_refuses_it);
    tcase_add_test(tcase, each_suggestion_is_what_set_then_does);
    tcase_add_test(tcase, suggestions_read_best_first_with_the_words_that_keep_them);
    tcase_add_test(tcase, the_words_that_keep_a_suggestion_can_be_pasted_into_a_shell);
    tcase_add_test(tcase, where_nothing_helps_the_answer_is_no);
    tcase_add_test(tcase, a_shift_that_could_not_end_before_has_no_saving_in_seconds);
    tcase_add_test(tcase, a_shift_that_is_not_there_is_named);
}

int main(void)
{
    return run_suite("try", fill);
}
