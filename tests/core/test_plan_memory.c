/* The planner keeps memory and results from one plan to the next: a planner that has planned many shops must
 * give the same plan as a new one, and must not allocate again for the same shop. */
#include "sandglass/plan.h"
#include "sandglass/rules.h"

#include "support/must.h"
#include "support/random_outline.h"
#include "support/shop.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

/* ---- the same plan ---- */

static int step; /* for the messages */

static void same_bits(const char *what, int32_t index, const void *a, const void *b, size_t size)
{
    must(memcmp(a, b, size) == 0, "step %d: %s %d differs from a new planner's", step, what, index);
}

#define SAME(what, i, a, b, member)                                                                          \
    same_bits(what " " #member " of", i, &(a)->member, &(b)->member, sizeof(a)->member)

static void same_part(int32_t i, const struct sg_plan_part *a, const struct sg_plan_part *b)
{
    SAME("part", i, a, b, traverse);
    SAME("part", i, a, b, edge_cut);
    SAME("part", i, a, b, pierce_each);
    SAME("part", i, a, b, each);
    SAME("part", i, a, b, cut);
    SAME("part", i, a, b, pierce);
    SAME("part", i, a, b, rapid);
    SAME("part", i, a, b, garnet);
    SAME("part", i, a, b, mass);
    SAME("part", i, a, b, cuts);
    SAME("part", i, a, b, per_sheet);
    SAME("part", i, a, b, sheets);
    SAME("part", i, a, b, basis);
    SAME("part", i, a, b, split);
}

static void same_stock(int32_t i, const struct sg_plan_stock *a, const struct sg_plan_stock *b)
{
    SAME("stock", i, a, b, setup.traverse);
    SAME("stock", i, a, b, setup.pierce);
    SAME("stock", i, a, b, setup.kerf);
    SAME("stock", i, a, b, setup.water);
    SAME("stock", i, a, b, setup.marks);
    SAME("stock", i, a, b, setup.traverse_basis);
    SAME("stock", i, a, b, head);
    SAME("stock", i, a, b, load);
    SAME("stock", i, a, b, sheet_mass);
    SAME("stock", i, a, b, slat_load);
    SAME("stock", i, a, b, sheets);
    SAME("stock", i, a, b, index_moves);
    SAME("stock", i, a, b, cut);
    SAME("stock", i, a, b, garnet);
    SAME("stock", i, a, b, mass);
    SAME("stock", i, a, b, pieces);
}

static void same_job(int32_t i, const struct sg_plan_job *a, const struct sg_plan_job *b)
{
    SAME("job", i, a, b, starts);
    SAME("job", i, a, b, ends);
    SAME("job", i, a, b, cut);
    SAME("job", i, a, b, garnet);
    SAME("job", i, a, b, sheets);
    SAME("job", i, a, b, late);
}

static void same_event(int32_t i, const struct sg_event *a, const struct sg_event *b)
{
    SAME("event", i, a, b, kind);
    SAME("event", i, a, b, at);
    SAME("event", i, a, b, seconds);
    SAME("event", i, a, b, asked);
    SAME("event", i, a, b, level);
    SAME("event", i, a, b, garnet);
    SAME("event", i, a, b, batch);
    SAME("event", i, a, b, sheet);
    SAME("event", i, a, b, first);
    SAME("event", i, a, b, cuts);
    SAME("event", i, a, b, bags);
    SAME("event", i, a, b, flags);
}

static void same_totals(const struct sg_plan *a, const struct sg_plan *b)
{
    SAME("totals", 0, a, b, totals.cut);
    SAME("totals", 0, a, b, totals.pierce);
    SAME("totals", 0, a, b, totals.rapid);
    SAME("totals", 0, a, b, totals.hands_on);
    SAME("totals", 0, a, b, totals.waiting);
    SAME("totals", 0, a, b, totals.elapsed);
    SAME("totals", 0, a, b, totals.garnet);
    SAME("totals", 0, a, b, totals.water);
    SAME("totals", 0, a, b, totals.energy);
    SAME("totals", 0, a, b, totals.bags);
    SAME("totals", 0, a, b, totals.sheets);
    SAME("totals", 0, a, b, totals.pieces);
    SAME("plan", 0, a, b, ends);
    SAME("plan", 0, a, b, over);
    SAME("plan", 0, a, b, next_refill);
    SAME("plan", 0, a, b, hopper_lasts);
    SAME("plan", 0, a, b, n_breaks);
}

static void same_caution(int32_t i, const struct sg_caution *a, const struct sg_caution *b)
{
    SAME("caution", i, a, b, code);
    SAME("caution", i, a, b, kind);
    SAME("caution", i, a, b, index);
    SAME("caution", i, a, b, a);
    SAME("caution", i, a, b, b);
}

static void same_plan(const struct sg_plan *a, const struct sg_plan *b)
{
    ck_assert_int_eq(a->n_jobs, b->n_jobs);
    ck_assert_int_eq(a->n_stocks, b->n_stocks);
    ck_assert_int_eq(a->n_parts, b->n_parts);
    for (int32_t i = 0; i < a->n_parts; i++)
        same_part(i, &a->parts[i], &b->parts[i]);
    for (int32_t i = 0; i < a->n_stocks; i++)
        same_stock(i, &a->stocks[i], &b->stocks[i]);
    must(a->run.n_events == b->run.n_events, "step %d: %d events, a new planner has %d", step,
         a->run.n_events, b->run.n_events);
    for (int32_t i = 0; i < a->run.n_events; i++)
        same_event(i, &a->run.events[i], &b->run.events[i]);
    for (int32_t i = 0; i < a->n_jobs; i++)
        same_job(i, &a->jobs[i], &b->jobs[i]);
    same_totals(a, b);
    ck_assert_int_eq(a->n_cautions, b->n_cautions);
    for (int32_t i = 0; i < a->n_cautions; i++)
        same_caution(i, &a->cautions[i], &b->cautions[i]);
}

/* ---- shops that change ---- */

static struct sg_outline drawn[2];

static void draw_outlines(struct test_shop *shop, struct random *r)
{
    for (int i = 0; i < 2; i++) {
        sg_outline_free(&drawn[i]);
        random_outline(r, &drawn[i]);
    }
    test_shop_drawn(shop, "plate.nc", &test_plate, true);
    test_shop_drawn(shop, "1.dxf", &drawn[0], false);
    test_shop_drawn(shop, "2.dxf", &drawn[1], false);
}

static void make_shop(struct test_shop *shop, struct random *r)
{
    test_shop_make(shop);
    draw_outlines(shop, r);
    shop->shifts[1] = shop->shifts[0];
    shop->shifts[1].id = "B";
    shop->shifts[1].calendar.epoch += 8 * 3600;
    shop->shop.n_shifts = 2;
    test_shop_break(shop, 7200, 8100);
    for (int job = 0; job < 6; job++) {
        test_shop_job(shop, job < 4 ? 0 : 1);
        for (unsigned stock = random_below(r, 3); stock < 3; stock++) {
            struct sg_stock *s = test_shop_stock(shop, (int32_t)random_below(r, 4), 2 + random_below(r, 20));
            s->sheet_length = 2438.4;
            s->sheet_width = 1219.2;
            for (unsigned part = random_below(r, 3); part < 3; part++)
                test_shop_part(shop, (int32_t)random_below(r, 4), 500 + random_below(r, 2000), 300, 200);
        }
    }
}

/* A value for a field from what it may hold, now and then nothing. */
static void change(struct random *r, const struct sg_field *field, void *record)
{
    struct sg_value value;
    sg_field_get(field, record, &value);
    double low = field->min, high = field->odd > 0 ? field->odd : field->max;
    double number = low + (high - low) * (random_below(r, 2) ? random_unit(r) : random_unit(r) * 0.01);
    int words = 0;
    value.none = field->flags & SG_FIELD_OPTIONAL && random_below(r, 6) == 0;
    switch (field->type) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_EDGE:
        value.number[0] = number;
        break;
    case SG_FIELD_WHOLE:
        value.whole = (int64_t)(low + fmin(high - low, 5) * random_unit(r));
        break;
    case SG_FIELD_CHOICE:
        while (field->words[words])
            words++;
        value.whole = random_below(r, (unsigned)words);
        break;
    case SG_FIELD_FLAGS:
        value.whole = random_below(r, 1 << SG_HAZARDS);
        break;
    case SG_FIELD_MATERIAL:
        value.whole = random_below(r, 4);
        break;
    case SG_FIELD_HEAD:
        value.whole = random_below(r, 2);
        break;
    case SG_FIELD_OUTLINE:
        value.whole = random_below(r, 4);
        break;
    default:
        return; /* texts, dates and shifts are the edge's */
    }
    sg_field_put(field, record, &value);
}

