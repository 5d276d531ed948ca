#include "sandglass/cut_order.h"

#include "sandglass/sheet.h"
#include "sandglass/sort.h"

#include <math.h>
#include <string.h>

static const double same_column = 1e-3; /* mm */

static double along(const struct sg_cut_order *how, const struct sg_placement *p)
{
    const struct sg_layout_part *part = &how->parts[p->part];
    return p->turned ? part->width : part->length;
}

int32_t sg_placement_moves(const struct sg_cut_order *how, const struct sg_placement *placement)
{
    return (int32_t)sg_index_moves(placement->x + along(how, placement) + how->margin, how->table_length);
}

bool sg_placement_crosses(const struct sg_cut_order *how, const struct sg_placement *placement)
{
    double line = sg_placement_moves(how, placement) * how->table_length;
    return placement->x < line - same_column && placement->x + along(how, placement) > line + same_column;
}

static int by_key(const void *a, const void *b)
{
    const struct sg_cut_key *x = a, *y = b;
    if (x->moves != y->moves)
        return x->moves < y->moves ? -1 : 1;
    if (x->small != y->small)
        return x->small < y->small ? -1 : 1;
    if (x->group != y->group)
        return x->group < y->group ? -1 : 1;
    if (x->part != y->part)
        return x->part < y->part ? -1 : 1;
    if (x->x != y->x)
        return x->x < y->x ? -1 : 1;
    if (x->y != y->y)
        return x->y < y->y ? -1 : 1;
    return (x->index > y->index) - (x->index < y->index);
}

static struct sg_cut_key key_of(const struct sg_cut_order *how, const struct sg_placement *p, int32_t index)
{
    const struct sg_layout_part *part = &how->parts[p->part];
    bool tips = fmax(part->length, part->width) < how->slat_pitch;
    return (struct sg_cut_key){.moves = sg_placement_moves(how, p),
                               .small = !tips,
                               .group = how->interlocked ? part->length * part->width : 0,
                               .part = p->part,
                               .x = floor(p->x / same_column + 0.5) * same_column,
                               .y = p->y,
                               .index = index};
}

static bool same_run(const struct sg_cut_key *a, const struct sg_cut_key *b)
{
    return a->moves == b->moves && a->small == b->small && a->part == b->part;
}

/* The rapids of a table of columns: up one, down the next. */
static void turn_columns(struct sg_cut_key *keys, int32_t n)
{
    bool down = false;
    for (int32_t i = 0, end; i < n; i = end) {
        for (end = i + 1; end < n && same_run(&keys[i], &keys[end]) && keys[end].x == keys[i].x; end++)
            ;
        down = i > 0 && same_run(&keys[i - 1], &keys[i]) && !down;
        for (int32_t a = i, b = end - 1; down && a < b; a++, b--) {
            struct sg_cut_key other = keys[a];
            keys[a] = keys[b];
            keys[b] = other;
        }
    }
}

void sg_cut_order(const struct sg_cut_order *how, struct sg_placement *placements, int32_t n,
                  struct sg_cut_key *keys, struct sg_placement *scratch)
{
    for (int32_t i = 0; i < n; i++)
        keys[i] = key_of(how, &placements[i], i);
    sg_sort(keys, keys + n, n, sizeof *keys, by_key);
    turn_columns(keys, n);
    for (int32_t i = 0; i < n; i++)
        scratch[i] = placements[keys[i].index];
    if (n > 0)
        memcpy(placements, scratch, (size_t)n * sizeof *placements);
}
