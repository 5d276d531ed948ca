/* The lead's questions: alone against a plain simulator that steps one piece at a time, the others by hand.
 */
#include "sandglass/ask.h"

#include "support/plain_run.h"
#include "support/random_run.h"
#include "support/shop.h"

#include <check.h>
#include <math.h>

enum { RUNS = 1500, TRIES = 40 };

static unsigned number; /* of the case, for the messages */

static struct plain_run plain;

/* ---- alone, against the plain simulator ---- */

static bool plain_calls(const struct plain_event *e)
{
    return e->kind == SG_EVENT_OUT_OF_GARNET || (e->kind != SG_EVENT_CUT && e->seconds > 0);
}

/* From when an event asks to when it starts; the want of garnet asks for ever. */
static bool plain_asks_within(const struct plain_event *e, double from, double to)
{
    double until = e->kind == SG_EVENT_OUT_OF_GARNET ? HUGE_VAL : e->at;
    return plain_calls(e) && e->asked < to && until >= from;
}

START_TEST(alone_is_when_no_event_of_the_plain_run_asks)
{
    static const struct random_limits limits = {.sheets = 4, .cuts = 8, .breaks = 3, .short_stock = 3};
    struct random r = {0x1d872b41c0ffee11u};
    int answers[2] = {0, 0};
    for (number = 0; number < RUNS; number++) {
        static struct random_run random;
        struct sg_plan plan = {.first_part = 0};
        random_run_make(&r, &limits, &random);
        sg_run_simulate(&random.input, &plan.run);
        plain_run(&random.input, &plain);
        ck_assert(!plain.overflow);
        for (int i = 0; i < TRIES; i++) {
            double from = random_unit(&r) * plain.end * 1.1, to = from + random_unit(&r) * 1800;
            int32_t event = -2;
            int first = -1;
            for (int k = 0; k < plain.n_events && first < 0; k++)
                first = plain_asks_within(&plain.events[k], from, to) ? k : -1;
            bool alone = sg_ask_alone(&plan, from, to, &event);
            ck_assert_msg(alone == (first < 0), "run %u: alone from %.3f to %.3f is %d", number, from, to,
                          alone);
            answers[alone]++;
            if (alone) {
                ck_assert_int_eq(event, -1);
                continue;
            }
            ck_assert(fabs(plan.run.events[event].at - plain.events[first].at) < 1e-6);
            ck_assert_int_eq(plan.run.events[event].kind, plain.events[first].kind);
        }
        sg_run_free(&plan.run);
    }
    ck_assert_msg(answers[0] > RUNS && answers[1] > RUNS, "%d no, %d yes", answers[0], answers[1]);
}
END_TEST

/* One person: the events that ask for one stand in the run in the order of their starts, as `events` lists
 * them. */
START_TEST(people_are_asked_for_in_order)
{
    static const struct random_limits limits = {
        .sheets = 5, .on_sheet = 2, .cuts = 8, .breaks = 3, .inside = true, .places = true, .short_stock = 4};
    struct random r = {0x3c6ef372fe94f82bu};
    int calls = 0, cutting = 0;
    for (number = 0; number < 2 * RUNS; number++) {
        static struct random_run random;
        struct sg_run run = {0};
        double last = 0;
        random_run_make(&r, &limits, &random);
        sg_run_simulate(&random.input, &run);
        for (int32_t i = 0; i < run.n_events; i++) {
            if (!sg_ask_calls(&run.events[i]))
                continue;
            ck_assert_msg(run.events[i].at >= last, "run %u: event %d", number, i);
            last = run.events[i].at;
            calls++;
            cutting += (run.events[i].flags & SG_EVENT_WHILE_CUTTING) != 0;
        }
        sg_run_free(&run);
    }
    ck_assert_msg(calls > 10 * RUNS && cutting > RUNS, "%d calls, %d while cutting", calls, cutting);
}
END_TEST

/* ---- by hand ---- */

static const struct sg_plan *plan_of(struct sg_planner *planner, const struct test_shop *t)
{
    const struct sg_plan *plan = NULL;
    struct sg_error error;
    ck_assert_msg(sg_plan_shift(planner, &t->shop, 0, &plan, &error) == SG_OK, "%s", error.text);
    return plan;
}

/* One job, one stock without load or check, parts of 600 mm at 600 mm/min: 60 s each, no pierces, no rapids.
 */
