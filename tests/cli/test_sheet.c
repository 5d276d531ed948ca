/* The job sheet: CSV that any reader takes and no spreadsheet runs, JSON, text, and the way back in. */
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/run.h"

static const char *const columns[] = {"job",           "stock",        "part",    "name",  "quantity",
                                      "material",      "thickness_mm", "edge",    "head",  "sheets",
                                      "cut_length_mm", "pierces",      "each_s",  "cut_s", "pierce_s",
                                      "rapid_s",       "garnet_kg",    "mass_kg", "due",   "note"};
enum { COLUMNS = sizeof columns / sizeof *columns };

static struct ran sheet(const char *job, const char *option, const char *second)
{
    struct ran ran = run("sheet", "-f", "shop.db", job, option, second, NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    return ran;
}

START_TEST(the_example_sheet_is_rfc_4180_with_the_columns_of_the_contract)
{
    struct csv csv;
    ck_done("example", "shop.db");
    struct ran ran = sheet("2601", "--csv", NULL);
    csv_read(ran.out, ',', &csv);
    ck_assert_int_eq(csv.columns, COLUMNS);
    for (int i = 0; i < COLUMNS; i++)
        ck_assert_str_eq(csv.cells[0][i], columns[i]);
    ck_assert_int_eq(csv.rows, 3); /* the header and two parts; no total row */
    ck_assert_str_eq(csv_at(&csv, 1, "job"), "2601");
    ck_assert_str_eq(csv_at(&csv, 1, "part"), "A");
    ck_assert_str_eq(csv_at(&csv, 2, "name"), "bracket, short");
    ck_assert_str_eq(csv_at(&csv, 1, "material"), "aluminium 6061");
    ck_assert(csv_number(&csv, 1, "thickness_mm") == 12.7);
    ck_assert_str_eq(csv_at(&csv, 1, "due"), "2026-12-01 10:00");
    /* Twenty pieces of 965.2 mm and 5 pierces: a row is for its whole quantity. */
    ck_near(csv_number(&csv, 1, "cut_length_mm"), 20 * 965.2L, 1e-15L);
    ck_assert(csv_number(&csv, 1, "pierces") == 100);
    csv_free(&csv);
    done(&ran);
}
END_TEST

START_TEST(its_numbers_are_those_of_the_plan_unrounded)
{
    static const char *const numbers[] = {"each_s", "cut_s", "pierce_s", "rapid_s", "garnet_kg", "mass_kg"};
    ck_done("example", "shop.db");
    struct ran plan = run("plan", "-f", "shop.db", "--json", NULL),
               all = run("plan", "-f", "shop.db", "--csv", NULL);
    struct csv csv;
    int row = 1;
    csv_read(all.out, ',', &csv);
    for (int job = 0, jobs = json_count(plan.out, "$.jobs"); job < jobs; job++) {
        char at[200];
        snprintf(at, sizeof at, "$.jobs[%d].stocks", job);
        for (int stock = 0, stocks = json_count(plan.out, at); stock < stocks; stock++) {
            snprintf(at, sizeof at, "$.jobs[%d].stocks[%d].parts", job, stock);
            for (int part = 0, parts = json_count(plan.out, at); part < parts; part++, row++)
                for (int i = 0; i < 6; i++) {
                    snprintf(at, sizeof at, "$.jobs[%d].stocks[%d].parts[%d].%s", job, stock, part,
                             numbers[i]);
                    ck_near(csv_number(&csv, row, numbers[i]), json_number(plan.out, at), 4e-16);
                }
        }
    }
    ck_assert_int_eq(row, csv.rows);
    csv_free(&csv);
    done(&plan);
    done(&all);
}
END_TEST

START_TEST(us_units_are_in_the_titles_and_convert_exactly)
{
    struct csv us, si;
    ck_done("example", "shop.db");
    struct ran inches = run("sheet", "-f", "shop.db", "2604", "--csv", "--units", "us", NULL);
    struct ran millimetres = run("sheet", "-f", "shop.db", "2604", "--csv", "--units", "metric", NULL);
    ck_code(inches, 0);
    csv_read(inches.out, ',', &us);
    csv_read(millimetres.out, ',', &si);
    for (int row = 1; row < us.rows; row++) {
        ck_near(csv_number(&us, row, "thickness_in") * 25.4, csv_number(&si, row, "thickness_mm"), 1e-15L);
        ck_near(csv_number(&us, row, "cut_length_in") * 25.4, csv_number(&si, row, "cut_length_mm"), 1e-15L);
        ck_near(csv_number(&us, row, "garnet_lb") * 0.45359237, csv_number(&si, row, "garnet_kg"), 1e-15L);
        ck_near(csv_number(&us, row, "mass_lb") * 0.45359237, csv_number(&si, row, "mass_kg"), 1e-15L);
        ck_assert(csv_number(&us, row, "each_s") == csv_number(&si, row, "each_s"));
    }
    csv_free(&us);
    csv_free(&si);
    done(&inches);
    done(&millimetres);
}
END_TEST

START_TEST(a_spreadsheet_of_the_office_gets_mark_semicolons_and_commas)
{
    struct csv csv, plain;
    ck_done("example", "shop.db");
    struct ran ran = sheet("2602", "--for-spreadsheet", NULL), usual = sheet("2602", "--csv", NULL);
    ck_assert_msg(strncmp(ran.out, "\xEF\xBB\xBF", 3) == 0, "no byte order mark");
    ck_assert_msg(strncmp(usual.out, "job,", 4) == 0, "%.10s", usual.out);
    csv_read(ran.out + 3, ';', &csv);
    csv_read(usual.out, ',', &plain);
    ck_assert_int_eq(csv.rows, plain.rows);
    ck_assert_str_eq(csv_at(&csv, 1, "thickness_mm"), "6,35");
    for (int column = 0; column < COLUMNS; column++) {
        char cell[200];
        snprintf(cell, sizeof cell, "%s", csv.cells[1][column]);
        if (column != 3 && strchr(cell, ','))
            *strchr(cell, ',') = '.';
        ck_assert_str_eq(cell, plain.cells[1][column]);
    }
    csv_free(&csv);
    csv_free(&plain);
    done(&ran);
    done(&usual);
}
END_TEST

/* ---- names that a spreadsheet would run ---- */

static const struct {
    const char *name, *cell;
} guarded[] = {
    {"=1+1", "'=1+1"},
    {"'=x", "''=x"},
    {"-12.5", "-12.5"},
    {"+A", "'+A"},
    {"@sum", "'@sum"},
    {"-x", "'-x"},
    {"+12", "+12"},
    {"-", "'-"},
    {"'", "'"},
    {"'a", "'a"},
    {"a=1", "a=1"},
    {"\xEF\xBC\x9D"
     "1",
     "'\xEF\xBC\x9D"
     "1"}, /* full-width = */
    {"a,b", "a,b"},
    {"a\"b", "a\"b"},
    {"\xC3\xA9t\xC3\xA9", "\xC3\xA9t\xC3\xA9"},
};
enum { GUARDED = sizeof guarded / sizeof *guarded };

static void make_guarded_job(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J", "due=2026-12-24");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000");
    for (int i = 0; i < GUARDED; i++) {
        char part[20], name[60];
        snprintf(part, sizeof part, "P%02d", i);
        snprintf(name, sizeof name, "name=%s", guarded[i].name);
        ck_done("add", "-f", "shop.db", "part", "J/1", part, name, "cut_length=123.456", "length=100",
                "width=50", "quantity=3", "note=first line\nsecond, with a comma");
    }
}

