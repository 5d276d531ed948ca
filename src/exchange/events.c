/* Everything that asks for a person. */
#include "exchange/render.h"

#include "sandglass/ask.h"

#include <stdio.h>
#include <string.h>

enum { CELL = 80 };

static double epoch_of(const struct sg_shop *shop, const struct sg_plan *plan)
{
    return shop->shifts[plan->shift].calendar.epoch;
}

int sg_clock_on_day(double start, double epoch, char *out, size_t size)
{
    char first[40], day[40], at[16];
    sg_day_format(start, first, sizeof first);
    sg_day_format(epoch + 1e-6, day, sizeof day); /* as the clock: 23:59:59.9999999 is the next day */
    sg_clock_format(epoch, at, sizeof at);
    bool same = strcmp(first, day) == 0;
    return snprintf(out, size, "%.3s%s%s", same ? "" : day, same ? "" : " ", at);
}

void sg_shift_json(struct sg_json *json, const struct sg_shift *shift)
{
    char at[64];
    sg_json_object(json, "shift");
    sg_json_text(json, "id", shift->id);
    sg_iso_format(shift->calendar.epoch, at, sizeof at);
    sg_json_text(json, "starts_at", at);
    sg_iso_format(shift->calendar.epoch + shift->calendar.close_s, at, sizeof at);
    sg_json_text(json, "closes_at", at);
    sg_json_end_object(json);
}

/* ---- one event ---- */

const char *sg_event_name(const struct sg_shop *shop, const struct sg_event *event)
{
    return event->kind == SG_EVENT_CHORE ? shop->chores[event->chore].name : sg_event_word(event->kind);
}

/* The row that an event belongs to: a chore may be the shift's or a job's, all else is a stock's. */
static struct sg_target owner_of(const struct sg_shop *shop, const struct sg_plan *plan,
                                 const struct sg_event *event)
{
    const struct sg_batch *batch = &plan->batches[event->batch];
    int when = event->kind == SG_EVENT_CHORE ? shop->chores[event->chore].when : SG_CHORE_SHEET;
    if (when == SG_CHORE_SHIFT_START || when == SG_CHORE_SHIFT_END)
        return (struct sg_target){SG_KIND_SHIFT, plan->shift};
    if (when == SG_CHORE_JOB)
        return (struct sg_target){SG_KIND_JOB, batch->job};
    return (struct sg_target){SG_KIND_STOCK, batch->stock};
}

void sg_event_where(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                    const struct sg_event *event)
{
    struct sg_target owner = owner_of(shop, plan, event);
    char key[400];
    sg_key_write(shop, owner, key, sizeof key);
    sg_text_put(out, key);
    if (owner.kind == SG_KIND_STOCK)
        sg_text_format(out, " sheet %d", sg_event_sheet(plan, event));
}

static void put_where(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan,
                      const struct sg_event *event)
{
    struct sg_text where = {0};
    sg_event_where(&where, shop, plan, event);
    json->out->failed = json->out->failed || where.failed;
    sg_json_text(json, "where", where.data);
    sg_text_free(&where);
}

static void put_place(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan,
                      const struct sg_event *event)
{
    const struct sg_batch *batch = &plan->batches[event->batch];
    int kind = owner_of(shop, plan, event).kind;
    sg_json_text(json, "job", kind == SG_KIND_SHIFT ? NULL : shop->jobs[batch->job].id);
    if (kind == SG_KIND_STOCK) {
        sg_json_whole(json, "stock", shop->stocks[batch->stock].number);
        sg_json_text(json, "part", shop->parts[batch->part].id);
        sg_json_whole(json, "sheet", sg_event_sheet(plan, event));
    } else {
        sg_json_null(json, "stock");
        sg_json_null(json, "part");
        sg_json_null(json, "sheet");
    }
}

void sg_event_members(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan,
                      const struct sg_event *event)
{
    static const char *const names[] = {"at",          "what", "chore",    "where",   "job",
                                        "stock",       "part", "sheet",    "seconds", "waited_s",
                                        "after_shift", "bags", "level_kg", "add_kg"};
    char at[64];
    if (!event) {
        for (size_t i = 0; i < sizeof names / sizeof *names; i++)
            sg_json_null(json, names[i]);
        return;
    }
    bool refill = event->kind == SG_EVENT_REFILL;
    sg_iso_format(epoch_of(shop, plan) + event->at, at, sizeof at);
    sg_json_text(json, "at", at);
    sg_json_text(json, "what", sg_event_word(event->kind));
    sg_json_text(json, "chore", event->kind == SG_EVENT_CHORE ? sg_event_name(shop, event) : NULL);
    put_where(json, shop, plan, event);
    put_place(json, shop, plan, event);
    sg_json_number(json, "seconds", event->seconds);
    sg_json_number(json, "waited_s", event->at - event->asked);
    sg_json_yes(json, "after_shift", event->flags & SG_EVENT_AFTER_SHIFT);
    if (refill)
        sg_json_whole(json, "bags", event->bags);
    else
        sg_json_null(json, "bags");
    sg_json_number(json, "level_kg", event->level);
    sg_json_number(json, "add_kg", refill ? event->garnet : (double)NAN);
}

/* ---- the list ---- */

