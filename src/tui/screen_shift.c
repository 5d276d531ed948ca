/* The shift: its jobs in order of the run. */
#include "tui/screens.h"

#include "edit/suggest.h"
#include "exchange/render.h"
#include "tui/chart.h"
#include "tui/hours.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- what stands in the columns ---- */

static const struct sg_plan_job *planned(const struct sg_look *look, struct sg_target target)
{
    int32_t index = target.index - look->plan->first_job;
    return index >= 0 && index < look->plan->n_jobs ? &look->plan->jobs[index] : NULL;
}

static const struct sg_job *job_of(const struct sg_look *look, struct sg_target target)
{
    return &look->shop->jobs[target.index];
}

static const struct sg_stock *first_stock(const struct sg_look *look, struct sg_target target)
{
    const struct sg_job *job = job_of(look, target);
    return job->n_stocks > 0 ? &look->shop->stocks[job->first_stock] : NULL;
}

static void show_place(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    snprintf(out, size, "%d", target.index - look->plan->first_job + 1);
}

static void show_id(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    snprintf(out, size, "%s", job_of(look, target)->id);
}

static void show_material(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_stock *stock = first_stock(look, target);
    int more = job_of(look, target)->n_stocks - 1;
    if (!stock || stock->material == SG_UNKNOWN)
        snprintf(out, size, "-");
    else if (more > 0)
        snprintf(out, size, "%d kinds", more + 1);
    else
        snprintf(out, size, "%s", look->shop->materials[stock->material].name);
}

static void show_thickness(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_stock *stock = first_stock(look, target);
    if (stock && job_of(look, target)->n_stocks == 1)
        sg_number_short(stock->thickness, sg_unit_of_shop(SG_DIM_LENGTH, look->shop->units), 4, out, size);
}

static void show_head(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_job *job = job_of(look, target);
    bool abrasive = false, water = false;
    for (int32_t i = 0; i < job->n_stocks; i++) {
        int32_t at = job->first_stock + i - look->plan->first_stock;
        if (at < 0 || at >= look->plan->n_stocks)
            continue;
        abrasive = abrasive || look->plan->stocks[at].setup.abrasive;
        water = water || !look->plan->stocks[at].setup.abrasive;
    }
    snprintf(out, size, "%s", abrasive && water ? "both" : abrasive ? "abr" : water ? "wat" : "");
}

static void show_count(int64_t n, char *out, size_t size)
{
    if (n == SG_UNKNOWN)
        snprintf(out, size, "-");
    else
        snprintf(out, size, "%lld", (long long)n);
}

static void show_sheets(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_job *job = planned(look, target);
    if (job)
        show_count(job->sheets, out, size);
}

static void show_pieces(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_job *job = planned(look, target);
    if (job)
        show_count(job->pieces, out, size);
}

static void show_pierces(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_job *job = job_of(look, target);
    int64_t n = 0;
    for (int32_t i = 0; i < job->n_stocks; i++) {
        const struct sg_stock *stock = &look->shop->stocks[job->first_stock + i];
        for (int32_t j = 0; j < stock->n_parts; j++) {
            const struct sg_part *part = &look->shop->parts[stock->first_part + j];
            n += (int64_t)part->quantity * part->pierces;
        }
    }
    show_count(n, out, size);
}

/* Time of day, + behind it where it is not on the shift's day. */
static void show_clock(const struct sg_look *look, double at, char *out, size_t size)
{
    char day[40], other[40];
    double epoch = look->shop->shifts[look->plan->shift].calendar.epoch;
    if (!sg_known(at)) {
        snprintf(out, size, "-");
        return;
    }
    sg_clock_format(epoch + at, out, size);
    sg_day_format(epoch, day, sizeof day);
    sg_day_format(epoch + at, other, sizeof other);
    if (strcmp(day, other) != 0 && strlen(out) + 1 < size)
        strcat(out, "+");
}

static void show_start(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_job *job = planned(look, target);
    if (job)
        show_clock(look, job->starts, out, size);
}

static void show_end(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_job *job = planned(look, target);
    if (job)
        show_clock(look, job->ends, out, size);
}

static void show_total(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_job *job = planned(look, target);
    if (job)
        sg_hours_format(job->ends - job->starts, out, size);
}

static void show_garnet(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_job *job = planned(look, target);
    if (job)
        sg_number_format(job->garnet, sg_unit_of_shop(SG_DIM_MASS, look->shop->units), 1, out, size);
}

/* The first event that is of that job or a later one: the run takes the jobs in their order, so do its
 * events. */
