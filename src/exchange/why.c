/* Why a number is what it is, for people in lines of at most 100 characters, and as JSON. */
#include "exchange/render.h"

#include <stdio.h>
#include <string.h>

enum { WIDTH = 100, WORD = 40, SHOWN = 300, CELL = 400 };

typedef char cell[CELL];

struct rendering {
    const struct sg_shop *shop;
    const struct sg_why *why;
    const struct sg_told *told; /* of each line, or NULL */
    struct sg_text *out;
};

/* ---- values ---- */

static bool own_units_above(const struct sg_why *why, int index)
{
    int above = sg_why_above(why, index);
    return above >= 0 && why->lines[above].own_units && !why->lines[index].aside;
}

static const struct sg_unit *unit_shown(const struct rendering *r, const struct sg_why_line *line)
{
    const struct sg_unit *unit = line->field ? sg_field_unit(line->field, r->shop->units) : NULL;
    return unit && unit->dimension == line->dimension ? unit
                                                      : sg_unit_of_shop(line->dimension, r->shop->units);
}

static int put_figure(double value, const struct sg_unit *unit, const char *other, char *out, size_t size)
{
    const char *name = other ? other : unit->name;
    int length = sg_why_figure(value, unit, out, size);
    if (!name[0] || length >= (int)size)
        return length;
    return length + snprintf(out + length, size - (size_t)length, "%s%s", name[0] == '%' ? "" : " ", name);
}

/* A figure in the shop's unit; below a formula in units of its own first in those, the shop's beside. */
static void show_number(const struct rendering *r, int index, cell out)
{
    const struct sg_why_line *line = &r->why->lines[index];
    const struct sg_unit *own = sg_unit_canonical(line->dimension), *shop = unit_shown(r, line);
    cell beside;
    if (line->unit || own->factor == shop->factor || !own_units_above(r->why, index)) {
        int length = put_figure(line->value, line->unit ? own : shop, line->unit, out, CELL);
        if (line->dimension == SG_DIM_DURATION && strcmp(shop->name, "s") == 0 && fabs(line->value) >= 60) {
            sg_duration_format(line->value, beside, sizeof beside);
            snprintf(out + length, CELL - (size_t)length, " (%s)", beside);
        }
        return;
    }
    int length = put_figure(line->value, own, NULL, out, CELL);
    put_figure(line->value, shop, NULL, beside, sizeof beside);
    snprintf(out + length, CELL - (size_t)length, " (%s)", beside);
}

static void show_moment(const struct rendering *r, const struct sg_why_line *line, cell out)
{
    double epoch = line->shape == SG_WHY_EPOCH ? line->value : r->why->epoch + line->value;
    cell clock, after;
    sg_clock_on_day(r->why->epoch, epoch, clock, sizeof clock);
    sg_duration_format(epoch - r->why->epoch, after, sizeof after);
    snprintf(out, CELL, "%s (%s after the start)", clock, after);
}

static void show_value(const struct rendering *r, int index, cell out)
{
    const struct sg_why_line *line = &r->why->lines[index];
    if (line->shape == SG_WHY_WORDS)
        snprintf(out, CELL, "%s", line->words[0] ? line->words : "none");
    else if (isinf(line->value))
        snprintf(out, CELL, "never");
    else if (!isfinite(line->value))
        snprintf(out, CELL, "%s", line->origin == SG_WHY_NONE ? "none" : line->note ? "-" : "not known");
    else if (line->shape == SG_WHY_WHOLE)
        sg_number_format(line->value, sg_unit_canonical(SG_DIM_NUMBER), 0, out, CELL);
    else if (line->shape == SG_WHY_NUMBER)
        show_number(r, index, out);
    else
        show_moment(r, line, out);
}

/* The unit of `value` in JSON; NULL: none. */
static const char *unit_of(const struct sg_why_line *line)
{
    if (line->shape == SG_WHY_MOMENT)
        return "s after the start";
    if (line->shape == SG_WHY_EPOCH)
        return "s since 1970-01-01T00:00Z";
    if (line->unit)
        return line->unit;
    const char *name = sg_unit_canonical(line->dimension)->name;
    return line->shape == SG_WHY_NUMBER && name[0] ? name : NULL;
}

/* ---- where it is from ---- */

static const char *origin_word(enum sg_why_origin origin)
{
    static const char *const words[] = {NULL, "fresh", "changed", "typed", "none", "given"};
    return words[origin];
}

static void put_part(struct sg_text *out, const char *text)
{
    sg_text_put(out, out->length ? "; " : "");
    sg_text_shown(out, text, SHOWN);
}

