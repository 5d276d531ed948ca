/* The run: what happens at the machine, event after event, from the start of a shift to the last cut.
 *
 * Two calendars: people are there outside breaks, the machine may cut through a break or not. Garnet is taken
 * from the hopper and refilled by the rule below. The run knows nothing of speeds and materials: it gets
 * batches of equal cuts.
 *
 * Order at a new sheet: the shop's own chores of shift and job, head change, tube or orifice change, service
 * that would fall due on it, load, refill if due; then cuts; chores of piece and sheet; the first check comes
 * after the first cut of a stock; an index move before the first cut beyond the table; tabs are broken after
 * the sheet. An event that needs a person and would start in a break waits for its end; one that has started
 * runs on. One person: such events never overlap.
 *
 * Refill rule. Before each boundary (a piece, or a sheet by setting; a piece where a full hopper cannot cover
 * the sheet; any point inside where it cannot cover a piece): due when level - take(to the next boundary) <
 * low line - 1e-9 kg. Then min(floor((capacity - level)/bag + 1e-9), stock) bags go in (`enough`: no more
 * than the rest of the run asks for); if still due and there is a bag, one more fills to the brim. A piece
 * that takes no garnet is never due. As late as possible and filling up is the fewest stops; the tests prove
 * it against exhaustive search.
 *
 * Arithmetic: a stretch of equal cuts without an event is stepped from its own start (time0 + k each, level0
 * - k take), so stepping in bulk and restarting in the middle give the same bits. Times are seconds after the
 * start of the shift. Basis: derived; the order of events is common practice of the trade. */
#ifndef SANDGLASS_RUN_H
#define SANDGLASS_RUN_H

#include "sandglass/shop.h"

/* Equal cuts of one part, one after another, on a sheet. */
struct sg_batch {
    int32_t job, stock, part;  /* carried into the events, not looked at */
    int32_t head;              /* the same for all of a sheet */
    int32_t sheets;            /* index of the sheets it lies on */
    int64_t cuts;              /* on one of them, at least 1 */
    int32_t moves;             /* index moves that are done on the sheet before its first cut */
    double cut, pierce, rapid; /* s of one cut of each kind */
    double garnet;             /* kg of one cut */
    int32_t stack;             /* pieces of one cut, for chores; 0 is 1 */
    double tabs;               /* s of breaking the tabs of one cut, after the sheet */
    double first_check;        /* s, after its first cut on the first of its sheets; 0 for none */
};

/* Sheets of one stock that are cut alike: their batches in order, those that need fewer index moves first. */
struct sg_sheets {
    int32_t job;      /* for its chores */
    int32_t first, n; /* batches, at least one */
    int64_t copies;   /* at least 1; a stack counts as one */
    int32_t before;   /* sheets of the stock before these, for numbering */
    double load;      /* s */
};

enum sg_event_kind {
    SG_EVENT_HEAD_CHANGE,
    SG_EVENT_TUBE_CHANGE,
    SG_EVENT_ORIFICE_CHANGE,
    SG_EVENT_LOAD,
    SG_EVENT_REFILL,
    SG_EVENT_CUT,
    SG_EVENT_FIRST_CHECK,
    SG_EVENT_INDEX_MOVE,
    SG_EVENT_TABS,          /* tabs are broken */
    SG_EVENT_CHORE,         /* hands-on work of the shop's own */
    SG_EVENT_OUT_OF_GARNET, /* the run stops here */
    SG_EVENTS
};

enum sg_event_flag {
    SG_EVENT_AFTER_SHIFT = 1 << 0,   /* a person's event that starts after the shift's end */
    SG_EVENT_IN_CUT = 1 << 1,        /* a refill inside a cut, or a part of a piece before or after it */
    SG_EVENT_PART_BAG = 1 << 2,      /* the last bag filled to the brim, the rest of it is left over */
    SG_EVENT_WHILE_CUTTING = 1 << 3, /* a refill that does not stop the machine */
    SG_EVENT_LONG_PIECE = 1 << 4,    /* a piece longer than any gap between breaks was started anyway */
};

