/* What the texts of a plan call things by: cautions of the job sheet, breaks that are over. */
#include "exchange/render.h"
#include "support/shop.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static struct test_shop t;
static struct sg_planner *planner;

static void start(void)
{
    test_shop_make(&t);
    test_shop_job(&t, 0)->id = "2601";
    test_shop_stock(&t, 1, 6);
    test_shop_part(&t, 2, 600, 100, 100);
    planner = sg_planner_new();
}

static void stop(void)
{
    sg_planner_free(planner);
    test_shop_free(&t);
}

static const struct sg_plan *plan(void)
{
    const struct sg_plan *out = NULL;
    struct sg_error error;
    ck_assert_msg(sg_plan_shift(planner, &t.shop, 0, &out, &error) == SG_OK, "%s", error.text);
    return out;
}

START_TEST(a_caution_of_a_service_names_what_was_due)
{
    struct sg_chore chore = sg_fresh_chore;
    struct sg_text text = {0};
    chore.name = "grease the rails";
    chore.when = SG_CHORE_DUE;
    chore.every = 3 * 3600;
    chore.hours = 3.25 * 3600;
    t.shop.chores = &chore;
    t.shop.n_chores = 1;
    sg_sheet_text(&text, &t.shop, plan(), 0, 100);
    ck_assert_msg(
        strstr(text.data, "\n  Grease the rails: it was due after 3:00:00, and 3:15:00 are counted"), "%s",
        text.data);
    ck_assert_ptr_null(strstr(text.data, "Machine: it was due"));
    sg_text_free(&text);
}
END_TEST

START_TEST(breaks_that_are_over_are_not_called_none)
{
    static const char *const words[] = {"| alone no breaks in the shift\n", "| alone no break is left\n"};
    struct sg_text text = {0};
    t.shifts[0].n_breaks = _i;
    t.shifts[0].breaks[0] = (struct sg_span){t.shifts[0].start + 600, t.shifts[0].start + 1200};
    sg_answers_text(&text, &t.shop, plan());
    ck_assert_msg(strstr(text.data, words[_i]), "%s", text.data);
    sg_text_free(&text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sheet text");
    TCase *tcase = tcase_create("sheet text");
    tcase_add_checked_fixture(tcase, start, stop);
    tcase_add_test(tcase, a_caution_of_a_service_names_what_was_due);
    tcase_add_loop_test(tcase, breaks_that_are_over_are_not_called_none, 0, 2);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
