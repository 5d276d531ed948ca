/* The screen of trade-offs: its steps are those of sweeps made by another desk, however fine and at every
 * size. */
#include "sandglass/sweep_span.h"
#include "tui/trade_offs.h"

START_TEST(each_step_is_a_sweep_of_its_own)
{
    go("gt");
    for (int i = 0; i < SG_SWEEP_FIELDS; i++) {
        ck_assert_int_eq(shown()->field, i);
        ck_steps();
        go("<Right>");
    }
    ck_assert_int_eq(shown()->field, SG_SWEEP_PRESSURE); /* round */
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

/* Rows of the table as they are shown: time, cost and marks. */
START_TEST(the_table_shows_them)
{
    char words[200];
    sg_ui_resize(s.ui, 45, 120);
    go("gt<Tab>");
    const struct sg_trade *trade = shown();
    int cheapest = 0, quickest = 0, now = -1;
    for (int i = 0; i < trade->n_steps; i++) {
        const struct sg_sweep_step *step = &trade->steps[i];
        if (step->allowed && step->cost < trade->steps[cheapest].cost)
            cheapest = i;
        if (step->allowed && step->seconds < trade->steps[quickest].seconds)
            quickest = i;
        if (step->value == s.ui->kept.shop->heads[0].garnet)
            now = i;
    }
    ck_assert_int_ge(now, 0);
    for (int i = 0; i < trade->n_steps; i++) {
        const struct sg_sweep_step *step = &trade->steps[i];
        char time[40];
        write_duration(step->seconds, time);
        snprintf(words, sizeof words, "%.2f", step->cost);
        int at = row_with(&s, time);
        ck_row_has(&s, at, words);
        ck_assert_int_eq(strstr(row(&s, at), "CHEAPEST") != NULL, i == cheapest);
        ck_assert_int_eq(strstr(row(&s, at), "QUICKEST") != NULL, i == quickest);
        ck_assert_int_eq(strstr(row(&s, at), "NOW") != NULL, i == now);
        ck_assert_int_eq(strstr(row(&s, at), " no: ") != NULL, !step->allowed);
    }
    ck_shows(&s, sg_sweep_rising);
    ck_shows(&s, "Cost is what the job costs the shop");
}
END_TEST

START_TEST(without_rates_there_is_no_cost_and_it_is_said)
{
    static const char *const names[] = {"machine=none", "labour=none",  "power=none",   "water=none",
                                        "garnet=none",  "tube=none",    "orifice=none", "disposal=none",
                                        "setup=none",   "mark_up=none", "margin=none",  "minimum=none"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        other_sets(&s, "office", "rates:shop", names[i]);
    ck_assert(sg_ui_look(s.ui));
    sg_ui_resize(s.ui, 36, 120);
    go("gt");
    ck_shows(&s, "No rates are set, so there is no cost");
    ck_shows(&s, "QUICKEST");
    ck_shows_not(&s, "CHEAPEST");
    ck_row_has(&s, row_with(&s, "NOW"), " - ");
}
END_TEST

#define THOUSANDTH_LB 0.45359237 /* g */

START_TEST(the_steps_and_the_best_are_the_same_at_every_size)
{
    static const struct {
        int rows, columns;
    } sizes[] = {{24, 80}, {45, 100}, {20, 60}, {12, 40}, {200, 140}};
    go("gt");
    for (int field = 0; field < SG_SWEEP_FIELDS; field++) {
        struct sg_trade first = {0};
        for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
            sg_ui_resize(s.ui, sizes[i].rows, sizes[i].columns);
            go("k"); /* computed anew */
            const struct sg_trade *trade = shown();
            if (i == 0)
                first = *trade;
            ck_assert_int_eq(trade->n_steps, first.n_steps);
            ck_assert_int_le(trade->n_steps, SG_TRADE_USUAL);
            ck_assert_int_eq(memcmp(trade->values, first.values, sizeof(double) * (size_t)first.n_steps), 0);
            ck_assert_int_eq(trade->sweep.cheapest, first.sweep.cheapest);
            ck_assert_int_eq(trade->sweep.quickest, first.sweep.quickest);
        }
        go("<Right>");
    }
}
END_TEST

START_TEST(the_ends_and_what_is_now_are_steps_however_fine)
{
    for (go("gt"); shown()->field < SG_SWEEP_HEAD; go("<Right>"))
        for (int finer = 0; finer < 12; finer++) {
            const struct sg_trade *trade = shown();
            double least, most, tube;
            int ends = 0, now = 0;
            ck_assert(sg_sweep_span(&trade->input, &least, &most));
            /* What nobody types finer: 0.01 ksi, 0.001 lb/min, 0.01, 0.001 in. */
            const double finest[] = {0.0689476, THOUSANDTH_LB, 0.01, 0.0254};
            for (int i = 0; i < trade->n_steps; i++) {
                double value = trade->values[i], close = finest[trade->field];
                ends += value >= least - 1e-9 && value < least + close;
                ends += value <= most * (1 + 1e-9) && value > most - close;
                now += value == sg_sweep_now(&trade->input, &tube);
            }
            ck_assert_int_ge(ends, 2);
            ck_assert_int_eq(now, 1);
            ck_assert_int_le(trade->n_steps, SG_TRADE_USUAL);
            go("z");
        }
}
END_TEST

/* What a person would type next above a step: 0.01 ksi, 0.001 lb/min, 0.001 in. */
START_TEST(the_largest_allowed_value_is_a_step)
{
    static const struct {
        const char *keys;
        const char *unit;
        double next;
    } along[] = {{"gt", "ksi", 0.01}, {"gtl", "lb/min", 0.001}, {"gtlll", "in", 0.001}};
    struct sg_planner *planner = sg_planner_new();
    struct sg_arena arena = {0};
    struct sg_sweep sweep;
    go(along[_i].keys);
    const struct sg_trade *trade = shown();
    int at = trade->n_steps - 1;
    while (at > 0 && !trade->steps[at].allowed)
        at--;
    const struct sg_unit *unit = sg_unit_find(along[_i].unit, strlen(along[_i].unit));
    double above = trade->values[at] + (double)sg_to_canonical((long double)along[_i].next, unit);
    const struct sg_bore_pair pair = {above, trade->tubes[at]};
    struct sg_sweep_input in = trade->input;
    in.from = in.to = above;
    in.step = 1;
    in.pairs = in.field == SG_SWEEP_ORIFICE ? &pair : NULL;
    in.n_pairs = 1;
    shop_must(sg_sweep_make(planner, &in, &arena, &sweep, &error), &error);
    ck_assert_int_gt(at, 0);
    ck_assert(!sweep.steps[0].allowed);
    sg_arena_free(&arena);
    sg_planner_free(planner);
}
END_TEST

START_TEST(the_best_stands_in_a_line_whatever_is_scrolled)
{
    static const char *const keys[] = {"gtl", "G", "gg", "zz"};
    static const int sizes[][2] = {{24, 80}, {36, 120}, {20, 60}};
    sg_ui_resize(s.ui, sizes[_i][0], sizes[_i][1]);
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        char best[60];
        go(keys[i]);
        const struct sg_trade *trade = shown();
        double pounds = trade->steps[trade->sweep.cheapest].value / (1000 * THOUSANDTH_LB);
        snprintf(best, sizeof best, "Cheapest, quickest %.6g lb/min", pounds);
        int at = row_with(&s, "only these");
        ck_assert_int_ge(at, 0);
        ck_row_has(&s, at, best);
        ck_shows(&s, "Garnet lb"); /* the titles stay too */
    }
}
END_TEST

