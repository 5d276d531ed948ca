/* The joint fit: a speed for each material and head kind, t0 and kappa for each way to pierce. */
#include "study_fitting.h"

#include <math.h>
#include <stdlib.h>

/* Deviation of the logarithm of a pierce number that is right within a factor of 3 nine times of ten. */
#define PIERCE_DEVIATION 0.6679 /* ln 3 / 1.6449 */

/* The exponent of the garnet feed in the speed. */
static const double garnet_power = 0.343 * SG_TRAVERSE_EXPONENT;

/* log took = log(cut e^-s + pierces (t0 + kappa rise e^-s) + rest) */
static void fitting_row(const void *data, int32_t i, const double *parameters, struct sg_robust_row *out)
{
    const struct sg_fitting *f = data;
    const struct sg_fit_row *row = &f->rows[i];
    const struct sg_study_parts *parts = &row->parts;
    int32_t bend = sg_exponent_parameter(f, row->cutting), pierce = sg_pierce_parameter(f, row->way);
    double away = row->log_height - log(f->study->cutting[row->cutting].reference);
    double slow = exp(-parameters[row->cutting] + parameters[bend] * away);
    bool open = row->way != SG_UNKNOWN, held = open && f->held[row->way];
    bool bends = f->bent[row->cutting] && !f->bends_held;
    double base = parts->pierces * (open ? exp(parameters[pierce]) : 0.5);
    double rise = parts->pierces * parts->rise * slow * (open ? exp(parameters[pierce + 1]) : 1);
    double cutting = parts->cut * slow, whole = cutting + base + rise + parts->rest;
    *out = (struct sg_robust_row){row->log_net - log(whole),
                                  open ? 4 : 2,
                                  {row->cutting, bend, pierce, pierce + 1},
                                  {-(cutting + rise) / whole, bends ? away * (cutting + rise) / whole : 0,
                                   held ? 0 : base / whole, held ? 0 : rise / whole}};
}

/* ---- which runs take part ---- */

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* How many different heights: more than 1 % apart. Sorts them. */
static int32_t thicknesses(double *heights, int32_t n)
{
    int32_t count = 0;
    qsort(heights, (size_t)n, sizeof *heights, by_size);
    for (int32_t i = 0; i < n; i++)
        count += i == 0 || heights[i] > heights[i - 1] * 1.01;
    return count;
}

static bool speed_told(const struct sg_study_run *run)
{
    return run->cut_only || sg_study_cut_share(run) >= SG_STUDY_CUT_SHARE;
}

static struct sg_study_number none_of(enum sg_study_verdict verdict, int32_t n)
{
    double nothing = (double)NAN;
    return (struct sg_study_number){verdict, n, 0, nothing, nothing, nothing, SG_BASIS_SHOP};
}

/* Count the runs that tell each way to pierce; the verdict says whether there is enough to fit it. */
static void judge_ways(struct sg_fitting *f, int32_t n, double *heights)
{
    for (int32_t way = 0; way < SG_PIERCE_WAYS; way++) {
        int32_t count = 0;
        for (int32_t i = 0; i < n; i++)
            if (sg_pierces_told(&f->runs[i], way))
                heights[count++] = f->runs[i].height;
        bool one_number = f->machine->pierce_factor[way] == 0;
        enum sg_study_verdict verdict = count < SG_STUDY_RUNS ? SG_STUDY_FEW
                                        : !one_number && thicknesses(heights, count) < SG_STUDY_THICKNESSES
                                            ? SG_STUDY_ONE_HEIGHT
                                            : SG_STUDY_OFFERED;
        struct sg_study_piercing *out = &f->study->piercing[way];
        out->base = out->factor = out->pierce = none_of(verdict, count);
        out->rise = (double)NAN;
    }
}

static bool takes_part(const struct sg_fitting *f, const struct sg_study_run *run)
{
    if (!sg_study_speaks(run))
        return false;
    if (run->pierce == SG_UNKNOWN || speed_told(run))
        return speed_told(run);
    return run->head_kind == SG_HEAD_WATER ||
           f->study->piercing[run->pierce].base.verdict == SG_STUDY_OFFERED;
}

/* Place of a material's numbers, made in order if it is new. */
static void add_cutting(struct sg_study *study, const struct sg_study_run *run)
{
    int32_t at = study->n_cutting;
    if (sg_study_of_material(study, run->material, run->head_kind))
        return;
    for (; at > 0; at--) {
        const struct sg_study_cutting *before = &study->cutting[at - 1];
        if (before->material < run->material ||
            (before->material == run->material && before->head_kind < run->head_kind))
            break;
        study->cutting[at] = *before;
    }
    study->cutting[at] = (struct sg_study_cutting){.material = run->material, .head_kind = run->head_kind};
    study->n_cutting++;
}

