/* A job again with what it took: planned anew, its cutting takes what the clocks say. */
#include "sandglass/repeat.h"

#include "support/planned.h"
#include "support/suite.h"

static struct sg_clock clocks[4];
static struct sg_record records[8];
static struct sg_stock copy;
static struct sg_part parts[2];
static struct sg_took took;
static struct sg_arena arena;

enum { START = 1000000000, HOUR = 3600 };

/* One sheet of four pieces: 900 mm of cut and 6 s of pierce each, by the model's speed. */
static void set_up(void)
{
    open_round_shop();
    arena = (struct sg_arena){0};
    test.shifts[0].date = START / 86400 - 1;
    test_shop_job(&test, 0);
    struct sg_stock *stock = test_shop_stock(&test, 0, 10);
    stock->pierce_seconds = 6;
    stock->load = 60;
    stock->first_check = 30;
    test_shop_part(&test, 4, 900, 200, 100);
    shop->clocks = clocks;
    shop->records = records;
    shop->n_clocks = shop->n_records = 0;
}

static void tear_down(void)
{
    sg_arena_free(&arena);
    close_shop();
}

static void clock_it(int phase, int64_t at, int64_t seconds)
{
    struct sg_clock *clock = &clocks[shop->n_clocks++];
    struct sg_record *stop = &records[shop->n_records++];
    *clock = sg_fresh_clock;
    clock->phase = phase;
    clock->at = at;
    clock->place = "A/1";
    *stop = sg_fresh_record;
    stop->what = SG_RECORD_STOP;
    stop->at = at + seconds;
}

static void clock_cut(int64_t at, int64_t seconds)
{
    const struct sg_plan_part *part = &plan->parts[0];
    clock_it(SG_PHASE_CUT, at, seconds);
    struct sg_clock *clock = &clocks[shop->n_clocks - 1];
    clock->pieces = 4;
    clock->planned_cut = part->cut;
    clock->planned_corner = clock->planned_acceleration = 0;
    clock->planned_pierce = part->pierce;
    clock->planned_rapid = part->rapid;
    clock->feed_override = shop->stocks[0].feed_override;
    clock->cut_length = 4 * 900;
    clock->edge = shop->stocks[0].edge;
    clock->pierces = 4;
}

static void repeat(void)
{
    struct sg_actual actual;
    copy = shop->stocks[0];
    parts[0] = shop->parts[0];
    ck_assert(sg_actual_make(shop, START + 100 * HOUR, &arena, &actual));
    sg_took_stock(shop, &actual, 0, &copy, parts, &took);
}

START_TEST(planned_again_it_takes_what_it_took)
{
    static const double overrides[] = {1, 0.8, 1.5}, times[] = {0.9, 1, 1.08, 1.6};
    for (int i = 0; i < 12; i++) {
        tear_down();
        set_up();
        shop->stocks[0].feed_override = overrides[i % 3];
        plan_it();
        double all = plan->parts[0].cut + plan->parts[0].pierce + plan->parts[0].rapid;
        int64_t seconds = (int64_t)(all * times[i / 3]);
        clock_cut(START, seconds);
        repeat();
        ck_assert_int_eq(took.clocks, 1);
        ck_assert(!took.held && !took.feed);
        ck_assert_double_eq_tol(took.took, (double)seconds, 1e-9);
        ck_assert_double_eq_tol(took.planned, all, 1e-6 * all);
        shop->n_clocks = shop->n_records = 0;
        shop->stocks[0] = copy;
        plan_it();
        ck_assert_double_eq_tol(plan->parts[0].cut + plan->parts[0].pierce + plan->parts[0].rapid,
                                (double)seconds, 1e-6 * all);
    }
}
END_TEST

/* The number that was fitted to the same clocks: as slow as they were, pierces too. */
START_TEST(numbers_that_were_used_meanwhile_are_not_counted_twice)
{
    static const double slower[] = {1.25, 0.8};
    shop->stocks[0].pierce_seconds = (double)NAN;
    for (int i = 0; i < 4; i++) {
        double times = slower[i % 2], override = i < 2 ? 1 : 0.9, number = shop->materials[0].machinability;
        double base = shop->machine.pierce_base[SG_PIERCE_STILL];
        shop->stocks[0].feed_override = override;
        plan_it();
        clock_cut(START,
                  llround((plan->parts[0].cut + plan->parts[0].pierce) * times + plan->parts[0].rapid));
        clocks[0].pierce = SG_PIERCE_STILL;
        shop->materials[0].machinability = number / pow(times, 1 / 1.15);
        shop->machine.pierce_base[SG_PIERCE_STILL] = base * times;
        repeat();
        ck_assert(!took.held);
        ck_assert_double_eq_tol(copy.feed_override, override, 0.01);
        ck_assert_double_eq_tol(took.planned_now, took.took, 0.01 * took.took);
        shop->n_clocks = shop->n_records = 0;
        shop->stocks[0] = copy;
        plan_it();
        double all = plan->parts[0].cut + plan->parts[0].pierce + plan->parts[0].rapid;
        ck_assert_double_eq_tol(all, took.took, 1e-6 * took.took);
        shop->materials[0].machinability = number;
        shop->machine.pierce_base[SG_PIERCE_STILL] = base;
    }
}
END_TEST

