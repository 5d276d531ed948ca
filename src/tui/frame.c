/* The frame around every screen: title, answers, rule, body, panel, rule, two lines of words, keys. Where the
 * terminal is small, parts of it leave; what is typed and the answers stay to the last. */
#include "tui/inside.h"

#include "exchange/render.h"
#include "sandglass/field.h"
#include "tui/log.h"
#include "tui/screens.h"

#include <stdio.h>
#include <string.h>

enum { STATE = 40 };

enum {
    TINY_ROWS = 5,
    TINY_COLUMNS = 20,
    SMALL_ROWS = 12, /* below it: no rules, no panel */
    SMALL_COLUMNS = 40,
    NARROW = 72, /* the answers take two rows */
    TALL_ROWS = 26,
    TALL_BODY = 10,
    LEAST_PANEL = 6,
    LEAST_LIST = 8,
    LIST_COLUMNS = 24,
    CHANGES_COLUMNS = 56,
    LESS = 4, /* columns, until the answers have room */
    WORDS = 700
};

bool sg_frame_tiny(const struct sg_ui *ui)
{
    return ui->rows < TINY_ROWS || ui->columns < TINY_COLUMNS;
}

static void draw_tiny(struct sg_ui *ui, struct sg_canvas *canvas)
{
    sg_canvas_format(canvas, 0, 0, ui->columns, SG_ROLE_TEXT, "%dx%d small", ui->columns, ui->rows);
    sg_canvas_put(canvas, 1, 0, ui->columns, SG_ROLE_TEXT, "Nothing lost");
    sg_canvas_put(canvas, 2, 0, ui->columns, SG_ROLE_KEY, "q:leave");
}

/* ---- the first line: where one is, whether it is in the plan ---- */

/* "saved 06:02": when anybody last kept something, today. */
static const char *saved(const struct sg_ui *ui, char out[STATE])
{
    char day[STATE], today[STATE], clock[STATE] = "";
    sg_day_format(ui->saved_at, day, sizeof day);
    sg_day_format(sg_ui_epoch(ui), today, sizeof today);
    if (strcmp(day, today) == 0)
        sg_clock_format(ui->saved_at, clock, sizeof clock);
    snprintf(out, STATE, "saved%s%.5s", *clock ? " " : "", clock);
    return out;
}

static const char *state_of(const struct sg_ui *ui, char out[STATE])
{
    if (sg_screens[ui->places[ui->depth - 1].screen]->tries && sg_ui_differs(ui))
        return ui->columns < NARROW ? "TRIED" : "tried, not in plan";
    if (ui->how.read_only)
        return ui->typing.open ? "READ ONLY, cannot be kept" : "READ ONLY";
    if (ui->typing.open)
        return ui->columns < NARROW ? "DRAFT" : "DRAFT, not yet in plan";
    return !ui->how.temporary     ? saved(ui, out)
           : ui->columns < NARROW ? "example"
                                  : "example, kept until you leave";
}

static void draw_title(struct sg_ui *ui, struct sg_canvas *canvas)
{
    char title[WORDS] = "";
    char buffer[STATE];
    if (!ui->no_plan[0])
        sg_ui_screen(ui)->title(ui, title, sizeof title);
    const char *state = state_of(ui, buffer); /* the title may try something */
    int room = ui->columns - sg_text_columns(state) - 2;
    bool odd = ui->typing.open || (sg_ui_screen(ui)->tries && sg_ui_differs(ui));
    if (room < ui->columns / 2)
        room = ui->columns;
    else
        sg_canvas_put(canvas, 0, room + 2, ui->columns, odd ? SG_ROLE_ODD : SG_ROLE_LABEL, state);
    sg_canvas_field(canvas, 0, 0, room, false, SG_ROLE_TITLE, title);
}

/* ---- the answers ---- */

/* Where an answer is cut its ? stays. */
static void put_answer(struct sg_ui *ui, struct sg_canvas *canvas, int row, int at, int width,
                       enum sg_role role, const char *answer)
{
    sg_canvas_field(canvas, row, at, width, false, role, answer);
    if (sg_text_columns(answer) > width && width > 0 && ui->typing.open &&
        ui->typing.typed.state != SG_PARSE_WHOLE)
        sg_canvas_put(canvas, row, at + width - 1, 1, SG_ROLE_STALE, "?");
}

