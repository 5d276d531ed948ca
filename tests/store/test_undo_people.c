/* Undo and redo of one person and of two: what comes back, what is refused and in whose name. */
#include "store/taken_back.h"

/* ---- one person ---- */

START_TEST(a_new_file_has_nothing_to_undo)
{
    refused(SG_STEP_UNDO, "anna", 0, SG_NO, "nothing of yours to undo");
    refused(SG_STEP_REDO, "anna", 0, SG_NO, "nothing of yours to redo");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM step"), 0);
}
END_TEST

START_TEST(undo_takes_the_last_step_back_and_redo_does_it_again)
{
    struct content one, two;
    set_part(store, "anna", 1, 1, "quantity", 7, "quantity of A: 20 -> 7");
    read_content(store->db, &one);
    set_part(store, "anna", 2, 1, "quantity", 9, "quantity of A: 7 -> 9");
    read_content(store->db, &two);
    undoes(store, "anna", 3, "quantity of A: 7 -> 9");
    struct content now;
    read_content(store->db, &now);
    assert_same_content(&one, &now, "one undo");
    free_content(&now);
    undoes(store, "anna", 4, "quantity of A: 20 -> 7");
    is_as_at_start();
    refused(SG_STEP_UNDO, "anna", 5, SG_NO, "nothing of yours to undo");
    redoes(store, "anna", 6, "quantity of A: 20 -> 7");
    is_as(store, &one, "one redo");
    redoes(store, "anna", 7, "quantity of A: 7 -> 9");
    is_as(store, &two, "two redos");
    refused(SG_STEP_REDO, "anna", 8, SG_NO, "nothing of yours to redo");
    is_sound(store);
}
END_TEST

START_TEST(undo_and_redo_work_after_a_restart)
{
    struct content kept;
    for (int i = 0; i < 20; i++) {
        set_part(store, "anna", i, 1 + i % 9, "quantity", 100 + i, "a quantity");
        open_again();
    }
    read_content(store->db, &kept);
    for (int i = 0; i < 20; i++) {
        undoes(store, "anna", 30 + i, "a quantity");
        open_again();
    }
    is_as_at_start();
    for (int i = 0; i < 20; i++) {
        redoes(store, "anna", 60 + i, "a quantity");
        open_again();
    }
    is_as(store, &kept, "all redone");
    is_sound(store);
}
END_TEST

START_TEST(a_new_step_ends_redo)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "first");
    undoes(store, "anna", 2, "first");
    set_part(store, "office", 3, 1, "pierces", 7, "of another person");
    redoes(store, "anna", 4, "first"); /* another person's step does not end it */
    undoes(store, "anna", 5, "first");
    set_part(store, "anna", 6, 2, "quantity", 8, "second");
    refused(SG_STEP_REDO, "anna", 7, SG_NO, "since you took back \"first\" you kept a new step: second");
    undoes(store, "anna", 8, "second");
    redoes(store, "anna", 9, "second");
    undoes(store, "anna", 10, "second");
    undoes(store, "office", 11, "of another person");
    is_as_at_start();
}
END_TEST

START_TEST(changes_that_are_no_step_cannot_be_taken_back)
{
    begin(store);
    write_part(store, 1, "quantity", 7);
    ck_assert_int_eq(sg_store_commit(store, &error), SG_OK);
    refused(SG_STEP_UNDO, "anna", 1, SG_NO, "nothing of yours to undo");
    set_part(store, "anna", 2, 1, "quantity", 8, "quantity of A: 7 -> 8");
    begin(store);
    write_part(store, 1, "quantity", 9);
    ck_assert_int_eq(sg_store_commit(store, &error), SG_OK);
    refused(SG_STEP_UNDO, "anna", 3, SG_BAD_DATA, "something changed it after that which is no step");
}
END_TEST

