/* What the forms of a quote share: words, and what is not known with the command that sets it. */
#include "exchange/quote_render.h"

#include <stdio.h>
#include <string.h>

const char *sg_quote_row(int row, const struct sg_rates *rates)
{
    if (row == SG_COST_SETUP)
        return "set-up";
    if (row == SG_COST_ADDITION && !sg_known(rates->margin))
        return "mark-up";
    return sg_cost_word(row, rates);
}

int32_t sg_quote_holds(const struct sg_quote_view *view)
{
    int32_t days = view->shop->rates.valid_days;
    return days == SG_UNKNOWN ? SG_NO_DATE : view->today + days;
}

double sg_money_of(int64_t cents, int decimals)
{
    double scale = 1;
    for (int i = 0; i < decimals; i++)
        scale *= 10;
    return (double)cents / scale;
}

/* Rows that lack something of their own (the minimum lacks only what others lack), of which nothing or a part
 * is known. */
static int put_lacking(struct sg_text *out, const struct sg_rates *rates, const unsigned *lacks,
                       const int64_t *known, bool part)
{
    int left = 0, n = 0;
    bool told[SG_COST_ROWS];
    for (int row = 0; row < SG_COST_ROWS; row++) {
        told[row] = (lacks[row] & ~(unsigned)SG_LACK_REST) != 0 && (known[row] > 0) == part;
        left += told[row];
    }
    for (int row = 0; row < SG_COST_ROWS; row++)
        if (told[row]) {
            sg_text_put(out, n == 0 ? "" : n + 1 == left ? " and " : ", ");
            sg_text_put(out, sg_quote_row(row, rates));
            n++;
        }
    return n;
}

void sg_quote_without(struct sg_text *out, const struct sg_rates *rates, const unsigned *lacks,
                      const int64_t *known)
{
    struct sg_text part = {0};
    int whole = put_lacking(out, rates, lacks, known, false);
    int in_part = put_lacking(&part, rates, lacks, known, true);
    if (in_part > 0 && !part.failed)
        sg_text_format(out, "%spart of %s", whole > 0 ? ", and " : "", part.data);
    if (whole + in_part == 0 && lacks[SG_COST_MINIMUM] != 0) /* it hangs on what the other parts cost */
        sg_text_put(out, sg_quote_row(SG_COST_MINIMUM, rates));
    out->failed = out->failed || part.failed;
    sg_text_free(&part);
}

/* ---- what is not known ---- */

/* What is told of: a job with what its plan or price lacks. part says which lacks a part has. */
struct lacking {
    const struct sg_shop *shop;
    const struct sg_quote *quote; /* NULL: bits of the job only */
    const struct sg_job *job;
    unsigned bits;
    sg_quote_lack *say;
    void *context;
};

static const struct {
    unsigned lack;
    const char *field, *what;
} of_rates[] = {
    {SG_LACK_MACHINE, "machine", "an hour of the machine"},
    {SG_LACK_LABOUR, "labour", "an hour of work by hand"},
    {SG_LACK_POWER, "power", "a kWh at the pump"},
    {SG_LACK_WATER, "water", "the water"},
    {SG_LACK_GARNET, "garnet", "the garnet"},
    {SG_LACK_DISPOSAL, "disposal", "disposal of the garnet"},
    {SG_LACK_TUBE, "tube", "a mixing tube"},
    {SG_LACK_ORIFICE, "orifice", "an orifice"},
    {SG_LACK_SETUP, "setup", "set-up of a job"},
};

bool sg_rates_any(const struct sg_rates *rates)
{
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_RATES, &count);
    for (int i = 0; i < count; i++) {
        struct sg_value value;
        sg_field_get(&fields[i], rates, &value);
        if (fields[i].type == SG_FIELD_NUMBER && !value.none)
            return true;
    }
    return false;
}

/* A key as a shell takes it as one word. */
static void put_word(struct sg_text *out, const char *key)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./:";
    if (key[strspn(key, plain)] == '\0') {
        sg_text_put(out, key);
        return;
    }
    sg_text_put(out, "'");
    for (const char *c = key; *c; c++)
        if (*c == '\'')
            sg_text_put(out, "'\\''");
        else
            sg_text_add(out, c, 1);
    sg_text_put(out, "'");
}

