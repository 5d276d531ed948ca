/* Which runs count, what is offered and what is not, groups, feeds, and what using a number changes. */
#include "sandglass/setup.h"
#include "sandglass/study.h"

#include "support/studied.h"
#include "support/suite.h"

#include <check.h>
#include <math.h>

/* Runs without noise. */
static void set_up(void)
{
    arena = (struct sg_arena){NULL};
    simulated_shop_make(&hidden, 11, false);
    without_noise();
    hidden.creep = 0;
    cut(0, MOST);
}

/* ---- what is offered ---- */

START_TEST(nothing_comes_of_no_runs)
{
    fit(0);
    ck_assert_int_eq(study.n_cutting, 0);
    ck_assert_int_eq(study.n_feeds, 0);
    says(&study.piercing[SG_PIERCE_STILL].base, "too few: 0 of 5 runs");
}
END_TEST

START_TEST(numbers_are_offered_from_five_runs_on)
{
    for (int32_t i = 0; i < 5; i++)
        runs[i].cut_only = 1, runs[i].took = 2 * runs[i].planned_cut, runs[i].stops = 0;
    fit(4);
    ck_assert_int_eq(study.cutting[0].speed.verdict, SG_STUDY_FEW);
    says(&study.cutting[0].speed, "too few: 4 of 5 runs");
    struct sg_material steel = sg_fresh_material;
    struct sg_head head = sg_fresh_heads[0];
    struct sg_machine machine = sg_fresh_machine;
    ck_assert(!sg_study_apply_material(&study.cutting[0], true, &steel));
    ck_assert(!sg_study_apply_head(&study.feeds[0], &head));
    ck_assert(!sg_study_apply_machine(&study, SG_PIERCE_STILL, &machine));
    ck_assert(isnan(steel.machinability));
    ck_assert(head.garnet == sg_fresh_heads[0].garnet);
    fit(5);
    ck_assert_int_eq(study.cutting[0].speed.verdict, SG_STUDY_OFFERED);
    ck_assert(sg_study_apply_material(&study.cutting[0], true, &steel));
    ck_assert(sg_study_apply_head(&study.feeds[0], &head));
    ck_assert_int_eq(steel.basis, SG_BASIS_SHOP);
    ck_assert(steel.machinability == study.cutting[0].speed.estimate);
}
END_TEST

START_TEST(pierces_and_exponents_need_three_thicknesses)
{
    for (int32_t i = 0; i < 18; i++)
        if (i % 3 == 2)
            runs[i] = runs[i - 1];
    fit(18);
    const struct sg_study_number *base = &study.piercing[SG_PIERCE_STILL].base;
    ck_assert_int_eq(base->verdict, SG_STUDY_ONE_HEIGHT);
    says(base, "not used: 18 runs, but less than 3 thicknesses");
    ck_assert_int_eq(study.cutting[0].exponent.verdict, SG_STUDY_ONE_HEIGHT);
    struct sg_machine machine = sg_fresh_machine;
    ck_assert(!sg_study_apply_machine(&study, SG_PIERCE_STILL, &machine));
    ck_assert(machine.pierce_base[0] == sg_fresh_machine.pierce_base[0]);
}
END_TEST

/* While pierces are as planned, a run of which they are more than 40 % says nothing of the cut. */
START_TEST(whole_clocks_of_much_piercing_wait_until_pierces_are_fitted)
{
    int32_t enough = 0, n = 0;
    for (int32_t i = 0; i < MOST; i++)
        if (runs[i].height < 13)
            runs[n++] = runs[i];
    for (int32_t i = 0; i < n; i++)
        enough += runs[i].planned_cut >=
                  0.6 * (runs[i].planned_cut + runs[i].planned_pierce + runs[i].planned_rapid);
    ck_assert_int_gt(enough, 5);
    ck_assert_int_lt(enough, n);
    fit(n);
    ck_assert_int_eq(study.cutting[0].speed.n, enough);
    tear_down();
    set_up();
    fit(MOST); /* three thicknesses */
    ck_assert_int_eq(study.cutting[0].speed.n, MOST);
}
END_TEST

