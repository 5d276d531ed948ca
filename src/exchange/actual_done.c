/* What was done in a shift, by its own part of the log. */
#include "exchange/actual_hand_over.h"

#include <string.h>

struct counting {
    const struct sg_shop *shop;
    int64_t from, until;
    struct sg_hand_done *done;
    struct since_move {
        int64_t good; /* counted from the shift's start on, or since its job moved with what was left */
        bool moved;
    } * since;
};

/* 1, -1 of a count that takes back, 0 of what is no count of such pieces. */
static int sign_of(const struct sg_record *record, bool scrap)
{
    if (record->count == SG_UNKNOWN)
        return 0;
    if (record->what == (scrap ? SG_RECORD_SCRAP : SG_RECORD_DONE))
        return 1;
    return record->what == (scrap ? SG_RECORD_NOT_SCRAP : SG_RECORD_NOT_DONE) ? -1 : 0;
}

static void count(struct counting *c, const struct sg_record *record)
{
    int good = sign_of(record, false), scrap = sign_of(record, true);
    int32_t part = good || scrap ? sg_actual_part_of(c->shop, record->place) : SG_UNKNOWN;
    if (part == SG_UNKNOWN)
        return;
    c->since[part].good += (int64_t)good * record->count;
    if (record->at >= c->until)
        return;
    c->done[part].good += (int64_t)good * record->count;
    c->done[part].scrapped += (int64_t)scrap * record->count;
}

/* The job moved with what was left: its parts ask for so many fewer since. */
static void move(struct counting *c, const struct sg_record *record)
{
    struct sg_target job;
    if (sg_key_find(c->shop, record->place, &job, NULL) != SG_OK || job.kind != SG_KIND_JOB)
        return;
    for (int32_t i = 0; i < c->shop->n_parts; i++) {
        if (c->shop->stocks[c->shop->parts[i].stock].job != job.index)
            continue;
        c->done[i].asked += c->since[i].good;
        c->since[i] = (struct since_move){.moved = true};
    }
}

static bool is_of_shift(const struct sg_log_view *view, int32_t part)
{
    return view->shop->jobs[view->shop->stocks[view->shop->parts[part].stock].job].shift == view->shift;
}

struct sg_hand_done *sg_hand_done(const struct sg_log_view *view, struct sg_arena *arena)
{
    const struct sg_shop *shop = view->shop;
    size_t n = (size_t)shop->n_parts + 1;
    struct counting c = {.shop = shop,
                         .done = sg_arena_take(arena, n * sizeof *c.done),
                         .since = sg_arena_take(arena, n * sizeof *c.since)};
    if (!c.done || !c.since)
        return NULL;
    memset(c.since, 0, n * sizeof *c.since);
    for (int32_t i = 0; i < shop->n_parts; i++)
        c.done[i] = (struct sg_hand_done){.asked = shop->parts[i].quantity};
    sg_actual_window(shop, view->shift, &c.from, &c.until);
    for (int32_t i = 0; i < shop->n_records && shop->records[i].at <= view->actual->now; i++) {
        if (shop->records[i].at < c.from)
            continue;
        if (shop->records[i].what == SG_RECORD_MOVED)
            move(&c, &shop->records[i]);
        else
            count(&c, &shop->records[i]);
    }
    for (int32_t i = 0; i < shop->n_parts; i++) {
        int64_t outside = view->actual->parts[i].left_good - c.done[i].good;
        if (is_of_shift(view, i) && !c.since[i].moved && outside > 0)
            c.done[i].outside = outside;
    }
    return c.done;
}
