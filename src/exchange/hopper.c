/* The hopper's level over time: as points, and as a chart in plain characters. */
#include "exchange/render.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 80, WIDTH = 80, ROWS = 10 };

static double epoch_of(const struct sg_shop *shop, const struct sg_plan *plan)
{
    return shop->shifts[plan->shift].calendar.epoch;
}

/* ---- points ---- */

struct point {
    double at, level;
};

struct curve {
    struct point *points;
    int32_t n, room;
    bool failed;
};

/* Stretches that follow each other share their ends: a point that says nothing new is left out. */
static void add_point(void *context, double at, double level)
{
    struct curve *curve = context;
    const struct point *last = curve->n > 0 ? &curve->points[curve->n - 1] : NULL;
    if (curve->failed || (last && last->at == at && last->level == level))
        return;
    if (curve->n == curve->room) {
        int32_t room = curve->room ? 2 * curve->room : 64;
        struct point *grown = realloc(curve->points, (size_t)room * sizeof *grown);
        if (!grown) {
            curve->failed = true;
            return;
        }
        curve->points = grown;
        curve->room = room;
    }
    curve->points[curve->n++] = (struct point){at, level};
}

static struct curve curve_of(const struct sg_plan *plan)
{
    struct curve curve = {0};
    add_point(&curve, 0, plan->start.level);
    sg_run_hopper(&plan->run, add_point, &curve);
    return curve;
}

static double used_kg(const struct sg_plan *plan)
{
    double kg = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == SG_EVENT_CUT)
            kg += plan->run.events[i].garnet;
    return kg;
}

/* ---- JSON and CSV ---- */

static void put_refills(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan)
{
    sg_json_array(json, "refills");
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == SG_EVENT_REFILL) {
            sg_json_object(json, NULL);
            sg_event_members(json, shop, plan, &plan->run.events[i]);
            sg_json_end_object(json);
        }
    sg_json_end_array(json);
}

void sg_hopper_json(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    struct curve curve = curve_of(plan);
    struct sg_json json;
    char at[64];
    sg_json_start(&json, out);
    sg_shift_json(&json, &shop->shifts[plan->shift]);
    sg_json_number(&json, "capacity_kg", shop->machine.hopper);
    sg_json_number(&json, "low_line_kg", shop->machine.low_line);
    sg_json_number(&json, "start_kg", plan->start.level);
    sg_json_number(&json, "end_kg", plan->run.level_end);
    sg_json_number(&json, "used_kg", used_kg(plan));
    sg_json_number(&json, "filled_kg", plan->run.bags_kg);
    sg_json_whole(&json, "bags", plan->run.bags);
    sg_json_whole(&json, "bags_short", plan->run.bags_short);
    put_refills(&json, shop, plan);
    sg_json_array(&json, "hopper");
    for (int32_t i = 0; i < curve.n; i++) {
        sg_iso_format(epoch_of(shop, plan) + curve.points[i].at, at, sizeof at);
        sg_json_object(&json, NULL);
        sg_json_text(&json, "at", at);
        sg_json_number(&json, "level_kg", curve.points[i].level);
        sg_json_end_object(&json);
    }
    sg_json_end_array(&json);
    sg_json_finish(&json);
    out->failed = out->failed || curve.failed;
    free(curve.points);
}

void sg_hopper_csv(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    struct curve curve = curve_of(plan);
    char at[64];
    sg_text_put(out, "at,level_kg\r\n");
    for (int32_t i = 0; i < curve.n; i++) {
        sg_iso_format(epoch_of(shop, plan) + curve.points[i].at, at, sizeof at);
        sg_csv_text(out, &sg_csv_plain, at);
        sg_csv_next(out, &sg_csv_plain);
        sg_csv_number(out, &sg_csv_plain, curve.points[i].level);
        sg_csv_end(out);
    }
    out->failed = out->failed || curve.failed;
    free(curve.points);
}

/* ---- text ---- */

static const char *mass(const struct sg_shop *shop, double kg, int decimals, char *out)
{
    sg_number_format(kg, sg_unit_of_shop(SG_DIM_MASS, shop->units), decimals, out, CELL);
    return out;
}

