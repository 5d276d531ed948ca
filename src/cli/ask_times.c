/* Questions about time: when, alone until, how much before. */
#include "cli/ask.h"

#include <string.h>

/* A time of day is the first behind the shift's start: 14:00 asked at 15:00 is over. */
static enum sg_status read_deadline(struct sg_asked *a, const char *text, double *out)
{
    return sg_ask_read_time(a, text, fmin(a->begun, 0) - SG_ASK_SLACK, out);
}

static const char *duration(double seconds, char *out)
{
    sg_duration_format(seconds, out, SG_ASK_CELL);
    return out;
}

/* "at 13:12, 0:47:20 before 14:00" */
static void say_end(struct sg_asked *a, double at, double by)
{
    char end[SG_ASK_CELL], limit[SG_ASK_CELL], between[SG_ASK_CELL];
    sg_text_format(&a->sentence, "at %s, ", sg_ask_clock(a, at, end));
    if (fabs(at - by) <= SG_ASK_SLACK)
        sg_text_put(&a->sentence, "just in time for ");
    else
        sg_text_format(&a->sentence, "%s %s ",
                       fabs(at - by) < 1 ? "less than a second" : duration(fabs(at - by), between),
                       at < by ? "before" : "after");
    sg_text_put(&a->sentence, sg_ask_clock(a, by, limit));
}

/* ---- ends ---- */

enum sg_status sg_ask_ends(struct sg_asked *a)
{
    const struct sg_shift *shift = &a->shop->shifts[a->shift];
    double close = shift->calendar.close_s;
    struct sg_ask_done done;
    sg_ask_done(a->shop, a->plan, SG_UNKNOWN, &done);
    bool yes = sg_known(done.at) && done.at <= close + SG_ASK_SLACK;
    if (done.end == SG_ASK_NOTHING) {
        sg_text_format(&a->sentence, "Shift %s has nothing%s to cut.", shift->id,
                       a->shown.now ? " left" : "");
    } else if (done.end == SG_ASK_ENDS) {
        sg_text_format(&a->sentence, "Shift %s ends ", shift->id);
        say_end(a, done.at, close);
        sg_text_put(&a->sentence, ", when it closes.");
    } else {
        sg_text_format(&a->sentence, "Shift %s has no end: ", shift->id);
        sg_ask_say_no_end(a, &done);
        sg_text_put(&a->sentence, ".");
    }
    if (sg_ask_answer(a, yes)) {
        sg_ask_put_time(a, "ends_at", a->plan->ends);
        sg_json_number(&a->json, "over_s", a->plan->over);
        sg_ask_put_no_end(a, done.end);
        sg_json_whole(&a->json, "bags_short", a->plan->run.bags_short);
    }
    return SG_OK;
}

/* ---- alone ---- */

/* An answer is about this shift's plan: it must not be taken for one about work of the shift before or after.
 */
static enum sg_status check_within_shift(struct sg_asked *a, double from, double to)
{
    const struct sg_shift *shift = &a->shop->shifts[a->shift];
    double last = fmax(shift->calendar.close_s, a->plan->run.end);
    char at[SG_ASK_CELL], start[SG_ASK_CELL], end[SG_ASK_CELL];
    if (to <= from)
        return sg_fail(&a->error, SG_BAD_DATA, "%s is not after %s", sg_ask_clock(a, to, end),
                       sg_ask_clock(a, from, at));
    if (from < 0 || from >= last)
        return sg_fail(
            &a->error, SG_BAD_DATA, "%s is not in shift %s, which goes from %s to %s; --shift names another",
            sg_ask_clock(a, from, at), shift->id, sg_ask_clock(a, 0, start), sg_ask_clock(a, last, end));
    if (from < a->plan->start.late)
        return sg_fail(&a->error, SG_BAD_DATA,
                       "the shift before %s runs over until %s: ask about its time with --shift", shift->id,
                       sg_ask_clock(a, a->plan->start.late, end));
    for (int32_t i = 0; i < a->shop->n_shifts && to > last; i++) {
        double begins = a->shop->shifts[i].calendar.epoch - a->epoch;
        if (i != a->shift && !a->shop->shifts[i].closed && begins > 0 && begins < to)
            return sg_fail(&a->error, SG_BAD_DATA,
                           "shift %s begins at %s: ask about its time with --shift %s", a->shop->shifts[i].id,
                           sg_ask_clock(a, begins, start), a->shop->shifts[i].id);
    }
    return SG_OK;
}

