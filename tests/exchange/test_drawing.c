/* What both readers share: which file is what, numbers, pieces of a file, limits. */
#include "drawings.h"
#include "support/random.h"

#include <unistd.h>

/* ---- which file is what ---- */

static const char square_dxf[] =
    "  0\r\nSECTION\r\n  2\r\nENTITIES\r\n  0\r\nLWPOLYLINE\r\n 70\r\n1\r\n 10\r\n0\r\n 20\r\n0\r\n"
    " 10\r\n3\r\n 20\r\n0\r\n 10\r\n3\r\n 20\r\n4\r\n  0\r\nENDSEC\r\n  0\r\nEOF\r\n";

START_TEST(a_file_is_known_by_its_content)
{
    static const struct {
        const char *name, *text;
        int kind;
    } files[] = {
        {"x", square_dxf, SG_DRAWING_DXF},
        {"x.nc", square_dxf, SG_DRAWING_DXF},
        {"x", "999\nword\n0\nSECTION\n2\nENTITIES\n0\nLINE\n11\n1\n0\nENDSEC\n0\nEOF", SG_DRAWING_DXF},
        {"x",
         "\xEF\xBB\xBF"
         "0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n",
         SG_DRAWING_DXF},
        {"x.txt", "%\nG1 X1\n%", SG_DRAWING_PROGRAM},
        {"x", "(only a word)", SG_DRAWING_PROGRAM},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        struct sg_drawing drawing;
        read_good(files[i].name, files[i].text, &as_it_is, &drawing);
        ck_assert_int_eq(drawing.kind, files[i].kind);
        sg_drawing_free(&drawing);
    }
    expect_refusal("x.dxf", "G1 X1\n", &as_it_is,
                   "x.dxf:1: a group code (a whole number) must stand here, not \"G1 X1\"");
}
END_TEST

