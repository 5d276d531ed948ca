/* What is found in a drawing by looking at what lies beside what: doubles, crossings, holes. */
#include "support/outlined.h"

#include <string.h>

/* ---- doubles and crossings ---- */

START_TEST(what_lies_on_another_is_told)
{
    static const struct {
        struct sg_segment a, b;
        double x, y;
    } cases[] = {
        {{0, 0, 10, 0, 0, 0, 0, false}, {12, 0, 4, 0, 0, 0, 0, false}, 7, 0},
        {{0, 0, 30, 40, 0, 0, 0, false}, {3, 4, 6, 8, 0, 0, 0, false}, 4.5, 6},
        {{0, 0, 0, 10, 0, 0, 0, false}, {0.00005, 1, 0.00005, 5, 0, 0, 0, false}, 0, 3},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        clear();
        draw(&drawing, cases[i].a);
        draw(&drawing, cases[i].b);
        make();
        ck_assert_int_eq(problems(ANY), 1);
        ck_assert_double_eq_tol(problem(SG_PROBLEM_DOUBLE)->x, cases[i].x, 1e-3);
        ck_assert_double_eq_tol(problem(SG_PROBLEM_DOUBLE)->y, cases[i].y, 1e-3);
    }
}
END_TEST

START_TEST(arcs_on_each_other_are_told_whichever_way_they_run)
{
    for (int way = -1; way <= 1; way += 2) {
        clear();
        draw(&drawing, arc(5, 5, 10, 0.3, 2));
        draw(&drawing, way > 0 ? arc(5, 5, 10, 2.1, 1) : arc(5, 5, 10, 3.1, -1));
        make();
        ck_assert_int_eq(problems(ANY), 1); /* they share the angles 2.1 to 2.3 */
        ck_assert_double_eq_tol(problem(SG_PROBLEM_DOUBLE)->x, 5 + 10 * cos(2.2), 1e-9);
        ck_assert_double_eq_tol(problem(SG_PROBLEM_DOUBLE)->y, 5 + 10 * sin(2.2), 1e-9);
    }
    clear();
    draw(&drawing, arc(5, 5, 10, 0.3, 2));
    draw(&drawing, arc(5, 5, 10, 2.4, 1));
    make();
    ck_assert_int_eq(problems(SG_PROBLEM_DOUBLE), 0);
}
END_TEST

START_TEST(the_same_circle_twice_is_told)
{
    draw(&drawing, circle(5, 5, 10, false));
    draw(&drawing, circle(5, 5, 10, true));
    make();
    ck_assert_int_eq(problems(SG_PROBLEM_DOUBLE), 1);
    ck_assert_int_eq(outline.closed, 2);
}
END_TEST

START_TEST(lines_and_circles_that_cross_are_told_where)
{
    draw(&drawing, circle(0, 0, 5, false));
    draw(&drawing, line(-10, 3, 6, 3)); /* at x = -4 and 4 */
    draw(&drawing, circle(20, 0, 13, false));
    draw(&drawing, circle(41, 0, 20, false)); /* 13, 20, 21: at x = 20 + 5, y = 12 and -12 */
    make();
    ck_assert_int_eq(problems(ANY), 4);
    double sum_x = 0, sum_y = 0;
    for (int i = 0; i < outline.n_problems; i++) {
        ck_assert_int_eq(outline.problems[i].kind, SG_PROBLEM_CROSSING);
        sum_x += fabs(outline.problems[i].x);
        sum_y += fabs(outline.problems[i].y);
    }
    ck_assert_double_eq_tol(sum_x, 4 + 4 + 25 + 25, 1e-9);
    ck_assert_double_eq_tol(sum_y, 3 + 3 + 12 + 12, 1e-9);
}
END_TEST

