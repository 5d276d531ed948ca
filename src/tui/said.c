/* Where one stands and what is the case, in words: for a screen reader. */
#include "tui/inside.h"

#include <stdio.h>
#include <string.h>

void sg_ui_say_title(struct sg_ui *ui, char *out, size_t size)
{
    snprintf(out, size, "%s", ui->no_plan);
    if (!ui->no_plan[0])
        sg_ui_screen(ui)->title(ui, out, size);
}

bool sg_ui_is_text(struct sg_ui *ui)
{
    return !ui->no_plan[0] && !sg_ui_screen(ui)->answers;
}

static const char *title_of(const struct sg_column *column)
{
    return column->field ? column->field : column->title;
}

/* "2604/1/A: quantity 16, typed 20". */
static void say_cell(struct sg_ui *ui, const struct sg_line *line, const struct sg_column *column, char *out,
                     size_t size)
{
    char key[1200] = "", value[300], name[60];
    if (line->target.index != SG_UNKNOWN)
        sg_key_write(ui->kept.shop, line->target, key, sizeof key);
    sg_column_show(&ui->kept, line, column, value, sizeof value);
    snprintf(name, sizeof name, "%.*s", (int)strcspn(title_of(column), "%"), title_of(column));
    for (char *at = name; *at; at++)
        *at = *at == '_' ? ' ' : *at;
    size_t used = (size_t)snprintf(out, size, "%.200s: %s %s", key, name, value);
    if (ui->typing.open && used < size)
        snprintf(out + used, size - used, ", typed %s", sg_entry_text(&ui->entry));
}

void sg_ui_say_place(struct sg_ui *ui, char *out, size_t size)
{
    out[0] = '\0';
    if (ui->no_plan[0])
        return;
    const char *meaning = "", *word;
    const struct sg_line *line = sg_ui_line(ui);
    const struct sg_column *column = sg_ui_column(ui);
    if (ui->choosing.open && ui->choosing.at >= 0 && (word = sg_choosing_word(ui, ui->choosing.at, &meaning)))
        snprintf(out, size, "%s  %s", word, meaning);
    else if (ui->question)
        snprintf(out, size, "%s %s", ui->question->label, sg_entry_text(&ui->entry));
    else if (sg_ui_screen(ui)->say)
        sg_ui_screen(ui)->say(ui, out, size);
    else if (column)
        say_cell(ui, line, column, out, size);
    else if (line && line->text)
        snprintf(out, size, "%s", line->text);
}

void sg_ui_say_answers(struct sg_ui *ui, char *out, size_t size)
{
    char answers[SG_ANSWERS][SG_ANSWER];
    sg_answers(ui, 300, answers);
    int used = snprintf(out, size, "%s. %s. %s.", answers[0], answers[1], answers[2]);
    if (answers[3][0] && used >= 0 && (size_t)used < size)
        snprintf(out + used, size - (size_t)used, " %s.", answers[3]);
}

const char *sg_ui_say_message(struct sg_ui *ui)
{
    return ui->message[0] ? ui->message : ui->news;
}
