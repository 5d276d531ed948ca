/* Runs of short chords become arcs. */
#include "support/outlined.h"

#include <string.h>

static void make_fitted(void)
{
    struct sg_path path = path_of(&drawing);
    struct sg_outline_how how = {.tolerance = 1e-4, .fit_arcs = true};
    sg_outline_free(&outline);
    ck_assert_int_eq(sg_outline_make(&path, &how, &outline, NULL), SG_OK);
}

START_TEST(chords_of_a_circle_become_two_arcs_and_are_measured_as_chords)
{
    draw_chords(&drawing, 7, 8, 4, 0.3, 2 * pi, 100); /* 0.002 mm off at most */
    make_fitted();
    ck_assert_int_eq(outline.n_segments, 2);
    for (int i = 0; i < 2; i++) {
        ck_assert_double_eq_tol(sg_segment_radius(&outline.segments[i]), 4, 1e-9);
        ck_assert_double_eq_tol(outline.segments[i].sweep, pi, 1e-9);
    }
    ck_assert_double_eq_tol(outline.cut_length, 800 * sin(pi / 100), 1e-10);
    ck_assert_double_eq_tol(outline.area, 800 * sin(2 * pi / 100), 1e-9); /* n/2 r2 sin(2 pi/n) */
    ck_assert(isnan(outline.smallest_radius));
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

START_TEST(chords_too_coarse_for_an_arc_stay_and_are_told)
{
    draw_chords(&drawing, 0, 0, 100, 0, 2 * pi, 36); /* 0.38 mm off */
    make_fitted();
    ck_assert_int_eq(outline.n_segments, 36);
    ck_assert_int_eq(problems(ANY), 1);
    ck_assert_int_eq(problems(SG_PROBLEM_CHORDS), 1);
}
END_TEST

START_TEST(a_box_and_a_hexagon_are_no_curves)
{
    draw_box(&drawing, 0, 0, 10, 10);
    draw_chords(&drawing, 50, 0, 0.01, 0, 2 * pi, 6); /* within 0.01 mm of a circle, and yet corners */
    make_fitted();
    ck_assert_int_eq(outline.n_segments, 10);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

START_TEST(a_slot_of_chords_keeps_its_straight_sides)
{
    draw(&drawing, line(0, -5, 40, -5));
    draw_chords(&drawing, 40, 0, 5, -pi / 2, pi, 60);
    draw(&drawing, line(40, 5, 0, 5));
    draw_chords(&drawing, 0, 0, 5, pi / 2, pi, 60);
    make_fitted();
    double straight = 0, round = 0;
    for (int64_t i = 0; i < outline.n_segments; i++) {
        const struct sg_segment *s = &outline.segments[i];
        *(sg_is_arc(s) ? &round : &straight) += sg_segment_length(s);
        if (sg_is_arc(s))
            ck_assert_double_eq_tol(sg_segment_radius(s), 5, 0.05);
    }
    ck_assert_double_eq_tol(straight, 80, 1); /* a chord may stay at each end */
    ck_assert_double_eq_tol(round, 10 * pi, 1);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

/* No point of the ellipse's chords is farther from the arcs than allowed: the arcs' own ends and middles lie
 * within twice that of the ellipse (distance by the gradient, exact enough there). */
START_TEST(an_ellipse_of_fine_chords_becomes_arcs_along_it)
{
    for (int i = 0; i < 720; i++) {
        double a = 2 * pi * i / 720, b = 2 * pi * (i + 1) / 720;
        draw(&drawing, line(30 * cos(a), 20 * sin(a), 30 * cos(b), 20 * sin(b)));
    }
    make_fitted();
    int64_t arcs = 0;
    for (int64_t i = 0; i < outline.n_segments; i++) {
        const struct sg_segment *s = &outline.segments[i];
        if (!sg_is_arc(s))
            continue;
        arcs++;
        double a = s->sweep / 2, rx = s->x0 - s->cx, ry = s->y0 - s->cy;
        double x = s->cx + rx * cos(a) - ry * sin(a), y = s->cy + rx * sin(a) + ry * cos(a);
        double f = x * x / 900 + y * y / 400 - 1;
        ck_assert_double_lt(fabs(f) / hypot(2 * x / 900, 2 * y / 400), 2 * SG_CHORD_FIT);
        ck_assert_double_gt(sg_segment_radius(s), 400.0 / 30 * 0.95); /* between b2/a and a2/b */
        ck_assert_double_lt(sg_segment_radius(s), 900.0 / 20 * 1.05);
    }
    ck_assert_int_gt(arcs, 8);
    ck_assert_int_lt(outline.n_segments, 80);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outline_chords");
    TCase *tests = tcase_create("outline_chords");
    tcase_add_checked_fixture(tests, clear, drop);
    tcase_add_test(tests, chords_of_a_circle_become_two_arcs_and_are_measured_as_chords);
    tcase_add_test(tests, chords_too_coarse_for_an_arc_stay_and_are_told);
    tcase_add_test(tests, a_box_and_a_hexagon_are_no_curves);
    tcase_add_test(tests, a_slot_of_chords_keeps_its_straight_sides);
    tcase_add_test(tests, an_ellipse_of_fine_chords_becomes_arcs_along_it);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
