/* Typing into a field: what is shown, what is in the file, and when one becomes the other. */
#include "edit/run_suite.h"
#include "tui/facts.h"

static struct on_screen s;

/* The example's first job, on the quantity of its first part, which is 20. */
static void open_job(void)
{
    s = on_screen_open(true);
    sg_ui_resize(s.ui, 24, 120); /* room for all results of a part */
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
}

static void close_job(void)
{
    on_screen_close(&s);
}

/* The row of a part shows these figures, each with the mark behind it. */
static void ck_part_shows(const char *beginning, const struct facts *facts, const char *mark)
{
    char figure[60];
    int at = row_with(&s, beginning);
    ck_assert_int_ge(at, 0);
    const char *const figures[] = {facts->cut, facts->pierce, facts->garnet};
    for (int i = 0; i < 3; i++) {
        snprintf(figure, sizeof figure, " %s%s", figures[i], mark);
        ck_row_has(&s, at, figure);
    }
}

static void ck_answer(const struct facts *facts)
{
    char answer[60];
    snprintf(answer, sizeof answer, "ENDS %s", facts->ends_on);
    ck_row_has(&s, ANSWERS_ROW, answer);
}

/* ---- whole ---- */

START_TEST(each_key_shows_the_results_of_the_whole_text_and_the_file_stays)
{
    static const struct {
        const char *key, *assignment;
    } keys[] = {
        {"2", "quantity=2"}, {"4", "quantity=24"}, {"1", "quantity=241"}, {"<Backspace>", "quantity=24"}};
    const struct facts kept = facts_of(&s, "2601/1/A", NULL, NULL);
    for (int i = 0; i < 4; i++) {
        char field[20], change[60];
        press(&s, keys[i].key);
        const struct facts typed = facts_of(&s, "2601/1/A", "2601/1/A", keys[i].assignment);
        const char *number = strchr(keys[i].assignment, '=') + 1;
        snprintf(field, sizeof field, "[%s_", number);
        ck_assert_str_ne(typed.cut, kept.cut);
        ck_part_shows(field, &typed, "*");
        ck_answer(&typed);
        ck_row_has(&s, row_with(&s, "Shift ends"), kept.ends);
        ck_row_has(&s, row_with(&s, "Shift ends"), typed.ends);
        snprintf(change, sizeof change, "quantity 20 -> %s  Enter keeps it, Esc drops it", number);
        ck_row_has(&s, WORDS_ROW, change);
        ck_row_has(&s, ACCEPTED_ROW, "whole number, 0 to 1000000");
        ck_row_has(&s, TITLE_ROW, "DRAFT, not yet in plan");
        ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
        const struct facts file = facts_of(&s, "2601/1/A", NULL, NULL);
        ck_assert_str_eq(file.ends, kept.ends);
    }
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

START_TEST(enter_puts_it_in_the_file_as_one_step_and_goes_one_row_down)
{
    struct sg_step_told step;
    press(&s, "24<Enter>");
    const struct facts kept = facts_of(&s, "2601/1/A", NULL, NULL);
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "24");
    ck_assert_int_eq(steps_in_file(&s, &step), 1);
    ck_assert_str_eq(step.who, "programmer");
    ck_assert_ptr_nonnull(strstr(step.words, "2601/1/A"));
    ck_row_has(&s, WORDS_ROW, "quantity 20 -> 24 kept.  u takes it back");
    ck_row_has(&s, TITLE_ROW, "saved");
    ck_part_shows("  A ", &kept, "");
    ck_answer(&kept);
    ck_row_has_not(&s, row_with(&s, "  A "), "*");
    ck_row_has_not(&s, row_with(&s, "in plan"), "typed");
    ck_shows(&s, "> B ");
    ck_assert_int_eq(cursor_in_field(&s), -1);
}
END_TEST

