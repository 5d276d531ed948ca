/* Two plans side by side. */
#include "exchange/render.h"

#include "sandglass/compare.h"

#include <stdio.h>
#include <string.h>

enum { CELL = SG_COMPARE_CELL - 1 }; /* room for the sign of a change */

void sg_compare_show(const struct sg_compare_row *row, const struct sg_shop *shop, double epoch, double value,
                     char *out)
{
    if (!sg_known(value))
        snprintf(out, CELL, "-");
    else if (row->shape == SG_COMPARE_MOMENT)
        sg_clock_format(epoch + value, out, CELL);
    else if (row->shape == SG_COMPARE_DURATION)
        sg_duration_format(value, out, CELL);
    else if (row->shape == SG_COMPARE_COUNT)
        snprintf(out, CELL, "%.0f", value);
    else
        sg_number_format(value, sg_unit_of_shop(row->dimension, shop->units), 1, out, CELL);
}

void sg_compare_show_change(const struct sg_compare_row *row, const struct sg_shop *shop, double change,
                            char *out)
{
    struct sg_compare_row amount = *row;
    if (amount.shape == SG_COMPARE_MOMENT)
        amount.shape = SG_COMPARE_DURATION;
    out[0] = '\0';
    if (!sg_known(change) || change == 0)
        return;
    sg_compare_show(&amount, shop, 0, fabs(change), out + 1);
    /* Below half of what is shown it is no change that anybody sees: not "-0.0". */
    if (!isfinite(change) || strpbrk(out + 1, "123456789"))
        out[0] = change < 0 ? '-' : '+';
}

void sg_compare_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *before,
                     const struct sg_plan *after)
{
    double epoch = shop->shifts[before->shift].calendar.epoch;
    struct sg_table table;
    sg_table_start(&table, (const char *[]){"", ">in plan", ">tried", ">change", "unit"}, 5);
    for (const struct sg_compare_row *row = sg_compare_rows; row->name; row++) {
        double a = row->value(before, SG_UNKNOWN), b = row->value(after, SG_UNKNOWN);
        char c[3][SG_COMPARE_CELL];
        sg_compare_show(row, shop, epoch, a, c[0]);
        sg_compare_show(row, shop, epoch, b, c[1]);
        sg_compare_show_change(row, shop, b - a, c[2]);
        const char *unit =
            row->shape == SG_COMPARE_NUMBER ? sg_unit_of_shop(row->dimension, shop->units)->name : "";
        sg_table_row(&table, (const char *[]){row->title, c[0], c[1], c[2], unit});
    }
    sg_table_put(&table, 0, out);
}

void sg_compare_json(struct sg_json *json, const struct sg_plan *before, const struct sg_plan *after)
{
    const struct sg_plan *plans[] = {before, after};
    static const char *const names[] = {"before", "after", "change"};
    for (int i = 0; i < 3; i++) {
        sg_json_object(json, names[i]);
        for (const struct sg_compare_row *row = sg_compare_rows; row->name; row++)
            sg_json_number(json, row->name,
                           i < 2 ? row->value(plans[i], SG_UNKNOWN)
                                 : row->value(after, SG_UNKNOWN) - row->value(before, SG_UNKNOWN));
        sg_json_end_object(json);
    }
}
