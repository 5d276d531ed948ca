/* A parts list as it is looked at: columns sent elsewhere, how their cells read, what a spreadsheet would
 * change. */
#include "exchange/exchange.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static struct sg_error error;
static struct sg_material materials[] = {{.name = "steel, mild", .aliases = "mild steel"},
                                         {.name = "stainless 304", .aliases = "304"}};
static struct sg_shop shop = {.units = SG_UNITS_METRIC, .n_materials = 2, .materials = materials};

static const char north[] = "Ref,Text,Anzahl,Gauge,\"Perimeter, in\",Rev\n"
                            "00417-3,Bracket left,12,\"1/2\"\"\",49.606,C\n"
                            "00417-4,Bracket right,4,0.5,50,C\n";

static struct sg_parts_list list;

static enum sg_status read_sent(const char *text, const char *const *goes_to, int n)
{
    const struct sg_list_how how = {.goes_to = goes_to, .n_goes_to = n, .any_header = true};
    sg_parts_list_free(&list);
    return sg_parts_list_read("list.csv", text, strlen(text), &shop, &how, &list, &error);
}

static void free_list(void)
{
    sg_parts_list_free(&list);
}

static void ck_reads(int column, const char *cell, bool good, const char *as, bool own_unit)
{
    char out[SG_NEAR_SIZE];
    bool own = !own_unit;
    ck_assert_int_eq(sg_parts_list_reads(&list, &shop, column, cell, out, sizeof out, &own), good);
    ck_assert_msg(good ? strcmp(out, as) == 0 : strstr(out, as) != NULL, "\"%s\" reads as \"%s\", not \"%s\"",
                  cell, out, as);
    ck_assert_int_eq(own, own_unit);
}

START_TEST(a_header_without_part_is_shown_with_its_rows)
{
    ck_assert_int_eq(read_sent(north, NULL, 0), SG_OK);
    ck_assert(list.unmatched);
    ck_assert_int_eq(list.n_header, 6);
    ck_assert_int_eq(list.n_raw, 2);
    ck_assert_int_eq(list.n_rows + list.n_bad, 0);
    ck_assert_ptr_null(list.columns[0].name);
    ck_assert(!list.columns[0].told);
    const struct sg_list_how strict = {.separator = ','};
    struct sg_parts_list other;
    ck_assert_int_eq(sg_parts_list_read("list.csv", north, strlen(north), &shop, &strict, &other, &error),
                     SG_BAD_DATA);
}
END_TEST

START_TEST(a_column_goes_where_it_is_sent_with_the_unit_of_its_header)
{
    static const char *const goes_to[] = {"part", "name", "quantity", "thickness", "cut_length", ""};
    ck_assert_int_eq(read_sent(north, goes_to, 6), SG_OK);
    ck_assert(!list.unmatched);
    ck_assert_int_eq(list.n_rows, 2);
    ck_assert_str_eq(list.columns[4].name, "cut_length");
    ck_assert_str_eq(list.columns[4].unit->name, "in");
    ck_assert(list.columns[4].unit_from_header);
    ck_assert_ptr_null(list.columns[3].unit);
    ck_assert(list.columns[5].told);
    ck_assert_double_eq_tol(list.rows[0].part.cut_length, 49.606 * 25.4, 1e-9);
    ck_assert_double_eq(list.rows[0].thickness, 12.7);
    ck_assert_double_eq(list.rows[1].thickness, 0.5);
    ck_assert_int_eq(list.rows[0].part.quantity, 12);
}
END_TEST

START_TEST(a_unit_that_is_said_is_stronger_than_the_header)
{
    static const char *const goes_to[] = {"part", NULL, NULL, "thickness_in", "cut_length_mm"};
    ck_assert_int_eq(read_sent(north, goes_to, 5), SG_OK);
    ck_assert(!list.columns[4].unit_from_header);
    ck_assert_double_eq(list.rows[0].part.cut_length, 49.606);
    ck_assert_double_eq(list.rows[1].thickness, 12.7);
}
END_TEST

START_TEST(what_is_no_column_of_ours_is_refused_by_name)
{
    static const char *const goes_to[] = {"part", "perimeter"};
    ck_assert_int_eq(read_sent(north, goes_to, 2), SG_USAGE);
    ck_assert_msg(strstr(error.text, "\"perimeter\" is no column") && strstr(error.text, "cut_length"), "%s",
                  error.text);
}
END_TEST

START_TEST(a_column_of_ours_twice_leaves_the_list_unmatched)
{
    static const char *const goes_to[] = {"part", "name", "quantity", NULL, NULL, "name"};
    ck_assert_int_eq(read_sent(north, goes_to, 6), SG_OK);
    ck_assert(list.unmatched);
    ck_assert_int_eq(list.n_raw, 2);
}
END_TEST

START_TEST(cells_read_as_their_column_says)
{
    static const char *const goes_to[] = {"part", "material", "quantity", "thickness", "cut_length"};
    ck_assert_int_eq(read_sent(north, goes_to, 5), SG_OK);
    ck_reads(0, "00417-3", true, "00417-3", false);
    ck_reads(0, "'=M8 ", true, "=M8", false);
    ck_reads(1, "304", true, "stainless 304", false);
    ck_reads(1, "steel milt", false, "steel, mild", false);
    ck_reads(2, "12", true, "12", false);
    ck_reads(2, "twelve", false, "number", false);
    ck_reads(3, "1/2\"", true, "12.7 mm", true);
    ck_reads(3, "0.5", true, "0.5 mm", false);
    ck_reads(4, "49.606", true, "1259.992 mm", false);
    ck_reads(4, "1260 mm", true, "1260 mm", true);
    ck_reads(5, "C", true, "C", false);
}
END_TEST

