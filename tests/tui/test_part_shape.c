/* The outline of a part on the Job screen: typed key by key, drawn beside the figures, told in words. */
#include "tui/facts.h"

#include <unistd.h>

/* 4 x 2 in with a hole of 1 in: 12 in of sides, pi in of hole. */
static const char plate[] = "  0\nSECTION\n  2\nHEADER\n  9\n$INSUNITS\n 70\n1\n  0\nENDSEC\n"
                            "  0\nSECTION\n  2\nENTITIES\n"
                            "  0\nLINE\n 10\n0\n 20\n0\n 11\n4\n 21\n0\n"
                            "  0\nLINE\n 10\n4\n 20\n0\n 11\n4\n 21\n2\n"
                            "  0\nLINE\n 10\n4\n 20\n2\n 11\n0\n 21\n2\n"
                            "  0\nLINE\n 10\n0\n 20\n2\n 11\n0\n 21\n0\n"
                            "  0\nCIRCLE\n 10\n2\n 20\n1\n 40\n0.5\n"
                            "  0\nENDSEC\n  0\nEOF\n";

static struct on_screen s;
static char drawing[800];

static void start(int rows, int columns, bool wide)
{
    memset(&s, 0, sizeof s);
    shop_file_make(&s.file, true);
    snprintf(drawing, sizeof drawing, "%s/1 plate.dxf", s.file.folder);
    FILE *out = fopen(drawing, "w");
    ck_assert(out && fputs(plate, out) >= 0 && fclose(out) == 0);
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path, .wide = wide}, rows, columns);
}

static void stop(void)
{
    ck_assert_int_eq(unlink(drawing), 0);
    on_screen_close(&s);
}

static void type_outline(void)
{
    stand_on(&s, "2601/1/A", "outline");
    press(&s, "e");
    press(&s, drawing);
}

/* ---- what is there ---- */

static bool has_picture(void)
{
    return row_with(&s, "2 pierces  cut 15.142 in") >= 0; /* 12 + pi */
}

/* All figures in plan, typed, change. */
static void has_changes(void)
{
    static const char *const rows[] = {"Shift ends", "Waiting", "Refills", "Hopper at the end", "Cut time"};
    int at = row_with(&s, "in plan      typed");
    ck_assert_int_ge(at, 0);
    ck_row_has(&s, at, "change");
    for (int i = 0; i < 5; i++)
        ck_row_has(&s, at + 1 + i, rows[i]);
    ck_row_has(&s, at + 1, "shift closes 14:30");
}

/* ---- typing ---- */

START_TEST(a_path_is_typed_key_by_key)
{
    start(36, 120, false);
    stand_on(&s, "2601/1/A", "outline");
    press(&s, "e");
    ck_assert_str_eq(typed_now(&s), "");
    for (const char *key = drawing; *key; key++) {
        ck_assert(!has_picture());
        press_stroke(&s, (unsigned char)*key);
        ck_assert_int_eq(s.ui->typing.typed.state, key[1] ? SG_PARSE_UNFINISHED : SG_PARSE_WHOLE);
        if (key[1]) {
            ck_shows(&s, "unfinished: ");
            ck_row_has(&s, ANSWERS_ROW, "?");
        }
    }
    ck_assert(has_picture());
    ck_shows(&s, "outline none -> 1 plate.dxf  measured: cut 15.1416 in, 2 pierces, 4 in x 2 in");
    has_changes();
    press(&s, "<Backspace>");
    ck_assert(!has_picture());
    press(&s, "f<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "outline"), "1 plate.dxf");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "pierces"), "2");
    press(&s, "<Up>");
    ck_assert(has_picture());
    press(&s, "u");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "outline"), "none");
    ck_assert(!has_picture());
    stop();
}
END_TEST

START_TEST(a_kept_one_is_typed_by_its_name)
{
    start(36, 120, false);
    type_outline();
    press(&s, "<Enter>");
    stand_on(&s, "2601/1/B", "outline");
    press(&s, "e1 plate.dxf");
    ck_assert(has_picture());
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "outline"), "1 plate.dxf");
    stand_on(&s, "2601/1/B", "outline");
    press(&s, "e");
    ck_assert_str_eq(typed_now(&s), "1 plate.dxf");
    press(&s, "<Ctrl-U>none<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "outline"), "none");
    stop();
}
END_TEST

