#define _DEFAULT_SOURCE /* forkpty, wait4 */

#include "tui/pty_inside.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

enum { DEADLINE_MS = 20000, SETTLE_MS = 30, MOST_ENVIRONMENT = 40 };

static void must(bool truth, const char *what)
{
    if (truth)
        return;
    perror(what);
    abort();
}

long long pty_now_ms(void)
{
    struct timespec now = {0};
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* ---- starting ---- */

static char *take_environment(const char *text)
{
    char *copy = strdup(text);
    must(copy != NULL, "environment");
    return copy;
}

/* A name that is there already is replaced. */
static void put_environment(char **list, const char *text)
{
    size_t name = strcspn(text, "=") + 1;
    int i = 0;
    while (list[i] && strncmp(list[i], text, name) != 0)
        i++;
    must(i + 1 < MOST_ENVIRONMENT, "environment");
    free(list[i]);
    list[i] = take_environment(text);
}

static void make_environment(const struct pty_how *how, char **list)
{
    static const char *const always[] = {"PATH=/usr/bin:/bin", "TERM=xterm-256color", "LC_ALL=C.UTF-8",
                                         "TZ=UTC"};
    static const char *const kept[] = {"ASAN_OPTIONS", "LSAN_OPTIONS", "UBSAN_OPTIONS"};
    for (size_t i = 0; i < sizeof always / sizeof *always; i++)
        put_environment(list, always[i]);
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++) {
        char text[500];
        if (getenv(kept[i]) && snprintf(text, sizeof text, "%s=%s", kept[i], getenv(kept[i])) > 0)
            put_environment(list, text);
    }
    for (int i = 0; how->environment && how->environment[i]; i++)
        put_environment(list, how->environment[i]);
}

static void run_program(const struct pty_how *how)
{
    static const int ends[] = {SIGHUP, SIGINT, SIGQUIT};
    char *environment[MOST_ENVIRONMENT] = {NULL}, *arguments[20] = {NULL};
    int n = 0;
    arguments[n++] = take_environment(how->program);
    for (int i = 0; how->arguments && how->arguments[i]; i++) {
        must(n + 1 < 20, "arguments");
        arguments[n++] = take_environment(how->arguments[i]);
    }
    make_environment(how, environment);
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++)
        signal(ends[i], SIG_DFL); /* tests that run in the background ignore them, and that is inherited */
    execve(how->program, arguments, environment);
    perror(how->program);
    _exit(127);
}

static void in_front(pid_t group)
{
    must(tcsetpgrp(STDIN_FILENO, group) == 0, "tcsetpgrp");
}

/* As much of a shell as job control needs: a program without one around it is an orphan, which the kernel
 * does not stop. */
static void run_shell(const struct pty_how *how)
{
    char line[80];
    int status;
    signal(SIGTTOU, SIG_IGN);
    pid_t job = fork();
    must(job >= 0, "fork");
    if (job == 0) {
        setpgid(0, 0);
        in_front(getpid());
        signal(SIGTTOU, SIG_DFL);
        run_program(how);
    }
    setpgid(job, job);
    while (waitpid(job, &status, WUNTRACED) == job && WIFSTOPPED(status)) {
        in_front(getpid());
        printf("stopped\r\n");
        fflush(stdout);
        must(read(STDIN_FILENO, line, sizeof line) > 0, "the shell's line");
        in_front(job);
        kill(-job, SIGCONT);
    }
    _exit(WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status));
}

/* ---- the emulator ---- */

static void queue_bytes(const char *bytes, size_t length, void *context)
{
    struct pty *pty = context;
    if (pty->queued + length > pty->queue_room) {
        pty->queue_room = (pty->queued + length) * 2;
        pty->queue = realloc(pty->queue, pty->queue_room);
        must(pty->queue != NULL, "queue");
    }
    memcpy(pty->queue + pty->queued, bytes, length);
    pty->queued += length;
}

