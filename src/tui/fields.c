/* Keys of fields: what opens them, and what is pressed inside. */
#include "tui/do.h"

#include "tui/screens.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- opening ---- */

void sg_do_edit(struct sg_ui *ui)
{
    sg_typing_open(ui, NULL);
}

static const struct sg_field *field_here(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_column *column = sg_ui_column(ui);
    return column ? sg_column_field(line, column) : NULL;
}

void sg_do_type_over(struct sg_ui *ui)
{
    char text[2] = {(char)ui->stroke, '\0'};
    const struct sg_field *field = field_here(ui);
    if (field && (field->type == SG_FIELD_TEXT || field->type == SG_FIELD_OUTLINE))
        sg_ui_say(ui, SG_ROLE_TEXT, "A figure types over a number; e edits this text.");
    else
        sg_typing_open(ui, text);
}

void sg_do_last(struct sg_ui *ui)
{
    if (ui->last[0])
        sg_typing_open(ui, ui->last);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing was typed and dropped.");
}

/* The field of that name on the line, wherever its column is. */
static bool stand_on_field(struct sg_ui *ui, const char *name)
{
    const struct sg_line *line = sg_ui_line(ui);
    for (int i = 0; line && line->layout && i < line->layout->n; i++)
        if (line->layout->columns[i].field && strcmp(line->layout->columns[i].field, name) == 0) {
            sg_ui_place(ui)->cell = i;
            return true;
        }
    return false;
}

void sg_do_note(struct sg_ui *ui)
{
    const struct sg_line *line = sg_ui_line(ui);
    if (!line || line->row == 0 || !sg_field_find(line->target.kind, "note")) {
        sg_ui_say(ui, SG_ROLE_TEXT, "A job and a part have notes; this row has none.");
        return;
    }
    struct sg_target target = line->target;
    if (!stand_on_field(ui, "note") &&
        (!sg_ui_open(ui, SG_SCREEN_FIELDS, target) || !sg_fields_stand(ui, "note")))
        return;
    sg_typing_open(ui, NULL);
}

/* ---- one step more or less ---- */

/* A value one step away, as typed: a whole number by 1, a figure by a tenth of its power of ten. */
static void step_text(const struct sg_ui *ui, const struct sg_field *field, const struct sg_value *value,
                      int by, char *out, size_t size)
{
    if (field->type == SG_FIELD_WHOLE) {
        snprintf(out, size, "%lld", (long long)value->whole + by);
        return;
    }
    const struct sg_unit *unit = sg_field_unit(field, ui->kept.shop->units);
    double shown = (double)sg_from_canonical(value->number[0], unit);
    double step = shown > 0 ? pow(10, floor(log10(shown)) - 1) : 0.1;
    snprintf(out, size, "%.10g %s", (floor(shown / step + 0.5) + by) * step, unit->name);
}

/* Whether the field takes it; else its end is reached, and that is said. */
static bool step_is_taken(struct sg_ui *ui, const struct sg_field *field, const char *text)
{
    struct sg_typed typed;
    sg_field_read(field, ui->kept.shop, text, &typed);
    if (typed.state != SG_PARSE_WHOLE)
        sg_ui_say(ui, SG_ROLE_WRONG, "%s", typed.text);
    return typed.state == SG_PARSE_WHOLE;
}

static void step_value(struct sg_ui *ui, int by)
{
    char text[80];
    const struct sg_field *field = field_here(ui);
    struct sg_value value;
    if (!field || (field->type != SG_FIELD_WHOLE && field->type != SG_FIELD_NUMBER)) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Only a number goes up and down.");
        return;
    }
    sg_field_get(field, sg_target_record(ui->kept.shop, sg_ui_line(ui)->target), &value);
    if (value.none) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing is typed here that could go up or down.");
        return;
    }
    step_text(ui, field, &value, by, text, sizeof text);
    if (!step_is_taken(ui, field, text))
        return;
    sg_typing_open(ui, text);
    ui->typing.steps = true;
}

bool sg_type_step(struct sg_ui *ui, int32_t stroke)
{
    char text[80];
    struct sg_typing *typing = &ui->typing;
    if (!typing->open || !typing->steps || (stroke != '+' && stroke != '-') ||
        typing->typed.state != SG_PARSE_WHOLE)
        return false;
    step_text(ui, typing->field, &typing->typed.value, stroke == '+' ? 1 : -1, text, sizeof text);
    if (!step_is_taken(ui, typing->field, text))
        return true;
    sg_entry_set(&ui->entry, text);
    sg_typing_changed(ui);
    return true;
}

void sg_do_more(struct sg_ui *ui)
{
    step_value(ui, 1);
}

void sg_do_less(struct sg_ui *ui)
{
    step_value(ui, -1);
}

/* ---- inside ---- */

void sg_entry_changed(struct sg_ui *ui)
{
    ui->choosing.stepped = false;
    if (ui->choosing.open)
        sg_choosing_narrow(ui);
    if (ui->question) {
        if (ui->how.spoken)
            ui->message[0] = '\0'; /* how to answer was said once */
        if (ui->question->live)
            ui->question->answer(ui, sg_entry_text(&ui->entry));
    } else if (ui->typing.open) {
        ui->typing.steps = false;
        sg_typing_changed(ui);
    }
}

