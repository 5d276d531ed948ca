/* Rules between fields, and keys. */
#include "sandglass/key.h"
#include "sandglass/outline.h"
#include "sandglass/rules.h"

#include "support/shop.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct test_shop test;
static struct sg_shop *shop;
static struct sg_error error;

static void set_up(void)
{
    test_shop_make(&test);
    shop = &test.shop;
}

static void tear_down(void)
{
    test_shop_free(&test);
}

static void holds(enum sg_kind kind, const void *record)
{
    ck_assert_msg(sg_rules_check(kind, record, shop, &error) == SG_OK, "%s", error.text);
}

/* Broken, and the sentence names these. */
static void breaks(enum sg_kind kind, const void *record, const char *one, const char *other)
{
    ck_assert_int_eq(sg_rules_check(kind, record, shop, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, one) && strstr(error.text, other), "\"%s\" names not both %s and %s",
                  error.text, one, other);
    ck_assert_int_eq(sg_rules_check(kind, record, shop, NULL), SG_BAD_DATA);
}

START_TEST(a_stack_is_not_higher_than_the_head_lifts)
{
    struct sg_stock stock = sg_fresh_stock;
    holds(SG_KIND_STOCK, &stock); /* nothing is known yet */
    stock.thickness = 25.4;
    stock.stack = 8; /* 8 in, as z_travel */
    holds(SG_KIND_STOCK, &stock);
    stock.stack = 9;
    breaks(SG_KIND_STOCK, &stock, "z_travel 8.000 in", "9.000 in");
}
END_TEST

START_TEST(a_sheet_fits_across_the_table_one_way_or_the_other)
{
    struct sg_stock stock = sg_fresh_stock;
    stock.sheet_length = 5000;
    stock.sheet_width = 1524; /* 60 in */
    holds(SG_KIND_STOCK, &stock);
    stock.sheet_length = 1524;
    stock.sheet_width = 5000;
    holds(SG_KIND_STOCK, &stock);
    stock.sheet_length = 1525;
    breaks(SG_KIND_STOCK, &stock, "table_width", "sheet_width");
    stock.sheet_length = (double)NAN;
    holds(SG_KIND_STOCK, &stock);
}
END_TEST

START_TEST(margins_leave_some_sheet)
{
    struct sg_stock stock = sg_fresh_stock;
    stock.sheet_length = 1000;
    stock.sheet_width = 100;
    stock.margin = 49.9;
    holds(SG_KIND_STOCK, &stock);
    stock.margin = 50;
    breaks(SG_KIND_STOCK, &stock, "margin", "3.937 in");
}
END_TEST

START_TEST(a_hopper_holds_its_level_and_its_low_line)
{
    struct sg_machine machine = sg_fresh_machine;
    holds(SG_KIND_MACHINE, &machine);
    machine.low_line = machine.hopper;
    breaks(SG_KIND_MACHINE, &machine, "low_line", "600");
    machine = sg_fresh_machine;
    machine.hopper_level = machine.hopper * 1.001;
    breaks(SG_KIND_MACHINE, &machine, "hopper_level", "600");
    machine.hopper_level = 0;
    holds(SG_KIND_MACHINE, &machine);
}
END_TEST

START_TEST(a_head_has_bores_and_pressures_that_go_together)
{
    struct sg_head head = sg_fresh_heads[0];
    holds(SG_KIND_HEAD, &head);
    head.tube = head.orifice;
    breaks(SG_KIND_HEAD, &head, "tube", "orifice");
    head = sg_fresh_heads[0];
    head.low_pressure = head.pressure * 1.01;
    breaks(SG_KIND_HEAD, &head, "low_pressure", "55.000 ksi");
    head = sg_fresh_heads[0];
    head.garnet = (double)NAN;
    breaks(SG_KIND_HEAD, &head, "garnet", "tube");
    holds(SG_KIND_HEAD, &sg_fresh_heads[1]); /* water needs neither */
}
END_TEST

/* A shift with breaks as typed. */
static struct sg_shift shift_with(const char *start, const char *end, const char *breaks_typed)
{
    struct sg_shift shift = sg_fresh_shift;
    ck_assert(sg_time_parse(start, &shift.start) && sg_time_parse(end, &shift.end));
    shift.n_breaks = sg_spans_parse(breaks_typed, shift.breaks, SG_MAX_SPANS);
    ck_assert_int_ge(shift.n_breaks, 0);
    return shift;
}

