/* The layout of boxes first; then, where fewer sheets may do, that by true shape. */
#include "nest_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- sheets that any layout needs ----
 *
 * Pieces that keep the gap g from each other do not overlap when each is widened by g/2 all around, and lie
 * on a sheet widened alike. Widening a shape of area A by r makes an area of at least
 * (sqrt(A) + r sqrt(pi))^2 (Brunn and Minkowski; from memory), a rectangle A + perimeter r + pi r^2. */

static double widened_area(const struct sg_nest *nest, int32_t i)
{
    const struct sg_nest_shape *shape = &nest->shapes[i];
    const struct sg_layout_part *part = &nest->input->boxes.parts[i];
    double r = nest->input->boxes.gap / 2, pi = acos(-1.0), side = sqrt(shape->area) + r * sqrt(pi);
    return shape->boxed ? shape->area + 2 * r * (part->length + part->width) + pi * r * r : side * side;
}

/* Of a widened sheet, what a clamp keeps even from widened pieces. Clamps may lie on each other: the largest
 * one counts. */
static double clamped_area(const struct sg_layout_input *input, const struct sg_layout_sheet *sheet)
{
    double most = 0, half = input->gap / 2, from = input->margin - half;
    for (int32_t i = 0; i < input->n_clamps; i++) {
        const struct sg_layout_clamp *clamp = &input->clamps[i];
        double l = fmin(clamp->x + clamp->length - half, sheet->length - from) - fmax(clamp->x + half, from);
        double w = fmin(clamp->y + clamp->width - half, sheet->width - from) - fmax(clamp->y + half, from);
        most = l > 0 && w > 0 ? fmax(most, l * w) : most;
    }
    return most;
}

static double usable_area(const struct sg_layout_input *input)
{
    double most = 0;
    for (int32_t i = 0; i < input->n_sheets; i++) {
        double l = input->sheets[i].length - 2 * input->margin + input->gap;
        double w = input->sheets[i].width - 2 * input->margin + input->gap;
        if (l > 0 && w > 0)
            most = fmax(most, l * w - clamped_area(input, &input->sheets[i]));
    }
    return most;
}

static int64_t bound_of(const struct sg_nest *nest)
{
    double pieces = 0, usable = usable_area(&nest->input->boxes);
    for (int32_t i = 0; i < nest->lay->n_boxes; i++)
        pieces += widened_area(nest, nest->lay->boxes[i].part) * (double)nest->lay->boxes[i].left;
    return usable > 0 ? (int64_t)ceil(pieces / usable * (1 - 1e-9)) : 0;
}

/* ---- sheets, rounded to the safe side ---- */

static double down(double mm)
{
    return floor(mm * SG_LAYOUT_UNITS + SG_NEST_FUZZ) / SG_LAYOUT_UNITS;
}

static double up(double mm)
{
    return (double)sg_nest_up(mm) / SG_LAYOUT_UNITS;
}

static bool take_sheets(struct sg_nest *nest)
{
    const struct sg_layout_input *input = &nest->input->boxes;
    nest->gap = (double)sg_nest_up(input->gap);
    if (!sg_nest_room(nest, &nest->sheets, &nest->sheets_room, input->n_sheets, sizeof *nest->sheets) ||
        !sg_nest_room(nest, &nest->clamps, &nest->clamps_room, input->n_clamps, sizeof *nest->clamps))
        return false;
    for (int32_t i = 0; i < input->n_sheets; i++) {
        const struct sg_layout_sheet *sheet = &input->sheets[i];
        nest->sheets[i] = (struct sg_layout_sheet){down(sheet->length), down(sheet->width), sheet->count};
    }
    for (int32_t i = 0; i < input->n_clamps; i++) {
        const struct sg_layout_clamp *clamp = &input->clamps[i];
        double x = down(clamp->x), y = down(clamp->y);
        nest->clamps[i] =
            (struct sg_layout_clamp){x, y, up(clamp->x + clamp->length) - x, up(clamp->y + clamp->width) - y};
    }
    return true;
}

