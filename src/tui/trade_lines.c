/* The steps of the Trade-offs as a table. */
#include "tui/trade.h"

#include "tui/wrapped.h"

#include <stdio.h>
#include <string.h>

enum { MARGIN = 2, CELL = 80, LINE = 1200, MARKS = 21, WORDED = 74 };

enum column { VALUE, TIME, GARNET, REFILLS, TUBE, ORIFICE, COST, FIGURES };

typedef char row[FIGURES][CELL];

struct decimals {
    int value, tube;
};

/* Which column leaves first where it is narrow; the value and the words stay. */
static const int leaving[] = {ORIFICE, TUBE, REFILLS, GARNET, COST, TIME};

static const struct sg_unit *unit_of(const struct sg_trade *trade)
{
    return sg_unit_of_shop(sg_sweep_dimension(trade->field), trade->input.shop->units);
}

static const struct sg_unit *mass_of(const struct sg_trade *trade)
{
    return sg_unit_of_shop(SG_DIM_MASS, trade->input.shop->units);
}

static void put_heading(const struct sg_trade *trade, row out)
{
    bool unit = sg_sweep_dimension(trade->field) != SG_DIM_NUMBER;
    snprintf(out[VALUE], CELL, "%s%s", trade->field == SG_SWEEP_HEAD ? "head" : "",
             unit                            ? unit_of(trade)->name
             : trade->field == SG_SWEEP_EDGE ? "edge"
                                             : "");
    snprintf(out[TIME], CELL, "Time");
    snprintf(out[GARNET], CELL, "Garnet %s", mass_of(trade)->name);
    snprintf(out[REFILLS], CELL, "Refills");
    snprintf(out[TUBE], CELL, "Tube %%");
    snprintf(out[ORIFICE], CELL, "Orifice %%");
    snprintf(out[COST], CELL, "Cost");
}

/* Whether so many decimals show each step as it would be typed, and apart from the one below it. What is now
 * need only be told apart. */
static bool are_enough(const struct sg_trade *trade, const double *values, int decimals)
{
    for (int i = 0; i < trade->n_steps; i++) {
        char text[CELL], exact[CELL], below[CELL] = "";
        sg_number_format(values[i], unit_of(trade), decimals, text, CELL);
        sg_number_format(values[i], unit_of(trade), sg_sweep_decimals(&trade->input), exact, CELL);
        if (i > 0 && values == trade->values)
            sg_number_format(values[i - 1], unit_of(trade), decimals, below, CELL);
        bool now = trade->values[i] == trade->value_now;
        bool whole = strspn(exact + strlen(text), "0.") == strlen(exact + strlen(text));
        if (strcmp(text, below) == 0 || (!now && (strncmp(text, exact, strlen(text)) != 0 || !whole)))
            return false;
    }
    return true;
}

static int decimals_of(const struct sg_trade *trade, const double *values)
{
    int decimals = 0, most = trade->field == SG_SWEEP_HEAD ? 0 : sg_sweep_decimals(&trade->input);
    while (decimals < most && !are_enough(trade, values, decimals))
        decimals++;
    return decimals;
}

static struct decimals decimals(const struct sg_trade *trade)
{
    bool tube = trade->field == SG_SWEEP_ORIFICE;
    return (struct decimals){decimals_of(trade, trade->values), tube ? decimals_of(trade, trade->tubes) : 0};
}

static void put_value(const struct sg_trade *trade, double value, double tube, char out[CELL])
{
    struct decimals as = decimals(trade);
    size_t used;
    if (trade->field == SG_SWEEP_HEAD) {
        snprintf(out, CELL, "%.20s", trade->input.shop->heads[(int)value].name);
        return;
    }
    sg_number_format(value, unit_of(trade), as.value, out, CELL);
    used = strlen(out);
    if (trade->field == SG_SWEEP_ORIFICE && sg_known(tube)) {
        out[used++] = '/';
        sg_number_format(tube, unit_of(trade), as.tube, out + used, CELL - used);
    }
}

static void put_share(double lives, char out[CELL])
{
    snprintf(out, CELL, "-");
    if (sg_known(lives))
        sg_number_format(lives * 100, sg_unit_canonical(SG_DIM_NUMBER), 1, out, CELL);
}

