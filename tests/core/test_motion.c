/* Motion against closed forms: minimum time under a limit of acceleration, written out beside each check. */
#include "sandglass/motion.h"

#include "support/drawing.h"
#include "support/random.h"

#include <check.h>

static struct drawing drawing;
static struct sg_motion_memory *memory;
static const struct sg_motion_limits plain = {50, 1000, 500, 0, 0, 0.1}; /* V = 50 mm/s, a = 500 mm/s2 */

static void start(void)
{
    memory = sg_motion_memory_new();
    drawing.n = 0;
}

static void stop(void)
{
    sg_motion_memory_free(memory);
}

static struct sg_motion move(const struct sg_motion_limits *limits)
{
    struct sg_motion motion;
    ck_assert(sg_motion_time(drawing.segments, drawing.n, limits, memory, &motion));
    return motion;
}

static double seconds(const struct sg_motion_limits *limits)
{
    return move(limits).total;
}

/* ---- closed forms ---- */

START_TEST(a_line_takes_length_over_speed_and_speed_over_acceleration)
{
    draw(&drawing, line(0, 0, 60, 80));
    ck_assert_double_eq_tol(seconds(&plain), 2.1, 1e-9);
    ck_assert_double_eq_tol(sg_motion_straight(100, 50, 500), 2.1, 1e-12);
}
END_TEST

START_TEST(a_short_line_never_reaches_its_speed)
{
    draw(&drawing, line(0, 0, 4, 0)); /* below V2 / a = 5: 2 sqrt(L / a) */
    ck_assert_double_eq_tol(seconds(&plain), 0.178885438200, 1e-9);
    ck_assert_double_eq_tol(seconds(&plain), 2 * sqrt(4.0 / 500), 1e-12);
    ck_assert_double_eq_tol(sg_motion_straight(4, 50, 500), 2 * sqrt(4.0 / 500), 1e-12);
}
END_TEST

START_TEST(without_deviation_each_corner_is_a_stop)
{
    draw_box(&drawing, 0, 0, 80, 80); /* 4 (s/V + V/a) */
    ck_assert_double_eq_tol(seconds(&plain), 6.8, 1e-9);
}
END_TEST

START_TEST(a_right_angle_is_rounded_by_the_circle_that_the_deviation_allows)
{
    struct sg_motion_limits limits = plain;
    limits.deviation = 0.02;
    draw_box(&drawing, 0, 0, 80, 80);
    draw(&drawing, line(0, 0, 80, 0));
    double u = sqrt(500 * 0.02 * (1 + sqrt(2))), v = 50, a = 500; /* R = delta (1 + sqrt 2) */
    double ends = 2 * (80 / v + (v * v + (v - u) * (v - u)) / (2 * a * v));
    ck_assert_double_eq_tol(u, 4.913464727026, 1e-11);
    ck_assert_double_eq_tol(seconds(&limits), ends + 3 * (80 / v + (v - u) * (v - u) / (a * v)), 1e-9);
    ck_assert_double_eq_tol(seconds(&limits), 8.425247306067, 1e-9);
}
END_TEST

START_TEST(a_circle_is_as_fast_as_its_centripetal_acceleration)
{
    double v = sqrt(500.0 * 4);
    draw(&drawing, circle(0, 0, 4, false));
    ck_assert_double_eq_tol(seconds(&plain), 2 * pi * 4 / v + v / 500, 1e-9);
    ck_assert_double_eq_tol(seconds(&plain), 0.651427897583, 1e-9);
}
END_TEST

/* As fast as the centripetal acceleration allows on the circle: only the perimeter 2 N r sin(pi/N) is left.
 */
START_TEST(chords_at_the_speed_of_the_circle_converge_to_it)
{
    static const struct {
        int n;
        double seconds;
    } chords[] = {{100, 0.651335459}, {1000, 0.651426973}, {10000, 0.651427888}};
    for (int i = 0; i < 3; i++) {
        struct sg_motion_limits limits = plain;
        limits.feed = sqrt(500.0 * 4);
        limits.deviation = 0.02;
        drawing.n = 0;
        draw_chords(&drawing, 0, 0, 4, 0, 2 * pi, chords[i].n);
        ck_assert_double_eq_tol(seconds(&limits), chords[i].seconds, 1e-9);
    }
}
END_TEST

