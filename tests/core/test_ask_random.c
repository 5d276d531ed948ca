/* The lead's questions to shops at random, against a plain simulator that steps one piece at a time and
 * against trying one quantity after another. */
#include "sandglass/ask.h"

#include "support/plain_run.h"
#include "support/random.h"
#include "support/shop.h"

#include <check.h>
#include <math.h>

enum { SHOPS = 400, TRIES = 40 };

static unsigned number; /* of the shop, for the messages */

static struct plain_run plain;

/* ---- shops at random ---- */

static bool one_in(struct random *r, unsigned n)
{
    return random_below(r, n) == 0;
}

/* simple: settings under which one piece more never brings an earlier piece forward. */
static void random_machine(struct random *r, bool simple, struct sg_machine *m)
{
    m->hopper = 20 + random_below(r, 60);
    m->low_line = random_below(r, 10);
    m->hopper_level = m->low_line + (m->hopper - m->low_line) * random_unit(r);
    m->bag = one_in(r, 4) ? 0 : 5 + random_below(r, 10);
    m->bags_in_stock = one_in(r, 5) ? (int32_t)random_below(r, 6) : 1000;
    m->refill = 60.0 * random_below(r, 6);
    m->refill_per_bag = 15.0 * random_below(r, 4);
    m->head_change = 300.0 * random_below(r, 3);
    m->index_move = 120;
    m->table_length = 1500;
    m->low_line = simple ? m->low_line : 0;
    if (simple)
        return;
    m->refill_at = one_in(r, 2) ? SG_AT_SHEETS : SG_AT_PIECES;
    m->refill_amount = one_in(r, 2) ? SG_AMOUNT_ENOUGH : SG_AMOUNT_FULL;
    m->refill_when = one_in(r, 3) ? SG_WHEN_LEAST_WAIT : SG_WHEN_LATEST;
    m->refill_stops_cutting = one_in(r, 2);
}

static void random_heads(struct random *r, bool simple, struct sg_head heads[2])
{
    heads[0].garnet = 200.0 + random_below(r, 600);
    heads[0].tube_life = heads[0].orifice_life = heads[1].orifice_life = (double)NAN;
    if (!simple && one_in(r, 2)) {
        heads[0].tube_life = 600.0 * (1 + random_below(r, 20));
        heads[0].tube_hours = 300.0 * random_below(r, 10);
    }
}

static void random_part(struct random *r, struct test_shop *t)
{
    bool boxed = !one_in(r, 4);
    double side = 150.0 + random_below(r, 250);
    struct sg_part *part = test_shop_part(t, (int32_t)random_below(r, 25), 200.0 * (1 + random_below(r, 10)),
                                          boxed ? side : (double)NAN, boxed ? 0.7 * side : (double)NAN);
    part->feed = 100.0 * (1 + random_below(r, 10));
    part->pierce_seconds = (double)random_below(r, 20);
    part->rapid_length = 1000.0 * random_below(r, 3);
    part->scrap = one_in(r, 4) ? (int32_t)random_below(r, 4) : 0;
}

static void random_shop(struct random *r, bool simple, struct test_shop *t)
{
    static struct sg_chore chores[] = {{.name = "wash", .when = SG_CHORE_SHEET, .time = 45},
                                       {.name = "warm up", .when = SG_CHORE_SHIFT_START, .time = 200}};
    test_shop_make(t);
    random_machine(r, simple, &t->shop.machine);
    random_heads(r, simple, t->heads);
    t->shifts[0].run_in_breaks = one_in(r, 2);
    for (double at = 1800.0 * random_below(r, 4); one_in(r, 2) && at < 20000;
         at += 3000.0 + random_below(r, 4000))
        if (at > 0)
            test_shop_break(t, at, at + 600.0 * (1 + random_below(r, 3)));
    t->shop.chores = chores;
    t->shop.n_chores = (int32_t)random_below(r, 3);
    for (int jobs = 1 + (int)random_below(r, 3); jobs > 0; jobs--) {
        test_shop_job(t, 0);
        for (int stocks = 1 + (int)random_below(r, 2); stocks > 0; stocks--) {
            struct sg_stock *stock = test_shop_stock(t, one_in(r, 4) ? 3 : 0, 6);
            stock->stack = 1 + (int32_t)random_below(r, 3);
            stock->load = 60.0 * random_below(r, 8);
            stock->first_check = 90.0 * random_below(r, 3);
            stock->sheet_length = one_in(r, 4) ? (double)NAN : 2000;
            stock->sheet_width = 1000;
            for (int parts = 1 + (int)random_below(r, 2); parts > 0; parts--)
                random_part(r, t);
        }
    }
}

