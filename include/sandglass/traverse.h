/* Traverse speeds: how fast a head moves along the cut.
 *
 * Abrasive: the machinability-number formula of Zeng, Kim & Wallace (ASME PED-58, 1992, 169-179) and Zeng &
 * Kim (7th American Water Jet Conf., 1993), recalled from memory in its metric form with C = 788. Water only:
 * jet power over cut energy and thickness, an estimate on published points (model in sandglass-formats(5)).
 * Everything in mm, MPa, g/min, mm/min; an input that is not known (NaN) makes the result not known. */
#ifndef SANDGLASS_TRAVERSE_H
#define SANDGLASS_TRAVERSE_H

#include <stdbool.h>

/* The exponent that thickness and edge share: u ~ (q h)^-1.15. */
#define SG_TRAVERSE_EXPONENT 1.15

struct sg_abrasive_jet {
    double pressure;        /* MPa */
    double orifice;         /* mm */
    double tube;            /* mm, bore of the mixing tube now */
    double garnet;          /* g/min */
    double abrasive_factor; /* fa, 1 for garnet */
};

/* Speed in mm/min that just parts `height` mm (a whole stack) of a material: u at q = 1.
 * [ fa Nm P^1.594 do^1.374 Ma^0.343 / (788 h dm^0.618) ]^1.15 */
double sg_separation_speed(const struct sg_abrasive_jet *jet, double machinability, double height);

/* u(q) / u(1) = q^-1.15 for an edge q >= 1. */
double sg_edge_factor(double edge);

/* The edge that a feed really gives: (u_sep / feed)^(1/1.15). Below 1 the jet does not get through. */
double sg_edge_at(double separation, double feed);

/* Whether every input lies in the range over which the formula was fitted: P 140 to 380 MPa, orifice 0.23 to
 * 0.46 mm, tube 0.76 to 1.6 mm, garnet 100 to 900 g/min, height 3 to 100 mm. */
bool sg_abrasive_in_range(const struct sg_abrasive_jet *jet, double height);

/* Speed in mm/min of a water-only head: Pj (1 - Pth/P) / (eA h); 0 at and below the threshold. jet_power in
 * kW, cut energy in J/mm2, threshold in MPa (NaN: none known). */
double sg_water_speed(double jet_power, double pressure, double cut_energy, double threshold, double height);

#endif
