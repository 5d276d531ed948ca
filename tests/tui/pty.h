/* A program on a terminal of its own: started on a pseudo terminal whose other end is an emulator, so that
 * tests see the cells a person would see. Nothing here sleeps; every wait is for a condition, with a deadline
 * after which the screen is printed to standard error and the wait says false. */
#ifndef TESTS_PTY_H
#define TESTS_PTY_H

#include <stdbool.h>
#include <stddef.h>

struct pty;

struct pty_how {
    const char *program;
    const char *const *arguments;   /* behind the program's name, ended by NULL; NULL: none */
    const char *const *environment; /* "NAME=value", ended by NULL; over TERM=xterm-256color, LC_ALL=C.UTF-8,
                                       TZ=UTC and nothing else of the test's own; NULL: only these */
    int rows, columns;              /* 0: 24, 80 */
    bool shell; /* started like a job of a shell, which says "stopped" and goes on after Enter */
};

/* Start; the test ends where that fails. Ends with pty_end, which kills what still runs. */
struct pty *pty_start(const struct pty_how *how);
void pty_end(struct pty *pty);

/* ---- to the program ---- */

/* Keys in one burst: text, and names in angle brackets as the program writes them: "<Enter>", "<Ctrl-R>",
 * "<Shift-Tab>", "<F1>". Arrows and the like are sent as the mode of the terminal wants them. "<" that begins
 * no name is the character. */
void pty_keys(struct pty *pty, const char *keys);
void pty_bytes(struct pty *pty, const char *bytes, size_t length);
void pty_paste(struct pty *pty, const char *text); /* in brackets where the program asked for them */
void pty_click(struct pty *pty, int row, int column);
void pty_wheel(struct pty *pty, int row, int column, bool down);
void pty_resize(struct pty *pty, int rows, int columns);
void pty_signal(struct pty *pty, int number); /* to the program, not to the shell around it */
void pty_hang_up(struct pty *pty);            /* the terminal is gone */

/* ---- from the program ---- */

typedef bool pty_condition(struct pty *pty, const void *context);
bool pty_wait(struct pty *pty, pty_condition *condition, const void *context, const char *what);
bool pty_wait_text(struct pty *pty, const char *text); /* somewhere on the screen */
bool pty_wait_gone(struct pty *pty, const char *text); /* nowhere on the screen */
bool pty_wait_row(struct pty *pty, int row, const char *text);

/* The text is there and nothing more came for 30 ms: the frame is whole. */
bool pty_settle(struct pty *pty, const char *text);

/* Wait for the end: the exit status, or 128 and the signal that it died of; -1 after the deadline. */
int pty_wait_exit(struct pty *pty);
double pty_cpu_s(struct pty *pty); /* of the program that has ended */

/* A row without the blanks behind it; valid until the next call. */
const char *pty_row(struct pty *pty, int row);
int pty_rows(const struct pty *pty);

struct pty_cell {
    char text[32]; /* UTF-8; "" blank */
    int width;
    bool bold, underline, reverse;
    int color; /* of the eight; -1 the terminal's own */
};
struct pty_cell pty_cell(struct pty *pty, int row, int column);

struct pty_state {
    int row, column;        /* of the cursor */
    bool cursor, alternate; /* the cursor is shown; the other screen is */
    int mouse, bells;       /* 0: the program gets no clicks */
};
struct pty_state pty_state(const struct pty *pty);

/* Whether the line is set as a shell wants it: it echoes, waits for whole lines, knows Ctrl-C. */
bool pty_is_cooked(const struct pty *pty);

/* The whole screen as lines, and all of it to standard error. Free with free(). */
char *pty_screen(struct pty *pty);
void pty_print(struct pty *pty);

/* The screen is fixtures/screens/NAME.txt; with SANDGLASS_GOLDEN=write in the environment it becomes so. */
bool pty_golden(struct pty *pty, const char *name);

#endif