/* Whether no answer is cut where none is parted between rows. */
static bool has_room(const struct sg_ui *ui, char answers[SG_ANSWERS][SG_ANSWER], int most)
{
    int at = 0, rows = 1;
    for (int i = 0; i < SG_ANSWERS; i++) {
        int width = sg_text_columns(answers[i]);
        if (at > 0 && at + 3 + width > ui->columns) {
            rows++;
            at = 0;
        }
        at += (at > 0 ? 3 : 0) + width;
        if (at > ui->columns)
            return false;
    }
    return rows <= most;
}

/* Answers in one row with bars between; on a narrow terminal in two, always, so that nothing moves. */
static int draw_answers(struct sg_ui *ui, struct sg_canvas *canvas, int row, int most)
{
    char answers[SG_ANSWERS][SG_ANSWER];
    int at = 0, line = 0;
    most = ui->columns < NARROW ? most : 1;
    int room = most * ui->columns;
    bool late = sg_answers(ui, room, answers);
    while (answers[SG_ANSWERS - 1][0] && most > 1 && room > ui->columns && !has_room(ui, answers, most))
        late = sg_answers(ui, room -= LESS, answers);
    for (int i = 0; i < SG_ANSWERS; i++) {
        int width = sg_text_columns(answers[i]);
        if (width == 0)
            continue;
        if (at > 0 && at + 3 + width > ui->columns && line + 1 < most) {
            line++;
            at = 0;
        }
        if (at > 0)
            at += sg_canvas_put(canvas, row + line, at, ui->columns - at, SG_ROLE_LABEL, " | ");
        width = width < ui->columns - at ? width : ui->columns - at;
        put_answer(ui, canvas, row + line, at, width,
                   i == 0 && late ? SG_ROLE_WRONG
                   : i == 3       ? SG_ROLE_ODD
                                  : SG_ROLE_ANSWER,
                   answers[i]);
        at += width;
    }
    return most;
}

static int draw_second(struct sg_ui *ui, struct sg_canvas *canvas, int row, int most)
{
    char words[WORDS] = "";
    if (sg_ui_screen(ui)->answers)
        return draw_answers(ui, canvas, row, most);
    if (sg_ui_screen(ui)->second)
        sg_ui_screen(ui)->second(ui, words, sizeof words);
    sg_canvas_put(canvas, row, 0, ui->columns, SG_ROLE_TEXT, words);
    return 1;
}

/* ---- the two lines of words ---- */

/* What is accepted in the field under the fingers. */
static void accepted(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_field *field = ui->typing.field;
    char range[300];
    sg_field_range(field, ui->tried.shop, range, sizeof range);
    snprintf(out, size, "%s  %s", range, field->meaning);
}

static void first_words(struct sg_ui *ui, char *out, size_t size, enum sg_role *role)
{
    *role = ui->message_role;
    if (ui->message[0])
        snprintf(out, size, "%s", ui->message);
    else if (ui->news[0])
        snprintf(out, size, "%s", ui->news);
    else if (ui->question)
        out[0] = '\0';
    else if (sg_ui_screen(ui)->advice)
        sg_ui_screen(ui)->advice(ui, out, size);
    if (!ui->message[0])
        *role = ui->news[0] ? SG_ROLE_ODD : SG_ROLE_TEXT;
}

static void second_words(struct sg_ui *ui, char *out, size_t size)
{
    out[0] = '\0';
    if (ui->news[0] && ui->message[0])
        snprintf(out, size, "%s", ui->news);
    else if (ui->typing.open)
        accepted(ui, out, size);
    else if (sg_ui_place(ui)->only[0])
        snprintf(out, size, "Only rows that have \"%.60s\" are shown; Esc shows all.", sg_ui_place(ui)->only);
    else if (sg_ui_screen(ui)->legend)
        sg_ui_screen(ui)->legend(ui, out, size);
    /* What has no room is said where there is. */
    size_t used = strlen(out);
    if (!ui->typing.open && ui->hidden > 0 && sg_text_columns(out) + 20 <= ui->columns && used < size)
        snprintf(out + used, size - used, "%sC: %d more columns", used ? "   " : "", ui->hidden);
}

