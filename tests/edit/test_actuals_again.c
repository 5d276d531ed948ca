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
    ck_step("26 of 2601/1/B done, 1 more than the plan had on the clocked sheets");
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
    Suite *suite = suite_create("actuals again");
    suite_add_tcase(suite, tests);
    return run(suite);
}
