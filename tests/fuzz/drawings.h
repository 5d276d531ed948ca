/* What holds of every drawing that was read, and of every refusal. */
#ifndef FUZZ_DRAWINGS_H
#define FUZZ_DRAWINGS_H

#include "exchange/drawing.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static inline void require(bool truth, const char *what)
{
    if (truth)
        return;
    fprintf(stderr, "not so: %s\n", what);
    abort();
}

static inline bool within(double value)
{
    return fabs(value) <= SG_DRAWING_REACH;
}

static inline void check_segment(const struct sg_segment *s)
{
    require(within(s->x0) && within(s->y0) && within(s->x1) && within(s->y1), "a point is within reach");
    require(fabs(s->sweep) <= 6.2831853071795872, "an arc is at most a turn");
    require(!sg_is_arc(s) || (isfinite(s->cx) && isfinite(s->cy)), "a centre is finite");
    require(isfinite(sg_segment_length(s)), "a length is finite");
}

static inline void check_drawing(const struct sg_drawing *drawing)
{
    for (int64_t i = 0; i < drawing->path.n; i++)
        check_segment(&drawing->path.segments[i]);
    require((drawing->kind == SG_DRAWING_PROGRAM && drawing->path.n > 0) == (drawing->n_runs > 0),
            "a program that cuts has runs");
    for (int64_t i = 0; i < drawing->n_runs; i++)
        require(drawing->runs[i] >= (i ? drawing->runs[i - 1] + 1 : 0) && drawing->runs[i] < drawing->path.n,
                "each run has a segment");
    require((drawing->kind == SG_DRAWING_DXF) == isnan(drawing->rapid_length), "programs have rapids");
    require(drawing->kind == SG_DRAWING_DXF || drawing->rapid_length >= 0, "rapids have a length");
    require((drawing->arcs > 0) == !isnan(drawing->smallest_radius), "arcs have a smallest radius");
    require(drawing->unit && drawing->unit_mm > 0, "the unit is known");
    require(drawing->path.n > 0 || drawing->n_problems > 0, "nothing to cut is said");
    require(drawing->left_out == 0 || drawing->n_problems > 0, "what is left out is said");
    for (int i = 0; i < drawing->n_problems; i++)
        require(drawing->problems[i].text[0] != '\0' && drawing->problems[i].more >= 0,
                "a problem is a sentence");
}

/* Read twice: the second time of a copy that is gone before the drawing is looked at. */
static inline void read_any(const char *name, const uint8_t *data, size_t size,
                            const struct sg_drawing_how *how)
{
    struct sg_drawing first, second;
    struct sg_error error = {SG_OK, ""};
    uint8_t *copy = malloc(size ? size : 1); /* of just the size, for the sanitizer */
    if (!copy)
        return;
    memcpy(copy, data, size);
    enum sg_status status = sg_drawing_read_memory(name, copy, size, how, &second, &error);
    free(copy);
    if (status != SG_OK) {
        require(status == SG_BAD_DATA && error.status == status &&
                    strncmp(error.text, name, strlen(name)) == 0,
                "a refusal has its reason and names the file");
        return;
    }
    check_drawing(&second);
    require(sg_drawing_read_memory(name, data, size, how, &first, &error) == SG_OK, "what was read is read");
    require(first.path.n == second.path.n &&
                (first.path.n == 0 || memcmp(first.path.segments, second.path.segments,
                                             (size_t)first.path.n * sizeof *first.path.segments) == 0),
            "the same file is the same path");
    sg_drawing_free(&first);
    sg_drawing_free(&second);
}

#endif
