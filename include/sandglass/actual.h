/* What really happened: the shop's clocks and records read together, and the plan of what is left.
 *
 * Pure functions of the shop and of "now". Moments are local seconds since 1970-01-01 00:00, as people note
 * them: across a change of the clocks a stretch is an hour off. What was noted for later than now has not
 * happened yet. Nothing that was noted is refused here: what does not fit is mended, with a remark.
 *
 * A clock runs until the next stop, or until the next clock starts, or to now. Of equal moments: what ends
 * (stop, resume), and what was noted before it, comes before a clock that starts then, if one was running;
 * the rest after it. */
#ifndef SANDGLASS_ACTUAL_H
#define SANDGLASS_ACTUAL_H

#include "sandglass/arena.h"
#include "sandglass/plan.h"
#include "sandglass/study.h"

/* The machine stood. */
struct sg_actual_pause {
    int64_t from, until;
    int32_t clock;  /* index into the shop's clocks; SG_UNKNOWN: none was running */
    int32_t record; /* that began it */
    bool open;      /* it lasts */
};

struct sg_actual_clock {
    int64_t from, until; /* until is now while it runs */
    bool happened;       /* false: it is noted for later than now, and the rest says nothing */
    bool running;
    bool mended; /* nobody noted its end, and another clock started that is not its own load, cut or check */
    double paused; /* s of it */
    int32_t first_pause, n_pauses;
    int32_t stock;           /* of its place, SG_UNKNOWN: there is none any more */
    int32_t previous, next;  /* clocks of the same place, SG_UNKNOWN: none */
    int64_t good, scrapped;  /* pieces noted to it */
    struct sg_count *counts; /* of those, by part; NULL: none */
    int32_t stop;            /* record that ended it, SG_UNKNOWN: none did */
    bool counted;            /* any were noted */
    double share;            /* of its plan that they have; NaN: its plan does not tell parts apart */
    int64_t first_counted, counted_at; /* when the first and the last were */
    int64_t good_at;                   /* when good ones were the last time; its start, if never */
    double spoilt;                     /* share of its plan of those that were scrapped after that */
    double garnet_used; /* kg between level readings around it; NaN: not read, or not it alone between */
    double weighed;     /* g/min of one head, the last weighing in it, else while no cut ran before it; NaN:
                           none */
};

/* Pieces of a part. left_good and left_scrapped count since its job moved on with what was left, good and
 * scrapped all. */
struct sg_actual_part {
    int64_t good, scrapped, left_good, left_scrapped;
};

struct sg_actual_head {
    double tube, orifice;               /* s of jet since the last change, with the head's hours before */
    bool tube_changed, orifice_changed; /* since the log's start */
};

enum sg_actual_trust { SG_LEVEL_TYPED, SG_LEVEL_READ, SG_LEVEL_CARRIED };

/* What the hopper holds. From a reading, or from the machine's field, it is carried forward: fills are added,
 * garnet is taken as planned for what was cut. low and high are the ends of the ways to reckon what was
 * taken: as planned for the pieces that were counted, as planned for the time it took, by the last weighed
 * feed. */
struct sg_actual_hopper {
    double level, low, high;    /* kg */
    enum sg_actual_trust trust; /* READ: nothing was cut or filled since */
    int64_t since;              /* of the reading; SG_NO_MOMENT */
    double taken, filled;       /* kg since then */
    int32_t bags;               /* out of the stock of bags since the log's start; a mass opens whole ones */
};

enum sg_actual_odd {
    SG_ODD_MENDED,      /* a clock ended where another started, or when all its pieces were counted before */
    SG_ODD_STOP,        /* a stop without a clock */
    SG_ODD_PAUSE_TWICE, /* the second pause goes on from the first */
    SG_ODD_PAUSE_ALONE, /* a pause without a clock */
    SG_ODD_RESUME,      /* a resume without a pause */
    SG_ODD_NO_ROW,      /* what it is about is not in the shop */
    SG_ODD_MORE,        /* more pieces than were asked for */
    SG_ODD_LESS,        /* more taken back than was noted */
    SG_ODD_NO_COUNT,    /* pieces without a number: not counted */
    SG_ODD_OVERFULL,    /* more in the hopper than it holds */
    SG_ODD_EMPTY,       /* less than nothing in it */
    SG_ODD_UNCOUNTED    /* a cut is over, another was clocked, and nothing of it is counted */
};

