/* The plan and the job sheet. */
#include "cli/cli.h"

#include <string.h>

static enum sg_status choose_shift(const struct sg_args *args, const struct sg_shop *shop, int32_t *shift,
                                   struct sg_error *error)
{
    if (args->n_words == 0) {
        *shift = sg_plan_default_shift(shop);
        return SG_OK;
    }
    const char *name = args->words[0];
    name += strncmp(name, "shift:", 6) == 0 ? 6 : 0;
    *shift = sg_find_shift(shop, name);
    if (*shift == SG_UNKNOWN)
        return sg_fail(error, SG_BAD_DATA, "no shift \"%.60s\"; the first is %s", name,
                       shop->n_shifts ? shop->shifts[0].id : "not made yet");
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

int sg_run_plan(const struct sg_args *args)
{
    struct sg_desk *desk;
    struct sg_error error;
    const struct sg_plan *plan;
    int32_t shift;
    int code;
    if (sg_cli_open(args, SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    if (choose_shift(args, sg_desk_shop(desk), &shift, &error) != SG_OK ||
        sg_desk_plan(desk, shift, &plan, &error) != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        struct sg_text out = {0};
        render_plan(args, sg_desk_shop(desk), plan, &out);
        code = sg_cli_put(&out, SG_OK);
    }
    sg_desk_close(desk);
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
        sg_sheet_text(out, shop, plan, job);
}

static int put_sheet(const struct sg_args *args, struct sg_text *out)
{
    struct sg_error error;
    const char *path = sg_option(args, "out");
    if (!path)
        return sg_cli_put(out, SG_OK);
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