struct sg_event {
    double at; /* s, when it starts */
    double seconds;
    double asked;  /* s, when the machine was ready for it; at - asked is what it waited */
    double level;  /* kg in the hopper when it starts */
    double garnet; /* kg: added by a refill, taken by cutting */
    int32_t batch;
    int32_t sheet;  /* of those that are cut alike, from 1 */
    int64_t first;  /* cut of the batch on the sheet, from 0, at or before which it happens */
    int64_t cuts;   /* of CUT: how many; 0 for a part of one */
    int32_t bags;   /* of REFILL */
    int16_t chore;  /* of CHORE: index into the chores */
    uint16_t kind;  /* enum sg_event_kind */
    uint16_t flags; /* enum sg_event_flag */
};

/* Where a refill is wanted although it is not due: before cut `cut` (from 0) of a batch on sheet `sheet`
 * (from 1) of those that are cut alike. */
struct sg_refill_place {
    int32_t batch, sheet;
    int64_t cut;
};

struct sg_run_input {
    const struct sg_calendar *calendar;
    double start;   /* s: the machine is free; 0 but where the shift before ran over */
    bool sheet_on;  /* the first sheet lies on the table already: it needs no load */
    bool job_begun; /* the first job's own chores are done */
    const struct sg_chore *chores;
    int32_t n_chores;
    int32_t date; /* of the shift, for services by the calendar */
    bool run_in_breaks;
    const struct sg_machine *machine; /* hopper, refill, changes */
    const struct sg_head *heads;
    int32_t n_heads;
    const struct sg_batch *batches;
    const struct sg_sheets *sheets; /* in order of the run; their batches lie one behind the other */
    int32_t n_sheets;
    const struct sg_refill_place *places; /* in order of the run */
    int32_t n_places;
};

/* More events than any shift has; a typing mistake in a hopper or a quantity must not eat the machine. */
enum { SG_RUN_MAX_EVENTS = 2000000 };

struct sg_run {
    struct sg_event *events; /* owned; in the order in which they are asked for */
    struct sg_event spare;   /* written to when memory is out */
    int32_t n_events, room;
    double *rest;  /* owned scratch: garnet of sheets i and all after them */
    double *hours; /* owned: seconds on the tube of each head, then on the orifice of each, then those that
                      each chore that falls due has counted; of the calendar since its last day */
    int32_t rest_room, hours_room;
    bool failed;                   /* memory ran out: nothing else is valid */
    bool finished;                 /* false: out of garnet */
    double end;                    /* s of the last cut's end; of the stop if not finished */
    double hands_on, waiting;      /* s, only what stops the machine */
    double level_end;              /* kg */
    int32_t bags_left, fitted_end; /* bags in stock and head at the end; hours holds the wear then */
    int32_t refills, bags, bags_short;
    double bags_kg; /* put into the hopper */
};

/* s that a chore which falls due has counted at the start of a shift of that day; INFINITY: it was never done
 * by the calendar. */
double sg_chore_counted(const struct sg_chore *chore, int32_t date);

/* Run the sheets. `run` starts as {0} and may be used again: its memory is kept, so that a second run of no
 * more events allocates nothing. */
void sg_run_simulate(const struct sg_run_input *input, struct sg_run *run);
void sg_run_free(struct sg_run *run);

/* The same with refill_when = least_wait: among plans with as few refills as the latest rule has, the one
 * that ends first (of equals the latest). Tries places before a break, at a sheet and just early enough;
 * counted work, the same answer on every machine. `scratch` is a second run like `run`. */
void sg_run_least_wait(const struct sg_run_input *input, struct sg_run *run, struct sg_run *scratch);

/* Whether an event of that kind needs a person, and its word ("load", "head change"). */
bool sg_event_needs_person(int kind);
const char *sg_event_word(int kind);

/* Whether the run asks for no person in from..to: no person's event starts or waits in it. *event (may be
 * NULL) is the first that does, or -1. */
bool sg_run_alone(const struct sg_run *run, double from, double to, int32_t *event);

/* What one of the sheets takes: kg of garnet, s of the jet (cut and pierce). `batches` are those of the run.
 */
double sg_sheets_garnet(const struct sg_sheets *sheets, const struct sg_batch *batches);
double sg_sheets_jet(const struct sg_sheets *sheets, const struct sg_batch *batches);

/* Seconds of the longest stretch between breaks within the shift. */
double sg_run_longest_gap(const struct sg_calendar *calendar);

/* The hopper over time: calls point(context, at, level) before and after each change of slope, in order. */
void sg_run_hopper(const struct sg_run *run, void (*point)(void *context, double at, double level),
                   void *context);

#endif
