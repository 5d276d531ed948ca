/* Where a job stands along a setting, and between which values a sweep makes sense: by hand on a shop of
 * round figures, and against what the sweep itself allows there. */
#include "sandglass/sweep_span.h"

#include "support/expect.h"
#include "support/quoted.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>

static struct sg_sweep_input input;
static struct sg_record records[3];
static double least, most, tube;

static void set_up(void)
{
    open_priced_shop(); /* 0.4 mm at 320 MPa: 3.84 L/min, which is 3840 g/min of water */
    shop->machine.max_flow = 15.36;
    shop->machine.max_pressure = 400;
    shop->machine.pump_power = 1000;
    shop->n_records = 0;
    shop->records = records;
    add_stock();
    add_pieces(5);
    input = (struct sg_sweep_input){.shop = shop,
                                    .job = 0,
                                    .stock = SG_UNKNOWN,
                                    .tube_ratio = UNKNOWN,
                                    .rates = &rates,
                                    .weighed = UNKNOWN};
}

static void span(enum sg_sweep_field field)
{
    input.field = field;
    ck_assert(sg_sweep_span(&input, &least, &most));
}

/* What bounds the one value. */
static unsigned bounds_at(double value)
{
    struct sg_sweep sweep;
    struct sg_error error;
    input.from = input.to = value;
    input.step = 1;
    ck_assert_msg(sg_sweep_make(planner, &input, &arena, &sweep, &error) == SG_OK, "%s", error.text);
    return sweep.steps[0].bounds;
}

START_TEST(pressure_goes_from_half_of_the_pump_to_all_of_it)
{
    span(SG_SWEEP_PRESSURE);
    ck_assert_double_eq(least, 200);
    ck_assert_double_eq(most, 400);
    ck_assert(!(bounds_at(most) & SG_BOUND_PRESSURE));
    ck_assert(bounds_at(most + 1) & SG_BOUND_PRESSURE);
}
END_TEST

START_TEST(garnet_goes_to_the_most_that_is_offered)
{
    span(SG_SWEEP_GARNET);
    ck_assert_double_eq_tol(most, 0.15 * 3840, 1e-9);
    ck_assert_double_eq_tol(least, 0.15 * 3840 / 4, 1e-9);
    ck_assert(!(bounds_at(most) & SG_BOUND_UNWEIGHED));
    ck_assert(bounds_at(most + 1) & SG_BOUND_UNWEIGHED);
}
END_TEST

START_TEST(what_was_weighed_is_the_most)
{
    records[0] = (struct sg_record){.what = SG_RECORD_WEIGH, .place = "", .feed = 500};
    records[1] = (struct sg_record){.what = SG_RECORD_WEIGH, .place = shop->heads[0].name, .feed = 700};
    records[2] = (struct sg_record){.what = SG_RECORD_WEIGH, .place = shop->heads[1].name, .feed = 900};
    ck_assert_double_nan(sg_sweep_weighed(shop, 0, SG_UNKNOWN));
    for (int n = 1; n <= 3; n++) {
        static const double largest[] = {500, 700, 700}; /* the third head does not cut the job */
        shop->n_records = n;
        ck_assert_double_eq(sg_sweep_weighed(shop, 0, SG_UNKNOWN), largest[n - 1]);
    }
    input.weighed = 700;
    span(SG_SWEEP_GARNET);
    ck_assert_double_eq(most, 700);
    ck_assert_double_eq(least, 175);
    ck_assert(!(bounds_at(700) & SG_BOUND_UNWEIGHED));
    ck_assert(bounds_at(701) & SG_BOUND_UNWEIGHED);
}
END_TEST

/* Four times the flow goes through twice the bore. */
START_TEST(orifices_go_to_the_one_that_takes_the_flow)
{
    span(SG_SWEEP_ORIFICE);
    ck_assert_double_eq_tol(most, 0.8, 1e-9);
    ck_assert_double_eq_tol(least, 0.4, 1e-9);
    ck_assert(!(bounds_at(most) & SG_BOUND_FLOW));
    ck_assert(bounds_at(most * 1.001) & SG_BOUND_FLOW);
    test.heads[0].heads = 2;
    span(SG_SWEEP_ORIFICE);
    ck_assert_double_eq_tol(most, 0.8 / sqrt(2), 1e-9);
}
END_TEST

START_TEST(what_is_held_now_lies_within)
{
    test.heads[0].pressure = 150;
    span(SG_SWEEP_PRESSURE);
    ck_assert_double_eq(least, 150);
    test.heads[0].pressure = 420;
    span(SG_SWEEP_PRESSURE);
    ck_assert_double_eq(most, 420);
    span(SG_SWEEP_EDGE);
    ck_assert_double_eq(least, 1);
    ck_assert_double_eq(most, 5);
}
END_TEST

START_TEST(stocks_that_differ_have_no_value_in_common)
{
    input.field = SG_SWEEP_EDGE;
    shop->stocks[0].edge = 2;
    ck_assert_double_eq(sg_sweep_now(&input, &tube), 2);
    add_stock()->edge = 4;
    add_pieces(5);
    ck_assert_double_nan(sg_sweep_now(&input, &tube));
    input.stock = 1;
    ck_assert_double_eq(sg_sweep_now(&input, &tube), 4);
    input.stock = SG_UNKNOWN;
    input.field = SG_SWEEP_ORIFICE;
    ck_assert_double_eq(sg_sweep_now(&input, &tube), 0.4);
    ck_assert_double_eq(tube, test.heads[0].tube);
}
END_TEST

START_TEST(water_alone_has_no_garnet_to_sweep)
{
    shop->stocks[0].head = 1;
    input.field = SG_SWEEP_GARNET;
    ck_assert(!sg_sweep_span(&input, &least, &most));
    ck_assert_double_nan(sg_sweep_now(&input, &tube));
    input.field = SG_SWEEP_PRESSURE;
    ck_assert(sg_sweep_span(&input, &least, &most));
    ck_assert_double_eq(sg_sweep_now(&input, &tube), test.heads[1].pressure);
}
END_TEST

int main(void)
{
    TCase *c = tcase_create("span");
    tcase_add_checked_fixture(c, set_up, close_priced_shop);
    tcase_add_test(c, pressure_goes_from_half_of_the_pump_to_all_of_it);
    tcase_add_test(c, garnet_goes_to_the_most_that_is_offered);
    tcase_add_test(c, what_was_weighed_is_the_most);
    tcase_add_test(c, orifices_go_to_the_one_that_takes_the_flow);
    tcase_add_test(c, what_is_held_now_lies_within);
    tcase_add_test(c, stocks_that_differ_have_no_value_in_common);
    tcase_add_test(c, water_alone_has_no_garnet_to_sweep);
    return run_case("sweep span", c);
}
