/* Marked rows, ranges, one value typed into many rows, and screens that only read. */
#include "edit/run_suite.h"
#include "tui/facts.h"

static struct on_screen s;

static void open_example(void)
{
    s = on_screen_open(true);
    row(&s, 0);
}

static void open_to_read(void)
{
    s = (struct on_screen){0};
    shop_file_make(&s.file, true);
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path, .read_only = true}, 24, 80);
    row(&s, 0);
}

static void close_screen(void)
{
    on_screen_close(&s);
}

/* The marked jobs by the last figure of their names, "13", in the order shown; read off the screen. */
static const char *marked(void)
{
    static char out[10];
    int n = 0;
    for (int i = 0; i < s.canvas.rows; i++) {
        const char *text = row(&s, i);
        const char *job = text[0] && text[1] == '+' ? strstr(text, "260") : NULL;
        if (job)
            out[n++] = job[3];
    }
    out[n] = '\0';
    return out;
}

START_TEST(marks_are_set_cleared_and_shown)
{
    static const struct {
        const char *keys, *marked;
    } marks[] = {
        {" ", "1"},
        {"  ", "12"},
        {" k ", ""}, /* again: off */
        {" j ", "13"},
        {"G ", "5"}, /* on the last row it stays */
        {"*", "12345"},
        {"**", ""},
        {" *", ""}, /* where some are marked it clears */
        {" j V", ""},
        {" j <Esc>", ""},
        {"vjj", "123"},
        {"vjjv", "123"},
        {"vjjvj", "123"}, /* a range that has ended stays as it is */
        {"vjjk", "12"},
        {"jjvkk", "123"},
        {"vG", "12345"},
        {"v<Esc>j", ""},
        {"v/base<Enter>v", "123"}, /* found, not walked to */
    };
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        press(&s, "Vgg");
        press(&s, marks[i].keys);
        ck_assert_msg(strcmp(marked(), marks[i].marked) == 0, "after \"%s\": %s", marks[i].keys, marked());
    }
}
END_TEST

START_TEST(marks_say_how_many_and_stay_with_their_rows)
{
    press(&s, " j ");
    ck_row_has(&s, WORDS_ROW, "2 rows marked: what is typed goes into all of them.");
    to_column(&s, "name");
    press(&s, "o"); /* shown by name: 3 5 1 2 4 */
    ck_assert_str_eq(marked(), "31");
    press(&s, "oo<Enter>q");
    ck_assert_str_eq(marked(), "13");
}
END_TEST

/* ---- one value for many ---- */

START_TEST(a_value_goes_into_all_marked_rows_as_one_step)
{
    press(&s, "<Enter>  k");
    ck_assert_int_eq(s.ui->n_marks, 2);
    press(&s, "7");
    ck_row_has(&s, WORDS_ROW, "quantity of 2 rows -> 7  Enter keeps it");
    const struct facts one = facts_of(&s, "2601/1/A", "2601/1/A", "quantity=7");
    ck_row_has(&s, row_with(&s, "+A "), one.cut);
    ck_row_has(&s, row_with(&s, "+B "), "7*"); /* the other row shows it too */
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "quantity"), "36");
    press(&s, "<Enter>");
    ck_row_has(&s, WORDS_ROW, "quantity of 2 rows -> 7 kept.  u takes it back");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "7");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "quantity"), "7");
    ck_assert_int_eq(steps_in_file(&s, NULL), 1);
    press(&s, "u");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "quantity"), "36");
    press(&s, "<Ctrl-R>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "7");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "quantity"), "7");
}
END_TEST

START_TEST(on_a_row_without_mark_it_goes_into_that_row_alone)
{
    press(&s, "<Enter> 7"); /* A is marked, one stands on B */
    ck_row_has(&s, WORDS_ROW, "quantity 36 -> 7");
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "quantity"), "7");
}
END_TEST

START_TEST(marks_of_another_kind_do_not_take_part)
{
    press(&s, "<Enter>*"); /* both parts */
    stand_on(&s, "2601/1", "thickness");
    press(&s, "1/4\"<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1", "thickness"), "0.25 in");
    ck_assert_int_eq(s.ui->n_marks, 2);
}
END_TEST

