/* Typing into the plan, seen on a terminal and by another process on the same file. */
#include "tui/whole.h"

static const struct whole plain = {0};

/* What another process says would come of a quantity of part B. */
struct tried {
    double ends_s, change_s, refills;
    char ends[8], refill[8]; /* 14:21 */
};

static struct tried try_quantity(const char *assignment)
{
    struct tried tried;
    struct ran ran = run("try", "set", "2601/1/B", assignment, "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    tried.ends_s = json_number(ran.out, "$.after.ends_s");
    tried.change_s = json_number(ran.out, "$.change.ends_s");
    tried.refills = json_number(ran.out, "$.after.refills");
    snprintf(tried.ends, sizeof tried.ends, "%.5s", json_text(ran.out, "$.answers.ends_at") + 11);
    snprintf(tried.refill, sizeof tried.refill, "%.5s", json_text(ran.out, "$.answers.next_refill_at") + 11);
    done(&ran);
    return tried;
}

static void write_change(double seconds, char *out, size_t size)
{
    long whole = lround(fabs(seconds));
    snprintf(out, size, "%c%ld:%02ld:%02ld", seconds < 0 ? '-' : '+', whole / 3600, whole / 60 % 60,
             whole % 60);
}

/* The row of the block of changes with that name has all these pieces in this order. */
static void ck_change(struct pty *pty, const char *name, const char *const *pieces)
{
    int row = 0;
    while (row < pty_rows(pty) && strncmp(pty_row(pty, row), name, strlen(name)) != 0)
        row++;
    const char *at = pty_row(pty, row);
    for (; *pieces && at; pieces++)
        at = strstr(at, *pieces);
    if (*pieces)
        pty_print(pty);
    ck_assert_msg(!*pieces, "%s: no \"%s\"", name, *pieces);
}

/* The screen says of a quantity typed what another process says of it, and there the old one still counts. */
static void says_as_tried(struct pty *pty, const char *assignment)
{
    char change[20], answer[20], refills[20];
    struct tried tried = try_quantity(assignment);
    write_change(tried.change_s, change, sizeof change);
    snprintf(answer, sizeof answer, "ENDS %s", tried.ends);
    snprintf(refills, sizeof refills, "REFILL %s", tried.refill);
    ck_row(pty, ANSWERS_ROW, answer);
    ck_row(pty, ANSWERS_ROW, refills);
    snprintf(refills, sizeof refills, " %.0f ", tried.refills);
    ck_change(pty, "Shift ends", (const char *[]){"14:41", tried.ends, change, NULL});
    ck_change(pty, "Refills", (const char *[]){" 1 ", refills, NULL});
    ck_row(pty, TITLE_ROW, "DRAFT, not yet in plan");
    ck_assert_int_eq(quantity_in_file(1), 36);
    ck_assert_str_eq(try_quantity("quantity=36").ends, "14:41");
}

START_TEST(each_key_shows_what_comes_of_it_before_enter)
{
    struct pty *pty = open_job(&plain);
    char *before = pty_screen(pty);
    pty_keys(pty, "<Down>");
    type(pty, "2", "quantity 36 -> 2 ");
    says_as_tried(pty, "quantity=2");
    type(pty, "0", "quantity 36 -> 20 ");
    says_as_tried(pty, "quantity=20");
    type(pty, "0<Backspace>5<Left><Backspace>", "quantity 36 -> 25 ");
    says_as_tried(pty, "quantity=25");
    pty_keys(pty, "<Esc><Up>");
    ck_assert(pty_wait(pty, looks_like, before, "the screen from before the typing"));
    free(before);
    ck_assert_int_eq(quantity_in_file(1), 36);
    leave(pty, "qq");
}
END_TEST

START_TEST(enter_puts_it_where_others_see_it)
{
    struct pty *pty = open_job(&plain);
    struct tried tried = try_quantity("quantity=20");
    char answer[20];
    type(pty, "<Down>20<Enter>", "quantity 36 -> 20 kept");
    snprintf(answer, sizeof answer, "ENDS %s", tried.ends);
    ck_row(pty, ANSWERS_ROW, answer);
    ck_row(pty, TITLE_ROW, "saved");
    ck_assert_int_eq(quantity_in_file(1), 20);
    ck_assert_str_eq(try_quantity("pierces=3").ends, tried.ends);
    type(pty, "u", "ENDS 14:41");
    ck_assert_int_eq(quantity_in_file(1), 36);
    leave(pty, "qq");
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

/* "*" is the mark of what comes of the draft, "?" of what a text that is no value leaves open. */
static bool row_is_marked(struct pty *pty, int row, char mark)
{
    return strchr(pty_row(pty, row), mark) != NULL;
}

static int row_of_field(struct pty *pty)
{
    int row = 0;
    while (row < pty_rows(pty) && !strchr(pty_row(pty, row), '['))
        row++;
    return row;
}

START_TEST(a_text_is_whole_or_unfinished_or_wrong)
{
    struct pty *pty = open_job(&plain);
    type(pty, "30", "Enter keeps it, Esc drops it");
    int row = row_of_field(pty);
    ck_assert(row_is_marked(pty, row, '*'));
    ck_assert(!row_is_marked(pty, row, '?'));
    type(pty, "<Ctrl-U>=12*", "unfinished: a number is expected after *");
    ck_assert(row_is_marked(pty, row, '?'));
    ck_assert(row_is_marked(pty, ANSWERS_ROW, '?'));
    ck_row(pty, ANSWERS_ROW, "ENDS 14:41"); /* never for half of a text */
    type(pty, "2", "quantity 20 -> 24 ");
    ck_assert(row_is_marked(pty, row, '*'));
    ck_assert(!row_is_marked(pty, row, '?'));
    type(pty, "x", "a whole number without unit is expected");
    ck_row(pty, ANSWERS_ROW, "ENDS 14:41");
    ck_assert(row_is_marked(pty, row, '?'));
    ck_assert_int_eq(quantity_in_file(0), 20);
    type(pty, "<Esc>", "saved");
    ck_assert(!row_is_marked(pty, ANSWERS_ROW, '?'));
    leave(pty, "qq");
}
END_TEST

static bool rang_and_stands(struct pty *pty, const void *column)
{
    return pty_state(pty).bells == 1 && pty_state(pty).column == *(const int *)column;
}

START_TEST(enter_on_a_wrong_text_stands_on_what_is_wrong)
{
    struct pty *pty = open_job(&plain);
    type(pty, "12x4", "a whole number without unit is expected");
    int row = row_of_field(pty), first_wrong = pty_state(pty).column - 2;
    ck_assert(pty_state(pty).cursor);
    ck_assert_int_eq(pty_state(pty).row, row);
    pty_keys(pty, "<Enter>");
    ck_assert(pty_wait(pty, rang_and_stands, &first_wrong, "the cursor on the x, and a bell"));
    ck_assert_str_eq(pty_cell(pty, row, first_wrong).text, "x");
    ck_row(pty, TITLE_ROW, "DRAFT");
    type(pty, "<Ctrl-K>", "quantity 20 -> 12 "); /* what is right of it goes, and the rest counts */
    leave(pty, "<Esc>qq");
    ck_assert_int_eq(quantity_in_file(0), 20);
}
END_TEST

START_TEST(tab_on_a_wrong_text_stays_on_it)
{
    struct pty *pty = open_job(&plain);
    type(pty, "12x<Tab>", "without unit");
    ck_row(pty, TITLE_ROW, "DRAFT");
    type(pty, "<Delete>", "quantity 20 -> 12 "); /* it stands on what is wrong */
    type(pty, "<Enter>", "quantity 20 -> 12 kept");
    ck_assert_int_eq(quantity_in_file(0), 12);
    leave(pty, "qq");
}
END_TEST

/* Esc, Ctrl-C and Ctrl-G are one. */
START_TEST(each_way_to_drop_leaves_the_old_value)
{
    static const char *const ways[] = {"<Esc>", "<Ctrl-C>", "<Ctrl-G>"};
    struct pty *pty = open_job(&plain);
    char *before = pty_screen(pty);
    type(pty, "7", "quantity 20 -> 7 ");
    pty_keys(pty, ways[_i]);
    ck_assert(pty_wait(pty, looks_like, before, "the screen from before the typing"));
    free(before);
    ck_assert_int_eq(quantity_in_file(0), 20);
    leave(pty, "qq");
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

START_TEST(what_was_kept_is_taken_back_after_a_restart)
{
    struct pty *pty = open_job(&plain);
    type(pty, "30<Enter>", "quantity 20 -> 30 kept");
    leave(pty, "qq");
    ck_assert_int_eq(quantity_in_file(0), 30);
    pty = launch(&plain);
    ck_assert(pty_settle(pty, "ENDS 15:13"));
    type(pty, "U", "HISTORY");
    ck_assert(pty_wait_text(pty, "2601/1/A"));
    ck_assert(pty_wait_text(pty, "20 -> 30"));
    type(pty, "q", "SHIFT A");
    type(pty, "u", "ENDS 14:41");
    ck_assert_int_eq(quantity_in_file(0), 20);
    type(pty, "<Ctrl-R>", "ENDS 15:13");
    ck_assert_int_eq(quantity_in_file(0), 30);
    leave(pty, "q");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, each_key_shows_what_comes_of_it_before_enter);
    tcase_add_test(tcase, enter_puts_it_where_others_see_it);
    tcase_add_test(tcase, a_text_is_whole_or_unfinished_or_wrong);
    tcase_add_test(tcase, enter_on_a_wrong_text_stands_on_what_is_wrong);
    tcase_add_test(tcase, tab_on_a_wrong_text_stays_on_it);
    tcase_add_loop_test(tcase, each_way_to_drop_leaves_the_old_value, 0, 3);
    tcase_add_test(tcase, what_was_kept_is_taken_back_after_a_restart);
}

int main(void)
{
    return run_whole("whole typing", fill);
}
