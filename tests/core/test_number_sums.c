/* Sums against trees that are evaluated as they are made. */
#include "sandglass/number.h"
#include "support/prefixes.h"
#include "support/random.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TREE_TEXT = 2000 };

/* A sum in writing with what it is worth. `loose` is its weakest operator: 0 none, 1 times, 2 plus. */
struct tree {
    char text[TREE_TEXT];
    long double value, size; /* size: the same with every term positive, for the tolerance */
    bool length;
    int loose;
};

static void blank(struct random *r, char *out)
{
    static const char *const blanks[] = {"", "", "", " ", "  ", "\xC2\xA0"};
    strcat(out, blanks[random_below(r, 6)]);
}

static void add_bracketed(struct random *r, char *out, const struct tree *t, bool bracket)
{
    blank(r, out);
    strcat(out, bracket ? "(" : "");
    strcat(out, t->text);
    strcat(out, bracket ? ")" : "");
    blank(r, out);
}

static void make_leaf(struct random *r, struct tree *t, bool length)
{
    static const struct {
        const char *name;
        long double mm;
    } units[] = {{"mm", 1},     {"cm", 10},     {"m", 1000},    {"in", 25.4L},
                 {"\"", 25.4L}, {"ft", 304.8L}, {" in", 25.4L}, {" MM", 1}};
    unsigned a = random_below(r, 50), b = 1 + random_below(r, 20), c = 1 + random_below(r, 20);
    t->loose = 0;
    switch (random_below(r, 4)) {
    case 0:
        sprintf(t->text, "%u", c);
        t->value = c;
        break;
    case 1:
        sprintf(t->text, "%u.%02u", a, b);
        t->value = a + b / 100.0L;
        break;
    case 2:
        sprintf(t->text, "%u/%u", b, c);
        t->value = (long double)b / c;
        t->loose = 1; /* behind a slash it needs brackets, as a quotient does */
        break;
    default:
        sprintf(t->text, "%u %u/%u", a, b, c);
        t->value = a + (long double)b / c;
        t->loose = 1;
    }
    t->length = length;
    if (length) {
        unsigned unit = random_below(r, sizeof units / sizeof *units);
        strcat(t->text, units[unit].name);
        t->value *= units[unit].mm;
    }
    t->size = t->value;
}

static void make_tree(struct random *r, struct tree *t, bool length, int depth);

/* A plus b and a minus b, where a plain number beside a length is in inches. */
static void make_sum(struct random *r, struct tree *t, bool length, int depth)
{
    struct tree *a = malloc(sizeof *a), *b = malloc(sizeof *b);
    unsigned which =
        length ? random_below(r, 3) : 3; /* 0: both lengths, 1: b plain, 2: a plain, 3: both plain */
    bool minus = random_below(r, 2);
    make_tree(r, a, which < 2, depth);
    make_tree(r, b, which == 0 || which == 2, depth);
    long double of_a = which == 2 ? 25.4L : 1, of_b = which == 1 ? 25.4L : 1;
    t->text[0] = '\0';
    add_bracketed(r, t->text, a, false);
    strcat(t->text, minus ? "-" : "+");
    add_bracketed(r, t->text, b, b->loose == 2);
    t->value = a->value * of_a + (minus ? -1 : 1) * b->value * of_b;
    t->size = a->size * of_a + b->size * of_b;
    /* A plain sum before a + is in inches as a whole, not only its last term; both come out alike. */
    t->length = length;
    t->loose = 2;
    free(a);
    free(b);
}

static void make_product(struct random *r, struct tree *t, bool length, int depth)
{
    struct tree *a = malloc(sizeof *a), *b = malloc(sizeof *b);
    bool first = random_below(r, 2);
    make_tree(r, a, length && first, depth);
    make_tree(r, b, length && !first, depth);
    t->text[0] = '\0';
    add_bracketed(r, t->text, a, a->loose == 2);
    strcat(t->text, "*");
    add_bracketed(r, t->text, b, b->loose > 0);
    t->value = a->value * b->value;
    t->size = a->size * b->size;
    t->length = length;
    t->loose = 1;
    free(a);
    free(b);
}

/* The divisor is one number, so that it is not 0 by chance. */
static void make_quotient(struct random *r, struct tree *t, bool length, int depth)
{
    struct tree *a = malloc(sizeof *a), *b = malloc(sizeof *b);
    bool both = !length && random_below(r, 2);
    make_tree(r, a, length || both, depth);
    do
        make_leaf(r, b, both);
    while (b->value == 0);
    t->text[0] = '\0';
    add_bracketed(r, t->text, a, a->loose == 2);
    strcat(t->text, both ? "/ " : "/"); /* 13/5 in is one number, 13/ 5 in is not */
    add_bracketed(r, t->text, b, b->loose > 0);
    t->value = a->value / b->value;
    t->size = a->size / b->value;
    t->length = length;
    t->loose = 1;
    free(a);
    free(b);
}

static void make_minus(struct random *r, struct tree *t, bool length, int depth)
{
    struct tree *a = malloc(sizeof *a);
    make_tree(r, a, length, depth);
    strcpy(t->text, "-");
    add_bracketed(r, t->text, a, a->loose > 0);
    t->value = -a->value;
    t->size = a->size;
    t->length = length;
    t->loose = 1;
    free(a);
}

static void make_tree(struct random *r, struct tree *t, bool length, int depth)
{
    static void (*const makers[])(struct random *, struct tree *, bool, int) = {
        make_sum, make_product, make_quotient, make_sum, make_product, make_minus};
    if (depth == 0 || random_below(r, 5) == 0)
        make_leaf(r, t, length);
    else
        makers[random_below(r, 6)](r, t, length, depth - 1);
}

START_TEST(sums_have_the_value_of_an_independent_evaluation)
{
    struct random r = {0x5eed0006};
    struct sg_reading how = {.dimension = SG_DIM_LENGTH, .bare = sg_unit_find("in", 2)};
    int tried = 0, with_brackets = 0;
    struct tree *t = malloc(sizeof *t);
    while (tried < 20000) {
        char text[TREE_TEXT + 1];
        struct sg_parsed parsed;
        bool length = random_below(&r, 2);
        make_tree(&r, t, length, 4);
        snprintf(text, sizeof text, "=%s", t->text);
        if (strlen(text) > SG_NUMBER_TEXT_MAX)
            continue;
        tried++;
        with_brackets += strchr(text, '(') != NULL;
        sg_number_parse(text, &how, &parsed);
        ck_assert_msg(parsed.state == SG_PARSE_WHOLE, "%s: %s", text, parsed.text);
        long double unit = length ? 1 : 25.4L;
        ck_assert_msg(fabsl((long double)parsed.value - t->value * unit) <= t->size * unit * 4e-16L + 5e-324L,
                      "%s is %.17g, not %.17Lg", text, parsed.value, t->value * unit);
        ck_assert_int_eq(parsed.bare, !length);
        if (tried % 20 == 0)
            ck_assert_msg(wrong_prefix(text, &how) < 0, "%.*s of %s", wrong_prefix(text, &how), text, text);
    }
    free(t);
    ck_assert_int_gt(with_brackets, 5000);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("number sums");
    TCase *tests = tcase_create("number sums");
    tcase_add_test(tests, sums_have_the_value_of_an_independent_evaluation);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
