/* Drawings and part programs as outlines of parts, from the command line: set, plan, why, lists and folders.
 */
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/run.h"

/* A plate of length x width with a round hole in its middle, in a unit of $INSUNITS: 4 mm, 1 in, 0 none. */
static void put_plate(const char *name, double length, double width, double hole, int units)
{
    char text[2000];
    int n =
        snprintf(text, sizeof text,
                 "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n", units);
    const double x[] = {0, length, length, 0, 0}, y[] = {0, 0, width, width, 0};
    for (int i = 0; i < 4; i++)
        n += snprintf(text + n, sizeof text - (size_t)n,
                      "0\nLINE\n8\nCUT\n10\n%.17g\n20\n%.17g\n11\n%.17g\n21\n%.17g\n", x[i], y[i], x[i + 1],
                      y[i + 1]);
    snprintf(text + n, sizeof text - (size_t)n,
             "0\nCIRCLE\n8\nHOLES\n10\n%.17g\n20\n%.17g\n40\n%.17g\n0\nENDSEC\n0\nEOF\n", length / 2,
             width / 2, hole);
    write_text(name, text);
}

/* A square of 40 with an open cut beside it. */
static const char program[] = "G21 G90\nG00 X0 Y0\nG01 X40\nY40\nX0\nY0\nG00 X50 Y0\nG01 X50 Y20\nM30\n";

static const double pi = 3.14159265358979323846;

/* shop.db: metric, job J with stock 1 of 6 mm mild steel and in it part A; plate.dxf 100 x 60 with a hole of
 * radius 10. */
static void make_part(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=3", "cut_length=500", "length=70",
            "width=50");
    put_plate("plate.dxf", 100, 60, 10, 4);
}

static struct ran plan_json(void)
{
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    return ran;
}

#define PART "$.jobs[0].stocks[0].parts[0]."

static void ck_plate_in_plan(double scale)
{
    struct ran ran = plan_json();
    ck_near(json_number(ran.out, PART "cut_length_mm"), scale * (320 + 20 * pi), 1e-12L);
    ck_assert(json_number(ran.out, PART "pierces") == 2);
    done(&ran);
}

/* ---- set and plan ---- */

