/* What the files of `why` share: the tree under construction, and the explanations that others are made of.
 */
#ifndef SANDGLASS_WHY_INSIDE_H
#define SANDGLASS_WHY_INSIDE_H

#include "sandglass/plan.h"
#include "sandglass/why.h"

struct sg_why_build {
    const struct sg_shop *shop;
    struct sg_arena *arena;
    struct sg_why_line *lines;
    int n, room, depth;
    bool failed; /* memory ran out */
    struct sg_why_line spare;
    const struct sg_plan *plan;
    double epoch;
    /* What open shifts before this one leave to it; NULL where it starts as the fields say. */
    const double *tube_hours; /* s on the tube of each head */
    int32_t shift_before;
    const void *context; /* of the sum that is being taken apart */
    int32_t first_event, end_event;
};

/* ---- the tree (why_tree.c) ---- */

/* Add a line at the depth reached. The pointer holds until the next line is added; never NULL. */
struct sg_why_line *sg_why_add(struct sg_why_build *w, const char *name, const char *symbol);
struct sg_why_line *sg_why_number(struct sg_why_build *w, const char *name, const char *symbol,
                                  enum sg_dimension dimension, double value);
struct sg_why_line *sg_why_whole(struct sg_why_build *w, const char *name, int64_t value);
struct sg_why_line *sg_why_moment(struct sg_why_build *w, const char *name, double value);

/* Give a line its formula. */
void sg_why_formula(struct sg_why_line *line, const char *formula, bool own_units, int basis,
                    const char *source);

/* A line read from a field of a row; name and symbol NULL: the field's name. */
struct sg_why_line *sg_why_field(struct sg_why_build *w, struct sg_target from, const char *field,
                                 const char *name, const char *symbol);
/* Make a line the value of a field: from, origin, basis and source. */
void sg_why_read_field(struct sg_why_build *w, struct sg_why_line *line, struct sg_target from,
                       const struct sg_field *field);

/* A row's number that has an explanation of its own. */
void sg_why_more(struct sg_why_line *line, struct sg_target from, const char *name);

