/* The plan as it was made, or what is left of it. */
#include "cli/shown.h"

#include <string.h>

/* The moment from which what is left is timed: as it is typed; else now, or the last act where that lies
 * ahead. */
static enum sg_status read_moment(const struct sg_shown *shown, int64_t *at, struct sg_error *error)
{
    const char *typed = sg_option(shown->args, "at");
    int64_t now = sg_cli_now(), end = sg_log_end(shown->shop);
    *at = end > now ? end : now;
    return typed ? sg_cli_moment(typed, now, at, error) : SG_OK;
}

enum sg_status sg_shown_open(struct sg_shown *shown, struct sg_error *error)
{
    int64_t at;
    bool asked = sg_option(shown->args, "now") || sg_option(shown->args, "at");
    enum sg_status status = sg_cli_open(shown->args, SG_STORE_READ, &shown->desk, error);
    if (status != SG_OK)
        return status;
    shown->shop = sg_desk_shop(shown->desk);
    if (!asked)
        return SG_OK;
    status = read_moment(shown, &at, error);
    if (status == SG_OK)
        status = sg_now_make(&shown->rest, shown->shop, at, SG_UNKNOWN, error);
    if (status == SG_OK) {
        shown->now = true;
        shown->shop = &shown->rest.rest.shop;
    }
    return status;
}

void sg_shown_close(struct sg_shown *shown)
{
    sg_now_free(&shown->rest);
    sg_desk_close(shown->desk);
    shown->desk = NULL;
}

enum sg_status sg_shown_shift(const struct sg_shown *shown, const char *name, int32_t *shift,
                              struct sg_error *error)
{
    if (!name && shown->now) {
        *shift = shown->rest.rest.shift;
        return SG_OK;
    }
    return sg_cli_shift(shown->shop, name, shift, error);
}

enum sg_status sg_shown_plan(struct sg_shown *shown, int32_t shift, const struct sg_plan **plan,
                             struct sg_error *error)
{
    if (!shown->now)
        return sg_desk_plan(shown->desk, shift, plan, error);
    const struct sg_shift *kept = &sg_desk_shop(shown->desk)->shifts[shift];
    if (kept->closed)
        return sg_fail(error, SG_BAD_DATA,
                       "shift %.60s is closed: `record hand-over %.60s` tells what is left of it", kept->id,
                       kept->id);
    if (shown->shop->shifts[shift].closed)
        return sg_fail(
            error, SG_BAD_DATA,
            "work went on in shift %.60s: `record close %.60s --move %.60s` takes what is left there",
            shown->shop->shifts[shown->rest.rest.shift].id, kept->id,
            shown->shop->shifts[shown->rest.rest.shift].id);
    return sg_plan_shift(shown->rest.planner, shown->shop, shift, plan, error);
}

/* ---- which of the two it is ---- */

/* Whether a clock that counts ran on jobs of the shift. */
static bool is_at_work(const struct sg_shop *shop, const struct sg_actual *actual, int32_t shift)
{
    for (int32_t i = actual->last; i >= 0 && actual->clocks[i].from >= actual->since; i--) {
        int32_t stock = sg_actual_stock(shop, shop->clocks[i].place);
        if (stock != SG_UNKNOWN && shop->jobs[shop->stocks[stock].job].shift == shift)
            return true;
    }
    return false;
}

static void say_as_made(const struct sg_now *now, const char *how)
{
    double epoch = now->rest.shop.shifts[now->plan->shift].calendar.epoch;
    char ends[40];
    if (now->plan->totals.pieces == 0) {
        sg_cli_say(SG_OK, "this is the plan as made, and nothing of it is left to cut: %s tells it", how);
    } else if (!sg_known(now->plan->ends)) {
        sg_cli_say(SG_OK, "this is the plan as made: %s tells what is left", how);
    } else {
        sg_clock_on_day(now->rest.now_epoch, epoch + now->plan->ends, ends, sizeof ends);
        sg_cli_say(SG_OK, "this is the plan as made; what is left ends at %s: %s tells it", ends, how);
    }
}

/* Of a plan whose shift is at work; where the rest cannot be told, nothing is said. */
static void hint(const struct sg_shown *shown, int32_t shift)
{
    struct sg_now now = {0};
    struct sg_error error;
    int64_t at;
    const struct sg_shop *shop = shown->shop;
    if (shop->n_clocks == 0 || shop->shifts[shift].closed || read_moment(shown, &at, &error) != SG_OK)
        return;
    if (sg_now_make(&now, shop, at, shift, &error) == SG_OK && is_at_work(shop, &now.actual, shift) &&
        !now.rest.shop.shifts[shift].closed)
        say_as_made(&now, shown->how ? shown->how : "--now");
    sg_now_free(&now);
}

void sg_shown_say(const struct sg_shown *shown, int32_t shift, struct sg_text *out)
{
    char at[40];
    bool text = !sg_option(shown->args, "json") && !sg_option(shown->args, "csv");
    if (!text)
        return;
    if (!shown->now) {
        hint(shown, shift);
    } else if (out) {
        sg_moment_format(shown->rest.actual.now / 60 * 60, at, sizeof at);
        sg_text_format(out, "What is left, from %s\n", at);
    }
}
