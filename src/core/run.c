#include "sandglass/run.h"

#include <stdlib.h>
#include <string.h>

/* kg; so that rounding of a level never asks for a refill or refuses a piece. */
#define LEVEL_SLACK 1e-9
/* s; so that a piece that just ends at a break fits before it. */
#define TIME_SLACK 1e-9

struct state {
    const struct sg_run_input *in;
    struct sg_run *run;
    double now;    /* the machine is free */
    double person; /* the person is free */
    double level;  /* kg; a refill under way counts as in */
    int32_t stock_bags, fitted, place;
    double *tube, *orifice;   /* s on each head's parts */
    double fill_end, fill_kg; /* of the last filling while cutting */
    double longest_gap;
    bool long_piece; /* the next CUT is one that no gap holds */
};

/* One sheet under the head. */
struct sheet {
    const struct sg_batch *batch;
    int32_t batch_index, number;
    int64_t cuts, done;
    double each, rest_after; /* s of a cut; kg of all that comes after this sheet */
    enum { BY_SHEET, BY_PIECE, INSIDE } boundary;
};

/* ---- events ---- */

static struct sg_event *push(struct state *s, int kind, const struct sheet *sheet, double at, double seconds)
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
static double person_at(const struct state *s, double t)
{
    const struct sg_calendar *calendar = s->in->calendar;
    double start = t > s->person ? t : s->person;
    for (int i = 0; i < calendar->n_breaks; i++)
        if (start >= calendar->breaks[i].from_s && start < calendar->breaks[i].to_s)
            start = calendar->breaks[i].to_s;
    return start;
}

/* A person's event that stops the machine. Nobody is asked for where it takes no time. */
static struct sg_event *hands_on(struct state *s, int kind, const struct sheet *sheet, double seconds)
{
    double start = seconds > 0 ? person_at(s, s->now) : s->now;
    struct sg_event *event = push(s, kind, sheet, start, seconds);
    s->run->waiting += start - s->now;
    s->run->hands_on += seconds;
    s->now = start + seconds;
    if (seconds > 0)
        s->person = s->now;
    return event;
}

static void hands_on_if_any(struct state *s, int kind, const struct sheet *sheet, double seconds)
{
    if (seconds > 0)
        hands_on(s, kind, sheet, seconds);
}

/* ---- refills ---- */

static double low_line(const struct state *s)
{
    return s->in->machine->low_line;
}

static double brim_to_low(const struct state *s)
{
    return s->in->machine->hopper - low_line(s);
}

struct fill {
    double kg;
    int32_t bags;
    bool part_bag;
};

/* What a refill puts in. need: kg until the next boundary; rest: kg of all the rest of the run. */
static struct fill fill_amount(const struct state *s, double need, double rest)
{
    const struct sg_machine *m = s->in->machine;
    double room = m->hopper - s->level;
    struct fill fill = {.kg = room > 0 ? room : 0};
    if (m->bag <= 0)
        return fill;
    double bags = floor(room / m->bag + 1e-9);
    if (m->refill_amount == SG_AMOUNT_ENOUGH)
        bags = fmin(bags, ceil((rest + m->low_line - s->level) / m->bag - 1e-9));
    bags = fmax(0, fmin(bags, s->stock_bags));
    fill.bags = (int32_t)bags;
    fill.kg = bags * m->bag;
    if (need > 0 && s->level + fill.kg - need < low_line(s) - LEVEL_SLACK && fill.bags < s->stock_bags &&
        room > fill.kg) {
        fill.part_bag = true;
        fill.bags++;
        fill.kg = room;
    }
    return fill;
}

static void out_of_garnet(struct state *s, const struct sheet *sheet, double rest)
{
    const struct sg_machine *m = s->in->machine;
    double kg = rest + m->low_line - s->level - s->stock_bags * m->bag;
    double bags = m->bag > 0 ? ceil(kg / m->bag - 1e-9) : 0;
    s->run->bags_short = bags > 1 ? (int32_t)fmin(bags, 1e9) : 1;
    s->run->finished = false;
    push(s, SG_EVENT_OUT_OF_GARNET, sheet, s->now, 0);
}

