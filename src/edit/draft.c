#include "edit/draft.h"

#include "edit/inside.h"
#include "sandglass/rules.h"

#include <stdlib.h>
#include <string.h>

struct sg_draft {
    struct sg_desk *desk;
    struct sg_held held; /* strings stay the desk's; what is typed lies in the arena here */
    struct sg_planner *planner;
};

/* What a record is when a change of it fails. */
union record {
    struct sg_job job;
    struct sg_stock stock;
    struct sg_part part;
    struct sg_shift shift;
    struct sg_machine machine;
    struct sg_head head;
    struct sg_material material;
    struct sg_chore chore;
};

static int64_t row_of(const void *record)
{
    int64_t row;
    memcpy(&row, record, sizeof row); /* every record starts with its row */
    return row;
}

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
    return s->materials && s->heads && s->shifts && s->jobs && s->stocks && s->parts && s->chores;
}

enum sg_status sg_draft_reset(struct sg_draft *draft, struct sg_error *error)
{
    sg_arena_free(&draft->held.arena);
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

/* The kept record of the draft's row `target`: a job moved in the draft takes its stocks and parts to other
 * places than the kept ones. */
static const void *kept_record(const struct sg_draft *draft, struct sg_target target)
{
    const struct sg_shop *kept = &draft->desk->held.shop;
    const int32_t counts[SG_KINDS] = {
        [SG_KIND_JOB] = kept->n_jobs, [SG_KIND_STOCK] = kept->n_stocks, [SG_KIND_PART] = kept->n_parts};
    const void *same_place = sg_target_record(kept, target);
    int64_t wanted = row_of(sg_target_record(&draft->held.shop, target));
    if (row_of(same_place) == wanted)
        return same_place;
    for (int32_t i = 0; i < counts[target.kind]; i++) {
        const void *record = sg_target_record(kept, (struct sg_target){target.kind, i});
        if (row_of(record) == wanted)
            return record;
    }
    return same_place;
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

/* Put a value into the draft; false where the rules refuse it, the record is then as it was. */
static bool put_by_the_rules(struct sg_draft *draft, struct sg_target target, const struct sg_field *field,
                             const struct sg_value *value, struct sg_error *error)
{
    struct sg_value before;
    void *record = sg_target_record(&draft->held.shop, target);
    sg_field_get(field, record, &before);
    sg_field_put(field, record, value);
    if (sg_rules_check(target.kind, record, &draft->held.shop, error) == SG_OK)
        return true;
    sg_field_put(field, record, &before);
    return false;
}

void sg_draft_type(struct sg_draft *draft, struct sg_target target, const struct sg_field *field,
                   const char *text, struct sg_typed *typed)
{
    struct sg_error error;
    struct sg_value kept;
    sg_field_get(field, kept_record(draft, target), &kept);
    sg_field_put(field, sg_target_record(&draft->held.shop, target), &kept);
    sg_field_read(field, &draft->held.shop, text, typed);
    if (typed->state == SG_PARSE_WHOLE && field->type == SG_FIELD_TEXT && !typed->value.none)
        own_text(draft, typed);
    if (typed->state == SG_PARSE_WHOLE && !put_by_the_rules(draft, target, field, &typed->value, &error)) {
        typed->state = SG_PARSE_WRONG;
        strncpy(typed->text, error.text, sizeof typed->text - 1);
        typed->text[sizeof typed->text - 1] = '\0';
    }
    if (target.kind == SG_KIND_SHIFT)
        sg_calendar_fill(&draft->held.shop.shifts[target.index]);
    if (target.kind == SG_KIND_JOB)
        draft->held.shop.jobs[target.index].due_epoch =
            sg_moment_epoch(draft->held.shop.jobs[target.index].due);
}

enum sg_status sg_draft_set(struct sg_draft *draft, const char *key, const char *const *assignments, int n,
                            struct sg_change *changes, struct sg_target *target, struct sg_error *error)
{
    union record before;
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
