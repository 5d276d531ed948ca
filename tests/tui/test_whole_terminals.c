/* Terminals that can little, switches that ask for less, and lines instead of screens. */
#include "tui/whole.h"

static const struct whole plain = {0};

/* ---- colour ---- */

static bool has_color(struct pty *pty)
{
    for (int row = 0; row < pty_rows(pty); row++)
        for (int column = 0; column < 80; column++)
            if (pty_cell(pty, row, column).color != -1)
                return true;
    return false;
}

static const struct {
    struct whole whole;
    bool color;
} colors[] = {
    {{.rows = 24}, true},
    {{.environment = {"TERM=vt100"}}, false},
    {{.environment = {"TERM=vt100"}, .options = {"--color", "always"}}, false}, /* it has none */
    {{.environment = {"NO_COLOR=1"}}, false},
    {{.environment = {"NO_COLOR="}}, true},                                    /* empty is not set */
    {{.environment = {"NO_COLOR=1"}, .options = {"--color", "always"}}, true}, /* asked for here and now */
    {{.options = {"--color", "never"}}, false},
    {{.options = {"--color", "auto"}}, true},
};

/* On pictures that have all roles: at rest, with a value typed, a wrong one, a list. */
START_TEST(color_is_there_where_it_is_wanted)
{
    struct pty *pty = open_job(&colors[_i].whole);
    ck_assert_int_eq(has_color(pty), colors[_i].color);
    type(pty, "30", "quantity 20 -> 30 ");
    ck_assert_int_eq(has_color(pty), colors[_i].color);
    type(pty, "x", "without unit");
    ck_assert_int_eq(has_color(pty), colors[_i].color);
    ck_assert(pty_cell(pty, WORDS_ROW, 0).bold); /* what colour says is said without it */
    type(pty, "<Esc>:", " of ");
    ck_assert_int_eq(has_color(pty), colors[_i].color);
    type(pty, "<Ctrl-C>", "saved");
    type(pty, "gh", "HOPPER");
    ck_assert_int_eq(has_color(pty), colors[_i].color);
    leave(pty, "qqq");
}
END_TEST

/* ---- a bare terminal ---- */

/* Arrows and letters are enough; a terminal that is more than it says sends keys that it should not know. */
START_TEST(a_vt100_does)
{
    const struct whole vt100 = {.environment = {"TERM=vt100"}};
    struct pty *pty = open_job(&vt100);
    pty_paste(pty, "30"); /* no brackets here: typed text */
    ck_assert(pty_settle(pty, "quantity 20 -> 30 "));
    pty_bytes(pty, "\033[3~\033[1~", 8); /* Delete at the end, Home */
    type(pty, "1", "quantity 20 -> 130 ");
    type(pty, "<Ctrl-E><Backspace><Backspace>2<Enter>", "quantity 20 -> 12 kept");
    ck_assert_int_eq(quantity_in_file(0), 12);
    type(pty, "u", "taken back");
    leave(pty, "qq");
}
END_TEST

/* ---- characters ---- */

static bool is_ascii(struct pty *pty)
{
    char *screen = pty_screen(pty);
    bool ascii = true;
    for (const char *byte = screen; *byte; byte++)
        ascii = ascii && (unsigned char)*byte < 0x7F;
    free(screen);
    return ascii;
}

static const struct whole asciis[] = {{.environment = {"LC_ALL=C"}}, {.options = {"--ascii"}}};

START_TEST(no_byte_is_more_than_ascii)
{
    static const char *const screens[][2] = {{"gh", "HOPPER"},       {"gp", "SHEET"},    {"go", "JOB SHEET"},
                                             {"gm", "table length"}, {"gj", "JOB 2601"}, {"W", "WHAT IF"}};
    ck_done("set", "-f", "shop.db", "2601", "name=T\xC3\xBCr \xE6\x97\xA5");
    struct pty *pty = open_shift(&asciis[_i]);
    ck_assert(is_ascii(pty));
    ck_assert(is_shown(pty, "T?r ??") || is_shown(pty, "Tur ??"));
    for (int i = 0; i < COUNT(screens); i++) {
        type(pty, screens[i][0], screens[i][1]);
        ck_assert_msg(is_ascii(pty), "%s", screens[i][1]);
    }
    pty_keys(pty, "<Ctrl-C>qqqqqqq");
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    pty_end(pty);
}
END_TEST

