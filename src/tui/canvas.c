/* wcwidth is X/Open; the flags of ncursesw may have said so already. */
#ifndef _XOPEN_SOURCE
#define _XOPEN_SOURCE 700
#endif

#include "tui/canvas.h"

#include "sandglass/utf8.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>

enum {
    MARKS = 4,     /* as many as curses keeps with a character */
    FAR = 1 << 20, /* wider than any canvas, so that sums of columns never overflow */
    LINE = 1024    /* bytes of a formatted text: more than the widest terminal shows */
};
static const char replacement[] = "\xEF\xBF\xBD"; /* U+FFFD */

/* A character as it is shown: one cell, or an escape, which is ASCII and takes a cell for each byte. */
struct piece {
    char text[SG_CELL_BYTES];
    size_t length;
    int columns;
    bool escape;
};

static size_t next_code(const char *text, uint32_t *code)
{
    return sg_utf8_character(text, strnlen(text, 4), code);
}

/* Characters that say how their neighbours are drawn. Terminals differ in how wide they take a joined or
 * tinted one, so each is drawn by itself. */
static bool is_dropped(uint32_t code)
{
    static const struct {
        uint32_t first, last;
    } ranges[] = {
        {0x00AD, 0x00AD},   {0x034F, 0x034F},  /* places to break or join */
        {0x180B, 0x180F},   {0xFE00, 0xFE0F},  /* variation selectors */
        {0x200B, 0x200D},   {0x2060, 0x2064},  /* spaces of no width, joiners */
        {0x206A, 0x206F},   {0xFFF9, 0xFFFB},  /* old shaping marks, ruby */
        {0x1F3FB, 0x1F3FF}, {0xE0000, 0xE0FFF} /* skin tones, tags */
    };
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++)
        if (code >= ranges[i].first && code <= ranges[i].last)
            return true;
    return false;
}

static void take(struct piece *piece, const char *bytes, size_t length)
{
    if (piece->length + length < sizeof piece->text) {
        memcpy(piece->text + piece->length, bytes, length);
        piece->length += length;
        piece->text[piece->length] = '\0';
    }
}

static void take_escape(struct piece *piece, uint32_t code)
{
    const char *letter = code == '\n' ? "\\n" : code == '\r' ? "\\r" : code == '\t' ? "\\t" : NULL;
    if (letter)
        snprintf(piece->text, sizeof piece->text, "%s", letter);
    else
        snprintf(piece->text, sizeof piece->text, "\\u%04" PRIx32, code);
    piece->length = strlen(piece->text);
    piece->columns = (int)piece->length;
    piece->escape = true;
}

static void take_base(struct piece *piece, const char *bytes, size_t length, uint32_t code)
{
    int columns = wcwidth((wchar_t)code);
    if (code >= 0x1F1E6 && code <= 0x1F1FF) {
        char letter = (char)('A' + (code - 0x1F1E6));
        take(piece, &letter, 1);
        columns = 1;
    } else if (columns < 0) { /* nobody here knows how wide it is */
        take(piece, replacement, sizeof replacement - 1);
        columns = 1;
    } else {
        if (columns == 0) /* a mark that has nothing to stand on */
            take(piece, " ", 1);
        take(piece, bytes, length);
        columns = columns > 0 ? columns : 1;
    }
    piece->columns = columns;
}

/* Bytes of the marks behind a character, which it takes along. */
static size_t take_marks(struct piece *piece, const char *text)
{
    size_t bytes = 0, length;
    uint32_t code = 0;
    for (int marks = 0; (unsigned char)text[bytes] >= 0x80; bytes += length) {
        length = next_code(text + bytes, &code);
        if (length == 0 || sg_utf8_hidden(code))
            break;
        if (is_dropped(code))
            continue;
        if (wcwidth((wchar_t)code) != 0)
            break;
        if (marks++ < MARKS)
            take(piece, text + bytes, length);
    }
    return bytes;
}

/* A character of ASCII with no mark behind it, as nearly every one is: the same in every locale. */
static bool is_plain(const char *text)
{
    return text[0] >= ' ' && text[0] <= '~' && (unsigned char)text[1] < 0x80;
}

