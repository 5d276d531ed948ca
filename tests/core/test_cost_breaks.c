/* Price breaks by hand: what a piece costs in another quantity, and the difference by its cause. */
#include "support/quoted.h"
#include "support/suite.h"

#include <check.h>
#include <string.h>

static struct sg_price_break breaks[SG_PRICE_QUANTITIES];

/* Pieces of 90 s of cut and 8.5 s of lift, pierce and rapid, 0.45 kg: at 36/h (a cent a second) 0.985 for the
 * machine, at 2 a kilogram 0.90 of garnet. A sheet of 84 holds 20 and takes 60 s to load, the first check 300
 * s, set-up is 27. Nothing else costs anything, and nothing wears. */
static void set_up(void)
{
    open_priced_shop();
    test.heads[0].tube_life = test.heads[0].orifice_life = UNKNOWN;
    sheet_price = 84;
    rates = (struct sg_rates){.machine = 36,
                              .garnet = 2,
                              .setup = 27,
                              .mark_up = 0,
                              .margin = UNKNOWN,
                              .minimum = UNKNOWN,
                              .currency = "",
                              .decimals = 2};
    struct sg_stock *stock = add_stock();
    stock->pierce_seconds = 0;
    stock->first_check = 300;
    add_pieces(40)->rapid_length = 650; /* 6.5 s */
}

static void make(void)
{
    struct sg_error error;
    ck_assert_msg(sg_quote_breaks(planner, shop, 0, &rates, sg_price_quantities, SG_PRICE_QUANTITIES, breaks,
                                  &error) == SG_OK,
                  "%s", error.text);
}

static void expect_break(const struct sg_price_break *one, int64_t cutting, int64_t setup, int64_t sheets,
                         int64_t loads, int64_t refills)
{
    ck_assert_int_eq(one->causes[SG_CAUSE_CUTTING], cutting);
    ck_assert_int_eq(one->causes[SG_CAUSE_SETUP], setup);
    ck_assert_int_eq(one->causes[SG_CAUSE_SHEETS], sheets);
    ck_assert_int_eq(one->causes[SG_CAUSE_LOADS], loads);
    ck_assert_int_eq(one->causes[SG_CAUSE_REFILLS], refills);
    ck_assert_int_eq(one->causes[SG_CAUSE_CHANGES], 0);
    ck_assert_int_eq(one->causes[SG_CAUSE_MINIMUM], 0);
    ck_assert_int_eq(one->price, cutting + setup + sheets + loads + refills);
}

static void expect_reason(int index, const char *expected)
{
    char text[300];
    sg_price_reason(&breaks[index - 1], &breaks[index], 2, text, sizeof text);
    ck_assert_str_eq(text, expected);
}

START_TEST(each_falls_by_set_up_and_sheets_and_rises_by_refills)
{
    /* A piece: 98.5 + 90 = 188.5 cents of cutting. Set-up and check 30.00. A sheet 84.00 and 0.60 to load it,
     * one for 1 and for 10, 5 for 100, 50 for 1000. Garnet 450 kg for 1000: 90 are there and 360 wanted, 4
     * bags (80 kg) at a time is 5 refills; the last fills up too: level 100 to 10.0 is 200 pieces, then 4
     * bags to 90 and 177 pieces (79.65) to 10.35, to 90.35 and 178 (80.1) to 10.25, 178 more to 10.15, and
     * 178 more to 10.05: 911; the fifth for the rest of 89. 5 x 140 s = 7.00. One piece costs 188.5 + 3000 +
     * 8460 = 11648.5, so 11649: the half cent goes to cutting, which alone wants it. */
    make();
    ck_assert_int_eq(breaks[0].pieces, 1);
    ck_assert_int_eq(breaks[3].pieces, 1000);
    expect_break(&breaks[0], 189, 3000, 8400, 60, 0);
    expect_break(&breaks[1], 1885, 3000, 8400, 60, 0);
    expect_break(&breaks[2], 18850, 3000, 42000, 300, 0);
    expect_break(&breaks[3], 188500, 3000, 420000, 3000, 700);
    /* A piece is shown as 116.49, 13.35 (13.345), 6.42 (6.415) and 6.15 (6.152), and the reasons add up to
     * what lies between these. 103.14: 30 - 3, 84 - 8.40 and 0.60 - 0.06. */
    expect_reason(1,
                  "103.14 less: 75.60 fuller sheets, 27.00 set-up shared by more, 0.54 fewer loads a piece");
    /* 6.93: 3 - 0.30, 8.40 - 4.20 and 0.06 - 0.03. */
    expect_reason(2, "6.93 less: 4.20 fuller sheets, 2.70 set-up shared by more, 0.03 fewer loads a piece");
    /* 0.27: 0.30 - 0.03 less; 0.007 of refills more, which is no whole cent. */
    expect_reason(3, "0.27 less: 0.27 set-up shared by more");
    ck_assert_int_eq(shop->parts[0].quantity, 40); /* the shop itself is as it was */
}
END_TEST

