/* What others did is told once, and shown. */
#include "edit/steps.h"
#include "store/inside.h"

START_TEST(what_another_did_is_told_once_and_shown)
{
    struct sg_desk *floor = desk_of("floor");
    ck_assert_int_eq(looked(floor, false).n, 0);
    must(set_one());
    must(remove_job());
    ck_assert_int_eq(part_of(floor, "2601/1/A")->quantity, 20);
    struct told told = looked(floor, true);
    ck_assert_int_eq(told.n, 2);
    ck_assert_str_eq(told.steps[0].who, "office");
    ck_assert_str_eq(told.steps[0].words, "quantity of 2601/1/A: 20 -> 16");
    ck_assert_str_eq(told.steps[1].words, "2602 removed");
    ck_same_shop(sg_desk_shop(desk), sg_desk_shop(floor), "looked");
    ck_assert_int_eq(looked(floor, false).n, 0);
    struct sg_step_told undone;
    must(sg_desk_undo(desk, &undone, &error));
    told = looked(floor, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "undo: 2602 removed");
    ck_assert_int_eq(told.steps[0].kind, SG_STEP_UNDO);
    ck_same_shop(sg_desk_shop(desk), sg_desk_shop(floor), "looked again");
    ck_assert_int_eq(looked(floor, false).n, 0);
    sg_desk_close(floor);
}
END_TEST

START_TEST(what_one_did_oneself_is_no_news)
{
    struct sg_desk *floor = desk_of("floor");
    must(set_by(floor, "2601/1/B", "quantity=5"));
    ck_assert_int_eq(looked(floor, false).n, 0);
    must(set_one());
    must(set_by(floor, "2601/1/B", "quantity=6")); /* the file is read anew for it, and the news waits */
    ck_assert_int_eq(part_of(floor, "2601/1/A")->quantity, 16);
    struct told told = looked(floor, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "quantity of 2601/1/A: 20 -> 16");
    ck_assert_int_eq(looked(floor, false).n, 0);
    sg_desk_close(floor);
}
END_TEST

START_TEST(what_was_done_before_the_desk_was_opened_is_no_news)
{
    must(set_one());
    must(remove_job());
    struct sg_desk *floor = desk_of("floor");
    ck_assert_int_eq(looked(floor, false).n, 0);
    must(set_by(desk, "2603/1/A", "quantity=3"));
    struct told told = looked(floor, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "quantity of 2603/1/A: 12 -> 3");
    sg_desk_close(floor);
}
END_TEST

/* A name that is cut or cleaned when it is written down stays one's own. */
START_TEST(a_long_or_odd_name_is_ones_own_all_the_same)
{
    static char name[200];
    for (int i = 0; i < 66; i++)
        memcpy(name + 3 * i, "\xE2\x82\xAC", 4); /* a character of three bytes, cut at 99 or before */
    name[1] = _i ? name[1] : '\t';
    const char *who = _i ? name : "floor\tone";
    struct sg_desk *floor = desk_of(who);
    must(set_by(floor, "2601/1/B", "quantity=5"));
    must(set_by(desk, "2601/1/A", "quantity=6"));
    must(set_by(floor, "2601/1/B", "quantity=7"));
    ck_assert_int_eq(looked(floor, true).n, 1);
    struct sg_step_told told;
    must(sg_desk_undo(floor, &told, &error));
    ck_assert_str_eq(told.words, "quantity of 2601/1/B: 5 -> 7");
    sg_desk_close(floor);
}
END_TEST

/* ---- two screens under one name ---- */

START_TEST(two_screens_of_one_person_hear_each_other)
{
    struct sg_desk *other = desk_of("office");
    must(set_one());
    struct told told = looked(other, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "quantity of 2601/1/A: 20 -> 16");
    struct sg_step_told undone;
    must(sg_desk_undo(other, &undone, &error)); /* one's own step, taken back at the other screen */
    told = looked(desk, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "undo: quantity of 2601/1/A: 20 -> 16");
    ck_assert_int_eq(looked(other, false).n, 0);
    sg_desk_close(other);
}
END_TEST

/* More of one's own than have room at first, with the others' in between. */
START_TEST(of_many_steps_those_of_the_other_screen_are_told_and_no_others)
{
    enum { ROUNDS = 25 };
    char assignment[40], words[80];
    struct sg_desk *other = desk_of("office");
    for (int i = 0; i < ROUNDS; i++) {
        snprintf(assignment, sizeof assignment, "quantity=%d", 100 + i);
        must(set_by(desk, "2601/1/A", assignment));
        must(set_by(desk, "2601/1/A", assignment)); /* changes nothing, so no step */
        must(set_by(other, "2602/1/A", assignment));
        must(set_by(desk, "2601/1/B", assignment));
    }
    struct told told = looked(desk, true);
    ck_assert_int_eq(told.n, ROUNDS);
    for (int i = 0; i < ROUNDS; i++) {
        snprintf(words, sizeof words, "quantity of 2602/1/A: %d -> %d", i ? 99 + i : 12, 100 + i);
        ck_assert_str_eq(told.steps[i].words, words);
    }
    ck_assert_int_eq(looked(other, true).n, 2 * ROUNDS);
    must(set_by(other, "2602/1/A", "quantity=1"));
    ck_assert_int_eq(looked(desk, true).n, 1);
    sg_desk_close(other);
}
END_TEST

