/* What a what-if would give, in a few words. */
#include "tui/what_ifs.h"

#include <stdio.h>
#include <string.h>

void sg_what_if_late(const struct sg_shop *shop, const struct sg_plan *plan, char *out)
{
    int used = 0, more = 0;
    out[0] = '\0';
    for (int32_t i = 0; i < plan->n_jobs; i++) {
        const char *id = shop->jobs[plan->first_job + i].id;
        if (!(plan->jobs[i].late > 0))
            continue;
        if (used > 0 && used + (int)strlen(id) > SG_WHAT_IF_LATE - 6)
            more++;
        else
            used += snprintf(out + used, SG_WHAT_IF_LATE - (size_t)used, "%s%.9s", used ? " " : "", id);
    }
    if (more > 0)
        snprintf(out + used, SG_WHAT_IF_LATE - (size_t)used, " +%d", more);
}

bool sg_what_if_alone(const struct sg_plan *plan)
{
    int best = 0;
    for (int i = 1; i < plan->n_breaks; i++)
        if (plan->breaks[i].to - plan->breaks[i].from > plan->breaks[best].to - plan->breaks[best].from)
            best = i;
    return plan->n_breaks > 0 && plan->breaks[best].alone;
}
