/* Rates that can be, and the words and sentences of a price. */
#include "cost_inside.h"

#include <stdio.h>
#include <string.h>

/* ---- rates ---- */

static const struct {
    const char *name;
    size_t offset;
} rate_names[] = {
    {"machine", offsetof(struct sg_rates, machine)}, {"labour", offsetof(struct sg_rates, labour)},
    {"power", offsetof(struct sg_rates, power)},     {"water", offsetof(struct sg_rates, water)},
    {"garnet", offsetof(struct sg_rates, garnet)},   {"disposal", offsetof(struct sg_rates, disposal)},
    {"tube", offsetof(struct sg_rates, tube)},       {"orifice", offsetof(struct sg_rates, orifice)},
    {"setup", offsetof(struct sg_rates, setup)},     {"mark_up", offsetof(struct sg_rates, mark_up)},
    {"margin", offsetof(struct sg_rates, margin)},   {"minimum", offsetof(struct sg_rates, minimum)},
};

enum sg_status sg_rates_check(const struct sg_rates *rates, struct sg_error *error)
{
    for (size_t i = 0; i < sizeof rate_names / sizeof *rate_names; i++) {
        double value = *(const double *)(const void *)((const char *)rates + rate_names[i].offset);
        if (sg_known(value) && !(value >= 0 && isfinite(value)))
            return sg_fail(error, SG_BAD_DATA,
                           "the rate %s is %g: type 0 or more, or none where it is not known",
                           rate_names[i].name, value);
    }
    if (sg_known(rates->mark_up) && sg_known(rates->margin))
        return sg_fail(error, SG_BAD_DATA,
                       "mark_up and margin are both there: type one of them, none in the other");
    if (sg_known(rates->margin) && rates->margin >= 1)
        return sg_fail(error, SG_BAD_DATA,
                       "a margin of %g %% leaves no price: it is a share of the price, below 100 %%",
                       rates->margin * 100);
    if (rates->decimals < 0 || rates->decimals > SG_MONEY_DECIMALS_MAX)
        return sg_fail(error, SG_BAD_DATA, "%d decimals of the currency: type 0 to %d", (int)rates->decimals,
                       SG_MONEY_DECIMALS_MAX);
    return SG_OK;
}

/* ---- words ---- */

const char *sg_cost_word(int row, const struct sg_rates *rates)
{
    static const char *const words[SG_COST_ROWS] = {"machine",  "labour",   "power",   "water",
                                                    "garnet",   "disposal", "tube",    "orifice",
                                                    "material", "setup",    "mark_up", "minimum"};
    return row == SG_COST_ADDITION && sg_known(rates->margin) ? "margin" : words[row];
}

static const struct {
    const char *word, *falls, *rises;
} causes[SG_CAUSES] = {
    [SG_CAUSE_CUTTING] = {"cutting", "less cutting", "more cutting"},
    [SG_CAUSE_SETUP] = {"setup", "set-up shared by more", "set-up shared by fewer"},
    [SG_CAUSE_SHEETS] = {"sheets", "fuller sheets", "emptier sheets"},
    [SG_CAUSE_LOADS] = {"loads", "fewer loads a piece", "more loads a piece"},
    [SG_CAUSE_REFILLS] = {"refills", "fewer refills", "more refills"},
    [SG_CAUSE_CHANGES] = {"changes", "fewer tube and orifice changes", "more tube and orifice changes"},
    [SG_CAUSE_MINIMUM] = {"minimum", "minimum price shared by more", "to the minimum price"},
};

const char *sg_price_cause_word(int cause)
{
    return causes[cause].word;
}

static const char *const lacks_words[SG_LACKS] = {
    "machine per hour",
    "labour per hour",
    "power per kWh",
    "water per m3",
    "garnet per kg",
    "disposal per kg",
    "price of a tube",
    "price of an orifice",
    "sheet_price of a stock",
    "set-up",
    "mark_up or margin",
    "tube_life of a head",
    "orifice_life of a head",
    "how many sheets it takes",
    "how long a part takes",
    "the end of the job, which the plan does not reach",
    "the rows above, for the minimum price",
};

/* Text that is put together piece by piece, and how long it would be. */
struct text {
    char *out;
    size_t size, length;
};