static void minute_shop(struct test_shop *t, int32_t material)
{
    test_shop_make(t);
    test_shop_job(t, 0);
    struct sg_stock *stock = test_shop_stock(t, material, 6);
    stock->load = stock->first_check = 0;
    stock->feed = 600;
    t->shop.machine.head_change = 0;
}

static struct sg_part *minute_part(struct test_shop *t, int32_t quantity)
{
    struct sg_part *part = test_shop_part(t, quantity, 600, (double)NAN, (double)NAN);
    part->pierces = 0;
    part->rapid_length = 0;
    return part;
}

START_TEST(pieces_of_a_minute_fit_by_the_minute)
{
    static const struct {
        int32_t before, stack, quantity;
        double by;
        int64_t pieces;
    } cases[] = {
        {0, 1, 3, 300, 5},
        {0, 1, 3, 299.9, 4},
        {0, 1, 5, 300, 5},
        {0, 1, 6, 300, 5},
        {2, 1, 3, 300, 3},
        {5, 1, 3, 300, 0},
        {9, 1, 3, 300, 0},
        {0, 2, 3, 300, 10},
        {0, 2, 3, 60, 2},
        {0, 3, 0, 120, 6},
        {0, 1, 3, 0, 0},
        {0, 1, 0, -5, 0},
        {0, 1, 1, 3e9, SG_ASK_MOST},
        {0, 1, 700000, 3e9, SG_ASK_MOST},
    };
    struct sg_planner *planner = sg_planner_new();
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct test_shop t;
        struct sg_ask_fits fits;
        minute_shop(&t, 3); /* water only: no garnet in the way */
        minute_part(&t, cases[i].before);
        minute_part(&t, cases[i].quantity);
        t.shop.stocks[0].stack = cases[i].stack;
        ck_assert_int_eq(sg_ask_fits(planner, &t.shop, 1, cases[i].by, &fits, NULL), SG_OK);
        ck_assert_msg(fits.pieces == cases[i].pieces, "case %zu: %d", i, (int)fits.pieces);
        ck_assert_int_eq(fits.planned_fits, cases[i].quantity <= cases[i].pieces);
        test_shop_free(&t);
    }
    sg_planner_free(planner);
}
END_TEST

START_TEST(rounding_makes_nothing_late)
{
    /* At 1300 mm/min a piece is 360/13 s: 13 m pieces end at 360 m s, whatever their sum rounds to. */
    struct sg_planner *planner = sg_planner_new();
    for (int32_t m = 1; m <= 60; m++) {
        struct test_shop t;
        struct sg_ask_fits fits;
        minute_shop(&t, 3);
        minute_part(&t, m);
        minute_part(&t, 12 * m);
        t.shop.stocks[0].feed = 1300;
        ck_assert_int_eq(sg_ask_fits(planner, &t.shop, 1, 360.0 * m, &fits, NULL), SG_OK);
        ck_assert(fits.planned_fits);
        ck_assert_msg(fits.pieces == 12 * m, "%d of %d", (int)fits.pieces, 12 * m);
        test_shop_free(&t);
    }
    sg_planner_free(planner);
}
END_TEST

START_TEST(want_of_garnet_limits_what_fits)
{
    /* 453.59237 g/min is what a cut of a minute takes; 2 kg above the low line are 4 cuts (1.81 kg), with the
     * one bag of 1 kg in stock 6 (2.72 of 3 kg). */
    struct test_shop t;
    struct sg_ask_fits fits;
    struct sg_planner *planner = sg_planner_new();
    minute_shop(&t, 0);
    minute_part(&t, 2);
    t.heads[0].garnet = 453.59237;
    t.shop.machine.hopper_level = t.shop.machine.low_line + 2;
    t.shop.machine.bag = 1;
    t.shop.machine.bags_in_stock = 0;
    ck_assert_int_eq(sg_ask_fits(planner, &t.shop, 0, 28800, &fits, NULL), SG_OK);
    ck_assert_int_eq(fits.pieces, 4);
    t.shop.machine.bags_in_stock = 1;
    ck_assert_int_eq(sg_ask_fits(planner, &t.shop, 0, 28800, &fits, NULL), SG_OK);
    ck_assert_int_eq(fits.pieces, 6);
    test_shop_free(&t);
    sg_planner_free(planner);
}
END_TEST

