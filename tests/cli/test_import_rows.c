/* Rows of parts lists in: every bad row is told at its place, all come in or none, each into its stock. */
#include "cli/csv.h"
#include "cli/imports.h"

START_TEST(a_good_list_comes_in_whole)
{
    make_job();
    write_text("good.csv", "part,name,quantity,cut_length_mm,pierces,length_in,width_in,edge,note\r\n"
                           "A,\"bracket, long\",20,965.2,5,8,6,,\r\n"
                           "B,\"two\r\nlines\",36,406.4,3,4,3,fine,\"say \"\"when\"\"\"\r\n"
                           "C,,,12,,,,2.5,\r\n");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "good.csv", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "3 parts added, 0 replaced, 0 stocks made, 0 rows left out\n");
    ck_says(ran.out, "ends ");
    ck_assert_str_eq(ran.err, "");
    done(&ran);
    ran = plan_json();
    ck_part(ran.out, 0, 0, "A", 20, 965.2);
    ck_part(ran.out, 0, 1, "B", 36, 406.4);
    ck_part(ran.out, 0, 2, "C", 1, 12);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[1].name"), "two\nlines");
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].mass_kg"), 20 * 0.2032 * 0.1524 * 0.006 * 7850,
            1e-12);
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[2].edge_cut"), 2.5, 1e-12);
    done(&ran);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

static const char bad_rows[] = "part,quantity,cut_length_mm,length,width,name\r\n"
                               "A,2,500,100,50,good\r\n"
                               "B,x,500,100,50,letters\r\n"
                               "C,2,500,100,50,\"two\nlines\"\r\n"
                               "D,-1,1e309,0,50,three things\r\n"
                               ",1,500,100,50,no key\r\n"
                               "A,1,500,100,50,twice\r\n"
                               "E,1,\"1,200\",100,50,grouping\r\n"
                               "F,1,nan,100,50,no number\r\n"
                               "G,3,500,100,50,good\r\n";

START_TEST(every_bad_row_is_told_at_its_line_and_column)
{
    make_job();
    write_text("bad.csv", bad_rows);
    struct bytes before = bytes_of("shop.db");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "bad.csv", NULL);
    ck_code(ran, 3);
    ck_assert_str_eq(ran.out, "");
    static const char *const said[] = {"bad.csv:3:2: quantity \"x\": ",
                                       "bad.csv:6:2: quantity \"-1\": ",
                                       "bad.csv:6:3: cut_length \"1e309\": ",
                                       "bad.csv:6:4: length \"0\": ",
                                       "bad.csv:7:1: ",
                                       "bad.csv:8:1: ",
                                       "bad.csv:9:3: cut_length \"1,200\": ",
                                       "bad.csv:10:3: cut_length \"nan\": ",
                                       "6 of 9 rows",
                                       "nothing is imported"};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        ck_says(ran.err, said[i]);
    static const char *const good[] = {"bad.csv:2:", "bad.csv:4:", "bad.csv:5:", "bad.csv:11:"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++)
        ck_says_not(ran.err, good[i]);
    done(&ran);
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 2);
}
END_TEST

START_TEST(good_only_takes_the_others_and_writes_the_bad_ones_down)
{
    struct csv csv;
    make_job();
    write_text("list.csv", bad_rows);
    struct bytes before = bytes_of("shop.db");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "list.csv", "--bad", "out.csv", NULL);
    ck_code(ran, 3); /* without --good-only nothing comes in, but the rows to mend are written */
    done(&ran);
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(unlink("out.csv"), 0);
    ran =
        run("import", "-f", "shop.db", "J/1", "list.csv", "--good-only", "--bad", "out.csv", "--json", NULL);
    ck_code(ran, 1);
    ck_document(ran.out);
    ck_assert(json_number(ran.out, "$.added") == 3);
    ck_assert(json_number(ran.out, "$.left_out") == 6);
    done(&ran);
    struct bytes bad = bytes_of("out.csv");
    csv_read(bad.at, ',', &csv);
    ck_assert_int_eq(csv.rows, 7);
    ck_assert_str_eq(csv.cells[0][csv.columns - 1], "reason");
    ck_assert_str_eq(csv_at(&csv, 1, "part"), "B");
    ck_says(csv_at(&csv, 1, "reason"), "quantity \"x\"");
    ck_says(csv_at(&csv, 2, "reason"), "cut_length \"1e309\"");
    ck_says(csv_at(&csv, 2, "reason"), "length \"0\"");
    ck_assert_str_eq(csv_at(&csv, 5, "cut_length_mm"), "1,200");
    csv_free(&csv);
    free(bad.at);
    ran = plan_json();
    ck_assert_int_eq(json_count(ran.out, "$.jobs[0].stocks[0].parts"), 3);
    ck_part(ran.out, 0, 2, "G", 3, 500);
    done(&ran);
    before = bytes_of("shop.db");
    ran = run("import", "-f", "shop.db", "J/1", "list.csv", "--good-only", "--replace", "--bad", "out.csv",
              NULL);
    ck_code(ran, 6);
    ck_says(ran.err, "out.csv exists already");
    done(&ran);
    ck_unchanged("shop.db", &before);
}
END_TEST

