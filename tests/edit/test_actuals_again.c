/* Sheets that are cut on after a stop, and what is noted in one minute: each piece is planned, counted and
 * timed once. */
#include "edit/acts.h"

static const struct sg_clock *clock_of(int32_t index)
{
    ck_assert_int_lt(index, sg_desk_shop(desk)->n_clocks);
    return &sg_desk_shop(desk)->clocks[index];
}

static void expect_near(double value, double expected)
{
    ck_assert_double_eq_tol(value, expected, 1e-6 * expected);
}

/* 20 of A and 11 of B lie on the first sheet of 2601/1. */
START_TEST(a_sheet_that_is_cut_on_has_what_is_left_of_its_plan)
{
    must(start("2601/1", "06:10"));
    must(count("07:00", false, 12, "A"));
    must(put("07:05", SG_RECORD_STOP, "", "plugged"));
    must(start("2601/1", "07:20"));
    ck_assert_str_eq(noted.words, "clock started on 2601/1, sheet 1");
    const struct sg_clock *first = clock_of(0), *second = clock_of(1);
    struct sg_lies a, b;
    ck_assert(sg_lies_find(first, "A", &a) && sg_lies_find(first, "B", &b));
    ck_assert_int_eq(a.pieces, 20);
    ck_assert_int_eq(b.pieces, 11);
    ck_assert_int_eq(second->pieces, 8 + 11);
    expect_near(sg_clock_planned(second), sg_clock_planned(first) * (8 * a.share + 11 * b.share));
    expect_near(second->planned_garnet, first->planned_garnet * (8 * a.share + 11 * b.share));
    expect_near(second->cut_length, first->cut_length * (8 * a.share + 11 * b.share));
    ck_assert(sg_lies_find(second, "A", &a));
    ck_assert_int_eq(a.pieces, 8);
    must(count("08:20", false, 0, "2601/1"));
    ck_step("8 of 2601/1/A, 11 of 2601/1/B done");
    must(put("08:20", SG_RECORD_STOP, "", ""));
    must(start("2601/1", "08:30"));
    ck_assert_str_eq(noted.words, "clock started on 2601/1, sheet 2");
    ck_assert_int_eq(clock_of(2)->pieces, 25);
}
END_TEST

START_TEST(its_clocks_are_one_run_and_share_its_plan)
{
    struct sg_actual_run run;
    must(start("2601/1", "06:10"));
    must(count("07:00", false, 12, "A"));
    must(put("07:05", SG_RECORD_STOP, "", "plugged"));
    must(start("2601/1", "07:20"));
    must(count("08:20", false, 0, "2601/1"));
    must(put("08:20", SG_RECORD_STOP, "", ""));
    read_now("08:30");
    const struct sg_shop *shop = sg_desk_shop(desk);
    double whole = sg_clock_planned(clock_of(0));
    ck_assert_int_eq(sg_actual_run_of(shop, &now.actual, 0, NULL), SG_LEFT_NO_CUT);
    ck_assert_int_eq(sg_actual_run_of(shop, &now.actual, 1, &run), SG_LEFT_NOTHING);
    expect_near(run.planned, whole);
    expect_near(run.took, (55 + 60) * 60);
    expect_near(sg_actual_share(shop, &now.actual, 0) + sg_actual_share(shop, &now.actual, 1), whole);
    ck_assert_int_eq((int)sg_actual_goes_on_with(shop, &now.actual, 1), 0);
    ck_refuse(count("08:40", true, 21, "A"), SG_BAD_DATA, "20 are counted as done, and 0 more lie");
}
END_TEST

