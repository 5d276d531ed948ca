/* From millimetres to whole numbers and back; what is left over on each sheet. */
#include "layout_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { AREA_BITS = 20 }; /* of a side in areas */

bool sg_lay_room(struct sg_lay *lay, void *array, int64_t *room, int64_t n, size_t size)
{
    bool enough = sg_room(array, room, n, size);
    lay->failed = lay->failed || !enough;
    return enough;
}

/* ---- into whole numbers ---- */

static int64_t units(double mm)
{
    return llround(mm * SG_LAYOUT_UNITS);
}

static double mm_of(int64_t n)
{
    return (double)n / SG_LAYOUT_UNITS;
}

static int64_t area_of(const struct sg_lay *lay, int64_t length, int64_t width)
{
    return (length >> lay->shift) * (width >> lay->shift);
}

static void take_clamps(struct sg_lay *lay, const struct sg_layout_input *input)
{
    lay->n_clamps = 0;
    if (!sg_lay_room(lay, &lay->clamps, &lay->clamps_room, input->n_clamps, sizeof *lay->clamps))
        return;
    for (int32_t i = 0; i < input->n_clamps; i++) {
        const struct sg_layout_clamp *clamp = &input->clamps[i];
        int64_t x = units(clamp->x) - lay->margin, y = units(clamp->y) - lay->margin;
        /* A box before a clamp may reach into it by the gap that it carries behind the piece. */
        lay->clamps[lay->n_clamps++] =
            (struct sg_rect){x + lay->gap, y + lay->gap, x + units(clamp->length), y + units(clamp->width)};
    }
}

static bool take_sizes(struct sg_lay *lay, const struct sg_layout_input *input)
{
    int64_t before = lay->sizes_room, longest = 1;
    lay->n_sizes = 0;
    if (!sg_lay_room(lay, &lay->sizes, &lay->sizes_room, input->n_sheets, sizeof *lay->sizes))
        return false;
    if (lay->sizes_room > before) /* the free rectangles in them are kept between calls */
        memset(lay->sizes + before, 0, (size_t)(lay->sizes_room - before) * sizeof *lay->sizes);
    for (int32_t i = 0; i < input->n_sheets; i++) {
        const struct sg_layout_sheet *sheet = &input->sheets[i];
        struct sg_size *size = &lay->sizes[lay->n_sizes++];
        size->length = units(sheet->length) - 2 * lay->margin + lay->gap;
        size->width = units(sheet->width) - 2 * lay->margin + lay->gap;
        size->count = sheet->count < 0 ? INT64_MAX : sheet->count;
        longest = size->length > longest ? size->length : longest;
        longest = size->width > longest ? size->width : longest;
        sg_free_bare(lay, size);
    }
    for (lay->shift = 0; longest >> lay->shift >= (int64_t)1 << AREA_BITS;)
        lay->shift++;
    return !lay->failed;
}

static void weigh_sizes(struct sg_lay *lay)
{
    lay->largest = 1;
    for (int32_t i = 0; i < lay->n_sizes; i++) {
        struct sg_size *size = &lay->sizes[i];
        size->area = size->empty.n > 0 ? area_of(lay, size->length, size->width) : 0;
        size->area = size->area > 0 ? size->area : 1;
        lay->largest = size->area > lay->largest ? size->area : lay->largest;
    }
    for (int32_t i = 0; i < lay->n_sizes; i++) {
        int64_t cost = lay->sizes[i].area * SG_SHEET_COST / lay->largest;
        lay->sizes[i].cost = cost > 0 ? cost : 1;
    }
}

static bool fits(const struct sg_lay *lay, const struct sg_box *box)
{
    struct sg_spot spot;
    for (int32_t i = 0; i < lay->n_sizes; i++)
        if (sg_free_find(lay, &lay->sizes[i].empty, box, (struct sg_way){SG_RULE_LOW, false}, &spot))
            return true;
    return false;
}

static bool take_parts(struct sg_lay *lay, const struct sg_layout_input *input, struct sg_layout *layout)
{
    lay->n_boxes = 0;
    lay->n_pieces = 0;
    if (!sg_lay_room(lay, &lay->boxes, &lay->boxes_room, input->n_parts, sizeof *lay->boxes))
        return false;
    for (int32_t i = 0; i < input->n_parts; i++) {
        const struct sg_layout_part *part = &input->parts[i];
        bool across = input->across && !part->turn;
        struct sg_box box = {.length = units(across ? part->width : part->length) + lay->gap,
                             .width = units(across ? part->length : part->width) + lay->gap,
                             .left = part->quantity,
                             .part = i,
                             .turn = part->turn,
                             .across = across};
        if (box.left <= 0)
            continue;
        box.area = area_of(lay, box.length, box.width);
        if (fits(lay, &box)) {
            lay->boxes[lay->n_boxes++] = box;
            lay->n_pieces += box.left;
        } else if (layout->too_large < 0) {
            layout->too_large = i;
        }
    }
    return true;
}

