/* A quote for people: what a customer is told, and below it, for the office, what the price is made of. */
#include "exchange/quote_render.h"

#include <stdio.h>
#include <string.h>

enum { WIDTH = 100, CELL = 80, PARTS_ABREAST = 6, KEY = 900 };

typedef char cell[CELL];

static const char *money(const struct sg_quote_view *view, int64_t cents, cell out)
{
    sg_money_write(cents, view->shop->rates.decimals, out, CELL);
    return out;
}

static const char *figure(const struct sg_shop *shop, enum sg_dimension dimension, double value, int decimals,
                          cell out)
{
    char number[40];
    const struct sg_unit *unit = sg_unit_of_shop(dimension, shop->units);
    sg_number_format(value, unit, decimals, number, sizeof number);
    snprintf(out, CELL, "%s %s", number, unit->name);
    return out;
}

/* "1/A": the job stands above. */
static void put_key(const struct sg_shop *shop, int32_t part, char *out, size_t size)
{
    snprintf(out, size, "%d/%s", (int)shop->stocks[shop->parts[part].stock].number, shop->parts[part].id);
}

static int width_of(const struct sg_quote_view *view)
{
    return view->width > 0 ? view->width : WIDTH;
}

static const char *currency_of(const struct sg_quote_view *view)
{
    return view->shop->rates.currency;
}

/* Each line of a text for itself. */
static void put_lines(struct sg_text *out, const struct sg_quote_view *view, const char *first,
                      const char *text)
{
    while (*text) {
        size_t length = strcspn(text, "\n");
        struct sg_text line = {0};
        sg_text_add(&line, text, length);
        out->failed = out->failed || line.failed;
        if (!line.failed)
            sg_wrap(out, first, 2, width_of(view), line.data);
        sg_text_free(&line);
        first = " ";
        text += length + (text[length] == '\n');
    }
}

/* ---- what a customer is told ---- */

static void put_heading(struct sg_text *out, const struct sg_quote_view *view)
{
    const struct sg_job *job = &view->shop->jobs[view->quote->job];
    char first[400];
    cell made, holds;
    snprintf(first, sizeof first, "QUOTE %s", job->id);
    sg_wrap(out, first, 2, width_of(view), job->name);
    if (job->customer[0])
        sg_wrap(out, "For", 2, width_of(view), job->customer);
    sg_date_format(view->today, made, sizeof made);
    sg_text_format(out, "Made %s", made);
    if (sg_quote_holds(view) != SG_NO_DATE) {
        sg_date_format(sg_quote_holds(view), holds, sizeof holds);
        sg_text_format(out, ", holds until %s", holds);
    }
    sg_text_put(out, "\n");
}

static bool is_whole(const struct sg_quote_part *part)
{
    unsigned lacks = 0;
    for (int row = 0; row < SG_COST_ROWS; row++)
        lacks |= part->lacks[row];
    return lacks == 0;
}

static void put_parts(struct sg_text *out, const struct sg_quote_view *view)
{
    const struct sg_quote *quote = view->quote;
    int64_t pieces = 0;
    struct sg_table table;
    cell c[4];
    sg_table_start(&table, (const char *[]){"Part", "Name", ">Pieces", ">Each", ">Price", ""}, 6);
    for (int32_t i = 0; i < quote->n_parts; i++) {
        const struct sg_quote_part *part = &quote->parts[i];
        char key[KEY];
        cell more;
        if (part->quantity == 0)
            continue;
        pieces += part->quantity;
        put_key(view->shop, part->part, key, sizeof key);
        snprintf(c[0], CELL, "%d", (int)part->quantity);
        snprintf(c[3], CELL, "%lld of them %s", (long long)part->dearer, money(view, part->each + 1, more));
        bool whole = is_whole(part);
        const char *remark = !whole ? "not the whole price" : part->dearer > 0 ? c[3] : "";
        sg_table_row(&table, (const char *[]){key, view->shop->parts[part->part].name, c[0],
                                              whole ? money(view, part->each, c[1]) : "?",
                                              money(view, part->price, c[2]), remark});
    }
    snprintf(c[0], CELL, "%lld", (long long)pieces);
    sg_table_row(&table, (const char *[]){"all", "", c[0], "", money(view, quote->price, c[2]), ""});
    sg_text_put(out, "\n");
    sg_table_put(&table, 0, out);
}

