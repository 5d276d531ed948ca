/* Where refills cost the least: a search over places, each judged by running the whole shift with it.
 *
 * A refill moved to an earlier boundary changes the end of the shift only through what waits: a person in a
 * break, a piece that no longer fits before one, a filling that the machine overtakes. So the places worth
 * trying before the latest one are the starts of stretches (a sheet, after a check or a break), the last
 * boundary before a break, and the boundary from which a filling is just done in time. */
#include "sandglass/run.h"

enum { MAX_REFILLS = 24, MAX_PLACES = 96, WORK = 400000 }; /* WORK: events run in all */

struct search {
    struct sg_run_input input;
    struct sg_run *run;
    struct sg_refill_place places[MAX_REFILLS], best[MAX_REFILLS];
    int32_t n_best, refills;
    double best_end;
    int64_t work;
};

/* Run with the first n places. */
static void run_with(struct search *s, int32_t n)
{
    s->input.places = s->places;
    s->input.n_places = n;
    sg_run_simulate(&s->input, s->run);
    s->work += s->run->n_events + 1;
}

static bool same_place(const struct sg_refill_place *a, const struct sg_refill_place *b)
{
    return a->batch == b->batch && a->sheet == b->sheet && a->cut == b->cut;
}

static int add_place(struct sg_refill_place *places, int n, const struct sg_event *e, int64_t cut)
{
    struct sg_refill_place place = {e->batch, e->sheet, e->first + cut};
    if (cut < 0 || cut >= e->cuts || n == MAX_PLACES || (n > 0 && same_place(&places[n - 1], &place)))
        return n;
    places[n] = place;
    return n + 1;
}

/* Places inside one stretch of cuts, in order of the run. */
static int places_in(const struct search *s, const struct sg_event *e, const struct sg_event *latest,
                     struct sg_refill_place *places, int n)
{
    const struct sg_calendar *calendar = s->input.calendar;
    double each = e->cuts > 0 ? e->seconds / (double)e->cuts : 0;
    n = add_place(places, n, e, 0);
    if (s->input.machine->refill_at == SG_AT_SHEETS || each <= 0)
        return n;
    for (int i = 0; i < calendar->n_breaks; i++) {
        double before = (calendar->breaks[i].from_s - e->at) / each;
        if (before >= 0 && before <= (double)e->cuts)
            for (int back = 1; back >= 0; back--)
                n = add_place(places, n, e, (int64_t)before - back);
    }
    double early = (latest->asked - latest->seconds - e->at) / each;
    if (latest->flags & SG_EVENT_WHILE_CUTTING && early >= 0 && early <= (double)e->cuts)
        for (int back = 1; back >= -1; back--)
            n = add_place(places, n, e, (int64_t)early - back);
    return n;
}

/* Places before the refill with index `depth` of the run just made, later ones last. */
static int find_places(const struct search *s, int32_t depth, struct sg_refill_place *places)
{
    const struct sg_run *run = s->run;
    int32_t first = 0, last = run->n_events, refill = 0;
    for (int32_t i = 0; i < run->n_events; i++)
        if (run->events[i].kind == SG_EVENT_REFILL) {
            first = refill < depth ? i + 1 : first;
            last = refill == depth ? i : last;
            refill++;
        }
    int n = 0;
    if (last == run->n_events)
        return 0;
    const struct sg_event latest = run->events[last];
    for (int32_t i = first; i < last; i++)
        if (run->events[i].kind == SG_EVENT_CUT && run->events[i].cuts > 0)
            n = places_in(s, &run->events[i], &latest, places, n);
    return n;
}

static void keep_if_better(struct search *s, int32_t n)
{
    if (!s->run->finished || s->run->refills != s->refills || s->run->end >= s->best_end - 1e-9)
        return;
    s->best_end = s->run->end;
    s->n_best = n;
    for (int32_t i = 0; i < n; i++)
        s->best[i] = s->places[i];
}

/* depth refills are placed; place the next one as late as the rule does, then at each place worth trying. */
static void descend(struct search *s, int32_t n, int32_t depth)
{
    struct sg_refill_place places[MAX_PLACES];
    run_with(s, n);
    if (s->run->failed || !s->run->finished || s->run->refills != s->refills)
        return;
    keep_if_better(s, n);
    if (depth == s->refills || n == MAX_REFILLS)
        return;
    int count = find_places(s, depth, places);
    int32_t latest = -1, refill = 0;
    for (int32_t i = 0; i < s->run->n_events && latest < 0; i++)
        if (s->run->events[i].kind == SG_EVENT_REFILL && refill++ == depth)
            latest = i;
    const struct sg_event late = s->run->events[latest];
    for (int i = count; i >= 0 && s->work < WORK; i--) {
        s->places[n] = i == count ? (struct sg_refill_place){late.batch, late.sheet, late.first} : places[i];
        descend(s, n + 1, depth + 1);
    }
}

void sg_run_least_wait(const struct sg_run_input *input, struct sg_run *run, struct sg_run *scratch)
{
    struct search s = {.input = *input, .run = scratch};
    sg_run_simulate(input, run);
    if (run->failed || !run->finished || run->refills == 0 || run->refills > MAX_REFILLS)
        return;
    s.refills = run->refills;
    s.best_end = run->end;
    descend(&s, 0, 0);
    s.input.places = s.best;
    s.input.n_places = s.n_best;
    if (s.n_best > 0)
        sg_run_simulate(&s.input, run);
}
