/* Drawings read in a test, and what is asked of them. */
#ifndef SANDGLASS_TESTS_DRAWINGS_H
#define SANDGLASS_TESTS_DRAWINGS_H

#include "exchange/drawing.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double pi = 3.14159265358979323846;
static const struct sg_drawing_how as_it_is;
static struct sg_error error;

static inline enum sg_status read_bytes(const char *name, const char *data, size_t length,
                                        const struct sg_drawing_how *how, struct sg_drawing *drawing)
{
    char *copy = malloc(length ? length : 1); /* of just the size, and gone before the drawing is looked at */
    memcpy(copy, data, length);
    enum sg_status status = sg_drawing_read_memory(name, copy, length, how, drawing, &error);
    free(copy);
    return status;
}

static inline const char *fixture(const char *name)
{
    static char path[1000];
    snprintf(path, sizeof path, "%s/drawings/%s", FIXTURES, name);
    return path;
}

static inline void read_fixture(const char *name, const struct sg_drawing_how *how,
                                struct sg_drawing *drawing)
{
    enum sg_status status = sg_drawing_read(fixture(name), how, drawing, &error);
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

static inline void read_good(const char *name, const char *text, const struct sg_drawing_how *how,
                             struct sg_drawing *drawing)
{
    enum sg_status status = read_bytes(name, text, strlen(text), how, drawing);
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

static inline void expect_refusal(const char *name, const char *text, const struct sg_drawing_how *how,
                                  const char *sentence)
{
    struct sg_drawing untouched, drawing;
    memset(&drawing, 0x55, sizeof drawing);
    memcpy(&untouched, &drawing, sizeof drawing);
    ck_assert_msg(read_bytes(name, text, strlen(text), how, &drawing) == SG_BAD_DATA, "read, instead of: %s",
                  sentence);
    ck_assert_str_eq(error.text, sentence);
    ck_assert_mem_eq(&drawing, &untouched, sizeof drawing);
}

static inline double length_of(const struct sg_drawing *drawing)
{
    double length = 0;
    for (int64_t i = 0; i < drawing->path.n; i++)
        length += sg_segment_length(&drawing->path.segments[i]);
    return length;
}

static inline double area_of(const struct sg_drawing *drawing)
{
    double area = 0;
    for (int64_t i = 0; i < drawing->path.n; i++)
        area += sg_segment_area(&drawing->path.segments[i]);
    return area;
}

static inline void expect_near(double value, double expected, double relative)
{
    ck_assert_double_eq_tol(value, expected, relative * fabs(expected) + 1e-12);
}

static inline void expect_box(const struct sg_drawing *drawing, double x0, double y0, double x1, double y1)
{
    double box[4] = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL}, expected[4] = {x0, y0, x1, y1};
    for (int64_t i = 0; i < drawing->path.n; i++)
        sg_segment_box(&drawing->path.segments[i], box);
    for (int i = 0; i < 4; i++)
        ck_assert_double_eq_tol(box[i], expected[i], 1e-9 * (1 + fabs(expected[i])));
}

/* The problems as LINE: TEXT (+MORE), one a line. */
static inline const char *problems_of(const struct sg_drawing *drawing)
{
    static char text[SG_DRAWING_PROBLEMS_LISTED * 260];
    size_t n = 0;
    text[0] = '\0';
    for (int i = 0; i < drawing->n_problems; i++) {
        const struct sg_drawing_problem *one = &drawing->problems[i];
        n += (size_t)snprintf(text + n, sizeof text - n, "%lld: %s", (long long)one->line, one->text);
        if (one->more)
            n += (size_t)snprintf(text + n, sizeof text - n, " (+%lld)", (long long)one->more);
        n += (size_t)snprintf(text + n, sizeof text - n, "\n");
    }
    return text;
}

/* Perimeter of an ellipse by the arithmetic-geometric mean (Gauss): 2 pi (a^2 - sum 2^(n-1) c_n^2) / M. */
static inline double ellipse_perimeter(double a, double b)
{
    double x = a, y = b, power = 0.5, sum = 0.5 * (a * a - b * b);
    for (int i = 0; i < 20; i++) {
        double c = (x - y) / 2, mean = (x + y) / 2;
        y = sqrt(x * y);
        x = mean;
        power *= 2;
        sum += power * c * c;
    }
    return 2 * pi * (a * a - sum) / x;
}

#endif
