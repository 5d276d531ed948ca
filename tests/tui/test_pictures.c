/* The two pictures, drawn from plans of shops in memory, read back off the canvas. */
#include "tui/chart.h"
#include "tui/hours.h"
#include "tui/pieces.h"
#include "tui/screens.h"

#include "sandglass/ask.h"
#include "support/must.h"
#include "support/random.h"
#include "support/shop.h"

#include <ctype.h>
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

static void setup(void)
{
    setlocale(LC_ALL, "C.UTF-8");
    test_shop_make(&shop);
    shop.shifts[0].calendar.epoch = 1799992800; /* Fri 15 Jan 2027 06:00 UTC, by date(1) */
    planner = sg_planner_new();
    ck_assert_ptr_nonnull(planner);
}

static void teardown(void)
{
    while (ui.depth > 0)
        free(ui.places[--ui.depth].own);
    sg_planner_free(planner);
    sg_canvas_free(&canvas);
    test_shop_free(&shop);
}

static const struct sg_plan *plan_it(void)
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

static void open_screen(const struct sg_screen *screen, struct sg_target about)
{
    bool hopper = screen == &sg_screen_hopper;
    ui.depth = 1;
    ui.places[0] = (struct sg_place){.screen = hopper ? SG_SCREEN_HOPPER : SG_SCREEN_SHEET, .about = about};
    ck_assert(screen->open(&ui));
}

static void open_hopper(void)
{
    open_screen(&sg_screen_hopper, (struct sg_target){SG_KIND_SHIFT, SG_UNKNOWN});
}

static void open_sheet(int32_t job)
{
    open_screen(&sg_screen_sheet, (struct sg_target){SG_KIND_JOB, job});
}

static void draw(const struct sg_screen *screen, int rows, int columns)
{
    ck_assert(sg_canvas_clear(&canvas, rows, columns));
    ui.body = (struct sg_area){0, 0, rows, columns};
    screen->draw(&ui, &canvas, ui.body);
}

static const char *row_of(int row)
{
    static char line[LINE];
    sg_canvas_row(&canvas, row, line, sizeof line);
    return line;
}

static int find_row(const char *start)
{
    for (int row = 0; row < canvas.rows; row++)
        if (strncmp(row_of(row), start, strlen(start)) == 0)
            return row;
    return -1;
}

static bool is_shown(const char *words)
{
    for (int row = 0; row < canvas.rows; row++)
        if (strstr(row_of(row), words))
            return true;
    return false;
}

static const char *cell(int row, int column)
{
    must_hold(row >= 0 && row < canvas.rows && column >= 0 && column < canvas.columns);
    return canvas.cells[row * canvas.columns + column].text;
}

/* ---- shops ---- */

/* A day of two jobs, three sheets and a refill, with a break. */
static void plain_day(void)
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

static void random_day(struct random *r)
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

/* ---- the chart of the hopper ---- */

/* From the events, not through the function that the chart is drawn with: refills stop the machine here. */
static double level_at(const struct sg_plan *plan, double t)
{
    double level = plan->start.level;
    for (int32_t i = 0; i < plan->run.n_events && plan->run.events[i].at <= t; i++) {
        const struct sg_event *e = &plan->run.events[i];
        double part = e->seconds > 0 ? fmin(1, (t - e->at) / e->seconds) : 1;
        level = e->level;
        if (e->kind == SG_EVENT_CUT)
            level -= e->garnet * part;
        else if (e->kind == SG_EVENT_REFILL && part >= 1)
            level += e->garnet;
    }
    return level;
}

/* Minutes by which the first column starts before the shift does: it starts at a round time of the clock. */
static int early(int minutes)
{
    return (int)(fmod(shop.shifts[0].calendar.epoch, 86400) / 60) % minutes;
}

struct seen {
    int top, axis, left, columns,
        minutes; /* rows of the highest level and of the axis; columns of the cells */
    double step; /* kg of a row */
};

