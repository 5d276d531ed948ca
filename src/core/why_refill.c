/* Why the hopper is refilled when it is. */
#include "why_inside.h"

#include "run_inside.h"

static const struct sg_target machine = {SG_KIND_MACHINE, 0};

/* ---- levels ---- */

static const char *left_by(struct sg_why_build *w)
{
    return sg_why_words(w, "as %s leaves it",
                        sg_why_key(w, (struct sg_target){SG_KIND_SHIFT, w->shift_before}));
}

static void level_at_start(struct sg_why_build *w)
{
    if (!w->plan->start.carried) {
        sg_why_field(w, machine, "hopper_level", "level at start", NULL);
        return;
    }
    struct sg_why_line *line = sg_why_number(w, "level at start", NULL, SG_DIM_MASS, w->plan->start.level);
    line->note = left_by(w);
}

/* The hopper's level from what went in and out before an event. */
static void level_line(struct sg_why_build *w, const char *name, double level, int32_t before)
{
    double filled = 0, taken = 0;
    for (int32_t i = 0; i < before; i++) {
        const struct sg_event *e = &w->plan->run.events[i];
        filled += e->kind == SG_EVENT_REFILL ? e->garnet : 0;
        taken += e->kind == SG_EVENT_CUT ? e->garnet : 0;
    }
    struct sg_why_line *line = sg_why_number(w, name, NULL, SG_DIM_MASS, level);
    sg_why_formula(line, "level at start + filled - taken", false, SG_BASIS_DERIVED, NULL);
    w->depth++;
    level_at_start(w);
    sg_why_number(w, "filled", NULL, SG_DIM_MASS, filled)->note = "by refills before";
    sg_why_number(w, "taken", NULL, SG_DIM_MASS, taken)->note = "by cutting and piercing before";
    w->depth--;
}

/* The level at which a refill was found due. One that lets the machine cut on starts later, at the level that
 * the event holds; the next event that stops the machine tells what it was. */
static double level_when_due(const struct sg_run *run, int32_t event)
{
    double filled = 0;
    if (!(run->events[event].flags & SG_EVENT_WHILE_CUTTING))
        return run->events[event].level;
    for (int32_t i = event; i < run->n_events; i++) {
        if (!(run->events[i].flags & SG_EVENT_WHILE_CUTTING))
            return run->events[i].level - filled;
        filled += run->events[i].garnet;
    }
    return run->level_end - filled;
}

/* ---- one refill ---- */

static struct sg_run_sheet sheet_of(const struct sg_why_build *w, const struct sg_event *e)
{
    const struct sg_batch *batch = &w->plan->batches[e->batch];
    const struct sg_sheets *sheets = &w->plan->sheets[batch->sheets];
    struct sg_run_sheet sheet = {.batch = batch,
                                 .batch_index = e->batch,
                                 .number = e->sheet,
                                 .at_start = sheets->first == e->batch,
                                 .cuts = batch->cuts,
                                 .done = e->first,
                                 .kg = sg_sheets_garnet(sheets, w->plan->batches)};
    sheet.boundary = sg_run_boundary(&w->shop->machine, sheet.kg, batch->garnet);
    return sheet;
}

static double take_line(struct sg_why_build *w, const struct sg_event *e)
{
    struct sg_run_sheet sheet = sheet_of(w, e);
    bool whole = sheet.boundary == SG_REFILL_BY_SHEET && e->first == 0 && sheet.at_start;
    double take = whole ? sheet.kg : sheet.boundary == SG_REFILL_BY_PIECE ? sheet.batch->garnet : 0;
    struct sg_target part = {SG_KIND_PART, sheet.batch->part};
    struct sg_why_line *line = sg_why_number(w, "take", NULL, SG_DIM_MASS, take);
    line->note = whole      ? "by the whole sheet, the next place where a refill may fall"
                 : take > 0 ? "by the next piece, before which a refill may fall again"
                            : "a refill may fall at once";
    if (!whole) {
        sg_why_more(line, part, "garnet");
        return take;
    }
    sg_why_formula(line, "sum of its lines", false, SG_BASIS_DERIVED, NULL);
    w->depth++;
    const struct sg_sheets *sheets = &w->plan->sheets[sheet.batch->sheets];
    for (int32_t i = sheets->first; i < sheets->first + sheets->n; i++) {
        const struct sg_batch *batch = &w->plan->batches[i];
        struct sg_target of = {SG_KIND_PART, batch->part};
        line = sg_why_number(w, sg_why_key(w, of), NULL, SG_DIM_MASS, (double)batch->cuts * batch->garnet);
        line->note = sg_why_words(w, "%lld cuts on the sheet", (long long)batch->cuts);
        sg_why_more(line, of, "garnet");
    }
    w->depth--;
    return take;
}

static const char *why_wanted(const struct sg_why_build *w, const struct sg_event *e)
{
    if (w->shop->stocks[w->plan->batches[e->batch].stock].fill && e->sheet == 1 && e->first == 0)
        return "not due: the stock's fill asks for it here";
    if (w->shop->shifts[w->plan->shift].fill_before_breaks)
        return "not due: the shift's fill_before_breaks asks for it here";
    return "not due: it is taken here to wait less";
}

