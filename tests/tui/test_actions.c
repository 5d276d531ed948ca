/* The table of actions: every key means one thing on a screen, everything can be reached by plain keys, and
 * what the manual says is what the table holds. */
#include "tui/action.h"

#include "exchange/exchange.h"
#include "tui/inside.h"
#include "tui/tui.h"

#include <check.h>
#include <stdlib.h>
#include <string.h>

struct bound {
    int32_t stroke, second;
    const struct sg_action *action;
};

/* The keys of an action, one call for each. */
static bool next(const char **keys, struct bound *out)
{
    const char *at = *keys + strspn(*keys, " ");
    size_t length = strcspn(at, " ");
    *keys = at + length;
    if (length == 0)
        return false;
    out->stroke = sg_stroke_find(at, length, &out->second);
    ck_assert_msg(out->stroke != 0, "\"%.*s\" is no key", (int)length, at);
    return true;
}

static int keys_of(unsigned where, struct bound *out)
{
    int n = 0;
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        const char *keys = action->keys;
        out[n].action = action;
        while ((action->where & where) && next(&keys, &out[n]))
            out[++n].action = action;
    }
    return n;
}

START_TEST(no_key_means_two_things_in_one_place)
{
    static struct bound bound[400];
    unsigned where = 1u << _i;
    int n = keys_of(where, bound);
    ck_assert_int_gt(n, 10);
    for (int i = 0; i < n; i++)
        for (int j = 0; j < i; j++) {
            bool same = bound[i].stroke == bound[j].stroke && bound[i].second == bound[j].second;
            /* A key that begins a pair does nothing by itself. */
            bool hides =
                bound[i].stroke == bound[j].stroke && (bound[i].second == 0) != (bound[j].second == 0);
            ck_assert_msg(!same && !hides, "%s and %s have a key in common in place %d",
                          bound[i].action->name, bound[j].action->name, _i);
        }
}
END_TEST

/* One letter, one meaning in the whole program, but for these: c notes, E and T write, X and x spoil and take
 * out, z and Z go closer and further, i brings in, a adds or keeps; f, r, v, O are two things each. */
START_TEST(no_other_letter_means_two_things_on_two_screens)
{
    static struct bound bound[400];
    int n = keys_of(SG_ON_ALL, bound);
    for (int i = 0; i < n; i++)
        for (int j = 0; j < i; j++) {
            bool same = bound[i].stroke == bound[j].stroke && bound[i].second == bound[j].second;
            bool letter = bound[i].stroke > ' ' && bound[i].stroke < 0x7F;
            if (same && letter && bound[i].action->run != bound[j].action->run &&
                !strchr("ETXxzZiafrvO", bound[i].stroke) && strcmp(bound[i].action->name, "record-note") != 0)
                ck_abort_msg("%s and %s share %c", bound[i].action->name, bound[j].action->name,
                             (int)bound[i].stroke);
        }
}
END_TEST

START_TEST(what_a_key_means_is_found_again)
{
    static struct bound bound[400];
    unsigned where = 1u << _i;
    int n = keys_of(where, bound);
    for (int i = 0; i < n; i++) {
        bool first = false;
        ck_assert_ptr_eq(sg_action_find(bound[i].stroke, bound[i].second, where, NULL), bound[i].action);
        if (bound[i].second)
            ck_assert(!sg_action_find(bound[i].stroke, 0, where, &first) && first);
    }
}
END_TEST

/* A vt100 has no Home, End, PgUp, PgDn, Delete, Shift-Tab; F-keys are often caught on the way. */
static bool is_plain(const struct bound *key)
{
    return key->stroke < SG_STROKE_SPECIAL || (key->stroke >= SG_STROKE_UP && key->stroke <= SG_STROKE_RIGHT);
}

START_TEST(everything_is_reached_without_function_keys_or_mouse)
{
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        struct bound key;
        const char *keys = action->keys;
        bool plain = false;
        while (next(&keys, &key))
            plain = plain || is_plain(&key);
        /* At rest : takes any name; while typing only keys reach, and Shift-Tab has Tab and arrows beside it.
         */
        bool by_name = (action->where & SG_ON_ALL) != 0;
        ck_assert_msg(plain || by_name || strcmp(action->name, "keep-previous") == 0, "%s", action->name);
    }
    const struct sg_action *command = sg_action_find(':', 0, SG_ON_SHIFT, NULL);
    ck_assert_ptr_nonnull(command);
    ck_assert_uint_eq(command->where & SG_ON_ALL, SG_ON_ALL);
}
END_TEST

