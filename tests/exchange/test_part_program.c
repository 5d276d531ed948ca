#include "drawings.h"

static void read_text(const char *text, struct sg_drawing *drawing)
{
    read_good("x.nc", text, &as_it_is, drawing);
}

static void expect_refused(const char *text, const char *sentence)
{
    expect_refusal("x.nc", text, &as_it_is, sentence);
}

/* Length, rapid length, runs and problems of a program with its M30. */
static void expect_program(const char *text, const struct sg_drawing_how *how, double length, double rapid,
                           int64_t runs, const char *problems)
{
    struct sg_drawing drawing;
    char whole[2000];
    snprintf(whole, sizeof whole, "%s\nM30\n", text);
    read_good("x.nc", whole, how, &drawing);
    expect_near(length_of(&drawing), length, 1e-13);
    expect_near(drawing.rapid_length, rapid, 1e-13);
    ck_assert_int_eq(drawing.n_runs, runs);
    ck_assert_str_eq(problems_of(&drawing), problems);
    sg_drawing_free(&drawing);
}

static void expect_plain(const char *text, double length, double rapid, int64_t runs)
{
    expect_program(text, &as_it_is, length, rapid, runs, "");
}

/* ---- whole programs ---- */

/* A plate of 100 x 60 with corners of radius 10, then a hole of radius 12.5 from its right. */
START_TEST(every_word)
{
    struct sg_drawing drawing;
    read_fixture("every-word.nc", &as_it_is, &drawing);
    ck_assert_int_eq(drawing.kind, SG_DRAWING_PROGRAM);
    ck_assert_int_eq(drawing.path.n, 9);
    ck_assert_int_eq(drawing.n_runs, 2);
    ck_assert_int_eq(drawing.runs[0], 0);
    ck_assert_int_eq(drawing.runs[1], 8);
    ck_assert_int_eq(drawing.arcs, 5);
    ck_assert_str_eq(drawing.unit, "mm");
    ck_assert_int_eq(drawing.unit_from, SG_UNIT_FROM_HEADER);
    expect_near(length_of(&drawing), 240 + 20 * pi + 25 * pi, 1e-14);
    expect_near(area_of(&drawing), 6000 - (4 - pi) * 100 - pi * 156.25, 1e-13); /* the hole is clockwise */
    expect_near(drawing.rapid_length, 10 + hypot(52.5, 30), 1e-14);
    expect_near(drawing.smallest_radius, 10, 1e-14);
    expect_box(&drawing, 0, 0, 100, 60);
    ck_assert_str_eq(problems_of(&drawing),
                     "7: blocks with / may be passed over by the machine: they were read\n");
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(inches_shifts_and_both_units)
{
    struct sg_drawing drawing;
    read_fixture("inch.nc", &as_it_is, &drawing);
    ck_assert_str_eq(drawing.unit, "in");
    ck_assert_double_eq(drawing.unit_mm, 25.4);
    expect_near(length_of(&drawing), 50.8 + 25.4 * pi + 25.4 * sqrt(8) + 25.4, 1e-14);
    expect_near(drawing.rapid_length, 25.4 * sqrt(2), 1e-14);
    expect_box(&drawing, 25.4, -25.4, 76.2 + 25.4, 25.4);
    ck_assert_str_eq(problems_of(&drawing),
                     "8: the unit changes on the way: mm and inches are both followed\n");
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(the_jet_follows_its_words)
{
    static const struct sg_drawing_how words = {.on = "m3", .off = "M05"};
    struct sg_drawing drawing;
    read_fixture("jet-words.nc", &words, &drawing);
    expect_near(length_of(&drawing), 10 + 10 + 5, 1e-14);
    expect_near(drawing.rapid_length, 10 + 20, 1e-14);
    ck_assert_int_eq(drawing.n_runs, 2);
    ck_assert_int_eq(drawing.n_problems, 0);
    sg_drawing_free(&drawing);
    read_fixture("jet-words.nc", &as_it_is, &drawing); /* without them every G01 cuts */
    expect_near(length_of(&drawing), 55, 1e-14);
    expect_near(drawing.rapid_length, 0, 0);
    ck_assert_int_eq(drawing.n_runs, 1);
    sg_drawing_free(&drawing);
}
END_TEST

START_TEST(jet_words_of_more_than_one_word)
{
    static const struct sg_drawing_how output = {.on = "M62 P1", .off = "M63P1"};
    expect_program("G21 G01 X1\nM62 P2\nX2\nM62 P1\nX4 P9\nM63 P2\nX8\nM63 P1\nX16", &output, 6, 2 + 8, 1,
                   "");
    expect_program("M62 P1 G00 X5", &output, 5, 0, 1,
                   "1: G00 with the jet on: it is cut\n0: the jet is still on at the end of the program\n");
    expect_program("G01 X5", &output, 0, 5, 0,
                   "0: nothing is cut: the words that turn the jet on do not stand in the program\n");
    struct sg_drawing drawing;
    static const struct sg_drawing_how half = {.on = "M03"}, wrong = {.on = "three", .off = "M05"};
    ck_assert_int_eq(read_bytes("x", "G1X1", 4, &half, &drawing), SG_USAGE);
    ck_assert_str_eq(error.text, "the words that turn the jet on and off are needed both, or none of them");
    ck_assert_int_eq(read_bytes("x", "G1X1", 4, &wrong, &drawing), SG_USAGE);
    ck_assert_str_eq(error.text, "\"three\" is no word that turns the jet on or off: such as M03");
}
END_TEST

/* ---- words ---- */

START_TEST(words_as_they_are_written)
{
    expect_plain("g1x3y4", 5, 0, 1);
    expect_plain("G 0 1 X + 3 . 0 Y 4.", 5, 0, 1);
    expect_plain("G01X-.5Y+0", 0.5, 0, 1);
    expect_plain("G1(X100)X3(Y)Y4;X7", 5, 0, 1);
    expect_plain("%\n:1000\nN1G1X3Y4%X9\n%", 5, 0, 1);
    expect_plain("\xEF\xBB\xBFG1 X3\r\nY4\r\n", 7, 0, 1);
    expect_plain("G1 X3\rY4", 7, 0, 1);
    expect_program("G1 X3 (open", &as_it_is, 3, 0, 1,
                   "1: a comment is not closed: the rest of its line was taken for it\n");
}
END_TEST

START_TEST(motion_is_modal_and_runs_end_with_a_rapid)
{
    expect_plain("G1 X1\nX2\nG0 X5\nX9\nG1\nY1\nY2", 4, 7, 2);
    expect_plain("G1 X1 Z-1\nZ3\nX2\nG0 Z5\nG1 X3", 3, 0,
                 2); /* up and down alone is no way, but ends a run */
}
END_TEST

START_TEST(relative_moves_add_up)
{
    expect_plain("G91 G1 X3\nX1 Y1\nG0 X-1 Y-1\nG1 Y2\nG90 X0 Y0", 3 + sqrt(2) + 2 + hypot(3, 2), sqrt(2), 2);
}
END_TEST

START_TEST(shifts_of_g92)
{
    /* At (10, 0) that is called 0; a unit further is (11, 0), and so on; suspended, X0 is zero again. */
    expect_plain("G0 X10\nG92 X0\nG1 X1\nG92.2\nX0\nG92.3\nX0\nG92.1\nX0", 1 + 11 + 10 + 10, 10, 1);
    /* A G92 has no motion of its own. */
    expect_plain("G1 X2\nG92 X50 Y50\nX51", 3, 0, 1);
}
END_TEST

/* ---- arcs ---- */

START_TEST(arcs_by_centre)
{
    expect_plain("G0 X5\nG3 I-5", 10 * pi, 5, 1);                    /* J is 0, and a full circle */
    expect_plain("G0 X5\nG2 X0 Y-5 I-5", 2.5 * pi, 5, 1);            /* a quarter */
    expect_plain("G0 X5\nG3 X0 Y-5 I-5", 7.5 * pi, 5, 1);            /* the other way three */
    expect_plain("G91 G3 X-5 Y5 I-5 J0\nX-5 Y-5 J-5", 5 * pi, 0, 1); /* modal */
    expect_plain("G0 X5\nG90.1 G3 X-5 I0 J0\nG91.1 X5 Y0 I5", 10 * pi, 5, 1);
    expect_plain("G0 X15\nG92 X5\nG90.1 G3 X-5 I0 J0", 5 * pi, 15, 1); /* centres are shifted, too */
    /* 0.1 + 0.2 is not 0.3, and yet it is the same place */
    expect_plain("G91 G1 X.1\nX.2\nG90 G3 X.3 I-5\nG2 X.3 I-5", 0.3 + 20 * pi, 0, 1);
    expect_plain("G70 G0 X1\nG3 X0 Y1 I-1", 25.4 * pi / 2, 25.4, 1);
}
END_TEST

START_TEST(arcs_by_radius)
{
    /* Chord of radius 5 over a quarter: the short way pi/2, the long way 3 pi/2. */
    expect_plain("G0 X5\nG3 X0 Y5 R5", 2.5 * pi, 5, 1);
    expect_plain("G0 X5\nG3 X0 Y5 R-5", 7.5 * pi, 5, 1);
    expect_plain("G0 X5\nG2 X0 Y5 R5", 2.5 * pi, 5, 1);
    expect_plain("G3 X10 R5", 5 * pi, 0, 1);
    expect_plain("G3 X10 R4.999", 5 * pi, 0, 1); /* too short by less than the tolerance: half a turn */
    static const struct {
        const char *text;
        double box[4];
    } sides[] = {{"G0X5\nG3 X0 Y5 R5", {0, 0, 5, 5}},
                 {"G0X5\nG3 X0 Y5 R-5", {0, 0, 10, 10}},
                 {"G0X5\nG2 X0 Y5 R5", {0, 0, 5, 5}},
                 {"G0X5\nG2 X0 Y5 R-5", {-5, -5, 5, 5}}};
    for (int i = 0; i < 4; i++) {
        struct sg_drawing drawing;
        read_text(sides[i].text, &drawing);
        expect_box(&drawing, sides[i].box[0], sides[i].box[1], sides[i].box[2], sides[i].box[3]);
        sg_drawing_free(&drawing);
    }
}
END_TEST

START_TEST(ends_off_the_circle)
{
    static const struct sg_drawing_how coarse = {.arc_tolerance = 0.1};
    expect_plain("G0 X10\nG3 X0 Y10.005 I-10", 5 * pi, 10, 1);
    expect_program("G0 X10\nG3 X0 Y10.05 I-10", &as_it_is, 5 * pi, 10, 1,
                   "2: an arc ends 0.0500 mm off its circle, more than 0.0051 mm: taken as it is\n");
    expect_program("G0 X10\nG3 X0 Y10.05 I-10", &coarse, 5 * pi, 10, 1, "");
    expect_refused(
        "G0 X10\nG3 X0 Y12 I-10",
        "x.nc:2: an arc ends 2 mm off its circle of radius 10 mm: I and J must lead from its start to its "
        "centre (after G90.1: from zero)");
}
END_TEST

/* ---- what is passed over, and said ---- */

START_TEST(what_is_passed_over_is_said)
{
    expect_program("G1 X1 A5 B2 U7", &as_it_is, 1, 0, 1,
                   "1: A, B, C, U, V and W are not followed: X and Y alone are measured\n");
    expect_program("G123 G1 X1\nG123", &as_it_is, 1, 0, 1,
                   "1: G123 is not known here and was passed over (+1)\n");
    expect_program("G54 G1 X1\nG54\nG55 X2", &as_it_is, 2, 0, 1,
                   "3: more than one work place (G54 to G59): taken for the same\n");
    expect_program("M205 X426 Y403\nG1 X1", &as_it_is, 1, 0, 1,
                   "1: X or Y of a machine function such as M205: taken for no move\n");
    expect_program(
        "G1 X1\nG28 X3\nG0 X5 Y0\nG1 X6", &as_it_is, 2, 2, 2,
        "2: the machine's own home (G28, G30) is not in the program: the way there and back is not "
        "measured\n");
    expect_plain("G1 X1\nG91 G28 Z0\nG90 X2\nG53 G0 Z0\nG4 X9\nG1 X3", 3, 0, 3);
    struct sg_drawing drawing;
    read_text("G1 X1\nX2", &drawing);
    ck_assert_str_eq(problems_of(&drawing), "2: the program ends without M02 or M30: is it whole?\n");
    sg_drawing_free(&drawing);
    read_text("(nothing)\nM30\nG1 X5\n", &drawing);
    ck_assert_int_eq(drawing.path.n, 0);
    ck_assert_str_eq(problems_of(&drawing), "0: nothing is cut: no G01, G02 or G03 moves with the jet on\n");
    sg_drawing_free(&drawing);
}
END_TEST

/* ---- refusals ---- */

START_TEST(what_is_no_program_is_refused_with_its_line)
{
    static const char plain[] =
        "variables, sums and subprograms are not read: write the program out with plain numbers";
    char sentence[300];
    snprintf(sentence, sizeof sentence, "x.nc:2: \"#\": %s", plain);
    expect_refused("G1\nX#1", sentence);
    snprintf(sentence, sizeof sentence, "x.nc:1: \"[\": %s", plain);
    expect_refused("X[1+2]", sentence);
    expect_refused("part,quantity\nA,5", "x.nc:1: P must be followed by a number, not by \"art,quantity\"");
    expect_refused("G1 X1,5", "x.nc:1: a comma in a block: numbers have a point");
    expect_refused("G1 X", "x.nc:1: X must be followed by a number, not by nothing");
    expect_refused("G1 X1.2.3",
                   "x.nc:1: \".\" is no word of a part program: a letter and a number such as X12.5");
    expect_refused("G1 X1\n\xC3\xA4",
                   "x.nc:2: \"\xC3\xA4\" is no word of a part program: a letter and a number such as "
                   "X12.5");
    expect_refused("G1 X1 X2", "x.nc:1: X stands twice in one block");
    expect_refused("G0 G1 X2", "x.nc:1: more than one of G00 to G03 in one block");
    expect_refused("G1.55", "x.nc:1: G1.55 is no code");
    expect_refused("X2", "x.nc:1: X or Y before any of G00 to G03: say how it moves");
    expect_refused("G1 X1\nG80\nX2", "x.nc:3: X or Y before any of G00 to G03: say how it moves");
    expect_refused("G2 X5", "x.nc:1: an arc (G02, G03) needs its centre, I and J, or its radius R");
    expect_refused("G2 X5 I0 J0",
                   "x.nc:1: the centre of an arc is its start: I and J lead from the start to the "
                   "centre");
    expect_refused("G2 X5 I1 R3", "x.nc:1: an arc has R, or I and J, not both");
    expect_refused("G2 R3", "x.nc:1: an arc with R must lead to another place: a full circle has I and J");
    expect_refused("G2 X10 R3", "x.nc:1: R 3 does not reach: half of the way is 5");
    expect_refused("G18 G2 X10 I5",
                   "x.nc:1: an arc in the plane of G18: only arcs of G17, in X and Y, are read");
    expect_refused("G90.1 G2 X10 I5", "x.nc:1: an arc after G90.1 needs both I and J");
    expect_refused("G28\nG1 X5",
                   "x.nc:2: a cut from the machine's own home, whose place is not known: a G00 with X "
                   "and Y must come before it");
    expect_refused("M98 P1", "x.nc:1: M98: subprograms are not read: write the program out");
    expect_refused("G5.1 Q1",
                   "x.nc:1: G5.1 is not read, and the path would be another without it: write the program "
                   "out with G00 to G03");
    expect_refused("G53 G0 X1",
                   "x.nc:1: G53 is not read, and the path would be another without it: write the program "
                   "out with G00 to G03");
    expect_refused("G1 X1000000001", "x.nc:1: a point lies further out than 1e+09 mm");
    expect_refused("G91\nG0 X999999999\nX2", "x.nc:3: a point lies further out than 1e+09 mm");
}
END_TEST

START_TEST(what_would_be_another_path_is_refused)
{
    static const int codes[] = {5,  10, 12, 13, 16, 31, 33, 51, 52, 65, 66, 68,
                                73, 74, 76, 81, 82, 83, 84, 85, 86, 87, 88, 89};
    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++) {
        char text[40], sentence[200];
        snprintf(text, sizeof text, "G1 X1\nG%d X5 Y5", codes[i]);
        snprintf(sentence, sizeof sentence,
                 "x.nc:2: G%d is not read, and the path would be another without it: write the program out "
                 "with G00 "
                 "to G03",
                 codes[i]);
        expect_refused(text, sentence);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("part program");
    TCase *reading = tcase_create("reading"), *refusal = tcase_create("refusals");
    tcase_add_test(reading, every_word);
    tcase_add_test(reading, inches_shifts_and_both_units);
    tcase_add_test(reading, the_jet_follows_its_words);
    tcase_add_test(reading, jet_words_of_more_than_one_word);
    tcase_add_test(reading, words_as_they_are_written);
    tcase_add_test(reading, motion_is_modal_and_runs_end_with_a_rapid);
    tcase_add_test(reading, relative_moves_add_up);
    tcase_add_test(reading, shifts_of_g92);
    tcase_add_test(reading, arcs_by_centre);
    tcase_add_test(reading, arcs_by_radius);
    tcase_add_test(reading, ends_off_the_circle);
    tcase_add_test(reading, what_is_passed_over_is_said);
    tcase_add_test(refusal, what_is_no_program_is_refused_with_its_line);
    tcase_add_test(refusal, what_would_be_another_path_is_refused);
    suite_add_tcase(suite, reading);
    suite_add_tcase(suite, refusal);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
