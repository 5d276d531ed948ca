/* what-if: list, set, show, keep and drop, from outside. */
#include "cli/json.h"
#include "cli/run.h"

static struct ran what_if(const char *a, const char *b)
{
    const char *words[] = {"what-if", "-f", "shop.db", "--json", a, a ? b : NULL, NULL};
    struct ran ran = finish(start_words(NULL, words));
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_document(ran.out);
    return ran;
}

static struct ran plan_json(void)
{
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    return ran;
}

static void ck_listed(int n)
{
    struct ran ran = what_if(NULL, NULL);
    ck_keys(ran.out, "$", "what_ifs:array");
    ck_assert_int_eq(json_count(ran.out, "$.what_ifs"), n);
    done(&ran);
}

START_TEST(a_what_if_is_set_shown_kept_and_gone)
{
    ck_done("example", "shop.db");
    struct ran before = plan_json();
    struct ran set = run("what-if", "-f", "shop.db", "fewer", "set", "2601/1/A", "quantity=7", "pierces=4",
                         "--json", NULL);
    ck_code(set, 0);
    ck_document(set.out);
    ck_keys(set.out, "$", "what_if:text before:object after:object change:object answers:object");
    ck_assert_str_eq(json_text(set.out, "$.what_if"), "fewer");
    struct ran tried =
        run("try", "set", "-f", "shop.db", "2601/1/A", "quantity=7", "pierces=4", "--json", NULL);
    struct ran shown = what_if("fewer", NULL);
    ck_assert_str_eq(shown.out, set.out);
    static const char *const same[] = {"ends_s", "cut_s", "garnet_kg", "level_end_kg", "energy_kwh"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        char path[40];
        snprintf(path, sizeof path, "$.after.%s", same[i]);
        ck_assert(json_number(shown.out, path) == json_number(tried.out, path));
    }
    struct ran now = plan_json();
    ck_assert_str_eq(now.out, before.out);
    done(&now);
    struct ran history = run("history", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(history.out, "$.steps"), 0);
    done(&history);
    struct ran kept = what_if("fewer", "keep");
    ck_keys(kept.out, "$", "kept:text answers:object");
    now = plan_json();
    ck_assert_str_eq(json_text(now.out, "$.answers.ends_at"), json_text(shown.out, "$.answers.ends_at"));
    ck_assert_str_eq(json_text(kept.out, "$.answers.ends_at"), json_text(shown.out, "$.answers.ends_at"));
    done(&now);
    ck_listed(0);
    history = run("history", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(history.out, "$.steps"), 1);
    ck_assert_str_eq(json_text(history.out, "$.steps[0].words"), "what-if fewer, 2 changes");
    done(&history);
    ck_done("undo", "-f", "shop.db");
    now = plan_json();
    ck_assert_str_eq(now.out, before.out);
    done(&now);
    done(&before);
    done(&set);
    done(&tried);
    done(&shown);
    done(&kept);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

START_TEST(a_what_if_reads_as_plan_what_if_and_change)
{
    ck_done("example", "shop.db");
    ck_done("what-if", "-f", "shop.db", "fewer", "set", "2601/1/A", "quantity=7");
    ck_done("what-if", "-f", "shop.db", "fewer", "set", "2604", "note=less");
    struct ran ran = run("what-if", "-f", "shop.db", "fewer", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    const char *start = "2601/1/A quantity=7\n2604 note=less\nin plan  ends 14:41, 0:11 over | ";
    ck_assert_msg(strncmp(ran.out, start, strlen(start)) == 0, "%s", ran.out);
    ck_says(ran.out, "\nwhat if  ends 14:");
    ck_says(ran.out, "\npieces                 158      145       -13\n");
    done(&ran);
    ran = run("what-if", "-f", "shop.db", "fewer", "keep", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "fewer is in the plan now; one `sandglass undo` takes it out\nends 14:");
    ck_assert_str_eq(ran.err, "");
    done(&ran);
}
END_TEST

START_TEST(what_ifs_are_listed_with_what_they_save)
{
    ck_done("example", "shop.db");
    struct ran ran = run("what-if", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "none yet: `sandglass what-if NAME set TARGET FIELD=VALUE` makes one\n");
    done(&ran);
    ck_listed(0);
    ck_done("what-if", "-f", "shop.db", "fewer", "set", "2601/1/A", "quantity=7");
    ck_done("what-if", "-f", "shop.db", "more", "set", "2601/1/A", "quantity=40", "pierces=9");
    ck_done("what-if", "-f", "shop.db", "gone", "set", "2603/1/A", "quantity=40");
    ck_done("remove", "-f", "shop.db", "2603");
    struct bytes before = bytes_of("shop.db");
    ran = what_if(NULL, NULL);
    ck_assert_int_eq(json_count(ran.out, "$.what_ifs"), 3);
    ck_keys(ran.out, "$.what_ifs[0]", "name:text changes:integer saving_s:number problem:null");
    ck_keys(ran.out, "$.what_ifs[2]", "name:text changes:integer saving_s:null problem:text");
    ck_assert_str_eq(json_text(ran.out, "$.what_ifs[0].name"), "fewer");
    ck_assert(json_number(ran.out, "$.what_ifs[1].changes") == 2);
    struct ran fewer = what_if("fewer", NULL), more = what_if("more", NULL);
    ck_assert(json_number(ran.out, "$.what_ifs[0].saving_s") == -json_number(fewer.out, "$.change.ends_s"));
    ck_assert(json_number(ran.out, "$.what_ifs[1].saving_s") == -json_number(more.out, "$.change.ends_s"));
    ck_assert(json_number(ran.out, "$.what_ifs[1].saving_s") < 0);
    ck_says(json_text(ran.out, "$.what_ifs[2].problem"), "no job \"2603\"");
    done(&ran);
    done(&fewer);
    done(&more);
    ran = run("what-if", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "\nfewer          1  -1:");
    ck_says(ran.out, "\nmore           2  +1:");
    ck_says(ran.out, "\ngone           1         -  no job \"2603\"");
    done(&ran);
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

/* A name of as many bytes as its characters may take, and more of them than fit on a screen. */
START_TEST(every_what_if_is_listed_under_its_whole_name)
{
    char name[60 * 4 + 1];
    make_shop();
    for (int i = 0; i < 60; i++)
        memcpy(name + 4 * i, "\xF0\x9F\x94\xA9", 5);
    ck_done("what-if", "-f", "shop.db", name, "set", "machine:main", "bags_in_stock=9");
    for (int i = 0; i < 70; i++) {
        char other[20];
        snprintf(other, sizeof other, "w%d", i);
        ck_done("what-if", "-f", "shop.db", other, "set", "machine:main", "bags_in_stock=9");
    }
    struct ran ran = what_if(NULL, NULL);
    ck_assert_int_eq(json_count(ran.out, "$.what_ifs"), 71);
    ck_assert_str_eq(json_text(ran.out, "$.what_ifs[0].name"), name);
    ck_assert(json_number(ran.out, "$.what_ifs[0].changes") == 1);
    ck_assert_str_eq(json_text(ran.out, "$.what_ifs[70].name"), "w69");
    done(&ran);
    ck_refused(3, "no what-if \"w70\"", "what-if", "-f", "shop.db", "w70");
}
END_TEST

START_TEST(a_dropped_what_if_leaves_the_plan_as_it_was)
{
    ck_done("example", "shop.db");
    struct ran before = plan_json();
    ck_done("what-if", "-f", "shop.db", "one", "set", "2601/1/A", "quantity=7");
    ck_done("what-if", "-f", "shop.db", "two", "set", "2601/1/A", "quantity=8");
    struct ran ran = run("what-if", "-f", "shop.db", "one", "drop", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.out, "dropped what-if one; the plan is as it was\n");
    ck_assert_str_eq(ran.err, "");
    done(&ran);
    ck_listed(1);
    ran = what_if("two", "drop");
    ck_assert_str_eq(json_text(ran.out, "$.dropped"), "two");
    done(&ran);
    ck_listed(0);
    struct ran now = plan_json();
    ck_assert_str_eq(now.out, before.out);
    done(&now);
    done(&before);
    ck_refused(1, "nothing of yours to undo", "undo", "-f", "shop.db");
}
END_TEST

/* All of these fields would each alone leave a break outside of the shift. */
START_TEST(what_set_takes_together_a_what_if_takes_too)
{
    ck_done("example", "shop.db");
    struct ran ran = run("what-if", "-f", "shop.db", "late", "set", "shift:A", "start=14:00", "end=22:00",
                         "breaks=17:00-17:30", "--json", NULL);
    ck_code(ran, 0);
    ck_done("what-if", "-f", "shop.db", "late", "keep");
    struct ran now = plan_json();
    ck_assert_str_eq(json_text(now.out, "$.answers.ends_at"), json_text(ran.out, "$.answers.ends_at"));
    done(&now);
    done(&ran);
}
END_TEST

START_TEST(what_does_not_go_is_refused_and_the_file_is_as_it_was)
{
    static const struct {
        int code;
        const char *why, *words[8];
    } refused[] = {
        {3, "there is no what-if \"none\"", {"what-if", "-f", "shop.db", "none"}},
        {3, "there is no what-if \"none\"", {"what-if", "-f", "shop.db", "none", "keep"}},
        {3, "there is no what-if \"none\"", {"what-if", "-f", "shop.db", "none", "drop"}},
        {2, "usage: sandglass what-if", {"what-if", "-f", "shop.db", "one", "keep", "now"}},
        {2, "usage: sandglass what-if", {"what-if", "-f", "shop.db", "one", "forget"}},
        {2, "usage: sandglass what-if", {"what-if", "-f", "shop.db", "one", "set"}},
        {2, "usage: sandglass what-if", {"what-if", "-f", "shop.db", "one", "set", "2601/1/A"}},
        {2, "is not of the form FIELD=VALUE", {"what-if", "-f", "shop.db", "new", "set", "2601", "x"}},
        {3, "quantity=many", {"what-if", "-f", "shop.db", "new", "set", "2601/1/A", "quantity=many"}},
        {3, "no job \"9\"", {"what-if", "-f", "shop.db", "new", "set", "9", "order=1"}},
        {3, "has no field \"colour\"", {"what-if", "-f", "shop.db", "new", "set", "2601", "colour=red"}},
        {3, "empty", {"what-if", "-f", "shop.db", "", "set", "2601", "order=2"}},
        {3, "no job \"2602\"", {"what-if", "-f", "shop.db", "one"}},
        {3, "no job \"2602\"", {"what-if", "-f", "shop.db", "one", "keep"}},
        {4, "there is no shop file", {"what-if", "-f", "none.db"}},
    };
    ck_done("example", "shop.db");
    ck_done("what-if", "-f", "shop.db", "one", "set", "2602/1/A", "quantity=7");
    ck_done("remove", "-f", "shop.db", "2602");
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
    tcase_add_test(tcase, a_what_if_is_set_shown_kept_and_gone);
    tcase_add_test(tcase, a_what_if_reads_as_plan_what_if_and_change);
    tcase_add_test(tcase, what_ifs_are_listed_with_what_they_save);
    tcase_add_test(tcase, every_what_if_is_listed_under_its_whole_name);
    tcase_add_test(tcase, a_dropped_what_if_leaves_the_plan_as_it_was);
    tcase_add_test(tcase, what_set_takes_together_a_what_if_takes_too);
    tcase_add_test(tcase, what_does_not_go_is_refused_and_the_file_is_as_it_was);
}

int main(void)
{
    return run_suite("what-if", fill);
}
