/* The job sheet as the office gets it: its text, its CSV, and what a spreadsheet would make of that. */
#include "tui/screens.h"

#include "exchange/render.h"
#include "tui/file_name.h"
#include "tui/sheet_preview.h"
#include "tui/to_file.h"
#include "tui/wrapped.h"

#include <stdio.h>
#include <unistd.h>

enum { MARGIN = 2, WORDS = 600 };

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
    sg_lines_of_text(ui, &text, "\n");
    add_rule(ui, "CSV, as it will be written");
    sg_lines_of_text(ui, &csv, "\r\n");
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

/* The job that is shown, as long as it is; SG_UNKNOWN with a message. */
static int32_t job_to_write(struct sg_ui *ui, const char *nothing)
{
    int32_t job = sg_ui_place(ui)->screen == SG_SCREEN_JOB_SHEET ? job_of(ui) : SG_UNKNOWN;
    if (job == SG_UNKNOWN)
        sg_ui_say(ui, SG_ROLE_WRONG, "the job is not in the plan that is shown: %s", nothing);
    return job;
}

static bool make_csv(struct sg_ui *ui, struct sg_text *out)
{
    int32_t job = job_to_write(ui, "nothing is written");
    if (job != SG_UNKNOWN)
        put_csv(ui, job, out);
    return job != SG_UNKNOWN;
}

static bool make_text(struct sg_ui *ui, struct sg_text *out)
{
    int32_t job = job_to_write(ui, "nothing is written");
    if (job != SG_UNKNOWN)
        put_text(ui, job, out);
    return job != SG_UNKNOWN;
}

static const char *units_of(const struct sg_ui *ui)
{
    return ui->kept.shop->units == SG_UNITS_US ? "inches and pounds" : "millimetres and kilograms";
}

static void csv_written(struct sg_ui *ui, const char *path)
{
    int rows = rows_of(ui->kept.shop, job_of(ui));
    sg_ui_say(ui, SG_ROLE_TEXT, "wrote %s: %d part row%s in %s", path, rows, rows == 1 ? "" : "s",
              units_of(ui));
}

static void text_written(struct sg_ui *ui, const char *path)
{
    sg_ui_say(ui, SG_ROLE_TEXT, "wrote %s: the job sheet of %s in %s", path,
              ui->kept.shop->jobs[job_of(ui)].id, units_of(ui));
}

static void ask(struct sg_ui *ui, const struct sg_to_file *what, const char *ending)
{
    char name[400];
    int32_t job = job_to_write(ui, "there is nothing to write");
    if (job == SG_UNKNOWN)
        return;
    snprintf(name, sizeof name, "%s.%s", ui->kept.shop->jobs[job].id, ending);
    sg_to_file_ask(ui, what, name);
}

void sg_do_sheet_csv(struct sg_ui *ui)
{
    static const struct sg_to_file csv = {"CSV to file:", make_csv, csv_written};
    ask(ui, &csv, "csv");
}

void sg_do_sheet_text(struct sg_ui *ui)
{
    static const struct sg_to_file text = {"text to file:", make_text, text_written};
    ask(ui, &text, "txt");
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