static bool make_row(const struct sg_fitting *f, int32_t n, int32_t i, bool at_flow, struct sg_fit_row *out)
{
    const struct sg_study_run *run = &f->runs[i];
    double garnet = run->garnet, deviation = 0;
    bool abrasive = run->head_kind == SG_HEAD_ABRASIVE;
    if (at_flow && !sg_study_feed_at(f->runs, n, i, &garnet, &deviation))
        return false;
    *out = (struct sg_fit_row){.parts = sg_study_parts_of(run, garnet),
                               .log_net = log(sg_study_net(run)),
                               .log_height = log(run->height),
                               .feed_deviation = deviation,
                               .run = i,
                               .way = abrasive && !run->cut_only ? run->pierce : SG_UNKNOWN};
    if (out->way != SG_UNKNOWN && f->machine->pierce_factor[out->way] == 0)
        out->parts.rise = 0;
    out->cutting =
        (int32_t)(sg_study_of_material(f->study, run->material, run->head_kind) - f->study->cutting);
    return true;
}

static bool gather(struct sg_fitting *f, int32_t n, bool at_flow)
{
    f->rows = sg_arena_take(f->arena, (size_t)n * sizeof *f->rows);
    f->study->cutting = sg_arena_take(f->arena, (size_t)n * sizeof *f->study->cutting);
    double *heights = sg_arena_take(f->arena, (size_t)n * sizeof *heights);
    if (!f->rows || !f->study->cutting || !heights)
        return false;
    judge_ways(f, n, heights);
    for (int32_t i = 0; i < n; i++) {
        if (takes_part(f, &f->runs[i]))
            add_cutting(f->study, &f->runs[i]);
        f->study->unused += !sg_study_speaks(&f->runs[i]);
    }
    for (int32_t i = 0; i < n; i++)
        if (takes_part(f, &f->runs[i]) && !make_row(f, n, i, at_flow, &f->rows[f->n_rows++]))
            return false;
    return true;
}

/* ---- the fit ---- */

static bool start(struct sg_fitting *f)
{
    const double least_base = 0.1; /* s: the logarithm of none would not do */
    size_t p = (size_t)(2 * f->study->n_cutting + 2 * SG_PIERCE_WAYS);
    double *room = sg_arena_take(f->arena, (3 * p + (size_t)f->n_rows) * sizeof *room);
    f->bent = sg_arena_take(f->arena, (size_t)f->study->n_cutting * sizeof *f->bent);
    if (!room || !f->bent)
        return false;
    f->parameters = room;
    f->centre = room + p;
    f->deviation = room + 2 * p;
    for (size_t j = 0; j < p; j++) /* an exponent that is not fitted stays where it is */
        f->deviation[j] = 1;
    for (int32_t way = 0; way < SG_PIERCE_WAYS; way++) {
        int32_t at = sg_pierce_parameter(f, way);
        double factor = f->machine->pierce_factor[way];
        f->centre[at] = log(fmax(f->machine->pierce_base[way], least_base));
        f->centre[at + 1] = factor > 0 ? log(factor) : 0;
        for (int32_t j = at; j < at + 2; j++) {
            f->parameters[j] = f->centre[j];
            f->deviation[j] = PIERCE_DEVIATION;
        }
    }
    return true;
}

/* The speed that a run alone would give with pierces as they are known before. */
static double alone(const struct sg_fitting *f, const struct sg_fit_row *row)
{
    const struct sg_study_parts *parts = &row->parts;
    bool open = row->way != SG_UNKNOWN;
    double net = exp(row->log_net), base = open ? exp(f->centre[sg_pierce_parameter(f, row->way)]) : 0.5;
    double factor = open ? exp(f->centre[sg_pierce_parameter(f, row->way) + 1]) : 1;
    double left = fmax(net - parts->rest - parts->pierces * base, net / 10);
    return log((parts->cut + parts->pierces * factor * parts->rise) / left);
}

/* Speeds begin at the median of what each run alone would give; the reference is the geometric mean height.
 */
static void start_speeds(struct sg_fitting *f, double *room)
{
    for (int32_t m = 0; m < f->study->n_cutting; m++) {
        double heights = 0;
        int32_t n = 0;
        for (int32_t i = 0; i < f->n_rows; i++)
            if (f->rows[i].cutting == m) {
                heights += f->rows[i].log_height;
                room[n++] = alone(f, &f->rows[i]);
            }
        f->study->cutting[m].reference = exp(heights / n);
        f->parameters[m] = sg_median(room, n);
        f->deviation[m] = (double)INFINITY;
    }
}

