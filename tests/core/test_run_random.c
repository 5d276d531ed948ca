/* The run against a second simulator that steps one piece at a time, and against what must hold of every run.
 */
#include "sandglass/run.h"

#include "support/must.h"
#include "support/plain_run.h"
#include "support/random_run.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { RUNS = 4000 };

static bool near(double a, double b)
{
    return fabs(a - b) <= 1e-6 * fmax(1, fmax(fabs(a), fabs(b)) * 1e-3);
}

/* ---- against the plain simulator ---- */

static unsigned run_number; /* for the messages */

static void same_event(const struct sg_event *e, const struct plain_event *p)
{
    must(e->kind == p->kind && e->batch == p->batch && e->sheet == p->sheet,
         "run %u: %s in %d/%d, expected %s in %d/%d", run_number, sg_event_word(e->kind), e->batch, e->sheet,
         sg_event_word(p->kind), p->batch, p->sheet);
    must(near(e->at, p->at) && near(e->seconds, p->seconds) && near(e->asked, p->asked),
         "run %u: %s asked %.9g at %.9g for %.9g, expected asked %.9g at %.9g for %.9g", run_number,
         sg_event_word(e->kind), e->asked, e->at, e->seconds, p->asked, p->at, p->seconds);
    must(near(e->garnet, p->garnet) && e->bags == p->bags, "run %u: %s of %.9g kg, expected %.9g", run_number,
         sg_event_word(e->kind), e->garnet, p->garnet);
    must_hold(e->chore == p->chore);
    must(e->flags == p->flags, "run %u: %s has flags %u, expected %u", run_number, sg_event_word(e->kind),
         e->flags, p->flags);
}

/* A stretch of k cuts against k single ones; the index of the next plain event. */
static int same_cuts(const struct sg_event *e, const struct plain_run *plain, int at)
{
    int64_t n = e->cuts > 0 ? e->cuts : 1;
    for (int64_t k = 0; k < n; k++, at++) {
        must(at < plain->n_events, "run %u: more cuts than expected", run_number);
        struct sg_event one = *e;
        one.at = one.asked = e->at + (double)k * (e->seconds / (double)n);
        one.seconds = e->seconds / (double)n;
        one.garnet = e->garnet / (double)n;
        one.flags = k == 0 ? e->flags : (uint16_t)(e->flags & ~SG_EVENT_LONG_PIECE);
        same_event(&one, &plain->events[at]);
        must_hold(e->first + k == plain->events[at].piece);
        double level = e->level - (double)k * one.garnet;
        must(near(level, plain->events[at].level), "run %u: level %.9g before a cut, expected %.9g",
             run_number, level, plain->events[at].level);
    }
    return at;
}

static void same_level(const struct random_run *random, const struct sg_event *e,
                       const struct plain_run *plain, const struct plain_event *p)
{
    double expected = e->flags & SG_EVENT_WHILE_CUTTING
                          ? plain_level_at(&random->input, plain, p->at, (int)(p - plain->events))
                          : p->level;
    must(near(e->level, expected), "run %u: level %.9g at a %s, expected %.9g", run_number, e->level,
         sg_event_word(e->kind), expected);
}

static void same_run(const struct random_run *random, const struct sg_run *run, const struct plain_run *plain)
{
    int at = 0;
    for (int32_t i = 0; i < run->n_events; i++) {
        const struct sg_event *e = &run->events[i];
        if (e->kind == SG_EVENT_CUT) {
            at = same_cuts(e, plain, at);
            continue;
        }
        must(at < plain->n_events, "run %u: %s not expected", run_number, sg_event_word(e->kind));
        same_event(e, &plain->events[at]);
        must_hold(e->first == plain->events[at].piece);
        same_level(random, e, plain, &plain->events[at]);
        at++;
    }
    must_hold(at == plain->n_events);
    must(near(run->end, plain->end), "run %u ends at %.9g, expected %.9g", run_number, run->end, plain->end);
    must(near(run->waiting, plain->waiting) && near(run->hands_on, plain->hands_on),
         "run %u waits %.9g, expected %.9g", run_number, run->waiting, plain->waiting);
    must(near(run->level_end, plain->level_end), "run %u", run_number);
    must_hold(run->finished == plain->finished);
    must_hold(run->refills == plain->refills);
    must_hold(run->bags == plain->bags);
    must_hold(run->bags_short == plain->bags_short);
    must_hold(run->bags_left == random->machine.bags_in_stock - plain->bags);
    must_hold(near(run->bags_kg, plain->added_kg));
}

/* ---- what holds of every run ---- */

