/* What the files of the actuals share. */
#ifndef SANDGLASS_CORE_ACTUAL_INSIDE_H
#define SANDGLASS_CORE_ACTUAL_INSIDE_H

#include "sandglass/actual.h"

enum { SG_EARLY_S = 2 * 3600 }; /* people begin before the bell: by so much at most; practice */

static inline int64_t sg_day_of(int64_t moment)
{
    return (moment - (moment % SG_DAY_S + SG_DAY_S) % SG_DAY_S) / SG_DAY_S;
}

enum { SG_NEAR_SHIFT_S = 12 * 3600 }; /* what is noted of a shift lies no further from it; practice */

/* Parts by their keys, in the arena (actual_parts.c). */
struct sg_part_index {
    const struct sg_shop *shop;
    struct sg_part_place {
        uint64_t hash;
        int32_t part;
    } * places; /* by hash */
    int32_t n;
};

bool sg_part_index_make(const struct sg_shop *shop, struct sg_arena *arena, struct sg_part_index *out);
int32_t sg_part_index_find(const struct sg_part_index *index, const char *place);

/* Whether a record, or one behind it of the same moment, ends what runs: they come before a clock that starts
 * then. */
bool sg_actual_ends_first(const struct sg_shop *shop, int32_t record);

/* Add a remark; there is room for all that can be. Returns it, for what else it says. */
struct sg_actual_remark *sg_actual_say(struct sg_actual *actual, enum sg_actual_odd odd, int64_t at);

/* Sheets of a stock in order, up to `loads`: how many there are, and for each kind, visit (actual_take.c). */
typedef void sg_load_visit(void *context, const struct sg_sheets *sheets, int64_t copies);
int32_t sg_plan_each_load(const struct sg_plan *plan, int32_t stock, int32_t loads, sg_load_visit *visit,
                          void *context);

/* What was used: fills hopper, heads, chores, sludge, jet, and the garnet_used of clocks (actual_used.c).
 * False: no memory. */
bool sg_actual_used(const struct sg_shop *shop, struct sg_arena *arena, struct sg_actual *actual);

#endif
