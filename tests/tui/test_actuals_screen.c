/* The Actuals screen: what stands in its lines, its answers, when it is drawn anew; and the marks of what is
 * done on the Sheet screen. */
#include "edit/run_suite.h"
#include "tui/actuals_day.h"

#include <math.h>

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* ---- lines ---- */

START_TEST(a_running_clock_is_marked_in_words)
{
    ck_row_has(&s, TITLE_ROW, "as of 06:00, no clock runs");
    ck_shows(&s, "Nothing was noted in this shift yet");
    at("06:28");
    press(&s, "b");
    ck_row_has(&s, TITLE_ROW, "now 06:28, clock on 2601/1");
    ck_row_has(&s, row_with(&s, "06:28 2601/1"), "> 06:28 2601/1   cut, sheet 1, RUNS");
    ck_row_has(&s, row_with(&s, "06:28 2601/1"), "so far");
    at("06:40");
    press(&s, "spump<Enter>");
    ck_row_has(&s, TITLE_ROW, "clock on 2601/1, STANDS");
    ck_row_has(&s, row_with(&s, "06:28 2601/1"), "STANDS");
}
END_TEST

START_TEST(took_is_without_pauses_and_the_difference_is_that_of_what_is_seen)
{
    morning();
    press(&s, "gg");
    /* 06:28 to 08:14 without 12 minutes. */
    int cut = row_with(&s, "cut, sheet 1 ");
    char plan[20], took[20], diff[20];
    ck_assert_int_eq(sscanf(strstr(row(&s, cut), "sheet 1") + 7, "%19s %19s %19s", plan, took, diff), 3);
    ck_assert_str_eq(took, "1:34");
    int planned_h, planned_min, by_h, by_min;
    ck_assert_int_eq(sscanf(plan, "%d:%d", &planned_h, &planned_min), 2);
    ck_assert_int_eq(sscanf(diff + strspn(diff, "+-"), "%d:%d", &by_h, &by_min), 2);
    int by = (by_h * 60 + by_min) * (diff[0] == '-' ? -1 : 1);
    ck_assert_int_eq(planned_h * 60 + planned_min + by, 94);
    ck_row_has(&s, cut, "31/31");
    ck_row_has(&s, row_with(&s, "machine stands"), "0:12  +0:12  nozzle plugged");
    ck_row_has(&s, row_with(&s, "06:20 2601/1"), "load, sheet 1");
    ck_row_has(&s, row_with(&s, "06:20 2601/1"), "0:08");
}
END_TEST

START_TEST(a_cut_that_was_stopped_for_the_first_check_has_as_much_of_the_plan_as_it_took)
{
    at("06:28");
    press(&s, "b");
    at("06:33");
    press(&s, "Q");
    ck_row_has(&s, row_with(&s, "06:28"), "0:05  0:05   0:00");
    at("06:36");
    press(&s, "b");
    ck_row_has(&s, row_with(&s, "first check"), "0:03  0:03   0:00");
}
END_TEST

START_TEST(what_is_left_stands_below_and_goes_down_with_the_count)
{
    ck_row_has(&s, row_with(&s, "56 left"), "2601/1   56 left, sheet 1");
    morning();
    press(&s, "G");
    ck_row_has(&s, row_with(&s, " left, sheet 2 on"), "25 left");
    press(&s, "t<Enter>");
    ck_shows_not(&s, "25 left");
    ck_row_has(&s, row_with(&s, "left, sheet 1"), "2602/1   12 left");
}
END_TEST

START_TEST(enter_opens_the_fields_of_what_was_noted_and_a_time_is_mended_there)
{
    morning();
    press(&s, "gg");
    ck_assert_int_eq(sg_ui_line(s.ui)->target.kind, SG_KIND_CLOCK);
    press(&s, "<Enter>");
    ck_row_has(&s, TITLE_ROW, "ALL FIELDS of clock:1");
    press(&s, "<Esc>jj<Enter>");
    ck_row_has(&s, TITLE_ROW, "ALL FIELDS of record:1");
    press(&s, "e<Ctrl-U>2026-12-01 06:44<Enter>");
    ck_assert_int_eq(shop()->records[0].at, at_of("06:44"));
    press(&s, "<Esc>");
    ck_row_has(&s, row_with(&s, "06:44"), "0:08  +0:08  nozzle plugged");
}
END_TEST

START_TEST(what_is_noted_days_before_the_shift_is_shown_too)
{
    day_now = (double)at_of("10:00") - 5 * 86400.0;
    press(&s, "b");
    ck_row_has(&s, row_with(&s, "Nothing was noted in this shift yet") + 1,
               "Noted outside the shifts, 2026-11-26:");
    ck_row_has(&s, row_with(&s, "10:00 2601/1"), "cut, sheet 1, RUNS");
}
END_TEST