static void change_something(struct random *r, struct sg_shop *shop)
{
    static const enum sg_kind often[] = {SG_KIND_PART,  SG_KIND_PART,     SG_KIND_PART,
                                         SG_KIND_STOCK, SG_KIND_STOCK,    SG_KIND_MACHINE,
                                         SG_KIND_HEAD,  SG_KIND_MATERIAL, SG_KIND_SHIFT};
    enum sg_kind kind = often[random_below(r, sizeof often / sizeof *often)];
    const int32_t counts[SG_KINDS] = {[SG_KIND_PART] = shop->n_parts,
                                      [SG_KIND_STOCK] = shop->n_stocks,
                                      [SG_KIND_MACHINE] = 1,
                                      [SG_KIND_HEAD] = shop->n_heads,
                                      [SG_KIND_MATERIAL] = shop->n_materials,
                                      [SG_KIND_SHIFT] = shop->n_shifts};
    int n;
    const struct sg_field *fields = sg_fields(kind, &n);
    struct sg_target target = {kind, (int32_t)random_below(r, (unsigned)counts[kind])};
    const struct sg_field *field = &fields[kind == SG_KIND_PART && random_below(r, 4) == 0
                                               ? (unsigned)(sg_field_find(kind, "outline") - fields)
                                               : random_below(r, (unsigned)n)];
    change(r, field, sg_target_record(shop, target));
    if (field->type == SG_FIELD_OUTLINE)
        sg_part_measure(sg_target_record(shop, target), shop);
}

