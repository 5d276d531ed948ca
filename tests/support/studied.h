/* Runs of a simulated shop and what is fitted to them, kept between a test's steps. */
#ifndef SANDGLASS_TESTS_STUDIED_H
#define SANDGLASS_TESTS_STUDIED_H

#include "support/expect.h"
#include "support/simulated_shop.h"

#include <string.h>

#define UNKNOWN ((double)NAN)

enum { MOST = 40 };

static struct sg_arena arena;
static struct sg_study study;
static struct sg_study_run runs[MOST];
static struct simulated_shop hidden;

static inline void tear_down(void)
{
    sg_arena_free(&arena);
}

static inline void without_noise(void)
{
    hidden.noise = hidden.wild = 0;
}

static inline void cut(int32_t from, int32_t to)
{
    for (int32_t i = from; i < to; i++) {
        struct simulated_job job = simulated_job(&hidden, i);
        runs[i] = simulated_run(&hidden, &job);
    }
}

static inline void fit_with(int32_t n, unsigned with)
{
    must_hold(sg_study_fit(runs, n, &sg_fresh_machine, with, &arena, &study));
}

static inline void fit(int32_t n)
{
    fit_with(n, SG_STUDY_USE_FEED);
}

static inline void says(const struct sg_study_number *number, const char *expected)
{
    char text[100];
    int length = sg_study_sentence(number, text, sizeof text);
    ck_assert_str_eq(text, expected);
    ck_assert_int_eq(length, (int)strlen(expected));
}

#endif