START_TEST(the_example_is_the_first_cell_that_is_not_empty)
{
    char out[20];
    ck_assert_int_eq(read_sent("part,name,note\nA,,\nB, '=1 ,\n", NULL, 0), SG_OK);
    sg_parts_list_example(&list, 0, out, sizeof out);
    ck_assert_str_eq(out, "A");
    sg_parts_list_example(&list, 1, out, sizeof out);
    ck_assert_str_eq(out, "'=1");
    sg_parts_list_example(&list, 2, out, sizeof out);
    ck_assert_str_eq(out, "");
    ck_assert_int_eq(read_sent("part\nabcd\xC3\xA9\n", NULL, 0), SG_OK);
    sg_parts_list_example(&list, 0, out, 6); /* not half a character */
    ck_assert_str_eq(out, "abcd");
}
END_TEST

START_TEST(the_decimal_marks_are_those_of_the_numbers)
{
    static const struct {
        const char *text, *marks;
    } lists[] = {
        {"part,name,length\nA,1.5,3\n", "no decimals"},
        {"part;name;length\nA;1.5;3,5\n", "decimal comma"},
        {"part,length\nA,3.5\n", "decimal point"},
        {"part;length\nA;3.5\nB;3,5\n", "decimal point and comma"},
    };
    ck_assert_int_eq(read_sent(lists[_i].text, NULL, 0), SG_OK);
    ck_assert_str_eq(sg_parts_list_decimals(&list), lists[_i].marks);
}
END_TEST

START_TEST(a_first_row_with_a_number_looks_like_data)
{
    ck_assert_int_eq(read_sent("A1,Flange,16,12.7\nB1,Ring,2,6\n", NULL, 0), SG_OK);
    ck_assert(sg_parts_list_headless(&list));
    ck_assert_int_eq(read_sent(north, NULL, 0), SG_OK);
    ck_assert(!sg_parts_list_headless(&list));
}
END_TEST

/* Each goal is one that sg_parts_list_read takes, and no two are the same. */
START_TEST(every_goal_that_is_offered_is_taken)
{
    char room[SG_LIST_NAME], text[200], names[64][SG_LIST_NAME];
    const char *name, *meaning;
    int n = 0;
    for (; sg_list_goal(n, room, &name, &meaning); n++) {
        const char *goes_to[2] = {name, NULL};
        ck_assert_int_lt(n, 64);
        ck_assert_int_gt((int)strlen(meaning), 0);
        strcpy(names[n], name);
        for (int i = 0; i < n; i++)
            ck_assert_str_ne(names[i], name);
        strcpy(text, "A,B\n1,2\n");
        ck_assert_msg(read_sent(text, goes_to, 2) == SG_OK, "%s: %s", name, error.text);
        ck_assert_msg(strncmp(list.columns[0].name, name, strlen(list.columns[0].name)) == 0, "%s", name);
    }
    int n_fields;
    sg_fields(SG_KIND_PART, &n_fields);
    ck_assert_int_gt(n, n_fields);
}
END_TEST

/* ---- what a spreadsheet changes ----
 *
 * That 00123, 3/4 and 1e5 are changed was seen with a spreadsheet; the
 * rest is from memory. */

static const char *const changed[] = {
    "00417",  "1E5",      "1e-5",     "1.50",  "5.",    ".5",      "+3",   "1234567890123456",
    "3-4",    "3/4",      "03.04.26", "12:30", "1-2-3", "00417-3", "MAR1", "3-Mar",
    "Dec 26", "may-2026", "1 1/2",    "true",  "FALSE", "1march",
};

START_TEST(what_a_spreadsheet_would_change_is_told)
{
    ck_assert_msg(sg_csv_may_change(changed[_i]), "%s", changed[_i]);
}
END_TEST

static const char *const kept[] = {
    "",          "2604",   "0",         "-3",    "1.5",      "A",     "A1",  "1-2-3-4", "417-A",      "3--4",
    "3-4/5",     "Marble", "MAR",       "march", "123456-7", "E5",    "1E",  "B/2",     "true 1",     "3x4",
    "bracket 3", "1 2",    "12345-Mar", "truth", "12e3x",    "may x", "1.2", "may",     "marching 3",
};

START_TEST(what_it_leaves_alone_is_not)
{
    ck_assert_msg(!sg_csv_may_change(kept[_i]), "%s", kept[_i]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("list look");
    TCase *c = tcase_create("lists");
    tcase_add_checked_fixture(c, NULL, free_list);
    tcase_add_test(c, a_header_without_part_is_shown_with_its_rows);
    tcase_add_test(c, a_column_goes_where_it_is_sent_with_the_unit_of_its_header);
    tcase_add_test(c, a_unit_that_is_said_is_stronger_than_the_header);
    tcase_add_test(c, what_is_no_column_of_ours_is_refused_by_name);
    tcase_add_test(c, a_column_of_ours_twice_leaves_the_list_unmatched);
    tcase_add_test(c, cells_read_as_their_column_says);
    tcase_add_test(c, the_example_is_the_first_cell_that_is_not_empty);
    tcase_add_loop_test(c, the_decimal_marks_are_those_of_the_numbers, 0, 4);
    tcase_add_test(c, a_first_row_with_a_number_looks_like_data);
    tcase_add_test(c, every_goal_that_is_offered_is_taken);
    tcase_add_loop_test(c, what_a_spreadsheet_would_change_is_told, 0, sizeof changed / sizeof *changed);
    tcase_add_loop_test(c, what_it_leaves_alone_is_not, 0, sizeof kept / sizeof *kept);
    suite_add_tcase(suite, c);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
