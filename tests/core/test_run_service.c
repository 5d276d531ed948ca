/* Services that fall due: between sheets, before their interval is over, counted as the field says. */
#include "sandglass/run.h"

#include "support/planned.h"
#include "support/suite.h"

#include <stdlib.h>

static struct sg_chore chores[2];

/* Four sheets of one piece: 600 s of cut and 6 of pierce, 4 of rapid and lift each, and nothing by hand. */
static void set_up(void)
{
    open_round_shop();
    test_shop_job(&test, 0);
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->sheet_length = 500;
    stock->sheet_width = 300;
    stock->feed = 600;
    stock->pierce_seconds = 6;
    stock->load = stock->first_check = 0;
    struct sg_part *part = test_shop_part(&test, 4, 6000, 450, 250);
    part->rapid_length = 200; /* 2 s, and 2 of lift */
    shop->machine.tube_change = shop->machine.orifice_change = 0;
    for (int i = 0; i < 2; i++) {
        chores[i] = sg_fresh_chore;
        chores[i].name = i ? "filters" : "seals";
        chores[i].when = SG_CHORE_DUE;
        chores[i].time = 300;
    }
    shop->chores = chores;
    shop->n_chores = 1;
}

/* Starts of the events of a chore, into `at`; how many. */
static int times_of(int chore, double *at)
{
    int n = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        if (plan->run.events[i].kind == SG_EVENT_CHORE && plan->run.events[i].chore == chore && n < 8)
            at[n++] = plan->run.events[i].at;
    return n;
}

static const double sheet = 600 + 6 + 4;

START_TEST(a_service_comes_before_the_sheet_that_would_pass_its_interval)
{
    double at[8];
    chores[0].every =
        1000; /* of the jet, 606 a sheet: 500 on it, so the first sheet would pass it, and each second */
    chores[0].hours = 500;
    plan_it();
    ck_assert_int_eq(times_of(0, at), 4);
    ck_assert_double_eq_tol(at[0], 0, 1e-9);
    ck_assert_double_eq_tol(at[1], 300 + sheet, 1e-9);
    chores[0].hours = 0;
    chores[0].every = 2 * 606;
    plan_it();
    ck_assert_int_eq(times_of(0, at), 1);
    ck_assert_double_eq_tol(at[0], 2 * sheet, 1e-9); /* two sheets just fill it */
    ck_assert_double_eq_tol(plan->run.hours[2 * shop->n_heads], 2 * 606, 1e-9);
    ck_assert_double_eq_tol(plan->run.end, 4 * sheet + 300, 1e-6);
}
END_TEST

START_TEST(table_hours_count_the_rapids_too)
{
    double at[8];
    chores[0].counts = SG_COUNTS_TABLE;
    chores[0].every = 2 * sheet - 1; /* with the jet alone it would be enough for two */
    plan_it();
    ck_assert_int_eq(times_of(0, at), 3);
    chores[0].counts = SG_COUNTS_PUMP;
    plan_it();
    ck_assert_int_eq(times_of(0, at), 1);
}
END_TEST

START_TEST(days_are_counted_by_the_calendar)
{
    double at[8];
    shop->shifts[0].date = 20000;
    chores[0].counts = SG_COUNTS_CALENDAR;
    chores[0].every_days = 7;
    for (int days = 5; days < 10; days++) {
        chores[0].last = 20000 - days;
        plan_it();
        ck_assert_int_eq(times_of(0, at), days >= 7);
        if (days >= 7)
            ck_assert_double_eq(at[0], 0);
    }
    chores[0].last = SG_NO_DATE; /* never done */
    plan_it();
    ck_assert_int_eq(times_of(0, at), 1);
}
END_TEST

START_TEST(what_was_done_in_one_shift_is_not_due_in_the_next)
{
    double at[8];
    test.shifts[1] = test.shifts[0];
    test.shifts[1].id = "B";
    test.shifts[0].date = 20000;
    test.shifts[1].date = 20001;
    test.shifts[1].calendar.epoch += 86400;
    shop->n_shifts = 2;
    shop->n_chores = 2;
    chores[0].every = 4 * 606; /* of the jet: just one shift */
    chores[1].counts = SG_COUNTS_CALENDAR;
    chores[1].every_days = 7;
    chores[1].last = 19990;
    struct sg_job *job = test_shop_job(&test, 1);
    job->order = 1;
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->feed = 600;
    stock->pierce_seconds = 6;
    stock->load = stock->first_check = 0;
    test_shop_part(&test, 1, 6000, 450, 250);
    plan_shift(0);
    ck_assert_int_eq(times_of(0, at), 0);
    ck_assert_int_eq(times_of(1, at), 1);
    plan_shift(1);
    ck_assert_int_eq(times_of(0, at), 1);
    ck_assert_int_eq(times_of(1, at), 0);
    ck_assert_double_eq(chores[0].hours, 0); /* the shop itself is as it was typed */
    ck_assert_int_eq(chores[1].last, 19990);
}
END_TEST

START_TEST(without_an_interval_or_a_time_nothing_is_done)
{
    double at[8];
    chores[0].hours = 1e6;
    plan_it();
    ck_assert_int_eq(times_of(0, at), 0);
    chores[0].every = 1000;
    chores[0].time = 0;
    plan_it();
    ck_assert_int_eq(times_of(0, at), 0);
    ck_assert_double_eq_tol(plan->run.hours[2 * shop->n_heads], 606, 1e-9); /* counted anew all the same */
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("service");
    tcase_add_checked_fixture(cases, set_up, close_shop);
    tcase_add_test(cases, a_service_comes_before_the_sheet_that_would_pass_its_interval);
    tcase_add_test(cases, table_hours_count_the_rapids_too);
    tcase_add_test(cases, days_are_counted_by_the_calendar);
    tcase_add_test(cases, what_was_done_in_one_shift_is_not_due_in_the_next);
    tcase_add_test(cases, without_an_interval_or_a_time_nothing_is_done);
    return run_case("service that falls due", cases);
}
