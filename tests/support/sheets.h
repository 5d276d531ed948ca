/* A job with a stock whose sheets have round sizes. */
#ifndef SANDGLASS_TESTS_SHEETS_H
#define SANDGLASS_TESTS_SHEETS_H

#include "sandglass/outline.h"

#include "support/planned.h"

#include <check.h>

static inline void set_up(void)
{
    open_shop();
    test_shop_job(&test, 0);
}

/* Sheets of 1000 x 500 mm, no gap but the kerf, no margin; a minute to load, a typed feed of 1 m/min. */
static inline struct sg_stock *add_stock(void)
{
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->sheet_length = 1000;
    stock->sheet_width = 500;
    stock->gap = stock->margin = 0;
    stock->feed = 1000;
    stock->pierce_seconds = stock->first_check = 0;
    stock->load = 60;
    return stock;
}

/* A minute a piece. */
static inline struct sg_part *add_part(int32_t quantity, double length, double width)
{
    struct sg_part *part = test_shop_part(&test, quantity, 1000, length, width);
    part->pierces = 0;
    part->rapid_length = 0;
    return part;
}

static inline int64_t cut_by_the_run(int32_t part)
{
    int64_t cuts = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == SG_EVENT_CUT && plan->batches[plan->run.events[i].batch].part == part)
            cuts += plan->run.events[i].cuts;
    return cuts;
}

static struct sg_outline outline;
static struct sg_drawn drawn[] = {{.name = "wedge", .outline = &outline, .print = 7}};

/* A part of that outline: a chain of n corners x, y. */
static inline void add_drawn(const double *xy, int64_t n, int32_t quantity)
{
    struct sg_segment sides[8];
    struct sg_path path = {sides, n};
    struct sg_outline_how how = {.tolerance = 1e-4};
    struct sg_error error = {.text = ""};
    for (int64_t i = 0; i < n; i++) {
        const double *from = xy + 2 * i, *to = xy + 2 * ((i + 1) % n);
        sides[i] = (struct sg_segment){.x0 = from[0], .y0 = from[1], .x1 = to[0], .y1 = to[1]};
    }
    ck_assert_msg(sg_outline_make(&path, &how, &outline, &error) == SG_OK, "%s", error.text);
    struct sg_part *part =
        add_part(quantity, outline.box[2] - outline.box[0], outline.box[3] - outline.box[1]);
    part->outline = 0;
    test.shop.drawn = drawn;
    test.shop.n_drawn = 1;
    test.shop.stocks[0].interlock = true;
}

#endif