START_TEST(the_garnet_goes_one_step_past_what_is_offered)
{
    go("gtl");
    const struct sg_trade *trade = shown();
    double least, most;
    ck_assert(sg_sweep_span(&trade->input, &least, &most));
    ck_assert_double_gt(trade->values[trade->n_steps - 1], most);
    ck_assert_double_le(trade->values[trade->n_steps - 2], most);
    ck_assert_double_gt(trade->values[trade->n_steps - 2], most - THOUSANDTH_LB); /* the largest allowed */
    ck_assert_double_lt(trade->values[0], least + THOUSANDTH_LB);
    ck_assert(!trade->steps[trade->n_steps - 1].allowed);
    ck_assert(trade->steps[trade->n_steps - 2].allowed);
    ck_assert_double_ge(trade->values[0], least - 1e-9);
}
END_TEST

START_TEST(tubes_go_with_their_orifices)
{
    go("gtlll");
    const struct sg_trade *trade = shown();
    const struct sg_head *head = &s.ui->kept.shop->heads[0];
    for (int i = 0; i < trade->n_steps; i++) {
        double thousandths = trade->values[i] / 0.0254;
        ck_assert_double_eq_tol(thousandths, round(thousandths), 1e-9);
        ck_assert_double_eq_tol(trade->tubes[i], trade->values[i] * head->tube / head->orifice,
                                0.0127 + 1e-9);
    }
    ck_assert(trade->steps[trade->n_steps - 1].bounds & SG_BOUND_FLOW);
    press(&s, "M");
    settle();
    trade = shown();
    for (int i = 0; i < trade->n_steps; i++)
        if (trade->values[i] != head->orifice) {
            double hundredths = trade->values[i] * 100;
            ck_assert_double_eq_tol(hundredths, round(hundredths), 1e-9);
        }
    ck_steps();
}
END_TEST

