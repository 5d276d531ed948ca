/* Where a number comes from. */
#include "cli/cli.h"

static enum sg_status explain(const struct sg_args *args, struct sg_desk *desk, struct sg_arena *arena,
                              struct sg_text *out, struct sg_error *error)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    struct sg_target target;
    struct sg_why why;
    char key[400];
    enum sg_status status = sg_key_find(shop, args->words[0], &target, error);
    if (status == SG_OK)
        status = sg_why(shop, target, args->words[1], arena, &why, error);
    if (status != SG_OK)
        return status;
    sg_key_write(shop, target, key, sizeof key);
    if (sg_option(args, "json"))
        sg_why_json(out, shop, key, args->words[1], &why, NULL);
    else
        sg_why_text(out, shop, key, &why, NULL);
    return SG_OK;
}

int sg_run_why(const struct sg_args *args)
{
    struct sg_desk *desk;
    struct sg_error error;
    struct sg_text out = {0};
    struct sg_arena arena = {0};
    if (sg_cli_open(args, SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    enum sg_status status = explain(args, desk, &arena, &out, &error);
    int code = status == SG_OK ? sg_cli_put(&out, SG_OK) : sg_cli_fail(&error);
    sg_arena_free(&arena);
    sg_desk_close(desk);
    return code;
}
