/* Bringing an old file up: a checked copy first, each step whole or not at all, and no step skipped. */
#include "store/common.h"

static const unsigned char add_column[] =
    "ALTER TABLE job ADD COLUMN colour TEXT; CREATE TABLE tool (x TEXT) STRICT;";
static const unsigned char add_row[] = "INSERT INTO tool VALUES ('tab'); UPDATE job SET colour = 'red';";
static const unsigned char fails_late[] =
    "CREATE TABLE half (x); INSERT INTO half VALUES (1); SELECT x FROM nowhere";
static const unsigned char breaks_rows[] =
    "INSERT INTO part (stock_id, position, key) VALUES (999, 1, 'lost')";
static const unsigned char ends_itself[] = "CREATE TABLE half (x); COMMIT";
static const unsigned char rebuilds[] =
    "CREATE TABLE new_shift AS SELECT * FROM shift; DROP TABLE shift;"
    "CREATE TABLE shift (id INTEGER PRIMARY KEY, key TEXT UNIQUE, position INTEGER) STRICT;"
    "INSERT INTO shift SELECT id, key, position FROM new_shift; DROP TABLE new_shift";

static struct sg_step steps[40];

/* The steps of this version with some more behind them. */
static struct sg_opening with(const unsigned char *second, const unsigned char *third)
{
    int n = sg_schema_n_steps;
    memcpy(steps, sg_schema_steps, (size_t)n * sizeof *steps);
    if (second) {
        steps[n] = (struct sg_step){n + 1, "second.sql", second};
        n++;
    }
    if (third) {
        steps[n] = (struct sg_step){n + 1, "third.sql", third};
        n++;
    }
    return (struct sg_opening){steps, n, 20};
}

static enum sg_status try_open(enum sg_store_mode mode, const struct sg_opening *how, struct sg_error *error)
{
    struct sg_store *store = NULL;
    enum sg_status status = sg_store_open_as("shop.db", mode, how, &store, error);
    sg_store_close(store);
    return status;
}

static int64_t ask(const char *path, const char *sql)
{
    sqlite3 *db;
    sqlite3_stmt *statement;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &statement, NULL) == SQLITE_OK, "%s: %s", sql,
                  sqlite3_errmsg(db));
    ck_assert_int_eq(sqlite3_step(statement), SQLITE_ROW);
    int64_t answer = sqlite3_column_int64(statement, 0);
    sqlite3_finalize(statement);
    sqlite3_close(db);
    return answer;
}

static void backup_name(char *out, const char *behind)
{
    sprintf(out, "shop.db.v%d.backup%s", sg_schema_n_steps, behind);
}

START_TEST(an_old_file_is_copied_and_brought_up)
{
    struct sg_error error;
    char backup[60];
    make_shop("shop.db", true);
    struct bytes before = bytes_of("shop.db");
    struct sg_opening how = with(add_column, add_row);
    ck_assert_msg(try_open(SG_STORE_WRITE, &how, &error) == SG_OK, "%s", error.text);
    ck_assert_int_eq(ask("shop.db", "PRAGMA user_version"), sg_schema_n_steps + 2);
    ck_assert_int_eq(ask("shop.db", "SELECT count(*) FROM job WHERE colour = 'red'"), 5);
    ck_assert_int_eq(ask("shop.db", "SELECT count(*) FROM tool"), 1);
    backup_name(backup, "");
    struct bytes copy = bytes_of(backup);
    ck_assert(same_bytes(&before, &copy));
    ck_assert_int_eq(names_here(), 2);
    ck_assert_msg(try_open(SG_STORE_WRITE, &how, &error) == SG_OK, "%s", error.text); /* nothing more to do */
    ck_assert_int_eq(names_here(), 2);
    free(before.at);
    free(copy.at);
}
END_TEST

