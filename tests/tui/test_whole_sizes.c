/* The window under the fingers changes its size: nothing of what is typed is lost by it. */
#include "support/random.h"
#include "tui/whole.h"

enum { STORM = 200 };

static const struct whole plain = {0}, large = {.rows = 36, .columns = 120}, in_shell = {.shell = true};

/* The first row is there up to its last cell, which says whether all is saved. */
static bool is_drawn(struct pty *pty, const void *nothing)
{
    (void)nothing;
    return pty_cell(pty, 0, 79).text[0] && pty_cell(pty, 0, 79).text[0] != ' ';
}

/* What the row one stands on has after these keys, in a window of 24 by 80. */
struct step {
    const char *keys, *shown;
};

static bool stands_on(struct pty *pty, const void *text)
{
    for (int row = 0; row < pty_rows(pty); row++)
        if (strcmp(pty_cell(pty, row, 0).text, ">") == 0 && strstr(pty_row(pty, row), text))
            return true;
    return false;
}

/* 200 sizes in any order, every tenth of one cell. The next keys come with each tenth, and nothing waits
 * until they are taken, but that the window does not become tiny before. */
static void storm(struct pty *pty, const struct step *steps)
{
    struct random random = {20261201};
    const struct step *step = steps;
    for (int i = 0; i < STORM; i++) {
        if (i % 10 == 0 && step->keys) {
            pty_resize(pty, 24, 80);
            ck_assert(pty_wait(pty, is_drawn, NULL, "the first row"));
            ck_assert(pty_settle(pty, "Enter")); /* it is tiny no more */
            pty_keys(pty, step->keys);
        }
        bool tiny = i % 10 == 9;
        if (tiny && step->keys) {
            pty_resize(pty, 24, 80);
            ck_assert_msg(pty_wait(pty, stands_on, step->shown, step->shown), "%s", step->keys);
            step++;
        }
        int rows = 5 + (int)random_below(&random, 40), columns = 20 + (int)random_below(&random, 120);
        pty_resize(pty, tiny ? 1 : rows, tiny ? 1 : columns);
        pty_pump(pty, 0);
    }
    ck_assert_ptr_null(step->keys);
}

static bool is_same(struct pty *pty, const void *context)
{
    struct pty *fresh = *(struct pty *const *)context;
    pty_pump(fresh, 0);
    char *wanted = pty_screen(fresh);
    bool same = looks_like(pty, wanted) && pty_state(pty).row == pty_state(fresh).row &&
                pty_state(pty).column == pty_state(fresh).column;
    free(wanted);
    return same;
}

/* Back at the first size, the screen and its cursor are those of one which never had another. */
static void ends_like(struct pty *pty, struct pty *fresh)
{
    pty_resize(pty, 24, 80);
    ck_assert(pty_wait(pty, is_same, &fresh, "the screen of a window that never changed"));
}

START_TEST(a_storm_of_sizes_leaves_the_picture_of_a_quiet_window)
{
    static const struct step steps[] = {{"j", "2602"},    {"j", "2603"},    {"<Enter>", "base pl"},
                                        {"j", "shim pl"}, {"k", "base pl"}, {"q", "2603"},
                                        {"G", "2605"},    {"k", "2604"},    {NULL, NULL}};
    struct pty *pty = open_shift(&plain), *fresh = open_shift(&plain);
    pty_keys(fresh, "jjj");
    ck_assert(pty_wait(fresh, stands_on, "2604", "2604"));
    storm(pty, steps); /* the job comes and goes in it */
    ends_like(pty, fresh);
    leave(pty, "q");
    leave(fresh, "q");
}
END_TEST

