#include "cli/cli.h"

#include <errno.h>
#include <limits.h>
#include <locale.h>
#include <pwd.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void sg_cli_line(const char *start, const char *text)
{
    struct sg_text line = {0};
    sg_text_put(&line, start);
    sg_text_shown(&line, text, INT_MAX);
    fprintf(stderr, "%s\n", line.failed ? "sandglass: no memory for a message" : line.data);
    sg_text_free(&line);
}

int sg_cli_fail(const struct sg_error *error)
{
    sg_cli_line("sandglass: ", error->text);
    return error->status;
}

int sg_cli_say(enum sg_status status, const char *format, ...)
{
    struct sg_error said;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(said.text, sizeof said.text, format, arguments);
    va_end(arguments);
    said.status = status;
    return sg_cli_fail(&said);
}

int sg_cli_put_bytes(struct sg_text *text, enum sg_status status)
{
    bool failed = text->failed;
    bool written = failed || (fwrite(text->data ? text->data : "", 1, text->length, stdout) == text->length &&
                              fflush(stdout) == 0);
    sg_text_free(text);
    if (failed)
        return sg_cli_say(SG_FAULT, "no memory for the output");
    if (!written)
        return sg_cli_say(SG_NO_WRITE, "standard output could not be written: %s", strerror(errno));
    return status;
}

static bool is_plain(const struct sg_text *text)
{
    for (size_t i = 0; i < text->length; i++)
        if (text->data[i] != '\n' && (text->data[i] < ' ' || (unsigned char)text->data[i] >= 0x7F))
            return false;
    return true;
}

int sg_cli_put(struct sg_text *text, enum sg_status status)
{
    if (text->failed || is_plain(text))
        return sg_cli_put_bytes(text, status);
    struct sg_text shown = {0};
    for (char *line = text->data, *end; line; line = end ? end + 1 : NULL) {
        end = strchr(line, '\n');
        if (end)
            *end = '\0';
        sg_text_shown(&shown, line, INT_MAX);
        sg_text_put(&shown, end ? "\n" : "");
    }
    sg_text_free(text);
    return sg_cli_put_bytes(&shown, status);
}

int sg_cli_put_chosen(const struct sg_args *args, struct sg_text *text, enum sg_status status)
{
    bool csv = sg_option(args, "csv") || sg_option(args, "for-spreadsheet");
    return csv && !sg_option(args, "json") ? sg_cli_put_bytes(text, status) : sg_cli_put(text, status);
}

enum sg_status sg_cli_path(const struct sg_args *args, char *out, size_t size, const char **whence,
                           struct sg_error *error)
{
    const char *option = sg_option(args, "f"), *variable = getenv("SANDGLASS_FILE");
    const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
    int length;
    if (option || (variable && *variable)) {
        *whence = option ? "-f" : "$SANDGLASS_FILE";
        length = snprintf(out, size, "%s", option ? option : variable);
    } else if (data && *data) {
        *whence = "$XDG_DATA_HOME";
        length = snprintf(out, size, "%s/sandglass/shop.db", data);
    } else if (home && *home) {
        *whence = "the default place";
        length = snprintf(out, size, "%s/.local/share/sandglass/shop.db", home);
    } else {
        return sg_fail(error, SG_NO_FILE, "no shop file is named and HOME is not set: use -f FILE");
    }
    if (length >= (int)size)
        return sg_fail(error, SG_NO_FILE, "the name of the shop file is longer than %zu bytes", size - 1);
    return SG_OK;
}

/* Who sits at the keys: the name that the shop gave, else the one logged in
 * with. */
static const char *who_is_it(void)
{
    static const char *const variables[] = {"SANDGLASS_WHO", "LOGNAME", "USER"};
    for (size_t i = 0; i < sizeof variables / sizeof *variables; i++) {
        const char *who = getenv(variables[i]);
        if (who && *who)
            return who;
    }
    const struct passwd *user = getpwuid(geteuid());
    return user ? user->pw_name : NULL;
}

void sg_cli_sign(struct sg_desk *desk)
{
    sg_desk_sign(desk, who_is_it());
}

