/* What needs a person, and the hopper. */
#include "cli/cli.h"

typedef void render(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan);

/* The plan of the shift that is named, in the shape that is asked for. */
static int show(const struct sg_args *args, render *text, render *csv, render *json)
{
    struct sg_desk *desk;
    struct sg_error error;
    const struct sg_plan *plan;
    int32_t shift;
    int code;
    if (sg_cli_open(args, SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    const struct sg_shop *shop = sg_desk_shop(desk);
    if (sg_cli_shift(shop, args->n_words ? args->words[0] : NULL, &shift, &error) != SG_OK ||
        sg_desk_plan(desk, shift, &plan, &error) != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        struct sg_text out = {0};
        render *chosen = sg_option(args, "json") ? json : sg_option(args, "csv") ? csv : text;
        chosen(&out, shop, plan);
        code = sg_cli_put_chosen(args, &out, SG_OK);
    }
    sg_desk_close(desk);
    return code;
}

int sg_run_events(const struct sg_args *args)
{
    return show(args, sg_events_text, sg_events_csv, sg_events_json);
}

int sg_run_levels(const struct sg_args *args)
{
    return show(args, sg_hopper_text, sg_hopper_csv, sg_hopper_json);
}
