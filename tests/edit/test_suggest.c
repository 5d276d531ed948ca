/* Suggestions against an exhaustive search of their own: every change of the families that suggest.h names,
 * made by hand in a copy of the shop and planned by a planner without a past. */
#include "edit/shop_file.h"
#include "edit/suggest.h"
#include "sandglass/rules.h"
#include "support/random.h"

#include <check.h>

static struct random dice;
static struct sg_error error;

/* ---- the exhaustive search ---- */

enum { MAX_CHANGES = 200 };

struct found {
    double savings[MAX_CHANGES]; /* s, of at least a second; infinite where the shift could not end before */
    bool taken[MAX_CHANGES];     /* seen among the suggestions */
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

/* Note what the changed copy saves, if the rules let the changed record stand. */
static void weigh(struct found *found, const struct sg_shop *kept, struct shop_copy *changed, int32_t shift,
                  struct sg_target target)
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
    double saving = sg_known(before) ? before - after : (double)INFINITY;
    if (saving >= 1)
        found->savings[found->n++] = saving;
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
        weigh(found, kept, &copy, shift, (struct sg_target){SG_KIND_JOB, at});
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
    *found = (struct found){.n = 0};
    search_refills(found, kept, shift);
    search_swaps(found, kept, shift);
    search_moves(found, kept, shift);
    search_edges(found, kept, shift);
}

/* ---- suggestions against it ---- */

static bool as_good(double a, double b)
{
    return a == b || fabs(a - b) <= 1e-6; /* a == b: both infinite */
}

static void ck_among(struct found *found, const struct sg_suggestion *suggestion)
{
    for (int i = 0; i < found->n; i++)
        if (!found->taken[i] && as_good(found->savings[i], suggestion->saving)) {
            found->taken[i] = true;
            return;
        }
    ck_abort_msg("%s saves %.9g s: no change does", suggestion->words, suggestion->saving);
}

/* Nothing that was left out is better than what was suggested, but for the millisecond to which savings are
 * ranked. */
static void ck_none_better(const struct found *found, const struct sg_suggestion *out, int n)
{
    ck_assert_int_eq(n, found->n < SG_SUGGESTIONS ? found->n : SG_SUGGESTIONS);
    for (int i = 1; i < n; i++)
        ck_assert_msg(out[i - 1].saving >= out[i].saving - 1e-3, "%d: %g before %g", i, out[i - 1].saving,
                      out[i].saving);
    for (int i = 0; i < found->n; i++)
        ck_assert_msg(found->taken[i] || found->savings[i] <= out[n - 1].saving + 1e-3,
                      "a change that saves %g s is not suggested", found->savings[i]);
}

/* Of equals, to the millisecond, the one with fewer edits stands first. */
static void ck_simplest_first(const struct sg_suggestion *out, int n)
{
    for (int i = 1; i < n; i++)
        ck_assert_msg(round(out[i - 1].saving * 1000) != round(out[i].saving * 1000) ||
                          out[i - 1].n_edits <= out[i].n_edits,
                      "%s before %s", out[i - 1].words, out[i].words);
}

static int suggest(struct sg_desk *desk, int32_t shift, struct sg_suggestion *out, struct found *found)
{
    struct sg_draft *draft = NULL;
    const struct sg_plan *plan = NULL;
    struct sg_change change;
    struct sg_target target;
    int tried = -1;
    const char *left_over = "refill=9";
    shop_must(sg_draft_new(desk, &draft, &error), &error);
    shop_must(sg_draft_set(draft, "machine:main", &left_over, 1, &change, &target, &error), &error);
    int n = sg_suggest(draft, shift, out, &tried, &error);
    ck_assert_msg(n >= 0, "%s", error.text);
    search(found, sg_desk_shop(desk), shift);
    ck_assert_int_eq(tried, found->tried);
    for (int i = 0; i < n; i++)
        ck_among(found, &out[i]);
    ck_none_better(found, out, n);
    ck_simplest_first(out, n);
    ck_assert_str_eq(shop_difference(sg_draft_shop(draft), sg_desk_shop(desk)), ""); /* the draft is clean */
    ck_assert_int_eq(sg_draft_plan(draft, shift, &plan, &error), SG_OK);
    double kept = ends_of(sg_desk_shop(desk), shift);
    ck_assert(plan->ends == kept || (!sg_known(plan->ends) && !sg_known(kept)));
    sg_draft_free(draft);
    return n;
}

