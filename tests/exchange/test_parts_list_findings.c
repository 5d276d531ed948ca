/* What is wrong with a parts list is found at its place and told with what would be right; the bad rows come
 * back with their reasons. */
#include "exchange/parts_list.h"
#include "support/suite.h"

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

int main(void)
{
    TCase *tests = tcase_create("parts_list_findings");
    tcase_add_test(tests, all_bad_rows_are_found_in_file_order);
    tcase_add_test(tests, near_names_come_best_first);
    tcase_add_test(tests, a_long_or_hostile_cell_is_shown_cut_and_escaped);
    tcase_add_test(tests, a_key_has_at_most_200_characters);
    tcase_add_test(tests, a_part_may_stand_in_several_stocks_once);
    tcase_add_test(tests, columns_that_are_left_out_are_said);
    tcase_add_test(tests, the_outline_of_a_row_is_a_file_of_any_name);
    tcase_add_test(tests, a_unit_fits_its_column);
    tcase_add_loop_test(tests, a_wrong_map_is_refused_with_what_would_be_right, 0,
                        sizeof wrong_maps / sizeof *wrong_maps);
    tcase_add_loop_test(tests, what_is_no_parts_list_is_refused_whole, 0, sizeof refused / sizeof *refused);
    tcase_add_test(tests, bad_rows_come_back_with_their_reason);
    tcase_add_test(tests, several_reasons_of_a_row_stand_in_one_cell);
    tcase_add_test(tests, mended_bad_rows_can_be_read_again);
    return run_case("parts_list_findings", tests);
}
