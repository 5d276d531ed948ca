/* While a rate is typed the price of the job shows: against quotes that another desk makes. */
#include "edit/run_suite.h"
#include "tui/facts.h"

#include "sandglass/cost.h"

static struct on_screen s;
static struct sg_error error;

static void open_shop(void)
{
    s = on_screen_open(true);
}

static void close_shop(void)
{
    on_screen_close(&s);
}

/* Until nothing is left to price. */
static void settle(void)
{
    for (int i = 0; i < 10 && sg_ui_idle(s.ui); i++)
        sg_ui_draw(s.ui, &s.canvas);
    sg_ui_draw(s.ui, &s.canvas);
}

struct money {
    char price[40], each[40], rows[SG_COST_ROWS][40];
    int64_t cents, row_cents[SG_COST_ROWS];
};

/* Of a job, with an assignment that is kept nowhere; NULL: as it is in the file. */
static struct money money_of(int32_t job, const char *key, const char *assignment)
{
    struct money money;
    struct sg_quote quote;
    struct sg_change change;
    struct sg_target target;
    struct sg_arena arena = {0};
    struct sg_planner *planner = sg_planner_new();
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    if (assignment)
        shop_must(sg_desk_set(desk, key, &assignment, 1, false, &change, &target, &error), &error);
    const struct sg_shop *shop = sg_desk_shop(desk);
    shop_must(sg_quote_make(planner, shop, job, &shop->rates, &arena, &quote, &error), &error);
    money.cents = quote.price;
    sprintf(money.price, "%.2f", (double)quote.price / 100);
    sprintf(money.each, "%.2f", (double)quote.parts[0].each / 100);
    for (int row = 0; row < SG_COST_ROWS; row++) {
        money.row_cents[row] = quote.rows[row];
        sprintf(money.rows[row], "%.2f", (double)quote.rows[row] / 100);
    }
    sg_arena_free(&arena);
    sg_planner_free(planner);
    sg_desk_close(desk);
    return money;
}

/* A row of the panel has the figure of the plan, what is typed makes of it, and the change. */
static void ck_figures(const char *title, const char *before, const char *after, int64_t change)
{
    char wanted[120], changed[40] = "";
    int at = row_with(&s, title);
    ck_assert_msg(at > 0, "no row %s", title);
    if (change != 0)
        sprintf(changed, "%+11.2f", (double)change / 100);
    sprintf(wanted, "%10s %10s %s", before, after, changed);
    ck_row_has(&s, at, wanted);
}

static void ck_prices(int32_t job, const char *heading, const char *key, const char *assignment)
{
    const struct money before = money_of(job, NULL, NULL), after = money_of(job, key, assignment);
    settle();
    ck_row_has(&s, row_with(&s, heading), "in plan      typed      change");
    ck_assert_int_ne(after.cents, before.cents);
    ck_figures("Price ", before.price, after.price, after.cents - before.cents);
    int at = row_with(&s, "Each of 1/A");
    ck_row_has(&s, at, before.each);
    ck_row_has(&s, at, after.each);
}

