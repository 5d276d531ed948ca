/* Quotes against hand arithmetic: what is charged, to which part, and what is not known. */
#include "sandglass/cost.h"

#include "support/shop.h"

#include <check.h>
#include <math.h>
#include <string.h>

#define UNKNOWN ((double)NAN)

static struct test_shop test;
static struct sg_shop *shop;
static struct sg_planner *planner;
static struct sg_arena arena;
static struct sg_rates rates;
static double sheet_price[8];
static struct sg_quote quote;

/* A jet of round figures: at 320 MPa sqrt(2 P / rho) is 800 m/s; Cd = 2/pi and 0.4 mm make Q = 2/pi x pi/4 x
 * 0.16 mm2 x 800 m/s = 64 mL/s = 3.84 L/min, P Q = 20.48 kW, at an efficiency of 0.8 that is 25.6 kW at the
 * shaft. Garnet 0.3 kg/min; tube 80 h, orifice 60 h. Hopper 100 kg full, low line 10, bags of 20; a refill
 * takes 100 s and 10 s a bag. Rapids of 6000 mm/min, 2 s of lift a pierce. */
static void set_up(void)
{
    test_shop_make(&test);
    shop = &test.shop;
    shop->machine.pump_efficiency = 0.8;
    shop->machine.hopper = shop->machine.hopper_level = 100;
    shop->machine.low_line = 10;
    shop->machine.bag = 20;
    shop->machine.refill = 100;
    shop->machine.refill_per_bag = 10;
    shop->machine.rapid = 6000;
    test.heads[0].pressure = 320;
    test.heads[0].discharge = 2 / acos(-1);
    test.heads[0].orifice = 0.4;
    test.heads[0].garnet = 300;
    test.heads[0].tube_life = 80 * 3600;
    test.heads[0].orifice_life = 60 * 3600;
    for (int i = 0; i < 8; i++)
        sheet_price[i] = 85;
    rates = (struct sg_rates){.machine = 72,
                              .labour = 36,
                              .power = 0.15,
                              .water = 2.50,
                              .garnet = 0.50,
                              .disposal = 0.10,
                              .tube = 120,
                              .orifice = 45,
                              .setup = 25,
                              .mark_up = 0.20,
                              .margin = UNKNOWN,
                              .minimum = UNKNOWN,
                              .currency = "",
                              .decimals = 2,
                              .sheet_price = sheet_price};
    planner = sg_planner_new();
    arena = (struct sg_arena){0};
    test_shop_job(&test, 0);
}

static void tear_down(void)
{
    sg_arena_free(&arena);
    sg_planner_free(planner);
    test_shop_free(&test);
}

static void make(int32_t job)
{
    struct sg_error error;
    ck_assert_msg(sg_quote_make(planner, shop, job, &rates, &arena, &quote, &error) == SG_OK, "%s",
                  error.text);
}

/* Mild steel at 600 mm/min, 6 s a pierce, 60 s to load, on sheets that hold 5 x 4 pieces of 200 x 100 mm. */
static struct sg_stock *add_stock(void)
{
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->feed = 600;
    stock->pierce_seconds = 6;
    stock->load = 60;
    stock->first_check = 0;
    stock->gap = 10;
    stock->margin = 20;
    stock->sheet_length = 5 * 200 + 4 * 10 + 2 * 20;
    stock->sheet_width = 4 * 100 + 3 * 10 + 2 * 20;
    return stock;
}

/* 90 s of cut, 6 of pierce, 1.5 of rapid (150 mm) and 2 of lift: 99.5 s, 96 of them with garnet. */
static struct sg_part *add_pieces(int32_t quantity)
{
    return test_shop_part(&test, quantity, 900, 200, 100);
}

#define expect_rows(rows, ...) expect_rows_at(__LINE__, rows, (const int64_t[SG_COST_ROWS]){__VA_ARGS__})
static void expect_rows_at(int line, const int64_t *rows, const int64_t *expected)
{
    for (int row = 0; row < SG_COST_ROWS; row++)
        ck_assert_msg(rows[row] == expected[row], "line %d: %s is %lld, expected %lld", line,
                      sg_cost_word(row, &rates), (long long)rows[row], (long long)expected[row]);
}

