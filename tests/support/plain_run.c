#include "support/plain_run.h"

#include <math.h>

/* kg and s; the slack that the rules give. */
#define KG 1e-9
#define S 1e-9

enum { PLAIN_MAX_FILLS = 512 };

struct shop_floor {
    const struct sg_run_input *in;
    struct plain_run *out;
    double now, person_free;
    double level; /* a filling under way counts as in */
    struct {
        double end, kg;
    } fills[PLAIN_MAX_FILLS]; /* every filling while cutting, in order */
    int n_fills;
    int32_t stock, fitted;
    double tube_s[16], orifice_s[16];
    int next_place;
    /* the sheet under the head: which of which, and the piece of which batch on it */
    int32_t sheets_index, batch_index, sheet;
    int64_t piece;
};

static const struct sg_batch *batch_of(const struct shop_floor *f)
{
    return &f->in->batches[f->batch_index];
}

static const struct sg_sheets *sheets_of(const struct shop_floor *f)
{
    return &f->in->sheets[f->sheets_index];
}

static double kg_of_sheet(const struct shop_floor *f, const struct sg_sheets *sheets)
{
    double kg = 0;
    for (int32_t b = 0; b < sheets->n; b++)
        for (int64_t i = 0; i < f->in->batches[sheets->first + b].cuts; i++)
            kg += f->in->batches[sheets->first + b].garnet;
    return kg;
}

static struct plain_event *note(struct shop_floor *f, int kind, double at, double seconds)
{
    struct plain_run *out = f->out;
    if (out->n_events == PLAIN_MAX_EVENTS) {
        out->overflow = true;
        out->n_events--;
    }
    struct plain_event *event = &out->events[out->n_events++];
    *event = (struct plain_event){.kind = kind,
                                  .batch = f->batch_index,
                                  .sheet = f->sheet,
                                  .piece = f->piece,
                                  .at = at,
                                  .seconds = seconds,
                                  .asked = f->now,
                                  .level = f->level};
    if (kind != SG_EVENT_CUT && at >= f->in->calendar->close_s)
        event->flags |= SG_EVENT_AFTER_SHIFT;
    return event;
}

static int break_at(const struct sg_calendar *calendar, double t)
{
    for (int i = 0; i < calendar->n_breaks; i++)
        if (t >= calendar->breaks[i].from_s && t < calendar->breaks[i].to_s)
            return i;
    return -1;
}

/* People cannot be asked in a break, and there is one of them. */
static double when_somebody_comes(const struct shop_floor *f, double asked)
{
    double t = fmax(asked, f->person_free);
    for (int i = break_at(f->in->calendar, t); i >= 0; i = break_at(f->in->calendar, t))
        t = f->in->calendar->breaks[i].to_s;
    return t;
}

static struct plain_event *stop_and_do(struct shop_floor *f, int kind, double seconds)
{
    double start = seconds > 0 ? when_somebody_comes(f, f->now) : f->now;
    struct plain_event *event = note(f, kind, start, seconds);
    f->out->waiting += start - f->now;
    f->out->hands_on += seconds;
    f->now = start + seconds;
    if (seconds > 0)
        f->person_free = f->now;
    return event;
}

/* The shop's own work: a time for each chore of that kind, and for each piece of it. */
static void chores(struct shop_floor *f, int when, int64_t times)
{
    for (int32_t i = 0; i < f->in->n_chores; i++) {
        double seconds = 0;
        for (int64_t n = 0; n < times && f->in->chores[i].when == when; n++)
            seconds += f->in->chores[i].time;
        if (seconds > 0)
            stop_and_do(f, SG_EVENT_CHORE, seconds)->chore = (int16_t)i;
    }
}

static double rest_of_everything(const struct shop_floor *f)
{
    const struct sg_sheets *sheets = sheets_of(f);
    double kg = 0;
    for (int64_t i = f->piece; i < batch_of(f)->cuts; i++)
        kg += batch_of(f)->garnet;
    for (int32_t b = f->batch_index + 1; b < sheets->first + sheets->n; b++)
        for (int64_t i = 0; i < f->in->batches[b].cuts; i++)
            kg += f->in->batches[b].garnet;
    for (int64_t copy = f->sheet; copy < sheets->copies; copy++)
        kg += kg_of_sheet(f, sheets);
    for (int32_t s = f->sheets_index + 1; s < f->in->n_sheets; s++)
        for (int64_t copy = 0; copy < f->in->sheets[s].copies; copy++)
            kg += kg_of_sheet(f, &f->in->sheets[s]);
    return kg;
}

