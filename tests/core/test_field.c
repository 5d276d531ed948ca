/* Every field of every kind: what it shows it reads again, what is impossible it refuses, and what goes into
 * a struct comes out of it. */
#include "sandglass/field.h"

#include "support/random.h"
#include "support/shop.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct test_shop test;
static struct sg_shop *shop;
static struct random r;

static void set_up(void)
{
    test_shop_make(&test);
    shop = &test.shop;
    r = (struct random){20261201};
}

static void tear_down(void)
{
    test_shop_free(&test);
}

static bool has_numbers(const struct sg_field *field)
{
    return field->type == SG_FIELD_NUMBER || field->type == SG_FIELD_NUMBERS ||
           field->type == SG_FIELD_WHOLE || field->type == SG_FIELD_EDGE;
}

/* Call for each field of each kind. */
static void each_field(void (*check)(const struct sg_field *))
{
    for (int kind = 0; kind < SG_KINDS; kind++) {
        int n;
        const struct sg_field *fields = sg_fields((enum sg_kind)kind, &n);
        for (int i = 0; i < n; i++)
            check(&fields[i]);
    }
}

static void each_field_in_both_systems(void (*check)(const struct sg_field *))
{
    for (int system = SG_UNITS_US; system <= SG_UNITS_METRIC; system++) {
        shop->units = (enum sg_unit_system)system;
        each_field(check);
    }
}

static enum sg_parse_state read(const struct sg_field *field, const char *text, struct sg_typed *typed)
{
    sg_field_read(field, shop, text, typed);
    return typed->state;
}

static void refuses(const struct sg_field *field, const char *text)
{
    struct sg_typed typed;
    enum sg_parse_state state = read(field, text, &typed);
    ck_assert_msg(state != SG_PARSE_WHOLE, "%s %s took \"%s\"", sg_kind_word(field->kind), field->name, text);
    ck_assert_msg(typed.text[0] != '\0', "%s refuses \"%s\" without a word", field->name, text);
    ck_assert(typed.at <= strlen(text));
}

static void takes(const struct sg_field *field, const char *text, struct sg_typed *typed)
{
    ck_assert_msg(read(field, text, typed) == SG_PARSE_WHOLE, "%s %s refused \"%s\": %s",
                  sg_kind_word(field->kind), field->name, text, typed->text);
}

/* ---- the table itself ---- */

static void check_row(const struct sg_field *field)
{
    int n, same = 0;
    const struct sg_field *fields = sg_fields(field->kind, &n);
    for (int i = 0; i < n; i++)
        same += strcmp(fields[i].name, field->name) == 0 || strcmp(fields[i].column, field->column) == 0;
    ck_assert_msg(same == 1, "%s has %d rows", field->name, same);
    ck_assert_ptr_eq(sg_field_find(field->kind, field->name), field);
    ck_assert_int_gt(strlen(field->meaning), 5);
    ck_assert(field->offset < sg_kind_size(field->kind));
    ck_assert(!has_numbers(field) || field->min < field->max);
    ck_assert(field->odd == 0 || (field->odd > field->min && field->odd < field->max));
    ck_assert((sg_field_unit(field, SG_UNITS_US) != NULL) == has_numbers(field));
    char range[300];
    ck_assert_int_gt(sg_field_range(field, shop, range, sizeof range), 3);
}

START_TEST(rows_have_names_ranges_and_meanings)
{
    each_field(check_row);
    ck_assert_ptr_null(sg_field_find(SG_KIND_STOCK, "no such field"));
}
END_TEST

/* ---- show and read again ---- */

static double some_number(const struct sg_field *field)
{
    double high = random_below(&r, 2) || field->odd == 0 ? field->max : field->odd;
    double share = random_below(&r, 2) ? random_unit(&r) : random_unit(&r) * 1e-3;
    double number = field->min + (high - field->min) * share;
    return number > field->min ? number : high;
}

/* A possible value. */
static void some_value(const struct sg_field *field, struct sg_value *value)
{
    int words = 0;
    memset(value, 0, sizeof *value);
    while (field->words && field->words[words])
        words++;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_NUMBERS:
    case SG_FIELD_EDGE:
        for (int i = 0; i < field->count; i++)
            value->number[i] = some_number(field);
        return;
    case SG_FIELD_WHOLE:
        value->whole = (int64_t)some_number(field);
        return;
    case SG_FIELD_CHOICE:
        value->whole = random_below(&r, (unsigned)words);
        return;
    case SG_FIELD_FLAGS:
        value->whole = 1 + random_below(&r, (1u << words) - 1);
        return;
    case SG_FIELD_TEXT:
        value->text = field->max < 11 ? "text" : "plain, text";
        return;
    case SG_FIELD_DATE:
        value->whole = random_below(&r, 40000);
        return;
    case SG_FIELD_TIME:
        value->whole = random_below(&r, SG_DAY_S);
        return;
    case SG_FIELD_MOMENT:
        value->whole = random_below(&r, 2000000000);
        return;
    case SG_FIELD_SPANS:
        value->count = 2;
        value->spans[0] = (struct sg_span){32400, 33300};
        value->spans[1] = (struct sg_span){43200, 45000};
        return;
    case SG_FIELD_DATES:
        value->count = 2;
        value->days[0] = 20000;
        value->days[1] = 20010;
        return;
    case SG_FIELD_SIZES:
        value->items = (struct sg_items){.n = 2, .at = {{254, 127, 2, 0}, {508, 254, 1, 0}}};
        return;
    case SG_FIELD_PLACES:
        value->items = (struct sg_items){.n = 2, .at = {{254, 127, 0, 508}, {508, 254, 127, 0}}};
        return;
    default:
        value->whole = 0; /* the first material, head, shift, outline */
    }
}

