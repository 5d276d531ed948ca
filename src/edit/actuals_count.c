/* Pieces that are done or spoilt. */
#include "edit/actuals_inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY = 1200 };

/* The clock on whose stock pieces are counted: the last cut that began by then. */
static int32_t clock_of_counts(const struct sg_shop *shop, const struct sg_actual *actual)
{
    int32_t clock = actual->last;
    while (clock >= 0 && shop->clocks[clock].phase != SG_PHASE_CUT)
        clock--;
    return clock;
}

static int32_t last_on(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock)
{
    char key[KEY];
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    int32_t clock = actual->last;
    while (clock >= 0 &&
           (shop->clocks[clock].phase != SG_PHASE_CUT || strcmp(shop->clocks[clock].place, key) != 0))
        clock--;
    return clock;
}

static enum sg_status name_one(const struct sg_shop *shop, int32_t stock, struct sg_error *error)
{
    char key[KEY], parts[300];
    const struct sg_stock *of = &shop->stocks[stock];
    size_t used = 0;
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    parts[0] = '\0';
    for (int32_t i = 0; i < of->n_parts && used + 60 < sizeof parts; i++)
        used += (size_t)snprintf(parts + used, sizeof parts - used, "%s%.50s", i ? ", " : "",
                                 shop->parts[of->first_part + i].id);
    if (of->n_parts == 0)
        return sg_fail(error, SG_BAD_DATA, "stock %.80s has no parts", key);
    return sg_fail(error, SG_BAD_DATA, "stock %.80s has several parts: name one of %s", key, parts);
}

/* The part that is meant; a key, or an id in the stock under the clock. */
static enum sg_status find_part(const struct sg_shop *shop, const struct sg_actual *actual, const char *name,
                                int32_t *part, struct sg_error *error)
{
    struct sg_target target;
    int32_t clock = clock_of_counts(shop, actual);
    int32_t stock = clock < 0 ? SG_UNKNOWN : sg_actual_stock(shop, shop->clocks[clock].place);
    if (!name && stock == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "no clock says of which part: name it, such as 2604/1/A");
    if (!name && shop->stocks[stock].n_parts != 1)
        return name_one(shop, stock, error);
    *part = !name                 ? shop->stocks[stock].first_part
            : stock == SG_UNKNOWN ? SG_UNKNOWN
                                  : sg_find_part(shop, stock, name);
    if (*part != SG_UNKNOWN)
        return SG_OK;
    enum sg_status status = sg_key_find(shop, name, &target, error);
    if (status == SG_OK && target.kind == SG_KIND_STOCK && shop->stocks[target.index].n_parts == 1)
        target = (struct sg_target){SG_KIND_PART, shop->stocks[target.index].first_part};
    if (status == SG_OK && target.kind == SG_KIND_STOCK)
        return name_one(shop, target.index, error);
    if (status == SG_OK && target.kind != SG_KIND_PART)
        status = sg_fail(error, SG_BAD_DATA, "pieces are of a part such as 2604/1/A; %.80s is a %s", name,
                         sg_kind_word(target.kind));
    *part = target.index;
    return status;
}

/* How many of a part the clock was to cut: by the plan as it was just before it started. SG_UNKNOWN where
 * that plan is not the clock's any more. */
static enum sg_status planned_pieces(const struct sg_shop *shop, int32_t part, const struct sg_clock *clock,
                                     int64_t *pieces, struct sg_error *error)
{
    struct sg_now now = {0};
    const struct sg_stock *stock = &shop->stocks[shop->parts[part].stock];
    *pieces = clock->pieces;
    if (stock->n_parts == 1 || clock->pieces == SG_UNKNOWN)
        return SG_OK;
    enum sg_status status = sg_now_make(&now, shop, clock->at - 1, shop->jobs[stock->job].shift, error);
    if (status == SG_OK) {
        int64_t all = 0;
        const struct sg_shop *rest = &now.rest.shop;
        int32_t first = rest->stocks[sg_actual_stock(rest, clock->place)].first_part;
        for (int32_t i = 0; i < stock->n_parts; i++)
            all += sg_rest_pieces(&now.rest, now.plan, first + i, clock->sheets);
        *pieces = sg_rest_pieces(&now.rest, now.plan, first + part - stock->first_part, clock->sheets);
        if (all != clock->pieces)
            *pieces = SG_UNKNOWN;
    }
    sg_now_free(&now);
    return status;
}

