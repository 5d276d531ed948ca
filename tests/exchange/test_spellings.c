/* Headers of other offices: what they are taken for, what gives way to what, and what is missed. */
#include "exchange/exchange.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sg_error error;
static struct sg_material materials[] = {{.name = "steel, mild", .aliases = "mild steel"}};
static struct sg_shop shop = {.units = SG_UNITS_METRIC, .n_materials = 1, .materials = materials};
static struct sg_parts_list list;

static void read_list(const char *text, bool grouped)
{
    const struct sg_list_how how = {.grouped = grouped};
    enum sg_status status = sg_parts_list_read("list.csv", text, strlen(text), &shop, &how, &list, &error);
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

static void free_list(void)
{
    sg_parts_list_free(&list);
}

static const char *goal(int column)
{
    return list.columns[column].name ? list.columns[column].name : "-";
}

static bool is_said(int column, const char *piece)
{
    for (int i = 0; i < list.n_findings; i++)
        if (list.findings[i].row < 0 && list.findings[i].column == column &&
            strstr(list.findings[i].text, piece))
            return true;
    return false;
}

/* ---- one by one ---- */

static const struct {
    const char *header, *goes_to, *unit;
} known[] = {
    {"Qty", "quantity", NULL},        {"qty.", "quantity", NULL},
    {"QTY", "quantity", NULL},        {"Qty. req'd", "quantity", NULL},
    {"pcs", "quantity", NULL},        {"Pcs.", "quantity", NULL},
    {"pieces", "quantity", NULL},     {"Count", "quantity", NULL},
    {"No. off", "quantity", NULL},    {"thk", "thickness", NULL},
    {"Thk. (in)", "thickness", "in"}, {"Thick, mm", "thickness", "mm"},
    {"THICK", "thickness", NULL},     {"mat", "material", NULL},
    {"Matl.", "material", NULL},      {"Mat'l", "material", NULL},
    {"desc", "name", NULL},           {"Description", "name", NULL},
    {"len", "length", NULL},          {"Len [in]", "length", "in"},
    {"Remarks", "note", NULL},        {"Cut len mm", "cut_length", "mm"},
};

START_TEST(a_header_of_another_office_is_known)
{
    char text[200];
    snprintf(text, sizeof text, "part,\"%s\"\nA,\n", known[_i].header);
    read_list(text, false);
    ck_assert_str_eq(goal(1), known[_i].goes_to);
    if (known[_i].unit) {
        ck_assert_ptr_nonnull(list.columns[1].unit);
        ck_assert_str_eq(list.columns[1].unit->name, known[_i].unit);
        ck_assert(list.columns[1].unit_from_header);
    } else {
        ck_assert_ptr_null(list.columns[1].unit);
    }
    ck_assert(!is_said(2, "column"));
}
END_TEST

START_TEST(their_cells_are_read)
{
    read_list("Part No.,Desc,Qty.,Matl,Thk (in),L,W\nA7,bracket,12,mild steel,0.5,300,200\n", true);
    ck_assert_int_eq(list.n_rows, 1);
    const struct sg_list_row *row = &list.rows[0];
    ck_assert_str_eq(row->part.id, "A7");
    ck_assert_str_eq(row->part.name, "bracket");
    ck_assert_int_eq(row->part.quantity, 12);
    ck_assert_int_eq(row->material, 0);
    ck_assert_str_eq(row->material_name, "steel, mild");
    ck_assert_double_eq(row->thickness, 12.7);
    ck_assert_double_eq(row->part.length, 300);
    ck_assert_double_eq(row->part.width, 200);
}
END_TEST

/* ---- what may mean something else ---- */

static const struct {
    const char *header, *goals; /* of each column, "-" where it is left out */
    int said;                   /* the column that is guessed, from 1; 0: none */
} lists[] = {
    {"No.,Desc,Qty", "part name quantity", 1},   {"Part,No.,Thk", "part quantity thickness", 2},
    {"No.,Part,Qty", "- part quantity", 0},      {"Item,Part No.,Pcs", "- part quantity", 0},
    {"Pos,Drawing,Qty", "- part quantity", 2},   {"part,L,Length", "part - length", 0},
    {"part,Matl,Grade", "part material -", 0},   {"part,Grade", "part material", 2},
    {"part,quantity,Pcs", "part quantity -", 0}, /* our own name is stronger */
    {"part,Name,Description", "part name -", 0}, {"part,T,W", "part thickness width", 2},
};

START_TEST(what_may_mean_something_else_gives_way_and_is_said)
{
    char text[200], goals[200] = "";
    snprintf(text, sizeof text, "%s\n,,\n", lists[_i].header);
    read_list(text, false);
    for (int i = 0; i < list.n_header; i++)
        snprintf(goals + strlen(goals), sizeof goals - strlen(goals), "%s%s", i ? " " : "", goal(i));
    ck_assert_str_eq(goals, lists[_i].goals);
    for (int i = 1; i <= list.n_header; i++) {
        if (i == lists[_i].said)
            ck_assert(is_said(i, "is taken for "));
        if (strcmp(goal(i - 1), "-") == 0)
            ck_assert(is_said(i, "is not known and left out"));
    }
    ck_assert(lists[_i].said > 0 || !is_said(1, "is taken for"));
}
END_TEST

START_TEST(two_that_are_surely_the_same_are_refused)
{
    struct sg_parts_list other;
    static const char text[] = "part,Qty,Pcs\nA,1,2\n";
    const struct sg_list_how how = {.separator = ','};
    ck_assert_int_eq(sg_parts_list_read("list.csv", text, strlen(text), &shop, &how, &other, &error),
                     SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "column 2 \"Qty\" and column 3 \"Pcs\" are both quantity"), "%s",
                  error.text);
}
END_TEST

