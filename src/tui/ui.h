/* The screens, without a terminal: inputs go in, a canvas comes out. tui.c joins them to a terminal, speak.c
 * to a screen reader, tests to neither. */
#ifndef SANDGLASS_UI_H
#define SANDGLASS_UI_H

#include "edit/desk.h"
#include "tui/canvas.h"
#include "tui/stroke.h"

struct sg_ui;

struct sg_ui_how {
    const char *path;    /* of the shop file, as named; copied */
    bool wide;           /* characters beyond ASCII may be drawn */
    bool read_only;      /* nothing is kept */
    bool temporary;      /* the example shop, gone when the program ends */
    bool spoken;         /* for a screen reader: no marks that only stand for something seen */
    double (*now)(void); /* seconds since the epoch; NULL: of the system's clock */
};

/* The screens of a desk, which must outlive them. Errors as sg_desk_plan. Free with sg_ui_free, which takes
 * NULL. */
enum sg_status sg_ui_new(struct sg_desk *desk, const struct sg_ui_how *how, struct sg_ui **out,
                         struct sg_error *error);
void sg_ui_free(struct sg_ui *ui);

/* The size from now on. */
void sg_ui_resize(struct sg_ui *ui, int rows, int columns);

/* Take a key, a paste, a click. */
void sg_ui_input(struct sg_ui *ui, const struct sg_input *input);

/* Look whether somebody else changed the file; true where the picture may be another one. Cheap enough for
 * ten times a second. */
bool sg_ui_look(struct sg_ui *ui);

/* Nobody has typed for a moment: what the screen does then. True where the picture is another one. */
bool sg_ui_idle(struct sg_ui *ui);

/* Draw all of it. */
void sg_ui_draw(struct sg_ui *ui, struct sg_canvas *canvas);

/* What the loop has to do after an input: leave, stop until continued, send everything again, ring. Asking
 * takes the wish away. */
enum sg_wish { SG_WISH_NOTHING, SG_WISH_LEAVE, SG_WISH_SUSPEND, SG_WISH_AGAIN, SG_WISH_BELL };
enum sg_wish sg_ui_wish(struct sg_ui *ui);

/* The screens end because the terminal is gone: what is under the fingers stays in its file, to be offered at
 * the next start. */
void sg_ui_gone(struct sg_ui *ui);

/* ---- for a screen reader ---- */

/* Which screen it is; whether it is a text to be read as a whole; where one stands, in words: "2604/1/A:
 * quantity 16, typed 20". */
void sg_ui_say_title(struct sg_ui *ui, char *out, size_t size);
bool sg_ui_is_text(struct sg_ui *ui);
void sg_ui_say_place(struct sg_ui *ui, char *out, size_t size);
/* The three answers in words; the message of the last key, "" where it has none. */
void sg_ui_say_answers(struct sg_ui *ui, char *out, size_t size);
const char *sg_ui_say_message(struct sg_ui *ui);

#endif
