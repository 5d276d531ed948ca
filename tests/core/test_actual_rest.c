/* What is left, timed from now; clocks filled from it. Pieces of a minute, two
 * on a sheet; a load takes 5 minutes, the first check 3. */
#include "support/logged.h"
#include "support/suite.h"

static void stop(double minutes)
{
    record(minutes, SG_RECORD_STOP);
}

static void done(double minutes, int32_t n)
{
    count(minutes, SG_RECORD_DONE, n, "A/1/A");
}

/* ---- how much is left ---- */

START_TEST(before_anything_happened_the_rest_is_the_plan)
{
    plan_rest(300);
    ck_assert_int_eq((int)plan->totals.pieces, 8);
    expect(rest_ends(), 360 + 4 * 5 + 3 + 8);
    plan_rest(365);
    expect(rest_ends(), 365 + 4 * 5 + 3 + 8); /* nothing begun at 6:05 */
}
END_TEST

START_TEST(half_of_the_pieces_done_halves_what_is_left)
{
    plan_it();
    double cut = plan->totals.cut, garnet = plan->totals.garnet;
    start_hands(360, "A/1", SG_PHASE_LOAD, 300);
    start(365, "A/1")->sheets = 2;
    shop->clocks[1].pieces = 4;
    stop(380);
    done(380, 4);
    plan_rest(400);
    ck_assert_int_eq((int)plan->totals.pieces, 4);
    expect(plan->totals.cut, cut / 2);
    expect(plan->totals.garnet, garnet / 2);
    expect(rest_ends(), 400 + 2 * 5 + 4); /* two loads; the check is done */
    ck_assert_int_eq(rest.shop.parts[0].quantity, 4);
    ck_assert_int_eq(shop->parts[0].quantity, 8);
}
END_TEST

START_TEST(scrap_is_cut_again)
{
    start(365, "A/1");
    stop(367);
    done(367, 1);
    count(367, SG_RECORD_SCRAP, 1, "A/1/A");
    plan_rest(400);
    ck_assert_int_eq((int)plan->totals.pieces, 7);
}
END_TEST

START_TEST(when_all_is_done_it_ends_now)
{
    done(390, 8);
    start(380, "A/1");
    stop(390);
    plan_rest(395);
    ck_assert_int_eq((int)plan->totals.pieces, 0);
    ck_assert_int_eq(plan->run.n_events, 0);
    expect(rest_ends(), 395);
}
END_TEST

/* ---- the sheet on the table ---- */

START_TEST(a_running_clock_ends_when_it_was_to_end_if_all_goes_to_plan)
{
    start(370, "A/1");
    for (double now = 370; now <= 372; now += 0.25) {
        plan_rest(now);
        ck_assert(plan->sheet_on == (now < 372)); /* then the next is loaded */
        expect(rest_ends(), 370 + 8 + 3 + 3 * 5);
    }
    plan_rest(375); /* late by 3 minutes: the sheet may be finished any time */
    expect(rest_ends(), 375 + 6 + 3 + 3 * 5);
}
END_TEST

START_TEST(a_pause_moves_the_end_as_long_as_it_lasts)
{
    start(370, "A/1");
    record(371, SG_RECORD_PAUSE);
    plan_rest(371);
    double before = rest_ends();
    plan_rest(379);
    expect(rest_ends(), before + 8);
}
END_TEST

START_TEST(counted_pieces_are_gone_and_the_time_since_counts_for_the_next)
{
    start(370, "A/1");
    done(371, 1);
    plan_rest(371.5);
    ck_assert_int_eq((int)plan->totals.pieces, 7);
    expect(rest_ends(), 371 + 7 + 3 * 5); /* the check is done: a piece is good */
    expect(sg_actual_gone(shop, &actual, 0), 30);
}
END_TEST

START_TEST(what_the_uncounted_cut_took_is_taken_once)
{
    start(370, "A/1");
    plan_rest(371);
    expect(actual.hopper.level, 99.7);
    expect(rest.shop.machine.hopper_level, 99.7);
    expect(plan->run.level_end, 100 - 8 * 0.3);
}
END_TEST

START_TEST(a_sheet_half_cut_needs_no_load)
{
    start(370, "A/1");
    stop(371);
    done(371, 1);
    plan_rest(380);
    ck_assert(plan->sheet_on);
    expect(rest_ends(), 380 + 7 + 3 * 5);
}
END_TEST

