#include "tui/chart.h"

#include "sandglass/ask.h"
#include "tui/hours.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST = 512,     /* columns, and rows */
    NARROW = 24,    /* columns below which there is no chart */
    LEAST_ROWS = 5, /* three levels, the axis, its hours */
    LEAST_LABEL = 5 /* columns of "hands" */
};

struct chart {
    struct sg_canvas *canvas;
    const struct sg_look *look;
    const struct sg_chart_how *how;
    struct sg_area area;
    int left, columns;     /* of the cells */
    double from, seconds;  /* s of the first column's start, of one column */
    int minutes, label;    /* of one column; from one label to the next */
    int levels, low_level; /* rows; the one that the low line closes above, 0: none */
    double top[MOST + 2];  /* kg at the upper edge of each row; of row 0, the axis, 0 */
    double level[MOST];    /* in the middle of each column; NaN: not known */
    char who[MOST + 1];
    int hidden; /* letters that had no room */
};

/* ---- letters ---- */

/* The better one stays where two fall into one column. */
static const struct {
    char letter;
    int rank;
    const char *meaning;
} letters[SG_EVENTS] = {
    [SG_EVENT_LOAD] = {'L', 4, "L load"},
    [SG_EVENT_REFILL] = {'R', 8, "R refill"},
    [SG_EVENT_HEAD_CHANGE] = {'H', 7, "H head"},
    [SG_EVENT_TUBE_CHANGE] = {'T', 6, "T tube"},
    [SG_EVENT_ORIFICE_CHANGE] = {'O', 5, "O orifice"},
    [SG_EVENT_FIRST_CHECK] = {'c', 1, "c check"},
    [SG_EVENT_INDEX_MOVE] = {'i', 3, "i index"},
    [SG_EVENT_CHORE] = {'o', 2, "o chore"},
    [SG_EVENT_OUT_OF_GARNET] = {'G', 9, "G stops"},
};

static int rank_of(char letter)
{
    for (int i = 0; i < SG_EVENTS; i++)
        if (letters[i].letter == letter && letters[i].meaning)
            return letters[i].rank;
    return 0; /* a blank, or waiting */
}

static void add_words(char *out, size_t size, const char *words)
{
    size_t n = strlen(out);
    snprintf(out + n, size - n, "%s%s", n > 0 ? " " : "", words);
}

void sg_chart_legend(const struct sg_look *look, bool wide, char *out, size_t size)
{
    const struct sg_plan *plan = look->plan;
    const struct sg_calendar *calendar = &look->shop->shifts[plan->shift].calendar;
    bool seen[SG_EVENTS] = {false}, waited = false;
    out[0] = '\0';
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        seen[plan->run.events[i].kind] |= sg_ask_calls(&plan->run.events[i]);
        waited = waited || sg_event_waits(&plan->run.events[i]);
    }
    for (int i = 0; i < SG_EVENTS; i++)
        if (seen[i])
            add_words(out, size, letters[i].meaning);
    if (waited)
        add_words(out, size, "w waits");
    if (calendar->n_breaks > 0)
        add_words(out, size, "b break");
    if (plan->start.late > 0)
        add_words(out, size, "p shift before");
    if (sg_chart_whole(look) > calendar->close_s)
        add_words(out, size, "x over");
    add_words(out, size, wide ? "- low line" : ": half row - low");
}

/* ---- scales ---- */

/* Minutes of the wall clock at t, and the weekday in front of it where it is not the first one. */
static int wall_minutes(const struct chart *chart, double t, char weekday[8])
{
    char at[40];
    sg_look_clock(chart->look, t, at, sizeof at);
    const char *clock = strrchr(at, ' ');
    snprintf(weekday, 8, "%.*s", clock ? (int)(clock - at) : 0, at);
    clock = clock ? clock + 1 : at;
    const char *colon = strchr(clock, ':');
    return colon ? atoi(clock) * 60 + atoi(colon + 1) : 0;
}

