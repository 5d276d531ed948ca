/* Layouts by true shape whose fewest sheets can be told by hand, and why. Every one is looked over by
 * support/nest_check.c. */
#include "sandglass/nest.h"

#include "support/drawing.h"
#include "support/must.h"
#include "support/nest_check.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

enum { PARTS = 4 };

static struct sg_nest *memory; /* kept from call to call, as a planner does */
static struct sg_layout layout;
static struct sg_outline outlines[PARTS];
static struct sg_nest_gain gain;

static struct {
    struct sg_layout_part parts[PARTS];
    struct sg_layout_sheet sheets[2];
    struct sg_layout_clamp clamp;
    const struct sg_outline *outlines[PARTS];
    struct sg_nest_input input;
} job;

/* ---- a job ---- */

static void begin(double length, double width, double gap, double margin)
{
    memset(&job, 0, sizeof job);
    job.sheets[0] = (struct sg_layout_sheet){length, width, -1};
    job.input = (struct sg_nest_input){.boxes = {.parts = job.parts,
                                                 .sheets = job.sheets,
                                                 .n_sheets = 1,
                                                 .clamps = &job.clamp,
                                                 .gap = gap,
                                                 .margin = margin},
                                       .outlines = job.outlines};
}

/* A part with the outline of a drawing. */
static void add_part(struct sg_segment *segments, int64_t n, int64_t quantity, bool turns)
{
    int i = job.input.boxes.n_parts++;
    struct sg_path path = {segments, n};
    struct sg_outline_how how = {.tolerance = 1e-4};
    struct sg_error error = {.text = ""};
    sg_outline_free(&outlines[i]);
    ck_assert_msg(sg_outline_make(&path, &how, &outlines[i], &error) == SG_OK, "%s", error.text);
    const double *box = outlines[i].box;
    job.outlines[i] = &outlines[i];
    job.parts[i] = (struct sg_layout_part){box[2] - box[0], box[3] - box[1], quantity, turns};
}

/* Straight from point to point: x, y, x, y ... */
static void add_polygon(const double *xy, int n, int64_t quantity, bool turns)
{
    struct sg_segment segments[64];
    for (int i = 0; i < n; i++) {
        int next = (i + 1) % n;
        segments[i] = line(xy[2 * i], xy[2 * i + 1], xy[2 * next], xy[2 * next + 1]);
    }
    add_part(segments, n, quantity, turns);
}
#define POLYGON(quantity, turns, ...)                                                                        \
    add_polygon((const double[]){__VA_ARGS__}, sizeof((const double[]){__VA_ARGS__}) / sizeof(double) / 2,   \
                quantity, turns)

static void add_ring(double outer, double inner, int64_t quantity)
{
    struct sg_segment segments[] = {circle(0, 0, outer, false), circle(0, 0, inner, false)};
    add_part(segments, inner > 0 ? 2 : 1, quantity, true);
}

static void lay_out(const char *name)
{
    ck_assert(sg_nest_make(&job.input, &memory, &layout, &gain));
    ck_nest(&job.input, &layout, gain.interlocked, name);
    ck_assert_int_eq(layout.unplaced, 0);
}

/* As many sheets as boxes take, and as many as true shapes do. */
static void ck_counts(const char *name, int boxes, int shapes)
{
    const struct sg_outline *const *known = job.input.outlines;
    job.input.outlines = NULL;
    lay_out(name);
    ck_assert(!gain.interlocked);
    ck_assert_msg(layout.sheets == boxes, "%s: boxes take %d sheets", name, (int)layout.sheets);
    job.input.outlines = known;
    lay_out(name);
    ck_assert(gain.interlocked);
    ck_assert_int_eq(gain.sheets_of_boxes, boxes);
    ck_assert_msg(layout.sheets == shapes, "%s: %d sheets, %d are known to do", name, (int)layout.sheets,
                  shapes);
    ck_assert_int_le(layout.lower_bound, shapes);
}

/* ---- the five ---- */

/* 100 triangles of 4,000 mm2 on sheets of 200,000 mm2: two sheets are the least by area. Boxes: 5 x 5. */
START_TEST(right_triangles_in_pairs_take_half_the_sheets_of_boxes)
{
    for (int turns = 0; turns < 2; turns++) {
        begin(500, 400, 0, 0);
        POLYGON(100, turns, 0, 0, 100, 0, 0, 80);
        ck_counts("triangles", 4, 2);
        ck_assert_int_eq(layout.lower_bound, 2);
        ck_assert_double_eq_tol(layout.utilisation, 1, 1e-9);
    }
}
END_TEST

