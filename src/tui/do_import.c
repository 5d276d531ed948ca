/* What is done to a parts list while it is looked at: opened, sent elsewhere column by column, brought in. */
#include "tui/screens.h"

#include "tui/file_name.h"
#include "tui/import_check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_BYTES = 1 << 29, KEY = 1200 };

static struct sg_import_check *check_of(struct sg_ui *ui)
{
    return sg_ui_place(ui)->screen == SG_SCREEN_IMPORT ? sg_ui_place(ui)->own : NULL;
}

/* ---- the plan is asked ---- */

/* False where the screen has closed, since its job is gone. */
static bool ask(struct sg_ui *ui)
{
    char key[KEY];
    int depth = ui->depth;
    sg_key_write(ui->kept.shop, sg_ui_place(ui)->about, key, sizeof key);
    sg_import_check_ask(check_of(ui), ui->desk, key);
    sg_ui_refresh(ui); /* the desk has read the file anew */
    return ui->depth == depth && !ui->no_plan[0];
}

/* Read and ask again, for the shop as it is now. False with a message. */
static bool look_again(struct sg_ui *ui)
{
    struct sg_error error;
    if (sg_import_check_read(check_of(ui), ui->kept.shop, &error) != SG_OK) {
        sg_ui_fail(ui, &error);
        return false;
    }
    return ask(ui);
}

/* ---- where to, and what ---- */

/* What is still to be asked: the rows it may go into (job 0: which?) and a table that was pasted. */
struct waiting {
    int64_t job, stock;
    bool pasted;
    size_t length;
    char text[];
};

static struct waiting *waiting_of(struct sg_ui *ui)
{
    return ui->own[SG_SCREEN_IMPORT];
}

/* Where the list goes as it is read now. */
static struct sg_target target_of(struct sg_ui *ui, const struct sg_import_check *check)
{
    enum sg_kind kind = check->into_job ? SG_KIND_JOB : SG_KIND_STOCK;
    return (struct sg_target){kind,
                              sg_row_index(ui->kept.shop, kind, check->into_job ? check->job : check->stock)};
}

/* Takes over data, NULL for a folder. */
static bool open_list(struct sg_ui *ui, const char *name, const char *path, char *data, size_t length)
{
    struct sg_error error;
    struct sg_target into = {SG_KIND_JOB, SG_UNKNOWN};
    struct sg_import_check *check = sg_import_check_new(name, path, data, length);
    enum sg_status status = sg_fail(&error, SG_FAULT, "no memory for %.200s", name);
    if (check) {
        check->job = waiting_of(ui)->job;
        check->stock = waiting_of(ui)->stock;
        status = sg_import_check_read(check, ui->kept.shop, &error);
        into = target_of(ui, check);
    }
    if (status == SG_OK && into.index == SG_UNKNOWN)
        status = sg_fail(&error, SG_BAD_DATA, "the %s it was to go into is gone", sg_kind_word(into.kind));
    if (status != SG_OK)
        sg_ui_fail(ui, &error);
    if (status != SG_OK || !sg_ui_open(ui, SG_SCREEN_IMPORT, into)) {
        sg_import_check_free(check);
        return false;
    }
    sg_ui_place(ui)->own = check;
    if (ask(ui))
        sg_ui_say(ui, SG_ROLE_TEXT, "%.80s is read; nothing of it is in the plan yet.", name);
    return true;
}

static void take_file(struct sg_ui *ui, const char *text);

static const struct sg_question which_file = {.label = "parts list, a CSV file:", .answer = take_file};

static void take_file(struct sg_ui *ui, const char *text)
{
    char path[SG_FILE_NAME], *data = NULL;
    size_t length = 0;
    struct sg_error error;
    if (!sg_file_name_read(ui, text, path))
        return;
    enum sg_status status =
        sg_is_folder(path) ? SG_OK : sg_file_read(path, MOST_BYTES, &data, &length, &error);
    if (status != SG_OK)
        sg_ui_fail(ui, &error);
    if (status != SG_OK || !open_list(ui, sg_file_name_last(path), path, data, length))
        sg_question_open(ui, &which_file, text); /* to be mended */
}

static void open_pasted(struct sg_ui *ui)
{
    const struct waiting *waiting = waiting_of(ui);
    char *data = malloc(waiting->length + 1);
    if (!data) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for what was pasted");
        return;
    }
    memcpy(data, waiting->text, waiting->length);
    data[waiting->length] = '\0';
    open_list(ui, "pasted table", NULL, data, waiting->length);
}

static void go_on(struct sg_ui *ui)
{
    if (waiting_of(ui)->pasted)
        open_pasted(ui);
    else
        sg_question_open(ui, &which_file, "");
}

/* ---- which job ---- */

static int n_jobs(struct sg_ui *ui)
{
    return ui->kept.plan->n_jobs;
}

static void name_job(struct sg_ui *ui, int index, const char **word, const char **meaning)
{
    const struct sg_job *job = &ui->kept.shop->jobs[ui->kept.plan->first_job + index];
    *word = job->id;
    *meaning = job->name;
}

