/* From setups to pieces to sheets to batches. */
#include "plan_inside.h"

static double times(int32_t count, double each)
{
    return count == 0 ? 0 : count * each; /* no pierce takes no time, even where a pierce's is not known */
}

static double rapid_length(const struct sg_part *part)
{
    if (sg_known(part->rapid_length))
        return part->rapid_length;
    if (!sg_known(part->length) || !sg_known(part->width))
        return 0;
    return part->pierces * (part->length + part->width) / 2;
}

static double piece_mass(const struct sg_part *part, const struct sg_stock *stock,
                         const struct sg_material *material)
{
    double area = sg_known(part->area) ? part->area : part->length * part->width;
    return material ? area / 1e6 * (stock->thickness / 1000) * material->density : (double)NAN;
}

struct place {
    struct sg_planner *planner;
    const struct sg_shop *shop;
    const struct sg_stock *stock;
    const struct sg_head *head;
    const struct sg_material *material;
    struct sg_plan_stock *planned;
};

/* One part: its times, garnet and mass, and the batch that the run gets. False where its time is not known.
 */
static bool plan_part(const struct place *place, const struct sg_part *part, struct sg_plan_part *out,
                      struct sg_batch *batch)
{
    const struct sg_stock *stock = place->stock;
    const struct sg_machine *machine = &place->shop->machine;
    struct sg_setup own; /* only where the part has an edge, feed or pierce of its own */
    const struct sg_setup *setup = &place->planned->setup;
    if (sg_known(part->edge) || sg_known(part->feed) || sg_known(part->pierce_seconds)) {
        own = *setup;
        sg_setup_for_part(machine, stock, part, &own);
        setup = &own;
    }
    int32_t heads = place->head->heads;
    batch->cut = (part->cut_length == 0 ? 0 : part->cut_length / setup->traverse * 60) / heads;
    batch->pierce = times(part->pierces, setup->pierce) / heads;
    batch->rapid = rapid_length(part) / machine->rapid * 60 + part->pierces * machine->z_lift;
    out->split = (struct sg_plan_split){0};
    if (part->outline != SG_UNKNOWN) {
        sg_plan_outline(place->planner, place->shop, stock, part, setup, &out->split);
        batch->cut = sg_split_cut(&out->split) / heads;
        batch->rapid = out->split.rapid + part->pierces * machine->z_lift;
    }
    batch->garnet = setup->garnet * heads / 1000 * ((batch->cut + batch->pierce) / 60);
    int64_t pieces = part->quantity == 0 ? 0 : (int64_t)part->quantity + part->scrap;
    batch->cuts = out->cuts =
        sg_stack_cuts(stock->stack, pieces - part->uncounted - part->begun) + part->begun_cuts;
    double cuts = (double)out->cuts - part->begun_cut;
    out->traverse = setup->traverse;
    out->edge_cut = setup->edge_cut;
    out->pierce_each = setup->pierce;
    out->basis =
        sg_basis_weaker(setup->traverse_basis, part->pierces > 0 ? setup->pierce_basis : SG_BASIS_TYPED);
    if (part->outline != SG_UNKNOWN && out->split.corner > 0)
        out->basis = sg_basis_weaker(out->basis, SG_BASIS_ESTIMATE); /* the errors permitted are ours */
    out->each = (batch->cut + batch->pierce + batch->rapid) / stock->stack;
    out->mass = pieces == 0 ? 0 : (double)pieces * piece_mass(part, stock, place->material);
    bool known = isfinite(out->each) || out->cuts == 0;
    out->each = isfinite(out->each) ? out->each : (double)NAN;
    out->cut = out->cuts == 0 ? 0 : known ? cuts * batch->cut : (double)NAN;
    out->pierce = out->cuts == 0 ? 0 : known ? cuts * batch->pierce : (double)NAN;
    out->rapid = out->cuts == 0 ? 0 : known ? cuts * batch->rapid : (double)NAN;
    out->garnet = out->cuts == 0 ? 0 : known ? cuts * batch->garnet : (double)NAN;
    batch->tabs = (double)part->tabs * machine->tab_time * stock->stack;
    return known;
}

double sg_plan_load(const struct sg_machine *machine, const struct sg_stock *stock, double sheet_mass)
{
    double mass = sg_known(sheet_mass) ? sheet_mass * stock->stack : 0;
    return sg_known(stock->load) ? stock->load : machine->load_fixed + 60 * mass / machine->load_mass;
}

