/* Getting around: cells, columns that come and go, finding, showing only some rows, their order, sizes. */
#include "edit/run_suite.h"
#include "tui/facts.h"

static struct on_screen s;

static void open_example(void)
{
    s = on_screen_open(true);
    row(&s, 0);
}

/* A shift of 30 jobs: more than a screen holds. */
static void open_many(void)
{
    shop_file_make(&s.file, false);
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    shop_file_lines(desk, 30 * LINES_OF_A_STOCK * STOCKS_OF_A_JOB);
    sg_desk_close(desk);
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path}, 24, 80);
    row(&s, 0);
}

static void close_screen(void)
{
    on_screen_close(&s);
    s = (struct on_screen){0};
}

/* "2601: name conveyor brackets" */
static const char *place(void)
{
    static char text[500];
    sg_ui_say_place(s.ui, text, sizeof text);
    return text;
}

#define ck_stands(on)                                                                                        \
    ck_assert_msg(strncmp(place(), (on), strlen(on)) == 0, "stands on \"%s\", not \"%s\"", place(), (on))

/* ---- cells ---- */

START_TEST(arrows_and_letters_move_alike)
{
    static const struct {
        const char *keys, *stands;
    } moves[] = {
        {"jj", "2603: "},
        {"<Down><Down>", "2603: "},
        {"jk", "2601: "},
        {"jjj<Up>", "2603: "},
        {"k", "2601: "}, /* at the top it stays */
        {"l", "2601: name"},
        {"<Right>", "2601: name"},
        {"lh", "2601: Job"},
        {"l<Left>", "2601: Job"},
        {"<Left>", "2601: Job"},
        {"LH", "2601: Job"},
        {"L<Home>", "2601: Job"},
        {"G", "2605: "},
        {"Gj", "2605: "},
        {"Ggg", "2601: "},
        {"<Tab>", "2601: name"},
        {"<Tab><Tab>", "2601: customer"},
        {"<Tab><Tab><Shift-Tab>", "2601: name"},
        {"<Tab><Tab><Tab><Tab>", "2602: name"},
    };
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++) {
        press(&s, "ggH");
        to_column(&s, "Job");
        press(&s, moves[i].keys);
        ck_stands(moves[i].stands);
    }
    const struct sg_layout *layout = sg_ui_line(s.ui)->layout;
    const struct sg_column *last = &layout->columns[layout->n - 1];
    press(&s, "L");
    ck_assert_ptr_eq(sg_ui_column(s.ui), last);
    press(&s, "H<End>l");
    ck_assert_ptr_eq(sg_ui_column(s.ui), last);
}
END_TEST

START_TEST(tab_goes_from_input_to_input_over_the_ends_of_lines)
{
    stand_on(&s, "2601", "due");
    press(&s, "<Tab>");
    ck_stands("2601/1: material");
    press(&s, "<Shift-Tab>");
    ck_stands("2601: due");
    stand_on(&s, "2601/1/A", "width");
    press(&s, "<Tab>"); /* what is computed is passed over */
    ck_stands("2601/1/A: outline");
    press(&s, "<Tab>");
    ck_stands("2601/1/B: name");
    press(&s, "<Shift-Tab><Shift-Tab>");
    ck_stands("2601/1/A: width");
}
END_TEST

START_TEST(a_page_is_what_is_seen_and_the_titles_stay)
{
    press(&s, "]");
    int page = s.ui->body.rows - 1;
    char job[20];
    snprintf(job, sizeof job, "J%d: ", 1 + page);
    ck_stands(job);
    ck_row_has(&s, 3, "Job    Name");
    press(&s, "G");
    ck_stands("J30: ");
    ck_shows(&s, "> J30");
    ck_row_has(&s, 3, "Job    Name");
    press(&s, "[[[[[");
    ck_stands("J1: ");
    ck_shows(&s, "> J1 ");
    press(&s, "<PgDn>");
    ck_stands(job);
    press(&s, "<PgUp>");
    ck_stands("J1: ");
}
END_TEST

/* Clocks are whole or not there. */
static void ck_no_half_figure(void)
{
    int at = row_with(&s, " 2601 ");
    const char *text = row(&s, at), *starts = strstr(text, " 06"), *ends = strstr(text, " 08");
    ck_assert_msg(!starts || strncmp(starts, " 06:00", 6) == 0, "%s", text);
    ck_assert_msg(!ends || strncmp(ends, " 08:29", 6) == 0, "%s", text);
}

