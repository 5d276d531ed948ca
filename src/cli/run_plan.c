/* The plan and the job sheet. */
#include "cli/shown.h"

#include <string.h>

enum sg_status sg_cli_shift(const struct sg_shop *shop, const char *name, int32_t *shift,
                            struct sg_error *error)
{
    if (!name) {
        *shift = sg_plan_default_shift(shop);
        return SG_OK;
    }
    name += strncmp(name, "shift:", 6) == 0 ? 6 : 0;
    int32_t found = sg_find_shift(shop, name);
    if (found == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "no shift \"%.60s\"; the first is %s", name,
                       shop->n_shifts ? shop->shifts[0].id : "not made yet");
    *shift = found;
    return SG_OK;
}

static void render_plan(const struct sg_args *args, const struct sg_shop *shop, const struct sg_plan *plan,
                        struct sg_text *out)
{
    const struct sg_sheet_how how = {.units = SG_UNITS_METRIC};
    if (sg_option(args, "json"))
        sg_plan_json(out, shop, plan);
    else if (sg_option(args, "csv"))
        sg_sheet_csv(out, shop, plan, plan->first_job, plan->n_jobs, &how);
    else
        sg_plan_text(out, shop, plan);
}

static enum sg_status plan_one(struct sg_shown *shown, struct sg_text *out, struct sg_error *error)
{
    const struct sg_args *args = shown->args;
    const struct sg_plan *plan;
    int32_t shift = SG_UNKNOWN;
    enum sg_status status = sg_shown_shift(shown, args->n_words ? args->words[0] : NULL, &shift, error);
    if (status == SG_OK)
        status = sg_shown_plan(shown, shift, &plan, error);
    if (status != SG_OK)
        return status;
    sg_shown_say(shown, shift, out);
    render_plan(args, shown->shop, plan, out);
    return SG_OK;
}

/* ---- every open shift ---- */

/* The order in which the plan takes them. */
static bool starts_before(const struct sg_shop *shop, int32_t a, int32_t b)
{
    double x = shop->shifts[a].calendar.epoch, y = shop->shifts[b].calendar.epoch;
    return x < y || (x == y && a < b);
}

/* The open shift that starts next after `last` (SG_UNKNOWN: the first of all); SG_UNKNOWN behind the last. */
static int32_t next_open(const struct sg_shop *shop, int32_t last)
{
    int32_t next = SG_UNKNOWN;
    for (int32_t i = 0; i < shop->n_shifts; i++) {
        if (shop->shifts[i].closed || (last != SG_UNKNOWN && !starts_before(shop, last, i)))
            continue;
        if (next == SG_UNKNOWN || starts_before(shop, i, next))
            next = i;
    }
    return next;
}

/* One plan of several. CSV's header stands once. */
static void add_plan(const struct sg_args *args, const struct sg_shop *shop, const struct sg_plan *plan,
                     bool first, struct sg_json *json, struct sg_text *out)
{
    struct sg_text one = {0};
    if (sg_option(args, "json")) {
        sg_json_object(json, NULL);
        sg_plan_members(json, shop, plan);
        sg_json_end_object(json);
        return;
    }
    render_plan(args, shop, plan, &one);
    const char *text = one.data ? one.data : "";
    bool csv = sg_option(args, "csv") != NULL;
    out->failed = out->failed || one.failed;
    sg_text_put(out, first || csv ? "" : "\n\n");
    sg_text_put(out, csv && !first ? text + strcspn(text, "\n") + 1 : text);
    sg_text_free(&one);
}

/* Only of one shift is it worth a line that it is at work. */
static int32_t shift_at_work(const struct sg_shown *shown, int32_t first)
{
    int32_t last = shown->now ? SG_UNKNOWN : sg_actual_shift_at(shown->shop, sg_log_end(shown->shop));
    return last == SG_UNKNOWN ? first : last;
}

