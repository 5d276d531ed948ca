/* What lies on loads that are cut in part is planned there, and not laid out anew. */
#include "support/logged_two.h"
#include "support/suite.h"

static const struct sg_plan_stock *planned(void)
{
    return &plan->stocks[0];
}

/* Cuts of a part on one of the loads of the stock, from 0. */
static int64_t cuts_on(int32_t load, int32_t part)
{
    int64_t cuts = 0;
    ck_assert_int_lt(load, planned()->n_sheets);
    const struct sg_sheets *sheets = &plan->sheets[planned()->first_sheets + load];
    ck_assert_int_eq(sheets->copies, 1);
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
        if (plan->batches[b].part == rest.shop.stocks[0].first_part + part)
            cuts += plan->batches[b].cuts;
    return cuts;
}

START_TEST(only_what_is_left_there_lies_there)
{
    start_two(370, two);
    count(372, SG_RECORD_DONE, 6, "A/1/A");
    plan_rest(372);
    ck_assert_int_eq(planned()->n_sheets, 1);
    ck_assert_int_eq(cuts_on(0, 0), 2);
    ck_assert_int_eq(cuts_on(0, 1), 4);
    ck_assert_int_eq(plan->parts[0].per_sheet, 2);
    expect(rest_ends(), 372 + 2 + 4 * 3);
    shop->parts[0].quantity = 10; /* two more, which are on no sheet yet: a load of five minutes */
    plan_rest(372);
    ck_assert_int_eq(planned()->sheets, 2);
    ck_assert_int_eq(cuts_on(0, 0), 2);
    ck_assert_int_eq(cuts_on(1, 0), 2);
    expect(rest_ends(), 372 + 2 + 4 * 3 + 5 + 2);
}
END_TEST

START_TEST(it_is_no_more_than_is_asked_for)
{
    start_two(370, two);
    count(372, SG_RECORD_DONE, 6, "A/1/A");
    shop->parts[0].quantity = 7;
    shop->parts[1].quantity = 0;
    plan_rest(372);
    ck_assert_int_eq(cuts_on(0, 0), 1);
    ck_assert_int_eq(cuts_on(0, 1), 0);
    shop->parts[0].quantity = 6;
    plan_rest(372);
    ck_assert_int_eq(planned()->n_sheets, 0);
    ck_assert_int_eq(planned()->sheets, 0);
}
END_TEST

START_TEST(its_number_is_the_one_on_the_clock)
{
    start_two(370, two)->sheet = 5;
    count(372, SG_RECORD_DONE, 6, "A/1/A");
    shop->parts[0].quantity = 30;
    plan_rest(372);
    ck_assert_int_eq(plan->sheets[planned()->first_sheets].before, 4);
    ck_assert_int_eq(plan->sheets[planned()->first_sheets + 1].before, 5);
}
END_TEST

/* Seven of A are four cuts there; the other eight are four more, though fifteen together would be eight. */
START_TEST(a_stack_is_cut_there_and_elsewhere)
{
    start_two(370, two);
    shop->stocks[0].stack = 2;
    shop->parts[0].quantity = 16;
    count(372, SG_RECORD_DONE, 1, "A/1/A");
    plan_rest(372);
    ck_assert_int_eq(cuts_on(0, 0), 4);
    ck_assert_int_eq(cuts_on(0, 1), 2);
    ck_assert_int_eq(plan->parts[0].cuts, 8);
    ck_assert_int_eq(planned()->sheets, 4);
    count(373, SG_RECORD_DONE, 1, "A/1/A");
    plan_rest(373);
    ck_assert_int_eq(plan->parts[0].cuts, 7);
}
END_TEST

/* Three pieces are two cuts: both are done when the time of the three is over. */
START_TEST(what_is_cut_of_a_stack_is_cut_whole)
{
    start_two(370, "3 333333333 A\n")->pieces = 3;
    shop->stocks[0].stack = 2;
    shop->parts[1].quantity = 0;
    shop->parts[0].quantity = 3;
    plan_rest(380); /* half of twenty minutes */
    ck_assert_double_eq_tol(rest.shop.parts[0].begun_cut, 1, 1e-6);
    plan_rest(390);
    ck_assert_double_eq_tol(rest.shop.parts[0].begun_cut, 2, 1e-6);
    ck_assert_int_eq(planned()->n_sheets, 0);
    ck_assert(!plan->sheet_on);
    expect(rest_ends(), 390);
}
END_TEST