START_TEST(other_formats_are_named)
{
    static const struct {
        const char *text, *sentence;
    } files[] = {
        {"AnyTool Binary DXF\r\n", NULL},
        {"AC1027\n", "x is a binary drawing: save it as ASCII DXF"},
        {"<svg xmlns=", "x is XML, such as SVG: save it as ASCII DXF"},
        {"%PDF-1.7\n", "x is a PDF: save the drawing as ASCII DXF"},
        {"%!PS-Adobe", "x is PostScript: save the drawing as ASCII DXF"},
        {"PK\x03\x04", "x is a ZIP archive: unpack it first"},
        {"ISO-10303-21;", "x is a STEP model: save its flat outline as ASCII DXF"},
        {"solid plate\n", "x is an STL model: save its flat outline as ASCII DXF"},
        {"\xFF\xFEG", "x is UTF-16 text: save it as plain text"},
        {"", "x is empty: a drawing or a part program is needed"},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        expect_refusal("x", files[i].text, &as_it_is,
                       files[i].sentence ? files[i].sentence : "x is a binary DXF: save it as ASCII DXF");
}
END_TEST

START_TEST(a_nul_is_refused_with_its_line)
{
    struct sg_drawing drawing;
    static const char program[] = "G1 X1\nX2\0X3\n", dxf[] = "0\nSECTION\n2\nENTITIES\n0\nLI\0NE\n";
    ck_assert_int_eq(read_bytes("x", program, sizeof program - 1, &as_it_is, &drawing), SG_BAD_DATA);
    ck_assert_str_eq(error.text,
                     "x:2: a NUL character, which no text file has: save it as plain text (ASCII DXF, or "
                     "a part program)");
    ck_assert_int_eq(read_bytes("x", dxf, sizeof dxf - 1, &as_it_is, &drawing), SG_BAD_DATA);
    ck_assert_int_eq(strncmp(error.text, "x:6: a NUL character", 20), 0);
}
END_TEST

START_TEST(a_missing_file_and_a_folder_are_told_apart)
{
    struct sg_drawing drawing;
    ck_assert_int_eq(sg_drawing_read("/nowhere/x.dxf", &as_it_is, &drawing, &error), SG_NO_FILE);
    ck_assert_str_eq(error.text, "cannot open /nowhere/x.dxf: No such file or directory");
    ck_assert_int_eq(sg_drawing_read(FIXTURES, &as_it_is, &drawing, &error), SG_NO_FILE);
    ck_assert_ptr_nonnull(strstr(error.text, "it is a folder"));
}
END_TEST

/* ---- numbers ---- */

static struct random generator = {0x9E3779B97F4A7C15u};

/* A decimal in one of the ways that programs write them. */
static void any_decimal(char *out, size_t size, bool exponent)
{
    double value = ((double)random_below(&generator, 2000001) - 1e6) / 7;
    for (int i = (int)random_below(&generator, 9); i > 0; i--)
        value /= 10;
    int digits = (int)random_below(&generator, 26);
    if (exponent && digits % 2)
        snprintf(out, size, digits % 4 == 1 ? "%.*g" : "%.*e", digits, value);
    else
        snprintf(out, size, "%.*f", digits, value);
}

/* The C library reads them too; it is told to round correctly. */
START_TEST(numbers_are_read_as_the_c_library_reads_them)
{
    enum { N = 20000 };
    for (int i = 0; i < N; i++) {
        char number[80], text[300];
        struct sg_drawing drawing;
        bool dxf = i % 2 == 0;
        any_decimal(number, sizeof number, dxf);
        if (dxf)
            snprintf(text, sizeof text,
                     "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n1e7\n11\n%s\n0\nENDSEC\n0\nEOF\n", number);
        else
            snprintf(text, sizeof text, "G0 Y1\nG1 X%s Y2\n", number);
        read_good("x", text, &as_it_is, &drawing);
        ck_assert_int_eq(drawing.path.n, 1);
        double expected = strtod(number, NULL);
        ck_assert_msg(drawing.path.segments[0].x1 == expected, "%s is read as %.17g", number,
                      drawing.path.segments[0].x1);
        sg_drawing_free(&drawing);
    }
}
END_TEST

START_TEST(numbers_at_their_ends)
{
    static const char *const numbers[] = {"9007199254740993e-10",
                                          "9007199254740992.5e-10",
                                          "18446744073709551616e-15",
                                          "0.000000000000000000000000000000000000000000000000000001",
                                          "1e-400",
                                          "000000000000000000000000000000000000012.5",
                                          ".5",
                                          "5.",
                                          "+5",
                                          "-0.0",
                                          "4.9406564584124654e-324",
                                          "123456789012345678901234567890e-25",
                                          "0e999"};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        char text[300];
        struct sg_drawing drawing;
        snprintf(text, sizeof text, "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n1\n11\n%s\n0\nENDSEC\n0\nEOF\n",
                 numbers[i]);
        read_good("x", text, &as_it_is, &drawing);
        ck_assert_msg(drawing.path.segments[0].x1 == strtod(numbers[i], NULL), "%s is read as %.17g",
                      numbers[i], drawing.path.segments[0].x1);
        sg_drawing_free(&drawing);
    }
}
END_TEST

/* ---- pieces and limits ---- */

/* A program of many blocks of differing length, so that pieces of the file end anywhere in them. */
static size_t long_program(char *out, size_t size, const char *end_of_line)
{
    size_t n = 0;
    for (int i = 0; n + 200 < size; i++)
        n +=
            (size_t)snprintf(out + n, size - n, "N%d G1 X%d.%0*d Y%d (%.*s)%s", i, i % 1000, i % 9 + 1, i % 7,
                             i % 500, i % 41, "a remark that is longer or shorter than others", end_of_line);
    return n + (size_t)snprintf(out + n, size - n, "M30%s", end_of_line);
}

/* To the bit; there are bytes between the members that nobody sets. */
static void expect_same_segments(const struct sg_drawing *a, const struct sg_drawing *b, int64_t n)
{
    for (int64_t i = 0; i < n; i++) {
        const struct sg_segment *s = &a->path.segments[i], *t = &b->path.segments[i];
        ck_assert(s->x0 == t->x0 && s->y0 == t->y0 && s->x1 == t->x1 && s->y1 == t->y1 && s->cx == t->cx &&
                  s->cy == t->cy && s->sweep == t->sweep && s->fitted == t->fitted);
    }
}

