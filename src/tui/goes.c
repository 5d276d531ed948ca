/* Going to other screens, and out of the program. */
#include "tui/do.h"

#include "tui/screens.h"

#include <stdio.h>
#include <string.h>

static const struct sg_target nothing = {SG_KIND_SHIFT, SG_UNKNOWN};

void sg_do_enter(struct sg_ui *ui)
{
    const struct sg_column *column = sg_ui_column(ui);
    if (sg_ui_screen(ui)->enter)
        sg_ui_screen(ui)->enter(ui);
    else if (column && column->field)
        sg_typing_open(ui, NULL);
    else if (column && column->number)
        sg_do_why(ui);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing to open here.");
}

void sg_do_back(struct sg_ui *ui)
{
    if (ui->ranging || ui->n_marks > 0)
        sg_do_mark_none(ui);
    else if (sg_ui_place(ui)->only[0]) {
        sg_ui_place(ui)->only[0] = '\0';
        ui->build = true;
    } else if (ui->depth > 1)
        sg_ui_back(ui);
    else
        sg_ui_say(ui, SG_ROLE_TEXT,
                  ui->how.temporary ? "This is the first screen; q leaves, and the example is gone then."
                                    : "This is the first screen; q leaves, all is kept.");
}

void sg_do_leave(struct sg_ui *ui)
{
    if (ui->depth > 1)
        sg_ui_back(ui);
    else
        ui->wish = SG_WISH_LEAVE;
}

void sg_do_suspend(struct sg_ui *ui)
{
    ui->wish = SG_WISH_SUSPEND;
}

void sg_do_redraw(struct sg_ui *ui)
{
    ui->wish = SG_WISH_AGAIN;
}

/* ---- by g and a letter ---- */

/* The screen if it is open below, else a new one on top. */
static void go(struct sg_ui *ui, enum sg_screen_id screen, struct sg_target about)
{
    int64_t row = sg_row_id(ui->kept.shop, about);
    for (int i = ui->depth - 1; i >= 0; i--)
        if (ui->places[i].screen == screen && ui->places[i].about_row == row) {
            while (ui->depth - 1 > i)
                sg_ui_back(ui);
            return;
        }
    sg_ui_open(ui, screen, about);
}

void sg_do_go_shift(struct sg_ui *ui)
{
    while (ui->depth > 1)
        sg_ui_back(ui);
}

static void go_of_job(struct sg_ui *ui, enum sg_screen_id screen)
{
    int32_t job = sg_ui_job(ui);
    if (job == SG_UNKNOWN && ui->kept.plan->n_jobs > 0)
        job = ui->kept.plan->first_job;
    if (job == SG_UNKNOWN)
        sg_ui_say(ui, SG_ROLE_TEXT, "No jobs yet: a adds one.");
    else
        go(ui, screen, (struct sg_target){SG_KIND_JOB, job});
}

void sg_do_go_job(struct sg_ui *ui)
{
    go_of_job(ui, SG_SCREEN_JOB);
}

void sg_do_go_hopper(struct sg_ui *ui)
{
    go(ui, SG_SCREEN_HOPPER, nothing);
}

void sg_do_go_sheet(struct sg_ui *ui)
{
    go_of_job(ui, SG_SCREEN_SHEET);
}

void sg_do_go_job_sheet(struct sg_ui *ui)
{
    go_of_job(ui, SG_SCREEN_JOB_SHEET);
}

void sg_do_go_quote(struct sg_ui *ui)
{
    go_of_job(ui, SG_SCREEN_QUOTE);
}

/* From a stock, or a part of it: along that stock only. */
void sg_do_go_trade(struct sg_ui *ui)
{
    int32_t stock = sg_ui_stock(ui);
    go_of_job(ui, SG_SCREEN_TRADE);
    if (sg_ui_place(ui)->screen == SG_SCREEN_TRADE)
        sg_trade_of_stock(ui, stock);
}

void sg_do_go_actuals(struct sg_ui *ui)
{
    go(ui, SG_SCREEN_ACTUALS, nothing);
}

void sg_do_go_machine(struct sg_ui *ui)
{
    go(ui, SG_SCREEN_FIELDS, (struct sg_target){SG_KIND_MACHINE, 0});
}

void sg_do_fields(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (line && line->row != 0)
        sg_ui_open(ui, SG_SCREEN_FIELDS, line->target);
    else
        sg_do_go_machine(ui);
}

void sg_do_shift_fields(struct sg_ui *ui)
{
    go(ui, SG_SCREEN_FIELDS, (struct sg_target){SG_KIND_SHIFT, ui->shift});
}

void sg_do_help(struct sg_ui *ui)
{
    if (ui->depth < SG_PLACES)
        sg_ui_open(ui, SG_SCREEN_HELP, nothing);
}

void sg_do_units(struct sg_ui *ui)
{
    enum sg_unit_system units = ui->kept.shop->units == SG_UNITS_US ? SG_UNITS_METRIC : SG_UNITS_US;
    sg_desk_units(ui->desk, units);
    sg_ui_refresh(ui);
    sg_ui_say(ui, SG_ROLE_TEXT, "%s are shown and typed on this screen; what is kept stays as it is.",
              units == SG_UNITS_US ? "Inches and pounds" : "Millimetres and kilograms");
}

void sg_do_new_file(struct sg_ui *ui)
{
    sg_ui_say(ui, SG_ROLE_TEXT,
              "Leave with q; `sandglass new` makes a shop file of your own, `sandglass` opens it.");
}
