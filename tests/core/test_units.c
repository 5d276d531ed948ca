/* The table of units against factors written down independently of it. */
#include "sandglass/basis.h"
#include "sandglass/units.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* One unit in canonical units. Sources, from memory and not looked up again: the international yard and pound
 * agreement of 1959 (yard 0.9144 m, pound 0.45359237 kg, exact), the standard acceleration of gravity 9.80665
 * m/s2 (exact by definition, 1901), the US gallon of 231 cubic inches, and the factors of NIST SP 811,
 * appendix B. `tolerance` is relative: 1e-18 for what is exact, more where the source or our memory of it is
 * rounded. */
static const struct {
    const char *name;
    enum sg_dimension dimension;
    long double factor, tolerance;
} known[] = {
    {"%", SG_DIM_RATIO, 1.0L / 100, 1e-18L},
    {"mm", SG_DIM_LENGTH, 1, 0},
    {"cm", SG_DIM_LENGTH, 10, 0},
    {"m", SG_DIM_LENGTH, 1000, 0},
    {"in", SG_DIM_LENGTH, 914.4L / 36, 1e-18L},
    {"inch", SG_DIM_LENGTH, 914.4L / 36, 1e-18L},
    {"\"", SG_DIM_LENGTH, 914.4L / 36, 1e-18L},
    {"\xE2\x80\xB3", SG_DIM_LENGTH, 914.4L / 36, 1e-18L},
    {"ft", SG_DIM_LENGTH, 914.4L / 3, 1e-18L},
    {"'", SG_DIM_LENGTH, 914.4L / 3, 1e-18L},
    {"\xE2\x80\xB2", SG_DIM_LENGTH, 914.4L / 3, 1e-18L},
    {"mm2", SG_DIM_AREA, 1, 0},
    {"mm\xC2\xB2", SG_DIM_AREA, 1, 0},
    {"cm2", SG_DIM_AREA, 100, 0},
    {"cm\xC2\xB2", SG_DIM_AREA, 100, 0},
    {"m2", SG_DIM_AREA, 1000000, 0},
    {"m\xC2\xB2", SG_DIM_AREA, 1000000, 0},
    {"in2", SG_DIM_AREA, 645.16L, 1e-18L}, /* SP 811: 6.4516 E-04 m2, exact */
    {"in\xC2\xB2", SG_DIM_AREA, 645.16L, 1e-18L},
    {"ft2", SG_DIM_AREA, 92903.04L, 1e-18L}, /* SP 811: 9.290304 E-02 m2, exact */
    {"ft\xC2\xB2", SG_DIM_AREA, 92903.04L, 1e-18L},
    {"s", SG_DIM_DURATION, 1, 0},
    {"min", SG_DIM_DURATION, 60, 0},
    {"h", SG_DIM_DURATION, 3600, 0},
    {"mm/min", SG_DIM_FEED, 1, 0},
    {"mm/s", SG_DIM_FEED, 60, 0},
    {"m/min", SG_DIM_FEED, 1000, 0},
    {"m/s", SG_DIM_FEED, 60000, 0},
    {"in/min", SG_DIM_FEED, 25.4L, 1e-18L},
    {"ipm", SG_DIM_FEED, 25.4L, 1e-18L},
    {"in/s", SG_DIM_FEED, 1524, 1e-18L},
    {"ft/min", SG_DIM_FEED, 304.8L, 1e-18L}, /* SP 811: 5.08 E-03 m/s, exact */
    {"mm/s2", SG_DIM_ACCELERATION, 1, 0},
    {"mm/s\xC2\xB2", SG_DIM_ACCELERATION, 1, 0},
    {"m/s2", SG_DIM_ACCELERATION, 1000, 0},
    {"m/s\xC2\xB2", SG_DIM_ACCELERATION, 1000, 0},
    {"in/s2", SG_DIM_ACCELERATION, 25.4L, 1e-18L}, /* SP 811: 2.54 E-02 m/s2, exact */
    {"in/s\xC2\xB2", SG_DIM_ACCELERATION, 25.4L, 1e-18L},
    {"MPa", SG_DIM_PRESSURE, 1, 0},
    {"bar", SG_DIM_PRESSURE, 0.1L, 1e-18L},
    {"psi", SG_DIM_PRESSURE, 6.894757293168361e-3L, 1e-15L}, /* SP 811: 6.894757 E+03 Pa */
    {"lb/in2", SG_DIM_PRESSURE, 6.894757293168361e-3L, 1e-15L},
    {"lb/in\xC2\xB2", SG_DIM_PRESSURE, 6.894757293168361e-3L, 1e-15L},
    {"ksi", SG_DIM_PRESSURE, 6.894757293168361L, 1e-15L},
    {"kg", SG_DIM_MASS, 1, 0},
    {"g", SG_DIM_MASS, 0.001L, 1e-18L},
    {"lb", SG_DIM_MASS, 0.45359237L, 1e-18L},
    {"g/min", SG_DIM_GARNET_FEED, 1, 0},
    {"kg/min", SG_DIM_GARNET_FEED, 1000, 0},
    {"kg/h", SG_DIM_GARNET_FEED, 50.0L / 3, 1e-18L},
    {"lb/min", SG_DIM_GARNET_FEED, 7.559873e-3L * 60000, 1e-7L}, /* SP 811: 7.559873 E-03 kg/s */
    {"L/min", SG_DIM_FLOW, 1, 0},
    {"gpm", SG_DIM_FLOW, 231 * 2.54L * 2.54L * 2.54L / 1000, 1e-18L},
    {"L", SG_DIM_VOLUME, 1, 0},
    {"gal", SG_DIM_VOLUME, 231 * 2.54L * 2.54L * 2.54L / 1000, 1e-18L},
    {"m3", SG_DIM_VOLUME, 1000, 0},
    {"m\xC2\xB3", SG_DIM_VOLUME, 1000, 0},
    {"kW", SG_DIM_POWER, 1, 0},
    {"W", SG_DIM_POWER, 0.001L, 1e-18L},
    {"hp", SG_DIM_POWER, 0.74569987158227022L, 1e-16L}, /* SP 811: 7.456999 E+02 W, 550 ft lbf/s */
    {"kWh", SG_DIM_ENERGY, 1, 0},
    {"kg/m3", SG_DIM_DENSITY, 1, 0},
    {"kg/m\xC2\xB3", SG_DIM_DENSITY, 1, 0},
    {"g/cm3", SG_DIM_DENSITY, 1000, 0},
    {"g/cm\xC2\xB3", SG_DIM_DENSITY, 1000, 0},
    {"lb/in3", SG_DIM_DENSITY, 2.767990e4L, 2e-7L}, /* SP 811 */
    {"lb/in\xC2\xB3", SG_DIM_DENSITY, 2.767990e4L, 2e-7L},
    {"kg/m2", SG_DIM_AREAL, 1, 0},
    {"kg/m\xC2\xB2", SG_DIM_AREAL, 1, 0},
    {"lb/ft2", SG_DIM_AREAL, 4.882428L, 1e-7L}, /* SP 811 */
    {"lb/ft\xC2\xB2", SG_DIM_AREAL, 4.882428L, 1e-7L},
    {"J/mm2", SG_DIM_CUT_ENERGY, 1, 0},
    {"J/mm\xC2\xB2", SG_DIM_CUT_ENERGY, 1, 0},
    {"/kg", SG_DIM_PER_MASS, 1, 0},
    {"/lb", SG_DIM_PER_MASS, 1 / 0.45359237L, 1e-18L},
    {"/t", SG_DIM_PER_MASS, 0.001L, 1e-18L},
    {"/m3", SG_DIM_PER_VOLUME, 1, 0},
    {"/m\xC2\xB3", SG_DIM_PER_VOLUME, 1, 0},
    {"/L", SG_DIM_PER_VOLUME, 1000, 0},
    {"/gal", SG_DIM_PER_VOLUME, 1e9L / (231 * 25.4L * 25.4L * 25.4L), 1e-16L},
    {"/h", SG_DIM_PER_TIME, 1, 0},
    {"/min", SG_DIM_PER_TIME, 60, 0},
    {"/kWh", SG_DIM_PER_ENERGY, 1, 0},
};

