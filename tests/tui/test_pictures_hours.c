/* Where the hours go, and who is needed when. */
#include "tui/hours.h"
#include "tui/pictures.h"

#include "sandglass/ask.h"

#include <math.h>

START_TEST(shown_hours_add_up)
{
    struct random r = {5};
    for (int i = 0; i < 3000; i++) {
        struct sg_plan plan = {0};
        double *parts[] = {&plan.totals.cut, &plan.totals.pierce, &plan.totals.rapid, &plan.totals.hands_on,
                           &plan.totals.waiting};
        for (int k = 0; k < 5; k++) {
            *parts[k] = random_below(&r, 3) ? random_unit(&r) * 20000 : 60.0 * random_below(&r, 100);
            plan.totals.elapsed += *parts[k];
        }
        ck_assert(sg_canvas_clear(&canvas, 6, 60));
        sg_hours_draw(&canvas, (struct sg_area){0, 0, 6, 60}, &(struct sg_look){&shop.shop, &plan});
        int total = 0, hours, minutes;
        for (int k = 0; k < 5; k++) {
            must_hold(sscanf(row_of(1 + k) + 9, "%d:%d", &hours, &minutes) == 2);
            must_hold(fabs(hours * 60 + minutes - *parts[k] / 60) < 1);
            total += hours * 60 + minutes;
        }
        must_hold(sscanf(row_of(0), "Where the %d:%d goes", &hours, &minutes) == 2);
        must(total == hours * 60 + minutes, "%d minutes in parts, %d:%d in all", total, hours, minutes);
    }
}
END_TEST

/* At the width it has on the Shift screen nothing of the heading is cut. */
START_TEST(the_heading_of_hours_without_an_end_fits)
{
    enum { COLUMNS = 38 };
    plain_day();
    if (_i == 0)
        shop.shop.machine.bags_in_stock = 0;
    if (_i == 1)
        shop.shop.parts[1].cut_length = (double)NAN;
    if (_i == 2) {
        shop.shifts[0].n_closed_days = 1;
        shop.shifts[0].closed_days[0] = shop.shifts[0].date;
    }
    const struct sg_plan *plan = plan_it();
    ck_assert(!sg_known(plan->totals.elapsed));
    ck_assert(sg_canvas_clear(&canvas, 6, 80));
    sg_hours_draw(&canvas, (struct sg_area){0, 0, 6, 80}, &ui.tried);
    char whole[LINE];
    snprintf(whole, sizeof whole, "%s", row_of(0));
    ck_assert_int_le(sg_text_columns(whole), COLUMNS);
    static const char *const said[] = {"till it stops", "as far as they are known", "Closed day"};
    ck_assert_msg(strstr(whole, said[_i]) != NULL, "%s", whole);
}
END_TEST

/* Of a list that has no room for all, those shown and those counted are all. */
START_TEST(everybody_needed_is_shown_or_counted)
{
    plain_day();
    const struct sg_plan *plan = plan_it();
    int calls = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        calls += sg_ask_calls(&plan->run.events[i]);
    for (int rows = 2; rows < 14; rows++)
        for (int columns = 60; columns <= 120; columns += 7) {
            int told = 0, counted = 0;
            ck_assert(sg_canvas_clear(&canvas, rows, columns));
            sg_people_draw(&canvas, (struct sg_area){0, 0, rows, columns}, &ui.tried);
            must_hold(atoi(strchr(row_of(0), '(') + 1) == calls);
            for (int row = 1; row < rows; row++) {
                char line[LINE];
                snprintf(line, sizeof line, "%s", row_of(row));
                bool rest = strncmp(line, "and ", 4) == 0;
                for (char *word = strtok(line, " "); word; word = strtok(NULL, " ")) {
                    told += !rest && strlen(word) == 5 && word[2] == ':';
                    told -= !rest && strcmp(word, "waits,") == 0; /* two times in it */
                    counted += rest ? atoi(word) : 0;
                }
            }
            must(told + counted == calls, "%dx%d: %d told and %d counted of %d", columns, rows, told, counted,
                 calls);
            must_hold(rows <= calls || counted == 0);
        }
    ck_assert_int_ge(calls, 6);
}
END_TEST

