#include "exchange/exchange.h"

#include <errno.h>
#include <iconv.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* Bytes from the start that are good UTF-8; all of them if the text is. */
static size_t good_utf8(const char *data, size_t length)
{
    const uint64_t high_bits = 0x8080808080808080u;
    size_t at = 0;
    while (at < length) {
        uint64_t eight;
        if (length - at >= sizeof eight) {
            memcpy(&eight, data + at, sizeof eight);
            if ((eight & high_bits) == 0) {
                at += sizeof eight;
                continue;
            }
        }
        size_t step = sg_utf8_character(data + at, length - at, NULL);
        if (step == 0)
            break;
        at += step;
    }
    return at;
}

/* ---- which character set ---- */

enum set { UTF_8, UTF_16, UTF_16LE, UTF_16BE, WINDOWS_1252, LATIN_1, SETS };

static const struct {
    const char *name, *iconv_name; /* NULL: not read with iconv */
    const char *mark;
    size_t mark_length;
} sets[SETS] = {
    [UTF_8] = {"utf-8", NULL, "\xEF\xBB\xBF", 3},
    [UTF_16] = {"utf-16", NULL, NULL, 0}, /* becomes one of the next two */
    [UTF_16LE] = {"utf-16le", "UTF-16LE", "\xFF\xFE", 2},
    [UTF_16BE] = {"utf-16be", "UTF-16BE", "\xFE\xFF", 2},
    [WINDOWS_1252] = {"windows-1252", "WINDOWS-1252", NULL, 0},
    [LATIN_1] = {"latin-1", "ISO-8859-1", NULL, 0},
};

static bool has_mark(enum set set, const char *data, size_t length)
{
    size_t mark = sets[set].mark_length;
    return mark > 0 && length >= mark && memcmp(data, sets[set].mark, mark) == 0;
}

/* The one whose mark the data begins with, SETS: none. */
static enum set set_by_mark(const char *data, size_t length)
{
    for (int set = 0; set < SETS; set++)
        if (has_mark((enum set)set, data, length))
            return (enum set)set;
    return SETS;
}

/* Text of mostly Latin letters in UTF-16 has a zero in every other byte; which one tells the order. */
static enum set set_by_zeros(const char *data, size_t length)
{
    size_t looked = length < 4096 ? length : 4096, zeros[2] = {0, 0};
    for (size_t i = 0; i < looked; i++)
        zeros[i % 2] += data[i] == '\0';
    size_t most = looked / 4; /* half of the characters */
    if (zeros[1] > most && zeros[0] < zeros[1] / 8 + 1)
        return UTF_16LE;
    if (zeros[0] > most && zeros[1] < zeros[0] / 8 + 1)
        return UTF_16BE;
    return SETS;
}

static enum set recognise(const char *data, size_t length)
{
    enum set set = set_by_mark(data, length);
    if (set == SETS)
        set = set_by_zeros(data, length);
    if (set == SETS)
        set = good_utf8(data, length) == length ? UTF_8 : WINDOWS_1252;
    return set;
}

/* What "utf-16" means for this data; without a mark and a hint, the order that office programs write. */
static enum set order_of_utf16(const char *data, size_t length)
{
    enum set set = set_by_mark(data, length);
    if (set != UTF_16LE && set != UTF_16BE)
        set = set_by_zeros(data, length);
    return set == SETS ? UTF_16LE : set;
}

static enum sg_status set_by_name(const char *name, enum set *set, struct sg_error *error)
{
    struct sg_text names = {0};
    for (int i = 0; i < SETS; i++) {
        if (strcasecmp(name, sets[i].name) == 0) {
            *set = (enum set)i;
            sg_text_free(&names);
            return SG_OK;
        }
        sg_text_format(&names, "%s%s", i == 0 ? "" : i == SETS - 1 ? " or " : ", ", sets[i].name);
    }
    sg_fail(error, SG_USAGE, "unknown character set \"%s\": type %s", name, names.failed ? "" : names.data);
    sg_text_free(&names);
    return SG_USAGE;
}

/* ---- turning ---- */

