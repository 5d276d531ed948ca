/* Fields as people type them. */
#include "sandglass/field.h"
#include "sandglass/utf8.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

struct cell {
    const struct sg_field *field;
    const struct sg_shop *shop;
    const struct sg_unit *bare;
    const char *text; /* without blanks in front */
    size_t length;    /* without blanks behind */
    struct sg_typed *out;
};

static void say(struct sg_typed *out, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void say(struct sg_typed *out, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(out->text, sizeof out->text, format, arguments);
    va_end(arguments);
}

static void wrong(struct cell *cell, const char *why)
{
    char range[200];
    cell->out->state = SG_PARSE_WRONG;
    sg_field_range(cell->field, cell->shop, range, sizeof range);
    say(cell->out, "%s; %s%s", why, cell->field->words ? "type " : "", range);
}

static void read_number(struct cell *cell, const char *text, size_t length, double *number)
{
    const struct sg_field *field = cell->field;
    struct sg_reading how = {.dimension = field->dimension,
                             .bare = cell->bare,
                             .colon = field->colon,
                             .bag_kg = cell->shop->machine.bag, /* of a mass, or a price of one */
                             .whole = field->type == SG_FIELD_WHOLE};
    char copy[SG_NUMBER_TEXT_MAX + 2];
    if (length >= sizeof copy)
        length = sizeof copy - 1;
    memcpy(copy, text, length);
    copy[length] = '\0';
    struct sg_parsed parsed;
    sg_number_parse(copy, &how, &parsed);
    cell->out->state = parsed.state;
    cell->out->at = (size_t)(text - cell->text) + parsed.at;
    *number = parsed.value;
    say(cell->out, "%s", parsed.text);
}

/* The same figure in the unit that the person may have meant, for "55000" in a field of ksi. */
static void refuse_range(struct cell *cell, double number)
{
    bool low = number <= cell->field->min;
    wrong(cell, low ? cell->field->flags & SG_FIELD_ABOVE_MIN && cell->field->min == 0 ? "must be more than 0"
                                                                                       : "too small"
                    : "too large");
    cell->out->at = 0;
}

static bool number_fits(const struct sg_field *field, double number)
{
    struct sg_value value = {.number = {number}, .whole = (int64_t)(fabs(number) < 1e15 ? number : 1e15)};
    struct sg_field one = *field;
    one.count = 1;
    return sg_field_in_range(&one, &value);
}

static void read_one(struct cell *cell)
{
    double number = 0;
    read_number(cell, cell->text, cell->length, &number);
    if (cell->out->state != SG_PARSE_WHOLE)
        return;
    if (!number_fits(cell->field, number)) {
        refuse_range(cell, number);
        return;
    }
    cell->out->value.number[0] = number;
    cell->out->value.whole = cell->field->type == SG_FIELD_WHOLE ? (int64_t)number : 0;
    if (cell->field->odd > 0 && number > cell->field->odd) {
        size_t used = strlen(cell->out->text);
        cell->out->odd = true;
        snprintf(cell->out->text + used, sizeof cell->out->text - used, "%sunusually large, kept",
                 used ? "; " : "");
    }
    if (number > 0 && number < cell->field->odd_below) {
        size_t used = strlen(cell->out->text);
        cell->out->odd = true;
        snprintf(cell->out->text + used, sizeof cell->out->text - used, "%sunusually small, kept",
                 used ? "; " : "");
    }
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* A unit behind all the numbers, as they are shown, is that of each. */
static void take_common_unit(struct cell *cell)
{
    size_t at = cell->length;
    while (at > 0 && !is_blank(cell->text[at - 1]))
        at--;
    const struct sg_unit *unit = at > 0 ? sg_unit_find(cell->text + at, cell->length - at) : NULL;
    if (!unit || unit->dimension != cell->field->dimension)
        return;
    cell->bare = unit;
    while (at > 0 && is_blank(cell->text[at - 1]))
        at--;
    cell->length = at;
}

/* The end of a number that begins at `at`, with its unit where that stands behind a blank: "1.5 s". */
static size_t end_of_number(const struct cell *cell, size_t at)
{
    size_t end = at, unit, last;
    while (end < cell->length && !is_blank(cell->text[end]) && cell->text[end] != ',')
        end++;
    for (unit = end; unit < cell->length && is_blank(cell->text[unit]);)
        unit++;
    for (last = unit; last < cell->length && !is_blank(cell->text[last]) && cell->text[last] != ',';)
        last++;
    const struct sg_unit *found = last > unit ? sg_unit_find(cell->text + unit, last - unit) : NULL;
    return end > at && found && found->dimension == cell->field->dimension ? last : end;
}

/* Numbers with blanks or commas between them. */
static void read_numbers(struct cell *cell)
{
    size_t at = 0;
    int n = 0;
    take_common_unit(cell);
    while (at < cell->length) {
        size_t end = end_of_number(cell, at);
        if (end > at) {
            double number = 0;
            if (n == cell->field->count)
                break;
            read_number(cell, cell->text + at, end - at, &number);
            if (cell->out->state != SG_PARSE_WHOLE) {
                if (end < cell->length)
                    cell->out->state = SG_PARSE_WRONG;
                return;
            }
            if (!number_fits(cell->field, number)) {
                refuse_range(cell, number);
                return;
            }
            cell->out->value.number[n++] = number;
        }
        at = end + 1;
    }
    if (n < cell->field->count || at < cell->length) {
        cell->out->state = at < cell->length ? SG_PARSE_WRONG : SG_PARSE_UNFINISHED;
        say(cell->out, "%d numbers are expected, with blanks between, for %s ...", cell->field->count,
            cell->field->words[0]);
    }
}

static bool same_word(const char *word, const char *text, size_t length)
{
    if (strlen(word) != length)
        return false;
    for (size_t i = 0; i < length; i++)
        if (word[i] != (text[i] >= 'A' && text[i] <= 'Z' ? text[i] + 32 : text[i]))
            return false;
    return true;
}

/* Index of the word, of a digit or a beginning of one: -1 none, -2 the beginning of some. */
static int word_index(const char *const *words, const char *text, size_t length)
{
    bool begins = false;
    for (int i = 0; words[i]; i++) {
        if (same_word(words[i], text, length))
            return i;
        begins = begins || (strlen(words[i]) > length && strncmp(words[i], text, length) == 0);
    }
    return begins ? -2 : -1;
}

static void not_a_word(struct cell *cell, int index)
{
    char why[120];
    snprintf(why, sizeof why, "\"%.60s\" is not one of its words", cell->text);
    wrong(cell, why);
    if (index == -2)
        cell->out->state = SG_PARSE_UNFINISHED;
}

static void read_choice(struct cell *cell)
{
    int index = word_index(cell->field->words, cell->text, cell->length);
    if (index < 0)
        not_a_word(cell, index);
    else
        cell->out->value.whole = index;
}

/* A number, perhaps with its own word behind it, as it is shown. */
static void read_edge_number(struct cell *cell)
{
    size_t blank = 0, word;
    while (blank < cell->length && !is_blank(cell->text[blank]))
        blank++;
    for (word = blank; word < cell->length && is_blank(cell->text[word]);)
        word++;
    int index = word_index(cell->field->words, cell->text + word, cell->length - word);
    if (index >= 0)
        cell->length = blank;
    read_one(cell);
    if (cell->out->state == SG_PARSE_WHOLE && index >= 0 &&
        sg_edge_word(cell->out->value.number[0]) != cell->field->words[index])
        not_a_word(cell, -1);
}

static void read_edge(struct cell *cell)
{
    int index = word_index(cell->field->words, cell->text, cell->length);
    if (index >= 0)
        cell->out->value.number[0] = index + 1;
    else if (cell->text[0] >= 'a' && cell->text[0] <= 'z')
        not_a_word(cell, index);
    else
        read_edge_number(cell);
}

static void read_flags(struct cell *cell)
{
    bool any = false;
    for (size_t at = 0; at < cell->length;) {
        size_t end = at + strcspn(cell->text + at, ", ");
        if (end > cell->length)
            end = cell->length;
        int index = end > at ? word_index(cell->field->words, cell->text + at, end - at) : 0;
        if (index < 0) {
            cell->out->at = at;
            not_a_word(cell, index);
            return;
        }
        if (end > at)
            cell->out->value.whole |= INT64_C(1) << index;
        any = any || end > at;
        at = end + 1;
    }
    if (!any)
        not_a_word(cell, -2);
}

/* Length of the character at text, 0 if it is none or may not stand in a field. */
static size_t character_length(const char *text, size_t left)
{
    uint32_t code = 0;
    size_t length = sg_utf8_character(text, left, &code);
    bool control = (code < 0x20 && code != '\n' && code != '\t') || (code >= 0x7F && code < 0xA0);
    return control ? 0 : length;
}

static void read_text(struct cell *cell)
{
    size_t characters = 0;
    for (size_t at = 0; at < cell->length; characters++) {
        size_t n = character_length(cell->text + at, cell->length - at);
        if (n == 0) {
            cell->out->state = SG_PARSE_WRONG;
            cell->out->at = at;
            say(cell->out, "byte %zu is a control character or not UTF-8: leave it out", at + 1);
            return;
        }
        at += n;
    }
    if ((double)characters > cell->field->max) {
        cell->out->state = SG_PARSE_WRONG;
        say(cell->out, "%zu characters; at most %.0f fit here", characters, cell->field->max);
    }
    cell->out->value.text = cell->text;
    cell->out->length = cell->length;
}

/* Dates, times and lists go through civil.h, which wants a text that ends. */
static void read_civil(struct cell *cell)
{
    static const char *const expected[] = {
        [SG_FIELD_DATE] = "not a date; type it as 2026-12-01",
        [SG_FIELD_TIME] = "not a time of day; type it as 06:00",
        [SG_FIELD_MOMENT] = "not a date; type 2026-12-01 or 2026-12-01 12:00",
        [SG_FIELD_SPANS] = "not a list of breaks; type 09:30-09:45,12:00-12:30, at most 16",
        [SG_FIELD_DATES] = "not a list of dates; type 2026-12-24,2026-12-25, at most 64",
    };
    struct sg_value *value = &cell->out->value;
    char copy[1200];
    int32_t whole = 0;
    bool good = cell->length < sizeof copy;
    if (good) {
        memcpy(copy, cell->text, cell->length);
        copy[cell->length] = '\0';
        switch (cell->field->type) {
        case SG_FIELD_DATE:
            good = sg_date_parse(copy, &whole);
            value->whole = whole;
            break;
        case SG_FIELD_TIME:
            good = sg_time_parse(copy, &whole);
            value->whole = whole;
            break;
        case SG_FIELD_MOMENT:
            good = sg_moment_parse(copy, &value->whole);
            break;
        case SG_FIELD_SPANS:
            value->count = sg_spans_parse(copy, value->spans, SG_MAX_SPANS);
            good = value->count >= 0;
            break;
        default:
            value->count = sg_dates_parse(copy, value->days, SG_MAX_DAYS);
            good = value->count >= 0;
        }
    }
    if (!good) {
        cell->out->state = SG_PARSE_WRONG;
        say(cell->out, "%s", expected[cell->field->type]);
    }
}

static void read_items(struct cell *cell)
{
    char copy[1200], why[200] = "it is too long";
    enum sg_parse_state state = SG_PARSE_WRONG;
    const struct sg_unit *bare = sg_unit_of_shop(SG_DIM_LENGTH, cell->shop->units);
    if (cell->length < sizeof copy) {
        memcpy(copy, cell->text, cell->length);
        copy[cell->length] = '\0';
        state = sg_items_parse(copy, cell->field->type == SG_FIELD_PLACES, bare, &cell->out->value.items, why,
                               sizeof why);
    }
    cell->out->state = state;
    if (state != SG_PARSE_WHOLE)
        say(cell->out, "%s", why);
}

static void list_names(const struct cell *cell, char *out, size_t size)
{
    const struct sg_shop *shop = cell->shop;
    int n = cell->field->type == SG_FIELD_HEAD ? shop->n_heads : shop->n_shifts;
    size_t used = 0;
    for (int i = 0; i < n && used < size; i++) {
        const char *name = cell->field->type == SG_FIELD_HEAD ? shop->heads[i].name : shop->shifts[i].id;
        used += (size_t)snprintf(out + used, size - used, "%s%s", i ? ", " : "", name);
    }
}

/* The desk has brought the file in by now, if there is one (src/edit/outlines.c). */
static void read_outline(struct cell *cell)
{
    char name[SG_TEXT_MAX + 1];
    size_t length = cell->length < sizeof name ? cell->length : sizeof name - 1;
    memcpy(name, cell->text, length);
    name[length] = '\0';
    cell->out->value.whole = sg_find_drawn(cell->shop, name);
    if (cell->out->value.whole != SG_UNKNOWN)
        return;
    cell->out->state = SG_PARSE_UNFINISHED;
    say(cell->out, "no file \"%.100s\", and no outline of that name is kept", name);
}

static void read_reference(struct cell *cell)
{
    char name[SG_TEXT_MAX + 1], names[200] = "";
    size_t length = cell->length < sizeof name ? cell->length : sizeof name - 1;
    memcpy(name, cell->text, length);
    name[length] = '\0';
    int others = 0, index;
    if (cell->field->type == SG_FIELD_MATERIAL)
        index = sg_find_material(cell->shop, name, &others);
    else
        index = cell->field->type == SG_FIELD_HEAD ? sg_find_head(cell->shop, name)
                                                   : sg_find_shift(cell->shop, name);
    cell->out->value.whole = index;
    if (index != SG_UNKNOWN)
        return;
    cell->out->state = others > 1 ? SG_PARSE_UNFINISHED : SG_PARSE_WRONG;
    if (cell->field->type == SG_FIELD_MATERIAL) {
        char why[SG_NEAR_SIZE];
        sg_near_materials(cell->shop, name, others, why, sizeof why);
        say(cell->out, "%s", why);
    } else {
        list_names(cell, names, sizeof names);
        say(cell->out, "no %s \"%.60s\"; there is: %s", cell->field->type == SG_FIELD_HEAD ? "head" : "shift",
            name, names);
    }
}

static void (*const readers[])(struct cell *) = {
    [SG_FIELD_NUMBER] = read_one,     [SG_FIELD_NUMBERS] = read_numbers, [SG_FIELD_WHOLE] = read_one,
    [SG_FIELD_EDGE] = read_edge,      [SG_FIELD_CHOICE] = read_choice,   [SG_FIELD_FLAGS] = read_flags,
    [SG_FIELD_TEXT] = read_text,      [SG_FIELD_DATE] = read_civil,      [SG_FIELD_TIME] = read_civil,
    [SG_FIELD_MOMENT] = read_civil,   [SG_FIELD_SPANS] = read_civil,     [SG_FIELD_DATES] = read_civil,
    [SG_FIELD_SIZES] = read_items,    [SG_FIELD_PLACES] = read_items,    [SG_FIELD_MATERIAL] = read_reference,
    [SG_FIELD_HEAD] = read_reference, [SG_FIELD_SHIFT] = read_reference, [SG_FIELD_OUTLINE] = read_outline,
};

void sg_field_read_unit(const struct sg_field *field, const struct sg_shop *shop, const char *text,
                        const struct sg_unit *bare, struct sg_typed *out)
{
    memset(out, 0, sizeof *out);
    while (is_blank(*text))
        text++;
    size_t length = strlen(text);
    while (length > 0 && is_blank(text[length - 1]))
        length--;
    struct cell cell = {field, shop, bare, text, length, out};
    if (length == 0) {
        out->state = SG_PARSE_UNFINISHED;
        say(out, field->flags & SG_FIELD_OPTIONAL ? "nothing typed; `none` clears it" : "nothing typed");
        return;
    }
    if (length == 4 && memcmp(text, "none", 4) == 0) {
        out->value.none = true;
        if (!(field->flags & SG_FIELD_OPTIONAL))
            wrong(&cell, "it cannot be cleared");
        return;
    }
    readers[field->type](&cell);
}

void sg_field_read(const struct sg_field *field, const struct sg_shop *shop, const char *text,
                   struct sg_typed *out)
{
    sg_field_read_unit(field, shop, text, sg_field_unit(field, shop->units), out);
}
