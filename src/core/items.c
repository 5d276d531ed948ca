#include "sandglass/items.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { MOST_COUNT = 100000, MOST_TEXT = 100 };
static const double most_length = 100000; /* mm */

/* ---- what is possible ---- */

static bool is_length(double value, bool place)
{
    return value <= most_length && (place ? value >= 0 : value > 0); /* false of NaN */
}

static bool is_count(double value)
{
    return value >= 1 && value <= MOST_COUNT && value == floor(value);
}

static bool item_in_range(const double item[4], bool places)
{
    bool size = is_length(item[0], false) && is_length(item[1], false);
    return size && (places ? is_length(item[2], true) && is_length(item[3], true)
                           : is_count(item[2]) && item[3] == 0);
}

bool sg_items_in_range(const struct sg_items *items, bool places)
{
    if (items->n < 0 || items->n > SG_MAX_ITEMS)
        return false;
    for (int64_t i = 0; i < items->n; i++)
        if (!item_in_range(items->at[i], places))
            return false;
    return true;
}

/* ---- reading ---- */

/* Bytes of an "at" that stands there, which may only be begun at the end; 0: none does. */
static size_t at_length(const char *text, size_t left)
{
    if (left == 0 || (text[0] != 'a' && text[0] != 'A'))
        return 0;
    return left == 1 ? 1 : text[1] == 't' || text[1] == 'T' ? 2 : 0;
}

/* Bytes of the number in front of the next x, of "at" or of the end. */
static size_t number_length(const char *text, size_t left)
{
    for (size_t i = 0; i < left; i++)
        if (text[i] == 'x' || text[i] == 'X' || (i > 0 && at_length(text + i, left - i) > 0))
            return i;
    return left;
}

static enum sg_parse_state read_number(const char *text, size_t length, const struct sg_unit *bare,
                                       bool count, double *out, char *why, size_t size)
{
    char copy[MOST_TEXT];
    struct sg_parsed parsed;
    struct sg_reading how = {
        .dimension = count ? SG_DIM_NUMBER : SG_DIM_LENGTH, .bare = bare, .whole = count};
    if (length >= sizeof copy) {
        snprintf(why, size, "\"%.20s...\" is too long for a number", text);
        return SG_PARSE_WRONG;
    }
    if (count)
        how.bare = sg_unit_canonical(SG_DIM_NUMBER);
    memcpy(copy, text, length);
    copy[length] = '\0';
    sg_number_parse(copy, &how, &parsed);
    snprintf(why, size, "%s", parsed.text);
    *out = parsed.value;
    return parsed.state;
}

static const char *right_form(bool places)
{
    return places ? "type LENGTH x WIDTH at X x Y" : "type LENGTH x WIDTH, or LENGTH x WIDTH x HOW MANY";
}

/* The unit of length that stands behind a number, NULL where none does. */
static const struct sg_unit *unit_behind(const char *text, size_t length)
{
    while (length > 0 && text[length - 1] == ' ')
        length--;
    size_t start = length;
    while (start > 0 && !strchr("0123456789 ./-+*()=", text[start - 1]))
        start--;
    const struct sg_unit *unit = start < length ? sg_unit_find(text + start, length - start) : NULL;
    return unit && unit->dimension == SG_DIM_LENGTH ? unit : NULL;
}

/* Of "600 x 400 mm" both are in mm: of a pair the unit behind the second is that of a bare first. */
static enum sg_parse_state read_first_again(const char *first, size_t first_length, const char *second,
                                            size_t second_length, double *out, char *why, size_t size)
{
    const struct sg_unit *unit = unit_behind(second, second_length);
    if (!unit || unit_behind(first, first_length))
        return SG_PARSE_WHOLE;
    return read_number(first, first_length, unit, false, out, why, size);
}

