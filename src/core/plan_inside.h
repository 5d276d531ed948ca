/* What the files of the planner share. */
#ifndef SANDGLASS_PLAN_INSIDE_H
#define SANDGLASS_PLAN_INSIDE_H

#include "sandglass/common_line.h"
#include "sandglass/cut_order.h"
#include "sandglass/layout.h"
#include "sandglass/plan.h"
#include "sandglass/room.h"
#include "sandglass/sheet.h"

/* What a setup depends on besides machine, heads and materials; a stock with the same inputs keeps its setup.
 */
struct sg_setup_inputs {
    double thickness, edge, feed_override, feed, pierce_seconds;
    int32_t stack, pierce, material, head; /* stack 0: no setup is held */
};

/* The first sheets on which a part lies whose time is not known: its job, and the sheets before them. The run
 * ends there. */
struct sg_barrier {
    int32_t job, sheets; /* job SG_UNKNOWN: there is none */
};

/* Pieces of a part while they are counted: on the sheet looked at last, at most on one, on all. */
struct sg_part_count {
    int64_t on, most, laid;
    int32_t of;
};

/* The setups of the last plan, by stock of the shop. They hold while machine, heads and materials are as
 * copied. */
struct sg_setup_memory {
    struct sg_machine machine;
    struct sg_head *heads;
    struct sg_material *materials;
    struct sg_setup_inputs *inputs;
    struct sg_setup *setups;
    int32_t n_heads, n_materials, n_setups;
    /* What the pieces of each stock of the last plan were made from, and where its batches ended. */
    struct sg_stock *stocks;
    struct sg_part *parts;
    struct sg_stock_memory {
        int32_t first_batch, end_batch, first_sheets, end_sheets;
        struct sg_barrier stop;
    } * made;
    int32_t shift, first_stock, n_stocks, first_part, n_parts; /* of that plan; n_stocks 0: nothing is held */
    int32_t stocks_room, parts_room, made_room;
    int32_t heads_room, materials_room, inputs_room, setups_room;
    uint64_t *prints; /* of the shop's outlines */
    int32_t n_prints, prints_room;
};

struct sg_planner {
    struct sg_plan plan;
    struct sg_setup_memory memory;
    struct sg_head *heads;          /* as the shift that is planned finds them */
    struct sg_chore *chores;        /* likewise */
    int32_t *chain;                 /* shifts planned before it, in order */
    struct sg_refill_place *places; /* refills wanted although they are not due */
    int32_t places_room;
    int32_t heads_now_room, chores_room, chain_room;
    struct sg_run scratch; /* of the least-wait search */
    unsigned *head_marks;  /* marks of each head already said in this plan */
    bool *material_said;
    struct sg_batch *protos; /* of the parts of the stock at hand: what their batches have in common */
    struct sg_part_count *counts;
    struct sg_stock_sheets **stock_sheets; /* layouts by stock of the shop (plan_sheets.c) */
    struct sg_layout work;
    struct sg_nest *nest;
    struct sg_layout_part *pulled; /* the boxes on one sheet (plan_pull.c) */
    int32_t pulled_room;
    struct sg_common_side *sides; /* of the pieces on one sheet (plan_common.c) */
    int32_t sides_room;
    struct sg_cut_key *cut_keys;
    struct sg_placement *cut_scratch;
    int32_t protos_room, counts_room, stock_sheets_room, cut_keys_room, cut_scratch_room, sheets_room;
    int32_t jobs_room, stocks_room, parts_room, batches_room, cautions_room, heads_room, materials_room;
    struct sg_barrier stop;
    struct sg_motions *motions; /* times along outlines (plan_outline.c); NULL: none asked for yet */
    bool failed;                /* memory ran out */
};

/* Make room for `need` items of an array whose memory is kept. False (and failed) when memory is out. */
bool sg_planner_room(struct sg_planner *planner, void *array, int32_t *room, int32_t need, size_t item);

/* Forget the setups unless machine, heads and materials are as they were; make room for those of the shop's
 * stocks (plan_memory.c). */
void sg_plan_remember(struct sg_planner *planner, const struct sg_shop *shop);