/* The frame of the chart, from what stands on the canvas. */
static struct seen see_chart(void)
{
    struct seen seen = {0};
    int heading = 0;
    while (heading < canvas.rows && !strstr(row_of(heading), " a column"))
        heading++;
    must(heading < canvas.rows, "no heading");
    const char *comma = strchr(row_of(heading), ',');
    seen.minutes = atoi(comma + 1) * (strstr(comma, "hour") ? 60 : 1);
    seen.top = heading + 1;
    while (cell(seen.top, seen.left)[0] != '|' && cell(seen.top, seen.left)[0] != '-')
        seen.left++;
    seen.left++;
    for (seen.axis = seen.top; cell(seen.axis, seen.left - 1)[0] != '+';)
        seen.axis++;
    while (seen.left + seen.columns < canvas.columns &&
           strchr("+-^", cell(seen.axis, seen.left + seen.columns)[0]))
        seen.columns++;
    seen.step = atof(row_of(seen.axis - 1)) * (shop.shop.units == SG_UNITS_US ? POUND_KG : 1);
    must(seen.step > 0 && seen.columns > 10, "no chart");
    for (int row = seen.top; row < seen.axis; row++) {
        double label = atof(row_of(row)) * (shop.shop.units == SG_UNITS_US ? POUND_KG : 1);
        must(fabs(label - seen.step * (seen.axis - row)) < 1e-6 * label, "label %g in row %d", label, row);
    }
    return seen;
}

/* Rows that are full in a column, in parts of 8. */
static double height_of(const struct seen *seen, int column)
{
    double height = 0;
    for (int row = seen->top; row < seen->axis; row++) {
        const char *text = cell(row, seen->left + column);
        if ((unsigned char)text[0] == 0xE2)
            height += ((unsigned char)text[2] - 0x80) / 8.0;
        else
            height += text[0] == '#' ? 1 : text[0] == ':' ? 0.5 : 0;
    }
    return height;
}

static void check_levels(const struct sg_plan *plan, int rows, int columns, bool wide)
{
    struct sg_chart_how how = {.wide = wide, .at = -1};
    double grain = wide ? 1 / 8.0 : 0.5;
    ck_assert(sg_canvas_clear(&canvas, rows, columns));
    sg_chart_hopper(&canvas, (struct sg_area){0, 0, rows, columns}, &ui.tried, &how);
    struct seen seen = see_chart();
    int before = early(seen.minutes);
    must((seen.minutes * seen.columns - before) * 60 >= sg_chart_whole(&ui.tried),
         "the end of the shift is not shown");
    must(seen.step * (seen.axis - seen.top) >= shop.shop.machine.hopper * (1 - 1e-9),
         "a full hopper is not shown");
    for (int c = 0; c < seen.columns; c++) {
        double t = ((c + 0.5) * seen.minutes - before) * 60;
        if (t < 0)
            continue;
        double level = level_at(plan, t) / seen.step, shown = height_of(&seen, c);
        must(shown <= level + 1e-3 && shown > level - grain - 1e-3,
             "column %d: %g rows drawn, %g rows in plan", c, shown, level);
    }
}

START_TEST(levels_are_those_of_the_plan)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    ck_assert_int_gt(plan->run.refills, 0);
    for (int wide = 0; wide < 2; wide++) {
        check_levels(plan, 17, 60, wide);
        check_levels(plan, 30, 120, wide);
        check_levels(plan, 10, 200, wide);
    }
}
END_TEST

START_TEST(levels_are_those_of_any_plan)
{
    struct random r = {20270115};
    for (int i = 0; i < 60; i++) {
        random_day(&r);
        const struct sg_plan *plan = plan_it();
        check_levels(plan, 10 + (int)random_below(&r, 30), 40 + (int)random_below(&r, 150),
                     random_below(&r, 2));
        teardown();
        memset(&canvas, 0, sizeof canvas);
        setup();
    }
}
END_TEST