static bool is_due(const struct shop_floor *f, double level, double need)
{
    return need > 0 && level - need < f->in->machine->low_line - KG;
}

/* The refill rule. need: kg to the next allowed boundary; rest: kg of the run. Gives kg, bags, part bag. */
static double how_much(const struct shop_floor *f, double need, double rest, int32_t *bags, bool *part_bag)
{
    const struct sg_machine *m = f->in->machine;
    double room = fmax(0, m->hopper - f->level);
    *bags = 0;
    *part_bag = false;
    if (m->bag == 0)
        return room;
    while ((*bags + 1) * m->bag <= room + 1e-9 * m->bag && *bags < f->stock)
        ++*bags;
    if (m->refill_amount == SG_AMOUNT_ENOUGH)
        while (*bags > 0 && (*bags - 1) * m->bag >= rest + m->low_line - f->level - 1e-9 * m->bag)
            --*bags;
    if (is_due(f, f->level + *bags * m->bag, need) && *bags < f->stock && *bags * m->bag < room) {
        *part_bag = true;
        ++*bags;
        return room;
    }
    return *bags * m->bag;
}

static void stop_for_want_of_garnet(struct shop_floor *f, double rest)
{
    const struct sg_machine *m = f->in->machine;
    double missing = rest + m->low_line - f->level - f->stock * m->bag;
    f->out->finished = false;
    f->out->bags_short = 1;
    if (m->bag > 0)
        while (f->out->bags_short * m->bag < missing - 1e-9 * m->bag)
            f->out->bags_short++;
    note(f, SG_EVENT_OUT_OF_GARNET, f->now, 0);
}

static bool refill(struct shop_floor *f, double need, double rest, bool inside, bool wanted)
{
    const struct sg_machine *m = f->in->machine;
    int32_t bags;
    bool part_bag;
    double kg = how_much(f, need, rest, &bags, &part_bag), level = f->level;
    if (!wanted && (kg <= KG || is_due(f, level + kg, need))) {
        stop_for_want_of_garnet(f, rest);
        return false;
    }
    if (kg <= KG)
        return true;
    double seconds = m->refill + bags * m->refill_per_bag;
    struct plain_event *event;
    if (m->refill_stops_cutting || inside) {
        event = stop_and_do(f, SG_EVENT_REFILL, seconds);
    } else {
        event = note(f, SG_EVENT_REFILL, when_somebody_comes(f, f->now), seconds);
        event->flags |= SG_EVENT_WHILE_CUTTING;
        f->person_free = event->at + seconds;
        f->out->overflow = f->out->overflow || f->n_fills == PLAIN_MAX_FILLS - 1;
        f->fills[f->n_fills].end = f->person_free;
        f->fills[f->n_fills].kg = kg;
        f->n_fills += f->n_fills < PLAIN_MAX_FILLS - 1;
    }
    event->garnet = kg;
    event->bags = bags;
    event->flags |= (part_bag ? SG_EVENT_PART_BAG : 0u) | (inside ? SG_EVENT_IN_CUT : 0u);
    f->level = level + kg;
    f->stock -= bags;
    f->out->refills++;
    f->out->bags += bags;
    f->out->added_kg += kg;
    return true;
}

/* Fillings under way: cutting starts only so early that the low line is not met before the end of any. */
static void wait_for_filling(struct shop_floor *f, double each)
{
    double kg = batch_of(f)->garnet, in = f->level, go = f->now;
    for (int i = 0; i < f->n_fills; i++)
        in -= f->fills[i].end > f->now ? f->fills[i].kg : 0; /* what is really in the hopper now */
    for (int i = 0; i < f->n_fills && kg > 0; i++) {
        if (f->fills[i].end <= f->now)
            continue;
        double spare = fmax(0, in - f->in->machine->low_line);
        go = fmax(go, f->fills[i].end - spare * each / kg);
        in += f->fills[i].kg;
    }
    f->out->waiting += go - f->now;
    f->now = go;
}

static double longest_gap(const struct sg_calendar *calendar)
{
    double longest = 0, free_from = 0;
    for (int i = 0; i <= calendar->n_breaks; i++) {
        double to = i < calendar->n_breaks ? calendar->breaks[i].from_s : calendar->close_s;
        longest = fmax(longest, to - free_from);
        free_from = i < calendar->n_breaks ? calendar->breaks[i].to_s : to;
    }
    return longest;
}

/* The machine stands in breaks: no piece starts that would not end by the next one. True for one that no gap
 * holds. */
