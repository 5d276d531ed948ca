/* The explanation of a figure: its lines against those of the library, and the way to where each is set. */
#include "edit/run_suite.h"
#include "sandglass/why.h"
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

/* The explanation, of the plan in the file but for an assignment that is kept nowhere. */
static struct sg_why explained(struct sg_desk **desk, struct sg_arena *arena, const char *key,
                               const char *name, const char *assignment)
{
    struct sg_why why;
    struct sg_target target;
    struct sg_change change;
    *desk = shop_file_desk(&s.file, SG_STORE_READ);
    if (assignment)
        shop_must(sg_desk_set(*desk, key, &assignment, 1, false, &change, &target, &error), &error);
    shop_must(sg_key_find(sg_desk_shop(*desk), key, &target, &error), &error);
    shop_must(sg_why(sg_desk_shop(*desk), target, name, arena, &why, &error), &error);
    return why;
}

/* All rows of the screen as one text, without the blanks in front and behind: wrapped lines read on. */
static const char *read_all(void)
{
    static char text[40000];
    size_t used = 0;
    text[0] = '\0';
    sg_ui_resize(s.ui, 200, 100);
    for (int i = 3; i < 196; i++) {
        const char *line = row(&s, i);
        line += strspn(line, "> ");
        used += (size_t)snprintf(text + used, sizeof text - used, "%s ", line);
        ck_assert_uint_lt(used, sizeof text);
        while (used > 1 && text[used - 1] == ' ' && text[used - 2] == ' ')
            text[--used] = '\0';
    }
    return text;
}

static void squeeze(char *text)
{
    char *to = text;
    for (const char *from = text; *from; from++)
        if (*from != ' ' || (to > text && to[-1] != ' '))
            *to++ = *from;
    *to = '\0';
}

static void ck_read(const char *all, const char *wanted)
{
    char text[2000];
    snprintf(text, sizeof text, "%s", wanted);
    squeeze(text);
    ck_assert_msg(strstr(all, text), "not there: \"%s\" in: %s", text, all);
}

/* Every line with its name, its formula and the numbers put in, in order. */
static void ck_all_lines(const char *key, const char *name, const char *assignment)
{
    struct sg_desk *desk;
    struct sg_arena arena = {0};
    const struct sg_why why = explained(&desk, &arena, key, name, assignment);
    const char *all = read_all();
    for (int i = 0; i < why.n_lines; i++) {
        char line[300];
        snprintf(line, sizeof line, "%s = ", why.lines[i].name);
        ck_read(all, line);
        if (why.lines[i].formula) {
            snprintf(line, sizeof line, "= %.200s", why.lines[i].formula);
            ck_read(all, line);
        }
        if (why.lines[i].numbers && strchr(why.lines[i].numbers, ' ')) {
            snprintf(line, sizeof line, "= %.200s", why.lines[i].numbers);
            ck_read(all, line);
        }
    }
    sg_arena_free(&arena);
    sg_desk_close(desk);
}

/* ---- what is explained ---- */

START_TEST(a_result_shows_its_formula_numbers_and_trust)
{
    press(&s, "<Enter>Lw");
    ck_row_has(&s, TITLE_ROW, "WHY  sheets of 2601/1/A");
    press(&s, "<Esc>hw");
    ck_row_has(&s, TITLE_ROW, "WHY  garnet of 2601/1/A");
    ck_row_has(&s, ANSWERS_ROW, "In the plan.");
    ck_all_lines("2601/1/A", "garnet", NULL);
    ck_shows(&s, "estimate");
}
END_TEST

static const struct {
    const char *key, *field, *number;
} cells[] = {
    {"2602/1", "feed", "traverse"},   {"2602/1", "pierce", "pierce"},
    {"2603/1", "load", "load"},       {"2602/1/A", "quantity", NULL},
    {"2601", "name", NULL},           {"2602/1", "thickness", NULL},
    {"machine:main", "hopper", NULL}, {"head:abrasive", "orifice", NULL},
    {"shift:A", "start", NULL},
};
enum { CELLS = sizeof cells / sizeof *cells };

