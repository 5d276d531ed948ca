/* The program from outside: started with a list of words and an environment of its own, without a shell, and
 * stopped when it takes too long. */
#ifndef SANDGLASS_TESTS_CLI_RUN_H
#define SANDGLASS_TESTS_CLI_RUN_H

#include <check.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RUN_WORDS = 64, RUN_DEADLINE_S = 90 };

/* Where standard output goes. */
enum run_out { RUN_CAPTURE, RUN_CLOSED, RUN_FULL };

struct run_how {
    const char *environment[8]; /* NAME=VALUE on top of what every run gets, ended by NULL */
    const char *input;          /* standard input, NULL: empty */
    size_t input_length;
    enum run_out out;
};

struct bytes {
    char *at; /* ends in a NUL that is not counted */
    size_t size, room;
};

struct ran {
    int code; /* exit code; 1000 and the signal where it did not end by itself */
    char *out, *err;
    size_t out_length, err_length;
};

static inline void add_bytes(struct bytes *to, const char *from, size_t size)
{
    if (to->size + size + 1 > to->room) {
        to->room = 2 * (to->size + size + 1);
        to->at = realloc(to->at, to->room);
        ck_assert_ptr_nonnull(to->at);
    }
    memcpy(to->at + to->size, from, size);
    to->size += size;
    to->at[to->size] = '\0';
}

/* ---- a folder of its own for each test ---- */

static char folder[512];

static inline void remove_tree(const char *path)
{
    struct dirent *entry;
    DIR *list = opendir(path);
    while (list && (entry = readdir(list))) {
        char inside[1024];
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
            continue;
        snprintf(inside, sizeof inside, "%s/%s", path, entry->d_name);
        if (unlink(inside) != 0)
            remove_tree(inside);
    }
    if (list)
        closedir(list);
    rmdir(path);
}

static inline void enter_folder(void)
{
    snprintf(folder, sizeof folder, "%s/cli-XXXXXX", SCRATCH);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
}

static inline void leave_folder(void)
{
    ck_assert_int_eq(chdir("/"), 0);
    remove_tree(folder);
    ck_assert_msg(access(folder, F_OK) != 0, "%s is still there", folder);
}

static inline struct bytes bytes_of(const char *path)
{
    struct bytes bytes = {0};
    char block[4096];
    size_t n;
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s: %s", path, strerror(errno));
    add_bytes(&bytes, "", 0);
    while ((n = fread(block, 1, sizeof block, file)) > 0)
        add_bytes(&bytes, block, n);
    fclose(file);
    return bytes;
}

static inline void write_bytes(const char *path, const char *at, size_t size)
{
    FILE *file = fopen(path, "wb");
    ck_assert_msg(file != NULL, "%s: %s", path, strerror(errno));
    ck_assert_uint_eq(fwrite(at, 1, size, file), size);
    ck_assert_int_eq(fclose(file), 0);
}

static inline void write_text(const char *path, const char *text)
{
    write_bytes(path, text, strlen(text));
}

/* The file holds what it held; frees before. */
static inline void ck_unchanged(const char *path, struct bytes *before)
{
    struct bytes now = bytes_of(path);
    ck_assert_msg(now.size == before->size && memcmp(now.at, before->at, now.size) == 0, "%s has changed",
                  path);
    free(now.at);
    free(before->at);
}

/* How many names the folder holds: a file left beside the shop file shows here. */
static inline int names_here(void)
{
    int n = 0;
    DIR *list = opendir(".");
    while (readdir(list))
        n++;
    closedir(list);
    return n - 2;
}

/* ---- a run ---- */

static inline double seconds_now(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

struct running {
    pid_t pid;
    int out, err;
};

/* In the child, between fork and exec. What a test sets comes first and so wins over what all runs get. */
static inline void become_program(const struct run_how *how, const char *const *words, int in, int out,
                                  int err)
{
    static const char *const common[] = {"TZ=UTC",
                                         "LC_ALL=C.UTF-8",
                                         "HOME=.",
                                         "TMPDIR=.",
                                         "ASAN_OPTIONS=exitcode=99",
                                         "UBSAN_OPTIONS=exitcode=99",
                                         "LSAN_OPTIONS=exitcode=99"};
    char *argv[RUN_WORDS + 2] = {strdup("sandglass")}, *environment[32] = {0};
    int n = 0;
    for (int i = 0; words[i]; i++)
        argv[i + 1] = strdup(words[i]);
    for (int i = 0; how && how->environment[i]; i++)
        environment[n++] = strdup(how->environment[i]);
    for (size_t i = 0; i < sizeof common / sizeof *common; i++)
        environment[n++] = strdup(common[i]);
    dup2(in, 0);
    dup2(out, 1);
    dup2(err, 2);
    if (how && how->out == RUN_CLOSED)
        close(1);
    for (int fd = 3; fd < 64; fd++)
        close(fd);
    execve(PROGRAM, argv, environment);
    _exit(127);
}

static inline int input_of(const struct run_how *how)
{
    if (!how || !how->input)
        return open("/dev/null", O_RDONLY);
    FILE *file = tmpfile();
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(how->input, 1, how->input_length, file), how->input_length);
    ck_assert_int_eq(fflush(file), 0);
    int fd = dup(fileno(file));
    fclose(file);
    ck_assert_int_eq((int)lseek(fd, 0, SEEK_SET), 0);
    return fd;
}

