/* The keys of the Actuals screen: what each notes, for which moment, and that u takes it back. */
#include "edit/run_suite.h"
#include "tui/action.h"
#include "tui/actuals_day.h"

#include <math.h>

#define UNKNOWN ((double)NAN)

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* ---- each act ---- */

struct act {
    const char *name, *keys;
    int32_t what;
    const char *at, *place, *reason;
    int32_t count;
    double mass_lb, feed_lb_min;
};

static const struct act acts[] = {
    {"record-stop", "B", SG_RECORD_STOP, "10:55", "", "", SG_UNKNOWN, UNKNOWN, UNKNOWN},
    {"record-clock", "b", SG_RECORD_STOP, "10:55", "", "", SG_UNKNOWN, UNKNOWN, UNKNOWN},
    {"record-pause", "snozzle plugged<Enter>", SG_RECORD_PAUSE, "10:55", "", "nozzle plugged", SG_UNKNOWN,
     UNKNOWN, UNKNOWN},
    {"record-pause", "s10:40 nozzle plugged<Enter>", SG_RECORD_PAUSE, "10:40", "", "nozzle plugged",
     SG_UNKNOWN, UNKNOWN, UNKNOWN},
    {"record-pause", "s<Enter>", SG_RECORD_PAUSE, "10:55", "", "", SG_UNKNOWN, UNKNOWN, UNKNOWN},
    {"record-resume", "r", SG_RECORD_RESUME, "10:55", "", "", SG_UNKNOWN, UNKNOWN, UNKNOWN},
    {"record-done", "t5 A<Enter>", SG_RECORD_DONE, "10:55", "2601/1/A", "", 5, UNKNOWN, UNKNOWN},
    {"record-done", "tA<Enter>", SG_RECORD_DONE, "10:55", "2601/1/A", "", 20, UNKNOWN, UNKNOWN},
    {"record-done", "t-2 A<Enter>", SG_RECORD_NOT_DONE, "10:55", "2601/1/A", "", 2, UNKNOWN, UNKNOWN},
    {"record-done", "t10:40 all B<Enter>", SG_RECORD_DONE, "10:40", "2601/1/B", "", 11, UNKNOWN, UNKNOWN},
    {"record-scrap", "X10:40 2 A edge burnt<Enter>", SG_RECORD_SCRAP, "10:40", "2601/1/A", "edge burnt", 2,
     UNKNOWN, UNKNOWN},
    {"record-scrap", "Xall A<Enter>", SG_RECORD_SCRAP, "10:55", "2601/1/A", "", 20, UNKNOWN, UNKNOWN},
    {"record-scrap", "XB<Enter>", SG_RECORD_SCRAP, "10:55", "2601/1/B", "", 1, UNKNOWN, UNKNOWN},
    {"record-fill", "f3<Enter>", SG_RECORD_FILL, "10:55", "", "", 3, UNKNOWN, UNKNOWN},
    {"record-fill", "f10:40 60lb<Enter>", SG_RECORD_FILL, "10:40", "", "", SG_UNKNOWN, 60, UNKNOWN},
    {"record-level", "R210<Enter>", SG_RECORD_LEVEL, "10:55", "", "", SG_UNKNOWN, 210, UNKNOWN},
    {"record-level", "R2026-12-01 10:40 210<Enter>", SG_RECORD_LEVEL, "10:40", "", "", SG_UNKNOWN, 210,
     UNKNOWN},
    {"record-weigh", "m0.75<Enter>", SG_RECORD_WEIGH, "10:55", "abrasive", "", SG_UNKNOWN, UNKNOWN, 0.75},
    {"record-changed", "Oorif<Enter>", SG_RECORD_ORIFICE, "10:55", "abrasive", "", SG_UNKNOWN, UNKNOWN,
     UNKNOWN},
    {"record-changed", "O10:40 tube<Enter>", SG_RECORD_TUBE, "10:40", "abrasive", "", SG_UNKNOWN, UNKNOWN,
     UNKNOWN},
    {"record-service", "vgre<Enter>", SG_RECORD_SERVICE, "10:55", "grease rails", "", SG_UNKNOWN, UNKNOWN,
     UNKNOWN},
    {"record-note", "c10:40 drill blunt<Enter>", SG_RECORD_NOTE, "10:40", "", "drill blunt", SG_UNKNOWN,
     UNKNOWN, UNKNOWN},
};

