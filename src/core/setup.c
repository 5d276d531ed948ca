#include "sandglass/setup.h"

#include "sandglass/field.h"
#include "sandglass/jet.h"
#include "sandglass/pierce.h"
#include "sandglass/sheet.h"
#include "sandglass/study.h"

#include <stdio.h>
#include <string.h>

int sg_setup_head(const struct sg_shop *shop, const struct sg_stock *stock)
{
    if (stock->head != SG_UNKNOWN)
        return stock->head;
    int kind = stock->material == SG_UNKNOWN ? SG_HEAD_ABRASIVE : shop->materials[stock->material].head;
    for (int i = 0; i < shop->n_heads; i++)
        if (shop->heads[i].kind == kind)
            return i;
    return 0;
}

bool sg_has_exponent(const struct sg_material *material)
{
    return material && material->thickness_exponent > 0 && material->reference_thickness > 0;
}

double sg_setup_separation(const struct sg_abrasive_jet *jet, const struct sg_material *material,
                           double height)
{
    double number = material ? material->machinability : (double)NAN;
    if (!sg_has_exponent(material))
        return sg_separation_speed(jet, number, height);
    return sg_study_separation_speed(jet, number, height, material->thickness_exponent,
                                     material->reference_thickness);
}

enum sg_basis sg_speed_basis(bool abrasive, const struct sg_material *material)
{
    enum sg_basis basis = material ? (enum sg_basis)material->basis : SG_BASIS_TYPED;
    if (material && sg_study_is_own(material, abrasive ? SG_HEAD_ABRASIVE : SG_HEAD_WATER))
        return SG_BASIS_SHOP;
    return sg_basis_weaker(abrasive ? SG_BASIS_RECALLED : SG_BASIS_ESTIMATE, basis);
}

static double bore_now(const struct sg_head *head)
{
    return head->tube + head->tube_wear * (head->tube_hours / 3600) / 100;
}

static void compute_jet(const struct sg_machine *machine, const struct sg_head *head, struct sg_setup *s)
{
    s->abrasive = head->kind == SG_HEAD_ABRASIVE;
    s->bore = s->abrasive ? bore_now(head) : head->orifice;
    s->kerf = sg_kerf(s->abrasive, s->bore);
    s->water = sg_jet_flow(head->pressure, head->orifice, head->discharge);
    s->jet_velocity = sg_jet_velocity(head->pressure);
    s->jet_power = sg_jet_power(head->pressure, s->water);
    s->shaft_power = s->jet_power / machine->pump_efficiency;
    s->garnet = s->abrasive ? head->garnet : 0;
    s->loading_ratio = s->abrasive ? sg_loading_ratio(head->garnet, s->water) : (double)NAN;
}

static unsigned pump_marks(const struct sg_machine *machine, const struct sg_head *head,
                           const struct sg_setup *s)
{
    const double slack = 1 + 1e-9;
    unsigned marks = 0;
    if (head->pressure > machine->max_pressure * slack)
        marks |= SG_MARK_PRESSURE;
    if (head->heads * s->water > machine->max_flow * slack)
        marks |= SG_MARK_FLOW;
    if (head->heads * s->shaft_power > machine->pump_power * slack)
        marks |= SG_MARK_POWER;
    return marks;
}

static struct sg_abrasive_jet jet_of(const struct sg_head *head, double bore, double pressure)
{
    return (struct sg_abrasive_jet){pressure, head->orifice, bore, head->garnet, head->abrasive_factor};
}

static unsigned abrasive_marks(const struct sg_head *head, const struct sg_material *material,
                               const struct sg_setup *s)
{
    struct sg_abrasive_jet jet = jet_of(head, s->bore, head->pressure);
    unsigned marks = 0;
    if (sg_known(s->height) && !sg_abrasive_in_range(&jet, s->height))
        marks |= SG_MARK_RANGE;
    if (s->loading_ratio > 0.25)
        marks |= SG_MARK_LOADING;
    if (s->bore / head->orifice < 2.5 || s->bore / head->orifice > 4.5)
        marks |= SG_MARK_TUBE_RATIO;
    if (material && material->water_possible)
        marks |= SG_MARK_ABRASIVE_SOFT;
    return marks;
}

