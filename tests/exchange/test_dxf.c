#include "drawings.h"

/* ---- text of a drawing ---- */

/* A file of ENTITIES alone: codes and values with a slash between them. */
static const char *entities(const char *pairs)
{
    static char text[20000];
    int n = snprintf(text, sizeof text, "0\nSECTION\n2\nENTITIES\n%s/0/ENDSEC/0/EOF/", pairs);
    ck_assert_int_lt(n, (int)sizeof text);
    for (char *at = strchr(text, '/'); at; at = strchr(at, '/'))
        *at = '\n';
    return text;
}

static const char *whole(const char *pairs)
{
    static char text[20000];
    int n = snprintf(text, sizeof text, "%s/", pairs);
    ck_assert_int_lt(n, (int)sizeof text);
    for (char *at = strchr(text, '/'); at; at = strchr(at, '/'))
        *at = '\n';
    return text;
}

static void read_entities(const char *pairs, struct sg_drawing *drawing)
{
    read_good("x.dxf", entities(pairs), &as_it_is, drawing);
}

static void expect_refused(const char *pairs, const char *sentence)
{
    expect_refusal("x.dxf", entities(pairs), &as_it_is, sentence);
}

/* ---- entities ---- */

static const char *const notes_out[] = {"nOTES"};
static const struct sg_drawing_how without_notes = {.layers_out = notes_out, .n_layers_out = 1};