static void draw_question(struct sg_ui *ui, struct sg_canvas *canvas, int row)
{
    int at = sg_canvas_format(canvas, row, 0, ui->columns, SG_ROLE_LABEL, "%s ", ui->question->label);
    const char *text = sg_entry_text(&ui->entry);
    int before = 0, room = ui->columns - at - 1, columns;
    for (const char *c = text; c < text + ui->entry.cursor; before += columns)
        c += sg_text_next(c, &columns);
    while (before >= room && *text) { /* the end of a long one */
        text += sg_text_next(text, &columns);
        before -= columns;
    }
    sg_canvas_field(canvas, row, at, room, false, SG_ROLE_FIELD, text);
    canvas->cursor_row = row;
    canvas->cursor_column = at + before;
}

/* ---- the line of keys ---- */

static int draw_key(struct sg_ui *ui, struct sg_canvas *canvas, int row, int at,
                    const struct sg_action *action)
{
    char key[24];
    sg_action_key(action, key, sizeof key);
    int width = sg_text_columns(key) + 1 + sg_text_columns(action->bar);
    if (at + width > ui->columns)
        return at;
    at += sg_canvas_put(canvas, row, at, ui->columns - at, SG_ROLE_KEY, key) + 1;
    return at + sg_canvas_put(canvas, row, at, ui->columns - at, SG_ROLE_TEXT, action->bar) + 2;
}

static bool is_in_bar(const struct sg_action *action, unsigned where)
{
    unsigned here = action->flags & SG_BAR_ON_ROWS ? where & SG_ON_ROWS : where;
    return action->bar && (action->where & here);
}

static void draw_keys(struct sg_ui *ui, struct sg_canvas *canvas, int row)
{
    unsigned where = sg_ui_where(ui);
    int at = 0;
    for (unsigned first = SG_FIRST; first <= SG_FIRST; first -= SG_FIRST)
        for (const struct sg_action *action = sg_actions; action->name; action++)
            if (is_in_bar(action, where) && (action->flags & SG_FIRST) == first)
                at = draw_key(ui, canvas, row, at, action);
}

static int pair_width(const struct sg_action *action, const char *word)
{
    return sg_text_columns(action->keys + 1) + 1 + sg_text_columns(word);
}

/* After the first key of a pair: what the second may be; where one row is too short from the row above on. */
static void draw_pairs(struct sg_ui *ui, struct sg_canvas *canvas, int row)
{
    char first[8];
    const char *word;
    int last = row, all = 0;
    sg_stroke_name(ui->first, first, sizeof first);
    for (const struct sg_action *action = sg_actions; action->name; action++)
        if ((word = sg_action_second(action, first[0], sg_ui_where(ui))) != NULL)
            all += pair_width(action, word) + 2;
    if (sg_text_columns(first) + 6 + all - 2 > ui->columns)
        sg_canvas_fill(canvas, --row, 0, ui->columns, SG_ROLE_TEXT, " ");
    int at = sg_canvas_format(canvas, row, 0, ui->columns, SG_ROLE_KEY, "%s then ", first);
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        if (!(word = sg_action_second(action, first[0], sg_ui_where(ui))))
            continue;
        if (at + pair_width(action, word) > ui->columns && row < last) {
            row++;
            at = 0;
        }
        at += sg_canvas_put(canvas, row, at, ui->columns - at, SG_ROLE_KEY, action->keys + 1) + 1;
        at += sg_canvas_put(canvas, row, at, ui->columns - at, SG_ROLE_TEXT, word) + 2;
    }
}

/* Bytes of the whole words of a text that fit into so many columns; of none where the first is longer. */
static int fitting_words(const char *words, int columns)
{
    int used = 0, width;
    const char *part = words;
    for (const char *at = words; used <= columns; used += width) {
        if (*at == ' ' || !*at)
            part = at;
        if (!*at)
            break;
        at += sg_text_next(at, &width);
    }
    return (int)(part - words);
}

