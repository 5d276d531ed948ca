/* Numbers as people type them, and back.
 *
 * The whole text is read or nothing is: blanks around it are allowed, anything else that is left over makes
 * it wrong. A number may carry a unit (6mm, 55 ksi), be a fraction (1/4, 1 1/2, 1-1/2", 3/16in), a time with
 * a colon (1:30) where the field says so, or a sum that starts with = and knows + - * / ( ) and units
 * (=12*4.5, =2*6mm+1/8in). In a sum a - is always a minus, and 1/8 is one number unless a / stands before it.
 * A decimal comma is read as a point and said; a comma that may group thousands (1,200) is refused. The
 * program never sets LC_NUMERIC, so a locale reaches neither files nor screens. */
#ifndef SANDGLASS_NUMBER_H
#define SANDGLASS_NUMBER_H

#include "sandglass/units.h"

/* What a text with one colon means in a field. */
enum sg_colon { SG_COLON_NONE, SG_COLON_MIN_S, SG_COLON_H_MIN };

enum { SG_NUMBER_TEXT_MAX = 200, SG_NUMBER_DEPTH_MAX = 32 };

struct sg_reading {
    enum sg_dimension dimension;
    const struct sg_unit *bare; /* the unit of a number without one; NULL: a unit must be typed */
    enum sg_colon colon;
    double bag_kg; /* mass of one bag of garnet; 0: the unit `bag` is not known here */
    bool whole;    /* the result must be a whole number */
};

enum sg_parse_state {
    SG_PARSE_WHOLE,      /* value holds */
    SG_PARSE_UNFINISHED, /* right so far, more is to come: "", "-", ".", "=12*", "1/" */
    SG_PARSE_WRONG       /* cannot become right by typing on */
};

struct sg_parsed {
    enum sg_parse_state state;
    double value;   /* canonical unit of the dimension; 0 unless whole. Always finite. */
    bool bare;      /* the result had no unit, the bare one was taken */
    size_t at;      /* byte of the text where it went wrong or stopped */
    char text[200]; /* why it is unfinished or wrong and what would be right; if whole, what is worth saying
                       ("read as 4.5") or "" */
};

/* Read one number. Never fails in another way than through out->state. */
void sg_number_parse(const char *text, const struct sg_reading *how, struct sg_parsed *out);

/* Write a canonical value in a unit with a fixed number of decimals, without the unit's name and without a
 * negative zero. Returns the length as snprintf does. A value that is not known (NaN) is written as "-". */
int sg_number_format(double canonical, const struct sg_unit *unit, int decimals, char *out, size_t size);

/* The same without the zeros at the end of its decimals: 0.5000 is 0.5, 12.0 is 12. */
int sg_number_short(double canonical, const struct sg_unit *unit, int decimals, char *out, size_t size);

/* Write the shortest decimal that sg_number_parse reads back to the same bits, with the unit's name behind it
 * if `named`. Where no decimal of up to 21 digits in that unit does, the canonical unit is used and named. A
 * negative zero is written as 0, a value that is not known as "-". */
int sg_number_exact(double canonical, const struct sg_unit *unit, bool named, char *out, size_t size);

/* Seconds as h:mm:ss (rounded to whole seconds, "0:00:07"), and as h:mm rounded to whole minutes.
 * What is not known, or is 1e18 s and more, is written as "-". */
int sg_duration_format(double seconds, char *out, size_t size);
int sg_hours_format(double seconds, char *out, size_t size);

#endif
