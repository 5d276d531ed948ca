/* How long a plan takes: medians of many runs, beside a bare C loop of the same formulas in the same run. For
 * information; nothing here fails. */
#include "sandglass/plan.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { LINES_A_STOCK = 5, RUNS = 301 };

struct bench {
    struct sg_shop shop;
    struct sg_material steel;
    struct sg_head heads[2];
    struct sg_shift shift;
    struct sg_planner *planner;
};

static void *room_for(size_t n, size_t size)
{
    void *room = calloc(n, size);
    if (!room) {
        perror("bench_plan");
        exit(EXIT_FAILURE);
    }
    return room;
}

static double side(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return 50 + (*state >> 8) % 551;
}

/* One job of n typed part lines, so many on each stock; mixed: of all sizes from 50 to 600 mm. */
static void make(struct bench *b, int32_t n, int32_t on_stock, int32_t quantity, bool mixed)
{
    struct sg_shop *shop = &b->shop;
    uint32_t state = 424242;
    b->steel = sg_fresh_material;
    b->steel.name = "steel, mild";
    b->steel.machinability = 87.6;
    b->steel.density = 7850;
    b->heads[0] = sg_fresh_heads[0];
    b->heads[1] = sg_fresh_heads[1];
    b->shift = sg_fresh_shift;
    b->shift.calendar = (struct sg_calendar){.epoch = 1.8e9, .close_s = 8 * 3600, .n_breaks = 1};
    b->shift.calendar.breaks[0].from_s = 4 * 3600;
    b->shift.calendar.breaks[0].to_s = 4.5 * 3600;
    *shop = (struct sg_shop){.machine = sg_fresh_machine,
                             .n_materials = 1,
                             .n_heads = 2,
                             .n_shifts = 1,
                             .n_jobs = 1,
                             .n_stocks = n / on_stock,
                             .n_parts = n,
                             .materials = &b->steel,
                             .heads = b->heads,
                             .shifts = &b->shift};
    shop->machine.bags_in_stock = 1000000;
    shop->jobs = room_for(1, sizeof *shop->jobs);
    shop->stocks = room_for((size_t)shop->n_stocks, sizeof *shop->stocks);
    shop->parts = room_for((size_t)n, sizeof *shop->parts);
    shop->jobs[0] = sg_fresh_job;
    shop->jobs[0].n_stocks = shop->n_stocks;
    for (int32_t i = 0; i < shop->n_stocks; i++) {
        struct sg_stock *stock = &shop->stocks[i];
        *stock = sg_fresh_stock;
        stock->number = i + 1;
        stock->material = 0;
        stock->thickness = 3 + i % 20;
        stock->sheet_length = 2438.4;
        stock->sheet_width = 1219.2;
        stock->first_part = i * on_stock;
        stock->n_parts = on_stock;
    }
    for (int32_t i = 0; i < n; i++) {
        struct sg_part *part = &shop->parts[i];
        *part = sg_fresh_part;
        part->id = "A";
        part->stock = i / on_stock;
        part->quantity = quantity > 0 ? quantity : 1 + i % 7;
        part->pierces = 1 + i % 4;
        part->cut_length = 500 + i % 900;
        part->length = mixed ? side(&state) : 300;
        part->width = mixed ? side(&state) : 200;
    }
    b->planner = sg_planner_new();
}

static void drop(struct bench *b)
{
    sg_planner_free(b->planner);
    free(b->shop.jobs);
    free(b->shop.stocks);
    free(b->shop.parts);
}

static double now_us(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e6 + (double)t.tv_nsec / 1e3;
}