/* ---- and back ---- */

/* Pieces edge to edge are taken out as one. */
static bool join(struct sg_rect *taken, const struct sg_rect *next)
{
    if (next->y0 == taken->y0 && next->y1 == taken->y1 && next->x0 == taken->x1)
        taken->x1 = next->x1;
    else if (next->x0 == taken->x0 && next->x1 == taken->x1 && next->y0 == taken->y1)
        taken->y1 = next->y1;
    else
        return false;
    return true;
}

static struct sg_rect rect_of(const struct sg_lay *lay, const struct sg_layout_part *part,
                              const struct sg_placement *p)
{
    int64_t x = units(p->x) - lay->margin, y = units(p->y) - lay->margin;
    return (struct sg_rect){x, y, x + units(p->turned ? part->width : part->length) + lay->gap,
                            y + units(p->turned ? part->length : part->width) + lay->gap};
}

/* What is free between the pieces of a sheet, with the gap kept on all sides, into lay->free. */
static void find_left(struct sg_lay *lay, const struct sg_layout_part *parts,
                      const struct sg_placement *placed, const struct sg_layout_used *used)
{
    sg_free_copy(lay, &lay->free, &lay->sizes[used->size].empty);
    for (int64_t i = 0; i < used->n_pieces && !lay->failed;) {
        struct sg_rect taken = rect_of(lay, &parts[placed[i].part], &placed[i]), next;
        for (i++; i < used->n_pieces; i++) {
            next = rect_of(lay, &parts[placed[i].part], &placed[i]);
            if (!join(&taken, &next))
                break;
        }
        sg_free_cut(lay, &lay->free, &taken, lay->gap + 1, lay->gap + 1);
    }
}

/* The largest rectangle left over. */
static void find_drop(struct sg_lay *lay, const struct sg_layout_input *input,
                      const struct sg_placement *placed, struct sg_layout_used *used)
{
    double largest = 0;
    bool wide = false;
    used->drop_x = used->drop_y = used->drop_length = used->drop_width = 0;
    find_left(lay, input->parts, placed, used);
    for (int32_t i = 0; i < lay->free.n && !lay->failed; i++) {
        const struct sg_rect *r = &lay->free.rects[i];
        double length = mm_of(r->x1 - r->x0 - lay->gap), width = mm_of(r->y1 - r->y0 - lay->gap);
        bool this_wide = length >= input->drop_least && width >= input->drop_least;
        if (this_wide == wide ? length * width <= largest : wide)
            continue;
        wide = this_wide;
        largest = length * width;
        used->drop_x = mm_of(r->x0 + lay->margin);
        used->drop_y = mm_of(r->y0 + lay->margin);
        used->drop_length = length;
        used->drop_width = width;
    }
}

static void put_piece(const struct sg_lay *lay, const struct sg_piece *piece, struct sg_layout *layout)
{
    const struct sg_box *box = &lay->boxes[piece->box];
    layout->placements[layout->n_placements++] = (struct sg_placement){.part = box->part,
                                                                       .turned = piece->turned != box->across,
                                                                       .x = mm_of(piece->x + lay->margin),
                                                                       .y = mm_of(piece->y + lay->margin)};
}

static void put_sheet(struct sg_lay *lay, const struct sg_filled *filled, const struct sg_layout_input *input,
                      struct sg_layout *layout)
{
    struct sg_layout_used *used = &layout->used[layout->n_used++];
    *used = (struct sg_layout_used){
        .size = filled->size, .copies = filled->copies, .first = layout->n_placements, .n_pieces = filled->n};
    for (int32_t i = 0; i < filled->n; i++)
        put_piece(lay, &lay->best.pieces[filled->first + i], layout);
    layout->sheets += filled->copies;
    find_drop(lay, input, layout->placements + used->first, used);
}

