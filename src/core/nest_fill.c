/* Small pieces within the box of a larger one: in its holes, and in the holes of what lies there; and in the
 * bays of its outline. Largest first, each as low as it goes; the same pattern as often as there are pieces
 * for it. */
#include "nest_inside.h"

#include <math.h>

enum {
    INNER_MOST = 64, /* in one pattern */
    REGIONS_MOST = 64,
    PATTERNS_MOST = 6, /* of one part */
    STEPS = 6,
    LEVELS_MOST = 48,
    HOLE_LOOKS = 2000 * 1000, /* after so many no further place is looked for */
    BAY_LOOKS = 700 * 1000
};

/* Where something may lie: the box of a hole, or of a whole piece. */
struct region {
    double x0, y0, x1, y1;
    int32_t owner; /* of the lying ones */
};

struct filling {
    struct sg_nest *nest;
    int32_t host;
    bool bays;
    struct sg_nest_lying lying[INNER_MOST + 1];
    int32_t parts[INNER_MOST + 1], n; /* of what lies; the host is the first */
    struct region regions[REGIONS_MOST];
    int n_regions;
    double free; /* units2 of the box that nothing covers */
};

struct place {
    int q;
    double x, y, top;
};

/* ---- where ---- */

static void add_region(struct filling *f, struct region region)
{
    if (f->n_regions < REGIONS_MOST)
        f->regions[f->n_regions++] = region;
}

static void add_holes(struct filling *f, int32_t owner, int q)
{
    struct sg_nest *nest = f->nest;
    const struct sg_nest_lying *at = &f->lying[owner];
    const struct sg_nest_shape *shape = &nest->shapes[f->parts[owner]];
    double l = (double)shape->length, w = (double)shape->width;
    for (int32_t k = 1; k < shape->n_loops; k++) {
        const struct sg_nest_loop *loop = &nest->loops[shape->loops + k];
        struct region r = {(double)INFINITY, (double)INFINITY, -(double)INFINITY, -(double)INFINITY, owner};
        for (int32_t i = 0; i < loop->n; i++) {
            struct sg_nest_point p = nest->points[loop->first + i];
            struct sg_nest_point turned[4] = {p, {w - p.y, p.x}, {l - p.x, w - p.y}, {p.y, l - p.x}};
            r.x0 = fmin(r.x0, turned[q].x + at->x);
            r.y0 = fmin(r.y0, turned[q].y + at->y);
            r.x1 = fmax(r.x1, turned[q].x + at->x);
            r.y1 = fmax(r.y1, turned[q].y + at->y);
        }
        add_region(f, r);
    }
}

/* ---- one piece ---- */

static int add_level(double *levels, int n, double y, double low, double high)
{
    if (n == LEVELS_MOST || y < low || y > high)
        return n;
    int at = n;
    for (int i = 0; i < n; i++)
        if (levels[i] == y)
            return n;
    for (; at > 0 && levels[at - 1] > y; at--)
        levels[at] = levels[at - 1];
    levels[at] = y;
    return n + 1;
}

/* Heights at which a piece of such a width may lie, growing. */
static int levels_of(const struct filling *f, const struct region *r, double width, double *levels)
{
    double low = nearbyint(r->y0), high = nearbyint(r->y1) - width, gap = ceil(f->nest->gap);
    int n = add_level(levels, 0, floor((low + high) / 2), low, high);
    n = add_level(levels, n, low, low, high);
    n = add_level(levels, n, low + gap, low, high);
    n = add_level(levels, n, high, low, high);
    n = add_level(levels, n, high - gap, low, high);
    for (int i = 1; i < STEPS; i++)
        n = add_level(levels, n, floor(low + (high - low) * i / STEPS), low, high);
    for (int32_t i = 1; i < f->n; i++)
        n = add_level(levels, n, f->lying[i].y + f->lying[i].view->width + gap, low, high);
    return n;
}