START_TEST(x_takes_out_what_was_noted_and_u_brings_it_back)
{
    morning();
    int before = noted();
    press(&s, "ggjj");
    ck_row_has(&s, row_with(&s, "> "), "machine stands");
    press(&s, "x");
    ck_said("Taken out of the log: 06:40");
    ck_assert_int_eq(noted(), before - 1);
    ck_shows_not(&s, "nozzle plugged ");
    press(&s, "u");
    ck_assert_int_eq(noted(), before);
    ck_row_has(&s, row_with(&s, "machine stands"), "nozzle plugged");
    press(&s, "Gx");
    ck_said("Nothing that was noted stands here");
}
END_TEST

START_TEST(a_clock_that_was_forgotten_is_mended_and_said)
{
    at("06:28");
    press(&s, "b");
    at("08:30");
    while (strstr(row(&s, row_with(&s, "> ")), "2602/1") == NULL)
        press(&s, "j");
    press(&s, "b");
    ck_said("clock on 2601/1 ended at 08:30, where 2602/1 started");
    press(&s, "u");
    press(&s, "@08:02<Enter>");
    ck_said("noted for 08:02");
    press(&s, "B");
    ck_assert_int_eq(newest()->at, at_of("08:02"));
    ck_assert_int_eq(newest()->what, SG_RECORD_STOP);
    press(&s, "cquiet<Enter>"); /* that was for one act only */
    ck_assert_int_eq(newest()->at, at_of("08:30"));
    press(&s, "B");
    ck_said("no clock runs");
    ck_assert_int_eq(newest()->what, SG_RECORD_NOTE);
}
END_TEST

/* ---- answers ---- */

START_TEST(the_answers_are_those_of_the_rest_and_say_how_much_later_it_gets)
{
    char ends[20], words[60];
    int later;
    at("06:28");
    press(&s, "b");
    at("06:40");
    press(&s, "spump<Enter>");
    at("07:25");
    press(&s, "r");
    rest_ends(ends, &later);
    ck_assert_int_gt(later, 30); /* it stood for 45, of which breaks may take some */
    snprintf(words, sizeof words, "ENDS %s", ends);
    ck_row_has(&s, ANSWERS_ROW, words);
    snprintf(words, sizeof words, "%d:%02d LATER", later / 60, later % 60);
    ck_row_has(&s, ANSWERS_ROW, words);
    press(&s, "gs"); /* the plan is as it was */
    const struct facts facts = facts_of(&s, "2601/1/A", NULL, NULL);
    ck_row_has(&s, ANSWERS_ROW, facts.ends_on);
    ck_row_has_not(&s, ANSWERS_ROW, "LATER");
}
END_TEST

START_TEST(all_is_cut)
{
    const struct sg_shop *all = shop();
    struct sg_error error;
    struct sg_noted noted_one;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    for (int32_t i = 0; i < all->n_parts; i++) {
        char key[400];
        sg_key_write(all, (struct sg_target){SG_KIND_PART, i}, key, sizeof key);
        const struct sg_counting counting = {.count = all->parts[i].quantity, .part = key};
        shop_must(sg_desk_count(desk, &counting, at_of("05:59") + i, &noted_one, &error), &error);
    }
    sg_desk_close(desk);
    ck_assert(sg_ui_look(s.ui));
    ck_row_has(&s, ANSWERS_ROW, "ENDS -, nothing left to cut");
    ck_shows(&s, "Nothing is left to cut.");
    press(&s, "b");
    ck_said("Nothing is left to cut here: no clock is started.");
    ck_assert_int_eq(shop()->n_clocks, 0);
}
END_TEST

/* ---- when it is drawn ---- */

START_TEST(nothing_is_drawn_by_itself_unless_a_clock_runs_and_then_once_a_minute)
{
    at("07:00");
    ck_assert(!sg_ui_idle(s.ui));
    press(&s, "b");
    ck_assert(!sg_ui_idle(s.ui));
    at("07:00:59");
    ck_assert(!sg_ui_idle(s.ui));
    at("07:01:01");
    ck_assert(sg_ui_idle(s.ui));
    ck_row_has(&s, TITLE_ROW, "now 07:01");
    ck_assert(!sg_ui_idle(s.ui));
    at("07:02:30");
    press(&s, "s");
    ck_assert(!sg_ui_idle(s.ui)); /* not under the fingers */
    press(&s, "<Esc>");
    press(&s, "B");
    at("07:09");
    ck_assert(!sg_ui_idle(s.ui));
    ck_row_has(&s, TITLE_ROW, "as of 07:02, no clock runs");
    press(&s, "k");
    ck_row_has(&s, TITLE_ROW, "as of 07:09, no clock runs");
}
END_TEST

