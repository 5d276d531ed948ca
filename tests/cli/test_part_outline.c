/* Drawings and part programs as outlines of parts, from the command line: set, plan, why and what `outline`
 * tells of the same files. */
#include "cli/part_outlines.h"

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

/* ---- `outline` and `set` ---- */

/* What `set` counts `outline` lists: with the words of the machine's jet and without its layers. */
START_TEST(what_set_counts_the_outline_command_lists)
{
    static const char *const files[] = {"jet.nc", "plate.dxf", "round.dxf"};
    char text[8000] = "0\nSECTION\n2\nENTITIES\n", field[40];
    make_part();
    write_text("jet.nc", "G21 G90 G77\nG01 X10 Y0\nM62 P1\nG01 X40\nG00 X100\nX120\n");
    /* a ring of short chords that is no circle: only where arcs are fitted is that said */
    for (int i = 0; i < 40; i++) {
        double a = 2 * pi * i / 40, b = 2 * pi * (i + 1) / 40;
        size_t n = strlen(text);
        snprintf(text + n, sizeof text - n, "0\nLINE\n10\n%.9f\n20\n%.9f\n11\n%.9f\n21\n%.9f\n", 20 * cos(a),
                 20.4 * sin(a), 20 * cos(b), 20.4 * sin(b));
    }
    snprintf(text + strlen(text), sizeof text - strlen(text), "0\nENDSEC\n0\nEOF\n");
    write_text("round.dxf", text);
    ck_done("set", "-f", "shop.db", "machine:main", "jet_on=M62 P1", "jet_off=M63 P1",
            "layers_out=NOTES,HOLES");
    snprintf(field, sizeof field, "outline=%s", files[_i]);
    struct ran set = run("set", "-f", "shop.db", "J/1/A", field, NULL);
    ck_code(set, 0);
    const char *counted = strstr(set.err, " to look at, `outline` lists them: ");
    int n = 0;
    if (counted) {
        while (counted[-1] >= '0' && counted[-1] <= '9')
            counted--;
        n = atoi(counted);
    }
    struct ran outline = run("outline", "-f", "shop.db", "--json", files[_i], NULL);
    ck_code(outline, 0);
    ck_assert_int_eq(json_count(outline.out, "$.outlines[0].problems"), n);
    ck_assert_int_eq(n > 0, _i != 1); /* that plate.dxf has no layer NOTES is no matter */
    struct ran plan = plan_json();
    ck_near(json_number(plan.out, PART "cut_length_mm"),
            (long double)json_number(outline.out, "$.outlines[0].cut_length_mm"), 1e-12L);
    done(&plan);
    done(&set);
    done(&outline);
}
END_TEST

/* The shop at the default place too; what is asked for goes before its machine. */
START_TEST(the_outline_command_reads_as_the_shop_does)
{
    make_part();
    put_plate("plate.dxf", 100, 60, 10, 4);
    write_text("jet.nc", "G21 G90\nG01 X10 Y0\nM62 P1\nG01 X40\nM63 P1\nG01 X100\nM30\n");
    ck_done("set", "-f", "shop.db", "machine:main", "jet_on=M62 P1", "jet_off=M63 P1", "layers_out=HOLES");
    const struct run_how shop = {.environment = {"SANDGLASS_FILE=shop.db"}};
    struct ran without = run("outline", "jet.nc", "--json", NULL),
               with = run_how(&shop, "outline", "jet.nc", "--json", NULL),
               asked = run_how(&shop, "outline", "jet.nc", "--on", "M63", "--off", "M62", "--json", NULL),
               gone = run("outline", "-f", "gone.db", "jet.nc", NULL);
    ck_near(json_number(without.out, "$.outlines[0].cut_length_mm"), 100, 1e-12L);
    ck_near(json_number(with.out, "$.outlines[0].cut_length_mm"), 30, 1e-12L);
    ck_near(json_number(asked.out, "$.outlines[0].cut_length_mm"), 60, 1e-12L);
    ck_code(gone, 4);
    ck_says(gone.err, "gone.db");
    done(&without);
    done(&with);
    done(&asked);
    done(&gone);
}
END_TEST

/* ---- small ---- */

