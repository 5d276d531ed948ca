/* Named copies of the plan. */
#include "cli/cli.h"
#include "edit/what_if.h"
#include "sandglass/compare.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_SIZE = 60 * 4 + 1 }; /* 60 characters, as the file takes them */

struct listing {
    struct sg_desk *desk;
    struct sg_draft *draft;
    struct sg_what_if_edits edits;
    struct sg_json *json;
    struct sg_table table;
    int rows, room;
    char (*names)[NAME_SIZE]; /* read first: showing one asks the store again */
    bool no_memory;
};

static void note_name(void *context, const struct sg_what_if *what_if)
{
    struct listing *l = context;
    if (l->rows == l->room) {
        int room = 2 * l->room + 16;
        void *more = realloc(l->names, (size_t)room * sizeof *l->names);
        l->no_memory = l->no_memory || !more;
        if (!more)
            return;
        l->names = more;
        l->room = room;
    }
    snprintf(l->names[l->rows++], sizeof *l->names, "%s", what_if->name);
}

/* The shift that its first change moves. */
static int32_t shift_of(const struct sg_shop *shop, const struct sg_what_if_edits *edits)
{
    struct sg_target target;
    if (edits->n > 0 && sg_key_find(shop, edits->edits[0].key, &target, NULL) == SG_OK)
        return sg_shift_of(shop, target);
    return sg_plan_default_shift(shop);
}

/* Both plans of a what-if's shift. */
static enum sg_status compare(struct listing *l, const struct sg_plan **before, const struct sg_plan **after,
                              struct sg_error *error)
{
    int32_t shift = shift_of(sg_desk_shop(l->desk), &l->edits);
    enum sg_status status = sg_what_if_show(l->draft, &l->edits, error);
    if (status == SG_OK)
        status = sg_desk_plan(l->desk, shift, before, error);
    return status == SG_OK ? sg_draft_plan(l->draft, shift, after, error) : status;
}

static void list_one(struct listing *l, const char *name)
{
    const struct sg_plan *before, *after;
    struct sg_error error;
    char count[16], saving[40] = "-";
    bool good = sg_what_if_read(l->desk, name, &l->edits, &error) == SG_OK &&
                compare(l, &before, &after, &error) == SG_OK;
    double saved = good ? sg_compare_saving(before, after) : (double)NAN;
    if (isfinite(saved)) {
        saving[0] = saved < 0 ? '+' : '-';
        sg_duration_format(fabs(saved), saving + 1, sizeof saving - 1);
    }
    snprintf(count, sizeof count, "%d", l->edits.n);
    if (l->json) {
        sg_json_object(l->json, NULL);
        sg_json_text(l->json, "name", name);
        sg_json_whole(l->json, "changes", l->edits.n);
        sg_json_number(l->json, "saving_s", saved);
        sg_json_text(l->json, "problem", good ? NULL : error.text);
        sg_json_end_object(l->json);
    } else {
        sg_table_row(&l->table, (const char *[]){name, count, saving, good ? "" : error.text});
    }
}

static int list_all(const struct sg_args *args, struct listing *l)
{
    struct sg_error error;
    struct sg_text out = {0};
    struct sg_json json;
    if (sg_store_what_ifs(sg_desk_store(l->desk), note_name, l, &error) != SG_OK)
        return sg_cli_fail(&error);
    if (l->no_memory)
        return sg_cli_say(SG_FAULT, "no memory to list what-ifs");
    l->json = sg_option(args, "json") ? &json : NULL;
    if (l->json) {
        sg_json_start(&json, &out);
        sg_json_array(&json, "what_ifs");
    } else {
        sg_table_start(&l->table, (const char *[]){"What-if", ">Changes", ">End", ""}, 4);
    }
    for (int i = 0; i < l->rows; i++)
        list_one(l, l->names[i]);
    if (l->json) {
        sg_json_end_array(&json);
        sg_json_finish(&json);
    } else {
        sg_table_put(&l->table, 0, &out);
        if (l->rows == 0)
            sg_text_put(&out, "none yet: `sandglass what-if NAME set TARGET FIELD=VALUE` makes one\n");
    }
    return sg_cli_put(&out, SG_OK);
}

