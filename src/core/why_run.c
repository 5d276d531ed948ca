/* Why a shift and its jobs start, end and wait when they do. */
#include "why_inside.h"

#include <string.h>

const char *sg_why_event_name(struct sg_why_build *w, const struct sg_event *e)
{
    const struct sg_batch *batch = &w->plan->batches[e->batch];
    const char *word = e->kind == SG_EVENT_CHORE ? w->shop->chores[e->chore].name : sg_event_word(e->kind);
    return sg_why_words(w, "%s %s sheet %d", word,
                        sg_why_key(w, (struct sg_target){SG_KIND_STOCK, batch->stock}),
                        sg_event_sheet(w->plan, e));
}

static bool stops_machine(const struct sg_event *e)
{
    return !(e->flags & SG_EVENT_WHILE_CUTTING);
}

double sg_why_free_before(const struct sg_plan *plan, int32_t event)
{
    while (--event >= 0)
        if (stops_machine(&plan->run.events[event]))
            return plan->run.events[event].at + plan->run.events[event].seconds;
    return plan->start.late;
}

static int32_t job_of_event(const struct sg_why_build *w, int32_t event)
{
    return w->plan->batches[w->plan->run.events[event].batch].job;
}

/* The events of a job lie one after another. */
static bool find_events(struct sg_why_build *w, int32_t job)
{
    int32_t n = w->plan->run.n_events, first = 0;
    while (first < n && job_of_event(w, first) != job)
        first++;
    w->first_event = w->end_event = first;
    while (w->end_event < n && job_of_event(w, w->end_event) == job)
        w->end_event++;
    return w->end_event > first;
}

static void all_events(struct sg_why_build *w)
{
    w->first_event = 0;
    w->end_event = w->plan->run.n_events;
}

static struct sg_why_item *room_for_events(struct sg_why_build *w)
{
    size_t n = (size_t)(w->end_event - w->first_event) + 2;
    struct sg_why_item *items = sg_arena_take(w->arena, n * sizeof *items);
    w->failed = w->failed || !items;
    return items;
}

static struct sg_target stock_of_event(const struct sg_why_build *w, const struct sg_event *e)
{
    return (struct sg_target){SG_KIND_STOCK, w->plan->batches[e->batch].stock};
}

/* ---- hands on ---- */

static void refill_seconds(struct sg_why_build *w, const struct sg_event *e)
{
    struct sg_target machine = {SG_KIND_MACHINE, 0};
    sg_why_formula(&w->lines[w->n - 1], "refill + bags x refill per bag", false, SG_BASIS_DERIVED, NULL);
    sg_why_field(w, machine, "refill", NULL, NULL);
    sg_why_whole(w, "bags", e->bags);
    sg_why_field(w, machine, "refill_per_bag", NULL, NULL);
}

static void chore_seconds(struct sg_why_build *w, const struct sg_event *e)
{
    double once = w->shop->chores[e->chore].time;
    sg_why_formula(&w->lines[w->n - 1], "times x time", false, SG_BASIS_DERIVED, NULL);
    sg_why_whole(w, "times", llround(e->seconds / once));
    sg_why_field(w, (struct sg_target){SG_KIND_CHORE, e->chore}, "time", NULL, NULL);
}

/* Only the lines that are shown get the names of their events. */
static struct sg_why_line *rename_line(struct sg_why_build *w, const char *name)
{
    w->lines[w->n - 1].name = w->lines[w->n - 1].symbol = name;
    return &w->lines[w->n - 1];
}

/* Where an event's seconds come from: a field, or a number of the stock. */
static void event_seconds(struct sg_why_build *w, const struct sg_why_item *item)
{
    static const char *const machine_fields[SG_EVENTS] = {
        [SG_EVENT_HEAD_CHANGE] = "head_change",
        [SG_EVENT_TUBE_CHANGE] = "tube_change",
        [SG_EVENT_ORIFICE_CHANGE] = "orifice_change",
        [SG_EVENT_INDEX_MOVE] = "index_move",
    };
    const struct sg_event *e = &w->plan->run.events[item->index];
    struct sg_target stock = stock_of_event(w, e);
    struct sg_why_line *line = rename_line(w, sg_why_event_name(w, e));
    if (e->kind == SG_EVENT_REFILL)
        refill_seconds(w, e);
    else if (e->kind == SG_EVENT_CHORE)
        chore_seconds(w, e);
    else if (e->kind == SG_EVENT_LOAD)
        sg_why_more(line, stock, "load");
    else if (e->kind == SG_EVENT_FIRST_CHECK)
        sg_why_read_field(w, line, stock, sg_field_find(SG_KIND_STOCK, "first_check"));
    else if (machine_fields[e->kind])
        sg_why_read_field(w, line, (struct sg_target){SG_KIND_MACHINE, 0},
                          sg_field_find(SG_KIND_MACHINE, machine_fields[e->kind]));
}