START_TEST(what_another_notes_is_seen_at_the_next_look)
{
    struct sg_error error;
    struct sg_noted words;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    sg_desk_sign(desk, "second lead");
    const struct sg_start how = {.phase = SG_PHASE_CUT, .place = "2602/1", .sheets = 1};
    shop_must(sg_desk_start(desk, &how, at_of("05:58"), &words, &error), &error);
    ck_assert(sg_ui_look(s.ui));
    ck_row_has(&s, TITLE_ROW, "clock on 2602/1");
    ck_shows(&s, "05:58 2602/1");
    ck_said("second lead: clock started on 2602/1");
    ck_assert(!sg_ui_look(s.ui));
    sg_desk_close(desk);
}
END_TEST

/* ---- sizes ---- */

START_TEST(it_is_drawn_at_every_size)
{
    static const int sizes[][2] = {{24, 80}, {36, 120}, {20, 60}, {5, 20},
                                   {3, 12},  {12, 40},  {7, 30},  {50, 200}};
    morning();
    for (int i = 0; i < COUNT(sizes); i++) {
        sg_ui_resize(s.ui, sizes[i][0], sizes[i][1]);
        press(&s, "ggG");
        bool tiny = sizes[i][0] < 5 || sizes[i][1] < 20;
        ck_shows(&s, tiny ? "Nothing lost" : "ACTUALS");
        if (sizes[i][0] >= 7 && !tiny) {
            press(&s, "gg");
            ck_row_has(&s, row_with(&s, "> 06:20"), "2601/1");
        }
    }
}
END_TEST

START_TEST(a_screen_reader_hears_the_line_and_the_rest)
{
    char words[1000];
    morning();
    sg_ui_say_place(s.ui, words, sizeof words);
    ck_assert_msg(strstr(words, "cut, sheet 2, RUNS"), "%s", words);
    sg_ui_say_answers(s.ui, words, sizeof words);
    ck_assert_msg(strstr(words, "LATER"), "%s", words);
    on_screen_stop(&s);
    s.canvas = (struct sg_canvas){.rows = 0};
    day_on(&(struct sg_ui_how){.spoken = true}, 24, 80);
    press(&s, "ga");
    sg_ui_say_place(s.ui, words, sizeof words);
    ck_assert_msg(strstr(words, "2601/1 cut, sheet 2, RUNS, Plan 0:42, Took 0:18, Diff so far"), "%s", words);
    press(&s, "s");
    ck_assert(strstr(sg_ui_say_message(s.ui), "Type to find") != NULL);
    press(&s, "p");
    ck_assert_str_eq(sg_ui_say_message(s.ui), "");
    sg_ui_say_title(s.ui, words, sizeof words);
    ck_assert_msg(strstr(words, "clock on 2601/1"), "%s", words);
}
END_TEST

/* Written by SANDGLASS_GOLDEN=write, as the other screens are. */
static void is_golden(const char *name)
{
    char path[600], kept[20000] = "", now[20000] = "";
    size_t used = 0;
    const char *wish = getenv("SANDGLASS_GOLDEN");
    for (int i = 0; i < s.canvas.rows; i++)
        used += (size_t)snprintf(now + used, sizeof now - used, "%s\n", row(&s, i));
    snprintf(path, sizeof path, "%s/screens/%s.txt", FIXTURES, name);
    if (wish && strcmp(wish, "write") == 0) {
        FILE *out = fopen(path, "wb");
        ck_assert(out && fputs(now, out) >= 0 && fclose(out) == 0);
        return;
    }
    FILE *in = fopen(path, "rb");
    ck_assert_msg(in != NULL, "%s", path);
    kept[fread(kept, 1, sizeof kept - 1, in)] = '\0';
    fclose(in);
    ck_assert_msg(strcmp(kept, now) == 0, "the screen is not %s", path); /* too long for Check to tell */
}

START_TEST(it_is_as_it_was)
{
    static const struct {
        const char *keys, *name;
        int rows, columns;
    } goldens[] = {{"", "actuals-80x24", 24, 80},
                   {"", "actuals-120x36", 36, 120},
                   {"", "actuals-60x20", 20, 60},
                   {"", "actuals-20x5", 5, 20},
                   {"t5 B<Enter>gp<Down>", "sheet-done-80x24", 24, 80}};
    morning();
    sg_ui_resize(s.ui, goldens[_i].rows, goldens[_i].columns);
    press(&s, goldens[_i].keys);
    s.ui->saved_at = 0; /* when this test ran */
    sg_ui_draw(s.ui, &s.canvas);
    is_golden(goldens[_i].name);
}
END_TEST