START_TEST(an_old_file_is_not_brought_up_by_reading)
{
    struct sg_error error;
    char version[20];
    make_shop("shop.db", true);
    struct bytes before = bytes_of("shop.db");
    struct sg_opening how = with(add_column, NULL);
    ck_assert_int_eq(try_open(SG_STORE_READ, &how, &error), SG_NO_WRITE);
    snprintf(version, sizeof version, "version %d,", sg_schema_n_steps);
    ck_assert_msg(strstr(error.text, version) && strstr(error.text, "bring it up"), "%s", error.text);
    struct bytes after = bytes_of("shop.db");
    ck_assert(same_bytes(&before, &after));
    ck_assert_int_eq(names_here(), 1);
    free(before.at);
    free(after.at);
}
END_TEST

static void fails(const unsigned char *step, enum sg_status expected, const char *word)
{
    struct sg_error error = {0};
    make_shop("shop.db", true);
    struct sg_opening how = with(step, NULL);
    enum sg_status status = try_open(SG_STORE_WRITE, &how, &error);
    ck_assert_msg(status == expected, "%d: %s", status, error.text);
    ck_assert_msg(strstr(error.text, "second.sql") && strstr(error.text, word), "%s", error.text);
    ck_assert_int_eq(ask("shop.db", "PRAGMA user_version"), sg_schema_n_steps);
    ck_assert_int_eq(ask("shop.db", "SELECT count(*) FROM part WHERE key = 'lost'"), 0);
    ck_assert_int_eq(try_load("shop.db", &error), SG_OK);
}

START_TEST(a_step_that_fails_leaves_the_file_at_its_version)
{
    fails(fails_late, SG_FAULT, "nowhere");
    ck_assert_int_eq(ask("shop.db", "SELECT count(*) FROM sqlite_schema WHERE name = 'half'"), 0);
}
END_TEST

START_TEST(a_step_that_leaves_lost_rows_is_undone)
{
    fails(breaks_rows, SG_BAD_DATA, "not there");
}
END_TEST

START_TEST(a_step_that_ends_its_own_transaction_is_a_fault)
{
    fails(ends_itself, SG_FAULT, "transaction");
}
END_TEST

START_TEST(the_steps_before_a_failing_one_stay_done)
{
    struct sg_error error;
    make_shop("shop.db", true);
    struct sg_opening how = with(add_column, fails_late);
    ck_assert_int_eq(try_open(SG_STORE_WRITE, &how, &error), SG_FAULT);
    ck_assert_int_eq(ask("shop.db", "PRAGMA user_version"), sg_schema_n_steps + 1);
    how = with(add_column, add_row);
    ck_assert_int_eq(try_open(SG_STORE_WRITE, &how, &error), SG_OK);
    ck_assert_int_eq(ask("shop.db", "SELECT count(*) FROM job WHERE colour = 'red'"), 5);
}
END_TEST

START_TEST(each_try_keeps_a_copy_of_its_own)
{
    struct sg_error error;
    char backup[60];
    make_shop("shop.db", true);
    struct sg_opening how = with(fails_late, NULL);
    for (int i = 0; i < 3; i++)
        ck_assert_int_eq(try_open(SG_STORE_WRITE, &how, &error), SG_FAULT);
    for (int i = 0; i < 3; i++) {
        static const char *const behind[] = {"", ".2", ".3"};
        backup_name(backup, behind[i]);
        ck_assert_int_eq(ask(backup, "PRAGMA user_version"), sg_schema_n_steps);
    }
    ck_assert_int_eq(names_here(), 4);
}
END_TEST

START_TEST(a_gap_in_the_steps_stops_before_anything_is_touched)
{
    struct sg_error error;
    make_shop("shop.db", true);
    struct bytes before = bytes_of("shop.db");
    struct sg_opening how = with(add_column, add_row);
    steps[how.n_steps - 1].number++;
    ck_assert_int_eq(try_open(SG_STORE_WRITE, &how, &error), SG_FAULT);
    ck_assert_msg(strstr(error.text, "third.sql"), "%s", error.text);
    struct bytes after = bytes_of("shop.db");
    ck_assert(same_bytes(&before, &after));
    ck_assert_int_eq(names_here(), 1);
    free(before.at);
    free(after.at);
}
END_TEST

