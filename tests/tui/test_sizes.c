/* Terminals of any size: what is typed stays in sight, and where nothing can be shown nothing can change. */
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

static void size(int rows, int columns)
{
    sg_ui_resize(s.ui, rows, columns);
    sg_ui_draw(s.ui, &s.canvas);
}

/* The row with a text as it was drawn last, -1. Drawing all of it for each row would take its time here. */
static int drawn(const char *text)
{
    char out[2000];
    for (int i = 0; i < s.canvas.rows; i++) {
        sg_canvas_row(&s.canvas, i, out, sizeof out);
        if (strstr(out, text))
            return i;
    }
    return -1;
}

static const struct {
    int rows, columns;
} tiny[] = {{3, 12}, {1, 1}, {4, 80}, {24, 19}, {2, 200}};
enum { TINY = sizeof tiny / sizeof *tiny };

START_TEST(where_nothing_can_be_shown_nothing_changes)
{
    struct file_bytes before = file_bytes_of(s.file.path);
    size(tiny[_i].rows, tiny[_i].columns);
    for (int32_t stroke = 1; stroke < 0x80; stroke++)
        if (stroke != 'q' && stroke != SG_STROKE_CTRL('z')) {
            press_stroke(&s, stroke);
            ck_assert_int_eq(s.wish, SG_WISH_NOTHING);
        }
    paste(&s, "17\n18\n");
    sg_ui_input(s.ui, &(struct sg_input){.kind = SG_INPUT_CLICK, .row = 0});
    size(24, 80);
    ck_row_has(&s, TITLE_ROW, "JOB 2601");
    ck_shows(&s, "> A ");
    ck_assert_int_eq(cursor_in_field(&s), -1);
    ck_assert(file_bytes_are(s.file.path, &before));
    free(before.at);
}
END_TEST

START_TEST(there_q_leaves_and_ctrl_z_stops)
{
    size(tiny[_i].rows, tiny[_i].columns);
    press(&s, "<Ctrl-Z>");
    ck_assert_int_eq(s.wish, SG_WISH_SUSPEND);
    press(&s, "q");
    ck_assert_int_eq(s.wish, SG_WISH_LEAVE);
}
END_TEST

START_TEST(a_field_outlives_a_window_that_was_too_small)
{
    const struct facts typed = facts_of(&s, "2601/1/A", "2601/1/A", "quantity=2");
    press(&s, "2");
    size(3, 12);
    ck_row_has(&s, 0, "12x3 small");
    ck_row_has(&s, 1, "Nothing lost");
    press(&s, "9<Enter><Esc>");
    size(24, 80);
    ck_assert_str_eq(typed_now(&s), "2");
    ck_row_has(&s, row_with(&s, "[2_"), typed.cut);
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
}
END_TEST

START_TEST(what_is_typed_and_the_answer_are_in_sight_at_every_size)
{
    char answer[60];
    const struct facts typed = facts_of(&s, "2601/1/A", "2601/1/A", "quantity=2");
    snprintf(answer, sizeof answer, "ENDS %s", typed.ends_on);
    press(&s, "2");
    for (int rows = 5; rows < 44; rows++)
        for (int columns = 20; columns < 140; columns += rows % 7 + 1) {
            size(rows, columns);
            ck_assert_msg(drawn("[2_") >= 0, "no field at %d rows, %d columns", rows, columns);
            ck_assert_msg(drawn(answer) >= 0, "no answer at %d rows, %d columns", rows, columns);
            ck_assert_msg(s.canvas.cursor_row == drawn("[2_"), "no cursor at %d rows, %d columns", rows,
                          columns);
        }
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
}
END_TEST

START_TEST(one_stands_in_sight_at_every_size)
{
    stand_on(&s, "2605/2/A", "quantity");
    for (int rows = 5; rows < 44; rows++)
        for (int columns = 20; columns < 140; columns += rows % 7 + 1) {
            char place[300];
            size(rows, columns);
            int shown = 0;
            for (int i = 0; i < rows; i++)
                shown += s.canvas.cells[i * columns].text[0] == '>';
            ck_assert_msg(shown == 1, "%d cursors at %d rows, %d columns", shown, rows, columns);
            sg_ui_say_place(s.ui, place, sizeof place);
            ck_assert_msg(strstr(place, "2605/2/A: quantity"), "%s at %d rows, %d columns", place, rows,
                          columns);
        }
}
END_TEST

/* A form has other lines on another terminal. */
START_TEST(a_field_stays_beside_its_title_when_the_window_changes)
{
    static const struct {
        const char *field, *title;
    } fields[] = {{"thickness", "Thickness ["}, {"sheet_width", "Sheet width ["}, {"load", "Load ["}};
    static const int sizes[][2] = {{24, 80}, {40, 80}, {40, 120}, {24, 120}, {24, 60}, {36, 132}, {24, 80}};
    size(40, 100);
    stand_on(&s, "2601/1", fields[_i].field);
    press(&s, "5");
    for (int i = 0; i < 7; i++) {
        size(sizes[i][0], sizes[i][1]);
        if (row_with(&s, fields[_i].title) < 0 && strcmp(fields[_i].field, "load") != 0) {
            print_screen(&s);
            ck_abort_msg("at %d rows, %d columns", sizes[i][0], sizes[i][1]);
        }
        char place[300];
        sg_ui_say_place(s.ui, place, sizeof place);
        ck_assert_msg(strstr(place, "typed 5"), "%s", place);
    }
}
END_TEST

START_TEST(at_twenty_by_five_the_field_comes_first)
{
    press(&s, "2");
    size(5, 20);
    ck_row_has(&s, 0, "quantity [2_");
    ck_row_has(&s, 1, "ENDS ");
    ck_row_has(&s, 4, "Enter keep");
    press(&s, "x");
    ck_row_has(&s, 1, "?");
    ck_row_has(&s, 3, "a whole number");
    press(&s, "<Backspace>4<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "24");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sizes");
    TCase *tests = tcase_create("sizes");
    tcase_add_checked_fixture(tests, open_job, close_job);
    tcase_add_loop_test(tests, where_nothing_can_be_shown_nothing_changes, 0, TINY);
    tcase_add_loop_test(tests, there_q_leaves_and_ctrl_z_stops, 0, TINY);
    tcase_add_test(tests, a_field_outlives_a_window_that_was_too_small);
    tcase_add_test(tests, what_is_typed_and_the_answer_are_in_sight_at_every_size);
    tcase_add_test(tests, one_stands_in_sight_at_every_size);
    tcase_add_loop_test(tests, a_field_stays_beside_its_title_when_the_window_changes, 0, 3);
    tcase_add_test(tests, at_twenty_by_five_the_field_comes_first);
    suite_add_tcase(suite, tests);
    return run(suite);
}
