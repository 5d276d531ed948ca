/* Sheets that any layout needs at least.
 *
 * A dual feasible function f takes numbers of 0 to 1 to such numbers so that what adds up to 1 at most still
 * does. For any two of them the sum of f(length) g(width) over all pieces, sides as parts of the sheet's, is
 * then no more than the sheets of any layout (Fekete & Schepers, Math. Meth. Oper. Res. 60 (2004) 311-329;
 * Carlier, Clautiaux & Moukrim, Computers & OR 34 (2007) 2223-2250; the formulas from memory). A piece that
 * may be turned counts with the less of its two ways to lie.
 *
 * All functions here grow with their argument, and the threshold of each is a fixed number or the side of a
 * piece. A larger gap or margin keeps the order of all sides and makes each a larger part of the sheet, so
 * the bound never falls. */
#include "layout_inside.h"

#include <stdlib.h>
#include <string.h>

enum {
    ONE = 1 << 20,   /* 1 as whole number; values are rounded down, which keeps the bound right */
    ROUNDINGS = 4,   /* u_k, k from 1 */
    COUNTS_FROM = 3, /* counting functions whose threshold goes so many times into 1 */
    COUNTS_TO = 4,
    COUNT_STEPS = 3, /* thresholds for each */
    SIDES_MOST = 32, /* thresholds taken from sides */
    SIDES_FEW = 4,   /* the same, of a list of many parts */
    MANY_BOXES = 500
};

int64_t sg_bound_area(const struct sg_lay *lay)
{
    unsigned __int128 area = 0, largest = 1;
    for (int32_t i = 0; i < lay->n_boxes; i++)
        area += (unsigned __int128)lay->boxes[i].length * (unsigned __int128)lay->boxes[i].width *
                (unsigned __int128)lay->boxes[i].left;
    for (int32_t i = 0; i < lay->n_sizes; i++) {
        const struct sg_size *size = &lay->sizes[i];
        unsigned __int128 of_size = (unsigned __int128)size->length * (unsigned __int128)size->width;
        if (size->length > 0 && size->width > 0 && of_size > largest)
            largest = of_size;
    }
    return (int64_t)((area + largest - 1) / largest);
}

/* ---- the functions: x of `whole`, both in whole numbers ---- */

enum kind { IDENTITY, ROUNDING, CUT_OFF, HALVING, COUNTING };

struct dual {
    enum kind kind;
    int64_t a, b;
};

static uint32_t part_of(int64_t x, int64_t whole)
{
    return (uint32_t)(x * ONE / whole);
}

/* x where (k + 1) x is whole, else the next lower multiple of 1/(k + 1) as one of 1/k. */
static uint32_t rounded(int64_t x, int64_t whole, int64_t k)
{
    int64_t steps = (k + 1) * x;
    return steps % whole == 0 ? part_of(x, whole) : (uint32_t)(steps / whole * ONE / k);
}

/* How often the threshold up/down goes into x, of how often it goes into 1. */
static uint32_t counted(int64_t x, int64_t whole, int64_t up, int64_t down)
{
    int64_t all = down / up, rest = whole - x;
    if (x == rest)
        return ONE / 2;
    if (x < rest)
        return (uint32_t)(x * down / (whole * up) * ONE / all);
    return (uint32_t)(ONE - (rest * down / (whole * up) * ONE + all - 1) / all);
}

static uint32_t apply(struct dual f, int64_t x, int64_t whole)
{
    switch (f.kind) {
    case ROUNDING:
        return rounded(x, whole, f.a);
    case CUT_OFF: /* small ones are nothing; those that leave room for such only are all */
        return x < f.a ? 0 : x > whole - f.a ? ONE : part_of(x, whole);
    case HALVING: /* counting with a threshold that goes in twice */
        return x < f.a ? 0 : x > whole - f.a ? ONE : ONE / 2;
    case COUNTING:
        return counted(x, whole, f.a, f.b);
    default:
        return part_of(x, whole);
    }
}

/* ---- all functions on all sides ---- */

/* Functions along one side of the sheet: a row of each for the pieces as they are, and one for the pieces
 * turned. */
struct axis {
    int64_t whole, other; /* this side of the sheet, and the other one */
    bool along;           /* it is the length */
    uint64_t *rows;
    int32_t n;
};

static const uint32_t never = 2 * ONE; /* it cannot lie so; the product of two is more than any other */

static uint32_t value_of(const struct axis *axis, struct dual f, int64_t side, int64_t other_side)
{
    return side > axis->whole || other_side > axis->other ? never : apply(f, side, axis->whole);
}

static void add_dual(const struct sg_lay *lay, struct axis *axis, struct dual f)
{
    size_t n = (size_t)lay->n_boxes, row = 2 * n * (size_t)axis->n;
    uint64_t *straight = axis->rows + row, *turned = straight + n;
    for (int32_t i = 0; i < lay->n_boxes; i++) {
        const struct sg_box *box = &lay->boxes[i];
        int64_t side = axis->along ? box->length : box->width;
        int64_t other = axis->along ? box->width : box->length;
        uint64_t times = axis->along ? (uint64_t)box->left : 1; /* once in each product */
        straight[i] = times * value_of(axis, f, side, other);
        turned[i] = times * (box->turn ? value_of(axis, f, other, side) : never);
    }
    if (axis->n == 0 || memcmp(straight - 2 * n, straight, 2 * n * sizeof *straight) != 0)
        axis->n++;
}

