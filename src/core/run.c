#include "run_inside.h"

#include <stdlib.h>
#include <string.h>

/* s; so that a piece that just ends at a break fits before it. */
#define TIME_SLACK 1e-9

/* ---- events ---- */

struct sg_event *sg_run_push(struct sg_run_state *s, int kind, const struct sg_run_sheet *sheet, double at,
                             double seconds)
{
    struct sg_run *run = s->run;
    if (run->n_events == run->room) {
        int32_t room = run->room ? run->room * 2 : 256;
        struct sg_event *events = NULL;
        if (run->n_events < SG_RUN_MAX_EVENTS)
            events = realloc(run->events, (size_t)room * sizeof *events);
        if (!events) {
            run->failed = true;
            return &run->spare;
        }
        run->events = events;
        run->room = room;
    }
    struct sg_event *event = &run->events[run->n_events++];
    *event = (struct sg_event){.at = at,
                               .seconds = seconds,
                               .asked = s->now,
                               .level = s->level,
                               .batch = sheet->batch_index,
                               .sheet = sheet->number,
                               .first = sheet->done,
                               .kind = (uint16_t)kind};
    if (sg_event_needs_person(kind) && at >= s->in->calendar->close_s)
        event->flags |= SG_EVENT_AFTER_SHIFT;
    return event;
}

/* When a person who is asked for at t can start. */
double sg_run_person_at(const struct sg_run_state *s, double t)
{
    const struct sg_calendar *calendar = s->in->calendar;
    double start = t > s->person ? t : s->person;
    for (int i = 0; i < calendar->n_breaks; i++)
        if (start >= calendar->breaks[i].from_s && start < calendar->breaks[i].to_s)
            start = calendar->breaks[i].to_s;
    return start;
}

/* A person's event that stops the machine. Nobody is asked for where it takes no time. */
struct sg_event *sg_run_hands_on(struct sg_run_state *s, int kind, const struct sg_run_sheet *sheet,
                                 double seconds)
{
    double start = seconds > 0 ? sg_run_person_at(s, s->now) : s->now;
    struct sg_event *event = sg_run_push(s, kind, sheet, start, seconds);
    s->run->waiting += start - s->now;
    s->run->hands_on += seconds;
    s->now = start + seconds;
    if (seconds > 0)
        s->person = s->now;
    return event;
}

static void hands_on_if_any(struct sg_run_state *s, int kind, const struct sg_run_sheet *sheet,
                            double seconds)
{
    if (seconds > 0)
        sg_run_hands_on(s, kind, sheet, seconds);
}

/* The shop's own work of one kind; times is how often its time counts. */
static void do_chores(struct sg_run_state *s, int when, const struct sg_run_sheet *sheet, double times)
{
    for (int32_t i = 0; i < s->in->n_chores; i++) {
        const struct sg_chore *chore = &s->in->chores[i];
        if (chore->when == when && chore->time > 0 && times > 0)
            sg_run_hands_on(s, SG_EVENT_CHORE, sheet, chore->time * times)->chore = (int16_t)i;
    }
}

/* ---- cutting ---- */

/* Largest k <= limit with t0 + k each <= until. */
static int64_t steps_up_to(double t0, double each, double until, int64_t limit)
{
    return sg_run_steps_down_to(-t0, each, -until, limit);
}

static void cut_pieces(struct sg_run_state *s, struct sg_run_sheet *sheet, int64_t k)
{
    struct sg_event *event = sg_run_push(s, SG_EVENT_CUT, sheet, s->now, (double)k * sheet->each);
    event->cuts = k;
    event->garnet = (double)k * sheet->batch->garnet;
    event->flags |= s->long_piece ? SG_EVENT_LONG_PIECE : 0;
    s->now = event->at + event->seconds;
    s->level = event->level - event->garnet;
    sheet->done += k;
    s->long_piece = false;
}

/* Wait until a piece may start although the machine stands in breaks; the number of pieces that then end in
 * time. */
static int64_t wait_for_gap(struct sg_run_state *s, const struct sg_run_sheet *sheet, int64_t limit)
{
    const struct sg_calendar *calendar = s->in->calendar;
    double t = s->now;
    int64_t k = limit;
    for (int i = 0; i < calendar->n_breaks; i++) {
        double from = calendar->breaks[i].from_s, to = calendar->breaks[i].to_s;
        if (t >= to)
            continue;
        if (t < from) {
            k = steps_up_to(t, sheet->each, from + TIME_SLACK, limit);
            if (k == 0 && sheet->each > s->longest_gap + TIME_SLACK) {
                s->long_piece = true;
                k = 1;
            }
            if (k > 0)
                break;
        }
        t = to;
        k = limit;
    }
    s->run->waiting += t - s->now;
    s->now = t;
    return k;
}