START_TEST(undo_inside_a_change_is_a_fault_and_leaves_the_change_alone)
{
    struct sg_step_told told;
    set_part(store, "anna", 1, 1, "quantity", 7, "first");
    begin(store);
    write_part(store, 1, "quantity", 8);
    ck_assert_int_eq(sg_store_undo(store, "anna", minute(2), &told, &error), SG_FAULT);
    keep(store, "anna", 3, "second");
    ck_assert_int_eq(row_of(store, "SELECT quantity FROM part WHERE id = 1"), 8);
}
END_TEST

START_TEST(foreign_keys_hold_after_undo_and_after_a_refusal)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "first");
    undoes(store, "anna", 2, "first");
    ck_assert_int_eq(row_of(store, "PRAGMA foreign_keys"), 1);
    refused(SG_STEP_UNDO, "anna", 3, SG_NO, "nothing");
    ck_assert_int_eq(row_of(store, "PRAGMA foreign_keys"), 1);
    struct sg_store *other = open_shop("shop.db", SG_STORE_WRITE);
    begin(other);
    struct sg_step_told told;
    ck_assert_int_eq(sg_store_redo(store, "anna", minute(4), &told, &error), SG_BUSY);
    ck_assert_int_eq(row_of(store, "PRAGMA foreign_keys"), 1);
    sg_store_close(other);
    redoes(store, "anna", 5, "first");
}
END_TEST

START_TEST(a_reader_may_not_undo)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "first");
    struct sg_store *reader = open_shop("shop.db", SG_STORE_READ);
    struct sg_step_told told;
    ck_assert_int_eq(sg_store_undo(reader, "anna", minute(2), &told, &error), SG_FAULT);
    sg_store_close(reader);
    undoes(store, "anna", 3, "first");
}
END_TEST

START_TEST(a_shop_in_memory_has_undo_too)
{
    struct sg_store_new how = {SG_UNITS_METRIC, 20000, true};
    struct sg_store *memory;
    ck_assert_int_eq(sg_store_memory("example", &how, &memory, &error), SG_OK);
    set_part(memory, "anna", 1, 1, "quantity", 7, "first");
    ck_assert_int_eq(row_of(memory, "SELECT quantity FROM part WHERE id = 1"), 7);
    undoes(memory, "anna", 2, "first");
    ck_assert_int_eq(row_of(memory, "SELECT quantity FROM part WHERE id = 1"), 20);
    sg_store_close(memory);
}
END_TEST

/* ---- two people ---- */

START_TEST(another_persons_later_change_of_the_same_field_is_not_taken_back)
{
    set_part(store, "anna", 30, 1, "quantity", 7, "quantity of 2601/1/A: 20 -> 7");
    set_part(store, "office", 32, 1, "quantity", 9, "quantity of 2601/1/A: 7 -> 9");
    refused(SG_STEP_UNDO, "anna", 33, SG_BAD_DATA,
            "\"quantity of 2601/1/A: 20 -> 7\" cannot be taken back: office changed it at 10:32 after that: "
            "quantity of 2601/1/A: 7 -> 9");
    refused(SG_STEP_UNDO, "anna", 60 * 24 * 3, SG_BAD_DATA, "office changed it at 10:32 on 2026-12-01");
    undoes(store, "office", 34, "quantity of 2601/1/A: 7 -> 9"); /* and then it is in nobody's way */
    undoes(store, "anna", 35, "quantity of 2601/1/A: 20 -> 7");
    is_as_at_start();
    refused(SG_STEP_REDO, "office", 36, SG_BAD_DATA,
            "cannot be done again: anna changed it at 10:35 after that: undo: quantity of 2601/1/A: 20 -> 7");
    redoes(store, "anna", 37, "quantity of 2601/1/A: 20 -> 7");
    redoes(store, "office", 38, "quantity of 2601/1/A: 7 -> 9");
    ck_assert_int_eq(row_of(store, "SELECT quantity FROM part WHERE id = 1"), 9);
}
END_TEST

