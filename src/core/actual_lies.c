/* Which pieces lie on the loads of a clock: a text with a line a part, "12 33812345 A" for twelve pieces of A
 * of which each has so many billionths of the clock's plan. Where it has several loads, a line "*3" stands
 * before those of three that are alike. */
#include "actual_inside.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BILLION = 1000000000, LINE = 40 };

/* ---- reading ---- */

/* A whole number with that character behind it. */
static bool read_whole(const char **at, char behind, int32_t *out)
{
    char *end;
    long long value = **at >= '0' && **at <= '9' ? strtoll(*at, &end, 10) : -1;
    if (value < 0 || value > BILLION || *end != behind)
        return false;
    *out = (int32_t)value;
    *at = end + 1;
    return true;
}

bool sg_lies_next(const char **text, struct sg_lies *out)
{
    int32_t billionths;
    const char *at = *text;
    if (*at == '*') {
        at++;
        if (!read_whole(&at, '\n', &out->loads) || out->loads < 1)
            return false;
        out->group++;
    }
    if (!read_whole(&at, ' ', &out->pieces) || out->pieces < 1 || !read_whole(&at, ' ', &billionths))
        return false;
    out->share = (double)billionths / BILLION;
    out->part = at;
    out->length = strcspn(at, "\n");
    *text = at + out->length + (at[out->length] == '\n');
    return true;
}

static bool is_line_of(const struct sg_lies *lies, const char *part, size_t length)
{
    return lies->length == length && strncmp(part, lies->part, length) == 0;
}

bool sg_lies_find(const struct sg_clock *clock, const char *part, struct sg_lies *out)
{
    struct sg_lies line = SG_LIES_START;
    int64_t pieces = 0;
    bool found = false;
    for (const char *text = clock->lies; sg_lies_next(&text, &line);) {
        if (!is_line_of(&line, part, strlen(part)))
            continue;
        pieces += (int64_t)line.pieces * line.loads;
        *out = line;
        found = true;
    }
    if (found) {
        out->pieces = (int32_t)(pieces < INT32_MAX ? pieces : INT32_MAX);
        out->loads = 1;
        out->group = 0;
    }
    return found;
}

/* ---- writing ---- */

struct writing {
    const struct sg_rest *rest;
    const struct sg_plan *plan;
    bool cut_only, several;
    int32_t first_part, n;
    double *seconds;      /* of each part of the stock, on all loads */
    int64_t *all, *given; /* pieces of each, and of those how many are written */
    int64_t *cuts;        /* on the load at hand */
    double seconds_of_all;
    char *out;
    size_t used;
};

static void add_load(void *context, const struct sg_sheets *sheets, int64_t copies)
{
    struct writing *w = context;
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++) {
        const struct sg_batch *batch = &w->plan->batches[b];
        double each = batch->cut + (w->cut_only ? 0 : batch->pierce + batch->rapid);
        double seconds = (double)copies * (double)batch->cuts * each;
        w->seconds[batch->part - w->first_part] += seconds;
        w->seconds_of_all += seconds;
    }
}

static int64_t on_load(const struct writing *w, int32_t part, int32_t stack)
{
    int64_t pieces = w->cuts[part] * stack, left = w->all[part] - w->given[part];
    return pieces < left ? pieces : left; /* the last cut of a stack gives fewer that count */
}

static void put(struct writing *w, const char *line)
{
    size_t length = strlen(line);
    if (w->used + length + 1 > SG_LIES_MAX) {
        w->used = SG_LIES_MAX; /* there is no room for all of it: then it says nothing */
        return;
    }
    memcpy(w->out + w->used, line, length + 1);
    w->used += length;
}

/* So many loads that are alike. */
static void write_loads(struct writing *w, int64_t loads)
{
    const struct sg_shop *shop = &w->rest->shop;
    int32_t stack = shop->stocks[shop->parts[w->first_part].stock].stack;
    char line[LINE + 400];
    snprintf(line, sizeof line, "*%lld\n", (long long)loads);
    if (w->several)
        put(w, line);
    for (int32_t i = 0; i < w->n; i++) {
        int64_t pieces = on_load(w, i, stack);
        if (pieces <= 0)
            continue;
        long long billionths = llround(w->seconds[i] / w->seconds_of_all / (double)w->all[i] * BILLION);
        snprintf(line, sizeof line, "%lld %lld %.399s\n", (long long)pieces, billionths,
                 shop->parts[w->first_part + i].id);
        put(w, line);
        w->given[i] += loads * pieces;
    }
}