START_TEST(no_figure_is_cut_in_half_however_narrow_it_is)
{
    for (int columns = 20; columns < 100; columns++) {
        sg_ui_resize(s.ui, 24, columns);
        ck_no_half_figure();
    }
}
END_TEST

/* Whether the row of titles has that of the column one stands on. */
static void ck_title_of_column(void)
{
    char title[40];
    const char *of = sg_ui_column(s.ui)->title;
    snprintf(title, sizeof title, "%.*s", (int)strcspn(of, "%"), of);
    ck_row_has(&s, row_with(&s, " Job "), title);
    ck_no_half_figure();
}

/* From the first to the last that arrows reach; each is in sight. A bit for each. */
static unsigned walk_columns(void)
{
    const struct sg_layout *layout = sg_ui_line(s.ui)->layout;
    unsigned seen = 0;
    press(&s, "H");
    for (int i = 0; i < layout->n; i++, press(&s, "l")) {
        seen |= 1u << (sg_ui_column(s.ui) - layout->columns);
        ck_title_of_column();
    }
    return seen;
}

START_TEST(columns_that_have_no_room_are_not_walked_over_and_come_with_a_key)
{
    static const int widths[] = {60, 80, 100};
    sg_ui_resize(s.ui, 24, widths[_i]);
    row(&s, 0);
    int n = sg_ui_line(s.ui)->layout->n;
    unsigned all = (1u << n) - 1, usual = walk_columns();
    ck_assert_uint_ne(usual, all);
    press(&s, "C");
    ck_assert_uint_ne(walk_columns() & ~usual, 0);
    press(&s, "C");
    ck_assert_uint_eq(walk_columns() & usual, usual);
    /* What one goes to otherwise comes too: the field of an input by Tab. */
    press(&s, "H<Tab><Tab><Tab>");
    ck_title_of_column();
}
END_TEST

START_TEST(neighbours_by_angle_brackets_end_with_a_sentence)
{
    press(&s, "<Enter>");
    press_stroke(&s, '<');
    ck_row_has(&s, WORDS_ROW, "2601 is the first job of shift A");
    for (int i = 2; i <= 5; i++) {
        char title[40];
        press_stroke(&s, '>');
        snprintf(title, sizeof title, "JOB 260%d (%d of 5)", i, i);
        ck_row_has(&s, TITLE_ROW, title);
    }
    press_stroke(&s, '>');
    ck_row_has(&s, WORDS_ROW, "2605 is the last job of shift A");
}
END_TEST

/* ---- finding ---- */

/* Jobs as they stand below each other, "12345" by the last figure. */
static const char *jobs_shown(void)
{
    static char order[10];
    int n = 0;
    for (int i = 0; i < s.ui->n_lines; i++)
        if (s.ui->lines[i].stop)
            order[n++] = s.ui->kept.shop->jobs[s.ui->lines[i].target.index].id[3];
    order[n] = '\0';
    return order;
}

START_TEST(find_goes_on_and_back_and_around)
{
    press(&s, "/PLATES<Enter>");
    ck_stands("2603: ");
    press(&s, "gg/glass<Enter>");
    ck_stands("2604: ");
    press(&s, "gg/customer 12<Enter>"); /* 2601 has it too, one stands there */
    const char *next = place();
    ck_assert_msg(strncmp(next, "2601", 4) != 0, "stands on %s", next);
    char second[20];
    snprintf(second, sizeof second, "%.6s", next);
    int n = 0;
    do
        press(&s, "n");
    while (strncmp(place(), second, 6) != 0 && ++n < 9);
    ck_assert_int_lt(n, 9); /* around */
    press(&s, "nN");
    ck_stands(second);
    press(&s, "gg/customer<Enter>"); /* all but 2603 have one */
    ck_stands("2602: ");
    press(&s, "N");
    ck_stands("2601: ");
    press(&s, "N");
    ck_stands("2605: ");
    press(&s, "N");
    ck_stands("2604: ");
    press(&s, "N");
    ck_stands("2602: ");
    press(&s, "/nowhere<Enter>");
    ck_row_has(&s, WORDS_ROW, "\"nowhere\" is not on this screen.");
    ck_stands("2602: ");
}
END_TEST

START_TEST(in_a_form_find_goes_to_the_field)
{
    press(&s, "<Enter>/traverse<Enter>");
    ck_stands("2601/1: feed");
    press(&s, "/aluminium<Enter>");
    ck_stands("2601/1: material");
    press(&s, "gm/hopper level<Enter>");
    ck_stands("machine:main: hopper level");
}
END_TEST

