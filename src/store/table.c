/* Kinds as tables, fields as columns: how a value of the field table stands in the shop file. The names of
 * tables and columns come from here and from the field table only. */
#include "store/inside.h"

#include <stddef.h>
#include <string.h>

const struct sg_table *sg_table_of(enum sg_kind kind)
{
#define PLACE(type, member) .key_offset = offsetof(type, member), .row_offset = offsetof(type, row)
    static const struct sg_table tables[SG_KINDS] = {
        [SG_KIND_JOB] = {.name = "job", .key = "key", PLACE(struct sg_job, id), .fresh = &sg_fresh_job},
        [SG_KIND_STOCK] = {.name = "stock",
                           .key = "number",
                           PLACE(struct sg_stock, number),
                           .parent = "job_id",
                           .fresh = &sg_fresh_stock},
        [SG_KIND_PART] = {.name = "part",
                          .key = "key",
                          PLACE(struct sg_part, id),
                          .parent = "stock_id",
                          .placed = true,
                          .fresh = &sg_fresh_part},
        [SG_KIND_CHORE] = {.name = "chore",
                           .key = "name",
                           PLACE(struct sg_chore, name),
                           .placed = true,
                           .fresh = &sg_fresh_chore},
        [SG_KIND_SHIFT] = {.name = "shift",
                           .key = "key",
                           PLACE(struct sg_shift, id),
                           .placed = true,
                           .fresh = &sg_fresh_shift},
        [SG_KIND_MACHINE] = {.name = "machine",
                             .key = "name",
                             PLACE(struct sg_machine, name),
                             .fresh = &sg_fresh_machine},
        [SG_KIND_HEAD] = {.name = "head",
                          .key = "name",
                          PLACE(struct sg_head, name),
                          .fresh = &sg_fresh_heads[0]},
        [SG_KIND_MATERIAL] = {.name = "material",
                              .key = "name",
                              PLACE(struct sg_material, name),
                              .fresh = &sg_fresh_material},
        [SG_KIND_RATES] = {.name = "rates",
                           .key = "name",
                           PLACE(struct sg_rates, name),
                           .fresh = &sg_fresh_rates},
        [SG_KIND_CLOCK] = {.name = "clock",
                           .key = "key",
                           PLACE(struct sg_clock, id),
                           .fresh = &sg_fresh_clock},
        [SG_KIND_RECORD] = {.name = "record",
                            .key = "key",
                            PLACE(struct sg_record, id),
                            .fresh = &sg_fresh_record},
    };
#undef PLACE
    return &tables[kind];
}

bool sg_table_find(const char *name, enum sg_kind *out)
{
    for (int kind = 0; kind < SG_KINDS; kind++)
        if (strcmp(sg_table_of((enum sg_kind)kind)->name, name) == 0) {
            *out = (enum sg_kind)kind;
            return true;
        }
    return false;
}

void sg_column_name(const struct sg_field *field, int i, char *out, size_t size)
{
    const char *number = strstr(field->column, "%d");
    if (number)
        sqlite3_snprintf((int)size, out, "%.*s%d%s", (int)(number - field->column), field->column, i + 1,
                         number + 2);
    else
        sqlite3_snprintf((int)size, out, "%s", field->column);
}

void sg_column_append(sqlite3_str *sql, const struct sg_field *field, int i, const char *before,
                      const char *behind)
{
    char name[100];
    sg_column_name(field, i, name, sizeof name);
    sqlite3_str_appendf(sql, "%s\"%s\"%s", before, name, behind);
}

/* ---- texts ---- */

/* Most texts are plain ASCII and short: only the others are read character by character. */
bool sg_text_is_clean(const char *text, int max)
{
    size_t length = 0;
    while (text[length] >= ' ' && text[length] <= '~')
        length++;
    if (text[length] == '\0' && length <= (size_t)max)
        return true;
    struct sg_field field = {.type = SG_FIELD_TEXT, .max = max};
    struct sg_shop shop = {.units = SG_UNITS_METRIC};
    struct sg_typed typed;
    sg_field_read(&field, &shop, text, &typed);
    return typed.state == SG_PARSE_WHOLE;
}

const char *sg_column_text(sqlite3_stmt *statement, int at, int max, struct sg_arena *arena)
{
    int type = sqlite3_column_type(statement, at);
    if (type == SQLITE_NULL)
        return "";
    const char *text = type == SQLITE_TEXT ? (const char *)sqlite3_column_text(statement, at) : NULL;
    int length = sqlite3_column_bytes(statement, at);
    if (!text || strlen(text) != (size_t)length || !sg_text_is_clean(text, max))
        return NULL;
    return length ? sg_arena_text(arena, text, (size_t)length) : "";
}

/* ---- from a value to parameters ---- */

enum { LIST_SIZE = 1200 }; /* the longest: places in full; 64 dates are 704 */

