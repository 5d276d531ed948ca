/* Files that were cut off, spoiled or meant to harm: each is refused with its place or read with what is
 * wrong said, and what was read can be made an outline with a time. */
#include "drawings.h"
#include "sandglass/motion.h"
#include "sandglass/outline.h"

static const struct sg_drawing_how by_words = {.on = "M03", .off = "M05"};

static const struct {
    const char *name;
    const struct sg_drawing_how *how;
} fixtures[] = {
    {"plate.dxf", &as_it_is},     {"bulges.dxf", &as_it_is},   {"r12.dxf", &as_it_is},
    {"ellipses.dxf", &as_it_is},  {"splines.dxf", &as_it_is},  {"inserts.dxf", &as_it_is},
    {"text-only.dxf", &as_it_is}, {"cycle.dxf", &as_it_is},    {"every-word.nc", &as_it_is},
    {"inch.nc", &as_it_is},       {"jet-words.nc", &as_it_is}, {"jet-words.nc", &by_words},
};
enum { FIXTURES_MANY = sizeof fixtures / sizeof *fixtures, TEXT_MOST = 20000 };

static size_t text_of(int i, char text[TEXT_MOST])
{
    FILE *file = fopen(fixture(fixtures[i].name), "rb");
    ck_assert_ptr_nonnull(file);
    size_t length = fread(text, 1, TEXT_MOST, file);
    fclose(file);
    ck_assert_uint_lt(length, TEXT_MOST);
    return length;
}

static bool is_dxf(int i)
{
    return strstr(fixtures[i].name, ".dxf") != NULL;
}

static bool says(const struct sg_drawing *drawing, const char *part)
{
    return strstr(problems_of(drawing), part) != NULL;
}

/* A refusal names the file and its line. */
static void expect_a_reason(const char *name)
{
    size_t n = strlen(name);
    ck_assert_int_eq(error.status, SG_BAD_DATA);
    ck_assert_msg(strncmp(error.text, name, n) == 0, "%s", error.text);
    ck_assert_msg((error.text[n] == ':' && error.text[n + 1] >= '1' && error.text[n + 1] <= '9') ||
                      strstr(error.text, "is empty"),
                  "no line: %s", error.text);
}

/* What becomes of a drawing: an outline with its problems, and a time. */
static void expect_outline(const struct sg_drawing *drawing, struct sg_outline *outline)
{
    const struct sg_outline_how how = {.tolerance = 1e-4,
                                       .chained = drawing->kind == SG_DRAWING_PROGRAM,
                                       .runs = drawing->runs,
                                       .n_runs = drawing->n_runs,
                                       .fit_arcs = true};
    const struct sg_motion_limits limits = {5, 100, 500, SG_DEVIATION, 2, 0.15};
    struct sg_motion motion;
    *outline = (struct sg_outline){0};
    enum sg_status status = sg_outline_make(&drawing->path, &how, outline, &error);
    ck_assert_msg(status == SG_OK || (status == SG_BAD_DATA && error.text[0] != '\0'), "%s", error.text);
    if (status != SG_OK)
        return;
    struct sg_motion_memory *memory = sg_motion_memory_new();
    ck_assert(sg_motion_outline(outline, &limits, memory, &motion));
    ck_assert(isfinite(motion.total) && motion.total >= 0);
    sg_motion_memory_free(memory);
}

/* ---- cut off ---- */

/* A whole DXF misses nothing but its EOF; a program without its M02 or M30 is said to be perhaps not whole.
 */
START_TEST(a_file_cut_off_anywhere_is_refused_or_said)
{
    char text[TEXT_MOST];
    size_t length = text_of(_i, text);
    struct sg_drawing whole, drawing;
    bool good = read_bytes(fixtures[_i].name, text, length, fixtures[_i].how, &whole) == SG_OK;
    ck_assert(good == (strcmp(fixtures[_i].name, "cycle.dxf") != 0));
    for (size_t cut = 0; cut < length; cut++) {
        if (read_bytes(fixtures[_i].name, text, cut, fixtures[_i].how, &drawing) != SG_OK) {
            expect_a_reason(fixtures[_i].name);
            continue;
        }
        ck_assert(good);
        bool said = says(&drawing, "ends without"), same = drawing.path.n == whole.path.n;
        ck_assert_msg(said || same, "cut off at %zu of %zu, and nothing said", cut, length);
        ck_assert_msg(!is_dxf(_i) || same, "a DXF cut off at %zu of %zu is taken for whole", cut, length);
        sg_drawing_free(&drawing);
    }
    if (good)
        sg_drawing_free(&whole);
}
END_TEST

/* ---- numbers that are none, or out of all reach ---- */

static const char *const nasty[] = {"1e308", "-1e308", "1e-308", "1e200", "-1e60",
                                    "1e-60", "nan",    "inf",    "-0",    "",
                                    "1e9",   "1e400",  "0x10",   "1,5",   "99999999999999999999"};
enum { NASTY_MANY = sizeof nasty / sizeof *nasty };

/* The file with the number that begins at `at` in another's place. */
static size_t put_in(const char *text, size_t length, size_t at, const char *number, char *out)
{
    size_t end = at, n = strlen(number);
    while (end < length && strchr("0123456789.+-eE", text[end]))
        end++;
    memcpy(out, text, at);
    memcpy(out + at, number, n);
    memcpy(out + at + n, text + end, length - end);
    return at + n + length - end;
}

