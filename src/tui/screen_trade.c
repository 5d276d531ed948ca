/* What a job trades along one setting: time, garnet, wear and cost at each step, and what bounds it. The step
 * on which one stands is tried, as a what-if is: the answers show what the shift would be with it. Nothing is
 * changed. */
#include "tui/screens.h"

#include "sandglass/sweep_span.h"
#include "tui/budget.h"
#include "tui/do.h"
#include "tui/to_file.h"
#include "tui/trade.h"
#include "tui/wrapped.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MARGIN = 2, WIDEST = 100, WORDS = 700, FAR = 1000000, SMALL_ROWS = 12 };

static struct sg_trade *own_of(struct sg_ui *ui)
{
    return sg_ui_place(ui)->screen == SG_SCREEN_TRADE ? sg_ui_place(ui)->own : NULL;
}

static const char *job_id(const struct sg_ui *ui, const struct sg_trade *trade)
{
    return ui->kept.shop->jobs[trade->input.job].id;
}

/* "2604", "2604/1" where only one of its stocks is changed. */
static void write_job(const struct sg_ui *ui, const struct sg_trade *trade, char *out, size_t size)
{
    int32_t stock = trade->input.stock;
    if (stock == SG_UNKNOWN)
        snprintf(out, size, "%.100s", job_id(ui, trade));
    else
        snprintf(out, size, "%.100s/%d", job_id(ui, trade), (int)ui->kept.shop->stocks[stock].number);
}

/* ---- the steps ---- */

static void restart(struct sg_ui *ui, struct sg_trade *trade)
{
    const struct sg_shop *shop = ui->kept.shop;
    int32_t job = sg_ui_place(ui)->about.index;
    int32_t stock = trade->stock_row ? sg_row_index(shop, SG_KIND_STOCK, trade->stock_row) : SG_UNKNOWN;
    if (stock != SG_UNKNOWN && shop->stocks[stock].job != job)
        stock = SG_UNKNOWN;
    trade->shown = -1;
    sg_trade_start(trade, shop, job, stock);
    sg_trade_go_on(trade, sg_budget_start(ui, SG_BUDGET_KEY_MS));
}

/* The step on which one stands; NULL on a sentence, or where it is not computed yet. */
static const struct sg_sweep_step *step_here(struct sg_ui *ui)
{
    struct sg_trade *trade = own_of(ui);
    const struct sg_line *line = sg_ui_line(ui);
    if (!trade || !line || line->row == 0 || line->first >= trade->n_done)
        return NULL;
    return &trade->steps[line->first];
}

/* ---- what is tried ---- */

static void take_out(struct sg_ui *ui)
{
    if (sg_ui_differs(ui))
        sg_ui_forget(ui);
}

/* The step on which one stands into the draft, shown in ui->tried. */
static void try_here(struct sg_ui *ui)
{
    struct sg_trade *trade = own_of(ui);
    const struct sg_sweep_step *step = step_here(ui);
    int index = step ? (int)(step - trade->steps) : SG_TRADE_STEPS;
    struct sg_error error;
    if (!trade || trade->shown == index)
        return;
    trade->shown = index;
    if (step) /* it stays when the steps become others: the value, or what is now */
        trade->stood = sg_trade_is_now(trade, step) ? (double)NAN : step->value;
    take_out(ui);
    if (!step || sg_trade_is_now(trade, step))
        return;
    int n = 0;
    struct sg_edit *edits = sg_trade_edits(trade, step, &n);
    struct sg_change *changes = calloc((size_t)n + 1, sizeof *changes);
    if (edits && changes && sg_draft_edit(ui->draft, edits, n, changes, &error) == SG_OK)
        sg_ui_try(ui);
    free(changes);
    free(edits);
}

/* ---- lines ---- */

