#include "exchange/exchange.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sg_error error;

/* The text that bytes become, "!" and the reason where they are refused. */
static char *decoded(const char *bytes, size_t length, const char *name, const char **used)
{
    static char result[1000];
    char *copy = malloc(length ? length : 1), *out = NULL; /* of just the size, for the sanitizer */
    size_t out_length = 0;
    memcpy(copy, bytes, length);
    enum sg_status status = sg_decode(copy, length, name, &out, &out_length, used, &error);
    free(copy);
    if (status == SG_OK) {
        ck_assert_uint_eq(strlen(out), out_length);
        snprintf(result, sizeof result, "%s", out);
    } else {
        ck_assert_ptr_null(out);
        snprintf(result, sizeof result, "!%s", error.text);
    }
    free(out);
    return result;
}

#define BYTES(text) text, sizeof(text) - 1

static const struct good {
    const char *bytes;
    size_t length;
    const char *name, *text, *used;
} good[] = {
    {BYTES("part,name\n"), NULL, "part,name\n", "utf-8"},
    {BYTES(""), NULL, "", "utf-8"},
    {BYTES("\xEF\xBB\xBFpart"), NULL, "part", "utf-8"},
    {BYTES("\xEF\xBB\xBFpart"), "UTF-8", "part", "utf-8"},
    {BYTES("\xEF\xBB\xBF\xEF\xBB\xBFx"), NULL, "\xEF\xBB\xBFx", "utf-8"}, /* one mark only */
    {BYTES("gr\xC3\xBC\xC3\x9F \xF0\x9F\x98\x80 \xE2\x82\xAC"), NULL,
     "gr\xC3\xBC\xC3\x9F \xF0\x9F\x98\x80 \xE2\x82\xAC", "utf-8"},
    /* 0x80 is the euro sign, 0x96 an en dash, 0xFC u with two dots in Windows-1252 */
    {BYTES("\x80 5\x96"
           "6 \xFC"),
     NULL,
     "\xE2\x82\xAC 5\xE2\x80\x93"
     "6 \xC3\xBC",
     "windows-1252"},
    {BYTES("\xFC"), "Windows-1252", "\xC3\xBC", "windows-1252"},
    {BYTES("\x81\xFC"), "LATIN-1", "\xC2\x81\xC3\xBC", "latin-1"},
    {BYTES("\xFF\xFEp\0\xFC\0"), NULL, "p\xC3\xBC", "utf-16le"},
    {BYTES("\xFE\xFF\0p\0\xFC"), NULL, "p\xC3\xBC", "utf-16be"},
    {BYTES("p\0a\0r\0t\0"), NULL, "part", "utf-16le"},
    {BYTES("\0p\0a\0r\0t"), NULL, "part", "utf-16be"},
    {BYTES("\xFF\xFEp\0"), "utf-16", "p", "utf-16le"},
    {BYTES("\xFE\xFF\0p"), "UTF-16", "p", "utf-16be"},
    {BYTES("\0p\0a"), "utf-16", "pa", "utf-16be"},
    {BYTES("\x2D\x4E"), "utf-16", "\xE4\xB8\xAD", "utf-16le"}, /* U+4E2D, no mark, no zero */
    {BYTES("\x4E\x2D"), "utf-16be", "\xE4\xB8\xAD", "utf-16be"},
    {BYTES("\xFE\xFF\x4E\x2D"), "utf-16be", "\xE4\xB8\xAD", "utf-16be"},
    {BYTES("\x3D\xD8\x00\xDE"), "utf-16le", "\xF0\x9F\x98\x80",
     "utf-16le"}, /* a pair of surrogates, U+1F600 */
    {BYTES("a\0\r\0\n\0\x01\x01,\0b\0"), NULL, "a\r\n\xC4\x81,b", "utf-16le"},
};

START_TEST(turns_into_utf8)
{
    const struct good *row = &good[_i];
    const char *used = NULL;
    ck_assert_str_eq(decoded(row->bytes, row->length, row->name, &used), row->text);
    ck_assert_str_eq(used, row->used);
}
END_TEST

