/* Decimal numbers, fractions, mixed numbers, times with a colon. */
#include "number_scan.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    EXACT_DIGITS = 19,    /* any number of so many digits fits into 64 bits */
    EXACT_POWER = 27,     /* 10^27 is exact in a mantissa of 64 bits */
    FRACTION_DIGITS = 9,  /* of each whole number in a fraction, so that its sum is exact */
    EXPONENT_MAX = 99999, /* a larger one changes nothing any more */
};

/* Where the digits of a decimal number lie. */
struct decimal {
    size_t from, whole_digits, part_digits; /* the part is behind the mark */
    char mark;                              /* '.' or ',', 0: none */
    bool has_exponent;
    int exponent;
};

/* A whole number typed alone where no unit can make it one. */
static bool must_be_whole(const struct scan *s)
{
    return s->how->whole && !s->sum && s->how->dimension == SG_DIM_NUMBER;
}

static size_t skip_digits(struct scan *s)
{
    size_t from = s->pos;
    while (sg_scan_digit(s))
        s->pos++;
    return s->pos - from;
}

static bool no_number_here(struct scan *s)
{
    if (!sg_scan_ended(s))
        return sg_scan_wrong(s, s->pos, "a number is expected here, such as 4.5");
    if (s->before)
        return sg_scan_unfinished(s, "unfinished: a number is expected after %c", s->before);
    return sg_scan_unfinished(s, "unfinished: a number is expected, such as 4.5");
}

/* Copy the digits of a typed number, with a point in the place of the mark at `mark` only. */
static void copy_digits(char *out, const char *typed, size_t length, size_t mark)
{
    size_t n = 0;
    for (size_t i = 0; i < length; i++)
        if (i == mark)
            out[n++] = '.';
        else if (typed[i] != '.' && typed[i] != ',')
            out[n++] = typed[i];
    while (mark < length && n > 0 && out[n - 1] == '0')
        n--;
    if (n > 0 && out[n - 1] == '.')
        n--;
    out[n] = '\0';
}

/* Marks that may group thousands: say what to type for each thing that may be meant. */
static bool refuse_grouping(struct scan *s, size_t from, size_t at)
{
    const char *typed = s->text + from;
    size_t length = strspn(typed, "0123456789.,"), marks = 0, last = 0, same = 0;
    for (size_t i = 0; i < length; i++)
        if (typed[i] == '.' || typed[i] == ',') {
            marks++;
            last = i;
        }
    for (size_t i = 0; i < length; i++)
        same += typed[i] == typed[last];
    char joined[SG_NUMBER_TEXT_MAX + 1], pointed[SG_NUMBER_TEXT_MAX + 1];
    copy_digits(joined, typed, length, length);
    copy_digits(pointed, typed, length, last);
    if (same > 1)
        return sg_scan_wrong(s, at, "%.*s: type %s", (int)length, typed, joined);
    if (marks > 1 || length - last - 1 != 3)
        return sg_scan_wrong(s, at, "%.*s: type %s", (int)length, typed, pointed);
    return sg_scan_wrong(s, at, "%.*s: type %s or %s", (int)length, typed, joined, pointed);
}

/* The mark and what is behind it. A comma before three or more digits is refused unless the digits before it
 * could not be thousands; with two or fewer it is a decimal comma. */
static bool scan_part(struct scan *s, struct decimal *d)
{
    size_t mark_at = s->pos;
    d->mark = sg_scan_char(s);
    s->pos++;
    d->part_digits = skip_digits(s);
    if (sg_scan_one_of(s, ".,") && d->whole_digits + d->part_digits > 0)
        return refuse_grouping(s, d->from, s->pos);
    if (d->part_digits == 0 && (d->whole_digits == 0 || d->mark == ','))
        return no_number_here(s);
    bool thousands = d->whole_digits >= 1 && d->whole_digits <= 3 && s->text[d->from] != '0';
    if (d->mark == ',' && d->part_digits >= 3 && thousands)
        return refuse_grouping(s, d->from, mark_at);
    size_t zeros = strspn(s->text + mark_at + 1, "0");
    if (must_be_whole(s) && zeros < d->part_digits)
        return sg_scan_wrong(s, mark_at + 1 + zeros, "a whole number is expected");
    if (d->mark == ',' && !s->comma_to) {
        s->comma_from = d->from;
        s->comma_to = s->pos;
    }
    return true;
}

