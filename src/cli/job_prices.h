/* What the jobs of a shift cost, before and after a change of what their prices hang on. */
#ifndef SANDGLASS_CLI_JOB_PRICES_H
#define SANDGLASS_CLI_JOB_PRICES_H

#include "cli/cli.h"

struct sg_job_price {
    bool made;
    int64_t cents;
    unsigned lacking;
};

/* Prices of the jobs of a plan, in their order; NULL where memory is out. Free with free. */
struct sg_job_price *sg_job_prices(const struct sg_shop *shop, const struct sg_plan *plan);

/* A line a job whose price another one is: "price of 2601  410.00 -> 428.75 EUR". before: those of a plan
 * with as many jobs, NULL: none are known. */
void sg_job_prices_text(struct sg_text *out, const struct sg_shop *shop, const struct sg_plan *plan,
                        const struct sg_job_price *before, const struct sg_job_price *after);

#endif
