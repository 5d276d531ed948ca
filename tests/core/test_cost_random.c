/* Whole cents, whatever the job: rows add up to parts, parts and rows to the job, for 1 and for 10,000
 * pieces. */
#include "sandglass/cost.h"

#include "support/must.h"
#include "support/random.h"
#include "support/shop.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define UNKNOWN ((double)NAN)

static struct test_shop test;

static double up_to(struct random *r, double most)
{
    return random_unit(r) * most;
}

/* Now and then not known, now and then 0. */
static double some_rate(struct random *r, double most)
{
    unsigned luck = random_below(r, 60);
    return luck == 0 ? UNKNOWN : luck < 4 ? 0 : up_to(r, most);
}

static struct sg_rates some_rates(struct random *r)
{
    for (int32_t i = 0; i < test.shop.n_stocks; i++)
        test.shop.stocks[i].sheet_price = some_rate(r, 400);
    struct sg_rates rates = {.machine = some_rate(r, 150),
                             .labour = some_rate(r, 60),
                             .power = some_rate(r, 0.4),
                             .water = some_rate(r, 6),
                             .garnet = some_rate(r, 1),
                             .disposal = some_rate(r, 0.5),
                             .tube = some_rate(r, 200),
                             .orifice = some_rate(r, 80),
                             .setup = some_rate(r, 100),
                             .mark_up = UNKNOWN,
                             .margin = UNKNOWN,
                             .minimum = random_below(r, 3) == 0 ? up_to(r, 2000) : UNKNOWN,
                             .currency = "",
                             .decimals = (int32_t)random_below(r, 5)};
    if (random_below(r, 2) == 0)
        rates.mark_up = up_to(r, 1);
    else if (random_below(r, 8) > 0)
        rates.margin = up_to(r, 0.9);
    return rates;
}

static const int32_t quantities[] = {1, 2, 3, 7, 60, 10000};

static void add_some_stock(struct random *r)
{
    struct sg_stock *stock =
        test_shop_stock(&test, random_below(r, 8) == 0 ? 3 : (int32_t)random_below(r, 3), 1 + up_to(r, 20));
    stock->stack = 1 + (int32_t)random_below(r, 2);
    if (random_below(r, 6) > 0) {
        stock->sheet_length = 2500;
        stock->sheet_width = 1250;
    }
    for (unsigned i = 0, n = 1 + random_below(r, 4); i < n; i++) {
        struct sg_part *part = test_shop_part(&test, quantities[random_below(r, 6)], up_to(r, 3000),
                                              20 + up_to(r, 300), 20 + up_to(r, 300));
        part->tabs = (int32_t)random_below(r, 3);
        part->scrap = (int32_t)random_below(r, 3);
        if (random_below(r, 100) == 0)
            part->cut_length = UNKNOWN;
        if (random_below(r, 40) == 0)
            part->length = UNKNOWN;
    }
}

static void make_shop(struct random *r)
{
    test_shop_make(&test);
    for (unsigned i = 0, jobs = 1 + random_below(r, 3); i < jobs; i++) {
        test_shop_job(&test, 0);
        for (unsigned k = 0, stocks = 1 + random_below(r, 3); k < stocks; k++)
            add_some_stock(r);
    }
}

static void check_part(const struct sg_quote_part *part, const struct sg_quote *quote)
{
    int64_t sum = 0;
    for (int row = 0; row < SG_COST_ROWS; row++) {
        must_hold(part->rows[row] >= 0);
        must_hold((part->lacks[row] & ~quote->lacks[row]) == 0);
        sum += part->rows[row];
    }
    must(sum == part->price, "rows add up to %lld, the part costs %lld", (long long)sum,
         (long long)part->price);
    must_hold(part->dearer >= 0 && (part->quantity == 0 || part->dearer < part->quantity));
    must_hold(part->each * part->quantity + part->dearer == part->price);
}

static void check_sums(const struct sg_quote *quote)
{
    int64_t price = 0, rows[SG_COST_ROWS] = {0}, by_rows = 0;
    unsigned lacking = 0;
    for (int32_t i = 0; i < quote->n_parts; i++) {
        check_part(&quote->parts[i], quote);
        price += quote->parts[i].price;
        for (int row = 0; row < SG_COST_ROWS; row++)
            rows[row] += quote->parts[i].rows[row];
    }
    for (int row = 0; row < SG_COST_ROWS; row++) {
        must_hold(rows[row] == quote->rows[row]);
        by_rows += quote->rows[row];
        lacking |= quote->lacks[row];
    }
    must_hold(price == quote->price && by_rows == quote->price && lacking == quote->lacking);
}

