/* Opening: what is not a shop file, or not one that may be touched, is refused with a sentence that says so.
 */
#include "store/common.h"

static enum sg_status try_open(const char *path, enum sg_store_mode mode, struct sg_error *error)
{
    struct sg_opening how = {sg_schema_steps, sg_schema_n_steps, 20};
    struct sg_store *store = NULL;
    *error = (struct sg_error){0};
    enum sg_status status = sg_store_open_as(path, mode, &how, &store, error);
    ck_assert_msg((status == SG_OK) == (store != NULL), "status %d", status);
    sg_store_close(store);
    return status;
}

static void refused(const char *path, enum sg_status expected, const char *word)
{
    struct sg_error error;
    for (int mode = SG_STORE_READ; mode <= SG_STORE_WRITE; mode++) {
        enum sg_status status = try_open(path, mode, &error);
        ck_assert_msg(status == expected, "%s: %d, %s", path, status, error.text);
        ck_assert_int_eq(error.status, expected);
        ck_assert_msg(strstr(error.text, path) && strstr(error.text, word), "%s should say %s", error.text,
                      word);
    }
}

START_TEST(what_is_no_file_is_refused)
{
    refused("nothing.db", SG_NO_FILE, "No such file");
    refused("", SG_NO_FILE, "No such file");
    ck_assert_int_eq(mkdir("sub", 0777), 0);
    refused("sub", SG_NO_FILE, "folder");
    refused("sub/nothing.db", SG_NO_FILE, "No such file");
    write_bytes("plain", "x", 1);
    refused("plain/shop.db", SG_NO_FILE, "Not a directory");
    ck_assert_int_eq(mkfifo("pipe", 0666), 0);
    refused("pipe", SG_NO_FILE, "pipe");
    write_bytes("empty.db", "", 0);
    refused("empty.db", SG_NO_FILE, "empty");
}
END_TEST

START_TEST(what_is_no_shop_is_refused_and_left_alone)
{
    char text[5000];
    memset(text, 'j', sizeof text);
    write_bytes("short.txt", "part,quantity\r\n", 15);
    write_bytes("long.txt", text, sizeof text);
    tamper("other.db", "CREATE TABLE t (x)");
    tamper("named.db", "CREATE TABLE part (x); PRAGMA application_id = 77; PRAGMA user_version = 1");
    tamper("unborn.db", "CREATE TABLE part (x); PRAGMA application_id = 1935765092");
    const char *const paths[] = {"short.txt", "long.txt", "other.db", "named.db", "unborn.db"};
    for (int i = 0; i < 5; i++) {
        struct bytes before = bytes_of(paths[i]);
        refused(paths[i], SG_NO_FILE, "not a sandglass shop file");
        struct bytes after = bytes_of(paths[i]);
        ck_assert(same_bytes(&before, &after));
        free(before.at);
        free(after.at);
    }
    ck_assert_int_eq(names_here(), 5);
}
END_TEST

START_TEST(a_name_is_never_taken_for_something_else)
{
    refused(":memory:", SG_NO_FILE, "No such file");
    refused("file:shop.db?mode=memory", SG_NO_FILE, "No such file");
    struct sg_error error;
    const char *const names[] = {":memory:", "file:a.db", "file:b.db?mode=memory", "na me'%s.db",
                                 "\xC3\xA9.db"};
    for (int i = 0; i < 5; i++) {
        make_shop(names[i], false);
        ck_assert(exists(names[i]));
        ck_assert_int_eq(try_open(names[i], SG_STORE_WRITE, &error), SG_OK);
    }
    ck_assert_int_eq(names_here(), 5);
}
END_TEST

START_TEST(a_newer_file_is_refused_and_not_changed)
{
    make_shop("shop.db", true);
    tamper("shop.db", "PRAGMA user_version = 9");
    struct bytes before = bytes_of("shop.db");
    refused("shop.db", SG_NEWER, "version 9");
    char known[40];
    snprintf(known, sizeof known, "up to version %d", sg_schema_n_steps);
    refused("shop.db", SG_NEWER, known);
    struct bytes after = bytes_of("shop.db");
    ck_assert(same_bytes(&before, &after));
    ck_assert_int_eq(names_here(), 1);
    free(before.at);
    free(after.at);
}
END_TEST

