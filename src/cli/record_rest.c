/* What is printed of the log: after an act, the list, the hand-over. */
#include "cli/recording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- from when on ---- */

/* What was noted is looked at from now, or where that is before it, from the last moment of the log. */
static void look_at_log(struct recording *r)
{
    int64_t end = sg_log_end(sg_desk_shop(r->desk));
    if (!r->typed_at && end > r->at)
        r->at = end;
}

/* 11:43, of another day than today 2026-12-01 11:43 */
static void put_clock(const struct recording *r, int64_t at, char *out, size_t size)
{
    int used = 0;
    if (at / SG_DAY_S != r->now / SG_DAY_S)
        used = sg_date_format((int32_t)(at / SG_DAY_S), out, size);
    if (used > 0)
        out[used++] = ' ';
    sg_time_format((int32_t)(at % SG_DAY_S / 60 * 60), out + used, size - (size_t)used);
}

/* What is left is timed from now; for what was typed with its time, from the last moment that was noted. */
static int64_t look_from(const struct recording *r, const struct sg_shop *shop)
{
    int64_t end = sg_log_end(shop);
    return r->typed_at && end > r->at ? end : r->at;
}

/* ---- what is printed after an act ---- */

/* A remark with its date, whatever day it is looked at. */
static void dated_line(const struct sg_shop *shop, const struct sg_actual_remark *remark, char *out,
                       size_t size)
{
    char text[600];
    struct sg_actual_remark dated = *remark;
    dated.dated = true;
    sg_actual_remark_text(shop, &dated, text, sizeof text);
    snprintf(out, size, "%s\n", text);
}

/* Remarks that were not there before. */
static bool is_new(const struct sg_shop *shop, const struct sg_actual_remark *remark,
                   const struct sg_text *before)
{
    char line[610];
    dated_line(shop, remark, line, sizeof line);
    return !before->data || strstr(before->data, line) == NULL;
}

static void list_remarks(struct sg_text *out, const struct sg_shop *shop, const struct sg_actual *actual)
{
    char line[610];
    for (int32_t i = 0; i < actual->n_remarks; i++) {
        dated_line(shop, &actual->remarks[i], line, sizeof line);
        sg_text_put(out, line);
    }
}

void sg_remarks_before(const struct recording *r, struct sg_text *out)
{
    struct sg_arena arena = {0};
    struct sg_actual actual;
    const struct sg_shop *shop = sg_desk_shop(r->desk);
    if (sg_actual_make(shop, look_from(r, shop), &arena, &actual))
        list_remarks(out, shop, &actual);
    sg_arena_free(&arena);
}

static void say_remarks(const struct sg_shop *shop, const struct sg_actual *actual,
                        const struct sg_text *before)
{
    char text[600];
    for (int32_t i = 0; i < actual->n_remarks; i++) {
        if (!is_new(shop, &actual->remarks[i], before))
            continue;
        sg_actual_remark_text(shop, &actual->remarks[i], text, sizeof text);
        sg_cli_say(SG_OK, "%s", text);
    }
}

/* s that the shift ends later than it was to end when its first clock started; NaN: not known. */
static double later(const struct sg_shop *shop, const struct sg_now *now)
{
    int64_t planned = sg_actual_planned_end(shop, &now->actual, now->plan->shift);
    double ends = now->rest.shop.shifts[now->plan->shift].calendar.epoch + now->plan->ends;
    return planned == SG_NO_MOMENT ? (double)NAN : ends - sg_moment_epoch(planned);
}

static void put_later(struct sg_text *out, double seconds)
{
    char text[40];
    if (!sg_known(seconds))
        return;
    sg_hours_format(fabs(seconds), text, sizeof text);
    if (fabs(seconds) < 30)
        sg_text_put(out, "as the plan kept at the start\n");
    else
        sg_text_format(out, "%s %s than the plan kept at the start\n", text,
                       seconds > 0 ? "later" : "earlier");
}

static void put_text(const struct sg_shop *shop, const struct sg_now *now, const struct recording *r,
                     struct sg_text *out)
{
    char at[40];
    if (r->typed_at && r->at / SG_DAY_S != r->now / SG_DAY_S) {
        put_clock(r, r->at, at, sizeof at);
        sg_text_format(out, "%s  ", at);
    }
    put_clock(r, now->actual.now, at, sizeof at);
    sg_text_format(out, "%s\nrest from %s: ", r->noted.words, at);
    sg_answers_text(out, &now->rest.shop, now->plan);
    put_later(out, later(shop, now));
    sg_text_put(out, "hopper ");
    sg_level_words(out, shop, &now->actual);
    sg_text_put(out, "\n");
}