static void ck_about(double value, double wanted)
{
    ck_assert(isnan(wanted) == isnan(value));
    if (!isnan(wanted))
        ck_assert_double_eq_tol(value, wanted, 1e-6);
}

START_TEST(each_act_is_noted_as_it_is_said_and_u_takes_it_back)
{
    static const double lb = 0.45359237, g_of_a_lb = 453.59237; /* by definition */
    const struct act *act = &acts[_i];
    add_chore();
    start_cut();
    if (act->what == SG_RECORD_RESUME) /* there is something to go on from */
        press(&s, "s<Enter>");
    if (act->what == SG_RECORD_NOT_DONE) /* and to take back */
        press(&s, "t5 A<Enter>");
    int before = noted(), bags = shop()->machine.bags_in_stock;
    press(&s, act->keys);
    ck_assert_int_eq(noted(), before + 1);
    ck_assert_int_eq(newest()->what, act->what);
    ck_assert_int_eq(newest()->at, at_of(act->at));
    ck_assert_str_eq(newest()->place, act->place);
    ck_assert_str_eq(newest()->reason, act->reason);
    ck_assert_int_eq(newest()->count, act->count);
    ck_about(newest()->mass, act->mass_lb * lb);
    ck_about(newest()->feed, act->feed_lb_min * g_of_a_lb);
    char words[20];
    snprintf(words, sizeof words, "%s ", act->at);
    ck_said(words);
    ck_said("u takes it back");
    press(&s, "u");
    ck_assert_int_eq(noted(), before);
    ck_assert_int_eq(shop()->machine.bags_in_stock, bags);
    ck_assert_ptr_nonnull(sg_action_named(act->name));
}
END_TEST

START_TEST(clocks_of_load_and_first_check_start_and_are_taken_back)
{
    static const struct {
        const char *key;
        int32_t phase;
    } starts[] = {{"Y", SG_PHASE_LOAD}, {"Q", SG_PHASE_CHECK}, {"b", SG_PHASE_CUT}};
    at("06:10");
    press(&s, starts[_i].key);
    ck_assert_int_eq(shop()->n_clocks, 1);
    ck_assert_int_eq(shop()->clocks[0].phase, starts[_i].phase);
    ck_assert_str_eq(shop()->clocks[0].place, "2601/1");
    ck_assert_int_eq(shop()->clocks[0].at, at_of("06:10"));
    press(&s, "u");
    ck_assert_int_eq(shop()->n_clocks, 0);
}
END_TEST

START_TEST(nothing_is_noted_where_screens_only_read)
{
    start_cut();
    int before = noted();
    struct file_bytes bytes = file_bytes_of(s.file.path);
    on_screen_stop(&s);
    s.canvas = (struct sg_canvas){0};
    day_on(&(struct sg_ui_how){.read_only = true}, 24, 80);
    press(&s, "ga");
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        if (strncmp(action->name, "record-", 7) != 0 && strcmp(action->name, "use-factor") != 0)
            continue;
        press(&s, ":");
        press(&s, action->name);
        press(&s, "<Enter>");
        ck_said("opened to read only");
    }
    ck_assert_int_eq(noted(), before);
    ck_assert(file_bytes_are(s.file.path, &bytes));
    free(bytes.at);
}
END_TEST

/* ---- what is typed ---- */

