#include "exchange/exchange.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sg_text text;
static struct sg_json json;

static void begin(void)
{
    text = (struct sg_text){0};
    sg_json_start(&json, &text);
}

static void expect(const char *inside)
{
    char expected[2000];
    sg_json_finish(&json);
    snprintf(expected, sizeof expected, "{\"format\": 1%s}\n", inside);
    ck_assert_str_eq(text.data, expected);
    ck_assert_int_eq(json.depth, 0);
    sg_text_free(&text);
}

START_TEST(an_object_begins_with_its_format)
{
    begin();
    expect("");
}
END_TEST

START_TEST(puts_commas_and_names)
{
    begin();
    sg_json_text(&json, "a", "x");
    sg_json_array(&json, "list");
    sg_json_whole(&json, NULL, -3);
    sg_json_yes(&json, NULL, true);
    sg_json_yes(&json, NULL, false);
    sg_json_null(&json, NULL);
    sg_json_object(&json, NULL);
    sg_json_number(&json, "n", 2.5);
    sg_json_text(&json, "none", NULL);
    sg_json_end_object(&json);
    sg_json_array(&json, NULL);
    sg_json_end_array(&json);
    sg_json_end_array(&json);
    sg_json_object(&json, "o");
    sg_json_end_object(&json);
    sg_json_whole(&json, "last", INT64_MIN);
    expect(", \"a\": \"x\", \"list\": [-3, true, false, null, {\"n\": 2.5, \"none\": null}, []], \"o\": {}, "
           "\"last\": -9223372036854775808");
}
END_TEST

START_TEST(escapes_texts_and_names)
{
    begin();
    sg_json_text(&json, "q\"\n", "a\"b\\c/d\b\f\n\r\t\x01\x1f\x7f \xC3\xBC \xE2\x80\xAE");
    expect(", \"q\\\"\\n\": \"a\\\"b\\\\c/d\\b\\f\\n\\r\\t\\u0001\\u001f\x7f \xC3\xBC \xE2\x80\xAE\"");
}
END_TEST

/* Each byte that does not begin a valid character is one U+FFFD; what follows it is looked at anew. */
START_TEST(bytes_that_are_no_utf8_become_fffd)
{
    static const char *const rows[][2] = {
        {"\xFF", "\xEF\xBF\xBD"},
        {"a\xC3", "a\xEF\xBF\xBD"},
        {"\xC3(", "\xEF\xBF\xBD("},
        {"\xC0\xAF", "\xEF\xBF\xBD\xEF\xBF\xBD"},
        {"\xED\xA0\x80", "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"},
        {"\xF0\x9F\x98\x80\x80", "\xF0\x9F\x98\x80\xEF\xBF\xBD"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char expected[100];
        begin();
        sg_json_text(&json, "t", rows[i][0]);
        snprintf(expected, sizeof expected, ", \"t\": \"%s\"", rows[i][1]);
        expect(expected);
    }
}
END_TEST

static const struct number {
    double value;
    const char *text;
} numbers[] = {
    {0.1, "0.1"},
    {0.1 + 0.2, "0.30000000000000004"},
    {1e300, "1e+300"},
    {-0.0, "-0"},
    {2.2250738585072014e-308, "2.2250738585072014e-308"},
    {1.0 / 3, "0.3333333333333333"},
    {100, "100"},
    {1e22, "1e+22"},
    {(double)NAN, "null"},
    {(double)INFINITY, "null"},
    {-(double)INFINITY, "null"},
};

START_TEST(numbers_are_as_short_as_they_can_be)
{
    char expected[100];
    begin();
    sg_json_number(&json, "n", numbers[_i].value);
    snprintf(expected, sizeof expected, ", \"n\": %s", numbers[_i].text);
    expect(expected);
}
END_TEST

START_TEST(any_bits_read_back)
{
    uint64_t bits = 0x9e3779b97f4a7c15u;
    for (int i = 0; i < 200000; i++) {
        bits ^= bits << 13;
        bits ^= bits >> 7;
        bits ^= bits << 17;
        double value, back;
        char digits[32];
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value))
            continue;
        ck_assert_int_lt(sg_shortest(value, digits, sizeof digits), (int)sizeof digits);
        back = strtod(digits, NULL);
        ck_assert_int_eq(memcmp(&back, &value, sizeof back), 0);
    }
}
END_TEST

START_TEST(goes_thirty_levels_deep)
{
    begin();
    for (int i = 0; i < 30; i++)
        sg_json_array(&json, i ? NULL : "a");
    for (int i = 0; i < 30; i++)
        sg_json_end_array(&json);
    expect(", \"a\": [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("json");
    TCase *tests = tcase_create("json");
    tcase_add_test(tests, an_object_begins_with_its_format);
    tcase_add_test(tests, puts_commas_and_names);
    tcase_add_test(tests, escapes_texts_and_names);
    tcase_add_test(tests, bytes_that_are_no_utf8_become_fffd);
    tcase_add_loop_test(tests, numbers_are_as_short_as_they_can_be, 0, sizeof numbers / sizeof *numbers);
    tcase_add_test(tests, any_bits_read_back);
    tcase_add_test(tests, goes_thirty_levels_deep);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