START_TEST(runs_that_say_nothing_of_speeds_are_counted_and_left_out)
{
    runs[0].feed_typed = 1;
    runs[1].top_feed = runs[1].cut_length / runs[1].planned_cut * 60; /* was held by it */
    runs[2].took = UNKNOWN;
    runs[3].took = runs[3].stops;
    runs[4].height = UNKNOWN;
    runs[5].garnet = UNKNOWN;
    runs[6].cut_length = 0;
    runs[7].top_feed = 1e6;
    runs[8].planned_cut = (double)INFINITY;
    runs[9].planned_rapid = UNKNOWN;
    fit(22);
    ck_assert_int_eq(study.unused, 9);
    ck_assert_int_eq(study.cutting[0].speed.n, 13);
    expect(study.cutting[0].speed.estimate, hidden.truth.machinability);
}
END_TEST

START_TEST(typed_pierce_seconds_are_taken_as_planned)
{
    for (int32_t i = 0; i < 12; i++) {
        runs[i].took +=
            runs[i].pierces * 7 - runs[i].pierces * simulated_pierce(&hidden.truth, runs[i].height);
        runs[i].planned_pierce = runs[i].pierces * 7;
        runs[i].pierce = SG_UNKNOWN;
        runs[i].cut_length *= 3; /* more than 60 % is cutting */
        runs[i].took += 2.0 / 3 *
                        simulated_cut(&hidden.truth, &(struct simulated_job){runs[i].height, runs[i].edge,
                                                                             runs[i].cut_length, 0});
        runs[i].planned_cut *= 3;
        runs[i].garnet_used = runs[i].garnet_weighed = UNKNOWN;
    }
    fit_with(12, 0);
    /* at the feed that is set, which is not the one that flows */
    double factor = pow(hidden.truth.garnet / hidden.published.garnet, 0.343);
    ck_assert_int_ge(study.cutting[0].speed.n, SG_STUDY_RUNS);
    expect(study.cutting[0].speed.estimate, hidden.truth.machinability * factor);
}
END_TEST

START_TEST(numbers_say_how_sure_they_are)
{
    struct sg_study_number number = {SG_STUDY_OFFERED, 14, 1, 100, 95, 106.4, SG_BASIS_SHOP};
    says(&number, "shop, 14 runs, +-6 %");
    number.high = 100.24;
    says(&number, "shop, 14 runs, +-0.2 %");
    number.verdict = SG_STUDY_VAGUE;
    says(&number, "not used: 14 runs, but what goes with it is too uncertain yet");
    number.high = 383;
    says(&number, "too uncertain yet: 14 runs, +-283 %");
    number.high = 1e9;
    says(&number, "too uncertain yet: 14 runs, +-1000 % and more");
    number = (struct sg_study_number){SG_STUDY_AS_FORMULA, 9, 0, 1.2, 1.08, 1.32, SG_BASIS_SHOP};
    says(&number, "not used: 1.15 is within 1.08 to 1.32, 9 runs");
}
END_TEST

/* Two clocks in three ran twice as long or half as long as they were to. */
START_TEST(what_is_wider_than_half_of_itself_is_not_offered)
{
    const double wild[] = {0.4, 1, 2.5};
    for (int32_t i = 0; i < 12; i++)
        runs[i].took = runs[i].stops + (runs[i].took - runs[i].stops) * wild[(i + i / 3) % 3];
    fit(12);
    const struct sg_study_piercing *still = &study.piercing[SG_PIERCE_STILL];
    ck_assert_double_gt(still->pierce.high, 1.5 * still->pierce.estimate);
    ck_assert_int_eq(still->pierce.verdict, SG_STUDY_VAGUE);
    ck_assert_int_eq(still->base.verdict, SG_STUDY_VAGUE);
    ck_assert_int_eq(still->factor.verdict, SG_STUDY_VAGUE);
    struct sg_machine machine = sg_fresh_machine;
    ck_assert(!sg_study_apply_machine(&study, SG_PIERCE_STILL, &machine));
    ck_assert(machine.pierce_base[0] == sg_fresh_machine.pierce_base[0]);
    char words[100];
    sg_study_sentence(&still->pierce, words, sizeof words);
    ck_assert_msg(strncmp(words, "too uncertain yet: 12 runs, +-", 30) == 0, "%s", words);
}
END_TEST