/* A refill while the machine cuts on. */
static struct sg_event *refill_while_cutting(struct state *s, const struct sheet *sheet, double seconds,
                                             double kg)
{
    double start = person_at(s, s->now);
    struct sg_event *event = push(s, SG_EVENT_REFILL, sheet, start, seconds);
    event->flags |= SG_EVENT_WHILE_CUTTING;
    s->person = s->fill_end = start + seconds;
    s->fill_kg = kg;
    return event;
}

/* While a filling is under way cutting starts only so early that the low line is not met before its end, so
 * that it never stops inside a cut. */
static void wait_for_filling(struct state *s, const struct sheet *sheet)
{
    double garnet = sheet->batch->garnet;
    if (s->now >= s->fill_end || garnet <= 0)
        return;
    double spare = s->level - s->fill_kg - low_line(s);
    double go = s->fill_end - (spare > 0 ? spare * sheet->each / garnet : 0);
    if (go > s->now) {
        s->run->waiting += go - s->now;
        s->now = go;
    }
}

/* Refill at this boundary. False when that does not help because there is no garnet left. */
static bool refill(struct state *s, const struct sheet *sheet, double need, double rest, bool wanted,
                   bool inside)
{
    const struct sg_machine *m = s->in->machine;
    struct fill fill = fill_amount(s, need, rest);
    bool helps = s->level + fill.kg - need >= low_line(s) - LEVEL_SLACK && fill.kg > 0;
    if (!helps && !wanted) {
        out_of_garnet(s, sheet, rest);
        return false;
    }
    if (fill.kg <= LEVEL_SLACK)
        return true;
    double seconds = m->refill + m->refill_per_bag * fill.bags, level = s->level;
    bool stops = m->refill_stops_cutting || inside;
    struct sg_event *event = stops ? hands_on(s, SG_EVENT_REFILL, sheet, seconds)
                                   : refill_while_cutting(s, sheet, seconds, fill.kg);
    event->garnet = fill.kg;
    event->bags = fill.bags;
    event->flags |= (uint16_t)((fill.part_bag ? SG_EVENT_PART_BAG : 0) | (inside ? SG_EVENT_IN_CUT : 0));
    s->level = level + fill.kg;
    s->stock_bags -= fill.bags;
    s->run->refills++;
    s->run->bags += fill.bags;
    s->run->bags_kg += fill.kg;
    return true;
}

/* kg until the next boundary where a refill may fall. */
static double take_ahead(const struct sheet *sheet)
{
    switch (sheet->boundary) {
    case BY_SHEET:
        return sheet->done == 0 ? (double)sheet->cuts * sheet->batch->garnet : 0;
    case BY_PIECE:
        return sheet->batch->garnet;
    default:
        return 0;
    }
}

static double rest_of_run(const struct sheet *sheet)
{
    return sheet->rest_after + (double)(sheet->cuts - sheet->done) * sheet->batch->garnet;
}

static bool refill_wanted_here(struct state *s, const struct sheet *sheet)
{
    if (s->place == s->in->n_places)
        return false;
    const struct sg_refill_place *place = &s->in->places[s->place];
    if (place->batch != sheet->batch_index || place->sheet != sheet->number || place->cut != sheet->done)
        return false;
    s->place++;
    return true;
}

static bool refill_if_due(struct state *s, const struct sheet *sheet)
{
    double take = take_ahead(sheet);
    bool due = take > 0 && s->level - take < low_line(s) - LEVEL_SLACK;
    bool wanted = refill_wanted_here(s, sheet);
    if (!due && !wanted)
        return true;
    return refill(s, sheet, due ? take : 0, rest_of_run(sheet), !due, false);
}

/* ---- cutting ---- */

/* Largest k <= limit with value0 - k step >= floor_value, judged by that very expression. */
static int64_t steps_down_to(double value0, double step, double floor_value, int64_t limit)
{
    if (step <= 0)
        return limit;
    double guess = floor((value0 - floor_value) / step);
    int64_t k = guess <= 0 ? 0 : guess >= (double)limit ? limit : (int64_t)guess;
    while (k > 0 && value0 - (double)k * step < floor_value)
        k--;
    while (k < limit && value0 - (double)(k + 1) * step >= floor_value)
        k++;
    return k;
}

