#include "sandglass/number.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum {
    DECIMALS_MAX = 20,
    SURE_DIGITS = 15, /* two decimals of so many digits are never the same double, so none is shorter */
    MOST_DIGITS = 21,
    FIXED_LEAST = -7, /* powers of ten of the first digit that are written without e */
    FIXED_MOST = 20,
    DIGITS_SIZE = 400 /* 1e308 in the smallest unit, with DECIMALS_MAX decimals */
};

/* printf's mark depends on the locale; its digits do not. */
static int only_digits(const char *printed, char *digits)
{
    int n = 0;
    for (; *printed; printed++)
        if (*printed >= '0' && *printed <= '9')
            digits[n++] = *printed;
    digits[n] = '\0';
    return n;
}

int sg_number_format(double canonical, const struct sg_unit *unit, int decimals, char *out, size_t size)
{
    char printed[DIGITS_SIZE], digits[DIGITS_SIZE];
    if (!isfinite(canonical))
        return snprintf(out, size, "-");
    decimals = decimals < 0 ? 0 : decimals > DECIMALS_MAX ? DECIMALS_MAX : decimals;
    snprintf(printed, sizeof printed, "%.*Lf", decimals, fabsl(sg_from_canonical(canonical, unit)));
    int whole = only_digits(printed, digits) - decimals;
    bool zero = strspn(digits, "0") == strlen(digits);
    return snprintf(out, size, "%s%.*s%s%s", canonical < 0 && !zero ? "-" : "", whole, digits,
                    decimals ? "." : "", digits + whole);
}

/* The first digits of a value, trailing zeros left out, and the power of ten of the first one. */
static int shortest_digits(long double value, int most, char *digits, int *power)
{
    char printed[MOST_DIGITS + 16];
    snprintf(printed, sizeof printed, "%.*Le", most - 1, fabsl(value));
    char *e = strchr(printed, 'e');
    *power = 0;
    for (const char *c = e + 2; *c; c++)
        *power = 10 * *power + (*c - '0');
    if (e[1] == '-')
        *power = -*power;
    *e = '\0';
    int n = only_digits(printed, digits);
    while (n > 1 && digits[n - 1] == '0')
        n--;
    digits[n] = '\0';
    return n;
}

enum { DECIMAL_SIZE = 64 };

static void write_decimal(char *out, const char *sign, const char *digits, int n, int power)
{
    if (power < FIXED_LEAST || power > FIXED_MOST)
        snprintf(out, DECIMAL_SIZE, "%s%c%s%se%d", sign, digits[0], n > 1 ? "." : "", digits + 1, power);
    else if (power < 0)
        snprintf(out, DECIMAL_SIZE, "%s0.%.*s%s", sign, -power - 1, "0000000", digits);
    else if (n <= power + 1)
        snprintf(out, DECIMAL_SIZE, "%s%s%.*s", sign, digits, power + 1 - n, "00000000000000000000");
    else
        snprintf(out, DECIMAL_SIZE, "%s%.*s.%s", sign, power + 1, digits, digits + power + 1);
}

static bool reads_back(const char *text, double canonical, const struct sg_unit *unit)
{
    struct sg_reading how = {.dimension = unit->dimension, .bare = unit};
    struct sg_parsed parsed;
    sg_number_parse(text, &how, &parsed);
    return parsed.state == SG_PARSE_WHOLE && parsed.value == canonical;
}

static bool find_exact(double canonical, const struct sg_unit *unit, char *out)
{
    char digits[DIGITS_SIZE];
    int power;
    long double value = sg_from_canonical(canonical, unit);
    for (int most = SURE_DIGITS; most <= MOST_DIGITS; most++) {
        int n = shortest_digits(value, most, digits, &power);
        write_decimal(out, canonical < 0 ? "-" : "", digits, n, power);
        if (reads_back(out, canonical, unit))
            return true;
    }
    return false;
}

int sg_number_short(double canonical, const struct sg_unit *unit, int decimals, char *out, size_t size)
{
    int length = sg_number_format(canonical, unit, decimals, out, size);
    if (length >= (int)size || !strchr(out, '.'))
        return length;
    while (out[length - 1] == '0')
        length--;
    if (out[length - 1] == '.')
        length--;
    out[length] = '\0';
    return length;
}

int sg_number_exact(double canonical, const struct sg_unit *unit, bool named, char *out, size_t size)
{
    char decimal[DECIMAL_SIZE];
    if (!isfinite(canonical))
        return snprintf(out, size, "-");
    if (!find_exact(canonical, unit, decimal)) {
        unit = sg_unit_canonical(unit->dimension);
        named = true;
        find_exact(canonical, unit, decimal);
    }
    bool apart = named && unit->name[0] && strchr("%\"'", unit->name[0]) == NULL;
    return snprintf(out, size, "%s%s%s", decimal, apart ? " " : "", named ? unit->name : "");
}

/* A count of seconds or minutes as sixtieths; what no int64_t counts is not known. */
static bool whole_count(double value, int64_t *count, const char **sign)
{
    if (!(fabs(value) < 1e18))
        return false;
    *count = llround(fabs(value));
    *sign = value < 0 && *count > 0 ? "-" : "";
    return true;
}

int sg_duration_format(double seconds, char *out, size_t size)
{
    int64_t s;
    const char *sign;
    if (!whole_count(seconds, &s, &sign))
        return snprintf(out, size, "-");
    return snprintf(out, size, "%s%lld:%02d:%02d", sign, (long long)(s / 3600), (int)(s / 60 % 60),
                    (int)(s % 60));
}

int sg_hours_format(double seconds, char *out, size_t size)
{
    int64_t minutes;
    const char *sign;
    if (!whole_count(seconds / 60, &minutes, &sign))
        return snprintf(out, size, "-");
    return snprintf(out, size, "%s%lld:%02d", sign, (long long)(minutes / 60), (int)(minutes % 60));
}
