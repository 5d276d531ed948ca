/* Why a stock's jet, speed and pierce are what they are. */
#include "why_inside.h"

#include "sandglass/jet.h"
#include "sandglass/study.h"
#include "sandglass/traverse.h"

static const char traverse_source[] =
    "Zeng, Kim & Wallace, ASME PED-58 (1992) 169-179; Zeng & Kim, 7th American Water Jet Conf. (1993)";
static const char bernoulli[] = "Bernoulli and continuity at ambient density, 1000 kg/m3";

struct sg_why_place sg_why_place_of(const struct sg_why_build *w, struct sg_target target)
{
    const struct sg_shop *shop = w->shop;
    bool part = target.kind == SG_KIND_PART;
    int32_t stock = part ? shop->parts[target.index].stock : target.index;
    const struct sg_plan_stock *planned = &w->plan->stocks[stock - w->plan->first_stock];
    int32_t material = shop->stocks[stock].material;
    return (struct sg_why_place){.stock_index = stock,
                                 .part_index = part ? target.index : SG_UNKNOWN,
                                 .stock = &shop->stocks[stock],
                                 .part = part ? &shop->parts[target.index] : NULL,
                                 .head = &shop->heads[planned->head],
                                 .material = material == SG_UNKNOWN ? NULL : &shop->materials[material],
                                 .planned = planned,
                                 .planned_part =
                                     part ? &w->plan->parts[target.index - w->plan->first_part] : NULL,
                                 .setup = &planned->setup,
                                 .machine = {SG_KIND_MACHINE, 0},
                                 .of_head = {SG_KIND_HEAD, planned->head},
                                 .of_stock = {SG_KIND_STOCK, stock},
                                 .of_part = {SG_KIND_PART, part ? target.index : 0}};
}

/* ---- what is read ---- */

struct sg_why_line *sg_why_material(struct sg_why_build *w, const struct sg_why_place *at, const char *field,
                                    const char *symbol)
{
    if (at->material)
        return sg_why_field(w, (struct sg_target){SG_KIND_MATERIAL, at->stock->material}, field, NULL,
                            symbol);
    struct sg_why_line *line = sg_why_number(w, field, symbol, SG_DIM_NUMBER, (double)NAN);
    sg_why_read_field(w, line, at->of_stock, sg_field_find(SG_KIND_STOCK, "material"));
    return line;
}

static void head_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_field(w, at->of_stock, "head", NULL, NULL);
    line->aside = true;
    line->words = at->head->name;
    if (at->stock->head == SG_UNKNOWN)
        line->note = at->material ? "none is set: the usual one for the material" : "none is set: the first";
}

static void head_field(struct sg_why_build *w, const struct sg_why_place *at, const char *field,
                       const char *symbol)
{
    sg_why_field(w, at->of_head, field, NULL, symbol);
}

void sg_why_height(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "height", "h", SG_DIM_LENGTH, at->setup->height);
    sg_why_formula(line, "thickness x stack", false, SG_BASIS_DERIVED, NULL);
    line->note = "of the whole stack";
    w->depth++;
    sg_why_field(w, at->of_stock, "thickness", NULL, NULL);
    sg_why_field(w, at->of_stock, "stack", NULL, NULL);
    w->depth--;
}

static void hours_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    if (!w->tube_hours) {
        head_field(w, at, "tube_hours", NULL);
        return;
    }
    struct sg_why_line *line =
        sg_why_number(w, "tube hours", NULL, SG_DIM_DURATION, w->tube_hours[at->planned->head]);
    line->note = sg_why_words(w, "as %s leaves the tube",
                              sg_why_key(w, (struct sg_target){SG_KIND_SHIFT, w->shift_before}));
}

static void bore_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    if (!at->setup->abrasive) {
        head_field(w, at, "orifice", "do");
        return;
    }
    struct sg_why_line *line = sg_why_number(w, "tube's bore now", "dm", SG_DIM_LENGTH, at->setup->bore);
    sg_why_formula(line, "tube + tube wear x tube hours / 3600 / 100", true, SG_BASIS_DERIVED, NULL);
    line->note = "new bore and wear at the start of the shift; wear is in 100 h, hours are in s";
    w->depth++;
    head_field(w, at, "tube", NULL);
    head_field(w, at, "tube_wear", NULL);
    hours_line(w, at);
    w->depth--;
}

