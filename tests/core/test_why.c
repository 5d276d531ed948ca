/* What `why` says of fields, of what is typed, missing or left by the shift before, and of refills. */
#include "support/shop.h"
#include "support/why_tree.h"

#include <stdio.h>

/* ---- fields ---- */

/* A number of the plan goes before a field of its name. */
static bool is_number(enum sg_kind kind, const char *field)
{
    const char *name;
    for (int i = 0; (name = sg_why_name(kind, i)); i++)
        if (strcmp(name, field) == 0)
            return true;
    return false;
}

START_TEST(every_field_of_every_kind_is_explained)
{
    struct test_shop t;
    static struct sg_chore chore = {.name = "wash", .time = 60};
    struct sg_clock clock = sg_fresh_clock;
    struct sg_record record = sg_fresh_record;
    struct sg_error error;
    test_shop_make(&t);
    t.shop.chores = &chore;
    t.shop.n_chores = 1;
    t.shop.clocks = &clock;
    t.shop.records = &record;
    t.shop.n_clocks = t.shop.n_records = 1;
    test_shop_job(&t, 0);
    test_shop_stock(&t, 0, 10)->sheets = 3;
    test_shop_part(&t, 4, 900, 100, 80);
    for (int kind = 0; kind < SG_KINDS; kind++) {
        int count;
        const struct sg_field *fields = sg_fields((enum sg_kind)kind, &count);
        for (int i = 0; i < count; i++) {
            struct sg_arena arena = {0};
            struct sg_why why;
            struct sg_target target = {(enum sg_kind)kind, 0};
            ck_assert_int_eq(sg_why(&t.shop, target, fields[i].name, &arena, &why, &error), SG_OK);
            check_tree(&t.shop, &why);
            if (!is_number(target.kind, fields[i].name)) {
                ck_assert_int_eq(why.n_lines, 1);
                ck_assert_ptr_eq(why.lines[0].field, &fields[i]);
                ck_assert_ptr_nonnull(strstr(why.lines[0].note, fields[i].meaning));
            }
            sg_arena_free(&arena);
        }
    }
    test_shop_free(&t);
}
END_TEST

static const struct sg_why_line *line_named(const struct sg_why *why, const char *name)
{
    for (int i = 0; i < why->n_lines; i++)
        if (strcmp(why->lines[i].name, name) == 0)
            return &why->lines[i];
    ck_abort_msg("there is no line \"%s\"", name);
}

/* A shop with one stock of mild steel, 10 mm, and one part; explained from it. */
struct one {
    struct test_shop shop;
    struct sg_arena arena;
    struct sg_why why;
};

static void make_one(struct one *one)
{
    memset(one, 0, sizeof *one);
    test_shop_make(&one->shop);
    test_shop_job(&one->shop, 0);
    test_shop_stock(&one->shop, 0, 10);
    one->shop.shop.stocks[0].sheet_length = 2000;
    one->shop.shop.stocks[0].sheet_width = 1000;
    test_shop_part(&one->shop, 4, 900, 100, 80);
}

static void explain(struct one *one, enum sg_kind kind, const char *name)
{
    struct sg_error error = {.text = ""};
    sg_arena_free(&one->arena);
    enum sg_status status =
        sg_why(&one->shop.shop, (struct sg_target){kind, 0}, name, &one->arena, &one->why, &error);
    ck_assert_msg(status == SG_OK, "%s", error.text);
    check_tree(&one->shop.shop, &one->why);
}

static void free_one(struct one *one)
{
    sg_arena_free(&one->arena);
    test_shop_free(&one->shop);
}