static bool may_lie(const struct filling *f, int32_t part, int q)
{
    struct sg_nest *nest = f->nest;
    return (nest->shapes[part].turn || (!nest->shapes[f->host].turn && q % 2 == 0)) &&
           !sg_nest_like_before(nest, part, q);
}

/* The lowest place of a piece in a region. */
static bool find_place(struct filling *f, const struct region *r, int32_t part, struct place *best)
{
    struct sg_nest *nest = f->nest;
    bool found = false;
    double levels[LEVELS_MOST], x;
    *best = (struct place){.q = 0};
    for (int q = 0; q < 4; q++) {
        if (!may_lie(f, part, q))
            continue;
        const struct sg_nest_view *view = sg_nest_view(nest, part, false, q);
        if (nest->failed || view->length > r->x1 - r->x0 || view->width > r->y1 - r->y0)
            continue;
        for (int32_t i = 0; i < f->n; i++)
            f->lying[i].gap = sg_nest_gap(nest, f->parts[i], part);
        int n = levels_of(f, r, view->width, levels);
        for (int i = 0; i < n && !(found && levels[i] + view->width >= best->top); i++)
            if (sg_nest_find(nest, f->lying, f->n, view, levels[i], r->x0, r->x1 - view->length, &x) &&
                (f->bays ||
                 sg_nest_within(nest, f->lying[r->owner].view, x + view->inside_x - f->lying[r->owner].x,
                                levels[i] + view->inside_y - f->lying[r->owner].y))) {
                *best = (struct place){q, x, levels[i], levels[i] + view->width};
                found = true;
                break;
            }
    }
    return found;
}

static bool put(struct filling *f, int32_t part, const struct place *at)
{
    struct sg_nest *nest = f->nest;
    const struct sg_nest_shape *shape = &nest->shapes[part];
    if (f->n > INNER_MOST ||
        !sg_nest_room(nest, &nest->inner, &nest->inner_room, nest->n_inner + 1, sizeof *nest->inner))
        return false;
    nest->inner[nest->n_inner++] = (struct sg_nest_inner){part, at->q, (int64_t)at->x, (int64_t)at->y};
    f->lying[f->n] = (struct sg_nest_lying){sg_nest_view(nest, part, false, at->q), at->x, at->y, 0};
    f->parts[f->n++] = part;
    f->free -= shape->area * SG_LAYOUT_UNITS * SG_LAYOUT_UNITS;
    if (!f->bays)
        add_holes(f, f->n - 1, at->q);
    return true;
}

/* ---- a pattern ---- */

static int64_t uses(const struct filling *f, int32_t part)
{
    int64_t n = 0;
    for (int32_t i = 0; i < f->n; i++)
        n += f->parts[i] == part;
    return n;
}

static bool too_large(const struct filling *f, const struct region *r, int32_t part)
{
    const struct sg_nest_shape *shape = &f->nest->shapes[part];
    double shorter = (double)(shape->length < shape->width ? shape->length : shape->width);
    double longer = (double)(shape->length < shape->width ? shape->width : shape->length);
    double across = fmin(r->x1 - r->x0, r->y1 - r->y0), along = fmax(r->x1 - r->x0, r->y1 - r->y0);
    return shape->area * SG_LAYOUT_UNITS * SG_LAYOUT_UNITS > f->free || shorter > across || longer > along;
}

static void fill(struct filling *f, int32_t n_order)
{
    struct sg_nest *nest = f->nest;
    struct place at;
    for (int r = 0; r < f->n_regions; r++) /* more are added on the way */
        for (int32_t i = 0; i < n_order; i++) {
            int32_t part = nest->order[i];
            while (nest->left[part] > uses(f, part) && !too_large(f, &f->regions[r], part) &&
                   nest->looks < nest->look_stop && !nest->failed) {
                const struct region region = f->regions[r];
                if (!find_place(f, &region, part, &at) || !put(f, part, &at))
                    break;
            }
        }
}

static void add_kind(struct sg_nest *nest, struct sg_nest_kind kind)
{
    if (sg_nest_room(nest, &nest->kinds, &nest->kinds_room, nest->n_all_kinds + 1, sizeof *nest->kinds))
        nest->kinds[nest->n_all_kinds++] = kind;
}