START_TEST(a_reason_that_was_typed_before_is_found_and_a_full_stop_makes_a_new_one)
{
    start_cut();
    press(&s, "snozzle plugged<Enter>rssheet moved<Enter>r");
    press(&s, "splug<Enter>");
    ck_assert_str_eq(newest()->reason, "nozzle plugged");
    press(&s, "r");
    press(&s, "s10:50 mov");
    ck_shows(&s, "> sheet moved");
    press(&s, "<Enter>");
    ck_assert_str_eq(newest()->reason, "sheet moved");
    ck_assert_int_eq(newest()->at, at_of("10:50"));
    press(&s, "rssheet.<Enter>");
    ck_assert_str_eq(newest()->reason, "sheet");
    press(&s, "s");
    ck_shows(&s, "sheet moved");
    ck_shows(&s, "nozzle plugged");
    press(&s, "<Esc>");
}
END_TEST

START_TEST(a_value_that_cannot_be_read_is_not_noted_and_stays_to_be_mended)
{
    static const struct {
        const char *keys, *typed;
    } wrong[] = {
        {"R2x<Enter>", "2x"}, {"f<Enter>", ""}, {"mabc<Enter>", "abc"}, {"R10:40 x<Enter>", "10:40 x"}};
    start_cut();
    int before = noted();
    press(&s, wrong[_i].keys);
    ck_assert_int_eq(noted(), before);
    ck_assert_int_eq(s.wish, SG_WISH_BELL);
    ck_assert_ptr_nonnull(s.ui->question);
    ck_assert_str_eq(sg_entry_text(&s.ui->entry), wrong[_i].typed);
    press(&s, "<Esc>");
    ck_assert_ptr_null(s.ui->question);
}
END_TEST

START_TEST(what_does_not_go_is_refused_with_the_reason)
{
    static const struct {
        const char *keys, *said;
    } wrong[] = {{"R9999<Enter>", "possible"},
                 {"f0<Enter>", "a fill is 1 bag or more"},
                 {"t0 A<Enter>", "1 to 1000000 pieces are counted at once"},
                 {"t5<Enter>", "has several parts"},
                 {"Ohose<Enter>", "choose the tube or the orifice"},
                 {"@noon<Enter>", "is no time such as 10:40"},
                 {"v", "This shop has no chores"},
                 {"c<Enter>", "Nothing is noted."}};
    start_cut();
    int before = noted();
    press(&s, wrong[_i].keys);
    if (strncmp(wrong[_i].keys, "R9999", 5) == 0)
        ck_assert(row_with(&s, "hopper holds") >= 0 || row_with(&s, "possible") >= 0);
    else
        ck_said(wrong[_i].said);
    ck_assert_int_eq(noted(), before);
}
END_TEST

START_TEST(after_midnight_a_late_time_is_yesterdays)
{
    press(&s, "b");
    at("00:20");
    press(&s, "c23:50 quiet<Enter>");
    ck_assert_int_eq(newest()->at, at_of("00:00") - 10 * 60);
    at("22:00");
    press(&s, "c22:30 to come<Enter>");
    ck_assert_int_eq(newest()->at, at_of("22:30"));
    ck_said("which is still to come");
}
END_TEST

START_TEST(a_time_that_is_far_from_now_and_from_each_shift_is_asked_for_again)
{
    press(&s, "c2027-12-01 10:00 wrong year<Enter>");
    ck_said("2027-12-01 10:00 is later than now (2026-12-01 06:00), and no shift is near");
    ck_assert_int_eq(noted(), 0);
    press(&s, "<Ctrl-U>05:50 right<Enter>");
    ck_assert_int_eq(newest()->at, at_of("05:50"));
    press(&s, "@2025-12-01 10:00<Enter>");
    ck_said("2025-12-01 10:00 is more than half a year ago");
    press(&s, "<Esc>cnow<Enter>");
    ck_assert_int_eq(newest()->at, at_of("06:00"));
}
END_TEST

START_TEST(enter_counts_all_of_each_part)
{
    start_cut();
    press(&s, "t<Enter>");
    ck_said("20 of 2601/1/A, 11 of 2601/1/B done. u takes it back");
    ck_row_has(&s, row_with(&s, "06:28"), "31/31");
    press(&s, "t<Enter>");
    ck_said("are counted already");
    ck_assert_int_eq(shop()->n_records, 2);
    press(&s, "<Esc>X3 A edge burnt<Enter>");
    ck_said("3 of 2601/1/A scrapped, 3 of them counted as done before: edge burnt");
    ck_row_has(&s, row_with(&s, "06:28"), "28/31     3");
    press(&s, "uu"); /* both parts were one act */
    ck_assert_int_eq(shop()->n_records, 0);
}
END_TEST