/* ---- jet ---- */

static void water_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "water of one head", "Q", SG_DIM_FLOW, at->setup->water);
    bool fresh = at->head->discharge == sg_fresh_heads[at->head->kind].discharge;
    sg_why_formula(line, "Cd x pi / 4 x (do / 1000)^2 x sqrt(2 x P x 1000000 / 1000) x 60000", true,
                   fresh ? SG_BASIS_RECALLED : SG_BASIS_DERIVED, bernoulli);
    w->depth++;
    head_field(w, at, "discharge", "Cd");
    head_field(w, at, "orifice", "do");
    head_field(w, at, "pressure", "P");
    w->depth--;
}

void sg_why_water(struct sg_why_build *w, const struct sg_why_place *at)
{
    water_line(w, at);
    w->depth++;
    head_line(w, at);
    w->depth--;
}

void sg_why_jet_velocity(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "jet velocity", NULL, SG_DIM_NUMBER, at->setup->jet_velocity);
    line->unit = "m/s";
    sg_why_formula(line, "psi x sqrt(2 x P x 1000000 / 1000)", true, SG_BASIS_RECALLED, bernoulli);
    w->depth++;
    head_line(w, at);
    line =
        sg_why_number(w, "compressibility", "psi", SG_DIM_RATIO, sg_jet_compressibility(at->head->pressure));
    sg_why_formula(line, "sqrt(((1 + P / 300)^(1 - 0.1368) - 1) / (P / 300 x (1 - 0.1368)))", true,
                   SG_BASIS_RECALLED, "Hashish, J. Eng. Mater. Technol. 111 (1989) 154-162");
    w->depth++;
    head_field(w, at, "pressure", "P");
    w->depth--;
    head_field(w, at, "pressure", "P");
    w->depth--;
}

static void jet_power_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line =
        sg_why_number(w, "jet power of one head", "Pj", SG_DIM_POWER, at->setup->jet_power);
    sg_why_formula(line, "P x Q / 60", true, SG_BASIS_DERIVED, NULL);
    w->depth++;
    head_field(w, at, "pressure", "P");
    water_line(w, at);
    w->depth--;
}

void sg_why_jet_power(struct sg_why_build *w, const struct sg_why_place *at)
{
    jet_power_line(w, at);
    w->depth++;
    head_line(w, at);
    w->depth--;
}

void sg_why_shaft_power(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line =
        sg_why_number(w, "shaft power of one head", NULL, SG_DIM_POWER, at->setup->shaft_power);
    sg_why_formula(line, "Pj / pump efficiency", false, SG_BASIS_ESTIMATE, NULL);
    w->depth++;
    head_line(w, at);
    jet_power_line(w, at);
    sg_why_field(w, at->machine, "pump_efficiency", NULL, NULL);
    w->depth--;
}

void sg_why_loading_ratio(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line =
        sg_why_number(w, "loading ratio", NULL, SG_DIM_RATIO, at->setup->loading_ratio);
    if (!at->setup->abrasive)
        line->note = "not applicable: a water-only head takes no garnet";
    else
        sg_why_formula(line, "Ma / 1000 / Q", true, SG_BASIS_DERIVED,
                       "garnet over water by mass; 1 L is 1 kg");
    w->depth++;
    head_line(w, at);
    if (at->setup->abrasive) {
        head_field(w, at, "garnet", "Ma");
        water_line(w, at);
    }
    w->depth--;
}

void sg_why_garnet_feed(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line =
        sg_why_number(w, "garnet feed of one head", "Ma", SG_DIM_GARNET_FEED, at->setup->garnet);
    if (at->setup->abrasive)
        sg_why_read_field(w, line, at->of_head, sg_field_find(SG_KIND_HEAD, "garnet"));
    else
        line->note = "a water-only head takes no garnet";
    w->depth++;
    head_line(w, at);
    w->depth--;
}

void sg_why_kerf(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "kerf", NULL, SG_DIM_LENGTH, at->setup->kerf);
    sg_why_formula(line, at->setup->abrasive ? "1.05 x dm" : "1.2 x do", false, SG_BASIS_ESTIMATE, NULL);
    w->depth++;
    bore_line(w, at);
    w->depth--;
}

