/* The plan as JSON: names and shapes are the contract of the command line (sandglass-formats(5)). */
#include "exchange/render.h"

static void put_time(struct sg_json *json, const char *name, double epoch)
{
    char text[64];
    if (!sg_known(epoch)) {
        sg_json_null(json, name);
        return;
    }
    sg_iso_format(epoch, text, sizeof text);
    sg_json_text(json, name, text);
}

static void put_count(struct sg_json *json, const char *name, int64_t count)
{
    if (count == SG_UNKNOWN)
        sg_json_null(json, name);
    else
        sg_json_whole(json, name, count);
}

void sg_cautions_json(struct sg_json *json, const struct sg_shop *shop, const struct sg_caution *cautions,
                      int count)
{
    sg_json_array(json, "cautions");
    for (int i = 0; i < count; i++) {
        char where[400], text[600];
        sg_key_write(shop, (struct sg_target){(enum sg_kind)cautions[i].kind, cautions[i].index}, where,
                     sizeof where);
        sg_caution_text(&cautions[i], shop->units, text, sizeof text);
        sg_json_object(json, NULL);
        sg_json_text(json, "code", sg_caution_word(cautions[i].code));
        sg_json_text(json, "where", where);
        sg_json_text(json, "text", text);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

/* What a part with an outline is made of: seconds of one cut by one head. */
static void put_split(struct sg_json *json, const struct sg_shop *shop, const struct sg_part *part,
                      const struct sg_plan_split *split)
{
    const struct {
        const char *name;
        double value;
    } numbers[] = {{"straight_s", split->straight},
                   {"corner_s", split->corner},
                   {"acceleration_s", split->acceleration},
                   {"lead_s", split->lead},
                   {"rapid_s", split->rapid},
                   {"lift_s", part->pierces * shop->machine.z_lift},
                   {"lead_length_mm", split->lead_length},
                   {"rapid_length_mm", split->rapid_length},
                   {"lag_mm", split->lag},
                   {"edge_error_mm", split->error}};
    sg_json_text(json, "outline", shop->drawn[part->outline].name);
    sg_json_object(json, "split");
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        sg_json_number(json, numbers[i].name, numbers[i].value);
    sg_json_end_object(json);
}

static void put_part(struct sg_json *json, const struct sg_shop *shop, const struct sg_part *part,
                     const struct sg_plan_part *planned)
{
    sg_json_object(json, NULL);
    sg_json_text(json, "part", part->id);
    sg_json_text(json, "name", part->name);
    sg_json_whole(json, "quantity", part->quantity);
    sg_json_whole(json, "scrap", part->scrap);
    sg_json_number(json, "cut_length_mm", part->cut_length);
    sg_json_whole(json, "pierces", part->pierces);
    sg_json_number(json, "traverse_mm_min", planned->traverse);
    sg_json_number(json, "edge_cut", planned->edge_cut);
    sg_json_number(json, "each_s", planned->each);
    sg_json_number(json, "cut_s", planned->cut);
    sg_json_number(json, "pierce_s", planned->pierce);
    sg_json_number(json, "rapid_s", planned->rapid);
    sg_json_number(json, "garnet_kg", planned->garnet);
    sg_json_number(json, "mass_kg", planned->mass);
    sg_json_number(json, "sheets", planned->sheets);
    sg_json_text(json, "basis", sg_basis_word(planned->basis));
    if (part->outline != SG_UNKNOWN)
        put_split(json, shop, part, &planned->split);
    sg_json_end_object(json);
}

/* How the sheets are used, and what is left of one. */
static void put_layout(struct sg_json *json, const struct sg_plan_stock *planned)
{
    const struct sg_plan_layout *layout = planned->layout;
    sg_json_number(json, "utilisation", layout && layout->n_used > 0 ? layout->utilisation : (double)NAN);
    sg_json_yes(json, "interlocked", layout && layout->interlocked);
    sg_json_number(json, "common_lines_mm", layout && layout->common ? layout->spared : (double)NAN);
    if (!sg_known(planned->drop_length)) {
        sg_json_null(json, "drop");
        return;
    }
    sg_json_object(json, "drop");
    sg_json_number(json, "length_mm", planned->drop_length);
    sg_json_number(json, "width_mm", planned->drop_width);
    sg_json_number(json, "mass_kg", planned->drop_mass);
    sg_json_end_object(json);
}

/* Which remnants are taken: sizes as they lie on the table, and how many of each. */
static void put_remnants(struct sg_json *json, const struct sg_plan_layout *layout, int32_t stack)
{
    sg_json_array(json, "remnants");
    for (int32_t size = 0; layout && size < layout->n_sizes; size++) {
        int64_t taken = 0;
        for (int32_t i = 0; i < layout->n_used; i++)
            taken += layout->used[i].size == size ? layout->used[i].copies : 0;
        if (layout->sizes[size].count < 0 || taken == 0)
            continue;
        sg_json_object(json, NULL);
        sg_json_number(json, "length_mm", layout->sizes[size].length);
        sg_json_number(json, "width_mm", layout->sizes[size].width);
        sg_json_whole(json, "sheets", taken * stack);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

static void put_stock(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan,
                      int32_t index)
{
    const struct sg_stock *stock = &shop->stocks[index];
    const struct sg_plan_stock *planned = &plan->stocks[index - plan->first_stock];
    sg_json_object(json, NULL);
    sg_json_whole(json, "stock", stock->number);
    sg_json_text(json, "material",
                 stock->material == SG_UNKNOWN ? NULL : shop->materials[stock->material].name);
    sg_json_number(json, "thickness_mm", stock->thickness);
    sg_json_text(json, "head", shop->heads[planned->head].name);
    sg_json_number(json, "edge", stock->edge);
    sg_json_number(json, "traverse_mm_min", planned->setup.traverse);
    sg_json_text(json, "traverse_basis", sg_basis_word(planned->setup.traverse_basis));
    sg_json_number(json, "separation_mm_min", planned->setup.separation);
    sg_json_number(json, "edge_cut", planned->setup.edge_cut);
    sg_json_number(json, "pierce_s", planned->setup.pierce);
    sg_json_text(json, "pierce_basis", sg_basis_word(planned->setup.pierce_basis));
    put_count(json, "sheets", planned->sheets);
    put_count(json, "lower_bound", planned->lower_bound);
    put_remnants(json, planned->layout, stock->stack);
    put_layout(json, planned);
    put_count(json, "sheets_on_hand", stock->sheets);
    sg_json_text(json, "owner", sg_words_owner[stock->owner]);
    sg_json_text(json, "lot", stock->lot[0] ? stock->lot : NULL);
    sg_json_number(json, "sheet_mass_kg", planned->sheet_mass);
    sg_json_number(json, "slat_load_kg_m2", planned->slat_load);
    sg_json_number(json, "load_s", planned->load);
    sg_json_whole(json, "index_moves", planned->index_moves);
    sg_json_array(json, "parts");
    for (int32_t i = stock->first_part; i < stock->first_part + stock->n_parts; i++)
        put_part(json, shop, &shop->parts[i], &plan->parts[i - plan->first_part]);
    sg_json_end_array(json);
    sg_json_end_object(json);
}

void sg_stocks_json(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan, int32_t job)
{
    sg_json_array(json, "stocks");
    for (int32_t i = 0; i < shop->jobs[job].n_stocks; i++)
        put_stock(json, shop, plan, shop->jobs[job].first_stock + i);
    sg_json_end_array(json);
}

static void put_jobs(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan,
                     double epoch)
{
    sg_json_array(json, "jobs");
    for (int32_t i = 0; i < plan->n_jobs; i++) {
        const struct sg_job *job = &shop->jobs[plan->first_job + i];
        sg_json_object(json, NULL);
        sg_json_text(json, "job", job->id);
        sg_json_text(json, "name", job->name);
        put_time(json, "starts_at", epoch + plan->jobs[i].starts);
        put_time(json, "ends_at", epoch + plan->jobs[i].ends);
        put_time(json, "due_at", job->due_epoch);
        sg_json_number(json, "late_s", plan->jobs[i].late);
        sg_stocks_json(json, shop, plan, plan->first_job + i);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

void sg_answers_json(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan)
{
    double epoch = shop->shifts[plan->shift].calendar.epoch;
    const struct sg_event *refill = plan->next_refill < 0 ? NULL : &plan->run.events[plan->next_refill];
    sg_json_object(json, "answers");
    put_time(json, "ends_at", epoch + plan->ends);
    sg_json_number(json, "over_s", plan->over);
    put_time(json, "next_refill_at", refill ? epoch + refill->at : (double)NAN);
    sg_json_yes(json, "hopper_lasts", plan->hopper_lasts);
    sg_json_whole(json, "bags_short", plan->run.bags_short);
    sg_json_array(json, "alone");
    for (int i = 0; i < plan->n_breaks; i++) {
        const struct sg_plan_break *b = &plan->breaks[i];
        struct sg_text reason = {0};
        if (!b->alone)
            sg_reason_text(&reason, shop, plan, b->event);
        sg_json_object(json, NULL);
        put_time(json, "from", epoch + b->from);
        put_time(json, "to", epoch + b->to);
        sg_json_yes(json, "yes", b->alone);
        sg_json_text(json, "reason", reason.length ? reason.data : NULL);
        sg_json_end_object(json);
        sg_text_free(&reason);
    }
    sg_json_end_array(json);
    sg_json_end_object(json);
}

static void put_totals(struct sg_json *json, const struct sg_plan_totals *t)
{
    sg_json_object(json, "totals");
    sg_json_number(json, "cut_s", t->cut);
    sg_json_number(json, "pierce_s", t->pierce);
    sg_json_number(json, "rapid_s", t->rapid);
    sg_json_number(json, "hands_on_s", t->hands_on);
    sg_json_number(json, "waiting_s", t->waiting);
    sg_json_number(json, "elapsed_s", t->elapsed);
    sg_json_number(json, "garnet_kg", t->garnet);
    sg_json_number(json, "water_l", t->water);
    sg_json_number(json, "energy_kwh", t->energy);
    sg_json_whole(json, "bags", t->bags);
    sg_json_whole(json, "refills", t->refills);
    put_count(json, "sheets", t->sheets);
    sg_json_whole(json, "pieces", t->pieces);
    sg_json_whole(json, "bags_to_order", t->bags_to_order);
    sg_json_number(json, "sludge_kg", t->sludge);
    sg_json_end_object(json);
}

static void put_refills(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan,
                        double epoch)
{
    sg_json_array(json, "refills");
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (e->kind != SG_EVENT_REFILL)
            continue;
        const struct sg_batch *batch = &plan->batches[e->batch];
        sg_json_object(json, NULL);
        put_time(json, "at", epoch + e->at);
        sg_json_text(json, "job", shop->jobs[batch->job].id);
        sg_json_whole(json, "stock", shop->stocks[batch->stock].number);
        sg_json_whole(json, "sheet", sg_event_sheet(plan, e));
        sg_json_number(json, "level_kg", e->level);
        sg_json_number(json, "add_kg", e->garnet);
        sg_json_whole(json, "bags", e->bags);
        sg_json_number(json, "seconds", e->seconds);
        sg_json_number(json, "waited_s", e->at - e->asked);
        sg_json_yes(json, "part_bag", e->flags & SG_EVENT_PART_BAG);
        sg_json_yes(json, "in_cut", e->flags & SG_EVENT_IN_CUT);
        sg_json_end_object(json);
    }
    sg_json_end_array(json);
}

struct curve {
    struct sg_json *json;
    double epoch, at, level;
    bool any;
};

/* Stretches that follow each other share their ends: a point that says nothing new is left out. */
static void put_point(void *context, double at, double level)
{
    struct curve *curve = context;
    if (curve->any && curve->at == at && curve->level == level)
        return;
    curve->any = true;
    curve->at = at;
    curve->level = level;
    sg_json_object(curve->json, NULL);
    put_time(curve->json, "at", curve->epoch + at);
    sg_json_number(curve->json, "level_kg", level);
    sg_json_end_object(curve->json);
}

void sg_plan_members(struct sg_json *json, const struct sg_shop *shop, const struct sg_plan *plan)
{
    const struct sg_shift *shift = &shop->shifts[plan->shift];
    double epoch = shift->calendar.epoch;
    sg_json_object(json, "shift");
    sg_json_text(json, "id", shift->id);
    put_time(json, "starts_at", epoch);
    put_time(json, "closes_at", epoch + shift->calendar.close_s);
    sg_json_end_object(json);
    sg_answers_json(json, shop, plan);
    put_totals(json, &plan->totals);
    put_jobs(json, shop, plan, epoch);
    put_refills(json, shop, plan, epoch);
    struct curve curve = {.json = json, .epoch = epoch};
    sg_json_array(json, "hopper");
    put_point(&curve, 0, plan->start.level);
    sg_run_hopper(&plan->run, put_point, &curve);
    sg_json_end_array(json);
    sg_cautions_json(json, shop, plan->cautions, plan->n_cautions);
}

void sg_plan_json(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan)
{
    struct sg_json json;
    sg_json_start(&json, out);
    sg_plan_members(&json, shop, plan);
    sg_json_finish(&json);
}