void sg_events_json(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    struct sg_json json;
    sg_json_start(&json, out);
    sg_shift_json(&json, &shop->shifts[plan->shift]);
    sg_json_array(&json, "events");
    for (const struct sg_event *event = sg_ask_next_call(plan, NULL); event;
         event = sg_ask_next_call(plan, event)) {
        sg_json_object(&json, NULL);
        sg_event_members(&json, shop, plan, event);
        sg_json_end_object(&json);
    }
    sg_json_end_array(&json);
    sg_json_finish(&json);
}

/* ---- CSV ---- */

static void next(struct sg_text *out)
{
    sg_csv_next(out, &sg_csv_plain);
}

static void put_csv_place(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                          const struct sg_event *event)
{
    const struct sg_batch *batch = &plan->batches[event->batch];
    int kind = owner_of(shop, plan, event).kind;
    if (kind != SG_KIND_SHIFT)
        sg_csv_text(out, &sg_csv_plain, shop->jobs[batch->job].id);
    next(out);
    if (kind == SG_KIND_STOCK)
        sg_csv_whole(out, &sg_csv_plain, shop->stocks[batch->stock].number);
    next(out);
    if (kind == SG_KIND_STOCK)
        sg_csv_text(out, &sg_csv_plain, shop->parts[batch->part].id);
    next(out);
    if (kind == SG_KIND_STOCK)
        sg_csv_whole(out, &sg_csv_plain, sg_event_sheet(plan, event));
    next(out);
}

static void put_csv_row(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                        const struct sg_event *event)
{
    char at[64];
    struct sg_text where = {0};
    bool refill = event->kind == SG_EVENT_REFILL;
    sg_iso_format(epoch_of(shop, plan) + event->at, at, sizeof at);
    sg_event_where(&where, shop, plan, event);
    out->failed = out->failed || where.failed;
    const char *texts[] = {at, sg_event_word(event->kind),
                           event->kind == SG_EVENT_CHORE ? sg_event_name(shop, event) : "",
                           where.data ? where.data : ""};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        sg_csv_text(out, &sg_csv_plain, texts[i]);
        next(out);
    }
    sg_text_free(&where);
    put_csv_place(out, shop, plan, event);
    sg_csv_number(out, &sg_csv_plain, event->seconds);
    next(out);
    sg_csv_number(out, &sg_csv_plain, event->at - event->asked);
    next(out);
    sg_csv_text(out, &sg_csv_plain, event->flags & SG_EVENT_AFTER_SHIFT ? "yes" : "no");
    next(out);
    sg_csv_number(out, &sg_csv_plain, refill ? event->bags : (double)NAN);
    next(out);
    sg_csv_number(out, &sg_csv_plain, event->level);
    next(out);
    sg_csv_number(out, &sg_csv_plain, refill ? event->garnet : (double)NAN);
    sg_csv_end(out);
}

void sg_events_csv(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    sg_text_put(out, "at,what,chore,where,job,stock,part,sheet,seconds,waited_s,after_shift,bags,level_kg,"
                     "add_kg\r\n");
    for (const struct sg_event *event = sg_ask_next_call(plan, NULL); event;
         event = sg_ask_next_call(plan, event))
        put_csv_row(out, shop, plan, event);
}

/* ---- text ---- */

static void put_text_row(struct sg_table *table, const struct sg_shop *shop, const struct sg_plan *plan,
                         const struct sg_event *event)
{
    char at[CELL], takes[CELL] = "", waits[CELL] = "", bags[CELL] = "", level[CELL];
    struct sg_text where = {0};
    double start = epoch_of(shop, plan);
    sg_clock_on_day(start, start + event->at, at, sizeof at);
    sg_event_where(&where, shop, plan, event);
    if (event->seconds > 0)
        sg_duration_format(event->seconds, takes, sizeof takes);
    if (event->at > event->asked)
        sg_duration_format(event->at - event->asked, waits, sizeof waits);
    if (event->bags > 0)
        snprintf(bags, sizeof bags, "%d", event->bags);
    sg_number_format(event->level, sg_unit_of_shop(SG_DIM_MASS, shop->units), 1, level, sizeof level);
    sg_table_row(table,
                 (const char *[]){at, sg_event_name(shop, event), where.data ? where.data : "", takes, waits,
                                  bags, level, event->flags & SG_EVENT_AFTER_SHIFT ? "after shift" : ""});
    table->failed = table->failed || where.failed;
    sg_text_free(&where);
}

void sg_events_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    struct sg_table table;
    char level[CELL];
    if (!sg_ask_next_call(plan, NULL)) {
        sg_text_format(out, "Shift %s asks for nobody.\n", shop->shifts[plan->shift].id);
        return;
    }
    snprintf(level, sizeof level, ">Level %s", sg_unit_of_shop(SG_DIM_MASS, shop->units)->name);
    sg_table_start(&table, (const char *[]){"At", "What", "Where", ">Takes", ">Waited", ">Bags", level, ""},
                   8);
    for (const struct sg_event *event = sg_ask_next_call(plan, NULL); event;
         event = sg_ask_next_call(plan, event))
        put_text_row(&table, shop, plan, event);
    sg_table_put(&table, 0, out);
}
