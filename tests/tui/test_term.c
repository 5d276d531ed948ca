/* The terminal, seen from outside: a toy over it on a pseudo terminal, its cells read from an emulator. */
#include "tui/canvas.h"
#include "tui/pty.h"

#include <check.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#define NAMES "\xE6\x97\xA5\xE6\x9C\xAC|     e\xCC\x81t\xC3\xA9|      \xE2\x96\x83\xE2\x96\x88|"

enum { RED = 1 };

/* The toy, started with these words and this environment (NULL: none). */
static struct pty *start(const char *word, const char *environment)
{
    const char *words[] = {word, NULL}, *environments[] = {environment, NULL};
    struct pty_how how = {.program = TOY, .arguments = words, .environment = environments};
    struct pty *pty = pty_start(&how);
    ck_assert(pty_settle(pty, "0: start"));
    return pty;
}

static void leave(struct pty *pty)
{
    pty_keys(pty, "q");
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    pty_end(pty);
}

static void says(struct pty *pty, const char *text)
{
    char *screen = pty_screen(pty);
    ck_assert_msg(strstr(screen, text) != NULL, "no \"%s\" in:\n%s", text, screen);
    free(screen);
}

static void was_given_back(struct pty *pty)
{
    ck_assert(!pty_state(pty).alternate);
    ck_assert(pty_state(pty).cursor);
    ck_assert(pty_is_cooked(pty));
    pty_end(pty);
}

/* ---- what is shown ---- */

START_TEST(the_first_picture_is_whole)
{
    struct pty *pty = start(NULL, NULL);
    ck_assert(pty_state(pty).alternate);
    ck_assert(!pty_state(pty).cursor);
    ck_assert_int_eq(pty_state(pty).mouse, 0);
    ck_assert_str_eq(pty_row(pty, 0), "toy 24x80");
    ck_assert_str_eq(pty_row(pty, 2), NAMES);
    ck_assert_int_eq(pty_cell(pty, 2, 0).width, 2);
    ck_assert_str_eq(pty_cell(pty, 2, 4).text, "|");
    ck_assert_str_eq(pty_cell(pty, 2, 13).text, "|");
    ck_assert_str_eq(pty_cell(pty, 23, 79).text, "#"); /* the last cell, and nothing scrolled for it */
    leave(pty);
}
END_TEST

START_TEST(the_cursor_is_where_one_works)
{
    struct pty *pty = start(NULL, NULL);
    ck_assert_int_eq(pty_state(pty).row, 2); /* hidden, but on the cell in work */
    ck_assert_int_eq(pty_state(pty).column, 0);
    pty_keys(pty, "t");
    ck_assert(pty_settle(pty, "1: key t"));
    ck_assert(pty_state(pty).cursor);
    ck_assert_int_eq(pty_state(pty).row, 1);
    ck_assert_int_eq(pty_state(pty).column, 2);
    pty_keys(pty, "t");
    ck_assert(pty_settle(pty, "2: key t"));
    ck_assert(!pty_state(pty).cursor);
    leave(pty);
}
END_TEST

/* Each role looks different from plain text, or has a mark beside it wherever it is drawn. */
START_TEST(roles_have_their_looks)
{
    struct pty *pty = start(NULL, NULL);
    ck_assert_int_eq(pty_cell(pty, 3, SG_ROLE_WRONG).color, RED);
    ck_assert(pty_cell(pty, 3, SG_ROLE_WRONG).bold);
    ck_assert_int_eq(pty_cell(pty, 3, SG_ROLE_TEXT).color, -1);
    ck_assert(pty_cell(pty, 3, SG_ROLE_CURSOR).reverse);
    ck_assert(pty_cell(pty, 3, SG_ROLE_FIELD).underline);
    ck_assert(pty_cell(pty, 0, 0).bold);
    leave(pty);
}
END_TEST

