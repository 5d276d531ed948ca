/* The outline of a part: contours chained from segments, measured. What does not fit together is reported and
 * never guessed. */
#ifndef SANDGLASS_OUTLINE_H
#define SANDGLASS_OUTLINE_H

#include "sandglass/arena.h"
#include "sandglass/path.h"
#include "sandglass/status.h"

#include <stddef.h>

/* One chain of segments, each beginning where the one before ends. A run of a part program that has leads of
 * its own is the closed loop within it; the leads' segments lie right before and right behind the loop's. */
struct sg_contour {
    int64_t first, n;          /* of the outline's segments */
    int32_t lead_in, lead_out; /* segments of the leads that are drawn; both 0: none */
    bool closed;
    bool clockwise;  /* of a closed one: the way its segments go round */
    bool inner;      /* of a closed one: at odd depth of containment, a hole */
    int32_t depth;   /* closed contours around it */
    int32_t outside; /* index of the contour right around it, SG_UNKNOWN: none */
    double length;   /* mm, without its leads */
    double area;     /* mm2 inside a closed one, positive; 0 of an open one */
    double box[4];   /* min x, min y, max x, max y */
    int32_t corners; /* joints that turn by more than SG_CORNER_TURN */
};

enum sg_outline_problem_kind {
    SG_PROBLEM_GAP,       /* an open end lies near another, not within the tolerance */
    SG_PROBLEM_BRANCH,    /* more than two ends meet: every chain is cut there */
    SG_PROBLEM_DOUBLE,    /* a segment lies on another */
    SG_PROBLEM_CROSSING,  /* contours cross themselves or each other */
    SG_PROBLEM_NO_LENGTH, /* a segment without length was left out */
    SG_PROBLEM_CHORDS,    /* a curve of short chords that is no circle within SG_CHORD_FIT: taken as it is */
    SG_PROBLEM_TANGLED,   /* too much lies on top of each other: what is not listed was not looked for */
    SG_PROBLEMS
};

struct sg_outline_problem {
    int kind;     /* enum sg_outline_problem_kind */
    double x, y;  /* where */
    double size;  /* mm of a gap; else NaN */
    int64_t more; /* how many like it are not listed one by one: of the last listed of its kind, else 0 */
};

enum { SG_PROBLEMS_LISTED = 50 }; /* each kind has its share, so that none hides another */

/* Everything lies in one block of memory of its own: free with sg_outline_free. */
struct sg_outline {
    struct sg_segment *segments; /* in chain order, turned where a chain needed it */
    int64_t n_segments;
    struct sg_contour *contours;
    int32_t n_contours;
    struct sg_outline_problem problems[SG_PROBLEMS_LISTED];
    int32_t n_problems;
    /* measured */
    int32_t closed, open; /* contours */
    int32_t pierces;      /* closed + open */
    double cut_length;    /* mm, leads that are drawn included */
    double box[4];        /* of all of it; NaN where there is nothing */
    double area;          /* mm2 net: closed contours by even and odd depth */
    int64_t corners;
    double smallest_radius; /* mm over its arcs; NaN without one */
};

struct sg_outline_how {
    double tolerance;    /* mm within which two ends are one */
    bool chained;        /* segments come in runs that are chains already (a part program): `runs` */
    const int64_t *runs; /* first segment of each run */
    int64_t n_runs;
    bool fit_arcs; /* runs of short chords within SG_CHORD_FIT of a circle become arcs: in the segments, for
                      the speed along them; everything measured is that of the chords as they came */
};

#define SG_CORNER_TURN                                                                                       \
    (20 * 3.14159265358979323846 / 180) /* radians; a joint that turns by more is a corner */
#define SG_CHORD_FIT 0.01               /* mm */
#define SG_OUTLINE_REACH 1e9            /* mm from zero that a drawing may reach */

/* Chain and measure. SG_BAD_DATA: coordinates that are not finite or beyond SG_OUTLINE_REACH, an arc of more
 * than a turn; SG_FAULT: no memory. Same path, same bits. */
enum sg_status sg_outline_make(const struct sg_path *path, const struct sg_outline_how *how,
                               struct sg_outline *out, struct sg_error *error);
void sg_outline_free(struct sg_outline *outline);

/* The sentence of a problem, lengths in mm or in. As snprintf returns. */
int sg_outline_problem_text(const struct sg_outline_problem *problem, bool inches, char *out, size_t size);

/* Put the contours into the order in which they are cut: inner ones before the outer one around them, the way
 * between pierces short (tour.h, `kicks` of it). False: no memory, and the order is as it was. */
bool sg_outline_arrange(struct sg_outline *outline, int32_t kicks);

/* A lead: the straight approach from a pierce off the part line, on the scrap side: outside of an outer
 * contour, inside of a hole (and no longer there than half the hole's smaller side). Its rule is a length per
 * thickness, at least SG_LEAD_LEAST; 0 per thickness is no lead. Basis: common practice. */
#define SG_LEAD_LEAST 2.0
double sg_lead(double per_thickness, double thickness);

/* mm that leads of `lead` mm add to the cut over all contours that have none drawn, lead-in and lead-out. */
double sg_outline_leads(const struct sg_outline *outline, double lead);

/* Where a contour is pierced: where its drawn lead begins, else its start, off the line by its lead. An open
 * one has no scrap side: on its start. */
void sg_outline_pierce(const struct sg_outline *outline, int32_t contour, double lead, double *x, double *y);

/* Where the jet goes off behind a contour: where its drawn lead ends, the pierce of another closed one, the
 * end of an open one. */
void sg_outline_end(const struct sg_outline *outline, int32_t contour, double lead, double *x, double *y);

/* The rapid moves of one piece: from pierce to pierce in the order of the contours, and from the last to the
 * first pierce of the next piece, which lies `step` mm further along y, as columns are cut (cut_order.h).
 * Seconds, each move from rest to rest at mm/s and mm/s2; *length mm. */
double sg_outline_rapid(const struct sg_outline *outline, double lead, double step, double speed,
                        double acceleration, double *length);

/* ---- kept in a file ---- */

/* The outline as bytes, the same on every machine: everything but the problems. `out` may be NULL; returns
 * how many bytes it takes. */
size_t sg_outline_pack(const struct sg_outline *outline, unsigned char *out);

/* And back, in memory of the arena: never sg_outline_free it. SG_BAD_DATA: not such bytes (they may be from a
 * stranger); SG_FAULT: no memory. */
enum sg_status sg_outline_unpack(const unsigned char *bytes, size_t size, struct sg_arena *arena,
                                 struct sg_outline *out, struct sg_error *error);

/* A number made of the bytes: outlines that differ have different ones (FNV-1a of 64 bits). */
uint64_t sg_outline_print(const unsigned char *bytes, size_t size);

#endif
