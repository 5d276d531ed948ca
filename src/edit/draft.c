#include "edit/draft.h"

#include "edit/inside.h"
#include "sandglass/rules.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct sg_draft {
    struct sg_desk *desk;
    struct sg_held held; /* strings stay the desk's; what is typed lies in the arena here */
    struct sg_planner *planner;
    int32_t moved; /* how far the job that was looked for last stands from its kept place */
};

/* An array of the kept shop in memory of the draft's own. */
static void *copy(struct sg_arena *arena, const void *array, int32_t n, size_t item)
{
    void *own = sg_arena_take(arena, (size_t)n * item + 1);
    if (own && n > 0)
        memcpy(own, array, (size_t)n * item);
    return own;
}

static bool copy_shop(struct sg_held *held, const struct sg_shop *kept)
{
    struct sg_shop *s = &held->shop;
    *s = *kept;
    s->materials = copy(&held->arena, kept->materials, kept->n_materials, sizeof *s->materials);
    s->heads = copy(&held->arena, kept->heads, kept->n_heads, sizeof *s->heads);
    s->shifts = copy(&held->arena, kept->shifts, kept->n_shifts, sizeof *s->shifts);
    s->jobs = copy(&held->arena, kept->jobs, kept->n_jobs, sizeof *s->jobs);
    s->stocks = copy(&held->arena, kept->stocks, kept->n_stocks, sizeof *s->stocks);
    s->parts = copy(&held->arena, kept->parts, kept->n_parts, sizeof *s->parts);
    s->chores = copy(&held->arena, kept->chores, kept->n_chores, sizeof *s->chores);
    s->clocks = copy(&held->arena, kept->clocks, kept->n_clocks, sizeof *s->clocks);
    s->records = copy(&held->arena, kept->records, kept->n_records, sizeof *s->records);
    return s->materials && s->heads && s->shifts && s->jobs && s->stocks && s->parts && s->chores &&
           s->clocks && s->records;
}

enum sg_status sg_draft_reset(struct sg_draft *draft, struct sg_error *error)
{
    sg_arena_free(&draft->held.arena);
    draft->moved = 0;
    if (!copy_shop(&draft->held, &draft->desk->held.shop))
        return sg_fail(error, SG_FAULT, "no memory for a draft of %d parts", draft->desk->held.shop.n_parts);
    return SG_OK;
}

enum sg_status sg_draft_new(struct sg_desk *desk, struct sg_draft **out, struct sg_error *error)
{
    struct sg_draft *draft = calloc(1, sizeof *draft);
    if (!draft || !(draft->planner = sg_planner_new())) {
        free(draft);
        return sg_fail(error, SG_FAULT, "no memory for a draft");
    }
    draft->desk = desk;
    enum sg_status status = sg_draft_reset(draft, error);
    if (status == SG_OK)
        *out = draft;
    else
        sg_draft_free(draft);
    return status;
}

void sg_draft_free(struct sg_draft *draft)
{
    if (!draft)
        return;
    sg_planner_free(draft->planner);
    sg_arena_free(&draft->held.arena);
    free(draft);
}

const struct sg_shop *sg_draft_shop(const struct sg_draft *draft)
{
    return &draft->held.shop;
}

const struct sg_shop *sg_draft_kept(const struct sg_draft *draft)
{
    return &draft->desk->held.shop;
}

enum sg_status sg_draft_plan(struct sg_draft *draft, int32_t shift, const struct sg_plan **out,
                             struct sg_error *error)
{
    return sg_plan_shift(draft->planner, &draft->held.shop, shift, out, error);
}

/* Where the job with that row is kept: mostly as far from its place in the draft as the one before;
 * SG_UNKNOWN if nowhere. */
static int32_t kept_job(struct sg_draft *draft, int32_t job)
{
    const struct sg_shop *kept = &draft->desk->held.shop;
    int64_t row = draft->held.shop.jobs[job].row;
    int32_t near = job + draft->moved;
    if (near >= 0 && near < kept->n_jobs && kept->jobs[near].row == row)
        return near;
    for (int32_t i = 0; i < kept->n_jobs; i++)
        if (kept->jobs[i].row == row) {
            draft->moved = i - job;
            return i;
        }
    return SG_UNKNOWN;
}

/* The kept record of the draft's row `target`: a job moved in the draft takes its stocks and parts to other
 * places than the kept ones, each in the order that they had. */
static const void *kept_record(struct sg_draft *draft, struct sg_target target)
{
    const struct sg_shop *kept = &draft->desk->held.shop, *shop = &draft->held.shop;
    bool part = target.kind == SG_KIND_PART, stock = target.kind == SG_KIND_STOCK;
    if (!part && !stock && target.kind != SG_KIND_JOB)
        return sg_target_record(kept, target);
    int32_t in_draft = part ? shop->parts[target.index].stock : target.index;
    int32_t job = part || stock ? shop->stocks[in_draft].job : target.index, found = kept_job(draft, job);
    if (found == SG_UNKNOWN)
        return sg_target_record(shop, target);
    if (!part && !stock)
        return &kept->jobs[found];
    const struct sg_stock *in = &kept->stocks[kept->jobs[found].first_stock];
    in += in_draft - shop->jobs[job].first_stock;
    return part
               ? (const void *)&kept->parts[in->first_part + target.index - shop->stocks[in_draft].first_part]
               : in;
}

