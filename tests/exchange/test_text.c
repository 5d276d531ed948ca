#include "exchange/exchange.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

START_TEST(grows_and_ends_in_nul)
{
    struct sg_text text = {0};
    for (int i = 0; i < 10000; i++)
        sg_text_put(&text, "ab");
    sg_text_add(&text, "c\0d", 3);
    ck_assert(!text.failed);
    ck_assert_uint_eq(text.length, 20003);
    ck_assert_int_eq(memcmp(text.data + 19998, "abc\0d", 6), 0);
    sg_text_free(&text);
    ck_assert_ptr_null(text.data);
}
END_TEST

START_TEST(adding_nothing_makes_an_empty_string)
{
    struct sg_text text = {0};
    sg_text_add(&text, NULL, 0);
    ck_assert_str_eq(text.data, "");
    sg_text_free(&text);
}
END_TEST

START_TEST(formats_longer_than_its_room)
{
    struct sg_text text = {0};
    char longer[5000];
    memset(longer, 'x', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    sg_text_format(&text, "%d|", 42);
    sg_text_format(&text, "%s|%s", longer, "end");
    ck_assert_uint_eq(text.length, 3 + 4999 + 4);
    ck_assert_int_eq(strncmp(text.data, "42|xxx", 6), 0);
    ck_assert_str_eq(text.data + text.length - 5, "x|end");
    sg_text_free(&text);
}
END_TEST

START_TEST(takes_nothing_more_once_memory_is_out)
{
    struct sg_text text = {0};
    sg_text_put(&text, "kept");
    sg_text_add(&text, "x", SIZE_MAX / 2); /* refused before a byte is read */
    ck_assert(text.failed);
    sg_text_put(&text, "more");
    sg_text_format(&text, "%d", 1);
    ck_assert(text.failed);
    ck_assert_str_eq(text.data, "kept");
    sg_text_free(&text);
}
END_TEST

START_TEST(shows_what_would_change_the_line_as_escapes)
{
    static const struct {
        const char *text, *shown;
        int most;
    } rows[] = {
        {"plain \xC3\xBC", "plain \xC3\xBC", 40},
        {"a\nb\r\tc", "a\\nb\\r\\tc", 40},
        {"\x1B[31m\x7F\xC2\x9B", "\\u001b[31m\\u007f\\u009b", 40},
        {"\xE2\x80\xAE"
         "fdp.\xE2\x81\xA6",
         "\\u202efdp.\\u2066", 40},
        {"\xFF\xC3", SG_REPLACEMENT SG_REPLACEMENT, 40},
        {SG_REPLACEMENT, SG_REPLACEMENT, 40},
        {"\xC3\xBC\xC3\xBC\xC3\xBC", "\xC3\xBC\xC3\xBC...", 2},
        {"\xC3\xBC\xC3\xBC", "\xC3\xBC\xC3\xBC", 2},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct sg_text text = {0};
        sg_text_shown(&text, rows[i].text, rows[i].most);
        ck_assert_str_eq(text.data, rows[i].shown);
        sg_text_free(&text);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("text");
    TCase *tests = tcase_create("text");
    tcase_add_test(tests, grows_and_ends_in_nul);
    tcase_add_test(tests, adding_nothing_makes_an_empty_string);
    tcase_add_test(tests, formats_longer_than_its_room);
    tcase_add_test(tests, takes_nothing_more_once_memory_is_out);
    tcase_add_test(tests, shows_what_would_change_the_line_as_escapes);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