/* ---- speed ---- */

static int model_basis(const struct sg_why_place *at)
{
    return (int)sg_speed_basis(at->setup->abrasive, at->material);
}

static double low_separation(const struct sg_why_place *at)
{
    const struct sg_head *head = at->head;
    struct sg_abrasive_jet jet = {head->low_pressure, head->orifice, at->setup->bore, head->garnet,
                                  head->abrasive_factor};
    return sg_setup_separation(&jet, at->material, at->setup->height);
}

static void abrasive_speed(struct sg_why_build *w, const struct sg_why_place *at, bool low,
                           const char *symbol)
{
    struct sg_why_line *line = sg_why_number(w, low ? "separation at low pressure" : "separation", symbol,
                                             SG_DIM_FEED, low ? low_separation(at) : at->setup->separation);
    struct sg_abrasive_jet jet = {at->head->pressure, at->head->orifice, at->setup->bore, at->head->garnet,
                                  at->head->abrasive_factor};
    bool own = sg_has_exponent(at->material);
    sg_why_formula(line,
                   own ? "(fa x Nm x P^1.594 x do^1.374 x Ma^0.343 / (788 x hr x dm^0.618))^1.15 / (h / hr)^n"
                       : "(fa x Nm x P^1.594 x do^1.374 x Ma^0.343 / (788 x h x dm^0.618))^1.15",
                   true, model_basis(at), traverse_source);
    if (at->material && sg_study_is_own(at->material, SG_HEAD_ABRASIVE) && at->material->source[0])
        line->note = at->material->source; /* of the number that makes the formula the shop's */
    if (!low && sg_known(at->setup->height) && !sg_abrasive_in_range(&jet, at->setup->height))
        line->note = "outside the range over which the formula was fitted";
    w->depth++;
    head_line(w, at);
    sg_why_material(w, at, "machinability", "Nm");
    if (own) {
        sg_why_material(w, at, "thickness_exponent", "n");
        sg_why_material(w, at, "reference_thickness", "hr");
    }
    head_field(w, at, low ? "low_pressure" : "pressure", "P");
    head_field(w, at, "orifice", "do");
    bore_line(w, at);
    head_field(w, at, "garnet", "Ma");
    head_field(w, at, "abrasive_factor", "fa");
    sg_why_height(w, at);
    w->depth--;
}

static void threshold_and_pressure(struct sg_why_build *w, const struct sg_why_place *at)
{
    sg_why_material(w, at, "threshold", "Pth");
    head_field(w, at, "pressure", "P");
}

static void water_inputs(struct sg_why_build *w, const struct sg_why_place *at)
{
    jet_power_line(w, at);
    sg_why_material(w, at, "cut_energy", "eA");
    if (at->material && sg_known(at->material->threshold))
        threshold_and_pressure(w, at);
    sg_why_height(w, at);
}

static void water_speed(struct sg_why_build *w, const struct sg_why_place *at, const char *name)
{
    double energy = at->material ? at->material->cut_energy : (double)NAN;
    double threshold = at->material ? at->material->threshold : (double)NAN;
    bool too_low = at->head->pressure <= threshold;
    struct sg_why_line *line = sg_why_number(
        w, name, NULL, SG_DIM_FEED,
        sg_water_speed(at->setup->jet_power, at->head->pressure, energy, threshold, at->setup->height));
    if (too_low)
        line->note = "0, because the pressure P is not above the material's threshold Pth";
    else
        sg_why_formula(line,
                       sg_known(threshold) ? "Pj x 1000 x (1 - Pth / P) / (eA x h) x 60"
                                           : "Pj x 1000 / (eA x h) x 60",
                       true, model_basis(at), "an estimate on published points");
    w->depth++;
    head_line(w, at);
    if (too_low)
        threshold_and_pressure(w, at); /* nothing else matters */
    else
        water_inputs(w, at);
    w->depth--;
}

/* The edge of a part that has one of its own, else the stock's. */
static struct sg_target edge_from(const struct sg_why_place *at, double *edge)
{
    bool own = at->part && sg_known(at->part->edge);
    *edge = own ? at->part->edge : at->stock->edge;
    return own ? at->of_part : at->of_stock;
}

