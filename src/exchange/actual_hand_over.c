/* Five lines for who comes next. */
#include "exchange/actual_hand_over.h"

#include <stdio.h>
#include <string.h>

enum { CELL = SG_HAND_CELL, KEY = 1200, LINES = 5 };

struct hand_over {
    const struct sg_log_view *view;
    const struct sg_rest *rest;
    const struct sg_plan *plan;
    struct sg_text lines[LINES];
};

static const char *const titles[LINES] = {"runs", "done", "next", "hopper", "watch"};

static int32_t day_of(int64_t moment)
{
    return (int32_t)((moment - (moment % SG_DAY_S + SG_DAY_S) % SG_DAY_S) / SG_DAY_S);
}

const char *sg_hand_clock(const struct sg_log_view *view, int64_t moment, char *out)
{
    int used = day_of(moment) == day_of(view->actual->now) ? 0 : sg_date_format(day_of(moment), out, CELL);
    if (used > 0)
        out[used++] = ' ';
    sg_time_format((int32_t)((moment - (int64_t)day_of(moment) * SG_DAY_S) / 60 * 60), out + used,
                   (size_t)(CELL - used));
    return out;
}

void sg_hand_between(struct sg_text *out, const char *between)
{
    sg_text_put(out, out->length > 0 ? between : "");
}

/* Whether a shift has no end to come: it was closed, or work went on in another. */
static bool is_over(const struct hand_over *h)
{
    return h->rest->shop.shifts[h->view->shift].closed;
}

/* ---- what runs ---- */

static const struct sg_actual_pause *last_pause(const struct sg_actual *actual)
{
    return actual->n_pauses > 0 ? &actual->pauses[actual->n_pauses - 1] : NULL;
}

static void put_reason(struct sg_text *out, const struct sg_shop *shop, const struct sg_actual_pause *pause)
{
    const char *reason = shop->records[pause->record].reason;
    sg_text_format(out, "%s", reason[0] ? reason : "no reason noted");
}

static void say_clock(struct hand_over *h, struct sg_text *out)
{
    static const char *const words[] = {
        [SG_PHASE_CUT] = "cutting", [SG_PHASE_LOAD] = "loading", [SG_PHASE_CHECK] = "first check of"};
    const struct sg_actual *actual = h->view->actual;
    const struct sg_clock *clock = &h->view->shop->clocks[actual->running];
    const struct sg_actual_clock *c = &actual->clocks[actual->running];
    char at[CELL], left[CELL];
    double rest = clock->phase == SG_PHASE_CUT ? sg_actual_to_go(h->view->shop, actual, actual->running)
                                               : sg_clock_planned(clock) - sg_actual_net(c);
    sg_text_format(out, "%s %s", words[clock->phase], clock->place);
    if (clock->sheet != SG_UNKNOWN)
        sg_text_format(out, " sheet %d", clock->sheet);
    sg_text_format(out, " since %s", sg_hand_clock(h->view, c->from, at));
    if (sg_known(rest)) {
        sg_hours_format(fabs(rest), left, sizeof left);
        sg_text_format(out, rest >= 0 ? ", %s to go as planned" : ", %s longer than planned", left);
    }
    if (actual->paused && last_pause(actual)->clock == actual->running) {
        sg_text_format(
            out, "; the machine stands since %s: ", sg_hand_clock(h->view, last_pause(actual)->from, at));
        put_reason(out, h->view->shop, last_pause(actual));
    }
}

static void say_runs(struct hand_over *h, struct sg_text *out)
{
    const struct sg_actual *actual = h->view->actual;
    const struct sg_shop *shop = h->view->shop;
    bool on = false;
    if (actual->running != SG_UNKNOWN) {
        say_clock(h, out);
        return;
    }
    sg_text_put(out, "nothing");
    int32_t stock =
        actual->last == SG_UNKNOWN ? SG_UNKNOWN : sg_actual_stock(shop, shop->clocks[actual->last].place);
    int32_t sheet = stock == SG_UNKNOWN ? 0 : sg_actual_next_sheet(shop, actual, stock, &on);
    if (on)
        sg_text_format(out, "; sheet %d of %s lies on the table", sheet, shop->clocks[actual->last].place);
}

/* ---- what is done and what is next ---- */

static void say_done(struct hand_over *h, struct sg_text *out)
{
    struct sg_arena arena = {0};
    const struct sg_shop *shop = h->view->shop;
    struct sg_hand_done *done = sg_hand_done(h->view, &arena);
    char key[KEY];
    out->failed = out->failed || !done;
    for (int32_t i = 0; done && i < shop->n_parts; i++) {
        const struct sg_hand_done *d = &done[i];
        if (d->good == 0 && d->scrapped == 0 && d->outside == 0)
            continue;
        sg_key_write(shop, (struct sg_target){SG_KIND_PART, i}, key, sizeof key);
        sg_hand_between(out, ", ");
        sg_text_format(out, "%lld of %lld of %s", (long long)(d->good > 0 ? d->good : 0), (long long)d->asked,
                       key);
        if (d->scrapped > 0)
            sg_text_format(out, " (%lld scrapped)", (long long)d->scrapped);
        if (d->outside > 0)
            sg_text_format(out, " (%lld more outside the shift)", (long long)d->outside);
    }
    if (out->length == 0)
        sg_text_put(out, "no pieces noted");
    sg_arena_free(&arena);
}

