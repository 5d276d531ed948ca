/* A shop in memory, its planner and its last plan, kept between a test's steps. */
#ifndef SANDGLASS_TESTS_PLANNED_H
#define SANDGLASS_TESTS_PLANNED_H

#include "sandglass/plan.h"

#include "support/must.h"
#include "support/shop.h"

#include <math.h>

#define UNKNOWN ((double)NAN)

static struct test_shop test;
static struct sg_shop *shop;
static struct sg_planner *planner;
static const struct sg_plan *plan;

static inline void open_shop(void)
{
    test_shop_make(&test);
    shop = &test.shop;
    planner = sg_planner_new();
}

static inline void close_shop(void)
{
    sg_planner_free(planner);
    test_shop_free(&test);
}

/* Sums are round: hopper 100 kg, full, low line 10, bags of 20; a refill takes 100 s and 10 s a bag; 0.3
 * kg/min of garnet, rapids of 6000 mm/min. */
static inline void open_round_shop(void)
{
    open_shop();
    shop->machine.hopper = shop->machine.hopper_level = 100;
    shop->machine.low_line = 10;
    shop->machine.bag = 20;
    shop->machine.refill = 100;
    shop->machine.refill_per_bag = 10;
    shop->machine.rapid = 6000;
    test.heads[0].garnet = 300;
}

static inline void plan_shift(int32_t shift)
{
    struct sg_error error;
    must(sg_plan_shift(planner, shop, shift, &plan, &error) == SG_OK, "%s", error.text);
}

static inline void plan_it(void)
{
    plan_shift(0);
}

#endif