static void identity_holds(const struct sg_run *run, const struct sg_run_input *input)
{
    double seconds = input->start, kg = input->machine->hopper_level;
    for (int32_t i = 0; i < run->n_events; i++) {
        const struct sg_event *e = &run->events[i];
        seconds += e->kind == SG_EVENT_CUT ? e->seconds : 0;
        kg += e->kind == SG_EVENT_CUT ? -e->garnet : e->garnet;
    }
    double sum = seconds + run->hands_on + run->waiting;
    must(fabs(run->end - sum) <= 1e-6 * fmax(1, run->end), "run %u: ends at %.9g, the parts sum to %.9g",
         run_number, run->end, sum);
    must(near(kg, run->level_end), "run %u: garnet is not kept", run_number);
    if (!run->finished)
        return;
    double planned = input->start;
    for (int32_t s = 0; s < input->n_sheets; s++)
        for (int32_t i = input->sheets[s].first; i < input->sheets[s].first + input->sheets[s].n; i++)
            planned += (double)(input->sheets[s].copies * input->batches[i].cuts) *
                       (input->batches[i].cut + input->batches[i].pierce + input->batches[i].rapid);
    must_hold(near(seconds, planned));
}

/* A person's event neither starts in a break nor overlaps another one. */
static void person_is_one(const struct sg_run *run, const struct sg_calendar *calendar)
{
    double free_at = 0;
    for (int32_t i = 0; i < run->n_events; i++) {
        const struct sg_event *e = &run->events[i];
        if (!sg_event_needs_person(e->kind) || e->seconds == 0)
            continue;
        must(e->at >= free_at - 1e-9, "run %u: hands-on work overlaps", run_number);
        free_at = e->at + e->seconds;
        for (int b = 0; b < calendar->n_breaks; b++)
            must(e->at < calendar->breaks[b].from_s || e->at >= calendar->breaks[b].to_s,
                 "run %u: a %s starts in a break", run_number, sg_event_word(e->kind));
    }
}

struct points {
    const struct sg_run_input *input;
    const struct plain_run *plain;
    double at, level;
    int n;
};

static void check_level(const struct points *p, double at, double level)
{
    double before = plain_level_at(p->input, p->plain, at - 1e-7, p->plain->n_events),
           after = plain_level_at(p->input, p->plain, at + 1e-7, p->plain->n_events);
    must(level >= fmin(before, after) - 1e-4 && level <= fmax(before, after) + 1e-4,
         "run %u: the curve has %.9g at %.9g, expected %.9g to %.9g", run_number, level, at, before, after);
}

static void check_point(void *context, double at, double level)
{
    struct points *p = context;
    const struct sg_machine *m = p->input->machine;
    double low = fmin(m->low_line, m->hopper_level);
    must(p->n == 0 || at >= p->at - 1e-9, "run %u: the hopper's curve goes back from %.9g to %.9g",
         run_number, p->at, at);
    must(level >= low - 1e-6, "run %u: level %.9g at %.9g is below the low line %.9g", run_number, level, at,
         low);
    must(level <= m->hopper + 1e-6, "run %u: level %.9g is above the hopper's %.9g", run_number, level,
         m->hopper);
    if (run_number % 4 == 0) /* the oracle is slow */
        check_level(p, at, level);
    p->at = at;
    p->level = level;
    p->n++;
}

static void curve_holds(const struct random_run *random, const struct sg_run *run,
                        const struct plain_run *plain)
{
    struct points points = {.input = &random->input, .plain = plain};
    sg_run_hopper(run, check_point, &points);
    ck_assert_int_gt(points.n, 0);
    must(near(points.level, run->level_end), "run %u: the curve ends at %.9g, not %.9g", run_number,
         points.level, run->level_end);
}

/* No person is asked for in from..to: looked at from the plain events, second by second of what matters. */
static bool alone_by_looking(const struct plain_run *plain, double from, double to)
{
    for (int i = 0; i < plain->n_events; i++) {
        const struct plain_event *e = &plain->events[i];
        if (e->kind == SG_EVENT_CUT || (e->seconds == 0 && e->kind != SG_EVENT_OUT_OF_GARNET))
            continue;
        bool stands =
            e->kind == SG_EVENT_OUT_OF_GARNET && e->asked < to; /* it waits for garnet from then on */
        bool starts = e->at >= from && e->at < to;
        bool waits = e->at > e->asked && e->asked < to && e->at > from;
        if (starts || waits || stands)
            return false;
    }
    return true;
}

static void alone_holds(struct random *r, const struct sg_run *run, const struct plain_run *plain)
{
    for (int i = 0; i < 10; i++) {
        double from = plain->end * random_unit(r), to = from + plain->end * random_unit(r) * 0.3;
        int32_t event = -2;
        if (i == 0 && run->n_events > 1 && run->events[1].kind != SG_EVENT_CUT)
            to = run->events[1].at - 1e-7; /* up to the very start of one */
        if (to <= from)
            continue;
        bool alone = sg_run_alone(run, from, to, &event);
        must(alone == alone_by_looking(plain, from, to), "run %u: alone from %.9g to %.9g", run_number, from,
             to);
        must_hold(alone == (event == -1));
    }
}

