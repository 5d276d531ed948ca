#include "tui/trade.h"

#include "sandglass/sweep_span.h"

#include <math.h>
#include <stdio.h>

/* ---- steps as a shop would type them ---- */

/* Steps are 1, 2 or 5 times a power of ten of the unit: number k is 1, 2, 5, 10, 20 ... for 0, 1, 2, 3, 4. */
static double nice_step(int k)
{
    static const double digits[] = {1, 2, 5};
    int digit = (k % 3 + 3) % 3;
    return digits[digit] * pow(10, (k - digit) / 3);
}

/* The finest steps that make sense in each unit, and those that are usual where they fit. */
static const struct {
    int finest[2]; /* by enum sg_unit_system */
    int usual[2];
} grids[SG_SWEEP_FIELDS] = {
    [SG_SWEEP_PRESSURE] = {{-3, 0}, {0, 3}}, /* 0.1 ksi, 1 MPa; 1 ksi, 10 MPa */
    [SG_SWEEP_GARNET] = {{-9, 0}, {-6, 3}},  /* 0.001 lb/min, 1 g/min; 0.01 lb/min, 10 g/min */
    [SG_SWEEP_EDGE] = {{-3, -3}, {-1, -1}},  /* 0.1; 0.5 */
    [SG_SWEEP_ORIFICE] = {{0, 0}, {0, 0}},   /* orifices are made in thousandths of an inch */
};

/* So many significant digits that a value can be typed as it is shown. */
static double typed_digits(double value)
{
    if (value == 0)
        return 0;
    double scale = pow(10, 5 - floor(log10(fabs(value))));
    return round(value * scale) / scale;
}

struct grid {
    double anchor, least, most, step; /* in the unit */
    int beyond;                       /* steps past the most */
};

static int lowest(const struct grid *grid)
{
    return (int)ceil((grid->least - grid->anchor) / grid->step - 1e-9);
}

static int highest(const struct grid *grid)
{
    return (int)floor((grid->most - grid->anchor) / grid->step + 1e-9) + grid->beyond;
}

static int count(const struct grid *grid)
{
    return highest(grid) - lowest(grid) + 1;
}

static int count_at(struct grid grid, int k)
{
    grid.step = nice_step(k);
    return count(&grid);
}

/* The usual step, or the finest above it that fits; from there as much finer or coarser as asked for. */
static void choose_step(struct sg_trade *trade, struct grid *grid, int fit)
{
    enum { COARSEST = 60, LEAST = 3 };
    enum sg_unit_system units = trade->input.shop->units;
    int finest = grids[trade->field].finest[units], k = grids[trade->field].usual[units];
    while (k < COARSEST && count_at(*grid, k) > fit)
        k++;
    int wanted = k - trade->finer, chosen = wanted < finest ? finest : wanted;
    while (chosen > k && count_at(*grid, chosen) < LEAST)
        chosen--;
    trade->limit = chosen - wanted;
    grid->step = nice_step(chosen);
}

/* Orifices are bought in thousandths of an inch, in a metric shop by hundredths of a millimetre. */
static void put_orifice(struct sg_trade *trade, int index, double thousandths)
{
    bool us = trade->input.shop->units == SG_UNITS_US;
    const struct sg_unit *unit = sg_unit_find(us ? "in" : "mm", 2);
    double per_unit = us ? 1000 : 100, length = us ? round(thousandths) : round(thousandths * 2.54);
    trade->values[index] = sg_to_canonical((long double)(length / per_unit), unit);
    trade->tubes[index] =
        sg_to_canonical((long double)(round(length * trade->input.tube_ratio) / per_unit), unit);
}

static double field_most(enum sg_sweep_field field)
{
    return sg_field_find(field == SG_SWEEP_EDGE ? SG_KIND_STOCK : SG_KIND_HEAD, sg_sweep_word((int)field))
        ->max;
}

static void put_values(struct sg_trade *trade, const struct grid *grid, const struct sg_unit *unit, int fit)
{
    bool known = sg_known(trade->value_now);
    int low = lowest(grid), high = highest(grid);
    double centre = sg_known(trade->stood) ? (double)sg_from_canonical(trade->stood, unit) : grid->anchor;
    trade->part = high - low + 1 > fit;
    if (trade->part) { /* around where one stands */
        int first = (int)round((centre - grid->anchor) / grid->step) - fit / 2;
        first = first > high - fit + 1 ? high - fit + 1 : first;
        low = first > low ? first : low;
        high = low + fit - 1;
    }
    for (int i = low; i <= high && trade->n_steps < SG_TRADE_STEPS; i++) {
        double value = typed_digits(grid->anchor + i * grid->step);
        int at = trade->n_steps;
        trade->values[at] = sg_to_canonical((long double)value, unit);
        if (trade->field == SG_SWEEP_ORIFICE)
            put_orifice(trade, at, value);
        if (i == 0 && known) {
            trade->values[at] = trade->value_now;
            trade->tubes[at] = trade->tube_now;
        }
        trade->n_steps += trade->values[at] <= field_most(trade->field);
    }
}

static const struct sg_unit *unit_of(const struct sg_trade *trade)
{
    static const struct sg_unit thousandth = {"in/1000", SG_DIM_LENGTH, 0.0254L};
    if (trade->field == SG_SWEEP_ORIFICE)
        return &thousandth;
    return sg_unit_of_shop(sg_sweep_dimension(trade->field), trade->input.shop->units);
}

