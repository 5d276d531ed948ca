/* Edits of several rows are kept together or not at all; what another set meanwhile is not lost. */
#include "edit/steps.h"

START_TEST(four_rows_are_kept_as_one_step_and_undone_as_one)
{
    const struct sg_edit edits[] = {
        edit_of("2601/1/A", "quantity=1", "20"), edit_of("2601/1/B", "quantity=2", "36"),
        edit_of("2602/1/A", "quantity=3", "12"), edit_of("2603/1/A", "quantity=4", "12")};
    struct sg_clash clash;
    struct sg_desk *before = snapshot();
    must(sg_desk_keep(desk, edits, 4, NULL, changes, &clash, &error));
    ck_newest(1, "office",
              "quantity of 2601/1/A: 20 -> 1; quantity of 2601/1/B: 36 -> 2; quantity of 2602/1/A: 12 -> 3; "
              "quantity of 2603/1/A: 12 -> 4");
    ck_assert_str_eq(changes[2].before, "12");
    ck_assert_str_eq(changes[2].after, "3");
    ck_assert_int_eq(part_of(desk, "2603/1/A")->quantity, 4);
    turn(sg_desk_undo, history().steps[0].words, true);
    ck_shows(before, "one undo");
    sg_desk_close(before);
}
END_TEST

/* Wherever the wrong one stands. */
START_TEST(of_several_rows_all_are_kept_or_none)
{
    static const char *const wrong[][2] = {{"2601/1/A", "quantity=x"},
                                           {"2699/1/A", "quantity=1"},
                                           {"shift:A", "end=06:30"},
                                           {"2601", "colour=1"}};
    struct sg_edit edits[4] = {edit_of("2602/1/A", "quantity=3", NULL), edit_of("2603", "order=1", NULL),
                               edit_of("head:abrasive", "garnet=0.6 lb/min", NULL),
                               edit_of("2605", "note=soon", NULL)};
    const struct sg_edit good = edits[_i];
    struct sg_clash clash;
    struct sg_desk *before = snapshot();
    edits[_i] = edit_of(wrong[_i][0], wrong[_i][1], NULL);
    ck_assert_int_eq(sg_desk_keep(desk, edits, 4, "four", changes, &clash, &error), SG_BAD_DATA);
    ck_shows(before, error.text);
    ck_assert_int_eq(history().n, 0);
    edits[_i] = good;
    must(sg_desk_keep(desk, edits, 4, "four", changes, &clash, &error));
    ck_newest(1, "office", "four");
    sg_desk_close(before);
}
END_TEST

START_TEST(words_that_do_not_fit_are_cut_and_the_step_stands)
{
    char assignment[300], words[SG_WORDS_SIZE];
    struct sg_edit edits[3];
    struct sg_clash clash;
    snprintf(assignment, sizeof assignment, "note=%0250d", 7);
    for (int i = 0; i < 3; i++)
        edits[i] = edit_of(i == 0 ? "2601" : i == 1 ? "2602" : "2603", assignment, NULL);
    struct sg_desk *before = snapshot();
    must(sg_desk_keep(desk, edits, 3, NULL, changes, &clash, &error));
    struct told told = history();
    ck_assert_int_eq(told.n, 1);
    snprintf(words, sizeof words, "note of 2601: none -> %0250d; note of 2602: first", 7);
    ck_assert_msg(strncmp(told.steps[0].words, words, strlen(words)) == 0, "%s", told.steps[0].words);
    turn(sg_desk_undo, told.steps[0].words, true);
    ck_shows(before, "undone");
    sg_desk_close(before);
}
END_TEST

START_TEST(a_field_that_another_set_while_it_was_typed_is_a_clash)
{
    struct sg_desk *floor = desk_of("floor");
    const struct sg_edit edits[] = {edit_of("2602/1/A", "quantity=14", "12"),
                                    edit_of("2601/1/A", "quantity=25", "20")};
    struct sg_clash clash;
    memset(&clash, 'x', sizeof clash);
    must(set_by(floor, "2601/1/A", "quantity=18"));
    struct sg_desk *before = snapshot();
    ck_assert_int_eq(sg_desk_keep(desk, edits, 2, NULL, changes, &clash, &error), SG_NO);
    ck_assert_int_eq(clash.edit, 1);
    ck_assert_str_eq(clash.theirs, "18");
    ck_assert_str_eq(clash.yours, "25");
    ck_assert_str_eq(clash.step.who, "floor");
    ck_assert_str_eq(clash.step.words, "quantity of 2601/1/A: 20 -> 18");
    ck_assert_msg(strstr(error.text, "floor set quantity of 2601/1/A to 18 while you typed 25"), "%s",
                  error.text);
    ck_shows(before, "a clash");
    ck_assert_int_eq(history().n, 1);
    sg_desk_close(before);
    sg_desk_close(floor);
}
END_TEST

