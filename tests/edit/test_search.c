/* A longer search: it offers what the plan then shows, and changes nothing by itself. And what was scrapped
 * is cut again. */
#include "edit/search.h"

#include "edit/run_suite.h"
#include "edit/scrap.h"
#include "edit/shop_file.h"
#include "support/random.h"

#include <check.h>
#include <stdio.h>

static struct shop_file file;
static struct sg_desk *desk;
static struct sg_error error;

static void open_shop(void)
{
    shop_file_make(&file, true);
    ck_assert_int_eq(sg_desk_open(file.path, SG_STORE_WRITE, &desk, &error), SG_OK);
}

static void close_shop(void)
{
    sg_desk_close(desk);
    ck_assert(shop_file_remove(&file));
}

static void set(const char *key, const char *assignment)
{
    struct sg_change change;
    ck_assert_msg(sg_desk_set(desk, key, &assignment, 1, true, &change, NULL, &error) == SG_OK, "%s",
                  error.text);
}

static void add_part(const char *id, double length, double width, unsigned quantity)
{
    char a[3][60];
    const char *assignments[] = {a[0], a[1], a[2]};
    struct sg_change changes[3];
    struct sg_target target;
    snprintf(a[0], sizeof a[0], "length=%.1f mm", length);
    snprintf(a[1], sizeof a[1], "width=%.1f mm", width);
    snprintf(a[2], sizeof a[2], "quantity=%u", quantity);
    ck_assert_msg(sg_desk_add(desk, SG_KIND_PART, "2605/1", id, assignments, 3, 20000, changes, &target,
                              &error) == SG_OK,
                  "%s", error.text);
}

static int64_t sheets_of(int32_t stock)
{
    const struct sg_plan *plan;
    const struct sg_shop *shop = sg_desk_shop(desk);
    ck_assert_int_eq(sg_desk_plan(desk, shop->jobs[shop->stocks[stock].job].shift, &plan, &error), SG_OK);
    return plan->stocks[stock - plan->first_stock].sheets;
}

/* Boxes at random until a longer search finds fewer sheets; the range is that of a class of published
 * instances: sides of 1 to 35 on a sheet of 40 (Berkey & Wang 1987, from memory). */
START_TEST(a_longer_search_offers_what_the_plan_then_shows)
{
    struct random r = {4};
    struct sg_target target;
    int better = 0;
    ck_assert_int_eq(sg_key_find(sg_desk_shop(desk), "2605/1", &target, &error), SG_OK);
    set("2605/1", "sheet_length=400 mm");
    set("2605/1", "sheet_width=400 mm");
    set("2605/1", "margin=0");
    set("2605/1", "gap=0");
    set("2605/1/A", "quantity=0");
    for (int round = 0; round < 12; round++) {
        char id[20];
        for (int i = 0; i < 4; i++) {
            snprintf(id, sizeof id, "r%d-%d", round, i);
            add_part(id, 10 + 10 * random_below(&r, 35), 10 + 10 * random_below(&r, 35),
                     1 + random_below(&r, 3));
        }
        int64_t before = sheets_of(target.index), found = SG_UNKNOWN;
        ck_assert_int_eq(sg_desk_search(desk, target.index, SG_SEARCH_LOOKS, &found, &error), SG_OK);
        ck_assert_int_le(found, before);
        ck_assert_int_eq(sheets_of(target.index), before); /* nothing has changed */
        better += found < before;
        set("2605/1", "search=5000");
        ck_assert_int_eq(sheets_of(target.index), found);
        set("2605/1", "search=0");
        ck_assert_int_eq(sheets_of(target.index), before);
    }
    ck_assert_int_gt(better, 0);
}
END_TEST

/* ---- scrap ---- */

static struct sg_target found(const char *key)
{
    struct sg_target target;
    ck_assert_int_eq(sg_key_find(sg_desk_shop(desk), key, &target, &error), SG_OK);
    return target;
}

static int32_t scrap_of(const char *key)
{
    return sg_desk_shop(desk)->parts[found(key).index].scrap;
}