/* In one row as far as there is room; what is left out is said in full by help: `all` is remembered. */
static void put_words(struct sg_ui *ui, struct sg_canvas *canvas, int row, enum sg_role role,
                      const char *words, const char *all)
{
    size_t used = strlen(ui->cut);
    int fits = fitting_words(words, ui->columns - 3);
    if (sg_text_columns(words) <= ui->columns) {
        sg_canvas_put(canvas, row, 0, ui->columns, role, words);
        return;
    }
    if (fits == 0)
        sg_canvas_put(canvas, row, 0, ui->columns - 3, role, words);
    sg_canvas_format(canvas, row, fits > 0 ? 0 : ui->columns - 3, ui->columns, role, "%.*s...", fits, words);
    snprintf(ui->cut + used, sizeof ui->cut - used, "%s%s", used ? "  " : "", all);
}

/* A text in two rows, parted at a blank; true where it needed both. */
static bool draw_words(struct sg_ui *ui, struct sg_canvas *canvas, int row, enum sg_role role,
                       const char *words)
{
    bool both = sg_text_columns(words) > ui->columns;
    int part = both ? fitting_words(words, ui->columns) : 0;
    sg_canvas_format(canvas, row, 0, ui->columns, role, "%.*s", both ? part : (int)strlen(words), words);
    if (both)
        put_words(ui, canvas, row + 1, role, words + part + (words[part] == ' '), words);
    return both;
}

static void draw_foot(struct sg_ui *ui, struct sg_canvas *canvas)
{
    char words[WORDS] = "";
    enum sg_role role;
    int last = ui->rows - 1;
    first_words(ui, words, sizeof words, &role);
    bool both = draw_words(ui, canvas, last - 2, role, words);
    if (ui->question) {
        sg_canvas_fill(canvas, last - 1, 0, ui->columns, SG_ROLE_TEXT, " ");
        draw_question(ui, canvas, last - 1);
    } else if (!both) {
        second_words(ui, words, sizeof words);
        put_words(ui, canvas, last - 1, SG_ROLE_LABEL, words, words);
    }
    if (ui->first)
        draw_pairs(ui, canvas, last);
    else
        draw_keys(ui, canvas, last);
}

/* ---- body and panel ---- */

/* Rows of the panel: what the screen wants, at rest and while something is typed alike, so that nothing
 * moves; never more than leaves the body its share. */
static int panel_rows(struct sg_ui *ui, int rows)
{
    int wanted = rows >= TALL_ROWS ? sg_ui_screen(ui)->panel_tall : sg_ui_screen(ui)->panel;
    if (ui->typing.open && wanted < LEAST_PANEL)
        wanted = LEAST_PANEL;
    if (ui->choosing.open && wanted < LEAST_LIST)
        wanted = LEAST_LIST;
    int most = rows >= TALL_ROWS ? rows - TALL_BODY : rows - rows / 2;
    return rows < LEAST_PANEL ? 0 : wanted < most ? wanted : most;
}

static void draw_panel(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    if (ui->choosing.open) {
        struct sg_area list = area;
        bool beside = ui->typing.open && area.columns >= LIST_COLUMNS + CHANGES_COLUMNS;
        list.columns = beside ? area.columns - CHANGES_COLUMNS - 1 : area.columns;
        sg_choosing_draw(ui, canvas, list);
        area.column = list.columns + 1;
        area.columns = CHANGES_COLUMNS;
        if (beside)
            sg_changes_draw(ui, canvas, area);
    } else if (ui->typing.open && !sg_ui_screen(ui)->panel_has_changes)
        sg_changes_draw(ui, canvas, area);
    else if (sg_ui_screen(ui)->draw_panel)
        sg_ui_screen(ui)->draw_panel(ui, canvas, area);
}

static void draw_body(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    if (ui->build)
        sg_ui_build(ui);
    ui->hidden = 0;
    int panel = panel_rows(ui, area.rows);
    struct sg_area top = area, below = area;
    top.rows -= panel;
    below.row += top.rows;
    below.rows = panel;
    ui->body = top;
    if (ui->no_plan[0])
        sg_canvas_put(canvas, top.row, 0, ui->columns, SG_ROLE_WRONG, ui->no_plan);
    else if (sg_ui_screen(ui)->draw)
        sg_ui_screen(ui)->draw(ui, canvas, top);
    else
        sg_lines_draw(ui, canvas, top);
    if (panel > 1 && !ui->no_plan[0]) {
        below.row++; /* a blank row between */
        below.rows--;
        draw_panel(ui, canvas, below);
    }
}

