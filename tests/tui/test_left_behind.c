/* What was under the fingers when the program died is offered at the next start; what was kept or dropped is
 * not. The programs that die here are forked children with screens of their own, killed without a warning. */
#include "edit/run_suite.h"
#include "tui/facts.h"

#include <dirent.h>
#include <signal.h>
#include <sys/wait.h>

static struct shop_file file;

static void make_file(void)
{
    shop_file_make(&file, true);
}

static void remove_file(void)
{
    ck_assert_msg(shop_file_remove(&file), "something was left in %s", file.folder);
}

static struct on_screen start_as(const char *who, bool read_only)
{
    struct on_screen s = {.file = file};
    setlocale(LC_CTYPE, "C.UTF-8");
    s.desk = shop_file_desk(&file, read_only ? SG_STORE_READ : SG_STORE_WRITE);
    sg_desk_sign(s.desk, who);
    struct sg_error error;
    shop_must(
        sg_ui_new(s.desk, &(struct sg_ui_how){.path = file.path, .read_only = read_only}, &s.ui, &error),
        &error);
    sg_ui_resize(s.ui, 24, 80);
    sg_ui_draw(s.ui, &s.canvas);
    return s;
}

/* How many drafts lie beside the shop file. */
static int drafts(void)
{
    int n = 0;
    DIR *folder = opendir(file.folder);
    for (struct dirent *entry; (entry = readdir(folder));)
        n += strstr(entry->d_name, ".draft-") != NULL;
    closedir(folder);
    return n;
}

/* A program that presses these keys and is then killed. */
static void die_after(const char *keys)
{
    int ready[2];
    char byte = 0;
    ck_assert_int_eq(pipe(ready), 0);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        struct on_screen s = start_as("office", false);
        press(&s, keys);
        if (write(ready[1], "r", 1) != 1)
            _exit(1);
        for (;;)
            pause();
    }
    close(ready[1]);
    ck_assert_int_eq(read(ready[0], &byte, 1), 1);
    close(ready[0]);
    ck_assert_int_eq(kill(child, SIGKILL), 0);
    ck_assert_int_eq(waitpid(child, NULL, 0), child);
}

static void ck_offered(struct on_screen *s, const char *text, int cursor)
{
    char said[100];
    snprintf(said, sizeof said, "\"%s\" was typed here by office at", text);
    ck_row_has(s, WORDS_ROW, said);
    char field[100];
    snprintf(field, sizeof field, "[%s_", text);
    ck_row_has(s, s->canvas.cursor_row, field);
    ck_assert_int_eq(cursor_in_field(s), cursor);
    ck_row_has(s, TITLE_ROW, "DRAFT, not yet in plan");
}

START_TEST(the_text_comes_back_with_its_cursor_and_its_results)
{
    die_after("jj<Enter>j24<Left>");
    ck_assert_int_eq(drafts(), 1);
    struct on_screen s = start_as("programmer", false);
    ck_offered(&s, "24", 1);
    ck_row_has(&s, TITLE_ROW, "JOB 2603");
    const struct facts typed = facts_of(&s, "2603/1/B", "2603/1/B", "quantity=24");
    ck_row_has(&s, row_with(&s, "> B "), typed.cut);
    ck_row_has(&s, ANSWERS_ROW, typed.ends_on);
    ck_assert_str_eq(in_file(&s, "2603/1/B", "quantity"), "6");
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2603/1/B", "quantity"), "24");
    ck_assert_int_eq(drafts(), 0);
    on_screen_stop(&s);
}
END_TEST

START_TEST(a_text_that_is_not_whole_comes_back_too)
{
    die_after("<Enter>=12*");
    struct on_screen s = start_as("programmer", false);
    ck_offered(&s, "=12*", 4);
    ck_row_has(&s, ANSWERS_ROW, "?");
    press(&s, "2<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "24");
    on_screen_stop(&s);
}
END_TEST

START_TEST(all_its_rows_come_back)
{
    die_after("<Enter>  k9");
    struct on_screen s = start_as("programmer", false);
    ck_offered(&s, "9", 1);
    ck_row_has(&s, row_with(&s, "+B "), "9*");
    ck_assert_int_eq(s.ui->typing.n, 2);
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "9");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "quantity"), "9");
    ck_assert_int_eq(steps_in_file(&s, NULL), 1);
    on_screen_stop(&s);
}
END_TEST