struct sg_actual_remark {
    enum sg_actual_odd odd;
    int32_t clock, record, part; /* index into the shop's, SG_UNKNOWN: none */
    int32_t other;               /* of MENDED: the clock that started */
    bool counted;                /* of MENDED: it ended when all its pieces were counted */
    int64_t at;
    bool dated; /* at is on another day than now: told with its date */
    double amount;
};

struct sg_actual {
    int64_t now;
    /* The log's start: the last shift that was closed, else the start of the first that is open. What was
     * cut before it is in the fields of machine, heads and chores. */
    int64_t since;
    int32_t since_record; /* the record of that close: what comes behind it counts; SG_UNKNOWN: none */
    struct sg_actual_clock *clocks; /* by index of the shop's clocks */
    struct sg_actual_part *parts;   /* by index of the shop's parts */
    struct sg_counts *counts;       /* of pieces */
    int32_t *moved_loads;           /* by index of the shop's stocks: loads cut before its job moved on */
    struct sg_actual_head *heads;   /* by index of the shop's heads */
    double *chores;                 /* by index of the shop's chores: s of the counter, of pump and table */
    int32_t *chore_days;            /* day of the last service */
    struct sg_actual_pause *pauses; /* in order; those of a clock one after another */
    int32_t n_pauses;
    struct sg_actual_remark *remarks; /* in order of time, then of what is not counted, then of the hopper */
    int32_t n_remarks;
    int32_t running; /* index of the clock that runs, else SG_UNKNOWN */
    int32_t last;    /* the last clock that started, else SG_UNKNOWN */
    bool paused;
    struct sg_actual_hopper hopper;
    double sludge; /* kg in the tank */
    double jet;    /* s of jet since the log's start */
};

/* Read the log. In the arena; false: no memory. */
bool sg_actual_make(const struct sg_shop *shop, int64_t now, struct sg_arena *arena, struct sg_actual *out);

/* s that a clock was to take by its plan; NaN where that is not known. And how much of the plan is in the
 * pieces that were cut (good and scrapped), where they were counted: by what each part has of it. */
double sg_clock_planned(const struct sg_clock *clock);
double sg_clock_scale(const struct sg_clock *clock, const struct sg_actual_clock *actual);

/* until - from without the pauses. */
double sg_actual_net(const struct sg_actual_clock *actual);

/* The same from a moment on. */
double sg_actual_net_from(const struct sg_actual *actual, int32_t clock, int64_t from);

/* Whether a cut was stopped before anything was counted, and its sheet is gone on with: for the first check,
 * or by the next cut, which says that it is on the same sheet. */