static bool shows_a_zero(const char *shown)
{
    bool zero = false;
    for (const char *at = shown; *at; at += strcspn(at, " "), at += strspn(at, " "))
        zero = zero || (strchr("0123456789", *at) && strtod(at, NULL) == 0);
    return zero;
}

static void check_shown(const struct sg_field *field)
{
    for (int i = 0; i < 50; i++) {
        struct sg_value value;
        struct sg_typed typed;
        char shown[400], again[400];
        some_value(field, &value);
        ck_assert_msg(sg_field_in_range(field, &value), "%s %s: %g, %lld", sg_kind_word(field->kind),
                      field->name, value.number[0], (long long)value.whole);
        int length = sg_field_show(field, shop, &value, shown, sizeof shown);
        ck_assert_int_eq(length, strlen(shown));
        if (has_numbers(field) && shows_a_zero(shown))
            continue; /* too small for the decimals of the shop floor */
        takes(field, shown, &typed);
        sg_field_show(field, shop, &typed.value, again, sizeof again);
        ck_assert_msg(strcmp(shown, again) == 0, "%s %s: \"%s\" became \"%s\"", sg_kind_word(field->kind),
                      field->name, shown, again);
        if (!has_numbers(field) || field->type == SG_FIELD_WHOLE)
            ck_assert(sg_field_same(field, &value, &typed.value));
    }
}

START_TEST(what_is_shown_is_read_again)
{
    each_field_in_both_systems(check_shown);
}
END_TEST

static void check_get_and_put(const struct sg_field *field)
{
    char record[4096] = {0};
    struct sg_value value, out;
    ck_assert(sg_kind_size(field->kind) <= sizeof record);
    some_value(field, &value);
    sg_field_put(field, record, &value);
    memset(&out, 0, sizeof out);
    sg_field_get(field, record, &out);
    ck_assert(!out.none && sg_field_same(field, &value, &out));
    if (!(field->flags & SG_FIELD_OPTIONAL))
        return;
    struct sg_value none = {.none = true};
    ck_assert(sg_field_in_range(field, &none));
    sg_field_put(field, record, &none);
    sg_field_get(field, record, &out);
    ck_assert_msg(out.none, "%s was cleared and is not none", field->name);
    ck_assert(sg_field_same(field, &none, &out) && !sg_field_same(field, &value, &out));
}

START_TEST(what_is_put_is_got)
{
    each_field(check_get_and_put);
}
END_TEST

/* ---- refusals ---- */

static void check_refusals(const struct sg_field *field)
{
    static const char *const never[] = {"",        "  ",           "abc",  "1e309",  "nan", "inf",
                                        "1,200",   "5 6 7 8 9 10", "5 %%", "5 mm x", "--5", "1.2.3",
                                        "0x10 mm", "5 volts",      "=1/0", "=(3"};
    struct sg_typed typed;
    if (!(field->flags & SG_FIELD_OPTIONAL))
        refuses(field, "none");
    else if (read(field, "none", &typed) != SG_PARSE_WHOLE || !typed.value.none)
        ck_abort_msg("%s cannot be cleared", field->name);
    refuses(field, "");
    refuses(field, " \t ");
    if (!has_numbers(field))
        return;
    for (size_t i = 0; i < sizeof never / sizeof *never; i++)
        refuses(field, never[i]);
    if (field->min >= 0)
        refuses(field, "-1");
    refuses(field, "1e300");
    if (field->flags & SG_FIELD_ABOVE_MIN && field->min == 0)
        refuses(field, "0");
    if (field->dimension != SG_DIM_PRESSURE)
        refuses(field, "5 ksi"); /* a unit of another kind */
    else
        refuses(field, "5 mm");
    if (field->type == SG_FIELD_WHOLE)
        refuses(field, "2.5");
}

START_TEST(what_is_impossible_is_refused_with_a_word)
{
    each_field_in_both_systems(check_refusals);
}
END_TEST

