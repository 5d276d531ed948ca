/* The table of what can be explained, and the way to it. */
#include "why_inside.h"

#include <stdio.h>
#include <string.h>

typedef void explain_place(struct sg_why_build *w, const struct sg_why_place *at);
typedef void explain_row(struct sg_why_build *w, int32_t index);

static const struct computed {
    enum sg_kind kind;
    const char *name;
    explain_place *place; /* of a stock or part, else NULL */
    explain_row *row;     /* of a job or shift */
} table[] = {
    {SG_KIND_STOCK, "traverse", sg_why_traverse, NULL},
    {SG_KIND_STOCK, "separation", sg_why_separation, NULL},
    {SG_KIND_STOCK, "pierce", sg_why_pierce, NULL},
    {SG_KIND_STOCK, "edge_cut", sg_why_edge_cut, NULL},
    {SG_KIND_STOCK, "kerf", sg_why_kerf, NULL},
    {SG_KIND_STOCK, "water", sg_why_water, NULL},
    {SG_KIND_STOCK, "jet_velocity", sg_why_jet_velocity, NULL},
    {SG_KIND_STOCK, "jet_power", sg_why_jet_power, NULL},
    {SG_KIND_STOCK, "shaft_power", sg_why_shaft_power, NULL},
    {SG_KIND_STOCK, "loading_ratio", sg_why_loading_ratio, NULL},
    {SG_KIND_STOCK, "garnet_feed", sg_why_garnet_feed, NULL},
    {SG_KIND_STOCK, "sheets", sg_why_stock_sheets, NULL},
    {SG_KIND_STOCK, "sheet_mass", sg_why_sheet_mass, NULL},
    {SG_KIND_STOCK, "slat_load", sg_why_slat_load, NULL},
    {SG_KIND_STOCK, "load", sg_why_load, NULL},
    {SG_KIND_STOCK, "index_moves", sg_why_index_moves, NULL},
    {SG_KIND_PART, "each", sg_why_each, NULL},
    {SG_KIND_PART, "cut", sg_why_part_cut, NULL},
    {SG_KIND_PART, "pierce", sg_why_part_pierce, NULL},
    {SG_KIND_PART, "rapid", sg_why_part_rapid, NULL},
    {SG_KIND_PART, "garnet", sg_why_part_garnet, NULL},
    {SG_KIND_PART, "mass", sg_why_part_mass, NULL},
    {SG_KIND_PART, "sheets", sg_why_part_sheets, NULL},
    {SG_KIND_PART, "traverse", sg_why_traverse, NULL},
    {SG_KIND_JOB, "starts", NULL, sg_why_job_starts},
    {SG_KIND_JOB, "ends", NULL, sg_why_job_ends},
    {SG_KIND_JOB, "cut", NULL, sg_why_job_cut},
    {SG_KIND_JOB, "pierce", NULL, sg_why_job_pierce},
    {SG_KIND_JOB, "rapid", NULL, sg_why_job_rapid},
    {SG_KIND_JOB, "garnet", NULL, sg_why_job_garnet},
    {SG_KIND_JOB, "sheets", NULL, sg_why_job_sheets},
    {SG_KIND_JOB, "late", NULL, sg_why_job_late},
    {SG_KIND_SHIFT, "ends", NULL, sg_why_shift_ends},
    {SG_KIND_SHIFT, "over", NULL, sg_why_shift_over},
    {SG_KIND_SHIFT, "cut", NULL, sg_why_shift_cut},
    {SG_KIND_SHIFT, "pierce", NULL, sg_why_shift_pierce},
    {SG_KIND_SHIFT, "rapid", NULL, sg_why_shift_rapid},
    {SG_KIND_SHIFT, "hands_on", NULL, sg_why_shift_hands_on},
    {SG_KIND_SHIFT, "waiting", NULL, sg_why_shift_waiting},
    {SG_KIND_SHIFT, "garnet", NULL, sg_why_shift_garnet},
    {SG_KIND_SHIFT, "water", NULL, sg_why_shift_water},
    {SG_KIND_SHIFT, "energy", NULL, sg_why_shift_energy},
    {SG_KIND_SHIFT, "bags", NULL, sg_why_shift_bags},
    {SG_KIND_SHIFT, "refills", NULL, sg_why_shift_refills},
    {SG_KIND_SHIFT, "next_refill", NULL, sg_why_shift_next_refill},
    {SG_KIND_SHIFT, "sheets", NULL, sg_why_shift_sheets},
};

enum { ROWS = sizeof table / sizeof *table };

const char *sg_why_name(enum sg_kind kind, int index)
{
    for (int i = 0; i < ROWS; i++)
        if (table[i].kind == kind && index-- == 0)
            return table[i].name;
    return NULL;
}

static const struct computed *find_row(enum sg_kind kind, const char *name)
{
    for (int i = 0; i < ROWS; i++)
        if (table[i].kind == kind && strcmp(table[i].name, name) == 0)
            return &table[i];
    return NULL;
}

