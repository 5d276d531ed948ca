/* Making shop files. */
#include "cli/cli.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int sg_run_new(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_store_new how = {.units = SG_UNITS_US, .date = sg_cli_today()};
    if (sg_cli_units(args, &how.units, &error) != SG_OK ||
        sg_store_create(args->words[0], &how, &error) != SG_OK)
        return sg_cli_fail(&error);
    return sg_cli_say(SG_OK, "made %s with the starter library, one machine, two heads, shift A and no jobs",
                      args->words[0]);
}

static int show_example(const struct sg_args *args, const char *path)
{
    struct sg_desk *desk;
    struct sg_error error;
    const struct sg_plan *plan;
    if (sg_desk_open(path, SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    struct sg_text out = {0};
    int code;
    if (sg_desk_plan(desk, sg_plan_default_shift(sg_desk_shop(desk)), &plan, &error) != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        if (sg_option(args, "json"))
            sg_plan_json(&out, sg_desk_shop(desk), plan);
        else
            sg_plan_text(&out, sg_desk_shop(desk), plan);
        code = sg_cli_put(&out, SG_OK);
    }
    sg_desk_close(desk);
    return code;
}

/* A folder of our own, so that the shop file in it appears under a name that nobody else has. */
static enum sg_status temporary_place(char *folder, size_t size, struct sg_error *error)
{
    const char *base = getenv("TMPDIR");
    if (snprintf(folder, size, "%s/sandglass-example-XXXXXX", base && *base ? base : "/tmp") >= (int)size ||
        !mkdtemp(folder))
        return sg_fail(error, SG_NO_WRITE,
                       "no temporary folder could be made in %s; set TMPDIR or name a FILE",
                       base && *base ? base : "/tmp");
    return SG_OK;
}

int sg_run_example(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_store_new how = {.units = SG_UNITS_US, .date = sg_cli_today(), .example = true};
    char folder[3000], path[3100];
    bool temporary = args->n_words == 0;
    if (temporary && temporary_place(folder, sizeof folder, &error) != SG_OK)
        return sg_cli_fail(&error);
    snprintf(path, sizeof path, "%s%s", temporary ? folder : args->words[0], temporary ? "/shop.db" : "");
    int code = sg_store_create(path, &how, &error) == SG_OK ? show_example(args, path) : sg_cli_fail(&error);
    if (temporary) {
        unlink(path);
        rmdir(folder);
        if (code == SG_OK)
            sg_cli_say(SG_OK, "this was the invented example shop; `sandglass example FILE` keeps it, "
                              "`sandglass new FILE` starts your own");
    }
    return code;
}
