/* The refill rule against exhaustive search: no other choice of boundaries and bags has fewer stops, and none
 * with as few stops ends before the one that the least-wait search finds. */
#include "sandglass/run.h"

#include "support/must.h"
#include "support/plain_run.h"
#include "support/random_run.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { RUNS = 4000, LEAST_WAIT_RUNS = 2000, MAX_STRETCHES = 128, SEEN = 1 << 16 };
enum { INSIDE = 1000 }; /* added to a stretch's number: a state inside of it */

static unsigned run_number; /* for the messages */

/* ---- every choice of boundaries and whole bags ---- */

/* What lies between two boundaries at which a refill is allowed. */
struct stretch {
    double take;
    bool inside; /* more than a full hopper: stops in it wherever the low line is met */
};

struct search {
    const struct sg_machine *m;
    struct stretch stretches[MAX_STRETCHES];
    int n;
    struct seen {
        int64_t level;
        int32_t stock;
        int16_t stretch, stops;
    } * seen; /* states from which there is no way */
    int n_seen;
};

static void list_stretches(struct search *s, const struct sg_run_input *input)
{
    double full = input->machine->hopper - input->machine->low_line + 1e-9;
    s->n = 0;
    for (int32_t i = 0; i < input->n_sheets; i++) {
        const struct sg_sheets *sheets = &input->sheets[i];
        const struct sg_batch *batches = &input->batches[sheets->first];
        double kg = 0;
        for (int32_t b = 0; b < sheets->n; b++)
            kg += (double)batches[b].cuts * batches[b].garnet;
        bool whole = input->machine->refill_at == SG_AT_SHEETS && kg <= full;
        for (int64_t k = 0; k < sheets->copies * (whole ? 1 : sheets->n); k++) {
            const struct sg_batch *batch = &batches[whole ? 0 : k % sheets->n];
            for (int64_t cut = 0; cut < (whole ? 1 : batch->cuts); cut++) {
                ck_assert_int_lt(s->n, MAX_STRETCHES);
                s->stretches[s->n++] =
                    (struct stretch){whole ? kg : batch->garnet, !whole && batch->garnet > full};
            }
        }
    }
}

/* True if the state was met before; else it is remembered. */
static bool seen_before(struct search *s, int stretch, double level, int32_t stock, int stops)
{
    struct seen key = {llround(level * 1e6), stock, (int16_t)stretch, (int16_t)stops};
    uint64_t hash = (uint64_t)key.level * 0x9E3779B97F4A7C15u + (uint64_t)stock * 0xC2B2AE3D27D4EB4Fu +
                    (uint64_t)(stretch * 64 + stops) * 0x165667B19E3779F9u;
    for (size_t i = hash >> 48;; i++) {
        struct seen *slot = &s->seen[i % SEEN];
        if (slot->stretch < 0) {
            *slot = key;
            ck_assert_int_lt(++s->n_seen, SEEN / 2);
            return false;
        }
        if (slot->level == key.level && slot->stock == stock && slot->stretch == stretch &&
            slot->stops == stops)
            return true;
    }
}

static bool can_go_on(struct search *s, int at, double level, int32_t stock, int stops);

static int whole_bags(const struct search *s, double level, int32_t stock)
{
    int bags = (int)floor((s->m->hopper - level) / s->m->bag + 1e-9);
    return bags < stock ? bags : stock;
}

/* On through a stretch of which `left` is not cut yet; it stops where the low line is met. */
static bool can_cut_inside(struct search *s, int at, double left, double level, int32_t stock, int stops)
{
    double can = level - s->m->low_line;
    if (can >= left - 1e-9)
        return can_go_on(s, at + 1, level - left, stock, stops);
    left -= can > 0 ? can : 0;
    level -= can > 0 ? can : 0;
    if (stops == 0 || seen_before(s, at + INSIDE, left + 1000 * level, stock, stops))
        return false;
    if (s->m->bag == 0)
        return can_cut_inside(s, at, left, s->m->hopper, stock, stops - 1);
    int bags = whole_bags(s, level, stock);
    if ((bags == 0 || level + bags * s->m->bag < s->m->low_line) && bags < stock)
        return can_cut_inside(s, at, left, s->m->hopper, stock - bags - 1, stops - 1);
    for (int k = bags; k > 0; k--)
        if (can_cut_inside(s, at, left, level + k * s->m->bag, stock - k, stops - 1))
            return true;
    return false;
}

static bool can_cut(struct search *s, int at, double level, int32_t stock, int stops)
{
    const struct stretch *stretch = &s->stretches[at];
    if (stretch->inside)
        return can_cut_inside(s, at, stretch->take, level, stock, stops);
    return (stretch->take <= 0 || level - stretch->take >= s->m->low_line - 1e-9) &&
           can_go_on(s, at + 1, level - stretch->take, stock, stops);
}

/* Whether the run can be ended from this boundary with at most `stops` refills. */
static bool can_go_on(struct search *s, int at, double level, int32_t stock, int stops)
{
    if (at == s->n)
        return true;
    if (seen_before(s, at, level, stock, stops))
        return false;
    if (can_cut(s, at, level, stock, stops))
        return true;
    if (stops == 0)
        return false;
    if (s->m->bag == 0)
        return can_cut(s, at, s->m->hopper, stock, stops - 1);
    int bags = whole_bags(s, level, stock);
    for (int k = bags; k > 0; k--)
        if (can_cut(s, at, level + k * s->m->bag, stock - k, stops - 1))
            return true;
    const struct stretch *stretch = &s->stretches[at];
    bool due = level + bags * s->m->bag - stretch->take < s->m->low_line - 1e-9;
    return due && !stretch->inside && stretch->take > 0 && bags < stock &&
           can_cut(s, at, s->m->hopper, stock - bags - 1, stops - 1);
}