/* The index moves that a batch lies behind. */
static void move_along(struct sg_run_state *s, const struct sg_run_sheet *sheet, int32_t *moved)
{
    for (; *moved < sheet->batch->moves; ++*moved)
        hands_on_if_any(s, SG_EVENT_INDEX_MOVE, sheet, s->in->machine->index_move);
}

static bool cut_batch(struct sg_run_state *s, struct sg_run_sheet *sheet)
{
    const struct sg_batch *batch = sheet->batch;
    bool check = batch->first_check > 0 && sheet->number == 1;
    while (sheet->done < sheet->cuts && !s->run->failed) {
        int64_t k = sheet->cuts - sheet->done;
        if (!sg_run_refill_if_due(s, sheet))
            return false;
        if (check && sheet->done == 0)
            k = 1;
        k = sg_run_until_refill(s, sheet, k);
        sg_run_wait_for_filling(s, sheet);
        if (!s->in->run_in_breaks)
            k = wait_for_gap(s, sheet, k);
        if (sheet->boundary == SG_REFILL_INSIDE) {
            if (!sg_run_cut_inside(s, sheet))
                return false;
        } else {
            cut_pieces(s, sheet, k);
        }
        if (check && sheet->done == 1) {
            sg_run_hands_on(s, SG_EVENT_FIRST_CHECK, sheet, batch->first_check);
            check = false;
        }
    }
    return true;
}

/* ---- sheets ---- */

double sg_sheets_garnet(const struct sg_sheets *sheets, const struct sg_batch *batches)
{
    double kg = 0;
    for (int32_t i = sheets->first; i < sheets->first + sheets->n; i++)
        kg += (double)batches[i].cuts * batches[i].garnet;
    return kg;
}

double sg_sheets_jet(const struct sg_sheets *sheets, const struct sg_batch *batches)
{
    double seconds = 0;
    for (int32_t i = sheets->first; i < sheets->first + sheets->n; i++)
        seconds += (double)batches[i].cuts * (batches[i].cut + batches[i].pierce);
    return seconds;
}

/* Change what would pass its life on this sheet, before it. */
static void change_worn(struct sg_run_state *s, const struct sg_run_sheet *sheet, double jet)
{
    const struct sg_head *head = &s->in->heads[sheet->batch->head];
    double *tube = &s->tube[sheet->batch->head], *orifice = &s->orifice[sheet->batch->head];
    if (sg_known(head->tube_life) && *tube > 0 && *tube + jet > head->tube_life + 1e-6) {
        hands_on_if_any(s, SG_EVENT_TUBE_CHANGE, sheet, s->in->machine->tube_change);
        *tube = 0;
    }
    if (sg_known(head->orifice_life) && *orifice > 0 && *orifice + jet > head->orifice_life + 1e-6) {
        hands_on_if_any(s, SG_EVENT_ORIFICE_CHANGE, sheet, s->in->machine->orifice_change);
        *orifice = 0;
    }
    *tube += jet;
    *orifice += jet;
}

/* s that each way of counting adds on a sheet. */
static double counts_on(const struct sg_run_state *s, const struct sg_sheets *sheets, int counts, double jet)
{
    if (counts == SG_COUNTS_CALENDAR)
        return 0;
    for (int32_t i = sheets->first; counts == SG_COUNTS_TABLE && i < sheets->first + sheets->n; i++)
        jet += (double)s->in->batches[i].cuts * s->in->batches[i].rapid;
    return jet;
}

/* Service what would pass its interval on this sheet, before it. */
static void do_services(struct sg_run_state *s, const struct sg_run_sheet *sheet,
                        const struct sg_sheets *sheets, double jet)
{
    for (int32_t i = 0; i < s->in->n_chores; i++) {
        const struct sg_chore *chore = &s->in->chores[i];
        if (chore->when != SG_CHORE_DUE || !sg_known(chore->every))
            continue;
        double more = counts_on(s, sheets, chore->counts, jet);
        if (more > 0 && s->counted[i] > 0 && s->counted[i] + more > chore->every + 1e-6) {
            if (chore->time > 0)
                sg_run_hands_on(s, SG_EVENT_CHORE, sheet, chore->time)->chore = (int16_t)i;
            s->counted[i] = 0;
        }
        s->counted[i] += more;
    }
}

