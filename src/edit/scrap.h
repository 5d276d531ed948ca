/* Sheets of a stock by their numbers, as the plan counts them: a stack counts as one. What is scrapped is
 * named by them (sg_desk_scrap, desk.h). */
#ifndef SANDGLASS_SCRAP_H
#define SANDGLASS_SCRAP_H

#include "sandglass/plan.h"

/* How many there are; of a part that is not laid out one for all of it. */
int64_t sg_sheets_in_all(const struct sg_plan *plan, int32_t stock);

/* Those that are cut alike among which sheet `number` (from 1) is; NULL where there is no such sheet. */
const struct sg_sheets *sg_sheets_with(const struct sg_plan *plan, int32_t stock, int64_t number);

#endif