static int count_waits(const struct sg_plan *plan)
{
    int n = 0;
    for (int32_t i = 0; i < plan->run.n_events; i++)
        n += sg_event_waits(&plan->run.events[i]);
    return n;
}

/* A day with a load that waits for the end of a break, and one for a refill. */
static const struct sg_plan *waiting_day(void)
{
    plain_day();
    for (double from = 0.1; from < 6; from += 0.1) {
        shop.shifts[0].calendar.n_breaks = 0;
        test_shop_break(&shop, from * 3600, (from + 0.5) * 3600);
        const struct sg_plan *plan = plan_it();
        for (int32_t i = 0; i < plan->run.n_events; i++)
            if (plan->run.events[i].kind == SG_EVENT_LOAD && sg_event_waits(&plan->run.events[i]) &&
                count_waits(plan) == 1 && plan->run.refills > 0)
                return plan;
    }
    ck_abort_msg("no load waits");
}

/* What waits is shown first of all, with both times. */
START_TEST(what_waits_leaves_a_short_list_last)
{
    const struct sg_plan *plan = waiting_day();
    char at[40], asked[40], told[200], entry[300];
    const struct sg_event *e = plan->run.events;
    while (!sg_event_waits(e))
        e++;
    sg_look_clock(&ui.tried, e->asked, asked, sizeof asked);
    sg_look_clock(&ui.tried, e->at, at, sizeof at);
    sg_event_told(&ui.tried, e, told, sizeof told);
    snprintf(entry, sizeof entry, "%s waits, %s %s", asked, at, told);
    ck_assert(sg_canvas_clear(&canvas, 3, 40));
    sg_people_draw(&canvas, (struct sg_area){0, 0, 3, 40}, &ui.tried);
    ck_assert_str_eq(row_of(1), entry);
    ck_assert_int_eq(strncmp(row_of(2), "and ", 4), 0);
    for (int rows = 3; rows < 12; rows++)
        for (int columns = 40; columns <= 120; columns += 8) {
            ck_assert(sg_canvas_clear(&canvas, rows, columns));
            sg_people_draw(&canvas, (struct sg_area){0, 0, rows, columns}, &ui.tried);
            must(is_shown(entry), "%dx%d: %s", columns, rows, row_of(1));
        }
}
END_TEST

START_TEST(the_refill_leaves_a_short_list_last)
{
    plain_day();
    shop.shifts[0].calendar.n_breaks = 0; /* nothing waits */
    plan_it();
    ck_assert(sg_canvas_clear(&canvas, 3, 30));
    sg_people_draw(&canvas, (struct sg_area){0, 0, 3, 30}, &ui.tried);
    ck_assert_ptr_nonnull(strstr(row_of(1), " refill "));
    ck_assert_int_eq(strncmp(row_of(2), "and ", 4), 0);
    ck_assert(sg_canvas_clear(&canvas, 4, 24));
    sg_people_draw(&canvas, (struct sg_area){0, 0, 4, 24}, &ui.tried);
    ck_assert_int_eq(row_of(2)[2], ':'); /* as many as there are rows for */
    ck_assert_int_eq(strncmp(row_of(3), "and ", 4), 0);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, shown_hours_add_up);
    tcase_add_test(tcase, everybody_needed_is_shown_or_counted);
    tcase_add_test(tcase, the_refill_leaves_a_short_list_last);
    tcase_add_test(tcase, what_waits_leaves_a_short_list_last);
    tcase_add_loop_test(tcase, the_heading_of_hours_without_an_end_fits, 0, 3);
}

int main(void)
{
    return run_pictures("pictures_hours", fill);
}