static void put_from(const struct rendering *r, const struct sg_why_line *line, struct sg_text *out)
{
    cell key, text;
    sg_key_write(r->shop, line->from, key, sizeof key);
    const char *after = line->origin == SG_WHY_FRESH   ? ", fresh default"
                        : line->origin == SG_WHY_TYPED ? ", typed"
                                                       : "";
    snprintf(text, sizeof text, "%s %s%s", key, line->field->name, after);
    put_part(out, text);
    if (line->origin == SG_WHY_CHANGED) {
        snprintf(text, sizeof text, ", changed from %s", line->fresh);
        sg_text_shown(out, text, SHOWN);
    }
}

static void put_told(const struct rendering *r, int index, struct sg_text *out)
{
    cell day, clock, text;
    if (!r->told || !r->told[index].known)
        return;
    const struct sg_told *told = &r->told[index];
    sg_day_format(told->at, day, sizeof day);
    sg_clock_format(told->at, clock, sizeof clock);
    snprintf(text, sizeof text, "set by %s, %s %s", told->by, day, clock);
    put_part(out, text);
    if (told->words[0]) {
        snprintf(text, sizeof text, ": %s", told->words);
        sg_text_shown(out, text, SHOWN);
    }
}

static void put_more(const struct rendering *r, const struct sg_why_line *line, struct sg_text *out)
{
    cell key, text;
    sg_key_write(r->shop, line->from, key, sizeof key);
    snprintf(text, sizeof text, "see why %s %s", key, line->more);
    put_part(out, text);
}

/* All that is said of a line behind its value. */
static void put_said(const struct rendering *r, int index, struct sg_text *out)
{
    const struct sg_why_line *line = &r->why->lines[index];
    cell at;
    if (sg_known(line->at)) {
        sg_text_put(out, "at ");
        sg_clock_on_day(r->why->epoch, r->why->epoch + line->at, at, sizeof at);
        sg_text_put(out, at);
    }
    if (line->field)
        put_from(r, line, out);
    put_told(r, index, out);
    /* "typed" is said with the field already. */
    if (line->basis != SG_UNKNOWN && !(line->field && line->basis == SG_BASIS_TYPED))
        put_part(out, sg_basis_word((enum sg_basis)line->basis));
    if (line->source)
        put_part(out, line->source);
    if (line->note)
        put_part(out, line->note);
    if (line->more)
        put_more(r, line, out);
}

/* ---- text ---- */

/* Words of at most WORD characters, so that a line can hold each. */
static void cut_words(struct sg_text *out, const char *text)
{
    int n = 0;
    for (size_t length; *text; text += length) {
        length = sg_utf8_character(text, strlen(text), NULL);
        length = length ? length : 1;
        n = *text == ' ' ? 0 : n + 1;
        if (n <= WORD)
            sg_text_add(out, text, length);
        else if (n == WORD + 1)
            sg_text_put(out, "...");
    }
}

static void put_wrapped(struct sg_text *out, int indent, int hanging, const char *text)
{
    struct sg_text shown = {0}, words = {0};
    sg_text_shown(&shown, text, 4 * CELL);
    if (shown.data)
        cut_words(&words, shown.data);
    char blanks[64];
    snprintf(blanks, sizeof blanks, "%*s", indent, "");
    const char *first = words.data ? words.data : "";
    /* What stands in front of the words is one of them, so that no line starts with a blank too many. */
    struct sg_text start = {0};
    size_t n = strcspn(first, " ");
    sg_text_put(&start, blanks);
    sg_text_add(&start, first, n);
    out->failed = out->failed || shown.failed || words.failed || start.failed;
    if (start.data)
        sg_wrap(out, start.data, hanging, WIDTH, first[n] ? first + n + 1 : "");
    sg_text_free(&start);
    sg_text_free(&words);
    sg_text_free(&shown);
}

static void show_result(const struct rendering *r, const struct sg_why_line *line, cell out)
{
    const struct sg_unit *unit = line->own_units || line->unit
                                     ? sg_unit_canonical(line->dimension)
                                     : sg_unit_of_shop(line->dimension, r->shop->units);
    if (line->shape == SG_WHY_NUMBER)
        put_figure(line->value, unit, line->unit, out, CELL);
    else if (line->shape == SG_WHY_WHOLE)
        sg_number_format(line->value, sg_unit_canonical(SG_DIM_NUMBER), 0, out, CELL);
    else
        show_moment(r, line, out);
}

