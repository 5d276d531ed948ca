/* Drawings and part programs that come in by a parts list or as a folder. */
#include "cli/part_outlines.h"

/* ---- lists ---- */

START_TEST(a_list_names_outlines_that_lie_beside_it)
{
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    ck_assert_int_eq(mkdir("order/drawings", 0700), 0);
    put_plate("order/drawings/one.dxf", 100, 60, 10, 4);
    write_text("order/square.nc", program);
    write_text("order/list.csv",
               "part,quantity,outline\nP,4,drawings/one.dxf\nQ,5,square.nc\nR,6,\nS,1,plate.dxf\n");
    struct ran ran = import("J/1", "order/list.csv", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "4 parts added");
    done(&ran);
    ran = plan_json();
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[1].outline"), "one.dxf");
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[1].cut_length_mm"), 320 + 20 * pi, 1e-12L);
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].parts[1].quantity") == 4);
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[2].outline"), "square.nc");
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[2].cut_length_mm"), 180, 1e-12L);
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].parts[2].split.lead_s") == 0);
    ck_assert_str_eq(json_type(ran.out, "$.jobs[0].stocks[0].parts[3].outline"), "");
    /* Not beside the list: as it is typed. */
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[4].outline"), "plate.dxf");
    done(&ran);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

START_TEST(a_list_replaces_an_outline_and_what_it_measures)
{
    make_part();
    write_text("list.csv", "part,outline\nA,plate.dxf\n");
    struct ran ran = import("J/1", "list.csv", NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "is in the plan already; --replace takes the list's");
    done(&ran);
    ran = import("J/1", "list.csv", "--replace");
    ck_code(ran, 0);
    ck_says(ran.out, "1 replaced");
    done(&ran);
    ck_plate_in_plan(1);
    ran = plan_json();
    ck_assert(json_number(ran.out, PART "quantity") == 3); /* the list did not say */
    done(&ran);
    write_text("none.csv", "part,outline\nA,none\n");
    ran = import("J/1", "none.csv", "--replace");
    ck_code(ran, 0);
    done(&ran);
    ran = plan_json();
    ck_assert_str_eq(json_type(ran.out, PART "outline"), "");
    done(&ran);
}
END_TEST

/* 25.4 times, either way: both figures are told, and nothing comes in. */
START_TEST(a_list_whose_lengths_are_in_another_unit_is_refused)
{
    static const struct {
        const char *list, *said, *right;
    } wrong[] = {
        {"part,cut_length_mm,outline\nP,9723.9,plate.dxf\n", "cut_length 9723.9 mm",
         "plate.dxf measures 382.832 mm: mind the units of both"},
        {"part,length,width,outline\nP,3.937,2.362,plate.dxf\n", "length 3.937 mm", "plate.dxf measures 100"},
        {"part,width_in,outline\nP,60,plate.dxf\n", "width 1524", "plate.dxf measures 60"},
    };
    make_part();
    struct bytes before = bytes_of("shop.db");
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        write_text("list.csv", wrong[i].list);
        struct ran ran = import("J/1", "list.csv", NULL);
        ck_code(ran, 3);
        ck_says(ran.err, "list.csv:2:1: the list says ");
        ck_says(ran.err, wrong[i].said);
        ck_says(ran.err, wrong[i].right);
        done(&ran);
    }
    ck_unchanged("shop.db", &before);
    /* near enough, and length and width the other way round */
    write_text("list.csv", "part,cut_length_mm,length,width,outline\nP,380,59,101,plate.dxf\n");
    struct ran ran = import("J/1", "list.csv", NULL);
    ck_code(ran, 0);
    done(&ran);
    ran = plan_json();
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[1].cut_length_mm"), 320 + 20 * pi, 1e-12L);
    done(&ran);
}
END_TEST