static inline struct running start_words(const struct run_how *how, const char *const *words)
{
    int out[2], err[2], in = input_of(how);
    ck_assert_int_eq(pipe(out), 0);
    ck_assert_int_eq(pipe(err), 0);
    int full = how && how->out == RUN_FULL ? open("/dev/full", O_WRONLY) : -1;
    pid_t pid = fork();
    ck_assert_int_ge(pid, 0);
    if (pid == 0)
        become_program(how, words, in, full >= 0 ? full : out[1], err[1]);
    close(in);
    close(out[1]);
    close(err[1]);
    if (full >= 0)
        close(full);
    return (struct running){pid, out[0], err[0]};
}

static inline int code_of(int status)
{
    return WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
}

/* Read both ends until they close; kill what outstays the deadline. */
static inline struct ran finish(struct running running)
{
    struct bytes text[2] = {{0}};
    struct pollfd ends[2] = {{running.out, POLLIN, 0}, {running.err, POLLIN, 0}};
    double deadline = seconds_now() + RUN_DEADLINE_S;
    add_bytes(&text[0], "", 0);
    add_bytes(&text[1], "", 0);
    while (ends[0].fd >= 0 || ends[1].fd >= 0) {
        char block[65536];
        if (poll(ends, 2, 1000) < 0)
            ck_assert_int_eq(errno, EINTR);
        for (int i = 0; i < 2; i++) {
            if (ends[i].fd < 0 || !ends[i].revents)
                continue;
            ssize_t n = read(ends[i].fd, block, sizeof block);
            if (n > 0)
                add_bytes(&text[i], block, (size_t)n);
            else
                ends[i].fd = -1;
        }
        if (seconds_now() > deadline) {
            kill(running.pid, SIGKILL);
            ck_abort_msg("the program is still running after %d s", RUN_DEADLINE_S);
        }
    }
    close(running.out);
    close(running.err);
    int status;
    ck_assert_int_eq(waitpid(running.pid, &status, 0), running.pid);
    return (struct ran){code_of(status), text[0].at, text[1].at, text[0].size, text[1].size};
}

static inline void collect_words(const char **words, const char *first, va_list more)
{
    int n = 0;
    for (const char *word = first; word; word = va_arg(more, const char *)) {
        ck_assert_int_lt(n, RUN_WORDS);
        words[n++] = word;
    }
    words[n] = NULL;
}

/* Run with these words, ended by NULL. Free with done(). */
static inline struct ran run_how(const struct run_how *how, const char *first, ...)
{
    const char *words[RUN_WORDS + 1];
    va_list more;
    va_start(more, first);
    collect_words(words, first, more);
    va_end(more);
    return finish(start_words(how, words));
}

static inline struct ran run(const char *first, ...)
{
    const char *words[RUN_WORDS + 1];
    va_list more;
    va_start(more, first);
    collect_words(words, first, more);
    va_end(more);
    return finish(start_words(NULL, words));
}

static inline void done(struct ran *ran)
{
    free(ran->out);
    free(ran->err);
    *ran = (struct ran){0};
}

/* ---- what a run said ---- */

#define ck_code(ran, expected)                                                                               \
    ck_assert_msg((ran).code == (expected), "exit %d, expected %d; stderr: %s; stdout: %.500s", (ran).code,  \
                  (expected), (ran).err, (ran).out)

#define ck_says(text, piece)                                                                                 \
    ck_assert_msg(strstr((text), (piece)) != NULL, "\"%s\" is not in: %.1000s", (piece), (text))

#define ck_says_not(text, piece)                                                                             \
    ck_assert_msg(strstr((text), (piece)) == NULL, "\"%s\" is in: %.1000s", (piece), (text))

/* Run, expect this code and these words on standard error and nothing on standard output. */
#define ck_refused(expected, piece, ...)                                                                     \
    do {                                                                                                     \
        struct ran refused_ = run(__VA_ARGS__, NULL);                                                        \
        ck_code(refused_, expected);                                                                         \
        ck_says(refused_.err, piece);                                                                        \
        ck_assert_str_eq(refused_.out, "");                                                                  \
        done(&refused_);                                                                                     \
    } while (0)

/* Run, expect 0 and nothing on standard error. */
#define ck_quiet(...)                                                                                        \
    do {                                                                                                     \
        struct ran quiet_ = run(__VA_ARGS__, NULL);                                                          \
        ck_code(quiet_, 0);                                                                                  \
        ck_assert_str_eq(quiet_.err, "");                                                                    \
        done(&quiet_);                                                                                       \
    } while (0)

/* Run and expect 0, whatever it says. */
#define ck_done(...)                                                                                         \
    do {                                                                                                     \
        struct ran done_ = run(__VA_ARGS__, NULL);                                                           \
        ck_code(done_, 0);                                                                                   \
        done(&done_);                                                                                        \
    } while (0)

/* A new shop file "shop.db" whose bare numbers are metric, at a fixed date. */
static inline void make_shop(void)
{
    ck_done("new", "--units", "metric", "shop.db");
    ck_done("set", "-f", "shop.db", "shift:A", "date=2026-12-01");
}

static inline int run_suite(const char *name, void (*fill)(TCase *))
{
    Suite *suite = suite_create(name);
    TCase *tcase = tcase_create(name);
    tcase_add_checked_fixture(tcase, enter_folder, leave_folder);
    tcase_set_timeout(tcase, RUN_DEADLINE_S + 30);
    fill(tcase);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}

#endif
