/* Mixes of blocks: for each kind of piece a policy says how long its rows are; the layout of boxes does the
 * rest, and the best is kept. */
#include "nest_inside.h"

#include <limits.h>

/* How many pieces a block has: so many, or as many as fit a side of the sheet. */
enum length { SINGLE, PAIR, FOUR, HALF, SHORT, LONG, DOUBLE, FULL, LENGTHS };
/* Any blocks, those no wider than a piece, those no longer: they may fit where such that take a little less
 * room do not. */
enum direction { ANY, ALONG, UP, DIRECTIONS };
enum { MIX_LOOKS = 30 * 1000 * 1000 }; /* after so many at free rectangles no further mix is laid out */
enum { POLICIES = LENGTHS * DIRECTIONS };

/* ---- a block ---- */

/* On a bare sheet of any size, turned or not. */
static bool fits(const struct sg_nest *nest, const struct sg_nest_block *block, bool turn)
{
    const struct sg_lay *lay = nest->lay;
    for (int32_t i = 0; i < lay->n_sizes; i++)
        for (int32_t k = 0; k < lay->sizes[i].empty.n && lay->sizes[i].count > 0; k++) {
            const struct sg_rect *r = &lay->sizes[i].empty.rects[k];
            int64_t l = r->x1 - r->x0 - lay->gap, w = r->y1 - r->y0 - lay->gap;
            if ((block->length <= l && block->width <= w) ||
                (turn && block->length <= w && block->width <= l))
                return true;
        }
    return false;
}

/* The length that a row may have: any, or less for other mixes. */
static int64_t length_for(const struct sg_nest *nest, bool up, bool turn, enum length policy)
{
    int64_t l = nest->limit_length, w = nest->limit_width;
    int64_t own = turn ? sg_greater(l, w) : up ? w : l;
    if (policy == HALF)
        return own / 2;
    return policy != SHORT ? INT64_MAX : turn ? sg_lesser(l, w) : own * 3 / 4;
}

/* As many pieces in a row as fit into a length and on a sheet, `most` at most. */
static int64_t count_along(const struct sg_nest *nest, struct sg_nest_block block, enum length policy,
                           int64_t most)
{
    bool up = nest->rows[block.row].up, turn = nest->shapes[nest->kinds[block.kind].part].turn;
    int64_t low = 1, high = most, length = length_for(nest, up, turn, policy);
    block.rows = 1;
    while (low < high) {
        int64_t middle = low + (high - low + 1) / 2;
        block.n = middle;
        sg_nest_block_size(nest, &block);
        if ((up ? block.width : block.length) <= length && fits(nest, &block, turn))
            low = middle;
        else
            high = middle - 1;
    }
    return low;
}

static int64_t count_rows(const struct sg_nest *nest, struct sg_nest_block block, bool turn, int64_t most)
{
    for (block.rows = 2; block.rows <= most; block.rows++) {
        sg_nest_block_size(nest, &block);
        if (!fits(nest, &block, turn))
            break;
    }
    return block.rows - 1;
}

/* The block of a row by a policy, of `quantity` pieces at most. */
static struct sg_nest_block block_by(const struct sg_nest *nest, int32_t kind, int32_t row_index,
                                     enum length policy, int64_t quantity)
{
    const struct sg_nest_row *row = &nest->rows[row_index];
    bool turn = nest->shapes[nest->kinds[kind].part].turn;
    struct sg_nest_block block = {.kind = kind, .row = row_index, .rows = 1};
    block.n = policy == PAIR || policy == FOUR ? sg_lesser(quantity, policy == PAIR ? 2 : 4)
                                               : count_along(nest, block, policy, quantity);
    int64_t most = quantity / block.n;
    if (row->rise > 0 && most > 1 && policy != LONG)
        block.rows = policy == FULL || policy == SHORT ? count_rows(nest, block, turn, most) : 2;
    sg_nest_block_size(nest, &block);
    if (!fits(nest, &block, turn))
        block.n = 0;
    return block;
}

static double room_of(const struct sg_nest *nest, const struct sg_nest_block *block)
{
    return ((double)block->length + nest->gap) * ((double)block->width + nest->gap) /
           (double)(block->n * block->rows);
}

