/* Filling sheets with pieces in a given order: first fit, sheet by sheet, and best fit over all sheets begun.
 *
 * In first fit a sheet depends only on what is left when it is begun, so sheets are filled one by one, and as
 * long as there is enough left of all that lies on it, the next one is filled alike and need not be made. */
#include "layout_inside.h"

#include <stdlib.h>
#include <string.h>

enum { ROW_LEAST = 8 }; /* shorter rows are placed piece by piece, each where it lies best */

bool sg_score_less(const struct sg_score *a, const struct sg_score *b)
{
    if (a->unplaced != b->unplaced)
        return a->unplaced < b->unplaced;
    if (a->cost != b->cost)
        return a->cost < b->cost;
    return a->emptiest < b->emptiest;
}

static void start(struct sg_answer *answer, struct sg_item *items, int32_t n_items)
{
    answer->n_sheets = 0;
    answer->n_pieces = 0;
    answer->score = (struct sg_score){.emptiest = INT64_MAX};
    for (int32_t i = 0; i < n_items; i++)
        answer->score.unplaced += items[i].left;
}

/* ---- first fit ---- */

/* The smallest box from each item on, so that free rectangles too small for all of them are forgotten. */
static void find_least(const struct sg_lay *lay, struct sg_item *items, int32_t n_items, bool fixed)
{
    int64_t length = INT64_MAX, width = INT64_MAX;
    for (int32_t i = n_items - 1; i >= 0; i--) {
        const struct sg_box *box = &lay->boxes[items[i].box];
        bool turn = box->turn && !fixed;
        if (items[i].left > 0) {
            length = sg_lesser(length, turn ? sg_lesser(box->length, box->width) : box->length);
            width = sg_lesser(width, turn ? sg_lesser(box->length, box->width) : box->width);
        }
        items[i].least_length = length;
        items[i].least_width = width;
    }
}

static bool same_box(const struct sg_box *a, const struct sg_box *b)
{
    return a->length == b->length && a->width == b->width && a->turn == b->turn;
}

/* How many of an item are placed at once: a row of them where there is a long one, else one. The direction is
 * that of the longer row. *along: the row runs along the sheet's length. */
static int64_t row_of(const struct sg_rect *room, int64_t length, int64_t width, int64_t left, bool *along)
{
    int64_t columns = sg_lesser(left, (room->x1 - room->x0) / length);
    int64_t rows = sg_lesser(left, (room->y1 - room->y0) / width);
    *along = columns >= rows;
    return columns < ROW_LEAST && rows < ROW_LEAST ? 1 : *along ? columns : rows;
}

/* Place a piece, or a row of them, of an item that fits; how many, 0 where memory is out. */
static int64_t place(struct sg_lay *lay, struct sg_answer *answer, struct sg_item *item,
                     const struct sg_spot *spot, bool last_item)
{
    const struct sg_box *box = &lay->boxes[item->box];
    int64_t length = spot->turned ? box->width : box->length;
    int64_t width = spot->turned ? box->length : box->width;
    bool along;
    int64_t n = row_of(&spot->room, length, width, item->left, &along);
    struct sg_rect used = {spot->room.x0, spot->room.y0, spot->room.x0 + (along ? n : 1) * length,
                           spot->room.y0 + (along ? 1 : n) * width};
    if (!sg_lay_room(lay, &answer->pieces, &answer->pieces_room, answer->n_pieces + n,
                     sizeof *answer->pieces))
        return 0;
    for (int64_t k = 0; k < n; k++)
        answer->pieces[answer->n_pieces++] = (struct sg_piece){
            used.x0 + (along ? k * length : 0), used.y0 + (along ? 0 : k * width), item->box, spot->turned};
    bool finished = n == item->left;
    if (finished && last_item)
        return n; /* nothing comes after it */
    const struct sg_item *next = item + finished;
    sg_free_cut(lay, &lay->free, &used, next->least_length, next->least_width);
    return n;
}