static void take_job(struct sg_ui *ui, const char *text)
{
    int32_t job = sg_find_job(ui->kept.shop, text, strlen(text));
    if (job == SG_UNKNOWN) {
        sg_ui_say(ui, SG_ROLE_WRONG, "there is no job \"%.60s\": i asks again", text);
        return;
    }
    waiting_of(ui)->job = ui->kept.shop->jobs[job].row;
    go_on(ui);
}

static void start(struct sg_ui *ui, bool pasted, const char *text, size_t length)
{
    static const struct sg_question which_job = {
        .label = "into which job:", .answer = take_job, .choices = n_jobs, .choice = name_job};
    const struct sg_shop *shop = ui->kept.shop;
    int32_t job = sg_ui_job(ui), stock = sg_ui_stock(ui);
    struct waiting *waiting = malloc(sizeof *waiting + length + 1);
    if (!waiting) {
        sg_ui_say(ui, SG_ROLE_WRONG, "no memory for a parts list");
        return;
    }
    free(ui->own[SG_SCREEN_IMPORT]);
    ui->own[SG_SCREEN_IMPORT] = waiting;
    waiting->pasted = pasted;
    waiting->length = length;
    memcpy(waiting->text, text, length);
    waiting->job = job == SG_UNKNOWN ? 0 : shop->jobs[job].row;
    waiting->stock = stock == SG_UNKNOWN ? 0 : shop->stocks[stock].row;
    if (job != SG_UNKNOWN)
        go_on(ui);
    else if (ui->kept.plan->n_jobs > 0)
        sg_question_open(ui, &which_job, "");
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "No jobs yet: a adds one, then its parts list can come in.");
}

void sg_do_import(struct sg_ui *ui)
{
    start(ui, false, "", 0);
}

void sg_import_pasted(struct sg_ui *ui, const char *text, size_t length)
{
    if (ui->how.read_only)
        sg_ui_say(ui, SG_ROLE_WRONG,
                  "pasted %zu characters: opened to read only, nothing can be changed here", length);
    else
        start(ui, true, text, length);
}

/* ---- where a column goes ---- */

static int n_goals(struct sg_ui *ui)
{
    struct sg_import_check *check = check_of(ui);
    const char *word, *meaning;
    int n = 0;
    while (check && sg_list_goal(n, check->room, &word, &meaning))
        n++;
    return n + 1;
}

static void name_goal(struct sg_ui *ui, int index, const char **word, const char **meaning)
{
    struct sg_import_check *check = check_of(ui);
    *word = SG_LEFT_OUT;
    *meaning = "the column is not read";
    if (check)
        sg_list_goal(index, check->room, word, meaning);
}

static void send(struct sg_ui *ui, const char *text);

static const struct sg_question which_goal = {
    .label = "goes to:", .answer = send, .choices = n_goals, .choice = name_goal};

static void send(struct sg_ui *ui, const char *text)
{
    struct sg_import_check *check = check_of(ui);
    struct sg_error error;
    int other = -1;
    if (!check || text[0] == '\0')
        return;
    int column = check->mapping;
    const char *goes_to = strcmp(text, SG_LEFT_OUT) == 0 ? "" : text;
    if (sg_row_index(ui->kept.shop, SG_KIND_STOCK, check->stock) == SG_UNKNOWN)
        check->stock = 0; /* it is gone, the job is not */
    if (sg_import_check_send(check, ui->kept.shop, column, goes_to, &other, &error) != SG_OK) {
        sg_ui_fail(ui, &error);
        sg_question_open(ui, &which_goal, text);
        return;
    }
    sg_ui_place(ui)->about = target_of(ui, check); /* the column of the materials may have come or gone */
    sg_ui_place(ui)->about_row = check->into_job ? check->job : check->stock;
    if (!ask(ui))
        return;
    if (other >= 0)
        sg_ui_say(ui, SG_ROLE_ODD, "\"%.60s\" goes to %s now; \"%.60s\" is left out for it.",
                  check->list.header[column], check->list.columns[column].name, check->list.header[other]);
    else
        sg_ui_say(ui, SG_ROLE_TEXT, "\"%.60s\" %s%s.", check->list.header[column],
                  *goes_to ? "goes to " : "is left out", *goes_to ? check->list.columns[column].name : "");
}

void sg_do_import_map(struct sg_ui *ui)
{
    struct sg_import_check *check = check_of(ui);
    const struct sg_line *line = sg_ui_line(ui);
    if (!check || !line)
        return;
    if (line->row < 1 || line->row > check->list.n_header) {
        sg_ui_say(ui, SG_ROLE_TEXT, "Stand on a column of the file, above, to say where it goes.");
        return;
    }
    check->mapping = (int)line->row - 1;
    sg_ui_say(ui, SG_ROLE_TEXT, "\"%.60s\": choose where it goes; Esc leaves it.",
              check->list.header[check->mapping]);
    sg_question_open(ui, &which_goal, "");
}

/* ---- parts that exist ---- */

