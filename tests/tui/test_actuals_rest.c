/* What the rest of the day says where it is not asked: on the screens of the plan, of fields, of breaks. */
#include "edit/run_suite.h"
#include "tui/actuals_day.h"

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* The screens of the plan say behind its answers when the rest ends, as the Actuals screen does. */
START_TEST(the_screens_of_the_plan_say_when_it_really_ends)
{
    static const char *const screens[] = {"gs", "gj", "gh", "gp"};
    char ends[20], words[60];
    int later;
    press(&s, screens[_i]);
    while (sg_ui_idle(s.ui))
        ;
    ck_row_has_not(&s, ANSWERS_ROW, "NOW"); /* nothing was clocked */
    press(&s, "ga");
    press(&s, "cquiet<Enter>"); /* nor does a note say how far it is */
    at("06:28");
    press(&s, screens[_i]);
    while (sg_ui_idle(s.ui))
        ;
    ck_row_has_not(&s, ANSWERS_ROW, "NOW");
    press(&s, "gab");
    at("07:25");
    press(&s, "s06:40 pump<Enter>r");
    rest_ends(ends, &later);
    snprintf(words, sizeof words, " | NOW %s, g a", ends);
    press(&s, screens[_i]);
    ck_assert(sg_ui_idle(s.ui));
    ck_row_has(&s, ANSWERS_ROW, words);
    const struct facts facts = facts_of(&s, "2601/1/A", NULL, NULL);
    ck_row_has(&s, ANSWERS_ROW, facts.ends_on);
    ck_assert(!sg_ui_idle(s.ui));
    for (int columns = 60; columns < 140; columns += 9) { /* it is whole, whatever gives way */
        char both[1000];
        sg_ui_resize(s.ui, 24, columns);
        snprintf(both, sizeof both, "%s %s", row(&s, ANSWERS_ROW),
                 columns < 72 ? row(&s, ANSWERS_ROW + 1) : "");
        snprintf(words, sizeof words, "NOW %s", ends);
        ck_assert_msg(strstr(both, words), "%d columns: %s", columns, both);
    }
}
END_TEST

START_TEST(the_planned_answers_give_way_to_when_it_really_ends)
{
    char ends[20], words[60];
    int later;
    other_sets(&s, "office", "machine:main", "bags_in_stock=100000");
    other_sets(&s, "office", "2601/1/A", "quantity=90000"); /* for weeks, with many refills */
    ck_assert(sg_ui_look(s.ui));
    at("06:28");
    press(&s, "bgs");
    ck_assert(sg_ui_idle(s.ui));
    rest_ends(ends, &later);
    snprintf(words, sizeof words, "%s", ends);
    ck_row_has(&s, ANSWERS_ROW, "ENDS ");
    const char *now = strstr(row(&s, ANSWERS_ROW), "| NOW ");
    ck_assert_msg(now && strstr(now, words), "%s", row(&s, ANSWERS_ROW));
}
END_TEST

/* It is planned once after what was kept, never while a key is taken. */
START_TEST(when_it_really_ends_is_not_planned_by_a_key)
{
    char before[200];
    at("06:28");
    press(&s, "bgs");
    ck_assert(sg_ui_idle(s.ui));
    press(&s, "<Enter>");         /* on the quantity of 2601/1/A */
    ck_assert(!sg_ui_idle(s.ui)); /* nothing was kept since */
    snprintf(before, sizeof before, "%s", strstr(row(&s, ANSWERS_ROW), "NOW"));
    press(&s, "40"); /* what is typed is not what is cut */
    ck_row_has(&s, ANSWERS_ROW, before);
    ck_assert(!sg_ui_idle(s.ui));
    press(&s, "<Enter>");
    ck_row_has(&s, ANSWERS_ROW, " ?, g a"); /* older than what is kept */
    ck_assert(sg_ui_idle(s.ui));
    ck_row_has_not(&s, ANSWERS_ROW, "?");
    ck_assert_str_ne(strstr(row(&s, ANSWERS_ROW), "NOW"), before);
    at("06:29:01");
    press(&s, "<Left>");
    ck_row_has_not(&s, ANSWERS_ROW, "?"); /* a minute later it is as good */
}
END_TEST