static bool scan_exponent(struct scan *s, struct decimal *d)
{
    d->has_exponent = true;
    s->pos++;
    bool minus = sg_scan_char(s) == '-';
    if (minus && must_be_whole(s))
        return sg_scan_wrong(s, s->pos, "a whole number is expected");
    if (sg_scan_one_of(s, "+-"))
        s->pos++;
    if (!sg_scan_digit(s))
        return sg_scan_ended(s)
                   ? sg_scan_unfinished(s, "unfinished: the power of ten is expected, such as 1e6")
                   : sg_scan_wrong(s, s->pos, "a power of ten is expected here, such as 1e6");
    for (; sg_scan_digit(s); s->pos++)
        if (d->exponent < EXPONENT_MAX)
            d->exponent = 10 * d->exponent + (sg_scan_char(s) - '0');
    if (minus)
        d->exponent = -d->exponent;
    return true;
}

static bool scan_decimal(struct scan *s, struct decimal *d)
{
    *d = (struct decimal){.from = s->pos};
    d->whole_digits = skip_digits(s);
    if (sg_scan_one_of(s, ".,")) {
        if (!scan_part(s, d))
            return false;
    } else if (d->whole_digits == 0) {
        return no_number_here(s);
    }
    return !sg_scan_one_of(s, "eE") || scan_exponent(s, d);
}

static long double power_of_ten(int n)
{
    long double power = 1;
    while (n-- > 0)
        power *= 10;
    return power;
}

/* Halfway between two doubles, as far as a long double tells. */
static bool is_halfway(long double value)
{
    long double nearest = (long double)(double)value, other = nearest + 2 * (value - nearest);
    return value != nearest && other == (long double)(double)other;
}

/* Up to 19 digits and a power of ten that is exact are rounded once, to long double; the rest is for the
 * library, without a mark, so that no locale matters. Where the rounding ends halfway between two doubles the
 * digits tell on which side the number is, so that the rounding to double that follows is right too. */
static long double decimal_value(const struct scan *s, const struct decimal *d)
{
    char digits[SG_NUMBER_TEXT_MAX + 16];
    size_t n = 0, all = d->whole_digits + d->part_digits + (d->mark != 0);
    uint64_t sum = 0;
    for (size_t i = 0; i < all; i++) {
        char c = s->text[d->from + i];
        if (c == '.' || c == ',' || (n == 0 && c == '0'))
            continue;
        digits[n++] = c;
        if (n <= EXACT_DIGITS)
            sum = 10 * sum + (uint64_t)(c - '0');
    }
    int exponent = d->exponent - (int)d->part_digits;
    if (n == 0)
        return 0;
    snprintf(digits + n, sizeof digits - n, "e%d", exponent);
    long double value;
    if (n > EXACT_DIGITS || exponent > EXACT_POWER || exponent < -EXACT_POWER)
        value = strtold(digits, NULL);
    else if (exponent < 0)
        value = (long double)sum / power_of_ten(-exponent);
    else
        value = (long double)sum * power_of_ten(exponent);
    return is_halfway(value) ? nextafterl(value, (long double)strtod(digits, NULL)) : value;
}

static bool is_zero(const struct scan *s, const struct decimal *d)
{
    size_t all = d->whole_digits + d->part_digits + (d->mark != 0);
    return strspn(s->text + d->from, "0.,") >= all;
}

static bool check_size(struct scan *s, const struct decimal *d, long double value)
{
    if (value > (long double)DBL_MAX)
        return sg_scan_wrong(s, d->from, "too large: at most 1.7e308 can be held");
    if ((double)value == 0 && !is_zero(s, d))
        return sg_scan_wrong(s, d->from, "too small: type 0, or at least 5e-324");
    return true;
}

/* One of the whole numbers of a fraction. */
static bool scan_fraction_digits(struct scan *s, const char *expected, long double *value)
{
    size_t from = s->pos;
    if (!sg_scan_digit(s))
        return sg_scan_ended(s) ? sg_scan_unfinished(s, "unfinished: %s", expected)
                                : sg_scan_wrong(s, s->pos, "%s", expected);
    *value = 0;
    for (; sg_scan_digit(s); s->pos++)
        *value = 10 * *value + (sg_scan_char(s) - '0');
    if (s->pos - from > FRACTION_DIGITS)
        return sg_scan_wrong(s, from + FRACTION_DIGITS, "the numbers of a fraction have at most 9 digits");
    return true;
}

/* From the slash on. */
static bool scan_divisor(struct scan *s, long double whole, long double numerator, struct worth *worth)
{
    long double divisor;
    s->pos++;
    size_t from = s->pos;
    if (!scan_fraction_digits(s, "a whole number is expected directly after /, such as 1/2", &divisor))
        return false;
    if (sg_scan_one_of(s, ".,eE"))
        return sg_scan_wrong(s, s->pos,
                             "a fraction has whole numbers; to divide begin with =, such as =1/4.5");
    if (divisor == 0)
        return sg_scan_ended(s) ? sg_scan_unfinished(s, "unfinished: nothing can be divided by 0")
                                : sg_scan_wrong(s, from, "nothing can be divided by 0");
    worth->value = (whole * divisor + numerator) / divisor;
    /* 64/3 is not whole but 64/32 is; 4/3 cannot become so. */
    s->open = sg_scan_ended(s) && whole * divisor + numerator >= 10 * divisor;
    return true;
}

