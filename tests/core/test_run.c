/* The run against cases worked out by hand; the arithmetic stands beside each. */
#include "sandglass/run.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Hopper 100 kg, low line 10, full; bags of 20, 50 in stock; a refill takes 100 s and 10 s a bag and stops
 * the machine; between pieces; full. One head is fitted; no breaks; the shift closes at 100,000 s. */
struct by_hand {
    struct sg_calendar calendar;
    struct sg_machine machine;
    struct sg_head heads[2];
    struct sg_batch batches[500];
    struct sg_sheets sheets[500];
    struct sg_run_input input;
    struct sg_run run;
};

static struct by_hand hand;

static void set_up(void)
{
    memset(&hand, 0, sizeof hand);
    hand.calendar.close_s = 100000;
    hand.machine = sg_fresh_machine;
    hand.machine.hopper = hand.machine.hopper_level = 100;
    hand.machine.low_line = 10;
    hand.machine.bag = 20;
    hand.machine.bags_in_stock = 50;
    hand.machine.refill = 100;
    hand.machine.refill_per_bag = 10;
    memcpy(hand.heads, sg_fresh_heads, sizeof hand.heads);
    hand.input = (struct sg_run_input){.calendar = &hand.calendar,
                                       .run_in_breaks = true,
                                       .machine = &hand.machine,
                                       .heads = hand.heads,
                                       .n_heads = 2,
                                       .batches = hand.batches,
                                       .sheets = hand.sheets};
}

static void tear_down(void)
{
    sg_run_free(&hand.run);
}

/* More cuts of another part on the last sheet. */
static struct sg_batch *add_on_it(int64_t cuts, double each, double garnet)
{
    struct sg_sheets *sheets = &hand.sheets[hand.input.n_sheets - 1];
    struct sg_batch *batch = &hand.batches[sheets->first + sheets->n++];
    *batch = (struct sg_batch){
        .cuts = cuts, .cut = each, .garnet = garnet, .sheets = hand.input.n_sheets - 1, .part = sheets->n};
    return batch;
}

/* cuts of `each` s and `garnet` kg, all on one sheet, 30 s to load it. */
static struct sg_batch *add(int64_t cuts, double each, double garnet)
{
    struct sg_sheets *sheets = &hand.sheets[hand.input.n_sheets++];
    int32_t first = hand.input.n_sheets > 1 ? sheets[-1].first + sheets[-1].n : 0;
    *sheets = (struct sg_sheets){.first = first, .copies = 1, .load = 30};
    return add_on_it(cuts, each, garnet);
}

/* The same on so many sheets each. */
static struct sg_batch *add_sheets(int64_t copies, int64_t cuts, double each, double garnet)
{
    struct sg_batch *batch = add(cuts, each, garnet);
    hand.sheets[hand.input.n_sheets - 1].copies = copies;
    return batch;
}

static void add_break(double from, double to)
{
    hand.calendar.breaks[hand.calendar.n_breaks].from_s = from;
    hand.calendar.breaks[hand.calendar.n_breaks++].to_s = to;
}

static void run_it(void)
{
    sg_run_simulate(&hand.input, &hand.run);
    ck_assert(!hand.run.failed);
}

/* The n-th event of a kind, from 0. */
static const struct sg_event *event(int kind, int n)
{
    for (int32_t i = 0; i < hand.run.n_events; i++)
        if (hand.run.events[i].kind == kind && n-- == 0)
            return &hand.run.events[i];
    ck_abort_msg("there is no such %s", sg_event_word(kind));
    return NULL;
}

static void expect(double value, double expected)
{
    ck_assert_msg(fabs(value - expected) < 1e-6, "%.9g, expected %.9g", value, expected);
}

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

START_TEST(an_event_due_in_a_break_waits_for_its_end)
{
    /* Load to 30, piece to 70; the check is due in the break 50 to 200: it starts at 200, ends at 210; piece
     * to 250. The machine waited 130 s. */
    add_break(50, 200);
    add(2, 40, 1)->first_check = 10;
    run_it();
    expect(event(SG_EVENT_FIRST_CHECK, 0)->asked, 70);
    expect(event(SG_EVENT_FIRST_CHECK, 0)->at, 200);
    expect(hand.run.waiting, 130);
    expect(hand.run.end, 250);
}
END_TEST

START_TEST(an_event_that_has_started_runs_on_into_a_break)
{
    add_break(20, 200); /* load 0 to 30, pieces to 70 and 110, in the break */
    add(2, 40, 1);
    run_it();
    expect(hand.run.waiting, 0);
    expect(hand.run.end, 110);
}
END_TEST