static void put(struct text *t, const char *piece)
{
    size_t length = strlen(piece);
    if (t->length < t->size) {
        size_t room = t->size - t->length - 1, take = length < room ? length : room;
        memcpy(t->out + t->length, piece, take);
        t->out[t->length + take] = '\0';
    }
    t->length += length;
}

static struct text start_text(char *out, size_t size)
{
    if (size > 0)
        out[0] = '\0';
    return (struct text){out, size, 0};
}

int sg_lacks_text(unsigned lacks, char *out, size_t size)
{
    struct text t = start_text(out, size);
    for (unsigned i = 0; i < SG_LACKS; i++)
        if (lacks & 1u << i) {
            put(&t, t.length > 0 ? ", " : "");
            put(&t, lacks_words[i]);
        }
    return (int)t.length;
}

/* ---- money ---- */

int sg_money_write(int64_t cents, int decimals, char *out, size_t size)
{
    uint64_t value = cents < 0 ? 0 - (uint64_t)cents : (uint64_t)cents, scale = 1;
    for (int i = 0; i < decimals; i++)
        scale *= 10;
    const char *sign = cents < 0 ? "-" : "";
    if (decimals == 0)
        return snprintf(out, size, "%s%llu", sign, (unsigned long long)value);
    return snprintf(out, size, "%s%llu.%0*llu", sign, (unsigned long long)(value / scale), decimals,
                    (unsigned long long)(value % scale));
}

/* Causes whose cents go one way, the larger first. */
static void put_causes(struct text *t, const int64_t *cents, int sign, int decimals)
{
    bool said[SG_CAUSES] = {false};
    for (int n = 0;; n++) {
        int best = SG_UNKNOWN;
        for (int k = 0; k < SG_CAUSES; k++)
            if (!said[k] && cents[k] * sign > 0 &&
                (best == SG_UNKNOWN || cents[k] * sign > cents[best] * sign))
                best = k;
        if (best == SG_UNKNOWN)
            return;
        char amount[32];
        said[best] = true;
        sg_money_write(cents[best] * sign, decimals, amount, sizeof amount);
        put(t, n > 0 ? ", " : "");
        put(t, amount);
        put(t, " ");
        put(t, cents[best] < 0 ? causes[best].falls : causes[best].rises);
    }
}

static bool any(const int64_t *cents, int sign)
{
    for (int k = 0; k < SG_CAUSES; k++)
        if (cents[k] * sign > 0)
            return true;
    return false;
}

int64_t sg_price_of_set(const struct sg_price_break *at)
{
    return llround((double)at->price / (double)at->sets);
}

/* A cause that moved less than the rounding of its cents did not move: what it seems to goes to the one that
 * moved most, so that the sum stays. */
static void drop_noise(double *wants, double noise)
{
    int most = 0;
    for (int k = 1; k < SG_CAUSES; k++)
        most = fabs(wants[k]) > fabs(wants[most]) ? k : most;
    for (int k = 0; k < SG_CAUSES; k++)
        if (k != most && fabs(wants[k]) < noise) {
            wants[most] += wants[k];
            wants[k] = 0;
        }
}

int sg_price_reason(const struct sg_price_break *before, const struct sg_price_break *after, int decimals,
                    char *out, size_t size)
{
    double wants[SG_CAUSES];
    int64_t cents[SG_CAUSES];
    struct sg_cent_place scratch[SG_CAUSES];
    struct text t = start_text(out, size);
    char amount[32];
    for (int k = 0; k < SG_CAUSES; k++)
        wants[k] =
            (double)after->causes[k] / (double)after->sets - (double)before->causes[k] / (double)before->sets;
    drop_noise(wants, 1 / (double)before->sets + 1 / (double)after->sets);
    int64_t total = sg_price_of_set(after) - sg_price_of_set(before);
    sg_deal_cents(wants, SG_CAUSES, total, NULL, scratch, cents);
    int way = total > 0 ? 1 : -1;
    if (total == 0) {
        put(&t, "the same");
    } else {
        sg_money_write(total * way, decimals, amount, sizeof amount);
        put(&t, amount);
        put(&t, way > 0 ? " more" : " less");
    }
    if (any(cents, way) || any(cents, -way))
        put(&t, ": ");
    put_causes(&t, cents, way, decimals);
    if (any(cents, -way)) {
        put(&t, any(cents, way) ? ", but " : "");
        put_causes(&t, cents, -way, decimals);
    }
    return (int)t.length;
}
