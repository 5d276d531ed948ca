/* Fields as people read them. */
#include "sandglass/field.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

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
    /* A quarter of a percent is most often a quarter: it is not shown as 0.3 %. */
    int more = unit->name[0] == '%' && fabs(number) < 0.01 ? 2 : 0;
    return sg_number_short(number, unit, decimals_of(unit) + more, out, size);
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
    char edge[64];
    const struct sg_unit *unit;
    if (value->none)
        return snprintf(out, size, "none");
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_NUMBERS:
        return show_numbers(field, sg_field_unit(field, shop->units), value->number, out, size);
    case SG_FIELD_EDGE:
        show_number(sg_unit_canonical(SG_DIM_NUMBER), value->number[0], edge, sizeof edge);
        return snprintf(out, size, "%s %s", edge, sg_edge_word(value->number[0]));
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
    case SG_FIELD_SIZES:
    case SG_FIELD_PLACES:
        unit = sg_unit_of_shop(SG_DIM_LENGTH, shop->units);
        return sg_items_format(&value->items, field->type == SG_FIELD_PLACES, unit, decimals_of(unit), out,
                               size);
    case SG_FIELD_MATERIAL:
        return snprintf(out, size, "%s", shop->materials[value->whole].name);
    case SG_FIELD_HEAD:
        return snprintf(out, size, "%s", shop->heads[value->whole].name);
    case SG_FIELD_SHIFT:
        return snprintf(out, size, "%s", shop->shifts[value->whole].id);
    case SG_FIELD_OUTLINE:
        return snprintf(out, size, "%s", shop->drawn[value->whole].name);
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
    case SG_FIELD_SIZES:
        return snprintf(out, size, "sizes such as 24 x 16 x 2; 30 x 20, at most %d", SG_MAX_ITEMS);
    case SG_FIELD_PLACES:
        return snprintf(out, size, "places such as 4 x 2 at 0 x 10, at most %d", SG_MAX_ITEMS);
    case SG_FIELD_MATERIAL:
        return snprintf(out, size, "a material of the library");
    case SG_FIELD_HEAD:
        return snprintf(out, size, "the name of a head");
    case SG_FIELD_SHIFT:
        return snprintf(out, size, "the name of a shift");
    case SG_FIELD_OUTLINE:
        return snprintf(out, size, "a DXF drawing or part program, such as plate.dxf");
    }
    return 0;
}
