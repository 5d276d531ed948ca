/* Where a number comes from. */
#include "cli/cli.h"

/* Who set the field that a line is read from, as far as the file's history goes back. */
static enum sg_status ask_history(struct sg_desk *desk, struct sg_arena *arena,
                                  const struct sg_why_line *line, struct sg_told *told,
                                  struct sg_error *error)
{
    const int64_t *row = sg_target_record(sg_desk_shop(desk), line->from); /* each record starts with it */
    struct sg_step_told *step = sg_arena_take(arena, sizeof *step);
    if (!step)
        return sg_fail(error, SG_FAULT, "no memory for the history of a field");
    enum sg_status status =
        sg_store_last_set(sg_desk_store(desk), line->from.kind, *row, line->field, step, error);
    if (status == SG_OK)
        *told = (struct sg_told){.known = true, .by = step->who, .words = step->words, .at = step->at};
    return status == SG_NO ? SG_OK : status; /* set before there was a history */
}

static enum sg_status ask_all(struct sg_desk *desk, struct sg_arena *arena, const struct sg_why *why,
                              struct sg_told **out, struct sg_error *error)
{
    struct sg_told *told = sg_arena_take(arena, (size_t)why->n_lines * sizeof *told);
    if (!told)
        return sg_fail(error, SG_FAULT, "no memory for the history of %d fields", why->n_lines);
    enum sg_status status = SG_OK;
    for (int i = 0; i < why->n_lines && status == SG_OK; i++)
        if (why->lines[i].field)
            status = ask_history(desk, arena, &why->lines[i], &told[i], error);
    *out = told;
    return status;
}

static enum sg_status explain(const struct sg_args *args, struct sg_desk *desk, struct sg_arena *arena,
                              struct sg_text *out, struct sg_error *error)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    struct sg_target target;
    struct sg_why why;
    struct sg_told *told = NULL;
    char key[400];
    enum sg_status status = sg_key_find(shop, args->words[0], &target, error);
    if (status == SG_OK)
        status = sg_why(shop, target, args->words[1], arena, &why, error);
    if (status == SG_OK)
        status = ask_all(desk, arena, &why, &told, error);
    if (status != SG_OK)
        return status;
    sg_key_write(shop, target, key, sizeof key);
    if (sg_option(args, "json"))
        sg_why_json(out, shop, key, args->words[1], &why, told);
    else
        sg_why_text(out, shop, key, &why, told);
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