static enum sg_status no_such_name(enum sg_kind kind, const char *name, struct sg_error *error)
{
    char names[SG_ERROR_SIZE];
    const char *number;
    int count, used = 0;
    const struct sg_field *fields = sg_fields(kind, &count);
    names[0] = '\0';
    for (int i = 0; (number = sg_why_name(kind, i)) && used < (int)sizeof names; i++)
        used += snprintf(names + used, sizeof names - (size_t)used, "%s%s", i ? ", " : "numbers ", number);
    for (int i = 0; i < count && used < (int)sizeof names; i++)
        used += snprintf(names + used, sizeof names - (size_t)used, "%s%s",
                         i      ? ", "
                         : used ? "; fields "
                                : "fields ",
                         fields[i].name);
    return sg_fail(error, SG_USAGE, "a %s has no \"%.30s\": %s", sg_kind_word(kind), name, names);
}

/* ---- the plan ---- */

static bool earlier(const struct sg_shop *shop, int32_t a, int32_t b)
{
    double x = shop->shifts[a].calendar.epoch, y = shop->shifts[b].calendar.epoch;
    return x < y || (x == y && a < b);
}

/* The open shift right before an open one, SG_UNKNOWN where there is none. */
static int32_t shift_before(const struct sg_shop *shop, int32_t shift)
{
    int32_t last = SG_UNKNOWN;
    for (int32_t i = 0; i < shop->n_shifts && !shop->shifts[shift].closed; i++)
        if (!shop->shifts[i].closed && earlier(shop, i, shift) &&
            (last == SG_UNKNOWN || earlier(shop, last, i)))
            last = i;
    return last;
}

/* The wear that the shifts before leave. */
static enum sg_status keep_wear(struct sg_why_build *w, struct sg_planner *planner, int32_t shift,
                                struct sg_error *error)
{
    const struct sg_plan *plan;
    size_t size = (size_t)w->shop->n_heads * sizeof(double);
    w->shift_before = shift_before(w->shop, shift);
    if (w->shift_before == SG_UNKNOWN)
        return SG_OK;
    enum sg_status status = sg_plan_shift(planner, w->shop, w->shift_before, &plan, error);
    if (status != SG_OK)
        return status;
    double *hours = sg_arena_take(w->arena, size + 1);
    if (!hours)
        return sg_fail(error, SG_FAULT, "no memory for an explanation");
    memcpy(hours, plan->run.hours, size);
    w->tube_hours = hours;
    return SG_OK;
}

static enum sg_status explain(struct sg_why_build *w, struct sg_planner *planner, struct sg_target target,
                              const struct computed *row, struct sg_error *error)
{
    int32_t shift = sg_shift_of(w->shop, target);
    enum sg_status status = keep_wear(w, planner, shift, error);
    if (status == SG_OK)
        status = sg_plan_shift(planner, w->shop, shift, &w->plan, error);
    if (status != SG_OK)
        return status;
    w->epoch = w->shop->shifts[shift].calendar.epoch;
    if (row->place) {
        struct sg_why_place at = sg_why_place_of(w, target);
        row->place(w, &at);
    } else {
        row->row(w, target.index);
    }
    sg_why_finish(w);
    return SG_OK;
}

static void explain_field(struct sg_why_build *w, struct sg_target target, const struct sg_field *field)
{
    char range[300];
    sg_field_range(field, w->shop, range, sizeof range);
    struct sg_why_line *line = sg_why_field(w, target, field->name, field->name, NULL);
    line->note = sg_why_words(w, "%s; %s", field->meaning, range);
}

enum sg_status sg_why(const struct sg_shop *shop, struct sg_target target, const char *name,
                      struct sg_arena *arena, struct sg_why *out, struct sg_error *error)
{
    enum { FIRST_ROOM = 64 };
    const struct computed *row = find_row(target.kind, name);
    const struct sg_field *field = sg_field_find(target.kind, name);
    struct sg_why_build w = {.shop = shop, .arena = arena, .epoch = (double)NAN, .room = FIRST_ROOM};
    if (!row && !field)
        return no_such_name(target.kind, name, error);
    w.lines = sg_arena_take(arena, FIRST_ROOM * sizeof *w.lines);
    struct sg_planner *planner = sg_planner_new();
    enum sg_status status = SG_OK;
    if (!w.lines || !planner)
        status = sg_fail(error, SG_FAULT, "no memory for an explanation");
    else if (row)
        status = explain(&w, planner, target, row, error);
    else
        explain_field(&w, target, field);
    sg_planner_free(planner);
    if (status == SG_OK && w.failed)
        status = sg_fail(error, SG_FAULT, "no memory for an explanation");
    if (status == SG_OK)
        *out = (struct sg_why){w.lines, w.n, w.epoch};
    return status;
}