START_TEST(a_row_whose_outline_cannot_be_read_is_told_and_the_others_may_come)
{
    make_part();
    write_text("words.dxf", "these are only words\n");
    write_text("list.csv", "part,outline\nP,plate.dxf\nQ,gone.dxf\nR,words.dxf\nS,.\n");
    struct bytes before = bytes_of("shop.db");
    struct ran ran = import("J/1", "list.csv", NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "list.csv:3:1: no file \"");
    ck_says(ran.err, "gone.dxf");
    ck_says(ran.err, "list.csv:4:1: ");
    ck_says(ran.err, "words.dxf");
    ck_says(ran.err, "list.csv:5:1: ");
    ck_says(ran.err, "a folder");
    done(&ran);
    ck_unchanged("shop.db", &before);
    ran = import("J/1", "list.csv", "--good-only");
    ck_code(ran, 1);
    ck_says(ran.out, "1 part added, 0 replaced, 0 stocks made, 3 rows left out");
    done(&ran);
}
END_TEST

/* What is left out leaves no outline in the file either. */
START_TEST(a_row_that_is_left_out_leaves_no_outline_behind)
{
    make_part();
    put_plate("other.dxf", 50, 40, 5, 4);
    write_text("list.csv", "part,outline\nA,other.dxf\nP,plate.dxf\n");
    struct ran ran = import("J/1", "list.csv", "--good-only");
    ck_code(ran, 1);
    ck_says(ran.err, "part \"A\" is in the plan already");
    done(&ran);
    sqlite3 *db;
    sqlite3_stmt *count;
    ck_assert_int_eq(sqlite3_open("shop.db", &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_prepare_v2(db, "SELECT group_concat(name) FROM drawn", -1, &count, NULL),
                     SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(count), SQLITE_ROW);
    ck_assert_str_eq((const char *)sqlite3_column_text(count, 0), "plate.dxf");
    sqlite3_finalize(count);
    sqlite3_close(db);
}
END_TEST

/* The words of `set` for each row that is taken, and none where there is nothing to look at. */
START_TEST(a_list_tells_what_there_is_to_look_at_in_its_outlines)
{
    static const char *const options[] = {NULL, "--dry-run"};
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    put_plate("order/bare.dxf", 100, 60, 10, 0);
    put_plate("order/good.dxf", 100, 60, 10, 4);
    write_text("order/corner.dxf", corner);
    write_text("order/list.csv",
               "part,outline\nP,good.dxf\nQ,bare.dxf\nR,corner.dxf mm\nA,bare.dxf\nS,bare.dxf mm\n");
    struct ran set = run("set", "-f", "shop.db", "J/1/A", "outline=order/corner.dxf mm", "--dry-run", NULL);
    const char *words = strstr(set.err, "measured: ");
    ck_assert_ptr_nonnull(words);
    struct ran ran =
        run("import", "-f", "shop.db", "J/1", "order/list.csv", "--good-only", options[_i], NULL);
    ck_code(ran, 1);
    ck_says(ran.err, "order/list.csv:3:2: outline: measured: cut 382.832 mm, 2 pierces, 100 mm x 60 mm; it "
                     "names no unit, mm is assumed: type \"bare.dxf in\" for inches\n");
    ck_says(ran.err, "order/list.csv:4:2: outline: ");
    ck_says(ran.err, words);
    ck_says(words, "1 contour is open");
    ck_says_not(ran.err, "list.csv:2:");  /* nothing to look at */
    ck_says_not(ran.err, "list.csv:6:");  /* it has its unit */
    ck_says_not(ran.err, "list.csv:5:2"); /* refused: it is there already */
    ck_assert_ptr_null(strstr(strstr(ran.err, "list.csv:3:2") + 1, "list.csv:3:2"));
    done(&set);
    done(&ran);
}
END_TEST

/* As the file itself: beside the list, else where it says. */
START_TEST(a_unit_may_stand_behind_a_name_in_a_list)
{
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    put_plate("order/bare.dxf", 10, 6, 1, 0);
    put_plate("here.dxf", 10, 6, 1, 0);
    put_plate("order/part in", 100, 60, 10, 4); /* a file that is called so */
    write_text("order/list.csv", "part,outline,quantity\nP,bare.dxf in,1\nQ,here.dxf in,1\nR,part in,1\n");
    struct ran ran = import("J/1", "order/list.csv", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    done(&ran);
    ran = plan_json();
    for (int i = 1; i <= 3; i++) {
        char path[100];
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].cut_length_mm", i);
        ck_near(json_number(ran.out, path), (i < 3 ? 2.54L : 1) * (long double)(320 + 20 * pi), 1e-12L);
    }
    done(&ran);
}
END_TEST

/* ---- folders ---- */

START_TEST(a_folder_of_drawings_comes_in_as_parts)
{
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    put_plate("order/plate 7.DXF", 100, 60, 10, 4);
    put_plate("order/twin.dxf", 50, 30, 5, 4);
    write_text("order/twin.nc", program);
    write_text("order/notes.txt", "no drawing\n");
    put_plate("order/.hidden.dxf", 10, 10, 1, 4);
    struct ran ran = import("J/1", "order", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "3 parts added");
    done(&ran);
    ran = plan_json();
    static const struct {
        const char *part, *outline;
        double cut;
    } parts[] = {{"plate 7", "plate 7.DXF", 320 + 62.8318530717958648},
                 {"twin.dxf", "twin.dxf", 160 + 31.4159265358979324},
                 {"twin.nc", "twin.nc", 180}};
    for (int i = 0; i < 3; i++) {
        char path[100];
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].part", i + 1);
        ck_assert_str_eq(json_text(ran.out, path), parts[i].part);
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].outline", i + 1);
        ck_assert_str_eq(json_text(ran.out, path), parts[i].outline);
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].cut_length_mm", i + 1);
        ck_near(json_number(ran.out, path), (long double)parts[i].cut, 1e-12L);
    }
    done(&ran);
    ck_done("undo", "-f", "shop.db"); /* all of it is one step */
    ran = plan_json();
    ck_assert_int_eq(json_count(ran.out, "$.jobs[0].stocks[0].parts"), 1);
    done(&ran);
}
END_TEST