/* Joints that allow sqrt(a r), and chords in which there is ever less to speed up. */
START_TEST(chords_whose_joints_allow_the_speed_of_the_circle_converge_to_it)
{
    double before = 1;
    for (int n = 100; n <= 10000; n *= 10) {
        struct sg_motion_limits limits = plain;
        double half = pi / n, whole = 2 * pi * 4 / sqrt(2000) + sqrt(2000) / 500;
        limits.deviation = 4 * (1 / cos(half) - 1); /* from a chord's joint to the circle within */
        drawing.n = 0;
        draw_chords(&drawing, 0, 0, 4 / cos(half), 0, 2 * pi, n);
        double off = fabs(seconds(&limits) / whole - 1);
        ck_assert_double_lt(off, before / 9);
        before = off;
    }
    ck_assert_double_lt(before, 2e-4);
}
END_TEST

START_TEST(chords_that_became_arcs_are_the_circle)
{
    struct sg_outline outline = {0};
    struct sg_outline_how how = {.tolerance = 1e-4, .fit_arcs = true};
    struct sg_motion motion;
    draw_chords(&drawing, 0, 0, 4, 0, 2 * pi, 100);
    struct sg_path path = path_of(&drawing);
    ck_assert_int_eq(sg_outline_make(&path, &how, &outline, NULL), SG_OK);
    ck_assert(sg_motion_outline(&outline, &plain, memory, &motion));
    ck_assert_double_eq_tol(motion.total, 0.651427897583, 1e-9);
    for (int64_t i = 0; i < outline.n_segments; i++)
        ck_assert(sg_is_arc(&outline.segments[i]) && outline.segments[i].fitted);
    sg_outline_free(&outline);
}
END_TEST

/* Against the formula itself, in many angles. */
START_TEST(any_joint_keeps_its_deviation)
{
    for (int degrees = 1; degrees < 180; degrees++) {
        struct sg_motion_limits limits = {400, 1000, 500, 0.02, 0, 0.1};
        double turn = degrees * pi / 180, s = sin((pi - turn) / 2);
        double u = fmin(400, sqrt(500 * 0.02 * s / (1 - s))), v = 400, a = 500;
        drawing.n = 0;
        draw(&drawing, line(0, 0, 1000, 0));
        draw(&drawing, line(1000, 0, 1000 + 1000 * cos(turn), 1000 * sin(turn)));
        double each = 1000 / v + (v * v + (v - u) * (v - u)) / (2 * a * v);
        ck_assert_double_eq_tol(seconds(&limits), 2 * each, 1e-9);
    }
}
END_TEST

START_TEST(nothing_takes_no_time)
{
    ck_assert_double_eq(seconds(&plain), 0);
    draw(&drawing, line(3, 3, 3, 3));
    ck_assert_double_eq(seconds(&plain), 0);
}
END_TEST

START_TEST(a_segment_without_length_changes_nothing)
{
    struct sg_motion_limits limits = plain;
    limits.deviation = 0.02;
    limits.lag = 2;
    draw(&drawing, line(0, 0, 30, 0));
    draw(&drawing, line(30, 0, 30, 40));
    double before = seconds(&limits);
    drawing.n = 0;
    draw(&drawing, line(0, 0, 0, 0));
    draw(&drawing, line(0, 0, 30, 0));
    draw(&drawing, line(30, 0, 30, 0));
    draw(&drawing, line(30, 0, 30, 40));
    draw(&drawing, line(30, 40, 30, 40));
    ck_assert_double_eq(seconds(&limits), before);
}
END_TEST

/* ---- the lag ---- */