/* ---- the whole ---- */

/* How many lines of the body have no room stands in the rule on their side. */
static void draw_rule(struct sg_ui *ui, struct sg_canvas *canvas, int row, int hidden, const char *where)
{
    char words[40];
    sg_canvas_fill(canvas, row, 0, ui->columns, SG_ROLE_LABEL, ui->how.wide ? "\xE2\x94\x80" : "-");
    if (hidden <= 0 || ui->no_plan[0] || sg_ui_screen(ui)->draw)
        return;
    int width = snprintf(words, sizeof words, " %d line%s %s ", hidden, hidden == 1 ? "" : "s", where);
    sg_canvas_put(canvas, row, ui->columns - width - 2, width, SG_ROLE_LABEL, words);
}

/* The answers one below the other, as many as there is room for; how many rows that took. */
static int small_answers(struct sg_ui *ui, struct sg_canvas *canvas, int row, int most)
{
    char answers[SG_ANSWERS][SG_ANSWER];
    sg_answers(ui, 3 * ui->columns, answers);
    int all = answers[SG_ANSWERS - 1][0] ? SG_ANSWERS : SG_ANSWERS - 1, n = most < all ? most : all;
    for (int i = 0; i < n; i++)
        put_answer(ui, canvas, row + i, 0, ui->columns, SG_ROLE_ANSWER, answers[i]);
    return n;
}

/* The field under the fingers in the first row, the rest for what comes of it. */
static void draw_small_field(struct sg_ui *ui, struct sg_canvas *canvas)
{
    char words[WORDS] = "";
    enum sg_role role;
    int last = ui->rows - 1;
    int used = sg_canvas_format(canvas, 0, 0, ui->columns - 8, SG_ROLE_LABEL, "%s ", ui->typing.field->name);
    sg_field_draw(ui, canvas, 0, used, ui->columns - used);
    small_answers(ui, canvas, 1, last - 2);
    first_words(ui, words, sizeof words, &role);
    put_words(ui, canvas, last - 1, role, words, words);
    draw_keys(ui, canvas, last);
}

static void draw_small(struct sg_ui *ui, struct sg_canvas *canvas)
{
    char words[WORDS] = "";
    enum sg_role role;
    int last = ui->rows - 1;
    if (ui->typing.open && !ui->question && !ui->choosing.open) {
        draw_small_field(ui, canvas);
        return;
    }
    draw_title(ui, canvas);
    int row = 1 + small_answers(ui, canvas, 1, ui->rows >= 8 ? SG_ANSWERS : ui->rows == 7 ? 3 : 1);
    first_words(ui, words, sizeof words, &role);
    bool words_row = words[0] && ui->rows > TINY_ROWS;
    int body = last - row - (words_row || ui->question);
    draw_body(ui, canvas, (struct sg_area){row, 0, body < 1 ? 1 : body, ui->columns});
    if (ui->question)
        draw_question(ui, canvas, last - 1);
    else if (words[0])
        put_words(ui, canvas, words_row ? last - 1 : last, role, words, words);
    if (!words[0] || words_row)
        draw_keys(ui, canvas, last);
}

void sg_frame_draw(struct sg_ui *ui, struct sg_canvas *canvas)
{
    canvas->cursor_row = canvas->cursor_column = -1;
    ui->cut[0] = '\0';
    if (sg_frame_tiny(ui)) {
        draw_tiny(ui, canvas);
        return;
    }
    if (ui->rows < SMALL_ROWS || ui->columns < SMALL_COLUMNS) {
        draw_small(ui, canvas);
        return;
    }
    draw_title(ui, canvas);
    int used = 1 + draw_second(ui, canvas, 1, ui->rows >= SMALL_ROWS ? 2 : 1);
    draw_body(ui, canvas, (struct sg_area){used + 1, 0, ui->rows - used - 5, ui->columns});
    draw_rule(ui, canvas, used, sg_ui_place(ui)->top, "above");
    draw_rule(ui, canvas, ui->rows - 4, ui->n_lines - sg_ui_place(ui)->top - ui->body.rows, "below");
    draw_foot(ui, canvas);
}