static void expect_same(const struct sg_drawing *a, const struct sg_drawing *b)
{
    ck_assert_int_eq(a->path.n, b->path.n);
    expect_same_segments(a, b, a->path.n);
    ck_assert_int_eq(a->n_problems, b->n_problems);
}

START_TEST(a_file_in_pieces_is_what_it_is_in_memory)
{
    enum { SIZE = 1500000 };
    static const char *const ends[] = {"\n", "\r\n", "\r"};
    static char text[3][SIZE];
    struct sg_drawing whole, piecewise, first = {0};
    char path[1000];
    snprintf(path, sizeof path, "%s/pieces-%ld.nc", SCRATCH, (long)getpid());
    for (int i = 0; i < 3; i++) {
        size_t length = long_program(text[i], SIZE, ends[i]);
        FILE *file = fopen(path, "wb");
        ck_assert(file && fwrite(text[i], 1, length, file) == length && fclose(file) == 0);
        enum sg_status status = sg_drawing_read(path, &as_it_is, &piecewise, &error);
        ck_assert_msg(status == SG_OK, "%s", error.text);
        ck_assert_int_eq(sg_drawing_read_memory(path, text[i], length, &as_it_is, &whole, &error), SG_OK);
        ck_assert_int_eq(whole.n_problems, 0);
        expect_same(&whole, &piecewise);
        ck_assert_int_gt(whole.path.n, 20000);
        sg_drawing_free(&piecewise);
        if (i == 0) {
            first = whole;
            continue;
        }
        expect_same_segments(&first, &whole, 20000);
        sg_drawing_free(&whole);
    }
    sg_drawing_free(&first);
    remove(path);
}
END_TEST

START_TEST(a_line_without_end_is_refused)
{
    enum { SIZE = 400000 };
    static char text[SIZE + 1];
    memset(text, '1', SIZE);
    memcpy(text, "G1 X2\nX", 7);
    expect_refusal("x", text, &as_it_is,
                   "x:2: a line of more than 65536 bytes: it is no drawing or part program");
}
END_TEST

START_TEST(more_segments_than_allowed_are_refused)
{
    static const struct sg_drawing_how three = {.most_segments = 3};
    struct sg_drawing drawing;
    read_good("x", "G1 X1\nX2\nX3\n", &three, &drawing);
    ck_assert_int_eq(drawing.path.n, 3);
    sg_drawing_free(&drawing);
    expect_refusal("x", "G1 X1\nX2\nX3\nX4\n", &three, "x:4: more than 3 segments: split the drawing");
    expect_refusal("x",
                   "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nA\n0\nLINE\n0\nLINE\n0\nLINE\n0\nLINE\n0\nENDBLK\n",
                   &three, "x:16: more than 3 segments in blocks: split the drawing");
}
END_TEST

START_TEST(problems_are_counted_and_not_all_listed)
{
    enum { N = 5000 };
    static char text[N * 30];
    size_t n = 0;
    struct sg_drawing drawing;
    for (int i = 0; i < N; i++)
        n += (size_t)snprintf(text + n, sizeof text - n, "G%d G1 X%d\n", 100 + i % 800, i);
    snprintf(text + n, sizeof text - n, "M2");
    read_good("x", text, &as_it_is, &drawing);
    int64_t told = 0;
    for (int i = 0; i < drawing.n_problems; i++)
        told += 1 + drawing.problems[i].more;
    ck_assert_int_eq(told, N);
    ck_assert_int_eq(drawing.n_problems, 8);
    sg_drawing_free(&drawing);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drawing");
    TCase *files = tcase_create("files");
    tcase_add_test(files, a_file_is_known_by_its_content);
    tcase_add_test(files, other_formats_are_named);
    tcase_add_test(files, a_nul_is_refused_with_its_line);
    tcase_add_test(files, a_missing_file_and_a_folder_are_told_apart);
    tcase_add_test(files, numbers_are_read_as_the_c_library_reads_them);
    tcase_add_test(files, numbers_at_their_ends);
    tcase_add_test(files, a_file_in_pieces_is_what_it_is_in_memory);
    tcase_add_test(files, a_line_without_end_is_refused);
    tcase_add_test(files, more_segments_than_allowed_are_refused);
    tcase_add_test(files, problems_are_counted_and_not_all_listed);
    suite_add_tcase(suite, files);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