START_TEST(a_refill_due_in_a_break_waits_for_its_end)
{
    /* 16 kg: one piece of 6 brings it to 10 at 70 s; the refill is due in the break 50 to 200. It starts at
     * 200 with 4 bags, 140 s, to 340; the second piece ends at 380. */
    hand.machine.hopper_level = 16;
    add_break(50, 200);
    add(2, 40, 6);
    run_it();
    expect(event(SG_EVENT_REFILL, 0)->at, 200);
    expect(event(SG_EVENT_REFILL, 0)->garnet, 80);
    expect(hand.run.waiting, 130);
    expect(hand.run.end, 380);
    int32_t asks;
    ck_assert(!sg_run_alone(&hand.run, 50, 200, &asks));
    ck_assert_int_eq(hand.run.events[asks].kind, SG_EVENT_REFILL);
    ck_assert(sg_run_alone(&hand.run, 30, 70, &asks));
    ck_assert_int_eq(asks, -1);
}
END_TEST

START_TEST(hands_on_work_past_closing_is_marked)
{
    hand.calendar.close_s = 100; /* loads at 0 and 110 */
    add(2, 40, 1);
    add(1, 40, 1);
    run_it();
    ck_assert_int_eq(event(SG_EVENT_LOAD, 0)->flags, 0);
    ck_assert_int_eq(event(SG_EVENT_LOAD, 1)->flags, SG_EVENT_AFTER_SHIFT);
    ck_assert_int_eq(event(SG_EVENT_CUT, 1)->flags, 0);
}
END_TEST

