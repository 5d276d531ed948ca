/* Names in any writing: what stands behind them in a row stands where it stands behind a plain one. */
#include "tui/whole.h"

static const struct whole size[] = {{.rows = 24, .columns = 80}, {.rows = 20, .columns = 60}};

static const char *const names[] = {
    "\xE6\x97\xA5\xE6\x9C\xAC\xE8\xAA\x9E", /* three wide ones */
    "x\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5\xE6\x9C\xAC"
    "\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5\xE6\x9C\xAC", /* cut, odd */
    "xy\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5\xE6\x9C\xAC"
    "\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5\xE6\x9C\xAC\xE6\x97\xA5\xE6\x9C\xAC",       /* cut, even */
    "e\xCC\x81\xCC\x81 a\xCC\x8A o\xCC\x88 plate",                                    /* combining marks */
    "\xF0\x9F\x91\xA8\xE2\x80\x8D\xF0\x9F\x91\xA9\xE2\x80\x8D\xF0\x9F\x91\xA7 cover", /* joined: a family */
    "\xF0\x9F\x87\xA9\xF0\x9F\x87\xAA\xF0\x9F\x87\xAB\xF0\x9F\x87\xB7 plate",         /* two flags */
    "\xE2\xAD\x90 star \xF0\x9F\x94\xA9", /* wide since it is an emoji */
    "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D",   /* written from the right */
};

/* The row that begins with that mark, -1: none. */
static int row_of(struct pty *pty, const char *start)
{
    for (int row = 0; row < pty_rows(pty); row++)
        if (strncmp(pty_row(pty, row), start, strlen(start)) == 0)
            return row;
    return -1;
}

/* Where the word in the row of heads stands. */
static int column_of(struct pty *pty, int *row, const char *word)
{
    for (*row = 0; *row < pty_rows(pty); ++*row) {
        const char *line = pty_row(pty, *row), *at = strstr(line, word);
        if (at)
            return (int)(at - line);
    }
    ck_abort_msg("no column %s", word);
    return -1;
}

/* The cells behind the name, as text, each as wide as it is. */
static void cells_behind(struct pty *pty, int row, int column, char *out, size_t size_of_out)
{
    size_t n = 0;
    out[0] = '\0';
    for (; column < (pty_rows(pty) == 20 ? 60 : 80); column++) {
        const char *text = pty_cell(pty, row, column).text;
        n += (size_t)snprintf(out + n, size_of_out - n, "%s", *text ? text : " ");
        ck_assert_uint_lt(n, size_of_out);
    }
}

/* The same figures behind the name of the row one stands on, before and after it is this one. */
static void stands_where_it_stood(const struct whole *whole, const char *target, const char *keys,
                                  const char *title, const char *name)
{
    char before[1000], after[1000], assignment[300];
    int heads;
    snprintf(assignment, sizeof assignment, "name=%s", name);
    struct pty *pty = open_shift(whole);
    type(pty, keys, title);
    int column = column_of(pty, &heads, "Qty"), row = row_of(pty, ">");
    ck_assert_int_gt(row, heads);
    cells_behind(pty, row, column, before, sizeof before);
    ck_assert(strpbrk(before, "0123456789") != NULL);
    set_as("ann", target, assignment);
    ck_assert(pty_settle(pty, "ann:"));
    pty_keys(pty, "<Ctrl-L>");
    ck_assert(pty_wait_gone(pty, "ann:"));
    ck_assert(pty_settle(pty, "Qty"));
    ck_assert_int_eq(row_of(pty, ">"), row);
    cells_behind(pty, row, column, after, sizeof after);
    if (strcmp(after, before) != 0)
        pty_print(pty);
    ck_assert_str_eq(after, before);
    pty_keys(pty, "qq");
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    pty_end(pty);
}

START_TEST(columns_behind_the_name_of_a_part_stay)
{
    stands_where_it_stood(&size[_i % 2], "2601/1/A", "<Enter>", "JOB 2601", names[_i / 2]);
}
END_TEST

START_TEST(columns_behind_the_name_of_a_job_stay)
{
    stands_where_it_stood(&size[_i % 2], "2601", "", "SHIFT A", names[_i / 2]);
}
END_TEST

/* While it is typed, the results in the row do not move either. */
START_TEST(a_wide_name_can_be_typed)
{
    struct pty *pty = open_job(&size[0]);
    type(pty, "<Left>e<Ctrl-U>", "DRAFT");
    pty_bytes(pty, names[0], strlen(names[0]));
    ck_assert(pty_settle(pty, names[0]));
    int row = pty_state(pty).row, column = pty_state(pty).column;
    ck_assert_str_eq(pty_cell(pty, row, column - 2).text, names[0] + 6);
    ck_assert_int_eq(pty_cell(pty, row, column - 2).width, 2);
    type(pty, "<Left>", "DRAFT");
    pty_keys(pty, "<Backspace>"); /* the one in the middle, whole */
    type(pty, "<Enter>", "kept");
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[0].name"), "\xE6\x97\xA5\xE8\xAA\x9E");
    done(&ran);
    leave(pty, "qq");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_loop_test(tcase, columns_behind_the_name_of_a_part_stay, 0, 2 * COUNT(names));
    tcase_add_loop_test(tcase, columns_behind_the_name_of_a_job_stay, 0, 2 * COUNT(names));
    tcase_add_test(tcase, a_wide_name_can_be_typed);
}

int main(void)
{
    return run_whole("whole names", fill);
}
