/* Time studies: what the shop's own clocked runs say of the numbers behind the plan.
 *
 * Runs are plain data, in the order in which they were cut, the latest last. From them come ratios of took to
 * planned by group, and fitted numbers with an interval, which the plan uses only on command
 * (sg_study_apply_* write them into copies of the shop's structs). All functions are pure; memory comes from
 * the caller's arena.
 *
 * The fit is a robust regression on the logarithm of the time a run took (study_robust.c says how): one wild
 * day does not move it. All runs are fitted at once, because a clock that runs over a whole sheet has cutting
 * and piercing mixed: a speed for each material and head kind, and t0 and kappa for each way to pierce, which
 * are the machine's and shared by all materials. */
#ifndef SANDGLASS_STUDY_H
#define SANDGLASS_STUDY_H

#include "sandglass/arena.h"
#include "sandglass/shop.h"
#include "sandglass/traverse.h"

enum {
    SG_STUDY_RUNS = 5,       /* a number or ratio is offered from so many runs on */
    SG_STUDY_THICKNESSES = 3 /* ... and an exponent or a pierce from so many thicknesses on */
};

/* A number whose interval is wider than this share of it, to the wider side, is not offered. */
#define SG_STUDY_WIDEST 0.5

/* From this share of cutting on, a whole clock speaks for a cutting speed with pierces as they are planned.
 */
#define SG_STUDY_CUT_SHARE 0.6

/* One clocked run. What was set is as it was planned at the start of the run. */
struct sg_study_run {
    int32_t material;          /* index into the shop's materials: runs of one material have the same */
    const char *material_name; /* borrowed */
    int32_t head;              /* index into the shop's heads */
    int32_t head_kind;         /* enum sg_head_kind */
    int32_t heads;             /* cutting together; lengths and pierces are those of one of them */

    double height;                 /* mm of the whole stack */
    double edge;                   /* q */
    double pressure, low_pressure; /* MPa; the low one matters for low-pressure pierces only */
    double orifice;                /* mm */
    double tube;                   /* mm, bore then; water only: NaN */
    double garnet;                 /* g/min of one head as it was set; water only: NaN */
    double abrasive_factor;        /* 1 for garnet */
    double discharge;              /* Cd of the orifice; water only needs it */
    double threshold;              /* MPa, of the material; water only, NaN: none known */
    double feed_override;          /* 1 is 100 % */
    double top_feed;               /* mm/min of the machine; NaN: no bound */
    int32_t feed_typed;            /* the feed was typed: the run says nothing of the model's speeds */
    int32_t pierce;                /* enum sg_pierce_way; SG_UNKNOWN: pierce seconds were typed */

    double cut_length; /* mm that one head cut, lead-ins included, scrap too */
    int32_t pierces;   /* of one head */

    double planned_cut;          /* s of cut_length at the planned traverse */
    double planned_corner;       /* s lost by slowing down for the jet's lag at corners and radii */
    double planned_acceleration; /* s lost by speeding up and braking along the cut */
    double planned_pierce;       /* s of all pierces */
    double planned_rapid;        /* s of rapids and lifts */

    double took;      /* s on the clock */
    int32_t cut_only; /* the clock ran only while the jet cut along; else over the whole run */
    double stops;     /* s of logged stops that lie within took */

    double garnet_used;    /* kg gone while it ran, all heads, weighed or by hopper readings; NaN: not read */
    double garnet_weighed; /* g/min of one head, caught and weighed at this run; NaN: not weighed */
};

/* s that the run was to take by its plan, of what its clock saw. */
double sg_study_planned(const struct sg_study_run *run);

/* (took - stops) / planned; NaN where the run cannot be compared: one of them is not known, or not above 0.
 */
double sg_study_ratio(const struct sg_study_run *run);

/* ---- took against planned, by group ---- */

/* Thickness bands: 0 up to 3 mm, then up to 6, 10, 16, 25, 40, 60, 100, and above. */
enum { SG_STUDY_BANDS = 9 };

int sg_study_band(double height);