START_TEST(a_typed_feed_is_the_one_that_changes)
{
    shop->stocks[0].feed = 600;
    plan_it();
    const double rest = plan->parts[0].pierce + plan->parts[0].rapid;
    clock_cut(START, (int64_t)(2 * plan->parts[0].cut + rest));
    repeat();
    ck_assert(took.feed && !took.held);
    ck_assert_double_eq(copy.feed_override, 1);
    ck_assert_double_eq_tol(copy.feed, 300, 1);
}
END_TEST

START_TEST(loads_checks_and_scrap_are_as_they_were)
{
    plan_it();
    clock_it(SG_PHASE_LOAD, START - 900, 400);
    clock_cut(START, 500);
    clock_it(SG_PHASE_CHECK, START + 600, 90);
    struct sg_record *scrap = &records[shop->n_records++];
    *scrap = sg_fresh_record;
    scrap->what = SG_RECORD_SCRAP;
    scrap->place = "A/1/A";
    scrap->count = 2;
    scrap->at = START + 700;
    repeat();
    ck_assert_double_eq(copy.load, 400);
    ck_assert_double_eq(copy.first_check, 90);
    ck_assert_int_eq(parts[0].scrap, 2);
}
END_TEST

/* The plan of the load stands in both clocks and counts once. */
START_TEST(a_cut_that_was_stopped_for_its_check_and_the_one_behind_it_are_one)
{
    plan_it();
    double all = plan->parts[0].cut + plan->parts[0].pierce + plan->parts[0].rapid;
    clock_cut(START, 60);
    clock_it(SG_PHASE_CHECK, START + 60, 90);
    clock_cut(START + 150, (int64_t)all);
    repeat();
    ck_assert_int_eq(took.clocks, 1);
    ck_assert_double_eq_tol(took.planned, all, 1e-6 * all);
    ck_assert_double_eq_tol(took.took, 60 + floor(all), 1e-9);
    ck_assert_double_eq(took.first_check, 90);
    ck_assert(copy.feed_override < 1);
}
END_TEST

START_TEST(what_cannot_be_is_left_as_it_was)
{
    plan_it();
    repeat();
    ck_assert_int_eq(took.clocks, 0);
    ck_assert_double_eq(copy.feed_override, 1);
    ck_assert_double_eq(copy.load, 60);
    clock_cut(START, 1); /* less than its pierces take */
    records[shop->n_records] = sg_fresh_record;
    records[shop->n_records].what = SG_RECORD_DONE;
    records[shop->n_records].at = START + 1;
    records[shop->n_records].place = "A/1/A";
    records[shop->n_records++].count = 4;
    repeat();
    ck_assert(took.held && took.clocks == 1);
    ck_assert_double_eq(copy.feed_override, 1);
}
END_TEST

START_TEST(it_is_told_in_words)
{
    char words[300];
    plan_it();
    repeat();
    sg_took_text(shop, &took, words, sizeof words);
    ck_assert_str_eq(words, "no cut of it was clocked to its end: as it was planned");
    took = (struct sg_took){
        .clocks = 3, .planned = 9000, .planned_now = 9000, .took = 9720, .before = 1, .after = 0.923};
    sg_took_text(shop, &took, words, sizeof words);
    ck_assert_str_eq(words,
                     "2:42:00 of 2:30:00 planned (x 1.08) in 3 clocked cuts: feed_override 100% -> 92.3%");
    took.planned_now = 9610;
    sg_took_text(shop, &took, words, sizeof words);
    ck_assert_str_eq(words, "2:42:00 of 2:30:00 planned then (x 1.08), 2:40:10 now, in 3 clocked cuts: "
                            "feed_override 100% -> 92.3%");
    took.held = true;
    sg_took_text(shop, &took, words, sizeof words);
    ck_assert_ptr_nonnull(strstr(words, "feed_override stays 100%"));
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("repeat");
    tcase_add_checked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, planned_again_it_takes_what_it_took);
    tcase_add_test(cases, numbers_that_were_used_meanwhile_are_not_counted_twice);
    tcase_add_test(cases, a_typed_feed_is_the_one_that_changes);
    tcase_add_test(cases, loads_checks_and_scrap_are_as_they_were);
    tcase_add_test(cases, a_cut_that_was_stopped_for_its_check_and_the_one_behind_it_are_one);
    tcase_add_test(cases, what_cannot_be_is_left_as_it_was);
    tcase_add_test(cases, it_is_told_in_words);
    return run_case("a job again", cases);
}