static void plan_stock(const struct place *place, struct sg_plan_stock *out)
{
    const struct sg_stock *stock = place->stock;
    const struct sg_machine *machine = &place->shop->machine;
    double density = place->material ? place->material->density : (double)NAN;
    out->sheet_mass = sg_sheet_mass(stock->sheet_length, stock->sheet_width, stock->thickness, density);
    out->slat_load = sg_slat_load(out->setup.height, density);
    out->load = sg_plan_load(machine, stock, out->sheet_mass);
    out->pieces = 0;
    out->cut = out->pierce = out->rapid = out->garnet = out->mass = 0;
}

/* A part whose time is not known makes the sums not known. */
static void add_part(struct sg_plan_stock *stock, const struct sg_part *part,
                     const struct sg_plan_part *planned)
{
    stock->pieces += part->quantity;
    stock->mass += planned->mass;
    stock->cut += planned->cut;
    stock->pierce += planned->pierce;
    stock->rapid += planned->rapid;
    stock->garnet += planned->garnet;
}

/* The first sheets from there on with a cut whose time is not known. */
static int32_t first_untimed(const struct sg_plan *plan, int32_t sheets)
{
    for (; sheets < plan->n_sheets; sheets++) {
        const struct sg_batch *batch = &plan->batches[plan->sheets[sheets].first];
        for (const struct sg_batch *end = batch + plan->sheets[sheets].n; batch < end; batch++)
            if (!isfinite(batch->cut + batch->pierce + batch->rapid))
                return sheets;
    }
    return sheets;
}

static void plan_stock_and_parts(struct sg_planner *planner, const struct sg_shop *shop, int32_t index)
{
    struct sg_plan *plan = &planner->plan;
    if (sg_plan_recall(planner, shop, index))
        return;
    int32_t first_batch = plan->n_batches;
    struct sg_plan_stock *out = &plan->stocks[index - plan->first_stock];
    const struct sg_stock *stock = &shop->stocks[index];
    out->head = sg_setup_head(shop, stock);
    struct place place = {.planner = planner,
                          .shop = shop,
                          .stock = stock,
                          .head = &shop->heads[out->head],
                          .material =
                              stock->material == SG_UNKNOWN ? NULL : &shop->materials[stock->material],
                          .planned = out};
    sg_plan_setup(planner, shop, index, out->head, &out->setup);
    plan_stock(&place, out);
    if (!sg_planner_room(planner, &planner->protos, &planner->protos_room, stock->n_parts,
                         sizeof *planner->protos))
        return;
    bool unknown = false;
    struct sg_barrier stop = {SG_UNKNOWN, 0};
    for (int32_t i = 0; i < stock->n_parts; i++) {
        int32_t index_of = stock->first_part + i;
        struct sg_plan_part *part = &plan->parts[index_of - plan->first_part];
        planner->protos[i] = (struct sg_batch){
            .job = stock->job, .stock = index, .part = index_of, .head = out->head, .stack = stock->stack};
        bool known = plan_part(&place, &shop->parts[index_of], part, &planner->protos[i]);
        add_part(out, &shop->parts[index_of], part);
        unknown = unknown || !known;
    }
    sg_plan_sheets(planner, shop, index, place.material ? place.material->density : (double)NAN);
    if (planner->failed)
        return;
    if (unknown)
        stop = (struct sg_barrier){stock->job, first_untimed(plan, out->first_sheets)};
    if (planner->stop.job == SG_UNKNOWN)
        planner->stop = stop;
    sg_plan_note(planner, shop, index, first_batch, stop);
}

static void cut_off(struct sg_plan *plan, int32_t sheets)
{
    plan->n_batches = plan->sheets[sheets].first;
    plan->n_sheets = sheets;
}

void sg_plan_pieces(struct sg_planner *planner, const struct sg_shop *shop)
{
    struct sg_plan *plan = &planner->plan;
    plan->n_batches = plan->n_sheets = 0;
    planner->stop = (struct sg_barrier){SG_UNKNOWN, 0};
    for (int32_t i = 0; i < plan->n_stocks && !planner->failed; i++)
        plan_stock_and_parts(planner, shop, plan->first_stock + i);
    plan->unknown = planner->stop.job != SG_UNKNOWN;
    if (plan->unknown && planner->stop.sheets < plan->n_sheets)
        cut_off(plan, planner->stop.sheets);
}
