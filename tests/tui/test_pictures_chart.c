/* The chart of the hopper: its levels, hours, marks and row of jobs are those of the plan. */
#include "tui/hopper_chart.h"

#include <ctype.h>

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

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, levels_are_those_of_the_plan);
    tcase_add_test(tcase, levels_are_those_of_any_plan);
    tcase_add_loop_test(tcase, hours_stand_at_their_columns, 0, 2);
    tcase_add_test(tcase, a_night_shift_says_the_day);
    tcase_add_test(tcase, marks_stand_at_their_hours);
    tcase_add_test(tcase, closer_shows_the_same_levels);
    tcase_add_test(tcase, the_low_line_has_its_own_row);
    tcase_add_test(tcase, a_cut_job_number_shows_its_end);
}

int main(void)
{
    return run_pictures("pictures_chart", fill);
}