START_TEST(hours_stand_at_their_columns)
{
    plain_day();
    shop.shifts[0].calendar.epoch += _i * 420; /* 06:00, 06:07 */
    plan_it();
    ck_assert(sg_canvas_clear(&canvas, TALL, WIDE));
    sg_chart_hopper(&canvas, (struct sg_area){0, 0, TALL, WIDE}, &ui.tried, &(struct sg_chart_how){.at = -1});
    struct seen seen = see_chart();
    int labels = 0;
    for (int c = 0; c < seen.columns; c++) {
        if (!isdigit((unsigned char)cell(seen.axis + 1, seen.left + c)[0]) ||
            (c > 0 && cell(seen.axis + 1, seen.left + c - 1)[0] != ' '))
            continue;
        const char *text = row_of(seen.axis + 1) + seen.left + c; /* ASCII: a byte a column */
        int minutes = atoi(text) * 60 + (text[2] == ':' ? atoi(text + 3) : 0);
        ck_assert_int_eq(minutes, 6 * 60 + 7 * _i - early(seen.minutes) + c * seen.minutes);
        ck_assert_str_eq(cell(seen.axis, seen.left + c), "+");
        labels++;
    }
    ck_assert_int_ge(labels, 8); /* 06 to 13 */
}
END_TEST

START_TEST(a_night_shift_says_the_day)
{
    plain_day();
    shop.shifts[0].calendar.epoch += 16 * 3600; /* 22:00 to 06:00 */
    plan_it();
    ck_assert(sg_canvas_clear(&canvas, TALL, 120));
    sg_chart_hopper(&canvas, (struct sg_area){0, 0, TALL, 120}, &ui.tried, &(struct sg_chart_how){.at = -1});
    struct seen seen = see_chart();
    const char *hours = row_of(seen.axis + 1), *midnight = strstr(hours, "Sat 00");
    ck_assert_msg(midnight != NULL, "no day in: %s", hours);
    ck_assert_int_eq(midnight - hours - seen.left, 120 / seen.minutes);
    open_hopper();
    draw(&sg_screen_hopper, TALL, 120);
    ck_assert(is_shown(" at Sat "));
}
END_TEST

START_TEST(marks_stand_at_their_hours)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    open_hopper();
    const struct sg_event *refill = &plan->run.events[plan->next_refill];
    draw(&sg_screen_hopper, TALL, WIDE);
    struct seen seen = see_chart();
    int column = seen.left + (int)floor(refill->at / 60 / seen.minutes);
    int who = find_row(" who"), off = find_row(" off"), job = find_row(" job");
    ck_assert_str_eq(cell(seen.axis, column), "^");
    ck_assert_str_eq(cell(who, column), "R");
    ck_assert_int_eq(canvas.cells[who * canvas.columns + column].role, SG_ROLE_CURSOR);
    for (int c = 0; c < seen.columns; c++) {
        double from = c * seen.minutes, to = from + seen.minutes;
        bool off_now = strcmp(cell(off, seen.left + c), "b") == 0;
        ck_assert_int_eq(off_now, from < 3.75 * 60 && to > 3.5 * 60);
    }
    ck_assert_str_eq(cell(job, seen.left), "|");
    int second = seen.left + (int)floor(plan->jobs[1].starts / 60 / seen.minutes);
    ck_assert_int_eq(strncmp(row_of(job) + second, "|2602", 5), 0);
}
END_TEST

START_TEST(figures_beside_it_are_those_of_the_plan)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    char words[100];
    open_hopper();
    draw(&sg_screen_hopper, TALL, 80);
    snprintf(words, sizeof words, "%.1f lb", plan->totals.garnet / POUND_KG);
    ck_assert(is_shown(words));
    snprintf(words, sizeof words, "%.1f lb", plan->run.level_end / POUND_KG);
    ck_assert(is_shown(words));
    double lowest = plan->start.level;
    for (double t = 0; t < plan->run.end; t += 5)
        lowest = fmin(lowest, level_at(plan, t));
    struct sg_hopper_facts facts;
    sg_hopper_facts(plan, &facts);
    ck_assert_double_le(facts.lowest, lowest);
    ck_assert_double_gt(facts.lowest, lowest - 0.1); /* 5 s take less */
    snprintf(words, sizeof words, "NO, %d refill", plan->run.refills);
    ck_assert(is_shown(words));
}
END_TEST

