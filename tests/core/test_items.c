/* Lists of sizes and places as typed. */
#include "sandglass/items.h"

#include "support/suite.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

static enum sg_parse_state read(const char *text, bool places, struct sg_items *items, char *why, size_t size)
{
    return sg_items_parse(text, places, sg_unit_canonical(SG_DIM_LENGTH), items, why, size); /* mm */
}

static const struct {
    const char *text;
    bool places;
    int64_t n;
    double last[4];
} right[] = {
    {"24 x 16", false, 1, {24, 16, 1, 0}},
    {"24x16X3", false, 1, {24, 16, 3, 0}},
    {"24 x 16 x 2; 1 in x 20", false, 2, {25.4, 20, 1, 0}},
    {"4 x 2 at 0 x 10", true, 1, {4, 2, 0, 10}},
    {"4 x 2 AT 0 X 10", true, 1, {4, 2, 0, 10}},
    {"4 x 2 mm At 0 x 10; 3x1at5x6", true, 2, {3, 1, 5, 6}},
    {"24 x 2 in", false, 1, {609.6, 50.8, 1, 0}}, /* both in inches, as it is said */
    {"24x2in x 3", false, 1, {609.6, 50.8, 3, 0}},
    {"24 mm x 2 in", false, 1, {24, 50.8, 1, 0}},
    {"1/2 x 3/4 in", false, 1, {12.7, 19.05, 1, 0}},
    {"4 x 2 in at 1 x 10 in", true, 1, {101.6, 50.8, 25.4, 254}},
    {"4 x 2 at 1 x 10 in", true, 1, {4, 2, 25.4, 254}},
};
enum { RIGHT = sizeof right / sizeof *right };

START_TEST(what_is_right_is_read)
{
    struct sg_items items;
    char why[200];
    ck_assert_msg(read(right[_i].text, right[_i].places, &items, why, sizeof why) == SG_PARSE_WHOLE, "%s: %s",
                  right[_i].text, why);
    ck_assert_int_eq(items.n, right[_i].n);
    for (int i = 0; i < 4; i++)
        ck_assert_double_eq_tol(items.at[items.n - 1][i], right[_i].last[i], 1e-12);
}
END_TEST

/* While it is typed nothing is wrong yet. */
START_TEST(the_beginning_of_what_is_right_is_never_wrong)
{
    struct sg_items items;
    char why[200], begun[100];
    for (size_t length = 0; length < strlen(right[_i].text); length++) {
        snprintf(begun, sizeof begun, "%.*s", (int)length, right[_i].text);
        ck_assert_msg(read(begun, right[_i].places, &items, why, sizeof why) != SG_PARSE_WRONG, "\"%s\": %s",
                      begun, why);
    }
}
END_TEST

static const struct {
    const char *text;
    bool places;
    const char *says;
} wrong[] = {
    {"24 at 16", false, "LENGTH x WIDTH x HOW MANY"},
    {"24 x 16 at 2", false, "LENGTH x WIDTH x HOW MANY"},
    {"24 x 16 AT 2 x 3", false, "LENGTH x WIDTH x HOW MANY"},
    {"4 x 2 x 0 x 10", true, "LENGTH x WIDTH at X x Y"},
    {"4 at 2 at 0 x 10", true, "LENGTH x WIDTH at X x Y"},
    {"4 x 2 at 0 at 10", true, "LENGTH x WIDTH at X x Y"},
    {"4 x 2 at 0 x 10 x 1", true, "too many numbers"},
    {"24 x 16 x 2 x 1", false, "too many numbers"},
    {"24 x 16 x 0", false, "1 to 100000"},
    {"0 x 16", false, "more than 0"},
    {"24; 30 x 20", false, "LENGTH x WIDTH"},
    {"1 x 1; 1 x 1; 1 x 1; 1 x 1; 1 x 1; 1 x 1; 1 x 1; 1 x 1; 1 x 1", false, "at most 8"},
};
enum { WRONG = sizeof wrong / sizeof *wrong };

START_TEST(what_is_wrong_says_what_would_be_right)
{
    struct sg_items items;
    char why[200];
    ck_assert_msg(read(wrong[_i].text, wrong[_i].places, &items, why, sizeof why) == SG_PARSE_WRONG,
                  "%s: \"%s\"", wrong[_i].text, why);
    ck_assert_msg(strstr(why, wrong[_i].says), "%s: \"%s\"", wrong[_i].text, why);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("items");
    tcase_add_loop_test(tests, what_is_right_is_read, 0, RIGHT);
    tcase_add_loop_test(tests, the_beginning_of_what_is_right_is_never_wrong, 0, RIGHT);
    tcase_add_loop_test(tests, what_is_wrong_says_what_would_be_right, 0, WRONG);
    return run_case("items", tests);
}
