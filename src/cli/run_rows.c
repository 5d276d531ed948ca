/* Whole rows, and steps taken back. */
#include "cli/cli.h"

#include <stdio.h>
#include <string.h>

/* What was done, and what it does to the shift. */
static int put_done(struct sg_desk *desk, const char *done, int32_t shift)
{
    struct sg_text out = {0};
    struct sg_error error;
    const struct sg_plan *plan;
    sg_text_format(&out, "%s\n", done);
    if (sg_desk_plan(desk, shift, &plan, &error) == SG_OK)
        sg_answers_text(&out, sg_desk_shop(desk), plan);
    return sg_cli_put(&out, SG_OK);
}

int sg_run_remove(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_desk *desk;
    struct sg_target target;
    char key[1200], done[1300];
    int code;
    if (sg_cli_open(args, SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    int32_t shift = SG_UNKNOWN;
    snprintf(key, sizeof key, "%.400s", args->words[0]);
    if (sg_key_find(sg_desk_shop(desk), args->words[0], &target, &error) == SG_OK) {
        sg_key_write(sg_desk_shop(desk), target, key, sizeof key); /* a material may be named by less */
        shift = target.kind == SG_KIND_SHIFT ? SG_UNKNOWN : sg_shift_of(sg_desk_shop(desk), target);
    }
    if (sg_desk_remove(desk, args->words[0], &error) == SG_OK) {
        snprintf(done, sizeof done, "%s removed; `sandglass undo` brings it back", key);
        code = put_done(desk, done, shift == SG_UNKNOWN ? sg_plan_default_shift(sg_desk_shop(desk)) : shift);
    } else {
        code = sg_cli_fail(&error);
    }
    sg_desk_close(desk);
    return code;
}

static int copy_or_move(const struct sg_args *args, const char *word,
                        enum sg_status (*run)(struct sg_desk *, const char *, const char *,
                                              struct sg_target *, struct sg_error *))
{
    struct sg_error error;
    struct sg_desk *desk;
    struct sg_target target;
    char key[1200], done[1800];
    int code;
    if (sg_cli_open(args, SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    if (run(desk, args->words[0], args->words[1], &target, &error) == SG_OK) {
        sg_key_write(sg_desk_shop(desk), target, key, sizeof key);
        snprintf(done, sizeof done, "%.400s %s: %s", args->words[0], word, key);
        code = put_done(desk, done, sg_shift_of(sg_desk_shop(desk), target));
    } else {
        code = sg_cli_fail(&error);
    }
    sg_desk_close(desk);
    return code;
}

int sg_run_copy(const struct sg_args *args)
{
    return copy_or_move(args, "copied", sg_desk_copy);
}

int sg_run_move(const struct sg_args *args)
{
    return copy_or_move(args, "moved", sg_desk_move);
}