void sg_do_import_replace(struct sg_ui *ui)
{
    struct sg_import_check *check = check_of(ui);
    if (!check)
        return;
    check->replace = !check->replace;
    if (look_again(ui))
        sg_ui_say(ui, SG_ROLE_TEXT, "Parts that exist already %s.",
                  check->replace ? "take what the list says" : "are refused: their rows are left out");
}

/* ---- into the plan ---- */

/* Why nothing can be brought in; NULL. */
static const char *hindrance(const struct sg_import_check *check)
{
    return check->list.unmatched ? "no row can be read yet: the columns come first"
           : check->trouble[0]   ? check->trouble
           : check->n_good == 0  ? "no row is good: there is nothing to bring in"
                                 : NULL;
}

/* Back to the job, whatever the list was opened from. */
static void go_back(struct sg_ui *ui, int64_t job)
{
    sg_ui_back(ui);
    int32_t index = sg_row_index(ui->kept.shop, SG_KIND_JOB, job);
    if (sg_ui_place(ui)->screen == SG_SCREEN_SHIFT && index != SG_UNKNOWN)
        sg_ui_open(ui, SG_SCREEN_JOB, (struct sg_target){SG_KIND_JOB, index});
}

static void bring(struct sg_ui *ui)
{
    struct sg_import_check *check = check_of(ui);
    struct sg_import_result result;
    struct sg_error error;
    char key[KEY];
    int out = check->list.n_bad, depth = ui->depth;
    int64_t job = ui->kept.shop->jobs[sg_ui_job(ui)].row;
    sg_key_write(ui->kept.shop, sg_ui_place(ui)->about, key, sizeof key);
    enum sg_status status = sg_import_check_bring(check, ui->desk, key, &result, &error);
    sg_ui_refresh(ui);
    if (status == SG_BAD_DATA && ui->depth == depth) { /* a row that was good a moment ago */
        if (look_again(ui))
            sg_ui_say(ui, SG_ROLE_ODD, "Somebody changed the plan: look again, i brings in %d.",
                      check->n_good);
        return;
    }
    if (status != SG_OK) {
        sg_ui_fail(ui, &error);
        return;
    }
    if (ui->depth == depth)
        go_back(ui, job);
    sg_ui_say(
        ui, SG_ROLE_TEXT,
        "in %.80s: new parts %d, replaced %d, new stocks %d; rows left out %d. u takes it all out again.",
        key, result.added, result.replaced, result.stocks_made, out);
}

void sg_do_import_bring(struct sg_ui *ui)
{
    struct sg_import_check *check = check_of(ui);
    if (!check)
        return;
    struct sg_import_result seen = check->would;
    int bad = check->list.n_bad;
    if (!look_again(ui))
        return;
    const char *why = hindrance(check);
    if (why) {
        sg_ui_say(ui, SG_ROLE_WRONG, "%s", why);
        ui->wish = SG_WISH_BELL;
    } else if (seen.added != check->would.added || seen.replaced != check->would.replaced ||
               seen.stocks_made != check->would.stocks_made || bad != check->list.n_bad) {
        sg_ui_say(ui, SG_ROLE_ODD,
                  "The plan has changed since the list was read: look again, i brings in %d.", check->n_good);
    } else {
        bring(ui);
    }
}

/* ---- the wrong rows ---- */

static void write_bad(struct sg_ui *ui, const char *text);

static const struct sg_question bad_file = {.label = "wrong rows to file:", .answer = write_bad};

static void write_bad(struct sg_ui *ui, const char *text)
{
    char path[SG_FILE_NAME], whole[SG_FILE_NAME];
    struct sg_import_check *check = check_of(ui);
    struct sg_text out = {0};
    struct sg_error error;
    if (!check || !sg_file_name_read(ui, text, path))
        return;
    sg_parts_list_bad(&check->list, &out);
    enum sg_status status = out.failed ? sg_fail(&error, SG_FAULT, "no memory for the wrong rows")
                                       : sg_file_write(path, out.data, out.length, false, &error);
    sg_text_free(&out);
    if (status != SG_OK) {
        sg_ui_fail(ui, &error);
        sg_question_open(ui, &bad_file, text);
        return;
    }
    sg_file_name_whole(path, whole);
    sg_ui_say(ui, SG_ROLE_TEXT, "wrote %d wrong row%s, each with its reason, to %s", check->list.n_bad,
              check->list.n_bad == 1 ? "" : "s", whole);
}

void sg_do_import_bad(struct sg_ui *ui)
{
    char name[SG_FILE_NAME];
    const struct sg_import_check *check = check_of(ui);
    if (!check)
        return;
    if (check->list.n_bad == 0) {
        sg_ui_say(ui, SG_ROLE_TEXT, "%s",
                  check->list.unmatched ? "No row can be read yet: the columns come first."
                                        : "No row is wrong: there is nothing to write.");
        return;
    }
    const char *dot = strrchr(check->name, '.');
    int stem = dot && dot > check->name ? (int)(dot - check->name) : (int)strlen(check->name);
    snprintf(name, sizeof name, "%.*s-wrong.csv", stem, check->name);
    sg_question_open(ui, &bad_file, name);
}
