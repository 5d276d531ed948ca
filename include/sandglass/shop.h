/* The shop as plain data: what a person typed, nothing computed.
 *
 * Everything lies in flat arrays in order: the jobs of a shift one after another, the stocks of a job, the
 * parts of a stock. Units are the canonical ones of units.h. Whoever fills a struct sg_shop owns its arrays
 * and strings (the store puts them into one arena); the core only reads them. Strings are UTF-8 and never
 * NULL: "" is "none". Not known is NaN for a double, SG_UNKNOWN for a whole number; it is never 0. */
#ifndef SANDGLASS_SHOP_H
#define SANDGLASS_SHOP_H

#include "sandglass/basis.h"
#include "sandglass/civil.h"
#include "sandglass/items.h"
#include "sandglass/units.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

struct sg_outline;

enum { SG_UNKNOWN = -1, SG_EDGES = 5 };

static inline bool sg_known(double value)
{
    return !isnan(value);
}

/* Choices; the word of each stands in field.c. The numbers are not stored anywhere. */
enum sg_head_kind { SG_HEAD_ABRASIVE, SG_HEAD_WATER };
enum sg_pierce_way { SG_PIERCE_STILL, SG_PIERCE_MOVING, SG_PIERCE_LOW, SG_PIERCE_DRILLED, SG_PIERCE_WAYS };
enum sg_owner { SG_OWNER_SHOP, SG_OWNER_CUSTOMER };
enum sg_pump_kind { SG_PUMP_DIRECT, SG_PUMP_INTENSIFIER };
enum sg_refill_at { SG_AT_PIECES, SG_AT_SHEETS };
enum sg_refill_amount { SG_AMOUNT_FULL, SG_AMOUNT_ENOUGH };
enum sg_refill_when { SG_WHEN_LATEST, SG_WHEN_LEAST_WAIT };

/* What a material needs said about it; a bit each, spelled in the caution table. */
enum sg_hazard {
    SG_HAZARD_SILICA = 1 << 0,    /* stone, tile, concrete: respirable crystalline silica */
    SG_HAZARD_HYDROGEN = 1 << 1,  /* aluminium, magnesium: fines under water give hydrogen */
    SG_HAZARD_BERYLLIUM = 1 << 2, /* beryllium copper */
    SG_HAZARD_TOXIC = 1 << 3,     /* lead, chromium: sludge is regulated waste */
    SG_HAZARD_BRITTLE = 1 << 4,   /* glass, stone, ceramics: start at low pressure or drilled */
    SG_HAZARD_TEMPERED = 1 << 5,  /* glass that may be tempered: breaks when cut */
    SG_HAZARD_LAMINATE = 1 << 6,  /* laminates: may part in layers when pierced */
    SG_HAZARD_VERIFY = 1 << 7,    /* the machinability number is doubtful: verify before use */
    SG_HAZARDS = 8
};

struct sg_material {
    int64_t row;          /* id in the shop file, 0 where there is none */
    const char *name;     /* "steel, mild" */
    const char *aliases;  /* "mild steel;carbon steel": other names, semicolons between */
    double density;       /* kg/m3 */
    double machinability; /* Nm of the abrasive formula, garnet; unknown: not cut with garnet here */
    double cut_energy;    /* J/mm2 for the water-only head; unknown: not cut with water alone here */
    double threshold;     /* MPa below which water alone does not cut; unknown: none known */
    double thickness_exponent, reference_thickness; /* of the shop's own: speed ~ height^-exponent, as the
                                                       formula's at a height of so many mm; both or unknown */
    int32_t pierce;                                 /* enum sg_pierce_way */
    int32_t head;                                   /* enum sg_head_kind usually taken */
    int32_t water_possible;
    int32_t hazards;    /* bits of enum sg_hazard */
    int32_t basis;      /* enum sg_basis of machinability and cut_energy */
    const char *source; /* where they come from */
};

