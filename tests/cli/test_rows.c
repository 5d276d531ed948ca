/* remove, copy and move: whole rows, with one undo each. */
#include "cli/json.h"
#include "cli/run.h"

static struct ran plan_json(void)
{
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    return ran;
}

/* The keys of the plan's jobs in order, as "2601 2602". */
static void ck_jobs(const char *wanted)
{
    struct ran ran = plan_json();
    char got[400] = "", path[40];
    for (int i = 0; i < json_count(ran.out, "$.jobs"); i++) {
        snprintf(path, sizeof path, "$.jobs[%d].job", i);
        snprintf(got + strlen(got), sizeof got - strlen(got), "%s%s", i ? " " : "", json_text(ran.out, path));
    }
    ck_assert_str_eq(got, wanted);
    done(&ran);
}

/* The next plan is the same document. */
static void ck_plan_is(const struct ran *wanted)
{
    struct ran now = plan_json();
    ck_assert_str_eq(now.out, wanted->out);
    done(&now);
}

static void ck_run(const char *first_line, const char *const *words)
{
    struct ran ran = finish(start_words(NULL, words));
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_assert_msg(strncmp(ran.out, first_line, strlen(first_line)) == 0, "%s", ran.out);
    done(&ran);
}

#define ck_prints(first_line, ...) ck_run(first_line, (const char *[]){__VA_ARGS__, NULL})

static const struct {
    const char *words[6];
    const char *says;
} each[] = {
    {{"remove", "-f", "shop.db", "2602"},
     "2602 removed; `sandglass undo` brings it back\nends 13:11, in time"},
    {{"remove", "-f", "shop.db", "2605/1"}, "2605/1 removed; `sandglass undo` brings it back\nends "},
    {{"remove", "-f", "shop.db", "2601/1/A"}, "2601/1/A removed; `sandglass undo` brings it back\nends "},
    {{"copy", "-f", "shop.db", "2601", "2801"}, "2601 copied: 2801\nends "},
    {{"copy", "-f", "shop.db", "2601/1", "2605"}, "2601/1 copied: 2605/3\nends "},
    {{"copy", "-f", "shop.db", "2601/1/A", "2602/1/3/4"}, "2601/1/A copied: 2602/1/3/4\nends "},
    {{"move", "-f", "shop.db", "2601/1", "2604"}, "2601/1 moved: 2604/2\nends "},
    {{"move", "-f", "shop.db", "2601/1/B", "2602/1"}, "2601/1/B moved: 2602/1/B\nends "},
};
enum { EACH = sizeof each / sizeof *each };

START_TEST(a_row_is_changed_as_said_and_one_undo_brings_all_back)
{
    ck_done("example", "shop.db");
    struct ran before = plan_json();
    ck_run(each[_i].says, each[_i].words);
    struct ran after = plan_json();
    ck_assert_str_ne(before.out, after.out);
    ck_quiet("check", "-f", "shop.db");
    ck_done("undo", "-f", "shop.db");
    ck_plan_is(&before);
    ck_quiet("check", "-f", "shop.db");
    ck_done("redo", "-f", "shop.db");
    ck_plan_is(&after);
    ck_quiet("check", "-f", "shop.db");
    done(&before);
    done(&after);
    struct ran history = run("history", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(history.out, "$.steps"), 3);
    done(&history);
}
END_TEST

