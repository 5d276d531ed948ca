/* Money: what a job costs the shop and what it is sold for, with its split, and price breaks by quantity. Tax
 * is left out.
 *
 * A price does not hang on what else is cut that day, nor on the shift: the job is planned alone, from a full
 * hopper, with the head on that is fitted on the machine, bags enough, no break and no closed day. Waiting is
 * not charged. So a copy of the job costs the same to the cent in any shift. Tubes and orifices are as worn
 * as the heads say.
 *
 * Rows:
 * - machine: cutting, piercing, rapids, and everything by hand that stops the machine
 * - labour: everything by hand: loads, first check, index moves, tabs, head change, refills, changes, chores;
 *   somebody who stands by while it cuts belongs into the machine's rate
 * - power, water: while the jet is on; kWh at the pump's shaft
 * - garnet, disposal: all garnet used, scrap too
 * - tube, orifice: jet seconds over the life of each, times the heads that cut together
 * - material: whole sheets that the layout takes; a remnant by its area in whole sheets; nothing for sheets
 * of the customer's; what is left over is the customer's gain, not the price's
 * - set-up: once a job
 * - addition: a mark-up on all of these, or a margin of the price
 * - minimum: what is missing to the minimum price
 *
 * Chores of the shift (a warm-up) are the job's by the share of SG_COST_SHIFT that its machine time takes, at
 * most all of them. A service is not waited for but paid by the share of its interval that the job uses up;
 * one by the calendar as a chore of the shift, over its days.
 *
 * What parts share is dealt out: a head change and first check to the parts of the stock they are for, and
 * set-up and chores of job and shift to its parts, by cutting seconds (cut, pierce, rapid); loads, index
 * moves, chores of a sheet and the sheets by the share of the sheets (by cutting seconds where that is not
 * known); tabs and chores of a piece to the pieces they are for; refills by garnet; tube and orifice changes
 * by jet seconds on that head.
 *
 * Money is counted in whole smallest units ("cents") and rounded once: the job's price is rounded, its rows
 * get whole cents by largest remainder, and each row deals its cents to the parts by largest remainder, where
 * a part that came off badly in the rows before comes first. So rows add up to a part's price, parts to the
 * job's, rows of the parts to the job's row, to the cent; like parts differ by no more than a cent.
 *
 * A rate that is not known (NaN) is never taken for 0: the row lacks it, and so says the total. What is not
 * used needs no rate. Basis of the sums: derived; of the rates: typed; of the times: as the plan. */
#ifndef SANDGLASS_COST_H
#define SANDGLASS_COST_H

#include "sandglass/arena.h"
#include "sandglass/plan.h"

enum { SG_PRICE_BREAKS_MAX = 100 };

/* s of open time over which the chores of a shift are charged, whatever the length of the job's own: a fresh
 * shift's. Basis: practice. */
enum { SG_COST_SHIFT = 8 * 3600 };

/* The rows of a split. */
enum sg_cost_row {
    SG_COST_MACHINE,
    SG_COST_LABOUR,
    SG_COST_POWER,
    SG_COST_WATER,
    SG_COST_GARNET,
    SG_COST_DISPOSAL,
    SG_COST_TUBE,
    SG_COST_ORIFICE,
    SG_COST_MATERIAL,
    SG_COST_SETUP,
    SG_COST_ADDITION, /* mark-up or margin */
    SG_COST_MINIMUM,
    SG_COST_ROWS
};

/* Why something is not known; bits of a row, or of all of them. */
enum sg_cost_lack {
    SG_LACK_MACHINE = 1 << 0, /* rates */
    SG_LACK_LABOUR = 1 << 1,
    SG_LACK_POWER = 1 << 2,
    SG_LACK_WATER = 1 << 3,
    SG_LACK_GARNET = 1 << 4,
    SG_LACK_DISPOSAL = 1 << 5,
    SG_LACK_TUBE = 1 << 6,
    SG_LACK_ORIFICE = 1 << 7,
    SG_LACK_SHEET_PRICE = 1 << 8,
    SG_LACK_SETUP = 1 << 9,
    SG_LACK_ADDITION = 1 << 10,
    SG_LACK_TUBE_LIFE = 1 << 11, /* of the head */
    SG_LACK_ORIFICE_LIFE = 1 << 12,
    SG_LACK_SHEETS = 1 << 13, /* how many it takes */
    SG_LACK_TIME = 1 << 14,   /* a part cannot be timed */
    SG_LACK_RUN = 1 << 15,    /* the plan stops before the job is done */
    SG_LACK_REST = 1 << 16,   /* of MINIMUM: another row is not known */
    SG_LACKS = 17
};