/* What is smaller than a jet cuts most often has its unit wrong: told by all alike. */
START_TEST(what_is_too_small_to_be_cut_is_told)
{
    static const struct {
        double length, width, radius;
        const char *words; /* NULL: nothing to tell */
    } plates[] = {
        {3.94, 2.36, 0.2, "all of it is only 3.94 mm x 2.36 mm: is its unit right?"},
        {100, 60, 0.4,
         "1 hole is narrower than the bore of the mixing tube, 1.016 mm: the narrowest is 0.8 mm across"},
        {100, 60, 0.51, NULL}, /* 1.02 mm */
        {6, 6, 2, NULL},
    };
    make_part();
    for (size_t i = 0; i < sizeof plates / sizeof *plates; i++) {
        put_plate("small.dxf", plates[i].length, plates[i].width, plates[i].radius, 4);
        write_text("list.csv", "part,outline\nP,small.dxf\n");
        struct ran ran[] = {
            run("set", "-f", "shop.db", "J/1/A", "outline=small.dxf", "--dry-run", NULL),
            run("import", "-f", "shop.db", "J/1", "list.csv", "--dry-run", NULL),
            run("outline", "-f", "shop.db", "small.dxf", NULL),
        };
        for (int k = 0; k < 3; k++) {
            const char *said = k < 2 ? ran[k].err : ran[k].out;
            ck_code(ran[k], 0);
            ck_assert_msg(plates[i].words ? strstr(said, plates[i].words) != NULL
                                          : !strstr(said, "narrow") && !strstr(said, "is only"),
                          "plate %zu, way %d: %s", i, k, said);
            done(&ran[k]);
        }
    }
    put_plate("small.dxf", 100, 60, 0.4, 4);
    ck_done("set", "-f", "shop.db", "head:abrasive", "tube=0.76");
    struct ran ran = run("outline", "-f", "shop.db", "small.dxf", NULL); /* 0.8 mm is cut now */
    ck_says_not(ran.out, "narrow");
    done(&ran);
}
END_TEST

START_TEST(a_contour_that_does_not_close_is_told)
{
    make_part();
    write_text("corner.dxf", corner);
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

START_TEST(what_to_type_for_inches_has_the_folder_of_the_file)
{
    char text[400], words[400];
    make_part();
    ck_assert_int_eq(mkdir("order", 0700), 0);
    put_plate("order/bare.dxf", 100, 60, 10, 0);
    struct ran ran = run("set", "-f", "shop.db", "J/1/A", "outline=order/bare.dxf", NULL);
    ck_code(ran, 0);
    ck_says(ran.err, "type \"order/bare.dxf in\" for inches");
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1/A", "outline=order/bare.dxf in");
    /* One that is too long to be told whole is not told by half. */
    snprintf(text, sizeof text, "outline=order/%0120d.dxf", 7);
    put_plate(text + 8, 100, 60, 10, 0);
    ran = run("set", "-f", "shop.db", "J/1/A", text, NULL);
    ck_code(ran, 0);
    snprintf(words, sizeof words, "type \" in\" behind its name for inches");
    ck_says(ran.err, words);
    done(&ran);
}
END_TEST

static void fill(TCase *tests)
{
    tcase_add_test(tests, a_part_is_measured_as_the_outline_command_measures_its_file);
    tcase_add_test(tests, the_split_adds_up_to_the_seconds_of_the_part);
    tcase_add_test(tests, why_tells_what_the_time_is_made_of);
    tcase_add_test(tests, a_trial_and_a_dry_run_keep_no_outline);
    tcase_add_test(tests, figures_that_an_outline_measures_are_refused);
    tcase_add_test(tests, a_unit_behind_the_name_scales_a_file_without_one);
    tcase_add_test(tests, the_jet_words_of_the_machine_are_used_and_go_together);
    tcase_add_test(tests, a_damaged_outline_is_told_by_every_command_in_one_sentence);
    tcase_add_loop_test(tests, what_set_counts_the_outline_command_lists, 0, 3);
    tcase_add_test(tests, the_outline_command_reads_as_the_shop_does);
    tcase_add_test(tests, what_is_too_small_to_be_cut_is_told);
    tcase_add_test(tests, a_contour_that_does_not_close_is_told);
    tcase_add_test(tests, what_to_type_for_inches_has_the_folder_of_the_file);
}

int main(void)
{
    return run_suite("outlines of parts", fill);
}