/* With a gap of 4 a pair is 4 x sqrt(100^2 + 80^2) / 80 = 6.403 longer than a triangle: five of 106.404 and
 * four gaps are 548.02. The bound with the gap is 2. */
START_TEST(right_triangles_with_a_gap_and_a_margin)
{
    begin(548.03 + 20, 416 + 20, 4, 10);
    POLYGON(100, false, 0, 0, 100, 0, 0, 80);
    ck_counts("triangles, gap", 4, 2);
    ck_assert_int_eq(layout.lower_bound, 2);
}
END_TEST

/* Three squares of an L are 7,500 mm2, a sheet is 60,000: eight fill it, and 24 three sheets. Boxes: six. */
START_TEST(an_l_and_its_twin)
{
    begin(300, 200, 0, 0);
    POLYGON(24, false, 0, 0, 100, 0, 100, 50, 50, 50, 50, 100, 0, 100);
    ck_counts("L", 4, 3);
    ck_assert_int_eq(layout.lower_bound, 3);
    begin(295 + 6, 195 + 6, 5, 3); /* the same with a gap of 5 taken from the pieces */
    POLYGON(24, false, 0, 0, 95, 0, 95, 45, 45, 45, 45, 95, 0, 95);
    ck_counts("L, gap", 4, 3);
    ck_assert_int_eq(layout.lower_bound, 3);
}
END_TEST

/* No more than six rings on a sheet: their centres lie in 210 x 105 and at least 105 from each other, and of
 * its six parts of 70 x 52.5, 87.5 across, each holds one at most. So twelve take two sheets, with nothing
 * else. Boxes: the discs take another, twelve of them 4 x 3. */
START_TEST(rings_take_discs_in_their_holes)
{
    begin(310, 205, 5, 0);
    add_ring(50, 38, 12);
    add_ring(30, 0, 12);
    ck_counts("rings", 3, 2);
}
END_TEST

/* A ring in the hole of a ring, and a disc in the hole of that one; one large ring to a sheet of 126 x 126.
 * Boxes: of 80 and 48 no two lie side by side with the gap of 3, and three discs on one sheet make seven. */
START_TEST(rings_in_rings_take_discs)
{
    begin(130, 130, 3, 2);
    add_ring(60, 45, 3);
    add_ring(40, 28, 3);
    add_ring(24, 0, 3);
    ck_counts("rings in rings", 7, 3);
}
END_TEST

/* Pairs of triangles with a hole each, in which a small one lies the same way: a pair takes 203.2 x 160.
 * Boxes: a large one to a sheet leaves room for none, and four small ones lie on one of their own. */
START_TEST(holes_are_filled_in_pieces_that_interlock)
{
    begin(204, 160, 2, 0);
    struct sg_segment plate[] = {line(0, 0, 200, 0),   line(200, 0, 0, 160), line(0, 160, 0, 0),
                                 line(20, 20, 90, 20), line(90, 20, 20, 76), line(20, 76, 20, 20)};
    add_part(plate, 6, 4, false);
    POLYGON(4, false, 0, 0, 60, 0, 0, 48);
    ck_counts("filled triangles", 5, 2);
}
END_TEST

/* A C of eleven squares of 50, 5 x 3 with a mouth of 4; ten of them are 275,000 mm2, five sheets of 6 x 4
 * squares 300,000, four 240,000. Two on a sheet have to lie in each other: boxes take one sheet each. */
START_TEST(c_shapes_that_nest)
{
    begin(300, 200, 0, 0);
    POLYGON(10, true, 0, 0, 250, 0, 250, 50, 50, 50, 50, 100, 250, 100, 250, 150, 0, 150);
    ck_counts("C", 10, 5);
    ck_assert_int_eq(layout.lower_bound, 5);
    begin(300 - 4, 200 - 4, 4, 0);
    POLYGON(10, false, 0, 0, 246, 0, 246, 46, 46, 46, 46, 100, 246, 100, 246, 146, 0, 146);
    ck_counts("C, gap", 10, 5);
}
END_TEST

/* Head to tail six are 6 x 90 + 30 long. 24 of 7,200 mm2 are 172,800, three sheets 136,800. Boxes: four. */
START_TEST(trapezoids_head_to_tail)
{
    for (int turns = 0; turns < 2; turns++) {
        begin(570, 80, 0, 0);
        POLYGON(24, turns, 0, 0, 120, 0, 90, 80, 30, 80);
        ck_counts("trapezoids", 6, 4);
        ck_assert_int_eq(layout.lower_bound, 4);
    }
}
END_TEST

/* ---- what a layout must keep to ---- */

