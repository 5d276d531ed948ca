/* Rates on what a job uses, and its price in whole cents. */
#include "cost_inside.h"

#include <string.h>

/* A row that is a rate times what is used. */
static const struct {
    size_t rate;
    double per; /* of what is used, for one rate */
    unsigned lack;
} priced[SG_COST_SETUP + 1] = {
    [SG_COST_MACHINE] = {offsetof(struct sg_rates, machine), 3600, SG_LACK_MACHINE},
    [SG_COST_LABOUR] = {offsetof(struct sg_rates, labour), 3600, SG_LACK_LABOUR},
    [SG_COST_POWER] = {offsetof(struct sg_rates, power), 1, SG_LACK_POWER},
    [SG_COST_WATER] = {offsetof(struct sg_rates, water), 1000, SG_LACK_WATER},
    [SG_COST_GARNET] = {offsetof(struct sg_rates, garnet), 1, SG_LACK_GARNET},
    [SG_COST_DISPOSAL] = {offsetof(struct sg_rates, disposal), 1, SG_LACK_DISPOSAL},
    [SG_COST_TUBE] = {offsetof(struct sg_rates, tube), 1, SG_LACK_TUBE},
    [SG_COST_ORIFICE] = {offsetof(struct sg_rates, orifice), 1, SG_LACK_ORIFICE},
    [SG_COST_MATERIAL] = {0, 1, SG_LACK_SHEET_PRICE}, /* by stock */
    [SG_COST_SETUP] = {offsetof(struct sg_rates, setup), 1, SG_LACK_SETUP},
};

static double rate_of(const struct sg_cost_job *cost, const struct sg_rates *rates, int32_t stock, int row)
{
    if (row != SG_COST_MATERIAL)
        return *(const double *)(const void *)((const char *)rates + priced[row].rate);
    if (cost->shop->stocks[stock].owner == SG_OWNER_CUSTOMER)
        return 0;
    return cost->shop->stocks[stock].sheet_price;
}

static void price_row(struct sg_cost_work *work, double rate, int row)
{
    work->costs[row] = 0;
    if (rate == 0)
        work->lacks[row] = 0; /* what is free costs nothing, however much it is */
    if (work->amounts[row] == 0 || rate == 0)
        return;
    if (!sg_known(rate))
        work->lacks[row] |= priced[row].lack;
    if (work->lacks[row] == 0)
        work->costs[row] = work->amounts[row] / priced[row].per * rate;
}

void sg_cost_price(struct sg_cost_job *cost, const struct sg_rates *rates)
{
    for (int32_t i = 0; i < cost->n_parts; i++)
        for (int row = 0; row <= SG_COST_SETUP; row++)
            price_row(&cost->work[i],
                      rate_of(cost, rates, cost->shop->parts[cost->first_part + i].stock, row), row);
}

/* ---- mark-up, margin and minimum ---- */

double sg_cost_addition(const struct sg_rates *rates)
{
    return sg_known(rates->margin) ? rates->margin / (1 - rates->margin) : rates->mark_up;
}

static double part_cost(const struct sg_cost_work *work)
{
    double cost = 0;
    for (int row = 0; row <= SG_COST_SETUP; row++)
        cost += work->costs[row];
    return cost;
}

static bool is_whole(const struct sg_cost_job *cost)
{
    unsigned lacks = 0;
    for (int32_t i = 0; i < cost->n_parts; i++)
        for (int row = 0; row < SG_COST_MINIMUM; row++)
            lacks |= cost->work[i].lacks[row];
    return lacks == 0;
}

/* What is missing to the minimum is shared like the cost; like the set-up where nothing costs anything. */
static void add_minimum(struct sg_cost_job *cost, double minimum, double price)
{
    bool whole = is_whole(cost);
    for (int32_t i = 0; i < cost->n_parts; i++) {
        struct sg_cost_work *w = &cost->work[i];
        double share =
            price > 0 ? (part_cost(w) + w->costs[SG_COST_ADDITION]) / price : w->amounts[SG_COST_SETUP];
        w->costs[SG_COST_MINIMUM] = whole && minimum > price ? (minimum - price) * share : 0;
        w->lacks[SG_COST_MINIMUM] = whole || !sg_known(minimum) || w->cuts == 0 ? 0 : SG_LACK_REST;
    }
}