static bool is_hands_on(const struct sg_event *e)
{
    return stops_machine(e) && sg_event_needs_person(e->kind);
}

/* The events of one kind; the item's index is the kind. */
static void events_of_kind(struct sg_why_build *w, const struct sg_why_item *item)
{
    struct sg_why_item *items = room_for_events(w);
    int n = 0;
    sg_why_formula(&w->lines[w->n - 1], "sum of its lines", false, SG_UNKNOWN, NULL);
    for (int32_t i = w->first_event; items && i < w->end_event; i++) {
        const struct sg_event *e = &w->plan->run.events[i];
        if (e->kind == item->index && is_hands_on(e))
            items[n++] = (struct sg_why_item){.value = e->seconds, .name = "", .at = e->at, .index = i};
    }
    if (items)
        sg_why_items(w, items, n, SG_WHY_NUMBER, SG_DIM_DURATION, SG_WHY_MOST, event_seconds);
}

static void hands_on(struct sg_why_build *w, double value, bool each_event)
{
    struct sg_why_item kinds[SG_EVENTS] = {{0}};
    int counts[SG_EVENTS] = {0};
    struct sg_why_line *line = sg_why_number(w, "hands on", NULL, SG_DIM_DURATION, value);
    sg_why_formula(line, "sum of its lines", false, SG_BASIS_DERIVED, NULL);
    line->note = "what needs a person and stops the machine";
    for (int32_t i = w->first_event; i < w->end_event; i++) {
        const struct sg_event *e = &w->plan->run.events[i];
        kinds[e->kind].value += is_hands_on(e) ? e->seconds : 0;
        counts[e->kind] += is_hands_on(e);
    }
    for (int k = 0; k < SG_EVENTS; k++) {
        kinds[k].name = sg_why_words(w, "%d x %s", counts[k], sg_event_word(k));
        kinds[k].at = (double)NAN;
        kinds[k].index = k;
    }
    w->depth++;
    sg_why_items(w, kinds, SG_EVENTS, SG_WHY_NUMBER, SG_DIM_DURATION, SG_EVENTS,
                 each_event ? events_of_kind : NULL);
    w->depth--;
}

/* ---- waiting ---- */

static bool ends_a_break(const struct sg_why_build *w, double at)
{
    const struct sg_calendar *calendar = &w->shop->shifts[w->plan->shift].calendar;
    for (int i = 0; i < calendar->n_breaks; i++)
        if (calendar->breaks[i].to_s == at)
            return true;
    return false;
}

static const char *waits_for(struct sg_why_build *w, const struct sg_event *e)
{
    bool over = ends_a_break(w, e->at), person = sg_event_needs_person(e->kind);
    const char *what = over     ? "waits for the end of a break"
                       : person ? "waits for the person"
                                : "waits for a filling or a gap";
    return sg_why_words(w, "%s %s", sg_why_event_name(w, e), what);
}

static void name_wait(struct sg_why_build *w, const struct sg_why_item *item)
{
    rename_line(w, item->index < 0 ? "the shift before runs over"
                                   : waits_for(w, &w->plan->run.events[item->index]));
}

/* `late` s more where the shift before runs over. */
static void waiting(struct sg_why_build *w, double value, double late)
{
    struct sg_why_item *items = room_for_events(w);
    struct sg_why_line *line = sg_why_number(w, "waiting", NULL, SG_DIM_DURATION, value);
    int n = 0;
    double free = sg_why_free_before(w->plan, w->first_event);
    sg_why_formula(line, "sum of its lines", false, SG_BASIS_DERIVED, NULL);
    line->note = "the machine stands and nobody works at it";
    if (late > 0 && items)
        items[n++] = (struct sg_why_item){.value = late, .name = "", .at = 0, .index = -1};
    for (int32_t i = w->first_event; items && i < w->end_event; i++) {
        const struct sg_event *e = &w->plan->run.events[i];
        if (!stops_machine(e))
            continue;
        if (e->at != free)
            items[n++] = (struct sg_why_item){.value = e->at - free, .name = "", .at = free, .index = i};
        free = e->at + e->seconds;
    }
    w->depth++;
    if (items)
        sg_why_items(w, items, n, SG_WHY_NUMBER, SG_DIM_DURATION, SG_WHY_MOST, name_wait);
    w->depth--;
}

/* ---- a job ---- */

static struct sg_target job_target(int32_t index)
{
    return (struct sg_target){SG_KIND_JOB, index};
}

