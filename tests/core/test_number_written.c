/* Numbers as written, read back; every unit of the table. */
#include "sandglass/number.h"
#include "support/random.h"

#include <check.h>
#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int rows(void)
{
    int n = 0;
    while (sg_units[n].name)
        n++;
    return n;
}

static void check_unit_in(const struct sg_unit *unit, enum sg_dimension dimension)
{
    static const char *const joints[] = {"", " "};
    for (size_t i = 0; i < 4; i++) {
        char text[32];
        struct sg_parsed parsed;
        struct sg_reading how = {.dimension = dimension, .bare = sg_unit_canonical(dimension)};
        snprintf(text, sizeof text, "%s2.5%s%s", i / 2 ? "=" : "", joints[i % 2], unit->name);
        sg_number_parse(text, &how, &parsed);
        if (unit->dimension == dimension) {
            ck_assert_msg(parsed.state == SG_PARSE_WHOLE && !parsed.bare, "%s", text);
            ck_assert_double_eq(parsed.value, (double)(2.5L * unit->factor));
        } else { /* lb is a beginning of lb/min: unfinished, but never taken */
            ck_assert_msg(parsed.state != SG_PARSE_WHOLE, "%s as %s", text, sg_dimension_word(dimension));
            bool divided = i / 2 && unit->name[0] == '/'; /* in a sum, by what is no number */
            ck_assert_msg(parsed.state == SG_PARSE_UNFINISHED || divided ||
                              (strstr(parsed.text, unit->name) &&
                               strstr(parsed.text, sg_dimension_word(unit->dimension)) &&
                               strstr(parsed.text, sg_dimension_word(dimension))),
                          "%s: %s", text, parsed.text);
        }
    }
}

START_TEST(each_unit_is_read_in_its_dimension_and_in_no_other)
{
    for (const struct sg_unit *unit = sg_units; unit->name; unit++)
        for (int dimension = 0; unit->name[0] && dimension < SG_DIM_COUNT; dimension++)
            check_unit_in(unit, (enum sg_dimension)dimension);
}
END_TEST

/* Any sign, any magnitude from 1e-9 to 1e9, all 53 bits. */
static double random_value(struct random *r)
{
    double value = pow(10, -9 + 18 * random_unit(r));
    return random_bits(r) & 1 ? value : -value;
}

static double read_as(const char *text, const struct sg_unit *bare)
{
    struct sg_reading how = {.dimension = bare->dimension, .bare = bare};
    struct sg_parsed parsed;
    sg_number_parse(text, &how, &parsed);
    ck_assert_msg(parsed.state == SG_PARSE_WHOLE, "%s %s: %s", text, bare->name, parsed.text);
    return parsed.value;
}

static bool same_bits(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0;
}

enum { PER_UNIT = 4000 };

START_TEST(what_is_written_exactly_is_read_back_to_the_same_bits)
{
    struct random r = {0x5eed0001};
    int in_canonical = 0;
    ck_assert_int_gt(rows() * PER_UNIT, 200000);
    for (const struct sg_unit *unit = sg_units; unit->name; unit++)
        for (int i = 0; i < PER_UNIT; i++) {
            char text[64];
            double value = random_value(&r);
            bool named = i % 2;
            int length = sg_number_exact(value, unit, named, text, sizeof text);
            ck_assert_int_eq(length, (int)strlen(text));
            double read = read_as(text, named ? sg_unit_canonical(unit->dimension) : unit);
            ck_assert_msg(same_bits(read, value), "%.17g in %s is written %s, read as %.17g", value,
                          unit->name, text, read);
            in_canonical += !named && text[length - 1] > '9';
        }
    ck_assert_int_eq(in_canonical, 0); /* 21 digits were enough in every unit */
}
END_TEST

START_TEST(all_finite_doubles_are_written_exactly)
{
    static const double ends[] = {
        0, 1, 0.1, DBL_MAX, DBL_MIN, DBL_TRUE_MIN, DBL_EPSILON, 9007199254740993.0, 1e21, 1e-7, 1e-8};
    struct random r = {0x5eed0002};
    for (int i = 0; i < 50000; i++) {
        char text[64];
        double value;
        uint64_t bits = random_bits(&r);
        memcpy(&value, &bits, sizeof value);
        if (i < (int)(sizeof ends / sizeof *ends))
            value = ends[i];
        if (!isfinite(value))
            continue;
        sg_number_exact(value, sg_unit_find("mm", 2), false, text, sizeof text);
        ck_assert_msg(same_bits(read_as(text, sg_unit_find("mm", 2)), value), "%.17g is written %s", value,
                      text);
    }
}
END_TEST