START_TEST(a_spoilt_sheet_is_noted_at_once)
{
    start_cut();
    press(&s, "X10:40 all cracked<Enter>");
    ck_said("20 of 2601/1/A, 11 of 2601/1/B scrapped: cracked");
    ck_row_has(&s, row_with(&s, "06:28"), " 0/31    31");
    ck_assert_str_eq(newest()->reason, "cracked");
    ck_assert_int_eq(newest()->at, at_of("10:40"));
    press(&s, "G");
    ck_row_has(&s, row_with(&s, "left, sheet 2"), "56 left");
}
END_TEST

/* ---- on other screens ---- */

START_TEST(b_clocks_the_job_one_stands_on)
{
    press(&s, "gsj");
    if (_i)
        press(&s, _i == 1 ? "<Enter>" : "gp");
    at("07:00");
    press(&s, "b");
    ck_assert_int_eq(shop()->n_clocks, 1);
    ck_assert_str_eq(shop()->clocks[0].place, "2602/1");
    ck_said("07:00 clock started on 2602/1, sheet 1");
    ck_row_has(&s, TITLE_ROW, _i == 0 ? "SHIFT A" : _i == 1 ? "JOB 2602" : "SHEET");
    at("07:30");
    press(&s, "b");
    ck_said("Nothing is counted: g a, then t.");
    ck_assert_int_eq(newest()->what, SG_RECORD_STOP);
    ck_assert_int_eq(newest()->at, at_of("07:30"));
    press(&s, "uu");
    ck_assert_int_eq(noted(), 0);
}
END_TEST

/* ---- using, handing over ---- */

/* Runs of 2601/1 that take a third longer than planned. */
static void clock_runs(int n)
{
    struct sg_error error;
    struct sg_noted words;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    int64_t moment = at_of("06:00") - 86400 * (int64_t)20;
    sg_desk_sign(desk, "office");
    for (int i = 0; i < n; i++) {
        const struct sg_start how = {.phase = SG_PHASE_CUT, .place = "2602/1", .sheets = 1};
        struct sg_record stop = sg_fresh_record;
        shop_must(sg_desk_start(desk, &how, moment, &words, &error), &error);
        const struct sg_shop *after = sg_desk_shop(desk);
        double planned = sg_clock_planned(&after->clocks[after->n_clocks - 1]);
        ck_assert(planned > 60);
        stop.what = SG_RECORD_STOP;
        stop.at = moment + (int64_t)(planned * (1.3 + 0.02 * (i % 3)));
        shop_must(sg_desk_record(desk, &stop, &words, &error), &error);
        moment += 86400;
    }
    sg_desk_close(desk);
    ck_assert(sg_ui_look(s.ui));
}

START_TEST(a_factor_shows_what_it_would_change_and_is_used_after_a_yes)
{
    clock_runs(6);
    double before = shop()->materials[sg_find_material(shop(), "stainless 304", NULL)].machinability;
    ck_assert_int_ge(row_with(&s, "6 runs  1."), 0);
    press(&s, "Fspeed<Enter>");
    ck_said("Would use: ");
    ck_said("later; use it? y, or Esc:");
    ck_assert(shop()->materials[sg_find_material(shop(), "stainless 304", NULL)].machinability == before);
    press(&s, "n<Enter>");
    ck_said("Nothing is changed.");
    ck_assert(shop()->materials[sg_find_material(shop(), "stainless 304", NULL)].machinability == before);
    press(&s, "Fspeed<Enter>y<Enter>");
    ck_said("u takes it back");
    double after = shop()->materials[sg_find_material(shop(), "stainless 304", NULL)].machinability;
    ck_assert_msg(after < before / 1.1, "%g, before %g", after, before);
    press(&s, "u");
    ck_assert(shop()->materials[sg_find_material(shop(), "stainless 304", NULL)].machinability == before);
}
END_TEST

