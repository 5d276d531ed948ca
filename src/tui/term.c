#include "tui/term.h"

#include "sandglass/utf8.h"
#include "tui/charset.h"
#include "tui/signals.h"
#include "tui/terminfo.h"

#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#include <curses.h>

enum {
    MOST_ROWS = 500, /* a terminal that says it has more is drawn this large */
    MOST_COLUMNS = 1000,
    ESC_WAIT = 25, /* milliseconds until Esc is a key; $ESCDELAY says otherwise */
    MOST_ESC_WAIT = 1000
};

struct sg_term {
    SCREEN *screen;
    struct sg_charset charset;
    bool wide, color, mouse;
    bool modern; /* knows the switches of private modes: paste in brackets, mouse */
    int rows, columns;
    int esc_wait;
    bool gone, awake, resized; /* to be told by the next read; gone for ever */
    bool interrupted;
    bool cursor_shown;
    bool again;
    struct sg_canvas shown; /* what was painted last */
    struct sg_strokes strokes;
    struct sg_sequence own[SG_TERMINFO_KEYS];
    bool has_next; /* an input that sg_term_more found */
    struct sg_input next;
    char bytes[4096]; /* read and not looked at */
    size_t at, n_bytes;
    long long last_byte_ms;
};

static long long now_ms(void)
{
    struct timespec now = {0};
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* ---- opening ---- */

/* The size that the kernel knows; else what curses took from the environment or the description. */
static void learn_size(struct sg_term *term)
{
    struct winsize size = {0};
    bool known = ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0 && size.ws_col > 0;
    int rows = known ? size.ws_row : LINES, columns = known ? size.ws_col : COLS;
    term->rows = rows < MOST_ROWS ? rows : MOST_ROWS;
    term->columns = columns < MOST_COLUMNS ? columns : MOST_COLUMNS;
    if (term->rows != LINES || term->columns != COLS)
        resizeterm(term->rows, term->columns);
    term->again = true;
}

/* How a role looks: without colour, and with it. Only the eight colours, which everybody has tuned to his
 * background, and only those of them that can be read on a dark and on a light one. */
static const struct look {
    attr_t mono, colored;
    short color;
} looks[SG_ROLES] = {
    [SG_ROLE_TEXT] = {A_NORMAL, A_NORMAL, -1},
    [SG_ROLE_TITLE] = {A_BOLD, A_BOLD, -1},
    [SG_ROLE_ANSWER] = {A_BOLD, A_BOLD, -1},
    [SG_ROLE_LABEL] = {A_NORMAL, A_NORMAL, COLOR_CYAN},
    [SG_ROLE_INPUT] = {A_NORMAL, A_NORMAL, -1},
    [SG_ROLE_RESULT] = {A_NORMAL, A_NORMAL, -1},
    [SG_ROLE_CHANGED] = {A_BOLD, A_BOLD, COLOR_GREEN},
    [SG_ROLE_STALE] = {A_NORMAL, A_NORMAL, COLOR_MAGENTA},
    [SG_ROLE_WRONG] = {A_BOLD, A_BOLD, COLOR_RED},
    [SG_ROLE_ODD] = {A_BOLD, A_BOLD, COLOR_MAGENTA},
    [SG_ROLE_CURSOR] = {A_REVERSE, A_REVERSE, -1},
    [SG_ROLE_FIELD] = {A_UNDERLINE | A_BOLD, A_UNDERLINE | A_BOLD, -1},
    [SG_ROLE_MARKED] = {A_BOLD, A_BOLD, COLOR_CYAN},
    [SG_ROLE_KEY] = {A_BOLD, A_BOLD, -1},
    [SG_ROLE_FULL] = {A_NORMAL, A_NORMAL, COLOR_CYAN},
    [SG_ROLE_LOW] = {A_NORMAL, A_NORMAL, COLOR_MAGENTA},
    [SG_ROLE_PIECE] = {A_NORMAL, A_NORMAL, COLOR_GREEN},
};

static void start_colors(struct sg_term *term)
{
    term->color = term->color && has_colors() && start_color() == OK && COLORS >= 8 && COLOR_PAIRS > SG_ROLES;
    if (!term->color)
        return;
    short background = use_default_colors() == OK ? -1 : COLOR_BLACK;
    for (int i = 0; i < SG_ROLES; i++)
        if (looks[i].color >= 0)
            init_pair((short)(i + 1), looks[i].color, background);
}

/* Curses has nothing of its own under way when this is called: it sends all that it has after each paint. */
static void switch_modes(const struct sg_term *term, bool on)
{
    if (!term->modern)
        return;
    fputs(on ? "\033[?2004h" : "\033[?2004l", stdout);
    if (term->mouse)
        fputs(on ? "\033[?1000h\033[?1006h" : "\033[?1006l\033[?1000l", stdout);
    fflush(stdout);
}

static int esc_wait(void)
{
    const char *text = getenv("ESCDELAY");
    long wait = text ? strtol(text, NULL, 10) : 0;
    return wait < 1 ? ESC_WAIT : wait > MOST_ESC_WAIT ? MOST_ESC_WAIT : (int)wait;
}

static void set_up_curses(struct sg_term *term, const struct sg_term_how *how)
{
    const char *alternate;
    raw();
    noecho();
    nonl();
    intrflush(stdscr, FALSE);
    keypad(stdscr, TRUE);
    typeahead(-1);
    alternate = sg_terminfo_text("smcup");
    term->modern = sg_terminfo_text("BE") || (alternate && strstr(alternate, "[?1049h"));
    term->wide = term->charset.utf8 && !how->ascii;
    term->color = how->color;
    term->mouse = how->mouse;
    term->esc_wait = esc_wait();
    term->cursor_shown = true;
    if (!term->charset.utf8) {
        term->strokes.decode = sg_charset_decode;
        term->strokes.context = &term->charset;
    }
    start_colors(term);
    term->strokes.own = term->own;
    term->strokes.n_own = sg_terminfo_keys(term->own);
    learn_size(term);
}

enum sg_status sg_term_open(const struct sg_term_how *how, struct sg_term **out, struct sg_error *error)
{
    struct termios settings = {0};
    char rescue[256];
    size_t length;
    enum sg_status status = sg_terminfo_check(error);
    if (status != SG_OK)
        return status;
    struct sg_term *term = calloc(1, sizeof *term);
    if (!term)
        return sg_fail(error, SG_FAULT, "no memory for the screens");
    tcgetattr(STDIN_FILENO, &settings);
    if (!sg_signals_start()) {
        status = sg_fail(error, SG_FAULT, "the screens cannot start: %s", strerror(errno));
        goto out;
    }
    term->screen = newterm(NULL, stdout, stdin);
    if (!term->screen) {
        status =
            sg_fail(error, SG_USAGE, "the terminal of type \"%.60s\" could not be opened", getenv("TERM"));
        goto out;
    }
    sg_charset_open(&term->charset);
    set_up_curses(term, how);
    length = sg_terminfo_rescue(term->modern, rescue, sizeof rescue);
    sg_signals_rescue(STDOUT_FILENO, &settings, rescue, length);
    switch_modes(term, true);
    *out = term;
    return SG_OK;
out:
    sg_signals_end();
    free(term);
    return status;
}

void sg_term_close(struct sg_term *term)
{
    if (!term)
        return;
    switch_modes(term, false);
    endwin();
    sg_signals_end();
    delscreen(term->screen);
    sg_charset_close(&term->charset);
    sg_strokes_free(&term->strokes);
    sg_canvas_free(&term->shown);
    free(term);
}

void sg_term_size(const struct sg_term *term, int *rows, int *columns)
{
    *rows = term->rows;
    *columns = term->columns;
}

bool sg_term_wide(const struct sg_term *term)
{
    return term->wide;
}

/* ---- painting ---- */

/* A cell's characters, those that the terminal cannot show replaced; `half` for the second cell of a wide
 * character that became two of one column. */
static void cell_characters(const struct sg_term *term, const struct sg_cell *cell,
                            wchar_t out[CCHARW_MAX + 1])
{
    size_t left = strlen(cell->text), length;
    const char *text = cell->text;
    uint32_t code = 0;
    int n = 0;
    while (n < CCHARW_MAX && (length = sg_utf8_character(text, left, &code)) > 0) {
        if (!term->wide && n > 0)
            break;
        out[n++] = term->wide ? (wchar_t)code : (wchar_t)sg_charset_plain(code);
        text += length;
        left -= length;
    }
    if (n == 0)
        out[n++] = L' ';
    out[n] = L'\0';
}

static void put_cell(const struct sg_term *term, int row, int column, const struct sg_cell *cell)
{
    const struct look *look = &looks[cell->role < SG_ROLES ? cell->role : SG_ROLE_TEXT];
    bool colored = term->color && look->color >= 0;
    wchar_t characters[CCHARW_MAX + 1];
    cchar_t made;
    cell_characters(term, cell, characters);
    setcchar(&made, characters, term->color ? look->colored : look->mono,
             (short)(colored ? cell->role + 1 : 0), NULL);
    mvadd_wch(row, column, &made); /* an error in the last cell of all means only that nothing is behind it */
    if (cell->width == 2 && !term->wide)
        mvadd_wch(row, column + 1, &made);
}

static bool same_cell(const struct sg_cell *a, const struct sg_cell *b)
{
    return a->width == b->width && a->role == b->role && strcmp(a->text, b->text) == 0;
}

static bool keep_shown(struct sg_term *term, const struct sg_canvas *canvas)
{
    if (term->shown.rows != canvas->rows || term->shown.columns != canvas->columns) {
        erase();
        return sg_canvas_clear(&term->shown, canvas->rows, canvas->columns);
    }
    return true;
}

static void put_cells(struct sg_term *term, const struct sg_canvas *canvas)
{
    bool kept = keep_shown(term, canvas);
    for (int row = 0; row < canvas->rows && row < LINES; row++)
        for (int column = 0; column < canvas->columns && column < COLS; column++) {
            size_t at = (size_t)row * (size_t)canvas->columns + (size_t)column;
            const struct sg_cell *cell = &canvas->cells[at];
            if (kept && same_cell(cell, &term->shown.cells[at]))
                continue;
            if (kept)
                term->shown.cells[at] = *cell;
            if (cell->width > 0)
                put_cell(term, row, column, cell);
        }
}

/* Where the cursor is hidden it still stands on the cell one works in: not every terminal can hide it, and a
 * magnifier or a braille line follows it. */
static void place_cursor(struct sg_term *term, const struct sg_canvas *canvas)
{
    bool show = canvas->cursor_row >= 0 && canvas->cursor_column >= 0;
    int row = canvas->cursor_row, column = canvas->cursor_column;
    if (!show) {
        row = canvas->rows - 1;
        column = canvas->columns - 1;
        for (int i = 0; i < canvas->rows * canvas->columns; i++)
            if (canvas->cells[i].role == SG_ROLE_CURSOR) {
                row = i / canvas->columns;
                column = i % canvas->columns;
                break;
            }
    }
    move(row < LINES ? row : LINES - 1, column < COLS ? column : COLS - 1);
    if (show != term->cursor_shown)
        curs_set(show);
    term->cursor_shown = show;
}

void sg_term_paint(struct sg_term *term, const struct sg_canvas *canvas)
{
    if (term->gone)
        return;
    if (term->again) { /* also curses may have lost cells: a size that came and went cuts them off */
        clearok(curscr, TRUE);
        sg_canvas_free(&term->shown);
    }
    term->again = false;
    put_cells(term, canvas);
    place_cursor(term, canvas);
    refresh();
}

void sg_term_again(struct sg_term *term)
{
    term->again = true;
}

void sg_term_bell(struct sg_term *term)
{
    if (!term->gone)
        beep();
}

/* ---- reading ---- */

void sg_term_suspend(struct sg_term *term)
{
    switch_modes(term, false);
    endwin(); /* shows the cursor, and hides it again with the next paint */
    sg_signals_stop_job();
    reset_prog_mode();
    switch_modes(term, true);
    learn_size(term);
    term->awake = true;
}

/* Continued after a stop that nobody announced: others had the terminal in the meantime. */
static void come_back(struct sg_term *term)
{
    reset_prog_mode();
    switch_modes(term, true);
    learn_size(term);
    term->awake = true;
}

static void take_signals(struct sg_term *term)
{
    struct sg_signals seen = sg_signals_take();
    if (seen.stop)
        sg_term_suspend(term);
    else if (seen.awake)
        come_back(term);
    if (seen.resized)
        learn_size(term);
    term->resized = term->resized || seen.resized;
    term->gone = term->gone || seen.gone;
    term->interrupted = term->interrupted || seen.interrupted;
}

static bool take_flag(bool *flag)
{
    bool was = *flag;
    *flag = false;
    return was;
}

/* What is to be told before any key. */
static bool tell(struct sg_term *term, struct sg_input *input)
{
    if (term->gone) {
        input->kind = SG_INPUT_GONE;
    } else if (take_flag(&term->resized)) {
        input->kind = SG_INPUT_RESIZE;
    } else if (take_flag(&term->awake)) {
        input->kind = SG_INPUT_AWAKE;
    } else if (take_flag(&term->interrupted)) {
        input->kind = SG_INPUT_STROKE;
        input->stroke = SG_STROKE_CTRL('C');
    }
    return input->kind != SG_INPUT_NOTHING;
}

static void fill(struct sg_term *term)
{
    ssize_t n = read(STDIN_FILENO, term->bytes, sizeof term->bytes);
    if (n > 0) {
        term->at = 0;
        term->n_bytes = (size_t)n;
        term->last_byte_ms = now_ms();
    } else if (n == 0 || (errno != EINTR && errno != EAGAIN)) {
        term->gone = true; /* the end of a terminal is its end for ever */
    }
}

/* Wait for bytes or a signal. */
static void wait_for_any(struct sg_term *term, long long milliseconds)
{
    struct pollfd waits[] = {{STDIN_FILENO, POLLIN, 0}, {sg_signals_wake(), POLLIN, 0}};
    if (poll(waits, 2, milliseconds > 0 ? (int)milliseconds : 0) <= 0)
        return;
    if (waits[0].revents & POLLIN)
        fill(term);
    else if (waits[0].revents)
        term->gone = true;
}

/* An input that is in the bytes already read. */
static bool take_bytes(struct sg_term *term, struct sg_input *input)
{
    if (term->at == term->n_bytes && sg_strokes_wait(&term->strokes, term->esc_wait) != 0)
        return false;
    term->at += sg_strokes_take(&term->strokes, term->bytes + term->at, term->n_bytes - term->at, input);
    return input->kind != SG_INPUT_NOTHING;
}

static long long least(long long a, long long b)
{
    return a < b ? a : b;
}

static void read_input(struct sg_term *term, int milliseconds, struct sg_input *input)
{
    long long end = now_ms() + milliseconds;
    *input = (struct sg_input){0};
    for (;;) {
        take_signals(term);
        if (tell(term, input) || take_bytes(term, input))
            return;
        int wait = sg_strokes_wait(&term->strokes, term->esc_wait);
        long long now = now_ms(), late = term->last_byte_ms + wait;
        bool is_late = wait >= 0 && now >= late, is_over = now >= end;
        wait_for_any(term, is_late || is_over ? 0 : wait >= 0 ? least(end, late) - now : end - now);
        if (term->at < term->n_bytes)
            continue; /* what came while something else was done is not late */
        if (is_late)
            sg_strokes_late(&term->strokes, input);
        if (input->kind != SG_INPUT_NOTHING || (is_over && !is_late))
            return;
    }
}

void sg_term_read(struct sg_term *term, int milliseconds, struct sg_input *input)
{
    if (take_flag(&term->has_next))
        *input = term->next;
    else
        read_input(term, milliseconds, input);
}

bool sg_term_more(struct sg_term *term)
{
    if (!term->has_next)
        read_input(term, 0, &term->next);
    term->has_next = term->next.kind != SG_INPUT_NOTHING;
    return term->has_next;
}