static int compare_sides(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return x < y ? -1 : x > y;
}

/* The different sides that may lie along this axis, in order, and no more than `most` of them: chosen by
 * their place in the order, which no gap changes. */
static int32_t choose_sides(struct sg_lay *lay, bool along, int32_t most)
{
    int32_t n = 0, different = 0;
    int64_t *sides = lay->sides;
    for (int32_t i = 0; i < lay->n_boxes; i++) {
        const struct sg_box *box = &lay->boxes[i];
        if (along || box->turn)
            sides[n++] = box->length;
        if (!along || box->turn)
            sides[n++] = box->width;
    }
    qsort(sides, (size_t)n, sizeof *sides, compare_sides);
    for (int32_t i = 0; i < n; i++)
        if (i == 0 || sides[i] != sides[i - 1])
            sides[different++] = sides[i];
    for (int32_t i = 0; i < most && different > most; i++)
        sides[i] = sides[(int64_t)i * different / most];
    return different < most ? different : most;
}

static void add_duals(struct sg_lay *lay, struct axis *axis, int32_t most)
{
    int32_t n = choose_sides(lay, axis->along, most);
    add_dual(lay, axis, (struct dual){.kind = IDENTITY});
    for (int64_t k = 1; k <= ROUNDINGS; k++)
        add_dual(lay, axis, (struct dual){ROUNDING, k, 0});
    for (int32_t i = 0; i < n; i++) {
        int64_t side = lay->sides[i], rest = axis->whole - side, e = side < rest ? side : rest;
        if (e >= 0)
            add_dual(lay, axis, (struct dual){CUT_OFF, e, 0});
    }
    for (int32_t i = 0; i < n; i++) {
        int64_t side = lay->sides[i], rest = axis->whole - side, e = side < rest ? side : rest;
        if (3 * e > axis->whole)
            add_dual(lay, axis, (struct dual){HALVING, e, 0});
    }
    for (int64_t k = COUNTS_FROM; k <= COUNTS_TO; k++)
        for (int64_t step = 1; step <= COUNT_STEPS; step++) /* from 1/(k + 1), which is excluded, to 1/k */
            add_dual(lay, axis, (struct dual){COUNTING, COUNT_STEPS * k + step, COUNT_STEPS * k * (k + 1)});
}

/* ---- the bound ---- */

static uint64_t sum_products(int32_t n, const uint64_t *f, const uint64_t *g)
{
    uint64_t sum = 0;
    for (int32_t i = 0; i < n; i++) {
        uint64_t straight = f[i] * g[i], turned = f[n + i] * g[n + i];
        sum += straight < turned ? straight : turned;
    }
    return sum;
}

static uint64_t largest_sum(const struct sg_lay *lay, const struct axis *x, const struct axis *y)
{
    uint64_t most = 0;
    size_t row = 2 * (size_t)lay->n_boxes;
    for (int32_t i = 0; i < x->n; i++)
        for (int32_t k = 0; k < y->n; k++) {
            uint64_t sum = sum_products(lay->n_boxes, x->rows + (size_t)i * row, y->rows + (size_t)k * row);
            most = sum > most ? sum : most;
        }
    return most;
}

int64_t sg_bound_dual(struct sg_lay *lay)
{
    int32_t most = lay->n_boxes > MANY_BOXES ? SIDES_FEW : SIDES_MOST;
    int64_t duals = 1 + ROUNDINGS + 2 * most + (COUNTS_TO - COUNTS_FROM + 1) * COUNT_STEPS;
    struct axis x = {.along = true}, y = {.along = false};
    for (int32_t i = 0; i < lay->n_sizes; i++) {
        x.whole = y.other = lay->sizes[i].length > x.whole ? lay->sizes[i].length : x.whole;
        y.whole = x.other = lay->sizes[i].width > y.whole ? lay->sizes[i].width : y.whole;
    }
    if (lay->n_boxes == 0 || lay->n_pieces > SG_PIECES_SUMMED ||
        !sg_lay_room(lay, &lay->sides, &lay->sides_room, 2 * (int64_t)lay->n_boxes, sizeof *lay->sides) ||
        !sg_lay_room(lay, &lay->duals, &lay->duals_room, 4 * duals * lay->n_boxes, sizeof *lay->duals))
        return 0;
    x.rows = lay->duals;
    y.rows = lay->duals + 2 * duals * lay->n_boxes;
    add_duals(lay, &x, most);
    add_duals(lay, &y, most);
    const uint64_t sheet = (uint64_t)ONE * ONE;
    return (int64_t)((largest_sum(lay, &x, &y) + sheet - 1) / sheet);
}