START_TEST(a_part_is_measured_as_the_outline_command_measures_its_file)
{
    make_part();
    struct ran set = run("set", "-f", "shop.db", "J/1/A", "outline=plate.dxf", NULL);
    ck_code(set, 0);
    ck_says(set.out, "outline");
    ck_says(set.out, "none -> plate.dxf");
    struct ran plan = plan_json(), outline = run("outline", "--json", "plate.dxf", NULL);
    ck_assert_str_eq(json_text(plan.out, PART "outline"), "plate.dxf");
    ck_keys(plan.out, "$.jobs[0].stocks[0].parts[0].split",
            "straight_s:number corner_s:number acceleration_s:number lead_s:number rapid_s:number "
            "lift_s:number lead_length_mm:number rapid_length_mm:number lag_mm:number edge_error_mm:number");
    ck_near(json_number(plan.out, PART "cut_length_mm"),
            (long double)json_number(outline.out, "$.outlines[0].cut_length_mm"), 1e-9L);
    ck_near(json_number(plan.out, PART "cut_length_mm"), 320 + 20 * pi, 1e-12L);
    ck_assert(json_number(plan.out, PART "pierces") == json_number(outline.out, "$.outlines[0].pierces"));
    done(&set);
    done(&plan);
    done(&outline);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

START_TEST(the_split_adds_up_to_the_seconds_of_the_part)
{
    make_part();
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=plate.dxf");
    struct ran ran = plan_json();
    double cut = json_number(ran.out, PART "split.straight_s") + json_number(ran.out, PART "split.corner_s") +
                 json_number(ran.out, PART "split.acceleration_s") +
                 json_number(ran.out, PART "split.lead_s");
    double rapid = json_number(ran.out, PART "split.rapid_s") + json_number(ran.out, PART "split.lift_s");
    double pierce = 2 * json_number(ran.out, "$.jobs[0].stocks[0].pierce_s");
    ck_near(json_number(ran.out, PART "cut_s"), 3 * (long double)cut, 1e-12L);
    ck_near(json_number(ran.out, PART "rapid_s"), 3 * (long double)rapid, 1e-12L);
    ck_near(json_number(ran.out, PART "each_s"), (long double)(cut + rapid + pierce), 1e-12L);
    ck_near(json_number(ran.out, PART "split.straight_s"),
            (320 + 20 * pi) / json_number(ran.out, PART "traverse_mm_min") * 60, 1e-12L);
    ck_assert(json_number(ran.out, PART "split.corner_s") > 0);
    ck_near(json_number(ran.out, PART "split.lead_length_mm"), 4 * 3,
            1e-12L); /* half of 6 mm, in and out, twice */
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=none");
    ran = plan_json();
    ck_assert_str_eq(json_type(ran.out, PART "split"), "");
    ck_assert_str_eq(json_type(ran.out, PART "outline"), "");
    ck_near(json_number(ran.out, PART "cut_length_mm"), 320 + 20 * pi, 1e-12L); /* the figures stay */
    done(&ran);
}
END_TEST

START_TEST(why_tells_what_the_time_is_made_of)
{
    make_part();
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=plate.dxf");
    struct ran why = run("why", "-f", "shop.db", "J/1/A", "each", NULL);
    ck_code(why, 0);
    static const char *const lines[] = {
        "along the outline plate.dxf", "straight", "corners", "the jet lags", "speeding up", "leads", "moves",
        "from pierce to pierce"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        ck_says(why.out, lines[i]);
    done(&why);
    why = run("why", "-f", "shop.db", "J/1/A", "cut_length", NULL);
    ck_code(why, 0);
    ck_says(why.out, "outline of");
    ck_says(why.out, "none -> plate.dxf");
    done(&why);
}
END_TEST

START_TEST(a_trial_and_a_dry_run_keep_no_outline)
{
    make_part();
    struct bytes before = bytes_of("shop.db");
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=plate.dxf", "--dry-run");
    struct ran ran = run("try", "-f", "shop.db", "set", "J/1/A", "outline=plate.dxf", NULL);
    ck_code(ran, 0);
    done(&ran);
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(figures_that_an_outline_measures_are_refused)
{
    make_part();
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=plate.dxf");
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "cut_length is measured from the outline plate.dxf: outline=none lets it be typed", "set",
               "-f", "shop.db", "J/1/A", "cut_length=7");
    ck_refused(3, "pierces is measured", "set", "-f", "shop.db", "J/1/A", "pierces=7");
    ck_refused(3, "no file \"gone.dxf\"", "set", "-f", "shop.db", "J/1/A", "outline=gone.dxf");
    ck_refused(3, "a folder", "set", "-f", "shop.db", "J/1/A", "outline=.");
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(a_unit_behind_the_name_scales_a_file_without_one)
{
    make_part();
    put_plate("bare.dxf", 10, 6, 1, 0);
    struct ran ran = run("set", "-f", "shop.db", "J/1/A", "outline=bare.dxf", NULL);
    ck_code(ran, 0);
    ck_says(ran.err, "it names no unit, mm is assumed: type \"bare.dxf in\" for inches");
    done(&ran);
    ck_plate_in_plan(0.1);
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=bare.dxf in");
    ck_plate_in_plan(2.54);
}
END_TEST

START_TEST(the_jet_words_of_the_machine_are_used_and_go_together)
{
    make_part();
    write_text("jet.nc", "G21 G90\nG01 X10 Y0\nM62 P1\nG01 X40\nM63 P1\nG01 X100\nM30\n");
    ck_refused(3, "jet_on and jet_off go together: type both, or none of them", "set", "-f", "shop.db",
               "machine:main", "jet_on=M62 P1");
    ck_done("set", "-f", "shop.db", "machine:main", "jet_on=M62 P1", "jet_off=M63 P1");
    ck_refused(3, "go together", "set", "-f", "shop.db", "machine:main", "jet_off=none");
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=jet.nc");
    struct ran ran = plan_json();
    ck_near(json_number(ran.out, PART "cut_length_mm"), 30, 1e-12L);
    done(&ran);
    ck_done("set", "-f", "shop.db", "machine:main", "jet_off=none", "jet_on=none");
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=jet.nc");
    ran = plan_json();
    ck_near(json_number(ran.out, PART "cut_length_mm"), 100, 1e-12L);
    done(&ran);
}
END_TEST

START_TEST(a_damaged_outline_is_told_by_every_command_in_one_sentence)
{
    sqlite3 *db;
    make_part();
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=plate.dxf");
    ck_assert_int_eq(sqlite3_open("shop.db", &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(db, "UPDATE drawn_piece SET bytes = zeroblob(50)", NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(db);
    ck_refused(3, "table drawn, key plate.dxf: these are not the bytes of an outline", "plan", "-f",
               "shop.db");
    struct ran ran = run("check", "-f", "shop.db", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, "table drawn, key plate.dxf: these are not the bytes of an outline\n");
    ck_says_not(ran.out, "outline_id");
    done(&ran);
}
END_TEST

/* ---- lists ---- */

static struct ran import(const char *key, const char *list, const char *option)
{
    return run("import", "-f", "shop.db", key, list, option, NULL);
}

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

START_TEST(a_contour_that_does_not_close_is_told)
{
    make_part();
    write_text("corner.dxf",
               "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n0\n20\n0\n11\n50\n21\n0\n0\nLINE\n10\n50\n20\n0\n"
               "11\n50\n21\n40\n0\nENDSEC\n0\nEOF\n");
    struct ran set = run("set", "-f", "shop.db", "J/1/A", "outline=corner.dxf", NULL);
    ck_code(set, 0);
    ck_assert_msg(strstr(set.out, "1 contour is open") || strstr(set.err, "1 contour is open"), "%s%s",
                  set.out, set.err);
    done(&set);
    set = run("set", "-f", "shop.db", "J/1/A", "outline=plate.dxf", NULL);
    ck_code(set, 0);
    ck_assert(!strstr(set.out, "open") && !strstr(set.err, "open"));
    done(&set);
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

static void fill(TCase *tests)
{
    tcase_add_test(tests, a_contour_that_does_not_close_is_told);
    tcase_add_test(tests, a_part_is_measured_as_the_outline_command_measures_its_file);
    tcase_add_test(tests, the_split_adds_up_to_the_seconds_of_the_part);
    tcase_add_test(tests, why_tells_what_the_time_is_made_of);
    tcase_add_test(tests, a_trial_and_a_dry_run_keep_no_outline);
    tcase_add_test(tests, figures_that_an_outline_measures_are_refused);
    tcase_add_test(tests, a_unit_behind_the_name_scales_a_file_without_one);
    tcase_add_test(tests, the_jet_words_of_the_machine_are_used_and_go_together);
    tcase_add_test(tests, a_damaged_outline_is_told_by_every_command_in_one_sentence);
    tcase_add_test(tests, a_list_names_outlines_that_lie_beside_it);
    tcase_add_test(tests, a_list_replaces_an_outline_and_what_it_measures);
    tcase_add_test(tests, a_list_whose_lengths_are_in_another_unit_is_refused);
    tcase_add_test(tests, a_row_whose_outline_cannot_be_read_is_told_and_the_others_may_come);
    tcase_add_test(tests, a_row_that_is_left_out_leaves_no_outline_behind);
    tcase_add_test(tests, a_folder_of_drawings_comes_in_as_parts);
    tcase_add_test(tests, what_is_no_file_in_a_folder_is_passed_over);
    tcase_add_test(tests, files_of_any_name_come_in);
    tcase_add_test(tests, a_folder_without_drawings_or_with_a_bad_one_is_told);
}

int main(void)
{
    return run_suite("outlines of parts", fill);
}