/* The factors of the model's feed, each a line. */
static void model_factors(struct sg_why_build *w, const struct sg_why_place *at)
{
    double edge;
    struct sg_target from = edge_from(at, &edge);
    if (at->setup->abrasive) {
        abrasive_speed(w, at, false, NULL);
        struct sg_why_line *line = sg_why_number(w, "edge factor", NULL, SG_DIM_RATIO, sg_edge_factor(edge));
        sg_why_formula(line, "edge^-1.15", false, SG_BASIS_RECALLED, traverse_source);
        w->depth++;
        sg_why_field(w, from, "edge", NULL, NULL);
        w->depth--;
    } else {
        water_speed(w, at, "water speed");
    }
    sg_why_field(w, at->of_stock, "feed_override", NULL, NULL);
}

static const char *model_formula(const struct sg_why_place *at, bool capped)
{
    if (at->setup->abrasive)
        return capped ? "min(separation x edge factor x feed override, top feed)"
                      : "separation x edge factor x feed override";
    return capped ? "min(water speed x feed override, top feed)" : "water speed x feed override";
}

/* What the model would say where a feed is typed. */
static void model_beside(struct sg_why_build *w, const struct sg_why_place *at)
{
    double edge, speed = at->setup->separation;
    edge_from(at, &edge);
    if (!at->setup->abrasive)
        speed = sg_water_speed(at->setup->jet_power, at->head->pressure,
                               at->material ? at->material->cut_energy : (double)NAN,
                               at->material ? at->material->threshold : (double)NAN, at->setup->height);
    speed *= (at->setup->abrasive ? sg_edge_factor(edge) : 1) * at->stock->feed_override;
    struct sg_why_line *line = sg_why_number(w, "the model's feed", NULL, SG_DIM_FEED, speed);
    sg_why_formula(line, model_formula(at, false), false, model_basis(at), NULL);
    line->aside = true;
    w->depth++;
    model_factors(w, at);
    w->depth--;
}

void sg_why_traverse(struct sg_why_build *w, const struct sg_why_place *at)
{
    bool own = at->part && sg_known(at->part->feed), typed = own || sg_known(at->stock->feed);
    struct sg_why_line *line = sg_why_number(w, "traverse", NULL, SG_DIM_FEED,
                                             at->part ? at->planned_part->traverse : at->setup->traverse);
    sg_why_formula(line, typed ? "min(feed, top feed)" : model_formula(at, true), false,
                   typed ? SG_BASIS_TYPED : model_basis(at), NULL);
    if (typed)
        line->note = "the feed is typed; it wins over the model";
    else if (line->value == 0)
        line->note = "this head has no speed in this material";
    w->depth++;
    if (typed)
        sg_why_field(w, own ? at->of_part : at->of_stock, "feed", NULL, NULL);
    else
        model_factors(w, at);
    sg_why_field(w, at->machine, "top_feed", NULL, NULL);
    if (typed)
        model_beside(w, at);
    w->depth--;
}

/* Separation of a water-only head is its traverse, unless a feed is typed. */
static void separation_line(struct sg_why_build *w, const struct sg_why_place *at, const char *symbol)
{
    if (at->setup->abrasive) {
        abrasive_speed(w, at, false, symbol);
        return;
    }
    struct sg_why_line *line = sg_why_number(w, "separation", symbol, SG_DIM_FEED, at->setup->separation);
    bool typed = sg_known(at->stock->feed);
    line->note = "water alone cuts every edge at one speed";
    sg_why_formula(line, typed ? "water speed" : "traverse", false, model_basis(at), NULL);
    struct sg_why_place stock = *at;
    stock.part = NULL;
    w->depth++;
    if (typed)
        water_speed(w, at, "water speed");
    else
        sg_why_traverse(w, &stock);
    w->depth--;
}

void sg_why_separation(struct sg_why_build *w, const struct sg_why_place *at)
{
    separation_line(w, at, NULL);
}

