/* Outlines put into the example's file. */
#ifndef SANDGLASS_TESTS_STORE_DRAWN_H
#define SANDGLASS_TESTS_STORE_DRAWN_H

#include "store/example_file.h"
#include "support/random_outline.h"

static void commit(void)
{
    ck_assert_msg(sg_store_commit(store, &error) == SG_OK, "%s", error.text);
}

static struct sg_drawn drawn_of(const char *name, const struct sg_outline *outline)
{
    return (struct sg_drawn){.name = name, .outline = outline, .rapid_length = (double)NAN};
}

static void insert(struct sg_drawn *drawn)
{
    ck_assert_msg(sg_store_insert_drawn(store, drawn, &error) == SG_OK, "%s", error.text);
}

/* A polygon of n corners on a circle: 33 bytes each. */
static void draw_polygon(int n, struct sg_outline *out)
{
    struct sg_segment *segments = calloc((size_t)n, sizeof *segments);
    struct sg_outline_how how = {.tolerance = 1e-4};
    for (int i = 0; i < n; i++) {
        double a = 2 * pi * i / n, b = 2 * pi * ((i + 1) % n) / n;
        segments[i] = line(500 * cos(a), 500 * sin(a), 500 * cos(b), 500 * sin(b));
    }
    const struct sg_path path = {segments, n};
    ck_assert_msg(sg_outline_make(&path, &how, out, &error) == SG_OK, "%s", error.text);
    free(segments);
}

#endif
