/* Adding rows and setting fields. */
#include "cli/job_prices.h"
#include "cli/recording.h"

#include <stdlib.h>
#include <string.h>

/* ---- what is printed after a change ---- */

static void say_changes(const char *key, const struct sg_change *changes, int n)
{
    for (int i = 0; i < n; i++)
        if (changes[i].say[0])
            sg_cli_say(SG_OK, "%s %s: %s", key, changes[i].field->name, changes[i].say);
}

void sg_changes_json(struct sg_json *json, const struct sg_change *changes, int n)
{
    sg_json_array(json, "changes");
    for (int i = 0; i < n; i++) {
        sg_json_object(json, NULL);
        sg_json_text(json, "field", changes[i].field->name);
        sg_json_text(json, "before", changes[i].before);
        sg_json_text(json, "after", changes[i].after);
        sg_json_text(json, "note", changes[i].say[0] ? changes[i].say : NULL);
        sg_json_yes(json, "odd", changes[i].odd);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

/* What the plan said before a change. */
struct before {
    struct sg_text answers;      /* empty where it could not be made */
    uint64_t cautions;           /* a bit for each code about the row */
    struct sg_job_price *prices; /* NULL where none hangs on what is set */
    struct recording *log;       /* of a row of the log, else NULL: no plan hangs on it, what is left does */
    struct sg_text remarks;      /* of the log */
};

static void free_before(struct before *before)
{
    sg_text_free(&before->answers);
    sg_text_free(&before->remarks);
    free(before->prices);
}

_Static_assert(SG_CAUTIONS <= 64, "cautions have a bit each");

static uint64_t cautions_of(const struct sg_plan *plan, struct sg_target target)
{
    uint64_t codes = 0;
    for (int32_t i = 0; i < plan->n_cautions; i++)
        if (plan->cautions[i].kind == (int)target.kind && plan->cautions[i].index == target.index)
            codes |= UINT64_C(1) << plan->cautions[i].code;
    return codes;
}

/* Cautions about the row that were not there before the change. */
static void put_new_cautions(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                             struct sg_target target, uint64_t before)
{
    for (int32_t i = 0; i < plan->n_cautions; i++) {
        const struct sg_caution *caution = &plan->cautions[i];
        char text[600];
        if (caution->kind != (int)target.kind || caution->index != target.index ||
            before & UINT64_C(1) << caution->code)
            continue;
        sg_caution_text(caution, shop->units, text, sizeof text);
        sg_wrap(out, "caution", 8, 100, text);
    }
}

/* Rates change no time: what they change is said instead. */
static void put_prices(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                       const struct before *before)
{
    struct sg_job_price *after = before->prices ? sg_job_prices(shop, plan) : NULL;
    sg_job_prices_text(out, shop, plan, before->prices, after);
    free(after);
}

static void put_answers(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                        const struct before *before)
{
    if (before->answers.length)
        sg_text_format(out, "before  %s", before->answers.data);
    sg_text_put(out, before->answers.length ? "after   " : "");
    sg_answers_text(out, shop, plan);
}

/* The changes, and what follows from them: the three answers, before where that is known and after; of the
 * log what is left, once it is kept. */
static enum sg_status put_changed(const struct sg_args *args, struct sg_desk *desk, struct sg_target target,
                                  const struct sg_change *changes, int n, struct before *before,
                                  struct sg_text *out, struct sg_error *error)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_plan *plan;
    char key[400];
    sg_key_write(shop, target, key, sizeof key);
    for (int i = 0; i < n; i++)
        if (strcmp(changes[i].before, changes[i].after) == 0)
            sg_text_format(out, "%s %s: %s, as it was\n", key, changes[i].field->name, changes[i].after);
        else
            sg_text_format(out, "%s %s: %s -> %s\n", key, changes[i].field->name, changes[i].before,
                           changes[i].after);
    if (n == 0)
        sg_text_format(out, "%s\n", key);
    if (before->log)
        return sg_option(args, "dry-run") ? SG_OK : sg_record_rest(before->log, &before->remarks, out, NULL);
    enum sg_status status = sg_desk_plan(desk, sg_shift_of(shop, target), &plan, error);
    if (status != SG_OK)
        return status;
    if (target.kind != SG_KIND_RATES)
        put_answers(out, shop, plan, before);
    put_prices(out, shop, plan, before);
    put_new_cautions(out, shop, plan, target, before->cautions);
    return SG_OK;
}

static enum sg_status put_changed_json(const struct sg_args *args, struct sg_desk *desk,
                                       struct sg_target target, const struct sg_change *changes, int n,
                                       struct before *before, struct sg_text *out, struct sg_error *error)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_plan *plan;
    struct sg_json json;
    char key[400];
    enum sg_status status = SG_OK;
    bool dry = sg_option(args, "dry-run") != NULL;
    sg_key_write(shop, target, key, sizeof key);
    sg_json_start(&json, out);
    sg_json_text(&json, "target", key);
    sg_json_yes(&json, "kept", !dry);
    sg_changes_json(&json, changes, n);
    if (before->log && !dry)
        status = sg_record_rest(before->log, &before->remarks, out, &json);
    else
        status = sg_desk_plan(desk, sg_shift_of(shop, target), &plan, error);
    if (status == SG_OK && (!before->log || dry))
        sg_answers_json(&json, shop, plan);
    sg_json_finish(&json);
    return status;
}

