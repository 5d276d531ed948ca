#include "exchange/exchange.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_ROOM = 256 };

/* Room for `more` bytes and the NUL behind them. */
static bool make_room(struct sg_text *text, size_t more)
{
    if (text->failed || more > SIZE_MAX / 4 || text->length > SIZE_MAX / 4) {
        text->failed = true;
        return false;
    }
    size_t need = text->length + more + 1, room = text->room ? text->room : FIRST_ROOM;
    if (need <= text->room)
        return true;
    while (room < need)
        room *= 2;
    char *grown = realloc(text->data, room);
    if (!grown) {
        text->failed = true;
        return false;
    }
    text->data = grown;
    text->room = room;
    return true;
}

void sg_text_add(struct sg_text *text, const char *bytes, size_t length)
{
    if (!make_room(text, length))
        return;
    if (length > 0)
        memcpy(text->data + text->length, bytes, length);
    text->length += length;
    text->data[text->length] = '\0';
}

void sg_text_put(struct sg_text *text, const char *string)
{
    sg_text_add(text, string, strlen(string));
}

void sg_text_format(struct sg_text *text, const char *format, ...)
{
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (length >= 0 && make_room(text, (size_t)length)) {
        vsnprintf(text->data + text->length, (size_t)length + 1, format, again);
        text->length += (size_t)length;
    } else {
        text->failed = true;
    }
    va_end(again);
}

void sg_text_free(struct sg_text *text)
{
    free(text->data);
    *text = (struct sg_text){0};
}

/* As a programmer would write it. */
static void put_escape(struct sg_text *out, uint32_t code)
{
    if (code == '\n' || code == '\r' || code == '\t')
        sg_text_put(out, code == '\n' ? "\\n" : code == '\r' ? "\\r" : "\\t");
    else
        sg_text_format(out, "\\u%04" PRIx32, code);
}

void sg_text_shown(struct sg_text *out, const char *text, int most)
{
    size_t left = strlen(text), length;
    for (int shown = 0; left > 0; text += length, left -= length, shown++) {
        uint32_t code = 0;
        if (shown == most) {
            sg_text_put(out, "...");
            return;
        }
        length = sg_utf8_character(text, left, &code);
        if (length == 0) {
            length = 1;
            sg_text_put(out, SG_REPLACEMENT);
        } else if (sg_utf8_hidden(code)) {
            put_escape(out, code);
        } else {
            sg_text_add(out, text, length);
        }
    }
}
