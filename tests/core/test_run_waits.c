/* What waits in a run and what comes in between - breaks, closing, changes, moves, chores - against cases
 * worked out by hand; the arithmetic stands beside each. */
#include "core/run_by_hand.h"
#include "support/suite.h"

static void add_break(double from, double to)
{
    hand.calendar.breaks[hand.calendar.n_breaks].from_s = from;
    hand.calendar.breaks[hand.calendar.n_breaks++].to_s = to;
}

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

int main(void)
{
    TCase *tcase = tcase_create("by hand");
    tcase_add_checked_fixture(tcase, set_up, tear_down);
    tcase_add_test(tcase, an_event_due_in_a_break_waits_for_its_end);
    tcase_add_test(tcase, an_event_that_has_started_runs_on_into_a_break);
    tcase_add_test(tcase, a_refill_due_in_a_break_waits_for_its_end);
    tcase_add_test(tcase, hands_on_work_past_closing_is_marked);
    tcase_add_test(tcase, nothing_to_cut_ends_at_once);
    tcase_add_test(tcase, without_running_in_breaks_no_piece_starts_that_would_not_end_by_one);
    tcase_add_test(tcase, a_piece_longer_than_any_gap_starts_anyway);
    tcase_add_test(tcase, least_wait_fills_before_the_break);
    tcase_add_test(tcase, a_worn_tube_is_changed_before_the_sheet_that_would_pass_its_life);
    tcase_add_test(tcase, a_long_sheet_is_moved_along);
    tcase_add_test(tcase, chores_of_the_shop_come_in_their_places);
    return run_case("run, waits", tcase);
}
