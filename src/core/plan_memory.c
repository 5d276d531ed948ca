/* What the planner remembers from one plan to the next, so that a keystroke recomputes only what it touched.
 * A setup is a pure function of its inputs, so a remembered one has the same bits as a fresh one. */
#include "plan_inside.h"

#include <stdlib.h>
#include <string.h>

/* What no setup depends on is set to 0 before two machines or heads are compared. */
static struct sg_machine relevant_machine(const struct sg_machine *machine)
{
    struct sg_machine m = *machine;
    m.hopper_level = m.sludge = 0;
    m.bags_in_stock = m.head_fitted = 0;
    return m;
}

static struct sg_head relevant_head(const struct sg_head *head)
{
    struct sg_head h = *head;
    h.orifice_hours = 0;
    if (h.tube_wear == 0)
        h.tube_hours = 0;
    return h;
}

static bool same_surroundings(const struct sg_setup_memory *memory, const struct sg_shop *shop)
{
    struct sg_machine machine = relevant_machine(&shop->machine);
    if (memory->n_heads != shop->n_heads || memory->n_materials != shop->n_materials ||
        memcmp(&memory->machine, &machine, sizeof machine) != 0)
        return false;
    for (int32_t i = 0; i < shop->n_heads; i++) {
        struct sg_head head = relevant_head(&shop->heads[i]);
        if (memcmp(&memory->heads[i], &head, sizeof head) != 0)
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

void sg_plan_remember(struct sg_planner *p, const struct sg_shop *shop)
{
    struct sg_setup_memory *m = &p->memory;
    int32_t n = shop->n_stocks;
    bool same = same_surroundings(m, shop);
    if (!sg_planner_room(p, &m->heads, &m->heads_room, shop->n_heads, sizeof *m->heads) ||
        !sg_planner_room(p, &m->materials, &m->materials_room, shop->n_materials, sizeof *m->materials) ||
        !sg_planner_room(p, &m->inputs, &m->inputs_room, n, sizeof *m->inputs) ||
        !sg_planner_room(p, &m->setups, &m->setups_room, n, sizeof *m->setups))
        return;
    forget(m, same ? m->n_setups : 0, n);
    m->n_setups = n;
    if (same)
        return;
    m->machine = relevant_machine(&shop->machine);
    m->n_heads = shop->n_heads;
    m->n_materials = shop->n_materials;
    for (int32_t i = 0; i < shop->n_heads; i++)
        m->heads[i] = relevant_head(&shop->heads[i]);
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
