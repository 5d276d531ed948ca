/* Outlines: chained and measured. The values are closed forms, named beside each check. */
#include "support/outlined.h"

#include <string.h>

/* ---- measures ---- */

static void check_plate(void)
{
    make();
    ck_assert_int_eq(outline.n_contours, 2);
    ck_assert_int_eq(outline.closed, 2);
    ck_assert_int_eq(outline.open, 0);
    ck_assert_int_eq(outline.pierces, 2);
    ck_assert_int_eq(outline.corners, 4);
    ck_assert_double_eq_tol(outline.cut_length, 300 + 20 * pi, 1e-10); /* 2 (100 + 50), 2 pi 10 */
    ck_assert_double_eq_tol(outline.area, 5000 - 100 * pi, 1e-9);
    ck_assert_double_eq_tol(outline.smallest_radius, 10, 1e-12);
    ck_assert_double_eq(outline.box[0], 20);
    ck_assert_double_eq(outline.box[3], 80);
    ck_assert_int_eq(problems(ANY), 0);
}

START_TEST(a_plate_with_a_hole_is_measured)
{
    draw_box(&drawing, 20, 30, 100, 50);
    draw(&drawing, circle(60, 55, 10, false));
    check_plate();
    ck_assert(!outline.contours[0].inner);
    ck_assert(outline.contours[1].inner);
    ck_assert_int_eq(outline.contours[1].depth, 1);
    ck_assert_int_eq(outline.contours[1].outside, 0);
    ck_assert_int_eq(outline.contours[0].outside, -1);
}
END_TEST

START_TEST(order_and_direction_of_the_drawing_do_not_matter)
{
    for (uint64_t seed = 1; seed < 200; seed++) {
        clear();
        draw_box(&drawing, 20, 30, 100, 50);
        draw(&drawing, arc(60, 55, 10, 0, 2));
        draw(&drawing, arc(60, 55, 10, 2, 3));
        draw(&drawing, arc(60, 55, 10, 5, 2 * pi - 5));
        shuffle(seed);
        check_plate();
    }
}
END_TEST

