/* Every change through the desk is one step of the history that can be taken back. */
#include "edit/steps.h"

#include <time.h>

static enum sg_status import_two(void)
{
    static bool said[64];
    int count;
    const struct sg_field *fields = sg_fields(SG_KIND_PART, &count);
    struct sg_incoming parts[2];
    const struct sg_import_how how = {.keep = true, .replace = true, .list = "north.csv"};
    struct sg_import_result result;
    said[sg_field_find(SG_KIND_PART, "quantity") - fields] = true;
    for (int i = 0; i < 2; i++) {
        parts[i] = (struct sg_incoming){.part = sg_fresh_part, .has = said, .thickness = (double)NAN};
        parts[i].part.id = i ? "N" : "A";
        parts[i].part.quantity = 3 + i;
    }
    return sg_desk_import(desk, "2601/1", parts, 2, &how, &result, &error);
}

static enum sg_status keep_four(void)
{
    const struct sg_edit edits[] = {edit_of("2601/1/A", "edge=2", NULL), edit_of("2602/1/A", "edge=2", NULL),
                                    edit_of("2603", "order=1", NULL),
                                    edit_of("machine:main", "bags_in_stock=9", NULL)};
    struct sg_clash clash;
    return sg_desk_keep(desk, edits, 4, "edge for four", changes, &clash, &error);
}

static enum sg_status set_several(void)
{
    static const char *const assignments[] = {"due=2026-12-03", "order=1", "note=call first"};
    return sg_desk_set(desk, "2604", assignments, 3, true, changes, &target, &error);
}

static enum sg_status set_shift(void)
{
    return set_by(desk, "shift:A", "breaks=none");
}

static enum sg_status add_job(void)
{
    static const char *const first[] = {"order=2"};
    return sg_desk_add(desk, SG_KIND_JOB, NULL, "2700", first, 1, 20000, changes, &target, &error);
}

static enum sg_status add_stock(void)
{
    return add(SG_KIND_STOCK, "2602", NULL);
}

static enum sg_status add_part(void)
{
    return add(SG_KIND_PART, "2605/2", "3/4 ring");
}

static enum sg_status remove_stock(void)
{
    return sg_desk_remove(desk, "2605/1", &error);
}

static enum sg_status remove_part(void)
{
    return sg_desk_remove(desk, "2601/1/A", &error);
}

static enum sg_status copy_stock(void)
{
    return sg_desk_copy(desk, "2601/1", "2605", &target, &error);
}

static enum sg_status copy_part(void)
{
    return sg_desk_copy(desk, "2601/1/A", "2602/1/C", &target, &error);
}

static enum sg_status move_stock(void)
{
    return sg_desk_move(desk, "2605/1", "2601", &target, &error);
}

static enum sg_status move_part(void)
{
    return sg_desk_move(desk, "2601/1/B", "2602/1", &target, &error);
}

/* Words as the header gives them; a step without such words is named by what was typed. */
static const struct {
    enum sg_status (*make)(void);
    const char *words;
} each[] = {
    {set_one, "quantity of 2601/1/A: 20 -> 16"},
    {set_several, "due of 2604: 2026-12-02 -> 2026-12-03; order of 2604: 4 -> 1; note of "
                  "2604: annealed glass only: tempered breaks -> call first"},
    {set_shift, "breaks of shift:A: 09:30-09:45,12:00-12:30 -> none"},
    {add_job, "2700 added"},
    {add_stock, "2602/2 added"},
    {add_part, "2605/2/3/4 ring added"},
    {add_shift, "shift:B added"},
    {import_two, "1 part added and 1 replaced in 2601/1 from north.csv"},
    {keep_four, "edge for four"},
    {remove_job, "2602 removed"},
    {remove_stock, "2605/1 removed"},
    {remove_part, "2601/1/A removed"},
    {copy_job, "2605 copied to 2705"},
    {copy_stock, "2601/1 copied to 2605"},
    {copy_part, "2601/1/A copied to 2602/1/C"},
    {copy_head, "head:abrasive copied to head:abrasive two"},
    {copy_material, "material:copper copied to material:copper, soft"},
    {copy_shift, "shift:A copied to shift:late"},
    {move_stock, "2605/1 moved to 2601"},
    {move_part, "2601/1/B moved to 2602/1"},
};
enum { EACH = sizeof each / sizeof *each };

START_TEST(a_change_is_one_step_with_who_when_and_words)
{
    double from = (double)time(NULL);
    must(each[_i].make());
    double to = (double)time(NULL) + 2; /* its clock may be some milliseconds behind the finer one */
    ck_newest(1, "office", each[_i].words);
    struct told told = history();
    ck_assert(told.steps[0].at >= from && told.steps[0].at <= to);
}
END_TEST

START_TEST(undo_and_redo_give_the_same_shop_again)
{
    const char *words = each[_i].words;
    struct sg_desk *before = snapshot();
    must(each[_i].make());
    struct sg_desk *after = snapshot();
    ck_assert_msg(differ(before, after), "%s changed nothing", words);
    ck_shows(after, "made");
    turn(sg_desk_undo, words, true);
    ck_shows(before, "undone");
    turn(sg_desk_redo, words, false);
    ck_shows(after, "done again");
    reopen();
    turn(sg_desk_undo, words, true);
    ck_shows(before, "undone after it was opened anew");
    reopen();
    turn(sg_desk_redo, words, false);
    ck_shows(after, "done again after it was opened anew");
    ck_assert_int_eq(history().n, 5);
    sg_desk_close(before);
    sg_desk_close(after);
}
END_TEST

