/* What does not go into a what-if, or from it into the plan, leaves both as they were. */
#include "edit/what_ifs.h"

START_TEST(what_does_not_go_is_refused_and_the_what_if_stays)
{
    static char long_note[400];
    snprintf(long_note, sizeof long_note, "note=%0300d", 1);
    const struct {
        const char *name, *key, *a, *b, *why;
    } refused[] = {
        {"one", "2601/1/A", "quantity=1", "quantity=many", "quantity=many"},
        {"one", "2601/1/A", "colour=red", NULL, "no field \"colour\""},
        {"one", "2602/1/A", "quantity=1", "pierces=-1", "pierces=-1"},
        {"one", "2699", "order=1", NULL, "no job \"2699\""},
        {"one", "machine:main", "low_line=900 lb", NULL, "not below the hopper"},
        {"one", "2601", long_note, NULL, "one line, up to 299 bytes"},
        {"one", "2601", "note=a\tb", NULL, "one line"},
        {"", "2601/1/A", "quantity=1", NULL, "empty"},
        {"a\nb", "2601/1/A", "quantity=1", NULL, ""},
        {"a name of more than sixty characters, which no key may have in here", "2601/1/A", "quantity=1",
         NULL, "60"},
    };
    must(add("one", "2601/1/A", "quantity=7"));
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        ck_assert_int_eq(add_three(refused[i].name, refused[i].key, refused[i].a, refused[i].b, NULL),
                         SG_BAD_DATA);
        ck_assert_msg(strstr(error.text, refused[i].why) != NULL, "%s", error.text);
        read_edits("one", 1);
        ck_assert_str_eq(edits.edits[0].assignment, "quantity=7");
        ck_assert_int_eq(sg_draft_shop(draft)->parts[2].quantity, 12); /* nothing half-done is shown */
        ck_assert(!is_there(refused[i].name[0] == 'o' ? "two" : refused[i].name));
    }
}
END_TEST

START_TEST(a_name_that_is_not_there_is_not_found)
{
    must(add("one", "2601/1/A", "quantity=7"));
    memset(&edits, 'x', sizeof edits);
    must(sg_what_if_read(desk, "One", &edits, &error));
    ck_assert(!edits.found);
    ck_assert_int_eq(edits.n, 0);
    struct sg_desk *before = shop_file_desk(&file, SG_STORE_READ);
    ck_assert_int_eq(sg_what_if_keep(desk, "two", &edits, &error), SG_BAD_DATA);
    ck_assert_int_eq(sg_store_what_if_drop(sg_desk_store(desk), "two", &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "no what-if \"two\"") != NULL, "%s", error.text);
    ck_plan_tables(before, "no such what-if");
    must(sg_store_what_if_drop(sg_desk_store(desk), "one", &error));
    ck_assert(!is_there("one"));
    ck_plan_tables(before, "dropped");
    ck_assert_int_eq(history().n, 0);
    sg_desk_close(before);
}
END_TEST

/* Another desk dropped it while it was looked at: nothing goes into the plan unseen. */
START_TEST(what_another_desk_dropped_is_not_kept)
{
    struct sg_desk *floor = shop_file_desk(&file, SG_STORE_WRITE);
    must(add("one", "2601/1/A", "quantity=7"));
    read_edits("one", 1);
    must(sg_store_what_if_drop(sg_desk_store(floor), "one", &error));
    ck_assert_int_eq(sg_what_if_keep(desk, "one", &edits, &error), SG_BAD_DATA);
    ck_plan_tables(floor, "dropped by another");
    ck_assert_int_eq(history().n, 0);
    sg_desk_close(floor);
}
END_TEST

START_TEST(two_hundred_changes_go_in_and_no_more)
{
    char assignment[40];
    for (int i = 0; i < SG_WHAT_IF_EDITS; i += 3) {
        char more[2][40];
        snprintf(assignment, sizeof assignment, "quantity=%d", i + 1);
        snprintf(more[0], sizeof more[0], "pierces=%d", i + 1);
        snprintf(more[1], sizeof more[1], "scrap=%d", i + 1);
        bool last = i + 3 > SG_WHAT_IF_EDITS;
        must(add_three("long", "2601/1/A", assignment, more[0], last ? NULL : more[1]));
    }
    read_edits("long", SG_WHAT_IF_EDITS);
    ck_assert_int_eq(add("long", "2601/1/B", "quantity=1"), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "at most 200 changes") != NULL, "%s", error.text);
    show("long");
    const struct figures shown = drafted_figures();
    ck_assert_int_eq(sg_draft_shop(draft)->parts[0].quantity, 199);
    ck_assert_int_eq(sg_draft_shop(draft)->parts[0].scrap, 196);
    keep("long");
    ck_same_figures(kept_figures(), shown);
    ck_assert_int_eq(history().n, 1);
    ck_assert_str_eq(history().newest.words, "what-if long, 200 changes");
}
END_TEST

/* The longest that fit in number and size: more than a shop file takes is refused in words. */
START_TEST(changes_too_long_together_are_refused)
{
    static char key[1100], part[201], assignment[300];
    struct sg_change change;
    struct sg_target target;
    memset(part, 'p', 200);
    const char *no_notes = "note=none";
    must(sg_desk_add(desk, SG_KIND_PART, "2601/1", part, &no_notes, 1, 20000, &change, &target, &error));
    snprintf(key, sizeof key, "2601/1/%s", part);
    int n = 0;
    enum sg_status status = SG_OK;
    must(sg_draft_reset(draft, &error));
    while (n < SG_WHAT_IF_EDITS && status == SG_OK) {
        snprintf(assignment, sizeof assignment, "note=%0290d", n);
        status = add("long", key, assignment);
        n += status == SG_OK;
    }
    ck_assert_int_eq(status, SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "what-if \"long\" is full") != NULL, "%s", error.text);
    ck_assert_int_gt(n, 190);
    read_edits("long", n);
    ck_assert_str_eq(edits.edits[n - 1].key, key);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("what-if refused");
    TCase *tests = tcase_create("what-if refused");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_test(tests, what_does_not_go_is_refused_and_the_what_if_stays);
    tcase_add_test(tests, a_name_that_is_not_there_is_not_found);
    tcase_add_test(tests, what_another_desk_dropped_is_not_kept);
    tcase_add_test(tests, two_hundred_changes_go_in_and_no_more);
    tcase_add_test(tests, changes_too_long_together_are_refused);
    suite_add_tcase(suite, tests);
    return run(suite);
}
