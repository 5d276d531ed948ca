/* Lines and the cells on them: built by the screens, laid out and drawn here. */
#include "tui/inside.h"

#include "tui/screens.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MARGIN = 2, VALUE = 260 }; /* columns for > and +; bytes of a value as shown */

/* ---- building ---- */

bool sg_line_add(struct sg_ui *ui, const struct sg_line *line)
{
    if (ui->n_lines == ui->lines_room) {
        int room = ui->lines_room > 0 ? ui->lines_room * 2 : 128;
        struct sg_line *lines = realloc(ui->lines, (size_t)room * sizeof *lines);
        if (!lines)
            return false;
        ui->lines = lines;
        ui->lines_room = room;
    }
    ui->lines[ui->n_lines++] = *line;
    return true;
}

/* Whether a row is among those that are typed into. */
static bool is_typed(const struct sg_ui *ui, const struct sg_line *line)
{
    for (int i = 0; ui->typing.open && i < ui->typing.n; i++)
        if (ui->typing.rows[i] == line->row && ui->typing.field->kind == line->target.kind)
            return true;
    return false;
}

bool sg_line_row(struct sg_ui *ui, const struct sg_layout *layout, struct sg_target target)
{
    struct sg_line line = {.layout = layout,
                           .stop = true,
                           .target = target,
                           .row = sg_row_id(ui->kept.shop, target),
                           .n = layout->n};
    const char *only = sg_ui_place(ui)->only;
    return (only[0] && !is_typed(ui, &line) && !sg_line_has(ui, &line, only)) || sg_line_add(ui, &line);
}

bool sg_line_heading(struct sg_ui *ui, const struct sg_layout *layout)
{
    return sg_line_add(
        ui, &(struct sg_line){
                .layout = layout, .heading = true, .n = layout->n, .target = {SG_KIND_SHIFT, SG_UNKNOWN}});
}

bool sg_line_form(struct sg_ui *ui, const struct sg_layout *layout, struct sg_target target)
{
    int fit = (ui->columns - MARGIN) / layout->cell;
    fit = fit < 1 ? 1 : fit;
    for (int first = 0; first < layout->n; first += fit) {
        struct sg_line line = {.layout = layout,
                               .stop = true,
                               .target = target,
                               .row = sg_row_id(ui->kept.shop, target),
                               .first = first,
                               .n = layout->n - first < fit ? layout->n - first : fit};
        if (!sg_line_add(ui, &line))
            return false;
    }
    return true;
}

bool sg_line_words(struct sg_ui *ui, enum sg_role role, bool stop, const char *format, ...)
{
    char words[2000];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    char *text = sg_arena_text(&ui->arena, words, strlen(words));
    return text &&
           sg_line_add(ui,
                       &(struct sg_line){
                           .stop = stop, .text = text, .role = role, .target = {SG_KIND_SHIFT, SG_UNKNOWN}});
}

/* ---- where one stands ---- */

/* The place's column on a line: on a form that of the value. */
static int cell_of(const struct sg_line *line, const struct sg_place *place)
{
    int cell = place->cell < line->first ? line->first : place->cell;
    return cell >= line->first + line->n ? line->first + line->n - 1 : cell;
}

/* A form may be laid out in other lines than it was: the one with that column. */
static bool is_row(const struct sg_line *line, const struct sg_line *wanted, int cell)
{
    if (line->row != wanted->row || line->target.kind != wanted->target.kind ||
        line->heading != wanted->heading || !line->layout != !wanted->layout)
        return false;
    return line->layout ? line->layout->columns == wanted->layout->columns && cell >= line->first &&
                              cell < line->first + line->n
                        : line->first == wanted->first;
}

/* The nearest line that one can stand on, looking down first. */
static int near_stop(const struct sg_ui *ui, int line)
{
    line = line < 0 ? 0 : line >= ui->n_lines ? ui->n_lines - 1 : line;
    for (int i = line; i < ui->n_lines; i++)
        if (ui->lines[i].stop)
            return i;
    for (int i = line; i >= 0; i--)
        if (ui->lines[i].stop)
            return i;
    return 0;
}

