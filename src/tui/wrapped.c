#include "tui/wrapped.h"

#include "tui/do.h"

#include <stdio.h>
#include <string.h>

enum {
    MARGIN = 2, /* columns in front of a line of words */
    LEAST = 8,  /* of a text behind its indent */
    INDENT = 4, /* of what a line of a text has no room for */
    MOST_LINES = 2000
};

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

/* ---- a text as it will be written ---- */

/* The rows of tables stand behind an indent, two blanks or more between their columns. */
static char *last_gap(char *line)
{
    char *gap = NULL, *at = line + strspn(line, " ");
    while (at > line && (at = strstr(at, "  ")) != NULL) {
        gap = at;
        at += strspn(at, " ");
    }
    return gap;
}

/* Columns of a table that have no room at the right go, so that the others stand under each other. */
static bool cut_columns(char *line, int room)
{
    char *gap;
    bool cut = false;
    while (sg_text_columns(line) > room && (gap = last_gap(line)) != NULL) {
        *gap = '\0';
        cut = true;
    }
    return cut;
}

/* The last gap between cells that leaves no more than `room` columns in front; NULL where there is none. */
static char *gap_within(char *line, int room)
{
    char *best = NULL;
    int used;
    size_t fits = fitting(line, room, &used);
    for (char *gap = strstr(line, "  "); gap && gap <= line + fits; gap = strstr(gap, "  ")) {
        best = gap > line ? gap : best;
        gap += strspn(gap, " ");
    }
    return best;
}

/* A row of a table without an indent goes on below: no figure is parted. */
static bool add_row(struct sg_ui *ui, char *line)
{
    int room = ui->columns - MARGIN, indent = 0;
    char *gap;
    while (*line != ' ' && sg_text_columns(line) > room - indent &&
           (gap = gap_within(line, room - indent)) != NULL) {
        char *rest = gap + strspn(gap, " ");
        *gap = '\0';
        if (!sg_line_wrapped(ui, SG_ROLE_TEXT, indent, INDENT, line))
            return false;
        line = rest;
        indent = INDENT;
    }
    return sg_line_wrapped(ui, SG_ROLE_TEXT, indent, INDENT, line);
}

/* False where there is no more to show. */
static bool add_line_of_text(struct sg_ui *ui, const char *text, size_t length, bool *cut)
{
    char *line = sg_arena_text(&ui->arena, text, length);
    if (!line)
        return false;
    *cut = cut_columns(line, ui->columns - MARGIN) || *cut;
    return add_row(ui, line);
}

void sg_lines_of_text(struct sg_ui *ui, const struct sg_text *text, const char *line_end)
{
    const char *at = text->failed || !text->data ? "" : text->data;
    bool cut = false;
    int n = 0;
    while (*at && n < MOST_LINES) {
        const char *end = strstr(at, line_end);
        size_t length = end ? (size_t)(end - at) : strlen(at);
        if (!add_line_of_text(ui, at, length, &cut))
            return;
        at += length + (end ? strlen(line_end) : 0);
        n++;
    }
    if (*at)
        sg_line_words(ui, SG_ROLE_LABEL, true, "and more: only the first %d lines are shown", n);
    if (cut)
        sg_line_wrapped(ui, SG_ROLE_LABEL, 0, 0,
                        "(Columns at the right have no room on this terminal; the file has them.)");
    if (n == 0)
        sg_line_wrapped(ui, SG_ROLE_WRONG, 0, 0, "no memory to show it");
}
