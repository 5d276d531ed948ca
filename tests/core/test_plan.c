/* Whole plans against hand arithmetic, and the meanings that were settled in words. */
#include "support/expect.h"
#include "support/planned.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>

/* Nothing wears. */
static void set_up(void)
{
    open_round_shop();
    test.heads[0].tube_life = test.heads[0].orifice_life = UNKNOWN;
    test_shop_job(&test, 0);
}

/* A stock of mild steel with a typed feed and pierce and 60 s to load. */
static struct sg_stock *add_stock(double feed, double pierce_s)
{
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->feed = feed;
    stock->pierce_seconds = pierce_s;
    stock->load = 60;
    stock->first_check = 0;
    return stock;
}

/* ---- by hand ---- */

START_TEST(five_hundred_lines_of_one_piece_each)
{
    /* Each: 900 mm at 600 mm/min = 90 s, 1 pierce of 6 s, rapid (200 + 100) / 2 = 150 mm at 6000 mm/min = 1.5
     * s and 2 s of lift: 99.5 s. 96 s of garnet at 0.3 kg/min = 0.48 kg. 500 sheets, 60 s to load each:
     * 79,750 s. Garnet 240 kg: from 100 to 10 it lasts 187 pieces (89.76 kg, level 10.24), before number 187
     * (from 0) 4 bags bring it to 90.24: 167 pieces (80.16, level 10.08), before 354 4 bags: 90.08: 166 would
     * do, 146 are left. 2 refills of 140 s. Closing is at 28,800 s. */
    for (int i = 0; i < 500; i++) {
        add_stock(600, 6);
        test_shop_part(&test, 1, 900, 200, 100);
    }
    plan_it();
    expect(plan->parts[499].each, 99.5);
    expect(plan->totals.cut, 45000);
    expect(plan->totals.pierce, 3000);
    expect(plan->totals.rapid, 1750);
    expect(plan->totals.hands_on, 30000 + 280);
    expect(plan->totals.waiting, 0);
    expect(plan->ends, 79750 + 280);
    expect(plan->totals.elapsed, plan->ends);
    expect(plan->over, 80030 - 28800);
    expect(plan->totals.garnet, 240);
    expect(plan->run.level_end, 100 - 240 + 160);
    ck_assert_int_eq(plan->totals.refills, 2);
    ck_assert_int_eq(plan->totals.bags, 8);
    ck_assert_int_eq(plan->batches[plan->run.events[plan->next_refill].batch].part, 187);
    expect(plan->run.events[plan->next_refill].at, 187 * 159.5 + 60);
    ck_assert(!plan->hopper_lasts);
    expect(plan->jobs[0].starts, 0);
    expect(plan->jobs[0].ends, plan->ends);
    ck_assert_int_eq(plan->totals.pieces, 500);
    /* 48,000 s of jet: water in L by the flow of the head, energy by its shaft power. */
    expect(plan->totals.water, 800 * plan->stocks[0].setup.water);
    expect(plan->totals.energy, 48000.0 / 3600 * plan->stocks[0].setup.shaft_power);
}
END_TEST

START_TEST(a_job_of_sixty_pieces_with_four_refills)
{
    /* Each: 10,000 mm at 500 mm/min = 1200 s, no pierce, no rapid: 6 kg. On sheets of 20: 5 along, 4 across.
     * 15 pieces to level 10, then before pieces 15, 28, 41 and 55 as worked out in test_run_refills.c, here
     * of 1200 s each. 1st: 60 + 15 x 1200 = 18,060. End: 60 x 1200 + 3 x 60 + 4 x 140 = 72,740. */
    struct sg_stock *stock = add_stock(500, 0);
    stock->sheet_length = 5 * 400 + 4 * 10 + 2 * 20;
    stock->sheet_width = 4 * 250 + 3 * 10 + 2 * 20;
    stock->gap = 10;
    stock->margin = 20;
    test_shop_part(&test, 60, 10000, 400, 250)->pierces = 0;
    plan_it();
    ck_assert_int_eq(plan->parts[0].per_sheet, 20);
    ck_assert_int_eq(plan->stocks[0].sheets, 3);
    ck_assert_int_eq(plan->totals.refills, 4);
    expect(plan->run.events[plan->next_refill].at, 18060);
    expect(plan->ends, 72740);
    expect(plan->totals.garnet, 360);
    expect(plan->run.level_end, 60);
}
END_TEST

