#include "sandglass/pierce.h"

double sg_pierce_time(double base, double factor, double height, double separation)
{
    return factor == 0 ? base : base + factor * height / (separation / 60);
}

double sg_pierce_time_water(double height, double traverse)
{
    return 0.5 + height / (traverse / 60);
}
