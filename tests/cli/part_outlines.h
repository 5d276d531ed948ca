/* Parts whose outlines are drawings and part programs, for the tests of them from the command line. */
#ifndef SANDGLASS_TESTS_CLI_PART_OUTLINES_H
#define SANDGLASS_TESTS_CLI_PART_OUTLINES_H

#include "cli/csv.h"
#include "cli/json.h"
#include "cli/run.h"

/* A plate of length x width with a round hole in its middle, in a unit of $INSUNITS: 4 mm, 1 in, 0 none. */
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
    snprintf(text + n, sizeof text - (size_t)n,
             "0\nCIRCLE\n8\nHOLES\n10\n%.17g\n20\n%.17g\n40\n%.17g\n0\nENDSEC\n0\nEOF\n", length / 2,
             width / 2, hole);
    write_text(name, text);
}

/* A square of 40 with an open cut beside it. */
static const char program[] = "G21 G90\nG00 X0 Y0\nG01 X40\nY40\nX0\nY0\nG00 X50 Y0\nG01 X50 Y20\nM30\n";

/* Two lines that meet. */
static const char corner[] =
    "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n0\n20\n0\n11\n50\n21\n0\n0\nLINE\n10\n50\n20\n0\n"
    "11\n50\n21\n40\n0\nENDSEC\n0\nEOF\n";

static const double pi = 3.14159265358979323846;

/* shop.db: metric, job J with stock 1 of 6 mm mild steel and in it part A; plate.dxf 100 x 60 with a hole of
 * radius 10. */
static inline void make_part(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=3", "cut_length=500", "length=70",
            "width=50");
    put_plate("plate.dxf", 100, 60, 10, 4);
}

static inline struct ran plan_json(void)
{
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    return ran;
}

#define PART "$.jobs[0].stocks[0].parts[0]."

static inline void ck_plate_in_plan(double scale)
{
    struct ran ran = plan_json();
    ck_near(json_number(ran.out, PART "cut_length_mm"), scale * (320 + 20 * pi), 1e-12L);
    ck_assert(json_number(ran.out, PART "pierces") == 2);
    done(&ran);
}

static inline struct ran import(const char *key, const char *list, const char *option)
{
    return run("import", "-f", "shop.db", key, list, option, NULL);
}

#endif
