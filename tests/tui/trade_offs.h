/* The screen of trade-offs, its steps held against sweeps made by another desk. */
#ifndef TESTS_TRADE_OFFS_H
#define TESTS_TRADE_OFFS_H

#include "edit/run_suite.h"
#include "tui/facts.h"
#include "tui/trade.h"

static struct on_screen s;
static struct sg_error error;

static void open_shop(void)
{
    s = on_screen_open(true);
}

static void close_shop(void)
{
    on_screen_close(&s);
}

/* Until nothing is left to compute. */
static void settle(void)
{
    for (int i = 0; i < 100 && sg_ui_idle(s.ui); i++)
        sg_ui_draw(s.ui, &s.canvas);
}

static void go(const char *keys)
{
    press(&s, keys);
    settle();
    sg_ui_draw(s.ui, &s.canvas);
}

static const struct sg_trade *shown(void)
{
    const struct sg_place *place = sg_ui_place(s.ui);
    ck_assert_int_eq(place->screen, SG_SCREEN_TRADE);
    return place->own;
}

static const char *message(void)
{
    return sg_ui_say_message(s.ui);
}

/* Each as a sweep of its own by another desk, on a shop and a planner that know nothing of this one. */
static void ck_steps(void)
{
    const struct sg_trade *trade = shown();
    struct sg_planner *planner = sg_planner_new();
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    ck_assert_int_eq(trade->n_done, trade->n_steps);
    ck_assert_int_gt(trade->n_steps, 1);
    for (int i = 0; i < trade->n_steps; i++) {
        const struct sg_sweep_step *step = &trade->steps[i];
        const struct sg_bore_pair pair = {trade->values[i], trade->tubes[i]};
        struct sg_sweep_input in = trade->input;
        struct sg_arena arena = {0};
        struct sg_sweep sweep;
        in.shop = sg_desk_shop(desk);
        in.rates = &in.shop->rates;
        in.from = in.to = trade->values[i];
        in.step = 1;
        in.pairs = in.field == SG_SWEEP_ORIFICE ? &pair : NULL;
        in.n_pairs = 1;
        shop_must(sg_sweep_make(planner, &in, &arena, &sweep, &error), &error);
        const struct sg_sweep_step *other = &sweep.steps[in.field == SG_SWEEP_HEAD ? i : 0];
        ck_assert_double_eq(step->value, trade->values[i]);
        ck_assert(step->seconds == other->seconds || (isnan(step->seconds) && isnan(other->seconds)));
        ck_assert(step->cost == other->cost || (isnan(step->cost) && isnan(other->cost)));
        ck_assert_uint_eq(step->bounds, other->bounds);
        ck_assert_int_eq(step->refills, other->refills);
        if (i > 0)
            ck_assert_double_gt(step->value, trade->values[i - 1]);
        sg_arena_free(&arena);
    }
    sg_planner_free(planner);
    sg_desk_close(desk);
}

#endif
