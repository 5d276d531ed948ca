/* Which parts lie on a clock's loads, and what counts of them say: plan, garnet and what is left by part. */
#include "support/logged_two.h"
#include "support/suite.h"

/* ---- the text ---- */

START_TEST(what_the_plan_lays_on_a_load_is_written_and_read)
{
    struct sg_clock clock = sg_fresh_clock;
    struct sg_lies lies;
    double shares = 0;
    int64_t pieces = 0;
    lay_two_parts();
    plan_rest(300);
    ck_assert_int_eq(sg_clock_take(&rest, plan, 0, 1, &clock), 1);
    clock.lies = sg_clock_lies(&rest, plan, 0, &clock, &arena);
    for (const char *text = clock.lies; sg_lies_next(&text, &lies);) {
        shares += lies.pieces * lies.share;
        pieces += lies.pieces;
    }
    ck_assert_double_eq_tol(shares, 1, 2e-8);
    ck_assert_int_eq((int)pieces, clock.pieces);
    ck_assert(sg_lies_find(&clock, shop->parts[0].id, &lies));
    ck_assert_int_eq(lies.pieces, 8);
    double of_a = lies.share;
    ck_assert_msg(sg_lies_find(&clock, "B", &lies), "%s", clock.lies);
    ck_assert_int_eq(lies.pieces, 4);
    /* No pierces, and rapids take nothing in this shop: as they are cut. */
    ck_assert_double_eq_tol(lies.share / of_a, 3, 1e-6);
    ck_assert(!sg_lies_find(&clock, "C", &lies));
}
END_TEST

START_TEST(of_a_load_or_what_is_not_planned_nothing_is_written)
{
    struct sg_clock clock = sg_fresh_clock;
    clock.phase = SG_PHASE_LOAD;
    lay_two_parts();
    plan_rest(300);
    sg_clock_take(&rest, plan, 0, 1, &clock);
    ck_assert_str_eq(sg_clock_lies(&rest, plan, 0, &clock, &arena), "");
    clock = sg_fresh_clock;
    count(310, SG_RECORD_DONE, 8, "A/1/A");
    count(310, SG_RECORD_DONE, 4, "A/1/B");
    plan_rest(320);
    sg_clock_take(&rest, plan, 0, 1, &clock);
    ck_assert_str_eq(sg_clock_lies(&rest, plan, 0, &clock, &arena), "");
}
END_TEST

START_TEST(a_text_that_cannot_be_is_read_to_where_it_breaks)
{
    static const char *const wrong[] = {
        "", "x", "12", "12 ", "12 3", "-1 3 A", "1 -3 A", " 1 3 A", "99999999999 3 A", "1 99999999999 A"};
    struct sg_lies lies;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        const char *text = wrong[i];
        ck_assert_msg(!sg_lies_next(&text, &lies), "\"%s\"", wrong[i]);
    }
    struct sg_clock clock = sg_fresh_clock;
    clock.lies = "2 1 a b\n3 2 c\nwrong\n4 3 d\n";
    ck_assert(sg_lies_find(&clock, "a b", &lies) && lies.pieces == 2);
    ck_assert(sg_lies_find(&clock, "c", &lies) && lies.pieces == 3);
    ck_assert(!sg_lies_find(&clock, "a", &lies) && !sg_lies_find(&clock, "d", &lies));
}
END_TEST

/* ---- what counts say ---- */

START_TEST(pieces_have_the_plan_of_their_part)
{
    start_two(370, two);
    count(380, SG_RECORD_DONE, 8, "A/1/A");
    record(378, SG_RECORD_STOP)->at = minute(380);
    read_at(400);
    expect(sg_clock_scale(&shop->clocks[0], &actual.clocks[0]), 8.0 / 20);
    expect(sg_actual_share(shop, &actual, 0), 8 * 60);
    expect(actual.hopper.level, 100 - 6 * 10.0 / 20); /* it ran for half of its time */
    count(381, SG_RECORD_SCRAP, 2, "A/1/B");
    count(382, SG_RECORD_NOT_DONE, 1, "A/1/A");
    read_at(400);
    expect(sg_clock_scale(&shop->clocks[0], &actual.clocks[0]), (7 + 2 * 3.0) / 20);
}
END_TEST

START_TEST(what_should_not_lie_there_has_as_much_as_the_mean)
{
    start_two(370, "8 50000000 A\n");
    count(380, SG_RECORD_DONE, 1, "A/1/B");
    read_at(400);
    expect(sg_clock_scale(&shop->clocks[0], &actual.clocks[0]), 1.0 / 12);
}
END_TEST