/* Cut at every quarter page: opening or loading says that it is damaged or no shop file, and nothing crashes.
 */
START_TEST(a_truncated_file_is_refused)
{
    make_shop("shop.db", true);
    struct bytes whole = bytes_of("shop.db");
    for (size_t size = 1; size < whole.size; size += 512) {
        struct sg_error error = {0};
        write_bytes("cut.db", whole.at, size);
        enum sg_status status = try_load("cut.db", &error);
        ck_assert_msg(status == SG_NO_FILE, "cut to %zu: %d %s", size, status, error.text);
        ck_assert_msg(strstr(error.text, "cut.db"), "%s", error.text);
    }
    free(whole.at);
}
END_TEST

/* Each page in turn filled with rubbish: either nothing read it, or it is told. */
START_TEST(a_corrupt_page_is_told)
{
    make_shop("shop.db", true);
    struct bytes whole = bytes_of("shop.db");
    int told = 0, pages = (int)(whole.size / 4096);
    for (int page = 0; page < pages; page++) {
        struct sg_error error = {0};
        struct bytes bad = {malloc(whole.size), whole.size};
        memcpy(bad.at, whole.at, whole.size);
        memset(bad.at + page * 4096 + (page ? 0 : 100), 0xA5, page ? 4096 : 3996);
        write_bytes("bad.db", bad.at, bad.size);
        enum sg_status status = try_load("bad.db", &error);
        ck_assert_msg(status == SG_OK || status == SG_NO_FILE || status == SG_BAD_DATA, "page %d: %d %s",
                      page, status, error.text);
        told += status != SG_OK;
        if (status == SG_OK) { /* then it is a page that only checks read, an index */
            struct sg_store *store = open_shop("bad.db", SG_STORE_READ);
            struct told findings = {0};
            ck_assert_int_ne(sg_store_check(store, tell, &findings, &error), 0);
            sg_store_close(store);
        }
        free(bad.at);
    }
    ck_assert_int_gt(told, 5);
    free(whole.at);
}
END_TEST

START_TEST(a_locked_file_is_busy_after_the_wait)
{
    struct sg_error error;
    make_shop("shop.db", true);
    struct sg_store *one = open_shop("shop.db", SG_STORE_WRITE);
    struct sg_store *two = open_shop("shop.db", SG_STORE_WRITE);
    struct sg_store *reader = open_shop("shop.db", SG_STORE_READ);
    ck_assert_int_eq(sg_store_begin(one, &error), SG_OK);
    ck_assert_int_eq(sg_store_begin(two, &error), SG_BUSY);
    ck_assert_msg(strstr(error.text, "shop.db") && strstr(error.text, "another process"), "%s", error.text);
    struct sg_arena arena = {0};
    struct sg_shop shop;
    ck_assert_int_eq(sg_store_load(reader, &arena, &shop, &error),
                     SG_OK); /* a reader need not wait for that */
    ck_assert_int_eq(sg_store_commit(one, &error), SG_OK);
    ck_assert_int_eq(sg_store_begin(two, &error), SG_OK);
    sg_store_rollback(two);
    sg_store_rollback(two);
    ck_assert_int_eq(sg_store_begin(one, &error), SG_OK);
    sg_store_close(one); /* closing lets go too */
    ck_assert_int_eq(sg_store_begin(two, &error), SG_OK);
    sg_store_close(two);
    sg_store_close(reader);
    sg_arena_free(&arena);
}
END_TEST

START_TEST(a_file_locked_while_it_is_opened_is_busy)
{
    make_shop("shop.db", false);
    sqlite3 *other;
    ck_assert_int_eq(sqlite3_open("shop.db", &other), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(other, "BEGIN EXCLUSIVE", NULL, NULL, NULL), SQLITE_OK);
    refused("shop.db", SG_BUSY, "another process");
    sqlite3_close(other);
    struct sg_error error;
    ck_assert_int_eq(try_open("shop.db", SG_STORE_WRITE, &error), SG_OK);
}
END_TEST

