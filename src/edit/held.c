/* Setting fields of a shop in memory. */
#include "edit/inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <string.h>

static enum sg_status no_such_field(enum sg_kind kind, const char *name, size_t length,
                                    struct sg_error *error)
{
    char names[420];
    int count, used = 0;
    const struct sg_field *fields = sg_fields(kind, &count);
    for (int i = 0; i < count && used < (int)sizeof names; i++)
        used += snprintf(names + used, sizeof names - (size_t)used, "%s%s", i ? ", " : "", fields[i].name);
    bool many = kind == SG_KIND_RATES;
    return sg_fail(error, SG_BAD_DATA, "%s%s %s no field \"%.*s\"; %s %s", many ? "" : "a ",
                   sg_kind_word(kind), many ? "have" : "has", (int)(length < 60 ? length : 60), name,
                   many ? "there are" : "it has", names);
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

enum sg_status sg_key_find_whole(const struct sg_shop *shop, const char *key, struct sg_target *out,
                                 struct sg_error *error)
{
    int beginnings = 0;
    const char *colon = strchr(key, ':');
    enum sg_status status = sg_key_find(shop, key, out, error);
    if (status == SG_OK && out->kind == SG_KIND_MATERIAL)
        sg_find_material(shop, colon + 1, &beginnings); /* 0 where the whole name or an alias matched */
    if (beginnings == 0)
        return status;
    return sg_fail(error, SG_BAD_DATA, "%.80s is only the beginning of material:%s: type the whole name", key,
                   shop->materials[out->index].name);
}

/* Text values outlive the caller's: they go into the shop's memory. */
static enum sg_status own_text(struct sg_held *held, struct sg_typed *typed, struct sg_error *error)
{
    typed->value.text = sg_arena_text(&held->arena, typed->value.text, typed->length);
    return typed->value.text ? SG_OK : sg_fail(error, SG_FAULT, "no memory for a text");
}

/* The value is named once: some sentences of the parser start with it. */
static enum sg_status refuse(const struct sg_field *field, const char *text, const struct sg_typed *typed,
                             struct sg_error *error)
{
    bool named = text[0] && strncmp(typed->text, text, strlen(text)) == 0;
    return sg_fail(error, SG_BAD_DATA, "%s%s%.60s: %s", field->name, named ? "" : "=", named ? "" : text,
                   typed->text);
}

const char *sg_held_with_day(const struct sg_field *field, const void *record, const char *text, char out[40])
{
    struct sg_value now;
    int32_t time;
    if (field->type != SG_FIELD_MOMENT || !sg_time_parse(text, &time))
        return text;
    sg_field_get(field, record, &now);
    if (now.none)
        return text;
    sg_moment_format(now.whole / SG_DAY_S * SG_DAY_S + time, out, 40);
    return out;
}

enum sg_status sg_held_assign(struct sg_held *held, enum sg_kind kind, void *record, const char *assignment,
                              struct sg_change *change, struct sg_error *error)
{
    const char *text = "";
    char moment[40];
    struct sg_typed typed;
    struct sg_value before;
    enum sg_status status = find_field(kind, assignment, &change->field, &text, error);
    if (status != SG_OK)
        return status;
    text = sg_held_with_day(change->field, record, text, moment);
    sg_held_read(held, change->field, text, &typed);
    if (typed.state != SG_PARSE_WHOLE)
        return refuse(change->field, text, &typed, error);
    if (change->field->type == SG_FIELD_TEXT && !typed.value.none)
        status = own_text(held, &typed, error);
    if (status != SG_OK)
        return status;
    sg_field_get(change->field, record, &before);
    sg_field_show(change->field, &held->shop, &before, change->before, sizeof change->before);
    sg_field_show(change->field, &held->shop, &typed.value, change->after, sizeof change->after);
    snprintf(change->say, sizeof change->say, "%s", typed.text);
    change->odd = typed.odd;
    sg_field_put(change->field, record, &typed.value);
    if (change->field->type == SG_FIELD_OUTLINE)
        sg_part_measure(record, &held->shop);
    return SG_OK;
}

bool sg_change_has(const struct sg_change *changes, int n, const char *name)
{
    for (int i = 0; i < n; i++)
        if (strcmp(changes[i].field->name, name) == 0)
            return true;
    return false;
}

enum sg_status sg_change_once(const struct sg_change *changes, int n, struct sg_error *error)
{
    for (int i = 1; i < n; i++)
        if (sg_change_has(changes, i, changes[i].field->name))
            return sg_fail(error, SG_USAGE, "%s is given twice", changes[i].field->name);
    return SG_OK;
}

static bool is_outline(enum sg_kind kind, const char *assignment)
{
    return kind == SG_KIND_PART && strncmp(assignment, "outline=", 8) == 0;
}

enum sg_status sg_held_assign_all(struct sg_held *held, enum sg_kind kind, void *record,
                                  const char *const *assignments, int n, struct sg_change *changes,
                                  struct sg_error *error)
{
    enum sg_status status = SG_OK;
    for (int last = 0; last < 2; last++)
        for (int i = 0; i < n && status == SG_OK; i++)
            if (is_outline(kind, assignments[i]) != last)
                status = sg_held_assign(held, kind, record, assignments[i], &changes[i], error);
    if (status == SG_OK)
        status = sg_change_once(changes, n, error);
    if (status == SG_OK)
        sg_trust_settle(kind, record, changes, n);
    return status;
}

void sg_held_fill(struct sg_shop *shop, struct sg_target target)
{
    if (target.kind == SG_KIND_SHIFT)
        sg_calendar_fill(&shop->shifts[target.index]);
    if (target.kind == SG_KIND_JOB)
        shop->jobs[target.index].due_epoch = sg_moment_epoch(shop->jobs[target.index].due);
}

enum sg_status sg_held_settle(struct sg_held *held, struct sg_target *target, const struct sg_change *changes,
                              int n, struct sg_error *error)
{
    bool shift = sg_change_has(changes, n, "shift"), order = sg_change_has(changes, n, "order");
    sg_held_fill(&held->shop, *target);
    return target->kind == SG_KIND_JOB && (shift || order)
               ? sg_held_place_job(held, &target->index, !order, error)
               : SG_OK;
}

/* Assign everything to the record in memory and check the rules; nothing is written. */
static enum sg_status assign_all(struct sg_held *held, struct sg_target *target,
                                 const char *const *assignments, int n, struct sg_change *changes,
                                 struct sg_error *error)
{
    void *record = sg_target_record(&held->shop, *target);
    enum sg_status status = sg_held_assign_all(held, target->kind, record, assignments, n, changes, error);
    if (status == SG_OK)
        status = sg_rules_check(target->kind, record, &held->shop, error);
    return status == SG_OK ? sg_held_settle(held, target, changes, n, error) : status;
}

enum sg_status sg_held_set(struct sg_held *held, const char *key, const char *const *assignments, int n,
                           struct sg_change *changes, struct sg_target *target, struct sg_error *error)
{
    enum sg_status status = sg_key_find(&held->shop, key, target, error);
    return status == SG_OK ? assign_all(held, target, assignments, n, changes, error) : status;
}