static void choose_values(struct sg_trade *trade, int fit)
{
    const struct sg_unit *unit = unit_of(trade);
    double least, most;
    if (!sg_sweep_span(&trade->input, &least, &most)) {
        snprintf(trade->problem, sizeof trade->problem,
                 trade->input.shop->jobs[trade->input.job].n_stocks == 0
                     ? "The job has no sheets yet: add them on its own screen."
                     : "It is cut with water alone: there is no garnet feed to change.");
        return;
    }
    struct grid grid = {.least = (double)sg_from_canonical(least, unit),
                        .most = (double)sg_from_canonical(most, unit),
                        .beyond = trade->field == SG_SWEEP_GARNET || trade->field == SG_SWEEP_ORIFICE};
    grid.anchor = sg_known(trade->value_now) ? (double)sg_from_canonical(trade->value_now, unit) : 0;
    choose_step(trade, &grid, fit);
    put_values(trade, &grid, unit, fit);
}

static void choose_heads(struct sg_trade *trade)
{
    int32_t n = trade->input.shop->n_heads;
    trade->limit = trade->finer;
    trade->n_steps = n < SG_TRADE_STEPS ? n : SG_TRADE_STEPS;
    for (int i = 0; i < trade->n_steps; i++)
        trade->values[i] = i;
}

void sg_trade_start(struct sg_trade *trade, const struct sg_shop *shop, int32_t job, int32_t stock, int fit)
{
    trade->input = (struct sg_sweep_input){.shop = shop,
                                           .job = job,
                                           .stock = stock,
                                           .field = trade->field,
                                           .tube_ratio = (double)NAN,
                                           .rates = &shop->rates,
                                           .weighed = sg_sweep_weighed(shop, job, stock)};
    trade->n_steps = trade->n_done = trade->limit = 0;
    trade->generation++;
    trade->has_now = trade->part = false;
    trade->problem[0] = '\0';
    trade->sweep = (struct sg_sweep){.cheapest = SG_UNKNOWN, .quickest = SG_UNKNOWN};
    trade->tube_now = (double)NAN;
    trade->value_now = sg_sweep_now(&trade->input, &trade->tube_now);
    trade->input.tube_ratio =
        trade->field == SG_SWEEP_ORIFICE ? trade->tube_now / trade->value_now : (double)NAN;
    if (trade->field == SG_SWEEP_HEAD)
        choose_heads(trade);
    else
        choose_values(trade, fit < SG_TRADE_STEPS ? fit : SG_TRADE_STEPS);
    if (!sg_known(trade->stood))
        trade->stood = trade->value_now;
}

/* ---- computing ---- */

static void take(struct sg_trade *trade, const struct sg_sweep *sweep, int from)
{
    for (int i = 0; i < sweep->n_steps && from + i < trade->n_steps; i++)
        trade->steps[from + i] = sweep->steps[i];
    trade->sweep.lacking |= sweep->lacking;
}

/* One value as a sweep of its own; of heads all. False with the problem. */
static bool make(struct sg_trade *trade, double value, double tube, struct sg_sweep *out)
{
    const struct sg_bore_pair pair = {value, tube};
    struct sg_sweep_input one = trade->input;
    struct sg_error error;
    sg_arena_free(&trade->arena);
    one.from = one.to = value;
    one.step = 1;
    one.pairs = one.field == SG_SWEEP_ORIFICE ? &pair : NULL;
    one.n_pairs = 1;
    if (sg_sweep_make(trade->planner, &one, &trade->arena, out, &error) == SG_OK)
        return true;
    snprintf(trade->problem, sizeof trade->problem, "%s.", error.text);
    trade->n_steps = trade->n_done = 0;
    return false;
}

static void make_heads(struct sg_trade *trade)
{
    struct sg_sweep sweep;
    if (!make(trade, 0, 0, &sweep))
        return;
    take(trade, &sweep, 0);
    trade->n_done = trade->n_steps;
    trade->has_now = sg_known(trade->value_now) && (int)trade->value_now < trade->n_steps;
    if (trade->has_now)
        trade->now = trade->steps[(int)trade->value_now];
}

static void make_now(struct sg_trade *trade)
{
    struct sg_sweep sweep;
    if (!make(trade, trade->value_now, trade->tube_now, &sweep))
        return;
    trade->now = sweep.steps[0];
    trade->sweep.lacking |= sweep.lacking;
    trade->has_now = true;
}

static void make_step(struct sg_trade *trade)
{
    struct sg_sweep sweep;
    int at = trade->n_done;
    if (trade->has_now && trade->values[at] == trade->value_now) {
        trade->steps[at] = trade->now;
        trade->n_done++;
    } else if (make(trade, trade->values[at], trade->tubes[at], &sweep)) {
        take(trade, &sweep, at);
        trade->n_done++;
    }
}

void sg_trade_go_on(struct sg_trade *trade, struct sg_budget budget)
{
    if (trade->n_done == trade->n_steps)
        return;
    if (trade->field == SG_SWEEP_HEAD)
        make_heads(trade);
    else if (!trade->has_now && sg_known(trade->value_now))
        make_now(trade);
    while (trade->n_done < trade->n_steps && sg_budget_left(&budget))
        make_step(trade);
    sg_sweep_best(trade->field, trade->steps, trade->n_done, &trade->sweep);
    if (trade->n_done < trade->n_steps)
        trade->sweep.cheapest = trade->sweep.quickest = SG_UNKNOWN;
}

/* ---- what is computed ---- */

struct sg_sweep_view sg_trade_view(const struct sg_trade *trade, int width)
{
    return (struct sg_sweep_view){.input = &trade->input,
                                  .sweep = &trade->sweep,
                                  .now = trade->has_now ? &trade->now : NULL,
                                  .width = width};
}

bool sg_trade_is_now(const struct sg_trade *trade, const struct sg_sweep_step *step)
{
    const struct sg_sweep_view view = sg_trade_view(trade, 0);
    return sg_sweep_is_now(&view, step);
}
