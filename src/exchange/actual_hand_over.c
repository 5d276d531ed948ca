/* Five lines for who comes next. */
#include "exchange/actual_render.h"

#include <stdio.h>
#include <string.h>

enum { CELL = 120, KEY = 1200, LINES = 5 };

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

/* 11:43, of another day than now 2026-12-01 11:43. */
static const char *clock_at(const struct hand_over *h, int64_t moment, char *out)
{
    int used = day_of(moment) == day_of(h->view->actual->now) ? 0 : sg_date_format(day_of(moment), out, CELL);
    if (used > 0)
        out[used++] = ' ';
    sg_time_format((int32_t)((moment - (int64_t)day_of(moment) * SG_DAY_S) / 60 * 60), out + used,
                   (size_t)(CELL - used));
    return out;
}

static void put_between(struct sg_text *out, const char *between)
{
    sg_text_put(out, out->length > 0 ? between : "");
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
    double planned = sg_actual_share(h->view->shop, actual, actual->running);
    sg_text_format(out, "%s %s", words[clock->phase], clock->place);
    if (clock->sheet != SG_UNKNOWN)
        sg_text_format(out, " sheet %d", clock->sheet);
    sg_text_format(out, " since %s", clock_at(h, c->from, at));
    if (sg_known(planned)) {
        double rest = planned - sg_actual_net(c);
        sg_hours_format(fabs(rest), left, sizeof left);
        sg_text_format(out, rest >= 0 ? ", %s to go as planned" : ", %s longer than planned", left);
    }
    if (actual->paused && last_pause(actual)->clock == actual->running) {
        sg_text_format(out, "; the machine stands since %s: ", clock_at(h, last_pause(actual)->from, at));
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
    const struct sg_shop *shop = h->view->shop;
    char key[KEY];
    for (int32_t i = 0; i < shop->n_parts; i++) {
        const struct sg_actual_part *part = &h->view->actual->parts[i];
        if (shop->jobs[shop->stocks[shop->parts[i].stock].job].shift != h->view->shift ||
            (part->left_good == 0 && part->left_scrapped == 0))
            continue;
        sg_key_write(shop, (struct sg_target){SG_KIND_PART, i}, key, sizeof key);
        put_between(out, ", ");
        sg_text_format(out, "%lld of %d of %s", (long long)part->left_good, shop->parts[i].quantity, key);
        if (part->left_scrapped > 0)
            sg_text_format(out, " (%lld scrapped)", (long long)part->left_scrapped);
    }
    if (out->length == 0)
        sg_text_put(out, "no pieces noted");
}

static void say_next(struct hand_over *h, struct sg_text *out)
{
    enum { MOST = 4 };
    const struct sg_shop *shop = &h->rest->shop;
    char key[KEY], ends[CELL];
    int n = 0, more = 0;
    for (int32_t i = h->plan->first_stock; i < h->plan->first_stock + h->plan->n_stocks; i++) {
        int64_t pieces = h->plan->stocks[i - h->plan->first_stock].pieces;
        if (pieces == 0)
            continue;
        if (n++ >= MOST) {
            more++;
            continue;
        }
        sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, i}, key, sizeof key);
        put_between(out, ", then ");
        sg_text_format(out, "%s (%lld left)", key, (long long)pieces);
    }
    if (more > 0)
        sg_text_format(out, " and %d more", more);
    if (n == 0) {
        sg_text_put(out, "nothing is left in this shift");
        return;
    }
    if (!sg_known(h->plan->ends))
        return;
    double start = shop->shifts[h->plan->shift].calendar.epoch;
    sg_clock_on_day(h->rest->now_epoch, start + h->plan->ends, ends, sizeof ends);
    sg_text_format(out, "; all done %s", ends);
}

/* ---- garnet ---- */

static void say_hopper(struct hand_over *h, struct sg_text *out)
{
    const struct sg_machine *machine = &h->view->shop->machine;
    sg_level_words(out, h->view->shop, h->view->actual);
    if (h->plan->next_refill >= 0) {
        const struct sg_event *refill = &h->plan->run.events[h->plan->next_refill];
        char at[CELL];
        double start = h->rest->shop.shifts[h->plan->shift].calendar.epoch;
        sg_clock_on_day(h->rest->now_epoch, start + refill->at, at, sizeof at);
        sg_text_format(out, "; next refill %s", at);
        if (refill->bags > 0)
            sg_text_format(out, ", %d bag%s", refill->bags, refill->bags == 1 ? "" : "s");
    } else {
        sg_text_put(out, h->plan->hopper_lasts ? "; it lasts" : "; no refill is planned");
    }
    int32_t bags = sg_bags_left(h->view->shop, h->view->actual);
    if (machine->bag > 0)
        sg_text_format(out, "; %d bag%s in stock", bags, bags == 1 ? "" : "s");
}

/* ---- what to watch ---- */