START_TEST(shop_breaks_say_whether_it_runs_alone)
{
    /* Load to 60, pieces of 600 s to 660 and 1260, then the next sheet's load. The break 100 to 400 lies in a
     * cut, the one from 1200 to 1500 does not: the load is asked for at 1260 and waits to 1500. */
    for (int i = 0; i < 2; i++) {
        add_stock(100, 0);
        test_shop_part(&test, 2, 1000, 100, 100)->pierces = 0;
    }
    test_shop_break(&test, 100, 400);
    test_shop_break(&test, 1200, 1500);
    plan_it();
    ck_assert_int_eq(plan->n_breaks, 2);
    ck_assert(plan->breaks[0].alone && plan->breaks[0].event == -1);
    ck_assert(!plan->breaks[1].alone);
    ck_assert_int_eq(plan->run.events[plan->breaks[1].event].kind, SG_EVENT_LOAD);
    expect(plan->totals.waiting, 240);
    expect(plan->ends, 1500 + 60 + 1200);
}
END_TEST

/* ---- settled meanings ---- */

START_TEST(one_cut_of_a_stack_gives_stack_pieces)
{
    /* 7 pieces in stacks of 3: 3 cuts of 60 s each; 20 s a piece; 1 stack on the table is 3 sheets. */
    struct sg_stock *stock = add_stock(1000, 0);
    stock->stack = 3;
    stock->sheet_length = stock->sheet_width = 1000;
    test_shop_part(&test, 7, 1000, 100, 100)->pierces = 0;
    plan_it();
    ck_assert_int_eq(plan->parts[0].cuts, 3);
    expect(plan->parts[0].each, 20);
    expect(plan->parts[0].cut, 180);
    expect(plan->parts[0].sheets, 3);
    ck_assert_int_eq(plan->totals.sheets, 3);
    ck_assert_int_eq(plan->totals.pieces, 7);
    expect(plan->ends, 60 + 180); /* one load */
    expect(plan->stocks[0].slat_load, 30 * 7.85);
    expect(plan->parts[0].mass, 7 * 0.1 * 0.1 * 0.01 * 7850);
}
END_TEST

START_TEST(a_load_is_timed_by_mass)
{
    /* 5 min and 1 min for each 100 lb: 2438.4 x 1219.2 x 10 mm of steel is 233.4 kg = 514.5 lb. */
    struct sg_stock *stock = add_stock(1000, 0);
    stock->load = UNKNOWN;
    stock->sheet_length = 2438.4;
    stock->sheet_width = 1219.2;
    test_shop_part(&test, 1, 1000, 100, 100);
    plan_it();
    double kg = 2.4384 * 1.2192 * 0.010 * 7850;
    expect(plan->stocks[0].sheet_mass, kg);
    expect(plan->stocks[0].load, 300 + 60 * kg / 45.359237);
    shop->stocks[0].sheet_length = UNKNOWN; /* no size: the fixed part only */
    plan_it();
    expect(plan->stocks[0].load, 300);
}
END_TEST

START_TEST(the_rapid_defaults_to_half_the_box_for_each_pierce)
{
    add_stock(1000, 1);
    struct sg_part *part = test_shop_part(&test, 1, 1000, 300, 200);
    part->pierces = 4; /* 4 x (300 + 200) / 2 = 1000 mm at 6000 mm/min = 10 s, 4 lifts of 2 s */
    plan_it();
    expect(plan->parts[0].rapid, 18);
    shop->parts[0].rapid_length = 600; /* 6 s, 4 lifts */
    plan_it();
    expect(plan->parts[0].rapid, 14);
    shop->parts[0].rapid_length = shop->parts[0].length = UNKNOWN; /* no box: lifts only */
    plan_it();
    expect(plan->parts[0].rapid, 8);
}
END_TEST

START_TEST(a_part_without_a_box_has_no_sheets_and_one_load)
{
    struct sg_stock *stock = add_stock(1000, 0);
    stock->sheet_length = stock->sheet_width = 500;
    test_shop_part(&test, 40, 1000, UNKNOWN, UNKNOWN)->pierces = 0;
    plan_it();
    ck_assert(isnan(plan->parts[0].sheets));
    ck_assert_int_eq(plan->stocks[0].sheets, SG_UNKNOWN);
    ck_assert_int_eq(plan->totals.sheets, SG_UNKNOWN);
    expect(plan->ends, 60 + 40 * 60);
}
END_TEST

