/* A question answered in a line. */
#include "tui/inside.h"

void sg_question_open(struct sg_ui *ui, const struct sg_question *question, const char *text)
{
    ui->question = question;
    ui->question_depth = ui->depth;
    ui->entry.most = 4000;
    sg_entry_set(&ui->entry, text);
    ui->proposal = text[0] != '\0';
    ui->choosing.at = -1;
    if (question->choices)
        sg_choosing_start(ui);
}

void sg_question_again(struct sg_ui *ui)
{
    if (!ui->answered)
        return;
    sg_question_open(ui, ui->answered, ui->answer);
    ui->proposal = false; /* it is to be mended, not replaced */
}

void sg_question_close(struct sg_ui *ui)
{
    ui->question = NULL;
    sg_choosing_close(ui);
    sg_entry_clear(&ui->entry);
}