static int show(const struct sg_args *args, struct listing *l)
{
    struct sg_error error;
    struct sg_text out = {0};
    const struct sg_plan *before, *after;
    if (compare(l, &before, &after, &error) != SG_OK)
        return sg_cli_fail(&error);
    if (sg_option(args, "json")) {
        struct sg_json json;
        sg_json_start(&json, &out);
        sg_json_text(&json, "what_if", args->words[0]);
        sg_compare_json(&json, before, after);
        sg_answers_json(&json, sg_draft_shop(l->draft), after);
        sg_json_finish(&json);
        return sg_cli_put(&out, SG_OK);
    }
    for (int i = 0; i < l->edits.n; i++)
        sg_text_format(&out, "%s %s\n", l->edits.edits[i].key, l->edits.edits[i].assignment);
    sg_text_put(&out, "in plan  ");
    sg_answers_text(&out, sg_desk_shop(l->desk), before);
    sg_text_put(&out, "what if  ");
    sg_answers_text(&out, sg_draft_shop(l->draft), after);
    sg_text_put(&out, "\n");
    sg_compare_text(&out, sg_draft_shop(l->draft), before, after);
    return sg_cli_put(&out, SG_OK);
}

static int keep(const struct sg_args *args, struct listing *l)
{
    struct sg_error error;
    const struct sg_plan *plan;
    struct sg_text out = {0};
    int32_t shift = shift_of(sg_desk_shop(l->desk), &l->edits);
    if (sg_what_if_keep(l->desk, args->words[0], &l->edits, &error) != SG_OK ||
        sg_desk_plan(l->desk, shift, &plan, &error) != SG_OK)
        return sg_cli_fail(&error);
    if (sg_option(args, "json")) {
        struct sg_json json;
        sg_json_start(&json, &out);
        sg_json_text(&json, "kept", args->words[0]);
        sg_answers_json(&json, sg_desk_shop(l->desk), plan);
        sg_json_finish(&json);
        return sg_cli_put(&out, SG_OK);
    }
    sg_text_format(&out, "%s is in the plan now; one `sandglass undo` takes it out\n", args->words[0]);
    sg_answers_text(&out, sg_desk_shop(l->desk), plan);
    return sg_cli_put(&out, SG_OK);
}

static int drop(const struct sg_args *args, struct listing *l)
{
    struct sg_error error;
    struct sg_text out = {0};
    if (sg_store_what_if_drop(sg_desk_store(l->desk), args->words[0], &error) != SG_OK)
        return sg_cli_fail(&error);
    if (sg_option(args, "json")) {
        struct sg_json json;
        sg_json_start(&json, &out);
        sg_json_text(&json, "dropped", args->words[0]);
        sg_json_finish(&json);
    } else {
        sg_text_format(&out, "dropped what-if %s; the plan is as it was\n", args->words[0]);
    }
    return sg_cli_put(&out, SG_OK);
}

static int usage(void)
{
    return sg_cli_say(SG_USAGE, "usage: sandglass what-if [NAME [set TARGET FIELD=VALUE ... | keep | drop]]");
}

static int run_named(const struct sg_args *args, struct listing *l)
{
    const char *name = args->words[0], *verb = args->n_words > 1 ? args->words[1] : "";
    struct sg_error error;
    if (strcmp(verb, "set") == 0 && args->n_words >= 4) {
        if (sg_what_if_add(l->desk, l->draft, name, args->words[2], args->words + 3, args->n_words - 3,
                           &error) != SG_OK)
            return sg_cli_fail(&error);
        verb = "";
    } else if (args->n_words > 2 || strcmp(verb, "set") == 0) {
        return usage();
    }
    if (sg_what_if_read(l->desk, name, &l->edits, &error) != SG_OK)
        return sg_cli_fail(&error);
    if (!l->edits.found)
        return sg_cli_say(SG_BAD_DATA, "there is no what-if \"%.60s\"; `sandglass what-if` lists them", name);
    if (*verb == '\0')
        return show(args, l);
    if (strcmp(verb, "keep") == 0)
        return keep(args, l);
    return strcmp(verb, "drop") == 0 ? drop(args, l) : usage();
}

int sg_run_what_if(const struct sg_args *args)
{
    struct sg_error error;
    struct listing *l = calloc(1, sizeof *l);
    int code;
    if (!l)
        return sg_cli_say(SG_FAULT, "no memory for a what-if");
    enum sg_status status =
        sg_cli_open(args, args->n_words > 1 ? SG_STORE_WRITE : SG_STORE_READ, &l->desk, &error);
    if (status == SG_OK)
        status = sg_draft_new(l->desk, &l->draft, &error);
    if (status != SG_OK)
        code = sg_cli_fail(&error);
    else
        code = args->n_words == 0 ? list_all(args, l) : run_named(args, l);
    sg_draft_free(l->draft);
    sg_desk_close(l->desk);
    free(l->names);
    free(l);
    return code;
}
