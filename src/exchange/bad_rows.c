#include "exchange/exchange.h"

#include <string.h>

static void put_cells(const char *const *cells, int n_cells, int width, const char *last,
                      const struct sg_csv_style *style, struct sg_text *out)
{
    for (int i = 0; i < width; i++) {
        sg_csv_text(out, style, i < n_cells ? sg_csv_unguard(cells[i]) : "");
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

bool sg_parts_list_refuse(struct sg_parts_list *list, int row, const char *text)
{
    int low = 0, high = list->n_raw; /* raw rows are in the order of their lines */
    while (high - low > 1) {
        int middle = low + (high - low) / 2;
        if (list->raw[middle].line <= list->rows[row].line)
            low = middle;
        else
            high = middle;
    }
    list->raw[low].refused = sg_arena_text(&list->arena, text, strlen(text));
    list->n_bad += !list->raw[low].bad;
    list->raw[low].bad = true;
    return list->raw[low].refused != NULL;
}

void sg_parts_list_bad(const struct sg_parts_list *list, struct sg_text *out)
{
    const struct sg_csv_style style = {list->separator, '.'};
    int width = list->n_header, finding = 0;
    for (int i = 0; i < list->n_raw; i++)
        if (list->raw[i].bad && list->raw[i].n_cells > width)
            width = list->raw[i].n_cells;
    struct sg_text reasons = {0};
    put_cells(list->header, list->n_header, width, "reason", &style, out);
    for (int i = 0; i < list->n_raw; i++) {
        if (!list->raw[i].bad)
            continue;
        join_reasons(list, i, &finding, &reasons);
        put_cells(list->raw[i].cells, list->raw[i].n_cells, width, reasons.data, &style, out);
    }
    out->failed = out->failed || reasons.failed;
    sg_text_free(&reasons);
}
