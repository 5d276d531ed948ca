#include "tui/speak.h"

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

enum { WORDS = 1000, ESC_MS = 25, LOOK_MS = 200 };

struct speaker {
    struct sg_ui *ui;
    struct sg_strokes strokes;
    struct termios before;
    char title[WORDS], place[WORDS], answers[WORDS]; /* what was said last */
    bool leave;
};

static volatile sig_atomic_t ended;

static void on_end(int signal_number)
{
    (void)signal_number;
    ended = 1;
}

/* Say a text unless it is what was said last. */
static void say_new(char *last, const char *text)
{
    if (strcmp(last, text) == 0)
        return;
    if (*text)
        printf("%s\r\n", text);
    snprintf(last, WORDS, "%s", text);
}

/* A screen that is a text to read is read whole, once. */
static void say_page(struct speaker *speaker)
{
    struct sg_canvas canvas = {0};
    char row[WORDS];
    sg_ui_draw(speaker->ui, &canvas);
    for (int i = 3; i < canvas.rows - 4; i++)
        if (sg_canvas_row(&canvas, i, row, sizeof row) > 0)
            printf("%s\r\n", row);
    sg_canvas_free(&canvas);
}

static void say(struct speaker *speaker)
{
    char title[WORDS], text[WORDS];
    sg_ui_say_title(speaker->ui, title, sizeof title);
    bool other = strcmp(title, speaker->title) != 0;
    say_new(speaker->title, title);
    if (other && sg_ui_is_text(speaker->ui))
        say_page(speaker);
    sg_ui_say_place(speaker->ui, text, sizeof text);
    say_new(speaker->place, text);
    sg_ui_say_answers(speaker->ui, text, sizeof text);
    say_new(speaker->answers, text);
    if (*sg_ui_say_message(speaker->ui))
        printf("%s\r\n", sg_ui_say_message(speaker->ui));
    fflush(stdout);
}

static void raw(struct speaker *speaker)
{
    struct termios now = speaker->before;
    now.c_lflag &= ~(tcflag_t)(ICANON | ECHO | ISIG | IEXTEN);
    now.c_iflag &= ~(tcflag_t)(ICRNL | IXON);
    now.c_cc[VMIN] = 0;
    now.c_cc[VTIME] = 0;
    tcsetattr(STDIN_FILENO, TCSADRAIN, &now);
}

static void take(struct speaker *speaker, const struct sg_input *input)
{
    sg_ui_input(speaker->ui, input);
    enum sg_wish wish = sg_ui_wish(speaker->ui);
    speaker->leave = wish == SG_WISH_LEAVE;
    if (wish == SG_WISH_AGAIN)
        speaker->title[0] = speaker->place[0] = speaker->answers[0] = '\0';
    if (wish == SG_WISH_SUSPEND) {
        tcsetattr(STDIN_FILENO, TCSADRAIN, &speaker->before);
        raise(SIGTSTP);
        raw(speaker);
    }
    say(speaker);
}

/* False at the end of the input. */
static bool read_keys(struct speaker *speaker)
{
    char bytes[256];
    struct sg_input input;
    ssize_t n = read(STDIN_FILENO, bytes, sizeof bytes);
    if (n <= 0)
        return n < 0 && errno == EINTR;
    for (size_t at = 0; at < (size_t)n && !speaker->leave;) {
        at += sg_strokes_take(&speaker->strokes, bytes + at, (size_t)n - at, &input);
        if (input.kind != SG_INPUT_NOTHING)
            take(speaker, &input);
    }
    return true;
}

static void loop(struct speaker *speaker)
{
    struct sg_input input;
    say(speaker);
    while (!speaker->leave && !ended) {
        int wait = sg_strokes_wait(&speaker->strokes, ESC_MS);
        struct pollfd fd = {.fd = STDIN_FILENO, .events = POLLIN};
        int ready = poll(&fd, 1, wait >= 0 && wait < LOOK_MS ? wait : LOOK_MS);
        if (ready > 0 && !read_keys(speaker))
            break;
        if (ready == 0 && wait >= 0 && wait <= LOOK_MS) {
            sg_strokes_late(&speaker->strokes, &input);
            if (input.kind != SG_INPUT_NOTHING)
                take(speaker, &input);
        }
        if (sg_ui_look(speaker->ui))
            say(speaker);
    }
    if (!speaker->leave)
        sg_ui_gone(speaker->ui);
}

enum sg_status sg_speak_run(struct sg_desk *desk, const struct sg_ui_how *how, struct sg_error *error)
{
    struct speaker speaker = {0};
    struct sg_ui_how spoken = *how;
    struct sigaction end = {.sa_handler = on_end};
    spoken.spoken = true;
    if (tcgetattr(STDIN_FILENO, &speaker.before) != 0)
        return sg_fail(error, SG_USAGE, "standard input is no terminal: the commands work without one");
    enum sg_status status = sg_ui_new(desk, &spoken, &speaker.ui, error);
    if (status != SG_OK)
        return status;
    sg_ui_resize(speaker.ui, 400, 100); /* nothing is cut that is read out */
    sigaction(SIGTERM, &end, NULL);
    sigaction(SIGHUP, &end, NULL);
    raw(&speaker);
    loop(&speaker);
    tcsetattr(STDIN_FILENO, TCSADRAIN, &speaker.before);
    sg_strokes_free(&speaker.strokes);
    sg_ui_free(speaker.ui);
    return SG_OK;
}
