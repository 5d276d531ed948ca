#include "edit/desk.h"

#include "edit/inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum sg_status sg_desk_reload(struct sg_desk *desk, struct sg_error *error)
{
    struct sg_arena arena = {0};
    struct sg_shop shop;
    enum sg_status status = sg_store_load(desk->store, &arena, &shop, error);
    if (status != SG_OK) {
        sg_arena_free(&arena);
        return status;
    }
    sg_arena_free(&desk->arena);
    desk->arena = arena;
    desk->shop = shop;
    sg_calendar_fill_all(&desk->shop);
    return SG_OK;
}

enum sg_status sg_desk_open(const char *path, enum sg_store_mode mode, struct sg_desk **out,
                            struct sg_error *error)
{
    struct sg_desk *desk = calloc(1, sizeof *desk);
    if (!desk || !(desk->planner = sg_planner_new())) {
        free(desk);
        return sg_fail(error, SG_FAULT, "no memory to open %s", path);
    }
    enum sg_status status = sg_store_open(path, mode, &desk->store, error);
    if (status == SG_OK)
        status = sg_desk_reload(desk, error);
    if (status != SG_OK) {
        sg_desk_close(desk);
        return status;
    }
    *out = desk;
    return SG_OK;
}

void sg_desk_close(struct sg_desk *desk)
{
    if (!desk)
        return;
    sg_store_close(desk->store);
    sg_planner_free(desk->planner);
    sg_arena_free(&desk->arena);
    free(desk);
}

const struct sg_shop *sg_desk_shop(const struct sg_desk *desk)
{
    return &desk->shop;
}

struct sg_store *sg_desk_store(struct sg_desk *desk)
{
    return desk->store;
}

enum sg_status sg_desk_plan(struct sg_desk *desk, int32_t shift, const struct sg_plan **out,
                            struct sg_error *error)
{
    return sg_plan_shift(desk->planner, &desk->shop, shift, out, error);
}

/* ---- one assignment F=V ---- */

static enum sg_status no_such_field(enum sg_kind kind, const char *name, size_t length,
                                    struct sg_error *error)
{
    char names[420];
    int count, used = 0;
    const struct sg_field *fields = sg_fields(kind, &count);
    for (int i = 0; i < count && used < (int)sizeof names; i++)
        used += snprintf(names + used, sizeof names - (size_t)used, "%s%s", i ? ", " : "", fields[i].name);
    return sg_fail(error, SG_BAD_DATA, "a %s has no field \"%.*s\"; it has %s", sg_kind_word(kind),
                   (int)(length < 60 ? length : 60), name, names);
}

static enum sg_status find_field(enum sg_kind kind, const char *assignment, const struct sg_field **field,
                                 const char **text, struct sg_error *error)
{
    char name[64];
    size_t length = strcspn(assignment, "=");
    if (assignment[length] != '=')
        return sg_fail(error, SG_USAGE, "\"%.80s\" is not of the form FIELD=VALUE", assignment);
    if (length >= sizeof name)
        return no_such_field(kind, assignment, length, error);
    memcpy(name, assignment, length);
    name[length] = '\0';
    *field = sg_field_find(kind, name);
    if (!*field)
        return no_such_field(kind, name, length, error);
    *text = assignment + length + 1;
    return SG_OK;
}

/* Text values outlive the caller's: they go into the desk's memory, without the blanks around them. */
static enum sg_status own_text(struct sg_desk *desk, struct sg_value *value, struct sg_error *error)
{
    size_t length = strlen(value->text);
    while (length > 0 && (value->text[length - 1] == ' ' || value->text[length - 1] == '\t'))
        length--;
    value->text = sg_arena_text(&desk->arena, value->text, length);
    return value->text ? SG_OK : sg_fail(error, SG_FAULT, "no memory for a text");
}

enum sg_status sg_desk_assign(struct sg_desk *desk, enum sg_kind kind, void *record, const char *assignment,
                              struct sg_change *change, struct sg_error *error)
{
    const char *text = "";
    struct sg_typed typed;
    struct sg_value before;
    enum sg_status status = find_field(kind, assignment, &change->field, &text, error);
    if (status != SG_OK)
        return status;
    sg_field_read(change->field, &desk->shop, text, &typed);
    if (typed.state != SG_PARSE_WHOLE)
        return sg_fail(error, SG_BAD_DATA, "%s=%.60s: %s", change->field->name, text, typed.text);
    if (change->field->type == SG_FIELD_TEXT && !typed.value.none)
        status = own_text(desk, &typed.value, error);
    if (status != SG_OK)
        return status;
    sg_field_get(change->field, record, &before);
    sg_field_show(change->field, &desk->shop, &before, change->before, sizeof change->before);
    sg_field_show(change->field, &desk->shop, &typed.value, change->after, sizeof change->after);
    snprintf(change->say, sizeof change->say, "%s", typed.text);
    change->odd = typed.odd;
    sg_field_put(change->field, record, &typed.value);
    return SG_OK;
}