START_TEST(a_rounded_box_has_no_corners)
{
    draw(&drawing, line(5, 0, 95, 0));
    draw(&drawing, arc(95, 5, 5, -pi / 2, pi / 2));
    draw(&drawing, line(100, 5, 100, 45));
    draw(&drawing, arc(95, 45, 5, 0, pi / 2));
    draw(&drawing, line(95, 50, 5, 50));
    draw(&drawing, arc(5, 45, 5, pi / 2, pi / 2));
    draw(&drawing, line(0, 45, 0, 5));
    draw(&drawing, arc(5, 5, 5, pi, pi / 2));
    make();
    ck_assert_int_eq(outline.corners, 0);
    ck_assert_int_eq(outline.closed, 1);
    ck_assert_double_eq_tol(outline.cut_length, 260 + 10 * pi, 1e-10);
    ck_assert_double_eq_tol(outline.area, 5000 - (4 - pi) * 25, 1e-9);
    ck_assert_double_eq_tol(outline.smallest_radius, 5, 1e-12);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

/* A joint of 19 and of 21 degrees, in an open path and closing a contour. */
START_TEST(a_joint_of_more_than_20_degrees_is_a_corner)
{
    static const double degrees[] = {19, 21};
    for (int i = 0; i < 2; i++) {
        double turn = degrees[i] * pi / 180;
        clear();
        draw(&drawing, line(0, 0, 10, 0));
        draw(&drawing, line(10, 0, 10 + 10 * cos(turn), 10 * sin(turn)));
        make();
        ck_assert_int_eq(outline.open, 1);
        ck_assert_int_eq(outline.corners, i);
        clear(); /* a circle that begins and ends in a lens' tip of that turn */
        draw(&drawing, arc(0, 0, 10, turn / 2, 2 * pi - turn));
        draw(&drawing, arc(20 * cos(turn / 2), 0, 10, pi + turn / 2, -turn));
        make();
        ck_assert_int_eq(outline.closed, 1);
        ck_assert_int_eq(outline.corners, 2 * i);
    }
}
END_TEST

START_TEST(the_closing_joint_counts)
{
    draw(&drawing, line(0, 0, 10, 0));
    draw(&drawing, arc(5, 0, 5, 0, pi));
    make(); /* two right angles, one of them where it closes */
    ck_assert_int_eq(outline.corners, 2);
    ck_assert_double_eq_tol(outline.area, 12.5 * pi, 1e-10);
}
END_TEST

START_TEST(an_area_far_from_zero_keeps_its_digits)
{
    draw_box(&drawing, 1e8, -1e8, 8, 4);
    draw(&drawing, circle(1e8 + 4, -1e8 + 2, 1, true));
    make();
    ck_assert_double_eq_tol(outline.area, 32 - pi, 1e-6);
}
END_TEST

START_TEST(nothing_drawn_is_an_outline_of_nothing)
{
    make();
    ck_assert_int_eq(outline.pierces, 0);
    ck_assert_double_eq(outline.cut_length, 0);
    ck_assert(isnan(outline.box[0]) && isnan(outline.box[3]));
    ck_assert(isnan(outline.smallest_radius));
}
END_TEST

/* ---- ends ---- */

START_TEST(ends_within_the_tolerance_meet_and_others_are_told_with_their_gap)
{
    draw(&drawing, line(0, 0, 100, 0));
    draw(&drawing, line(100, 0, 50, 80));
    draw(&drawing, line(50, 80, 0.12, 0.05)); /* 0.13 mm off */
    make();
    ck_assert_int_eq(outline.closed, 0);
    ck_assert_int_eq(outline.open, 1);
    ck_assert_int_eq(outline.corners, 2);
    ck_assert_double_eq(outline.area, 0);
    ck_assert_int_eq(problems(ANY), 1);
    ck_assert_double_eq_tol(problem(SG_PROBLEM_GAP)->size, 0.13, 1e-12);
    make_within(0.14);
    ck_assert_int_eq(outline.closed, 1);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

START_TEST(two_chains_that_just_miss_each_other_are_told_once_for_each_miss)
{
    draw(&drawing, line(0, 0, 100, 0));
    draw(&drawing, line(100.3, 0, 200, 50));
    draw(&drawing, line(200, 50.4, 0, 0.2));
    make();
    ck_assert_int_eq(outline.open, 3);
    ck_assert_int_eq(problems(SG_PROBLEM_GAP), 3);
    ck_assert_int_eq(problems(ANY), 3);
}
END_TEST

START_TEST(a_short_line_alone_is_no_gap)
{
    draw(&drawing, line(0, 0, 0.3, 0));
    make();
    ck_assert_int_eq(outline.open, 1);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

START_TEST(where_more_than_two_ends_meet_every_chain_is_cut)
{
    draw(&drawing, line(0, 0, 10, 0));
    draw(&drawing, line(10, 0, 20, 0));
    draw(&drawing, line(20, 0, 30, 5));
    draw(&drawing, line(10, 0, 10, 10));
    make();
    ck_assert_int_eq(outline.open, 3);
    ck_assert_int_eq(problems(ANY), 1);
    ck_assert_double_eq(problem(SG_PROBLEM_BRANCH)->x, 10);
    ck_assert_double_eq(problem(SG_PROBLEM_BRANCH)->y, 0);
    ck_assert(isnan(problem(SG_PROBLEM_BRANCH)->size));
}
END_TEST

START_TEST(two_boxes_that_share_a_corner_are_two_contours_and_told)
{
    draw_box(&drawing, 0, 0, 10, 10);
    draw_box(&drawing, 10, 10, 5, 5);
    shuffle(5);
    make();
    ck_assert_int_eq(outline.closed, 2);
    ck_assert_double_eq_tol(outline.area, 125, 1e-10);
    ck_assert_int_eq(problems(ANY), 1);
    ck_assert_int_eq(problems(SG_PROBLEM_BRANCH), 1);
}
END_TEST

START_TEST(a_circle_stays_whole_where_a_line_touches_its_start)
{
    draw(&drawing, circle(0, 0, 5, false));
    draw(&drawing, line(5, 0, 20, 0));
    make();
    ck_assert_int_eq(outline.closed, 1);
    ck_assert_int_eq(outline.open, 1);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

START_TEST(segments_without_length_are_left_out_and_told)
{
    draw(&drawing, line(0, 0, 10, 0));
    draw(&drawing, line(10, 0, 10, 0));
    draw(&drawing, line(10, 0, 10, 10));
    draw(&drawing, arc(10, 10, 0, 0, 2 * pi));
    draw(&drawing, line(10, 10, 10.00005, 10));
    make();
    ck_assert_int_eq(outline.n_segments, 2);
    ck_assert_int_eq(outline.n_contours, 1);
    ck_assert_int_eq(problems(ANY), 3);
    ck_assert_int_eq(problems(SG_PROBLEM_NO_LENGTH), 3);
}
END_TEST

START_TEST(a_segment_little_longer_than_the_tolerance_stays)
{
    draw(&drawing, line(0, 0, 10, 0));
    draw(&drawing, line(10, 0, 10.00015, 0));
    draw(&drawing, line(10.00015, 0, 20, 0));
    make();
    ck_assert_int_eq(outline.open, 1);
    ck_assert_int_eq(outline.n_segments, 3);
    ck_assert_double_eq_tol(outline.cut_length, 20, 1e-12);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

START_TEST(the_list_of_problems_says_how_many_it_leaves_out_and_hides_no_kind)
{
    for (int i = 0; i < 1000; i++)
        draw(&drawing, line(i, 0, i, 0));
    draw(&drawing, line(0, 0, 10, 10));
    draw(&drawing, line(0, 10, 10, 0));
    make();
    ck_assert_int_le(outline.n_problems, SG_PROBLEMS_LISTED);
    ck_assert_int_eq(problems(SG_PROBLEM_NO_LENGTH), 1000);
    ck_assert_int_eq(problems(SG_PROBLEM_CROSSING), 1);
}
END_TEST

/* ---- part programs ---- */

START_TEST(runs_of_a_part_program_stay_as_they_are)
{
    static const int64_t runs[] = {0, 4, 5};
    draw_box(&drawing, 0, 0, 10, 10);
    draw(&drawing, line(0, 0, -5, 0));
    draw(&drawing, line(-5, 0, -5, 0));
    draw(&drawing, line(-5, 0, -5, 5));
    struct sg_path path = path_of(&drawing);
    struct sg_outline_how how = {.tolerance = 1e-4, .chained = true, .runs = runs, .n_runs = 3};
    ck_assert_int_eq(sg_outline_make(&path, &how, &outline, NULL), SG_OK);
    ck_assert_int_eq(outline.closed, 1);
    ck_assert_int_eq(outline.open, 2); /* they meet, but the jet was off between them */
    ck_assert_int_eq(outline.corners, 4);
    ck_assert_int_eq(problems(ANY), 1);
    ck_assert_int_eq(problems(SG_PROBLEM_NO_LENGTH), 1);
}
END_TEST

/* ---- leads ---- */

START_TEST(leads_stand_off_the_part_on_the_scrap_side)
{
    draw_box(&drawing, 0, 0, 100, 100);
    draw(&drawing, circle(50, 50, 20, true));
    draw(&drawing, circle(20, 20, 1.5, false));
    draw(&drawing, line(200, 0, 300, 0));
    make();
    double x, y; /* 5 mm at 10 mm of thickness, and to the centre of the small hole, in and out again */
    ck_assert_double_eq(sg_lead(0, 10), 0);
    ck_assert_double_eq(sg_outline_leads(&outline, 0), 0);
    ck_assert_double_eq_tol(sg_outline_leads(&outline, sg_lead(0.5, 10)), 2 * (5 + 5 + 1.5), 1e-12);
    ck_assert_double_eq_tol(sg_outline_leads(&outline, sg_lead(0.5, 1)), 2 * (2 + 2 + 1.5), 1e-12);
    sg_outline_pierce(&outline, 0, 5, &x, &y); /* out of the corner, between its sides */
    ck_assert_double_eq_tol(x, -5 / sqrt(2), 1e-12);
    ck_assert_double_eq_tol(y, -5 / sqrt(2), 1e-12);
    sg_outline_pierce(&outline, 1, 5, &x, &y);
    ck_assert_double_eq_tol(x, 65, 1e-12);
    ck_assert_double_eq_tol(y, 50, 1e-12);
    sg_outline_pierce(&outline, 2, 5, &x, &y);
    ck_assert_double_eq_tol(x, 20, 1e-12);
    ck_assert_double_eq_tol(y, 20, 1e-12);
    sg_outline_pierce(&outline, 3, 5, &x, &y);
    ck_assert_double_eq(x, 200);
    ck_assert_double_eq(y, 0);
}
END_TEST

/* ---- bad input ---- */

START_TEST(coordinates_without_sense_are_refused_by_number)
{
    static const struct sg_segment bad[] = {
        {0, 0, (double)NAN, 0, 0, 0, 0, false},
        {0, 0, 1e308, 0, 0, 0, 0, false},
        {-(double)INFINITY, 0, 0, 0, 0, 0, 0, false},
        {0, 0, 1, 0, 1e300, 0, 1.5, false},
        {0, 0, 1, 0, 0.5, (double)NAN, 3, false},
        {0, 0, 1, 0, 0.5, 0, (double)NAN, false},
        {1, 0, 1, 0, 0, 0, 12.6, false},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct sg_outline untouched = {.n_contours = 77};
        struct sg_outline_how how = {.tolerance = 1e-4};
        struct sg_error error;
        clear();
        draw(&drawing, line(0, 0, 1, 1));
        draw(&drawing, bad[i]);
        struct sg_path path = path_of(&drawing);
        ck_assert_int_eq(sg_outline_make(&path, &how, &untouched, &error), SG_BAD_DATA);
        ck_assert_ptr_nonnull(strstr(error.text, "Segment 2 "));
        ck_assert_int_eq(untouched.n_contours, 77);
    }
}
END_TEST

START_TEST(an_arc_too_flat_to_have_a_centre_is_a_line)
{
    draw(&drawing, (struct sg_segment){0, 0, 10, 0, 5, 1e12, 1e-11, false});
    make();
    ck_assert(!sg_is_arc(&outline.segments[0]));
    ck_assert_double_eq(outline.cut_length, 10);
    ck_assert(isnan(outline.smallest_radius));
}
END_TEST

START_TEST(any_tolerance_is_taken)
{
    static const double tolerances[] = {0, -1, (double)NAN, 1e300, (double)INFINITY, 1e-300};
    for (size_t i = 0; i < sizeof tolerances / sizeof *tolerances; i++) {
        clear();
        draw_box(&drawing, 0, 0, 10, 10);
        make_within(tolerances[i]);
        ck_assert_int_eq(outline.closed, i == 3 || i == 4 ? 0 : 1);
    }
}
END_TEST

START_TEST(the_same_path_gives_the_same_bits)
{
    struct random random = {99};
    for (int i = 0; i < 3000; i++)
        draw(&drawing, line(floor(30 * random_unit(&random)), floor(30 * random_unit(&random)),
                            floor(30 * random_unit(&random)), floor(30 * random_unit(&random))));
    make();
    struct sg_outline first = outline;
    outline = (struct sg_outline){0};
    make();
    ck_assert_int_eq(first.n_segments, outline.n_segments);
    ck_assert_int_eq(first.n_contours, outline.n_contours);
    ck_assert_mem_eq(first.segments, outline.segments, (size_t)first.n_segments * sizeof *first.segments);
    ck_assert_mem_eq(first.problems, outline.problems, sizeof first.problems);
    ck_assert_mem_eq(&first.area, &outline.area, sizeof first.area);
    sg_outline_free(&first);
}
END_TEST

/* ---- words ---- */

START_TEST(problems_are_sentences_in_both_units)
{
    char text[300];
    const struct sg_outline_problem gap = {SG_PROBLEM_GAP, 25.4, -50.8, 0.254, 0};
    const struct sg_outline_problem many = {SG_PROBLEM_CROSSING, 1, 2, (double)NAN, 12};
    sg_outline_problem_text(&gap, false, text, sizeof text);
    ck_assert_str_eq(text,
                     "an end at x 25.4, y -50.8 mm lies 0.254 mm from the next one and does not meet it");
    sg_outline_problem_text(&gap, true, text, sizeof text);
    ck_assert_str_eq(text, "an end at x 1, y -2 in lies 0.01 in from the next one and does not meet it");
    sg_outline_problem_text(&many, false, text, sizeof text);
    ck_assert_str_eq(text, "contours cross at x 1, y 2 mm (and 12 more like it)");
    ck_assert_int_eq(sg_outline_problem_text(&many, false, text, 5), 51);
    ck_assert_str_eq(text, "cont");
    for (int kind = 0; kind < SG_PROBLEMS; kind++) {
        const struct sg_outline_problem any = {kind, 1, 2, 3, 0};
        ck_assert_int_gt(sg_outline_problem_text(&any, false, text, sizeof text), 20);
        ck_assert_ptr_nonnull(strstr(text, "x 1, y 2 mm"));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outline");
    TCase *tests = tcase_create("outline");
    tcase_add_checked_fixture(tests, clear, drop);
    tcase_add_test(tests, a_plate_with_a_hole_is_measured);
    tcase_add_test(tests, order_and_direction_of_the_drawing_do_not_matter);
    tcase_add_test(tests, a_rounded_box_has_no_corners);
    tcase_add_test(tests, a_joint_of_more_than_20_degrees_is_a_corner);
    tcase_add_test(tests, the_closing_joint_counts);
    tcase_add_test(tests, an_area_far_from_zero_keeps_its_digits);
    tcase_add_test(tests, nothing_drawn_is_an_outline_of_nothing);
    tcase_add_test(tests, ends_within_the_tolerance_meet_and_others_are_told_with_their_gap);
    tcase_add_test(tests, two_chains_that_just_miss_each_other_are_told_once_for_each_miss);
    tcase_add_test(tests, a_short_line_alone_is_no_gap);
    tcase_add_test(tests, where_more_than_two_ends_meet_every_chain_is_cut);
    tcase_add_test(tests, two_boxes_that_share_a_corner_are_two_contours_and_told);
    tcase_add_test(tests, a_circle_stays_whole_where_a_line_touches_its_start);
    tcase_add_test(tests, segments_without_length_are_left_out_and_told);
    tcase_add_test(tests, a_segment_little_longer_than_the_tolerance_stays);
    tcase_add_test(tests, the_list_of_problems_says_how_many_it_leaves_out_and_hides_no_kind);
    tcase_add_test(tests, runs_of_a_part_program_stay_as_they_are);
    tcase_add_test(tests, leads_stand_off_the_part_on_the_scrap_side);
    tcase_add_test(tests, coordinates_without_sense_are_refused_by_number);
    tcase_add_test(tests, an_arc_too_flat_to_have_a_centre_is_a_line);
    tcase_add_test(tests, any_tolerance_is_taken);
    tcase_add_test(tests, the_same_path_gives_the_same_bits);
    tcase_add_test(tests, problems_are_sentences_in_both_units);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
