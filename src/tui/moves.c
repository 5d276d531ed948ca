/* Moving over lines, cells and pictures. */
#include "tui/do.h"

#include <string.h>

static bool is_picture(struct sg_ui *ui)
{
    return sg_ui_screen(ui)->step != NULL;
}

static void range_to(struct sg_ui *ui);

/* ---- lines ---- */

bool sg_move_lines(struct sg_ui *ui, int by)
{
    struct sg_place *place = sg_ui_place(ui);
    if (ui->build)
        sg_ui_build(ui);
    int line = place->line, step = by < 0 ? -1 : 1, stood = line;
    for (int left = by < 0 ? -by : by; left > 0;) {
        line += step;
        if (line < 0 || line >= ui->n_lines)
            break;
        if (ui->lines[line].stop) {
            stood = line;
            left--;
        }
    }
    bool moved = stood != place->line;
    place->line = stood;
    if (!moved && by < 0 && place->top > 0)
        place->top = 0; /* words above the first line that one can stand on */
    range_to(ui);
    return moved;
}

static void step(struct sg_ui *ui, int right, int down)
{
    if (is_picture(ui))
        sg_ui_screen(ui)->step(ui, right, down);
    else if (down)
        sg_move_lines(ui, down);
}

void sg_do_up(struct sg_ui *ui)
{
    step(ui, 0, -1);
}

void sg_do_down(struct sg_ui *ui)
{
    step(ui, 0, 1);
}

static int page(struct sg_ui *ui)
{
    return ui->body.rows > 2 ? ui->body.rows - 1 : 1;
}

void sg_do_page_up(struct sg_ui *ui)
{
    step(ui, 0, -page(ui));
}

void sg_do_page_down(struct sg_ui *ui)
{
    step(ui, 0, page(ui));
}

enum { FAR = 1000000000 };

void sg_do_top(struct sg_ui *ui)
{
    step(ui, 0, -FAR);
}

void sg_do_bottom(struct sg_ui *ui)
{
    step(ui, 0, FAR);
}

/* ---- columns ---- */

/* Whether a column was on the screen when it was drawn last. */
static bool is_shown(const struct sg_ui *ui, const struct sg_line *line, int cell)
{
    return line->layout != ui->drawn || line->layout->form || ui->at[cell] >= 0;
}

static void to_cell(struct sg_ui *ui, int by)
{
    const struct sg_line *line = sg_ui_line(ui);
    struct sg_place *place = sg_ui_place(ui);
    if (is_picture(ui)) {
        sg_ui_screen(ui)->step(ui, by, 0);
        return;
    }
    if (!line || !line->layout)
        return;
    int first = line->first, last = line->first + line->n - 1, step = by < 0 ? -1 : 1;
    int cell = place->cell < first ? first : place->cell > last ? last : place->cell;
    cell = by <= -FAR ? first : by >= FAR ? last : cell + by;
    if (by <= -FAR || by >= FAR)
        step = -step; /* from the far end back to what is shown */
    while (cell >= first && cell <= last && !is_shown(ui, line, cell))
        cell += step;
    if (cell >= first && cell <= last)
        place->cell = cell;
}

void sg_do_columns(struct sg_ui *ui)
{
    if (!ui->turned && ui->hidden == 0) {
        sg_ui_say(ui, SG_ROLE_TEXT, "All columns have room.");
        return;
    }
    ui->turned = !ui->turned;
    sg_ui_say(ui, SG_ROLE_TEXT,
              ui->turned ? "Columns that had no room; C shows the others again." : "The columns as usual.");
}

void sg_do_left(struct sg_ui *ui)
{
    to_cell(ui, -1);
}

void sg_do_right(struct sg_ui *ui)
{
    to_cell(ui, 1);
}

void sg_do_first_column(struct sg_ui *ui)
{
    to_cell(ui, -FAR);
}

void sg_do_last_column(struct sg_ui *ui)
{
    to_cell(ui, FAR);
}

/* ---- inputs ---- */

static bool is_input(const struct sg_line *line, int cell)
{
    return line->stop && line->layout && !line->heading && cell >= line->first &&
           cell < line->first + line->n && line->layout->columns[cell].field;
}

bool sg_move_inputs(struct sg_ui *ui, int by)
{
    struct sg_place *place = sg_ui_place(ui);
    const struct sg_line *line = sg_ui_line(ui);
    if (!line)
        return false;
    int cell = place->cell;
    for (int at = place->line; at >= 0 && at < ui->n_lines; at += by) {
        const struct sg_line *l = &ui->lines[at];
        if (at != place->line)
            cell = by > 0 ? l->first - 1 : l->first + l->n;
        for (cell += by; l->layout && cell >= l->first && cell < l->first + l->n; cell += by)
            if (is_input(l, cell)) {
                place->line = at;
                place->cell = cell;
                return true;
            }
    }
    return false;
}

void sg_do_next_input(struct sg_ui *ui)
{
    if (is_picture(ui))
        step(ui, 1, 0);
    else
        sg_move_inputs(ui, 1);
}

void sg_do_previous_input(struct sg_ui *ui)
{
    if (is_picture(ui))
        step(ui, -1, 0);
    else
        sg_move_inputs(ui, -1);
}

/* ---- neighbours ---- */

/* The job before or behind in the shift. */
static void next_job(struct sg_ui *ui, int by)
{
    struct sg_place *place = sg_ui_place(ui);
    const struct sg_plan *plan = ui->kept.plan;
    int32_t job = place->about.index + by;
    if (job < plan->first_job || job >= plan->first_job + plan->n_jobs) {
        sg_ui_say(ui, SG_ROLE_TEXT, "%s is the %s job of shift %s",
                  ui->kept.shop->jobs[place->about.index].id, by < 0 ? "first" : "last",
                  ui->kept.shop->shifts[ui->shift].id);
        return;
    }
    place->about.index = job;
    place->about_row = ui->kept.shop->jobs[job].row;
    place->line = place->top = place->at = 0;
    ui->build = true;
}

static void next_shift(struct sg_ui *ui, int by)
{
    const struct sg_shop *shop = ui->kept.shop;
    if (ui->shift + by < 0 || ui->shift + by >= shop->n_shifts) {
        sg_ui_say(ui, SG_ROLE_TEXT, "%s is the %s shift", shop->shifts[ui->shift].id,
                  by < 0 ? "first" : "last");
        return;
    }
    ui->shift_row = shop->shifts[ui->shift + by].row;
    sg_ui_place(ui)->at = 0;
    sg_ui_refresh(ui);
}

static void next(struct sg_ui *ui, int by)
{
    if (sg_ui_screen(ui)->next)
        sg_ui_screen(ui)->next(ui, by);
    else if (sg_ui_screen(ui)->of_job)
        next_job(ui, by);
    else if (sg_ui_where(ui) & (SG_ON_PLANS | SG_ON_ACTUALS))
        next_shift(ui, by);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "There is no next one here.");
}

void sg_do_next(struct sg_ui *ui)
{
    next(ui, 1);
}

void sg_do_previous(struct sg_ui *ui)
{
    next(ui, -1);
}

void sg_do_zoom_in(struct sg_ui *ui)
{
    sg_ui_screen(ui)->zoom(ui, 1);
}

void sg_do_zoom_out(struct sg_ui *ui)
{
    sg_ui_screen(ui)->zoom(ui, -1);
}

/* ---- marks follow an open range ---- */

static void range_to(struct sg_ui *ui)
{
    if (ui->ranging)
        sg_mark_range(ui);
}
