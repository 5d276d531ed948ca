/* The screen of what-ifs: what it shows against plans made by another desk, what it keeps, and that nothing
 * touches the plan before. */
#include "edit/run_suite.h"
#include "edit/suggest.h"
#include "edit/what_if.h"
#include "exchange/render.h"
#include "tui/facts.h"

static struct on_screen s;
static struct sg_error error;

static void open_shift(void)
{
    s = on_screen_open(true);
}

static void close_shift(void)
{
    on_screen_close(&s);
}

/* ---- the same found by another desk ---- */

struct suggestions {
    int n;
    struct sg_suggestion found[SG_SUGGESTIONS];
};

static struct suggestions suggested(void)
{
    static struct suggestions out;
    struct sg_draft *draft;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    shop_must(sg_draft_new(desk, &draft, &error), &error);
    out.n = sg_suggest(draft, 0, out.found, NULL, &error);
    sg_draft_free(draft);
    sg_desk_close(desk);
    return out;
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

static struct sg_what_if_edits edits_in_file(const char *name)
{
    static struct sg_what_if_edits edits;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    shop_must(sg_what_if_read(desk, name, &edits, &error), &error);
    sg_desk_close(desk);
    return edits;
}

static bool is_kept(const char *name)
{
    return edits_in_file(name).found;
}

static void ck_ends(const char *ends)
{
    char answer[60];
    snprintf(answer, sizeof answer, "ENDS %s", ends);
    ck_row_has(&s, ANSWERS_ROW, answer);
}

/* ---- what is listed ---- */

/* The row below the title and the answers on which words stand. */
static int listed_at(const char *words)
{
    for (int i = ANSWERS_ROW + 1; i < s.canvas.rows; i++)
        if (strstr(row(&s, i), words))
            return i;
    ck_abort_msg("not listed: %s", words);
}

START_TEST(each_suggestion_stands_there_with_the_end_that_it_gives)
{
    other_sets(&s, "office", "2601/1/A", "quantity=40");
    ck_assert(sg_ui_look(s.ui));
    const struct suggestions wanted = suggested();
    ck_assert_int_gt(wanted.n, 1);
    sg_ui_resize(s.ui, 24, 120); /* room for whole words */
    press(&s, "W");
    for (int i = 0; i < wanted.n; i++) {
        const char *ends = ends_with(wanted.found[i].edits, wanted.found[i].n_edits);
        ck_row_has(&s, TITLE_ROW, "not in the plan");
        ck_row_has(&s, TITLE_ROW, wanted.found[i].words);
        ck_row_has(&s, listed_at(wanted.found[i].words), ends);
        ck_row_has(&s, row_with(&s, "Shift ends"), ends);
        ck_ends(ends);
        press(&s, "j");
    }
}
END_TEST

START_TEST(the_first_line_is_the_plan_as_it_is)
{
    press(&s, "Wgg");
    ck_row_has(&s, TITLE_ROW, "the plan as it is");
    ck_row_has(&s, listed_at("the plan as it is"), ends_with(NULL, 0));
    ck_ends(ends_with(NULL, 0));
    ck_assert_ptr_eq(s.ui->tried.plan, s.ui->kept.plan);
    ck_shows_not(&s, "what if      change");
}
END_TEST

START_TEST(looking_at_what_ifs_changes_nothing)
{
    const struct file_bytes before = file_bytes_of(s.file.path);
    press(&s, "Wjjjkgg<Esc>WGw<Esc><Esc>");
    ck_assert(file_bytes_are(s.file.path, &before));
    ck_ends(ends_with(NULL, 0));
    ck_assert_ptr_eq(s.ui->tried.plan, s.ui->kept.plan);
    free(before.at);
}
END_TEST

START_TEST(leaving_the_screen_takes_the_what_if_out)
{
    press(&s, "W");
    ck_assert_ptr_ne(s.ui->tried.plan, s.ui->kept.plan);
    press(&s, "<Esc>");
    ck_assert_ptr_eq(s.ui->tried.plan, s.ui->kept.plan);
    ck_shows_not(&s, "*");
}
END_TEST

/* ---- into the plan ---- */

START_TEST(enter_puts_a_suggestion_into_the_plan_as_one_step_with_its_words)
{
    struct sg_step_told step;
    const struct suggestions wanted = suggested();
    char ends[40];
    snprintf(ends, sizeof ends, "%s", ends_with(wanted.found[0].edits, wanted.found[0].n_edits));
    press(&s, "W<Enter>");
    ck_assert_int_eq(steps_in_file(&s, &step), 1);
    ck_assert_str_eq(step.words, wanted.found[0].words);
    ck_assert_str_eq(step.who, "programmer");
    ck_assert_str_eq(ends_with(NULL, 0), ends);
    ck_ends(ends);
    ck_row_has(&s, TITLE_ROW, "the plan as it is");
    press(&s, "u");
    ck_assert_str_ne(ends_with(NULL, 0), ends);
    ck_ends(ends_with(NULL, 0));
}
END_TEST

START_TEST(enter_on_the_plan_itself_keeps_nothing)
{
    press(&s, "Wgg<Enter>");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    ck_row_has(&s, WORDS_ROW, "This is the plan already");
}
END_TEST

START_TEST(a_screen_that_only_reads_keeps_nothing)
{
    on_screen_stop(&s);
    s.canvas = (struct sg_canvas){0};
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path, .read_only = true}, 24, 80);
    press(&s, "W<Enter>a");
    ck_row_has(&s, WORDS_ROW, "read only");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

