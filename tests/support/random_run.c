#include "support/random_run.h"

#include <math.h>
#include <string.h>

static bool one_in(struct random *r, unsigned n)
{
    return random_below(r, n) == 0;
}

/* Half of them a whole multiple of `step`, half with all bits; from step to n steps. */
static double figure(struct random *r, double step, unsigned n)
{
    double whole = step * (1 + random_below(r, n));
    return one_in(r, 2) ? whole : whole - step * random_unit(r) * 0.999;
}

static double figure_or_zero(struct random *r, unsigned zero_in, double step, unsigned n)
{
    return one_in(r, zero_in) ? 0 : figure(r, step, n);
}

static void make_calendar(struct random *r, int breaks, struct sg_calendar *out)
{
    double at = 60.0 * random_below(r, 30);
    unsigned gap = one_in(r, 3) ? 5 : 40; /* minutes between breaks, at most */
    *out = (struct sg_calendar){.epoch = 1.8e9};
    out->n_breaks = (int)random_below(r, (unsigned)breaks + 1);
    for (int i = 0; i < out->n_breaks; i++) {
        at += i > 0 ? figure(r, 60, gap) : 0;
        out->breaks[i].from_s = at;
        at += figure(r, 60, 45);
        out->breaks[i].to_s = at;
    }
    out->close_s = at + 60.0 * random_below(r, 3 * gap);
}

static void make_machine(struct random *r, const struct random_limits *limits, struct sg_machine *m)
{
    *m = sg_fresh_machine;
    m->hopper = figure(r, 10, 12);
    m->low_line = one_in(r, 3) ? 0 : m->hopper * 0.1 * random_below(r, 6);
    m->hopper_level = one_in(r, 3) ? m->hopper : m->hopper * random_unit(r);
    m->bag =
        one_in(r, 4) ? 0 : m->hopper / (1 + random_below(r, 9)) * (one_in(r, 3) ? 1 : random_unit(r) + 0.01);
    m->bags_in_stock =
        limits->short_stock && one_in(r, limits->short_stock) ? (int32_t)random_below(r, 8) : 100000;
    m->refill = figure_or_zero(r, 6, 30, 20);
    m->refill_per_bag = figure_or_zero(r, 4, 5, 10);
    m->refill_stops_cutting = !one_in(r, 3);
    m->refill_at = one_in(r, 3) ? SG_AT_SHEETS : SG_AT_PIECES;
    m->refill_amount = one_in(r, 2) ? SG_AMOUNT_ENOUGH : SG_AMOUNT_FULL;
    m->head_change = figure_or_zero(r, 5, 60, 10);
    m->index_move = figure_or_zero(r, 5, 60, 8);
    m->tube_change = figure_or_zero(r, 5, 60, 8);
    m->orifice_change = figure_or_zero(r, 5, 60, 8);
    m->head_fitted = (int32_t)random_below(r, 3);
}

static void make_heads(struct random *r, struct sg_head heads[3])
{
    heads[0] = heads[2] = sg_fresh_heads[0];
    heads[1] = sg_fresh_heads[1];
    for (int i = 0; i < 3; i++) {
        heads[i].orifice_life = one_in(r, 3) ? (double)NAN : figure(r, 600, 20);
        heads[i].orifice_hours = figure_or_zero(r, 2, 300, 10);
        if (i == 1)
            continue;
        heads[i].tube_life = one_in(r, 3) ? (double)NAN : figure(r, 600, 20);
        heads[i].tube_hours = figure_or_zero(r, 2, 300, 10);
    }
}

static void make_batch(struct random *r, const struct random_limits *limits, const struct sg_machine *m,
                       struct sg_batch *batch)
{
    double full = m->hopper - m->low_line;
    batch->cuts = 1 + random_below(r, (unsigned)limits->cuts);
    batch->cut = figure(r, 30, 30);
    batch->pierce = figure_or_zero(r, 4, 1, 20);
    batch->rapid = figure_or_zero(r, 4, 2, 20);
    if (batch->head != 1)
        batch->garnet = full * (one_in(r, 3) ? 0.05 * (1 + random_below(r, 20)) : random_unit(r));
    if (limits->inside && batch->head != 1 && one_in(r, 12))
        batch->garnet = full * (1 + 3 * random_unit(r));
    batch->stack = (int32_t)random_below(r, 4);
    if (limits->chores)
        batch->tabs = figure_or_zero(r, 2, 5, 4);
}