struct sg_head {
    int64_t row;
    const char *name;
    int32_t kind;                       /* enum sg_head_kind */
    double pressure;                    /* MPa */
    double low_pressure;                /* MPa, for low-pressure pierces */
    double orifice;                     /* mm */
    double tube;                        /* mm, bore of a new mixing tube; unknown on a water head */
    double garnet;                      /* g/min; unknown on a water head */
    const char *garnet_source;          /* where it was fitted to what was weighed; "" */
    double discharge;                   /* Cd of the orifice */
    int32_t heads;                      /* how many cut together */
    double abrasive_factor;             /* fa, 1 for garnet */
    double tube_wear;                   /* mm of bore in 100 h */
    double tube_hours, tube_life;       /* s; life unknown: not limited */
    double orifice_hours, orifice_life; /* s */
};

struct sg_machine {
    int64_t row;
    const char *name;
    double table_length, table_width, z_travel; /* mm */
    double slat_load;                           /* kg/m2 the slats carry */
    double slat_pitch;                          /* mm */
    double top_feed, rapid;                     /* mm/min */
    double acceleration;                        /* mm/s2 */
    double z_lift;                              /* s for head up and down, once a pierce */
    double lead;            /* length of a lead-in per thickness of what is cut; 0: none, they are drawn */
    const char *layers_out; /* layers of drawings that are no cuts, commas between; "": all are cut */
    const char *jet_on,
        *jet_off; /* words of a part program that turn the jet on and off; "": rapids are off */
    double edge_error[SG_EDGES];          /* mm of permitted radial error, edge 1 to 5 */
    double pierce_base[SG_PIERCE_WAYS];   /* s, t0 of each way to pierce */
    double pierce_factor[SG_PIERCE_WAYS]; /* kappa of each way */
    const char *pierce_source; /* of both, where they are the shop's own: "shop, 14 runs, +-6 %"; "" */
    double hopper, low_line, hopper_level; /* kg */
    double bag;                            /* kg; 0: bulk, a refill fills to the brim */
    int32_t bags_in_stock;
    int32_t reorder;     /* bags that should be left after the plan; fewer are to be ordered */
    int64_t hopper_read; /* local seconds since 1970-01-01 00:00 at which hopper_level was read, or
                            SG_NO_MOMENT */
    double sludge;       /* kg of garnet in the tank since its last clean-out, at the shift's start */
    double clean_out;    /* kg at which the tank is to be cleaned out; unknown: not watched */
    double refill, refill_per_bag; /* s */
    int32_t refill_stops_cutting;
    int32_t refill_at;                                           /* enum sg_refill_at */
    int32_t refill_amount;                                       /* enum sg_refill_amount */
    int32_t refill_when;                                         /* enum sg_refill_when */
    double load_fixed;                                           /* s of a load whatever its mass */
    double load_mass;                                            /* kg of sheet that cost one more minute */
    double head_change, index_move, tube_change, orifice_change; /* s */
    double tab_time;                                             /* s of breaking one tab after its sheet */
    double head_buffer;  /* kg in a small hopper at the head; a reserve, never planned on */
    int32_t head_fitted; /* index into heads */
    int32_t pump;        /* enum sg_pump_kind */
    double pump_power;   /* kW at the shaft */
    double pump_efficiency;
    double max_pressure; /* MPa */
    double max_flow;     /* L/min */
};

/* A shift's times in real seconds after its start, so that the core needs no time zone. The edge fills it
 * (src/edit/calendar.c) and does it again when the shift's fields change. */
struct sg_calendar {
    double epoch;   /* seconds since 1970-01-01 UTC at the start of the shift */
    double close_s; /* end of the shift */
    int n_breaks;
    struct {
        double from_s, to_s;
    } breaks[SG_MAX_SPANS];
};

struct sg_shift {
    int64_t row;
    const char *id;
    int32_t date;       /* days since 1970-01-01 */
    int32_t start, end; /* seconds after midnight; an end not after the start is on the next day */
    int32_t n_breaks;
    struct sg_span breaks[SG_MAX_SPANS];
    int32_t run_in_breaks;      /* the machine may cut through a break */
    int32_t fill_before_breaks; /* fill the hopper at the last boundary before each break, due or not */
    const char *sheet_on; /* key of the stock whose sheet lies on the table at the start, "2604/1"; "" none */
    int32_t job_begun;    /* of a shop of what is left (actual.h), else 0: its first job has begun */
    int32_t closed;       /* finished: not what `plan` shows by default */
    int32_t n_closed_days;
    int32_t closed_days[SG_MAX_DAYS]; /* days on which nobody works */
    struct sg_calendar calendar;
};