static struct sg_robust robust_of(const struct sg_fitting *f)
{
    return (struct sg_robust){.n = f->n_rows,
                              .p = 2 * f->study->n_cutting + 2 * SG_PIERCE_WAYS,
                              .row = fitting_row,
                              .data = f,
                              .parameters = f->parameters,
                              .centre = f->centre,
                              .deviation = f->deviation};
}

double sg_half_of(const struct sg_robust *fit, int32_t parameter, double more)
{
    return sg_robust_half(fit, fit->variance[parameter * fit->p + parameter] + more);
}

/* ---- what came out ---- */

struct tally {
    int32_t n, wild, n_heights;
    double feed_variance;
};

static struct tally tally_of(const struct sg_fitting *f, const struct sg_robust *fit, int32_t cutting,
                             double *heights)
{
    struct tally tally = {0, 0, 0, 0};
    double deviations = 0;
    for (int32_t i = 0; i < f->n_rows; i++) {
        const struct sg_fit_row *row = &f->rows[i];
        if (row->cutting != cutting)
            continue;
        heights[tally.n++] = f->runs[row->run].height;
        tally.wild += fit->weight[i] == 0;
        deviations += row->feed_deviation;
    }
    tally.n_heights = thicknesses(heights, tally.n);
    /* Feeds of neighbouring runs are of the same measurements: their errors do not average out. */
    if (tally.n > 0)
        tally.feed_variance = pow(garnet_power * deviations / tally.n, 2);
    return tally;
}

/* Logarithm of the machinability number, or of the cut energy, of a fitted speed. */
static double log_number(const struct sg_fitting *f, int32_t cutting)
{
    bool water = f->study->cutting[cutting].head_kind == SG_HEAD_WATER;
    return f->parameters[cutting] / (water ? -1 : SG_TRAVERSE_EXPONENT);
}

static struct sg_study_number speed_of(const struct sg_fitting *f, const struct sg_robust *fit,
                                       int32_t cutting, const struct tally *tally)
{
    bool water = f->study->cutting[cutting].head_kind == SG_HEAD_WATER;
    double half = sg_half_of(fit, cutting, tally->feed_variance) / (water ? 1 : SG_TRAVERSE_EXPONENT);
    return sg_study_number_of(tally->n, tally->wild, log_number(f, cutting), half);
}

static void take_exponent(struct sg_fitting *f, const struct sg_robust *fit, int32_t m,
                          const struct tally *tally)
{
    const double same = 0.005; /* shown, it is the formula's, however sure it is */
    struct sg_study_cutting *out = &f->study->cutting[m];
    int32_t bend = sg_exponent_parameter(f, m);
    double exponent = SG_TRAVERSE_EXPONENT + f->parameters[bend], half = sg_half_of(fit, bend, 0);
    out->exponent = (struct sg_study_number){SG_STUDY_OFFERED, tally->n,        tally->wild,  exponent,
                                             exponent - half,  exponent + half, SG_BASIS_SHOP};
    if (exponent < SG_STUDY_EXPONENT_LOW || exponent > SG_STUDY_EXPONENT_HIGH)
        out->exponent.verdict = SG_STUDY_OUTSIDE;
    else if (fabs(exponent - SG_TRAVERSE_EXPONENT) <= fmax(half, same))
        out->exponent.verdict = SG_STUDY_AS_FORMULA;
    out->speed_at = speed_of(f, fit, m, tally);
    if (out->exponent.verdict == SG_STUDY_OFFERED) /* they are used together */
        out->exponent.verdict = out->speed_at.verdict;
}

/* Exponents where the data allow them. */
static bool judge_exponents(struct sg_fitting *f, const struct tally *tallies, struct sg_robust *fit)
{
    bool any = false;
    for (int32_t m = 0; m < f->study->n_cutting; m++) {
        struct sg_study_cutting *cutting = &f->study->cutting[m];
        enum sg_study_verdict verdict = tallies[m].n < SG_STUDY_RUNS ? SG_STUDY_FEW : SG_STUDY_ONE_HEIGHT;
        cutting->exponent = cutting->speed_at = none_of(verdict, tallies[m].n);
        f->bent[m] = cutting->head_kind == SG_HEAD_ABRASIVE && tallies[m].n >= SG_STUDY_RUNS &&
                     tallies[m].n_heights >= SG_STUDY_THICKNESSES;
        f->deviation[sg_exponent_parameter(f, m)] = f->bent[m] ? (double)INFINITY : 1;
        any |= f->bent[m];
    }
    if (any && !sg_robust_fit(fit, f->arena))
        return false;
    for (int32_t m = 0; m < f->study->n_cutting; m++)
        if (f->bent[m])
            take_exponent(f, fit, m, &tallies[m]);
    return true;
}

