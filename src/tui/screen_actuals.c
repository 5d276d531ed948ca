/* What really happened in the shift, as it was noted, and what is left. */
#include "tui/screens.h"

#include "exchange/actual_render.h"
#include "tui/actuals.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CELL = 60, MARGIN = 2, NARROW = 72, LEGEND = 79, WIDE = 120 };

/* ---- above and below ---- */

/* "Thu 26 Nov" of seconds since the epoch. */
static void short_day(double epoch, char *out, size_t size)
{
    sg_day_format(epoch, out, size);
    char *year = strrchr(out, ' ');
    if (year)
        *year = '\0';
}

static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    const struct sg_shift *shift = &ui->kept.shop->shifts[ui->shift];
    char day[CELL], at[24];
    short_day(shift->calendar.epoch, day, sizeof day);
    int used = ui->columns < NARROW ? snprintf(out, size, "ACTUALS %.60s  ", shift->id)
                                    : snprintf(out, size, "ACTUALS  %s, shift %.60s  ", day, shift->id);
    if (!actual)
        return;
    out += used;
    size -= (size_t)used;
    sg_log_clock(actual->now, at);
    if (actual->running == SG_UNKNOWN)
        snprintf(out, size, "as of %s, no clock runs", at);
    else
        snprintf(out, size, "now %s, clock on %.60s%s", at, ui->kept.shop->clocks[actual->running].place,
                 actual->paused ? ", STANDS" : "");
}

/* By how much the rest ends later than planned at the first clock, in minutes of the clock. */
static void put_later(const struct sg_ui *ui, const struct sg_now *now, char *out, size_t size)
{
    int64_t planned = sg_actual_planned_end(ui->kept.shop, &now->actual, now->plan->shift);
    double epoch = now->rest.shop.shifts[now->plan->shift].calendar.epoch + now->plan->ends;
    double by = planned == SG_NO_MOMENT ? (double)NAN
                                        : floor(epoch / 60) * 60 - floor(sg_moment_epoch(planned) / 60) * 60;
    char hours[CELL];
    out[0] = '\0';
    if (!sg_known(by))
        return;
    sg_hours_format(fabs(by), hours, sizeof hours);
    if (by == 0)
        snprintf(out, size, "as planned");
    else
        snprintf(out, size, "%s %s%s", hours, by > 0 ? "LATER" : "earlier",
                 ui->columns < WIDE ? "" : " than planned at the start");
}

bool sg_actuals_answered(struct sg_ui *ui, struct sg_look *look, char *behind, size_t size)
{
    const struct sg_now *now = sg_ui_rest(ui);
    if (!now)
        return false;
    *look = (struct sg_look){&now->rest.shop, now->plan};
    put_later(ui, now, behind, size);
    return true;
}

/* In full what has no room on the line; else the last remark, the hopper. */
static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    const struct sg_line *line = sg_ui_line(ui);
    struct sg_text words = {0};
    if (line && sg_text_columns(line->text) > ui->columns - MARGIN) {
        snprintf(out, size, "%s", line->text + strspn(line->text, " "));
        return;
    }
    if (line && actual && line->target.kind == SG_KIND_CLOCK)
        for (int32_t i = 0; i < actual->n_remarks; i++)
            if (actual->remarks[i].odd == SG_ODD_MENDED && actual->remarks[i].clock == line->target.index) {
                sg_actual_remark_text(ui->kept.shop, &actual->remarks[i], out, size);
                return;
            }
    if (!actual)
        return;
    sg_level_words(&words, ui->kept.shop, actual);
    snprintf(out, size, "Hopper %s.", words.data ? words.data : "");
    sg_text_free(&words);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    snprintf(out, size, "%s",
             ui->columns < LEGEND
                 ? "Late: 10:40 in front of what is asked; b Y Q B r: @ first."
                 : "Enter mends, x takes out. Late: 10:40 in front; b Y Q B r ask nothing: @ first.");
}

/* ---- keys ---- */

static void enter(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (!line || line->row == 0)
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing to open here.");
    else if (line->target.kind == SG_KIND_STOCK)
        sg_ui_open(ui, SG_SCREEN_JOB,
                   (struct sg_target){SG_KIND_JOB, ui->kept.shop->stocks[line->target.index].job});
    else
        sg_ui_open(ui, SG_SCREEN_FIELDS, line->target);
}

/* On what runs, else on what is next. */
static bool open(struct sg_ui *ui)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    int32_t next = sg_next_stock(ui, SG_UNKNOWN);
    if (actual && actual->running != SG_UNKNOWN)
        sg_ui_stand(ui, SG_KIND_CLOCK, ui->kept.shop->clocks[actual->running].row);
    else if (next != SG_UNKNOWN)
        sg_ui_stand(ui, SG_KIND_STOCK, ui->kept.shop->stocks[next].row);
    return true;
}

/* A running clock is drawn each minute; nothing is drawn by itself otherwise. */
static bool idle(struct sg_ui *ui)
{
    const struct sg_actual *actual = sg_ui_actual(ui);
    return actual && actual->running != SG_UNKNOWN && sg_log_renew(ui);
}

const struct sg_screen sg_screen_actuals = {
    .name = "Actuals",
    .answers = true,
    .answered = sg_actuals_answered,
    .title = title,
    .build = sg_actuals_build,
    .panel = 5,
    .panel_tall = 10,
    .draw_panel = sg_actuals_panel,
    .advice = advice,
    .legend = legend,
    .enter = enter,
    .open = open,
    .idle = idle,
};
