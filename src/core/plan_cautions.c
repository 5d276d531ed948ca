/* What a plan must say beside its numbers. */
#include "plan_inside.h"

#include "sandglass/sheet.h"

#include <string.h>

/* NIOSH revised lifting equation, load constant of 23 kg (recalled): a bag above it is not for one person
 * alone. */
#define ONE_PERSON_KG 23.0

static void add(struct sg_planner *p, int code, int kind, int32_t index, double a, double b)
{
    struct sg_plan *plan = &p->plan;
    if (!sg_planner_room(p, &plan->cautions, &p->cautions_room, plan->n_cautions + 1, sizeof *plan->cautions))
        return;
    plan->cautions[plan->n_cautions++] =
        (struct sg_caution){.code = (int16_t)code, .kind = (int16_t)kind, .index = index, .a = a, .b = b};
}

/* ---- heads and materials: once a plan ---- */

static void say_head(struct sg_planner *p, const struct sg_shop *shop, int32_t index,
                     const struct sg_setup *setup)
{
    const struct sg_head *head = &shop->heads[index];
    const struct sg_machine *m = &shop->machine;
    const struct {
        unsigned mark;
        int code;
        double a, b;
    } said[] = {
        {SG_MARK_LOADING, SG_CAUTION_LOADING_RATIO, setup->loading_ratio, (double)NAN},
        {SG_MARK_TUBE_RATIO, SG_CAUTION_TUBE_RATIO, setup->bore / head->orifice, (double)NAN},
        {SG_MARK_PRESSURE, SG_CAUTION_PUMP_PRESSURE, head->pressure, m->max_pressure},
        {SG_MARK_FLOW, SG_CAUTION_PUMP_FLOW, head->heads * setup->water, m->max_flow},
        {SG_MARK_POWER, SG_CAUTION_PUMP_POWER, head->heads * setup->shaft_power, m->pump_power},
    };
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        if (setup->marks & said[i].mark & ~p->head_marks[index]) {
            p->head_marks[index] |= said[i].mark;
            add(p, said[i].code, SG_KIND_HEAD, index, said[i].a, said[i].b);
        }
}

static void say_material(struct sg_planner *p, const struct sg_shop *shop, int32_t index)
{
    static const struct {
        int hazard, code;
    } said[] = {
        {SG_HAZARD_SILICA, SG_CAUTION_SILICA},       {SG_HAZARD_HYDROGEN, SG_CAUTION_HYDROGEN},
        {SG_HAZARD_BERYLLIUM, SG_CAUTION_BERYLLIUM}, {SG_HAZARD_TOXIC, SG_CAUTION_TOXIC},
        {SG_HAZARD_TEMPERED, SG_CAUTION_TEMPERED},   {SG_HAZARD_LAMINATE, SG_CAUTION_LAMINATE},
        {SG_HAZARD_VERIFY, SG_CAUTION_VERIFY},
    };
    if (p->material_said[index])
        return;
    p->material_said[index] = true;
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        if (shop->materials[index].hazards & said[i].hazard)
            add(p, said[i].code, SG_KIND_MATERIAL, index, (double)NAN, (double)NAN);
}

/* ---- stocks and parts ---- */

static void say_marks(struct sg_planner *p, int kind, int32_t index, unsigned marks,
                      const struct sg_setup *setup, double typed_feed, const struct sg_machine *m)
{
    const struct {
        unsigned mark;
        int code;
        double a, b;
    } said[] = {
        {SG_MARK_Z_TRAVEL, SG_CAUTION_OVER_Z_TRAVEL, setup->height, m->z_travel},
        {SG_MARK_WATER_NO, SG_CAUTION_WATER_NO, (double)NAN, (double)NAN},
        {SG_MARK_ABRASIVE_SOFT, SG_CAUTION_ABRASIVE_SOFT, (double)NAN, (double)NAN},
        {SG_MARK_NO_SPEED, SG_CAUTION_NO_SPEED, (double)NAN, (double)NAN},
        {SG_MARK_WILL_NOT_CUT, SG_CAUTION_WILL_NOT_CUT, setup->traverse, setup->separation},
        {SG_MARK_TOP_FEED, SG_CAUTION_TOP_FEED, typed_feed, m->top_feed},
        {SG_MARK_RANGE, SG_CAUTION_OUTSIDE_RANGE, (double)NAN, (double)NAN},
        {SG_MARK_STILL_BRITTLE, SG_CAUTION_BRITTLE, (double)NAN, (double)NAN},
    };
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        if (marks & said[i].mark)
            add(p, said[i].code, kind, index, said[i].a, said[i].b);
}

