/* Fields as people type and read them. */
#include "sandglass/field.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* ---- reading ---- */

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
                             .bag_kg = field->dimension == SG_DIM_MASS ? cell->shop->machine.bag : 0,
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
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* Numbers with blanks or commas between them. */
static void read_numbers(struct cell *cell)
{
    size_t at = 0;
    int n = 0;
    while (at < cell->length) {
        size_t end = at;
        while (end < cell->length && !is_blank(cell->text[end]) && cell->text[end] != ',')
            end++;
        if (end > at) {
            double number = 0;
            if (n == cell->field->count)
                break;
            read_number(cell, cell->text + at, end - at, &number);
            if (cell->out->state == SG_PARSE_WRONG)
                return;
            if (cell->out->state == SG_PARSE_WHOLE && !number_fits(cell->field, number)) {
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

static void read_edge(struct cell *cell)
{
    int index = word_index(cell->field->words, cell->text, cell->length);
    if (index >= 0)
        cell->out->value.number[0] = index + 1;
    else if (cell->text[0] >= 'a' && cell->text[0] <= 'z')
        not_a_word(cell, index);
    else
        read_one(cell);
}

static void read_flags(struct cell *cell)
{
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
        at = end + 1;
    }
}

/* Length of the UTF-8 character at text, 0 if it is none (or a control character). */
static size_t character_length(const unsigned char *text, size_t left)
{
    static const uint32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
    size_t n = text[0] < 0x80 ? 1 : text[0] < 0xC2 ? 0 : text[0] < 0xE0 ? 2 : text[0] < 0xF0 ? 3 : 4;
    if (n == 0 || n > left || text[0] > 0xF4)
        return 0;
    uint32_t code = n == 1 ? text[0] : text[0] & (0xFFu >> (n + 1));
    for (size_t i = 1; i < n; i++) {
        if ((text[i] & 0xC0) != 0x80)
            return 0;
        code = code << 6 | (text[i] & 0x3Fu);
    }
    bool control = (code < 0x20 && code != '\n' && code != '\t') || (code >= 0x7F && code < 0xA0);
    bool surrogate = code >= 0xD800 && code < 0xE000;
    return control || surrogate || code > 0x10FFFF || code < smallest[n] ? 0 : n;
}

static void read_text(struct cell *cell)
{
    size_t characters = 0;
    for (size_t at = 0; at < cell->length; characters++) {
        size_t n = character_length((const unsigned char *)cell->text + at, cell->length - at);
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

/* The library's names that hold the typed word, so that "stel" may still be answered with nothing, but
 * "aluminium" with both alloys. */
static void near_materials(const struct cell *cell, const char *name, char *out, size_t size)
{
    size_t used = 0;
    int found = 0;
    out[0] = '\0';
    for (int i = 0; i < cell->shop->n_materials && found < 4 && used < size; i++)
        if (strncmp(cell->shop->materials[i].name, name, 3) == 0) {
            used += (size_t)snprintf(out + used, size - used, "%s%s", found ? "; " : "",
                                     cell->shop->materials[i].name);
            found++;
        }
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
        near_materials(cell, name, names, sizeof names);
        if (others > 1)
            say(cell->out, "%d materials start with \"%.60s\": %s", others, name, names);
        else
            say(cell->out, "no material \"%.60s\" in the library%s%s; `add material` makes one", name,
                names[0] ? "; near it: " : "", names);
    } else {
        list_names(cell, names, sizeof names);
        say(cell->out, "no %s \"%.60s\"; there is: %s", cell->field->type == SG_FIELD_HEAD ? "head" : "shift",
            name, names);
    }
}

static void (*const readers[])(struct cell *) = {
    [SG_FIELD_NUMBER] = read_one,         [SG_FIELD_NUMBERS] = read_numbers,
    [SG_FIELD_WHOLE] = read_one,          [SG_FIELD_EDGE] = read_edge,
    [SG_FIELD_CHOICE] = read_choice,      [SG_FIELD_FLAGS] = read_flags,
    [SG_FIELD_TEXT] = read_text,          [SG_FIELD_DATE] = read_civil,
    [SG_FIELD_TIME] = read_civil,         [SG_FIELD_MOMENT] = read_civil,
    [SG_FIELD_SPANS] = read_civil,        [SG_FIELD_DATES] = read_civil,
    [SG_FIELD_MATERIAL] = read_reference, [SG_FIELD_HEAD] = read_reference,
    [SG_FIELD_SHIFT] = read_reference,
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

/* ---- showing ---- */

/* Decimals with which a number is shown in a unit of the shop: enough for the shop floor, not more. */
static int decimals_of(const struct sg_unit *unit)
{
    static const struct {
        const char *unit;
        int decimals;
    } table[] = {{"in", 4},    {"mm", 3},     {"in2", 3},    {"mm2", 1},   {"in/min", 2}, {"mm/min", 1},
                 {"ksi", 3},   {"MPa", 2},    {"lb", 2},     {"kg", 3},    {"lb/min", 3}, {"g/min", 1},
                 {"gpm", 3},   {"L/min", 3},  {"lb/in3", 4}, {"kg/m3", 0}, {"%", 1},      {"hp", 2},
                 {"kW", 2},    {"lb/ft2", 1}, {"kg/m2", 1},  {"min", 2},   {"s", 2},      {"h", 2},
                 {"J/mm2", 3}, {"in/s2", 2},  {"mm/s2", 1}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (strcmp(table[i].unit, unit->name) == 0)
            return table[i].decimals;
    return 4;
}

static int show_number(const struct sg_unit *unit, double number, char *out, size_t size)
{
    int length = sg_number_format(number, unit, decimals_of(unit), out, size);
    if (length >= (int)size || !strchr(out, '.'))
        return length;
    while (out[length - 1] == '0')
        length--;
    if (out[length - 1] == '.')
        length--;
    out[length] = '\0';
    return length;
}

static int show_numbers(const struct sg_field *field, const struct sg_unit *unit, const double *numbers,
                        char *out, size_t size)
{
    int used = 0;
    for (int i = 0; i < field->count && used < (int)size; i++) {
        char one[64];
        show_number(unit, numbers[i], one, sizeof one);
        used += snprintf(out + used, size - (size_t)used, "%s%s", i ? " " : "", one);
    }
    if (unit->name[0] && used < (int)size)
        used +=
            snprintf(out + used, size - (size_t)used, "%s%s", unit->name[0] == '%' ? "" : " ", unit->name);
    return used;
}

static int show_flags(const struct sg_field *field, int64_t flags, char *out, size_t size)
{
    int used = 0;
    for (int i = 0; field->words[i] && used < (int)size; i++)
        if (flags & INT64_C(1) << i)
            used += snprintf(out + used, size - (size_t)used, "%s%s", used ? "," : "", field->words[i]);
    return used;
}

int sg_field_show(const struct sg_field *field, const struct sg_shop *shop, const struct sg_value *value,
                  char *out, size_t size)
{
    if (value->none)
        return snprintf(out, size, "none");
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_NUMBERS:
        return show_numbers(field, sg_field_unit(field, shop->units), value->number, out, size);
    case SG_FIELD_EDGE:
        show_number(sg_unit_canonical(SG_DIM_NUMBER), value->number[0], out, size);
        return snprintf(out + strlen(out), size - strlen(out), " %s", sg_edge_word(value->number[0]));
    case SG_FIELD_WHOLE:
        return snprintf(out, size, "%lld", (long long)value->whole);
    case SG_FIELD_CHOICE:
        return snprintf(out, size, "%s", field->words[value->whole]);
    case SG_FIELD_FLAGS:
        return show_flags(field, value->whole, out, size);
    case SG_FIELD_TEXT:
        return snprintf(out, size, "%s", value->text);
    case SG_FIELD_DATE:
        return sg_date_format((int32_t)value->whole, out, size);
    case SG_FIELD_TIME:
        return sg_time_format((int32_t)value->whole, out, size);
    case SG_FIELD_MOMENT:
        return sg_moment_format(value->whole, out, size);
    case SG_FIELD_SPANS:
        return sg_spans_format(value->spans, value->count, out, size);
    case SG_FIELD_DATES:
        return sg_dates_format(value->days, value->count, out, size);
    case SG_FIELD_MATERIAL:
        return snprintf(out, size, "%s", shop->materials[value->whole].name);
    case SG_FIELD_HEAD:
        return snprintf(out, size, "%s", shop->heads[value->whole].name);
    case SG_FIELD_SHIFT:
        return snprintf(out, size, "%s", shop->shifts[value->whole].id);
    }
    return 0;
}

static int range_of_numbers(const struct sg_field *field, const struct sg_unit *unit, char *out, size_t size)
{
    char low[64], high[64];
    show_number(unit, field->min, low, sizeof low);
    show_number(unit, field->max, high, sizeof high);
    const char *many = field->type == SG_FIELD_NUMBERS ? " each" : "";
    const char *blank = unit->name[0] && unit->name[0] != '%' ? " " : "";
    if (field->flags & SG_FIELD_ABOVE_MIN)
        return snprintf(out, size, "more than %s, up to %s%s%s%s", low, high, blank, unit->name, many);
    return snprintf(out, size, "%s%s to %s%s%s%s", field->type == SG_FIELD_WHOLE ? "a whole number, " : "",
                    low, high, blank, unit->name, many);
}

static int range_of_words(const char *const *words, const char *before, char *out, size_t size)
{
    int used = snprintf(out, size, "%s", before);
    for (int i = 0; words[i] && used < (int)size; i++)
        used += snprintf(out + used, size - (size_t)used, "%s%s", i ? ", " : "", words[i]);
    return used;
}

int sg_field_range(const struct sg_field *field, const struct sg_shop *shop, char *out, size_t size)
{
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_NUMBERS:
    case SG_FIELD_WHOLE:
        return range_of_numbers(field, sg_field_unit(field, shop->units), out, size);
    case SG_FIELD_EDGE:
        return range_of_words(field->words, "1 to 5 or ", out, size);
    case SG_FIELD_CHOICE:
    case SG_FIELD_FLAGS:
        return range_of_words(field->words, "", out, size);
    case SG_FIELD_TEXT:
        return snprintf(out, size, "text of up to %.0f characters", field->max);
    case SG_FIELD_DATE:
        return snprintf(out, size, "a date such as 2026-12-01");
    case SG_FIELD_TIME:
        return snprintf(out, size, "a time of day such as 06:00");
    case SG_FIELD_MOMENT:
        return snprintf(out, size, "a date such as 2026-12-01, or with a time behind it");
    case SG_FIELD_SPANS:
        return snprintf(out, size, "breaks such as 09:30-09:45,12:00-12:30");
    case SG_FIELD_DATES:
        return snprintf(out, size, "dates such as 2026-12-24,2026-12-25");
    case SG_FIELD_MATERIAL:
        return snprintf(out, size, "a material of the library");
    case SG_FIELD_HEAD:
        return snprintf(out, size, "the name of a head");
    case SG_FIELD_SHIFT:
        return snprintf(out, size, "the name of a shift");
    }
    return 0;
}
