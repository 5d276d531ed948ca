/* The screen of the hopper: the figures beside the chart, the steps over it and the advice. */
#include "tui/hopper_chart.h"

#include "sandglass/ask.h"

/* With so many lb in it at the start, and a low line of 60. */
static void open_hopper_with(double pounds)
{
    shop.shop.machine.low_line = 60 * POUND_KG;
    shop.shop.machine.hopper_level = pounds * POUND_KG;
    plan_it();
    open_hopper();
    draw(&sg_screen_hopper, TALL, WIDE);
}

/* As many bags as the same shop with refill_amount = enough puts in. */
START_TEST(enough_is_what_the_run_would_fill)
{
    struct random r = {7};
    int fewer = 0, same = 0;
    for (int i = 0; i < 300; i++) {
        random_day(&r);
        struct sg_machine *machine = &shop.shop.machine;
        machine->bag = (10 + random_below(&r, 60)) * POUND_KG;
        if (random_below(&r, 3) == 0) /* large ones: the last of them fills in part */
            machine->bag = machine->hopper * (0.3 + 0.7 * random_unit(&r));
        machine->refill_stops_cutting = random_below(&r, 2);
        machine->refill_at = random_below(&r, 2) ? SG_AT_PIECES : SG_AT_SHEETS;
        for (int k = 0; k < shop.shop.n_stocks; k++)
            shop.shop.stocks[k].fill = random_below(&r, 4) == 0;
        machine->refill_amount = SG_AMOUNT_ENOUGH;
        const struct sg_plan *plan = plan_it();
        int32_t bags = plan->run.finished ? plan->run.bags : SG_UNKNOWN;
        machine->refill_amount = SG_AMOUNT_FULL;
        plan = plan_it();
        int32_t enough = sg_hopper_enough(&ui.tried);
        if (plan->run.finished)
            must(enough == bags, "%d: %d bags, %d with enough", i, enough, bags);
        must_hold(plan->run.finished || enough == SG_UNKNOWN);
        open_hopper();
        draw(&sg_screen_hopper, TALL, 100);
        must_hold(is_shown("enough for the run") == (plan->run.finished && bags < plan->run.bags));
        if (is_shown("enough for the run")) {
            char words[40];
            snprintf(words, sizeof words, "%d bag%s", bags, bags == 1 ? "" : "s");
            must(is_shown(words), "no %s", words);
        }
        fewer += plan->run.finished && bags < plan->run.bags;
        same += plan->run.finished && bags == plan->run.bags && bags > 0;
        teardown();
        memset(&canvas, 0, sizeof canvas);
        setup();
    }
    ck_assert_msg(fewer > 20 && same > 5, "%d fewer, %d same", fewer, same);
}
END_TEST

START_TEST(a_start_below_the_low_line_is_said)
{
    char words[600];
    plain_day();
    open_hopper_with(59.9);
    ck_assert(is_shown("Below low line at start."));
    sg_screen_hopper.say(&ui, words, sizeof words);
    ck_assert_ptr_nonnull(strstr(words, "Below low line at start."));
    shop.shop.machine.bags_in_stock = 0; /* it cannot begin */
    open_hopper_with(59.9);
    draw(&sg_screen_hopper, TALL, 80);
    snprintf(words, sizeof words, "%s", row_of(0));
    ck_assert_msg(strncmp(words, "Below low line at start. Stops at it ", 37) == 0 &&
                      strstr(words, ", no bags. "),
                  "%s", words);
    shop.shop.machine.bags_in_stock = 20;
    open_hopper_with(60);
    ck_assert(!is_shown("Below low line"));
}
END_TEST

/* Every event in one line, since what needs two hides the legend. */
START_TEST(advice_leaves_the_legend_its_line)
{
    char words[600], at[600];
    plain_day();
    shop.shop.jobs[0].id = "a job with a rather long number";
    shop.shop.machine.refill_stops_cutting = 0;
    plan_it();
    for (int columns = 60; columns <= 160; columns += 20) {
        open_hopper();
        draw(&sg_screen_hopper, TALL, columns);
        sg_screen_hopper.step(&ui, -1000000000, 0);
        for (ui.message[0] = '\0'; !ui.message[0]; sg_screen_hopper.step(&ui, 1, 0)) {
            sg_screen_hopper.advice(&ui, words, sizeof words);
            sg_look_clock(&ui.tried, ui.tried.plan->run.events[ui.places[0].at].at, at, sizeof at);
            must(sg_text_columns(words) <= columns, "%d columns: %s", columns, words);
            must_hold(strncmp(words, at, strlen(at)) == 0);
        }
    }
    sg_screen_hopper.say(&ui, words, sizeof words); /* a reader hears all of it */
    ui.places[0].at = ui.tried.plan->next_refill;
    sg_screen_hopper.say(&ui, words, sizeof words);
    ck_assert_ptr_nonnull(strstr(words, "before a job with a rather long number/1/"));
    ck_assert_ptr_nonnull(strstr(words, " sheet "));
    ck_assert_ptr_nonnull(strstr(words, "while it cuts"));
}
END_TEST

START_TEST(figures_beside_it_are_those_of_the_plan)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    char words[100];
    open_hopper();
    draw(&sg_screen_hopper, TALL, 80);
    snprintf(words, sizeof words, "%.1f lb", plan->totals.garnet / POUND_KG);
    ck_assert(is_shown(words));
    snprintf(words, sizeof words, "%.1f lb", plan->run.level_end / POUND_KG);
    ck_assert(is_shown(words));
    double lowest = plan->start.level;
    for (double t = 0; t < plan->run.end; t += 5)
        lowest = fmin(lowest, level_at(plan, t));
    struct sg_hopper_facts facts;
    sg_hopper_facts(plan, &facts);
    ck_assert_double_le(facts.lowest, lowest);
    ck_assert_double_gt(facts.lowest, lowest - 0.1); /* 5 s take less */
    snprintf(words, sizeof words, "NO, %d refill", plan->run.refills);
    ck_assert(is_shown(words));
}
END_TEST

START_TEST(one_steps_over_what_needs_people)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    open_hopper();
    ck_assert_int_eq(ui.places[0].at, plan->next_refill);
    sg_screen_hopper.step(&ui, 0, -1000000000);
    int32_t calls = 0, steps = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        calls += sg_ask_calls(&plan->run.events[i]);
    do {
        char words[500];
        draw(&sg_screen_hopper, TALL, 80);
        must_hold(sg_ask_calls(&plan->run.events[ui.places[0].at]));
        sg_screen_hopper.advice(&ui, words, sizeof words);
        must_hold(strlen(words) > 10);
        steps++;
        ui.message[0] = '\0';
        sg_screen_hopper.step(&ui, 1, 0);
    } while (!ui.message[0] && steps < 1000);
    ck_assert_int_eq(steps, calls);
    sg_screen_hopper.step(&ui, -1, 0);
    sg_screen_hopper.step(&ui, -1, 0);
    sg_screen_hopper.step(&ui, 1000000000, 0);
    ui.message[0] = '\0';
    sg_screen_hopper.step(&ui, 1, 0);
    ck_assert_str_ne(ui.message, "");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, figures_beside_it_are_those_of_the_plan);
    tcase_add_test(tcase, one_steps_over_what_needs_people);
    tcase_add_test(tcase, enough_is_what_the_run_would_fill);
    tcase_add_test(tcase, a_start_below_the_low_line_is_said);
    tcase_add_test(tcase, advice_leaves_the_legend_its_line);
}

int main(void)
{
    return run_pictures("pictures_hopper", fill);
}
