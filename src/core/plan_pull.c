/* A sheet longer than the table, not full: its pieces are pulled to the loading end where that saves an index
 * move. A layout takes as few sheets as it can and does not know of the table. Pieces that interlock on such
 * a sheet are pulled where their boxes fit on so much of it. */
#include "plan_inside.h"

#include <string.h>

struct pull {
    struct sg_planner *planner;
    struct sg_plan_layout *layout;
    const struct sg_layout_input *boxes; /* as they were laid out */
    double table;
};

/* The far edge of the farthest piece on a sheet, and the area of them with the gap behind each. */
static double farthest(const struct pull *pull, const struct sg_layout_used *used, double *area)
{
    const struct sg_plan_layout *layout = pull->layout;
    double far = 0;
    *area = 0;
    for (int64_t i = used->first; i < used->first + used->n_pieces; i++) {
        const struct sg_placement *p = &layout->placements[i];
        const struct sg_layout_part *box = &layout->boxes[p->part];
        far = fmax(far, p->x + (p->turned ? box->width : box->length));
        *area += (box->length + layout->gap) * (box->width + layout->gap);
    }
    return far;
}

/* Lay out the pieces of one sheet on one of that length. True where all of them lie on it. */
static bool lie_on(const struct pull *pull, const struct sg_layout_used *used, double length)
{
    const struct sg_plan_layout *layout = pull->layout;
    struct sg_planner *p = pull->planner;
    const struct sg_layout_sheet sheet = {length, layout->sizes[used->size].width, 1};
    struct sg_layout_input input = *pull->boxes;
    input.parts = p->pulled;
    input.sheets = &sheet;
    input.n_sheets = 1;
    input.effort = 0;
    memcpy(p->pulled, layout->boxes, (size_t)layout->n_boxes * sizeof *p->pulled);
    for (int32_t i = 0; i < layout->n_boxes; i++)
        p->pulled[i].quantity = 0;
    for (int64_t i = used->first; i < used->first + used->n_pieces; i++)
        p->pulled[layout->placements[i].part].quantity++;
    p->failed = p->failed || !sg_layout_make(&input, &p->work);
    return !p->failed && p->work.n_used == 1 && p->work.n_placements == used->n_pieces;
}

static void pull_sheet(const struct pull *pull, struct sg_layout_used *used)
{
    struct sg_planner *p = pull->planner;
    struct sg_plan_layout *layout = pull->layout;
    const struct sg_layout_sheet *sheet = &layout->sizes[used->size];
    double area, far = farthest(pull, used, &area) + layout->margin;
    int64_t moves = sg_index_moves(far, pull->table);
    for (int64_t tables = 1; tables <= moves && !p->failed; tables++) {
        double length = (double)tables * pull->table, room = length - 2 * layout->margin + layout->gap;
        if (area > room * (sheet->width - 2 * layout->margin + layout->gap) || !lie_on(pull, used, length))
            continue;
        struct sg_placement *placements = layout->placements + used->first;
        memcpy(placements, p->work.placements, (size_t)used->n_pieces * sizeof *placements);
        p->failed = p->failed || !sg_layout_drop(pull->boxes, placements, used, &p->work);
        return;
    }
}

bool sg_plan_pull(struct sg_planner *p, struct sg_plan_layout *layout, const struct sg_layout_input *boxes,
                  double table_length)
{
    struct pull pull = {p, layout, boxes, table_length};
    if (!sg_planner_room(p, &p->pulled, &p->pulled_room, layout->n_boxes, sizeof *p->pulled))
        return false;
    for (int32_t i = 0; i < layout->n_used && !p->failed; i++)
        if (layout->sizes[layout->used[i].size].length > table_length)
            pull_sheet(&pull, &layout->used[i]);
    return !p->failed;
}