static bool wait_for_a_gap(struct shop_floor *f, double each)
{
    const struct sg_calendar *calendar = f->in->calendar;
    double asked = f->now;
    for (;;) {
        int in = break_at(calendar, f->now), next = 0;
        if (in >= 0) {
            f->now = calendar->breaks[in].to_s;
            continue;
        }
        while (next < calendar->n_breaks && calendar->breaks[next].from_s < f->now)
            next++;
        bool fits = next == calendar->n_breaks || f->now + each <= calendar->breaks[next].from_s + S;
        bool never = !fits && each > longest_gap(calendar) + S;
        if (fits || never) {
            f->out->waiting += f->now - asked;
            return never;
        }
        f->now = calendar->breaks[next].to_s;
    }
}

static void cut(struct shop_floor *f, double seconds, double kg, unsigned flags)
{
    struct plain_event *event = note(f, SG_EVENT_CUT, f->now, seconds);
    event->garnet = kg;
    event->flags |= flags;
    f->now += seconds;
    f->level -= kg;
    f->out->cut_seconds += seconds;
    f->out->taken_kg += kg;
}

/* More than a full hopper: the cut stops where the level meets the low line. */
static bool cut_with_stops(struct shop_floor *f, double each, unsigned flags)
{
    double whole = batch_of(f)->garnet, left = whole;
    for (;;) {
        double can = f->level - f->in->machine->low_line;
        if (can + KG >= left) {
            cut(f, left / whole * each, left, flags | SG_EVENT_IN_CUT);
            return true;
        }
        if (can > KG) {
            cut(f, can / whole * each, can, flags | SG_EVENT_IN_CUT);
            flags = 0;
            left -= can;
        }
        if (!refill(f, 2 * KG, rest_of_everything(f) - (whole - left), true, false))
            return false;
    }
}

static bool place_is_here(struct shop_floor *f)
{
    if (f->next_place == f->in->n_places)
        return false;
    const struct sg_refill_place *place = &f->in->places[f->next_place];
    bool here = place->batch == f->batch_index && place->sheet == f->sheet && place->cut == f->piece;
    f->next_place += here;
    return here;
}

static bool cut_one_batch(struct shop_floor *f, bool by_sheet, double sheet_kg)
{
    const struct sg_batch *batch = batch_of(f);
    const struct sg_machine *m = f->in->machine;
    double each = batch->cut + batch->pierce + batch->rapid, full = m->hopper - m->low_line + KG;
    bool inside = batch->garnet > full, first = f->batch_index == sheets_of(f)->first;
    for (f->piece = 0; f->piece < batch->cuts; f->piece++) {
        double need = by_sheet ? (first && f->piece == 0 ? sheet_kg : 0) : batch->garnet;
        bool due = !inside && is_due(f, f->level, need), wanted = place_is_here(f);
        if ((due || wanted) && !refill(f, due ? need : 0, rest_of_everything(f), false, !due))
            return false;
        wait_for_filling(f, each);
        unsigned flags = 0;
        if (!f->in->run_in_breaks && wait_for_a_gap(f, each))
            flags = SG_EVENT_LONG_PIECE;
        if (!inside)
            cut(f, each, batch->garnet, flags);
        else if (!cut_with_stops(f, each, flags))
            return false;
        if (batch->first_check > 0 && f->sheet == 1 && f->piece == 0) {
            f->piece = 1;
            stop_and_do(f, SG_EVENT_FIRST_CHECK, batch->first_check);
            f->piece = 0;
        }
    }
    return true;
}

static bool cut_one_sheet(struct shop_floor *f)
{
    const struct sg_sheets *sheets = sheets_of(f);
    const struct sg_machine *m = f->in->machine;
    double kg = kg_of_sheet(f, sheets);
    bool by_sheet = m->refill_at == SG_AT_SHEETS && kg <= m->hopper - m->low_line + KG;
    int32_t moved = 0;
    for (int32_t b = 0; b < sheets->n; b++) {
        f->batch_index = sheets->first + b;
        f->piece = 0;
        for (; moved < batch_of(f)->moves; moved++)
            if (m->index_move > 0)
                stop_and_do(f, SG_EVENT_INDEX_MOVE, m->index_move);
        if (!cut_one_batch(f, by_sheet, kg))
            return false;
    }
    return true;
}