static void say_sheets(struct sg_planner *p, const struct sg_shop *shop, int32_t index,
                       const struct sg_plan_stock *planned)
{
    const struct sg_stock *stock = &shop->stocks[index];
    const struct sg_machine *m = &shop->machine;
    if (!sg_known(stock->sheet_length) || !sg_known(stock->sheet_width)) {
        add(p, SG_CAUTION_NO_SHEET, SG_KIND_STOCK, index, (double)NAN, (double)NAN);
    } else {
        double narrow = fmin(stock->sheet_length, stock->sheet_width);
        if (sg_sheet_too_wide(m->table_width, narrow))
            add(p, SG_CAUTION_SHEET_OFF_TABLE, SG_KIND_STOCK, index, narrow, m->table_width);
    }
    int64_t off = sg_plan_remnants_off_table(m, stock);
    if (off > 0)
        add(p, SG_CAUTION_REMNANT_OFF_TABLE, SG_KIND_STOCK, index, (double)off, m->table_width);
    if (planned->slat_load > m->slat_load * (1 + 1e-12))
        add(p, SG_CAUTION_OVER_SLAT_LOAD, SG_KIND_STOCK, index, planned->slat_load, m->slat_load);
    /* what is on hand is counted without remnants, and without what is on the table already */
    int64_t whole = planned->sheets - planned->remnants - (int64_t)stock->begun_loads * stock->stack;
    if (stock->sheets != SG_UNKNOWN && planned->sheets != SG_UNKNOWN && whole > stock->sheets)
        add(p, SG_CAUTION_SHEETS_SHORT, SG_KIND_STOCK, index, (double)whole, stock->sheets);
}

static void say_part(struct sg_planner *p, const struct sg_shop *shop, int32_t index,
                     const struct sg_plan_stock *planned)
{
    const struct sg_part *part = &shop->parts[index];
    const struct sg_stock *stock = &shop->stocks[part->stock];
    const struct sg_plan_part *out = &p->plan.parts[index - p->plan.first_part];
    bool boxed = sg_known(part->length) && sg_known(part->width);
    if (part->quantity == 0)
        return;
    if (!sg_known(part->cut_length))
        add(p, SG_CAUTION_NO_LENGTH, SG_KIND_PART, index, (double)NAN, (double)NAN);
    if (part->pierces > 0 && out->traverse > 0 && !sg_known(out->pierce_each))
        add(p, SG_CAUTION_NO_PIERCE, SG_KIND_PART, index, (double)NAN, (double)NAN);
    if (!boxed)
        add(p, SG_CAUTION_NO_BOX, SG_KIND_PART, index, (double)NAN, (double)NAN);
    else if (out->per_sheet == 0 && sg_known(stock->sheet_length) && sg_known(stock->sheet_width))
        add(p, SG_CAUTION_DOES_NOT_FIT, SG_KIND_PART, index, part->length, part->width);
    if (out->crossing > 0)
        add(p, SG_CAUTION_CROSSES_INDEX, SG_KIND_PART, index, (double)out->crossing, (double)NAN);
    if (boxed && part->tabs == 0 && fmax(part->length, part->width) < shop->machine.slat_pitch)
        add(p, SG_CAUTION_SMALL_PART, SG_KIND_PART, index, fmax(part->length, part->width),
            shop->machine.slat_pitch);
    if (sg_known(part->edge) || sg_known(part->feed)) {
        struct sg_setup setup = planned->setup;
        sg_setup_for_part(&shop->machine, stock, part, &setup);
        unsigned own = SG_MARK_WILL_NOT_CUT | SG_MARK_NO_SPEED | SG_MARK_TOP_FEED;
        say_marks(p, SG_KIND_PART, index, setup.marks & own & ~planned->setup.marks, &setup, part->feed,
                  &shop->machine);
    }
}