START_TEST(a_long_path_has_room)
{
    char name[200], from[800];
    start(36, 120, false);
    memset(name, 'x', sizeof name);
    snprintf(name + 140, sizeof name - 140, ".dxf");
    snprintf(from, sizeof from, "%s", drawing);
    snprintf(drawing, sizeof drawing, "%s/%s", s.file.folder, name);
    ck_assert_int_eq(rename(from, drawing), 0);
    type_outline();
    ck_assert_str_eq(typed_now(&s), drawing);
    ck_assert(has_picture());
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "outline"), name);
    stop();
}
END_TEST

START_TEST(a_figure_does_not_type_over_it)
{
    start(36, 120, false);
    stand_on(&s, "2601/1/A", "outline");
    press(&s, "1");
    ck_assert_str_eq(typed_now(&s), "");
    ck_shows(&s, "e edits this text");
    stop();
}
END_TEST

START_TEST(marked_rows_get_the_same)
{
    start(36, 120, false);
    stand_on(&s, "2601/1/A", "quantity");
    press(&s, "<Space><Space><Up>");
    stand_on(&s, "2601/1/A", "outline");
    press(&s, "e");
    press(&s, drawing);
    ck_assert(has_picture());
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "outline"), "1 plate.dxf");
    ck_assert_str_eq(in_file(&s, "2601/1/B", "outline"), "1 plate.dxf");
    stop();
}
END_TEST

START_TEST(what_another_keeps_leaves_it_under_the_fingers)
{
    start(36, 120, false);
    type_outline();
    other_sets(&s, "night", "2601/1/B", "quantity=7");
    ck_assert(sg_ui_look(s.ui));
    sg_ui_draw(s.ui, &s.canvas);
    ck_assert(has_picture());
    ck_assert_str_eq(typed_now(&s), drawing);
    press(&s, "<Enter>");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "outline"), "1 plate.dxf");
    stop();
}
END_TEST

/* ---- what is drawn ---- */

/* A figure behind a word, from the row on that begins with "one piece"; tenths. */
static long tenths_behind(const char *word)
{
    char words[2000] = "";
    int from = row_with(&s, "one piece ");
    for (int i = from; i < from + 4; i++) {
        const char *line = row(&s, i);
        snprintf(words + strlen(words), sizeof words - strlen(words), "  %s",
                 strlen(line) > 80 ? line + 80 : "");
    }
    const char *at = strstr(words, word);
    ck_assert_msg(at != NULL, "no %s in %s", word, words);
    return lround(10 * strtod(at + strlen(word), NULL));
}

START_TEST(the_parts_of_a_cut_add_up)
{
    static const char *const parts[] = {"straight ", "corners ", "speeding up ", "leads ",
                                        "pierce ",   "rapid ",   "lift "};
    long sum = 0;
    start(36, 120, false);
    stand_on(&s, "2601/1/A", "name");
    type_outline();
    press(&s, "<Enter><Up>");
    struct sg_error error;
    struct sg_target target;
    shop_must(sg_key_find(s.ui->kept.shop, "2601/1/A", &target, &error), &error);
    double each = s.ui->kept.plan->parts[target.index - s.ui->kept.plan->first_part].each;
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        sum += tenths_behind(parts[i]);
    ck_assert_int_eq(sum, tenths_behind("one piece "));
    ck_assert_int_eq(sum, lround(10 * each));
    ck_assert_int_gt(tenths_behind("straight "), 0);
    ck_shows(&s, "smallest radius 0.5 in");
    stop();
}
END_TEST

