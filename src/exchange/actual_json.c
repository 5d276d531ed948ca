/* The log for programs. */
#include "exchange/actual_render.h"

#include <stdio.h>
#include <string.h>

static void put_moment(struct sg_json *json, const struct sg_log_view *view, const char *name, int64_t moment)
{
    char text[64];
    if (moment != SG_NO_MOMENT)
        sg_iso_format(view->epoch(moment), text, sizeof text);
    sg_json_text(json, name, moment == SG_NO_MOMENT ? NULL : text);
}

static void put_count(struct sg_json *json, const char *name, int64_t count)
{
    if (count == SG_UNKNOWN)
        sg_json_text(json, name, NULL);
    else
        sg_json_whole(json, name, count);
}

static const char *or_null(const char *text)
{
    return text[0] ? text : NULL;
}

void sg_level_json(struct sg_json *json, const struct sg_log_view *view)
{
    static const char *const trust[] = {
        [SG_LEVEL_TYPED] = "typed", [SG_LEVEL_READ] = "read", [SG_LEVEL_CARRIED] = "carried"};
    const struct sg_actual_hopper *hopper = &view->actual->hopper;
    sg_json_object(json, "hopper");
    sg_json_number(json, "level_kg", hopper->level);
    sg_json_number(json, "low_kg", hopper->low);
    sg_json_number(json, "high_kg", hopper->high);
    sg_json_text(json, "trust", trust[hopper->trust]);
    put_moment(json, view, "read_at", hopper->since);
    sg_json_end_object(json);
}

void sg_remarks_json(struct sg_json *json, const struct sg_log_view *view)
{
    char text[600];
    sg_json_array(json, "remarks");
    for (int32_t i = 0; i < view->actual->n_remarks; i++) {
        if (!sg_log_has_remark(view, &view->actual->remarks[i]))
            continue;
        sg_actual_remark_text(view->shop, &view->actual->remarks[i], text, sizeof text);
        sg_json_text(json, NULL, text);
    }
    sg_json_end_array(json);
}

static void put_clock(struct sg_json *json, const struct sg_log_view *view, int32_t index)
{
    static const char *const phases[] = {
        [SG_PHASE_CUT] = "cut", [SG_PHASE_LOAD] = "load", [SG_PHASE_CHECK] = "check"};
    const struct sg_clock *clock = &view->shop->clocks[index];
    const struct sg_actual_clock *actual = &view->actual->clocks[index];
    sg_json_object(json, NULL);
    sg_json_text(json, "clock", clock->id);
    sg_json_text(json, "phase", phases[clock->phase]);
    sg_json_text(json, "place", clock->place);
    put_count(json, "sheet", clock->sheet);
    sg_json_whole(json, "sheets", clock->sheets);
    put_moment(json, view, "from", actual->from);
    put_moment(json, view, "until", actual->running ? SG_NO_MOMENT : actual->until);
    sg_json_yes(json, "running", actual->running);
    sg_json_yes(json, "mended", actual->mended);
    bool stopped = sg_actual_cut_short(view->shop, view->actual, index);
    sg_json_yes(json, "stopped_for_check", stopped && clock[1].phase == SG_PHASE_CHECK);
    sg_json_yes(json, "stopped_uncounted",
                (stopped && clock[1].phase == SG_PHASE_CUT) ||
                    sg_actual_broke_off(view->shop, view->actual, index));
    sg_json_number(json, "planned_s", sg_clock_planned(clock));
    sg_json_number(json, "took_s", sg_actual_net(actual));
    sg_json_number(json, "diff_s",
                   actual->running
                       ? (double)NAN
                       : sg_actual_net(actual) - sg_actual_share(view->shop, view->actual, index));
    sg_json_number(json, "paused_s", actual->paused);
    put_count(json, "planned_pieces", clock->pieces);
    put_count(json, "good", actual->counted ? actual->good : SG_UNKNOWN);
    put_count(json, "scrapped", actual->counted ? actual->scrapped : SG_UNKNOWN);
    sg_json_number(json, "planned_garnet_kg", clock->planned_garnet);
    sg_json_number(json, "garnet_used_kg", actual->garnet_used);
    sg_json_number(json, "weighed_g_min", actual->weighed);
    put_moment(json, view, "planned_end_at", clock->planned_end);
    sg_json_text(json, "note", or_null(clock->note));
    sg_json_end_object(json);
}