/* The block that takes the least room of all up to a policy; a single piece where none is worth it. */
static struct sg_nest_block best_block(const struct sg_nest *nest, int32_t kind, int policy, int64_t quantity)
{
    struct sg_nest_block best = {.kind = kind, .row = -1, .n = 1, .rows = 1};
    sg_nest_block_size(nest, &best);
    double least = room_of(nest, &best) * SG_NEST_WORTH;
    if (nest->kinds[kind].bays)
        return best;
    const struct sg_nest_shape *shape = &nest->shapes[nest->kinds[kind].part];
    for (int32_t row = shape->first_row; row < shape->first_row + shape->n_rows; row++)
        for (int p = PAIR; p <= policy % LENGTHS; p++) {
            struct sg_nest_block block = block_by(nest, kind, row, (enum length)p, quantity);
            if (block.n * block.rows < 2 || room_of(nest, &block) >= least ||
                (policy / LENGTHS == ALONG && block.width > shape->width) ||
                (policy / LENGTHS == UP && block.length > shape->length))
                continue;
            least = room_of(nest, &block);
            best = block;
        }
    return best;
}

static void add_block(struct sg_nest *nest, const struct sg_nest_block *block, int64_t copies)
{
    if (!sg_nest_room(nest, &nest->blocks, &nest->blocks_room, nest->n_blocks + 1, sizeof *nest->blocks) ||
        !sg_nest_room(nest, &nest->parts, &nest->parts_room, nest->n_blocks + 1, sizeof *nest->parts))
        return;
    nest->parts[nest->n_blocks] = (struct sg_layout_part){(double)block->length / SG_LAYOUT_UNITS,
                                                          (double)block->width / SG_LAYOUT_UNITS, copies,
                                                          nest->shapes[nest->kinds[block->kind].part].turn};
    nest->blocks[nest->n_blocks++] = *block;
}

static void add_blocks(struct sg_nest *nest, int32_t kind, int policy)
{
    for (int64_t left = nest->kinds[kind].quantity; left > 0 && !nest->failed;) {
        struct sg_nest_block block = best_block(nest, kind, policy, left);
        int64_t pieces = block.n * block.rows;
        add_block(nest, &block, left / pieces);
        left %= pieces;
    }
}

/* ---- back to pieces ---- */

static void put(struct sg_nest *nest, const struct sg_placement *block_at, const struct sg_nest_block *block,
                const struct sg_nest_inner *piece)
{
    const struct sg_nest_shape *shape = &nest->shapes[piece->part];
    struct sg_nest_result *to = &nest->other;
    bool lies = piece->q % 2 == 1;
    int64_t width = lies ? shape->length : shape->width, x = piece->x, y = piece->y;
    int q = piece->q;
    if (block_at->turned) {
        x = block->width - piece->y - width;
        y = piece->x;
        q = (q + 1) % 4;
    }
    to->placements[to->n_placements++] =
        (struct sg_placement){piece->part, q % 2 == 1, q >= 2, block_at->x + (double)x / SG_LAYOUT_UNITS,
                              block_at->y + (double)y / SG_LAYOUT_UNITS};
}

/* What lies in a piece of a block, from the piece as drawn to the block. */
static struct sg_nest_inner within(const struct sg_nest *nest, const struct sg_nest_inner *host,
                                   const struct sg_nest_inner *inner)
{
    const struct sg_nest_shape *around = &nest->shapes[host->part], *shape = &nest->shapes[inner->part];
    struct sg_nest_inner piece = *inner;
    if (host->q == 2) {
        bool lies = inner->q % 2 == 1;
        piece.x = around->length - inner->x - (lies ? shape->width : shape->length);
        piece.y = around->width - inner->y - (lies ? shape->length : shape->width);
        piece.q = (inner->q + 2) % 4;
    }
    piece.x += host->x;
    piece.y += host->y;
    return piece;
}

static int64_t pieces_in(const struct sg_nest *nest, const struct sg_nest_block *block)
{
    return block->n * block->rows * (1 + nest->kinds[block->kind].n_inner);
}

static double put_block(struct sg_nest *nest, const struct sg_placement *at)
{
    const struct sg_nest_block *block = &nest->blocks[at->part];
    const struct sg_nest_kind *kind = &nest->kinds[block->kind];
    struct sg_nest_result *to = &nest->other;
    double area = 0;
    if (!sg_nest_room(nest, &to->placements, &to->placements_room, to->n_placements + pieces_in(nest, block),
                      sizeof *to->placements))
        return 0;
    for (int64_t row = 0; row < block->rows; row++)
        for (int64_t i = 0; i < block->n; i++) {
            struct sg_nest_inner host = sg_nest_block_piece(nest, block, i, row);
            put(nest, at, block, &host);
            area += nest->shapes[kind->part].area;
            for (int32_t k = 0; k < kind->n_inner; k++) {
                struct sg_nest_inner inner = within(nest, &host, &nest->inner[kind->inner + k]);
                put(nest, at, block, &inner);
                area += nest->shapes[inner.part].area;
            }
        }
    return area;
}

