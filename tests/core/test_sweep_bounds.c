/* What bounds a sweep: no step that the pump, the formula or the parts rule out is offered, and what cannot
 * be swept is refused. */
#include "core/swept.h"
#include "support/expect.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>
#include <string.h>

START_TEST(no_garnet_feed_past_a_loading_of_15_percent_is_offered_unweighed)
{
    /* 3.84 L/min of water: 0.15 of it is 576 g/min, 0.25 is 960. So few pieces need no refill, which would
     * make a lower feed the quickest. */
    shop->parts[0].quantity = 8;
    range(SG_SWEEP_GARNET, 100.5, 1100.5, 1);
    make();
    for (int32_t i = 0; i < sweep.n_steps; i++) {
        const struct sg_sweep_step *step = &sweep.steps[i];
        ck_assert_int_eq(step->allowed, step->value < 576);
        ck_assert_int_eq((step->bounds & SG_BOUND_UNWEIGHED) != 0, step->value > 576);
        ck_assert_int_eq((step->bounds & SG_BOUND_LOADING) != 0, step->value > 960);
    }
    expect(sweep.steps[sweep.quickest].value, 575.5);
    ck_assert(sweep.still_rising);
}
END_TEST

START_TEST(no_garnet_feed_above_the_largest_weighed_is_offered)
{
    range(SG_SWEEP_GARNET, 100, 1100, 1);
    input.weighed = 350;
    make();
    expect(sweep.steps[sweep.quickest].value, 350);
    ck_assert(sweep.still_rising);
    input.weighed = 1000; /* past 0.25, but the shop has weighed it, and cuts with nearly as much */
    test.heads[0].garnet = 950;
    make();
    expect(sweep.steps[sweep.quickest].value, 1000);
    ck_assert_uint_eq(sweep.steps[sweep.quickest].bounds & SG_BOUND_LOADING, 0);
    input.to = 900;
    make();
    ck_assert(!sweep.still_rising); /* what was asked for ends before the bound */
}
END_TEST

/* 600 g/min through 0.33 mm says nothing of so much through 0.15 mm. */
START_TEST(what_was_weighed_does_not_prove_another_orifice)
{
    test.heads[0].garnet = 600;
    input.weighed = 600;
    range(SG_SWEEP_ORIFICE, 0.15, 0.4, 0.01);
    make();
    int over = 0;
    for (int32_t i = 0; i < sweep.n_steps; i++) {
        const struct sg_sweep_step *step = &sweep.steps[i];
        bool above = step->loading_ratio > 0.25;
        ck_assert_int_eq((step->bounds & SG_BOUND_LOADING) != 0, above);
        ck_assert(!above || !step->allowed);
        over += above;
    }
    ck_assert(over > 2 && over < sweep.n_steps);
}
END_TEST

START_TEST(no_step_outside_the_formulas_range_is_offered_unless_the_job_is_outside)
{
    /* Fitted from 100 to 900 g/min and from 140 to 380 MPa. */
    input.weighed = 2000;
    range(SG_SWEEP_GARNET, 10, 1000, 10);
    make();
    for (int32_t i = 0; i < sweep.n_steps; i++) {
        const struct sg_sweep_step *step = &sweep.steps[i];
        bool inside = step->value >= 100 && step->value <= 900;
        ck_assert_int_eq(step->allowed, inside);
        ck_assert_int_eq((step->bounds & SG_BOUND_RANGE) == 0, inside);
    }
    expect(sweep.steps[sweep.quickest].value, 900);
    range(SG_SWEEP_GARNET, 0.1, 0.7, 0.1); /* lb/min read as g/min: nothing of it is worth a recommendation */
    make();
    ck_assert_int_eq(sweep.quickest, SG_UNKNOWN);
    ck_assert_int_eq(sweep.cheapest, SG_UNKNOWN);
    range(SG_SWEEP_PRESSURE, 360, 420, 10);
    make();
    expect(sweep.steps[sweep.quickest].value, 380);
    test.heads[0].pressure = 400; /* as the shop cuts */
    shop->machine.max_pressure = 500;
    make();
    expect(sweep.steps[sweep.quickest].value, 420);
    /* 3.84 L/min at 320 MPa is 4.29 at 400: 0.01 of it is 43 g/min. */
    range(SG_SWEEP_GARNET, 40, 45, 1);
    make();
    ck_assert_int_eq(sweep.steps[2].allowed, false);
    ck_assert_int_eq(sweep.steps[3].allowed, true);
    test.heads[0].garnet = 20;
    make();
    ck_assert_int_eq(sweep.steps[0].allowed, true);
}
END_TEST