static void flags_text(const struct sg_field *field, int64_t flags, char *out)
{
    *out = '\0';
    for (int i = 0; field->words[i]; i++)
        if (flags >> i & 1) {
            if (*out)
                strcat(out, ",");
            strcat(out, field->words[i]);
        }
}

/* Always with seconds, so that it sorts as text and every version of it reads alike. */
static void moment_text(int64_t seconds, char *out)
{
    int within = (int)(seconds % SG_DAY_S);
    char date[20];
    sg_date_format((int32_t)(seconds / SG_DAY_S), date, sizeof date);
    sqlite3_snprintf(LIST_SIZE, out, "%s %02d:%02d:%02d", date, within / 3600, within / 60 % 60, within % 60);
}

static const char *value_text(const struct sg_field *field, const struct sg_value *value, char *buffer)
{
    *buffer = '\0';
    switch (field->type) {
    case SG_FIELD_CHOICE:
        return value->none ? NULL : field->words[value->whole];
    case SG_FIELD_TEXT:
        return value->none ? NULL : value->text;
    case SG_FIELD_FLAGS:
        if (!value->none)
            flags_text(field, value->whole, buffer);
        return buffer;
    case SG_FIELD_SPANS:
        if (!value->none)
            sg_spans_format(value->spans, value->count, buffer, LIST_SIZE);
        return buffer;
    case SG_FIELD_DATES:
        if (!value->none)
            sg_dates_format(value->days, value->count, buffer, LIST_SIZE);
        return buffer;
    case SG_FIELD_SIZES:
    case SG_FIELD_PLACES:
        if (!value->none)
            sg_items_format(&value->items, field->type == SG_FIELD_PLACES, sg_unit_canonical(SG_DIM_LENGTH),
                            -1, buffer, LIST_SIZE);
        return value->none ? NULL : buffer;
    case SG_FIELD_DATE:
        sg_date_format((int32_t)value->whole, buffer, LIST_SIZE);
        break;
    case SG_FIELD_TIME:
        if (value->whole == SG_DAY_S)
            return "24:00";
        sg_time_format((int32_t)value->whole, buffer, LIST_SIZE);
        break;
    case SG_FIELD_MOMENT:
        moment_text(value->whole, buffer);
        break;
    default:
        break;
    }
    return value->none ? NULL : buffer;
}

/* The row that an index of the shop stands for; 0 if there is none. */
static int64_t row_of(const struct sg_field *field, const struct sg_shop *shop, int64_t index)
{
    switch (field->type) {
    case SG_FIELD_MATERIAL:
        return index >= 0 && index < shop->n_materials ? shop->materials[index].row : 0;
    case SG_FIELD_HEAD:
        return index >= 0 && index < shop->n_heads ? shop->heads[index].row : 0;
    case SG_FIELD_OUTLINE:
        return index >= 0 && index < shop->n_drawn ? shop->drawn[index].row : 0;
    default:
        return index >= 0 && index < shop->n_shifts ? shop->shifts[index].row : 0;
    }
}

static bool bind_reference(sqlite3_stmt *statement, int at, const struct sg_field *field,
                           const struct sg_shop *shop, const struct sg_value *value)
{
    if (value->none)
        return sqlite3_bind_null(statement, at) == SQLITE_OK;
    int64_t row = row_of(field, shop, value->whole);
    return row > 0 && sqlite3_bind_int64(statement, at, row) == SQLITE_OK;
}

static bool bind_text(sqlite3_stmt *statement, int at, const struct sg_field *field,
                      const struct sg_value *value)
{
    char buffer[LIST_SIZE];
    const char *text = value_text(field, value, buffer);
    if (text && field->type == SG_FIELD_TEXT && !sg_text_is_clean(text, (int)field->max))
        return false;
    return sqlite3_bind_text(statement, at, text, -1, SQLITE_TRANSIENT) == SQLITE_OK;
}

static bool bind_numbers(sqlite3_stmt *statement, int at, const struct sg_field *field,
                         const struct sg_value *value)
{
    int code = SQLITE_OK;
    for (int i = 0; i < field->count && code == SQLITE_OK; i++)
        code = value->none ? sqlite3_bind_null(statement, at + i)
                           : sqlite3_bind_double(statement, at + i, value->number[i]);
    return code == SQLITE_OK;
}

bool sg_column_bind(sqlite3_stmt *statement, int *at, const struct sg_field *field,
                    const struct sg_shop *shop, const struct sg_value *value)
{
    int first = *at;
    *at += field->count;
    if (!sg_field_in_range(field, value))
        return false;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_NUMBERS:
    case SG_FIELD_EDGE:
        return bind_numbers(statement, first, field, value);
    case SG_FIELD_WHOLE:
        return (value->none ? sqlite3_bind_null(statement, first)
                            : sqlite3_bind_int64(statement, first, value->whole)) == SQLITE_OK;
    case SG_FIELD_MATERIAL:
    case SG_FIELD_HEAD:
    case SG_FIELD_SHIFT:
    case SG_FIELD_OUTLINE:
        return bind_reference(statement, first, field, shop, value);
    default:
        return bind_text(statement, first, field, value);
    }
}