/* Two rows of six; by area 24 take two sheets. */
START_TEST(pieces_that_may_not_be_turned_are_flipped_only)
{
    begin(570, 160, 0, 0);
    POLYGON(24, false, 0, 0, 120, 0, 90, 80, 30, 80);
    lay_out("grain");
    ck_assert(gain.interlocked);
    ck_assert_int_eq(layout.sheets, 2);
    int flipped = 0;
    for (int64_t i = 0; i < layout.n_placements; i++) {
        ck_assert(!layout.placements[i].turned);
        flipped += layout.placements[i].flipped;
    }
    ck_assert_int_gt(flipped, 0);
}
END_TEST

/* A disc that may be turned lies in a ring that may not; a plate with a grain lies in a ring without one only
 * where the ring is not turned, so never. */
START_TEST(grain_holds_in_holes_too)
{
    begin(310, 205, 5, 0);
    add_ring(50, 38, 12);
    add_ring(30, 0, 12);
    job.parts[1].turn = false;
    lay_out("grain in the hole");
    ck_assert_int_eq(layout.sheets, 3);
    job.parts[0].turn = false;
    lay_out("grain in both");
    ck_assert_int_eq(layout.sheets, 2);
}
END_TEST

/* Sheets without a clamp take six trapezoids, with one in the corner that leaves 480 five: 5 x 90 + 30. */
START_TEST(clamps_are_kept_free)
{
    begin(570, 80, 0, 0);
    POLYGON(24, false, 0, 0, 120, 0, 90, 80, 30, 80);
    job.input.boxes.n_clamps = 1;
    job.clamp = (struct sg_layout_clamp){0, 0, 80, 30};
    lay_out("clamp");
    ck_assert(gain.interlocked);
    ck_assert_int_le(layout.lower_bound, layout.sheets);
    ck_assert_int_eq(layout.sheets, 5);
}
END_TEST

/* Where the grain is across there is no turning by halves in it yet: boxes. */
START_TEST(nothing_interlocks_where_the_grain_is_across)
{
    begin(80, 570, 0, 0);
    POLYGON(24, false, 0, 0, 120, 0, 90, 80, 30, 80);
    job.input.boxes.across = true;
    lay_out("across");
    ck_assert(!gain.interlocked);
    ck_assert_int_eq(layout.sheets, 6); /* four boxes of 120 a sheet */
    ck_assert_int_eq(gain.sheets_of_boxes, 6);
}
END_TEST

START_TEST(few_sheets_on_hand_take_more_pieces)
{
    begin(570, 80, 0, 0);
    POLYGON(24, false, 0, 0, 120, 0, 90, 80, 30, 80);
    job.sheets[0].count = 3;
    ck_assert(sg_nest_make(&job.input, &memory, &layout, &gain));
    ck_nest(&job.input, &layout, gain.interlocked, "few");
    ck_assert(gain.interlocked);
    ck_assert_int_eq(layout.unplaced, 6); /* three of six; boxes: three of four */
}
END_TEST

START_TEST(many_equal_sheets_are_told_once)
{
    begin(570, 80, 0, 0);
    POLYGON(600003, false, 0, 0, 120, 0, 90, 80, 30, 80);
    lay_out("many");
    ck_assert_int_eq(layout.sheets, 100001);
    ck_assert_int_le(layout.n_used, 4);
}
END_TEST

/* ---- what may come in ---- */

/* Whether it is laid out as its box is: no better, and sound. */
static void ck_as_box(const char *name)
{
    lay_out(name);
    ck_assert_msg(!gain.interlocked, "%s interlocks", name);
}

START_TEST(what_is_no_single_outline_counts_as_its_box)
{
    begin(500, 400, 0, 0);
    POLYGON(100, true, 0, 0, 100, 80, 100, 0, 0, 80); /* crosses itself in its middle */
    ck_as_box("a bow tie");
    begin(500, 400, 0, 0);
    POLYGON(100, true, 0, 0, 100, 0, 50, 40, 100, 80, 0, 80, 50, 40); /* touches itself there */
    ck_as_box("an hourglass");
    begin(500, 400, 0, 0);
    struct sg_segment open[] = {line(0, 0, 100, 0), line(100, 0, 0, 80)};
    add_part(open, 2, 100, true);
    ck_as_box("an open path");
    begin(500, 400, 0, 0);
    struct sg_segment two[] = {line(0, 0, 100, 0), line(100, 0, 0, 80), line(0, 80, 0, 0),
                               circle(90, 70, 10, false)};
    add_part(two, 4, 100, true);
    ck_as_box("two outer contours");
    begin(500, 400, 0, 0);
    POLYGON(100, true, 0, 0, 100, 0, 0, 80);
    job.parts[0].length = 101; /* typed, and not what is drawn */
    ck_as_box("another size");
}
END_TEST