START_TEST(one_steps_over_what_needs_people)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    open_hopper();
    ck_assert_int_eq(ui.places[0].at, plan->next_refill);
    sg_screen_hopper.step(&ui, 0, -1000000000);
    int32_t calls = 0, steps = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        calls += sg_ask_calls(&plan->run.events[i]);
    do {
        char words[500];
        draw(&sg_screen_hopper, TALL, 80);
        must_hold(sg_ask_calls(&plan->run.events[ui.places[0].at]));
        sg_screen_hopper.advice(&ui, words, sizeof words);
        must_hold(strlen(words) > 10);
        steps++;
        ui.message[0] = '\0';
        sg_screen_hopper.step(&ui, 1, 0);
    } while (!ui.message[0] && steps < 1000);
    ck_assert_int_eq(steps, calls);
    sg_screen_hopper.step(&ui, -1, 0);
    sg_screen_hopper.step(&ui, -1, 0);
    sg_screen_hopper.step(&ui, 1000000000, 0);
    ui.message[0] = '\0';
    sg_screen_hopper.step(&ui, 1, 0);
    ck_assert_str_ne(ui.message, "");
}
END_TEST

START_TEST(closer_shows_the_same_levels)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    open_hopper();
    draw(&sg_screen_hopper, TALL, WIDE);
    struct seen seen = see_chart();
    int minutes = seen.minutes;
    for (int i = 0; i < 20; i++)
        sg_screen_hopper.zoom(&ui, 1);
    draw(&sg_screen_hopper, TALL, WIDE);
    seen = see_chart();
    ck_assert_int_lt(seen.minutes, minutes);
    const struct sg_event *refill = &plan->run.events[plan->next_refill];
    int at = 0;
    while (strcmp(cell(seen.axis, seen.left + at), "^") != 0)
        at++;
    ck_assert_int_le(abs(at - seen.columns / 2), 2);
    for (int c = 0; c < seen.columns; c++) {
        double first = floor(refill->at / 60 / seen.minutes) - at;
        double t = (first + c + 0.5) * seen.minutes * 60, level = level_at(plan, t) / seen.step;
        double shown = height_of(&seen, c);
        must(shown <= level + 1e-3 && shown > level - 0.5 - 1e-3, "column %d: %g, not %g", c, shown, level);
    }
    for (int i = 0; i < 20; i++)
        sg_screen_hopper.zoom(&ui, -1);
    ck_assert_int_eq(ui.places[0].zoom, 0);
}
END_TEST

/* ---- the sheets ---- */

static void check_page(const struct sg_plan *plan, int32_t job, int64_t index, int64_t *cuts)
{
    struct sg_sheet_page page;
    must_hold(sg_sheet_page(&ui.tried, job, index, &page));
    must_hold(page.index == index);
    const struct sg_stock *stock = &shop.shop.stocks[page.stock];
    cuts[page.part] += page.n;
    for (int64_t i = 0; i < page.n; i++) {
        struct sg_piece a = sg_sheet_piece(&page, i);
        must_hold(a.part == page.part && a.number == page.first + i + 1);
        must_hold(a.x >= stock->margin - 1e-6 && a.x + a.length <= page.length - stock->margin + 1e-6);
        must_hold(a.y >= stock->margin - 1e-6 && a.y + a.width <= page.width - stock->margin + 1e-6);
        for (int64_t j = 0; j < i; j++) {
            struct sg_piece b = sg_sheet_piece(&page, j);
            double apart = fmax(fmax(b.x - a.x - a.length, a.x - b.x - b.length),
                                fmax(b.y - a.y - a.width, a.y - b.y - b.width));
            must(apart >= stock->gap - 1e-6, "pieces %d and %d are %g mm apart", (int)i, (int)j, apart);
        }
    }
    for (int32_t i = 0; i < plan->n_batches; i++)
        if (plan->batches[i].part == page.part && plan->batches[i].grid_known)
            must(plan->batches[i].grid.along == page.grid.along &&
                     plan->batches[i].grid.across == page.grid.across &&
                     plan->batches[i].grid.pitch == page.grid.pitch &&
                     plan->batches[i].grid.reach == page.grid.reach,
                 "not as the plan places them");
}

