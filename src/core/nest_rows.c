/* Rows of equal pieces that interlock: every one alike, or every second one turned by 180 degrees and moved
 * across; and rows that settle into each other, every second one moved along. A row needs no look at pieces
 * that are not neighbours: what is right of the reach of one is free of it. */
#include "nest_inside.h"

#include <math.h>

enum { LEVELS = 8, LEVELS_MOST = 40, NARROW = 5, SHIFTS = 8, FAR = 4 };
enum { ROW_LOOKS = 50 * 1000 * 1000 }; /* further parts count as boxes among their like */

static int64_t whole_up(double x)
{
    return (int64_t)ceil(x - SG_NEST_FUZZ);
}

/* ---- what a block takes ---- */

/* A piece's place along and across, from the first piece of the first row. */
static void place_in(const struct sg_nest_row *row, int64_t i, int64_t of_row, int64_t *along,
                     int64_t *across)
{
    bool second = row->alternate && i % 2 == 1;
    int64_t pairs = row->alternate ? i / 2 : i;
    *along = pairs * row->pitch + (second ? row->second : 0) + (of_row % 2 ? row->shift : 0);
    *across = (second ? row->second_across : 0) + of_row * row->rise;
}

/* The corner of the box around it all, from the first piece. */
static void least_of(const struct sg_nest_row *row, const struct sg_nest_block *block, int64_t *along,
                     int64_t *across)
{
    bool second = row->alternate && block->n > 1;
    *along = sg_lesser(0, second ? row->second : 0) + sg_lesser(0, block->rows > 1 ? row->shift : 0);
    *across = sg_lesser(0, second ? row->second_across : 0);
}

void sg_nest_block_size(const struct sg_nest *nest, struct sg_nest_block *block)
{
    const struct sg_nest_shape *shape = &nest->shapes[nest->kinds[block->kind].part];
    block->length = shape->length;
    block->width = shape->width;
    if (block->row < 0)
        return;
    const struct sg_nest_row *row = &nest->rows[block->row];
    int64_t least_along, least_across, along = 0, across = 0, most_along = 0, most_across = 0;
    least_of(row, block, &least_along, &least_across);
    for (int64_t i = sg_greater(0, block->n - 2); i < block->n; i++)
        for (int64_t r = 0; r < sg_lesser(2, block->rows); r++) {
            place_in(row, i, r, &along, &across);
            most_along = sg_greater(most_along, along);
            most_across = sg_greater(most_across, across - r * row->rise);
        }
    most_across += (block->rows - 1) * row->rise;
    int64_t length = most_along - least_along + (row->up ? shape->width : shape->length);
    int64_t width = most_across - least_across + (row->up ? shape->length : shape->width);
    block->length = row->up ? width : length;
    block->width = row->up ? length : width;
}

struct sg_nest_inner sg_nest_block_piece(const struct sg_nest *nest, const struct sg_nest_block *block,
                                         int64_t i, int64_t of_row)
{
    struct sg_nest_inner piece = {.part = nest->kinds[block->kind].part};
    if (block->row < 0)
        return piece;
    const struct sg_nest_row *row = &nest->rows[block->row];
    int64_t least_along, least_across, along, across;
    least_of(row, block, &least_along, &least_across);
    place_in(row, i, of_row, &along, &across);
    along -= least_along;
    across -= least_across;
    piece.x = row->up ? across : along;
    piece.y = row->up ? along : across;
    piece.q = row->alternate && i % 2 == 1 ? 2 : 0;
    return piece;
}

/* ---- rows of a part ---- */

struct search {
    struct sg_nest *nest;
    const struct sg_nest_view *one, *other; /* as drawn, and turned by 180 degrees */
    double gap;
    struct sg_nest_row row;               /* part and direction of all of them */
    struct sg_nest_row densest, smallest; /* by the room of a piece in a long row, of a pair in its box */
    struct sg_nest_row flush;             /* a pair on one level, if it is worth having */
    double least_room, least_box;
};

static double room(const struct search *s, double length, double width)
{
    return (length + s->nest->gap) * (width + s->nest->gap);
}

/* The row in which the turned ones lie at h. */
static void try_level(struct search *s, double h)
{
    const struct sg_nest_view *one = s->one, *other = s->other;
    double there = sg_nest_reach(s->nest, one, other, h, s->gap);
    double back = sg_nest_reach(s->nest, other, one, -h, s->gap);
    if (!(there > -one->length) || !(back > -one->length))
        return;
    struct sg_nest_row row = s->row;
    row.alternate = true;
    row.second = whole_up(there);
    row.second_across = (int64_t)h;
    row.pitch = sg_greater(row.second + whole_up(back), s->row.pitch);
    double width = one->width + fabs(h), piece = (double)row.pitch / 2 * (width + s->nest->gap);
    double pair = room(s, fmax(one->length, there + one->length) - fmin(0, there), width);
    if (h == 0 && pair < 2 * room(s, one->length, one->width) * SG_NEST_WORTH)
        s->flush = row;
    if (piece < s->least_room) {
        s->least_room = piece;
        s->densest = row;
    }
    if (pair < s->least_box) {
        s->least_box = pair;
        s->smallest = row;
    }
}

static int add_level(double *levels, int n, double h, double most)
{
    if (n == LEVELS_MOST || !(fabs(h) < most))
        return n;
    for (int i = 0; i < n; i++)
        if (levels[i] == h)
            return n;
    levels[n] = h;
    return n + 1;
}

static bool is_level(const struct sg_nest_edge *edge, double least)
{
    return edge->y0 == edge->y1 && fabs(edge->x1 - edge->x0) >= least;
}