/* 55 ksi and 0.7 lb/min in a shop that has since gone metric: what is now is no round figure, the steps are.
 */
START_TEST(steps_are_round_in_the_unit_shown_and_told_apart)
{
    sg_ui_resize(s.ui, 45, 120);
    press(&s, "M");
    for (go("gt"); shown()->field <= SG_SWEEP_GARNET; go("<Right>"))
        for (int finer = 0; finer < 4; finer++, go("z")) {
            const struct sg_trade *trade = shown();
            char above[40] = "";
            ck_steps();
            for (int i = 0; i < trade->n_steps; i++) {
                char words[40];
                bool now = trade->values[i] == trade->value_now;
                ck_assert(now || fabs(trade->values[i] - round(trade->values[i])) < 1e-9);
                int at = row_with(&s, "Garnet kg") + 1 + i;
                ck_assert(sscanf(row(&s, at), " > %39s", words) == 1 ||
                          sscanf(row(&s, at), " %39s", words) == 1);
                ck_assert_str_ne(words, above);
                size_t whole = strspn(words, "0123456789");
                ck_assert_msg(strlen(words) - whole <= 2, "%s", words); /* ".2" at most */
                strcpy(above, words);
            }
        }
}
END_TEST

START_TEST(the_best_of_those_allowed_is_said_to_be_that)
{
    go("gtl");
    ck_assert(!strstr(row(&s, row_with(&s, "only these")), "Of those allowed"));
    press(&s, "<Esc>");
    other_sets(&s, "office", "head:abrasive", "garnet=5 lb/min");
    ck_assert(sg_ui_look(s.ui));
    go("gtl");
    ck_assert_int_ge(row_with(&s, "only these"), 0);
    ck_row_has(&s, row_with(&s, "only these"), "Of those allowed: ");
    ck_row_has(&s, row_with(&s, "NOW"), "no: ");
}
END_TEST

/* ---- other steps ---- */

/* The wider of those beside where one stands: the other may be cut short by an end. */
static double step_size(void)
{
    const struct sg_trade *trade = shown();
    int at = sg_ui_line(s.ui)->first;
    double below = at > 0 ? trade->values[at] - trade->values[at - 1] : 0;
    double above = at + 1 < trade->n_steps ? trade->values[at + 1] - trade->values[at] : 0;
    return fmax(below, above);
}