/* (lag / max(ec, s))^1.15 below the lag, 1 beyond: by the midpoint rule over each smooth stretch of it. */
static double integral(double from, double to, double lag, double ec)
{
    enum { STEPS = 20000 };
    double sum = 0, ratio = pow(to / from, 1.0 / STEPS), s = from;
    for (int i = 0; i < STEPS; i++, s *= ratio) {
        double mid = s * (1 + ratio) / 2, allowed = fmax(ec, mid);
        sum += s * (ratio - 1) * (allowed < lag ? pow(lag / allowed, 1.15) : 1);
    }
    return sum;
}

START_TEST(the_corner_rule_in_closed_form_is_its_integral)
{
    struct random random = {0xabcdefu};
    for (int i = 0; i < 300; i++) {
        double lag = 3 * random_unit(&random), ec = 0.05 + random_unit(&random),
               half = 0.01 + 10 * random_unit(&random);
        double edges[4] = {1e-9, fmin(half, fmin(ec, lag)), fmin(half, fmax(ec, lag)), half}, sum = 0;
        for (int k = 0; k < 3; k++)
            if (edges[k + 1] > edges[k])
                sum += integral(edges[k], edges[k + 1], lag, ec);
        ck_assert_double_eq_tol(sg_motion_corner(half, lag, ec) / sum, 1, 1e-6);
    }
}
END_TEST

/* The formula of the rule as it is written down: a (J/Ec)^1.15 + J^1.15 / 0.15 (Ec^-0.15 - b^-0.15) + (x -
 * J). */
START_TEST(the_corner_rule_is_the_formula_of_the_rule)
{
    double x = 5, j = 2, ec = 0.3;
    double t = ec * pow(j / ec, 1.15) + pow(j, 1.15) / 0.15 * (pow(ec, -0.15) - pow(j, -0.15)) + (x - j);
    ck_assert_double_eq_tol(sg_motion_corner(x, j, ec), t, 1e-12);
    ck_assert_double_eq_tol(sg_motion_corner(0.2, j, ec), 0.2 * pow(j / ec, 1.15), 1e-12);
    ck_assert_double_eq(sg_motion_corner(x, 0.2, ec), x); /* a lag within the permitted one slows nothing */
    ck_assert_double_eq(sg_motion_corner(0, j, ec), 0);
}
END_TEST

START_TEST(where_the_acceleration_is_huge_the_corner_rule_is_all_that_is_lost)
{
    struct sg_motion_limits limits = {50, 1000, 1e15, 10, 2, 0.3};
    draw(&drawing, line(0, 0, 10, 0));
    draw(&drawing, line(10, 0, 10, 8));
    double rule = (5 + sg_motion_corner(5, 2, 0.3) + sg_motion_corner(4, 2, 0.3) + 4) / 50;
    struct sg_motion motion = move(&limits);
    ck_assert_double_eq_tol(motion.total, rule, 1e-9);
    ck_assert_double_eq_tol(motion.straight, 18.0 / 50, 1e-12);
    ck_assert_double_eq_tol(motion.corner, rule - 18.0 / 50, 1e-9);
    ck_assert_double_eq_tol(motion.acceleration, 0, 1e-9);
}
END_TEST

START_TEST(a_turn_below_a_right_angle_permits_more)
{
    struct sg_motion_limits limits = {50, 1000, 1e15, 10, 2, 0.3};
    draw(&drawing, line(0, 0, 10, 0));
    draw(&drawing, line(10, 0, 10 + 10 * cos(0.5), 10 * sin(0.5)));
    double rule = 2 * (5 + sg_motion_corner(5, 2, 0.3 / sin(0.5))) / 50;
    ck_assert_double_eq_tol(seconds(&limits), rule, 1e-9);
}
END_TEST

START_TEST(a_small_arc_is_as_slow_as_the_lag_on_it_allows)
{
    struct sg_motion_limits limits = {50, 1000, 1e15, 10, 3, 0.1};
    draw(&drawing, circle(0, 0, 4, false));
    double allowed = sqrt(4.1 * 4.1 - 16), speed = 50 * pow(allowed / 3, 1.15);
    struct sg_motion motion = move(&limits);
    ck_assert_double_eq_tol(motion.total, 8 * pi / speed, 1e-9);
    ck_assert_double_eq_tol(motion.corner, 8 * pi / speed - 8 * pi / 50, 1e-9);
}
END_TEST

