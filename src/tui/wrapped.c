#include "tui/wrapped.h"

#include "tui/do.h"

#include <stdio.h>
#include <string.h>

enum { MARGIN = 2, LEAST = 8 }; /* columns in front of a line of words; of a text behind its indent */

/* Bytes of what fits in `width` columns, and its columns. */
static size_t fitting(const char *text, int width, int *used)
{
    size_t at = 0;
    int columns;
    *used = 0;
    while (text[at]) {
        size_t bytes = sg_text_next(text + at, &columns);
        if (*used + columns > width)
            break;
        *used += columns;
        at += bytes;
    }
    return at;
}

/* Bytes of the text's first line: up to a blank where it has one, at least a character. */
static size_t first_line(const char *text, int width)
{
    int used;
    size_t fits = fitting(text, width, &used), at = fits;
    if (fits == 0)
        return sg_text_next(text, &used);
    while (text[fits] && at > 0 && text[at] != ' ')
        at--;
    return at > 0 ? at : fits;
}

bool sg_line_wrapped(struct sg_ui *ui, enum sg_role role, int first, int hanging, const char *text)
{
    int width = ui->columns - MARGIN, most = width > LEAST ? width - LEAST : 0;
    int indent = first < most ? first : most;
    do {
        size_t bytes = *text ? first_line(text, width > indent ? width - indent : 1) : 0;
        if (!sg_line_words(ui, role, true, "%*s%.*s", indent, "", (int)bytes, text))
            return false;
        text += bytes;
        text += strspn(text, " ");
        indent = hanging < most ? hanging : most;
    } while (*text);
    return true;
}

void sg_pad_text(char *out, size_t size, int width, const char *text)
{
    size_t used = strlen(out), bytes;
    int columns;
    bytes = fitting(text, width, &columns);
    bool cut = text[bytes] != '\0' && width > 0;
    if (cut)
        bytes = fitting(text, width - 1, &columns);
    if (used < size)
        snprintf(out + used, size - used, "%.*s%s%*s", (int)bytes, text, cut ? "~" : "",
                 width - columns - cut, "");
}

void sg_step_pages(struct sg_ui *ui, int right, int down)
{
    (void)right;
    if (down)
        sg_move_lines(ui, down);
    if (down > 1)
        sg_ui_place(ui)->top =
            sg_ui_place(ui)->line; /* drawing puts the line before it above, no page below the last */
}
