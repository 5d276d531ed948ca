/* Two programs on one file: what one keeps the other shows, with the name, and takes nothing from its
 * fingers. */
#include "tui/whole.h"

static const struct whole as_ann = {.environment = {"SANDGLASS_WHO=ann"}},
                          as_ben = {.environment = {"SANDGLASS_WHO=ben"}};

enum { NEWS_MS = 1000 };

/* Shown by now and a second. */
static void ck_shown_soon(struct pty *pty, const char *text)
{
    long long end = pty_now_ms() + NEWS_MS;
    while (!is_shown(pty, text) && !pty->ended && pty_now_ms() < end)
        pty_pump(pty, 20);
    if (!is_shown(pty, text))
        pty_print(pty);
    ck_assert_msg(is_shown(pty, text), "not within a second: %s", text);
}

START_TEST(what_one_keeps_the_other_shows_within_a_second)
{
    struct pty *ann = open_job(&as_ann), *ben = open_shift(&as_ben);
    type(ann, "30<Enter>", "quantity 20 -> 30 kept");
    ck_shown_soon(ben, "ann:");
    ck_assert(pty_settle(ben, "ENDS 15:13"));
    ck_assert(pty_wait_text(ben, "20 -> 30"));
    type(ben, "j", "ENDS 15:13");
    ck_assert(pty_wait_gone(ben, "ann:")); /* news is news until the next key */
    leave(ann, "qq");
    leave(ben, "q");
}
END_TEST

START_TEST(another_field_under_the_fingers_is_not_disturbed)
{
    struct pty *ann = open_job(&as_ann), *ben = open_job(&as_ben);
    type(ben, "<Down>4", "quantity 36 -> 4 ");
    int row = pty_state(ben).row, column = pty_state(ben).column;
    type(ann, "30<Enter>", "quantity 20 -> 30 kept");
    ck_shown_soon(ben, "ann:");
    ck_assert_int_eq(pty_state(ben).row, row);
    ck_assert_int_eq(pty_state(ben).column, column);
    ck_assert(is_shown(ben, "[4_"));
    ck_row(ben, TITLE_ROW, "DRAFT");
    type(ben, "0", "quantity 36 -> 40 ");
    type(ben, "<Enter>", "quantity 36 -> 40 kept");
    ck_assert_int_eq(quantity_in_file(0), 30);
    ck_assert_int_eq(quantity_in_file(1), 40);
    ck_shown_soon(ann, "ben:");
    leave(ann, "qq");
    leave(ben, "qq");
}
END_TEST