START_TEST(a_field_says_whether_it_is_fresh_changed_or_typed)
{
    struct one one;
    make_one(&one);
    explain(&one, SG_KIND_HEAD, "pressure");
    ck_assert_int_eq(one.why.lines[0].origin, SG_WHY_FRESH);
    ck_assert_int_eq(one.why.lines[0].basis, SG_UNKNOWN);
    one.shop.heads[0].pressure = 300;
    explain(&one, SG_KIND_HEAD, "pressure");
    ck_assert_int_eq(one.why.lines[0].origin, SG_WHY_CHANGED);
    ck_assert_str_eq(one.why.lines[0].fresh, "55 ksi");
    ck_assert_int_eq(one.why.lines[0].basis, SG_BASIS_TYPED);
    explain(&one, SG_KIND_STOCK, "thickness");
    ck_assert_int_eq(one.why.lines[0].origin, SG_WHY_TYPED);
    explain(&one, SG_KIND_STOCK, "feed");
    ck_assert_int_eq(one.why.lines[0].origin, SG_WHY_NONE);
    ck_assert(!sg_known(one.why.lines[0].value));
    explain(&one, SG_KIND_MATERIAL, "machinability");
    ck_assert_int_eq(one.why.lines[0].origin, SG_WHY_GIVEN);
    ck_assert_int_eq(one.why.lines[0].basis, SG_BASIS_RECALLED);
    free_one(&one);
}
END_TEST

START_TEST(an_unknown_name_lists_what_there_is)
{
    struct one one;
    struct sg_error error;
    make_one(&one);
    for (int kind = 0; kind < SG_KINDS; kind++) {
        struct sg_arena arena = {0};
        struct sg_why why;
        int count;
        const char *name;
        const struct sg_field *fields = sg_fields((enum sg_kind)kind, &count);
        ck_assert_int_eq(
            sg_why(&one.shop.shop, (struct sg_target){(enum sg_kind)kind, 0}, "colour", &arena, &why, &error),
            SG_USAGE);
        ck_assert_ptr_nonnull(strstr(error.text, "\"colour\""));
        for (int i = 0; i < count; i++)
            ck_assert_msg(strstr(error.text, fields[i].name) != NULL, "%s: %s", fields[i].name, error.text);
        for (int i = 0; (name = sg_why_name((enum sg_kind)kind, i)); i++)
            ck_assert_msg(strstr(error.text, name) != NULL, "%s: %s", name, error.text);
        sg_arena_free(&arena);
    }
    free_one(&one);
}
END_TEST

/* ---- what wins, what is missing ---- */

/* The source of the pierces names the ways that were fitted. */
START_TEST(a_pierce_of_the_shops_own_says_so)
{
    struct one one;
    make_one(&one);
    one.shop.shop.stocks[0].pierce = SG_PIERCE_STILL;
    explain(&one, SG_KIND_STOCK, "pierce");
    ck_assert_int_eq(one.why.lines[0].basis, SG_BASIS_ESTIMATE);
    one.shop.shop.machine.pierce_source = "still: shop, 9 runs, +-12 %";
    explain(&one, SG_KIND_STOCK, "pierce");
    ck_assert_int_eq(one.why.lines[0].basis, SG_BASIS_SHOP);
    ck_assert_str_eq(one.why.lines[0].source, "still: shop, 9 runs, +-12 %");
    one.shop.shop.stocks[0].pierce = SG_PIERCE_MOVING;
    explain(&one, SG_KIND_STOCK, "pierce");
    ck_assert_int_eq(one.why.lines[0].basis, SG_BASIS_ESTIMATE);
    one.shop.shop.machine.pierce_source = "of our own runs"; /* a person's own words, of all */
    explain(&one, SG_KIND_STOCK, "pierce");
    ck_assert_int_eq(one.why.lines[0].basis, SG_BASIS_SHOP);
    free_one(&one);
}
END_TEST

START_TEST(a_typed_feed_and_pierce_win_and_say_so)
{
    struct one one;
    make_one(&one);
    one.shop.shop.stocks[0].feed = 250;
    one.shop.shop.stocks[0].pierce_seconds = 7;
    explain(&one, SG_KIND_STOCK, "traverse");
    ck_assert(one.why.lines[0].value == 250);
    ck_assert_ptr_nonnull(strstr(one.why.lines[0].note, "typed"));
    ck_assert_str_eq(one.why.lines[0].formula, "min(feed, top feed)");
    ck_assert(line_named(&one.why, "the model's feed")->aside);
    ck_assert(line_named(&one.why, "feed")->from.kind == SG_KIND_STOCK);
    explain(&one, SG_KIND_STOCK, "pierce");
    ck_assert(one.why.lines[0].value == 7);
    ck_assert_str_eq(one.why.lines[0].field->name, "pierce_seconds");
    one.shop.shop.parts[0].feed = 20000; /* above the top feed of 10160 mm/min */
    explain(&one, SG_KIND_PART, "traverse");
    ck_assert(one.why.lines[0].value == one.shop.shop.machine.top_feed);
    ck_assert(line_named(&one.why, "feed")->from.kind == SG_KIND_PART);
    free_one(&one);
}
END_TEST