/* ---- kept for later ---- */

START_TEST(a_name_keeps_a_suggestion_for_later_and_the_plan_stays)
{
    const struct suggestions wanted = suggested();
    press(&s, "Wa<Ctrl-U>the swap<Enter>");
    const struct sg_what_if_edits kept = edits_in_file("the swap");
    ck_assert(kept.found);
    ck_assert_int_eq(kept.n, wanted.found[0].n_edits);
    for (int i = 0; i < kept.n; i++) {
        ck_assert_str_eq(kept.edits[i].key, wanted.found[0].edits[i].key);
        ck_assert_str_eq(kept.edits[i].assignment, wanted.found[0].edits[i].assignment);
    }
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    ck_shows(&s, "Kept for later");
    ck_shows(&s, "the swap: ");
}
END_TEST

START_TEST(a_name_that_is_taken_is_refused)
{
    press(&s, "Wa<Ctrl-U>one<Enter>gg");
    const struct sg_what_if_edits before = edits_in_file("one");
    press(&s, "Ga<Ctrl-U>one<Enter>");
    ck_row_has(&s, WORDS_ROW, "there is a what-if one already");
    ck_assert_int_eq(edits_in_file("one").n, before.n);
}
END_TEST

START_TEST(a_kept_one_goes_into_the_plan_as_one_step_and_out_of_the_list)
{
    struct sg_step_told step;
    const struct suggestions wanted = suggested();
    press(&s, "Wa<Enter>");
    ck_assert(is_kept("what if 1"));
    ck_row_has(&s, TITLE_ROW, "what if 1");
    press(&s, "<Enter>");
    ck_assert_int_eq(steps_in_file(&s, &step), 1);
    ck_assert_ptr_nonnull(strstr(step.words, "what if 1"));
    ck_assert(!is_kept("what if 1"));
    ck_assert_str_eq(in_file(&s, wanted.found[0].edits[0].key, "order"),
                     strchr(wanted.found[0].edits[0].assignment, '=') + 1);
}
END_TEST