START_TEST(a_touch_is_no_crossing)
{
    draw_box(&drawing, 0, 0, 10, 10);
    draw(&drawing, line(5, 0, 5, -5));       /* ends on a line */
    draw(&drawing, circle(15, 5, 5, false)); /* tangent to it */
    draw(&drawing, circle(25, 5, 5, false)); /* tangent to the circle */
    draw(&drawing, line(0, 15, 5, 10));      /* a roof that touches with its tip from above */
    draw(&drawing, line(5, 10, 10, 15));
    make();
    ck_assert_int_eq(problems(SG_PROBLEM_CROSSING), 0);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

START_TEST(a_joint_that_passes_through_a_line_is_a_crossing)
{
    draw(&drawing, line(0, 0, 10, 0));
    draw(&drawing, line(4, 5, 5, 0));
    draw(&drawing, line(5, 0, 7, -5));
    make();
    ck_assert_int_eq(problems(ANY), 1);
    ck_assert_double_eq(problem(SG_PROBLEM_CROSSING)->x, 5);
}
END_TEST

START_TEST(rounded_coordinates_of_a_tangent_joint_are_no_crossing)
{
    struct sg_segment round = arc(0, 100, 100, -pi / 2, 1);
    round.x0 = 0;
    round.y0 = 0;
    round.cy -= 0.002; /* the circle dips below the line */
    draw(&drawing, line(-50, 0, 0, 0));
    draw(&drawing, round);
    make();
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

START_TEST(a_contour_that_crosses_itself_is_told)
{
    draw(&drawing, line(0, 0, 10, 10));
    draw(&drawing, line(10, 10, 10, 0));
    draw(&drawing, line(10, 0, 0, 10));
    draw(&drawing, line(0, 10, 0, 0));
    make();
    ck_assert_int_eq(outline.closed, 1);
    ck_assert_int_eq(problems(ANY), 1);
    ck_assert_double_eq_tol(problem(SG_PROBLEM_CROSSING)->x, 5, 1e-12);
}
END_TEST

static double side_of(const struct sg_segment *s, double x, double y)
{
    return (s->x1 - s->x0) * (y - s->y0) - (s->y1 - s->y0) * (x - s->x0);
}

static bool plainly_cross(const struct sg_segment *a, const struct sg_segment *b)
{
    return side_of(a, b->x0, b->y0) * side_of(a, b->x1, b->y1) < 0 &&
           side_of(b, a->x0, a->y0) * side_of(b, a->x1, a->y1) < 0;
}

/* Against each pair of lines, looked at one by one. */
START_TEST(of_many_lines_every_crossing_is_counted_once)
{
    struct random random = {0x123456789abcdefu};
    for (int round = 0; round < 30; round++) {
        double reach = round % 3 == 0 ? 300 : round % 3 == 1 ? 10 : 0.5;
        int64_t pairs = 0;
        clear();
        for (int i = 0; i < 400; i++) {
            double x = 200 * random_unit(&random), y = 100 * random_unit(&random);
            draw(&drawing, line(x, y, x + reach * (random_unit(&random) - 0.5),
                                y + reach * (random_unit(&random) - 0.5)));
        }
        for (int i = 0; i < 400; i++)
            for (int k = i + 1; k < 400; k++)
                pairs += plainly_cross(&drawing.segments[i], &drawing.segments[k]);
        make_within(0);
        ck_assert_int_eq(problems(SG_PROBLEM_CROSSING), pairs);
        ck_assert_int_eq(problems(SG_PROBLEM_TANGLED), 0);
    }
}
END_TEST

START_TEST(a_tangle_too_thick_to_look_through_is_told_instead)
{
    for (int i = 0; i < 8000; i++) {
        double a = pi * i / 8000;
        draw(&drawing, line(-50 * cos(a), -50 * sin(a), 50 * cos(a), 50 * sin(a)));
    }
    make();
    ck_assert_int_eq(problems(SG_PROBLEM_TANGLED), 1);
    ck_assert_int_eq(problems(SG_PROBLEM_CROSSING), 0);
    ck_assert_int_eq(outline.open, 8000);
}
END_TEST

START_TEST(one_point_far_away_does_not_hide_what_crosses)
{
    for (int i = 0; i < 3000; i++)
        draw_box(&drawing, i % 60 * 3, i / 60 * 3, 2, 2);
    draw(&drawing, line(9e8, 9e8, 9e8 + 5, 9e8));
    draw(&drawing, line(0.5, 1, 1.5, 1));
    draw(&drawing, line(1, 0.5, 1, 1.5));
    make();
    ck_assert_int_eq(problems(ANY), 1);
    ck_assert_double_eq(problem(SG_PROBLEM_CROSSING)->x, 1);
}
END_TEST

/* ---- nesting ---- */

START_TEST(rings_in_rings_are_holes_at_every_second_depth)
{
    double area = 0;
    for (int i = 0; i < 9; i++) {
        draw(&drawing, circle(0.1 * i, 0, 1 + i, i % 2 == 0));
        area += (i % 2 == 0 ? 1 : -1) * pi * (1 + i) * (1 + i);
    }
    make();
    for (int i = 0; i < 9; i++) {
        ck_assert_int_eq(outline.contours[i].depth, 8 - i);
        ck_assert_int_eq(outline.contours[i].outside, i == 8 ? -1 : i + 1);
        ck_assert_int_eq(outline.contours[i].inner, i % 2);
    }
    ck_assert_double_eq_tol(outline.area, area, 1e-9);
}
END_TEST

START_TEST(a_plate_full_of_holes_in_line_knows_them_all)
{
    for (int i = 0; i < 900; i++)
        draw(&drawing, circle(i % 30 * 10, i / 30 * 10, 4, i % 2));
    for (int i = 0; i < 900; i++)
        draw_box(&drawing, i % 30 * 10 - 1, i / 30 * 10 - 1, 2, 2);
    draw_box(&drawing, -5, -5, 300, 300);
    shuffle(77);
    make();
    int holes = 0, slugs = 0, outer = 0;
    for (int i = 0; i < outline.n_contours; i++) {
        holes += outline.contours[i].depth == 1 && outline.contours[i].inner;
        slugs += outline.contours[i].depth == 2 && !outline.contours[i].inner;
        outer += outline.contours[i].depth == 0;
    }
    ck_assert_int_eq(holes, 900);
    ck_assert_int_eq(slugs, 900);
    ck_assert_int_eq(outer, 1);
    ck_assert_double_eq_tol(outline.area, 90000 - 900 * (16 * pi - 4), 1e-6);
    ck_assert_int_eq(problems(ANY), 0);
}
END_TEST

struct disc {
    double x, y, r;
};

static bool apart(const struct disc *a, const struct disc *b)
{
    double d = hypot(a->x - b->x, a->y - b->y);
    return d > a->r + b->r + 0.01 || d < fabs(a->r - b->r) - 0.01;
}

/* The circle in some arcs or as a polygon inside of it that still holds all within 0.9 of it. */
static void draw_disc(struct random *random, const struct disc *d)
{
    unsigned n = 1 + random_below(random, 4);
    double from = 7 * random_unit(random);
    if (n == 1)
        draw(&drawing, circle(d->x, d->y, d->r, random_below(random, 2)));
    for (unsigned i = 0; n > 1 && i < n; i++)
        draw(&drawing, arc(d->x, d->y, d->r, from + 2 * pi * i / n, 2 * pi / n));
}

/* Discs that do not touch: what lies in what is known from their centres. */
START_TEST(of_random_discs_every_depth_is_right)
{
    struct random random = {0xfeedbeefu};
    static struct disc discs[300];
    for (int round = 0; round < 60; round++) {
        int n = 0;
        clear();
        for (int tries = 0; tries < 3000 && n < 300; tries++) {
            double r = 50 * pow(random_unit(&random), 3) + 0.05;
            struct disc d = {floor(200 * random_unit(&random)), floor(200 * random_unit(&random)), r};
            bool free = true;
            for (int i = 0; i < n && free; i++)
                free = apart(&discs[i], &d);
            if (free)
                discs[n++] = d;
        }
        for (int i = 0; i < n; i++)
            draw_disc(&random, &discs[i]);
        shuffle(7 + (uint64_t)round);
        make();
        ck_assert_int_eq(outline.n_contours, n);
        ck_assert_int_eq(problems(ANY), 0);
        int64_t depths = 0, found = 0;
        double area = 0;
        for (int i = 0; i < n; i++) {
            int depth = 0;
            for (int k = 0; k < n; k++)
                depth += discs[k].r > discs[i].r &&
                         hypot(discs[k].x - discs[i].x, discs[k].y - discs[i].y) < discs[k].r;
            depths += depth * depth;
            area += (depth % 2 ? -1 : 1) * pi * discs[i].r * discs[i].r;
            found += outline.contours[i].depth * outline.contours[i].depth;
        }
        ck_assert_int_eq(found, depths);
        ck_assert_double_eq_tol(outline.area, area, 1e-7);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outline_look");
    TCase *tests = tcase_create("outline_look");
    tcase_add_checked_fixture(tests, clear, drop);
    tcase_add_test(tests, what_lies_on_another_is_told);
    tcase_add_test(tests, arcs_on_each_other_are_told_whichever_way_they_run);
    tcase_add_test(tests, the_same_circle_twice_is_told);
    tcase_add_test(tests, lines_and_circles_that_cross_are_told_where);
    tcase_add_test(tests, a_touch_is_no_crossing);
    tcase_add_test(tests, a_joint_that_passes_through_a_line_is_a_crossing);
    tcase_add_test(tests, rounded_coordinates_of_a_tangent_joint_are_no_crossing);
    tcase_add_test(tests, a_contour_that_crosses_itself_is_told);
    tcase_add_test(tests, of_many_lines_every_crossing_is_counted_once);
    tcase_add_test(tests, a_tangle_too_thick_to_look_through_is_told_instead);
    tcase_add_test(tests, one_point_far_away_does_not_hide_what_crosses);
    tcase_add_test(tests, rings_in_rings_are_holes_at_every_second_depth);
    tcase_add_test(tests, a_plate_full_of_holes_in_line_knows_them_all);
    tcase_add_test(tests, of_random_discs_every_depth_is_right);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
