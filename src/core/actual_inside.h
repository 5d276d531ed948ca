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

/* Pieces that were counted, by part: which clock has the last of them (actual_counts.c). */
enum sg_counted { SG_COUNTED_GOOD, SG_COUNTED_SCRAPPED, SG_COUNTEDS };

struct sg_counts {
    struct sg_count {
        int64_t n;
        int32_t clock, before; /* SG_UNKNOWN: no clock; the first of its part */
    } * counts;
    int32_t *last[SG_COUNTEDS]; /* by part; SG_UNKNOWN: none */
    int32_t n_counts;
};

/* For what the log of a shop can count. In the arena; false: no memory. */
bool sg_counts_make(const struct sg_shop *shop, struct sg_arena *arena, struct sg_counts *out);
void sg_counts_add(struct sg_counts *counts, enum sg_counted of, int32_t part, int32_t clock, int64_t n);

/* Take back of the last count, at most so many: returns how many, and the clock that has them; 0 where none
 * is left. */
int64_t sg_counts_take(struct sg_counts *counts, enum sg_counted of, int32_t part, int64_t most,
                       int32_t *clock);

/* Whether a record, or one behind it of the same moment, ends what runs: they come before a clock that starts
 * then. */
bool sg_actual_ends_first(const struct sg_shop *shop, int32_t record);

/* Add a remark; there is room for all that can be. Returns it, for what else it says. */
struct sg_actual_remark *sg_actual_say(struct sg_actual *actual, enum sg_actual_odd odd, int64_t at);

/* The next loads of a stock of the rest in order, up to `loads`: how many there are, and for each kind, visit
 * (actual_take.c). */
typedef void sg_load_visit(void *context, const struct sg_sheets *sheets, int64_t copies);
int32_t sg_rest_each_load(const struct sg_rest *rest, const struct sg_plan *plan, int32_t stock,
                          int32_t loads, sg_load_visit *visit, void *context);

/* Pieces of a line of a clock's lies that are not counted (actual_lies.c). */
int64_t sg_actual_left_of_line(const struct sg_shop *shop, const struct sg_actual *actual,
                               const struct sg_clock *clock, const struct sg_lies *lies);

/* Set the begun_loads, begun_moves and loads_before of a stock of the rest, and the begun of its parts, whose
 * quantities are what is left; `stock` is of the shop (actual_sheets.c). Returns how many loads the clock
 * says are cut though nobody counted them: they are among those that are begun. */
int32_t sg_actual_lay_begun(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock,
                            struct sg_stock *to, struct sg_part *parts);

/* Whether the last cut of a stock, by its key, lies on the table and is not finished. */
bool sg_actual_on_table(const struct sg_shop *shop, const struct sg_actual *actual, const char *key);

/* What was used: fills hopper, heads, chores, sludge, jet, and the garnet_used of clocks (actual_used.c).
 * False: no memory. */
bool sg_actual_used(const struct sg_shop *shop, struct sg_arena *arena, struct sg_actual *actual);

#endif