/* A plate of 100 x 60 with corners of radius 10 and a hole of radius 12.5; a line of 100 on layer Notes. */
START_TEST(lines_arcs_and_circles)
{
    struct sg_drawing drawing;
    read_fixture("plate.dxf", &as_it_is, &drawing);
    ck_assert_int_eq(drawing.kind, SG_DRAWING_DXF);
    ck_assert_int_eq(drawing.path.n, 10);
    ck_assert_int_eq(drawing.arcs, 5);
    ck_assert_int_eq(drawing.others, 5); /* TEXT, MTEXT, POINT, DIMENSION, HATCH */
    ck_assert_int_eq(drawing.left_out, 0);
    ck_assert_ptr_null(drawing.runs);
    ck_assert_double_nan(drawing.rapid_length);
    ck_assert_str_eq(drawing.unit, "mm");
    ck_assert_int_eq(drawing.unit_from, SG_UNIT_FROM_HEADER);
    expect_near(length_of(&drawing), 240 + 20 * pi + 25 * pi + 100, 1e-14);
    expect_near(drawing.smallest_radius, 10, 1e-14);
    expect_box(&drawing, 0, -10, 100, 60);
    ck_assert_str_eq(problems_of(&drawing), "0: layer \"Notes\" is off or frozen, its 1 segments were taken: "
                                            "leave it out if it is no cut\n");
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(layers_are_left_out_whatever_the_case)
{
    struct sg_drawing drawing;
    read_fixture("plate.dxf", &without_notes, &drawing);
    expect_near(length_of(&drawing), 240 + 45 * pi, 1e-14);
    expect_near(area_of(&drawing), 6000 - (4 - pi) * 100 + pi * 156.25, 1e-14); /* both counter-clockwise */
    expect_box(&drawing, 0, 0, 100, 60);
    ck_assert_int_eq(drawing.n_problems, 0);
    ck_assert_int_eq(drawing.n_layers, 4);
    ck_assert_str_eq(drawing.layers[2].name, "Notes");
    ck_assert(drawing.layers[2].left_out && drawing.layers[2].off && drawing.layers[2].segments == 0);
    ck_assert(!drawing.layers[1].left_out && !drawing.layers[1].off && drawing.layers[1].segments == 9);
    ck_assert(drawing.layers[3].off);
    sg_drawing_free(&drawing);

    static const char *const none[] = {"Engraving"};
    static const struct sg_drawing_how how = {.layers_out = none, .n_layers_out = 1};
    read_good("x", entities("0/LINE/8/1/11/5"), &how, &drawing);
    ck_assert_str_eq(problems_of(&drawing), "0: there is no layer \"Engraving\" to leave out\n");
    sg_drawing_free(&drawing);
}
END_TEST

/* Quarter circles of radius 10 by bulge, to the left and to the right. Then a polyline in a mirrored plane
 * with an arc of bulge 0.5 over a chord of 40: radius 40 (1 + 0.25) / 2, angle 4 atan 0.5. */
START_TEST(polylines_with_bulges)
{
    struct sg_drawing drawing;
    read_fixture("bulges.dxf", &as_it_is, &drawing);
    ck_assert_int_eq(drawing.path.n, 6); /* the vertex that stands twice is no piece */
    expect_near(length_of(&drawing), 10 * pi + 30 + 25 * 4 * atan(0.5) + 30 + 40, 1e-13);
    expect_near(drawing.smallest_radius, 10, 1e-13);
    expect_box(&drawing, -40, 0, 20, 40);
    ck_assert_double_eq_tol(drawing.path.segments[0].sweep, pi / 2, 1e-14);
    ck_assert_double_eq_tol(drawing.path.segments[1].sweep, -pi / 2, 1e-14);
    ck_assert_double_eq_tol(drawing.path.segments[3].sweep, -4 * atan(0.5), 1e-14); /* mirrored */
    sg_drawing_free(&drawing);
    /* A bulge of nearly nothing is a line; of nearly infinite an arc of nearly a turn. */
    read_entities("0/LWPOLYLINE/10/0/20/0/42/1e-300/10/1/20/0/42/-1000/10/2/20/0", &drawing);
    ck_assert(!sg_is_arc(&drawing.path.segments[0]));
    ck_assert_double_eq_tol(drawing.path.segments[1].sweep, -4 * atan(1000.0), 1e-14);
    expect_near(drawing.smallest_radius, (1 + 1e6) / 4e3, 1e-12);
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(r12_without_marks)
{
    struct sg_drawing drawing;
    read_fixture("r12.dxf", &as_it_is, &drawing);
    ck_assert_int_eq(drawing.unit_from, SG_UNIT_ASSUMED);
    /* A slot of 40 x 20, an open way of 5 and 6, a fitted curve without the points of its frame. */
    expect_near(length_of(&drawing), 80 + 20 * pi + 11 + 20, 1e-14);
    expect_box(&drawing, -10, 0, 70, 40);
    ck_assert_int_eq(drawing.left_out, 1);
    ck_assert_str_eq(problems_of(&drawing),
                     "198: POLYLINE of a surface is not read and was left out: turn it "
                     "into lines, arcs or splines\n");
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(ellipses_within_their_promise)
{
    struct sg_drawing drawing;
    read_fixture("ellipses.dxf", &as_it_is, &drawing);
    double small = ellipse_perimeter(20, 5);
    expect_near(length_of(&drawing), ellipse_perimeter(50, 25) + small / 2 + 16 * pi + small / 2, 2e-7);
    ck_assert_int_eq(drawing.curves, 4);
    ck_assert_int_eq(drawing.arcs, 0);
    ck_assert_double_nan(drawing.smallest_radius); /* an ellipse has none, one of equal axes either */
    /* Of the turned one: half a side is hypot(u, v) in x and in y. The last one is the right half. */
    expect_box(&drawing, 5 - hypot(40, 15), 7 - hypot(30, 20), 420, 7 + hypot(30, 20));
    sg_drawing_free(&drawing);
    read_entities("0/ELLIPSE/10/0/20/0/11/3/21/4/40/0.2", &drawing);
    expect_near(length_of(&drawing), ellipse_perimeter(5, 1), 2e-7);
    expect_near(area_of(&drawing), 5 * pi, 1e-6);
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(an_ellipse_is_arcs_that_meet_without_corners)
{
    struct sg_drawing drawing;
    read_entities("0/ELLIPSE/10/7/20/0/11/100/21/0/40/0.01", &drawing);
    ck_assert_int_gt(drawing.path.n, 8);
    ck_assert_int_lt(drawing.path.n, 400);
    for (int64_t i = 0; i < drawing.path.n; i++) {
        const struct sg_segment *s = &drawing.path.segments[i],
                                *next = &drawing.path.segments[(i + 1) % drawing.path.n];
        double t[8];
        sg_segment_tangents(s, &t[0], &t[1], &t[2], &t[3]);
        sg_segment_tangents(next, &t[4], &t[5], &t[6], &t[7]);
        ck_assert_double_lt(hypot(s->x1 - next->x0, s->y1 - next->y0), 1e-9);
        ck_assert_double_lt(hypot(t[2] - t[4], t[3] - t[5]), 0.02); /* radians: about one degree */
    }
    sg_drawing_free(&drawing);
}
END_TEST

/* A quarter circle of radius 50 and a whole one of radius 20 by weights; a parabola, whose length is
 * (s hypot(100, s) + 100^2 asinh(s / 100)) / 400 at s = 200; degrees 1, 3 and 5 that are straight. */
START_TEST(splines_within_their_promise)
{
    struct sg_drawing drawing;
    read_fixture("splines.dxf", &as_it_is, &drawing);
    double parabola = (200 * hypot(100, 200) + 1e4 * asinh(2)) / 400;
    expect_near(length_of(&drawing), 25 * pi + parabola + 11 + 30 + 40 * pi + 50, 2e-7);
    expect_box(&drawing, 0, -20, 220, 50);
    ck_assert_int_eq(drawing.left_out, 1);
    ck_assert_str_eq(problems_of(&drawing),
                     "428: SPLINE has fit points and was left out: save it with its control points\n");
    sg_drawing_free(&drawing);
}
END_TEST

/* Two spans with an inner knot are the same curve as the two Bezier pieces that they are made of: a uniform
 * quadratic has its joint in the middle of the inner leg. */
START_TEST(a_spline_is_its_bezier_pieces)
{
    struct sg_drawing one, two;
    read_entities(
        "0/SPLINE/71/2/40/0/40/0/40/0/40/1/40/2/40/2/40/2/10/0/20/0/10/10/20/20/10/30/20/20/10/40/20/0",
        &one);
    read_entities("0/SPLINE/71/2/40/0/40/0/40/0/40/1/40/1/40/1/10/0/20/0/10/10/20/20/10/20/20/20/"
                  "0/SPLINE/71/2/40/0/40/0/40/0/40/1/40/1/40/1/10/20/20/20/10/30/20/20/10/40/20/0",
                  &two);
    ck_assert_int_eq(one.path.n, two.path.n);
    for (int64_t i = 0; i < one.path.n; i++) {
        ck_assert_double_eq_tol(one.path.segments[i].x1, two.path.segments[i].x1, 1e-9);
        ck_assert_double_eq_tol(one.path.segments[i].y1, two.path.segments[i].y1, 1e-9);
    }
    sg_drawing_free(&one);
    sg_drawing_free(&two);
}
END_TEST

/* ---- blocks ---- */

/* HOLE: a circle of radius 5 and a line of 4 on Notes, base point (1, 1). EAR: a half round bar of 26 + 3 pi
 * and a quarter of radius 2. Scaled by (3, 1) its arcs are halves and quarters of ellipses. */
START_TEST(inserts_are_moved_turned_scaled_mirrored_and_nested)
{
    struct sg_drawing drawing;
    read_fixture("inserts.dxf", &as_it_is, &drawing);
    double hole = 10 * pi + 4, ear = 26 + 4 * pi;
    double stretched = 66 + ellipse_perimeter(9, 3) / 2 + ellipse_perimeter(6, 2) / 4;
    double pair = hole / 2 + ear; /* the ear is doubled in it, then halved */
    expect_near(length_of(&drawing), 6 * hole + ear + stretched + pair, 1e-7);
    expect_near(drawing.smallest_radius, 2, 1e-12);
    ck_assert_int_eq(drawing.left_out, 2);
    sg_drawing_free(&drawing);

    read_fixture("inserts.dxf", &without_notes, &drawing);
    expect_near(length_of(&drawing), 6 * 10 * pi + ear + stretched + 5 * pi + ear, 1e-7);
    /* The array turned by 90 degrees: columns go up by 20, rows to the left by 15; base point at (100, 200).
     */
    double box[4] = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (int i = 0; i < 6; i++)
        sg_segment_box(&drawing.path.segments[i], box);
    ck_assert_double_eq_tol(box[0], 100 - 15 - 5, 1e-9);
    ck_assert_double_eq_tol(box[1], 200 - 5, 1e-9);
    ck_assert_double_eq_tol(box[2], 100 + 5, 1e-9);
    ck_assert_double_eq_tol(box[3], 200 + 40 + 5, 1e-9);
    ck_assert_double_lt(drawing.path.segments[7].sweep, 0); /* mirrored: clockwise */
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(a_layer_of_an_insert_holds_for_its_layer_0)
{
    struct sg_drawing drawing;
    const char *text =
        whole("0/SECTION/2/BLOCKS/0/BLOCK/2/B/0/LINE/8/0/11/3/0/LINE/8/KEPT/11/4/0/ENDBLK/0/ENDSEC/"
              "0/SECTION/2/ENTITIES/0/INSERT/8/OUT/2/B/0/INSERT/8/IN/2/B/0/ENDSEC/0/EOF");
    static const char *const out[] = {"OUT"};
    static const struct sg_drawing_how how = {.layers_out = out, .n_layers_out = 1};
    read_good("x.dxf", text, &as_it_is, &drawing);
    expect_near(length_of(&drawing), 14, 1e-15);
    sg_drawing_free(&drawing);
    read_good("x.dxf", text, &how, &drawing);
    expect_near(length_of(&drawing), 7, 1e-15);
    for (int i = 0; i < drawing.n_layers; i++)
        if (strcmp(drawing.layers[i].name, "IN") == 0 || strcmp(drawing.layers[i].name, "KEPT") == 0)
            ck_assert_int_eq(drawing.layers[i].segments, 1);
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(a_tilted_plane_is_measured_by_its_shadow)
{
    struct sg_drawing drawing;
    /* Tilted by 60 degrees about x: the shadow of a circle of 10 is an ellipse of 10 and 5. */
    read_entities("0/CIRCLE/10/0/20/0/40/10/210/0/220/-0.8660254037844386/230/0.5", &drawing);
    expect_near(length_of(&drawing), ellipse_perimeter(10, 5), 2e-7);
    ck_assert_str_eq(problems_of(&drawing), "6: CIRCLE stands tilted: its shadow in the plane is measured\n");
    sg_drawing_free(&drawing);
    read_entities("0/ARC/10/10/20/0/40/5/50/0/51/90/210/0/220/0/230/-1", &drawing);
    expect_box(&drawing, -15, 0, -10, 5);
    ck_assert_int_eq(drawing.n_problems, 0);
    sg_drawing_free(&drawing);
}
END_TEST

/* ---- units ---- */

static double unit_of(int code, enum sg_drawing_unit asked, const char *unit, int from, const char *problems)
{
    char text[200];
    struct sg_drawing drawing;
    const struct sg_drawing_how how = {.unit = asked};
    snprintf(text, sizeof text,
             "0/SECTION/2/HEADER/9/$INSUNITS/70/%d/0/ENDSEC/0/SECTION/2/ENTITIES/0/LINE/11/1/0/ENDSEC/0/EOF",
             code);
    read_good("x.dxf", whole(text), &how, &drawing);
    double mm = length_of(&drawing);
    ck_assert_str_eq(drawing.unit, unit);
    ck_assert_int_eq(drawing.unit_from, from);
    ck_assert_str_eq(problems_of(&drawing), problems);
    ck_assert_double_eq(mm, drawing.unit_mm);
    sg_drawing_free(&drawing);
    return mm;
}

START_TEST(units_of_the_header_or_asked_for)
{
    const enum sg_drawing_unit file = SG_DRAWING_UNIT_OF_FILE;
    ck_assert_double_eq(unit_of(1, file, "in", SG_UNIT_FROM_HEADER, ""), 25.4);
    ck_assert_double_eq(unit_of(2, file, "ft", SG_UNIT_FROM_HEADER, ""), 304.8);
    ck_assert_double_eq(unit_of(4, file, "mm", SG_UNIT_FROM_HEADER, ""), 1);
    ck_assert_double_eq(unit_of(5, file, "cm", SG_UNIT_FROM_HEADER, ""), 10);
    ck_assert_double_eq(unit_of(6, file, "m", SG_UNIT_FROM_HEADER, ""), 1000);
    ck_assert_double_eq(unit_of(0, file, "mm", SG_UNIT_ASSUMED, ""), 1);
    ck_assert_double_eq(unit_of(0, SG_DRAWING_IN, "in", SG_UNIT_FROM_OPTION, ""), 25.4);
    ck_assert_double_eq(unit_of(4, SG_DRAWING_IN, "in", SG_UNIT_FROM_OPTION,
                                "0: the drawing says mm, but in was asked for and taken\n"),
                        25.4);
    ck_assert_double_eq(unit_of(20, file, "mm", SG_UNIT_ASSUMED,
                                "0: $INSUNITS 20 is no unit that is read here, mm were taken: say which\n"),
                        1);
}
END_TEST

/* ---- refusals ---- */

START_TEST(what_is_no_drawing_is_refused_with_its_line)
{
    expect_refused("0/LINE/10/1,5", "x.dxf:8: group 10 must hold a number, not \"1,5\"");
    expect_refused("0/LINE/10/nan", "x.dxf:8: group 10 must hold a number, not \"nan\"");
    expect_refused("0/LINE/10/1e999", "x.dxf:8: group 10 must hold a number, not \"1e999\"");
    expect_refused("0/LINE/11/1e308", "x.dxf:6: a point lies further out than 1e+09 mm");
    expect_refused("0/LINE/X", "x.dxf:7: a group code (a whole number) must stand here, not \"X\"");
    expect_refused("0/VERTEX/10/1", "x.dxf:6: a VERTEX must follow its POLYLINE");
    expect_refused("0/POLYLINE/0/VERTEX/10/1/0/LINE", "x.dxf:12: the POLYLINE of line 6 has no SEQEND");
    expect_refused("0/POLYLINE/0/VERTEX/10/1", "x.dxf:12: the POLYLINE of line 6 has no SEQEND");
    expect_refused("0/LWPOLYLINE/20/1", "x.dxf:8: LWPOLYLINE: group 20 must follow a group 10");
    expect_refused("0/SPLINE/71/16/10/1/20/1", "x.dxf:6: SPLINE: degree (71) 16, which must be from 1 to 15");
    expect_refused("0/SPLINE/71/1/10/1/20/1",
                   "x.dxf:6: SPLINE: degree 1 needs at least 2 control points (10), 1 "
                   "stand there");
    expect_refused("0/SPLINE/71/1/73/3/10/1/20/1/10/2/20/1",
                   "x.dxf:6: SPLINE: group 73 says 3 control points, but 2 stand there: is the file whole?");
    expect_refused("0/SPLINE/71/1/10/1/20/1/10/2/20/1/40/0/40/1",
                   "x.dxf:6: SPLINE: degree 1 with 2 control points needs 4 knots (40), but 2 stand there");
    expect_refused("0/SPLINE/71/1/10/1/20/1/10/2/20/1/40/0/40/0/40/1/40/0",
                   "x.dxf:6: SPLINE: its knots (40) must rise and stay under 1e100");
    expect_refused("0/SPLINE/71/1/10/1/20/1/10/2/20/1/40/0/40/0/40/1/40/1/41/1/41/-1",
                   "x.dxf:6: SPLINE: weight -1, which must be from 1e-9 to 1e9");
    expect_refused("0/ELLIPSE/11/0/40/1",
                   "x.dxf:6: ELLIPSE: its long axis (11, 21) and ratio (40) must be over 0");
    expect_refused("0/INSERT/2/A/70/1.5",
                   "x.dxf:6: INSERT: columns (70) and rows (71) must be whole numbers up to "
                   "32767");
    expect_refusal("x", whole("0/SECTION/2/ENTITIES/0/LINE/11/1"), &as_it_is,
                   "x:8: the file ends before its EOF: it was cut off, copy it again");
    expect_refusal("x.dxf", whole("0/LINE"), &as_it_is,
                   "x.dxf:2: SECTION or EOF must stand here, not \"LINE\"");
    expect_refusal("x.dxf", whole("0/SECTION/2/ENTITIES/0/LINE/0/EOF"), &as_it_is,
                   "x.dxf:8: EOF before the ENDSEC of the section: the file is not whole");
    expect_refusal("x.dxf", whole("0/SECTION/2/BLOCKS/0/BLOCK/2/A/0/ENDBLK/0/BLOCK/2/a/0/ENDBLK/0/ENDSEC"),
                   &as_it_is, "x.dxf:16: block \"a\" stands twice: give the second one another name");
}
END_TEST

START_TEST(blocks_that_hold_themselves_are_refused)
{
    struct sg_drawing drawing;
    ck_assert_int_eq(sg_drawing_read(fixture("cycle.dxf"), &as_it_is, &drawing, &error), SG_BAD_DATA);
    ck_assert_ptr_nonnull(strstr(error.text,
                                 "cycle.dxf:118: INSERT: block \"A\" holds itself: take the inner "
                                 "INSERT out of it"));
}
END_TEST

/* Whichever of two blocks is defined first, the base point of the inner one holds. */
START_TEST(a_block_may_come_behind_the_one_that_holds_it)
{
    struct sg_drawing drawing;
    const char *outer = "0/BLOCK/2/O/0/INSERT/2/I/41/2/0/ENDBLK/",
               *inner = "0/BLOCK/2/I/10/1/20/2/0/LINE/10/1/20/2/11/"
                        "4/21/6/0/ENDBLK/";
    for (int i = 0; i < 2; i++) {
        char text[1000];
        snprintf(text, sizeof text,
                 "0/SECTION/2/BLOCKS/%s%s0/ENDSEC/0/SECTION/2/ENTITIES/0/INSERT/2/O/10/7/0/ENDSEC/0/EOF",
                 i ? inner : outer, i ? outer : inner);
        read_good("x.dxf", whole(text), &as_it_is, &drawing);
        expect_box(&drawing, 7, 0, 13, 4);
        sg_drawing_free(&drawing);
    }
}
END_TEST

/* Ten thousand million million shapes from a few lines, with segments and without. */
START_TEST(blocks_that_multiply_are_refused)
{
    static const struct sg_drawing_how how = {.most_segments = 10000};
    static const char *const inner[] = {"0/LINE/11/1/", ""};
    for (int i = 0; i < 2; i++) {
        char text[1000];
        snprintf(text, sizeof text,
                 "0/SECTION/2/BLOCKS/0/BLOCK/2/A/%s0/ENDBLK/"
                 "0/BLOCK/2/B/0/INSERT/2/A/70/32767/71/32767/44/1/45/1/0/ENDBLK/0/ENDSEC/"
                 "0/SECTION/2/ENTITIES/0/INSERT/2/B/70/32767/71/32767/0/ENDSEC/0/EOF",
                 inner[i]);
        expect_refusal("x.dxf", whole(text), &how,
                       i == 0 ? "x.dxf:40: more than 10000 segments: split the drawing"
                              : "x.dxf:36: INSERT: blocks place more than 30000 shapes: split the drawing");
    }
}
END_TEST

START_TEST(what_is_not_read_is_said)
{
    struct sg_drawing drawing;
    read_entities(
        "0/3DFACE/10/x/0/3DFACE/0/MLINE/0/LINE/67/1/11/5/0/LINE/60/1/11/5/0/CIRCLE/40/0/0/LINE/11/1",
        &drawing);
    ck_assert_int_eq(drawing.path.n, 1);
    ck_assert_int_eq(drawing.left_out, 3);
    ck_assert_int_eq(drawing.others, 2); /* in paper space, and not to be seen */
    ck_assert_str_eq(problems_of(&drawing),
                     "6: 3DFACE is not read and was left out: turn it into lines, arcs or splines (+1)\n"
                     "12: MLINE is not read and was left out: turn it into lines, arcs or splines\n"
                     "26: CIRCLE has no radius over 0 and was left out\n");
    sg_drawing_free(&drawing);
    read_fixture("text-only.dxf", &as_it_is, &drawing);
    ck_assert_int_eq(drawing.path.n, 0);
    ck_assert_str_eq(problems_of(&drawing),
                     "0: no cut lines: 3 texts, fills, measures or hidden entities alone\n");
    sg_drawing_free(&drawing);
}
END_TEST

/* Every beginning of the file is refused but the ones that miss nothing but the EOF, which is said. */
START_TEST(a_file_cut_off_anywhere_is_never_taken_for_whole)
{
    char text[8000];
    FILE *file = fopen(fixture("plate.dxf"), "rb");
    ck_assert_ptr_nonnull(file);
    size_t length = fread(text, 1, sizeof text, file);
    fclose(file);
    ck_assert_uint_lt(length, sizeof text);
    int whole_ones = 0;
    for (size_t cut = 0; cut <= length; cut++) {
        struct sg_drawing drawing;
        if (read_bytes("cut.dxf", text, cut, &without_notes, &drawing) == SG_OK) {
            ck_assert_int_eq(drawing.path.n, 9);
            ck_assert_uint_ge(cut, length - 11); /* behind the last ENDSEC */
            ck_assert_int_eq(drawing.n_problems, cut < length - 1);
            whole_ones++;
            sg_drawing_free(&drawing);
        } else {
            ck_assert_int_eq(error.status, SG_BAD_DATA);
        }
    }
    ck_assert_int_ge(whole_ones, 3);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("dxf");
    TCase *entity = tcase_create("entities"), *refusal = tcase_create("refusals");
    tcase_add_test(entity, lines_arcs_and_circles);
    tcase_add_test(entity, layers_are_left_out_whatever_the_case);
    tcase_add_test(entity, polylines_with_bulges);
    tcase_add_test(entity, r12_without_marks);
    tcase_add_test(entity, ellipses_within_their_promise);
    tcase_add_test(entity, an_ellipse_is_arcs_that_meet_without_corners);
    tcase_add_test(entity, splines_within_their_promise);
    tcase_add_test(entity, a_spline_is_its_bezier_pieces);
    tcase_add_test(entity, inserts_are_moved_turned_scaled_mirrored_and_nested);
    tcase_add_test(entity, a_layer_of_an_insert_holds_for_its_layer_0);
    tcase_add_test(entity, a_block_may_come_behind_the_one_that_holds_it);
    tcase_add_test(entity, a_tilted_plane_is_measured_by_its_shadow);
    tcase_add_test(entity, units_of_the_header_or_asked_for);
    tcase_add_test(refusal, what_is_no_drawing_is_refused_with_its_line);
    tcase_add_test(refusal, blocks_that_hold_themselves_are_refused);
    tcase_add_test(refusal, blocks_that_multiply_are_refused);
    tcase_add_test(refusal, what_is_not_read_is_said);
    tcase_add_test(refusal, a_file_cut_off_anywhere_is_never_taken_for_whole);
    suite_add_tcase(suite, entity);
    suite_add_tcase(suite, refusal);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