/* A column that is sent or mapped elsewhere leaves its place to another. */
START_TEST(what_is_said_is_stronger_than_a_spelling)
{
    static const char *const goes_to[] = {NULL, "quantity", NULL};
    static const char text[] = "Part,Stk,Qty\nA,1,2\n";
    const struct sg_list_how sent = {.goes_to = goes_to, .n_goes_to = 3},
                             mapped = {.map = "Qty=,Stk=quantity"};
    for (int i = 0; i < 2; i++) {
        ck_assert_int_eq(
            sg_parts_list_read("list.csv", text, strlen(text), &shop, i ? &mapped : &sent, &list, &error),
            SG_OK);
        ck_assert_str_eq(goal(1), "quantity");
        ck_assert_str_eq(goal(2), "-");
        ck_assert_int_eq(list.rows[0].part.quantity, 1);
        sg_parts_list_free(&list);
    }
}
END_TEST

/* ---- what is missed ---- */

START_TEST(a_list_without_quantities_says_so)
{
    read_list("part,length\nA,5\n", false);
    ck_assert_int_eq(list.n_findings, 1);
    ck_assert(is_said(0, "no quantity column: every part would be 1 piece"));
    ck_assert(!list.findings[0].bad);
    ck_assert_int_eq(list.findings[0].line, 1);
    ck_assert_int_eq(list.n_rows, 1);
}
END_TEST

START_TEST(material_and_thickness_are_missed_where_rows_are_grouped)
{
    read_list("part,qty,thk\nA,5,6\n", true);
    ck_assert_int_eq(list.n_findings, 1);
    ck_assert(is_said(0, "no material column"));
    sg_parts_list_free(&list);
    read_list("part,qty,mat\nA,5,\n", true);
    ck_assert_int_eq(list.n_findings, 1);
    ck_assert(is_said(0, "no thickness column"));
    sg_parts_list_free(&list);
    read_list("part,qty\nA,5\n", false);
    ck_assert_int_eq(list.n_findings, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("spellings");
    TCase *c = tcase_create("spellings");
    tcase_add_checked_fixture(c, NULL, free_list);
    tcase_add_loop_test(c, a_header_of_another_office_is_known, 0, sizeof known / sizeof *known);
    tcase_add_test(c, their_cells_are_read);
    tcase_add_loop_test(c, what_may_mean_something_else_gives_way_and_is_said, 0,
                        sizeof lists / sizeof *lists);
    tcase_add_test(c, two_that_are_surely_the_same_are_refused);
    tcase_add_test(c, what_is_said_is_stronger_than_a_spelling);
    tcase_add_test(c, a_list_without_quantities_says_so);
    tcase_add_test(c, material_and_thickness_are_missed_where_rows_are_grouped);
    suite_add_tcase(suite, c);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