/* The next character; its bytes, 0 at the end of the text. */
static size_t read_piece(const char *text, struct piece *piece)
{
    if (is_plain(text)) {
        *piece = (struct piece){.text = {text[0]}, .length = 1, .columns = 1};
        return 1;
    }
    size_t bytes = 0, length;
    uint32_t code = 0;
    piece->length = 0;
    piece->columns = 0;
    piece->escape = false;
    while ((length = next_code(text + bytes, &code)) > 0 && is_dropped(code))
        bytes += length;
    if (text[bytes] == '\0')
        return bytes;
    if (length == 0) {
        take(piece, replacement, sizeof replacement - 1);
        piece->columns = 1;
        return bytes + 1;
    }
    if (sg_utf8_hidden(code)) {
        take_escape(piece, code);
        return bytes + length;
    }
    take_base(piece, text + bytes, length, code);
    bytes += length;
    return bytes + take_marks(piece, text + bytes);
}

size_t sg_text_next(const char *text, int *columns)
{
    struct piece piece;
    size_t bytes = read_piece(text, &piece);
    *columns = piece.columns;
    return bytes;
}

int sg_text_columns(const char *text)
{
    int columns, sum = 0;
    for (size_t bytes; (bytes = sg_text_next(text, &columns)) > 0; text += bytes)
        sum += columns;
    return sum;
}

/* ---- cells ---- */

static struct sg_cell *cell_at(const struct sg_canvas *canvas, int row, int column)
{
    if (row < 0 || row >= canvas->rows || column < 0 || column >= canvas->columns)
        return NULL;
    return &canvas->cells[(size_t)row * (size_t)canvas->columns + (size_t)column];
}

static void set_cell(struct sg_cell *cell, const char *bytes, size_t length, int width, enum sg_role role)
{
    memcpy(cell->text, bytes, length);
    cell->text[length] = '\0';
    cell->width = (unsigned char)width;
    cell->role = (unsigned char)role;
}

static void blank_text(struct sg_cell *cell)
{
    set_cell(cell, " ", 1, 1, (enum sg_role)cell->role);
}

/* What is left of wide characters on either side of cells that are written over. */
static void free_halves(struct sg_canvas *canvas, int row, int column, int width)
{
    struct sg_cell *first = cell_at(canvas, row, column), *behind = cell_at(canvas, row, column + width);
    if (first && first->width == 0)
        blank_text(first - 1);
    if (behind && behind->width == 0)
        blank_text(behind);
}

static void write_cell(struct sg_canvas *canvas, int row, int column, const char *bytes, size_t length,
                       int width, enum sg_role role)
{
    struct sg_cell *cell = cell_at(canvas, row, column), *right = cell_at(canvas, row, column + width - 1);
    if (!cell && !right)
        return;
    if (!cell || !right) { /* half of it stands outside */
        write_cell(canvas, row, cell ? column : column + 1, " ", 1, 1, role);
        return;
    }
    free_halves(canvas, row, column, width);
    set_cell(cell, bytes, length, width, role);
    if (width == 2)
        set_cell(right, "", 0, 0, role);
}

/* A piece at a column, no further than the end; the columns it took. */
static int write_piece(struct sg_canvas *canvas, int row, int column, int end, enum sg_role role,
                       const struct piece *piece)
{
    if (!piece->escape) {
        bool fits = piece->columns <= end - column;
        write_cell(canvas, row, column, fits ? piece->text : " ", fits ? piece->length : 1,
                   fits ? piece->columns : 1, role);
        return fits ? piece->columns : 1;
    }
    int columns = piece->columns < end - column ? piece->columns : end - column;
    for (int i = 0; i < columns; i++)
        write_cell(canvas, row, column + i, piece->text + i, 1, 1, role);
    return columns;
}

static int clamp(int value, int low, int high)
{
    return value < low ? low : value > high ? high : value;
}