static const struct bad {
    const char *bytes;
    size_t length;
    const char *name, *says[2];
} bad[] = {
    {BYTES("a\nb\n\x81x"), NULL, {"0x81 at offset 4, line 3", "neither UTF-8 nor Windows-1252"}},
    {BYTES("a\r\nb\rc\n\xFC"), "utf-8", {"0xFC at offset 7, line 4", "not valid utf-8"}},
    {BYTES("\xEF\xBB\xBF\xFC"), NULL, {"0xFC at offset 3, line 1", "not valid utf-8"}},
    {BYTES("\xC0\xAF"), "utf-8", {"offset 0", "utf-8"}},         /* too long for '/' */
    {BYTES("\xE0\x80\xAF"), "utf-8", {"offset 0", "utf-8"}},     /* the same in three */
    {BYTES("\xF0\x80\x80\xAF"), "utf-8", {"offset 0", "utf-8"}}, /* in four */
    {BYTES("x\xED\xA0\x80"), "utf-8", {"offset 1", "utf-8"}},    /* a surrogate */
    {BYTES("\xF4\x90\x80\x80"), "utf-8", {"offset 0", "utf-8"}}, /* over U+10FFFF */
    {BYTES("\xF5\x80\x80\x80"), "utf-8", {"offset 0", "utf-8"}},
    {BYTES("ab\xE2\x82"), "utf-8", {"offset 2", "utf-8"}}, /* cut */
    {BYTES("ab\xE2\x82"
           "c"),
     "utf-8",
     {"offset 2", "utf-8"}},
    {BYTES("ab\x80"), "utf-8", {"offset 2", "utf-8"}},
    {BYTES("a\nb\0c"), NULL, {"NUL character in line 2", "utf-8"}},
    {BYTES("a\0"), "windows-1252", {"NUL character in line 1", "windows-1252"}},
    {BYTES("\xFF\xFEp\0\0\0"), NULL, {"NUL character in line 1", "utf-16le"}},
    {BYTES("\xFF\xFEp\0x"), NULL, {"offset 4, line 1", "not valid utf-16le"}},         /* half a character */
    {BYTES("\xFF\xFE\n\0\x00\xDC"), NULL, {"offset 4, line 2", "not valid utf-16le"}}, /* lone surrogate */
    {BYTES("x"), "ebcdic", {"\"ebcdic\"", "utf-8, utf-16, utf-16le, utf-16be, windows-1252 or latin-1"}},
};

START_TEST(refuses_with_the_place)
{
    const struct bad *row = &bad[_i];
    const char *used = "untouched", *text = decoded(row->bytes, row->length, row->name, &used);
    ck_assert_int_eq(text[0], '!');
    for (int i = 0; i < 2; i++)
        ck_assert_msg(strstr(text, row->says[i]), "\"%s\" not in \"%s\"", row->says[i], text);
    ck_assert_str_eq(used, "untouched");
}
END_TEST

/* Every code point, against the definition of UTF-8: its encoding is one valid character, no shorter cut of
 * it is, and the surrogates are none. */
START_TEST(every_code_point_is_one_valid_character)
{
    for (unsigned code = 0; code < 0x110000; code++) {
        char text[4];
        size_t length = code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
        static const unsigned lead[] = {0, 0, 0xC0, 0xE0, 0xF0};
        unsigned rest = code;
        for (size_t i = length - 1; i > 0; i--, rest >>= 6)
            text[i] = (char)(0x80 | (rest & 0x3F));
        text[0] = (char)(lead[length] | rest);
        bool surrogate = code >= 0xD800 && code < 0xE000;
        uint32_t found = code + 1;
        if (sg_utf8_character(text, 4, &found) != (surrogate ? 0 : length) || (!surrogate && found != code) ||
            sg_utf8_character(text, length - 1, NULL) != 0)
            ck_abort_msg("U+%04X", code);
    }
}
END_TEST

/* The eight-bytes-at-once way through plain text must not step over it. */
START_TEST(a_bad_byte_is_found_wherever_it_stands)
{
    for (int at = 0; at < 40; at++) {
        char text[41];
        memset(text, 'a', 40);
        text[at] = '\xFF';
        char expected[40];
        snprintf(expected, sizeof expected, "offset %d,", at);
        ck_assert_ptr_nonnull(strstr(decoded(text, 40, "utf-8", NULL), expected));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("decode");
    TCase *tests = tcase_create("decode");
    tcase_add_loop_test(tests, turns_into_utf8, 0, sizeof good / sizeof *good);
    tcase_add_loop_test(tests, refuses_with_the_place, 0, sizeof bad / sizeof *bad);
    tcase_add_test(tests, every_code_point_is_one_valid_character);
    tcase_add_test(tests, a_bad_byte_is_found_wherever_it_stands);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
