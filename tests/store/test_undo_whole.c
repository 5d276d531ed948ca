/* Undo is whole: what was removed comes back with all that hung on it, and a kill, a migration or a damaged
 * history leaves nothing half done. */
#include "store/taken_back.h"

#include "store/history.h"

#include <signal.h>

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
    Suite *suite = suite_create("undo, whole");
    TCase *tests = tcase_create("undo, whole");
    tcase_add_checked_fixture(tests, open_at_start, close_at_start);
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
