/* What a finished run says when it is asked. */
#include "sandglass/run.h"

#include <string.h>

static const struct {
    const char *word;
    bool person;
} kinds[SG_EVENTS] = {
    [SG_EVENT_HEAD_CHANGE] = {"head change", true},
    [SG_EVENT_TUBE_CHANGE] = {"tube change", true},
    [SG_EVENT_ORIFICE_CHANGE] = {"orifice change", true},
    [SG_EVENT_LOAD] = {"load", true},
    [SG_EVENT_REFILL] = {"refill", true},
    [SG_EVENT_CUT] = {"cut", false},
    [SG_EVENT_FIRST_CHECK] = {"first check", true},
    [SG_EVENT_INDEX_MOVE] = {"index move", true},
    [SG_EVENT_TABS] = {"tabs", true},
    [SG_EVENT_CHORE] = {"chore", true},
    [SG_EVENT_OUT_OF_GARNET] = {"out of garnet", true},
};

bool sg_event_needs_person(int kind)
{
    return kinds[kind].person;
}

const char *sg_event_word(int kind)
{
    return kinds[kind].word;
}

bool sg_run_alone(const struct sg_run *run, double from, double to, int32_t *event)
{
    for (int32_t i = 0; i < run->n_events; i++) {
        const struct sg_event *e = &run->events[i];
        bool asks = sg_event_needs_person(e->kind) && e->seconds > 0 && e->at >= from;
        bool stands = e->kind == SG_EVENT_OUT_OF_GARNET; /* from then on it waits for somebody with garnet */
        if ((asks || stands) && e->asked < to) {
            if (event)
                *event = i;
            return false;
        }
    }
    if (event)
        *event = -1;
    return true;
}

enum { MAX_PENDING = 16 };

struct curve {
    void (*point)(void *context, double at, double level);
    void *context;
    struct {
        double at, kg;
    } pending[MAX_PENDING]; /* fillings under way that the events already count as in, in order */
    int n;
};

static double pending_kg(const struct curve *curve)
{
    double kg = 0;
    for (int i = 0; i < curve->n; i++)
        kg += curve->pending[i].kg;
    return kg;
}

static void draw(struct curve *curve, double at, double level)
{
    curve->point(curve->context, at, level - pending_kg(curve));
}

/* The step of the first filling under way; `level` is that of the events at its end. */
static void draw_step(struct curve *curve, double level)
{
    double at = curve->pending[0].at;
    draw(curve, at, level);
    curve->n--;
    memmove(curve->pending, curve->pending + 1, (size_t)curve->n * sizeof *curve->pending);
    draw(curve, at, level);
}

static void draw_steps_until(struct curve *curve, double at, double level)
{
    while (curve->n > 0 && curve->pending[0].at <= at)
        draw_step(curve, level);
}

/* A stretch of falling level, with the ends of fillings perhaps in its middle. */
static void draw_cut(struct curve *curve, const struct sg_event *e)
{
    double end = e->at + e->seconds;
    draw(curve, e->at, e->level);
    while (curve->n > 0 && curve->pending[0].at < end)
        draw_step(curve, e->level - e->garnet * ((curve->pending[0].at - e->at) / e->seconds));
    draw(curve, end, e->level - e->garnet);
}

void sg_run_hopper(const struct sg_run *run, void (*point)(void *context, double at, double level),
                   void *context)
{
    struct curve curve = {.point = point, .context = context};
    for (int32_t i = 0; i < run->n_events; i++) {
        const struct sg_event *e = &run->events[i];
        if (e->kind == SG_EVENT_REFILL && e->flags & SG_EVENT_WHILE_CUTTING && curve.n < MAX_PENDING) {
            curve.pending[curve.n].at = e->at + e->seconds;
            curve.pending[curve.n++].kg = e->garnet;
            continue; /* cutting that comes next in the list may start before it */
        }
        draw_steps_until(&curve, e->at, e->level);
        if (e->kind == SG_EVENT_CUT && e->garnet > 0) {
            draw_cut(&curve, e);
        } else if (e->kind == SG_EVENT_REFILL) {
            draw(&curve, e->at + e->seconds, e->level);
            draw(&curve, e->at + e->seconds, e->level + e->garnet);
        }
    }
    draw_steps_until(&curve, run->end, run->level_end);
    draw(&curve, run->end, run->level_end);
    draw_steps_until(&curve, (double)INFINITY, run->level_end); /* a filling that ends after the last cut */
}
