/* Two plans compared number by number, bit by bit. */
#ifndef SANDGLASS_TESTS_EDIT_SAME_PLAN_H
#define SANDGLASS_TESTS_EDIT_SAME_PLAN_H

#include "sandglass/plan.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>

struct member {
    const char *name;
    size_t offset, size;
};

#define M(type, path)                                                                                        \
    {                                                                                                        \
#path, offsetof(struct type, path), sizeof(((struct type *)0)->path)                                 \
    }
/* Members that lie one behind the other without a gap, from the first to the last. */
#define SPAN(type, first, last)                                                                              \
    {                                                                                                        \
#first " to " #last, offsetof(struct type, first),                                                   \
            offsetof(struct type, last) - offsetof(struct type, first) + sizeof(((struct type *)0)->last)    \
    }
#define END                                                                                                  \
    {                                                                                                        \
        NULL, 0, 0                                                                                           \
    }

static const struct member part_members[] = {SPAN(sg_plan_part, traverse, sheets), M(sg_plan_part, basis),
                                             M(sg_plan_part, split), END};

static const struct member stock_members[] = {M(sg_plan_stock, setup.abrasive),
                                              SPAN(sg_plan_stock, setup.height, setup.edge_cut),
                                              M(sg_plan_stock, setup.pierce),
                                              SPAN(sg_plan_stock, setup.traverse_basis, setup.marks),
                                              M(sg_plan_stock, head),
                                              SPAN(sg_plan_stock, load, pieces),
                                              END};

static const struct member job_members[] = {SPAN(sg_plan_job, starts, late), END};

static const struct member break_members[] = {SPAN(sg_plan_break, from, to), M(sg_plan_break, alone),
                                              M(sg_plan_break, event), END};

static const struct member event_members[] = {M(sg_event, at),
                                              SPAN(sg_event, seconds, garnet),
                                              SPAN(sg_event, batch, sheet),
                                              SPAN(sg_event, first, cuts),
                                              SPAN(sg_event, bags, kind),
                                              M(sg_event, flags),
                                              END};

static const struct member batch_members[] = {SPAN(sg_batch, job, sheets),
                                              M(sg_batch, cuts),
                                              M(sg_batch, moves),
                                              SPAN(sg_batch, cut, garnet),
                                              M(sg_batch, stack),
                                              SPAN(sg_batch, tabs, first_check),
                                              END};

static const struct member sheets_members[] = {SPAN(sg_sheets, job, n), M(sg_sheets, copies),
                                               M(sg_sheets, before), M(sg_sheets, load), END};

static const struct member caution_members[] = {SPAN(sg_caution, code, index), SPAN(sg_caution, a, b), END};

/* Everything of the plan itself but its pointers. */
static const struct member plan_members[] = {SPAN(sg_plan, start.level, start.fitted),
                                             M(sg_plan, start.late),
                                             M(sg_plan, start.carried),
                                             SPAN(sg_plan, closed_day, unknown),
                                             SPAN(sg_plan, shift, n_parts),
                                             M(sg_plan, run.n_events),
                                             SPAN(sg_plan, run.failed, run.finished),
                                             SPAN(sg_plan, run.end, run.level_end),
                                             SPAN(sg_plan, run.bags_left, run.bags_short),
                                             M(sg_plan, run.bags_kg),
                                             SPAN(sg_plan, n_batches, n_sheets),
                                             SPAN(sg_plan, totals.cut, totals.energy),
                                             SPAN(sg_plan, totals.bags, totals.bags_to_order),
                                             SPAN(sg_plan, totals.sludge, totals.pieces),
                                             SPAN(sg_plan, ends, over),
                                             M(sg_plan, next_refill),
                                             M(sg_plan, hopper_lasts),
                                             M(sg_plan, n_breaks),
                                             M(sg_plan, n_cautions),
                                             END};

static inline const char *difference(const struct member *members, const void *a, const void *b)
{
    for (; members->name; members++)
        if (memcmp((const char *)a + members->offset, (const char *)b + members->offset, members->size) != 0)
            return members->name;
    return NULL;
}

static char differing[200];

static inline bool same_rows(const char *what, const struct member *members, const void *a, const void *b,
                             int32_t n, size_t size)
{
    for (int32_t i = 0; i < n; i++) {
        const char *name =
            difference(members, (const char *)a + (size_t)i * size, (const char *)b + (size_t)i * size);
        if (name) {
            snprintf(differing, sizeof differing, "%s %d %s", what, i, name);
            return false;
        }
    }
    return true;
}

/* Whether two plans are the same in every bit; `differing` names the first that is not. */
static inline bool same_plan(const struct sg_plan *a, const struct sg_plan *b)
{
    return same_rows("plan", plan_members, a, b, 1, sizeof *a) &&
           same_rows("job", job_members, a->jobs, b->jobs, a->n_jobs, sizeof *a->jobs) &&
           same_rows("stock", stock_members, a->stocks, b->stocks, a->n_stocks, sizeof *a->stocks) &&
           same_rows("part", part_members, a->parts, b->parts, a->n_parts, sizeof *a->parts) &&
           same_rows("event", event_members, a->run.events, b->run.events, a->run.n_events,
                     sizeof *a->run.events) &&
           same_rows("batch", batch_members, a->batches, b->batches, a->n_batches, sizeof *a->batches) &&
           same_rows("sheets", sheets_members, a->sheets, b->sheets, a->n_sheets, sizeof *a->sheets) &&
           same_rows("break", break_members, a->breaks, b->breaks, a->n_breaks, sizeof *a->breaks) &&
           same_rows("caution", caution_members, a->cautions, b->cautions, a->n_cautions,
                     sizeof *a->cautions);
}

/* Hours on tubes and orifices at the end: what the next shift starts with. */
static inline bool same_wear(const struct sg_plan *a, const struct sg_plan *b, int32_t n_heads)
{
    static const struct member hours[] = {{"hours", 0, sizeof(double)}, END};
    return same_rows("wear", hours, a->run.hours, b->run.hours, 2 * n_heads, sizeof(double));
}

/* What no member covers may only be what the compiler leaves between them. */
#endif
