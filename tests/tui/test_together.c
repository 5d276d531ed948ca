/* Two people at one file: each sees what the other keeps, nobody loses what is under the fingers, and
 * nobody's value goes under another one unseen. */
#include "edit/run_suite.h"
#include "tui/facts.h"

static struct on_screen mine, theirs;

static void open_both(void)
{
    mine = on_screen_open(true);
    theirs = (struct on_screen){.file = mine.file};
    on_screen_start(&theirs, &(struct sg_ui_how){.path = theirs.file.path}, 24, 80);
    sg_desk_sign(theirs.desk, "office");
    press(&mine, "<Enter>");
    press(&theirs, "<Enter>");
}

static void close_both(void)
{
    on_screen_stop(&theirs);
    on_screen_close(&mine);
}

static bool look(struct on_screen *s)
{
    bool moved = sg_ui_look(s->ui);
    sg_ui_draw(s->ui, &s->canvas);
    return moved;
}

START_TEST(what_the_other_keeps_appears_at_the_next_look_and_is_named)
{
    ck_assert(!look(&mine));
    press(&theirs, "24");
    ck_assert(!look(&mine)); /* what is only typed is nobody's business */
    press(&theirs, "<Enter>");
    ck_assert(look(&mine));
    const struct facts facts = facts_of(&mine, "2601/1/A", NULL, NULL);
    ck_row_has(&mine, row_with(&mine, "> A "), " 24 ");
    ck_row_has(&mine, row_with(&mine, "> A "), facts.cut);
    ck_row_has(&mine, ANSWERS_ROW, facts.ends_on);
    ck_row_has(&mine, WORDS_ROW, "office: ");
    ck_row_has(&mine, WORDS_ROW, "2601/1/A");
    ck_row_has(&mine, WORDS_ROW, "20 -> 24");
    ck_assert(!look(&mine)); /* told once */
    press(&mine, "j");
    ck_row_has_not(&mine, WORDS_ROW, "office");
    ck_assert(!look(&theirs)); /* one's own is no news */
}
END_TEST

START_TEST(a_field_in_hand_is_not_disturbed)
{
    press(&mine, "e<Ctrl-U>31<Left>");
    press(&theirs, "j50<Enter>"); /* the other part */
    ck_assert(look(&mine));
    ck_assert_str_eq(typed_now(&mine), "31");
    ck_assert_int_eq(cursor_in_field(&mine), 1);
    ck_row_has(&mine, row_with(&mine, "  B "), " 50 ");
    ck_row_has(&mine, WORDS_ROW, "quantity 20 -> 31  Enter keeps it");
    ck_row_has(&mine, ACCEPTED_ROW, "office: ");
    /* The results shown are those of both. */
    const struct facts facts = facts_of(&mine, "2601/1/A", "2601/1/A", "quantity=31");
    ck_row_has(&mine, ANSWERS_ROW, facts.ends_on);
    press(&mine, "<Enter>");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "31");
    ck_assert_str_eq(in_file(&mine, "2601/1/B", "quantity"), "50");
}
END_TEST

/* Both type into the same field; a look in between or not. */
static void clash(int looks)
{
    press(&mine, "25");
    press(&theirs, "18<Enter>");
    for (int i = 0; i < looks; i++)
        look(&mine);
    ck_assert_str_eq(typed_now(&mine), "25");
    press(&mine, "<Enter>");
    ck_row_has(&mine, WORDS_ROW, "office set 18 while you typed 25.");
    char both[200]; /* the sentence may go on in the next row */
    snprintf(both, sizeof both, "%.90s %.90s", row(&mine, WORDS_ROW), row(&mine, ACCEPTED_ROW));
    ck_assert_msg(strstr(both, "Enter again keeps 25, Esc keeps 18"), "%s", both);
    ck_assert_int_eq(mine.wish, SG_WISH_BELL);
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "18");
    ck_assert_str_eq(typed_now(&mine), "25");
}

START_TEST(a_clash_shows_both_and_enter_again_keeps_ours)
{
    struct sg_step_told step;
    clash(_i);
    look(&mine);
    press(&mine, "<Enter>");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "25");
    ck_assert_int_eq(steps_in_file(&mine, &step), 2);
    ck_assert_str_eq(step.who, "programmer");
    ck_row_has(&mine, WORDS_ROW, "quantity 18 -> 25 kept");
    ck_assert(look(&theirs));
    ck_row_has(&theirs, ACCEPTED_ROW, "programmer: "); /* below what one's own key said */
}
END_TEST

START_TEST(a_clash_and_esc_keeps_theirs)
{
    clash(_i);
    press(&mine, "<Esc>");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "18");
    ck_row_has(&mine, row_with(&mine, "> A "), " 18 ");
    ck_assert_int_eq(steps_in_file(&mine, NULL), 1);
}
END_TEST

START_TEST(what_comes_after_the_question_is_asked_about_again)
{
    clash(1);
    press(&theirs, "k19<Enter>");
    if (_i)
        look(&mine);
    press(&mine, "<Enter>");
    ck_row_has(&mine, WORDS_ROW, "office set 19 while you typed 25.");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "19");
    press(&mine, "<Enter>");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "25");
}
END_TEST

