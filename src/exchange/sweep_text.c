/* A sweep for people: a table of its steps, and what is to be said about it. */
#include "exchange/quote_render.h"
#include "exchange/sweep_render.h"

#include <stdio.h>
#include <string.h>

enum { WIDTH = 100, CELL = 80 };

typedef char cell[CELL];

static const struct sg_unit *unit_of(const struct sg_sweep_view *view)
{
    return sg_unit_of_shop(sg_sweep_dimension(view->input->field), view->input->shop->units);
}

int sg_sweep_decimals(const struct sg_sweep_input *input)
{
    static const int most[SG_SWEEP_FIELDS][2] = {
        [SG_SWEEP_PRESSURE] = {[SG_UNITS_US] = 2, [SG_UNITS_METRIC] = 1},
        [SG_SWEEP_GARNET] = {[SG_UNITS_US] = 3, [SG_UNITS_METRIC] = 1},
        [SG_SWEEP_EDGE] = {[SG_UNITS_US] = 2, [SG_UNITS_METRIC] = 2},
        [SG_SWEEP_ORIFICE] = {[SG_UNITS_US] = 4, [SG_UNITS_METRIC] = 3},
    };
    return most[input->field][input->shop->units];
}

static bool shown_alike(const struct sg_sweep_view *view, int32_t step, int decimals)
{
    const struct sg_sweep_step *steps = view->sweep->steps;
    cell one, other;
    sg_number_format(steps[step].value, unit_of(view), decimals, one, CELL);
    sg_number_format(steps[step - 1].value, unit_of(view), decimals, other, CELL);
    return steps[step].value != steps[step - 1].value && strcmp(one, other) == 0;
}

/* So many decimals that every value is shown as it is, and that steps can be told apart. */
static int decimals_of(const struct sg_sweep_view *view, bool tube)
{
    enum { FINEST = 9 };
    int decimals = 0, most = sg_sweep_decimals(view->input);
    for (int32_t i = 0; i < view->sweep->n_steps; i++) {
        const struct sg_sweep_step *step = &view->sweep->steps[i];
        double value = (double)sg_from_canonical(tube ? step->tube : step->value, unit_of(view));
        double scale = pow(10, decimals);
        for (; decimals < most && fabs(value * scale - round(value * scale)) > 1e-6; scale *= 10)
            decimals++;
    }
    for (int32_t i = 1; !tube && i < view->sweep->n_steps; i++)
        while (decimals < FINEST && shown_alike(view, i, decimals))
            decimals++;
    return decimals;
}

void sg_sweep_value(struct sg_text *out, const struct sg_sweep_view *view, const struct sg_sweep_step *step)
{
    const struct sg_unit *unit = unit_of(view);
    cell value, tube;
    if (view->input->field == SG_SWEEP_HEAD) {
        sg_text_format(out, "%s %s", sg_sweep_word(SG_SWEEP_HEAD),
                       view->input->shop->heads[(int)step->value].name);
        return;
    }
    sg_number_short(step->value, unit, sg_sweep_decimals(view->input), value, CELL);
    if (view->input->field == SG_SWEEP_EDGE) {
        sg_text_format(out, "edge %s %s", value, sg_edge_word(step->value));
        return;
    }
    sg_text_put(out, value);
    if (view->input->field == SG_SWEEP_ORIFICE && sg_known(step->tube)) {
        sg_number_short(step->tube, unit, sg_sweep_decimals(view->input), tube, CELL);
        sg_text_format(out, "/%s", tube);
    }
    sg_text_format(out, " %s", unit->name);
}

static bool has_cost(const struct sg_sweep_view *view, const struct sg_sweep_step *step)
{
    return sg_known(step->cost) && sg_rates_any(view->input->rates);
}

const char *sg_sweep_cost(const struct sg_sweep_view *view, const struct sg_sweep_step *step, char *out)
{
    snprintf(out, CELL, "-");
    if (has_cost(view, step))
        snprintf(out, CELL, "%.*f", (int)view->input->rates->decimals, step->cost);
    return out;
}

static const char *number(double value, const struct sg_unit *unit, int decimals, cell out)
{
    sg_number_format(value, unit, decimals, out, CELL);
    return out;
}

static const char *duration(double seconds, cell out)
{
    sg_duration_format(seconds, out, CELL);
    return out;
}

static const char *count(int32_t n, cell out)
{
    snprintf(out, CELL, "%d", (int)n);
    return out;
}

static const char *end_of(const struct sg_sweep_view *view, const struct sg_sweep_step *step, cell out)
{
    const struct sg_shop *shop = view->input->shop;
    double epoch = shop->shifts[shop->jobs[view->input->job].shift].calendar.epoch;
    snprintf(out, CELL, "-");
    if (sg_known(step->ends))
        sg_clock_on_day(epoch, epoch + step->ends, out, CELL);
    return out;
}

