/* Parts lists in. */
#include "cli/cli.h"

#include <stdlib.h>
#include <string.h>

enum { MAX_LIST_BYTES = 1 << 29 };

struct importing {
    const struct sg_args *args;
    struct sg_desk *desk;
    struct sg_parts_list list;
    struct sg_incoming *incoming;
    bool failed; /* memory ran out while a reason was kept */
};

/* row is the index of the raw row, -1: the header. A sentence that begins with the place says it itself. */
static void put_finding(const struct sg_parts_list *list, int row, int line, int column, const char *text)
{
    struct sg_text finding = {0};
    sg_parts_list_place(list, row, line, column, &finding);
    if (!finding.failed && strncmp(text, finding.data, finding.length) == 0)
        finding.length = 0;
    else
        sg_text_put(&finding, ": ");
    sg_text_put(&finding, text);
    sg_cli_line("", finding.failed ? text : finding.data);
    sg_text_free(&finding);
}

static void put_about_row(const struct sg_parts_list *list, int row, int column, const char *text)
{
    put_finding(list, sg_parts_list_raw(list, row), list->rows[row].line, column, text);
}

/* A good row of the file that the plan cannot take, and which word of the command would help. */
static void refuse(void *context, int row, enum sg_refusal why, const char *sentence)
{
    struct importing *importing = context;
    struct sg_text text = {0};
    sg_text_format(&text, "%s%s", sentence,
                   why == SG_REFUSED_EXISTS     ? "; --replace takes the list's"
                   : why == SG_REFUSED_NO_STOCK ? ", or name the stock as JOB/STOCK"
                                                : "");
    const char *told = text.failed ? sentence : text.data;
    put_about_row(&importing->list, row, 1, told);
    importing->failed = !sg_parts_list_refuse(&importing->list, row, told) || importing->failed;
    sg_text_free(&text);
}

/* A row that is taken, with something to look at in its outline. */
static void remark(void *context, int row, const char *sentence)
{
    const struct sg_parts_list *list = &((struct importing *)context)->list;
    struct sg_text text = {0};
    int column = 0;
    while (column < list->n_header &&
           (!list->columns[column].name || strcmp(list->columns[column].name, "outline") != 0))
        column++;
    sg_text_format(&text, "outline: %s", sentence);
    put_about_row(list, row, column + 1, text.failed ? sentence : text.data);
    sg_text_free(&text);
}

static enum sg_status read_separator(const struct sg_args *args, char *separator, struct sg_error *error)
{
    static const struct {
        const char *word;
        char separator;
    } words[] = {{"comma", ','}, {",", ','}, {"semicolon", ';'}, {";", ';'}, {"tab", '\t'}, {"\t", '\t'}};
    const char *typed = sg_option(args, "separator");
    *separator = 0;
    if (!typed)
        return SG_OK;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(words[i].word, typed) == 0)
            *separator = words[i].separator;
    return *separator
               ? SG_OK
               : sg_fail(error, SG_USAGE, "--separator is comma, semicolon or tab, not \"%.20s\"", typed);
}

/* Whether the rows go to the stocks of their material and thickness. A name that is no row's is told later.
 */
static bool is_into_job(const struct importing *importing)
{
    struct sg_target target;
    struct sg_error error;
    return sg_key_find(sg_desk_shop(importing->desk), importing->args->words[0], &target, &error) == SG_OK &&
           target.kind == SG_KIND_JOB;
}

static enum sg_status read_list(struct importing *importing, struct sg_error *error)
{
    const char *path = importing->args->words[1], *name = strcmp(path, "-") == 0 ? "standard input" : path;
    struct sg_list_how how = {.encoding = sg_option(importing->args, "encoding"),
                              .map = sg_option(importing->args, "map"),
                              .grouped = is_into_job(importing)};
    const struct sg_shop *shop = sg_desk_shop(importing->desk);
    char *data;
    size_t length;
    enum sg_status status = read_separator(importing->args, &how.separator, error);
    if (status == SG_OK && sg_is_folder(path))
        return sg_parts_list_folder(path, shop, &how, &importing->list, error);
    if (status == SG_OK)
        status = sg_file_read(path, MAX_LIST_BYTES, &data, &length, error);
    if (status != SG_OK)
        return status;
    status = sg_parts_list_read(name, data, length, shop, &how, &importing->list, error);
    free(data);
    return status;
}

static enum sg_status prepare(struct importing *importing, struct sg_error *error)
{
    const struct sg_parts_list *list = &importing->list;
    for (int i = 0; i < list->n_findings; i++)
        put_finding(list, list->findings[i].row, list->findings[i].line, list->findings[i].column,
                    list->findings[i].text);
    importing->incoming = calloc((size_t)list->n_rows + 1, sizeof *importing->incoming);
    if (!importing->incoming)
        return sg_fail(error, SG_FAULT, "no memory to import %d parts", list->n_rows);
    for (int i = 0; i < list->n_rows; i++)
        importing->incoming[i] = (struct sg_incoming){.part = list->rows[i].part,
                                                      .has = list->rows[i].has,
                                                      .material = list->rows[i].material_name,
                                                      .thickness = list->rows[i].thickness,
                                                      .outline = list->rows[i].outline};
    return SG_OK;
}

