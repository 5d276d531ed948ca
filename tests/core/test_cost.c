/* Quotes against hand arithmetic: what is charged, and to which part. */
#include "support/expect.h"
#include "support/quoted.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>
#include <string.h>

#define expect_rows(rows, ...) expect_rows_at(__LINE__, rows, (const int64_t[SG_COST_ROWS]){__VA_ARGS__})
static void expect_rows_at(int line, const int64_t *rows, const int64_t *expected)
{
    for (int row = 0; row < SG_COST_ROWS; row++)
        ck_assert_msg(rows[row] == expected[row], "line %d: %s is %lld, expected %lld", line,
                      sg_cost_word(row, &rates), (long long)rows[row], (long long)expected[row]);
}

/* ---- by hand ---- */

START_TEST(twenty_pieces_of_one_sheet)
{
    /* Machine 20 x 99.5 + 60 = 2050 s at 72/h: 41.00. Labour 60 s at 36/h: 0.60. The jet is on for 1920 s =
     * 32 min: 25.6 kW x 1920/3600 = 13.6533 kWh at 0.15: 2.048; 122.88 L at 2.50/m3: 0.3072; garnet 9.6
     * kg: 4.80 and 0.96; 1920 / 288,000 of a tube of 120: 0.80; 1920 / 216,000 of an orifice of 45: 0.40. One
     * sheet 85, set-up 25: 160.9152. 20 % on it 32.18304: 193.09824, so 193.10. Floors add up to 193.08; the
     * two cents go to power (204.8) and water (30.72). */
    add_stock();
    add_pieces(20);
    make_quote(0);
    ck_assert_int_eq(quote.price, 19310);
    ck_assert_uint_eq(quote.lacking, 0);
    expect_rows(quote.rows, 4100, 60, 205, 31, 480, 96, 80, 40, 8500, 2500, 3218, 0);
    ck_assert_int_eq(quote.n_parts, 1);
    expect_rows(quote.parts[0].rows, 4100, 60, 205, 31, 480, 96, 80, 40, 8500, 2500, 3218, 0);
    ck_assert_int_eq(quote.parts[0].price, 19310);
    ck_assert_int_eq(quote.parts[0].each, 965); /* 20 x 9.65 = 193.00: ten of them are a cent dearer */
    ck_assert_int_eq(quote.parts[0].dearer, 10);
    expect(quote.amounts[SG_COST_MACHINE], 2050);
    expect(quote.amounts[SG_COST_LABOUR], 60);
    expect(quote.amounts[SG_COST_POWER], 25.6 * 1920 / 3600);
    expect(quote.amounts[SG_COST_WATER], 122.88);
    expect(quote.amounts[SG_COST_GARNET], 9.6);
    expect(quote.amounts[SG_COST_TUBE], 1.0 / 150);
    expect(quote.amounts[SG_COST_MATERIAL], 1);
}
END_TEST

START_TEST(a_margin_is_of_the_price)
{
    /* 160.9152 / (1 - 0.2) = 201.144, so 201.14; 40.2288 of it is the margin. Floors: 41.00 + 0.60 + 2.04 +
     * 0.30
     * + 4.80 + 0.96 + 0.80 + 0.40 + 85 + 25 + 40.22 = 201.12; two cents go to the margin (.88) and power
     * (.80). */
    add_stock();
    add_pieces(20);
    rates.mark_up = UNKNOWN;
    rates.margin = 0.20;
    make_quote(0);
    ck_assert_int_eq(quote.price, 20114);
    expect_rows(quote.rows, 4100, 60, 205, 30, 480, 96, 80, 40, 8500, 2500, 4023, 0);
    ck_assert_str_eq(sg_cost_word(SG_COST_ADDITION, &rates), "margin");
}
END_TEST

START_TEST(a_minimum_price_is_made_up_to)
{
    add_stock();
    add_pieces(20);
    rates.minimum = 250;
    make_quote(0);
    ck_assert_int_eq(quote.price, 25000);
    /* 250 - 193.09824 = 56.90176; floors 249.98, power (.80) and water (.72) get a cent. */
    expect_rows(quote.rows, 4100, 60, 205, 31, 480, 96, 80, 40, 8500, 2500, 3218, 5690);
    rates.minimum = 193;
    make_quote(0);
    ck_assert_int_eq(quote.price, 19310);
    ck_assert_int_eq(quote.rows[SG_COST_MINIMUM], 0);
}
END_TEST