static const struct random_limits anything = {.sheets = RANDOM_SHEETS,
                                              .on_sheet = RANDOM_ON_SHEET,
                                              .cuts = 12,
                                              .inside = true,
                                              .no_load_time = true,
                                              .chores = true,
                                              .places = true,
                                              .breaks = 4,
                                              .short_stock = 4};

static void make_and_compare(unsigned number, struct sg_run *run)
{
    static struct plain_run plain;
    struct random r = {number * 2654435761u + 12345};
    struct random_run random;
    run_number = number;
    for (int i = 0; i < 4; i++)
        random_bits(&r);
    random_run_make(&r, &anything, &random);
    plain_run(&random.input, &plain);
    must_hold(!plain.overflow);
    sg_run_simulate(&random.input, run);
    must_hold(!run->failed);
    same_run(&random, run, &plain);
    identity_holds(run, &random.input);
    person_is_one(run, &random.calendar);
    alone_holds(&r, run, &plain);
    curve_holds(&random, run, &plain);
}

START_TEST(random_runs_are_those_of_the_plain_simulator)
{
    struct sg_run run = {0};
    for (unsigned i = 0; i < RUNS; i++)
        make_and_compare(i + 1, &run);
    sg_run_free(&run);
}
END_TEST

/* ---- a stretch restarted in its middle ---- */

/* Every stretch of cuts as a sheet of its own. */
static int32_t split(const struct sg_run_input *input, const struct sg_run *run, struct sg_batch *out,
                     struct sg_sheets *sheets, int32_t max)
{
    int32_t n = 0;
    for (int32_t i = 0; i < run->n_events && n < max; i++) {
        const struct sg_event *e = &run->events[i];
        if (e->kind != SG_EVENT_CUT)
            continue;
        const struct sg_sheets *of = &input->sheets[input->batches[e->batch].sheets];
        out[n] = input->batches[e->batch];
        out[n].cuts = e->cuts;
        out[n].sheets = n;
        out[n].first_check = e->first == 0 && e->sheet == 1 ? out[n].first_check : 0;
        sheets[n] = (struct sg_sheets){
            .job = of->job, .first = n, .n = 1, .copies = 1, .load = e->first == 0 ? of->load : 0};
        n++;
    }
    return n;
}

static const struct sg_event *next_that_counts(const struct sg_run *run, int32_t *at)
{
    while (*at < run->n_events && run->events[*at].kind == SG_EVENT_LOAD && run->events[*at].seconds == 0)
        ++*at;
    return *at < run->n_events ? &run->events[(*at)++] : NULL;
}

static void same_bits(const struct sg_run *a, const struct sg_run *b)
{
    int32_t i = 0, j = 0;
    const struct sg_event *x, *y;
    do {
        x = next_that_counts(a, &i);
        y = next_that_counts(b, &j);
        must((x == NULL) == (y == NULL), "run %u has another number of events", run_number);
        if (x)
            must(x->kind == y->kind && x->flags == y->flags && x->at == y->at && x->asked == y->asked &&
                     x->seconds == y->seconds && x->level == y->level && x->garnet == y->garnet,
                 "run %u: a %s at %.17g became a %s at %.17g", run_number, sg_event_word(x->kind), x->at,
                 sg_event_word(y->kind), y->at);
    } while (x);
    must_hold(a->end == b->end && a->level_end == b->level_end);
}

START_TEST(a_run_split_at_its_events_gives_the_same_bits)
{
    static const struct random_limits limits = {.sheets = 4, .cuts = 50, .breaks = 4, .short_stock = 4};
    static struct sg_batch pieces[4000];
    static struct sg_sheets sheets[4000];
    struct sg_run whole = {0}, parts = {0};
    int stretches = 0;
    for (unsigned i = 1; i <= 1000; i++) {
        struct random r = {i * 2654435761u + 99};
        struct random_run random;
        run_number = i;
        random_run_make(&r, &limits, &random);
        random.machine.refill_at = SG_AT_PIECES;
        for (int32_t b = 0; b < random.input.n_sheets; b++)
            random.batches[b].moves = 0;
        for (int h = 0; h < 3; h++)
            random.heads[h].tube_life = random.heads[h].orifice_life = (double)NAN;
        sg_run_simulate(&random.input, &whole);
        if (!whole.finished)
            continue;
        struct sg_run_input input = random.input;
        input.batches = pieces;
        input.sheets = sheets;
        input.n_sheets = split(&random.input, &whole, pieces, sheets, 4000);
        stretches += input.n_sheets;
        sg_run_simulate(&input, &parts);
        same_bits(&whole, &parts);
    }
    ck_assert_int_gt(stretches, 10000);
    sg_run_free(&whole);
    sg_run_free(&parts);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("run, random");
    TCase *random = tcase_create("random");
    tcase_add_test(random, random_runs_are_those_of_the_plain_simulator);
    tcase_add_test(random, a_run_split_at_its_events_gives_the_same_bits);
    suite_add_tcase(suite, random);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