struct sg_job {
    int64_t row;
    const char *id;
    const char *name, *customer, *note;
    int64_t due;      /* local seconds since 1970-01-01 00:00, or SG_NO_MOMENT */
    double due_epoch; /* the same as UTC seconds, filled by the edge; NaN where there is none */
    int32_t shift;    /* index into shifts */
    int32_t order;    /* 1, 2, ... in the shift */
    int32_t first_stock, n_stocks;
};

/* Pieces of a part on a load that is cut in part. */
struct sg_begun {
    int32_t load, part; /* from 0, of those that are begun; of its stock */
    int32_t pieces;     /* not counted */
    int32_t cuts;       /* that they take: fewer where sheets are cut in stacks */
    double cut;         /* of those cuts, not whole, that are done all the same */
};

struct sg_stock {
    int64_t row;
    int32_t number;               /* its key within the job: 1, 2, ... */
    int32_t job;                  /* index into jobs */
    int32_t material;             /* index into materials or SG_UNKNOWN */
    int32_t begun_loads, n_begun; /* of a shop of what is left (actual.h), else 0: its first loads are cut in
                                     part and no longer on hand */
    int32_t loads_before;         /* of such a shop: cut before them, for numbering */
    const struct sg_begun *begun; /* what lies on them, load after load */
    double begun_share;           /* of the first of them that is left */
    double thickness;             /* mm of one sheet */
    int32_t stack;                /* sheets cut at once */
    double sheet_length, sheet_width; /* mm */
    int32_t sheets;                   /* on hand, or SG_UNKNOWN */
    int32_t head;                     /* index into heads, SG_UNKNOWN: the first of the material's kind */
    double edge;                      /* 1 to 5, the q of the formula */
    int32_t pierce;                   /* enum sg_pierce_way, SG_UNKNOWN: the material's */
    double load;                      /* s; unknown: by mass */
    double first_check;               /* s */
    double gap, margin;               /* mm */
    double feed_override;             /* 1 is 100 % */
    double feed;                      /* mm/min typed; unknown: the model's */
    double pierce_seconds;            /* s of one pierce typed; unknown: the model's */
    int32_t turn;                     /* pieces may be turned by 90 degrees */
    int32_t interlock;                /* outlines may lie into each other where that takes fewer sheets */
    int32_t common_line;              /* straight sides of neighbours are cut once */
    int32_t search;                   /* thousands of looks for a layout with fewer sheets; 0: none */
    struct sg_items remnants;         /* smaller sheets on hand, used before whole ones */
    struct sg_items clamps;           /* places of each sheet that are kept free */
    int32_t fill;                     /* fill the hopper when its first sheet is loaded, due or not */
    int32_t owner;                    /* enum sg_owner of the sheets */
    double sheet_price; /* of one whole sheet, in the currency of the rates; unknown: not priced */
    const char *lot;    /* lot or heat number of the sheets, for the job sheet */
    int32_t first_part, n_parts;
};

/* The outline of a drawing or part program, kept in the shop file so that the file it came from need not
 * stay. Never changed: a drawing that was drawn anew is another one. */
struct sg_drawn {
    int64_t row;                      /* 0: not in the shop file yet */
    const char *name;                 /* of its file, "plate.dxf"; no two are alike */
    const struct sg_outline *outline; /* contours in cutting order, never NULL */
    uint64_t print;                   /* sg_outline_print */
    bool program;        /* of a part program: lead-ins are in it and the order of the contours is its own */
    double rapid_length; /* mm of the rapids of a part program as they stand there; NaN of a drawing */
};

