/* Parts lists on the screen: looked at, sent elsewhere column by column, brought in as one step. */
#include "tui/imports.h"

#include "exchange/exchange.h"

static int32_t parts_in_file(void)
{
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_READ);
    int32_t n = sg_desk_shop(desk)->n_parts;
    sg_desk_close(desk);
    return n;
}

static const char mixed[] = "part;quantity;material;thickness_mm;cut_length_mm\n"
                            "N1;4;steel, mild;6;1000,5\n"
                            "N2;twelve;steel, mild;6;1000\n"
                            "A;3;aluminium 6061;12.7;5\n"
                            "N3;3;steel, mild;-6;5\n";

/* ---- what is shown ---- */

START_TEST(the_screen_tells_how_the_file_is_read)
{
    import(good);
    ck_row_has(&s, TITLE_ROW, "into 2601");
    ck_row_has(&s, ANSWERS_ROW, "comma, no decimals, utf-8, 2 rows, header yes");
    ck_row_has(&s, row_with(&s, "thickness_mm"), "0.2362 in (unit: header)"); /* 6 mm in a shop of inches */
    ck_row_has(&s, row_with(&s, "material "), "steel, mild  steel, mild");
    ck_shows(&s, "2 rows good, 0 wrong, 0 to look at");
    ck_shows(&s, "New parts 2, replaced 0, new stocks 2");
    ck_shows(&s, "Nothing is in the plan until i brings in 2");
}
END_TEST

START_TEST(each_wrong_row_is_told_with_line_column_value_and_what_would_be_right)
{
    import(mixed);
    ck_row_has(&s, ANSWERS_ROW, "semicolon, decimal point and comma, utf-8, 4 rows");
    ck_shows(&s, "1 row good, 3 wrong, 1 to look at");
    sg_ui_resize(s.ui, 40, 120);
    int quantity = row_with(&s, "\"twelve\""), exists = row_with(&s, "part \"A\" is in the plan already"),
        thickness = row_with(&s, "thickness \"-6\""), look = row_with(&s, "read as 1000.5");
    ck_row_has(&s, quantity, "3      left out quantity ");
    ck_shows(&s, "type a whole");
    ck_shows(&s, "number, 0 to 1000000");
    ck_row_has(&s, exists, "4      left out");
    ck_shows_not(&s, "--replace");
    ck_shows(&s, "Parts that exist are refused; r changes that.");
    ck_row_has(&s, thickness, "5      left out thickness_mm");
    ck_row_has(&s, look, "2      look     cut_length_mm");
    ck_assert_int_lt(thickness, look); /* what has to be mended comes first */
    press(&s, "/twelve<Enter>");
    ck_shows(&s, "line 3: N2 | twelve | steel, mild | 6 | 1000");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

START_TEST(a_first_row_of_data_is_told)
{
    import("A1,Flange,16,12.7\nB1,Ring,2,6\n");
    ck_row_has(&s, ANSWERS_ROW, "header looks like a row");
    ck_shows(&s, "a parts list begins with a row of column names");
    press(&s, "i");
    ck_row_has(&s, WORDS_ROW, "no row can be read yet");
    press(&s, "E");
    ck_row_has(&s, WORDS_ROW, "No row can be read yet");
}
END_TEST

START_TEST(of_many_findings_the_wrong_come_first_and_the_rest_is_counted)
{
    struct sg_text text = {0};
    sg_text_put(&text, "part;quantity;cut_length\n");
    for (int i = 0; i < 1500; i++)
        sg_text_format(&text, "p%d;%s;1,5\n", i, i == 1400 ? "x" : "1"); /* 1500 commas, one wrong */
    press(&s, "<Enter>jj");                                              /* a stock's line */
    import(text.data);
    sg_text_free(&text);
    ck_shows(&s, "1499 rows good, 1 wrong, 1499 to look at");
    ck_assert_int_ge(row_with(&s, "1402   left out"), 0);
    press(&s, "G");
    ck_shows(&s, "and 501 more");
}
END_TEST

/* ---- into the plan ---- */

START_TEST(i_brings_the_good_rows_in_as_one_step_and_u_takes_them_out)
{
    int32_t before = parts_in_file();
    import(mixed);
    press(&s, "i");
    ck_shows(&s, "JOB 2601");
    ck_row_has(&s, WORDS_ROW, "in 2601: new parts 1, replaced 0, new stocks 1; rows left out 3");
    ck_assert_int_eq(parts_in_file(), before + 1);
    ck_assert_str_eq(in_file(&s, "2601/2/N1", "quantity"), "4");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "20");
    ck_assert_int_eq(steps_in_file(&s, NULL), 1);
    press(&s, "u");
    ck_assert_int_eq(parts_in_file(), before);
    ck_assert(!has_row("2601/2"));
}
END_TEST