static void make_sheets(struct random *r, const struct random_limits *limits, int32_t index,
                        struct random_run *out)
{
    struct sg_sheets *sheets = &out->sheets[index];
    int32_t first = index > 0 ? sheets[-1].first + sheets[-1].n : 0, moves = 0;
    *sheets = (struct sg_sheets){.job = index / 2, .first = first};
    sheets->n = 1 + (int32_t)random_below(r, limits->on_sheet > 0 ? (unsigned)limits->on_sheet : 1);
    sheets->copies = 1 + random_below(r, limits->copies > 0 ? (unsigned)limits->copies : 4);
    sheets->load = limits->no_load_time && one_in(r, 4) ? 0 : figure(r, 60, 8);
    int32_t head = (int32_t)random_below(r, 3);
    for (int32_t i = first; i < first + sheets->n; i++) {
        out->batches[i] =
            (struct sg_batch){.job = sheets->job, .stock = index, .part = i, .head = head, .sheets = index};
        make_batch(r, limits, &out->machine, &out->batches[i]);
        moves += one_in(r, 4) ? (int32_t)random_below(r, 3) : 0;
        out->batches[i].moves = moves;
    }
    out->batches[first].first_check = figure_or_zero(r, 2, 30, 8);
}

int random_boundaries(const struct sg_run_input *input, struct sg_refill_place *places, int max,
                      struct random *r)
{
    const struct sg_machine *m = input->machine;
    int n = 0;
    for (int32_t i = 0; i < input->n_sheets; i++) {
        const struct sg_sheets *sheets = &input->sheets[i];
        double kg = 0;
        for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
            kg += (double)input->batches[b].cuts * input->batches[b].garnet;
        bool whole = m->refill_at == SG_AT_SHEETS && kg <= m->hopper - m->low_line + 1e-9;
        for (int32_t copy = 1; copy <= sheets->copies; copy++)
            for (int32_t b = sheets->first; b < sheets->first + sheets->n; b++)
                for (int64_t cut = 0; cut < input->batches[b].cuts; cut++) {
                    if ((whole && (b > sheets->first || cut > 0)) || (r && !one_in(r, 8)))
                        continue;
                    if (n == max)
                        return r ? n : max + 1;
                    places[n++] = (struct sg_refill_place){b, copy, cut};
                }
    }
    return n;
}

/* Boundaries in order at which a refill is wanted although it may not be due. */
static void make_places(struct random *r, struct random_run *out)
{
    struct sg_refill_place all[RANDOM_PLACES];
    int n = random_boundaries(&out->input, all, RANDOM_PLACES, r);
    memcpy(out->places, all, sizeof all);
    out->input.places = out->places;
    out->input.n_places = n;
}

void random_run_make(struct random *r, const struct random_limits *limits, struct random_run *out)
{
    memset(out, 0, sizeof *out);
    make_calendar(r, limits->breaks, &out->calendar);
    make_machine(r, limits, &out->machine);
    make_heads(r, out->heads);
    int32_t n = 1 + (int32_t)random_below(r, (unsigned)limits->sheets);
    for (int32_t i = 0; i < n; i++)
        make_sheets(r, limits, i, out);
    out->input = (struct sg_run_input){.calendar = &out->calendar,
                                       .run_in_breaks = one_in(r, 2),
                                       .machine = &out->machine,
                                       .heads = out->heads,
                                       .n_heads = 3,
                                       .batches = out->batches,
                                       .sheets = out->sheets,
                                       .n_sheets = n};
    for (int i = 0; limits->chores && i < RANDOM_CHORES; i++)
        out->chores[i] = (struct sg_chore){.name = "", .when = i, .time = figure_or_zero(r, 2, 30, 4)};
    out->input.chores = out->chores;
    out->input.n_chores = limits->chores ? RANDOM_CHORES : 0;
    out->input.start = limits->chores ? figure_or_zero(r, 2, 60, 60) : 0;
    out->input.sheet_on = limits->chores && one_in(r, 3);
    if (limits->places && one_in(r, 3))
        make_places(r, out);
}
