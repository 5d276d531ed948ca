/* Files that somebody made or changed by hand, well or ill meant: nothing in them acts, and what is wrong is
 * told with its table, key and column. The files are made here. */
#include "store/common.h"

static struct sg_error error;

static void make_example(void)
{
    enter_folder();
    make_shop("shop.db", true);
}

/* After the change, loading refuses with these words, and the check tells the same and does not stop there.
 */
static void told_after(const char *sql, const char *table, const char *key, const char *column)
{
    char expected[200];
    ck_assert_int_eq(system("rm -f bad.db; cp shop.db bad.db"), 0);
    tamper("bad.db", sql);
    snprintf(expected, sizeof expected, "table %s, key %s, column %s:", table, key, column);
    enum sg_status status = try_load("bad.db", &error);
    ck_assert_msg(status == SG_BAD_DATA, "%s: %d %s", sql, status, error.text);
    ck_assert_msg(strstr(error.text, expected) && strstr(error.text, "bad.db"), "%s: %s", sql, error.text);
    struct told told = {0};
    struct sg_store *store = open_shop("bad.db", SG_STORE_READ);
    ck_assert_int_gt(sg_store_check(store, tell, &told, &error), 0);
    ck_assert_msg(strstr(told.text, expected), "%s: %s", sql, told.text);
    sg_store_close(store);
}

START_TEST(values_out_of_range_are_told_with_their_place)
{
    told_after("UPDATE part SET quantity = -3 WHERE id = 1", "part", "2601/1/A", "quantity");
    told_after("UPDATE part SET quantity = 5000000000 WHERE id = 1", "part", "2601/1/A", "quantity");
    told_after("UPDATE part SET cut_length_mm = 9e999 WHERE id = 2", "part", "2601/1/B", "cut_length_mm");
    told_after("UPDATE part SET edge = 5.5 WHERE id = 2", "part", "2601/1/B", "edge");
    told_after("UPDATE stock SET thickness_mm = 0 WHERE id = 6", "stock", "2605/2", "thickness_mm");
    told_after("UPDATE stock SET number = 0 WHERE id = 6", "stock", "2605/0", "number");
    told_after("UPDATE stock SET pierce = 'hard' WHERE id = 6", "stock", "2605/2", "pierce");
    told_after("UPDATE job SET due = '2026-02-30 12:00:00' WHERE id = 2", "job", "2602", "due");
    told_after("UPDATE job SET key = 'a/b' WHERE id = 2", "job", "a/b", "key");
    told_after("UPDATE job SET key = '' WHERE id = 2", "job", "", "key");
    told_after("UPDATE job SET position = 0 WHERE id = 2", "job", "2602", "position");
    told_after("UPDATE shift SET date = '2026-13-01'", "shift", "A", "date");
    told_after("UPDATE shift SET start = '25:00'", "shift", "A", "start");
    told_after("UPDATE shift SET breaks = '09:30'", "shift", "A", "breaks");
    told_after("UPDATE shift SET closed_days = '2026-12-99'", "shift", "A", "closed_days");
    told_after("UPDATE shift SET closed = 'maybe'", "shift", "A", "closed");
    told_after("UPDATE machine SET pump_efficiency = 1.5", "machine", "main", "pump_efficiency");
    told_after("UPDATE machine SET edge_error_4_mm = 0", "machine", "main", "edge_error_1_mm");
    told_after("UPDATE head SET heads = 17 WHERE name = 'water'", "head", "water", "heads");
    told_after("UPDATE material SET hazards = 'silica,fire' WHERE name = 'granite'", "material", "granite",
               "hazards");
    told_after("UPDATE material SET basis = 'gospel' WHERE name = 'granite'", "material", "granite", "basis");
    told_after("UPDATE setting SET value = 'cubits' WHERE name = 'units'", "setting", "units", "value");
    told_after("DELETE FROM setting", "setting", "units", "value");
}
END_TEST

START_TEST(references_to_nothing_are_told)
{
    told_after("UPDATE part SET stock_id = 99 WHERE id = 1", "part", "A", "stock_id");
    told_after("UPDATE stock SET job_id = 99 WHERE id = 6", "stock", "?/2", "job_id");
    told_after("UPDATE stock SET material_id = 999 WHERE id = 6", "stock", "2605/2", "material_id");
    told_after("UPDATE stock SET head_id = 999 WHERE id = 6", "stock", "2605/2", "head_id");
    told_after("UPDATE job SET shift_id = 99 WHERE id = 1", "job", "2601", "shift_id");
    told_after("UPDATE machine SET head_fitted_id = 99", "machine", "main", "head_fitted_id");
    told_after("DELETE FROM job WHERE id = 1", "stock", "?/1", "job_id");
}
END_TEST