START_TEST(a_currency_may_have_no_decimals_or_three)
{
    add_stock();
    add_pieces(20);
    rates.decimals = 0;
    make_quote(0);
    ck_assert_int_eq(quote.price, 193);
    rates.decimals = 3;
    make_quote(0);
    ck_assert_int_eq(quote.price, 193098); /* 193.09824 */
}
END_TEST

/* ---- who pays what is shared ---- */

/* Nothing costs but time by hand, 1 a second. */
static void charge_hands(void)
{
    rates.machine = rates.power = rates.water = rates.garnet = rates.disposal = rates.tube = rates.orifice =
        0;
    rates.setup = rates.mark_up = 0;
    rates.labour = 3600;
    price_sheets(0);
}

START_TEST(a_head_change_and_first_check_are_the_stocks_they_are_for)
{
    /* Two stocks; the water head is on, so the first needs a change of 900 s. Its parts take 995 s and 1990 s
     * of cutting: 900 + 90 of first check falls on them 1 to 2. Loads of 60 s each; the sheet of the first is
     * shared by area, 10 to 20 pieces: 20 and 40. */
    charge_hands();
    shop->machine.head_fitted = 1;
    shop->machine.head_change = 900;
    add_stock()->first_check = 90;
    struct sg_stock *stock = &shop->stocks[0];
    stock->sheet_length *= 2;
    add_pieces(10);
    add_pieces(20);
    add_stock();
    add_pieces(20);
    make_quote(0);
    ck_assert_int_eq(quote.parts[0].rows[SG_COST_LABOUR], 33000 + 2000);
    ck_assert_int_eq(quote.parts[1].rows[SG_COST_LABOUR], 66000 + 4000);
    ck_assert_int_eq(quote.parts[2].rows[SG_COST_LABOUR], 6000);
    ck_assert_int_eq(quote.price, 900 * 100 + 90 * 100 + 2 * 6000);
}
END_TEST

START_TEST(refills_are_those_of_the_job_alone)
{
    /* Job A: 20 pieces of 0.48 kg: 9.6 kg. Job B 200 pieces: 96 kg of the 90 that a full hopper gives: one
     * refill of 4 bags, 100 + 40 s, and nothing of it is A's, whatever the hopper holds today; loads are 1
     * and 10 sheets of 60 s. */
    charge_hands();
    add_stock();
    add_pieces(20);
    test_shop_job(&test, 0);
    add_stock();
    add_pieces(200);
    shop->machine.hopper_level = 12;
    make_quote(0);
    ck_assert_int_eq(quote.rows[SG_COST_LABOUR], 6000);
    make_quote(1);
    ck_assert_int_eq(quote.rows[SG_COST_LABOUR], 60000 + 14000);
}
END_TEST

START_TEST(time_garnet_sheets_and_jet_weigh_differently)
{
    /* One sheet of 10 + 10 pieces. Part 0: 200 x 100 mm, 96 s of jet and 3.5 of rapid and lift. Part 1: half
     * as wide, 40 s of jet (400 mm, no pierce) and a rapid of 5.9 m, 59 s and no lift. The load of 60 s goes
     * by area 2 to 1, the first check of 397 s by 99.5 and 99, 2 to a second. The hopper holds 6 kg above its
     * low line and 10 x 0.48 + 10 x 0.2 = 6.8 are wanted: a refill of a bag of 5, 110 s, goes by garnet. Job
     * B has a head of its own, and 6 pieces need none. A tube of A's head is changed for 600 s: by jet
     * seconds 960 to 400, and nothing of it is B's. */
    charge_hands();
    test.heads[2] = test.heads[0];
    test.heads[2].name = "other";
    shop->n_heads = 3;
    shop->machine.head_change = 0;
    shop->machine.tube_change = 600;
    test.heads[0].tube_hours = 287000;
    shop->machine.hopper = 16;
    shop->machine.bag = 5;
    struct sg_stock *stock = add_stock();
    stock->first_check = 397;
    add_pieces(10);
    struct sg_part *small = test_shop_part(&test, 10, 400, 200, 50);
    small->pierces = 0;
    small->rapid_length = 5900;
    test_shop_job(&test, 0);
    add_stock()->head = 2;
    add_pieces(6);
    make_quote(0);
    double check = 397.0 / (99.5 + 99), refill = 110 / 6.8;
    ck_assert_int_eq(quote.parts[0].price,
                     llround(100 * (40 + check * 99.5 + refill * 4.8 + 600.0 * 960 / 1360)));
    ck_assert_int_eq(quote.parts[1].price,
                     llround(100 * (20 + check * 99 + refill * 2 + 600.0 * 400 / 1360)));
    make_quote(1);
    ck_assert_int_eq(quote.price, 6000);
}
END_TEST