static void change_what_is_worn(struct shop_floor *f)
{
    const struct sg_sheets *sheets = sheets_of(f);
    const struct sg_head *head = &f->in->heads[batch_of(f)->head];
    double jet_on = 0;
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
        jet_on += (double)f->in->batches[b].cuts * (f->in->batches[b].cut + f->in->batches[b].pierce);
    double *tube = &f->tube_s[batch_of(f)->head], *orifice = &f->orifice_s[batch_of(f)->head];
    if (sg_known(head->tube_life) && *tube > 0 && *tube + jet_on > head->tube_life + 1e-6) {
        if (f->in->machine->tube_change > 0)
            stop_and_do(f, SG_EVENT_TUBE_CHANGE, f->in->machine->tube_change);
        *tube = 0;
    }
    if (sg_known(head->orifice_life) && *orifice > 0 && *orifice + jet_on > head->orifice_life + 1e-6) {
        if (f->in->machine->orifice_change > 0)
            stop_and_do(f, SG_EVENT_ORIFICE_CHANGE, f->in->machine->orifice_change);
        *orifice = 0;
    }
    *tube += jet_on;
    *orifice += jet_on;
}

/* Tabs, and the shop's own work for each piece and for the sheet. */
static void finish_sheet(struct shop_floor *f)
{
    const struct sg_sheets *sheets = sheets_of(f);
    double tabs = 0;
    int64_t pieces = 0;
    f->piece = batch_of(f)->cuts;
    for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
        for (int64_t i = 0; i < f->in->batches[b].cuts; i++) {
            tabs += f->in->batches[b].tabs;
            pieces += f->in->batches[b].stack > 0 ? f->in->batches[b].stack : 1;
        }
    if (tabs > 0)
        stop_and_do(f, SG_EVENT_TABS, tabs);
    chores(f, SG_CHORE_PIECE, pieces);
    chores(f, SG_CHORE_SHEET, 1);
}

static void run_like_sheets(struct shop_floor *f)
{
    const struct sg_sheets *sheets = sheets_of(f);
    for (f->sheet = 1; f->sheet <= sheets->copies; f->sheet++) {
        f->batch_index = sheets->first;
        f->piece = 0;
        if (f->sheet == 1 && (f->sheets_index == 0 || sheets->job != sheets[-1].job))
            chores(f, SG_CHORE_JOB, 1);
        if (f->fitted != batch_of(f)->head && f->in->machine->head_change > 0)
            stop_and_do(f, SG_EVENT_HEAD_CHANGE, f->in->machine->head_change);
        f->fitted = batch_of(f)->head;
        change_what_is_worn(f);
        if (!(f->in->sheet_on && f->sheets_index == 0 && f->sheet == 1))
            stop_and_do(f, SG_EVENT_LOAD, sheets->load);
        if (!cut_one_sheet(f))
            return;
        finish_sheet(f);
    }
}

double plain_level_at(const struct sg_run_input *input, const struct plain_run *run, double at, int before)
{
    double level = input->machine->hopper_level;
    for (int i = 0; i < run->n_events; i++) {
        const struct plain_event *e = &run->events[i];
        if (e->kind == SG_EVENT_REFILL && i < before && e->at + e->seconds <= at)
            level += e->garnet;
        if (e->kind == SG_EVENT_CUT && e->at < at)
            level -= e->garnet * (e->seconds > 0 ? fmin(1, (at - e->at) / e->seconds) : 1);
    }
    return level;
}

void plain_run(const struct sg_run_input *input, struct plain_run *out)
{
    struct shop_floor floor = {.in = input,
                               .out = out,
                               .now = input->start,
                               .person_free = input->start,
                               .sheet = 1,
                               .level = input->machine->hopper_level,
                               .stock = input->machine->bags_in_stock,
                               .fitted = input->machine->head_fitted};
    out->n_events = 0;
    out->overflow = false;
    out->finished = true;
    out->hands_on = out->waiting = out->cut_seconds = out->taken_kg = out->added_kg = 0;
    out->refills = out->bags = out->bags_short = 0;
    for (int i = 0; i < input->n_heads; i++) {
        floor.tube_s[i] = input->heads[i].tube_hours;
        floor.orifice_s[i] = input->heads[i].orifice_hours;
    }
    if (input->n_sheets > 0)
        chores(&floor, SG_CHORE_SHIFT_START, 1);
    for (floor.sheets_index = 0; floor.sheets_index < input->n_sheets && out->finished; floor.sheets_index++)
        run_like_sheets(&floor);
    if (input->n_sheets > 0 && out->finished) {
        floor.batch_index = input->sheets[input->n_sheets - 1].first;
        floor.sheet = 1;
        floor.piece = 0;
        chores(&floor, SG_CHORE_SHIFT_END, 1);
    }
    out->end = floor.now;
    out->level_end = floor.level;
}
