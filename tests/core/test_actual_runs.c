/* Runs out of clocks: which are joined, what they took against plan, in whose log they are. Pieces of a
 * minute, two on a sheet. */
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

/* ---- study runs ---- */

static struct sg_study_run *runs;
static int32_t n_runs, left_out, *of_clocks, why[SG_LEFT_WHYS];

static void take_runs(double minutes)
{
    read_at(minutes);
    must_hold(sg_actual_runs(shop, &actual, &arena, &runs, &of_clocks, &n_runs, &left_out));
    sg_actual_left_out(shop, &actual, why);
    ck_assert_int_eq(left_out,
                     why[SG_LEFT_SHORT] + why[SG_LEFT_FORGOTTEN] + why[SG_LEFT_SPOILT] + why[SG_LEFT_GONE]);
}

START_TEST(a_clock_that_took_as_planned_has_ratio_one)
{
    struct sg_clock *clock = start(370, "A/1");
    clock->planned_pierce = 30;
    clock->planned_rapid = 30;
    record(371, SG_RECORD_PAUSE);
    record(376, SG_RECORD_RESUME);
    stop(378);
    take_runs(400);
    ck_assert_int_eq(n_runs, 1);
    expect(runs[0].took, 480);
    expect(runs[0].stops, 300);
    expect(sg_study_ratio(&runs[0]), 1);
    ck_assert_int_eq(runs[0].material, 0);
    ck_assert_int_eq(runs[0].head, 0);
}
END_TEST

START_TEST(fewer_pieces_than_planned_scale_the_plan)
{
    struct sg_clock *clock = start(370, "A/1");
    clock->pierces = 7;
    clock->cut_length = 1200;
    clock->cut_only = 1;
    stop(371);
    done(371, 1);
    take_runs(400);
    expect(sg_study_ratio(&runs[0]), 1);
    expect(runs[0].cut_length, 600);
    ck_assert_int_eq(runs[0].pierces, 4);
    ck_assert(runs[0].cut_only);
}
END_TEST

START_TEST(the_cut_before_a_check_belongs_to_the_one_behind_it)
{
    start(370, "A/1");
    start_hands(371, "A/1", SG_PHASE_CHECK, 180);
    start(374, "A/1");
    stop(375);
    done(375, 2);
    take_runs(400);
    ck_assert_int_eq(n_runs, 1);
    ck_assert_int_eq(of_clocks[0], 2);
    expect(runs[0].took, 120);
    expect(sg_study_ratio(&runs[0]), 1);
}
END_TEST

START_TEST(what_says_nothing_is_left_out)
{
    start(370, "A/1"); /* forgotten */
    start(375, "A/1");
    stop(377);
    start(380, "A/1")->material = "unobtainium";
    stop(382);
    start(385, "A/1")->head = "sold";
    stop(387);
    start_hands(388, "A/1", SG_PHASE_LOAD, 300);
    start(390, "A/1"); /* stopped for the check, not counted */
    start_hands(391, "A/1", SG_PHASE_CHECK, 180);
    start(394, "A/1"); /* ended by the load of the next: known */
    start_hands(396, "A/1", SG_PHASE_LOAD, 300);
    count(398, SG_RECORD_SCRAP, 2, "A/1/A"); /* the last one */
    start(399, "A/1");                       /* runs */
    take_runs(400);
    ck_assert_int_eq(n_runs, 1);
    ck_assert_int_eq(of_clocks[0], 1);
    ck_assert_int_eq(left_out, 4);
    ck_assert_int_eq(why[SG_LEFT_FORGOTTEN], 1);
    ck_assert_int_eq(why[SG_LEFT_GONE], 2);
    ck_assert_int_eq(why[SG_LEFT_SPOILT], 1);
    shop->n_records--;
    take_runs(400);
    ck_assert_int_eq(n_runs, 2);
    ck_assert_int_eq(of_clocks[1], 7);
    ck_assert_int_eq(left_out, 3);
}
END_TEST

START_TEST(a_cut_left_at_its_check_is_left_out_when_something_else_is_clocked)
{
    start(370, "A/1");
    start_hands(371, "A/1", SG_PHASE_CHECK, 180);
    stop(374);
    take_runs(380);
    ck_assert_int_eq(left_out, 0); /* it may still go on */
    start(381, "B/1");
    take_runs(382);
    ck_assert_int_eq(why[SG_LEFT_SHORT], 1);
    ck_assert_int_eq(n_runs, 0);
}
END_TEST

/* ---- differences ---- */

/* What the differences of all clocks add up to, and what they are to: took - plan, each load planned once. */
static void ck_adds_up(double planned)
{
    double differences = 0, took = 0;
    for (int32_t i = 0; i < shop->n_clocks; i++) {
        took += sg_actual_net(&actual.clocks[i]);
        differences += sg_actual_net(&actual.clocks[i]) - sg_actual_share(shop, &actual, i);
    }
    expect(differences, took - planned);
}