/* Taken back it is no clash any more; another field of the row never was one. */
START_TEST(without_a_clash_both_keep_theirs)
{
    struct sg_desk *floor = desk_of("floor");
    const struct sg_edit edit = edit_of("2601/1/A", "quantity=25", "20");
    struct sg_clash clash;
    struct sg_step_told told;
    must(set_by(floor, "2601/1/A", "quantity=18"));
    must(sg_desk_undo(floor, &told, &error));
    must(set_by(floor, "2601/1/A", "pierces=9"));
    must(sg_desk_keep(desk, &edit, 1, NULL, changes, &clash, &error));
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 25);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->pierces, 9);
    ck_newest(4, "office", "quantity of 2601/1/A: 20 -> 25");
    sg_desk_close(floor);
}
END_TEST

START_TEST(a_clash_with_what_the_history_does_not_say_is_nobodys)
{
    const struct sg_edit edit = edit_of("2601/1/A", "quantity=25", "19");
    struct sg_clash clash;
    ck_assert_int_eq(sg_desk_keep(desk, &edit, 1, NULL, changes, &clash, &error), SG_NO);
    ck_assert_int_eq(clash.step.id, 0);
    ck_assert_str_eq(clash.theirs, "20");
    ck_assert_int_eq(history().n, 0);
}
END_TEST

/* What is shown of a long note is cut; a note that nobody touched is no clash. */
START_TEST(a_long_note_is_no_clash_with_itself)
{
    static char assignment[3000], note_text[2990];
    const char *long_note = assignment;
    snprintf(note_text, sizeof note_text, "%02000d", 1);
    snprintf(assignment, sizeof assignment, "note=%s", note_text);
    must(sg_desk_set(desk, "2601", &long_note, 1, true, changes, &target, &error));
    const struct sg_edit edit = edit_of("2601", "note=short", note_text);
    struct sg_clash clash;
    must(sg_desk_keep(desk, &edit, 1, NULL, changes, &clash, &error));
    ck_assert_str_eq(sg_desk_shop(desk)->jobs[0].note, "short");
}
END_TEST

/* ---- values longer than what is shown of them ---- */

/* A note or list of days longer than SG_CHANGE_TEXT, with an end of its own. */
static const char *long_value(bool days, int end, char *out, size_t size)
{
    size_t used = 0;
    for (int i = 0; i < 40; i++)
        used += (size_t)snprintf(out + used, size - used, days ? "2026-%02d-%02d," : "%06d, %02d. ",
                                 i / 20 + 1, i % 20 + 1);
    snprintf(out + used, size - used, days ? "2026-03-%02d" : "end %02d", end);
    ck_assert_int_gt(strlen(out), SG_CHANGE_TEXT);
    return out;
}

START_TEST(a_value_that_differs_behind_what_is_shown_is_a_clash)
{
    const char *key = _i ? "shift:A" : "2601", *field = _i ? "closed_days" : "note";
    char mine[900], theirs[900], assignment[1000];
    const char *set = assignment;
    struct sg_clash clash;
    struct sg_desk *floor = desk_of("floor");
    snprintf(assignment, sizeof assignment, "%s=%s", field, long_value(_i, 1, mine, sizeof mine));
    must(sg_desk_set(desk, key, &set, 1, true, changes, &target, &error));
    snprintf(assignment, sizeof assignment, "%s=%s", field, long_value(_i, 2, theirs, sizeof theirs));
    must(sg_desk_set(floor, key, &set, 1, true, changes, &target, &error));
    struct sg_desk *before = snapshot();
    snprintf(assignment, sizeof assignment, "%s=none", field);
    struct sg_edit edit = edit_of(key, assignment, mine);
    ck_assert_int_eq(sg_desk_keep(desk, &edit, 1, NULL, changes, &clash, &error), SG_NO);
    ck_assert_int_eq(clash.edit, 0);
    ck_assert_str_eq(clash.step.who, "floor");
    ck_shows(before, "a clash");
    edit.before = theirs;
    must(sg_desk_keep(desk, &edit, 1, NULL, changes, &clash, &error));
    ck_newest(3, "office", history().steps[0].words);
    sg_desk_close(before);
    sg_desk_close(floor);
}
END_TEST

