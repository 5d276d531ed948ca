/* Price breaks: the job planned and priced in other quantities, and where the difference comes from. */
#include "cost_inside.h"

#include "sandglass/field.h"

#include <string.h>

const int64_t sg_price_quantities[SG_PRICE_QUANTITIES] = {1, 10, 100, 1000};

static int64_t common_divisor(int64_t a, int64_t b)
{
    while (b != 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

int64_t sg_job_sets(const struct sg_shop *shop, int32_t job)
{
    int64_t sets = 0;
    for (int32_t i = 0; i < shop->n_parts; i++)
        if (shop->stocks[shop->parts[i].stock].job == job && shop->parts[i].quantity > 0)
            sets = common_divisor(shop->parts[i].quantity, sets);
    return sets;
}

/* The most sets that the field quantity holds for each part of a job of `now` sets. */
static int64_t most_sets(const struct sg_shop *shop, int32_t job, int64_t now)
{
    int64_t most = (int64_t)sg_field_find(SG_KIND_PART, "quantity")->max, fewest = INT64_MAX;
    for (int32_t i = 0; i < shop->n_parts; i++) {
        int64_t in_set = shop->stocks[shop->parts[i].stock].job == job ? shop->parts[i].quantity / now : 0;
        if (in_set > 0 && most / in_set < fewest)
            fewest = most / in_set;
    }
    return fewest;
}

int sg_usual_sets(const struct sg_shop *shop, int32_t job, int64_t sets[SG_PRICE_QUANTITIES + 1])
{
    int64_t now = sg_job_sets(shop, job), most = now > 0 ? most_sets(shop, job, now) : 0;
    bool placed = now == 0;
    int n = 0;
    for (int i = 0; i < SG_PRICE_QUANTITIES; i++) {
        int64_t usual = sg_price_quantities[i];
        if (!placed && now <= usual)
            sets[n++] = now;
        placed = placed || now <= usual;
        if (usual != now && usual <= most)
            sets[n++] = usual;
    }
    if (!placed)
        sets[n++] = now;
    return n;
}

static enum sg_status too_many(const struct sg_shop *shop, int32_t job, int64_t sets, const char *part,
                               int most, struct sg_error *error)
{
    return sg_fail(error, SG_BAD_DATA,
                   "%lld times job %s is more than %d pieces of part %s: ask for a smaller quantity",
                   (long long)sets, shop->jobs[job].id, most, part);
}

/* So many sets into the copy; the pieces of all parts. */
static enum sg_status take_sets(const struct sg_shop *shop, const struct sg_cost_job *cost, int64_t sets,
                                struct sg_shop *copy, int64_t *pieces, struct sg_error *error)
{
    enum { MOST_PIECES = 1000000 }; /* as the field quantity has it */
    int64_t now = sg_job_sets(shop, cost->job);
    *pieces = 0;
    for (int32_t i = cost->first_part; i < cost->first_part + cost->n_parts; i++) {
        const struct sg_part *part = &shop->parts[i];
        int64_t in_set = part->quantity / now;
        if (in_set == 0)
            continue;
        if (sets > MOST_PIECES / in_set)
            return too_many(shop, cost->job, sets, part->id, MOST_PIECES, error);
        int64_t scrap = (part->scrap * sets + now - 1) / now;
        if (scrap > MOST_PIECES)
            return too_many(shop, cost->job, sets, part->id, MOST_PIECES, error);
        copy->parts[i].quantity = (int32_t)(in_set * sets);
        copy->parts[i].scrap = (int32_t)scrap;
        *pieces += in_set * sets;
    }
    return SG_OK;
}

/* The price by cause: rows of one cause, and hands and machine by what they did; the addition goes along. */
static void find_causes(const struct sg_cost_job *cost, const struct sg_rates *rates, double *causes)
{
    static const enum sg_price_cause of_row[SG_COST_SETUP + 1] = {
        [SG_COST_MATERIAL] = SG_CAUSE_SHEETS, [SG_COST_SETUP] = SG_CAUSE_SETUP}; /* the rest: cutting */
    double share = sg_cost_addition(rates), minimum = 0;
    memset(causes, 0, SG_CAUSES * sizeof *causes);
    for (int32_t i = 0; i < cost->n_parts; i++) {
        const struct sg_cost_work *w = &cost->work[i];
        for (int row = SG_COST_POWER; row <= SG_COST_SETUP; row++)
            causes[of_row[row]] += w->costs[row];
        for (int k = 0; k < SG_CAUSES; k++) {
            if (w->costs[SG_COST_MACHINE] > 0)
                causes[k] += w->machine[k] / 3600 * rates->machine;
            if (w->costs[SG_COST_LABOUR] > 0)
                causes[k] += w->labour[k] / 3600 * rates->labour;
        }
        minimum += w->costs[SG_COST_MINIMUM];
    }
    for (int k = 0; k < SG_CAUSES; k++)
        causes[k] *= (sg_known(share) ? 1 + share : 1) * sg_cents_in(rates->decimals);
    causes[SG_CAUSE_MINIMUM] = minimum * sg_cents_in(rates->decimals);
}

static enum sg_status make_break(struct sg_planner *planner, const struct sg_shop *copy,
                                 struct sg_cost_job *cost, const struct sg_rates *rates,
                                 struct sg_price_break *out, struct sg_error *error)
{
    struct sg_arena arena = {0};
    struct sg_quote quote;
    enum sg_status status = sg_quote_copy(planner, copy, cost, rates, &arena, &quote, error);
    if (status == SG_OK) {
        double causes[SG_CAUSES];
        struct sg_cent_place scratch[SG_CAUSES];
        find_causes(cost, rates, causes);
        out->price = quote.price;
        out->lacking = quote.lacking;
        sg_deal_cents(causes, SG_CAUSES, quote.price, NULL, scratch, out->causes);
    }
    sg_arena_free(&arena);
    return status;
}

static enum sg_status check_sets(const int64_t *sets, int n, struct sg_error *error)
{
    if (n < 1 || n > SG_PRICE_BREAKS_MAX)
        return sg_fail(error, SG_BAD_DATA, "%d quantities: ask for 1 to %d", n, SG_PRICE_BREAKS_MAX);
    for (int i = 0; i < n; i++)
        if (sets[i] < 1 || (i > 0 && sets[i] <= sets[i - 1]))
            return sg_fail(error, SG_BAD_DATA,
                           "quantity %lld: list quantities from 1 on, each above the one before",
                           (long long)sets[i]);
    return SG_OK;
}

enum sg_status sg_quote_breaks(struct sg_planner *planner, const struct sg_shop *shop, int32_t job,
                               const struct sg_rates *rates, const int64_t *sets, int n,
                               struct sg_price_break *breaks, struct sg_error *error)
{
    struct sg_arena arena = {0};
    struct sg_shop copy;
    struct sg_cost_job cost;
    struct sg_price_break made[SG_PRICE_BREAKS_MAX];
    enum sg_status status = check_sets(sets, n, error);
    if (status == SG_OK)
        status = sg_quote_start(shop, job, rates, &arena, &copy, &cost, error);
    for (int i = 0; i < n && status == SG_OK; i++) {
        struct sg_price_break one = {.sets = sets[i]};
        status = take_sets(shop, &cost, sets[i], &copy, &one.pieces, error);
        if (status == SG_OK)
            status = make_break(planner, &copy, &cost, rates, &one, error);
        made[i] = one;
    }
    if (status == SG_OK)
        memcpy(breaks, made, (size_t)n * sizeof *breaks);
    sg_arena_free(&arena);
    return status;
}