#define expect(value, expected) expect_at(__LINE__, value, expected)
static void expect_at(int line, double value, double expected)
{
    ck_assert_msg(fabs(value - expected) <= 1e-9 * fmax(1, fabs(expected)), "line %d: %.12g, expected %.12g",
                  line, value, expected);
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
    make(0);
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
    make(0);
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
    make(0);
    ck_assert_int_eq(quote.price, 25000);
    /* 250 - 193.09824 = 56.90176; floors 249.98, power (.80) and water (.72) get a cent. */
    expect_rows(quote.rows, 4100, 60, 205, 31, 480, 96, 80, 40, 8500, 2500, 3218, 5690);
    rates.minimum = 193;
    make(0);
    ck_assert_int_eq(quote.price, 19310);
    ck_assert_int_eq(quote.rows[SG_COST_MINIMUM], 0);
}
END_TEST

START_TEST(a_currency_may_have_no_decimals_or_three)
{
    add_stock();
    add_pieces(20);
    rates.decimals = 0;
    make(0);
    ck_assert_int_eq(quote.price, 193);
    rates.decimals = 3;
    make(0);
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
    memset(sheet_price, 0, sizeof sheet_price);
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
    make(0);
    ck_assert_int_eq(quote.parts[0].rows[SG_COST_LABOUR], 33000 + 2000);
    ck_assert_int_eq(quote.parts[1].rows[SG_COST_LABOUR], 66000 + 4000);
    ck_assert_int_eq(quote.parts[2].rows[SG_COST_LABOUR], 6000);
    ck_assert_int_eq(quote.price, 900 * 100 + 90 * 100 + 2 * 6000);
}
END_TEST

START_TEST(refills_go_by_garnet_to_all_jobs_of_the_shift)
{
    /* Job A: 20 pieces of 0.48 kg: 9.6 kg. Job B 180 pieces: 86.4 kg. 96 kg in
     * all, 90 are in the hopper: one refill of 4 bags in job B, 100 + 40 s. A pays 140 x 9.6 / 96 = 14 s, B
     * 126 s; loads are 1 and 9 sheets of 60 s. */
    charge_hands();
    add_stock();
    add_pieces(20);
    test_shop_job(&test, 0);
    add_stock();
    add_pieces(180);
    make(0);
    ck_assert_int_eq(quote.rows[SG_COST_LABOUR], 6000 + 1400);
    make(1);
    ck_assert_int_eq(quote.rows[SG_COST_LABOUR], 54000 + 12600);
}
END_TEST

START_TEST(time_garnet_sheets_and_jet_weigh_differently)
{
    /* One sheet of 10 + 10 pieces. Part 0: 200 x 100 mm, 96 s of jet and 3.5 of rapid and lift. Part 1: half
     * as wide, 40 s of jet (400 mm, no pierce) and a rapid of 5.9 m, 59 s and no lift. The load of 60 s goes
     * by area 2 to 1, the first check of 397 s by 99.5 and 99, 2 to a second. Job B has a head of its own
     * with twice the garnet: 16 pieces as part 0. Its refill of 140 s goes by garnet: A has 10 x 0.48 and 10
     * x 0.2 = 6.8 kg, B 16 x 0.96 = 15.36; the hopper holds 10 + 21 kg and 22.16 are wanted. A tube of A's
     * head is changed for 600 s: by jet seconds 960 to 400, and nothing of it is B's. */
    charge_hands();
    test.heads[2] = test.heads[0];
    test.heads[2].name = "other";
    test.heads[2].garnet = 600;
    shop->n_heads = 3;
    shop->machine.head_change = 0;
    shop->machine.tube_change = 600;
    test.heads[0].tube_hours = 287000;
    shop->machine.hopper_level = 31;
    struct sg_stock *stock = add_stock();
    stock->first_check = 397;
    add_pieces(10);
    struct sg_part *small = test_shop_part(&test, 10, 400, 200, 50);
    small->pierces = 0;
    small->rapid_length = 5900;
    test_shop_job(&test, 0);
    add_stock()->head = 2;
    add_pieces(16);
    make(0);
    double check = 397.0 / (99.5 + 99), refill = 140 / 22.16;
    ck_assert_int_eq(quote.parts[0].price,
                     llround(100 * (40 + check * 99.5 + refill * 4.8 + 600.0 * 960 / 1360)));
    ck_assert_int_eq(quote.parts[1].price,
                     llround(100 * (20 + check * 99 + refill * 2 + 600.0 * 400 / 1360)));
    make(1);
    ck_assert_int_eq(quote.price, llround(100 * (60 + refill * 15.36)));
}
END_TEST

