/* The screens without a terminal: a shop file of its own, keys in, rows of text out. */
#ifndef TESTS_ON_SCREEN_H
#define TESTS_ON_SCREEN_H

#include "edit/shop_file.h"
#include "tui/ui.h"

#include <check.h>
#include <locale.h>

struct on_screen {
    struct shop_file file;
    struct sg_desk *desk;
    struct sg_ui *ui;
    struct sg_canvas canvas;
    enum sg_wish wish; /* of the last key */
};

/* Screens on a shop file that is there. */
static inline void on_screen_start(struct on_screen *s, const struct sg_ui_how *how, int rows, int columns)
{
    struct sg_error error;
    setlocale(LC_CTYPE, "C.UTF-8");
    s->desk = shop_file_desk(&s->file, how->read_only ? SG_STORE_READ : SG_STORE_WRITE);
    sg_desk_sign(s->desk, "programmer");
    shop_must(sg_ui_new(s->desk, how, &s->ui, &error), &error);
    sg_ui_resize(s->ui, rows, columns);
}

/* On a new one, the example or one without jobs, of 24 rows and 80 columns. */
static inline struct on_screen on_screen_open(bool example)
{
    struct on_screen s = {0};
    shop_file_make(&s.file, example);
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path}, 24, 80);
    return s;
}

static inline void on_screen_stop(struct on_screen *s)
{
    sg_ui_free(s->ui);
    sg_desk_close(s->desk);
    sg_canvas_free(&s->canvas);
}

/* Ends with the shop file; nothing else may be left beside it. */
static inline void on_screen_close(struct on_screen *s)
{
    on_screen_stop(s);
    ck_assert(shop_file_remove(&s->file));
}

static inline void press_stroke(struct on_screen *s, int32_t stroke)
{
    sg_ui_input(s->ui, &(struct sg_input){.kind = SG_INPUT_STROKE, .stroke = stroke});
    s->wish = sg_ui_wish(s->ui);
    sg_ui_draw(s->ui, &s->canvas); /* as the loop does after each key */
}

/* "20<Enter>": characters, and names of keys in angle brackets. */
static inline void press(struct on_screen *s, const char *keys)
{
    while (*keys) {
        size_t length = *keys == '<' ? strcspn(keys, ">") : 0;
        int32_t second, stroke = length > 1 ? sg_stroke_find(keys + 1, length - 1, &second) : 0;
        if (stroke && !second) {
            keys += length + 1;
        } else {
            stroke = (unsigned char)*keys++; /* tests type ASCII; the rest comes as a paste */
        }
        press_stroke(s, stroke);
    }
}

static inline void paste(struct on_screen *s, const char *text)
{
    sg_ui_input(s->ui, &(struct sg_input){.kind = SG_INPUT_PASTE, .text = text, .length = strlen(text)});
    sg_ui_draw(s->ui, &s->canvas);
}

/* A row as text; valid until the next call but one. */
static inline const char *row(struct on_screen *s, int index)
{
    static char rows[2][4000];
    static int which;
    which = 1 - which;
    sg_ui_draw(s->ui, &s->canvas);
    sg_canvas_row(&s->canvas, index, rows[which], sizeof rows[which]);
    return rows[which];
}

/* The first row with a text, -1 where there is none. */
static inline int row_with(struct on_screen *s, const char *text)
{
    for (int i = 0; i < s->canvas.rows || i == 0; i++)
        if (strstr(row(s, i), text))
            return i;
    return -1;
}

static inline void print_screen(struct on_screen *s)
{
    for (int i = 0; i < s->canvas.rows; i++)
        fprintf(stderr, "|%s\n", row(s, i));
}

#define ck_shows(s, text)                                                                                    \
    do {                                                                                                     \
        if (row_with((s), (text)) < 0) {                                                                     \
            print_screen(s);                                                                                 \
            ck_abort_msg("not on the screen: %s", (text));                                                   \
        }                                                                                                    \
    } while (0)

#define ck_shows_not(s, text)                                                                                \
    do {                                                                                                     \
        if (row_with((s), (text)) >= 0) {                                                                    \
            print_screen(s);                                                                                 \
            ck_abort_msg("on the screen: %s", (text));                                                       \
        }                                                                                                    \
    } while (0)

#endif
