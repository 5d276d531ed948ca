/* The terminal: the only place that knows curses. Opens it, paints a canvas, reads keys, and gives the
 * terminal back as it was whatever happens. */
#ifndef SANDGLASS_TERM_H
#define SANDGLASS_TERM_H

#include "sandglass/status.h"
#include "tui/canvas.h"
#include "tui/stroke.h"

struct sg_term_how {
    bool color; /* where the terminal has any */
    bool ascii; /* nothing but ASCII goes out, whatever the locale says */
    bool mouse;
};

struct sg_term;

/* Open the terminal of standard input and output. SG_USAGE with what would be right where it is none, or its
 * TERM is not known. Close with sg_term_close, which takes NULL and may be called at any time. */
enum sg_status sg_term_open(const struct sg_term_how *how, struct sg_term **out, struct sg_error *error);
void sg_term_close(struct sg_term *term);

/* The size now. */
void sg_term_size(const struct sg_term *term, int *rows, int *columns);

/* Whether characters beyond ASCII reach the screen: a UTF-8 locale and no `ascii`. */
bool sg_term_wide(const struct sg_term *term);

/* Show a canvas; only what changed is sent. */
void sg_term_paint(struct sg_term *term, const struct sg_canvas *canvas);

/* Send all of it again at the next paint. */
void sg_term_again(struct sg_term *term);

/* Wait at most so many milliseconds for an input. Its text is valid until the next call of this or of
 * sg_term_more. A hang-up is told again and again. */
void sg_term_read(struct sg_term *term, int milliseconds, struct sg_input *input);

/* Whether the next input is there already: then a screen need not be painted in between. */
bool sg_term_more(struct sg_term *term);

/* Give the terminal back, stop until continued, take it again; the next input is AWAKE then. */
void sg_term_suspend(struct sg_term *term);

void sg_term_bell(struct sg_term *term);

#endif