/* Keep a suggestion's edits in the file: the plan then ends when it said, with the refills that it said. */
static void ck_kept_as_shown(const struct shop_file *file, int32_t shift,
                             const struct sg_suggestion *suggestion)
{
    const struct sg_plan *plan = NULL;
    struct sg_change change;
    struct file_bytes before = file_bytes_of(file->path);
    struct sg_desk *desk = shop_file_desk(file, SG_STORE_WRITE);
    double ends = ends_of(sg_desk_shop(desk), shift);
    for (int i = 0; i < suggestion->n_edits; i++) {
        const char *assignment = suggestion->edits[i].assignment;
        shop_must(sg_desk_set(desk, suggestion->edits[i].key, &assignment, 1, true, &change, NULL, &error),
                  &error);
    }
    sg_desk_close(desk);
    desk = shop_file_desk(file, SG_STORE_READ);
    ck_assert_int_eq(sg_desk_plan(desk, shift, &plan, &error), SG_OK);
    ck_assert_msg(fabs(plan->ends - suggestion->ends) <= 1e-6, "%s: ends %.9g, said %.9g", suggestion->words,
                  plan->ends, suggestion->ends);
    ck_assert_msg(fabs(plan->over - suggestion->over) <= 1e-6, "%s", suggestion->words);
    ck_assert_int_eq(plan->totals.refills, suggestion->refills);
    if (sg_known(ends))
        ck_assert_msg(fabs(ends - plan->ends - suggestion->saving) <= 1e-6, "%s: saves %.9g, said %.9g",
                      suggestion->words, ends - plan->ends, suggestion->saving);
    else
        ck_assert_msg(isinf(suggestion->saving), "%s", suggestion->words);
    sg_desk_close(desk);
    file_bytes_put(file->path, &before);
    free(before.at);
}

/* ---- the example ---- */

static void set(struct sg_desk *desk, const char *key, const char *assignment)
{
    struct sg_change change;
    shop_must(sg_desk_set(desk, key, &assignment, 1, true, &change, NULL, &error), &error);
}

START_TEST(the_example_ends_earliest_as_the_search_says)
{
    struct shop_file file;
    struct sg_suggestion out[SG_SUGGESTIONS];
    struct found found;
    shop_file_make(&file, true);
    struct sg_desk *desk = shop_file_desk(&file, SG_STORE_WRITE);
    int n = suggest(desk, 0, out, &found);
    ck_assert_int_ge(n, 4);
    ck_assert_msg(strstr(out[0].words, "swap jobs"), "%s", out[0].words);
    for (int i = 0; i < n; i++)
        ck_kept_as_shown(&file, 0, &out[i]);
    set(desk, "2601/1/A", "edge_least=coarse");
    set(desk, "2602/1/A", "edge_least=1");
    n = suggest(desk, 0, out, &found);
    ck_assert_str_eq(out[0].words, "cut 2602/1/A at edge 3 medium");
    ck_assert_str_eq(out[0].edits[0].key, "2602/1/A");
    ck_assert_str_eq(out[0].edits[0].assignment, "edge=3");
    ck_assert_int_eq(out[0].n_edits, 1);
    for (int i = 0; i < n; i++)
        ck_kept_as_shown(&file, 0, &out[i]);
    sg_desk_close(desk);
    ck_assert(shop_file_remove(&file));
}
END_TEST

/* A stock that the machine as it is now would not take (its lift was lowered after the stock was typed):
 * nothing can be set on it, so no fill is suggested there although it would save time. */
START_TEST(a_change_that_the_rules_refuse_is_not_suggested)
{
    struct shop_file file;
    struct sg_suggestion out[SG_SUGGESTIONS];
    struct found found;
    shop_file_make(&file, true);
    struct sg_desk *desk = shop_file_desk(&file, SG_STORE_WRITE);
    set(desk, "shift:A", "run_in_breaks=no");
    set(desk, "2603/1", "load=20 min");
    set(desk, "machine:main", "refill_stops_cutting=no"); /* filled while the plates are loaded */
    set(desk, "machine:main", "refill=15 min");
    suggest(desk, 0, out, &found);
    ck_assert_int_eq(found.refused, 0);
    set(desk, "machine:main", "z_travel=0.4 in");
    int n = suggest(desk, 0, out, &found);
    ck_assert_int_eq(found.refused, 3); /* 2601/1, 2603/1 and 2605/1 are thicker */
    for (int i = 0; i < n; i++)
        for (int k = 0; k < out[i].n_edits; k++)
            ck_assert_msg(strcmp(out[i].edits[k].assignment, "fill=yes") != 0 ||
                              strcmp(out[i].edits[k].key, "2602/1") == 0 ||
                              strcmp(out[i].edits[k].key, "2604/1") == 0 ||
                              strcmp(out[i].edits[k].key, "2605/2") == 0,
                          "%s", out[i].words);
    sg_desk_close(desk);
    ck_assert(shop_file_remove(&file));
}
END_TEST

