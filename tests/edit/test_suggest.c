/* Suggestions against an exhaustive search of their own. */
#include "edit/every_change.h"
#include "edit/suggest.h"
#include "support/random.h"

static struct random dice;

/* ---- suggestions against it ---- */

static bool as_good(double a, double b)
{
    return a == b || fabs(a - b) <= 1e-6; /* a == b: both infinite */
}

static void ck_among(struct found *found, const struct sg_suggestion *suggestion)
{
    for (int i = 0; i < found->n; i++) {
        struct outcome *o = &found->all[i];
        if (!o->taken && as_good(o->saving, suggestion->saving) && o->n_late == suggestion->n_late &&
            as_good(o->late_s, suggestion->late_s)) {
            o->taken = true;
            return;
        }
    }
    ck_abort_msg("%s saves %.9g s with %d jobs late: no change does", suggestion->words, suggestion->saving,
                 suggestion->n_late);
}

static bool is_put_out(const struct found *found, const struct outcome *o)
{
    for (int i = 0; i < found->n; i++)
        if (found->all[i].minute == o->minute && found->all[i].n_late < o->n_late)
            return true;
    return false;
}

static int by_rank(const void *a, const void *b)
{
    const struct outcome *x = a, *y = b;
    if (x->minute != y->minute)
        return x->minute < y->minute ? -1 : 1;
    if (x->n_late != y->n_late)
        return x->n_late - y->n_late;
    return (round(x->late_s) > round(y->late_s)) - (round(x->late_s) < round(y->late_s));
}

/* All that are worth suggesting, the best first: how many. */
static int rank(const struct found *found, struct outcome *ranked)
{
    int n = 0;
    for (int i = 0; i < found->n; i++)
        if (!is_put_out(found, &found->all[i]))
            ranked[n++] = found->all[i];
    qsort(ranked, (size_t)n, sizeof *ranked, by_rank);
    return n;
}

/* What is suggested are the best ones, in their order. */
static void ck_ranked(const struct found *found, const struct sg_shop *kept, int32_t shift,
                      const struct sg_suggestion *out, int n)
{
    struct outcome ranked[MAX_CHANGES];
    int worth = rank(found, ranked);
    ck_assert_int_eq(n, worth < SG_SUGGESTIONS ? worth : SG_SUGGESTIONS);
    for (int i = 0; i < n; i++)
        ck_assert_msg(minute_of(kept, shift, out[i].ends) == ranked[i].minute &&
                          out[i].n_late == ranked[i].n_late &&
                          round(out[i].late_s) == round(ranked[i].late_s),
                      "%d: %s (%d late, %g s), but %g s earlier with %d late, %g s", i, out[i].words,
                      out[i].n_late, out[i].late_s, ranked[i].saving, ranked[i].n_late, ranked[i].late_s);
}

/* Of equals the one with fewer edits stands first. */
static void ck_simplest_first(const struct sg_shop *kept, int32_t shift, const struct sg_suggestion *out,
                              int n)
{
    for (int i = 1; i < n; i++)
        ck_assert_msg(minute_of(kept, shift, out[i - 1].ends) != minute_of(kept, shift, out[i].ends) ||
                          out[i - 1].n_late != out[i].n_late ||
                          round(out[i - 1].late_s) != round(out[i].late_s) ||
                          out[i - 1].n_edits <= out[i].n_edits,
                      "%s before %s", out[i - 1].words, out[i].words);
}

/* The late jobs are there by index and by name, as many as they are counted. */
static void ck_late_named(const struct sg_shop *kept, const struct sg_suggestion *suggestion)
{
    char names[400] = "";
    ck_assert_int_le(suggestion->n_late, SG_SUGGESTED_LATE);
    for (int i = 0; i < suggestion->n_late; i++) {
        const char *id = kept->jobs[suggestion->late[i]].id;
        size_t used = strlen(names);
        snprintf(names + used, sizeof names - used, "%s%s", used ? " " : "", id);
    }
    ck_assert_str_eq(suggestion->late_jobs, names);
    ck_assert((suggestion->n_late > 0) == (suggestion->late_s > 0));
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
    ck_ranked(found, sg_desk_shop(desk), shift, out, n);
    ck_simplest_first(sg_desk_shop(desk), shift, out, n);
    for (int i = 0; i < n; i++)
        ck_late_named(sg_desk_shop(desk), &out[i]);
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
    ck_assert_int_ge(found.n, 4); /* four swaps end it in the same minute, and only one makes nobody later */
    ck_assert_int_eq(n, 1);
    ck_assert_str_eq(out[0].words, "swap jobs 2603 and 2604");
    ck_assert_str_eq(out[0].late_jobs, "2605");
    for (int i = 0; i < n; i++)
        ck_kept_as_shown(&file, 0, &out[i]);
    set(desk, "2601/1/A", "edge_least=coarse");
    set(desk, "2602/1/A", "edge_least=1");
    n = suggest(desk, 0, out, &found);
    ck_assert_str_eq(out[0].words, "cut 2601/1/A at edge 2 coarse");
    ck_assert_str_eq(out[0].edits[0].key, "2601/1/A");
    ck_assert_str_eq(out[0].edits[0].assignment, "edge=2");
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
    ck_assert_int_eq(found.n, 0);
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
    if (random_below(&dice, 3)) /* from 07:00 of the day on which the first shift starts */
        job.due = (int64_t)sg_date_days(2026, 12, 1) * 86400 + 3600 * whole_between(7, 17);
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
    int late, never, refills, suggested, late_jobs, put_out, late_elsewhere;
    int fill, before_breaks, least_wait, swaps, moves, coarser;
};

static void count(struct tally *tally, const struct sg_suggestion *out, int n)
{
    for (int i = 0; i < n; i++) {
        const char *first = out[i].edits[0].assignment;
        tally->late_jobs += out[i].n_late;
        ck_assert_msg(!strchr(out[i].words, '_'), "%s", out[i].words); /* no field's name in it */
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
    tally->put_out += found.n - rank(&found, (struct outcome[MAX_CHANGES]){{0}});
    for (int i = 0; i < n; i++)
        for (int k = 0; k < out[i].n_late; k++)
            tally->late_elsewhere +=
                strncmp(out[i].edits[0].assignment, "shift=", 6) == 0 &&
                strcmp(sg_desk_shop(desk)->jobs[out[i].late[k]].id, out[i].edits[0].key) == 0;
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
    ck_assert_msg(tally.late_jobs && tally.put_out && tally.late_elsewhere,
                  "%d late, %d put out, %d late elsewhere", tally.late_jobs, tally.put_out,
                  tally.late_elsewhere);
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