START_TEST(fields_of_what_was_noted_show_the_rest)
{
    char answers[300];
    morning();
    press(&s, "gg");
    snprintf(answers, sizeof answers, "%s", row(&s, ANSWERS_ROW));
    ck_assert_ptr_nonnull(strstr(answers, "LATER"));
    for (int i = 0; i < 3; i++) {
        press(&s, "<Enter>");
        ck_row_has(&s, TITLE_ROW, i < 2 ? "ALL FIELDS of clock" : "ALL FIELDS of record");
        ck_assert_str_eq(row(&s, ANSWERS_ROW), answers);
        press(&s, "<Esc>j");
    }
    press(&s, "gjI"); /* of the job: those of the plan */
    ck_row_has_not(&s, ANSWERS_ROW, "LATER");
}
END_TEST

START_TEST(after_the_last_break_no_break_is_left)
{
    at("06:28");
    press(&s, "b");
    ck_row_has_not(&s, ANSWERS_ROW, "no break");
    at("12:50");
    press(&s, "t<Enter>B");
    ck_row_has(&s, ANSWERS_ROW, "ALONE no break left");
    press(&s, "gs");
    ck_row_has_not(&s, ANSWERS_ROW, "no break");
}
END_TEST

START_TEST(late_notes_are_explained_for_keys_that_ask_nothing)
{
    static const char *const quiet[] = {"b", "Y", "Q", "B", "r"};
    const char *legend = row(&s, ACCEPTED_ROW);
    ck_assert_msg(strstr(legend, "b Y Q B r ask nothing: @ first."), "%s", legend);
    for (int i = 0; i < COUNT(quiet); i++) {
        at("06:28");
        press(&s, i == 3 ? "b" : i == 4 ? "bs<Enter>" : "");
        at("08:00");
        press(&s, "@07:30<Enter>");
        press(&s, quiet[i]);
        ck_said("07:30 ");
        press(&s, i == 3 ? "uu" : i == 4 ? "uuu" : "u");
        ck_assert_int_eq(noted(), 0);
    }
}
END_TEST

/* What is in brackets comes from material or model, unless the shop has fitted it to its own times. */
START_TEST(the_job_screen_says_which_values_are_the_shops_own)
{
    static const char usual[] = "In brackets: not typed, from material or model.";
    stand_on(&s, "2601/1/A", "quantity");
    ck_row_has(&s, ACCEPTED_ROW, usual);
    other_sets(&s, "office", "material:aluminium 6061", "basis=shop");
    other_sets(&s, "office", "material:aluminium 6061",
               "source=machinability: shop, 14 runs, +-6 %, 2026-11-20");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "<Left><Right>");
    ck_row_has(&s, ACCEPTED_ROW,
               "In brackets: traverse shop, 14 runs, +-6 %; the others from material or model.");
    other_sets(&s, "office", "machine:main", "pierce_source=factors: shop, 9 runs, +-4 %, 2026-11-20");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "<Left><Right>");
    ck_row_has(&s, ACCEPTED_ROW,
               "In brackets: traverse shop; pierce shop; the others from material or model.");
    sg_ui_resize(s.ui, 24, 130);
    const char *wide = row(&s, ACCEPTED_ROW);
    ck_assert_msg(strstr(wide, "traverse shop, 14 runs, +-6 %; pierce shop, 9 runs, +-4 %;"), "%s", wide);
    sg_ui_resize(s.ui, 24, 80);
    stand_on(&s, "2602/1/A", "quantity"); /* of another material: its pierces alone */
    char legend[300];
    sg_ui_screen(s.ui)->legend(s.ui, legend, sizeof legend);
    ck_assert_str_eq(legend, "In brackets: pierce shop, 9 runs, +-4 %; the others from material or model.");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("actuals_rest");
    TCase *c = tcase_create("actuals_rest");
    tcase_add_checked_fixture(c, day_start, day_stop);
    tcase_add_loop_test(c, the_screens_of_the_plan_say_when_it_really_ends, 0, 4);
    tcase_add_test(c, the_planned_answers_give_way_to_when_it_really_ends);
    tcase_add_test(c, when_it_really_ends_is_not_planned_by_a_key);
    tcase_add_test(c, fields_of_what_was_noted_show_the_rest);
    tcase_add_test(c, after_the_last_break_no_break_is_left);
    tcase_add_test(c, late_notes_are_explained_for_keys_that_ask_nothing);
    tcase_add_test(c, the_job_screen_says_which_values_are_the_shops_own);
    suite_add_tcase(suite, c);
    return run(suite);
}