START_TEST(another_field_of_the_same_row_is_in_nobodys_way)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "quantity");
    set_part(store, "office", 2, 1, "pierces", 3, "pierces");
    undoes(store, "anna", 3, "quantity");
    ck_assert_int_eq(row_of(store, "SELECT quantity FROM part WHERE id = 1"), 20);
    ck_assert_int_eq(row_of(store, "SELECT pierces FROM part WHERE id = 1"), 3);
    redoes(store, "anna", 4, "quantity");
    undoes(store, "office", 5, "pierces");
    undoes(store, "anna", 6, "quantity");
    is_as_at_start();
}
END_TEST

/* Set and set again to what it was: still a later change of that field. */
START_TEST(a_value_that_came_round_is_still_another_persons)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "20 -> 7");
    set_part(store, "office", 2, 1, "quantity", 9, "7 -> 9");
    set_part(store, "office", 3, 1, "quantity", 7, "9 -> 7");
    refused(SG_STEP_UNDO, "anna", 4, SG_BAD_DATA, "office changed it at 10:03 after that: 9 -> 7");
}
END_TEST

START_TEST(redo_is_refused_where_another_person_changed_it_meanwhile)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "20 -> 7");
    undoes(store, "anna", 2, "20 -> 7");
    set_part(store, "office", 3, 1, "quantity", 9, "20 -> 9");
    refused(SG_STEP_REDO, "anna", 4, SG_BAD_DATA,
            "\"20 -> 7\" cannot be done again: office changed it at 10:03 after that: 20 -> 9");
    undoes(store, "office", 5, "20 -> 9");
    redoes(store, "anna", 6, "20 -> 7");
}
END_TEST

/* What office took back was there when anna's step was taken back, so her redo would not find it. */
START_TEST(redo_is_refused_where_another_person_took_back_what_it_stood_on)
{
    set_part(store, "office", 1, 1, "quantity", 9, "20 -> 9");
    set_part(store, "anna", 2, 1, "quantity", 7, "9 -> 7");
    undoes(store, "anna", 3, "9 -> 7");
    undoes(store, "office", 4, "20 -> 9");
    refused(SG_STEP_REDO, "anna", 5, SG_BAD_DATA, "office changed it at 10:04 after that: undo: 20 -> 9");
    redoes(store, "office", 6, "20 -> 9");
    redoes(store, "anna", 7, "9 -> 7");
}
END_TEST

START_TEST(what_another_person_hung_on_a_job_keeps_it)
{
    struct loaded loaded = {0};
    int64_t job = add_job(store, "anna", 1, "2606", "added job 2606"), row;
    begin(store);
    load(store, &loaded);
    ck_assert_int_eq(sg_store_insert(store, SG_KIND_STOCK, job, &loaded.shop, &sg_fresh_stock, &row, &error),
                     SG_BAD_DATA); /* number 0 */
    struct sg_stock stock = loaded.shop.stocks[0];
    ck_assert_msg(sg_store_insert(store, SG_KIND_STOCK, job, &loaded.shop, &stock, &row, &error) == SG_OK,
                  "%s", error.text);
    keep(store, "office", 2, "added stock 2606/1");
    refused(SG_STEP_UNDO, "anna", 3, SG_BAD_DATA,
            "office changed it at 10:02 after that: added stock 2606/1");
    undoes(store, "office", 4, "added stock 2606/1");
    undoes(store, "anna", 5, "added job 2606");
    is_as_at_start();
    refused(SG_STEP_REDO, "office", 6, SG_BAD_DATA, "anna changed it at 10:05 after that: undo: added job");
    sg_arena_free(&loaded.arena);
}
END_TEST

START_TEST(what_another_person_removed_is_not_set_back)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "20 -> 7");
    take_away(store, "office", 2, SG_KIND_JOB, 1, "removed job 2601");
    refused(SG_STEP_UNDO, "anna", 3, SG_BAD_DATA, "office changed it at 10:02 after that: removed job 2601");
    undoes(store, "office", 4, "removed job 2601");
    undoes(store, "anna", 5, "20 -> 7");
    is_as_at_start();
}
END_TEST

