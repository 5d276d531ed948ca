/* The order of cutting on one sheet: by hand, and what must hold of any. */
#include "sandglass/cut_order.h"

#include "support/must.h"
#include "support/random.h"

#include <check.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 60 };

static struct sg_cut_key keys[2 * MOST];
static struct sg_placement scratch[MOST];

static void order(const struct sg_cut_order *how, struct sg_placement *placements, int32_t n)
{
    sg_cut_order(how, placements, n, keys, scratch);
}

static void expect_at(const struct sg_placement *p, int32_t part, double x, double y)
{
    ck_assert_int_eq(p->part, part);
    ck_assert_msg(p->x == x && p->y == y, "part %d at %g, %g, expected at %g, %g", part, p->x, p->y, x, y);
}

/* ---- by hand ---- */

START_TEST(columns_of_a_part_are_cut_up_and_down_in_turn)
{
    const struct sg_layout_part box = {100, 50, 6, false};
    const struct sg_cut_order how = {.parts = &box, .margin = 5, .table_length = 1000, .slat_pitch = 20};
    struct sg_placement p[6];
    for (int i = 0; i < 6; i++) /* given row by row: 3 columns, 2 rows */
        p[i] = (struct sg_placement){.x = 5 + 110 * (i % 3), .y = 5 + 60 * (i / 3)};
    order(&how, p, 6);
    static const double expected[6][2] = {{5, 5}, {5, 65}, {115, 65}, {115, 5}, {225, 5}, {225, 65}};
    for (int i = 0; i < 6; i++)
        expect_at(&p[i], 0, expected[i][0], expected[i][1]);
}
END_TEST

START_TEST(index_moves_are_counted_to_the_far_edge_and_the_margin)
{
    /* On a table of 1000 mm with a margin of 10: a piece of 100 mm that ends at 990 is reached at once, one
     * that ends at 991 after a move, one that ends at 1991 after two. */
    const struct sg_layout_part box = {100, 50, 9, true};
    const struct sg_cut_order how = {.parts = &box, .margin = 10, .table_length = 1000};
    ck_assert_int_eq(sg_placement_moves(&how, &(struct sg_placement){.x = 890}), 0);
    ck_assert_int_eq(sg_placement_moves(&how, &(struct sg_placement){.x = 891}), 1);
    ck_assert_int_eq(sg_placement_moves(&how, &(struct sg_placement){.x = 1891}), 2);
    ck_assert_int_eq(sg_placement_moves(&how, &(struct sg_placement){.x = 940, .turned = true}), 0);
    ck_assert_int_eq(sg_placement_moves(&how, &(struct sg_placement){.x = 941, .turned = true}), 1);
}
END_TEST

START_TEST(a_piece_on_the_line_of_an_index_move_crosses_it)
{
    const struct sg_layout_part box = {100, 50, 9, false};
    const struct sg_cut_order how = {.parts = &box, .margin = 10, .table_length = 1000};
    ck_assert(!sg_placement_crosses(&how, &(struct sg_placement){.x = 700}));  /* ends at 800 */
    ck_assert(sg_placement_crosses(&how, &(struct sg_placement){.x = 950}));   /* 950 to 1050 */
    ck_assert(!sg_placement_crosses(&how, &(struct sg_placement){.x = 1000})); /* begins on the line */
    ck_assert(sg_placement_crosses(&how, &(struct sg_placement){.x = 1950}));
}
END_TEST

START_TEST(what_lies_beyond_the_table_comes_later_and_what_may_tip_comes_first)
{
    /* Part 0 is 400 x 300, part 1 is 60 x 40: narrower than the slats' pitch of 100 both ways. On a table of
     * 1000 mm the third and fourth piece need one index move. */
    const struct sg_layout_part boxes[] = {{400, 300, 2, false}, {60, 40, 2, false}};
    const struct sg_cut_order how = {.parts = boxes, .margin = 10, .table_length = 1000, .slat_pitch = 100};
    struct sg_placement p[] = {{.part = 0, .x = 1200, .y = 10},
                               {.part = 0, .x = 10, .y = 10},
                               {.part = 1, .x = 1700, .y = 10},
                               {.part = 1, .x = 500, .y = 10}};
    order(&how, p, 4);
    expect_at(&p[0], 1, 500, 10);
    expect_at(&p[1], 0, 10, 10);
    expect_at(&p[2], 1, 1700, 10);
    expect_at(&p[3], 0, 1200, 10);
}
END_TEST

