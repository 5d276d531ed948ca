/* What the history tells: the list of steps, who set a field, what a step changed, also in a file from before
 * there was a history. */
#include "store/random_changes.h"

#include "store/history.h"

/* ---- the list ---- */

static char listed[4000];

static void list(void *context, const struct sg_step_told *step)
{
    static const char *const kinds[] = {"change", "undo", "redo"};
    char line[600];
    (void)context;
    snprintf(line, sizeof line, "%lld %s of %lld, %s at %.0f: %s%s\n", (long long)step->id, kinds[step->kind],
             (long long)step->of, step->who, (step->at - minute(0)) / 60, step->words,
             step->undone ? " (undone)" : "");
    strcat(listed, line);
}

START_TEST(the_history_tells_all_newest_first)
{
    set_part(store, "anna", 1, 1, "quantity", 7, "20 -> 7");
    set_part(store, "office", 2, 2, "quantity", 8, "36 -> 8");
    undoes(store, "anna", 3, "20 -> 7");
    undoes(store, "office", 4, "36 -> 8");
    redoes(store, "office", 5, "36 -> 8");
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 0, list, NULL, &error), SG_OK);
    ck_assert_str_eq(listed, "5 redo of 2, office at 5: redo: 36 -> 8\n"
                             "4 undo of 2, office at 4: undo: 36 -> 8\n"
                             "3 undo of 1, anna at 3: undo: 20 -> 7\n"
                             "2 change of 0, office at 2: 36 -> 8\n"
                             "1 change of 0, anna at 1: 20 -> 7 (undone)\n");
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 2, list, NULL, &error), SG_OK);
    ck_assert_str_eq(listed, "5 redo of 2, office at 5: redo: 36 -> 8\n"
                             "4 undo of 2, office at 4: undo: 36 -> 8\n");
    sg_store_close(store);
    store = open_shop("shop.db", SG_STORE_READ);
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 1, list, NULL, &error), SG_OK);
    ck_assert_str_eq(listed, "5 redo of 2, office at 5: redo: 36 -> 8\n");
}
END_TEST

START_TEST(a_new_file_has_an_empty_history)
{
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 0, list, NULL, &error), SG_OK);
    ck_assert_str_eq(listed, "");
    ck_assert_int_eq(sg_store_kept(store), 0);
}
END_TEST

START_TEST(what_changes_nothing_is_no_step)
{
    set_part(store, "anna", 1, 1, "quantity", 20, "20 -> 20");
    begin(store);
    write_part(store, 1, "quantity", 5);
    write_part(store, 1, "quantity", 20);
    keep(store, "anna", 2, "there and back");
    begin(store);
    ck_assert_int_eq(sg_store_remove(store, SG_KIND_JOB, put_job(store, "brief"), &error), SG_OK);
    keep(store, "anna", 3, "came and went");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM step"), 0);
    ck_assert_int_eq(sg_store_kept(store), 0);
}
END_TEST

START_TEST(words_that_a_terminal_would_obey_are_disarmed)
{
    char longer[1000];
    memset(longer, 'x', sizeof longer);
    memcpy(longer + 396, "\xC3\xA9\xC3\xA9", 4); /* cut in the middle of a character */
    longer[999] = '\0';
    set_part(store, "an\x1Bna", 1, 1, "quantity", 7, "a\nb\x1B[2J \xFF \xC3\xA9");
    set_part(store, "anna", 2, 1, "quantity", 8, longer);
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 0, list, NULL, &error), SG_OK);
    ck_assert_msg(strstr(listed, "an na at 1: a b [2J ? \xC3\xA9\n"), "%s", listed);
    ck_assert_ptr_nonnull(strstr(listed, "xxx\xC3\xA9\n"));
    tamper("shop.db", "UPDATE step SET words = 'x' || char(27) || 'y' WHERE id = 1");
    *listed = '\0';
    ck_assert_int_eq(sg_store_history(store, 0, list, NULL, &error), SG_OK);
    ck_assert_ptr_null(strchr(listed, 27));
    is_sound(store);
}
END_TEST

START_TEST(a_step_needs_a_person_and_words)
{
    static const struct sg_step_note notes[] = {{"", 1, "words"}, {"anna", 1, ""}, {"anna", -1, "words"}};
    struct sg_step_note nan = {"anna", (double)NAN, "words"};
    for (int i = 0; i < 4; i++) {
        begin(store);
        write_part(store, 1, "quantity", 5);
        ck_assert_int_eq(sg_store_keep(store, i < 3 ? &notes[i] : &nan, &error), SG_FAULT);
        ck_assert_int_eq(row_of(store, "SELECT quantity FROM part WHERE id = 1"), 20);
    }
    ck_assert_int_eq(sg_store_keep(store, &notes[0], &error), SG_FAULT); /* nothing was begun */
}
END_TEST

/* ---- who set a field ---- */