/* Dropping a table that others point to must neither fail nor take their rows along. */
START_TEST(a_step_may_rebuild_a_table_that_others_point_to)
{
    struct sg_error error;
    make_shop("shop.db", true);
    struct sg_opening how = with(rebuilds, NULL);
    ck_assert_msg(try_open(SG_STORE_WRITE, &how, &error) == SG_OK, "%s", error.text);
    ck_assert_int_eq(ask("shop.db", "SELECT count(*) FROM job"), 5);
    ck_assert_int_eq(ask("shop.db", "SELECT count(*) FROM pragma_foreign_key_check"), 0);
}
END_TEST

START_TEST(foreign_keys_hold_again_after_the_steps)
{
    struct sg_error error;
    make_shop("shop.db", true);
    struct sg_opening how = with(add_column, NULL);
    struct sg_store *store = NULL;
    ck_assert_int_eq(sg_store_open_as("shop.db", SG_STORE_WRITE, &how, &store, &error), SG_OK);
    ck_assert_int_eq(sg_store_run(store, (const char *)breaks_rows, &error), SG_BAD_DATA);
    sg_store_close(store);
}
END_TEST

START_TEST(an_upgrade_waits_for_its_lock_and_then_gives_up)
{
    struct sg_error error;
    make_shop("shop.db", true);
    struct sg_store *other = open_shop("shop.db", SG_STORE_WRITE);
    ck_assert_int_eq(sg_store_begin(other, &error), SG_OK);
    struct sg_opening how = with(add_column, NULL);
    ck_assert_int_eq(try_open(SG_STORE_WRITE, &how, &error), SG_BUSY);
    sg_store_rollback(other);
    sg_store_close(other);
    ck_assert_int_eq(ask("shop.db", "PRAGMA user_version"), sg_schema_n_steps);
}
END_TEST

/* Eight processes find the same old file: one takes each step, all end at the new version. */
START_TEST(many_may_bring_it_up_at_once)
{
    make_shop("shop.db", true);
    struct sg_opening how = with(add_column, add_row);
    how.wait_ms = 60000;
    for (int i = 0; i < 8; i++)
        if (fork() == 0) {
            struct sg_error error;
            _exit(try_open(SG_STORE_WRITE, &how, &error));
        }
    for (int i = 0; i < 8; i++) {
        int state;
        ck_assert_int_gt(wait(&state), 0);
        ck_assert_int_eq(WEXITSTATUS(state), SG_OK);
    }
    ck_assert_int_eq(ask("shop.db", "SELECT count(*) FROM tool"), 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("migrate");
    TCase *tests = tcase_create("migrate");
    tcase_add_checked_fixture(tests, enter_folder, leave_folder);
    tcase_add_test(tests, an_old_file_is_copied_and_brought_up);
    tcase_add_test(tests, an_old_file_is_not_brought_up_by_reading);
    tcase_add_test(tests, a_step_that_fails_leaves_the_file_at_its_version);
    tcase_add_test(tests, a_step_that_leaves_lost_rows_is_undone);
    tcase_add_test(tests, a_step_that_ends_its_own_transaction_is_a_fault);
    tcase_add_test(tests, the_steps_before_a_failing_one_stay_done);
    tcase_add_test(tests, each_try_keeps_a_copy_of_its_own);
    tcase_add_test(tests, a_gap_in_the_steps_stops_before_anything_is_touched);
    tcase_add_test(tests, a_step_may_rebuild_a_table_that_others_point_to);
    tcase_add_test(tests, foreign_keys_hold_again_after_the_steps);
    tcase_add_test(tests, an_upgrade_waits_for_its_lock_and_then_gives_up);
    tcase_add_test(tests, many_may_bring_it_up_at_once);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