static void say_key(const struct lacking *l, const char *what, struct sg_target target, const char *verb,
                    const char *words)
{
    char key[1200];
    struct sg_text command = {0};
    sg_key_write(l->shop, target, key, sizeof key);
    sg_text_format(&command, "sandglass %s ", verb);
    put_word(&command, key);
    sg_text_format(&command, " %s", words);
    if (!command.failed)
        l->say(l->context, what, key, command.data);
    sg_text_free(&command);
}

static void say_rates(const struct lacking *l)
{
    const struct sg_target rates = {SG_KIND_RATES, 0};
    for (size_t i = 0; i < sizeof of_rates / sizeof *of_rates; i++) {
        char words[80];
        const struct sg_unit *unit =
            sg_field_unit(sg_field_find(SG_KIND_RATES, of_rates[i].field), l->shop->units);
        snprintf(words, sizeof words, "%s=PRICE%s", of_rates[i].field, unit ? unit->name : "");
        if (l->bits & of_rates[i].lack)
            say_key(l, of_rates[i].what, rates, "set", words);
    }
    if (l->bits & SG_LACK_ADDITION)
        say_key(l, "mark-up, or a margin instead", rates, "set", "mark_up=PERCENT");
}

/* Lacks of a row among the parts of a stock. */
static bool stock_lacks(const struct lacking *l, const struct sg_stock *stock, unsigned lack)
{
    for (int32_t i = 0; l->quote && i < l->quote->n_parts; i++) {
        const struct sg_quote_part *part = &l->quote->parts[i];
        if (&l->shop->stocks[l->shop->parts[part->part].stock] != stock)
            continue;
        for (int row = 0; row < SG_COST_ROWS; row++)
            if (part->lacks[row] & lack)
                return true;
    }
    return !l->quote && l->bits & lack;
}

static bool lacks_box(const struct sg_part *part)
{
    return part->quantity > 0 && (!sg_known(part->length) || !sg_known(part->width));
}

/* Its cut is not known, and no drawing says it. */
static bool lacks_cut(const struct sg_part *part)
{
    return part->quantity > 0 && !sg_known(part->cut_length);
}

/* Whether its box lies on a whole sheet. */
static bool fits(const struct sg_stock *stock, const struct sg_part *part)
{
    double length = stock->sheet_length - 2 * stock->margin, width = stock->sheet_width - 2 * stock->margin;
    bool straight = part->length <= length && part->width <= width;
    return straight || (stock->turn && part->length <= width && part->width <= length);
}

/* Whether a part of the stock is so. */
static bool any_part(const struct sg_shop *shop, const struct sg_stock *stock,
                     bool (*is)(const struct sg_stock *stock, const struct sg_part *part))
{
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        if (is(stock, &shop->parts[i]))
            return true;
    return false;
}

static bool is_without_box(const struct sg_stock *stock, const struct sg_part *part)
{
    (void)stock;
    return lacks_box(part);
}

static bool is_too_large(const struct sg_stock *stock, const struct sg_part *part)
{
    return part->quantity > 0 && !fits(stock, part);
}

static void say_stock(const struct lacking *l, int32_t index)
{
    const struct sg_stock *stock = &l->shop->stocks[index];
    const struct sg_target target = {SG_KIND_STOCK, index};
    bool no_size = !sg_known(stock->sheet_length) || !sg_known(stock->sheet_width);
    if (stock_lacks(l, stock, SG_LACK_SHEET_PRICE) && !sg_known(stock->sheet_price) &&
        stock->owner == SG_OWNER_SHOP)
        say_key(l, "a whole sheet (owner=customer where it is theirs)", target, "set", "sheet_price=PRICE");
    if (stock_lacks(l, stock, SG_LACK_SHEETS) && no_size)
        say_key(l, "how many sheets it takes", target, "set", "sheet_length=LENGTH sheet_width=LENGTH");
    if (stock_lacks(l, stock, SG_LACK_TIME) && stock->material == SG_UNKNOWN)
        say_key(l, "how long its parts take", target, "set", "material=NAME");
}

static bool is_untimed(const struct lacking *l, int32_t part)
{
    for (int32_t i = 0; l->quote && i < l->quote->n_parts; i++)
        if (l->quote->parts[i].part == part)
            return l->quote->parts[i].lacks[SG_COST_MACHINE] & SG_LACK_TIME;
    return false;
}

