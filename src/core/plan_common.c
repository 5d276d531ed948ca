/* Common lines of a stock: which parts have straight sides, and how much cut they spare. */
#include "plan_inside.h"

/* Of a part that is typed only its box is known: its cut goes round all of it, or its sides are no lines. */
static bool has_straight_sides(const struct sg_shop *shop, const struct sg_part *part)
{
    if (part->outline != SG_UNKNOWN)
        return sg_outline_is_box(shop->drawn[part->outline].outline);
    return part->cut_length >= 2 * (part->length + part->width) * (1 - 1e-9); /* false of NaN */
}

bool sg_plan_is_common(const struct sg_shop *shop, const struct sg_stock *stock, double kerf)
{
    bool common = stock->common_line && sg_known(kerf);
    for (int32_t i = stock->first_part; common && i < stock->first_part + stock->n_parts; i++)
        common = shop->parts[i].quantity == 0 || has_straight_sides(shop, &shop->parts[i]);
    return common;
}

bool sg_plan_common(struct sg_planner *p, struct sg_plan_layout *layout)
{
    layout->spared = 0;
    if (!layout->common || layout->interlocked)
        return true;
    int64_t most = 0;
    for (int32_t i = 0; i < layout->n_used; i++)
        most = layout->used[i].n_pieces > most ? layout->used[i].n_pieces : most;
    if (!sg_planner_room(p, &p->sides, &p->sides_room, (int32_t)most, sizeof *p->sides))
        return false;
    for (int32_t i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        layout->spared +=
            (double)used->copies * sg_common_lines(layout->boxes, layout->placements + used->first,
                                                   (int32_t)used->n_pieces, layout->gap, p->sides);
    }
    return true;
}
