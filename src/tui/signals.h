/* Signals of a program on a terminal. Handlers only note that they were called and wake the one who waits;
 * the loop does the work. When the program crashes the terminal is given back first. One user a process. */
#ifndef SANDGLASS_SIGNALS_H
#define SANDGLASS_SIGNALS_H

#include <stdbool.h>
#include <stddef.h>
#include <termios.h>

struct sg_signals {
    bool resized;     /* the terminal has another size */
    bool gone;        /* leave: hang-up, or somebody ended the program */
    bool awake;       /* continued after a stop */
    bool stop;        /* somebody wants the program stopped */
    bool interrupted; /* SIGINT from outside; the key does not send it */
};

/* Take the signals over, before curses is opened (it leaves alone what has a handler). False with errno where
 * there is no pipe. */
bool sg_signals_start(void);
void sg_signals_end(void);

/* Becomes readable when a signal came. */
int sg_signals_wake(void);

/* What came since the last call. */
struct sg_signals sg_signals_take(void);

/* What puts the terminal right when the program dies: bytes for it (copied, cut at 256) and its settings. */
void sg_signals_rescue(int terminal, const struct termios *settings, const char *bytes, size_t length);

/* Stop the job until it is continued. */
void sg_signals_stop_job(void);

#endif
