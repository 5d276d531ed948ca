/* Improving a layout: the emptiest sheet and a few others are laid out again, in another order and by another
 * rule, and kept where the sheets get no less unlike in how full they are. So the emptiest one runs dry. No
 * step makes the layout worse, and the steps are the same however many there are: more effort never costs a
 * sheet. */
#include "layout_inside.h"

#include <stdlib.h>
#include <string.h>

enum {
    LOOKS = 1000, /* of one unit of effort */
    POOL_MOST = 4,
    FULL = 1 << 20 /* how full a sheet is when it is full */
};

struct slot { /* sheets filled alike, with pieces of their own */
    int32_t size, n;
    int64_t copies, area;
    struct sg_piece *pieces;
};

struct sg_search {
    struct slot *slots;
    int32_t n_slots;
    int64_t slots_room;
    struct sg_item *items;
    struct sg_key *keys;
    int64_t items_room, keys_room;
    int32_t n_items;
    int32_t pool[POOL_MOST]; /* indexes of slots */
    int n_pool;
    struct sg_filled filled[POOL_MOST];
    struct sg_answer trial;
    uint64_t random;
};

static uint32_t random_below(struct sg_search *search, uint32_t n)
{
    search->random ^= search->random << 13;
    search->random ^= search->random >> 7;
    search->random ^= search->random << 17;
    return (uint32_t)(((search->random * 0x2545F4914F6CDD1Du) >> 32) * n >> 32);
}

/* ---- from an answer and back ---- */

static struct sg_piece *copy_pieces(struct sg_lay *lay, const struct sg_piece *pieces, int32_t n)
{
    struct sg_piece *copy = malloc((size_t)n * sizeof *copy);
    if (copy)
        memcpy(copy, pieces, (size_t)n * sizeof *copy);
    lay->failed = lay->failed || !copy;
    return copy;
}

static bool add_slot(struct sg_lay *lay, struct slot slot)
{
    struct sg_search *search = lay->search;
    if (!slot.pieces || !sg_lay_room(lay, &search->slots, &search->slots_room, (int64_t)search->n_slots + 1,
                                     sizeof *search->slots)) {
        free(slot.pieces);
        return false;
    }
    search->slots[search->n_slots++] = slot;
    return true;
}

static void begin(struct sg_lay *lay)
{
    const struct sg_answer *best = &lay->best;
    for (int32_t i = 0; i < best->n_sheets; i++) {
        const struct sg_filled *sheet = &best->sheets[i];
        struct slot slot = {sheet->size, sheet->n, sheet->copies, sheet->area,
                            copy_pieces(lay, best->pieces + sheet->first, sheet->n)};
        if (!add_slot(lay, slot))
            return;
    }
}

static void forget(struct sg_search *search)
{
    for (int32_t i = 0; i < search->n_slots; i++)
        free(search->slots[i].pieces);
    search->n_slots = 0;
}

static void finish(struct sg_lay *lay)
{
    struct sg_answer *best = &lay->best;
    struct sg_search *search = lay->search;
    best->n_sheets = 0;
    best->n_pieces = 0;
    for (int32_t i = 0; i < search->n_slots; i++) {
        const struct slot *slot = &search->slots[i];
        if (!sg_lay_room(lay, &best->sheets, &best->sheets_room, (int64_t)best->n_sheets + 1,
                         sizeof *best->sheets) ||
            !sg_lay_room(lay, &best->pieces, &best->pieces_room, best->n_pieces + slot->n,
                         sizeof *best->pieces))
            return;
        best->sheets[best->n_sheets++] =
            (struct sg_filled){slot->size, slot->n, slot->copies, best->n_pieces, slot->area};
        memcpy(best->pieces + best->n_pieces, slot->pieces, (size_t)slot->n * sizeof *slot->pieces);
        best->n_pieces += slot->n;
    }
}

/* ---- a step ---- */

static int64_t fullness(const struct sg_lay *lay, int32_t size, int64_t area)
{
    return area * FULL / lay->sizes[size].area;
}

