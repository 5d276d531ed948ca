/* Texts that are longer than a line, for screens to be read. */
#ifndef SANDGLASS_TUI_WRAPPED_H
#define SANDGLASS_TUI_WRAPPED_H

#include "exchange/exchange.h"
#include "tui/inside.h"

/* A text in as many lines as it takes at this width, parted at blanks, a longer word where the line ends. The
 * first starts behind `first` blanks, the others behind `hanging`, fewer where it is narrow. One can stand on
 * each, so that all of it can be read on a terminal of any size. False where memory is out. */
bool sg_line_wrapped(struct sg_ui *ui, enum sg_role role, int first, int hanging, const char *text);

/* The lines of a text as it will be written, each ended by `line_end`; where the terminal is narrower the
 * columns of tables behind an indent go at the right; rows of tables without one go on below, parted between
 * cells; other lines wrap. */
void sg_lines_of_text(struct sg_ui *ui, const struct sg_text *text, const char *line_end);

/* Add a text to `out` in just `width` columns: with blanks behind it, or "~" at the end of one that is cut.
 */
void sg_pad_text(char *out, size_t size, int width, const char *text);

/* The `step` of a screen that is read: a page down puts the line that was last at the top. */
void sg_step_pages(struct sg_ui *ui, int right, int down);

#endif
