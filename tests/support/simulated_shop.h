/* A shop whose true numbers are hidden from the program: it cuts a material by the published formulas, but
 * with another machinability number, other pierces and another garnet feed than the plan believes, and clocks
 * its runs with noise. The formulas are written here from their source, in logarithms; nothing of the core
 * computes them. */
#ifndef SANDGLASS_TESTS_SIMULATED_SHOP_H
#define SANDGLASS_TESTS_SIMULATED_SHOP_H

#include "sandglass/study.h"

#include "support/random.h"

struct simulated_numbers {
    double machinability;
    double base, factor; /* t0 in s, kappa */
    double garnet;       /* g/min */
    double exponent;     /* of thickness: like the formula at 12 mm */
};

struct simulated_shop {
    struct random random;
    double noise;   /* standard deviation of a clock or a weighing, relative */
    double wild;    /* share of runs that took twice to four times as long, or half */
    double creep;   /* by which the true feed grows from run to run, relative */
    int32_t n_runs; /* made so far */
    int32_t n_wild; /* of which wild */
    struct simulated_numbers published, truth; /* truth.garnet is the feed at the first run */
};

/* What is to be cut: `edge`, mm of thickness and of cut length, pierces. */
struct simulated_job {
    double height, edge, cut_length;
    int32_t pierces;
};

/* Mild steel pierced still with the fresh head; every true number up to 40 % off either way, the feed
 * creeping by up to 1 % a run either way; `just`: just so much. 8 % noise, 10 % wild runs. */
void simulated_shop_make(struct simulated_shop *out, uint64_t seed, bool just);

/* Thickness of the turn's job (6, 12 and 20 mm by turns), 2 to 10 m of cut, any edge, and so many pierces
 * that they are 5 to 50 % of the planned time. */
struct simulated_job simulated_job(struct simulated_shop *shop, int32_t turn);

/* Seconds by these numbers: cut, one pierce, rapids. */
double simulated_cut(const struct simulated_numbers *numbers, const struct simulated_job *job);
double simulated_pierce(const struct simulated_numbers *numbers, double height);
double simulated_rapid(const struct simulated_job *job);

/* The truth of the run that comes next: its numbers, with the feed of that day, and the whole seconds of a
 * job. */
struct simulated_numbers simulated_truth(const struct simulated_shop *shop);
double simulated_seconds(const struct simulated_numbers *numbers, const struct simulated_job *job);

/* Cut the job and clock it: what the shop logs. Every run is either weighed for its feed or, by turns, the
 * garnet it used is read. */
struct sg_study_run simulated_run(struct simulated_shop *shop, const struct simulated_job *job);

#endif
