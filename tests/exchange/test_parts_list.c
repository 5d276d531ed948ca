#include "exchange/exchange.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sg_error error;
static const struct sg_list_how as_it_comes;

static struct sg_material materials[] = {
    {.name = "steel, mild", .aliases = "mild steel;carbon steel"},
    {.name = "stainless 304", .aliases = "304"},
    {.name = "stainless 316", .aliases = "316"},
    {.name = "aluminium 6061", .aliases = "aluminum;6061"},
    {.name = "aluminium 7075", .aliases = ""},
};
static struct sg_shop shop = {.units = SG_UNITS_METRIC, .n_materials = 5, .materials = materials};

static enum sg_status read_text(const char *text, size_t length, const struct sg_list_how *how,
                                struct sg_parts_list *list)
{
    char *copy = malloc(length ? length : 1); /* of just the size, and gone before the list is looked at */
    memcpy(copy, text, length);
    enum sg_status status = sg_parts_list_read("list.csv", copy, length, &shop, how, list, &error);
    free(copy);
    return status;
}

static enum sg_status read_fixture(const char *name, const struct sg_list_how *how,
                                   struct sg_parts_list *list)
{
    char path[1000], *data = NULL;
    size_t length = 0;
    snprintf(path, sizeof path, "%s/parts/%s", FIXTURES, name);
    ck_assert_int_eq(sg_file_read(path, 1 << 20, &data, &length, &error), SG_OK);
    enum sg_status status = read_text(data, length, how, list);
    free(data);
    return status;
}

static void read_good(const char *text, struct sg_parts_list *list)
{
    enum sg_status status = read_text(text, strlen(text), &as_it_comes, list);
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

/* The findings as LINE:COLUMN: TEXT, those that do not leave a row out with a + in front. That a column is
 * missing has a test of its own. */
static const char *findings_of(const struct sg_parts_list *list)
{
    static struct sg_text text;
    text.length = 0;
    sg_text_put(&text, "");
    for (int i = 0; i < list->n_findings; i++) {
        const struct sg_list_finding *one = &list->findings[i];
        if (one->row < 0 && one->column == 0)
            continue;
        sg_text_format(&text, "%s%d:%d: %s\n", one->bad ? "" : "+", one->line, one->column, one->text);
    }
    return text.data;
}

static void expect_findings(const char *text, const char *findings)
{
    struct sg_parts_list list;
    read_good(text, &list);
    ck_assert_str_eq(findings_of(&list), findings);
    sg_parts_list_free(&list);
}

static void expect_number(double value, double expected)
{
    ck_assert_double_eq_tol(value, expected, 1e-12 * (1 + expected));
}

/* ---- good lists ---- */

static void expect_three_parts(const struct sg_parts_list *list, const char *file)
{
    static const struct {
        const char *id, *name, *note;
        int quantity, material, pierces;
        double thickness, cut_length;
    } expected[] = {
        {"A1", "Bracket, left",
         "Gr\xC3\xBC\xC3\x9F"
         "e \xE2\x80\x93 5 \xE2\x82\xAC",
         12, 0, 4, 6.5, 1234.5},
        {"B/2", "Ring 1/2\"", "", 1, 0, 2, 12, 800},
        {"00417-3", "Cover", "two\nlines", 150, 3, 0, 0.25, 99.25},
    };
    ck_assert_msg(list->n_rows == 3 && list->n_raw == 3 && list->n_bad == 0, "%s: %s", file,
                  findings_of(list));
    for (int i = 0; i < 3; i++) {
        const struct sg_list_row *row = &list->rows[i];
        ck_assert_str_eq(row->part.id, expected[i].id);
        ck_assert_str_eq(row->part.name, expected[i].name);
        ck_assert_str_eq(row->part.note, expected[i].note);
        ck_assert_int_eq(row->part.quantity, expected[i].quantity);
        ck_assert_int_eq(row->part.pierces, expected[i].pierces);
        ck_assert_int_eq(row->material, expected[i].material);
        ck_assert_double_eq(row->thickness, expected[i].thickness);
        ck_assert_double_eq(row->part.cut_length, expected[i].cut_length);
        ck_assert(!sg_known(row->part.area) && !sg_known(row->part.edge));
    }
}

START_TEST(the_same_list_in_many_clothes_is_the_same)
{
    DIR *folder = opendir(FIXTURES "/parts/same");
    ck_assert_ptr_nonnull(folder);
    int files = 0;
    for (struct dirent *entry; (entry = readdir(folder)); files++) {
        char name[300];
        struct sg_parts_list list;
        if (entry->d_name[0] == '.') {
            files--;
            continue;
        }
        snprintf(name, sizeof name, "same/%s", entry->d_name);
        ck_assert_msg(read_fixture(name, &as_it_comes, &list) == SG_OK, "%s: %s", name, error.text);
        expect_three_parts(&list, name);
        sg_parts_list_free(&list);
    }
    closedir(folder);
    ck_assert_int_eq(files, 14);
}
END_TEST

START_TEST(says_how_it_read)
{
    static const struct {
        const char *file, *encoding;
        char separator;
        int last_line; /* of the last row's first character */
    } files[] = {
        {"same/comma.csv", "utf-8", ',', 4},
        {"same/semicolon.csv", "utf-8", ';', 4},
        {"same/tab.tsv", "utf-8", '\t', 4},
        {"same/windows-1252.csv", "windows-1252", ',', 4},
        {"same/utf-16le.csv", "utf-16le", ';', 4},
        {"same/utf-16be-mark.csv", "utf-16be", '\t', 4},
        {"same/carriage-returns.csv", "utf-8", ',', 4},
        {"same/another-order.csv", "utf-8", ',', 9},
    };
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        struct sg_parts_list list;
        ck_assert_int_eq(read_fixture(files[i].file, &as_it_comes, &list), SG_OK);
        ck_assert_str_eq(list.encoding, files[i].encoding);
        ck_assert_int_eq(list.separator, files[i].separator);
        ck_assert_int_eq(list.rows[2].line, files[i].last_line);
        ck_assert_str_eq(list.name, "list.csv");
        ck_assert_int_eq(list.n_header, 8);
        sg_parts_list_free(&list);
    }
}
END_TEST