static int on_property(VTermProp property, VTermValue *value, void *context)
{
    struct pty *pty = context;
    if (property == VTERM_PROP_CURSORVISIBLE)
        pty->state.cursor = value->boolean != 0;
    else if (property == VTERM_PROP_ALTSCREEN)
        pty->state.alternate = value->boolean != 0;
    else if (property == VTERM_PROP_MOUSE)
        pty->state.mouse = value->number;
    return 1;
}

static int on_cursor(VTermPos at, VTermPos from, int visible, void *context)
{
    struct pty *pty = context;
    (void)from;
    (void)visible;
    pty->state.row = at.row;
    pty->state.column = at.col;
    return 1;
}

static int on_bell(void *context)
{
    struct pty *pty = context;
    pty->state.bells++;
    return 1;
}

static void start_emulator(struct pty *pty, int rows, int columns)
{
    static const VTermScreenCallbacks callbacks = {
        .settermprop = on_property, .movecursor = on_cursor, .bell = on_bell};
    pty->emulator = vterm_new(rows, columns);
    must(pty->emulator != NULL, "emulator");
    vterm_set_utf8(pty->emulator, 1);
    vterm_output_set_callback(pty->emulator, queue_bytes, pty);
    pty->screen = vterm_obtain_screen(pty->emulator);
    vterm_screen_set_callbacks(pty->screen, &callbacks, pty);
    vterm_screen_enable_altscreen(pty->screen, 1);
    vterm_screen_reset(pty->screen, 1);
}

struct pty *pty_start(const struct pty_how *how)
{
    struct winsize size = {.ws_row = (unsigned short)(how->rows ? how->rows : 24),
                           .ws_col = (unsigned short)(how->columns ? how->columns : 80)};
    struct pty *pty = calloc(1, sizeof *pty);
    must(pty != NULL, "pty");
    pty->status = -1;
    start_emulator(pty, size.ws_row, size.ws_col);
    pty->pid = forkpty(&pty->master, NULL, NULL, &size);
    must(pty->pid >= 0, "forkpty");
    if (pty->pid == 0) {
        if (how->shell)
            run_shell(how);
        run_program(how);
    }
    fcntl(pty->master, F_SETFL, O_NONBLOCK);
    fcntl(pty->master, F_SETFD, FD_CLOEXEC);
    return pty;
}

/* ---- bytes both ways ---- */

static void send_queue(struct pty *pty)
{
    ssize_t n = write(pty->master, pty->queue, pty->queued);
    if (n > 0) {
        pty->queued -= (size_t)n;
        memmove(pty->queue, pty->queue + n, pty->queued);
    }
}

void pty_pump(struct pty *pty, int milliseconds)
{
    char bytes[16384];
    struct pollfd wait = {pty->master, (short)(POLLIN | (pty->queued ? POLLOUT : 0)), 0};
    if (pty->ended || pty->master < 0) {
        poll(NULL, 0, milliseconds < 1 ? milliseconds : 1);
        return;
    }
    if (poll(&wait, 1, milliseconds) <= 0)
        return;
    if (wait.revents & POLLOUT)
        send_queue(pty);
    if (!(wait.revents & (POLLIN | POLLHUP | POLLERR)))
        return;
    ssize_t n = read(pty->master, bytes, sizeof bytes);
    if (n > 0) {
        vterm_input_write(pty->emulator, bytes, (size_t)n);
        vterm_screen_flush_damage(pty->screen);
        pty->changed_ms = pty_now_ms();
    } else if (n == 0 || errno != EAGAIN) {
        pty->ended = true;
    }
}

static void send_all(struct pty *pty)
{
    long long end = pty_now_ms() + DEADLINE_MS;
    while (pty->queued > 0 && !pty->ended && pty_now_ms() < end)
        pty_pump(pty, 100);
}

void pty_bytes(struct pty *pty, const char *bytes, size_t length)
{
    queue_bytes(bytes, length, pty);
    send_all(pty);
}

