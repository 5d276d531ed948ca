/* What a change would do, without making it. */
#include "cli/cli.h"
#include "edit/draft.h"

#include <stdlib.h>
#include <string.h>

/* The kept plan with its end after the start of the shift as tried: a shift that starts an hour later ends an
 * hour later where nothing else changes. */
static struct sg_plan as_tried(const struct sg_shop *kept, const struct sg_shop *shop,
                               const struct sg_plan *before)
{
    struct sg_plan moved = *before;
    moved.ends += kept->shifts[before->shift].calendar.epoch - shop->shifts[before->shift].calendar.epoch;
    return moved;
}

static int put_trial(const struct sg_args *args, const struct sg_shop *kept, const struct sg_shop *shop,
                     const char *key, const struct sg_change *changes, int n, const struct sg_plan *before,
                     const struct sg_plan *after)
{
    struct sg_text out = {0};
    const struct sg_plan moved = as_tried(kept, shop, before);
    for (int i = 0; i < n; i++)
        if (changes[i].say[0])
            sg_cli_say(SG_OK, "%s %s: %s", key, changes[i].field->name, changes[i].say);
    if (sg_option(args, "json")) {
        struct sg_json json;
        sg_json_start(&json, &out);
        sg_json_text(&json, "target", key);
        sg_changes_json(&json, changes, n);
        sg_compare_json(&json, &moved, after);
        sg_answers_json(&json, shop, after);
        sg_json_finish(&json);
        return sg_cli_put(&out, SG_OK);
    }
    for (int i = 0; i < n; i++)
        sg_text_format(&out, "%s %s: %s -> %s\n", key, changes[i].field->name, changes[i].before,
                       changes[i].after);
    sg_text_put(&out, "before  ");
    sg_answers_text(&out, kept, before);
    sg_text_put(&out, "tried   ");
    sg_answers_text(&out, shop, after);
    sg_text_put(&out, "\n");
    sg_compare_text(&out, shop, &moved, after);
    sg_text_put(&out, "\nNothing is written; `sandglass set` with the same words keeps it.\n");
    return sg_cli_put(&out, SG_OK);
}

static int try_set(const struct sg_args *args, struct sg_desk *desk, struct sg_draft *draft,
                   struct sg_change *changes, int n)
{
    struct sg_error error;
    struct sg_target target, kept;
    const struct sg_plan *before, *after;
    char key[1200]; /* 260 characters of a job and a part, of up to four bytes, and a number */
    enum sg_status status = sg_key_find(sg_desk_shop(desk), args->words[1], &kept, &error);
    if (status == SG_OK)
        status = sg_draft_set(draft, args->words[1], args->words + 2, n, changes, &target, &error);
    if (status != SG_OK)
        return sg_cli_fail(&error);
    int32_t shift = sg_shift_of(sg_desk_shop(desk), kept);
    status = sg_desk_plan(desk, shift, &before, &error);
    if (status == SG_OK)
        status = sg_draft_plan(draft, shift, &after, &error);
    if (status != SG_OK)
        return sg_cli_fail(&error);
    sg_key_write(sg_draft_shop(draft), target, key, sizeof key);
    return put_trial(args, sg_desk_shop(desk), sg_draft_shop(draft), key, changes, n, before, after);
}

int sg_run_try(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_desk *desk;
    struct sg_draft *draft;
    int n = args->n_words - 2, code;
    if (strcmp(args->words[0], "set") != 0)
        return sg_cli_say(SG_USAGE, "usage: sandglass try set TARGET FIELD=VALUE ...");
    struct sg_change *changes = calloc((size_t)n, sizeof *changes);
    if (!changes)
        return sg_cli_say(SG_FAULT, "no memory for %d changes", n);
    if (sg_cli_open(args, SG_STORE_READ, &desk, &error) != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        if (sg_draft_new(desk, &draft, &error) == SG_OK) {
            code = try_set(args, desk, draft, changes, n);
            sg_draft_free(draft);
        } else {
            code = sg_cli_fail(&error);
        }
        sg_desk_close(desk);
    }
    free(changes);
    return code;
}