START_TEST(a_name_that_would_run_is_guarded)
{
    struct csv csv;
    make_guarded_job();
    ck_done("add", "-f", "shop.db", "part", "J/1", "--", "=cmd", "cut_length=5");
    struct ran ran = sheet("J", "--csv", NULL);
    csv_read(ran.out, ',', &csv);
    ck_assert_int_eq(csv.rows, GUARDED + 2);
    for (int i = 0; i < GUARDED; i++) {
        ck_assert_str_eq(csv_at(&csv, i + 1, "name"), guarded[i].cell);
        ck_assert_str_eq(csv_at(&csv, i + 1, "note"), "first line\nsecond, with a comma");
        ck_near(csv_number(&csv, i + 1, "cut_length_mm"), 3 * 123.456L, 1e-15L);
        ck_assert_str_eq(csv_at(&csv, i + 1, "due"), "2026-12-24");
    }
    ck_assert_str_eq(csv_at(&csv, GUARDED + 1, "part"), "'=cmd");
    ck_assert_str_eq(csv_at(&csv, GUARDED + 1, "mass_kg"), ""); /* not known is an empty cell */
    csv_free(&csv);
    done(&ran);
}
END_TEST

/* A parts list made from the sheet's CSV: what a piece needs, taken from the plan's own text cells. */
START_TEST(what_went_out_comes_in_equal)
{
    struct csv csv, again;
    struct bytes list = {0};
    make_guarded_job();
    struct ran ran = sheet("J", "--csv", NULL);
    csv_read(ran.out, ',', &csv);
    add_bytes(&list, ran.out, ran.out_length);
    ck_done("add", "-f", "shop.db", "job", "K", "due=2026-12-24");
    const struct run_how how = {.input = list.at, .input_length = list.size};
    /* The sheet's cut length and pierces are for all pieces: three of each were asked for, so take one piece.
     */
    struct ran in = run_how(&how, "import", "-f", "shop.db", "K", "-", "--map", "sheets=,head=", NULL);
    ck_code(in, 0);
    char said[60];
    snprintf(said, sizeof said, "%d parts added, 0 replaced, 1 stock made", GUARDED);
    ck_says(in.out, said);
    done(&in);
    struct ran back = sheet("K", "--csv", NULL);
    csv_read(back.out, ',', &again);
    ck_assert_int_eq(again.rows, csv.rows);
    static const char *const same[] = {"part",         "name", "quantity", "material",
                                       "thickness_mm", "edge", "note"};
    for (int row = 1; row < csv.rows; row++) {
        for (int i = 0; i < 7; i++)
            ck_assert_str_eq(csv_at(&again, row, same[i]), csv_at(&csv, row, same[i]));
        ck_near(csv_number(&again, row, "cut_length_mm"), 3 * csv_number(&csv, row, "cut_length_mm"), 1e-15);
    }
    csv_free(&csv);
    csv_free(&again);
    done(&ran);
    done(&back);
    free(list.at);
}
END_TEST

