#include "exchange/drawing_inside.h"

#include <stdlib.h>
#include <string.h>

enum { DIGITS_EXACT = 19, POWERS = 27 }; /* 10^27 is the largest power of ten exact in 64 bits of mantissa */

static const long double powers[POWERS + 1] = {
    1e0L,  1e1L,  1e2L,  1e3L,  1e4L,  1e5L,  1e6L,  1e7L,  1e8L,  1e9L,  1e10L, 1e11L, 1e12L, 1e13L,
    1e14L, 1e15L, 1e16L, 1e17L, 1e18L, 1e19L, 1e20L, 1e21L, 1e22L, 1e23L, 1e24L, 1e25L, 1e26L, 1e27L};

struct digits {
    uint64_t whole; /* all digits as one whole number */
    int n, power;   /* how many without leading zeros; value = whole * 10^power */
};

static const char *take_digits(const char *at, struct digits *digits, bool behind_point)
{
    for (; *at >= '0' && *at <= '9'; at++) {
        digits->whole = digits->whole * 10 + (uint64_t)(*at - '0');
        digits->n += digits->n > 0 || digits->whole != 0;
        digits->power -= behind_point;
    }
    return at;
}

/* Behind an E. Where no number follows it, the E belongs to something else. */
static const char *take_exponent(const char *at, struct digits *digits)
{
    if ((*at | 0x20) != 'e')
        return at;
    const char *next = at + 1 + (at[1] == '-' || at[1] == '+');
    int power = 0;
    if (*next < '0' || *next > '9')
        return at;
    for (; *next >= '0' && *next <= '9'; next++)
        power = power < 10000 ? power * 10 + (*next - '0') : power;
    digits->power += at[1] == '-' ? -power : power;
    return next;
}

/* Correctly rounded where the bits of a long double leave no doubt about it. */
static bool certain(const struct digits *digits, double *value)
{
    if (digits->n > DIGITS_EXACT || digits->power < -POWERS || digits->power > POWERS)
        return false;
    if (digits->whole < (uint64_t)1 << 53 && digits->power >= -22 && digits->power <= 0) {
        *value = (double)digits->whole / (double)powers[-digits->power];
        return true;
    }
    long double near = digits->power < 0 ? (long double)digits->whole / powers[-digits->power]
                                         : (long double)digits->whole * powers[digits->power];
    *value = (double)(near * (1 + 0x1p-62L));
    return *value == (double)(near * (1 - 0x1p-62L));
}

static double by_library(const char *text, const char *end)
{
    char copy[1200];
    size_t length = (size_t)(end - text);
    if (length >= sizeof copy) /* nobody means one: so large that it is refused */
        return 1e300;
    memcpy(copy, text, length);
    copy[length] = '\0';
    return strtod(copy, NULL);
}

bool decimal(const char **at, bool exponent, double *value)
{
    const char *start = *at, *next = start + (*start == '-' || *start == '+'), *first = next;
    struct digits digits = {0, 0, 0};
    next = take_digits(next, &digits, false);
    int whole = (int)(next - first);
    if (*next == '.') {
        const char *behind = next + 1;
        next = take_digits(behind, &digits, true);
        whole += (int)(next - behind);
    }
    if (whole == 0)
        return false;
    if (exponent)
        next = take_exponent(next, &digits);
    if (!certain(&digits, value))
        *value = by_library(first, next);
    if (*start == '-')
        *value = -*value;
    *at = next;
    return true;
}