static void say_stock(struct sg_planner *p, const struct sg_shop *shop, int32_t index)
{
    const struct sg_stock *stock = &shop->stocks[index];
    const struct sg_plan_stock *planned = &p->plan.stocks[index - p->plan.first_stock];
    unsigned marks = planned->setup.marks;
    if (planned->pieces == 0)
        return;
    if (stock->material == SG_UNKNOWN) {
        add(p, SG_CAUTION_NO_MATERIAL, SG_KIND_STOCK, index, (double)NAN, (double)NAN);
        marks &= ~(unsigned)SG_MARK_NO_SPEED;
    }
    if (!sg_known(stock->thickness))
        add(p, SG_CAUTION_NO_THICKNESS, SG_KIND_STOCK, index, (double)NAN, (double)NAN);
    say_marks(p, SG_KIND_STOCK, index, marks, &planned->setup, stock->feed, &shop->machine);
    say_head(p, shop, planned->head, &planned->setup);
    if (stock->material != SG_UNKNOWN)
        say_material(p, shop, stock->material);
    say_sheets(p, shop, index, planned);
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        say_part(p, shop, i, planned);
}

/* ---- the run ---- */

static void say_events(struct sg_planner *p, const struct sg_shop *shop)
{
    struct sg_plan *plan = &p->plan;
    const struct sg_machine *m = &shop->machine;
    bool lock_out = false;
    int32_t stopped = -1, long_batch = -1, part_bag = -1;
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        const struct sg_batch *batch = &plan->batches[e->batch];
        lock_out = lock_out || e->kind == SG_EVENT_TUBE_CHANGE || e->kind == SG_EVENT_ORIFICE_CHANGE;
        if (e->kind == SG_EVENT_OUT_OF_GARNET)
            add(p, SG_CAUTION_OUT_OF_GARNET, SG_KIND_PART, batch->part, plan->run.bags_short, (double)NAN);
        if (e->kind == SG_EVENT_REFILL && e->flags & SG_EVENT_IN_CUT && stopped != e->batch) {
            stopped = e->batch;
            add(p, SG_CAUTION_STOPS_IN_CUT, SG_KIND_PART, batch->part, batch->garnet,
                m->hopper - m->low_line);
        }
        if (e->kind == SG_EVENT_REFILL && e->flags & SG_EVENT_PART_BAG && part_bag != e->batch) {
            part_bag = e->batch;
            add(p, SG_CAUTION_PART_BAG, SG_KIND_PART, batch->part, (double)NAN, (double)NAN);
        }
        if (e->flags & SG_EVENT_LONG_PIECE && long_batch != e->batch) {
            long_batch = e->batch;
            add(p, SG_CAUTION_LONG_PIECE, SG_KIND_PART, batch->part,
                batch->cut + batch->pierce + batch->rapid,
                sg_run_longest_gap(&shop->shifts[plan->shift].calendar));
        }
    }
    if (lock_out)
        add(p, SG_CAUTION_LOCK_OUT, SG_KIND_MACHINE, 0, (double)NAN, (double)NAN);
}

static void say_wear(struct sg_planner *p, const struct sg_shop *shop)
{
    int32_t said = SG_UNKNOWN;
    for (int32_t i = 0; i < p->plan.n_sheets; i++) {
        const struct sg_sheets *sheets = &p->plan.sheets[i];
        const struct sg_batch *batches = &p->plan.batches[sheets->first];
        const struct sg_head *head = &shop->heads[batches->head];
        double life = fmin(head->tube_life, head->orifice_life); /* passes over what is not known */
        double jet = sg_sheets_jet(sheets, p->plan.batches);
        if (jet > life && batches->stock != said)
            add(p, SG_CAUTION_WEAR_IN_SHEET, SG_KIND_STOCK, said = batches->stock, jet, life);
    }
}

/* The hopper's reading, the tank and the bags. A reading holds for what it says when it is made within the
 * half day before the first shift of a chain starts. */
static void say_stores(struct sg_planner *p, const struct sg_shop *shop)
{
    const struct sg_plan *plan = &p->plan;
    const struct sg_machine *m = &shop->machine;
    const struct sg_shift *shift = &shop->shifts[plan->shift];
    if (m->hopper_read != SG_NO_MOMENT && !plan->start.carried) {
        double age = (double)shift->date * SG_DAY_S + shift->start - (double)m->hopper_read;
        if (age < 0 || age > SG_DAY_S / 2)
            add(p, SG_CAUTION_LEVEL_READ, SG_KIND_MACHINE, 0, fabs(age), (double)NAN);
    }
    if (plan->totals.sludge > m->clean_out)
        add(p, SG_CAUTION_CLEAN_OUT, SG_KIND_MACHINE, 0, plan->totals.sludge, m->clean_out);
    if (plan->totals.bags_to_order > 0)
        add(p, SG_CAUTION_ORDER_BAGS, SG_KIND_MACHINE, 0, plan->totals.bags_to_order, m->reorder);
}

