/* What a finished run says when it is asked. */
#include "sandglass/run.h"

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
        bool asks = sg_event_needs_person(e->kind) && (e->seconds > 0 || e->kind == SG_EVENT_OUT_OF_GARNET);
        if (asks && e->asked < to && e->at >= from) {
            if (event)
                *event = i;
            return false;
        }
    }
    if (event)
        *event = -1;
    return true;
}

struct curve {
    void (*point)(void *context, double at, double level);
    void *context;
    double pending; /* kg of a refill under way that the events already count as in */
    double pending_at;
};

static void draw(struct curve *curve, double at, double level)
{
    curve->point(curve->context, at, level - curve->pending);
}

/* A stretch of falling level, with the end of a refill perhaps in its middle. */
static void draw_cut(struct curve *curve, const struct sg_event *e)
{
    draw(curve, e->at, e->level);
    if (curve->pending > 0 && curve->pending_at <= e->at + e->seconds) {
        double share = e->seconds > 0 ? (curve->pending_at - e->at) / e->seconds : 0;
        double level = e->level - e->garnet * (share > 0 ? share : 0);
        draw(curve, curve->pending_at, level);
        curve->pending = 0;
        draw(curve, curve->pending_at, level);
    }
    draw(curve, e->at + e->seconds, e->level - e->garnet);
}

void sg_run_hopper(const struct sg_run *run, void (*point)(void *context, double at, double level),
                   void *context)
{
    struct curve curve = {point, context, 0, 0};
    for (int32_t i = 0; i < run->n_events; i++) {
        const struct sg_event *e = &run->events[i];
        if (curve.pending > 0 && curve.pending_at <= e->at && e->kind != SG_EVENT_CUT) {
            point(context, curve.pending_at, e->level - curve.pending);
            curve.pending = 0;
            point(context, curve.pending_at, e->level);
        }
        if (e->kind == SG_EVENT_CUT && e->garnet > 0) {
            draw_cut(&curve, e);
        } else if (e->kind == SG_EVENT_REFILL && e->flags & SG_EVENT_WHILE_CUTTING) {
            curve.pending += e->garnet;
            curve.pending_at = e->at + e->seconds;
        } else if (e->kind == SG_EVENT_REFILL) {
            draw(&curve, e->at + e->seconds, e->level);
            draw(&curve, e->at + e->seconds, e->level + e->garnet);
        }
    }
    if (curve.pending > 0) {
        point(context, curve.pending_at, run->level_end - curve.pending);
        point(context, curve.pending_at, run->level_end);
    }
    point(context, run->end, run->level_end);
}
