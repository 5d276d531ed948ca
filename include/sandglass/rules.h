/* Rules between fields: what the range of one field alone cannot say. Checked whenever a row is typed or read
 * in. */
#ifndef SANDGLASS_RULES_H
#define SANDGLASS_RULES_H

#include "sandglass/field.h"
#include "sandglass/status.h"

/* Check a record of that kind against the rules; shop gives the machine. SG_BAD_DATA with a sentence that
 * names the fields, both figures and what would be right:
 * - a stack may not be higher than the machine's z travel; a sheet must fit across the table one way or the
 * other;
 * - twice the margin must leave some sheet;
 * - low line below the hopper's capacity, level not above it;
 * - cut length, pierces, box and area of a part with an outline are what that measures;
 * - the words that turn the jet on and off are both there or both not;
 * - a tube wider than its orifice; the low pressure not above the pressure;
 * - breaks lie inside the shift, in order, and do not touch. */
enum sg_status sg_rules_check(enum sg_kind kind, const void *record, const struct sg_shop *shop,
                              struct sg_error *error);

/* Give a part what its outline measures: cut length, pierces, length, width, area. Nothing without one. */
void sg_part_measure(struct sg_part *part, const struct sg_shop *shop);

/* Whether that is one of those fields. */
bool sg_part_is_measured(const struct sg_field *field);

/* A break's start and end in seconds after the shift's start by the clock on the wall (no time zone). False
 * where the break does not lie in the shift. */
bool sg_break_in_shift(const struct sg_shift *shift, const struct sg_span *span, int32_t *from, int32_t *to);

/* The shift's length by the clock on the wall, seconds. */
int32_t sg_shift_length(const struct sg_shift *shift);

#endif
