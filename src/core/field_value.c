/* Values in and out of the structs that the field table describes. */
#include "sandglass/field.h"

#include <string.h>

/* Where the array of SPANS and DATES starts: directly behind its count. */
static void *behind_count(void *count)
{
    return (char *)count + sizeof(int32_t);
}

static double number_at(const struct sg_field *field, const void *record, int i)
{
    double value;
    memcpy(&value, (const char *)record + field->offset + (size_t)i * sizeof value, sizeof value);
    return value;
}

static int32_t whole_at(const struct sg_field *field, const void *record)
{
    int32_t value;
    memcpy(&value, (const char *)record + field->offset, sizeof value);
    return value;
}

static void get_numbers(const struct sg_field *field, const void *record, struct sg_value *out)
{
    for (int i = 0; i < field->count; i++)
        out->number[i] = number_at(field, record, i);
    out->none = !sg_known(out->number[0]);
}

static void get_whole(const struct sg_field *field, const void *record, struct sg_value *out)
{
    out->whole = whole_at(field, record);
    out->none = out->whole == (field->type == SG_FIELD_DATE ? SG_NO_DATE : SG_UNKNOWN);
    if (field->type == SG_FIELD_FLAGS || field->type == SG_FIELD_TIME)
        out->none = field->type == SG_FIELD_FLAGS && out->whole == 0;
}

static void get_list(const struct sg_field *field, const void *record, struct sg_value *out)
{
    const char *list = (const char *)record + field->offset + sizeof(int32_t);
    out->count = whole_at(field, record);
    out->none = out->count == 0;
    if (field->type == SG_FIELD_SPANS)
        memcpy(out->spans, list, (size_t)out->count * sizeof *out->spans);
    else
        memcpy(out->days, list, (size_t)out->count * sizeof *out->days);
}

void sg_field_get(const struct sg_field *field, const void *record, struct sg_value *out)
{
    const char *member = (const char *)record + field->offset;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_EDGE:
    case SG_FIELD_NUMBERS:
        get_numbers(field, record, out);
        return;
    case SG_FIELD_TEXT:
        memcpy(&out->text, member, sizeof out->text);
        out->none = out->text[0] == '\0';
        return;
    case SG_FIELD_MOMENT:
        memcpy(&out->whole, member, sizeof out->whole);
        out->none = out->whole == SG_NO_MOMENT;
        return;
    case SG_FIELD_SPANS:
    case SG_FIELD_DATES:
        get_list(field, record, out);
        return;
    case SG_FIELD_SIZES:
    case SG_FIELD_PLACES:
        memcpy(&out->items, member, sizeof out->items);
        out->none = out->items.n == 0;
        return;
    default:
        get_whole(field, record, out);
    }
}

static void put_list(const struct sg_field *field, void *record, const struct sg_value *value)
{
    int32_t count = value->none ? 0 : value->count;
    char *member = (char *)record + field->offset;
    memcpy(member, &count, sizeof count);
    if (field->type == SG_FIELD_SPANS)
        memcpy(behind_count(member), value->spans, (size_t)count * sizeof *value->spans);
    else
        memcpy(behind_count(member), value->days, (size_t)count * sizeof *value->days);
}

static const struct sg_items no_items;

void sg_field_put(const struct sg_field *field, void *record, const struct sg_value *value)
{
    char *member = (char *)record + field->offset;
    const char *text = value->none ? "" : value->text;
    int64_t moment = value->none ? SG_NO_MOMENT : value->whole;
    int32_t nothing = field->type == SG_FIELD_DATE    ? SG_NO_DATE
                      : field->type == SG_FIELD_FLAGS ? 0
                                                      : SG_UNKNOWN;
    int32_t whole = value->none ? nothing : (int32_t)value->whole;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_EDGE:
    case SG_FIELD_NUMBERS:
        for (int i = 0; i < field->count; i++) {
            double number = value->none ? (double)NAN : value->number[i];
            memcpy(member + (size_t)i * sizeof number, &number, sizeof number);
        }
        return;
    case SG_FIELD_TEXT:
        memcpy(member, &text, sizeof text);
        return;
    case SG_FIELD_MOMENT:
        memcpy(member, &moment, sizeof moment);
        return;
    case SG_FIELD_SPANS:
    case SG_FIELD_DATES:
        put_list(field, record, value);
        return;
    case SG_FIELD_SIZES:
    case SG_FIELD_PLACES:
        memcpy(member, value->none ? &no_items : &value->items, sizeof value->items);
        return;
    default:
        memcpy(member, &whole, sizeof whole);
    }
}

