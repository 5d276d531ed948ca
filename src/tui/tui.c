/* The loop: inputs of a terminal to the screens, their canvas back to it. */
#include "tui/tui.h"

#include "tui/speak.h"
#include "tui/term.h"
#include "tui/ui.h"

#include <stdlib.h>
#include <time.h>
#include <unistd.h>

enum {
    LOOK_MS = 200, /* others' changes show within this and a little */
    BURST_MS = 100 /* a picture at least this often while keys come without an end */
};

static int64_t now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

struct loop {
    struct sg_ui *ui;
    struct sg_term *term;
    struct sg_canvas canvas;
    int64_t looked, painted;
    bool leave;
};

static void fit(struct loop *loop)
{
    int rows, columns;
    sg_term_size(loop->term, &rows, &columns);
    sg_ui_resize(loop->ui, rows, columns);
}

static void grant(struct loop *loop, enum sg_wish wish)
{
    if (wish == SG_WISH_LEAVE)
        loop->leave = true;
    else if (wish == SG_WISH_SUSPEND)
        sg_term_suspend(loop->term);
    else if (wish == SG_WISH_AGAIN)
        sg_term_again(loop->term);
    else if (wish == SG_WISH_BELL)
        sg_term_bell(loop->term);
}

/* True where the picture may be another one. */
static bool take(struct loop *loop, const struct sg_input *input)
{
    switch (input->kind) {
    case SG_INPUT_NOTHING:
        return false;
    case SG_INPUT_GONE:
        sg_ui_gone(loop->ui);
        loop->leave = true;
        return false;
    case SG_INPUT_AWAKE:
        sg_term_again(loop->term);
        fit(loop);
        return true;
    case SG_INPUT_RESIZE:
        fit(loop);
        return true;
    default:
        sg_ui_input(loop->ui, input);
        grant(loop, sg_ui_wish(loop->ui));
        return true;
    }
}

static bool look(struct loop *loop)
{
    int64_t now = now_ms();
    if (now - loop->looked < LOOK_MS)
        return false;
    loop->looked = now;
    return sg_ui_look(loop->ui) || (!sg_term_more(loop->term) && sg_ui_idle(loop->ui));
}

static void run(struct loop *loop)
{
    struct sg_input input;
    bool draw = true;
    fit(loop);
    while (!loop->leave) {
        /* In a burst of keys only the last picture is painted. */
        if (draw && (!sg_term_more(loop->term) || now_ms() - loop->painted >= BURST_MS)) {
            sg_ui_draw(loop->ui, &loop->canvas);
            sg_term_paint(loop->term, &loop->canvas);
            loop->painted = now_ms();
            draw = false;
        }
        sg_term_read(loop->term, LOOK_MS / 2, &input);
        draw = take(loop, &input) || draw;
        draw = (!loop->leave && look(loop)) || draw;
    }
    sg_canvas_free(&loop->canvas);
}

static bool wants_color(const struct sg_tui_how *how)
{
    const char *no_color = getenv("NO_COLOR");
    if (how->color == SG_COLOR_AUTO)
        return !(no_color && *no_color);
    return how->color == SG_COLOR_ALWAYS;
}

enum sg_status sg_tui_run(struct sg_desk *desk, const struct sg_tui_how *how, struct sg_error *error)
{
    struct loop loop = {0};
    struct sg_ui_how screens = {.path = how->path, .read_only = how->read_only, .temporary = how->temporary};
    struct sg_term_how terminal = {.color = wants_color(how), .ascii = how->ascii, .mouse = how->mouse};
    if (how->plain)
        return sg_speak_run(desk, &screens, error);
    enum sg_status status = sg_term_open(&terminal, &loop.term, error);
    if (status != SG_OK)
        return status;
    screens.wide = sg_term_wide(loop.term);
    status = sg_ui_new(desk, &screens, &loop.ui, error);
    if (status == SG_OK)
        run(&loop);
    sg_ui_free(loop.ui);
    sg_term_close(loop.term);
    return status;
}