/* Mend the rows that were written down, and they come in. */
START_TEST(the_file_of_bad_rows_can_be_read_again)
{
    make_job();
    write_text("list.csv", "part;quantity;cut_length_mm\r\nA;1;5\r\n'=x;zwei;5,5\r\n");
    struct ran ran =
        run("import", "-f", "shop.db", "J/1", "list.csv", "--good-only", "--bad", "out.csv", NULL);
    ck_code(ran, 1);
    done(&ran);
    struct bytes bad = bytes_of("out.csv");
    char *word = strstr(bad.at, "zwei");
    ck_assert_ptr_nonnull(word);
    memcpy(word, "2   ", 4);
    ran = import("J/1", bad.at, bad.size, NULL, NULL);
    ck_code(ran, 0);
    done(&ran);
    free(bad.at);
    ran = plan_json();
    ck_part(ran.out, 0, 1, "=x", 2, 5.5);
    done(&ran);
}
END_TEST

START_TEST(a_part_that_exists_is_refused_unless_replace)
{
    make_job();
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=2", "cut_length=100", "note=keep me",
            "pierces=4");
    struct bytes before = bytes_of("shop.db");
    static const char list[] = "part,quantity,cut_length\nA,7,\nB,1,50\n";
    struct ran ran = import("J/1", list, strlen(list), NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "standard input:2:1: part \"A\" is in the plan already; --replace takes the list's\n");
    ck_says(ran.err, "1 of 2 rows");
    done(&ran);
    ck_unchanged("shop.db", &before);
    ran = import("J/1", list, strlen(list), "--replace", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "1 part added, 1 replaced, 0 stocks made, 0 rows left out");
    done(&ran);
    ran = plan_json();
    ck_part(ran.out, 0, 0, "A", 7, 100); /* an empty cell says nothing */
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].pierces") == 4);
    done(&ran);
    ran = run("set", "-f", "shop.db", "J/1/A", "--list", NULL);
    ck_says(ran.out, "keep me");
    done(&ran);
}
END_TEST

START_TEST(a_dry_run_leaves_every_byte)
{
    make_job();
    write_text("list.csv", "part,cut_length\nA,5\nB,6\n");
    struct bytes before = bytes_of("shop.db");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "list.csv", "--dry-run", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "would be: 2 parts added");
    done(&ran);
    ran = run("import", "-f", "shop.db", "J/1", "list.csv", "--dry-run", "--json", NULL);
    ck_keys(ran.out, "$",
            "kept:bool added:integer replaced:integer stocks_made:integer left_out:integer encoding:text");
    ck_assert_str_eq(json_type(ran.out, "$.kept"), "false");
    done(&ran);
    ck_unchanged("shop.db", &before);
}
END_TEST

/* ---- by material and thickness ---- */

