/* What a quote does not know, and what cannot be quoted. */
#include "support/expect.h"
#include "support/quoted.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>
#include <string.h>

/* ---- what is not known ---- */

START_TEST(a_rate_that_is_not_known_is_never_nothing)
{
    static const struct {
        size_t offset;
        unsigned lack;
        int row;
    } all[] = {
        {offsetof(struct sg_rates, machine), SG_LACK_MACHINE, SG_COST_MACHINE},
        {offsetof(struct sg_rates, labour), SG_LACK_LABOUR, SG_COST_LABOUR},
        {offsetof(struct sg_rates, power), SG_LACK_POWER, SG_COST_POWER},
        {offsetof(struct sg_rates, water), SG_LACK_WATER, SG_COST_WATER},
        {offsetof(struct sg_rates, garnet), SG_LACK_GARNET, SG_COST_GARNET},
        {offsetof(struct sg_rates, disposal), SG_LACK_DISPOSAL, SG_COST_DISPOSAL},
        {offsetof(struct sg_rates, tube), SG_LACK_TUBE, SG_COST_TUBE},
        {offsetof(struct sg_rates, orifice), SG_LACK_ORIFICE, SG_COST_ORIFICE},
        {offsetof(struct sg_rates, setup), SG_LACK_SETUP, SG_COST_SETUP},
        {offsetof(struct sg_rates, mark_up), SG_LACK_ADDITION, SG_COST_ADDITION},
    };
    add_stock();
    add_pieces(20);
    make_quote(0);
    struct sg_quote whole = quote;
    const struct sg_rates known = rates;
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        const double not_known = UNKNOWN;
        rates = known;
        memcpy((char *)&rates + all[i].offset, &not_known, sizeof not_known);
        make_quote(0);
        ck_assert_uint_eq(quote.lacking, all[i].lack);
        ck_assert_uint_eq(quote.lacks[all[i].row], all[i].lack);
        ck_assert_uint_eq(quote.parts[0].lacks[all[i].row], all[i].lack);
        ck_assert_int_lt(quote.price, whole.price);
        if (all[i].row < SG_COST_SETUP)
            expect(quote.amounts[all[i].row], whole.amounts[all[i].row]); /* what it is for is known */
    }
    rates = known;
    price_sheets(UNKNOWN);
    make_quote(0);
    ck_assert_uint_eq(quote.lacking, SG_LACK_SHEET_PRICE);
    rates.minimum = 1000; /* who knows whether it is reached */
    make_quote(0);
    ck_assert_uint_eq(quote.lacking, SG_LACK_SHEET_PRICE | SG_LACK_REST);
    ck_assert_int_eq(quote.rows[SG_COST_MINIMUM], 0);
}
END_TEST

START_TEST(what_is_not_used_needs_no_rate)
{
    /* Foam with water alone: no garnet, no tube. Nothing by hand either. */
    struct sg_stock *stock = add_stock();
    stock->material = 3;
    stock->load = 0;
    shop->machine.head_fitted = 1;
    add_pieces(1);
    rates.garnet = rates.disposal = rates.tube = rates.labour = UNKNOWN;
    make_quote(0);
    ck_assert_uint_eq(quote.lacking, 0);
    ck_assert_int_eq(quote.rows[SG_COST_GARNET], 0);
    ck_assert_int_eq(quote.rows[SG_COST_LABOUR], 0);
}
END_TEST

START_TEST(lives_sheets_and_times_that_are_not_known_are_told)
{
    char text[300];
    struct sg_stock *stock = add_stock();
    add_pieces(20);
    test.heads[0].tube_life = test.heads[0].orifice_life = UNKNOWN;
    make_quote(0);
    ck_assert_uint_eq(quote.lacking, SG_LACK_TUBE_LIFE | SG_LACK_ORIFICE_LIFE);
    ck_assert(isnan(quote.amounts[SG_COST_TUBE]));
    stock->sheet_length = UNKNOWN;
    make_quote(0);
    ck_assert_uint_eq(quote.lacking, SG_LACK_TUBE_LIFE | SG_LACK_ORIFICE_LIFE | SG_LACK_SHEETS);
    sg_lacks_text(quote.lacking, text, sizeof text);
    ck_assert_str_eq(text, "tube_life of a head, orifice_life of a head, how many sheets it takes");
    stock->feed = UNKNOWN;
    stock->material = 3; /* foam with garnet: no speed is known */
    stock->head = 0;
    make_quote(0);
    for (int row = SG_COST_MACHINE; row <= SG_COST_ORIFICE; row++)
        ck_assert_uint_eq(quote.lacks[row] & SG_LACK_TIME, SG_LACK_TIME);
    ck_assert_int_eq(quote.price, 3000); /* set-up and 20 % */
}
END_TEST

