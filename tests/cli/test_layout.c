/* `layout`: a parts list onto sheets, read and told through the program itself. */
#include "cli/json.h"
#include "cli/run.h"

/* Ten of 9 9/16 by 4 in, and three of 100 mm by 2 1/2 in. */
static const char list[] = "part,length,width,quantity\nA,9 9/16,4,10\nB,100mm,2.5in,3\n";

static struct ran lay(const char *text, const char *sheet, const char *more, const char *value)
{
    struct run_how how = {.input = text, .input_length = strlen(text)};
    return run_how(&how, "layout", "--sheet", sheet, "--json", "-", more, value, NULL);
}

START_TEST(the_answer_has_the_keys_of_the_contract)
{
    struct ran ran = lay(list, "95 5/8 x 48", NULL, NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_document(ran.out);
    ck_keys(ran.out, "$", "sheets:number lower_bound:number utilisation:number placements:array");
    ck_keys(ran.out, "$.placements[12]", "sheet:number part:text x_mm:number y_mm:number");
    ck_assert_str_eq(json_type(ran.out, "$.placements[12].rotated") ? "there" : "missing", "there");
    ck_assert_int_eq(json_count(ran.out, "$.placements"), 13);
    ck_assert(json_number(ran.out, "$.sheets") == 1);
    ck_assert(json_number(ran.out, "$.lower_bound") == 1);
    long double pieces = 10 * 9.5625L * 4 * 25.4L * 25.4L + 3 * 100 * 63.5L;
    ck_near(json_number(ran.out, "$.utilisation"), pieces / (95.625L * 48 * 25.4L * 25.4L), 1e-9L);
    done(&ran);
}
END_TEST

/* Where the pieces lie, in lengths of the sheet from its corner: sheets from 1, the margin among them. */
START_TEST(each_piece_is_placed_from_the_corner_of_its_sheet)
{
    struct ran ran = lay("part,length,width,quantity\nP,40,20,3\n", "102mm x 44mm", "--margin", "2mm");
    ck_code(ran, 3); /* 40 in */
    done(&ran);
    struct run_how how = {.input = "part,length,width,quantity\nP,40,20,6\n", .input_length = 36};
    ran = run_how(&how, "layout", "--units", "metric", "--sheet", "87x46", "--margin", "2", "--gap", "2",
                  "--no-rotate", "--json", "-", NULL);
    ck_code(ran, 0);
    ck_assert(json_number(ran.out, "$.sheets") == 2);
    bool corner = false, far_corner = false;
    for (int i = 0; i < 6; i++) {
        char path[60];
        double at[3];
        static const char *const names[] = {"sheet", "x_mm", "y_mm"};
        for (int k = 0; k < 3; k++) {
            snprintf(path, sizeof path, "$.placements[%d].%s", i, names[k]);
            at[k] = json_number(ran.out, path);
        }
        ck_assert(at[0] == (i < 4 ? 1 : 2));
        ck_assert(at[1] == 2 || at[1] == 44);
        ck_assert(at[2] == 2 || at[2] == 24);
        corner = corner || (at[1] == 2 && at[2] == 2);
        far_corner = far_corner || (at[1] == 44 && at[2] == 24);
    }
    ck_assert(corner && far_corner);
    done(&ran);
}
END_TEST

START_TEST(rotated_swaps_the_sides_of_a_part)
{
    struct ran ran = lay("part,length,width\nP,10,30\n", "30x10", NULL, NULL);
    ck_code(ran, 0);
    ck_assert(json_ask(ran.out, "SELECT json_extract(?1, '$.placements[0].rotated')") == 1);
    done(&ran);
    ran = lay("part,length,width\nP,10,30\n", "10x30", NULL, NULL);
    ck_assert(json_ask(ran.out, "SELECT json_extract(?1, '$.placements[0].rotated')") == 0);
    done(&ran);
    ran = lay("part,length,width\nP,10,30\n", "30x10", "--no-rotate", NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "part P is too large");
    ck_says(ran.err, "10 x 30 in");
    ck_assert_str_eq(ran.out, "");
    done(&ran);
}
END_TEST

START_TEST(the_gap_is_taken_as_it_is_given)
{
    static const struct {
        const char *gap;
        int sheets;
    } gaps[] = {{"0", 1}, {"0.25", 1}, {"1/4", 1}, {"6.35mm", 1}, {"0.251", 2}, {"6.351mm", 2}};
    for (size_t i = 0; i < sizeof gaps / sizeof *gaps;
         i++) { /* ten with nine gaps of 1/4 in are 102 1/4 in */
        struct ran ran =
            lay("part,length,width,quantity\nA,10,10,10\n", "=100+9*1/4x10", "--gap", gaps[i].gap);
        ck_code(ran, 0);
        ck_assert_msg(json_number(ran.out, "$.sheets") == gaps[i].sheets, "%s: %s", gaps[i].gap, ran.out);
        done(&ran);
    }
}
END_TEST

START_TEST(units_of_the_list_the_options_and_the_header)
{
    static const struct {
        const char *list, *sheet, *units;
        double sheets;
    } ways[] = {{"part,length,width,quantity\nA,2,1,8\n", "4x4", NULL, 1},
                {"part,length,width,quantity\nA,2,1,8\n", "4x4", "metric", 1},
                {"part,length,width,quantity\nA,2in,1in,8\n", "4x4", "metric", 0},
                {"part,length_in,width_in,quantity\nA,2,1,8\n", "101.6x101.6", "metric", 1},
                {"part,length_mm,width_mm,quantity\nA,50.8,25.4,8\n", "4x4", "us", 1},
                {"Part;Length (mm);Width (mm);Quantity\nA;50,8;25,4;8\n", "4inx101,6 mm", NULL, 1}};
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        struct ran ran = lay(ways[i].list, ways[i].sheet, ways[i].units ? "--units" : NULL, ways[i].units);
        ck_code(ran, ways[i].sheets > 0 ? 0 : 3);
        if (ways[i].sheets > 0)
            ck_assert_msg(json_number(ran.out, "$.sheets") == ways[i].sheets, "%zu: %s", i, ran.out);
        done(&ran);
    }
}
END_TEST