START_TEST(every_piece_lies_on_a_sheet_as_the_plan_counts)
{
    struct random r = {77};
    for (int i = 0; i < 150; i++) {
        int64_t cuts[64] = {0};
        random_day(&r);
        shop.shop.machine.table_width = 800 + random_below(&r, 1500);
        const struct sg_plan *plan = plan_it();
        for (int32_t job = 0; job < shop.shop.n_jobs; job++) {
            int64_t pages = sg_sheet_pages(&ui.tried, job);
            for (int64_t at = 0; at < pages; at++)
                check_page(plan, job, at, cuts);
            if (plan->jobs[job].sheets != SG_UNKNOWN) {
                const struct sg_stock *stock = &shop.shop.stocks[shop.shop.jobs[job].first_stock];
                must_hold(pages * stock->stack == plan->jobs[job].sheets);
            }
        }
        for (int32_t part = 0; part < shop.shop.n_parts; part++)
            must_hold(cuts[part] == (plan->parts[part].per_sheet > 0 ? plan->parts[part].cuts : 0));
        teardown();
        memset(&canvas, 0, sizeof canvas);
        setup();
    }
}
END_TEST

/* Where a label stands, -1 where it does not; a label that stands twice fails. */
static int find_label(const char *label, int columns)
{
    int found = -1;
    for (int row = 0; row < canvas.rows; row++) {
        char line[LINE];
        snprintf(line, sizeof line, "%.*s", columns, row_of(row));
        for (const char *at = line; (at = strstr(at, label)); at++) {
            if (isdigit((unsigned char)at[strlen(label)]))
                continue;
            must(found < 0, "%s stands twice", label);
            found = row * canvas.columns + (int)(at - line);
        }
    }
    return found;
}

START_TEST(every_piece_is_drawn_once_where_it_lies)
{
    plain_day();
    plan_it();
    open_sheet(0);
    int64_t pages = sg_sheet_pages(&ui.tried, 0), labels = 0;
    for (int64_t at = 0; at < pages; at++) {
        struct sg_sheet_page page;
        sg_sheet_page(&ui.tried, 0, at, &page);
        draw(&sg_screen_sheet, 40, 160);
        struct sg_piece first = sg_sheet_piece(&page, 0);
        struct sg_sheet_view view = sg_sheet_view(&page, &first, 0, 160 - 24, 40);
        for (int64_t i = 0; i < page.n; i++, labels++) {
            struct sg_piece piece = sg_sheet_piece(&page, i);
            char label[32];
            sg_piece_label(&shop.shop, &piece, label, sizeof label);
            int place = find_label(label, 160 - 24);
            must(place >= 0, "%s is not drawn", label);
            must_hold(fabs(place % 160 - piece.x / view.cell) <= 0.5 + 1e-6);
            must_hold(fabs(place / 160 - piece.y / (2 * view.cell)) <= 0.5 + 1e-6);
        }
        sg_screen_sheet.next(&ui, 1);
    }
    ck_assert_int_eq(labels, 24 + 30);
    ck_assert_int_eq(ui.places[0].about.index, 1); /* behind the last sheet comes the next job */
    ck_assert_int_eq(ui.places[0].at, 0);
    sg_screen_sheet.next(&ui, -1);
    ck_assert_int_eq(ui.places[0].about.index, 0);
    ck_assert_int_eq(ui.places[0].at, pages - 1);
}
END_TEST