static const struct {
    const char *word, *environment;
} colorless[] = {{"mono", NULL}, {NULL, "TERM=vt100"}, {NULL, "TERM=xterm-mono"}};

START_TEST(without_color_the_attributes_say_the_same)
{
    struct pty *pty = start(colorless[_i].word, colorless[_i].environment);
    for (int role = 0; role < SG_ROLES; role++)
        ck_assert_int_eq(pty_cell(pty, 3, role).color, -1);
    ck_assert(pty_cell(pty, 3, SG_ROLE_WRONG).bold);
    ck_assert(pty_cell(pty, 3, SG_ROLE_CHANGED).bold);
    ck_assert(pty_cell(pty, 3, SG_ROLE_CURSOR).reverse);
    ck_assert(pty_cell(pty, 3, SG_ROLE_FIELD).underline);
    ck_assert_str_eq(pty_row(pty, 2), NAMES);
    leave(pty);
}
END_TEST

START_TEST(a_vt100_does)
{
    struct pty *pty = start(NULL, "TERM=vt100");
    ck_assert(pty_state(pty).cursor); /* it cannot hide it, so it stands on the cell in work */
    ck_assert_int_eq(pty_state(pty).row, 2);
    ck_assert_str_eq(pty_cell(pty, 23, 79).text, "#");
    pty_keys(pty, "<Up><Left><F1><Backspace>");
    ck_assert(pty_wait_row(pty, 1, "4: key Backspace"));
    pty_bytes(pty, "\033Ox", 3);
    ck_assert(pty_wait_row(pty, 1, "5: key 8"));
    pty_bytes(pty, "\033[3~", 4); /* a terminal that is more than it says */
    ck_assert(pty_wait_row(pty, 1, "6: key Delete"));
    pty_paste(pty, "ab"); /* is typed text */
    ck_assert(pty_wait_row(pty, 1, "8: key b"));
    leave(pty);
}
END_TEST

static const struct {
    const char *word, *environment, *row, *typed;
} locales[] = {
    {NULL, "LC_ALL=C", "????|     et?|      ##|", "1: key x"},
    {NULL, "LC_ALL=de_DE.ISO-8859-1", "????|     et?|      ##|", "2: key ?"}, /* read, but not shown */
    {"ascii", NULL, "????|     et?|      ##|", "1: key x"},
    {NULL, "LC_ALL=xx_XX.UTF-8", NAMES, "1: key x"}, /* no such locale here, but its terminal says UTF-8 */
};

START_TEST(a_locale_says_what_can_be_shown)
{
    struct pty *pty = start(locales[_i].word, locales[_i].environment);
    ck_assert_str_eq(pty_row(pty, 2), locales[_i].row);
    pty_bytes(pty, "x\xE9", 2); /* e acute in Latin 1, nothing in UTF-8 and in ASCII */
    ck_assert(pty_wait_row(pty, 1, locales[_i].typed));
    leave(pty);
}
END_TEST

START_TEST(the_bell_rings)
{
    struct pty *pty = start(NULL, NULL);
    pty_keys(pty, "b");
    ck_assert(pty_settle(pty, "1: key b"));
    ck_assert_int_eq(pty_state(pty).bells, 1);
    leave(pty);
}
END_TEST

/* ---- what is read ---- */

static const struct {
    const char *keys, *told;
} typed[] = {
    {"<Up>", "1: key Up"},
    {"<Down><Left><Right>", "3: key Right"},
    {"<Home><End><PgUp><PgDn><Insert><Delete>", "6: key Delete"},
    {"<F1><F2><F5><F12>", "4: key F12"},
    {"<Shift-Tab>", "1: key Shift-Tab"},
    {"<Tab><Enter><Space>", "3: key Space"},
    {"<Esc>", "1: key Esc"},
    {"<Esc>j", "2: key j"},
    {"<Esc><Esc>", "2: key Esc"},
    {"<Ctrl-R><Ctrl-C>", "2: key Ctrl-C"}, /* no signal */
    {"<Ctrl-S>x", "2: key x"},             /* nothing stops */
    {"<Ctrl-\\>", "1: key Ctrl-\\"},
    {"<Ctrl-Right>x", "1: key x"},
    {"<", "1: key <"},
    {"\xC3\xA9", "1: key \xC3\xA9"},
};