/* Only a rate that is not known makes a row lack something, and that row is not in the price. */
static void check_lacks(const struct sg_quote *quote, const struct sg_rates *rates)
{
    const double by_row[] = {rates->machine, rates->labour,   rates->power, rates->water,
                             rates->garnet,  rates->disposal, rates->tube,  rates->orifice};
    for (int row = 0; row < (int)(sizeof by_row / sizeof *by_row); row++) {
        bool lacks_rate = quote->lacks[row] & 1u << row;
        must_hold(!lacks_rate || isnan(by_row[row]));
        must_hold(!isnan(by_row[row]) || quote->rows[row] == 0);
    }
}

START_TEST(everything_adds_up_to_the_cent)
{
    struct random r = {.state = 0x51a7e5};
    struct sg_planner *planner = sg_planner_new();
    int complete = 0;
    for (int round = 0; round < 400; round++) {
        struct sg_arena arena = {0};
        struct sg_quote quote;
        struct sg_error error;
        make_shop(&r);
        struct sg_rates rates = some_rates(&r);
        int32_t job = (int32_t)random_below(&r, (unsigned)test.shop.n_jobs);
        must(sg_quote_make(planner, &test.shop, job, &rates, &arena, &quote, &error) == SG_OK, "%s",
             error.text);
        check_sums(&quote);
        check_lacks(&quote, &rates);
        complete += quote.lacking == 0;
        sg_arena_free(&arena);
        test_shop_free(&test);
    }
    ck_assert_int_gt(complete, 100); /* enough of them are whole prices */
    sg_planner_free(planner);
}
END_TEST

START_TEST(a_price_is_that_of_its_unrounded_costs)
{
    /* The same figures in a currency of four decimals come within half a cent of two, a row within one;
     * so does a part, which is owed what it lost in the rows before (0.78 at most in these shops). */
    struct random r = {.state = 0xc0ffee};
    struct sg_planner *planner = sg_planner_new();
    for (int round = 0; round < 100; round++) {
        struct sg_arena arena = {0};
        struct sg_quote coarse, fine;
        make_shop(&r);
        struct sg_rates rates = some_rates(&r);
        rates.decimals = 2;
        must_hold(sg_quote_make(planner, &test.shop, 0, &rates, &arena, &coarse, NULL) == SG_OK);
        rates.decimals = 4;
        must_hold(sg_quote_make(planner, &test.shop, 0, &rates, &arena, &fine, NULL) == SG_OK);
        must_hold(fabs((double)coarse.price - (double)fine.price / 100) <= 0.5 + 0.01);
        for (int row = 0; row < SG_COST_ROWS; row++)
            must_hold(fabs((double)coarse.rows[row] - (double)fine.rows[row] / 100) < 1.01);
        for (int32_t i = 0; i < coarse.n_parts; i++) {
            double off = fabs((double)coarse.parts[i].price - (double)fine.parts[i].price / 100);
            must(off < 1, "part %d is %g cents off", (int)i, off);
        }
        sg_arena_free(&arena);
        test_shop_free(&test);
    }
    sg_planner_free(planner);
}
END_TEST

START_TEST(like_parts_cost_the_same_but_for_a_cent)
{
    struct random r = {.state = 0xbead};
    struct sg_planner *planner = sg_planner_new();
    for (int round = 0; round < 40; round++) {
        struct sg_arena arena = {0};
        struct sg_quote quote;
        test_shop_make(&test);
        test_shop_job(&test, 0);
        struct sg_stock *stock = test_shop_stock(&test, 0, 6);
        stock->sheet_length = 2500;
        stock->sheet_width = 1250;
        double length = up_to(&r, 2000);
        for (int i = 0; i < 300; i++)
            test_shop_part(&test, 1, length, 60, 40);
        struct sg_rates rates = some_rates(&r);
        rates.decimals = 2;
        must_hold(sg_quote_make(planner, &test.shop, 0, &rates, &arena, &quote, NULL) == SG_OK);
        check_sums(&quote);
        int64_t least = INT64_MAX, most = 0;
        for (int32_t i = 0; i < quote.n_parts; i++) {
            least = quote.parts[i].price < least ? quote.parts[i].price : least;
            most = quote.parts[i].price > most ? quote.parts[i].price : most;
        }
        must(most - least <= 1, "round %d: %lld to %lld cents", round, (long long)least, (long long)most);
        sg_arena_free(&arena);
        test_shop_free(&test);
    }
    sg_planner_free(planner);
}
END_TEST