static void check_out_of_range(const struct sg_field *field)
{
    struct sg_value value;
    if (!has_numbers(field))
        return;
    const double bad[] = {field->min - 1, field->max * 1.0001 + 1, (double)NAN, (double)INFINITY,
                          -(double)INFINITY};
    for (size_t i = 0; i < (field->type == SG_FIELD_WHOLE ? 2 : 5); i++) {
        some_value(field, &value);
        value.number[field->count - 1] = bad[i];
        value.whole = field->type == SG_FIELD_WHOLE ? (int64_t)bad[i] : 0;
        ck_assert_msg(!sg_field_in_range(field, &value), "%s may be %g", field->name, bad[i]);
    }
    struct sg_value none = {.none = true};
    bool later = strcmp(field->name, "thickness") == 0; /* a stock may wait for it */
    if (!(field->flags & SG_FIELD_OPTIONAL) && !later)
        ck_assert_msg(!sg_field_in_range(field, &none), "%s %s may be none", sg_kind_word(field->kind),
                      field->name);
}

START_TEST(the_shop_files_check_knows_the_ranges)
{
    each_field(check_out_of_range);
}
END_TEST

static void check_odd(const struct sg_field *field)
{
    struct sg_typed typed;
    char text[80];
    if (!has_numbers(field) || field->odd == 0)
        return;
    const struct sg_unit *unit = sg_field_unit(field, SG_UNITS_US);
    sg_number_exact(field->type == SG_FIELD_WHOLE ? field->odd + 1 : field->odd * 1.01, unit, true, text,
                    sizeof text);
    takes(field, text, &typed);
    ck_assert_msg(typed.odd && typed.text[0], "%s is not odd for %s", text, field->name);
    sg_number_exact(field->odd, unit, true, text, sizeof text);
    takes(field, text, &typed);
    ck_assert(!typed.odd);
}

START_TEST(what_is_odd_is_kept_and_marked)
{
    each_field(check_odd);
}
END_TEST

START_TEST(a_number_that_is_not_ended_is_not_nothing)
{
    const struct sg_field *field = sg_field_find(SG_KIND_MACHINE, "pierce_base");
    refuses(field, "- 1.5 4.5 0.5");
    refuses(field, "1/ 1.5 4.5 0.5");
    refuses(field, "1.5 1.5 4.5");
    refuses(field, "1.5 1.5 4.5 0.5 2");
    struct sg_typed typed;
    takes(field, "1.5, 1.5, 4.5, 0.5", &typed);
    ck_assert(typed.value.number[2] == 4.5);
    takes(field, "1.49 s, 1.5 s, 4.5 s, 0.5 s", &typed); /* each with its unit, behind a blank or not */
    ck_assert(typed.value.number[0] == 1.49 && typed.value.number[3] == 0.5);
    takes(field, "1.4928244746640544s 1 min, 4.5 s 0.5", &typed);
    ck_assert(typed.value.number[0] == 1.4928244746640544 && typed.value.number[1] == 60);
    refuses(field, "1.5 s, 1.5 mm, 4.5 s, 0.5 s");
    refuses(field, "s 1.5 s 1.5 s 4.5 s");
    refuses(field, "1.5 s s 1.5 s 4.5");
}
END_TEST

START_TEST(units_of_the_shop_and_units_typed)
{
    struct sg_typed typed;
    const struct sg_field *thickness = sg_field_find(SG_KIND_STOCK, "thickness");
    takes(thickness, "1/4", &typed);
    ck_assert_double_eq_tol(typed.value.number[0], 6.35, 1e-12);
    takes(thickness, "6 mm", &typed);
    ck_assert(typed.value.number[0] == 6);
    shop->units = SG_UNITS_METRIC;
    takes(thickness, "6", &typed);
    ck_assert(typed.value.number[0] == 6);
    takes(sg_field_find(SG_KIND_STOCK, "load"), "1:30", &typed);
    ck_assert(typed.value.number[0] == 90);
    takes(sg_field_find(SG_KIND_HEAD, "tube_life"), "1:30", &typed);
    ck_assert(typed.value.number[0] == 5400);
    takes(sg_field_find(SG_KIND_MACHINE, "hopper_level"), "2 bag", &typed);
    ck_assert_double_eq_tol(typed.value.number[0], 2 * shop->machine.bag, 1e-12);
    takes(sg_field_find(SG_KIND_STOCK, "feed_override"), "85", &typed);
    ck_assert_double_eq_tol(typed.value.number[0], 0.85, 1e-15);
    sg_field_read_unit(thickness, shop, "2", sg_unit_find("in", 2), &typed);
    ck_assert_double_eq_tol(typed.value.number[0], 50.8, 1e-12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field");
    TCase *cases = tcase_create("fields");
    tcase_add_checked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, rows_have_names_ranges_and_meanings);
    tcase_add_test(cases, what_is_shown_is_read_again);
    tcase_add_test(cases, what_is_put_is_got);
    tcase_add_test(cases, what_is_impossible_is_refused_with_a_word);
    tcase_add_test(cases, the_shop_files_check_knows_the_ranges);
    tcase_add_test(cases, what_is_odd_is_kept_and_marked);
    tcase_add_test(cases, a_number_that_is_not_ended_is_not_nothing);
    tcase_add_test(cases, units_of_the_shop_and_units_typed);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