/* Opening a second time in one process must not let go of the first one's lock. */
START_TEST(opening_again_keeps_the_lock)
{
    struct sg_error error;
    make_shop("shop.db", false);
    struct sg_store *one = open_shop("shop.db", SG_STORE_WRITE);
    ck_assert_int_eq(sg_store_begin(one, &error), SG_OK);
    ck_assert_int_eq(try_open("shop.db", SG_STORE_READ, &error), SG_OK);
    pid_t child = fork();
    if (child == 0) {
        struct sg_store *two = open_shop("shop.db", SG_STORE_WRITE);
        _exit(sg_store_begin(two, &error));
    }
    int state;
    ck_assert_int_eq(waitpid(child, &state, 0), child);
    ck_assert_int_eq(WEXITSTATUS(state), SG_BUSY);
    sg_store_close(one);
}
END_TEST

START_TEST(a_file_that_was_replaced_is_not_written)
{
    struct sg_error error;
    const char *const ways[] = {"rm shop.db", "mv shop.db gone.db", "cp shop.db new.db; mv new.db shop.db"};
    for (int i = 0; i < 3; i++) {
        ck_assert_int_eq(system("rm -f shop.db"), 0);
        make_shop("shop.db", true);
        struct sg_store *store = open_shop("shop.db", SG_STORE_WRITE);
        struct sg_arena arena = {0};
        struct sg_shop shop;
        ck_assert_int_eq(sg_store_load(store, &arena, &shop, &error), SG_OK);
        ck_assert_int_eq(system(ways[i]), 0);
        const struct sg_field *fields[] = {sg_field_find(SG_KIND_PART, "quantity")};
        shop.parts[0].quantity = 77;
        enum sg_status status = sg_store_begin(store, &error);
        if (status == SG_OK)
            status = sg_store_update(store, SG_KIND_PART, shop.parts[0].row, &shop, &shop.parts[0], fields, 1,
                                     &error);
        if (status == SG_OK)
            status = sg_store_commit(store, &error);
        ck_assert_msg(status == SG_NO_WRITE, "%s: %d %s", ways[i], status, error.text);
        ck_assert_msg(strstr(error.text, "moved, deleted or replaced"), "%s", error.text);
        sg_store_close(store);
        sg_arena_free(&arena);
    }
}
END_TEST

START_TEST(reading_never_writes)
{
    struct sg_error error;
    make_shop("shop.db", true);
    struct bytes before = bytes_of("shop.db");
    struct sg_store *store = open_shop("shop.db", SG_STORE_READ);
    struct sg_shop shop = {0};
    int64_t row;
    ck_assert_int_eq(sg_store_begin(store, &error), SG_FAULT);
    struct sg_head head = sg_fresh_heads[0];
    head.name = "third";
    ck_assert_int_eq(sg_store_insert(store, SG_KIND_HEAD, 0, &shop, &head, &row, &error), SG_NO_WRITE);
    sg_store_close(store);
    struct bytes after = bytes_of("shop.db");
    ck_assert(same_bytes(&before, &after));
    free(before.at);
    free(after.at);
}
END_TEST

/* Permissions do not bind root, so the child becomes somebody else where it can. */
START_TEST(permissions_are_told)
{
    make_shop("secret.db", true);
    make_shop("fixed.db", true);
    ck_assert_int_eq(chmod("secret.db", 0), 0);
    ck_assert_int_eq(chmod("fixed.db", 0444), 0);
    ck_assert_int_eq(chmod(".", 0755), 0);
    pid_t child = fork();
    if (child == 0) {
        struct sg_error error;
        if (getuid() == 0 && setuid(65534) != 0)
            _exit(50);
        char full[4096]; /* SQLite goes by the full path */
        if (!getcwd(full, sizeof full - 20) || access(strcat(full, "/fixed.db"), R_OK) != 0)
            _exit(0); /* a folder above is closed to others: nothing can be tried here */
        if (try_open("secret.db", SG_STORE_READ, &error) != SG_NO_FILE ||
            !strstr(error.text, "may not be read"))
            _exit(1);
        if (try_load("fixed.db", &error) != SG_OK)
            _exit(2);
        if (try_open("fixed.db", SG_STORE_WRITE, &error) != SG_NO_WRITE || !strstr(error.text, "not written"))
            _exit(3);
        _exit(0);
    }
    int state;
    ck_assert_int_eq(waitpid(child, &state, 0), child);
    ck_assert_int_eq(WEXITSTATUS(state), 0);
}
END_TEST

