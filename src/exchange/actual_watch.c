/* What who comes next has to watch. */
#include "exchange/actual_hand_over.h"

#include <math.h>

static int32_t day_of(int64_t moment)
{
    return (int32_t)((moment - (moment % SG_DAY_S + SG_DAY_S) % SG_DAY_S) / SG_DAY_S);
}

static void watch_wear(const struct sg_log_view *view, struct sg_text *out)
{
    static const double near = 0.9; /* of a life, or of an interval: practice */
    const struct sg_shop *shop = view->shop;
    char hours[SG_HAND_CELL];
    for (int32_t i = 0; i < shop->n_heads; i++) {
        const struct sg_head *head = &shop->heads[i];
        const struct sg_actual_head *a = &view->actual->heads[i];
        const struct {
            const char *word;
            double at, life;
        } worn[] = {{"tube", a->tube, head->tube_life}, {"orifice", a->orifice, head->orifice_life}};
        for (size_t k = 0; k < sizeof worn / sizeof *worn; k++) {
            if (!(worn[k].life > 0) || worn[k].at < near * worn[k].life)
                continue;
            sg_hours_format(worn[k].at, hours, sizeof hours);
            sg_hand_between(out, "; ");
            sg_text_format(out, "%s of head %s at %s", worn[k].word, head->name, hours);
        }
    }
    for (int32_t i = 0; i < shop->n_chores; i++) {
        const struct sg_chore *chore = &shop->chores[i];
        double every = chore->counts != SG_COUNTS_CALENDAR ? chore->every
                       : chore->every_days == SG_UNKNOWN   ? (double)NAN
                                                           : (double)chore->every_days * SG_DAY_S;
        double counter = chore->counts != SG_COUNTS_CALENDAR ? view->actual->chores[i]
                         : view->actual->chore_days[i] == SG_NO_DATE
                             ? every
                             : (double)(view->actual->now - (int64_t)view->actual->chore_days[i] * SG_DAY_S);
        if (chore->when != SG_CHORE_DUE || !sg_known(every) || counter < near * every)
            continue;
        sg_hand_between(out, "; ");
        sg_text_format(out, "service %s is due", chore->name);
    }
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

static void put_lasted(struct sg_text *out, double seconds)
{
    char text[SG_HAND_CELL];
    sg_duration_format(seconds, text, sizeof text);
    sg_text_format(out, ", %s", text);
}

static void say_pause(const struct sg_log_view *view, int32_t index, struct sg_text *out)
{
    const struct sg_actual_pause *pause = sg_actual_pause_of(view->actual, index);
    const char *reason = view->shop->records[index].reason;
    sg_text_put(out, reason[0] ? reason : "the machine stood, no reason noted");
    if (pause && pause->open)
        sg_text_put(out, ", still standing");
    else if (pause)
        put_lasted(out, (double)(pause->until - pause->from));
}

/* From a stop to the next clock. */
static void say_stop(const struct sg_log_view *view, const struct sg_record *stop, struct sg_text *out)
{
    sg_text_put(out, stop->reason);
    for (int32_t i = 0; i <= view->actual->last; i++)
        if (view->actual->clocks[i].from >= stop->at) {
            put_lasted(out, (double)(view->actual->clocks[i].from - stop->at));
            return;
        }
}

static void say_pieces(const struct sg_record *r, struct sg_text *out)
{
    const char *back = r->what == SG_RECORD_NOT_SCRAP ? ", taken back" : "";
    if (r->reason[0])
        sg_text_format(out, "%s (%d of %s scrapped%s)", r->reason, r->count, r->place, back);
    else
        sg_text_format(out, "%d of %s scrapped%s", r->count, r->place, back);
}

static void say_change(const struct sg_record *r, struct sg_text *out)
{
    sg_text_format(out, "%s of head %s changed%s%s", r->what == SG_RECORD_TUBE ? "tube" : "orifice", r->place,
                   r->reason[0] ? ": " : "", r->reason);
}

/* Whether who comes next is to know of it. */
static bool is_told(const struct sg_record *r)
{
    bool pieces = r->what == SG_RECORD_SCRAP || r->what == SG_RECORD_NOT_SCRAP;
    return r->reason[0] || r->what == SG_RECORD_PAUSE || r->what == SG_RECORD_TUBE ||
           r->what == SG_RECORD_ORIFICE || (pieces && r->count != SG_UNKNOWN);
}

static void say_record(const struct sg_log_view *view, int32_t index, struct sg_text *out)
{
    const struct sg_record *r = &view->shop->records[index];
    switch (r->what) {
    case SG_RECORD_PAUSE:
        say_pause(view, index, out);
        break;
    case SG_RECORD_STOP:
        say_stop(view, r, out);
        break;
    case SG_RECORD_SCRAP:
    case SG_RECORD_NOT_SCRAP:
        say_pieces(r, out);
        break;
    case SG_RECORD_TUBE:
    case SG_RECORD_ORIFICE:
        say_change(r, out);
        break;
    default:
        sg_text_put(out, r->reason);
    }
}

/* Notes, stops, changes and what was spoilt, and clocks whose pieces nobody counted. */
static void watch_rows(const struct sg_log_view *view, const struct watched *w, struct sg_text *out)
{
    const struct sg_shop *shop = view->shop;
    const struct sg_actual *actual = view->actual;
    char at[SG_HAND_CELL];
    for (int32_t i = 0; i < shop->n_records; i++) {
        const struct sg_record *r = &shop->records[i];
        if (!is_watched(w, r->at, w->outside.records[i]) || r->at > actual->now || !is_told(r))
            continue;
        sg_hand_between(out, "; ");
        sg_text_format(out, "%s ", sg_hand_clock(view, r->at, at));
        say_record(view, i, out);
    }
    for (int32_t i = 0; i <= actual->last; i++) {
        const struct sg_actual_clock *c = &actual->clocks[i];
        if (!is_watched(w, c->from, w->outside.clocks[i]) || !sg_actual_uncounted(shop, actual, i))
            continue;
        sg_hand_between(out, "; ");
        sg_text_format(out, "no pieces counted on %s from %s", shop->clocks[i].place,
                       sg_hand_clock(view, c->from, at));
    }
}

static void watch_log(const struct sg_log_view *view, struct sg_text *out)
{
    const struct sg_shop *shop = view->shop;
    struct sg_arena arena = {0};
    struct watched w;
    int32_t date = shop->shifts[view->shift].date, now = day_of(view->actual->now);
    date = date == SG_NO_DATE || date > now ? now : date;
    w.day = (int64_t)date * SG_DAY_S;
    w.day_ends = (int64_t)(now + 1) * SG_DAY_S;
    sg_actual_window(shop, view->shift, &w.from, &w.until);
    if (sg_actual_outside(shop, &arena, &w.outside))
        watch_rows(view, &w, out);
    else
        out->failed = true;
    sg_arena_free(&arena);
}

/* What is short for what is left. */
static void watch_lacks(const struct sg_rest *rest, const struct sg_plan *plan, struct sg_text *out)
{
    for (int32_t i = 0; i < plan->n_cautions; i++) {
        const struct sg_caution *caution = &plan->cautions[i];
        char key[400], text[600];
        if (caution->code != SG_CAUTION_SHEETS_SHORT && caution->code != SG_CAUTION_OUT_OF_GARNET)
            continue;
        sg_key_write(&rest->shop, (struct sg_target){(enum sg_kind)caution->kind, caution->index}, key,
                     sizeof key);
        sg_caution_text(caution, rest->shop.units, text, sizeof text);
        sg_hand_between(out, "; ");
        sg_text_format(out, "%s: %s", key, text);
    }
}

void sg_hand_watch(struct sg_text *out, const struct sg_log_view *view, const struct sg_rest *rest,
                   const struct sg_plan *plan)
{
    watch_wear(view, out);
    watch_log(view, out);
    watch_lacks(rest, plan, out);
    if (plan->totals.bags_to_order > 0) {
        sg_hand_between(out, "; ");
        sg_text_format(out, "%d bag%s of garnet to order", plan->totals.bags_to_order,
                       plan->totals.bags_to_order == 1 ? "" : "s");
    }
    if (out->length == 0)
        sg_text_put(out, "nothing noted");
}