/* The layout of blocks as one of pieces, in nest->other. */
static void take_trial(struct sg_nest *nest)
{
    const struct sg_layout *trial = &nest->trial;
    struct sg_nest_result *to = &nest->other;
    to->n_placements = to->cost = to->n_used = 0;
    to->unplaced = nest->lay->n_pieces;
    to->emptiest = INT64_MAX;
    if (!sg_nest_room(nest, &to->used, &to->used_room, trial->n_used, sizeof *to->used))
        return;
    for (int32_t i = 0; i < trial->n_used && !nest->failed; i++) {
        struct sg_layout_used used = trial->used[i];
        double area = 0;
        used.first = to->n_placements;
        for (int64_t k = 0; k < trial->used[i].n_pieces && !nest->failed; k++)
            area += put_block(nest, &trial->placements[trial->used[i].first + k]);
        used.n_pieces = to->n_placements - used.first;
        to->unplaced -= used.n_pieces * used.copies;
        to->cost += nest->lay->sizes[used.size].cost * used.copies;
        to->emptiest = sg_lesser(to->emptiest, (int64_t)area);
        to->used[to->n_used++] = used;
    }
}

/* ---- mixes ---- */

static struct sg_score score_of(const struct sg_nest_result *result)
{
    return (struct sg_score){result->unplaced, result->cost, result->emptiest};
}

/* Whether the same blocks were laid out before, by a number made of them; of the last SG_NEST_TRIED. */
static bool was_tried(struct sg_nest *nest)
{
    uint64_t number = 14695981039346656037u;
    for (int64_t i = 0; i < nest->n_blocks; i++) {
        const struct sg_nest_block *b = &nest->blocks[i];
        const int64_t words[] = {b->kind, b->row, b->n, b->rows, nest->parts[i].quantity};
        for (size_t k = 0; k < sizeof words / sizeof *words; k++)
            number = (number ^ (uint64_t)words[k]) * 1099511628211u;
    }
    for (int i = 0; i < SG_NEST_TRIED && i < nest->n_tried; i++)
        if (nest->tried[i] == number)
            return true;
    nest->tried[nest->n_tried++ % SG_NEST_TRIED] = number;
    return false;
}

/* Lay out the kinds by their policies; whether it is the best so far. */
static bool try_mix(struct sg_nest *nest, int32_t effort)
{
    struct sg_layout_input input = nest->input->boxes;
    nest->n_blocks = 0;
    for (int64_t i = nest->first_kind; i < nest->first_kind + nest->n_kinds; i++)
        add_blocks(nest, (int32_t)i, nest->policies[i]);
    if (nest->failed || (was_tried(nest) && effort <= 0))
        return false;
    input.parts = nest->parts;
    input.n_parts = (int32_t)nest->n_blocks;
    input.sheets = nest->sheets;
    input.clamps = nest->clamps;
    input.gap = nest->gap / SG_LAYOUT_UNITS;
    input.margin = (double)sg_nest_up(input.margin) / SG_LAYOUT_UNITS;
    input.effort = effort;
    if (!sg_layout_make(&input, &nest->trial)) {
        nest->failed = true;
        return false;
    }
    nest->mix_looks += nest->trial.looks;
    if (nest->trial.too_large >= 0)
        return false;
    take_trial(nest);
    struct sg_score one = score_of(&nest->other), best = score_of(&nest->best);
    if (nest->failed || !sg_score_less(&one, &best))
        return false;
    struct sg_nest_result better = nest->other;
    nest->other = nest->best;
    nest->best = better;
    return true;
}

/* Nothing better is to be had, or for no more work. */
static bool at_end(const struct sg_nest *nest, int64_t bound)
{
    return nest->failed || nest->mix_looks > MIX_LOOKS ||
           (nest->best.unplaced == 0 && nest->best.cost <= bound * SG_SHEET_COST);
}

/* The kinds of a filling, made once; false where nothing lies in another, as with the plain ones. */
static bool take_kinds(struct sg_nest *nest, int filling)
{
    if (!nest->sets[filling].made)
        sg_nest_kinds(nest, filling);
    nest->first_kind = nest->sets[filling].first;
    nest->n_kinds = nest->sets[filling].n;
    return sg_nest_room(nest, &nest->policies, &nest->policies_room, nest->first_kind + nest->n_kinds,
                        sizeof *nest->policies) &&
           (filling == SG_NEST_PLAIN || nest->sets[filling].some);
}