START_TEST(a_cell_is_explained_by_its_number_else_by_its_field)
{
    char title[100];
    const char *name = cells[_i].number ? cells[_i].number : cells[_i].field;
    stand_on(&s, cells[_i].key, cells[_i].field);
    press(&s, "w");
    snprintf(title, sizeof title, "WHY  %s of %s", name, cells[_i].key);
    ck_row_has(&s, TITLE_ROW, title);
    ck_all_lines(cells[_i].key, name, NULL);
}
END_TEST

START_TEST(pictures_and_what_ifs_explain_the_shift)
{
    press(&s, "ghw");
    ck_row_has(&s, TITLE_ROW, "WHY  next refill of shift:A");
    ck_all_lines("shift:A", "next_refill", NULL);
    press(&s, "<Esc><Esc>ggWggw");
    ck_row_has(&s, TITLE_ROW, "WHY  ends of shift:A");
    ck_row_has(&s, ANSWERS_ROW, "In the plan.");
    press(&s, "<Esc>jw");
    ck_row_has(&s, ANSWERS_ROW, "Of the what-if, which is not in the plan.");
}
END_TEST

START_TEST(the_explanation_of_a_what_if_has_its_numbers)
{
    press(&s, "<Enter>9<Ctrl-T><Enter>Ww");
    ck_row_has(&s, ANSWERS_ROW, "Of the what-if");
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    struct sg_change change;
    struct sg_target target = {SG_KIND_SHIFT, 0};
    struct sg_why why;
    struct sg_arena arena = {0};
    const char *nine = "quantity=9";
    shop_must(sg_desk_set(desk, "2601/1/A", &nine, 1, false, &change, NULL, &error), &error);
    shop_must(sg_why(sg_desk_shop(desk), target, "ends", &arena, &why, &error), &error);
    ck_read(read_all(), why.lines[0].numbers);
    sg_arena_free(&arena);
    sg_desk_close(desk);
}
END_TEST

START_TEST(a_cell_that_is_only_counted_says_so)
{
    press(&s, "Hw"); /* the place in the run */
    ck_row_has(&s, TITLE_ROW, "SHIFT");
    ck_assert_str_ne(row(&s, WORDS_ROW), "");
}
END_TEST

/* ---- who set it ---- */

START_TEST(who_set_a_field_and_when_stands_behind_it)
{
    struct sg_step_told step;
    char day[60];
    other_sets(&s, "office", "2602/1/A", "quantity=14");
    ck_assert(sg_ui_look(s.ui));
    steps_in_file(&s, &step);
    time_t at = (time_t)step.at;
    stand_on(&s, "2602/1/A", "quantity");
    press(&s, "w");
    const char *all = read_all();
    ck_read(all, "set by office, ");
    strftime(day, sizeof day, "%Y %H:%M", gmtime(&at));
    ck_read(all, day);
    ck_read(all, step.words);
}
END_TEST

START_TEST(what_was_never_set_here_names_nobody)
{
    stand_on(&s, "2602/1/A", "quantity");
    press(&s, "w");
    ck_shows_not(&s, "set by");
    ck_shows(&s, "quantity = 12");
}
END_TEST

/* ---- going on ---- */

START_TEST(enter_goes_to_where_an_input_is_set)
{
    stand_on(&s, "2602/1/A", "quantity");
    press(&s, "w<Enter>");
    ck_row_has(&s, TITLE_ROW, "JOB 2602");
    press(&s, "7<Enter>");
    ck_assert_str_eq(in_file(&s, "2602/1/A", "quantity"), "7");
}
END_TEST

