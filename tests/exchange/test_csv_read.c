#include "exchange/exchange.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sg_error error;

/* Rows as text: LINE[cell][cell] ... , with a stop after `rows_wanted`. */
struct heard {
    struct sg_text text;
    int rows_wanted;
};

static bool hear(void *context, const struct sg_csv_row *row)
{
    struct heard *heard = context;
    sg_text_format(&heard->text, "%d", row->line);
    for (int i = 0; i < row->n_cells; i++) {
        ck_assert_uint_eq(strlen(row->cells[i]), row->lengths[i]);
        sg_text_format(&heard->text, "[%s]", row->cells[i]);
    }
    sg_text_put(&heard->text, " ");
    return --heard->rows_wanted != 0;
}

static const char *rows_of(const char *text, size_t length, char separator, char *used)
{
    static char result[2000];
    struct heard heard = {.rows_wanted = -1};
    char *copy = malloc(length ? length : 1); /* of just the size, for the sanitizer */
    memcpy(copy, text, length);
    enum sg_status status = sg_csv_read("list.csv", copy, length, separator, hear, &heard, used, &error);
    free(copy);
    if (status == SG_OK)
        snprintf(result, sizeof result, "%s", heard.text.data ? heard.text.data : "");
    else
        snprintf(result, sizeof result, "!%d %s", (int)status, error.text);
    sg_text_free(&heard.text);
    return result;
}

#define BYTES(text) text, sizeof(text) - 1

static const struct good {
    const char *text;
    size_t length;
    char separator;
    const char *rows;
} good[] = {
    {BYTES(""), ',', ""},
    {BYTES("a,b\r\nc,d\r\n"), ',', "1[a][b] 2[c][d] "},
    {BYTES("a,b\nc,d"), ',', "1[a][b] 2[c][d] "},
    {BYTES("a,b\rc,d\r"), ',', "1[a][b] 2[c][d] "},
    {BYTES(" a , b\t\n"), ',', "1[ a ][ b\t] "},
    {BYTES("a,\n,\n"), ',', "1[a][] 2[][] "},
    {BYTES("a,"), ',', "1[a][] "},
    {BYTES("\n\r\n\ra\n\n\nb\r\r\nc"), ',', "4[a] 7[b] 9[c] "},
    {BYTES("\"a\nb\",c\nd,e\n"), ',', "1[a\nb][c] 3[d][e] "},
    {BYTES("\"a\r\nb\r\rc\",d\r\ne,f"), ',', "1[a\r\nb\r\rc][d] 5[e][f] "},
    {BYTES("x,\"\n\n\",y\nz"), ',', "1[x][\n\n][y] 4[z] "},
    {BYTES("\"\"\n\"\"\"\"\n\"a\"\"b\"\n"), ',', "1[] 2[\"] 3[a\"b] "},
    {BYTES("\"a,b\",c;d\n"), ',', "1[a,b][c;d] "},
    {BYTES("a,b;c\n"), ';', "1[a,b][c] "},
    {BYTES("a\tb,c\n\t\n"), '\t', "1[a][b,c] 2[][] "},
    {BYTES("\"a\""), ',', "1[a] "},
    {BYTES("'=1,-2\n"), ',', "1['=1][-2] "}, /* the guard stays on */
};

START_TEST(reads_rows_with_their_lines)
{
    ck_assert_str_eq(rows_of(good[_i].text, good[_i].length, good[_i].separator, NULL), good[_i].rows);
}
END_TEST

static const struct found {
    const char *text;
    char separator;
} found[] = {
    {"a,b;c,d\n;;;;;;", ','},
    {"a;b,c;d\n,,,,,", ';'},
    {"a\tb\tc,d", '\t'},
    {"alone", ','},
    {"", ','},
    {"\n\r\na;b", ';'},
    {"a,b;c", ','}, /* as many: the comma */
    {"\",,,,\";b\n", ';'},
    {"\"x\n,,,\n\";b\n,,", ';'},
    {"\"a\"\",\"\",\";b", ';'},
};

START_TEST(finds_the_separator_in_the_first_line_outside_quotes)
{
    char used = 0;
    rows_of(found[_i].text, strlen(found[_i].text), 0, &used);
    ck_assert_int_eq(used, found[_i].separator);
}
END_TEST

static const struct bad {
    const char *text;
    size_t length;
    const char *place, *says;
} bad[] = {
    {BYTES("a,b\nc,1/2\"\n"), "list.csv:2: ", "quote inside a cell that does not begin with one"},
    {BYTES("a\n\"b\" ,c\n"), "list.csv:2: ", "text after the closing quote"},
    {BYTES("a\n\"b\nc\nd\"e\n"), "list.csv:4: ", "(in the row that begins in line 2)"},
    {BYTES("a\nb\n\"c\nd\n"), "list.csv:3: ", "never closed"},
    {BYTES("\""), "list.csv:1: ", "never closed"},
    {BYTES("a\nb\0c\n"), "list.csv:2: ", "NUL"},
};