START_TEST(a_finished_sheet_does_not_lie_there)
{
    start(370, "A/1");
    stop(372);
    done(372, 2);
    plan_rest(380);
    ck_assert(!plan->sheet_on);
    expect(rest_ends(), 380 + 6 + 3 * 5);
}
END_TEST

START_TEST(a_load_that_runs_has_its_time_and_one_that_ended_is_done)
{
    start_hands(370, "A/1", SG_PHASE_LOAD, 300);
    plan_rest(372);
    expect(rest_ends(), 370 + 4 * 5 + 3 + 8);
    stop(375);
    plan_rest(375);
    ck_assert(plan->sheet_on);
    expect(rest_ends(), 375 + 3 * 5 + 3 + 8);
}
END_TEST

START_TEST(a_check_that_runs_has_its_time_left)
{
    start(370, "A/1");
    start_hands(371, "A/1", SG_PHASE_CHECK, 180);
    done(371, 1);
    plan_rest(372);
    expect(rest_ends(), 374 + 7 + 3 * 5);
    ck_assert(plan->sheet_on);
    plan_rest(378); /* it takes longer */
    expect(rest_ends(), 378 + 7 + 3 * 5);
}
END_TEST

/* 1 min of the sheet is cut, the check takes its 3 min, then the rest of the sheet: nothing is counted. */
START_TEST(what_was_cut_before_the_check_is_not_cut_again)
{
    start(370, "A/1");
    start_hands(371, "A/1", SG_PHASE_CHECK, 180);
    plan_rest(371);
    expect(rest_ends(), 370 + 8 + 3 + 3 * 5);
    expect(plan->run.level_end, 100 - 8 * 0.3);
    plan_rest(374);
    expect(rest_ends(), 370 + 8 + 3 + 3 * 5);
    start(374, "A/1");
    plan_rest(374.5);
    expect(rest_ends(), 370 + 8 + 3 + 3 * 5);
    expect(actual.hopper.level, 100 - 1.5 * 0.3);
    expect(plan->run.level_end, 100 - 8 * 0.3);
    stop(375);
    done(375, 2);
    plan_rest(375);
    expect(rest_ends(), 375 + 6 + 3 * 5);
    expect(actual.hopper.level, 100 - 2 * 0.3);
    expect(actual.sludge, shop->machine.sludge + 2 * 0.3);
}
END_TEST

START_TEST(the_stock_under_the_clock_comes_first)
{
    test_shop_job(&test, 0);
    logged_stock(2);
    logged_stock(4);
    start(370, "B/2");
    plan_rest(370);
    ck_assert_str_eq(rest.shop.jobs[0].id, "B");
    ck_assert_int_eq(rest.shop.stocks[0].number, 2);
    ck_assert_int_eq(rest.shop.stocks[1].number, 1);
    ck_assert_str_eq(rest.shop.jobs[1].id, "A");
    for (int32_t i = 0; i < rest.shop.n_parts; i++) {
        const struct sg_stock *stock = &rest.shop.stocks[rest.shop.parts[i].stock];
        ck_assert(i >= stock->first_part && i < stock->first_part + stock->n_parts);
        const struct sg_job *job = &rest.shop.jobs[stock->job];
        ck_assert(rest.shop.parts[i].stock >= job->first_stock &&
                  rest.shop.parts[i].stock < job->first_stock + job->n_stocks);
    }
    ck_assert(plan->sheet_on);
    ck_assert_int_eq((int)plan->totals.pieces, 14);
    /* 7 sheets, 6 loads, 3 checks */
    expect(rest_ends(), 370 + 14 + 6 * 5 + 3 * 3);
}
END_TEST

/* ---- shifts and breaks ---- */

START_TEST(breaks_of_the_day_are_kept)
{
    test_shop_break(&test, 3600, 3900); /* 07:00 to 07:05 */
    test_shop_break(&test, 7200, 9000); /* 08:00 to 08:30 */
    test_shop_break(&test, 18000, 18600);
    start(365, "A/1");
    plan_rest(490); /* 08:10 */
    ck_assert_int_eq(plan->n_breaks, 2);
    expect(rest.shop.shifts[0].calendar.epoch + plan->breaks[0].to, (double)minute(510));
    expect(rest.shop.shifts[0].calendar.epoch + plan->breaks[1].from, (double)minute(660));
    expect(rest.shop.shifts[0].calendar.epoch + rest.shop.shifts[0].calendar.close_s, (double)minute(840));
}
END_TEST