START_TEST(nothing_to_cut_ends_at_once)
{
    run_it();
    ck_assert(hand.run.finished);
    ck_assert_int_eq(hand.run.n_events, 0);
    expect(hand.run.end, 0);
    expect(hand.run.level_end, 100);
    ck_assert(sg_run_alone(&hand.run, 0, 1000, NULL));
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

START_TEST(without_running_in_breaks_no_piece_starts_that_would_not_end_by_one)
{
    hand.input.run_in_breaks = false;
    add_break(100, 200); /* pieces 30 to 70, then 70 to 110 is too long: 200 to 240 */
    add(2, 40, 1);
    run_it();
    expect(event(SG_EVENT_CUT, 1)->at, 200);
    expect(hand.run.waiting, 130);
    expect(hand.run.end, 240);
    hand.calendar.breaks[0].from_s = 110; /* just in time */
    run_it();
    expect(hand.run.waiting, 0);
    expect(hand.run.end, 110);
}
END_TEST

START_TEST(a_piece_longer_than_any_gap_starts_anyway)
{
    /* Gaps of 100 (0 to 100) and 50 s (200 to 250); a piece of 120 s starts at 30. The next batch's pieces of
     * 40 s do not have its mark. */
    hand.input.run_in_breaks = false;
    hand.calendar.close_s = 250;
    add_break(100, 200);
    add(1, 120, 1);
    add(1, 40, 1);
    run_it();
    expect(sg_run_longest_gap(&hand.calendar), 100);
    expect(event(SG_EVENT_CUT, 0)->at, 30);
    ck_assert_int_eq(event(SG_EVENT_CUT, 0)->flags, SG_EVENT_LONG_PIECE);
    ck_assert_int_eq(event(SG_EVENT_CUT, 1)->flags, 0);
    hand.batches[0].garnet = 150; /* the same where it stops inside */
    run_it();
    ck_assert_int_eq(event(SG_EVENT_CUT, 0)->flags, SG_EVENT_LONG_PIECE | SG_EVENT_IN_CUT);
    ck_assert_int_eq(event(SG_EVENT_CUT, 1)->flags, SG_EVENT_IN_CUT);
    ck_assert_int_eq(event(SG_EVENT_CUT, 2)->flags, 0);
}
END_TEST

START_TEST(least_wait_fills_before_the_break)
{
    /* 16 kg, 2 pieces of 6: the refill is due at 70 s, in the break 65 to 400: 400 + 140 + 40 = 580. Done
     * before the first piece it takes 30 to 170; the pieces end at 210 and, in the break, 250. */
    struct sg_run scratch = {0};
    hand.machine.hopper_level = 16;
    add_break(65, 400);
    add(2, 40, 6);
    run_it();
    expect(hand.run.end, 580);
    sg_run_least_wait(&hand.input, &hand.run, &scratch);
    expect(event(SG_EVENT_REFILL, 0)->at, 30);
    expect(hand.run.end, 250);
    sg_run_free(&scratch);
}
END_TEST

START_TEST(a_worn_tube_is_changed_before_the_sheet_that_would_pass_its_life)
{
    /* Life 500 s, 300 on it: sheets of 2 x (40 + 10) = 100 s of jet. Two sheets bring it to 500, the third
     * would pass: changed before it. Rapids (5 s) do not wear it. */
    hand.heads[0].tube_life = 500;
    hand.heads[0].tube_hours = 300;
    struct sg_batch *batch = add_sheets(4, 2, 40, 1);
    batch->pierce = 10;
    batch->rapid = 5;
    run_it();
    ck_assert_int_eq(event(SG_EVENT_TUBE_CHANGE, 0)->sheet, 3);
    expect(event(SG_EVENT_TUBE_CHANGE, 0)->at, 2 * (30 + 2 * 55));
    expect(event(SG_EVENT_TUBE_CHANGE, 0)->seconds, 600);
    expect(hand.run.end, 4 * (30 + 2 * 55) + 600);
    hand.heads[0].tube_hours = 0;
    hand.heads[0].tube_life =
        50; /* shorter than a sheet: a new one is not changed for a new one before sheet 1 */
    run_it();
    ck_assert_int_eq(event(SG_EVENT_TUBE_CHANGE, 0)->sheet, 2);
}
END_TEST

START_TEST(a_long_sheet_is_moved_along)
{
    /* 4 cuts, one move, 4 cuts, one more, 2 cuts. */
    add(4, 40, 1);
    add_on_it(4, 40, 1)->moves = 1;
    add_on_it(2, 40, 1)->moves = 2;
    run_it();
    ck_assert_int_eq(event(SG_EVENT_INDEX_MOVE, 0)->batch, 1);
    expect(event(SG_EVENT_INDEX_MOVE, 0)->at, 30 + 4 * 40);
    ck_assert_int_eq(event(SG_EVENT_INDEX_MOVE, 1)->batch, 2);
    expect(hand.run.end, 30 + 10 * 40 + 2 * 600);
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

START_TEST(chores_of_the_shop_come_in_their_places)
{
    /* 100 s at the start, 10 before the job, 5 for each of 2 x 3 pieces after the sheet, 7 after the sheet,
     * 50 at the end: 100 + 10 + 30 + 3 x 40 + 30 + 7 + 50. */
    const struct sg_chore chores[] = {{.when = SG_CHORE_SHIFT_END, .time = 50},
                                      {.when = SG_CHORE_SHEET, .time = 7},
                                      {.when = SG_CHORE_PIECE, .time = 5},
                                      {.when = SG_CHORE_JOB, .time = 10},
                                      {.when = SG_CHORE_SHIFT_START, .time = 100}};
    hand.input.chores = chores;
    hand.input.n_chores = 5;
    add(3, 40, 1)->stack = 2;
    run_it();
    expect(event(SG_EVENT_CHORE, 0)->at, 0);
    expect(event(SG_EVENT_CHORE, 1)->at, 100);
    expect(event(SG_EVENT_LOAD, 0)->at, 110);
    expect(event(SG_EVENT_CHORE, 2)->seconds, 30);
    expect(event(SG_EVENT_CHORE, 3)->seconds, 7);
    expect(hand.run.end, 347);
}
END_TEST

static TCase *by_hand_cases(void)
{
    TCase *tcase = tcase_create("by hand");
    tcase_add_checked_fixture(tcase, set_up, tear_down);
    tcase_add_test(tcase, five_hundred_lines_of_one_piece_each);
    tcase_add_test(tcase, a_job_of_sixty_pieces_with_four_refills);
    tcase_add_test(tcase, parts_that_share_a_sheet_share_its_load_and_its_refill);
    tcase_add_test(tcase, an_event_due_in_a_break_waits_for_its_end);
    tcase_add_test(tcase, an_event_that_has_started_runs_on_into_a_break);
    tcase_add_test(tcase, a_refill_due_in_a_break_waits_for_its_end);
    tcase_add_test(tcase, hands_on_work_past_closing_is_marked);
    tcase_add_test(tcase, nothing_to_cut_ends_at_once);
    tcase_add_test(tcase, water_needs_no_garnet);
    tcase_add_test(tcase, out_of_garnet_stops_the_run_and_says_how_many_bags);
    tcase_add_test(tcase, a_part_of_a_bag_where_whole_ones_do_not_help);
    tcase_add_test(tcase, enough_is_no_more_bags_than_the_rest_asks_for);
    tcase_add_test(tcase, bulk_fills_to_the_brim);
    tcase_add_test(tcase, refills_between_sheets_look_a_whole_sheet_ahead);
    tcase_add_test(tcase, a_piece_that_takes_more_than_the_hopper_stops_inside);
    tcase_add_test(tcase, a_refill_while_cutting_takes_the_person_and_not_the_machine);
    tcase_add_test(tcase, without_running_in_breaks_no_piece_starts_that_would_not_end_by_one);
    tcase_add_test(tcase, a_piece_longer_than_any_gap_starts_anyway);
    tcase_add_test(tcase, least_wait_fills_before_the_break);
    tcase_add_test(tcase, a_worn_tube_is_changed_before_the_sheet_that_would_pass_its_life);
    tcase_add_test(tcase, a_long_sheet_is_moved_along);
    tcase_add_test(tcase, chores_of_the_shop_come_in_their_places);
    return tcase;
}

int main(void)
{
    Suite *suite = suite_create("run");
    suite_add_tcase(suite, by_hand_cases());
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
