/* The whole program on a terminal: in a folder of its own with the example shop in shop.db, other processes
 * on the same file, rows of cells out. */
#ifndef TESTS_WHOLE_H
#define TESTS_WHOLE_H

#include "cli/json.h"
#include "cli/run.h"
#include "tui/pty_inside.h"

/* The rows of a screen of 24. */
enum { TITLE_ROW = 0, ANSWERS_ROW = 1, LINES_ROW = 9, WORDS_ROW = 21, KEYS_ROW = 23 };

struct whole {
    const char *options[5];     /* behind -f shop.db */
    const char *environment[6]; /* "NAME=value" */
    int rows, columns;
    bool shell;
};

/* Started, whatever comes of it. */
static inline struct pty *launch(const struct whole *whole)
{
    const char *arguments[8] = {"-f", "shop.db"};
    for (int i = 0; whole->options[i]; i++)
        arguments[2 + i] = whole->options[i];
    return pty_start(&(struct pty_how){.program = PROGRAM,
                                       .arguments = arguments,
                                       .environment = whole->environment,
                                       .rows = whole->rows,
                                       .columns = whole->columns,
                                       .shell = whole->shell});
}

/* Keys, and the picture that comes of them. */
static inline void type(struct pty *pty, const char *keys, const char *text)
{
    pty_keys(pty, keys);
    ck_assert_msg(pty_settle(pty, text), "after %s: %s", keys, text);
}

/* The shift is there. */
static inline struct pty *open_shift(const struct whole *whole)
{
    struct pty *pty = launch(whole);
    ck_assert(pty_settle(pty, "ENDS 14:41"));
    return pty;
}

/* The job 2601, on the quantity of its part A. */
static inline struct pty *open_job(const struct whole *whole)
{
    struct pty *pty = open_shift(whole);
    type(pty, "<Enter>", "JOB 2601");
    return pty;
}

/* These keys lead out, in order. */
static inline void leave(struct pty *pty, const char *keys)
{
    pty_keys(pty, keys);
    ck_assert_int_eq(pty_wait_exit(pty), 0);
    pty_end(pty);
}

static inline void ck_row(struct pty *pty, int row, const char *piece)
{
    ck_assert_msg(pty_wait_row(pty, row, piece), "row %d: %s", row, piece);
}

static inline bool is_shown(struct pty *pty, const char *text)
{
    char *screen = pty_screen(pty);
    bool shown = strstr(screen, text) != NULL;
    free(screen);
    return shown;
}

/* The screen becomes this one. */
static inline bool looks_like(struct pty *pty, const void *wanted)
{
    char *screen = pty_screen(pty);
    bool same = strcmp(screen, wanted) == 0;
    free(screen);
    return same;
}

/* ---- another process on the same file ---- */

static inline double other_number(const char *path, const char *const *words)
{
    struct ran ran = finish(start_words(NULL, words));
    ck_code(ran, 0);
    double number = json_number(ran.out, path);
    done(&ran);
    return number;
}

static inline double plan_number(const char *path)
{
    return other_number(path, (const char *const[]){"plan", "-f", "shop.db", "--json", NULL});
}

/* Of part A (0) or B (1) of 2601/1. */
static inline int quantity_in_file(int part)
{
    char path[80];
    snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].quantity", part);
    return (int)plan_number(path);
}

static inline void set_as(const char *who, const char *target, const char *assignment)
{
    char name[60];
    snprintf(name, sizeof name, "SANDGLASS_WHO=%s", who);
    const struct run_how how = {.environment = {name}};
    struct ran ran = run_how(&how, "set", "-f", "shop.db", target, assignment, NULL);
    ck_code(ran, 0);
    done(&ran);
}

/* ---- beside the shop file ---- */

/* How many names with that in them the folder holds. */
static inline int names_with(const char *piece)
{
    int n = 0;
    struct dirent *entry;
    DIR *list = opendir(".");
    while ((entry = readdir(list)))
        n += strstr(entry->d_name, piece) != NULL;
    closedir(list);
    return n;
}

static inline void make_example(void)
{
    enter_folder();
    ck_done("example", "shop.db", "--json");
}

/* One program of tests, each on a file of its own. */
static inline int run_whole(const char *name, void (*fill)(TCase *))
{
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    tcase_add_checked_fixture(tcase, make_example, leave_folder);
    tcase_set_timeout(tcase, RUN_DEADLINE_S + 30);
    fill(tcase);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}

#define COUNT(table) ((int)(sizeof(table) / sizeof *(table)))

#endif
