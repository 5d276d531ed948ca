/* What may be typed: units, sums, decimal marks, long and wide texts, pastes, words out of a list. */
#include "edit/run_suite.h"
#include "tui/facts.h"

static struct on_screen s;

static void open_job(void)
{
    s = on_screen_open(true);
    press(&s, "<Enter>");
}

static void close_job(void)
{
    on_screen_close(&s);
}

/* ---- numbers ---- */

/* Values by hand in the unit that the shop file holds: mm, s, g/min, kg, pieces. Exact by definition: an inch
 * is 25.4 mm, a pound 453.59237 g. */
static const struct {
    bool metric;
    const char *key, *field, *typed;
    double value;
    const char *said; /* in the words while it is typed */
} values[] = {
    {false, "2601/1", "thickness", "6mm", 6, "-> 0.2362 in"},
    {false, "2601/1", "thickness", " 6 mm ", 6, "-> 0.2362 in"},
    {false, "2601/1", "thickness", "1/4\"", 6.35, "-> 0.25 in"},
    {false, "2601/1", "thickness", "1-1/2\"", 38.1, "-> 1.5 in"},
    {false, "2601/1", "thickness", "1 1/2 in", 38.1, "-> 1.5 in"},
    {false, "2601/1", "thickness", ".25", 6.35, "-> 0.25 in"},
    {false, "2601/1", "thickness", "4,5", 114.3, "read as 4.5"},
    {false, "2601/1", "thickness", "=2*6mm+1/8\"", 15.175, "-> 0.5974 in"},
    {true, "2601/1", "thickness", "1/4\"", 6.35, "-> 6.35 mm"},
    {true, "2601/1", "thickness", "6", 6, "-> 6 mm"},
    {true, "2601/1", "thickness", "=12*4.5", 54, "-> 54 mm"},
    {false, "2601/1", "load", "1:30", 90, "-> "},
    {false, "2601/1", "load", "90s", 90, "-> "},
    {false, "2601/1", "load", "1.5min", 90, "-> "},
    {false, "2601/1", "load", "1h", 3600, "-> "},
    {true, "head:abrasive", "garnet", "330", 330, "-> 330 g/min"},
    {true, "head:abrasive", "garnet", "0.73lb/min", 0.73 * 453.59237, "-> 331.1"},
    {false, "2601/1/A", "quantity", "=24-3", 21, "-> 21"},
    {false, "2601/1/A", "quantity", "=4*5+4", 24, "-> 24"},
    {false, "2601/1/A", "quantity", "=((((2))))", 2, "-> 2"},
};
enum { VALUES = sizeof values / sizeof *values };

static void ck_edit_shows(const char *text)
{
    press(&s, "e");
    ck_assert_str_eq(typed_now(&s), text);
    press(&s, "<Esc>");
}