START_TEST(a_wide_terminal_gets_more)
{
    struct pty *pty = open_shift(&plain);
    type(pty, "gh", "HOPPER");
    ck_assert(!is_ascii(pty)); /* what the test above cannot find it would find here */
    leave(pty, "qq");
}
END_TEST

/* ---- refused ---- */

START_TEST(a_terminal_nobody_knows_is_refused)
{
    const struct whole unknown = {.environment = {"TERM=nobodys"}, .columns = 150};
    struct pty *pty = launch(&unknown);
    ck_assert_int_eq(pty_wait_exit(pty), 2);
    ck_assert(is_shown(pty, "the terminal type \"nobodys\" is not known here; set TERM"));
    ck_assert(pty_is_cooked(pty));
    pty_end(pty);
}
END_TEST

START_TEST(without_a_terminal_the_usage_is_said)
{
    struct ran ran = run("-f", "shop.db", NULL);
    ck_code(ran, 2);
    ck_assert_str_eq(ran.out, "");
    ck_says(ran.err, "usage: sandglass [-f FILE]");
    ck_says(ran.err, "sandglass plan");
    done(&ran);
}
END_TEST

START_TEST(a_color_that_is_none_is_refused)
{
    const struct whole wrong = {.options = {"--color", "blue"}};
    struct pty *pty = launch(&wrong);
    ck_assert_int_eq(pty_wait_exit(pty), 2);
    ck_assert(is_shown(pty, "--color is auto, always or never, not \"blue\""));
    pty_end(pty);
}
END_TEST

/* ---- to read only ---- */

