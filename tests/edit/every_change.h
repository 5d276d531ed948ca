/* An exhaustive search of its own: every change of the families that suggest.h names, made by hand in a copy
 * of the shop and planned by a planner without a past. */
#ifndef SANDGLASS_TESTS_EDIT_EVERY_CHANGE_H
#define SANDGLASS_TESTS_EDIT_EVERY_CHANGE_H

#include "edit/shop_file.h"
#include "sandglass/rules.h"

#include <check.h>

static struct sg_error error;

enum { MAX_CHANGES = 200 };

struct outcome {
    double minute; /* of the clock, in which the shift ends */
    double saving; /* s, at least one; infinite where the shift could not end before */
    double late_s;
    int n_late;
    bool taken; /* seen among the suggestions */
};

struct found {
    struct outcome all[MAX_CHANGES];
    int n, tried, refused;
};

static double ends_of(const struct sg_shop *shop, int32_t shift)
{
    const struct sg_plan *plan = NULL;
    struct sg_planner *planner = sg_planner_new();
    ck_assert_msg(sg_plan_shift(planner, shop, shift, &plan, &error) == SG_OK, "%s", error.text);
    double ends = plan->ends;
    sg_planner_free(planner);
    return ends;
}

static double minute_of(const struct sg_shop *shop, int32_t shift, double at)
{
    return floor((shop->shifts[shift].calendar.epoch + at + 1e-6) / 60);
}

/* Add the jobs of a shift that end after they are due; with a row that job alone. */
static void count_late(const struct sg_shop *shop, int32_t shift, int64_t row, struct outcome *out)
{
    const struct sg_plan *plan = NULL;
    struct sg_planner *planner = sg_planner_new();
    ck_assert_msg(sg_plan_shift(planner, shop, shift, &plan, &error) == SG_OK, "%s", error.text);
    for (int32_t i = 0; i < plan->n_jobs; i++) {
        const struct sg_job *job = &shop->jobs[plan->first_job + i];
        double late = shop->shifts[shift].calendar.epoch + plan->jobs[i].ends - job->due_epoch;
        if (!(late > 0) || (row != 0 && job->row != row))
            continue;
        out->n_late++;
        out->late_s += late;
    }
    sg_planner_free(planner);
}

/* Note what the changed copy saves, if the rules let the changed record stand; `target` is a job that went to
 * shift `to`, or another record and `to` negative. */
static void weigh_move(struct found *found, const struct sg_shop *kept, struct shop_copy *changed,
                       int32_t shift, struct sg_target target, int32_t to)
{
    ck_assert_int_lt(found->tried, MAX_CHANGES);
    found->tried++;
    if (sg_rules_check(target.kind, sg_target_record(&changed->shop, target), &changed->shop, &error) !=
        SG_OK) {
        found->refused++;
        return;
    }
    double before = ends_of(kept, shift), after = ends_of(&changed->shop, shift);
    if (!sg_known(after))
        return;
    struct outcome out = {.minute = minute_of(kept, shift, after),
                          .saving = sg_known(before) ? before - after : (double)INFINITY};
    count_late(&changed->shop, shift, 0, &out);
    if (to >= 0)
        count_late(&changed->shop, to, changed->shop.jobs[target.index].row, &out);
    if (out.saving >= 1)
        found->all[found->n++] = out;
}

static void weigh(struct found *found, const struct sg_shop *kept, struct shop_copy *changed, int32_t shift,
                  struct sg_target target)
{
    weigh_move(found, kept, changed, shift, target, -1);
}

static void search_refills(struct found *found, const struct sg_shop *kept, int32_t shift)
{
    struct shop_copy copy = {0};
    if (kept->machine.refill_when != SG_WHEN_LEAST_WAIT) {
        shop_copy_take(&copy, kept);
        copy.shop.machine.refill_when = SG_WHEN_LEAST_WAIT;
        weigh(found, kept, &copy, shift, (struct sg_target){SG_KIND_MACHINE, 0});
    }
    if (!kept->shifts[shift].fill_before_breaks && kept->shifts[shift].n_breaks > 0) {
        shop_copy_take(&copy, kept);
        copy.shop.shifts[shift].fill_before_breaks = 1;
        weigh(found, kept, &copy, shift, (struct sg_target){SG_KIND_SHIFT, shift});
    }
    for (int32_t i = 0; i < kept->n_stocks; i++) {
        if (kept->jobs[kept->stocks[i].job].shift != shift || kept->stocks[i].fill ||
            kept->stocks[i].n_parts == 0)
            continue;
        shop_copy_take(&copy, kept);
        copy.shop.stocks[i].fill = 1;
        weigh(found, kept, &copy, shift, (struct sg_target){SG_KIND_STOCK, i});
    }
    shop_copy_free(&copy);
}

static void search_swaps(struct found *found, const struct sg_shop *kept, int32_t shift)
{
    struct shop_copy copy = {0};
    for (int32_t a = 0; a < kept->n_jobs; a++)
        for (int32_t b = a + 1; b < kept->n_jobs; b++) {
            int32_t order[MAX_CHANGES];
            if (kept->jobs[a].shift != shift || kept->jobs[b].shift != shift)
                continue;
            for (int32_t i = 0; i < kept->n_jobs; i++)
                order[i] = i == a ? b : i == b ? a : i;
            shop_copy_take(&copy, kept);
            shop_copy_sequence(&copy, order);
            weigh(found, kept, &copy, shift, (struct sg_target){SG_KIND_JOB, a});
        }
    shop_copy_free(&copy);
}

static int32_t open_shift_after(const struct sg_shop *shop, int32_t shift)
{
    int32_t next = -1;
    for (int32_t i = 0; i < shop->n_shifts; i++) {
        const double at = shop->shifts[i].calendar.epoch;
        if (!shop->shifts[i].closed && at > shop->shifts[shift].calendar.epoch &&
            (next < 0 || at < shop->shifts[next].calendar.epoch))
            next = i;
    }
    return next;
}

static void search_moves(struct found *found, const struct sg_shop *kept, int32_t shift)
{
    struct shop_copy copy = {0};
    int32_t next = open_shift_after(kept, shift);
    for (int32_t j = 0; j < kept->n_jobs && next >= 0; j++) {
        if (kept->jobs[j].shift != shift)
            continue;
        shop_copy_take(&copy, kept);
        int32_t at = shop_copy_move(&copy, j, next, INT32_MAX);
        weigh_move(found, kept, &copy, shift, (struct sg_target){SG_KIND_JOB, at}, next);
    }
    shop_copy_free(&copy);
}

static void search_edges(struct found *found, const struct sg_shop *kept, int32_t shift)
{
    struct shop_copy copy = {0};
    for (int32_t i = 0; i < kept->n_parts; i++) {
        const struct sg_part *part = &kept->parts[i];
        const struct sg_stock *stock = &kept->stocks[part->stock];
        const double edge = sg_known(part->edge) ? part->edge : stock->edge;
        if (kept->jobs[stock->job].shift != shift || !sg_known(part->edge_least) ||
            edge - 1 < part->edge_least)
            continue;
        shop_copy_take(&copy, kept);
        copy.shop.parts[i].edge = edge - 1;
        weigh(found, kept, &copy, shift, (struct sg_target){SG_KIND_PART, i});
    }
    shop_copy_free(&copy);
}

static void search(struct found *found, const struct sg_shop *kept, int32_t shift)
{
    memset(found, 0, sizeof *found);
    search_refills(found, kept, shift);
    search_swaps(found, kept, shift);
    search_moves(found, kept, shift);
    search_edges(found, kept, shift);
}

#endif
