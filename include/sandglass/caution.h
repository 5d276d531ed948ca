/* Cautions: what a plan must say beside its numbers. One table gives each code its sentence, which says what
 * is the matter and what to do about it. A caution never stops a plan. */
#ifndef SANDGLASS_CAUTION_H
#define SANDGLASS_CAUTION_H

#include "sandglass/field.h"

enum sg_caution_code {
    /* what is missing */
    SG_CAUTION_NO_MATERIAL,
    SG_CAUTION_NO_THICKNESS,
    SG_CAUTION_NO_LENGTH,
    SG_CAUTION_NO_BOX,
    SG_CAUTION_NO_SHEET,
    /* what does not go together */
    SG_CAUTION_DOES_NOT_FIT,
    SG_CAUTION_SHEETS_SHORT,
    SG_CAUTION_CROSSES_INDEX,
    SG_CAUTION_SHEET_OFF_TABLE,
    SG_CAUTION_REMNANT_OFF_TABLE,
    SG_CAUTION_OVER_SLAT_LOAD,
    SG_CAUTION_OVER_Z_TRAVEL,
    SG_CAUTION_WATER_NO,
    SG_CAUTION_ABRASIVE_SOFT,
    SG_CAUTION_NO_SPEED,
    SG_CAUTION_NO_PIERCE,
    SG_CAUTION_WILL_NOT_CUT,
    SG_CAUTION_TOP_FEED,
    SG_CAUTION_OUTSIDE_RANGE,
    SG_CAUTION_LOADING_RATIO,
    SG_CAUTION_TUBE_RATIO,
    SG_CAUTION_PUMP_PRESSURE,
    SG_CAUTION_PUMP_FLOW,
    SG_CAUTION_PUMP_POWER,
    SG_CAUTION_SMALL_PART,
    SG_CAUTION_WEAR_IN_SHEET,
    /* what the run brings */
    SG_CAUTION_OUT_OF_GARNET,
    SG_CAUTION_STOPS_IN_CUT,
    SG_CAUTION_PART_BAG,
    SG_CAUTION_LONG_PIECE,
    SG_CAUTION_LATE,
    SG_CAUTION_CLOSED_DAY,
    SG_CAUTION_SHEET_ON,
    SG_CAUTION_LEVEL_READ,
    SG_CAUTION_CLEAN_OUT,
    SG_CAUTION_ORDER_BAGS,
    SG_CAUTION_SERVICE_OVER,
    SG_CAUTION_SERVICE_DAYS,
    /* what can hurt */
    SG_CAUTION_SILICA,
    SG_CAUTION_HYDROGEN,
    SG_CAUTION_BERYLLIUM,
    SG_CAUTION_TOXIC,
    SG_CAUTION_BRITTLE,
    SG_CAUTION_TEMPERED,
    SG_CAUTION_LAMINATE,
    SG_CAUTION_VERIFY,
    SG_CAUTION_GARNET_VESSEL,
    SG_CAUTION_HEAVY_BAG,
    SG_CAUTION_HEAVY_SHEET,
    SG_CAUTION_LOCK_OUT,
    SG_CAUTION_UNATTENDED,
    SG_CAUTION_JET,
    SG_CAUTIONS
};

struct sg_caution {
    int16_t code;  /* enum sg_caution_code */
    int16_t kind;  /* enum sg_kind of what it is about */
    int32_t index; /* into that array of the shop; 0 for the machine */
    double a, b;   /* figures of its sentence, canonical units; NaN where it has none */
};

/* The code as files and JSON spell it, such as "over_slat_load". */
const char *sg_caution_word(int code);

/* The sentence, figures in the shop's units. Returns as snprintf does. */
int sg_caution_text(const struct sg_caution *caution, enum sg_unit_system units, char *out, size_t size);

#endif