/* ---- alone ---- */

enum { JOBS = 4, CHORES = 6 };

/* A job by the number that makes it, in a shift. */
struct placed {
    uint64_t number;
    int32_t shift;
};

/* A job as its number makes it, whatever stands around it. */
static void add_numbered_job(struct placed job)
{
    struct random r = {.state = job.number};
    test_shop_job(&test, job.shift);
    for (unsigned k = 0, stocks = 1 + random_below(&r, 3); k < stocks; k++) {
        add_some_stock(&r);
        struct sg_stock *stock = &test.shop.stocks[test.shop.n_stocks - 1];
        stock->sheet_price = up_to(&r, 400);
        stock->first_check = up_to(&r, 600);
        stock->fill = (int32_t)random_below(&r, 2);
    }
}

/* A day that is as likely one as another: breaks, an old hopper, services that fall due, a sheet on the
 * table.
 */
static void make_day(struct random *r, int32_t shift)
{
    struct sg_shift *s = &test.shifts[shift];
    *s = test.shifts[0];
    s->id = shift == 0 ? "A" : "B";
    s->date = 20000 + shift;
    s->calendar = (struct sg_calendar){.epoch = 86400.0 * shift, .close_s = 3600 * (1 + up_to(r, 12))};
    for (; s->calendar.n_breaks < (int)random_below(r, 3); s->calendar.n_breaks++) {
        double from = 1800 + 5000 * s->calendar.n_breaks + up_to(r, 1000);
        s->calendar.breaks[s->calendar.n_breaks].from_s = from;
        s->calendar.breaks[s->calendar.n_breaks].to_s = from + up_to(r, 3000);
    }
    s->run_in_breaks = (int32_t)random_below(r, 2);
    s->fill_before_breaks = (int32_t)random_below(r, 2);
    s->closed = (int32_t)random_below(r, 2);
    s->n_closed_days = (int32_t)random_below(r, 2);
    s->closed_days[0] = s->date;
    s->sheet_on = random_below(r, 2) ? "A/1" : "";
}

static void put_on_table(struct random *r)
{
    test.shop.machine.hopper_level = up_to(r, test.shop.machine.hopper);
    test.shop.machine.bags_in_stock = (int32_t)random_below(r, 5);
    test.shop.machine.sludge = up_to(r, 1000);
}

/* What every one of these shops has in common. */
static void equip(struct random *r, struct sg_chore *chores)
{
    test.shop.machine.head_fitted = (int32_t)random_below(r, 2);
    test.shop.machine.refill_stops_cutting = (int32_t)random_below(r, 2);
    test.shop.machine.refill_when = (int32_t)random_below(r, 2);
    test.heads[0].tube_life = 200000;
    test.heads[0].tube_hours = up_to(r, 200000);
    for (int i = 0; i < CHORES; i++)
        chores[i] = (struct sg_chore){.name = "work",
                                      .when = i,
                                      .time = up_to(r, 900),
                                      .counts = (int32_t)random_below(r, 3),
                                      .every = 3600 * (1 + up_to(r, 100)),
                                      .every_days = 1 + (int32_t)random_below(r, 30),
                                      .hours = up_to(r, 360000),
                                      .last = 20000 - (int32_t)random_below(r, 40)};
    test.shop.chores = chores;
    test.shop.n_chores = CHORES;
}

/* The price of one of these jobs, in two shifts of a random day; not_known where it is without something. */
static int64_t price_among(struct sg_planner *planner, const struct placed *jobs, int n, uint64_t wanted,
                           uint64_t common, struct random *day, const struct sg_rates *rates)
{
    struct sg_arena arena = {0};
    struct sg_quote quote;
    struct sg_error error;
    struct sg_chore chores[CHORES];
    struct random same = {.state = common};
    int32_t job = -1;
    test_shop_make(&test);
    equip(&same, chores);
    for (int i = 0; i < n; i++) {
        job = jobs[i].number == wanted ? test.shop.n_jobs : job;
        add_numbered_job(jobs[i]);
    }
    test.shop.n_shifts = 2;
    make_day(day, 1);
    make_day(day, 0);
    put_on_table(day);
    must(sg_quote_make(planner, &test.shop, job, rates, &arena, &quote, &error) == SG_OK, "%s", error.text);
    int64_t price = quote.lacking ? -quote.price : quote.price;
    sg_arena_free(&arena);
    test_shop_free(&test);
    return price;
}