START_TEST(a_rate_that_is_typed_shows_the_price_of_the_job_and_what_moves)
{
    static const int sizes[][2] = {{24, 80}, {36, 120}, {20, 60}};
    const struct money before = money_of(0, NULL, NULL), after = money_of(0, "rates:shop", "machine=77");
    sg_ui_resize(s.ui, sizes[_i][0], sizes[_i][1]);
    stand_on(&s, "rates:shop", "machine");
    press(&s, "77");
    ck_prices(0, "Job 2601", "rates:shop", "machine=77");
    ck_figures("  machine  ", before.rows[SG_COST_MACHINE], after.rows[SG_COST_MACHINE],
               after.row_cents[SG_COST_MACHINE] - before.row_cents[SG_COST_MACHINE]);
    ck_figures("  mark-up  ", before.rows[SG_COST_ADDITION], after.rows[SG_COST_ADDITION],
               after.row_cents[SG_COST_ADDITION] - before.row_cents[SG_COST_ADDITION]);
    ck_shows_not(&s, "Refills");
    press(&s, "7"); /* from now on at once: it was quick, or follows */
    ck_prices(0, "Job 2601", "rates:shop", "machine=777");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

START_TEST(the_job_is_the_one_from_which_one_came)
{
    press(&s, "jjgq<Enter>");
    while (strcmp(sg_ui_column(s.ui)->field, "labour") != 0)
        press(&s, "j");
    press(&s, "99");
    ck_prices(2, "Job 2603", "rates:shop", "labour=99");
    press(&s, "<Esc><Esc><Esc>gsjgm");
    while (sg_ui_column(s.ui) || !strstr(sg_ui_line(s.ui)->text, "rates"))
        press(&s, sg_ui_column(s.ui) ? "k" : "j");
    press(&s, "<Enter>jjj99");
    settle();
    ck_shows(&s, "Job 2604");
}
END_TEST

START_TEST(a_price_of_a_sheet_shows_that_of_its_job)
{
    stand_on(&s, "2603/1", "sheet_price");
    press(&s, "500");
    ck_prices(2, "Job 2603", "2603/1", "sheet_price=500");
    press(&s, "<Tab>"); /* kept; other fields of the sheets show the plan */
    stand_on(&s, "2603/1", "edge");
    press(&s, "e");
    ck_shows(&s, "Shift ends");
}
END_TEST

START_TEST(nothing_is_shown_for_half_of_a_text)
{
    const struct money before = money_of(0, NULL, NULL);
    stand_on(&s, "rates:shop", "machine");
    press(&s, "77");
    settle();
    press(&s, "x");
    settle();
    int at = row_with(&s, "Price ");
    ck_row_has(&s, at, before.price);
    ck_row_has(&s, at, " ?");
    ck_shows_not(&s, "  mark-up  ");
    press(&s, "<Backspace>");
    ck_prices(0, "Job 2601", "rates:shop", "machine=77");
}
END_TEST

START_TEST(what_another_keeps_meanwhile_is_in_the_plans_price)
{
    stand_on(&s, "rates:shop", "machine");
    press(&s, "77");
    settle();
    other_sets(&s, "office", "rates:shop", "garnet=9");
    ck_assert(sg_ui_look(s.ui));
    ck_prices(0, "Job 2601", "rates:shop", "machine=77");
}
END_TEST

START_TEST(a_rate_that_was_not_known_changes_the_price_so_far)
{
    other_sets(&s, "office", "rates:shop", "garnet=none");
    ck_assert(sg_ui_look(s.ui));
    stand_on(&s, "rates:shop", "garnet");
    press(&s, "0.4");
    settle();
    ck_row_has(&s, row_with(&s, "Price so far"), "not the whole price");
    int at = row_with(&s, "  garnet  ");
    ck_row_has(&s, row_with(&s, "Price so far") + 2, "garnet");
    ck_row_has(&s, row_with(&s, "Price so far") + 2, "? ");
    ck_assert_int_gt(at, 0);
}
END_TEST

START_TEST(a_job_without_pieces_says_why_there_is_none)
{
    other_sets(&s, "office", "2602/1/A", "quantity=0");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "jgq<Enter>jj77");
    settle();
    ck_shows(&s, "No price: job 2602 has no pieces to price");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("prices");
    TCase *c = tcase_create("prices");
    tcase_add_checked_fixture(c, open_shop, close_shop);
    tcase_add_loop_test(c, a_rate_that_is_typed_shows_the_price_of_the_job_and_what_moves, 0, 3);
    tcase_add_test(c, the_job_is_the_one_from_which_one_came);
    tcase_add_test(c, a_price_of_a_sheet_shows_that_of_its_job);
    tcase_add_test(c, nothing_is_shown_for_half_of_a_text);
    tcase_add_test(c, what_another_keeps_meanwhile_is_in_the_plans_price);
    tcase_add_test(c, a_rate_that_was_not_known_changes_the_price_so_far);
    tcase_add_test(c, a_job_without_pieces_says_why_there_is_none);
    suite_add_tcase(suite, c);
    return run(suite);
}
