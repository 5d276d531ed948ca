/* Where refills cost the least: refill after refill, every boundary at which it may fall, each judged by
 * running the whole shift with it.
 *
 * Of two ways to refill at the same boundary with as much in the hopper, the one that is done earlier is
 * never worse for what comes after: nothing in the run ends later for having started earlier. So only the
 * best way to each boundary is kept, and the work grows with the square of the boundaries between two
 * refills, not with their power. Where there are more than MAX_PLACES of them, those at which what waits can
 * change are looked at (the start of a sheet, the last before a break, the last from which a filling is done
 * in time), and others evenly between. */
#include "run_inside.h"

enum { MAX_REFILLS = 24, MAX_PLACES = 96, WORK = 400000 }; /* WORK: events run in all */

/* A way through the first refills: the n that do not fall where the rule has them, and how it stands after
 * the last. */
struct way {
    struct sg_refill_place places[MAX_REFILLS], last;
    int32_t n;
    double done, cut_at, level; /* s when the last filling ends and cutting goes on; kg then */
    int32_t bags;
};

struct search {
    struct sg_run_input input;
    struct sg_run *run;
    struct way ways[MAX_PLACES], next[MAX_PLACES], best;
    int32_t n_ways, n_next, refills;
    double best_end;
    int64_t work;
};

static bool same_place(const struct sg_refill_place *a, const struct sg_refill_place *b)
{
    return a->batch == b->batch && a->sheet == b->sheet && a->cut == b->cut;
}

/* Run with the places of a way; false where that is no plan with the fewest refills. */
static bool run_with(struct search *s, const struct way *way)
{
    s->input.places = way->places;
    s->input.n_places = way->n;
    sg_run_simulate(&s->input, s->run);
    s->work += s->run->n_events + 1;
    if (s->run->failed || !s->run->finished || s->run->refills != s->refills)
        return false;
    if (s->run->end < s->best_end - 1e-9) {
        s->best_end = s->run->end;
        s->best = *way;
    }
    return true;
}

/* Index of the refill number `wanted` of the run just made, or -1. */
static int32_t find_refill(const struct sg_run *run, int32_t wanted)
{
    for (int32_t i = 0; i < run->n_events; i++)
        if (run->events[i].kind == SG_EVENT_REFILL && wanted-- == 0)
            return i;
    return -1;
}

/* Whether a refill may fall before any cut of the event's sheet, or before the first only. */
static bool by_piece(const struct search *s, const struct sg_event *e)
{
    const struct sg_batch *batch = &s->input.batches[e->batch];
    double kg = sg_sheets_garnet(&s->input.sheets[batch->sheets], s->input.batches);
    return sg_run_boundary(s->input.machine, kg, batch->garnet) != SG_REFILL_BY_SHEET;
}

/* Whether the boundary before cut k of a stretch is one at which what waits can change. */
static bool worth_trying(const struct search *s, const struct sg_event *e, const struct sg_event *late,
                         int64_t k)
{
    const struct sg_calendar *calendar = s->input.calendar;
    double each = e->cuts > 0 ? e->seconds / (double)e->cuts : e->seconds, at = e->at + (double)k * each;
    if (k == 0 || fabs(at + late->seconds - late->asked) < 2 * each)
        return true;
    for (int i = 0; i < calendar->n_breaks; i++)
        if (fabs(at - calendar->breaks[i].from_s) < 2 * each)
            return true;
    return false;
}

/* Whether a batch is the first one on its sheets. */
static bool is_first(const struct search *s, int32_t batch)
{
    return s->input.sheets[s->input.batches[batch].sheets].first == batch;
}

