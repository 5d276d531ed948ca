/* One setup: what a head does in one stock - jet, traverse, pierce, garnet - from the fields of machine,
 * head, material and stock. `speed` shows one; a plan holds one for each stock. */
#ifndef SANDGLASS_SETUP_H
#define SANDGLASS_SETUP_H

#include "sandglass/shop.h"
#include "sandglass/traverse.h"

/* What is wrong or worth saying about a setup; the plan turns each into a caution. */
enum sg_setup_mark {
    SG_MARK_RANGE = 1 << 0,         /* outside the range over which the formula was fitted */
    SG_MARK_LOADING = 1 << 1,       /* loading ratio above 0.25 */
    SG_MARK_TUBE_RATIO = 1 << 2,    /* tube over orifice outside 2.5 to 4.5 */
    SG_MARK_WILL_NOT_CUT = 1 << 3,  /* the feed is above the separation speed */
    SG_MARK_NO_SPEED = 1 << 4,      /* this head has no speed in this material */
    SG_MARK_WATER_NO = 1 << 5,      /* water alone asked for in a material that it does not cut */
    SG_MARK_ABRASIVE_SOFT = 1 << 6, /* garnet asked for in a material that water alone cuts */
    SG_MARK_PRESSURE = 1 << 7,      /* above the pump's pressure */
    SG_MARK_FLOW = 1 << 8,          /* above its flow */
    SG_MARK_POWER = 1 << 9,         /* above its power */
    SG_MARK_Z_TRAVEL = 1 << 10,     /* the stack is higher than the head can lift */
    SG_MARK_TOP_FEED = 1 << 11,     /* a typed feed above the machine's top feed was cut down to it */
    SG_MARK_STILL_BRITTLE = 1 << 12 /* a brittle or layered material pierced at full pressure */
};

struct sg_setup {
    bool abrasive;
    double height;        /* mm of the whole stack */
    double bore;          /* mm: tube's bore now, or the orifice of a water-only head */
    double kerf;          /* mm */
    double water;         /* L/min of one head */
    double jet_velocity;  /* m/s */
    double jet_power;     /* kW of one head */
    double shaft_power;   /* kW of one head at the pump's shaft */
    double loading_ratio; /* NaN on a water-only head */
    double garnet;        /* g/min of one head, 0 on a water-only head */
    double separation;    /* mm/min at q = 1; water only: the model's traverse */
    double traverse; /* mm/min really planned for the stock's edge or typed feed; NaN: not known, 0: never */
    double edge_cut; /* q' that the traverse gives; NaN on a water-only head */
    double pierce;   /* s of one pierce */
    enum sg_basis traverse_basis, pierce_basis;
    unsigned marks; /* enum sg_setup_mark */
};

/* The head that cuts a stock: its own, else the first one of the material's kind, else the first. */
int sg_setup_head(const struct sg_shop *shop, const struct sg_stock *stock);

/* Separation speed of a jet in a material, mm/min: the formula's, or with the shop's own exponent of
 * thickness where the material has one. material may be NULL. */
double sg_setup_separation(const struct sg_abrasive_jet *jet, const struct sg_material *material,
                           double height);
bool sg_has_exponent(const struct sg_material *material);

/* How far a speed by the formula may be trusted: a number that was fitted to the shop's own runs has the
 * formula fitted with it. */
enum sg_basis sg_speed_basis(bool abrasive, const struct sg_material *material);

/* Whether the numbers of a way to pierce were fitted to the shop's own runs: its pierce_source speaks of that
 * way, or of none ("still: shop, 9 runs, +-12 %"). */
bool sg_pierce_is_own(const struct sg_machine *machine, int32_t way);

/* Compute a stock's setup. material may be NULL (not known yet): what needs it is then not known. */
void sg_setup_compute(const struct sg_machine *machine, const struct sg_head *head,
                      const struct sg_material *material, const struct sg_stock *stock, struct sg_setup *out);

/* The same for a part that has an edge, feed or pierce seconds of its own; `setup` is its stock's. Only
 * traverse, edge_cut, pierce, their bases and marks differ. */
void sg_setup_for_part(const struct sg_machine *machine, const struct sg_stock *stock,
                       const struct sg_part *part, struct sg_setup *setup);

#endif