static void edit_entry(struct sg_ui *ui, void (*edit)(struct sg_entry *entry))
{
    ui->proposal = false;
    edit(&ui->entry);
    sg_entry_changed(ui);
}

static void move_cursor(struct sg_ui *ui, void (*move)(struct sg_entry *entry))
{
    move(&ui->entry);
    if (ui->typing.open && !ui->question)
        sg_typing_put_aside(ui);
}

void sg_type_left(struct sg_ui *ui)
{
    ui->proposal = false;
    move_cursor(ui, sg_entry_left);
}

void sg_type_right(struct sg_ui *ui)
{
    ui->proposal = false;
    move_cursor(ui, sg_entry_right);
}

void sg_type_home(struct sg_ui *ui)
{
    ui->proposal = false;
    move_cursor(ui, sg_entry_home);
}

void sg_type_end(struct sg_ui *ui)
{
    ui->proposal = false;
    move_cursor(ui, sg_entry_end);
}

void sg_type_rub_left(struct sg_ui *ui)
{
    edit_entry(ui, sg_entry_rub_left);
}

void sg_type_rub_right(struct sg_ui *ui)
{
    edit_entry(ui, sg_entry_rub_right);
}

void sg_type_rub_word(struct sg_ui *ui)
{
    edit_entry(ui, sg_entry_rub_word);
}

void sg_type_rub_rest(struct sg_ui *ui)
{
    edit_entry(ui, sg_entry_rub_rest);
}

void sg_type_clear(struct sg_ui *ui)
{
    edit_entry(ui, sg_entry_clear);
}

/* ---- out of the field ---- */

/* What was typed, or the word chosen behind what stands in front of it; to be freed. */
static char *answer_text(struct sg_ui *ui, const char *typed)
{
    const struct sg_question *question = ui->question;
    const char *word =
        question->choices && ui->choosing.at >= 0 ? sg_choosing_word(ui, ui->choosing.at, NULL) : NULL;
    if (!word)
        return strdup(typed);
    int front = question->front ? (int)question->front(ui, typed) : 0;
    const char *between = front > 0 && typed[front - 1] != ' ' ? " " : "";
    size_t size = (size_t)front + strlen(between) + strlen(word) + 1;
    char *text = malloc(size);
    if (text)
        snprintf(text, size, "%.*s%s%s", front, typed, between, word);
    return text;
}

static void answer(struct sg_ui *ui)
{
    const struct sg_question *question = ui->question;
    char *typed = strdup(sg_entry_text(&ui->entry));
    char *text = typed ? answer_text(ui, typed) : NULL;
    if (text) {
        sg_question_close(ui);
        ui->answered = question;
        ui->answer = typed;
        question->answer(ui, text);
        ui->answered = NULL;
        ui->answer = NULL;
    } else {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory to take the answer");
    }
    free(text);
    free(typed);
}

void sg_type_keep(struct sg_ui *ui)
{
    if (ui->question) {
        answer(ui);
        return;
    }
    if (!sg_typing_keep(ui))
        return;
    const struct sg_line *line = sg_ui_line(ui), *end = ui->lines + ui->n_lines;
    bool table = line && line->layout && !line->layout->form;
    if (table && line + 1 < end && line[1].layout == line->layout)
        sg_move_lines(ui, 1);
}

/* Keep, or put aside and say how it comes back, then go on; a clash stays. */
static void leave_and(struct sg_ui *ui, bool (*move)(struct sg_ui *ui, int by), int by)
{
    if (ui->question)
        return;
    sg_typing_leave(ui);
    if (!ui->typing.open)
        move(ui, by);
}

static void choose_or_leave(struct sg_ui *ui, int by)
{
    if (!ui->choosing.open) {
        leave_and(ui, sg_move_lines, by);
        return;
    }
    sg_choosing_step(ui, by);
    if (ui->typing.open && !ui->question)
        sg_typing_changed(ui);
}

void sg_type_up(struct sg_ui *ui)
{
    choose_or_leave(ui, -1);
}

void sg_type_down(struct sg_ui *ui)
{
    choose_or_leave(ui, 1);
}

/* On to the next input, open for typing: a row is filled in without a key in between. What cannot be kept
 * stays, as with Enter: else the values that are typed next go into the wrong fields. */
static void next_field(struct sg_ui *ui, int by)
{
    if (!sg_typing_keep(ui) || !sg_move_inputs(ui, by))
        return;
    sg_typing_open(ui, NULL);
    ui->proposal = true;
}

void sg_type_next(struct sg_ui *ui)
{
    next_field(ui, 1);
}

void sg_type_previous(struct sg_ui *ui)
{
    next_field(ui, -1);
}

/* A row that is added opens its first field, so that Tab goes on from its name too. */
void sg_type_answer_next(struct sg_ui *ui)
{
    if (ui->question->choices)
        sg_ui_say(ui, SG_ROLE_TEXT, "Arrows choose a word, Enter takes it.");
    else
        answer(ui);
}

void sg_type_drop(struct sg_ui *ui)
{
    if (!ui->question) {
        sg_typing_drop(ui);
        return;
    }
    bool live = ui->question->live;
    void (*again)(struct sg_ui *, const char *) = ui->question->answer;
    sg_question_close(ui);
    ui->message[0] = '\0'; /* it said how to answer */
    if (live)
        again(ui, "");
}
