/* Cells: how wide a text is, where it is cut, what becomes of characters that terminals draw in their own
 * way. */
#include "tui/canvas.h"

#include "support/random.h"

#include <check.h>
#include <locale.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KANJI "\xE6\x97\xA5"      /* U+65E5, two columns */
#define ACUTE "\xCC\x81"          /* U+0301, on what stands before it */
#define JOINER "\xE2\x80\x8D"     /* U+200D */
#define ROCKET "\xF0\x9F\x9A\x80" /* U+1F680, two columns */
#define TONE "\xF0\x9F\x8F\xBD"   /* U+1F3FD */
#define FLAG_D "\xF0\x9F\x87\xA9" /* regional indicator D */
#define LOST "\xEF\xBF\xBD"       /* U+FFFD */

static struct sg_canvas canvas;
static char row_text[400];

static void blank_canvas(void)
{
    ck_assert(sg_canvas_clear(&canvas, 3, 10));
}

static void free_canvas(void)
{
    sg_canvas_free(&canvas);
}

static const char *row(int at)
{
    sg_canvas_row(&canvas, at, row_text, sizeof row_text);
    return row_text;
}

static const struct {
    const char *text;
    const char *shown;
    int columns;
} widths[] = {
    {"", "", 0},
    {"plate", "plate", 5},
    {KANJI KANJI, KANJI KANJI, 4},
    {"e" ACUTE "t", "e" ACUTE "t", 2},
    {ACUTE "t", " " ACUTE "t", 2},            /* a mark that has nothing to stand on */
    {ROCKET JOINER ROCKET, ROCKET ROCKET, 4}, /* joined ones are drawn apart */
    {"\xF0\x9F\x91\x8B" TONE "!", "\xF0\x9F\x91\x8B!", 3},
    {"\xE2\x9D\xA4\xEF\xB8\x8F|", "\xE2\x9D\xA4|", 2}, /* U+2764 and the selector of its picture */
    {FLAG_D "\xF0\x9F\x87\xAA|", "DE|", 3},
    {JOINER, "", 0},
    {JOINER "a", "a", 1},
    {"a\tb", "a\\tb", 4},
    {"a\r\n", "a\\r\\n", 5},
    {"\x1B[2J", "\\u001b[2J", 9},
    {"\xE2\x80\xAE"
     "abc",
     "\\u202eabc", 9}, /* turns the direction of writing */
    {"\xC2\x9B", "\\u009b", 6},
    {"a\xFF\xC3", "a" LOST LOST, 3},
    {"\xED\xA0\x80", LOST LOST LOST, 3},   /* half of a pair is no character */
    {"sand\xC2\xADglass", "sandglass", 9}, /* U+00AD, a place to break */
    {"\xF4\x8F\xBF\xBF", LOST, 1},         /* U+10FFFF: nobody knows how wide */
};

START_TEST(texts_take_as_many_columns_as_they_are_shown_in)
{
    struct sg_canvas wide = {0};
    char shown[200];
    ck_assert(sg_canvas_clear(&wide, 1, 60));
    ck_assert_int_eq(sg_text_columns(widths[_i].text), widths[_i].columns);
    ck_assert_int_eq(sg_canvas_put(&wide, 0, 0, 60, SG_ROLE_TEXT, widths[_i].text), widths[_i].columns);
    sg_canvas_put(&wide, 0, widths[_i].columns, 1, SG_ROLE_TEXT, "$");
    ck_assert_int_eq(sg_canvas_row(&wide, 0, shown, sizeof shown), (int)strlen(widths[_i].shown) + 1);
    ck_assert_int_eq(strncmp(shown, widths[_i].shown, strlen(widths[_i].shown)), 0);
    ck_assert_str_eq(shown + strlen(widths[_i].shown), "$");
    sg_canvas_free(&wide);
}
END_TEST

START_TEST(a_cell_holds_a_character_and_four_marks)
{
    blank_canvas();
    ck_assert_int_eq(
        sg_canvas_put(&canvas, 0, 0, 10, SG_ROLE_TEXT, "a" ACUTE ACUTE ACUTE ACUTE ACUTE ACUTE ACUTE "b"), 2);
    ck_assert_str_eq(row(0), "a" ACUTE ACUTE ACUTE ACUTE "b");
    free_canvas();
}
END_TEST

START_TEST(the_first_character_takes_its_marks_along)
{
    int columns = -1;
    ck_assert_uint_eq(sg_text_next("e" ACUTE JOINER "t", &columns), 6);
    ck_assert_int_eq(columns, 1);
    ck_assert_uint_eq(sg_text_next("\t|", &columns), 1);
    ck_assert_int_eq(columns, 2);
    ck_assert_uint_eq(sg_text_next("", &columns), 0);
    ck_assert_int_eq(columns, 0);
}
END_TEST

