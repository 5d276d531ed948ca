/* Layouts whose fewest sheets are published or can be told by hand. Every one is looked over by
 * support/layout_check.c. */
#include "sandglass/layout.h"

#include "support/layout_check.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 128 };

static const double inch = 25.4;
static struct sg_layout layout; /* kept from call to call, as a planner does */

static void lay_out(const struct sg_layout_input *input, const char *name)
{
    ck_assert(sg_layout_make(input, &layout));
    ck_layout(input, &layout, name);
}

/* One size of sheets, as many as it takes. */
static void lay_parts(const struct sg_layout_part *parts, int n, double length, double width, double gap,
                      double margin)
{
    struct sg_layout_sheet sheet = {length, width, -1};
    struct sg_layout_input input = {
        .parts = parts, .n_parts = n, .sheets = &sheet, .n_sheets = 1, .gap = gap, .margin = margin};
    lay_out(&input, "parts");
}

/* ---- published instances ---- */

struct row {
    char file[40], proven_fixed[4], proven_turning[4];
    double length, width;
    int pieces, area_bound, best_fixed, best_turning;
};

static int read_pieces(const char *file, bool turn, struct sg_layout_part *parts, int *pieces)
{
    char path[512], line[100];
    int n = 0, length, width, quantity;
    snprintf(path, sizeof path, FIXTURES "/checks/layout/%s", file);
    FILE *in = fopen(path, "r");
    ck_assert_msg(in && fgets(line, sizeof line, in), "%s", path);
    for (*pieces = 0; fgets(line, sizeof line, in); n++) {
        ck_assert_msg(n < MOST && sscanf(line, "%d,%d,%d", &length, &width, &quantity) == 3, "%s: %s", file,
                      line);
        parts[n] = (struct sg_layout_part){length, width, quantity, turn};
        *pieces += quantity;
    }
    fclose(in);
    return n;
}

static void ck_row(const struct row *row, bool turn)
{
    struct sg_layout_part parts[MOST];
    struct sg_layout_sheet sheet = {row->length, row->width, -1};
    struct sg_layout_input input = {.parts = parts, .sheets = &sheet, .n_sheets = 1};
    int pieces, best = turn ? row->best_turning : row->best_fixed;
    input.n_parts = read_pieces(row->file, turn, parts, &pieces);
    ck_assert_int_eq(pieces, row->pieces);
    for (int effort = 0; effort <= 1000; effort += 1000) {
        input.effort = effort;
        lay_out(&input, row->file);
        ck_assert_msg(layout.lower_bound >= row->area_bound && layout.lower_bound <= best,
                      "%s: bound %d, best known %d", row->file, (int)layout.lower_bound, best);
        ck_assert_msg(layout.sheets <= best + 1 && layout.sheets >= layout.lower_bound,
                      "%s: %d sheets, best known %d", row->file, (int)layout.sheets, best);
        bool proven = (turn ? row->proven_turning : row->proven_fixed)[0] == 'y';
        ck_assert_msg(!proven || layout.sheets >= best, "%s: %d sheets, proven are %d", row->file,
                      (int)layout.sheets, best);
        ck_assert_int_eq(layout.unplaced, 0);
        ck_assert_int_eq(layout.too_large, -1);
    }
}

START_TEST(published_instances_take_one_sheet_more_than_the_best_known_at_most)
{
    char line[300];
    int rows = 0;
    FILE *in = fopen(FIXTURES "/checks/layout.csv", "r");
    ck_assert(in && fgets(line, sizeof line, in));
    for (; fgets(line, sizeof line, in); rows++) {
        struct row row;
        ck_assert_int_eq(sscanf(line, "%39[^,],%lf,%lf,%d,%d,%d,%3[a-z],%d,%3[a-z]", row.file, &row.length,
                                &row.width, &row.pieces, &row.area_bound, &row.best_fixed, row.proven_fixed,
                                &row.best_turning, row.proven_turning),
                         9);
        ck_row(&row, false);
        ck_row(&row, true);
    }
    fclose(in);
    ck_assert_int_eq(rows, 15);
}
END_TEST

