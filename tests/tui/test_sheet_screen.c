/* The Sheet screen on a shop file: what was spoilt, and what fits where a longer search was taken. */
#include "tui/facts.h"

#include "edit/run_suite.h"

static struct on_screen s;

static void start(void)
{
    s = on_screen_open(true);
}

static void stop(void)
{
    on_screen_close(&s);
}

static void set(const char *key, const char *assignment)
{
    other_sets(&s, "planner", key, assignment);
    sg_ui_look(s.ui);
}

/* The two lines above the keys: a sentence may go over both. */
static void ck_said(const char *words)
{
    char text[500];
    snprintf(text, sizeof text, "%s %s", row(&s, WORDS_ROW), row(&s, ACCEPTED_ROW));
    ck_assert_msg(strstr(text, words) != NULL, "\"%s\" is not in: %s", words, text);
}

START_TEST(a_piece_of_a_stack_is_one_from_each_of_its_sheets)
{
    press(&s, "gp");
    press(&s, "x");
    ck_said("One A is cut again: the shift ends ");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "scrap"), "1");
    set("2601/1", "stack=3");
    press(&s, "x");
    ck_said("3 of A, one from each sheet of the stack, are cut again: the shift");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "scrap"), "4");
}
END_TEST

START_TEST(a_stack_is_scrapped_with_all_its_pieces)
{
    set("2601/1", "stack=2");
    press(&s, "gp");
    press(&s, "X");
    ck_said("Stack 1 with its ");
    int a = atoi(in_file(&s, "2601/1/A", "scrap")), b = atoi(in_file(&s, "2601/1/B", "scrap"));
    char words[80];
    snprintf(words, sizeof words, "Stack 1 with its %d pieces is cut again", a + b);
    ck_assert(a > 0 && b > 0 && a % 2 == 0 && b % 2 == 0);
    ck_said(words);
}
END_TEST

/* Tries lay out quickly; what is planned and done in time fits, whatever they say. */
START_TEST(what_fits_says_that_tries_go_without_the_longer_search)
{
    set("2601/1", "search=5000");
    press(&s, "<Enter><Down>f");
    ck_said("planned. It fits without longer search: ");
    set("2601/1", "search=0");
    press(&s, "f");
    ck_said("planned. It fits: ");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sheet screen");
    TCase *tcase = tcase_create("sheet screen");
    tcase_add_checked_fixture(tcase, start, stop);
    tcase_add_test(tcase, a_piece_of_a_stack_is_one_from_each_of_its_sheets);
    tcase_add_test(tcase, a_stack_is_scrapped_with_all_its_pieces);
    tcase_add_test(tcase, what_fits_says_that_tries_go_without_the_longer_search);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
