/* A sheet or a piece was spoilt: it is cut again. */
#include "tui/do.h"
#include "tui/pieces.h"

#include <stdio.h>

/* "Sheet 1 with its 24 pieces is cut again: the shift ends 0:40 later." */
static void say_end(struct sg_ui *ui, double before, const char *what)
{
    double after = ui->kept.plan ? ui->kept.plan->ends : (double)NAN;
    char later[40], ends[80] = "when the shift ends is not known";
    if (sg_known(before) && sg_known(after)) {
        sg_hours_format(after - before, later, sizeof later);
        snprintf(ends, sizeof ends, "the shift ends %s later", later);
    }
    sg_ui_say(ui, SG_ROLE_TEXT, "%s cut again: %s. u takes it back.", what, ends);
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

/* Of the plan; else a sentence says why not. */
static bool stands_on(struct sg_ui *ui, struct sg_sheet_page *page, struct sg_piece *piece)
{
    if (sg_ui_differs(ui))
        sg_ui_say(ui, SG_ROLE_TEXT,
                  "Keep or drop what is tried first: these are not the sheets of the plan.");
    else if (!sg_sheet_stands(ui, page, piece))
        sg_ui_say(ui, SG_ROLE_TEXT, "No pieces are drawn here.");
    else
        return true;
    return false;
}

void sg_do_scrap_sheet(struct sg_ui *ui)
{
    struct sg_sheet_page page;
    struct sg_piece piece;
    char what[80];
    if (!stands_on(ui, &page, &piece))
        return;
    int32_t stack = ui->kept.shop->stocks[page.stock].stack;
    snprintf(what, sizeof what, "%s %lld with its %lld piece%s is", stack > 1 ? "Stack" : "Sheet",
             (long long)page.number, (long long)page.n * stack, page.n * stack == 1 ? "" : "s");
    scrap(ui, (struct sg_target){SG_KIND_STOCK, page.stock}, page.number, what);
}

/* One cut goes through all sheets of a stack. */
void sg_do_scrap_piece(struct sg_ui *ui)
{
    struct sg_sheet_page page;
    struct sg_piece piece;
    char what[300];
    if (!stands_on(ui, &page, &piece))
        return;
    int32_t stack = ui->kept.shop->stocks[page.stock].stack;
    const char *id = ui->kept.shop->parts[piece.part].id;
    if (stack > 1)
        snprintf(what, sizeof what, "%d of %.200s, one from each sheet of the stack, are", stack, id);
    else
        snprintf(what, sizeof what, "One %.200s is", id);
    scrap(ui, (struct sg_target){SG_KIND_PART, piece.part}, stack, what);
}
