/* What is printed of the log: after an act, the list, the hand-over. */
#include "cli/recording.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
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

/* ---- what was there before an act ---- */

/* A remark with its date, whatever day it is looked at. */
static void remark_line(const struct sg_shop *shop, const struct sg_actual_remark *remark, char *out,
                        size_t size)
{
    char text[600];
    struct sg_actual_remark dated = *remark;
    dated.dated = true;
    sg_actual_remark_text(shop, &dated, text, sizeof text);
    snprintf(out, size, "%s\n", text);
}

/* Of what is left: what sends somebody to the storeroom. */
static bool is_lack(const struct sg_caution *caution)
{
    return caution->code == SG_CAUTION_SHEETS_SHORT || caution->code == SG_CAUTION_OUT_OF_GARNET;
}

/* Without its figures, which each act changes. */
static void lack_line(const struct sg_shop *rest, const struct sg_caution *caution, char *out, size_t size)
{
    char key[400];
    sg_key_write(rest, (struct sg_target){(enum sg_kind)caution->kind, caution->index}, key, sizeof key);
    snprintf(out, size, "%s %s\n", sg_caution_word(caution->code), key);
}

static bool was_there(const struct sg_text *before, const char *line)
{
    return before->data && strstr(before->data, line) != NULL;
}

void sg_remarks_before(const struct recording *r, struct sg_text *out)
{
    struct sg_now now = {0};
    struct sg_error error;
    char line[610];
    const struct sg_shop *shop = sg_desk_shop(r->desk);
    if (shop->n_shifts > 0 && sg_now_make(&now, shop, look_from(r, shop), SG_UNKNOWN, &error) == SG_OK) {
        for (int32_t i = 0; i < now.actual.n_remarks; i++) {
            remark_line(shop, &now.actual.remarks[i], line, sizeof line);
            sg_text_put(out, line);
        }
        for (int32_t i = 0; i < now.plan->n_cautions; i++) {
            lack_line(&now.rest.shop, &now.plan->cautions[i], line, sizeof line);
            sg_text_put(out, is_lack(&now.plan->cautions[i]) ? line : "");
        }
    }
    sg_now_free(&now);
}

/* ---- what is printed after it ---- */

static void say_remarks(const struct sg_shop *shop, const struct sg_actual *actual,
                        const struct sg_text *before)
{
    char text[610];
    for (int32_t i = 0; i < actual->n_remarks; i++) {
        remark_line(shop, &actual->remarks[i], text, sizeof text);
        if (was_there(before, text))
            continue;
        sg_actual_remark_text(shop, &actual->remarks[i], text, sizeof text);
        sg_cli_say(SG_OK, "%s", text);
    }
}