START_TEST(the_fitted_head_needs_no_change)
{
    add_stock(1000, 0);
    test_shop_part(&test, 1, 1000, 100, 100)->pierces = 0;
    plan_it();
    expect(plan->ends, 120);
    shop->machine.head_fitted = 1;
    plan_it();
    expect(plan->ends, 120 + 900);
    ck_assert_int_eq(plan->run.events[0].kind, SG_EVENT_HEAD_CHANGE);
}
END_TEST

START_TEST(the_first_check_comes_once_a_stock)
{
    for (int i = 0; i < 2; i++) {
        add_stock(1000, 0)->first_check = 180;
        test_shop_part(&test, 2, 1000, 100, 100)->pierces = 0;
        test_shop_part(&test, 2, 1000, 100, 100)->pierces = 0;
    }
    plan_it();
    int checks = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        checks += plan->run.events[i].kind == SG_EVENT_FIRST_CHECK;
    ck_assert_int_eq(checks, 2);
    expect(plan->ends, 2 * (2 * 60 + 180 + 4 * 60));
    shop->parts[0].quantity = 0; /* then it comes after the first piece that is cut */
    plan_it();
    expect(plan->ends, (60 + 180 + 120) + (2 * 60 + 180 + 240));
}
END_TEST

START_TEST(what_is_not_known_is_not_nothing)
{
    add_stock(1000, 0);
    test_shop_part(&test, 2, 1000, 100, 100)->pierces = 0;
    add_stock(1000, 0);
    test_shop_part(&test, 2, UNKNOWN, 100, 100);
    add_stock(1000, 0);
    test_shop_part(&test, 2, 1000, 100, 100);
    plan_it();
    ck_assert(isnan(plan->parts[1].each) && isnan(plan->parts[1].cut) && isnan(plan->parts[1].garnet));
    ck_assert(isnan(plan->ends) && isnan(plan->over) && isnan(plan->totals.elapsed));
    ck_assert(!plan->hopper_lasts);
    expect(plan->parts[0].cut, 120);
}
END_TEST

START_TEST(a_job_with_an_unknown_part_and_those_after_it_have_no_known_end)
{
    for (int i = 0; i < 3; i++) {
        if (i > 0)
            test_shop_job(&test, 0);
        shop->jobs[i].due_epoch = 1.8e9 + 100000;
        add_stock(1000, 0);
        test_shop_part(&test, 2, i == 1 ? UNKNOWN : 1000, 100, 100)->pierces = 0;
    }
    plan_it();
    expect(plan->jobs[0].ends, 180);
    expect(plan->jobs[0].late, 0);
    for (int i = 1; i < 3; i++)
        ck_assert(isnan(plan->jobs[i].ends) && isnan(plan->jobs[i].late));
}
END_TEST

START_TEST(a_quantity_of_nothing_is_not_cut)
{
    add_stock(1000, 0);
    test_shop_part(&test, 0, UNKNOWN, 100, 100);
    plan_it();
    expect(plan->ends, 0);
    ck_assert_int_eq(plan->run.n_events, 0);
    ck_assert_int_eq(plan->totals.pieces, 0);
    expect(plan->parts[0].cut, 0);
    expect(plan->parts[0].mass, 0);
    ck_assert(plan->hopper_lasts);
}
END_TEST

START_TEST(a_shift_without_jobs_ends_as_it_starts)
{
    shop->n_jobs = 0;
    plan_it();
    expect(plan->ends, 0);
    expect(plan->over, 0);
    ck_assert_int_eq(plan->next_refill, -1);
    ck_assert_int_eq(plan->n_cautions, 0);
}
END_TEST

START_TEST(several_heads_share_the_cut_and_add_their_flows)
{
    /* 2 heads: 60 s of cut and 10 s of pierce become 30 and 5; garnet 2 x 0.3 kg/min for 35 s. */
    add_stock(1000, 10);
    test_shop_part(&test, 1, 1000, 100, 100);
    plan_it();
    double water = plan->totals.water, energy = plan->totals.energy, rapid = plan->totals.rapid;
    test.heads[0].heads = 2;
    plan_it();
    expect(plan->totals.cut, 30);
    expect(plan->totals.pierce, 5);
    expect(plan->totals.rapid, rapid);
    expect(plan->totals.garnet, 2 * 0.3 * 35 / 60);
    expect(plan->totals.water, water);
    expect(plan->totals.energy, energy);
}
END_TEST