START_TEST(counted_or_not_a_cut_and_its_check_are_one_run)
{
    struct sg_actual_run run;
    must(start("2601/1", "06:10"));
    if (_i)
        must(count("06:14", false, 1, "A"));
    must(start_phase("2601/1", "06:15", SG_PHASE_CHECK));
    expect_near(clock_of(1)->planned_hands, sg_desk_shop(desk)->stocks[0].first_check);
    must(start("2601/1", "06:25"));
    must(count("08:20", false, 0, "2601/1"));
    must(put("08:20", SG_RECORD_STOP, "", ""));
    read_now("08:30");
    const struct sg_shop *shop = sg_desk_shop(desk);
    struct sg_study_run *runs;
    int32_t n, left_out;
    ck_assert(sg_actual_runs(shop, &now.actual, &now.arena, &runs, NULL, &n, &left_out));
    ck_assert_int_eq(n, 1);
    ck_assert_int_eq(left_out, 0);
    ck_assert_int_eq(sg_actual_run_of(shop, &now.actual, 2, &run), SG_LEFT_NOTHING);
    expect_near(run.planned, sg_clock_planned(clock_of(0)));
    expect_near(run.took, (5 + 115) * 60);
    ck_assert_int_eq((int)now.actual.parts[0].good, 20);
}
END_TEST

START_TEST(done_stop_and_the_next_start_may_be_of_one_minute)
{
    must(start("2601/1", "06:10"));
    must(count("07:50", false, 0, "2601/1"));
    must(put("07:50", SG_RECORD_STOP, "", ""));
    must(start("2601/1", "07:50"));
    must(count("09:10", false, 0, "2601/1"));
    must(put("09:10", SG_RECORD_STOP, "", ""));
    must(start("2602/1", "09:10"));
    read_now("09:20");
    for (int i = 0; i < 2; i++)
        ck_assert(!now.actual.clocks[i].mended && !now.actual.clocks[i].running);
    expect_near(sg_actual_net(&now.actual.clocks[0]), 100 * 60);
    expect_near(sg_actual_net(&now.actual.clocks[1]), 80 * 60);
    ck_assert_int_eq((int)now.actual.clocks[0].good, 31);
    ck_assert_int_eq((int)now.actual.clocks[1].good, 25);
    ck_assert_int_eq(now.actual.n_remarks, 0);
}
END_TEST

START_TEST(a_feed_that_is_weighed_between_cuts_is_that_of_the_next)
{
    must(put("06:05", SG_RECORD_WEIGH, "abrasive", ""));
    must(start_phase("2601/1", "06:10", SG_PHASE_LOAD));
    must(start("2601/1", "06:20"));
    must(put("07:20", SG_RECORD_STOP, "", ""));
    must(start("2601/1", "07:30"));
    read_now("07:40");
    ck_assert(!sg_known(now.actual.clocks[0].weighed));
    expect_near(now.actual.clocks[1].weighed, 310);
    ck_assert(!sg_known(now.actual.clocks[2].weighed)); /* it counts once */
}
END_TEST

START_TEST(a_feed_far_from_what_is_set_is_kept_and_said)
{
    struct sg_record record = sg_fresh_record;
    record.what = SG_RECORD_WEIGH;
    record.at = at("06:05");
    record.place = "abrasive";
    record.feed = 0.31;
    must(sg_desk_record(desk, &record, &noted, &error));
    ck_assert_msg(strstr(noted.words, "is the unit right?") != NULL, "%s", noted.words);
    must(put("06:06", SG_RECORD_WEIGH, "abrasive", ""));
    ck_assert_ptr_null(strstr(noted.words, "unit"));
}
END_TEST

START_TEST(one_sheet_is_not_loaded_or_checked_twice_at_once)
{
    enum sg_phase phase = _i ? SG_PHASE_CHECK : SG_PHASE_LOAD;
    must(start_phase("2601/1", "06:10", phase));
    ck_refuse(start_phase("2601/1", "06:12", phase), SG_BAD_DATA,
              _i ? "the first check of 2601/1 runs already" : "the loading of 2601/1 runs already");
    must(start_phase("2602/1", "06:12", phase));
}
END_TEST