/* ---- rules between fields and rows ---- */

/* Alone each would leave a break outside of the shift, or the low line above the hopper. */
START_TEST(what_keeps_the_rules_only_together_is_kept_together)
{
    const struct sg_edit edits[] = {
        edit_of("shift:A", "start=14:00", "06:00"),      edit_of("machine:main", "hopper=60 lb", NULL),
        edit_of("shift:A", "end=22:00", "14:30"),        edit_of("machine:main", "hopper_level=30 lb", NULL),
        edit_of("shift:A", "breaks=17:00-17:30", NULL),  edit_of("2603/1", "sheet_width=70 in", NULL),
        edit_of("machine:main", "low_line=10 lb", NULL), edit_of("machine:main", "table_width=72 in", NULL),
    };
    enum { N = sizeof edits / sizeof *edits };
    struct sg_change made[N];
    struct sg_clash clash;
    struct sg_step_told told;
    struct sg_edit turned[N];
    struct sg_desk *before = snapshot();
    for (int i = 0; i < N; i++)
        turned[i] = edits[_i ? N - 1 - i : i];
    must(sg_desk_keep(desk, turned, N, "another shift", made, &clash, &error));
    const struct sg_shift *shift = &sg_desk_shop(desk)->shifts[0];
    ck_assert_int_eq(shift->start, 14 * 3600);
    ck_assert_int_eq(shift->end, 22 * 3600);
    ck_assert_int_eq(shift->n_breaks, 1);
    ck_assert(shift->calendar.close_s == 8 * 3600);
    ck_assert(fabs(sg_desk_shop(desk)->machine.table_width - 72 * 25.4) < 1e-9);
    struct sg_desk *after = snapshot();
    ck_shows(after, "kept");
    ck_assert_int_eq(history().n, 1);
    must(sg_desk_undo(desk, &told, &error));
    ck_shows(before, "undone");
    sg_desk_close(before);
    sg_desk_close(after);
}
END_TEST

START_TEST(a_rule_names_the_row_that_it_is_about)
{
    const struct sg_edit edits[] = {edit_of("2602/1", "margin=1 in", NULL),
                                    edit_of("2603/1", "thickness=9 in", NULL)};
    struct sg_clash clash;
    struct sg_desk *before = snapshot();
    ck_assert_int_eq(sg_desk_keep(desk, edits, 2, NULL, changes, &clash, &error), SG_BAD_DATA);
    ck_assert_msg(strncmp(error.text, "2603/1: thickness times stack is", 32) == 0, "%s", error.text);
    ck_assert_int_eq(sg_desk_keep(desk, edits + 1, 1, NULL, changes, &clash, &error), SG_BAD_DATA);
    ck_assert_msg(strncmp(error.text, "thickness times stack is", 24) == 0, "%s", error.text);
    ck_shows(before, "both");
    sg_desk_close(before);
}
END_TEST

/* The place in a shift is the one in the new shift, whichever is named first; a field again is a new change.
 */
START_TEST(a_job_goes_to_its_shift_and_place_together)
{
    const struct sg_edit there_first[] = {edit_of("2602", "shift=B", "A"), edit_of("2603", "shift=B", "A"),
                                          edit_of("2604", "order=1", "4"), edit_of("2604", "shift=B", "A"),
                                          edit_of("2602", "order=1", "2"), edit_of("2602", "order=2", NULL)};
    struct sg_clash clash;
    struct sg_step_told told;
    must(add_shift());
    struct sg_desk *before = snapshot();
    must(sg_desk_keep(desk, there_first, 6, NULL, changes, &clash, &error));
    const struct sg_shop *shop = sg_desk_shop(desk);
    static const char *const order[] = {"2601", "2605", "2604", "2602", "2603"};
    for (int32_t i = 0; i < shop->n_jobs; i++)
        ck_assert_str_eq(shop->jobs[i].id, order[i]);
    struct sg_desk *after = snapshot();
    ck_shows(after, "moved");
    must(sg_desk_undo(desk, &told, &error));
    ck_shows(before, "undone");
    sg_desk_close(before);
    sg_desk_close(after);
}
END_TEST