START_TEST(the_pump_bounds_pressure_power_and_flow)
{
    shop->machine.max_pressure = 350;
    range(SG_SWEEP_PRESSURE, 300, 400, 10);
    make();
    expect(sweep.steps[sweep.quickest].value, 350);
    ck_assert_uint_eq(sweep.steps[5].bounds, 0);
    ck_assert_uint_eq(sweep.steps[6].bounds & SG_BOUND_PRESSURE, SG_BOUND_PRESSURE);
    ck_assert(!sweep.still_rising);
    shop->machine.max_pressure = 500;
    shop->machine.max_flow = 3.9; /* 3.84 L/min at 320 MPa, by the root of 330/320 more at 330: 3.8996 */
    make();
    expect(sweep.steps[sweep.quickest].value, 330);
    ck_assert_uint_eq(sweep.steps[4].bounds & SG_BOUND_FLOW, SG_BOUND_FLOW);
    shop->machine.max_flow = 100;
    shop->machine.pump_power = 1;
    make();
    ck_assert_int_eq(sweep.cheapest, SG_UNKNOWN);
    ck_assert_int_eq(sweep.quickest, SG_UNKNOWN);
    ck_assert_uint_eq(sweep.steps[0].bounds & SG_BOUND_POWER, SG_BOUND_POWER);
}
END_TEST

START_TEST(the_top_feed_and_a_typed_feed_are_told)
{
    shop->stocks[0].thickness = 0.3;
    range(SG_SWEEP_GARNET, 200, 300, 50);
    shop->machine.top_feed = 1000;
    make();
    for (int32_t i = 0; i < sweep.n_steps; i++)
        ck_assert_uint_eq(sweep.steps[i].bounds & SG_BOUND_TOP_FEED, SG_BOUND_TOP_FEED);
    ck_assert_int_eq(sweep.cheapest, 0); /* no quicker with more */
    shop->stocks[0].feed = 300;
    make();
    ck_assert_uint_eq(sweep.steps[0].bounds & SG_BOUND_TYPED, SG_BOUND_TYPED);
    ck_assert_uint_eq(sweep.steps[0].bounds & SG_BOUND_TOP_FEED, 0);
    expect(sweep.steps[0].traverse, 300);
}
END_TEST

START_TEST(an_edge_coarser_than_the_parts_may_be_is_not_offered)
{
    range(SG_SWEEP_EDGE, 1, 5, 0.5);
    make(); /* edge 3 is wanted, nothing is said of a coarser one */
    expect(sweep.steps[sweep.cheapest].value, 3);
    ck_assert_uint_eq(sweep.steps[3].bounds & SG_BOUND_TOO_COARSE, SG_BOUND_TOO_COARSE);
    shop->parts[0].edge_least = 2;
    make();
    expect(sweep.steps[sweep.cheapest].value, 2);
    expect(sweep.steps[sweep.quickest].value, 2);
}
END_TEST

START_TEST(every_head_is_tried_and_water_alone_does_not_cut_steel)
{
    input.field = SG_SWEEP_HEAD;
    test.heads[2] = test.heads[0];
    test.heads[2].name = "small";
    test.heads[2].garnet = 200;
    shop->n_heads = 3;
    make();
    ck_assert_int_eq(sweep.n_steps, 3);
    ck_assert_int_eq(sweep.quickest, 0);
    ck_assert(sweep.steps[0].allowed && sweep.steps[2].allowed && !sweep.steps[1].allowed);
    ck_assert_uint_eq(sweep.steps[1].bounds & SG_BOUND_WATER_NO, SG_BOUND_WATER_NO);
    ck_assert_uint_eq(sweep.steps[1].bounds & SG_BOUND_NO_END, SG_BOUND_NO_END);
    ck_assert(isnan(sweep.steps[1].cost) && isnan(sweep.steps[1].seconds));
}
END_TEST

/* ---- what cannot be ---- */

static void expect_refused(int line, const char *words)
{
    struct sg_error error;
    struct sg_sweep before = sweep;
    ck_assert_msg(sg_sweep_make(planner, &input, &arena, &sweep, &error) == SG_BAD_DATA, "line %d", line);
    ck_assert_msg(strstr(error.text, words) != NULL, "line %d: %s", line, error.text);
    ck_assert(memcmp(&before, &sweep, sizeof sweep) == 0);
}

