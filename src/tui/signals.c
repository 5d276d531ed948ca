#include "tui/signals.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

/* A signal that comes twice before it is looked at counts once. */
static volatile sig_atomic_t resized, gone, awake, stop, interrupted;
static int wake[2] = {-1, -1};

static const struct {
    int number;
    volatile sig_atomic_t *seen; /* NULL: the program dies of it */
} taken[] = {
    {SIGWINCH, &resized}, {SIGHUP, &gone},        {SIGTERM, &gone}, {SIGCONT, &awake},
    {SIGTSTP, &stop},     {SIGINT, &interrupted}, {SIGSEGV, NULL},  {SIGABRT, NULL},
    {SIGBUS, NULL},       {SIGFPE, NULL},         {SIGILL, NULL},   {SIGQUIT, NULL},
};
enum { TAKEN = sizeof taken / sizeof *taken };
static struct sigaction before[TAKEN];
static bool started;

static struct {
    int terminal;
    struct termios settings;
    char bytes[256];
    size_t length;
} saved = {.terminal = -1};

static void note(int signal_number)
{
    int error = errno;
    for (size_t i = 0; i < TAKEN; i++)
        if (taken[i].number == signal_number)
            *taken[i].seen = 1;
    ssize_t written = write(wake[1], "", 1); /* a full pipe wakes as well */
    (void)written;
    errno = error;
}

/* Nothing here but what a signal handler may call. */
static void rescue(int signal_number)
{
    if (saved.terminal >= 0) {
        ssize_t written = write(saved.terminal, saved.bytes, saved.length);
        (void)written;
        tcsetattr(saved.terminal, TCSANOW, &saved.settings);
    }
    for (size_t i = 0; i < TAKEN; i++)
        if (taken[i].number == signal_number)
            sigaction(signal_number, &before[i], NULL);
    raise(signal_number);
}

static void take_signal(size_t i)
{
    struct sigaction action = {0};
    action.sa_handler = taken[i].seen ? note : rescue;
    action.sa_flags = SA_RESTART;
    sigemptyset(&action.sa_mask);
    sigaction(taken[i].number, &action, &before[i]);
}

bool sg_signals_start(void)
{
    if (pipe(wake) != 0)
        return false;
    for (int i = 0; i < 2; i++) {
        fcntl(wake[i], F_SETFD, FD_CLOEXEC);
        fcntl(wake[i], F_SETFL, O_NONBLOCK);
    }
    resized = gone = awake = stop = interrupted = 0;
    for (size_t i = 0; i < TAKEN; i++)
        take_signal(i);
    started = true;
    return true;
}

void sg_signals_end(void)
{
    if (!started)
        return;
    for (size_t i = 0; i < TAKEN; i++)
        sigaction(taken[i].number, &before[i], NULL);
    close(wake[0]);
    close(wake[1]);
    wake[0] = wake[1] = saved.terminal = -1;
    started = false;
}

int sg_signals_wake(void)
{
    return wake[0];
}

static bool take_flag(volatile sig_atomic_t *flag)
{
    bool was = *flag != 0;
    if (was)
        *flag = 0;
    return was;
}

struct sg_signals sg_signals_take(void)
{
    char bytes[64];
    while (read(wake[0], bytes, sizeof bytes) > 0) /* emptied first: what comes now wakes again */
        ;
    return (struct sg_signals){take_flag(&resized), take_flag(&gone), take_flag(&awake), take_flag(&stop),
                               take_flag(&interrupted)};
}

void sg_signals_rescue(int terminal, const struct termios *settings, const char *bytes, size_t length)
{
    saved.length = length < sizeof saved.bytes ? length : sizeof saved.bytes;
    memcpy(saved.bytes, bytes, saved.length);
    saved.settings = *settings;
    saved.terminal = terminal;
}

/* All of the job, so that a shell script around the program stops as well. */
void sg_signals_stop_job(void)
{
    struct sigaction otherwise = {0}, ours;
    otherwise.sa_handler = SIG_DFL;
    sigemptyset(&otherwise.sa_mask);
    sigaction(SIGTSTP, &otherwise, &ours);
    kill(0, SIGTSTP);
    sigaction(SIGTSTP, &ours, NULL);
    awake = 0; /* the caller knows */
}