/* Bounds by complete families of the same functions, computed once; ours has to be as good. */
START_TEST(in_the_published_classes_the_best_known_is_found_and_the_bound_is_close)
{
    static const struct {
        int side, sheets[2], bound[2]; /* fixed, turning */
    } classes[] = {{10, {8, 7}, {8, 7}},  {30, {1, 1}, {1, 1}},  {40, {6, 5}, {5, 5}},
                   {100, {1, 1}, {1, 1}}, {100, {8, 7}, {7, 7}}, {300, {1, 1}, {1, 1}},
                   {100, {5, 5}, {5, 5}}, {100, {6, 6}, {6, 5}}, {100, {19, 19}, {19, 19}},
                   {100, {6, 6}, {6, 6}}};
    for (int class = 0; class < 10; class ++)
        for (int turn = 0; turn < 2; turn++) {
            struct sg_layout_part parts[MOST];
            struct sg_layout_sheet sheet = {classes[class].side, classes[class].side, -1};
            char file[40];
            snprintf(file, sizeof file, "cl%02d_020_01.csv", class + 1);
            int pieces, n = read_pieces(file, turn, parts, &pieces);
            struct sg_layout_input input = {
                .parts = parts, .n_parts = n, .sheets = &sheet, .n_sheets = 1, .effort = 1000};
            lay_out(&input, file);
            ck_assert_msg(layout.sheets == classes[class].sheets[turn], "%s%s: %d sheets", file,
                          turn ? " turning" : "", (int)layout.sheets);
            ck_assert_msg(layout.lower_bound >= classes[class].bound[turn], "%s%s: bound %d", file,
                          turn ? " turning" : "", (int)layout.lower_bound);
        }
}
END_TEST

/* ---- what fits exactly fits ---- */

START_TEST(ten_pieces_of_9_9_16_in_lie_in_95_5_8_in)
{
    struct sg_layout_part part = {9.5625 * inch, 4 * inch, 10, false};
    lay_parts(&part, 1, 95.625 * inch, 4 * inch, 0, 0);
    ck_assert_int_eq(layout.sheets, 1);
    ck_assert_int_eq(layout.lower_bound, 1);
    ck_assert_double_eq_tol(layout.utilisation, 1, 1e-12);
    ck_assert_double_eq(layout.used[0].drop_length, 0);
    for (int i = 0; i < 10; i++)
        ck_assert_double_eq_tol(layout.placements[i].x, i * 9.5625 * inch, 1e-9);
}
END_TEST

START_TEST(gap_and_margin_are_kept_to_the_last_unit)
{
    static const struct {
        double unit; /* mm */
    } units[] = {{0.001}, {0.0254}, {inch / 64}};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        for (int k = 1; k < 400; k += 7) { /* k units of everything */
            double u = units[i].unit * k, sheet = 2 * 3 * u + 4 * 11 * u + 3 * 2 * u;
            struct sg_layout_part part = {11 * u, 7 * u, 4, false};
            lay_parts(&part, 1, sheet, 13 * u, 2 * u, 3 * u);
            ck_assert_int_eq(layout.sheets, 1);
            lay_parts(&part, 1, sheet - SG_LAYOUT_UNIT, 13 * u, 2 * u, 3 * u);
            ck_assert_int_eq(layout.sheets, 2);
        }
}
END_TEST

START_TEST(the_gap_lies_between_pieces_and_not_around_them)
{
    struct sg_layout_part part = {100, 50, 2, false};
    lay_parts(&part, 1, 210, 50, 10, 0);
    ck_assert_int_eq(layout.sheets, 1);
    lay_parts(&part, 1, 209.999, 50, 10, 0);
    ck_assert_int_eq(layout.sheets, 2);
}
END_TEST

/* ---- turning ---- */

START_TEST(a_piece_is_turned_only_where_it_may_be)
{
    struct sg_layout_part part = {50, 100, 1, true};
    lay_parts(&part, 1, 100, 50, 0, 0);
    ck_assert_int_eq(layout.sheets, 1);
    ck_assert(layout.placements[0].turned);
    part.turn = false;
    lay_parts(&part, 1, 100, 50, 0, 0);
    ck_assert_int_eq(layout.sheets, 0);
    ck_assert_int_eq(layout.too_large, 0);
}
END_TEST

/* Five 2 x 1 fill a sheet of 5 x 2 only when one of them is turned. */
START_TEST(turning_saves_a_sheet)
{
    struct sg_layout_part part = {2, 1, 5, true};
    lay_parts(&part, 1, 5, 2, 0, 0);
    ck_assert_int_eq(layout.sheets, 1);
    part.turn = false;
    lay_parts(&part, 1, 5, 2, 0, 0);
    ck_assert_int_eq(layout.sheets, 2);
    ck_assert_int_eq(layout.lower_bound, 2); /* the bound knows: 2.5 of 2 fit in a row */
}
END_TEST

