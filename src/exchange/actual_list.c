/* The log for people. */
#include "exchange/actual_render.h"

#include <stdio.h>
#include <string.h>

enum { CELL = 120, COLUMNS = 10 };

typedef char cell[CELL];

/* Cells of a row, by column. */
struct row {
    cell at, plan, took, diff, good, scrap, garnet, key;
    char where[300], what[400];
};

static int32_t day_of(int64_t moment)
{
    return (int32_t)((moment - (moment % SG_DAY_S + SG_DAY_S) % SG_DAY_S) / SG_DAY_S);
}

/* 11:43, of another day 2026-12-01 11:43. */
static const char *clock_on(int64_t moment, int32_t day, char *out)
{
    int used = day_of(moment) == day ? 0 : sg_date_format(day_of(moment), out, CELL);
    if (used > 0)
        out[used++] = ' ';
    sg_time_format((int32_t)((moment - (int64_t)day_of(moment) * SG_DAY_S) / 60 * 60), out + used,
                   (size_t)(CELL - used));
    return out;
}

/* The day that stands above the list. */
static int32_t day_of_list(const struct sg_log_view *view)
{
    int32_t date = view->shop->shifts[view->shift].date;
    return date == SG_NO_DATE ? day_of(view->actual->now) : date;
}

static void put_duration(double seconds, char *out)
{
    if (sg_known(seconds))
        sg_duration_format(seconds, out, CELL);
    else
        snprintf(out, CELL, "-");
}

static void put_difference(double seconds, char *out)
{
    if (!sg_known(seconds)) {
        out[0] = '\0';
        return;
    }
    sg_duration_format(fabs(seconds), out + 1, CELL - 1);
    if (strpbrk(out + 1, "123456789"))
        out[0] = seconds < 0 ? '-' : '+';
    else
        snprintf(out, CELL, "0");
}

static void put_mass(const struct sg_shop *shop, double kg, char *out)
{
    sg_number_format(kg, sg_unit_of_shop(SG_DIM_MASS, shop->units), 1, out, CELL);
}

static void add_row(struct sg_table *table, const struct row *row)
{
    sg_table_row(table, (const char *[COLUMNS]){row->at, row->where, row->what, row->plan, row->took,
                                                row->diff, row->good, row->scrap, row->garnet, row->key});
}

/* ---- a clock ---- */

/* note: words of its own, "" none. */
static void put_what(const struct sg_clock *clock, const struct sg_actual_clock *actual, const char *note,
                     struct row *row)
{
    int used = snprintf(row->what, sizeof row->what, "%s", sg_phase_word(clock->phase));
    if (clock->sheet != SG_UNKNOWN && clock->sheets > 1)
        used += snprintf(row->what + used, sizeof row->what - (size_t)used, ", sheets %d to %d", clock->sheet,
                         clock->sheet + clock->sheets - 1);
    else if (clock->sheet != SG_UNKNOWN)
        used += snprintf(row->what + used, sizeof row->what - (size_t)used, ", sheet %d", clock->sheet);
    if (note[0])
        used += snprintf(row->what + used, sizeof row->what - (size_t)used, ", %s", note);
    if (actual->counted && clock->pieces > 0)
        used += snprintf(row->what + used, sizeof row->what - (size_t)used, ", %lld of %d pieces",
                         (long long)(actual->good + actual->scrapped), clock->pieces);
    if (actual->mended)
        used += snprintf(row->what + used, sizeof row->what - (size_t)used, ", no stop noted");
    if (clock->note[0])
        snprintf(row->what + used, sizeof row->what - (size_t)used, ": %.200s", clock->note);
}

/* How a cut belongs with others to one sheet. */
static const char *with_others(const struct sg_log_view *view, int32_t index)
{
    const struct sg_clock *clocks = view->shop->clocks;
    if (sg_actual_cut_short(view->shop, view->actual, index))
        return clocks[index + 1].phase == SG_PHASE_CHECK ? "stopped for the first check"
                                                         : "stopped, nothing counted";
    if (sg_actual_broke_off(view->shop, view->actual, index))
        return "stopped, nothing counted";
    if (clocks[index].phase != SG_PHASE_CUT || !(sg_actual_before(view->shop, view->actual, index) > 0))
        return "";
    return clocks[index - 1].phase == SG_PHASE_CHECK ? "goes on behind the check" : "goes on with its sheet";
}

