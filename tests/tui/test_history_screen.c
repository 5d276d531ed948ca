/* The history on its screen against the one in the file, and taking back from any screen. */
#include "edit/run_suite.h"
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

struct steps {
    int n;
    struct sg_step_told at[40];
};

static void note(void *context, const struct sg_step_told *step)
{
    struct steps *steps = context;
    ck_assert_int_lt(steps->n, 40);
    steps->at[steps->n++] = *step;
}

/* Newest first. */
static struct steps in_history(void)
{
    static struct steps steps;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    steps.n = 0;
    shop_must(sg_store_history(sg_desk_store(desk), 0, note, &steps, &error), &error);
    sg_desk_close(desk);
    return steps;
}

/* Quantities of the first part, one after the other, by the one who sits at the screen. */
static void set_quantities(int first, int last)
{
    char keys[40];
    stand_on(&s, "2601/1/A", "quantity");
    for (int i = first; i <= last; i++) {
        snprintf(keys, sizeof keys, "%d<Enter>k", i);
        press(&s, keys);
        stand_on(&s, "2601/1/A", "quantity");
        press(&s, "<Esc>"); /* back to the screen below */
    }
}

START_TEST(every_step_stands_there_newest_first)
{
    set_quantities(30, 33);
    other_sets(&s, "office", "2602", "note=call first");
    ck_assert(sg_ui_look(s.ui));
    sg_ui_resize(s.ui, 24, 200); /* so that no words are cut */
    press(&s, "U");
    const struct steps steps = in_history();
    ck_assert_int_eq(steps.n, 5);
    for (int i = 0; i < steps.n; i++) {
        char clock[20];
        time_t at = (time_t)steps.at[i].at;
        strftime(clock, sizeof clock, "%H:%M", gmtime(&at));
        int found = row_with(&s, steps.at[i].words);
        ck_assert_int_eq(found, row_with(&s, "Today") + 1 + i);
        ck_row_has(&s, found, clock);
        ck_row_has(&s, found, steps.at[i].who);
        ck_row_has_not(&s, found, "taken back");
    }
}
END_TEST

START_TEST(what_is_taken_back_says_so)
{
    set_quantities(30, 31);
    press(&s, "uU");
    const struct steps steps = in_history();
    ck_assert_int_eq(steps.n, 3); /* the undo is one itself */
    ck_assert(steps.at[1].undone);
    ck_row_has(&s, row_with(&s, "20 -> 30"), steps.at[2].words);
    ck_row_has_not(&s, row_with(&s, "20 -> 30"), "taken back");
    char line[SG_WORDS_SIZE + 20];
    snprintf(line, sizeof line, "taken back: %s", steps.at[1].words);
    ck_shows(&s, line);
}
END_TEST