START_TEST(a_key_that_another_person_took_keeps_a_job_away)
{
    take_away(store, "anna", 1, SG_KIND_JOB, 2, "removed job 2602");
    int64_t other = add_job(store, "office", 2, "2602", "added job 2602");
    ck_assert_int_eq(other, 6); /* and no row's number is given twice */
    refused(SG_STEP_UNDO, "anna", 3, SG_BAD_DATA, "office changed it at 10:02 after that: added job 2602");
    undoes(store, "office", 4, "added job 2602");
    undoes(store, "anna", 5, "removed job 2602");
    is_as_at_start();
}
END_TEST

START_TEST(rows_numbers_are_never_given_twice)
{
    begin(store); /* the last row, which no step has touched, and a new one in the same step */
    ck_assert_int_eq(sg_store_remove(store, SG_KIND_JOB, 5, &error), SG_OK);
    ck_assert_int_eq(put_job(store, "2605"), 6);
    keep(store, "anna", 0, "another job 2605");
    undoes(store, "anna", 0, "another job 2605");
    is_as_at_start();
    int64_t first = add_job(store, "anna", 1, "2606", "added job 2606");
    undoes(store, "anna", 2, "added job 2606");
    int64_t second = add_job(store, "office", 3, "2607", "added job 2607");
    ck_assert_int_gt(second, first);
    redoes(store, "anna", 4, "added job 2606");
    take_away(store, "office", 5, SG_KIND_JOB, second, "removed job 2607");
    begin(store);
    int64_t third = put_job(store, "2608");
    ck_assert_int_eq(sg_store_remove(store, SG_KIND_JOB, third, &error), SG_OK);
    int64_t fourth = put_job(store, "2609");
    ck_assert_int_gt(third, second);
    ck_assert_int_gt(fourth, third);
    keep(store, "anna", 6, "added job 2609");
    is_sound(store);
}
END_TEST

/* ---- the order of jobs ---- */

START_TEST(removed_jobs_come_back_to_their_place)
{
    take_away(store, "anna", 1, SG_KIND_JOB, 1, "removed job 2601");
    ck_assert_str_eq(order_of(store), "2602 2603 2604 2605");
    add_job(store, "office", 2, "2606", "added job 2606");
    take_away(store, "office", 3, SG_KIND_JOB, 3, "removed job 2603");
    ck_assert_str_eq(order_of(store), "2602 2604 2605 2606");
    is_sound(store);
    undoes(store, "anna", 4, "removed job 2601");
    ck_assert_str_eq(order_of(store), "2601 2602 2604 2605 2606");
    is_sound(store);
    redoes(store, "anna", 5, "removed job 2601");
    undoes(store, "office", 6, "removed job 2603");
    ck_assert_str_eq(order_of(store), "2602 2603 2604 2605 2606");
    undoes(store, "anna", 7, "removed job 2601");
    undoes(store, "office", 8, "added job 2606");
    is_sound(store);
    is_as_at_start();
}
END_TEST

START_TEST(jobs_added_by_two_people_are_taken_back_in_any_order)
{
    add_job(store, "anna", 1, "2606", "added job 2606");
    add_job(store, "office", 2, "2607", "added job 2607");
    undoes(store, "anna", 3, "added job 2606");
    ck_assert_str_eq(order_of(store), "2601 2602 2603 2604 2605 2607");
    is_sound(store);
    undoes(store, "office", 4, "added job 2607");
    is_as_at_start();
    redoes(store, "anna", 5, "added job 2606");
    redoes(store, "office", 6, "added job 2607");
    /* Each to the place that it had when it was taken back: that was the sixth for both. */
    ck_assert_str_eq(order_of(store), "2601 2602 2603 2604 2605 2607 2606");
    is_sound(store);
}
END_TEST

static void move_to_front(const char *who, int at, int job, const char *words)
{
    struct loaded loaded = {0};
    begin(store);
    load(store, &loaded);
    for (int i = 0; i < loaded.shop.n_jobs; i++)
        loaded.shop.jobs[i].order = i == job ? 1 : i < job ? i + 2 : i + 1;
    ck_assert_int_eq(sg_store_orders(store, &loaded.shop, &error), SG_OK);
    keep(store, who, at, words);
    sg_arena_free(&loaded.arena);
}

