/* Leads that a part program draws: they are cut, and belong to no box, no area and no hole. Figures are plane
 * geometry. */
#include "sandglass/motion.h"

#include "support/drawing.h"
#include "support/suite.h"

#include <string.h>

static struct drawing drawing;
static struct sg_outline outline;
static int64_t runs[8], n_runs;

static void set_up(void)
{
    drawing.n = 0;
    n_runs = 0;
    memset(&outline, 0, sizeof outline);
}

static void tear_down(void)
{
    sg_outline_free(&outline);
}

static void new_run(void)
{
    runs[n_runs++] = drawing.n;
}

static void make(void)
{
    struct sg_path path = path_of(&drawing);
    struct sg_outline_how how = {.tolerance = 0.001, .chained = true, .runs = runs, .n_runs = n_runs};
    struct sg_error error;
    ck_assert_msg(sg_outline_make(&path, &how, &outline, &error) == SG_OK, "%s", error.text);
}

static void expect(double found, double wanted)
{
    ck_assert_msg(fabs(found - wanted) <= 1e-9 * fmax(1, fabs(wanted)), "%.12g, expected %.12g", found,
                  wanted);
}

/* A plate of 100 x 60 with a hole of radius 10 about (50, 30), as a program cuts it: the hole from its
 * centre, the plate from 5 mm beside its lower left corner, out again along x. */
static void draw_plate(void)
{
    new_run();
    draw(&drawing, line(50, 30, 60, 30));
    draw(&drawing, circle(50, 30, 10, true));
    draw(&drawing, line(60, 30, 56, 30));
    new_run();
    draw(&drawing, line(-5, -5, 0, 0));
    draw_box(&drawing, 0, 0, 100, 60);
    draw(&drawing, line(0, 0, -7, 0));
}

START_TEST(a_plate_and_its_hole_are_found_between_their_leads)
{
    draw_plate();
    make();
    ck_assert_int_eq(outline.closed, 2);
    ck_assert_int_eq(outline.open, 0);
    ck_assert_int_eq(outline.n_problems, 0);
    expect(outline.box[0], 0);
    expect(outline.box[1], 0);
    expect(outline.box[2], 100);
    expect(outline.box[3], 60);
    expect(outline.area, 6000 - 100 * pi);
    expect(outline.cut_length, 10 + 20 * pi + 4 + sqrt(50) + 320 + 7);
    ck_assert_int_eq(outline.corners, 4);
    const struct sg_contour *hole = &outline.contours[0], *plate = &outline.contours[1];
    ck_assert(hole->inner && hole->outside == 1 && hole->clockwise && !plate->inner && !plate->clockwise);
    ck_assert_int_eq(hole->lead_in, 1);
    ck_assert_int_eq(hole->lead_out, 1);
    expect(hole->length, 20 * pi);
    expect(plate->length, 320);
}
END_TEST

START_TEST(the_jet_goes_on_and_off_where_the_leads_say)
{
    double x, y, length;
    draw_plate();
    make();
    for (int lead = 0; lead < 9; lead += 4) { /* a lead by rule is for what has none */
        sg_outline_pierce(&outline, 1, lead, &x, &y);
        expect(x, -5);
        expect(y, -5);
        sg_outline_end(&outline, 1, lead, &x, &y);
        expect(x, -7);
        expect(y, 0);
        ck_assert_double_eq(sg_outline_leads(&outline, lead), 0);
        sg_outline_rapid(&outline, lead, 80, 100, 400, &length);
        expect(length, hypot(56 + 5, 30 + 5) + hypot(50 + 7, 30 + 80));
    }
}
END_TEST

START_TEST(the_way_along_it_takes_in_the_leads)
{
    struct sg_motion_limits limits = {.feed = 10, .top = 1e6, .acceleration = 1e12, .deviation = 1};
    struct sg_motion_memory *memory = sg_motion_memory_new();
    struct sg_motion motion;
    draw_plate();
    make();
    ck_assert(sg_motion_outline(&outline, &limits, memory, &motion));
    expect(motion.length, outline.cut_length);
    sg_motion_memory_free(memory);
}
END_TEST