START_TEST(only_what_the_job_itself_cannot_be_timed_for_is_lacking)
{
    add_stock();
    test_shop_part(&test, 1, UNKNOWN, 200, 100);
    test_shop_job(&test, 0);
    add_stock();
    add_pieces(20);
    make_quote(1);
    ck_assert_uint_eq(quote.lacking, 0);
    int64_t price = quote.price;
    add_stock(); /* of the same job */
    test_shop_part(&test, 1, UNKNOWN, 200, 100);
    add_stock();
    add_pieces(20);
    make_quote(1);
    ck_assert_uint_eq(quote.parts[2].lacks[SG_COST_MACHINE], SG_LACK_RUN); /* its plan stops before */
    ck_assert_uint_eq(quote.parts[2].lacks[SG_COST_LABOUR], SG_LACK_RUN);
    ck_assert_uint_eq(quote.parts[2].lacks[SG_COST_GARNET], 0);
    ck_assert_int_eq(quote.parts[2].rows[SG_COST_GARNET], 480);
    shop->n_parts = shop->stocks[shop->jobs[1].first_stock + 1].first_part;
    shop->jobs[1].n_stocks = 1;
    make_quote(1);
    ck_assert_int_eq(quote.price, price);
}
END_TEST

START_TEST(neither_empty_stores_nor_a_free_day_change_a_price)
{
    add_stock();
    add_pieces(400);
    make_quote(0);
    int64_t price = quote.price;
    shop->machine.bags_in_stock = 0;
    test.shifts[0].n_closed_days = 1;
    test.shifts[0].closed_days[0] = test.shifts[0].date;
    make_quote(0);
    ck_assert_int_eq(quote.price, price);
    ck_assert_uint_eq(quote.lacking, 0);
    ck_assert_int_eq(shop->machine.bags_in_stock, 0); /* the shop itself is as it was */
    ck_assert_int_eq(test.shifts[0].n_closed_days, 1);
}
END_TEST

/* ---- what cannot be ---- */

static void expect_refused(const char *words)
{
    struct sg_error error;
    struct sg_quote before = quote;
    ck_assert_int_eq(sg_quote_make(planner, shop, 0, &rates, &arena, &quote, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, words) != NULL, "%s", error.text);
    ck_assert(memcmp(&before, &quote, sizeof quote) == 0);
}

START_TEST(rates_and_jobs_that_cannot_be_are_refused)
{
    add_stock();
    struct sg_part *part = add_pieces(0);
    expect_refused("job A has no pieces to price");
    part->quantity = 20;
    rates.margin = 0.2;
    expect_refused("mark_up and margin are both there");
    rates.mark_up = UNKNOWN;
    rates.margin = 1;
    expect_refused("a margin of 100 % leaves no price");
    rates.margin = UNKNOWN;
    rates.water = -1;
    expect_refused("the rate water is -1");
    rates.water = (double)INFINITY;
    expect_refused("the rate water is inf");
    rates.water = 1;
    rates.decimals = 5;
    expect_refused("5 decimals");
    rates.decimals = 2;
    rates.machine = 1e18;
    expect_refused("the price of job A is past counting");
}
END_TEST

START_TEST(money_is_written_to_the_cent)
{
    static const struct {
        int64_t cents;
        int decimals;
        const char *text;
    } all[] = {{0, 2, "0.00"},
               {5, 2, "0.05"},
               {-1205, 2, "-12.05"},
               {-7, 2, "-0.07"},
               {123456, 0, "123456"},
               {12, 4, "0.0012"},
               {INT64_MIN, 2, "-92233720368547758.08"}};
    char text[40];
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        sg_money_write(all[i].cents, all[i].decimals, text, sizeof text);
        ck_assert_str_eq(text, all[i].text);
    }
}
END_TEST

int main(void)
{
    TCase *money = tcase_create("cost_lacks");
    tcase_add_checked_fixture(money, open_priced_shop, close_priced_shop);
    tcase_add_test(money, a_rate_that_is_not_known_is_never_nothing);
    tcase_add_test(money, what_is_not_used_needs_no_rate);
    tcase_add_test(money, lives_sheets_and_times_that_are_not_known_are_told);
    tcase_add_test(money, only_what_the_job_itself_cannot_be_timed_for_is_lacking);
    tcase_add_test(money, neither_empty_stores_nor_a_free_day_change_a_price);
    tcase_add_test(money, rates_and_jobs_that_cannot_be_are_refused);
    tcase_add_test(money, money_is_written_to_the_cent);
    return run_case("cost_lacks", money);
}
