/* A folder of drawings as a parts list: which files are in it, and what their parts are called. */
#include "exchange/exchange.h"

#include <check.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[512];
static struct sg_error error;
static struct sg_shop shop = {.units = SG_UNITS_METRIC};
static struct sg_parts_list list;

static void enter(void)
{
    snprintf(folder, sizeof folder, "%s/folder-XXXXXX", SCRATCH);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
    ck_assert_int_eq(mkdir("in", 0700), 0);
}

static void leave(void)
{
    char command[600];
    sg_parts_list_free(&list);
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(chdir("/"), 0);
    ck_assert_int_eq(system(command), 0);
}

static void put(const char *name)
{
    char path[400];
    snprintf(path, sizeof path, "in/%s", name);
    FILE *file = fopen(path, "wb");
    ck_assert(file && fclose(file) == 0);
}

static enum sg_status read_folder(const char *path)
{
    const struct sg_list_how how = {0};
    return sg_parts_list_folder(path, &shop, &how, &list, &error);
}

/* The keys with blanks between, in the order of the rows. */
static const char *keys(void)
{
    static char text[4000];
    text[0] = '\0';
    for (int i = 0; i < list.n_rows; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s", i ? " " : "", list.rows[i].part.id);
    return text;
}

/* Files that share a stem are called by their whole names, however many others stand between them, and also
 * where the whole name of one is the stem of another. */
static const struct {
    const char *files[6];
    const char *keys;
} named[] = {
    {{"b.dxf", "a.nc"}, "a b"},
    {{"a.dxf", "a.nc"}, "a.dxf a.nc"},
    {{"a.dxf", "a.e.dxf", "a.nc"}, "a.dxf a.e a.nc"},
    {{"a.DXF", "a.b.dxf", "a.c.dxf", "a.d.nc", "a.tap"}, "a.DXF a.b a.c a.d a.tap"},
    {{"a.dxf", "a.nc", "a.nc.dxf"}, "a.dxf a.nc a.nc.dxf"},
    {{"a.nc", "a.nc.dxf"}, "a a.nc.dxf"},
    {{"a.dxf", "a .nc"}, "a .nc a.dxf"},
};

START_TEST(each_file_has_a_key_of_its_own)
{
    for (int i = 0; i < 6 && named[_i].files[i]; i++)
        put(named[_i].files[i]);
    ck_assert_msg(read_folder("in") == SG_OK, "%s", error.text);
    ck_assert_str_eq(keys(), named[_i].keys);
    ck_assert_int_eq(list.n_bad, 0);
    ck_assert_int_eq(list.n_findings, 0);
}
END_TEST

START_TEST(rows_name_the_path_and_one_piece)
{
    put("one.dxf");
    put("notes.txt");
    put(".hidden.dxf");
    put(".dxf");
    ck_assert_int_eq(mkdir("in/inner.dxf", 0700), 0);
    static const char *const paths[] = {"in", "in/"};
    for (int i = 0; i < 2; i++) {
        sg_parts_list_free(&list);
        ck_assert_int_eq(read_folder(paths[i]), SG_OK);
        ck_assert_int_eq(list.n_rows, 1);
        ck_assert_str_eq(list.rows[0].outline, "in/one.dxf");
        ck_assert_int_eq(list.rows[0].part.quantity, 1);
        ck_assert(list.folder);
    }
}
END_TEST

START_TEST(what_cannot_be_a_key_is_a_bad_row)
{
    put("a\tb.dxf");
    put("\xFF.dxf");
    put("good.dxf");
    ck_assert_int_eq(read_folder("in"), SG_OK);
    ck_assert_str_eq(keys(), "good");
    ck_assert_int_eq(list.n_bad, 2);
    for (int i = 0; i < list.n_findings; i++) {
        struct sg_text place = {0};
        sg_parts_list_place(&list, list.findings[i].row, list.findings[i].line, list.findings[i].column,
                            &place);
        ck_assert_str_eq(place.data, i ? "in/\xFF.dxf" : "in/a\tb.dxf");
        sg_text_free(&place);
    }
}
END_TEST

START_TEST(more_than_one_import_takes_is_refused)
{
    char name[40];
    for (int i = 0; i < 10001; i++) {
        snprintf(name, sizeof name, "%d.dxf", i);
        put(name);
    }
    ck_assert_int_eq(read_folder("in"), SG_BAD_DATA);
    ck_assert_str_eq(error.text, "in holds more drawings than one import takes, 10000");
    ck_assert_int_eq(unlink("in/77.dxf"), 0);
    ck_assert_int_eq(read_folder("in"), SG_OK);
    ck_assert_int_eq(list.n_rows, 10000);
}
END_TEST

START_TEST(what_is_no_folder_says_so)
{
    ck_assert(sg_is_folder("in") && !sg_is_folder("gone") && !sg_is_folder("-"));
    ck_assert_int_eq(read_folder("gone"), SG_NO_FILE);
    ck_assert_ptr_nonnull(strstr(error.text, "gone"));
    ck_assert_int_eq(read_folder("in"), SG_BAD_DATA);
    ck_assert_ptr_nonnull(strstr(error.text, "there is no drawing"));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("folder");
    TCase *tests = tcase_create("folder");
    tcase_add_checked_fixture(tests, enter, leave);
    tcase_add_loop_test(tests, each_file_has_a_key_of_its_own, 0, (int)(sizeof named / sizeof *named));
    tcase_add_test(tests, rows_name_the_path_and_one_piece);
    tcase_add_test(tests, what_cannot_be_a_key_is_a_bad_row);
    tcase_add_test(tests, more_than_one_import_takes_is_refused);
    tcase_add_test(tests, what_is_no_folder_says_so);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