START_TEST(leads_may_be_arcs_and_run_over_the_start)
{
    new_run();
    draw(&drawing, line(-4, -3, -3, -3));
    draw(&drawing, arc(-3, 0, 3, -pi / 2, pi / 2)); /* to (0, 0), upward */
    draw(&drawing, line(0, 0, 0, 40));
    draw(&drawing, line(0, 40, 30, 40));
    draw(&drawing, line(30, 40, 30, 0));
    draw(&drawing, line(30, 0, 0, 0));
    draw(&drawing, line(0, 0, 0, 2)); /* once more along the first side, then off */
    draw(&drawing, line(0, 2, -3, 2));
    make();
    ck_assert_int_eq(outline.closed, 1);
    ck_assert_int_eq(outline.contours[0].lead_in, 2);
    ck_assert_int_eq(outline.contours[0].lead_out, 2);
    expect(outline.area, 1200);
    expect(outline.cut_length, 1 + 1.5 * pi + 140 + 5);
    expect(outline.box[0], 0);
    ck_assert_int_eq(outline.n_problems, 0);
}
END_TEST

START_TEST(a_lead_there_and_back_leaves_the_contour)
{
    new_run();
    draw(&drawing, line(-5, 0, 0, 0));
    draw_box(&drawing, 0, 0, 20, 20);
    draw(&drawing, line(0, 0, -5, 0));
    make();
    ck_assert_int_eq(outline.closed, 1);
    ck_assert_int_eq(outline.contours[0].lead_in, 1);
    expect(outline.area, 400);
    expect(outline.box[0], 0);
}
END_TEST

/* Strokes that are open, or loops that only look like one with leads. */
START_TEST(what_has_no_leads_stays_as_it_is)
{
    static const struct {
        int n;
        double points[9][2];
        int closed;
        double area;
    } cases[] = {
        {5, {{0, 0}, {9, 0}, {9, 9}, {0, 9}, {0, 0}}, 1, 81},
        {4, {{0, 0}, {9, 0}, {9, 9}, {0, 9}}, 0, 0},
        {3, {{0, 0}, {9, 0}, {0, 0}}, 1, 0},                     /* there and back */
        {4, {{-5, 0}, {0, 0}, {9, 0}, {0, 0}}, 0, 0},            /* no area is gone round */
        {5, {{0, 0}, {99, 0}, {99, 3}, {96, 3}, {99, 0}}, 0, 0}, /* a hook on a long cut */
        {8,
         {{0, 0}, {4, 4}, {8, 0}, {8, 8}, {4, 4}, {0, 8}, {0, 4}, {0, 0}},
         1,
         -1}, /* two loops that touch */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        set_up();
        new_run();
        for (int k = 0; k + 1 < cases[i].n; k++)
            draw(&drawing, line(cases[i].points[k][0], cases[i].points[k][1], cases[i].points[k + 1][0],
                                cases[i].points[k + 1][1]));
        make();
        ck_assert_int_eq(outline.contours[0].lead_in + outline.contours[0].lead_out, 0);
        ck_assert_int_eq(outline.closed, cases[i].closed);
        if (cases[i].area >= 0)
            expect(outline.area, cases[i].area);
        expect(outline.contours[0].length, outline.cut_length);
        sg_outline_free(&outline);
    }
    set_up();
}
END_TEST

START_TEST(leads_are_kept_in_the_file)
{
    static unsigned char bytes[4000];
    struct sg_arena arena = {0};
    struct sg_outline back;
    struct sg_error error;
    draw_plate();
    make();
    size_t size = sg_outline_pack(&outline, NULL);
    ck_assert_uint_le(size, sizeof bytes);
    sg_outline_pack(&outline, bytes);
    ck_assert_int_eq(sg_outline_unpack(bytes, size, &arena, &back, &error), SG_OK);
    for (int32_t i = 0; i < 2; i++) {
        ck_assert_int_eq(back.contours[i].lead_in, 1);
        ck_assert_int_eq(back.contours[i].lead_out, 1);
    }
    back.contours[1].lead_out = 2; /* more segments than there are */
    sg_outline_pack(&back, bytes);
    ck_assert_int_eq(sg_outline_unpack(bytes, size, &arena, &back, &error), SG_BAD_DATA);
    sg_arena_free(&arena);
}
END_TEST

int main(void)
{
    TCase *cases = tcase_create("leads");
    tcase_add_checked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, a_plate_and_its_hole_are_found_between_their_leads);
    tcase_add_test(cases, the_jet_goes_on_and_off_where_the_leads_say);
    tcase_add_test(cases, the_way_along_it_takes_in_the_leads);
    tcase_add_test(cases, leads_may_be_arcs_and_run_over_the_start);
    tcase_add_test(cases, a_lead_there_and_back_leaves_the_contour);
    tcase_add_test(cases, what_has_no_leads_stays_as_it_is);
    tcase_add_test(cases, leads_are_kept_in_the_file);
    return run_case("leads of a part program", cases);
}