static enum sg_status write_bad(struct importing *importing, struct sg_error *error)
{
    const char *path = sg_option(importing->args, "bad");
    struct sg_text out = {0};
    if (!path || importing->list.n_bad == 0)
        return SG_OK;
    sg_parts_list_bad(&importing->list, &out);
    enum sg_status status = out.failed ? sg_fail(error, SG_FAULT, "no memory for the bad rows")
                                       : sg_file_write(path, out.data, out.length, false, error);
    sg_text_free(&out);
    return status;
}

static int put_result(struct importing *importing, const struct sg_import_result *result)
{
    struct sg_text out = {0};
    struct sg_error error;
    const struct sg_plan *plan;
    struct sg_target target;
    bool dry = sg_option(importing->args, "dry-run") != NULL;
    int left_out = importing->list.n_raw - importing->list.n_rows + result->refused;
    const struct sg_shop *shop = sg_desk_shop(importing->desk);
    if (sg_option(importing->args, "json")) {
        struct sg_json json;
        sg_json_start(&json, &out);
        sg_json_yes(&json, "kept", !dry);
        sg_json_whole(&json, "added", result->added);
        sg_json_whole(&json, "replaced", result->replaced);
        sg_json_whole(&json, "stocks_made", result->stocks_made);
        sg_json_whole(&json, "left_out", left_out);
        sg_json_text(&json, "encoding", importing->list.encoding);
        sg_json_finish(&json);
        return sg_cli_put(&out, left_out ? SG_NO : SG_OK);
    }
    sg_text_format(&out, "%s%d part%s added, %d replaced, %d stock%s made, %d row%s left out\n",
                   dry ? "would be: " : "", result->added, result->added == 1 ? "" : "s", result->replaced,
                   result->stocks_made, result->stocks_made == 1 ? "" : "s", left_out,
                   left_out == 1 ? "" : "s");
    if (!dry && sg_key_find(shop, importing->args->words[0], &target, &error) == SG_OK) {
        int32_t job = target.kind == SG_KIND_STOCK ? shop->stocks[target.index].job : target.index;
        if (sg_desk_plan(importing->desk, shop->jobs[job].shift, &plan, &error) == SG_OK)
            sg_answers_text(&out, shop, plan);
    }
    return sg_cli_put(&out, left_out ? SG_NO : SG_OK);
}

/* Without writing: what the plan would say to each row, so that all bad ones
 * are told and their file is written before anything is kept. */
static enum sg_status rehearse(struct importing *importing, struct sg_import_how how,
                               struct sg_import_result *result, struct sg_error *error)
{
    const struct sg_parts_list *list = &importing->list;
    bool good_only = how.good_only;
    how.keep = false;
    how.good_only = true; /* so that it is counted here, with those that are bad
                             in the file */
    enum sg_status status = sg_desk_import(importing->desk, importing->args->words[0], importing->incoming,
                                           list->n_rows, &how, result, error);
    if (status == SG_OK && list->n_bad > 0 && !good_only)
        status = sg_fail(error, SG_BAD_DATA,
                         "%d of %d rows %s bad: nothing is imported; --good-only "
                         "takes the others",
                         list->n_bad, list->n_raw, list->n_bad == 1 ? "is" : "are");
    if (importing->failed)
        return sg_fail(error, SG_FAULT, "no memory for the reasons of the rows left out");
    struct sg_error bad_error;
    bool told = status == SG_OK || status == SG_BAD_DATA;
    if (told && write_bad(importing, &bad_error) != SG_OK) {
        *error = bad_error;
        return bad_error.status;
    }
    return status;
}

static enum sg_status bring(struct importing *importing, const struct sg_import_how *how,
                            struct sg_import_result *result, struct sg_error *error)
{
    struct sg_error why;
    enum sg_status status = sg_desk_import(importing->desk, importing->args->words[0], importing->incoming,
                                           importing->list.n_rows, how, result, &why);
    bool refused = status == SG_BAD_DATA && result->refused > 0;
    return status == SG_OK
               ? SG_OK
               : sg_fail(error, status, "%s%s", why.text, refused ? "; --good-only takes the others" : "");
}

static int import(struct importing *importing)
{
    const struct sg_args *args = importing->args;
    struct sg_error error;
    struct sg_import_result result = {0};
    struct sg_import_how how = {.replace = sg_option(args, "replace") != NULL,
                                .good_only = sg_option(args, "good-only") != NULL,
                                .keep = sg_option(args, "dry-run") == NULL,
                                .list = importing->list.name,
                                .path = importing->list.folder ? NULL : args->words[1],
                                .refuse = refuse,
                                .remark = remark,
                                .context = importing};
    bool first = !how.keep || sg_option(args, "bad") || (importing->list.n_bad > 0 && !how.good_only);
    enum sg_status status = prepare(importing, &error);
    if (status == SG_OK && first)
        status = rehearse(importing, how, &result, &error);
    if (first) { /* they are told already */
        how.refuse = NULL;
        how.remark = NULL;
    }
    if (status == SG_OK && how.keep)
        status = bring(importing, &how, &result, &error);
    return status == SG_OK ? put_result(importing, &result) : sg_cli_fail(&error);
}

int sg_run_import(const struct sg_args *args)
{
    struct sg_error error;
    struct importing importing = {.args = args};
    if (sg_cli_open(args, SG_STORE_WRITE, &importing.desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    int code = read_list(&importing, &error) == SG_OK ? import(&importing) : sg_cli_fail(&error);
    free(importing.incoming);
    sg_parts_list_free(&importing.list);
    sg_desk_close(importing.desk);
    return code;
}