START_TEST(keys_arrive)
{
    struct pty *pty = start(NULL, NULL);
    pty_keys(pty, typed[_i].keys);
    ck_assert(pty_settle(pty, typed[_i].told));
    ck_assert_str_eq(pty_row(pty, 1), typed[_i].told);
    leave(pty);
}
END_TEST

START_TEST(a_paste_is_one_input)
{
    struct pty *pty = start(NULL, NULL);
    pty_paste(pty, "A,4\rB,q\r");
    ck_assert(pty_wait_row(pty, 1, "1: paste 8 A,4\\nB,q\\n"));
    char *large = malloc(300001);
    ck_assert_ptr_nonnull(large);
    memset(large, 'q', 300000);
    large[300000] = '\0';
    pty_paste(pty, large);
    ck_assert(pty_wait_row(pty, 1, "2: paste 300000 qqq"));
    free(large);
    leave(pty);
}
END_TEST

START_TEST(the_mouse_is_there_when_it_is_asked_for)
{
    struct pty *pty = start("mouse", NULL);
    ck_assert_int_ne(pty_state(pty).mouse, 0);
    pty_click(pty, 4, 70);
    ck_assert(pty_wait_row(pty, 1, "1: click 4 70"));
    pty_wheel(pty, 4, 7, true);
    ck_assert(pty_wait_row(pty, 1, "2: wheel 4 7 1"));
    pty_keys(pty, "q");
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    ck_assert_int_eq(pty_state(pty).mouse, 0);
    pty_end(pty);
}
END_TEST

/* ---- sizes ---- */

START_TEST(the_size_is_the_kernels)
{
    struct pty *pty = start(NULL, "LINES=10");
    ck_assert_str_eq(pty_row(pty, 0), "toy 24x80");
    pty_resize(pty, 30, 120);
    ck_assert(pty_settle(pty, "toy 30x120"));
    ck_assert_str_eq(pty_cell(pty, 29, 119).text, "#");
    pty_resize(pty, 2, 9);
    ck_assert(pty_settle(pty, "toy 2x9"));
    pty_resize(pty, 1, 1);
    ck_assert(pty_settle(pty, "#"));
    pty_resize(pty, 24, 80);
    ck_assert(pty_settle(pty, "toy 24x80"));
    ck_assert_str_eq(pty_row(pty, 2), NAMES);
    leave(pty);
}
END_TEST

START_TEST(no_resize_is_lost_while_painting)
{
    struct pty *pty = start(NULL, NULL);
    for (int round = 0; round < 10; round++) {
        char size[40];
        int rows = 24, columns = 80;
        pty_keys(pty, "s"); /* paints, and looks at no signal in the meantime */
        for (int i = 0; i < 20; i++) {
            rows = 5 + (i * 7 + round) % 40;
            columns = 30 + (i * 13 + round) % 90;
            pty_resize(pty, rows, columns);
        }
        snprintf(size, sizeof size, "toy %dx%d", rows, columns);
        ck_assert(pty_wait_row(pty, 0, size));
        pty_keys(pty, "x");
        ck_assert(pty_settle(pty, "key x"));
        ck_assert_str_eq(pty_row(pty, 0), size);
        ck_assert_str_eq(pty_cell(pty, rows - 1, columns - 1).text, "#");
    }
    leave(pty);
}
END_TEST

/* ---- the end, and in between ---- */

