/* An outline of a drawing made by hand, kept between a test's steps. */
#ifndef SANDGLASS_TESTS_OUTLINED_H
#define SANDGLASS_TESTS_OUTLINED_H

#include "support/drawing.h"
#include "support/random.h"

#include <check.h>

enum { ANY = SG_PROBLEMS };

static struct drawing drawing;
static struct sg_outline outline;

static inline void clear(void)
{
    drawing.n = 0;
}

static inline void drop(void)
{
    sg_outline_free(&outline);
}

static inline void make_within(double tolerance)
{
    struct sg_path path = path_of(&drawing);
    struct sg_outline_how how = {.tolerance = tolerance};
    struct sg_error error = {.text = ""};
    sg_outline_free(&outline);
    ck_assert_msg(sg_outline_make(&path, &how, &outline, &error) == SG_OK, "%s", error.text);
}

static inline void make(void)
{
    make_within(1e-4);
}

/* How many problems of a kind, those not listed too. */
static inline int64_t problems(int kind)
{
    int64_t n = 0;
    for (int i = 0; i < outline.n_problems; i++)
        if (kind == ANY || outline.problems[i].kind == kind)
            n += 1 + outline.problems[i].more;
    return n;
}

static inline const struct sg_outline_problem *problem(int kind)
{
    for (int i = 0; i < outline.n_problems; i++)
        if (outline.problems[i].kind == kind)
            return &outline.problems[i];
    ck_abort_msg("there is no problem of kind %d", kind);
}

/* All segments in another order, some the other way round. */
static inline void shuffle(uint64_t seed)
{
    struct random random = {seed};
    for (int64_t i = drawing.n - 1; i >= 0; i--) {
        int64_t k = random_below(&random, (unsigned)i + 1);
        struct sg_segment s = drawing.segments[i];
        drawing.segments[i] = drawing.segments[k];
        drawing.segments[k] = random_below(&random, 2) ? s : sg_segment_reversed(&s);
    }
}

#endif
