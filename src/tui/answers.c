/* The three answers in one line, and what a change would change. */
#include "tui/inside.h"

#include "exchange/render.h"
#include "sandglass/ask.h"
#include "sandglass/compare.h"
#include "tui/log.h"
#include "tui/prices.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { NARROW = 40 };

static double epoch_of(const struct sg_look *look)
{
    return look->shop->shifts[look->plan->shift].calendar.epoch;
}

void sg_look_clock(const struct sg_look *look, double at, char *out, size_t size)
{
    if (sg_known(at))
        sg_clock_on_day(epoch_of(look), epoch_of(look) + at, out, size);
    else
        snprintf(out, size, "-");
}

/* ---- the answers ---- */

/* Whole minutes of the clock, so that what is said of two times is what a person reckons from them. */
static double minute_of(const struct sg_look *look, double at)
{
    return floor((epoch_of(look) + at) / 60);
}

/* " +0:36" between two times, or nothing where the clock shows the same. */
static void put_change(struct sg_ui *ui, char *out, size_t size)
{
    char hours[40];
    double change = minute_of(&ui->tried, ui->tried.plan->ends) - minute_of(&ui->kept, ui->kept.plan->ends);
    if (!sg_known(change) || change == 0)
        return;
    sg_hours_format(fabs(change) * 60, hours, sizeof hours);
    size_t used = strlen(out);
    snprintf(out + used, size - used, " %c%s", change < 0 ? '-' : '+', hours);
}

void sg_look_over(const struct sg_look *look, char *out, size_t size)
{
    double close = look->shop->shifts[look->plan->shift].calendar.close_s;
    sg_over_format(epoch_of(look) + close, epoch_of(look) + look->plan->ends, out, size);
}

/* Where the run stops for want of garnet. */
static void stop_answer(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_run *run = &ui->tried.plan->run;
    char at[40] = "-";
    for (int32_t i = 0; i < run->n_events; i++)
        if (run->events[i].kind == SG_EVENT_OUT_OF_GARNET)
            sg_look_clock(&ui->tried, run->events[i].at, at, sizeof at);
    snprintf(out, size, "STOPS %s, %d bag%s short", at, run->bags_short, run->bags_short == 1 ? "" : "s");
}

/* The first part that cannot be timed. */
static void untimed_answer(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_look *look = &ui->tried;
    char key[120] = "a part";
    int32_t part = sg_ask_untimed(look->plan, look->plan->first_part + look->plan->n_parts - 1);
    if (part != SG_UNKNOWN)
        sg_key_write(look->shop, (struct sg_target){SG_KIND_PART, part}, key, sizeof key);
    snprintf(out, size, "ENDS ?, %.60s not timed", key);
}

/* behind: what is said behind it of the rest; NULL: it is the plan's. */
static void end_answer(struct sg_ui *ui, const char *behind, char *out, size_t size)
{
    const struct sg_plan *plan = ui->tried.plan;
    char at[40], over[60];
    if (plan->totals.pieces == 0) {
        snprintf(out, size, behind ? "ENDS -, nothing left to cut" : "ENDS -, nothing to cut yet");
        return;
    }
    if (!plan->run.finished && !plan->unknown) {
        stop_answer(ui, out, size);
        return;
    }
    if (!sg_known(plan->ends)) {
        untimed_answer(ui, out, size);
        return;
    }
    sg_look_clock(&ui->tried, plan->ends, at, sizeof at);
    snprintf(out, size, "ENDS %s", at);
    if (sg_ui_differs(ui) && ui->columns >= NARROW) /* there being over says more */
        put_change(ui, out, size);
    size_t used = strlen(out);
    if (plan->over > 0) {
        sg_look_over(&ui->tried, over, sizeof over);
        snprintf(out + used, size - used, ", %s over", over);
    } else if (!sg_ui_differs(ui)) {
        snprintf(out + used, size - used, ", in time");
    }
    used = strlen(out);
    if (behind && *behind)
        snprintf(out + used, size - used, ", %s", behind);
}