static void put_table(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    const char *unit = sg_unit_of_shop(SG_DIM_MASS, shop->units)->name;
    double epoch = epoch_of(shop, plan);
    char c[4][CELL], level_title[CELL], add_title[CELL];
    struct sg_table table;
    snprintf(level_title, sizeof level_title, ">Level %s", unit);
    snprintf(add_title, sizeof add_title, ">Add %s", unit);
    sg_table_start(&table, (const char *[]){"At", level_title, add_title, ">Bags", ""}, 5);
    sg_clock_on_day(epoch, epoch, c[0], CELL);
    sg_table_row(&table, (const char *[]){c[0], mass(shop, plan->start.level, 1, c[1]), "", "", "start"});
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (e->kind != SG_EVENT_REFILL && e->kind != SG_EVENT_OUT_OF_GARNET)
            continue;
        struct sg_text where = {0};
        sg_text_put(&where, e->kind == SG_EVENT_REFILL ? "" : "out of garnet, ");
        sg_event_where(&where, shop, plan, e);
        sg_clock_on_day(epoch, epoch + e->at, c[0], CELL);
        c[3][0] = '\0';
        if (e->bags > 0)
            snprintf(c[3], CELL, "%d", e->bags);
        sg_table_row(&table, (const char *[]){c[0], mass(shop, e->level, 1, c[1]),
                                              e->garnet > 0 ? mass(shop, e->garnet, 1, c[2]) : "", c[3],
                                              where.data ? where.data : ""});
        table.failed = table.failed || where.failed;
        sg_text_free(&where);
    }
    sg_clock_on_day(epoch, epoch + plan->run.end, c[0], CELL);
    sg_table_row(&table, (const char *[]){c[0], mass(shop, plan->run.level_end, 1, c[1]), "", "", "end"});
    sg_table_put(&table, 0, out);
}

/* What the chart shows: columns of equal time, rows of equal kg. */
struct chart {
    const struct sg_shop *shop;
    const struct sg_plan *plan;
    double seconds;    /* of the whole width */
    int columns, left; /* of the field of #, and in front of it */
    int low_row;       /* 1 is the lowest; 0: no low line */
    int height[WIDTH]; /* rows filled in each column */
};

/* The level in the middle of each column. */
static void sample(struct chart *chart, const struct curve *curve)
{
    const struct point *p = curve->points;
    int32_t i = 0;
    for (int c = 0; c < chart->columns; c++) {
        double t = chart->seconds * (c + 0.5) / chart->columns, level;
        while (i + 1 < curve->n && p[i + 1].at <= t)
            i++;
        level = p[i].level;
        if (i + 1 < curve->n && p[i + 1].at > p[i].at)
            level += (p[i + 1].level - level) * (t - p[i].at) / (p[i + 1].at - p[i].at);
        double rows = floor(level / chart->shop->machine.hopper * ROWS + 0.5);
        chart->height[c] = rows < 0 ? 0 : rows > ROWS ? ROWS : (int)rows;
    }
}

static int decimals_of(const struct sg_shop *shop)
{
    return sg_from_canonical(shop->machine.hopper, sg_unit_of_shop(SG_DIM_MASS, shop->units)) < 100 ? 1 : 0;
}

static void put_rows(const struct chart *chart, struct sg_text *out)
{
    const struct sg_machine *machine = &chart->shop->machine;
    const char *unit = sg_unit_of_shop(SG_DIM_MASS, chart->shop->units)->name;
    for (int row = ROWS; row > 0; row--) {
        bool low = row == chart->low_row;
        char label[CELL], line[WIDTH + 1];
        mass(chart->shop, low ? machine->low_line : machine->hopper * row / ROWS, decimals_of(chart->shop),
             label);
        int n = 0;
        for (int c = 0; c < chart->columns; c++) {
            bool filled = chart->height[c] >= row;
            line[c] = low ? (filled ? '=' : '-') : filled ? '#' : ' ';
            n = line[c] == ' ' ? n : c + 1;
        }
        line[n] = '\0';
        sg_text_format(out, "%*s %-3s|%s\n", chart->left - 5, label,
                       low           ? "low"
                       : row == ROWS ? unit
                                     : "",
                       line);
    }
}

