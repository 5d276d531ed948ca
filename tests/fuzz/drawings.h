/* What holds of every drawing that was read, and of every refusal. */
#ifndef FUZZ_DRAWINGS_H
#define FUZZ_DRAWINGS_H

#include "exchange/drawing.h"
#include "sandglass/motion.h"
#include "sandglass/outline.h"

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
    int64_t arcs = 0;
    for (int64_t i = 0; i < drawing->path.n; i++) {
        check_segment(&drawing->path.segments[i]);
        arcs += sg_is_arc(&drawing->path.segments[i]) && !drawing->path.segments[i].fitted;
    }
    require(arcs == drawing->arcs, "arcs of the drawing are known from fitted ones");
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

static inline bool same_segment(const struct sg_segment *a, const struct sg_segment *b)
{
    return a->x0 == b->x0 && a->y0 == b->y0 && a->x1 == b->x1 && a->y1 == b->y1 && a->cx == b->cx &&
           a->cy == b->cy && a->sweep == b->sweep && a->fitted == b->fitted;
}

static inline bool same_path(const struct sg_path *a, const struct sg_path *b)
{
    bool same = a->n == b->n;
    for (int64_t i = 0; same && i < a->n; i++)
        same = same_segment(&a->segments[i], &b->segments[i]);
    return same;
}

/* The bytes of an outline are the outline. */
static inline void check_packed(const struct sg_outline *outline)
{
    struct sg_arena arena = {0};
    struct sg_outline again;
    struct sg_error error;
    size_t size = sg_outline_pack(outline, NULL);
    unsigned char *bytes = malloc(size), *twice = malloc(size);
    require(bytes && twice, "there is memory");
    sg_outline_pack(outline, bytes);
    require(sg_outline_unpack(bytes, size, &arena, &again, &error) == SG_OK, "what was packed is unpacked");
    require(sg_outline_pack(&again, twice) == size && memcmp(bytes, twice, size) == 0,
            "an outline comes back as it went");
    free(bytes);
    free(twice);
    sg_arena_free(&arena);
}

/* What becomes of the drawing in the plan: an outline, its order, its time. */
static inline void check_outline(const struct sg_drawing *drawing)
{
    struct sg_outline outline;
    struct sg_error error;
    struct sg_motion motion;
    const struct sg_outline_how how = {.tolerance = 0.0001 * drawing->unit_mm,
                                       .chained = drawing->kind == SG_DRAWING_PROGRAM,
                                       .runs = drawing->runs,
                                       .n_runs = drawing->n_runs,
                                       .fit_arcs = true};
    const struct sg_motion_limits limits = {
        .feed = 5, .top = 100, .acceleration = 500, .deviation = SG_DEVIATION, .lag = 2, .error = 0.15};
    enum sg_status status = sg_outline_make(&drawing->path, &how, &outline, &error);
    if (status != SG_OK) { /* an arc whose centre lies out of reach */
        require(status == SG_BAD_DATA && error.text[0] != '\0', "a refusal has its reason");
        return;
    }
    require(sg_outline_arrange(&outline, 20), "contours can be ordered");
    for (int32_t i = 0; i < outline.n_contours; i++)
        require(outline.contours[i].outside < 0 || outline.contours[i].outside > i,
                "an inner contour comes before the outer one");
    struct sg_motion_memory *memory = sg_motion_memory_new();
    require(memory && sg_motion_outline(&outline, &limits, memory, &motion), "there is memory");
    require(motion.total >= 0 && isfinite(motion.total), "a cut takes a time");
    require(motion.total >= outline.cut_length / limits.feed * (1 - 1e-6) - 1e-6 || outline.n_contours == 0 ||
                motion.length < outline.cut_length,
            "nothing is faster than the feed");
    check_packed(&outline);
    sg_motion_memory_free(memory);
    sg_outline_free(&outline);
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
    require(same_path(&first.path, &second.path), "the same file is the same path");
    if (first.path.n <= 2000)
        check_outline(&first);
    sg_drawing_free(&first);
    sg_drawing_free(&second);
}

#endif
