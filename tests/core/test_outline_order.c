/* The order in which contours are cut, and the rapid moves between them. */
#include "support/random_outline.h"
#include "support/shop.h"

#include "sandglass/motion.h"

#include <stdlib.h>
#include <string.h>

static struct random r;

static void set_up(void)
{
    r = (struct random){20261205};
}

/* ---- order ---- */

static const struct sg_contour *that_begins_at(const struct sg_outline *o, int64_t first)
{
    for (int32_t i = 0; i < o->n_contours; i++)
        if (o->contours[i].first == first)
            return &o->contours[i];
    ck_abort_msg("the contour of segment %lld is gone", (long long)first);
    return NULL;
}

/* The same contours, each once, and each still in the one that it was in. */
static void ck_same_contours(const struct sg_outline *before, const struct sg_outline *after)
{
    ck_assert_int_eq(before->n_contours, after->n_contours);
    for (int32_t i = 0; i < before->n_contours; i++) {
        const struct sg_contour *was = &before->contours[i], *is = that_begins_at(after, was->first);
        ck_assert(is->n == was->n && is->closed == was->closed && is->inner == was->inner &&
                  is->depth == was->depth && is->corners == was->corners);
        ck_assert(is->length == was->length && is->area == was->area);
        ck_assert((is->outside == SG_UNKNOWN) == (was->outside == SG_UNKNOWN));
        if (was->outside != SG_UNKNOWN)
            ck_assert(after->contours[is->outside].first == before->contours[was->outside].first);
    }
}

static void ck_inner_first(const struct sg_outline *o)
{
    for (int32_t i = 0; i < o->n_contours; i++)
        ck_assert_msg(o->contours[i].outside == SG_UNKNOWN || o->contours[i].outside > i,
                      "contour %d is cut after the one around it", i);
}

START_TEST(inner_contours_are_cut_before_the_outer_one_and_each_once)
{
    int nested = 0;
    for (int i = 0; i < 200; i++) {
        struct sg_outline outline = {0}, before;
        random_outline(&r, &outline);
        size_t segments = (size_t)outline.n_segments * sizeof *outline.segments;
        size_t contours = (size_t)outline.n_contours * sizeof *outline.contours;
        before = outline;
        before.segments = malloc(segments);
        before.contours = malloc(contours);
        memcpy(before.segments, outline.segments, segments);
        memcpy(before.contours, outline.contours, contours);
        ck_assert(sg_outline_arrange(&outline, (int32_t)random_below(&r, 50)));
        ck_same_contours(&before, &outline);
        ck_inner_first(&outline);
        ck_assert(memcmp(before.segments, outline.segments, segments) == 0);
        ck_assert(outline.cut_length == before.cut_length && outline.pierces == before.pierces);
        nested += outline.contours[0].depth > 0;
        free(before.segments);
        free(before.contours);
        sg_outline_free(&outline);
    }
    ck_assert_int_gt(nested, 100);
}
END_TEST

static uint64_t print_of(const struct sg_outline *outline)
{
    size_t size = sg_outline_pack(outline, NULL);
    unsigned char *bytes = malloc(size);
    sg_outline_pack(outline, bytes);
    uint64_t print = sg_outline_print(bytes, size);
    free(bytes);
    return print;
}

START_TEST(the_same_drawing_is_put_into_the_same_order)
{
    for (int i = 0; i < 50; i++) {
        struct sg_outline one = {0}, other = {0};
        struct random again = r;
        random_outline(&r, &one);
        random_outline(&again, &other);
        ck_assert(sg_outline_arrange(&one, 100) && sg_outline_arrange(&other, 100));
        ck_assert_uint_eq(print_of(&one), print_of(&other));
        sg_outline_free(&one);
        sg_outline_free(&other);
    }
}
END_TEST

/* The ways from pierce to pierce, straight. */
static double way(const struct sg_outline *o)
{
    double length = 0, x, y, to_x, to_y;
    for (int32_t i = 0; i + 1 < o->n_contours; i++) {
        sg_outline_pierce(o, i, 0, &x, &y);
        sg_outline_pierce(o, i + 1, 0, &to_x, &to_y);
        length += hypot(to_x - x, to_y - y);
    }
    return length;
}

