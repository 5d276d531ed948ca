#include "tui/prices.h"

#include "exchange/quote_render.h"
#include "tui/budget.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 80, LABEL = 22, FIGURE = 10, CHANGE = 11, TYPED_AT = 33, CHANGE_AT = 44 };

/* A job's price as a shop has it. */
struct priced {
    bool done;
    char problem[SG_MESSAGE]; /* why there is none; "" */
    struct sg_arena arena;    /* of the quote */
    struct sg_quote quote;
};

struct sg_prices {
    struct sg_planner *planner; /* its memory makes the next price quick */
    int64_t job_row;
    struct priced kept, tried;
    int64_t took_ms; /* the last price; -1: none yet */
};

bool sg_prices_typed(const struct sg_ui *ui)
{
    const struct sg_field *field = ui->typing.field;
    return ui->typing.open && (field->kind == SG_KIND_RATES ||
                               (field->kind == SG_KIND_STOCK && strcmp(field->name, "sheet_price") == 0));
}

static void forget(struct priced *priced)
{
    sg_arena_free(&priced->arena);
    priced->done = false;
    priced->problem[0] = '\0';
}

void sg_prices_free(struct sg_ui *ui)
{
    struct sg_prices *prices = ui->prices;
    if (!prices)
        return;
    forget(&prices->kept);
    forget(&prices->tried);
    sg_planner_free(prices->planner);
    free(prices);
    ui->prices = NULL;
}

/* ---- the job ---- */

static int32_t job_of(const struct sg_shop *shop, enum sg_kind kind, int32_t index)
{
    return index == SG_UNKNOWN ? SG_UNKNOWN : sg_job_of(shop, (struct sg_target){kind, index});
}

/* The one from which one came: that of the sheets, that a place below is about or where one stood in it; else
 * the first of the shift. */
static int32_t find_job(const struct sg_ui *ui)
{
    const struct sg_shop *shop = ui->kept.shop;
    int32_t job = job_of(shop, ui->typing.field->kind, ui->typing.targets[0].index);
    for (int i = ui->depth - 1; i >= 0 && job == SG_UNKNOWN; i--) {
        const struct sg_place *place = &ui->places[i];
        job = job_of(shop, place->about.kind, place->about.index);
        if (job == SG_UNKNOWN && i < ui->depth - 1 && place->stood.row != 0)
            job = job_of(shop, place->stood.kind, sg_row_index(shop, place->stood.kind, place->stood.row));
    }
    if (job == SG_UNKNOWN && ui->kept.plan->n_jobs > 0)
        job = ui->kept.plan->first_job;
    return job;
}

/* ---- pricing ---- */

static void price(struct sg_ui *ui, const struct sg_look *look, struct priced *out)
{
    struct sg_prices *prices = ui->prices;
    struct sg_error error;
    int32_t job = sg_row_index(look->shop, SG_KIND_JOB, prices->job_row);
    int64_t start = sg_budget_now();
    forget(out);
    out->done = true;
    if (job == SG_UNKNOWN)
        snprintf(out->problem, sizeof out->problem, "There is no job to price.");
    else if (sg_quote_make(prices->planner, look->shop, job, &look->shop->rates, &out->arena, &out->quote,
                           &error) != SG_OK)
        snprintf(out->problem, sizeof out->problem, "No price: %.500s.", sg_ui_reason(ui, &error));
    prices->took_ms = sg_budget_now() - start;
}

bool sg_prices_go_on(struct sg_ui *ui)
{
    struct sg_prices *prices = ui->prices;
    if (!prices || !sg_prices_typed(ui) || (prices->kept.done && prices->tried.done))
        return false;
    if (!prices->kept.done)
        price(ui, &ui->kept, &prices->kept);
    else
        price(ui, &ui->tried, &prices->tried);
    return true;
}

void sg_prices_forget(struct sg_ui *ui)
{
    if (!ui->prices)
        return;
    forget(&ui->prices->kept);
    forget(&ui->prices->tried);
}