START_TEST(where_one_part_alone_lies_it_need_not_be_named)
{
    must(start("2601/1", "06:10"));
    ck_refuse(count("06:20", false, 1, NULL), SG_BAD_DATA, "several parts: name one of A, B");
    must(count("07:20", false, 0, "2601/1"));
    must(start("2601/1", "07:30")); /* 25 of B alone */
    must(count("07:40", false, 26, NULL));
    ck_step(
        "26 of 2601/1/B done, 1 more than the plan had on the clocked sheets: was one cut without a clock?");
}
END_TEST

/* ---- sheets that are begun, and what is left ---- */

static double end_now(const char *time)
{
    read_now(time);
    return now.rest.shop.shifts[now.rest.shift].calendar.epoch + now.plan->ends;
}

/* When so manieth sheet of 2601/1 is loaded, in the plan of what is left; NaN: it is not. */
static double load_of_sheet(int32_t number)
{
    int32_t stock = sg_actual_stock(&now.rest.shop, "2601/1");
    for (int32_t i = 0; i < now.plan->run.n_events; i++) {
        const struct sg_event *event = &now.plan->run.events[i];
        if (event->kind == SG_EVENT_LOAD && now.plan->batches[event->batch].stock == stock &&
            sg_event_sheet(now.plan, event) == number)
            return event->at;
    }
    return (double)NAN;
}

static int32_t sheets_left(void)
{
    int32_t stock = sg_actual_stock(&now.rest.shop, "2601/1");
    return (int32_t)now.plan->stocks[stock - now.plan->first_stock].sheets;
}

/* What is left would fit one sheet, if it did not lie on two. */
START_TEST(what_lies_on_a_sheet_that_is_begun_is_forecast_there)
{
    read_now("06:00");
    ck_assert_int_eq(sheets_left(), 2);
    must(start("2601/1", "06:10"));
    must(count("07:40", false, 20, "A"));
    must(count("07:40", false, 10, "B"));
    read_now("07:40");
    ck_assert_int_eq(sheets_left(), 2);
    ck_assert(!sg_known(load_of_sheet(1)));
    ck_assert(sg_known(load_of_sheet(2)));
    double ends = end_now("07:40"), one = now.plan->stocks[0].cut + now.plan->stocks[0].pierce;
    ck_assert(one > 0);
    must(count("07:41", false, 1, "B")); /* the last of its sheet, which is not the whole stock */
    ck_assert_double_lt(fabs(end_now("07:41") - ends), 5 * 60);
    ck_assert_int_eq(sheets_left(), 1);
    ck_assert(sg_known(load_of_sheet(2)));
}
END_TEST

START_TEST(a_sheet_that_is_begun_is_on_hand_once)
{
    must(sg_desk_set(desk, "2601/1", (const char *[]){"sheets=2"}, 1, true, changes, &target, &error));
    must(start("2601/1", "06:10"));
    must(count("07:00", false, 12, "A"));
    read_now("07:00");
    for (int32_t i = 0; i < now.plan->n_cautions; i++)
        ck_assert_int_ne(now.plan->cautions[i].code, SG_CAUTION_SHEETS_SHORT);
    ck_assert_int_eq(now.rest.shop.stocks[sg_actual_stock(&now.rest.shop, "2601/1")].sheets, 1);
}
END_TEST