static void out_of_garnet(struct sg_why_build *w)
{
    const struct sg_run *run = &w->plan->run;
    const struct sg_event *last = &run->events[run->n_events - 1];
    struct sg_why_line *line = sg_why_whole(w, "bags short", run->bags_short);
    line->aside = true;
    line->at = last->at;
    line->note = sg_why_words(w, "the garnet runs out at %s", sg_why_key(w, stock_of_event(w, last)));
    sg_why_field(w, (struct sg_target){SG_KIND_MACHINE, 0}, "bags_in_stock", NULL, NULL)->aside = true;
}

/* Why a job or shift has no start or end. */
static void no_time(struct sg_why_build *w, const char *name, int32_t job)
{
    bool garnet = !w->plan->run.finished;
    sg_why_moment(w, name, (double)NAN);
    int at = w->n - 1;
    w->depth++;
    if (w->plan->closed_day)
        sg_why_field(w, (struct sg_target){SG_KIND_SHIFT, w->plan->shift}, "closed_days", NULL, NULL)->aside =
            true;
    else if (garnet)
        out_of_garnet(w);
    bool untimed = sg_why_untimed(w, job) > 0 || sg_why_untimed(w, SG_UNKNOWN) > 0;
    w->depth--;
    w->lines[at].note = w->plan->closed_day ? "nothing is cut: the shift lies on a closed day"
                        : garnet            ? "it cannot end: the garnet runs out"
                        : untimed           ? "a part cannot be timed"
                                            : "nothing is cut";
}

static void free_line(struct sg_why_build *w, int32_t first)
{
    double free = sg_why_free_before(w->plan, first);
    struct sg_why_line *line = sg_why_moment(w, "free", free);
    if (first > 0) {
        line->note = "the machine is free: the job before ends";
        sg_why_more(line, job_target(job_of_event(w, first - 1)), "ends");
    } else if (w->plan->start.late > 0) {
        line->note = "the machine is free: the shift before runs over";
    } else {
        line->note = "the shift starts";
        sg_why_read_field(w, line, (struct sg_target){SG_KIND_SHIFT, w->plan->shift},
                          sg_field_find(SG_KIND_SHIFT, "start"));
    }
}

void sg_why_job_starts(struct sg_why_build *w, int32_t index)
{
    if (!find_events(w, index)) {
        no_time(w, "starts", index);
        return;
    }
    const struct sg_event *e = &w->plan->run.events[w->first_event];
    struct sg_why_line *line = sg_why_moment(w, "starts", w->plan->jobs[index - w->plan->first_job].starts);
    sg_why_formula(line, "free + wait", false, SG_BASIS_DERIVED, NULL);
    line->note = sg_why_words(w, "its first event is %s", sg_why_event_name(w, e));
    w->depth++;
    free_line(w, w->first_event);
    double wait = e->at - sg_why_free_before(w->plan, w->first_event);
    line = sg_why_number(w, "wait", NULL, SG_DIM_DURATION, wait);
    if (wait > 0)
        line->note = waits_for(w, e);
    w->depth--;
}

struct times {
    double cut, pierce, rapid; /* s */
};

static void time_line(struct sg_why_build *w, const char *name, double value, struct sg_target from)
{
    struct sg_why_line *line = sg_why_number(w, name, NULL, SG_DIM_DURATION, value);
    sg_why_more(line, from, name);
}

static void time_lines(struct sg_why_build *w, const struct times *times, struct sg_target from)
{
    time_line(w, "cut", times->cut, from);
    time_line(w, "pierce", times->pierce, from);
    time_line(w, "rapid", times->rapid, from);
}

static double hands_on_seconds(const struct sg_why_build *w)
{
    double seconds = 0;
    for (int32_t i = w->first_event; i < w->end_event; i++)
        if (is_hands_on(&w->plan->run.events[i]))
            seconds += w->plan->run.events[i].seconds;
    return seconds;
}

static double waiting_seconds(const struct sg_why_build *w)
{
    double seconds = 0;
    for (int32_t i = w->first_event; i < w->end_event; i++)
        if (stops_machine(&w->plan->run.events[i]))
            seconds += w->plan->run.events[i].at - sg_why_free_before(w->plan, i);
    return seconds;
}