bool sg_actual_cut_short(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* Whether a cut ended before anything was counted, and is taken not to be finished: the stop, or the start
 * that mended its end, came before half of the time that was planned, or a stop with a reason before three
 * quarters of it. */
bool sg_actual_broke_off(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* Whether a cut is over and none of the above, and nobody counted a piece of it: it is taken to be finished,
 * and its pieces to be cut, but not to be done. */
bool sg_actual_uncounted(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* Whether all pieces of a clock were counted, and nothing says that it went on after that. */
bool sg_actual_all_counted(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* s that were cut so of the sheet of a clock before it, without pauses. */
double sg_actual_before(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* The cut whose sheet a cut goes on with, which both say: it was counted in part and stopped, for the first
 * check or because something went wrong. SG_UNKNOWN: none. */
int32_t sg_actual_goes_on_with(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* A cut from its beginning to its end: a clock together with the cuts of its sheet before it: those that were
 * stopped for the first check before anything was counted are in its plan; those that were counted in part
 * have a plan of their own, which is added. */
struct sg_actual_run {
    double scale;         /* of its plan, by the pieces that were cut */
    double planned, took; /* s: of the pieces that were cut, NaN where that is not known; without pauses */
    double before;        /* s of took that other clocks cut before it */
};

/* Why a cut says nothing of how long it takes. */
enum sg_actual_left_out {
    SG_LEFT_NOTHING,   /* it says it */
    SG_LEFT_NO_CUT,    /* no cut, not over yet, or part of the run of the cut behind its check */
    SG_LEFT_SHORT,     /* stopped before anything was counted, and no cut went on with it */
    SG_LEFT_FORGOTTEN, /* nobody knows when it ended: the next cut was clocked without a stop */
    SG_LEFT_SPOILT,    /* no piece was good: nobody knows how much of it was cut */
    SG_LEFT_GONE,      /* its material or head is no longer in the shop (of study runs alone) */
    SG_LEFT_WHYS
};

/* What the joined cut of a clock took; of another phase its own plan and time. Studies, repeat and lists read
 * the same. out may be NULL. */
enum sg_actual_left_out sg_actual_run_of(const struct sg_shop *shop, const struct sg_actual *actual,
                                         int32_t clock, struct sg_actual_run *out);

/* s of its plan that a clock has: where a load was cut by several, each that was stopped for the check has as
 * much as it took, and the last the rest. So took - share is counted once. NaN where it is not known. */
double sg_actual_share(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* "clock on 2604/1 ended at 11:43, where 2605/1 started". As snprintf returns. */
int sg_actual_remark_text(const struct sg_shop *shop, const struct sg_actual_remark *remark, char *out,
                          size_t size);

/* The stock, part that a text names now; SG_UNKNOWN where there is none. */
int32_t sg_actual_stock(const struct sg_shop *shop, const char *place);
int32_t sg_actual_part_of(const struct sg_shop *shop, const char *place);

/* Pieces of a part that are left to cut: quantity - done, and of the scrap allowed for what has not happened;
 * 0 when the quantity is done. */
int64_t sg_actual_left(const struct sg_part *part, const struct sg_actual_part *done);

/* From when to when the log is a shift's: from its start, or from when people came a little before, or from
 * the close of the shift before; to its own close, or to the start of work on another shift's jobs, at most
 * to INT64_MAX. until is not in it, its close is. */
void sg_actual_window(const struct sg_shop *shop, int32_t shift, int64_t *from, int64_t *until);

/* The shift whose log an act of that moment is in: of two, that of the last clock by then, else the one that
 * starts last; SG_UNKNOWN: in none. */
int32_t sg_actual_shift_at(const struct sg_shop *shop, int64_t at);

/* What of the log is in no shift's window, by index of the shop's clocks and records. In the arena; false: no
 * memory. */
struct sg_actual_outside {
    bool *clocks, *records;
};
bool sg_actual_outside(const struct sg_shop *shop, struct sg_arena *arena, struct sg_actual_outside *out);

/* Rows of the log in order of time, from a moment to one that is not in it; of those only what is marked,
 * unless only is NULL. Start with clock and record 0. */
struct sg_log_walk {
    const struct sg_shop *shop;
    int64_t from, until;
    const struct sg_actual_outside *only;
    int32_t clock, record; /* that are looked at next */
};

/* The next row: index of its clock or of its record, the other SG_UNKNOWN. False at the end. */
bool sg_log_next(struct sg_log_walk *walk, int32_t *clock, int32_t *record);

/* The pause that a record began, NULL for none. */
const struct sg_actual_pause *sg_actual_pause_of(const struct sg_actual *actual, int32_t record);

/* "cut", "scrapped": of an enum sg_phase, an enum sg_record_what. */
const char *sg_phase_word(int32_t phase);
const char *sg_record_word(int32_t what);

/* " 3 bags", " 310 g/min", " 6": what a record counts or weighs, with a blank in front; "" nothing. */
void sg_record_amount(const struct sg_shop *shop, const struct sg_record *record, char *out, size_t size);

/* Whether a shift is near: from 12 h before one starts to 12 h after it ends. */
bool sg_actual_near_shift(const struct sg_shop *shop, int64_t at);

/* Bags that hold so many kg, of a shop that fills from bags; and how many bags are left in stock when those
 * that the log put in are out of it. */
int32_t sg_bags_for(const struct sg_shop *shop, double mass);
int32_t sg_bags_left(const struct sg_shop *shop, const struct sg_actual *actual);

/* What is on hand of a stock's remnants and whole sheets when so many loads of it are cut. */
void sg_use_up_sheets(struct sg_stock *stock, int64_t loads);

/* Loads of a stock that were cut since its job moved on. */
int64_t sg_actual_loads_cut(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock);

/* ---- the rest ---- */

/* A shop in which the shifts that have begun start now with what is left. Rows keep their keys and not their
 * indexes: the stock under the clock comes first in its shift. */
struct sg_rest {
    struct sg_shop shop;
    int32_t shift; /* of the work under the clock, else of the last work, else the first one that is open */
    int64_t now;
    double now_epoch; /* of now */
    double busy;      /* s from now to when it starts: the load or first check under the clock ends then */
};

/* now_epoch is now in seconds since the epoch. The rest borrows from shop and actual; its arrays lie in the
 * arena. False: no memory. */
bool sg_actual_rest(const struct sg_shop *shop, const struct sg_actual *actual, double now_epoch,
                    struct sg_arena *arena, struct sg_rest *out);

/* The earliest clock of a shift, for the end that was planned then: local seconds, SG_NO_MOMENT. */
int64_t sg_actual_planned_end(const struct sg_shop *shop, const struct sg_actual *actual, int32_t shift);

/* Whether a first check of a stock, by its key, was clocked. */
bool sg_actual_was_checked(const struct sg_shop *shop, const struct sg_actual *actual, const char *stock);

/* The last cut of a stock that happened, SG_UNKNOWN: none; and whether something is left of what a cut began.
 */
int32_t sg_actual_last_cut(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock);
bool sg_actual_half_cut(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* Number of the sheet that would be cut next of a stock, from 1; on = it lies there half cut. */
int32_t sg_actual_next_sheet(const struct sg_shop *shop, const struct sg_actual *actual, int32_t stock,
                             bool *on);

/* Fill a clock from the plan of the rest, for the next `sheets` loads of a stock of the rest; what it does
 * not plan is not known. id, row, place, sheet and note are left as they are; strings are borrowed. Returns
 * how many loads it has plans for. */
int32_t sg_clock_take(const struct sg_rest *rest, const struct sg_plan *plan, int32_t stock, int32_t sheets,
                      struct sg_clock *clock);

/* What lies on the loads that sg_clock_take planned, for struct sg_clock.lies: in the arena; "" where that is
 * not known; NULL: no memory. */
const char *sg_clock_lies(const struct sg_rest *rest, const struct sg_plan *plan, int32_t stock,
                          const struct sg_clock *clock, struct sg_arena *arena);

/* Pieces of a part on a load of a clock. */
struct sg_lies {
    int32_t pieces;
    int32_t loads;    /* that are alike */
    int32_t group;    /* of loads that are alike, from 1; 0: its loads are not told apart */
    double share;     /* of the clock's plan that one piece has */
    const char *part; /* id in its stock, so many bytes of it */
    size_t length;
};

/* Make a clock that was filled by sg_clock_take one that goes on with the sheet of an earlier one: what is
 * left of that one's plan, by its counts up to now. Its texts lie in the arena. False where it does not tell
 * what lies there, or nothing is left on it; *out_of_memory where that is why. */
bool sg_clock_go_on(const struct sg_shop *shop, const struct sg_actual *actual, int32_t before,
                    struct sg_arena *arena, struct sg_clock *clock, bool *out_of_memory);

/* End the cut that runs on a stock now, as the start of its next sheet will, if it is taken to be finished
 * then. */
void sg_actual_end_forgotten(const struct sg_shop *shop, struct sg_actual *actual, int32_t stock);

/* Pieces of a part, by its index, that were counted to a clock, good or scrapped. */
int64_t sg_actual_counted(const struct sg_actual *actual, int32_t clock, int32_t part);

/* The clock to which good pieces go that are counted while a cut runs or after it: the cut itself, or where
 * cuts of its stock just before it were over before anything of them was counted, the oldest of those; each
 * up to what lies there. */
int32_t sg_actual_counts_from(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* Pieces on a clock's loads that are not counted to it; and s of its plan that they have, less what is cut of
 * them: below 0 it takes so much longer than planned; NaN: not known. */
int64_t sg_actual_pieces_left(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);
double sg_actual_to_go(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* s of its plan that a cut was cut and nothing is counted for: since good pieces were, without what was
 * spoilt since; of one that was stopped only where nothing was counted at all. */
double sg_actual_gone(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock);

/* Start with this; the line that is read next needs the one before it. */
#define SG_LIES_START ((struct sg_lies){.loads = 1})

/* The next line of a text that sg_clock_lies made; false at the end, or at what it cannot be. */
bool sg_lies_next(const char **text, struct sg_lies *out);

/* All that lies of a part, by its id, on the loads together; false where none does, or nobody knows. */
bool sg_lies_find(const struct sg_clock *clock, const char *part, struct sg_lies *out);

/* Pieces of a part (of the rest) on the same loads of its stock. */
int64_t sg_rest_pieces(const struct sg_rest *rest, const struct sg_plan *plan, int32_t part, int32_t sheets);

/* ---- studies ---- */

/* Runs of the clocked cuts that are over, joined, in order of time; *left_out: how many say nothing.
 * clocks (may be NULL) gets the index of each run's clock. In the arena; false: no memory. */
bool sg_actual_runs(const struct sg_shop *shop, const struct sg_actual *actual, struct sg_arena *arena,
                    struct sg_study_run **runs, int32_t **clocks, int32_t *n, int32_t *left_out);

/* How many are left out for each reason. */
void sg_actual_left_out(const struct sg_shop *shop, const struct sg_actual *actual, int32_t n[SG_LEFT_WHYS]);

#endif