/* A plugged nozzle before the first piece: stop, clear it, start. Whether the reason is noted or not. */
START_TEST(a_cut_that_broke_off_goes_on_with_its_sheet)
{
    struct sg_actual_run run;
    double ends;
    must(start("2601/1", "06:10"));
    must(put("06:14", SG_RECORD_STOP, "", _i ? "plugged" : ""));
    ck_assert_msg(strstr(noted.words, "; nothing is counted: sheet 1 stays on the table, not finished"), "%s",
                  noted.words);
    ends = end_now("06:14");
    must(start("2601/1", "06:14"));
    ck_assert_str_eq(noted.words, "clock started on 2601/1, sheet 1");
    expect_near(end_now("06:14"), ends);
    expect_near(sg_clock_planned(clock_of(1)), sg_clock_planned(clock_of(0)));
    must(count("07:50", false, 0, "2601/1"));
    ck_step("20 of 2601/1/A, 11 of 2601/1/B done");
    must(put("07:50", SG_RECORD_STOP, "", ""));
    read_now("08:00");
    const struct sg_shop *shop = sg_desk_shop(desk);
    ck_assert_int_eq(sg_actual_run_of(shop, &now.actual, 0, NULL), SG_LEFT_NO_CUT);
    ck_assert_int_eq(sg_actual_run_of(shop, &now.actual, 1, &run), SG_LEFT_NOTHING);
    expect_near(run.took, 100 * 60);
    expect_near(run.planned, sg_clock_planned(clock_of(0)));
    must(start("2601/1", "08:00"));
    ck_assert_str_eq(noted.words, "clock started on 2601/1, sheet 2");
}
END_TEST

START_TEST(one_that_broke_off_and_is_left_lying_says_nothing_of_speeds)
{
    struct sg_actual_run run;
    must(start("2601/1", "06:10"));
    must(put("06:14", SG_RECORD_STOP, "", ""));
    must(start("2602/1", "06:20"));
    read_now("06:30");
    ck_assert_int_eq(sg_actual_run_of(sg_desk_shop(desk), &now.actual, 0, &run), SG_LEFT_SHORT);
    must(put("07:00", SG_RECORD_STOP, "", ""));
    must(start("2601/1", "07:10"));
    ck_assert_str_eq(noted.words, "clock started on 2601/1, sheet 1");
}
END_TEST

/* The end is the same before and after its pieces are counted, and the next sheet is the next. */
START_TEST(a_cut_that_is_over_and_not_counted_is_taken_as_cut)
{
    char stop[20];
    must(start("2601/1", "06:10"));
    int planned = (int)(sg_clock_planned(clock_of(0)) / 60);
    snprintf(stop, sizeof stop, "%02d:%02d", 6 + (10 + planned) / 60, (10 + planned) % 60);
    must(put(stop, SG_RECORD_STOP, "", ""));
    ck_assert_msg(strstr(noted.words, "; nothing is counted of sheet 1 yet"), "%s", noted.words);
    double ends = end_now(stop);
    ck_assert_int_eq(sheets_left(), 1);
    must(start("2601/1", stop));
    ck_assert_str_eq(noted.words, "clock started on 2601/1, sheet 2");
    ck_assert_int_eq(clock_of(1)->pieces, 25);
    must(sg_desk_undo(desk, &(struct sg_step_told){0}, &error));
    must(count(stop, false, 0, "2601/1"));
    expect_near(end_now(stop), ends);
    ck_assert_int_eq(sheets_left(), 1);
}
END_TEST

/* Nobody stopped the clock of the sheet before; typed twice in a minute it is the same sheet. */
START_TEST(a_start_without_a_stop_is_of_the_next_sheet)
{
    must(start("2601/1", "06:00"));
    must(start("2601/1", "06:01"));
    ck_assert_str_eq(noted.words, "clock started on 2601/1, sheet 1");
    must(start("2601/1", "07:40"));
    ck_assert_str_eq(noted.words, "clock started on 2601/1, sheet 2");
    ck_assert_int_eq(clock_of(2)->pieces, 25);
    must(count("07:45", false, 0, "2601/1"));
    ck_step("20 of 2601/1/A, 36 of 2601/1/B done");
    read_now("07:46");
    ck_assert_int_eq((int)now.actual.clocks[1].good, 31);
    ck_assert_int_eq((int)now.actual.clocks[2].good, 25);
}
END_TEST

