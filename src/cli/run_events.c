/* What needs a person, and the hopper. */
#include "cli/shown.h"

typedef void render(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);

/* What is left starts with what is cut of its first sheet and was not counted: events that are over by now
 * are no longer anybody's work. Borrows from the plan. */
static struct sg_plan without_past(const struct sg_shown *shown, const struct sg_plan *plan)
{
    struct sg_plan left = *plan;
    double now = shown->rest.rest.now_epoch - shown->shop->shifts[plan->shift].calendar.epoch;
    while (left.run.n_events > 0 && left.run.events->at + left.run.events->seconds <= now) {
        left.run.events++;
        left.run.n_events--;
    }
    return left;
}

/* The plan of the shift that is named, in the shape that is asked for. */
static int show(const struct sg_args *args, bool events, render *text, render *csv, render *json)
{
    struct sg_shown shown = {.args = args};
    struct sg_error error;
    const struct sg_plan *plan;
    struct sg_text out = {0};
    int32_t shift = SG_UNKNOWN;
    enum sg_status status = sg_shown_open(&shown, &error);
    if (status == SG_OK)
        status = sg_shown_shift(&shown, args->n_words ? args->words[0] : NULL, &shift, &error);
    if (status == SG_OK)
        status = sg_shown_plan(&shown, shift, &plan, &error);
    if (status == SG_OK) {
        render *chosen = sg_option(args, "json") ? json : sg_option(args, "csv") ? csv : text;
        sg_shown_say(&shown, shift, &out);
        struct sg_plan left = *plan;
        if (events && shown.now)
            left = without_past(&shown, plan);
        chosen(&out, shown.shop, &left);
    }
    int code = status == SG_OK ? sg_cli_put_chosen(args, &out, SG_OK) : sg_cli_fail(&error);
    sg_shown_close(&shown);
    return code;
}

int sg_run_events(const struct sg_args *args)
{
    return show(args, true, sg_events_text, sg_events_csv, sg_events_json);
}

int sg_run_levels(const struct sg_args *args)
{
    return show(args, false, sg_hopper_text, sg_hopper_csv, sg_hopper_json);
}
