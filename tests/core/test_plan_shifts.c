/* One shift after another: what the next one starts with, and what is asked for at breaks, at the table, in
 * the stores. */
#include "support/expect.h"
#include "support/planned.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>

/* Two shifts of 8 hours, one after the other; 50 bags in stock. */
static void set_up(void)
{
    open_round_shop();
    shop->machine.bags_in_stock = 50;
    test.shifts[1] = test.shifts[0];
    test.shifts[1].id = "B";
    test.shifts[1].calendar.epoch += 8 * 3600;
    shop->n_shifts = 2;
}

/* A job of pieces of `seconds` each, 60 s to load them all. */
static void add_job(int32_t shift, int32_t quantity, double seconds)
{
    test_shop_job(&test, shift);
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->feed = 600;
    stock->load = 60;
    stock->first_check = 0;
    test_shop_part(&test, quantity, seconds * 10, 100, 100)->pierces = 0;
}

START_TEST(the_next_shift_starts_with_what_the_one_before_leaves)
{
    /* A: 12 pieces of 1000 s = 5 kg each: 60 kg, level 40. B: 40 - 30 is used up after 6 pieces. */
    add_job(0, 12, 1000);
    add_job(1, 8, 1000);
    test.heads[0].tube_hours = 3600;
    plan_shift(1);
    ck_assert(plan->start.carried);
    expect(plan->start.level, 40);
    expect(plan->start.late, 0);
    ck_assert_int_eq(plan->start.bags, 50);
    expect(plan->run.events[plan->next_refill].at, 60 + 6000);
    expect(plan->run.hours[0], 3600 + 12000 + 8000);
    plan_shift(0);
    ck_assert(!plan->start.carried);
    expect(plan->start.level, 100);
    expect(plan->run.hours[0], 3600 + 12000);
}
END_TEST

START_TEST(a_shift_that_runs_over_holds_the_machine)
{
    /* A: 60 + 29 x 1000 + 2 refills... 18 pieces to level 10, 4 bags, 140 s, 11 more: 60 + 29,000 + 140 =
     * 29,200, 400 s past 28,800. B starts with its load at 400: 400 + 60 + 1000. */
    add_job(0, 29, 1000);
    add_job(1, 1, 1000);
    plan_shift(0);
    expect(plan->ends, 29200);
    expect(plan->over, 400);
    plan_shift(1);
    expect(plan->start.late, 400);
    expect(plan->run.events[0].at, 400);
    expect(plan->ends, 1460);
    expect(plan->totals.waiting, 400);
    expect(plan->totals.elapsed, plan->totals.cut + plan->totals.hands_on + plan->totals.waiting);
    expect(plan->start.level, 100 - 29 * 5 + 80);
    ck_assert_int_eq(plan->start.bags, 46);
}
END_TEST

START_TEST(closed_shifts_and_closed_days_leave_nothing)
{
    add_job(0, 12, 1000);
    add_job(1, 1, 1000);
    test.shifts[0].closed = 1; /* over: the machine's fields say what it left */
    plan_shift(1);
    expect(plan->start.level, 100);
    ck_assert(!plan->start.carried);
    test.shifts[0].closed = 0;
    test.shifts[0].date = 20000;
    test.shifts[0].n_closed_days = 1;
    test.shifts[0].closed_days[0] = 20000; /* nobody works: nothing is cut */
    plan_shift(0);
    ck_assert(plan->closed_day && isnan(plan->ends));
    ck_assert_int_eq(plan->run.n_events, 0);
    plan_shift(1);
    expect(plan->start.level, 100);
}
END_TEST

START_TEST(the_default_shift_is_the_first_that_is_open)
{
    ck_assert_int_eq(sg_plan_default_shift(shop), 0);
    test.shifts[0].closed = 1;
    ck_assert_int_eq(sg_plan_default_shift(shop), 1);
    test.shifts[1].closed = 1;
    ck_assert_int_eq(sg_plan_default_shift(shop), 1);
    shop->n_shifts = 0;
    ck_assert_int_eq(sg_plan_default_shift(shop), SG_UNKNOWN);
}
END_TEST

static int count(int kind)
{
    int n = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        n += plan->run.events[i].kind == kind;
    return n;
}

static const struct sg_event *first(int kind)
{
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == kind)
            return &plan->run.events[i];
    ck_abort_msg("no %s", sg_event_word(kind));
    return NULL;
}

