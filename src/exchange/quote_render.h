/* A quote for the office: text, CSV and JSON. The rates and what a price is made of stay there: the job sheet
 * for the floor shows none of it. */
#ifndef SANDGLASS_QUOTE_RENDER_H
#define SANDGLASS_QUOTE_RENDER_H

#include "exchange/render.h"
#include "sandglass/cost.h"

struct sg_quote_view {
    const struct sg_shop *shop; /* of the quote, with its rates */
    const struct sg_quote *quote;
    const struct sg_price_break *breaks;
    int n_breaks;
    int32_t today; /* on which it is made: days since 1970-01-01 */
    int width;     /* of the lines of its text, but for its tables; 0: 100 */
};

/* First what a customer is told, then what the price is made of. */
void sg_quote_text(struct sg_text *out, const struct sg_quote_view *view);
/* Only what a customer is told: the parts with their prices, terms, and prices by quantity. */
void sg_quote_customer_text(struct sg_text *out, const struct sg_quote_view *view);
/* A row a part; amounts in these units. */
void sg_quote_csv(struct sg_text *out, const struct sg_quote_view *view, enum sg_unit_system units);
void sg_quote_json(struct sg_text *out, const struct sg_quote_view *view);

/* ---- what they share (quote_words.c) ---- */

/* A row in words: "machine", "set-up", "mark-up". */
const char *sg_quote_row(int row, const struct sg_rates *rates);

/* The last day on which it holds; SG_NO_DATE: not said. */
int32_t sg_quote_holds(const struct sg_quote_view *view);

/* The rows that lack something, by their lacks and what is known of each: "garnet and mark-up, and part of
 * material"; nothing where all is known. */
void sg_quote_without(struct sg_text *out, const struct sg_rates *rates, const unsigned *lacks,
                      const int64_t *known);

/* Call `say` for each thing that is not known: what it is, where it belongs, and the command that sets it or
 * tells why it is not known. */
typedef void sg_quote_lack(void *context, const char *what, const char *where, const char *command);
void sg_quote_lacks(const struct sg_quote_view *view, sg_quote_lack *say, void *context);

/* One of them as an object of an array that is open: context is a struct sg_json. */
void sg_quote_lack_json(void *context, const char *what, const char *where, const char *command);

/* Put one of them in lines of `width`; a command that has room in a line is not broken, so that it can be
 * copied. */
void sg_quote_put_lack(struct sg_text *out, int width, const char *what, const char *command);

/* The same as sg_quote_lacks for lacks of a job that are known as bits only, such as those of a sweep. */
void sg_lacks_of_job(const struct sg_shop *shop, int32_t job, unsigned lacking, sg_quote_lack *say,
                     void *context);

/* Whether anything at all is known of the rates. */
bool sg_rates_any(const struct sg_rates *rates);

/* Cents as an amount in the currency, for JSON. */
double sg_money_of(int64_t cents, int decimals);

#endif