START_TEST(texts_that_a_terminal_would_obey_are_told_and_disarmed)
{
    told_after("UPDATE part SET name = 'x' || char(27) || '[2J' WHERE id = 1", "part", "2601/1/A", "name");
    ck_assert_ptr_null(strchr(error.text, 27));
    told_after("UPDATE part SET name = 'x' || char(155) || '2J' WHERE id = 1", "part", "2601/1/A", "name");
    ck_assert_ptr_null(strstr(error.text, "\xC2\x9B"));
    told_after("UPDATE part SET name = 'a' || char(0) || 'b' WHERE id = 1", "part", "2601/1/A", "name");
    told_after("UPDATE part SET name = CAST(x'ff41' AS TEXT) WHERE id = 1", "part", "2601/1/A", "name");
    told_after("UPDATE part SET name = printf('%.*c', 201, 'x') WHERE id = 1", "part", "2601/1/A", "name");
    told_after("UPDATE part SET note = printf('%.*c', 10001, 'x') WHERE id = 1", "part", "2601/1/A", "note");
    told_after("UPDATE material SET name = char(7) WHERE name = 'copper'", "material", "", "name");
}
END_TEST

/* Without STRICT a column takes anything. */
START_TEST(values_of_the_wrong_type_are_told)
{
    static const char loosen[] = "UPDATE sqlite_schema SET sql = replace(sql, ') STRICT', ')') "
                                 "WHERE name IN ('part', 'material')";
    tamper("shop.db", loosen);
    told_after("UPDATE part SET quantity = 'many' WHERE id = 1", "part", "2601/1/A", "quantity");
    told_after("UPDATE part SET cut_length_mm = 'long' WHERE id = 1", "part", "2601/1/A", "cut_length_mm");
    told_after("UPDATE part SET cut_length_mm = x'0102' WHERE id = 1", "part", "2601/1/A", "cut_length_mm");
    told_after("UPDATE part SET name = x'0102' WHERE id = 1", "part", "2601/1/A", "name");
    told_after("UPDATE part SET key = x'41' WHERE id = 1", "part", "2601/1/", "key");
    told_after("UPDATE material SET hazards = x'41' WHERE name = 'copper'", "material", "copper", "hazards");
    told_after("UPDATE material SET hazards = 'brittle' || char(0) WHERE name = 'copper'", "material",
               "copper", "hazards");
    told_after("UPDATE part SET pierces = 1.5 WHERE id = 1", "part", "2601/1/A", "pierces");
}
END_TEST

START_TEST(a_trigger_in_a_file_does_not_act)
{
    struct sg_arena arena = {0};
    struct sg_shop shop;
    tamper("shop.db", "CREATE TRIGGER trap AFTER UPDATE ON part BEGIN DELETE FROM job; END");
    struct sg_store *store = open_shop("shop.db", SG_STORE_WRITE);
    ck_assert_int_eq(sg_store_load(store, &arena, &shop, &error), SG_OK);
    const struct sg_field *field = sg_field_find(SG_KIND_PART, "quantity");
    shop.parts[0].quantity = 5;
    ck_assert_int_eq(sg_store_begin(store, &error), SG_OK);
    ck_assert_int_eq(
        sg_store_update(store, SG_KIND_PART, shop.parts[0].row, &shop, &shop.parts[0], &field, 1, &error),
        SG_OK);
    ck_assert_int_eq(sg_store_commit(store, &error), SG_OK);
    ck_assert_int_eq(sg_store_load(store, &arena, &shop, &error), SG_OK);
    ck_assert_int_eq(shop.n_jobs, 5);
    ck_assert_int_eq(shop.parts[0].quantity, 5);
    struct told told = {0};
    ck_assert_int_eq(sg_store_check(store, tell, &told, &error), 1);
    ck_assert_msg(strstr(told.text, "trigger trap does not belong"), "%s", told.text);
    sg_store_close(store);
    sg_arena_free(&arena);
}
END_TEST

START_TEST(a_view_in_the_place_of_a_table_is_refused)
{
    tamper("shop.db",
           "DROP TABLE part; CREATE VIEW part AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 "
           "FROM n) SELECT i AS id, 1 AS stock_id, i AS position, 'x' AS key FROM n");
    enum sg_status status = try_load("shop.db", &error);
    ck_assert_msg(status == SG_NO_FILE, "%d %s", status, error.text);
}
END_TEST

START_TEST(a_file_without_a_table_or_column_is_refused)
{
    tamper("shop.db", "ALTER TABLE part DROP COLUMN note");
    ck_assert_int_eq(try_load("shop.db", &error), SG_NO_FILE);
    ck_assert_msg(strstr(error.text, "note"), "%s", error.text);
    tamper("shop.db", "DROP TABLE part");
    ck_assert_int_eq(try_load("shop.db", &error), SG_NO_FILE);
    ck_assert_msg(strstr(error.text, "part"), "%s", error.text);
}
END_TEST