START_TEST(enter_opens_the_explanation_that_a_line_points_to)
{
    press(&s, "Ww/pierce =<Enter><Enter>");
    ck_row_has(&s, TITLE_ROW, "WHY  pierce of shift:A");
    press(&s, "<Esc>");
    ck_row_has(&s, TITLE_ROW, "WHY  ends of shift:A");
}
END_TEST

START_TEST(a_line_that_is_only_a_sum_leads_nowhere)
{
    press(&s, "Ww<Enter>");
    ck_row_has(&s, TITLE_ROW, "WHY  ends of shift:A");
    ck_row_has(&s, WORDS_ROW, "comes from the lines below it");
}
END_TEST

START_TEST(going_to_a_field_from_a_what_if_leaves_the_what_if)
{
    press(&s, "<Enter>9<Ctrl-T><Enter>Ww/start =<Enter><Enter>");
    ck_assert_ptr_eq(s.ui->tried.plan, s.ui->kept.plan);
    ck_row_has(&s, TITLE_ROW, "ALL FIELDS of shift:A");
}
END_TEST

/* ---- at any size ---- */

static void without_blanks(char *text)
{
    char *to = text;
    for (const char *from = text; *from; from++)
        if (*from != ' ')
            *to++ = *from;
    *to = '\0';
}

/* The lines on which one stands when one walks down, each of them to be seen. */
static const char *walk_down(void)
{
    static char all[40000];
    char place[300], at_cursor[310];
    size_t used = 0;
    press(&s, "gg");
    for (int line = -1; sg_ui_place(s.ui)->line != line; press(&s, "j")) {
        line = sg_ui_place(s.ui)->line;
        sg_ui_say_place(s.ui, place, sizeof place);
        snprintf(at_cursor, sizeof at_cursor, "> %s", place);
        ck_assert_int_ge(row_with(&s, at_cursor), 0);
        used += (size_t)snprintf(all + used, sizeof all - used, "%s", place);
        ck_assert_uint_lt(used, sizeof all);
    }
    without_blanks(all);
    return all;
}

START_TEST(every_word_of_it_is_seen_at_any_size)
{
    static const int sizes[][2] = {{24, 80}, {36, 120}, {12, 40}, {6, 24}, {5, 20}};
    static char wanted[40000];
    stand_on(&s, "2602/1", "pierce");
    press(&s, "w");
    snprintf(wanted, sizeof wanted, "%s", read_all());
    without_blanks(wanted);
    ck_assert_ptr_nonnull(strstr(wanted, "calibratefirst"));
    for (int i = 0; i < 5; i++) {
        sg_ui_resize(s.ui, sizes[i][0], sizes[i][1]);
        ck_assert_str_eq(walk_down(), wanted);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("why screen");
    TCase *tcase = tcase_create("why screen");
    tcase_add_checked_fixture(tcase, open_shift, close_shift);
    tcase_add_test(tcase, a_result_shows_its_formula_numbers_and_trust);
    tcase_add_loop_test(tcase, a_cell_is_explained_by_its_number_else_by_its_field, 0, CELLS);
    tcase_add_test(tcase, pictures_and_what_ifs_explain_the_shift);
    tcase_add_test(tcase, the_explanation_of_a_what_if_has_its_numbers);
    tcase_add_test(tcase, a_cell_that_is_only_counted_says_so);
    tcase_add_test(tcase, who_set_a_field_and_when_stands_behind_it);
    tcase_add_test(tcase, what_was_never_set_here_names_nobody);
    tcase_add_test(tcase, enter_goes_to_where_an_input_is_set);
    tcase_add_test(tcase, enter_opens_the_explanation_that_a_line_points_to);
    tcase_add_test(tcase, a_line_that_is_only_a_sum_leads_nowhere);
    tcase_add_test(tcase, going_to_a_field_from_a_what_if_leaves_the_what_if);
    tcase_add_test(tcase, every_word_of_it_is_seen_at_any_size);
    suite_add_tcase(suite, tcase);
    return run(suite);
}