START_TEST(a_refill_that_does_not_stop_the_machine_is_labour_alone)
{
    add_stock();
    add_pieces(200);
    shop->machine.refill_stops_cutting = 0;
    make_quote(0);
    expect(quote.amounts[SG_COST_MACHINE], 200 * 99.5 + 10 * 60);
    expect(quote.amounts[SG_COST_LABOUR], 10 * 60 + 140);
    shop->machine.refill_stops_cutting = 1;
    make_quote(0);
    expect(quote.amounts[SG_COST_MACHINE], 200 * 99.5 + 10 * 60 + 140);
}
END_TEST

START_TEST(chores_tabs_and_worn_tubes_find_their_parts)
{
    /* Chores: job 30 s, sheet 20, piece 2; tabs of 10 s. Part 0: 10 pieces with 3 tabs, part 1: 10 without;
     * one sheet of 20. Part 0 gets 30/2 + 20/2 + 60/2 of the load + 10 x 2 + 10 x 3 x 10. The tube, 287,000 s
     * of 288,000 old, is changed before the first sheet that would pass its life: 600 s by jet seconds, 960
     * and 960. The shift starts with 288 s: of 8 hours the job takes 1990 of cutting, 30, 20, 60, 40, 300 and
     * 600 by hand, 3040 of 28,800 s, so it pays 30.40 s of them, 15.20 a part. Job B, 20 pieces more, takes
     * 2740: 27.40. */
    static struct sg_chore chores[] = {{.name = "a", .when = SG_CHORE_SHIFT_START, .time = 288},
                                       {.name = "b", .when = SG_CHORE_JOB, .time = 30},
                                       {.name = "c", .when = SG_CHORE_SHEET, .time = 20},
                                       {.name = "d", .when = SG_CHORE_PIECE, .time = 2}};
    charge_hands();
    shop->chores = chores;
    shop->n_chores = 4;
    shop->machine.tab_time = 10;
    shop->machine.tube_change = 600;
    test.heads[0].tube_hours = 287000;
    add_stock();
    add_pieces(10)->tabs = 3;
    add_pieces(10);
    test_shop_job(&test, 0);
    add_stock();
    add_pieces(20);
    make_quote(0);
    ck_assert_int_eq(quote.parts[0].price, 1520 + 100 * (15 + 10 + 30 + 20 + 300 + 300));
    ck_assert_int_eq(quote.parts[1].price, 1520 + 100 * (15 + 10 + 30 + 20 + 300));
    make_quote(1);
    ck_assert_int_eq(quote.price, 2740 + 100 * (30 + 20 + 60 + 40 + 600));
}
END_TEST

START_TEST(chores_of_the_shift_are_never_paid_more_than_once)
{
    /* 600 pieces of 99.5 s are more than 8 hours: all of the 100 s at the start and 50 at the end. Nothing
     * else is by hand. */
    static struct sg_chore chores[] = {{.name = "a", .when = SG_CHORE_SHIFT_START, .time = 100},
                                       {.name = "b", .when = SG_CHORE_SHIFT_END, .time = 50}};
    charge_hands();
    shop->chores = chores;
    shop->n_chores = 2;
    shop->machine.hopper = 1000;
    add_stock()->load = 0;
    add_pieces(600);
    make_quote(0);
    ck_assert_int_eq(quote.price, 15000);
}
END_TEST