/* Fill pieces of a part with others; false where no other finds a place in it. */
static bool make_pattern(struct sg_nest *nest, int32_t host, bool bays, int32_t n_order)
{
    struct filling f = {.nest = nest, .host = host, .bays = bays, .parts = {host}, .n = 1};
    const struct sg_nest_shape *shape = &nest->shapes[host];
    int64_t inner = nest->n_inner, copies = nest->left[host];
    double l = (double)shape->length, w = (double)shape->width;
    f.lying[0] = (struct sg_nest_lying){sg_nest_view(nest, host, false, 0), 0, 0, 0};
    f.free = l * w - shape->area * SG_LAYOUT_UNITS * SG_LAYOUT_UNITS;
    if (bays)
        add_region(&f, (struct region){0, 0, l, w, 0});
    else
        add_holes(&f, 0, 0);
    fill(&f, n_order);
    if (f.n < 2 || nest->failed)
        return false;
    for (int32_t i = 1; i < f.n; i++) {
        int64_t often = nest->left[f.parts[i]] / uses(&f, f.parts[i]);
        copies = often < copies ? often : copies;
    }
    for (int32_t i = 0; i < f.n; i++)
        nest->left[f.parts[i]] -= copies;
    add_kind(nest, (struct sg_nest_kind){host, f.n - 1, copies, inner, bays});
    return true;
}

/* ---- all parts ---- */

static int64_t box_area(const struct sg_nest_shape *shape)
{
    return (shape->length >> 8) * (shape->width >> 8);
}

/* Parts that are wanted and fit on a sheet, the largest first. */
static int32_t order_parts(struct sg_nest *nest)
{
    const struct sg_lay *lay = nest->lay;
    int32_t n = lay->n_boxes, all = nest->input->boxes.n_parts;
    if (!sg_nest_room(nest, &nest->left, &nest->left_room, all, sizeof *nest->left) ||
        !sg_nest_room(nest, &nest->order, &nest->order_room, n, sizeof *nest->order) ||
        !sg_nest_room(nest, &nest->keys, &nest->keys_room, n, sizeof *nest->keys))
        return 0;
    for (int32_t i = 0; i < all; i++)
        nest->left[i] = 0;
    for (int32_t i = 0; i < n; i++) {
        int32_t part = lay->boxes[i].part;
        nest->left[part] = lay->boxes[i].left;
        nest->keys[i] = (struct sg_key){box_area(&nest->shapes[part]), 0, part};
    }
    sg_keys_sort(nest->keys, n);
    for (int32_t i = 0; i < n; i++)
        nest->order[i] = nest->keys[i].box;
    return n;
}

static bool may_hold(const struct sg_nest_shape *shape, bool bays)
{
    return !shape->boxed && (bays || shape->n_loops > 1);
}

void sg_nest_kinds(struct sg_nest *nest, int filling)
{
    int32_t n = order_parts(nest);
    struct sg_nest_set *set = &nest->sets[filling];
    *set = (struct sg_nest_set){.made = true, .first = nest->n_all_kinds};
    nest->look_stop = nest->looks + (filling == SG_NEST_HOLES ? HOLE_LOOKS : BAY_LOOKS);
    for (int32_t i = 0; i < n && filling != SG_NEST_PLAIN; i++)
        for (int k = 0; k < PATTERNS_MOST; k++) {
            int32_t host = nest->order[i];
            if (nest->left[host] <= 0 || !may_hold(&nest->shapes[host], filling == SG_NEST_BAYS) ||
                !make_pattern(nest, host, filling == SG_NEST_BAYS, n))
                break;
            set->some = true;
        }
    for (int32_t i = 0; i < n && !nest->failed; i++)
        if (nest->left[nest->order[i]] > 0)
            add_kind(nest,
                     (struct sg_nest_kind){.part = nest->order[i], .quantity = nest->left[nest->order[i]]});
    set->n = nest->n_all_kinds - set->first;
}