START_TEST(a_later_order_is_in_the_way_of_an_order)
{
    move_to_front("anna", 1, 2, "moved job 2603");
    ck_assert_str_eq(order_of(store), "2603 2601 2602 2604 2605");
    move_to_front("office", 2, 2, "moved job 2602");
    ck_assert_str_eq(order_of(store), "2602 2603 2601 2604 2605");
    refused(SG_STEP_UNDO, "anna", 3, SG_BAD_DATA, "office changed it at 10:02 after that: moved job 2602");
    undoes(store, "office", 4, "moved job 2602");
    add_job(store, "office", 5, "2606", "added job 2606");
    undoes(store, "anna", 6, "moved job 2603"); /* a job behind them is not in the way */
    ck_assert_str_eq(order_of(store), "2601 2602 2603 2604 2605 2606");
    redoes(store, "anna", 7, "moved job 2603");
    ck_assert_str_eq(order_of(store), "2603 2601 2602 2604 2605 2606");
    is_sound(store);
}
END_TEST

START_TEST(a_part_whose_place_was_taken_goes_to_the_end)
{
    struct loaded loaded = {0};
    int64_t row;
    take_away(store, "anna", 1, SG_KIND_PART, 2, "removed part B");
    begin(store);
    load(store, &loaded);
    struct sg_part part = sg_fresh_part;
    part.id = "C";
    ck_assert_int_eq(sg_store_insert(store, SG_KIND_PART, 1, &loaded.shop, &part, &row, &error), SG_OK);
    keep(store, "office", 2, "added part C");
    undoes(store, "anna", 3, "removed part B");
    is_sound(store);
    load(store, &loaded);
    ck_assert_str_eq(loaded.shop.parts[1].id, "C");
    ck_assert_str_eq(loaded.shop.parts[2].id, "B");
    undoes(store, "office", 4, "added part C");
    redoes(store, "anna", 5, "removed part B");
    undoes(store, "anna", 6, "removed part B");
    is_sound(store);
    sg_arena_free(&loaded.arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("undo, people");
    TCase *tests = tcase_create("undo, people");
    tcase_add_checked_fixture(tests, open_at_start, close_at_start);
    tcase_add_test(tests, a_new_file_has_nothing_to_undo);
    tcase_add_test(tests, undo_takes_the_last_step_back_and_redo_does_it_again);
    tcase_add_test(tests, undo_and_redo_work_after_a_restart);
    tcase_add_test(tests, a_new_step_ends_redo);
    tcase_add_test(tests, changes_that_are_no_step_cannot_be_taken_back);
    tcase_add_test(tests, undo_inside_a_change_is_a_fault_and_leaves_the_change_alone);
    tcase_add_test(tests, foreign_keys_hold_after_undo_and_after_a_refusal);
    tcase_add_test(tests, a_reader_may_not_undo);
    tcase_add_test(tests, a_shop_in_memory_has_undo_too);
    tcase_add_test(tests, another_persons_later_change_of_the_same_field_is_not_taken_back);
    tcase_add_test(tests, another_field_of_the_same_row_is_in_nobodys_way);
    tcase_add_test(tests, a_value_that_came_round_is_still_another_persons);
    tcase_add_test(tests, redo_is_refused_where_another_person_changed_it_meanwhile);
    tcase_add_test(tests, redo_is_refused_where_another_person_took_back_what_it_stood_on);
    tcase_add_test(tests, what_another_person_hung_on_a_job_keeps_it);
    tcase_add_test(tests, what_another_person_removed_is_not_set_back);
    tcase_add_test(tests, a_key_that_another_person_took_keeps_a_job_away);
    tcase_add_test(tests, rows_numbers_are_never_given_twice);
    tcase_add_test(tests, removed_jobs_come_back_to_their_place);
    tcase_add_test(tests, jobs_added_by_two_people_are_taken_back_in_any_order);
    tcase_add_test(tests, a_later_order_is_in_the_way_of_an_order);
    tcase_add_test(tests, a_part_whose_place_was_taken_goes_to_the_end);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