START_TEST(on_the_last_row_enter_stays)
{
    press(&s, "j7<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "quantity"), "7");
    ck_shows(&s, "> B ");
    /* Nor into the next sheets of a job that has several. */
    stand_on(&s, "2605/1/A", "quantity");
    int stocks = s.ui->kept.shop->jobs[4].n_stocks;
    ck_assert_int_gt(stocks, 1);
    while (sg_ui_line(s.ui)[1].layout == sg_ui_line(s.ui)->layout)
        press(&s, "j");
    int64_t last = sg_ui_line(s.ui)->row;
    press(&s, "3<Enter>");
    ck_assert_int_eq(sg_ui_line(s.ui)->row, last);
}
END_TEST

START_TEST(what_equals_the_plan_is_no_change)
{
    press(&s, "20");
    ck_row_has(&s, WORDS_ROW, "as in the plan");
    press(&s, "<Enter>");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    ck_row_has(&s, TITLE_ROW, "saved");
}
END_TEST

START_TEST(esc_and_its_fellows_bring_the_old_results_back_at_once)
{
    static const char *const keys[] = {"<Esc>", "<Ctrl-C>", "<Ctrl-G>"};
    const struct facts kept = facts_of(&s, "2601/1/A", NULL, NULL);
    press(&s, "2");
    press(&s, keys[_i]);
    ck_part_shows("> A ", &kept, "");
    ck_row_has_not(&s, row_with(&s, "> A "), "*");
    ck_answer(&kept);
    ck_row_has(&s, TITLE_ROW, "saved");
    ck_row_has_not(&s, row_with(&s, "in plan"), "typed");
    ck_row_has_not(&s, WORDS_ROW, "->");
    ck_assert_int_eq(s.wish, SG_WISH_NOTHING);
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
}
END_TEST

/* ---- not whole ---- */

/* keys typed into a field that was cleared; what the words begin with; where Enter puts the cursor. */
static const struct {
    const char *key, *field, *keys, *words;
    int bad;
} not_whole[] = {
    {"2601/1/A", "quantity", "", "unfinished: nothing typed", 0},
    {"2601/1/A", "quantity", "-", "unfinished: a number is expected after -", 1},
    {"2601/1/A", "quantity", ".", "unfinished: a number is expected", 1},
    {"2601/1/A", "quantity", "=12*", "unfinished: a number is expected after *", 4},
    {"2601/1", "thickness", "1/", "unfinished: a whole number is expected directly after /", 2},
    {"2601/1", "thickness", "=1/0", "unfinished: nothing can be divided by 0", -1},
    {"2601/1/A", "quantity", "abc", "a number is expected here", 0},
    {"2601/1/A", "quantity", "12x", "a whole number without unit is expected", 2},
    {"2601/1/A", "quantity", "1e309", "too large", -1},
    {"2601/1/A", "quantity", "1.5", "a whole number is expected", -1},
    {"2601/1/A", "quantity", "2000000", "too large; a whole number, 0 to 1000000", -1},
    {"2601/1/A", "quantity", "1,200", "1,200: type 1200 or 1.2", -1},
    {"2601/1", "thickness", "-3", "must be more than 0", -1},
    {"2601/1", "thickness", "0", "must be more than 0", -1},
    {"2601/1", "thickness", "10ga", "gauge depends on the metal: type mm or inch", -1},
    {"2601/1", "thickness", "1.200,5", "1.200,5: type 1200.5", -1},
    {"2601/1", "thickness", "1,200.5", "1,200.5: type 1200.5", -1},
};
enum { NOT_WHOLE = sizeof not_whole / sizeof *not_whole };

static void type_not_whole(int i)
{
    stand_on(&s, not_whole[i].key, not_whole[i].field);
    press(&s, "e<Ctrl-U>");
    press(&s, not_whole[i].keys);
}

START_TEST(a_text_that_is_not_whole_shows_the_plan_marked_and_why)
{
    const struct facts kept = facts_of(&s, "2601/1/A", NULL, NULL);
    type_not_whole(_i);
    ck_assert_int_eq(strncmp(row(&s, WORDS_ROW), not_whole[_i].words, strlen(not_whole[_i].words)), 0);
    ck_part_shows(*not_whole[_i].field == 'q' ? "> A " : "  A ", &kept, "?");
    ck_answer(&kept);
    ck_row_has(&s, ANSWERS_ROW, " ? | REFILL");
    ck_row_has(&s, row_with(&s, "Cut time"), " ?");
    ck_assert_str_eq(in_file(&s, not_whole[_i].key, not_whole[_i].field),
                     *not_whole[_i].field == 'q' ? "20" : "0.5 in");
}
END_TEST

START_TEST(enter_on_it_keeps_the_field_open_and_the_file_as_it_is)
{
    type_not_whole(_i);
    press(&s, "<Home><Enter>");
    ck_assert_int_eq(s.wish, SG_WISH_BELL);
    ck_assert_str_eq(typed_now(&s), not_whole[_i].keys);
    ck_assert_int_eq(strncmp(row(&s, WORDS_ROW), not_whole[_i].words, strlen(not_whole[_i].words)), 0);
    if (not_whole[_i].bad >= 0)
        ck_assert_int_eq(cursor_in_field(&s), not_whole[_i].bad);
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    press(&s, "<Esc>");
    ck_row_has_not(&s, ANSWERS_ROW, "?");
}
END_TEST

START_TEST(leaving_it_puts_the_text_aside_for_last)
{
    static const char *const keys[] = {"<Down>", "<Up>"};
    const struct facts kept = facts_of(&s, "2601/1/A", NULL, NULL);
    press(&s, "12x");
    press(&s, keys[_i]);
    ck_assert_str_ne(typed_now(&s), "12x");
    ck_row_has(&s, WORDS_ROW, "\"12x\" not kept: a whole number without unit is expected");
    ck_row_has(&s, WORDS_ROW, ":last brings it back");
    ck_shows_not(&s, "> A      bracket, ~     12x");
    ck_answer(&kept);
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    stand_on(&s, "2601/1/A", "quantity");
    press(&s, ":last<Enter>");
    ck_assert_str_eq(typed_now(&s), "12x");
    press(&s, "<Backspace><Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "12");
}
END_TEST

START_TEST(tab_stays_on_what_cannot_be_kept)
{
    static const struct {
        const char *key, *field, *text, *words;
    } wrong[] = {{"2601/1/A", "quantity", "12x", "a whole number without unit is expected"},
                 {"2601/1/A", "quantity", "", "unfinished: nothing typed"},
                 {"2601/1", "material", "3/8", "not in the library"},
                 {"2601/1", "thickness", "1/", "unfinished"}};
    static const char *const keys[] = {"<Tab>", "<Shift-Tab>"};
    char place[300];
    press(&s, "<Esc>");
    stand_on(&s, wrong[_i].key, wrong[_i].field);
    press(&s, "e<Ctrl-U>");
    press(&s, wrong[_i].text);
    for (int i = 0; i < 2; i++) {
        press(&s, keys[i]);
        ck_assert_int_eq(s.wish, SG_WISH_BELL);
        ck_assert_str_eq(s.ui->typing.open ? s.ui->typing.field->name : "", wrong[_i].field);
        ck_assert_str_eq(sg_entry_text(&s.ui->entry), wrong[_i].text);
        ck_row_has(&s, WORDS_ROW, wrong[_i].words);
    }
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    press(&s, "<Esc>e<Tab>"); /* what was not touched is passed over */
    sg_ui_say_place(s.ui, place, sizeof place);
    ck_assert(s.ui->typing.open);
    ck_assert_str_ne(s.ui->typing.field->name, wrong[_i].field);
}
END_TEST

START_TEST(leaving_a_whole_text_keeps_it)
{
    static const struct {
        const char *key, *stands;
    } keys[] = {{"<Tab>", "2601/1/A: cut length"},
                {"<Shift-Tab>", "2601/1/A: name"},
                {"<Down>", "2601/1/B: quantity"},
                {"<Up>", "2601/1: "}};
    char place[300];
    press(&s, "12");
    press(&s, keys[_i].key);
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "12");
    sg_ui_say_place(s.ui, place, sizeof place);
    ck_assert_msg(strncmp(place, keys[_i].stands, strlen(keys[_i].stands)) == 0, "stands on %s", place);
}
END_TEST

START_TEST(what_is_possible_but_odd_is_kept_with_a_mark)
{
    press(&s, "200000");
    ck_row_has(&s, WORDS_ROW, "quantity 20 -> 200000  ! unusually large, kept");
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "200000");
}
END_TEST

