/* A drawing or part program measured in one way for all who ask. */
#include "exchange/drawing_measure.h"
#include "exchange/drawings.h"

#include <unistd.h>

static char folder[512];
static const struct sg_measure_how usual = {.tolerance = SG_MEASURE_TOLERANCE, .bore = 1};

static void enter(void)
{
    snprintf(folder, sizeof folder, "%s/measure-XXXXXX", SCRATCH);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
}

static void leave(void)
{
    char command[600];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    ck_assert_int_eq(chdir("/"), 0);
    ck_assert_int_eq(system(command), 0);
}

static void measure(const char *name, const char *text, const struct sg_measure_how *how,
                    struct sg_measured *out)
{
    FILE *file = fopen(name, "wb");
    ck_assert(file && fputs(text, file) >= 0 && fclose(file) == 0);
    ck_assert_msg(sg_measure(name, how, out, &error) == SG_OK, "%s", error.text);
}

/* Three squares of 10 at 0, 100 and 50, in that order. */
static const char squares[] = "G21 G90\n"
                              "G00 X0 Y0\nG01 X10\nY10\nX0\nY0\n"
                              "G00 X100 Y0\nG01 X110\nY10\nX100\nY0\n"
                              "G00 X50 Y0\nG01 X60\nY10\nX50\nY0\nM30\n";

START_TEST(a_program_keeps_its_order_and_both_ways_are_told)
{
    struct sg_measured m;
    double rapid;
    measure("squares.nc", squares, &usual, &m);
    ck_assert_int_eq(m.outline.n_contours, 3);
    for (int round = 0; round < 2; round++) {
        ck_assert_double_eq(m.outline.contours[1].box[0], 100);
        ck_assert_int_eq(sg_measured_rapid(&m, &rapid, &error), SG_OK);
        ck_assert_double_eq(rapid, 100);
    }
    ck_assert_double_eq(m.drawing.rapid_length, 150);
    sg_measured_free(&m);
}
END_TEST

/* A drawing comes in the order in which it is cut: 0, 50, 100. An open cut ends elsewhere than it is pierced.
 */
START_TEST(the_rapid_of_a_drawing_is_that_of_its_order)
{
    static const int x[] = {0, 100, 50};
    char text[2000] = "0\nSECTION\n2\nENTITIES\n";
    struct sg_measured m;
    double rapid;
    for (int i = 0; i < 3; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "0\nLINE\n10\n%d\n20\n0\n11\n%d\n21\n0\n",
                 x[i], x[i] + 10);
    strcat(text, "0\nENDSEC\n0\nEOF\n");
    measure("lines.dxf", text, &usual, &m);
    ck_assert_int_eq(sg_measured_rapid(&m, &rapid, &error), SG_OK);
    ck_assert_double_eq(rapid, 40 + 40);
    ck_assert_double_eq(m.outline.contours[1].box[0], 50);
    sg_measured_free(&m);
}
END_TEST

/* What a shop leaves out of all drawings is missed in none; what is asked for is. */
START_TEST(a_layer_that_is_not_there_is_told_where_it_was_asked_for)
{
    static const char *const out[] = {"NOWHERE"};
    struct sg_measured m;
    struct sg_remark remark;
    for (int lack = 0; lack < 2; lack++) {
        struct sg_measure_how how = usual;
        how.drawing.layers_out = out;
        how.drawing.n_layers_out = 1;
        how.drawing.layers_may_lack = lack;
        ck_assert_int_eq(sg_measure(fixture("plate.dxf"), &how, &m, &error), SG_OK);
        bool told = false;
        for (int i = 0; sg_measured_remark(&m, i, false, &remark); i++)
            told = told || strcmp(remark.text, "there is no layer \"NOWHERE\" to leave out") == 0;
        ck_assert(told != lack);
        sg_measured_free(&m);
    }
}
END_TEST

START_TEST(a_shop_says_how_files_are_read)
{
    struct sg_head heads[] = {sg_fresh_heads[0], sg_fresh_heads[1], sg_fresh_heads[0]};
    struct sg_shop shop = {.machine = sg_fresh_machine, .heads = heads, .n_heads = 3};
    struct sg_measure_settings settings;
    heads[2].tube = 0.76;
    sg_measure_settings(&shop, &settings);
    ck_assert_ptr_null(settings.how.drawing.on);
    ck_assert_int_eq(settings.how.drawing.n_layers_out, 0);
    ck_assert_double_eq(settings.how.bore, 0.76); /* the water head has none */
    ck_assert_double_eq(settings.how.tolerance, SG_MEASURE_TOLERANCE);
    shop.machine.jet_on = "M3";
    shop.machine.jet_off = "M5";
    shop.machine.layers_out = " NOTES , DIM, ,";
    shop.n_heads = 0;
    sg_measure_settings(&shop, &settings);
    ck_assert_str_eq(settings.how.drawing.on, "M3");
    ck_assert_str_eq(settings.how.drawing.off, "M5");
    ck_assert_int_eq(settings.how.drawing.n_layers_out, 2);
    ck_assert_str_eq(settings.how.drawing.layers_out[0], "NOTES");
    ck_assert_str_eq(settings.how.drawing.layers_out[1], "DIM");
    ck_assert_double_eq(settings.how.bore, sg_fresh_heads[0].tube);
}
END_TEST

/* Small things first, in either unit; each remark once. */
START_TEST(remarks_come_one_after_the_other)
{
    static const char tiny[] = "G21 G90\nG00 X0 Y0\nG01 X3 G77\nY2\nX0\nY0.1\n";
    struct sg_measured m;
    struct sg_remark remark;
    measure("tiny.nc", tiny, &usual, &m);
    ck_assert(sg_measured_remark(&m, 0, false, &remark));
    ck_assert_str_eq(remark.text, "all of it is only 3 mm x 2 mm: is its unit right?");
    ck_assert(sg_measured_remark(&m, 0, true, &remark));
    ck_assert_str_eq(remark.text, "all of it is only 0.1181 in x 0.0787 in: is its unit right?");
    int n = 0, lines = 0, places = 0;
    for (; sg_measured_remark(&m, n, false, &remark); n++) {
        lines += remark.line > 0;
        places += sg_known(remark.x);
    }
    ck_assert_int_eq(n, 1 + m.drawing.n_problems + m.outline.n_problems);
    ck_assert_int_ge(lines, 1);
    ck_assert_int_eq(places, m.outline.n_problems);
    ck_assert_int_ge(places, 1);
    sg_measured_free(&m);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("measure");
    TCase *tests = tcase_create("measure");
    tcase_add_checked_fixture(tests, enter, leave);
    tcase_add_test(tests, a_program_keeps_its_order_and_both_ways_are_told);
    tcase_add_test(tests, the_rapid_of_a_drawing_is_that_of_its_order);
    tcase_add_test(tests, a_layer_that_is_not_there_is_told_where_it_was_asked_for);
    tcase_add_test(tests, a_shop_says_how_files_are_read);
    tcase_add_test(tests, remarks_come_one_after_the_other);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