START_TEST(a_refill_that_does_not_stop_the_machine_is_labour_alone)
{
    add_stock();
    add_pieces(200);
    shop->machine.refill_stops_cutting = 0;
    make(0);
    expect(quote.amounts[SG_COST_MACHINE], 200 * 99.5 + 10 * 60);
    expect(quote.amounts[SG_COST_LABOUR], 10 * 60 + 140);
    shop->machine.refill_stops_cutting = 1;
    make(0);
    expect(quote.amounts[SG_COST_MACHINE], 200 * 99.5 + 10 * 60 + 140);
}
END_TEST

START_TEST(chores_tabs_and_worn_tubes_find_their_parts)
{
    /* Chores: shift start 100 s, job 30, sheet 20, piece 2; tabs of 10 s. Part 0: 10 pieces with 3 tabs, part
     * 1: 10 without; one sheet of 20. Job B: 20 pieces more. Cutting seconds 995, 995, 1990. Part 0 gets
     * 100/4 + 30/2 + 20/2 + 60/2 + 10 x 2 + 10 x 3 x 10. The tube, 287,000 s of 288,000 old, is changed
     * before the first sheet that would pass its life: 600 s by jet seconds, 960, 960 and 1920. */
    static struct sg_chore chores[] = {{.name = "a", .when = SG_CHORE_SHIFT_START, .time = 100},
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
    make(0);
    ck_assert_int_eq(quote.parts[0].price, 100 * (25 + 15 + 10 + 30 + 20 + 300 + 150));
    ck_assert_int_eq(quote.parts[1].price, 100 * (25 + 15 + 10 + 30 + 20 + 150));
    make(1);
    ck_assert_int_eq(quote.price, 100 * (50 + 30 + 20 + 60 + 40 + 300));
}
END_TEST

START_TEST(sheets_are_whole_remnants_by_area_and_the_customers_free)
{
    /* 40 pieces: a remnant of half a sheet's length holds 2 x 4 of them (2 x 200 + 10 + 40 = 450 of 540 mm),
     * then 32 lie on two whole sheets: 2.5 sheets of 85. */
    struct sg_stock *stock = add_stock();
    stock->remnants = (struct sg_items){1, {{540, 470, 1, 0}}};
    add_pieces(40);
    make(0);
    ck_assert_int_eq(quote.rows[SG_COST_MATERIAL], 21250);
    expect(quote.amounts[SG_COST_MATERIAL], 2.5);
    stock->owner = SG_OWNER_CUSTOMER;
    sheet_price[0] = UNKNOWN;
    make(0);
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
    make(0);
    expect(quote.amounts[SG_COST_MATERIAL], 2);
    expect(quote.amounts[SG_COST_TUBE], 960.0 / 288000);
    expect(quote.amounts[SG_COST_ORIFICE], 960.0 / 216000);
    expect(quote.amounts[SG_COST_GARNET], 480.0 / 60 * 0.6);
    expect(quote.amounts[SG_COST_WATER], 480.0 / 60 * 2 * 3.84);
    expect(quote.amounts[SG_COST_POWER], 480.0 / 3600 * 2 * 25.6);
    expect(quote.amounts[SG_COST_MACHINE], 10 * (48 + 3.5) + 60);
}
END_TEST

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
    make(0);
    struct sg_quote whole = quote;
    const struct sg_rates known = rates;
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        const double not_known = UNKNOWN;
        rates = known;
        memcpy((char *)&rates + all[i].offset, &not_known, sizeof not_known);
        make(0);
        ck_assert_uint_eq(quote.lacking, all[i].lack);
        ck_assert_uint_eq(quote.lacks[all[i].row], all[i].lack);
        ck_assert_uint_eq(quote.parts[0].lacks[all[i].row], all[i].lack);
        ck_assert_int_lt(quote.price, whole.price);
        if (all[i].row < SG_COST_SETUP)
            expect(quote.amounts[all[i].row], whole.amounts[all[i].row]); /* what it is for is known */
    }
    rates = known;
    rates.sheet_price = NULL;
    make(0);
    ck_assert_uint_eq(quote.lacking, SG_LACK_SHEET_PRICE);
    rates.minimum = 1000; /* who knows whether it is reached */
    make(0);
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
    make(0);
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
    make(0);
    ck_assert_uint_eq(quote.lacking, SG_LACK_TUBE_LIFE | SG_LACK_ORIFICE_LIFE);
    ck_assert(isnan(quote.amounts[SG_COST_TUBE]));
    stock->sheet_length = UNKNOWN;
    make(0);
    ck_assert_uint_eq(quote.lacking, SG_LACK_TUBE_LIFE | SG_LACK_ORIFICE_LIFE | SG_LACK_SHEETS);
    sg_lacks_text(quote.lacking, text, sizeof text);
    ck_assert_str_eq(text, "tube_life of a head, orifice_life of a head, how many sheets it takes");
    stock->feed = UNKNOWN;
    stock->material = 3; /* foam with garnet: no speed is known */
    stock->head = 0;
    make(0);
    for (int row = SG_COST_MACHINE; row <= SG_COST_ORIFICE; row++)
        ck_assert_uint_eq(quote.lacks[row] & SG_LACK_TIME, SG_LACK_TIME);
    ck_assert_int_eq(quote.price, 3000); /* set-up and 20 % */
}
END_TEST

