/* A material with an exponent of thickness of the shop's own: 1.35, as the formula's at 10 mm. */
#include "sandglass/setup.h"
#include "sandglass/why.h"
#include "support/why_tree.h"

#include "support/expect.h"
#include "support/planned.h"
#include "support/suite.h"

static struct sg_material *steel;

static void open_steel(void)
{
    open_shop();
    steel = &test.materials[0];
    test_shop_job(&test, 0);
    test_shop_stock(&test, 0, 20);
    test_shop_part(&test, 1, 1000, 100, 100);
}

static void bend(void)
{
    steel->thickness_exponent = 1.35;
    steel->reference_thickness = 10;
}

static const struct sg_setup *setup_at(double thickness)
{
    shop->stocks[0].thickness = thickness;
    plan_it();
    return &plan->stocks[0].setup;
}

START_TEST(the_speed_falls_with_it_and_is_the_formulas_at_the_reference)
{
    double at_10 = setup_at(10)->separation;
    bend();
    expect(setup_at(10)->separation, at_10);
    expect(setup_at(20)->separation, at_10 * pow(2, -1.35));
    expect(setup_at(5)->separation, at_10 * pow(0.5, -1.35));
    shop->stocks[0].stack = 2; /* of the whole stack */
    expect(setup_at(10)->separation, at_10 * pow(2, -1.35));
}
END_TEST

START_TEST(a_low_pierce_goes_with_it)
{
    shop->stocks[0].pierce = SG_PIERCE_LOW;
    double base = shop->machine.pierce_base[SG_PIERCE_LOW];
    double at_20 = setup_at(20)->pierce - base;
    bend();
    expect(setup_at(20)->pierce - base, at_20 * pow(2, 0.2)); /* rise is h / u, and u is 2^-0.2 as fast */
}
END_TEST

START_TEST(why_tells_it)
{
    static const char *const names[] = {"separation", "traverse", "pierce"};
    struct sg_arena arena = {0};
    struct sg_error error;
    struct sg_why why;
    bend();
    shop->stocks[0].pierce = SG_PIERCE_LOW;
    steel->basis = SG_BASIS_SHOP;
    steel->source = "machinability: shop, 9 runs, +-4 %, 2026-11-26";
    setup_at(20);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        must(sg_why(shop, (struct sg_target){SG_KIND_STOCK, 0}, names[i], &arena, &why, &error) == SG_OK,
             "%s", error.text);
        check_tree(shop, &why);
        expect(why.lines[0].value, i == 0   ? plan->stocks[0].setup.separation
                                   : i == 1 ? plan->stocks[0].setup.traverse
                                            : plan->stocks[0].setup.pierce);
    }
    must_hold(sg_why(shop, (struct sg_target){SG_KIND_STOCK, 0}, "separation", &arena, &why, &error) ==
              SG_OK);
    ck_assert_int_eq(why.lines[0].basis, SG_BASIS_SHOP);
    ck_assert_str_eq(why.lines[0].note, steel->source);
    sg_arena_free(&arena);
}
END_TEST

START_TEST(one_of_the_two_alone_says_nothing)
{
    double plain = setup_at(20)->separation;
    steel->thickness_exponent = 1.35;
    steel->reference_thickness = UNKNOWN;
    expect(setup_at(20)->separation, plain);
    steel->thickness_exponent = UNKNOWN;
    steel->reference_thickness = 10;
    expect(setup_at(20)->separation, plain);
    ck_assert(!sg_has_exponent(steel) && !sg_has_exponent(NULL));
}
END_TEST

START_TEST(a_number_of_the_shops_makes_the_speed_the_shops)
{
    ck_assert_int_eq(setup_at(20)->traverse_basis, SG_BASIS_RECALLED);
    steel->basis = SG_BASIS_SHOP;
    ck_assert_int_eq(setup_at(20)->traverse_basis, SG_BASIS_SHOP);
    ck_assert_int_eq(sg_speed_basis(false, steel), SG_BASIS_SHOP);
    steel->basis = SG_BASIS_TYPED;
    ck_assert_int_eq(setup_at(20)->traverse_basis, SG_BASIS_RECALLED);
    ck_assert_int_eq(sg_speed_basis(false, steel), SG_BASIS_ESTIMATE);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("setup_exponent");
    tcase_add_checked_fixture(tests, open_steel, close_shop);
    tcase_add_test(tests, the_speed_falls_with_it_and_is_the_formulas_at_the_reference);
    tcase_add_test(tests, a_low_pierce_goes_with_it);
    tcase_add_test(tests, why_tells_it);
    tcase_add_test(tests, one_of_the_two_alone_says_nothing);
    tcase_add_test(tests, a_number_of_the_shops_makes_the_speed_the_shops);
    return run_case("setup exponent", tests);
}