START_TEST(a_mark_up_goes_along_and_a_minimum_stands_apart)
{
    /* 50 % on all: 1 piece 2.8275 + 45 + 126 + 0.90 = 174.7275, made up to 200 by 25.2725; 10 pieces 28.275 +
     * 45 + 126.90 = 200.175. */
    rates.mark_up = 0.5;
    rates.minimum = 200;
    make();
    ck_assert_int_eq(breaks[0].price, 20000);
    ck_assert_int_eq(breaks[0].causes[SG_CAUSE_CUTTING], 283);
    ck_assert_int_eq(breaks[0].causes[SG_CAUSE_SETUP], 4500);
    ck_assert_int_eq(breaks[0].causes[SG_CAUSE_SHEETS], 12600);
    ck_assert_int_eq(breaks[0].causes[SG_CAUSE_LOADS], 90);
    ck_assert_int_eq(breaks[0].causes[SG_CAUSE_MINIMUM], 2527);
    ck_assert_int_eq(breaks[1].price, 20018);
    ck_assert_int_eq(breaks[1].causes[SG_CAUSE_MINIMUM], 0);
    expect_reason(
        1, "179.98 less: 113.40 fuller sheets, 40.50 set-up shared by more, 25.27 minimum price shared by "
           "more, 0.81 fewer loads a piece");
}
END_TEST

START_TEST(changes_by_hand_are_a_cause_of_their_own)
{
    /* An orifice lasts 1000 s and the jet is on 90 s a piece, 1800 s on a full sheet of 20: each sheet but
     * the first finds it worn out, for 36 s, 0.36. 100 pieces lie on 5 sheets: 4 changes, 1.44. Cutting
     * is 1.885 a piece in every quantity. */
    test.heads[0].orifice_life = 1000;
    shop->machine.orifice_change = 36;
    shop->machine.tube_change = 0;
    rates.orifice = 0;
    make();
    for (int i = 1; i < SG_PRICE_QUANTITIES; i++)
        ck_assert_int_eq(breaks[i].causes[SG_CAUSE_CUTTING] * 10, 1885 * breaks[i].sets);
    ck_assert_int_eq(breaks[1].causes[SG_CAUSE_CHANGES], 0);
    ck_assert_int_eq(breaks[2].causes[SG_CAUSE_CHANGES], 144);
    /* 11.649 - 4.66: 6.93 as without it, and 0.0144 more. */
    expect_reason(2,
                  "6.92 less: 4.20 fuller sheets, 2.70 set-up shared by more, 0.03 fewer loads a piece, but "
                  "0.01 more tube and orifice changes");
}
END_TEST

START_TEST(sheets_of_the_customers_are_no_reason_but_their_loads_are)
{
    shop->stocks[0].owner = SG_OWNER_CUSTOMER;
    make();
    ck_assert_int_eq(breaks[0].causes[SG_CAUSE_SHEETS], 0);
    ck_assert_int_eq(breaks[0].causes[SG_CAUSE_LOADS], 60);
    expect_reason(1, "27.54 less: 27.00 set-up shared by more, 0.54 fewer loads a piece");
}
END_TEST

START_TEST(a_set_is_the_quantities_over_their_divisor)
{
    /* 40 and 60 pieces: 20 sets of 2 and 3. Scrap of 5 with 40 pieces: for 10 sets 2.5, so 3. */
    shop->parts[0].scrap = 5;
    add_pieces(60);
    ck_assert_int_eq(sg_job_sets(shop, 0), 20);
    make();
    ck_assert_int_eq(breaks[1].pieces, 50);
    ck_assert_int_eq(breaks[3].pieces, 5000);
    /* 20 pieces, 3 of scrap, 30 pieces: 53 of garnet at 0.90, and by hand nothing of it. */
    rates.machine = 0;
    rates.setup = 0;
    price_sheets(0);
    make();
    ck_assert_int_eq(breaks[1].price, 53 * 90);
}
END_TEST

