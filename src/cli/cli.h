/* The command line: one table of commands (commands.c), one file each. A
 * command gets its words and options already checked against its row of the
 * table, writes data to a struct sg_text that is put to standard output whole,
 * messages to standard error, and returns an exit code (enum sg_status). */
#ifndef SANDGLASS_CLI_H
#define SANDGLASS_CLI_H

#include "edit/desk.h"
#include "exchange/render.h"

int sg_cli_main(int argc, char **argv);

/* What came on the command line. */
struct sg_args {
    const struct sg_command *command;
    const char **words; /* without the command's name and the options */
    int n_words;
    const char **options; /* values by the index of the option table; NULL: not
                             given, "" for one without a value */
};

struct sg_command {
    const char *name;
    const char *words;        /* as shown, such as "TARGET F=V ..." */
    const char *options;      /* names of what it takes, blanks between; -f and --help
                                 go without saying where they apply */
    int min_words, max_words; /* max -1: any number */
    const char *help;         /* one sentence */
    int (*run)(const struct sg_args *args);
};

struct sg_option {
    const char *name;
    const char *value; /* what its value is called; NULL: it takes none */
    const char *help;
};

/* The tables, ended by a NULL name. */
extern const struct sg_command sg_commands[];
extern const struct sg_option sg_options[];

const struct sg_command *sg_command_find(const char *name);

/* Value of an option, NULL where it was not given. The name must be in the
 * table. */
const char *sg_option(const struct sg_args *args, const char *name);

/* Fill args from the words behind a command's name. SG_USAGE with what would be
 * right. Free with sg_args_free. */
enum sg_status sg_args_read(const struct sg_command *command, int argc, char **argv, struct sg_args *args,
                            struct sg_error *error);
void sg_args_free(struct sg_args *args);

/* ---- shared by the commands ---- */

/* The shop file: -f FILE, else $SANDGLASS_FILE, else
 * $XDG_DATA_HOME/sandglass/shop.db. *whence says which. */
enum sg_status sg_cli_path(const struct sg_args *args, char *out, size_t size, const char **whence,
                           struct sg_error *error);

/* Sign what is changed through the desk with the one who sits at the keys. */
void sg_cli_sign(struct sg_desk *desk);

/* Open the desk on that file. */
enum sg_status sg_cli_open(const struct sg_args *args, enum sg_store_mode mode, struct sg_desk **desk,
                           struct sg_error *error);

/* Put a finished text to standard output, free it, and return status;
 * SG_NO_WRITE or SG_FAULT where that failed. What a terminal would act on
 * (control characters but line feeds, marks that turn the direction of writing)
 * goes out as a \u escape, which in JSON is the same text; sg_cli_put_bytes,
 * for CSV, keeps it. */
int sg_cli_put(struct sg_text *text, enum sg_status status);
int sg_cli_put_bytes(struct sg_text *text, enum sg_status status);

/* The one of the two that is right for what the options chose: JSON before CSV
 * before text. */
int sg_cli_put_chosen(const struct sg_args *args, struct sg_text *text, enum sg_status status);

/* A line to standard error: start, and text with the same escapes. */
void sg_cli_line(const char *start, const char *text);

/* "sandglass: TEXT" to standard error; returns the error's status. */
int sg_cli_fail(const struct sg_error *error);
int sg_cli_say(enum sg_status status, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Now and today by the clock and the time zone: local seconds, days since 1970-01-01. */
int64_t sg_cli_now(void);
int32_t sg_cli_today(void);

/* A moment as it is typed: date and time, or a time of day. That is today's; one that is more than half a day
 * ahead of now is yesterday's, as a night shift types it behind midnight. */
enum sg_status sg_cli_moment(const char *typed, int64_t now, int64_t *out, struct sg_error *error);

/* Read --units into *units (left as it is where not given). */
enum sg_status sg_cli_units(const struct sg_args *args, enum sg_unit_system *units, struct sg_error *error);

/* The kind with that word; false where there is none. */
bool sg_cli_kind(const char *word, enum sg_kind *kind);

/* "changes" of an open JSON object. */
void sg_changes_json(struct sg_json *json, const struct sg_change *changes, int n);

/* The shift with that name ("A" or "shift:A"); NULL: the first that is not
 * closed. */
enum sg_status sg_cli_shift(const struct sg_shop *shop, const char *name, int32_t *shift,
                            struct sg_error *error);

/* Open the screens on that file; `temporary`: it goes away afterwards. */
int sg_cli_screens(const struct sg_args *args, const char *path, bool temporary);

/* Whether standard input and output are a terminal. */
bool sg_cli_terminal(void);

int sg_run_open(const struct sg_args *args);
int sg_run_keys(const struct sg_args *args);
int sg_run_example(const struct sg_args *args);
int sg_run_new(const struct sg_args *args);
int sg_run_add(const struct sg_args *args);
int sg_run_scrap(const struct sg_args *args);
int sg_run_record(const struct sg_args *args);
int sg_run_studies(const struct sg_args *args);
int sg_run_repeat(const struct sg_args *args);
int sg_run_set(const struct sg_args *args);
int sg_run_try(const struct sg_args *args);
int sg_run_remove(const struct sg_args *args);
int sg_run_copy(const struct sg_args *args);
int sg_run_move(const struct sg_args *args);
int sg_run_history(const struct sg_args *args);
int sg_run_undo(const struct sg_args *args);
int sg_run_redo(const struct sg_args *args);
int sg_run_what_if(const struct sg_args *args);
int sg_run_suggest(const struct sg_args *args);
int sg_run_plan(const struct sg_args *args);
int sg_run_events(const struct sg_args *args);
int sg_run_levels(const struct sg_args *args);
int sg_run_ask(const struct sg_args *args);
int sg_run_why(const struct sg_args *args);
int sg_run_sheet(const struct sg_args *args);
int sg_run_import(const struct sg_args *args);
int sg_run_outline(const struct sg_args *args);
int sg_run_quote(const struct sg_args *args);
int sg_run_sweep(const struct sg_args *args);
int sg_run_speed(const struct sg_args *args);
int sg_run_layout(const struct sg_args *args);
int sg_run_backup(const struct sg_args *args);
int sg_run_check(const struct sg_args *args);
int sg_run_convert(const struct sg_args *args);
int sg_run_fields(const struct sg_args *args);
int sg_run_commands(const struct sg_args *args);
int sg_run_paths(const struct sg_args *args);
int sg_run_help(const struct sg_args *args);

#endif