static void put_price(struct sg_text *out, const struct sg_quote_view *view, bool for_customer)
{
    const struct sg_quote *quote = view->quote;
    const char *currency = currency_of(view);
    struct sg_text words = {0};
    cell amount;
    sg_text_format(&words, "%s%s%s", money(view, quote->price, amount), currency[0] ? " " : "", currency);
    if (quote->lacking != 0) {
        sg_text_put(&words, " without ");
        sg_quote_without(&words, &view->shop->rates, quote->lacks, quote->rows);
        sg_text_put(&words, ": this is NOT THE WHOLE PRICE");
        sg_text_put(&words, for_customer ? "." : ", see \"Not known\" below.");
    } else {
        sg_text_put(&words, ".");
    }
    sg_text_put(&words, " Tax is left out.");
    out->failed = out->failed || words.failed;
    if (!words.failed)
        sg_wrap(out, quote->lacking ? "\nSo far" : "\nPrice", 2, width_of(view), words.data);
    sg_text_free(&words);
    put_lines(out, view, "Terms:", view->shop->rates.terms);
}

/* ---- price by quantity ---- */

/* One part alone: its pieces are the sets. */
static bool by_piece(const struct sg_quote_view *view)
{
    return view->n_breaks > 0 && view->breaks[0].pieces == view->breaks[0].sets;
}

static void put_set(struct sg_text *out, const struct sg_quote_view *view)
{
    int64_t sets = sg_job_sets(view->shop, view->quote->job);
    struct sg_text words = {0};
    for (int32_t i = 0, n = 0; i < view->quote->n_parts; i++) {
        const struct sg_quote_part *part = &view->quote->parts[i];
        char key[KEY];
        if (part->quantity == 0)
            continue;
        put_key(view->shop, part->part, key, sizeof key);
        sg_text_format(&words, "%s%lld of %s", n++ > 0 ? ", " : "", (long long)(part->quantity / sets), key);
    }
    sg_text_put(&words, ".");
    out->failed = out->failed || words.failed;
    if (!words.failed)
        sg_wrap(out, "A set is", 2, width_of(view), words.data);
    sg_text_free(&words);
}

static void put_breaks(struct sg_text *out, const struct sg_quote_view *view)
{
    bool piece = by_piece(view);
    int64_t now = sg_job_sets(view->shop, view->quote->job);
    struct sg_table table;
    sg_text_put(out, "\nPrice by quantity");
    sg_text_put(out, view->quote->lacking ? ", without what is not known\n" : "\n");
    if (!piece)
        put_set(out, view);
    sg_table_start(
        &table,
        (const char *[]){piece ? ">Pieces" : ">Sets", ">Price", piece ? ">A piece" : ">A set", "", ""}, 4);
    for (int i = 0; i < view->n_breaks; i++) {
        const struct sg_price_break *at = &view->breaks[i];
        cell c[3];
        snprintf(c[0], CELL, "%lld", (long long)at->sets);
        sg_table_row(&table, (const char *[]){c[0], money(view, at->price, c[1]),
                                              money(view, sg_price_of_set(at), c[2]),
                                              at->sets == now ? "this job" : ""});
    }
    sg_table_put(&table, 0, out);
}

static void put_reasons(struct sg_text *out, const struct sg_quote_view *view)
{
    bool piece = by_piece(view);
    if (view->n_breaks < 2)
        return;
    sg_text_format(out, "\nWhy a %s costs less or more\n", piece ? "piece" : "set");
    for (int i = 1; i < view->n_breaks; i++) {
        char first[100], reason[400];
        snprintf(first, sizeof first, "%lld %s, against %lld:", (long long)view->breaks[i].sets,
                 piece ? "pieces" : "sets", (long long)view->breaks[i - 1].sets);
        sg_price_reason(&view->breaks[i - 1], &view->breaks[i], view->shop->rates.decimals, reason,
                        sizeof reason);
        sg_wrap(out, first, 2, width_of(view), reason);
    }
}

/* ---- what the price is made of ---- */

static const char *amount_of(const struct sg_quote_view *view, int row, cell out)
{
    const struct sg_shop *shop = view->shop;
    double amount = row < SG_COST_SETUP ? view->quote->amounts[row] : (double)NAN;
    const char *one = row == SG_COST_TUBE ? "tube" : row == SG_COST_ORIFICE ? "orifice" : "sheet";
    out[0] = '\0';
    if (row < SG_COST_SETUP && !sg_known(amount)) {
        snprintf(out, CELL, "not known");
        return out;
    }
    switch (row) {
    case SG_COST_MACHINE:
    case SG_COST_LABOUR:
        sg_duration_format(amount, out, CELL);
        return out;
    case SG_COST_POWER:
        return figure(shop, SG_DIM_ENERGY, amount, 1, out);
    case SG_COST_WATER:
        return figure(shop, SG_DIM_VOLUME, amount, 0, out);
    case SG_COST_GARNET:
    case SG_COST_DISPOSAL:
        return figure(shop, SG_DIM_MASS, amount, 1, out);
    case SG_COST_TUBE:
    case SG_COST_ORIFICE:
    case SG_COST_MATERIAL: {
        char number[40];
        sg_number_short(amount, sg_unit_canonical(SG_DIM_NUMBER), 3, number, sizeof number);
        snprintf(out, CELL, "%s %s%s", number, one, strcmp(number, "1") == 0 ? "" : "s");
        return out;
    }
    case SG_COST_SETUP:
        snprintf(out, CELL, "once");
        return out;
    default:
        return out;
    }
}