static void take_feed(const struct sg_machine *machine, const struct sg_stock *stock, double edge,
                      double feed, struct sg_setup *s)
{
    s->marks &= ~(unsigned)(SG_MARK_WILL_NOT_CUT | SG_MARK_NO_SPEED | SG_MARK_TOP_FEED);
    if (sg_known(feed)) {
        s->traverse_basis = SG_BASIS_TYPED;
        if (feed > machine->top_feed)
            s->marks |= SG_MARK_TOP_FEED;
    } else {
        feed = s->separation * (s->abrasive ? sg_edge_factor(edge) : 1) * stock->feed_override;
    }
    s->traverse = feed > machine->top_feed ? machine->top_feed : feed;
    s->edge_cut = s->abrasive ? sg_edge_at(s->separation, s->traverse) : (double)NAN;
    if (s->abrasive && s->edge_cut < 1 - 1e-9)
        s->marks |= SG_MARK_WILL_NOT_CUT;
    if (!(s->traverse > 0) && sg_known(s->height))
        s->marks |= SG_MARK_NO_SPEED;
}

bool sg_pierce_is_own(const struct sg_machine *machine, int32_t way)
{
    char named[40];
    bool any = false;
    if (!machine->pierce_source[0])
        return false;
    for (int32_t i = 0; i < SG_PIERCE_WAYS; i++) {
        snprintf(named, sizeof named, "%s: ", sg_words_pierce[i]);
        bool here = strstr(machine->pierce_source, named) != NULL;
        if (here && i == way)
            return true;
        any = any || here;
    }
    return !any;
}

static void compute_pierce(const struct sg_machine *machine, const struct sg_head *head,
                           const struct sg_material *material, const struct sg_stock *stock,
                           struct sg_setup *s)
{
    s->pierce_basis = SG_BASIS_ESTIMATE;
    if (sg_known(stock->pierce_seconds)) {
        s->pierce = stock->pierce_seconds;
        s->pierce_basis = SG_BASIS_TYPED;
        return;
    }
    if (!s->abrasive) {
        s->pierce = sg_pierce_time_water(s->height, s->separation);
        return;
    }
    int way = stock->pierce != SG_UNKNOWN ? stock->pierce : material ? material->pierce : SG_PIERCE_STILL;
    double separation = s->separation;
    s->pierce_basis = sg_pierce_is_own(machine, way) ? SG_BASIS_SHOP : SG_BASIS_ESTIMATE;
    if (way == SG_PIERCE_LOW) {
        struct sg_abrasive_jet jet = jet_of(head, s->bore, head->low_pressure);
        separation = sg_setup_separation(&jet, material, s->height);
    }
    s->pierce = sg_pierce_time(machine->pierce_base[way], machine->pierce_factor[way], s->height, separation);
    bool full_pressure = way == SG_PIERCE_STILL || way == SG_PIERCE_MOVING;
    if (full_pressure && material && material->hazards & (SG_HAZARD_BRITTLE | SG_HAZARD_LAMINATE))
        s->marks |= SG_MARK_STILL_BRITTLE;
}

void sg_setup_compute(const struct sg_machine *machine, const struct sg_head *head,
                      const struct sg_material *material, const struct sg_stock *stock, struct sg_setup *s)
{
    *s = (struct sg_setup){.height = stock->thickness * stock->stack};
    compute_jet(machine, head, s);
    s->marks = pump_marks(machine, head, s);
    if (s->height > machine->z_travel * (1 + 1e-9))
        s->marks |= SG_MARK_Z_TRAVEL;
    s->traverse_basis = sg_speed_basis(s->abrasive, material);
    if (s->abrasive) {
        struct sg_abrasive_jet jet = jet_of(head, s->bore, head->pressure);
        s->separation = sg_setup_separation(&jet, material, s->height);
        s->marks |= abrasive_marks(head, material, s);
    } else {
        s->separation =
            sg_water_speed(s->jet_power, head->pressure, material ? material->cut_energy : (double)NAN,
                           material ? material->threshold : (double)NAN, s->height);
        if (material && !material->water_possible)
            s->marks |= SG_MARK_WATER_NO;
    }
    take_feed(machine, stock, stock->edge, stock->feed, s);
    if (!s->abrasive)
        s->separation = sg_known(stock->feed) ? s->separation : s->traverse;
    compute_pierce(machine, head, material, stock, s);
}

void sg_setup_for_part(const struct sg_machine *machine, const struct sg_stock *stock,
                       const struct sg_part *part, struct sg_setup *s)
{
    if (sg_known(part->feed) ||
        (s->abrasive && sg_known(part->edge))) /* water cuts every edge at one speed */
        take_feed(machine, stock, sg_known(part->edge) ? part->edge : stock->edge,
                  sg_known(part->feed) ? part->feed : stock->feed, s);
    if (sg_known(part->pierce_seconds)) {
        s->pierce = part->pierce_seconds;
        s->pierce_basis = SG_BASIS_TYPED;
    }
}