/* Back from another screen: on the row where one stood, of its lines the nearest to that. */
static void stand_again(struct sg_ui *ui, struct sg_place *place)
{
    int best = -1;
    for (int i = 0; i < ui->n_lines; i++) {
        const struct sg_line *line = &ui->lines[i];
        bool is = line->stop && line->row == place->stood.row && line->target.kind == place->stood.kind;
        if (is && (best < 0 || abs(i - place->line) < abs(best - place->line)))
            best = i;
    }
    place->line = best < 0 ? place->line : best;
}

void sg_ui_build(struct sg_ui *ui)
{
    struct sg_place *place = sg_ui_place(ui);
    struct sg_line was = {0};
    bool stood = ui->n_lines > 0 && place->line < ui->n_lines;
    int cell = place->cell;
    if (stood) {
        was = ui->lines[place->line];
        cell = cell_of(&was, place);
    }
    ui->build = false;
    ui->n_lines = 0;
    sg_arena_free(&ui->arena);
    if (ui->no_plan[0] || !sg_ui_screen(ui)->build)
        return;
    sg_ui_screen(ui)->build(ui);
    if (ui->order)
        sg_lines_order(ui);
    if (!stood && place->stood.row != 0)
        stand_again(ui, place);
    for (int i = 0; stood && was.row != 0 && i < ui->n_lines; i++)
        if (is_row(&ui->lines[i], &was, cell)) {
            place->line = i;
            break;
        }
    place->line = near_stop(ui, place->line);
}

static void build_if_due(struct sg_ui *ui)
{
    if (ui->build)
        sg_ui_build(ui);
}

const struct sg_line *sg_ui_line(struct sg_ui *ui)
{
    build_if_due(ui);
    int line = sg_ui_place(ui)->line;
    return line < ui->n_lines && ui->lines[line].stop ? &ui->lines[line] : NULL;
}

const struct sg_column *sg_ui_column(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (!line || !line->layout || line->heading)
        return NULL;
    return &line->layout->columns[cell_of(line, sg_ui_place(ui))];
}

const struct sg_field *sg_column_field(const struct sg_line *line, const struct sg_column *column)
{
    return column->field ? sg_field_find(line->target.kind, column->field) : NULL;
}

bool sg_ui_stand(struct sg_ui *ui, enum sg_kind kind, int64_t row)
{
    build_if_due(ui);
    for (int i = 0; i < ui->n_lines; i++)
        if (ui->lines[i].stop && ui->lines[i].target.kind == kind && ui->lines[i].row == row) {
            sg_ui_place(ui)->line = i;
            return true;
        }
    return false;
}

/* ---- values ---- */

void sg_column_show(const struct sg_look *look, const struct sg_line *line, const struct sg_column *column,
                    char *out, size_t size)
{
    out[0] = '\0';
    if (line->target.index == SG_UNKNOWN)
        return;
    if (column->show) {
        column->show(look, line->target, out, size);
        return;
    }
    struct sg_value value;
    const struct sg_field *field = sg_column_field(line, column);
    sg_field_get(field, sg_target_record(look->shop, line->target), &value);
    if (value.none)
        snprintf(out, size, "-");
    else if (field->type == SG_FIELD_NUMBER && column->dimension != SG_DIM_NUMBER)
        sg_number_short(value.number[0], sg_unit_of_shop(column->dimension, look->shop->units), 3, out, size);
    else
        sg_field_show(field, look->shop, &value, out, size);
}

static void title_of(const struct sg_look *look, const struct sg_column *column, char *out, size_t size)
{
    const char *unit = strchr(column->title, '%');
    if (unit)
        snprintf(out, size, "%.*s%s%s", (int)(unit - column->title), column->title,
                 sg_unit_of_shop(column->dimension, look->shop->units)->name, unit + 1);
    else
        snprintf(out, size, "%s", column->title);
}

