#include "edit/search.h"

#include "edit/inside.h"

#include <stdlib.h>
#include <string.h>

/* The stock alone in its shift: nothing else is laid out again. */
static enum sg_status plan_alone(const struct sg_shop *shop, int32_t stock, int32_t looks, int64_t *sheets,
                                 struct sg_error *error)
{
    struct sg_planner *planner = sg_planner_new();
    const struct sg_plan *plan;
    struct sg_stock only = shop->stocks[stock];
    struct sg_job job = shop->jobs[only.job];
    struct sg_shop alone = *shop;
    if (!planner)
        return sg_fail(error, SG_FAULT, "no memory for a search");
    only.search = looks;
    only.job = 0;
    job.first_stock = 0;
    job.n_stocks = 1;
    alone.jobs = &job;
    alone.n_jobs = 1;
    alone.stocks = &only;
    alone.n_stocks = 1;
    enum sg_status status = sg_plan_shift(planner, &alone, job.shift, &plan, error);
    if (status == SG_OK)
        *sheets = plan->n_stocks == 1 ? plan->stocks[0].sheets : SG_UNKNOWN;
    sg_planner_free(planner);
    return status;
}

enum sg_status sg_desk_search(struct sg_desk *desk, int32_t stock, int32_t looks, int64_t *sheets,
                              struct sg_error *error)
{
    return plan_alone(&desk->held.shop, stock, looks, sheets, error);
}
