/* Parts lists that are read: in any clothes, units and headers, as one says they are to be, and long ones. */
#include "exchange/parts_list.h"
#include "support/suite.h"

#include <dirent.h>

static void expect_number(double value, double expected)
{
    ck_assert_double_eq_tol(value, expected, 1e-12 * (1 + expected));
}

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

/* ---- as one says it is to be ---- */

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

int main(void)
{
    TCase *tests = tcase_create("parts_list_read");
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
    tcase_add_test(tests, the_map_names_columns_and_leaves_out);
    tcase_add_test(tests, how_it_is_read_may_be_said);
    tcase_add_test(tests, fifty_thousand_rows_and_as_many_again_twice);
    tcase_add_test(tests, a_row_has_at_most_255_cells);
    return run_case("parts_list_read", tests);
}