START_TEST(a_sum_is_edited_as_it_was_typed_while_its_value_stands)
{
    stand_on(&s, "2601/1/A", "quantity");
    press(&s, "=4*6<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "24");
    stand_on(&s, "2601/1/A", "quantity");
    ck_edit_shows("=4*6");
    press(&s, "+");
    ck_assert_str_eq(typed_now(&s), "25");
    press(&s, "<Esc>u");
    ck_edit_shows("20");
    press(&s, "<Ctrl-R>");
    ck_edit_shows("=4*6");
    other_sets(&s, "office", "2601/1/A", "quantity=26");
    ck_assert(sg_ui_look(s.ui));
    ck_edit_shows("26");
    stand_on(&s, "2601/1/A", "cut_length");
    press(&s, "=12*4.5<Enter>");
    stand_on(&s, "2601/1/A", "cut_length");
    ck_edit_shows("=12*4.5");
    press(&s, "M"); /* in millimetres the same text would be another length */
    stand_on(&s, "2601/1/A", "cut_length");
    ck_edit_shows("1371.6 mm");
}
END_TEST

START_TEST(a_number_is_kept_as_it_was_typed)
{
    char shown[400];
    if (values[_i].metric)
        press(&s, "M");
    stand_on(&s, values[_i].key, values[_i].field);
    press(&s, "e<Ctrl-U>");
    press(&s, values[_i].typed);
    ck_row_has(&s, WORDS_ROW, values[_i].said);
    press(&s, "<Enter>");
    struct sg_value value = value_in_file(&s, values[_i].key, values[_i].field, shown, sizeof shown);
    double kept = strcmp(values[_i].field, "quantity") == 0 ? (double)value.whole : value.number[0];
    ck_assert_double_eq_tol(kept, values[_i].value, 1e-9);
}
END_TEST

START_TEST(a_fill_is_typed_in_bags_of_the_shop)
{
    char shown[400];
    double bag = s.ui->kept.shop->machine.bag;
    ck_assert_double_gt(bag, 1);
    stand_on(&s, "machine:main", "hopper_level");
    press(&s, "e<Ctrl-U>3bag<Enter>");
    ck_assert_double_eq_tol(value_in_file(&s, "machine:main", "hopper_level", shown, sizeof shown).number[0],
                            3 * bag, 1e-9);
}
END_TEST

START_TEST(inches_and_millimetres_change_what_is_shown_and_nothing_in_the_file)
{
    struct file_bytes before = file_bytes_of(s.file.path);
    ck_shows(&s, "Thickness 0.5 in");
    press(&s, "M");
    ck_shows(&s, "Thickness 12.7 mm");
    ck_shows(&s, "Cut mm");
    ck_row_has(&s, WORDS_ROW, "Millimetres and kilograms are shown and typed on this screen");
    press(&s, "M");
    ck_shows(&s, "Thickness 0.5 in");
    ck_assert(file_bytes_are(s.file.path, &before));
    free(before.at);
}
END_TEST

/* ---- long and wide texts ---- */

/* Some text over and over; to be freed. */
static char *times(const char *text, int n)
{
    size_t length = strlen(text);
    char *out = malloc(length * (size_t)n + 1);
    for (int i = 0; i < n; i++)
        memcpy(out + (size_t)i * length, text, length);
    out[length * (size_t)n] = '\0';
    return out;
}

START_TEST(a_text_of_full_length_is_kept_and_one_character_more_is_not_taken)
{
    static const char *const characters[] = {"n", "\xC3\xA4", "\xE6\xBF\xBE", "\xF0\x9F\x94\xA7"};
    char *name = times(characters[_i], 200);
    stand_on(&s, "2603", "name");
    press(&s, "e<Ctrl-U>");
    paste(&s, name);
    ck_assert_str_eq(typed_now(&s), name);
    press(&s, "x");
    ck_row_has(&s, WORDS_ROW, "at most 200 characters");
    ck_assert_str_eq(typed_now(&s), name);
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2603", "name"), name);
    ck_shows_not(&s, "\xEF\xBF\xBD"); /* nowhere half a character */
    ck_shows_not(&s, "\\x");
    free(name);
}
END_TEST

START_TEST(a_paste_of_too_much_is_refused_whole_with_both_counts)
{
    char *much = times("ab", 101);
    stand_on(&s, "2603", "name");
    press(&s, "e");
    paste(&s, much);
    ck_row_has(&s, WORDS_ROW, "202 characters pasted into 11, at most 200: nothing is taken");
    ck_assert_str_eq(typed_now(&s), "base plates");
    free(much);
    much = times("0123456789", 5000);
    paste(&s, much);
    ck_row_has(&s, WORDS_ROW, "50000 bytes pasted, at most 200 characters: nothing is taken");
    ck_assert_str_eq(typed_now(&s), "base plates");
    free(much);
    /* Longer than anything that is read: what comes then is no text. */
    sg_ui_input(s.ui, &(struct sg_input){.kind = SG_INPUT_PASTE, .text = NULL});
    ck_row_has(&s, WORDS_ROW, "nothing is taken");
    ck_assert_str_eq(typed_now(&s), "base plates");
}
END_TEST

START_TEST(a_paste_into_a_field_is_one_line_of_text_and_runs_nothing)
{
    stand_on(&s, "2603", "name");
    press(&s, "e<Home>");
    paste(&s, "q\nu\tx\r\n");
    ck_assert_str_eq(typed_now(&s), "q u xbase plates");
    ck_assert_int_eq(cursor_in_field(&s), 5);
    ck_assert_int_eq(s.wish, SG_WISH_NOTHING);
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2603", "name"), "q u xbase plates");
}
END_TEST

START_TEST(a_paste_without_a_field_does_nothing_and_says_so)
{
    struct file_bytes before = file_bytes_of(s.file.path);
    paste(&s, "xquJ99");
    ck_row_has(&s, WORDS_ROW, "Pasted 6 characters, no field open: nothing done.");
    sg_ui_input(s.ui, &(struct sg_input){.kind = SG_INPUT_PASTE, .text = NULL});
    ck_row_has(&s, WORDS_ROW, "nothing is taken");
    ck_assert(file_bytes_are(s.file.path, &before));
    free(before.at);
}
END_TEST

START_TEST(marks_that_turn_the_direction_of_writing_do_not_come_into_the_file)
{
    stand_on(&s, "2603", "name");
    press(&s, "e");
    press_stroke(&s, 0x202E);
    ck_assert_str_eq(typed_now(&s), "base plates");
    ck_row_has(&s, WORDS_ROW, "turns the direction of writing");
    paste(&s, "\xE2\x80\xAE");
    ck_row_has(&s, WORDS_ROW, "turns the direction of");
    press(&s, "<Left><Right>.<Backspace>"); /* another message */
    paste(&s, "a\x1B[2Jb");
    ck_row_has(&s, WORDS_ROW, "steers a terminal");
    ck_assert_str_eq(typed_now(&s), "base plates");
    press(&s, "x<Enter>");
    ck_assert_str_eq(in_file(&s, "2603", "name"), "base platesx");
}
END_TEST

START_TEST(the_field_shows_the_part_of_a_long_text_where_the_cursor_is)
{
    char *body = times("\xE6\xBF\xBE", 9990), *note = malloc(40000);
    sprintf(note, "begin%send", body);
    stand_on(&s, "2603", "note");
    press(&s, "e");
    paste(&s, note);
    ck_row_has(&s, s.canvas.cursor_row, "end_");
    ck_row_has_not(&s, s.canvas.cursor_row, "begin");
    ck_assert_int_lt(s.canvas.cursor_column, 80);
    press(&s, "<Home>");
    ck_row_has(&s, s.canvas.cursor_row, "[begin");
    ck_assert_int_eq(cursor_in_field(&s), 0);
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2603", "note"), note);
    free(body);
    free(note);
}
END_TEST

START_TEST(the_cursor_stands_between_wide_characters_and_rubs_out_whole_ones)
{
    stand_on(&s, "2603", "name");
    press(&s, "e<Ctrl-U>");
    paste(&s, "a\xE6\xBF\xBE\xE6\xBF\xBEo\xCC\x88z"); /* two columns each, then one with a mark over it */
    ck_assert_int_eq(cursor_in_field(&s), 7);
    press(&s, "<Left><Left><Left><Left>");
    ck_assert_int_eq(cursor_in_field(&s), 3);
    press(&s, "<Backspace>");
    ck_assert_str_eq(typed_now(&s), "a\xE6\xBF\xBEo\xCC\x88z");
    ck_assert_int_eq(cursor_in_field(&s), 1);
}
END_TEST

/* ---- lists ---- */

START_TEST(a_list_shows_what_is_chosen_and_its_results_before_it_is_kept)
{
    stand_on(&s, "2601/1", "material");
    press(&s, "e");
    ck_shows(&s, "> aluminium 6061");
    const struct facts kept = facts_of(&s, "2601/1/A", NULL, NULL);
    press(&s, "<Down>");
    char next[100], assignment[200], words[200];
    const struct sg_shop *shop = s.ui->kept.shop;
    snprintf(next, sizeof next, "%s", shop->materials[shop->stocks[0].material + 1].name);
    snprintf(assignment, sizeof assignment, "material=%s", next);
    snprintf(words, sizeof words, "material aluminium 6061 -> %s  Enter keeps it", next);
    const struct facts typed = facts_of(&s, "2601/1/A", "2601/1", assignment);
    ck_assert_str_ne(typed.cut, kept.cut);
    ck_row_has(&s, WORDS_ROW, words);
    ck_row_has(&s, row_with(&s, "  A "), typed.cut);
    ck_row_has(&s, ANSWERS_ROW, typed.ends_on);
    ck_assert_str_eq(in_file(&s, "2601/1", "material"), "aluminium 6061");
    press(&s, "<Up>");
    ck_row_has(&s, WORDS_ROW, "as in the plan");
    press(&s, "<Down><Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "material"), next);
}
END_TEST

START_TEST(what_is_typed_narrows_the_list)
{
    stand_on(&s, "2601/1", "material");
    press(&s, "ecopp");
    ck_shows(&s, "> copper");
    ck_shows(&s, "  copper, beryllium");
    ck_shows_not(&s, "titanium");
    press(&s, "zz");
    ck_shows(&s, "nothing has that");
    ck_row_has(&s, ANSWERS_ROW, "?");
    press(&s, "<Enter>");
    ck_assert_int_eq(s.wish, SG_WISH_BELL);
    press(&s, "<Ctrl-U>copp<Down><Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "material"), "copper, beryllium");
}
END_TEST

START_TEST(a_word_is_also_found_by_its_other_names)
{
    stand_on(&s, "2601/1", "material");
    press(&s, "e304<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "material"), "stainless 304");
    stand_on(&s, "2601/1", "edge");
    press(&s, "efin<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "edge"), "4 fine");
    press(&s, "2.5<Enter>");
    ck_assert_ptr_nonnull(strstr(in_file(&s, "2601/1", "edge"), "2.5"));
}
END_TEST

START_TEST(a_list_with_none_clears_the_field_and_esc_leaves_it)
{
    stand_on(&s, "2601/1", "pierce");
    press(&s, "emov<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "pierce"), "moving");
    press(&s, "e<Down><Down><Down><Down><Down><Down><Down><Down>");
    ck_shows(&s, "> none");
    press(&s, "<Esc>");
    ck_assert_str_eq(in_file(&s, "2601/1", "pierce"), "moving");
    ck_shows_not(&s, "> none");
    press(&s, "e<Down><Down><Down><Down><Down><Down><Down><Down><Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "pierce"), "none");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("typed values");
    TCase *tests = tcase_create("typed values");
    tcase_add_checked_fixture(tests, open_job, close_job);
    tcase_add_test(tests, a_sum_is_edited_as_it_was_typed_while_its_value_stands);
    tcase_add_loop_test(tests, a_number_is_kept_as_it_was_typed, 0, VALUES);
    tcase_add_test(tests, a_fill_is_typed_in_bags_of_the_shop);
    tcase_add_test(tests, inches_and_millimetres_change_what_is_shown_and_nothing_in_the_file);
    tcase_add_loop_test(tests, a_text_of_full_length_is_kept_and_one_character_more_is_not_taken, 0, 4);
    tcase_add_test(tests, a_paste_of_too_much_is_refused_whole_with_both_counts);
    tcase_add_test(tests, a_paste_into_a_field_is_one_line_of_text_and_runs_nothing);
    tcase_add_test(tests, a_paste_without_a_field_does_nothing_and_says_so);
    tcase_add_test(tests, marks_that_turn_the_direction_of_writing_do_not_come_into_the_file);
    tcase_add_test(tests, the_field_shows_the_part_of_a_long_text_where_the_cursor_is);
    tcase_add_test(tests, the_cursor_stands_between_wide_characters_and_rubs_out_whole_ones);
    tcase_add_test(tests, a_list_shows_what_is_chosen_and_its_results_before_it_is_kept);
    tcase_add_test(tests, what_is_typed_narrows_the_list);
    tcase_add_test(tests, a_word_is_also_found_by_its_other_names);
    tcase_add_test(tests, a_list_with_none_clears_the_field_and_esc_leaves_it);
    suite_add_tcase(suite, tests);
    return run(suite);
}