static void set_all(struct sg_nest *nest, int policy)
{
    for (int64_t i = 0; i < nest->n_kinds; i++)
        nest->policies[nest->first_kind + i] = policy;
}

/* All kinds by one policy: in the order of what gains most, as measured over jobs drawn at random. */
struct mix {
    int filling, policy;
};
#define BY(length, direction) ((length) + LENGTHS * (direction))
static const struct mix alike[] = {
    {SG_NEST_BAYS, PAIR},
    {SG_NEST_PLAIN, PAIR},
    {SG_NEST_HOLES, PAIR},
    {SG_NEST_HOLES, SINGLE},
    {SG_NEST_BAYS, SINGLE},
    {SG_NEST_PLAIN, LONG},
    {SG_NEST_PLAIN, FOUR},
    {SG_NEST_HOLES, LONG},
    {SG_NEST_PLAIN, FULL},
    {SG_NEST_PLAIN, SHORT},
    {SG_NEST_PLAIN, BY(PAIR, ALONG)},
    {SG_NEST_PLAIN, BY(PAIR, UP)},
    {SG_NEST_BAYS, LONG},
    {SG_NEST_PLAIN, HALF},
    {SG_NEST_PLAIN, BY(LONG, ALONG)},
    {SG_NEST_PLAIN, BY(LONG, UP)},
    {SG_NEST_BAYS, BY(SHORT, UP)},
    {SG_NEST_PLAIN, BY(FOUR, ALONG)},
    {SG_NEST_PLAIN, BY(FOUR, UP)},
    {SG_NEST_HOLES, HALF},
    {SG_NEST_HOLES, FULL},
    {SG_NEST_BAYS, HALF},
    {SG_NEST_BAYS, FOUR},
    {SG_NEST_PLAIN, DOUBLE},
    {SG_NEST_HOLES, FOUR},
    {SG_NEST_PLAIN, BY(FULL, ALONG)},
    {SG_NEST_PLAIN, BY(FULL, UP)},
};
enum { ALIKE = sizeof alike / sizeof *alike, ALIKE_FIRST = 12 };

/* The mixes from one on; the best is told. */
static void try_alike(struct sg_nest *nest, int64_t bound, int from, int to, int until, struct mix *best)
{
    for (int i = from; i < to && nest->n_tried < until && !at_end(nest, bound); i++)
        if (take_kinds(nest, alike[i].filling)) {
            set_all(nest, alike[i].policy);
            if (try_mix(nest, 0))
                *best = alike[i];
        }
}

/* One kind after another by another policy. */
static void try_unlike(struct sg_nest *nest, int64_t bound, int until)
{
    for (int64_t i = nest->first_kind; i < nest->first_kind + nest->n_kinds; i++)
        for (int policy = SINGLE; policy < POLICIES; policy++) {
            int before = nest->policies[i];
            if (policy == before || nest->shapes[nest->kinds[i].part].n_rows == 0)
                continue;
            if (nest->n_tried >= until || at_end(nest, bound))
                return;
            nest->policies[i] = policy;
            if (!try_mix(nest, 0))
                nest->policies[i] = before;
        }
}

bool sg_nest_mixes(struct sg_nest *nest, int64_t unplaced, int64_t cost, int64_t bound)
{
    struct mix best = {SG_NEST_PLAIN, SINGLE};
    nest->best.unplaced = unplaced;
    nest->best.cost = cost;
    nest->best.emptiest = 0; /* only fewer sheets are better than boxes */
    nest->n_tried = 0;
    nest->mix_looks = 0;
    nest->n_all_kinds = nest->n_inner = 0;
    for (int i = 0; i < SG_NEST_FILLINGS; i++)
        nest->sets[i].made = false;
    try_alike(nest, bound, 0, ALIKE_FIRST, INT_MAX, &best);
    int until = nest->n_tried + (nest->input->effort > 0 ? nest->input->effort : 0);
    if (nest->input->boxes.effort > 0 && !at_end(nest, bound)) {
        take_kinds(nest, best.filling);
        set_all(nest, best.policy);
        try_mix(nest, nest->input->boxes.effort);
    }
    try_alike(nest, bound, ALIKE_FIRST, ALIKE, until, &best);
    take_kinds(nest, best.filling);
    set_all(nest, best.policy);
    try_unlike(nest, bound, until);
    return !nest->failed && (nest->best.unplaced < unplaced || nest->best.cost < cost);
}