START_TEST(sweeps_that_cannot_be_are_refused)
{
    static const struct {
        enum sg_sweep_field field;
        double from, to, step;
        const char *words;
    } all[] = {
        {SG_SWEEP_GARNET, 100, 400, 0, "garnet from 100 to 400 by 0: give two figures and a step above 0"},
        {SG_SWEEP_GARNET, 100, 400, -1, "a step above 0"},
        {SG_SWEEP_GARNET, 100, (double)INFINITY, 1, "give two figures"},
        {SG_SWEEP_GARNET, 400, 100, 1, "garnet from 400 down to 100: give the lower figure first"},
        {SG_SWEEP_GARNET, 1, 10001, 1, "10001 steps of garnet: a sweep has 1 to 10000"},
        {SG_SWEEP_GARNET, 1, 2, 1e-300, "take a larger step"},
        {SG_SWEEP_GARNET, 0, 400, 100, "garnet 0 g/min cannot be: it is above 0 and at most 10000"},
        {SG_SWEEP_PRESSURE, 900, 1100, 100, "pressure 1100 MPa cannot be"},
        {SG_SWEEP_EDGE, 1, 6, 1, "edge 6"},
        {SG_SWEEP_ORIFICE, 0.2, 6, 0.2, "orifice 5.2 mm cannot be"},
    };
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        range(all[i].field, all[i].from, all[i].to, all[i].step);
        expect_refused((int)i, all[i].words);
    }
    static const struct sg_bore_pair pairs[] = {{0.4, 0.3}};
    range(SG_SWEEP_ORIFICE, 0, 0, 0);
    input.pairs = pairs;
    input.n_pairs = 1;
    expect_refused(__LINE__, "is not wider than the orifice");
    input.n_pairs = 0;
    expect_refused(__LINE__, "0 steps of orifice");
    range(SG_SWEEP_GARNET, 100, 200, 100);
    shop->stocks[0].material = 3;
    expect_refused(__LINE__, "job A is cut with water alone: there is no garnet to sweep");
    shop->stocks[0].material = 0;
    rates.labour = -1;
    expect_refused(__LINE__, "the rate labour is -1");
}
END_TEST

START_TEST(every_field_and_bound_has_its_words)
{
    for (int i = 0; i < SG_SWEEP_FIELDS; i++)
        ck_assert_int_eq(sg_sweep_find(sg_sweep_word(i)), i);
    ck_assert_int_eq(sg_sweep_find("colour"), SG_UNKNOWN);
    /* A bound stands in files by its word. */
    static const struct {
        unsigned bound;
        const char *word;
    } all[] = {{SG_BOUND_PRESSURE, "pump_pressure"},
               {SG_BOUND_FLOW, "pump_flow"},
               {SG_BOUND_POWER, "pump_power"},
               {SG_BOUND_LOADING, "loading_ratio"},
               {SG_BOUND_UNWEIGHED, "garnet_not_weighed"},
               {SG_BOUND_TOP_FEED, "top_feed"},
               {SG_BOUND_TYPED, "typed_feed"},
               {SG_BOUND_RANGE, "outside_range"},
               {SG_BOUND_TUBE_RATIO, "tube_ratio"},
               {SG_BOUND_NO_CUT, "will_not_cut"},
               {SG_BOUND_WATER_NO, "water_no"},
               {SG_BOUND_TOO_COARSE, "too_coarse"},
               {SG_BOUND_NO_END, "no_end"}};
    ck_assert_uint_eq(sizeof all / sizeof *all, SG_BOUNDS);
    for (int i = 0; i < SG_BOUNDS; i++) {
        ck_assert_uint_eq(all[i].bound, 1u << i);
        ck_assert_str_eq(sg_bound_word(i), all[i].word);
        ck_assert_str_ne(sg_bound_text(i), "");
    }
}
END_TEST

int main(void)
{
    TCase *sweeps = tcase_create("sweep, bounds");
    tcase_add_checked_fixture(sweeps, open_swept_shop, close_priced_shop);
    tcase_add_test(sweeps, what_was_weighed_does_not_prove_another_orifice);
    tcase_add_test(sweeps, no_garnet_feed_past_a_loading_of_15_percent_is_offered_unweighed);
    tcase_add_test(sweeps, no_garnet_feed_above_the_largest_weighed_is_offered);
    tcase_add_test(sweeps, no_step_outside_the_formulas_range_is_offered_unless_the_job_is_outside);
    tcase_add_test(sweeps, the_pump_bounds_pressure_power_and_flow);
    tcase_add_test(sweeps, the_top_feed_and_a_typed_feed_are_told);
    tcase_add_test(sweeps, an_edge_coarser_than_the_parts_may_be_is_not_offered);
    tcase_add_test(sweeps, every_head_is_tried_and_water_alone_does_not_cut_steel);
    tcase_add_test(sweeps, sweeps_that_cannot_be_are_refused);
    tcase_add_test(sweeps, every_field_and_bound_has_its_words);
    return run_case("sweep, bounds", sweeps);
}
