/* Which segment follows which.
 *
 * Ends within the tolerance are one node; the first end there stands for it. Ends are found in a hash table
 * of square cells somewhat larger than the tolerance, so that each end looks at a few cells and each cell
 * holds a bounded number of nodes. End 2i is the start of segment i, end 2i + 1 its end; a node is the number
 * of the end that made it. */
#include "outline_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { NONE = -1, BRANCH = -2, CELL = 8 /* tolerances */ };

struct nodes {
    const struct sg_segment *segments;
    int64_t n;
    double tolerance, cell;
    int32_t *node;  /* of each end; NONE: it takes no part */
    int32_t *mate;  /* the other end at its node; of the node's own end BRANCH where there are more */
    int32_t *next;  /* in the table */
    int32_t *table; /* node, by hash of its cell */
    uint64_t mask;
    bool *done; /* segments that are in a chain or left out */
};

static void end_point(const struct nodes *k, int64_t end, double *x, double *y)
{
    const struct sg_segment *s = &k->segments[end >> 1];
    *x = end & 1 ? s->x1 : s->x0;
    *y = end & 1 ? s->y1 : s->y0;
}

static uint64_t slot(const struct nodes *k, double column, double row)
{
    uint64_t h =
        (uint64_t)(int64_t)column * 0x9E3779B97F4A7C15u ^ (uint64_t)(int64_t)row * 0xC2B2AE3D27D4EB4Fu;
    h ^= h >> 29;
    h *= 0xBF58476D1CE4E5B9u;
    return (h ^ h >> 32) & k->mask;
}

/* The nearest node within the tolerance, but never that of the segment's other end: a short segment keeps two
 * ends. */
static int32_t find_node(const struct nodes *k, double x, double y, int32_t not )
{
    double t = k->tolerance, best = t * t;
    int32_t found = NONE;
    double c0 = floor((x - t) / k->cell), c1 = floor((x + t) / k->cell);
    double r0 = floor((y - t) / k->cell), r1 = floor((y + t) / k->cell);
    for (double c = c0; c <= c1; c++)
        for (double r = r0; r <= r1; r++)
            for (int32_t i = k->table[slot(k, c, r)]; i >= 0; i = k->next[i]) {
                double nx, ny;
                end_point(k, i, &nx, &ny);
                double d = (nx - x) * (nx - x) + (ny - y) * (ny - y);
                if (i != not &&(d < best || (d == best && (found < 0 || i < found)))) {
                    best = d;
                    found = i;
                }
            }
    return found;
}

static void add_end(struct sg_outlining *o, struct nodes *k, int32_t end)
{
    double x, y;
    end_point(k, end, &x, &y);
    int32_t node = find_node(k, x, y, end & 1 ? k->node[end - 1] : NONE);
    k->mate[end] = NONE;
    if (node < 0) {
        uint64_t at = slot(k, floor(x / k->cell), floor(y / k->cell));
        k->node[end] = end;
        k->next[end] = k->table[at];
        k->table[at] = end;
        return;
    }
    k->node[end] = node;
    if (k->mate[node] == NONE) {
        k->mate[node] = end;
        k->mate[end] = node;
    } else if (k->mate[node] != BRANCH) {
        k->mate[node] = BRANCH;
        end_point(k, node, &x, &y);
        sg_outline_note(o, SG_PROBLEM_BRANCH, x, y, (double)NAN);
    }
}

static int32_t mate_of(const struct nodes *k, int32_t end)
{
    return k->mate[k->node[end]] == BRANCH ? NONE : k->mate[end];
}

static bool same_point(double x0, double y0, double x1, double y1, double tolerance)
{
    return (x1 - x0) * (x1 - x0) + (y1 - y0) * (y1 - y0) <= tolerance * tolerance;
}

/* A circle: closed by itself, wherever the drawing lets it begin. */
static bool is_round(const struct sg_segment *s, double tolerance)
{
    return fabs(s->sweep) > acos(-1.0) && same_point(s->x0, s->y0, s->x1, s->y1, tolerance);
}

static void leave_out(struct sg_outlining *o, const struct sg_segment *s)
{
    sg_outline_note(o, SG_PROBLEM_NO_LENGTH, s->x0, s->y0, (double)NAN);
}

/* Whether a segment takes part; in a drawing what is shorter than the tolerance has but one end. */
static bool has_length(const struct sg_segment *s, double tolerance)
{
    if (!same_point(s->x0, s->y0, s->x1, s->y1, tolerance))
        return true;
    return sg_segment_length(s) > tolerance;
}

/* ---- chains of a drawing ---- */

static void put(struct sg_chains *chains, int32_t end)
{
    chains->order[chains->n++] = (uint32_t)end; /* entered at its start: 2i; at its end, turned: 2i + 1 */
}