START_TEST(what_cannot_be_timed_is_not_known)
{
    struct test_shop t;
    struct sg_ask_fits fits;
    struct sg_ask_done done;
    int32_t untimed, event;
    struct sg_planner *planner = sg_planner_new();
    minute_shop(&t, 0);
    minute_part(&t, 2);
    minute_part(&t, 2)->cut_length = (double)NAN;
    minute_part(&t, 2);
    test_shop_job(&t, 0);
    const struct sg_plan *plan = plan_of(planner, &t);
    ck_assert_int_eq(sg_ask_untimed(plan, 0), SG_UNKNOWN);
    ck_assert_int_eq(sg_ask_untimed(plan, 2), 1);
    sg_ask_done(&t.shop, plan, SG_UNKNOWN, &done);
    ck_assert(done.end == SG_ASK_NOT_TIMED && done.part == 1 && isnan(done.at));
    sg_ask_done(&t.shop, plan, 1, &done); /* the job without a stock */
    ck_assert_int_eq(done.end, SG_ASK_NOTHING);
    ck_assert(!sg_ask_lasts(plan, &untimed) && untimed == 1);
    ck_assert(sg_ask_alone(plan, 0, 120, &event)); /* the two pieces before it */
    ck_assert(!sg_ask_alone(plan, 0, 121, &event) && event == -1);
    static const int32_t reasons[] = {SG_UNKNOWN, 1, 1};
    for (int32_t i = 0; i < 3; i++) {
        ck_assert_int_eq(sg_ask_fits(planner, &t.shop, i, 600, &fits, NULL), SG_OK);
        ck_assert_int_eq(fits.untimed, reasons[i]);
        ck_assert_int_eq(fits.planned_fits, i == 0);
        ck_assert_int_eq(fits.pieces, i == 0 ? 10 : 0);
    }
    t.shop.parts[1].quantity = 0; /* nothing of it is cut: it is in nobody's way but its own */
    plan = plan_of(planner, &t);
    sg_ask_done(&t.shop, plan, SG_UNKNOWN, &done);
    ck_assert(done.end == SG_ASK_ENDS && fabs(done.at - 240) < 1e-9);
    ck_assert(sg_ask_lasts(plan, &untimed) && sg_ask_alone(plan, 0, 10, &event));
    ck_assert_int_eq(sg_ask_fits(planner, &t.shop, 1, 600, &fits, NULL), SG_OK);
    ck_assert(fits.end == SG_ASK_NOT_TIMED && fits.untimed == 1);
    test_shop_free(&t);
    sg_planner_free(planner);
}
END_TEST

START_TEST(on_a_closed_day_nothing_is_cut)
{
    struct test_shop t;
    struct sg_ask_fits fits;
    struct sg_ask_done done;
    int32_t untimed, event;
    struct sg_planner *planner = sg_planner_new();
    minute_shop(&t, 0);
    minute_part(&t, 2);
    t.shifts[0].date = t.shifts[0].closed_days[0] = 20000;
    t.shifts[0].n_closed_days = 1;
    const struct sg_plan *plan = plan_of(planner, &t);
    sg_ask_done(&t.shop, plan, SG_UNKNOWN, &done);
    ck_assert(done.end == SG_ASK_CLOSED && isnan(done.at));
    ck_assert(sg_ask_lasts(plan, &untimed) && sg_ask_alone(plan, 0, 600, &event));
    ck_assert_int_eq(sg_ask_fits(planner, &t.shop, 0, 600, &fits, NULL), SG_OK);
    ck_assert(fits.end == SG_ASK_CLOSED && !fits.planned_fits && fits.pieces == 0);
    t.shop.parts[0].cut_length = (double)NAN; /* nor is it, however long it would take */
    plan = plan_of(planner, &t);
    ck_assert(sg_ask_lasts(plan, &untimed) && untimed == SG_UNKNOWN && sg_ask_alone(plan, 0, 600, &event));
    test_shop_free(&t);
    sg_planner_free(planner);
}
END_TEST

START_TEST(a_bad_shift_is_an_error_and_leaves_the_answer)
{
    struct test_shop t;
    struct sg_ask_fits fits = {.pieces = 77};
    struct sg_error error;
    struct sg_planner *planner = sg_planner_new();
    minute_shop(&t, 0);
    minute_part(&t, 2);
    t.shop.jobs[0].shift = 5;
    ck_assert_int_eq(sg_ask_fits(planner, &t.shop, 0, 600, &fits, &error), SG_BAD_DATA);
    ck_assert_int_eq(fits.pieces, 77);
    test_shop_free(&t);
    sg_planner_free(planner);
}
END_TEST

