/* The price of a job. */
#include "cli/cli.h"
#include "exchange/quote_render.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

struct quoting {
    const struct sg_args *args;
    const struct sg_shop *shop;
    struct sg_planner *planner;
    struct sg_arena arena;
    struct sg_quote quote;
    int32_t job;
    int64_t sets[SG_PRICE_BREAKS_MAX];
    struct sg_price_break breaks[SG_PRICE_BREAKS_MAX];
    int n_breaks;
};

/* ---- quantities ---- */

/* In rising order, each once. */
static void sort_sets(struct quoting *q)
{
    int n = 0;
    for (int i = 0; i < q->n_breaks; i++) {
        int64_t sets = q->sets[i];
        int at = n;
        while (at > 0 && q->sets[at - 1] > sets)
            at--;
        if (at > 0 && q->sets[at - 1] == sets)
            continue;
        memmove(&q->sets[at + 1], &q->sets[at], (size_t)(n - at) * sizeof *q->sets);
        q->sets[at] = sets;
        n++;
    }
    q->n_breaks = n;
}

/* Read 1,10,100, in any order. */
static enum sg_status read_sets(const char *text, struct quoting *q, struct sg_error *error)
{
    for (const char *at = text;; at++) {
        char *end;
        errno = 0;
        long long sets = strtoll(at, &end, 10);
        bool digit = *at >= '0' && *at <= '9';
        if (!digit || errno != 0 || (*end != ',' && *end != '\0'))
            return sg_fail(error, SG_USAGE,
                           "--sets %.60s: \"%.20s\" is no whole number of sets; type them with commas "
                           "between, as 1,10,100",
                           text, at);
        if (q->n_breaks == SG_PRICE_BREAKS_MAX)
            return sg_fail(error, SG_USAGE, "--sets %.60s...: at most %d quantities", text,
                           SG_PRICE_BREAKS_MAX);
        q->sets[q->n_breaks++] = sets;
        at = end;
        if (*at == '\0')
            break;
    }
    sort_sets(q);
    return SG_OK;
}

/* ---- the quote ---- */

static enum sg_status find_job(struct quoting *q, struct sg_error *error)
{
    struct sg_target target;
    const char *key = q->args->words[0];
    enum sg_status status = sg_key_find(q->shop, key, &target, error);
    if (status != SG_OK)
        return status;
    if (target.kind != SG_KIND_JOB)
        return sg_fail(error, SG_BAD_DATA, "a quote is of a JOB; %.60s is a %s", key,
                       sg_kind_word(target.kind));
    q->job = target.index;
    if (!sg_rates_any(&q->shop->rates))
        return sg_fail(
            error, SG_BAD_DATA,
            "no rates are set, so nothing has a price: `sandglass set rates:%s machine=PRICE/h` and "
            "so on; `sandglass set rates:%s --list` names them",
            q->shop->rates.name, q->shop->rates.name);
    return SG_OK;
}

/* The quantities that nobody asked for: one that cannot be planned ends them, as those after it are larger.
 */
static void price_usual(struct quoting *q)
{
    struct sg_error error;
    int64_t sets[SG_PRICE_QUANTITIES + 1];
    int n = sg_usual_sets(q->shop, q->job, sets);
    for (; q->n_breaks < n; q->n_breaks++)
        if (sg_quote_breaks(q->planner, q->shop, q->job, &q->shop->rates, &sets[q->n_breaks], 1,
                            &q->breaks[q->n_breaks], &error) != SG_OK) {
            sg_cli_say(SG_OK, "no price of %lld sets: %s", (long long)sets[q->n_breaks], error.text);
            return;
        }
}

static enum sg_status price(struct quoting *q, struct sg_error *error)
{
    const char *sets = sg_option(q->args, "sets");
    enum sg_status status = find_job(q, error);
    if (status == SG_OK && !(q->planner = sg_planner_new()))
        status = sg_fail(error, SG_FAULT, "no memory to price job %s", q->args->words[0]);
    if (status == SG_OK)
        status = sg_quote_make(q->planner, q->shop, q->job, &q->shop->rates, &q->arena, &q->quote, error);
    if (status != SG_OK || sg_option(q->args, "csv"))
        return status;
    if (!sets) {
        price_usual(q);
        return SG_OK;
    }
    return sg_quote_breaks(q->planner, q->shop, q->job, &q->shop->rates, q->sets, q->n_breaks, q->breaks,
                           error);
}

static int put_quote(const struct quoting *q, enum sg_unit_system units)
{
    struct sg_text out = {0}, without = {0};
    const struct sg_quote_view view = {.shop = q->shop,
                                       .quote = &q->quote,
                                       .breaks = q->breaks,
                                       .n_breaks = q->n_breaks,
                                       .today = sg_cli_today()};
    bool whole = q->quote.lacking == 0;
    if (sg_option(q->args, "json"))
        sg_quote_json(&out, &view);
    else if (sg_option(q->args, "csv"))
        sg_quote_csv(&out, &view, units);
    else if (sg_option(q->args, "customer"))
        sg_quote_customer_text(&out, &view);
    else
        sg_quote_text(&out, &view);
    int code = sg_cli_put_chosen(q->args, &out, whole ? SG_OK : SG_NO);
    if (code == SG_NO) {
        sg_quote_without(&without, &q->shop->rates, q->quote.lacks, q->quote.rows);
        sg_cli_say(SG_NO, "this is not the whole price of job %s: it is without %s", q->args->words[0],
                   without.data ? without.data : "");
        sg_text_free(&without);
    }
    return code;
}

static enum sg_status check_options(struct quoting *q, enum sg_unit_system *units, struct sg_error *error)
{
    const char *sets = sg_option(q->args, "sets");
    int forms = (sg_option(q->args, "json") != NULL) + (sg_option(q->args, "csv") != NULL) +
                (sg_option(q->args, "text") != NULL);
    enum sg_status status = sg_cli_units(q->args, units, error);
    if (status == SG_OK && forms > 1)
        status = sg_fail(error, SG_USAGE, "quote takes one of --text, --csv and --json");
    if (status == SG_OK && sg_option(q->args, "customer") &&
        (sg_option(q->args, "csv") || sg_option(q->args, "json")))
        status = sg_fail(error, SG_USAGE,
                         "--customer is text for the customer; --csv and --json are for the office");
    if (status == SG_OK && sets && sg_option(q->args, "csv"))
        status = sg_fail(error, SG_USAGE,
                         "--csv is a row a part as the job is now; --sets goes with --text or --json");
    return status == SG_OK && sets ? read_sets(sets, q, error) : status;
}

int sg_run_quote(const struct sg_args *args)
{
    struct sg_desk *desk = NULL;
    struct sg_error error;
    enum sg_unit_system units = SG_UNITS_METRIC; /* of CSV, as in the job sheet */
    struct quoting *q = calloc(1, sizeof *q);
    int code;
    if (!q)
        return sg_cli_say(SG_FAULT, "no memory for a quote");
    q->args = args;
    enum sg_status status = check_options(q, &units, &error);
    if (status == SG_OK)
        status = sg_cli_open(args, SG_STORE_READ, &desk, &error);
    if (status == SG_OK) {
        if (sg_option(args, "units"))
            sg_desk_units(desk, units);
        q->shop = sg_desk_shop(desk);
        status = price(q, &error);
    }
    code = status == SG_OK ? put_quote(q, units) : sg_cli_fail(&error);
    sg_planner_free(q->planner);
    sg_arena_free(&q->arena);
    sg_desk_close(desk);
    free(q);
    return code;
}