static enum sg_status plan_all(struct sg_shown *shown, struct sg_text *out, struct sg_error *error)
{
    const struct sg_args *args = shown->args;
    const struct sg_shop *shop = shown->shop;
    int32_t first = next_open(shop, SG_UNKNOWN);
    struct sg_json json;
    if (args->n_words > 0)
        return sg_fail(error, SG_USAGE, "plan takes a SHIFT or --all, not both");
    if (first == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "no shift is open: `set shift:ID closed=no` opens one");
    if (sg_option(args, "json")) {
        sg_json_start(&json, out);
        sg_json_array(&json, "shifts");
    }
    sg_shown_say(shown, shift_at_work(shown, first), out);
    for (int32_t shift = first; shift != SG_UNKNOWN; shift = next_open(shop, shift)) {
        const struct sg_plan *plan;
        enum sg_status status = sg_shown_plan(shown, shift, &plan, error);
        if (status != SG_OK)
            return status;
        add_plan(args, shop, plan, shift == first, &json, out);
    }
    if (sg_option(args, "json")) {
        sg_json_end_array(&json);
        sg_json_finish(&json);
    }
    return SG_OK;
}

int sg_run_plan(const struct sg_args *args)
{
    struct sg_shown shown = {.args = args};
    struct sg_error error;
    struct sg_text out = {0};
    enum sg_status status = sg_shown_open(&shown, &error);
    if (status == SG_OK)
        status = sg_option(args, "all") ? plan_all(&shown, &out, &error) : plan_one(&shown, &out, &error);
    if (status != SG_OK)
        sg_text_free(&out);
    int code = status == SG_OK ? sg_cli_put_chosen(args, &out, SG_OK) : sg_cli_fail(&error);
    sg_shown_close(&shown);
    return code;
}

/* ---- sheet ---- */

static void render_sheet(const struct sg_args *args, const struct sg_shop *shop, const struct sg_plan *plan,
                         int32_t job, const struct sg_sheet_how *how, struct sg_text *out)
{
    if (sg_option(args, "json"))
        sg_sheet_json(out, shop, plan, job);
    else if (sg_option(args, "csv") || how->for_spreadsheet)
        sg_sheet_csv(out, shop, plan, job, 1, how);
    else
        sg_sheet_text(out, shop, plan, job, SG_SHEET_WIDTH);
}

static int put_sheet(const struct sg_args *args, struct sg_text *out)
{
    struct sg_error error;
    const char *path = sg_option(args, "out");
    if (!path)
        return sg_cli_put_chosen(args, out, SG_OK);
    enum sg_status status = SG_OK;
    if (out->failed)
        status = sg_fail(&error, SG_FAULT, "no memory for the job sheet");
    else
        status = sg_file_write(path, out->data, out->length, true, &error);
    sg_text_free(out);
    return status == SG_OK ? sg_cli_say(SG_OK, "wrote %s", path) : sg_cli_fail(&error);
}

int sg_run_sheet(const struct sg_args *args)
{
    struct sg_desk *desk;
    struct sg_error error;
    struct sg_target target;
    const struct sg_plan *plan;
    struct sg_sheet_how how = {.units = SG_UNITS_METRIC,
                               .for_spreadsheet = sg_option(args, "for-spreadsheet") != NULL};
    if (sg_cli_units(args, &how.units, &error) != SG_OK ||
        sg_cli_open(args, SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    const struct sg_shop *shop = sg_desk_shop(desk);
    enum sg_status status = sg_key_find(shop, args->words[0], &target, &error);
    if (status == SG_OK && target.kind != SG_KIND_JOB)
        status = sg_fail(&error, SG_BAD_DATA, "a job sheet is of a JOB; %.60s is a %s", args->words[0],
                         sg_kind_word(target.kind));
    if (status == SG_OK)
        status = sg_desk_plan(desk, shop->jobs[target.index].shift, &plan, &error);
    int code;
    if (status != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        struct sg_text out = {0};
        render_sheet(args, shop, plan, target.index, &how, &out);
        code = put_sheet(args, &out);
    }
    sg_desk_close(desk);
    return code;
}