/* Columns of a round number of minutes, the fewest that fit, from a round time on. */
static void scale_hours(struct chart *chart, double from, double to)
{
    static const int steps[] = {1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30, 60, 120, 180, 240, 360, 480, 720, 1440};
    enum { STEPS = sizeof steps / sizeof *steps };
    char weekday[8];
    int room = chart->columns < MOST ? chart->columns : MOST, first = wall_minutes(chart, from, weekday);
    double epoch = chart->look->shop->shifts[chart->look->plan->shift].calendar.epoch;
    double minute = from - fmod(epoch + from, 60);
    for (int i = 0;; i++) {
        chart->minutes = i < STEPS ? steps[i] : chart->minutes * 2;
        chart->seconds = chart->minutes * 60.0;
        chart->from = minute - first % chart->minutes * 60;
        if ((to - chart->from) / chart->seconds <= room)
            break;
    }
    chart->columns = (int)ceil((to - chart->from) / chart->seconds - 1e-9);
    chart->columns = chart->columns < 1 ? 1 : chart->columns;
}

/* "06" at whole hours, else "06:30", with a blank between. */
static void scale_labels(struct chart *chart)
{
    static const int steps[] = {5, 10, 15, 30, 60, 120, 180, 240, 360, 720, 1440};
    chart->label = chart->minutes > 1440 ? chart->minutes : 1440;
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (steps[i] % chart->minutes == 0 && steps[i] / chart->minutes >= (steps[i] % 60 == 0 ? 3 : 6)) {
            chart->label = steps[i];
            return;
        }
}

/* Upper edges of the rows: the low line and the brim as they are, multiples of the step between, none so near
 * to either that its row would be a sliver. How many; more than fit where they are more than `most`. */
static int cut_levels(struct chart *chart, double step, double full, int most)
{
    double low = chart->look->shop->machine.low_line, sliver = 0.35 * step;
    bool has_low = low > 0 && low < full * (1 - 1e-9);
    int n = 0;
    chart->low_level = 0;
    for (int k = 1; n <= most && (k * step < full - sliver || (has_low && !chart->low_level)); k++) {
        if (has_low && !chart->low_level && k * step > low - sliver) {
            chart->top[++n] = low;
            chart->low_level = n;
        }
        if (n < most && k * step < full - sliver && (!has_low || fabs(k * step - low) >= sliver))
            chart->top[++n] = k * step;
    }
    if (n < most)
        chart->top[n + 1] = full;
    return n + 1;
}

/* Rows of a readable step: as many as there are, or few less. */
static void scale_levels(struct chart *chart, double full, int rows)
{
    static const double nice[] = {1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8};
    enum { NICE = sizeof nice / sizeof *nice };
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, chart->look->shop->units);
    int most = rows < MOST ? rows : MOST;
    double least = (double)sg_from_canonical(full, unit) / most, power = pow(10, floor(log10(least)));
    for (int i = 0;; i++) {
        double step = nice[i % NICE] * power;
        if (step >= least * (1 - 1e-9)) {
            chart->levels = cut_levels(chart, sg_to_canonical((long double)step, unit), full, most);
            if (chart->levels <= most)
                return;
        }
        power *= i % NICE == NICE - 1 ? 10 : 1;
    }
}

/* The low line as it is called elsewhere, the brim in whole units where it is large, and round figures. */
static void level_label(const struct chart *chart, int level, char *out, size_t size)
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, chart->look->shop->units);
    double kg = chart->top[level], figure = (double)sg_from_canonical(kg, unit);
    int decimals = figure < 1 || (level < chart->levels && level != chart->low_level) ? 3
                   : level == chart->levels && figure >= 100                          ? 0
                                                                                      : 1;
    size_t used = level == chart->low_level ? (size_t)snprintf(out, size, "low ") : 0;
    sg_number_short(kg, unit, decimals, out + used, size - used);
}

/* Columns in front of the cells: the widest label, a blank, the axis. */
static int columns_of_labels(const struct chart *chart)
{
    int width = LEAST_LABEL;
    for (int level = 1; level <= chart->levels; level++) {
        char label[48];
        level_label(chart, level, label, sizeof label);
        int columns = sg_text_columns(label);
        width = columns > width ? columns : width;
    }
    return width + 2;
}

/* ---- levels ---- */

struct sampling {
    struct chart *chart;
    double at, level; /* of the last point */
    int column;       /* the next one */
};

/* Columns up to a point lie on the line from the point before. */
static void sample(void *context, double at, double level)
{
    struct sampling *s = context;
    struct chart *chart = s->chart;
    for (; s->column < chart->columns; s->column++) {
        double t = chart->from + (s->column + 0.5) * chart->seconds;
        if (t > at)
            break;
        bool sloped = at > s->at && t > s->at;
        chart->level[s->column] = t < 0    ? (double)NAN
                                  : sloped ? s->level + (level - s->level) * (t - s->at) / (at - s->at)
                                           : s->level;
    }
    s->at = at;
    s->level = level;
}

