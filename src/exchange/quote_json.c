/* A quote as JSON: amounts of money as numbers, and as whole smallest units of the currency beside. */
#include "exchange/quote_render.h"

#include <stdio.h>

/* What a row is for, and the unit in the name of its amount and of its rate; canonical units. */
static const struct {
    const char *amount;
    const char *rate; /* NULL: a price of one, or of each stock */
} names[SG_COST_SETUP] = {
    [SG_COST_MACHINE] = {"machine_s", "machine_per_h"},
    [SG_COST_LABOUR] = {"labour_s", "labour_per_h"},
    [SG_COST_POWER] = {"power_kwh", "power_per_kwh"},
    [SG_COST_WATER] = {"water_l", "water_per_m3"},
    [SG_COST_GARNET] = {"garnet_kg", "garnet_per_kg"},
    [SG_COST_DISPOSAL] = {"disposal_kg", "disposal_per_kg"},
    [SG_COST_TUBE] = {"tubes", "tube"},
    [SG_COST_ORIFICE] = {"orifices", "orifice"},
    [SG_COST_MATERIAL] = {"sheets", NULL},
};

static void put_money(struct sg_json *json, const struct sg_rates *rates, const char *name, int64_t cents,
                      bool known)
{
    char of_cents[80];
    snprintf(of_cents, sizeof of_cents, "%s_cents", name);
    sg_json_number(json, name, known ? sg_money_of(cents, rates->decimals) : (double)NAN);
    if (known)
        sg_json_whole(json, of_cents, cents);
    else
        sg_json_null(json, of_cents);
}

static void put_text(struct sg_json *json, const char *name, const char *text)
{
    sg_json_text(json, name, text[0] ? text : NULL);
}

static void put_day(struct sg_json *json, const char *name, int32_t day)
{
    char text[40];
    sg_date_format(day, text, sizeof text);
    sg_json_text(json, name, day == SG_NO_DATE ? NULL : text);
}

/* The price where all is known, else null; what is known of it in any case; and what it is without. */
static void put_price(struct sg_json *json, const struct sg_rates *rates, int64_t cents,
                      const unsigned *lacks, const int64_t *known)
{
    unsigned lacking = 0;
    struct sg_text without = {0};
    for (int row = 0; row < SG_COST_ROWS; row++)
        lacking |= lacks[row];
    sg_quote_without(&without, rates, lacks, known);
    put_money(json, rates, "price", cents, lacking == 0);
    put_money(json, rates, "known", cents, true);
    sg_json_text(json, "without", without.data && without.data[0] ? without.data : NULL);
    json->out->failed = json->out->failed || without.failed;
    sg_text_free(&without);
}

/* Rows of a part or of the job: null where one lacks something. */
/* Rows add up to what is known: one that lacks something has what is known of it, or null for nothing. */
static void put_rows(struct sg_json *json, const struct sg_rates *rates, const int64_t *cents,
                     const unsigned *lacks, const double *amounts)
{
    sg_json_object(json, "rows");
    for (int row = 0; row < SG_COST_ROWS; row++)
        put_money(json, rates, sg_cost_word(row, rates), cents[row], lacks[row] == 0 || cents[row] != 0);
    sg_json_end_object(json);
    sg_json_object(json, "amounts");
    for (int row = 0; row < SG_COST_SETUP; row++)
        sg_json_number(json, names[row].amount, amounts[row]);
    sg_json_end_object(json);
}

/* price = quantity x each + a_cent_dearer, in whole cents. */
static void put_each(struct sg_json *json, const struct sg_rates *rates, const struct sg_quote_part *quoted)
{
    bool known = quoted->quantity > 0;
    for (int row = 0; row < SG_COST_ROWS; row++)
        known = known && quoted->lacks[row] == 0;
    put_money(json, rates, "each", quoted->each, known);
    if (known)
        sg_json_whole(json, "a_cent_dearer", quoted->dearer);
    else
        sg_json_null(json, "a_cent_dearer");
}