/* Squares of 100 mm, 10 mm apart, on 1000 x 500 mm without a margin: 9 along, as 9 x 100 + 8 x 10 = 980, and
 * 4 across, as 4 x 100 + 3 x 10 = 430. Neither the order nor what else is cut bounds it. */
START_TEST(on_one_sheet_lies_what_has_room_whatever_is_ordered)
{
    static const struct {
        int32_t quantity, scrap, other, stack, remnants;
    } cases[] = {{10, 0, 0, 1, 0}, {40, 0, 0, 1, 0}, {36, 0, 0, 1, 0},   {37, 2, 0, 1, 0},
                 {1, 0, 30, 1, 0}, {5, 0, 3, 2, 0},  {80, 0, 500, 1, 4}, {0, 0, 0, 1, 0}};
    static const double remnant[] = {400, 400, 4};
    struct sg_planner *planner = sg_planner_new(), *other = sg_planner_new();
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct test_shop t;
        struct sg_error error;
        int64_t pieces = -1;
        test_shop_make(&t);
        test_shop_job(&t, 0);
        struct sg_stock *stock = test_shop_stock(&t, 1, 6);
        stock->sheet_length = 1000;
        stock->sheet_width = 500;
        stock->gap = 10;
        stock->margin = 0;
        stock->stack = cases[i].stack;
        stock->remnants.n = cases[i].remnants > 0;
        memcpy(stock->remnants.at[0], remnant, sizeof remnant);
        test_shop_part(&t, cases[i].other, 100, 70, 30);
        test_shop_part(&t, cases[i].quantity, 400, 100, 100)->scrap = cases[i].scrap;
        const struct sg_plan *plan = plan_of(planner, &t);
        ck_assert_msg(sg_ask_on_sheet(other, &t.shop, plan, 1, &pieces, &error) == SG_OK, "%s", error.text);
        ck_assert_msg(pieces == 36, "case %zu: %d", i, (int)pieces);
        ck_assert_int_ge(pieces, plan->parts[1].per_sheet);
        ck_assert_int_eq(t.shop.parts[1].quantity, cases[i].quantity);
        t.shop.parts[1].length = (double)NAN;
        plan = plan_of(planner, &t);
        ck_assert_int_eq(sg_ask_on_sheet(other, &t.shop, plan, 1, &pieces, &error), SG_OK);
        ck_assert_int_eq(pieces, 0);
        test_shop_free(&t);
    }
    sg_planner_free(other);
    sg_planner_free(planner);
}
END_TEST

/* The rest of a shift has those breaks of its calendar that are not over; what was typed stays. */
START_TEST(breaks_are_over_when_the_shift_has_some_and_none_is_left)
{
    struct test_shop t;
    struct sg_planner *planner = sg_planner_new();
    minute_shop(&t, 3);
    minute_part(&t, 2);
    ck_assert(!sg_ask_breaks_over(&t.shop, plan_of(planner, &t)));
    t.shifts[0].n_breaks = 1;
    t.shifts[0].breaks[0] = (struct sg_span){t.shifts[0].start + 600, t.shifts[0].start + 1200};
    ck_assert(sg_ask_breaks_over(&t.shop, plan_of(planner, &t)));
    t.shifts[0].breaks[0] = (struct sg_span){t.shifts[0].end + 600, t.shifts[0].end + 1200}; /* of no shift */
    ck_assert(!sg_ask_breaks_over(&t.shop, plan_of(planner, &t)));
    test_shop_break(&t, 600, 1200);
    ck_assert(!sg_ask_breaks_over(&t.shop, plan_of(planner, &t)));
    test_shop_free(&t);
    sg_planner_free(planner);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ask");
    TCase *tcase = tcase_create("ask");
    tcase_add_test(tcase, alone_is_when_no_event_of_the_plain_run_asks);
    tcase_add_test(tcase, people_are_asked_for_in_order);
    tcase_add_test(tcase, pieces_of_a_minute_fit_by_the_minute);
    tcase_add_test(tcase, rounding_makes_nothing_late);
    tcase_add_test(tcase, want_of_garnet_limits_what_fits);
    tcase_add_test(tcase, what_cannot_be_timed_is_not_known);
    tcase_add_test(tcase, on_a_closed_day_nothing_is_cut);
    tcase_add_test(tcase, a_bad_shift_is_an_error_and_leaves_the_answer);
    tcase_add_test(tcase, on_one_sheet_lies_what_has_room_whatever_is_ordered);
    tcase_add_test(tcase, breaks_are_over_when_the_shift_has_some_and_none_is_left);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