static void say_call(struct sg_asked *a, const struct sg_event *event)
{
    char at[SG_ASK_CELL], asked[SG_ASK_CELL];
    if (event->kind == SG_EVENT_OUT_OF_GARNET) {
        sg_ask_say_stop(a, event);
        return;
    }
    sg_text_format(&a->sentence, "%s of ", sg_event_name(a->shop, event));
    sg_event_where(&a->sentence, a->shop, a->plan, event);
    if (event->at > event->asked)
        sg_text_format(&a->sentence, " waits from %s and", sg_ask_clock(a, event->asked, asked));
    sg_text_format(&a->sentence, " starts at %s", sg_ask_clock(a, event->at, at));
}

/* A person's event that has begun before and goes on. */
static const struct sg_event *going_on(const struct sg_plan *plan, double from)
{
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (sg_ask_calls(e) && e->at < from && e->at + e->seconds > from + SG_ASK_SLACK)
            return e;
    }
    return NULL;
}

/* What a yes leaves open: a person still at work, or a machine that does nothing. */
static void say_besides(struct sg_asked *a, double from)
{
    const struct sg_event *event = going_on(a->plan, from);
    char at[SG_ASK_CELL];
    if (event) {
        sg_text_format(&a->sentence, "; %s of ", sg_event_name(a->shop, event));
        sg_event_where(&a->sentence, a->shop, a->plan, event);
        sg_text_format(&a->sentence, " goes on until %s", sg_ask_clock(a, event->at + event->seconds, at));
    } else if (a->plan->n_batches == 0) {
        sg_text_put(&a->sentence, "; nothing is cut");
    } else if (a->plan->run.end <= from + SG_ASK_SLACK) {
        sg_text_format(&a->sentence, "; its work is done at %s", sg_ask_clock(a, a->plan->run.end, at));
    }
}

static struct sg_caution unattended(const struct sg_asked *a)
{
    return (struct sg_caution){SG_CAUTION_UNATTENDED, SG_KIND_SHIFT, a->shift, (double)NAN, (double)NAN};
}

static void say_caution(const struct sg_asked *a)
{
    struct sg_caution caution = unattended(a);
    char text[600];
    sg_caution_text(&caution, a->shop->units, text, sizeof text);
    sg_cli_say(SG_OK, "%s", text);
}

static void say_alone(struct sg_asked *a, double from, double to, bool yes, int32_t event)
{
    char start[SG_ASK_CELL], end[SG_ASK_CELL], key[SG_ASK_KEY];
    const char *id = a->shop->shifts[a->shift].id;
    sg_ask_clock(a, from, start);
    sg_ask_clock(a, to, end);
    if (yes) {
        sg_text_format(&a->sentence, "Shift %s asks for nobody from %s to %s", id, start, end);
        say_besides(a, from);
    } else if (event >= 0) {
        sg_text_format(&a->sentence, "Shift %s asks for somebody from %s to %s: ", id, start, end);
        say_call(a, sg_ask_event(a, event));
    } else {
        int32_t last = a->plan->first_part + a->plan->n_parts - 1;
        sg_text_format(&a->sentence,
                       "Whether shift %s asks for somebody from %s to %s is not known: %s cannot be timed",
                       id, start, end, sg_ask_part_key(a, sg_ask_untimed(a->plan, last), key));
    }
    sg_text_put(&a->sentence, ".");
}

enum sg_status sg_ask_whether_alone(struct sg_asked *a)
{
    double from, to;
    int32_t event;
    enum sg_status status = read_deadline(a, a->words[0], &from);
    if (status == SG_OK)
        status = sg_ask_read_time(a, a->words[1], from, &to);
    if (status == SG_OK)
        status = check_within_shift(a, from, to);
    if (status != SG_OK)
        return status;
    bool yes = sg_ask_alone(a->plan, from, to, &event);
    say_alone(a, from, to, yes, event);
    if (sg_ask_answer(a, yes)) {
        struct sg_caution caution = unattended(a);
        sg_ask_put_time(a, "from", from);
        sg_ask_put_time(a, "to", to);
        if (event < 0) {
            sg_json_null(&a->json, "event");
        } else {
            sg_json_object(&a->json, "event");
            sg_event_members(&a->json, a->shop, a->plan, sg_ask_event(a, event));
            sg_json_end_object(&a->json);
        }
        sg_cautions_json(&a->json, a->shop, &caution, yes);
    } else if (yes) {
        say_caution(a);
    }
    return SG_OK;
}

