#include "support/layout_check.h"

#include "support/must.h"

#include <math.h>
#include <stdlib.h>

struct place {
    long long x0, y0, x1, y1;
};

struct looked {
    const struct sg_layout_input *input;
    const struct sg_layout *layout;
    const char *name;
    long long gap, margin;
};

/* In 1/40000 mm; what is no whole number of them by more than rounding is no coordinate of ours. */
static long long whole(double mm)
{
    return llround(mm * 40000);
}

static long long whole_place(const struct looked *l, double mm)
{
    long long n = whole(mm);
    must(fabs(mm * 40000 - (double)n) < 0.01, "%s: %.17g mm is between two units", l->name, mm);
    return n;
}

static struct place place_of(const struct looked *l, const struct sg_placement *placement)
{
    const struct sg_layout_part *part = &l->input->parts[placement->part];
    long long length = whole(placement->turned ? part->width : part->length);
    long long width = whole(placement->turned ? part->length : part->width);
    long long x = whole_place(l, placement->x), y = whole_place(l, placement->y);
    must(part->turn || placement->turned == l->input->across, "%s: part %d may not lie so", l->name,
         placement->part);
    return (struct place){x, y, x + length, y + width};
}

/* Nearer to each other than the gap. */
static bool too_near(const struct place *a, const struct place *b, long long gap)
{
    return a->x0 < b->x1 + gap && b->x0 < a->x1 + gap && a->y0 < b->y1 + gap && b->y0 < a->y1 + gap;
}

static void ck_on_sheet(const struct looked *l, const struct place *p, const struct sg_layout_sheet *sheet)
{
    must(p->x0 >= l->margin && p->y0 >= l->margin && p->x1 <= whole(sheet->length) - l->margin &&
             p->y1 <= whole(sheet->width) - l->margin,
         "%s: a piece at %lld, %lld reaches into the margin", l->name, p->x0, p->y0);
    for (int i = 0; i < l->input->n_clamps; i++) {
        const struct sg_layout_clamp *clamp = &l->input->clamps[i];
        struct place kept = {whole(clamp->x), whole(clamp->y), whole(clamp->x) + whole(clamp->length),
                             whole(clamp->y) + whole(clamp->width)};
        must(!too_near(p, &kept, 0), "%s: a piece at %lld, %lld reaches into clamp %d", l->name, p->x0, p->y0,
             i);
    }
}

static void ck_drop(const struct looked *l, const struct sg_layout_used *used, const struct place *places)
{
    if (used->drop_length == 0)
        return;
    struct place drop = {whole_place(l, used->drop_x), whole_place(l, used->drop_y), 0, 0};
    drop.x1 = drop.x0 + whole_place(l, used->drop_length);
    drop.y1 = drop.y0 + whole_place(l, used->drop_width);
    must_hold(drop.x1 > drop.x0 && drop.y1 > drop.y0);
    ck_on_sheet(l, &drop, &l->input->sheets[used->size]);
    for (long long i = 0; i < used->n_pieces; i++)
        must(!too_near(&drop, &places[i], l->gap), "%s: the drop is not free", l->name);
}

static void ck_sheet(const struct looked *l, const struct sg_layout_used *used)
{
    struct place *places = calloc((size_t)used->n_pieces, sizeof *places);
    must_hold(places != NULL);
    for (long long i = 0; i < used->n_pieces; i++) {
        places[i] = place_of(l, &l->layout->placements[used->first + i]);
        ck_on_sheet(l, &places[i], &l->input->sheets[used->size]);
        for (long long k = 0; k < i; k++)
            must(!too_near(&places[i], &places[k], l->gap), "%s: pieces %lld and %lld of a sheet overlap",
                 l->name, k, i);
    }
    ck_drop(l, used, places);
    free(places);
}

static double area_of_sheet(const struct looked *l, const struct sg_layout_used *used)
{
    const struct sg_layout_sheet *sheet = &l->input->sheets[used->size];
    return sheet->length * sheet->width * (double)used->copies;
}

/* Each piece once; what is not placed is told. */
static void ck_counts(const struct looked *l, const long long *placed)
{
    long long missing = 0;
    int too_large = -1;
    for (int i = 0; i < l->input->n_parts; i++) {
        const struct sg_layout_part *part = &l->input->parts[i];
        long long wanted = part->quantity > 0 ? part->quantity : 0;
        must(placed[i] <= wanted, "%s: %lld of part %d, wanted %lld", l->name, placed[i], i, wanted);
        missing += wanted - placed[i];
        if (placed[i] == 0 && wanted > 0 && too_large < 0 && l->layout->too_large == i) {
            too_large = i;
            missing -= wanted;
        }
    }
    must(too_large == l->layout->too_large, "%s: the part too large is placed", l->name);
    if (too_large < 0) /* of further ones that are too large nothing is said */
        must(missing == l->layout->unplaced, "%s: %lld pieces are missing, %lld are told", l->name, missing,
             (long long)l->layout->unplaced);
    else
        must_hold(missing >= l->layout->unplaced);
}

static void ck_totals(const struct looked *l, const long long *on_hand, const long long *placed)
{
    const struct sg_layout *layout = l->layout;
    long long sheets = 0;
    double pieces = 0, area = 0;
    for (int i = 0; i < layout->n_used; i++) {
        sheets += layout->used[i].copies;
        area += area_of_sheet(l, &layout->used[i]);
    }
    for (int i = 0; i < l->input->n_parts; i++)
        pieces += l->input->parts[i].length * l->input->parts[i].width * (double)placed[i];
    must(sheets == layout->sheets, "%s: %lld sheets, %lld told", l->name, sheets, (long long)layout->sheets);
    must_hold(area == 0 ? layout->utilisation == 0 : fabs(layout->utilisation - pieces / area) < 1e-9);
    for (int i = 0; i < l->input->n_sheets; i++)
        must(l->input->sheets[i].count < 0 || on_hand[i] <= l->input->sheets[i].count,
             "%s: %lld sheets of size %d", l->name, on_hand[i], i);
    if (layout->unplaced == 0)
        must(layout->lower_bound <= layout->sheets, "%s: the bound is %lld, the sheets %lld", l->name,
             (long long)layout->lower_bound, (long long)layout->sheets);
}

void ck_layout(const struct sg_layout_input *input, const struct sg_layout *layout, const char *name)
{
    struct looked l = {input, layout, name, whole(input->gap), whole(input->margin)};
    long long *placed = calloc((size_t)input->n_parts + 1, sizeof *placed);
    long long *on_hand = calloc((size_t)input->n_sheets + 1, sizeof *on_hand);
    long long next = 0;
    must_hold(placed != NULL && on_hand != NULL);
    for (int i = 0; i < layout->n_used; i++) {
        const struct sg_layout_used *used = &layout->used[i];
        must_hold(used->size >= 0 && used->size < input->n_sheets);
        must_hold(used->copies > 0 && used->n_pieces > 0 && used->first == next);
        next += used->n_pieces;
        on_hand[used->size] += used->copies;
        for (long long k = 0; k < used->n_pieces; k++) {
            must_hold(layout->placements[used->first + k].part >= 0);
            must_hold(layout->placements[used->first + k].part < input->n_parts);
            placed[layout->placements[used->first + k].part] += used->copies;
        }
        ck_sheet(&l, used);
    }
    must_hold(next == layout->n_placements);
    ck_counts(&l, placed);
    ck_totals(&l, on_hand, placed);
    free(placed);
    free(on_hand);
}