struct sg_part {
    int64_t row;
    const char *id;
    const char *name, *note;
    int32_t stock;                     /* index into stocks */
    int32_t quantity;                  /* finished pieces */
    int32_t pierces;                   /* of one piece */
    double cut_length;                 /* mm of one piece, lead-ins included */
    double length, width;              /* mm, box of one piece */
    double area;                       /* mm2, net; unknown: length x width */
    double rapid_length;               /* mm of one piece; unknown: pierces x (length + width) / 2 */
    double edge, feed, pierce_seconds; /* unknown: the stock's */
    int32_t scrap;                     /* pieces cut beyond the quantity, because some fail */
    int32_t tabs;                      /* of one piece, so that it does not fall between the slats */
    double edge_least; /* coarsest edge that will do, for what-ifs; unknown: only the one wanted */
    int32_t outline;   /* index into drawn, SG_UNKNOWN: none. Then cut_length, pierces, length, width and area
                          are as it measures */
    /* Of a shop of what is left, else 0. Of the quantity: on loads that are begun, with the cuts that they
     * take and how many of those (not whole) are done; and on loads that are cut and of which nobody counted
     * anything. */
    int32_t begun, begun_cuts, uncounted;
    double begun_cut;
};

/* Hands-on work of the shop's own that stops the machine: a warm-up, a wash, knocking pieces out of their
 * tabs. */
enum sg_chore_when {
    SG_CHORE_SHIFT_START,
    SG_CHORE_JOB,
    SG_CHORE_SHEET,
    SG_CHORE_PIECE,
    SG_CHORE_SHIFT_END,
    SG_CHORE_DUE /* service: between sheets, before its interval is over */
};

/* What the interval of a service is counted in. */
enum sg_chore_counts { SG_COUNTS_PUMP, SG_COUNTS_TABLE, SG_COUNTS_CALENDAR };

struct sg_chore {
    int64_t row;
    const char *name;
    int32_t when; /* enum sg_chore_when: before the first job, before each job, after each sheet, once a piece
                     after its sheet, after the last job, between sheets when its interval is over */
    double time;  /* s; of PIECE for each piece */
    int32_t counts; /* enum sg_chore_counts, of DUE: jet hours, hours of cutting with its rapids, or days */
    double every;   /* s between two, of DUE by hours; unknown: never */
    int32_t every_days; /* days between two, of DUE by the calendar; SG_UNKNOWN: never */
    double hours;       /* s that the counter stands at when the shift starts, not of CALENDAR */
    int32_t last;       /* day on which it was done last, of CALENDAR; SG_NO_DATE: never */
};

/* The rates of the office. Money is in units of one currency; NaN: not known. */
struct sg_rates {
    int64_t row;
    const char *name;
    double machine, labour;  /* per hour */
    double power;            /* per kWh */
    double water;            /* per m3 */
    double garnet, disposal; /* per kg of garnet */
    double tube, orifice;    /* price of one; their lives are the head's */
    double setup;            /* per job */
    double mark_up, margin;  /* at most one is known: share of the cost, or share of the price (below 1) */
    double minimum;          /* least price of a job; NaN: none */
    const char *currency;    /* word or sign, as shown; "" none */
    int32_t decimals;        /* of the currency, 0 to SG_MONEY_DECIMALS_MAX */
    int32_t valid_days;      /* that a quote holds; SG_UNKNOWN: not said */
    const char *terms;       /* said under a quote; "" nothing */
};

enum { SG_MONEY_DECIMALS_MAX = 4 };

/* A stretch that was clocked, with its plan as it stood when the clock started: that never changes. It ends
 * where the log says so (struct sg_record) or another begins. Names are kept as texts, so that a clock
 * outlives the rows that it was about. */
enum sg_phase { SG_PHASE_CUT, SG_PHASE_LOAD, SG_PHASE_CHECK };

enum { SG_LIES_MAX = 10000 };