START_TEST(nought_is_a_quantity_and_empty_is_none)
{
    press(&s, "0<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "0");
    ck_row_has(&s, row_with(&s, "  A "), "0:00:00");
    stand_on(&s, "2601/1", "load");
    press(&s, "e<Ctrl-U>20<Enter>e<Ctrl-U><Enter>");
    ck_row_has(&s, WORDS_ROW, "unfinished: nothing typed"); /* `none` clears, nothing does not */
    press(&s, "none<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "load"), "none");
    press(&s, "e<Ctrl-U>0<Enter>");
    ck_assert_str_ne(in_file(&s, "2601/1", "load"), "none");
}
END_TEST

/* A text is cleared by rubbing it out; what is none already is none while nothing is typed. */
START_TEST(an_empty_text_is_none_and_no_result_is_doubtful)
{
    static const struct {
        const char *key, *field, *typed;
    } texts[] = {{"2601/1/A", "note", "mind the film"}, {"2601", "customer", "Office"}};
    for (int i = 0; i < 2; i++) {
        stand_on(&s, texts[i].key, texts[i].field);
        press(&s, "e<Ctrl-U>");
        ck_row_has_not(&s, ANSWERS_ROW, "?");
        press(&s, texts[i].typed);
        press(&s, "<Enter>");
        ck_assert_str_eq(in_file(&s, texts[i].key, texts[i].field), texts[i].typed);
        stand_on(&s, texts[i].key, texts[i].field);
        press(&s, "e<Ctrl-U>");
        ck_row_has_not(&s, ANSWERS_ROW, "?");
        ck_row_has(&s, WORDS_ROW, "-> none");
        press(&s, " <Enter>");
        ck_assert_str_eq(in_file(&s, texts[i].key, texts[i].field), "none");
        int steps = steps_in_file(&s, NULL);
        press(&s, "e");
        ck_row_has(&s, WORDS_ROW, "as in the plan");
        ck_row_has_not(&s, ANSWERS_ROW, "?");
        press(&s, "<Enter>");
        ck_assert_int_eq(steps_in_file(&s, NULL), steps);
    }
    stand_on(&s, "2601/1", "load"); /* a number: none already, and not while it is about to be typed */
    press(&s, "e<Ctrl-U>none<Enter>");
    stand_on(&s, "2601/1", "load");
    press(&s, "e");
    ck_row_has_not(&s, ANSWERS_ROW, "?");
    press(&s, "<Esc>");
}
END_TEST

/* ---- keys in a field ---- */

/* Pressed on the name "base plates", the cursor at its end. */
static const struct {
    const char *keys, *text;
    int cursor;
} keys_in_field[] = {
    {"", "base plates", 11},
    {"<Left><Left>x", "base platxes", 10},
    {"<Home>x", "xbase plates", 1},
    {"<Home><Left>x", "xbase plates", 1},
    {"<Ctrl-X><Right><Right>x", "baxse plates", 3},
    {"<Home><End>x", "base platesx", 12},
    {"<Home><Ctrl-E><Right>x", "base platesx", 12},
    {"<Backspace><Backspace>", "base plat", 9},
    {"<Home><Backspace>", "base plates", 0},
    {"<Home><Delete><Ctrl-D>", "se plates", 0},
    {"<Delete>", "base plates", 11},
    {"<Ctrl-W>", "base ", 5},
    {"<Ctrl-W><Ctrl-W>", "", 0},
    {"<Left><Left><Ctrl-W>", "base es", 5},
    {"<Left><Left><Ctrl-K>", "base plat", 9},
    {"<Left><Left><Ctrl-U>q?", "q?", 2}, /* the whole field; letters are text, whatever they do outside */
    {"<F5><PgUp><Insert>", "base plates", 11},
};
enum { KEYS_IN_FIELD = sizeof keys_in_field / sizeof *keys_in_field };

START_TEST(a_key_in_a_field_does_what_its_table_says)
{
    stand_on(&s, "2603", "name");
    press(&s, "e");
    press(&s, keys_in_field[_i].keys);
    ck_assert_str_eq(typed_now(&s), keys_in_field[_i].text);
    ck_assert_int_eq(s.canvas.cursor_row, row_with(&s, "["));
    ck_assert_int_eq(cursor_in_field(&s), keys_in_field[_i].cursor);
}
END_TEST

START_TEST(a_digit_a_point_and_a_sum_replace_the_value_and_e_keeps_it)
{
    static const struct {
        const char *keys, *text;
    } opened[] = {{"7", "7"}, {".5", ".5"}, {"=3", "=3"}, {"e", "20"}, {"<F2>", "20"}, {"<Enter>", "20"}};
    press(&s, opened[_i].keys);
    ck_assert_str_eq(typed_now(&s), opened[_i].text);
}
END_TEST

START_TEST(a_computed_cell_says_that_it_cannot_be_typed_over)
{
    press(&s, "<End>5");
    ck_assert_int_eq(cursor_in_field(&s), -1);
    ck_row_has(&s, WORDS_ROW, "This is computed: w says from what.");
}
END_TEST

START_TEST(help_over_a_field_leaves_it_alone)
{
    press(&s, "31<Left><F1>");
    ck_row_has(&s, TITLE_ROW, "HELP");
    press(&s, "j]7x");
    ck_row_has(&s, WORDS_ROW, "Esc goes back to what you type.");
    press(&s, "<Enter>gs:");
    paste(&s, "99");
    ck_row_has(&s, TITLE_ROW, "HELP");
    press(&s, "<Esc>");
    ck_row_has(&s, TITLE_ROW, "JOB 2601");
    ck_assert_str_eq(typed_now(&s), "31");
    ck_assert_int_eq(cursor_in_field(&s), 1);
    ck_row_has(&s, WORDS_ROW, "quantity 20 -> 31");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "31");
}
END_TEST

START_TEST(help_over_a_question_leaves_it_alone_and_has_questions_of_its_own)
{
    press(&s, "/bra<F1>jx");
    ck_row_has(&s, TITLE_ROW, "HELP");
    press(&s, "<Esc>c<Enter>");
    ck_row_has(&s, TITLE_ROW, "JOB 2601");
    ck_assert_str_eq(s.ui->find, "brac");
    press(&s, "?/sum<Enter>");
    ck_row_has(&s, TITLE_ROW, "HELP");
    ck_assert_str_eq(s.ui->find, "sum");
}
END_TEST

/* ---- plus and minus ---- */

START_TEST(plus_and_minus_step_the_number_and_are_one_change)
{
    struct sg_step_told step;
    press(&s, "+++-+");
    ck_assert_str_eq(typed_now(&s), "23");
    const struct facts typed = facts_of(&s, "2601/1/A", "2601/1/A", "quantity=23");
    ck_part_shows("[23_", &typed, "*");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "23");
    ck_assert_int_eq(steps_in_file(&s, &step), 1);
    /* In a field that was typed into by hand they are characters. */
    press(&s, "k25-");
    ck_assert_str_eq(typed_now(&s), "25-");
    press(&s, "<Esc>+5+");
    ck_assert_str_eq(typed_now(&s), "245+");
}
END_TEST

