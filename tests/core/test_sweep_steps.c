/* The steps of a sweep against the closed form and against plans made by hand. */
#include "sandglass/number.h"

#include "core/swept.h"
#include "support/expect.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- the check of record ---- */

/* The traverse rises as Ma^a with a = 0.343 x 1.15 = 0.39445, so a cut of a given length takes t = k Ma^-a.
 * Where the time by which money is spent is that of the jet alone - no pierces, nothing by hand - it costs K
 * = t (F + c Ma) = k (F Ma^-a + c Ma^(1-a)), F the cost of a minute of jet without garnet and c that of a
 * gram with its disposal. Then dK/dMa = k Ma^(-a-1) (-a F + (1-a) c Ma) = 0  where  c Ma = a / (1-a) F,  that
 * is  c Ma / (F + c Ma) = a, and Ma = a F / ((1-a) c). Rapids take the same time at every feed and move
 * nothing. */
#define A (0.343 * 1.15)

/* F per minute: 72/h, 25.6 kW at 0.15, 3.84 L at 2.50/m3, 120 in 80 h and 45 in 60 h. */
static const double jet_minute = 72 / 60.0 + 25.6 * 0.15 / 60 + 3.84 * 2.50 / 1000 + 1.5 / 60 + 0.75 / 60;

static void cut_time_alone(void)
{
    struct sg_stock *stock = &shop->stocks[0];
    stock->load = stock->first_check = 0;
    shop->parts[0].pierces = 0;
    shop->parts[0].quantity = 8;
}

START_TEST(the_cheapest_garnet_feed_is_that_of_the_closed_form)
{
    static const double prices[] = {0.70, 0.85, 1.20, 2.00, 5.00};
    cut_time_alone();
    range(SG_SWEEP_GARNET, 50, 1200, 1);
    input.weighed = 1200;
    test.heads[0].garnet = 950; /* outside the range as it is: no bound binds */
    for (size_t i = 0; i < sizeof prices / sizeof *prices; i++) {
        rates.garnet = prices[i];
        make();
        double c = (rates.garnet + rates.disposal) / 1000;
        double ideal = A * jet_minute / ((1 - A) * c);
        const struct sg_sweep_step *best = &sweep.steps[sweep.cheapest];
        ck_assert_uint_eq(best->bounds & ~(unsigned)(SG_BOUND_RANGE), 0);
        ck_assert_int_eq(best->refills, 0);
        expect(best->hands_on, 0);
        ck_assert_msg(fabs(best->value / ideal - 1) < 0.01, "%g g/min, closed form %g", best->value, ideal);
        double share = c * best->value / (jet_minute + c * best->value);
        ck_assert_msg(fabs(share / A - 1) < 0.01, "garnet's share is %g", share);
        ck_assert(sweep.cheapest > 0 && sweep.cheapest < sweep.n_steps - 1);
        ck_assert_int_eq(sweep.quickest, sweep.n_steps - 1); /* the formula rises on */
    }
}
END_TEST

START_TEST(pierces_and_hands_move_the_cheapest_feed_from_the_closed_form)
{
    /* Pierces and loads cost more time: the same feed is no longer the best, so the check above can fail. */
    cut_time_alone();
    range(SG_SWEEP_GARNET, 50, 1200, 1);
    input.weighed = 1200;
    rates.garnet = 2;
    make();
    double alone = sweep.steps[sweep.cheapest].value;
    shop->parts[0].pierces = 30;
    shop->parts[0].pierce_seconds = 20; /* typed: it takes its time whatever the feed, and garnet */
    make();
    ck_assert_double_lt(sweep.steps[sweep.cheapest].value, alone * 0.9);
}
END_TEST

/* ---- a step is a plan ---- */

START_TEST(each_step_is_the_plan_of_a_shop_with_that_value)
{
    range(SG_SWEEP_PRESSURE, 200, 380, 20);
    make();
    ck_assert_int_eq(sweep.n_steps, 10);
    rates.decimals = 4;
    for (int32_t i = 0; i < sweep.n_steps; i++) {
        const struct sg_sweep_step *step = &sweep.steps[i];
        double cost = 0;
        test.heads[0].pressure = 200 + 20 * i;
        make_quote(0);
        for (int row = 0; row <= SG_COST_SETUP; row++)
            cost += (double)quote.rows[row] / 1e4;
        ck_assert_double_lt(fabs(step->cost - cost), 1e-4 * (SG_COST_SETUP + 1)); /* rows are rounded */
        expect(step->seconds, quote.amounts[SG_COST_MACHINE]);
        expect(step->hands_on, quote.amounts[SG_COST_LABOUR]);
        expect(step->tubes, quote.amounts[SG_COST_TUBE]);
        plan_it();
        expect(step->value, 200 + 20 * i);
        expect(step->jet, plan->jobs[0].cut + plan->jobs[0].pierce);
        expect(step->garnet, plan->jobs[0].garnet);
        expect(step->water, plan->totals.water);
        expect(step->energy, plan->totals.energy);
        expect(step->ends, plan->jobs[0].ends);
        expect(step->seconds, plan->totals.elapsed); /* one job, no breaks: the whole run */
        expect(step->traverse, plan->stocks[0].setup.traverse);
        expect(step->loading_ratio, plan->stocks[0].setup.loading_ratio);
        ck_assert_int_eq(step->refills, plan->totals.refills);
    }
    ck_assert_int_eq(sweep.quickest, 9);
}
END_TEST

