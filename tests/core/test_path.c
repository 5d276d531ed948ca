/* Lines and arcs against closed forms. */
#include "support/drawing.h"

#include "support/random.h"

#include <check.h>

static const double start[4] = {(double)INFINITY, (double)INFINITY, -(double)INFINITY, -(double)INFINITY};

static void box_of(const struct sg_segment *segment, double box[4])
{
    for (int i = 0; i < 4; i++)
        box[i] = start[i];
    sg_segment_box(segment, box);
}

START_TEST(a_line_of_3_and_4_is_5_long)
{
    struct sg_segment s = line(1, 2, 4, 6);
    double sx, sy, ex, ey;
    ck_assert_double_eq(sg_segment_length(&s), 5);
    ck_assert(isinf(sg_segment_radius(&s)));
    sg_segment_tangents(&s, &sx, &sy, &ex, &ey);
    ck_assert_double_eq_tol(sx, 0.6, 1e-15);
    ck_assert_double_eq_tol(sy, 0.8, 1e-15);
    ck_assert_double_eq(sx, ex);
    ck_assert_double_eq(sy, ey);
}
END_TEST

START_TEST(a_segment_without_length_has_no_tangent)
{
    struct sg_segment s = line(1, 2, 1, 2);
    double sx, sy, ex, ey;
    sg_segment_tangents(&s, &sx, &sy, &ex, &ey);
    ck_assert_double_eq(sx, 0);
    ck_assert_double_eq(sy, 0);
    ck_assert_double_eq(ex, 0);
    ck_assert_double_eq(ey, 0);
}
END_TEST

START_TEST(an_arc_is_radius_times_angle_long)
{
    struct sg_segment s = arc(10, -3, 7, 0.4, -2.1), whole = circle(1, 1, 4, false);
    ck_assert_double_eq_tol(sg_segment_radius(&s), 7, 1e-14);
    ck_assert_double_eq_tol(sg_segment_length(&s), 14.7, 1e-13);
    ck_assert_double_eq_tol(sg_segment_length(&whole), 8 * pi, 1e-13);
}
END_TEST

START_TEST(the_tangents_of_an_arc_stand_on_its_radii)
{
    struct sg_segment s = arc(10, -3, 7, 0.4, -2.1);
    double sx, sy, ex, ey;
    sg_segment_tangents(&s, &sx, &sy, &ex, &ey); /* clockwise: (sin, -cos) of the angle */
    ck_assert_double_eq_tol(sx, sin(0.4), 1e-14);
    ck_assert_double_eq_tol(sy, -cos(0.4), 1e-14);
    ck_assert_double_eq_tol(ex, sin(-1.7), 1e-14);
    ck_assert_double_eq_tol(ey, -cos(-1.7), 1e-14);
}
END_TEST

START_TEST(the_box_of_an_arc_reaches_to_its_tangent_points)
{
    struct sg_segment top = arc(0, 0, 10, pi / 4, pi / 2), left = arc(5, 5, 2, -3 * pi / 4, -pi / 2);
    struct sg_segment whole = circle(1, 2, 3, true);
    double box[4];
    box_of(&top, box);
    ck_assert_double_eq_tol(box[0], -10 / sqrt(2), 1e-14);
    ck_assert_double_eq_tol(box[1], 10 / sqrt(2), 1e-14);
    ck_assert_double_eq_tol(box[2], 10 / sqrt(2), 1e-14);
    ck_assert_double_eq_tol(box[3], 10, 1e-14);
    box_of(&left, box); /* from below on the left, clockwise, to above on the left */
    ck_assert_double_eq_tol(box[0], 3, 1e-14);
    ck_assert_double_eq_tol(box[2], 5 - sqrt(2), 1e-14);
    box_of(&whole, box);
    ck_assert_double_eq_tol(box[0], -2, 1e-14);
    ck_assert_double_eq_tol(box[1], -1, 1e-14);
    ck_assert_double_eq_tol(box[2], 4, 1e-14);
    ck_assert_double_eq_tol(box[3], 5, 1e-14);
}
END_TEST