static const char *show_rate(const struct sg_shop *shop, const char *name, cell out)
{
    const struct sg_field *field = sg_field_find(SG_KIND_RATES, name);
    struct sg_value value;
    sg_field_get(field, &shop->rates, &value);
    out[0] = '\0';
    if (value.none)
        return out;
    if (field->dimension == SG_DIM_RATIO) /* 33.33 % is not 33.3 % */
        snprintf(out, CELL, "%.7g%%", value.number[0] * 100);
    else
        sg_field_show(field, shop, &value, out, CELL);
    return out;
}

/* The price of a sheet, where the stocks have one in common. */
static const char *sheet_rate(const struct sg_quote_view *view, cell out)
{
    const struct sg_job *job = &view->shop->jobs[view->quote->job];
    const struct sg_stock *stocks = &view->shop->stocks[job->first_stock];
    bool same = true, theirs = true;
    for (int32_t i = 0; i < job->n_stocks; i++) {
        theirs = theirs && stocks[i].owner == SG_OWNER_CUSTOMER;
        same = same && stocks[i].owner == stocks[0].owner && stocks[i].sheet_price == stocks[0].sheet_price;
    }
    if (job->n_stocks == 1 && !theirs && !sg_known(stocks[0].sheet_price))
        out[0] = '\0';
    else if (theirs)
        snprintf(out, CELL, "the customer's own");
    else if (same)
        sg_number_short(stocks[0].sheet_price, sg_unit_canonical(SG_DIM_NUMBER), 4, out, CELL);
    else
        snprintf(out, CELL, "by stock");
    return out;
}

static const char *rate_of(const struct sg_quote_view *view, int row, cell out)
{
    const struct sg_shop *shop = view->shop;
    const struct sg_rates *rates = &shop->rates;
    cell share;
    if (row == SG_COST_MATERIAL)
        return sheet_rate(view, out);
    if (row == SG_COST_ADDITION) {
        bool margin = sg_known(rates->margin);
        show_rate(shop, sg_cost_word(row, rates), share);
        out[0] = '\0';
        if (share[0])
            snprintf(out, CELL, "%s of %s", share, margin ? "the price" : "the cost");
        return out;
    }
    if (row == SG_COST_MINIMUM) {
        snprintf(out, CELL, "up to %s", show_rate(shop, "minimum", share));
        return out;
    }
    return show_rate(shop, sg_cost_word(row, rates), out);
}

static bool takes_customers_sheets(const struct sg_quote_view *view)
{
    const struct sg_job *job = &view->shop->jobs[view->quote->job];
    bool theirs = false;
    for (int32_t i = job->first_stock; i < job->first_stock + job->n_stocks; i++)
        theirs = theirs || view->shop->stocks[i].owner == SG_OWNER_CUSTOMER;
    return theirs && view->quote->amounts[SG_COST_MATERIAL] != 0;
}

/* Rows that cost nothing and lack nothing are left out, but for sheets that the customer brings. */
static bool is_shown(const struct sg_quote_view *view, int row)
{
    const struct sg_quote *quote = view->quote;
    if (row == SG_COST_MATERIAL && takes_customers_sheets(view))
        return true;
    return quote->rows[row] != 0 || (quote->lacks[row] & ~(unsigned)SG_LACK_REST) != 0;
}

static void put_split(struct sg_text *out, const struct sg_quote_view *view)
{
    const struct sg_quote *quote = view->quote;
    struct sg_table table;
    cell c[3];
    sg_table_start(&table, (const char *[]){"What", ">For", ">At", ">Price", ""}, 5);
    for (int row = 0; row < SG_COST_ROWS; row++) {
        if (!is_shown(view, row))
            continue;
        bool lacks = quote->lacks[row] != 0, some = quote->rows[row] > 0;
        sg_table_row(&table, (const char *[]){sg_quote_row(row, &view->shop->rates),
                                              amount_of(view, row, c[0]), rate_of(view, row, c[1]),
                                              lacks && !some ? "?" : money(view, quote->rows[row], c[2]),
                                              !lacks ? ""
                                              : some ? "and what is not known"
                                                     : "not known"});
    }
    sg_table_row(&table, (const char *[]){"all", "", "", money(view, quote->price, c[0]),
                                          quote->lacking ? "of what is known" : ""});
    sg_table_put(&table, 0, out);
}

