/* What there is: fields, commands, paths, help. */
#include "cli/cli.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* ---- fields ---- */

static const struct sg_shop us_shop = {.units = SG_UNITS_US};

static void field_row(struct sg_table *table, const struct sg_shop *shop, const struct sg_field *field)
{
    char range[300];
    sg_field_range(field, shop, range, sizeof range);
    const struct sg_unit *unit = sg_field_unit(field, shop->units);
    sg_table_row(table, (const char *[]){sg_kind_word(field->kind), field->name, unit ? unit->name : "",
                                         range, field->meaning});
}

static void field_object(struct sg_json *json, const struct sg_shop *shop, const struct sg_field *field)
{
    char range[300];
    sg_field_range(field, shop, range, sizeof range);
    const struct sg_unit *unit = sg_field_unit(field, shop->units);
    sg_json_object(json, NULL);
    sg_json_text(json, "kind", sg_kind_word(field->kind));
    sg_json_text(json, "field", field->name);
    sg_json_text(json, "unit", unit ? unit->name : NULL);
    sg_json_text(json, "range", range);
    sg_json_yes(json, "optional", field->flags & SG_FIELD_OPTIONAL);
    sg_json_text(json, "meaning", field->meaning);
    sg_json_end_object(json);
}

static int put_fields(const struct sg_shop *shop, enum sg_kind first, enum sg_kind last, bool as_json)
{
    struct sg_text out = {0};
    struct sg_json json;
    struct sg_table table;
    if (as_json) {
        sg_json_start(&json, &out);
        sg_json_array(&json, "fields");
    } else {
        sg_table_start(&table, (const char *[]){"Of", "Field", "Unit", "Range", "Meaning"}, 5);
    }
    for (int kind = (int)first; kind <= (int)last; kind++) {
        int count;
        const struct sg_field *fields = sg_fields((enum sg_kind)kind, &count);
        for (int i = 0; i < count; i++)
            if (as_json)
                field_object(&json, shop, &fields[i]);
            else
                field_row(&table, shop, &fields[i]);
    }
    if (as_json) {
        sg_json_end_array(&json);
        sg_json_finish(&json);
    } else {
        sg_table_put(&table, 0, &out);
    }
    return sg_cli_put(&out, SG_OK);
}

/* The units are those of the shop file where one is named or at the default place, else us. */
int sg_run_fields(const struct sg_args *args)
{
    enum sg_kind kind = SG_KIND_JOB;
    struct sg_error error;
    struct sg_desk *desk = NULL;
    if (args->n_words && !sg_cli_kind(args->words[0], &kind))
        return sg_cli_say(
            SG_USAGE,
            "\"%.60s\" has no fields; it is one of job, stock, part, shift, machine, head, chore, "
            "material, rates, clock, record",
            args->words[0]);
    enum sg_status status = sg_cli_open(args, SG_STORE_READ, &desk, &error);
    if (status != SG_OK && sg_option(args, "f"))
        return sg_cli_fail(&error);
    int code = put_fields(desk ? sg_desk_shop(desk) : &us_shop, kind, args->n_words ? kind : SG_KINDS - 1,
                          sg_option(args, "json") != NULL);
    sg_desk_close(desk);
    return code;
}

/* ---- commands ---- */

int sg_run_commands(const struct sg_args *args)
{
    struct sg_text out = {0};
    struct sg_json json;
    struct sg_table table;
    bool as_json = sg_option(args, "json") != NULL;
    if (as_json) {
        sg_json_start(&json, &out);
        sg_json_array(&json, "commands");
    } else {
        sg_table_start(&table, (const char *[]){"Command", "Does"}, 2);
    }
    for (const struct sg_command *command = sg_commands; command->name; command++) {
        if (as_json) {
            sg_json_object(&json, NULL);
            sg_json_text(&json, "command", command->name);
            sg_json_text(&json, "words", command->words);
            sg_json_text(&json, "options", command->options);
            sg_json_text(&json, "help", command->help);
            sg_json_end_object(&json);
        } else {
            char call[200];
            snprintf(call, sizeof call, "%s %s", command->name, command->words);
            sg_table_row(&table, (const char *[]){call, command->help});
        }
    }
    if (as_json) {
        sg_json_end_array(&json);
        sg_json_finish(&json);
    } else {
        sg_table_put(&table, 0, &out);
    }
    return sg_cli_put(&out, SG_OK);
}

/* ---- paths ---- */

int sg_run_paths(const struct sg_args *args)
{
    char path[4096];
    const char *whence;
    struct sg_error error;
    struct sg_text out = {0};
    if (sg_cli_path(args, path, sizeof path, &whence, &error) != SG_OK)
        return sg_cli_fail(&error);
    bool there = access(path, F_OK) == 0;
    if (sg_option(args, "json")) {
        struct sg_json json;
        sg_json_start(&json, &out);
        sg_json_text(&json, "file", path);
        sg_json_text(&json, "from", whence);
        sg_json_yes(&json, "exists", there);
        sg_json_finish(&json);
    } else {
        sg_text_format(&out, "%s\nfrom %s, %s\n", path, whence,
                       there ? "exists" : "not made yet: `sandglass new` makes it");
    }
    return sg_cli_put(&out, SG_OK);
}

/* ---- help ---- */

static void put_options(struct sg_text *out, const struct sg_command *command)
{
    struct sg_table table;
    sg_table_start(&table, (const char *[]){"Option", ""}, 2);
    for (const char *at = command->options; *at; at += strspn(at, " ")) {
        size_t n = strcspn(at, " ");
        for (const struct sg_option *option = sg_options; option->name; option++)
            if (strlen(option->name) == n && strncmp(option->name, at, n) == 0) {
                char call[80];
                snprintf(call, sizeof call, "%s%s%s%s", n == 1 ? "-" : "--", option->name,
                         option->value ? " " : "", option->value ? option->value : "");
                sg_table_row(&table, (const char *[]){call, option->help});
            }
        at += n;
    }
    sg_table_put(&table, 2, out);
}

int sg_run_help(const struct sg_args *args)
{
    struct sg_text out = {0};
    if (args->n_words == 0) {
        sg_text_put(
            &out, "sandglass plans the shifts of a waterjet cutting shop: when they end, when the hopper is "
                  "refilled,\nwhether the machine runs alone over a break, and why.\n\n");
        struct sg_table table;
        sg_table_start(&table, (const char *[]){"Command", "Does"}, 2);
        for (const struct sg_command *command = sg_commands; command->name; command++)
            sg_table_row(&table, (const char *[]){command->name, command->help});
        sg_table_put(&table, 0, &out);
        sg_text_put(
            &out,
            "\n`sandglass help COMMAND` tells more; numbers may carry units: 6mm, 1/4in, =2*12+1/8in.\n"
            "Exit: 0 done or yes, 1 no, 2 wrong use, 3 bad data, 4 no file, 5 busy, 6 not written, 7 newer "
            "file, 70 our fault.\n");
        return sg_cli_put(&out, SG_OK);
    }
    const struct sg_command *command = sg_command_find(args->words[0]);
    if (!command)
        return sg_cli_say(SG_USAGE, "there is no command \"%.60s\"; `sandglass help` lists them",
                          args->words[0]);
    sg_text_format(&out, "sandglass %s %s\n  %s\n", command->name, command->words, command->help);
    if (command->options[0]) {
        sg_text_put(&out, "\n");
        put_options(&out, command);
    }
    return sg_cli_put(&out, SG_OK);
}