START_TEST(a_job_behind_one_that_cannot_be_timed_lacks_what_is_done_by_hand)
{
    add_stock();
    test_shop_part(&test, 1, UNKNOWN, 200, 100);
    test_shop_job(&test, 0);
    add_stock();
    add_pieces(20);
    make(1);
    ck_assert_uint_eq(quote.lacks[SG_COST_MACHINE], SG_LACK_RUN);
    ck_assert_uint_eq(quote.lacks[SG_COST_LABOUR], SG_LACK_RUN);
    ck_assert_uint_eq(quote.lacks[SG_COST_GARNET], 0);
    ck_assert_int_eq(quote.rows[SG_COST_GARNET], 480);
}
END_TEST

START_TEST(neither_empty_stores_nor_a_free_day_change_a_price)
{
    add_stock();
    add_pieces(400);
    make(0);
    int64_t price = quote.price;
    shop->machine.bags_in_stock = 0;
    test.shifts[0].n_closed_days = 1;
    test.shifts[0].closed_days[0] = test.shifts[0].date;
    make(0);
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
    TCase *money = tcase_create("cost");
    tcase_add_checked_fixture(money, set_up, tear_down);
    tcase_add_test(money, twenty_pieces_of_one_sheet);
    tcase_add_test(money, a_margin_is_of_the_price);
    tcase_add_test(money, a_minimum_price_is_made_up_to);
    tcase_add_test(money, a_currency_may_have_no_decimals_or_three);
    tcase_add_test(money, a_head_change_and_first_check_are_the_stocks_they_are_for);
    tcase_add_test(money, refills_go_by_garnet_to_all_jobs_of_the_shift);
    tcase_add_test(money, time_garnet_sheets_and_jet_weigh_differently);
    tcase_add_test(money, a_refill_that_does_not_stop_the_machine_is_labour_alone);
    tcase_add_test(money, chores_tabs_and_worn_tubes_find_their_parts);
    tcase_add_test(money, sheets_are_whole_remnants_by_area_and_the_customers_free);
    tcase_add_test(money, two_heads_wear_two_tubes_and_a_stack_takes_all_its_sheets);
    tcase_add_test(money, a_rate_that_is_not_known_is_never_nothing);
    tcase_add_test(money, what_is_not_used_needs_no_rate);
    tcase_add_test(money, lives_sheets_and_times_that_are_not_known_are_told);
    tcase_add_test(money, a_job_behind_one_that_cannot_be_timed_lacks_what_is_done_by_hand);
    tcase_add_test(money, neither_empty_stores_nor_a_free_day_change_a_price);
    tcase_add_test(money, rates_and_jobs_that_cannot_be_are_refused);
    tcase_add_test(money, money_is_written_to_the_cent);
    Suite *suite = suite_create("cost");
    suite_add_tcase(suite, money);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
