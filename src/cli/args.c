#include "cli/cli.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

static int option_index(const char *name, size_t length)
{
    for (int i = 0; sg_options[i].name; i++)
        if (strlen(sg_options[i].name) == length && strncmp(sg_options[i].name, name, length) == 0)
            return i;
    return -1;
}

static bool takes(const struct sg_command *command, const char *name)
{
    size_t length = strlen(name);
    for (const char *at = command->options; *at; at += strspn(at, " ")) {
        size_t n = strcspn(at, " ");
        if (n == length && strncmp(at, name, n) == 0)
            return true;
        at += n;
    }
    return strcmp(name, "help") == 0;
}

const char *sg_option(const struct sg_args *args, const char *name)
{
    int index = option_index(name, strlen(name));
    assert(index >= 0);
    return args->options[index];
}

void sg_args_free(struct sg_args *args)
{
    free(args->words);
    free(args->options);
}

/* One option at argv[*i]; moves *i over its value. */
static enum sg_status read_option(struct sg_args *args, int argc, char **argv, int *i, struct sg_error *error)
{
    const char *text = argv[*i] + (argv[*i][1] == '-' ? 2 : 1);
    size_t length = strcspn(text, "=");
    const char *name = args->command->name, *inside = text[length] == '=' ? text + length + 1 : NULL;
    int index = option_index(text, length);
    if (index < 0 || !takes(args->command, sg_options[index].name))
        return sg_fail(error, SG_USAGE, "%s takes no option %.60s; `sandglass help %s` lists what it takes",
                       name, argv[*i], name);
    const struct sg_option *option = &sg_options[index];
    if (args->options[index])
        return sg_fail(error, SG_USAGE, "%.60s is given twice", argv[*i]);
    if (!option->value && inside)
        return sg_fail(error, SG_USAGE, "--%s takes no value", option->name);
    if (option->value && !inside && *i + 1 >= argc)
        return sg_fail(error, SG_USAGE, "%s needs its %s", argv[*i], option->value);
    if (option->value && !inside)
        inside = argv[++*i];
    args->options[index] = option->value ? inside : "";
    return SG_OK;
}

/* A word that starts with - is an option, but for - itself, a negative number, and all behind --. */
static bool is_option(const char *word)
{
    return word[0] == '-' && word[1] != '\0' && !(word[1] >= '0' && word[1] <= '9') && word[1] != '.';
}

enum sg_status sg_args_read(const struct sg_command *command, int argc, char **argv, struct sg_args *args,
                            struct sg_error *error)
{
    int n_options = 0;
    while (sg_options[n_options].name)
        n_options++;
    args->command = command;
    args->n_words = 0;
    args->words = calloc((size_t)argc + 1, sizeof *args->words);
    args->options = calloc((size_t)n_options, sizeof *args->options);
    if (!args->words || !args->options)
        return sg_fail(error, SG_FAULT, "no memory for the command line");
    bool words_only = false;
    for (int i = 0; i < argc; i++) {
        if (!words_only && strcmp(argv[i], "--") == 0) {
            words_only = true;
        } else if (!words_only && is_option(argv[i])) {
            enum sg_status status = read_option(args, argc, argv, &i, error);
            if (status != SG_OK)
                return status;
        } else {
            args->words[args->n_words++] = argv[i];
        }
    }
    bool wrong =
        args->n_words < command->min_words || (command->max_words >= 0 && args->n_words > command->max_words);
    if (wrong && !sg_option(args, "help"))
        return sg_fail(error, SG_USAGE, "usage: sandglass %s %s", command->name, command->words);
    return SG_OK;
}