START_TEST(where_one_row_refuses_none_gets_it)
{
    /* Sheets of 48 and 40 inches: a margin of 22 leaves the wider one something and the other nothing. */
    char first[40];
    stand_on(&s, "2605/1", "margin");
    snprintf(first, sizeof first, "%.30s", in_file(&s, "2605/1", "margin"));
    ck_assert_str_ne(first, "2 in");
    struct sg_error error;
    struct sg_target target;
    static const char *const keys[] = {"2605/1", "2604/1"};
    s.ui->marks = malloc(2 * sizeof *s.ui->marks);
    ck_assert_ptr_nonnull(s.ui->marks);
    s.ui->n_marks = s.ui->marks_room = 2;
    for (int i = 0; i < 2; i++) {
        ck_assert_int_eq(sg_key_find(s.ui->kept.shop, keys[i], &target, &error), SG_OK);
        s.ui->marks[i] = (struct sg_mark){SG_KIND_STOCK, sg_row_id(s.ui->kept.shop, target)};
    }
    press(&s, "22in");
    ck_row_has(&s, WORDS_ROW, "2604/1");
    press(&s, "<Enter>");
    ck_assert_int_eq(s.wish, SG_WISH_BELL);
    ck_assert_str_eq(in_file(&s, "2605/1", "margin"), first);
    press(&s, "<Ctrl-U>2in<Enter>");
    ck_assert_str_eq(in_file(&s, "2605/1", "margin"), "2 in");
    ck_assert_str_eq(in_file(&s, "2604/1", "margin"), "2 in");
}
END_TEST

/* ---- only to read ---- */

START_TEST(screens_that_only_read_change_nothing_whatever_is_pressed)
{
    static const char *const screens[] = {"", "<Enter>", "gh", "gp", "gm"};
    struct file_bytes before = file_bytes_of(s.file.path);
    ck_row_has(&s, TITLE_ROW, "READ ONLY");
    for (int32_t stroke = ' '; stroke < 0x7F; stroke++) {
        if (strchr(":/&qET", (int)stroke))
            continue; /* these ask for a text, leave, or write other files */
        press(&s, "gs");
        press(&s, screens[_i]);
        press_stroke(&s, stroke);
        press(&s, "<Enter><Enter><Esc><Esc><Esc><Esc><Esc>");
    }
    ck_assert_msg(file_bytes_are(s.file.path, &before), "the file has changed");
    free(before.at);
}
END_TEST

START_TEST(screens_that_only_read_say_why_and_still_show_results)
{
    press(&s, "<Enter>2");
    ck_row_has(&s, TITLE_ROW, "READ ONLY, cannot be kept");
    const struct facts typed = facts_of(&s, "2601/1/A", "2601/1/A", "quantity=2");
    ck_row_has(&s, row_with(&s, "[2_"), typed.cut);
    press(&s, "<Enter>");
    ck_row_has(&s, WORDS_ROW, "opened to read only: nothing is kept. Esc drops it");
    ck_assert_str_eq(typed_now(&s), "2");
    press(&s, "<Down>");
    ck_row_has(&s, WORDS_ROW, "\"2\" not kept: opened to read only");
    press(&s, "d");
    ck_row_has(&s, WORDS_ROW, "duplicate: opened to read only, nothing can be changed here");
    press(&s, ":cut<Enter>");
    ck_row_has(&s, WORDS_ROW, "cut: opened to read only");
    press(&s, "u");
    ck_row_has(&s, WORDS_ROW, "undo: opened to read only");
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
    Suite *suite = suite_create("marks");
    TCase *tests = add_case(suite, "marks", open_example);
    tcase_add_test(tests, marks_are_set_cleared_and_shown);
    tcase_add_test(tests, marks_say_how_many_and_stay_with_their_rows);
    tcase_add_test(tests, a_value_goes_into_all_marked_rows_as_one_step);
    tcase_add_test(tests, on_a_row_without_mark_it_goes_into_that_row_alone);
    tcase_add_test(tests, marks_of_another_kind_do_not_take_part);
    tcase_add_test(tests, where_one_row_refuses_none_gets_it);
    tests = add_case(suite, "only to read", open_to_read);
    tcase_add_loop_test(tests, screens_that_only_read_change_nothing_whatever_is_pressed, 0, 5);
    tcase_add_test(tests, screens_that_only_read_say_why_and_still_show_results);
    return run(suite);
}
