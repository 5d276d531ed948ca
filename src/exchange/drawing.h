/* Drawings and part programs in: ASCII DXF and ISO 6983 words become lines and arcs in mm.
 *
 * A file is read once, front to back, in pieces; nothing is kept of it but the segments, and of a DXF its
 * blocks. At most 200 bytes a segment are held while it is read (a block that a drawing places counts for its
 * own segments once more). Either all of a file was read or the call fails; cut lines that could be seen but
 * not measured are counted in left_out and stand in problems.
 *
 * Curves: an ellipse or a spline becomes arcs that meet in its own direction (within 0.02 radians), and where
 * it turns in x or y in just that, so that its box is exact. They keep within SG_CURVE_OFF mm (and 1e-5 of
 * its size) of it; their length is within 2e-7 of its own (of its size, where it is nearly nothing), the area
 * of an ellipse within 1e-6, that beside a spline within 1e-7 of its length squared. They are marked as
 * fitted: smallest_radius and arcs count ARC, CIRCLE, bulges, G02 and G03 alone.
 *
 * DXF: LINE, ARC, CIRCLE, ELLIPSE, LWPOLYLINE, POLYLINE, SPLINE with control points, INSERT. What stands
 * tilted is measured by its shadow in the plane, and said. Layers that are off or frozen are read, and said.
 * What is in paper space or invisible is no cut line.
 *
 * Part programs: X and Y alone; G17, G20 G21 G70 G71, G90 G91, G90.1 G91.1 (centres), G92 G92.1 G92.2 G92.3
 * and G00 to G03 are followed. The jet takes its state before the move of its block. Passed over without a
 * word: N, O, E, F, S, T, H, D, K, L, P, Q, M words that are no jet words, and the G words of speed, kerf,
 * length and work place. Passed over and said: A, B, C, U, V, W, `/`, G words that are not known, a second
 * work place, X and Y of a machine function from M100 on, and the way to the machine's own home (G28, G30).
 * Refused, because the path would be another: variables and sums, subprograms, an arc in G18 or G19, drilling
 * cycles, and what moves, turns or scales the path (table in part_program_words.c). */
#ifndef SANDGLASS_EXCHANGE_DRAWING_H
#define SANDGLASS_EXCHANGE_DRAWING_H

#include "sandglass/path.h"
#include "sandglass/status.h"

#include <stddef.h>

enum { SG_DRAWING_SEGMENTS_MAX = 50000000, SG_DRAWING_PROBLEMS_LISTED = 100 };
#define SG_DRAWING_REACH 1e9 /* mm; no coordinate lies further out */
#define SG_CURVE_OFF 0.001   /* mm */
/* How far the end of an arc may lie off its circle: 0.0002 in, as NISTIR 6556 has it (from memory). */
#define SG_ARC_END_OFF 0.00508 /* mm */

enum sg_drawing_kind { SG_DRAWING_DXF, SG_DRAWING_PROGRAM };
enum sg_drawing_unit { SG_DRAWING_UNIT_OF_FILE, SG_DRAWING_MM, SG_DRAWING_IN };
enum sg_unit_from { SG_UNIT_FROM_HEADER, SG_UNIT_FROM_OPTION, SG_UNIT_ASSUMED };

/* All zero: the file decides, and mm where it does not. */
struct sg_drawing_how {
    /* Asked for. It goes before the unit of a DXF's header; in a program before the first G20, G21, G70 or
     * G71, which are followed. */
    enum sg_drawing_unit unit;
    double arc_tolerance; /* mm that an arc's end may lie off its circle; 0: SG_ARC_END_OFF */
    const char *const *layers_out;
    int n_layers_out;     /* a DXF's layers that are left out, whatever the case */
    bool layers_may_lack; /* that one of them is not in the drawing is not said */
    /* The words of a program's block that turn the jet on and off, such as "M03" or "M62 P1". Both or none;
     * NULL: G00 is off, G01 to G03 are on. */
    const char *on, *off;
    int64_t most_segments; /* 0: SG_DRAWING_SEGMENTS_MAX */
};

struct sg_drawing_problem {
    int64_t line;   /* of the file, the first one that has it; 0: the whole file */
    char text[200]; /* a sentence without the line */
    int64_t more;   /* how many like it are not listed one by one */
};

struct sg_drawing_layer {
    char *name;
    bool off;         /* switched off or frozen in the drawing */
    bool left_out;    /* asked for */
    int64_t segments; /* taken from it */
};

struct sg_drawing {
    enum sg_drawing_kind kind;
    struct sg_path path; /* mm, in the order of the file */
    int64_t *runs;       /* of a program: the first segment of each chain cut without a rapid; else NULL */
    int64_t n_runs;
    double rapid_length;    /* mm of a program's moves with the jet off, from program zero; of a DXF NaN */
    const char *unit;       /* "mm", "in", "cm" ...: of the drawing, or of the first move */
    double unit_mm;         /* mm in one of it */
    int unit_from;          /* enum sg_unit_from */
    int64_t arcs, curves;   /* true arcs among the segments; ellipses and spans of splines that became arcs */
    double smallest_radius; /* mm, of the true arcs; NaN without one */
    int64_t others;         /* entities that are no cut lines (texts, hatches, points, dimensions) */
    int64_t left_out;       /* cut lines that could not be measured; each is in problems */
    struct sg_drawing_layer *layers; /* of a DXF that were named, in order of appearance */
    int n_layers;
    struct sg_drawing_problem problems[SG_DRAWING_PROBLEMS_LISTED];
    int n_problems;
};

/* Read a file, "-" is standard input. What it is is found by its content, and by its name where that could be
 * both. SG_NO_FILE with the reason; SG_BAD_DATA names `name`:line and what would be right; SG_USAGE: wrong
 * jet words. Free with sg_drawing_free. */
enum sg_status sg_drawing_read(const char *name, const struct sg_drawing_how *how, struct sg_drawing *out,
                               struct sg_error *error);

/* The same of bytes in memory; `name` as a file's name. */
enum sg_status sg_drawing_read_memory(const char *name, const void *data, size_t length,
                                      const struct sg_drawing_how *how, struct sg_drawing *out,
                                      struct sg_error *error);

void sg_drawing_free(struct sg_drawing *drawing);

#endif