enum { KNOWN = sizeof known / sizeof *known };

START_TEST(every_known_unit_is_in_the_table_with_its_factor)
{
    const struct sg_unit *unit = sg_unit_find(known[_i].name, strlen(known[_i].name));
    ck_assert_msg(unit != NULL, "%s", known[_i].name);
    ck_assert_str_eq(unit->name, known[_i].name);
    ck_assert_int_eq(unit->dimension, known[_i].dimension);
    long double off = fabsl(unit->factor - known[_i].factor) / known[_i].factor;
    ck_assert_msg(off <= known[_i].tolerance, "%s is off by %Lg", known[_i].name, off);
}
END_TEST

/* What a rounded source cannot tell: the factors that are quotients of exact ones. */
START_TEST(quotients_of_pounds_and_feet_agree_with_each_other)
{
    long double lb_in3 = sg_unit_find("lb/in3", 6)->factor, lb_ft2 = sg_unit_find("lb/ft2", 6)->factor;
    ck_assert_ldouble_eq_tol(lb_in3 * 0.0254L * 0.0254L * 0.0254L, 0.45359237L, 1e-18L);
    ck_assert_ldouble_eq_tol(lb_ft2 * 0.3048L * 0.3048L, 0.45359237L, 1e-18L);
    ck_assert_ldouble_eq_tol(sg_unit_find("lb/min", 6)->factor, 453.59237L, 1e-16L);
}
END_TEST

