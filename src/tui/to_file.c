#include "tui/to_file.h"

#include "tui/file_name.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { TAIL = 40 };

/* What is being written. Kept by the program, not by the place, which may close below the question. */
struct writing {
    const struct sg_to_file *what;
    char path[SG_FILE_NAME], label[400]; /* of a file that is to be written over, while that is asked */
    struct sg_question name, over;
};

static void write_file(struct sg_ui *ui, const char *path, bool replace);

static void answer_over(struct sg_ui *ui, const char *text)
{
    const struct writing *writing = ui->to_file;
    if (strcmp(text, "y") == 0 || strcmp(text, "yes") == 0)
        write_file(ui, writing->path, true);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing is written, the file stays as it was.");
}

static void ask_over(struct sg_ui *ui, const char *path)
{
    struct writing *writing = ui->to_file;
    struct sg_text shown = {0};
    if (path != writing->path)
        snprintf(writing->path, sizeof writing->path, "%s", path);
    sg_text_shown(&shown, sg_file_name_last(path), TAIL);
    snprintf(writing->label, sizeof writing->label, "replace %s? y, or Esc:", shown.data ? shown.data : "it");
    sg_text_free(&shown);
    writing->over = (struct sg_question){.label = writing->label, .answer = answer_over};
    sg_ui_say(ui, SG_ROLE_ODD, "%.500s exists already.", path);
    sg_question_open(ui, &writing->over, "");
}

static void write_file(struct sg_ui *ui, const char *path, bool replace)
{
    const struct writing *writing = ui->to_file;
    struct sg_text out = {0};
    struct sg_error error;
    enum sg_status status = SG_FAULT;
    bool made = writing->what->make(ui, &out);
    if (made)
        status = out.failed ? sg_fail(&error, SG_FAULT, "no memory for what is to be written")
                            : sg_file_write(path, out.data, out.length, replace, &error);
    sg_text_free(&out);
    if (!made)
        return;
    if (status == SG_OK) {
        writing->what->written(ui, path);
    } else if (status == SG_NO_WRITE && !replace && access(path, F_OK) == 0) {
        ask_over(ui, path);
    } else {
        sg_ui_fail(ui, &error);
        sg_question_open(ui, &writing->name, path); /* to be mended */
    }
}

static void take_name(struct sg_ui *ui, const char *text)
{
    char path[SG_FILE_NAME];
    if (sg_file_name_read(ui, text, path))
        write_file(ui, path, false);
}

void sg_to_file_ask(struct sg_ui *ui, const struct sg_to_file *what, const char *proposal)
{
    struct writing *writing = ui->to_file;
    if (!writing)
        ui->to_file = writing = calloc(1, sizeof *writing);
    if (!writing) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory to ask for a file");
        return;
    }
    writing->what = what;
    writing->name = (struct sg_question){.label = what->label, .answer = take_name};
    sg_question_open(ui, &writing->name, proposal);
}