static void put_parts(struct sg_json *json, const struct sg_quote_view *view)
{
    const struct sg_shop *shop = view->shop;
    sg_json_array(json, "parts");
    for (int32_t i = 0; i < view->quote->n_parts; i++) {
        const struct sg_quote_part *quoted = &view->quote->parts[i];
        const struct sg_part *part = &shop->parts[quoted->part];
        sg_json_object(json, NULL);
        sg_json_whole(json, "stock", shop->stocks[part->stock].number);
        sg_json_text(json, "part", part->id);
        sg_json_text(json, "name", part->name);
        sg_json_whole(json, "quantity", quoted->quantity);
        sg_json_whole(json, "scrap", part->scrap);
        put_price(json, &shop->rates, quoted->price, quoted->lacks, quoted->rows);
        put_each(json, &shop->rates, quoted);
        put_rows(json, &shop->rates, quoted->rows, quoted->lacks, quoted->amounts);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

static void put_rates(struct sg_json *json, const struct sg_quote_view *view)
{
    const struct sg_rates *rates = &view->shop->rates;
    const struct sg_job *job = &view->shop->jobs[view->quote->job];
    const double values[] = {
        [SG_COST_MACHINE] = rates->machine, [SG_COST_LABOUR] = rates->labour,
        [SG_COST_POWER] = rates->power,     [SG_COST_WATER] = rates->water,
        [SG_COST_GARNET] = rates->garnet,   [SG_COST_DISPOSAL] = rates->disposal,
        [SG_COST_TUBE] = rates->tube,       [SG_COST_ORIFICE] = rates->orifice,
    };
    sg_json_object(json, "rates");
    for (int row = 0; row < SG_COST_MATERIAL; row++)
        sg_json_number(json, names[row].rate, values[row]);
    sg_json_array(json, "sheets");
    for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++) {
        sg_json_object(json, NULL);
        sg_json_whole(json, "stock", view->shop->stocks[i].number);
        sg_json_text(json, "owner", sg_words_owner[view->shop->stocks[i].owner]);
        sg_json_number(json, "sheet_price", view->shop->stocks[i].sheet_price);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
    sg_json_number(json, "setup", rates->setup);
    sg_json_number(json, "mark_up", rates->mark_up);
    sg_json_number(json, "margin", rates->margin);
    sg_json_number(json, "minimum", rates->minimum);
    sg_json_end_object(json);
}

static void put_causes(struct sg_json *json, const struct sg_rates *rates, const struct sg_price_break *at)
{
    sg_json_object(json, "causes");
    for (int k = 0; k < SG_CAUSES; k++)
        put_money(json, rates, sg_price_cause_word(k), at->causes[k], true);
    sg_json_end_object(json);
}

static void put_breaks(struct sg_json *json, const struct sg_quote_view *view)
{
    const struct sg_rates *rates = &view->shop->rates;
    sg_json_array(json, "breaks");
    for (int i = 0; i < view->n_breaks; i++) {
        const struct sg_price_break *at = &view->breaks[i];
        char reason[400];
        sg_json_object(json, NULL);
        sg_json_whole(json, "sets", at->sets);
        sg_json_whole(json, "pieces", at->pieces);
        put_money(json, rates, "price", at->price, at->lacking == 0);
        put_money(json, rates, "known", at->price, true);
        sg_json_number(json, "known_a_set",
                       sg_money_of(at->price, rates->decimals) / (double)at->sets); /* not rounded */
        put_causes(json, rates, at);
        if (i > 0)
            sg_price_reason(at - 1, at, rates->decimals, reason, sizeof reason);
        sg_json_text(json, "reason", i > 0 ? reason : NULL);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

void sg_quote_lack_json(void *context, const char *what, const char *where, const char *command)
{
    struct sg_json *json = context;
    sg_json_object(json, NULL);
    sg_json_text(json, "what", what);
    sg_json_text(json, "where", where);
    sg_json_text(json, "command", command);
    sg_json_end_object(json);
}

void sg_quote_json(struct sg_text *out, const struct sg_quote_view *view)
{
    const struct sg_quote *quote = view->quote;
    const struct sg_rates *rates = &view->shop->rates;
    const struct sg_job *job = &view->shop->jobs[quote->job];
    struct sg_json json;
    sg_json_start(&json, out);
    sg_json_text(&json, "job", job->id);
    sg_json_text(&json, "name", job->name);
    put_text(&json, "customer", job->customer);
    put_text(&json, "note", job->note);
    put_text(&json, "currency", rates->currency);
    sg_json_whole(&json, "decimals", rates->decimals);
    sg_json_yes(&json, "tax_included", false);
    put_day(&json, "made_on", view->today);
    put_day(&json, "holds_until", sg_quote_holds(view));
    put_text(&json, "terms", rates->terms);
    sg_json_yes(&json, "whole", quote->lacking == 0);
    put_price(&json, rates, quote->price, quote->lacks, quote->rows);
    put_rows(&json, rates, quote->rows, quote->lacks, quote->amounts);
    put_rates(&json, view);
    sg_json_array(&json, "lacking");
    sg_quote_lacks(view, sg_quote_lack_json, &json);
    sg_json_end_array(&json);
    put_parts(&json, view);
    put_breaks(&json, view);
    sg_json_finish(&json);
}
