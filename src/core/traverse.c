#include "sandglass/traverse.h"

#include <math.h>

double sg_separation_speed(const struct sg_abrasive_jet *jet, double machinability, double height)
{
    const double constant = 788; /* for MPa, mm, g/min -> mm/min */
    double above = jet->abrasive_factor * machinability * pow(jet->pressure, 1.594) *
                   pow(jet->orifice, 1.374) * pow(jet->garnet, 0.343);
    return pow(above / (constant * height * pow(jet->tube, 0.618)), SG_TRAVERSE_EXPONENT);
}

double sg_edge_factor(double edge)
{
    return pow(edge, -SG_TRAVERSE_EXPONENT);
}

double sg_edge_at(double separation, double feed)
{
    return pow(separation / feed, 1 / SG_TRAVERSE_EXPONENT);
}

static bool within(double value, double low, double high)
{
    return value >= low && value <= high;
}

bool sg_abrasive_in_range(const struct sg_abrasive_jet *jet, double height)
{
    return within(jet->pressure, 140, 380) && within(jet->orifice, 0.23, 0.46) &&
           within(jet->tube, 0.76, 1.6) && within(jet->garnet, 100, 900) && within(height, 3, 100);
}

double sg_water_speed(double jet_power, double pressure, double cut_energy, double threshold, double height)
{
    double share = isnan(threshold) ? 1 : 1 - threshold / pressure;
    if (share <= 0)
        return 0;
    return jet_power * 1000 * share / (cut_energy * height) * 60; /* W / (J/mm2 mm) = mm/s */
}