struct sg_clock {
    int64_t row;
    const char *id;    /* "1", "2", ... */
    int32_t phase;     /* enum sg_phase */
    const char *place; /* stock it cuts, "2604/1" */
    int64_t at;        /* local seconds since 1970-01-01 00:00 */
    int32_t sheet;     /* the first sheet of the stock that it cuts, from 1; SG_UNKNOWN */
    int32_t sheets;    /* loads in it */
    int32_t pieces;    /* planned on them; SG_UNKNOWN */
    const char *lies;  /* of which parts (sg_clock_lies); "" not known */
    int32_t cut_only;  /* it runs only while the jet cuts along */
    const char *material, *head;
    int32_t head_kind, heads;
    double height, edge, pressure, low_pressure, orifice, tube, garnet, abrasive_factor, discharge, threshold;
    double feed_override, top_feed; /* as struct sg_study_run */
    int32_t feed_typed, pierce;
    double cut_length; /* mm of one head */
    int32_t pierces;
    double planned_cut, planned_corner, planned_acceleration, planned_pierce, planned_rapid; /* s */
    double planned_hands;  /* s of a load or first check */
    double planned_garnet; /* kg */
    int64_t planned_end;   /* local seconds at which the shift was to end; SG_NO_MOMENT */
    const char *note;
};

/* What was noted while the shop ran. */
enum sg_record_what {
    SG_RECORD_STOP,   /* the clock */
    SG_RECORD_PAUSE,  /* the machine stands, for a reason */
    SG_RECORD_RESUME, /* ... and goes on */
    SG_RECORD_DONE,   /* count good pieces of a part */
    SG_RECORD_SCRAP,  /* count pieces of a part that are no good */
    SG_RECORD_FILL,   /* count bags, or mass, into the hopper */
    SG_RECORD_LEVEL,  /* mass that was read in the hopper */
    SG_RECORD_WEIGH,  /* feed of one head, caught and weighed */
    SG_RECORD_TUBE,   /* of a head, changed */
    SG_RECORD_ORIFICE,
    SG_RECORD_SERVICE, /* a chore that was due, done */
    SG_RECORD_NOTE,
    SG_RECORD_CLOSE,    /* a shift: what was noted before it is in the fields of machine, heads and chores */
    SG_RECORD_MOVED,    /* a job, with what was left of it: counts before it are in the quantities */
    SG_RECORD_NOT_DONE, /* count pieces that were noted as done by mistake */
    SG_RECORD_NOT_SCRAP,
    SG_RECORD_WHATS
};

struct sg_record {
    int64_t row;
    const char *id;    /* "1", "2", ... */
    int32_t what;      /* enum sg_record_what */
    int64_t at;        /* local seconds since 1970-01-01 00:00 */
    const char *place; /* part of DONE, SCRAP and what takes them back, head of WEIGH, TUBE and ORIFICE, chore
                          of SERVICE, shift of CLOSE, job of MOVED; or "" */
    int32_t count;     /* SG_UNKNOWN: not said */
    double mass;       /* kg */
    double feed;       /* g/min */
    const char *reason; /* "" none */
};

struct sg_shop {
    enum sg_unit_system units;
    struct sg_machine machine;
    int32_t n_materials, n_heads, n_shifts, n_jobs, n_stocks, n_parts, n_chores;
    struct sg_material *materials;
    struct sg_head *heads;
    struct sg_shift *shifts;
    struct sg_job *jobs;     /* by shift, then by order */
    struct sg_stock *stocks; /* by job, then by number */
    struct sg_part *parts;   /* by stock, in cutting order */
    struct sg_chore *chores; /* in the order in which they are done */
    struct sg_drawn *drawn;  /* by row */
    int32_t n_drawn;
    struct sg_rates rates;
    struct sg_clock *clocks;   /* by time, then by row */
    struct sg_record *records; /* by time, then by row */
    int32_t n_clocks, n_records;
};

/* What a fresh machine, head, shift, stock or part holds before anyone typed: the invented middle-sized
 * machine of the example and of `new`. Heads: index 0 is abrasive, 1 is water. The shop file's defaults are
 * these. */
extern const struct sg_machine sg_fresh_machine;
extern const struct sg_head sg_fresh_heads[2];
extern const struct sg_shift sg_fresh_shift;
extern const struct sg_job sg_fresh_job;
extern const struct sg_stock sg_fresh_stock;
extern const struct sg_part sg_fresh_part;
extern const struct sg_material sg_fresh_material;
extern const struct sg_chore sg_fresh_chore;
extern const struct sg_rates sg_fresh_rates;
extern const struct sg_clock sg_fresh_clock;
extern const struct sg_record sg_fresh_record;

#endif
