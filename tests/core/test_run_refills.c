/* Refills of the hopper in a run, against cases worked out by hand; the arithmetic stands beside each. */
#include "core/run_by_hand.h"
#include "support/suite.h"

START_TEST(five_hundred_lines_of_one_piece_each)
{
    /* 500 x (30 s load + 12 s) = 21,000 s. 500 x 0.5 kg = 250 kg. From 100 to the low line of 10: 90 / 0.5 =
     * 180 pieces; then 4 bags (90 kg of room / 20 = 4.5) bring it to 90: 160 more pieces, to 340; again 4
     * bags and 160 pieces, to 500. So 2 refills of 100 + 4 x 10 = 140 s, and 10 kg are left. */
    for (int i = 0; i < 500; i++)
        add(1, 12, 0.5);
    run_it();
    ck_assert(hand.run.finished);
    ck_assert_int_eq(hand.run.refills, 2);
    ck_assert_int_eq(hand.run.bags, 8);
    ck_assert_int_eq(event(SG_EVENT_REFILL, 0)->batch, 180);
    ck_assert_int_eq(event(SG_EVENT_REFILL, 1)->batch, 340);
    expect(event(SG_EVENT_REFILL, 0)->at, 180 * 42 + 30);
    expect(hand.run.end, 21000 + 2 * 140);
    expect(hand.run.hands_on, 500 * 30 + 2 * 140);
    expect(hand.run.level_end, 10);
}
END_TEST

START_TEST(a_job_of_sixty_pieces_with_four_refills)
{
    /* 60 pieces of 100 s and 6 kg, 20 a sheet, load 60 s, first check 30 s.
     * 90 / 6 = 15 pieces, level 10; 4 bags: 90. 80 / 6 = 13 pieces, level 12; room 88, 4 bags: 92. 82 / 6 =
     * 13 pieces, level 14; room 86, 4 bags: 94. 84 / 6 = 14 pieces, level 10; 4 bags: 90. The last 5:
     * level 60. So before pieces 15, 28, 41 and 55 (from 0), on sheets 1, 2, 3 and 3. 1st: 60 + 100 + 30 + 14
     * x 100 = 1590. 2nd: 1590 + 140 + 5 x 100 + 60 + 8 x 100 = 3090. 3rd: 3090 + 140 + 12 x 100 + 60 + 100 =
     * 4590. 4th: 4590 + 140 + 14 x 100 = 6130. End: 6130 + 140 + 500. */
    static const struct {
        double at, level;
        int sheet, first;
    } expected[] = {{1590, 10, 1, 15}, {3090, 12, 2, 8}, {4590, 14, 3, 1}, {6130, 10, 3, 15}};
    struct sg_batch *batch = add_sheets(3, 20, 100, 6);
    hand.sheets[0].load = 60;
    batch->first_check = 30;
    run_it();
    ck_assert_int_eq(hand.run.refills, 4);
    for (int i = 0; i < 4; i++) {
        const struct sg_event *refill = event(SG_EVENT_REFILL, i);
        expect(refill->at, expected[i].at);
        expect(refill->level, expected[i].level);
        ck_assert_int_eq(refill->sheet, expected[i].sheet);
        ck_assert_int_eq(refill->first, expected[i].first);
        ck_assert_int_eq(refill->bags, 4);
    }
    expect(hand.run.end, 6770);
    expect(hand.run.level_end, 60);
}
END_TEST

START_TEST(water_needs_no_garnet)
{
    hand.machine.hopper_level = 0;
    hand.machine.bags_in_stock = 0;
    add(50, 40, 0)->head = 1;
    run_it(); /* head change 900 s, load 30, 50 x 40 */
    ck_assert(hand.run.finished);
    ck_assert_int_eq(hand.run.refills, 0);
    expect(event(SG_EVENT_HEAD_CHANGE, 0)->seconds, 900);
    expect(hand.run.end, 900 + 30 + 2000);
}
END_TEST