/* ---- many equal pieces ---- */

START_TEST(sheets_filled_alike_are_made_once)
{
    struct sg_layout_part part = {100, 100, 1000003, false};
    lay_parts(&part, 1, 1000, 500, 0, 0);
    ck_assert_int_eq(layout.sheets, 20001);
    ck_assert_int_eq(layout.lower_bound, 20001);
    ck_assert_int_eq(layout.n_used, 2);
    ck_assert_int_eq(layout.used[0].copies, 20000);
    ck_assert_int_eq(layout.used[0].n_pieces, 50);
    ck_assert_int_eq(layout.used[1].n_pieces, 3);
    ck_assert_int_eq(layout.n_placements, 53);
}
END_TEST

START_TEST(forty_thousand_pieces_of_thirty_parts)
{
    struct sg_layout_part parts[30];
    for (int i = 0; i < 30; i++)
        parts[i] = (struct sg_layout_part){40 + 37 * i % 450, 30 + 53 * i % 300, 1300 + i, i % 3 != 0};
    lay_parts(parts, 30, 96 * inch, 48 * inch, 0.25 * inch, 0.25 * inch);
    ck_assert_int_eq(layout.unplaced, 0);
    ck_assert_int_lt(layout.n_used, 300);
    ck_assert_int_le(layout.sheets, layout.lower_bound + layout.lower_bound / 10);
}
END_TEST

/* ---- sizes on hand ---- */

START_TEST(remnants_come_first_in_the_order_given)
{
    struct sg_layout_part part = {100, 100, 30, false};
    struct sg_layout_sheet sheets[] = {{250, 150, 2}, {90, 1000, 5}, {300, 100, 1}, {500, 200, -1}};
    struct sg_layout_input input = {.parts = &part, .n_parts = 1, .sheets = sheets, .n_sheets = 4};
    lay_out(&input, "remnants");
    ck_assert_int_eq(layout.n_used, 4); /* 2 x 2, none on the second, 3, and 23 = 2 x 10 + 3 */
    ck_assert_int_eq(layout.used[0].size, 0);
    ck_assert_int_eq(layout.used[0].copies, 2);
    ck_assert_int_eq(layout.used[0].n_pieces, 2);
    ck_assert_int_eq(layout.used[1].size, 2);
    ck_assert_int_eq(layout.used[2].size, 3);
    ck_assert_int_eq(layout.used[2].copies, 2);
    ck_assert_int_eq(layout.used[3].n_pieces, 3);
    ck_assert_int_eq(layout.sheets, 6);
}
END_TEST

START_TEST(pieces_without_a_sheet_are_counted)
{
    struct sg_layout_part parts[] = {{100, 100, 12, false}, {40, 40, 3, false}};
    struct sg_layout_sheet sheet = {500, 100, 2};
    struct sg_layout_input input = {
        .parts = parts, .n_parts = 2, .sheets = &sheet, .n_sheets = 1, .effort = 50};
    lay_out(&input, "short");
    ck_assert_int_eq(layout.sheets, 2);
    ck_assert_int_eq(layout.lower_bound, 3);
    ck_assert_int_le(layout.unplaced, 5); /* ten large ones can lie, or nine and three small ones */
    ck_assert_int_gt(layout.unplaced, 0);
    sheet.count = 0;
    lay_out(&input, "none");
    ck_assert_int_eq(layout.sheets, 0);
    ck_assert_int_eq(layout.unplaced, 15);
}
END_TEST

START_TEST(a_part_too_large_is_named_and_the_others_are_laid_out)
{
    struct sg_layout_part parts[] = {
        {10, 10, 3, true}, {101, 10, 0, true}, {50, 101, 2, true}, {20, 120, 1, true}};
    lay_parts(parts, 4, 100, 100, 0, 0);
    ck_assert_int_eq(layout.too_large, 2); /* of the one before it none is wanted */
    ck_assert_int_eq(layout.sheets, 1);
    ck_assert_int_eq(layout.n_placements, 3);
    ck_assert_int_eq(layout.unplaced, 0);
    lay_parts(parts, 1, 100, 100, 0, 46);
    ck_assert_int_eq(layout.too_large, 0); /* the margin takes it all */
    lay_parts(parts, 1, 100, 100, 0, 60);
    ck_assert_int_eq(layout.too_large, 0);
    lay_parts(parts, 1, 100, 100, 0, 45);
    ck_assert_int_eq(layout.sheets, 3);
}
END_TEST

