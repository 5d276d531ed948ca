/* The screens, and the example shop to open them on. */
#include "cli/cli.h"

#include "tui/tui.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

bool sg_cli_terminal(void)
{
    return isatty(STDIN_FILENO) && isatty(STDOUT_FILENO);
}

/* ---- opening ---- */

static enum sg_status read_color(const struct sg_args *args, enum sg_tui_color *color, struct sg_error *error)
{
    static const char *const words[] = {"auto", "always", "never"};
    const char *word = sg_option(args, "color");
    for (int i = 0; word && i < 3; i++)
        if (strcmp(words[i], word) == 0) {
            *color = (enum sg_tui_color)i;
            return SG_OK;
        }
    return word ? sg_fail(error, SG_USAGE, "--color is auto, always or never, not \"%.40s\"", word) : SG_OK;
}

int sg_cli_screens(const struct sg_args *args, const char *path, bool temporary)
{
    struct sg_desk *desk;
    struct sg_error error;
    struct sg_tui_how how = {.path = path,
                             .ascii = sg_option(args, "ascii"),
                             .mouse = sg_option(args, "mouse"),
                             .plain = sg_option(args, "plain"),
                             .read_only = sg_option(args, "read-only"),
                             .temporary = temporary};
    if (read_color(args, &how.color, &error) != SG_OK ||
        sg_desk_open(path, how.read_only ? SG_STORE_READ : SG_STORE_WRITE, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    sg_cli_sign(desk);
    enum sg_status status = sg_tui_run(desk, &how, &error);
    sg_desk_close(desk);
    return status == SG_OK ? SG_OK : sg_cli_fail(&error);
}

/* ---- the example ---- */

static int show_example(const struct sg_args *args, const char *path)
{
    struct sg_desk *desk;
    struct sg_error error;
    const struct sg_plan *plan;
    if (sg_desk_open(path, SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    struct sg_text out = {0};
    int code;
    if (sg_desk_plan(desk, sg_plan_default_shift(sg_desk_shop(desk)), &plan, &error) != SG_OK) {
        code = sg_cli_fail(&error);
    } else {
        if (sg_option(args, "json"))
            sg_plan_json(&out, sg_desk_shop(desk), plan);
        else
            sg_plan_text(&out, sg_desk_shop(desk), plan);
        code = sg_cli_put(&out, SG_OK);
    }
    sg_desk_close(desk);
    return code;
}

/* A folder of our own, so that the shop file in it appears under a name that nobody else has. */
static enum sg_status temporary_place(char *folder, size_t size, struct sg_error *error)
{
    const char *base = getenv("TMPDIR");
    if (snprintf(folder, size, "%s/sandglass-example-XXXXXX", base && *base ? base : "/tmp") >= (int)size ||
        !mkdtemp(folder))
        return sg_fail(error, SG_NO_WRITE,
                       "no temporary folder could be made in %s; set TMPDIR or name a FILE",
                       base && *base ? base : "/tmp");
    return SG_OK;
}

/* On a terminal the screens, else the plan. */
static int open_example(const struct sg_args *args, const char *path, bool temporary)
{
    struct sg_error error;
    struct sg_store_new how = {.units = SG_UNITS_US, .date = sg_cli_today(), .example = true};
    if (sg_store_create(path, &how, &error) != SG_OK)
        return sg_cli_fail(&error);
    bool screens = sg_cli_terminal() && !sg_option(args, "json");
    return screens ? sg_cli_screens(args, path, temporary) : show_example(args, path);
}

static int temporary_example(const struct sg_args *args)
{
    struct sg_error error;
    char folder[3000], path[3100];
    if (temporary_place(folder, sizeof folder, &error) != SG_OK)
        return sg_cli_fail(&error);
    snprintf(path, sizeof path, "%s/shop.db", folder);
    int code = open_example(args, path, true);
    unlink(path);
    rmdir(folder);
    if (code == SG_OK)
        sg_cli_say(SG_OK, "this was the invented example shop; `sandglass example FILE` keeps it, "
                          "`sandglass new FILE` starts your own");
    return code;
}

int sg_run_example(const struct sg_args *args)
{
    return args->n_words > 0 ? open_example(args, args->words[0], false) : temporary_example(args);
}

/* ---- the screens ---- */

static int usage(void)
{
    fputs("usage: sandglass [-f FILE]             the screens, on a terminal\n"
          "       sandglass COMMAND [-f FILE] ...  `sandglass help` lists the commands\n"
          "Neither standard input nor output may be redirected for the screens; `sandglass plan` needs no "
          "terminal.\n",
          stderr);
    return SG_USAGE;
}

int sg_run_open(const struct sg_args *args)
{
    struct sg_error error;
    char path[4096];
    const char *whence = "";
    if (!sg_cli_terminal())
        return usage();
    if (sg_cli_path(args, path, sizeof path, &whence, &error) != SG_OK)
        return sg_cli_fail(&error);
    bool missing = access(path, F_OK) != 0 && errno == ENOENT;
    bool named = sg_option(args, "f") || (getenv("SANDGLASS_FILE") && *getenv("SANDGLASS_FILE"));
    if (missing && !named)
        return temporary_example(args);
    if (missing)
        return sg_cli_say(SG_NO_FILE, "there is no shop file %s (from %s): `sandglass new FILE` makes one",
                          path, whence);
    return sg_cli_screens(args, path, false);
}

int sg_run_keys(const struct sg_args *args)
{
    struct sg_text out = {0};
    if (sg_option(args, "json"))
        sg_keys_json(&out);
    else if (sg_option(args, "manual"))
        sg_keys_manual(&out);
    else
        sg_keys_text(&out);
    return sg_cli_put(&out, SG_OK);
}