START_TEST(the_words_of_the_jet_go_together)
{
    struct sg_machine machine = shop->machine;
    machine.jet_on = "M3";
    breaks(SG_KIND_MACHINE, &machine, "jet_on", "jet_off");
    machine.jet_off = "M5";
    holds(SG_KIND_MACHINE, &machine);
    machine.jet_on = "";
    breaks(SG_KIND_MACHINE, &machine, "jet_on", "jet_off");
}
END_TEST

START_TEST(what_an_outline_measures_is_not_typed)
{
    static const double measured[] = {320 + 62.83185307179586477, 2, 100, 60, 6000 - 314.159265358979323846};
    static const char *const names[] = {"cut_length", "pierces", "length", "width", "area"};
    struct sg_part part = sg_fresh_part, free = sg_fresh_part;
    sg_part_measure(&free, shop); /* nothing without an outline */
    ck_assert(memcmp(&free, &sg_fresh_part, sizeof free) == 0);
    part.outline = 0;
    sg_part_measure(&part, shop);
    holds(SG_KIND_PART, &part);
    int n, found = 0;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &n);
    for (int i = 0; i < n; i++) {
        struct sg_part typed = part;
        struct sg_value value;
        int which = 0;
        while (which < 5 && strcmp(fields[i].name, names[which]) != 0)
            which++;
        ck_assert(sg_part_is_measured(&fields[i]) == (which < 5));
        if (which == 5)
            continue;
        sg_field_get(&fields[i], &part, &value);
        double is = fields[i].type == SG_FIELD_WHOLE ? (double)value.whole : value.number[0];
        ck_assert_double_eq_tol(is, measured[which], 1e-11);
        value.whole++;
        value.number[0] = nextafter(value.number[0], 0);
        sg_field_put(&fields[i], &typed, &value);
        breaks(SG_KIND_PART, &typed, fields[i].name, "measured from the outline plate.dxf");
        found++;
    }
    ck_assert_int_eq(found, 5);
    part.rapid_length = 7; /* is no measure */
    part.quantity = 9;
    holds(SG_KIND_PART, &part);
}
END_TEST

/* An open cut along an axis has no area, and no width: as typed, not known is not 0. */
START_TEST(what_an_outline_does_not_have_is_not_known)
{
    static struct sg_segment segment = {.x0 = 0, .y0 = 5, .x1 = 30, .y1 = 5};
    static struct sg_contour contour = {.n = 1, .outside = SG_UNKNOWN, .length = 30, .box = {0, 5, 30, 5}};
    const struct sg_outline cut = {.segments = &segment,
                                   .n_segments = 1,
                                   .contours = &contour,
                                   .n_contours = 1,
                                   .open = 1,
                                   .pierces = 1,
                                   .cut_length = 30,
                                   .box = {0, 5, 30, 5},
                                   .smallest_radius = (double)NAN};
    struct sg_part part = sg_fresh_part;
    part.outline = test_shop_drawn(&test, "cut.dxf", &cut, false);
    sg_part_measure(&part, shop);
    ck_assert(part.cut_length == 30 && part.pierces == 1 && part.length == 30);
    ck_assert(!sg_known(part.width) && !sg_known(part.area));
    holds(SG_KIND_PART, &part);
    part.area = 0;
    breaks(SG_KIND_PART, &part, "area", "cut.dxf");
}
END_TEST