START_TEST(nothing_wanted_takes_no_sheet)
{
    struct sg_layout_part part = {10, 10, 0, true};
    struct sg_layout_input input = {.n_parts = 0};
    lay_out(&input, "nothing at all");
    ck_assert_int_eq(layout.sheets + layout.lower_bound + layout.unplaced, 0);
    lay_parts(&part, 1, 100, 100, 0, 0);
    ck_assert_int_eq(layout.sheets + layout.lower_bound + layout.unplaced, 0);
    ck_assert_double_eq(layout.utilisation, 0);
}
END_TEST

/* ---- clamps and drops ---- */

START_TEST(clamps_are_kept_free_on_every_sheet)
{
    struct sg_layout_part part = {100, 100, 18, false};
    struct sg_layout_clamp clamps[] = {{150, 0, 20, 60}, {0, 270, 5, 30}};
    struct sg_layout_sheet sheet = {320, 300, -1};
    struct sg_layout_input input = {
        .parts = &part, .n_parts = 1, .sheets = &sheet, .n_sheets = 1, .clamps = clamps, .n_clamps = 2};
    lay_out(&input, "clamps");
    ck_assert_int_eq(layout.sheets, 3); /* eight on each, without them nine */
    input.n_clamps = 0;
    lay_out(&input, "no clamps");
    ck_assert_int_eq(layout.sheets, 2);
}
END_TEST

/* Two pieces of 100 with a gap of 10 between them leave room for a clamp of up to 10 between them. */
START_TEST(a_narrow_clamp_fits_into_the_gap)
{
    struct sg_layout_part part = {100, 50, 2, false};
    struct sg_layout_clamp clamp = {102, 0, 4, 50};
    struct sg_layout_sheet sheet = {210, 50, -1};
    struct sg_layout_input input = {.parts = &part,
                                    .n_parts = 1,
                                    .sheets = &sheet,
                                    .n_sheets = 1,
                                    .clamps = &clamp,
                                    .n_clamps = 1,
                                    .gap = 10};
    lay_out(&input, "in the gap");
    ck_assert_int_eq(layout.sheets, 1);
    clamp.x = 107;
    lay_out(&input, "not in the gap");
    ck_assert_int_eq(layout.sheets, 2);
}
END_TEST

START_TEST(the_largest_rectangle_left_over_keeps_gap_and_margin)
{
    struct sg_layout_part part = {100, 80, 1, false};
    lay_parts(&part, 1, 320, 100, 6, 10);
    const struct sg_layout_used *used = &layout.used[0];
    ck_assert_double_eq_tol(used->drop_x, 116, 1e-9);
    ck_assert_double_eq_tol(used->drop_y, 10, 1e-9);
    ck_assert_double_eq_tol(used->drop_length, 194, 1e-9);
    ck_assert_double_eq_tol(used->drop_width, 80, 1e-9);
}
END_TEST

/* Of pieces that lie elsewhere than a layout has them: the right half, behind them, and not what they cover.
 */
START_TEST(what_is_left_over_is_found_where_pieces_lie)
{
    struct sg_layout_part part = {100, 80, 1, true};
    struct sg_layout_sheet sheet = {320, 100, -1};
    struct sg_layout_clamp clamp = {300, 0, 20, 40};
    struct sg_layout_input input = {.parts = &part,
                                    .n_parts = 1,
                                    .sheets = &sheet,
                                    .n_sheets = 1,
                                    .clamps = &clamp,
                                    .n_clamps = 1,
                                    .gap = 6};
    struct sg_placement placement = {.part = 0, .turned = true, .x = 20, .y = 0};
    struct sg_layout_used used = {.copies = 1, .n_pieces = 1, .drop_x = 1, .drop_length = 1000};
    ck_assert(sg_layout_drop(&input, &placement, &used, &layout));
    ck_assert_double_eq_tol(used.drop_x, 106, 1e-9); /* 194 x 100 before the clamp, more than 214 x 60 */
    ck_assert_double_eq_tol(used.drop_y, 0, 1e-9);
    ck_assert_double_eq_tol(used.drop_length, 194, 1e-9);
    ck_assert_double_eq_tol(used.drop_width, 100, 1e-9);
    used.n_pieces = 0;
    ck_assert(sg_layout_drop(&input, &placement, &used, &layout));
    ck_assert_double_eq_tol(used.drop_length, 300, 1e-9);
}
END_TEST