/* What is typed is tried in the plan as it is now, the other's value in it. */
START_TEST(results_of_what_is_typed_are_those_with_the_others_value)
{
    char answer[20];
    struct pty *ben = open_job(&as_ben);
    type(ben, "<Down>40", "quantity 36 -> 40 ");
    set_as("ann", "2601/1/A", "quantity=30");
    ck_shown_soon(ben, "ann:");
    struct ran ran = run("try", "set", "2601/1/B", "quantity=40", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    snprintf(answer, sizeof answer, "ENDS %.5s", json_text(ran.out, "$.answers.ends_at") + 11);
    done(&ran);
    ck_row(ben, ANSWERS_ROW, answer);
    leave(ben, "<Esc>qq");
}
END_TEST

START_TEST(two_values_of_one_field_are_both_shown_before_one_wins)
{
    struct pty *ann = open_job(&as_ann), *ben = open_job(&as_ben);
    type(ben, "18", "quantity 20 -> 18 ");
    type(ann, "30<Enter>", "quantity 20 -> 30 kept");
    ck_shown_soon(ben, "ann:");
    ck_assert(is_shown(ben, "[18_"));
    type(ben, "<Enter>", "ann set 30 while you typed 18");
    ck_assert(is_shown(ben, "[18_"));
    ck_assert_int_eq(quantity_in_file(0), 30);
    type(ben, "<Enter>", "30 -> 18 kept");
    ck_assert_int_eq(quantity_in_file(0), 18);
    leave(ann, "qq");
    leave(ben, "qq");
}
END_TEST

/* The news of the other's value comes after Enter has met it, and does not hide what Enter said. */
START_TEST(what_enter_says_of_both_stays)
{
    struct pty *ben = open_job(&as_ben);
    type(ben, "18", "quantity 20 -> 18 ");
    set_as("ann", "2601/1/A", "quantity=30");
    type(ben, "<Enter>", "ann set 30 while you typed 18");
    ck_shown_soon(ben, "ann: quantity of 2601/1/A");
    set_as("ann", "2601/1/B", "quantity=37");
    ck_shown_soon(ben, "ann: quantity of 2601/1/B");
    ck_assert(is_shown(ben, "ann set 30 while you typed 18"));
    type(ben, "<Backspace>", "quantity 30 -> 1 ");
    type(ben, "<Esc>", "saved");
    ck_assert(pty_wait_gone(ben, "[1_"));
    ck_assert_int_eq(quantity_in_file(0), 30);
    leave(ben, "qq");
}
END_TEST

START_TEST(one_takes_back_only_ones_own)
{
    struct pty *ann = open_job(&as_ann), *ben = open_job(&as_ben);
    type(ann, "30<Enter>", "quantity 20 -> 30 kept");
    ck_shown_soon(ben, "ann:");
    type(ben, "<Down>40<Enter>", "quantity 36 -> 40 kept");
    ck_shown_soon(ann, "ben:");
    type(ann, "<Up>", "JOB 2601");
    type(ann, "31<Enter>", "quantity 30 -> 31 kept"); /* the newest step of all is not ben's */
    ck_shown_soon(ben, "ann:");
    pty_keys(ben, "u");
    ck_assert(pty_wait_text(ben, "taken back: quantity of 2601/1/B"));
    ck_assert_int_eq(quantity_in_file(0), 31);
    ck_assert_int_eq(quantity_in_file(1), 36);
    type(ann, "u", "taken back: quantity of 2601/1/A: 30 -> 31");
    type(ann, "u", "taken back: quantity of 2601/1/A: 20 -> 30");
    ck_assert_int_eq(quantity_in_file(0), 20);
    leave(ann, "qq");
    leave(ben, "qq");
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

/* The row goes away under the fingers: said, and the text is not lost. */
START_TEST(a_row_that_the_other_took_out)
{
    struct pty *ben = open_job(&as_ben);
    type(ben, "18", "quantity 20 -> 18 ");
    ck_done("remove", "-f", "shop.db", "2601/1/A");
    ck_shown_soon(ben, "\"18\" is kept in :last");
    ck_row(ben, TITLE_ROW, "saved");
    leave(ben, "qq");
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

/* Each has a text under the fingers: two files beside the shop file, and each is its own. */
START_TEST(two_fields_open_at_once)
{
    struct pty *ann = open_job(&as_ann), *ben = open_job(&as_ben);
    type(ann, "18", "quantity 20 -> 18 ");
    type(ben, "<Down>19", "quantity 36 -> 19 ");
    ck_assert_int_eq(names_with("shop.db.draft-"), 2);
    kill(ann->pid, SIGKILL);
    ck_assert_int_eq(pty_wait_exit(ann), 128 + SIGKILL);
    pty_end(ann);
    ann = launch(&as_ann);
    ck_assert(pty_settle(ann, "\"18\" was typed here by ann"));
    leave(ann, "<Esc>qq");
    ck_assert_int_eq(names_with("shop.db.draft-"), 1);
    type(ben, "<Enter>", "quantity 36 -> 19 kept");
    ck_assert_int_eq(names_with("shop.db.draft-"), 0);
    leave(ben, "qq");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, what_one_keeps_the_other_shows_within_a_second);
    tcase_add_test(tcase, another_field_under_the_fingers_is_not_disturbed);
    tcase_add_test(tcase, results_of_what_is_typed_are_those_with_the_others_value);
    tcase_add_test(tcase, two_values_of_one_field_are_both_shown_before_one_wins);
    tcase_add_test(tcase, what_enter_says_of_both_stays);
    tcase_add_test(tcase, one_takes_back_only_ones_own);
    tcase_add_test(tcase, a_row_that_the_other_took_out);
    tcase_add_test(tcase, two_fields_open_at_once);
}

int main(void)
{
    return run_whole("whole together", fill);
}
