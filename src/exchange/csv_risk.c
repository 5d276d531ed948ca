/* Texts that a spreadsheet takes for something else. No rule fits every spreadsheet and every country: what
 * is told here is what at least one common kind of reading does to a text that was meant to stay as it is. */
#include "exchange/exchange.h"

#include <ctype.h>
#include <string.h>

enum { DATE_PARTS = 3, KEPT_DIGITS = 15 }; /* a double keeps 15 decimal digits of any number */

static size_t digits_of(const char *text)
{
    size_t n = 0;
    while (isdigit((unsigned char)text[n]))
        n++;
    return n;
}

/* A number that would be written otherwise: digits dropped, or an exponent spelled out. */
static bool changes_as_number(const char *cell)
{
    bool sign = *cell == '+' || *cell == '-';
    const char *digits = cell + sign;
    size_t whole = digits_of(digits), decimals = 0;
    const char *end = digits + whole;
    if (*end == '.' || *end == ',') {
        decimals = digits_of(end + 1);
        end += 1 + decimals;
    }
    if (whole + decimals == 0)
        return false;
    bool last_zero = decimals > 0 && end[-1] == '0', open = end[-1] == '.' || end[-1] == ',';
    if (*end == 'e' || *end == 'E') {
        const char *power = end + 1 + (end[1] == '+' || end[1] == '-');
        size_t n = digits_of(power);
        return n > 0 && power[n] == '\0';
    }
    return *end == '\0' && (*cell == '+' || (whole > 1 && *digits == '0') || whole == 0 || last_zero ||
                            open || whole + decimals > KEPT_DIGITS);
}

/* 3-4, 3/4/26, 12:30, 1.2.3, 00417-3: two or three short numbers with the same mark between. A point between
 * two is a number. */
static bool is_date_of_figures(const char *cell)
{
    char mark = '\0';
    for (int part = 1;; part++) {
        size_t n = digits_of(cell);
        if (n == 0 || n > 5 || part > DATE_PARTS)
            return false;
        cell += n;
        if (*cell == '\0')
            return part == DATE_PARTS || (part == 2 && mark != '.');
        if (!strchr("-/.:", *cell) || (mark && *cell != mark))
            return false;
        mark = *cell++;
    }
}

/* 1 1/2 */
static bool is_mixed_fraction(const char *cell)
{
    size_t whole = digits_of(cell);
    if (whole == 0 || cell[whole] != ' ')
        return false;
    cell += whole + 1;
    size_t above = digits_of(cell);
    return above > 0 && cell[above] == '/' && is_date_of_figures(cell);
}

static bool same_letters(const char *text, const char *word, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (tolower((unsigned char)text[i]) != word[i])
            return false;
    return true;
}

/* The letters of a month's name, three or all of them; 0: no month begins here. */
static size_t month_at(const char *text)
{
    static const char *const months[] = {"january",   "february", "march",    "april",
                                         "may",       "june",     "july",     "august",
                                         "september", "october",  "november", "december"};
    size_t n = 0;
    while (isalpha((unsigned char)text[n]))
        n++;
    for (size_t i = 0; i < sizeof months / sizeof *months; i++)
        if ((n == 3 || n == strlen(months[i])) && same_letters(text, months[i], n))
            return n;
    return 0;
}

static const char *skip_mark(const char *text)
{
    return *text && strchr("- ./", *text) ? text + 1 : text;
}

/* MAR1, 3-Mar, Dec 26 */
static bool is_date_with_month(const char *cell)
{
    size_t day = digits_of(cell);
    const char *at = day > 0 ? skip_mark(cell + day) : cell;
    size_t month = month_at(at);
    if (day > 4 || month == 0)
        return false;
    at += month;
    if (*at == '\0')
        return day > 0;
    at = skip_mark(at);
    size_t year = digits_of(at);
    return year > 0 && year <= 4 && at[year] == '\0';
}

static bool is_truth(const char *cell)
{
    return (strlen(cell) == 4 && same_letters(cell, "true", 4)) ||
           (strlen(cell) == 5 && same_letters(cell, "false", 5));
}

bool sg_csv_may_change(const char *cell)
{
    return changes_as_number(cell) || is_date_of_figures(cell) || is_mixed_fraction(cell) ||
           is_date_with_month(cell) || is_truth(cell);
}
