/* The plan for people, in lines of at most 100 characters. */
#include "exchange/render.h"
#include "sandglass/ask.h"

#include <stdio.h>
#include <string.h>

enum { WIDTH = 100, CELL = 80 };

typedef char cell[CELL];

static double epoch_of(const struct sg_shop *shop, const struct sg_plan *plan)
{
    return shop->shifts[plan->shift].calendar.epoch;
}

/* A figure in the shop's unit with as many decimals as the floor reads. */
static const char *figure(const struct sg_shop *shop, enum sg_dimension dimension, double value, int decimals,
                          cell out)
{
    sg_number_format(value, sg_unit_of_shop(dimension, shop->units), decimals, out, CELL);
    return out;
}

static const char *length_of(const struct sg_shop *shop, double mm, cell out)
{
    return figure(shop, SG_DIM_LENGTH, mm, shop->units == SG_UNITS_US ? 3 : 1, out);
}

static const char *duration(double seconds, cell out)
{
    if (sg_known(seconds))
        sg_duration_format(seconds, out, CELL);
    else
        snprintf(out, CELL, "-");
    return out;
}

static const char *clock_at(double epoch, cell out)
{
    if (sg_known(epoch))
        sg_clock_format(epoch, out, CELL);
    else
        snprintf(out, CELL, "-");
    return out;
}

/* A time with its weekday where it is not on the day the shift starts. */
static const char *clock_on_day(const struct sg_shop *shop, const struct sg_plan *plan, double epoch,
                                cell out)
{
    cell start, day, at;
    sg_day_format(epoch_of(shop, plan), start, sizeof start);
    sg_day_format(epoch, day, sizeof day);
    if (strcmp(start, day) == 0)
        return clock_at(epoch, out);
    snprintf(out, CELL, "%.3s %.5s", day, clock_at(epoch, at));
    return out;
}

static const char *count(int64_t n, cell out)
{
    if (n == SG_UNKNOWN)
        snprintf(out, CELL, "-");
    else
        snprintf(out, CELL, "%lld", (long long)n);
    return out;
}

static const char *unit(const struct sg_shop *shop, enum sg_dimension dimension)
{
    return sg_unit_of_shop(dimension, shop->units)->name;
}

/* "Garnet lb", with the mark of a column of figures in front. */
static const char *titled(const struct sg_shop *shop, const char *title, enum sg_dimension dimension,
                          cell out)
{
    snprintf(out, CELL, ">%s %s", title, unit(shop, dimension));
    return out;
}

/* ---- answers ---- */

static void put_end(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    cell at, over;
    if (!sg_known(plan->ends)) {
        sg_text_put(out,
                    plan->run.finished ? "not known, a part cannot be timed" : "never, the garnet runs out");
        return;
    }
    double ends = epoch_of(shop, plan) + plan->ends;
    clock_on_day(shop, plan, ends, at);
    if (plan->over > 0) {
        sg_over_format(epoch_of(shop, plan) + shop->shifts[plan->shift].calendar.close_s, ends, over, CELL);
        sg_text_format(out, "%s, %s over", at, over);
    } else {
        sg_text_format(out, "%s, in time", at);
    }
}

static void put_refill(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    cell at;
    if (plan->next_refill < 0) {
        sg_text_put(out, plan->hopper_lasts ? "none, the hopper lasts"
                         : plan->unknown    ? "not known, a part cannot be timed"
                                            : "none");
        return;
    }
    const struct sg_event *e = &plan->run.events[plan->next_refill];
    sg_text_format(out, "%s", clock_on_day(shop, plan, epoch_of(shop, plan) + e->at, at));
    if (e->bags > 0)
        sg_text_format(out, ", %d bag%s", e->bags, e->bags == 1 ? "" : "s");
    if (plan->run.refills > 1)
        sg_text_format(out, ", then %d more", plan->run.refills - 1);
}

