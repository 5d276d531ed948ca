#include "sandglass/jet.h"

#include <math.h>

#define PI 3.14159265358979323846

double sg_jet_flow(double pressure, double orifice, double discharge)
{
    double bore_m = orifice / 1000, bernoulli_m_s = sqrt(2 * pressure * 1e6 / SG_WATER_DENSITY);
    return discharge * (PI / 4) * bore_m * bore_m * bernoulli_m_s * 60000;
}

double sg_jet_compressibility(double pressure)
{
    const double bulk = 300, n = 0.1368; /* L in MPa and the exponent */
    if (pressure == 0)
        return 1;
    double ratio = pressure / bulk;
    return sqrt((pow(1 + ratio, 1 - n) - 1) / (ratio * (1 - n)));
}

double sg_jet_velocity(double pressure)
{
    return sg_jet_compressibility(pressure) * sqrt(2 * pressure * 1e6 / SG_WATER_DENSITY);
}

double sg_jet_power(double pressure, double flow)
{
    return pressure * flow / 60; /* MPa L is kJ */
}

double sg_jet_thrust(double pressure, double orifice)
{
    return PI / 2 * orifice * orifice * pressure; /* mm2 MPa = N */
}

double sg_loading_ratio(double garnet, double flow)
{
    return garnet / 1000 / (flow * SG_WATER_DENSITY / 1000);
}