START_TEST(what_is_dropped_can_be_kept_again)
{
    press(&s, "Wa<Enter>");
    const struct sg_what_if_edits before = edits_in_file("what if 1");
    press(&s, "x");
    ck_assert(!is_kept("what if 1"));
    ck_row_has(&s, TITLE_ROW, "dropped, what if 1");
    press(&s, "a");
    const struct sg_what_if_edits again = edits_in_file("what if 1");
    ck_assert(again.found);
    ck_assert_int_eq(again.n, before.n);
    ck_assert_str_eq(again.edits[0].assignment, before.edits[0].assignment);
    ck_shows_not(&s, "dropped, what if 1");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

START_TEST(only_what_is_kept_for_later_is_dropped)
{
    press(&s, "Wxggx");
    ck_row_has(&s, WORDS_ROW, "Nothing to drop");
}
END_TEST

START_TEST(a_what_if_whose_row_is_gone_says_so_and_stays_out)
{
    press(&s, "<Enter>9<Ctrl-T><Enter><Esc>x");
    ck_assert_int_eq(steps_in_file(&s, NULL), 1); /* the job was taken out */
    press(&s, "W");
    ck_row_has(&s, TITLE_ROW, "what if 1 does not go: no job \"2601\"");
    ck_ends(ends_with(NULL, 0));
    press(&s, "<Enter>");
    ck_row_has(&s, WORDS_ROW, "Not kept: no job \"2601\"");
    ck_assert_int_eq(steps_in_file(&s, NULL), 1);
    press(&s, "x");
    ck_assert(!is_kept("what if 1"));
}
END_TEST

START_TEST(what_another_dropped_meanwhile_is_not_kept)
{
    press(&s, "Wa<Enter>");
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    shop_must(sg_store_what_if_drop(sg_desk_store(desk), "what if 1", &error), &error);
    sg_desk_close(desk);
    press(&s, "<Enter>");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    ck_shows_not(&s, "In the plan:");
}
END_TEST

/* ---- of what is typed ---- */

START_TEST(what_is_typed_becomes_a_what_if_and_the_field_is_as_it_was)
{
    const struct sg_edit edit = {.key = "2601/1/A", .assignment = "quantity=9"};
    press(&s, "<Enter>9<Ctrl-T>");
    ck_shows(&s, "keep for later as what if 1");
    press(&s, "<Enter>");
    const struct sg_what_if_edits kept = edits_in_file("what if 1");
    ck_assert_int_eq(kept.n, 1);
    ck_assert_str_eq(kept.edits[0].key, "2601/1/A");
    ck_assert_str_eq(kept.edits[0].assignment, "quantity=9");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
    ck_ends(ends_with(NULL, 0));
    press(&s, "W");
    ck_ends(ends_with(&edit, 1));
}
END_TEST

START_TEST(a_second_value_is_added_to_one_that_is_there)
{
    press(&s, "<Enter>9<Ctrl-T><Enter>j7<Ctrl-T>");
    ck_shows(&s, "keep for later as what if 2");
    ck_shows(&s, "what if 1");
    press(&s, "<Backspace>1<Enter>");
    const struct sg_what_if_edits kept = edits_in_file("what if 1");
    ck_assert_int_eq(kept.n, 2);
    ck_assert_str_eq(kept.edits[1].key, "2601/1/B");
    ck_assert_str_eq(kept.edits[1].assignment, "quantity=7");
}
END_TEST

START_TEST(half_a_value_becomes_no_what_if)
{
    press(&s, "<Enter>=4*<Ctrl-T>");
    ck_row_has(&s, WORDS_ROW, "no what-if of half a value");
    ck_assert_str_eq(typed_now(&s), "=4*");
    ck_assert(!is_kept("what if 1"));
}
END_TEST

START_TEST(without_a_name_the_text_is_still_there)
{
    press(&s, "<Enter>9<Ctrl-T><Esc>");
    ck_assert(!is_kept("what if 1"));
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
    press(&s, ":last<Enter>");
    ck_assert_str_eq(typed_now(&s), "9");
    press(&s, "<Esc>");
}
END_TEST

START_TEST(all_marked_rows_go_into_one_what_if)
{
    press(&s, "<Enter>*9<Ctrl-T><Enter>");
    const struct sg_what_if_edits kept = edits_in_file("what if 1");
    ck_assert_int_eq(kept.n, 2);
    ck_assert_str_eq(kept.edits[0].assignment, "quantity=9");
    ck_assert_str_eq(kept.edits[1].assignment, "quantity=9");
    ck_assert_str_ne(kept.edits[0].key, kept.edits[1].key);
}
END_TEST

START_TEST(it_is_drawn_at_any_size)
{
    static const int sizes[][2] = {{5, 20}, {8, 30}, {16, 60}, {24, 80}, {36, 120}, {50, 200}};
    press(&s, "W");
    for (int i = 0; i < 6; i++) {
        sg_ui_resize(s.ui, sizes[i][0], sizes[i][1]);
        press(&s, "kG");
        ck_assert_int_eq(s.canvas.rows, sizes[i][0]);
        ck_row_has(&s, TITLE_ROW, "WHAT IF");
        ck_ends(ends_with(suggested().found[0].edits, suggested().found[0].n_edits));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("what-if screen");
    TCase *tcase = tcase_create("what-if screen");
    tcase_add_checked_fixture(tcase, open_shift, close_shift);
    tcase_add_test(tcase, each_suggestion_stands_there_with_the_end_that_it_gives);
    tcase_add_test(tcase, the_first_line_is_the_plan_as_it_is);
    tcase_add_test(tcase, looking_at_what_ifs_changes_nothing);
    tcase_add_test(tcase, leaving_the_screen_takes_the_what_if_out);
    tcase_add_test(tcase, enter_puts_a_suggestion_into_the_plan_as_one_step_with_its_words);
    tcase_add_test(tcase, enter_on_the_plan_itself_keeps_nothing);
    tcase_add_test(tcase, a_screen_that_only_reads_keeps_nothing);
    tcase_add_test(tcase, a_name_keeps_a_suggestion_for_later_and_the_plan_stays);
    tcase_add_test(tcase, a_name_that_is_taken_is_refused);
    tcase_add_test(tcase, a_kept_one_goes_into_the_plan_as_one_step_and_out_of_the_list);
    tcase_add_test(tcase, what_is_dropped_can_be_kept_again);
    tcase_add_test(tcase, only_what_is_kept_for_later_is_dropped);
    tcase_add_test(tcase, a_what_if_whose_row_is_gone_says_so_and_stays_out);
    tcase_add_test(tcase, what_another_dropped_meanwhile_is_not_kept);
    tcase_add_test(tcase, what_is_typed_becomes_a_what_if_and_the_field_is_as_it_was);
    tcase_add_test(tcase, a_second_value_is_added_to_one_that_is_there);
    tcase_add_test(tcase, half_a_value_becomes_no_what_if);
    tcase_add_test(tcase, without_a_name_the_text_is_still_there);
    tcase_add_test(tcase, all_marked_rows_go_into_one_what_if);
    tcase_add_test(tcase, it_is_drawn_at_any_size);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