/* ---- names ---- */

START_TEST(the_history_has_the_whole_name_of_what_was_named_in_short)
{
    const struct sg_edit edits[] = {edit_of("material:copp", "machinability=105", NULL),
                                    edit_of("material:BeCu", "machinability=106", NULL)};
    struct sg_clash clash;
    must(sg_desk_remove(desk, "material:BeCu", &error)); /* so that "copp" is the beginning of one only */
    must(sg_desk_keep(desk, edits, 1, NULL, changes, &clash, &error));
    struct told told = history();
    ck_assert_msg(strncmp(told.steps[0].words, "machinability of material:copper: ", 34) == 0, "%s",
                  told.steps[0].words);
    ck_assert_int_eq(sg_desk_keep(desk, edits + 1, 1, NULL, changes, &clash, &error), SG_BAD_DATA);
    const struct sg_edit clashing = edit_of("material:copp", "machinability=107", "1");
    ck_assert_int_eq(sg_desk_keep(desk, &clashing, 1, NULL, changes, &clash, &error), SG_NO);
    ck_assert_msg(strstr(error.text, "set machinability of material:copper to 105"), "%s", error.text);
}
END_TEST

/* ---- many ---- */

static void open_lines(void)
{
    shop_file_make(&file, false);
    desk = desk_of("office");
    shop_file_lines(desk, 500);
    reopen();
}

START_TEST(four_hundred_rows_are_one_step)
{
    enum { MANY = 400 };
    struct sg_edit *edits = calloc(MANY, sizeof *edits);
    struct sg_change *made = calloc(MANY, sizeof *made);
    struct sg_clash clash;
    struct sg_step_told told;
    struct sg_desk *before = snapshot();
    for (int i = 0; i < MANY; i++) {
        char key[40], assignment[40];
        snprintf(key, sizeof key, "J%d/%d/P%d", i / 20 + 1, i / 10 % 2 + 1, i % 10 + 1);
        snprintf(assignment, sizeof assignment, "quantity=%d", 1000 + i);
        edits[i] = edit_of(key, assignment, NULL);
    }
    must(sg_desk_keep(desk, edits, MANY, "many", made, &clash, &error));
    for (int i = 0; i < MANY; i++) {
        ck_assert_int_eq(part_of(desk, edits[i].key)->quantity, 1000 + i);
        ck_assert_int_eq(atoi(made[i].after), 1000 + i);
    }
    ck_newest(1, "office", "many");
    struct sg_desk *after = snapshot();
    ck_shows(after, "kept");
    must(sg_desk_undo(desk, &told, &error));
    ck_shows(before, "undone");
    sg_desk_close(before);
    sg_desk_close(after);
    free(edits);
    free(made);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("several");
    TCase *tests = tcase_create("several");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_test(tests, four_rows_are_kept_as_one_step_and_undone_as_one);
    tcase_add_loop_test(tests, of_several_rows_all_are_kept_or_none, 0, 4);
    tcase_add_test(tests, words_that_do_not_fit_are_cut_and_the_step_stands);
    tcase_add_test(tests, a_field_that_another_set_while_it_was_typed_is_a_clash);
    tcase_add_test(tests, without_a_clash_both_keep_theirs);
    tcase_add_test(tests, a_clash_with_what_the_history_does_not_say_is_nobodys);
    tcase_add_test(tests, a_long_note_is_no_clash_with_itself);
    tcase_add_loop_test(tests, a_value_that_differs_behind_what_is_shown_is_a_clash, 0, 2);
    tcase_add_loop_test(tests, what_keeps_the_rules_only_together_is_kept_together, 0, 2);
    tcase_add_test(tests, a_rule_names_the_row_that_it_is_about);
    tcase_add_test(tests, a_job_goes_to_its_shift_and_place_together);
    tcase_add_test(tests, the_history_has_the_whole_name_of_what_was_named_in_short);
    TCase *lines = tcase_create("500 lines");
    tcase_add_checked_fixture(lines, open_lines, close_example);
    tcase_add_test(lines, four_hundred_rows_are_one_step);
    suite_add_tcase(suite, lines);
    suite_add_tcase(suite, tests);
    return run(suite);
}