static void add_on(struct sg_cost_job *cost, const struct sg_rates *rates)
{
    double share = sg_cost_addition(rates), price = 0;
    for (int32_t i = 0; i < cost->n_parts; i++) {
        struct sg_cost_work *w = &cost->work[i];
        w->costs[SG_COST_ADDITION] = sg_known(share) ? part_cost(w) * share : 0;
        w->lacks[SG_COST_ADDITION] = sg_known(share) || w->cuts == 0 ? 0 : SG_LACK_ADDITION;
        price += part_cost(w) + w->costs[SG_COST_ADDITION];
    }
    add_minimum(cost, rates->minimum, price);
}

/* ---- whole cents ---- */

/* More could not be told apart by a double. */
#define MOST_CENTS 9e15

double sg_cents_in(int decimals)
{
    static const double scale[SG_MONEY_DECIMALS_MAX + 1] = {1, 10, 100, 1000, 10000};
    return scale[decimals];
}

static enum sg_status find_totals(const struct sg_cost_job *cost, double scale, double *rows, double *total,
                                  struct sg_error *error)
{
    *total = 0;
    for (int row = 0; row < SG_COST_ROWS; row++) {
        rows[row] = 0;
        for (int32_t i = 0; i < cost->n_parts; i++)
            rows[row] += cost->work[i].costs[row] * scale;
        *total += rows[row];
    }
    if (*total < MOST_CENTS)
        return SG_OK;
    return sg_fail(error, SG_BAD_DATA,
                   "the price of job %s is past counting (%g): look for a rate or quantity typed wrong",
                   cost->shop->jobs[cost->job].id, *total / scale);
}

struct rounding {
    double *wants, *carry;
    int64_t *cents;
    struct sg_cent_place *scratch;
};

static bool make_room(struct sg_arena *arena, int32_t n, struct rounding *out)
{
    size_t most = (size_t)(n > SG_COST_ROWS ? n : SG_COST_ROWS);
    out->wants = sg_arena_take(arena, most * sizeof *out->wants);
    out->carry = sg_arena_take(arena, most * sizeof *out->carry);
    out->cents = sg_arena_take(arena, most * sizeof *out->cents);
    out->scratch = sg_arena_take(arena, most * sizeof *out->scratch);
    return out->wants && out->carry && out->cents && out->scratch;
}

/* The job's cents of each row, dealt to its parts. */
static void round_rows(const struct sg_cost_job *cost, double scale, const int64_t *rows,
                       struct rounding *room, struct sg_quote_part *parts)
{
    for (int row = 0; row < SG_COST_ROWS; row++) {
        for (int32_t i = 0; i < cost->n_parts; i++)
            room->wants[i] = cost->work[i].costs[row] * scale;
        sg_deal_cents(room->wants, cost->n_parts, rows[row], room->carry, room->scratch, room->cents);
        for (int32_t i = 0; i < cost->n_parts; i++) {
            parts[i].rows[row] = room->cents[i];
            parts[i].price += room->cents[i];
        }
    }
}

static void finish_parts(const struct sg_cost_job *cost, struct sg_quote_part *parts, struct sg_quote *out)
{
    for (int32_t i = 0; i < cost->n_parts; i++) {
        struct sg_quote_part *p = &parts[i];
        p->part = cost->first_part + i;
        p->quantity = cost->shop->parts[p->part].quantity;
        p->each = p->quantity > 0 ? p->price / p->quantity : 0;
        p->dearer = p->price - p->each * p->quantity;
        memcpy(p->amounts, cost->work[i].amounts, sizeof p->amounts);
        for (int row = 0; row < SG_COST_ROWS; row++) {
            p->lacks[row] = cost->work[i].lacks[row];
            out->lacks[row] |= p->lacks[row];
            out->lacking |= p->lacks[row];
        }
    }
}

static void sum_amounts(const struct sg_cost_job *cost, struct sg_quote *out)
{
    for (int32_t i = 0; i < cost->n_parts; i++)
        for (int row = 0; row < SG_COST_SETUP; row++)
            out->amounts[row] += cost->work[i].amounts[row];
}

static enum sg_status round_quote(const struct sg_cost_job *cost, const struct sg_rates *rates,
                                  struct sg_arena *arena, struct sg_quote *out, struct sg_error *error)
{
    struct sg_quote quote = {.job = cost->job, .n_parts = cost->n_parts};
    double scale = sg_cents_in(rates->decimals), rows[SG_COST_ROWS], total;
    struct rounding room;
    enum sg_status status = find_totals(cost, scale, rows, &total, error);
    if (status != SG_OK)
        return status;
    struct sg_quote_part *parts = sg_arena_take(arena, (size_t)cost->n_parts * sizeof *parts);
    if (!parts || !make_room(arena, cost->n_parts, &room))
        return sg_fail(error, SG_FAULT, "no memory to price job %s", cost->shop->jobs[cost->job].id);
    quote.parts = parts;
    quote.price = llround(total);
    sg_deal_cents(rows, SG_COST_ROWS, quote.price, NULL, room.scratch, quote.rows);
    round_rows(cost, scale, quote.rows, &room, parts);
    finish_parts(cost, parts, &quote);
    sum_amounts(cost, &quote);
    *out = quote;
    return SG_OK;
}