START_TEST(several_loads_share_it)
{
    /* Two loads of 3 A and 1 B, one of 2 A and 2 B. */
    start_two(370, "*2\n3 50000000 A\n1 150000000 B\n*1\n2 50000000 A\n2 150000000 B\n")->sheets = 3;
    plan_rest(371);
    ck_assert_int_eq(planned()->n_sheets, 3);
    ck_assert_int_eq(cuts_on(1, 0), 3);
    ck_assert_int_eq(cuts_on(2, 1), 2);
    count(372, SG_RECORD_DONE, 5, "A/1/A");
    plan_rest(372); /* the B of the first load is not there yet */
    ck_assert_int_eq(planned()->n_sheets, 3);
    ck_assert_int_eq(cuts_on(0, 0), 0);
    ck_assert_int_eq(cuts_on(0, 1), 1);
    ck_assert_int_eq(cuts_on(1, 0), 1);
    ck_assert_int_eq(cuts_on(2, 0), 2);
    count(372, SG_RECORD_DONE, 1, "A/1/B");
    plan_rest(372);
    ck_assert_int_eq(planned()->n_sheets, 2);
    ck_assert_int_eq(plan->sheets[planned()->first_sheets].before, 1);
    count(373, SG_RECORD_DONE, 1, "A/1/B");
    count(373, SG_RECORD_DONE, 1, "A/1/A");
    plan_rest(373);
    ck_assert_int_eq(planned()->n_sheets, 1);
    ck_assert_int_eq(plan->sheets[planned()->first_sheets].before, 2);
}
END_TEST

/* The sheet is 1330 long and the table 450: two moves a sheet, of which a part is left with a part of it. */
START_TEST(index_moves_are_left_as_of_its_plan_is_left)
{
    start_two(370, two);
    shop->machine.table_length = 450;
    plan_rest(371);
    ck_assert_int_eq(planned()->index_moves, 2);
    count(372, SG_RECORD_DONE, 4, "A/1/B");
    plan_rest(372);
    ck_assert_int_eq(planned()->index_moves, 1);
}
END_TEST

START_TEST(a_stop_before_its_time_leaves_the_sheet_on_the_table)
{
    static const struct {
        double minutes;
        const char *reason;
        bool begun;
    } stops[] = {{9.9, "", true}, {10, "", false}, {14.9, "plugged", true}, {15, "end of sheet", false}};
    start_two(370, two);
    record(370 + stops[_i].minutes, SG_RECORD_STOP)->reason = stops[_i].reason;
    read_at(400);
    ck_assert_int_eq(sg_actual_broke_off(shop, &actual, 0), stops[_i].begun);
    ck_assert_int_eq(sg_actual_uncounted(shop, &actual, 0), !stops[_i].begun);
    bool on;
    ck_assert_int_eq(sg_actual_next_sheet(shop, &actual, 0, &on), stops[_i].begun ? 1 : 2);
    ck_assert_int_eq(on, stops[_i].begun);
    plan_rest(400); /* what it cut until then is cut; of one that is over, all, and the check is done */
    expect(rest_ends(), 400 + (stops[_i].begun ? 3 + 20 - stops[_i].minutes : 0));
    count(401, SG_RECORD_DONE, 1, "A/1/A");
    read_at(401);
    ck_assert(!sg_actual_broke_off(shop, &actual, 0) && !sg_actual_uncounted(shop, &actual, 0));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("actual begun");
    tcase_add_checked_fixture(tests, open_log, close_log);
    tcase_add_test(tests, only_what_is_left_there_lies_there);
    tcase_add_test(tests, it_is_no_more_than_is_asked_for);
    tcase_add_test(tests, its_number_is_the_one_on_the_clock);
    tcase_add_test(tests, a_stack_is_cut_there_and_elsewhere);
    tcase_add_test(tests, what_is_cut_of_a_stack_is_cut_whole);
    tcase_add_test(tests, several_loads_share_it);
    tcase_add_test(tests, index_moves_are_left_as_of_its_plan_is_left);
    tcase_add_loop_test(tests, a_stop_before_its_time_leaves_the_sheet_on_the_table, 0, 4);
    return run_case("actual begun", tests);
}