START_TEST(past_closing_it_is_over)
{
    start(900, "A/1");
    plan_rest(900);
    expect(plan->over, (60 + 8 + 3 + 15) * 60);
}
END_TEST

START_TEST(a_shift_that_was_passed_over_does_not_come_first)
{
    shop->n_shifts = 2;
    test.shifts[1] = test.shifts[0];
    test.shifts[1].id = "B";
    test.shifts[1].start = 14 * 3600;
    test.shifts[1].calendar.epoch += 8 * 3600;
    test_shop_job(&test, 1);
    logged_stock(2);
    start(845, "B/1");
    plan_rest(845);
    ck_assert_int_eq(rest.shift, 1);
    ck_assert_int_eq((int)plan->totals.pieces, 2);
    expect(rest_ends(), 845 + 2 + 3);
}
END_TEST

START_TEST(the_end_that_was_planned_is_that_of_the_first_clock)
{
    start(370, "A/1")->planned_end = minute(391);
    start(380, "A/1")->planned_end = minute(400);
    read_at(385);
    ck_assert(sg_actual_planned_end(shop, &actual, 0) == minute(391));
    shop->n_clocks = 0;
    read_at(385);
    ck_assert(sg_actual_planned_end(shop, &actual, 0) == SG_NO_MOMENT);
}
END_TEST

static void ck_window(int32_t shift, double from, double until)
{
    int64_t a, b;
    sg_actual_window(shop, shift, &a, &b);
    ck_assert(a == minute(from));
    ck_assert(b == (until < 0 ? INT64_MAX : minute(until)));
}

START_TEST(the_log_of_a_shift_ends_where_it_is_closed_or_another_begins)
{
    shop->n_shifts = 2;
    test.shifts[0].id = "A";
    test.shifts[1] = test.shifts[0];
    test.shifts[1].id = "B";
    test.shifts[1].start = 14 * 3600;
    test_shop_job(&test, 1);
    logged_stock(2);
    ck_window(0, 240, -1);
    start(370, "A/1");
    start(845, "B/1");
    ck_window(0, 240, 845);
    ck_window(1, 720, -1);
    record(850, SG_RECORD_CLOSE)->place = "A";
    ck_window(0, 240, 850 + 1.0 / 60);
    ck_window(1, 850 + 1.0 / 60, -1);
}
END_TEST

/* ---- sheets ---- */

START_TEST(sheets_are_numbered_on)
{
    bool on;
    read_at(400);
    ck_assert_int_eq(sg_actual_next_sheet(shop, &actual, 0, &on), 1);
    ck_assert(!on);
    start(401, "A/1")->sheets = 2;
    shop->clocks[0].pieces = 4;
    shop->clocks[0].lies = "*2\n2 250000000 A\n";
    read_at(402);
    ck_assert_int_eq(sg_actual_next_sheet(shop, &actual, 0, &on), 1);
    ck_assert(on);
    done(403, 3);
    read_at(404);
    ck_assert_int_eq(sg_actual_next_sheet(shop, &actual, 0, &on), 2);
    ck_assert(on);
    done(405, 1);
    stop(406);
    read_at(410);
    ck_assert_int_eq(sg_actual_next_sheet(shop, &actual, 0, &on), 3);
    ck_assert(!on);
}
END_TEST

START_TEST(sheets_that_are_cut_are_no_longer_on_hand)
{
    shop->stocks[0].sheets = 5;
    shop->stocks[0].remnants = (struct sg_items){.n = 2, .at = {{230, 120, 1, 0}, {240, 120, 2, 0}}};
    start(401, "A/1")->sheets = 2;
    stop(405);
    plan_rest(410);
    ck_assert_int_eq((int)rest.shop.stocks[0].remnants.n, 1);
    expect(rest.shop.stocks[0].remnants.at[0][0], 240);
    expect(rest.shop.stocks[0].remnants.at[0][2], 1);
    ck_assert_int_eq(rest.shop.stocks[0].sheets, 5);
    start(411, "A/1")->sheet = 3;
    shop->clocks[1].sheets = 2;
    stop(415);
    plan_rest(420);
    ck_assert_int_eq((int)rest.shop.stocks[0].remnants.n, 0);
    ck_assert_int_eq(rest.shop.stocks[0].sheets, 4);
}
END_TEST

