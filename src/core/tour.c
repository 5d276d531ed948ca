/* The order of pierces.
 *
 * The points stand between two fixed ends: where the head parks and nowhere, or of a round tour its first
 * point twice. Up to SMALL points are tried in all orders (dynamic programming over subsets, Held and Karp
 * 1962); more by nearest neighbour, then 2-opt (Croes 1958) and Or-opt (Or 1976) over lists of near points
 * with a queue of points whose surroundings changed, then kicks: two short runs change places, the
 * surroundings are mended, and what is not better is taken back. */
#include "sandglass/tour.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SMALL = 14, NEAR = 10, MOST_RUN = 3, MOST_KICK = 20 };

struct tour {
    const struct sg_tour_input *in;
    int32_t m;         /* points between the ends */
    int32_t first;     /* point of node 0: 1 of a round tour, whose point 0 is both ends */
    double *x, *y;     /* of the nodes */
    int32_t open_from; /* nodes from here on are nowhere */
    int32_t *at;       /* node at each place, 0 and m + 1 are the ends */
    int32_t *place;    /* of each node */
    int32_t *near;     /* NEAR nodes for each node */
    int32_t *queue;
    bool *queued;
    int32_t n_queue;
    int32_t *kept; /* the tour before a kick */
    uint64_t random;
    double enough; /* mm that a change must save, so that rounding never goes in circles */
};

/* Nodes: 0 to m - 1 the points, m the start, m + 1 the end. An end that is nowhere is near to all. */
static double distance(const struct tour *t, int32_t a, int32_t b)
{
    double dx = t->x[a] - t->x[b], dy = t->y[a] - t->y[b];
    return a >= t->open_from || b >= t->open_from ? 0 : sqrt(dx * dx + dy * dy);
}

/* The places of all nodes. */
static void put_nodes(struct tour *t)
{
    const struct sg_tour_input *in = t->in;
    for (int32_t i = 0; i < t->m; i++) {
        t->x[i] = in->x[i + t->first];
        t->y[i] = in->y[i + t->first];
    }
    bool given = in->closed || !isnan(in->start_x);
    t->x[t->m] = in->closed ? in->x[0] : given ? in->start_x : 0;
    t->y[t->m] = in->closed ? in->y[0] : given ? in->start_y : 0;
    t->x[t->m + 1] = t->x[t->m];
    t->y[t->m + 1] = t->y[t->m];
    t->open_from = in->closed ? t->m + 2 : given ? t->m + 1 : t->m;
}

/* Sums of six distances are off by less than 1e-14 of the longest. */
static double enough_of(const struct tour *t)
{
    double low_x = t->x[0], high_x = t->x[0], low_y = t->y[0], high_y = t->y[0];
    for (int32_t i = 1; i < t->open_from; i++) {
        low_x = fmin(low_x, t->x[i]);
        high_x = fmax(high_x, t->x[i]);
        low_y = fmin(low_y, t->y[i]);
        high_y = fmax(high_y, t->y[i]);
    }
    return fmax(1e-9, 1e-14 * hypot(high_x - low_x, high_y - low_y));
}

/* The node that must come later, -1. */
static int32_t later(const struct tour *t, int32_t node)
{
    return t->in->after && node < t->m && !t->in->closed ? t->in->after[node] : -1;
}

/* ---- all orders of a few ---- */

struct subsets {
    double *best;    /* by subset and last point */
    int8_t *before;  /* the point before it */
    uint32_t *needs; /* points that must be in the subset before a point comes */
};

static void fill_subsets(const struct tour *t, struct subsets *s)
{
    int32_t m = t->m;
    for (uint32_t set = 1; set < 1u << m; set++)
        for (int32_t last = 0; last < m; last++) {
            double best = (double)INFINITY;
            uint32_t rest = set & ~(1u << last);
            s->before[set * (uint32_t)m + (uint32_t)last] = -1;
            bool whole = (set >> last & 1) && (rest & s->needs[last]) == s->needs[last];
            if (whole && rest == 0)
                best = distance(t, last, m);
            for (int32_t k = 0; whole && k < m; k++) {
                if (!(rest >> k & 1))
                    continue;
                double way = s->best[rest * (uint32_t)m + (uint32_t)k] + distance(t, k, last);
                if (way < best) {
                    best = way;
                    s->before[set * (uint32_t)m + (uint32_t)last] = (int8_t)k;
                }
            }
            s->best[set * (uint32_t)m + (uint32_t)last] = best;
        }
}