/* Columns that are nothing to a layout are not read at all; headers can be told. */
START_TEST(other_columns_do_not_matter)
{
    struct ran ran = lay("part,material,note,thickness,length,width,quantity\nA,unobtainium,n,thick,1,2,4\n",
                         "4x2", NULL, NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_assert(json_number(ran.out, "$.sheets") == 1);
    done(&ran);
    ran = lay("part,Long side,Short side,Wanted\nA,1,2,4\n", "4x2", "--map",
              "Long side=length,Short side=width,Wanted=quantity");
    ck_code(ran, 0);
    ck_assert_int_eq(json_count(ran.out, "$.placements"), 4);
    done(&ran);
    ran = lay("part,length,width,quantity\nA,,,0\nB,1,1,2\n", "4x2", NULL, NULL); /* none of A */
    ck_code(ran, 0);
    ck_assert_int_eq(json_count(ran.out, "$.placements"), 2);
    done(&ran);
}
END_TEST

START_TEST(effort_is_counted_and_the_answer_always_the_same)
{
    char text[2000] = "part,length,width,quantity\n";
    for (int i = 0; i < 40; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "p%d,%d,%d,%d\n", i, 3 + 7 * i % 31,
                 2 + 11 * i % 23, 1 + i % 4);
    double before = 1e9;
    static const char *const efforts[] = {"0", "10", "300"};
    for (int i = 0; i < 3; i++) {
        struct ran one = lay(text, "48x40", "--effort", efforts[i]);
        struct ran two = lay(text, "48x40", "--effort", efforts[i]);
        ck_code(one, 0);
        ck_assert_str_eq(one.out, two.out);
        double sheets = json_number(one.out, "$.sheets");
        ck_assert(sheets <= before && sheets >= json_number(one.out, "$.lower_bound"));
        before = sheets;
        done(&one);
        done(&two);
    }
}
END_TEST

START_TEST(as_text_sheets_cut_alike_stand_in_one_line)
{
    write_text("parts.csv", "part,length,width,quantity\nA,10,10,25\n");
    struct ran ran = run("layout", "--sheet", "30x32", "parts.csv", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "3 sheets of 30 x 32 in, at least 3 needed, 86.8 % used\n");
    ck_says(ran.out, "sheets 1 to 2: 9 pieces each");
    ck_says(ran.out, "sheet 3: 7 pieces, the largest rectangle left over 20 x 12 in at x 10 y 20\n");
    done(&ran);
}
END_TEST

START_TEST(what_is_wrong_is_said_with_its_place)
{
    write_text("parts.csv", list);
    write_text("large.csv", "part,length,width,quantity\nA,1,1,1\nLONG,97,1,2\n");
    write_text("bad.csv", "part,length,width,quantity\nA,x,1,1\nB,1,1,-2\n");
    write_text("no-width.csv", "part,length,quantity\nA,1,1\n");
    write_text("half.csv", "part,length,width,quantity\nA,1,,1\n");
    write_text("twice.csv", "part,length,width,quantity\nA,1,1,1\nA,1,1,1\n");
    write_text("empty.csv", "");
    ck_refused(2, "--sheet LENGTHxWIDTH", "layout", "parts.csv");
    ck_refused(2, "usage: sandglass layout PARTS.csv", "layout", "--sheet", "96x48");
    ck_refused(2, "takes no option --kerf", "layout", "--sheet", "96x48", "parts.csv", "--kerf", "1");
    ck_refused(2, "--effort is a whole number", "layout", "--sheet", "96x48", "parts.csv", "--effort", "ten");
    ck_refused(2, "us or metric", "layout", "--sheet", "96x48", "parts.csv", "--units", "feet");
    ck_refused(3, "--sheet 96: a length and a width", "layout", "--sheet", "96", "parts.csv");
    ck_refused(3, "--sheet 96kg", "layout", "--sheet", "96kgx48", "parts.csv");
    ck_refused(3, "--sheet 0", "layout", "--sheet", "0x48", "parts.csv");
    ck_refused(3, "--gap -1", "layout", "--sheet", "96x48", "--gap", "-1", "parts.csv");
    ck_refused(3, "--margin wide", "layout", "--sheet", "96x48", "--margin", "wide", "parts.csv");
    ck_refused(3, "large.csv:3: part LONG is too large: 97 x 1 in", "layout", "--sheet", "96x48",
               "large.csv");
    ck_refused(3, "bad.csv:2:2", "layout", "--sheet", "96x48", "bad.csv");
    ck_refused(3, "2 of 2 rows are bad", "layout", "--sheet", "96x48", "bad.csv");
    ck_refused(3, "part, length and width", "layout", "--sheet", "96x48", "no-width.csv");
    ck_refused(3, "half.csv:2: part A has no length or no width", "layout", "--sheet", "96x48", "half.csv");
    ck_refused(3, "stands in line 2 already", "layout", "--sheet", "96x48", "twice.csv");
    ck_refused(3, "empty.csv", "layout", "--sheet", "96x48", "empty.csv");
    ck_refused(4, "nowhere.csv", "layout", "--sheet", "96x48", "nowhere.csv");
    struct ran ran = run("layout", "--sheet", "96x48", "--margin", "30", "parts.csv", NULL);
    ck_code(ran, 3);
    ck_says(ran.err, "within its margin");
    done(&ran);
}
END_TEST

START_TEST(a_million_pieces_of_a_part)
{
    struct run_how how = {.input = "part,length,width,quantity\nA,1,1,1000000\n", .input_length = 41};
    struct ran ran = run_how(&how, "layout", "--sheet", "96x48", "-", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "218 sheets of 96 x 48 in, at least 218 needed"); /* 4608 on each */
    ck_says(ran.out, "sheets 1 to 217: 4608 pieces each");
    ck_says(ran.out, "sheet 218: 64 pieces");
    done(&ran);
}
END_TEST

/* Right triangles of 100 x 60: two of them are a box of 100 x 60, a gap apart. */
START_TEST(outlines_lie_into_each_other)
{
    write_text("triangle.nc", "G21 G90\nG0 X0 Y0\nG1 X100 F500\nX0 Y60\nY0\nM2\n");
    write_text("list.csv", "part,outline,quantity\nT,triangle.nc,8\n");
    struct ran ran = run("layout", "--sheet", "112mm x 72mm", "--gap", "2mm", "--json", "list.csv", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_assert(json_number(ran.out, "$.sheets") == 4);
    ck_assert(json_number(ran.out, "$.sheets_of_boxes") == 8);
    ck_assert(json_number(ran.out, "$.lower_bound") >= 3);
    ck_assert_str_eq(json_type(ran.out, "$.interlocked"), "true");
    ck_assert_int_eq(json_count(ran.out, "$.placements"), 8);
    done(&ran);
    ran = run("layout", "--sheet", "112mm x 72mm", "--gap", "2mm", "list.csv", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "boxes alone would take 8 sheets");
    done(&ran);
    write_text("list.csv", "part,outline,quantity\nT,other.nc,8\n");
    ck_refused(4, "other.nc", "layout", "--sheet", "112mm x 72mm", "list.csv");
    write_text("empty.nc", "G21\nM2\n");
    write_text("list.csv", "part,outline,quantity\nT,empty.nc,8\n");
    ck_refused(3, "list.csv:2", "layout", "--sheet", "112mm x 72mm", "list.csv");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, the_answer_has_the_keys_of_the_contract);
    tcase_add_test(tcase, each_piece_is_placed_from_the_corner_of_its_sheet);
    tcase_add_test(tcase, rotated_swaps_the_sides_of_a_part);
    tcase_add_test(tcase, the_gap_is_taken_as_it_is_given);
    tcase_add_test(tcase, units_of_the_list_the_options_and_the_header);
    tcase_add_test(tcase, other_columns_do_not_matter);
    tcase_add_test(tcase, effort_is_counted_and_the_answer_always_the_same);
    tcase_add_test(tcase, as_text_sheets_cut_alike_stand_in_one_line);
    tcase_add_test(tcase, what_is_wrong_is_said_with_its_place);
    tcase_add_test(tcase, a_million_pieces_of_a_part);
    tcase_add_test(tcase, outlines_lie_into_each_other);
}

int main(void)
{
    return run_suite("layout", fill);
}
