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

/* Pieces that were counted, by part and by clock (actual_counts.c). */
enum sg_counted { SG_COUNTED_GOOD, SG_COUNTED_SCRAPPED, SG_COUNTEDS };

struct sg_count {
    int64_t n;
    int32_t clock, part;     /* clock SG_UNKNOWN: none has them */
    struct sg_count *before; /* of the part */
    struct sg_count *other;  /* of the clock */
};

struct sg_counts {
    struct sg_arena *arena;
    struct sg_count **last[SG_COUNTEDS]; /* by part; NULL: none */
};

/* For the parts of a shop. In the arena; false: no memory. */
bool sg_counts_make(const struct sg_shop *shop, struct sg_arena *arena, struct sg_counts **out);
bool sg_counts_add(struct sg_actual *actual, enum sg_counted of, int32_t part, int32_t clock, int64_t n);

/* Take back of the last count, at most so many: returns how many, and the clock that has them; 0 where none
 * is left. */
int64_t sg_counts_take(struct sg_actual *actual, enum sg_counted of, int32_t part, int64_t most,
                       int32_t *clock);

/* For each clock a number that those of the same place share (actual_places.c). In the arena; NULL: no
 * memory. */
int32_t *sg_places_make(const struct sg_shop *shop, struct sg_arena *arena);

/* Whether a record, or one behind it of the same moment, ends what runs: they come before a clock that starts
 * then. */
bool sg_actual_ends_first(const struct sg_shop *shop, int32_t record);

/* The log while it is read. */
struct sg_log_reading {
    const struct sg_shop *shop;
    struct sg_actual *actual;
    int32_t clock, record;           /* that come next */
    int32_t pause;                   /* that lasts, else SG_UNKNOWN */
    double *weighed;                 /* feed of each head that no cut has yet; NaN */
    int32_t *places, *last_of_place; /* of each clock; its last clock by now, SG_UNKNOWN */
    bool failed;                     /* memory ran out */
    struct sg_part_index index;
};

/* Note what a record counts, good or scrapped or taken back, to its part and to the clocks that cut it
 * (actual_count.c). */
void sg_actual_count(struct sg_log_reading *log, const struct sg_record *record);

/* Take back the remark that there are more than so many parts from the first on ask for. */
void sg_actual_forget_more(struct sg_actual *actual, int32_t first_part, int32_t n_parts);

/* Add a remark about the record that is read. */
struct sg_actual_remark *sg_actual_say_here(struct sg_log_reading *log, enum sg_actual_odd odd);

/* Add a remark; there is room for all that can be. Returns it, for what else it says. */
struct sg_actual_remark *sg_actual_say(struct sg_actual *actual, enum sg_actual_odd odd, int64_t at);

/* Sheets of a stock in order, up to `loads`: how many there are, and for each kind, visit (actual_take.c). */
typedef void sg_load_visit(void *context, const struct sg_sheets *sheets, int64_t copies);
int32_t sg_plan_each_load(const struct sg_plan *plan, int32_t stock, int32_t loads, sg_load_visit *visit,
                          void *context);

/* The part of the clock's stock that a line of its lies is about; mostly the one behind the last. SG_UNKNOWN:
 * it is in the shop no more (actual_sheets.c). */
int32_t sg_actual_part_of_line(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock,
                               const struct sg_lies *lies, int32_t last);

/* Pieces of a line that are not counted to the clock, on all its loads; all where its part is SG_UNKNOWN. */
int64_t sg_actual_left_of_line(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock,
                               const struct sg_lies *lies, int32_t part);

/* The cut of a clock's stock before it, SG_UNKNOWN: none. */
int32_t sg_actual_cut_before(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* Lay on a stock of the rest and its parts, whose quantities are what is left, what is begun and what is cut
 * and not counted; `stock` is of the shop. False: no memory (actual_begun.c). */
bool sg_actual_lay_begun(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock,
                         struct sg_arena *arena, struct sg_stock *to, struct sg_part *parts);

/* Loads of a clock on which nothing is left, before those on which something is (actual_sheets.c). */
int32_t sg_actual_loads_done(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* Whether the last cut of a stock, by its key, lies on the table and is not finished. */
bool sg_actual_on_table(const struct sg_shop *shop, const struct sg_actual *actual, const char *key);

/* What was used: fills hopper, heads, chores, sludge, jet, and the garnet_used of clocks (actual_used.c).
 * False: no memory. */
bool sg_actual_used(const struct sg_shop *shop, struct sg_arena *arena, struct sg_actual *actual);

#endif