START_TEST(other_jobs_order_day_and_shift_do_not_move_a_price)
{
    struct random r = {.state = 0xa10e};
    struct sg_planner *planner = sg_planner_new();
    int whole = 0;
    for (int round = 0; round < 60; round++) {
        const uint64_t wanted = 2 * random_bits(&r) + 1, common = 2 * random_bits(&r) + 1;
        struct sg_rates rates = {.machine = 95,
                                 .labour = 42,
                                 .power = 0.15,
                                 .water = 2.6,
                                 .garnet = 0.7,
                                 .disposal = 0.1,
                                 .tube = 120,
                                 .orifice = 45,
                                 .setup = 25,
                                 .mark_up = 0.25,
                                 .margin = UNKNOWN,
                                 .minimum = UNKNOWN,
                                 .currency = "",
                                 .decimals = 2};
        const struct placed alone = {wanted, 0};
        int64_t price = price_among(planner, &alone, 1, wanted, common, &r, &rates);
        whole += price > 0;
        for (int again = 0; again < 3; again++) {
            struct placed jobs[JOBS];
            int n = 1 + (int)random_below(&r, JOBS), at = (int)random_below(&r, (unsigned)n);
            for (int i = 0; i < n; i++)
                jobs[i] = (struct placed){i == at ? wanted : 2 * random_bits(&r) + 1,
                                          i > 0 && jobs[i - 1].shift ? 1 : (int32_t)random_below(&r, 2)};
            int64_t other = price_among(planner, jobs, n, wanted, common, &r, &rates);
            must(other == price, "round %d: %lld cents alone, %lld as job %d of %d", round, (long long)price,
                 (long long)other, at + 1, n);
        }
    }
    ck_assert_int_gt(whole, 10);
    sg_planner_free(planner);
}
END_TEST

/* "1.20 less: 0.90 this, 0.40 that, but 0.10 other": the amounts add up. */
static void check_reason(const struct sg_price_break *before, const struct sg_price_break *after,
                         int decimals)
{
    char text[400];
    double total = 0, sum = 0;
    sg_price_reason(before, after, decimals, text, sizeof text);
    const char *colon = strstr(text, ": ");
    if (!colon)
        return;
    double way = strstr(text, " more: ") ? 1 : -1;
    total = strtod(text, NULL) * way;
    for (const char *at = colon; at; at = strchr(at + 1, ',')) {
        if (strncmp(at, ", but ", 6) == 0)
            way = -way;
        sum += way * strtod(at + strcspn(at, "0123456789"), NULL);
    }
    must(fabs(sum - total) < 1e-6, "%s", text);
}

START_TEST(breaks_add_up_and_the_own_quantity_is_the_quote)
{
    struct random r = {.state = 0xfeed};
    struct sg_planner *planner = sg_planner_new();
    for (int round = 0; round < 60; round++) {
        struct sg_arena arena = {0};
        struct sg_quote quote;
        struct sg_price_break breaks[3];
        struct sg_error error;
        make_shop(&r);
        struct sg_rates rates = some_rates(&r);
        int64_t own = sg_job_sets(&test.shop, 0), sets[] = {own, own + 1, own + 9};
        must(sg_quote_breaks(planner, &test.shop, 0, &rates, sets, 3, breaks, &error) == SG_OK, "%s",
             error.text);
        must_hold(sg_quote_make(planner, &test.shop, 0, &rates, &arena, &quote, NULL) == SG_OK);
        must_hold(breaks[0].price == quote.price && breaks[0].lacking == quote.lacking);
        for (int i = 0; i < 3; i++) {
            int64_t sum = 0;
            for (int k = 0; k < SG_CAUSES; k++) {
                must_hold(breaks[i].causes[k] >= 0);
                sum += breaks[i].causes[k];
            }
            must_hold(sum == breaks[i].price);
        }
        check_reason(&breaks[0], &breaks[1], rates.decimals);
        check_reason(&breaks[1], &breaks[2], rates.decimals);
        sg_arena_free(&arena);
        test_shop_free(&test);
    }
    sg_planner_free(planner);
}
END_TEST

int main(void)
{
    TCase *sums = tcase_create("whole cents");
    tcase_add_test(sums, everything_adds_up_to_the_cent);
    tcase_add_test(sums, a_price_is_that_of_its_unrounded_costs);
    tcase_add_test(sums, like_parts_cost_the_same_but_for_a_cent);
    tcase_add_test(sums, other_jobs_order_day_and_shift_do_not_move_a_price);
    tcase_add_test(sums, breaks_add_up_and_the_own_quantity_is_the_quote);
    return run_case("cost_random", sums);
}