START_TEST(out_of_garnet_stops_the_run_and_says_how_many_bags)
{
    /* 22 kg: 2 pieces of 6 to level 10 at 110 s; the one bag, 110 s: 30; 3 pieces to level 12 at 340 s. 15
     * pieces of 6 = 90 kg and the low line of 10 need 100, 12 are there: 88 / 20 = 4.4, so 5 bags. */
    hand.machine.hopper_level = 22;
    hand.machine.bags_in_stock = 1;
    add(20, 40, 6);
    run_it();
    ck_assert(!hand.run.finished);
    ck_assert_int_eq(hand.run.bags_short, 5);
    ck_assert_int_eq(hand.run.bags_left, 0);
    expect(event(SG_EVENT_OUT_OF_GARNET, 0)->at, 340);
    expect(event(SG_EVENT_OUT_OF_GARNET, 0)->level, 12);
    expect(hand.run.end, 340);
}
END_TEST

START_TEST(a_part_of_a_bag_where_whole_ones_do_not_help)
{
    /* Room for 60 kg, bags of 70: none fits whole, but 40 - 35 is below 10: one is opened and fills to the
     * brim. */
    hand.machine.hopper_level = 40;
    hand.machine.bag = 70;
    add(1, 40, 35);
    run_it();
    const struct sg_event *refill = event(SG_EVENT_REFILL, 0);
    ck_assert_int_eq(refill->bags, 1);
    expect(refill->garnet, 60);
    expect(refill->seconds, 110);
    ck_assert_int_eq(refill->flags, SG_EVENT_PART_BAG);
    expect(hand.run.level_end, 65);
}
END_TEST

START_TEST(enough_is_no_more_bags_than_the_rest_asks_for)
{
    /* 16 kg: one piece, then 4 are left, 24 kg: 24 + 10 - 10 = 24, 2 bags of 20 (full would be 4). */
    hand.machine.hopper_level = 16;
    hand.machine.refill_amount = SG_AMOUNT_ENOUGH;
    add(5, 40, 6);
    run_it();
    ck_assert_int_eq(hand.run.bags, 2);
    expect(hand.run.level_end, 16 + 40 - 30);
}
END_TEST

START_TEST(bulk_fills_to_the_brim)
{
    hand.machine.hopper_level = 16;
    hand.machine.bag = 0;
    hand.machine.bags_in_stock = 0;
    add(2, 40, 6);
    run_it();
    expect(event(SG_EVENT_REFILL, 0)->garnet, 90);
    expect(event(SG_EVENT_REFILL, 0)->seconds, 100);
    ck_assert_int_eq(hand.run.bags, 0);
}
END_TEST

START_TEST(refills_between_sheets_look_a_whole_sheet_ahead)
{
    /* 2 sheets of 5 pieces of 6 kg. 100 - 30 = 70: no. 70 - 30 = 40: no. With 45 kg: 45 - 30 = 15, then 15 -
     * 30 is below 10: before sheet 2, at level 15, room 85, 4 bags. */
    hand.machine.hopper_level = 45;
    hand.machine.refill_at = SG_AT_SHEETS;
    add_sheets(2, 5, 40, 6);
    run_it();
    ck_assert_int_eq(hand.run.refills, 1);
    ck_assert_int_eq(event(SG_EVENT_REFILL, 0)->sheet, 2);
    ck_assert_int_eq(event(SG_EVENT_REFILL, 0)->first, 0);
    expect(event(SG_EVENT_REFILL, 0)->level, 15);
    expect(event(SG_EVENT_REFILL, 0)->at, 30 + 200 + 30);
}
END_TEST

START_TEST(a_piece_that_takes_more_than_the_hopper_stops_inside)
{
    /* 150 kg in 300 s: 90 kg in 180 s from 30 to 210; 4 bags, 140 s, to 350; the last 60 kg in 120 s, to 470.
     */
    add(1, 300, 150);
    run_it();
    const struct sg_event *refill = event(SG_EVENT_REFILL, 0);
    ck_assert_int_eq(hand.run.refills, 1);
    ck_assert_int_eq(refill->flags, SG_EVENT_IN_CUT);
    expect(refill->at, 210);
    expect(refill->level, 10);
    expect(hand.run.end, 470);
    expect(hand.run.level_end, 30);
}
END_TEST

