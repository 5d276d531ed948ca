/* Pictures of plans, drawn from shops in memory and read back off the canvas. */
#ifndef TESTS_PICTURES_H
#define TESTS_PICTURES_H

#include "tui/screens.h"

#include "support/must.h"
#include "support/random.h"
#include "support/shop.h"

#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define POUND_KG 0.45359237 /* exact by definition of the pound */

enum { LINE = 2000, TALL = 20, WIDE = 100 };

static struct test_shop shop;
static struct sg_planner *planner;
static struct sg_ui ui;
static struct sg_canvas canvas;

/* ---- a planned shop under the screens ---- */

static inline void setup(void)
{
    setlocale(LC_ALL, "C.UTF-8");
    test_shop_make(&shop);
    shop.shifts[0].calendar.epoch = 1799992800; /* Fri 15 Jan 2027 06:00 UTC, by date(1) */
    planner = sg_planner_new();
    ck_assert_ptr_nonnull(planner);
}

static inline void teardown(void)
{
    while (ui.depth > 0)
        free(ui.places[--ui.depth].own);
    sg_planner_free(planner);
    sg_canvas_free(&canvas);
    test_shop_free(&shop);
}

static inline const struct sg_plan *plan_it(void)
{
    const struct sg_plan *plan;
    struct sg_error error;
    int64_t row = 1;
    for (int32_t i = 0; i < shop.shop.n_jobs; i++)
        shop.shop.jobs[i].row = row++;
    ck_assert_int_eq(sg_plan_shift(planner, &shop.shop, 0, &plan, &error), SG_OK);
    while (ui.depth > 0)
        free(ui.places[--ui.depth].own);
    memset(&ui, 0, sizeof ui);
    ui.kept = ui.tried = (struct sg_look){&shop.shop, plan};
    return plan;
}

static inline void open_screen(const struct sg_screen *screen, struct sg_target about)
{
    bool hopper = screen == &sg_screen_hopper;
    ui.depth = 1;
    ui.places[0] = (struct sg_place){.screen = hopper ? SG_SCREEN_HOPPER : SG_SCREEN_SHEET, .about = about};
    ck_assert(screen->open(&ui));
}

static inline void open_hopper(void)
{
    open_screen(&sg_screen_hopper, (struct sg_target){SG_KIND_SHIFT, SG_UNKNOWN});
}

static inline void open_sheet(int32_t job)
{
    open_screen(&sg_screen_sheet, (struct sg_target){SG_KIND_JOB, job});
}

static inline void draw(const struct sg_screen *screen, int rows, int columns)
{
    ck_assert(sg_canvas_clear(&canvas, rows, columns));
    ui.body = (struct sg_area){0, 0, rows, columns};
    ui.columns = columns;
    screen->draw(&ui, &canvas, ui.body);
}

static inline const char *row_of(int row)
{
    static char line[LINE];
    sg_canvas_row(&canvas, row, line, sizeof line);
    return line;
}

static inline bool is_shown(const char *words)
{
    for (int row = 0; row < canvas.rows; row++)
        if (strstr(row_of(row), words))
            return true;
    return false;
}

static inline const char *cell(int row, int column)
{
    must_hold(row >= 0 && row < canvas.rows && column >= 0 && column < canvas.columns);
    return canvas.cells[row * canvas.columns + column].text;
}

/* ---- shops ---- */

/* A day of two jobs, three sheets and a refill, with a break. */
static inline void plain_day(void)
{
    shop.shop.machine.hopper_level = 230 * POUND_KG;
    test_shop_break(&shop, 3.5 * 3600, 3.75 * 3600);
    test_shop_job(&shop, 0)->id = "2601";
    struct sg_stock *stock = test_shop_stock(&shop, 1, 12.7);
    stock->sheet_length = 2400;
    stock->sheet_width = 1200;
    test_shop_part(&shop, 24, 3000, 400, 280)->pierces = 4;
    test_shop_part(&shop, 30, 1200, 150, 120)->pierces = 2;
    test_shop_job(&shop, 0)->id = "2602";
    stock = test_shop_stock(&shop, 0, 12.7);
    stock->sheet_length = 1500;
    stock->sheet_width = 1000;
    test_shop_part(&shop, 10, 2500, 300, 300)->pierces = 3;
}

static inline void random_day(struct random *r)
{
    struct sg_machine *machine = &shop.shop.machine;
    machine->hopper = (100 + random_below(r, 1000)) * POUND_KG;
    machine->low_line = machine->hopper * random_below(r, 3) / 10;
    machine->hopper_level = machine->low_line + (machine->hopper - machine->low_line) * random_unit(r);
    machine->bags_in_stock = (int32_t)random_below(r, 40);
    shop.shop.units = random_below(r, 2) ? SG_UNITS_US : SG_UNITS_METRIC;
    shop.shifts[0].calendar.epoch += 60.0 * random_below(r, 300);
    test_shop_break(&shop, 3 * 3600, 3.25 * 3600);
    int jobs = 1 + (int)random_below(r, 4);
    for (int i = 0; i < jobs; i++) {
        test_shop_job(&shop, 0);
        struct sg_stock *stock = test_shop_stock(&shop, (int32_t)random_below(r, 4), 5 + random_below(r, 20));
        stock->sheet_length = 500 + random_below(r, 3000);
        stock->sheet_width = 500 + random_below(r, 2500);
        stock->turn = (int32_t)random_below(r, 2);
        stock->gap = random_below(r, 3) ? stock->gap : 0;
        stock->stack = 1 + (int32_t)random_below(r, 2);
        for (int parts = 1 + (int)random_below(r, 2); parts > 0; parts--)
            test_shop_part(&shop, 1 + (int)random_below(r, 40), 500 + random_below(r, 4000),
                           60 + random_below(r, 400), 60 + random_below(r, 400));
    }
}

/* One program of tests, each on a shop of its own. */
static inline int run_pictures(const char *name, void (*fill)(TCase *))
{
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    tcase_add_checked_fixture(tcase, setup, teardown);
    fill(tcase);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

#endif
