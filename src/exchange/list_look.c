/* A parts list as a person looks at it before it is taken. */
#include "exchange/exchange.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

/* ---- cells ---- */

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t';
}

/* Without the guard and the blanks around it, cut at a whole character. */
static void copy_plain(const char *cell, char *out, size_t size)
{
    cell = sg_csv_unguard(cell);
    while (is_blank(*cell))
        cell++;
    size_t length = strlen(cell);
    while (length > 0 && is_blank(cell[length - 1]))
        length--;
    if (length >= size)
        for (length = size - 1; length > 0 && ((unsigned char)cell[length] & 0xC0) == 0x80;)
            length--;
    memcpy(out, cell, length);
    out[length] = '\0';
}

void sg_parts_list_example(const struct sg_parts_list *list, int column, char *out, size_t size)
{
    out[0] = '\0';
    for (int i = 0; i < list->n_raw && out[0] == '\0'; i++)
        if (column < list->raw[i].n_cells)
            copy_plain(list->raw[i].cells[column], out, size);
}

static void read_as(const struct sg_list_column *column, const struct sg_shop *shop, const char *text,
                    const struct sg_unit *bare, struct sg_typed *out)
{
    if (bare)
        sg_field_read_unit(column->field, shop, text, bare, out);
    else
        sg_field_read(column->field, shop, text, out);
}

/* A cell that reads alike whatever a number without a unit means has one of its own. */
static bool names_its_unit(const struct sg_list_column *column, const struct sg_shop *shop, const char *text)
{
    const struct sg_unit *first = NULL;
    struct sg_typed one, other;
    if (column->field->dimension == SG_DIM_NUMBER || column->field->type != SG_FIELD_NUMBER)
        return false;
    for (const struct sg_unit *unit = sg_units; unit->name; unit++) {
        if (unit->dimension != column->field->dimension)
            continue;
        if (!first)
            first = unit;
        if (unit->factor == first->factor)
            continue;
        read_as(column, shop, text, first, &one);
        read_as(column, shop, text, unit, &other);
        return one.state == SG_PARSE_WHOLE && other.state == SG_PARSE_WHOLE &&
               sg_field_same(column->field, &one.value, &other.value);
    }
    return false;
}

static bool reads_material(const struct sg_shop *shop, const char *text, char *out, size_t size)
{
    int others = 0, index = sg_find_material(shop, text, &others);
    if (index == SG_UNKNOWN)
        sg_near_materials(shop, text, others, out, size);
    else
        snprintf(out, size, "%s", shop->materials[index].name);
    return index != SG_UNKNOWN;
}

bool sg_parts_list_reads(const struct sg_parts_list *list, const struct sg_shop *shop, int column,
                         const char *cell, char *out, size_t size, bool *own_unit)
{
    char text[600];
    struct sg_typed typed;
    const struct sg_list_column *what = &list->columns[column];
    copy_plain(cell, text, sizeof text);
    snprintf(out, size, "%s", text);
    if (own_unit)
        *own_unit = false;
    if (text[0] == '\0' || !what->name)
        return true;
    if (strcmp(what->name, "material") == 0)
        return reads_material(shop, text, out, size);
    if (!what->field)
        return true;
    read_as(what, shop, text, what->unit, &typed);
    if (typed.state != SG_PARSE_WHOLE) {
        snprintf(out, size, "%s", typed.text);
        return false;
    }
    if (what->field->type != SG_FIELD_TEXT) /* a text reads as it stands */
        sg_field_show(what->field, shop, &typed.value, out, size);
    if (own_unit)
        *own_unit = names_its_unit(what, shop, text);
    return true;
}

/* ---- the file ---- */

static bool holds_numbers(const struct sg_list_column *column)
{
    return column->field && (column->field->type == SG_FIELD_NUMBER || column->field->type == SG_FIELD_EDGE);
}

/* A mark between digits, or in front of them. */
static bool has_mark(const char *cell, char mark)
{
    for (const char *at = strchr(cell, mark); at; at = strchr(at + 1, mark))
        if (isdigit((unsigned char)at[1]))
            return true;
    return false;
}

const char *sg_parts_list_decimals(const struct sg_parts_list *list)
{
    static const char *const words[] = {"no decimals", "decimal point", "decimal comma",
                                        "decimal point and comma"};
    unsigned found = 0;
    for (int column = 0; column < list->n_header; column++)
        for (int i = 0; holds_numbers(&list->columns[column]) && i < list->n_raw && found != 3; i++)
            if (column < list->raw[i].n_cells) {
                const char *cell = list->raw[i].cells[column];
                found |= (has_mark(cell, '.') ? 1u : 0) | (has_mark(cell, ',') ? 2u : 0);
            }
    return words[found];
}

bool sg_parts_list_headless(const struct sg_parts_list *list)
{
    for (int i = 0; i < list->n_header; i++) {
        const char *cell = list->header[i];
        if (isdigit((unsigned char)cell[0]) && cell[strspn(cell, "0123456789.,")] == '\0')
            return true;
    }
    return false;
}

/* ---- columns of ours ---- */

static const struct {
    const char *name, *meaning;
} own_goals[] = {
    {"part", "the key of the part; every list needs it"},
    {"material", "material of the sheets, by which rows are grouped"},
    {"thickness", "thickness of the sheets, by which rows are grouped"},
};

enum { OWN_GOALS = sizeof own_goals / sizeof *own_goals };

/* A name without unit; *field is what it is read as, NULL where it has no unit. */
static bool plain_goal(int index, const char **name, const char **meaning, const struct sg_field **field)
{
    int n;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &n);
    *field = NULL;
    if (index < OWN_GOALS) {
        *name = own_goals[index].name;
        *meaning = own_goals[index].meaning;
        if (strcmp(*name, "thickness") == 0)
            *field = sg_field_find(SG_KIND_STOCK, *name);
        return true;
    }
    if (index - OWN_GOALS >= n)
        return false;
    *field = &fields[index - OWN_GOALS];
    *name = (*field)->name;
    *meaning = (*field)->meaning;
    return true;
}

bool sg_list_goal(int index, char room[SG_LIST_NAME], const char **name, const char **meaning)
{
    static const char *const lengths[] = {"", "_in", "_mm", NULL},
                             *const areas[] = {"", "_in2", "_mm2", NULL}, *const none[] = {"", NULL};
    const struct sg_field *field;
    const char *plain, *told;
    for (int i = 0; plain_goal(i, &plain, &told, &field); i++) {
        enum sg_dimension dimension = field ? field->dimension : SG_DIM_NUMBER;
        const char *const *units = dimension == SG_DIM_LENGTH ? lengths
                                   : dimension == SG_DIM_AREA ? areas
                                                              : none;
        for (int k = 0; units[k]; k++)
            if (index-- == 0) {
                snprintf(room, SG_LIST_NAME, "%s%s", plain, units[k]);
                *name = room;
                *meaning = told;
                return true;
            }
    }
    return false;
}