/* A folder in a folder that is called like a drawing is none. */
START_TEST(what_is_no_file_in_a_folder_is_passed_over)
{
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    ck_assert_int_eq(mkdir("order/inner.dxf", 0700), 0);
    put_plate("order/one.dxf", 100, 60, 10, 4);
    struct ran ran = import("J/1", "order/", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "1 part added");
    done(&ran);
}
END_TEST

/* Names that a table would not take as they are. */
START_TEST(files_of_any_name_come_in)
{
    static const char *const names[] = {"=1+1.dxf", "a,b \"c\".dxf", "+x.nc", "@y.dxf", "f\xC3\xBCr 2.dxf"};
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char path[100];
        snprintf(path, sizeof path, "order/%s", names[i]);
        if (strstr(names[i], ".nc"))
            write_text(path, program);
        else
            put_plate(path, 100 + (double)i, 60, 10, 4);
    }
    struct ran ran = import("J/1", "order", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "5 parts added");
    done(&ran);
    ran = plan_json();
    for (int i = 0; i < 5; i++) {
        char path[100];
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].outline", i + 1);
        const char *name = json_text(ran.out, path);
        bool found = false;
        for (size_t k = 0; k < sizeof names / sizeof *names; k++)
            found = found || strcmp(names[k], name) == 0;
        ck_assert_msg(found, "%s", name);
    }
    done(&ran);
}
END_TEST

START_TEST(a_folder_without_drawings_or_with_a_bad_one_is_told)
{
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "there is no drawing (.dxf) or part program (.nc .iso .ngc .tap) in order", "import", "-f",
               "shop.db", "J/1", "order");
    put_plate("order/one.dxf", 100, 60, 10, 4);
    write_text("order/two.dxf", "these are only words\n");
    struct ran ran = import("J/1", "order", NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "two.dxf");
    done(&ran);
    ck_refused(3, "no material: fill in the column", "import", "-f", "shop.db", "J", "order");
    ck_unchanged("shop.db", &before);
}
END_TEST