void sg_prices_start(struct sg_ui *ui)
{
    if (!sg_prices_typed(ui))
        return;
    if (!ui->prices && (ui->prices = calloc(1, sizeof *ui->prices)) != NULL) {
        ui->prices->took_ms = -1;
        if (!(ui->prices->planner = sg_planner_new()))
            sg_prices_free(ui);
    }
    if (!ui->prices)
        return; /* no memory: the panel stays empty */
    sg_prices_forget(ui);
    int32_t job = find_job(ui);
    ui->prices->job_row = job == SG_UNKNOWN ? 0 : ui->kept.shop->jobs[job].row;
}

/* At once where the last one was quick, or where it is read out; else when nobody types. */
void sg_prices_changed(struct sg_ui *ui)
{
    struct sg_prices *prices = ui->prices;
    if (!prices || !sg_prices_typed(ui))
        return;
    forget(&prices->tried);
    bool quick = prices->took_ms >= 0 && prices->took_ms <= SG_BUDGET_KEY_MS;
    while ((quick || ui->how.spoken) && sg_prices_go_on(ui))
        ;
}

/* ---- drawing ---- */

/* A figure of both prices. */
struct figure {
    int64_t cents[2];
    bool known[2];
};

static struct figure figure_of(const struct sg_prices *prices, int row)
{
    const struct sg_quote *quotes[] = {&prices->kept.quote, &prices->tried.quote};
    struct figure figure;
    for (int i = 0; i < 2; i++) {
        figure.cents[i] = row < SG_COST_ROWS ? quotes[i]->rows[row] : quotes[i]->price;
        unsigned lacks = row < SG_COST_ROWS ? quotes[i]->lacks[row] : quotes[i]->lacking;
        figure.known[i] = lacks == 0 || figure.cents[i] != 0;
    }
    return figure;
}

static bool moves(const struct sg_prices *prices, int row)
{
    const struct figure figure = figure_of(prices, row);
    return figure.cents[0] != figure.cents[1] || figure.known[0] != figure.known[1] ||
           prices->kept.quote.lacks[row] != prices->tried.quote.lacks[row];
}

static void draw_cents(struct sg_canvas *canvas, int y, int x, enum sg_role role, bool known, int64_t cents,
                       int decimals)
{
    char cell[CELL] = "?";
    if (known)
        sg_money_write(cents, decimals, cell, sizeof cell);
    sg_canvas_field(canvas, y, x, FIGURE, true, role, cell);
}

static void draw_figure(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area, int line,
                        const char *title, struct figure figure)
{
    char cell[CELL] = "";
    int y = area.row + line, decimals = (int)ui->kept.shop->rates.decimals,
        after = (int)ui->tried.shop->rates.decimals;
    bool stale = ui->typing.typed.state != SG_PARSE_WHOLE;
    bool same = figure.known[0] == figure.known[1] && figure.cents[0] == figure.cents[1];
    sg_canvas_put(canvas, y, area.column, LABEL, SG_ROLE_LABEL, title);
    draw_cents(canvas, y, area.column + LABEL, SG_ROLE_RESULT, figure.known[0], figure.cents[0], decimals);
    if (!ui->prices->tried.done || stale) {
        sg_canvas_field(canvas, y, area.column + TYPED_AT, FIGURE, true, SG_ROLE_STALE, stale ? "?" : "...");
        return;
    }
    draw_cents(canvas, y, area.column + TYPED_AT, same ? SG_ROLE_RESULT : SG_ROLE_CHANGED, figure.known[1],
               figure.cents[1], after);
    if (figure.known[0] != figure.known[1] || decimals != after)
        snprintf(cell, sizeof cell, "changes");
    else if (!same) {
        cell[0] = '+';
        int64_t change = figure.cents[1] - figure.cents[0];
        sg_money_write(change, decimals, cell + (change > 0), sizeof cell - 1);
    }
    sg_canvas_field(canvas, y, area.column + CHANGE_AT, CHANGE, true, SG_ROLE_CHANGED, cell);
}

static void draw_note(struct sg_canvas *canvas, struct sg_area area, int line, const char *note)
{
    int at = CHANGE_AT + CHANGE + 2;
    if (sg_text_columns(note) <= area.columns - at)
        sg_canvas_put(canvas, area.row + line, area.column + at, area.columns - at, SG_ROLE_LABEL, note);
}

