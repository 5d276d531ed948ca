#include "sandglass/units.h"

#include "definitions.h"

#include <string.h>

const struct sg_unit sg_units[] = {
    {"", SG_DIM_NUMBER, 1},

    {"", SG_DIM_RATIO, 1},
    {"%", SG_DIM_RATIO, 0.01L},

    {"mm", SG_DIM_LENGTH, 1},
    {"cm", SG_DIM_LENGTH, 10},
    {"m", SG_DIM_LENGTH, 1000},
    {"in", SG_DIM_LENGTH, INCH_MM},
    {"ft", SG_DIM_LENGTH, FOOT_MM},
    {"inch", SG_DIM_LENGTH, INCH_MM},
    {"\"", SG_DIM_LENGTH, INCH_MM},
    {"″", SG_DIM_LENGTH, INCH_MM},
    {"'", SG_DIM_LENGTH, FOOT_MM},
    {"′", SG_DIM_LENGTH, FOOT_MM},

    {"mm2", SG_DIM_AREA, 1},
    {"cm2", SG_DIM_AREA, 100},
    {"m2", SG_DIM_AREA, 1e6L},
    {"in2", SG_DIM_AREA, INCH_MM *INCH_MM},
    {"ft2", SG_DIM_AREA, FOOT_MM *FOOT_MM},
    {"mm²", SG_DIM_AREA, 1},
    {"cm²", SG_DIM_AREA, 100},
    {"m²", SG_DIM_AREA, 1e6L},
    {"in²", SG_DIM_AREA, INCH_MM *INCH_MM},
    {"ft²", SG_DIM_AREA, FOOT_MM *FOOT_MM},

    {"s", SG_DIM_DURATION, 1},
    {"min", SG_DIM_DURATION, 60},
    {"h", SG_DIM_DURATION, 3600},

    {"mm/min", SG_DIM_FEED, 1},
    {"mm/s", SG_DIM_FEED, 60},
    {"m/min", SG_DIM_FEED, 1000},
    {"m/s", SG_DIM_FEED, 60000},
    {"in/min", SG_DIM_FEED, INCH_MM},
    {"in/s", SG_DIM_FEED, 60 * INCH_MM},
    {"ft/min", SG_DIM_FEED, FOOT_MM},
    {"ipm", SG_DIM_FEED, INCH_MM},

    {"mm/s2", SG_DIM_ACCELERATION, 1},
    {"m/s2", SG_DIM_ACCELERATION, 1000},
    {"in/s2", SG_DIM_ACCELERATION, INCH_MM},
    {"mm/s²", SG_DIM_ACCELERATION, 1},
    {"m/s²", SG_DIM_ACCELERATION, 1000},
    {"in/s²", SG_DIM_ACCELERATION, INCH_MM},

    {"MPa", SG_DIM_PRESSURE, 1},
    {"bar", SG_DIM_PRESSURE, 0.1L},
    {"psi", SG_DIM_PRESSURE, PSI_MPA},
    {"ksi", SG_DIM_PRESSURE, 1000 * PSI_MPA},
    {"lb/in2", SG_DIM_PRESSURE, PSI_MPA},
    {"lb/in²", SG_DIM_PRESSURE, PSI_MPA},

    {"kg", SG_DIM_MASS, 1},
    {"g", SG_DIM_MASS, 0.001L},
    {"lb", SG_DIM_MASS, POUND_KG},

    {"g/min", SG_DIM_GARNET_FEED, 1},
    {"kg/min", SG_DIM_GARNET_FEED, 1000},
    {"kg/h", SG_DIM_GARNET_FEED, 1000.0L / 60},
    {"lb/min", SG_DIM_GARNET_FEED, 1000 * POUND_KG},

    {"L/min", SG_DIM_FLOW, 1},
    {"gpm", SG_DIM_FLOW, GALLON_L},

    {"L", SG_DIM_VOLUME, 1},
    {"gal", SG_DIM_VOLUME, GALLON_L},
    {"m3", SG_DIM_VOLUME, 1000},
    {"m³", SG_DIM_VOLUME, 1000},

    {"kW", SG_DIM_POWER, 1},
    {"W", SG_DIM_POWER, 0.001L},
    {"hp", SG_DIM_POWER, HORSEPOWER_KW},

    {"kWh", SG_DIM_ENERGY, 1},

    {"kg/m3", SG_DIM_DENSITY, 1},
    {"g/cm3", SG_DIM_DENSITY, 1000},
    {"lb/in3", SG_DIM_DENSITY, 1e9L * POUND_KG / (INCH_MM * INCH_MM * INCH_MM)},
    {"kg/m³", SG_DIM_DENSITY, 1},
    {"g/cm³", SG_DIM_DENSITY, 1000},
    {"lb/in³", SG_DIM_DENSITY, 1e9L * POUND_KG / (INCH_MM * INCH_MM * INCH_MM)},

    {"kg/m2", SG_DIM_AREAL, 1},
    {"lb/ft2", SG_DIM_AREAL, 1e6L * POUND_KG / (FOOT_MM * FOOT_MM)},
    {"kg/m²", SG_DIM_AREAL, 1},
    {"lb/ft²", SG_DIM_AREAL, 1e6L * POUND_KG / (FOOT_MM * FOOT_MM)},

    {"J/mm2", SG_DIM_CUT_ENERGY, 1},
    {"J/mm²", SG_DIM_CUT_ENERGY, 1},

    {"/kg", SG_DIM_PER_MASS, 1},
    {"/lb", SG_DIM_PER_MASS, 1 / POUND_KG},
    {"/t", SG_DIM_PER_MASS, 0.001L},

    {"/m3", SG_DIM_PER_VOLUME, 1},
    {"/L", SG_DIM_PER_VOLUME, 1000},
    {"/gal", SG_DIM_PER_VOLUME, 1000 / GALLON_L},
    {"/m³", SG_DIM_PER_VOLUME, 1},

    {"/h", SG_DIM_PER_TIME, 1},
    {"/min", SG_DIM_PER_TIME, 60},

    {"/kWh", SG_DIM_PER_ENERGY, 1},

    {NULL, SG_DIM_COUNT, 0},
};

