/* wcwidth is X/Open. */
#define _XOPEN_SOURCE 700

#include "exchange/render.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>

/* One character at text: its bytes and code point. Bytes that are no UTF-8 count one each, as U+FFFD. */
static size_t decode(const char *text, uint32_t *code)
{
    const unsigned char *t = (const unsigned char *)text;
    size_t n = t[0] < 0x80 ? 1 : t[0] >= 0xF0 ? 4 : t[0] >= 0xE0 ? 3 : t[0] >= 0xC2 ? 2 : 0;
    *code = n == 1 ? t[0] : n ? t[0] & (0xFFu >> (n + 1)) : 0xFFFD;
    for (size_t i = 1; i < n; i++) {
        if ((t[i] & 0xC0) != 0x80) {
            *code = 0xFFFD;
            return 1;
        }
        *code = *code << 6 | (t[i] & 0x3Fu);
    }
    return n ? n : 1;
}

/* What a terminal would act on instead of showing it. */
static bool is_hidden(uint32_t code)
{
    return code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0x200E || code == 0x200F ||
           (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) || code == 0xFEFF;
}

static int width_of(const char *text)
{
    int width = 0;
    while (*text) {
        uint32_t code;
        text += decode(text, &code);
        int cells = wcwidth((wchar_t)code);
        width += cells > 0 ? cells : cells < 0;
    }
    return width;
}

/* A copy with hidden characters spelled out. */
static char *visible(struct sg_arena *arena, const char *text)
{
    size_t length = strlen(text);
    char *copy = sg_arena_take(arena, length * 6 + 1), *end = copy;
    while (copy && *text) {
        uint32_t code;
        size_t n = decode(text, &code);
        if (is_hidden(code)) {
            end += snprintf(end, 8, "\\u%04X", (unsigned)code);
        } else {
            memcpy(end, text, n);
            end += n;
        }
        text += n;
    }
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