/* 150 x 40 on 200 x 100: two lie along it; with the grain across 100 x 200, turned, in the same places. */
START_TEST(a_grain_across_turns_all_pieces)
{
    struct sg_layout_part part = {150, 40, 4, false};
    struct sg_layout_sheet sheet = {100, 200, -1};
    struct sg_layout_input input = {
        .parts = &part, .n_parts = 1, .sheets = &sheet, .n_sheets = 1, .across = true};
    lay_out(&input, "across");
    ck_assert_int_eq(layout.sheets, 2);
    ck_assert_int_eq(layout.lower_bound, 2);
    for (int64_t i = 0; i < layout.n_placements; i++)
        ck_assert(layout.placements[i].turned);
    input.across = false;
    lay_out(&input, "along");
    ck_assert_int_eq(layout.too_large, 0);
}
END_TEST

/* ---- the same answer every time ---- */

static void same(const struct sg_layout *a, const struct sg_layout *b)
{
    ck_assert_int_eq(a->sheets, b->sheets);
    ck_assert_int_eq(a->looks, b->looks);
    ck_assert_int_eq(a->n_placements, b->n_placements);
    for (int64_t i = 0; i < a->n_placements; i++) {
        ck_assert_int_eq(a->placements[i].part, b->placements[i].part);
        ck_assert_int_eq(a->placements[i].turned, b->placements[i].turned);
        ck_assert(a->placements[i].x == b->placements[i].x && a->placements[i].y == b->placements[i].y);
    }
}

START_TEST(what_was_laid_out_before_changes_nothing)
{
    struct sg_layout_part parts[MOST];
    struct sg_layout_sheet sheet = {100, 100, -1};
    struct sg_layout fresh = {0};
    int pieces;
    struct sg_layout_input input = {.parts = parts, .sheets = &sheet, .n_sheets = 1, .effort = 100};
    input.n_parts = read_pieces("cl07_020_01.csv", true, parts, &pieces);
    lay_out(&input, "before");
    input.n_parts = read_pieces("cl05_020_01.csv", false, parts, &pieces);
    lay_out(&input, "kept memory");
    ck_assert(sg_layout_make(&input, &fresh));
    same(&fresh, &layout);
    sg_layout_free(&fresh);
}
END_TEST

static void free_layout(void)
{
    sg_layout_free(&layout);
}

int main(void)
{
    Suite *suite = suite_create("layout");
    TCase *layouts = tcase_create("layouts");
    tcase_add_checked_fixture(layouts, NULL, free_layout);
    tcase_add_test(layouts, published_instances_take_one_sheet_more_than_the_best_known_at_most);
    tcase_add_test(layouts, in_the_published_classes_the_best_known_is_found_and_the_bound_is_close);
    tcase_add_test(layouts, ten_pieces_of_9_9_16_in_lie_in_95_5_8_in);
    tcase_add_test(layouts, gap_and_margin_are_kept_to_the_last_unit);
    tcase_add_test(layouts, the_gap_lies_between_pieces_and_not_around_them);
    tcase_add_test(layouts, a_piece_is_turned_only_where_it_may_be);
    tcase_add_test(layouts, turning_saves_a_sheet);
    tcase_add_test(layouts, sheets_filled_alike_are_made_once);
    tcase_add_test(layouts, forty_thousand_pieces_of_thirty_parts);
    tcase_add_test(layouts, remnants_come_first_in_the_order_given);
    tcase_add_test(layouts, pieces_without_a_sheet_are_counted);
    tcase_add_test(layouts, a_part_too_large_is_named_and_the_others_are_laid_out);
    tcase_add_test(layouts, nothing_wanted_takes_no_sheet);
    tcase_add_test(layouts, clamps_are_kept_free_on_every_sheet);
    tcase_add_test(layouts, a_narrow_clamp_fits_into_the_gap);
    tcase_add_test(layouts, the_largest_rectangle_left_over_keeps_gap_and_margin);
    tcase_add_test(layouts, what_is_left_over_is_found_where_pieces_lie);
    tcase_add_test(layouts, a_grain_across_turns_all_pieces);
    tcase_add_test(layouts, what_was_laid_out_before_changes_nothing);
    suite_add_tcase(suite, layouts);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