static void read_back(struct tour *t, const struct subsets *s)
{
    uint32_t m = (uint32_t)t->m, set = (1u << m) - 1;
    int32_t last = 0;
    double best = (double)INFINITY;
    for (int32_t k = 0; k < t->m; k++) {
        double way = s->best[set * m + (uint32_t)k] + distance(t, k, t->m + 1);
        if (way < best) {
            best = way;
            last = k;
        }
    }
    for (int32_t i = t->m; i > 0; i--) {
        int32_t before = s->before[set * m + (uint32_t)last];
        t->at[i] = last;
        set &= ~(1u << last);
        last = before;
    }
}

static bool all_orders(struct tour *t)
{
    size_t cells = ((size_t)1 << t->m) * (size_t)t->m;
    struct subsets s = {malloc(cells * sizeof *s.best), malloc(cells), calloc((size_t)t->m, sizeof *s.needs)};
    bool room = s.best && s.before && s.needs;
    for (int32_t i = 0; room && i < t->m; i++)
        if (later(t, i) >= 0)
            s.needs[later(t, i)] |= 1u << i;
    if (room) {
        fill_subsets(t, &s);
        read_back(t, &s);
    }
    free(s.best);
    free(s.before);
    free(s.needs);
    return room;
}

/* ---- a first tour ---- */

/* The near nodes of each, nearest first; by insertion, for lists are short. */
static void find_near(struct tour *t)
{
    for (int32_t a = 0; a <= t->m; a++) {
        int32_t *list = t->near + a * NEAR, n = 0;
        for (int32_t b = 0; b < t->m; b++) {
            double d = distance(t, a, b);
            int32_t i = n < NEAR ? n : NEAR;
            if (a == b || (i == NEAR && d >= distance(t, a, list[NEAR - 1])))
                continue;
            i = i == NEAR ? NEAR - 1 : i;
            for (; i > 0 && distance(t, a, list[i - 1]) > d; i--)
                list[i] = list[i - 1];
            list[i] = b;
            n = n < NEAR ? n + 1 : NEAR;
        }
        while (n < NEAR)
            list[n++] = -1;
    }
}

/* Always to the nearest point whose inner ones are done. `kept` counts those that are left. */
static void nearest_first(struct tour *t)
{
    int32_t *left = t->kept, here = t->m;
    memset(left, 0, (size_t)t->m * sizeof *left);
    for (int32_t i = 0; i < t->m; i++)
        if (later(t, i) >= 0)
            left[later(t, i)]++;
    memset(t->queued, 0, (size_t)t->m);
    for (int32_t i = 1; i <= t->m; i++) {
        int32_t best = -1;
        for (int32_t b = 0; b < t->m; b++)
            if (!t->queued[b] && left[b] == 0 && (best < 0 || distance(t, here, b) < distance(t, here, best)))
                best = b;
        t->queued[best] = true;
        t->at[i] = best;
        if (later(t, best) >= 0)
            left[later(t, best)]--;
        here = best;
    }
    memset(t->queued, 0, (size_t)t->m);
}

/* ---- changes of a tour ---- */

static void number_places(struct tour *t, int32_t from, int32_t to)
{
    for (int32_t i = from; i <= to; i++)
        t->place[t->at[i]] = i;
}

static void turn_round(struct tour *t, int32_t i, int32_t j)
{
    for (int32_t a = i, b = j; a < b; a++, b--) {
        int32_t node = t->at[a];
        t->at[a] = t->at[b];
        t->at[b] = node;
    }
    number_places(t, i, j);
}

/* Whether the run i to j may be turned round: no two of it that must follow one another. */
static bool may_turn(const struct tour *t, int32_t i, int32_t j)
{
    for (int32_t k = i; t->in->after && k <= j; k++) {
        int32_t outer = later(t, t->at[k]);
        if (outer >= 0 && t->place[outer] <= j)
            return false;
    }
    return true;
}