static void sample_levels(struct chart *chart)
{
    const struct sg_plan *plan = chart->look->plan;
    struct sampling s = {.chart = chart, .level = plan->start.level};
    sample(&s, 0, plan->start.level);
    sg_run_hopper(&plan->run, sample, &s);
    bool known = !plan->unknown || plan->closed_day;
    for (; s.column < chart->columns; s.column++)
        chart->level[s.column] = known ? s.level : (double)NAN;
}

/* The character of a row of one column, by how many eighths of the row are full. */
static const char *cell_of(const struct chart *chart, int column, int row)
{
    static const char *const eighths[] = {NULL,           "\xE2\x96\x81", "\xE2\x96\x82",
                                          "\xE2\x96\x83", "\xE2\x96\x84", "\xE2\x96\x85",
                                          "\xE2\x96\x86", "\xE2\x96\x87", "\xE2\x96\x88"};
    double level = chart->level[column];
    if (!sg_known(level))
        return row == 1 && chart->from + (column + 0.5) * chart->seconds > 0 ? "?" : NULL;
    double foot = chart->top[row - 1], full = floor((level - foot) / (chart->top[row] - foot) * 8 + 1e-6);
    int part = full <= 0 ? 0 : full >= 8 ? 8 : (int)full;
    return chart->how->wide ? eighths[part] : part == 8 ? "#" : part >= 4 ? ":" : NULL;
}

static void draw_level(const struct chart *chart, int level, int row)
{
    char label[48];
    int column = chart->area.column;
    bool low = level == chart->low_level;
    level_label(chart, level, label, sizeof label);
    sg_canvas_field(chart->canvas, row, column, chart->left - column - 2, true, SG_ROLE_LABEL, label);
    sg_canvas_put(chart->canvas, row, chart->left - 1, 1, SG_ROLE_LABEL, low ? "-" : "|");
    for (int c = 0; c < chart->columns; c++) {
        const char *cell = cell_of(chart, c, level);
        enum sg_role role = level <= chart->low_level ? SG_ROLE_LOW : SG_ROLE_FULL;
        if (cell || low)
            sg_canvas_put(chart->canvas, row, chart->left + c, 1, role, cell ? cell : "-");
    }
}

/* ---- hours ---- */

static int column_of(const struct chart *chart, double t)
{
    double column = floor((t - chart->from) / chart->seconds + 1e-9);
    return column < -1 ? -1 : column > chart->columns ? chart->columns : (int)column;
}

static void draw_hours(const struct chart *chart, int row)
{
    int end = chart->area.column + chart->area.columns;
    char day[8] = "", said[8] = "";
    sg_canvas_put(chart->canvas, row, chart->left - 1, 1, SG_ROLE_LABEL, "+");
    sg_canvas_fill(chart->canvas, row, chart->left, chart->columns, SG_ROLE_LABEL, "-");
    for (int c = 0; c < chart->columns; c++) {
        int minutes = wall_minutes(chart, chart->from + c * chart->seconds, day);
        char label[24];
        if (minutes % chart->label != 0)
            continue;
        sg_canvas_put(chart->canvas, row, chart->left + c, 1, SG_ROLE_LABEL, "+");
        int n = snprintf(label, sizeof label, chart->label % 60 == 0 ? "%02d" : "%02d:%02d", minutes / 60,
                         minutes % 60);
        if (strcmp(day, said) != 0 && chart->label / chart->minutes >= n + 5) {
            snprintf(said, sizeof said, "%s", day);
            snprintf(label, sizeof label, chart->label % 60 == 0 ? "%s %02d" : "%s %02d:%02d", said,
                     minutes / 60, minutes % 60);
        }
        if (chart->left + c + sg_text_columns(label) <= end)
            sg_canvas_put(chart->canvas, row + 1, chart->left + c, 12, SG_ROLE_LABEL, label);
    }
    const struct sg_run *run = &chart->look->plan->run;
    if (chart->how->at < 0 || chart->how->at >= run->n_events)
        return;
    int at = column_of(chart, run->events[chart->how->at].at);
    if (at >= 0 && at < chart->columns)
        sg_canvas_put(chart->canvas, row, chart->left + at, 1, SG_ROLE_CURSOR, "^");
}