static void put_lacks(struct sg_text *out, const struct sg_now *now, const struct sg_text *before)
{
    const struct sg_shop *rest = &now->rest.shop;
    for (int32_t i = 0; i < now->plan->n_cautions; i++) {
        const struct sg_caution *caution = &now->plan->cautions[i];
        char line[610], text[600], where[400], words[1100];
        lack_line(rest, caution, line, sizeof line);
        if (!is_lack(caution) || was_there(before, line))
            continue;
        sg_key_write(rest, (struct sg_target){(enum sg_kind)caution->kind, caution->index}, where,
                     sizeof where);
        sg_caution_text(caution, rest->units, text, sizeof text);
        snprintf(words, sizeof words, "%s: %s", where, text);
        sg_wrap(out, "caution", 8, 100, words);
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
        sg_text_put(out, "as planned at the first clock\n");
    else
        sg_text_format(out, "%s %s than planned at the first clock\n", text,
                       seconds > 0 ? "later" : "earlier");
}

static void put_rest(const struct recording *r, const struct sg_now *now, const struct sg_text *before,
                     struct sg_text *out)
{
    const struct sg_shop *shop = sg_desk_shop(r->desk);
    char at[40];
    put_clock(r, now->actual.now, at, sizeof at);
    sg_text_format(out, "rest from %s: ", at);
    sg_answers_text(out, &now->rest.shop, now->plan);
    put_later(out, later(shop, now));
    sg_text_put(out, "hopper ");
    sg_level_words(out, shop, &now->actual);
    sg_text_put(out, "\n");
    put_lacks(out, now, before);
}

/* "cautions" of the rest that tell of a lack. */
static void put_lacks_json(struct sg_json *json, const struct sg_now *now)
{
    int32_t n = 0;
    struct sg_caution *lacks = calloc((size_t)now->plan->n_cautions + 1, sizeof *lacks);
    for (int32_t i = 0; lacks && i < now->plan->n_cautions; i++)
        if (is_lack(&now->plan->cautions[i]))
            lacks[n++] = now->plan->cautions[i];
    json->out->failed = json->out->failed || !lacks;
    sg_cautions_json(json, &now->rest.shop, lacks, n);
    free(lacks);
}

static void put_rest_json(const struct recording *r, const struct sg_now *now, struct sg_json *json)
{
    const struct sg_shop *shop = sg_desk_shop(r->desk);
    char at[64];
    const struct sg_log_view view = {shop, &now->actual, now->plan->shift, sg_moment_epoch};
    sg_iso_format(sg_moment_epoch(now->actual.now), at, sizeof at);
    sg_json_text(json, "rest_from", at);
    sg_shift_json(json, &shop->shifts[now->plan->shift]);
    sg_answers_json(json, &now->rest.shop, now->plan);
    sg_json_number(json, "later_s", later(shop, now));
    sg_json_whole(json, "pieces_left", now->plan->totals.pieces);
    sg_level_json(json, &view);
    sg_remarks_json(json, &view);
    put_lacks_json(json, now);
}

enum sg_status sg_record_rest(struct recording *r, const struct sg_text *before, struct sg_text *out,
                              struct sg_json *json)
{
    struct sg_now now = {0};
    const struct sg_shop *shop = sg_desk_shop(r->desk);
    if (shop->n_shifts == 0)
        return SG_OK; /* nothing can be left */
    enum sg_status status = sg_now_make(&now, shop, look_from(r, shop), SG_UNKNOWN, &r->error);
    if (status == SG_OK) {
        say_remarks(shop, &now.actual, before);
        if (json)
            put_rest_json(r, &now, json);
        else
            put_rest(r, &now, before, out);
    }
    sg_now_free(&now);
    return status;
}

int sg_record_told(struct recording *r, const struct sg_text *before)
{
    struct sg_text out = {0};
    struct sg_json json;
    bool as_json = sg_option(r->args, "json") != NULL;
    char at[64];
    if (as_json) {
        sg_json_start(&json, &out);
        sg_json_text(&json, "noted", r->noted.words);
        sg_iso_format(sg_moment_epoch(r->at), at, sizeof at);
        sg_json_text(&json, "at", at);
    } else {
        bool other_day = r->typed_at && r->at / SG_DAY_S != r->now / SG_DAY_S;
        put_clock(r, r->at, at, sizeof at);
        sg_text_format(&out, "%s%s%s\n", other_day ? at : "", other_day ? "  " : "", r->noted.words);
    }
    enum sg_status status = sg_record_rest(r, before, &out, as_json ? &json : NULL);
    if (as_json)
        sg_json_finish(&json);
    if (status == SG_OK)
        return sg_cli_put(&out, SG_OK);
    sg_text_free(&out);
    return sg_cli_fail(&r->error);
}

/* ---- other commands that change the log ---- */

void sg_recording_of(struct recording *r, const struct sg_args *args, struct sg_desk *desk)
{
    int64_t now = sg_cli_now();
    *r = (struct recording){.args = args, .desk = desk, .at = now, .now = now, .typed_at = true};
}

static uint64_t mix(uint64_t mark, const void *bytes, size_t n)
{
    for (size_t i = 0; i < n; i++)
        mark = (mark ^ ((const unsigned char *)bytes)[i]) * UINT64_C(1099511628211); /* FNV-1a */
    return mark;
}

static uint64_t mix_row(uint64_t mark, const struct sg_shop *shop, enum sg_kind kind, const void *record)
{
    int n;
    const struct sg_field *fields = sg_fields(kind, &n);
    for (int i = 0; i < n; i++) {
        char text[SG_CHANGE_TEXT];
        struct sg_value value;
        sg_field_get(&fields[i], record, &value);
        sg_field_show(&fields[i], shop, &value, text, sizeof text);
        mark = mix(mark, text, strlen(text) + 1);
    }
    return mark;
}

uint64_t sg_log_mark(const struct sg_shop *shop)
{
    uint64_t mark = UINT64_C(14695981039346656037);
    for (int32_t i = 0; i < shop->n_clocks; i++)
        mark = mix_row(mark, shop, SG_KIND_CLOCK, &shop->clocks[i]);
    for (int32_t i = 0; i < shop->n_records; i++)
        mark = mix_row(mark, shop, SG_KIND_RECORD, &shop->records[i]);
    return mark;
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
