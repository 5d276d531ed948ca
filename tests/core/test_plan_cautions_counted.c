/* Cautions are said once, as of one where it is one; a plain plan has only the jet's, and one that cannot end
 * says why. */
#include "core/cautioned.h"
#include "support/suite.h"

#include <math.h>

static const struct {
    struct sg_caution caution;
    const char *text;
} counted[] = {
    {{.code = SG_CAUTION_ORDER_BAGS, .a = 1, .b = 0}, "1 bag is to be ordered, so that 0 are left after"},
    {{.code = SG_CAUTION_ORDER_BAGS, .a = 2, .b = 1}, "2 bags are to be ordered, so that 1 is left after"},
    {{.code = SG_CAUTION_SHEETS_SHORT, .a = 1, .b = 0}, "1 sheet is needed, 0 are on hand"},
    {{.code = SG_CAUTION_OUT_OF_GARNET, .a = 1}, "at least 1 bag short"},
    {{.code = SG_CAUTION_OUT_OF_GARNET, .a = 3}, "at least 3 bags short"},
};

START_TEST(one_of_a_thing_is_said_as_one)
{
    says(&counted[_i].caution, SG_UNITS_US, counted[_i].text);
}
END_TEST

START_TEST(a_plain_plan_has_only_the_jets)
{
    plan_it();
    ck_assert_int_eq(plan->n_cautions, 1);
    ck_assert_int_eq(plan->cautions[0].code, SG_CAUTION_JET);
}
END_TEST

START_TEST(what_is_said_of_a_head_or_a_material_is_said_once)
{
    weak_pump();
    silica();
    for (int i = 0; i < 3; i++) {
        test_shop_stock(&test, 0, 10);
        test_shop_part(&test, 1, 1000, 300, 200);
    }
    plan_it();
    int heads = 0, materials = 0;
    for (int32_t i = 0; i < plan->n_cautions; i++) {
        heads += plan->cautions[i].code == SG_CAUTION_PUMP_FLOW;
        materials += plan->cautions[i].code == SG_CAUTION_SILICA;
    }
    ck_assert_int_eq(heads, 1);
    ck_assert_int_eq(materials, 1);
}
END_TEST

START_TEST(a_plan_that_cannot_end_says_why)
{
    /* A typed feed, but a pierce that nobody knows: this material has no machinability number. */
    test.materials[0].machinability = UNKNOWN;
    stock->feed = 300;
    plan_it();
    ck_assert(isnan(plan->ends));
    ck_assert_msg(plan->n_cautions > 1, "the end is not known and nothing says why");
    stock->pierce_seconds = 5;
    plan_it();
    ck_assert(!isnan(plan->ends));
    ck_assert_int_eq(plan->n_cautions, 1);
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("cautions");
    tcase_add_checked_fixture(tcase, open_plain_shop, close_shop);
    tcase_add_loop_test(tcase, one_of_a_thing_is_said_as_one, 0, sizeof counted / sizeof *counted);
    tcase_add_test(tcase, a_plain_plan_has_only_the_jets);
    tcase_add_test(tcase, what_is_said_of_a_head_or_a_material_is_said_once);
    tcase_add_test(tcase, a_plan_that_cannot_end_says_why);
    return run_case("plan, cautions counted", tcase);
}
