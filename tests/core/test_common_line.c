/* Common lines: closed forms of grids, and every pair of sides looked at. */
#include "sandglass/common_line.h"

#include "support/drawing.h"
#include "support/random.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

enum { PIECES = 400 };

static struct sg_placement placements[PIECES];
static struct sg_common_side sides[2 * PIECES];

/* Columns and lines of pieces of 30 x 20 with a gap. */
static int32_t lay_grid(int columns, int lines, double gap)
{
    int32_t n = 0;
    for (int c = 0; c < columns; c++)
        for (int l = 0; l < lines; l++)
            placements[n++] = (struct sg_placement){.x = 5 + c * (30 + gap), .y = 7 + l * (20 + gap)};
    return n;
}

START_TEST(a_grid_spares_its_inner_lines)
{
    const struct sg_layout_part box = {30, 20, 100, true};
    for (int columns = 1; columns < 6; columns++)
        for (int lines = 1; lines < 6; lines++) {
            int32_t n = lay_grid(columns, lines, 1.1);
            double saved = sg_common_lines(&box, placements, n, 1.1, sides);
            /* (columns - 1) lines of 20 mm a piece across, (lines - 1) of 30 mm along */
            ck_assert_double_eq_tol(saved, (columns - 1) * lines * 20 + (lines - 1) * columns * 30, 1e-9);
        }
}
END_TEST

START_TEST(only_sides_a_gap_apart_are_common)
{
    const struct sg_layout_part box = {30, 20, 100, true};
    ck_assert_double_eq(sg_common_lines(&box, placements, lay_grid(3, 3, 2), 1.1, sides), 0);
}
END_TEST

/* The same by looking at every pair. */
static double by_pairs(const struct sg_layout_part *boxes, int32_t n, double gap)
{
    double spared = 0;
    for (int32_t i = 0; i < n; i++)
        for (int32_t k = 0; k < n; k++) {
            const struct sg_placement *a = &placements[i], *b = &placements[k];
            double al = a->turned ? boxes[a->part].width : boxes[a->part].length;
            double aw = a->turned ? boxes[a->part].length : boxes[a->part].width;
            double bl = b->turned ? boxes[b->part].width : boxes[b->part].length;
            double bw = b->turned ? boxes[b->part].length : boxes[b->part].width;
            double across = fmin(a->y + aw, b->y + bw) - fmax(a->y, b->y);
            double along = fmin(a->x + al, b->x + bl) - fmax(a->x, b->x);
            if (fabs(b->x - a->x - al - gap) < 1e-5 && across > 0)
                spared += across;
            if (fabs(b->y - a->y - aw - gap) < 1e-5 && along > 0)
                spared += along;
        }
    return spared;
}

START_TEST(any_sheet_spares_what_its_pairs_of_sides_have_in_common)
{
    static const struct sg_layout_part boxes[] = {{30, 20, 1, true}, {50, 20, 1, true}, {20, 20, 1, true}};
    struct random r = {77};
    double all = 0;
    for (int round = 0; round < 500; round++) {
        int32_t n = 0;
        for (int line = 0; line < 5; line++) {
            double x = 5 + 10 * random_below(&r, 4);
            while (x < 400) {
                struct sg_placement p = {.part = (int32_t)random_below(&r, 3),
                                         .y = 5 + line * 21,
                                         .x = x,
                                         .flipped = random_below(&r, 2)};
                x += boxes[p.part].length + (random_below(&r, 3) ? 1 : 7);
                placements[n++] = p;
            }
        }
        double spared = sg_common_lines(boxes, placements, n, 1, sides);
        ck_assert_double_eq_tol(spared, by_pairs(boxes, n, 1), 1e-9);
        all += spared;
    }
    ck_assert_double_gt(all, 100000);
}
END_TEST

static struct drawing drawing;

static bool is_box(void)
{
    struct sg_outline outline;
    struct sg_error error;
    struct sg_path path = path_of(&drawing);
    const struct sg_outline_how how = {.tolerance = 1e-4};
    ck_assert_int_eq(sg_outline_make(&path, &how, &outline, &error), SG_OK);
    bool box = sg_outline_is_box(&outline);
    sg_outline_free(&outline);
    return box;
}

START_TEST(a_rectangle_with_holes_has_straight_sides_and_others_have_not)
{
    draw_box(&drawing, 3, 4, 30, 20);
    ck_assert(is_box());
    draw(&drawing, circle(15, 12, 4, false));
    ck_assert(is_box());
    draw_box(&drawing, 50, 4, 30, 20); /* two outer contours */
    ck_assert(!is_box());
    drawing.n = 0;
    draw(&drawing, circle(15, 12, 4, false));
    ck_assert(!is_box());
    drawing.n = 0;
    draw_box(&drawing, 3, 4, 30, 20);
    draw(&drawing, line(5, 6, 10, 6)); /* an open cut in it */
    ck_assert(!is_box());
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("common lines");
    TCase *tcase = tcase_create("common lines");
    tcase_add_test(tcase, a_grid_spares_its_inner_lines);
    tcase_add_test(tcase, only_sides_a_gap_apart_are_common);
    tcase_add_test(tcase, any_sheet_spares_what_its_pairs_of_sides_have_in_common);
    tcase_add_test(tcase, a_rectangle_with_holes_has_straight_sides_and_others_have_not);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
