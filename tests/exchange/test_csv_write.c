#include "exchange/exchange.h"
#include "support/random.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static struct sg_error error;

static struct random series = {0x2545f4914f6cdd1du};

static unsigned below(unsigned n)
{
    return random_below(&series, n);
}

/* ---- the guard ---- */

static const struct guard {
    const char *cell, *guarded;
} guards[] = {
    {"", ""},
    {"plate", "plate"},
    {"=1+1", "'=1+1"},
    {"@SUM(1)", "'@SUM(1)"},
    {"+1+1", "'+1+1"},
    {"-A", "'-A"},
    {"\tx", "\"'\tx\""},
    {"\rx", "\"'\rx\""},
    {"\nx", "\"'\nx\""},
    {"\xEF\xBC\x9D"
     "1",
     "'\xEF\xBC\x9D"
     "1"}, /* U+FF1D */
    {"\xEF\xBC\x8B"
     "1",
     "'\xEF\xBC\x8B"
     "1"}, /* U+FF0B */
    {"\xEF\xBC\x8D"
     "1",
     "'\xEF\xBC\x8D"
     "1"}, /* U+FF0D */
    {"\xEF\xBC\xA0"
     "1",
     "'\xEF\xBC\xA0"
     "1"}, /* U+FF20 */
    {"\xEF\xBC\x9E"
     "1",
     "\xEF\xBC\x9E"
     "1"}, /* U+FF1E, a full-width > */
    {"-12.5", "-12.5"},
    {"+3", "+3"},
    {"-1e5", "-1e5"},
    {"-1E-05", "-1E-05"},
    {"+.5", "+.5"},
    {"-5.", "-5."},
    {"-", "'-"},
    {"-.", "'-."},
    {"-e5", "'-e5"},
    {"-1e", "'-1e"},
    {"-1e+", "'-1e+"},
    {"-1,5", "\"'-1,5\""},
    {"-1 ", "\"'-1 \""},
    {"-1mm", "'-1mm"},
    {"--1", "'--1"},
    {"-0x1", "'-0x1"},
    {"-inf", "'-inf"},
    {"'", "'"},
    {"'abc", "'abc"},
    {"'=1", "''=1"},
    {"''=1", "'''=1"},
    {"'-12.5", "''-12.5"}, /* the whole cell is no plain number */
    {" =1", "\" =1\""},
    {"1=1", "1=1"},
};

START_TEST(guards_what_a_spreadsheet_would_run)
{
    struct sg_text text = {0};
    sg_csv_text(&text, &sg_csv_plain, guards[_i].cell);
    sg_text_put(&text, "");
    ck_assert_str_eq(text.data, guards[_i].guarded);
    sg_text_free(&text);
}
END_TEST

static const struct guard unguards[] = {
    {"=1", "'=1"},        {"'=1", "''=1"}, {"'-12.5", "'-12.5"}, {"'abc", "'abc"},      {"'", "'"},
    {"''", "''"},         {"=1", "=1"},    {"-A", "'-A"},        {"'-12.5", "''-12.5"}, {"", ""},
    {"'00123", "'00123"},
};

START_TEST(takes_exactly_one_guard_off_where_it_was_put)
{
    ck_assert_str_eq(sg_csv_unguard(unguards[_i].guarded), unguards[_i].cell);
}
END_TEST

/* ---- quotes, rows ---- */

