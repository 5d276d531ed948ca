/* A run put together by hand, of which the arithmetic can stand beside each case. */
#ifndef SANDGLASS_TESTS_CORE_RUN_BY_HAND_H
#define SANDGLASS_TESTS_CORE_RUN_BY_HAND_H

#include "sandglass/run.h"

#include <check.h>
#include <math.h>
#include <string.h>

/* Hopper 100 kg, low line 10, full; bags of 20, 50 in stock; a refill takes 100 s and 10 s a bag and stops
 * the machine; between pieces; full. One head is fitted; no breaks; the shift closes at 100,000 s. */
struct by_hand {
    struct sg_calendar calendar;
    struct sg_machine machine;
    struct sg_head heads[2];
    struct sg_batch batches[500];
    struct sg_sheets sheets[500];
    struct sg_run_input input;
    struct sg_run run;
};

static struct by_hand hand;

static void set_up(void)
{
    memset(&hand, 0, sizeof hand);
    hand.calendar.close_s = 100000;
    hand.machine = sg_fresh_machine;
    hand.machine.hopper = hand.machine.hopper_level = 100;
    hand.machine.low_line = 10;
    hand.machine.bag = 20;
    hand.machine.bags_in_stock = 50;
    hand.machine.refill = 100;
    hand.machine.refill_per_bag = 10;
    memcpy(hand.heads, sg_fresh_heads, sizeof hand.heads);
    hand.input = (struct sg_run_input){.calendar = &hand.calendar,
                                       .run_in_breaks = true,
                                       .machine = &hand.machine,
                                       .heads = hand.heads,
                                       .n_heads = 2,
                                       .batches = hand.batches,
                                       .sheets = hand.sheets};
}

static void tear_down(void)
{
    sg_run_free(&hand.run);
}

/* More cuts of another part on the last sheet. */
static struct sg_batch *add_on_it(int64_t cuts, double each, double garnet)
{
    struct sg_sheets *sheets = &hand.sheets[hand.input.n_sheets - 1];
    struct sg_batch *batch = &hand.batches[sheets->first + sheets->n++];
    *batch = (struct sg_batch){
        .cuts = cuts, .cut = each, .garnet = garnet, .sheets = hand.input.n_sheets - 1, .part = sheets->n};
    return batch;
}

/* cuts of `each` s and `garnet` kg, all on one sheet, 30 s to load it. */
static struct sg_batch *add(int64_t cuts, double each, double garnet)
{
    struct sg_sheets *sheets = &hand.sheets[hand.input.n_sheets++];
    int32_t first = hand.input.n_sheets > 1 ? sheets[-1].first + sheets[-1].n : 0;
    *sheets = (struct sg_sheets){.first = first, .copies = 1, .load = 30};
    return add_on_it(cuts, each, garnet);
}

/* The same on so many sheets each. */
static struct sg_batch *add_sheets(int64_t copies, int64_t cuts, double each, double garnet)
{
    struct sg_batch *batch = add(cuts, each, garnet);
    hand.sheets[hand.input.n_sheets - 1].copies = copies;
    return batch;
}

static void run_it(void)
{
    sg_run_simulate(&hand.input, &hand.run);
    ck_assert(!hand.run.failed);
}

/* The n-th event of a kind, from 0. */
static const struct sg_event *event(int kind, int n)
{
    for (int32_t i = 0; i < hand.run.n_events; i++)
        if (hand.run.events[i].kind == kind && n-- == 0)
            return &hand.run.events[i];
    ck_abort_msg("there is no such %s", sg_event_word(kind));
    return NULL;
}

static void expect(double value, double expected)
{
    ck_assert_msg(fabs(value - expected) < 1e-6, "%.9g, expected %.9g", value, expected);
}

#endif