static void put_clock(struct sg_table *table, const struct sg_log_view *view, int32_t index)
{
    const struct sg_clock *clock = &view->shop->clocks[index];
    const struct sg_actual_clock *actual = &view->actual->clocks[index];
    struct row row = {.where = ""};
    double planned = sg_actual_share(view->shop, view->actual, index);
    double scale = actual->running ? 1 : sg_clock_scale(clock, actual);
    cell a, b;
    clock_on(actual->from, day_of_list(view), row.at);
    snprintf(row.where, sizeof row.where, "%.200s", clock->place);
    put_what(clock, actual, with_others(view, index), &row);
    put_duration(planned, row.plan);
    put_duration(sg_actual_net(actual), row.took);
    if (actual->running)
        snprintf(row.diff, CELL, "so far");
    else
        put_difference(sg_actual_net(actual) - planned, row.diff);
    if (clock->phase == SG_PHASE_CUT) {
        snprintf(row.good, CELL, actual->counted ? "%lld" : "-", (long long)actual->good);
        snprintf(row.scrap, CELL, actual->counted ? "%lld" : "-", (long long)actual->scrapped);
    }
    if (clock->phase == SG_PHASE_CUT && clock->head_kind == SG_HEAD_ABRASIVE) {
        double share = planned / (sg_clock_planned(clock) * scale); /* of the load, where several cut it */
        put_mass(view->shop, clock->planned_garnet * scale * (sg_known(share) ? share : 1), a);
        put_mass(view->shop, actual->garnet_used, b);
        snprintf(row.garnet, CELL, "%.40s / %.40s", a, b);
    }
    snprintf(row.key, CELL, "clock:%.60s", clock->id);
    add_row(table, &row);
}

/* ---- a record ---- */

static void put_record(struct sg_table *table, const struct sg_log_view *view, int32_t index)
{
    const struct sg_record *record = &view->shop->records[index];
    struct row row = {.where = ""};
    cell amount;
    clock_on(record->at, day_of_list(view), row.at);
    sg_record_amount(view->shop, record, amount, sizeof amount);
    snprintf(row.where, sizeof row.where, "%.200s", record->place);
    snprintf(row.what, sizeof row.what, "%s%.100s%s%.200s", sg_record_word(record->what), amount,
             record->reason[0] ? ": " : "", record->reason);
    const struct sg_actual_pause *pause = sg_actual_pause_of(view->actual, index);
    if (pause)
        put_duration((double)(pause->until - pause->from), row.took);
    if (pause && pause->clock == SG_UNKNOWN)
        snprintf(row.what + strlen(row.what), sizeof row.what - strlen(row.what), " (no clock ran)");
    if (pause && pause->open)
        snprintf(row.diff, CELL, "so far");
    snprintf(row.key, CELL, "record:%.60s", record->id);
    add_row(table, &row);
}

/* ---- in order ---- */

/* How many. */
static int put_rows(struct sg_table *table, const struct sg_log_view *view, struct sg_log_walk walk)
{
    int32_t clock, record;
    int n = 0;
    for (; sg_log_next(&walk, &clock, &record); n++)
        if (clock != SG_UNKNOWN)
            put_clock(table, view, clock);
        else
            put_record(table, view, record);
    return n;
}

static void start_table(const struct sg_log_view *view, struct sg_table *table)
{
    char garnet[60];
    snprintf(garnet, sizeof garnet, ">Garnet %s plan / used",
             sg_unit_of_shop(SG_DIM_MASS, view->shop->units)->name);
    sg_table_start(table,
                   (const char *[COLUMNS]){"At", "Where", "What", ">Plan", ">Took", ">Diff", ">Good",
                                           ">Scrap", garnet, "Key"},
                   COLUMNS);
}