START_TEST(a_name_a_word_of_a_list_and_a_field_of_the_machine_come_back)
{
    static const struct {
        const char *keys, *text, *key, *field, *value;
    } fields[] = {
        {"e<Ctrl-U>rings <Esc>e<Ctrl-U>new rings", "new rings", "2601", "name", "new rings"},
        {"<Enter>kkkHecopp", "copp", "2601/1", "material", "copper"},
        {"gm/hopper level<Enter>e<Ctrl-U>100 kg", "100 kg", "machine:main", "hopper_level", "100 kg"},
    };
    die_after(fields[_i].keys);
    struct on_screen s = start_as("programmer", false);
    ck_offered(&s, fields[_i].text, (int)strlen(fields[_i].text));
    press(&s, "<Enter>");
    char kept[60];
    snprintf(kept, sizeof kept, "%.50s", in_file(&s, fields[_i].key, fields[_i].field));
    if (_i == 2)
        ck_assert_double_eq_tol(s.ui->kept.shop->machine.hopper_level, 100, 1e-9);
    else
        ck_assert_str_eq(kept, fields[_i].value);
    on_screen_stop(&s);
}
END_TEST

START_TEST(esc_drops_it_for_good)
{
    die_after("<Enter>24");
    struct on_screen s = start_as("programmer", false);
    ck_offered(&s, "24", 2);
    press(&s, "<Esc>");
    ck_assert_int_eq(drafts(), 0);
    on_screen_stop(&s);
    s = start_as("programmer", false);
    ck_assert_int_eq(cursor_in_field(&s), -1);
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
    on_screen_stop(&s);
}
END_TEST

START_TEST(what_was_kept_a_moment_before_the_end_is_not_asked_again)
{
    struct sg_error error;
    struct sg_change change;
    static const char *const assignment[] = {"quantity=24"};
    die_after("<Enter>24");
    struct sg_desk *desk = shop_file_desk(&file, SG_STORE_WRITE); /* as the file is after a kill behind it */
    shop_must(sg_desk_set(desk, "2601/1/A", assignment, 1, true, &change, NULL, &error), &error);
    sg_desk_close(desk);
    struct on_screen s = start_as("programmer", false);
    ck_assert_int_eq(cursor_in_field(&s), -1);
    ck_shows_not(&s, "was typed");
    ck_assert_int_eq(drafts(), 0);
    on_screen_stop(&s);
}
END_TEST

START_TEST(a_field_that_was_only_opened_is_not_asked_about)
{
    die_after("<Enter>24<Tab>"); /* the next one is open, with its value */
    struct on_screen s = start_as("programmer", false);
    ck_assert_int_eq(cursor_in_field(&s), -1);
    ck_shows_not(&s, "was typed");
    ck_assert_int_eq(drafts(), 0);
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "24");
    on_screen_stop(&s);
}
END_TEST

START_TEST(after_keeping_dropping_or_leaving_in_order_nothing_is_left)
{
    static const char *const keys[] = {"<Enter>24<Enter>", "<Enter>24<Esc>",      "<Enter>24<Down>",
                                       "<Enter>2x<Down>",  "<Enter>24<Tab><Esc>", "jj"};
    die_after(keys[_i]);
    ck_assert_int_eq(drafts(), 0);
    struct on_screen s = start_as("programmer", false);
    ck_assert_int_eq(cursor_in_field(&s), -1);
    press(&s, "<Enter>7");
    ck_assert_int_eq(drafts(), 1);
    on_screen_stop(&s); /* with a field open: the program was left in order */
    ck_assert_int_eq(drafts(), 0);
}
END_TEST

START_TEST(a_terminal_that_goes_away_leaves_it)
{
    struct on_screen s = start_as("office", false);
    press(&s, "<Enter>24");
    sg_ui_gone(s.ui);
    on_screen_stop(&s);
    ck_assert_int_eq(drafts(), 1);
    s = start_as("programmer", false);
    ck_offered(&s, "24", 2);
    press(&s, "<Esc>");
    on_screen_stop(&s);
}
END_TEST