/* Cells of pieces and skeleton are in the proportion of their areas. */
START_TEST(the_picture_is_true_to_scale)
{
    plain_day();
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    sg_sheet_page(&ui.tried, 0, 0, &page);
    draw(&sg_screen_sheet, 60, 200);
    int pieces = 0, all = 0;
    for (int row = 0; row < 60; row++)
        for (int c = 0; c < 200 - 24; c++) {
            int role = canvas.cells[row * 200 + c].role;
            pieces += role == SG_ROLE_PIECE || role == SG_ROLE_CURSOR;
            all += role == SG_ROLE_PIECE || role == SG_ROLE_CURSOR || role == SG_ROLE_LOW;
        }
    double part = (double)page.n * page.piece_length * page.piece_width / (page.length * page.width);
    ck_assert_double_eq_tol((double)pieces / all, part, 0.03);
    char words[40];
    snprintf(words, sizeof words, "boxes %.0f %% of it", 100 * part);
    ck_assert_msg(is_shown(words), "no %s", words);
}
END_TEST

START_TEST(steps_reach_every_piece)
{
    plain_day();
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    char words[500], label[32];
    sg_sheet_page(&ui.tried, 0, 0, &page);
    for (int64_t column = 0; column * page.grid.across < page.n; column++) {
        int64_t in_column = page.n - column * page.grid.across;
        in_column = in_column < page.grid.across ? in_column : page.grid.across;
        for (int64_t i = 0; i < in_column; i++) {
            struct sg_piece piece = sg_sheet_piece(&page, column * page.grid.across + i);
            sg_piece_label(&shop.shop, &piece, label, sizeof label);
            sg_screen_sheet.advice(&ui, words, sizeof words);
            must(strncmp(words, label, strlen(label)) == 0 && words[strlen(label)] == ' ', "%s, not %s",
                 words, label);
            sg_screen_sheet.step(&ui, 0, 1);
        }
        ck_assert_str_ne(ui.message, ""); /* no further */
        ui.message[0] = '\0';
        sg_screen_sheet.step(&ui, 0, -1000000000);
        sg_screen_sheet.step(&ui, 1, 0);
    }
}
END_TEST

/* ---- what cannot be drawn is said ---- */

static void check_said(const struct sg_screen *screen, const char *words)
{
    char said[600];
    draw(screen, TALL, 100);
    bool shown = is_shown(words);
    screen->say(&ui, said, sizeof said);
    must(shown, "not shown: %s (says %s)", words, said);
    must(strstr(said, words) != NULL, "not said: %s, but %s", words, said);
}

START_TEST(missing_lengths_are_named)
{
    plain_day();
    shop.shop.parts[0].length = (double)NAN;
    plan_it();
    open_sheet(0);
    check_said(&sg_screen_sheet, "2601/1/A: no length and width");
    check_said(&sg_screen_sheet, "set length");
    ck_assert_int_eq(sg_sheet_pages(&ui.tried, 0), 2); /* one for the part that cannot be placed */
    shop.shop.parts[0].length = 2500;
    plan_it();
    open_sheet(0);
    check_said(&sg_screen_sheet, "does not fit on the sheet");
    shop.shop.parts[0].length = 400;
    shop.shop.stocks[0].sheet_width = (double)NAN;
    plan_it();
    open_sheet(0);
    check_said(&sg_screen_sheet, "2601/1: no sheet size");
}
END_TEST

START_TEST(nothing_to_draw_is_said)
{
    plan_it();
    open_hopper();
    check_said(&sg_screen_hopper, "No jobs in shift A yet");
    open_screen(&sg_screen_sheet, (struct sg_target){SG_KIND_SHIFT, SG_UNKNOWN});
    check_said(&sg_screen_sheet, "No jobs in shift A yet");
    sg_screen_sheet.next(&ui, 1);
    sg_screen_sheet.step(&ui, 1, 0);
    plain_day();
    shop.shop.parts[0].quantity = shop.shop.parts[1].quantity = 0;
    plan_it();
    open_sheet(0);
    check_said(&sg_screen_sheet, "Nothing of job 2601 is cut: every quantity is 0");
    shop.shop.parts[2].quantity = 0;
    plan_it();
    open_hopper();
    check_said(&sg_screen_hopper, "Nothing to cut in shift A");
}
END_TEST

