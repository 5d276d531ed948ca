/* Rows that are refused, rolled back or locked out leave the file and the shop as they were. */
#include "store/random_rows.h"

static void refused(enum sg_kind kind, int64_t parent, const struct sg_shop *shop, const void *record,
                    const char *word)
{
    int64_t row = -7;
    enum sg_status status = sg_store_insert(store, kind, parent, shop, record, &row, &error);
    ck_assert_msg(status == SG_BAD_DATA, "%d %s", status, error.text);
    ck_assert_msg(strstr(error.text, word) && strstr(error.text, "shop.db"), "%s should say %s", error.text,
                  word);
    ck_assert_int_eq(row, -7);
}

START_TEST(a_key_is_taken_once)
{
    struct sg_shop shop = load();
    struct sg_job job = sg_fresh_job;
    struct sg_stock stock = sg_fresh_stock;
    struct sg_part part = sg_fresh_part;
    begin();
    job.id = "2604";
    job.order = 1;
    int64_t row = insert(SG_KIND_JOB, 0, &shop, &job);
    refused(SG_KIND_JOB, 0, &shop, &job, "job 2604 exists already");
    stock.number = 1;
    int64_t stock_row = insert(SG_KIND_STOCK, row, &shop, &stock);
    refused(SG_KIND_STOCK, row, &shop, &stock, "stock 1 exists already");
    part.id = "3/4";
    insert(SG_KIND_PART, stock_row, &shop, &part);
    refused(SG_KIND_PART, stock_row, &shop, &part, "part 3/4 exists already");
    refused(SG_KIND_HEAD, 0, &shop, &sg_fresh_heads[0], "head abrasive exists already");
    refused(SG_KIND_SHIFT, 0, &shop, &shop.shifts[0], "shift A exists already");
    refused(SG_KIND_MATERIAL, 0, &shop, &shop.materials[0], "material");
    stock.number = 2; /* a refusal does not end the transaction */
    insert(SG_KIND_STOCK, row, &shop, &stock);
    commit();
    ck_assert_int_eq(load().n_stocks, 2);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    struct sg_shop shop = load();
    struct sg_job job = sg_fresh_job;
    struct sg_stock stock = sg_fresh_stock;
    struct sg_part part = sg_fresh_part;
    begin();
    job.order = 1;
    static const char *const bad_keys[] = {"", "a/b", "a\x1B[2J", "\xFF"};
    for (int i = 0; i < 4; i++) {
        job.id = bad_keys[i];
        refused(SG_KIND_JOB, 0, &shop, &job, "shop.db");
    }
    job.id = "1";
    job.shift = 5;
    refused(SG_KIND_JOB, 0, &shop, &job, "shift");
    job.shift = SG_UNKNOWN;
    refused(SG_KIND_JOB, 0, &shop, &job, "shift");
    job.shift = 0;
    job.name = "bell\a";
    refused(SG_KIND_JOB, 0, &shop, &job, "name");
    job.name = "";
    int64_t row = insert(SG_KIND_JOB, 0, &shop, &job);
    refused(SG_KIND_STOCK, row, &shop, &stock, "shop.db"); /* no number */
    stock.number = 1;
    stock.thickness = 0;
    refused(SG_KIND_STOCK, row, &shop, &stock, "thickness");
    stock.thickness = (double)INFINITY;
    refused(SG_KIND_STOCK, row, &shop, &stock, "thickness");
    stock.thickness = 5;
    stock.material = shop.n_materials;
    refused(SG_KIND_STOCK, row, &shop, &stock, "material");
    stock.material = 0;
    refused(SG_KIND_STOCK, 999, &shop, &stock, "FOREIGN KEY");
    stock.gap = (double)NAN;
    refused(SG_KIND_STOCK, row, &shop, &stock, "gap");
    part.id = "A";
    part.quantity = 1000001;
    refused(SG_KIND_PART, 999, &shop, &part, "quantity");
    part.quantity = 1;
    refused(SG_KIND_PART, 999, &shop, &part, "FOREIGN KEY");
    commit();
    ck_assert_int_eq(load().n_stocks, 0);
}
END_TEST

START_TEST(a_row_that_is_gone_is_told)
{
    struct sg_shop shop = load();
    const struct sg_field *field = sg_field_find(SG_KIND_HEAD, "garnet");
    begin();
    ck_assert_int_eq(sg_store_update(store, SG_KIND_HEAD, 999, &shop, &shop.heads[0], &field, 1, &error),
                     SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "no longer"), "%s", error.text);
    ck_assert_int_eq(sg_store_update(store, SG_KIND_HEAD, 999, &shop, &shop.heads[0], &field, 0, &error),
                     SG_OK);
    commit();
}
END_TEST

START_TEST(what_is_rolled_back_was_never_there)
{
    struct bytes before = bytes_of("shop.db");
    begin();
    insert_random_library();
    sg_store_rollback(store);
    struct bytes after = bytes_of("shop.db");
    ck_assert(same_bytes(&before, &after));
    begin();
    insert_random_library(); /* the same keys are free */
    commit();
    free(before.at);
    free(after.at);
}
END_TEST

START_TEST(a_failed_load_leaves_the_shop_as_it_was)
{
    struct sg_shop shop = {.n_jobs = 42};
    begin();
    ck_assert_int_eq(sg_store_run(store, "DELETE FROM machine", &error), SG_OK);
    ck_assert_int_eq(sg_store_load(store, &dice.arena, &shop, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "machine"), "%s", error.text);
    ck_assert_int_eq(shop.n_jobs, 42);
    sg_store_rollback(store);
}
END_TEST

/* A commit that has to wait for a reader longer than it may is undone whole. */
START_TEST(a_commit_that_stays_locked_out_is_undone)
{
    sqlite3 *reader;
    sqlite3_stmt *reading;
    ck_assert_int_eq(sqlite3_open("shop.db", &reader), SQLITE_OK);
    begin();
    insert_random_library();
    ck_assert_int_eq(sqlite3_prepare_v2(reader, "SELECT * FROM material", -1, &reading, NULL), SQLITE_OK);
    ck_assert_int_eq(sqlite3_step(reading), SQLITE_ROW);
    ck_assert_int_eq(sg_store_commit(store, &error), SG_BUSY);
    sqlite3_finalize(reading);
    sqlite3_close(reader);
    ck_assert_int_eq(load().n_heads, 2);
    begin();
    commit();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rows refused");
    TCase *tests = tcase_create("rows refused");
    tcase_add_checked_fixture(tests, open_empty, close_all);
    tcase_add_test(tests, a_key_is_taken_once);
    tcase_add_test(tests, what_cannot_be_is_refused);
    tcase_add_test(tests, a_row_that_is_gone_is_told);
    tcase_add_test(tests, what_is_rolled_back_was_never_there);
    tcase_add_test(tests, a_failed_load_leaves_the_shop_as_it_was);
    tcase_add_test(tests, a_commit_that_stays_locked_out_is_undone);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