/* The figures are the same cells with the picture beside them, in ASCII or dots. */
START_TEST(the_picture_pushes_nothing_away)
{
    enum { COLUMNS = 80, FROM = 4, END = 31 };
    char before[36][200];
    start(36, 120, _i == 1);
    stand_on(&s, "2601/1/A", "outline");
    press(&s, "exyz");
    for (int i = FROM; i < END; i++)
        snprintf(before[i], sizeof before[i], "%.*s", COLUMNS, row(&s, i));
    press(&s, "<Ctrl-U>");
    press(&s, drawing);
    press(&s, "<Backspace>");
    for (int i = FROM; i < END; i++)
        if (i != 10) /* the field itself */
            ck_assert_msg(strncmp(row(&s, i), before[i], strlen(before[i])) == 0, "%s", row(&s, i));
    press(&s, "f");
    ck_assert(has_picture());
    has_changes();
    for (int i = 0; i < 36; i++)
        ck_assert_int_le(sg_text_columns(row(&s, i)), 120);
    ck_shows(&s, _i == 1 ? "\xE2\xA0\x89\xE2\xA0\x89\xE2\xA0\x89" : "+---"); /* three of U+2809 */
    stop();
}
END_TEST

START_TEST(a_wide_one_shows_it_larger)
{
    start(36, 120, false);
    type_outline();
    press(&s, "<Enter><Up>");
    ck_shows(&s, "Shift ends");
    press(&s, "O");
    ck_shows(&s, "cut 15.142 in");
    ck_assert_int_lt(row_with(&s, "Shift ends"), 0);
    press(&s, "O");
    ck_shows(&s, "Shift ends");
    stop();
}
END_TEST

START_TEST(a_narrow_terminal_shows_it_instead_of_the_figures)
{
    start(24, 80, false);
    press(&s, "<Enter>O");
    ck_shows(&s, "No outline here");
    type_outline();
    ck_assert(!has_picture());
    has_changes();
    press(&s, "<Enter>");
    stand_on(&s, "2601/1/A", "outline");
    press(&s, "<Esc>");
    stand_on(&s, "2601/1/A", "outline");
    ck_shows(&s, "O shows its outline");
    press(&s, "O");
    ck_shows(&s, "cut 15.142 in");
    ck_shows(&s, "+-----");
    ck_row_has(&s, ANSWERS_ROW, "ENDS");
    press(&s, "e");
    has_changes();
    ck_assert(row_with(&s, "cut 15.142 in") < 0);
    press(&s, "<Esc>");
    ck_shows(&s, "cut 15.142 in");
    press(&s, "O");
    ck_shows(&s, "Shift ends");
    ck_assert(row_with(&s, "cut 15.142 in") < 0);
    stop();
}
END_TEST

START_TEST(sheets_show_pieces_by_their_outline_when_near)
{
    start(24, 80, false);
    type_outline();
    press(&s, "<Enter>");
    press(&s, "gp");
    ck_shows(&s, "SHEET");
    ck_assert_int_lt(row_with(&s, "+---"), 0);
    bool corner = false, hole = false;
    for (int i = 0; i < 5; i++) {
        press(&s, "z");
        corner = corner || (row_with(&s, "+-----") >= 0 && row_with(&s, "|1AA") >= 0);
        hole = hole || (row_with(&s, "A|..") >= 0 && row_with(&s, "..|A") >= 0); /* skeleton in it */
    }
    ck_assert(corner && hole);
    stop();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("part shape");
    TCase *tcase = tcase_create("part shape");
    tcase_add_test(tcase, a_path_is_typed_key_by_key);
    tcase_add_test(tcase, a_kept_one_is_typed_by_its_name);
    tcase_add_test(tcase, a_long_path_has_room);
    tcase_add_test(tcase, a_figure_does_not_type_over_it);
    tcase_add_test(tcase, marked_rows_get_the_same);
    tcase_add_test(tcase, what_another_keeps_leaves_it_under_the_fingers);
    tcase_add_test(tcase, the_parts_of_a_cut_add_up);
    tcase_add_loop_test(tcase, the_picture_pushes_nothing_away, 0, 2);
    tcase_add_test(tcase, a_wide_one_shows_it_larger);
    tcase_add_test(tcase, a_narrow_terminal_shows_it_instead_of_the_figures);
    tcase_add_test(tcase, sheets_show_pieces_by_their_outline_when_near);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