static void put_row(const struct sg_trade *trade, const struct sg_sweep_step *step, row out)
{
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    put_value(trade, step->value, step->tube, out[VALUE]);
    snprintf(out[TIME], CELL, "-");
    if (sg_known(step->seconds))
        sg_duration_format(step->seconds, out[TIME], CELL);
    sg_number_format(step->garnet, mass_of(trade), 1, out[GARNET], CELL);
    snprintf(out[REFILLS], CELL, "%d", (int)step->refills);
    put_share(step->tubes, out[TUBE]);
    put_share(step->orifices, out[ORIFICE]);
    sg_sweep_cost(&view, step, out[COST]);
}

/* A step that is not computed yet. */
static void put_waiting(const struct sg_trade *trade, int index, row out)
{
    for (int i = 0; i < FIGURES; i++)
        snprintf(out[i], CELL, "...");
    put_value(trade, trade->values[index], trade->tubes[index], out[VALUE]);
}

/* "CHEAPEST NOW, top feed"; of one that is not offered why. */
static void put_words(struct sg_text *out, const struct sg_trade *trade, int32_t index)
{
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    const struct sg_sweep_step *step = &trade->steps[index];
    const struct {
        bool is;
        const char *word;
    } marks[] = {{index == sg_sweep_cheapest(&view), "CHEAPEST"},
                 {index == trade->sweep.quickest, "QUICKEST"},
                 {sg_sweep_is_now(&view, step), "NOW"}};
    unsigned bounds = step->bounds & ~sg_sweep_bounds_of_all(&trade->sweep);
    int n = 0;
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
        if (marks[i].is)
            sg_text_format(out, "%s%s", n++ > 0 ? " " : "", marks[i].word);
    sg_text_put(out, n > 0 && (bounds || !step->allowed) ? ", " : "");
    sg_text_put(out, step->allowed ? "" : bounds ? "no: " : "no");
    sg_sweep_bounds(out, &view, bounds);
}

/* ---- columns ---- */

struct table {
    row rows[SG_TRADE_STEPS + 1]; /* the first is the heading */
    int n, width[FIGURES], gap;
    int words; /* columns of the words, where there is room */
    bool gone[FIGURES];
};

static int needed(const struct table *table)
{
    int columns = table->words < MARKS ? table->words : MARKS;
    for (int i = 0; i < FIGURES; i++)
        columns += table->gone[i] ? 0 : table->width[i] + table->gap;
    return columns;
}

static void fit(struct table *table, int columns)
{
    for (int i = 0; i < FIGURES; i++)
        for (int k = 0; k < table->n; k++) {
            int width = sg_text_columns(table->rows[k][i]);
            table->width[i] = width > table->width[i] ? width : table->width[i];
        }
    table->gap = 2;
    if (needed(table) > columns)
        table->gap = 1;
    for (size_t i = 0; i < sizeof leaving / sizeof *leaving && needed(table) > columns; i++)
        table->gone[leaving[i]] = true;
}

/* Figures end at the right of their columns; the words take what is left over. */
static void put_line(const struct table *table, int index, const char *words, int columns, char out[LINE])
{
    size_t used = 0;
    int room = columns;
    out[0] = '\0';
    for (int i = 0; i < FIGURES; i++) {
        if (table->gone[i])
            continue;
        const char *cell = table->rows[index][i];
        used += (size_t)snprintf(out + used, LINE - used, "%*s%s%*s", table->width[i] - sg_text_columns(cell),
                                 "", cell, table->gap, "");
        room -= table->width[i] + table->gap;
    }
    if (sg_text_columns(words) <= room)
        snprintf(out + used, LINE - used, "%s", words);
    else if (room > 1)
        sg_pad_text(out, LINE, room, words);
}

/* "Tube %, Orifice %" */
static void name_hidden(const struct table *table, struct sg_trade *trade)
{
    trade->hidden[0] = '\0';
    for (int i = 0; i < FIGURES; i++) {
        size_t used = strlen(trade->hidden);
        if (table->gone[i])
            snprintf(trade->hidden + used, sizeof trade->hidden - used, "%s%.20s", used ? ", " : "",
                     table->rows[0][i]);
    }
}

