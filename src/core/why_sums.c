/* Why the sums of a job and of a shift are what they are: the greatest of what they are made of. */
#include "why_inside.h"

#include <stddef.h>
#include <string.h>

/* A number that parts, stocks and jobs have alike. */
struct sum {
    const char *name;
    enum sg_dimension dimension;
    size_t of_job, of_stock, of_part;
    bool cut, pierce; /* whose basis it has */
};
#define SUM(f, dim, c, p)                                                                                    \
    {                                                                                                        \
#f, dim, offsetof(struct sg_plan_job, f), offsetof(struct sg_plan_stock, f),                         \
            offsetof(struct sg_plan_part, f), c, p                                                           \
    }
static const struct sum cut = SUM(cut, SG_DIM_DURATION, true, false);
static const struct sum pierce = SUM(pierce, SG_DIM_DURATION, false, true);
static const struct sum rapid = SUM(rapid, SG_DIM_DURATION, false, false);
static const struct sum garnet = SUM(garnet, SG_DIM_MASS, true, true);

static double number_at(const void *record, size_t offset)
{
    double value;
    memcpy(&value, (const char *)record + offset, sizeof value);
    return value;
}

static const struct sg_plan_stock *stock_of(const struct sg_why_build *w, int32_t index)
{
    return &w->plan->stocks[index - w->plan->first_stock];
}

static const struct sg_plan_part *part_of(const struct sg_why_build *w, int32_t index)
{
    return &w->plan->parts[index - w->plan->first_part];
}

static const struct sg_plan_job *job_of(const struct sg_why_build *w, int32_t index)
{
    return &w->plan->jobs[index - w->plan->first_job];
}

static struct sg_why_item *room_for(struct sg_why_build *w, int32_t n)
{
    struct sg_why_item *items = sg_arena_take(w->arena, ((size_t)n + 1) * sizeof *items);
    w->failed = w->failed || !items;
    return items;
}

static bool timed(const struct sg_plan_part *part)
{
    return sg_known(part->each) || part->cuts == 0;
}

/* First part and the one behind the last of a job, or of the shift. */
static void parts_of(const struct sg_why_build *w, int32_t job, int32_t *first, int32_t *end)
{
    *first = w->plan->first_part;
    *end = *first + w->plan->n_parts;
    if (job == SG_UNKNOWN)
        return;
    const struct sg_job *j = &w->shop->jobs[job];
    *end = *first;
    if (j->n_stocks == 0)
        return;
    const struct sg_stock *last = &w->shop->stocks[j->first_stock + j->n_stocks - 1];
    *first = w->shop->stocks[j->first_stock].first_part;
    *end = last->first_part + last->n_parts;
}

static int weakest(const struct sg_why_build *w, int32_t job, bool of_cut, bool of_pierce)
{
    int32_t first, end;
    int basis = SG_BASIS_DERIVED;
    parts_of(w, job, &first, &end);
    for (int32_t i = first; i < end; i++) {
        struct sg_why_place at = sg_why_place_of(w, (struct sg_target){SG_KIND_PART, i});
        int one = sg_why_part_basis(&at, of_cut, of_pierce);
        if (at.planned_part->cuts > 0 && one > basis)
            basis = one;
    }
    return basis;
}

/* ---- what cannot be timed ---- */

enum { EXPLAINED = 3 };

int32_t sg_why_untimed(struct sg_why_build *w, int32_t job)
{
    int32_t first, end, n = 0;
    parts_of(w, job, &first, &end);
    for (int32_t i = first; i < end; i++) {
        if (timed(part_of(w, i)) || n++ >= EXPLAINED)
            continue;
        struct sg_why_place at = sg_why_place_of(w, (struct sg_target){SG_KIND_PART, i});
        struct sg_why_line *line =
            sg_why_number(w, sg_why_key(w, at.of_part), NULL, SG_DIM_DURATION, (double)NAN);
        line->note = "cannot be timed: the run stops before it";
        sg_why_more(line, at.of_part, "each");
        w->depth++;
        sg_why_each(w, &at);
        w->depth--;
    }
    if (n > EXPLAINED)
        sg_why_whole(w, "parts that cannot be timed either", n - EXPLAINED)->aside = true;
    return n;
}

/* A sum's own line. True where it is known; else it says why not, with the parts of job or shift. */
static bool sum_line(struct sg_why_build *w, const char *name, enum sg_dimension dimension, double value,
                     int basis, int32_t job)
{
    struct sg_why_line *line = sg_why_number(w, name, NULL, dimension, value);
    if (sg_known(value)) {
        sg_why_formula(line, "sum of its lines", false, basis, NULL);
        return true;
    }
    line->note = "a part cannot be timed";
    w->depth++;
    sg_why_untimed(w, job);
    w->depth--;
    return false;
}

/* ---- sums over parts, stocks and jobs ---- */