static void write_load(void *context, const struct sg_sheets *sheets, int64_t copies)
{
    struct writing *w = context;
    int32_t stack = w->plan->batches[sheets->first].stack;
    bool alike = true;
    memset(w->cuts, 0, ((size_t)w->n + 1) * sizeof *w->cuts);
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
        w->cuts[w->plan->batches[b].part - w->first_part] += w->plan->batches[b].cuts;
    for (int32_t i = 0; i < w->n; i++)
        alike = alike && w->given[i] + copies * w->cuts[i] * stack <= w->all[i];
    for (int64_t i = 0; i < (alike ? 1 : copies) && w->used < SG_LIES_MAX; i++)
        write_loads(w, alike ? copies : 1);
}

const char *sg_clock_lies(const struct sg_rest *rest, const struct sg_plan *plan, int32_t stock,
                          const struct sg_clock *clock, struct sg_arena *arena)
{
    const struct sg_stock *of = &rest->shop.stocks[stock];
    size_t n = (size_t)of->n_parts + 1;
    if (clock->phase != SG_PHASE_CUT || clock->pieces == SG_UNKNOWN)
        return "";
    struct writing w = {.rest = rest,
                        .plan = plan,
                        .cut_only = clock->cut_only != 0,
                        .several = clock->sheets > 1,
                        .first_part = of->first_part,
                        .n = of->n_parts,
                        .seconds = sg_arena_take(arena, n * sizeof *w.seconds),
                        .all = sg_arena_take(arena, n * sizeof *w.all),
                        .given = sg_arena_take(arena, n * sizeof *w.given),
                        .cuts = sg_arena_take(arena, n * sizeof *w.cuts),
                        .out = sg_arena_take(arena, SG_LIES_MAX)};
    if (!w.seconds || !w.all || !w.given || !w.cuts || !w.out)
        return NULL;
    w.out[0] = '\0';
    for (int32_t i = 0; i < of->n_parts; i++)
        w.all[i] = sg_rest_pieces(rest, plan, of->first_part + i, clock->sheets);
    sg_plan_each_load(plan, stock, clock->sheets, add_load, &w);
    if (w.seconds_of_all > 0)
        sg_plan_each_load(plan, stock, clock->sheets, write_load, &w);
    return w.used < SG_LIES_MAX ? w.out : "";
}

/* ---- going on ---- */

static void scale_plan(struct sg_clock *clock, const struct sg_clock *whole, double left)
{
    clock->planned_cut = whole->planned_cut * left;
    clock->planned_corner = whole->planned_corner * left;
    clock->planned_acceleration = whole->planned_acceleration * left;
    clock->planned_pierce = whole->planned_pierce * left;
    clock->planned_rapid = whole->planned_rapid * left;
    clock->planned_garnet = whole->planned_garnet * left;
    clock->cut_length = whole->cut_length * left;
    clock->pierces = (int32_t)lround(whole->pierces * left);
}

/* Pieces of a line of the sheet before; those of a part that is in the shop no more are left out. */
static int64_t left_there(const struct sg_shop *shop, const struct sg_actual *actual, int32_t before,
                          const struct sg_lies *lies, int32_t *part)
{
    int32_t found = sg_actual_part_of_line(shop, actual, before, lies, *part);
    if (found == SG_UNKNOWN)
        return 0;
    *part = found;
    return sg_actual_left_of_line(shop, actual, before, lies, found);
}

bool sg_clock_go_on(const struct sg_shop *shop, const struct sg_actual *actual, int32_t before,
                    struct sg_arena *arena, struct sg_clock *clock, bool *out_of_memory)
{
    const struct sg_clock *whole = &shop->clocks[before];
    char *out = sg_arena_take(arena, SG_LIES_MAX);
    struct sg_lies lies = SG_LIES_START;
    double share = 0;
    int64_t pieces = 0;
    size_t used = 0;
    int32_t part = SG_UNKNOWN;
    *out_of_memory = !out;
    for (const char *text = whole->lies; out && sg_lies_next(&text, &lies);) {
        int64_t left = left_there(shop, actual, before, &lies, &part);
        share += (double)left * lies.share;
        pieces += left;
    }
    if (!out || !(share > 0))
        return false;
    lies = SG_LIES_START;
    for (const char *text = whole->lies; sg_lies_next(&text, &lies);) {
        int64_t left = left_there(shop, actual, before, &lies, &part);
        if (left > 0) /* no longer than the line that it comes from but for digits of the share */
            used += (size_t)snprintf(out + used, SG_LIES_MAX - used, "%lld %lld %.*s\n", (long long)left,
                                     llround(lies.share / share * BILLION), (int)lies.length, lies.part);
        if (used >= SG_LIES_MAX)
            return false;
    }
    scale_plan(clock, whole, share);
    clock->lies = out;
    clock->pieces = (int32_t)pieces;
    clock->sheet = whole->sheet;
    clock->sheets = 1;
    return true;
}