/* One after the other, all of them back, all of them again. */
START_TEST(a_day_of_changes_is_taken_back_to_its_morning)
{
    static const int day[] = {0, 1, 8, 3, 7, 12, 4, 18, 9, 2};
    enum { DAY = sizeof day / sizeof *day };
    struct sg_desk *shops[DAY + 1] = {snapshot()};
    for (int i = 0; i < DAY; i++) {
        must(each[day[i]].make());
        shops[i + 1] = snapshot();
    }
    for (int i = DAY - 1; i >= 0; i--) {
        turn(sg_desk_undo, history().steps[2 * (DAY - 1 - i)].words, true);
        ck_shows(shops[i], each[day[i]].words);
    }
    struct sg_step_told told;
    ck_assert_int_eq(sg_desk_undo(desk, &told, &error), SG_NO);
    for (int i = 0; i < DAY; i++) {
        turn(sg_desk_redo, each[day[i]].words, false);
        ck_shows(shops[i + 1], each[day[i]].words);
    }
    ck_assert_int_eq(sg_desk_redo(desk, &told, &error), SG_NO);
    for (int i = 0; i <= DAY; i++)
        sg_desk_close(shops[i]);
}
END_TEST

START_TEST(what_keeps_nothing_is_no_step)
{
    const char *good = "quantity=25", *bad = "quantity=many", *same = "quantity=20";
    const struct sg_edit edits[] = {edit_of("2601/1/A", "quantity=7", NULL),
                                    edit_of("2601/1/B", "quantity=-1", NULL)};
    struct sg_clash clash;
    struct sg_step_told told;
    struct sg_desk *before = snapshot();
    must(sg_desk_set(desk, "2601/1/A", &good, 1, false, changes, &target, &error));
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 25);
    ck_assert_int_eq(history().n, 0);
    ck_assert_int_eq(sg_desk_set(desk, "2601/1/A", &bad, 1, true, changes, &target, &error), SG_BAD_DATA);
    ck_shows(before, "a wrong value");
    must(sg_desk_set(desk, "2601/1/A", &same, 1, true, changes, &target, &error));
    ck_assert_int_eq(set_by(desk, "9999", "note=x"), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_JOB, NULL, "2601"), SG_BAD_DATA);
    ck_assert_int_eq(add(SG_KIND_PART, "2601", "Z"), SG_BAD_DATA);
    ck_assert_int_eq(sg_desk_keep(desk, edits, 2, NULL, changes, &clash, &error), SG_BAD_DATA);
    must(sg_desk_keep(desk, edits, 0, NULL, changes, &clash, &error));
    ck_assert_int_eq(sg_desk_undo(desk, &told, &error), SG_NO);
    ck_shows(before, "all that");
    ck_assert_int_eq(history().n, 0);
    sg_desk_close(before);
}
END_TEST

/* ---- two people ---- */

START_TEST(a_later_change_of_another_is_in_the_way_and_named)
{
    struct sg_desk *floor = desk_of("floor");
    struct sg_step_told told = {.id = 77};
    must(set_by(desk, "2601/1/A", "quantity=16"));
    must(set_by(floor, "2601/1/A", "quantity=18"));
    struct sg_desk *kept = snapshot();
    ck_assert_int_eq(sg_desk_undo(desk, &told, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "floor changed it at ") &&
                      strstr(error.text, "quantity of 2601/1/A: 16 -> 18"),
                  "%s", error.text);
    ck_assert_int_eq(told.id, 77);
    must(sg_desk_undo(floor, &told, &error));
    turn(sg_desk_undo, "quantity of 2601/1/A: 20 -> 16", true);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 20);
    ck_assert_int_eq(part_of(kept, "2601/1/A")->quantity, 18); /* the snapshot was one */
    sg_desk_close(kept);
    sg_desk_close(floor);
}
END_TEST

START_TEST(each_takes_back_their_own_and_leaves_the_others)
{
    struct sg_desk *floor = desk_of("floor");
    must(set_by(desk, "2601/1/A", "quantity=16"));
    must(set_by(floor, "2601/1/A", "pierces=9"));
    must(set_by(floor, "2601/1/B", "quantity=5"));
    turn(sg_desk_undo, "quantity of 2601/1/A: 20 -> 16", true);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 20);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->pierces, 9);
    ck_assert_int_eq(part_of(desk, "2601/1/B")->quantity, 5);
    sg_desk_close(floor);
}
END_TEST

START_TEST(a_desk_that_nobody_signed_for_is_somebodys)
{
    sg_desk_sign(desk, "");
    must(set_one());
    ck_newest(1, "somebody", "quantity of 2601/1/A: 20 -> 16");
    sg_desk_sign(desk, NULL);
    turn(sg_desk_undo, "quantity of 2601/1/A: 20 -> 16", true);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("steps");
    TCase *tests = tcase_create("steps");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_loop_test(tests, a_change_is_one_step_with_who_when_and_words, 0, EACH);
    tcase_add_loop_test(tests, undo_and_redo_give_the_same_shop_again, 0, EACH);
    tcase_add_test(tests, a_day_of_changes_is_taken_back_to_its_morning);
    tcase_add_test(tests, what_keeps_nothing_is_no_step);
    tcase_add_test(tests, a_later_change_of_another_is_in_the_way_and_named);
    tcase_add_test(tests, each_takes_back_their_own_and_leaves_the_others);
    tcase_add_test(tests, a_desk_that_nobody_signed_for_is_somebodys);
    suite_add_tcase(suite, tests);
    return run(suite);
}