/* ---- quotes ---- */

/* The machine as each price finds it, and services that never fall due: they are paid by what is used up. */
static void equip(struct sg_shop *copy)
{
    enum { BAGS_ENOUGH = 1000000 };
    copy->machine.bags_in_stock = BAGS_ENOUGH;
    copy->machine.hopper_level = copy->machine.hopper;
    for (int32_t i = 0; i < copy->n_chores; i++)
        if (copy->chores[i].when == SG_CHORE_DUE) {
            copy->chores[i].every = (double)NAN;
            copy->chores[i].every_days = SG_UNKNOWN;
        }
}

/* Nobody else in the shift, no shift before it, no breaks and no sheet on the table. */
static void isolate(struct sg_shop *copy, int32_t job)
{
    struct sg_shift *shift = &copy->shifts[copy->jobs[job].shift];
    for (int32_t i = 0; i < copy->n_jobs; i++)
        if (i != job)
            copy->jobs[i].shift = SG_UNKNOWN;
    shift->n_closed_days = 0;
    shift->calendar.n_breaks = 0;
    shift->run_in_breaks = 1;
    shift->sheet_on = "";
    shift->closed = 1; /* it starts as the machine stands */
}

enum sg_status sg_cost_copy(const struct sg_shop *shop, int32_t job, struct sg_arena *arena,
                            struct sg_shop *out, struct sg_error *error)
{
    struct sg_shop copy = *shop;
    const struct {
        const void *from;
        size_t size;
        void *to;
    } arrays[] = {{shop->heads, (size_t)shop->n_heads * sizeof *shop->heads, &copy.heads},
                  {shop->shifts, (size_t)shop->n_shifts * sizeof *shop->shifts, &copy.shifts},
                  {shop->jobs, (size_t)shop->n_jobs * sizeof *shop->jobs, &copy.jobs},
                  {shop->stocks, (size_t)shop->n_stocks * sizeof *shop->stocks, &copy.stocks},
                  {shop->parts, (size_t)shop->n_parts * sizeof *shop->parts, &copy.parts},
                  {shop->chores, (size_t)shop->n_chores * sizeof *shop->chores, &copy.chores}};
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++) {
        void *to = sg_arena_take(arena, arrays[i].size);
        if (!to)
            return sg_fail(error, SG_FAULT, "no memory for a copy of the shop");
        if (arrays[i].size > 0)
            memcpy(to, arrays[i].from, arrays[i].size);
        memcpy(arrays[i].to, &to, sizeof to);
    }
    equip(&copy);
    isolate(&copy, job);
    *out = copy;
    return SG_OK;
}

enum sg_status sg_quote_copy(struct sg_planner *planner, const struct sg_shop *copy, struct sg_cost_job *cost,
                             const struct sg_rates *rates, struct sg_arena *arena, struct sg_quote *out,
                             struct sg_error *error)
{
    const struct sg_plan *plan;
    enum sg_status status = sg_plan_shift(planner, copy, copy->jobs[cost->job].shift, &plan, error);
    if (status != SG_OK)
        return status;
    sg_cost_take(cost, copy, plan);
    sg_cost_price(cost, rates);
    add_on(cost, rates);
    return round_quote(cost, rates, arena, out, error);
}

enum sg_status sg_quote_start(const struct sg_shop *shop, int32_t job, const struct sg_rates *rates,
                              struct sg_arena *arena, struct sg_shop *copy, struct sg_cost_job *cost,
                              struct sg_error *error)
{
    enum sg_status status = sg_rates_check(rates, error);
    if (status == SG_OK)
        status = sg_cost_start(shop, job, arena, cost, error);
    return status == SG_OK ? sg_cost_copy(shop, job, arena, copy, error) : status;
}

enum sg_status sg_quote_make(struct sg_planner *planner, const struct sg_shop *shop, int32_t job,
                             const struct sg_rates *rates, struct sg_arena *arena, struct sg_quote *out,
                             struct sg_error *error)
{
    struct sg_shop copy;
    struct sg_cost_job cost;
    enum sg_status status = sg_quote_start(shop, job, rates, arena, &copy, &cost, error);
    return status == SG_OK ? sg_quote_copy(planner, &copy, &cost, rates, arena, out, error) : status;
}