void sg_why_edge_cut(struct sg_why_build *w, const struct sg_why_place *at)
{
    struct sg_why_line *line = sg_why_number(w, "edge really cut", NULL, SG_DIM_NUMBER, at->setup->edge_cut);
    if (!at->setup->abrasive) {
        line->note = "not applicable: water alone cuts every edge at one speed";
        return;
    }
    sg_why_formula(line, "(separation / traverse)^(1 / 1.15)", false, SG_BASIS_RECALLED, traverse_source);
    if (line->value < 1 - 1e-9)
        line->note = "below 1 the jet does not get through";
    w->depth++;
    separation_line(w, at, NULL);
    line = sg_why_number(w, "traverse", NULL, SG_DIM_FEED, at->setup->traverse);
    sg_why_more(line, at->of_stock, "traverse");
    line->basis = (int)at->setup->traverse_basis;
    w->depth--;
}

/* ---- pierce ---- */

static int way_of(const struct sg_why_place *at)
{
    if (at->stock->pierce != SG_UNKNOWN)
        return at->stock->pierce;
    return at->material ? at->material->pierce : SG_PIERCE_STILL;
}

static void way_line(struct sg_why_build *w, const struct sg_why_place *at)
{
    bool own = at->stock->pierce != SG_UNKNOWN;
    struct sg_target material = {SG_KIND_MATERIAL, at->stock->material};
    struct sg_why_line *line =
        sg_why_field(w, own || !at->material ? at->of_stock : material, "pierce", "way to pierce", NULL);
    line->aside = true;
    line->words = sg_words_pierce[way_of(at)];
    if (!own)
        line->note = at->material ? "none is set: the material's" : "none is set: still";
}

/* The figure of the way to pierce, out of a field that holds one for each. */
static struct sg_why_line *way_figure(struct sg_why_build *w, const struct sg_why_place *at,
                                      const char *field, const char *symbol)
{
    const char *name = sg_why_words(w, "%s pierce %s", sg_words_pierce[way_of(at)], symbol);
    struct sg_why_line *line = sg_why_number(w, name, symbol, SG_DIM_NUMBER, (double)NAN);
    sg_why_read_field(w, line, at->machine, sg_field_find(SG_KIND_MACHINE, field));
    return line;
}

static void model_pierce(struct sg_why_build *w, const struct sg_why_place *at)
{
    int way = way_of(at);
    double factor = w->shop->machine.pierce_factor[way];
    way_line(w, at);
    struct sg_why_line *line = way_figure(w, at, "pierce_base", "t0");
    line->dimension = SG_DIM_DURATION;
    line->value = w->shop->machine.pierce_base[way];
    if (factor == 0)
        return;
    way_figure(w, at, "pierce_factor", "kappa")->value = factor;
    sg_why_height(w, at);
    if (way == SG_PIERCE_LOW)
        abrasive_speed(w, at, true, "u");
    else
        separation_line(w, at, "u");
}

void sg_why_pierce(struct sg_why_build *w, const struct sg_why_place *at)
{
    bool own = at->part && sg_known(at->part->pierce_seconds);
    bool typed = own || sg_known(at->stock->pierce_seconds);
    struct sg_why_line *line = sg_why_number(w, "one pierce", NULL, SG_DIM_DURATION,
                                             at->part ? at->planned_part->pierce_each : at->setup->pierce);
    if (typed) {
        sg_why_read_field(w, line, own ? at->of_part : at->of_stock,
                          sg_field_find(own ? SG_KIND_PART : SG_KIND_STOCK, "pierce_seconds"));
        line->note = "typed; it wins over the model";
        return;
    }
    bool shops_own = at->setup->pierce_basis == SG_BASIS_SHOP;
    bool bare = at->setup->abrasive && w->shop->machine.pierce_factor[way_of(at)] == 0;
    sg_why_formula(line,
                   !at->setup->abrasive ? "0.5 + h / (u / 60)"
                   : bare               ? "t0"
                                        : "t0 + kappa x h / (u / 60)",
                   true, at->setup->pierce_basis,
                   shops_own ? w->shop->machine.pierce_source
                             : "an estimate, error a factor of 3: calibrate first");
    w->depth++;
    if (at->setup->abrasive) {
        model_pierce(w, at);
    } else {
        sg_why_height(w, at);
        separation_line(w, at, "u");
    }
    w->depth--;
}