/* Prefixes of terminal multiplexers, flow control, and what the terminal driver takes. */
START_TEST(keys_that_never_arrive_are_not_used)
{
    static const char never[] = {SG_STROKE_CTRL('a'),
                                 SG_STROKE_CTRL('b'),
                                 SG_STROKE_CTRL('s'),
                                 SG_STROKE_CTRL('q'),
                                 SG_STROKE_CTRL('v'),
                                 SG_STROKE_CTRL('o'),
                                 0x1C};
    for (size_t i = 0; i < sizeof never; i++)
        ck_assert_ptr_null(sg_action_find(never[i], 0, ~0u, NULL));
    ck_assert_ptr_null(sg_action_find(SG_STROKE_CTRL('d'), 0, SG_ON_ALL, NULL)); /* only while typing */
}
END_TEST

START_TEST(every_action_has_a_name_of_its_own_a_place_and_a_sentence)
{
    for (const struct sg_action *a = sg_actions; a->name; a++) {
        ck_assert_uint_ne(a->where, 0);
        ck_assert_ptr_nonnull(a->run);
        ck_assert_msg(a->help[strlen(a->help) - 1] == '.', "%s", a->name);
        ck_assert_ptr_eq(sg_action_named(a->name), a);
    }
    ck_assert_ptr_null(sg_action_named("no such action"));
}
END_TEST

START_TEST(every_screen_can_be_left)
{
    for (int i = 0; i < SG_SCREENS; i++) {
        unsigned where = 1u << i;
        ck_assert_str_eq(sg_action_find(SG_STROKE_ESC, 0, where, NULL)->name, "back");
        ck_assert_str_eq(sg_action_find('q', 0, where, NULL)->name, "leave");
        ck_assert_ptr_nonnull(sg_screens[i]->title);
        ck_assert(sg_screens[i]->build || sg_screens[i]->draw);
        ck_assert(sg_screens[i]->answers || sg_screens[i]->second);
    }
}
END_TEST

static char *read_file(const char *path)
{
    char *data = NULL;
    size_t length;
    struct sg_error error;
    ck_assert_msg(sg_file_read(path, 1000000, &data, &length, &error) == SG_OK, "%s", error.text);
    return data;
}

START_TEST(the_manual_page_is_the_table)
{
    struct sg_text page = {0};
    sg_keys_manual(&page);
    char *kept = read_file(MANUAL "/sandglass-keys.7");
    if (getenv("SANDGLASS_GOLDEN"))
        ck_assert_int_eq(
            sg_file_write(MANUAL "/sandglass-keys.7", page.data, page.length, true, &(struct sg_error){0}),
            SG_OK);
    else
        ck_assert_msg(strcmp(kept, page.data) == 0,
                      "man/sandglass-keys.7 is older than the table: write it with "
                      "`sandglass keys --manual`");
    free(kept);
    sg_text_free(&page);
}
END_TEST

START_TEST(the_list_of_keys_has_every_action)
{
    struct sg_text list = {0}, json = {0};
    sg_keys_text(&list);
    sg_keys_json(&json);
    for (const struct sg_action *a = sg_actions; a->name; a++) {
        ck_assert_msg(strstr(list.data, a->help) && strstr(list.data, a->name), "%s", a->name);
        ck_assert_msg(strstr(json.data, a->name) != NULL, "%s", a->name);
    }
    sg_text_free(&list);
    sg_text_free(&json);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("actions");
    TCase *c = tcase_create("table");
    tcase_add_loop_test(c, no_key_means_two_things_in_one_place, 0, SG_SCREENS + 2);
    tcase_add_test(c, no_other_letter_means_two_things_on_two_screens);
    tcase_add_loop_test(c, what_a_key_means_is_found_again, 0, SG_SCREENS + 2);
    tcase_add_test(c, everything_is_reached_without_function_keys_or_mouse);
    tcase_add_test(c, keys_that_never_arrive_are_not_used);
    tcase_add_test(c, every_action_has_a_name_of_its_own_a_place_and_a_sentence);
    tcase_add_test(c, every_screen_can_be_left);
    tcase_add_test(c, the_manual_page_is_the_table);
    tcase_add_test(c, the_list_of_keys_has_every_action);
    suite_add_tcase(suite, c);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
