/* Time studies: ratios, groups, what a change would do, sentences, and writing numbers into the shop. */
#include "study_inside.h"

#include "sandglass/setup.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- one run ---- */

static double planned_cutting(const struct sg_study_run *run)
{
    return run->planned_cut + run->planned_corner + run->planned_acceleration;
}

double sg_study_planned(const struct sg_study_run *run)
{
    return planned_cutting(run) + (run->cut_only ? 0 : run->planned_pierce + run->planned_rapid);
}

double sg_study_net(const struct sg_study_run *run)
{
    return run->took - run->stops;
}

double sg_study_ratio(const struct sg_study_run *run)
{
    double net = sg_study_net(run), planned = sg_study_planned(run);
    return net > 0 && planned > 0 && isfinite(net) && isfinite(planned) ? net / planned : (double)NAN;
}

double sg_study_cut_share(const struct sg_study_run *run)
{
    return planned_cutting(run) / sg_study_planned(run);
}

bool sg_study_speaks(const struct sg_study_run *run)
{
    struct sg_study_parts parts = sg_study_parts_of(run, run->garnet);
    bool held =
        sg_known(run->top_feed) && run->cut_length / run->planned_cut * 60 >= run->top_feed * (1 - 1e-9);
    return sg_known(sg_study_ratio(run)) && !run->feed_typed && !held && run->cut_length > 0 &&
           parts.cut > 0 && isfinite(parts.cut) && isfinite(parts.rise) && isfinite(parts.rest);
}

/* ---- groups ---- */

static const double band_ends[SG_STUDY_BANDS] = {3, 6, 10, 16, 25, 40, 60, 100, (double)INFINITY};

int sg_study_band(double height)
{
    int band = 0;
    while (band < SG_STUDY_BANDS - 1 && height > band_ends[band] * (1 + 1e-9))
        band++;
    return band;
}

void sg_study_band_ends(int band, double *above, double *up_to)
{
    *above = band > 0 ? band_ends[band - 1] : 0;
    *up_to = band_ends[band];
}

struct grouped {
    int32_t key[4]; /* material, head, band, edge */
    double ratio;
};

static int by_group(const void *a, const void *b)
{
    const struct grouped *x = a, *y = b;
    for (int i = 0; i < 4; i++)
        if (x->key[i] != y->key[i])
            return x->key[i] < y->key[i] ? -1 : 1;
    return (x->ratio > y->ratio) - (x->ratio < y->ratio);
}

static struct grouped grouped_of(const struct sg_study_run *run)
{
    int32_t edge = (int32_t)lround(fmin(fmax(run->edge, 1), SG_EDGES));
    return (struct grouped){{run->material, run->head, sg_study_band(run->height), edge},
                            sg_study_ratio(run)};
}

/* rows: the group's, by ratio; room: as many doubles. */
static struct sg_study_group group_of(const struct grouped *rows, int32_t n, double *room)
{
    const int32_t *key = rows[0].key;
    struct sg_study_group group = {key[0], key[1], key[2], key[3], n, n < SG_STUDY_RUNS, 0, 0, 0, 0};
    group.lowest = rows[0].ratio;
    group.highest = rows[n - 1].ratio;
    for (int32_t i = 0; i < n; i++)
        room[i] = rows[i].ratio;
    group.median = sg_median(room, n);
    for (int32_t i = 0; i < n; i++)
        room[i] = fabs(rows[i].ratio - group.median);
    group.spread = 1.4826 * sg_median(room, n);
    return group;
}

static bool same_group(const struct grouped *a, const struct grouped *b)
{
    for (int i = 0; i < 4; i++)
        if (a->key[i] != b->key[i])
            return false;
    return true;
}

bool sg_study_groups(const struct sg_study_run *runs, int32_t n, struct sg_arena *arena,
                     struct sg_study_group **groups, int32_t *n_groups)
{
    struct grouped *rows = sg_arena_take(arena, (size_t)n * sizeof *rows);
    double *room = sg_arena_take(arena, (size_t)n * sizeof *room);
    *groups = sg_arena_take(arena, (size_t)n * sizeof **groups);
    *n_groups = 0;
    if (!rows || !room || !*groups)
        return false;
    int32_t count = 0;
    for (int32_t i = 0; i < n; i++)
        if (sg_known(sg_study_ratio(&runs[i])))
            rows[count++] = grouped_of(&runs[i]);
    qsort(rows, (size_t)count, sizeof *rows, by_group);
    for (int32_t first = 0, next; first < count; first = next) {
        for (next = first + 1; next < count && same_group(&rows[first], &rows[next]);)
            next++;
        (*groups)[(*n_groups)++] = group_of(&rows[first], next - first, room);
    }
    return true;
}