START_TEST(a_find_that_is_dropped_goes_nowhere)
{
    press(&s, "/plates<Esc>");
    ck_stands("2601: ");
    press(&s, "n");
    ck_row_has(&s, WORDS_ROW, "Nothing to find yet");
}
END_TEST

START_TEST(show_only_narrows_while_it_is_typed_and_says_that_rows_are_missing)
{
    press(&s, "&fl");
    ck_assert_str_eq(jobs_shown(), "24"); /* flanges, float glass */
    press(&s, "ange");
    ck_assert_str_eq(jobs_shown(), "2");
    press(&s, "<Enter>");
    ck_assert_str_eq(jobs_shown(), "2");
    ck_row_has(&s, ACCEPTED_ROW, "Only rows that have \"flange\" are shown; Esc shows all.");
    /* It is of this screen: the job shows all its parts. */
    press(&s, "<Enter>");
    ck_row_has(&s, TITLE_ROW, "JOB 2602");
    int parts = 0;
    for (int i = 0; i < s.ui->n_lines; i++)
        parts += s.ui->lines[i].stop && s.ui->lines[i].target.kind == SG_KIND_PART;
    const struct sg_shop *shop = s.ui->kept.shop;
    ck_assert_int_eq(parts, shop->stocks[shop->jobs[1].first_stock].n_parts);
    press(&s, "<Esc>");
    ck_assert_str_eq(jobs_shown(), "2");
    press(&s, "&<Ctrl-U><Enter>");
    ck_assert_str_eq(jobs_shown(), "12345");
    ck_row_has_not(&s, ACCEPTED_ROW, "Only rows");
}
END_TEST

START_TEST(the_order_shown_is_not_that_of_the_run)
{
    to_column(&s, "name");
    press(&s, "o"); /* base, case, conveyor, pump, sight */
    row(&s, 0);
    ck_assert_str_eq(jobs_shown(), "35124");
    ck_row_has(&s, WORDS_ROW, "Shown by Name, rising; they run in their own order.");
    ck_stands("2601: "); /* the same row as before */
    press(&s, "o");
    row(&s, 0);
    ck_assert_str_eq(jobs_shown(), "42153");
    press(&s, "o");
    row(&s, 0);
    ck_assert_str_eq(jobs_shown(), "12345");
    ck_row_has(&s, WORDS_ROW, "Shown as they run.");
    other_sets(&s, "office", "2602/1/A", "quantity=112");
    sg_ui_look(s.ui);
    to_column(&s, "Qty"); /* 56 112 18 20 52, as numbers */
    press(&s, "o");
    row(&s, 0);
    ck_assert_str_eq(jobs_shown(), "34512");
    ck_assert_int_eq(steps_in_file(&s, NULL), 1); /* the other one's */
    ck_assert_str_eq(in_file(&s, "2601", "order"), "1");
}
END_TEST

/* ---- by name, and keys without use ---- */

START_TEST(an_action_is_found_by_its_name)
{
    press(&s, ":bottom<Enter>");
    ck_stands("2605: ");
    press(&s, "gg:bott<Enter>"); /* the best of the list */
    ck_stands("2605: ");
    press(&s, "gg:down<Down><Enter>");
    ck_assert_int_eq(s.wish, SG_WISH_NOTHING);
    press(&s, "gg<Enter>:next<Enter>"); /* and not next-input, which only begins so */
    ck_row_has(&s, TITLE_ROW, "JOB 2602");
    press(&s, ":zoom-in<Enter>");
    ck_row_has(&s, WORDS_ROW, "there is no \"zoom-in\" here");
    press(&s, ":frobnicate<Enter>");
    ck_row_has(&s, WORDS_ROW, "no action is called \"frobnicate\" here");
    press(&s, ":back<Esc>");
    ck_row_has(&s, TITLE_ROW, "JOB 2602");
    press(&s, ":back<Enter>");
    ck_row_has(&s, TITLE_ROW, "SHIFT A");
}
END_TEST

START_TEST(a_key_without_use_says_so_and_does_nothing)
{
    static const struct {
        const char *key, *said;
    } keys[] = {
        {"%", "% does nothing; ? shows the keys."},
        {"D", "D (longer-search) does nothing on this screen"},
        {"z", "z (zoom-in) does nothing on this screen"},
        {"E", "does nothing on this screen"},
        {"gz", "gz does nothing"},
        {"<Backspace>", "Backspace does nothing here: e edits the input"},
        {"<Ctrl-U>", "Ctrl-U (clear) does nothing on this screen"},
        {"<F7>", "F7 does nothing"},
    };
    struct file_bytes before = file_bytes_of(s.file.path);
    press(&s, keys[_i].key);
    ck_row_has(&s, WORDS_ROW, keys[_i].said);
    ck_stands("2601: ");
    ck_row_has(&s, TITLE_ROW, "SHIFT A");
    ck_assert(file_bytes_are(s.file.path, &before));
    free(before.at);
}
END_TEST

