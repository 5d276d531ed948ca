/* Questions about garnet: the next refill, whether the hopper lasts. */
#include "cli/ask.h"

/* "at 12:30 (asked for at 12:13), in 2602/1 sheet 2: " */
static void say_when_and_where(struct sg_asked *a, const struct sg_event *event)
{
    char at[SG_ASK_CELL], asked[SG_ASK_CELL];
    sg_text_format(&a->sentence, "at %s", sg_ask_clock(a, event->at, at));
    if (event->at > event->asked)
        sg_text_format(&a->sentence, " (asked for at %s)", sg_ask_clock(a, event->asked, asked));
    sg_text_put(&a->sentence, ", in ");
    sg_event_where(&a->sentence, a->shop, a->plan, event);
    sg_text_put(&a->sentence, ": ");
}

static void say_amount(struct sg_asked *a, const struct sg_event *refill)
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, a->shop->units);
    char kg[SG_ASK_CELL];
    sg_number_format(refill->garnet, unit, 1, kg, sizeof kg);
    if (refill->bags > 0)
        sg_text_format(&a->sentence, "%d bag%s, ", refill->bags, refill->bags == 1 ? "" : "s");
    sg_text_format(&a->sentence, "%s %s", kg, unit->name);
}

/* ---- refill, lasts ---- */

static void say_first_refill(struct sg_asked *a, const struct sg_event *refill)
{
    sg_text_put(&a->sentence, "the first refill is ");
    say_when_and_where(a, refill);
    say_amount(a, refill);
}

/* Why there is no refill, or what comes besides it. */
static void say_rest_of_garnet(struct sg_asked *a, int32_t untimed)
{
    struct sg_ask_done done;
    char key[SG_ASK_KEY];
    sg_ask_done(a->shop, a->plan, SG_UNKNOWN, &done);
    if (done.end == SG_ASK_NO_GARNET)
        sg_ask_say_stop(a, sg_ask_event(a, done.event));
    else if (untimed != SG_UNKNOWN)
        sg_text_format(&a->sentence, "%s cannot be timed", sg_ask_part_key(a, untimed, key));
    else
        sg_text_put(&a->sentence, "the hopper lasts");
}

enum sg_status sg_ask_refill(struct sg_asked *a)
{
    const struct sg_event *refill = sg_ask_event(a, a->plan->next_refill);
    int32_t untimed, more = a->plan->run.refills - 1;
    sg_ask_lasts(a->plan, &untimed);
    if (refill) {
        sg_text_put(&a->sentence, "The next refill is ");
        say_when_and_where(a, refill);
        say_amount(a, refill);
        if (more > 0)
            sg_text_format(&a->sentence, "; %d more come%s after it", more, more == 1 ? "s" : "");
    } else {
        sg_text_put(&a->sentence, untimed == SG_UNKNOWN ? "No refill is coming: "
                                                        : "Whether a refill is coming is not known: ");
        say_rest_of_garnet(a, untimed);
    }
    sg_text_put(&a->sentence, ".");
    if (sg_ask_answer(a, refill != NULL)) {
        sg_event_members(&a->json, a->shop, a->plan, refill);
        sg_json_whole(&a->json, "refills", a->plan->run.refills);
        sg_json_whole(&a->json, "bags_short", a->plan->run.bags_short);
    }
    return SG_OK;
}

static void say_levels(struct sg_asked *a)
{
    const struct sg_unit *unit = sg_unit_of_shop(SG_DIM_MASS, a->shop->units);
    char start[SG_ASK_CELL], end[SG_ASK_CELL], low[SG_ASK_CELL];
    sg_number_format(a->plan->start.level, unit, 1, start, sizeof start);
    sg_number_format(a->plan->run.level_end, unit, 1, end, sizeof end);
    sg_number_format(a->shop->machine.low_line, unit, 1, low, sizeof low);
    if (a->shown.now)
        sg_text_format(&a->sentence, "%s %s at its end, low line %s", end, unit->name, low);
    else
        sg_text_format(&a->sentence, "%s %s at its start, %s at its end, low line %s", start, unit->name, end,
                       low);
}

enum sg_status sg_ask_whether_lasts(struct sg_asked *a)
{
    const char *id = a->shop->shifts[a->shift].id;
    const struct sg_event *refill = sg_ask_event(a, a->plan->next_refill);
    int32_t untimed;
    bool yes = sg_ask_lasts(a->plan, &untimed);
    sg_text_format(&a->sentence, "%s shift %s: ",
                   yes                     ? "The hopper lasts"
                   : untimed == SG_UNKNOWN ? "The hopper does not last"
                                           : "It is not known whether the hopper lasts",
                   id);
    if (yes)
        say_levels(a);
    if (refill)
        say_first_refill(a, refill);
    if (!yes && (!refill || !a->plan->run.finished)) {
        sg_text_put(&a->sentence, refill ? ", and " : "");
        say_rest_of_garnet(a, untimed);
    }
    sg_text_put(&a->sentence, ".");
    if (sg_ask_answer(a, yes)) {
        sg_ask_put_time(a, "next_refill_at", refill ? refill->at : (double)NAN);
        sg_json_whole(&a->json, "bags_short", a->plan->run.bags_short);
        sg_json_number(&a->json, "start_kg", a->plan->start.level);
        sg_json_number(&a->json, "end_kg", a->plan->run.level_end);
        sg_json_number(&a->json, "low_line_kg", a->shop->machine.low_line);
    }
    return SG_OK;
}