/* Against the box of 20,000 points on the arc. */
START_TEST(the_box_of_any_arc_is_that_of_its_points)
{
    struct random random = {88172645463325252u};
    for (int i = 0; i < 200; i++) {
        double cx = 100 * random_unit(&random), cy = 100 * random_unit(&random),
               r = 0.1 + random_unit(&random);
        double from = 7 * random_unit(&random), sweep = (random_unit(&random) - 0.5) * 4 * pi, box[4];
        struct sg_segment s = arc(cx, cy, r, from, sweep);
        double x0 = cx + r, x1 = cx - r, y0 = cy + r, y1 = cy - r;
        box_of(&s, box);
        for (int k = 0; k <= 20000; k++) {
            double x = cx + r * cos(from + sweep * k / 20000), y = cy + r * sin(from + sweep * k / 20000);
            x0 = fmin(x0, x);
            x1 = fmax(x1, x);
            y0 = fmin(y0, y);
            y1 = fmax(y1, y);
        }
        ck_assert_double_eq_tol(box[0], x0, 1e-6);
        ck_assert_double_eq_tol(box[2], x1, 1e-6);
        ck_assert_double_eq_tol(box[1], y0, 1e-6);
        ck_assert_double_eq_tol(box[3], y1, 1e-6);
    }
}
END_TEST

START_TEST(the_area_of_a_circle_and_of_its_halves)
{
    struct sg_segment whole = circle(3, -2, 4, false), back = circle(3, -2, 4, true);
    struct sg_segment half = arc(3, -2, 4, 0, pi), chord = line(-1, -2, 7, -2);
    ck_assert_double_eq_tol(sg_segment_area(&whole), 16 * pi, 1e-12);
    ck_assert_double_eq_tol(sg_segment_area(&back), -16 * pi, 1e-12);
    ck_assert_double_eq_tol(sg_segment_area(&half) + sg_segment_area(&chord), 8 * pi, 1e-12);
}
END_TEST

/* The integral of (x dy - y dx)/2 by the midpoint rule, 200,000 steps: error about 1e-10. */
START_TEST(the_area_of_an_arc_is_its_integral)
{
    struct sg_segment s = arc(3, -2, 4, 1.1, 2.7);
    double sum = 0, d = 2.7 / 200000;
    for (int i = 0; i < 200000; i++) {
        double a = 1.1 + (i + 0.5) * d, x = 3 + 4 * cos(a), y = -2 + 4 * sin(a);
        sum += (x * 4 * cos(a) + y * 4 * sin(a)) * d / 2;
    }
    ck_assert_double_eq_tol(sg_segment_area(&s), sum, 1e-8);
}
END_TEST

START_TEST(the_other_way_round_all_turns_its_sign)
{
    struct sg_segment s = arc(3, -2, 4, 1.1, 2.7), back = sg_segment_reversed(&s);
    double sx, sy, ex, ey, bsx, bsy, bex, bey;
    sg_segment_tangents(&s, &sx, &sy, &ex, &ey);
    sg_segment_tangents(&back, &bsx, &bsy, &bex, &bey);
    ck_assert_double_eq_tol(bsx, -ex, 1e-14);
    ck_assert_double_eq_tol(bsy, -ey, 1e-14);
    ck_assert_double_eq_tol(bex, -sx, 1e-14);
    ck_assert_double_eq_tol(bey, -sy, 1e-14);
    ck_assert_double_eq_tol(sg_segment_area(&back), -sg_segment_area(&s), 1e-12);
    ck_assert_double_eq_tol(sg_segment_length(&back), sg_segment_length(&s), 1e-12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("path");
    TCase *tests = tcase_create("path");
    tcase_add_test(tests, a_line_of_3_and_4_is_5_long);
    tcase_add_test(tests, a_segment_without_length_has_no_tangent);
    tcase_add_test(tests, an_arc_is_radius_times_angle_long);
    tcase_add_test(tests, the_tangents_of_an_arc_stand_on_its_radii);
    tcase_add_test(tests, the_box_of_an_arc_reaches_to_its_tangent_points);
    tcase_add_test(tests, the_box_of_any_arc_is_that_of_its_points);
    tcase_add_test(tests, the_area_of_a_circle_and_of_its_halves);
    tcase_add_test(tests, the_area_of_an_arc_is_its_integral);
    tcase_add_test(tests, the_other_way_round_all_turns_its_sign);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
