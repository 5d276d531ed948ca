/* Undo and redo: what comes back, what is refused and in whose name. */
#include "store/steps.h"

#include "store/history.h"

#include <signal.h>

static struct sg_store *store;
static struct content start;

static void open_example(void)
{
    enter_folder();
    make_shop("shop.db", true);
    store = open_shop("shop.db", SG_STORE_WRITE);
    read_content(store->db, &start);
}

static void close_example(void)
{
    free_content(&start);
    sg_store_close(store);
    leave_folder();
}

static void open_again(void)
{
    sg_store_close(store);
    store = open_shop("shop.db", SG_STORE_WRITE);
}

static void is_as_at_start(void)
{
    struct content now;
    read_content(store->db, &now);
    assert_same_content(&start, &now, "the start");
    free_content(&now);
}

/* Refused with these words in the sentence, and nothing changed, not even the history. */
static void refused(enum sg_step_kind kind, const char *who, int at, enum sg_status expected,
                    const char *words)
{
    struct content before, after;
    struct sg_step_told told = {.id = -1};
    read_content(store->db, &before);
    int64_t steps = row_of(store, "SELECT count(*) FROM step");
    enum sg_status status = kind == SG_STEP_UNDO ? sg_store_undo(store, who, minute(at), &told, &error)
                                                 : sg_store_redo(store, who, minute(at), &told, &error);
    ck_assert_msg(status == expected, "%d: %s", status, status ? error.text : "");
    ck_assert_msg(strstr(error.text, words) && strstr(error.text, "shop.db"), "\"%s\" not in: %s", words,
                  error.text);
    ck_assert_int_eq(told.id, -1);
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM step"), steps);
    read_content(store->db, &after);
    assert_same_content(&before, &after, error.text);
    free_content(&before);
    free_content(&after);
}

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

/* ---- removing ---- */

static int64_t removed_rows(void)
{
    struct sg_touches touches;
    int64_t last = row_of(store, "SELECT max(id) FROM step"), n = 0;
    ck_assert_int_eq(sg_touches_read(store, last, &touches, &error), SG_OK);
    for (int i = 0; i < touches.n; i++)
        n += touches.at[i].op == SQLITE_DELETE;
    free(touches.at);
    return n;
}

START_TEST(a_removed_job_comes_back_with_its_stocks_and_parts)
{
    take_away(store, "anna", 1, SG_KIND_JOB, 5, "removed job 2605");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM stock"), 4);
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM part"), 7);
    ck_assert_int_eq(removed_rows(), 5); /* 1 job, 2 stocks, 2 parts: what goes along is recorded */
    is_sound(store);
    open_again();
    undoes(store, "anna", 2, "removed job 2605");
    is_as_at_start();
    redoes(store, "anna", 3, "removed job 2605");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM part"), 7);
    undoes(store, "anna", 4, "removed job 2605");
    is_as_at_start();
    is_sound(store);
}
END_TEST

START_TEST(a_removed_stock_and_part_come_back)
{
    take_away(store, "anna", 1, SG_KIND_STOCK, 6, "removed stock 2605/2");
    take_away(store, "anna", 2, SG_KIND_PART, 1, "removed part 2601/1/A");
    is_sound(store);
    undoes(store, "anna", 3, "removed part 2601/1/A");
    undoes(store, "anna", 4, "removed stock 2605/2");
    is_as_at_start();
}
END_TEST

static void not_removed(enum sg_kind kind, const char *which, const char *words)
{
    char sql[120];
    snprintf(sql, sizeof sql, "SELECT id FROM %s WHERE %s = '%s'", sg_table_of(kind)->name,
             sg_table_of(kind)->key, which);
    int64_t row = row_of(store, sql);
    begin(store);
    ck_assert_int_eq(sg_store_remove(store, kind, row, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, words), "%s", error.text);
    sg_store_rollback(store);
}

START_TEST(what_is_in_use_is_not_removed)
{
    not_removed(SG_KIND_SHIFT, "A", "shift A cannot be removed while job 2601 and 4 more use it");
    not_removed(SG_KIND_HEAD, "abrasive", "head abrasive cannot be removed while machine main uses it");
    not_removed(SG_KIND_MATERIAL, "glass, float",
                "material glass, float cannot be removed while stock 2604/1 uses it");
    not_removed(SG_KIND_MACHINE, "main", "the machine cannot be removed");
    is_as_at_start();
    begin(store);
    ck_assert_int_eq(sg_store_remove(store, SG_KIND_JOB, 99, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "no longer there"), "%s", error.text);
    sg_store_rollback(store);
}
END_TEST

START_TEST(what_nobody_uses_is_removed_and_comes_back)
{
    int64_t head = row_of(store, "SELECT id FROM head WHERE name = 'water'");
    int64_t material = row_of(store, "SELECT id FROM material WHERE name = 'granite'");
    take_away(store, "anna", 1, SG_KIND_HEAD, head, "removed head water");
    take_away(store, "anna", 2, SG_KIND_MATERIAL, material, "removed material granite");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM head"), 1);
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM material WHERE name = 'granite'"), 0);
    undoes(store, "anna", 3, "removed material granite");
    undoes(store, "anna", 4, "removed head water");
    is_as_at_start();
}
END_TEST

