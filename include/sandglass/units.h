/* Dimensions and units: one table of every unit a person may type.
 *
 * The core and the shop file hold SI with the multiples the trade thinks in (mm, MPa, kg, g/min, ...):
 * the canonical unit of each dimension, listed below. Only the edge converts, by exact factors. */
#ifndef SANDGLASS_UNITS_H
#define SANDGLASS_UNITS_H

#include <stdbool.h>
#include <stddef.h>

enum sg_dimension {                      /* canonical unit */
                    SG_DIM_NUMBER,       /* a plain number without unit */
                    SG_DIM_RATIO,        /* 1 (100 % is 1) */
                    SG_DIM_LENGTH,       /* mm */
                    SG_DIM_AREA,         /* mm2 */
                    SG_DIM_DURATION,     /* s */
                    SG_DIM_FEED,         /* mm/min */
                    SG_DIM_ACCELERATION, /* mm/s2 */
                    SG_DIM_PRESSURE,     /* MPa */
                    SG_DIM_MASS,         /* kg */
                    SG_DIM_GARNET_FEED,  /* g/min */
                    SG_DIM_FLOW,         /* L/min */
                    SG_DIM_VOLUME,       /* L */
                    SG_DIM_POWER,        /* kW */
                    SG_DIM_ENERGY,       /* kWh */
                    SG_DIM_DENSITY,      /* kg/m3 */
                    SG_DIM_AREAL,        /* kg/m2, load on the slats */
                    SG_DIM_CUT_ENERGY,   /* J/mm2, energy per area of cut face */
                    SG_DIM_PER_MASS,     /* /kg, price of a mass; of no currency, as all prices */
                    SG_DIM_PER_VOLUME,   /* /m3 */
                    SG_DIM_PER_TIME,     /* /h */
                    SG_DIM_PER_ENERGY,   /* /kWh */
                    SG_DIM_COUNT
};

/* What a bare number means in a shop, and what its screens show. */
enum sg_unit_system { SG_UNITS_US, SG_UNITS_METRIC };

struct sg_unit {
    const char *name; /* as typed and shown, such as "in/min" */
    enum sg_dimension dimension;
    long double factor; /* canonical value = factor * value in this unit */
};

/* The table, ended by a row with a NULL name. The first row of a dimension is its canonical unit; rows that
 * only spell a unit in another way (mm² for mm2) come after the way it is shown. */
extern const struct sg_unit sg_units[];

/* The unit with that spelling: exactly, else whatever the case of its letters. The name need not end in NUL.
 * NULL where there is none, and for an empty name. `bag` is not in the table: its mass belongs to a machine.
 */
const struct sg_unit *sg_unit_find(const char *name, size_t length);

/* The canonical unit of a dimension, and the one that a shop of that system types and reads. Never NULL. */
const struct sg_unit *sg_unit_canonical(enum sg_dimension dimension);
const struct sg_unit *sg_unit_of_shop(enum sg_dimension dimension, enum sg_unit_system system);

/* The dimension's name for a sentence, such as "length". */
const char *sg_dimension_word(enum sg_dimension dimension);

/* Exact up to one rounding of the result: the factor is applied in long double. */
double sg_to_canonical(long double value, const struct sg_unit *unit);
long double sg_from_canonical(double canonical, const struct sg_unit *unit);

#endif
