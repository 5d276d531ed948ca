#include "tui/log.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { ENDS = 60 };

struct sg_log {
    int64_t at; /* up to when it was read */
    bool read, planned;
    struct sg_arena arena;
    struct sg_actual actual;
    struct sg_now now;
    enum sg_status status; /* of planning the rest */
    struct sg_error error;
    char ends[ENDS]; /* of the rest, for the screens of the plan */
    int64_t ends_of; /* row of the shift it is of; 0: none yet */
    bool due, old;   /* it is to be made anew; something was kept since */
};

double sg_ui_epoch(const struct sg_ui *ui)
{
    return ui->how.now ? ui->how.now() : (double)time(NULL);
}

int64_t sg_ui_now(const struct sg_ui *ui)
{
    time_t now = (time_t)sg_ui_epoch(ui);
    struct tm local = {0};
    localtime_r(&now, &local);
    return (int64_t)sg_date_days(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday) * SG_DAY_S +
           local.tm_hour * 3600 + local.tm_min * 60 + local.tm_sec;
}

static struct sg_log *log_of(struct sg_ui *ui)
{
    if (!ui->log)
        ui->log = calloc(1, sizeof *ui->log);
    if (ui->log && !ui->log->read && !ui->log->planned)
        ui->log->at = sg_ui_now(ui);
    return ui->log;
}

const struct sg_actual *sg_ui_actual(struct sg_ui *ui)
{
    struct sg_log *log = log_of(ui);
    if (!log)
        return NULL;
    if (!log->read && !sg_actual_make(ui->kept.shop, log->at, &log->arena, &log->actual))
        return NULL;
    log->read = true;
    return &log->actual;
}

const struct sg_now *sg_ui_rest(struct sg_ui *ui)
{
    struct sg_log *log = log_of(ui);
    if (!log)
        return NULL;
    if (!log->planned)
        log->status = sg_now_make(&log->now, ui->kept.shop, log->at, ui->shift, &log->error);
    log->planned = true;
    return log->status == SG_OK ? &log->now : NULL;
}

const char *sg_ui_no_rest(struct sg_ui *ui)
{
    return ui->log && ui->log->status != SG_OK ? sg_ui_reason(ui, &ui->log->error)
                                               : "no memory for what really happened";
}

void sg_log_forget(struct sg_ui *ui)
{
    if (!ui->log)
        return;
    sg_arena_free(&ui->log->arena);
    sg_arena_free(&ui->log->now.arena); /* its planner stays warm */
    ui->log->now.plan = NULL;
    ui->log->read = ui->log->planned = false;
    ui->log->due = ui->log->old = true;
}

void sg_log_free(struct sg_ui *ui)
{
    sg_log_forget(ui);
    if (ui->log)
        sg_now_free(&ui->log->now);
    free(ui->log);
    ui->log = NULL;
}

bool sg_log_renew(struct sg_ui *ui)
{
    if (!ui->log || (!ui->log->read && !ui->log->planned) || ui->log->at / 60 == sg_ui_now(ui) / 60)
        return false;
    bool old = ui->log->old;
    sg_log_forget(ui);
    ui->log->old = old; /* a minute later it is about the same */
    ui->build = ui->build || sg_ui_place(ui)->screen == SG_SCREEN_ACTUALS;
    return true;
}

/* ---- for the screens of the plan ---- */

/* Whether a row of the log says how far the work is, or what the machine has. */
static bool does_count(const struct sg_shop *shop, int32_t clock, int32_t record)
{
    int32_t what = record == SG_UNKNOWN ? SG_RECORD_NOTE : shop->records[record].what;
    return clock != SG_UNKNOWN ||
           (what != SG_RECORD_NOTE && what != SG_RECORD_WEIGH && what != SG_RECORD_SERVICE);
}

/* Whether that was in the shift that is shown, and it is not over. */
static bool is_at_work(const struct sg_ui *ui, const struct sg_actual *actual)
{
    const struct sg_shop *shop = ui->kept.shop;
    struct sg_log_walk walk = {.shop = shop};
    int32_t clock, record;
    sg_actual_window(shop, ui->shift, &walk.from, &walk.until);
    walk.until = walk.until > actual->now + 1 ? actual->now + 1 : walk.until;
    while (!shop->shifts[ui->shift].closed && sg_log_next(&walk, &clock, &record))
        if (does_count(shop, clock, record))
            return true;
    return false;
}

static void put_ends(const struct sg_now *now, char out[ENDS])
{
    const struct sg_plan *plan = now->plan;
    char at[40] = "?";
    if (plan->totals.pieces == 0)
        snprintf(at, sizeof at, "all cut");
    else if (sg_known(plan->ends))
        sg_look_clock(&(struct sg_look){&now->rest.shop, plan}, plan->ends, at, sizeof at);
    else if (!plan->run.finished && !plan->unknown)
        snprintf(at, sizeof at, "no end, garnet");
    snprintf(out, ENDS, "NOW %s", at);
}

const char *sg_ui_rest_ends(const struct sg_ui *ui, bool *old)
{
    const struct sg_log *log = ui->log;
    bool known = log && log->ends_of != 0 && log->ends_of == ui->shift_row;
    *old = known && log->old;
    return known ? log->ends : "";
}

bool sg_log_go_on(struct sg_ui *ui)
{
    char ends[ENDS] = "";
    const struct sg_shop *shop = ui->kept.shop;
    struct sg_log *log = ui->no_plan[0] || !sg_ui_screen(ui)->rest_ends ? NULL : log_of(ui);
    if (!log)
        return false;
    if (log->read && log->actual.running != SG_UNKNOWN)
        sg_log_renew(ui);
    if (log->ends_of == ui->shift_row && !log->due)
        return false;
    const struct sg_actual *actual = shop->n_clocks + shop->n_records > 0 ? sg_ui_actual(ui) : NULL;
    const struct sg_now *now = actual && is_at_work(ui, actual) ? sg_ui_rest(ui) : NULL;
    if (now)
        put_ends(now, ends);
    bool other = log->ends_of != ui->shift_row ? ends[0] != '\0' : log->old || strcmp(ends, log->ends) != 0;
    snprintf(log->ends, ENDS, "%s", ends);
    log->ends_of = ui->shift_row;
    log->due = log->old = false;
    return other;
}