START_TEST(a_sound_file_opens_in_both_ways)
{
    struct sg_error error;
    make_shop("shop.db", true);
    for (int mode = SG_STORE_READ; mode <= SG_STORE_WRITE; mode++) {
        struct sg_store *store = NULL;
        int64_t on = 0;
        ck_assert_int_eq(sg_store_open("shop.db", mode, &store, &error), SG_OK);
        ck_assert_int_eq(sg_store_ask(store, "PRAGMA foreign_keys", &on, &error), SG_OK);
        ck_assert_int_eq(on, 1);
        ck_assert_int_eq(sg_store_ask(store, "PRAGMA synchronous", &on, &error), SG_OK);
        ck_assert_int_eq(on, 2); /* FULL */
        ck_assert_int_eq(sg_store_ask(store, "PRAGMA trusted_schema", &on, &error), SG_OK);
        ck_assert_int_eq(on, 0);
        ck_assert_int_eq(sg_store_ask(store, "PRAGMA busy_timeout", &on, &error), SG_OK);
        ck_assert_int_eq(on, 5000);
        ck_assert_int_eq(sg_store_ask(store, "SELECT \"a word\"", &on, &error),
                         SG_NO_FILE); /* no such column */
        sg_store_close(store);
    }
}
END_TEST

/* Somebody switched the file to a write-ahead log, whose writes would follow a replaced file: it is switched
 * back. */
START_TEST(a_file_with_another_journal_is_switched_back)
{
    struct sg_error error;
    make_shop("shop.db", true);
    tamper("shop.db", "PRAGMA journal_mode = WAL");
    ck_assert_int_eq(try_load("shop.db", &error), SG_OK);
    struct sg_store *store = open_shop("shop.db", SG_STORE_WRITE);
    sg_store_close(store);
    struct bytes file = bytes_of("shop.db");
    ck_assert_int_eq(file.at[18], 1); /* file format: 1 rollback journal, 2 write-ahead log */
    ck_assert_int_eq(file.at[19], 1);
    free(file.at);
}
END_TEST

START_TEST(closing_nothing_is_fine)
{
    sg_store_close(NULL);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("open");
    TCase *tests = tcase_create("open");
    tcase_add_checked_fixture(tests, enter_folder, leave_folder);
    tcase_add_test(tests, what_is_no_file_is_refused);
    tcase_add_test(tests, what_is_no_shop_is_refused_and_left_alone);
    tcase_add_test(tests, a_name_is_never_taken_for_something_else);
    tcase_add_test(tests, a_newer_file_is_refused_and_not_changed);
    tcase_add_test(tests, a_truncated_file_is_refused);
    tcase_add_test(tests, a_corrupt_page_is_told);
    tcase_add_test(tests, a_locked_file_is_busy_after_the_wait);
    tcase_add_test(tests, a_file_locked_while_it_is_opened_is_busy);
    tcase_add_test(tests, opening_again_keeps_the_lock);
    tcase_add_test(tests, a_file_that_was_replaced_is_not_written);
    tcase_add_test(tests, reading_never_writes);
    tcase_add_test(tests, permissions_are_told);
    tcase_add_test(tests, a_sound_file_opens_in_both_ways);
    tcase_add_test(tests, a_file_with_another_journal_is_switched_back);
    tcase_add_test(tests, closing_nothing_is_fine);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