/* ---- layout ---- */

enum { COLUMNS_MOST = SG_COLUMNS_MOST, FIELD_ROOM = 12, FIELD_MOST = 40, MOST_GROWTH = 24 };

/* Columns leave, the highest rank first, until the others have room; returns how many. The one one stands on
 * stays. Where `turned`, those that have no room otherwise are the last to leave. */
static int leave(const struct sg_layout *layout, int columns, int here, const bool *turned, bool *gone)
{
    int needed = 0, left = 0;
    for (int i = 0; i < layout->n; i++)
        needed += layout->columns[i].width + 1;
    while (needed > columns) {
        int worst = -1, highest = 0;
        for (int i = 0; i < layout->n; i++) {
            int rank = layout->columns[i].leaves;
            rank += turned && rank > 0 && !turned[i] ? COLUMNS_MOST : 0;
            if (!gone[i] && i != here && rank > highest) {
                worst = i;
                highest = rank;
            }
        }
        for (int i = layout->n - 1; worst < 0 && i >= 0; i--)
            worst = gone[i] || i == here ? -1 : i; /* rather none than half a figure */
        if (worst < 0)
            break;
        gone[worst] = true;
        left++;
        needed -= layout->columns[worst].width + 1;
    }
    return left;
}

/* Place and width of each column of a table in `columns` columns, -1 of one that has left. */
static void fit(struct sg_ui *ui, const struct sg_layout *layout, int columns, int here, int *at, int *width)
{
    bool gone[COLUMNS_MOST] = {false}, first[COLUMNS_MOST] = {false};
    int needed = 0, grower = -1, x = 0;
    ui->hidden = leave(layout, columns, ui->turned ? -1 : here, NULL, first);
    memcpy(gone, first, sizeof gone);
    if (ui->turned && ui->hidden > 0) {
        memset(gone, 0, sizeof gone);
        ui->hidden = leave(layout, columns, here, first, gone);
    }
    for (int i = 0; i < layout->n; i++) {
        needed += gone[i] ? 0 : layout->columns[i].width + 1;
        if (layout->columns[i].grows && !gone[i] && grower < 0)
            grower = i;
    }
    for (int i = 0; i < layout->n; i++) {
        int more = i == grower && needed < columns ? columns - needed : 0;
        width[i] = layout->columns[i].width + (more < MOST_GROWTH ? more : MOST_GROWTH);
        at[i] = gone[i] ? -1 : x;
        x += gone[i] ? 0 : width[i] + 1;
    }
}

/* ---- drawing ---- */

void sg_field_draw(struct sg_ui *ui, struct sg_canvas *canvas, int row, int column, int width)
{
    const char *text = sg_entry_text(&ui->entry);
    int room = width - 2, before = 0, start = 0, columns;
    for (const char *at = text; at < text + ui->entry.cursor; before += columns)
        at += sg_text_next(at, &columns);
    const char *shown = text;
    while (before - start > room - 1 && *shown) {
        shown += sg_text_next(shown, &columns);
        start += columns;
    }
    sg_canvas_fill(canvas, row, column, width, SG_ROLE_FIELD, "_");
    sg_canvas_put(canvas, row, column, 1, SG_ROLE_FIELD, "[");
    sg_canvas_put(canvas, row, column + 1, room, SG_ROLE_FIELD, shown);
    sg_canvas_put(canvas, row, column + width - 1, 1, SG_ROLE_FIELD, "]");
    canvas->cursor_row = row;
    canvas->cursor_column = column + 1 + before - start;
}

/* A part whose sheets are typed into. */
static bool is_under_typed(const struct sg_ui *ui, const struct sg_line *line)
{
    if (line->target.kind != SG_KIND_PART || line->target.index == SG_UNKNOWN)
        return false;
    struct sg_line stock = {
        .target = {SG_KIND_STOCK, ui->kept.shop->parts[line->target.index].stock},
    };
    stock.row = sg_row_id(ui->kept.shop, stock.target);
    return is_typed(ui, &stock);
}