static void parts_of_stock(struct sg_why_build *w, const struct sg_why_item *item)
{
    const struct sum *sum = w->context;
    const struct sg_stock *stock = &w->shop->stocks[item->index];
    struct sg_why_item *items = room_for(w, stock->n_parts);
    int n = 0;
    for (int32_t i = stock->first_part; items && i < stock->first_part + stock->n_parts; i++) {
        struct sg_target part = {SG_KIND_PART, i};
        items[n++] = (struct sg_why_item){
            number_at(part_of(w, i), sum->of_part), sg_why_key(w, part), part, sum->name, (double)NAN, i};
    }
    sg_why_formula(&w->lines[w->n - 1], "sum of its lines", false, SG_BASIS_DERIVED, NULL);
    if (items)
        sg_why_items(w, items, n, SG_WHY_NUMBER, sum->dimension, SG_WHY_MOST, NULL);
}

static void job_sum(struct sg_why_build *w, int32_t index, const struct sum *sum)
{
    const struct sg_job *job = &w->shop->jobs[index];
    struct sg_why_item *items = room_for(w, job->n_stocks);
    if (!sum_line(w, sum->name, sum->dimension, number_at(job_of(w, index), sum->of_job),
                  weakest(w, index, sum->cut, sum->pierce), index))
        return;
    for (int32_t i = 0; items && i < job->n_stocks; i++) {
        int32_t stock = job->first_stock + i;
        struct sg_target target = {SG_KIND_STOCK, stock};
        items[i] = (struct sg_why_item){number_at(stock_of(w, stock), sum->of_stock),
                                        sg_why_key(w, target),
                                        target,
                                        NULL,
                                        (double)NAN,
                                        stock};
    }
    w->context = sum;
    w->depth++;
    if (items)
        sg_why_items(w, items, job->n_stocks, SG_WHY_NUMBER, sum->dimension, SG_WHY_MOST, parts_of_stock);
    w->depth--;
}

static void shift_sum(struct sg_why_build *w, const struct sum *sum, double value)
{
    struct sg_why_item *items = room_for(w, w->plan->n_jobs);
    if (!sum_line(w, sum->name, sum->dimension, value, weakest(w, SG_UNKNOWN, sum->cut, sum->pierce),
                  SG_UNKNOWN))
        return;
    for (int32_t i = 0; items && i < w->plan->n_jobs; i++) {
        struct sg_target job = {SG_KIND_JOB, w->plan->first_job + i};
        items[i] = (struct sg_why_item){number_at(&w->plan->jobs[i], sum->of_job),
                                        sg_why_key(w, job),
                                        job,
                                        sum->name,
                                        (double)NAN,
                                        job.index};
    }
    w->depth++;
    if (items)
        sg_why_items(w, items, w->plan->n_jobs, SG_WHY_NUMBER, sum->dimension, SG_WHY_MOST, NULL);
    w->depth--;
}

void sg_why_job_cut(struct sg_why_build *w, int32_t index)
{
    job_sum(w, index, &cut);
}

void sg_why_job_pierce(struct sg_why_build *w, int32_t index)
{
    job_sum(w, index, &pierce);
}

void sg_why_job_rapid(struct sg_why_build *w, int32_t index)
{
    job_sum(w, index, &rapid);
}

void sg_why_job_garnet(struct sg_why_build *w, int32_t index)
{
    job_sum(w, index, &garnet);
}

void sg_why_shift_cut(struct sg_why_build *w, int32_t index)
{
    (void)index;
    shift_sum(w, &cut, w->plan->totals.cut);
}

void sg_why_shift_pierce(struct sg_why_build *w, int32_t index)
{
    (void)index;
    shift_sum(w, &pierce, w->plan->totals.pierce);
}

void sg_why_shift_rapid(struct sg_why_build *w, int32_t index)
{
    (void)index;
    shift_sum(w, &rapid, w->plan->totals.rapid);
}

void sg_why_shift_garnet(struct sg_why_build *w, int32_t index)
{
    (void)index;
    shift_sum(w, &garnet, w->plan->totals.garnet);
}

/* ---- sheets ---- */

/* The parts whose sheets are not known. */
static void sheets_missing(struct sg_why_build *w, int32_t job)
{
    int32_t first, end, n = 0;
    parts_of(w, job, &first, &end);
    for (int32_t i = first; i < end; i++) {
        if (sg_known(part_of(w, i)->sheets) || n++ >= EXPLAINED)
            continue;
        struct sg_why_place at = sg_why_place_of(w, (struct sg_target){SG_KIND_PART, i});
        sg_why_part_sheets_line(w, &at, sg_why_key(w, at.of_part));
    }
    if (n > EXPLAINED)
        sg_why_whole(w, "parts whose sheets are not known either", n - EXPLAINED)->aside = true;
}