START_TEST(enter_takes_back_all_that_is_newer)
{
    set_quantities(30, 34);
    press(&s, "U/30 -> 31<Enter><Enter>");
    ck_row_has(&s, WORDS_ROW, "3 changes of yours are newer");
    press(&s, "n<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "34");
    press(&s, "<Enter>y<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "31");
    ck_row_has(&s, WORDS_ROW, "3 changes taken back");
    const struct steps steps = in_history();
    ck_assert_int_eq(steps.n, 5 + 3);
    press(&s, "<Ctrl-R><Ctrl-R><Ctrl-R>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "34");
}
END_TEST

START_TEST(changes_of_others_stay)
{
    set_quantities(30, 31);
    other_sets(&s, "office", "2602", "note=call first");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "UG<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "30");
    ck_assert_str_eq(in_file(&s, "2602", "note"), "call first");
}
END_TEST

START_TEST(it_stops_at_what_another_is_in_the_way_of)
{
    set_quantities(30, 32);
    other_sets(&s, "office", "2601/1/A", "quantity=50");
    ck_assert(sg_ui_look(s.ui));
    press(&s, "UG<Enter>y<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "50");
    ck_row_has(&s, WORDS_ROW, "0 of 2 changes taken back, then:");
    ck_assert(row_with(&s, "office") >= 0);
    ck_assert_int_eq(in_history().n, 4);
}
END_TEST

START_TEST(where_nothing_is_newer_nothing_is_taken_back)
{
    set_quantities(30, 30);
    press(&s, "U<Enter>");
    ck_row_has(&s, WORDS_ROW, "No change of yours is newer");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "30");
}
END_TEST

START_TEST(a_history_of_none_says_so)
{
    press(&s, "U<Enter>");
    ck_shows(&s, "Nothing was changed yet.");
    press(&s, "<Esc>u");
    ck_row_has(&s, WORDS_ROW, "nothing of yours to undo");
}
END_TEST

START_TEST(undo_says_what_and_stands_on_it)
{
    struct sg_step_told step;
    other_sets(&s, "programmer", "2603/1/B", "quantity=44");
    ck_assert(sg_ui_look(s.ui));
    steps_in_file(&s, &step);
    stand_on(&s, "2603/1/A", "name");
    char words[SG_WORDS_SIZE + 20], place[300];
    press(&s, "u");
    snprintf(words, sizeof words, "taken back: %s", step.words);
    ck_row_has(&s, WORDS_ROW, words);
    sg_ui_say_place(s.ui, place, sizeof place);
    ck_assert_str_eq(place, "2603/1/B: quantity 6");
    press(&s, "gg<Ctrl-R>");
    snprintf(words, sizeof words, "done again: %s", step.words);
    ck_row_has(&s, WORDS_ROW, words);
    sg_ui_say_place(s.ui, place, sizeof place);
    ck_assert_str_eq(place, "2603/1/B: quantity 44");
}
END_TEST

START_TEST(one_stays_on_a_step_when_a_newer_one_comes)
{
    set_quantities(30, 32);
    press(&s, "Uj");
    char before[300], after[300];
    sg_ui_say_place(s.ui, before, sizeof before);
    other_sets(&s, "office", "2602", "note=call first");
    ck_assert(sg_ui_look(s.ui));
    sg_ui_say_place(s.ui, after, sizeof after);
    ck_assert_str_eq(after, before);
}
END_TEST

/* ---- a long one ---- */

static void keep_many(int n)
{
    struct sg_store *store = NULL;
    struct sg_arena arena = {0};
    struct sg_shop shop;
    char words[40];
    shop_must(sg_store_open(s.file.path, SG_STORE_WRITE, &store, &error), &error);
    shop_must(sg_store_load(store, &arena, &shop, &error), &error);
    const struct sg_field *field = sg_field_find(SG_KIND_PART, "quantity");
    struct sg_part part = shop.parts[0];
    for (int i = 1; i <= n; i++) {
        const struct sg_step_note note = {.who = "office", .at = 1800000000.0 + i, .words = words};
        snprintf(words, sizeof words, "number %d", i);
        part.quantity = i;
        shop_must(sg_store_begin(store, &error), &error);
        shop_must(sg_store_update(store, SG_KIND_PART, part.row, &shop, &part, &field, 1, &error), &error);
        shop_must(sg_store_keep(store, &note, &error), &error);
    }
    sg_arena_free(&arena);
    sg_store_close(store);
}

START_TEST(of_a_long_history_only_what_is_scrolled_to_is_read)
{
    enum { LONG = 1000 };
    keep_many(LONG);
    ck_assert(sg_ui_look(s.ui));
    press(&s, "U");
    ck_shows(&s, "number 1000");
    ck_assert_int_lt(s.ui->n_lines, LONG / 2);
    for (int i = 0; i < 30; i++)
        press(&s, "]");
    ck_assert_int_gt(s.ui->n_lines, 30 * 10);
    ck_assert_int_lt(s.ui->n_lines, LONG);
    press(&s, "G");
    ck_shows(&s, "number 1");
    char place[300];
    sg_ui_say_place(s.ui, place, sizeof place);
    ck_assert_ptr_nonnull(strstr(place, "number 1"));
    ck_assert_str_eq(strstr(place, "number 1"), "number 1");
    press(&s, "gg");
    ck_shows(&s, "number 1000");
}
END_TEST

START_TEST(it_is_drawn_at_any_size)
{
    static const int sizes[][2] = {{5, 20}, {8, 30}, {16, 60}, {36, 120}, {50, 200}};
    set_quantities(30, 33);
    press(&s, "U");
    for (int i = 0; i < 5; i++) {
        sg_ui_resize(s.ui, sizes[i][0], sizes[i][1]);
        press(&s, "ggj");
        ck_row_has(&s, TITLE_ROW, "HISTORY");
        ck_assert_int_gt(row_with(&s, ">"), 0);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("history screen");
    TCase *tcase = tcase_create("history screen");
    tcase_add_checked_fixture(tcase, open_shift, close_shift);
    tcase_add_test(tcase, every_step_stands_there_newest_first);
    tcase_add_test(tcase, what_is_taken_back_says_so);
    tcase_add_test(tcase, enter_takes_back_all_that_is_newer);
    tcase_add_test(tcase, changes_of_others_stay);
    tcase_add_test(tcase, it_stops_at_what_another_is_in_the_way_of);
    tcase_add_test(tcase, where_nothing_is_newer_nothing_is_taken_back);
    tcase_add_test(tcase, a_history_of_none_says_so);
    tcase_add_test(tcase, undo_says_what_and_stands_on_it);
    tcase_add_test(tcase, one_stays_on_a_step_when_a_newer_one_comes);
    tcase_add_test(tcase, of_a_long_history_only_what_is_scrolled_to_is_read);
    tcase_add_test(tcase, it_is_drawn_at_any_size);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