START_TEST(too_few_runs_are_not_used)
{
    clock_runs(3);
    ck_shows(&s, "3 runs  too few to use (5 needed)");
    press(&s, "Fspeed<Enter>");
    ck_assert_ptr_null(s.ui->question);
    ck_assert_int_eq(s.wish, SG_WISH_BELL);
    press(&s, "Fquick<Enter>");
    ck_said("speed, thickness, pierce, feed or all");
}
END_TEST

START_TEST(what_is_in_use_is_said_and_what_comes_on_top_of_it)
{
    clock_runs(6);
    other_sets(&s, "office", "2602/1", "feed_override=80");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "Fspeed<Enter>");
    ck_said("feed_override stays on top: 2602/1: 80%");
    press(&s, "y<Enter>Fspeed<Enter>");
    ck_assert_ptr_null(s.ui->question);
    ck_said("nothing is offered: machinability of stainless 304: ");
    ck_said(" is in use (shop, 6 runs, +-");
    other_sets(&s, "office", "clock:1", "height=40 mm"); /* two of them are of another group */
    other_sets(&s, "office", "clock:2", "height=40 mm");
    ck_assert(sg_ui_look(s.ui));
    sg_ui_draw(s.ui, &s.canvas);
    ck_shows(&s, "2 runs  machinability ");
    ck_shows(&s, " is in use");
    ck_shows_not(&s, "too few");
}
END_TEST

START_TEST(t_writes_the_hand_over)
{
    char path[600], text[4000] = "";
    start_cut();
    press(&s, "spump leaks<Enter>");
    snprintf(path, sizeof path, "%s/hand-over.txt", s.file.folder);
    press(&s, "T<Ctrl-U>");
    paste(&s, path);
    press(&s, "<Enter>");
    ck_said("what runs, is done, is next, the hopper, what to watch");
    FILE *in = fopen(path, "rb");
    ck_assert_ptr_nonnull(in);
    text[fread(text, 1, sizeof text - 1, in)] = '\0';
    fclose(in);
    unlink(path);
    ck_assert_msg(strstr(text, "2601/1"), "%s", text);
    ck_assert_msg(strstr(text, "pump leaks"), "%s", text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("actuals_keys");
    TCase *c = tcase_create("actuals_keys");
    tcase_add_checked_fixture(c, day_start, day_stop);
    tcase_add_loop_test(c, each_act_is_noted_as_it_is_said_and_u_takes_it_back, 0, COUNT(acts));
    tcase_add_loop_test(c, clocks_of_load_and_first_check_start_and_are_taken_back, 0, 3);
    tcase_add_test(c, nothing_is_noted_where_screens_only_read);
    tcase_add_test(c, a_reason_that_was_typed_before_is_found_and_a_full_stop_makes_a_new_one);
    tcase_add_loop_test(c, a_value_that_cannot_be_read_is_not_noted_and_stays_to_be_mended, 0, 4);
    tcase_add_loop_test(c, what_does_not_go_is_refused_with_the_reason, 0, 8);
    tcase_add_test(c, after_midnight_a_late_time_is_yesterdays);
    tcase_add_test(c, a_time_that_is_far_from_now_and_from_each_shift_is_asked_for_again);
    tcase_add_test(c, enter_counts_all_of_each_part);
    tcase_add_test(c, a_spoilt_sheet_is_noted_at_once);
    tcase_add_loop_test(c, b_clocks_the_job_one_stands_on, 0, 3);
    tcase_add_test(c, a_factor_shows_what_it_would_change_and_is_used_after_a_yes);
    tcase_add_test(c, too_few_runs_are_not_used);
    tcase_add_test(c, what_is_in_use_is_said_and_what_comes_on_top_of_it);
    tcase_add_test(c, t_writes_the_hand_over);
    suite_add_tcase(suite, c);
    return run(suite);
}