/* Ends of a band in mm, the lower one outside, the upper one within; the last one ends at INFINITY. */
void sg_study_band_ends(int band, double *above, double *up_to);

struct sg_study_group {
    int32_t material, head, band, edge; /* edge is the nearest level, 1 to 5 */
    int32_t count;
    bool few;               /* less than SG_STUDY_RUNS: not to be used */
    double median;          /* of took / planned */
    double spread;          /* 1.4826 times the median distance from it: as a standard deviation, but one wild
                               run does not move it */
    double lowest, highest; /* of all runs, wild ones too */
};

/* Groups of the runs that have a ratio, by material, head, band, edge. In the arena; false: no memory. */
bool sg_study_groups(const struct sg_study_run *runs, int32_t n, struct sg_arena *arena,
                     struct sg_study_group **groups, int32_t *n_groups);

/* ---- fitted numbers ---- */

enum sg_study_verdict {
    SG_STUDY_OFFERED,
    SG_STUDY_FEW,        /* less than SG_STUDY_RUNS runs */
    SG_STUDY_ONE_HEIGHT, /* less than SG_STUDY_THICKNESSES thicknesses */
    SG_STUDY_VAGUE,      /* wider than SG_STUDY_WIDEST, or what it goes with is */
    SG_STUDY_AS_FORMULA, /* an exponent whose interval has the formula's own in it: nothing to gain */
    SG_STUDY_OUTSIDE     /* an exponent outside SG_STUDY_EXPONENT_LOW to _HIGH */
};

#define SG_STUDY_EXPONENT_LOW 0.9
#define SG_STUDY_EXPONENT_HIGH 1.5

struct sg_study_number {
    enum sg_study_verdict verdict;
    int32_t n;                  /* runs that speak for it */
    int32_t wild;               /* of these, how many the fit left out */
    double estimate, low, high; /* with the ends of a 90 % interval; NaN where there is no run to fit */
    enum sg_basis basis;        /* SG_BASIS_SHOP */
};

/* "shop, 14 runs, +-6 %" (the wider side of the interval), or why it is not used. As snprintf returns. */
int sg_study_sentence(const struct sg_study_number *number, char *out, size_t size);

/* Whether what is in use now is that number already, to the four digits that are shown. */
bool sg_study_in_use(const struct sg_study_number *number, double now);

/* How one material cuts with one kind of head. n of its numbers: runs clocked while cutting only, or with a
 * cut share of SG_STUDY_CUT_SHARE, and, where their way to pierce is fitted too (or is water's own), all
 * runs.
 */
struct sg_study_cutting {
    int32_t material, head_kind;
    struct sg_study_number speed; /* machinability number, or J/mm2 of cut energy on a water-only head; with
                                     the formula's exponent of thickness */
    struct sg_study_number exponent; /* of thickness, abrasive only: u ~ height^-exponent */
    struct sg_study_number speed_at; /* the machinability number that goes with it: as the formula's at a
                                        height of `reference` */
    double reference;                /* mm */
};

/* t0 and kappa are told badly each by itself, as more of the one and less of the other cost much the same,
 * and well together: what is judged, and offered with its interval, is the pierce that they make. All three
 * have the same verdict. */
struct sg_study_piercing {
    struct sg_study_number base, factor; /* t0 in s, and kappa; used both or not at all */
    struct sg_study_number pierce;       /* s of one pierce, the mean of its runs */
    double rise;                         /* s that h / u takes at it: pierce = t0 + kappa rise */
};

/* What one head really feeds: a line through the logarithms of its last SG_STUDY_FEED_WINDOW weighings and
 * readings at the feed set in its latest run, read at the run to come. */
enum { SG_STUDY_FEED_WINDOW = 12 };

struct sg_study_feed {
    int32_t head;
    double set;  /* g/min as it was set in the head's latest run */
    double most; /* largest feed that was measured at any setting; what-ifs offer no more. NaN: none */
    struct sg_study_number feed; /* g/min of one head */
};