START_TEST(a_sheet_on_the_table_needs_no_load)
{
    add_job(0, 2, 1000);
    test.shifts[0].sheet_on = "A/1";
    plan_shift(0);
    ck_assert(plan->sheet_on);
    ck_assert_int_eq(count(SG_EVENT_LOAD), 0);
    expect(plan->ends, 2000);
    test.shifts[0].sheet_on = "A/9"; /* of no stock: said, and loaded */
    plan_shift(0);
    ck_assert(!plan->sheet_on);
    expect(plan->ends, 2060);
}
END_TEST

START_TEST(a_stock_may_ask_for_a_full_hopper_at_its_load)
{
    add_job(0, 2, 1000);
    shop->machine.hopper_level = 55; /* room for 2 bags */
    shop->stocks[0].fill = 1;
    plan_shift(0);
    expect(first(SG_EVENT_REFILL)->at, 60);
    expect(first(SG_EVENT_REFILL)->garnet, 40);
    expect(plan->ends, 60 + 120 + 2000);
}
END_TEST

START_TEST(a_hopper_filled_before_a_break_is_filled_before_it)
{
    /* 55 kg, pieces of 1000 s from 60: boundaries at 1060, 2060, 3060. The break from 2500: the last boundary
     * is 2060, level 45, 2 bags, 120 s. The break from 2060 itself: 1060, level 50, 2 bags. */
    add_job(0, 4, 1000);
    shop->machine.hopper_level = 55;
    test.shifts[0].fill_before_breaks = 1;
    test_shop_break(&test, 2500, 3000);
    plan_shift(0);
    expect(first(SG_EVENT_REFILL)->at, 2060);
    expect(plan->ends, 60 + 4000 + 120);
    test.shifts[0].calendar.breaks[0].from_s = 2060;
    plan_shift(0);
    expect(first(SG_EVENT_REFILL)->at, 1060);
    expect(plan->ends, 60 + 4000 + 120);
}
END_TEST

START_TEST(a_hopper_filled_between_sheets_only_is_not_filled_on_one)
{
    add_job(0, 4, 1000); /* one sheet */
    shop->machine.hopper_level = 55;
    shop->machine.refill_at = SG_AT_SHEETS;
    test.shifts[0].fill_before_breaks = 1;
    test_shop_break(&test, 2500, 3000);
    plan_shift(0);
    for (int32_t i = 0; i < plan->run.n_events; i++)
        ck_assert(plan->run.events[i].kind != SG_EVENT_REFILL || plan->run.events[i].first == 0);
}
END_TEST

START_TEST(bags_to_order_leave_the_reserve)
{
    /* 3 in stock, 2 used, 5 should be left: 4 to order. */
    add_job(0, 2, 1000);
    shop->machine.hopper_level = 55;
    shop->machine.bags_in_stock = 3;
    shop->machine.reorder = 5;
    shop->stocks[0].fill = 1;
    plan_shift(0);
    ck_assert_int_eq(plan->totals.bags, 2);
    ck_assert_int_eq(plan->totals.bags_to_order, 4);
    expect(plan->totals.sludge, 10);
}
END_TEST

START_TEST(scrap_is_cut_and_not_delivered)
{
    add_job(0, 10, 1000);
    shop->parts[0].scrap = 2;
    plan_shift(0);
    ck_assert_int_eq(plan->parts[0].cuts, 12);
    ck_assert_int_eq(plan->totals.pieces, 10);
    expect(plan->totals.cut, 12000);
    shop->parts[0].quantity = 0;
    plan_shift(0);
    ck_assert_int_eq(plan->parts[0].cuts, 0);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("shifts");
    tcase_add_checked_fixture(cases, set_up, close_shop);
    tcase_add_test(cases, the_next_shift_starts_with_what_the_one_before_leaves);
    tcase_add_test(cases, a_shift_that_runs_over_holds_the_machine);
    tcase_add_test(cases, closed_shifts_and_closed_days_leave_nothing);
    tcase_add_test(cases, the_default_shift_is_the_first_that_is_open);
    tcase_add_test(cases, a_sheet_on_the_table_needs_no_load);
    tcase_add_test(cases, a_stock_may_ask_for_a_full_hopper_at_its_load);
    tcase_add_test(cases, a_hopper_filled_before_a_break_is_filled_before_it);
    tcase_add_test(cases, a_hopper_filled_between_sheets_only_is_not_filled_on_one);
    tcase_add_test(cases, bags_to_order_leave_the_reserve);
    tcase_add_test(cases, scrap_is_cut_and_not_delivered);
    return run_case("plan, shifts", cases);
}