/* "Each of 1/A": the first part that has pieces. */
static int draw_each(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area, int line)
{
    const struct sg_quote *kept = &ui->prices->kept.quote, *tried = &ui->prices->tried.quote;
    const struct sg_shop *shop = ui->kept.shop;
    char title[CELL];
    bool whole[2] = {true, true};
    for (int32_t i = 0; i < kept->n_parts; i++) {
        if (kept->parts[i].quantity == 0)
            continue;
        bool both = ui->prices->tried.done && i < tried->n_parts;
        const struct sg_quote_part *parts[] = {&kept->parts[i], both ? &tried->parts[i] : &kept->parts[i]};
        for (int row = 0; row < SG_COST_ROWS; row++)
            for (int k = 0; k < 2; k++)
                whole[k] = whole[k] && parts[k]->lacks[row] == 0;
        const struct sg_part *part = &shop->parts[parts[0]->part];
        snprintf(title, sizeof title, "Each of %d/%.12s", (int)shop->stocks[part->stock].number, part->id);
        draw_figure(ui, canvas, area, line, title,
                    (struct figure){{parts[0]->each, parts[1]->each}, {whole[0], whole[1]}});
        return line + 1;
    }
    return line;
}

static void draw_heading(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    int32_t job = sg_row_index(ui->kept.shop, SG_KIND_JOB, ui->prices->job_row);
    if (job != SG_UNKNOWN)
        sg_canvas_format(canvas, area.row, area.column, LABEL, SG_ROLE_LABEL, "Job %.60s",
                         ui->kept.shop->jobs[job].id);
    sg_canvas_field(canvas, area.row, area.column + LABEL, FIGURE, true, SG_ROLE_LABEL, "in plan");
    sg_canvas_field(canvas, area.row, area.column + TYPED_AT, FIGURE, true, SG_ROLE_LABEL, "typed");
    sg_canvas_field(canvas, area.row, area.column + CHANGE_AT, CHANGE, true, SG_ROLE_LABEL, "change");
}

static int64_t change_of(const struct sg_prices *prices, int row)
{
    const struct figure figure = figure_of(prices, row);
    return llabs(figure.cents[1] - figure.cents[0]);
}

/* The rows that move, the most moved first: there may be no room for all of them. */
static void draw_moved(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area, int line)
{
    bool drawn[SG_COST_ROWS] = {false};
    for (; line < area.rows; line++) {
        char title[CELL];
        int most = -1;
        for (int row = 0; row < SG_COST_ROWS; row++)
            if (!drawn[row] && moves(ui->prices, row) &&
                (most < 0 || change_of(ui->prices, row) > change_of(ui->prices, most)))
                most = row;
        if (most < 0)
            return;
        drawn[most] = true;
        snprintf(title, sizeof title, "  %s", sg_quote_row(most, &ui->tried.shop->rates));
        draw_figure(ui, canvas, area, line, title, figure_of(ui->prices, most));
    }
}

void sg_prices_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    const struct sg_prices *prices = ui->prices;
    if (!prices)
        return;
    draw_heading(ui, canvas, area);
    const char *problem = prices->kept.problem[0] ? prices->kept.problem : prices->tried.problem;
    if (!prices->kept.done || problem[0]) {
        sg_canvas_put(canvas, area.row + 1, area.column, area.columns, SG_ROLE_ODD,
                      problem[0] ? problem : "The price follows ...");
        return;
    }
    const struct figure all = figure_of(prices, SG_COST_ROWS);
    unsigned lacking = prices->kept.quote.lacking | (prices->tried.done ? prices->tried.quote.lacking : 0);
    draw_figure(ui, canvas, area, 1, lacking ? "Price so far" : "Price", all);
    draw_note(canvas, area, 1, lacking ? "not the whole price" : ui->kept.shop->rates.currency);
    int line = draw_each(ui, canvas, area, 2);
    if (!prices->tried.done || ui->typing.typed.state != SG_PARSE_WHOLE)
        return;
    draw_moved(ui, canvas, area, line);
}