START_TEST(a_scrapped_sheet_puts_its_pieces_back_and_one_undo_takes_it_back)
{
    /* Sheets of 48 x 48 in hold all of part A and part B in several; what lies on sheet 1 is counted by the
     * plan's batches. */
    const struct sg_plan *plan;
    struct sg_step_told told;
    int64_t a = 0, b = 0;
    set("2601/1", "sheet_length=48 in");
    struct sg_target stock = found("2601/1");
    ck_assert_int_eq(sg_desk_plan(desk, 0, &plan, &error), SG_OK);
    const struct sg_plan_stock *planned = &plan->stocks[stock.index - plan->first_stock];
    const struct sg_sheets *sheets = &plan->sheets[planned->first_sheets];
    double ends = plan->ends;
    for (int32_t i = sheets->first; i < sheets->first + sheets->n; i++) {
        bool first = plan->batches[i].part == found("2601/1/A").index;
        a += first ? plan->batches[i].cuts : 0;
        b += first ? 0 : plan->batches[i].cuts;
    }
    ck_assert_int_gt(a + b, 0);
    ck_assert_msg(sg_desk_scrap(desk, stock, 1, &error) == SG_OK, "%s", error.text);
    ck_assert_int_eq(scrap_of("2601/1/A"), a);
    ck_assert_int_eq(scrap_of("2601/1/B"), b);
    ck_assert_int_eq(sg_desk_plan(desk, 0, &plan, &error), SG_OK);
    ck_assert_double_gt(plan->ends, ends);
    ck_assert_msg(sg_desk_undo(desk, &told, &error) == SG_OK, "%s", error.text);
    ck_assert_str_eq(told.words, "sheet 1 of 2601/1 scrapped: its pieces are cut again");
    ck_assert_int_eq(scrap_of("2601/1/A"), 0);
    ck_assert_int_eq(scrap_of("2601/1/B"), 0);
    ck_assert_int_eq(sg_desk_plan(desk, 0, &plan, &error), SG_OK);
    ck_assert_double_eq(plan->ends, ends);
}
END_TEST

/* Of a stack all of its sheets are spoilt at once; sheets are counted as stacks. */
START_TEST(a_scrapped_stack_loses_the_pieces_of_all_its_sheets)
{
    const struct sg_plan *plan;
    struct sg_step_told told;
    char expected[100];
    set("2601/1", "stack=2");
    struct sg_target stock = found("2601/1"), part = found("2601/1/A");
    ck_assert_int_eq(sg_desk_plan(desk, 0, &plan, &error), SG_OK);
    int64_t stacks = sg_sheets_in_all(plan, stock.index), cuts = 0;
    ck_assert_int_eq(stacks * 2, plan->stocks[stock.index - plan->first_stock].sheets);
    const struct sg_sheets *first = sg_sheets_with(plan, stock.index, 1);
    for (int32_t i = first->first; i < first->first + first->n; i++)
        cuts += plan->batches[i].part == part.index ? plan->batches[i].cuts : 0;
    ck_assert_int_gt(cuts, 0);
    ck_assert(sg_sheets_with(plan, stock.index, 0) == NULL);
    ck_assert(sg_sheets_with(plan, stock.index, stacks + 1) == NULL);
    ck_assert_int_eq(sg_desk_scrap(desk, stock, stacks + 1, &error), SG_BAD_DATA);
    snprintf(expected, sizeof expected,
             "stock 2601/1 has no stack %lld: its plan has %lld stack%s of 2 sheets", (long long)stacks + 1,
             (long long)stacks, stacks == 1 ? "" : "s");
    ck_assert_msg(strstr(error.text, expected) != NULL, "%s", error.text);
    ck_assert_int_eq(sg_desk_scrap(desk, stock, 1, &error), SG_OK);
    ck_assert_int_eq(scrap_of("2601/1/A"), 2 * cuts);
    ck_assert_int_eq(sg_desk_undo(desk, &told, &error), SG_OK);
    ck_assert_str_eq(told.words, "stack 1 of 2601/1 scrapped: its pieces are cut again");
}
END_TEST

START_TEST(scrapped_pieces_add_up)
{
    ck_assert_int_eq(sg_desk_scrap(desk, found("2602/1/A"), 2, &error), SG_OK);
    ck_assert_int_eq(sg_desk_scrap(desk, found("2602/1/A"), 1, &error), SG_OK);
    ck_assert_int_eq(scrap_of("2602/1/A"), 3);
}
END_TEST

START_TEST(what_is_not_there_is_not_scrapped)
{
    static const struct {
        const char *key;
        int64_t number;
        const char *why;
    } cases[] = {{"2601/1", 99, "stock 2601/1 has no sheet 99"},
                 {"2601/1", 0, "stock 2601/1 has no sheet 0"},
                 {"2601/1/A", 0, "1 to 1000000 pieces of 2601/1/A"},
                 {"2601/1/A", -3, "not -3"},
                 {"2601", 1, "name JOB/STOCK SHEET"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        ck_assert_int_ne(sg_desk_scrap(desk, found(cases[i].key), cases[i].number, &error), SG_OK);
        ck_assert_msg(strstr(error.text, cases[i].why) != NULL, "%s", error.text);
    }
    ck_assert_int_eq(scrap_of("2601/1/A"), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("search and scrap");
    TCase *tcase = tcase_create("search and scrap");
    tcase_add_checked_fixture(tcase, open_shop, close_shop);
    tcase_add_test(tcase, a_longer_search_offers_what_the_plan_then_shows);
    tcase_add_test(tcase, a_scrapped_sheet_puts_its_pieces_back_and_one_undo_takes_it_back);
    tcase_add_test(tcase, a_scrapped_stack_loses_the_pieces_of_all_its_sheets);
    tcase_add_test(tcase, scrapped_pieces_add_up);
    tcase_add_test(tcase, what_is_not_there_is_not_scrapped);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