/* Largest k <= limit with t0 + k each <= until. */
static int64_t steps_up_to(double t0, double each, double until, int64_t limit)
{
    return steps_down_to(-t0, each, -until, limit);
}

static void cut_pieces(struct state *s, struct sheet *sheet, int64_t k)
{
    struct sg_event *event = push(s, SG_EVENT_CUT, sheet, s->now, (double)k * sheet->each);
    event->cuts = k;
    event->garnet = (double)k * sheet->batch->garnet;
    event->flags |= s->long_piece ? SG_EVENT_LONG_PIECE : 0;
    s->now = event->at + event->seconds;
    s->level = event->level - event->garnet;
    sheet->done += k;
    s->long_piece = false;
}

/* One piece that takes more than a full hopper: it stops where the level meets the low line. */
static bool cut_inside(struct state *s, struct sheet *sheet)
{
    double left = sheet->batch->garnet, share_s = sheet->each / sheet->batch->garnet;
    while (left > 0 && !s->run->failed) {
        double can = s->level - low_line(s);
        if (can <= LEVEL_SLACK) {
            double rest = rest_of_run(sheet) - (sheet->batch->garnet - left);
            if (!refill(s, sheet, 2 * LEVEL_SLACK, rest, false, true))
                return false;
            continue;
        }
        double kg = can + LEVEL_SLACK >= left ? left : can;
        struct sg_event *event = push(s, SG_EVENT_CUT, sheet, s->now, kg * share_s);
        event->garnet = kg;
        event->cuts = kg == left;
        event->flags |= SG_EVENT_IN_CUT | (s->long_piece ? SG_EVENT_LONG_PIECE : 0);
        s->long_piece = false;
        s->now += event->seconds;
        s->level -= kg;
        left -= kg;
    }
    sheet->done++;
    return true;
}

/* Wait until a piece may start although the machine stands in breaks; the number of pieces that then end in
 * time. */
static int64_t wait_for_gap(struct state *s, const struct sheet *sheet, int64_t limit)
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

/* Cuts left until the next index move; does those that are due now. */
static int64_t until_index_move(struct state *s, const struct sheet *sheet, int64_t *moved)
{
    const struct sg_batch *batch = sheet->batch;
    int64_t left = sheet->cuts - sheet->done;
    if (!batch->grid_known)
        return left;
    double table = s->in->machine->table_length;
    int64_t column = sheet->done / batch->grid.across;
    for (int64_t want = sg_index_moves(&batch->grid, table, column); *moved < want; ++*moved)
        hands_on_if_any(s, SG_EVENT_INDEX_MOVE, sheet, s->in->machine->index_move);
    int64_t last = (sheet->cuts - 1) / batch->grid.across;
    if (sg_index_moves(&batch->grid, table, last) == *moved)
        return left;
    int64_t low = column, high = last; /* the last column that needs no further move lies in low..high-1 */
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        if (sg_index_moves(&batch->grid, table, middle) > *moved)
            high = middle;
        else
            low = middle;
    }
    return high * batch->grid.across - sheet->done;
}

/* Cuts that may follow one another before a refill is due or wanted. */
static int64_t until_refill(const struct state *s, const struct sheet *sheet, int64_t limit)
{
    if (sheet->boundary == BY_PIECE)
        limit = steps_down_to(s->level, sheet->batch->garnet, low_line(s) - LEVEL_SLACK, limit);
    if (s->place < s->in->n_places) {
        const struct sg_refill_place *place = &s->in->places[s->place];
        if (place->batch == sheet->batch_index && place->sheet == sheet->number && place->cut > sheet->done &&
            place->cut - sheet->done < limit)
            limit = place->cut - sheet->done;
    }
    return limit;
}