static int32_t first_event(const struct sg_plan *plan, int32_t job)
{
    int32_t low = 0, high = plan->run.n_events;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (plan->batches[plan->run.events[middle].batch].job < job)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static int count_refills(const struct sg_plan *plan, int32_t job)
{
    int n = 0;
    for (int32_t i = first_event(plan, job), end = first_event(plan, job + 1); i < end; i++)
        n += plan->run.events[i].kind == SG_EVENT_REFILL;
    return n;
}

/* What is missing in a job or does not go together: its first caution of that kind. */
static const struct sg_caution *needs_a_look(const struct sg_look *look, int32_t job)
{
    const struct sg_plan *plan = look->plan;
    for (int32_t i = 0; i < plan->n_cautions; i++)
        if (plan->cautions[i].code < SG_CAUTION_OUT_OF_GARNET &&
            sg_job_of(look->shop, (struct sg_target){plan->cautions[i].kind, plan->cautions[i].index}) == job)
            return &plan->cautions[i];
    return NULL;
}

/* LATE, CHECK where something is missing or does not go together, its refills, a note to be read. */
static void show_watch(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_job *job = planned(look, target);
    int refills = count_refills(look->plan, target.index);
    char count[24] = "";
    if (refills > 0)
        snprintf(count, sizeof count, refills > 1 ? "%d refills " : "refill ", refills);
    snprintf(out, size, "%s%s%s%s", job && job->late > 0 ? "LATE " : "",
             needs_a_look(look, target.index) ? "CHECK " : "", count,
             *job_of(look, target)->note ? "note" : "");
}

/* The same in sentences. */
static void explain_watch(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_plan_job *job = planned(look, target);
    const struct sg_caution *caution = needs_a_look(look, target.index);
    const char *note = job_of(look, target)->note;
    char ends[40], due[40], key[200], text[300];
    int used = 0;
    out[0] = '\0';
    if (job && job->late > 0) {
        sg_look_clock(look, job->ends, ends, sizeof ends);
        sg_look_clock(look, job->ends - job->late, due, sizeof due);
        used += snprintf(out, size, "Ends %s, due %s. ", ends, due);
    }
    if (caution && used < (int)size) {
        struct sg_target row = {(enum sg_kind)caution->kind, caution->index};
        sg_key_write(look->shop, row, key, sizeof key);
        sg_caution_text(caution, look->shop->units, text, sizeof text);
        used += snprintf(out + used, size - (size_t)used, "%s: %s. ", key, text);
    }
    if (*note && used < (int)size)
        snprintf(out + used, size - (size_t)used, "Note: %s", note);
}

/* 10:00 on the shift's day, else 2 Dec. */
static void show_due(const struct sg_look *look, struct sg_target target, char *out, size_t size)
{
    const struct sg_job *job = job_of(look, target);
    char day[40], other[40];
    if (!sg_known(job->due_epoch)) {
        snprintf(out, size, "-");
        return;
    }
    sg_day_format(look->shop->shifts[look->plan->shift].calendar.epoch, day, sizeof day);
    sg_day_format(job->due_epoch, other, sizeof other);
    if (strcmp(day, other) == 0)
        sg_clock_format(job->due_epoch, out, size);
    else
        snprintf(out, size, "%.*s", (int)(strlen(other + 4) - 5), other + 4); /* without weekday and year */
}

static const struct sg_column job_columns[] = {
    {.title = "#", .width = 2, .leaves = 12, .right = true, .show = show_place},
    {.title = "Job", .width = 6, .show = show_id},
    {.title = "Name", .width = 12, .grows = true, .field = "name"},
    {.title = "Customer", .width = 11, .leaves = 10, .field = "customer"},
    {.title = "Material", .width = 14, .leaves = 2, .show = show_material},
    {.title = "Thick %",
     .width = 8,
     .leaves = 6,
     .right = true,
     .show = show_thickness,
     .dimension = SG_DIM_LENGTH},
    {.title = "Head", .width = 4, .leaves = 8, .show = show_head},
    {.title = "Sheets", .width = 6, .leaves = 7, .right = true, .number = "sheets", .show = show_sheets},
    {.title = "Qty", .width = 5, .right = true, .show = show_pieces},
    {.title = "Pierces", .width = 7, .leaves = 11, .right = true, .show = show_pierces},
    {.title = "Start", .width = 6, .number = "starts", .show = show_start},
    {.title = "End", .width = 6, .number = "ends", .show = show_end},
    {.title = "Total", .width = 5, .leaves = 9, .right = true, .show = show_total},
    {.title = "Due", .width = 6, .leaves = 3, .field = "due", .show = show_due},
    {.title = "Garnet %",
     .width = 9,
     .leaves = 5,
     .right = true,
     .number = "garnet",
     .show = show_garnet,
     .dimension = SG_DIM_MASS},
    {.title = "Watch", .width = 12, .leaves = 1, .show = show_watch, .explain = explain_watch},
};

static const struct sg_layout job_layout = {.columns = job_columns,
                                            .n = sizeof job_columns / sizeof *job_columns};

/* ---- lines ---- */

static void build(struct sg_ui *ui)
{
    const struct sg_plan *plan = ui->kept.plan;
    if (plan->n_jobs == 0) {
        sg_line_words(ui, SG_ROLE_TEXT, false,
                      "No jobs in this shift yet: a adds one, i brings in a parts list.");
        return;
    }
    sg_line_heading(ui, &job_layout);
    for (int32_t i = 0; i < plan->n_jobs; i++)
        sg_line_row(ui, &job_layout, (struct sg_target){SG_KIND_JOB, plan->first_job + i});
}

static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_shift *shift = &ui->kept.shop->shifts[ui->shift];
    char day[40], from[40], to[40], breaks[80] = "";
    sg_day_format(shift->calendar.epoch, day, sizeof day);
    sg_clock_format(shift->calendar.epoch, from, sizeof from);
    sg_clock_format(shift->calendar.epoch + shift->calendar.close_s, to, sizeof to);
    if (shift->n_breaks > 0 && ui->columns >= 100)
        sg_spans_format(shift->breaks, shift->n_breaks, breaks, sizeof breaks);
    snprintf(out, size, "SHIFT %s  %s  %s-%s%s%s%s", shift->id, day, from, to, *breaks ? "  breaks " : "",
             breaks, ui->kept.plan->closed_day ? "  CLOSED DAY" : "");
}