/* The largest free rectangle of all bare sheets. */
static void find_limits(struct sg_nest *nest)
{
    double largest = 0;
    const struct sg_lay *lay = nest->lay;
    nest->limit_length = nest->limit_width = 0;
    for (int32_t i = 0; i < lay->n_sizes; i++)
        for (int32_t k = 0; k < lay->sizes[i].empty.n && lay->sizes[i].count > 0; k++) {
            const struct sg_rect *r = &lay->sizes[i].empty.rects[k];
            double area = (double)(r->x1 - r->x0) * (double)(r->y1 - r->y0);
            if (area <= largest)
                continue;
            largest = area;
            nest->limit_length = r->x1 - r->x0 - lay->gap;
            nest->limit_width = r->y1 - r->y0 - lay->gap;
        }
}

/* ---- the answer ---- */

static bool put_answer(struct sg_nest *nest, struct sg_layout *layout)
{
    const struct sg_nest_result *best = &nest->best;
    struct sg_lay *lay = nest->lay;
    double pieces = 0, sheets = 0;
    if (!sg_lay_room(lay, &layout->placements, &lay->placements_room, best->n_placements,
                     sizeof *layout->placements) ||
        !sg_lay_room(lay, &layout->used, &lay->used_room, best->n_used, sizeof *layout->used))
        return false;
    if (best->n_placements > 0)
        memcpy(layout->placements, best->placements, (size_t)best->n_placements * sizeof *best->placements);
    if (best->n_used > 0)
        memcpy(layout->used, best->used, (size_t)best->n_used * sizeof *best->used);
    layout->n_placements = best->n_placements;
    layout->n_used = best->n_used;
    layout->unplaced = best->unplaced;
    layout->sheets = 0;
    for (int32_t i = 0; i < best->n_used; i++) {
        const struct sg_layout_used *used = &best->used[i];
        const struct sg_layout_sheet *sheet = &nest->input->boxes.sheets[used->size];
        layout->sheets += used->copies;
        sheets += sheet->length * sheet->width * (double)used->copies;
        for (int64_t k = 0; k < used->n_pieces; k++)
            pieces += nest->shapes[best->placements[used->first + k].part].area * (double)used->copies;
    }
    layout->utilisation = sheets > 0 ? pieces / sheets : 0;
    return true;
}

static bool has_shapes(const struct sg_nest *nest)
{
    for (int32_t i = 0; i < nest->lay->n_boxes; i++)
        if (!nest->shapes[nest->lay->boxes[i].part].boxed)
            return true;
    return false;
}

static bool make(struct sg_nest *nest, struct sg_layout *layout, bool *interlocked)
{
    nest->failed = false;
    nest->looks = 0;
    nest->lay = layout->memory;
    sg_nest_shapes(nest);
    if (nest->failed || !has_shapes(nest) || !take_sheets(nest))
        return !nest->failed;
    int64_t bound = bound_of(nest), cost = nest->lay->best.score.cost;
    layout->lower_bound = bound; /* that of the boxes holds for boxes only */
    if (layout->sheets == 0 || (layout->unplaced == 0 && cost <= bound * SG_SHEET_COST))
        return true;
    find_limits(nest);
    sg_nest_rows(nest);
    *interlocked = !nest->failed && sg_nest_mixes(nest, layout->unplaced, cost, bound);
    if (*interlocked)
        put_answer(nest, layout);
    layout->looks += nest->looks;
    return !nest->failed && !nest->lay->failed;
}

bool sg_nest_make(const struct sg_nest_input *input, struct sg_nest **memory, struct sg_layout *layout,
                  struct sg_nest_gain *gain)
{
    bool made = sg_layout_make(&input->boxes, layout);
    *gain = (struct sg_nest_gain){false, layout->sheets};
    if (!made || !input->outlines || input->boxes.across)
        return made;
    if (!*memory && !(*memory = calloc(1, sizeof **memory)))
        return false;
    (*memory)->input = input;
    return make(*memory, layout, &gain->interlocked);
}

static void free_result(struct sg_nest_result *result)
{
    free(result->placements);
    free(result->used);
}

void sg_nest_free(struct sg_nest *memory)
{
    if (!memory)
        return;
    sg_layout_free(&memory->trial);
    free_result(&memory->best);
    free_result(&memory->other);
    void *const arrays[] = {memory->points,   memory->work_points, memory->errors, memory->loops,
                            memory->edges,    memory->shapes,      memory->rows,   memory->inner,
                            memory->kinds,    memory->blocks,      memory->parts,  memory->sheets,
                            memory->clamps,   memory->spans,       memory->left,   memory->order,
                            memory->policies, memory->keys,        memory->marks};
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++)
        free(arrays[i]);
    free(memory);
}
