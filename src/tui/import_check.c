#include "tui/import_check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct sg_import_check *sg_import_check_new(const char *name, const char *path, char *data, size_t length)
{
    struct sg_import_check *check = calloc(1, sizeof *check);
    if (!check) {
        free(data);
        return NULL;
    }
    check->data = data;
    check->length = length;
    check->name = strdup(name);
    check->path = path ? strdup(path) : NULL;
    if (check->name && (check->path || !path))
        return check;
    sg_import_check_free(check);
    return NULL;
}

void sg_import_check_free(struct sg_import_check *check)
{
    if (!check)
        return;
    for (int i = 0; i < SG_CSV_MAX_FIELDS; i++)
        free(check->goes_to[i]);
    sg_parts_list_free(&check->list);
    free(check->data);
    free(check->name);
    free(check->path);
    free(check);
}

/* ---- the list ---- */

bool sg_import_is_lack(const struct sg_list_finding *finding)
{
    return finding->row < 0 && finding->column == 0;
}

static bool has_finding(const struct sg_parts_list *list, int raw)
{
    int low = 0, high = list->n_findings; /* they are in the order of their rows */
    while (low < high) {
        int middle = low + (high - low) / 2;
        if (list->findings[middle].row < raw)
            low = middle + 1;
        else
            high = middle;
    }
    return low < list->n_findings && list->findings[low].row == raw;
}

static void count_looks(struct sg_import_check *check)
{
    const struct sg_parts_list *list = &check->list;
    int last = -1;
    check->n_look = check->n_told = 0;
    for (int i = 0; i < list->n_findings; i++) {
        int row = list->findings[i].row;
        check->n_told += row >= 0;
        check->n_look += sg_import_is_lack(&list->findings[i]);
        check->n_look += row >= 0 && row != last && !list->raw[row].bad;
        last = row;
    }
    for (int i = 0; i < list->n_raw; i++) {
        check->n_told += (list->raw[i].remark != NULL) + (list->raw[i].refused != NULL);
        check->n_look += list->raw[i].remark && !list->raw[i].bad && !has_finding(list, i);
    }
}

static bool is_name(const char *name, const char *other)
{
    return name && other && strcmp(name, other) == 0;
}

static bool has_materials(const struct sg_parts_list *list)
{
    for (int i = 0; i < list->n_header; i++)
        if (is_name(list->columns[i].name, "material"))
            return true;
    return false;
}

static enum sg_status read_into(struct sg_import_check *check, bool into_job, const struct sg_shop *shop,
                                struct sg_parts_list *list, struct sg_error *error)
{
    const char *goes_to[SG_CSV_MAX_FIELDS];
    for (int i = 0; i < SG_CSV_MAX_FIELDS; i++)
        goes_to[i] = check->goes_to[i];
    const struct sg_list_how how = {
        .goes_to = goes_to, .n_goes_to = SG_CSV_MAX_FIELDS, .grouped = into_job, .any_header = true};
    return check->data ? sg_parts_list_read(check->name, check->data, check->length, shop, &how, list, error)
                       : sg_parts_list_folder(check->path, shop, &how, list, error);
}

enum sg_status sg_import_check_read(struct sg_import_check *check, const struct sg_shop *shop,
                                    struct sg_error *error)
{
    struct sg_parts_list list = {0};
    enum sg_status status = read_into(check, true, shop, &list, error);
    bool into_job = check->stock == 0 || has_materials(&list);
    if (status == SG_OK && !into_job) { /* other columns are missed */
        sg_parts_list_free(&list);
        status = read_into(check, false, shop, &list, error);
    }
    if (status != SG_OK)
        return status;
    check->into_job = into_job;
    sg_parts_list_free(&check->list);
    check->list = list;
    check->decimals = sg_parts_list_decimals(&check->list);
    check->would = (struct sg_import_result){0};
    check->n_good = 0;
    count_looks(check);
    return SG_OK;
}

static int other_column(const struct sg_import_check *check, int column)
{
    const struct sg_list_column *columns = check->list.columns;
    for (int i = 0; i < check->list.n_header; i++)
        if (i != column && is_name(columns[i].name, columns[column].name))
            return i;
    return -1;
}

static char *copy_of(const char *text)
{
    char *copy = malloc(strlen(text) + 1);
    return copy ? strcpy(copy, text) : NULL;
}

enum sg_status sg_import_check_send(struct sg_import_check *check, const struct sg_shop *shop, int column,
                                    const char *goes_to, int *other, struct sg_error *error)
{
    char *sent = copy_of(goes_to), *left_out = copy_of(""), *before = check->goes_to[column];
    const char *went_to[SG_CSV_MAX_FIELDS]; /* before; the names are not the list's */
    int twice = -1, n = check->list.n_header;
    enum sg_status status = SG_FAULT;
    for (int i = 0; i < n; i++)
        went_to[i] = check->list.columns[i].name;
    if (sent && left_out) {
        check->goes_to[column] = sent;
        status = sg_import_check_read(check, shop, error);
        twice = status == SG_OK ? other_column(check, column) : -1;
    } else {
        sg_fail(error, SG_FAULT, "no memory for the column");
    }
    if (status != SG_OK) {
        check->goes_to[column] = before;
        free(sent);
        free(left_out);
        return status;
    }
    free(before);
    if (twice >= 0) {
        free(check->goes_to[twice]);
        check->goes_to[twice] = left_out;
        status = sg_import_check_read(check, shop, error);
    } else {
        free(left_out);
    }
    for (int i = 0; i < n && status == SG_OK && twice < 0; i++) /* one that gave way by itself */
        if (i != column && is_name(went_to[i], check->list.columns[column].name))
            twice = i;
    if (other)
        *other = twice;
    return status;
}

