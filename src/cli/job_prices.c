#include "cli/job_prices.h"

#include "exchange/quote_render.h"
#include "sandglass/cost.h"

#include <stdio.h>
#include <stdlib.h>

enum { CELL = 60 };

struct sg_job_price *sg_job_prices(const struct sg_shop *shop, const struct sg_plan *plan)
{
    struct sg_planner *planner = sg_planner_new();
    struct sg_job_price *prices = calloc((size_t)plan->n_jobs + 1, sizeof *prices);
    for (int32_t i = 0; planner && prices && i < plan->n_jobs; i++) {
        struct sg_arena arena = {0};
        struct sg_quote quote;
        struct sg_error error;
        prices[i].made =
            sg_rates_any(&shop->rates) &&
            sg_quote_make(planner, shop, plan->first_job + i, &shop->rates, &arena, &quote, &error) == SG_OK;
        if (prices[i].made) {
            prices[i].cents = quote.price;
            prices[i].lacking = quote.lacking;
        }
        sg_arena_free(&arena);
    }
    sg_planner_free(planner);
    return prices;
}

static void put_price(const struct sg_rates *rates, const struct sg_job_price *price, char out[CELL])
{
    if (price->made)
        sg_money_write(price->cents, rates->decimals, out, CELL);
    else
        snprintf(out, CELL, "no price");
}

static bool is_same(const struct sg_job_price *a, const struct sg_job_price *b)
{
    return a->made == b->made && a->cents == b->cents && a->lacking == b->lacking;
}

void sg_job_prices_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                        const struct sg_job_price *before, const struct sg_job_price *after)
{
    int same = 0;
    for (int32_t i = 0; before && after && i < plan->n_jobs; i++) {
        char was[CELL], is[CELL];
        same += is_same(&before[i], &after[i]);
        if (is_same(&before[i], &after[i]))
            continue;
        put_price(&shop->rates, &before[i], was);
        put_price(&shop->rates, &after[i], is);
        sg_text_format(out, "price of %s  %s -> %s%s%s%s\n", shop->jobs[plan->first_job + i].id, was, is,
                       shop->rates.currency[0] ? " " : "", shop->rates.currency,
                       after[i].lacking ? ", not the whole price" : "");
    }
    if (same > 0)
        sg_text_format(out, "%d job%s of the shift cost%s what %s did\n", same, same == 1 ? "" : "s",
                       same == 1 ? "s" : "", same == 1 ? "it" : "they");
}
