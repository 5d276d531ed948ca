/* Sums as they were typed, for as long as the program runs: e shows "=12*4.5" again instead of 54, while the
 * value is still that one. */
#include "tui/inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SUMS = 64, TEXT = SG_NUMBER_TEXT_MAX + 1 };

/* The newest SUMS of them, in a ring. */
struct sg_sums {
    int next;
    struct {
        const struct sg_field *field; /* NULL: none yet */
        int64_t row;
        struct sg_value value;
        enum sg_unit_system units; /* in which it was typed */
        char text[TEXT];
    } kept[SUMS];
};

static bool is_sum(const struct sg_field *field, const char *text)
{
    return (field->type == SG_FIELD_NUMBER || field->type == SG_FIELD_WHOLE) &&
           text[strspn(text, " \t")] == '=' && strlen(text) < TEXT;
}

void sg_sums_keep(struct sg_ui *ui, const struct sg_field *field, int64_t row, const char *text)
{
    int32_t index = sg_row_index(ui->kept.shop, field->kind, row);
    if (!is_sum(field, text) || index == SG_UNKNOWN)
        return;
    if (!ui->sums)
        ui->sums = calloc(1, sizeof *ui->sums);
    if (!ui->sums)
        return; /* e shows the value */
    int at = ui->sums->next;
    ui->sums->next = (at + 1) % SUMS;
    ui->sums->kept[at].field = field;
    ui->sums->kept[at].row = row;
    ui->sums->kept[at].units = ui->kept.shop->units;
    snprintf(ui->sums->kept[at].text, TEXT, "%s", text);
    sg_field_get(field, sg_target_record(ui->kept.shop, (struct sg_target){field->kind, index}),
                 &ui->sums->kept[at].value);
}

const char *sg_sums_text(const struct sg_ui *ui, const struct sg_field *field, int64_t row,
                         const struct sg_value *value)
{
    for (int i = 1; ui->sums && i <= SUMS; i++) { /* the newest first */
        int at = (ui->sums->next - i + SUMS) % SUMS;
        if (ui->sums->kept[at].field == field && ui->sums->kept[at].row == row)
            return ui->sums->kept[at].units == ui->kept.shop->units &&
                           sg_field_same(field, &ui->sums->kept[at].value, value)
                       ? ui->sums->kept[at].text
                       : NULL;
    }
    return NULL;
}
