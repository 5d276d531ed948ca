#include "tui/trade.h"

#include "sandglass/sweep_span.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Beside those of the grid: what is now, two ends, one past the end. */
enum { GRID_STEPS = SG_TRADE_USUAL - 4 };

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
static void choose_step(struct sg_trade *trade, struct grid *grid)
{
    enum { COARSEST = 60, LEAST = 3 };
    enum sg_unit_system units = trade->input.shop->units;
    int finest = grids[trade->field].finest[units], k = grids[trade->field].usual[units];
    while (k < COARSEST && count_at(*grid, k) > GRID_STEPS)
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

/* Where a value belongs among those that rise; they make room. */
static int make_room(struct sg_trade *trade, double value)
{
    int at = trade->n_steps++;
    for (; at > 0 && trade->values[at - 1] > value; at--) {
        trade->values[at] = trade->values[at - 1];
        trade->tubes[at] = trade->tubes[at - 1];
        trade->steps[at] = trade->steps[at - 1];
    }
    trade->values[at] = value;
    return at;
}

/* Whether two values read the same. */
static bool is_shown_as(const struct sg_trade *trade, double a, double b)
{
    const struct sg_unit *unit = sg_unit_of_shop(sg_sweep_dimension(trade->field), trade->input.shop->units);
    char one[80], other[80];
    sg_number_short(a, unit, sg_sweep_decimals(&trade->input), one, sizeof one);
    sg_number_short(b, unit, sg_sweep_decimals(&trade->input), other, sizeof other);
    return strcmp(one, other) == 0;
}

/* In its place among the others, once. A value of the unit; NaN for what is now, as it is. */
static void put_value(struct sg_trade *trade, double in_unit, const struct sg_unit *unit)
{
    int at = trade->n_steps;
    if (at == SG_TRADE_STEPS)
        return;
    trade->values[at] =
        sg_known(in_unit) ? sg_to_canonical((long double)typed_digits(in_unit), unit) : trade->value_now;
    trade->tubes[at] = trade->tube_now;
    if (trade->field == SG_SWEEP_ORIFICE && sg_known(in_unit))
        put_orifice(trade, at, in_unit);
    double value = trade->values[at], tube = trade->tubes[at];
    if (value > field_most(trade->field))
        return;
    for (int k = 0; k < at; k++) /* what is now comes first: a value like it is that one */
        if (is_shown_as(trade, trade->values[k], value))
            return;
    trade->tubes[make_room(trade, value)] = tube;
}

/* An end of the span in whole steps of the finest that anybody types, inside of it. */
static double end_of(const struct sg_trade *trade, double end, bool most)
{
    static const double finest[SG_SWEEP_FIELDS][2] = {
        [SG_SWEEP_PRESSURE] = {[SG_UNITS_US] = 100, [SG_UNITS_METRIC] = 1},
        [SG_SWEEP_GARNET] = {[SG_UNITS_US] = 1000, [SG_UNITS_METRIC] = 1},
        [SG_SWEEP_EDGE] = {[SG_UNITS_US] = 100, [SG_UNITS_METRIC] = 100},
        [SG_SWEEP_ORIFICE] = {[SG_UNITS_US] = 1, [SG_UNITS_METRIC] = 1 / 0.39370079}, /* 0.01 mm */
    };
    double per_unit = finest[trade->field][trade->input.shop->units];
    return (most ? floor(end * per_unit + 1e-7) : ceil(end * per_unit - 1e-7)) / per_unit;
}

/* Steps of the grid: all of them, or those around where one stands; the ends, whatever the grid; and of some
 * settings one past the end, to show what bounds it. */
static void put_values(struct sg_trade *trade, const struct grid *grid, const struct sg_unit *unit)
{
    int low = lowest(grid), high = highest(grid), most = GRID_STEPS;
    double stood = sg_known(trade->stood) ? trade->stood : trade->value_now;
    double centre = sg_known(stood) ? (double)sg_from_canonical(stood, unit) : grid->least;
    if (sg_known(trade->value_now))
        put_value(trade, (double)NAN, unit);
    put_value(trade, end_of(trade, grid->least, false), unit);
    put_value(trade, end_of(trade, grid->most, true), unit);
    if (grid->beyond)
        put_value(trade, grid->anchor + high * grid->step, unit);
    trade->part = high - low + 1 > most;
    if (trade->part) {
        int first = (int)round((centre - grid->anchor) / grid->step) - most / 2;
        first = first > high - most + 1 ? high - most + 1 : first;
        low = first > low ? first : low;
        high = low + most - 1;
    }
    for (int i = low; i <= high; i++)
        put_value(trade, grid->anchor + i * grid->step, unit);
}

static const struct sg_unit *unit_of(const struct sg_trade *trade)
{
    static const struct sg_unit thousandth = {"in/1000", SG_DIM_LENGTH, 0.0254L};
    if (trade->field == SG_SWEEP_ORIFICE)
        return &thousandth;
    return sg_unit_of_shop(sg_sweep_dimension(trade->field), trade->input.shop->units);
}

/* Steps go out from what is now where that is round, so that none of them is not. */
static double anchor_of(const struct sg_trade *trade, const struct sg_unit *unit)
{
    double step = nice_step(grids[trade->field].usual[trade->input.shop->units]);
    double steps = (double)sg_from_canonical(trade->value_now, unit) / step;
    return fabs(steps - round(steps)) < 1e-6 ? round(steps) * step : 0; /* false of NaN */
}

static void choose_values(struct sg_trade *trade)
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
                        .anchor = anchor_of(trade, unit),
                        .beyond = trade->field == SG_SWEEP_GARNET || trade->field == SG_SWEEP_ORIFICE};
    choose_step(trade, &grid);
    put_values(trade, &grid, unit);
}