START_TEST(no_unit_is_in_the_table_that_is_not_known_here)
{
    int named = 0;
    for (const struct sg_unit *unit = sg_units; unit->name; unit++)
        named += unit->name[0] != '\0';
    ck_assert_int_eq(named, KNOWN);
}
END_TEST

START_TEST(names_are_found_whatever_the_case_and_only_whole)
{
    ck_assert_str_eq(sg_unit_find("mpa", 3)->name, "MPa");
    ck_assert_str_eq(sg_unit_find("l/MIN", 5)->name, "L/min");
    ck_assert_str_eq(sg_unit_find("KWH", 3)->name, "kWh");
    ck_assert_str_eq(sg_unit_find("in/min of feed", 6)->name, "in/min");
    ck_assert_ptr_null(sg_unit_find("", 0));
    ck_assert_ptr_null(sg_unit_find("i", 1));
    ck_assert_ptr_null(sg_unit_find("inn", 3));
    ck_assert_ptr_null(sg_unit_find("bag", 3));
}
END_TEST

/* Two names that differ only in case would make the reading of one of them depend on the table's order. */
START_TEST(each_row_is_found_by_its_name_in_capitals)
{
    for (const struct sg_unit *unit = sg_units; unit->name; unit++) {
        char name[16];
        size_t length = strlen(unit->name);
        ck_assert_uint_lt(length, sizeof name);
        for (size_t i = 0; i <= length; i++)
            name[i] =
                unit->name[i] >= 'a' && unit->name[i] <= 'z' ? (char)(unit->name[i] - 32) : unit->name[i];
        if (length)
            ck_assert_ptr_eq(sg_unit_find(name, length), unit);
    }
}
END_TEST

START_TEST(canonical_units_stand_first_and_have_the_factor_1)
{
    int last = -1;
    for (const struct sg_unit *unit = sg_units; unit->name; unit++) {
        ck_assert_int_ge((int)unit->dimension, last);
        if ((int)unit->dimension > last) {
            ck_assert_ldouble_eq(unit->factor, 1);
            ck_assert_ptr_eq(sg_unit_canonical(unit->dimension), unit);
        }
        last = (int)unit->dimension;
    }
    ck_assert_int_eq(last, SG_DIM_COUNT - 1);
}
END_TEST