START_TEST(what_lies_in_a_hole_is_cut_before_it)
{
    /* A ring, listed first, a disc in its hole, and a smaller one in the hole of that. */
    const struct sg_layout_part boxes[] = {{300, 300, 1, false}, {200, 200, 1, false}, {120, 120, 1, false}};
    const struct sg_cut_order how = {
        .parts = boxes, .margin = 10, .table_length = 1000, .slat_pitch = 50, .interlocked = true};
    struct sg_placement p[] = {
        {.part = 0, .x = 10, .y = 10}, {.part = 1, .x = 60, .y = 60}, {.part = 2, .x = 100, .y = 100}};
    order(&how, p, 3);
    expect_at(&p[0], 2, 100, 100);
    expect_at(&p[1], 1, 60, 60);
    expect_at(&p[2], 0, 10, 10);
}
END_TEST

/* ---- at random ---- */

/* The rule of the index line by trying one move more at a time. */
static int32_t moves_by_trying(double far, double table)
{
    int32_t moves = 0;
    while ((double)(moves + 1) * table < far * (1 - 1e-12))
        moves++;
    return moves;
}

static double far_edge(const struct sg_cut_order *how, const struct sg_placement *p)
{
    const struct sg_layout_part *box = &how->parts[p->part];
    return p->x + (p->turned ? box->width : box->length) + how->margin;
}

static bool tips(const struct sg_cut_order *how, const struct sg_placement *p)
{
    const struct sg_layout_part *box = &how->parts[p->part];
    return box->length < how->slat_pitch && box->width < how->slat_pitch;
}

static int32_t times_in(const struct sg_placement *p, int32_t n, const struct sg_placement *wanted)
{
    int32_t times = 0;
    for (int32_t i = 0; i < n; i++)
        times += p[i].part == wanted->part && p[i].x == wanted->x && p[i].y == wanted->y &&
                 p[i].turned == wanted->turned;
    return times;
}

static void check(const struct sg_cut_order *how, const struct sg_placement *before,
                  const struct sg_placement *after, int32_t n)
{
    for (int32_t i = 0; i < n; i++) {
        int32_t moves = moves_by_trying(far_edge(how, &after[i]), how->table_length);
        must_hold(times_in(after, n, &before[i]) == times_in(before, n, &before[i]));
        must_hold(moves == sg_placement_moves(how, &after[i]));
        if (i == 0)
            continue;
        int32_t last = moves_by_trying(far_edge(how, &after[i - 1]), how->table_length);
        must_hold(last <= moves);
        must_hold(last < moves || tips(how, &after[i - 1]) || !tips(how, &after[i]));
    }
}

START_TEST(any_order_is_one_of_all_pieces_that_never_moves_the_sheet_back)
{
    struct random r = {20261126};
    int moved = 0;
    for (int round = 0; round < 2000; round++) {
        struct sg_layout_part boxes[4];
        struct sg_placement before[MOST] = {{0}}, after[MOST];
        int32_t n = (int32_t)random_below(&r, MOST + 1);
        struct sg_cut_order how = {.parts = boxes,
                                   .margin = random_below(&r, 20),
                                   .table_length = 500 + random_below(&r, 1500),
                                   .slat_pitch = random_below(&r, 200),
                                   .interlocked = random_below(&r, 2)};
        for (int i = 0; i < 4; i++)
            boxes[i] =
                (struct sg_layout_part){10 + random_below(&r, 300), 10 + random_below(&r, 300), 1, true};
        for (int32_t i = 0; i < n; i++)
            before[i] = (struct sg_placement){.part = (int32_t)random_below(&r, 4),
                                              .turned = random_below(&r, 2),
                                              .x = random_below(&r, 3000),
                                              .y = random_below(&r, 30) * 50.0};
        memcpy(after, before, sizeof after);
        order(&how, after, n);
        check(&how, before, after, n);
        moved += n > 0 && sg_placement_moves(&how, &after[n - 1]) > 0;
    }
    ck_assert_int_gt(moved, 1000);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cut order");
    TCase *tcase = tcase_create("cut order");
    tcase_add_test(tcase, columns_of_a_part_are_cut_up_and_down_in_turn);
    tcase_add_test(tcase, index_moves_are_counted_to_the_far_edge_and_the_margin);
    tcase_add_test(tcase, a_piece_on_the_line_of_an_index_move_crosses_it);
    tcase_add_test(tcase, what_lies_beyond_the_table_comes_later_and_what_may_tip_comes_first);
    tcase_add_test(tcase, what_lies_in_a_hole_is_cut_before_it);
    tcase_add_test(tcase, any_order_is_one_of_all_pieces_that_never_moves_the_sheet_back);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
