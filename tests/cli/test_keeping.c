/* Rows, what-ifs and backups through the program: what is kept, taken back, and left alone. */
#include "cli/json.h"
#include "cli/run.h"

#include <signal.h>
#include <sys/wait.h>

static void make_example(void)
{
    ck_done("example", "shop.db");
}

/* The plan as JSON, to compare before and after. */
static char *plan_now(void)
{
    struct ran ran = run("plan", "--json", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    char *text = strdup(ran.out);
    ck_assert_ptr_nonnull(text);
    done(&ran);
    return text;
}

static void ck_plan_is(const char *before)
{
    char *now = plan_now();
    ck_assert_str_eq(now, before);
    free(now);
}

START_TEST(a_row_removed_comes_back_with_undo)
{
    make_example();
    char *before = plan_now();
    static const char *const keys[] = {"2602", "2603/1", "2601/1/A"};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        struct ran ran = run("remove", keys[i], "-f", "shop.db", NULL);
        ck_code(ran, 0);
        ck_says(ran.out, "removed");
        done(&ran);
        ck_refused(3, "no ", "remove", keys[i], "-f", "shop.db");
        ck_done("undo", "-f", "shop.db");
        ck_plan_is(before);
    }
    struct bytes bytes = bytes_of("shop.db");
    ck_refused(3, "abrasive", "remove", "head:abrasive", "-f", "shop.db");
    ck_refused(3, "A", "remove", "shift:A", "-f", "shop.db");
    ck_refused(3, "machine", "remove", "machine:main", "-f", "shop.db");
    ck_unchanged("shop.db", &bytes);
    free(before);
}
END_TEST

START_TEST(copies_and_moves_keep_what_belongs_to_the_row)
{
    make_example();
    char *before = plan_now();
    ck_done("copy", "2601", "2701", "-f", "shop.db");
    struct ran ran = run("plan", "--json", "-f", "shop.db", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[5].job"), "2701");
    ck_assert_int_eq(json_count(ran.out, "$.jobs[5].stocks[0].parts"), 2);
    ck_near(json_number(ran.out, "$.jobs[5].stocks[0].parts[1].cut_s"),
            json_number(ran.out, "$.jobs[0].stocks[0].parts[1].cut_s"), 1e-12);
    done(&ran);
    ck_refused(3, "exists already", "copy", "2602", "2701", "-f", "shop.db");
    ck_done("move", "2701/1/A", "2602/1/A2", "-f", "shop.db");
    ran = run("plan", "--json", "-f", "shop.db", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.jobs[5].stocks[0].parts"), 1);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[1].stocks[0].parts[1].part"), "A2");
    done(&ran);
    ck_refused(3, "shift", "move", "2701", "2602", "-f", "shop.db");
    ck_done("undo", "-f", "shop.db");
    ck_done("undo", "-f", "shop.db");
    ck_plan_is(before);
    free(before);
}
END_TEST

START_TEST(a_what_if_leaves_the_plan_alone_until_it_is_kept)
{
    make_example();
    char *before = plan_now();
    struct ran made = run("what-if", "early", "set", "2602/1/A", "edge=3", "--json", "-f", "shop.db", NULL);
    ck_code(made, 0);
    double change = json_number(made.out, "$.change.ends_s");
    ck_assert(change < 0);
    ck_plan_is(before);
    struct ran list = run("what-if", "--json", "-f", "shop.db", NULL);
    ck_near(json_number(list.out, "$.what_ifs[0].saving_s"), -change, 1e-12);
    ck_refused(3, "edge=9", "what-if", "early", "set", "2602/1/A", "edge=9", "-f", "shop.db");
    ck_refused(3, "no what-if", "what-if", "other", "-f", "shop.db");
    ck_refused(3, "no what-if", "what-if", "other", "drop", "-f", "shop.db");
    ck_done("what-if", "early", "keep", "-f", "shop.db");
    struct ran kept = run("plan", "--json", "-f", "shop.db", NULL);
    ck_near(json_seconds(kept.out, "$.answers.ends_at") - json_seconds(before, "$.answers.ends_at"), change,
            1e-4);
    ck_refused(3, "no what-if", "what-if", "early", "-f", "shop.db"); /* it is dropped */
    ck_done("undo", "-f", "shop.db");
    ck_plan_is(before);
    done(&made);
    done(&list);
    done(&kept);
    free(before);
}
END_TEST

START_TEST(a_backup_is_the_same_shop_and_never_goes_over_a_file)
{
    make_example();
    ck_done("backup", "copy.db", "-f", "shop.db");
    struct ran a = run("plan", "--json", "-f", "shop.db", NULL),
               b = run("plan", "--json", "-f", "copy.db", NULL);
    ck_assert_str_eq(a.out, b.out);
    ck_refused(6, "copy.db", "backup", "copy.db", "-f", "shop.db");
    done(&a);
    done(&b);
}
END_TEST

/* The program killed after so many microseconds; then the file must be whole and either as before or as
 * after. */
static void kill_in(const char *const *words, unsigned microseconds)
{
    struct run_how how = {0};
    struct running running = start_words(&how, words);
    struct timespec pause = {0, (long)microseconds * 1000};
    nanosleep(&pause, NULL);
    kill(running.pid, SIGKILL);
    struct ran ran = finish(running);
    done(&ran);
    ran = run("check", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "nothing wrong found");
    done(&ran);
}

START_TEST(a_kill_leaves_the_last_kept_state)
{
    static const char *const set[] = {"set", "2601/1/A", "quantity=7", "-f", "shop.db", NULL};
    static const char *const remove[] = {"remove", "2603", "-f", "shop.db", NULL};
    static const char *const undo[] = {"undo", "-f", "shop.db", NULL};
    const char *const *const commands[] = {set, undo, remove, undo};
    make_example();
    for (unsigned i = 0; i < 48; i++) {
        kill_in(commands[i % 4], 200 + i % 12 * 350);
        char *plan = plan_now();
        double quantity = json_number(plan, "$.jobs[0].stocks[0].parts[0].quantity");
        ck_assert(quantity == 20 || quantity == 7);
        int jobs = json_count(plan, "$.jobs");
        ck_assert(jobs == 5 || jobs == 4);
        free(plan);
    }
    struct ran ran = run("set", "2601/1/A", "quantity=9", "-f", "shop.db", NULL); /* and it works on */
    ck_code(ran, 0);
    done(&ran);
    ck_done("undo", "-f", "shop.db");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_row_removed_comes_back_with_undo);
    tcase_add_test(tcase, copies_and_moves_keep_what_belongs_to_the_row);
    tcase_add_test(tcase, a_what_if_leaves_the_plan_alone_until_it_is_kept);
    tcase_add_test(tcase, a_backup_is_the_same_shop_and_never_goes_over_a_file);
    tcase_add_test(tcase, a_kill_leaves_the_last_kept_state);
}

int main(void)
{
    return run_suite("keeping", fill);
}