START_TEST(what_the_shop_has_already_is_in_use)
{
    struct sg_material steel = sg_fresh_material;
    struct sg_machine machine = sg_fresh_machine;
    fit(12);
    ck_assert(!sg_study_has_material(&study.cutting[0], false, &steel));
    ck_assert(sg_study_apply_material(&study.cutting[0], false, &steel));
    ck_assert(sg_study_has_material(&study.cutting[0], false, &steel));
    steel.machinability *= 1.000001; /* to the digits that are shown */
    ck_assert(sg_study_has_material(&study.cutting[0], false, &steel));
    steel.basis = SG_BASIS_TYPED; /* to use it makes it the shop's */
    ck_assert(!sg_study_has_material(&study.cutting[0], false, &steel));
    steel.basis = SG_BASIS_SHOP;
    steel.thickness_exponent = 1.3;
    steel.reference_thickness = 10;
    ck_assert(!sg_study_has_material(&study.cutting[0], false, &steel));
    ck_assert(!sg_study_has_machine(&study, SG_PIERCE_STILL, &machine));
    ck_assert(sg_study_apply_machine(&study, SG_PIERCE_STILL, &machine));
    ck_assert(sg_study_has_machine(&study, SG_PIERCE_STILL, &machine));
    machine.pierce_factor[SG_PIERCE_STILL] += 0.1;
    ck_assert(!sg_study_has_machine(&study, SG_PIERCE_STILL, &machine));
}
END_TEST

/* One basis stands for both numbers of a material. */
START_TEST(a_basis_does_not_become_the_shops_while_the_other_number_is_not)
{
    struct sg_material rubber = sg_fresh_material;
    rubber.cut_energy = 2;
    fit(12);
    ck_assert(sg_study_apply_material(&study.cutting[0], false, &rubber));
    ck_assert_int_eq(rubber.basis, SG_BASIS_ESTIMATE);
    rubber.source = "machinability: shop, 12 runs, +-6 %, 2026-12-01; cut energy: common handbook value";
    ck_assert_int_eq(sg_speed_basis(true, &rubber), SG_BASIS_SHOP); /* its source says of which it speaks */
    ck_assert_int_eq(sg_speed_basis(false, &rubber), SG_BASIS_ESTIMATE);
    rubber.source = "cut energy: shop, 12 runs, +-6 %, 2026-12-01";
    ck_assert_int_eq(sg_speed_basis(true, &rubber), SG_BASIS_ESTIMATE);
    ck_assert_int_eq(sg_speed_basis(false, &rubber), SG_BASIS_SHOP);
}
END_TEST

/* ---- feeds ---- */

START_TEST(the_feed_is_read_at_the_run_to_come)
{
    for (int32_t i = 0; i < 20; i++) {
        runs[i].garnet_weighed = 300 * pow(0.99, i);
        runs[i].garnet_used = 1000; /* what was caught and weighed is believed first */
    }
    fit(20);
    expect(study.feeds[0].feed.estimate, 300 * pow(0.99, 20));
    expect(study.feeds[0].most, 300);
    ck_assert_int_eq(study.feeds[0].feed.n, SG_STUDY_FEED_WINDOW);
    runs[15].garnet_weighed *= 3;
    fit(20);
    expect(study.feeds[0].feed.estimate, 300 * pow(0.99, 20));
    ck_assert_int_eq(study.feeds[0].feed.wild, 1);
    expect(study.feeds[0].most, 300); /* the wild one is not what the head can feed */
}
END_TEST

START_TEST(what_went_out_of_the_hopper_is_a_feed_of_each_head)
{
    for (int32_t i = 0; i < 8; i++) {
        runs[i].heads = 2;
        runs[i].garnet_weighed = UNKNOWN;
        runs[i].garnet_used = 2 * 0.4 * (runs[i].took - runs[i].stops - runs[i].planned_rapid) / 60; /* kg */
    }
    fit(8);
    expect(study.feeds[0].feed.estimate, 400);
}
END_TEST