static bool is_marked(const struct sg_ui *ui, const struct sg_line *line)
{
    for (int i = 0; i < ui->n_marks; i++)
        if (ui->marks[i].row == line->row && ui->marks[i].kind == line->target.kind)
            return true;
    return false;
}

/* The value of a cell as it is to be seen now, with its mark. */
static enum sg_role look_at(struct sg_ui *ui, const struct sg_line *line, const struct sg_column *column,
                            char *value, const char **mark)
{
    char kept[VALUE];
    *mark = "";
    sg_column_show(&ui->kept, line, column, kept, sizeof kept);
    snprintf(value, VALUE, "%s", kept);
    if (sg_ui_differs(ui)) {
        struct sg_line tried = *line;
        tried.target = sg_ui_tried(ui, line->target);
        sg_column_show(&ui->tried, &tried, column, value, VALUE);
        if (strcmp(value, kept) != 0) {
            *mark = "*";
            return SG_ROLE_CHANGED;
        }
    } else if (ui->typing.open && ui->typing.typed.state != SG_PARSE_WHOLE && column->number &&
               (is_typed(ui, line) || is_under_typed(ui, line))) {
        *mark = "?";
        return SG_ROLE_STALE;
    }
    return column->field ? SG_ROLE_INPUT : SG_ROLE_RESULT;
}

static void draw_cell(struct sg_ui *ui, struct sg_canvas *canvas, const struct sg_line *line,
                      const struct sg_column *column, bool here, int row, int at, int width)
{
    char value[VALUE];
    const char *mark;
    enum sg_role role = look_at(ui, line, column, value, &mark);
    if (here && ui->typing.open)
        return; /* drawn last: it may stand over its neighbours */
    sg_canvas_field(canvas, row, at, width, column->right, here ? SG_ROLE_CURSOR : role, value);
    int end = column->right ? at + width : at + sg_text_columns(value);
    sg_canvas_put(canvas, row, end > at + width ? at + width : end, 1, role, mark);
}

/* A narrow column gets room to type in: to the left where its figures end at the right, or the lines do. */
static void draw_open_field(struct sg_ui *ui, struct sg_canvas *canvas, const struct sg_column *column,
                            int row, int at, int width, struct sg_area area)
{
    int text = sg_text_columns(sg_entry_text(&ui->entry)) + 3; /* brackets, and a place to type on */
    int room = width < FIELD_ROOM ? FIELD_ROOM : width;
    room = room < text ? text < FIELD_MOST ? text : FIELD_MOST : room;
    if (column->right)
        at = at + width - room;
    if (at + room > area.column + area.columns)
        at = area.column + area.columns - room;
    if (at < area.column)
        at = area.column;
    if (at + room > area.column + area.columns)
        room = area.column + area.columns - at;
    sg_field_draw(ui, canvas, row, at, room);
}

static void draw_table(struct sg_ui *ui, struct sg_canvas *canvas, const struct sg_line *line, int here,
                       int row, struct sg_area area)
{
    int at[COLUMNS_MOST], width[COLUMNS_MOST];
    const struct sg_line *current = sg_ui_line(ui);
    int keep = current && current->layout == line->layout ? cell_of(current, sg_ui_place(ui)) : -1;
    fit(ui, line->layout, area.columns - MARGIN, keep, at, width);
    if (keep >= 0) {
        ui->drawn = line->layout;
        memcpy(ui->at, at, sizeof at);
    }
    for (int i = 0; i < line->layout->n; i++) {
        const struct sg_column *column = &line->layout->columns[i];
        char title[80];
        if (at[i] < 0)
            continue;
        title_of(&ui->kept, column, title, sizeof title);
        if (line->heading)
            sg_canvas_field(canvas, row, area.column + MARGIN + at[i], width[i], column->right, SG_ROLE_LABEL,
                            title);
        else
            draw_cell(ui, canvas, line, column, here == i, row, area.column + MARGIN + at[i], width[i]);
    }
    if (here >= 0 && ui->typing.open && at[here] >= 0)
        draw_open_field(ui, canvas, &line->layout->columns[here], row, area.column + MARGIN + at[here],
                        width[here], area);
}