/* Why now: what would be left at the next place where a refill may fall. */
static void due_line(struct sg_why_build *w, int32_t event)
{
    const struct sg_event *e = &w->plan->run.events[event];
    double level = level_when_due(&w->plan->run, event), low = w->shop->machine.low_line;
    struct sg_why_line *line = sg_why_number(w, "left", NULL, SG_DIM_MASS, (double)NAN);
    int at = w->n - 1;
    line->aside = true;
    sg_why_formula(line, "level - take", false, SG_BASIS_DERIVED, NULL);
    w->depth++;
    level_line(w, "level", level, event);
    double take = take_line(w, e);
    sg_why_field(w, machine, "low_line", NULL, NULL)->aside = true;
    w->depth--;
    line = &w->lines[at];
    line->value = level - take;
    bool due = line->value < low - LEVEL_SLACK;
    line->note = due                          ? "due: it would be below the low line"
                 : e->flags & SG_EVENT_IN_CUT ? "due: inside a piece the level meets the low line"
                                              : why_wanted(w, e);
}

/* What goes in, and why. */
static void refill_line(struct sg_why_build *w, int32_t event)
{
    const struct sg_event *e = &w->plan->run.events[event];
    double room = w->shop->machine.hopper - level_when_due(&w->plan->run, event);
    bool brim = w->shop->machine.bag <= 0 || e->flags & SG_EVENT_PART_BAG;
    struct sg_why_line *line = sg_why_number(w, sg_why_event_name(w, e), NULL, SG_DIM_MASS, e->garnet);
    line->aside = true;
    line->at = e->at;
    if (!brim)
        sg_why_formula(line, "bags x bag", false, SG_BASIS_DERIVED, NULL);
    bool enough = w->shop->machine.refill_amount == SG_AMOUNT_ENOUGH;
    line->note = brim && e->flags & SG_EVENT_PART_BAG ? "to the brim, the last bag in part"
                 : brim                               ? "to the brim"
                 : enough ? "whole bags, no more than the rest of the run asks for"
                          : "as many whole bags as fit or are in stock";
    w->depth++;
    sg_why_whole(w, "bags", e->bags);
    sg_why_field(w, machine, "bag", NULL, NULL);
    sg_why_number(w, "room", NULL, SG_DIM_MASS, room)->aside = true;
    due_line(w, event);
    w->depth--;
}

/* ---- the numbers ---- */

void sg_why_shift_next_refill(struct sg_why_build *w, int32_t index)
{
    (void)index;
    const struct sg_plan *plan = w->plan;
    if (plan->next_refill < 0) {
        struct sg_why_line *line = sg_why_moment(w, "next refill", (double)NAN);
        line->note = plan->hopper_lasts ? "none: the hopper lasts"
                     : plan->unknown    ? "none before a part that cannot be timed"
                                        : "none: there is no garnet to fill in";
        w->depth++;
        level_line(w, "level at the end", plan->run.level_end, plan->run.n_events);
        w->lines[w->n - 1].aside = false;
        sg_why_field(w, machine, "low_line", NULL, NULL)->aside = true;
        w->depth--;
        return;
    }
    const struct sg_event *e = &plan->run.events[plan->next_refill];
    struct sg_why_line *line = sg_why_moment(w, "next refill", e->at);
    sg_why_formula(line, "asked + wait", false, SG_BASIS_DERIVED, NULL);
    if (e->flags & SG_EVENT_WHILE_CUTTING)
        line->note = "the machine cuts on meanwhile";
    w->depth++;
    sg_why_moment(w, "asked", e->asked)->note = "the machine comes to the place where it is due";
    sg_why_number(w, "wait", NULL, SG_DIM_DURATION, e->at - e->asked)->note = "for a person";
    refill_line(w, plan->next_refill);
    w->depth--;
}

enum { REFILLS_SHOWN = 3 };

/* Refills of one stock; the item's index is the stock's. */
static void refills_of_stock(struct sg_why_build *w, const struct sg_why_item *item)
{
    int shown = 0;
    w->lines[w->n - 1].has_from = false;
    for (int32_t i = 0; i < w->plan->run.n_events && shown < REFILLS_SHOWN; i++) {
        const struct sg_event *e = &w->plan->run.events[i];
        if (e->kind != SG_EVENT_REFILL || w->plan->batches[e->batch].stock != item->index)
            continue;
        refill_line(w, i);
        shown++;
    }
}

static void count_by_stock(struct sg_why_build *w, const char *name, int64_t value, bool bags)
{
    const struct sg_plan *plan = w->plan;
    struct sg_why_item *items = sg_arena_take(w->arena, ((size_t)plan->n_stocks + 1) * sizeof *items);
    struct sg_why_line *line = sg_why_whole(w, name, value);
    sg_why_formula(line, "sum of its lines", false, SG_BASIS_DERIVED, NULL);
    w->failed = w->failed || !items;
    if (value == 0 && bags && plan->run.refills > 0)
        line->note = "the garnet is bulk: no bags are counted";
    else if (value == 0)
        line->note = plan->hopper_lasts ? "the hopper lasts" : "no refill falls in what can be planned";
    for (int32_t i = 0; items && i < plan->n_stocks; i++) {
        struct sg_target stock = {SG_KIND_STOCK, plan->first_stock + i};
        items[i] =
            (struct sg_why_item){.name = sg_why_key(w, stock), .at = (double)NAN, .index = stock.index};
    }
    for (int32_t i = 0; items && i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (e->kind == SG_EVENT_REFILL)
            items[plan->batches[e->batch].stock - plan->first_stock].value += bags ? e->bags : 1;
    }
    w->depth++;
    if (items)
        sg_why_items(w, items, plan->n_stocks, SG_WHY_WHOLE, SG_DIM_NUMBER, SG_WHY_MOST, refills_of_stock);
    w->depth--;
}

void sg_why_shift_bags(struct sg_why_build *w, int32_t index)
{
    (void)index;
    count_by_stock(w, "bags", w->plan->totals.bags, true);
}

void sg_why_shift_refills(struct sg_why_build *w, int32_t index)
{
    (void)index;
    count_by_stock(w, "refills", w->plan->totals.refills, false);
}
