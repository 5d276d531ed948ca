/* What both readers of drawings share. */
#ifndef SANDGLASS_EXCHANGE_DRAWING_INSIDE_H
#define SANDGLASS_EXCHANGE_DRAWING_INSIDE_H

#include "exchange/drawing.h"

/* ---- lines of a file, piece by piece (drawing_lines.c) ---- */

enum { LINE_MOST = 65536, LINES_ROOM = 4 * LINE_MOST };

struct lines {
    const char *name;
    int file;         /* -1: memory */
    const char *data; /* what is left of it */
    size_t left;
    char *buffer; /* LINES_ROOM + 1 bytes */
    char *at, *end;
    bool ended, after_return;
    int64_t line; /* of the text given last, from 1 */
    struct sg_error *error;
    enum sg_status status; /* not SG_OK: reading failed and the error says why */
};

/* The first bytes of the file, for a look at what it is. */
enum sg_status lines_start(struct lines *lines);

/* The next line without its end (LF, CR LF or CR); behind it stands a byte that ends it. False at the end of
 * the file and where status is no longer SG_OK. */
bool lines_next(struct lines *lines, char **text, size_t *length);

/* ---- numbers (drawing_number.c) ---- */

/* Read a decimal number with a point, correctly rounded, that begins at *at, and move *at behind it. The text
 * ends in a byte that belongs to no number. False: there is none. */
bool decimal(const char **at, bool exponent, double *value);

/* ---- what is gathered (drawing_gather.c) ---- */

struct gather {
    struct lines lines;
    const struct sg_drawing_how *how;
    struct sg_drawing *out;
    struct sg_error *error;
    int64_t room, runs_room;
    double arc_tolerance;
    int64_t most;
    int64_t line; /* that is being understood: sentences name it */
    unsigned char problem_kinds[SG_DRAWING_PROBLEMS_LISTED];
    enum sg_status status;
};

/* Fail with `name`:line in front. Returns false, so that a caller can write `return refuse(...)`. */
bool refuse(struct gather *gather, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Note a problem of the line that is being understood. One text is listed once, one kind eight times. */
enum problem {
    PROBLEM_NOTHING,
    PROBLEM_ARC_END,
    PROBLEM_UNIT,
    PROBLEM_LAYER,
    PROBLEM_ENTITY,
    PROBLEM_BLOCK,
    PROBLEM_TILTED,
    PROBLEM_CUT_OFF,
    PROBLEM_WORD,
    PROBLEM_JET,
    PROBLEM_KINDS
};
void tell(struct gather *gather, enum problem kind, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A text of the file for a sentence: in static memory of `room` bytes, short and harmless. */
const char *shown(const char *text, char *out, size_t room);

/* Add a segment; a true arc counts as one. */
bool gather_segment(struct gather *gather, const struct sg_segment *segment, bool true_arc);
bool gather_run(struct gather *gather); /* the next segment begins a run */

/* Grow an array by at least one item when it is full. False: no memory, and it is said. */
bool grow(struct gather *gather, void **items, int64_t *room, int64_t n, size_t size);

/* ---- curves (drawing_curve.c) ---- */

enum { DEGREE_MOST = 15 };

/* An ellipse, or a piece of a rational Bezier curve: weighted x, weighted y, weight for each control point.
 */
struct curve {
    int degree;                            /* 0: an ellipse c + u cos t + v sin t, t from t0 to t1 */
    double cx, cy, ux, uy, vx, vy, t0, t1; /* a piece: t from 0 to 1 */
    double points[DEGREE_MOST + 1][3];
};

/* A place on a curve and its unit tangent there. */
struct end {
    double x, y, tx, ty;
};

/* The arc from (x0, y0) to (x1, y1) of half whose sweep these are the sine and cosine, times any length; with
 * the tangent of its start, or of its end. */
struct sg_segment arc_over(double x0, double y0, double x1, double y1, double across, double along);
struct sg_segment arc_by_tangent(const struct end *from, const struct end *to);
struct sg_segment arc_to_tangent(const struct end *from, const struct end *to);

/* The two arcs between two ends that have the ends' tangents and meet with one, of equal tangent length.
 * False: there are none, it turns too far. */
bool two_arcs(const struct end *from, const struct end *to, struct sg_segment arcs[2]);

/* The arcs of an ellipse, at most `off` mm away from it (drawing_ellipse.c); a whole one begins at the end of
 * its long axis. Returns how many; 0: it is too slender, or there is no room. */
enum { ELLIPSE_ARCS = 1024 };
int ellipse_arcs(const struct curve *curve, double off, struct sg_segment *arcs, int room);

/* Hand over the arcs and lines that stand for it, in its direction. */
bool curve_fit(const struct curve *curve, bool (*take)(void *context, const struct sg_segment *segment),
               void *context);

/* ---- the readers ---- */

bool read_dxf(struct gather *gather);     /* dxf.c */
bool read_program(struct gather *gather); /* part_program.c */

#endif
