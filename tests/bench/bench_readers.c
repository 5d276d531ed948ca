/* The readers of drawings: a DXF of 10 MB as LINEs and as polylines with bulges, one of 1 MB of ellipses, a
 * part program of 15 MB, from memory and from a file, in processor time; and what is held of 10 million
 * points. Prints medians, judges nothing. */
#include "exchange/drawing.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RUNS = 9 };

static struct sg_error error;

static double now_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now); /* the machine may have other work */
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static void must(bool truth, const char *what)
{
    if (truth)
        return;
    fprintf(stderr, "%s: %s\n", what, error.text);
    exit(1);
}

/* ---- files ---- */

struct text {
    char *data;
    size_t length, room;
};

/* A whole file; `piece` writes the i-th entity or block. */
static struct text written(size_t least, const char *start, const char *end,
                           int (*piece)(char *out, size_t room, int i))
{
    struct text text = {malloc(least + 4096), 0, least + 4096};
    must(text.data != NULL, "memory");
    text.length = (size_t)snprintf(text.data, text.room, "%s", start);
    for (int i = 0; text.length < least; i++)
        text.length += (size_t)piece(text.data + text.length, text.room - text.length, i);
    text.length += (size_t)snprintf(text.data + text.length, text.room - text.length, "%s", end);
    return text;
}

static const char dxf_start[] =
    "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n";
static const char dxf_end[] = "0\nENDSEC\n0\nEOF\n";

static int line(char *out, size_t room, int i)
{
    return snprintf(
        out, room,
        "  0\nLINE\n  5\n%X\n100\nAcDbEntity\n  8\nCONTOUR\n100\nAcDbLine\n 10\n%.15g\n 20\n%.15g\n 30\n"
        "0.0\n 11\n%.15g\n 21\n%.15g\n 31\n0.0\n",
        i, i * 0.7312345678901, sin(i), (i + 1) * 0.7312345678901, sin(i + 1));
}

static int polyline(char *out, size_t room, int i)
{
    int n = snprintf(out, room, "  0\nLWPOLYLINE\n  8\n0\n 90\n50\n 70\n1\n");
    for (int k = 0; k < 50; k++)
        n += snprintf(out + n, room - (size_t)n, " 10\n%.6f\n 20\n%.6f\n 42\n%.4f\n", i * 10 + cos(k / 8.0),
                      sin(k / 8.0), k % 5 ? 0 : 0.1);
    return n;
}

static int ellipse(char *out, size_t room, int i)
{
    return snprintf(out, room, "  0\nELLIPSE\n  8\n0\n 10\n%d.5\n 20\n3.25\n 11\n20\n 21\n5\n 40\n0.6\n", i);
}

static int block(char *out, size_t room, int i)
{
    if (i % 40 == 39)
        return snprintf(out, room, "N%d G00 X%.4f Y%.4f\n", 10 * i, i * 0.01, cos(i));
    if (i % 8 == 7)
        return snprintf(out, room, "N%d G03 X%.4f Y%.4f I0.5000 J0.0000\n", 10 * i, i * 0.01 + 1, cos(i));
    return snprintf(out, room, "N%d G01 X%.4f Y%.4f F1200.\n", 10 * i, i * 0.01, cos(i));
}

/* ---- measures ---- */

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void measure(const char *what, const struct text *text, bool from_file)
{
    static const struct sg_drawing_how how = {.arc_tolerance = 10};
    const char *name = "bench_readers.tmp";
    double times[RUNS];
    int64_t n = 0;
    if (from_file) {
        FILE *file = fopen(name, "wb");
        must(file && fwrite(text->data, 1, text->length, file) == text->length && fclose(file) == 0, name);
    }
    for (int i = 0; i < RUNS; i++) {
        struct sg_drawing drawing;
        double start = now_s();
        enum sg_status status =
            from_file ? sg_drawing_read(name, &how, &drawing, &error)
                      : sg_drawing_read_memory(what, text->data, text->length, &how, &drawing, &error);
        times[i] = now_s() - start;
        must(status == SG_OK, what);
        n = drawing.path.n;
        sg_drawing_free(&drawing);
    }
    if (from_file)
        remove(name);
    qsort(times, RUNS, sizeof *times, by_size);
    double mb = (double)text->length / 1e6;
    printf("%-34s %5.1f MB %9lld segments %7.1f ms (%.1f to %.1f) %6.0f MB/s\n", what, mb, (long long)n,
           times[RUNS / 2] * 1e3, times[0] * 1e3, times[RUNS - 1] * 1e3, mb / times[RUNS / 2]);
}

