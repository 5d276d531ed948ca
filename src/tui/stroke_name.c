/* The names of keys, as the table of actions, help and the line of keys write them. */
#include "tui/stroke.h"

#include "sandglass/utf8.h"

#include <stdio.h>
#include <string.h>

static const struct {
    const char *name;
    int32_t stroke;
} names[] = {
    {"Enter", SG_STROKE_ENTER},
    {"Tab", SG_STROKE_TAB},
    {"Shift-Tab", SG_STROKE_BACK_TAB},
    {"Esc", SG_STROKE_ESC},
    {"Space", SG_STROKE_SPACE},
    {"Backspace", SG_STROKE_BACKSPACE},
    {"Up", SG_STROKE_UP},
    {"Down", SG_STROKE_DOWN},
    {"Left", SG_STROKE_LEFT},
    {"Right", SG_STROKE_RIGHT},
    {"Home", SG_STROKE_HOME},
    {"End", SG_STROKE_END},
    {"PgUp", SG_STROKE_PAGE_UP},
    {"PgDn", SG_STROKE_PAGE_DOWN},
    {"Delete", SG_STROKE_DELETE},
    {"Insert", SG_STROKE_INSERT},
    {"F1", SG_STROKE_F1},
    {"F2", SG_STROKE_F1 + 1},
    {"F3", SG_STROKE_F1 + 2},
    {"F4", SG_STROKE_F1 + 3},
    {"F5", SG_STROKE_F1 + 4},
    {"F6", SG_STROKE_F1 + 5},
    {"F7", SG_STROKE_F1 + 6},
    {"F8", SG_STROKE_F1 + 7},
    {"F9", SG_STROKE_F1 + 8},
    {"F10", SG_STROKE_F1 + 9},
    {"F11", SG_STROKE_F1 + 10},
    {"F12", SG_STROKE_F1 + 11},
    /* what a terminal sends for them is the key above, so these are never told of one */
    {"Ctrl-H", SG_STROKE_BACKSPACE},
    {"Ctrl-I", SG_STROKE_TAB},
    {"Ctrl-J", SG_STROKE_ENTER},
    {"Ctrl-M", SG_STROKE_ENTER},
    {"Ctrl-[", SG_STROKE_ESC},
};
enum { NAMES = sizeof names / sizeof *names };

static int put(char *out, size_t size, const char *bytes, int length)
{
    return snprintf(out, size, "%.*s", length, bytes);
}

size_t sg_stroke_bytes(uint32_t code, char out[4])
{
    size_t n = code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    for (size_t i = n - 1; i > 0; i--, code >>= 6)
        out[i] = (char)(0x80 | (code & 0x3F));
    out[0] = (char)(n == 1 ? code : (0xF00u >> n & 0xFF) | code);
    return n;
}

int sg_stroke_name(int32_t stroke, char *out, size_t size)
{
    char bytes[8] = "Ctrl-";
    for (int i = 0; i < NAMES; i++)
        if (names[i].stroke == stroke)
            return put(out, size, names[i].name, (int)strlen(names[i].name));
    if (stroke >= SG_STROKE_SPECIAL || stroke <= 0)
        return put(out, size, "", 0);
    if (stroke < 0x20) {
        bytes[5] = (char)(stroke | 0x40);
        return put(out, size, bytes, 6);
    }
    return put(out, size, bytes, (int)sg_stroke_bytes((uint32_t)stroke, bytes));
}

/* The first character of a name; its bytes. */
static size_t character_key(const char *name, size_t length, int32_t *stroke)
{
    uint32_t code = 0;
    size_t bytes = sg_utf8_character(name, length, &code);
    *stroke = bytes > 0 && code >= 0x20 && (code < 0x7F || code >= 0xA0) ? (int32_t)code : 0;
    return bytes;
}

int32_t sg_stroke_find(const char *name, size_t length, int32_t *second)
{
    int32_t stroke = 0, other = 0;
    if (second)
        *second = 0;
    for (int i = 0; i < NAMES; i++)
        if (strlen(names[i].name) == length && memcmp(names[i].name, name, length) == 0)
            return names[i].stroke;
    if (length == 6 && memcmp(name, "Ctrl-", 5) == 0)
        return name[5] > '@' && name[5] <= '_' ? SG_STROKE_CTRL(name[5]) : 0;
    size_t bytes = character_key(name, length, &stroke);
    if (bytes == 0 || bytes == length)
        return stroke;
    if (bytes + character_key(name + bytes, length - bytes, &other) != length || !stroke || !other)
        return 0;
    if (second)
        *second = other;
    return second ? stroke : 0;
}