/* "along  pressure  GARNET  edge ..." */
static void add_fields(struct sg_ui *ui, const struct sg_trade *trade)
{
    char words[WORDS] = "along", word[40];
    for (int i = 0; i < SG_SWEEP_FIELDS; i++) {
        size_t used = strlen(words);
        bool here = i == (int)trade->field;
        snprintf(word, sizeof word, "%s", sg_sweep_word(i));
        snprintf(words + used, sizeof words - used, here ? "  [%s]" : "  %s", word);
    }
    sg_line_words(ui, SG_ROLE_LABEL, false, "%s", words);
}

static void add_sentences(struct sg_ui *ui, const struct sg_trade *trade)
{
    struct sg_text text = {0};
    int width = ui->columns - MARGIN;
    const struct sg_sweep_view view = sg_trade_view(trade, width < WIDEST ? width : WIDEST);
    sg_line_words(ui, SG_ROLE_TEXT, false, "%s", "");
    if (sg_trade_pending(trade)) {
        sg_line_words(ui, SG_ROLE_LABEL, true, "%d of %d steps are computed ...", trade->n_done,
                      trade->n_steps);
        return;
    }
    if (ui->how.spoken || ui->rows < SMALL_ROWS) /* elsewhere it stands below the table */
        sg_line_wrapped(ui, SG_ROLE_LABEL, 0, 2, "Only these steps are compared.");
    sg_sweep_sentences(&text, &view);
    sg_lines_of_text(ui, &text, "\n");
    sg_text_free(&text);
}

/* Below the table, whatever of it is shown. */
static void draw_best(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    char words[WORDS];
    const struct sg_trade *trade = own_of(ui);
    if (!trade || trade->problem[0])
        return;
    sg_trade_best(trade, area.columns - MARGIN, words, sizeof words);
    sg_canvas_put(canvas, area.row, area.column + MARGIN, area.columns - MARGIN, SG_ROLE_ANSWER, words);
}

/* The line of the step nearest to where one stood. */
static void stand(struct sg_ui *ui, const struct sg_trade *trade)
{
    int best = -1;
    for (int i = 0; i < ui->n_lines; i++) {
        const struct sg_line *line = &ui->lines[i];
        if (line->row != 0 && (best < 0 || fabs(trade->values[line->first] - trade->stood) <
                                               fabs(trade->values[ui->lines[best].first] - trade->stood)))
            best = i;
    }
    if (best >= 0)
        sg_ui_place(ui)->line = best;
}

static void build(struct sg_ui *ui)
{
    struct sg_trade *trade = sg_ui_place(ui)->own;
    if (!trade)
        return;
    if (!trade->keep)
        restart(ui, trade);
    add_fields(ui, trade);
    if (trade->problem[0]) {
        sg_line_wrapped(ui, SG_ROLE_ODD, 0, 0, trade->problem);
        return;
    }
    sg_trade_lines(ui, trade);
    add_sentences(ui, trade);
    if (!trade->keep)
        stand(ui, trade);
}

/* More steps, and the lines of what is known then. */
static bool go_on(struct sg_ui *ui, struct sg_trade *trade, int ms)
{
    int generation = trade->generation;
    if (!sg_trade_pending(trade))
        return false;
    sg_trade_go_on(trade, sg_budget_start(ui, ms));
    trade->keep = true;
    sg_ui_build(ui);
    trade->keep = false;
    if (trade->generation != generation)
        stand(ui, trade);
    return true;
}

static bool idle(struct sg_ui *ui)
{
    struct sg_trade *trade = sg_ui_place(ui)->own;
    return !ui->build && trade && go_on(ui, trade, SG_BUDGET_IDLE_MS);
}

static bool open(struct sg_ui *ui)
{
    struct sg_trade *trade = calloc(1, sizeof *trade);
    if (trade && !(trade->planner = sg_planner_new())) {
        free(trade);
        trade = NULL;
    }
    if (!trade)
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for trade-offs");
    else
        trade->stood = (double)NAN;
    sg_ui_place(ui)->own = trade;
    return trade != NULL;
}

static void leave(struct sg_ui *ui)
{
    struct sg_trade *trade = sg_ui_place(ui)->own;
    if (trade) {
        sg_planner_free(trade->planner);
        sg_arena_free(&trade->arena);
    }
    free(trade);
    take_out(ui);
}