/* All refills as far as they fit, in the look that is shown. */
static void refill_answer(struct sg_ui *ui, bool brief, char *out, size_t size)
{
    const struct sg_plan *plan = ui->tried.plan;
    int told = 0;
    snprintf(out, size, "REFILL %s",
             plan->run.refills > 0 ? ""
             : plan->hopper_lasts  ? "none, hopper lasts"
             : plan->unknown       ? "not known"
                                   : "none, no garnet left");
    for (int32_t i = 0; i < plan->run.n_events && plan->run.refills > 0; i++) {
        const struct sg_event *e = &plan->run.events[i];
        char at[40];
        if (e->kind != SG_EVENT_REFILL)
            continue;
        size_t used = strlen(out);
        if (told == 2) {
            snprintf(out + used, size - used, " +%d", plan->run.refills - told);
            return;
        }
        sg_look_clock(&ui->tried, e->at, at, sizeof at);
        snprintf(out + used, size - used, "%s%s", told ? " " : "", at);
        if (plan->run.refills == 1 && !brief)
            snprintf(out + strlen(out), size - strlen(out), ", %d bag%s", e->bags, e->bags == 1 ? "" : "s");
        told++;
    }
}

static int longest_break(const struct sg_plan *plan)
{
    int best = -1;
    for (int i = 0; i < plan->n_breaks; i++)
        if (best < 0 ||
            plan->breaks[i].to - plan->breaks[i].from > plan->breaks[best].to - plan->breaks[best].from)
            best = i;
    return best;
}

/* "12:00-12:30 no, stands 12:10 for load 2603", in fewer words where `brief`. */
static void put_break(struct sg_ui *ui, const struct sg_plan_break *b, bool brief, char *out, size_t size)
{
    char from[40], to[40], at[40];
    sg_look_clock(&ui->tried, b->from, from, sizeof from);
    sg_look_clock(&ui->tried, b->to, to, sizeof to);
    int used = snprintf(out, size, brief ? "%s" : "%s-%s", from, to);
    if (b->alone || b->event < 0) {
        snprintf(out + used, size - (size_t)used, b->alone ? " yes" : " not known");
        return;
    }
    const struct sg_plan *plan = ui->tried.plan;
    const struct sg_event *e = &plan->run.events[b->event];
    const char *what =
        e->kind == SG_EVENT_CHORE ? ui->tried.shop->chores[e->chore].name : sg_event_word(e->kind);
    bool stands = e->at - e->asked >= 1;
    sg_look_clock(&ui->tried, e->asked, at, sizeof at);
    if (brief)
        snprintf(out + used, size - (size_t)used, " no, %s %s", stands ? "stands" : what, at);
    else
        snprintf(out + used, size - (size_t)used, " no, %s%s %s%.40s %.20s", stands ? "stands " : "", at,
                 stands ? "for " : "", what, ui->tried.shop->jobs[plan->batches[e->batch].job].id);
}

/* How much is said of the breaks; of one: the longest. */
enum said { OF_ALL, OF_ALL_BRIEF, OF_ONE, OF_ONE_BRIEF, YES_NO };

static void break_answer(struct sg_ui *ui, enum said said, char *out, size_t size)
{
    const struct sg_plan *plan = ui->tried.plan;
    int best = longest_break(plan);
    bool over = best < 0 && sg_ask_breaks_over(ui->tried.shop, plan);
    snprintf(out, size, over ? "ALONE no break left" : best < 0 ? "ALONE no breaks today" : "ALONE ");
    for (int i = 0; i < plan->n_breaks; i++) {
        const struct sg_plan_break *b = &plan->breaks[i];
        size_t used = strlen(out);
        bool all = said == OF_ALL || said == OF_ALL_BRIEF;
        if ((!all && i != best) || used + 2 > size)
            continue;
        snprintf(out + used, size - used, "%s", all && i > 0 ? ", " : "");
        used = strlen(out);
        if (said == YES_NO)
            snprintf(out + used, size - used, b->alone ? "yes" : b->event < 0 ? "?" : "no");
        else
            put_break(ui, b, said == OF_ALL_BRIEF || said == OF_ONE_BRIEF, out + used, size - used);
    }
}

/* "NOW 18:45, g a": when what is left ends, and where more of it is seen. */
static void now_answer(struct sg_ui *ui, bool brief, char *out, size_t size)
{
    bool old;
    out[0] = '\0';
    if (!sg_ui_screen(ui)->rest_ends)
        return;
    if (ui->how.spoken)
        sg_log_go_on(ui); /* nothing is said later by itself */
    const char *ends = sg_ui_rest_ends(ui, &old);
    if (*ends)
        snprintf(out, size, "%s%s%s", ends, old ? " ?" : "", brief ? "" : ", g a");
}

static int columns_of(char answers[SG_ANSWERS][SG_ANSWER])
{
    int columns = -3; /* bars are between */
    for (int i = 0; i < SG_ANSWERS; i++)
        columns += answers[i][0] ? sg_text_columns(answers[i]) + 3 : 0;
    return columns;
}