void sg_reason_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                    int32_t event)
{
    cell at;
    if (event < 0) {
        sg_text_put(out, "not known, a part cannot be timed");
        return;
    }
    const struct sg_event *e = &plan->run.events[event];
    const struct sg_batch *batch = &plan->batches[e->batch];
    const char *what = e->kind == SG_EVENT_CHORE ? shop->chores[e->chore].name : sg_event_word(e->kind);
    sg_text_format(out, "%s %s/%d sheet %d at %s", what, shop->jobs[batch->job].id,
                   shop->stocks[batch->stock].number, sg_event_sheet(plan, e),
                   clock_at(epoch_of(shop, plan) + e->asked, at));
}

static void put_breaks(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                       const char *between)
{
    cell from, to;
    if (plan->n_breaks == 0)
        sg_text_put(out, sg_ask_breaks_over(shop, plan) ? "no break is left" : "no breaks in the shift");
    for (int i = 0; i < plan->n_breaks; i++) {
        const struct sg_plan_break *b = &plan->breaks[i];
        sg_text_format(out, "%s%s-%s %s", i ? between : "", clock_at(epoch_of(shop, plan) + b->from, from),
                       clock_at(epoch_of(shop, plan) + b->to, to), b->alone ? "yes" : "no, ");
        if (!b->alone)
            sg_reason_text(out, shop, plan, b->event);
    }
}

void sg_answers_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    sg_text_put(out, "ends ");
    put_end(out, shop, plan);
    sg_text_put(out, " | refill ");
    put_refill(out, shop, plan);
    sg_text_put(out, " | alone ");
    put_breaks(out, shop, plan, "; ");
    sg_text_put(out, "\n");
}

static void put_head(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    const struct sg_shift *shift = &shop->shifts[plan->shift];
    cell day, from, to, breaks;
    double epoch = epoch_of(shop, plan);
    sg_day_format(epoch, day, sizeof day);
    sg_text_format(out, "SHIFT %s  %s  %s-%s", shift->id, day, clock_at(epoch, from),
                   clock_at(epoch + shift->calendar.close_s, to));
    if (shift->n_breaks > 0) {
        sg_spans_format(shift->breaks, shift->n_breaks, breaks, sizeof breaks);
        sg_text_format(out, "  breaks %s", breaks);
    }
    sg_text_put(out, "\n\nEnds    ");
    put_end(out, shop, plan);
    sg_text_put(out, "\nRefill  ");
    put_refill(out, shop, plan);
    sg_text_put(out, "\nAlone   ");
    put_breaks(out, shop, plan, "\n        ");
    sg_text_put(out, "\n");
}

/* ---- tables ---- */

static void put_jobs(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    cell garnet;
    const char *titles[] = {"Job",  "Name",    "Start",
                            "End",  ">Sheets", ">Pieces",
                            ">Cut", ">Pierce", titled(shop, "Garnet", SG_DIM_MASS, garnet),
                            ""};
    struct sg_table table;
    sg_table_start(&table, titles, 10);
    for (int32_t i = 0; i < plan->n_jobs; i++) {
        const struct sg_job *job = &shop->jobs[plan->first_job + i];
        const struct sg_plan_job *planned = &plan->jobs[i];
        cell c[8];
        sg_table_row(&table, (const char *[]){job->id, job->name,
                                              clock_at(epoch_of(shop, plan) + planned->starts, c[0]),
                                              clock_at(epoch_of(shop, plan) + planned->ends, c[1]),
                                              count(planned->sheets, c[2]), count(planned->pieces, c[3]),
                                              duration(planned->cut, c[4]), duration(planned->pierce, c[5]),
                                              figure(shop, SG_DIM_MASS, planned->garnet, 1, c[6]),
                                              planned->late > 0 ? "LATE" : ""});
    }
    const struct sg_plan_totals *t = &plan->totals;
    cell c[5];
    sg_table_row(&table, (const char *[]){"", "total", "", "", count(t->sheets, c[0]), count(t->pieces, c[1]),
                                          duration(t->cut, c[2]), duration(t->pierce, c[3]),
                                          figure(shop, SG_DIM_MASS, t->garnet, 1, c[4]), ""});
    sg_text_put(out, "\n");
    sg_table_put(&table, 0, out);
}