static double utilisation(const struct sg_layout_input *input, const struct sg_layout *layout)
{
    double pieces = 0, sheets = 0;
    for (int32_t i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        const struct sg_layout_sheet *sheet = &input->sheets[used->size];
        double area = 0;
        for (int64_t k = 0; k < used->n_pieces; k++) {
            const struct sg_layout_part *part = &input->parts[layout->placements[used->first + k].part];
            area += part->length * part->width;
        }
        pieces += area * (double)used->copies;
        sheets += sheet->length * sheet->width * (double)used->copies;
    }
    return sheets > 0 ? pieces / sheets : 0;
}

/* By size, the fullest first. */
static bool put_answer(struct sg_lay *lay, const struct sg_layout_input *input, struct sg_layout *layout)
{
    const struct sg_answer *best = &lay->best;
    if (!sg_lay_room(lay, &lay->keys, &lay->keys_room, best->n_sheets, sizeof *lay->keys) ||
        !sg_lay_room(lay, &layout->used, &lay->used_room, best->n_sheets, sizeof *layout->used) ||
        !sg_lay_room(lay, &layout->placements, &lay->placements_room, best->n_pieces,
                     sizeof *layout->placements))
        return false;
    for (int32_t i = 0; i < best->n_sheets; i++)
        lay->keys[i] = (struct sg_key){-best->sheets[i].size, best->sheets[i].area, i};
    sg_keys_sort(lay->keys, best->n_sheets);
    for (int32_t i = 0; i < best->n_sheets; i++)
        put_sheet(lay, &best->sheets[lay->keys[i].box], input, layout);
    return !lay->failed;
}

static void clear(struct sg_layout *layout)
{
    layout->n_placements = layout->sheets = layout->lower_bound = layout->unplaced = 0;
    layout->n_used = 0;
    layout->too_large = -1;
    layout->utilisation = 0;
}

/* Sheets and clamps in whole numbers. NULL: no memory. */
static struct sg_lay *begin(const struct sg_layout_input *input, struct sg_layout *layout)
{
    if (!layout->memory && !(layout->memory = calloc(1, sizeof *layout->memory)))
        return NULL;
    struct sg_lay *lay = layout->memory;
    lay->failed = false;
    lay->work = 0;
    lay->gap = units(input->gap);
    lay->margin = units(input->margin);
    take_clamps(lay, input);
    return take_sizes(lay, input) ? lay : NULL;
}

bool sg_layout_drop(const struct sg_layout_input *input, const struct sg_placement *placements,
                    struct sg_layout_used *used, struct sg_layout *layout)
{
    struct sg_lay *lay = begin(input, layout);
    if (lay)
        find_drop(lay, input, placements, used);
    return lay && !lay->failed;
}

bool sg_layout_make(const struct sg_layout_input *input, struct sg_layout *layout)
{
    clear(layout);
    struct sg_lay *lay = begin(input, layout);
    if (!lay)
        return false;
    weigh_sizes(lay);
    if (!take_parts(lay, input, layout))
        return false;
    lay->bound = sg_bound_area(lay);
    lay->bound_known = false;
    sg_layout_first(lay);
    sg_layout_search(lay, input->effort);
    layout->lower_bound = lay->bound;
    layout->unplaced = lay->best.score.unplaced;
    layout->looks = lay->work;
    if (!lay->failed && put_answer(lay, input, layout))
        layout->utilisation = utilisation(input, layout);
    return !lay->failed;
}

static void free_rectangles(struct sg_free *free_rects)
{
    free(free_rects->rects);
    free(free_rects->touched);
}

static void free_answer(struct sg_answer *answer)
{
    free(answer->sheets);
    free(answer->pieces);
}

static void free_lay(struct sg_lay *lay)
{
    for (int64_t i = 0; i < lay->sizes_room; i++)
        free_rectangles(&lay->sizes[i].empty);
    for (int64_t i = 0; i < lay->open_room; i++)
        sg_open_free(&lay->open[i]);
    free_rectangles(&lay->free);
    free_answer(&lay->best);
    free_answer(&lay->trial);
    sg_search_free(lay->search);
    free(lay->boxes);
    free(lay->sizes);
    free(lay->clamps);
    free(lay->keys);
    free(lay->items);
    free(lay->open);
    free(lay->sizes_used);
    free(lay->duals);
    free(lay->sides);
    free(lay);
}

void sg_layout_free(struct sg_layout *layout)
{
    if (layout->memory)
        free_lay(layout->memory);
    free(layout->placements);
    free(layout->used);
    *layout = (struct sg_layout){.n_used = 0};
}