START_TEST(leaving_gives_the_terminal_back)
{
    struct pty *pty = start("mouse", NULL);
    ck_assert(!pty_is_cooked(pty));
    pty_keys(pty, "q");
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    says(pty, "left after 0 inputs");
    was_given_back(pty);
}
END_TEST

static const int ends[] = {SIGTERM, SIGHUP};

START_TEST(a_signal_to_end_leaves_like_a_key)
{
    struct pty *pty = start(NULL, NULL);
    pty_signal(pty, ends[_i]);
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    says(pty, "left after 0 inputs");
    was_given_back(pty);
}
END_TEST

START_TEST(an_interrupt_from_outside_is_a_key)
{
    struct pty *pty = start(NULL, NULL);
    pty_signal(pty, SIGINT);
    ck_assert(pty_wait_row(pty, 1, "1: key Ctrl-C"));
    leave(pty);
}
END_TEST

START_TEST(a_hang_up_ends_it_at_once)
{
    struct pty *pty = start(NULL, NULL);
    pty_keys(pty, "jk");
    ck_assert(pty_wait_row(pty, 1, "2: key k"));
    pty_hang_up(pty);
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    ck_assert_double_lt(pty_cpu_s(pty), 2); /* it did not spin until it was killed */
    pty_end(pty);
}
END_TEST

static const int crashes[] = {SIGABRT, SIGQUIT, SIGFPE};

START_TEST(a_crash_gives_the_terminal_back)
{
    struct pty *pty = start("mouse", NULL);
    if (crashes[_i] == SIGABRT)
        pty_keys(pty, "c");
    else
        pty_signal(pty, crashes[_i]);
    ck_assert_int_gt(pty_wait_exit(pty), 0);
    ck_assert_int_eq(pty_state(pty).mouse, 0);
    was_given_back(pty);
}
END_TEST

static struct pty *start_in_shell(void)
{
    struct pty_how how = {.program = TOY, .shell = true};
    struct pty *pty = pty_start(&how);
    ck_assert(pty_settle(pty, "0: start"));
    return pty;
}

/* What a stopped toy leaves to the shell, and that it comes back whole. */
static void goes_on_after(struct pty *pty, const char *told)
{
    ck_assert(pty_wait_text(pty, "stopped"));
    ck_assert(!pty_state(pty).alternate);
    ck_assert(pty_state(pty).cursor);
    ck_assert(pty_is_cooked(pty));
    pty_keys(pty, "<Enter>");
    ck_assert(pty_settle(pty, told));
    ck_assert_str_eq(pty_row(pty, 2), NAMES);
    ck_assert(pty_state(pty).alternate);
    ck_assert(!pty_state(pty).cursor);
    pty_paste(pty, "ab");
    ck_assert(pty_wait_text(pty, "paste 2 ab"));
    leave(pty);
}

START_TEST(it_stops_and_goes_on)
{
    struct pty *pty = start_in_shell();
    pty_keys(pty, "<Ctrl-Z>");
    goes_on_after(pty, "2: awake");
}
END_TEST

START_TEST(it_stops_when_somebody_says_so)
{
    struct pty *pty = start_in_shell();
    pty_signal(pty, SIGTSTP);
    goes_on_after(pty, "1: awake");
}
END_TEST

START_TEST(it_comes_back_from_a_stop_that_nobody_announced)
{
    struct pty *pty = start_in_shell();
    pty_signal(pty, SIGSTOP);
    ck_assert(pty_wait_text(pty, "stopped"));
    pty_keys(pty, "<Enter>");
    ck_assert(pty_settle(pty, "1: awake"));
    ck_assert_str_eq(pty_row(pty, 2), NAMES);
    ck_assert(!pty_is_cooked(pty));
    leave(pty);
}
END_TEST

START_TEST(a_size_that_changed_while_it_was_stopped)
{
    struct pty *pty = start_in_shell();
    pty_keys(pty, "z");
    ck_assert(pty_wait_text(pty, "stopped"));
    pty_resize(pty, 20, 60);
    pty_keys(pty, "<Enter>");
    ck_assert(pty_settle(pty, "toy 20x60"));
    ck_assert_str_eq(pty_cell(pty, 19, 59).text, "#");
    leave(pty);
}
END_TEST