START_TEST(the_links_are_those_of_the_schema)
{
    int n = 0;
    for (int i = 0; i < sg_n_links; i++) {
        char sql[300];
        snprintf(sql, sizeof sql,
                 "SELECT count(*) FROM pragma_foreign_key_list('%s') WHERE \"from\" = '%s' AND \"table\" = "
                 "'%s'",
                 sg_table_of(sg_links[i].child)->name, sg_links[i].column,
                 sg_table_of(sg_links[i].parent)->name);
        ck_assert_msg(row_of(store, sql) == 1, "%s", sql);
    }
    for (int kind = 0; kind < SG_KINDS; kind++) {
        char sql[100];
        snprintf(sql, sizeof sql, "SELECT count(*) FROM pragma_foreign_key_list('%s')",
                 sg_table_of((enum sg_kind)kind)->name);
        n += (int)row_of(store, sql);
    }
    /* And the outline of a part, which is no link: its row is never removed, by no step and no undo. */
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM pragma_foreign_key_list('part') WHERE \"from\" = "
                                   "'outline_id' AND \"table\" = 'drawn'"),
                     1);
    ck_assert_int_eq(n, sg_n_links + 1);
}
END_TEST

/* ---- killed ---- */

/* The child keeps, undoes and redoes and says which it did; it is killed in the middle of something. */
START_TEST(a_kill_in_the_middle_of_a_step_leaves_it_whole_or_not_done)
{
    for (int round = 0; round < 40; round++) {
        int words[2];
        ck_assert_int_eq(pipe(words), 0);
        sg_store_close(store);
        pid_t child = fork();
        if (child == 0) {
            struct sg_step_told told;
            store = open_shop("shop.db", SG_STORE_WRITE);
            for (int i = 0;; i++) {
                int64_t job = add_job(store, "anna", i, "k", "added");
                take_away(store, "anna", i, SG_KIND_JOB, job, "removed");
                if (sg_store_undo(store, "anna", minute(i), &told, &error) != SG_OK ||
                    sg_store_redo(store, "anna", minute(i), &told, &error) != SG_OK ||
                    write(words[1], "k", 1) != 1)
                    _exit(9);
            }
        }
        char word;
        close(words[1]);
        for (int i = 0; i <= round % 3; i++)
            ck_assert_int_eq(read(words[0], &word, 1), 1);
        for (volatile int spin = 0; spin < round * 20000; spin++)
            ;
        kill(child, SIGKILL);
        int state;
        ck_assert_int_eq(waitpid(child, &state, 0), child);
        ck_assert(WIFSIGNALED(state));
        close(words[0]);
        store = open_shop("shop.db", SG_STORE_WRITE);
        is_sound(store);
        /* Content and history go together: k is there if its last change says so. */
        int64_t there = row_of(store, "SELECT count(*) FROM job WHERE key = 'k'");
        int64_t told = row_of(store, "SELECT (words IN ('added', 'undo: removed')) FROM step ORDER BY id "
                                     "DESC LIMIT 1");
        ck_assert_int_eq(there, told);
        if (there)
            take_away(store, "office", 9, SG_KIND_JOB, row_of(store, "SELECT id FROM job WHERE key = 'k'"),
                      "removed");
    }
    is_as_at_start();
}
END_TEST

/* ---- versions ---- */

static const unsigned char add_column[] = "ALTER TABLE job ADD COLUMN colour TEXT";

START_TEST(a_migration_ends_undo_of_what_was_kept_before)
{
    struct sg_step steps[20];
    int n = sg_schema_n_steps;
    set_part(store, "anna", 1, 1, "quantity", 7, "20 -> 7");
    set_part(store, "office", 1, 1, "pierces", 7, "5 -> 7");
    undoes(store, "office", 2, "5 -> 7");
    sg_store_close(store);
    memcpy(steps, sg_schema_steps, (size_t)n * sizeof *steps);
    steps[n] = (struct sg_step){n + 1, "later.sql", add_column};
    struct sg_opening how = {steps, n + 1, 20};
    ck_assert_msg(sg_store_open_as("shop.db", SG_STORE_WRITE, &how, &store, &error) == SG_OK, "%s",
                  error.text);
    refused(SG_STEP_UNDO, "anna", 2, SG_NO, "what was kept before that can no longer be taken back");
    ck_assert_ptr_nonnull(strstr(error.text, "\"20 -> 7\" was kept when the file had version"));
    refused(SG_STEP_REDO, "office", 2, SG_NO, "what was kept before that can no longer be done again");
    set_part(store, "anna", 3, 1, "quantity", 8, "7 -> 8");
    undoes(store, "anna", 4, "7 -> 8");
    redoes(store, "anna", 5, "7 -> 8");
    undoes(store, "anna", 6, "7 -> 8");
    refused(SG_STEP_UNDO, "anna", 7, SG_NO, "can no longer be taken back");
}
END_TEST

/* ---- strangers ---- */