/* Services whose interval was over before the shift began; the run does them first. */
static void say_services(struct sg_planner *p, const struct sg_shop *shop)
{
    for (int32_t i = 0; i < shop->n_chores; i++) {
        const struct sg_chore *chore = &shop->chores[i];
        double counted = sg_chore_counted(chore, shop->shifts[p->plan.shift].date), days = counted / SG_DAY_S;
        if (chore->when != SG_CHORE_DUE)
            continue;
        if (chore->counts != SG_COUNTS_CALENDAR && counted > chore->every)
            add(p, SG_CAUTION_SERVICE_OVER, SG_KIND_CHORE, i, counted, chore->every);
        if (chore->counts == SG_COUNTS_CALENDAR && chore->every_days != SG_UNKNOWN &&
            days > chore->every_days && isfinite(days))
            add(p, SG_CAUTION_SERVICE_DAYS, SG_KIND_CHORE, i, days, chore->every_days);
    }
}

static void say_heaviest(struct sg_planner *p)
{
    int32_t heaviest = SG_UNKNOWN;
    double mass = ONE_PERSON_KG;
    for (int32_t i = 0; i < p->plan.n_stocks; i++)
        if (p->plan.stocks[i].pieces > 0 && p->plan.stocks[i].sheet_mass > mass) {
            mass = p->plan.stocks[i].sheet_mass;
            heaviest = i;
        }
    if (heaviest != SG_UNKNOWN)
        add(p, SG_CAUTION_HEAVY_SHEET, SG_KIND_STOCK, p->plan.first_stock + heaviest, mass, (double)NAN);
}

static void say_shift(struct sg_planner *p, const struct sg_shop *shop)
{
    struct sg_plan *plan = &p->plan;
    const struct sg_shift *shift = &shop->shifts[plan->shift];
    if (plan->closed_day)
        add(p, SG_CAUTION_CLOSED_DAY, SG_KIND_SHIFT, plan->shift, (double)NAN, (double)NAN);
    if (shift->sheet_on && shift->sheet_on[0] && plan->n_batches > 0 && !plan->sheet_on)
        add(p, SG_CAUTION_SHEET_ON, SG_KIND_SHIFT, plan->shift, (double)NAN, (double)NAN);
    say_stores(p, shop);
    say_services(p, shop);
    for (int32_t i = 0; i < plan->n_jobs; i++)
        if (plan->jobs[i].late > 0)
            add(p, SG_CAUTION_LATE, SG_KIND_JOB, plan->first_job + i, plan->jobs[i].late, (double)NAN);
    if (plan->run.refills > 0)
        add(p, SG_CAUTION_GARNET_VESSEL, SG_KIND_MACHINE, 0, (double)NAN, (double)NAN);
    if (plan->run.bags > 0 && shop->machine.bag > ONE_PERSON_KG)
        add(p, SG_CAUTION_HEAVY_BAG, SG_KIND_MACHINE, 0, shop->machine.bag, (double)NAN);
    say_heaviest(p);
    bool alone = false;
    for (int32_t i = 0; i < plan->n_breaks; i++)
        alone = alone || plan->breaks[i].alone;
    if (alone)
        add(p, SG_CAUTION_UNATTENDED, SG_KIND_SHIFT, plan->shift, (double)NAN, (double)NAN);
    if (plan->totals.pieces > 0)
        add(p, SG_CAUTION_JET, SG_KIND_MACHINE, 0, (double)NAN, (double)NAN);
}

void sg_plan_cautions(struct sg_planner *p, const struct sg_shop *shop)
{
    struct sg_plan *plan = &p->plan;
    plan->n_cautions = 0;
    memset(p->head_marks, 0, (size_t)shop->n_heads * sizeof *p->head_marks);
    memset(p->material_said, 0, (size_t)shop->n_materials * sizeof *p->material_said);
    for (int32_t i = 0; i < plan->n_stocks; i++)
        say_stock(p, shop, plan->first_stock + i);
    say_wear(p, shop);
    say_events(p, shop);
    say_shift(p, shop);
}