static void sheets(struct sg_why_build *w, int64_t value, int32_t job, const struct sg_why_item *items, int n)
{
    struct sg_why_line *line = sg_why_whole(w, "sheets", value);
    if (value != SG_UNKNOWN)
        sg_why_formula(line, "sum of its lines", false, SG_BASIS_DERIVED, NULL);
    else
        line->note = "the sheets of a part are not known";
    w->depth++;
    if (value == SG_UNKNOWN)
        sheets_missing(w, job);
    else if (items)
        sg_why_items(w, items, n, SG_WHY_WHOLE, SG_DIM_NUMBER, SG_WHY_MOST, NULL);
    w->depth--;
}

void sg_why_job_sheets(struct sg_why_build *w, int32_t index)
{
    const struct sg_job *job = &w->shop->jobs[index];
    struct sg_why_item *items = room_for(w, job->n_stocks);
    for (int32_t i = 0; items && i < job->n_stocks; i++) {
        struct sg_target stock = {SG_KIND_STOCK, job->first_stock + i};
        items[i] = (struct sg_why_item){sg_why_count(stock_of(w, stock.index)->sheets),
                                        sg_why_key(w, stock),
                                        stock,
                                        "sheets",
                                        (double)NAN,
                                        stock.index};
    }
    sheets(w, job_of(w, index)->sheets, index, items, job->n_stocks);
}

void sg_why_shift_sheets(struct sg_why_build *w, int32_t index)
{
    (void)index;
    struct sg_why_item *items = room_for(w, w->plan->n_jobs);
    for (int32_t i = 0; items && i < w->plan->n_jobs; i++) {
        struct sg_target job = {SG_KIND_JOB, w->plan->first_job + i};
        items[i] = (struct sg_why_item){
            sg_why_count(w->plan->jobs[i].sheets), sg_why_key(w, job), job, "sheets", (double)NAN, job.index};
    }
    sheets(w, w->plan->totals.sheets, SG_UNKNOWN, items, w->plan->n_jobs);
}

/* ---- water and energy ---- */

/* What the jet of a stock uses; the context is the name of its number, "water" or "shaft_power". */
static void jet_of_stock(struct sg_why_build *w, const struct sg_why_item *item)
{
    const char *number = w->context;
    bool water = strcmp(number, "water") == 0;
    const struct sg_plan_stock *planned = stock_of(w, item->index);
    struct sg_why_line *line = &w->lines[w->n - 1];
    sg_why_formula(line,
                   water ? "(cut + pierce) x heads / 60 x Q" : "(cut + pierce) x heads / 3600 x shaft power",
                   true, SG_BASIS_DERIVED, NULL);
    line->has_from = false;
    sg_why_number(w, "cut", NULL, SG_DIM_DURATION, planned->cut);
    sg_why_number(w, "pierce", NULL, SG_DIM_DURATION, planned->pierce);
    sg_why_field(w, (struct sg_target){SG_KIND_HEAD, planned->head}, "heads", NULL, NULL);
    line = sg_why_number(w, water ? "water of one head" : "shaft power", water ? "Q" : NULL,
                         water ? SG_DIM_FLOW : SG_DIM_POWER,
                         water ? planned->setup.water : planned->setup.shaft_power);
    sg_why_more(line, item->from, number);
}

static void jet_sum(struct sg_why_build *w, const char *name, enum sg_dimension dimension, double value,
                    const char *number)
{
    bool water = strcmp(number, "water") == 0;
    struct sg_why_item *items = room_for(w, w->plan->n_stocks);
    if (!sum_line(w, name, dimension, value, weakest(w, SG_UNKNOWN, true, true), SG_UNKNOWN))
        return;
    for (int32_t i = 0; items && i < w->plan->n_stocks; i++) {
        const struct sg_plan_stock *stock = &w->plan->stocks[i];
        struct sg_target target = {SG_KIND_STOCK, w->plan->first_stock + i};
        double jet = (stock->cut + stock->pierce) * w->shop->heads[stock->head].heads;
        double used = water ? jet / 60 * stock->setup.water : jet / 3600 * stock->setup.shaft_power;
        items[i] = (struct sg_why_item){used, sg_why_key(w, target), target, NULL, (double)NAN, target.index};
    }
    w->context = number;
    w->depth++;
    if (items)
        sg_why_items(w, items, w->plan->n_stocks, SG_WHY_NUMBER, dimension, SG_WHY_MOST, jet_of_stock);
    w->depth--;
}

void sg_why_shift_water(struct sg_why_build *w, int32_t index)
{
    (void)index;
    jet_sum(w, "water", SG_DIM_VOLUME, w->plan->totals.water, "water");
}

void sg_why_shift_energy(struct sg_why_build *w, int32_t index)
{
    (void)index;
    jet_sum(w, "energy at the pump's shaft", SG_DIM_ENERGY, w->plan->totals.energy, "shaft_power");
}
