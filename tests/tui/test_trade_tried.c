/* The screen of trade-offs: a step that is tried, made a what-if of or written to a file touches the plan in
 * no way. */
#include "edit/what_if.h"
#include "tui/trade_offs.h"

static void set(const char *key, const char *assignment)
{
    other_sets(&s, "office", key, assignment);
    ck_assert(sg_ui_look(s.ui));
    sg_ui_draw(s.ui, &s.canvas);
    settle();
}

/* "14:50": the shift's end as the clock shows it, with edits made to the plan in the file. */
static const char *ends_with(const struct sg_edit *edits, int n)
{
    static char out[40];
    struct sg_change changes[8];
    struct sg_draft *draft;
    const struct sg_plan *plan;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    ck_assert_int_le(n, 8);
    shop_must(sg_draft_new(desk, &draft, &error), &error);
    shop_must(sg_draft_edit(draft, edits, n, changes, &error), &error);
    shop_must(sg_draft_plan(draft, 0, &plan, &error), &error);
    time_t ends = (time_t)(sg_desk_shop(desk)->shifts[0].calendar.epoch + plan->ends);
    strftime(out, sizeof out, "%H:%M", gmtime(&ends));
    sg_draft_free(draft);
    sg_desk_close(desk);
    return out;
}

static void ck_ends(const char *ends)
{
    char answer[60];
    snprintf(answer, sizeof answer, "ENDS %s", ends);
    ck_row_has(&s, ANSWERS_ROW, answer);
}

static struct sg_what_if_edits edits_in_file(const char *name)
{
    static struct sg_what_if_edits edits;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    shop_must(sg_what_if_read(desk, name, &edits, &error), &error);
    sg_desk_close(desk);
    return edits;
}

/* ---- what is tried ---- */

START_TEST(the_answers_are_those_of_the_step)
{
    static const struct sg_edit more = {.key = "head:abrasive", .assignment = "garnet=0.8lb/min"};
    static const struct sg_edit less = {.key = "head:abrasive", .assignment = "garnet=0.6lb/min"};
    const struct file_bytes before = file_bytes_of(s.file.path);
    go("gtl");
    ck_ends(ends_with(NULL, 0));
    ck_assert_ptr_eq(s.ui->tried.plan, s.ui->kept.plan);
    ck_row_has(&s, TITLE_ROW, "saved");
    go("jj");
    ck_row_has(&s, WORDS_ROW, "0.8 lb/min. Enter makes it a what-if");
    ck_row_has(&s, TITLE_ROW, "tried, not in plan");
    ck_row_has_not(&s, TITLE_ROW, "saved");
    ck_ends(ends_with(&more, 1));
    go("kkkk");
    ck_ends(ends_with(&less, 1));
    go("<Esc>");
    ck_row_has(&s, TITLE_ROW, "saved");
    ck_ends(ends_with(NULL, 0));
    ck_assert_ptr_eq(s.ui->tried.plan, s.ui->kept.plan);
    ck_assert(file_bytes_are(s.file.path, &before));
    free(before.at);
}
END_TEST

START_TEST(other_screens_show_the_plan_and_the_step_is_back_afterwards)
{
    static const struct sg_edit more = {.key = "head:abrasive", .assignment = "garnet=0.8lb/min"};
    go("gtljjgh");
    ck_ends(ends_with(NULL, 0));
    go("<Esc>");
    ck_ends(ends_with(&more, 1));
    go("?<Esc>");
    ck_ends(ends_with(&more, 1));
}
END_TEST

START_TEST(now_follows_what_another_changes)
{
    go("gtl");
    ck_row_has(&s, TITLE_ROW, "now 0.7 lb/min");
    set("head:abrasive", "garnet=0.55lb/min");
    ck_row_has(&s, TITLE_ROW, "now 0.55 lb/min");
    ck_row_has(&s, row_with(&s, "NOW"), ">  0.550");
    ck_steps();
}
END_TEST

/* ---- a what-if of it ---- */

static void ck_kept(const char *name, const char *const *edits)
{
    const struct sg_what_if_edits kept = edits_in_file(name);
    ck_assert_msg(kept.found, "no what-if %s; %s", name, message());
    int n = 0;
    for (; edits[n]; n++) {
        char edit[600];
        snprintf(edit, sizeof edit, "%s %s", kept.edits[n].key, kept.edits[n].assignment);
        ck_assert_int_lt(n, kept.n);
        ck_assert_str_eq(edit, edits[n]);
    }
    ck_assert_int_eq(kept.n, n);
}

static const struct {
    const char *keys, *name, *edits[4];
} whats[] = {
    {"gtk<Enter><Enter>", "2601 pressure 53 ksi", {"head:abrasive pressure=53ksi"}},
    {"gtlj<Enter><Enter>", "2601 garnet 0.75 lb/min", {"head:abrasive garnet=0.75lb/min"}},
    {"gtllj<Enter><Enter>", "2601 edge 3.5 fine", {"2601/1 edge=3.5"}},
    {"gtlllj<Enter><Enter>",
     "2601 orifice 0.014/0.043 in",
     {"head:abrasive tube=0.043in", "head:abrasive orifice=0.014in"}},
    {"gtlllk<Enter><Enter>",
     "2601 orifice 0.012/0.037 in",
     {"head:abrasive orifice=0.012in", "head:abrasive tube=0.037in"}},
    {"gtllllj<Enter><Enter>", "2601 head water", {"2601/1 head=water"}},
    {"jjjjgtlljj<Enter><Enter>", "2605 edge 4 fine", {"2605/1 edge=4", "2605/2 edge=4"}},
};