static void put_stocks(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    cell thick, traverse, mass;
    const char *titles[] = {"Stock",
                            "Material",
                            titled(shop, "Thick", SG_DIM_LENGTH, thick),
                            "Edge",
                            "Head",
                            titled(shop, "Traverse", SG_DIM_FEED, traverse),
                            "Trust",
                            ">Pierce s",
                            ">Sheets",
                            titled(shop, "Sheet", SG_DIM_MASS, mass),
                            ">Load"};
    struct sg_table table;
    sg_table_start(&table, titles, 11);
    for (int32_t i = 0; i < plan->n_stocks; i++) {
        const struct sg_stock *stock = &shop->stocks[plan->first_stock + i];
        const struct sg_plan_stock *planned = &plan->stocks[i];
        cell c[8], key;
        sg_key_write(shop, (struct sg_target){SG_KIND_STOCK, plan->first_stock + i}, key, sizeof key);
        snprintf(c[0], CELL, "%.3g %s", stock->edge, sg_edge_word(stock->edge));
        sg_number_format(planned->setup.pierce, sg_unit_canonical(SG_DIM_DURATION), 1, c[1], CELL);
        sg_table_row(
            &table,
            (const char *[]){
                key, stock->material == SG_UNKNOWN ? "-" : shop->materials[stock->material].name,
                length_of(shop, stock->thickness, c[2]), planned->setup.abrasive ? c[0] : "-",
                shop->heads[planned->head].name, figure(shop, SG_DIM_FEED, planned->setup.traverse, 1, c[3]),
                sg_basis_word(planned->setup.traverse_basis), c[1], count(planned->sheets, c[4]),
                figure(shop, SG_DIM_MASS, planned->sheet_mass, 0, c[5]), duration(planned->load, c[6])});
    }
    sg_text_put(out, "\n");
    sg_table_put(&table, 0, out);
}

static void put_parts(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    cell cut, garnet;
    const char *titles[] = {
        "Part", "Name",    ">Qty",   titled(shop, "Cut", SG_DIM_LENGTH, cut),    ">Pierces", ">Each",
        ">Cut", ">Pierce", ">Rapid", titled(shop, "Garnet", SG_DIM_MASS, garnet)};
    struct sg_table table;
    sg_table_start(&table, titles, 10);
    for (int32_t i = 0; i < plan->n_parts; i++) {
        const struct sg_part *part = &shop->parts[plan->first_part + i];
        const struct sg_plan_part *planned = &plan->parts[i];
        cell c[8];
        char key[400];
        sg_key_write(shop, (struct sg_target){SG_KIND_PART, plan->first_part + i}, key, sizeof key);
        sg_table_row(&table,
                     (const char *[]){key, part->name, count(part->quantity, c[0]),
                                      length_of(shop, part->cut_length, c[1]), count(part->pierces, c[2]),
                                      duration(planned->each, c[3]), duration(planned->cut, c[4]),
                                      duration(planned->pierce, c[5]), duration(planned->rapid, c[6]),
                                      figure(shop, SG_DIM_MASS, planned->garnet, 2, c[7])});
    }
    sg_text_put(out, "\n");
    sg_table_put(&table, 0, out);
}

static void put_refills(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    if (plan->run.refills > 0)
        sg_text_put(out, "\nRefills\n");
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (e->kind != SG_EVENT_REFILL)
            continue;
        const struct sg_batch *batch = &plan->batches[e->batch];
        cell at, level, add, wait, bags = "";
        if (e->bags > 0)
            snprintf(bags, sizeof bags, " (%d bag%s)", e->bags, e->bags == 1 ? "" : "s");
        sg_text_format(out, "  %s  %s/%d sheet %d: at %s %s add %s%s, takes %s",
                       clock_at(epoch_of(shop, plan) + e->at, at), shop->jobs[batch->job].id,
                       shop->stocks[batch->stock].number, sg_event_sheet(plan, e),
                       figure(shop, SG_DIM_MASS, e->level, 1, level), unit(shop, SG_DIM_MASS),
                       figure(shop, SG_DIM_MASS, e->garnet, 1, add), bags, duration(e->seconds, wait));
        if (e->at > e->asked)
            sg_text_format(out, ", waits %s for a person", duration(e->at - e->asked, wait));
        sg_text_put(out, "\n");
    }
}

