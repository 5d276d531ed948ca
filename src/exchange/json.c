#include "exchange/exchange.h"

#include <assert.h>
#include <inttypes.h>
#include <string.h>

enum { MAX_DEPTH = sizeof((struct sg_json *)0)->first / sizeof(bool) };

static const char *escape_of(unsigned char byte)
{
    static const char *const named[] = {['"'] = "\\\"", ['\\'] = "\\\\", ['\b'] = "\\b", ['\f'] = "\\f",
                                        ['\n'] = "\\n", ['\r'] = "\\r",  ['\t'] = "\\t"};
    return byte < sizeof named / sizeof *named ? named[byte] : NULL;
}

static void put_string(struct sg_text *out, const char *text)
{
    size_t left = strlen(text);
    sg_text_put(out, "\"");
    while (left > 0) {
        size_t length = sg_utf8_character(text, left, NULL);
        const char *escape = escape_of((unsigned char)*text);
        if (length == 0)
            sg_text_put(out, SG_REPLACEMENT);
        else if (escape)
            sg_text_put(out, escape);
        else if ((unsigned char)*text < 0x20)
            sg_text_format(out, "\\u%04x", (unsigned)(unsigned char)*text);
        else
            sg_text_add(out, text, length);
        length = length ? length : 1;
        text += length;
        left -= length;
    }
    sg_text_put(out, "\"");
}

/* What stands before a value: a comma unless it is the first, and its name in an object. */
static void begin_value(struct sg_json *json, const char *name)
{
    if (!json->first[json->depth])
        sg_text_put(json->out, ", ");
    json->first[json->depth] = false;
    if (!name)
        return;
    put_string(json->out, name);
    sg_text_put(json->out, ": ");
}

static void open_level(struct sg_json *json, const char *bracket)
{
    assert(json->depth + 1 < MAX_DEPTH);
    sg_text_put(json->out, bracket);
    json->first[++json->depth] = true;
}

static void close_level(struct sg_json *json, const char *bracket)
{
    assert(json->depth > 0);
    sg_text_put(json->out, bracket);
    json->depth--;
}

void sg_json_start(struct sg_json *json, struct sg_text *out)
{
    *json = (struct sg_json){.out = out};
    open_level(json, "{");
    sg_json_whole(json, "format", 1);
}

void sg_json_finish(struct sg_json *json)
{
    assert(json->depth == 1);
    close_level(json, "}\n");
}

void sg_json_object(struct sg_json *json, const char *name)
{
    begin_value(json, name);
    open_level(json, "{");
}

void sg_json_array(struct sg_json *json, const char *name)
{
    begin_value(json, name);
    open_level(json, "[");
}

void sg_json_end_object(struct sg_json *json)
{
    close_level(json, "}");
}

void sg_json_end_array(struct sg_json *json)
{
    close_level(json, "]");
}

void sg_json_text(struct sg_json *json, const char *name, const char *value)
{
    if (!value) {
        sg_json_null(json, name);
        return;
    }
    begin_value(json, name);
    put_string(json->out, value);
}

void sg_json_number(struct sg_json *json, const char *name, double value)
{
    char text[40];
    if (!isfinite(value)) {
        sg_json_null(json, name);
        return;
    }
    begin_value(json, name);
    sg_shortest(value, text, sizeof text);
    sg_text_put(json->out, text);
}

void sg_json_whole(struct sg_json *json, const char *name, int64_t value)
{
    begin_value(json, name);
    sg_text_format(json->out, "%" PRId64, value);
}

void sg_json_yes(struct sg_json *json, const char *name, bool value)
{
    begin_value(json, name);
    sg_text_put(json->out, value ? "true" : "false");
}

void sg_json_null(struct sg_json *json, const char *name)
{
    begin_value(json, name);
    sg_text_put(json->out, "null");
}
