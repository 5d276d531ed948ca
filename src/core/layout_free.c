/* Maximal free rectangles: all that are free and inside no other free one. A piece cuts each that it touches
 * into up to four. */
#include "layout_inside.h"

#include <string.h>

struct sg_rect sg_piece_rect(const struct sg_lay *lay, const struct sg_piece *piece)
{
    const struct sg_box *box = &lay->boxes[piece->box];
    return (struct sg_rect){piece->x, piece->y, piece->x + (piece->turned ? box->width : box->length),
                            piece->y + (piece->turned ? box->length : box->width)};
}

/* ---- finding a place ---- */

struct choice {
    int64_t score[2];
    int32_t at; /* -1: none */
    bool turned;
};

static inline void consider(struct choice *best, const struct sg_rect *r, int32_t at, int64_t length,
                            int64_t width, bool turned, enum sg_rule rule, int shift)
{
    int64_t x = r->x1 - r->x0 - length, y = r->y1 - r->y0 - width, first, second;
    if (x < 0 || y < 0)
        return;
    int64_t shorter = x < y ? x : y, longer = x < y ? y : x;
    if (rule == SG_RULE_SHORT_SIDE) {
        first = shorter;
        second = longer;
    } else if (rule == SG_RULE_LONG_SIDE) {
        first = longer;
        second = shorter;
    } else if (rule == SG_RULE_AREA) {
        first = ((x + length) >> shift) * ((y + width) >> shift);
        second = shorter;
    } else {
        first = r->y0 + width;
        second = r->x0;
    }
    if (best->at < 0 || first < best->score[0] || (first == best->score[0] && second < best->score[1]))
        *best = (struct choice){{first, second}, at, turned};
}

static inline void look(struct choice *best, const struct sg_free *free, const struct sg_box *box, bool turn,
                        enum sg_rule rule, int shift)
{
    for (int32_t i = 0; i < free->n; i++) {
        consider(best, &free->rects[i], i, box->length, box->width, false, rule, shift);
        if (turn)
            consider(best, &free->rects[i], i, box->width, box->length, true, rule, shift);
    }
}

bool sg_free_find(const struct sg_lay *lay, const struct sg_free *free, const struct sg_box *box,
                  struct sg_way way, struct sg_piece *piece, int64_t score[2])
{
    struct choice best = {.at = -1};
    bool turn = box->turn && !way.fixed && box->length != box->width;
    switch (way.rule) { /* so that each rule gets a loop of its own */
    case SG_RULE_SHORT_SIDE:
        look(&best, free, box, turn, SG_RULE_SHORT_SIDE, 0);
        break;
    case SG_RULE_AREA:
        look(&best, free, box, turn, SG_RULE_AREA, lay->shift);
        break;
    case SG_RULE_LOW:
        look(&best, free, box, turn, SG_RULE_LOW, 0);
        break;
    default:
        look(&best, free, box, turn, SG_RULE_LONG_SIDE, 0);
    }
    if (best.at < 0)
        return false;
    piece->x = free->rects[best.at].x0;
    piece->y = free->rects[best.at].y0;
    piece->turned = best.turned;
    score[0] = best.score[0];
    score[1] = best.score[1];
    return true;
}

/* ---- taking a rectangle out ---- */

static inline bool touch(const struct sg_rect *a, const struct sg_rect *b)
{
    return a->x0 < b->x1 && b->x0 < a->x1 && a->y0 < b->y1 && b->y0 < a->y1;
}

static inline bool inside(const struct sg_rect *a, const struct sg_rect *b)
{
    return a->x0 >= b->x0 && a->x1 <= b->x1 && a->y0 >= b->y0 && a->y1 <= b->y1;
}

/* The up to four parts of r beside `used`. */
static int32_t split(const struct sg_rect *r, const struct sg_rect *used, int64_t least_length,
                     int64_t least_width, struct sg_rect *parts)
{
    int32_t n = 0;
    bool high = r->y1 - r->y0 >= least_width, long_enough = r->x1 - r->x0 >= least_length;
    if (high && used->x0 - r->x0 >= least_length)
        parts[n++] = (struct sg_rect){r->x0, r->y0, used->x0, r->y1};
    if (high && r->x1 - used->x1 >= least_length)
        parts[n++] = (struct sg_rect){used->x1, r->y0, r->x1, r->y1};
    if (long_enough && used->y0 - r->y0 >= least_width)
        parts[n++] = (struct sg_rect){r->x0, r->y0, r->x1, used->y0};
    if (long_enough && r->y1 - used->y1 >= least_width)
        parts[n++] = (struct sg_rect){r->x0, used->y1, r->x1, r->y1};
    return n;
}

/* A fresh one can lie in one that was not touched or in another fresh one, never the other way round. */
static bool needless(const struct sg_free *free, int32_t n_kept, int32_t n_fresh, int32_t i)
{
    const struct sg_rect *r = &free->fresh[i];
    for (int32_t k = 0; k < n_kept; k++)
        if (inside(r, &free->rects[k]))
            return true;
    for (int32_t k = 0; k < n_fresh; k++)
        if (k != i && inside(r, &free->fresh[k]) && (k < i || !inside(&free->fresh[k], r)))
            return true;
    return false;
}

void sg_free_cut(struct sg_lay *lay, struct sg_free *free, const struct sg_rect *used, int64_t least_length,
                 int64_t least_width)
{
    int32_t n_kept = 0, n_fresh = 0;
    if (!sg_lay_room(lay, &free->fresh, &free->fresh_room, 4 * (int64_t)free->n, sizeof *free->fresh))
        return;
    lay->work += free->n;
    least_length = least_length > 0 ? least_length : 1;
    least_width = least_width > 0 ? least_width : 1;
    for (int32_t i = 0; i < free->n; i++) {
        if (touch(&free->rects[i], used))
            n_fresh += split(&free->rects[i], used, least_length, least_width, free->fresh + n_fresh);
        else
            free->rects[n_kept++] = free->rects[i];
    }
    int32_t n = n_kept;
    if (!sg_lay_room(lay, &free->rects, &free->room, (int64_t)n_kept + n_fresh, sizeof *free->rects))
        return;
    lay->work += (int64_t)n_fresh * (n_kept + n_fresh);
    for (int32_t i = 0; i < n_fresh; i++)
        if (!needless(free, n_kept, n_fresh, i))
            free->rects[n++] = free->fresh[i];
    free->n = n;
}

void sg_free_copy(struct sg_lay *lay, struct sg_free *to, const struct sg_free *from)
{
    if (!sg_lay_room(lay, &to->rects, &to->room, from->n, sizeof *to->rects))
        return;
    if (from->n > 0)
        memcpy(to->rects, from->rects, (size_t)from->n * sizeof *to->rects);
    to->n = from->n;
}

void sg_free_bare(struct sg_lay *lay, struct sg_size *size)
{
    struct sg_free *free = &size->empty;
    free->n = 0;
    if (size->length <= 0 || size->width <= 0 ||
        !sg_lay_room(lay, &free->rects, &free->room, 1, sizeof *free->rects))
        return;
    free->rects[0] = (struct sg_rect){0, 0, size->length, size->width};
    free->n = 1;
    for (int32_t i = 0; i < lay->n_clamps; i++)
        sg_free_cut(lay, free, &lay->clamps[i], 1, 1);
}