static const struct sg_plan *plan_of(struct sg_planner *planner, const struct test_shop *t)
{
    const struct sg_plan *plan = NULL;
    struct sg_error error;
    ck_assert_msg(sg_plan_shift(planner, &t->shop, 0, &plan, &error) == SG_OK, "%s", error.text);
    return plan;
}

static void run_plainly(const struct test_shop *t, const struct sg_plan *plan)
{
    const struct sg_run_input input = {.calendar = &t->shifts[0].calendar,
                                       .chores = t->shop.chores,
                                       .n_chores = t->shop.n_chores,
                                       .run_in_breaks = t->shifts[0].run_in_breaks,
                                       .machine = &t->shop.machine,
                                       .heads = t->shop.heads,
                                       .n_heads = t->shop.n_heads,
                                       .batches = plan->batches,
                                       .sheets = plan->sheets,
                                       .n_sheets = plan->n_sheets};
    plain_run(&input, &plain);
    ck_assert(!plain.overflow);
}

/* Pieces of a part that the plain run has cut by then; a cut with stops inside counts when its garnet is all
 * taken. */
static int64_t plain_cuts_by(const struct sg_plan *plan, int32_t part, double by)
{
    int64_t cuts = 0;
    double taken = 0;
    for (int i = 0; i < plain.n_events; i++) {
        const struct plain_event *e = &plain.events[i];
        if (e->kind != SG_EVENT_CUT || plan->batches[e->batch].part != part || e->at + e->seconds > by)
            continue;
        taken += e->flags & SG_EVENT_IN_CUT ? e->garnet : 0;
        if (!(e->flags & SG_EVENT_IN_CUT)) {
            cuts++;
        } else if (taken >= plan->batches[e->batch].garnet - 1e-6) {
            cuts++;
            taken = 0;
        }
    }
    return cuts;
}

START_TEST(finished_cuts_are_those_of_the_plain_run)
{
    struct random r = {0x9e3779b97f4a7c15u};
    struct sg_planner *planner = sg_planner_new();
    int inside = 0;
    for (number = 0; number < SHOPS; number++) {
        struct test_shop t;
        random_shop(&r, true, &t);
        if (one_in(&r, 3)) { /* pieces that take more than a full hopper */
            t.shop.machine.hopper = t.shop.machine.low_line + 1;
            t.shop.machine.hopper_level = t.shop.machine.hopper;
            t.shop.machine.bag = 0;
        }
        const struct sg_plan *plan = plan_of(planner, &t);
        run_plainly(&t, plan);
        for (int i = 0; i < plan->run.n_events; i++)
            inside += plan->run.events[i].kind == SG_EVENT_CUT && plan->run.events[i].flags & SG_EVENT_IN_CUT;
        for (int i = 0; i < TRIES; i++) {
            int32_t part = (int32_t)random_below(&r, (unsigned)t.shop.n_parts);
            double by = random_unit(&r) * plain.end * 1.1;
            int64_t cuts = sg_ask_cuts_by(plan, part, by), expected = plain_cuts_by(plan, part, by);
            ck_assert_msg(cuts == expected, "shop %u: %d cuts of part %d by %.6f, expected %d", number,
                          (int)cuts, part, by, (int)expected);
        }
        test_shop_free(&t);
    }
    ck_assert_int_gt(inside, 100);
    sg_planner_free(planner);
}
END_TEST