/* What the sheets are laid out by, and how many there must be. */
static void put_sheets(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    int64_t bound = 0, saved = 0;
    for (int32_t i = 0; i < plan->n_stocks; i++) {
        const struct sg_plan_stock *planned = &plan->stocks[i];
        bound += planned->lower_bound == SG_UNKNOWN ? 0 : planned->lower_bound;
        saved += sg_spared_sheets(&shop->stocks[plan->first_stock + i], planned->layout);
    }
    if (plan->totals.sheets == SG_UNKNOWN || plan->totals.sheets == 0)
        return;
    sg_text_format(out, "%lld sheet%s; no layout takes fewer", (long long)plan->totals.sheets,
                   plan->totals.sheets == 1 ? "" : "s");
    if (bound < plan->totals.sheets)
        sg_text_format(out, " than %lld", (long long)bound);
    sg_text_put(out, ".");
    if (saved > 0)
        sg_text_format(out, " Outlines lie into each other: boxes alone would take %lld more.",
                       (long long)saved);
    sg_text_put(out, "\n");
}

static void put_trust(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    struct sg_text words = {0};
    sg_trust_words(
        &words, shop, plan->first_stock, plan->n_stocks,
        ": expect metals within about 25 %, plastics 50 %, glass a factor of 2, stone a factor of 3.");
    sg_trust_of_pierces(&words, shop, plan->first_stock, plan->n_stocks);
    out->failed = out->failed || words.failed;
    if (words.data && !words.failed)
        sg_wrap(out, "", 0, WIDTH, words.data);
    sg_text_free(&words);
}

static void put_totals(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    const struct sg_plan_totals *t = &plan->totals;
    cell c[10];
    if (plan->unknown)
        sg_text_put(
            out,
            "\nA part cannot be timed (see the cautions): what comes after it and the sums are not known.\n");
    else
        sg_text_format(out, "\nThe %s go into cutting %s, piercing %s, rapid %s, hands on %s, waiting %s.\n",
                       duration(t->elapsed, c[0]), duration(t->cut, c[1]), duration(t->pierce, c[2]),
                       duration(t->rapid, c[3]), duration(t->hands_on, c[4]), duration(t->waiting, c[5]));
    sg_text_format(out, "Garnet %s %s, water %s %s, energy %s kWh, %d bag%s in %d refill%s.\n",
                   figure(shop, SG_DIM_MASS, t->garnet, 1, c[6]), unit(shop, SG_DIM_MASS),
                   figure(shop, SG_DIM_VOLUME, t->water, 0, c[7]), unit(shop, SG_DIM_VOLUME),
                   figure(shop, SG_DIM_ENERGY, t->energy, 1, c[8]), t->bags, t->bags == 1 ? "" : "s",
                   t->refills, t->refills == 1 ? "" : "s");
    put_sheets(out, shop, plan);
    put_trust(out, shop, plan);
}

void sg_cautions_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_caution *cautions,
                      int count_of)
{
    if (count_of > 0)
        sg_text_put(out, "\nCautions\n");
    for (int i = 0; i < count_of; i++) {
        char where[400], first[440], text[600];
        sg_key_write(shop, (struct sg_target){(enum sg_kind)cautions[i].kind, cautions[i].index}, where,
                     sizeof where);
        sg_caution_text(&cautions[i], shop->units, text, sizeof text);
        snprintf(first, sizeof first, "  %s:", where);
        sg_wrap(out, first, 4, WIDTH, text);
    }
}

void sg_plan_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    put_head(out, shop, plan);
    if (plan->n_jobs == 0) {
        sg_text_put(
            out,
            "\nNo jobs yet: `sandglass add job 1001`, then `add stock 1001`, then `add part 1001/1 A`.\n");
        return;
    }
    put_jobs(out, shop, plan);
    put_stocks(out, shop, plan);
    put_parts(out, shop, plan);
    put_refills(out, shop, plan);
    put_totals(out, shop, plan);
    sg_cautions_text(out, shop, plan->cautions, plan->n_cautions);
}