static const char *percent(double share, cell out)
{
    sg_number_format(share * 100, sg_unit_canonical(SG_DIM_NUMBER), 1, out, CELL);
    return out;
}

/* ---- the table ---- */

unsigned sg_sweep_bounds_of_all(const struct sg_sweep *sweep)
{
    unsigned all = ~0u;
    for (int32_t i = 0; i < sweep->n_steps; i++)
        all &= sweep->steps[i].bounds;
    return sweep->n_steps > 1 ? all : 0;
}

void sg_sweep_bounds(struct sg_text *out, const struct sg_sweep_view *view, unsigned bounds)
{
    bool weighed = sg_known(view->input->weighed);
    for (int bit = 0, n = 0; bit < SG_BOUNDS; bit++) {
        if (!(bounds & 1u << bit))
            continue;
        sg_text_put(out, n++ > 0 ? ", " : "");
        if (1u << bit == SG_BOUND_UNWEIGHED && !weighed)
            sg_text_format(out, "loading ratio above %.2f, never weighed", SG_SWEEP_LOADING);
        else
            sg_text_put(out, sg_bound_text(bit));
    }
}

bool sg_sweep_is_now(const struct sg_sweep_view *view, const struct sg_sweep_step *step)
{
    const struct sg_sweep_step *now = view->now;
    if (!now || fabs(step->value - now->value) > 1e-9 * fabs(now->value))
        return false;
    return view->input->field != SG_SWEEP_ORIFICE || !(fabs(step->tube - now->tube) > 1e-9 * now->tube);
}

static void put_marks(struct sg_text *out, const struct sg_sweep_view *view, int32_t index)
{
    const struct sg_sweep_step *step = &view->sweep->steps[index];
    const struct {
        bool is;
        const char *word;
    } marks[] = {{!step->allowed, "NOT ALLOWED"},
                 {index == sg_sweep_cheapest(view), "cheapest"},
                 {index == view->sweep->quickest, "quickest"},
                 {sg_sweep_is_now(view, step), "now"}};
    unsigned bounds = step->bounds & ~sg_sweep_bounds_of_all(view->sweep);
    int n = 0;
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
        if (marks[i].is)
            sg_text_format(out, "%s%s", n++ > 0 ? ", " : "", marks[i].word);
    sg_text_put(out, bounds && n > 0 ? ": " : "");
    sg_sweep_bounds(out, view, bounds);
}

struct decimals {
    int value, tube;
};

static void put_row(struct sg_table *table, const struct sg_sweep_view *view, int32_t index,
                    struct decimals decimals)
{
    const struct sg_sweep_step *step = &view->sweep->steps[index];
    const struct sg_shop *shop = view->input->shop;
    const struct sg_unit *mass = sg_unit_of_shop(SG_DIM_MASS, shop->units);
    struct sg_text marks = {0};
    cell c[10];
    const char *cells[11];
    int n = 0;
    put_marks(&marks, view, index);
    if (view->input->field == SG_SWEEP_HEAD)
        cells[n++] = shop->heads[(int)step->value].name;
    else
        cells[n++] = number(step->value, unit_of(view), decimals.value, c[0]);
    if (view->input->field == SG_SWEEP_ORIFICE)
        cells[n++] = number(step->tube, unit_of(view), decimals.tube, c[1]);
    cells[n++] = duration(step->seconds, c[2]);
    cells[n++] = duration(step->jet, c[3]);
    cells[n++] = number(step->garnet, mass, 1, c[4]);
    cells[n++] = count(step->refills, c[5]);
    cells[n++] = percent(step->tubes, c[6]);
    cells[n++] = percent(step->orifices, c[7]);
    cells[n++] = sg_sweep_cost(view, step, c[8]);
    cells[n++] = end_of(view, step, c[9]);
    cells[n] = marks.data ? marks.data : "";
    sg_table_row(table, cells);
    table->failed = table->failed || marks.failed;
    sg_text_free(&marks);
}