/* ---- done-by, fits ---- */

enum sg_status sg_ask_done_by(struct sg_asked *a)
{
    double by;
    struct sg_ask_done done;
    char key[SG_ASK_KEY] = "";
    bool all = a->n_words == 1;
    enum sg_status status = read_deadline(a, a->words[0], &by);
    if (status != SG_OK)
        return status;
    sg_ask_done(a->shop, a->plan, all ? SG_UNKNOWN : a->target.index, &done);
    sg_key_write(a->shop, a->target, key, sizeof key);
    sg_text_format(&a->sentence, "%s %s ", all ? "Shift" : "Job", all ? a->shop->shifts[a->shift].id : key);
    if (done.end == SG_ASK_NOTHING) {
        sg_text_put(&a->sentence, a->shown.now ? "has nothing left to cut" : "has nothing to cut");
    } else if (done.end == SG_ASK_ENDS) {
        sg_text_put(&a->sentence, "is done ");
        say_end(a, done.at, by);
    } else {
        sg_text_put(&a->sentence, "has no end: ");
        sg_ask_say_no_end(a, &done);
    }
    sg_text_put(&a->sentence, ".");
    if (sg_ask_answer(a, done.end == SG_ASK_NOTHING || done.at <= by + SG_ASK_SLACK)) {
        sg_ask_put_time(a, "by", by);
        sg_json_text(&a->json, "job", all ? NULL : key);
        sg_ask_put_time(a, "done_at", done.at);
        sg_ask_put_no_end(a, done.end);
    }
    return SG_OK;
}

static void say_fits(struct sg_asked *a, const struct sg_ask_fits *fits, const char *key, double by)
{
    const struct sg_part *part = &a->shop->parts[a->target.index];
    char limit[SG_ASK_CELL], untimed[SG_ASK_KEY];
    sg_ask_clock(a, by, limit);
    if (fits->end == SG_ASK_NOT_TIMED) {
        sg_text_format(&a->sentence, "How many pieces of %s fit before %s is not known: %s cannot be timed",
                       key, limit, sg_ask_part_key(a, fits->untimed, untimed));
    } else if (fits->end == SG_ASK_CLOSED) {
        sg_text_format(&a->sentence, "No piece of %s fits before %s: nobody works on that day", key, limit);
    } else {
        sg_text_format(&a->sentence, "%lld piece%s of %s fit%s before %s", (long long)fits->pieces,
                       fits->pieces == 1 ? "" : "s", key, fits->pieces == 1 ? "s" : "", limit);
        if (fits->pieces == SG_ASK_MOST)
            sg_text_put(&a->sentence, ", the most that a plan holds");
    }
    sg_text_format(&a->sentence, "; %d %s planned", part->quantity, part->quantity == 1 ? "is" : "are");
    if (part->scrap > 0)
        sg_text_format(&a->sentence, ", and %d for scrap", part->scrap);
    sg_text_put(&a->sentence, ".");
}

enum sg_status sg_ask_what_fits(struct sg_asked *a)
{
    double by;
    struct sg_ask_fits fits;
    char key[SG_ASK_KEY];
    if (strcmp(a->words[1], "before") != 0)
        return sg_ask_wrong_words(a);
    enum sg_status status = read_deadline(a, a->words[2], &by);
    if (status != SG_OK)
        return status;
    struct sg_planner *planner = sg_planner_new();
    status = planner ? sg_ask_fits(planner, a->shop, a->target.index, by, &fits, &a->error)
                     : sg_fail(&a->error, SG_FAULT, "no memory for a plan");
    sg_planner_free(planner);
    if (status != SG_OK)
        return status;
    say_fits(a, &fits, sg_ask_part_key(a, a->target.index, key), by);
    if (sg_ask_answer(a, fits.planned_fits)) {
        const struct sg_part *part = &a->shop->parts[a->target.index];
        bool known = fits.end != SG_ASK_NOT_TIMED;
        sg_ask_put_time(a, "by", by);
        sg_json_text(&a->json, "part", key);
        sg_json_number(&a->json, "pieces", known ? (double)fits.pieces : (double)NAN);
        sg_json_whole(&a->json, "quantity", part->quantity);
        sg_json_whole(&a->json, "scrap", part->scrap);
        sg_ask_put_time(a, "finished_at", fits.planned_at);
        sg_ask_put_no_end(a, fits.end);
    }
    return SG_OK;
}
