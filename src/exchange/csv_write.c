#include "exchange/exchange.h"

#include <ctype.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const struct sg_csv_style sg_csv_plain = {',', '.'};
const struct sg_csv_style sg_csv_spreadsheet = {';', ','};

/* ---- the guard ---- */

static const char *skip_digits(const char *text)
{
    while (isdigit((unsigned char)*text))
        text++;
    return text;
}

/* -12.5, +3, -1e5: nothing but digits, one point, one exponent. */
static bool is_plain_number(const char *cell)
{
    if (*cell == '+' || *cell == '-')
        cell++;
    const char *end = skip_digits(cell);
    bool digits = end > cell;
    if (*end == '.') {
        const char *fraction = end + 1;
        end = skip_digits(fraction);
        digits = digits || end > fraction;
    }
    if (!digits)
        return false;
    if (*end == 'e' || *end == 'E') {
        const char *power = end + 1 + (end[1] == '+' || end[1] == '-');
        end = skip_digits(power);
        if (end == power)
            return false;
    }
    return *end == '\0';
}

/* Whether a spreadsheet may run the cell; the guard itself counts as part of it, so that it can be taken off.
 */
static bool needs_guard(const char *cell)
{
    static const char *const starts[] = {
        "=",
        "+",
        "-",
        "@",
        "\t",
        "\r",
        "\n",
        "\xEF\xBC\x9D",
        "\xEF\xBC\x8B",
        "\xEF\xBC\x8D",
        "\xEF\xBC\xA0", /* U+FF1D U+FF0B U+FF0D U+FF20 */
    };
    const char *first = cell + strspn(cell, "'");
    for (size_t i = 0; i < sizeof starts / sizeof *starts; i++)
        if (strncmp(first, starts[i], strlen(starts[i])) == 0)
            return !is_plain_number(cell);
    return false;
}

const char *sg_csv_unguard(const char *cell)
{
    return *cell == '\'' && needs_guard(cell + 1) ? cell + 1 : cell;
}

/* ---- cells ---- */

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t';
}

static bool needs_quotes(const struct sg_csv_style *style, const char *cell, size_t length)
{
    const char stops[] = {style->separator, '"', '\r', '\n', '\0'};
    return length > 0 &&
           (is_blank(cell[0]) || is_blank(cell[length - 1]) || cell[strcspn(cell, stops)] != '\0');
}

static void put_quoted(struct sg_text *out, const char *cell)
{
    for (;;) {
        size_t run = strcspn(cell, "\"");
        sg_text_add(out, cell, run);
        if (cell[run] == '\0')
            return;
        sg_text_put(out, "\"\"");
        cell += run + 1;
    }
}

void sg_csv_text(struct sg_text *out, const struct sg_csv_style *style, const char *cell)
{
    size_t length = strlen(cell);
    const char *guard = needs_guard(cell) ? "'" : "";
    if (!needs_quotes(style, cell, length)) {
        sg_text_put(out, guard);
        sg_text_add(out, cell, length);
        return;
    }
    sg_text_put(out, "\"");
    sg_text_put(out, guard);
    put_quoted(out, cell);
    sg_text_put(out, "\"");
}

/* The shortest decimal that reads back to the same bits. */
int sg_shortest(double value, char *out, size_t size)
{
    int length = 0;
    for (int digits = 15; digits <= 17; digits++) {
        length = snprintf(out, size, "%.*g", digits, value);
        if (strtod(out, NULL) == value)
            break;
    }
    return length;
}

/* The same digits without an exponent, which a spreadsheet would show as such. */
static void spell_out(double value, char *text, size_t size)
{
    const char *power = strchr(text, 'e');
    if (!power || fabs(value) < 1e-6 || fabs(value) > 1e15)
        return;
    int digits = 0;
    for (const char *at = text; at < power; at++)
        digits += isdigit((unsigned char)*at) != 0;
    int decimals = digits - 1 - atoi(power + 1);
    snprintf(text, size, "%.*f", decimals > 0 ? decimals : 0, value);
}

void sg_csv_number(struct sg_text *out, const struct sg_csv_style *style, double value)
{
    char text[64];
    if (!isfinite(value))
        return;
    sg_shortest(value, text, sizeof text);
    spell_out(value, text, sizeof text);
    char *point = strchr(text, '.');
    if (point)
        *point = style->decimal;
    bool quoted = strchr(text, style->separator) != NULL;
    sg_text_format(out, quoted ? "\"%s\"" : "%s", text);
}

void sg_csv_whole(struct sg_text *out, const struct sg_csv_style *style, int64_t value)
{
    (void)style; /* no separator and no mark in it; taken so that all cells are written alike */
    sg_text_format(out, "%" PRId64, value);
}

void sg_csv_next(struct sg_text *out, const struct sg_csv_style *style)
{
    sg_text_add(out, &style->separator, 1);
}

/* A row of one empty cell would be a blank line, which is no row. */
void sg_csv_end(struct sg_text *out)
{
    if (out->length == 0 || out->data[out->length - 1] == '\n')
        sg_text_put(out, "\"\"");
    sg_text_put(out, "\r\n");
}