/* ---- numbers in words ---- */

struct sg_study_number sg_study_number_of(int32_t n, int32_t wild, double log_estimate, double half)
{
    bool narrow = half <= log(1 + SG_STUDY_WIDEST); /* false of NaN */
    return (struct sg_study_number){.verdict = n < SG_STUDY_RUNS ? SG_STUDY_FEW
                                               : narrow          ? SG_STUDY_OFFERED
                                                                 : SG_STUDY_VAGUE,
                                    .n = n,
                                    .wild = wild,
                                    .estimate = exp(log_estimate),
                                    .low = exp(log_estimate - half),
                                    .high = exp(log_estimate + half),
                                    .basis = SG_BASIS_SHOP};
}

static int vague_sentence(int n, double percent, char *out, size_t size)
{
    const double most = 1000; /* beyond it no figure says more */
    if (percent <= SG_STUDY_WIDEST * 100)
        return snprintf(out, size, "not used: %d runs, but what goes with it is too uncertain yet", n);
    return snprintf(out, size, "too uncertain yet: %d runs, +-%.0f %%%s", n, fmin(percent, most),
                    percent > most ? " and more" : "");
}

bool sg_study_in_use(const struct sg_study_number *number, double now)
{
    char is[40], would_be[40];
    snprintf(is, sizeof is, "%.4g", now);
    snprintf(would_be, sizeof would_be, "%.4g", number->estimate);
    return sg_known(now) && strcmp(is, would_be) == 0;
}

int sg_study_sentence(const struct sg_study_number *number, char *out, size_t size)
{
    int n = number->n;
    double percent = (number->high / number->estimate - 1) * 100;
    switch (number->verdict) {
    case SG_STUDY_OFFERED:
        return snprintf(out, size, percent < 0.95 ? "shop, %d runs, +-%.1f %%" : "shop, %d runs, +-%.0f %%",
                        n, percent);
    case SG_STUDY_FEW:
        return snprintf(out, size, "too few: %d of %d runs", n, SG_STUDY_RUNS);
    case SG_STUDY_ONE_HEIGHT:
        return snprintf(out, size, "not used: %d runs, but less than %d thicknesses", n,
                        SG_STUDY_THICKNESSES);
    case SG_STUDY_VAGUE:
        return vague_sentence(n, percent, out, size);
    case SG_STUDY_AS_FORMULA:
        return snprintf(out, size, "not used: %.2f is within %.2f to %.2f, %d runs", SG_TRAVERSE_EXPONENT,
                        number->low, number->high, n);
    case SG_STUDY_OUTSIDE:
        return snprintf(out, size, "not used: %.2f is outside %.1f to %.1f, %d runs", number->estimate,
                        SG_STUDY_EXPONENT_LOW, SG_STUDY_EXPONENT_HIGH, n);
    }
    return snprintf(out, size, "%s", "");
}

/* ---- what a change would do ---- */

struct change {
    const struct sg_study *study; /* NULL: a factor */
    const struct sg_machine *machine;
    unsigned use;
    double factor;
};

static bool change_of(const struct sg_study_run *runs, int32_t n, const struct change *change,
                      struct sg_arena *arena, struct sg_study_change *out)
{
    double *before = sg_arena_take(arena, (size_t)n * sizeof *before);
    double *after = sg_arena_take(arena, (size_t)n * sizeof *after);
    *out = (struct sg_study_change){0, (double)NAN, (double)NAN};
    if (!before || !after)
        return false;
    for (int32_t i = 0; i < n; i++) {
        double ratio = sg_study_ratio(&runs[i]), planned = sg_study_planned(&runs[i]) * change->factor;
        if (!sg_known(ratio))
            continue;
        if (change->study)
            planned = sg_study_replanned(&runs[i], change->study, change->machine, change->use);
        before[out->n] = fabs(ratio - 1);
        after[out->n++] = fabs(sg_study_net(&runs[i]) / planned - 1);
    }
    out->before = sg_median(before, out->n);
    out->after = sg_median(after, out->n);
    return true;
}