START_TEST(what_stands_outside_is_cut)
{
    blank_canvas();
    ck_assert_int_eq(sg_canvas_put(&canvas, 0, 7, 10, SG_ROLE_TEXT, "abcdef"), 6);
    ck_assert_str_eq(row(0), "       abc");
    ck_assert_int_eq(sg_canvas_put(&canvas, 1, -2, 10, SG_ROLE_TEXT, "abcdef"), 6);
    ck_assert_str_eq(row(1), "cdef");
    ck_assert_int_eq(sg_canvas_put(&canvas, 2, 0, 3, SG_ROLE_TEXT, "abcdef"), 3);
    ck_assert_str_eq(row(2), "abc");
    sg_canvas_put(&canvas, -1, 0, 10, SG_ROLE_TEXT, "x");
    sg_canvas_put(&canvas, 3, 0, 10, SG_ROLE_TEXT, "x");
    sg_canvas_put(&canvas, 0, 0, -1, SG_ROLE_TEXT, "x");
    sg_canvas_fill(&canvas, 5, 0, 10, SG_ROLE_TEXT, "x");
    sg_canvas_paint(&canvas, 5, 0, 10, SG_ROLE_TEXT);
    ck_assert_str_eq(row(0), "       abc");
    ck_assert_str_eq(row(7), "");
    free_canvas();
}
END_TEST

START_TEST(half_a_wide_character_is_a_blank)
{
    blank_canvas();
    ck_assert_int_eq(sg_canvas_put(&canvas, 0, 0, 3, SG_ROLE_TEXT, KANJI KANJI "x"), 3);
    sg_canvas_put(&canvas, 0, 3, 1, SG_ROLE_TEXT, "|");
    ck_assert_str_eq(row(0), KANJI " |");
    sg_canvas_put(&canvas, 1, 9, 5, SG_ROLE_TEXT, KANJI); /* over the right edge */
    sg_canvas_put(&canvas, 1, -1, 5, SG_ROLE_TEXT, KANJI "a");
    ck_assert_str_eq(row(1), " a");
    free_canvas();
}
END_TEST

START_TEST(writing_over_half_of_a_wide_character_blanks_the_other)
{
    blank_canvas();
    for (int at = 0; at < 3; at++)
        sg_canvas_put(&canvas, at, 0, 10, SG_ROLE_TEXT, KANJI KANJI KANJI);
    sg_canvas_put(&canvas, 0, 1, 1, SG_ROLE_TEXT, "a");
    ck_assert_str_eq(row(0), " a" KANJI KANJI);
    sg_canvas_put(&canvas, 1, 2, 1, SG_ROLE_TEXT, "a");
    ck_assert_str_eq(row(1), KANJI "a " KANJI);
    sg_canvas_put(&canvas, 2, 1, 2, SG_ROLE_TEXT, ROCKET);
    ck_assert_str_eq(row(2), " " ROCKET " " KANJI);
    free_canvas();
}
END_TEST

START_TEST(fields)
{
    blank_canvas();
    sg_canvas_fill(&canvas, 0, 0, 10, SG_ROLE_TEXT, "-");
    sg_canvas_field(&canvas, 0, 1, 6, false, SG_ROLE_INPUT, "abc");
    ck_assert_str_eq(row(0), "-abc   ---");
    sg_canvas_field(&canvas, 0, 1, 6, true, SG_ROLE_RESULT, "12.5");
    ck_assert_str_eq(row(0), "-  12.5---");
    ck_assert_int_eq(canvas.cells[1].role, SG_ROLE_RESULT); /* the blanks belong to it */
    sg_canvas_field(&canvas, 0, 1, 6, false, SG_ROLE_INPUT, "abcdefg");
    ck_assert_str_eq(row(0), "-abcde~---");
    sg_canvas_field(&canvas, 0, 1, 6, false, SG_ROLE_INPUT, KANJI KANJI KANJI KANJI);
    ck_assert_str_eq(row(0), "-" KANJI KANJI " ~---");
    sg_canvas_field(&canvas, 0, 1, 6, true, SG_ROLE_RESULT, "1234567");
    ck_assert_str_eq(row(0), "-######---");
    sg_canvas_field(&canvas, 0, 1, 0, false, SG_ROLE_TEXT, "x");
    sg_canvas_field(&canvas, 0, 1, -3, true, SG_ROLE_TEXT, "x");
    ck_assert_str_eq(row(0), "-######---");
    free_canvas();
}
END_TEST

START_TEST(formats_are_cut_at_a_whole_character)
{
    struct sg_canvas wide = {0};
    char text[3000] = "", shown[4000];
    for (int i = 0; i < 600; i++)
        strcat(text, KANJI);
    for (int before = 0; before < 3; before++) { /* 1023 bytes fit: 341 of three, the last one cut or not */
        int whole = before ? 340 : 341;
        ck_assert(sg_canvas_clear(&wide, 1, 1000));
        sg_canvas_format(&wide, 0, 0, 1000, SG_ROLE_TEXT, "%.*s%s", before, "xx", text);
        ck_assert_int_eq(sg_canvas_row(&wide, 0, shown, sizeof shown), before + whole * 3);
        ck_assert_int_eq(strncmp(shown + before, text, (size_t)whole * 3), 0);
    }
    sg_canvas_free(&wide);
}
END_TEST