static void put_log(struct sg_text *out, const struct sg_log_view *view)
{
    struct sg_table table;
    struct sg_log_walk walk = {.shop = view->shop};
    sg_actual_window(view->shop, view->shift, &walk.from, &walk.until);
    if (walk.until > view->actual->now)
        walk.until = view->actual->now + 1;
    start_table(view, &table);
    put_rows(&table, view, walk);
    sg_table_put(&table, 0, out);
}

/* What counts and is in no shift's log: it could not be mended otherwise. */
static void put_outside(struct sg_text *out, const struct sg_log_view *view)
{
    struct sg_table table;
    struct sg_arena arena = {0};
    struct sg_actual_outside outside;
    if (!sg_actual_outside(view->shop, &arena, &outside)) {
        out->failed = true;
    } else {
        struct sg_text rows = {0};
        start_table(view, &table);
        int n = put_rows(
            &table, view,
            (struct sg_log_walk){
                .shop = view->shop, .from = INT64_MIN, .until = view->actual->now + 1, .only = &outside});
        sg_table_put(&table, 0, &rows);
        if (n > 0)
            sg_text_format(out, "\noutside the shift\n%s\n", rows.data ? rows.data : "");
        out->failed = out->failed || rows.failed;
        sg_text_free(&rows);
    }
    sg_arena_free(&arena);
}

void sg_level_words(struct sg_text *out, const struct sg_shop *shop, const struct sg_actual *actual)
{
    static const char *const trust[] = {[SG_LEVEL_TYPED] = "as set for the shift's start",
                                        [SG_LEVEL_READ] = "read",
                                        [SG_LEVEL_CARRIED] = "carried forward"};
    const struct sg_actual_hopper *hopper = &actual->hopper;
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, shop->units);
    cell level, low, high, at;
    sg_number_format(hopper->level, unit, 0, level, sizeof level);
    sg_number_format(hopper->low, unit, 0, low, sizeof low);
    sg_number_format(hopper->high, unit, 0, high, sizeof high);
    sg_text_format(out, "about %s %s, %s", level, unit->name, trust[hopper->trust]);
    if (hopper->since != SG_NO_MOMENT)
        sg_text_format(out, "%s %s", hopper->trust == SG_LEVEL_READ ? "" : " from a reading",
                       clock_on(hopper->since, day_of(actual->now), at));
    if (strcmp(low, high) != 0)
        sg_text_format(out, " (%s to %s)", low, high);
}

static void put_head(struct sg_text *out, const struct sg_log_view *view)
{
    const struct sg_actual *actual = view->actual;
    char day[40];
    cell at;
    sg_day_format(view->shop->shifts[view->shift].calendar.epoch, day, sizeof day);
    sg_text_format(out, "LOG  %s, shift %s  now %s  ", day, view->shop->shifts[view->shift].id,
                   clock_on(actual->now, day_of_list(view), at));
    if (actual->running == SG_UNKNOWN)
        sg_text_put(out, "no clock runs\n");
    else
        sg_text_format(out, "clock on %s%s\n", view->shop->clocks[actual->running].place,
                       actual->paused ? ", machine stands" : "");
}

bool sg_log_has_remark(const struct sg_log_view *view, const struct sg_actual_remark *remark)
{
    int32_t shift = sg_actual_shift_at(view->shop, remark->at);
    return shift == view->shift || shift == SG_UNKNOWN;
}

void sg_log_text(struct sg_text *out, const struct sg_log_view *view)
{
    char text[600];
    put_head(out, view);
    put_log(out, view);
    put_outside(out, view);
    sg_text_put(out, "hopper ");
    sg_level_words(out, view->shop, view->actual);
    sg_text_put(out, "\n");
    for (int32_t i = 0; i < view->actual->n_remarks; i++) {
        const struct sg_actual_remark *remark = &view->actual->remarks[i];
        if (!sg_log_has_remark(view, remark))
            continue;
        sg_actual_remark_text(view->shop, remark, text, sizeof text);
        sg_wrap(out, "remark", 8, 100, text);
    }
}