/* Services by the calendar come with the first sheet of their day. */
static void do_services_of_the_day(struct sg_run_state *s, const struct sg_run_sheet *sheet)
{
    for (int32_t i = 0; i < s->in->n_chores; i++) {
        const struct sg_chore *chore = &s->in->chores[i];
        if (chore->when != SG_CHORE_DUE || chore->counts != SG_COUNTS_CALENDAR ||
            chore->every_days == SG_UNKNOWN)
            continue;
        if (s->counted[i] < (double)chore->every_days * SG_DAY_S)
            continue;
        if (chore->time > 0)
            sg_run_hands_on(s, SG_EVENT_CHORE, sheet, chore->time)->chore = (int16_t)i;
        s->counted[i] = 0;
    }
}

static void take_batch(struct sg_run_sheet *sheet, const struct sg_run_input *in, int32_t index)
{
    sheet->batch = &in->batches[index];
    sheet->batch_index = index;
    sheet->each = sheet->batch->cut + sheet->batch->pierce + sheet->batch->rapid;
    sheet->cuts = sheet->batch->cuts;
    sheet->done = 0;
}

static bool cut_sheet(struct sg_run_state *s, struct sg_run_sheet *sheet, const struct sg_sheets *sheets)
{
    int32_t moved = 0;
    double left = sheet->kg, after = sheet->rest_after;
    for (int32_t i = 0; i < sheets->n && !s->run->failed; i++) {
        take_batch(sheet, s->in, sheets->first + i);
        left -= (double)sheet->cuts * sheet->batch->garnet;
        sheet->at_start = i == 0;
        sheet->rest_after = after + (i + 1 < sheets->n ? left : 0);
        move_along(s, sheet, &moved);
        sheet->boundary = sg_run_boundary(s->in->machine, sheet->kg, sheet->batch->garnet);
        if (!cut_batch(s, sheet))
            return false;
    }
    return true;
}

/* What is done by hand once the sheet is cut. */
static void after_sheet(struct sg_run_state *s, const struct sg_run_sheet *sheet,
                        const struct sg_sheets *sheets)
{
    double tabs = 0, pieces = 0;
    for (int32_t i = sheets->first; i < sheets->first + sheets->n; i++) {
        const struct sg_batch *batch = &s->in->batches[i];
        tabs += (double)batch->cuts * batch->tabs;
        pieces += (double)(batch->cuts * (batch->stack > 0 ? batch->stack : 1));
    }
    hands_on_if_any(s, SG_EVENT_TABS, sheet, tabs);
    do_chores(s, SG_CHORE_PIECE, sheet, pieces);
    do_chores(s, SG_CHORE_SHEET, sheet, 1);
}

static bool run_sheets(struct sg_run_state *s, int32_t index)
{
    const struct sg_sheets *sheets = &s->in->sheets[index];
    double jet = sg_sheets_jet(sheets, s->in->batches), kg = sg_sheets_garnet(sheets, s->in->batches);
    struct sg_run_sheet sheet = {.kg = kg};
    for (int64_t copy = 1; copy <= sheets->copies && !s->run->failed; copy++) {
        sheet.number = (int32_t)copy;
        sheet.rest_after = s->run->rest[index + 1] + (double)(sheets->copies - copy) * kg;
        take_batch(&sheet, s->in, sheets->first);
        if (copy == 1 && (index == 0 ? !s->in->job_begun : sheets->job != sheets[-1].job))
            do_chores(s, SG_CHORE_JOB, &sheet, 1);
        if (sheet.batch->head != s->fitted)
            hands_on_if_any(s, SG_EVENT_HEAD_CHANGE, &sheet, s->in->machine->head_change);
        s->fitted = sheet.batch->head;
        change_worn(s, &sheet, jet);
        do_services(s, &sheet, sheets, jet);
        if (!s->in->sheet_on || index > 0 || copy > 1)
            sg_run_hands_on(s, SG_EVENT_LOAD, &sheet, sheets->load);
        if (!cut_sheet(s, &sheet, sheets))
            return false;
        after_sheet(s, &sheet, sheets);
    }
    return true;
}

double sg_chore_counted(const struct sg_chore *chore, int32_t date)
{
    if (chore->counts != SG_COUNTS_CALENDAR)
        return chore->hours;
    return chore->last == SG_NO_DATE ? (double)INFINITY : ((double)date - chore->last) * SG_DAY_S;
}

