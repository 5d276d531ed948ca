/* What the planner remembers from one plan to the next, so that a keystroke recomputes only what it touched.
 * A setup is a pure function of its inputs, so a remembered one has the same bits as a fresh one. */
#include "plan_inside.h"

#include <stdlib.h>
#include <string.h>

/* Records are compared byte by byte, padding and all: a copy made by memcpy keeps it, so the same record
 * compares equal, and two that compare equal are the same. First what no setup and no piece depends on is
 * made equal. */
static void overlook_machine(struct sg_machine *copy, const struct sg_machine *machine)
{
    copy->hopper_level = machine->hopper_level;
    copy->sludge = machine->sludge;
    copy->bags_in_stock = machine->bags_in_stock;
    copy->head_fitted = machine->head_fitted;
    copy->layers_out = machine->layers_out;
    copy->jet_on = machine->jet_on;
    copy->jet_off = machine->jet_off;
}

/* What a drawing gets leads for, a part program of the same contours does not. */
static uint64_t print_of(const struct sg_drawn *drawn)
{
    return drawn->print ^ (drawn->program ? 1 : 0);
}

/* A part knows its outline by its place: each must hold the outline that it held. More of them do no harm. */
static bool same_drawn(const struct sg_setup_memory *memory, const struct sg_shop *shop)
{
    for (int32_t i = 0; i < memory->n_prints && i < shop->n_drawn; i++)
        if (memory->prints[i] != print_of(&shop->drawn[i]))
            return false;
    return true;
}

static void overlook_head(struct sg_head *copy, const struct sg_head *head)
{
    copy->orifice_hours = head->orifice_hours;
    if (head->tube_wear == 0)
        copy->tube_hours = head->tube_hours;
}

static bool same_surroundings(struct sg_setup_memory *memory, const struct sg_shop *shop)
{
    if (memory->n_heads != shop->n_heads || memory->n_materials != shop->n_materials ||
        !same_drawn(memory, shop))
        return false;
    overlook_machine(&memory->machine, &shop->machine);
    if (memcmp(&memory->machine, &shop->machine, sizeof shop->machine) != 0)
        return false;
    for (int32_t i = 0; i < shop->n_heads; i++) {
        overlook_head(&memory->heads[i], &shop->heads[i]);
        if (memcmp(&memory->heads[i], &shop->heads[i], sizeof *shop->heads) != 0)
            return false;
    }
    return shop->n_materials == 0 || memcmp(memory->materials, shop->materials,
                                            (size_t)shop->n_materials * sizeof *shop->materials) == 0;
}

static void forget(struct sg_setup_memory *memory, int32_t from, int32_t n)
{
    if (n > from)
        memset(memory->inputs + from, 0, (size_t)(n - from) * sizeof *memory->inputs);
}

/* The pieces of the last plan hold only for the same part of the same shop. */
static void remember_ranges(struct sg_planner *p, bool same)
{
    struct sg_setup_memory *m = &p->memory;
    const struct sg_plan *plan = &p->plan;
    bool held = same && m->shift == plan->shift && m->first_stock == plan->first_stock &&
                m->n_stocks == plan->n_stocks && m->first_part == plan->first_part &&
                m->n_parts == plan->n_parts;
    if (held || !sg_planner_room(p, &m->stocks, &m->stocks_room, plan->n_stocks, sizeof *m->stocks) ||
        !sg_planner_room(p, &m->parts, &m->parts_room, plan->n_parts, sizeof *m->parts) ||
        !sg_planner_room(p, &m->made, &m->made_room, plan->n_stocks, sizeof *m->made))
        return;
    m->shift = plan->shift;
    m->first_stock = plan->first_stock;
    m->n_stocks = plan->n_stocks;
    m->first_part = plan->first_part;
    m->n_parts = plan->n_parts;
    for (int32_t i = 0; i < m->n_stocks; i++)
        m->made[i].first_batch = -1;
}

