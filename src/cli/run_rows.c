/* Whole rows, and steps taken back. */
#include "cli/recording.h"

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

/* Of a row of the log: what is left without it. */
static int put_removed(struct recording *r, const char *done, const struct sg_text *before)
{
    struct sg_text out = {0};
    sg_text_format(&out, "%s\n", done);
    if (sg_record_rest(r, before, &out, NULL) == SG_OK)
        return sg_cli_put(&out, SG_OK);
    sg_text_free(&out);
    return sg_cli_fail(&r->error);
}

int sg_run_remove(const struct sg_args *args)
{
    struct recording r;
    struct sg_error error;
    struct sg_desk *desk;
    struct sg_target target;
    struct sg_text before = {0};
    char key[1200], done[1300];
    int code;
    bool log = false;
    if (sg_cli_open(args, SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    int32_t shift = SG_UNKNOWN;
    snprintf(key, sizeof key, "%.400s", args->words[0]);
    if (sg_key_find(sg_desk_shop(desk), args->words[0], &target, &error) == SG_OK) {
        sg_key_write(sg_desk_shop(desk), target, key, sizeof key); /* a material may be named by less */
        shift = target.kind == SG_KIND_SHIFT ? SG_UNKNOWN : sg_shift_of(sg_desk_shop(desk), target);
        log = target.kind == SG_KIND_CLOCK || target.kind == SG_KIND_RECORD;
    }
    sg_recording_of(&r, args, desk);
    if (log)
        sg_remarks_before(&r, &before);
    if (sg_desk_remove(desk, args->words[0], &error) == SG_OK) {
        snprintf(done, sizeof done, "%s removed; `sandglass undo` brings it back", key);
        shift = shift == SG_UNKNOWN ? sg_plan_default_shift(sg_desk_shop(desk)) : shift;
        code = log ? put_removed(&r, done, &before) : put_done(desk, done, shift);
    } else {
        code = sg_cli_fail(&error);
    }
    sg_text_free(&before);
    sg_desk_close(desk);
    return code;
}

/* Pieces of a job that are cut since it moved with what was left. */
static int64_t cut_of_job(const struct sg_shop *shop, int32_t job)
{
    struct sg_arena arena = {0};
    struct sg_actual actual;
    int64_t cut = 0;
    if (shop->n_records > 0 && sg_actual_make(shop, sg_log_end(shop), &arena, &actual))
        for (int32_t i = 0; i < shop->n_parts; i++)
            if (shop->stocks[shop->parts[i].stock].job == job)
                cut += actual.parts[i].left_good + actual.parts[i].left_scrapped;
    sg_arena_free(&arena);
    return cut;
}

/* A job that is cut in part moves as it was asked for: so that nobody cuts its pieces again. */
static void say_cut(const struct sg_shop *shop, struct sg_target job, const char *from)
{
    char key[400];
    int64_t cut = job.kind == SG_KIND_JOB ? cut_of_job(shop, job.index) : 0;
    if (cut <= 0)
        return;
    const char *to = shop->shifts[shop->jobs[job.index].shift].id;
    if (strcmp(from, to) == 0)
        return;
    sg_key_write(shop, job, key, sizeof key);
    sg_cli_say(
        SG_OK,
        "%s is planned anew with all that was asked for, and %lld piece%s of it %s cut: `sandglass undo`, "
        "then `sandglass record close %s --move %s` moves what is left alone",
        key, (long long)cut, cut == 1 ? "" : "s", cut == 1 ? "is" : "are", from, to);
}

static int copy_or_move(const struct sg_args *args, const char *word,
                        enum sg_status (*run)(struct sg_desk *, const char *, const char *,
                                              struct sg_target *, struct sg_error *))
{
    struct sg_error error;
    struct sg_desk *desk;
    struct sg_target target;
    char key[1200], done[1800], shift[400] = "";
    int code;
    if (sg_cli_open(args, SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    if (sg_key_find(sg_desk_shop(desk), args->words[0], &target, &error) == SG_OK &&
        target.kind == SG_KIND_JOB)
        snprintf(shift, sizeof shift, "%s",
                 sg_desk_shop(desk)->shifts[sg_shift_of(sg_desk_shop(desk), target)].id);
    if (run(desk, args->words[0], args->words[1], &target, &error) == SG_OK) {
        sg_key_write(sg_desk_shop(desk), target, key, sizeof key);
        snprintf(done, sizeof done, "%.400s %s: %s", args->words[0], word, key);
        if (run == sg_desk_move)
            say_cut(sg_desk_shop(desk), target, shift);
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