START_TEST(the_last_step_is_just_what_was_asked_for)
{
    range(SG_SWEEP_ORIFICE, 0.1, 0.3, 0.1); /* 0.1 + 2 x 0.1 is a bit more than 0.3 in binary */
    make();
    ck_assert_int_eq(sweep.n_steps, 3);
    ck_assert(sweep.steps[2].value == 0.3);
    range(SG_SWEEP_GARNET, 100, 399, 100);
    make();
    ck_assert_int_eq(sweep.n_steps, 3);
    ck_assert(sweep.steps[2].value == 300);
}
END_TEST

START_TEST(refills_that_fall_into_the_job_are_counted)
{
    /* 900 pieces of 1400 mm at 700 mm/min, 2 minutes each. 200 g/min are 0.4 kg a piece: 225 of them to the
     * low line, then 200 for each 4 bags: refills after 225, 425, 625 and 825. 400 g/min are 0.8 kg: 112 to a
     * level of 10.4, then 100 for each 4 bags: refills after 112, 212 and so on to 812. */
    shop->stocks[0].feed = 700;
    shop->parts[0].pierces = 0;
    shop->parts[0].quantity = 900;
    range(SG_SWEEP_GARNET, 200, 400, 200);
    make();
    ck_assert_int_eq(sweep.steps[0].refills, 4);
    ck_assert_int_eq(sweep.steps[1].refills, 8);
}
END_TEST

START_TEST(only_the_stock_that_is_asked_for_is_changed)
{
    test_shop_stock(&test, 0, 12);
    test_shop_part(&test, 5, 1000, 200, 100);
    range(SG_SWEEP_EDGE, 1, 5, 1);
    input.stock = 1;
    shop->parts[1].edge_least = 1;
    make();
    shop->stocks[1].edge = 5;
    plan_it();
    expect(sweep.steps[4].jet, plan->jobs[0].cut + plan->jobs[0].pierce);
    expect(sweep.steps[4].traverse, plan->stocks[1].setup.traverse);
    expect(shop->stocks[0].edge, 3);
}
END_TEST

START_TEST(steps_are_those_that_would_be_typed)
{
    const struct sg_unit *ksi = sg_unit_find("ksi", 3);
    input.unit = ksi;
    range(SG_SWEEP_PRESSURE, 40, 50, 0.1);
    make();
    ck_assert_int_eq(sweep.n_steps, 101);
    for (int32_t i = 0; i < sweep.n_steps; i++) {
        char typed[20];
        struct sg_reading how = {.dimension = SG_DIM_PRESSURE, .bare = ksi};
        struct sg_parsed parsed;
        snprintf(typed, sizeof typed, "%d.%d", 40 + i / 10, i % 10);
        sg_number_parse(typed, &how, &parsed);
        ck_assert(sweep.steps[i].value == parsed.value);
    }
}
END_TEST

START_TEST(a_step_takes_what_the_job_takes_alone_and_ends_as_the_shift_goes)
{
    /* A break of an hour, a job before it, and a hopper that is nearly empty: time, cost and refills are as
     * without them, the end is that of the plan. */
    range(SG_SWEEP_PRESSURE, 300, 320, 20);
    make();
    struct sg_sweep_step alone[2] = {sweep.steps[0], sweep.steps[1]};
    struct test_shop other;
    test_shop_make(&other);
    test_shop_job(&other, 0);
    test_shop_stock(&other, 0, 12)->feed = 100;
    test_shop_part(&other, 100, 3000, 100, 100);
    test_shop_job(&other, 0);
    struct sg_stock *stock = test_shop_stock(&other, 0, 12);
    *stock = shop->stocks[0];
    stock->job = stock->first_part = 1;
    *test_shop_part(&other, 1, 1, 1, 1) = shop->parts[0];
    other.shop.parts[1].stock = 1;
    stock->n_parts = 1;
    test_shop_break(&other, 3600, 7200);
    other.shop.machine = shop->machine;
    other.shop.machine.hopper_level = other.shop.machine.low_line;
    other.shop.machine.bags_in_stock = 1000;
    memcpy(other.heads, test.heads, sizeof test.heads);
    other.shifts[0].run_in_breaks = 0;
    input.shop = &other.shop;
    input.job = 1;
    make();
    for (int i = 0; i < 2; i++) {
        expect(sweep.steps[i].seconds, alone[i].seconds);
        expect(sweep.steps[i].cost, alone[i].cost);
        ck_assert_int_eq(sweep.steps[i].refills, alone[i].refills);
        other.heads[0].pressure = sweep.steps[i].value;
        struct sg_error error;
        must_hold(sg_plan_shift(planner, &other.shop, 0, &plan, &error) == SG_OK);
        expect(sweep.steps[i].ends, plan->jobs[1].ends);
        ck_assert_double_gt(sweep.steps[i].ends, alone[i].ends + 3600);
    }
    test_shop_free(&other);
}
END_TEST