START_TEST(a_water_head_shows_its_own_formula)
{
    struct one one;
    make_one(&one);
    one.shop.shop.stocks[0].material = 3; /* foam */
    explain(&one, SG_KIND_STOCK, "traverse");
    ck_assert_ptr_nonnull(strstr(one.why.lines[0].formula, "water speed"));
    ck_assert_str_eq(line_named(&one.why, "water speed")->formula, "Pj x 1000 / (eA x h) x 60");
    one.shop.materials[3].threshold = 100;
    explain(&one, SG_KIND_STOCK, "traverse");
    ck_assert_ptr_nonnull(strstr(line_named(&one.why, "water speed")->formula, "Pth / P"));
    explain(&one, SG_KIND_STOCK, "edge_cut");
    ck_assert(!sg_known(one.why.lines[0].value));
    ck_assert_ptr_nonnull(strstr(one.why.lines[0].note, "not applicable"));
    explain(&one, SG_KIND_STOCK, "garnet_feed");
    ck_assert(one.why.lines[0].value == 0);
    free_one(&one);
}
END_TEST

static void ck_missing(struct one *one, enum sg_kind kind, const char *name, const char *field)
{
    explain(one, kind, name);
    ck_assert_msg(!sg_known(one->why.lines[0].value), "%s is known", name);
    ck_assert_ptr_nonnull(one->why.lines[0].note);
    ck_assert_msg(strstr(one->why.lines[0].note, field) != NULL, "%s: \"%s\" is not in: %s", name, field,
                  one->why.lines[0].note);
}

START_TEST(what_is_not_known_names_the_field_that_is_missing)
{
    struct one one;
    make_one(&one);
    struct sg_stock *stock = &one.shop.shop.stocks[0];
    struct sg_part *part = &one.shop.shop.parts[0];
    stock->thickness = (double)NAN;
    static const char *const of_thickness[] = {"traverse", "separation", "edge_cut",
                                               "pierce",   "sheet_mass", "slat_load"};
    for (size_t i = 0; i < sizeof of_thickness / sizeof *of_thickness; i++)
        ck_missing(&one, SG_KIND_STOCK, of_thickness[i], "thickness of A/1");
    ck_missing(&one, SG_KIND_PART, "mass", "thickness of A/1");
    ck_missing(&one, SG_KIND_PART, "cut", "thickness of A/1");
    ck_missing(&one, SG_KIND_SHIFT, "ends", "thickness of A/1");
    ck_missing(&one, SG_KIND_SHIFT, "over", "thickness of A/1");
    stock->thickness = 10;
    stock->material = SG_UNKNOWN;
    ck_missing(&one, SG_KIND_STOCK, "traverse", "material of A/1");
    stock->material = 3;
    stock->head = 0; /* foam has no machinability */
    ck_missing(&one, SG_KIND_PART, "each", "machinability of material:foam, polyethylene");
    stock->material = 0;
    part->cut_length = (double)NAN;
    static const char *const of_length[] = {"each", "cut", "pierce", "rapid", "garnet"};
    for (size_t i = 0; i < sizeof of_length / sizeof *of_length; i++)
        ck_missing(&one, SG_KIND_PART, of_length[i], "cut_length of A/1/A");
    ck_missing(&one, SG_KIND_SHIFT, "ends", "cut_length of A/1/A");
    part->cut_length = 900;
    part->width = (double)NAN;
    ck_missing(&one, SG_KIND_PART, "sheets", "width of A/1/A");
    ck_missing(&one, SG_KIND_STOCK, "sheets", "width of A/1/A");
    ck_missing(&one, SG_KIND_JOB, "sheets", "width of A/1/A");
    ck_missing(&one, SG_KIND_SHIFT, "sheets", "width of A/1/A");
    ck_missing(&one, SG_KIND_JOB, "late", "no due time");
    free_one(&one);
}
END_TEST