START_TEST(garnet_is_used_while_the_jet_is_on_and_not_on_water)
{
    add_stock(1000, 10); /* 60 s + 2 x 10 s at 300 g/min = 0.4 kg */
    test_shop_part(&test, 1, 1000, 100, 100)->pierces = 2;
    struct sg_stock *foam = test_shop_stock(&test, 3, 20);
    foam->load = foam->first_check = 0;
    test_shop_part(&test, 10, 5000, 100, 100);
    plan_it();
    expect(plan->parts[0].garnet, 0.4);
    expect(plan->parts[1].garnet, 0);
    expect(plan->totals.garnet, 0.4);
    ck_assert_int_eq(plan->stocks[1].head, 1);
}
END_TEST

START_TEST(a_sheet_is_turned_if_only_that_fits)
{
    /* The table is 1524 mm wide and 3048 long. A sheet of 1500 x 3000 lies turned: 3000 along. */
    struct sg_stock *stock = add_stock(1000, 0);
    stock->sheet_length = 1500;
    stock->sheet_width = 3000;
    stock->margin = stock->gap = 0;
    stock->turn = 0;
    test_shop_part(&test, 5, 1000, 1400, 700);
    plan_it();
    /* kerf 1.0668 is the spacing: 2 x 2 of 1400 x 700 on 3000 x 1500, the fifth on a second sheet */
    ck_assert_int_eq(plan->parts[0].per_sheet, 4);
    ck_assert_int_eq(plan->stocks[0].sheets, 2);
    ck_assert_int_eq(plan->stocks[0].index_moves, 0);
}
END_TEST

START_TEST(the_kerf_is_the_least_gap)
{
    struct sg_stock *stock = add_stock(1000, 0);
    stock->sheet_length = stock->sheet_width = 302;
    stock->margin = stock->gap = 0;
    test_shop_part(&test, 9, 1000, 100, 100); /* 3 in a row need 300 + 2 x 1.0668 = 302.13 */
    plan_it();
    ck_assert_int_eq(plan->parts[0].per_sheet, 4);
    shop->stocks[0].sheet_length = shop->stocks[0].sheet_width = 302.2;
    plan_it();
    ck_assert_int_eq(plan->parts[0].per_sheet, 9);
}
END_TEST

START_TEST(late_is_counted_from_the_due_time)
{
    add_stock(1000, 0);
    test_shop_part(&test, 1, 1000, 100, 100)->pierces = 0; /* ends at 120 */
    shop->jobs[0].due_epoch = 1.8e9 + 100;
    plan_it();
    expect(plan->jobs[0].late, 20);
    shop->jobs[0].due_epoch = 1.8e9 + 120;
    plan_it();
    expect(plan->jobs[0].late, 0);
    shop->jobs[0].due_epoch = UNKNOWN;
    plan_it();
    ck_assert(isnan(plan->jobs[0].late));
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("plans");
    tcase_add_checked_fixture(cases, set_up, close_shop);
    tcase_add_test(cases, five_hundred_lines_of_one_piece_each);
    tcase_add_test(cases, a_job_of_sixty_pieces_with_four_refills);
    tcase_add_test(cases, shop_breaks_say_whether_it_runs_alone);
    tcase_add_test(cases, one_cut_of_a_stack_gives_stack_pieces);
    tcase_add_test(cases, a_load_is_timed_by_mass);
    tcase_add_test(cases, the_rapid_defaults_to_half_the_box_for_each_pierce);
    tcase_add_test(cases, a_part_without_a_box_has_no_sheets_and_one_load);
    tcase_add_test(cases, the_fitted_head_needs_no_change);
    tcase_add_test(cases, the_first_check_comes_once_a_stock);
    tcase_add_test(cases, what_is_not_known_is_not_nothing);
    tcase_add_test(cases, a_job_with_an_unknown_part_and_those_after_it_have_no_known_end);
    tcase_add_test(cases, a_quantity_of_nothing_is_not_cut);
    tcase_add_test(cases, a_shift_without_jobs_ends_as_it_starts);
    tcase_add_test(cases, several_heads_share_the_cut_and_add_their_flows);
    tcase_add_test(cases, garnet_is_used_while_the_jet_is_on_and_not_on_water);
    tcase_add_test(cases, a_sheet_is_turned_if_only_that_fits);
    tcase_add_test(cases, the_kerf_is_the_least_gap);
    tcase_add_test(cases, late_is_counted_from_the_due_time);
    return run_case("plan", cases);
}