const char *sg_why_words(struct sg_why_build *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
const char *sg_why_key(struct sg_why_build *w, struct sg_target target);
double sg_why_count(int64_t count); /* NaN for SG_UNKNOWN */

/* What a sum is made of. */
struct sg_why_item {
    double value;
    const char *name;
    struct sg_target from;
    const char *more;
    double at;
    int32_t index; /* of an event or row, for whoever made it */
};
/* The items as lines, the greatest first; all behind `most` in one line. detail (may be NULL) adds what is
 * below an item's line. Items of 0 are left out. */
enum { SG_WHY_MOST = 8 };
void sg_why_items(struct sg_why_build *w, const struct sg_why_item *items, int n, enum sg_why_shape shape,
                  enum sg_dimension dimension, int most,
                  void (*detail)(struct sg_why_build *w, const struct sg_why_item *item));

/* The texts with numbers put in, and what is missing where the root is not known. */
void sg_why_finish(struct sg_why_build *w);

/* ---- one stock, or a part of it (why_setup.c) ---- */

struct sg_why_place {
    int32_t stock_index, part_index; /* part_index SG_UNKNOWN: the stock itself */
    const struct sg_stock *stock;
    const struct sg_part *part; /* or NULL */
    const struct sg_head *head;
    const struct sg_material *material; /* or NULL */
    const struct sg_plan_stock *planned;
    const struct sg_plan_part *planned_part; /* or NULL */
    const struct sg_setup *setup;
    struct sg_target machine, of_head, of_stock, of_part;
};
struct sg_why_place sg_why_place_of(const struct sg_why_build *w, struct sg_target target);

/* One cut of a part with an outline (why_outline.c). */
void sg_why_outline_cut(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_outline_rapid(struct sg_why_build *w, const struct sg_why_place *at);

/* What its cut has in common with that of others (why_part.c): how far its traverse may be trusted, and its
 * cut, which slows at corners; a field of the part; its traverse. */
int sg_why_traverse_basis(const struct sg_why_place *at);
int sg_why_cut_basis(const struct sg_why_place *at);
struct sg_why_line *sg_why_part_field(struct sg_why_build *w, const struct sg_why_place *at,
                                      const char *field);
void sg_why_part_traverse(struct sg_why_build *w, const struct sg_why_place *at);

/* Numbers of a stock. */
void sg_why_traverse(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_separation(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_pierce(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_edge_cut(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_kerf(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_water(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_jet_velocity(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_jet_power(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_shaft_power(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_loading_ratio(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_garnet_feed(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_height(struct sg_why_build *w, const struct sg_why_place *at);
/* A field of the stock's material; where there is none, the stock's field `material` is what is missing. */
struct sg_why_line *sg_why_material(struct sg_why_build *w, const struct sg_why_place *at, const char *field,
                                    const char *symbol);

/* why_sheet.c */
void sg_why_sheet_mass(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_slat_load(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_load(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_stock_sheets(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_index_moves(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_part_sheets(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_part_sheets_line(struct sg_why_build *w, const struct sg_why_place *at, const char *name);

/* why_part.c */
int sg_why_part_basis(const struct sg_why_place *at, bool cut, bool pierce);
void sg_why_each(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_part_cut(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_part_pierce(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_part_rapid(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_part_garnet(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_part_mass(struct sg_why_build *w, const struct sg_why_place *at);
void sg_why_cuts(struct sg_why_build *w, const struct sg_why_place *at);

/* ---- sums of jobs and shifts (why_sums.c); index is the row's ---- */
void sg_why_job_cut(struct sg_why_build *w, int32_t index);
void sg_why_job_pierce(struct sg_why_build *w, int32_t index);
void sg_why_job_rapid(struct sg_why_build *w, int32_t index);
void sg_why_job_garnet(struct sg_why_build *w, int32_t index);
void sg_why_job_sheets(struct sg_why_build *w, int32_t index);
void sg_why_shift_cut(struct sg_why_build *w, int32_t index);
void sg_why_shift_pierce(struct sg_why_build *w, int32_t index);
void sg_why_shift_rapid(struct sg_why_build *w, int32_t index);
void sg_why_shift_garnet(struct sg_why_build *w, int32_t index);
void sg_why_shift_sheets(struct sg_why_build *w, int32_t index);
void sg_why_shift_water(struct sg_why_build *w, int32_t index);
void sg_why_shift_energy(struct sg_why_build *w, int32_t index);
/* Lines for the parts of a job, or of the whole shift (SG_UNKNOWN), that cannot be timed; the first few are
 * explained. How many there are. */
int32_t sg_why_untimed(struct sg_why_build *w, int32_t job);

/* ---- the run (why_run.c, why_refill.c) ---- */
void sg_why_job_starts(struct sg_why_build *w, int32_t index);
void sg_why_job_ends(struct sg_why_build *w, int32_t index);
void sg_why_job_late(struct sg_why_build *w, int32_t index);
void sg_why_shift_ends(struct sg_why_build *w, int32_t index);
void sg_why_shift_over(struct sg_why_build *w, int32_t index);
void sg_why_shift_hands_on(struct sg_why_build *w, int32_t index);
void sg_why_shift_waiting(struct sg_why_build *w, int32_t index);
void sg_why_shift_bags(struct sg_why_build *w, int32_t index);
void sg_why_shift_refills(struct sg_why_build *w, int32_t index);
void sg_why_shift_next_refill(struct sg_why_build *w, int32_t index);
/* "load 2601/1 sheet 2" */
const char *sg_why_event_name(struct sg_why_build *w, const struct sg_event *event);
/* When the machine is free before an event, s after the start. */
double sg_why_free_before(const struct sg_plan *plan, int32_t event);

#endif
