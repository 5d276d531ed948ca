/* The job sheet as the office gets it: its text, its CSV, and what a spreadsheet would make of that. */
#include "tui/screens.h"

#include "exchange/render.h"
#include "tui/file_name.h"
#include "tui/sheet_preview.h"
#include "tui/wrapped.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOST_LINES = 2000, MARGIN = 2, INDENT = 4, WORDS = 600, TAIL = 40 };

/* ---- what is written ---- */

/* The job, where it is in the plan that is shown; SG_UNKNOWN. */
static int32_t job_of(struct sg_ui *ui)
{
    int32_t job = sg_ui_place(ui)->about.index;
    const struct sg_plan *plan = ui->kept.plan;
    return job != SG_UNKNOWN && job >= plan->first_job && job < plan->first_job + plan->n_jobs ? job
                                                                                               : SG_UNKNOWN;
}

/* Lengths and masses in the units that are shown: M changes both. */
static void put_csv(struct sg_ui *ui, int32_t job, struct sg_text *out)
{
    const struct sg_sheet_how how = {.units = ui->kept.shop->units};
    sg_sheet_csv(out, ui->kept.shop, ui->kept.plan, job, 1, &how);
}

static void put_text(struct sg_ui *ui, int32_t job, struct sg_text *out)
{
    sg_sheet_text(out, ui->kept.shop, ui->kept.plan, job, SG_SHEET_WIDTH);
}

/* As it will be written, but for lines that have no room here. */
static void preview_text(struct sg_ui *ui, int32_t job, struct sg_text *out)
{
    int width = ui->columns - MARGIN;
    sg_sheet_text(out, ui->kept.shop, ui->kept.plan, job, width < SG_SHEET_WIDTH ? width : SG_SHEET_WIDTH);
}

/* Rows of the CSV: one for each part. */
static int rows_of(const struct sg_shop *shop, int32_t job)
{
    int n = 0;
    for (int32_t i = 0; i < shop->jobs[job].n_stocks; i++)
        n += shop->stocks[shop->jobs[job].first_stock + i].n_parts;
    return n;
}

/* ---- the first lines ---- */

static void title(struct sg_ui *ui, char *out, size_t size)
{
    const struct sg_job *job = &ui->kept.shop->jobs[sg_ui_place(ui)->about.index];
    snprintf(out, size, "JOB SHEET  %s  %s", job->id, job->name);
}

static void second(struct sg_ui *ui, char *out, size_t size)
{
    int rows = rows_of(ui->kept.shop, sg_ui_place(ui)->about.index);
    snprintf(out, size, "preview of what the office gets: text, CSV of %d part row%s, no total row", rows,
             rows == 1 ? "" : "s");
}

/* ---- the lines ---- */

static void add_words(struct sg_ui *ui, enum sg_role role, const char *words)
{
    sg_line_wrapped(ui, role, 0, 0, words);
}

/* The rows of tables stand behind an indent, two blanks or more between their columns. */
static char *last_gap(char *line)
{
    char *gap = NULL, *at = line + strspn(line, " ");
    while (at > line && (at = strstr(at, "  ")) != NULL) {
        gap = at;
        at += strspn(at, " ");
    }
    return gap;
}

/* Columns of a table that have no room at the right go, so that the others stand under each other. */
static bool cut_columns(char *line, int room)
{
    char *gap;
    bool cut = false;
    while (sg_text_columns(line) > room && (gap = last_gap(line)) != NULL) {
        *gap = '\0';
        cut = true;
    }
    return cut;
}

/* False where there is no more to show. */
static bool add_file_line(struct sg_ui *ui, const char *text, size_t length, bool *cut)
{
    char *line = sg_arena_text(&ui->arena, text, length);
    if (!line)
        return false;
    *cut = cut_columns(line, ui->columns - MARGIN) || *cut;
    return sg_line_wrapped(ui, SG_ROLE_TEXT, 0, INDENT, line);
}

static void add_file(struct sg_ui *ui, const struct sg_text *file, const char *line_end)
{
    const char *at = file->failed || !file->data ? "" : file->data;
    bool cut = false;
    int n = 0;
    while (*at && n < MOST_LINES) {
        const char *end = strstr(at, line_end);
        size_t length = end ? (size_t)(end - at) : strlen(at);
        if (!add_file_line(ui, at, length, &cut))
            return;
        at += length + (end ? strlen(line_end) : 0);
        n++;
    }
    if (*at)
        sg_line_words(ui, SG_ROLE_LABEL, true, "and more: only the first %d lines are shown", n);
    if (cut)
        add_words(ui, SG_ROLE_LABEL,
                  "(Columns at the right have no room on this terminal; the file has them.)");
    if (n == 0)
        add_words(ui, SG_ROLE_WRONG, "no memory to show it");
}