/* The part that keeps its stock from being laid out, or is the reason itself why it cannot be timed. */
static void say_part(const struct lacking *l, int32_t index)
{
    const struct sg_part *part = &l->shop->parts[index];
    const struct sg_stock *stock = &l->shop->stocks[part->stock];
    const struct sg_target target = {SG_KIND_PART, index};
    bool sheets = stock_lacks(l, stock, SG_LACK_SHEETS), untimed = is_untimed(l, index);
    bool box = sheets && lacks_box(part), cut = untimed && lacks_cut(part);
    bool no_size = !sg_known(stock->sheet_length) || !sg_known(stock->sheet_width);
    if (part->quantity == 0)
        return;
    if (box && cut)
        say_key(l, "how long it takes, on how many sheets", target, "set",
                "cut_length=LENGTH length=LENGTH width=LENGTH");
    else if (cut)
        say_key(l, "how long it takes", target, "set", "cut_length=LENGTH");
    else if (box)
        say_key(l, "how many sheets it takes", target, "set", "length=LENGTH width=LENGTH");
    if (sheets && !no_size && !any_part(l->shop, stock, is_without_box) &&
        (!fits(stock, part) || !any_part(l->shop, stock, is_too_large)))
        say_key(l, "how many sheets it takes", target, "why", "sheets");
    if (untimed && !cut && stock->material != SG_UNKNOWN)
        say_key(l, "how long it takes", target, "why", "each");
}

static void say_lives(const struct lacking *l, int32_t head)
{
    const struct sg_target target = {SG_KIND_HEAD, head};
    bool cuts = false;
    for (int32_t i = 0; i < l->job->n_stocks; i++)
        cuts = cuts || sg_setup_head(l->shop, &l->shop->stocks[l->job->first_stock + i]) == head;
    if (cuts && l->bits & SG_LACK_TUBE_LIFE && !sg_known(l->shop->heads[head].tube_life))
        say_key(l, "how long a mixing tube lasts", target, "set", "tube_life=HOURS");
    if (cuts && l->bits & SG_LACK_ORIFICE_LIFE && !sg_known(l->shop->heads[head].orifice_life))
        say_key(l, "how long an orifice lasts", target, "set", "orifice_life=HOURS");
}

static void say_all(const struct lacking *l)
{
    say_rates(l);
    for (int32_t i = 0; i < l->shop->n_heads; i++)
        say_lives(l, i);
    for (int32_t i = l->job->first_stock; i < l->job->first_stock + l->job->n_stocks; i++) {
        const struct sg_stock *stock = &l->shop->stocks[i];
        say_stock(l, i);
        for (int32_t k = stock->first_part; k < stock->first_part + stock->n_parts; k++)
            say_part(l, k);
    }
    if (l->bits & SG_LACK_RUN && !(l->bits & SG_LACK_TIME)) { /* else a part that is not timed stops it */
        struct sg_text command = {0};
        const char *shift = l->shop->shifts[l->job->shift].id;
        sg_text_put(&command, "sandglass plan ");
        put_word(&command, shift);
        if (!command.failed)
            l->say(l->context, "when the job is done: its plan stops before", shift, command.data);
        sg_text_free(&command);
    }
}

void sg_quote_put_lack(struct sg_text *out, int width, const char *what, const char *command)
{
    char first[300];
    snprintf(first, sizeof first, "  %s:", what);
    int length = (int)strlen(command), left = width - (int)strlen(first) - 1;
    if (length > left && length <= width - 4)
        sg_text_format(out, "%s\n    %s\n", first, command);
    else
        sg_wrap(out, first, 4, width, command);
}

void sg_quote_lacks(const struct sg_quote_view *view, sg_quote_lack *say, void *context)
{
    const struct lacking l = {
        .shop = view->shop,
        .quote = view->quote,
        .job = &view->shop->jobs[view->quote->job],
        .bits = view->quote->lacking,
        .say = say,
        .context = context,
    };
    say_all(&l);
}

void sg_lacks_of_job(const struct sg_shop *shop, int32_t job, unsigned lacking, sg_quote_lack *say,
                     void *context)
{
    const struct lacking l = {
        .shop = shop, .job = &shop->jobs[job], .bits = lacking, .say = say, .context = context};
    say_all(&l);
}