START_TEST(leaving_where_it_cannot_be_seen_leaves_it_too)
{
    struct on_screen s = start_as("office", false);
    press(&s, "<Enter>24");
    sg_ui_resize(s.ui, 3, 12);
    press(&s, "q");
    ck_assert_int_eq(s.wish, SG_WISH_LEAVE);
    on_screen_stop(&s);
    s = start_as("programmer", false);
    ck_offered(&s, "24", 2);
    press(&s, "<Esc>");
    on_screen_stop(&s);
}
END_TEST

START_TEST(what_a_living_program_has_in_hand_is_its_own)
{
    struct on_screen first = start_as("office", false), second;
    press(&first, "<Enter>24");
    second = start_as("programmer", false);
    ck_assert_int_eq(cursor_in_field(&second), -1);
    press(&first, "<Enter>");
    ck_assert_str_eq(in_file(&first, "2601/1/A", "quantity"), "24");
    on_screen_stop(&second);
    on_screen_stop(&first);
}
END_TEST

START_TEST(whoever_only_reads_leaves_it_where_it_is)
{
    die_after("<Enter>24");
    struct on_screen s = start_as("visitor", true);
    ck_assert_int_eq(cursor_in_field(&s), -1);
    on_screen_stop(&s);
    ck_assert_int_eq(drafts(), 1);
    s = start_as("programmer", false);
    ck_offered(&s, "24", 2);
    press(&s, "<Esc>");
    on_screen_stop(&s);
}
END_TEST

START_TEST(of_a_row_that_is_gone_the_text_is_told)
{
    struct sg_error error;
    die_after("<Enter>24");
    struct sg_desk *desk = shop_file_desk(&file, SG_STORE_WRITE);
    shop_must(sg_desk_remove(desk, "2601", &error), &error);
    sg_desk_close(desk);
    struct on_screen s = start_as("programmer", false);
    ck_row_has(&s, WORDS_ROW, "\"24\" was typed into quantity of 2601/1/A, which is gone");
    ck_assert_int_eq(cursor_in_field(&s), -1);
    ck_assert_int_eq(drafts(), 0);
    on_screen_stop(&s);
}
END_TEST

START_TEST(of_two_that_died_one_is_offered_and_the_other_at_the_next_start)
{
    die_after("<Enter>24");
    die_after("<Esc>gsjj<Enter>7"); /* it was offered the first one and dropped it */
    ck_assert_int_eq(drafts(), 1);
    struct on_screen s = start_as("programmer", false);
    ck_offered(&s, "7", 1);
    press(&s, "<Esc>");
    on_screen_stop(&s);
}
END_TEST

START_TEST(a_program_that_dies_with_what_it_was_offered_leaves_it_again)
{
    die_after("<Enter>24");
    die_after("<Backspace>");
    ck_assert_int_eq(drafts(), 1);
    struct on_screen s = start_as("programmer", false);
    ck_offered(&s, "2", 1);
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "2");
    on_screen_stop(&s);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("left behind");
    TCase *tests = tcase_create("left behind");
    tcase_add_checked_fixture(tests, make_file, remove_file);
    tcase_add_test(tests, the_text_comes_back_with_its_cursor_and_its_results);
    tcase_add_test(tests, a_text_that_is_not_whole_comes_back_too);
    tcase_add_test(tests, all_its_rows_come_back);
    tcase_add_loop_test(tests, a_name_a_word_of_a_list_and_a_field_of_the_machine_come_back, 0, 3);
    tcase_add_test(tests, esc_drops_it_for_good);
    tcase_add_test(tests, what_was_kept_a_moment_before_the_end_is_not_asked_again);
    tcase_add_test(tests, a_field_that_was_only_opened_is_not_asked_about);
    tcase_add_loop_test(tests, after_keeping_dropping_or_leaving_in_order_nothing_is_left, 0, 6);
    tcase_add_test(tests, a_terminal_that_goes_away_leaves_it);
    tcase_add_test(tests, leaving_where_it_cannot_be_seen_leaves_it_too);
    tcase_add_test(tests, what_a_living_program_has_in_hand_is_its_own);
    tcase_add_test(tests, whoever_only_reads_leaves_it_where_it_is);
    tcase_add_test(tests, of_a_row_that_is_gone_the_text_is_told);
    tcase_add_test(tests, of_two_that_died_one_is_offered_and_the_other_at_the_next_start);
    tcase_add_test(tests, a_program_that_dies_with_what_it_was_offered_leaves_it_again);
    suite_add_tcase(suite, tests);
    return run(suite);
}
