/* Drawings of very many points come through a pipe, so that what this process holds is what the reader holds.
 */
#include "drawings.h"

#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#if defined __has_feature
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#endif
#if defined __SANITIZE_ADDRESS__ || defined SANITIZED
enum { POINTS = 100000, MEASURED = 0 }; /* the sanitizer holds much more for itself */
#else
enum { POINTS = 1000000, MEASURED = 1 };
#endif

enum { BYTES_A_SEGMENT = 200 };

struct shape {
    const char *name, *start, *end;
    void (*point)(FILE *file, int i);
};

static void line(FILE *file, int i)
{
    fprintf(file, "0\nLINE\n10\n%d\n20\n0\n11\n%d\n21\n%d\n", i, i + 1, i % 2);
}

static void vertex(FILE *file, int i)
{
    fprintf(file, "10\n%d\n20\n%d\n", i, i % 2);
}

static void old_vertex(FILE *file, int i)
{
    fprintf(file, "0\nVERTEX\n10\n%d\n20\n%d\n", i, i % 2);
}

static void block(FILE *file, int i)
{
    fprintf(file, "X%dY%d\n", i, i % 2);
}

/* Each a run of its own. */
static void cut_and_rapid(FILE *file, int i)
{
    fprintf(file, "G0X%d\nG1Y%d\n", i, i % 2);
}

/* A knot, and a control point of a spline of degree 1: a span each. */
static void control_point(FILE *file, int i)
{
    fprintf(file, "40\n%d\n10\n%d\n20\n%d\n", i, i, i % 2);
}

static const char section[] = "0\nSECTION\n2\nENTITIES\n", eof[] = "0\nENDSEC\n0\nEOF\n";
static const struct shape shapes[] = {
    {"x.dxf: LINE", "", "", line},
    {"x.dxf: LWPOLYLINE", "0\nLWPOLYLINE\n", "", vertex},
    {"x.dxf: POLYLINE", "0\nPOLYLINE\n", "0\nSEQEND\n", old_vertex},
    {"x.dxf: SPLINE", "0\nSPLINE\n71\n1\n40\n0\n40\n0\n", "", control_point},
    {"x.nc: blocks", "G1\n", "M30\n", block},
    {"x.nc: a run for each block", "", "M30\n", cut_and_rapid},
};
enum { SHAPES = sizeof shapes / sizeof *shapes };

/* Write to the pipe in another process, which ends with it. */
static pid_t write_shape(const int ends[2], const struct shape *shape, int n)
{
    pid_t writer = fork();
    if (writer != 0)
        return writer;
    close(ends[0]); /* or nobody would tell it that the reader is gone */
    FILE *file = fdopen(ends[1], "w");
    bool dxf = strstr(shape->name, ".dxf") != NULL;
    if (file) {
        fprintf(file, "%s%s", dxf ? section : "", shape->start);
        for (int i = 0; i < n; i++)
            shape->point(file, i);
        fprintf(file, "%s%s", shape->end, dxf ? eof : "");
        fclose(file);
    }
    _exit(file ? 0 : 1);
}

static long peak_kb(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
}

static enum sg_status read_shape(const struct shape *shape, int n, const struct sg_drawing_how *how,
                                 struct sg_drawing *drawing)
{
    int ends[2];
    char path[40];
    ck_assert_int_eq(pipe(ends), 0);
    pid_t writer = write_shape(ends, shape, n);
    ck_assert_int_gt(writer, 0);
    close(ends[1]);
    snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    enum sg_status status = sg_drawing_read(path, how, drawing, &error);
    close(ends[0]);
    waitpid(writer, NULL, 0);
    return status;
}

START_TEST(at_most_200_bytes_a_segment_are_held)
{
    const struct shape *shape = &shapes[_i];
    struct sg_drawing drawing;
    long before = peak_kb();
    enum sg_status status = read_shape(shape, POINTS, &as_it_is, &drawing);
    double held = (double)(peak_kb() - before) * 1024;
    ck_assert_msg(status == SG_OK, "%s: %s", shape->name, error.text);
    ck_assert_int_ge(drawing.path.n, POINTS / 2 - 1);
    ck_assert_msg(!MEASURED || held / (double)drawing.path.n <= BYTES_A_SEGMENT, "%s: %.0f bytes a segment",
                  shape->name, held / (double)drawing.path.n);
    sg_drawing_free(&drawing);
}
END_TEST

/* What the limit of 50 million segments does, with a smaller one: a refusal with its line, and no more held.
 */
START_TEST(beyond_the_limit_nothing_more_is_held)
{
    static const struct sg_drawing_how how = {.most_segments = 1000};
    const struct shape *shape = &shapes[_i];
    struct sg_drawing drawing;
    long before = peak_kb();
    ck_assert_int_eq(read_shape(shape, POINTS, &how, &drawing), SG_BAD_DATA);
    double held = (double)(peak_kb() - before) * 1024;
    ck_assert_msg(strstr(error.text, "more than 1000 segments: split the drawing"), "%s", error.text);
    ck_assert_msg(!MEASURED || held <= (double)POINTS * 100, "%s: %.0f bytes a point", shape->name,
                  held / POINTS);
}
END_TEST

static void line_on_its_own_layer(FILE *file, int i)
{
    fprintf(file, "0\nLINE\n8\nlayer of the line %d, with a name as long as names may be\n11\n%d\n", i,
            i + 1);
}

START_TEST(names_without_end_are_refused)
{
    static const struct shape shape = {"x.dxf: layers", "", "", line_on_its_own_layer};
    struct sg_drawing drawing;
    ck_assert_int_eq(read_shape(&shape, 99999, &as_it_is, &drawing), SG_OK);
    ck_assert_int_eq(drawing.n_layers, 100000); /* and layer 0 */
    sg_drawing_free(&drawing);
    ck_assert_int_eq(read_shape(&shape, 100000, &as_it_is, &drawing), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "more than 100000 names of layers or of blocks: split the drawing"),
                  "%s", error.text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("memory of the readers");
    TCase *tests = tcase_create("memory of the readers");
    signal(SIGPIPE, SIG_IGN); /* a writer whose reader is gone */
    tcase_add_loop_test(tests, at_most_200_bytes_a_segment_are_held, 0, SHAPES);
    tcase_add_loop_test(tests, beyond_the_limit_nothing_more_is_held, 0, SHAPES);
    tcase_add_test(tests, names_without_end_are_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
