/* At any size no picture is drawn outside its area. */
#include "tui/hours.h"
#include "tui/pictures.h"

#include <math.h>

/* Draws into the middle of a canvas and looks at the cells around it. */
static void check_inside(void (*draw_it)(struct sg_area area), int rows, int columns)
{
    enum { EDGE = 2 };
    struct sg_area area = {EDGE, EDGE, rows, columns};
    ck_assert(sg_canvas_clear(&canvas, rows + 2 * EDGE, columns + 2 * EDGE));
    draw_it(area);
    for (int row = 0; row < canvas.rows; row++)
        for (int c = 0; c < canvas.columns; c++) {
            bool inside = row >= EDGE && row < EDGE + rows && c >= EDGE && c < EDGE + columns;
            const char *text = cell(row, c);
            must(inside || text[0] == ' ', "%dx%d: \"%s\" at row %d, column %d", columns, rows, text,
                 row - EDGE, c - EDGE);
        }
}

static void draw_hopper(struct sg_area area)
{
    ui.body = area;
    sg_screen_hopper.draw(&ui, &canvas, area);
}

static void draw_sheet(struct sg_area area)
{
    char words[600];
    ui.body = area;
    sg_screen_sheet.draw(&ui, &canvas, area);
    sg_screen_sheet.legend(&ui, words, sizeof words);
}

static void draw_hours(struct sg_area area)
{
    sg_hours_draw(&canvas, area, &ui.tried);
}

static void draw_people(struct sg_area area)
{
    sg_people_draw(&canvas, area, &ui.tried);
}

static void check_sizes(void (*draw_it)(struct sg_area area))
{
    for (ui.how.wide = false;; ui.how.wide = true) {
        for (int rows = 1; rows <= 60; rows += rows < 14 ? 1 : 9)
            for (int columns = 1; columns <= 200; columns += columns < 30 ? 1 : columns < 80 ? 5 : 17)
                check_inside(draw_it, rows, columns);
        if (ui.how.wide)
            return;
    }
}

START_TEST(nothing_is_drawn_outside)
{
    static void (*const pictures[])(struct sg_area area) = {draw_hopper, draw_sheet, draw_hours, draw_people};
    plain_day();
    shop.shop.jobs[0].id = "2601 \xE7\x95\xAA\xE5\x8F\xB7"; /* two wide characters */
    plan_it();
    if (_i == 1)
        open_sheet(0);
    else
        open_hopper();
    check_sizes(pictures[_i]);
    ui.places[0].zoom = 3;
    check_inside(pictures[_i], 20, 77);
}
END_TEST

START_TEST(nothing_is_drawn_outside_without_a_plan_to_show)
{
    if (_i > 0)
        plain_day();
    if (_i == 1)
        shop.shop.machine.bags_in_stock = 0;
    if (_i == 2)
        shop.shop.parts[0].length = shop.shop.parts[1].cut_length = (double)NAN;
    plan_it();
    open_hopper();
    check_sizes(draw_hopper);
    if (_i == 2) {
        open_sheet(0);
        check_sizes(draw_sheet);
    }
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_loop_test(tcase, nothing_is_drawn_outside, 0, 4);
    tcase_add_loop_test(tcase, nothing_is_drawn_outside_without_a_plan_to_show, 0, 3);
}

int main(void)
{
    return run_pictures("pictures_sizes", fill);
}