/* The fraction behind a whole number: 1 1/2, 1-1/2. The place is at its numerator. */
static bool scan_mixed(struct scan *s, long double whole, struct worth *worth)
{
    long double numerator;
    const char *expected = s->sum ? "an operator is expected, or a fraction as in =1 1/2"
                                  : "a fraction is expected, such as 1 1/2 or 1-1/2; a sum begins with =";
    if (!scan_fraction_digits(s, expected, &numerator))
        return false;
    if (sg_scan_char(s) != '/')
        return sg_scan_ended(s) ? sg_scan_unfinished(s, "unfinished: %s", expected)
                                : sg_scan_wrong(s, s->pos, "%s", expected);
    return scan_divisor(s, whole, numerator, worth);
}

/* In a sum a slash divides unless whole numbers stand directly on both sides of it. */
static bool divides(const struct scan *s)
{
    const char *behind = s->text + s->pos + 1;
    size_t digits = strspn(behind, "0123456789");
    return digits == 0 || digits > FRACTION_DIGITS || strchr(".,eE", behind[digits] ? behind[digits] : ' ');
}

/* Two digits below 60. */
static bool scan_sixtieths(struct scan *s, int *value)
{
    const char *expected = "two digits up to 59 are expected after the colon, such as 1:30";
    *value = 0;
    for (int i = 0; i < 2; i++, s->pos++) {
        if (sg_scan_ended(s))
            return sg_scan_unfinished(s, "unfinished: %s", expected);
        if (!sg_scan_digit(s) || (i == 0 && sg_scan_char(s) > '5'))
            return sg_scan_wrong(s, s->pos, "%s", expected);
        *value = 10 * *value + (sg_scan_char(s) - '0');
    }
    return true;
}

/* From the first colon on. */
static bool scan_time(struct scan *s, long double first, struct worth *worth)
{
    int second, third;
    enum sg_colon colon = s->how->dimension == SG_DIM_DURATION ? s->how->colon : SG_COLON_NONE;
    if (colon == SG_COLON_NONE)
        return sg_scan_wrong(s, s->pos, "no time with a colon is read here, but a number such as 4.5%s%s",
                             *sg_scan_unit_example(s) ? " " : "", sg_scan_unit_example(s));
    s->pos++;
    if (!scan_sixtieths(s, &second))
        return false;
    worth->value = colon == SG_COLON_MIN_S ? first * 60 + second : (first * 60 + second) * 60;
    if (sg_scan_char(s) == ':') {
        s->pos++;
        if (!scan_sixtieths(s, &third))
            return false;
        worth->value = (first * 60 + second) * 60 + third;
    }
    worth->has_unit = s->unit_typed = true;
    sg_scan_blanks(s);
    return sg_scan_ended(s) || sg_scan_wrong(s, s->pos, "nothing is expected after a time with a colon");
}

/* Behind a slash, as in 12/kg. */
static bool unit_follows(const struct scan *s)
{
    char behind = s->text[s->pos + 1];
    return (behind >= 'a' && behind <= 'z') || (behind >= 'A' && behind <= 'Z');
}

bool sg_scan_literal(struct scan *s, enum literal_kind kind, struct worth *worth)
{
    struct decimal d;
    *worth = (struct worth){0};
    if (!scan_decimal(s, &d))
        return false;
    long double value = decimal_value(s, &d);
    if (!check_size(s, &d, value))
        return false;
    worth->value = value;
    s->open = sg_scan_ended(s) && !must_be_whole(s);
    if (kind == LITERAL_BEHIND_SLASH || d.mark || d.has_exponent)
        return true;
    if (kind == LITERAL_ALONE && sg_scan_char(s) == ':')
        return scan_time(s, value, worth);
    bool small = d.whole_digits <= FRACTION_DIGITS;
    if (sg_scan_char(s) == '/' && ((kind == LITERAL_ALONE && !unit_follows(s)) || (small && !divides(s))))
        return small ? scan_divisor(s, 0, value, worth)
                     : sg_scan_wrong(s, s->pos, "the numbers of a fraction have at most 9 digits");
    size_t here = s->pos;
    sg_scan_blanks(s);
    if (kind == LITERAL_ALONE && s->pos == here && sg_scan_char(s) == '-')
        s->pos++;
    else if (s->pos == here || !sg_scan_digit(s)) {
        s->pos = here;
        return true;
    }
    return small ? scan_mixed(s, value, worth)
                 : sg_scan_wrong(s, s->pos, "the numbers of a fraction have at most 9 digits");
}