/* ---- memory ---- */

enum { POINTS = 10000000 };

static void line_to(FILE *file, int i)
{
    fprintf(file, "0\nLINE\n10\n%d\n21\n%d\n", i, i % 2);
}

static void vertex_to(FILE *file, int i)
{
    fprintf(file, "10\n%d\n20\n%d\n", i, i % 2);
}

static void block_to(FILE *file, int i)
{
    fprintf(file, "X%dY%d\n", i, i % 2);
}

static long peak_kb(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
}

/* Ten million points through a pipe: what this process holds is what the reader holds. */
static void measure_memory(const char *what, const char *start, void (*point)(FILE *file, int i),
                           const char *end)
{
    static const struct sg_drawing_how how;
    struct sg_drawing drawing;
    int ends[2];
    char path[40];
    long before = peak_kb();
    must(pipe(ends) == 0, "pipe");
    pid_t writer = fork();
    must(writer >= 0, "fork");
    if (writer == 0) {
        FILE *file = fdopen(ends[1], "w");
        close(ends[0]);
        fputs(start, file);
        for (int i = 0; i < POINTS; i++)
            point(file, i);
        fputs(end, file);
        fclose(file);
        _exit(0);
    }
    close(ends[1]);
    snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    must(sg_drawing_read(path, &how, &drawing, &error) == SG_OK, what);
    printf("%-34s %9lld segments %6.1f bytes each at the peak\n", what, (long long)drawing.path.n,
           (double)(peak_kb() - before) * 1024 / (double)drawing.path.n);
    fflush(stdout);
    close(ends[0]);
    waitpid(writer, NULL, 0);
    sg_drawing_free(&drawing);
}

static void measure_in_its_own_process(const char *what, const char *start, void (*point)(FILE *file, int i),
                                       const char *end)
{
    fflush(stdout);
    pid_t child = fork();
    must(child >= 0, "fork");
    if (child == 0) {
        measure_memory(what, start, point, end);
        _exit(0);
    }
    waitpid(child, NULL, 0);
}

static void measure_times(void)
{
    const size_t ten = 10000000, fifteen = 15000000;
    struct text lines = written(ten, dxf_start, dxf_end, line);
    struct text polylines = written(ten, dxf_start, dxf_end, polyline);
    struct text ellipses = written(ten / 10, dxf_start, dxf_end, ellipse);
    struct text program = written(fifteen, "%\nO1000\nG21 G90 G17\nG00 X0 Y0\n", "M30\n%\n", block);
    printf("budget: DXF of 10 MB 300 ms, part program of 15 MB 100 ms, ellipses 100 ms; medians of %d\n",
           RUNS);
    measure("DXF, LINE", &lines, false);
    measure("DXF, LINE, from a file", &lines, true);
    measure("DXF, LWPOLYLINE with bulges", &polylines, false);
    measure("DXF, ELLIPSE", &ellipses, false);
    measure("part program", &program, false);
    measure("part program, from a file", &program, true);
    free(lines.data);
    free(polylines.data);
    free(ellipses.data);
    free(program.data);
}

int main(void)
{
    printf("budget: 200 bytes a segment\n");
    measure_in_its_own_process("DXF, LWPOLYLINE", "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n", vertex_to,
                               dxf_end);
    measure_in_its_own_process("DXF, LINE", "0\nSECTION\n2\nENTITIES\n", line_to, dxf_end);
    measure_in_its_own_process("part program", "G1\n", block_to, "M30\n");
    measure_times();
    return 0;
}
