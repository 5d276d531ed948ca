/* Why: where a number comes from. A number of the plan is taken apart into a tree of lines: the formula,
 * every input of it with its unit, how far it may be trusted, the source, and the field in which it is set.
 *
 * A formula is a text over the symbols of the lines right below it, in a small notation: + - x / ^ and
 * brackets, min, max, floor, ceil, sqrt, pi, numbers; or "sum of its lines". What it gives from their values
 * is the value of the line, to rounding; the tests work every formula out again. The root is the plan's own
 * number, bit for bit. Nothing here computes a plan: values are the plan's or those of the public functions
 * from which the plan is made. */
#ifndef SANDGLASS_WHY_H
#define SANDGLASS_WHY_H

#include "sandglass/arena.h"
#include "sandglass/key.h"

enum sg_why_shape {
    SG_WHY_NUMBER, /* a figure of a dimension */
    SG_WHY_WHOLE,  /* a count */
    SG_WHY_MOMENT, /* s after the start of the shift */
    SG_WHY_EPOCH,  /* s since 1970-01-01 UTC */
    SG_WHY_WORDS   /* no number: `words` */
};

/* What a field holds against what a fresh row holds. */
enum sg_why_origin {
    SG_WHY_NO_FIELD,
    SG_WHY_FRESH,   /* the same as in a fresh row */
    SG_WHY_CHANGED, /* another value than in a fresh row, which `fresh` shows */
    SG_WHY_TYPED,   /* a fresh row holds none */
    SG_WHY_NONE,    /* none, as in a fresh row */
    SG_WHY_GIVEN    /* no fresh row to compare with: the library, or a place in the order */
};

struct sg_why_line {
    int depth;           /* 0: the root */
    const char *name;    /* in words */
    const char *symbol;  /* as the formula above calls it; often the name */
    const char *formula; /* NULL: it is not computed here */
    const char *numbers; /* the formula with the numbers put in; NULL where one of them is not known */
    enum sg_why_shape shape;
    enum sg_dimension dimension;
    const char *unit; /* of a figure that has no dimension of ours ("m/s"), else NULL */
    double value;     /* canonical unit; NaN: not known or not applicable */
    const char *words;
    int basis;          /* enum sg_basis, or SG_UNKNOWN where it says nothing */
    const char *source; /* or NULL */
    const char *note;   /* a sentence worth saying, or NULL */
    double at;          /* s after the start of the shift at which it happens; NaN: no event */
    bool own_units;     /* the formula's constants belong to canonical units, in which `numbers` stands */
    bool aside;         /* beside the formula above, not in it */

    bool has_from;
    struct sg_target from;        /* the row that it is read from or belongs to */
    const struct sg_field *field; /* the field of that row that it is read from, or NULL */
    const char *more;             /* a number of that row with an explanation of its own, or NULL */
    enum sg_why_origin origin;
    const char *fresh; /* of SG_WHY_CHANGED, as shown */
};

struct sg_why {
    struct sg_why_line *lines; /* each line is followed by those below it */
    int n_lines;
    double epoch; /* start of the shift, seconds since 1970; NaN where no plan is needed */
};

/* Explain a number or a field of a row. Lines and texts lie in the arena or belong to shop. SG_USAGE: the row
 * has nothing of that name, and the sentence lists what it has; SG_FAULT: no memory; else as sg_plan_shift. A
 * name that is both a field and a number of the plan (a stock's pierce, sheets, load) is the number. */
enum sg_status sg_why(const struct sg_shop *shop, struct sg_target target, const char *name,
                      struct sg_arena *arena, struct sg_why *out, struct sg_error *error);

/* The numbers of a kind that can be explained, besides its fields: by index from 0, NULL behind the last. */
const char *sg_why_name(enum sg_kind kind, int index);

/* Write a value with six significant digits in a unit, the unit not named. As snprintf returns. */
int sg_why_figure(double canonical, const struct sg_unit *unit, char *out, size_t size);

/* The index of the line right above, -1 of the root. */
int sg_why_above(const struct sg_why *why, int index);

#endif