/* ---- the Sheet screen ---- */

static int cells_with(char wanted, int columns)
{
    int n = 0;
    for (int i = 3; i < 20; i++)
        for (int k = 0; k < columns; k++)
            n += s.canvas.cells[i * s.canvas.columns + k].text[0] == wanted;
    return n;
}

START_TEST(what_is_cut_and_what_is_under_the_head_have_characters_and_words_of_their_own)
{
    at("06:28");
    press(&s, "gp");
    ck_assert_int_eq(cells_with('#', 33) + cells_with('*', 33), 0);
    ck_row_has_not(&s, WORDS_ROW, "next");
    press(&s, "gabt5 A<Enter>gp");
    ck_assert_int_gt(cells_with('#', 33), 20);
    ck_said("cut 6 of 31 on the sheet, under the head:"); /* where one stands at first */
    press(&s, "<Up>");
    ck_said("cut 7 of 31 on the sheet, next:");
    ck_said("# done, * under the head");
    /* Pieces 1 to 5 are done, 6 is under the head: by their numbers. */
    for (int piece = 1; piece <= 6; piece++) {
        const char behind[] = {piece <= 5 ? '#' : '*', '\0'};
        char number[8];
        snprintf(number, sizeof number, "%d%s", piece, behind);
        ck_shows(&s, number);
    }
    press(&s, "gaBgp");
    ck_assert_int_eq(cells_with('*', 33), 0); /* no clock runs */
    press(&s, ">");
    ck_assert_int_eq(cells_with('#', 33), 0);
    ck_said(", next:");
}
END_TEST

START_TEST(a_sheet_whose_clock_ended_is_done_though_nobody_counted)
{
    at("06:28");
    press(&s, "b");
    at("08:00");
    press(&s, "Bgp");
    ck_said("cut 1 of 31 on the sheet, done:");
    press(&s, "<Down><Down>");
    ck_said(", done:");
    press(&s, ">");
    ck_said(", next:");
}
END_TEST

START_TEST(what_is_done_counts_over_all_sheets_of_the_stock)
{
    at("06:28");
    press(&s, "bt<Enter>");
    at("08:00");
    press(&s, "bb"); /* off, and on again: the second sheet */
    press(&s, "t3 B<Enter>gp");
    ck_said("cut 4 of 25 on the sheet, under the head:");
    ck_shows(&s, "3#");
    ck_shows(&s, "4B");
    ck_shows(&s, "5b");
    press(&s, "<");
    ck_said("cut 1 of 31 on the sheet, done:");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("actuals_screen");
    TCase *c = tcase_create("actuals_screen");
    tcase_add_checked_fixture(c, day_start, day_stop);
    tcase_add_test(c, a_running_clock_is_marked_in_words);
    tcase_add_test(c, took_is_without_pauses_and_the_difference_is_that_of_what_is_seen);
    tcase_add_test(c, a_cut_that_was_stopped_for_the_first_check_has_as_much_of_the_plan_as_it_took);
    tcase_add_test(c, what_is_left_stands_below_and_goes_down_with_the_count);
    tcase_add_test(c, enter_opens_the_fields_of_what_was_noted_and_a_time_is_mended_there);
    tcase_add_test(c, what_is_noted_days_before_the_shift_is_shown_too);
    tcase_add_test(c, x_takes_out_what_was_noted_and_u_brings_it_back);
    tcase_add_test(c, a_clock_that_was_forgotten_is_mended_and_said);
    tcase_add_test(c, the_answers_are_those_of_the_rest_and_say_how_much_later_it_gets);
    tcase_add_test(c, all_is_cut);
    tcase_add_test(c, nothing_is_drawn_by_itself_unless_a_clock_runs_and_then_once_a_minute);
    tcase_add_test(c, what_another_notes_is_seen_at_the_next_look);
    tcase_add_test(c, it_is_drawn_at_every_size);
    tcase_add_test(c, a_screen_reader_hears_the_line_and_the_rest);
    tcase_add_loop_test(c, it_is_as_it_was, 0, 5);
    tcase_add_test(c, what_is_cut_and_what_is_under_the_head_have_characters_and_words_of_their_own);
    tcase_add_test(c, a_sheet_whose_clock_ended_is_done_though_nobody_counted);
    tcase_add_test(c, what_is_done_counts_over_all_sheets_of_the_stock);
    suite_add_tcase(suite, c);
    return run(suite);
}