static int32_t find_emptiest(struct sg_lay *lay)
{
    const struct sg_search *search = lay->search;
    int32_t emptiest = 0;
    int64_t least = INT64_MAX;
    for (int32_t i = 0; i < search->n_slots; i++) {
        int64_t full = fullness(lay, search->slots[i].size, search->slots[i].area);
        if (full < least) {
            least = full;
            emptiest = i;
        }
    }
    lay->work += search->n_slots / 4;
    return emptiest;
}

static bool in_pool(const struct sg_search *search, int32_t slot)
{
    int64_t taken = 0;
    for (int i = 0; i < search->n_pool; i++)
        taken += search->pool[i] == slot;
    return taken >= search->slots[slot].copies;
}

/* The emptiest, nearly always, and one to three others; by size, so that the sheet that runs dry is one of
 * the last size. */
static void choose_pool(struct sg_lay *lay)
{
    struct sg_search *search = lay->search;
    uint32_t n = (uint32_t)search->n_slots;
    int want = 2 + (int)random_below(search, POOL_MOST - 1);
    search->n_pool = 0;
    search->pool[search->n_pool++] =
        random_below(search, 8) == 0 ? (int32_t)random_below(search, n) : find_emptiest(lay);
    for (int tries = 0; tries < 3 * POOL_MOST && search->n_pool < want; tries++) {
        int32_t slot = (int32_t)random_below(search, n);
        if (in_pool(search, slot))
            continue;
        int at = search->n_pool++;
        for (; at > 0 && search->slots[search->pool[at - 1]].size > search->slots[slot].size; at--)
            search->pool[at] = search->pool[at - 1];
        search->pool[at] = slot;
    }
}

static bool add_item(struct sg_lay *lay, int32_t box)
{
    struct sg_search *search = lay->search;
    if (!sg_lay_room(lay, &search->items, &search->items_room, (int64_t)search->n_items + 1,
                     sizeof *search->items))
        return false;
    search->items[search->n_items++] = (struct sg_item){.box = box, .left = 1};
    return true;
}

static bool gather(struct sg_lay *lay)
{
    struct sg_search *search = lay->search;
    search->n_items = 0;
    for (int i = 0; i < search->n_pool; i++) {
        const struct slot *slot = &search->slots[search->pool[i]];
        for (int32_t k = 0; k < slot->n; k++)
            if (!add_item(lay, slot->pieces[k].box))
                return false;
    }
    return search->n_items > 0;
}

/* Largest first by one of the orders, each key less or more by up to an eighth. */
static bool sort_anew(struct sg_lay *lay)
{
    struct sg_search *search = lay->search;
    int order = (int)random_below(search, SG_ORDERS);
    int64_t spread = (int64_t)32 << random_below(search, 3);
    if (!sg_lay_room(lay, &search->keys, &search->keys_room, search->n_items, sizeof *search->keys))
        return false;
    for (int32_t i = 0; i < search->n_items; i++) {
        int32_t box = search->items[i].box;
        int64_t key = sg_order_key(order, &lay->boxes[box]);
        search->keys[i] =
            (struct sg_key){key + key / 256 * (int64_t)random_below(search, (uint32_t)spread), 0, box};
    }
    sg_keys_sort(search->keys, search->n_items);
    for (int32_t i = 0; i < search->n_items; i++)
        search->items[i].box = search->keys[i].box;
    return true;
}

/* The order in which they lie, with a few exchanged and moved. */
static void exchange_some(struct sg_search *search)
{
    uint32_t n = (uint32_t)search->n_items;
    for (uint32_t times = 1 + random_below(search, 4); times > 0; times--) {
        uint32_t a = random_below(search, n), b = random_below(search, n);
        struct sg_item moved = search->items[a];
        if (random_below(search, 2) == 0) {
            search->items[a] = search->items[b];
        } else if (a < b) {
            memmove(search->items + a, search->items + a + 1, (b - a) * sizeof moved);
        } else {
            memmove(search->items + b + 1, search->items + b, (a - b) * sizeof moved);
        }
        search->items[b] = moved;
    }
}