void sg_trade_of_stock(struct sg_ui *ui, int32_t stock)
{
    struct sg_trade *trade = own_of(ui);
    bool one = stock != SG_UNKNOWN && ui->kept.shop->jobs[ui->kept.shop->stocks[stock].job].n_stocks > 1;
    int64_t row = one ? ui->kept.shop->stocks[stock].row : 0;
    if (!trade || trade->stock_row == row)
        return;
    trade->stock_row = row;
    trade->stood = (double)NAN;
    ui->build = true;
}

/* ---- other settings, other steps ---- */

static void step(struct sg_ui *ui, int right, int down)
{
    struct sg_trade *trade = own_of(ui);
    if (right == 0) {
        sg_step_pages(ui, 0, down);
        return;
    }
    int field = right >= FAR ? SG_SWEEP_FIELDS - 1 : right <= -FAR ? 0 : (int)trade->field + right;
    trade->field = (enum sg_sweep_field)((field + SG_SWEEP_FIELDS) % SG_SWEEP_FIELDS);
    trade->stood = (double)NAN;
    trade->finer = 0;
    ui->build = true;
}

static void zoom(struct sg_ui *ui, int by)
{
    struct sg_trade *trade = own_of(ui);
    try_here(ui);
    trade->finer += by;
    sg_ui_build(ui);
    if (trade->limit != 0) { /* as far as it goes */
        sg_ui_say(ui, SG_ROLE_TEXT,
                  trade->field == SG_SWEEP_HEAD ? "All heads are shown: there are no steps between."
                  : by > 0                      ? "No finer than this."
                                                : "No coarser than this.");
        trade->finer -= trade->limit;
    }
}

/* ---- what is said ---- */

/* Asked first at each drawing: so the answers are those of the step on which one stands. */
static void title(struct sg_ui *ui, char *out, size_t size)
{
    char job[140];
    struct sg_text now = {0};
    sg_ui_line(ui); /* computed, if that is due */
    try_here(ui);
    const struct sg_trade *trade = own_of(ui);
    if (!trade)
        return;
    write_job(ui, trade, job, sizeof job);
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    if (view.now)
        sg_sweep_value(&now, &view, view.now);
    snprintf(out, size, "TRADE-OFFS  job %s along %s%s%s", job, sg_sweep_word((int)trade->field),
             now.data ? ", now " : "", now.data ? now.data : "");
    sg_text_free(&now);
}

static void advice(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_trade *trade = own_of(ui);
    const struct sg_sweep_step *at = step_here(ui);
    struct sg_text words = {0};
    if (!trade || !at)
        return;
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    sg_sweep_value(&words, &view, at);
    sg_text_put(&words, at->allowed ? "" : " is not offered");
    if (at->bounds) {
        sg_text_put(&words, ": ");
        sg_sweep_bounds(&words, &view, at->bounds);
    }
    bool of_head = trade->field != SG_SWEEP_EDGE && trade->field != SG_SWEEP_HEAD;
    sg_text_put(&words, sg_trade_is_now(trade, at) ? "; it is so now."
                        : of_head                  ? ". Enter makes it a what-if, for every job of that head."
                                                   : ". Enter makes it a what-if.");
    snprintf(out, size, "%s", words.data && !words.failed ? words.data : "");
    sg_text_free(&words);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_trade *trade = own_of(ui);
    bool hidden = trade && !trade->problem[0] && trade->hidden[0];
    snprintf(out, size, "Tube, Orifice: part of a life. Left, Right: another setting.");
    if (hidden)
        snprintf(out, size, "No room for %s. Left, Right: another setting.", trade->hidden);
}

static void say(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_sweep_step *at = step_here(ui);
    if (at)
        sg_trade_say(own_of(ui), at, out, size);
    else
        snprintf(out, size, "%s", line && line->text ? line->text : "");
}

/* ---- a what-if of a step ---- */

