#include "exchange/exchange.h"

#include <string.h>

static void put_cells(const struct sg_parts_list *list, const char *const *cells, int n_cells, int width,
                      const char *last, struct sg_text *out)
{
    const struct sg_csv_style made = {list->separator, '.'}, *style = &made;
    for (int i = 0; i < width; i++) {
        const char *cell = i < n_cells ? cells[i] : "";
        sg_csv_text(out, style, list->folder ? cell : sg_csv_unguard(cell));
        sg_csv_next(out, style);
    }
    sg_csv_text(out, style, last);
    sg_csv_end(out);
}

/* The reasons of one row, joined; *finding goes on from row to row. */
static void join_reasons(const struct sg_parts_list *list, int row, int *finding, struct sg_text *reasons)
{
    reasons->length = 0;
    while (*finding < list->n_findings && list->findings[*finding].row <= row) {
        const struct sg_list_finding *one = &list->findings[(*finding)++];
        if (one->row == row && one->bad)
            sg_text_format(reasons, "%s%s", reasons->length ? "; " : "", one->text);
    }
    if (list->raw[row].refused)
        sg_text_put(reasons, list->raw[row].refused);
}

int sg_parts_list_raw(const struct sg_parts_list *list, int row)
{
    int low = 0, high = list->n_raw; /* raw rows are in the order of their lines */
    while (high - low > 1) {
        int middle = low + (high - low) / 2;
        if (list->raw[middle].line <= list->rows[row].line)
            low = middle;
        else
            high = middle;
    }
    return low;
}

bool sg_parts_list_refuse(struct sg_parts_list *list, int row, const char *text)
{
    struct sg_list_raw *raw = &list->raw[sg_parts_list_raw(list, row)];
    raw->refused = sg_arena_text(&list->arena, text, strlen(text));
    list->n_bad += !raw->bad;
    raw->bad = true;
    return raw->refused != NULL;
}

bool sg_parts_list_remark(struct sg_parts_list *list, int row, const char *text)
{
    struct sg_list_raw *raw = &list->raw[sg_parts_list_raw(list, row)];
    raw->remark = sg_arena_text(&list->arena, text, strlen(text));
    return raw->remark != NULL;
}

/* The cell of the outline is the file of a folder's row. */
void sg_parts_list_place(const struct sg_parts_list *list, int row, int line, int column, struct sg_text *out)
{
    if (!list->folder)
        sg_text_format(out, "%s:%d:%d", list->name, line, column);
    else
        sg_text_put(out, row >= 0 ? list->raw[row].cells[1] : list->name);
}

void sg_parts_list_bad(const struct sg_parts_list *list, struct sg_text *out)
{
    int width = list->n_header, finding = 0;
    for (int i = 0; i < list->n_raw; i++)
        if (list->raw[i].bad && list->raw[i].n_cells > width)
            width = list->raw[i].n_cells;
    struct sg_text reasons = {0};
    put_cells(list, list->header, list->n_header, width, "reason", out);
    for (int i = 0; i < list->n_raw; i++) {
        if (!list->raw[i].bad)
            continue;
        join_reasons(list, i, &finding, &reasons);
        put_cells(list, list->raw[i].cells, list->raw[i].n_cells, width, reasons.data, out);
    }
    out->failed = out->failed || reasons.failed;
    sg_text_free(&reasons);
}