START_TEST(enter_makes_a_what_if_and_the_plan_stays)
{
    go(whats[_i].keys);
    ck_kept(whats[_i].name, whats[_i].edits);
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    press(&s, "W");
    ck_row_has(&s, TITLE_ROW, whats[_i].name);
    ck_row_has_not(&s, TITLE_ROW, "does not go");
}
END_TEST

START_TEST(a_low_pressure_goes_down_with_the_pressure)
{
    other_sets(&s, "office", "head:abrasive", "low_pressure=52ksi");
    ck_assert(sg_ui_look(s.ui));
    go("gtkk<Enter><Enter>");
    static const char *const edits[] = {"head:abrasive low_pressure=51ksi", "head:abrasive pressure=51ksi",
                                        NULL};
    ck_kept("2601 pressure 51 ksi", edits);
}
END_TEST

START_TEST(what_is_now_becomes_no_what_if)
{
    go("gt<Enter>");
    ck_assert_msg(strstr(message(), "This is how it is now"), "%s", message());
    go("G<Enter>");
    ck_assert_msg(strstr(message(), "Stand on a step"), "%s", message());
}
END_TEST

START_TEST(a_screen_that_only_reads_keeps_nothing)
{
    on_screen_stop(&s);
    s.canvas = (struct sg_canvas){0};
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path, .read_only = true}, 24, 80);
    go("gtlj<Enter>");
    ck_row_has(&s, WORDS_ROW, "read only");
}
END_TEST

/* ---- of a stock ---- */

START_TEST(from_a_stock_only_that_one_is_changed)
{
    stand_on(&s, "2605/2/A", "quantity");
    go("gtllj");
    ck_row_has(&s, TITLE_ROW, "job 2605/2 along edge");
    ck_steps();
    go("<Enter><Enter>");
    static const char *const edits[] = {"2605/2 edge=3.5", NULL};
    ck_kept("2605 edge 3.5 fine", edits);
    go("<");
    ck_row_has(&s, TITLE_ROW, "job 2604 along edge");
}
END_TEST

START_TEST(water_alone_has_no_garnet)
{
    go("jjjjgtl");
    ck_shows(&s, "It is cut with water alone: there is no garnet feed to change.");
    go("E");
    ck_assert_msg(strstr(message(), "there are no steps"), "%s", message());
    go("l");
    ck_steps();
}
END_TEST

START_TEST(a_job_without_pieces_says_what_it_needs)
{
    other_sets(&s, "office", "2602/1/A", "quantity=0");
    ck_assert(sg_ui_look(s.ui));
    go("jgt");
    ck_shows(&s, "job 2602 has no pieces to price");
}
END_TEST

/* ---- files ---- */

START_TEST(e_writes_the_csv_and_t_the_text)
{
    char path[600];
    struct sg_text text = {0};
    snprintf(path, sizeof path, "%s/steps.out", s.file.folder);
    go("gtl");
    const struct sg_sweep_view view = sg_trade_view(shown(), 0);
    if (_i == 0)
        sg_sweep_csv(&text, &view, s.ui->kept.shop->units);
    else
        sg_sweep_text(&text, &view);
    press(&s, _i == 0 ? "E" : "T");
    ck_shows(&s, _i == 0 ? "CSV to file: trade-2601-garnet.csv" : "text to file: trade-2601-garnet.txt");
    press(&s, "<Ctrl-U>");
    paste(&s, path);
    press(&s, "<Enter>");
    ck_assert_msg(strstr(message(), "steps of job 2601 along garnet"), "%s", message());
    struct file_bytes bytes = file_bytes_of(path);
    ck_assert_uint_eq(bytes.size, text.length);
    ck_assert_int_eq(memcmp(bytes.at, text.data, text.length), 0);
    free(bytes.at);
    sg_text_free(&text);
    unlink(path);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("trade-offs, tried");
    TCase *c = tcase_create("trade-offs, tried");
    tcase_add_checked_fixture(c, open_shop, close_shop);
    tcase_add_test(c, the_answers_are_those_of_the_step);
    tcase_add_test(c, other_screens_show_the_plan_and_the_step_is_back_afterwards);
    tcase_add_test(c, now_follows_what_another_changes);
    tcase_add_loop_test(c, enter_makes_a_what_if_and_the_plan_stays, 0, sizeof whats / sizeof *whats);
    tcase_add_test(c, a_low_pressure_goes_down_with_the_pressure);
    tcase_add_test(c, what_is_now_becomes_no_what_if);
    tcase_add_test(c, a_screen_that_only_reads_keeps_nothing);
    tcase_add_test(c, from_a_stock_only_that_one_is_changed);
    tcase_add_test(c, water_alone_has_no_garnet);
    tcase_add_test(c, a_job_without_pieces_says_what_it_needs);
    tcase_add_loop_test(c, e_writes_the_csv_and_t_the_text, 0, 2);
    suite_add_tcase(suite, c);
    return run(suite);
}