/* Twenty holes in a row, drawn in an order that goes to and fro. */
START_TEST(holes_in_a_row_are_cut_one_after_another)
{
    static struct drawing drawing;
    struct sg_outline outline = {0};
    drawing.n = 0;
    draw(&drawing, line(210, -5, 210, 5)); /* it begins at its lower right */
    draw(&drawing, line(210, 5, 0, 5));
    draw(&drawing, line(0, 5, 0, -5));
    draw(&drawing, line(0, -5, 210, -5));
    for (int i = 0; i < 20; i++)
        draw(&drawing, circle(10 * (1 + i * 7 % 20), 0, 2, false));
    outline_of(&drawing, &outline);
    ck_assert(way(&outline) > 1000);
    ck_assert(sg_outline_arrange(&outline, 500));
    ck_inner_first(&outline);
    /* The head comes from the left: along the row, and on to where the plate begins. */
    ck_assert_double_eq_tol(way(&outline), 190 + hypot(8, 5), 1e-9);
    sg_outline_free(&outline);
}
END_TEST

/* ---- rapid moves ---- */

/* From rest to rest, in closed form: a trapezoid of speed, or a triangle. */
static double move(double length, double speed, double acceleration)
{
    return length >= speed * speed / acceleration ? length / speed + speed / acceleration
                                                  : 2 * sqrt(length / acceleration);
}

START_TEST(rapid_time_is_that_of_its_moves_each_from_rest_to_rest)
{
    static const double speeds[] = {10, 150, 400}, steps[] = {0, 103, 2000}, leads[] = {0, 2, 6, 40};
    for (int i = 0; i < 36; i++) {
        double v = speeds[i % 3], step = steps[i / 3 % 3], lead = leads[i / 9], length;
        double hole = 60 - fmin(lead, 10), corner = -lead / sqrt(2); /* the hole holds 10 at most */
        double there = hypot(hole - corner, 30 - corner), on = hypot(hole - corner, 30 + step - corner);
        double seconds = sg_outline_rapid(&test_plate, lead, step, v, 500, &length);
        ck_assert_double_eq_tol(length, there + on, 1e-9);
        ck_assert_double_eq_tol(seconds, move(there, v, 500) + move(on, v, 500), 1e-9);
        ck_assert_double_eq_tol(sg_outline_leads(&test_plate, lead), 2 * lead + 2 * fmin(lead, 10), 1e-9);
    }
}
END_TEST

START_TEST(one_contour_has_the_way_to_the_next_piece_only)
{
    static struct drawing drawing;
    struct sg_outline outline = {0};
    double length;
    drawing.n = 0;
    draw(&drawing, circle(50, 30, 10, false));
    outline_of(&drawing, &outline);
    for (int lead = 0; lead < 9; lead += 4) { /* of a closed one, it goes back to its pierce */
        double seconds = sg_outline_rapid(&outline, lead, 77, 100, 400, &length);
        ck_assert_double_eq_tol(length, 77, 1e-12);
        ck_assert_double_eq_tol(seconds, move(77, 100, 400), 1e-12);
    }
    sg_outline_free(&outline);
}
END_TEST

START_TEST(an_open_cut_is_left_where_it_ends_and_has_no_lead)
{
    static struct drawing drawing;
    struct sg_outline outline = {0};
    double length;
    drawing.n = 0;
    draw(&drawing, line(0, 0, 30, 40));
    outline_of(&drawing, &outline);
    double seconds = sg_outline_rapid(&outline, 5, 60, 100, 400, &length);
    ck_assert_double_eq_tol(length, hypot(30, 60 - 40), 1e-12);
    ck_assert_double_eq_tol(seconds, move(hypot(30, 20), 100, 400), 1e-12);
    ck_assert_double_eq(sg_outline_leads(&outline, 5), 0);
    sg_outline_free(&outline);
}
END_TEST

START_TEST(without_contours_there_is_no_move_and_no_order)
{
    struct sg_outline none = {0};
    double length = 7;
    ck_assert_double_eq(sg_outline_rapid(&none, 5, 60, 100, 400, &length), 0);
    ck_assert_double_eq(length, 0);
    ck_assert(sg_outline_arrange(&none, 10));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("order of contours");
    TCase *tests = tcase_create("order of contours");
    tcase_add_checked_fixture(tests, set_up, NULL);
    tcase_add_test(tests, inner_contours_are_cut_before_the_outer_one_and_each_once);
    tcase_add_test(tests, the_same_drawing_is_put_into_the_same_order);
    tcase_add_test(tests, holes_in_a_row_are_cut_one_after_another);
    tcase_add_test(tests, rapid_time_is_that_of_its_moves_each_from_rest_to_rest);
    tcase_add_test(tests, one_contour_has_the_way_to_the_next_piece_only);
    tcase_add_test(tests, an_open_cut_is_left_where_it_ends_and_has_no_lead);
    tcase_add_test(tests, without_contours_there_is_no_move_and_no_order);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