static void last_set(enum sg_kind kind, int64_t row, const char *field, const char *expected)
{
    struct sg_step_told told;
    enum sg_status status = sg_store_last_set(store, kind, row, sg_field_find(kind, field), &told, &error);
    if (!expected) {
        ck_assert_int_eq(status, SG_NO);
        ck_assert_ptr_nonnull(strstr(error.text, field));
        return;
    }
    ck_assert_msg(status == SG_OK, "%s", error.text);
    ck_assert_str_eq(told.words, expected);
}

START_TEST(the_last_step_that_set_a_field_is_found)
{
    last_set(SG_KIND_PART, 1, "quantity", NULL);
    set_part(store, "anna", 1, 1, "quantity", 7, "first");
    set_part(store, "office", 2, 1, "pierces", 7, "second");
    set_part(store, "office", 3, 2, "quantity", 7, "third");
    last_set(SG_KIND_PART, 1, "quantity", "first");
    last_set(SG_KIND_PART, 1, "pierces", "second");
    last_set(SG_KIND_PART, 2, "quantity", "third");
    last_set(SG_KIND_PART, 2, "pierces", NULL);
    last_set(SG_KIND_STOCK, 1, "edge", NULL);
    undoes(store, "anna", 4, "first");
    last_set(SG_KIND_PART, 1, "quantity", "undo: first");
    int64_t job = add_job(store, "anna", 5, "2606", "added job 2606");
    last_set(SG_KIND_JOB, job, "due", "added job 2606");
    last_set(SG_KIND_JOB, job, "shift", "added job 2606");
    take_away(store, "office", 6, SG_KIND_JOB, 1, "removed job 2601");
    last_set(SG_KIND_JOB, job, "order", "removed job 2601"); /* it closed up */
    last_set(SG_KIND_JOB, job, "due", "added job 2606");
}
END_TEST

/* One step about the first and the last part does not stand for those between. */
START_TEST(a_step_about_rows_far_apart_is_not_taken_for_those_between)
{
    begin(store);
    write_part(store, 1, "quantity", 5);
    write_part(store, 9, "quantity", 5);
    keep(store, "anna", 1, "first and last");
    last_set(SG_KIND_PART, 1, "quantity", "first and last");
    last_set(SG_KIND_PART, 9, "quantity", "first and last");
    last_set(SG_KIND_PART, 5, "quantity", NULL);
    set_part(store, "office", 2, 5, "quantity", 11, "between");
    undoes(store, "anna", 3, "first and last");
    redoes(store, "anna", 4, "first and last");
    last_set(SG_KIND_PART, 5, "quantity", "between");
}
END_TEST

START_TEST(a_field_of_several_columns_is_found_by_each)
{
    struct loaded loaded = {0};
    const struct sg_field *field = sg_field_find(SG_KIND_MACHINE, "edge_error");
    load(store, &loaded);
    loaded.shop.machine.edge_error[4] = 0.5;
    begin(store);
    ck_assert_int_eq(sg_store_update(store, SG_KIND_MACHINE, loaded.shop.machine.row, &loaded.shop,
                                     &loaded.shop.machine, &field, 1, &error),
                     SG_OK);
    keep(store, "anna", 1, "edge 5");
    last_set(SG_KIND_MACHINE, loaded.shop.machine.row, "edge_error", "edge 5");
    last_set(SG_KIND_MACHINE, loaded.shop.machine.row, "pierce_base", NULL);
    sg_arena_free(&loaded.arena);
}
END_TEST

/* Rows and columns as read from the bytes are those that SQLite's own iterator tells. */
START_TEST(changes_are_read_as_sqlite_reads_them)
{
    int seen = 0;
    for (int at = 0; at < 60; at++) {
        struct sg_changes changes;
        struct sg_touches touches;
        sqlite3_changeset_iter *iterator;
        begin(store);
        change_something();
        keep(store, "anna", at, "a step");
        int64_t last = row_of(store, "SELECT ifnull(max(id), 0) FROM step");
        if (last == 0)
            continue;
        ck_assert_int_eq(sg_changes_read(store, last, &changes, &error), SG_OK);
        ck_assert_int_eq(sg_touches_of(store, &changes, &touches, &error), SG_OK);
        ck_assert_int_eq(sqlite3changeset_start(&iterator, changes.size, changes.bytes), SQLITE_OK);
        for (int i = 0; i < touches.n; i++, seen++) {
            const char *table;
            int n_columns, op, indirect;
            sqlite3_value *value = NULL;
            uint64_t columns = 0;
            ck_assert_int_eq(sqlite3changeset_next(iterator), SQLITE_ROW);
            sqlite3changeset_op(iterator, &table, &n_columns, &op, &indirect);
            for (int j = 1; j < n_columns && op == SQLITE_UPDATE; j++) {
                sqlite3changeset_new(iterator, j, &value);
                columns |= value ? sg_column_bit(j) : 0;
            }
            if (op == SQLITE_INSERT)
                sqlite3changeset_new(iterator, 0, &value);
            else
                sqlite3changeset_old(iterator, 0, &value);
            ck_assert_str_eq(table, sg_table_of(touches.at[i].kind)->name);
            ck_assert_int_eq(op, touches.at[i].op);
            ck_assert_int_eq(sqlite3_value_int64(value), touches.at[i].row);
            ck_assert_uint_eq(op == SQLITE_UPDATE ? columns : SG_ALL_COLUMNS, touches.at[i].columns);
        }
        ck_assert_int_eq(sqlite3changeset_next(iterator), SQLITE_DONE);
        sqlite3changeset_finalize(iterator);
        sqlite3_free(changes.bytes);
        free(touches.at);
    }
    ck_assert_int_gt(seen, 60);
    sg_arena_free(&now.arena);
}
END_TEST

