/* Work that takes a moment: a little of it at once, so that a key is never late, the rest while nobody types.
 */
#ifndef SANDGLASS_TUI_BUDGET_H
#define SANDGLASS_TUI_BUDGET_H

#include "tui/inside.h"

#include <time.h>

enum { SG_BUDGET_KEY_MS = 30, SG_BUDGET_IDLE_MS = 100, SG_BUDGET_ALL = -1 };

struct sg_budget {
    int64_t until_ms; /* of the clock that never jumps; SG_BUDGET_ALL: no end */
};

static inline int64_t sg_budget_now(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* From now on. What is spoken is read out once, so it is made whole. */
static inline struct sg_budget sg_budget_start(const struct sg_ui *ui, int ms)
{
    bool all = ms == SG_BUDGET_ALL || ui->how.spoken;
    return (struct sg_budget){all ? SG_BUDGET_ALL : sg_budget_now() + ms};
}

static inline bool sg_budget_left(const struct sg_budget *budget)
{
    return budget->until_ms == SG_BUDGET_ALL || sg_budget_now() < budget->until_ms;
}

#endif
