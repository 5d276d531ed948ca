/* Finding, showing only some rows, ordering them, and any action by its name. */
#include "tui/do.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- find ---- */

static bool has(const char *text, const char *wanted)
{
    for (; *text; text++) {
        size_t i = 0;
        while (wanted[i] && tolower((unsigned char)text[i]) == tolower((unsigned char)wanted[i]))
            i++;
        if (!wanted[i])
            return true;
    }
    return false;
}

/* By its title, or by the name that commands know. */
static bool is_called(const struct sg_column *column, const char *wanted)
{
    char name[40];
    snprintf(name, sizeof name, "%s", column->field ? column->field : "");
    for (char *at = name; *at; at++)
        *at = *at == '_' ? ' ' : *at;
    return has(column->title, wanted) || has(name, wanted);
}

/* The first cell that has it, in a form beside its value too; of a line of words 0. -1: none has. */
static int cell_with(struct sg_ui *ui, const struct sg_line *line, const char *wanted)
{
    char value[400];
    if (!line->layout)
        return line->text && has(line->text, wanted) ? 0 : -1;
    for (int i = line->first; i < line->first + line->n && !line->heading; i++) {
        sg_column_show(&ui->kept, line, &line->layout->columns[i], value, sizeof value);
        if (has(value, wanted) || (line->layout->form && is_called(&line->layout->columns[i], wanted)))
            return i;
    }
    return -1;
}

bool sg_line_has(struct sg_ui *ui, const struct sg_line *line, const char *wanted)
{
    return cell_with(ui, line, wanted) >= 0;
}

static void find(struct sg_ui *ui, int by)
{
    struct sg_place *place = sg_ui_place(ui);
    if (!ui->find[0]) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing to find yet: / asks for a text.");
        return;
    }
    if (ui->build)
        sg_ui_build(ui);
    for (int i = 1; i <= ui->n_lines; i++) {
        int at = (place->line + by * i + 2 * ui->n_lines) % ui->n_lines;
        const struct sg_line *line = &ui->lines[at];
        int cell = cell_with(ui, line, ui->find);
        if (cell < 0)
            continue;
        if (line->stop && line->layout && line->layout->form)
            place->cell = cell;
        if (line->stop)
            place->line = at;
        else
            place->top = at;
        return;
    }
    sg_ui_say(ui, SG_ROLE_TEXT, "\"%s\" is not on this screen.", ui->find);
}

void sg_do_find_next(struct sg_ui *ui)
{
    find(ui, 1);
}

void sg_do_find_previous(struct sg_ui *ui)
{
    find(ui, -1);
}

static void found(struct sg_ui *ui, const char *text)
{
    if (text[0])
        snprintf(ui->find, sizeof ui->find, "%s", text);
    find(ui, 1);
}

void sg_do_find(struct sg_ui *ui)
{
    static const struct sg_question question = {.label = "find", .answer = found};
    sg_question_open(ui, &question, "");
}

/* ---- show only ---- */

static void show_only(struct sg_ui *ui, const char *text)
{
    struct sg_place *place = sg_ui_place(ui);
    snprintf(place->only, sizeof place->only, "%s", text);
    ui->build = true;
}

void sg_do_show_only(struct sg_ui *ui)
{
    static const struct sg_question question = {.label = "show only", .answer = show_only, .live = true};
    sg_question_open(ui, &question, sg_ui_place(ui)->only);
}

/* ---- order ---- */

struct ordered {
    char text[64];
    struct sg_line line;
};

static int compare(const void *a, const void *b)
{
    const struct ordered *x = a, *y = b;
    char *x_end, *y_end;
    double x_number = strtod(x->text, &x_end), y_number = strtod(y->text, &y_end);
    if (x_end != x->text && y_end != y->text && x_number != y_number)
        return x_number < y_number ? -1 : 1;
    return strcmp(x->text, y->text);
}

static int compare_down(const void *a, const void *b)
{
    return compare(b, a);
}

static void order_rows(struct sg_ui *ui, int first, int n)
{
    struct ordered *rows = malloc((size_t)n * sizeof *rows);
    if (!rows)
        return; /* then they stand as they run */
    for (int i = 0; i < n; i++) {
        rows[i].line = ui->lines[first + i];
        sg_column_show(&ui->kept, &rows[i].line, ui->order, rows[i].text, sizeof rows[i].text);
    }
    qsort(rows, (size_t)n, sizeof *rows, ui->order_down ? compare_down : compare);
    for (int i = 0; i < n; i++)
        ui->lines[first + i] = rows[i].line;
    free(rows);
}

static bool has_column(const struct sg_line *line, const struct sg_column *column)
{
    return line->layout && !line->layout->form && !line->heading && column >= line->layout->columns &&
           column < line->layout->columns + line->layout->n;
}

void sg_lines_order(struct sg_ui *ui)
{
    for (int i = 0, n; i<ui->n_lines; i += n> 0 ? n : 1) {
        for (n = 0; i + n < ui->n_lines && has_column(&ui->lines[i + n], ui->order);)
            n++;
        if (n > 1)
            order_rows(ui, i, n);
    }
}

void sg_do_order(struct sg_ui *ui)
{
    const struct sg_column *column = sg_ui_column(ui);
    if (!column)
        return;
    if (ui->order != column) {
        ui->order = column;
        ui->order_down = false;
    } else if (!ui->order_down) {
        ui->order_down = true;
    } else {
        ui->order = NULL;
    }
    ui->build = true;
    if (ui->order)
        sg_ui_say(ui, SG_ROLE_TEXT, "Shown by %.40s, %s; they run in their own order. o again changes it.",
                  column->title, ui->order_down ? "falling" : "rising");
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Shown as they run.");
}

/* ---- any action by its name ---- */

static int n_named(struct sg_ui *ui, const struct sg_action **wanted, int index)
{
    int n = 0;
    for (const struct sg_action *action = sg_actions; action->name; action++)
        if (action->where & sg_ui_where(ui)) {
            if (wanted && n == index)
                *wanted = action;
            n++;
        }
    return n;
}

/* While the question is open, keys go to it: its list is that of the screen below. */
static int commands(struct sg_ui *ui)
{
    const struct sg_question *question = ui->question;
    ui->question = NULL;
    int n = n_named(ui, NULL, 0);
    ui->question = question;
    return n;
}

static void command(struct sg_ui *ui, int index, const char **word, const char **meaning)
{
    const struct sg_question *question = ui->question;
    const struct sg_action *action = NULL;
    ui->question = NULL;
    n_named(ui, &action, index);
    ui->question = question;
    *word = action ? action->name : "";
    *meaning = action ? action->help : "";
}

static void run_named(struct sg_ui *ui, const char *name)
{
    const struct sg_action *action = sg_action_named(name);
    ui->answered = NULL; /* what the action refuses is no name */
    if (action && (action->where & sg_ui_where(ui)))
        sg_action_run(ui, action);
    else if (name[0])
        sg_ui_say(ui, SG_ROLE_WRONG, "%s \"%.60s\" here; : lists what there is",
                  action ? "there is no" : "no action is called", name);
}

void sg_do_command(struct sg_ui *ui)
{
    static const struct sg_question question = {
        .label = ":", .answer = run_named, .choices = commands, .choice = command};
    sg_question_open(ui, &question, "");
}