static void put_table(struct sg_text *out, const struct sg_sweep_view *view)
{
    static const char *const words[SG_SWEEP_FIELDS] = {
        [SG_SWEEP_PRESSURE] = ">Pressure", [SG_SWEEP_GARNET] = ">Feed", [SG_SWEEP_EDGE] = ">Edge",
        [SG_SWEEP_ORIFICE] = ">Orifice",   [SG_SWEEP_HEAD] = "Head",
    };
    const char *mass = sg_unit_of_shop(SG_DIM_MASS, view->input->shop->units)->name;
    bool bare = sg_sweep_dimension(view->input->field) == SG_DIM_NUMBER;
    cell value, tube, garnet;
    const char *titles[11];
    struct decimals decimals = {0, 0};
    struct sg_table table;
    int n = 0;
    snprintf(value, CELL, "%s%s%s", words[view->input->field], bare ? "" : " ",
             bare ? "" : unit_of(view)->name);
    snprintf(tube, CELL, ">Tube %s", unit_of(view)->name);
    snprintf(garnet, CELL, ">Garnet %s", mass);
    titles[n++] = value;
    if (view->input->field == SG_SWEEP_ORIFICE)
        titles[n++] = tube;
    const char *const others[] = {">Time",      ">Jet on", garnet,  ">Refills", ">Tube %",
                                  ">Orifice %", ">Cost",   ">Ends", ""};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        titles[n++] = others[i];
    if (view->input->field != SG_SWEEP_HEAD) {
        decimals.value = decimals_of(view, false);
        decimals.tube = view->input->field == SG_SWEEP_ORIFICE ? decimals_of(view, true) : 0;
    }
    sg_table_start(&table, titles, n);
    for (int32_t i = 0; i < view->sweep->n_steps; i++)
        put_row(&table, view, i, decimals);
    sg_table_put(&table, 0, out);
}

/* ---- sentences ---- */

static int width_of(const struct sg_sweep_view *view)
{
    return view->width > 0 ? view->width : WIDTH;
}

static void put_sentence(struct sg_text *out, const struct sg_sweep_view *view, const char *first,
                         struct sg_text *words)
{
    out->failed = out->failed || words->failed;
    if (!words->failed && words->data)
        sg_wrap(out, first, 2, width_of(view), words->data);
    sg_text_free(words);
}

/* "0:12:00 less time", "the same cost". */
static void put_change(struct sg_text *out, double change, bool time, int decimals)
{
    cell amount;
    const char *word = time ? "time" : "cost";
    if (time)
        sg_duration_format(fabs(change), amount, CELL);
    else
        snprintf(amount, CELL, "%.*f", decimals, fabs(change));
    if (strspn(amount, "0:.") == strlen(amount))
        sg_text_format(out, "the same %s", word);
    else
        sg_text_format(out, "%s %s %s", amount, change < 0 ? "less" : "more", word);
}

static void put_time_and_cost(struct sg_text *out, const struct sg_sweep_view *view,
                              const struct sg_sweep_step *step)
{
    cell amount;
    sg_sweep_value(out, view, step);
    if (!sg_known(step->seconds))
        return;
    sg_duration_format(step->seconds, amount, CELL);
    sg_text_format(out, ": %s", amount);
    if (has_cost(view, step))
        sg_text_format(out, ", cost %s", sg_sweep_cost(view, step, amount));
}

static void put_best(struct sg_text *out, const struct sg_sweep_view *view, const char *word, int32_t index)
{
    if (index == SG_UNKNOWN)
        return;
    const struct sg_sweep_step *step = &view->sweep->steps[index], *now = view->now;
    struct sg_text words = {0};
    put_time_and_cost(&words, view, step);
    if (sg_sweep_is_now(view, step)) {
        sg_text_put(&words, ", as it is now");
    } else if (now && sg_known(now->seconds)) {
        sg_text_put(&words, "; against now ");
        put_change(&words, step->seconds - now->seconds, true, 0);
        if (has_cost(view, step) && has_cost(view, now)) {
            sg_text_put(&words, " and ");
            put_change(&words, step->cost - now->cost, false, view->input->rates->decimals);
        }
    }
    sg_text_put(&words, ".");
    put_sentence(out, view, word, &words);
}

/* What the best step is the best of: now may be better, and no step, or not allowed. */
static const char *best_of(const struct sg_sweep_view *view, bool cheapest, bool quickest)
{
    const struct sg_sweep_step *now = view->now;
    if (!now || view->sweep->quickest == SG_UNKNOWN)
        return ":";
    if (!now->allowed)
        return " of those allowed:";
    bool quicker = quickest && now->seconds < view->sweep->steps[view->sweep->quickest].seconds;
    bool cheaper =
        cheapest && has_cost(view, now) && now->cost < view->sweep->steps[view->sweep->cheapest].cost;
    return quicker || cheaper ? " of these steps:" : ":";
}

static void put_bests(struct sg_text *out, const struct sg_sweep_view *view)
{
    int32_t cheapest = sg_sweep_cheapest(view), quickest = view->sweep->quickest;
    char first[80];
    if (cheapest == quickest) {
        snprintf(first, sizeof first, "Cheapest and quickest%s", best_of(view, true, true));
        put_best(out, view, first, quickest);
    } else {
        snprintf(first, sizeof first, "Cheapest%s", best_of(view, true, false));
        put_best(out, view, first, cheapest);
        snprintf(first, sizeof first, "Quickest%s", best_of(view, false, true));
        put_best(out, view, first, quickest);
    }
    if (quickest == SG_UNKNOWN)
        sg_text_put(out, "No step is allowed.\n");
}