/* ---- where it cannot run ---- */

static const struct {
    const char *environment, *message;
} refused[] = {
    {"TERM=foo",
     "the terminal type \"foo\" is not known here; set TERM, for example TERM=xterm or TERM=vt100"},
    {"TERM=", "TERM is not set; set it, for example TERM=xterm or TERM=vt100"},
    {"TERM=dumb",
     "a terminal of type \"dumb\" cannot place its cursor; set TERM, for example TERM=xterm or TERM=vt100"},
};

START_TEST(a_terminal_that_cannot_is_refused)
{
    const char *environment[] = {refused[_i].environment, NULL};
    struct pty_how how = {.program = TOY, .environment = environment, .columns = 150};
    struct pty *pty = pty_start(&how);
    ck_assert_int_eq(pty_wait_exit(pty), 2);
    ck_assert_str_eq(pty_row(pty, 0), refused[_i].message);
    was_given_back(pty);
}
END_TEST

START_TEST(no_terminal_is_refused)
{
    char line[300] = "";
    FILE *out = popen(TOY " 2>&1 </dev/null", "r");
    ck_assert_ptr_nonnull(out);
    ck_assert_ptr_nonnull(fgets(line, sizeof line, out));
    ck_assert_int_eq(WEXITSTATUS(pclose(out)), 2);
    ck_assert_ptr_nonnull(strstr(line, "need a terminal for input and output"));
}
END_TEST

#define COUNT(table) ((int)(sizeof(table) / sizeof *(table)))

static Suite *suite(void)
{
    Suite *made = suite_create("term");
    TCase *shown = tcase_create("shown"), *read = tcase_create("read"), *life = tcase_create("life");
    tcase_add_test(shown, the_first_picture_is_whole);
    tcase_add_test(shown, the_cursor_is_where_one_works);
    tcase_add_test(shown, roles_have_their_looks);
    tcase_add_loop_test(shown, without_color_the_attributes_say_the_same, 0, COUNT(colorless));
    tcase_add_test(shown, a_vt100_does);
    tcase_add_loop_test(shown, a_locale_says_what_can_be_shown, 0, COUNT(locales));
    tcase_add_test(shown, the_bell_rings);
    tcase_add_loop_test(read, keys_arrive, 0, COUNT(typed));
    tcase_add_test(read, a_paste_is_one_input);
    tcase_add_test(read, the_mouse_is_there_when_it_is_asked_for);
    tcase_add_test(read, the_size_is_the_kernels);
    tcase_add_test(read, no_resize_is_lost_while_painting);
    tcase_add_test(life, leaving_gives_the_terminal_back);
    tcase_add_loop_test(life, a_signal_to_end_leaves_like_a_key, 0, COUNT(ends));
    tcase_add_test(life, an_interrupt_from_outside_is_a_key);
    tcase_add_test(life, a_hang_up_ends_it_at_once);
    tcase_add_loop_test(life, a_crash_gives_the_terminal_back, 0, COUNT(crashes));
    tcase_add_test(life, it_stops_and_goes_on);
    tcase_add_test(life, it_stops_when_somebody_says_so);
    tcase_add_test(life, it_comes_back_from_a_stop_that_nobody_announced);
    tcase_add_test(life, a_size_that_changed_while_it_was_stopped);
    tcase_add_loop_test(life, a_terminal_that_cannot_is_refused, 0, COUNT(refused));
    tcase_add_test(life, no_terminal_is_refused);
    suite_add_tcase(made, shown);
    suite_add_tcase(made, read);
    suite_add_tcase(made, life);
    return made;
}

int main(void)
{
    SRunner *runner = srunner_create(suite());
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