static void choose_heads(struct sg_trade *trade)
{
    int32_t n = trade->input.shop->n_heads;
    trade->limit = trade->finer;
    trade->n_steps = n < SG_TRADE_STEPS ? n : SG_TRADE_STEPS;
    for (int i = 0; i < trade->n_steps; i++)
        trade->values[i] = i;
}

void sg_trade_start(struct sg_trade *trade, const struct sg_shop *shop, int32_t job, int32_t stock)
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
    trade->has_now = trade->part = trade->narrowed = false;
    trade->allowed = trade->refused = (double)NAN;
    trade->problem[0] = '\0';
    trade->sweep = (struct sg_sweep){.cheapest = SG_UNKNOWN, .quickest = SG_UNKNOWN};
    trade->tube_now = (double)NAN;
    trade->value_now = sg_sweep_now(&trade->input, &trade->tube_now);
    trade->input.tube_ratio =
        trade->field == SG_SWEEP_ORIFICE ? trade->tube_now / trade->value_now : (double)NAN;
    if (trade->field == SG_SWEEP_HEAD)
        choose_heads(trade);
    else
        choose_values(trade);
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

/* ---- the largest that is allowed ---- */

/* Between the last step that is allowed and one that is not, if there is any. */
static void start_narrowing(struct sg_trade *trade)
{
    int at = trade->n_steps - 2;
    while (at >= 0 && !(trade->steps[at].allowed && !trade->steps[at + 1].allowed))
        at--;
    trade->narrowed = trade->field == SG_SWEEP_HEAD || at < 0 || trade->n_steps == SG_TRADE_STEPS;
    if (trade->narrowed)
        return;
    trade->allowed = trade->values[at];
    trade->refused = trade->values[at + 1];
    trade->of_allowed = trade->steps[at];
}

/* Found: nothing that anybody types lies between. */
static void end_narrowing(struct sg_trade *trade)
{
    trade->narrowed = true;
    for (int i = 0; i < trade->n_steps; i++)
        if (trade->values[i] == trade->allowed)
            return;
    int at = make_room(trade, trade->allowed);
    trade->tubes[at] = trade->of_allowed.tube;
    trade->steps[at] = trade->of_allowed;
    trade->n_done++;
    trade->generation++; /* lines of others */
    trade->shown = -1;
}

/* The middle, rounded down to what is typed: allowed or not. */
static void narrow(struct sg_trade *trade)
{
    const struct sg_unit *unit = unit_of(trade);
    struct sg_sweep sweep;
    int spare = trade->n_steps;
    double middle = (double)sg_from_canonical((trade->allowed + trade->refused) / 2, unit);
    double in_unit = typed_digits(end_of(trade, middle, true));
    trade->values[spare] = sg_to_canonical((long double)in_unit, unit);
    if (trade->field == SG_SWEEP_ORIFICE)
        put_orifice(trade, spare, in_unit);
    double value = trade->values[spare];
    if (value <= trade->allowed * (1 + 1e-7) || value >= trade->refused * (1 - 1e-7))
        end_narrowing(trade);
    else if (!make(trade, value, trade->tubes[spare], &sweep))
        trade->narrowed = true;
    else if (!sweep.steps[0].allowed)
        trade->refused = value;
    else {
        trade->allowed = value;
        trade->of_allowed = sweep.steps[0];
    }
}

bool sg_trade_pending(const struct sg_trade *trade)
{
    return trade->n_done < trade->n_steps || (trade->n_steps > 0 && !trade->narrowed);
}

static void compute_one(struct sg_trade *trade)
{
    if (trade->n_done < trade->n_steps)
        make_step(trade);
    else if (!sg_known(trade->allowed))
        start_narrowing(trade);
    else
        narrow(trade);
}

void sg_trade_go_on(struct sg_trade *trade, struct sg_budget budget)
{
    if (!sg_trade_pending(trade))
        return;
    if (trade->field == SG_SWEEP_HEAD)
        make_heads(trade);
    else if (!trade->has_now && sg_known(trade->value_now))
        make_now(trade);
    while (sg_trade_pending(trade) && sg_budget_left(&budget))
        compute_one(trade);
    sg_sweep_best(trade->field, trade->steps, trade->n_done, &trade->sweep);
    if (sg_trade_pending(trade))
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
