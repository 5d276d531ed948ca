/* Time studies of the shop's clocks, and using their numbers. */
#ifndef SANDGLASS_EDIT_STUDIES_H
#define SANDGLASS_EDIT_STUDIES_H

#include "edit/actuals.h"

/* Start with {0}; free with sg_studied_free, which may be called again. Borrows from the shop. */
struct sg_studied {
    struct sg_arena arena;
    struct sg_actual actual;
    struct sg_study_run *runs;
    int32_t *clocks; /* of each run, index into the shop's */
    int32_t n_runs, left_out;
    int32_t why[SG_LEFT_WHYS]; /* how many are left out for each reason */
    struct sg_study_group *groups;
    int32_t n_groups;
    struct sg_study study;
};

/* All runs of the log, grouped and fitted; `with` as sg_study_fit. */
enum sg_status sg_studied_make(struct sg_studied *studied, const struct sg_shop *shop, unsigned with,
                               struct sg_error *error);
void sg_studied_free(struct sg_studied *studied);

/* The same to look at: with what the numbers in use were fitted with, as far as that shows. */
enum sg_status sg_studied_look(struct sg_studied *studied, const struct sg_shop *shop,
                               struct sg_error *error);

struct sg_used {
    char words[SG_WORDS_SIZE]; /* what was used, as the history says it */
    char mind[SG_WORDS_SIZE];  /* stocks with a feed_override: the new speed comes on top of it; "" none */
};

/* Use numbers (enum sg_study_use) where they are offered and not in use already, of one material or
 * SG_UNKNOWN for all, as one step of the history: machinability or cut energy with source and basis,
 * thickness exponent, pierces, garnet feed. today goes into the source. With keep false the desk's shop is
 * changed but not the file. SG_BAD_DATA where none is offered, with the reasons. */
enum sg_status sg_desk_use_studies(struct sg_desk *desk, unsigned use, int32_t material, int32_t today,
                                   bool keep, struct sg_used *used, struct sg_error *error);

#endif