START_TEST(rows_are_grouped_into_stocks_that_are_made_where_missing)
{
    make_job();
    static const char list[] = "part,material,thickness_mm,cut_length_mm\n"
                               "A,mild steel,6,1\n"
                               "B,304,3,2\n"
                               "C,\"steel, mild\",6.0,3\n"
                               "D,stainless,3,4\n"
                               "E,304,5,5\n"
                               "A,304,5,6\n";
    struct ran ran = import("J", list, strlen(list), NULL, NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "6 parts added, 0 replaced, 2 stocks made");
    done(&ran);
    ran = plan_json();
    ck_assert_int_eq(json_count(ran.out, "$.jobs[0].stocks"), 3);
    ck_part(ran.out, 0, 0, "A", 1, 1);
    ck_part(ran.out, 0, 1, "C", 1, 3);
    ck_part(ran.out, 1, 0, "B", 1, 2);
    ck_part(ran.out, 1, 1, "D", 1, 4);
    ck_part(ran.out, 2, 1, "A", 1, 6);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[1].material"), "stainless 304");
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[2].thickness_mm") == 5);
    done(&ran);
    struct bytes before = bytes_of("shop.db");
    static const char without[] =
        "part,material,thickness\nF,304,\nG,,3\nH,unobtainium,3\nI,304,900\nK,304,3\n";
    ran = import("J", without, strlen(without), NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "standard input:2:1: no thickness");
    ck_says(ran.err, "standard input:3:1: no material");
    ck_says(ran.err, "standard input:4:2: material \"unobtainium\"");
    ck_says(ran.err, "standard input:5:1: ");
    ck_says(ran.err, "4 of 5 rows");
    done(&ran);
    static const char neither[] = "part,quantity\nF,1\n";
    ran = import("J", neither, strlen(neither), NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "no material");
    done(&ran);
    ck_unchanged("shop.db", &before);
}
END_TEST

/* A stock takes only what is of its material and thickness, as far as the list says. */
START_TEST(rows_of_other_sheets_do_not_go_into_a_stock)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    static const char list[] = "part,qty,matl,thk\nA,2,mild steel,6\nB,3,304,6\nC,4,,8 mm\nD,5,,\n";
    struct ran ran = import("J/1", list, strlen(list), NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "standard input:3:1: the list says stainless 304 6 mm, stock J/1 is steel, mild 6 mm: "
                     "import into the job to make a new stock\n");
    ck_says(ran.err, "standard input:4:1: the list says 8 mm, stock J/1 is steel, mild 6 mm: ");
    ck_says(ran.err, "2 of 4 rows cannot be taken: nothing is imported; --good-only takes the others");
    done(&ran);
    ck_unchanged("shop.db", &before);
    ran = import("J/1", list, strlen(list), "--good-only", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, "2 parts added, 0 replaced, 0 stocks made, 2 rows left out\n");
    done(&ran);
    static const char one[] = "part,qty,matl,thk\nB,3,304,6\n";
    ran = import("J", one, strlen(one), NULL, NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "1 part added, 0 replaced, 1 stock made, 0 rows left out\n");
    done(&ran);
}
END_TEST

START_TEST(columns_that_are_missing_are_told)
{
    make_job();
    struct ran ran = import("J/1", "part\nA\n", 7, "--dry-run", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "standard input:1:0: no quantity column: every part would be 1 piece\n");
    done(&ran);
    ran = import("J", "part,pcs\nA,3\n", 13, NULL, NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "standard input:1:0: no material column");
    ck_says(ran.err, "standard input:1:0: no thickness column");
    ck_says(ran.err, "standard input:2:1: no material: fill in the column, or name the stock as JOB/STOCK\n");
    done(&ran);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_good_list_comes_in_whole);
    tcase_add_test(tcase, every_bad_row_is_told_at_its_line_and_column);
    tcase_add_test(tcase, good_only_takes_the_others_and_writes_the_bad_ones_down);
    tcase_add_test(tcase, the_file_of_bad_rows_can_be_read_again);
    tcase_add_test(tcase, a_part_that_exists_is_refused_unless_replace);
    tcase_add_test(tcase, a_dry_run_leaves_every_byte);
    tcase_add_test(tcase, rows_are_grouped_into_stocks_that_are_made_where_missing);
    tcase_add_test(tcase, rows_of_other_sheets_do_not_go_into_a_stock);
    tcase_add_test(tcase, columns_that_are_missing_are_told);
}

int main(void)
{
    return run_suite("import, rows", fill);
}