static int findings(const char *sql, const char *words)
{
    ck_assert_int_eq(system("rm -f bad.db; cp shop.db bad.db"), 0);
    tamper("bad.db", sql);
    struct told told = {0};
    struct sg_store *store = open_shop("bad.db", SG_STORE_READ);
    int n = sg_store_check(store, tell, &told, &error);
    ck_assert_msg(strstr(told.text, words), "%s: %s", sql, told.text);
    sg_store_close(store);
    return n;
}

START_TEST(the_check_tells_order_and_layout)
{
    ck_assert_int_eq(findings("UPDATE job SET position = 9 WHERE id = 5", "jobs of shift A are not 1 to 5"),
                     1);
    ck_assert_int_eq(findings("UPDATE job SET position = 1 WHERE id = 5", "jobs of shift A are not 1 to 5"),
                     1);
    ck_assert_int_eq(
        findings("UPDATE part SET position = 1 WHERE id = 2", "2 parts of 2601/1 have the place 1"), 1);
    ck_assert_int_eq(findings("INSERT INTO shift (key, position, date) VALUES ('B', 1, '2026-12-02')",
                              "2 shifts have the place 1"),
                     1);
    ck_assert_int_eq(findings("CREATE TABLE extra (x)", "table extra does not belong"), 1);
    ck_assert_int_eq(findings("DROP INDEX job_by_shift", "index job_by_shift is missing"), 1);
    ck_assert_int_eq(findings("UPDATE sqlite_schema SET sql = replace(sql, 'quantity >', 'quantity <') "
                              "WHERE name = 'x'; UPDATE sqlite_schema SET sql = replace(sql, 'AND 1000000', "
                              "'AND 1000009') WHERE name = 'part'",
                              "table part is missing or is not laid out"),
                     1);
    ck_assert_int_eq(findings("UPDATE part SET quantity = -1; UPDATE stock SET thickness_mm = -1",
                              "table stock, key 2605/2, column thickness_mm"),
                     9 + 6 + 2); /* each value, and once for each table by the database itself */
}
END_TEST

START_TEST(a_sound_file_has_no_findings)
{
    struct told told = {0};
    struct sg_store *store = open_shop("shop.db", SG_STORE_READ);
    ck_assert_int_eq(sg_store_check(store, tell, &told, &error), 0);
    ck_assert_int_eq(told.count, 0);
    sg_store_close(store);
}
END_TEST

/* Bytes changed at random: opening, loading and checking end with some status and do not crash, leak or hang.
 */
START_TEST(random_damage_does_no_harm)
{
    struct dice dice = {.state = 0xD1CEu + (uint64_t)_i};
    struct bytes whole = bytes_of("shop.db");
    int refused = 0;
    for (int round = 0; round < 60; round++) {
        unsigned char *bad = malloc(whole.size);
        memcpy(bad, whole.at, whole.size);
        for (int i = 0; i < 1 << _i; i++)
            bad[roll(&dice) % whole.size] = (unsigned char)roll(&dice);
        write_bytes("bad.db", bad, whole.size);
        free(bad);
        struct sg_opening how = {sg_schema_steps, sg_schema_n_steps, 20};
        struct sg_store *store = NULL;
        enum sg_status status = try_load("bad.db", &error);
        ck_assert_msg(status == SG_OK || status == SG_NO_FILE || status == SG_BAD_DATA || status == SG_NEWER,
                      "%d %s", status, error.text);
        refused += status != SG_OK;
        if (sg_store_open_as("bad.db", SG_STORE_READ, &how, &store, &error) == SG_OK) {
            struct told told = {0};
            ck_assert_int_eq(sg_store_check(store, tell, &told, &error) >= 0 ? told.count : 0, told.count);
        }
        sg_store_close(store);
    }
    ck_assert_int_gt(refused, 0);
    free(whole.at);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hostile");
    TCase *tests = tcase_create("hostile");
    tcase_add_checked_fixture(tests, make_example, leave_folder);
    tcase_add_test(tests, values_out_of_range_are_told_with_their_place);
    tcase_add_test(tests, references_to_nothing_are_told);
    tcase_add_test(tests, texts_that_a_terminal_would_obey_are_told_and_disarmed);
    tcase_add_test(tests, values_of_the_wrong_type_are_told);
    tcase_add_test(tests, a_trigger_in_a_file_does_not_act);
    tcase_add_test(tests, a_view_in_the_place_of_a_table_is_refused);
    tcase_add_test(tests, a_file_without_a_table_or_column_is_refused);
    tcase_add_test(tests, the_check_tells_order_and_layout);
    tcase_add_test(tests, a_sound_file_has_no_findings);
    tcase_add_loop_test(tests, random_damage_does_no_harm, 2, 9);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