START_TEST(tab_does_not_pass_over_a_clash)
{
    press(&mine, "25");
    press(&theirs, "18<Enter>");
    press(&mine, "<Tab>");
    ck_row_has(&mine, WORDS_ROW, "office set 18 while you typed 25.");
    ck_assert_str_eq(typed_now(&mine), "25");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "18");
}
END_TEST

START_TEST(both_typed_the_same)
{
    press(&mine, "18");
    press(&theirs, "18<Enter>");
    look(&mine);
    ck_row_has(&mine, WORDS_ROW, "as in the plan");
    press(&mine, "<Enter>");
    ck_assert_int_eq(cursor_in_field(&mine), -1);
    ck_assert_int_eq(steps_in_file(&mine, NULL), 1);
}
END_TEST

START_TEST(a_clash_in_one_of_many_rows_names_that_row_and_nothing_is_kept)
{
    press(&mine, "  k7");
    press(&theirs, "j50<Enter>");
    press(&mine, "<Enter>");
    ck_row_has(&mine, WORDS_ROW, "office set 50 while you typed 7.");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "20");
    press(&mine, "<Enter>");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "7");
    ck_assert_str_eq(in_file(&mine, "2601/1/B", "quantity"), "7");
}
END_TEST

/* ---- rows that go away or elsewhere ---- */

static void remove_row(const char *key)
{
    struct sg_error error;
    shop_must(sg_desk_remove(theirs.desk, key, &error), &error);
}

START_TEST(the_row_under_the_fingers_is_removed_and_the_text_is_not_lost)
{
    static const char *const keys[] = {"2601/1/A", "2601/1", "2601"};
    press(&mine, "31");
    remove_row(keys[_i]);
    ck_assert(look(&mine));
    ck_assert_int_eq(cursor_in_field(&mine), -1);
    ck_row_has(&mine, WORDS_ROW, "the row is gone; the text \"31\" is kept in :last");
    ck_row_has(&mine, TITLE_ROW, _i == 2 ? "SHIFT A" : "JOB 2601");
    stand_on(&mine, "2602/1/A", "quantity");
    press(&mine, ":last<Enter>");
    ck_assert_str_eq(typed_now(&mine), "31");
}
END_TEST

START_TEST(enter_before_the_look_finds_the_row_gone_and_keeps_nothing_elsewhere)
{
    char before[100], after[100];
    snprintf(before, sizeof before, "%.90s", in_file(&mine, "2601/1/B", "quantity"));
    press(&mine, "31");
    remove_row("2601/1/A");
    press(&mine, "<Enter>");
    ck_assert_int_eq(steps_in_file(&mine, NULL), 1);
    snprintf(after, sizeof after, "%.90s", in_file(&mine, "2601/1/B", "quantity"));
    ck_assert_str_eq(before, after);
    look(&mine);
    ck_assert_int_eq(cursor_in_field(&mine), -1);
    press(&mine, ":last<Enter>");
    ck_assert_str_eq(typed_now(&mine), "31");
}
END_TEST

START_TEST(one_of_the_marked_rows_is_removed_and_the_field_stands_on_another)
{
    press(&mine, "  k7");
    remove_row(_i ? "2601/1/A" : "2601/1/B");
    look(&mine);
    ck_assert_str_eq(typed_now(&mine), "7");
    ck_row_has(&mine, mine.canvas.cursor_row, _i ? "+B" : "+A");
    press(&mine, "<Enter>");
    ck_assert_str_eq(in_file(&mine, _i ? "2601/1/B" : "2601/1/A", "quantity"), "7");
}
END_TEST

START_TEST(the_job_one_looks_at_is_removed_and_that_is_said)
{
    remove_row("2601");
    ck_assert(look(&mine));
    ck_row_has(&mine, TITLE_ROW, "SHIFT A");
    ck_row_has(&mine, WORDS_ROW, "the job that was shown is gone");
}
END_TEST

START_TEST(rows_above_come_and_go_and_one_stands_where_one_stood)
{
    press(&mine, "<Esc>jjlll");
    other_sets(&mine, "office", "2605", "order=1");
    ck_assert(look(&mine));
    ck_row_has(&mine, 7, "> 2603"); /* the fourth job */
    remove_row("2601");
    ck_assert(look(&mine));
    ck_row_has(&mine, 6, "> 2603");
}
END_TEST

START_TEST(back_from_a_screen_one_stands_on_the_row_one_left)
{
    press(&mine, "<Esc>jj<Enter>"); /* into 2603 */
    other_sets(&mine, "office", "2605", "order=1");
    look(&mine);
    press(&mine, "<Esc>");
    ck_row_has(&mine, 7, "> 2603");
    press(&mine, "<Enter>");
    remove_row("2603");
    look(&mine);
    ck_row_has(&mine, TITLE_ROW, "SHIFT A");
    ck_assert_int_eq(mine.canvas.cells[7 * 80].text[0], '>'); /* in its place the one behind it */
}
END_TEST

