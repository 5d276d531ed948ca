#include "sandglass/field.h"
#include "support/random.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

static struct random series = {0x9e3779b97f4a7c15u};

static unsigned below(unsigned n)
{
    return random_below(&series, n);
}

static bool is_near(const char *library_name, const char *typed)
{
    struct sg_material material = {.name = library_name, .aliases = ""};
    const struct sg_shop shop = {.n_materials = 1, .materials = &material};
    char text[SG_NEAR_SIZE], quoted[40];
    snprintf(quoted, sizeof quoted, "near it: \"%s\"", library_name);
    sg_near_materials(&shop, typed, 0, text, sizeof text);
    return strstr(text, quoted) != NULL;
}

/* The distance by its definition, over the whole table. */
static size_t plain_distance(const char *a, const char *b)
{
    size_t table[20][20], n = strlen(a), m = strlen(b);
    for (size_t i = 0; i <= n; i++)
        for (size_t j = 0; j <= m; j++) {
            if (i == 0 || j == 0) {
                table[i][j] = i + j;
                continue;
            }
            size_t best = table[i - 1][j - 1] + (a[i - 1] != b[j - 1]);
            best = table[i - 1][j] + 1 < best ? table[i - 1][j] + 1 : best;
            table[i][j] = table[i][j - 1] + 1 < best ? table[i][j - 1] + 1 : best;
        }
    return table[n][m];
}

static void random_word(char *word)
{
    size_t length = 1 + below(13);
    for (size_t i = 0; i < length; i++)
        word[i] = (char)('a' + below(2));
    word[length] = '\0';
}

START_TEST(a_word_is_near_up_to_three_slips_and_a_third_of_its_letters)
{
    int near_words = 0;
    for (int i = 0; i < 200000; i++) {
        char name[20], typed[20];
        random_word(name);
        random_word(typed);
        size_t length = strlen(typed), most = length / 3 < 3 ? length / 3 : 3;
        bool inside = length >= 3 && strstr(name, typed);
        bool expected = inside || plain_distance(name, typed) <= most;
        if (is_near(name, typed) != expected)
            ck_abort_msg("%s, %s", name, typed);
        near_words += expected;
    }
    ck_assert_int_gt(near_words, 10000);
    ck_assert_int_lt(near_words, 150000);
}
END_TEST

START_TEST(the_case_does_not_matter)
{
    ck_assert(is_near("Titanium", "tItamium"));
    ck_assert(is_near("granite", "RANIT"));
}
END_TEST

START_TEST(a_very_long_name_is_near_nothing)
{
    char typed[5000];
    memset(typed, 'x', sizeof typed - 1);
    typed[sizeof typed - 1] = '\0';
    ck_assert(!is_near("xxxxxxxxxxxxxxxxxxxx", typed));
    memcpy(typed, "granite ", 8); /* but its first word may be */
    ck_assert(is_near("granite", typed));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("near");
    TCase *tests = tcase_create("near");
    tcase_add_test(tests, a_word_is_near_up_to_three_slips_and_a_third_of_its_letters);
    tcase_add_test(tests, the_case_does_not_matter);
    tcase_add_test(tests, a_very_long_name_is_near_nothing);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