/* Fill the sheets of the pool anew; false where not all pieces find a place. */
static bool fill_pool(struct sg_lay *lay)
{
    struct sg_search *search = lay->search;
    struct sg_way way = {(enum sg_rule)random_below(search, SG_RULES), random_below(search, 4) == 0};
    int32_t placed = 0;
    search->trial.n_pieces = 0;
    for (int i = 0; i < search->n_pool; i++) {
        struct sg_filled *filled = &search->filled[i];
        filled->size = search->slots[search->pool[i]].size;
        filled->first = search->trial.n_pieces;
        filled->n = placed == search->n_items
                        ? 0
                        : sg_fill_sheet(lay, filled->size, search->items, search->n_items, way,
                                        &search->trial, &filled->area);
        if (filled->n == 0)
            filled->area = 0;
        placed += filled->n;
    }
    return placed == search->n_items && !lay->failed;
}

static int64_t unlikeness(const struct sg_lay *lay, int32_t size, int64_t area)
{
    int64_t full = fullness(lay, size, area);
    return full * full;
}

static bool is_good(const struct sg_lay *lay)
{
    const struct sg_search *search = lay->search;
    int64_t before = 0, after = 0;
    for (int i = 0; i < search->n_pool; i++) {
        const struct slot *slot = &search->slots[search->pool[i]];
        before += unlikeness(lay, slot->size, slot->area);
        after += unlikeness(lay, slot->size, search->filled[i].area);
        if (search->filled[i].n == 0)
            return true;
    }
    return after >= before;
}

static void drop_slot(struct sg_search *search, int32_t i)
{
    free(search->slots[i].pieces);
    search->slots[i] = search->slots[--search->n_slots];
}

static void take_over(struct sg_lay *lay)
{
    struct sg_search *search = lay->search;
    for (int i = 0; i < search->n_pool; i++) {
        const struct sg_filled *filled = &search->filled[i];
        struct slot *old = &search->slots[search->pool[i]];
        struct slot slot = {filled->size, filled->n, 1, filled->area, NULL};
        old->copies--;
        if (filled->n == 0) {
            lay->best.score.cost -= lay->sizes[filled->size].cost;
            continue;
        }
        slot.pieces = copy_pieces(lay, search->trial.pieces + filled->first, filled->n);
        if (!add_slot(lay, slot))
            return;
    }
    for (int32_t i = search->n_slots - 1; i >= 0; i--)
        if (search->slots[i].copies == 0)
            drop_slot(search, i);
}

static void step(struct sg_lay *lay)
{
    struct sg_search *search = lay->search;
    choose_pool(lay);
    if (!gather(lay))
        return;
    if (random_below(search, 2) == 0)
        exchange_some(search);
    else if (!sort_anew(lay))
        return;
    if (fill_pool(lay) && is_good(lay))
        take_over(lay);
}

void sg_layout_search(struct sg_lay *lay, int32_t effort)
{
    int64_t stop = lay->work + (int64_t)effort * LOOKS;
    if (effort <= 0 || lay->failed || sg_layout_at_bound(lay) || lay->best.score.unplaced > 0 ||
        lay->best.n_sheets == 0)
        return;
    if (!lay->search)
        lay->search = calloc(1, sizeof *lay->search);
    if (!lay->search) {
        lay->failed = true;
        return;
    }
    lay->search->random = 88172645463325252u;
    begin(lay);
    while (lay->work < stop && !lay->failed && !sg_layout_at_bound(lay)) {
        lay->work += 20; /* so that a step that finds nothing to do counts too */
        step(lay);
    }
    if (!lay->failed)
        finish(lay);
    forget(lay->search);
}

void sg_search_free(struct sg_search *search)
{
    if (!search)
        return;
    forget(search);
    free(search->slots);
    free(search->items);
    free(search->keys);
    free(search->trial.pieces);
    free(search->trial.sheets);
    free(search);
}