void sg_trade_lines(struct sg_ui *ui, struct sg_trade *trade)
{
    struct table table = {.n = trade->n_steps + 1};
    struct sg_text words[SG_TRADE_STEPS] = {{0}};
    char line[LINE];
    int columns = ui->columns - MARGIN;
    put_heading(trade, table.rows[0]);
    for (int i = 0; i < trade->n_steps; i++)
        if (i < trade->n_done)
            put_row(trade, &trade->steps[i], table.rows[i + 1]);
        else
            put_waiting(trade, i, table.rows[i + 1]);
    for (int i = 0; i < trade->n_done; i++) {
        put_words(&words[i], trade, i);
        int width = words[i].data ? sg_text_columns(words[i].data) : 0;
        table.words = width > table.words ? width : table.words;
    }
    fit(&table, columns);
    name_hidden(&table, trade);
    put_line(&table, 0, "", columns, line);
    if (sg_line_words(ui, SG_ROLE_LABEL, false, "%s", line))
        ui->lines[ui->n_lines - 1].heading = true; /* it stays above the steps when they scroll */
    for (int i = 0; i < trade->n_steps; i++) {
        bool wrong = i < trade->n_done && !trade->steps[i].allowed;
        put_line(&table, i + 1, words[i].data && !words[i].failed ? words[i].data : "", columns, line);
        sg_text_free(&words[i]);
        if (!sg_line_words(ui, wrong ? SG_ROLE_WRONG : SG_ROLE_TEXT, true, "%s", line))
            continue; /* no memory: the others are freed */
        ui->lines[ui->n_lines - 1].first = i;
        ui->lines[ui->n_lines - 1].row = (int64_t)trade->generation * (SG_TRADE_STEPS + 1) + i;
    }
}

/* "Cheapest 1.005 lb/min 584.20": the value, and what it is best in. */
static void put_best(struct sg_text *out, const struct sg_trade *trade, const char *word, int32_t index,
                     bool cost)
{
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    const struct sg_sweep_step *step = &trade->steps[index];
    char figure[CELL];
    sg_text_format(out, "%s ", word);
    sg_sweep_value(out, &view, step);
    if (cost)
        sg_sweep_cost(&view, step, figure);
    else
        sg_duration_format(step->seconds, figure, CELL);
    sg_text_format(out, " %s; ", figure);
}

void sg_trade_best(const struct sg_trade *trade, int room, char *out, size_t size)
{
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    int32_t cheapest = sg_sweep_cheapest(&view), quickest = trade->sweep.quickest;
    const char *only = trade->field == SG_SWEEP_HEAD ? "all heads are compared"
                       : room < WORDED               ? "only these"
                                                     : "only these steps are compared";
    struct sg_text words = {0};
    if (sg_sweep_now_forbidden(&view) && !sg_trade_pending(trade) && quickest != SG_UNKNOWN)
        sg_text_put(&words, "Of those allowed: ");
    if (sg_trade_pending(trade))
        sg_text_format(&words, "%d of %d steps are computed; ", trade->n_done, trade->n_steps);
    else if (quickest == SG_UNKNOWN)
        sg_text_put(&words, "None of them is offered; ");
    else if (cheapest == quickest)
        put_best(&words, trade, "Cheapest, quickest", cheapest, true);
    else if (cheapest != SG_UNKNOWN)
        put_best(&words, trade, "Cheapest", cheapest, true);
    if (quickest != SG_UNKNOWN && cheapest != quickest)
        put_best(&words, trade, cheapest == SG_UNKNOWN ? "Quickest" : "quickest", quickest, false);
    sg_text_put(&words, only);
    snprintf(out, size, "%s", words.data && !words.failed ? words.data : "");
    sg_text_free(&words);
}

void sg_trade_say(const struct sg_trade *trade, const struct sg_sweep_step *step, char *out, size_t size)
{
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    struct sg_text words = {0};
    row figures;
    put_row(trade, step, figures);
    sg_sweep_value(&words, &view, step);
    sg_text_format(&words, ": time %s, garnet %s %s, %s refill%s, tube %s %%, orifice %s %%, cost %s. ",
                   figures[TIME], figures[GARNET], mass_of(trade)->name, figures[REFILLS],
                   step->refills == 1 ? "" : "s", figures[TUBE], figures[ORIFICE], figures[COST]);
    put_words(&words, trade, (int32_t)(step - trade->steps));
    snprintf(out, size, "%s", words.data && !words.failed ? words.data : "");
    sg_text_free(&words);
}