/* Pieces that are cut, though nobody counted them. */
static int64_t uncounted_of(const struct sg_shop *rest, int32_t stock)
{
    int64_t pieces = 0;
    for (int32_t i = 0; i < rest->stocks[stock].n_parts; i++)
        pieces += rest->parts[rest->stocks[stock].first_part + i].uncounted;
    return pieces;
}

void sg_left_words(struct sg_text *out, const struct sg_shop *rest, const struct sg_plan *plan)
{
    enum { MOST = 4 };
    char key[KEY];
    int n = 0, more = 0;
    for (int32_t i = plan->first_stock; i < plan->first_stock + plan->n_stocks; i++) {
        int64_t pieces = plan->stocks[i - plan->first_stock].pieces - uncounted_of(rest, i);
        if (pieces == 0)
            continue;
        if (n++ >= MOST) {
            more++;
            continue;
        }
        sg_key_write(rest, (struct sg_target){SG_KIND_STOCK, i}, key, sizeof key);
        sg_text_format(out, "%s%s (%lld left)", n > 1 ? ", then " : "", key, (long long)pieces);
    }
    if (more > 0)
        sg_text_format(out, " and %d more", more);
}

static void say_next(struct hand_over *h, struct sg_text *out)
{
    const struct sg_shop *shop = &h->rest->shop;
    const char *id = h->view->shop->shifts[h->view->shift].id;
    char ends[CELL];
    if (h->plan->totals.pieces == 0) {
        sg_text_put(out, "nothing is left in this shift");
        return;
    }
    sg_left_words(out, shop, h->plan);
    if (out->length == 0)
        sg_text_put(out, "nothing but to count what is cut");
    if (is_over(h)) {
        sg_text_format(out, "; %s: `record close %s --move SHIFT` moves what is left",
                       h->view->shop->shifts[h->view->shift].closed ? "the shift is closed"
                                                                    : "work went on in another shift",
                       id);
    } else if (sg_known(h->plan->ends)) {
        double start = shop->shifts[h->plan->shift].calendar.epoch;
        sg_clock_on_day(h->rest->now_epoch, start + h->plan->ends, ends, sizeof ends);
        sg_text_format(out, "; all done %s", ends);
    }
}

/* ---- garnet ---- */

static void say_refill(struct hand_over *h, struct sg_text *out)
{
    if (h->plan->next_refill < 0) {
        sg_text_put(out, h->plan->hopper_lasts ? "; it lasts" : "; no refill is planned");
        return;
    }
    const struct sg_event *refill = &h->plan->run.events[h->plan->next_refill];
    char at[CELL];
    double start = h->rest->shop.shifts[h->plan->shift].calendar.epoch;
    sg_clock_on_day(h->rest->now_epoch, start + refill->at, at, sizeof at);
    sg_text_format(out, "; next refill %s", at);
    if (refill->bags > 0)
        sg_text_format(out, ", %d bag%s", refill->bags, refill->bags == 1 ? "" : "s");
}

static void say_hopper(struct hand_over *h, struct sg_text *out)
{
    sg_level_words(out, h->view->shop, h->view->actual);
    if (!is_over(h))
        say_refill(h, out);
    int32_t bags = sg_bags_left(h->view->shop, h->view->actual);
    if (h->view->shop->machine.bag > 0)
        sg_text_format(out, "; %d bag%s in stock", bags, bags == 1 ? "" : "s");
}

static void say_watch(struct hand_over *h, struct sg_text *out)
{
    sg_hand_watch(out, h->view, h->rest, h->plan);
}

/* ---- all five ---- */

static void say_all(struct hand_over *h)
{
    static void (*const say[LINES])(struct hand_over *, struct sg_text *) = {say_runs, say_done, say_next,
                                                                             say_hopper, say_watch};
    for (int i = 0; i < LINES; i++)
        say[i](h, &h->lines[i]);
}

static void free_all(struct hand_over *h, struct sg_text *out)
{
    for (int i = 0; i < LINES; i++) {
        out->failed = out->failed || h->lines[i].failed;
        sg_text_free(&h->lines[i]);
    }
}

void sg_hand_over_text(struct sg_text *out, const struct sg_log_view *view, const struct sg_rest *rest,
                       const struct sg_plan *plan)
{
    struct hand_over h = {.view = view, .rest = rest, .plan = plan};
    say_all(&h);
    for (int i = 0; i < LINES; i++)
        sg_text_format(out, "%-8s%s\n", titles[i], h.lines[i].data ? h.lines[i].data : "");
    free_all(&h, out);
}

void sg_hand_over_json(struct sg_text *out, const struct sg_log_view *view, const struct sg_rest *rest,
                       const struct sg_plan *plan)
{
    struct hand_over h = {.view = view, .rest = rest, .plan = plan};
    struct sg_json json;
    say_all(&h);
    sg_json_start(&json, out);
    sg_shift_json(&json, &view->shop->shifts[view->shift]);
    sg_json_object(&json, "lines");
    for (int i = 0; i < LINES; i++)
        sg_json_text(&json, titles[i], h.lines[i].data);
    sg_json_end_object(&json);
    if (is_over(&h))
        sg_json_null(&json, "answers"); /* it has no end to come */
    else
        sg_answers_json(&json, &rest->shop, plan);
    sg_level_json(&json, view);
    sg_json_finish(&json);
    free_all(&h, out);
}