START_TEST(a_shift_with_nothing_to_change_has_no_suggestion)
{
    struct shop_file file;
    struct sg_suggestion out[SG_SUGGESTIONS];
    struct found found;
    shop_file_make(&file, false);
    struct sg_desk *desk = shop_file_desk(&file, SG_STORE_READ);
    ck_assert_int_eq(suggest(desk, 0, out, &found), 0);
    ck_assert_int_eq(found.tried, 1); /* refill_when of the machine */
    sg_desk_close(desk);
    ck_assert(shop_file_remove(&file));
}
END_TEST

/* ---- small late shops at random ---- */

enum { ROUNDS = 4, SHOPS = 50 }; /* 200 in all */

static double between(double low, double high)
{
    return low + (high - low) * random_unit(&dice);
}

static int32_t whole_between(int32_t low, int32_t high)
{
    return low + (int32_t)random_below(&dice, (unsigned)(high - low + 1));
}

static void insert_parts(struct sg_desk *desk, int64_t stock)
{
    static const char *const ids[] = {"A", "B"};
    int n = whole_between(1, 2);
    for (int i = 0; i < n; i++) {
        struct sg_part part = sg_fresh_part;
        part.id = ids[i];
        part.quantity = whole_between(1, 18);
        part.scrap = random_below(&dice, 6) == 0;
        part.cut_length = between(200, 2500);
        part.pierces = whole_between(1, 8);
        part.length = between(60, 500);
        part.width = between(40, 400);
        if (random_below(&dice, 3) == 0)
            part.edge = 0.5 * whole_between(4, 10);
        if (random_below(&dice, 2) == 0)
            part.edge_least = whole_between(1, 3);
        shop_file_insert(desk, SG_KIND_PART, stock, &part);
    }
}

static void insert_job(struct sg_desk *desk, const char *id, int32_t shift, int32_t order)
{
    static const char *const names[] = {"steel, mild", "stainless 304", "aluminium 6061",
                                        "foam, polyethylene"};
    struct sg_job job = sg_fresh_job;
    job.id = id;
    job.shift = shift;
    job.order = order;
    int64_t row = shop_file_insert(desk, SG_KIND_JOB, 0, &job);
    int n = whole_between(1, 2);
    for (int i = 1; i <= n; i++) {
        struct sg_stock stock = sg_fresh_stock;
        stock.number = i;
        stock.material = material_of(sg_desk_shop(desk), names[random_below(&dice, 4)]);
        stock.thickness = between(3, 20);
        stock.stack = random_below(&dice, 5) == 0 ? 2 : 1;
        stock.sheet_length = between(900, 2400);
        stock.sheet_width = between(600, 1200);
        stock.edge = whole_between(2, 4);
        stock.fill = random_below(&dice, 8) == 0;
        insert_parts(desk, shop_file_insert(desk, SG_KIND_STOCK, row, &stock));
    }
}

/* Two shifts, three to five jobs in the first of them and perhaps one in the second; a hopper that has to be
 * filled, few bags now and then, and a machine that may stand in breaks. */