START_TEST(what_is_typed_in_a_storm_of_sizes_is_there)
{
    static const struct step steps[] = {{"2", "[12_"},
                                        {"3", "[123_"},
                                        {"<Backspace>", "[12_"},
                                        {"<Left>4", "[142_"},
                                        {"<End><Backspace>", "[14_"},
                                        {"<Ctrl-U>6", "[6_"},
                                        {"00", "[600_"},
                                        {NULL, NULL}};
    struct pty *pty = open_job(&plain), *fresh = open_job(&plain);
    type(pty, "1", "quantity 20 -> 1 "); /* the field is open before the first size */
    storm(pty, steps);
    type(fresh, "600", "quantity 20 -> 600 ");
    ends_like(pty, fresh);
    ck_assert_int_eq(quantity_in_file(0), 20);
    leave(fresh, "<Esc>qq");
    type(pty, "<Backspace><Enter>", "quantity 20 -> 60 kept");
    ck_assert_int_eq(quantity_in_file(0), 60);
    leave(pty, "qq");
}
END_TEST

/* Below 20 by 5 nothing can be seen, so nothing changes either. That all keys were taken shows where the last
 * of them, Ctrl-Z, stops the program. */
static void press_while_tiny(struct pty *pty, int rows, int columns)
{
    static const char *const keys = "9<Enter>xdu:cut<Enter><Delete>J5<Enter><Tab><Esc><Ctrl-U><Ctrl-Z>";
    struct bytes file = bytes_of("shop.db");
    char *before = pty_screen(pty);
    pty_resize(pty, rows, columns);
    ck_assert(pty_settle(pty, "small"));
    ck_assert(pty_settle(pty, "Nothing lost"));
    pty_keys(pty, keys);
    ck_assert(pty_wait_text(pty, "stopped"));
    pty_resize(pty, 24, 80);
    pty_keys(pty, "<Enter>");
    ck_assert(pty_wait(pty, looks_like, before, "the screen from before it was tiny"));
    free(before);
    ck_unchanged("shop.db", &file);
}

static const struct {
    int rows, columns;
} tiny[] = {{3, 19}, {4, 80}, {40, 19}};

START_TEST(a_tiny_window_changes_nothing)
{
    struct pty *pty = open_job(&in_shell);
    press_while_tiny(pty, tiny[_i].rows, tiny[_i].columns);
    type(pty, "3", "quantity 20 -> 3 ");
    press_while_tiny(pty, tiny[_i].rows, tiny[_i].columns);
    leave(pty, "<Esc>qq");
}
END_TEST

/* The text in the field and the end of the shift are there as long as anything is. */
START_TEST(the_smallest_window_shows_field_and_end)
{
    const struct whole smallest = {.rows = 5, .columns = 20};
    struct pty *pty = open_job(&smallest);
    type(pty, "30", "[30_");
    ck_assert(pty_wait_text(pty, "ENDS 15:13"));
    type(pty, "<Enter>", "ENDS 15:13");
    ck_assert(pty_wait_gone(pty, "[30_"));
    ck_assert_int_eq(quantity_in_file(0), 30);
    leave(pty, "qq");
}
END_TEST

START_TEST(a_large_window_becomes_a_small_one_with_a_field_open)
{
    struct pty *pty = open_job(&large);
    type(pty, "30", "quantity 20 -> 30 ");
    pty_resize(pty, 20, 60);
    ck_assert(pty_settle(pty, "[30_"));
    ck_assert(pty_wait_text(pty, "quantity 20 -> 30"));
    pty_resize(pty, 36, 120);
    ck_assert(pty_settle(pty, "[30_"));
    leave(pty, "<Esc>qq");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_storm_of_sizes_leaves_the_picture_of_a_quiet_window);
    tcase_add_test(tcase, what_is_typed_in_a_storm_of_sizes_is_there);
    tcase_add_loop_test(tcase, a_tiny_window_changes_nothing, 0, COUNT(tiny));
    tcase_add_test(tcase, the_smallest_window_shows_field_and_end);
    tcase_add_test(tcase, a_large_window_becomes_a_small_one_with_a_field_open);
}

int main(void)
{
    return run_whole("whole sizes", fill);
}