/* Whether a plan with that quantity has cut all of the part by then: told from the last of its cuts. */
static bool quantity_fits(struct sg_planner *planner, struct test_shop *t, int32_t part, int64_t quantity,
                          double by)
{
    int32_t kept = t->shop.parts[part].quantity, stack = t->shop.stocks[t->shop.parts[part].stock].stack;
    int64_t cuts = 0, pieces = quantity == 0 ? 0 : quantity + t->shop.parts[part].scrap;
    double last = -1;
    t->shop.parts[part].quantity = (int32_t)quantity;
    const struct sg_plan *plan = plan_of(planner, t);
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        const struct sg_event *e = &plan->run.events[i];
        if (e->kind != SG_EVENT_CUT || plan->batches[e->batch].part != part)
            continue;
        cuts += e->cuts;
        last = e->at + e->seconds;
    }
    t->shop.parts[part].quantity = kept;
    return cuts == (pieces + stack - 1) / stack && last <= by + 1e-6;
}

/* A part that is one load whatever its quantity: more pieces of it are never cut before fewer are. Of one
 * that is laid out more pieces may lie otherwise. */
static bool is_one_load(const struct test_shop *t, int32_t part)
{
    const struct sg_part *p = &t->shop.parts[part];
    return !sg_known(p->length) || !sg_known(t->shop.stocks[p->stock].sheet_length);
}

static void ck_fits(struct sg_planner *planner, struct test_shop *t, int32_t part, double by, bool simple)
{
    struct sg_ask_fits fits;
    struct sg_error error;
    ck_assert_int_eq(sg_ask_fits(planner, &t->shop, part, by, &fits, &error), SG_OK);
    ck_assert_int_eq(fits.end, SG_ASK_ENDS);
    bool planned = quantity_fits(planner, t, part, t->shop.parts[part].quantity, by);
    ck_assert_int_eq(fits.planned_fits, planned);
    ck_assert_msg(quantity_fits(planner, t, part, fits.pieces, by), "shop %u: %d do not fit", number,
                  (int)fits.pieces);
    ck_assert_msg(!quantity_fits(planner, t, part, fits.pieces + 1, by), "shop %u: more than %d fit", number,
                  (int)fits.pieces);
    ck_assert(planned == (fits.pieces >= t->shop.parts[part].quantity));
    for (int64_t n = 0; simple && is_one_load(t, part) && n < fits.pieces + 12; n++)
        ck_assert_msg(quantity_fits(planner, t, part, n, by) == (n <= fits.pieces),
                      "shop %u: %d pieces are said to fit by %.3f, not so with %d", number, (int)fits.pieces,
                      by, (int)n);
}

START_TEST(what_fits_is_what_trying_every_quantity_finds)
{
    struct random r = {0x51ed270b7f4a7c15u};
    struct sg_planner *planner = sg_planner_new();
    int every = 0;
    for (number = 0; number < SHOPS; number++) {
        struct test_shop t;
        bool simple = number % 2 == 0;
        random_shop(&r, simple, &t);
        int32_t part = (int32_t)random_below(&r, (unsigned)t.shop.n_parts);
        every += simple && is_one_load(&t, part);
        ck_fits(planner, &t, part, random_unit(&r) * 16000, simple);
        test_shop_free(&t);
    }
    ck_assert_int_gt(every, SHOPS / 10);
    sg_planner_free(planner);
}
END_TEST

/* The other reading of the question: plan far more than there is time for and count what is done. Of a part
 * that is laid out this is another question. */
START_TEST(what_fits_is_what_is_done_of_a_larger_order)
{
    struct random r = {0x2545f4914f6cdd1du};
    struct sg_planner *planner = sg_planner_new();
    int asked_for = 0;
    for (number = 0; asked_for < SHOPS / 2; number++) {
        struct test_shop t;
        struct sg_ask_fits fits;
        random_shop(&r, true, &t);
        int32_t part = (int32_t)random_below(&r, (unsigned)t.shop.n_parts);
        if (!is_one_load(&t, part)) {
            test_shop_free(&t);
            continue;
        }
        asked_for++;
        struct sg_part *asked = &t.shop.parts[part];
        double by = random_unit(&r) * 16000;
        asked->scrap = 0;
        ck_assert_int_eq(sg_ask_fits(planner, &t.shop, part, by, &fits, NULL), SG_OK);
        asked->quantity = (int32_t)fits.pieces + 50;
        const struct sg_plan *plan = plan_of(planner, &t);
        run_plainly(&t, plan);
        int64_t done = plain_cuts_by(plan, part, by + 1e-6) * t.shop.stocks[asked->stock].stack;
        ck_assert_msg(done == fits.pieces, "shop %u: %d fit, the plain run cuts %d", number, (int)fits.pieces,
                      (int)done);
        test_shop_free(&t);
    }
    sg_planner_free(planner);
}
END_TEST