/* Cut off anywhere and with any byte changed, the reading ends. */
START_TEST(a_record_cut_off_or_changed_is_read_to_an_end)
{
    struct sg_changes changes;
    int refused = 0;
    take_away(store, "anna", 1, SG_KIND_JOB, 5, "removed job 2605");
    ck_assert_int_eq(sg_changes_read(store, 1, &changes, &error), SG_OK);
    for (int size = 0; size <= changes.size; size++) {
        struct sg_touches touches = {0};
        void *bytes = malloc((size_t)size + (size == 0)); /* of that size, so that a look behind it is seen */
        memcpy(bytes, changes.bytes, (size_t)size);
        struct sg_changes cut = {bytes, size};
        refused += sg_touches_of(store, &cut, &touches, &error) != SG_OK;
        free(touches.at);
        for (int i = 0; i < 4 && size > 0; i++) {
            ((unsigned char *)bytes)[roll_below(&dice, size)] = (unsigned char)roll(&dice);
            touches = (struct sg_touches){0};
            refused += sg_touches_of(store, &cut, &touches, &error) != SG_OK;
            free(touches.at);
        }
        free(bytes);
    }
    ck_assert_int_gt(refused, changes.size / 2);
    sqlite3_free(changes.bytes);
}
END_TEST

/* Many rows: the record is in several pieces. */
START_TEST(a_large_step_is_kept_taken_back_and_done_again)
{
    enum { MANY = 12000 };
    struct content before, after;
    struct sg_part part = sg_fresh_part;
    char id[20];
    int64_t row;
    read_content(store->db, &before);
    load(store, &now);
    begin(store);
    part.id = id;
    part.note = "a note that takes some room";
    for (int i = 0; i < MANY; i++) {
        snprintf(id, sizeof id, "k%d", i);
        ck_assert_int_eq(
            sg_store_insert(store, SG_KIND_PART, now.shop.stocks[0].row, &now.shop, &part, &row, &error),
            SG_OK);
    }
    keep(store, "anna", 1, "imported");
    ck_assert_int_gt(row_of(store, "SELECT count(*) FROM step_changes"), 1);
    read_content(store->db, &after);
    undoes(store, "anna", 2, "imported");
    is_as(store, &before, "taken back");
    redoes(store, "anna", 3, "imported");
    is_as(store, &after, "done again");
    last_set(SG_KIND_PART, row, "quantity", "redo: imported");
    is_sound(store);
    sg_arena_free(&now.arena);
}
END_TEST

/* ---- files from before the history ---- */

START_TEST(a_file_of_version_1_is_brought_up_and_has_a_history)
{
    make_version("old.db", 1);
    struct bytes before = bytes_of("old.db");
    sg_store_close(store);
    store = open_shop("old.db", SG_STORE_WRITE);
    ck_assert_int_eq(row_of(store, "PRAGMA user_version"), sg_schema_n_steps);
    struct bytes copy = bytes_of("old.db.v1.backup");
    ck_assert(same_bytes(&before, &copy));
    free(before.at);
    free(copy.at);
    is_sound(store);
    struct content start;
    read_content(store->db, &start);
    take_away(store, "anna", 1, SG_KIND_JOB, 5, "removed job 2605");
    /* The rows that were there before the history do not give their numbers away either. */
    ck_assert_int_eq(add_job(store, "office", 2, "2606", "added job 2606"), 6);
    undoes(store, "anna", 3, "removed job 2605");
    undoes(store, "office", 4, "added job 2606");
    is_as(store, &start, "undone");
    is_sound(store);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("history, told");
    TCase *tests = tcase_create("history, told");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_test(tests, the_history_tells_all_newest_first);
    tcase_add_test(tests, a_new_file_has_an_empty_history);
    tcase_add_test(tests, what_changes_nothing_is_no_step);
    tcase_add_test(tests, words_that_a_terminal_would_obey_are_disarmed);
    tcase_add_test(tests, a_step_needs_a_person_and_words);
    tcase_add_test(tests, the_last_step_that_set_a_field_is_found);
    tcase_add_test(tests, a_step_about_rows_far_apart_is_not_taken_for_those_between);
    tcase_add_test(tests, a_field_of_several_columns_is_found_by_each);
    tcase_add_test(tests, changes_are_read_as_sqlite_reads_them);
    tcase_add_test(tests, a_record_cut_off_or_changed_is_read_to_an_end);
    tcase_add_test(tests, a_large_step_is_kept_taken_back_and_done_again);
    tcase_add_test(tests, a_file_of_version_1_is_brought_up_and_has_a_history);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