bool sg_study_change_of_factor(const struct sg_study_run *runs, int32_t n, double factor,
                               struct sg_arena *arena, struct sg_study_change *out)
{
    return change_of(runs, n, &(struct change){.factor = factor}, arena, out);
}

bool sg_study_change_of_numbers(const struct sg_study_run *runs, int32_t n, const struct sg_study *study,
                                const struct sg_machine *machine, unsigned use, struct sg_arena *arena,
                                struct sg_study_change *out)
{
    return change_of(runs, n, &(struct change){study, machine, use, 1}, arena, out);
}

/* ---- use ---- */

const struct sg_study_cutting *sg_study_of_material(const struct sg_study *study, int32_t material,
                                                    int32_t head_kind)
{
    for (int32_t i = 0; i < study->n_cutting; i++)
        if (study->cutting[i].material == material && study->cutting[i].head_kind == head_kind)
            return &study->cutting[i];
    return NULL;
}

bool sg_study_apply_material(const struct sg_study_cutting *cutting, bool with_exponent,
                             struct sg_material *material)
{
    bool bent = with_exponent && cutting->exponent.verdict == SG_STUDY_OFFERED;
    bool water = cutting->head_kind == SG_HEAD_WATER;
    const struct sg_study_number *number = bent ? &cutting->speed_at : &cutting->speed;
    if (number->verdict != SG_STUDY_OFFERED)
        return false;
    double other = water ? material->machinability : material->cut_energy;
    *(water ? &material->cut_energy : &material->machinability) = number->estimate;
    if (!sg_known(other)) /* one basis stands for both numbers */
        material->basis = SG_BASIS_SHOP;
    return true;
}

bool sg_study_apply_machine(const struct sg_study *study, enum sg_pierce_way way, struct sg_machine *machine)
{
    const struct sg_study_piercing *piercing = &study->piercing[way];
    if (piercing->base.verdict != SG_STUDY_OFFERED)
        return false;
    machine->pierce_base[way] = piercing->base.estimate;
    machine->pierce_factor[way] = piercing->factor.estimate;
    return true;
}

bool sg_study_apply_head(const struct sg_study_feed *feed, struct sg_head *head)
{
    if (feed->feed.verdict != SG_STUDY_OFFERED)
        return false;
    head->garnet = feed->feed.estimate;
    return true;
}

bool sg_study_has_material(const struct sg_study_cutting *cutting, bool with_exponent,
                           const struct sg_material *material)
{
    bool bent = with_exponent && cutting->exponent.verdict == SG_STUDY_OFFERED;
    bool water = cutting->head_kind == SG_HEAD_WATER;
    struct sg_material with = *material;
    bool as_bent = water || (bent ? sg_study_in_use(&cutting->exponent, material->thickness_exponent) &&
                                        cutting->reference == material->reference_thickness
                                  : !sg_has_exponent(material));
    return sg_study_apply_material(cutting, with_exponent, &with) && with.basis == material->basis &&
           as_bent &&
           sg_study_in_use(bent ? &cutting->speed_at : &cutting->speed,
                           water ? material->cut_energy : material->machinability);
}

bool sg_study_has_machine(const struct sg_study *study, enum sg_pierce_way way,
                          const struct sg_machine *machine)
{
    const struct sg_study_piercing *piercing = &study->piercing[way];
    return piercing->base.verdict == SG_STUDY_OFFERED &&
           sg_study_in_use(&piercing->base, machine->pierce_base[way]) &&
           sg_study_in_use(&piercing->factor, machine->pierce_factor[way]);
}

bool sg_study_is_own(const struct sg_material *material, int32_t head_kind)
{
    char said[8];
    return sg_study_source(material, head_kind, said, sizeof said);
}

bool sg_study_source(const struct sg_material *material, int32_t head_kind, char *out, size_t size)
{
    const char *field = head_kind == SG_HEAD_WATER ? "cut energy: " : "machinability: ";
    bool named = strncmp(material->source, field, strlen(field)) == 0;
    const char *said = material->source + (named ? strlen(field) : 0);
    bool own = material->basis == SG_BASIS_SHOP || (named && strncmp(said, "shop, ", 6) == 0);
    snprintf(out, size, "%.*s", own ? (int)strcspn(said, ";") : 0, said);
    return own;
}