START_TEST(differences_add_up_across_first_checks)
{
    start(370, "A/1"); /* 30 s of the 2 min, twice to the check, then 90 s more */
    start_hands(370.5, "A/1", SG_PHASE_CHECK, 180);
    start(374, "A/1");
    start_hands(374.5, "A/1", SG_PHASE_CHECK, 180);
    start(376, "A/1");
    stop(377.5);
    read_at(400);
    expect(sg_actual_share(shop, &actual, 0), 30);
    expect(sg_actual_share(shop, &actual, 1), 180);
    expect(sg_actual_share(shop, &actual, 2), 30);
    expect(sg_actual_share(shop, &actual, 4), 60);
    ck_adds_up(120 + 2 * 180);
    done(378, 1); /* half of it: the plan of one piece, which was cut before the second check ended */
    read_at(400);
    expect(sg_actual_share(shop, &actual, 4), 0);
    ck_adds_up(60 + 2 * 180);
}
END_TEST

START_TEST(a_joined_cut_has_its_plan_once)
{
    struct sg_actual_run run;
    start(370, "A/1");
    start_hands(371, "A/1", SG_PHASE_CHECK, 180);
    start(374, "A/1");
    stop(376);
    read_at(400);
    ck_assert_int_eq(sg_actual_run_of(shop, &actual, 0, &run), SG_LEFT_NO_CUT);
    ck_assert_int_eq(sg_actual_run_of(shop, &actual, 1, &run), SG_LEFT_NO_CUT);
    expect(run.took, 180);
    ck_assert_int_eq(sg_actual_run_of(shop, &actual, 2, &run), SG_LEFT_NOTHING);
    expect(run.took, 180);
    expect(run.before, 60);
    expect(run.planned, 120);
}
END_TEST

/* ---- which shift ---- */

START_TEST(an_act_is_in_the_log_of_the_shift_at_work)
{
    struct sg_actual_outside outside;
    shop->n_shifts = 2;
    test.shifts[0].id = "A";
    test.shifts[0].end = 14 * 3600;
    test.shifts[1] = test.shifts[0];
    test.shifts[1].id = "B";
    test.shifts[1].start = 14 * 3600;
    test.shifts[1].end = 22 * 3600;
    test_shop_job(&test, 1);
    logged_stock(2);
    start(100, "A/1");
    start(370, "A/1");
    record(101, SG_RECORD_NOTE);
    record(780, SG_RECORD_NOTE);
    ck_assert_int_eq(sg_actual_shift_at(shop, minute(100)), SG_UNKNOWN);
    ck_assert_int_eq(sg_actual_shift_at(shop, minute(370)), 0);
    ck_assert_int_eq(sg_actual_shift_at(shop, minute(780)), 0); /* B may have begun, and has not */
    start(790, "B/1");
    ck_assert_int_eq(sg_actual_shift_at(shop, minute(795)), 1);
    must_hold(sg_actual_outside(shop, &arena, &outside));
    ck_assert(outside.clocks[0] && !outside.clocks[1] && !outside.clocks[2]);
    ck_assert(outside.records[0] && !outside.records[1]);
}
END_TEST

START_TEST(near_a_shift_is_within_half_a_day_of_it)
{
    test.shifts[0].end = 14 * 3600;
    ck_assert(!sg_actual_near_shift(shop, minute(360 - 721)));
    ck_assert(sg_actual_near_shift(shop, minute(360 - 719)));
    ck_assert(sg_actual_near_shift(shop, minute(840 + 719)));
    ck_assert(!sg_actual_near_shift(shop, minute(840 + 721)));
    test.shifts[0].end = 2 * 3600; /* over midnight */
    ck_assert(sg_actual_near_shift(shop, minute(1560 + 719)));
    ck_assert(!sg_actual_near_shift(shop, minute(1560 + 721)));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("actual_runs");
    tcase_add_checked_fixture(tests, open_log, close_log);
    tcase_add_test(tests, a_clock_that_took_as_planned_has_ratio_one);
    tcase_add_test(tests, fewer_pieces_than_planned_scale_the_plan);
    tcase_add_test(tests, the_cut_before_a_check_belongs_to_the_one_behind_it);
    tcase_add_test(tests, what_says_nothing_is_left_out);
    tcase_add_test(tests, a_cut_left_at_its_check_is_left_out_when_something_else_is_clocked);
    tcase_add_test(tests, differences_add_up_across_first_checks);
    tcase_add_test(tests, a_joined_cut_has_its_plan_once);
    tcase_add_test(tests, an_act_is_in_the_log_of_the_shift_at_work);
    tcase_add_test(tests, near_a_shift_is_within_half_a_day_of_it);
    return run_case("actual runs", tests);
}