/* The split of up to PARTS_ABREAST parts side by side. */
static void put_block(struct sg_text *out, const struct sg_quote_view *view, const int32_t *parts, int n)
{
    const struct sg_quote *quote = view->quote;
    const char *cells[PARTS_ABREAST + 1];
    char keys[PARTS_ABREAST][KEY];
    cell c[PARTS_ABREAST];
    struct sg_table table;
    cells[0] = "What";
    for (int i = 0; i < n; i++) {
        keys[i][0] = '>';
        put_key(view->shop, quote->parts[parts[i]].part, keys[i] + 1, sizeof keys[i] - 1);
        cells[i + 1] = keys[i];
    }
    sg_table_start(&table, cells, n + 1);
    for (int row = 0; row < SG_COST_ROWS; row++) {
        if (!is_shown(view, row))
            continue;
        cells[0] = sg_quote_row(row, &view->shop->rates);
        for (int i = 0; i < n; i++) {
            const struct sg_quote_part *part = &quote->parts[parts[i]];
            cells[i + 1] = part->lacks[row] ? "?" : money(view, part->rows[row], c[i]);
        }
        sg_table_row(&table, cells);
    }
    cells[0] = "all";
    for (int i = 0; i < n; i++)
        cells[i + 1] = money(view, quote->parts[parts[i]].price, c[i]);
    sg_table_row(&table, cells);
    sg_text_put(out, "\n");
    sg_table_put(&table, 0, out);
}

static void put_parts_split(struct sg_text *out, const struct sg_quote_view *view)
{
    int32_t parts[PARTS_ABREAST], priced = 0;
    int n = 0;
    for (int32_t i = 0; i < view->quote->n_parts; i++)
        priced += view->quote->parts[i].quantity > 0;
    for (int32_t i = 0; i < view->quote->n_parts && priced > 1; i++) {
        if (view->quote->parts[i].quantity > 0)
            parts[n++] = i;
        if (n == PARTS_ABREAST) {
            put_block(out, view, parts, n);
            n = 0;
        }
    }
    if (n > 0)
        put_block(out, view, parts, n);
}

struct lacks {
    struct sg_text *out;
    const struct sg_quote_view *view;
};

static void put_lack(void *context, const char *what, const char *where, const char *command)
{
    const struct lacks *lacks = context;
    (void)where; /* the command has it */
    sg_quote_put_lack(lacks->out, width_of(lacks->view), what, command);
}

static void put_scrap(struct sg_text *out, const struct sg_quote_view *view)
{
    int64_t scrap = 0;
    for (int32_t i = 0; i < view->quote->n_parts; i++)
        if (view->quote->parts[i].quantity > 0)
            scrap += view->shop->parts[view->quote->parts[i].part].scrap;
    if (scrap > 0)
        sg_text_format(out, "%lld piece%s of scrap %s allowed for, and paid for by the good ones.\n",
                       (long long)scrap, scrap == 1 ? "" : "s", scrap == 1 ? "is" : "are");
}

static void put_for_customer(struct sg_text *out, const struct sg_quote_view *view, bool alone)
{
    put_heading(out, view);
    put_parts(out, view);
    put_price(out, view, alone);
    if (view->n_breaks > 0)
        put_breaks(out, view);
}

void sg_quote_customer_text(struct sg_text *out, const struct sg_quote_view *view)
{
    put_for_customer(out, view, true);
}

/* What times and price are worth. */
static void put_basis(struct sg_text *out, const struct sg_quote_view *view)
{
    const struct sg_job *job = &view->shop->jobs[view->quote->job];
    struct sg_text words = {0};
    sg_text_put(&words,
                "and garnet are those of the job planned alone, from a full hopper, so the price is the same "
                "whatever else is cut that day; of the chores of a shift it pays the share of eight hours "
                "that its machine time takes. Waiting is not charged. ");
    sg_trust_words(&words, view->shop, job->first_stock, job->n_stocks, ".");
    out->failed = out->failed || words.failed;
    if (words.data && !words.failed)
        sg_wrap(out, "Times", 0, width_of(view), words.data);
    sg_text_free(&words);
}

void sg_quote_text(struct sg_text *out, const struct sg_quote_view *view)
{
    const char *note = view->shop->jobs[view->quote->job].note;
    put_for_customer(out, view, false);
    sg_text_put(out, "\n---- for the office only ----\n\n");
    put_lines(out, view, "Note:", note);
    sg_text_put(out, note[0] ? "\n" : "");
    if (view->quote->lacking) {
        sg_text_put(out, "Not known\n");
        sg_quote_lacks(view, put_lack, &(struct lacks){out, view});
        sg_text_put(out, "\n");
    }
    put_split(out, view);
    put_parts_split(out, view);
    put_reasons(out, view);
    sg_text_put(out, "\n");
    put_scrap(out, view);
    put_basis(out, view);
}
