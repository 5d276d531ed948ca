/* Which pieces lie on the loads of a clock: a text with a line a part, "12 33812345 A" for twelve pieces of A
 * of which each has so many billionths of the clock's plan. */
#include "actual_inside.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BILLION = 1000000000, LINE = 40 };

/* ---- reading ---- */

/* A whole number with a blank behind it. */
static bool read_whole(const char **at, int32_t *out)
{
    char *end;
    long long value = **at >= '0' && **at <= '9' ? strtoll(*at, &end, 10) : -1;
    if (value < 0 || value > BILLION || *end != ' ')
        return false;
    *out = (int32_t)value;
    *at = end + 1;
    return true;
}

bool sg_lies_next(const char **text, struct sg_lies *out)
{
    int32_t billionths;
    const char *at = *text;
    if (!read_whole(&at, &out->pieces) || !read_whole(&at, &billionths))
        return false;
    out->share = (double)billionths / BILLION;
    out->part = at;
    out->length = strcspn(at, "\n");
    *text = at + out->length + (at[out->length] == '\n');
    return true;
}

bool sg_lies_find(const struct sg_clock *clock, const char *part, struct sg_lies *out)
{
    for (const char *text = clock->lies; sg_lies_next(&text, out);)
        if (strlen(part) == out->length && strncmp(part, out->part, out->length) == 0)
            return true;
    return false;
}

/* ---- writing ---- */

struct writing {
    const struct sg_rest *rest;
    const struct sg_plan *plan;
    bool cut_only;
    int32_t first_part;
    double *seconds; /* of each part of the stock, on all loads */
    double all;
};

static void add_load(void *context, const struct sg_sheets *sheets, int64_t copies)
{
    struct writing *w = context;
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++) {
        const struct sg_batch *batch = &w->plan->batches[b];
        double each = batch->cut + (w->cut_only ? 0 : batch->pierce + batch->rapid);
        double seconds = (double)copies * (double)batch->cuts * each;
        w->seconds[batch->part - w->first_part] += seconds;
        w->all += seconds;
    }
}

/* Of n parts; "" where the plan says nothing or there is no room for all of it. */
static void write_lines(const struct writing *w, int32_t sheets, int32_t n, char *out, size_t size)
{
    const struct sg_shop *shop = &w->rest->shop;
    size_t used = 0;
    out[0] = '\0';
    for (int32_t i = 0; i < n && w->all > 0; i++) {
        const struct sg_part *part = &shop->parts[w->first_part + i];
        int64_t pieces = sg_rest_pieces(w->rest, w->plan, w->first_part + i, sheets);
        if (pieces <= 0)
            continue;
        long long billionths = llround(w->seconds[i] / w->all / (double)pieces * BILLION);
        if (used + strlen(part->id) + LINE > size) {
            out[0] = '\0';
            return;
        }
        used += (size_t)snprintf(out + used, size - used, "%lld %lld %s\n", (long long)pieces, billionths,
                                 part->id);
    }
}

const char *sg_clock_lies(const struct sg_rest *rest, const struct sg_plan *plan, int32_t stock,
                          const struct sg_clock *clock, struct sg_arena *arena)
{
    const struct sg_stock *of = &rest->shop.stocks[stock];
    struct writing w = {
        .rest = rest, .plan = plan, .cut_only = clock->cut_only != 0, .first_part = of->first_part};
    if (clock->phase != SG_PHASE_CUT || clock->pieces == SG_UNKNOWN)
        return "";
    w.seconds = sg_arena_take(arena, ((size_t)of->n_parts + 1) * sizeof *w.seconds);
    char *out = sg_arena_take(arena, SG_LIES_MAX);
    if (!w.seconds || !out)
        return NULL;
    sg_rest_each_load(rest, plan, stock, clock->sheets, add_load, &w);
    write_lines(&w, clock->sheets, of->n_parts, out, SG_LIES_MAX);
    return out;
}

/* ---- going on ---- */

int64_t sg_actual_counted_since(const struct sg_shop *shop, const struct sg_actual *actual, const char *place,
                                const char *part, size_t length, int64_t since)
{
    static const int sign[SG_RECORD_WHATS] = {
        [SG_RECORD_DONE] = 1, [SG_RECORD_SCRAP] = 1, [SG_RECORD_NOT_DONE] = -1, [SG_RECORD_NOT_SCRAP] = -1};
    size_t stem = strlen(place);
    int64_t n = 0;
    for (int32_t i = 0; i < shop->n_records; i++) {
        const struct sg_record *record = &shop->records[i];
        if (record->at <= since || record->at > actual->now || record->count == SG_UNKNOWN ||
            sign[record->what] == 0 || strncmp(record->place, place, stem) != 0 || record->place[stem] != '/')
            continue;
        const char *id = record->place + stem + 1;
        if (strlen(id) == length && strncmp(id, part, length) == 0)
            n += sign[record->what] * record->count;
    }
    return n;
}

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

int64_t sg_actual_left_of_line(const struct sg_shop *shop, const struct sg_actual *actual,
                               const struct sg_clock *clock, const struct sg_lies *lies)
{
    int64_t left = lies->pieces -
                   sg_actual_counted_since(shop, actual, clock->place, lies->part, lies->length, clock->at);
    return left < 0 ? 0 : left > lies->pieces ? lies->pieces : left;
}

bool sg_clock_go_on(const struct sg_shop *shop, const struct sg_actual *actual, int32_t before,
                    struct sg_arena *arena, struct sg_clock *clock, bool *out_of_memory)
{
    const struct sg_clock *whole = &shop->clocks[before];
    char *out = sg_arena_take(arena, SG_LIES_MAX);
    struct sg_lies lies;
    double share = 0;
    int64_t pieces = 0;
    size_t used = 0;
    *out_of_memory = !out;
    for (const char *text = whole->lies; out && sg_lies_next(&text, &lies);) {
        int64_t left = sg_actual_left_of_line(shop, actual, whole, &lies);
        share += (double)left * lies.share;
        pieces += left;
    }
    if (!out || !(share > 0))
        return false;
    for (const char *text = whole->lies; sg_lies_next(&text, &lies);) {
        int64_t left = sg_actual_left_of_line(shop, actual, whole, &lies);
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