START_TEST(jobs_close_up_come_last_and_change_shifts)
{
    ck_done("example", "shop.db");
    ck_done("remove", "-f", "shop.db", "2602");
    ck_jobs("2601 2603 2604 2605");
    ck_done("copy", "-f", "shop.db", "2601", "2801");
    ck_jobs("2601 2603 2604 2605 2801");
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-02");
    ck_prints("2604 moved: 2604\nends ", "move", "-f", "shop.db", "2604", "shift:B");
    ck_jobs("2601 2603 2605 2801");
    struct ran ran = run("plan", "-f", "shop.db", "B", "--json", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].job"), "2604");
    ck_assert_int_eq(json_count(ran.out, "$.jobs"), 1);
    done(&ran);
    ck_done("undo", "-f", "shop.db");
    ck_jobs("2601 2603 2604 2605 2801");
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

START_TEST(what_is_not_in_the_plan_itself_is_copied_and_removed_too)
{
    ck_done("example", "shop.db");
    ck_prints("head:abrasive copied: head:abrasive two\n", "copy", "-f", "shop.db", "head:abrasive",
              "head:abrasive two");
    ck_prints("material:copper copied: material:copper, soft\n", "copy", "-f", "shop.db", "material:copper",
              "material:copper, soft");
    ck_prints("shift:A copied: shift:Late\n", "copy", "-f", "shop.db", "shift:A", "shift:Late");
    ck_done("add", "-f", "shop.db", "chore", "wash", "time=5 min");
    ck_prints("chore:wash copied: chore:rinse\n", "copy", "-f", "shop.db", "chore:wash", "chore:rinse");
    static const char *const keys[] = {"head:abrasive two", "material:copper, soft", "shift:Late",
                                       "chore:wash", "chore:rinse"};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        char says[100];
        snprintf(says, sizeof says, "%s removed; `sandglass undo` brings it back\n", keys[i]);
        ck_prints(says, "remove", "-f", "shop.db", keys[i]);
    }
    /* by another name of it, and what is said is what is gone */
    ck_prints("material:copper, beryllium removed;", "remove", "-f", "shop.db", "material:BeCu");
    struct ran ran = run("history", "-f", "shop.db", "--json", "--limit", "1", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.steps[0].words"), "material:copper, beryllium removed");
    done(&ran);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

/* A shop without a shift has no plan to tell of. */
START_TEST(the_last_shift_may_go)
{
    make_shop();
    ck_prints("shift:A removed; `sandglass undo` brings it back\n", "remove", "-f", "shop.db", "shift:A");
    ck_quiet("check", "-f", "shop.db");
    ck_refused(3, "there is no shift for a job", "add", "-f", "shop.db", "job", "1");
    ck_done("undo", "-f", "shop.db");
    ck_done("add", "-f", "shop.db", "job", "1");
}
END_TEST

START_TEST(what_cannot_be_done_is_refused_and_the_file_is_as_it_was)
{
    static const struct {
        int code;
        const char *why, *words[6];
    } refused[] = {
        {3,
         "shift A cannot be removed while job 2601 and 4 more use it",
         {"remove", "-f", "shop.db", "shift:A"}},
        {3, "head abrasive cannot be removed", {"remove", "-f", "shop.db", "head:abrasive"}},
        {3,
         "cannot be removed while stock 2604/1 uses it",
         {"remove", "-f", "shop.db", "material:glass, float"}},
        {3, "the machine cannot be removed", {"remove", "-f", "shop.db", "machine:main"}},
        {3, "no job \"9\"", {"remove", "-f", "shop.db", "9"}},
        {3, "has no part \"Z\"", {"remove", "-f", "shop.db", "2601/1/Z"}},
        {2, "usage: sandglass remove KEY", {"remove", "-f", "shop.db"}},
        {2, "usage: sandglass remove KEY", {"remove", "-f", "shop.db", "2601", "2602"}},
        {3, "2602 exists already", {"copy", "-f", "shop.db", "2601", "2602"}},
        {3, "may not hold / or :", {"copy", "-f", "shop.db", "2601", "a/b"}},
        {3, "A exists already", {"copy", "-f", "shop.db", "2601/1/A", "2602/1"}},
        {3, "a shop file holds one machine", {"copy", "-f", "shop.db", "machine:main", "machine:two"}},
        {3, "a head is copied to head:NAME", {"copy", "-f", "shop.db", "head:water", "water two"}},
        {2, "usage: sandglass copy KEY TO", {"copy", "-f", "shop.db", "2601"}},
        {3, "a job is moved to shift:ID", {"move", "-f", "shop.db", "2601", "2602"}},
        {3, "no shift \"Z\"", {"move", "-f", "shop.db", "2601", "shift:Z"}},
        {3, "a stock goes to a JOB", {"move", "-f", "shop.db", "2601/1", "2602/1"}},
        {3, "shift:A is a shift", {"move", "-f", "shop.db", "shift:A", "shift:B"}},
        {2, "usage: sandglass move KEY TO", {"move", "-f", "shop.db"}},
        {2, "takes no option --json", {"remove", "-f", "shop.db", "2601", "--json"}},
        {4, "there is no shop file", {"move", "-f", "none.db", "2601", "shift:A"}},
    };
    ck_done("example", "shop.db");
    struct bytes before = bytes_of("shop.db");
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        struct ran ran = finish(start_words(NULL, refused[i].words));
        ck_code(ran, refused[i].code);
        ck_says(ran.err, refused[i].why);
        ck_assert_str_eq(ran.out, "");
        done(&ran);
    }
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_loop_test(tcase, a_row_is_changed_as_said_and_one_undo_brings_all_back, 0, EACH);
    tcase_add_test(tcase, jobs_close_up_come_last_and_change_shifts);
    tcase_add_test(tcase, what_is_not_in_the_plan_itself_is_copied_and_removed_too);
    tcase_add_test(tcase, the_last_shift_may_go);
    tcase_add_test(tcase, what_cannot_be_done_is_refused_and_the_file_is_as_it_was);
}

int main(void)
{
    return run_suite("rows", fill);
}