static bool cut_sheet(struct state *s, struct sheet *sheet)
{
    const struct sg_batch *batch = sheet->batch;
    bool check = batch->first_check > 0 && sheet->number == 1;
    int64_t moved = 0;
    while (sheet->done < sheet->cuts && !s->run->failed) {
        int64_t k = until_index_move(s, sheet, &moved);
        if (!refill_if_due(s, sheet))
            return false;
        if (check && sheet->done == 0)
            k = 1;
        k = until_refill(s, sheet, k);
        wait_for_filling(s, sheet);
        if (!s->in->run_in_breaks)
            k = wait_for_gap(s, sheet, k);
        if (sheet->boundary == INSIDE) {
            if (!cut_inside(s, sheet))
                return false;
        } else {
            cut_pieces(s, sheet, k);
        }
        if (check && sheet->done == 1) {
            hands_on(s, SG_EVENT_FIRST_CHECK, sheet, batch->first_check);
            check = false;
        }
    }
    return true;
}

/* ---- sheets and batches ---- */

/* Change what would pass its life on this sheet, before it. */
static void change_worn(struct state *s, const struct sheet *sheet)
{
    const struct sg_batch *batch = sheet->batch;
    const struct sg_head *head = &s->in->heads[batch->head];
    double jet = (double)sheet->cuts * (batch->cut + batch->pierce);
    double *tube = &s->tube[batch->head], *orifice = &s->orifice[batch->head];
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

static void choose_boundary(const struct state *s, struct sheet *sheet)
{
    double full = brim_to_low(s) + LEVEL_SLACK, piece = sheet->batch->garnet;
    if (piece > full)
        sheet->boundary = INSIDE;
    else if (s->in->machine->refill_at == SG_AT_SHEETS && (double)sheet->cuts * piece <= full)
        sheet->boundary = BY_SHEET;
    else
        sheet->boundary = BY_PIECE;
}

static bool run_batch(struct state *s, int32_t index)
{
    const struct sg_batch *batch = &s->in->batches[index];
    struct sheet sheet = {
        .batch = batch, .batch_index = index, .each = batch->cut + batch->pierce + batch->rapid};
    for (int64_t done = 0; done < batch->cuts && !s->run->failed; done += sheet.cuts) {
        sheet.number++;
        sheet.done = 0;
        sheet.cuts = batch->cuts - done < batch->per_sheet ? batch->cuts - done : batch->per_sheet;
        sheet.rest_after =
            s->run->rest[index + 1] + (double)(batch->cuts - done - sheet.cuts) * batch->garnet;
        if (batch->head != s->fitted)
            hands_on_if_any(s, SG_EVENT_HEAD_CHANGE, &sheet, s->in->machine->head_change);
        s->fitted = batch->head;
        change_worn(s, &sheet);
        hands_on(s, SG_EVENT_LOAD, &sheet, batch->load);
        choose_boundary(s, &sheet);
        if (!cut_sheet(s, &sheet))
            return false;
    }
    return true;
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
    run->failed = !grow(&run->rest, &run->rest_room, in->n_batches + 1) ||
                  !grow(&run->hours, &run->hours_room, 2 * in->n_heads);
    if (run->failed)
        return false;
    run->rest[in->n_batches] = 0;
    for (int32_t i = in->n_batches - 1; i >= 0; i--)
        run->rest[i] = run->rest[i + 1] + (double)in->batches[i].cuts * in->batches[i].garnet;
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

void sg_run_simulate(const struct sg_run_input *in, struct sg_run *run)
{
    if (!prepare(in, run))
        return;
    struct state s = {.in = in,
                      .run = run,
                      .level = in->machine->hopper_level,
                      .stock_bags = in->machine->bags_in_stock,
                      .fitted = in->machine->head_fitted,
                      .longest_gap = sg_run_longest_gap(in->calendar)};
    s.tube = run->hours;
    s.orifice = run->hours + in->n_heads;
    for (int32_t i = 0; i < in->n_heads; i++) {
        s.tube[i] = in->heads[i].tube_hours;
        s.orifice[i] = in->heads[i].orifice_hours;
    }
    for (int32_t i = 0; i < in->n_batches && !run->failed; i++)
        if (!run_batch(&s, i))
            break;
    settle_levels(run);
    run->end = s.now;
    run->level_end = s.level;
}

void sg_run_free(struct sg_run *run)
{
    free(run->events);
    free(run->rest);
    free(run->hours);
    memset(run, 0, sizeof *run);
}