/* As a draft that is dropped and typed anew leaves other outlines in the same places. */
static void swap_outlines(struct random *r, struct sg_shop *shop)
{
    unsigned i = random_below(r, 4), k = random_below(r, 4);
    struct sg_drawn was = shop->drawn[i];
    shop->drawn[i] = shop->drawn[k];
    shop->drawn[k] = was;
    for (int32_t p = 0; p < shop->n_parts; p++)
        sg_part_measure(&shop->parts[p], shop);
}

/* Nonsense that rules refuse (a low line above the hopper) or that makes millions of events is put back. */
static bool sensible(const struct sg_shop *shop)
{
    struct sg_error error;
    bool good = sg_rules_check(SG_KIND_MACHINE, &shop->machine, shop, &error) == SG_OK &&
                shop->machine.hopper - shop->machine.low_line > 1 &&
                (shop->machine.bag == 0 || shop->machine.bag > 0.5);
    for (int32_t i = 0; i < shop->n_heads; i++)
        good = good && (shop->heads[i].kind == SG_HEAD_WATER ||
                        (sg_known(shop->heads[i].tube) && sg_known(shop->heads[i].garnet)));
    return good;
}

START_TEST(a_planner_that_has_planned_before_plans_as_a_new_one)
{
    static struct test_shop shop;
    struct random r = {424242};
    struct sg_planner *warm = sg_planner_new();
    for (step = 0; step < 6000; step++) {
        if (step % 300 == 0) {
            if (step > 0)
                test_shop_free(&shop);
            make_shop(&shop, &r);
        }
        struct sg_machine machine = shop.shop.machine;
        struct sg_head heads[TEST_HEADS];
        memcpy(heads, shop.heads, sizeof heads);
        if (random_below(&r, 20) == 0)
            swap_outlines(&r, &shop.shop);
        change_something(&r, &shop.shop);
        if (!sensible(&shop.shop)) {
            shop.shop.machine = machine;
            memcpy(shop.heads, heads, sizeof heads);
        }
        int32_t shift = random_below(&r, 5) == 0;
        struct sg_planner *cold = sg_planner_new();
        const struct sg_plan *kept = NULL, *fresh = NULL;
        enum sg_status a = sg_plan_shift(warm, &shop.shop, shift, &kept, NULL);
        enum sg_status b = sg_plan_shift(cold, &shop.shop, shift, &fresh, NULL);
        ck_assert_int_eq(a, b);
        if (a == SG_OK)
            same_plan(kept, fresh);
        sg_planner_free(cold);
    }
    for (int i = 0; i < 2; i++)
        sg_outline_free(&drawn[i]);
    test_shop_free(&shop);
    sg_planner_free(warm);
}
END_TEST