/* ---- the other ways out ---- */

START_TEST(json_and_text_tell_the_same_job)
{
    ck_done("example", "shop.db");
    struct ran json = sheet("2604", "--json", NULL), text = sheet("2604", "--text", NULL),
               usual = sheet("2604", NULL, NULL);
    ck_document(json.out);
    ck_keys(json.out, "$",
            "job:text name:text customer:text? note:text? due_at:text? starts_at:text? ends_at:text? "
            "late_s:number? "
            "stocks:array");
    ck_assert_str_eq(json_text(json.out, "$.job"), "2604");
    ck_assert_int_eq(json_count(json.out, "$.stocks[0].parts"), 2);
    ck_assert_str_eq(text.out, usual.out);
    static const char *const pieces[] = {
        "JOB SHEET 2604", "sight glasses and covers", "customer 12", "Note: annealed",
        "glass, float",   "cover, two ports",         "______",      "Cautions",
        "tempered glass"};
    for (int i = 0; i < 9; i++)
        ck_says(text.out, pieces[i]);
    done(&json);
    done(&text);
    done(&usual);
}
END_TEST

/* The text, line by line; true where one begins so. */
static bool has_line(const char *text, const char *begin)
{
    for (const char *line = text; line; line = strchr(line, '\n') ? strchr(line, '\n') + 1 : NULL)
        if (strncmp(line, begin, strlen(begin)) == 0)
            return true;
    return false;
}