/* ---- from columns to a value ---- */

static bool read_numbers(sqlite3_stmt *statement, int at, const struct sg_field *field,
                         struct sg_value *value)
{
    int known = 0;
    for (int i = 0; i < field->count; i++) {
        int type = sqlite3_column_type(statement, at + i);
        if (type != SQLITE_NULL && type != SQLITE_FLOAT && type != SQLITE_INTEGER)
            return false;
        known += type != SQLITE_NULL;
        value->number[i] = sqlite3_column_double(statement, at + i);
    }
    value->none = known == 0;
    return known == 0 || known == field->count;
}

static bool read_whole(sqlite3_stmt *statement, int at, struct sg_value *value)
{
    int type = sqlite3_column_type(statement, at);
    value->none = type == SQLITE_NULL;
    value->whole = sqlite3_column_int64(statement, at);
    return type == SQLITE_NULL || type == SQLITE_INTEGER;
}

static bool read_word(const struct sg_field *field, const char *text, size_t length, int64_t *index)
{
    for (*index = 0; field->words[*index]; ++*index)
        if (strncmp(field->words[*index], text, length) == 0 && field->words[*index][length] == '\0')
            return true;
    return false;
}

static bool read_flags(const struct sg_field *field, const char *text, struct sg_value *value)
{
    value->whole = 0;
    while (*text) {
        size_t length = strcspn(text, ",");
        int64_t index;
        if (!read_word(field, text, length, &index))
            return false;
        value->whole |= INT64_C(1) << index;
        text += length + (text[length] == ',');
    }
    value->none = value->whole == 0;
    return true;
}

static bool read_civil(const struct sg_field *field, const char *text, struct sg_value *value)
{
    int32_t days_or_seconds = 0;
    bool right = false;
    char why[200];
    switch (field->type) {
    case SG_FIELD_DATE:
        right = sg_date_parse(text, &days_or_seconds);
        value->whole = days_or_seconds;
        return right;
    case SG_FIELD_TIME:
        right = sg_time_parse(text, &days_or_seconds);
        value->whole = days_or_seconds;
        return right;
    case SG_FIELD_MOMENT:
        return sg_moment_parse(text, &value->whole);
    case SG_FIELD_SIZES:
    case SG_FIELD_PLACES:
        right = sg_items_parse(text, field->type == SG_FIELD_PLACES, sg_unit_canonical(SG_DIM_LENGTH),
                               &value->items, why, sizeof why) == SG_PARSE_WHOLE;
        return right;
    case SG_FIELD_SPANS:
        value->count = *text ? sg_spans_parse(text, value->spans, SG_MAX_SPANS) : 0;
        break;
    default:
        value->count = *text ? sg_dates_parse(text, value->days, SG_MAX_DAYS) : 0;
    }
    value->none = value->count == 0;
    return value->count >= 0;
}

/* Words, dates, times and their lists; the longest is a list of dates. */
static bool read_written(sqlite3_stmt *statement, int at, const struct sg_field *field,
                         struct sg_value *value)
{
    int type = sqlite3_column_type(statement, at);
    value->none = type == SQLITE_NULL;
    if (type == SQLITE_NULL)
        return field->type != SG_FIELD_FLAGS && field->type != SG_FIELD_SPANS &&
               field->type != SG_FIELD_DATES;
    if (type != SQLITE_TEXT)
        return false;
    const char *text = (const char *)sqlite3_column_text(statement, at);
    if (!text || strlen(text) != (size_t)sqlite3_column_bytes(statement, at))
        return false;
    if (field->type == SG_FIELD_CHOICE)
        return read_word(field, text, strlen(text), &value->whole);
    return field->type == SG_FIELD_FLAGS ? read_flags(field, text, value) : read_civil(field, text, value);
}

bool sg_column_read(sqlite3_stmt *statement, int *at, const struct sg_field *field, struct sg_arena *arena,
                    struct sg_value *value)
{
    int first = *at;
    bool right;
    *at += field->count;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_NUMBERS:
    case SG_FIELD_EDGE:
        right = read_numbers(statement, first, field, value);
        break;
    case SG_FIELD_WHOLE:
    case SG_FIELD_MATERIAL:
    case SG_FIELD_HEAD:
    case SG_FIELD_SHIFT:
    case SG_FIELD_OUTLINE:
        right = read_whole(statement, first, value);
        break;
    case SG_FIELD_TEXT:
        value->text = sg_column_text(statement, first, (int)field->max, arena);
        right = value->text != NULL;
        value->none = right && value->text[0] == '\0';
        break;
    default:
        right = read_written(statement, first, field, value);
    }
    return right && sg_field_in_range(field, value);
}
