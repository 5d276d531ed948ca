/* What the files of the Trade-offs screen share: the steps along a setting, computed one by one. */
#ifndef SANDGLASS_TUI_TRADE_H
#define SANDGLASS_TUI_TRADE_H

#include "exchange/sweep_render.h"
#include "sandglass/arena.h"
#include "tui/budget.h"
#include "tui/what_ifs.h"

/* Room for steps, and how many there are at most where no finer ones are asked for: the same on every
 * terminal, so that what is best does not hang on its size. */
enum { SG_TRADE_STEPS = 30, SG_TRADE_USUAL = 25 };

struct sg_trade {
    struct sg_planner *planner; /* its memory makes the next steps quick */
    struct sg_arena arena;      /* of the steps that are being made */
    enum sg_sweep_field field;
    int64_t stock_row; /* only that stock is changed; 0: all of the job */
    int finer;         /* how often finer steps were asked for; below 0: coarser */
    bool part;         /* finer steps than are shown: those around where one stands, and the ends */
    int limit;         /* how far that goes past what there is */
    double stood;      /* the value on which one stands; NaN: where the job is now */
    int shown;         /* the step that the draft holds, -1: to be put into it */
    int generation;    /* of the steps: a line of others is another line */
    bool keep;         /* the lines are built of what is known: nothing has changed */

    struct sg_sweep_input input;
    double value_now, tube_now;                           /* NaN: heads or stocks differ */
    double values[SG_TRADE_STEPS], tubes[SG_TRADE_STEPS]; /* canonical, rising */
    struct sg_sweep_step steps[SG_TRADE_STEPS], now;
    int n_steps, n_done;
    double allowed, refused;         /* the largest allowed value lies between; NaN: not looked for yet */
    struct sg_sweep_step of_allowed; /* the step of the first of them */
    bool narrowed;                   /* it is found, and is a step */
    bool has_now;                    /* `now` is computed */
    struct sg_sweep sweep;           /* of the steps that are done; the best are told when all are */
    char problem[SG_MESSAGE];        /* why there are none; "" */
    char hidden[80];                 /* columns that have no room */
};

/* Choose the values anew; none is computed yet. Always among them: the least and the most that are worth
 * trying, the most being allowed, and what is now. (trade.c) */
void sg_trade_start(struct sg_trade *trade, const struct sg_shop *shop, int32_t job, int32_t stock);

/* Compute steps while the budget lasts; whether there are more to compute. */
bool sg_trade_pending(const struct sg_trade *trade);
void sg_trade_go_on(struct sg_trade *trade, struct sg_budget budget);

struct sg_sweep_view sg_trade_view(const struct sg_trade *trade, int width);
bool sg_trade_is_now(const struct sg_trade *trade, const struct sg_sweep_step *step);

/* The edits that make the shop so, to be freed; NULL where memory is out. In an order in which each may be
 * made by itself. (trade_edits.c) */
struct sg_edit *sg_trade_edits(const struct sg_trade *trade, const struct sg_sweep_step *step, int *n);

/* The table as lines: each has the index of its step in `first` and a row that is not 0; fills `hidden`.
 * (trade_lines.c) */
void sg_trade_lines(struct sg_ui *ui, struct sg_trade *trade);
/* The best of the steps in a line, and that only they are compared; room is in columns. */
void sg_trade_best(const struct sg_trade *trade, int room, char *out, size_t size);
/* A step in words, for a screen reader. */
void sg_trade_say(const struct sg_trade *trade, const struct sg_sweep_step *step, char *out, size_t size);

#endif
