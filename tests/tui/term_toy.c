/* The smallest program over the terminal: it shows the last input in words, names that are hard to draw, and
 * a mark in each role. q leaves, z suspends, c crashes, b rings, t shows the cursor, s paints a thousand
 * times. */
#include "tui/term.h"

#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct toy {
    struct sg_term *term;
    struct sg_canvas canvas;
    char last[200];
    int inputs, paints;
    bool cursor;
};

static const char *const kinds[] = {"nothing", "key", "paste", "click", "wheel", "resize", "awake", "gone"};

static void describe(struct toy *toy, const struct sg_input *input)
{
    char name[40];
    size_t size = sizeof toy->last;
    sg_stroke_name(input->stroke, name, sizeof name);
    if (input->kind == SG_INPUT_STROKE)
        snprintf(toy->last, size, "key %s", name);
    else if (input->kind == SG_INPUT_PASTE)
        snprintf(toy->last, size, "paste %zu %.60s", input->length, input->text ? input->text : "too long");
    else if (input->kind == SG_INPUT_CLICK || input->kind == SG_INPUT_WHEEL)
        snprintf(toy->last, size, "%s %d %d %d", kinds[input->kind], input->row, input->column,
                 input->stroke);
    else
        snprintf(toy->last, size, "%s", kinds[input->kind]);
    toy->inputs++;
}

static void draw(struct toy *toy)
{
    static const char *const names[] = {"\xE6\x97\xA5\xE6\x9C\xAC|", "e\xCC\x81t\xC3\xA9|",
                                        "\xE2\x96\x83\xE2\x96\x88|"};
    struct sg_canvas *canvas = &toy->canvas;
    int rows, columns;
    sg_term_size(toy->term, &rows, &columns);
    if (!sg_canvas_clear(canvas, rows, columns))
        exit(3);
    sg_canvas_format(canvas, 0, 0, columns, SG_ROLE_TITLE, "toy %dx%d", rows, columns);
    sg_canvas_format(canvas, 1, 0, columns, SG_ROLE_TEXT, "%d: %s", toy->inputs, toy->last);
    for (int i = 0; i < 3; i++)
        sg_canvas_put(canvas, 2, i * 10, columns, i ? SG_ROLE_RESULT : SG_ROLE_CURSOR, names[i]);
    for (int role = 0; role < SG_ROLES; role++)
        sg_canvas_put(canvas, 3, role, 1, (enum sg_role)role, "x");
    sg_canvas_put(canvas, rows - 1, columns - 1, 1, SG_ROLE_WRONG, "#");
    canvas->cursor_row = toy->cursor ? 1 : -1;
    canvas->cursor_column = toy->cursor ? 2 : -1;
    sg_term_paint(toy->term, canvas);
    toy->paints++;
}

static void act(struct toy *toy, int32_t stroke)
{
    if (stroke == 'c')
        abort();
    if (stroke == 'z' || stroke == SG_STROKE_CTRL('Z'))
        sg_term_suspend(toy->term);
    if (stroke == 'b')
        sg_term_bell(toy->term);
    if (stroke == 't')
        toy->cursor = !toy->cursor;
    for (int i = 0; stroke == 's' && i < 1000; i++) {
        sg_term_again(toy->term);
        draw(toy);
    }
}

static void run(struct toy *toy)
{
    struct sg_input input = {0};
    draw(toy);
    for (;;) {
        sg_term_read(toy->term, 100, &input);
        if (input.kind == SG_INPUT_GONE || (input.kind == SG_INPUT_STROKE && input.stroke == 'q'))
            return;
        if (input.kind == SG_INPUT_NOTHING)
            continue;
        describe(toy, &input);
        if (input.kind == SG_INPUT_STROKE)
            act(toy, input.stroke);
        if (!sg_term_more(toy->term))
            draw(toy);
    }
}

int main(int argc, char **argv)
{
    struct sg_term_how how = {.color = true};
    struct toy toy = {.last = "start"};
    struct sg_error error;
    if (!setlocale(LC_CTYPE, "C.UTF-8"))
        setlocale(LC_CTYPE, "");
    for (int i = 1; i < argc; i++) {
        how.color = how.color && strcmp(argv[i], "mono") != 0;
        how.ascii = how.ascii || strcmp(argv[i], "ascii") == 0;
        how.mouse = how.mouse || strcmp(argv[i], "mouse") == 0;
    }
    if (sg_term_open(&how, &toy.term, &error) != SG_OK) {
        fprintf(stderr, "%s\n", error.text);
        return (int)error.status;
    }
    run(&toy);
    sg_term_close(toy.term);
    sg_canvas_free(&toy.canvas);
    printf("left after %d inputs\n", toy.inputs);
    return 0;
}
