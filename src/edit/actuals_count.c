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

/* ---- what lies on clocked loads ---- */

/* How many of a part a clock was to cut, by the plan that it started with; SG_UNKNOWN where that does not
 * say.
 */
static int64_t planned_pieces(const struct sg_clock *clock, const struct sg_part *part)
{
    struct sg_lies lies;
    if (!clock->lies[0])
        return SG_UNKNOWN;
    return sg_lies_find(clock, part->id, &lies) ? lies.pieces : 0;
}

/* The only part of its stock that lies on a clock's loads, SG_UNKNOWN where it is not the only one. */
static int32_t only_part_on(const struct sg_shop *shop, int32_t stock, const struct sg_clock *clock)
{
    int32_t found = SG_UNKNOWN;
    const struct sg_stock *of = &shop->stocks[stock];
    for (int32_t i = of->first_part; i < of->first_part + of->n_parts; i++) {
        if (planned_pieces(clock, &shop->parts[i]) <= 0)
            continue;
        if (found != SG_UNKNOWN)
            return SG_UNKNOWN;
        found = i;
    }
    return found;
}

/* "A, B" of a stock. */
static void part_words(const struct sg_shop *shop, int32_t stock, char *out, size_t size)
{
    const struct sg_stock *of = &shop->stocks[stock];
    size_t used = 0;
    out[0] = '\0';
    for (int32_t i = 0; i < of->n_parts && used + 60 < size; i++)
        used += (size_t)snprintf(out + used, size - used, "%s%.50s", i ? ", " : "",
                                 shop->parts[of->first_part + i].id);
}

static enum sg_status name_one(const struct sg_shop *shop, int32_t stock, struct sg_error *error)
{
    char key[KEY], parts[300];
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    if (shop->stocks[stock].n_parts == 0)
        return sg_fail(error, SG_BAD_DATA, "stock %.80s has no parts", key);
    part_words(shop, stock, parts, sizeof parts);
    return sg_fail(error, SG_BAD_DATA, "stock %.80s has several parts: name one of %s", key, parts);
}

static enum sg_status no_such_part(const struct sg_shop *shop, int32_t stock, const char *name,
                                   struct sg_error *error)
{
    char key[KEY], parts[300];
    sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, stock}, key, sizeof key);
    part_words(shop, stock, parts, sizeof parts);
    return sg_fail(error, SG_BAD_DATA, "no part %.60s in %.80s; it has %s", name, key,
                   parts[0] ? parts : "none");
}

/* The part that is meant; a key, or an id in the stock under the clock. Of what is all counted it may be a
 * whole stock: *part is SG_UNKNOWN then. */
static enum sg_status find_part(const struct sg_shop *shop, const struct sg_actual *actual,
                                const struct sg_counting *counting, int32_t *stock, int32_t *part,
                                struct sg_error *error)
{
    const char *name = counting->part;
    int32_t clock = clock_of_counts(shop, actual);
    struct sg_target target;
    *part = SG_UNKNOWN;
    *stock = clock < 0 ? SG_UNKNOWN : sg_actual_stock(shop, shop->clocks[clock].place);
    if (!name && *stock == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "no clock says of which part: name it, such as 2604/1/A");
    target = (struct sg_target){SG_KIND_STOCK, *stock};
    if (name && *stock != SG_UNKNOWN)
        *part = sg_find_part(shop, *stock, name);
    if (*part != SG_UNKNOWN)
        return SG_OK;
    enum sg_status status = name ? sg_key_find(shop, name, &target, error) : SG_OK;
    if (status != SG_OK && *stock != SG_UNKNOWN && !strchr(name, '/'))
        return no_such_part(shop, *stock, name, error);
    if (status != SG_OK)
        return status;
    if (target.kind != SG_KIND_PART && target.kind != SG_KIND_STOCK)
        return sg_fail(error, SG_BAD_DATA, "pieces are of a part such as 2604/1/A; %.80s is a %s", name,
                       sg_kind_word(target.kind));
    *stock = target.kind == SG_KIND_STOCK ? target.index : shop->parts[target.index].stock;
    *part = target.kind == SG_KIND_PART ? target.index : SG_UNKNOWN;
    if (*part == SG_UNKNOWN && shop->stocks[*stock].n_parts == 1)
        *part = shop->stocks[*stock].first_part;
    clock = last_on(shop, actual, *stock);
    if (*part == SG_UNKNOWN && !counting->all && clock >= 0)
        *part = only_part_on(shop, *stock, &shop->clocks[clock]);
    if (*part == SG_UNKNOWN && (!counting->all || shop->stocks[*stock].n_parts == 0))
        return name_one(shop, *stock, error);
    return SG_OK;
}

