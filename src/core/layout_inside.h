/* Layout in whole numbers, shared by the layout files.
 *
 * A piece of l x w with the gap s behind it is a box of (l + s) x (w + s), a sheet of L x W with the margin m
 * is (L - 2 m + s) x (W - 2 m + s): boxes that lie beside each other there are pieces with a gap between. */
#ifndef SANDGLASS_CORE_LAYOUT_INSIDE_H
#define SANDGLASS_CORE_LAYOUT_INSIDE_H

#include "sandglass/layout.h"
#include "sandglass/room.h"

#include <stddef.h>

static inline int64_t sg_lesser(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

static inline int64_t sg_greater(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

struct sg_rect {
    int64_t x0, y0, x1, y1;
};

/* All pieces of one part. */
struct sg_box {
    int64_t length, width, left; /* left: how many are to be placed */
    int64_t area;                /* in the unit of struct sg_lay */
    int32_t part;
    bool turn, across; /* across: length and width are exchanged */
};

struct sg_free {
    struct sg_rect *rects, *touched;
    int32_t n;
    int64_t room, touched_room;
};

/* Where a piece lies. */
struct sg_piece {
    int64_t x, y;
    int32_t box;
    bool turned;
};

struct sg_filled { /* sheets filled alike */
    int32_t size;
    int32_t n; /* pieces */
    int64_t copies, first, area;
};

/* What makes one answer better than another, the first that differs counts. */
struct sg_score {
    int64_t unplaced;
    int64_t cost;     /* sheets by their areas; SG_SHEET_COST is one of the largest */
    int64_t emptiest; /* area on the emptiest sheet, less is better: the largest piece is left over */
};
enum { SG_SHEET_COST = 1 << 20 };

enum { SG_PIECES_SUMMED = 1000000 }; /* so many areas add up in 64 bits */

struct sg_answer {
    struct sg_filled *sheets;
    struct sg_piece *pieces;
    int64_t n_pieces, pieces_room, sheets_room;
    int32_t n_sheets;
    struct sg_score score;
};

struct sg_size {
    int64_t length, width, count; /* of the box; count INT64_MAX: as many as it takes */
    int64_t area, cost;
    struct sg_free empty; /* what is free on a bare sheet */
};

enum sg_rule { SG_RULE_SHORT_SIDE, SG_RULE_AREA, SG_RULE_LOW, SG_RULE_LONG_SIDE, SG_RULES };

/* How a layout is made. */
struct sg_way {
    enum sg_rule rule;
    bool fixed; /* no piece is turned */
};

struct sg_key { /* what is sorted by, the largest first */
    int64_t first, second;
    int32_t box;
};

/* Pieces in the order in which they are placed. */
struct sg_item {
    int32_t box;
    int64_t left;
    int64_t least_length, least_width; /* of what is left from here on; kept by sg_fill_sheet */
};

struct sg_open { /* a sheet that still takes pieces */
    int32_t size;
    int64_t area;
    struct sg_free free;
    struct sg_piece *pieces;
    int32_t n;
    int64_t room;
};

/* The problem, and memory kept between calls. */
struct sg_lay {
    struct sg_box *boxes;
    struct sg_size *sizes;
    struct sg_rect *clamps;
    int32_t n_boxes, n_sizes, n_clamps;
    int64_t boxes_room, sizes_room, clamps_room;
    int64_t gap, margin, n_pieces;
    int shift;        /* areas are products of lengths without their last bits, so that a sum fits */
    int64_t bound;    /* sheets that any layout needs at least */
    bool bound_known; /* else it is only that by area */
    int64_t largest;  /* area of the largest size */
    int64_t work;     /* looks at a free rectangle */
    bool failed;      /* memory ran out */
    struct sg_free free;
    struct sg_item *items;
    struct sg_key *keys;
    int64_t items_room, keys_room;
    struct sg_answer best, trial;
    struct sg_open *open;
    int32_t n_open;
    int64_t open_room;
    int64_t *sizes_used;
    int64_t sizes_used_room;
    struct sg_search *search;
    uint64_t *duals; /* of the bound */
    int64_t *sides;
    int64_t duals_room, sides_room;
    int64_t used_room, placements_room; /* of the layout itself */
};

/* Room for n things of that size; sets failed and returns false where there is none. */
bool sg_lay_room(struct sg_lay *lay, void *array, int64_t *room, int64_t n, size_t size);

/* ---- free rectangles (layout_free.c) ---- */

/* Where a piece goes, at the corner x0, y0 of a free rectangle. */
struct sg_spot {
    struct sg_rect room;
    int64_t score[2]; /* less is better, the first that differs counts */
    bool turned;
};

/* The best place of a piece by a rule; false where it does not fit. */
bool sg_free_find(const struct sg_lay *lay, const struct sg_free *free, const struct sg_box *box,
                  struct sg_way way, struct sg_spot *spot);

/* Take a rectangle out. Free rectangles too small for a piece of least_length x least_width are dropped. */
void sg_free_cut(struct sg_lay *lay, struct sg_free *free, const struct sg_rect *used, int64_t least_length,
                 int64_t least_width);

void sg_free_copy(struct sg_lay *lay, struct sg_free *to, const struct sg_free *from);

/* What is free on a bare sheet: all of it but the clamps. */
void sg_free_bare(struct sg_lay *lay, struct sg_size *size);

/* The rectangle that a placed piece takes. */
struct sg_rect sg_piece_rect(const struct sg_lay *lay, const struct sg_piece *piece);

/* ---- filling sheets (layout_fill.c) ---- */

/* Put what fits of the items in their order onto a bare sheet, by lay->free, and count down what is left of
 * them. The pieces go to the end of answer->pieces; returns how many. */
int32_t sg_fill_sheet(struct sg_lay *lay, int32_t size, struct sg_item *items, int32_t n_items,
                      struct sg_way way, struct sg_answer *answer, int64_t *area);

/* Lay out all items sheet by sheet, which is first fit. Stops where that must cost more than most_cost; false
 * then. Items are used up. */
bool sg_fill_first(struct sg_lay *lay, struct sg_item *items, int32_t n_items, struct sg_way way,
                   int64_t most_cost, struct sg_answer *answer);

/* The same, each piece where it fits best on any sheet begun. */
bool sg_fill_best(struct sg_lay *lay, struct sg_item *items, int32_t n_items, struct sg_way way,
                  int64_t most_cost, struct sg_answer *answer);

bool sg_score_less(const struct sg_score *a, const struct sg_score *b);
void sg_open_free(struct sg_open *open);

/* ---- first layouts (layout_first.c) ---- */

enum { SG_ORDERS = 6 };

/* By what pieces are sorted in an order. */
int64_t sg_order_key(int order, const struct sg_box *box);

void sg_keys_sort(struct sg_key *keys, int32_t n);

/* 6 orders x 4 rules, first fit and best fit, into lay->best; stops at the bound. */
void sg_layout_first(struct sg_lay *lay);

/* Whether lay->best cannot be bettered. Finds the bound where it matters. */
bool sg_layout_at_bound(struct sg_lay *lay);

/* ---- improving (layout_search.c) ---- */

void sg_layout_search(struct sg_lay *lay, int32_t effort);
void sg_search_free(struct sg_search *search);

/* ---- lower bounds (layout_bound.c) ---- */

/* By area; cheap. */
int64_t sg_bound_area(const struct sg_lay *lay);

/* By dual feasible functions. */
int64_t sg_bound_dual(struct sg_lay *lay);

#endif