static void put_json(const struct sg_shop *shop, const struct sg_now *now, const struct recording *r,
                     struct sg_text *out)
{
    struct sg_json json;
    char at[64];
    const struct sg_log_view view = {shop, &now->actual, now->plan->shift, sg_moment_epoch};
    sg_json_start(&json, out);
    sg_json_text(&json, "noted", r->noted.words);
    sg_iso_format(sg_moment_epoch(r->at), at, sizeof at);
    sg_json_text(&json, "at", at);
    sg_iso_format(sg_moment_epoch(now->actual.now), at, sizeof at);
    sg_json_text(&json, "rest_from", at);
    sg_shift_json(&json, &shop->shifts[now->plan->shift]);
    sg_answers_json(&json, &now->rest.shop, now->plan);
    sg_json_number(&json, "later_s", later(shop, now));
    sg_json_whole(&json, "pieces_left", now->plan->totals.pieces);
    sg_level_json(&json, &view);
    sg_remarks_json(&json, &view);
    sg_json_finish(&json);
}

/* Of a shop without a shift, in which nothing can be left. */
static int put_noted(struct recording *r, struct sg_text *out)
{
    struct sg_json json;
    if (!sg_option(r->args, "json")) {
        sg_text_format(out, "%s\n", r->noted.words);
        return sg_cli_put(out, SG_OK);
    }
    sg_json_start(&json, out);
    sg_json_text(&json, "noted", r->noted.words);
    sg_json_finish(&json);
    return sg_cli_put(out, SG_OK);
}

int sg_record_rest(struct recording *r, const struct sg_text *before)
{
    struct sg_now now = {0};
    struct sg_text out = {0};
    const struct sg_shop *shop = sg_desk_shop(r->desk);
    int code;
    if (shop->n_shifts == 0)
        return put_noted(r, &out);
    if (sg_now_make(&now, shop, look_from(r, shop), SG_UNKNOWN, &r->error) == SG_OK) {
        say_remarks(shop, &now.actual, before);
        (sg_option(r->args, "json") ? put_json : put_text)(shop, &now, r, &out);
        code = sg_cli_put(&out, SG_OK);
    } else {
        code = sg_cli_fail(&r->error);
    }
    sg_now_free(&now);
    return code;
}

/* ---- looking ---- */

/* The shift of the last act by a moment, SG_UNKNOWN where there is none. A shift that is closed has nothing
 * to hand over. */
static int32_t shift_of_last_act(const struct sg_shop *shop, int64_t at, bool hand_over)
{
    int64_t last = SG_NO_MOMENT;
    for (int32_t i = 0; i < shop->n_clocks && shop->clocks[i].at <= at; i++)
        last = shop->clocks[i].at;
    for (int32_t i = 0; i < shop->n_records && shop->records[i].at <= at; i++)
        last = shop->records[i].at > last ? shop->records[i].at : last;
    int32_t shift = last == SG_NO_MOMENT ? SG_UNKNOWN : sg_actual_shift_at(shop, last);
    return shift != SG_UNKNOWN && hand_over && shop->shifts[shift].closed ? SG_UNKNOWN : shift;
}

int sg_record_look(struct recording *r, bool hand_over)
{
    struct sg_now now = {0};
    struct sg_text out = {0};
    const struct sg_shop *shop = sg_desk_shop(r->desk);
    int32_t shift = SG_UNKNOWN;
    enum sg_status status = SG_OK;
    look_at_log(r);
    if (r->n_words > 0)
        status = sg_cli_shift(shop, r->words[0], &shift, &r->error);
    else
        shift = shift_of_last_act(shop, r->at, hand_over);
    if (status == SG_OK)
        status = sg_now_make(&now, shop, r->at, shift, &r->error);
    if (status != SG_OK) {
        sg_now_free(&now);
        return sg_cli_fail(&r->error);
    }
    const struct sg_log_view view = {shop, &now.actual, now.plan->shift, sg_moment_epoch};
    bool json = sg_option(r->args, "json") != NULL;
    if (hand_over)
        (json ? sg_hand_over_json : sg_hand_over_text)(&out, &view, &now.rest, now.plan);
    else
        (json ? sg_log_json : sg_log_text)(&out, &view);
    sg_now_free(&now);
    return sg_cli_put(&out, SG_OK);
}