static void put_line(const struct rendering *r, int index, const char *before)
{
    const struct sg_why_line *line = &r->why->lines[index];
    struct sg_text text = {0}, said = {0};
    int indent = 2 * line->depth;
    cell value;
    show_value(r, index, value);
    put_said(r, index, &said);
    sg_text_put(&text, before);
    if (strcmp(line->symbol, line->name) != 0)
        sg_text_format(&text, "%s, ", line->symbol);
    sg_text_format(&text, "%s = %s", line->name, value);
    if (said.length)
        sg_text_format(&text, " - %s", said.data);
    r->out->failed = r->out->failed || text.failed || said.failed;
    if (text.data)
        put_wrapped(r->out, indent, indent + 4, text.data);
    sg_text_free(&text);
    sg_text_free(&said);
    if (!line->formula)
        return;
    struct sg_text formula = {0};
    sg_text_format(&formula, "= %s", line->formula);
    if (formula.data)
        put_wrapped(r->out, indent + 4, indent + 8, formula.data);
    sg_text_free(&formula);
    bool one_number = line->numbers && !strchr(line->numbers, ' ');
    if (!line->numbers || one_number || !isfinite(line->value))
        return;
    show_result(r, line, value);
    sg_text_format(&formula, "= %s = %s", line->numbers, value);
    r->out->failed = r->out->failed || formula.failed;
    if (formula.data)
        put_wrapped(r->out, indent + 4, indent + 8, formula.data);
    sg_text_free(&formula);
}

void sg_why_text(struct sg_text *out, const struct sg_shop *shop, const char *key, const struct sg_why *why,
                 const struct sg_told *told)
{
    const struct rendering r = {shop, why, told, out};
    cell before;
    snprintf(before, sizeof before, "%.300s: ", key);
    for (int i = 0; i < why->n_lines; i++)
        put_line(&r, i, i ? "" : before);
}

/* ---- JSON ---- */

static void put_value(struct sg_json *json, const struct sg_why_line *line)
{
    if (line->shape == SG_WHY_WORDS)
        sg_json_text(json, "value", line->words);
    else
        sg_json_number(json, "value", line->value);
    sg_json_text(json, "unit", unit_of(line));
    sg_json_text(json, "basis", line->basis == SG_UNKNOWN ? NULL : sg_basis_word((enum sg_basis)line->basis));
}

static void put_time(struct sg_json *json, const char *name, double epoch)
{
    cell text;
    if (sg_known(epoch))
        sg_iso_format(epoch, text, sizeof text);
    sg_json_text(json, name, sg_known(epoch) ? text : NULL);
}

static void put_object(const struct rendering *r, struct sg_json *json, int index)
{
    const struct sg_why_line *line = &r->why->lines[index];
    const struct sg_told *told = r->told && r->told[index].known ? &r->told[index] : NULL;
    cell shown, key = "";
    show_value(r, index, shown);
    if (line->has_from)
        sg_key_write(r->shop, line->from, key, sizeof key);
    sg_json_object(json, NULL);
    sg_json_whole(json, "depth", line->depth);
    sg_json_text(json, "name", line->name);
    sg_json_text(json, "symbol", line->symbol);
    sg_json_text(json, "formula", line->formula);
    sg_json_text(json, "numbers", line->numbers);
    put_value(json, line);
    sg_json_text(json, "shown", shown);
    sg_json_text(json, "source", line->source);
    sg_json_text(json, "note", line->note);
    put_time(json, "at", r->why->epoch + line->at);
    sg_json_yes(json, "aside", line->aside);
    sg_json_text(json, "from", line->has_from ? key : NULL);
    sg_json_text(json, "field", line->field ? line->field->name : NULL);
    sg_json_text(json, "more", line->more);
    sg_json_text(json, "origin", origin_word(line->origin));
    sg_json_text(json, "fresh", line->fresh);
    sg_json_text(json, "set_by", told ? told->by : NULL);
    put_time(json, "set_at", told ? told->at : (double)NAN);
    sg_json_text(json, "set_words", told ? told->words : NULL);
    sg_json_end_object(json);
}

void sg_why_json(struct sg_text *out, const struct sg_shop *shop, const char *key, const char *field,
                 const struct sg_why *why, const struct sg_told *told)
{
    const struct rendering r = {shop, why, told, out};
    struct sg_json json;
    sg_json_start(&json, out);
    sg_json_text(&json, "key", key);
    sg_json_text(&json, "field", field);
    put_value(&json, &why->lines[0]);
    sg_json_array(&json, "lines");
    for (int i = 0; i < why->n_lines; i++)
        put_object(&r, &json, i);
    sg_json_end_array(&json);
    sg_json_finish(&json);
}