static int column_of(const struct chart *chart, double t)
{
    int column = (int)floor(t / chart->seconds * chart->columns + 1e-9);
    return column < chart->columns ? column : chart->columns - 1;
}

static void put_marks(const struct chart *chart, struct sg_text *out)
{
    char line[WIDTH + 1];
    memset(line, '-', (size_t)chart->columns);
    line[chart->columns] = '\0';
    for (int32_t i = 0; i < chart->plan->run.n_events; i++) {
        const struct sg_event *e = &chart->plan->run.events[i];
        if (e->kind == SG_EVENT_REFILL)
            line[column_of(chart, e->at)] = 'R';
    }
    sg_text_format(out, "%*s+%s\n", chart->left - 1, "", line);
}

/* Whole hours of the wall clock, as many as there is room for. */
static void put_hours(const struct chart *chart, struct sg_text *out)
{
    static const int steps[] = {1, 2, 3, 4, 6, 12, 24};
    const struct sg_shift *shift = &chart->shop->shifts[chart->plan->shift];
    double epoch = shift->calendar.epoch;
    double room = chart->seconds / chart->columns * (shift->start + chart->seconds >= SG_DAY_S ? 11 : 7);
    double step = 0, first = (3600 - shift->start % 3600) % 3600;
    for (size_t i = 0; i < sizeof steps / sizeof *steps && step < room; i++)
        step = 3600.0 * steps[i];
    while (step < room)
        step *= 2;
    char line[WIDTH + CELL] = "", label[CELL];
    int used = 0;
    for (double t = first; t < chart->seconds; t += step) {
        int at = column_of(chart, t), n = sg_clock_on_day(epoch, epoch + t, label, sizeof label);
        if (at >= used && at + n <= chart->columns)
            used += snprintf(line + used, sizeof line - (size_t)used, "%*s%s", at - used, "", label);
    }
    sg_text_format(out, "%*s%s\n", chart->left, "", line);
}

static void put_chart(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    struct curve curve = curve_of(plan);
    struct chart chart = {.shop = shop, .plan = plan};
    const struct sg_machine *machine = &shop->machine;
    char top[CELL];
    chart.seconds = fmax(shop->shifts[plan->shift].calendar.close_s, plan->run.end);
    chart.left = (int)strlen(mass(shop, machine->hopper, decimals_of(shop), top)) + 5;
    chart.columns = WIDTH - chart.left;
    if (machine->low_line > 0)
        chart.low_row = (int)fmax(1, floor(machine->low_line / machine->hopper * ROWS + 0.5));
    out->failed = out->failed || curve.failed;
    if (!curve.failed) {
        sample(&chart, &curve);
        put_rows(&chart, out);
        put_marks(&chart, out);
        put_hours(&chart, out);
    }
    free(curve.points);
}

void sg_hopper_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    const char *unit = sg_unit_of_shop(SG_DIM_MASS, shop->units)->name;
    char c[5][CELL];
    sg_text_format(out, "SHIFT %s  hopper %s %s, low line %s; used %s, filled %s in %d refill%s",
                   shop->shifts[plan->shift].id, mass(shop, shop->machine.hopper, 1, c[0]), unit,
                   mass(shop, shop->machine.low_line, 1, c[1]), mass(shop, used_kg(plan), 1, c[2]),
                   mass(shop, plan->run.bags_kg, 1, c[3]), plan->run.refills,
                   plan->run.refills == 1 ? "" : "s");
    if (plan->run.bags > 0)
        sg_text_format(out, ", %d bag%s", plan->run.bags, plan->run.bags == 1 ? "" : "s");
    sg_text_put(out, "\n\n");
    put_table(out, shop, plan);
    sg_text_put(out, "\n");
    put_chart(out, shop, plan);
}
