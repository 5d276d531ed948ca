/* The forms of a quote, from a shop of round figures: what stands where, on which day, for how many parts. */
#include "exchange/quote_render.h"
#include "support/quoted.h"
#include "support/suite.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sg_price_break breaks[2];
static struct sg_text out;

static void set_up(void)
{
    open_priced_shop();
    add_stock();
    add_pieces(7);
    rates.name = "shop";
    rates.terms = "";
    rates.valid_days = SG_UNKNOWN;
}

static void tear_down(void)
{
    sg_text_free(&out);
    close_priced_shop();
}

/* As made on 26 November 2026. */
static struct sg_quote_view view_of(int n_breaks)
{
    static const int64_t sets[] = {1, 10};
    struct sg_error error;
    shop->rates = rates;
    make_quote(0);
    if (n_breaks > 0)
        ck_assert_msg(sg_quote_breaks(planner, shop, 0, &rates, sets, n_breaks, breaks, &error) == SG_OK,
                      "%s", error.text);
    sg_text_free(&out);
    return (struct sg_quote_view){.shop = shop,
                                  .quote = &quote,
                                  .breaks = breaks,
                                  .n_breaks = n_breaks,
                                  .today = sg_date_days(2026, 11, 26)};
}

static void put_text(int n_breaks)
{
    struct sg_quote_view view = view_of(n_breaks);
    sg_quote_text(&out, &view);
    ck_assert(!out.failed);
}

static void says(const char *words)
{
    ck_assert_msg(strstr(out.data, words) != NULL, "\"%s\" is not in %s", words, out.data);
}

static void says_not(const char *words)
{
    ck_assert_msg(strstr(out.data, words) == NULL, "\"%s\" is in %s", words, out.data);
}

START_TEST(it_holds_so_many_days_from_the_day_it_is_given)
{
    put_text(0);
    says("\nMade 2026-11-26\n");
    rates.valid_days = 30;
    put_text(0);
    says("\nMade 2026-11-26, holds until 2026-12-26\n");
    struct sg_quote_view view = view_of(0);
    sg_quote_json(&out, &view);
    says("\"made_on\": \"2026-11-26\", \"holds_until\": \"2026-12-26\"");
}
END_TEST

/* 7 pieces of 99.5 s, 60 s of load: 756.5 s at 72/h is 15.13; 60 s at 36/h 0.60; jet 672 s: 25.6 kW
 * are 4.7787 kWh, 0.72; 43.008 L 0.11; garnet as fed; tube 672/288000 of 120 is 0.28, orifice 672/216000 of
 * 45 is 0.14; a sheet of 85; set-up 25; 20 % on all. */
START_TEST(rows_say_what_they_are_for_and_at_which_rate)
{
    shop->units = SG_UNITS_METRIC;
    put_text(0);
    says("machine          0:12:37            72 /h   15.13\n");
    says("labour           0:01:00            36 /h    0.60\n");
    says("power            4.8 kWh        0.15 /kWh    0.72\n");
    says("tube         0.002 tubes              120    0.28\n");
    says("orifice   0.003 orifices               45    0.14\n");
    says("material         1 sheet               85   85.00\n");
    says("set-up              once               25   25.00\n");
    says("mark-up                   20% of the cost");
    says_not("minimum");
    rates.margin = 1 / 3.0;
    rates.mark_up = UNKNOWN;
    put_text(0);
    says("margin");
    says("33.33333% of the price");
    says_not("mark-up");
}
END_TEST

START_TEST(a_remnants_share_and_prices_by_stock_are_told)
{
    add_stock()->sheet_price = 90;
    add_pieces(3);
    put_text(0);
    says("2 sheets         by stock  175.00\n");
    shop->stocks[0].owner = shop->stocks[1].owner = SG_OWNER_CUSTOMER;
    put_text(0);
    says("material        2 sheets  the customer's own   0.00\n");
    shop->stocks[0].owner = shop->stocks[1].owner = SG_OWNER_SHOP;
    shop->stocks[0].sheet_price = shop->stocks[1].sheet_price = 0;
    put_text(0);
    says_not("material"); /* it is free */
}
END_TEST

