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
    ui.columns = columns;
    screen->draw(&ui, &canvas, ui.body);
}

/* With so many lb in it at the start, and a low line of 60. */
static void open_hopper_with(double pounds)
{
    shop.shop.machine.low_line = 60 * POUND_KG;
    shop.shop.machine.hopper_level = pounds * POUND_KG;
    plan_it();
    open_hopper();
    draw(&sg_screen_hopper, TALL, WIDE);
}

static const char *row_of(int row)
{
    static char line[LINE];
    sg_canvas_row(&canvas, row, line, sizeof line);
    return line;
}

/* The row below the chart with that name in front. */
static int find_row(const char *name)
{
    for (int row = 0; row < canvas.rows; row++) {
        const char *line = row_of(row);
        line += strspn(line, " ");
        if (strncmp(line, name, strlen(name)) == 0 && strchr(" ", line[strlen(name)]))
            return row;
    }
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
        minutes;      /* rows of the highest level and of the axis; columns of the cells */
    int n, low;       /* levels, and the one that the low line closes; 0: none */
    double edge[100]; /* kg at the upper edge of each level, from the axis on, which is edge[0] */
};

static double brim(void)
{
    return fmax(shop.shop.machine.hopper, ui.tried.plan->start.level);
}

/* The figure in front of a level. Of the brim and the low line it is rounded: those are taken as they are,
 * and must be what is said. */
static double edge_of(int row, bool highest, bool *low)
{
    double unit = shop.shop.units == SG_UNITS_US ? POUND_KG : 1;
    const char *label = row_of(row);
    label += strspn(label, " ");
    *low = strncmp(label, "low ", 4) == 0;
    double figure = atof(label + (*low ? 4 : 0)) * unit, exact = *low ? shop.shop.machine.low_line : brim();
    if (!highest && !*low)
        return figure;
    must(fabs(figure - exact) <= (highest ? 0.5 : 0.05) * unit + 1e-9, "%g is not %g", figure, exact);
    return exact;
}

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
    must(seen.axis > seen.top && seen.axis - seen.top < 100 && seen.columns > 10, "no chart");
    for (int row = seen.axis - 1; row >= seen.top; row--) {
        bool low;
        seen.edge[++seen.n] = edge_of(row, row == seen.top, &low);
        seen.low = low ? seen.n : seen.low;
        must(seen.edge[seen.n] > seen.edge[seen.n - 1], "level %d is not above the one before", seen.n);
        must_hold((cell(row, seen.left - 1)[0] == '-') == low);
    }
    return seen;
}

/* kg that are drawn in a column. */
static double height_of(const struct seen *seen, int column)
{
    double height = 0;
    for (int i = 1; i <= seen->n; i++) {
        const char *text = cell(seen->axis - i, seen->left + column);
        double part = text[0] == '#' ? 1 : text[0] == ':' ? 0.5 : 0;
        if ((unsigned char)text[0] == 0xE2)
            part = ((unsigned char)text[2] - 0x80) / 8.0;
        height += part * (seen->edge[i] - seen->edge[i - 1]);
    }
    return height;
}

/* Never more than is there, and less by no more than the smallest mark of the row in which the level lies. */
static void check_height(const struct seen *seen, int column, double level, bool wide)
{
    double shown = height_of(seen, column);
    int i = 1;
    while (i < seen->n && level >= seen->edge[i])
        i++;
    double grain = (seen->edge[i] - seen->edge[i - 1]) * (wide ? 1 / 8.0 : 0.5);
    must(shown <= level + 1e-3 && shown > level - grain - 1e-3, "column %d: %g kg drawn, %g kg in plan",
         column, shown, level);
}