/* Counted late, in two acts or all at once, though the next sheet is cut already. */
START_TEST(a_late_count_is_of_the_sheet_that_is_over)
{
    must(start("2601/1", "06:00"));
    must(put("07:34", SG_RECORD_STOP, "", "finished"));
    must(start("2601/1", "07:40"));
    if (_i) {
        must(count("07:50", false, 20, "A"));
        must(count("07:50", false, 11, "B"));
    } else {
        must(count("07:50", false, 0, "2601/1"));
        ck_step("20 of 2601/1/A, 36 of 2601/1/B done");
        must(count("07:51", false, -25, "B"));
    }
    read_now("07:52");
    ck_assert_int_eq((int)now.actual.clocks[0].good, 31);
    ck_assert(!now.actual.clocks[1].counted);
    ck_assert_int_eq(sheets_left(), 1);
    ck_assert(!sg_known(load_of_sheet(3)));
}
END_TEST

/* The end does not move when another stock is clocked, and it is said. */
START_TEST(what_is_not_counted_stays_cut_when_another_is_clocked)
{
    must(start("2602/1", "06:00"));
    must(put("07:40", SG_RECORD_STOP, "", ""));
    double ends = end_now("07:40");
    ck_assert_int_eq(now.actual.n_remarks, 0);
    must(start("2603/1", "07:40"));
    ck_assert_double_lt(fabs(end_now("07:40") - ends), 10 * 60); /* another order, other waits */
    char said[300];
    ck_assert_int_eq(now.actual.n_remarks, 1);
    sg_actual_remark_text(sg_desk_shop(desk), &now.actual.remarks[0], said, sizeof said);
    ck_assert_str_eq(said, "2602/1 sheet 1, cut from 06:00: nothing is counted, it is taken as cut");
    must(count("07:45", false, 12, "2602/1/A"));
    read_now("07:46");
    ck_assert_int_eq(now.actual.n_remarks, 0);
}
END_TEST

/* A sheet that is not finished is set down for another, and put on again. */
START_TEST(a_sheet_that_broke_off_keeps_what_was_cut_of_it)
{
    must(start("2604/1", "06:00"));
    must(put("06:04", SG_RECORD_STOP, "", "plugged"));
    must(start("2605/1", "06:05"));
    must(count("06:25", false, 0, "2605/1"));
    must(put("06:25", SG_RECORD_STOP, "", ""));
    must(start("2604/1", "06:30"));
    ck_assert_str_eq(noted.words, "clock started on 2604/1, sheet 1");
    read_now("06:30");
    ck_assert_double_eq(sg_actual_before(sg_desk_shop(desk), &now.actual, 2), 4 * 60);
    expect_near(sg_actual_to_go(sg_desk_shop(desk), &now.actual, 2), sg_clock_planned(clock_of(2)) - 4 * 60);
}
END_TEST

START_TEST(what_should_lie_there_of_one_part_is_not_what_lies_there_of_another)
{
    must(start("2601/1", "06:00"));
    must(count("07:30", false, 21, "A"));
    must(count("07:31", false, 10, "B"));
    read_now("07:31");
    ck_assert_int_eq((int)sg_actual_pieces_left(sg_desk_shop(desk), &now.actual, 0), 1);
    ck_assert_int_eq(sheets_left(), 2);
}
END_TEST

START_TEST(several_loads_are_what_the_plan_has_on_each)
{
    struct sg_lies line = SG_LIES_START;
    const struct sg_start how = {.phase = SG_PHASE_CUT, .place = "2603/1", .sheets = 2};
    must(sg_desk_start(desk, &how, at("06:00"), &noted, &error));
    const char *text = clock_of(0)->lies;
    int n = 0;
    for (; sg_lies_next(&text, &line); n++)
        ck_assert_int_eq(line.group, n < 2 ? 1 : 2); /* 10 A and 6 B, then 2 A */
    ck_assert_int_eq(n, 3);
    ck_assert_int_eq(line.pieces, 2);
    must(count("07:50", false, 10, "A"));
    must(count("07:50", false, 6, "B"));
    read_now("07:50");
    bool on;
    ck_assert_int_eq(sg_actual_next_sheet(sg_desk_shop(desk), &now.actual, 2, &on), 2);
    const struct sg_plan_stock *left =
        &now.plan->stocks[sg_actual_stock(&now.rest.shop, "2603/1") - now.plan->first_stock];
    ck_assert_int_eq((int)left->sheets, 1);
}
END_TEST