int32_t sg_fill_sheet(struct sg_lay *lay, int32_t size, struct sg_item *items, int32_t n_items,
                      struct sg_way way, struct sg_answer *answer, int64_t *area)
{
    int64_t room = lay->sizes[size].area, first = answer->n_pieces;
    const struct sg_box *refused = NULL; /* what does not fit now will not fit later */
    struct sg_spot spot;
    find_least(lay, items, n_items, way.fixed);
    sg_free_copy(lay, &lay->free, &lay->sizes[size].empty);
    *area = 0;
    for (int32_t i = 0; i < n_items && lay->free.n > 0 && !lay->failed; i++) {
        const struct sg_box *box = &lay->boxes[items[i].box];
        if (items[i].left == 0 || box->area > room - *area || (refused && same_box(refused, box)))
            continue;
        while (items[i].left > 0) {
            lay->work += lay->free.n;
            if (!sg_free_find(lay, &lay->free, box, way, &spot)) {
                refused = box;
                break;
            }
            int64_t n = place(lay, answer, &items[i], &spot, i + 1 == n_items);
            if (n == 0)
                return 0;
            items[i].left -= n;
            *area += n * box->area;
        }
    }
    return (int32_t)(answer->n_pieces - first);
}

/* How many sheets can be filled alike: what was placed of each item fits so many times into what was left of
 * it. `items` are counted down for one sheet. */
static int64_t count_alike(const struct sg_item *items, int32_t n_items, const struct sg_piece *pieces,
                           int32_t n)
{
    int64_t copies = INT64_MAX;
    for (int32_t i = 0, k = 0; i < n_items && k < n; i++) {
        int32_t start_k = k;
        while (k < n && pieces[k].box == items[i].box)
            k++;
        if (k > start_k)
            copies = sg_lesser(copies, 1 + items[i].left / (k - start_k));
    }
    return copies;
}

static void use_up(struct sg_item *items, int32_t n_items, const struct sg_piece *pieces, int32_t n,
                   int64_t sheets)
{
    for (int32_t i = 0, k = 0; i < n_items && k < n; i++)
        for (; k < n && pieces[k].box == items[i].box; k++)
            items[i].left -= sheets;
}

static int32_t drop_finished(struct sg_item *items, int32_t n_items)
{
    int32_t n = 0;
    for (int32_t i = 0; i < n_items; i++)
        if (items[i].left > 0)
            items[n++] = items[i];
    return n;
}

static bool add_sheets(struct sg_lay *lay, struct sg_answer *answer, const struct sg_filled *filled)
{
    const struct sg_size *size = &lay->sizes[filled->size];
    struct sg_score *score = &answer->score;
    if (!sg_lay_room(lay, &answer->sheets, &answer->sheets_room, (int64_t)answer->n_sheets + 1,
                     sizeof *answer->sheets))
        return false;
    answer->sheets[answer->n_sheets++] = *filled;
    score->unplaced -= filled->n * filled->copies;
    score->cost += size->cost * filled->copies;
    score->emptiest = sg_lesser(score->emptiest, filled->area);
    return true;
}

/* What the rest will cost at least, by its area. */
static int64_t rest_cost(const struct sg_lay *lay, const struct sg_item *items, int32_t n_items)
{
    int64_t area = 0;
    if (lay->n_pieces > SG_PIECES_SUMMED)
        return 0;
    for (int32_t i = 0; i < n_items; i++)
        area += items[i].left * lay->boxes[items[i].box].area;
    if (lay->n_sizes == 1)
        return (area + lay->largest - 1) / lay->largest * SG_SHEET_COST;
    return area / lay->largest * SG_SHEET_COST + area % lay->largest * SG_SHEET_COST / lay->largest;
}

bool sg_fill_first(struct sg_lay *lay, struct sg_item *items, int32_t n_items, struct sg_way way,
                   int64_t most_cost, struct sg_answer *answer)
{
    start(answer, items, n_items);
    for (int32_t size = 0; size < lay->n_sizes; size++) {
        int64_t on_hand = lay->sizes[size].count;
        while (on_hand > 0 && n_items > 0 && !lay->failed) {
            struct sg_filled filled = {.size = size, .first = answer->n_pieces};
            filled.n = sg_fill_sheet(lay, size, items, n_items, way, answer, &filled.area);
            if (filled.n == 0)
                break;
            const struct sg_piece *pieces = answer->pieces + filled.first;
            filled.copies = sg_lesser(on_hand, count_alike(items, n_items, pieces, filled.n));
            use_up(items, n_items, pieces, filled.n, filled.copies - 1);
            n_items = drop_finished(items, n_items);
            on_hand -= filled.copies;
            if (!add_sheets(lay, answer, &filled))
                return false;
            if (answer->score.cost > most_cost - rest_cost(lay, items, n_items))
                return false;
        }
    }
    return !lay->failed;
}

/* ---- best fit ---- */

void sg_open_free(struct sg_open *open)
{
    free(open->free.rects);
    free(open->free.touched);
    free(open->pieces);
}

