/* A drawing or part program read and measured: what `outline` tells of a file and what a part gets of it are
 * made here, in one way. */
#ifndef SANDGLASS_EXCHANGE_DRAWING_MEASURE_H
#define SANDGLASS_EXCHANGE_DRAWING_MEASURE_H

#include "exchange/drawing.h"
#include "sandglass/field.h"
#include "sandglass/outline.h"
#include "sandglass/shop.h"

#define SG_MEASURE_TOLERANCE 0.0001 /* drawing units within which two ends are one */
#define SG_MEASURE_SMALL 5.0        /* mm; a part whose longer side is less most often has its unit wrong */

struct sg_measure_how {
    struct sg_drawing_how drawing;
    const char *const *layers_in; /* of a DXF: only these; NULL: all */
    int n_layers_in;
    double tolerance; /* drawing units; SG_MEASURE_TOLERANCE */
    double bore;      /* mm; a hole that is narrower cannot be cut */
};

/* The settings of a shop: how its machine reads drawings and part programs, and the bore of its narrowest
 * mixing tube. how points into the struct and into the shop: neither may move. */
struct sg_measure_settings {
    struct sg_measure_how how;
    char names[4 * SG_TEXT_MAX + 1];
    const char *layers_out[SG_TEXT_MAX];
};
void sg_measure_settings(const struct sg_shop *shop, struct sg_measure_settings *out);

struct sg_measured {
    struct sg_drawing drawing;
    struct sg_outline outline; /* of a DXF in the order in which it is cut, of a program in its own */
    double bore;               /* as it was asked with */
};

/* Read a file, "-" is standard input, and measure it. Errors as sg_drawing_read and sg_outline_make. Free
 * with sg_measured_free, after an error too. */
enum sg_status sg_measure(const char *name, const struct sg_measure_how *how, struct sg_measured *out,
                          struct sg_error *error);
void sg_measured_free(struct sg_measured *measured);

/* mm of the rapids from zero over all pierces in a short order, inner contours before the outer ones, be it a
 * drawing or a program. SG_FAULT: no memory. */
enum sg_status sg_measured_rapid(const struct sg_measured *measured, double *length, struct sg_error *error);

/* Something to look at in it. */
struct sg_remark {
    int64_t line; /* of the file; 0: none */
    double x, y;  /* mm; NaN: no place */
    int64_t more; /* how many like it are not told one by one */
    char text[300];
};

/* The remarks one after the other, from 0; lengths in mm or in. False behind the last. */
bool sg_measured_remark(const struct sg_measured *measured, int index, bool inches, struct sg_remark *out);

#endif