START_TEST(services_are_paid_by_what_is_used_up_of_them)
{
    /* 20 pieces: 1920 s of jet, 1990 with rapids, 2050 with the load. Every 10 h of jet 1800 s: 96; every 10
     * h of table 1800 s: 99.50; every 5 days 1440 s, on days of 8 h: 1440 / 5 x 2050 / 28,800 = 20.50. It is
     * the same just before they fall due and just after. */
    static struct sg_chore chores[] = {
        {.name = "a", .when = SG_CHORE_DUE, .time = 1800, .counts = SG_COUNTS_PUMP, .every = 36000},
        {.name = "b", .when = SG_CHORE_DUE, .time = 1800, .counts = SG_COUNTS_TABLE, .every = 36000},
        {.name = "c", .when = SG_CHORE_DUE, .time = 1440, .counts = SG_COUNTS_CALENDAR, .every_days = 5},
        {.name = "d", .when = SG_CHORE_DUE, .time = 999, .counts = SG_COUNTS_PUMP, .every = UNKNOWN}};
    charge_hands();
    shop->chores = chores;
    shop->n_chores = 4;
    add_stock();
    add_pieces(20);
    for (int due = 0; due < 2; due++) {
        chores[0].hours = chores[1].hours = due ? 35000 : 1;
        chores[2].last = due ? SG_NO_DATE : test.shifts[0].date;
        make_quote(0);
        ck_assert_int_eq(quote.price, 6000 + 9600 + 9950 + 2050);
    }
}
END_TEST

START_TEST(sheets_are_whole_remnants_by_area_and_the_customers_free)
{
    /* 40 pieces: a remnant of half a sheet's length holds 2 x 4 of them (2 x 200 + 10 + 40 = 450 of 540 mm),
     * then 32 lie on two whole sheets: 2.5 sheets of 85. */
    struct sg_stock *stock = add_stock();
    stock->remnants = (struct sg_items){1, {{540, 470, 1, 0}}};
    add_pieces(40);
    make_quote(0);
    ck_assert_int_eq(quote.rows[SG_COST_MATERIAL], 21250);
    expect(quote.amounts[SG_COST_MATERIAL], 2.5);
    stock->owner = SG_OWNER_CUSTOMER;
    stock->sheet_price = UNKNOWN;
    make_quote(0);
    ck_assert_int_eq(quote.rows[SG_COST_MATERIAL], 0);
    ck_assert_uint_eq(quote.lacking, 0);
}
END_TEST

START_TEST(two_heads_wear_two_tubes_and_a_stack_takes_all_its_sheets)
{
    /* Stack of 2: 10 cuts make 20 pieces, on one stack of two sheets. Two heads halve cut and pierce: 48 s a
     * cut, 480 s in all, of twice the garnet and water; 2 x 480 / 288,000 of a tube. */
    test.heads[0].heads = 2;
    add_stock()->stack = 2;
    add_pieces(20);
    make_quote(0);
    expect(quote.amounts[SG_COST_MATERIAL], 2);
    expect(quote.amounts[SG_COST_TUBE], 960.0 / 288000);
    expect(quote.amounts[SG_COST_ORIFICE], 960.0 / 216000);
    expect(quote.amounts[SG_COST_GARNET], 480.0 / 60 * 0.6);
    expect(quote.amounts[SG_COST_WATER], 480.0 / 60 * 2 * 3.84);
    expect(quote.amounts[SG_COST_POWER], 480.0 / 3600 * 2 * 25.6);
    expect(quote.amounts[SG_COST_MACHINE], 10 * (48 + 3.5) + 60);
}
END_TEST

int main(void)
{
    TCase *money = tcase_create("cost");
    tcase_add_checked_fixture(money, open_priced_shop, close_priced_shop);
    tcase_add_test(money, twenty_pieces_of_one_sheet);
    tcase_add_test(money, a_margin_is_of_the_price);
    tcase_add_test(money, a_minimum_price_is_made_up_to);
    tcase_add_test(money, a_currency_may_have_no_decimals_or_three);
    tcase_add_test(money, a_head_change_and_first_check_are_the_stocks_they_are_for);
    tcase_add_test(money, refills_are_those_of_the_job_alone);
    tcase_add_test(money, time_garnet_sheets_and_jet_weigh_differently);
    tcase_add_test(money, a_refill_that_does_not_stop_the_machine_is_labour_alone);
    tcase_add_test(money, chores_tabs_and_worn_tubes_find_their_parts);
    tcase_add_test(money, chores_of_the_shift_are_never_paid_more_than_once);
    tcase_add_test(money, services_are_paid_by_what_is_used_up_of_them);
    tcase_add_test(money, sheets_are_whole_remnants_by_area_and_the_customers_free);
    tcase_add_test(money, two_heads_wear_two_tubes_and_a_stack_takes_all_its_sheets);
    return run_case("cost", money);
}
