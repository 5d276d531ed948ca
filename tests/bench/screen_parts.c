#define _DEFAULT_SOURCE /* openpty */
#include "screen_parts.h"

#include "stopwatch.h"
#include "tui/inside.h"
#include "tui/term.h"

#include <pty.h>
#include <signal.h>
#include <sys/wait.h>

static struct sg_error error;

struct inside {
    struct sg_desk *desk;
    struct sg_ui *ui;
    struct sg_canvas canvas;
};

typedef void doing(struct inside *in, int i);

enum { WARM = 20 }; /* times that do not count; even, since many things are done and taken back by turns */

static void measure(struct inside *in, const char *what, doing *step, int runs)
{
    for (int i = -WARM; i < runs; i++) {
        double start = now_ms();
        step(in, i + WARM);
        if (i >= 0)
            note_ms(now_ms() - start);
    }
    report(what, "");
}

static void take(struct inside *in, int32_t stroke)
{
    sg_ui_input(in->ui, &(struct sg_input){.kind = SG_INPUT_STROKE, .stroke = stroke});
}

static void type_quantity(struct inside *in, int i)
{
    take(in, i % 2 ? SG_STROKE_BACKSPACE : '0' + i / 2 % 10);
}

static void draw(struct inside *in, int i)
{
    (void)i;
    sg_ui_draw(in->ui, &in->canvas);
}

static void type_and_draw(struct inside *in, int i)
{
    type_quantity(in, i);
    draw(in, i);
}

static void type_and_plan(struct inside *in, int i)
{
    struct sg_typed typed;
    char text[8];
    snprintf(text, sizeof text, "%d", 50 + i % 10);
    sg_draft_type(in->ui->draft, in->ui->typing.targets[0], in->ui->typing.field, text, &typed);
    sg_ui_try(in->ui);
}

static void build(struct inside *in, int i)
{
    (void)i;
    sg_ui_build(in->ui);
}

static void move_and_draw(struct inside *in, int i)
{
    take(in, i % 2 ? SG_STROKE_UP : SG_STROKE_DOWN);
    draw(in, i);
}

static void end_and_draw(struct inside *in, int i)
{
    take(in, i % 2 ? 'G' : 'g');
    if (i % 2 == 0)
        take(in, 'g');
    draw(in, i);
}

/* The other end of a terminal, where everything is thrown away. */
static pid_t read_away(int master)
{
    pid_t child = fork();
    char bytes[4096];
    must(child >= 0, "fork");
    if (child > 0)
        return child;
    while (read(master, bytes, sizeof bytes) > 0)
        ;
    _exit(0);
}

/* One key's picture after another. */
static void paint_keys(struct inside *in, struct sg_term *term, int runs)
{
    for (int i = -WARM; i < runs; i++) {
        type_and_draw(in, i + WARM);
        double start = now_ms();
        sg_term_paint(term, &in->canvas);
        if (i >= 0)
            note_ms(now_ms() - start);
    }
}

static void bench_paint(struct inside *in, int runs)
{
    struct winsize size = {.ws_row = ROWS, .ws_col = COLUMNS};
    struct sg_term *term;
    int master, slave, input = dup(STDIN_FILENO), output = dup(STDOUT_FILENO);
    must(openpty(&master, &slave, NULL, NULL, &size) == 0, "openpty");
    pid_t reader = read_away(master);
    dup2(slave, STDIN_FILENO);
    dup2(slave, STDOUT_FILENO);
    shop_must(sg_term_open(&(struct sg_term_how){.color = true}, &term, &error), &error);
    paint_keys(in, term, runs);
    sg_term_close(term);
    dup2(input, STDIN_FILENO);
    dup2(output, STDOUT_FILENO);
    close(input);
    close(output);
    close(slave);
    close(master);
    kill(reader, SIGTERM);
    waitpid(reader, NULL, 0);
    report("paint of a key's picture, alone", "");
}

/* A job was just opened: one stands on the quantity of its first part. */
static void bench_job(struct inside *in, int runs)
{
    take(in, '5');
    must(in->ui->typing.open, "a field is open");
    measure(in, "a key in a quantity, drawn", type_and_draw, runs);
    measure(in, "  of it: the key", type_quantity, runs);
    measure(in, "  of it: draft and plan", type_and_plan, runs);
    measure(in, "  of it: the drawing", draw, runs);
    bench_paint(in, runs);
    take(in, SG_STROKE_ESC);
    must(!in->ui->typing.open, "the field is closed");
    measure(in, "the lines of the job, built", build, runs / 4);
    measure(in, "Job: down a row, drawn", move_and_draw, runs / 2);
    measure(in, "Job: first row, last row, drawn", end_and_draw, runs / 2);
}

void bench_parts(const struct shop_file *file, int runs)
{
    struct inside in = {.desk = shop_file_desk(file, SG_STORE_WRITE)};
    sg_desk_sign(in.desk, "bench");
    shop_must(sg_ui_new(in.desk, &(struct sg_ui_how){.path = file->path, .wide = true}, &in.ui, &error),
              &error);
    sg_ui_resize(in.ui, ROWS, COLUMNS);
    printf("  in the process, 24x80:\n");
    measure(&in, "Shift: down a row, drawn", move_and_draw, runs / 2);
    take(&in, SG_STROKE_ENTER);
    bench_job(&in, runs);
    sg_ui_back(in.ui);
    sg_ui_resize(in.ui, TALL, BROAD);
    printf("  in the process, 50x160:\n");
    measure(&in, "Shift: down a row, drawn, with its chart", move_and_draw, runs / 2);
    static const char *const others[] = {"hopper", "sheet"};
    for (int i = 0; i < 2; i++) {
        take(&in, 'g');
        take(&in, "hp"[i]);
        measure(&in, others[i], draw, runs / 10);
        sg_ui_back(in.ui);
    }
    sg_ui_free(in.ui);
    sg_desk_close(in.desk);
    sg_canvas_free(&in.canvas);
}