START_TEST(many_parts_are_split_in_blocks_that_hold_them_all)
{
    static const char *const ids[] = {"c", "d", "e", "f", "g", "h", "i", "j",
                                      "k", "l", "m", "n", "o", "p", "q"};
    for (int i = 0; i < 15; i++)
        add_pieces(i == 4 ? 0 : 2)->id = ids[i];
    put_text(0);
    int blocks = 0;
    for (const char *at = out.data; (at = strstr(at, "\n\nWhat")); at++)
        blocks++;
    ck_assert_int_eq(blocks, 1 + 3); /* the split of the job, and 15 parts that are priced, 6 abreast */
    for (int32_t i = 0; i < shop->n_parts; i++) {
        char key[40];
        int n = 0;
        snprintf(key, sizeof key, "1/%s ", shop->parts[i].id);
        for (const char *at = out.data; (at = strstr(at, key)); at++)
            n++;
        snprintf(key, sizeof key, "1/%s\n", shop->parts[i].id);
        for (const char *at = out.data; (at = strstr(at, key)); at++)
            n++;
        ck_assert_msg(n == (shop->parts[i].quantity > 0 ? 2 : 0), "%s stands %d times", key, n);
    }
}
END_TEST

START_TEST(breaks_are_by_piece_for_one_part_and_by_set_for_more)
{
    put_text(2);
    says("A piece");
    says("\n10 pieces, against 1:");
    says_not("A set is");
    add_pieces(14);
    put_text(2);
    says("A set is 1 of 1/A, 2 of 1/B.\n");
    says("\n10 sets, against 1:");
}
END_TEST

START_TEST(notes_and_terms_keep_their_lines)
{
    rates.terms = "first\nsecond";
    shop->jobs[0].note = "one\ntwo";
    put_text(0);
    says("\nTerms: first\n  second\n");
    says("\n---- for the office only ----\n\nNote: one\n  two\n\nWhat ");
}
END_TEST

START_TEST(a_customers_text_is_the_part_above_the_line)
{
    char above[4000];
    rates.terms = "first";
    shop->jobs[0].note = "one";
    put_text(2);
    size_t length = (size_t)(strstr(out.data, "\n---- for the office only ----") - out.data);
    ck_assert_uint_lt(length, sizeof above);
    memcpy(above, out.data, length);
    above[length] = '\0';
    struct sg_quote_view view = view_of(2);
    sg_quote_customer_text(&out, &view);
    ck_assert_str_eq(out.data, above);
    says("Terms: first");
    says("Price by quantity");
    says_not("one");
    says_not("office");
    rates.garnet = UNKNOWN;
    view = view_of(2);
    sg_quote_customer_text(&out, &view);
    says("NOT THE WHOLE PRICE. Tax is left out.");
    says_not("below"); /* there is nothing below */
}
END_TEST

START_TEST(scrap_is_said)
{
    put_text(0);
    says_not("scrap");
    shop->parts[0].scrap = 2;
    put_text(0);
    says("2 pieces of scrap are allowed for, and paid for by the good ones.\n");
}
END_TEST

START_TEST(rates_known_of_only_one_are_rates)
{
    struct sg_rates none = sg_fresh_rates;
    ck_assert(!sg_rates_any(&none));
    none.valid_days = 30;
    none.terms = "any";
    ck_assert(!sg_rates_any(&none)); /* no prices */
    none.minimum = 0;
    ck_assert(sg_rates_any(&none));
}
END_TEST

START_TEST(money_is_written_in_the_decimals_of_the_currency)
{
    ck_assert(sg_money_of(123456, 2) == 1234.56);
    ck_assert(sg_money_of(123456, 0) == 123456);
    ck_assert(sg_money_of(-5, 4) == -0.0005);
    char text[40];
    for (int64_t cents = 999999999999900; cents < 1000000000000100; cents++) { /* beyond what any job costs */
        sg_money_write(cents, 2, text, sizeof text);
        ck_assert(strtod(text, NULL) == sg_money_of(cents, 2));
    }
}
END_TEST

int main(void)
{
    TCase *forms = tcase_create("forms");
    tcase_add_checked_fixture(forms, set_up, tear_down);
    tcase_add_test(forms, it_holds_so_many_days_from_the_day_it_is_given);
    tcase_add_test(forms, rows_say_what_they_are_for_and_at_which_rate);
    tcase_add_test(forms, a_remnants_share_and_prices_by_stock_are_told);
    tcase_add_test(forms, many_parts_are_split_in_blocks_that_hold_them_all);
    tcase_add_test(forms, breaks_are_by_piece_for_one_part_and_by_set_for_more);
    tcase_add_test(forms, notes_and_terms_keep_their_lines);
    tcase_add_test(forms, a_customers_text_is_the_part_above_the_line);
    tcase_add_test(forms, scrap_is_said);
    tcase_add_test(forms, rates_known_of_only_one_are_rates);
    tcase_add_test(forms, money_is_written_in_the_decimals_of_the_currency);
    return run_case("quote_forms", forms);
}