int sg_canvas_put(struct sg_canvas *canvas, int row, int column, int width, enum sg_role role,
                  const char *text)
{
    struct piece piece;
    column = clamp(column, -FAR, FAR);
    int at = column, end = column + clamp(width, 0, FAR);
    for (size_t bytes; at < end && (bytes = read_piece(text, &piece)) > 0; text += bytes)
        at += piece.columns > 0 ? write_piece(canvas, row, at, end, role, &piece) : 0;
    return at - column;
}

int sg_canvas_format(struct sg_canvas *canvas, int row, int column, int width, enum sg_role role,
                     const char *format, ...)
{
    char text[LINE];
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    if (length < 0)
        return 0;
    if (length >= LINE) { /* no half of a character at the end */
        size_t last = LINE - 2;
        while (last > 0 && ((unsigned char)text[last] & 0xC0) == 0x80)
            last--;
        if (next_code(text + last, NULL) == 0)
            text[last] = '\0';
    }
    return sg_canvas_put(canvas, row, column, width, role, text);
}

void sg_canvas_fill(struct sg_canvas *canvas, int row, int column, int width, enum sg_role role,
                    const char *character)
{
    struct piece piece;
    bool one = read_piece(character, &piece) > 0 && piece.columns == 1;
    column = clamp(column, -FAR, FAR);
    int end = clamp(column + clamp(width, 0, FAR), 0, canvas->columns);
    for (int at = column > 0 ? column : 0; at < end; at++)
        write_cell(canvas, row, at, one ? piece.text : " ", one ? piece.length : 1, 1, role);
}

void sg_canvas_field(struct sg_canvas *canvas, int row, int column, int width, bool right, enum sg_role role,
                     const char *text)
{
    int columns = sg_text_columns(text);
    bool fits = columns <= width;
    if (!fits && right) {
        sg_canvas_fill(canvas, row, column, width, role, "#");
        return;
    }
    sg_canvas_fill(canvas, row, column, width, role, " ");
    if (fits) {
        sg_canvas_put(canvas, row, column + (right ? width - columns : 0), columns, role, text);
    } else if (width > 0) {
        sg_canvas_put(canvas, row, column, width - 1, role, text);
        sg_canvas_put(canvas, row, column + width - 1, 1, role, "~");
    }
}

void sg_canvas_paint(struct sg_canvas *canvas, int row, int column, int width, enum sg_role role)
{
    column = clamp(column, -FAR, FAR);
    int end = clamp(column + clamp(width, 0, FAR), 0, canvas->columns);
    for (int at = column > 0 ? column : 0; at < end && cell_at(canvas, row, at); at++)
        cell_at(canvas, row, at)->role = (unsigned char)role;
}

/* ---- the whole ---- */

bool sg_canvas_clear(struct sg_canvas *canvas, int rows, int columns)
{
    if (rows < 1 || columns < 1)
        rows = columns = 1;
    if (!canvas->cells || rows != canvas->rows || columns != canvas->columns) {
        if ((size_t)rows > SIZE_MAX / sizeof *canvas->cells / (size_t)columns)
            return false;
        struct sg_cell *cells = malloc((size_t)rows * (size_t)columns * sizeof *cells);
        if (!cells)
            return false;
        free(canvas->cells);
        canvas->cells = cells;
    }
    canvas->rows = rows;
    canvas->columns = columns;
    canvas->cursor_row = canvas->cursor_column = -1;
    for (size_t i = 0; i < (size_t)rows * (size_t)columns; i++)
        canvas->cells[i] = (struct sg_cell){.text = " ", .width = 1};
    return true;
}

void sg_canvas_free(struct sg_canvas *canvas)
{
    free(canvas->cells);
    *canvas = (struct sg_canvas){0};
}

int sg_canvas_row(const struct sg_canvas *canvas, int row, char *out, size_t size)
{
    size_t length = 0, kept = 0; /* kept: up to the last that is no blank */
    for (int column = 0; cell_at(canvas, row, column); column++) {
        const char *text = cell_at(canvas, row, column)->text;
        for (const char *byte = text; *byte; byte++, length++)
            if (length + 1 < size)
                out[length] = *byte;
        if (*text && strcmp(text, " ") != 0)
            kept = length;
    }
    if (size > 0)
        out[kept < size ? kept : size - 1] = '\0';
    return (int)kept;
}
