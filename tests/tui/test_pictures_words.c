/* What cannot be drawn is said, on the screen and to a reader. */
#include "tui/hopper_chart.h"
#include "tui/pieces.h"

static void check_said(const struct sg_screen *screen, const char *words)
{
    char said[600];
    draw(screen, TALL, 100);
    bool shown = is_shown(words);
    screen->say(&ui, said, sizeof said);
    must(shown, "not shown: %s (says %s)", words, said);
    must(strstr(said, words) != NULL, "not said: %s, but %s", words, said);
}

START_TEST(missing_lengths_are_named)
{
    plain_day();
    shop.shop.parts[0].length = (double)NAN;
    plan_it();
    open_sheet(0);
    sg_ui_place(&ui)->at = 1; /* behind what is laid out */
    check_said(&sg_screen_sheet, "2601/1/A: no length and width");
    check_said(&sg_screen_sheet, "set length");
    ck_assert_int_eq(sg_sheet_pages(&ui.tried, 0), 2); /* one for the part that cannot be placed */
    shop.shop.parts[0].length = 2500;
    plan_it();
    open_sheet(0);
    sg_ui_place(&ui)->at = 1;
    check_said(&sg_screen_sheet, "does not fit on the sheet");
    shop.shop.parts[0].length = 400;
    shop.shop.stocks[0].sheet_width = (double)NAN;
    plan_it();
    open_sheet(0);
    check_said(&sg_screen_sheet, "2601/1: no sheet size");
}
END_TEST

START_TEST(nothing_to_draw_is_said)
{
    plan_it();
    open_hopper();
    check_said(&sg_screen_hopper, "No jobs in shift A yet");
    open_screen(&sg_screen_sheet, (struct sg_target){SG_KIND_SHIFT, SG_UNKNOWN});
    check_said(&sg_screen_sheet, "No jobs in shift A yet");
    sg_screen_sheet.next(&ui, 1);
    sg_screen_sheet.step(&ui, 1, 0);
    plain_day();
    shop.shop.parts[0].quantity = shop.shop.parts[1].quantity = 0;
    plan_it();
    open_sheet(0);
    check_said(&sg_screen_sheet, "Nothing of job 2601 is cut: every quantity is 0");
    shop.shop.parts[2].quantity = 0;
    plan_it();
    open_hopper();
    check_said(&sg_screen_hopper, "Nothing to cut in shift A");
}
END_TEST

START_TEST(a_job_of_another_shift_is_said)
{
    plain_day();
    shop.shifts[1] = shop.shifts[0];
    shop.shifts[1].id = "B";
    shop.shifts[1].calendar.epoch += 86400;
    shop.shop.n_shifts = 2;
    shop.shop.jobs[1].shift = 1;
    plan_it();
    open_sheet(1);
    check_said(&sg_screen_sheet, "Job 2602 is cut in shift B");
}
END_TEST

START_TEST(what_stops_the_run_is_said)
{
    plain_day();
    shop.shop.machine.bags_in_stock = 0;
    const struct sg_plan *plan = plan_it();
    ck_assert(!plan->run.finished);
    open_hopper();
    char words[200], at[40];
    sg_look_clock(&ui.tried, plan->run.events[plan->run.n_events - 1].at, at, sizeof at);
    snprintf(words, sizeof words, "Stops at the low line %s, no bags.", at);
    check_said(&sg_screen_hopper, words);
    snprintf(words, sizeof words, "SHORT    %5d bag", plan->run.bags_short);
    ck_assert_msg(is_shown(words), "no %s", words);
    sg_screen_hopper.step(&ui, 1000000000, 0);
    sg_screen_hopper.advice(&ui, words, sizeof words);
    ck_assert_msg(strncmp(words + strlen(at), " stops at the low line, no bags, hopper ", 40) == 0, "%s",
                  words);
    ck_assert(!strstr(words, "out of garnet"));
    shop.shop.machine.bags_in_stock = 20;
    shop.shop.parts[1].cut_length = (double)NAN;
    plan = plan_it();
    ck_assert(plan->unknown);
    open_hopper();
    check_said(&sg_screen_hopper, "2601/1/B cannot be timed");
    struct seen seen = see_chart();
    int known = (int)floor(plan->run.end / 60 / seen.minutes);
    ck_assert_str_ne(cell(seen.axis - 1, seen.left + known - 1), "?");
    for (int c = known + 1; c < seen.columns; c++)
        ck_assert_str_eq(cell(seen.axis - 1, seen.left + c), "?");
    shop.shop.parts[1].cut_length = 1200;
    shop.shifts[0].n_closed_days = 1;
    shop.shifts[0].closed_days[0] = shop.shifts[0].date;
    ck_assert(plan_it()->closed_day);
    open_hopper();
    check_said(&sg_screen_hopper, "closed day");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, missing_lengths_are_named);
    tcase_add_test(tcase, nothing_to_draw_is_said);
    tcase_add_test(tcase, a_job_of_another_shift_is_said);
    tcase_add_test(tcase, what_stops_the_run_is_said);
}

int main(void)
{
    return run_pictures("pictures_words", fill);
}
