/* Common lines of a stock: which parts have straight sides, and how much cut they spare. */
#include "plan_inside.h"

#include <math.h>

/* Of a part that is typed only its box is known: a cut just as long goes round it, another may be of any
 * shape. */
static bool has_straight_sides(const struct sg_shop *shop, const struct sg_part *part)
{
    if (part->outline != SG_UNKNOWN)
        return sg_outline_is_box(shop->drawn[part->outline].outline);
    double round = 2 * (part->length + part->width);
    return fabs(part->cut_length - round) <= 1e-6 * round; /* false of NaN */
}

bool sg_plan_is_common(const struct sg_shop *shop, const struct sg_stock *stock, double kerf)
{
    bool common = stock->common_line && sg_known(kerf);
    for (int32_t i = stock->first_part; common && i < stock->first_part + stock->n_parts; i++)
        common = shop->parts[i].quantity == 0 || has_straight_sides(shop, &shop->parts[i]);
    return common;
}

double sg_plan_spacing(const struct sg_stock *stock, double kerf)
{
    return kerf > stock->gap ? kerf : stock->gap; /* false of NaN */
}

bool sg_plan_common(struct sg_planner *p, struct sg_plan_layout *layout)
{
    layout->spared = 0;
    if (!layout->common)
        return true;
    int64_t most = 0;
    for (int32_t i = 0; i < layout->n_used; i++)
        most = layout->used[i].n_pieces > most ? layout->used[i].n_pieces : most;
    if (!sg_planner_room(p, &p->sides, &p->sides_room, 2 * (int32_t)most, sizeof *p->sides))
        return false;
    for (int32_t i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        layout->spared +=
            (double)used->copies * sg_common_lines(layout->boxes, layout->placements + used->first,
                                                   (int32_t)used->n_pieces, layout->gap, p->sides);
    }
    return true;
}