/* Why a piece costs less, or more, in another quantity. Each is a share of the price, mark-up in it. */
enum sg_price_cause {
    SG_CAUSE_CUTTING, /* machine time of the cut itself, power, water, garnet, wear, work on each piece */
    SG_CAUSE_SETUP,   /* set-up, head change, first check, chores of job and shift */
    SG_CAUSE_SHEETS,  /* material */
    SG_CAUSE_LOADS,   /* loads, index moves, chores of a sheet */
    SG_CAUSE_REFILLS,
    SG_CAUSE_CHANGES, /* of tubes and orifices, by hand */
    SG_CAUSE_MINIMUM, /* what is missing to the minimum price */
    SG_CAUSES
};

/* Cents of a row that lacks something are what is known of it. */
struct sg_quote_part {
    int32_t part;                  /* index into the shop's parts */
    int32_t quantity;              /* finished pieces */
    int64_t rows[SG_COST_ROWS];    /* cents of all of them; add up to price */
    unsigned lacks[SG_COST_ROWS];  /* 0: known */
    int64_t price;                 /* cents of all of them */
    int64_t each, dearer;          /* price = quantity x each + dearer: so many pieces are a cent dearer */
    double amounts[SG_COST_SETUP]; /* what the rows are for, as those of the job */
};

struct sg_quote {
    int32_t job;                       /* index into the shop's jobs */
    const struct sg_quote_part *parts; /* in the arena; parts without a quantity too, which cost nothing */
    int32_t n_parts;
    int64_t rows[SG_COST_ROWS];
    unsigned lacks[SG_COST_ROWS];
    int64_t price;    /* of what is known; the whole price only where lacking is 0 */
    unsigned lacking; /* all lacks */
    /* What the rows are for: s, s, kWh, L, kg, kg, tubes, orifices, whole sheets; NaN: not known. */
    double amounts[SG_COST_SETUP];
};

struct sg_price_break {
    int64_t sets;   /* of the job: its quantities over their greatest common divisor; of one part, pieces */
    int64_t pieces; /* of all parts */
    int64_t price;  /* cents of all of them */
    int64_t causes[SG_CAUSES]; /* cents; add up to price */
    unsigned lacking;
};

/* Quantities that are shown where none are given: 1, 10, 100, 1000. */
enum { SG_PRICE_QUANTITIES = 4 };
extern const int64_t sg_price_quantities[SG_PRICE_QUANTITIES];

/* These, and what the job is now in its place among them; those that no part's quantity can hold are left
 * out. Returns how many: at least 1 of a job with pieces. */
int sg_usual_sets(const struct sg_shop *shop, int32_t job, int64_t sets[SG_PRICE_QUANTITIES + 1]);

/* The price of a job. Texts and arrays lie in the arena; a plan that the planner holds is gone afterwards.
 * SG_BAD_DATA: a rate that cannot be, a job without pieces, a price past counting, or as sg_plan_shift. */
enum sg_status sg_quote_make(struct sg_planner *planner, const struct sg_shop *shop, int32_t job,
                             const struct sg_rates *rates, struct sg_arena *arena, struct sg_quote *out,
                             struct sg_error *error);

/* The price of other quantities of the job, each planned as sg_quote_make does: so many sets of its parts;
 * scrap goes with the quantity, rounded up. sets must rise; breaks has room for n. Errors as sg_quote_make.
 */
enum sg_status sg_quote_breaks(struct sg_planner *planner, const struct sg_shop *shop, int32_t job,
                               const struct sg_rates *rates, const int64_t *sets, int n,
                               struct sg_price_break *breaks, struct sg_error *error);

/* How many sets the job's quantities are; 0 without pieces. */
int64_t sg_job_sets(const struct sg_shop *shop, int32_t job);

/* What one set costs, to the nearest cent. */
int64_t sg_price_of_set(const struct sg_price_break *at);

/* Why a set costs less or more than in the quantity before: "15.00 less: 12.40 set-up shared by more, 2.70
 * fuller sheets, but 0.10 more refills". Amounts add up as shown, to the difference of the two
 * sg_price_of_set. As snprintf returns. */
int sg_price_reason(const struct sg_price_break *before, const struct sg_price_break *after, int decimals,
                    char *out, size_t size);

/* A row's word as files spell it: "machine", "labour", ... Never NULL. rates says which of "mark_up" and
 * "margin" the addition is. */
const char *sg_cost_word(int row, const struct sg_rates *rates);

/* A cause's word: "cutting", "setup", "sheets", "loads", "refills", "changes", "minimum". */
const char *sg_price_cause_word(int cause);

/* What is lacking, with commas between: "garnet per kg, tube_life of the head"; "" for nothing. As snprintf
 * returns. */
int sg_lacks_text(unsigned lacks, char *out, size_t size);

/* Cents as an amount with so many decimals, "-12.05". As snprintf returns. */
int sg_money_write(int64_t cents, int decimals, char *out, size_t size);

/* Whether the rates can be: SG_BAD_DATA names the one that cannot. */
enum sg_status sg_rates_check(const struct sg_rates *rates, struct sg_error *error);

#endif
