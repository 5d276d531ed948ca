/* A shop of round figures and its rates, for what is worked out in money by hand. */
#ifndef SANDGLASS_TESTS_QUOTED_H
#define SANDGLASS_TESTS_QUOTED_H

#include "sandglass/cost.h"

#include "support/planned.h"

static struct sg_arena arena;
static struct sg_rates rates;
static double sheet_price; /* of stocks that are added */
static struct sg_quote quote;

/* One empty job. The jet is of round figures: at 320 MPa sqrt(2 P / rho) is 800 m/s; Cd = 2/pi and 0.4 mm
 * make Q = 2/pi x pi/4 x 0.16 mm2 x 800 m/s = 64 mL/s = 3.84 L/min, P Q = 20.48 kW, at an efficiency of 0.8
 * that is 25.6 kW at the shaft. Tube 80 h, orifice 60 h; 2 s of lift a pierce. */
static inline void open_priced_shop(void)
{
    open_round_shop();
    shop->machine.pump_efficiency = 0.8;
    test.heads[0].pressure = 320;
    test.heads[0].discharge = 2 / acos(-1);
    test.heads[0].orifice = 0.4;
    test.heads[0].tube_life = 80 * 3600;
    test.heads[0].orifice_life = 60 * 3600;
    sheet_price = 85;
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
                              .decimals = 2};
    arena = (struct sg_arena){0};
    test_shop_job(&test, 0);
}

static inline void close_priced_shop(void)
{
    sg_arena_free(&arena);
    close_shop();
}

/* Mild steel at 600 mm/min, 6 s a pierce, 60 s to load, on sheets that hold 5 x 4 pieces of 200 x 100 mm. */
static inline struct sg_stock *add_stock(void)
{
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->feed = 600;
    stock->pierce_seconds = 6;
    stock->load = 60;
    stock->sheet_price = sheet_price;
    stock->first_check = 0;
    stock->gap = 10;
    stock->margin = 20;
    stock->sheet_length = 5 * 200 + 4 * 10 + 2 * 20;
    stock->sheet_width = 4 * 100 + 3 * 10 + 2 * 20;
    return stock;
}

/* 90 s of cut, 6 of pierce, 1.5 of rapid (150 mm) and 2 of lift: 99.5 s, 96 of them with garnet. */
static inline struct sg_part *add_pieces(int32_t quantity)
{
    return test_shop_part(&test, quantity, 900, 200, 100);
}

/* Of all stocks, those to come too. */
static inline void price_sheets(double price)
{
    sheet_price = price;
    for (int32_t i = 0; i < shop->n_stocks; i++)
        shop->stocks[i].sheet_price = price;
}

static inline void make_quote(int32_t job)
{
    struct sg_error error;
    must(sg_quote_make(planner, shop, job, &rates, &arena, &quote, &error) == SG_OK, "%s", error.text);
}

#endif