START_TEST(what_is_no_such_text_is_refused_with_its_line)
{
    const char *rows = rows_of(bad[_i].text, bad[_i].length, ',', NULL);
    ck_assert_int_eq(strncmp(rows, "!3 ", 3), 0);
    ck_assert_msg(strncmp(rows + 3, bad[_i].place, strlen(bad[_i].place)) == 0, "%s", rows);
    ck_assert_msg(strstr(rows, bad[_i].says), "%s", rows);
}
END_TEST

static char *filled(const char *before, char fill, size_t count, const char *after, size_t *length)
{
    *length = strlen(before) + count + strlen(after);
    char *text = malloc(*length + 1);
    size_t start = strlen(before);
    memcpy(text, before, start);
    memset(text + start, fill, count);
    strcpy(text + start + count, after);
    return text;
}

static bool count_row(void *context, const struct sg_csv_row *row)
{
    (void)row;
    ++*(int *)context;
    return true;
}

static enum sg_status read_filled(const char *before, char fill, size_t count, const char *after, int *rows)
{
    size_t length;
    char *text = filled(before, fill, count, after, &length);
    *rows = 0;
    enum sg_status status = sg_csv_read("f", text, length, ',', count_row, rows, NULL, &error);
    free(text);
    return status;
}

START_TEST(a_cell_has_at_most_100000_bytes)
{
    int rows;
    ck_assert_int_eq(read_filled("a\nb,", 'x', SG_CSV_MAX_CELL, "\n", &rows), SG_OK);
    ck_assert_int_eq(rows, 2);
    ck_assert_int_eq(read_filled("a\nb,", 'x', SG_CSV_MAX_CELL + 1, "\n", &rows), SG_BAD_DATA);
    ck_assert_str_eq(error.text, "f:2: a cell of more than 100000 bytes");
    ck_assert_int_eq(read_filled("a\n\"", '\n', SG_CSV_MAX_CELL, "\"\n", &rows), SG_OK);
    ck_assert_int_eq(read_filled("a\n\"", '\n', SG_CSV_MAX_CELL + 1, "\"\n", &rows), SG_BAD_DATA);
    ck_assert_str_eq(error.text, "f:2: a cell of more than 100000 bytes");
}
END_TEST

START_TEST(a_quote_left_open_in_a_large_file_stops_early)
{
    int rows;
    ck_assert_int_eq(read_filled("a\n\n\"", '\n', 50000000, "", &rows), SG_BAD_DATA);
    ck_assert_str_eq(error.text, "f:3: a cell of more than 100000 bytes: is a quote left open?");
    ck_assert_int_eq(read_filled("a\n\n\"", 'x', 50000000, "", &rows), SG_BAD_DATA);
    ck_assert_str_eq(error.text, "f:3: a cell of more than 100000 bytes: is a quote left open?");
}
END_TEST

START_TEST(a_row_has_at_most_256_cells)
{
    int rows;
    ck_assert_int_eq(read_filled("a\n", ',', SG_CSV_MAX_FIELDS - 1, "\n", &rows), SG_OK);
    ck_assert_int_eq(rows, 2);
    ck_assert_int_eq(read_filled("a\n", ',', SG_CSV_MAX_FIELDS, "\n", &rows), SG_BAD_DATA);
    ck_assert_str_eq(error.text, "f:2: more than 256 cells in a row");
}
END_TEST

START_TEST(a_file_has_at_most_1000000_rows)
{
    size_t rows_asked[] = {SG_CSV_MAX_ROWS, SG_CSV_MAX_ROWS + 1};
    for (int i = 0; i < 2; i++) {
        struct sg_text text = {0};
        int rows = 0;
        for (size_t k = 0; k < rows_asked[i]; k++)
            sg_text_put(&text, "x\n");
        enum sg_status status = sg_csv_read("f", text.data, text.length, ',', count_row, &rows, NULL, &error);
        ck_assert_int_eq(status, i == 0 ? SG_OK : SG_BAD_DATA);
        ck_assert_int_eq(rows, SG_CSV_MAX_ROWS);
        sg_text_free(&text);
    }
    ck_assert_str_eq(error.text, "f:1000001: more than 1000000 rows");
}
END_TEST

START_TEST(the_callback_may_stop)
{
    struct heard heard = {.rows_wanted = 2};
    const char *text = "a\nb\nc\n\"wrong";
    ck_assert_int_eq(sg_csv_read("f", text, strlen(text), ',', hear, &heard, NULL, &error), SG_OK);
    ck_assert_str_eq(heard.text.data, "1[a] 2[b] ");
    sg_text_free(&heard.text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("csv_read");
    TCase *tests = tcase_create("csv_read");
    tcase_add_loop_test(tests, reads_rows_with_their_lines, 0, sizeof good / sizeof *good);
    tcase_add_loop_test(tests, finds_the_separator_in_the_first_line_outside_quotes, 0,
                        sizeof found / sizeof *found);
    tcase_add_loop_test(tests, what_is_no_such_text_is_refused_with_its_line, 0, sizeof bad / sizeof *bad);
    tcase_add_test(tests, a_cell_has_at_most_100000_bytes);
    tcase_add_test(tests, a_quote_left_open_in_a_large_file_stops_early);
    tcase_add_test(tests, a_row_has_at_most_256_cells);
    tcase_add_test(tests, a_file_has_at_most_1000000_rows);
    tcase_add_test(tests, the_callback_may_stop);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