/* A text that is typed lies in the arena here, without the blanks around it. */
static void own_text(struct sg_draft *draft, struct sg_typed *typed)
{
    const char *text = typed->value.text;
    size_t length = strlen(text);
    while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
        length--;
    typed->value.text = sg_arena_text(&draft->held.arena, text, length);
    if (typed->value.text)
        return;
    typed->state = SG_PARSE_WRONG;
    strcpy(typed->text, "no memory for a text");
}

/* What an outline measures goes back with it. */
static void put_measured(struct sg_part *part, const struct sg_part *kept)
{
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    for (int i = 0; i < count; i++) {
        struct sg_value value;
        sg_field_get(&fields[i], kept, &value);
        if (sg_part_is_measured(&fields[i]))
            sg_field_put(&fields[i], part, &value);
    }
}

static void put_kept(struct sg_draft *draft, const struct sg_target *targets, int n,
                     const struct sg_field *field)
{
    for (int i = 0; i < n; i++) {
        struct sg_value kept, now;
        sg_field_get(field, kept_record(draft, targets[i]), &kept);
        void *record = sg_target_record(&draft->held.shop, targets[i]);
        sg_field_get(field, record, &now);
        sg_field_put(field, record, &kept);
        if (field->type == SG_FIELD_OUTLINE && !sg_field_same(field, &now, &kept))
            put_measured(record, kept_record(draft, targets[i]));
        if (targets[i].kind == SG_KIND_PART) /* an outline of the draft measures what was put back */
            sg_part_measure(record, &draft->held.shop);
    }
}

/* Put a value into the rows; false, with what would be right, where the rules refuse it in one of them. */
static bool put_by_the_rules(struct sg_draft *draft, const struct sg_target *targets, int n,
                             const struct sg_field *field, struct sg_typed *typed)
{
    struct sg_error error;
    char key[1200];
    for (int i = 0; i < n; i++) {
        void *record = sg_target_record(&draft->held.shop, targets[i]);
        sg_field_put(field, record, &typed->value);
        if (field->type == SG_FIELD_OUTLINE)
            sg_part_measure(record, &draft->held.shop);
        if (sg_rules_check(targets[i].kind, record, &draft->held.shop, &error) == SG_OK)
            continue;
        sg_key_write(&draft->held.shop, targets[i], key, sizeof key);
        snprintf(typed->text, sizeof typed->text, "%.80s%s%s", n > 1 ? key : "", n > 1 ? ": " : "",
                 error.text);
        return false;
    }
    return true;
}

void sg_draft_type_rows(struct sg_draft *draft, const struct sg_target *targets, int n,
                        const struct sg_field *field, const char *text, struct sg_typed *typed)
{
    char moment[40];
    put_kept(draft, targets, n, field);
    if (n == 1)
        text = sg_held_with_day(field, sg_target_record(&draft->held.shop, targets[0]), text, moment);
    sg_held_read(&draft->held, field, text, typed);
    if (typed->state == SG_PARSE_WHOLE && field->type == SG_FIELD_TEXT && !typed->value.none)
        own_text(draft, typed);
    if (typed->state == SG_PARSE_WHOLE && !put_by_the_rules(draft, targets, n, field, typed)) {
        typed->state = SG_PARSE_WRONG;
        put_kept(draft, targets, n, field);
    }
    for (int i = 0; i < n; i++)
        sg_held_fill(&draft->held.shop, targets[i]);
}

void sg_draft_type(struct sg_draft *draft, struct sg_target target, const struct sg_field *field,
                   const char *text, struct sg_typed *typed)
{
    sg_draft_type_rows(draft, &target, 1, field, text, typed);
}

enum sg_status sg_draft_set(struct sg_draft *draft, const char *key, const char *const *assignments, int n,
                            struct sg_change *changes, struct sg_target *target, struct sg_error *error)
{
    union sg_any before;
    struct sg_target found;
    enum sg_status status = sg_key_find(&draft->held.shop, key, &found, error);
    if (status != SG_OK)
        return status;
    void *record = sg_target_record(&draft->held.shop, found);
    memcpy(&before, record, sg_kind_size(found.kind));
    status = sg_held_set(&draft->held, key, assignments, n, changes, &found, error);
    if (status == SG_OK)
        *target = found;
    else if (status != SG_FAULT) /* no memory to order jobs: they stand elsewhere by now */
        memcpy(record, &before, sg_kind_size(found.kind));
    return status;
}

enum sg_status sg_draft_edit(struct sg_draft *draft, const struct sg_edit *edits, int n,
                             struct sg_change *changes, struct sg_error *error)
{
    int clash = 0;
    enum sg_status status = sg_draft_reset(draft, error);
    if (status != SG_OK)
        return status;
    status = sg_held_edit(&draft->held, edits, n, changes, &clash, error);
    if (status == SG_NO)
        status =
            sg_fail(error, SG_NO, "%s of %.80s is %.60s by now, no longer %.60s", changes[clash].field->name,
                    edits[clash].key, changes[clash].before, edits[clash].before);
    if (status != SG_OK)
        sg_draft_reset(draft, NULL);
    return status;
}