/* Whether the runs i to j and j + 1 to k may change places. */
static bool may_swap(const struct tour *t, int32_t i, int32_t j, int32_t k)
{
    for (int32_t a = i; t->in->after && a <= j; a++) {
        int32_t outer = later(t, t->at[a]);
        if (outer >= 0 && t->place[outer] > j && t->place[outer] <= k)
            return false;
    }
    return true;
}

static void swap_runs(struct tour *t, int32_t i, int32_t j, int32_t k)
{
    turn_round(t, i, j);
    turn_round(t, j + 1, k);
    turn_round(t, i, k);
}

static void queue(struct tour *t, int32_t place)
{
    int32_t node = t->at[place];
    if (node >= t->m || t->queued[node])
        return;
    t->queued[node] = true;
    t->queue[t->n_queue++] = node;
}

static double gap(const struct tour *t, int32_t place)
{
    return distance(t, t->at[place], t->at[place + 1]);
}

/* Turn round i to j if that is shorter. */
static bool try_turn(struct tour *t, int32_t i, int32_t j)
{
    if (i < 1 || j > t->m || i >= j)
        return false;
    double saved =
        gap(t, i - 1) + gap(t, j) - distance(t, t->at[i - 1], t->at[j]) - distance(t, t->at[i], t->at[j + 1]);
    if (saved < t->enough || !may_turn(t, i, j))
        return false;
    turn_round(t, i, j);
    queue(t, i - 1);
    queue(t, i);
    queue(t, j);
    queue(t, j + 1);
    return true;
}

/* Put the run i to j between the places k and k + 1 outside of it, turned or not, if that is shorter. */
static bool try_run(struct tour *t, int32_t i, int32_t j, int32_t k, bool turned)
{
    if (i < 1 || j > t->m || k < 0 || k > t->m || (k >= i - 1 && k <= j))
        return false;
    int32_t head = t->at[turned ? j : i], tail = t->at[turned ? i : j];
    double saved = gap(t, i - 1) + gap(t, j) + gap(t, k) - distance(t, t->at[i - 1], t->at[j + 1]) -
                   distance(t, t->at[k], head) - distance(t, tail, t->at[k + 1]);
    if (saved < t->enough || (turned && !may_turn(t, i, j)))
        return false;
    int32_t low = k < i ? k + 1 : i, mid = k < i ? i - 1 : j, high = k < i ? j : k;
    if (!may_swap(t, low, mid, high))
        return false;
    if (turned)
        turn_round(t, i, j);
    swap_runs(t, low, mid, high);
    queue(t, low - 1);
    queue(t, low);
    queue(t, low + high - mid - 1);
    queue(t, low + high - mid);
    queue(t, high);
    queue(t, high + 1);
    return true;
}

/* Changes that make near[n] the neighbour of a node, in the direction whose gap is longer than the way to it.
 */
static bool improve_towards(struct tour *t, int32_t node, int32_t other, double way)
{
    int32_t i = t->place[node], j = t->place[other];
    bool ahead = way < gap(t, i), behind = way < gap(t, i - 1);
    if (ahead && (j > i ? try_turn(t, i + 1, j) : try_turn(t, j + 1, i)))
        return true;
    if (behind && (j > i ? try_turn(t, i, j - 1) : try_turn(t, j, i - 1)))
        return true;
    for (int32_t run = 0; run < MOST_RUN; run++) {
        if (behind && (try_run(t, i, i + run, j, false) || try_run(t, i, i + run, j - 1, true)))
            return true;
        if (ahead && (try_run(t, i - run, i, j - 1, false) || try_run(t, i - run, i, j, true)))
            return true;
    }
    return false;
}

static bool improve_node(struct tour *t, int32_t node)
{
    const int32_t *near = t->near + node * NEAR;
    for (int n = 0; n < NEAR && near[n] >= 0; n++) {
        double way = distance(t, node, near[n]);
        if (way >= gap(t, t->place[node]) && way >= gap(t, t->place[node] - 1))
            break;
        if (improve_towards(t, node, near[n], way))
            return true;
    }
    return false;
}

static void improve(struct tour *t)
{
    while (t->n_queue > 0) {
        int32_t node = t->queue[--t->n_queue];
        t->queued[node] = false;
        while (improve_node(t, node))
            ;
    }
}

/* ---- kicks ---- */