/* The line that the character behind `length` bytes of text stands in. CR, LF and CR LF end a line. */
static int line_behind(const char *text, size_t length)
{
    int line = 1;
    for (size_t i = 0; i < length; i++)
        line += text[i] == '\n' || (text[i] == '\r' && (i + 1 == length || text[i + 1] != '\n'));
    return line;
}

static enum sg_status fail_byte(enum set set, bool guessed, const char *data, size_t at, int line,
                                struct sg_error *error)
{
    unsigned byte = (unsigned char)data[at];
    if (guessed)
        return sg_fail(
            error, SG_BAD_DATA,
            "byte 0x%02X at offset %zu, line %d is neither UTF-8 nor Windows-1252: save the file as "
            "UTF-8 or name its character set with --encoding",
            byte, at, line);
    return sg_fail(error, SG_BAD_DATA,
                   "byte 0x%02X at offset %zu, line %d is not valid %s: save the file as UTF-8 or name its "
                   "character set with --encoding",
                   byte, at, line, sets[set].name);
}

/* Turn with the C library; *at is where it went wrong, or the length. *out holds what was turned. */
static bool turn(enum set set, const char *data, size_t length, char *out, size_t room, size_t *out_length,
                 size_t *at)
{
    iconv_t cd = iconv_open("UTF-8", sets[set].iconv_name);
    if (cd == (iconv_t)-1)
        return false;
    char *in, *next = out;
    memcpy(&in, &data, sizeof in); /* iconv takes a pointer to not-const but does not write there */
    size_t left = length, free_room = room;
    size_t result = iconv(cd, &in, &left, &next, &free_room);
    iconv_close(cd);
    *out_length = room - free_room;
    *at = length - left;
    return result != (size_t)-1 || errno != E2BIG;
}

/* The text after its mark in UTF-8, in out, which has room for it. */
static enum sg_status to_utf8(enum set set, bool guessed, const char *data, size_t length, char *out,
                              size_t room, size_t *out_length, struct sg_error *error)
{
    size_t start = has_mark(set, data, length) ? sets[set].mark_length : 0, at;
    if (!sets[set].iconv_name) {
        *out_length = at = good_utf8(data + start, length - start);
        memcpy(out, data + start, at);
    } else if (!turn(set, data + start, length - start, out, room, out_length, &at)) {
        return sg_fail(error, SG_FAULT, "the C library of this machine cannot read %s", sets[set].name);
    }
    at += start;
    int line = at < length ? line_behind(out, *out_length) : 0;
    if (at < length)
        return fail_byte(set, guessed && set == WINDOWS_1252, data, at, line, error);
    return SG_OK;
}

enum sg_status sg_decode(const char *data, size_t length, const char *name, char **out, size_t *out_length,
                         const char **used, struct sg_error *error)
{
    enum set set = UTF_8;
    enum sg_status status = name ? set_by_name(name, &set, error) : SG_OK;
    if (status != SG_OK)
        return status;
    if (!name)
        set = recognise(data, length);
    if (set == UTF_16)
        set = order_of_utf16(data, length);
    if (length > SIZE_MAX / 4)
        return sg_fail(error, SG_BAD_DATA, "too large");
    /* A byte of windows-1252 becomes up to three of UTF-8; so do the two of a UTF-16 unit. */
    size_t room = (sets[set].iconv_name ? 3 * length : length) + 1, got = 0;
    char *text = malloc(room);
    if (!text)
        return sg_fail(error, SG_FAULT, "no memory to read a file of %zu bytes", length);
    status = to_utf8(set, !name, data, length, text, room - 1, &got, error);
    const char *zero = status == SG_OK ? memchr(text, '\0', got) : NULL;
    if (zero)
        status = sg_fail(error, SG_BAD_DATA, "a NUL character in line %d: this is no text in %s",
                         line_behind(text, (size_t)(zero - text)), sets[set].name);
    if (status != SG_OK) {
        free(text);
        return status;
    }
    text[got] = '\0';
    char *fitting = sets[set].iconv_name ? realloc(text, got + 1) : text;
    *out = fitting ? fitting : text;
    *out_length = got;
    if (used)
        *used = sets[set].name;
    return SG_OK;
}
