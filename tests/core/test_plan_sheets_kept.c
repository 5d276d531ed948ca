/* Layouts are kept from plan to plan, and made anew for all that they depend on. */
#include "core/nest_inside.h"
#include "core/plan_inside.h"

#include "support/sheets.h"
#include "support/suite.h"

#include <check.h>

/* Whether planning lays anything out. */
static bool lays_out(void)
{
    planner->work.looks = -1;
    plan_it();
    return planner->work.looks != -1;
}

START_TEST(only_what_a_layout_depends_on_lays_out_again)
{
    struct sg_stock *stock = add_stock();
    stock->gap = 3; /* more than the kerf of about 1 mm */
    add_part(8, 240, 230);
    ck_assert(lays_out());
    ck_assert(!lays_out());
    test.heads[0].pressure *= 0.9;
    test.shop.stocks[0].edge = 5;
    test.shop.stocks[0].feed = 800;
    test.shop.parts[0].cut_length = 1200;
    test.heads[0].tube *= 1.1; /* the kerf grows and still lies in the gap */
    ck_assert(!lays_out());
    test.heads[0].tube *= 4; /* it binds */
    ck_assert(lays_out());
    test.shop.parts[0].quantity = 9;
    ck_assert(lays_out());
    test.shop.parts[0].width = 200;
    ck_assert(lays_out());
    test.shop.stocks[0].margin = 1;
    ck_assert(lays_out());
    test.shop.stocks[0].sheet_length = 1100;
    ck_assert(lays_out());
    test.shop.machine.table_length = 700; /* the order of cutting */
    ck_assert(lays_out());
    test.shop.machine.slat_pitch += 300; /* the same: what may tip goes first */
    ck_assert(lays_out());
    ck_assert(!lays_out());
}
END_TEST

START_TEST(each_setting_of_a_stock_lays_out_again)
{
    struct sg_stock *stock = add_stock();
    stock->gap = 3;
    add_part(8, 240, 230)->cut_length = 2 * (240 + 230); /* straight-sided */
    ck_assert(lays_out());
    stock = test.shop.stocks;
    stock->search = 5;
    ck_assert(lays_out());
    stock->common_line = true;
    ck_assert(lays_out());
    stock->turn = !stock->turn;
    ck_assert(lays_out());
    stock->clamps.n = 1;
    stock->clamps.at[0][0] = stock->clamps.at[0][1] = 40;
    ck_assert(lays_out());
    stock->clamps.at[0][3] = 100;
    ck_assert(lays_out());
    stock->remnants.n = 1;
    stock->remnants.at[0][0] = stock->remnants.at[0][1] = 250;
    stock->remnants.at[0][2] = 1;
    ck_assert(lays_out());
    stock->remnants.at[0][2] = 2;
    ck_assert(lays_out());
    stock->stack = 2; /* cuts and stacks of remnants */
    ck_assert(lays_out());
    ck_assert(!lays_out());
}
END_TEST

/* Triangles of 200 x 150, two of which make a box. */
START_TEST(outlines_and_whether_they_interlock_lay_out_again)
{
    add_stock();
    add_drawn((const double[]){0, 0, 200, 0, 0, 150}, 3, 24);
    ck_assert(lays_out());
    ck_assert(plan->stocks[0].layout->interlocked);
    ck_assert_int_eq(plan->stocks[0].layout->sheets_of_boxes, 2); /* twelve on each */
    ck_assert_int_eq(plan->stocks[0].sheets, 1);
    ck_assert(!lays_out());
    test.shop.stocks[0].interlock = false;
    ck_assert(lays_out());
    ck_assert(!plan->stocks[0].layout->interlocked);
    ck_assert_int_eq(plan->stocks[0].layout->sheets_of_boxes, 2);
    test.shop.stocks[0].interlock = true;
    ck_assert(lays_out());
    drawn[0].print = 8; /* drawn anew */
    ck_assert(lays_out());
    ck_assert(!lays_out());
    sg_outline_free(&outline);
}
END_TEST

START_TEST(the_search_of_a_stock_is_one_for_boxes)
{
    add_stock();
    for (int i = 0; i < 14; i++)
        add_part(2, 150 + 37 * i % 400, 100 + 53 * i % 250);
    plan_it();
    ck_assert_int_gt(plan->stocks[0].sheets, plan->stocks[0].lower_bound);
    const int64_t looks = planner->work.looks, sheets = plan->stocks[0].sheets;
    test.shop.stocks[0].search = 40;
    plan_it();
    ck_assert_int_ge(planner->work.looks, looks + 40000);
    ck_assert_int_le(plan->stocks[0].sheets, sheets);
}
END_TEST

/* Of pieces that interlock a longer search looks at more mixes of rows. */
START_TEST(the_search_of_a_stock_is_one_for_outlines_too)
{
    add_stock();
    add_drawn((const double[]){0, 0, 170, 20, 200, 150, 90, 90, 20, 150}, 5, 50);
    plan_it();
    ck_assert_int_gt(plan->stocks[0].sheets, plan->stocks[0].lower_bound);
    const int tried = planner->nest->n_tried;
    const int64_t sheets = plan->stocks[0].sheets;
    test.shop.stocks[0].search = 40;
    plan_it();
    ck_assert_int_gt(planner->nest->n_tried, tried + 1);
    ck_assert_int_le(plan->stocks[0].sheets, sheets);
    sg_outline_free(&outline);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("sheets");
    tcase_add_checked_fixture(cases, set_up, close_shop);
    tcase_add_test(cases, only_what_a_layout_depends_on_lays_out_again);
    tcase_add_test(cases, each_setting_of_a_stock_lays_out_again);
    tcase_add_test(cases, outlines_and_whether_they_interlock_lay_out_again);
    tcase_add_test(cases, the_search_of_a_stock_is_one_for_boxes);
    tcase_add_test(cases, the_search_of_a_stock_is_one_for_outlines_too);
    return run_case("plan, sheets kept", cases);
}