/* ---- the run ---- */

START_TEST(a_refill_says_level_take_low_line_and_why_it_is_due)
{
    struct one one;
    make_one(&one);
    struct sg_machine *m = &one.shop.shop.machine;
    m->hopper = 100;
    m->low_line = 10;
    m->hopper_level = 12;
    m->bag = 25;
    one.shop.shop.parts[0].cut_length = 20000;
    explain(&one, SG_KIND_SHIFT, "next_refill");
    const struct sg_why_line *left = line_named(&one.why, "left");
    ck_assert_ptr_nonnull(strstr(left->note, "due: it would be below the low line"));
    ck_assert(left->value < 10);
    ck_assert(line_named(&one.why, "level")->value == 12);
    ck_assert(line_named(&one.why, "low line")->value == 10);
    ck_assert(line_named(&one.why, "bags")->value == 3); /* floor(88 / 25) */
    ck_assert(line_named(&one.why, "refill A/1 sheet 1")->value == 75);
    m->hopper_level = 100;
    one.shop.shop.parts[0].cut_length = 100;
    explain(&one, SG_KIND_SHIFT, "next_refill");
    ck_assert(!sg_known(one.why.lines[0].value));
    ck_assert_ptr_nonnull(strstr(one.why.lines[0].note, "the hopper lasts"));
    free_one(&one);
}
END_TEST

START_TEST(wear_left_by_the_shift_before_is_said)
{
    struct one one;
    make_one(&one);
    struct test_shop *t = &one.shop;
    t->shifts[1] = sg_fresh_shift;
    t->shifts[1].id = "B";
    t->shifts[1].calendar = (struct sg_calendar){.epoch = 1.8e9 + 40000, .close_s = 8 * 3600};
    t->shop.n_shifts = 2;
    t->heads[0].tube_wear = 0.2;
    t->heads[0].tube_hours = 3600;
    test_shop_job(t, 1);
    test_shop_stock(t, 0, 10);
    test_shop_part(t, 4, 900, 100, 80);
    struct sg_error error;
    ck_assert_int_eq(
        sg_why(&t->shop, (struct sg_target){SG_KIND_STOCK, 1}, "kerf", &one.arena, &one.why, &error), SG_OK);
    check_tree(&t->shop, &one.why);
    const struct sg_why_line *hours = line_named(&one.why, "tube hours");
    ck_assert_ptr_nonnull(strstr(hours->note, "as shift:A leaves the tube"));
    ck_assert(hours->value > 3600);
    ck_assert_ptr_null(hours->field);
    free_one(&one);
}
END_TEST

/* A figure of few digits is written as it is. */
START_TEST(figures_have_six_digits)
{
    static const struct {
        double value;
        const char *text;
    } figures[] = {{0, "0"},
                   {1, "1"},
                   {12.5, "12.5"},
                   {379.21165112, "379.212"},
                   {1234567, "1234567"},
                   {0.000123456789, "0.000123457"},
                   {-2.5, "-2.5"},
                   {99999.96, "100000"},
                   {(double)NAN, "-"}};
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        char text[80];
        sg_why_figure(figures[i].value, sg_unit_canonical(SG_DIM_LENGTH), text, sizeof text);
        ck_assert_str_eq(text, figures[i].text);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("why");
    TCase *tcase = tcase_create("why");
    tcase_add_test(tcase, every_field_of_every_kind_is_explained);
    tcase_add_test(tcase, a_field_says_whether_it_is_fresh_changed_or_typed);
    tcase_add_test(tcase, an_unknown_name_lists_what_there_is);
    tcase_add_test(tcase, a_pierce_of_the_shops_own_says_so);
    tcase_add_test(tcase, a_typed_feed_and_pierce_win_and_say_so);
    tcase_add_test(tcase, a_water_head_shows_its_own_formula);
    tcase_add_test(tcase, what_is_not_known_names_the_field_that_is_missing);
    tcase_add_test(tcase, a_refill_says_level_take_low_line_and_why_it_is_due);
    tcase_add_test(tcase, wear_left_by_the_shift_before_is_said);
    tcase_add_test(tcase, figures_have_six_digits);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