START_TEST(a_decimal_comma_is_said)
{
    struct sg_parts_list list;
    ck_assert_int_eq(read_fixture("same/semicolon-decimal-comma-mark.csv", &as_it_comes, &list), SG_OK);
    ck_assert_int_eq(list.n_findings, 4); /* 6,5 1234,5 0,25 99,25 */
    for (int i = 0; i < 4; i++) {
        ck_assert(!list.findings[i].bad);
        ck_assert_ptr_nonnull(strstr(list.findings[i].text, ",")); /* the cell as it stands */
        ck_assert_ptr_nonnull(strstr(list.findings[i].text, "read as "));
    }
    ck_assert_int_eq(list.findings[0].line, 2);
    ck_assert_int_eq(list.findings[0].column, 5);
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(what_the_file_does_not_say_is_the_fresh_part)
{
    struct sg_parts_list list;
    read_good("part,quantity,edge\nA,,\nB,3,coarse\n", &list);
    ck_assert_int_eq(list.n_rows, 2);
    ck_assert_int_eq(list.rows[0].part.quantity, 1);
    ck_assert_int_eq(list.rows[0].part.pierces, 1);
    ck_assert(!sg_known(list.rows[0].part.edge) && !sg_known(list.rows[0].part.cut_length));
    ck_assert(!sg_known(list.rows[0].thickness));
    ck_assert_int_eq(list.rows[0].material, SG_UNKNOWN);
    ck_assert_str_eq(list.rows[0].part.name, "");
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    for (int i = 0; i < count; i++) {
        bool said = strcmp(fields[i].name, "quantity") == 0 || strcmp(fields[i].name, "edge") == 0;
        ck_assert(!list.rows[0].has[i]);
        ck_assert_int_eq(list.rows[1].has[i], said);
    }
    ck_assert_double_eq(list.rows[1].part.edge, 2); /* separation, coarse, ... */
    sg_parts_list_free(&list);
}
END_TEST

/* in = 25.4 mm, ft = 12 in; worked out by hand. */
START_TEST(units_stand_in_the_header_or_in_the_cell)
{
    static const struct {
        double thickness, cut_length, length, width, area, rapid_length, feed, pierce_seconds;
    } expected[] = {
        {6.35, 1500, 609.6, 100, 2580.64, 10, 508, 7.5},
        {6, 1498.6, 500, 101.6, 100, 1000, 500, 90},
        {6.35, 1500, 457.2, 100, 2580.64, 9.525, 508, 30},
    };
    struct sg_parts_list list;
    ck_assert_int_eq(read_fixture("units.csv", &as_it_comes, &list), SG_OK);
    ck_assert_str_eq(findings_of(&list), "");
    ck_assert_int_eq(list.n_rows, 3);
    for (int i = 0; i < 3; i++) {
        const struct sg_part *part = &list.rows[i].part;
        expect_number(list.rows[i].thickness, expected[i].thickness);
        expect_number(part->cut_length, expected[i].cut_length);
        expect_number(part->length, expected[i].length);
        expect_number(part->width, expected[i].width);
        expect_number(part->area, expected[i].area);
        expect_number(part->rapid_length, expected[i].rapid_length);
        expect_number(part->feed, expected[i].feed);
        expect_number(part->pierce_seconds, expected[i].pierce_seconds);
    }
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(without_a_unit_the_shop_says_it)
{
    struct sg_parts_list list;
    shop.units = SG_UNITS_US;
    read_good("part,thickness,width\nA,0.5,2\n", &list);
    shop.units = SG_UNITS_METRIC;
    expect_number(list.rows[0].thickness, 12.7);
    expect_number(list.rows[0].part.width, 50.8);
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(guards_are_taken_off)
{
    struct sg_parts_list list;
    ck_assert_int_eq(read_fixture("guarded.csv", &as_it_comes, &list), SG_OK);
    ck_assert_int_eq(list.n_rows, 2);
    ck_assert_str_eq(list.rows[0].part.id, "=A1");
    ck_assert_str_eq(list.rows[0].part.name, "+name");
    ck_assert_str_eq(list.rows[0].part.note, "'-12"); /* -12 is a plain number: no guard was put there */
    ck_assert_str_eq(list.rows[1].part.id, "-12.5");
    ck_assert_str_eq(list.rows[1].part.name, "'plain");
    ck_assert_str_eq(list.rows[1].part.note, "'=x");
    ck_assert_str_eq(list.raw[0].cells[0], "'=A1"); /* as in the file */
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(blanks_around_cells_do_not_count_and_none_clears)
{
    struct sg_parts_list list;
    read_good("part , name,length,note\n A 1\t, x y ,none,none\n", &list);
    ck_assert_str_eq(findings_of(&list), "");
    ck_assert_str_eq(list.rows[0].part.id, "A 1");
    ck_assert_str_eq(list.rows[0].part.name, "x y");
    ck_assert_str_eq(list.rows[0].part.note, "");
    ck_assert(!sg_known(list.rows[0].part.length));
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(lines_within_a_text_end_in_lf)
{
    struct sg_parts_list list;
    read_good("part,note,name\r\nA,\"one\r\ntwo\rthree\nfour\r\n\r\nfive\",\"'\r\n\"\r\n", &list);
    ck_assert_str_eq(findings_of(&list), "");
    ck_assert_str_eq(list.rows[0].part.note, "one\ntwo\nthree\nfour\n\nfive");
    ck_assert_str_eq(list.rows[0].part.name, "\n"); /* the guard was before the line break */
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(header_names_match_however_they_are_spelled)
{
    struct sg_parts_list list;
    read_good(" PART ,\"Cut\r\nLength [m]\",Length (mm),--rapid__length - IN,Pierce-Seconds\nA,1,2,3,4\n",
              &list);
    ck_assert_str_eq(findings_of(&list), "");
    expect_number(list.rows[0].part.cut_length, 1000);
    expect_number(list.rows[0].part.length, 2);
    expect_number(list.rows[0].part.rapid_length, 76.2);
    expect_number(list.rows[0].part.pierce_seconds, 4);
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(rows_of_empty_cells_and_empty_cells_at_the_end_are_allowed)
{
    expect_findings("part,name,,\nA,1\n,\n , ,\t\nB,2,,,,\n", "");
}
END_TEST

/* ---- findings ---- */

START_TEST(all_bad_rows_are_found_in_file_order)
{
    struct sg_parts_list list;
    ck_assert_int_eq(read_fixture("bad-rows.csv", &as_it_comes, &list), SG_OK);
    static const struct {
        int line, column;
        const char *says[2];
    } expected[] = {
        {3, 2, {"quantity \"twelve\": ", "a whole number, 0 to 1000000"}},
        {4, 4, {"thickness \"-0.5\": ", "must be more than 0"}},
        {5, 5, {"cut_length \"1,200\": ", "1200"}},
        {6, 1, {"part \"\": ", "every row needs the key of its part"}},
        {7, 0, {"row has 3 cells, the header 8", ""}},
        {8, 0, {"row has 9 cells, the header 8", ""}},
        {9, 3, {"material \"steel milt\": ", "near it: \"steel, mild\""}},
        {10, 2, {"quantity \"1.5\": ", "whole number"}},
        {10, 3, {"material \"unobtanium\": ", "not in the library"}},
        {10, 4, {"thickness \"abc\": ", ""}},
        {10, 5, {"cut_length \"1e309\": ", ""}},
        {10, 6, {"pierces \"-1\": ", "0 to 100000"}},
        {10, 7, {"edge \"7\": ", "1 to 5"}},
        {12, 3, {"material \"stainless\": ", "2 materials begin so"}},
        {13, 1, {"part \"good-1\": ", "stands in line 2 already"}},
    };
    int n = sizeof expected / sizeof *expected;
    ck_assert_msg(list.n_findings == n, "%s", findings_of(&list));
    for (int i = 0; i < n; i++) {
        ck_assert(list.findings[i].bad);
        ck_assert_int_eq(list.findings[i].line, expected[i].line);
        ck_assert_int_eq(list.findings[i].column, expected[i].column);
        ck_assert_int_eq(list.raw[list.findings[i].row].line, expected[i].line);
        for (int k = 0; k < 2; k++)
            ck_assert_msg(strstr(list.findings[i].text, expected[i].says[k]), "%s", list.findings[i].text);
    }
    ck_assert_int_eq(list.n_raw, 13);
    ck_assert_int_eq(list.n_bad, 10);
    ck_assert_int_eq(list.n_rows, 3);
    ck_assert_str_eq(list.rows[1].part.id, "good-1"); /* the same key in another thickness */
    ck_assert_double_eq(list.rows[1].thickness, 8);
    ck_assert_str_eq(list.rows[2].part.id, "good-2");
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(near_names_come_best_first)
{
    expect_findings(
        "part,material\nA,stainles 304\nB,Aluminium 6016\nC,7075\nD,aluminium 5083\nE,x\nF,steel\n"
        "G,steal mild\nH,stel\nI,aluminun\n",
        "2:2: material \"stainles 304\": not in the library; near it: \"stainless 304\", "
        "\"stainless 316\"\n"
        "3:2: material \"Aluminium 6016\": not in the library; near it: \"aluminium 6061\", "
        "\"aluminium 7075\"\n"
        "4:2: material \"7075\": not in the library; near it: \"aluminium 7075\"\n"
        "5:2: material \"aluminium 5083\": not in the library; near it: \"aluminium 6061\", "
        "\"aluminium 7075\"\n"
        "6:2: material \"x\": not in the library; `add material` puts it there\n"
        "8:2: material \"steal mild\": not in the library; near it: \"steel, mild\"\n"
        "9:2: material \"stel\": not in the library; near it: \"steel, mild\"\n"
        "10:2: material \"aluminun\": not in the library; near it: \"aluminium 6061\", "
        "\"aluminium 7075\"\n");
}
END_TEST

START_TEST(a_long_or_hostile_cell_is_shown_cut_and_escaped)
{
    static const char *const begins[] = {
        "quantity \"\\u001b[2J\\u202e\": ",
        "quantity \"0123456789012345678901234567890123456789...\": ",
        "part \"C\\nD\": the key of a part may not hold a tab or line break",
    };
    struct sg_parts_list list;
    read_good(
        "part,quantity\nA,\x1B[2J\xE2\x80\xAE\nB,0123456789012345678901234567890123456789ab\n\"C\nD\",1\n",
        &list);
    ck_assert_int_eq(list.n_findings, 3);
    for (int i = 0; i < 3; i++)
        ck_assert_msg(strncmp(list.findings[i].text, begins[i], strlen(begins[i])) == 0, "%s",
                      list.findings[i].text);
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(a_key_has_at_most_200_characters)
{
    char text[1000] = "part\n";
    for (int i = 0; i < 200; i++)
        strcat(text, "\xC3\xBC");
    expect_findings(text, "");
    strcat(text, "x");
    struct sg_parts_list list;
    read_good(text, &list);
    ck_assert_int_eq(list.n_bad, 1);
    ck_assert_ptr_nonnull(strstr(findings_of(&list), "at most 200"));
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(a_part_may_stand_in_several_stocks_once)
{
    expect_findings("part,material,thickness\nA,304,1\nA,304,2\nA,316,1\nA,,1\nA,304,\nA,,\n", "");
    expect_findings(
        "name,part,material,thickness\nx,A,304,\"1,5\"\ny,A,stainless 304,\"1,5\"\nx,B,,\nx,B,,\n",
        "+2:4: thickness \"1,5\": read as 1.5\n"
        "3:2: part \"A\": stands in line 2 already, in the same material and thickness\n"
        "+3:4: thickness \"1,5\": read as 1.5\n"
        "5:2: part \"B\": stands in line 4 already, in the same material and thickness\n");
}
END_TEST

START_TEST(columns_that_are_left_out_are_said)
{
    struct sg_parts_list list;
    ck_assert_int_eq(read_fixture("outline.csv", &as_it_comes, &list), SG_OK);
    ck_assert_str_eq(
        findings_of(&list),
        "+1:3: column \"Rev\" is not known and left out: --map \"HEADER=COLUMN\" says what it is\n");
    ck_assert_int_eq(list.findings[0].row, -1);
    ck_assert_int_eq(list.n_rows, 1);
    ck_assert_int_eq(list.n_bad, 0);
    sg_parts_list_free(&list);
}
END_TEST

/* As it is typed: who brings the list in looks for the file. */
START_TEST(the_outline_of_a_row_is_a_file_of_any_name)
{
    static const char text[] = "part,outline\nA,plates/plate 7.dxf\nB,\nC,\"=a, \"\"b\"\".nc \"\nD,none\n";
    static const char *const outlines[] = {"plates/plate 7.dxf", NULL, "=a, \"b\".nc", "none"};
    struct sg_parts_list list;
    ck_assert_int_eq(read_text(text, sizeof text - 1, &as_it_comes, &list), SG_OK);
    ck_assert_str_eq(findings_of(&list), "");
    ck_assert_int_eq(list.n_rows, 4);
    for (int i = 0; i < 4; i++) {
        if (outlines[i])
            ck_assert_str_eq(list.rows[i].outline, outlines[i]);
        else
            ck_assert_ptr_null(list.rows[i].outline);
    }
    sg_parts_list_free(&list);
}
END_TEST

/* A unit of another dimension, or behind a column without one, makes another name. */
START_TEST(a_unit_fits_its_column)
{
    expect_findings(
        "part,quantity_mm,area_mm,length_mm2,material_in,width_,note_m\nA,,,,,,\n",
        "+1:2: column \"quantity_mm\" is not known and left out: --map \"HEADER=COLUMN\" says what it is\n"
        "+1:3: column \"area_mm\" is not known and left out: --map \"HEADER=COLUMN\" says what it is\n"
        "+1:4: column \"length_mm2\" is not known and left out: --map \"HEADER=COLUMN\" says what it is\n"
        "+1:5: column \"material_in\" is not known and left out: --map \"HEADER=COLUMN\" says what it is\n"
        "+1:7: column \"note_m\" is not known and left out: --map \"HEADER=COLUMN\" says what it is\n");
}
END_TEST

/* ---- the map ---- */

START_TEST(the_map_names_columns_and_leaves_out)
{
    struct sg_parts_list list;
    struct sg_list_how how = {
        .map = "item = part,Description=name,QTY_REQ=quantity,Thk=thickness_in,\"Perimeter, "
               "in=cut_length_in\",Rev="};
    ck_assert_msg(read_fixture("mapped.csv", &how, &list) == SG_OK, "%s", error.text);
    ck_assert_str_eq(findings_of(&list), "");
    ck_assert_int_eq(list.n_rows, 2);
    ck_assert_str_eq(list.rows[0].part.id, "00417-3");
    ck_assert_str_eq(list.rows[0].part.name, "Bracket left");
    ck_assert_int_eq(list.rows[0].part.quantity, 12);
    expect_number(list.rows[0].thickness, 12.7);
    expect_number(list.rows[0].part.cut_length, 49.606 * 25.4);
    expect_number(list.rows[1].thickness, 12.7);
    sg_parts_list_free(&list);
}
END_TEST

static const struct wrong_map {
    const char *map;
    enum sg_status status;
    const char *says[2];
} wrong_maps[] = {
    {"Item=part,Qty req=quantiy",
     SG_USAGE,
     {"\"quantiy\" is no column", "columns are part, material, thickness"}},
    {"Item=part,Thk=thickness_kg", SG_USAGE, {"\"thickness_kg\" is no column", "cut_length"}},
    {"Item=part,Quantity=quantity", SG_BAD_DATA, {"header \"Quantity\" that is not there", "\"Qty req\""}},
    {"Item", SG_USAGE, {"--map \"Item\"", "HEADER=COLUMN"}},
    {"Item=part,item=name", SG_USAGE, {"\"item\" twice", ""}},
    {"Item=part,Qty req=quantity,Rev=quantity",
     SG_BAD_DATA,
     {"column 3 \"Qty req\" and column 6 \"Rev\"", "both quantity"}},
    {"Item=part,\"open=quantity", SG_USAGE, {"--map:1", "never closed"}},
    {"Item=,Rev=", SG_BAD_DATA, {"list.csv:1: ", "no column \"part\""}},
};

START_TEST(a_wrong_map_is_refused_with_what_would_be_right)
{
    struct sg_parts_list list = {.n_rows = 77};
    struct sg_list_how how = {.map = wrong_maps[_i].map};
    ck_assert_int_eq(read_fixture("mapped.csv", &how, &list), wrong_maps[_i].status);
    ck_assert_int_eq(error.status, wrong_maps[_i].status);
    for (int k = 0; k < 2; k++)
        ck_assert_msg(strstr(error.text, wrong_maps[_i].says[k]), "%s", error.text);
    ck_assert_int_eq(list.n_rows, 77); /* untouched */
}
END_TEST

/* ---- files that are refused whole ---- */

static const struct refused {
    const char *file, *text;
} refused[] = {
    {"twice.csv",
     "list.csv:1: column 2 \"thickness_mm\" and column 3 \"Thickness in\" are both thickness; leave one "
     "out with --map \"HEADER=\""},
    {"no-part.csv", "list.csv:1: the header has no column \"part\""},
    {"empty.csv", "list.csv is empty: a parts list begins with a row of column names"},
    {"blank.csv", "list.csv is empty: a parts list begins with a row of column names"},
    {"open-quote.csv", "list.csv:3: a quote is opened in this row and never closed"},
    {"quote-inside.csv", "list.csv:2: a quote inside a cell that does not begin with one"},
    {"nul.csv", "list.csv: a NUL character in line 3"},
    {"no-character-set.csv", "list.csv: byte 0x81 at offset 20, line 3 is neither UTF-8 nor Windows-1252"},
};

START_TEST(what_is_no_parts_list_is_refused_whole)
{
    struct sg_parts_list list = {.n_rows = 77};
    ck_assert_int_eq(read_fixture(refused[_i].file, &as_it_comes, &list), SG_BAD_DATA);
    ck_assert_msg(strncmp(error.text, refused[_i].text, strlen(refused[_i].text)) == 0, "%s", error.text);
    ck_assert_int_eq(list.n_rows, 77);
}
END_TEST

START_TEST(how_it_is_read_may_be_said)
{
    struct sg_parts_list list;
    struct sg_list_how how = {.encoding = "Latin-1", .separator = ';'};
    const char text[] = "part;name\nA,1;\xFC\n";
    ck_assert_int_eq(read_text(text, strlen(text), &how, &list), SG_OK);
    ck_assert_str_eq(list.rows[0].part.id, "A,1");
    ck_assert_str_eq(list.rows[0].part.name, "\xC3\xBC");
    ck_assert_str_eq(list.encoding, "latin-1");
    sg_parts_list_free(&list);
    how.encoding = "klingon";
    ck_assert_int_eq(read_text(text, strlen(text), &how, &list), SG_USAGE);
}
END_TEST

/* ---- the bad rows ---- */

START_TEST(bad_rows_come_back_with_their_reason)
{
    struct sg_parts_list list;
    struct sg_text out = {0};
    read_good("part;Rev;material;'=x\r\nA;1;zinc?;=1\r\nB;2;304;'=2\r\n;3;steel;'=3\r\nD\r\nE;4;5;6;7\r\n'=C;"
              "3;gold;'=3\r\n",
              &list);
    sg_parts_list_bad(&list, &out);
    ck_assert_str_eq(
        out.data,
        "part;Rev;material;'=x;;reason\r\n"
        "A;1;zinc?;'=1;;\"material \"\"zinc?\"\": not in the library; `add material` puts it there\"\r\n"
        ";3;steel;'=3;;\"part \"\"\"\": every row needs the key of its part\"\r\n"
        "D;;;;;row has 1 cell, the header 4\r\n"
        "E;4;5;6;7;row has 5 cells, the header 4\r\n"
        "'=C;3;gold;'=3;;\"material \"\"gold\"\": not in the library; `add material` puts it there\"\r\n");
    sg_text_free(&out);
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(several_reasons_of_a_row_stand_in_one_cell)
{
    struct sg_parts_list list;
    struct sg_text out = {0};
    read_good("part,material,quantity\n,gold,x\n", &list);
    sg_parts_list_bad(&list, &out);
    ck_assert_int_eq(list.n_findings, 3);
    const char *at = out.data;
    for (int i = 0; i < 3; i++) { /* the columns' names in front of each, in their order */
        static const char *const begins[] = {"\"part \"\"", "; material \"\"gold", "; quantity \"\"x"};
        at = strstr(at, begins[i]);
        ck_assert_ptr_nonnull(at);
    }
    sg_text_free(&out);
    sg_parts_list_free(&list);
}
END_TEST

START_TEST(mended_bad_rows_can_be_read_again)
{
    struct sg_parts_list list, again;
    struct sg_text out = {0};
    read_good("part,name\n\"'=A\",\"=1\"\n\"'=A\",\"'=1\"\n", &list);
    sg_parts_list_bad(&list, &out);
    read_good(out.data, &again);
    ck_assert_int_eq(again.n_rows, 1);
    ck_assert_str_eq(again.rows[0].part.id, "=A");
    ck_assert_str_eq(again.rows[0].part.name, "=1");
    sg_text_free(&out);
    sg_parts_list_free(&list);
    sg_parts_list_free(&again);
}
END_TEST

/* ---- many rows ---- */

START_TEST(fifty_thousand_rows_and_as_many_again_twice)
{
    enum { ROWS = 50000 };
    struct sg_text text = {0};
    struct sg_parts_list list;
    sg_text_put(&text, "part,quantity\n");
    for (int i = 0; i < 2 * ROWS; i++)
        sg_text_format(&text, "P%d,%d\n", i % ROWS, i);
    read_good(text.data, &list);
    ck_assert_int_eq(list.n_rows, ROWS);
    ck_assert_int_eq(list.n_bad, ROWS);
    ck_assert_int_eq(list.n_findings, ROWS);
    for (int i = 0; i < ROWS; i++) {
        ck_assert_int_eq(list.rows[i].part.quantity, i);
        ck_assert_int_eq(list.findings[i].line, ROWS + 2 + i);
    }
    sg_parts_list_free(&list);
    sg_text_free(&text);
}
END_TEST

START_TEST(a_row_has_at_most_255_cells)
{
    struct sg_parts_list list;
    char text[600] = "part\nA";
    for (int i = 0; i < 254; i++)
        strcat(text, ",");
    read_good(text, &list);
    ck_assert_int_eq(list.n_rows, 1);
    sg_parts_list_free(&list);
    strcat(text, ",");
    ck_assert_int_eq(read_text(text, strlen(text), &as_it_comes, &list), SG_BAD_DATA);
    ck_assert_str_eq(error.text, "list.csv:2: more than 255 cells in a row");
}
END_TEST

static void add_tests(TCase *tests)
{
    tcase_add_test(tests, the_same_list_in_many_clothes_is_the_same);
    tcase_add_test(tests, says_how_it_read);
    tcase_add_test(tests, a_decimal_comma_is_said);
    tcase_add_test(tests, what_the_file_does_not_say_is_the_fresh_part);
    tcase_add_test(tests, units_stand_in_the_header_or_in_the_cell);
    tcase_add_test(tests, without_a_unit_the_shop_says_it);
    tcase_add_test(tests, guards_are_taken_off);
    tcase_add_test(tests, blanks_around_cells_do_not_count_and_none_clears);
    tcase_add_test(tests, lines_within_a_text_end_in_lf);
    tcase_add_test(tests, header_names_match_however_they_are_spelled);
    tcase_add_test(tests, rows_of_empty_cells_and_empty_cells_at_the_end_are_allowed);
    tcase_add_test(tests, all_bad_rows_are_found_in_file_order);
    tcase_add_test(tests, near_names_come_best_first);
    tcase_add_test(tests, a_long_or_hostile_cell_is_shown_cut_and_escaped);
    tcase_add_test(tests, a_key_has_at_most_200_characters);
    tcase_add_test(tests, a_part_may_stand_in_several_stocks_once);
    tcase_add_test(tests, columns_that_are_left_out_are_said);
    tcase_add_test(tests, the_outline_of_a_row_is_a_file_of_any_name);
    tcase_add_test(tests, a_unit_fits_its_column);
    tcase_add_test(tests, the_map_names_columns_and_leaves_out);
    tcase_add_loop_test(tests, a_wrong_map_is_refused_with_what_would_be_right, 0,
                        sizeof wrong_maps / sizeof *wrong_maps);
    tcase_add_loop_test(tests, what_is_no_parts_list_is_refused_whole, 0, sizeof refused / sizeof *refused);
    tcase_add_test(tests, how_it_is_read_may_be_said);
    tcase_add_test(tests, bad_rows_come_back_with_their_reason);
    tcase_add_test(tests, several_reasons_of_a_row_stand_in_one_cell);
    tcase_add_test(tests, mended_bad_rows_can_be_read_again);
    tcase_add_test(tests, fifty_thousand_rows_and_as_many_again_twice);
    tcase_add_test(tests, a_row_has_at_most_255_cells);
}

int main(void)
{
    Suite *suite = suite_create("parts_list");
    TCase *tests = tcase_create("parts_list");
    add_tests(tests);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
