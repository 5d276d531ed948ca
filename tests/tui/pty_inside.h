/* Between pty.c (the program and its bytes) and pty_screen.c (the cells). */
#ifndef TESTS_PTY_INSIDE_H
#define TESTS_PTY_INSIDE_H

#include "tui/pty.h"

#include <sys/types.h>
#include <vterm.h>

struct pty {
    int master; /* -1: hung up */
    pid_t pid;  /* the program, or the shell around it */
    bool ended; /* nothing more comes */
    int status; /* of the end; -1 not yet */
    double cpu_s;
    VTerm *emulator;
    VTermScreen *screen;
    struct pty_state state;
    char *queue; /* bytes to the program that are not sent yet */
    size_t queued, queue_room;
    long long changed_ms; /* when the last bytes came */
    char *row;            /* of pty_row */
};

long long pty_now_ms(void);

/* Move bytes both ways for at most so many milliseconds; returns as soon as some came. */
void pty_pump(struct pty *pty, int milliseconds);

#endif