static void put_answers(struct sg_ui *ui, const char *behind, int columns, char out[SG_ANSWERS][SG_ANSWER])
{
    /* Nothing that is older than what is typed looks like an answer to it. */
    static const struct {
        enum said breaks;
        bool refill, now; /* in fewer words */
    } ways[] = {{OF_ALL, false, false},       {OF_ALL_BRIEF, false, false}, {OF_ONE, false, false},
                {OF_ONE_BRIEF, false, false}, {OF_ONE_BRIEF, true, false},  {YES_NO, true, false},
                {YES_NO, true, true}};
    enum { WAYS = sizeof ways / sizeof *ways };
    bool stale = ui->typing.open && ui->typing.typed.state != SG_PARSE_WHOLE;
    int room = columns - (stale ? 3 * 2 : 0); /* a mark behind each */
    now_answer(ui, false, out[3], SG_ANSWER);
    int n = out[3][0] ? WAYS : WAYS - 2; /* the plan gives way to what is now */
    for (int way = 0; way < n; way++) {
        end_answer(ui, behind, out[0], SG_ANSWER);
        refill_answer(ui, ways[way].refill, out[1], SG_ANSWER);
        break_answer(ui, ways[way].breaks, out[2], SG_ANSWER);
        now_answer(ui, ways[way].now, out[3], SG_ANSWER);
        if (columns_of(out) <= room)
            break;
    }
    for (int i = 2; i > 0 && out[3][0] && columns_of(out) > room; i--)
        out[i][0] = '\0'; /* half of what is now would be a wrong time */
    for (int i = 0; stale && i < 3 && out[i][0]; i++)
        snprintf(out[i] + strlen(out[i]), SG_ANSWER - strlen(out[i]), " ?");
}

bool sg_answers(struct sg_ui *ui, int columns, char out[SG_ANSWERS][SG_ANSWER])
{
    const struct sg_look kept = ui->kept, tried = ui->tried;
    const struct sg_screen *screen = sg_ui_screen(ui);
    struct sg_look look;
    char behind[80];
    out[0][0] = out[1][0] = out[2][0] = out[3][0] = '\0';
    if (!ui->tried.plan)
        return false;
    bool other = screen->answered && screen->answered(ui, &look, behind, sizeof behind);
    if (other)
        ui->kept = ui->tried = look; /* for as long as they are made */
    put_answers(ui, other ? behind : NULL, columns, out);
    bool late = !(ui->tried.plan->over <= 0);
    ui->kept = kept;
    ui->tried = tried;
    return late;
}

/* ---- in plan, typed, change ---- */

/* Beside a row: what it is measured against. */
static void note_of(struct sg_ui *ui, const struct sg_compare_row *row, char *out, size_t size)
{
    const struct sg_shop *shop = ui->tried.shop;
    const struct sg_plan *plan = ui->tried.plan;
    const struct sg_unit *mass = sg_unit_of_shop(SG_DIM_MASS, shop->units);
    char at[40], other[40];
    out[0] = '\0';
    if (strcmp(row->name, "ends_s") == 0) {
        sg_look_clock(&ui->tried, shop->shifts[plan->shift].calendar.close_s, at, sizeof at);
        snprintf(out, size, "shift closes %s", at);
    } else if (strstr(row->name, "level")) {
        sg_number_short(shop->machine.hopper, mass, 1, at, sizeof at);
        sg_number_short(shop->machine.low_line, mass, 1, other, sizeof other);
        snprintf(out, size, "holds %s, low %s", at, other);
    } else if (strcmp(row->name, "refills") == 0 && plan->next_refill >= 0) {
        sg_look_clock(&ui->tried, plan->run.events[plan->next_refill].at, at, sizeof at);
        snprintf(out, size, "first %s", at);
    }
}

/* Whole or not at all: half a figure is another one. */
static void draw_note(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area, int y,
                      const struct sg_compare_row *row)
{
    char note[100];
    note_of(ui, row, note, sizeof note);
    if (sg_text_columns(note) <= area.columns - 57)
        sg_canvas_put(canvas, y, area.column + 57, area.columns - 57, SG_ROLE_LABEL, note);
}