double sg_run_longest_gap(const struct sg_calendar *calendar)
{
    double longest = 0, from = 0;
    for (int i = 0; i < calendar->n_breaks; i++) {
        longest = fmax(longest, calendar->breaks[i].from_s - from);
        from = calendar->breaks[i].to_s;
    }
    return fmax(longest, calendar->close_s - from);
}

static bool grow(double **array, int32_t *room, int32_t need)
{
    if (need <= *room)
        return true;
    double *grown = realloc(*array, (size_t)need * sizeof *grown);
    if (!grown)
        return false;
    *array = grown;
    *room = need;
    return true;
}

static bool prepare(const struct sg_run_input *in, struct sg_run *run)
{
    run->n_events = 0;
    run->refills = run->bags = run->bags_short = 0;
    run->hands_on = run->waiting = run->end = run->bags_kg = run->level_end = 0;
    run->finished = true;
    run->failed = !grow(&run->rest, &run->rest_room, in->n_sheets + 1) ||
                  !grow(&run->hours, &run->hours_room, 2 * in->n_heads + in->n_chores);
    if (run->failed)
        return false;
    run->rest[in->n_sheets] = 0;
    for (int32_t i = in->n_sheets - 1; i >= 0; i--)
        run->rest[i] =
            run->rest[i + 1] + (double)in->sheets[i].copies * sg_sheets_garnet(&in->sheets[i], in->batches);
    return true;
}

/* A filling while cutting may start after cutting went on: what is really in the hopper then. */
static void settle_levels(struct sg_run *run)
{
    for (int32_t i = 0; i < run->n_events; i++) {
        struct sg_event *fill = &run->events[i];
        if (!(fill->flags & SG_EVENT_WHILE_CUTTING))
            continue;
        for (int32_t j = i + 1; j < run->n_events; j++) {
            const struct sg_event *e = &run->events[j];
            if (e->flags & SG_EVENT_WHILE_CUTTING)
                continue; /* the one person starts it later */
            if (e->at >= fill->at)
                break;
            if (e->kind == SG_EVENT_CUT && e->seconds > 0)
                fill->level -= e->garnet * fmin(1, (fill->at - e->at) / e->seconds);
        }
    }
}

/* A place for what belongs to no sheet: before the first one and after the last. */
static struct sg_run_sheet whole_shift(const struct sg_run_input *in, int32_t sheets)
{
    struct sg_run_sheet sheet = {.number = 1};
    take_batch(&sheet, in, in->sheets[sheets].first);
    return sheet;
}

static bool run_all(struct sg_run_state *s)
{
    const struct sg_run_input *in = s->in;
    struct sg_run_sheet first = whole_shift(in, 0), last = whole_shift(in, in->n_sheets - 1);
    do_chores(s, SG_CHORE_SHIFT_START, &first, 1);
    do_services_of_the_day(s, &first);
    for (int32_t i = 0; i < in->n_sheets && !s->run->failed; i++)
        if (!run_sheets(s, i))
            return false;
    do_chores(s, SG_CHORE_SHIFT_END, &last, 1);
    return true;
}

void sg_run_simulate(const struct sg_run_input *in, struct sg_run *run)
{
    if (!prepare(in, run))
        return;
    struct sg_run_state s = {.in = in,
                             .run = run,
                             .now = in->start,
                             .person = in->start,
                             .level = in->machine->hopper_level,
                             .stock_bags = in->machine->bags_in_stock,
                             .fitted = in->machine->head_fitted,
                             .longest_gap = sg_run_longest_gap(in->calendar)};
    s.tube = run->hours;
    s.orifice = run->hours + in->n_heads;
    s.counted = s.orifice + in->n_heads;
    for (int32_t i = 0; i < in->n_heads; i++) {
        s.tube[i] = in->heads[i].tube_hours;
        s.orifice[i] = in->heads[i].orifice_hours;
    }
    for (int32_t i = 0; i < in->n_chores; i++)
        s.counted[i] = sg_chore_counted(&in->chores[i], in->date);
    if (in->n_sheets > 0)
        run_all(&s);
    if (!in->machine->refill_stops_cutting)
        settle_levels(run);
    run->end = s.now;
    run->level_end = s.level;
    run->bags_left = s.stock_bags;
    run->fitted_end = s.fitted;
}

void sg_run_free(struct sg_run *run)
{
    free(run->events);
    free(run->rest);
    free(run->hours);
    memset(run, 0, sizeof *run);
}
