/* The refill rule. */
#include "run_inside.h"

static double low_line(const struct sg_run_state *s)
{
    return s->in->machine->low_line;
}

struct fill {
    double kg;
    int32_t bags;
    bool part_bag;
};

/* What a refill puts in. need: kg until the next boundary; rest: kg of all the rest of the run. */
static struct fill fill_amount(const struct sg_run_state *s, double need, double rest)
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

static void out_of_garnet(struct sg_run_state *s, const struct sg_run_sheet *sheet, double rest)
{
    const struct sg_machine *m = s->in->machine;
    double kg = rest + m->low_line - s->level - s->stock_bags * m->bag;
    double bags = m->bag > 0 ? ceil(kg / m->bag - 1e-9) : 0;
    s->run->bags_short = bags > 1 ? (int32_t)fmin(bags, 1e9) : 1;
    s->run->finished = false;
    sg_run_push(s, SG_EVENT_OUT_OF_GARNET, sheet, s->now, 0);
}

/* A refill while the machine cuts on. */
static struct sg_event *refill_while_cutting(struct sg_run_state *s, const struct sg_run_sheet *sheet,
                                             double seconds, double kg)
{
    double start = sg_run_person_at(s, s->now);
    struct sg_event *event = sg_run_push(s, SG_EVENT_REFILL, sheet, start, seconds);
    event->flags |= SG_EVENT_WHILE_CUTTING;
    s->person = s->fill_end = start + seconds;
    s->fill_kg = kg;
    return event;
}

/* While a filling is under way cutting starts only so early that the low line is not met before its end, so
 * that it never stops inside a cut. */
void sg_run_wait_for_filling(struct sg_run_state *s, const struct sg_run_sheet *sheet)
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
static bool refill(struct sg_run_state *s, const struct sg_run_sheet *sheet, double need, double rest,
                   bool wanted, bool inside)
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
    struct sg_event *event = stops ? sg_run_hands_on(s, SG_EVENT_REFILL, sheet, seconds)
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
static double take_ahead(const struct sg_run_sheet *sheet)
{
    switch (sheet->boundary) {
    case SG_REFILL_BY_SHEET:
        return sheet->at_start && sheet->done == 0 ? sheet->kg : 0;
    case SG_REFILL_BY_PIECE:
        return sheet->batch->garnet;
    default:
        return 0;
    }
}

static double rest_of_run(const struct sg_run_sheet *sheet)
{
    return sheet->rest_after + (double)(sheet->cuts - sheet->done) * sheet->batch->garnet;
}

static bool refill_wanted_here(struct sg_run_state *s, const struct sg_run_sheet *sheet)
{
    if (s->place == s->in->n_places)
        return false;
    const struct sg_refill_place *place = &s->in->places[s->place];
    if (place->batch != sheet->batch_index || place->sheet != sheet->number || place->cut != sheet->done)
        return false;
    s->place++;
    return true;
}

bool sg_run_refill_if_due(struct sg_run_state *s, const struct sg_run_sheet *sheet)
{
    double take = take_ahead(sheet);
    bool due = take > 0 && s->level - take < low_line(s) - LEVEL_SLACK;
    bool wanted = refill_wanted_here(s, sheet);
    if (!due && !wanted)
        return true;
    return refill(s, sheet, due ? take : 0, rest_of_run(sheet), !due, false);
}

/* Largest k <= limit with value0 - k step >= floor_value, judged by that very expression. */
int64_t sg_run_steps_down_to(double value0, double step, double floor_value, int64_t limit)
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

/* Cuts that may follow one another before a refill is due or wanted. */
int64_t sg_run_until_refill(const struct sg_run_state *s, const struct sg_run_sheet *sheet, int64_t limit)
{
    if (sheet->boundary == SG_REFILL_BY_PIECE)
        limit = sg_run_steps_down_to(s->level, sheet->batch->garnet, low_line(s) - LEVEL_SLACK, limit);
    if (s->place < s->in->n_places) {
        const struct sg_refill_place *place = &s->in->places[s->place];
        if (place->batch == sheet->batch_index && place->sheet == sheet->number && place->cut > sheet->done &&
            place->cut - sheet->done < limit)
            limit = place->cut - sheet->done;
    }
    return limit;
}

enum sg_run_boundary sg_run_boundary(const struct sg_machine *machine, double sheet_kg, double piece_kg)
{
    double full = machine->hopper - machine->low_line + LEVEL_SLACK;
    if (piece_kg > full)
        return SG_REFILL_INSIDE;
    return machine->refill_at == SG_AT_SHEETS && sheet_kg <= full ? SG_REFILL_BY_SHEET : SG_REFILL_BY_PIECE;
}

/* One piece that takes more than a full hopper: it stops where the level meets the low line. */
bool sg_run_cut_inside(struct sg_run_state *s, struct sg_run_sheet *sheet)
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
        struct sg_event *event = sg_run_push(s, SG_EVENT_CUT, sheet, s->now, kg * share_s);
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