START_TEST(quotes_only_where_needed)
{
    static const char *const rows[][2] = {
        {"a;b", "a;b"},       {"a,b", "\"a,b\""}, {"a\"b", "\"a\"\"b\""}, {"a\nb", "\"a\nb\""},
        {"a\rb", "\"a\rb\""}, {" a", "\" a\""},   {"a\t", "\"a\t\""},     {"a b", "a b"},
        {"\"", "\"\"\"\""},   {"a\tb", "a\tb"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct sg_text text = {0};
        sg_csv_text(&text, &sg_csv_plain, rows[i][0]);
        ck_assert_str_eq(text.data, rows[i][1]);
        sg_text_free(&text);
    }
}
END_TEST

START_TEST(a_row_in_both_styles)
{
    const struct sg_csv_style *styles[] = {&sg_csv_plain, &sg_csv_spreadsheet};
    const char *expected[] = {"A;1,-2.5,,7,\r\n", "\"A;1\";-2,5;;7;\r\n"};
    for (int i = 0; i < 2; i++) {
        struct sg_text text = {0};
        sg_csv_text(&text, styles[i], "A;1");
        sg_csv_next(&text, styles[i]);
        sg_csv_number(&text, styles[i], -2.5);
        sg_csv_next(&text, styles[i]);
        sg_csv_number(&text, styles[i], (double)NAN);
        sg_csv_next(&text, styles[i]);
        sg_csv_whole(&text, styles[i], 7);
        sg_csv_next(&text, styles[i]);
        sg_csv_number(&text, styles[i], (double)INFINITY);
        sg_csv_end(&text);
        ck_assert_str_eq(text.data, expected[i]);
        sg_text_free(&text);
    }
}
END_TEST

/* ---- numbers ---- */

static const struct number {
    double value;
    const char *text;
} numbers[] = {
    {0, "0"},
    {1, "1"},
    {-1.5, "-1.5"},
    {0.1, "0.1"},
    {0.1 + 0.2, "0.30000000000000004"},
    {1e-6, "0.000001"},
    {1.25e-5, "0.0000125"},
    {12345.678, "12345.678"},
    {1e15, "1000000000000000"},
    {999999999999999.9, "999999999999999.9"},
    {123456789012345.0, "123456789012345"},
    {-0.00012345678901234567, "-0.00012345678901234567"},
    {1e-7, "1e-07"},
    {1e300, "1e+300"},
};

START_TEST(numbers_are_spelled_out)
{
    struct sg_text text = {0};
    sg_csv_number(&text, &sg_csv_plain, numbers[_i].value);
    ck_assert_str_eq(text.data, numbers[_i].text);
    sg_text_free(&text);
}
END_TEST

/* Over the range of sizes in which no exponent is wanted. */
START_TEST(numbers_read_back_to_the_same_bits)
{
    for (int i = 0; i < 200000; i++) {
        double value = random_unit(&series);
        value *= pow(10, (int)below(21) - 5);
        value = below(4) ? value : round(value * 1000) / 1000;
        if (value < 1e-6 || value > 1e15)
            continue;
        struct sg_text text = {0};
        sg_csv_number(&text, &sg_csv_plain, value);
        if (strtod(text.data, NULL) != value || strchr(text.data, 'e'))
            ck_abort_msg("%a: %s", value, text.data);
        sg_text_free(&text);
    }
}
END_TEST

/* ---- import(export(x)) = x ---- */

static void random_cell(char *out)
{
    static const char *const pieces[] = {
        "'",
        "'",
        "\"",
        ",",
        ";",
        "\t",
        "\r",
        "\n",
        "\r\n",
        "=",
        "+",
        "-",
        "@",
        ".",
        "1",
        "0",
        "e",
        "E",
        " ",
        "a",
        "\xC3\xBC",
        "\xEF\xBC\x9D",
        "\xEF\xBC\x8B",
        "\xEF\xBC\x8D",
        "\xEF\xBC\xA0",
        "\xEF\xBC\x9E",
        "\xEF\xBB\xBF",
    };
    size_t length = below(9);
    out[0] = '\0';
    for (size_t i = 0; i < length; i++)
        strcat(out, pieces[below(sizeof pieces / sizeof *pieces)]);
}

enum { COLUMNS = 4, ROWS = 25000, CELL = 9 * 3 + 1 };

struct expected {
    char (*cells)[CELL];
    int rows;
};

static bool compare_row(void *context, const struct sg_csv_row *row)
{
    struct expected *expected = context;
    ck_assert_int_eq(row->n_cells, COLUMNS);
    for (int i = 0; i < COLUMNS; i++)
        ck_assert_str_eq(sg_csv_unguard(row->cells[i]), expected->cells[expected->rows * COLUMNS + i]);
    expected->rows++;
    return true;
}

START_TEST(a_hundred_thousand_texts_come_back_as_they_went)
{
    const struct sg_csv_style *style = _i ? &sg_csv_spreadsheet : &sg_csv_plain;
    struct expected expected = {calloc((size_t)ROWS * COLUMNS, CELL), 0};
    struct sg_text text = {0};
    for (int i = 0; i < ROWS * COLUMNS; i++) {
        random_cell(expected.cells[i]);
        sg_csv_text(&text, style, expected.cells[i]);
        if (i % COLUMNS == COLUMNS - 1)
            sg_csv_end(&text);
        else
            sg_csv_next(&text, style);
    }
    ck_assert_int_eq(
        sg_csv_read("f", text.data, text.length, style->separator, compare_row, &expected, NULL, &error),
        SG_OK);
    ck_assert_int_eq(expected.rows, ROWS);
    sg_text_free(&text);
    free(expected.cells);
}
END_TEST

static bool one_empty_cell(void *context, const struct sg_csv_row *row)
{
    ck_assert_int_eq(row->n_cells, 1);
    ck_assert_str_eq(row->cells[0], "");
    ++*(int *)context;
    return true;
}

START_TEST(a_row_of_one_empty_cell_is_no_blank_line)
{
    struct sg_text text = {0};
    int rows = 0;
    for (int i = 0; i < 2; i++) {
        sg_csv_text(&text, &sg_csv_plain, "");
        sg_csv_end(&text);
    }
    ck_assert_int_eq(sg_csv_read("f", text.data, text.length, ',', one_empty_cell, &rows, NULL, &error),
                     SG_OK);
    ck_assert_int_eq(rows, 2);
    sg_text_free(&text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("csv_write");
    TCase *tests = tcase_create("csv_write");
    tcase_add_loop_test(tests, guards_what_a_spreadsheet_would_run, 0, sizeof guards / sizeof *guards);
    tcase_add_loop_test(tests, takes_exactly_one_guard_off_where_it_was_put, 0,
                        sizeof unguards / sizeof *unguards);
    tcase_add_test(tests, quotes_only_where_needed);
    tcase_add_test(tests, a_row_in_both_styles);
    tcase_add_loop_test(tests, numbers_are_spelled_out, 0, sizeof numbers / sizeof *numbers);
    tcase_add_test(tests, numbers_read_back_to_the_same_bits);
    tcase_add_loop_test(tests, a_hundred_thousand_texts_come_back_as_they_went, 0, 2);
    tcase_add_test(tests, a_row_of_one_empty_cell_is_no_blank_line);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