START_TEST(breaks_lie_inside_the_shift_in_order_and_apart)
{
    static const struct {
        const char *start, *end, *breaks;
        bool good;
    } cases[] = {{"06:00", "14:00", "09:30-09:45,12:00-12:30", true},
                 {"06:00", "14:00", "06:00-06:15", true},
                 {"06:00", "14:00", "13:45-14:00", true},
                 {"06:00", "14:00", "05:45-06:15", false},
                 {"06:00", "14:00", "13:45-14:15", false},
                 {"06:00", "14:00", "15:00-15:15", false},
                 {"06:00", "14:00", "12:00-12:30,09:30-09:45", false},
                 {"06:00", "14:00", "09:30-09:45,09:45-10:00", false},
                 {"06:00", "14:00", "09:30-10:00,09:45-10:15", false},
                 {"22:00", "06:00", "23:50-00:10,02:00-02:30", true},
                 {"22:00", "06:00", "02:00-02:30,23:50-00:10", false},
                 {"22:00", "06:00", "05:45-06:00", true},
                 {"22:00", "06:00", "05:45-06:15", false},
                 {"22:00", "06:00", "21:00-21:15", false},
                 {"06:00", "06:00", "05:00-05:30", true}, /* a whole day */
                 {"00:00", "24:00", "23:00-23:59", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct sg_shift shift = shift_with(cases[i].start, cases[i].end, cases[i].breaks);
        enum sg_status status = sg_rules_check(SG_KIND_SHIFT, &shift, shop, &error);
        ck_assert_msg((status == SG_OK) == cases[i].good, "%s to %s, %s: %s", cases[i].start, cases[i].end,
                      cases[i].breaks, status == SG_OK ? "accepted" : error.text);
    }
}
END_TEST

START_TEST(a_break_is_placed_after_the_shifts_start)
{
    struct sg_shift shift = shift_with("22:00", "06:00", "02:00-02:30");
    int32_t from, to;
    ck_assert(sg_break_in_shift(&shift, &shift.breaks[0], &from, &to));
    ck_assert_int_eq(from, 4 * 3600);
    ck_assert_int_eq(to, 4 * 3600 + 1800);
    ck_assert_int_eq(sg_shift_length(&shift), 8 * 3600);
    shift = shift_with("06:00", "06:00", "none");
    ck_assert_int_eq(sg_shift_length(&shift), SG_DAY_S);
}
END_TEST

/* ---- keys ---- */

static void make_rows(void)
{
    test_shop_job(&test, 0)->id = "2604";
    test_shop_stock(&test, 0, 10);
    test_shop_part(&test, 1, 100, 10, 10)->id = "A";
    test_shop_part(&test, 1, 100, 10, 10)->id = "3/4";
    test_shop_stock(&test, 1, 10);
    test_shop_part(&test, 1, 100, 10, 10)->id = "A";
    test_shop_job(&test, 0)->id = "26";
}

START_TEST(keys_find_their_rows_and_write_them_again)
{
    static const struct {
        const char *key;
        enum sg_kind kind;
        int index;
    } keys[] = {{"2604", SG_KIND_JOB, 0},
                {"26", SG_KIND_JOB, 1},
                {"2604/1", SG_KIND_STOCK, 0},
                {"2604/2", SG_KIND_STOCK, 1},
                {"2604/1/A", SG_KIND_PART, 0},
                {"2604/1/3/4", SG_KIND_PART, 1},
                {"2604/2/A", SG_KIND_PART, 2},
                {"shift:A", SG_KIND_SHIFT, 0},
                {"machine:main", SG_KIND_MACHINE, 0},
                {"head:abrasive", SG_KIND_HEAD, 0},
                {"head:water", SG_KIND_HEAD, 1},
                {"material:steel, mild", SG_KIND_MATERIAL, 0}};
    make_rows();
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        struct sg_target target;
        char written[100];
        ck_assert_msg(sg_key_find(shop, keys[i].key, &target, &error) == SG_OK, "%s: %s", keys[i].key,
                      error.text);
        ck_assert_int_eq(target.kind, keys[i].kind);
        ck_assert_int_eq(target.index, keys[i].index);
        ck_assert_int_eq(sg_key_write(shop, target, written, sizeof written), strlen(keys[i].key));
        ck_assert_str_eq(written, keys[i].key);
    }
    struct sg_target target;
    ck_assert_int_eq(sg_key_find(shop, "material:mild steel", &target, &error), SG_OK);
    ck_assert_int_eq(target.index, 0);
}
END_TEST

