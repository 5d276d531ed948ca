#include "tui/log.h"

#include <stdlib.h>
#include <time.h>

struct sg_log {
    int64_t at; /* up to when it was read */
    bool read, planned;
    struct sg_arena arena;
    struct sg_actual actual;
    struct sg_now now;
    enum sg_status status; /* of planning the rest */
    struct sg_error error;
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
    sg_now_free(&ui->log->now);
    ui->log->read = ui->log->planned = false;
}

void sg_log_free(struct sg_ui *ui)
{
    sg_log_forget(ui);
    free(ui->log);
    ui->log = NULL;
}

bool sg_log_renew(struct sg_ui *ui)
{
    if (!ui->log || (!ui->log->read && !ui->log->planned) || ui->log->at / 60 == sg_ui_now(ui) / 60)
        return false;
    sg_log_forget(ui);
    ui->build = ui->build || sg_ui_place(ui)->screen == SG_SCREEN_ACTUALS;
    return true;
}