enum sg_status sg_cli_open(const struct sg_args *args, enum sg_store_mode mode, struct sg_desk **desk,
                           struct sg_error *error)
{
    char path[4096];
    const char *whence = "";
    enum sg_status status = sg_cli_path(args, path, sizeof path, &whence, error);
    if (status != SG_OK)
        return status;
    status = sg_desk_open(path, mode, desk, error);
    if (status == SG_NO_FILE && access(path, F_OK) != 0 && errno == ENOENT)
        return sg_fail(error, SG_NO_FILE,
                       "there is no shop file %s (from %s): `sandglass new FILE` "
                       "makes one, -f FILE "
                       "names another",
                       path, whence);
    if (status == SG_OK)
        sg_cli_sign(*desk);
    return status;
}

int64_t sg_cli_now(void)
{
    time_t now = time(NULL);
    struct tm local = {0};
    localtime_r(&now, &local);
    int32_t days = sg_date_days(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
    return (int64_t)days * SG_DAY_S + local.tm_hour * 3600 + local.tm_min * 60 + local.tm_sec;
}

int32_t sg_cli_today(void)
{
    return (int32_t)(sg_cli_now() / SG_DAY_S);
}

enum sg_status sg_cli_moment(const char *typed, int64_t now, int64_t *out, struct sg_error *error)
{
    int32_t time_of_day;
    if (sg_time_parse(typed, &time_of_day)) {
        *out = now / SG_DAY_S * SG_DAY_S + time_of_day;
        if (*out > now + SG_DAY_S / 2)
            *out -= SG_DAY_S;
        return SG_OK;
    }
    if (strlen(typed) > 10 && sg_moment_parse(typed, out))
        return SG_OK;
    return sg_fail(error, SG_USAGE, "--at \"%.60s\" is no time such as 11:43 or \"2026-12-01 11:43\"", typed);
}

enum sg_status sg_cli_units(const struct sg_args *args, enum sg_unit_system *units, struct sg_error *error)
{
    const char *word = sg_option(args, "units");
    if (!word)
        return SG_OK;
    if (strcmp(word, "us") != 0 && strcmp(word, "metric") != 0)
        return sg_fail(error, SG_USAGE, "--units is us or metric, not \"%.40s\"", word);
    *units = word[0] == 'u' ? SG_UNITS_US : SG_UNITS_METRIC;
    return SG_OK;
}

bool sg_cli_kind(const char *word, enum sg_kind *kind)
{
    for (int i = 0; i < SG_KINDS; i++)
        if (strcmp(sg_kind_word((enum sg_kind)i), word) == 0) {
            *kind = (enum sg_kind)i;
            return true;
        }
    return false;
}

static int run_command(const struct sg_command *command, int argc, char **argv)
{
    struct sg_args args = {0};
    struct sg_error error;
    enum sg_status status = sg_args_read(command, argc, argv, &args, &error);
    int code;
    if (status != SG_OK) {
        code = sg_cli_fail(&error);
    } else if (sg_option(&args, "help")) {
        args.words[0] = command->name;
        args.n_words = 1;
        code = sg_run_help(&args);
    } else {
        code = command->run(&args);
    }
    sg_args_free(&args);
    return code;
}

/* -f FILE may stand before the command: it goes behind all the rest. */
static void file_behind(int argc, char **argv)
{
    char *flag = argv[1], *file = argv[2];
    for (int i = 3; i < argc; i++)
        argv[i - 2] = argv[i];
    argv[argc - 2] = flag;
    argv[argc - 1] = file;
}

int sg_cli_main(int argc, char **argv)
{
    /* Only how characters are shown; numbers and dates in files never follow a
     * locale. */
    if (!setlocale(LC_CTYPE, "C.UTF-8"))
        setlocale(LC_CTYPE, "");
    if (argc >= 2 && strcmp(argv[1], "--version") == 0) {
        struct sg_text out = {0};
        sg_text_put(&out, "sandglass " SANDGLASS_VERSION "\n");
        return sg_cli_put(&out, SG_OK);
    }
    if (argc > 3 && strcmp(argv[1], "-f") == 0 && sg_command_find(argv[3]))
        file_behind(argc, argv);
    /* Options without a command belong to the screens. */
    if (argc < 2 || (argv[1][0] == '-' && strcmp(argv[1], "--help") != 0 && strcmp(argv[1], "-h") != 0))
        return run_command(sg_command_find("open"), argc - 1, argv + 1);
    const char *name = argv[1][0] == '-' ? "help" : argv[1];
    const struct sg_command *command = sg_command_find(name);
    if (!command)
        return sg_cli_say(SG_USAGE, "there is no command \"%.60s\"; `sandglass help` lists them", argv[1]);
    return run_command(command, argc - 2, argv + 2);
}
