/* A shop in memory with a log: moments are minutes after midnight of one day, 1440 and more the day after.
 *
 * One job "A" with one stock of sheets on which two pieces of a minute lie, 300 g of garnet a minute, loads
 * of 5 minutes, a first check of 3; shift 06:00 to 14:00. A clock's plan is that of one sheet, of its own,
 * unless it is changed. */
#ifndef SANDGLASS_TESTS_LOGGED_H
#define SANDGLASS_TESTS_LOGGED_H

#include "sandglass/actual.h"

#include "support/expect.h"
#include "support/planned.h"

#include <string.h>

enum { LOGGED_DAY = 20000, LOGGED_MOST = 60 };

static struct sg_clock logged_clocks[LOGGED_MOST];
static struct sg_record logged_records[LOGGED_MOST];
static struct sg_arena arena;
static struct sg_actual actual;
static struct sg_rest rest;

static inline int64_t minute(double minutes)
{
    return (int64_t)LOGGED_DAY * SG_DAY_S + (int64_t)(minutes * 60);
}

static inline void logged_stock(int32_t quantity)
{
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->sheet_length = 230;
    stock->sheet_width = 120;
    stock->gap = 10;
    stock->margin = 5;
    stock->feed = 600;
    stock->load = 300;
    stock->first_check = 180;
    test_shop_part(&test, quantity, 600, 100, 100)->pierces = 0;
}

static inline void open_log(void)
{
    open_round_shop();
    shop->clocks = logged_clocks;
    shop->records = logged_records;
    test.shifts[0].date = LOGGED_DAY;
    test.shifts[0].start = 6 * 3600;
    test.shifts[0].calendar.epoch = (double)minute(360);
    test_shop_job(&test, 0);
    logged_stock(8);
}

static inline void close_log(void)
{
    sg_arena_free(&arena);
    close_shop();
}

/* Behind those that are there; they are to come in order of time, as from the shop file. */
static inline struct sg_clock *start(double minutes, const char *place)
{
    struct sg_clock *clock = &shop->clocks[shop->n_clocks];
    *clock = sg_fresh_clock;
    clock->at = minute(minutes);
    clock->place = place;
    clock->sheet = ++shop->n_clocks;
    clock->pieces = 2;
    clock->lies = "2 500000000 A\n";
    clock->material = "steel, mild";
    clock->head = "abrasive";
    clock->planned_cut = 120;
    clock->planned_corner = clock->planned_acceleration = clock->planned_pierce = clock->planned_rapid = 0;
    clock->planned_garnet = 0.6;
    return clock;
}

static inline struct sg_clock *start_hands(double minutes, const char *place, int32_t phase, double planned)
{
    struct sg_clock *clock = start(minutes, place);
    clock->phase = phase;
    clock->planned_hands = planned;
    return clock;
}

static inline struct sg_record *record(double minutes, int32_t what)
{
    struct sg_record *made = &shop->records[shop->n_records++];
    *made = sg_fresh_record;
    made->at = minute(minutes);
    made->what = what;
    return made;
}

static inline void count(double minutes, int32_t what, int32_t n, const char *part)
{
    struct sg_record *made = record(minutes, what);
    made->count = n;
    made->place = part;
}

static inline void level(double minutes, double kg)
{
    record(minutes, SG_RECORD_LEVEL)->mass = kg;
}

static inline void read_at(double minutes)
{
    must_hold(sg_actual_make(shop, minute(minutes), &arena, &actual));
}

/* The rest at a time, and its plan. */
static inline void plan_rest(double minutes)
{
    struct sg_error error;
    read_at(minutes);
    must_hold(sg_actual_rest(shop, &actual, (double)minute(minutes), &arena, &rest));
    must(sg_plan_shift(planner, &rest.shop, rest.shift, &plan, &error) == SG_OK, "%s", error.text);
}

/* Minute at which the plan of the rest ends. */
static inline double rest_ends(void)
{
    return (rest.shop.shifts[rest.shift].calendar.epoch + plan->ends - (double)minute(0)) / 60;
}

static inline void remarked(int32_t index, const char *expected)
{
    char text[300];
    ck_assert_int_lt(index, actual.n_remarks);
    sg_actual_remark_text(shop, &actual.remarks[index], text, sizeof text);
    ck_assert_str_eq(text, expected);
}

#endif