START_TEST(the_top_feed_of_the_machine_bounds_all)
{
    struct sg_motion_limits limits = plain;
    limits.top = 20;
    draw(&drawing, line(0, 0, 100, 0));
    ck_assert_double_eq_tol(seconds(&limits), 100.0 / 20 + 20.0 / 500, 1e-9);
}
END_TEST

/* ---- properties ---- */

static void draw_any(struct random *random)
{
    int n = 1 + (int)random_below(random, 8);
    double x = 0, y = 0, angle = 6 * random_unit(random);
    drawing.n = 0;
    for (int i = 0; i < n; i++) {
        double length = 30 * pow(random_unit(random), 3) + 1e-3;
        if (random_below(random, 2))
            angle +=
                random_below(random, 3) ? 3 * (random_unit(random) - 0.5) : 0.3 * (random_unit(random) - 0.5);
        if (random_below(random, 3) == 0) {
            double sweep = 5 * (random_unit(random) - 0.5) + 1e-3, r = length / fabs(sweep),
                   side = sweep > 0 ? 1 : -1;
            double cx = x - side * r * sin(angle), cy = y + side * r * cos(angle);
            struct sg_segment s = arc(cx, cy, r, atan2(y - cy, x - cx), sweep);
            draw(&drawing, s);
            x = s.x1;
            y = s.y1;
            angle += sweep;
        } else {
            draw(&drawing, line(x, y, x + length * cos(angle), y + length * sin(angle)));
            x += length * cos(angle);
            y += length * sin(angle);
        }
    }
}

static struct sg_motion_limits any_limits(struct random *random)
{
    return (struct sg_motion_limits){.feed = 200 * pow(random_unit(random), 2) + 0.1,
                                     .top = 300 * random_unit(random) + 1,
                                     .acceleration = 5000 * pow(random_unit(random), 3) + 1,
                                     .deviation = random_below(random, 8) ? 0.1 * random_unit(random) : 0,
                                     .lag = random_below(random, 4) ? 10 * pow(random_unit(random), 2) : 0,
                                     .error = 0.5 * random_unit(random) + 0.01};
}

/* One limit made tighter: the lag grows with thickness and a finer edge, the rest shrinks. */
static void tighten(struct random *random, struct sg_motion_limits *limits)
{
    double *const each[] = {&limits->feed,      &limits->top, &limits->acceleration,
                            &limits->deviation, &limits->lag, &limits->error};
    unsigned which = random_below(random, 6);
    double by = random_below(random, 2) ? random_unit(random) : 1 - 0.01 * random_unit(random);
    if (each[which] == &limits->lag)
        limits->lag = limits->lag / fmax(by, 0.01) + 0.001;
    else
        *each[which] *= fmax(by, 0.01);
}

START_TEST(time_never_falls_when_a_limit_tightens_and_its_split_adds_up)
{
    struct random random = {0x5eedu};
    int slower = 0;
    for (int i = 0; i < 100000; i++) {
        draw_any(&random);
        struct sg_motion_limits limits = any_limits(&random);
        struct sg_motion before = move(&limits);
        tighten(&random, &limits);
        struct sg_motion after = move(&limits);
        double close = 1e-9 * after.total;
        ck_assert_msg(after.total >= before.total - close, "case %d: %.12g s and then %.12g s", i,
                      before.total, after.total);
        ck_assert_double_eq_tol(after.straight + after.corner + after.acceleration, after.total, close);
        ck_assert_double_ge(after.corner, -close);
        ck_assert_double_ge(after.acceleration, -close);
        slower += after.total > before.total + close;
    }
    ck_assert_int_gt(slower, 50000); /* and it is felt in most of them */
}
END_TEST

