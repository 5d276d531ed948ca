/* The first layouts: six orders by four rules, each piece where it first fits and where it fits best. */
#include "layout_inside.h"

#include <stdlib.h>

enum {
    FIRST_FIT_LOOKS = 1000 * 1000, /* after so many no further layout is begun; that is some 5 ms */
    BEST_FIT_LOOKS = 1000 * 1000,  /* it looks at every sheet for every piece */
    BEST_FIT_PIECES = 2000
};

static int64_t longer(const struct sg_box *box)
{
    return box->length > box->width ? box->length : box->width;
}

static int64_t shorter(const struct sg_box *box)
{
    return box->length < box->width ? box->length : box->width;
}

int64_t sg_order_key(int order, const struct sg_box *box)
{
    switch (order) {
    case 0:
        return box->area;
    case 1:
        return longer(box);
    case 2:
        return box->length + box->width;
    case 3:
        return shorter(box);
    case 4:
        return box->width;
    default:
        return box->length;
    }
}

static int compare_keys(const void *a, const void *b)
{
    const struct sg_key *x = a, *y = b;
    if (x->first != y->first)
        return x->first > y->first ? -1 : 1;
    if (x->second != y->second)
        return x->second > y->second ? -1 : 1;
    return x->box < y->box ? -1 : x->box > y->box;
}

void sg_keys_sort(struct sg_key *keys, int32_t n)
{
    if (n > 1)
        qsort(keys, (size_t)n, sizeof *keys, compare_keys);
}

static void sort_boxes(struct sg_lay *lay, int order)
{
    for (int32_t i = 0; i < lay->n_boxes; i++)
        lay->keys[i] = (struct sg_key){sg_order_key(order, &lay->boxes[i]),
                                       order == 0 ? longer(&lay->boxes[i]) : lay->boxes[i].area, i};
    sg_keys_sort(lay->keys, lay->n_boxes);
}

static void take_items(struct sg_lay *lay)
{
    for (int32_t i = 0; i < lay->n_boxes; i++)
        lay->items[i] = (struct sg_item){.box = lay->keys[i].box, .left = lay->boxes[lay->keys[i].box].left};
}

bool sg_layout_at_bound(struct sg_lay *lay)
{
    if (lay->best.score.unplaced > 0)
        return false;
    if (!lay->bound_known && lay->best.score.cost > lay->bound * SG_SHEET_COST) {
        int64_t dual = sg_bound_dual(lay);
        lay->bound = dual > lay->bound ? dual : lay->bound;
        lay->bound_known = true;
    }
    return lay->best.score.cost <= lay->bound * SG_SHEET_COST;
}

static void keep_better(struct sg_lay *lay)
{
    if (!sg_score_less(&lay->trial.score, &lay->best.score))
        return;
    struct sg_answer better = lay->trial;
    lay->trial = lay->best;
    lay->best = better;
}

/* What a layout may cost that is to be kept: less than the best, or as much with an emptier sheet. */
static int64_t most_that_counts(const struct sg_lay *lay, bool strictly)
{
    return lay->best.score.unplaced > 0 ? INT64_MAX : lay->best.score.cost - strictly;
}

/* All orders by all rules. With the same problem and a better layout known before, as many layouts or more
 * are made before the work is used up, so that the result is never worse. */
static void run_all(struct sg_lay *lay, bool fixed, bool best_fit, bool strictly)
{
    int64_t stop = lay->work + (best_fit ? BEST_FIT_LOOKS : FIRST_FIT_LOOKS);
    for (int order = 0; order < SG_ORDERS; order++) {
        sort_boxes(lay, order);
        for (int rule = 0; rule < SG_RULES; rule++) {
            struct sg_way way = {(enum sg_rule)rule, fixed};
            if (lay->work > stop || sg_layout_at_bound(lay) || lay->failed)
                return;
            take_items(lay);
            int64_t most_cost = most_that_counts(lay, strictly);
            if ((best_fit ? sg_fill_best : sg_fill_first)(lay, lay->items, lay->n_boxes, way, most_cost,
                                                          &lay->trial))
                keep_better(lay);
        }
    }
}

static void swap_sides(struct sg_box *box)
{
    int64_t length = box->length;
    box->length = box->width;
    box->width = length;
}

/* A single kind of piece is laid out with all of it turned too: such rows are what choosing piece by piece
 * may miss. */
static void run_turned(struct sg_lay *lay)
{
    struct sg_box *box = lay->boxes;
    struct sg_score before = lay->best.score;
    if (lay->n_boxes != 1 || !box->turn || sg_layout_at_bound(lay))
        return;
    swap_sides(box);
    run_all(lay, true, false, true);
    swap_sides(box);
    for (int64_t i = 0; sg_score_less(&lay->best.score, &before) && i < lay->best.n_pieces; i++)
        lay->best.pieces[i].turned = true;
}

void sg_layout_first(struct sg_lay *lay)
{
    bool turns = false;
    lay->best.n_sheets = 0;
    lay->best.n_pieces = 0;
    lay->best.score = (struct sg_score){INT64_MAX, INT64_MAX, INT64_MAX};
    if (!sg_lay_room(lay, &lay->keys, &lay->keys_room, lay->n_boxes, sizeof *lay->keys) ||
        !sg_lay_room(lay, &lay->items, &lay->items_room, lay->n_boxes, sizeof *lay->items))
        return;
    for (int32_t i = 0; i < lay->n_boxes; i++)
        turns = turns || lay->boxes[i].turn;
    /* Leave to turn never needs more sheets: what is found without it counts too. */
    for (int fixed = turns ? 0 : 1; fixed < 2; fixed++) {
        run_all(lay, fixed, false, turns && fixed);
        if (lay->n_pieces <= BEST_FIT_PIECES)
            run_all(lay, fixed, true, true);
    }
    run_turned(lay);
}