/* "24 x 16", "24 x 16 x 2", "4 x 2 at 0 x 10". */
static enum sg_parse_state read_item(const char *text, size_t length, bool places, const struct sg_unit *bare,
                                     double item[4], char *why, size_t size)
{
    int n = 0;
    size_t at = 0, before = 0, before_length = 0;
    item[2] = places ? 0 : 1;
    item[3] = 0;
    for (bool more = true; more; n++) {
        size_t used = number_length(text + at, length - at);
        more = at + used < length;
        if (n == (places ? 4 : 3)) {
            snprintf(why, size, "too many numbers in \"%.*s\"", (int)(length < 40 ? length : 40), text);
            return SG_PARSE_WRONG;
        }
        enum sg_parse_state state =
            read_number(text + at, used, bare, !places && n == 2, &item[n], why, size);
        if (state == SG_PARSE_WHOLE && n % 2 == 1)
            state = read_first_again(text + before, before_length, text + at, used, &item[n - 1], why, size);
        if (state != SG_PARSE_WHOLE)
            return more && state == SG_PARSE_UNFINISHED ? SG_PARSE_WRONG : state;
        size_t word = at_length(text + at + used, length - at - used);
        if (more && (word > 0) != (places && n == 1)) {
            snprintf(why, size, "%s", right_form(places));
            return SG_PARSE_WRONG;
        }
        before = at;
        before_length = used;
        at += used + (word > 0 ? word : 1);
    }
    if (n < 2 || (places && n < 4)) {
        snprintf(why, size, "%s", right_form(places));
        return SG_PARSE_UNFINISHED;
    }
    if (item_in_range(item, places))
        return SG_PARSE_WHOLE;
    snprintf(why, size, "lengths are more than 0 and up to 100 m%s",
             places ? "" : ", and 1 to 100000 of them");
    return SG_PARSE_WRONG;
}

enum sg_parse_state sg_items_parse(const char *text, bool places, const struct sg_unit *bare,
                                   struct sg_items *out, char *why, size_t size)
{
    *out = (struct sg_items){0};
    why[0] = '\0';
    for (;; text++) {
        size_t length = strcspn(text, ";");
        bool last = text[length] == '\0';
        if (out->n == SG_MAX_ITEMS) {
            snprintf(why, size, "at most %d fit here", SG_MAX_ITEMS);
            return SG_PARSE_WRONG;
        }
        enum sg_parse_state state = read_item(text, length, places, bare, out->at[out->n], why, size);
        if (state != SG_PARSE_WHOLE)
            return last ? state : SG_PARSE_WRONG;
        out->n++;
        if (last)
            return SG_PARSE_WHOLE;
        text += length;
    }
}

/* ---- writing ---- */

static void put_length(double mm, const struct sg_unit *unit, int decimals, char *out, size_t size)
{
    if (decimals < 0)
        sg_number_exact(mm, unit, true, out, size);
    else
        sg_number_short(mm, unit, decimals, out, size);
}

static int put_item(const double item[4], bool places, const struct sg_unit *unit, int decimals, char *out,
                    size_t size)
{
    char length[64], width[64], x[64], y[64];
    const char *name = decimals < 0 ? "" : unit->name;
    put_length(item[0], unit, decimals, length, sizeof length);
    put_length(item[1], unit, decimals, width, sizeof width);
    put_length(item[2], unit, decimals, x, sizeof x);
    put_length(item[3], unit, decimals, y, sizeof y);
    if (places)
        return snprintf(out, size, "%s x %s at %s x %s%s%s", length, width, x, y, *name ? " " : "", name);
    int used = snprintf(out, size, "%s x %s%s%s", length, width, *name ? " " : "", name);
    if (item[2] != 1 && used < (int)size)
        used += snprintf(out + used, size - (size_t)used, " x %.0f", item[2]);
    return used;
}

int sg_items_format(const struct sg_items *items, bool places, const struct sg_unit *unit, int decimals,
                    char *out, size_t size)
{
    int used = 0;
    if (size > 0)
        out[0] = '\0';
    for (int64_t i = 0; i < items->n && used < (int)size; i++) {
        used += snprintf(out + used, size - (size_t)used, "%s", i > 0 ? "; " : "");
        if (used < (int)size)
            used += put_item(items->at[i], places, unit, decimals, out + used, size - (size_t)used);
    }
    return used;
}
