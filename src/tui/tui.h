/* The screens on a terminal. */
#ifndef SANDGLASS_TUI_H
#define SANDGLASS_TUI_H

#include "edit/desk.h"
#include "exchange/exchange.h"

enum sg_tui_color { SG_COLOR_AUTO, SG_COLOR_ALWAYS, SG_COLOR_NEVER };

struct sg_tui_how {
    const char *path;        /* of the shop file, as named */
    enum sg_tui_color color; /* auto: where the terminal has any and NO_COLOR is not set */
    bool ascii, mouse, read_only;
    bool plain;     /* lines of text for a screen reader instead of a picture */
    bool temporary; /* the shop file goes away with the program, and the screens say so */
};

/* Run the screens until the user leaves. SG_OK; SG_USAGE where there is no terminal to run on. */
enum sg_status sg_tui_run(struct sg_desk *desk, const struct sg_tui_how *how, struct sg_error *error);

/* The table of actions: as text for `keys`, as a section of the manual, as JSON. */
void sg_keys_text(struct sg_text *out);
void sg_keys_manual(struct sg_text *out);
void sg_keys_json(struct sg_text *out);

#endif