START_TEST(a_feed_is_of_the_setting_and_head_it_was_measured_at)
{
    for (int32_t i = 0; i < 18; i++) {
        runs[i].head = i % 2 ? 3 : 0;
        runs[i].garnet = i < 6 ? 200 : 300;
        runs[i].garnet_weighed = runs[i].garnet * (i % 2 ? 1.1 : 0.9);
    }
    fit(18);
    ck_assert_int_eq(study.n_feeds, 2);
    ck_assert_int_eq(study.feeds[0].head, 0);
    ck_assert_int_eq(study.feeds[1].head, 3);
    expect(study.feeds[0].feed.estimate, 270);
    expect(study.feeds[1].feed.estimate, 330);
    expect(study.feeds[1].set, 300);
    ck_assert_int_eq(study.feeds[0].feed.n, 6);
}
END_TEST

/* ---- groups ---- */

static void set_ratio(int32_t i, double height, double edge, double ratio)
{
    runs[i].height = height;
    runs[i].edge = edge;
    runs[i].took = runs[i].stops + ratio * sg_study_planned(&runs[i]);
}

START_TEST(groups_have_count_median_spread_and_ends)
{
    struct sg_study_group *groups;
    int32_t n;
    const double ratios[] = {1.05, 0.98, 4, 1.10, 1.02};
    for (int32_t i = 0; i < 5; i++)
        set_ratio(i, 12, 3, ratios[i]);
    set_ratio(5, 12, 2, 1.5);
    set_ratio(6, 12, 2, 1.3);
    set_ratio(7, 6, 2, 0.9);
    set_ratio(8, 12, 3, 1);
    runs[8].material = 5;
    set_ratio(9, 12, 3, 1);
    runs[9].head = 1;
    set_ratio(10, 12, 3, UNKNOWN);
    ck_assert(sg_study_groups(runs, 11, &arena, &groups, &n));
    ck_assert_int_eq(n, 5);
    ck_assert_int_eq(groups[0].band, sg_study_band(6)); /* by material, head, band, edge */
    ck_assert_int_eq(groups[1].edge, 2);
    ck_assert_int_eq(groups[1].count, 2);
    ck_assert(groups[1].few);
    expect(groups[1].median, 1.4);
    ck_assert_int_eq(groups[2].count, 5);
    ck_assert(!groups[2].few);
    expect(groups[2].median, 1.05);
    expect(groups[2].spread, 1.4826 * 0.05); /* distances 0, 0.03, 0.05, 0.07, 2.95 */
    expect(groups[2].lowest, 0.98);
    expect(groups[2].highest, 4);
    ck_assert_int_eq(groups[3].head, 1);
    ck_assert_int_eq(groups[4].material, 5);
}
END_TEST

START_TEST(bands_of_thickness_touch_and_cover_all)
{
    const double ends[] = {0, 3, 6, 10, 16, 25, 40, 60, 100, (double)INFINITY}; /* as study.h says */
    for (int band = 0; band < SG_STUDY_BANDS; band++) {
        double above, up_to;
        sg_study_band_ends(band, &above, &up_to);
        ck_assert(above == ends[band] && up_to == ends[band + 1]);
        ck_assert_int_eq(sg_study_band(fmin(up_to, 1e6)), band);
        ck_assert_int_eq(sg_study_band(above * 1.001 + 0.001), band);
    }
}
END_TEST

START_TEST(stops_are_taken_off_and_cut_clocks_see_only_the_cut)
{
    struct sg_study_run run = {.planned_cut = 100,
                               .planned_corner = 20,
                               .planned_acceleration = 5,
                               .planned_pierce = 40,
                               .planned_rapid = 10,
                               .took = 250,
                               .stops = 75};
    expect(sg_study_planned(&run), 175);
    expect(sg_study_ratio(&run), 1);
    run.cut_only = 1;
    expect(sg_study_planned(&run), 125);
    expect(sg_study_ratio(&run), 1.4);
}
END_TEST

/* ---- what it would change ---- */

START_TEST(a_factor_changes_the_median_error_of_the_plan)
{
    struct sg_study_change change;
    const double ratios[] = {1.2, 1.3, 1.1, 2.4, 1.2};
    for (int32_t i = 0; i < 5; i++)
        set_ratio(i, 12, 3, ratios[i]);
    runs[5].took = UNKNOWN;
    ck_assert(sg_study_change_of_factor(runs, 6, 1.2, &arena, &change));
    ck_assert_int_eq(change.n, 5);
    expect(change.before, 0.2);
    expect(change.after, 1.3 / 1.2 - 1); /* 0, 0, 0.0833, 0.0833, 1 */
    ck_assert(sg_study_change_of_factor(runs, 0, 1.2, &arena, &change));
    ck_assert(isnan(change.before) && isnan(change.after));
}
END_TEST