START_TEST(the_text_is_for_the_floor)
{
    ck_done("example", "shop.db");
    ck_done("set", "-f", "shop.db", "2605/2", "owner=customer", "lot=H 4711");
    struct ran ran = sheet("2605", "--text", NULL);
    static const char *const lines[] = {
        "JOB SHEET 2605 case inserts and gaskets\n",
        "For customer 7, due 2026-12-01 14:30 LATE\n",
        "Stock 1: foam, polyethylene, 2.000 in, water head, 1 sheet 72.000 x 48.000 in\n",
        "Stock 2: rubber, neoprene, 0.250 in, water head, 2 sheets 48.000 x 36.000 in, the customer's, lot H",
        "Hands on 0:08:04: 1 load 0:05:04, first check 0:03:00\n",
        "  Part  Name             Qty  Cut in all  Pierces all     Each      All  Garnet lb\n",
        "  A     gasket, 4 holes   40      1360.0          200  ",
        "  Part  Good    Scrap   Start   End     Operator\n",
        "  A     ______  ______  ______  ______  ____________\n",
    };
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        ck_assert_msg(has_line(ran.out, lines[i]), "%s is not in\n%s", lines[i], ran.out);
    done(&ran);
}
END_TEST

/* 2601: B lies 11 on its first sheet and 25 on its second, of 4 x 3 in each (the example): 300 of 1296 in2.
 */
START_TEST(what_is_used_and_what_is_left_of_a_sheet_is_said)
{
    ck_done("example", "shop.db");
    struct ran ran = sheet("2601", "--text", NULL);
    ck_says(ran.out,
            "\nSheet 2: 25 of B; used 23 % (by boxes) of 36 x 36 in; left over 27 x 32.2 in at x 8.75 y ");
    ck_says(ran.out, "  In cutting order, inches from the sheet's corner: 1 B x 0.25 y 0.25, 2 B");
    for (const char *line = ran.out; *line; line += strcspn(line, "\n") + 1) /* no piece over two lines */
        ck_assert_msg(strncmp(line, "    x ", 6) != 0 && strncmp(line, "    y ", 6) != 0 &&
                          strncmp(line, "    turned", 10) != 0,
                      "%s", ran.out);
    done(&ran);
    /* What is cut again is in the sums: 22 pieces of 38 in and 5 pierces. */
    ck_done("set", "-f", "shop.db", "2601/1/A", "scrap=2");
    ran = sheet("2601", "--text", NULL);
    ck_says(ran.out, "  A     bracket, long   20 + 2       836.0          110  ");
    done(&ran);
}
END_TEST

/* In words, the job's own first, in lines of at most 100 columns. */
START_TEST(cautions_name_things_as_the_floor_does)
{
    ck_done("example", "shop.db");
    ck_done("set", "-f", "shop.db", "2601", "due=2026-12-01 08:00");
    struct ran ran = sheet("2601", "--text", NULL);
    const char *cautions = strstr(ran.out, "\nCautions\n");
    ck_assert_ptr_nonnull(cautions);
    static const char *const names[] = {"\n  This job: done ", "\n  Aluminium 6061: ", "\n  Hopper: ",
                                        "\n  Bags: ",          "\n  Alone: ",          "\n  Jet: "};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        cautions = strstr(cautions, names[i]);
        ck_assert_msg(cautions != NULL, "%s is not in its place in\n%s", names[i], ran.out);
    }
    ck_says_not(ran.out, "material:");
    ck_says_not(ran.out, "machine:main");
    ck_says_not(ran.out, "Glass");
    for (const char *line = ran.out; *line; line += strcspn(line, "\n") + 1)
        ck_assert_uint_le(strcspn(line, "\n"), 100);
    done(&ran);
    ck_done("set", "-f", "shop.db", "2604/1", "sheets=1");
    ran = sheet("2604", "--text", NULL);
    ck_says(ran.out, "\nCautions\n  Stock 1: 3 sheets are needed, 1 is on hand");
    done(&ran);
}
END_TEST