static void check_levels(const struct sg_plan *plan, int rows, int columns, bool wide)
{
    struct sg_chart_how how = {.wide = wide, .at = -1};
    ck_assert(sg_canvas_clear(&canvas, rows, columns));
    sg_chart_hopper(&canvas, (struct sg_area){0, 0, rows, columns}, &ui.tried, &how);
    struct seen seen = see_chart();
    int before = early(seen.minutes);
    must((seen.minutes * seen.columns - before) * 60 >= sg_chart_whole(&ui.tried),
         "the end of the shift is not shown");
    must_hold(seen.edge[seen.n] == brim());
    double low = shop.shop.machine.low_line;
    must_hold((seen.low > 0) == (low > 0 && low < brim()));
    for (int c = 0; c < seen.columns; c++) {
        double t = ((c + 0.5) * seen.minutes - before) * 60;
        if (t >= 0)
            check_height(&seen, c, level_at(plan, t), wide);
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

/* In rows of any step the low line has one of its own, and the axis ends at what the hopper holds. */
START_TEST(the_low_line_has_its_own_row)
{
    static const struct {
        int units, rows;
        const char *low, *top, *next;
    } charts[] = {{SG_UNITS_US, 5, "low 60 -", "600 |", "150 |"},
                  {SG_UNITS_US, 20, "low 60 -", "600 |", "90 |"},
                  {SG_UNITS_METRIC, 5, "low 27.2 -", "272 |", "80 |"},
                  {SG_UNITS_METRIC, 10, "low 27.2 -", "272 |", "60 |"}};
    plain_day();
    shop.shop.machine.low_line = 60 * POUND_KG;
    for (size_t i = 0; i < sizeof charts / sizeof *charts; i++) {
        shop.shop.units = charts[i].units;
        plan_it();
        ck_assert(sg_canvas_clear(&canvas, charts[i].rows + 6, 80));
        sg_chart_hopper(&canvas, (struct sg_area){0, 0, charts[i].rows + 6, 80}, &ui.tried,
                        &(struct sg_chart_how){.at = -1});
        struct seen seen = see_chart();
        ck_assert_int_le(seen.n, charts[i].rows);
        ck_assert_int_ge(seen.n, charts[i].rows - 2);
        must(strstr(row_of(seen.axis - seen.low), charts[i].low) != NULL, "%s", row_of(seen.axis - seen.low));
        must(strstr(row_of(seen.top), charts[i].top) != NULL, "%s", row_of(seen.top));
        must(strstr(row_of(seen.axis - seen.low - 1), charts[i].next) != NULL, "%s",
             row_of(seen.axis - seen.low - 1));
    }
}
END_TEST

/* A number in the row of jobs is whole, or its end behind "..", or not there; what stands there is noted. */
static void check_job_row(const char *const *ids, int counts[3])
{
    char line[LINE];
    snprintf(line, sizeof line, "%s", row_of(find_row("job")));
    for (char *at = strchr(line, '|'); at; at = strchr(at + 1, '|')) {
        size_t n = strcspn(at + 1, "|");
        bool dots = strspn(at + 1, ".") >= n, cut = !dots && at[1] == '.', known = dots;
        char name[LINE];
        snprintf(name, sizeof name, "%.*s", (int)n, at + 1);
        char *start = name + (cut ? 2 : 0);
        start[strcspn(start, ".")] = '\0';
        size_t some = strlen(start);
        for (int i = 0; i < shop.shop.n_jobs && !known; i++) {
            size_t all = strlen(ids[i]);
            known = cut ? some > 0 && some < all && strcmp(ids[i] + all - some, start) == 0
                        : strcmp(ids[i], start) == 0;
        }
        must(known, "\"%s\" in %s", name, line);
        counts[dots ? 2 : cut]++;
    }
}

START_TEST(a_cut_job_number_shows_its_end)
{
    static const char *const ids[] = {"2601", "NB-2603/b", "7", "2605"};
    struct random r = {12};
    int counts[3] = {0};
    for (int i = 0; i < 40; i++) {
        random_day(&r);
        for (int k = 0; k < shop.shop.n_jobs; k++)
            shop.shop.jobs[k].id = ids[k];
        plan_it();
        for (int columns = 30; columns <= 120; columns++) {
            ck_assert(sg_canvas_clear(&canvas, TALL, columns));
            sg_chart_hopper(&canvas, (struct sg_area){0, 0, TALL, columns}, &ui.tried,
                            &(struct sg_chart_how){.at = -1});
            check_job_row(ids, counts);
        }
        teardown();
        memset(&canvas, 0, sizeof canvas);
        setup();
    }
    ck_assert_msg(counts[0] && counts[1] && counts[2], "%d whole, %d cut, %d none", counts[0], counts[1],
                  counts[2]);
}
END_TEST

/* As many bags as the same shop with refill_amount = enough puts in. */
START_TEST(enough_is_what_the_run_would_fill)
{
    struct random r = {7};
    int fewer = 0, same = 0;
    for (int i = 0; i < 300; i++) {
        random_day(&r);
        struct sg_machine *machine = &shop.shop.machine;
        machine->bag = (10 + random_below(&r, 60)) * POUND_KG;
        if (random_below(&r, 3) == 0) /* large ones: the last of them fills in part */
            machine->bag = machine->hopper * (0.3 + 0.7 * random_unit(&r));
        machine->refill_stops_cutting = random_below(&r, 2);
        machine->refill_at = random_below(&r, 2) ? SG_AT_PIECES : SG_AT_SHEETS;
        for (int k = 0; k < shop.shop.n_stocks; k++)
            shop.shop.stocks[k].fill = random_below(&r, 4) == 0;
        machine->refill_amount = SG_AMOUNT_ENOUGH;
        const struct sg_plan *plan = plan_it();
        int32_t bags = plan->run.finished ? plan->run.bags : SG_UNKNOWN;
        machine->refill_amount = SG_AMOUNT_FULL;
        plan = plan_it();
        int32_t enough = sg_hopper_enough(&ui.tried);
        if (plan->run.finished)
            must(enough == bags, "%d: %d bags, %d with enough", i, enough, bags);
        must_hold(plan->run.finished || enough == SG_UNKNOWN);
        open_hopper();
        draw(&sg_screen_hopper, TALL, 100);
        must_hold(is_shown("enough for the run") == (plan->run.finished && bags < plan->run.bags));
        if (is_shown("enough for the run")) {
            char words[40];
            snprintf(words, sizeof words, "%d bag%s", bags, bags == 1 ? "" : "s");
            must(is_shown(words), "no %s", words);
        }
        fewer += plan->run.finished && bags < plan->run.bags;
        same += plan->run.finished && bags == plan->run.bags && bags > 0;
        teardown();
        memset(&canvas, 0, sizeof canvas);
        setup();
    }
    ck_assert_msg(fewer > 20 && same > 5, "%d fewer, %d same", fewer, same);
}
END_TEST

START_TEST(a_start_below_the_low_line_is_said)
{
    char words[600];
    plain_day();
    open_hopper_with(59.9);
    ck_assert(is_shown("Below low line at start."));
    sg_screen_hopper.say(&ui, words, sizeof words);
    ck_assert_ptr_nonnull(strstr(words, "Below low line at start."));
    shop.shop.machine.bags_in_stock = 0; /* it cannot begin */
    open_hopper_with(59.9);
    draw(&sg_screen_hopper, TALL, 80);
    snprintf(words, sizeof words, "%s", row_of(0));
    ck_assert_msg(strncmp(words, "Below low line at start. Stops at it ", 37) == 0 &&
                      strstr(words, ", no bags. "),
                  "%s", words);
    shop.shop.machine.bags_in_stock = 20;
    open_hopper_with(60);
    ck_assert(!is_shown("Below low line"));
}
END_TEST

/* Every event in one line, since what needs two hides the legend. */
START_TEST(advice_leaves_the_legend_its_line)
{
    char words[600], at[600];
    plain_day();
    shop.shop.jobs[0].id = "a job with a rather long number";
    shop.shop.machine.refill_stops_cutting = 0;
    plan_it();
    for (int columns = 60; columns <= 160; columns += 20) {
        open_hopper();
        draw(&sg_screen_hopper, TALL, columns);
        sg_screen_hopper.step(&ui, -1000000000, 0);
        for (ui.message[0] = '\0'; !ui.message[0]; sg_screen_hopper.step(&ui, 1, 0)) {
            sg_screen_hopper.advice(&ui, words, sizeof words);
            sg_look_clock(&ui.tried, ui.tried.plan->run.events[ui.places[0].at].at, at, sizeof at);
            must(sg_text_columns(words) <= columns, "%d columns: %s", columns, words);
            must_hold(strncmp(words, at, strlen(at)) == 0);
        }
    }
    sg_screen_hopper.say(&ui, words, sizeof words); /* a reader hears all of it */
    ui.places[0].at = ui.tried.plan->next_refill;
    sg_screen_hopper.say(&ui, words, sizeof words);
    ck_assert_ptr_nonnull(strstr(words, "before a job with a rather long number/1/"));
    ck_assert_ptr_nonnull(strstr(words, " sheet "));
    ck_assert_ptr_nonnull(strstr(words, "while it cuts"));
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
    int who = find_row("hands"), off = find_row("break"), job = find_row("job");
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
        check_height(&seen, c, level_at(plan, (first + c + 0.5) * seen.minutes * 60), false);
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

/* Where a number stands, -1 where it does not; one that stands twice fails. */
static int find_number(long long number, int columns)
{
    int found = -1;
    for (int row = 0; row < canvas.rows; row++) {
        char line[LINE];
        snprintf(line, sizeof line, "%.*s", columns, row_of(row));
        for (char *at = line, *end; *at; at = end > at ? end : at + 1) {
            long long value = isdigit((unsigned char)*at) ? strtoll(at, &end, 10) : -1;
            end = value < 0 ? at + 1 : end;
            if (value != number)
                continue;
            must(found < 0, "%lld stands twice", number);
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
            int place = find_number(piece.number, 160 - 24);
            must(place >= 0, "%lld is not drawn", (long long)piece.number);
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
    snprintf(words, sizeof words, "used %.0f %% (by boxes)", 100 * part);
    ck_assert_msg(is_shown(words), "no %s", words);
}
END_TEST

START_TEST(steps_reach_every_piece)
{
    plain_day();
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    char words[500], label[40];
    sg_sheet_page(&ui.tried, 0, 0, &page);
    for (int64_t column = 0; column * page.grid.across < page.n; column++) {
        int64_t in_column = page.n - column * page.grid.across;
        in_column = in_column < page.grid.across ? in_column : page.grid.across;
        for (int64_t i = 0; i < in_column; i++) {
            struct sg_piece piece = sg_sheet_piece(&page, column * page.grid.across + i);
            snprintf(label, sizeof label, "Piece %lld of", (long long)piece.number);
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

/* Capitals are those of the piece one stands on, and letters follow every number. */
START_TEST(capitals_mark_the_piece_one_stands_on)
{
    plain_day();
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    sg_sheet_page(&ui.tried, 0, 0, &page);
    for (int zoomed = 0; zoomed < 3; zoomed++) {
        draw(&sg_screen_sheet, 16, 80);
        struct sg_piece piece = sg_sheet_piece(&page, 0);
        struct sg_sheet_view view = sg_sheet_view(&page, &piece, zoomed, 80 - 24, 16);
        int capitals = 0;
        for (int row = 0; row < 16; row++)
            for (int c = 0; c < 80 - 24; c++) {
                char text = cell(row, c)[0], next = cell(row, c + 1)[0];
                bool here = canvas.cells[row * 80 + c].role == SG_ROLE_CURSOR;
                must_hold(here ? text == 'A' || isdigit((unsigned char)text)
                               : strchr("a.0123456789 |", text) != NULL);
                must_hold(!isdigit((unsigned char)text) || isalnum((unsigned char)next));
                capitals += text == 'A';
            }
        must_hold(capitals > 0);
        must_hold(piece.length / view.cell >= 2);
        must_hold(is_shown("a  A"));
        sg_screen_sheet.zoom(&ui, 1);
    }
    ck_assert(is_shown("this: piece 1"));
    ck_assert(is_shown("from sheet corner"));
}
END_TEST

START_TEST(the_legend_of_a_sheet_fits)
{
    char words[300];
    plain_day();
    for (int table = 0; table < 2; table++) {
        shop.shop.machine.table_length = table ? 1000 : 3000;
        plan_it();
        open_sheet(0);
        draw(&sg_screen_sheet, 16, 80);
        sg_screen_sheet.legend(&ui, words, sizeof words);
        must(sg_text_columns(words) <= 80, "%s", words);
        must(strstr(words, ". skeleton, CAPITALS this piece") != NULL, "%s", words);
        must((strstr(words, "| table ends") != NULL) == table, "%s", words);
    }
}
END_TEST

/* Pieces of one column, of two and of three: two numbers never stand side by side. */
START_TEST(numbers_stand_apart)
{
    test_shop_job(&shop, 0)->id = "2601";
    struct sg_stock *stock = test_shop_stock(&shop, 1, 12.7);
    stock->sheet_length = 2400;
    stock->sheet_width = 1200;
    struct sg_part *part = test_shop_part(&shop, 400, 900, 40, 60);
    int seen = 0;
    for (part->length = 40; part->length <= 160; part->length += 4) {
        plan_it();
        open_sheet(0);
        draw(&sg_screen_sheet, 16, 80);
        for (int row = 0; row < 16; row++)
            for (const char *at = row_of(row), *end = at + 80 - 24; at < end && *at; at++) {
                if (!isdigit((unsigned char)*at))
                    continue;
                char *behind;
                long number = strtol(at, &behind, 10);
                must(number >= 1 && number <= 400 && isalpha((unsigned char)*behind), "%g mm: %s",
                     part->length, at);
                at = behind;
                seen++;
            }
    }
    ck_assert_int_gt(seen, 500);
}
END_TEST

/* Where a sheet is longer than the table a line stands at its end, over everything but numbers. */
START_TEST(the_end_of_the_table_is_drawn)
{
    plain_day();
    shop.shop.machine.table_length = 1000;
    plan_it();
    open_sheet(0);
    struct sg_sheet_page page;
    sg_sheet_page(&ui.tried, 0, 0, &page);
    struct sg_piece first = sg_sheet_piece(&page, 0);
    draw(&sg_screen_sheet, 16, 80);
    struct sg_sheet_view view = sg_sheet_view(&page, &first, 0, 80 - 24, 16);
    for (int row = 0; row < view.rows; row++)
        for (int c = 0; c < view.columns; c++) {
            bool end = fabs(c - 1000 / view.cell) <= 0.5;
            const char *text = cell(row, c);
            must((text[0] == '|') == (end && !isdigit((unsigned char)text[0])), "row %d, column %d", row, c);
        }
    shop.shop.machine.table_length = sg_sheet_piece(&page, page.grid.across).x; /* below the number's first */
    plan_it();
    open_sheet(0);
    draw(&sg_screen_sheet, 16, 80);
    ck_assert(is_shown("|"));
    for (int64_t i = 0; i < page.n; i++)
        must_hold(find_number(i + 1, 80 - 24) >= 0);
    shop.shop.machine.table_length = page.length;
    plan_it();
    open_sheet(0);
    draw(&sg_screen_sheet, 16, 80);
    ck_assert(!is_shown("|"));
}
END_TEST

struct edges {
    double at[200];
    int n;
};

/* No piece with the gap around it reaches into the rectangle. */
static bool is_empty(const struct sg_sheet_page *page, double x0, double y0, double x1, double y1)
{
    double gap = page->spacing - 1e-6;
    for (int64_t i = 0; i < page->n; i++) {
        struct sg_piece p = sg_sheet_piece(page, i);
        if (p.x - gap < x1 && p.x + p.length + gap > x0 && p.y - gap < y1 && p.y + p.width + gap > y0)
            return false;
    }
    return true;
}

static void add_edge(struct edges *edges, double at)
{
    for (int i = 0; i < edges->n; i++)
        if (fabs(edges->at[i] - at) < 1e-6)
            return;
    must_hold(edges->n < 200);
    edges->at[edges->n++] = at;
}

/* Of all rectangles between edges of the sheet and of pieces, the gap beside them, the largest that is a foot
 * wide at least. */
static double largest_left_over(const struct sg_sheet_page *page)
{
    struct edges x = {{0, page->length}, 2}, y = {{0, page->width}, 2};
    double best = 0;
    for (int64_t i = 0; i < page->n; i++) {
        struct sg_piece p = sg_sheet_piece(page, i);
        add_edge(&x, p.x + p.length + page->spacing);
        add_edge(&x, p.x - page->spacing);
        add_edge(&y, p.y + p.width + page->spacing);
        add_edge(&y, p.y - page->spacing);
    }
    for (int a = 0; a < x.n; a++)
        for (int b = 0; b < x.n; b++)
            for (int c = 0; c < y.n; c++)
                for (int d = 0; d < y.n; d++) {
                    double x0 = fmax(0, x.at[a]), x1 = fmin(page->length, x.at[b]);
                    double y0 = fmax(0, y.at[c]), y1 = fmin(page->width, y.at[d]);
                    if (x1 - x0 >= 300 && y1 - y0 >= 300 && (x1 - x0) * (y1 - y0) > best &&
                        is_empty(page, x0, y0, x1, y1))
                        best = (x1 - x0) * (y1 - y0);
                }
    return best;
}

START_TEST(what_is_left_over_is_the_largest_rectangle)
{
    struct random r = {4};
    int some = 0, none = 0;
    for (int i = 0; i < 120; i++) {
        random_day(&r);
        plan_it();
        for (int32_t job = 0; job < shop.shop.n_jobs; job++) {
            struct sg_sheet_page page;
            if (!sg_sheet_page(&ui.tried, job, random_below(&r, 2) ? 0 : 1000, &page) || !page.known ||
                page.n > 60)
                continue;
            double length = 0, width = 0, best = largest_left_over(&page);
            bool left = sg_sheet_left_over(&page, &length, &width);
            must(left == (best > 0) && fabs(length * width - best) <= 1e-6 * best, "%g x %g, but %g mm2",
                 length, width, best);
            some += left;
            none += !left;
        }
        teardown();
        memset(&canvas, 0, sizeof canvas);
        setup();
    }
    ck_assert_msg(some > 10 && none > 5, "%d with, %d without", some, none);
}
END_TEST

START_TEST(what_is_left_over_is_shown)
{
    shop.shop.units = SG_UNITS_US;
    test_shop_job(&shop, 0)->id = "2601";
    struct sg_stock *stock = test_shop_stock(&shop, 1, 12.7);
    stock->sheet_length = 96 * 25.4;
    stock->sheet_width = 48 * 25.4;
    stock->gap = stock->margin = 0.25 * 25.4;
    test_shop_part(&shop, 20, 900, 8 * 25.4, 6 * 25.4);
    plan_it();
    open_sheet(0);
    draw(&sg_screen_sheet, 16, 80);
    /* 7 in a column of 6.25 in: three columns end at 0.25 + 3 x 8.25 in */
    ck_assert(is_shown("left over 71 x 48 in"));
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
    char words[200], at[40];
    sg_look_clock(&ui.tried, plan->run.events[plan->run.n_events - 1].at, at, sizeof at);
    snprintf(words, sizeof words, "Stops at the low line %s, no bags.", at);
    check_said(&sg_screen_hopper, words);
    snprintf(words, sizeof words, "SHORT    %5d bag", plan->run.bags_short);
    ck_assert_msg(is_shown(words), "no %s", words);
    sg_screen_hopper.step(&ui, 1000000000, 0);
    sg_screen_hopper.advice(&ui, words, sizeof words);
    ck_assert_msg(strncmp(words + strlen(at), " stops at the low line, no bags, hopper ", 40) == 0, "%s",
                  words);
    ck_assert(!strstr(words, "out of garnet"));
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

/* At the width it has on the Shift screen nothing of the heading is cut. */
START_TEST(the_heading_of_hours_without_an_end_fits)
{
    enum { COLUMNS = 38 };
    plain_day();
    if (_i == 0)
        shop.shop.machine.bags_in_stock = 0;
    if (_i == 1)
        shop.shop.parts[1].cut_length = (double)NAN;
    if (_i == 2) {
        shop.shifts[0].n_closed_days = 1;
        shop.shifts[0].closed_days[0] = shop.shifts[0].date;
    }
    const struct sg_plan *plan = plan_it();
    ck_assert(!sg_known(plan->totals.elapsed));
    ck_assert(sg_canvas_clear(&canvas, 6, 80));
    sg_hours_draw(&canvas, (struct sg_area){0, 0, 6, 80}, &ui.tried);
    char whole[LINE];
    snprintf(whole, sizeof whole, "%s", row_of(0));
    ck_assert_int_le(sg_text_columns(whole), COLUMNS);
    static const char *const said[] = {"till it stops", "as far as they are known", "Closed day"};
    ck_assert_msg(strstr(whole, said[_i]) != NULL, "%s", whole);
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
                    told -= !rest && strcmp(word, "waits,") == 0; /* two times in it */
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

static int count_waits(const struct sg_plan *plan)
{
    int n = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        n += sg_event_waits(&plan->run.events[i]);
    return n;
}

/* A day with a load that waits for the end of a break, and one for a refill. */
static const struct sg_plan *waiting_day(void)
{
    plain_day();
    for (double from = 0.1; from < 6; from += 0.1) {
        shop.shifts[0].calendar.n_breaks = 0;
        test_shop_break(&shop, from * 3600, (from + 0.5) * 3600);
        const struct sg_plan *plan = plan_it();
        for (int32_t i = 0; i < plan->run.n_events; i++)
            if (plan->run.events[i].kind == SG_EVENT_LOAD && sg_event_waits(&plan->run.events[i]) &&
                count_waits(plan) == 1 && plan->run.refills > 0)
                return plan;
    }
    ck_abort_msg("no load waits");
}

/* What waits is shown first of all, with both times. */
START_TEST(what_waits_leaves_a_short_list_last)
{
    const struct sg_plan *plan = waiting_day();
    char at[40], asked[40], told[200], entry[300];
    const struct sg_event *e = plan->run.events;
    while (!sg_event_waits(e))
        e++;
    sg_look_clock(&ui.tried, e->asked, asked, sizeof asked);
    sg_look_clock(&ui.tried, e->at, at, sizeof at);
    sg_event_told(&ui.tried, e, told, sizeof told);
    snprintf(entry, sizeof entry, "%s waits, %s %s", asked, at, told);
    ck_assert(sg_canvas_clear(&canvas, 3, 40));
    sg_people_draw(&canvas, (struct sg_area){0, 0, 3, 40}, &ui.tried);
    ck_assert_str_eq(row_of(1), entry);
    ck_assert_int_eq(strncmp(row_of(2), "and ", 4), 0);
    for (int rows = 3; rows < 12; rows++)
        for (int columns = 40; columns <= 120; columns += 8) {
            ck_assert(sg_canvas_clear(&canvas, rows, columns));
            sg_people_draw(&canvas, (struct sg_area){0, 0, rows, columns}, &ui.tried);
            must(is_shown(entry), "%dx%d: %s", columns, rows, row_of(1));
        }
}
END_TEST

START_TEST(the_refill_leaves_a_short_list_last)
{
    plain_day();
    shop.shifts[0].calendar.n_breaks = 0; /* nothing waits */
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
    tcase_add_test(hopper, the_low_line_has_its_own_row);
    tcase_add_test(hopper, a_cut_job_number_shows_its_end);
    tcase_add_test(hopper, enough_is_what_the_run_would_fill);
    tcase_add_test(hopper, a_start_below_the_low_line_is_said);
    tcase_add_test(hopper, advice_leaves_the_legend_its_line);
    tcase_add_checked_fixture(sheet, setup, teardown);
    tcase_add_test(sheet, every_piece_lies_on_a_sheet_as_the_plan_counts);
    tcase_add_test(sheet, every_piece_is_drawn_once_where_it_lies);
    tcase_add_test(sheet, the_picture_is_true_to_scale);
    tcase_add_test(sheet, steps_reach_every_piece);
    tcase_add_test(sheet, capitals_mark_the_piece_one_stands_on);
    tcase_add_test(sheet, the_legend_of_a_sheet_fits);
    tcase_add_test(sheet, the_end_of_the_table_is_drawn);
    tcase_add_test(sheet, numbers_stand_apart);
    tcase_add_test(sheet, what_is_left_over_is_the_largest_rectangle);
    tcase_add_test(sheet, what_is_left_over_is_shown);
    tcase_add_checked_fixture(words, setup, teardown);
    tcase_add_test(words, missing_lengths_are_named);
    tcase_add_test(words, nothing_to_draw_is_said);
    tcase_add_test(words, a_job_of_another_shift_is_said);
    tcase_add_test(words, what_stops_the_run_is_said);
    tcase_add_test(words, shown_hours_add_up);
    tcase_add_test(words, everybody_needed_is_shown_or_counted);
    tcase_add_test(words, the_refill_leaves_a_short_list_last);
    tcase_add_test(words, what_waits_leaves_a_short_list_last);
    tcase_add_loop_test(words, the_heading_of_hours_without_an_end_fits, 0, 3);
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