/* Where level edges come to lie on each other, with the gap between; and steps. */
static int levels_of(const struct search *s, double *levels)
{
    const struct sg_nest_edge *a = s->nest->edges + s->one->edges, *b = s->nest->edges + s->other->edges;
    double most = s->one->width + s->gap, gap = ceil(s->gap), least = s->one->length / 16;
    int n = add_level(levels, 0, 0, most);
    for (int32_t i = 0; i < s->one->n; i++)
        for (int32_t k = 0; k < s->other->n && is_level(&a[i], least); k++)
            if (is_level(&b[k], least)) {
                n = add_level(levels, n, nearbyint(a[i].y0 - b[k].y0) + gap, most);
                n = add_level(levels, n, nearbyint(a[i].y0 - b[k].y0) - gap, most);
            }
    for (int i = 1; i < LEVELS; i++) {
        double h = floor(most * i / LEVELS);
        n = add_level(levels, n, h, most);
        n = add_level(levels, n, -h, most);
    }
    return n;
}

static void narrow(struct search *s, const struct sg_nest_row *around)
{
    double step = s->one->width / LEVELS;
    for (int i = 0; i < NARROW; i++) {
        double h = (double)around->second_across; /* of the best so far */
        step = floor(step / 2);
        try_level(s, h + step);
        try_level(s, h - step);
    }
}

static void add_row(struct sg_nest *nest, struct sg_nest_row row)
{
    if (sg_nest_room(nest, &nest->rows, &nest->rows_room, nest->n_rows + 1, sizeof *nest->rows))
        nest->rows[nest->n_rows++] = row;
}

/* ---- rows that settle into each other ---- */

/* How far up the next row has to be when it is moved by `shift`: every piece of it over all of this one. The
 * views are those with x and y exchanged. What is `enough` or more is not looked at further. */
static double rise_of(struct search *s, const struct sg_nest_row *row, double shift, double enough)
{
    struct sg_nest *nest = s->nest;
    const struct sg_nest_view *views[2] = {sg_nest_view(nest, row->part, !row->up, 0),
                                           sg_nest_view(nest, row->part, !row->up, 2)};
    double rise = 0, along[2] = {0, (double)row->second}, across[2] = {0, (double)row->second_across};
    int n = row->alternate ? 2 : 1;
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++)
            for (int m = -FAR; m <= FAR && rise < enough; m++) {
                double off = along[k] - along[i] + shift + m * (double)row->pitch;
                if (fabs(off) < views[0]->width + s->gap)
                    rise = fmax(rise,
                                sg_nest_reach(nest, views[i], views[k], off, s->gap) + across[i] - across[k]);
            }
    return rise;
}

/* Rows of a row: alike, every second one moved. Only where a row's pieces lie so near that FAR reaches. */
static void try_rows(struct search *s, const struct sg_nest_row *row, double width)
{
    double alone = (width + s->nest->gap) * SG_NEST_WORTH, best = alone, pitch = (double)row->pitch;
    if (pitch * FAR < 2 * s->one->length)
        return;
    struct sg_nest_row rows = *row;
    double alike = rise_of(s, row, 0, 2 * alone);
    for (int i = 0; i < SHIFTS; i++) {
        double shift = floor(pitch * i / SHIFTS), rise = fmax(rise_of(s, row, shift, best), alike / 2);
        if (rise < best)
            rise = fmax(rise, rise_of(s, row, -shift, best));
        if (rise >= best)
            continue;
        best = rise;
        rows.shift = (int64_t)shift;
    }
    if (best >= alone)
        return;
    rows.rise = whole_up(best);
    add_row(s->nest, rows);
}

static void rows_along(struct sg_nest *nest, int32_t part, bool up)
{
    struct search s = {.nest = nest, .row = {.part = part, .up = up}};
    s.one = sg_nest_view(nest, part, up, 0);
    s.other = sg_nest_view(nest, part, up, 2);
    s.gap = sg_nest_gap(nest, part, part);
    double levels[LEVELS_MOST], alone = room(&s, s.one->length, s.one->width);
    s.row.pitch = whole_up(sg_nest_reach(nest, s.one, s.one, 0, s.gap));
    s.least_room = alone * SG_NEST_WORTH;
    s.least_box = 2 * alone * SG_NEST_WORTH;
    double alike = (double)s.row.pitch * (s.one->width + nest->gap);
    if (alike < s.least_room) {
        s.least_room = alike * SG_NEST_WORTH;
        add_row(nest, s.row);
    }
    try_rows(&s, &s.row, s.one->width);
    for (int i = 0, n = levels_of(&s, levels); i < n && !nest->failed; i++)
        try_level(&s, levels[i]);
    if (s.densest.alternate) {
        narrow(&s, &s.densest);
        add_row(nest, s.densest);
        try_rows(&s, &s.densest, s.one->width + fabs((double)s.densest.second_across));
    }
    if (s.smallest.alternate) {
        narrow(&s, &s.smallest);
        if (s.smallest.second_across != s.densest.second_across || !s.densest.alternate)
            add_row(nest, s.smallest);
    }
    if (s.flush.alternate && (!s.densest.alternate || s.densest.second_across != 0) &&
        (!s.smallest.alternate || s.smallest.second_across != 0))
        add_row(nest, s.flush);
}

void sg_nest_rows(struct sg_nest *nest)
{
    nest->n_rows = 0;
    for (int32_t i = 0; i < nest->input->boxes.n_parts && !nest->failed; i++) {
        struct sg_nest_shape *shape = &nest->shapes[i];
        shape->first_row = (int32_t)nest->n_rows;
        if (shape->boxed || nest->input->boxes.parts[i].quantity < 2 || nest->looks > ROW_LOOKS)
            continue;
        rows_along(nest, i, false);
        rows_along(nest, i, true);
        shape->n_rows = (int32_t)nest->n_rows - shape->first_row;
    }
}