static bool number_begins(const char *text, size_t at)
{
    static const char digits[] = "0123456789.+-";
    return at > 0 && strchr(digits, text[at]) && text[at] && !strchr(digits, text[at - 1]);
}

START_TEST(any_number_may_be_nonsense)
{
    char text[TEXT_MOST], other[TEXT_MOST + 40];
    size_t length = text_of(_i, text);
    text[length] = '\0';
    int refused = 0, taken = 0;
    for (size_t at = 1; at < length; at++) {
        for (int k = 0; number_begins(text, at) && k < NASTY_MANY; k++) {
            struct sg_drawing drawing;
            struct sg_outline outline;
            size_t n = put_in(text, length, at, nasty[k], other);
            if (read_bytes(fixtures[_i].name, other, n, fixtures[_i].how, &drawing) != SG_OK) {
                expect_a_reason(fixtures[_i].name);
                refused++;
                continue;
            }
            for (int64_t s = 0; s < drawing.path.n; s++)
                ck_assert_double_le(sg_segment_length(&drawing.path.segments[s]), 1e16);
            expect_outline(&drawing, &outline);
            sg_outline_free(&outline);
            sg_drawing_free(&drawing);
            taken++;
        }
    }
    ck_assert_int_gt(refused, 20);
    ck_assert(taken > 20 || strcmp(fixtures[_i].name, "cycle.dxf") == 0);
}
END_TEST

/* Squares of them are no numbers any more. */
START_TEST(a_tilted_arc_without_bounds_is_refused)
{
    static const char *const sizes[] = {"1e60", "1e160", "1e200", "1e307"};
    for (int i = 0; i < 4; i++) {
        char text[400];
        snprintf(text, sizeof text,
                 "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n210\n0\n220\n-0.5\n230\n0.5\n10\n0\n20\n0\n"
                 "42\n0.5\n10\n%s\n20\n0\n0\nENDSEC\n0\nEOF\n",
                 sizes[i]);
        expect_refusal("x.dxf", text, &as_it_is, "x.dxf:6: a point lies further out than 1e+09 mm");
    }
}
END_TEST

/* ---- drawings that can be read and are no good ---- */

static void expect_problem(const char *name, const char *text, int kind, int64_t segments)
{
    struct sg_drawing drawing;
    struct sg_outline outline;
    int found = 0;
    read_good(name, text, &as_it_is, &drawing);
    ck_assert_int_eq(drawing.path.n, segments);
    expect_outline(&drawing, &outline);
    for (int i = 0; i < outline.n_problems; i++)
        found += outline.problems[i].kind == kind;
    ck_assert_int_eq(found, 1);
    sg_outline_free(&outline);
    sg_drawing_free(&drawing);
}

/* A bow tie: two of its four lines cross at (5, 5). */
START_TEST(a_contour_that_crosses_itself_is_read_and_listed)
{
    expect_problem("x.nc", "G00 X0 Y0\nG01 X10 Y10\nX10 Y0\nX0 Y10\nX0 Y0\nM30\n", SG_PROBLEM_CROSSING, 4);
    expect_problem("x.dxf",
                   "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n70\n1\n10\n0\n20\n0\n10\n10\n20\n10\n"
                   "10\n10\n20\n0\n10\n0\n20\n10\n0\nENDSEC\n0\nEOF\n",
                   SG_PROBLEM_CROSSING, 4);
}
END_TEST

START_TEST(a_segment_without_length_is_listed_or_is_no_move)
{
    expect_problem("x.dxf",
                   "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n5\n20\n5\n11\n5\n21\n5\n0\nLINE\n11\n9\n"
                   "0\nENDSEC\n0\nEOF\n",
                   SG_PROBLEM_NO_LENGTH, 2);
    struct sg_drawing drawing;
    read_good("x.nc", "G01 X5 Y5\nX5 Y5\nG91 X0\nX3 Y0\nM30\n", &as_it_is, &drawing);
    ck_assert_int_eq(drawing.path.n, 2);
    sg_drawing_free(&drawing);
}
END_TEST

/* An inch drawing read as mm is a part of a 25th of its size: the unit is told, and where it is from. */
START_TEST(a_wrong_unit_can_be_seen)
{
    struct sg_drawing drawing;
    static const struct sg_drawing_how inches = {.unit = SG_DRAWING_IN};
    read_fixture("plate.dxf", &inches, &drawing);
    ck_assert_str_eq(drawing.unit, "in");
    ck_assert(says(&drawing, "the drawing says mm, but in was asked for and taken"));
    sg_drawing_free(&drawing);
    read_good("x.nc", "G21 G01 X10\nG20 X1\nM30\n", &inches, &drawing);
    ck_assert_str_eq(drawing.unit, "mm"); /* the program says so */
    ck_assert(says(&drawing, "the unit changes on the way"));
    sg_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hostile drawings");
    TCase *tests = tcase_create("hostile drawings");
    tcase_add_loop_test(tests, a_file_cut_off_anywhere_is_refused_or_said, 0, FIXTURES_MANY);
    tcase_add_loop_test(tests, any_number_may_be_nonsense, 0, FIXTURES_MANY);
    tcase_add_test(tests, a_tilted_arc_without_bounds_is_refused);
    tcase_add_test(tests, a_contour_that_crosses_itself_is_read_and_listed);
    tcase_add_test(tests, a_segment_without_length_is_listed_or_is_no_move);
    tcase_add_test(tests, a_wrong_unit_can_be_seen);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