START_TEST(shops_read_in_the_units_of_their_system)
{
    static const struct {
        enum sg_dimension dimension;
        const char *us, *metric;
    } shops[SG_DIM_COUNT] = {
        {SG_DIM_NUMBER, "", ""},
        {SG_DIM_RATIO, "", ""},
        {SG_DIM_LENGTH, "in", "mm"},
        {SG_DIM_AREA, "in2", "mm2"},
        {SG_DIM_DURATION, "s", "s"},
        {SG_DIM_FEED, "in/min", "mm/min"},
        {SG_DIM_ACCELERATION, "in/s2", "mm/s2"},
        {SG_DIM_PRESSURE, "ksi", "MPa"},
        {SG_DIM_MASS, "lb", "kg"},
        {SG_DIM_GARNET_FEED, "lb/min", "g/min"},
        {SG_DIM_FLOW, "gpm", "L/min"},
        {SG_DIM_VOLUME, "gal", "L"},
        {SG_DIM_POWER, "hp", "kW"},
        {SG_DIM_ENERGY, "kWh", "kWh"},
        {SG_DIM_DENSITY, "lb/in3", "kg/m3"},
        {SG_DIM_AREAL, "lb/ft2", "kg/m2"},
        {SG_DIM_CUT_ENERGY, "J/mm2", "J/mm2"},
        {SG_DIM_PER_MASS, "/lb", "/kg"},
        {SG_DIM_PER_VOLUME, "/gal", "/m3"},
        {SG_DIM_PER_TIME, "/h", "/h"},
        {SG_DIM_PER_ENERGY, "/kWh", "/kWh"},
    };
    const struct sg_unit *us = sg_unit_of_shop(shops[_i].dimension, SG_UNITS_US);
    const struct sg_unit *metric = sg_unit_of_shop(shops[_i].dimension, SG_UNITS_METRIC);
    ck_assert_str_eq(us->name, shops[_i].us);
    ck_assert_str_eq(metric->name, shops[_i].metric);
    ck_assert_int_eq(us->dimension, _i);
    ck_assert_int_eq(metric->dimension, _i);
    ck_assert_uint_gt(strlen(sg_dimension_word(shops[_i].dimension)), 3);
}
END_TEST

START_TEST(conversion_is_rounded_once)
{
    ck_assert_double_eq(sg_to_canonical(0.1L, sg_unit_find("in", 2)), 2.54);
    ck_assert_double_eq(sg_to_canonical(3, sg_unit_find("lb", 2)), 1.36077711);
    ck_assert_double_eq((double)sg_from_canonical(2.54, sg_unit_find("in", 2)), 0.1);
}
END_TEST

START_TEST(a_computed_number_has_the_weaker_basis)
{
    for (int a = 0; a < SG_BASIS_COUNT; a++)
        for (int b = 0; b < SG_BASIS_COUNT; b++) {
            ck_assert_int_eq(sg_basis_weaker((enum sg_basis)a, (enum sg_basis)b), a > b ? a : b);
            bool same = strcmp(sg_basis_word((enum sg_basis)a), sg_basis_word((enum sg_basis)b)) == 0;
            ck_assert_int_eq(same, a == b);
        }
    ck_assert_str_eq(sg_basis_word(SG_BASIS_RECALLED), "recalled");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("units");
    TCase *factors = tcase_create("factors");
    tcase_add_loop_test(factors, every_known_unit_is_in_the_table_with_its_factor, 0, KNOWN);
    tcase_add_test(factors, quotients_of_pounds_and_feet_agree_with_each_other);
    tcase_add_test(factors, no_unit_is_in_the_table_that_is_not_known_here);
    tcase_add_test(factors, conversion_is_rounded_once);
    suite_add_tcase(suite, factors);
    TCase *table = tcase_create("table");
    tcase_add_test(table, names_are_found_whatever_the_case_and_only_whole);
    tcase_add_test(table, each_row_is_found_by_its_name_in_capitals);
    tcase_add_test(table, canonical_units_stand_first_and_have_the_factor_1);
    tcase_add_loop_test(table, shops_read_in_the_units_of_their_system, 0, SG_DIM_COUNT);
    tcase_add_test(table, a_computed_number_has_the_weaker_basis);
    suite_add_tcase(suite, table);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