/* Whatever a name would mean in a table: its blanks, its letters, the separator that is asked for. */
START_TEST(names_of_a_folder_are_taken_as_they_are)
{
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    put_plate("order/ blank .dxf", 100, 60, 10, 4);
    put_plate("order/'=guard.dxf", 100, 60, 10, 4);
    put_plate("order/a;b,c.dxf", 100, 60, 10, 4);
    struct ran ran = run("import", "-f", "shop.db", "J/1", "order", "--separator", "semicolon", "--encoding",
                         "utf-16", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_says(ran.out, "3 parts added");
    done(&ran);
    static const char *const keys[] = {"blank", "'=guard", "a;b,c"};
    ran = plan_json();
    for (int i = 0; i < 3; i++) {
        char path[100];
        snprintf(path, sizeof path, "$.jobs[0].stocks[0].parts[%d].part", i + 1);
        ck_assert_str_eq(json_text(ran.out, path), keys[i]);
    }
    done(&ran);
}
END_TEST

/* The file, not a line of a table that nobody wrote. */
START_TEST(what_is_wrong_with_a_file_of_a_folder_names_the_file)
{
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    put_plate("order/A.dxf", 100, 60, 10, 4); /* a part of that key is there */
    put_plate("order/bare.dxf", 100, 60, 10, 0);
    put_plate("order/f\xFCr.dxf", 100, 60, 10, 4);
    write_text("order/words.dxf", "these are only words\n");
    struct ran ran = run("import", "-f", "shop.db", "J/1", "order", "--bad", "bad.csv", NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "order/A.dxf: part \"A\" is in the plan already; --replace takes the list's\n");
    ck_says(ran.err, "order/bare.dxf: outline: measured: ");
    ck_says(ran.err, "type \"order/bare.dxf in\" for inches\n");
    ck_says(ran.err, "r.dxf: part \"f"
                     "\xEF\xBF\xBD"
                     "r\": ");
    ck_says(ran.err, "order/words.dxf");
    ck_says_not(ran.err, "order/words.dxf: order/words.dxf");
    ck_says_not(ran.err, "order:");
    done(&ran);
    struct bytes bad = bytes_of("bad.csv");
    ck_says(bad.at, "part,outline,quantity,reason\r\nA,order/A.dxf,1,");
    free(bad.at);
    ran = run("import", "-f", "shop.db", "J", "order", NULL);
    ck_says(ran.err, "order: ");
    ck_says(ran.err, "order/A.dxf: no material: fill in the column, or name the stock as JOB/STOCK\n");
    done(&ran);
}
END_TEST

static void fill(TCase *tests)
{
    tcase_add_test(tests, a_list_names_outlines_that_lie_beside_it);
    tcase_add_test(tests, a_list_replaces_an_outline_and_what_it_measures);
    tcase_add_test(tests, a_list_whose_lengths_are_in_another_unit_is_refused);
    tcase_add_test(tests, a_row_whose_outline_cannot_be_read_is_told_and_the_others_may_come);
    tcase_add_test(tests, a_row_that_is_left_out_leaves_no_outline_behind);
    tcase_add_loop_test(tests, a_list_tells_what_there_is_to_look_at_in_its_outlines, 0, 2);
    tcase_add_test(tests, a_unit_may_stand_behind_a_name_in_a_list);
    tcase_add_test(tests, a_folder_of_drawings_comes_in_as_parts);
    tcase_add_test(tests, what_is_no_file_in_a_folder_is_passed_over);
    tcase_add_test(tests, files_of_any_name_come_in);
    tcase_add_test(tests, a_folder_without_drawings_or_with_a_bad_one_is_told);
    tcase_add_test(tests, names_of_a_folder_are_taken_as_they_are);
    tcase_add_test(tests, what_is_wrong_with_a_file_of_a_folder_names_the_file);
}

int main(void)
{
    return run_suite("lists of outlines", fill);
}