/* All decimals with fewer digits, one after the other: none of them may be read as the same double. */
START_TEST(no_shorter_decimal_is_read_back)
{
    static const char *const names[] = {"mm", "in", "ft"};
    struct random r = {0x5eed0003};
    for (int i = 0; i < 6000; i++) {
        const struct sg_unit *unit = sg_unit_find(names[i % 3], 2);
        char text[64], shorter[64];
        double value = random_value(&r);
        if (i % 2) { /* as a person types it */
            snprintf(text, sizeof text, "%.*g", 1 + (int)random_below(&r, 8), value);
            value = read_as(text, unit);
        }
        sg_number_exact(value, unit, false, text, sizeof text);
        int digits = 0;
        bool leading = true;
        for (const char *c = text; *c && *c != 'e'; c++) {
            leading = leading && (*c < '1' || *c > '9');
            digits += !leading && *c >= '0' && *c <= '9';
        }
        for (int n = 1; n < digits; n++) {
            snprintf(shorter, sizeof shorter, "%.*Le", n - 1, sg_from_canonical(value, unit));
            if (strtold(shorter, NULL) == strtold(text, NULL))
                break; /* zeros before the point are not digits that could be left out */
            ck_assert_msg(!same_bits(read_as(shorter, unit), value), "%s is written %s", shorter, text);
        }
    }
}
END_TEST

/* 1e311 g cannot be read, because no number of more than 1.7e308 is. */
START_TEST(what_a_unit_cannot_hold_is_written_in_the_canonical_one_and_named)
{
    char text[64];
    sg_number_exact(1e308, sg_unit_find("g", 1), false, text, sizeof text);
    ck_assert_str_eq(text, "1e308 kg");
    ck_assert(same_bits(read_as(text, sg_unit_find("g", 1)), 1e308));
}
END_TEST

START_TEST(exact_numbers_look_as_a_person_writes_them)
{
    static const struct {
        double value;
        const char *unit;
        bool named;
        const char *text;
    } shown[] = {
        {6, "mm", false, "6"},           {6, "mm", true, "6 mm"},
        {12.7, "in", true, "0.5 in"},    {12.7, "\"", true, "0.5\""},
        {0.5, "%", true, "50%"},         {-2.5, "mm", false, "-2.5"},
        {1e6, "mm", false, "1000000"},   {123456789, "mm", false, "123456789"},
        {0.1, "mm", false, "0.1"},       {0.00025, "mm", false, "0.00025"},
        {1.5e-9, "mm", false, "1.5e-9"}, {1e25, "mm", false, "1e25"},
        {-0.0, "mm", false, "0"},        {0.45359237, "lb", true, "1 lb"},
        {(double)NAN, "mm", true, "-"},  {(double)INFINITY, "mm", true, "-"},
    };
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        char text[64];
        const struct sg_unit *unit = sg_unit_find(shown[i].unit, strlen(shown[i].unit));
        ck_assert_int_eq(sg_number_exact(shown[i].value, unit, shown[i].named, text, sizeof text),
                         (int)strlen(shown[i].text));
        ck_assert_str_eq(text, shown[i].text);
    }
}
END_TEST

/* The C library's reader rounds correctly; in the canonical unit ours must agree with it. */
START_TEST(decimals_are_read_as_the_c_library_reads_them)
{
    struct random r = {0x5eed0004};
    for (int i = 0; i < 200000; i++) {
        char text[64];
        double value =
            i % 2 ? random_value(&r) : random_value(&r) * pow(10, (int)random_below(&r, 561) - 280);
        snprintf(text, sizeof text, "%.*e", (int)random_below(&r, 25), value);
        double read = read_as(text, sg_unit_find("mm", 2));
        ck_assert_msg(same_bits(read, strtod(text, NULL)), "%s is read as %.17g", text, read);
    }
}
END_TEST