static bool possible(struct search *s, int stops)
{
    for (int i = 0; i < SEEN; i++)
        s->seen[i].stretch = -1;
    s->n_seen = 0;
    return can_go_on(s, 0, s->m->hopper_level, s->m->bags_in_stock, stops);
}

static const struct random_limits small = {.sheets = 3,
                                           .on_sheet = 2,
                                           .copies = 2,
                                           .cuts = 4,
                                           .inside = true,
                                           .no_load_time = true,
                                           .breaks = 2,
                                           .short_stock = 3};

static void make(unsigned number, const struct random_limits *limits, struct random_run *out)
{
    struct random r = {number * 2654435761u + 777};
    run_number = number;
    for (int i = 0; i < 4; i++)
        random_bits(&r);
    random_run_make(&r, limits, out);
    out->machine.bag = out->machine.bag > 0 ? fmax(out->machine.bag, out->machine.hopper / 12) : 0;
}

START_TEST(no_other_choice_has_fewer_stops)
{
    struct search s = {.seen = malloc(SEEN * sizeof *s.seen)};
    struct sg_run run = {0};
    int with_refills = 0, stopped = 0;
    for (unsigned i = 0; i < RUNS; i++) {
        struct random_run random;
        make(i + 1, &small, &random);
        s.m = &random.machine;
        list_stretches(&s, &random.input);
        sg_run_simulate(&random.input, &run);
        ck_assert(!run.failed);
        with_refills += run.refills > 0;
        stopped += !run.finished;
        if (!run.finished)
            must(!possible(&s, 60), "run %u stops for want of garnet, but need not", run_number);
        else if (run.refills > 0)
            must(!possible(&s, run.refills - 1), "run %u has %d refills, but fewer do", run_number,
                 run.refills);
        if (run.finished)
            must(possible(&s, run.refills), "run %u: the search does not know its plan", run_number);
    }
    ck_assert_int_gt(with_refills, RUNS / 2);
    ck_assert_int_gt(stopped, RUNS / 50);
    sg_run_free(&run);
    free(s.seen);
}
END_TEST

/* ---- every placement with the fewest stops ---- */

enum { MAX_BOUNDARIES = 14, MAX_PLACED = 3 };

struct placement {
    struct sg_run_input input;
    struct sg_refill_place all[MAX_BOUNDARIES], chosen[MAX_BOUNDARIES];
    int n_all;
    int32_t refills;
    double best;
    struct sg_refill_place best_places[MAX_PLACED];
    int n_best;
    struct plain_run plain;
};

/* Every set of places that starts with the first n chosen ones. */
static void try_all(struct placement *p, int n, int next)
{
    p->input.places = p->chosen;
    p->input.n_places = n;
    plain_run(&p->input, &p->plain);
    ck_assert(!p->plain.overflow);
    if (p->plain.finished && p->plain.refills == p->refills && p->plain.end < p->best - 1e-9) {
        p->best = p->plain.end;
        p->n_best = n;
        memcpy(p->best_places, p->chosen, sizeof p->best_places);
    }
    for (int i = next; i < p->n_all && n < p->refills; i++) {
        p->chosen[n] = p->all[i];
        try_all(p, n + 1, i + 1);
    }
}

static const struct random_limits tiny = {.sheets = 3,
                                          .on_sheet = 2,
                                          .copies = 2,
                                          .cuts = 3,
                                          .inside = true,
                                          .no_load_time = true,
                                          .breaks = 4,
                                          .short_stock = 8};

/* False if the run is not one to search: no refill, too many, too many boundaries. */
static bool search_all(unsigned number, struct random_run *random, struct placement *p, struct sg_run *run)
{
    make(number, &tiny, random);
    sg_run_simulate(&random->input, run);
    p->input = random->input;
    p->n_all = random_boundaries(&random->input, p->all, MAX_BOUNDARIES, NULL);
    if (!run->finished || run->refills == 0 || run->refills > MAX_PLACED || p->n_all > MAX_BOUNDARIES)
        return false;
    p->refills = run->refills;
    p->best = (double)INFINITY;
    try_all(p, 0, 0);
    return true;
}

START_TEST(no_other_placement_with_as_few_stops_ends_earlier)
{
    static struct placement p;
    struct random_run random;
    struct sg_run run = {0}, scratch = {0};
    int searched = 0, gained = 0;
    for (unsigned number = 1; searched < LEAST_WAIT_RUNS; number++) {
        if (!search_all(number, &random, &p, &run))
            continue;
        double latest = run.end;
        sg_run_least_wait(&random.input, &run, &scratch);
        searched++;
        gained += p.best < latest - 1e-6;
        ck_assert(run.finished && run.refills == p.refills);
        must(fabs(run.end - p.best) <= 1e-9 * fmax(1, p.best),
             "run %u ends at %.9g, latest at %.9g; a refill before %d/%d, cut %lld (of %d) ends at %.9g",
             run_number, run.end, latest, p.best_places[0].batch, p.best_places[0].sheet,
             (long long)p.best_places[0].cut, p.n_best, p.best);
    }
    ck_assert_int_gt(gained, LEAST_WAIT_RUNS / 20);
    sg_run_free(&run);
    sg_run_free(&scratch);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("refill");
    TCase *stops = tcase_create("fewest stops"), *wait = tcase_create("least wait");
    tcase_add_test(stops, no_other_choice_has_fewer_stops);
    tcase_add_test(wait, no_other_placement_with_as_few_stops_ends_earlier);
    suite_add_tcase(suite, stops);
    suite_add_tcase(suite, wait);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