START_TEST(a_job_of_another_shift_is_said)
{
    plain_day();
    shop.shifts[1] = shop.shifts[0];
    shop.shifts[1].id = "B";
    shop.shifts[1].calendar.epoch += 86400;
    shop.shop.n_shifts = 2;
    shop.shop.jobs[1].shift = 1;
    plan_it();
    open_sheet(1);
    check_said(&sg_screen_sheet, "Job 2602 is cut in shift B");
}
END_TEST

START_TEST(what_stops_the_run_is_said)
{
    plain_day();
    shop.shop.machine.bags_in_stock = 0;
    const struct sg_plan *plan = plan_it();
    ck_assert(!plan->run.finished);
    open_hopper();
    check_said(&sg_screen_hopper, "The garnet runs out at ");
    check_said(&sg_screen_hopper, "short");
    ck_assert(is_shown("SHORT"));
    shop.shop.machine.bags_in_stock = 20;
    shop.shop.parts[1].cut_length = (double)NAN;
    plan = plan_it();
    ck_assert(plan->unknown);
    open_hopper();
    check_said(&sg_screen_hopper, "2601/1/B cannot be timed");
    struct seen seen = see_chart();
    int known = (int)floor(plan->run.end / 60 / seen.minutes);
    ck_assert_str_ne(cell(seen.axis - 1, seen.left + known - 1), "?");
    for (int c = known + 1; c < seen.columns; c++)
        ck_assert_str_eq(cell(seen.axis - 1, seen.left + c), "?");
    shop.shop.parts[1].cut_length = 1200;
    shop.shifts[0].n_closed_days = 1;
    shop.shifts[0].closed_days[0] = shop.shifts[0].date;
    ck_assert(plan_it()->closed_day);
    open_hopper();
    check_said(&sg_screen_hopper, "closed day");
}
END_TEST

/* ---- where the hours go, who is needed ---- */

START_TEST(shown_hours_add_up)
{
    struct random r = {5};
    for (int i = 0; i < 3000; i++) {
        struct sg_plan plan = {0};
        double *parts[] = {&plan.totals.cut, &plan.totals.pierce, &plan.totals.rapid, &plan.totals.hands_on,
                           &plan.totals.waiting};
        for (int k = 0; k < 5; k++) {
            *parts[k] = random_below(&r, 3) ? random_unit(&r) * 20000 : 60.0 * random_below(&r, 100);
            plan.totals.elapsed += *parts[k];
        }
        ck_assert(sg_canvas_clear(&canvas, 6, 60));
        sg_hours_draw(&canvas, (struct sg_area){0, 0, 6, 60}, &(struct sg_look){&shop.shop, &plan});
        int total = 0, hours, minutes;
        for (int k = 0; k < 5; k++) {
            must_hold(sscanf(row_of(1 + k) + 9, "%d:%d", &hours, &minutes) == 2);
            must_hold(fabs(hours * 60 + minutes - *parts[k] / 60) < 1);
            total += hours * 60 + minutes;
        }
        must_hold(sscanf(row_of(0), "Where the %d:%d goes", &hours, &minutes) == 2);
        must(total == hours * 60 + minutes, "%d minutes in parts, %d:%d in all", total, hours, minutes);
    }
}
END_TEST