/* ---- the plan ---- */

/* The rows on their way into the plan; NULL where memory is out. */
static struct sg_incoming *incoming_of(const struct sg_parts_list *list)
{
    struct sg_incoming *incoming = calloc((size_t)list->n_rows + 1, sizeof *incoming);
    for (int i = 0; incoming && i < list->n_rows; i++)
        incoming[i] = (struct sg_incoming){.part = list->rows[i].part,
                                           .has = list->rows[i].has,
                                           .material = list->rows[i].material_name,
                                           .thickness = list->rows[i].thickness,
                                           .outline = list->rows[i].outline};
    return incoming;
}

struct refusing {
    struct sg_import_check *check;
    bool failed;
};

static void refuse(void *context, int row, enum sg_refusal why, const char *sentence)
{
    struct refusing *refusing = context;
    (void)why; /* r and Enter on a column are said beside */
    refusing->failed = !sg_parts_list_refuse(&refusing->check->list, row, sentence) || refusing->failed;
}

static void remark(void *context, int row, const char *sentence)
{
    struct refusing *refusing = context;
    refusing->failed = !sg_parts_list_remark(&refusing->check->list, row, sentence) || refusing->failed;
}

static enum sg_status ask(struct sg_import_check *check, struct sg_desk *desk, const char *key,
                          struct sg_error *error)
{
    struct refusing refusing = {.check = check};
    const struct sg_import_how how = {.replace = check->replace,
                                      .good_only = true,
                                      .list = check->name,
                                      .path = check->data ? check->path : NULL,
                                      .refuse = refuse,
                                      .remark = remark,
                                      .context = &refusing};
    struct sg_incoming *incoming = incoming_of(&check->list);
    if (!incoming)
        return sg_fail(error, SG_FAULT, "no memory for %d rows", check->list.n_rows);
    enum sg_status status =
        sg_desk_import(desk, key, incoming, check->list.n_rows, &how, &check->would, error);
    free(incoming);
    if (refusing.failed)
        return sg_fail(error, SG_FAULT, "no memory for the reasons of rows left out");
    return status;
}

void sg_import_check_ask(struct sg_import_check *check, struct sg_desk *desk, const char *key)
{
    struct sg_error error;
    check->trouble[0] = '\0';
    check->n_good = 0;
    if (check->list.unmatched)
        return;
    if (ask(check, desk, key, &error) == SG_OK)
        check->n_good = check->would.added + check->would.replaced;
    else
        snprintf(check->trouble, sizeof check->trouble, "%s", error.text);
    count_looks(check); /* a row that is refused is no longer only worth a look */
}

enum sg_status sg_import_check_bring(struct sg_import_check *check, struct sg_desk *desk, const char *key,
                                     struct sg_import_result *result, struct sg_error *error)
{
    const struct sg_import_how how = {.replace = check->replace,
                                      .good_only = check->list.n_bad > 0,
                                      .keep = true,
                                      .list = check->name,
                                      .path = check->data ? check->path : NULL};
    struct sg_incoming *incoming = incoming_of(&check->list);
    if (!incoming)
        return sg_fail(error, SG_FAULT, "no memory for %d rows", check->list.n_rows);
    enum sg_status status = sg_desk_import(desk, key, incoming, check->list.n_rows, &how, result, error);
    free(incoming);
    return status;
}

/* ---- findings ---- */

static int outline_column(const struct sg_parts_list *list)
{
    int column = 0;
    while (column < list->n_header && !is_name(list->columns[column].name, "outline"))
        column++;
    return column;
}

bool sg_import_check_next(const struct sg_import_check *check, bool bad, struct sg_import_at *at,
                          struct sg_import_told *told)
{
    const struct sg_parts_list *list = &check->list;
    for (; at->raw < list->n_raw; at->raw++) {
        while (at->finding < list->n_findings && list->findings[at->finding].row <= at->raw) {
            const struct sg_list_finding *finding = &list->findings[at->finding++];
            if (finding->row != at->raw || finding->bad != bad)
                continue; /* what is said of the header its columns tell */
            *told = (struct sg_import_told){at->raw, finding->column, ""};
            snprintf(told->text, sizeof told->text, "%s", finding->text);
            return true;
        }
        const char *said = bad ? list->raw[at->raw].refused : list->raw[at->raw].remark;
        if (said) {
            *told = (struct sg_import_told){at->raw, bad ? 0 : outline_column(list) + 1, ""};
            snprintf(told->text, sizeof told->text, "%s", said);
            at->raw++;
            return true;
        }
    }
    return false;
}