START_TEST(a_damaged_record_is_told_and_changes_nothing)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "20 -> 7");
    tamper("shop.db", "UPDATE step_changes SET bytes = x'5401020304'");
    refused(SG_STEP_UNDO, "anna", 2, SG_NO_FILE, "damaged");
    struct told told = {0};
    ck_assert_int_eq(sg_store_check(store, tell, &told, &error), 1);
    ck_assert_msg(strstr(told.text, "step 1 of the history: what it changed cannot be read"), "%s",
                  told.text);
    tamper("shop.db", "DELETE FROM step_changes");
    memset(&told, 0, sizeof told);
    ck_assert_int_eq(sg_store_check(store, tell, &told, &error), 1);
    ck_assert_ptr_nonnull(strstr(told.text, "step 1 of the history"));
}
END_TEST

/* A changeset that reaches for a table that is not the shop's, made by the extension itself. */
START_TEST(a_record_from_a_stranger_reaches_the_shops_tables_only)
{
    sqlite3 *db;
    sqlite3_session *session;
    sqlite3_stmt *statement;
    void *bytes;
    int size;
    set_part(store, "anna", 1, 1, "quantity", 7, "20 -> 7");
    set_part(store, "office", 1, 2, "quantity", 7, "36 -> 7");
    ck_assert_int_eq(sqlite3_open("shop.db", &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3session_create(db, "main", &session), SQLITE_OK);
    ck_assert_int_eq(sqlite3session_attach(session, "step"), SQLITE_OK);
    sqlite3_exec(db, "BEGIN; UPDATE step SET who = 'nobody' WHERE id = 2", NULL, NULL, NULL);
    ck_assert_int_eq(sqlite3session_changeset(session, &size, &bytes), SQLITE_OK);
    ck_assert_int_gt(size, 0);
    sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    sqlite3session_delete(session);
    sqlite3_prepare_v2(db, "UPDATE step_changes SET bytes = ? WHERE step_id = 1", -1, &statement, NULL);
    sqlite3_bind_blob(statement, 1, bytes, size, SQLITE_STATIC);
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_DONE);
    sqlite3_finalize(statement);
    sqlite3_close(db);
    sqlite3_free(bytes);
    refused(SG_STEP_UNDO, "anna", 2, SG_NO_FILE, "damaged");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM step WHERE who = 'office'"), 1);
}
END_TEST

/* Bytes of a file with a history changed at random: nothing crashes or hangs, whatever is asked of it. */
START_TEST(random_damage_of_the_history_does_no_harm)
{
    struct dice dice = {.state = 0x4157u + (uint64_t)_i};
    for (int i = 0; i < 12; i++)
        set_part(store, "anna", i, 1 + i % 9, "quantity", 100 + i, "a quantity");
    take_away(store, "anna", 20, SG_KIND_JOB, 1, "removed job 2601");
    undoes(store, "anna", 21, "removed job 2601");
    struct bytes whole = bytes_of("shop.db");
    int undone = 0;
    for (int round = 0; round < 60; round++) {
        unsigned char *bad = malloc(whole.size);
        memcpy(bad, whole.at, whole.size);
        for (int i = 0; i < 1 << _i; i++)
            bad[roll(&dice) % whole.size] = (unsigned char)roll(&dice);
        write_bytes("bad.db", bad, whole.size);
        free(bad);
        struct sg_opening how = {sg_schema_steps, sg_schema_n_steps, 20};
        struct sg_store *damaged = NULL;
        struct sg_step_told told;
        struct told findings = {0};
        if (sg_store_open_as("bad.db", SG_STORE_WRITE, &how, &damaged, &error) == SG_OK) {
            sg_store_redo(damaged, "anna", minute(30), &told, &error);
            for (int i = 0; i < 5; i++)
                undone += sg_store_undo(damaged, "anna", minute(30), &told, &error) == SG_OK;
            sg_store_check(damaged, tell, &findings, &error);
        }
        sg_store_close(damaged);
    }
    ck_assert(undone > 0 || _i > 4); /* much damage reaches everything */
    free(whole.at);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("undo");
    TCase *tests = tcase_create("undo");
    tcase_add_checked_fixture(tests, open_example, close_example);
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
    tcase_add_test(tests, a_removed_job_comes_back_with_its_stocks_and_parts);
    tcase_add_test(tests, a_removed_stock_and_part_come_back);
    tcase_add_test(tests, what_is_in_use_is_not_removed);
    tcase_add_test(tests, what_nobody_uses_is_removed_and_comes_back);
    tcase_add_test(tests, the_links_are_those_of_the_schema);
    tcase_add_test(tests, a_kill_in_the_middle_of_a_step_leaves_it_whole_or_not_done);
    tcase_add_test(tests, a_migration_ends_undo_of_what_was_kept_before);
    tcase_add_test(tests, a_damaged_record_is_told_and_changes_nothing);
    tcase_add_test(tests, a_record_from_a_stranger_reaches_the_shops_tables_only);
    tcase_add_loop_test(tests, random_damage_of_the_history_does_no_harm, 2, 9);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