START_TEST(r_replaces_parts_that_exist_and_again_leaves_them)
{
    import(mixed);
    press(&s, "r");
    ck_shows(&s, "2 rows good, 2 wrong");
    ck_shows(&s, "New parts 1, replaced 1");
    press(&s, "r");
    ck_shows(&s, "1 row good, 3 wrong");
    press(&s, "r");
    press(&s, "i");
    ck_assert_str_eq(in_file(&s, "2601/1/A", "quantity"), "3");
    ck_assert_int_eq(steps_in_file(&s, NULL), 1);
}
END_TEST

START_TEST(on_a_stock_all_rows_go_there)
{
    press(&s, "<Enter>jj");
    import("part,quantity\nN1,4\nN2,5\n");
    ck_row_has(&s, TITLE_ROW, "into 2601/1");
    ck_shows(&s, "2 rows good, 0 wrong");
    press(&s, "i");
    ck_shows(&s, "JOB 2601");
    ck_assert_str_eq(in_file(&s, "2601/1/N2", "quantity"), "5");
}
END_TEST

START_TEST(rows_without_a_stock_are_told_before)
{
    import("part,quantity\nN1,4\n");
    ck_shows(&s, "0 rows good, 1 wrong, 2 to look at");
    ck_shows(&s, "look: no material column");
    ck_shows(&s, "look: no thickness column");
    ck_shows(&s, "no material: fill in the column");
    press(&s, "i");
    ck_row_has(&s, WORDS_ROW, "no row is good");
    ck_shows(&s, "IMPORT");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

static void other_adds(const char *part, const char *quantity)
{
    struct sg_error error;
    struct sg_target target;
    struct sg_change change;
    struct sg_desk *desk = shop_file_desk(&s.file, SG_STORE_WRITE);
    shop_must(sg_desk_add(desk, SG_KIND_PART, "2601/1", part, &quantity, 1, 0, &change, &target, &error),
              &error);
    sg_desk_close(desk);
}

/* i brings in what was shown, or says that it is something else now. */
START_TEST(when_somebody_adds_the_part_meanwhile_it_is_shown_first)
{
    bool replace = _i == 1;
    press(&s, "<Enter>jj");
    import("part,quantity\nN1,4\nN2,5\n");
    press(&s, replace ? "r" : "");
    other_adds("N1", "quantity=7");
    press(&s, "i");
    ck_row_has(&s, WORDS_ROW, "The plan has changed since the list was read: look again, i brings in");
    ck_shows(&s, replace ? "New parts 1, replaced 1" : "part \"N1\" is in the plan already");
    ck_assert(!has_row("2601/1/N2"));
    press(&s, "i");
    ck_assert(has_row("2601/1/N2"));
    ck_assert_str_eq(in_file(&s, "2601/1/N1", "quantity"), replace ? "4" : "7");
}
END_TEST

START_TEST(when_the_job_goes_the_screen_closes)
{
    struct sg_error error;
    import(good);
    struct sg_desk *other = shop_file_desk(&s.file, SG_STORE_WRITE);
    shop_must(sg_desk_remove(other, "2601", &error), &error);
    sg_desk_close(other);
    press(&s, "i");
    ck_shows(&s, "SHIFT A");
    ck_row_has(&s, WORDS_ROW, "gone");
    ck_assert(!has_row("2601"));
}
END_TEST

START_TEST(esc_leaves_the_plan_alone)
{
    import(good);
    press(&s, "<Esc>");
    ck_shows(&s, "SHIFT A");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
}
END_TEST

/* ---- columns ---- */

static const char north[] = "Ref,Text,Stk req,Gauge,\"Perimeter, in\",Werkstoff,Rev\n"
                            "00417-3,Bracket left,12,\"1/2\"\"\",49.606,304,C\n";

START_TEST(columns_are_sent_where_they_belong_one_by_one)
{
    import(north);
    ck_shows(&s, "No column goes to part yet");
    press(&s, "<Enter>part<Enter>");
    ck_row_has(&s, row_with(&s, "Ref "), "part            00417-3");
    press(&s, "jj<Enter>quan<Enter>j<Enter>thickness<Enter>j<Enter>cut_length<Enter>j<Enter>");
    press(&s, "<Down><Down><Enter>"); /* chosen by arrows: part, material */
    ck_row_has(&s, row_with(&s, "Gauge"), "0.5 in (unit: cell)");
    ck_row_has(&s, row_with(&s, "Perimeter"), "49.606 in (unit: header)");
    ck_row_has(&s, row_with(&s, "Werkstoff"), "stainless 304");
    press(&s, "kk<Enter>thickness_mm<Enter>k<Enter>(leave<Enter>");
    ck_row_has(&s, row_with(&s, "Stk req"), "(leave out)");
    ck_row_has(&s, row_with(&s, "Gauge"), "0.5 in (unit: cell)");
    press(&s, "i");
    ck_assert_str_eq(in_file(&s, "2601/2/00417-3", "cut_length"), "49.606 in");
    ck_assert_str_eq(in_file(&s, "2601/2/00417-3", "quantity"), "1");
    ck_assert_str_eq(in_file(&s, "2601/2", "thickness"), "0.5 in");
}
END_TEST

START_TEST(a_column_that_went_there_before_makes_room)
{
    import(good);
    press(&s, "j<Enter>part<Enter>");
    ck_row_has(&s, WORDS_ROW, "\"quantity\" goes to part now; \"part\" is left out for it.");
    ck_row_has(&s, row_with(&s, "> quantity"), "part            4");
    ck_shows(&s, "2 rows good");
}
END_TEST

START_TEST(two_columns_of_one_name_are_told_and_mended)
{
    import("part,quantity,quantity,material,thickness\nN1,4,5,304,1\n");
    ck_shows(&s, "Columns 2 \"quantity\" and 3 \"quantity\" both go to quantity");
    press(&s, "j<Enter>(leave<Enter>");
    ck_shows(&s, "1 row good");
    press(&s, "i");
    ck_assert_str_eq(in_file(&s, "2601/2/N1", "quantity"), "5");
}
END_TEST

START_TEST(what_is_no_column_of_ours_can_be_mended)
{
    import(good);
    press(&s, "<Enter>perimeter<Enter>");
    ck_row_has(&s, WORDS_ROW, "\"perimeter\" is no column");
    ck_shows(&s, "goes to: perimeter");
    press(&s, "<Esc>");
    ck_row_has(&s, row_with(&s, "> part"), "part            N1");
}
END_TEST

START_TEST(enter_on_a_finding_says_where_it_works)
{
    import(mixed);
    press(&s, "G<Enter>");
    ck_row_has(&s, WORDS_ROW, "Stand on a column of the file");
}
END_TEST

/* ---- the wrong rows ---- */

START_TEST(the_wrong_rows_go_to_a_new_file_with_their_reasons)
{
    char whole[700];
    import(mixed);
    press(&s, "E");
    ck_shows(&s, "wrong rows to file: north-wrong.csv");
    press(&s, "<Ctrl-U>");
    paste(&s, bad_path);
    press(&s, "<Enter>");
    snprintf(whole, sizeof whole, "wrote 3 wrong rows, each with its reason, to");
    ck_row_has(&s, WORDS_ROW, whole);
    struct file_bytes bytes = file_bytes_of(bad_path);
    bytes.at[bytes.size] = '\0';
    ck_assert_ptr_eq(strstr(bytes.at, "part;quantity;material;thickness_mm;cut_length_mm;reason\r\n"),
                     bytes.at);
    ck_assert(strstr(bytes.at, "\r\nN2;twelve;") && strstr(bytes.at, "\r\nA;3;") &&
              strstr(bytes.at, "\r\nN3;3;"));
    ck_assert(!strstr(bytes.at, "\r\nN1;"));
    sg_ui_resize(s.ui, 24, 400); /* room for any path */
    press(&s, "E<Ctrl-U>");
    paste(&s, bad_path);
    press(&s, "<Enter>");
    ck_shows(&s, "exists already and is not replaced");
    ck_shows(&s, "wrong rows to file:");
    ck_assert(file_bytes_are(bad_path, &bytes));
    free(bytes.at);
}
END_TEST

START_TEST(without_wrong_rows_no_file_is_asked_for)
{
    import(good);
    press(&s, "E");
    ck_row_has(&s, WORDS_ROW, "No row is wrong");
}
END_TEST

/* ---- which file, which job ---- */

START_TEST(a_name_that_opens_nothing_stays_to_be_mended)
{
    static const struct {
        const char *name, *words;
    } names[] = {
        {"/nowhere/at/all.csv", "cannot open /nowhere/at/all.csv"},
        {"-", "- is standard input and output"},
        {"", "no file is named"},
        {".", "there is no drawing (.dxf) or part program"},
    };
    press(&s, "i");
    press(&s, names[_i].name);
    press(&s, "<Enter>");
    ck_row_has(&s, WORDS_ROW, names[_i].words);
    press(&s, "<Esc>");
    ck_shows(&s, "SHIFT A");
}
END_TEST

START_TEST(a_file_that_is_no_table_is_refused)
{
    put_file(list_path, "part,quantity\n\"open,1\n");
    press(&s, "i");
    paste(&s, list_path);
    press(&s, "<Enter>");
    ck_shows(&s, "north.csv:2");
    ck_shows(&s, "parts list, a CSV file:");
    press(&s, "<Esc>");
    ck_shows(&s, "SHIFT A");
}
END_TEST

START_TEST(the_home_folder_is_known)
{
    put_file(list_path, good);
    ck_assert_int_eq(setenv("HOME", s.file.folder, 1), 0);
    press(&s, "i ~/north.csv <Enter>");
    ck_shows(&s, "IMPORT  north.csv");
}
END_TEST

/* ---- pastes ---- */

START_TEST(a_pasted_table_is_checked_like_a_file)
{
    paste(&s, "part\tquantity\tmaterial\tthickness\nN1\t4\t304\t0.25\nN2\tx\t304\t0.25\n");
    ck_row_has(&s, TITLE_ROW, "IMPORT  pasted table  into 2601");
    ck_row_has(&s, ANSWERS_ROW, "tab, decimal point, utf-8, 2 rows");
    ck_shows(&s, "1 row good, 1 wrong");
    ck_assert_int_eq(steps_in_file(&s, NULL), 0);
    press(&s, "i");
    ck_assert_str_eq(in_file(&s, "2601/2/N1", "quantity"), "4");
}
END_TEST

static void open_without_jobs(void)
{
    s = on_screen_open(false);
}

static void close_without_jobs(void)
{
    on_screen_close(&s);
}

START_TEST(without_a_job_there_is_nothing_to_bring_it_into)
{
    press(&s, "i");
    ck_row_has(&s, WORDS_ROW, "No jobs yet");
    paste(&s, "part,quantity\nN1,4\n");
    ck_row_has(&s, WORDS_ROW, "No jobs yet");
    ck_shows(&s, "SHIFT A");
}
END_TEST

START_TEST(with_no_job_shown_it_is_asked_which)
{
    press(&s, "&nothing has this<Enter>");
    paste(&s, "part,quantity,material,thickness\nN1,4,304,0.25\n");
    ck_shows(&s, "into which job:");
    press(&s, "2604<Enter>");
    ck_row_has(&s, TITLE_ROW, "into 2604");
    press(&s, "<Esc>");
    press(&s, "i");
    ck_shows(&s, "into which job:");
    press(&s, "no such<Enter>");
    ck_row_has(&s, WORDS_ROW, "there is no job \"no such\"");
    put_file(list_path, good);
    press(&s, "i2603<Enter>");
    paste(&s, list_path);
    press(&s, "<Enter>");
    ck_row_has(&s, TITLE_ROW, "IMPORT  north.csv  into 2603");
}
END_TEST

START_TEST(to_read_only_nothing_comes_in)
{
    on_screen_stop(&s);
    memset(&s.canvas, 0, sizeof s.canvas);
    on_screen_start(&s, &(struct sg_ui_how){.path = s.file.path, .read_only = true}, 24, 80);
    press(&s, "i");
    ck_row_has(&s, WORDS_ROW, "read only");
    paste(&s, "part,quantity\nN1,4\n");
    ck_row_has(&s, WORDS_ROW, "read only");
    ck_shows(&s, "SHIFT A");
}
END_TEST

START_TEST(it_stands_on_terminals_of_any_size)
{
    import(mixed);
    for (int rows = 1; rows < 30; rows += 4)
        for (int columns = 1; columns < 140; columns += 9) {
            sg_ui_resize(s.ui, rows, columns);
            press(&s, "jk");
        }
    sg_ui_resize(s.ui, 24, 80);
    press(&s, "gg");
    ck_shows(&s, "> part");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("import screen");
    TCase *c = tcase_create("lists"), *empty = tcase_create("without jobs");
    tcase_add_checked_fixture(c, open_shop, close_shop);
    tcase_add_test(c, the_screen_tells_how_the_file_is_read);
    tcase_add_test(c, each_wrong_row_is_told_with_line_column_value_and_what_would_be_right);
    tcase_add_test(c, a_first_row_of_data_is_told);
    tcase_add_test(c, of_many_findings_the_wrong_come_first_and_the_rest_is_counted);
    tcase_add_test(c, i_brings_the_good_rows_in_as_one_step_and_u_takes_them_out);
    tcase_add_test(c, r_replaces_parts_that_exist_and_again_leaves_them);
    tcase_add_test(c, on_a_stock_all_rows_go_there);
    tcase_add_test(c, rows_without_a_stock_are_told_before);
    tcase_add_loop_test(c, when_somebody_adds_the_part_meanwhile_it_is_shown_first, 0, 2);
    tcase_add_test(c, when_the_job_goes_the_screen_closes);
    tcase_add_test(c, esc_leaves_the_plan_alone);
    tcase_add_test(c, columns_are_sent_where_they_belong_one_by_one);
    tcase_add_test(c, a_column_that_went_there_before_makes_room);
    tcase_add_test(c, two_columns_of_one_name_are_told_and_mended);
    tcase_add_test(c, what_is_no_column_of_ours_can_be_mended);
    tcase_add_test(c, enter_on_a_finding_says_where_it_works);
    tcase_add_test(c, the_wrong_rows_go_to_a_new_file_with_their_reasons);
    tcase_add_test(c, without_wrong_rows_no_file_is_asked_for);
    tcase_add_loop_test(c, a_name_that_opens_nothing_stays_to_be_mended, 0, 4);
    tcase_add_test(c, a_file_that_is_no_table_is_refused);
    tcase_add_test(c, the_home_folder_is_known);
    tcase_add_test(c, a_pasted_table_is_checked_like_a_file);
    tcase_add_test(c, with_no_job_shown_it_is_asked_which);
    tcase_add_test(c, to_read_only_nothing_comes_in);
    tcase_add_test(c, it_stands_on_terminals_of_any_size);
    suite_add_tcase(suite, c);
    tcase_add_checked_fixture(empty, open_without_jobs, close_without_jobs);
    tcase_add_test(empty, without_a_job_there_is_nothing_to_bring_it_into);
    suite_add_tcase(suite, empty);
    return run(suite);
}