/* ---- which job, whose hands, breaks ---- */

static void draw_name(const struct chart *chart, int row, const char *name)
{
    sg_canvas_field(chart->canvas, row, chart->area.column, chart->left - chart->area.column - 2, true,
                    SG_ROLE_LABEL, name);
}

/* A job's number, its last digits behind ".." where it is long: they tell jobs apart, the first ones do not.
 * Nothing where not even one has room. */
static void draw_job(const struct chart *chart, int row, int column, int room, const char *id)
{
    int columns = sg_text_columns(id), width;
    const char *cut = columns > room ? ".." : "";
    if (columns > room)
        while (*id && columns > room - 2) {
            id += sg_text_next(id, &width);
            columns = sg_text_columns(id);
        }
    if (*id)
        sg_canvas_format(chart->canvas, row, column, room, SG_ROLE_TEXT, "%s%s", cut, id);
}

/* The column in which a job starts, -1 where that is before the chart; behind it where it does not start. */
static int start_of(const struct chart *chart, int32_t job)
{
    const struct sg_plan *plan = chart->look->plan;
    return job < plan->n_jobs && sg_known(plan->jobs[job].starts) ? column_of(chart, plan->jobs[job].starts)
                                                                  : chart->columns;
}

static void draw_jobs(struct chart *chart, int row)
{
    const struct sg_plan *plan = chart->look->plan;
    draw_name(chart, row, "job");
    for (int32_t i = 0, next = 0; i < plan->n_jobs; i = next) {
        const struct sg_plan_job *job = &plan->jobs[i];
        for (next = i + 1; next < plan->n_jobs && !sg_known(plan->jobs[next].starts);)
            next++; /* one that is not cut */
        int first = start_of(chart, i), n = first < 0 ? 0 : first, behind = start_of(chart, next);
        int end = column_of(chart, (sg_known(job->ends) ? job->ends : plan->run.end) - 1e-3) + 1;
        end = end < behind ? end : behind; /* the next one may start in the column in which this one ends */
        end = end > first ? end : first + 1;
        if (first >= chart->columns || end <= 0)
            continue;
        sg_canvas_fill(chart->canvas, row, chart->left + n, end - n, SG_ROLE_LABEL, ".");
        if (first >= 0)
            sg_canvas_put(chart->canvas, row, chart->left + n++, 1, SG_ROLE_LABEL, "|");
        draw_job(chart, row, chart->left + n, end - n, chart->look->shop->jobs[plan->first_job + i].id);
    }
}

static void mark_waiting(struct chart *chart, const struct sg_event *event)
{
    if (!sg_event_waits(event))
        return;
    int first = column_of(chart, event->asked), last = column_of(chart, event->at);
    for (int c = first < 0 ? 0 : first; c < last && c < chart->columns; c++)
        chart->who[c] = 'w';
}

/* In its column, in the next where one as important stands there already. */
static void mark_event(struct chart *chart, const struct sg_event *event)
{
    int c = column_of(chart, event->at), rank = letters[event->kind].rank;
    char letter = letters[event->kind].letter;
    if (!sg_ask_calls(event) || c < 0 || c >= chart->columns)
        return;
    if (rank_of(chart->who[c]) == 0) {
        chart->who[c] = letter;
    } else if (c + 1 < chart->columns && rank_of(chart->who[c + 1]) == 0) {
        chart->who[c + 1] = letter;
    } else {
        chart->hidden++;
        if (rank > rank_of(chart->who[c]))
            chart->who[c] = letter;
    }
}

static void find_hands(struct chart *chart)
{
    const struct sg_run *run = &chart->look->plan->run;
    int32_t at = chart->how->at;
    memset(chart->who, ' ', (size_t)chart->columns);
    chart->who[chart->columns] = '\0';
    for (int32_t i = 0; i < run->n_events; i++)
        mark_waiting(chart, &run->events[i]);
    for (int32_t i = 0; i < run->n_events; i++)
        mark_event(chart, &run->events[i]);
    if (at < 0 || at >= run->n_events || !sg_ask_calls(&run->events[at]))
        return;
    int c = column_of(chart, run->events[at].at);
    if (c >= 0 && c < chart->columns)
        chart->who[c] = letters[run->events[at].kind].letter;
}