START_TEST(a_refill_while_cutting_takes_the_person_and_not_the_machine)
{
    /* 18 kg: piece to 70 s, level 12. The filling of 4 bags runs from 70 to 210. 2 kg above the low line last
     * 2 / (6/40) = 13.333 s: cutting goes on at 210 - 13.333 = 196.667 and ends at 236.667. */
    hand.machine.hopper_level = 18;
    hand.machine.refill_stops_cutting = 0;
    add(2, 40, 6);
    run_it();
    const struct sg_event *refill = event(SG_EVENT_REFILL, 0);
    ck_assert_int_eq(refill->flags, SG_EVENT_WHILE_CUTTING);
    expect(refill->at, 70);
    expect(refill->level, 12);
    expect(event(SG_EVENT_CUT, 1)->at, 210 - 40.0 / 3);
    expect(hand.run.end, 250 - 40.0 / 3);
    expect(hand.run.hands_on, 30);
    expect(hand.run.waiting, 140 - 40.0 / 3);
}
END_TEST

START_TEST(parts_that_share_a_sheet_share_its_load_and_its_refill)
{
    /* Twice a sheet of 3 x 40 s and 5 kg and of 2 x 20 s and 10 kg: 35 kg a sheet, one load each. Between
     * sheets: 60 - 35 = 25 is above the low line of 10; 25 - 35 is not: before sheet 2, at 25 kg. Tabs of 3 s
     * a cut of the second part: 6 s after each sheet. */
    hand.machine.hopper_level = 60;
    hand.machine.refill_at = SG_AT_SHEETS;
    add_sheets(2, 3, 40, 5)->first_check = 7;
    add_on_it(2, 20, 10)->tabs = 3;
    run_it();
    ck_assert_int_eq(hand.run.refills, 1);
    const struct sg_event *refill = event(SG_EVENT_REFILL, 0);
    ck_assert_int_eq(refill->sheet, 2);
    ck_assert_int_eq(refill->batch, 0);
    expect(refill->level, 25);
    expect(refill->at, 30 + 3 * 40 + 7 + 2 * 20 + 6 + 30);
    expect(event(SG_EVENT_TABS, 0)->seconds, 6);
    expect(hand.run.end, 2 * (30 + 3 * 40 + 2 * 20 + 6) + 7 + refill->seconds);
    /* Between pieces it is due before the second cut of the second part on sheet 2: 25 - 15 = 10, not below;
     * 10 - 10 is. */
    hand.machine.refill_at = SG_AT_PIECES;
    run_it();
    refill = event(SG_EVENT_REFILL, 0);
    ck_assert_int_eq(refill->batch, 1);
    ck_assert_int_eq(refill->sheet, 2);
    ck_assert_int_eq(refill->first, 0);
    expect(refill->level, 10);
}
END_TEST

int main(void)
{
    TCase *tcase = tcase_create("by hand");
    tcase_add_checked_fixture(tcase, set_up, tear_down);
    tcase_add_test(tcase, five_hundred_lines_of_one_piece_each);
    tcase_add_test(tcase, a_job_of_sixty_pieces_with_four_refills);
    tcase_add_test(tcase, parts_that_share_a_sheet_share_its_load_and_its_refill);
    tcase_add_test(tcase, water_needs_no_garnet);
    tcase_add_test(tcase, out_of_garnet_stops_the_run_and_says_how_many_bags);
    tcase_add_test(tcase, a_part_of_a_bag_where_whole_ones_do_not_help);
    tcase_add_test(tcase, enough_is_no_more_bags_than_the_rest_asks_for);
    tcase_add_test(tcase, bulk_fills_to_the_brim);
    tcase_add_test(tcase, refills_between_sheets_look_a_whole_sheet_ahead);
    tcase_add_test(tcase, a_piece_that_takes_more_than_the_hopper_stops_inside);
    tcase_add_test(tcase, a_refill_while_cutting_takes_the_person_and_not_the_machine);
    return run_case("run, refills", tcase);
}