/* The whole chain that segment i lies in, from its beginning. */
static void follow(struct nodes *k, struct sg_chains *chains, int32_t i)
{
    int32_t from = 2 * i, mate = mate_of(k, from);
    while (mate >= 0 && mate >> 1 != i) {
        from = mate ^ 1;
        mate = mate_of(k, from);
    }
    int64_t start = chains->n;
    if (mate >= 0) /* round: it begins where the first of its segments in the file does */
        from = 2 * i;
    int32_t end = from;
    while (end >= 0 && !k->done[end >> 1]) {
        k->done[end >> 1] = true;
        put(chains, end);
        mate = mate_of(k, end ^ 1);
        if (mate < 0)
            break;
        end = mate;
    }
    int32_t last = (int32_t)chains->order[chains->n - 1] ^ 1;
    bool closed = k->node[from] == k->node[last];
    chains->order[start] |= SG_LINK_START | (closed ? SG_LINK_CLOSED : 0);
    chains->n_contours++;
}

static void make_nodes(struct sg_outlining *o, struct nodes *k)
{
    for (int64_t i = 0; i < k->n; i++) {
        const struct sg_segment *s = &k->segments[i];
        if (!has_length(s, k->tolerance)) {
            leave_out(o, s);
            k->done[i] = true;
        } else if (!is_round(s, k->tolerance)) {
            add_end(o, k, (int32_t)(2 * i));
            add_end(o, k, (int32_t)(2 * i + 1));
        }
    }
}

static bool chain_drawing(struct sg_outlining *o, struct sg_chains *chains)
{
    size_t n = (size_t)o->path->n, slots = 64;
    while (slots < 2 * n)
        slots *= 2;
    struct nodes k = {.segments = o->path->segments,
                      .n = o->path->n,
                      .tolerance = o->tolerance,
                      .cell = CELL * o->tolerance,
                      .mask = slots - 1};
    k.node = malloc((2 * n + 1) * sizeof *k.node);
    k.mate = malloc((2 * n + 1) * sizeof *k.mate);
    k.next = malloc((2 * n + 1) * sizeof *k.next);
    k.table = malloc(slots * sizeof *k.table);
    k.done = calloc(n + 1, sizeof *k.done);
    bool room = k.node && k.mate && k.next && k.table && k.done;
    if (room) {
        memset(k.table, 0xFF, slots * sizeof *k.table); /* NONE */
        make_nodes(o, &k);
    }
    for (int64_t i = 0; room && i < k.n; i++) {
        if (k.done[i])
            continue;
        if (!is_round(&k.segments[i], k.tolerance)) {
            follow(&k, chains, (int32_t)i);
            continue;
        }
        chains->order[chains->n++] = (uint32_t)(2 * i) | SG_LINK_START | SG_LINK_CLOSED;
        chains->n_contours++;
    }
    free(k.node);
    free(k.mate);
    free(k.next);
    free(k.table);
    free(k.done);
    return room;
}

/* ---- chains of a part program ---- */

static void close_run(const struct sg_outlining *o, struct sg_chains *chains, int64_t start)
{
    if (chains->n == start)
        return;
    uint32_t tail = chains->order[chains->n - 1];
    const struct sg_segment *first = &o->path->segments[SG_LINK_INDEX(chains->order[start])];
    const struct sg_segment *last = &o->path->segments[SG_LINK_INDEX(tail)];
    bool more = chains->n - start > 1 || sg_is_arc(first);
    bool closed = more && same_point(first->x0, first->y0, last->x1, last->y1, o->tolerance);
    chains->order[start] |= SG_LINK_START | (closed ? SG_LINK_CLOSED : 0);
    chains->n_contours++;
}

static void chain_runs(struct sg_outlining *o, struct sg_chains *chains)
{
    int64_t start = 0;
    for (int64_t i = 0, run = 0; i < o->path->n; i++) {
        const struct sg_segment *s = &o->path->segments[i];
        for (; run < o->how->n_runs && o->how->runs[run] <= i; run++) {
            close_run(o, chains, start);
            start = chains->n;
        }
        if (sg_segment_length(s) > 0)
            chains->order[chains->n++] = (uint32_t)(2 * i);
        else
            leave_out(o, s);
    }
    close_run(o, chains, start);
}

bool sg_chain(struct sg_outlining *o, struct sg_chains *chains)
{
    *chains = (struct sg_chains){.order = malloc(((size_t)o->path->n + 1) * sizeof *chains->order)};
    if (!chains->order)
        return false;
    if (!o->how->chained)
        return chain_drawing(o, chains);
    chain_runs(o, chains);
    return true;
}
