/* Fields that hold words: texts, choices, edges, hazards, breaks, and the names of materials, heads and
 * shifts. */
#include "sandglass/field.h"

#include "support/shop.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

static struct test_shop test;
static struct sg_shop *shop;

static void set_up(void)
{
    test_shop_make(&test);
    shop = &test.shop;
}

static void tear_down(void)
{
    test_shop_free(&test);
}

/* Call for each field of each kind. */
static void each_field(void (*check)(const struct sg_field *))
{
    for (int kind = 0; kind < SG_KINDS; kind++) {
        int n;
        const struct sg_field *fields = sg_fields((enum sg_kind)kind, &n);
        for (int i = 0; i < n; i++)
            check(&fields[i]);
    }
}

static enum sg_parse_state read(const struct sg_field *field, const char *text, struct sg_typed *typed)
{
    sg_field_read(field, shop, text, typed);
    return typed->state;
}

static void refuses(const struct sg_field *field, const char *text)
{
    struct sg_typed typed;
    enum sg_parse_state state = read(field, text, &typed);
    ck_assert_msg(state != SG_PARSE_WHOLE, "%s %s took \"%s\"", sg_kind_word(field->kind), field->name, text);
    ck_assert_msg(typed.text[0] != '\0', "%s refuses \"%s\" without a word", field->name, text);
    ck_assert(typed.at <= strlen(text));
}

static void takes(const struct sg_field *field, const char *text, struct sg_typed *typed)
{
    ck_assert_msg(read(field, text, typed) == SG_PARSE_WHOLE, "%s %s refused \"%s\": %s",
                  sg_kind_word(field->kind), field->name, text, typed->text);
}

/* ---- texts ---- */

static char *repeated(const char *unit, int times)
{
    char *text = malloc(strlen(unit) * (size_t)times + 1);
    text[0] = '\0';
    for (int i = 0; i < times; i++)
        memcpy(text + strlen(unit) * (size_t)i, unit, strlen(unit) + 1);
    return text;
}

START_TEST(texts_are_counted_in_characters)
{
    static const char *const units[] = {"a", "\xC3\xA9", "\xE9\x8B\xBC",
                                        "\xF0\x9F\x92\xA7"}; /* é, a CJK, an emoji */
    const struct sg_field *field = sg_field_find(SG_KIND_JOB, "customer");
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        struct sg_typed typed;
        char *fits = repeated(units[i], 200), *long_one = repeated(units[i], 201);
        takes(field, fits, &typed);
        ck_assert_str_eq(typed.value.text, fits);
        refuses(field, long_one);
        free(fits);
        free(long_one);
    }
}
END_TEST

START_TEST(texts_are_utf_8_without_control_characters)
{
    static const char *const bad[] = {"a\x01",    "\x7F",         "\xC2\x85",     "\xFF",
                                      "\xC0\xAF", "\xE2\x82",     "\xED\xA0\x80", "\xF4\x90\x80\x80",
                                      "a\rb",     "\xE0\x80\xAF", "\x1B[31m"};
    const struct sg_field *field = sg_field_find(SG_KIND_PART, "name");
    struct sg_typed typed;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        refuses(field, bad[i]);
    takes(field, "two\nlines and a\ttab", &typed);
}
END_TEST

START_TEST(blanks_around_a_text_are_not_part_of_it)
{
    const struct sg_field *field = sg_field_find(SG_KIND_PART, "name");
    struct sg_typed typed;
    takes(field, " \tbase plate  ", &typed);
    ck_assert_int_eq(typed.length, strlen("base plate"));
    ck_assert(strncmp(typed.value.text, "base plate", typed.length) == 0);
}
END_TEST

/* ---- words ---- */

static void check_words(const struct sg_field *field)
{
    struct sg_typed typed;
    if (field->type != SG_FIELD_CHOICE)
        return;
    for (int i = 0; field->words[i]; i++) {
        char upper[40] = "";
        for (size_t k = 0; field->words[i][k]; k++)
            upper[k] = (char)(field->words[i][k] >= 'a' && field->words[i][k] <= 'z' ? field->words[i][k] - 32
                                                                                     : field->words[i][k]);
        takes(field, field->words[i], &typed);
        ck_assert_int_eq(typed.value.whole, i);
        takes(field, upper, &typed);
        ck_assert_int_eq(typed.value.whole, i);
    }
    refuses(field, "perhaps");
    refuses(field, "1");
}

START_TEST(choices_take_their_words)
{
    each_field(check_words);
    struct sg_typed typed;
    ck_assert_int_eq(read(sg_field_find(SG_KIND_STOCK, "pierce"), "dri", &typed), SG_PARSE_UNFINISHED);
}
END_TEST