/* Of a part, since a clock started. */
static int64_t counted_since(const struct sg_shop *shop, const char *part, const struct sg_clock *clock,
                             int64_t until)
{
    int64_t n = 0;
    for (int32_t i = 0; i < shop->n_records; i++) {
        const struct sg_record *record = &shop->records[i];
        if (record->at <= clock->at || record->at > until || record->count == SG_UNKNOWN ||
            strcmp(record->place, part) != 0)
            continue;
        if (record->what == SG_RECORD_DONE || record->what == SG_RECORD_SCRAP)
            n += record->count;
        if (record->what == SG_RECORD_NOT_DONE || record->what == SG_RECORD_NOT_SCRAP)
            n -= record->count;
    }
    return n;
}

/* What lies on the clocked loads and is not counted. */
static enum sg_status count_all(const struct sg_shop *shop, const struct sg_actual *actual, int32_t part,
                                int32_t *count, struct sg_error *error)
{
    int32_t clock = last_on(shop, actual, shop->parts[part].stock);
    int64_t pieces;
    char key[KEY];
    sg_key_write(shop, (struct sg_target){SG_KIND_PART, part}, key, sizeof key);
    if (clock < 0)
        return sg_fail(error, SG_BAD_DATA, "no clock says how many of %.80s: say a number", key);
    enum sg_status status = planned_pieces(shop, part, &shop->clocks[clock], &pieces, error);
    if (status != SG_OK)
        return status;
    if (pieces == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA,
                       "the plan of %.80s is not the one that its clock started with: say how many", key);
    if (pieces == 0)
        return sg_fail(error, SG_BAD_DATA, "no piece of %.80s lies on the clocked sheet", key);
    int64_t left = pieces - counted_since(shop, key, &shop->clocks[clock], actual->now);
    if (left <= 0)
        return sg_fail(error, SG_BAD_DATA, "all %lld of %.80s on the clocked sheet are counted already",
                       (long long)pieces, key);
    *count = (int32_t)left;
    return SG_OK;
}

static void count_words(const struct sg_counting *counting, int32_t count, const char *key, char *out,
                        size_t size)
{
    const char *reason = counting->reason ? counting->reason : "";
    snprintf(out, size, "%d of %.150s %s%s%s%.150s", abs(count), key,
             count < 0 ? "taken back, noted as " : "", counting->scrap ? "scrapped" : "done",
             *reason ? ": " : "", reason);
}

enum sg_status sg_desk_count(struct sg_desk *desk, const struct sg_counting *counting, int64_t at,
                             struct sg_noted *noted, struct sg_error *error)
{
    const struct sg_shop *shop = &desk->held.shop;
    struct sg_arena arena = {0};
    struct sg_actual actual;
    struct sg_record record = sg_fresh_record;
    int32_t part = SG_UNKNOWN, count = counting->count;
    char key[KEY];
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    if (!sg_actual_make(shop, at, &arena, &actual))
        status = sg_fail(error, SG_FAULT, "no memory for a log of %d clocks", shop->n_clocks);
    if (status == SG_OK)
        status = find_part(shop, &actual, counting->part, &part, error);
    if (status == SG_OK && counting->all)
        status = count_all(shop, &actual, part, &count, error);
    if (status == SG_OK && (count == 0 || count > 1000000 || count < -1000000))
        status = sg_fail(error, SG_BAD_DATA, "1 to 1000000 pieces are counted at once, not %d", count);
    if (status == SG_OK) {
        sg_key_write(shop, (struct sg_target){SG_KIND_PART, part}, key, sizeof key);
        count_words(counting, count, key, noted->words, sizeof noted->words);
        record.what = counting->scrap ? count < 0 ? SG_RECORD_NOT_SCRAP : SG_RECORD_SCRAP
                      : count < 0     ? SG_RECORD_NOT_DONE
                                      : SG_RECORD_DONE;
        record.at = at;
        record.place = key;
        record.count = abs(count);
        record.reason = counting->reason ? counting->reason : "";
        status = sg_desk_add_record(desk, &record, error);
    }
    sg_arena_free(&arena);
    return sg_desk_end_act(desk, status, noted, error);
}