static void watch_wear(struct hand_over *h, struct sg_text *out)
{
    static const double near = 0.9; /* of a life, or of an interval: practice */
    const struct sg_shop *shop = h->view->shop;
    char hours[CELL];
    for (int32_t i = 0; i < shop->n_heads; i++) {
        const struct sg_head *head = &shop->heads[i];
        const struct sg_actual_head *a = &h->view->actual->heads[i];
        const struct {
            const char *word;
            double at, life;
        } worn[] = {{"tube", a->tube, head->tube_life}, {"orifice", a->orifice, head->orifice_life}};
        for (size_t k = 0; k < sizeof worn / sizeof *worn; k++) {
            if (!(worn[k].life > 0) || worn[k].at < near * worn[k].life)
                continue;
            sg_hours_format(worn[k].at, hours, sizeof hours);
            put_between(out, "; ");
            sg_text_format(out, "%s of head %s at %s", worn[k].word, head->name, hours);
        }
    }
    for (int32_t i = 0; i < shop->n_chores; i++) {
        const struct sg_chore *chore = &shop->chores[i];
        double every = chore->counts != SG_COUNTS_CALENDAR ? chore->every
                       : chore->every_days == SG_UNKNOWN   ? (double)NAN
                                                           : (double)chore->every_days * SG_DAY_S;
        double counter =
            chore->counts != SG_COUNTS_CALENDAR ? h->view->actual->chores[i]
            : h->view->actual->chore_days[i] == SG_NO_DATE
                ? every
                : (double)(h->view->actual->now - (int64_t)h->view->actual->chore_days[i] * SG_DAY_S);
        if (chore->when != SG_CHORE_DUE || !sg_known(every) || counter < near * every)
            continue;
        put_between(out, "; ");
        sg_text_format(out, "service %s is due", chore->name);
    }
}

/* A cut that is over, of which nobody counted a piece, and not one that was stopped for the first check. */
static bool is_uncounted(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    return shop->clocks[clock].phase == SG_PHASE_CUT && !c->running && !c->counted &&
           !sg_actual_cut_short(shop, actual, clock);
}

/* From when to when the log is of interest: the shift's, or all that was noted on its day or of now where
 * that is outside any shift. */
struct watched {
    int64_t from, until, day, day_ends;
    struct sg_actual_outside outside;
};

static bool is_watched(const struct watched *w, int64_t at, bool outside)
{
    return (at >= w->from && at < w->until) || (outside && at >= w->day && at < w->day_ends);
}

/* Notes and stops, and clocks whose pieces nobody counted. */
static void watch_rows(struct hand_over *h, const struct watched *w, struct sg_text *out)
{
    const struct sg_shop *shop = h->view->shop;
    const struct sg_actual *actual = h->view->actual;
    char at[CELL];
    for (int32_t i = 0; i < shop->n_records; i++) {
        const struct sg_record *r = &shop->records[i];
        if (!is_watched(w, r->at, w->outside.records[i]) || r->at > actual->now || !r->reason[0])
            continue;
        put_between(out, "; ");
        sg_text_format(out, "%s %s", clock_at(h, r->at, at), r->reason);
        if (r->what == SG_RECORD_SCRAP)
            sg_text_format(out, " (%d of %s scrapped)", r->count, r->place);
    }
    for (int32_t i = 0; i <= actual->last; i++) {
        const struct sg_actual_clock *c = &actual->clocks[i];
        if (!is_watched(w, c->from, w->outside.clocks[i]) || !is_uncounted(shop, actual, i))
            continue;
        put_between(out, "; ");
        sg_text_format(out, "no pieces counted on %s from %s", shop->clocks[i].place,
                       clock_at(h, c->from, at));
    }
}

static void watch_log(struct hand_over *h, struct sg_text *out)
{
    const struct sg_shop *shop = h->view->shop;
    struct sg_arena arena = {0};
    struct watched w;
    int32_t date = shop->shifts[h->view->shift].date, now = day_of(h->view->actual->now);
    date = date == SG_NO_DATE || date > now ? now : date;
    w.day = (int64_t)date * SG_DAY_S;
    w.day_ends = (int64_t)(now + 1) * SG_DAY_S;
    sg_actual_window(shop, h->view->shift, &w.from, &w.until);
    if (sg_actual_outside(shop, &arena, &w.outside))
        watch_rows(h, &w, out);
    else
        out->failed = true;
    sg_arena_free(&arena);
}

static void say_watch(struct hand_over *h, struct sg_text *out)
{
    watch_wear(h, out);
    watch_log(h, out);
    if (h->plan->totals.bags_to_order > 0) {
        put_between(out, "; ");
        sg_text_format(out, "%d bag%s of garnet to order", h->plan->totals.bags_to_order,
                       h->plan->totals.bags_to_order == 1 ? "" : "s");
    }
    if (out->length == 0)
        sg_text_put(out, "nothing noted");
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
    sg_answers_json(&json, &rest->shop, plan);
    sg_level_json(&json, view);
    sg_json_finish(&json);
    free_all(&h, out);
}
