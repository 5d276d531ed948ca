/* What a shift that is closed leaves to the next: sheets and remnants that are not cut, the plan of the rest,
 * and an end to a clock that was forgotten. */
#include "edit/acts.h"

static void open_shift_b(void)
{
    must(sg_desk_add(desk, SG_KIND_SHIFT, NULL, "B",
                     (const char *[]){"date=2026-12-01", "start=14:30", "end=22:30"}, 3, 0, changes, &target,
                     &error));
}

static const struct sg_stock *stock_of(const char *key)
{
    return &sg_desk_shop(desk)->stocks[found(desk, key).index];
}

static void set_field(const char *key, const char *assignment)
{
    must(sg_desk_set(desk, key, (const char *[]){assignment}, 1, true, changes, &target, &error));
}

/* The stock in the rest at a time: its sheets on hand there. */
static int32_t sheets_left(const char *time, const char *key)
{
    read_now(time);
    return now.rest.shop.stocks[sg_actual_stock(&now.rest.shop, key)].sheets;
}

START_TEST(sheets_that_are_cut_are_not_on_hand_in_the_next_shift)
{
    open_shift_b();
    set_field("2603/1", "sheets=5");
    must(start("2603/1", "06:10"));
    must(count("08:00", false, 0, "2603/1"));
    must(put("08:00", SG_RECORD_STOP, "", ""));
    ck_assert_int_eq(sheets_left("08:10", "2603/1"), 4);
    must(sg_desk_close_shift(desk, 0, 1, at("14:30"), &noted, &error));
    ck_step(noted.words);
    ck_assert_int_eq(stock_of("2603/1")->sheets, 4);
    ck_assert_int_eq(sheets_left("14:40", "2603/1"), 4); /* not used up twice */
    must(start("2603/1", "14:40"));
    ck_assert_str_eq(noted.words, "clock started on 2603/1, sheet 2");
    must(count("15:40", false, 0, "2603/1"));
    must(put("15:40", SG_RECORD_STOP, "", ""));
    ck_assert_int_eq(sheets_left("15:50", "2603/1"), 3);
}
END_TEST

START_TEST(remnants_go_before_sheets)
{
    open_shift_b();
    set_field("2603/1", "sheets=5");
    set_field("2603/1", "remnants=1200.1 x 1200.3 mm x 2; 900 x 1300 mm");
    const struct sg_stock *stock = stock_of("2603/1");
    const double length = stock->remnants.at[0][0], width = stock->remnants.at[0][1];
    set_field("2603/1/A", "quantity=60");
    must(start("2603/1", "06:10"));
    must(count("08:00", false, 0, "2603/1"));
    must(put("08:00", SG_RECORD_STOP, "", ""));
    must(sg_desk_close_shift(desk, 0, 1, at("14:30"), &noted, &error));
    stock = stock_of("2603/1");
    ck_assert_int_eq(stock->sheets, 5);
    ck_assert_int_eq((int)stock->remnants.n, 2);
    ck_assert(stock->remnants.at[0][0] == length && stock->remnants.at[0][1] == width);
    ck_assert(stock->remnants.at[0][2] == 1 && stock->remnants.at[1][2] == 1);
}
END_TEST

/* The plan of the next shift is that of the rest. */
START_TEST(the_next_shifts_plan_is_what_was_left)
{
    const struct sg_plan *planned;
    open_shift_b();
    must(start("2601/1", "06:10"));
    must(count("07:00", false, 12, "A"));
    must(put("07:05", SG_RECORD_STOP, "", ""));
    read_now("14:30");
    int64_t left = now.plan->totals.pieces;
    double cut = now.plan->totals.cut;
    must(sg_desk_close_shift(desk, 0, 1, at("14:30"), &noted, &error));
    must(sg_desk_plan(desk, 1, &planned, &error));
    ck_assert_int_eq((int)planned->totals.pieces, (int)left);
    ck_assert_double_eq_tol(planned->totals.cut, cut, 1e-9 * cut);
    read_now("14:30");
    ck_assert_int_eq(now.actual.n_remarks,
                     0); /* fewer asked for than were done is no more than was asked for */
}
END_TEST

START_TEST(a_clock_that_was_forgotten_stopped_when_all_was_counted)
{
    must(start("2601/1", "06:10"));
    must(count("07:50", false, 0, "2601/1"));
    must(sg_desk_close_shift(desk, 0, SG_UNKNOWN, at("14:30"), &noted, &error));
    const struct sg_shop *shop = sg_desk_shop(desk);
    bool stopped = false;
    for (int32_t i = 0; i < shop->n_records; i++)
        stopped = stopped || (shop->records[i].what == SG_RECORD_STOP && shop->records[i].at == at("07:50"));
    ck_assert(stopped);
    const struct sg_head *head = &shop->heads[0];
    ck_assert_msg(head->tube_hours > 0 && head->tube_hours < 100 * 60, "%g s", head->tube_hours);
    ck_step(noted.words);
}
END_TEST

START_TEST(a_clock_of_which_pieces_are_left_runs_on)
{
    must(start("2601/1", "06:10"));
    must(count("07:50", false, 1, "A"));
    must(sg_desk_close_shift(desk, 0, SG_UNKNOWN, at("08:00"), &noted, &error));
    read_now("08:10");
    ck_assert_int_eq((int)now.actual.running, 0);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("closed");
    tcase_add_checked_fixture(tests, open_example, close_all);
    tcase_add_test(tests, sheets_that_are_cut_are_not_on_hand_in_the_next_shift);
    tcase_add_test(tests, remnants_go_before_sheets);
    tcase_add_test(tests, the_next_shifts_plan_is_what_was_left);
    tcase_add_test(tests, a_clock_that_was_forgotten_stopped_when_all_was_counted);
    tcase_add_test(tests, a_clock_of_which_pieces_are_left_runs_on);
    Suite *suite = suite_create("actuals closed");
    suite_add_tcase(suite, tests);
    return run(suite);
}
