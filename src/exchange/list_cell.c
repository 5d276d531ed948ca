#include "exchange/columns.h"

#include <string.h>

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t';
}

/* Lines within a text end in LF here, however the file ends them. */
static void unify_line_ends(char *text)
{
    char *to = text;
    for (const char *from = text; *from; from++)
        if (*from != '\r' || from[1] != '\n')
            *to++ = *from == '\r' ? '\n' : *from;
    *to = '\0';
}

const char *sg_list_cell(struct sg_arena *arena, const char *cell)
{
    const char *text = sg_csv_unguard(cell);
    while (is_blank(*text))
        text++;
    size_t length = strlen(text), used = length;
    while (used > 0 && is_blank(text[used - 1]))
        used--;
    bool foreign = memchr(text, '\r', used) != NULL;
    if (used == length && !foreign)
        return text;
    char *copy = sg_arena_text(arena, text, used);
    if (copy && foreign)
        unify_line_ends(copy);
    return copy;
}

const char *const *sg_list_cells(struct sg_arena *arena, const struct sg_csv_row *row)
{
    size_t bytes = 0, cells = (size_t)row->n_cells;
    for (int i = 0; i < row->n_cells; i++)
        bytes += row->lengths[i] + 1;
    const char **copy = sg_arena_take(arena, cells * sizeof *copy + bytes);
    char *text = copy ? (char *)(copy + cells) : NULL;
    for (int i = 0; copy && i < row->n_cells; i++) {
        copy[i] = memcpy(text, row->cells[i], row->lengths[i] + 1);
        text += row->lengths[i] + 1;
    }
    return copy;
}