START_TEST(the_row_under_the_fingers_goes_to_another_shift)
{
    static const char *const shift[] = {"start=15:00", "end=22:00", "breaks=none"};
    struct sg_error error;
    struct sg_change changes[3];
    struct sg_target target;
    shop_must(sg_desk_add(theirs.desk, SG_KIND_SHIFT, NULL, "B", shift, 3, sg_date_days(2026, 12, 1), changes,
                          &target, &error),
              &error);
    press(&mine, "<Esc>j");
    look(&mine);
    to_column(&mine, "name");
    press(&mine, "e<Ctrl-U>other name");
    ck_assert_str_eq(typed_now(&mine), "other name");
    other_sets(&mine, "office", "2602", "shift=B");
    look(&mine);
    ck_assert_int_eq(cursor_in_field(&mine), -1);
    ck_row_has(&mine, WORDS_ROW, "\"other name\" is kept in :last");
    ck_assert_str_eq(in_file(&mine, "2602", "name"), "pump flanges");
    ck_assert_str_eq(in_file(&mine, "2603", "name"), "base plates");
}
END_TEST

START_TEST(a_row_in_hand_stays_though_it_would_no_longer_be_shown)
{
    press(&mine, "<Esc>&flange<Enter>");
    to_column(&mine, "name");
    press(&mine, "e<Ctrl-U>rings");
    ck_shows(&mine, "[rings");
    other_sets(&mine, "office", "2602", "name=gaskets");
    look(&mine);
    ck_shows(&mine, "[rings");
    press(&mine, "<Enter>");
    ck_row_has(&mine, WORDS_ROW, "office set gaskets while you typed rings.");
    press(&mine, "<Enter>");
    ck_assert_str_eq(in_file(&mine, "2602", "name"), "rings");
}
END_TEST

/* ---- undo ---- */

START_TEST(undo_takes_back_ones_own_and_no_others_step)
{
    press(&mine, "24<Enter>");
    look(&theirs);
    press(&theirs, "j50<Enter>");
    look(&mine);
    press(&mine, "u");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "20");
    ck_assert_str_eq(in_file(&mine, "2601/1/B", "quantity"), "50");
    press(&mine, "u"); /* the only step left is theirs */
    ck_assert_str_eq(in_file(&mine, "2601/1/B", "quantity"), "50");
    press(&mine, "<Ctrl-R>");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "24");
}
END_TEST

START_TEST(a_step_that_anothers_builds_on_is_not_taken_back)
{
    char both[400];
    press(&mine, "24<Enter>");
    look(&theirs);
    press(&theirs, "30<Enter>");
    look(&mine);
    press(&mine, "u");
    ck_assert_str_eq(in_file(&mine, "2601/1/A", "quantity"), "30");
    snprintf(both, sizeof both, "%.190s %.190s", row(&mine, WORDS_ROW), row(&mine, ACCEPTED_ROW));
    ck_assert_msg(strstr(both, "office"), "%s", both);
}
END_TEST

static void add(TCase *tests, const TTest *test, int n)
{
    tcase_add_loop_test(tests, test, 0, n);
}

int main(void)
{
    Suite *suite = suite_create("together");
    TCase *tests = tcase_create("together");
    tcase_add_checked_fixture(tests, open_both, close_both);
    tcase_add_test(tests, what_the_other_keeps_appears_at_the_next_look_and_is_named);
    tcase_add_test(tests, a_field_in_hand_is_not_disturbed);
    add(tests, a_clash_shows_both_and_enter_again_keeps_ours, 2);
    add(tests, a_clash_and_esc_keeps_theirs, 2);
    add(tests, what_comes_after_the_question_is_asked_about_again, 2);
    tcase_add_test(tests, tab_does_not_pass_over_a_clash);
    tcase_add_test(tests, both_typed_the_same);
    tcase_add_test(tests, a_clash_in_one_of_many_rows_names_that_row_and_nothing_is_kept);
    add(tests, the_row_under_the_fingers_is_removed_and_the_text_is_not_lost, 3);
    tcase_add_test(tests, enter_before_the_look_finds_the_row_gone_and_keeps_nothing_elsewhere);
    add(tests, one_of_the_marked_rows_is_removed_and_the_field_stands_on_another, 2);
    tcase_add_test(tests, the_job_one_looks_at_is_removed_and_that_is_said);
    tcase_add_test(tests, rows_above_come_and_go_and_one_stands_where_one_stood);
    tcase_add_test(tests, back_from_a_screen_one_stands_on_the_row_one_left);
    tcase_add_test(tests, the_row_under_the_fingers_goes_to_another_shift);
    tcase_add_test(tests, a_row_in_hand_stays_though_it_would_no_longer_be_shown);
    tcase_add_test(tests, undo_takes_back_ones_own_and_no_others_step);
    tcase_add_test(tests, a_step_that_anothers_builds_on_is_not_taken_back);
    suite_add_tcase(suite, tests);
    return run(suite);
}