struct sg_study {
    struct sg_study_cutting *cutting; /* by material, then by head kind */
    int32_t n_cutting;
    struct sg_study_piercing piercing[SG_PIERCE_WAYS];
    struct sg_study_feed *feeds; /* by head; abrasive only */
    int32_t n_feeds;
    int32_t unused; /* runs that say nothing of speeds: no ratio, feed typed or held by the machine's top
                       feed, or what was set is not known */
};

/* Which numbers are used. */
enum sg_study_use {
    SG_STUDY_USE_SPEED = 1 << 0,
    SG_STUDY_USE_THICKNESS = 1 << 1, /* the exponent where it is offered, with its speed */
    SG_STUDY_USE_PIERCE = 1 << 2,
    SG_STUDY_USE_FEED = 1 << 3
};

/* Fit. The machine's pierce numbers are what is known before (within a factor of 3, nine times of ten). with
 * says what the numbers are to go with: SG_STUDY_USE_FEED: machinability numbers are those at the feeds
 * fitted here, which are then put into the heads too, else at the feeds as they are set;
 * SG_STUDY_USE_THICKNESS: pierces are those beside the exponents that are offered, else beside the formula's.
 * In the arena; false: no memory. */
bool sg_study_fit(const struct sg_study_run *runs, int32_t n, const struct sg_machine *machine, unsigned with,
                  struct sg_arena *arena, struct sg_study *out);

/* A material's row, or NULL. */
const struct sg_study_cutting *sg_study_of_material(const struct sg_study *study, int32_t material,
                                                    int32_t head_kind);

/* ---- what using them would change ---- */

struct sg_study_change {
    int32_t n;            /* runs compared */
    double before, after; /* median of |took / planned - 1|; NaN without a run */
};

/* If planned seconds were multiplied by a factor. False: no memory. */
bool sg_study_change_of_factor(const struct sg_study_run *runs, int32_t n, double factor,
                               struct sg_arena *arena, struct sg_study_change *out);

/* If these numbers (enum sg_study_use) were used where they are offered; others stay as they were planned,
 * pierces as the machine has them. False: no memory. */
bool sg_study_change_of_numbers(const struct sg_study_run *runs, int32_t n, const struct sg_study *study,
                                const struct sg_machine *machine, unsigned use, struct sg_arena *arena,
                                struct sg_study_change *out);

/* s that the run would have been planned at with them, of what its clock saw. */
double sg_study_replanned(const struct sg_study_run *run, const struct sg_study *study,
                          const struct sg_machine *machine, unsigned use);

/* Separation speed in mm/min with an exponent of thickness of the shop's own: the formula's at the reference
 * height, from there by height^-exponent. An exponent that is not known (NaN) is the formula's. */
double sg_study_separation_speed(const struct sg_abrasive_jet *jet, double machinability, double height,
                                 double exponent, double reference);

/* Write what is offered into a copy; false, and nothing written, where it is not. Of a material: its
 * machinability number or cut energy; its basis becomes the shop's unless the other number is known too,
 * because one basis stands for both; its source stays the caller's to write. with_exponent: the number that
 * goes with the exponent, if that is offered. */
bool sg_study_apply_material(const struct sg_study_cutting *cutting, bool with_exponent,
                             struct sg_material *material);
bool sg_study_apply_machine(const struct sg_study *study, enum sg_pierce_way way, struct sg_machine *machine);
bool sg_study_apply_head(const struct sg_study_feed *feed, struct sg_head *head);

/* The same, where the shop has just that already: to use it would change nothing. */
bool sg_study_has_material(const struct sg_study_cutting *cutting, bool with_exponent,
                           const struct sg_material *material);
bool sg_study_has_machine(const struct sg_study *study, enum sg_pierce_way way,
                          const struct sg_machine *machine);

/* How the shop's own speed of a material with a kind of head is said to be known, "shop, 14 runs, +-6 %,
 * 2026-12-01"; false, and "", where its number is not the shop's own. */
bool sg_study_source(const struct sg_material *material, int32_t head_kind, char *out, size_t size);

/* Whether it is: one basis stands for both numbers of a material, and its source tells of which it speaks. */
bool sg_study_is_own(const struct sg_material *material, int32_t head_kind);

#endif
