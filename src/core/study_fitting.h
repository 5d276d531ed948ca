/* The joint fit, shared by its files. */
#ifndef SANDGLASS_CORE_STUDY_FITTING_H
#define SANDGLASS_CORE_STUDY_FITTING_H

#include "study_inside.h"

/* One run in the fit. */
struct sg_fit_row {
    struct sg_study_parts parts;
    double log_net;
    double log_height;
    double feed_deviation;
    int32_t run;
    int32_t cutting; /* index of its material's numbers */
    int32_t way;     /* to pierce; SG_UNKNOWN: as planned, or water only */
};

struct sg_fitting {
    const struct sg_study_run *runs;
    const struct sg_machine *machine;
    int32_t n_rows;
    struct sg_fit_row *rows;
    struct sg_study *study;
    double *parameters, *centre, *deviation; /* n_cutting speeds, as many exponents, t0 and kappa of ways */
    bool *bent;                              /* of each cutting: its exponent is fitted */
    bool bends_held;                         /* ... no more */
    bool held[SG_PIERCE_WAYS];               /* its pierces are as planned, not fitted */
    struct sg_arena *arena;
};

static inline int32_t sg_exponent_parameter(const struct sg_fitting *f, int32_t cutting)
{
    return f->study->n_cutting + cutting;
}

static inline int32_t sg_pierce_parameter(const struct sg_fitting *f, int32_t way)
{
    return 2 * f->study->n_cutting + 2 * way;
}

/* Half the width of the 90 % interval of a parameter, with more variance. */
double sg_half_of(const struct sg_robust *fit, int32_t parameter, double more);

/* Whether a run tells of a way to pierce. (study_pierce.c) */
bool sg_pierces_told(const struct sg_study_run *run, int32_t way);

/* The pierces of a fit, with their verdicts. False: no memory. (study_pierce.c) */
bool sg_take_pierces(struct sg_fitting *f, const struct sg_robust *fit);

#endif