static int by_size(const void *a, const void *b)
{
    double x, y;
    x = *(const double *)a;
    y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Median in us of step(bench, i), and of what it leaves behind. */
static double median(void (*step)(struct bench *, int), struct bench *b, int runs)
{
    static double took[RUNS];
    for (int i = 0; i < runs; i++) {
        double start = now_us();
        step(b, i);
        took[i] = now_us() - start;
    }
    qsort(took, (size_t)runs, sizeof *took, by_size);
    return took[runs / 2];
}

static double sink; /* so that nothing is left out as unused */

static void plan(struct bench *b)
{
    const struct sg_plan *out;
    if (sg_plan_shift(b->planner, &b->shop, 0, &out, NULL) == SG_OK)
        sink += out->totals.elapsed;
}

static void change_pressure(struct bench *b, int i)
{
    b->heads[0].pressure = 350 + i * 0.01;
    plan(b);
}

static void change_quantity(struct bench *b, int i)
{
    b->shop.parts[b->shop.n_parts / 2].quantity = 1 + i % 9;
    plan(b);
}

static void add_one(struct bench *b, int i)
{
    (void)i;
    b->shop.parts[b->shop.n_parts / 2].quantity++;
    plan(b);
}

static void change_nothing(struct bench *b, int i)
{
    (void)i;
    plan(b);
}

/* The formulas and nothing else: a speed and a pierce a stock, seconds and garnet a line. */
static void bare_loop(struct bench *b, int i)
{
    const struct sg_head *head = &b->heads[0];
    double pressure = 350 + i * 0.01, seconds = 0, garnet = 0;
    double jet = pow(pressure, 1.594) * pow(head->orifice, 1.374) * pow(head->garnet, 0.343) /
                 (788 * pow(head->tube, 0.618));
    for (int32_t s = 0; s < b->shop.n_stocks; s++) {
        const struct sg_stock *stock = &b->shop.stocks[s];
        double separation = pow(87.6 * jet / stock->thickness, 1.15);
        double feed = separation * pow(stock->edge, -1.15);
        double pierce = 1.5 + 3 * stock->thickness * 60 / separation;
        for (int32_t p = stock->first_part; p < stock->first_part + stock->n_parts; p++) {
            const struct sg_part *part = &b->shop.parts[p];
            double on = part->cut_length / feed * 60 + part->pierces * pierce;
            seconds += part->quantity * (on + part->pierces * 2.0);
            garnet += part->quantity * on * head->garnet / 60000;
        }
    }
    sink += seconds + garnet;
}

static void show(const char *what, double us, double bare, const char *budget)
{
    printf("%-46s %10.1f us  %6.1f x the bare loop   %s\n", what, us, us / bare, budget);
}

/* One more piece of a part: the whole stock is laid out again. */
static void show_layouts(void)
{
    static const struct {
        const char *what, *budget;
        int32_t parts, quantity;
        double side; /* mm, of all of them; 0: of all sizes */
    } cases[] = {{"one stock of 100 parts, one of each", "at least 2,000 us", 100, 1, 0},
                 {"one stock of 100 parts, ten of each", "", 100, 10, 0},
                 {"40,000 pieces of 30 parts on one stock", "at least 100,000 us", 30, 1333, 0},
                 {"40,000 pieces of 2,000 parts on one stock", "", 2000, 20, 0},
                 {"1,000,000 pieces of 5 x 5 mm on one stock", "at least 100,000 us", 1, 1000000, 5}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct bench b = {.planner = NULL};
        make(&b, cases[i].parts, cases[i].parts, cases[i].quantity, true);
        for (int32_t k = 0; cases[i].side > 0 && k < cases[i].parts; k++)
            b.shop.parts[k].length = b.shop.parts[k].width = cases[i].side;
        double changed = median(add_one, &b, RUNS / 30), bare = median(bare_loop, &b, RUNS);
        show(cases[i].what, changed, bare, cases[i].budget);
        show("  after a pressure change", median(change_pressure, &b, RUNS / 3), bare, "");
        drop(&b);
    }
}

int main(void)
{
    struct bench few = {.planner = NULL}, many = {.planner = NULL};
    make(&few, 500, LINES_A_STOCK, 0, false);
    make(&many, 50000, LINES_A_STOCK, 0, false);
    double bare_few = median(bare_loop, &few, RUNS), bare_many = median(bare_loop, &many, RUNS / 3);
    printf("bare loop: 500 lines %.1f us, 50,000 lines %.1f us\n", bare_few, bare_many);
    show("500 lines after a pressure change", median(change_pressure, &few, RUNS), bare_few,
         "at least 100, aim 30 us");
    show("500 lines, one changed quantity", median(change_quantity, &few, RUNS), bare_few,
         "at least 20, aim 5 us");
    show("500 lines, nothing changed", median(change_nothing, &few, RUNS), bare_few, "");
    show("50,000 lines after a pressure change", median(change_pressure, &many, RUNS / 3), bare_many,
         "at least 10,000, aim 3,000 us");
    show("50,000 lines, one changed quantity", median(change_quantity, &many, RUNS / 3), bare_many, "");
    few.shop.machine.refill_when = SG_WHEN_LEAST_WAIT;
    show("500 lines, one changed quantity, least_wait", median(change_quantity, &few, RUNS / 10), bare_few,
         "");
    drop(&few);
    drop(&many);
    show_layouts();
    return sink > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