/* Keys such as 1E5 or 3-4 of one column. */
static void add_changes(struct sg_ui *ui, const struct sg_preview_column *column, int number)
{
    char words[WORDS];
    int named = column->n_change < SG_PREVIEW_NAMED ? column->n_change : SG_PREVIEW_NAMED;
    size_t used =
        (size_t)snprintf(words, sizeof words, "%d cell%s of the column %s may be changed by a spreadsheet (",
                         column->n_change, column->n_change == 1 ? "" : "s", column->title);
    for (int i = 0; i < named && used < sizeof words; i++)
        used +=
            (size_t)snprintf(words + used, sizeof words - used, "%s%s", i > 0 ? ", " : "", column->named[i]);
    if (used < sizeof words)
        snprintf(words + used, sizeof words - used,
                 "%s), to a number or a date. Tell the office to bring the file in with column %d as text.",
                 column->n_change > named ? ", ..." : "", number);
    add_words(ui, SG_ROLE_ODD, words);
}

static void add_check(struct sg_ui *ui, const struct sg_text *csv)
{
    struct sg_preview preview;
    struct sg_error error;
    char words[WORDS];
    if (csv->failed || sg_preview_read(csv->data, csv->length, &preview, &error) != SG_OK) {
        add_words(ui, SG_ROLE_WRONG, csv->failed ? "no memory to check it" : error.text);
        return;
    }
    if (preview.n_guarded > 0) {
        snprintf(words, sizeof words,
                 "%d cell%s would be run by a spreadsheet and %s guarded with an apostrophe (%s).",
                 preview.n_guarded, preview.n_guarded == 1 ? "" : "s", preview.n_guarded == 1 ? "is" : "are",
                 preview.guarded);
        add_words(ui, SG_ROLE_ODD, words);
    }
    for (int i = 0; i < preview.n_columns; i++)
        if (preview.columns[i].n_change > 0)
            add_changes(ui, &preview.columns[i], i + 1);
    snprintf(words, sizeof words,
             "Times are seconds as plain numbers, lengths %s, masses %s; decimal point, comma between, "
             "UTF-8, CRLF.",
             sg_unit_of_shop(SG_DIM_LENGTH, ui->kept.shop->units)->name,
             sg_unit_of_shop(SG_DIM_MASS, ui->kept.shop->units)->name);
    add_words(ui, SG_ROLE_LABEL, words);
}

static void add_rule(struct sg_ui *ui, const char *words)
{
    sg_line_words(ui, SG_ROLE_TEXT, false, "%s", "");
    sg_line_words(ui, SG_ROLE_LABEL, false, "%s", words);
}

static void build(struct sg_ui *ui)
{
    struct sg_text text = {0}, csv = {0};
    int32_t job = job_of(ui);
    if (job == SG_UNKNOWN) {
        add_words(ui, SG_ROLE_ODD,
                  "The job runs in another shift than the one that is shown: > and < on the Shift screen go "
                  "there.");
        return;
    }
    preview_text(ui, job, &text);
    put_csv(ui, job, &csv);
    add_file(ui, &text, "\n");
    add_rule(ui, "CSV, as it will be written");
    add_file(ui, &csv, "\r\n");
    add_rule(ui, "Check");
    add_check(ui, &csv);
    sg_text_free(&text);
    sg_text_free(&csv);
}

static void legend(struct sg_ui *ui, char *out, size_t size)
{
    char folder[SG_FILE_NAME];
    const struct sg_job *job = &ui->kept.shop->jobs[sg_ui_place(ui)->about.index];
    if (getcwd(folder, sizeof folder))
        snprintf(out, size, "E saves %.60s.csv, T %.60s.txt, whole or not at all, in %.400s", job->id,
                 job->id, folder);
}

/* ---- writing ---- */

/* A file that is to be written over, while that is asked. Kept by the program, not by the place, which may
 * close below the question. */
struct writing {
    bool csv;
    char path[SG_FILE_NAME], label[400];
    struct sg_question over;
};

static void write_file(struct sg_ui *ui, const char *path, bool csv, bool replace);

static void answer_over(struct sg_ui *ui, const char *text)
{
    const struct writing *writing = ui->own[SG_SCREEN_JOB_SHEET];
    if (strcmp(text, "y") == 0 || strcmp(text, "yes") == 0)
        write_file(ui, writing->path, writing->csv, true);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "Nothing is written, the file stays as it was.");
}