static const struct {
    const char *name;
    VTermKey key;
    VTermModifier modifier;
} keys[] = {
    {"Enter", VTERM_KEY_ENTER, VTERM_MOD_NONE},    {"Tab", VTERM_KEY_TAB, VTERM_MOD_NONE},
    {"Esc", VTERM_KEY_ESCAPE, VTERM_MOD_NONE},     {"Backspace", VTERM_KEY_BACKSPACE, VTERM_MOD_NONE},
    {"Up", VTERM_KEY_UP, VTERM_MOD_NONE},          {"Down", VTERM_KEY_DOWN, VTERM_MOD_NONE},
    {"Left", VTERM_KEY_LEFT, VTERM_MOD_NONE},      {"Right", VTERM_KEY_RIGHT, VTERM_MOD_NONE},
    {"Home", VTERM_KEY_HOME, VTERM_MOD_NONE},      {"End", VTERM_KEY_END, VTERM_MOD_NONE},
    {"PgUp", VTERM_KEY_PAGEUP, VTERM_MOD_NONE},    {"PgDn", VTERM_KEY_PAGEDOWN, VTERM_MOD_NONE},
    {"Delete", VTERM_KEY_DEL, VTERM_MOD_NONE},     {"Insert", VTERM_KEY_INS, VTERM_MOD_NONE},
    {"Shift-Tab", VTERM_KEY_TAB, VTERM_MOD_SHIFT}, {"Ctrl-Right", VTERM_KEY_RIGHT, VTERM_MOD_CTRL},
};

/* The key in angle brackets at the start of a text: its bytes there, 0 where there is none. */
static size_t send_named(struct pty *pty, const char *text)
{
    const char *end = text[0] == '<' ? strchr(text, '>') : NULL;
    size_t length = end ? (size_t)(end - text) - 1 : 0;
    const char *name = text + 1;
    char control;
    if (length == 0)
        return 0;
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        if (strlen(keys[i].name) == length && memcmp(keys[i].name, name, length) == 0) {
            vterm_keyboard_key(pty->emulator, keys[i].key, keys[i].modifier);
            return length + 2;
        }
    if (length == 6 && memcmp(name, "Ctrl-", 5) == 0) {
        control = name[5] & 0x1F;
        queue_bytes(&control, 1, pty);
        return length + 2;
    }
    if (length == 5 && memcmp(name, "Space", 5) == 0) {
        queue_bytes(" ", 1, pty);
        return length + 2;
    }
    if (name[0] == 'F' && length <= 3 && strspn(name + 1, "0123456789") == length - 1 && length > 1) {
        vterm_keyboard_key(pty->emulator, (VTermKey)VTERM_KEY_FUNCTION(atoi(name + 1)), VTERM_MOD_NONE);
        return length + 2;
    }
    return 0;
}

void pty_keys(struct pty *pty, const char *text)
{
    while (*text) {
        size_t length = send_named(pty, text);
        if (length == 0) {
            queue_bytes(text, 1, pty);
            length = 1;
        }
        text += length;
    }
    send_all(pty);
}

void pty_paste(struct pty *pty, const char *text)
{
    vterm_keyboard_start_paste(pty->emulator);
    queue_bytes(text, strlen(text), pty);
    vterm_keyboard_end_paste(pty->emulator);
    send_all(pty);
}

static void press(struct pty *pty, int row, int column, int button)
{
    vterm_mouse_move(pty->emulator, row, column, VTERM_MOD_NONE);
    vterm_mouse_button(pty->emulator, button, true, VTERM_MOD_NONE);
    vterm_mouse_button(pty->emulator, button, false, VTERM_MOD_NONE);
    send_all(pty);
}

void pty_click(struct pty *pty, int row, int column)
{
    press(pty, row, column, 1);
}

void pty_wheel(struct pty *pty, int row, int column, bool down)
{
    press(pty, row, column, down ? 5 : 4);
}