bool sg_plan_recall(struct sg_planner *p, const struct sg_shop *shop, int32_t index)
{
    struct sg_setup_memory *m = &p->memory;
    const struct sg_stock *stock = &shop->stocks[index];
    const struct sg_stock_memory *made = &m->made[index - m->first_stock];
    if (stock->n_begun > 0) /* what lies there is not in what is compared */
        return false;
    if (made->first_batch != p->plan.n_batches || made->first_sheets != p->plan.n_sheets ||
        memcmp(&m->stocks[index - m->first_stock], stock, sizeof *stock) != 0)
        return false;
    if (stock->n_parts > 0 &&
        memcmp(&m->parts[stock->first_part - m->first_part], &shop->parts[stock->first_part],
               (size_t)stock->n_parts * sizeof *shop->parts) != 0)
        return false;
    p->plan.n_batches = made->end_batch;
    p->plan.n_sheets = made->end_sheets;
    if (p->stop.job == SG_UNKNOWN)
        p->stop = made->stop;
    return true;
}

void sg_plan_note(struct sg_planner *p, const struct sg_shop *shop, int32_t index, int32_t first_batch,
                  struct sg_barrier stop)
{
    struct sg_setup_memory *m = &p->memory;
    const struct sg_stock *stock = &shop->stocks[index];
    memcpy(&m->stocks[index - m->first_stock], stock, sizeof *stock);
    if (stock->n_parts > 0)
        memcpy(&m->parts[stock->first_part - m->first_part], &shop->parts[stock->first_part],
               (size_t)stock->n_parts * sizeof *m->parts);
    m->made[index - m->first_stock] =
        (struct sg_stock_memory){first_batch, p->plan.n_batches,
                                 p->plan.stocks[index - m->first_stock].first_sheets, p->plan.n_sheets, stop};
}

void sg_plan_remember(struct sg_planner *p, const struct sg_shop *shop)
{
    struct sg_setup_memory *m = &p->memory;
    int32_t n = shop->n_stocks;
    bool same = same_surroundings(m, shop);
    if (!sg_planner_room(p, &m->heads, &m->heads_room, shop->n_heads, sizeof *m->heads) ||
        !sg_planner_room(p, &m->materials, &m->materials_room, shop->n_materials, sizeof *m->materials) ||
        !sg_planner_room(p, &m->prints, &m->prints_room, shop->n_drawn, sizeof *m->prints) ||
        !sg_planner_room(p, &m->inputs, &m->inputs_room, n, sizeof *m->inputs) ||
        !sg_planner_room(p, &m->setups, &m->setups_room, n, sizeof *m->setups))
        return;
    forget(m, same ? m->n_setups : 0, n);
    remember_ranges(p, same);
    m->n_setups = n;
    m->n_prints = shop->n_drawn;
    for (int32_t i = 0; i < shop->n_drawn; i++)
        m->prints[i] = print_of(&shop->drawn[i]);
    if (same)
        return;
    memcpy(&m->machine, &shop->machine, sizeof m->machine);
    m->n_heads = shop->n_heads;
    m->n_materials = shop->n_materials;
    if (shop->n_heads > 0)
        memcpy(m->heads, shop->heads, (size_t)shop->n_heads * sizeof *m->heads);
    if (shop->n_materials > 0)
        memcpy(m->materials, shop->materials, (size_t)shop->n_materials * sizeof *m->materials);
}

void sg_plan_setup(struct sg_planner *p, const struct sg_shop *shop, int32_t index, int32_t head,
                   struct sg_setup *out)
{
    const struct sg_stock *stock = &shop->stocks[index];
    struct sg_setup_inputs *known = &p->memory.inputs[index];
    const struct sg_setup_inputs inputs = {.thickness = stock->thickness,
                                           .edge = stock->edge,
                                           .feed_override = stock->feed_override,
                                           .feed = stock->feed,
                                           .pierce_seconds = stock->pierce_seconds,
                                           .stack = stock->stack,
                                           .pierce = stock->pierce,
                                           .material = stock->material,
                                           .head = head};
    if (memcmp(known, &inputs, sizeof inputs) != 0) {
        const struct sg_material *material =
            stock->material == SG_UNKNOWN ? NULL : &shop->materials[stock->material];
        sg_setup_compute(&shop->machine, &shop->heads[head], material, stock, &p->memory.setups[index]);
        *known = inputs;
    }
    *out = p->memory.setups[index];
}