static int put_changes(const struct sg_args *args, struct sg_desk *desk, struct sg_target target,
                       const struct sg_change *changes, int n, struct before *before)
{
    struct sg_error error;
    struct sg_text out = {0};
    char key[400];
    sg_key_write(sg_desk_shop(desk), target, key, sizeof key);
    say_changes(key, changes, n);
    enum sg_status status = (sg_option(args, "json") ? put_changed_json : put_changed)(
        args, desk, target, changes, n, before, &out, &error);
    if (status == SG_OK)
        return sg_cli_put(&out, SG_OK);
    sg_text_free(&out);
    return sg_cli_fail(before->log ? &before->log->error : &error);
}

/* ---- set ---- */

static bool is_of_log(struct sg_target target)
{
    return target.kind == SG_KIND_CLOCK || target.kind == SG_KIND_RECORD;
}

static bool is_about_prices(const struct sg_args *args, struct sg_target target)
{
    for (int i = 1; i < args->n_words; i++)
        if (target.kind == SG_KIND_STOCK && strncmp(args->words[i], "sheet_price=", 12) == 0)
            return true;
    return target.kind == SG_KIND_RATES;
}

static int list_fields(struct sg_desk *desk, struct sg_target target)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    struct sg_text out = {0};
    struct sg_table table;
    int count;
    const struct sg_field *fields = sg_fields(target.kind, &count);
    sg_table_start(&table, (const char *[]){"Field", "Now", "Unit", "Range", "Meaning"}, 5);
    for (int i = 0; i < count; i++) {
        char now[SG_CHANGE_TEXT], range[300];
        struct sg_value value;
        const struct sg_unit *unit = sg_field_unit(&fields[i], shop->units);
        sg_field_get(&fields[i], sg_target_record(shop, target), &value);
        sg_field_show(&fields[i], shop, &value, now, sizeof now);
        sg_field_range(&fields[i], shop, range, sizeof range);
        for (char *line = strchr(now, '\n'); line; line = strchr(line, '\n'))
            *line = line[1] ? ',' : '\0';
        sg_table_row(&table,
                     (const char *[]){fields[i].name, now, unit ? unit->name : "", range, fields[i].meaning});
    }
    sg_table_put(&table, 0, &out);
    return sg_cli_put(&out, SG_OK);
}

/* What was kept of the log is read anew, in order of its moments. */
static enum sg_status read_log(struct before *before, struct sg_desk **desk, const char *key,
                               struct sg_target *target, struct sg_error *error)
{
    sg_desk_close(*desk);
    *desk = NULL;
    enum sg_status status = sg_cli_open(before->log->args, SG_STORE_READ, desk, error);
    before->log->desk = *desk;
    return status == SG_OK ? sg_key_find(sg_desk_shop(*desk), key, target, error) : status;
}

static void look_before(const struct sg_args *args, struct sg_desk *desk, struct sg_target target,
                        struct before *before)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_plan *plan;
    struct sg_error error;
    if (before->log) {
        sg_recording_of(before->log, args, desk);
        sg_remarks_before(before->log, &before->remarks);
    } else if (sg_desk_plan(desk, sg_shift_of(shop, target), &plan, &error) == SG_OK) {
        sg_answers_text(&before->answers, shop, plan);
        before->cautions = cautions_of(plan, target);
        if (!sg_option(args, "json") && is_about_prices(args, target))
            before->prices = sg_job_prices(shop, plan);
    }
}