static void ask_over(struct sg_ui *ui, const char *path, bool csv)
{
    struct writing *writing = ui->own[SG_SCREEN_JOB_SHEET];
    struct sg_text shown = {0};
    if (!writing)
        ui->own[SG_SCREEN_JOB_SHEET] = writing = calloc(1, sizeof *writing);
    if (!writing) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory to ask whether %.200s is replaced", path);
        return;
    }
    writing->csv = csv;
    if (path != writing->path)
        snprintf(writing->path, sizeof writing->path, "%s", path);
    sg_text_shown(&shown, sg_file_name_last(path), TAIL);
    snprintf(writing->label, sizeof writing->label, "replace %s? y, or Esc:", shown.data ? shown.data : "it");
    sg_text_free(&shown);
    writing->over = (struct sg_question){.label = writing->label, .answer = answer_over};
    sg_ui_say(ui, SG_ROLE_ODD, "%.500s exists already.", path);
    sg_question_open(ui, &writing->over, "");
}

static void ask_name(struct sg_ui *ui, bool csv, const char *proposal);

static void say_written(struct sg_ui *ui, const char *path, bool csv, int32_t job)
{
    const struct sg_shop *shop = ui->kept.shop;
    int rows = rows_of(shop, job);
    const char *units = shop->units == SG_UNITS_US ? "inches and pounds" : "millimetres and kilograms";
    if (csv)
        sg_ui_say(ui, SG_ROLE_TEXT, "wrote %s: %d part row%s in %s", path, rows, rows == 1 ? "" : "s", units);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "wrote %s: the job sheet of %s in %s", path, shop->jobs[job].id, units);
}

static void write_file(struct sg_ui *ui, const char *path, bool csv, bool replace)
{
    struct sg_text out = {0};
    struct sg_error error;
    int32_t job = sg_ui_place(ui)->screen == SG_SCREEN_JOB_SHEET ? job_of(ui) : SG_UNKNOWN;
    if (job == SG_UNKNOWN) {
        sg_ui_say(ui, SG_ROLE_WRONG, "the job is not in the plan that is shown: nothing is written");
        return;
    }
    (csv ? put_csv : put_text)(ui, job, &out);
    enum sg_status status = out.failed ? sg_fail(&error, SG_FAULT, "no memory for the job sheet")
                                       : sg_file_write(path, out.data, out.length, replace, &error);
    sg_text_free(&out);
    if (status == SG_OK) {
        say_written(ui, path, csv, job);
    } else if (status == SG_NO_WRITE && !replace && access(path, F_OK) == 0) {
        ask_over(ui, path, csv);
    } else {
        sg_ui_fail(ui, &error);
        ask_name(ui, csv, path); /* to be mended */
    }
}

static void take_name(struct sg_ui *ui, const char *text, bool csv)
{
    char path[SG_FILE_NAME];
    if (sg_file_name_read(ui, text, path))
        write_file(ui, path, csv, false);
}

static void take_csv_name(struct sg_ui *ui, const char *text)
{
    take_name(ui, text, true);
}

static void take_text_name(struct sg_ui *ui, const char *text)
{
    take_name(ui, text, false);
}

static void ask_name(struct sg_ui *ui, bool csv, const char *proposal)
{
    static const struct sg_question csv_name = {.label = "CSV to file:", .answer = take_csv_name},
                                    text_name = {.label = "text to file:", .answer = take_text_name};
    sg_question_open(ui, csv ? &csv_name : &text_name, proposal);
}

static void propose(struct sg_ui *ui, bool csv)
{
    char name[400];
    int32_t job = job_of(ui);
    if (job == SG_UNKNOWN) {
        sg_ui_say(ui, SG_ROLE_WRONG, "the job is not in the plan that is shown: there is nothing to write");
        return;
    }
    snprintf(name, sizeof name, "%s.%s", ui->kept.shop->jobs[job].id, csv ? "csv" : "txt");
    ask_name(ui, csv, name);
}

void sg_do_sheet_csv(struct sg_ui *ui)
{
    propose(ui, true);
}

void sg_do_sheet_text(struct sg_ui *ui)
{
    propose(ui, false);
}

static void enter(struct sg_ui *ui)
{
    sg_ui_say(ui, SG_ROLE_TEXT, "This is what will be written: E writes the CSV, T the text.");
}

const struct sg_screen sg_screen_job_sheet = {
    .name = "Job sheet",
    .of_job = true,
    .title = title,
    .second = second,
    .build = build,
    .legend = legend,
    .enter = enter,
};