static void draw_row(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area, int line,
                     const struct sg_compare_row *row, int32_t jobs[2])
{
    char cell[SG_COMPARE_CELL], title[80];
    double before = row->value(ui->kept.plan, jobs[0]);
    double after = sg_ui_differs(ui) ? row->value(ui->tried.plan, jobs[1]) : before;
    bool changed = sg_ui_differs(ui) && !(before == after || (isnan(before) && isnan(after)));
    bool stale = ui->typing.open && ui->typing.typed.state != SG_PARSE_WHOLE;
    int y = area.row + line, x = area.column;
    const char *unit =
        row->shape == SG_COMPARE_NUMBER ? sg_unit_of_shop(row->dimension, ui->kept.shop->units)->name : "";
    snprintf(title, sizeof title, "%s%s%s", row->title, *unit ? " " : "", unit);
    title[0] = (char)(title[0] >= 'a' && title[0] <= 'z' ? title[0] - 'a' + 'A' : title[0]);
    sg_canvas_put(canvas, y, x, 22, SG_ROLE_LABEL, title);
    sg_compare_show(row, ui->kept.shop, epoch_of(&ui->kept), before, cell);
    sg_canvas_field(canvas, y, x + 22, 10, true, SG_ROLE_RESULT, cell);
    if (!ui->typing.open && !sg_ui_differs(ui)) {
        draw_note(ui, canvas, area, y, row);
        return;
    }
    sg_compare_show(row, ui->tried.shop, epoch_of(&ui->tried), after, cell);
    sg_canvas_field(canvas, y, x + 33, 10, true,
                    changed ? SG_ROLE_CHANGED
                    : stale ? SG_ROLE_STALE
                            : SG_ROLE_RESULT,
                    stale ? "?" : cell);
    sg_compare_show_change(row, ui->tried.shop, after - before, cell);
    if (isnan(before) != isnan(after))
        snprintf(cell, sizeof cell, "changes"); /* known to not known, or back */
    sg_canvas_field(canvas, y, x + 44, 11, true, SG_ROLE_CHANGED, stale ? "" : cell);
    draw_note(ui, canvas, area, y, row);
}

static bool is_row(const struct sg_compare_row *row, const char *const *names)
{
    for (; *names; names++)
        if (strcmp(row->name, *names) == 0)
            return true;
    return false;
}

/* The rows under a job: its own, then those of the shift that people ask for; under a shift its own. Where
 * there is less room the last of a list leave. */
static const char *const shift_rows_of_job[] = {"waiting_s", "refills", "level_end_kg", NULL};
static const char *const first_rows[] = {"ends_s", NULL};

static int draw_rows(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area, int line,
                     const struct sg_compare_row *rows, const char *const *only, const char *const *but,
                     int32_t jobs[2])
{
    for (const struct sg_compare_row *row = rows; row->name && line < area.rows; row++)
        if ((!only || is_row(row, only)) && (!but || !is_row(row, but)))
            draw_row(ui, canvas, area, line++, row, jobs);
    return line;
}

/* The job of what is typed, as an index into each look's plan; false where it is of no job, or elsewhere. */
static bool jobs_typed(struct sg_ui *ui, int32_t jobs[2])
{
    int32_t job = sg_ui_job(ui);
    if (job == SG_UNKNOWN)
        return false;
    struct sg_target target = sg_ui_tried(ui, (struct sg_target){SG_KIND_JOB, job});
    jobs[0] = job - ui->kept.plan->first_job;
    jobs[1] = target.index - ui->tried.plan->first_job;
    return jobs[0] >= 0 && jobs[0] < ui->kept.plan->n_jobs && jobs[1] >= 0 &&
           jobs[1] < ui->tried.plan->n_jobs;
}

void sg_changes_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    int32_t jobs[2] = {SG_UNKNOWN, SG_UNKNOWN};
    if (sg_prices_typed(ui)) {
        sg_prices_draw(ui, canvas, area);
        return;
    }
    bool of_job = jobs_typed(ui, jobs);
    bool typed = ui->typing.open;
    sg_canvas_field(canvas, area.row, area.column + 22, 10, true, SG_ROLE_LABEL, "in plan");
    if (typed || sg_ui_differs(ui)) {
        sg_canvas_field(canvas, area.row, area.column + 33, 10, true, SG_ROLE_LABEL,
                        typed ? "typed" : "what if");
        sg_canvas_field(canvas, area.row, area.column + 44, 11, true, SG_ROLE_LABEL, "change");
    }
    int line = draw_rows(ui, canvas, area, 1, sg_compare_rows, first_rows, NULL, jobs);
    if (of_job) {
        line = draw_rows(ui, canvas, area, line, sg_compare_rows, shift_rows_of_job, NULL, jobs);
        draw_rows(ui, canvas, area, line, sg_compare_job_rows, NULL, NULL, jobs);
    } else {
        draw_rows(ui, canvas, area, line, sg_compare_rows, NULL, first_rows, jobs);
    }
}