static void draw_hands(struct chart *chart, int row)
{
    draw_name(chart, row, "hands");
    for (int c = 0; c < chart->columns; c++)
        if (chart->who[c] != ' ')
            sg_canvas_put(chart->canvas, row, chart->left + c, 1,
                          chart->who[c] == 'w' ? SG_ROLE_LOW : SG_ROLE_RESULT,
                          (const char[]){chart->who[c], '\0'});
    int32_t at = chart->how->at;
    if (at < 0 || at >= chart->look->plan->run.n_events)
        return;
    int c = column_of(chart, chart->look->plan->run.events[at].at);
    if (c >= 0 && c < chart->columns)
        sg_canvas_paint(chart->canvas, row, chart->left + c, 1, SG_ROLE_CURSOR);
}

static void draw_span(const struct chart *chart, int row, double from, double to, const char *letter)
{
    int first = column_of(chart, from), last = column_of(chart, to - 1e-3);
    first = first < 0 ? 0 : first;
    last = last < chart->columns ? last : chart->columns - 1;
    if (to > from && last >= first)
        sg_canvas_fill(chart->canvas, row, chart->left + first, last - first + 1, SG_ROLE_LABEL, letter);
}

static void draw_breaks(struct chart *chart, int row)
{
    const struct sg_plan *plan = chart->look->plan;
    const struct sg_calendar *calendar = &chart->look->shop->shifts[plan->shift].calendar;
    draw_name(chart, row, "break");
    draw_span(chart, row, 0, plan->start.late, "p");
    for (int i = 0; i < calendar->n_breaks; i++)
        draw_span(chart, row, calendar->breaks[i].from_s, calendar->breaks[i].to_s, "b");
    if (sg_chart_whole(chart->look) > calendar->close_s)
        draw_span(chart, row, calendar->close_s, chart->from + chart->columns * chart->seconds, "x");
}

/* ---- the whole ---- */

static void draw_heading(const struct chart *chart)
{
    char each[40], hidden[80] = "";
    if (chart->minutes < 60)
        snprintf(each, sizeof each, "%d minute%s", chart->minutes, chart->minutes == 1 ? "" : "s");
    else
        snprintf(each, sizeof each, "%d hour%s", chart->minutes / 60, chart->minutes == 60 ? "" : "s");
    if (chart->hidden > 0)
        snprintf(hidden, sizeof hidden, ", %d letter%s without room: zoom in", chart->hidden,
                 chart->hidden == 1 ? "" : "s");
    sg_canvas_format(chart->canvas, chart->area.row, chart->area.column, chart->area.columns, SG_ROLE_LABEL,
                     "  %s in hopper, %s a column%s",
                     sg_unit_of_shop(SG_DIM_MASS, chart->look->shop->units)->name, each, hidden);
}

void sg_chart_hopper(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look,
                     const struct sg_chart_how *how)
{
    typedef void drawing(struct chart * chart, int row);
    static drawing *const below[] = {draw_hands, draw_jobs, draw_breaks}; /* the last leaves first */
    static const int order[] = {1, 0, 2};                                 /* from the top */
    struct chart chart = {.canvas = canvas, .look = look, .how = how, .area = area};
    double full = fmax(look->shop->machine.hopper, look->plan->start.level);
    if (area.rows < LEAST_ROWS || area.columns < NARROW || !(full > 0)) {
        sg_hopper_words(canvas, area, look);
        return;
    }
    int spare = area.rows - LEAST_ROWS, rows_below = spare < 3 ? spare : 3, heading = spare > 3 ? 1 : 0;
    scale_levels(&chart, full, area.rows - 2 - rows_below - heading);
    chart.left = area.column + columns_of_labels(&chart);
    chart.columns = area.columns - (chart.left - area.column);
    scale_hours(&chart, how->from, how->to > how->from ? how->to : sg_chart_whole(look));
    scale_labels(&chart);
    sample_levels(&chart);
    find_hands(&chart);
    int row = area.row + heading;
    if (heading)
        draw_heading(&chart);
    for (int level = chart.levels; level > 0; level--)
        draw_level(&chart, level, row++);
    draw_hours(&chart, row);
    row += 2;
    for (int i = 0; i < 3; i++)
        if (order[i] < rows_below)
            below[order[i]](&chart, row++);
}