START_TEST(minus_ends_at_what_the_field_takes)
{
    press(&s, "1<Enter>k--");
    ck_assert_str_eq(typed_now(&s), "0");
    ck_row_has(&s, WORDS_ROW, "too small; a whole number, 0 to 1000000");
    press(&s, "++<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "2");
    press(&s, "k0<Enter>k-");
    ck_assert_int_eq(cursor_in_field(&s), -1);
    ck_row_has(&s, WORDS_ROW, "too small; a whole number, 0 to 1000000");
}
END_TEST

START_TEST(a_figure_steps_by_a_tenth_of_its_power_of_ten)
{
    stand_on(&s, "2601/1", "thickness");
    press(&s, "+");
    ck_assert_str_eq(typed_now(&s), "0.51 in");
    press(&s, "--<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "thickness"), "0.49 in");
}
END_TEST

static void add(TCase *tests, const TTest *test, int n)
{
    tcase_add_loop_test(tests, test, 0, n);
}

int main(void)
{
    Suite *suite = suite_create("typing");
    TCase *tests = tcase_create("typing");
    tcase_add_checked_fixture(tests, open_job, close_job);
    tcase_add_test(tests, each_key_shows_the_results_of_the_whole_text_and_the_file_stays);
    tcase_add_test(tests, enter_puts_it_in_the_file_as_one_step_and_goes_one_row_down);
    tcase_add_test(tests, on_the_last_row_enter_stays);
    tcase_add_test(tests, what_equals_the_plan_is_no_change);
    add(tests, esc_and_its_fellows_bring_the_old_results_back_at_once, 3);
    add(tests, a_text_that_is_not_whole_shows_the_plan_marked_and_why, NOT_WHOLE);
    add(tests, enter_on_it_keeps_the_field_open_and_the_file_as_it_is, NOT_WHOLE);
    add(tests, leaving_it_puts_the_text_aside_for_last, 2);
    add(tests, tab_stays_on_what_cannot_be_kept, 4);
    add(tests, leaving_a_whole_text_keeps_it, 4);
    tcase_add_test(tests, what_is_possible_but_odd_is_kept_with_a_mark);
    tcase_add_test(tests, nought_is_a_quantity_and_empty_is_none);
    tcase_add_test(tests, an_empty_text_is_none_and_no_result_is_doubtful);
    add(tests, a_key_in_a_field_does_what_its_table_says, KEYS_IN_FIELD);
    add(tests, a_digit_a_point_and_a_sum_replace_the_value_and_e_keeps_it, 6);
    tcase_add_test(tests, a_computed_cell_says_that_it_cannot_be_typed_over);
    tcase_add_test(tests, help_over_a_field_leaves_it_alone);
    tcase_add_test(tests, help_over_a_question_leaves_it_alone_and_has_questions_of_its_own);
    tcase_add_test(tests, plus_and_minus_step_the_number_and_are_one_change);
    tcase_add_test(tests, minus_ends_at_what_the_field_takes);
    tcase_add_test(tests, a_figure_steps_by_a_tenth_of_its_power_of_ten);
    suite_add_tcase(suite, tests);
    return run(suite);
}