void sg_do_trade_what_if(struct sg_ui *ui)
{
    const struct sg_trade *trade = own_of(ui);
    const struct sg_sweep_step *at = step_here(ui);
    if (!at || sg_trade_is_now(trade, at)) {
        sg_ui_say(ui, SG_ROLE_TEXT,
                  at ? "This is how it is now: stand on another step."
                     : "Stand on a step to make a what-if of it.");
        return;
    }
    int n = 0;
    char proposal[200];
    struct sg_text value = {0};
    struct sg_edit *edits = sg_trade_edits(trade, at, &n);
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    sg_sweep_value(&value, &view, at);
    bool worded = strncmp(value.data ? value.data : "", sg_sweep_word((int)trade->field), 4) == 0;
    snprintf(proposal, sizeof proposal, "%.60s %s%s%.60s", job_id(ui, trade),
             worded ? "" : sg_sweep_word((int)trade->field), worded ? "" : " ", value.data ? value.data : "");
    sg_text_free(&value);
    if (!edits || n > SG_WHAT_IF_EDITS)
        sg_ui_say(ui, SG_ROLE_WRONG, "a what-if takes up to %d changes, this would be %d", SG_WHAT_IF_EDITS,
                  n);
    else
        sg_what_if_ask_name(ui, edits, n, false, proposal);
    free(edits);
}

/* ---- into a file ---- */

static struct sg_trade *to_write(struct sg_ui *ui, const char *nothing)
{
    struct sg_trade *trade = own_of(ui);
    if (trade)
        sg_ui_line(ui);
    if (!trade || trade->problem[0]) {
        sg_ui_say(ui, SG_ROLE_WRONG, "there are no steps: %s", nothing);
        return NULL;
    }
    go_on(ui, trade, SG_BUDGET_ALL);
    return trade->problem[0] ? NULL : trade;
}

static bool make_csv(struct sg_ui *ui, struct sg_text *out)
{
    const struct sg_trade *trade = to_write(ui, "nothing is written");
    if (!trade)
        return false;
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    sg_sweep_csv(out, &view, ui->kept.shop->units);
    return true;
}

static bool make_text(struct sg_ui *ui, struct sg_text *out)
{
    const struct sg_trade *trade = to_write(ui, "nothing is written");
    if (!trade)
        return false;
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    sg_sweep_text(out, &view);
    return true;
}

static void written(struct sg_ui *ui, const char *path)
{
    const struct sg_trade *trade = own_of(ui);
    sg_ui_say(ui, SG_ROLE_TEXT, "wrote %s: %d step%s of job %s along %s", path, trade->n_steps,
              trade->n_steps == 1 ? "" : "s", job_id(ui, trade), sg_sweep_word((int)trade->field));
}

static void ask(struct sg_ui *ui, const struct sg_to_file *what, const char *ending)
{
    char name[400];
    const struct sg_trade *trade = to_write(ui, "there is nothing to write");
    if (!trade)
        return;
    snprintf(name, sizeof name, "trade-%s-%s.%s", job_id(ui, trade), sg_sweep_word((int)trade->field),
             ending);
    sg_to_file_ask(ui, what, name);
}

void sg_do_trade_csv(struct sg_ui *ui)
{
    static const struct sg_to_file csv = {"CSV to file:", make_csv, written};
    ask(ui, &csv, "csv");
}

void sg_do_trade_text(struct sg_ui *ui)
{
    static const struct sg_to_file text = {"text to file:", make_text, written};
    ask(ui, &text, "txt");
}

const struct sg_screen sg_screen_trade = {
    .name = "Trade-offs",
    .answers = true,
    .of_job = true,
    .title = title,
    .build = build,
    .panel = 2,
    .panel_tall = 2,
    .draw_panel = draw_best,
    .tries = true,
    .advice = advice,
    .legend = legend,
    .enter = sg_do_trade_what_if,
    .open = open,
    .leave = leave,
    .step = step,
    .zoom = zoom,
    .idle = idle,
    .say = say,
};