/* What is left starts now, whatever was cut before. */
START_TEST(nothing_that_is_left_is_before_now)
{
    struct sg_record level = sg_fresh_record;
    must(start("2602/1", "06:00"));
    level.what = SG_RECORD_LEVEL;
    level.at = at("07:00");
    level.mass = 20;
    must(sg_desk_record(desk, &level, &noted, &error));
    read_now("07:00");
    double begins = now.rest.shop.shifts[now.rest.shift].calendar.epoch;
    ck_assert_double_eq(begins, now.rest.now_epoch);
    ck_assert_int_ge(now.plan->next_refill, 0);
    ck_assert_double_ge(now.plan->run.events[now.plan->next_refill].at, 0);
    expect_near(now.rest.shop.machine.hopper_level, 20);
}
END_TEST

START_TEST(what_is_taken_back_behind_the_next_start_is_of_the_sheet_before)
{
    must(start("2601/1", "06:10"));
    must(count("07:50", false, 0, "2601/1"));
    must(put("07:50", SG_RECORD_STOP, "", ""));
    must(start("2601/1", "07:55"));
    must(count("07:56", false, -2, "A"));
    read_now("07:57");
    ck_assert_int_eq((int)now.actual.clocks[0].good, 29);
    ck_assert(!now.actual.clocks[1].counted);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("again");
    tcase_add_checked_fixture(tests, open_example, close_all);
    tcase_add_test(tests, a_sheet_that_is_cut_on_has_what_is_left_of_its_plan);
    tcase_add_test(tests, its_clocks_are_one_run_and_share_its_plan);
    tcase_add_loop_test(tests, counted_or_not_a_cut_and_its_check_are_one_run, 0, 2);
    tcase_add_test(tests, done_stop_and_the_next_start_may_be_of_one_minute);
    tcase_add_test(tests, a_feed_that_is_weighed_between_cuts_is_that_of_the_next);
    tcase_add_test(tests, a_feed_far_from_what_is_set_is_kept_and_said);
    tcase_add_loop_test(tests, one_sheet_is_not_loaded_or_checked_twice_at_once, 0, 2);
    tcase_add_test(tests, where_one_part_alone_lies_it_need_not_be_named);
    tcase_add_test(tests, what_lies_on_a_sheet_that_is_begun_is_forecast_there);
    tcase_add_test(tests, a_sheet_that_is_begun_is_on_hand_once);
    tcase_add_loop_test(tests, a_cut_that_broke_off_goes_on_with_its_sheet, 0, 2);
    tcase_add_test(tests, one_that_broke_off_and_is_left_lying_says_nothing_of_speeds);
    tcase_add_test(tests, a_cut_that_is_over_and_not_counted_is_taken_as_cut);
    tcase_add_test(tests, a_start_without_a_stop_is_of_the_next_sheet);
    tcase_add_loop_test(tests, a_late_count_is_of_the_sheet_that_is_over, 0, 2);
    tcase_add_test(tests, what_is_not_counted_stays_cut_when_another_is_clocked);
    tcase_add_test(tests, a_sheet_that_broke_off_keeps_what_was_cut_of_it);
    tcase_add_test(tests, what_should_lie_there_of_one_part_is_not_what_lies_there_of_another);
    tcase_add_test(tests, several_loads_are_what_the_plan_has_on_each);
    tcase_add_test(tests, nothing_that_is_left_is_before_now);
    tcase_add_test(tests, what_is_taken_back_behind_the_next_start_is_of_the_sheet_before);
    Suite *suite = suite_create("actuals again");
    suite_add_tcase(suite, tests);
    return run(suite);
}