START_TEST(a_path_takes_as_long_backwards)
{
    struct random random = {0xbac5u};
    for (int i = 0; i < 2000; i++) {
        draw_any(&random);
        struct sg_motion_limits limits = any_limits(&random);
        double there = seconds(&limits);
        for (int64_t a = 0, b = drawing.n - 1; a <= b; a++, b--) {
            struct sg_segment s = sg_segment_reversed(&drawing.segments[a]);
            drawing.segments[a] = sg_segment_reversed(&drawing.segments[b]);
            drawing.segments[b] = s;
        }
        ck_assert_double_eq_tol(seconds(&limits) / there, 1, 1e-9);
    }
}
END_TEST

START_TEST(a_longer_path_takes_longer)
{
    struct random random = {0x10e6u};
    for (int i = 0; i < 2000; i++) {
        draw_any(&random);
        struct sg_motion_limits limits = any_limits(&random);
        double whole = seconds(&limits);
        drawing.n--;
        ck_assert_double_le(seconds(&limits), whole * (1 + 1e-9));
    }
}
END_TEST

START_TEST(an_outline_takes_as_long_as_its_contours)
{
    struct sg_outline outline = {0};
    struct sg_outline_how how = {.tolerance = 1e-4};
    struct sg_motion_limits limits = {50, 1000, 500, 0.02, 2, 0.1};
    struct sg_motion all, box, round;
    draw_box(&drawing, 0, 0, 80, 40);
    draw(&drawing, circle(20, 20, 5, false));
    struct sg_path path = path_of(&drawing);
    ck_assert_int_eq(sg_outline_make(&path, &how, &outline, NULL), SG_OK);
    ck_assert(sg_motion_outline(&outline, &limits, memory, &all));
    ck_assert(sg_motion_time(drawing.segments, 4, &limits, memory, &box));
    ck_assert(sg_motion_time(drawing.segments + 4, 1, &limits, memory, &round));
    ck_assert_double_eq_tol(all.total, box.total + round.total, 1e-12);
    ck_assert_double_eq_tol(all.corner, box.corner + round.corner, 1e-12);
    ck_assert_double_eq_tol(all.length, 240 + 10 * pi, 1e-10);
    sg_outline_free(&outline);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("motion");
    TCase *tests = tcase_create("motion");
    tcase_add_checked_fixture(tests, start, stop);
    tcase_add_test(tests, a_line_takes_length_over_speed_and_speed_over_acceleration);
    tcase_add_test(tests, a_short_line_never_reaches_its_speed);
    tcase_add_test(tests, without_deviation_each_corner_is_a_stop);
    tcase_add_test(tests, a_right_angle_is_rounded_by_the_circle_that_the_deviation_allows);
    tcase_add_test(tests, a_circle_is_as_fast_as_its_centripetal_acceleration);
    tcase_add_test(tests, chords_at_the_speed_of_the_circle_converge_to_it);
    tcase_add_test(tests, chords_whose_joints_allow_the_speed_of_the_circle_converge_to_it);
    tcase_add_test(tests, chords_that_became_arcs_are_the_circle);
    tcase_add_test(tests, any_joint_keeps_its_deviation);
    tcase_add_test(tests, nothing_takes_no_time);
    tcase_add_test(tests, a_segment_without_length_changes_nothing);
    tcase_add_test(tests, the_corner_rule_in_closed_form_is_its_integral);
    tcase_add_test(tests, the_corner_rule_is_the_formula_of_the_rule);
    tcase_add_test(tests, where_the_acceleration_is_huge_the_corner_rule_is_all_that_is_lost);
    tcase_add_test(tests, a_turn_below_a_right_angle_permits_more);
    tcase_add_test(tests, a_small_arc_is_as_slow_as_the_lag_on_it_allows);
    tcase_add_test(tests, the_top_feed_of_the_machine_bounds_all);
    tcase_add_test(tests, time_never_falls_when_a_limit_tightens_and_its_split_adds_up);
    tcase_add_test(tests, a_path_takes_as_long_backwards);
    tcase_add_test(tests, a_longer_path_takes_longer);
    tcase_add_test(tests, an_outline_takes_as_long_as_its_contours);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