static int set_fields(const struct sg_args *args, struct sg_desk **desk, struct sg_target target)
{
    int n = args->n_words - 1;
    bool keep = !sg_option(args, "dry-run");
    struct sg_error error;
    struct recording log;
    struct before before = {.log = is_of_log(target) ? &log : NULL};
    struct sg_change *changes = calloc((size_t)n + 1, sizeof *changes);
    if (!changes)
        return sg_cli_say(SG_FAULT, "no memory for %d changes", n);
    look_before(args, *desk, target, &before);
    enum sg_status status =
        sg_desk_set(*desk, args->words[0], args->words + 1, n, keep, changes, &target, &error);
    if (status == SG_OK && before.log && keep)
        status = read_log(&before, desk, args->words[0], &target, &error);
    int code = status == SG_OK ? put_changes(args, *desk, target, changes, n, &before) : sg_cli_fail(&error);
    free_before(&before);
    free(changes);
    return code;
}

int sg_run_set(const struct sg_args *args)
{
    struct sg_desk *desk;
    struct sg_target target;
    struct sg_error error;
    bool list = sg_option(args, "list") != NULL, reads = list || sg_option(args, "dry-run") != NULL;
    if (sg_cli_open(args, reads ? SG_STORE_READ : SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    int code;
    if (sg_key_find(sg_desk_shop(desk), args->words[0], &target, &error) != SG_OK)
        code = sg_cli_fail(&error);
    else if (list)
        code = list_fields(desk, target);
    else if (args->n_words < 2)
        code = sg_cli_say(
            SG_USAGE, "nothing to set: FIELD=VALUE is expected; `sandglass set %s --list` names the fields",
            args->words[0]);
    else
        code = set_fields(args, &desk, target);
    sg_desk_close(desk);
    return code;
}

/* ---- add ---- */

/* Words in front of the assignments: add job ID, add stock JOB, add part JOB/STOCK PART, add
 * shift|head|material ID. */
static enum sg_status read_place(const struct sg_args *args, enum sg_kind kind, const char **parent,
                                 const char **id, int *used, struct sg_error *error)
{
    *parent = kind == SG_KIND_STOCK || kind == SG_KIND_PART ? args->words[1] : NULL;
    *used = kind == SG_KIND_PART ? 3 : 2;
    if (args->n_words < *used)
        return sg_fail(error, SG_USAGE, "usage: sandglass add part JOB/STOCK PART [FIELD=VALUE ...]");
    *id = kind == SG_KIND_STOCK ? "" : args->words[*used - 1];
    return SG_OK;
}

int sg_run_add(const struct sg_args *args)
{
    enum sg_kind kind = SG_KIND_JOB;
    const char *parent, *id;
    int used;
    struct sg_desk *desk;
    struct sg_error error;
    struct sg_target target;
    if (!sg_cli_kind(args->words[0], &kind) || kind == SG_KIND_MACHINE || kind >= SG_KIND_RATES)
        return sg_cli_say(
            SG_USAGE, "\"%.60s\" cannot be added; shift, head, material, chore, job, stock and part can%s",
            args->words[0], kind >= SG_KIND_CLOCK ? "; `record` notes what happens" : "");
    if (read_place(args, kind, &parent, &id, &used, &error) != SG_OK)
        return sg_cli_fail(&error);
    int n = args->n_words - used, code;
    struct sg_change *changes = calloc((size_t)n + 1, sizeof *changes);
    if (!changes)
        return sg_cli_say(SG_FAULT, "no memory for %d fields", n);
    if (sg_cli_open(args, SG_STORE_WRITE, &desk, &error) != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        struct before before = {0};
        if (sg_desk_add(desk, kind, parent, id, args->words + used, n, sg_cli_today(), changes, &target,
                        &error) == SG_OK)
            code = put_changes(args, desk, target, changes, n, &before);
        else
            code = sg_cli_fail(&error);
        sg_desk_close(desk);
    }
    free(changes);
    return code;
}
