#include "tui/sheet_preview.h"

#include <stdio.h>
#include <string.h>

/* Keys and names; a due time is meant to be read as a time. */
static bool is_text_column(const char *title)
{
    static const char *const titles[] = {"job", "part", "name", "material", "head", "note"};
    for (size_t i = 0; i < sizeof titles / sizeof *titles; i++)
        if (strcmp(titles[i], title) == 0)
            return true;
    return false;
}

static void cut(const char *text, char out[SG_PREVIEW_CELL])
{
    struct sg_text shown = {0};
    sg_text_shown(&shown, text, SG_PREVIEW_CELL / 4 - 1);
    snprintf(out, SG_PREVIEW_CELL, "%s", shown.data ? shown.data : "");
    sg_text_free(&shown);
}

static void take_header(struct sg_preview *preview, const struct sg_csv_row *row)
{
    preview->n_columns = row->n_cells < SG_PREVIEW_COLUMNS ? row->n_cells : SG_PREVIEW_COLUMNS;
    for (int i = 0; i < preview->n_columns; i++) {
        cut(row->cells[i], preview->columns[i].title);
        preview->columns[i].text = is_text_column(row->cells[i]);
    }
}

static void take_cell(struct sg_preview *preview, struct sg_preview_column *column, const char *cell)
{
    const char *plain = sg_csv_unguard(cell);
    if (plain != cell && preview->n_guarded++ == 0)
        cut(cell, preview->guarded);
    if (!column->text || !sg_csv_may_change(cell)) /* behind a guard a text stays as it is */
        return;
    if (column->n_change < SG_PREVIEW_NAMED)
        cut(cell, column->named[column->n_change]);
    column->n_change++;
}

static bool take(void *context, const struct sg_csv_row *row)
{
    struct sg_preview *preview = context;
    if (preview->n_columns == 0) {
        take_header(preview, row);
        return true;
    }
    preview->n_rows++;
    for (int i = 0; i < row->n_cells && i < preview->n_columns; i++)
        take_cell(preview, &preview->columns[i], row->cells[i]);
    return true;
}

enum sg_status sg_preview_read(const char *csv, size_t length, struct sg_preview *out, struct sg_error *error)
{
    memset(out, 0, sizeof *out);
    return sg_csv_read("the job sheet", csv, length, 0, take, out, NULL, error);
}