/* ---- clocks from the plan ---- */

START_TEST(a_clock_of_all_sheets_has_the_sums_of_the_plan)
{
    struct sg_clock clock = sg_fresh_clock;
    struct sg_part *part = &shop->parts[0];
    part->outline = 0;
    part->cut_length = test_plate.cut_length;
    part->pierces = 2;
    shop->stocks[0].feed = UNKNOWN;
    plan_rest(300);
    ck_assert_int_eq(sg_clock_take(&rest, plan, 0, 100, &clock), (int)plan->stocks[0].sheets);
    ck_assert_int_eq(clock.sheets, (int)plan->stocks[0].sheets);
    ck_assert_int_eq(clock.pieces, 8);
    ck_assert_int_eq(clock.pierces, 16);
    expect(clock.planned_cut + clock.planned_corner + clock.planned_acceleration, plan->totals.cut);
    ck_assert(clock.planned_corner > 0 && clock.planned_acceleration > 0);
    expect(clock.planned_pierce, plan->totals.pierce);
    expect(clock.planned_rapid, plan->totals.rapid);
    expect(clock.planned_garnet, plan->totals.garnet);
    ck_assert(!sg_known(clock.planned_hands));
    expect(clock.edge, shop->stocks[0].edge);
    ck_assert_str_eq(clock.material, "steel, mild");
    ck_assert_str_eq(clock.head, shop->heads[0].name);
    ck_assert(!clock.feed_typed);
    /* straight cutting goes at the traverse, lead-ins too */
    expect(clock.cut_length / clock.planned_cut * 60, plan->stocks[0].setup.traverse);
    ck_assert(clock.planned_end == minute(360) + llround(plan->ends));
}
END_TEST

START_TEST(a_clock_of_one_sheet_has_its_share_and_heads_halve_it)
{
    struct sg_clock clock = sg_fresh_clock;
    shop->parts[0].pierces = 4;
    plan_rest(300);
    ck_assert_int_eq(sg_clock_take(&rest, plan, 0, 1, &clock), 1);
    ck_assert_int_eq(clock.pieces, 2);
    expect(clock.cut_length, 1200);
    expect(clock.planned_cut, 120);
    ck_assert_int_eq(clock.pierces, 8);
    ck_assert(clock.feed_typed);
    shop->heads[0].heads = 2;
    plan_rest(300);
    sg_clock_take(&rest, plan, 0, 1, &clock);
    expect(clock.cut_length, 600);
    expect(clock.planned_cut, 60);
    ck_assert_int_eq(clock.pierces, 4);
    ck_assert_int_eq(clock.heads, 2);
}
END_TEST

START_TEST(parts_of_different_edges_have_the_edge_that_takes_as_long)
{
    struct sg_clock clock = sg_fresh_clock;
    shop->stocks[0].feed = UNKNOWN;
    shop->parts[0].quantity = 1;
    shop->parts[0].edge = 1;
    test_shop_part(&test, 1, 300, 100, 100)->edge = 5;
    shop->parts[1].pierces = 0;
    plan_rest(300);
    ck_assert_int_eq(sg_clock_take(&rest, plan, 0, 1, &clock), 1);
    struct sg_abrasive_jet jet = {clock.pressure, clock.orifice, clock.tube, clock.garnet, 1};
    double feed = sg_separation_speed(&jet, 87.6, 10) * sg_edge_factor(clock.edge);
    expect(clock.cut_length / feed * 60, clock.planned_cut);
}
END_TEST

START_TEST(loads_and_checks_have_hands_alone)
{
    struct sg_clock clock = sg_fresh_clock;
    clock.phase = SG_PHASE_LOAD;
    plan_rest(300);
    sg_clock_take(&rest, plan, 0, 1, &clock);
    expect(clock.planned_hands, 300);
    ck_assert(!sg_known(clock.planned_cut) && clock.pieces == SG_UNKNOWN);
    clock.phase = SG_PHASE_CHECK;
    sg_clock_take(&rest, plan, 0, 1, &clock);
    expect(clock.planned_hands, 180);
}
END_TEST

