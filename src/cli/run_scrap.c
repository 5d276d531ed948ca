/* A sheet or pieces that were spoilt. */
#include "cli/cli.h"

#include <stdlib.h>

static int scrap(const struct sg_args *args, struct sg_desk *desk, int64_t number)
{
    const struct sg_plan *plan;
    struct sg_target target;
    struct sg_error error;
    struct sg_text out = {0};
    const struct sg_shop *shop = sg_desk_shop(desk);
    enum sg_status status = sg_key_find(shop, args->words[0], &target, &error);
    int32_t shift = status == SG_OK ? sg_shift_of(shop, target) : 0;
    bool json = sg_option(args, "json") != NULL;
    if (status == SG_OK && !json && sg_desk_plan(desk, shift, &plan, &error) == SG_OK) {
        sg_text_put(&out, "before  ");
        sg_answers_text(&out, shop, plan);
    }
    if (status == SG_OK)
        status = sg_desk_scrap(desk, target, number, &error);
    if (status == SG_OK)
        status = sg_desk_plan(desk, shift, &plan, &error);
    if (status != SG_OK) {
        sg_text_free(&out);
        return sg_cli_fail(&error);
    }
    if (json) {
        struct sg_json writer;
        sg_json_start(&writer, &out);
        sg_answers_json(&writer, sg_desk_shop(desk), plan);
        sg_json_finish(&writer);
    } else {
        sg_text_put(&out, "after   ");
        sg_answers_text(&out, sg_desk_shop(desk), plan);
    }
    return sg_cli_put(&out, SG_OK);
}

int sg_run_scrap(const struct sg_args *args)
{
    struct sg_desk *desk;
    struct sg_error error;
    char *end;
    long long number = strtoll(args->words[1], &end, 10);
    if (end == args->words[1] || *end != '\0')
        return sg_cli_say(SG_USAGE, "\"%.40s\" is no whole number: which sheet, or how many pieces",
                          args->words[1]);
    if (sg_cli_open(args, SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    int code = scrap(args, desk, number);
    sg_desk_close(desk);
    return code;
}