START_TEST(a_low_pressure_goes_down_with_the_pressure)
{
    /* Glass is pierced at a low pressure, here of 100 MPa; the feed is typed, so that pierces alone tell.
     * They take t0 + kappa h / u of the low pressure, and u goes with P^(1.594 x 1.15). */
    range(SG_SWEEP_PRESSURE, 80, 120, 20);
    shop->stocks[0].material = 2;
    shop->stocks[0].feed = 300;
    test.heads[0].low_pressure = 100;
    make();
    double cut = 30 * 1400 / 300.0 * 60 + 60 * shop->machine.pierce_base[SG_PIERCE_LOW];
    expect(sweep.steps[2].jet, sweep.steps[1].jet);
    expect((sweep.steps[0].jet - cut) / (sweep.steps[1].jet - cut), pow(100 / 80.0, 1.594 * 1.15));
}
END_TEST

START_TEST(orifices_go_with_their_tubes)
{
    static const struct sg_bore_pair pairs[] = {{0.25, 0.76}, {0.33, 1.02}, {0.36, 1.07}, {0.30, 0.60}};
    const double ratio = test.heads[0].tube / test.heads[0].orifice;
    range(SG_SWEEP_ORIFICE, 0.25, 0.35, 0.05);
    make();
    ck_assert_int_eq(sweep.n_steps, 3);
    expect(sweep.steps[2].tube, 0.35 * ratio);
    input.tube_ratio = 3;
    make();
    expect(sweep.steps[2].tube, 1.05);
    input.pairs = pairs;
    input.n_pairs = 4;
    make();
    ck_assert_int_eq(sweep.n_steps, 4);
    expect(sweep.steps[1].value, 0.33);
    expect(sweep.steps[1].tube, 1.02);
    ck_assert_uint_eq(sweep.steps[3].bounds & SG_BOUND_TUBE_RATIO, SG_BOUND_TUBE_RATIO);
    ck_assert(!sweep.steps[3].allowed); /* twice the orifice: the formula would like it */
    test.heads[0].orifice = 0.36;
    test.heads[0].tube = 1.07;
    plan_it();
    expect(sweep.steps[2].jet, plan->jobs[0].cut + plan->jobs[0].pierce);
}
END_TEST

START_TEST(a_cost_says_what_it_leaves_out)
{
    rates.water = UNKNOWN;
    make();
    ck_assert_uint_eq(sweep.lacking, SG_LACK_WATER);
    ck_assert_int_ne(sweep.cheapest, SG_UNKNOWN);
    ck_assert_double_gt(sweep.steps[0].cost, 0);
}
END_TEST

START_TEST(ten_thousand_steps_leave_the_shop_as_it_was)
{
    struct sg_head before = test.heads[0];
    struct sg_shop was = *shop;
    range(SG_SWEEP_GARNET, 0.1, 1000, 0.1);
    make();
    ck_assert_int_eq(sweep.n_steps, SG_SWEEP_STEPS_MAX);
    expect(sweep.steps[SG_SWEEP_STEPS_MAX - 1].value, 1000);
    ck_assert(memcmp(&before, &test.heads[0], sizeof before) == 0);
    ck_assert(memcmp(&was, shop, sizeof was) == 0);
}
END_TEST

int main(void)
{
    TCase *sweeps = tcase_create("sweep, steps");
    tcase_add_checked_fixture(sweeps, open_swept_shop, close_priced_shop);
    tcase_add_test(sweeps, the_cheapest_garnet_feed_is_that_of_the_closed_form);
    tcase_add_test(sweeps, pierces_and_hands_move_the_cheapest_feed_from_the_closed_form);
    tcase_add_test(sweeps, each_step_is_the_plan_of_a_shop_with_that_value);
    tcase_add_test(sweeps, the_last_step_is_just_what_was_asked_for);
    tcase_add_test(sweeps, refills_that_fall_into_the_job_are_counted);
    tcase_add_test(sweeps, only_the_stock_that_is_asked_for_is_changed);
    tcase_add_test(sweeps, steps_are_those_that_would_be_typed);
    tcase_add_test(sweeps, a_step_takes_what_the_job_takes_alone_and_ends_as_the_shift_goes);
    tcase_add_test(sweeps, a_low_pressure_goes_down_with_the_pressure);
    tcase_add_test(sweeps, orifices_go_with_their_tubes);
    tcase_add_test(sweeps, a_cost_says_what_it_leaves_out);
    tcase_add_test(sweeps, ten_thousand_steps_leave_the_shop_as_it_was);
    return run_case("sweep, steps", sweeps);
}