START_TEST(without_it_pieces_are_all_alike)
{
    start_two(370, "");
    count(380, SG_RECORD_DONE, 8, "A/1/A");
    read_at(400);
    expect(sg_clock_scale(&shop->clocks[0], &actual.clocks[0]), 8.0 / 12);
}
END_TEST

/* 8 of A and 4 of B on the sheet, a minute and three; what is lost is the piece that was spoilt, and the
 * load of the sheet from which it is cut again. */
START_TEST(a_piece_that_is_scrapped_takes_its_own_time_from_the_rest)
{
    start_two(370, two);
    count(372, SG_RECORD_DONE, 2, "A/1/A");
    plan_rest(380);
    double ends = rest_ends();
    ck_assert_double_eq_tol(sg_actual_gone(shop, &actual, 0), 8 * 60, 1e-6);
    count(380, SG_RECORD_SCRAP, 1, "A/1/A");
    plan_rest(380);
    ck_assert_double_eq_tol(sg_actual_gone(shop, &actual, 0), 7 * 60, 1e-6);
    ck_assert_double_eq_tol(rest_ends(), ends + 1 + 5, 1e-6);
}
END_TEST

/* ---- ends that nobody noted ---- */

START_TEST(a_forgotten_clock_ended_when_all_its_pieces_were_counted)
{
    start(370, "A/1");
    count(373, SG_RECORD_DONE, 2, "A/1/A");
    start(400, "A/1")->sheet = 2;
    read_at(401);
    ck_assert(actual.clocks[0].mended && actual.clocks[0].until == minute(373));
    ck_assert(actual.remarks[0].counted);
    remarked(0, "clock on A/1 ended at 06:13, when all its pieces were counted");
    ck_assert_int_eq(sg_actual_run_of(shop, &actual, 0, NULL), SG_LEFT_FORGOTTEN); /* by then, not then */
}
END_TEST

START_TEST(it_went_on_where_not_all_were_counted_or_the_machine_stood_later)
{
    start(370, "A/1");
    count(373, SG_RECORD_DONE, 1, "A/1/A");
    start(400, "A/1")->sheet = 2;
    read_at(401);
    ck_assert(actual.clocks[0].until == minute(400));
    count(401, SG_RECORD_DONE, 1, "A/1/A"); /* to the second clock */
    count(402, SG_RECORD_DONE, 1, "A/1/A");
    record(403, SG_RECORD_PAUSE);
    record(404, SG_RECORD_RESUME);
    start(410, "A/1")->sheet = 3;
    read_at(411);
    ck_assert(actual.clocks[1].until == minute(410));
}
END_TEST

START_TEST(a_clock_without_a_plan_takes_what_its_head_is_set_to)
{
    struct sg_clock *clock = start(370, "A/1");
    clock->planned_cut = clock->planned_garnet = UNKNOWN;
    clock->pieces = SG_UNKNOWN;
    clock->garnet = 300;
    clock->heads = 2;
    read_at(380);
    expect(actual.hopper.level, 100 - 2 * 0.3 * 10);
    expect(actual.hopper.low, 100 - 2 * 0.3 * 10);
}
END_TEST

START_TEST(what_was_done_before_a_job_moved_is_not_more_than_asked_for)
{
    start(370, "A/1");
    count(373, SG_RECORD_DONE, 2, "A/1/A");
    shop->parts[0].quantity = 0; /* as moving it left it: 2 were asked for */
    read_at(380);
    ck_assert_int_eq(actual.n_remarks, 1);
    record(390, SG_RECORD_MOVED)->place = "A";
    read_at(391);
    ck_assert_int_eq(actual.n_remarks, 0);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("actual lies");
    tcase_add_checked_fixture(tests, open_log, close_log);
    tcase_add_test(tests, what_the_plan_lays_on_a_load_is_written_and_read);
    tcase_add_test(tests, of_a_load_or_what_is_not_planned_nothing_is_written);
    tcase_add_test(tests, a_text_that_cannot_be_is_read_to_where_it_breaks);
    tcase_add_test(tests, pieces_have_the_plan_of_their_part);
    tcase_add_test(tests, what_should_not_lie_there_has_as_much_as_the_mean);
    tcase_add_test(tests, without_it_pieces_are_all_alike);
    tcase_add_test(tests, a_piece_that_is_scrapped_takes_its_own_time_from_the_rest);
    tcase_add_test(tests, a_forgotten_clock_ended_when_all_its_pieces_were_counted);
    tcase_add_test(tests, it_went_on_where_not_all_were_counted_or_the_machine_stood_later);
    tcase_add_test(tests, a_clock_without_a_plan_takes_what_its_head_is_set_to);
    tcase_add_test(tests, what_was_done_before_a_job_moved_is_not_more_than_asked_for);
    return run_case("actual lies", tests);
}