START_TEST(an_edge_is_a_number_or_its_word)
{
    static const struct {
        const char *text;
        double edge;
    } good[] = {{"1", 1},      {"5", 5},    {"2.5", 2.5},  {"separation", 1}, {"coarse", 2},
                {"medium", 3}, {"Fine", 4}, {"FINEST", 5}, {"4,5", 4.5}};
    static const char *const bad[] = {"0.9", "5.01", "0", "6", "fin", "rough", "3 mm", "nan"};
    const struct sg_field *field = sg_field_find(SG_KIND_STOCK, "edge");
    struct sg_typed typed;
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        takes(field, good[i].text, &typed);
        ck_assert(typed.value.number[0] == good[i].edge);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        refuses(field, bad[i]);
    ck_assert_str_eq(sg_edge_word(3.4), "medium");
    ck_assert_str_eq(sg_edge_word(3.5), "fine");
}
END_TEST

START_TEST(hazards_are_a_list_of_words)
{
    const struct sg_field *field = sg_field_find(SG_KIND_MATERIAL, "hazards");
    struct sg_typed typed;
    takes(field, "silica,toxic", &typed);
    ck_assert_int_eq(typed.value.whole, SG_HAZARD_SILICA | SG_HAZARD_TOXIC);
    takes(field, "Verify, brittle", &typed);
    ck_assert_int_eq(typed.value.whole, SG_HAZARD_VERIFY | SG_HAZARD_BRITTLE);
    takes(field, "none", &typed);
    refuses(field, "silica,sharp");
    refuses(field, ",");
}
END_TEST

START_TEST(breaks_are_spans_of_the_clock)
{
    const struct sg_field *field = sg_field_find(SG_KIND_SHIFT, "breaks");
    struct sg_typed typed;
    takes(field, "09:30-09:45,12:00-12:30", &typed);
    ck_assert_int_eq(typed.value.count, 2);
    ck_assert_int_eq(typed.value.spans[1].from_s, 43200);
    takes(field, "none", &typed);
    static const char *const bad[] = {"9:30", "09:30-", "25:00-26:00", "09:30-09:30", "09:30-09:45,", "a-b"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        refuses(field, bad[i]);
    char *many = repeated("01:00-01:01,", 17);
    many[strlen(many) - 1] = '\0';
    refuses(field, many);
    free(many);
}
END_TEST

/* ---- materials, heads, shifts ---- */

START_TEST(materials_match_by_name_alias_or_a_beginning)
{
    static const struct {
        const char *text;
        int material, others;
    } names[] = {{"steel, mild", 0, 0},    {"STEEL, MILD", 0, 0},    {"Mild Steel", 0, 0},
                 {"carbon steel", 0, 0},   {"aluminum", 1, 0},       {"glass", 2, 1},
                 {"foam", 3, 1},           {"aluminium 6061", 1, 0}, {"aluminium", -1, 2},
                 {"aluminium 7075", 4, 0}, {"unobtainium", -1, 0},   {"", -1, 0},
                 {"aluminu", -1, 0},       {"7075", 4, 0},           {"mild", -1, 0}};
    test.materials[4] = test.materials[1];
    test.materials[4].name = "aluminium 7075";
    test.materials[4].aliases = "hard aluminium; 7075";
    shop->n_materials = 5;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        int others = -1;
        ck_assert_msg(sg_find_material(shop, names[i].text, &others) == names[i].material, "%s",
                      names[i].text);
        if (names[i].material < 0)
            ck_assert_msg(others == names[i].others || strcmp(names[i].text, "aluminu") == 0, "%s",
                          names[i].text);
    }
    const struct sg_field *field = sg_field_find(SG_KIND_STOCK, "material");
    struct sg_typed typed;
    ck_assert_int_eq(read(field, "aluminium", &typed), SG_PARSE_UNFINISHED);
    ck_assert_ptr_nonnull(strstr(typed.text, "7075"));
    refuses(field, "unobtainium");
    takes(field, " glass ", &typed);
    ck_assert_int_eq(typed.value.whole, 2);
}
END_TEST

START_TEST(heads_and_shifts_are_named)
{
    const struct sg_field *head = sg_field_find(SG_KIND_STOCK, "head"),
                          *shift = sg_field_find(SG_KIND_JOB, "shift");
    struct sg_typed typed;
    takes(head, "Water", &typed);
    ck_assert_int_eq(typed.value.whole, 1);
    refuses(head, "laser");
    ck_assert_ptr_nonnull(strstr((read(head, "laser", &typed), typed.text), "abrasive, water"));
    takes(shift, "A", &typed);
    refuses(shift, "Z");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field, words");
    TCase *cases = tcase_create("fields");
    tcase_add_checked_fixture(cases, set_up, tear_down);
    tcase_add_test(cases, texts_are_counted_in_characters);
    tcase_add_test(cases, texts_are_utf_8_without_control_characters);
    tcase_add_test(cases, blanks_around_a_text_are_not_part_of_it);
    tcase_add_test(cases, choices_take_their_words);
    tcase_add_test(cases, an_edge_is_a_number_or_its_word);
    tcase_add_test(cases, hazards_are_a_list_of_words);
    tcase_add_test(cases, breaks_are_spans_of_the_clock);
    tcase_add_test(cases, materials_match_by_name_alias_or_a_beginning);
    tcase_add_test(cases, heads_and_shifts_are_named);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