static bool same_numbers(const struct sg_field *field, const struct sg_value *a, const struct sg_value *b)
{
    for (int i = 0; i < field->count; i++)
        if (a->number[i] != b->number[i])
            return false;
    return true;
}

bool sg_field_same(const struct sg_field *field, const struct sg_value *a, const struct sg_value *b)
{
    if (a->none || b->none)
        return a->none == b->none;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_EDGE:
    case SG_FIELD_NUMBERS:
        return same_numbers(field, a, b);
    case SG_FIELD_TEXT:
        return strcmp(a->text, b->text) == 0;
    case SG_FIELD_SPANS:
        return a->count == b->count && !memcmp(a->spans, b->spans, (size_t)a->count * sizeof *a->spans);
    case SG_FIELD_DATES:
        return a->count == b->count && !memcmp(a->days, b->days, (size_t)a->count * sizeof *a->days);
    case SG_FIELD_SIZES:
    case SG_FIELD_PLACES:
        return a->items.n == b->items.n &&
               !memcmp(a->items.at, b->items.at, (size_t)a->items.n * sizeof *a->items.at);
    default:
        return a->whole == b->whole;
    }
}

static bool number_in_range(const struct sg_field *field, double number)
{
    if (!isfinite(number))
        return false;
    bool low = field->flags & SG_FIELD_ABOVE_MIN ? number <= field->min : number < field->min;
    return !low && number <= field->max;
}

static int count_words(const char *const *words)
{
    int n = 0;
    while (words[n])
        n++;
    return n;
}

bool sg_field_in_range(const struct sg_field *field, const struct sg_value *value)
{
    if (value->none)
        return field->flags & (SG_FIELD_OPTIONAL | SG_FIELD_MISSING);
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_EDGE:
    case SG_FIELD_NUMBERS:
        for (int i = 0; i < field->count; i++)
            if (!number_in_range(field, value->number[i]))
                return false;
        return true;
    case SG_FIELD_WHOLE:
        return number_in_range(field, (double)value->whole);
    case SG_FIELD_CHOICE:
        return value->whole >= 0 && value->whole < count_words(field->words);
    case SG_FIELD_FLAGS:
        return value->whole >= 0 && value->whole < (INT64_C(1) << count_words(field->words));
    case SG_FIELD_TIME:
        return value->whole >= 0 && value->whole <= SG_DAY_S;
    case SG_FIELD_SIZES:
    case SG_FIELD_PLACES:
        return sg_items_in_range(&value->items, field->type == SG_FIELD_PLACES);
    default:
        return true;
    }
}

static bool equal_blind(const char *a, const char *b, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        char x = a[i], y = b[i];
        x = x >= 'A' && x <= 'Z' ? (char)(x + 32) : x;
        y = y >= 'A' && y <= 'Z' ? (char)(y + 32) : y;
        if (x != y || x == '\0')
            return x == y;
    }
    return true;
}

static bool is_alias(const char *aliases, const char *name)
{
    size_t length = strlen(name);
    while (*aliases) {
        aliases += strspn(aliases, " ");
        size_t n = strcspn(aliases, ";");
        if (n == length && equal_blind(aliases, name, n))
            return true;
        aliases += n + (aliases[n] == ';');
    }
    return false;
}

int sg_find_material(const struct sg_shop *shop, const char *name, int *others)
{
    size_t length = strlen(name);
    int matched = SG_UNKNOWN, matches = 0;
    if (others)
        *others = 0;
    for (int i = 0; i < shop->n_materials; i++)
        if (equal_blind(shop->materials[i].name, name, length + 1) ||
            is_alias(shop->materials[i].aliases, name))
            return i;
    for (int i = 0; i < shop->n_materials && length > 0; i++)
        if (equal_blind(shop->materials[i].name, name, length)) {
            matched = i;
            matches++;
        }
    if (others)
        *others = matches;
    return matches == 1 ? matched : SG_UNKNOWN;
}

int sg_find_head(const struct sg_shop *shop, const char *name)
{
    for (int i = 0; i < shop->n_heads; i++)
        if (equal_blind(shop->heads[i].name, name, strlen(name) + 1))
            return i;
    return SG_UNKNOWN;
}

int sg_find_drawn(const struct sg_shop *shop, const char *name)
{
    for (int i = 0; i < shop->n_drawn; i++)
        if (strcmp(shop->drawn[i].name, name) == 0)
            return i;
    return SG_UNKNOWN;
}

int sg_find_shift(const struct sg_shop *shop, const char *id)
{
    for (int i = 0; i < shop->n_shifts; i++)
        if (strcmp(shop->shifts[i].id, id) == 0)
            return i;
    return SG_UNKNOWN;
}
