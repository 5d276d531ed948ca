/* A quote as a table for the office's own sheets: a row a part. */
#include "exchange/quote_render.h"

#include <stdio.h>

/* What the rows are for, as columns. */
static const struct {
    const char *title;
    enum sg_dimension dimension; /* VOLUME and MASS get their unit behind the title */
} amounts[SG_COST_SETUP] = {
    [SG_COST_MACHINE] = {"machine_s", SG_DIM_DURATION}, [SG_COST_LABOUR] = {"labour_s", SG_DIM_DURATION},
    [SG_COST_POWER] = {"power_kwh", SG_DIM_ENERGY},     [SG_COST_WATER] = {"water", SG_DIM_VOLUME},
    [SG_COST_GARNET] = {"garnet", SG_DIM_MASS},         [SG_COST_DISPOSAL] = {"disposal", SG_DIM_MASS},
    [SG_COST_TUBE] = {"tubes", SG_DIM_NUMBER},          [SG_COST_ORIFICE] = {"orifices", SG_DIM_NUMBER},
    [SG_COST_MATERIAL] = {"sheets", SG_DIM_NUMBER},
};

static const char *const leading[] = {"job",      "customer", "stock", "part", "name",         "quantity",
                                      "currency", "price",    "known", "each", "a_cent_dearer"};

static void next_text(struct sg_text *out, const char *cell)
{
    sg_csv_next(out, &sg_csv_plain);
    sg_csv_text(out, &sg_csv_plain, cell);
}

/* An amount of money; empty where it is not known. Its decimals are always those of the currency. */
static void next_money(struct sg_text *out, int64_t cents, int decimals, bool known)
{
    char text[40] = "";
    if (known)
        sg_money_write(cents, decimals, text, sizeof text);
    sg_csv_next(out, &sg_csv_plain);
    sg_text_put(out, text);
}

static void put_header(struct sg_text *out, const struct sg_rates *rates, enum sg_unit_system units)
{
    char title[60];
    sg_csv_text(out, &sg_csv_plain, leading[0]);
    for (size_t i = 1; i < sizeof leading / sizeof *leading; i++)
        next_text(out, leading[i]);
    for (int row = 0; row < SG_COST_ROWS; row++) {
        snprintf(title, sizeof title, "%s_price", sg_cost_word(row, rates));
        next_text(out, title);
    }
    for (int row = 0; row < SG_COST_SETUP; row++) {
        enum sg_dimension dimension = amounts[row].dimension;
        bool unit = dimension == SG_DIM_VOLUME || dimension == SG_DIM_MASS;
        snprintf(title, sizeof title, "%s%s%s", amounts[row].title, unit ? "_" : "",
                 unit ? sg_unit_of_shop(dimension, units)->name : "");
        for (char *c = title; *c; c++)
            *c = *c == 'L' ? 'l' : *c; /* as in the names of JSON */
        next_text(out, title);
    }
    next_text(out, "without");
    next_text(out, "holds_until");
    sg_csv_end(out);
}

static void put_leading(struct sg_text *out, const struct sg_quote_view *view,
                        const struct sg_quote_part *quoted, bool whole)
{
    const struct sg_shop *shop = view->shop;
    const struct sg_job *job = &shop->jobs[view->quote->job];
    const struct sg_part *part = &shop->parts[quoted->part];
    int decimals = shop->rates.decimals;
    sg_csv_text(out, &sg_csv_plain, job->id);
    next_text(out, job->customer);
    sg_csv_next(out, &sg_csv_plain);
    sg_csv_whole(out, &sg_csv_plain, shop->stocks[part->stock].number);
    next_text(out, part->id);
    next_text(out, part->name);
    sg_csv_next(out, &sg_csv_plain);
    sg_csv_whole(out, &sg_csv_plain, quoted->quantity);
    next_text(out, shop->rates.currency);
    next_money(out, quoted->price, decimals, whole);
    next_money(out, quoted->price, decimals, true);
    whole = whole && quoted->quantity > 0;
    next_money(out, quoted->each, decimals, whole); /* quantity x each, and so many pieces a cent more */
    sg_csv_next(out, &sg_csv_plain);
    if (whole)
        sg_csv_whole(out, &sg_csv_plain, quoted->dearer);
}

static void put_part(struct sg_text *out, const struct sg_quote_view *view,
                     const struct sg_quote_part *quoted, enum sg_unit_system units)
{
    const struct sg_rates *rates = &view->shop->rates;
    struct sg_text without = {0};
    char holds[40] = "";
    bool whole = true;
    for (int row = 0; row < SG_COST_ROWS; row++)
        whole = whole && quoted->lacks[row] == 0;
    put_leading(out, view, quoted, whole);
    for (int row = 0; row < SG_COST_ROWS; row++)
        next_money(out, quoted->rows[row], rates->decimals, quoted->lacks[row] == 0);
    for (int row = 0; row < SG_COST_SETUP; row++) {
        sg_csv_next(out, &sg_csv_plain);
        const struct sg_unit *unit = sg_unit_of_shop(amounts[row].dimension, units);
        if (amounts[row].dimension == SG_DIM_DURATION || amounts[row].dimension == SG_DIM_NUMBER)
            unit = sg_unit_canonical(amounts[row].dimension);
        sg_csv_number(out, &sg_csv_plain, (double)sg_from_canonical(quoted->amounts[row], unit));
    }
    sg_quote_without(&without, rates, quoted->lacks, quoted->rows);
    next_text(out, without.data ? without.data : "");
    out->failed = out->failed || without.failed;
    sg_text_free(&without);
    if (sg_quote_holds(view) != SG_NO_DATE)
        sg_date_format(sg_quote_holds(view), holds, sizeof holds);
    next_text(out, holds);
    sg_csv_end(out);
}

void sg_quote_csv(struct sg_text *out, const struct sg_quote_view *view, enum sg_unit_system units)
{
    put_header(out, &view->shop->rates, units);
    for (int32_t i = 0; i < view->quote->n_parts; i++)
        put_part(out, view, &view->quote->parts[i], units);
}
