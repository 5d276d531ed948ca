/* `outline`: drawings and part programs measured, with values from closed forms. */
#include "cli/json.h"
#include "cli/run.h"

/* A square of 40 with a hole of radius 10 and an open cut of 20, in a part program of its own making. */
static const char program[] = "G21 G90\n"
                              "G00 X0 Y0\nG01 X40\nY40\nX0\nY0\n"
                              "G00 X30 Y20\nG02 X30 Y20 I-10 J0\n"
                              "G00 X50 Y0\nG01 X50 Y20\n"
                              "M30\n";

static struct ran measure(const char *text, const char *option, const char *value)
{
    struct run_how how = {.input = text, .input_length = strlen(text)};
    return run_how(&how, "outline", "--json", "-", option, value, NULL);
}

START_TEST(the_answer_has_the_keys_of_the_contract)
{
    struct ran ran = measure(program, NULL, NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_document(ran.out);
    ck_keys(ran.out, "$.outlines[0]",
            "file:text unit:text unit_from:text contours:number open_paths:number pierces:number "
            "cut_length_mm:number rapid_length_mm:number length_mm:number width_mm:number area_mm2:number "
            "corners:number smallest_radius_mm:number problems:array");
    done(&ran);
}
END_TEST

START_TEST(a_program_is_measured_by_closed_forms)
{
    struct ran ran = measure(program, NULL, NULL);
    const double pi = acos(-1.0);
    ck_assert(json_number(ran.out, "$.outlines[0].contours") == 2);
    ck_assert(json_number(ran.out, "$.outlines[0].open_paths") == 1);
    ck_assert(json_number(ran.out, "$.outlines[0].pierces") == 3);
    ck_assert(json_number(ran.out, "$.outlines[0].corners") == 4);
    ck_near(json_number(ran.out, "$.outlines[0].cut_length_mm"), 160 + 20 * pi + 20, 1e-12L);
    ck_near(json_number(ran.out, "$.outlines[0].area_mm2"), 1600 - 100 * pi, 1e-12L);
    ck_near(json_number(ran.out, "$.outlines[0].smallest_radius_mm"), 10, 1e-12L);
    ck_near(json_number(ran.out, "$.outlines[0].length_mm"), 50, 1e-12L);
    ck_near(json_number(ran.out, "$.outlines[0].width_mm"), 40, 1e-12L);
    /* From zero to the square, on to the hole, on to the open cut. */
    ck_near(json_number(ran.out, "$.outlines[0].rapid_length_mm"), hypot(30, 20) + hypot(20, 20), 1e-12L);
    done(&ran);
}
END_TEST

/* The same figures read as inches. */
START_TEST(a_unit_that_is_asked_for_scales_what_does_not_say)
{
    static const char bare[] = "G90\nG00 X0 Y0\nG01 X1\nY1\nX0\nY0\n";
    struct ran mm = measure(bare, NULL, NULL), in = measure(bare, "--unit", "in");
    ck_assert_str_eq(json_text(mm.out, "$.outlines[0].unit_from"), "assumed");
    ck_assert_str_eq(json_text(in.out, "$.outlines[0].unit_from"), "option");
    ck_near(json_number(mm.out, "$.outlines[0].cut_length_mm"), 4, 1e-12L);
    ck_near(json_number(in.out, "$.outlines[0].cut_length_mm"), 4 * 25.4, 1e-12L);
    done(&mm);
    done(&in);
}
END_TEST

static struct ran measure_drawing(const char *layers)
{
    return run("outline", "--json", FIXTURES "/drawings/plate.dxf", layers ? "--layer" : NULL, layers, NULL);
}

START_TEST(layers_are_left_out_or_alone_taken)
{
    struct ran all = measure_drawing(NULL), without = measure_drawing("-notes");
    struct ran only = measure_drawing("CUT");
    ck_assert(json_number(all.out, "$.outlines[0].open_paths") == 1);
    ck_assert(json_number(without.out, "$.outlines[0].open_paths") == 0);
    ck_assert(json_number(only.out, "$.outlines[0].open_paths") == 0);
    ck_assert(json_number(only.out, "$.outlines[0].cut_length_mm") ==
              json_number(without.out, "$.outlines[0].cut_length_mm"));
    ck_assert_str_eq(json_type(all.out, "$.outlines[0].rapid_length_mm"), "null");
    done(&all);
    done(&without);
    done(&only);
}
END_TEST

/* Two ends 0.05 apart: a gap unless the tolerance takes it. */
START_TEST(ends_meet_within_the_tolerance_that_is_asked_for)
{
    static const char nearly[] = "G21 G90\nG00 X0 Y0\nG01 X10\nY10\nX0\nY0.05\n";
    struct ran open = measure(nearly, NULL, NULL), closed = measure(nearly, "--tolerance", "0.1");
    ck_assert(json_number(open.out, "$.outlines[0].open_paths") == 1);
    ck_assert(json_number(closed.out, "$.outlines[0].contours") == 1);
    done(&open);
    done(&closed);
}
END_TEST

START_TEST(the_words_of_the_jet_decide_what_is_cut)
{
    static const char jet[] = "G21 G90\nG00 X10 Y0\nM03\nG01 X20\nM05\nG01 X30\n";
    struct run_how how = {.input = jet, .input_length = strlen(jet)};
    struct ran plain = measure(jet, NULL, NULL);
    struct ran words = run_how(&how, "outline", "--json", "-", "--on", "M03", "--off", "M05", NULL);
    ck_near(json_number(plain.out, "$.outlines[0].cut_length_mm"), 20, 1e-12L);
    ck_near(json_number(words.out, "$.outlines[0].cut_length_mm"), 10, 1e-12L);
    done(&plain);
    done(&words);
}
END_TEST

/* A wrong file or option: nothing on standard output, what and where on standard error. */
START_TEST(what_cannot_be_read_is_refused_whole)
{
    static const struct {
        const char *text, *option, *value;
        int code;
        const char *says;
    } wrong[] = {
        {"G21\nG01 X1 Y#5\n", NULL, NULL, 3, "standard input:2"},
        {"hello\n", NULL, NULL, 3, "standard input:1"},
        {"G21\n", "--unit", "ft", 2, "--unit is mm or in"},
        {"G21\n", "--tolerance", "wide", 2, "--tolerance"},
        {"G21\n", "--on", "M03", 2, "off"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        struct ran ran = measure(wrong[i].text, wrong[i].option, wrong[i].value);
        ck_code(ran, wrong[i].code);
        ck_assert_str_eq(ran.out, "");
        ck_says(ran.err, wrong[i].says);
        done(&ran);
    }
    struct ran missing = run("outline", "--json", FIXTURES "/drawings/plate.dxf", "no-such.dxf", NULL);
    ck_code(missing, 4);
    ck_assert_str_eq(missing.out, "");
    ck_says(missing.err, "no-such.dxf");
    done(&missing);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, the_answer_has_the_keys_of_the_contract);
    tcase_add_test(tcase, a_program_is_measured_by_closed_forms);
    tcase_add_test(tcase, a_unit_that_is_asked_for_scales_what_does_not_say);
    tcase_add_test(tcase, layers_are_left_out_or_alone_taken);
    tcase_add_test(tcase, ends_meet_within_the_tolerance_that_is_asked_for);
    tcase_add_test(tcase, the_words_of_the_jet_decide_what_is_cut);
    tcase_add_test(tcase, what_cannot_be_read_is_refused_whole);
}

int main(void)
{
    return run_suite("outline", fill);
}
