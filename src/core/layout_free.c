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
                  struct sg_way way, struct sg_spot *spot)
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
    *spot = (struct sg_spot){free->rects[best.at], {best.score[0], best.score[1]}, best.turned};
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

enum side { LEFT, RIGHT, BELOW, ABOVE, SIDES };

/* The part of r on one side of `used`. */
static inline struct sg_rect part_of(const struct sg_rect *r, const struct sg_rect *used, enum side side)
{
    switch (side) {
    case LEFT:
        return (struct sg_rect){r->x0, r->y0, used->x0, r->y1};
    case RIGHT:
        return (struct sg_rect){used->x1, r->y0, r->x1, r->y1};
    case BELOW:
        return (struct sg_rect){r->x0, r->y0, r->x1, used->y0};
    default:
        return (struct sg_rect){r->x0, used->y1, r->x1, r->y1};
    }
}

/* Whether r ends on that side of `used` where its parts on that side do. */
static inline bool ends_at(const struct sg_rect *r, const struct sg_rect *used, enum side side)
{
    switch (side) {
    case LEFT:
        return r->x1 == used->x0;
    case RIGHT:
        return r->x0 == used->x1;
    case BELOW:
        return r->y1 == used->y0;
    default:
        return r->y0 == used->y1;
    }
}

/* Add the parts on one side of `used` of what it touches, but those inside another free rectangle. That can
 * only be one of the same side: an untouched one that contains a part must end where the part does, and a
 * part of another side ends too early. */
static inline void add_side(struct sg_free *free, int32_t n_kept, int32_t n_touched,
                            const struct sg_rect *used, int64_t least_length, int64_t least_width,
                            enum side side)
{
    int32_t first = free->n, n = first;
    for (int32_t i = 0; i < n_touched; i++) {
        struct sg_rect part = part_of(&free->touched[i], used, side);
        bool needless = part.x1 - part.x0 < least_length || part.y1 - part.y0 < least_width;
        for (int32_t k = 0; k < n_kept && !needless; k++)
            needless = ends_at(&free->rects[k], used, side) && inside(&part, &free->rects[k]);
        for (int32_t k = first; k < n && !needless; k++)
            needless = inside(&part, &free->rects[k]);
        if (needless)
            continue;
        for (int32_t k = first; k < n;)
            if (inside(&free->rects[k], &part))
                free->rects[k] = free->rects[--n];
            else
                k++;
        free->rects[n++] = part;
    }
    free->n = n;
}

void sg_free_cut(struct sg_lay *lay, struct sg_free *free, const struct sg_rect *used, int64_t least_length,
                 int64_t least_width)
{
    int32_t n_kept = 0, n_touched = 0;
    if (!sg_lay_room(lay, &free->touched, &free->touched_room, free->n, sizeof *free->touched))
        return;
    least_length = least_length > 0 ? least_length : 1;
    least_width = least_width > 0 ? least_width : 1;
    for (int32_t i = 0; i < free->n; i++)
        if (touch(&free->rects[i], used))
            free->touched[n_touched++] = free->rects[i];
        else
            free->rects[n_kept++] = free->rects[i];
    if (!sg_lay_room(lay, &free->rects, &free->room, (int64_t)n_kept + SIDES * (int64_t)n_touched,
                     sizeof *free->rects))
        return;
    lay->work += free->n + (int64_t)n_touched * n_kept;
    free->n = n_kept;
    add_side(free, n_kept, n_touched, used, least_length, least_width, LEFT);
    add_side(free, n_kept, n_touched, used, least_length, least_width, RIGHT);
    add_side(free, n_kept, n_touched, used, least_length, least_width, BELOW);
    add_side(free, n_kept, n_touched, used, least_length, least_width, ABOVE);
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