START_TEST(remnants_that_are_taken_are_told)
{
    ck_done("example", "shop.db");
    ck_done("set", "-f", "shop.db", "2601/1", "stack=2", "remnants=24 x 20 x 3; 5 x 4");
    struct ran ran = sheet("2601", "--json", NULL);
    ck_keys(ran.out, "$.stocks[0].remnants[0]", "length_mm:number width_mm:number sheets:integer");
    ck_assert_int_eq(json_count(ran.out, "$.stocks[0].remnants"), 1); /* no piece lies on 5 x 4 in */
    ck_near(json_number(ran.out, "$.stocks[0].remnants[0].length_mm"), 24 * 25.4L, 1e-15L);
    ck_near(json_number(ran.out, "$.stocks[0].remnants[0].width_mm"), 20 * 25.4L, 1e-15L);
    ck_assert(json_number(ran.out, "$.stocks[0].remnants[0].sheets") == 2); /* of three one stack */
    done(&ran);
    ran = sheet("2602", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.stocks[0].remnants"), 0);
    done(&ran);
}
END_TEST

START_TEST(a_file_is_written_whole_or_not_at_all)
{
    ck_done("example", "shop.db");
    struct ran usual = sheet("2603", "--csv", NULL);
    struct ran ran = run("sheet", "-f", "shop.db", "2603", "--csv", "--out", "sheet.csv", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.out, "");
    ck_says(ran.err, "wrote sheet.csv");
    struct bytes written = bytes_of("sheet.csv");
    ck_assert_str_eq(written.at, usual.out);
    free(written.at);
    done(&ran);
    ck_assert_int_eq(names_here(), 2);
    ck_refused(3, "no job \"2699\"", "sheet", "-f", "shop.db", "2699", "--csv", "--out", "sheet.csv");
    written = bytes_of("sheet.csv");
    ck_assert_str_eq(written.at, usual.out);
    free(written.at);
    ck_refused(6, "nowhere", "sheet", "-f", "shop.db", "2603", "--csv", "--out", "nowhere/sheet.csv");
    ck_refused(6, "/dev/full", "sheet", "-f", "shop.db", "2603", "--csv", "--out", "/dev/full");
    ck_assert_int_eq(names_here(), 2);
    done(&usual);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, the_example_sheet_is_rfc_4180_with_the_columns_of_the_contract);
    tcase_add_test(tcase, its_numbers_are_those_of_the_plan_unrounded);
    tcase_add_test(tcase, us_units_are_in_the_titles_and_convert_exactly);
    tcase_add_test(tcase, a_spreadsheet_of_the_office_gets_mark_semicolons_and_commas);
    tcase_add_test(tcase, a_name_that_would_run_is_guarded);
    tcase_add_test(tcase, what_went_out_comes_in_equal);
    tcase_add_test(tcase, json_and_text_tell_the_same_job);
    tcase_add_test(tcase, the_text_is_for_the_floor);
    tcase_add_test(tcase, what_is_used_and_what_is_left_of_a_sheet_is_said);
    tcase_add_test(tcase, cautions_name_things_as_the_floor_does);
    tcase_add_test(tcase, remnants_that_are_taken_are_told);
    tcase_add_test(tcase, a_file_is_written_whole_or_not_at_all);
}

int main(void)
{
    return run_suite("sheet", fill);
}