START_TEST(a_job_is_done_at_the_end_of_its_last_event)
{
    struct random r = {0x6a09e667f3bcc909u};
    struct sg_planner *planner = sg_planner_new();
    int ends[5] = {0};
    for (number = 0; number < SHOPS; number++) {
        struct test_shop t;
        struct sg_ask_done done;
        random_shop(&r, true, &t);
        const struct sg_plan *plan = plan_of(planner, &t);
        run_plainly(&t, plan);
        double all = 0;
        for (int32_t job = 0; job < t.shop.n_jobs; job++) {
            double at = (double)NAN;
            bool stopped = false;
            for (int i = 0; i < plain.n_events; i++) {
                const struct plain_event *e = &plain.events[i];
                if (plan->batches[e->batch].job == job)
                    at = e->at + e->seconds;
                stopped |= e->kind == SG_EVENT_OUT_OF_GARNET && plan->batches[e->batch].job <= job;
            }
            sg_ask_done(&t.shop, plan, job, &done);
            ends[done.end]++;
            if (plan->jobs[job].pieces == 0)
                ck_assert(done.end == SG_ASK_NOTHING && done.at == 0);
            else if (stopped)
                ck_assert(done.end == SG_ASK_NO_GARNET && isnan(done.at) &&
                          plan->run.events[done.event].kind == SG_EVENT_OUT_OF_GARNET);
            else
                ck_assert(done.end == SG_ASK_ENDS && fabs(done.at - at) < 1e-6);
            all = stopped ? (double)NAN : isnan(at) ? all : at;
        }
        sg_ask_done(&t.shop, plan, SG_UNKNOWN, &done);
        ck_assert(isnan(all) ? isnan(done.at) : fabs(done.at - all) < 1e-6);
        test_shop_free(&t);
    }
    ck_assert_msg(ends[SG_ASK_ENDS] > 100 && ends[SG_ASK_NOTHING] > 5 && ends[SG_ASK_NO_GARNET] > 10,
                  "%d end, %d have nothing, %d stop", ends[SG_ASK_ENDS], ends[SG_ASK_NOTHING],
                  ends[SG_ASK_NO_GARNET]);
    sg_planner_free(planner);
}
END_TEST

START_TEST(the_hopper_lasts_where_the_level_covers_all_that_is_taken)
{
    struct random r = {0xbb67ae8584caa73bu};
    struct sg_planner *planner = sg_planner_new();
    int answers[2] = {0, 0};
    for (number = 0; number < SHOPS; number++) {
        struct test_shop t;
        int32_t untimed;
        double taken = 0;
        random_shop(&r, number % 2 == 0, &t);
        const struct sg_plan *plan = plan_of(planner, &t);
        for (int32_t i = 0; i < plan->n_batches; i++)
            taken += (double)(plan->sheets[plan->batches[i].sheets].copies * plan->batches[i].cuts) *
                     plan->batches[i].garnet;
        bool covers = taken == 0 || t.shop.machine.hopper_level - taken >= t.shop.machine.low_line;
        bool lasts = sg_ask_lasts(plan, &untimed);
        ck_assert_msg(lasts == covers, "shop %u: %.6f kg, takes %.6f", number, t.shop.machine.hopper_level,
                      taken);
        ck_assert_int_eq(untimed, SG_UNKNOWN);
        answers[lasts]++;
        test_shop_free(&t);
    }
    ck_assert(answers[0] > 50 && answers[1] > 50);
    sg_planner_free(planner);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ask at random");
    TCase *tcase = tcase_create("ask at random");
    tcase_add_test(tcase, finished_cuts_are_those_of_the_plain_run);
    tcase_add_test(tcase, what_fits_is_what_trying_every_quantity_finds);
    tcase_add_test(tcase, what_fits_is_what_is_done_of_a_larger_order);
    tcase_add_test(tcase, a_job_is_done_at_the_end_of_its_last_event);
    tcase_add_test(tcase, the_hopper_lasts_where_the_level_covers_all_that_is_taken);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
