/* What was changed, by whom and when, and taking it back. */
#include "cli/recording.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const kinds[] = {
    [SG_STEP_CHANGE] = "change", [SG_STEP_UNDO] = "undo", [SG_STEP_REDO] = "redo"};

struct listing {
    struct sg_json *json; /* or */
    struct sg_table *table;
    int rows;
};

static void put_step(void *context, const struct sg_step_told *step)
{
    struct listing *listing = context;
    char at[64];
    listing->rows++;
    if (listing->json) {
        sg_iso_format(step->at, at, sizeof at);
        sg_json_object(listing->json, NULL);
        sg_json_whole(listing->json, "step", step->id);
        sg_json_text(listing->json, "at", at);
        sg_json_text(listing->json, "who", step->who);
        sg_json_text(listing->json, "kind", kinds[step->kind]);
        sg_json_text(listing->json, "words", step->words);
        sg_json_yes(listing->json, "undone", step->undone);
        sg_json_end_object(listing->json);
        return;
    }
    char number[24], day[40], time_of_day[16];
    snprintf(number, sizeof number, "%lld", (long long)step->id);
    sg_day_format(step->at, day, sizeof day);
    sg_clock_format(step->at, time_of_day, sizeof time_of_day);
    snprintf(at, sizeof at, "%.40s %s", day, time_of_day);
    sg_table_row(listing->table,
                 (const char *[]){number, at, step->who, step->undone ? "undone" : "", step->words});
}

static enum sg_status read_limit(const struct sg_args *args, int *limit, struct sg_error *error)
{
    const char *text = sg_option(args, "limit");
    char *end;
    *limit = 20;
    if (!text)
        return SG_OK;
    long value = strtol(text, &end, 10);
    if (*text == '\0' || *end != '\0' || value < 0 || value > 1000000)
        return sg_fail(error, SG_USAGE, "--limit is a whole number, 0 for all, not \"%.40s\"", text);
    *limit = (int)value;
    return SG_OK;
}

int sg_run_history(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_desk *desk;
    struct sg_text out = {0};
    struct sg_json json;
    struct sg_table table;
    bool as_json = sg_option(args, "json") != NULL;
    struct listing listing = {.json = as_json ? &json : NULL, .table = &table};
    int limit;
    if (read_limit(args, &limit, &error) != SG_OK || sg_cli_open(args, SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    if (as_json) {
        sg_json_start(&json, &out);
        sg_json_array(&json, "steps");
    } else {
        sg_table_start(&table, (const char *[]){">Step", "When", "Who", "", "What"}, 5);
    }
    enum sg_status status = sg_store_history(sg_desk_store(desk), limit, put_step, &listing, &error);
    if (as_json) {
        sg_json_end_array(&json);
        sg_json_finish(&json);
    } else {
        sg_table_put(&table, 0, &out);
        if (listing.rows == 0)
            sg_text_put(&out, "nothing was changed yet\n");
    }
    sg_desk_close(desk);
    if (status == SG_OK)
        return sg_cli_put(&out, SG_OK);
    sg_text_free(&out);
    return sg_cli_fail(&error);
}

/* The answers of the plan as it was made. */
static void put_plan(struct sg_desk *desk, struct sg_text *out, struct sg_json *json)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_plan *plan;
    struct sg_error error;
    if (sg_desk_plan(desk, sg_plan_default_shift(shop), &plan, &error) != SG_OK)
        return;
    if (json)
        sg_answers_json(json, shop, plan);
    else
        sg_answers_text(out, shop, plan);
}

/* What was taken, and what follows from it: of an act of the log what is left, since no act moves the plan.
 */
static int put_taken(struct recording *r, const char *word, const struct sg_step_told *told, bool log,
                     const struct sg_text *before)
{
    struct sg_text out = {0};
    struct sg_json json;
    bool as_json = sg_option(r->args, "json") != NULL;
    if (as_json) {
        sg_json_start(&json, &out);
        sg_json_text(&json, word, told->words);
        sg_json_whole(&json, "step", told->id);
    } else {
        sg_text_format(&out, "%s: ", word);
        sg_text_shown(&out, told->words, SG_WORDS_SIZE);
        sg_text_put(&out, "\n");
    }
    enum sg_status status = SG_OK;
    if (log)
        status = sg_record_rest(r, before, &out, as_json ? &json : NULL);
    else
        put_plan(r->desk, &out, as_json ? &json : NULL);
    if (as_json)
        sg_json_finish(&json);
    if (status == SG_OK)
        return sg_cli_put(&out, SG_OK);
    sg_text_free(&out);
    return sg_cli_fail(&r->error);
}

static int take(const struct sg_args *args, const char *word,
                enum sg_status (*step)(struct sg_desk *, struct sg_step_told *, struct sg_error *))
{
    struct recording r;
    struct sg_error error;
    struct sg_desk *desk;
    struct sg_step_told told;
    struct sg_text before = {0};
    if (sg_cli_open(args, SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    uint64_t mark = sg_log_mark(sg_desk_shop(desk));
    sg_recording_of(&r, args, desk);
    sg_remarks_before(&r, &before);
    enum sg_status status = step(desk, &told, &error);
    int code = status == SG_OK ? put_taken(&r, word, &told, sg_log_mark(sg_desk_shop(desk)) != mark, &before)
                               : sg_cli_fail(&error);
    sg_text_free(&before);
    sg_desk_close(desk);
    return code;
}

int sg_run_undo(const struct sg_args *args)
{
    return take(args, "undone", sg_desk_undo);
}

int sg_run_redo(const struct sg_args *args)
{
    return take(args, "redone", sg_desk_redo);
}