static const struct {
    const char *word, *us, *metric;
} dimensions[SG_DIM_COUNT] = {
    [SG_DIM_NUMBER] = {"plain number", "", ""},
    [SG_DIM_RATIO] = {"ratio", "", ""},
    [SG_DIM_LENGTH] = {"length", "in", "mm"},
    [SG_DIM_AREA] = {"area", "in2", "mm2"},
    [SG_DIM_DURATION] = {"time", "s", "s"},
    [SG_DIM_FEED] = {"feed", "in/min", "mm/min"},
    [SG_DIM_ACCELERATION] = {"acceleration", "in/s2", "mm/s2"},
    [SG_DIM_PRESSURE] = {"pressure", "ksi", "MPa"},
    [SG_DIM_MASS] = {"mass", "lb", "kg"},
    [SG_DIM_GARNET_FEED] = {"garnet feed", "lb/min", "g/min"},
    [SG_DIM_FLOW] = {"water flow", "gpm", "L/min"},
    [SG_DIM_VOLUME] = {"volume", "gal", "L"},
    [SG_DIM_POWER] = {"power", "hp", "kW"},
    [SG_DIM_ENERGY] = {"energy", "kWh", "kWh"},
    [SG_DIM_DENSITY] = {"density", "lb/in3", "kg/m3"},
    [SG_DIM_AREAL] = {"mass on an area", "lb/ft2", "kg/m2"},
    [SG_DIM_CUT_ENERGY] = {"energy on an area", "J/mm2", "J/mm2"},
    [SG_DIM_PER_MASS] = {"price of a mass", "/lb", "/kg"},
    [SG_DIM_PER_VOLUME] = {"price of a volume", "/gal", "/m3"},
    [SG_DIM_PER_TIME] = {"price of an hour", "/h", "/h"},
    [SG_DIM_PER_ENERGY] = {"price of energy", "/kWh", "/kWh"},
};

/* By hand, because what tolower says depends on the locale. */
static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool same_whatever_case(const char *a, const char *b, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if (lower(a[i]) != lower(b[i]))
            return false;
    return true;
}

const struct sg_unit *sg_unit_find(const char *name, size_t length)
{
    const struct sg_unit *found = NULL;
    if (length == 0)
        return NULL;
    for (const struct sg_unit *unit = sg_units; unit->name; unit++) {
        if (strlen(unit->name) != length || !same_whatever_case(unit->name, name, length))
            continue;
        if (memcmp(unit->name, name, length) == 0)
            return unit;
        if (!found)
            found = unit;
    }
    return found;
}

const struct sg_unit *sg_unit_canonical(enum sg_dimension dimension)
{
    const struct sg_unit *unit = sg_units;
    while (unit->name && unit->dimension != dimension)
        unit++;
    return unit->name ? unit : sg_units;
}

const struct sg_unit *sg_unit_of_shop(enum sg_dimension dimension, enum sg_unit_system system)
{
    const struct sg_unit *unit = sg_unit_canonical(dimension);
    const char *name =
        system == SG_UNITS_US ? dimensions[unit->dimension].us : dimensions[unit->dimension].metric;
    while (strcmp(unit->name, name) != 0)
        unit++;
    return unit;
}

const char *sg_dimension_word(enum sg_dimension dimension)
{
    return (unsigned)dimension < SG_DIM_COUNT ? dimensions[dimension].word : "number";
}

double sg_to_canonical(long double value, const struct sg_unit *unit)
{
    return (double)(value * unit->factor);
}

long double sg_from_canonical(double canonical, const struct sg_unit *unit)
{
    return (long double)canonical / unit->factor;
}