START_TEST(keys_of_nothing_say_what_there_is)
{
    static const struct {
        const char *key, *says;
    } keys[] = {{"2605", "2604"},          {"260", "2604"},         {"", "jobs"},
                {"2604/9", "2604"},        {"2604/x", "2604/1"},    {"2604/", "number"},
                {"2604/1/B", "part"},      {"2604/1/", "part"},     {"2604/1x", "1x"},
                {"shift:Z", "A"},          {"machine:big", "main"}, {"head:laser", "abrasive"},
                {"material:wood", "wood"}, {"2604/-1", "2604"},     {"2604/99999999999", "2604"}};
    make_rows();
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        struct sg_target target = {SG_KIND_MATERIAL, 77};
        ck_assert_msg(sg_key_find(shop, keys[i].key, &target, &error) == SG_BAD_DATA, "%s", keys[i].key);
        ck_assert_msg(strstr(error.text, keys[i].says) != NULL, "%s: \"%s\"", keys[i].key, error.text);
        ck_assert(target.kind == SG_KIND_MATERIAL && target.index == 77); /* untouched */
    }
}
END_TEST

START_TEST(a_stocks_number_is_written_in_one_way)
{
    static const char *const other[] = {"2604/01", "2604/+1", "2604/ 1", "2604/1 "};
    struct sg_target target;
    make_rows();
    for (size_t i = 0; i < sizeof other / sizeof *other; i++)
        ck_assert_msg(sg_key_find(shop, other[i], &target, &error) == SG_BAD_DATA, "\"%s\"", other[i]);
}
END_TEST

START_TEST(keys_that_may_be_given)
{
    char sixty[70], two_hundred[210];
    memset(sixty, 'x', sizeof sixty);
    memset(two_hundred, 'x', sizeof two_hundred);
    const struct {
        enum sg_kind kind;
        const char *key;
        bool good;
    } keys[] = {{SG_KIND_JOB, "2604", true},
                {SG_KIND_JOB, "26/04", false},
                {SG_KIND_JOB, "a:b", false},
                {SG_KIND_JOB, "", false},
                {SG_KIND_JOB, " a", false},
                {SG_KIND_JOB, "a ", false},
                {SG_KIND_JOB, "a b", true},
                {SG_KIND_JOB, "a\x01", false},
                {SG_KIND_JOB, "a\tb", false},
                {SG_KIND_JOB, "a\nb", false},
                {SG_KIND_PART, "3/4", true},
                {SG_KIND_PART, "none", true},
                {SG_KIND_SHIFT, "A", true},
                {SG_KIND_HEAD, "abrasive", true},
                {SG_KIND_MATERIAL, "glass, float", true},
                {SG_KIND_JOB, sixty + 9, true},
                {SG_KIND_JOB, sixty + 8, false},
                {SG_KIND_PART, two_hundred + 9, true},
                {SG_KIND_PART, two_hundred + 8, false},
                {SG_KIND_JOB, "\xE9\x8B\xBC", true},
                {SG_KIND_JOB, "\xFF", false}};
    sixty[69] = two_hundred[209] = '\0';
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        enum sg_status status = sg_key_check(keys[i].kind, keys[i].key, &error);
        ck_assert_msg((status == SG_OK) == keys[i].good, "%s \"%s\"", sg_kind_word(keys[i].kind),
                      keys[i].key);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rules");
    TCase *cases = tcase_create("rules and keys");
    tcase_add_checked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, a_stack_is_not_higher_than_the_head_lifts);
    tcase_add_test(cases, a_sheet_fits_across_the_table_one_way_or_the_other);
    tcase_add_test(cases, margins_leave_some_sheet);
    tcase_add_test(cases, a_hopper_holds_its_level_and_its_low_line);
    tcase_add_test(cases, a_head_has_bores_and_pressures_that_go_together);
    tcase_add_test(cases, the_words_of_the_jet_go_together);
    tcase_add_test(cases, what_an_outline_measures_is_not_typed);
    tcase_add_test(cases, what_an_outline_does_not_have_is_not_known);
    tcase_add_test(cases, breaks_lie_inside_the_shift_in_order_and_apart);
    tcase_add_test(cases, a_break_is_placed_after_the_shifts_start);
    tcase_add_test(cases, keys_find_their_rows_and_write_them_again);
    tcase_add_test(cases, keys_of_nothing_say_what_there_is);
    tcase_add_test(cases, a_stocks_number_is_written_in_one_way);
    tcase_add_test(cases, keys_that_may_be_given);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