START_TEST(after_g_the_letters_are_shown_and_esc_forgets_it)
{
    press(&s, "g");
    ck_shows(&s, "g then");
    for (const struct sg_action *action = sg_actions; action->name; action++) /* all of them, in two rows */
        if (action->keys[0] == 'g' && action->keys[1] > ' ' && strncmp(action->name, "go-", 3) == 0) {
            char pair[60];
            snprintf(pair, sizeof pair, "%s %s", action->keys + 1, action->name + 3);
            ck_shows(&s, pair);
        }
    press(&s, "<Esc>j");
    ck_stands("2602: ");
    ck_shows_not(&s, "g then");
    press(&s, "gj");
    ck_row_has(&s, TITLE_ROW, "JOB 2602");
    press(&s, "gh");
    ck_row_has(&s, TITLE_ROW, "HOPPER");
    press(&s, "gs");
    ck_row_has(&s, TITLE_ROW, "SHIFT A");
}
END_TEST

START_TEST(esc_goes_out_one_step_at_a_time)
{
    press(&s, "<Enter>&bracket<Enter> 5");
    ck_assert_int_ge(cursor_in_field(&s), 0);
    press(&s, "<Esc>"); /* the field */
    ck_assert_int_eq(cursor_in_field(&s), -1);
    ck_assert_int_eq(s.ui->n_marks, 1);
    press(&s, "<Esc>"); /* the marks */
    ck_assert_int_eq(s.ui->n_marks, 0);
    ck_row_has(&s, ACCEPTED_ROW, "Only rows");
    press(&s, "<Esc>"); /* the rows left out */
    ck_row_has_not(&s, ACCEPTED_ROW, "Only rows");
    ck_row_has(&s, TITLE_ROW, "JOB 2601");
    press(&s, "<Esc>"); /* the screen */
    ck_row_has(&s, TITLE_ROW, "SHIFT A");
    press(&s, "<Esc>");
    ck_row_has(&s, WORDS_ROW, "This is the first screen; q leaves, all is kept.");
    ck_assert_int_eq(s.wish, SG_WISH_NOTHING);
    press(&s, "<Enter>q");
    ck_row_has(&s, TITLE_ROW, "SHIFT A");
    ck_assert_int_eq(s.wish, SG_WISH_NOTHING);
    press(&s, "q");
    ck_assert_int_eq(s.wish, SG_WISH_LEAVE);
}
END_TEST

static TCase *add_case(Suite *suite, const char *name, void (*open)(void))
{
    TCase *tests = tcase_create(name);
    tcase_add_checked_fixture(tests, open, close_screen);
    suite_add_tcase(suite, tests);
    return tests;
}

int main(void)
{
    Suite *suite = suite_create("moving");
    TCase *tests = add_case(suite, "moving", open_example);
    tcase_add_test(tests, arrows_and_letters_move_alike);
    tcase_add_test(tests, tab_goes_from_input_to_input_over_the_ends_of_lines);
    tcase_add_loop_test(tests, columns_that_have_no_room_are_not_walked_over_and_come_with_a_key, 0, 3);
    tcase_add_test(tests, no_figure_is_cut_in_half_however_narrow_it_is);
    tcase_add_test(tests, neighbours_by_angle_brackets_end_with_a_sentence);
    tcase_add_test(tests, find_goes_on_and_back_and_around);
    tcase_add_test(tests, in_a_form_find_goes_to_the_field);
    tcase_add_test(tests, a_find_that_is_dropped_goes_nowhere);
    tcase_add_test(tests, show_only_narrows_while_it_is_typed_and_says_that_rows_are_missing);
    tcase_add_test(tests, the_order_shown_is_not_that_of_the_run);
    tcase_add_test(tests, an_action_is_found_by_its_name);
    tcase_add_loop_test(tests, a_key_without_use_says_so_and_does_nothing, 0, 8);
    tcase_add_test(tests, after_g_the_letters_are_shown_and_esc_forgets_it);
    tcase_add_test(tests, esc_goes_out_one_step_at_a_time);
    tests = add_case(suite, "a long list", open_many);
    tcase_add_test(tests, a_page_is_what_is_seen_and_the_titles_stay);
    return run(suite);
}