void sg_why_job_ends(struct sg_why_build *w, int32_t index)
{
    const struct sg_plan_job *planned = &w->plan->jobs[index - w->plan->first_job];
    if (!find_events(w, index) || !sg_known(planned->ends)) {
        no_time(w, "ends", index);
        return;
    }
    struct times times = {planned->cut, planned->pierce, planned->rapid};
    struct sg_why_line *line = sg_why_moment(w, "ends", planned->ends);
    sg_why_formula(line, "free + cut + pierce + rapid + hands on + waiting", false, SG_BASIS_DERIVED, NULL);
    w->depth++;
    free_line(w, w->first_event);
    time_lines(w, &times, job_target(index));
    hands_on(w, hands_on_seconds(w), false);
    waiting(w, waiting_seconds(w), 0);
    w->depth--;
}

/* A moment as seconds since 1970, as the due time is kept. */
static struct sg_why_line *epoch_line(struct sg_why_build *w, const char *name, double value)
{
    struct sg_why_line *line = sg_why_moment(w, name, value);
    line->shape = SG_WHY_EPOCH;
    return line;
}

void sg_why_job_late(struct sg_why_build *w, int32_t index)
{
    const struct sg_plan_job *planned = &w->plan->jobs[index - w->plan->first_job];
    const struct sg_job *job = &w->shop->jobs[index];
    struct sg_why_line *line = sg_why_number(w, "late", NULL, SG_DIM_DURATION, planned->late);
    sg_why_formula(line, "max(0, ends - due)", false, SG_BASIS_DERIVED, NULL);
    line->note = !sg_known(job->due_epoch) ? "the job has no due time"
                 : sg_known(planned->ends) ? NULL
                                           : "it has no end";
    w->depth++;
    if (sg_known(planned->ends))
        sg_why_more(epoch_line(w, "ends", w->epoch + planned->ends), job_target(index), "ends");
    else
        sg_why_job_ends(w, index);
    line = epoch_line(w, "due", job->due_epoch);
    sg_why_read_field(w, line, job_target(index), sg_field_find(SG_KIND_JOB, "due"));
    w->depth--;
}

/* ---- the shift ---- */

void sg_why_shift_ends(struct sg_why_build *w, int32_t index)
{
    const struct sg_plan *plan = w->plan;
    struct sg_target shift = {SG_KIND_SHIFT, index};
    if (!sg_known(plan->ends)) {
        no_time(w, "ends", SG_UNKNOWN);
        return;
    }
    struct times times = {plan->totals.cut, plan->totals.pierce, plan->totals.rapid};
    struct sg_why_line *line = sg_why_moment(w, "ends", plan->ends);
    sg_why_formula(line, "start + cut + pierce + rapid + hands on + waiting", false, SG_BASIS_DERIVED, NULL);
    all_events(w);
    w->depth++;
    line = sg_why_moment(w, "start", 0);
    sg_why_read_field(w, line, shift, sg_field_find(SG_KIND_SHIFT, "start"));
    time_lines(w, &times, shift);
    hands_on(w, plan->totals.hands_on, false);
    waiting(w, plan->totals.waiting, plan->start.late);
    w->depth--;
}

void sg_why_shift_over(struct sg_why_build *w, int32_t index)
{
    const struct sg_plan *plan = w->plan;
    struct sg_target shift = {SG_KIND_SHIFT, index};
    struct sg_why_line *line = sg_why_number(w, "over", NULL, SG_DIM_DURATION, plan->over);
    sg_why_formula(line, "max(0, ends - end)", false, SG_BASIS_DERIVED, NULL);
    line->note = sg_known(plan->ends) ? NULL : "the shift has no end";
    w->depth++;
    if (sg_known(plan->ends))
        sg_why_more(sg_why_moment(w, "ends", plan->ends), shift, "ends");
    else
        sg_why_shift_ends(w, index);
    line = sg_why_moment(w, "end", w->shop->shifts[index].calendar.close_s);
    line->note = "the shift closes";
    sg_why_read_field(w, line, shift, sg_field_find(SG_KIND_SHIFT, "end"));
    w->depth--;
}

/* Hands on and waiting of a shift are not known where the run stops before a part. */
static bool not_timed(struct sg_why_build *w, const char *name)
{
    if (!w->plan->unknown)
        return false;
    sg_why_number(w, name, NULL, SG_DIM_DURATION, (double)NAN)->note = "a part cannot be timed";
    w->depth++;
    sg_why_untimed(w, SG_UNKNOWN);
    w->depth--;
    return true;
}

void sg_why_shift_hands_on(struct sg_why_build *w, int32_t index)
{
    (void)index;
    if (not_timed(w, "hands on"))
        return;
    all_events(w);
    hands_on(w, w->plan->totals.hands_on, true);
}

void sg_why_shift_waiting(struct sg_why_build *w, int32_t index)
{
    (void)index;
    if (not_timed(w, "waiting"))
        return;
    all_events(w);
    waiting(w, w->plan->totals.waiting, w->plan->start.late);
}