/* Of a list that has no room for all, those shown and those counted are all. */
START_TEST(everybody_needed_is_shown_or_counted)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    int calls = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        calls += sg_ask_calls(&plan->run.events[i]);
    for (int rows = 2; rows < 14; rows++)
        for (int columns = 60; columns <= 120; columns += 7) {
            int told = 0, counted = 0;
            ck_assert(sg_canvas_clear(&canvas, rows, columns));
            sg_people_draw(&canvas, (struct sg_area){0, 0, rows, columns}, &ui.tried);
            must_hold(atoi(strchr(row_of(0), '(') + 1) == calls);
            for (int row = 1; row < rows; row++) {
                char line[LINE];
                snprintf(line, sizeof line, "%s", row_of(row));
                bool rest = strncmp(line, "and ", 4) == 0;
                for (char *word = strtok(line, " "); word; word = strtok(NULL, " ")) {
                    told += !rest && strlen(word) == 5 && word[2] == ':';
                    counted += rest ? atoi(word) : 0;
                }
            }
            must(told + counted == calls, "%dx%d: %d told and %d counted of %d", columns, rows, told, counted,
                 calls);
            must_hold(rows <= calls || counted == 0);
        }
    ck_assert_int_gt(calls, 6);
}
END_TEST

START_TEST(the_refill_leaves_a_short_list_last)
{
    plain_day();
    plan_it();
    ck_assert(sg_canvas_clear(&canvas, 3, 30));
    sg_people_draw(&canvas, (struct sg_area){0, 0, 3, 30}, &ui.tried);
    ck_assert_ptr_nonnull(strstr(row_of(1), " refill "));
    ck_assert_int_eq(strncmp(row_of(2), "and ", 4), 0);
    ck_assert(sg_canvas_clear(&canvas, 4, 24));
    sg_people_draw(&canvas, (struct sg_area){0, 0, 4, 24}, &ui.tried);
    ck_assert_int_eq(row_of(2)[2], ':'); /* as many as there are rows for */
    ck_assert_int_eq(strncmp(row_of(3), "and ", 4), 0);
}
END_TEST

/* ---- at any size ---- */

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

int main(void)
{
    Suite *suite = suite_create("pictures");
    TCase *hopper = tcase_create("hopper"), *sheet = tcase_create("sheet"), *words = tcase_create("words"),
          *sizes = tcase_create("sizes");
    tcase_add_checked_fixture(hopper, setup, teardown);
    tcase_add_test(hopper, levels_are_those_of_the_plan);
    tcase_add_test(hopper, levels_are_those_of_any_plan);
    tcase_add_loop_test(hopper, hours_stand_at_their_columns, 0, 2);
    tcase_add_test(hopper, a_night_shift_says_the_day);
    tcase_add_test(hopper, marks_stand_at_their_hours);
    tcase_add_test(hopper, figures_beside_it_are_those_of_the_plan);
    tcase_add_test(hopper, one_steps_over_what_needs_people);
    tcase_add_test(hopper, closer_shows_the_same_levels);
    tcase_add_checked_fixture(sheet, setup, teardown);
    tcase_add_test(sheet, every_piece_lies_on_a_sheet_as_the_plan_counts);
    tcase_add_test(sheet, every_piece_is_drawn_once_where_it_lies);
    tcase_add_test(sheet, the_picture_is_true_to_scale);
    tcase_add_test(sheet, steps_reach_every_piece);
    tcase_add_checked_fixture(words, setup, teardown);
    tcase_add_test(words, missing_lengths_are_named);
    tcase_add_test(words, nothing_to_draw_is_said);
    tcase_add_test(words, a_job_of_another_shift_is_said);
    tcase_add_test(words, what_stops_the_run_is_said);
    tcase_add_test(words, shown_hours_add_up);
    tcase_add_test(words, everybody_needed_is_shown_or_counted);
    tcase_add_test(words, the_refill_leaves_a_short_list_last);
    tcase_add_checked_fixture(sizes, setup, teardown);
    tcase_add_loop_test(sizes, nothing_is_drawn_outside, 0, 4);
    tcase_add_loop_test(sizes, nothing_is_drawn_outside_without_a_plan_to_show, 0, 3);
    suite_add_tcase(suite, hopper);
    suite_add_tcase(suite, sheet);
    suite_add_tcase(suite, words);
    suite_add_tcase(suite, sizes);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
