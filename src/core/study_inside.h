/* Time studies, shared by the study files. */
#ifndef SANDGLASS_CORE_STUDY_INSIDE_H
#define SANDGLASS_CORE_STUDY_INSIDE_H

#include "sandglass/study.h"

/* ---- robust regression (study_robust.c) ---- */

enum { SG_ROBUST_GRADIENT = 4 };

/* One observation at the present parameters: its residual, and what that loses as each parameter grows. */
struct sg_robust_row {
    double residual;
    int32_t n;
    int32_t parameter[SG_ROBUST_GRADIENT];
    double gradient[SG_ROBUST_GRADIENT];
};

struct sg_robust {
    int32_t n, p; /* observations, parameters */
    void (*row)(const void *data, int32_t i, const double *parameters, struct sg_robust_row *out);
    const void *data;
    double *parameters;      /* in: start; out: fitted */
    const double *centre;    /* what is known of each parameter before */
    const double *deviation; /* and how surely: a standard deviation, INFINITY where nothing is known */

    /* out, in the arena */
    double *weight;   /* of each observation, 0 to 1; 0 is left out */
    double *variance; /* p x p; INFINITY on the diagonal of a parameter that nothing tells */
    double freedom;   /* degrees of freedom, at least 1 */
};

/* False: no memory. */
bool sg_robust_fit(struct sg_robust *fit, struct sg_arena *arena);

/* Half the width of the 90 % interval for a variance. */
double sg_robust_half(const struct sg_robust *fit, double variance);

/* Median; the values are sorted by it. NaN of none. */
double sg_median(double *values, int32_t n);

/* ---- runs (study.c) ---- */

double sg_study_net(const struct sg_study_run *run);  /* took - stops */
bool sg_study_speaks(const struct sg_study_run *run); /* whether it says something of the model's speeds */
double sg_study_cut_share(const struct sg_study_run *run);

/* Number with its interval from a logarithm and half its width. */
struct sg_study_number sg_study_number_of(int32_t n, int32_t wild, double log_estimate, double half);

/* ---- what a run is made of (study_run.c) ---- */

/* Seconds = cut e^-s + pierces (t0 + kappa rise e^-s) + rest, with e^s the speed in units of a material of
 * number 1: s = 1.15 ln Nm, or -ln eA. */
struct sg_study_parts {
    double cut;     /* s at number 1, corners included */
    double pierces; /* 0 where they are as planned or not on the clock */
    double rise;    /* s that h / u_sep takes at number 1 */
    double rest;    /* s that stay as planned */
};

/* garnet in g/min. NaN parts where something is not known. */
struct sg_study_parts sg_study_parts_of(const struct sg_study_run *run, double garnet);

/* ---- feeds (study_feed.c) ---- */

/* All heads of the runs, in the arena. False: no memory. */
bool sg_study_feeds(const struct sg_study_run *runs, int32_t n, struct sg_arena *arena, struct sg_study *out);

/* What the head of runs[i] fed in that run, by the measurements around it, and the standard deviation of its
 * logarithm; the feed as set, and 0, where there are less than SG_STUDY_RUNS. False: no memory. */
bool sg_study_feed_at(const struct sg_study_run *runs, int32_t n, int32_t i, double *feed, double *deviation);

#endif
