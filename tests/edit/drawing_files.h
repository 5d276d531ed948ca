/* Drawings and part programs in a folder, for the tests of what is typed as an outline. */
#ifndef SANDGLASS_TESTS_EDIT_DRAWING_FILES_H
#define SANDGLASS_TESTS_EDIT_DRAWING_FILES_H

#include <check.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char drawings[512]; /* the folder, which is the working one */

static inline void enter_drawings(void)
{
    snprintf(drawings, sizeof drawings, "%s/drawings-XXXXXX", SCRATCH);
    ck_assert_ptr_nonnull(mkdtemp(drawings));
    ck_assert_int_eq(chdir(drawings), 0);
}

static inline void leave_drawings(void)
{
    char command[600];
    snprintf(command, sizeof command, "rm -rf '%s'", drawings);
    ck_assert_int_eq(chdir("/"), 0);
    ck_assert_int_eq(system(command), 0);
}

static inline void put_bytes(const char *name, const char *text, size_t size)
{
    FILE *out = fopen(name, "wb");
    ck_assert_msg(out && fwrite(text, 1, size, out) == size && fclose(out) == 0, "%s", name);
}

static inline void put_file(const char *name, const char *text)
{
    put_bytes(name, text, strlen(text));
}

/* A plate of length x width with a round hole in its middle; units: of $INSUNITS, 4 mm, 1 in, 0 not said. */
static inline void put_plate(const char *name, double length, double width, double hole, int units)
{
    char text[2000];
    int n =
        snprintf(text, sizeof text,
                 "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n", units);
    const double x[] = {0, length, length, 0, 0}, y[] = {0, 0, width, width, 0};
    for (int i = 0; i < 4; i++)
        n += snprintf(text + n, sizeof text - (size_t)n,
                      "0\nLINE\n8\nCUT\n10\n%.17g\n20\n%.17g\n11\n%.17g\n21\n%.17g\n", x[i], y[i], x[i + 1],
                      y[i + 1]);
    if (hole > 0)
        n += snprintf(text + n, sizeof text - (size_t)n,
                      "0\nCIRCLE\n8\nHOLES\n10\n%.17g\n20\n%.17g\n40\n%.17g\n", length / 2, width / 2, hole);
    snprintf(text + n, sizeof text - (size_t)n, "0\nENDSEC\n0\nEOF\n");
    put_file(name, text);
}

#endif
