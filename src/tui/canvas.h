/* The canvas: a grid of character cells that screens are drawn on, before any terminal is asked. It knows how
 * wide a text is and never cuts a wide character in half, so that columns stand under each other whatever is
 * in a name. No curses here: tests read it as text, term.c puts it on the terminal. Widths are those of the C
 * library, so LC_CTYPE must be one of UTF-8 (sg_cli_main sets it; a test does so itself). */
#ifndef SANDGLASS_CANVAS_H
#define SANDGLASS_CANVAS_H

#include <stdbool.h>
#include <stddef.h>

/* What a text is, not how it looks: term.c has the table of colours and attributes, each with a column for a
 * terminal that has none. Nothing is told by a role alone: a mark or a word stands beside it. */
enum sg_role {
    SG_ROLE_TEXT,
    SG_ROLE_TITLE,   /* the first line */
    SG_ROLE_ANSWER,  /* the three answers */
    SG_ROLE_LABEL,   /* names of columns and fields, rules, hints */
    SG_ROLE_INPUT,   /* a value that can be typed over */
    SG_ROLE_RESULT,  /* a computed value */
    SG_ROLE_CHANGED, /* differs from what is in the plan; marked * */
    SG_ROLE_STALE,   /* older than what is typed; marked ? */
    SG_ROLE_WRONG,   /* refused, late, short */
    SG_ROLE_ODD,     /* worth a look; marked ! */
    SG_ROLE_CURSOR,  /* the cell on which one stands */
    SG_ROLE_FIELD,   /* the text under the fingers */
    SG_ROLE_MARKED,  /* a marked row */
    SG_ROLE_KEY,     /* a key in the line of keys */
    SG_ROLE_FULL,    /* garnet in the chart of the hopper */
    SG_ROLE_LOW,     /* what is below the low line, waiting, skeleton */
    SG_ROLE_PIECE,   /* a piece on a sheet */
    SG_ROLES
};

enum { SG_CELL_BYTES = 22 };

struct sg_cell {
    char text[SG_CELL_BYTES]; /* one character with up to four marks that combine with it, UTF-8; "" is the
                                 right half of a wide one */
    unsigned char width;      /* 1, 2, or 0 of the right half */
    unsigned char role;       /* enum sg_role */
};

struct sg_canvas {
    int rows, columns;
    struct sg_cell *cells;         /* owned; row by row */
    int cursor_row, cursor_column; /* where the terminal's cursor stands; -1: hidden */
};

/* Make it blank with that size, the cursor hidden. False where memory is out; the canvas is then as it was.
 * Starts as {0}; free with sg_canvas_free. */
bool sg_canvas_clear(struct sg_canvas *canvas, int rows, int columns);
void sg_canvas_free(struct sg_canvas *canvas);

/* Put a text at a place, at most `width` columns of it; returns the columns it took, those outside the canvas
 * too. What stands outside is cut, half a wide character is a blank. Control characters and marks that turn
 * the direction of writing are shown as escapes; joiners, variation selectors and skin tones are left out and
 * flags become letters, since terminals differ in how wide they take them. */
int sg_canvas_put(struct sg_canvas *canvas, int row, int column, int width, enum sg_role role,
                  const char *text);
int sg_canvas_format(struct sg_canvas *canvas, int row, int column, int width, enum sg_role role,
                     const char *format, ...) __attribute__((format(printf, 6, 7)));

/* Put a text in a field of `width` columns and pad it. A text stands left, and ends in "~" where it is too
 * long; a figure stands `right`, and is shown as ### rather than cut. */
void sg_canvas_field(struct sg_canvas *canvas, int row, int column, int width, bool right, enum sg_role role,
                     const char *text);

/* `width` times the same character of one column. */
void sg_canvas_fill(struct sg_canvas *canvas, int row, int column, int width, enum sg_role role,
                    const char *character);

/* Another role for cells that are there. */
void sg_canvas_paint(struct sg_canvas *canvas, int row, int column, int width, enum sg_role role);

/* A row as text without the blanks behind it. As snprintf returns. */
int sg_canvas_row(const struct sg_canvas *canvas, int row, char *out, size_t size);

/* Columns that a text takes as sg_canvas_put shows it. */
int sg_text_columns(const char *text);

/* Bytes of the first character of a text with what combines with it (0 at its end) and its columns. */
size_t sg_text_next(const char *text, int *columns);

#endif