START_TEST(a_desk_that_nobody_signs_for_hears_what_is_new_and_no_more)
{
    must(set_one());
    struct sg_desk *reader = shop_file_desk(&file, SG_STORE_READ);
    must(remove_job());
    struct told told = looked(reader, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "2602 removed");
    sg_desk_close(reader);
}
END_TEST

/* Signing anew, as another, neither loses news nor repeats them. */
START_TEST(signing_is_no_part_of_the_watch)
{
    struct sg_desk *floor = desk_of("floor");
    must(set_one());
    sg_desk_sign(floor, "office");
    ck_assert_int_eq(looked(floor, true).n, 1);
    sg_desk_sign(floor, "night");
    ck_assert_int_eq(looked(floor, false).n, 0);
    sg_desk_close(floor);
}
END_TEST

/* ---- a file that is busy just then ---- */

/* Takes the whole file at the first statement of a look that is not the look itself. */
struct intruder {
    sqlite3 *db;
    const char *at_table; /* the table that is read just then */
    int taken;
};

static int intrude(void *context, int action, const char *table, const char *column, const char *database,
                   const char *trigger)
{
    struct intruder *intruder = context;
    (void)column, (void)database, (void)trigger;
    if (action == SQLITE_READ && intruder->taken == 0 && strcmp(table, intruder->at_table) == 0) {
        intruder->taken = 1;
        if (sqlite3_exec(intruder->db, "BEGIN EXCLUSIVE", NULL, NULL, NULL) != SQLITE_OK)
            ck_abort_msg("%s", sqlite3_errmsg(intruder->db));
    }
    return SQLITE_OK;
}

static const struct {
    const char *table;
    bool moved; /* the shop is shown already; the news are still to come */
} busy_at[] = {{"setting", false}, {"step", true}};

START_TEST(what_a_busy_file_keeps_from_a_look_comes_with_the_next)
{
    struct sg_desk *floor = desk_of("floor");
    struct told told = {0};
    bool moved = !busy_at[_i].moved;
    struct intruder intruder = {.db = sg_desk_store(desk)->db, .at_table = busy_at[_i].table};
    sqlite3 *watched = sg_desk_store(floor)->db;
    sg_desk_store(floor)->wait_ms = 0;
    must(set_one());
    sqlite3_set_authorizer(watched, intrude, &intruder);
    ck_assert_int_eq(sg_desk_look(floor, &moved, note, &told, &error), SG_BUSY);
    ck_assert_int_eq(intruder.taken, 1);
    ck_assert_int_eq(told.n, 0);
    ck_assert_int_eq(moved, busy_at[_i].moved);
    ck_assert_int_eq(part_of(floor, "2601/1/A")->quantity, moved ? 16 : 20);
    sqlite3_exec(intruder.db, "ROLLBACK", NULL, NULL, NULL);
    told = looked(floor, true);
    ck_assert_int_eq(told.n, 1);
    ck_assert_str_eq(told.steps[0].words, "quantity of 2601/1/A: 20 -> 16");
    ck_assert_int_eq(part_of(floor, "2601/1/A")->quantity, 16);
    ck_assert_int_eq(looked(floor, false).n, 0);
    sg_desk_close(floor);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("watch");
    TCase *tests = tcase_create("watch");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_test(tests, what_another_did_is_told_once_and_shown);
    tcase_add_test(tests, what_one_did_oneself_is_no_news);
    tcase_add_test(tests, what_was_done_before_the_desk_was_opened_is_no_news);
    tcase_add_loop_test(tests, a_long_or_odd_name_is_ones_own_all_the_same, 0, 2);
    tcase_add_test(tests, two_screens_of_one_person_hear_each_other);
    tcase_add_test(tests, of_many_steps_those_of_the_other_screen_are_told_and_no_others);
    tcase_add_test(tests, a_desk_that_nobody_signs_for_hears_what_is_new_and_no_more);
    tcase_add_test(tests, signing_is_no_part_of_the_watch);
    tcase_add_loop_test(tests, what_a_busy_file_keeps_from_a_look_comes_with_the_next, 0, 2);
    suite_add_tcase(suite, tests);
    return run(suite);
}