START_TEST(fitted_numbers_make_the_plan_of_exact_runs_exact)
{
    struct sg_study_change change;
    unsigned all = SG_STUDY_USE_SPEED | SG_STUDY_USE_PIERCE | SG_STUDY_USE_FEED;
    fit(12);
    ck_assert(sg_study_change_of_numbers(runs, 12, &study, &sg_fresh_machine, all, &arena, &change));
    ck_assert(change.before > 0.05);
    ck_assert(change.after < 1e-9);
    ck_assert(sg_study_change_of_numbers(runs, 12, &study, &sg_fresh_machine, 0, &arena, &change));
    ck_assert(fabs(change.after - change.before) < 1e-12);
    /* pierces alone: what is left is the cut's */
    double cut_before = 0, cut_after = 0;
    for (int32_t i = 0; i < 12; i++) {
        double now = sg_study_replanned(&runs[i], &study, &sg_fresh_machine, SG_STUDY_USE_PIERCE);
        struct simulated_numbers mixed = hidden.published;
        mixed.base = hidden.truth.base;
        mixed.factor = hidden.truth.factor;
        struct simulated_job job = {runs[i].height, runs[i].edge, runs[i].cut_length, runs[i].pierces};
        expect(now, simulated_seconds(&mixed, &job));
        cut_before += sg_study_planned(&runs[i]);
        cut_after += now;
    }
    ck_assert(fabs(cut_after / cut_before - 1) > 1e-3);
}
END_TEST

START_TEST(a_new_plan_keeps_typed_feeds_and_the_top_feed)
{
    unsigned all = SG_STUDY_USE_SPEED | SG_STUDY_USE_PIERCE | SG_STUDY_USE_FEED;
    fit(12);
    struct sg_study_run run = runs[0];
    struct simulated_job job = {run.height, run.edge, run.cut_length, run.pierces};
    double others = simulated_seconds(&hidden.truth, &job) - simulated_cut(&hidden.truth, &job);
    run.feed_typed = 1;
    expect(sg_study_replanned(&run, &study, &sg_fresh_machine, all), run.planned_cut + others);
    run.feed_typed = 0;
    run.top_feed = 10;
    expect(sg_study_replanned(&run, &study, &sg_fresh_machine, all), run.cut_length / 10 * 60 + others);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("time study rules");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, nothing_comes_of_no_runs);
    tcase_add_test(tests, numbers_are_offered_from_five_runs_on);
    tcase_add_test(tests, pierces_and_exponents_need_three_thicknesses);
    tcase_add_test(tests, whole_clocks_of_much_piercing_wait_until_pierces_are_fitted);
    tcase_add_test(tests, runs_that_say_nothing_of_speeds_are_counted_and_left_out);
    tcase_add_test(tests, typed_pierce_seconds_are_taken_as_planned);
    tcase_add_test(tests, numbers_say_how_sure_they_are);
    tcase_add_test(tests, what_is_wider_than_half_of_itself_is_not_offered);
    tcase_add_test(tests, what_the_shop_has_already_is_in_use);
    tcase_add_test(tests, a_basis_does_not_become_the_shops_while_the_other_number_is_not);
    tcase_add_test(tests, the_feed_is_read_at_the_run_to_come);
    tcase_add_test(tests, what_went_out_of_the_hopper_is_a_feed_of_each_head);
    tcase_add_test(tests, a_feed_is_of_the_setting_and_head_it_was_measured_at);
    tcase_add_test(tests, groups_have_count_median_spread_and_ends);
    tcase_add_test(tests, bands_of_thickness_touch_and_cover_all);
    tcase_add_test(tests, stops_are_taken_off_and_cut_clocks_see_only_the_cut);
    tcase_add_test(tests, a_factor_changes_the_median_error_of_the_plan);
    tcase_add_test(tests, fitted_numbers_make_the_plan_of_exact_runs_exact);
    tcase_add_test(tests, a_new_plan_keeps_typed_feeds_and_the_top_feed);
    return run_case("time study rules", tests);
}