static void put_record(struct sg_json *json, const struct sg_log_view *view, const struct sg_record *record)
{
    sg_json_object(json, NULL);
    sg_json_text(json, "record", record->id);
    put_moment(json, view, "at", record->at);
    sg_json_text(json, "what", sg_words_record[record->what]);
    sg_json_text(json, "place", or_null(record->place));
    put_count(json, "count", record->count);
    sg_json_number(json, "mass_kg", record->mass);
    sg_json_number(json, "feed_g_min", record->feed);
    sg_json_text(json, "reason", or_null(record->reason));
    sg_json_end_object(json);
}

static void put_pauses(struct sg_json *json, const struct sg_log_view *view, int64_t from, int64_t until)
{
    sg_json_array(json, "pauses");
    for (int32_t i = 0; i < view->actual->n_pauses; i++) {
        const struct sg_actual_pause *pause = &view->actual->pauses[i];
        if (pause->from < from || pause->from >= until)
            continue;
        sg_json_object(json, NULL);
        sg_json_text(json, "clock", pause->clock == SG_UNKNOWN ? NULL : view->shop->clocks[pause->clock].id);
        put_moment(json, view, "from", pause->from);
        put_moment(json, view, "until", pause->open ? SG_NO_MOMENT : pause->until);
        sg_json_number(json, "seconds_s", (double)(pause->until - pause->from));
        sg_json_text(json, "reason", or_null(view->shop->records[pause->record].reason));
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

static void put_parts(struct sg_json *json, const struct sg_log_view *view)
{
    const struct sg_shop *shop = view->shop;
    char key[1200];
    sg_json_array(json, "parts");
    for (int32_t i = 0; i < shop->n_parts; i++) {
        if (shop->jobs[shop->stocks[shop->parts[i].stock].job].shift != view->shift)
            continue;
        sg_key_write(shop, (struct sg_target){SG_KIND_PART, i}, key, sizeof key);
        sg_json_object(json, NULL);
        sg_json_text(json, "part", key);
        sg_json_whole(json, "quantity", shop->parts[i].quantity);
        sg_json_whole(json, "good", view->actual->parts[i].good);
        sg_json_whole(json, "scrapped", view->actual->parts[i].scrapped);
        sg_json_whole(json, "left", sg_actual_left(&shop->parts[i], &view->actual->parts[i]));
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

static void put_outside(struct sg_json *json, const struct sg_log_view *view)
{
    const struct sg_shop *shop = view->shop;
    struct sg_arena arena = {0};
    struct sg_actual_outside outside;
    bool made = sg_actual_outside(shop, &arena, &outside);
    json->out->failed = json->out->failed || !made;
    sg_json_object(json, "outside");
    sg_json_array(json, "clocks");
    for (int32_t i = 0; made && i <= view->actual->last; i++)
        if (outside.clocks[i])
            put_clock(json, view, i);
    sg_json_end_array(json);
    sg_json_array(json, "records");
    for (int32_t i = 0; made && i < shop->n_records && shop->records[i].at <= view->actual->now; i++)
        if (outside.records[i])
            put_record(json, view, &shop->records[i]);
    sg_json_end_array(json);
    sg_json_end_object(json);
    sg_arena_free(&arena);
}

void sg_log_json(struct sg_text *out, const struct sg_log_view *view)
{
    const struct sg_shop *shop = view->shop;
    int64_t from, until;
    struct sg_json json;
    sg_actual_window(shop, view->shift, &from, &until);
    until = until <= view->actual->now ? until : view->actual->now + 1;
    sg_json_start(&json, out);
    sg_shift_json(&json, &shop->shifts[view->shift]);
    put_moment(&json, view, "now", view->actual->now);
    sg_json_text(&json, "running",
                 view->actual->running == SG_UNKNOWN ? NULL : shop->clocks[view->actual->running].id);
    sg_json_array(&json, "clocks");
    for (int32_t i = 0; i < shop->n_clocks; i++)
        if (shop->clocks[i].at >= from && shop->clocks[i].at < until)
            put_clock(&json, view, i);
    sg_json_end_array(&json);
    put_pauses(&json, view, from, until);
    sg_json_array(&json, "records");
    for (int32_t i = 0; i < shop->n_records; i++)
        if (shop->records[i].at >= from && shop->records[i].at < until)
            put_record(&json, view, &shop->records[i]);
    sg_json_end_array(&json);
    put_outside(&json, view);
    put_parts(&json, view);
    sg_level_json(&json, view);
    sg_remarks_json(&json, view);
    sg_json_finish(&json);
}
