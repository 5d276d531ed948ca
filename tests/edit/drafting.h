/* A draft over a shop file, and its mirror: the same shop, changed by hand. */
#ifndef SANDGLASS_TESTS_EDIT_DRAFTING_H
#define SANDGLASS_TESTS_EDIT_DRAFTING_H

#include "edit/draft.h"
#include "edit/run_suite.h"
#include "edit/same_plan.h"
#include "edit/shop_file.h"
#include "support/shop.h"

static struct shop_file file;
static struct file_bytes at_rest;
static struct sg_desk *desk;
static struct sg_draft *draft;
static struct shop_copy mirror; /* the draft's shop as it should be, changed by hand */
static struct sg_error error;

/* Outlines that are kept without their files: "plate.dxf" and "plate.nc", which has no leads. */
static inline void add_outlines(void)
{
    struct sg_drawn drawn = {.name = "plate.dxf", .outline = &test_plate, .rapid_length = (double)NAN};
    shop_file_begin(desk);
    shop_must(sg_store_insert_drawn(sg_desk_store(desk), &drawn, &error), &error);
    drawn.name = "plate.nc";
    drawn.program = true;
    shop_must(sg_store_insert_drawn(sg_desk_store(desk), &drawn, &error), &error);
    shop_file_commit(desk);
}

/* More than the example has: a second shift, work of the shop's own, a job in the second shift. */
static inline void add_more(void)
{
    struct sg_change changes[8];
    struct sg_target target;
    static const char *const chores[] = {"when=sheet", "time=1:30"};
    static const char *const shift[] = {"start=06:00", "end=14:00", "breaks=10:00-10:20"};
    static const char *const job[] = {"shift=B", "due=2026-12-02 12:00"};
    static const char *const stock[] = {"material=copper", "thickness=6 mm", "sheet_length=1000 mm",
                                        "sheet_width=500 mm"};
    static const char *const part[] = {"cut_length=400 mm", "quantity=9", "length=90 mm", "width=40 mm"};
    int32_t tomorrow = sg_date_days(2026, 12, 2);
    shop_must(sg_desk_add(desk, SG_KIND_CHORE, NULL, "wash", chores, 2, tomorrow, changes, &target, &error),
              &error);
    shop_must(sg_desk_add(desk, SG_KIND_SHIFT, NULL, "B", shift, 3, tomorrow, changes, &target, &error),
              &error);
    shop_must(sg_desk_add(desk, SG_KIND_JOB, NULL, "last", job, 2, 0, changes, &target, &error), &error);
    shop_must(sg_desk_add(desk, SG_KIND_STOCK, "last", "", stock, 4, 0, changes, &target, &error), &error);
    shop_must(sg_desk_add(desk, SG_KIND_PART, "last/1", "A", part, 4, 0, changes, &target, &error), &error);
    static const char *const outlined[] = {"outline=plate.dxf", "quantity=5"};
    add_outlines();
    shop_must(sg_desk_add(desk, SG_KIND_PART, "last/1", "B", outlined, 2, 0, changes, &target, &error),
              &error);
}

static inline void open_shop(bool example, int lines)
{
    shop_file_make(&file, example);
    desk = shop_file_desk(&file, SG_STORE_WRITE);
    if (lines > 0)
        shop_file_lines(desk, lines);
    add_more();
    sg_desk_close(desk);
    desk = shop_file_desk(&file, SG_STORE_READ);
    shop_must(sg_draft_new(desk, &draft, &error), &error);
    shop_copy_take(&mirror, sg_desk_shop(desk));
    at_rest = file_bytes_of(file.path);
}

static inline void open_example(void)
{
    open_shop(true, 0);
}

static inline void open_lines(void)
{
    open_shop(false, 500);
}

static inline void close_shop(void)
{
    ck_assert_msg(file_bytes_are(file.path, &at_rest), "the file has changed");
    free(at_rest.at);
    sg_draft_free(draft);
    sg_desk_close(desk);
    shop_copy_free(&mirror);
    ck_assert(shop_file_remove(&file));
}

/* The draft's plan is the one that a planner without a past makes of a shop; every shift that is asked for.
 */
static inline void ck_plans_as(const struct sg_shop *shop, int32_t shift, const char *after)
{
    const struct sg_plan *mine = NULL, *fresh = NULL;
    struct sg_error other;
    struct sg_planner *planner = sg_planner_new();
    enum sg_status status = sg_draft_plan(draft, shift, &mine, &error),
                   expected = sg_plan_shift(planner, shop, shift, &fresh, &other);
    ck_assert_msg(status == expected, "after %s: %d, expected %d: %s", after, status, expected,
                  status == SG_OK ? other.text : error.text);
    if (status == SG_OK)
        ck_assert_msg(same_plan(mine, fresh) && same_wear(mine, fresh, shop->n_heads), "after %s: %s", after,
                      differing);
    else
        ck_assert_str_eq(error.text, other.text);
    sg_planner_free(planner);
}

static inline void ck_shop_is_mirror(const char *after)
{
    const char *field = shop_difference(sg_draft_shop(draft), &mirror.shop);
    ck_assert_msg(*field == '\0', "after %s: %s", after, field);
}

static inline struct sg_target find(const char *key)
{
    struct sg_target target = {SG_KIND_MACHINE, 0};
    shop_must(sg_key_find(sg_draft_shop(draft), key, &target, &error), &error);
    return target;
}

static inline struct sg_typed typed_into(const char *key, const char *name, const char *text)
{
    struct sg_typed typed;
    struct sg_target target = find(key);
    sg_draft_type(draft, target, sg_field_find(target.kind, name), text, &typed);
    return typed;
}

static inline double ends_of(int32_t shift)
{
    const struct sg_plan *plan = NULL;
    ck_assert_int_eq(sg_draft_plan(draft, shift, &plan, &error), SG_OK);
    return plan->ends;
}

static inline TCase *on_shop(Suite *suite, const char *name, void (*open)(void))
{
    TCase *tcase = tcase_create(name);
    tcase_add_checked_fixture(tcase, open, close_shop);
    tcase_set_timeout(tcase, 240);
    suite_add_tcase(suite, tcase);
    return tcase;
}

#endif