START_TEST(roles)
{
    blank_canvas();
    sg_canvas_put(&canvas, 0, 0, 10, SG_ROLE_WRONG, "a" KANJI "b");
    sg_canvas_paint(&canvas, 0, 1, 2, SG_ROLE_CURSOR);
    static const int wanted[] = {SG_ROLE_WRONG, SG_ROLE_CURSOR, SG_ROLE_CURSOR, SG_ROLE_WRONG, SG_ROLE_TEXT};
    for (int i = 0; i < 5; i++)
        ck_assert_int_eq(canvas.cells[i].role, wanted[i]);
    ck_assert_str_eq(row(0), "a" KANJI "b");
    sg_canvas_paint(&canvas, 0, -5, 100, SG_ROLE_LABEL);
    ck_assert_int_eq(canvas.cells[9].role, SG_ROLE_LABEL);
    ck_assert_int_eq(canvas.cells[10].role, SG_ROLE_TEXT);
    free_canvas();
}
END_TEST

START_TEST(a_new_size_is_blank)
{
    blank_canvas();
    sg_canvas_put(&canvas, 0, 0, 10, SG_ROLE_WRONG, "abc");
    canvas.cursor_row = canvas.cursor_column = 1;
    ck_assert(sg_canvas_clear(&canvas, 2, 4));
    ck_assert_str_eq(row(0), "");
    ck_assert_int_eq(canvas.cursor_row, -1);
    ck_assert_int_eq(canvas.rows, 2);
    ck_assert_int_eq(canvas.columns, 4);
    ck_assert(sg_canvas_clear(&canvas, 0, -3)); /* a terminal of no size */
    sg_canvas_put(&canvas, 0, 0, 10, SG_ROLE_TEXT, KANJI);
    ck_assert_str_eq(row(0), "");
    free_canvas();
}
END_TEST

START_TEST(a_row_says_how_long_it_is)
{
    char small[4];
    blank_canvas();
    sg_canvas_put(&canvas, 0, 0, 10, SG_ROLE_TEXT, "abc  de");
    ck_assert_int_eq(sg_canvas_row(&canvas, 0, small, sizeof small), 7);
    ck_assert_str_eq(small, "abc");
    ck_assert_int_eq(sg_canvas_row(&canvas, 0, NULL, 0), 7);
    free_canvas();
}
END_TEST

/* Whatever is put where: each row has as many columns as the canvas, and each right half has its left. */
START_TEST(cells_always_fit_together)
{
    static const char *const pieces[] = {KANJI, "a",    "e" ACUTE, ROCKET TONE, FLAG_D,
                                         "\t",  "\xFF", "   ",     ACUTE};
    struct random random = {1};
    blank_canvas();
    for (int i = 0; i < 20000; i++) {
        char text[80] = "";
        for (int n = 0; n < 4; n++)
            strcat(text, pieces[random_below(&random, 9)]);
        int at = (int)random_below(&random, 5) - 1, column = (int)random_below(&random, 17) - 4;
        if (random_below(&random, 4) == 0)
            sg_canvas_field(&canvas, at, column, (int)random_below(&random, 10) - 1, i & 1, SG_ROLE_TEXT,
                            text);
        else
            sg_canvas_put(&canvas, at, column, (int)random_below(&random, 10) - 1, SG_ROLE_TEXT, text);
        for (int cell = 0; cell < 30; cell++) {
            const struct sg_cell *here = &canvas.cells[cell];
            bool right = cell % 10 > 0 && here[-1].width == 2;
            ck_assert_int_eq(here->width == 0, right);
            ck_assert(here->width < 2 || cell % 10 < 9);
            ck_assert_int_eq(here->text[0] == '\0', here->width == 0);
        }
    }
    free_canvas();
}
END_TEST

static Suite *suite(void)
{
    Suite *made = suite_create("canvas");
    TCase *texts = tcase_create("texts"), *cells = tcase_create("cells");
    tcase_add_loop_test(texts, texts_take_as_many_columns_as_they_are_shown_in, 0,
                        (int)(sizeof widths / sizeof *widths));
    tcase_add_test(texts, a_cell_holds_a_character_and_four_marks);
    tcase_add_test(texts, the_first_character_takes_its_marks_along);
    tcase_add_test(cells, what_stands_outside_is_cut);
    tcase_add_test(cells, half_a_wide_character_is_a_blank);
    tcase_add_test(cells, writing_over_half_of_a_wide_character_blanks_the_other);
    tcase_add_test(cells, fields);
    tcase_add_test(cells, formats_are_cut_at_a_whole_character);
    tcase_add_test(cells, roles);
    tcase_add_test(cells, a_new_size_is_blank);
    tcase_add_test(cells, a_row_says_how_long_it_is);
    tcase_add_test(cells, cells_always_fit_together);
    suite_add_tcase(made, texts);
    suite_add_tcase(made, cells);
    return made;
}

int main(void)
{
    if (!setlocale(LC_CTYPE, "C.UTF-8"))
        return EXIT_FAILURE;
    SRunner *runner = srunner_create(suite());
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