static void make_late_shop(const struct shop_file *file)
{
    static const char *const ids[] = {"J1", "J2", "J3", "J4", "J5"};
    char level[40], bags[40], date[40];
    struct sg_change changes[8];
    struct sg_target target;
    struct sg_desk *desk = shop_file_desk(file, SG_STORE_WRITE);
    const char *shift_a[] = {"end=12:00", "breaks=08:30-08:45,10:30-11:00",
                             random_below(&dice, 2) ? "run_in_breaks=yes" : "run_in_breaks=no",
                             random_below(&dice, 6) ? "fill_before_breaks=no" : "fill_before_breaks=yes"};
    const char *shift_b[] = {date, "start=14:00", "end=22:00"};
    const char *machine[] = {level,
                             bags,
                             "hopper=150",
                             random_below(&dice, 6) ? "refill_when=latest" : "refill_when=least_wait",
                             random_below(&dice, 3) ? "refill_stops_cutting=yes" : "refill_stops_cutting=no",
                             random_below(&dice, 4) ? "refill_at=pieces" : "refill_at=sheets"};
    snprintf(level, sizeof level, "hopper_level=%d", whole_between(60, 150));
    snprintf(bags, sizeof bags, "bags_in_stock=%d", random_below(&dice, 5) ? 20 : whole_between(0, 3));
    snprintf(date, sizeof date, "date=2026-12-0%d", whole_between(1, 3));
    shop_must(sg_desk_set(desk, "shift:A", shift_a, 4, true, changes, NULL, &error), &error);
    shop_must(sg_desk_set(desk, "machine:main", machine, 6, true, changes, NULL, &error), &error);
    shop_must(sg_desk_add(desk, SG_KIND_SHIFT, NULL, "B", shift_b, 3, 0, changes, &target, &error), &error);
    int n = whole_between(3, 5);
    shop_file_begin(desk);
    for (int i = 0; i < n; i++)
        insert_job(desk, ids[i], 0, i + 1);
    if (random_below(&dice, 2) == 0)
        insert_job(desk, "K", 1, 1);
    shop_file_commit(desk);
    sg_desk_close(desk);
}

struct tally {
    int late, never, refills, suggested;
    int fill, before_breaks, least_wait, swaps, moves, coarser;
};

static void count(struct tally *tally, const struct sg_suggestion *out, int n)
{
    for (int i = 0; i < n; i++) {
        const char *first = out[i].edits[0].assignment;
        tally->fill += strcmp(first, "fill=yes") == 0;
        tally->before_breaks += strncmp(first, "fill_before", 11) == 0;
        tally->least_wait += strncmp(first, "refill_when", 11) == 0;
        tally->swaps += strncmp(first, "order=", 6) == 0;
        tally->moves += strncmp(first, "shift=", 6) == 0;
        tally->coarser += strncmp(first, "edge=", 5) == 0;
    }
    tally->suggested += n;
}

static void try_late_shop(const struct shop_file *file, struct tally *tally)
{
    struct sg_suggestion out[SG_SUGGESTIONS];
    struct found found;
    const struct sg_plan *plan = NULL;
    make_late_shop(file);
    struct sg_desk *desk = shop_file_desk(file, SG_STORE_READ);
    ck_assert_int_eq(sg_desk_plan(desk, 0, &plan, &error), SG_OK);
    tally->late += plan->over > 0;
    tally->never += !sg_known(plan->ends);
    tally->refills += plan->totals.refills;
    int n = suggest(desk, 0, out, &found);
    count(tally, out, n);
    sg_desk_close(desk);
    if (n > 0)
        ck_kept_as_shown(file, 0, &out[0]);
    if (n > 1)
        ck_kept_as_shown(file, 0, &out[random_below(&dice, (unsigned)n)]);
}

START_TEST(no_change_of_a_late_shop_is_better_than_what_is_suggested)
{
    struct shop_file file;
    struct tally tally = {0};
    dice.state = 0x1A7E5409u + (uint64_t)_i * 0x9E3779B97F4A7C15u;
    shop_file_make(&file, false);
    struct file_bytes empty = file_bytes_of(file.path);
    for (int i = 0; i < SHOPS; i++) {
        file_bytes_put(file.path, &empty);
        try_late_shop(&file, &tally);
    }
    free(empty.at);
    ck_assert(shop_file_remove(&file));
    /* the shops are what they are meant to be, and each family of changes was worth something somewhere */
    ck_assert_int_ge(tally.late + tally.never, SHOPS / 2);
    ck_assert_int_ge(tally.never, 1);
    ck_assert_int_ge(tally.refills, SHOPS);
    ck_assert_msg(tally.swaps && tally.moves && tally.coarser, "%d %d %d", tally.swaps, tally.moves,
                  tally.coarser);
    ck_assert_msg(tally.fill + tally.before_breaks + tally.least_wait > 0, "%d %d %d", tally.fill,
                  tally.before_breaks, tally.least_wait);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("suggest");
    TCase *tcase = tcase_create("suggest");
    tcase_set_timeout(tcase, 240);
    tcase_add_test(tcase, the_example_ends_earliest_as_the_search_says);
    tcase_add_test(tcase, a_change_that_the_rules_refuse_is_not_suggested);
    tcase_add_test(tcase, a_shift_with_nothing_to_change_has_no_suggestion);
    tcase_add_loop_test(tcase, no_change_of_a_late_shop_is_better_than_what_is_suggested, 0, ROUNDS);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