START_TEST(fixed_decimals_are_within_half_of_the_last_place)
{
    struct random r = {0x5eed0005};
    for (const struct sg_unit *unit = sg_units; unit->name; unit++)
        for (int i = 0; i < 2000; i++) {
            char text[64];
            int decimals = (int)random_below(&r, 7);
            double value = random_value(&r);
            ck_assert_int_eq(sg_number_format(value, unit, decimals, text, sizeof text), (int)strlen(text));
            const char *point = strchr(text, '.');
            ck_assert_int_eq(point ? (int)strlen(point + 1) : 0, decimals);
            long double shown = strtold(text, NULL), exact = sg_from_canonical(value, unit);
            long double half = 0.5L * powl(10, -decimals);
            ck_assert_msg(fabsl(shown - exact) <= half + fabsl(exact) * 1e-18L, "%.17g %s is shown as %s",
                          value, unit->name, text);
            ck_assert_msg(text[0] != '-' || strpbrk(text, "123456789"), "%.17g is shown as %s", value, text);
            ck_assert_double_eq_tol(read_as(text, unit), value,
                                    (double)((half + fabsl(exact) * 1e-15L) * unit->factor));
        }
}
END_TEST

START_TEST(fixed_decimals_have_no_negative_zero_and_say_what_is_not_known)
{
    static const struct {
        double value;
        const char *unit;
        int decimals;
        const char *text;
    } shown[] = {
        {-0.004, "mm", 2, "0.00"},   {-0.0, "mm", 0, "0"},
        {-0.006, "mm", 2, "-0.01"},  {25.4, "in", 3, "1.000"},
        {6, "in", 4, "0.2362"},      {0.5, "mm", 0, "0"}, /* a tie goes to the even digit */
        {1.5, "mm", 0, "2"},         {999.9996, "mm", 3, "1000.000"},
        {(double)NAN, "mm", 2, "-"}, {-1234.5, "mm", 1, "-1234.5"},
        {7, "mm", -3, "7"},
    };
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        char text[64];
        sg_number_format(shown[i].value, sg_unit_find(shown[i].unit, 2), shown[i].decimals, text,
                         sizeof text);
        ck_assert_str_eq(text, shown[i].text);
    }
    char text[4], large[400];
    ck_assert_int_eq(sg_number_format(1234, sg_unit_find("mm", 2), 2, text, sizeof text), 7);
    ck_assert_str_eq(text, "123");
    ck_assert_int_eq(sg_number_format(DBL_MAX, sg_unit_find("g", 1), 30, large, sizeof large), 312 + 1 + 20);
}
END_TEST

START_TEST(durations_are_rounded_to_seconds_and_hours_to_minutes)
{
    static const struct {
        double seconds;
        const char *duration, *hours;
    } shown[] = {
        {0, "0:00:00", "0:00"},          {7, "0:00:07", "0:00"},       {59.4, "0:00:59", "0:01"},
        {59.5, "0:01:00", "0:01"},       {29.9, "0:00:30", "0:00"},    {3599.5, "1:00:00", "1:00"},
        {360001, "100:00:01", "100:00"}, {-0.4, "0:00:00", "0:00"},    {-90, "-0:01:30", "-0:02"},
        {(double)NAN, "-", "-"},         {(double)INFINITY, "-", "-"}, {1e300, "-", "-"},
    };
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        char text[32];
        sg_duration_format(shown[i].seconds, text, sizeof text);
        ck_assert_str_eq(text, shown[i].duration);
        sg_hours_format(shown[i].seconds, text, sizeof text);
        ck_assert_str_eq(text, shown[i].hours);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("number written");
    TCase *tests = tcase_create("number written");
    tcase_add_test(tests, each_unit_is_read_in_its_dimension_and_in_no_other);
    tcase_add_test(tests, decimals_are_read_as_the_c_library_reads_them);
    tcase_add_test(tests, what_is_written_exactly_is_read_back_to_the_same_bits);
    tcase_add_test(tests, all_finite_doubles_are_written_exactly);
    tcase_add_test(tests, no_shorter_decimal_is_read_back);
    tcase_add_test(tests, what_a_unit_cannot_hold_is_written_in_the_canonical_one_and_named);
    tcase_add_test(tests, exact_numbers_look_as_a_person_writes_them);
    tcase_add_test(tests, fixed_decimals_are_within_half_of_the_last_place);
    tcase_add_test(tests, fixed_decimals_have_no_negative_zero_and_say_what_is_not_known);
    tcase_add_test(tests, durations_are_rounded_to_seconds_and_hours_to_minutes);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