/* ---- an act of counting ---- */

struct act {
    struct sg_desk *desk;
    const struct sg_counting *counting;
    int64_t at;
    struct sg_arena arena;
    struct sg_actual actual; /* at the moment of the act */
    struct sg_actual all;    /* of the whole log, where acts later than this one were noted already */
    int32_t stock;
    int32_t n; /* of counts, by part of the stock */
    struct part_count {
        int32_t part;
        int64_t count, moved; /* of count: were counted as done, and are spoilt */
        int64_t more;         /* of count: lay on no sheet that was clocked */
    } * counts;
    struct sg_error *error;
};

static int64_t smaller(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

static int64_t or_none(int64_t n)
{
    return n > 0 ? n : 0;
}

/* Pieces of a part on all that was clocked of its stock by now; SG_UNKNOWN where that is not known. */
static int64_t pieces_clocked(const struct act *a, int32_t part)
{
    const struct sg_shop *shop = &a->desk->held.shop;
    int32_t clock = last_on(shop, &a->actual, a->stock);
    const char *place = clock < 0 ? "" : shop->clocks[clock].place;
    int64_t pieces = clock < 0 ? SG_UNKNOWN : 0;
    for (; clock >= 0 && pieces != SG_UNKNOWN; clock--) {
        if (shop->clocks[clock].phase != SG_PHASE_CUT || strcmp(shop->clocks[clock].place, place) != 0)
            continue;
        if (sg_actual_goes_on_with(shop, &a->actual, clock) != SG_UNKNOWN)
            continue; /* they lay on the sheet of the clock before */
        int64_t planned = planned_pieces(&shop->clocks[clock], &shop->parts[part]);
        pieces = planned == SG_UNKNOWN ? SG_UNKNOWN : pieces + planned;
        while (clock > 0 && strcmp(shop->clocks[clock - 1].place, place) == 0 &&
               (shop->clocks[clock - 1].phase == SG_PHASE_CHECK ||
                sg_actual_cut_short(shop, &a->actual, clock - 1)))
            clock--; /* the same load, before its check */
    }
    return pieces;
}

/* Pieces are spoilt that were not counted, and when those are at an end such as were counted as done. */
static enum sg_status check_scrap(struct act *a, struct part_count *c)
{
    char key[KEY];
    int64_t cut = pieces_clocked(a, c->part);
    const struct sg_part *part = &a->desk->held.shop.parts[c->part];
    const struct sg_actual_part *noted = &a->all.parts[c->part];
    int64_t uncounted = or_none(cut == SG_UNKNOWN ? (int64_t)part->quantity + part->scrap - noted->left_good -
                                                        noted->left_scrapped
                                                  : cut - noted->good - noted->scrapped);
    int64_t good = or_none(noted->good);
    c->moved = or_none(c->count - uncounted);
    if (c->moved <= good)
        return SG_OK;
    sg_key_write(&a->desk->held.shop, (struct sg_target){SG_KIND_PART, c->part}, key, sizeof key);
    return sg_fail(a->error, SG_BAD_DATA,
                   "%lld of %.80s cannot be scrapped: %lld are counted as done, and %lld more %s",
                   (long long)c->count, key, (long long)good, (long long)uncounted,
                   cut == SG_UNKNOWN ? "are asked for" : "lie on the clocked sheets");
}

static enum sg_status check_back(struct act *a, const struct part_count *c)
{
    char key[KEY];
    bool scrap = a->counting->scrap;
    const struct sg_actual_part *now = &a->actual.parts[c->part], *all = &a->all.parts[c->part];
    int64_t there = or_none(scrap ? smaller(now->scrapped, all->scrapped) : smaller(now->good, all->good));
    if (-c->count <= there)
        return SG_OK;
    sg_key_write(&a->desk->held.shop, (struct sg_target){SG_KIND_PART, c->part}, key, sizeof key);
    return sg_fail(a->error, SG_BAD_DATA, "%lld of %.80s cannot be taken back: %lld %s noted as %s",
                   (long long)-c->count, key, (long long)there, there == 1 ? "is" : "are",
                   scrap ? "scrapped" : "done");
}

static enum sg_status check_count(struct act *a, struct part_count *c)
{
    if (c->count == 0 || c->count > 1000000 || c->count < -1000000)
        return sg_fail(a->error, SG_BAD_DATA, "1 to 1000000 pieces are counted at once, not %lld",
                       (long long)c->count);
    if (c->count < 0)
        return check_back(a, c);
    if (a->counting->scrap)
        return check_scrap(a, c);
    int64_t clocked = pieces_clocked(a, c->part);
    const struct sg_actual_part *noted = &a->all.parts[c->part];
    if (clocked != SG_UNKNOWN)
        c->more = or_none(smaller(c->count, noted->good + noted->scrapped + c->count - clocked));
    return SG_OK;
}

/* ---- all that is not counted ---- */

/* Why there is nothing to count of a part, or of all of a stock. */
static enum sg_status nothing_to_count(struct act *a, int32_t part, int64_t pieces)
{
    char key[KEY];
    struct sg_target target = {part == SG_UNKNOWN ? SG_KIND_STOCK : SG_KIND_PART,
                               part == SG_UNKNOWN ? a->stock : part};
    sg_key_write(&a->desk->held.shop, target, key, sizeof key);
    if (pieces == SG_UNKNOWN)
        return sg_fail(a->error, SG_BAD_DATA,
                       "the plan of %.80s is not the one that its clock started with: say how many", key);
    if (pieces == 0)
        return sg_fail(a->error, SG_BAD_DATA, "no piece of %.80s lies on the clocked sheet", key);
    return sg_fail(a->error, SG_BAD_DATA, "all %lld of %.80s on the clocked sheet are counted already%s",
                   (long long)pieces, key, a->counting->scrap ? ": say how many of them are spoilt" : "");
}

/* Pieces of a part that lie on a clock's loads and those of the clocks after it up to another; *left: that
 * are not counted to them. SG_UNKNOWN where that is not known. */
static int64_t pieces_between(const struct act *a, int32_t from, int32_t until, int32_t part, int64_t *left)
{
    const struct sg_shop *shop = &a->desk->held.shop;
    int64_t pieces = 0;
    *left = 0;
    for (int32_t i = from;; i = a->actual.clocks[i].next) {
        int64_t here =
            shop->clocks[i].phase == SG_PHASE_CUT ? planned_pieces(&shop->clocks[i], &shop->parts[part]) : 0;
        if (here == SG_UNKNOWN)
            return SG_UNKNOWN;
        pieces += here;
        *left += or_none(here - sg_actual_counted(&a->actual, i, part));
        if (i == until)
            return pieces;
    }
}

/* What lies on the clocked loads and is not counted, of one part or (SG_UNKNOWN) of each. What is spoilt is
 * what lies there now. */
static enum sg_status count_all(struct act *a, int32_t part)
{
    const struct sg_shop *shop = &a->desk->held.shop;
    const struct sg_stock *stock = &shop->stocks[a->stock];
    int32_t clock = last_on(shop, &a->actual, a->stock);
    int64_t all = 0;
    char key[KEY];
    sg_key_write(shop,
                 (struct sg_target){part == SG_UNKNOWN ? SG_KIND_STOCK : SG_KIND_PART,
                                    part == SG_UNKNOWN ? a->stock : part},
                 key, sizeof key);
    if (clock < 0)
        return sg_fail(a->error, SG_BAD_DATA, "no clock says how many of %.80s: say a number", key);
    int32_t from = a->counting->scrap ? clock : sg_actual_counts_from(shop, &a->actual, clock);
    for (int32_t index = stock->first_part; index < stock->first_part + stock->n_parts; index++) {
        int64_t left, pieces = pieces_between(a, from, clock, index, &left);
        if (part != SG_UNKNOWN && part != index)
            continue;
        if (pieces == SG_UNKNOWN)
            return nothing_to_count(a, part, SG_UNKNOWN);
        all += pieces;
        if (left > 0)
            a->counts[a->n++] = (struct part_count){.part = index, .count = left};
    }
    return a->n == 0 ? nothing_to_count(a, part, all) : SG_OK;
}

/* ---- noting it ---- */

static enum sg_status add(struct act *a, const char *part, enum sg_record_what what, int64_t count,
                          const char *reason)
{
    struct sg_record record = sg_fresh_record;
    if (count == 0)
        return SG_OK;
    record.what = what;
    record.at = a->at;
    record.place = part;
    record.count = (int32_t)count;
    record.reason = reason ? reason : "";
    return sg_desk_add_record(a->desk, &record, a->error);
}

/* What is found to be spoilt later is taken back and scrapped: two records, one after the other. */
static enum sg_status note_count(struct act *a, const struct part_count *c)
{
    char key[KEY];
    const char *reason = a->counting->reason;
    bool scrap = a->counting->scrap;
    sg_key_write(&a->desk->held.shop, (struct sg_target){SG_KIND_PART, c->part}, key, sizeof key);
    if (c->count < 0)
        return add(a, key, scrap ? SG_RECORD_NOT_SCRAP : SG_RECORD_NOT_DONE, -c->count, reason);
    if (!scrap)
        return add(a, key, SG_RECORD_DONE, c->count, reason);
    enum sg_status status = add(a, key, SG_RECORD_SCRAP, c->count - c->moved, reason);
    if (status == SG_OK)
        status = add(a, key, SG_RECORD_NOT_DONE, c->moved, NULL);
    return status == SG_OK ? add(a, key, SG_RECORD_SCRAP, c->moved, reason) : status;
}

static void count_words(const struct act *a, char *out, size_t size)
{
    const char *reason = a->counting->reason ? a->counting->reason : "";
    int64_t moved = 0, more = 0;
    size_t used = 0;
    int32_t i = 0;
    for (; i < a->n && used + 220 < size; i++) {
        char key[KEY];
        const struct part_count *c = &a->counts[i];
        sg_key_write(&a->desk->held.shop, (struct sg_target){SG_KIND_PART, c->part}, key, sizeof key);
        used += (size_t)snprintf(out + used, size - used, "%s%lld of %.150s", i ? ", " : "",
                                 llabs((long long)c->count), key);
        moved += c->moved;
        more += c->more;
    }
    if (i < a->n)
        used += (size_t)snprintf(out + used, size - used, " and %d parts more", a->n - i);
    used += (size_t)snprintf(out + used, size - used, " %s%s",
                             a->counts[0].count < 0 ? "taken back, noted as " : "",
                             a->counting->scrap ? "scrapped" : "done");
    if (moved > 0 && used < size)
        used += (size_t)snprintf(out + used, size - used, ", %lld of them counted as done before",
                                 (long long)moved);
    if (more > 0 && used < size)
        used += (size_t)snprintf(out + used, size - used,
                                 ", %lld more than the plan had on the clocked sheets: was one cut "
                                 "without a clock?",
                                 (long long)more);
    if (*reason && used < size)
        snprintf(out + used, size - used, ": %.150s", reason);
}

static enum sg_status read_log(struct act *a)
{
    const struct sg_shop *shop = &a->desk->held.shop;
    int64_t end = sg_log_end(shop);
    bool made = sg_actual_make(shop, a->at, &a->arena, &a->actual) &&
                sg_actual_make(shop, end > a->at ? end : a->at, &a->arena, &a->all);
    a->counts = sg_arena_take(&a->arena, ((size_t)shop->n_parts + 1) * sizeof *a->counts);
    return made && a->counts
               ? SG_OK
               : sg_fail(a->error, SG_FAULT, "no memory for a log of %d clocks", shop->n_clocks);
}

enum sg_status sg_desk_count(struct sg_desk *desk, const struct sg_counting *counting, int64_t at,
                             struct sg_noted *noted, struct sg_error *error)
{
    struct act a = {.desk = desk, .counting = counting, .at = at, .error = error};
    int32_t part = SG_UNKNOWN;
    enum sg_status status = sg_desk_begin(desk, error);
    if (status != SG_OK)
        return status;
    status = read_log(&a);
    if (status == SG_OK)
        status = find_part(&desk->held.shop, &a.actual, counting, &a.stock, &part, error);
    if (status == SG_OK && counting->all)
        status = count_all(&a, part);
    else if (status == SG_OK)
        a.counts[a.n++] = (struct part_count){.part = part, .count = counting->count};
    for (int32_t i = 0; i < a.n && status == SG_OK; i++)
        status = check_count(&a, &a.counts[i]);
    if (status == SG_OK)
        count_words(&a, noted->words, sizeof noted->words);
    for (int32_t i = 0; i < a.n && status == SG_OK; i++)
        status = note_count(&a, &a.counts[i]);
    sg_arena_free(&a.arena);
    return sg_desk_end_act(desk, status, noted, error);
}