void pty_resize(struct pty *pty, int rows, int columns)
{
    struct winsize size = {.ws_row = (unsigned short)rows, .ws_col = (unsigned short)columns};
    vterm_set_size(pty->emulator, rows, columns);
    must(ioctl(pty->master, TIOCSWINSZ, &size) == 0, "TIOCSWINSZ");
}

void pty_signal(struct pty *pty, int number)
{
    kill(-tcgetpgrp(pty->master), number);
}

bool pty_is_cooked(const struct pty *pty)
{
    static const tcflag_t wanted = ECHO | ICANON | ISIG;
    struct termios settings = {0};
    must(tcgetattr(pty->master, &settings) == 0, "tcgetattr");
    return (settings.c_lflag & wanted) == wanted && settings.c_iflag & ICRNL && settings.c_oflag & OPOST;
}

void pty_hang_up(struct pty *pty)
{
    close(pty->master);
    pty->master = -1;
}

/* ---- waiting ---- */

bool pty_wait(struct pty *pty, pty_condition *condition, const void *context, const char *what)
{
    long long end = pty_now_ms() + DEADLINE_MS;
    while (!condition(pty, context)) {
        if (pty->ended || pty_now_ms() >= end) {
            fprintf(stderr, "%s before it was so: %s\n", pty->ended ? "the program ended" : "time was over",
                    what);
            pty_print(pty);
            return false;
        }
        pty_pump(pty, 100);
    }
    return true;
}

static bool shows(struct pty *pty, const void *text)
{
    char *screen = pty_screen(pty);
    bool there = strstr(screen, text) != NULL;
    free(screen);
    return there;
}

static bool shows_not(struct pty *pty, const void *text)
{
    return !shows(pty, text);
}

bool pty_wait_text(struct pty *pty, const char *text)
{
    return pty_wait(pty, shows, text, text);
}

bool pty_wait_gone(struct pty *pty, const char *text)
{
    return pty_wait(pty, shows_not, text, text);
}

struct row_text {
    int row;
    const char *text;
};

static bool row_shows(struct pty *pty, const void *context)
{
    const struct row_text *wanted = context;
    return strstr(pty_row(pty, wanted->row), wanted->text) != NULL;
}

bool pty_wait_row(struct pty *pty, int row, const char *text)
{
    struct row_text wanted = {row, text};
    return pty_wait(pty, row_shows, &wanted, text);
}

static bool is_quiet(struct pty *pty, const void *text)
{
    return pty_now_ms() - pty->changed_ms >= SETTLE_MS && shows(pty, text);
}

bool pty_settle(struct pty *pty, const char *text)
{
    long long end = pty_now_ms() + DEADLINE_MS;
    while (!is_quiet(pty, text) && !pty->ended && pty_now_ms() < end)
        pty_pump(pty, 5);
    return pty_wait(pty, is_quiet, text, text);
}

/* The end of the program, if it is there: its own seconds are the system's count. */
static bool reap(struct pty *pty, int options)
{
    struct rusage used = {0};
    int status = 0;
    if (pty->status < 0 && wait4(pty->pid, &status, options, &used) == pty->pid) {
        pty->status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
        pty->cpu_s = (double)(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
                     (double)(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / 1e6;
    }
    return pty->status >= 0;
}

int pty_wait_exit(struct pty *pty)
{
    long long end = pty_now_ms() + DEADLINE_MS;
    while (!reap(pty, WNOHANG) && pty_now_ms() < end)
        pty_pump(pty, 10);
    while (pty->status >= 0 && !pty->ended && pty->master >= 0) /* what it said last */
        pty_pump(pty, 10);
    return pty->status;
}

double pty_cpu_s(struct pty *pty)
{
    return pty->cpu_s;
}

void pty_end(struct pty *pty)
{
    if (pty->status < 0) {
        kill(pty->pid, SIGKILL);
        reap(pty, 0);
    }
    if (pty->master >= 0)
        close(pty->master);
    vterm_free(pty->emulator);
    free(pty->queue);
    free(pty->row);
    free(pty);
}