/* Begin a sheet of the first size on hand that takes the piece. */
static struct sg_open *begin_sheet(struct sg_lay *lay, const struct sg_box *box, struct sg_way way,
                                   struct sg_spot *spot)
{
    int64_t before = lay->open_room;
    for (int32_t size = 0; size < lay->n_sizes; size++) {
        if (lay->sizes_used[size] >= lay->sizes[size].count ||
            !sg_free_find(lay, &lay->sizes[size].empty, box, way, spot))
            continue;
        if (!sg_lay_room(lay, &lay->open, &lay->open_room, (int64_t)lay->n_open + 1, sizeof *lay->open))
            return NULL;
        if (lay->open_room > before) /* what is kept in them is kept between calls */
            memset(lay->open + before, 0, (size_t)(lay->open_room - before) * sizeof *lay->open);
        struct sg_open *open = &lay->open[lay->n_open++];
        lay->sizes_used[size]++;
        open->size = size;
        open->area = 0;
        open->n = 0;
        sg_free_copy(lay, &open->free, &lay->sizes[size].empty);
        return open;
    }
    return NULL;
}

static struct sg_open *find_sheet(struct sg_lay *lay, const struct sg_box *box, struct sg_way way,
                                  struct sg_spot *best)
{
    struct sg_open *sheet = NULL;
    struct sg_spot spot;
    for (int32_t i = 0; i < lay->n_open; i++) {
        struct sg_open *open = &lay->open[i];
        if (open->free.n == 0 || box->area > lay->sizes[open->size].area - open->area)
            continue;
        lay->work += open->free.n;
        if (!sg_free_find(lay, &open->free, box, way, &spot))
            continue;
        if (sheet && (spot.score[0] > best->score[0] ||
                      (spot.score[0] == best->score[0] && spot.score[1] >= best->score[1])))
            continue;
        sheet = open;
        *best = spot;
    }
    return sheet;
}

static bool put_piece(struct sg_lay *lay, struct sg_open *open, const struct sg_piece *piece,
                      const struct sg_item *item)
{
    if (!sg_lay_room(lay, &open->pieces, &open->room, (int64_t)open->n + 1, sizeof *open->pieces))
        return false;
    struct sg_rect used = sg_piece_rect(lay, piece);
    open->pieces[open->n++] = *piece;
    open->area += lay->boxes[piece->box].area;
    sg_free_cut(lay, &open->free, &used, item->least_length, item->least_width);
    return true;
}

static bool gather(struct sg_lay *lay, struct sg_answer *answer)
{
    for (int32_t i = 0; i < lay->n_open; i++) {
        const struct sg_open *open = &lay->open[i];
        struct sg_filled filled = {open->size, open->n, 1, answer->n_pieces, open->area};
        if (!sg_lay_room(lay, &answer->pieces, &answer->pieces_room, answer->n_pieces + open->n,
                         sizeof *answer->pieces) ||
            !add_sheets(lay, answer, &filled))
            return false;
        memcpy(answer->pieces + answer->n_pieces, open->pieces, (size_t)open->n * sizeof *open->pieces);
        answer->n_pieces += open->n;
    }
    return true;
}

bool sg_fill_best(struct sg_lay *lay, struct sg_item *items, int32_t n_items, struct sg_way way,
                  int64_t most_cost, struct sg_answer *answer)
{
    int64_t cost = 0;
    start(answer, items, n_items);
    find_least(lay, items, n_items, way.fixed);
    lay->n_open = 0;
    if (!sg_lay_room(lay, &lay->sizes_used, &lay->sizes_used_room, lay->n_sizes, sizeof *lay->sizes_used))
        return false;
    memset(lay->sizes_used, 0, (size_t)lay->n_sizes * sizeof *lay->sizes_used);
    for (int32_t i = 0; i < n_items; i++) {
        const struct sg_box *box = &lay->boxes[items[i].box];
        struct sg_spot spot;
        for (; items[i].left > 0; items[i].left--) {
            struct sg_open *open = find_sheet(lay, box, way, &spot);
            if (!open) {
                open = begin_sheet(lay, box, way, &spot);
                if (lay->failed)
                    return false;
                if (!open)
                    break; /* no sheet is left for it */
                cost += lay->sizes[open->size].cost;
                if (cost > most_cost)
                    return false;
            }
            bool last = items[i].left == 1 && i + 1 < n_items;
            struct sg_piece piece = {spot.room.x0, spot.room.y0, items[i].box, spot.turned};
            if (!put_piece(lay, open, &piece, &items[i + last]))
                return false;
        }
    }
    return gather(lay, answer) && !lay->failed;
}