/* Boundaries from the event `first` on and before the refill `late`, in order. */
static int32_t find_places(const struct search *s, int32_t first, int32_t late,
                           struct sg_refill_place *places)
{
    const struct sg_event *events = s->run->events;
    int64_t count = 0, seen = 0;
    int32_t n = 0;
    for (int32_t i = first; i < late; i++)
        count += events[i].kind == SG_EVENT_CUT ? events[i].cuts + 1 : 0;
    int64_t stride = 1 + 2 * count / MAX_PLACES;
    for (int32_t i = first; i < late; i++) {
        const struct sg_event *e = &events[i];
        if (e->kind != SG_EVENT_CUT)
            continue;
        int64_t boundaries = e->cuts > 0 ? e->cuts : 1; /* a part of a piece starts at one, or goes on */
        bool pieces = by_piece(s, e);
        for (int64_t k = 0; k < boundaries && n < MAX_PLACES; k++, seen++) {
            struct sg_refill_place place = {e->batch, e->sheet, e->first + k};
            bool allowed = (pieces || (place.cut == 0 && is_first(s, place.batch))) &&
                           !(n > 0 && same_place(&places[n - 1], &place));
            if (allowed && (count < MAX_PLACES || seen % stride == 0 || worth_trying(s, e, &events[late], k)))
                places[n++] = place;
        }
    }
    return n;
}

/* Note how a way stands after refill number `depth` of the run just made, and keep it unless another one to
 * the same place is as early and as full. */
static void keep_way(struct search *s, struct way way, int32_t depth)
{
    const struct sg_event *events = s->run->events;
    int32_t fill = find_refill(s->run, depth), cut = fill;
    while (cut < s->run->n_events - 1 && events[cut].kind != SG_EVENT_CUT)
        cut++;
    way.last = (struct sg_refill_place){events[fill].batch, events[fill].sheet, events[fill].first};
    way.done = events[fill].at + events[fill].seconds;
    way.cut_at = events[cut].at;
    way.level = events[cut].level;
    way.bags = 0;
    for (int32_t i = 0; i <= fill; i++)
        way.bags += events[i].bags;
    for (int32_t i = 0; i < s->n_next; i++) {
        const struct way *w = &s->next[i];
        if (same_place(&w->last, &way.last) && w->done <= way.done && w->cut_at <= way.cut_at &&
            w->level >= way.level && w->bags <= way.bags)
            return;
    }
    if (s->n_next < MAX_PLACES)
        s->next[s->n_next++] = way;
}

/* Refill number `depth` behind one way through those before it: where the rule has it, then at every place
 * before. */
static void extend(struct search *s, const struct way *before, int32_t depth)
{
    struct sg_refill_place places[MAX_PLACES];
    struct way way = *before;
    if (!run_with(s, &way))
        return;
    int32_t first = depth > 0 ? find_refill(s->run, depth - 1) + 1 : 0, late = find_refill(s->run, depth);
    int32_t n = find_places(s, first, late, places);
    keep_way(s, way, depth);
    for (way.n++; n-- > 0 && s->work < WORK;) {
        way.places[way.n - 1] = places[n];
        if (run_with(s, &way))
            keep_way(s, way, depth);
    }
}

void sg_run_least_wait(const struct sg_run_input *input, struct sg_run *run, struct sg_run *scratch)
{
    struct search s = {.input = *input, .run = scratch, .n_ways = 1};
    sg_run_simulate(input, run);
    if (run->failed || !run->finished || run->refills == 0 || run->refills > MAX_REFILLS)
        return;
    s.refills = run->refills;
    s.best_end = run->end;
    for (int32_t depth = 0; depth < s.refills; depth++) {
        s.n_next = 0;
        for (int32_t i = 0; i < s.n_ways && s.work < WORK; i++)
            extend(&s, &s.ways[i], depth);
        for (int32_t i = 0; i < s.n_next; i++)
            s.ways[i] = s.next[i];
        s.n_ways = s.n_next;
    }
    s.input.places = s.best.places;
    s.input.n_places = s.best.n;
    if (s.best.n > 0)
        sg_run_simulate(&s.input, run);
}
