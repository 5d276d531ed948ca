/* Outlines that come in over the Import screen: of a list, and of a folder. */
#include "tui/imports.h"

#include <sys/stat.h>

static char folder_path[600];

/* Four lines around length x width, in $INSUNITS: 4 mm, 0 not said; one of them may be missing. */
static void put_drawing(const char *path, double length, double width, int units, int lines)
{
    char text[1000];
    const double x[] = {0, length, length, 0, 0}, y[] = {0, 0, width, width, 0};
    int n =
        snprintf(text, sizeof text,
                 "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n", units);
    for (int i = 0; i < lines; i++)
        n += snprintf(text + n, sizeof text - (size_t)n, "0\nLINE\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", x[i],
                      y[i], x[i + 1], y[i + 1]);
    snprintf(text + n, sizeof text - (size_t)n, "0\nENDSEC\n0\nEOF\n");
    put_file(path, text);
}

static void put_in_folder(const char *name, int units, int lines)
{
    char path[700];
    snprintf(path, sizeof path, "%s/%s", folder_path, name);
    put_drawing(path, 100, 60, units, lines);
}

static void open_with_folder(void)
{
    open_shop();
    snprintf(folder_path, sizeof folder_path, "%s/order", s.file.folder);
    ck_assert_int_eq(mkdir(folder_path, 0700), 0);
    put_in_folder("good.dxf", 4, 4);
    put_in_folder("open.dxf", 4, 3);
}

static void close_with_folder(void)
{
    static const char *const names[] = {"good.dxf", "open.dxf", "more.dxf"};
    char path[700];
    for (int i = 0; i < 3; i++) {
        snprintf(path, sizeof path, "%s/%s", folder_path, names[i]);
        unlink(path);
    }
    ck_assert_int_eq(rmdir(folder_path), 0);
    close_shop();
}

START_TEST(what_there_is_to_look_at_in_an_outline_is_told_with_its_row)
{
    stand_on(&s, "2601/1", "sheets");
    import("part,quantity,outline\nN1,4,order/good.dxf\nN2,5,order/open.dxf\n");
    sg_ui_resize(s.ui, 40, 120);
    ck_shows(&s, "2 rows good, 0 wrong, 1 to look at");
    int look = row_with(&s, "measured: cut ");
    ck_row_has(&s, look, "3      look     outline ");
    ck_row_has(&s, look, "1 contour is");
    press(&s, "i");
    ck_assert(has_row("2601/1/N1") && has_row("2601/1/N2"));
}
END_TEST

START_TEST(a_folder_comes_in_and_is_read_again_before)
{
    stand_on(&s, "2601/1", "sheets");
    press(&s, "i");
    paste(&s, folder_path);
    press(&s, "<Enter>");
    ck_shows(&s, "IMPORT  order");
    ck_row_has(&s, ANSWERS_ROW, "a folder, 2 files");
    ck_shows(&s, "2 rows good, 0 wrong, 1 to look at");
    put_in_folder("more.dxf", 4, 4);
    press(&s, "i");
    ck_shows(&s, "look again, i brings in 3");
    press(&s, "i");
    ck_assert(has_row("2601/1/good") && has_row("2601/1/open") && has_row("2601/1/more"));
    ck_assert_int_eq(steps_in_file(&s, NULL), 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("import of outlines");
    TCase *c = tcase_create("import of outlines");
    tcase_add_checked_fixture(c, open_with_folder, close_with_folder);
    tcase_add_test(c, what_there_is_to_look_at_in_an_outline_is_told_with_its_row);
    tcase_add_test(c, a_folder_comes_in_and_is_read_again_before);
    suite_add_tcase(suite, c);
    return run(suite);
}