static void draw_form(struct sg_ui *ui, struct sg_canvas *canvas, const struct sg_line *line, int here,
                      int row, struct sg_area area)
{
    int cell = line->layout->cell;
    for (int i = 0; i < line->n; i++) {
        const struct sg_column *column = &line->layout->columns[line->first + i];
        char title[80];
        int x = area.column + MARGIN + i * cell, room = area.column + area.columns - x;
        room = room < cell ? room : cell;
        title_of(&ui->kept, column, title, sizeof title);
        int most = room > 2 * FIELD_ROOM ? room - FIELD_ROOM - 1 : room / 2; /* a value has the first right */
        int used = sg_canvas_put(canvas, row, x, most, SG_ROLE_LABEL, title) + 1;
        draw_cell(ui, canvas, line, column, here == line->first + i, row, x + used, room - used - 1);
        if (here == line->first + i && ui->typing.open)
            sg_field_draw(ui, canvas, row, x + used, room - used - 1);
    }
}

static void draw_line(struct sg_ui *ui, struct sg_canvas *canvas, int index, int row, struct sg_area area)
{
    const struct sg_line *line = &ui->lines[index];
    const struct sg_place *place = sg_ui_place(ui);
    bool current = index == place->line && line->stop;
    int here = current && line->layout ? cell_of(line, place) : -1;
    if (current)
        sg_canvas_put(canvas, row, area.column, 1, SG_ROLE_CURSOR, ">");
    if (line->row != 0 && !line->heading && line->first == 0 && is_marked(ui, line))
        sg_canvas_put(canvas, row, area.column + 1, 1, SG_ROLE_MARKED, "+");
    if (!line->layout)
        sg_canvas_put(canvas, row, area.column + MARGIN, area.columns - MARGIN,
                      current ? SG_ROLE_CURSOR : line->role, line->text);
    else if (line->layout->form)
        draw_form(ui, canvas, line, here, row, area);
    else
        draw_table(ui, canvas, line, here, row, area);
}

/* The heading that belongs above the first line shown, where it has scrolled away. */
static int heading_above(const struct sg_ui *ui, int top)
{
    const struct sg_line *line = &ui->lines[top];
    bool more = top + 1 < ui->n_lines && ui->lines[top + 1].layout == line->layout;
    bool words = !line->layout && line->stop;
    if (!words && (!line->layout || line->layout->form || line->heading || !more))
        return -1;
    for (int i = top - 1; i >= 0; i--)
        if (ui->lines[i].heading && ui->lines[i].layout == line->layout)
            return i;
    return -1;
}

void sg_lines_draw(struct sg_ui *ui, struct sg_canvas *canvas, struct sg_area area)
{
    struct sg_place *place = sg_ui_place(ui);
    if (ui->n_lines == 0 || area.rows < 1)
        return;
    if (place->line < place->top + (place->top > 0 ? 1 : 0))
        place->top = place->line > 0 ? place->line - 1 : 0;
    if (place->line >= place->top + area.rows)
        place->top = place->line - area.rows + 1;
    if (place->top > ui->n_lines - area.rows)
        place->top = ui->n_lines > area.rows ? ui->n_lines - area.rows : 0;
    bool first_screen = near_stop(ui, 0) == place->line && place->line < area.rows;
    place->top = first_screen ? 0 : place->top;
    int heading = area.rows > 1 ? heading_above(ui, place->top) : -1; /* not over where one stands */
    for (int i = 0; i < area.rows && place->top + i < ui->n_lines; i++)
        draw_line(ui, canvas, i == 0 && heading >= 0 ? heading : place->top + i, area.row + i, area);
}