/* The setup of a stock: the remembered one where its inputs are the same, else computed. */
void sg_plan_setup(struct sg_planner *planner, const struct sg_shop *shop, int32_t stock, int32_t head,
                   struct sg_setup *out);

/* Whether plan.stocks, plan.parts and plan.batches still hold what this stock makes, its first batch being
 * the next; then the batches are counted as made. `index` is of the shop. */
bool sg_plan_recall(struct sg_planner *planner, const struct sg_shop *shop, int32_t index);

/* Note that the stock was made, from first_batch and its first sheets on. */
void sg_plan_note(struct sg_planner *planner, const struct sg_shop *shop, int32_t index, int32_t first_batch,
                  struct sg_barrier stop);

/* Lay out the parts of a stock by their cuts, and push its sheets and batches, which are made from protos
 * (plan_sheets.c). density kg/m3, NaN: not known. */
void sg_plan_sheets(struct sg_planner *planner, const struct sg_shop *shop, int32_t index, double density);
void sg_plan_sheets_free(struct sg_planner *planner);

/* Push sheets that are cut alike, then their batches: so many cuts of a part, behind so many index moves.
 * NULL, false: no memory. */
struct sg_sheets *sg_plan_push_sheets(struct sg_planner *planner, const struct sg_sheets *sheets);
bool sg_plan_push_batch(struct sg_planner *planner, const struct sg_batch *of_part, int64_t cuts,
                        int32_t moves);

/* Push the loads of a stock that are begun, as the first; like->before counts them (plan_begun.c). */
void sg_plan_begun(struct sg_planner *planner, const struct sg_machine *machine, const struct sg_stock *stock,
                   struct sg_sheets *like);

/* How many remnants of a stock are too wide for the table, as they would have to lie: no sheet is one of
 * them.
 */
int64_t sg_plan_remnants_off_table(const struct sg_machine *machine, const struct sg_stock *stock);

/* Whether neighbours of a stock share their cuts: it asks for that, the kerf mm is known, and every part that
 * is cut has straight sides (plan_common.c). */
bool sg_plan_is_common(const struct sg_shop *shop, const struct sg_stock *stock, double kerf);

/* mm between the edges of neighbours that share no cut: the gap, but never less than the kerf mm, NaN: not
 * known. */
double sg_plan_spacing(const struct sg_stock *stock, double kerf);

/* Count what the common lines of a layout spare. False when memory is out. */
bool sg_plan_common(struct sg_planner *planner, struct sg_plan_layout *layout);

/* Pull the pieces of each sheet to the loading end where that saves an index move (plan_pull.c). `boxes` is
 * what was laid out. False: no memory. */
bool sg_plan_pull(struct sg_planner *planner, struct sg_plan_layout *layout,
                  const struct sg_layout_input *boxes, double table_length);

/* s to load a stack of sheets of that mass each, kg, NaN: not known (plan_pieces.c). */
double sg_plan_load(const struct sg_machine *machine, const struct sg_stock *stock, double sheet_mass);

/* Setups and pieces of every stock of the shift, and the batches of the run (plan_pieces.c). */
void sg_plan_pieces(struct sg_planner *planner, const struct sg_shop *shop);

/* One cut of a part with an outline (plan_outline.c). Seconds NaN where the feed is not known; failed where
 * memory ran out. */
void sg_plan_outline(struct sg_planner *planner, const struct sg_shop *shop, const struct sg_stock *stock,
                     const struct sg_part *part, const struct sg_setup *setup, struct sg_plan_split *out);
void sg_plan_motions_free(struct sg_motions *motions);

/* mm of lag of the jet at a feed, 0 of a water-only head and where the separation speed is not known; mm of
 * radial error permitted at an edge of 1 to 5. */
double sg_jet_lag(const struct sg_setup *setup, double traverse);
double sg_edge_error(const struct sg_machine *machine, double edge);

/* Everything worth saying (plan_cautions.c): of the setups, sheets and parts before the run, then of the run.
 */
void sg_plan_cautions(struct sg_planner *planner, const struct sg_shop *shop);

#endif