START_TEST(what_is_opened_to_read_is_not_changed)
{
    const struct whole read_only = {.options = {"--read-only"}};
    struct bytes before = bytes_of("shop.db");
    struct pty *pty = open_job(&read_only);
    ck_row(pty, TITLE_ROW, "READ ONLY");
    type(pty, "30", "quantity 20 -> 30 "); /* trying is free */
    ck_row(pty, TITLE_ROW, "READ ONLY, cannot be kept");
    ck_row(pty, ANSWERS_ROW, "ENDS 15:13");
    ck_assert_int_eq(names_here(), 1);
    type(pty, "<Enter>", "opened to read only: nothing is kept. Esc drops it");
    ck_assert(is_shown(pty, "[30_"));
    type(pty, "<Esc>", "ENDS 14:41");
    static const char *const keys[] = {"a", "x", "d", "J", "u"};
    for (int i = 0; i < COUNT(keys); i++) {
        type(pty, keys[i], "opened to read only, nothing can be changed here");
        type(pty, "k", "JOB 2601"); /* the sentence goes, so that the next is seen to come */
        ck_assert(pty_wait_gone(pty, "opened to read only"));
    }
    leave(pty, "qq");
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

/* ---- the mouse ---- */

static bool stands_on_second(struct pty *pty, const void *row)
{
    return strcmp(pty_cell(pty, *(const int *)row, 0).text, ">") == 0;
}

static int row_with(struct pty *pty, const char *text)
{
    int row = 0;
    while (row < pty_rows(pty) && !strstr(pty_row(pty, row), text))
        row++;
    return row;
}

START_TEST(clicks_select_where_they_are_asked_for)
{
    const struct whole mouse = {.options = {"--mouse"}};
    struct pty *pty = open_shift(&mouse);
    ck_assert_int_ne(pty_state(pty).mouse, 0);
    int row = row_with(pty, "2603");
    pty_click(pty, row, 20);
    ck_assert(pty_wait(pty, stands_on_second, &row, "the job that was clicked"));
    pty_click(pty, row, 20);
    ck_assert(pty_wait_text(pty, "JOB 2603"));
    pty_keys(pty, "qq");
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    ck_assert_int_eq(pty_state(pty).mouse, 0);
    pty_end(pty);
}
END_TEST

START_TEST(without_the_switch_the_mouse_is_the_terminals)
{
    struct pty *pty = open_shift(&plain);
    ck_assert_int_eq(pty_state(pty).mouse, 0);
    leave(pty, "q");
}
END_TEST

/* ---- lines ---- */

static struct pty *open_lines(const char *environment)
{
    const struct whole lines = {
        .options = {"--plain"}, .environment = {environment}, .rows = 60, .columns = 120};
    struct pty *pty = launch(&lines);
    ck_assert(pty_settle(pty, "ENDS 14:41"));
    return pty;
}

START_TEST(lines_say_what_comes_of_each_key)
{
    struct pty *pty = open_lines("TERM=dumb"); /* nothing is placed, so any terminal does */
    ck_assert(!pty_state(pty).alternate);
    type(pty, "<Enter>", "JOB 2601");
    ck_assert(pty_wait_text(pty, "quantity 20"));
    type(pty, "3", "quantity 20, typed 3");
    type(pty, "0", "quantity 20 -> 30");
    ck_assert(pty_wait_text(pty, "ENDS 15:13"));
    ck_assert_int_eq(quantity_in_file(0), 20);
    type(pty, "<Enter>", "quantity 20 -> 30 kept");
    ck_assert_int_eq(quantity_in_file(0), 30);
    type(pty, "12x", "a whole number without unit is expected");
    pty_keys(pty, "<Esc>qq");
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    ck_assert(pty_is_cooked(pty));
    ck_assert(!pty_state(pty).alternate);
    pty_end(pty);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

START_TEST(lines_tell_what_another_keeps)
{
    struct pty *pty = open_lines(NULL);
    set_as("ann", "2601/1/A", "quantity=30");
    ck_assert(pty_settle(pty, "ENDS 15:13"));
    ck_assert(pty_wait_text(pty, "ann"));
    leave(pty, "q");
}
END_TEST

START_TEST(lines_end_with_their_terminal)
{
    int status;
    struct pty *pty = open_lines(NULL);
    type(pty, "<Enter>", "JOB 2601");
    type(pty, "3", "quantity 20 -> 3");
    if (_i == 0)
        pty_hang_up(pty);
    else
        pty_signal(pty, SIGTERM);
    status = pty_wait_exit(pty);
    ck_assert_int_eq(status, 0);
    ck_assert_double_lt(pty_cpu_s(pty), 1);
    pty_end(pty);
    ck_assert_int_eq(names_with("shop.db.draft-"), 1);
    pty = launch(&(struct whole){.options = {"--plain"}, .columns = 120});
    ck_assert(pty_settle(pty, "\"3\" was typed here by"));
    leave(pty, "<Esc>qq");
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_loop_test(tcase, color_is_there_where_it_is_wanted, 0, COUNT(colors));
    tcase_add_test(tcase, a_vt100_does);
    tcase_add_loop_test(tcase, no_byte_is_more_than_ascii, 0, COUNT(asciis));
    tcase_add_test(tcase, a_wide_terminal_gets_more);
    tcase_add_test(tcase, a_terminal_nobody_knows_is_refused);
    tcase_add_test(tcase, without_a_terminal_the_usage_is_said);
    tcase_add_test(tcase, a_color_that_is_none_is_refused);
    tcase_add_test(tcase, what_is_opened_to_read_is_not_changed);
    tcase_add_test(tcase, clicks_select_where_they_are_asked_for);
    tcase_add_test(tcase, without_the_switch_the_mouse_is_the_terminals);
    tcase_add_test(tcase, lines_say_what_comes_of_each_key);
    tcase_add_test(tcase, lines_tell_what_another_keeps);
    tcase_add_loop_test(tcase, lines_end_with_their_terminal, 0, 2);
}

int main(void)
{
    return run_whole("whole terminals", fill);
}