START_TEST(a_skipped_part_does_not_spoil_the_next_stock)
{
    static struct test_shop shop;
    struct sg_planner *warm = sg_planner_new(), *cold = sg_planner_new();
    const struct sg_plan *kept, *fresh;
    test_shop_make(&shop);
    test_shop_job(&shop, 0);
    test_shop_stock(&shop, 0, 10);
    test_shop_part(&shop, 1, 1000, 100, 100);
    test_shop_part(&shop, 0, 1000, 100, 100); /* not cut */
    test_shop_stock(&shop, 1, 5);
    test_shop_part(&shop, 7, 1000, 100, 100);
    ck_assert_int_eq(sg_plan_shift(warm, &shop.shop, 0, &kept, NULL), SG_OK);
    shop.shop.parts[0].cut_length = 1500;
    ck_assert_int_eq(sg_plan_shift(warm, &shop.shop, 0, &kept, NULL), SG_OK);
    ck_assert_int_eq(sg_plan_shift(cold, &shop.shop, 0, &fresh, NULL), SG_OK);
    same_plan(kept, fresh);
    sg_planner_free(warm);
    sg_planner_free(cold);
    test_shop_free(&shop);
}
END_TEST

/* ---- memory ---- */

#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED
#endif
#endif
#if defined(__GLIBC__) && !defined(__SANITIZE_ADDRESS__) && !defined(SANITIZED)
#define COUNTED
/* The C library's own, under the name that lets a program replace realloc. */
void *__libc_realloc(void *old, size_t size);

static int allocations;

void *realloc(void *old, size_t size)
{
    allocations++;
    return __libc_realloc(old, size);
}

START_TEST(planning_again_allocates_nothing)
{
    static struct test_shop shop;
    struct random r = {99};
    struct sg_planner *planner = sg_planner_new();
    const struct sg_plan *plan;
    for (int when = SG_WHEN_LATEST; when <= SG_WHEN_LEAST_WAIT; when++) {
        make_shop(&shop, &r);
        shop.shop.machine.refill_when = when;
        shop.shop.machine.hopper_level = 40;
        allocations = 0;
        ck_assert_int_eq(sg_plan_shift(planner, &shop.shop, 0, &plan, NULL), SG_OK);
        ck_assert_int_gt(allocations, 0);
        allocations = 0;
        for (int i = 0; i < 10; i++) {
            shop.shop.parts[i].cut_length = shop.shop.parts[i].cut_length * 0.9;
            ck_assert_int_eq(sg_plan_shift(planner, &shop.shop, 0, &plan, NULL), SG_OK);
        }
        ck_assert_int_eq(allocations, 0);
        test_shop_free(&shop);
    }
    sg_planner_free(planner);
}
END_TEST
#endif

START_TEST(too_many_events_are_bad_data_and_say_where_to_look)
{
    static struct test_shop shop;
    struct sg_planner *planner = sg_planner_new();
    const struct sg_plan *plan = NULL;
    struct sg_error error = {.status = SG_OK};
    test_shop_make(&shop);
    shop.shop.machine.bag = 0; /* bulk, and a hopper that holds next to nothing */
    shop.shop.machine.hopper = shop.shop.machine.hopper_level = 0.002;
    shop.shop.machine.low_line = 0;
    test_shop_job(&shop, 0);
    test_shop_stock(&shop, 0, 10);
    test_shop_part(&shop, 1000000, 1000, 100, 100);
    ck_assert_int_eq(sg_plan_shift(planner, &shop.shop, 0, &plan, &error), SG_BAD_DATA);
    ck_assert_ptr_null(plan);
    ck_assert_ptr_nonnull(strstr(error.text, "hopper"));
    shop.shop.machine.hopper = shop.shop.machine.hopper_level = 300; /* the planner is good again */
    shop.shop.parts[0].quantity = 3;
    ck_assert_int_eq(sg_plan_shift(planner, &shop.shop, 0, &plan, &error), SG_OK);
    ck_assert_int_eq(plan->totals.pieces, 3);
    ck_assert_int_eq(sg_plan_shift(planner, &shop.shop, 7, &plan, &error), SG_BAD_DATA);
    ck_assert_int_eq(sg_plan_shift(planner, &shop.shop, -1, &plan, &error), SG_BAD_DATA);
    sg_planner_free(planner);
    test_shop_free(&shop);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plan, memory");
    TCase *memory = tcase_create("memory");
    tcase_add_test(memory, a_planner_that_has_planned_before_plans_as_a_new_one);
    tcase_add_test(memory, a_skipped_part_does_not_spoil_the_next_stock);
#ifdef COUNTED
    tcase_add_test(memory, planning_again_allocates_nothing);
#endif
    tcase_add_test(memory, too_many_events_are_bad_data_and_say_where_to_look);
    suite_add_tcase(suite, memory);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
