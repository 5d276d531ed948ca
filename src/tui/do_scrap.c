/* A sheet or a piece was spoilt: it is cut again. */
#include "tui/do.h"
#include "tui/pieces.h"

#include <stdio.h>

/* "ends 15:10, 0:40 later". */
static void say_end(struct sg_ui *ui, double before, const char *what)
{
    double after = ui->kept.plan ? ui->kept.plan->ends : (double)NAN;
    char later[40] = "-";
    if (sg_known(before) && sg_known(after))
        sg_hours_format(after - before, later, sizeof later);
    sg_ui_say(ui, SG_ROLE_TEXT, "%s is cut again: the shift ends %s later. u takes it back.", what, later);
}

static void scrap(struct sg_ui *ui, struct sg_target target, int64_t number, const char *what)
{
    struct sg_error error;
    double before = ui->kept.plan ? ui->kept.plan->ends : (double)NAN;
    if (sg_desk_scrap(ui->desk, target, number, &error) != SG_OK) {
        sg_ui_fail(ui, &error);
        return;
    }
    sg_ui_refresh(ui);
    say_end(ui, before, what);
}

void sg_do_scrap_sheet(struct sg_ui *ui)
{
    struct sg_sheet_page page;
    struct sg_piece piece;
    char what[80];
    if (!sg_sheet_stands(ui, &page, &piece)) {
        sg_ui_say(ui, SG_ROLE_TEXT, "No pieces are drawn here.");
        return;
    }
    snprintf(what, sizeof what, "Sheet %lld with its %lld pieces", (long long)page.number, (long long)page.n);
    scrap(ui, (struct sg_target){SG_KIND_STOCK, page.stock}, page.number, what);
}

void sg_do_scrap_piece(struct sg_ui *ui)
{
    struct sg_sheet_page page;
    struct sg_piece piece;
    char what[300];
    if (!sg_sheet_stands(ui, &page, &piece)) {
        sg_ui_say(ui, SG_ROLE_TEXT, "No pieces are drawn here.");
        return;
    }
    snprintf(what, sizeof what, "One %.200s", ui->kept.shop->parts[piece.part].id);
    scrap(ui, (struct sg_target){SG_KIND_PART, piece.part}, ui->kept.shop->stocks[page.stock].stack, what);
}
