/* A priced job and a sweep of it. */
#ifndef SANDGLASS_TESTS_CORE_SWEPT_H
#define SANDGLASS_TESTS_CORE_SWEPT_H

#include "sandglass/sweep.h"

#include "support/quoted.h"

static struct sg_sweep sweep;
static struct sg_sweep_input input;

static void open_swept_shop(void)
{
    open_priced_shop();
    shop->machine.max_flow = 20; /* a pump that binds nothing */
    shop->machine.pump_power = 100;
    struct sg_stock *stock = test_shop_stock(&test, 0, 12);
    stock->sheet_length = 2400;
    stock->sheet_width = 1200;
    stock->sheet_price = sheet_price;
    test_shop_part(&test, 30, 1400, 300, 200)->pierces = 2;
    input = (struct sg_sweep_input){.shop = shop,
                                    .job = 0,
                                    .stock = SG_UNKNOWN,
                                    .field = SG_SWEEP_GARNET,
                                    .from = 100,
                                    .to = 400,
                                    .step = 1,
                                    .tube_ratio = UNKNOWN,
                                    .rates = &rates,
                                    .weighed = UNKNOWN};
}

static void make(void)
{
    struct sg_error error;
    ck_assert_msg(sg_sweep_make(planner, &input, &arena, &sweep, &error) == SG_OK, "%s", error.text);
}

static void range(enum sg_sweep_field field, double from, double to, double step)
{
    input.field = field;
    input.from = from;
    input.to = to;
    input.step = step;
}

#endif
