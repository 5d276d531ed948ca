#include "tui/pty_inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void must(bool truth)
{
    if (!truth)
        abort();
}

static size_t put_code(uint32_t code, char *out)
{
    size_t n = code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    for (size_t i = n - 1; i > 0; i--, code >>= 6)
        out[i] = (char)(0x80 | (code & 0x3F));
    out[0] = (char)(n == 1 ? code : (0xF00u >> n & 0xFF) | code);
    return n;
}

static int color_of(const VTermColor *color)
{
    if (VTERM_COLOR_IS_DEFAULT_FG(color) || !VTERM_COLOR_IS_INDEXED(color))
        return -1;
    return color->indexed.idx;
}

struct pty_cell pty_cell(struct pty *pty, int row, int column)
{
    VTermScreenCell cell;
    struct pty_cell made = {.width = 1, .color = -1};
    size_t length = 0;
    if (!vterm_screen_get_cell(pty->screen, (VTermPos){row, column}, &cell))
        return made;
    for (int i = 0; i < VTERM_MAX_CHARS_PER_CELL && cell.chars[i] && cell.chars[i] != (uint32_t)-1; i++)
        length += put_code(cell.chars[i], made.text + length);
    made.width = cell.width;
    made.bold = cell.attrs.bold;
    made.underline = cell.attrs.underline != 0;
    made.reverse = cell.attrs.reverse;
    made.color = color_of(&cell.fg);
    return made;
}

struct pty_state pty_state(const struct pty *pty)
{
    return pty->state;
}

int pty_rows(const struct pty *pty)
{
    int rows, columns;
    vterm_get_size(pty->emulator, &rows, &columns);
    return rows;
}

const char *pty_row(struct pty *pty, int row)
{
    int rows, columns;
    size_t length = 0, kept = 0;
    vterm_get_size(pty->emulator, &rows, &columns);
    pty->row = realloc(pty->row, (size_t)columns * sizeof(struct pty_cell) + 1);
    must(pty->row != NULL);
    for (int column = 0; column < columns && row < rows;) {
        struct pty_cell cell = pty_cell(pty, row, column);
        const char *text = cell.text[0] ? cell.text : " ";
        memcpy(pty->row + length, text, strlen(text));
        length += strlen(text);
        kept = strcmp(text, " ") != 0 ? length : kept;
        column += cell.width > 1 ? cell.width : 1;
    }
    pty->row[kept] = '\0';
    return pty->row;
}

/* The minute of the last change is that of the test: a fixed one stands for it. */
static void fix_time_saved(char *text)
{
    static const char fixed[] = "saved 06:02";
    for (char *at = strstr(text, "saved "); at; at = strstr(at + 1, "saved "))
        if (strspn(at + 6, "0123456789:") == 5)
            memcpy(at, fixed, sizeof fixed - 1);
}

char *pty_screen(struct pty *pty)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    must(out != NULL);
    for (int row = 0; row < pty_rows(pty); row++)
        fprintf(out, "%s\n", pty_row(pty, row));
    fclose(out);
    fix_time_saved(text);
    return text;
}

void pty_print(struct pty *pty)
{
    char *screen = pty_screen(pty);
    fprintf(stderr, "---- the screen, cursor at %d,%d ----\n%s----\n", pty->state.row, pty->state.column,
            screen);
    free(screen);
}

/* ---- screens kept in files ---- */

static char *read_file(const char *path)
{
    enum { MOST = 1 << 20 };
    FILE *file = fopen(path, "rb");
    char *text = calloc(1, MOST);
    must(text != NULL);
    if (!file)
        return text;
    size_t length = fread(text, 1, MOST - 1, file);
    text[length] = '\0';
    fclose(file);
    return text;
}

static bool write_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "wb");
    if (!file) {
        perror(path);
        return false;
    }
    fputs(text, file);
    return fclose(file) == 0;
}

static int first_different_line(const char *a, const char *b)
{
    int line = 1;
    for (; *a && *a == *b; a++, b++)
        line += *a == '\n';
    return line;
}

bool pty_golden(struct pty *pty, const char *name)
{
    char path[500];
    const char *wish = getenv("SANDGLASS_GOLDEN");
    must(snprintf(path, sizeof path, "%s/screens/%s.txt", FIXTURES, name) < (int)sizeof path);
    char *screen = pty_screen(pty);
    if (wish && strcmp(wish, "write") == 0) {
        bool written = write_file(path, screen);
        free(screen);
        return written;
    }
    char *kept = read_file(path);
    bool same = strcmp(kept, screen) == 0;
    if (!same)
        fprintf(stderr, "the screen is not %s from line %d on\n---- kept ----\n%s---- now ----\n%s----\n",
                path, first_different_line(kept, screen), kept, screen);
    free(kept);
    free(screen);
    return same;
}