bool sg_sweep_now_forbidden(const struct sg_sweep_view *view)
{
    return view->now && !view->now->allowed;
}

static void put_now(struct sg_text *out, const struct sg_sweep_view *view)
{
    struct sg_text words = {0};
    if (!view->now)
        return;
    put_time_and_cost(&words, view, view->now);
    sg_text_put(&words, ".");
    if (sg_sweep_now_forbidden(view)) {
        sg_text_put(&words, " As a step it would not be allowed (");
        sg_sweep_bounds(&words, view, view->now->forbidding);
        sg_text_put(&words, ")");
        if (view->now->forbidding & (SG_BOUND_LOADING | SG_BOUND_UNWEIGHED))
            sg_text_format(&words, ": %s", sg_sweep_rising);
        sg_text_put(&words, ". What is marked is the best of the steps that are.");
    }
    put_sentence(out, view, "Now:", &words);
}

struct commands {
    struct sg_text *out;
    const struct sg_sweep_view *view;
};

static void put_command(void *context, const char *what, const char *where, const char *command)
{
    const struct commands *commands = context;
    (void)where; /* the command has it */
    sg_quote_put_lack(commands->out, width_of(commands->view), what, command);
}

static void put_costs(struct sg_text *out, const struct sg_sweep_view *view)
{
    const struct sg_sweep_input *in = view->input;
    if (!sg_rates_any(in->rates)) {
        char command[400];
        snprintf(command, sizeof command,
                 "rates are set, so there is no cost: `sandglass set rates:%.300s --list` names them.",
                 in->rates->name);
        sg_wrap(out, "No", 2, width_of(view), command);
        return;
    }
    sg_wrap(out, "Cost", 2, width_of(view),
            "is what the job costs the shop, without mark-up, minimum and tax.");
    if (view->sweep->lacking == 0)
        return;
    sg_wrap(out, "It", 2, width_of(view),
            sg_sweep_cheapest(view) == SG_UNKNOWN
                ? "also leaves out what is not known, and so no cheapest step is told:"
                : "also leaves out what is not known and is the same on every step:");
    sg_lacks_of_job(in->shop, in->job, view->sweep->lacking, put_command, &(struct commands){out, view});
}

static void put_rising(struct sg_text *out, const struct sg_sweep_view *view)
{
    struct sg_text words = {0};
    cell feed;
    if (!view->sweep->still_rising)
        return;
    sg_text_format(&words, "%s: ", sg_sweep_rising);
    if (sg_known(view->input->weighed)) {
        const struct sg_unit *unit = unit_of(view);
        sg_number_short(view->input->weighed, unit, 3, feed, CELL);
        sg_text_format(&words, "no feed above the %s %s that was weighed is offered.", feed, unit->name);
    } else {
        sg_text_format(&words,
                       "no feed was weighed here, so none above a loading ratio of %.2f is offered; "
                       "`sandglass record weigh HEAD FEED` notes one.",
                       SG_SWEEP_LOADING);
    }
    put_sentence(out, view, "Mind:", &words);
}

void sg_sweep_sentences(struct sg_text *out, const struct sg_sweep_view *view)
{
    unsigned all = sg_sweep_bounds_of_all(view->sweep);
    if (all) {
        struct sg_text words = {0};
        sg_sweep_bounds(&words, view, all);
        sg_text_put(&words, ".");
        put_sentence(out, view, "On every step:", &words);
    }
    put_now(out, view);
    put_bests(out, view);
    put_rising(out, view);
    put_costs(out, view);
    sg_wrap(out, "Time", 2, width_of(view),
            "is the machine's for this job alone, from a full hopper: cutting, loads, checks, refills and "
            "changes, and its share of the shift's chores. When it ends is of the plan of its shift.");
    sg_wrap(out, "Caution:", 2, width_of(view), sg_sweep_caution);
}

void sg_sweep_text(struct sg_text *out, const struct sg_sweep_view *view)
{
    const struct sg_sweep_input *in = view->input;
    sg_text_format(out, "SWEEP %s", in->shop->jobs[in->job].id);
    if (in->stock != SG_UNKNOWN)
        sg_text_format(out, "/%d", (int)in->shop->stocks[in->stock].number);
    sg_text_format(out, " along %s%s\n\n", sg_sweep_word((int)in->field),
                   in->field == SG_SWEEP_GARNET ? " feed" : "");
    put_table(out, view);
    sg_text_put(out, "\n");
    sg_sweep_sentences(out, view);
}