START_TEST(outlines_without_area_take_no_harm)
{
    begin(500, 400, 2, 0);
    POLYGON(100, true, 0, 0, 100, 80, 50, 40);
    ck_as_box("there and back");
    begin(500, 400, 2, 0);
    POLYGON(3, true, 0, 0, 0.01, 0, 0, 0.01);
    POLYGON(50, true, 0, 0, 100, 0, 100, 1e-5, 0, 80);
    lay_out("a needle's corner");
}
END_TEST

START_TEST(a_gap_larger_than_the_hole_leaves_it_empty)
{
    begin(310, 205, 40, 0);
    add_ring(50, 38, 6);
    add_ring(30, 0, 6);
    lay_out("gap of 40");
    begin(400, 400, 100, 0);
    add_ring(50, 38, 6);
    POLYGON(6, true, 0, 0, 20, 0, 0, 20);
    lay_out("gap of 100");
}
END_TEST

START_TEST(nothing_wanted_or_nothing_to_lay_it_on)
{
    begin(500, 400, 0, 0);
    lay_out("no parts");
    POLYGON(0, true, 0, 0, 100, 0, 0, 80);
    lay_out("none wanted");
    ck_assert_int_eq(layout.sheets, 0);
    begin(90, 70, 0, 0);
    POLYGON(5, true, 0, 0, 100, 0, 0, 80);
    lay_out("too large");
    ck_assert_int_eq(layout.too_large, 0);
    job.input.boxes.n_sheets = 0;
    lay_out("no sheets");
}
END_TEST

/* A right triangle whose longest side is 700 chords of a wave, every second one a little off it: what is
 * simplified keeps the gap, which the checker asks of the chords. Boxes: six to a sheet. */
START_TEST(long_curves_of_short_chords_interlock)
{
    enum { N = 700 };
    static struct sg_segment segments[N + 2];
    double x = 100, y = 0;
    begin(340, 180, 3, 2);
    segments[0] = line(0, 80, 0, 0);
    segments[1] = line(0, 0, 100, 0);
    for (int i = 1; i <= N; i++) {
        double t = (double)i / N, off = i < N ? 1.5 * sin(20 * t) * t * (1 - t) + 0.004 * (i % 2) : 0;
        double to_x = 100 - 100 * t - 0.62 * off, to_y = 80 * t - 0.78 * off;
        segments[i + 1] = line(x, y, to_x, to_y);
        x = to_x;
        y = to_y;
    }
    segments[N + 1].x1 = 0;
    segments[N + 1].y1 = 80;
    add_part(segments, N + 2, 12, true);
    ck_counts("wave", 2, 1);
}
END_TEST

static void free_all(void)
{
    sg_layout_free(&layout);
    sg_nest_free(memory);
    memory = NULL;
    for (int i = 0; i < PARTS; i++)
        sg_outline_free(&outlines[i]);
}

int main(void)
{
    Suite *suite = suite_create("nest");
    TCase *nests = tcase_create("nests");
    tcase_add_checked_fixture(nests, NULL, free_all);
    tcase_add_test(nests, right_triangles_in_pairs_take_half_the_sheets_of_boxes);
    tcase_add_test(nests, right_triangles_with_a_gap_and_a_margin);
    tcase_add_test(nests, an_l_and_its_twin);
    tcase_add_test(nests, rings_take_discs_in_their_holes);
    tcase_add_test(nests, rings_in_rings_take_discs);
    tcase_add_test(nests, holes_are_filled_in_pieces_that_interlock);
    tcase_add_test(nests, c_shapes_that_nest);
    tcase_add_test(nests, trapezoids_head_to_tail);
    tcase_add_test(nests, pieces_that_may_not_be_turned_are_flipped_only);
    tcase_add_test(nests, grain_holds_in_holes_too);
    tcase_add_test(nests, clamps_are_kept_free);
    tcase_add_test(nests, nothing_interlocks_where_the_grain_is_across);
    tcase_add_test(nests, few_sheets_on_hand_take_more_pieces);
    tcase_add_test(nests, many_equal_sheets_are_told_once);
    tcase_add_test(nests, what_is_no_single_outline_counts_as_its_box);
    tcase_add_test(nests, outlines_without_area_take_no_harm);
    tcase_add_test(nests, a_gap_larger_than_the_hole_leaves_it_empty);
    tcase_add_test(nests, nothing_wanted_or_nothing_to_lay_it_on);
    tcase_add_test(nests, long_curves_of_short_chords_interlock);
    suite_add_tcase(suite, nests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