START_TEST(of_a_stock_that_is_done_nothing_is_planned)
{
    struct sg_clock clock = sg_fresh_clock;
    done(370, 8);
    plan_rest(375);
    ck_assert_int_eq(sg_clock_take(&rest, plan, 0, 1, &clock), 0);
    ck_assert(!sg_known(clock.planned_cut) && clock.pieces == SG_UNKNOWN && clock.sheets == 1);
}
END_TEST

START_TEST(a_stack_gives_all_its_pieces_at_once)
{
    struct sg_clock clock = sg_fresh_clock;
    shop->stocks[0].stack = 2;
    shop->parts[0].quantity = 7;
    plan_rest(300);
    ck_assert_int_eq(sg_clock_take(&rest, plan, 0, 1, &clock), 1);
    ck_assert_int_eq(clock.pieces, 4);
    ck_assert_int_eq(sg_clock_take(&rest, plan, 0, 9, &clock), 2);
    ck_assert_int_eq(clock.pieces, 7);
    ck_assert_int_eq((int)sg_rest_pieces(&rest, plan, 0, 2), 7);
}
END_TEST

/* ---- bags ---- */

START_TEST(bags_of_the_log_are_not_in_the_rests_stock)
{
    shop->machine.hopper_level = 10;
    shop->machine.bags_in_stock = 7;
    record(365, SG_RECORD_FILL)->count = 2;
    plan_rest(370);
    ck_assert_int_eq(rest.shop.machine.bags_in_stock, 5);
    ck_assert_int_eq(shop->machine.bags_in_stock, 7);
    expect(rest.shop.machine.hopper_level, 50);
    shop->n_records = 0;
    plan_rest(370);
    ck_assert_int_eq(rest.shop.machine.bags_in_stock, 7);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("actual_rest");
    tcase_add_checked_fixture(tests, open_log, close_log);
    tcase_add_test(tests, before_anything_happened_the_rest_is_the_plan);
    tcase_add_test(tests, half_of_the_pieces_done_halves_what_is_left);
    tcase_add_test(tests, scrap_is_cut_again);
    tcase_add_test(tests, when_all_is_done_it_ends_now);
    tcase_add_test(tests, a_running_clock_ends_when_it_was_to_end_if_all_goes_to_plan);
    tcase_add_test(tests, a_pause_moves_the_end_as_long_as_it_lasts);
    tcase_add_test(tests, counted_pieces_are_gone_and_the_time_since_counts_for_the_next);
    tcase_add_test(tests, what_the_uncounted_cut_took_is_taken_once);
    tcase_add_test(tests, a_sheet_half_cut_needs_no_load);
    tcase_add_test(tests, a_finished_sheet_does_not_lie_there);
    tcase_add_test(tests, a_load_that_runs_has_its_time_and_one_that_ended_is_done);
    tcase_add_test(tests, a_check_that_runs_has_its_time_left);
    tcase_add_test(tests, what_was_cut_before_the_check_is_not_cut_again);
    tcase_add_test(tests, the_stock_under_the_clock_comes_first);
    tcase_add_test(tests, breaks_of_the_day_are_kept);
    tcase_add_test(tests, past_closing_it_is_over);
    tcase_add_test(tests, a_shift_that_was_passed_over_does_not_come_first);
    tcase_add_test(tests, the_end_that_was_planned_is_that_of_the_first_clock);
    tcase_add_test(tests, the_log_of_a_shift_ends_where_it_is_closed_or_another_begins);
    tcase_add_test(tests, sheets_are_numbered_on);
    tcase_add_test(tests, sheets_that_are_cut_are_no_longer_on_hand);
    tcase_add_test(tests, a_clock_of_all_sheets_has_the_sums_of_the_plan);
    tcase_add_test(tests, a_clock_of_one_sheet_has_its_share_and_heads_halve_it);
    tcase_add_test(tests, parts_of_different_edges_have_the_edge_that_takes_as_long);
    tcase_add_test(tests, loads_and_checks_have_hands_alone);
    tcase_add_test(tests, of_a_stock_that_is_done_nothing_is_planned);
    tcase_add_test(tests, a_stack_gives_all_its_pieces_at_once);
    tcase_add_test(tests, bags_of_the_log_are_not_in_the_rests_stock);
    return run_case("actual rest", tests);
}