START_TEST(the_usual_quantities_have_the_jobs_own_in_its_place)
{
    static const struct {
        int32_t quantity;
        int64_t sets[5];
        int n;
    } cases[] = {{1, {1, 10, 100, 1000}, 4},
                 {10, {1, 10, 100, 1000}, 4},
                 {40, {1, 10, 40, 100, 1000}, 5},
                 {2000, {1, 10, 100, 1000, 2000}, 5},
                 {1000000, {1, 10, 100, 1000, 1000000}, 5}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        int64_t sets[SG_PRICE_QUANTITIES + 1];
        shop->parts[0].quantity = cases[i].quantity;
        ck_assert_int_eq(sg_usual_sets(shop, 0, sets), cases[i].n);
        for (int k = 0; k < cases[i].n; k++)
            ck_assert_int_eq(sets[k], cases[i].sets[k]);
    }
    int64_t sets[SG_PRICE_QUANTITIES + 1];
    add_pieces(7)->quantity = 3; /* with 1000000 of the other no set is more than one */
    ck_assert_int_eq(sg_usual_sets(shop, 0, sets), 1);
    ck_assert_int_eq(sets[0], 1);
}
END_TEST

START_TEST(quantities_that_cannot_be_are_refused)
{
    static const struct {
        int64_t sets[2];
        int n;
        const char *words;
    } all[] = {{{1}, 0, "0 quantities"},
               {{1}, SG_PRICE_BREAKS_MAX + 1, "101 quantities"},
               {{0}, 1, "quantity 0"},
               {{10, 10}, 2, "quantity 10: list quantities from 1 on, each above the one before"},
               {{1000001}, 1, "1000001 times job A is more than 1000000 pieces of part A"},
               {{INT64_MAX}, 1, "is more than 1000000 pieces"},
               {{10, 1000001}, 2, "is more than 1000000 pieces"}};
    make();
    const int64_t price = breaks[0].price;
    add_pieces(0)->scrap = 1000; /* cut never, so no quantity of it is too much */
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        struct sg_error error;
        ck_assert_int_eq(sg_quote_breaks(planner, shop, 0, &rates, all[i].sets, all[i].n, breaks, &error),
                         SG_BAD_DATA);
        ck_assert_msg(strstr(error.text, all[i].words) != NULL, "%s", error.text);
        ck_assert_int_eq(breaks[0].price, price); /* nothing half-done */
    }
    shop->parts[0].quantity = 0;
    ck_assert_int_eq(sg_job_sets(shop, 0), 0);
    ck_assert_int_eq(sg_quote_breaks(planner, shop, 0, &rates, sg_price_quantities, 1, breaks, NULL),
                     SG_BAD_DATA);
}
END_TEST

START_TEST(a_reason_is_cut_to_the_room_there_is)
{
    char text[12] = "zzzzzzzzzzz";
    make();
    int length = sg_price_reason(&breaks[1], &breaks[2], 2, text, 10);
    ck_assert_str_eq(text, "6.93 less");
    ck_assert_int_eq(text[10], 'z');
    ck_assert_int_eq(
        length,
        (int)strlen("6.93 less: 4.20 fuller sheets, 2.70 set-up shared by more, 0.03 fewer loads a piece"));
    sg_price_reason(&breaks[1], &breaks[1], 2, text, sizeof text);
    ck_assert_str_eq(text, "the same");
}
END_TEST

int main(void)
{
    TCase *prices = tcase_create("breaks");
    tcase_add_checked_fixture(prices, set_up, close_priced_shop);
    tcase_add_test(prices, each_falls_by_set_up_and_sheets_and_rises_by_refills);
    tcase_add_test(prices, a_mark_up_goes_along_and_a_minimum_stands_apart);
    tcase_add_test(prices, a_set_is_the_quantities_over_their_divisor);
    tcase_add_test(prices, changes_by_hand_are_a_cause_of_their_own);
    tcase_add_test(prices, sheets_of_the_customers_are_no_reason_but_their_loads_are);
    tcase_add_test(prices, the_usual_quantities_have_the_jobs_own_in_its_place);
    tcase_add_test(prices, quantities_that_cannot_be_are_refused);
    tcase_add_test(prices, a_reason_is_cut_to_the_room_there_is);
    return run_case("cost_breaks", prices);
}