static void enter(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (line && line->target.kind == SG_KIND_JOB)
        sg_ui_open(ui, SG_SCREEN_JOB, line->target);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "No job here: a adds one.");
}

/* ---- what is worth saying ---- */

/* Trying every change of a large shift takes longer than a key may: W does it when asked. */
enum { MOST_PARTS = 200 };

static void best_change(struct sg_ui *ui, char *out, size_t size)
{
    struct sg_suggestion *found = malloc(SG_SUGGESTIONS * sizeof *found);
    struct sg_error error;
    char at[40];
    if (!found)
        return;
    int n = sg_suggest(ui->draft, ui->shift, found, NULL, &error);
    if (n > 0 && found[0].saving >= 60) {
        sg_look_clock(&ui->kept, found[0].ends, at, sizeof at);
        size_t used = strlen(out);
        snprintf(out + used, size - used, "W tries: %.200s, would end at %s.", found[0].words, at);
    }
    free(found);
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_plan *plan = ui->kept.plan;
    if (!ui->advice_known && !ui->typing.open && !ui->question) {
        char hours[40];
        ui->advice[0] = '\0';
        if (plan->over > 0) {
            sg_look_over(&ui->kept, hours, sizeof hours);
            snprintf(ui->advice, sizeof ui->advice, "Over by %s. ", hours);
        }
        if (plan->n_parts > 0 && plan->n_parts <= MOST_PARTS && !sg_ui_differs(ui))
            best_change(ui, ui->advice, sizeof ui->advice);
        ui->advice_known = true;
    }
    if (ui->how.temporary && ui->depth == 1 && !ui->touched)
        snprintf(out, size,
                 "Example shop. Open a job with Enter, type over a quantity: the times move as you type.");
    else
        snprintf(out, size, "%s", ui->advice);
}

/* What there is to watch in the job one stands on; a bad start for a shift; else what the marks mean. */
static void legend(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_line *line = sg_ui_line(ui);
    out[0] = '\0';
    if (line && line->target.kind == SG_KIND_JOB)
        explain_watch(&ui->tried, sg_ui_tried(ui, line->target), out, size);
    if (!out[0])
        snprintf(out, size, "gm machine, shifts, materials   gh hopper   go job sheet   + next day");
}

/* ---- below the jobs ---- */

enum { CHART_ROWS = 12, HOURS_ROWS = 6, HOURS_COLUMNS = 36 };

static void draw_panel(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    if (ui->tried.plan->n_jobs == 0)
        return;
    if (area.rows >= CHART_ROWS + HOURS_ROWS) {
        struct sg_area chart = area;
        chart.rows -= HOURS_ROWS + 1;
        sg_chart_hopper(canvas, chart, &ui->tried, &(struct sg_chart_how){.wide = ui->how.wide, .at = -1});
        area.row += chart.rows + 1;
        area.rows = HOURS_ROWS;
    }
    struct sg_area hours = area, people = area;
    hours.column += 2;
    hours.columns = area.columns < HOURS_COLUMNS * 2 ? area.columns - 2 : HOURS_COLUMNS;
    sg_hours_draw(canvas, hours, &ui->tried);
    if (area.columns < HOURS_COLUMNS * 2)
        return;
    people.column = hours.column + hours.columns + 2;
    people.columns = area.columns - people.column;
    sg_people_draw(canvas, people, &ui->tried);
}

const struct sg_screen sg_screen_shift = {
    .name = "Shift",
    .answers = true,
    .rest_ends = true,
    .title = title,
    .build = build,
    .panel = 9,
    .panel_tall = 22,
    .draw_panel = draw_panel,
    .advice = advice,
    .legend = legend,
    .enter = enter,
};