static double length_of(const struct tour *t)
{
    double length = 0;
    for (int32_t i = 0; i <= t->m; i++)
        length += gap(t, i);
    return length;
}

static int32_t draw(struct tour *t, int32_t below)
{
    t->random ^= t->random << 13;
    t->random ^= t->random >> 7;
    t->random ^= t->random << 17;
    return (int32_t)(t->random % (uint64_t)below);
}

static void kick(struct tour *t, double *length)
{
    int32_t most = t->m / 3 < MOST_KICK ? t->m / 3 : MOST_KICK;
    int32_t one = 1 + draw(t, most), two = 1 + draw(t, most), i = 1 + draw(t, t->m - one - two + 1);
    int32_t j = i + one - 1, k = j + two;
    if (!may_swap(t, i, j, k))
        return;
    memcpy(t->kept, t->at, (size_t)(t->m + 2) * sizeof *t->kept);
    swap_runs(t, i, j, k);
    const int32_t changed[] = {i - 1, i, i + two - 1, i + two, k, k + 1};
    for (int n = 0; n < 6; n++)
        queue(t, changed[n]);
    improve(t);
    double now = length_of(t);
    if (now < *length - t->enough) {
        *length = now;
        return;
    }
    memcpy(t->at, t->kept, (size_t)(t->m + 2) * sizeof *t->kept);
    number_places(t, 0, t->m + 1);
}

/* So many that a search would take minutes stay in the order they were drawn in, each outer one behind the
 * last of its inner ones. */
static void as_drawn(struct tour *t)
{
    int32_t *left = t->kept, n = 0;
    memset(left, 0, (size_t)t->m * sizeof *left);
    for (int32_t i = 0; i < t->m; i++)
        if (later(t, i) >= 0)
            left[later(t, i)]++;
    for (int32_t i = 0; i < t->m; i++) {
        for (int32_t node = i; node >= 0 && node <= i && left[node] == 0; node = later(t, node)) {
            left[node] = -1; /* it is put, and never again */
            t->at[++n] = node;
            if (later(t, node) >= 0)
                left[later(t, node)]--;
        }
    }
}

static void search(struct tour *t, int32_t kicks)
{
    find_near(t);
    nearest_first(t);
    number_places(t, 0, t->m + 1);
    for (int32_t i = t->m; i > 0; i--)
        queue(t, i);
    improve(t);
    double length = length_of(t);
    for (int32_t i = 0; i < kicks; i++)
        kick(t, &length);
}

/* ---- the whole ---- */

static bool solve(struct tour *t)
{
    size_t n = (size_t)t->m + 2;
    t->x = malloc(n * sizeof *t->x);
    t->y = malloc(n * sizeof *t->y);
    t->at = malloc(n * sizeof *t->at);
    t->place = malloc(n * sizeof *t->place);
    t->near = malloc(n * NEAR * sizeof *t->near);
    t->queue = malloc(n * sizeof *t->queue);
    t->queued = calloc(n, sizeof *t->queued);
    t->kept = malloc(n * sizeof *t->kept);
    if (!t->x || !t->y || !t->at || !t->place || !t->near || !t->queue || !t->queued || !t->kept)
        return false;
    put_nodes(t);
    t->enough = enough_of(t);
    t->at[0] = t->m;
    t->at[t->m + 1] = t->m + 1;
    if (t->m <= SMALL)
        return all_orders(t);
    if (t->m > SG_TOUR_SEARCHED)
        as_drawn(t);
    else
        search(t, t->in->kicks);
    return true;
}

bool sg_tour(const struct sg_tour_input *input, int32_t *order, double *length)
{
    int32_t first = input->closed && input->n > 0 ? 1 : 0;
    struct tour t = {.in = input, .m = input->n - first, .first = first, .random = 0x9E3779B97F4A7C15u};
    bool solved = t.m <= 0 || solve(&t);
    if (first)
        order[0] = 0;
    *length = 0;
    for (int32_t i = 1; solved && i <= t.m; i++)
        order[first + i - 1] = t.at[i] + first;
    if (solved && t.m > 0)
        *length = length_of(&t);
    free(t.x);
    free(t.y);
    free(t.at);
    free(t.place);
    free(t.near);
    free(t.queue);
    free(t.queued);
    free(t.kept);
    return solved;
}
