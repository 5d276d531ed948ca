/* wcwidth is X/Open. */
#define _XOPEN_SOURCE 700

#include "exchange/render.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>

static int width_of(const char *text)
{
    size_t left = strlen(text);
    int width = 0;
    while (left > 0) {
        uint32_t code = 0;
        size_t length = sg_utf8_character(text, left, &code);
        int cells = wcwidth((wchar_t)code);
        width += cells > 0 ? cells : cells < 0;
        length = length ? length : 1;
        text += length;
        left -= length;
    }
    return width;
}

/* A copy with hidden characters spelled out. */
static char *visible(struct sg_arena *arena, const char *text)
{
    struct sg_text shown = {0};
    sg_text_shown(&shown, text, INT_MAX);
    char *copy = shown.failed ? NULL : sg_arena_text(arena, shown.data ? shown.data : "", shown.length);
    sg_text_free(&shown);
    return copy;
}

void sg_table_start(struct sg_table *table, const char *const *titles, int columns)
{
    const char *shown[SG_TABLE_COLUMNS];
    memset(table, 0, sizeof *table);
    table->columns = columns;
    for (int i = 0; i < columns; i++) {
        table->right[i] = titles[i][0] == '>';
        shown[i] = titles[i] + table->right[i];
    }
    sg_table_row(table, shown);
}

void sg_table_row(struct sg_table *table, const char *const *cells)
{
    if (table->rows == table->room) {
        int room = table->room ? table->room * 2 : 32;
        char **grown = realloc(table->cells, (size_t)room * (size_t)table->columns * sizeof *grown);
        if (!grown) {
            table->failed = true;
            return;
        }
        table->cells = grown;
        table->room = room;
    }
    for (int i = 0; i < table->columns; i++) {
        char *cell = visible(&table->arena, cells[i]);
        table->failed = table->failed || !cell;
        table->cells[table->rows * table->columns + i] = cell;
    }
    table->rows++;
}

static void put_row(const struct sg_table *table, int row, const int *widths, int indent, struct sg_text *out)
{
    static const char blanks[] =
        "                                                                                ";
    int owed = indent; /* blanks are put only in front of something, so that no line ends in one */
    for (int i = 0; i < table->columns; i++) {
        const char *cell = table->cells[row * table->columns + i];
        int room = widths[i] - width_of(cell);
        owed += table->right[i] ? room : 0;
        if (*cell) {
            for (; owed > 0; owed -= owed < 80 ? owed : 80)
                sg_text_add(out, blanks, (size_t)(owed < 80 ? owed : 80));
            sg_text_put(out, cell);
        }
        owed += (table->right[i] ? 0 : room) + 2;
    }
    sg_text_put(out, "\n");
}

void sg_table_put(struct sg_table *table, int indent, struct sg_text *out)
{
    int widths[SG_TABLE_COLUMNS] = {0};
    out->failed = out->failed || table->failed;
    for (int i = 0; i < table->rows * table->columns && !table->failed; i++) {
        int width = width_of(table->cells[i]);
        if (width > widths[i % table->columns])
            widths[i % table->columns] = width;
    }
    for (int row = 0; row < table->rows && !table->failed; row++)
        put_row(table, row, widths, indent, out);
    free(table->cells);
    sg_arena_free(&table->arena);
    memset(table, 0, sizeof *table);
}

void sg_wrap(struct sg_text *out, const char *first, int indent, int width, const char *words)
{
    int column = width_of(first);
    sg_text_put(out, first);
    for (bool start = column == 0; *words; start = false) {
        int n = (int)strcspn(words, " ");
        if (!start && column + 1 + n > width) {
            sg_text_format(out, "\n%*s", indent, "");
            column = indent;
            start = true;
        }
        sg_text_format(out, "%s%.*s", start ? "" : " ", n, words);
        column += n + !start;
        words += n + (words[n] == ' ');
    }
    sg_text_put(out, "\n");
}