START_TEST(finer_steps_are_those_around_where_one_stands)
{
    go("gtljj");
    double stood = shown()->stood, usual = step_size();
    for (double last = usual; shown()->limit == 0; last = step_size()) {
        go("z");
        ck_assert_double_eq(shown()->stood, stood);
        if (strstr(message(), "No finer"))
            break;
        ck_assert_double_lt(step_size(), last);
        ck_assert_double_le(shown()->values[0], stood);
        ck_assert_double_ge(shown()->values[shown()->n_steps - 1], stood);
        ck_shows(&s, "only these steps are compared");
        ck_steps();
    }
    ck_assert_msg(strstr(message(), "No finer than this"), "%s", message());
    ck_assert_double_eq_tol(step_size(), 0.453592370, 1e-6); /* a thousandth of a pound in g */
    for (int i = 0; i < 40 && !strstr(message(), "No coarser"); i++)
        go("Z");
    ck_assert_msg(strstr(message(), "No coarser than this"), "%s", message());
    ck_assert_int_ge(shown()->n_steps, 3);
    ck_assert_double_gt(step_size(), usual);
    go("z");
    ck_assert_str_eq(message(), "");
}
END_TEST

START_TEST(heads_have_no_steps_between)
{
    go("gtLz");
    ck_assert_int_eq(shown()->field, SG_SWEEP_HEAD);
    ck_assert_msg(strstr(message(), "All heads are shown"), "%s", message());
    go("H");
    ck_assert_int_eq(shown()->field, SG_SWEEP_PRESSURE);
    go("h");
    ck_assert_int_eq(shown()->field, SG_SWEEP_HEAD);
}
END_TEST

START_TEST(a_reader_hears_the_step_in_words)
{
    char said[1000];
    on_screen_stop(&s);
    s.canvas = (struct sg_canvas){0};
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path, .spoken = true}, 400, 100);
    press(&s, "gtlll");
    ck_assert_int_eq(shown()->n_done, shown()->n_steps);
    press(&s, "j");
    sg_ui_say_place(s.ui, said, sizeof said);
    ck_assert_msg(strstr(said, "0.014/0.043 in: time "), "%s", said);
    ck_assert_msg(strstr(said, " lb, 0 refills, tube "), "%s", said);
    ck_assert_msg(strstr(said, "QUICKEST"), "%s", said);
}
END_TEST

START_TEST(it_is_drawn_at_any_size)
{
    go("gt");
    for (int rows = 1; rows < 40; rows += 3)
        for (int columns = 1; columns < 130; columns += 16) {
            sg_ui_resize(s.ui, rows, columns);
            press(&s, "jl]kG<gg>");
            ck_assert_int_eq(s.canvas.rows, rows);
        }
    sg_ui_resize(s.ui, 20, 60);
    ck_row_has(&s, TITLE_ROW, "TRADE-OFFS  job");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("trade-offs, steps");
    TCase *c = tcase_create("trade-offs, steps");
    tcase_add_checked_fixture(c, open_shop, close_shop);
    tcase_add_test(c, each_step_is_a_sweep_of_its_own);
    tcase_add_test(c, the_table_shows_them);
    tcase_add_test(c, without_rates_there_is_no_cost_and_it_is_said);
    tcase_add_test(c, the_steps_and_the_best_are_the_same_at_every_size);
    tcase_add_test(c, the_ends_and_what_is_now_are_steps_however_fine);
    tcase_add_loop_test(c, the_largest_allowed_value_is_a_step, 0, 3);
    tcase_add_loop_test(c, the_best_stands_in_a_line_whatever_is_scrolled, 0, 3);
    tcase_add_test(c, the_garnet_goes_one_step_past_what_is_offered);
    tcase_add_test(c, tubes_go_with_their_orifices);
    tcase_add_test(c, steps_are_round_in_the_unit_shown_and_told_apart);
    tcase_add_test(c, the_best_of_those_allowed_is_said_to_be_that);
    tcase_add_test(c, finer_steps_are_those_around_where_one_stands);
    tcase_add_test(c, heads_have_no_steps_between);
    tcase_add_test(c, a_reader_hears_the_step_in_words);
    tcase_add_test(c, it_is_drawn_at_any_size);
    suite_add_tcase(suite, c);
    return run(suite);
}
