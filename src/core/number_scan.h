/* What the files that read numbers share: a text, the place in it, and how to say that it is not right there.
 */
#ifndef SANDGLASS_CORE_NUMBER_SCAN_H
#define SANDGLASS_CORE_NUMBER_SCAN_H

#include "sandglass/number.h"

struct scan {
    const char *text;
    size_t length, pos;
    const struct sg_reading *how;
    struct sg_parsed *out;
    const struct sg_unit *bare;  /* the unit of a number without one; NULL: there is none */
    bool sum;                    /* the text starts with = */
    char before;                 /* the operator before the number that is expected; 0: none */
    bool unit_typed;             /* somewhere in the text */
    bool open;                   /* more typed directly behind it may change what was read last */
    int depth;                   /* of brackets */
    size_t comma_from, comma_to; /* the first number with a decimal comma */
};

struct worth {
    long double value; /* canonical if it has a unit */
    bool has_unit;
};

/* Both return false, so that a reader can write `return sg_scan_wrong(...)`. */
bool sg_scan_unfinished(struct scan *s, const char *format, ...) __attribute__((format(printf, 2, 3)));
bool sg_scan_wrong(struct scan *s, size_t at, const char *format, ...) __attribute__((format(printf, 3, 4)));

/* The byte at the place, 0 at the end of the text. */
char sg_scan_char(const struct scan *s);
bool sg_scan_digit(const struct scan *s);
bool sg_scan_one_of(const struct scan *s, const char *set);
bool sg_scan_ended(const struct scan *s);
/* How many bytes the blank at `at` has, 0 where there is none. */
size_t sg_scan_blank_at(const struct scan *s, size_t at);
void sg_scan_blanks(struct scan *s);

/* How a number may be written where it stands. */
enum literal_kind {
    LITERAL_ALONE,       /* also 1/2, 1 1/2, 1-1/2, 1:30 */
    LITERAL_IN_SUM,      /* also 1/2, 1 1/2; a - is a minus here */
    LITERAL_BEHIND_SLASH /* only decimal, because 16/4/2 is 2 */
};

/* A number without sign and unit; a time with a colon has a unit in it. */
bool sg_scan_literal(struct scan *s, enum literal_kind kind, struct worth *worth);

/* The unit behind the number that began at `from`, if there is one. */
bool sg_scan_unit(struct scan *s, size_t from, struct worth *worth);

/* The unit to name in an example: the one a bare number has, "" for plain numbers. */
const char *sg_scan_unit_example(const struct scan *s);

#endif