/* Fit just the exponents that are offered; the others are the formula's. Whether there are any. */
static bool keep_exponents(struct sg_fitting *f, bool with_exponents)
{
    bool any = false;
    for (int32_t m = 0; m < f->study->n_cutting; m++) {
        int32_t bend = sg_exponent_parameter(f, m);
        f->bent[m] =
            with_exponents && f->bent[m] && f->study->cutting[m].exponent.verdict == SG_STUDY_OFFERED;
        f->deviation[bend] = f->bent[m] ? (double)INFINITY : 1;
        f->parameters[bend] = f->bent[m] ? f->parameters[bend] : 0;
        any |= f->bent[m];
    }
    return any;
}

/* Pierces that are not offered stay as they are planned, and so do exponents. Whether there are any such
 * pierces. */
static bool hold_vague(struct sg_fitting *f)
{
    bool any = false;
    for (int32_t way = 0; way < SG_PIERCE_WAYS; way++) {
        f->held[way] = f->study->piercing[way].base.verdict == SG_STUDY_VAGUE;
        any |= f->held[way];
    }
    for (int32_t m = 0; m < f->study->n_cutting; m++) {
        int32_t bend = sg_exponent_parameter(f, m);
        f->centre[bend] = f->parameters[bend];
        f->deviation[bend] = 1;
    }
    f->bends_held = true;
    return any;
}

static void take_speeds(struct sg_fitting *f, const struct sg_robust *fit, const struct tally *tallies)
{
    for (int32_t m = 0; m < f->study->n_cutting; m++) {
        struct sg_study_cutting *cutting = &f->study->cutting[m];
        *(f->bent[m] ? &cutting->speed_at : &cutting->speed) = speed_of(f, fit, m, &tallies[m]);
    }
}

/* The speeds that go with pierces as planned. How sure they are is as before: the pierces may be otherwise.
 */
static void move_speeds(struct sg_fitting *f)
{
    for (int32_t m = 0; m < f->study->n_cutting; m++) {
        struct sg_study_cutting *cutting = &f->study->cutting[m];
        struct sg_study_number *number = f->bent[m] ? &cutting->speed_at : &cutting->speed;
        double moved = exp(log_number(f, m)) / number->estimate;
        number->estimate *= moved;
        number->low *= moved;
        number->high *= moved;
    }
}

/* Once more with just what is offered: the numbers go together. */
static bool fit_offered(struct sg_fitting *f, bool with_exponents, const struct tally *tallies, double *room,
                        struct sg_robust *fit)
{
    if (keep_exponents(f, with_exponents)) {
        if (!sg_robust_fit(fit, f->arena) || !sg_take_pierces(f, fit))
            return false;
        take_speeds(f, fit, tallies);
    }
    if (!hold_vague(f))
        return true;
    start_speeds(f, room);
    if (!sg_robust_fit(fit, f->arena))
        return false;
    move_speeds(f);
    return true;
}

static bool fit_all(struct sg_fitting *f, bool with_exponents)
{
    int32_t n_cutting = f->study->n_cutting;
    double *room = sg_arena_take(f->arena, (size_t)f->n_rows * sizeof *room);
    struct tally *tallies = sg_arena_take(f->arena, (size_t)n_cutting * sizeof *tallies);
    if (!room || !tallies || !start(f))
        return false;
    start_speeds(f, room);
    struct sg_robust fit = robust_of(f);
    if (!sg_robust_fit(&fit, f->arena))
        return false;
    for (int32_t m = 0; m < n_cutting; m++) {
        tallies[m] = tally_of(f, &fit, m, room);
        f->study->cutting[m].speed = speed_of(f, &fit, m, &tallies[m]);
    }
    return sg_take_pierces(f, &fit) && judge_exponents(f, tallies, &fit) &&
           fit_offered(f, with_exponents, tallies, room, &fit);
}

bool sg_study_fit(const struct sg_study_run *runs, int32_t n, const struct sg_machine *machine, unsigned with,
                  struct sg_arena *arena, struct sg_study *out)
{
    struct sg_fitting f = {.runs = runs, .machine = machine, .study = out, .arena = arena};
    *out = (struct sg_study){.n_cutting = 0};
    return sg_study_feeds(runs, n, arena, out) && gather(&f, n, with & SG_STUDY_USE_FEED) &&
           (f.n_rows == 0 || fit_all(&f, with & SG_STUDY_USE_THICKNESS));
}
