/* Shop files: made once, found or refused with a clear word, never harmed. */
#include "cli/json.h"
#include "cli/run.h"

static sqlite3 *open_database(const char *path)
{
    sqlite3 *db;
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    return db;
}

static void run_sql(sqlite3 *db, const char *sql)
{
    char *why = NULL;
    ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, &why) == SQLITE_OK, "%s: %s", sql, why);
}

static void change(const char *path, const char *sql)
{
    sqlite3 *db = open_database(path);
    run_sql(db, sql);
    sqlite3_close(db);
}

START_TEST(a_new_file_has_the_starter_library_and_no_jobs)
{
    struct ran ran = run("new", "shop.db", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.out, "");
    ck_says(ran.err, "made shop.db");
    done(&ran);
    ck_assert_int_eq(names_here(), 1);
    ck_quiet("check", "-f", "shop.db");
    ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_document(ran.out);
    ck_assert_int_eq(json_count(ran.out, "$.jobs"), 0);
    ck_assert_int_eq(json_count(ran.out, "$.answers.alone"), 0);
    ck_assert_str_eq(json_text(ran.out, "$.shift.id"), "A");
    ck_assert(json_seconds(ran.out, "$.shift.closes_at") - json_seconds(ran.out, "$.shift.starts_at") ==
              8 * 3600);
    ck_near(json_number(ran.out, "$.hopper[0].level_kg"), 600 * 0.45359237L, 1e-12L);
    done(&ran);
    static const char *const materials[] = {
        "steel, mild",        "stainless 304",    "aluminium 6061", "titanium", "copper",
        "glass, float",       "acrylic",          "polycarbonate",  "granite",  "aluminum",
        "foam, polyethylene", "rubber, neoprene", "mild steel",     "304",      "TITANIUM"};
    for (size_t i = 0; i < sizeof materials / sizeof *materials; i++) {
        char target[60];
        snprintf(target, sizeof target, "material:%s", materials[i]);
        ck_quiet("set", "-f", "shop.db", target, "--list");
    }
    ck_quiet("set", "-f", "shop.db", "machine:main", "--list");
    ck_quiet("set", "-f", "shop.db", "head:abrasive", "--list");
    ck_quiet("set", "-f", "shop.db", "head:water", "--list");
}
END_TEST

START_TEST(units_of_a_new_file_are_what_a_bare_number_means)
{
    ck_done("new", "us.db");
    ck_done("new", "--units", "us", "us2.db");
    ck_done("new", "m.db", "--units", "metric");
    static const struct {
        const char *file;
        double mm;
    } files[] = {{"us.db", 25.4}, {"us2.db", 25.4}, {"m.db", 1}};
    for (int i = 0; i < 3; i++) {
        ck_done("add", "-f", files[i].file, "job", "J");
        ck_done("add", "-f", files[i].file, "stock", "J", "material=titanium", "thickness=2");
        ck_done("add", "-f", files[i].file, "part", "J/1", "A", "cut_length=10");
        struct ran ran = run("plan", "-f", files[i].file, "--json", NULL);
        ck_near(json_number(ran.out, "$.jobs[0].stocks[0].thickness_mm"), 2 * files[i].mm, 1e-15);
        ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].cut_length_mm"), 10 * files[i].mm, 1e-15);
        done(&ran);
    }
}
END_TEST

START_TEST(nothing_is_made_over_a_file)
{
    make_shop();
    write_text("notes.txt", "not ours\n");
    ck_assert_int_eq(mkdir("folder", 0755), 0);
    static const char *const there[] = {"shop.db", "notes.txt"};
    for (int i = 0; i < 2; i++) {
        struct bytes before = bytes_of(there[i]), again = bytes_of(there[i]);
        ck_refused(6, "exists already", "new", there[i]);
        ck_refused(6, "exists already", "example", there[i]);
        ck_unchanged(there[i], &before);
        ck_unchanged(there[i], &again);
    }
    ck_refused(6, "folder", "new", "folder");
    ck_refused(6, "nowhere", "new", "nowhere/shop.db");
    ck_refused(6, "nowhere", "example", "nowhere/shop.db");
    ck_refused(6, "/proc", "new", "/proc/shop.db");
    ck_refused(6, "", "new", "");
    ck_assert_int_eq(symlink("nowhere.db", "link.db"), 0);
    ck_refused(6, "link.db", "new", "link.db");
    ck_assert_int_eq(names_here(), 4);
}
END_TEST

START_TEST(a_folder_that_may_not_be_written_is_6)
{
    if (geteuid() == 0)
        return; /* nothing is forbidden to root; /proc above stands for it */
    make_shop();
    ck_assert_int_eq(mkdir("locked", 0755), 0);
    ck_assert_int_eq(rename("shop.db", "locked/shop.db"), 0);
    ck_assert_int_eq(chmod("locked", 0555), 0);
    struct bytes before = bytes_of("locked/shop.db");
    ck_refused(6, "locked/new.db", "new", "locked/new.db");
    ck_quiet("plan", "-f", "locked/shop.db");
    ck_refused(6, "locked/shop.db", "set", "-f", "locked/shop.db", "shift:A", "start=7:00");
    ck_unchanged("locked/shop.db", &before);
    ck_assert_int_eq(chmod("locked", 0755), 0);
}
END_TEST

START_TEST(example_with_a_file_keeps_it)
{
    struct ran made = run("example", "shop.db", NULL), again = run("plan", "-f", "shop.db", NULL);
    ck_code(made, 0);
    ck_code(again, 0);
    ck_assert_str_eq(made.out, again.out);
    ck_assert_int_eq(names_here(), 1);
    done(&made);
    done(&again);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

/* ---- not ours ---- */

static void refused_by_all(int code, const char *path, const char *piece)
{
    ck_refused(code, piece, "plan", "-f", path);
    ck_refused(code, piece, "check", "-f", path);
    ck_refused(code, piece, "set", "-f", path, "shift:A", "start=7:00");
    ck_refused(code, piece, "add", "-f", path, "job", "J");
    ck_refused(code, piece, "sheet", "-f", path, "J");
    ck_refused(code, piece, "import", "-f", path, "J", "parts.csv");
    ck_refused(code, piece, "speed", "-f", path, "--material", "steel", "--thickness", "6mm");
}

START_TEST(what_is_no_shop_file_is_4_and_stays_as_it_is)
{
    write_text("text.db", "Dear customer,\nthis is no database, however long it may be.\n");
    write_text("empty.db", "");
    write_text("parts.csv", "part\nA\n");
    ck_assert_int_eq(mkdir("folder.db", 0755), 0);
    change("foreign.db", "CREATE TABLE shift (id); INSERT INTO shift VALUES (1)");
    struct bytes text = bytes_of("text.db"), foreign = bytes_of("foreign.db"), empty = bytes_of("empty.db");
    refused_by_all(4, "missing.db", "missing.db");
    refused_by_all(4, "no/shop.db", "no/shop.db");
    refused_by_all(4, "text.db", "text.db is not a sandglass shop file");
    refused_by_all(4, "empty.db", "empty.db is empty");
    refused_by_all(4, "folder.db", "folder.db is a folder");
    refused_by_all(4, "foreign.db", "foreign.db is a database, but not a sandglass shop file");
    ck_unchanged("text.db", &text);
    ck_unchanged("foreign.db", &foreign);
    ck_unchanged("empty.db", &empty);
    ck_assert_int_eq(names_here(), 5);
}
END_TEST

START_TEST(a_newer_file_is_7_and_stays_as_it_is)
{
    make_shop();
    write_text("parts.csv", "part\nA\n");
    change("shop.db", "PRAGMA user_version = 99");
    struct bytes before = bytes_of("shop.db");
    refused_by_all(7, "shop.db", "made by a newer sandglass");
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 2);
}
END_TEST

START_TEST(a_missing_file_is_named_with_where_its_name_came_from)
{
    ck_refused(4, "no shop file missing.db (from -f): `sandglass new FILE` makes one", "plan", "-f",
               "missing.db");
    const struct run_how variable = {.environment = {"SANDGLASS_FILE=gone.db"}};
    struct ran ran = run_how(&variable, "plan", NULL);
    ck_code(ran, 4);
    ck_says(ran.err, "no shop file gone.db (from $SANDGLASS_FILE)");
    ck_assert_str_eq(ran.out, "");
    done(&ran);
    const struct run_how homeless = {.environment = {"HOME="}};
    ran = run_how(&homeless, "plan", NULL);
    ck_code(ran, 4);
    ck_says(ran.err, "use -f FILE");
    done(&ran);
    ck_assert_int_eq(names_here(), 0);
}
END_TEST

START_TEST(check_finds_what_another_program_broke)
{
    ck_done("example", "shop.db");
    struct ran ran = run("check", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.out, "nothing wrong found\n");
    done(&ran);
    change("shop.db", "PRAGMA foreign_keys = OFF; UPDATE stock SET material_id = 9999 WHERE id = 1");
    struct bytes before = bytes_of("shop.db");
    ran = run("check", "-f", "shop.db", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, "stock");
    ck_says_not(ran.out, "nothing wrong");
    done(&ran);
    ran = run("check", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 1);
    ck_document(ran.out);
    ck_assert_int_ge(json_count(ran.out, "$.findings"), 1);
    done(&ran);
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(commands_that_read_change_no_byte)
{
    ck_done("example", "shop.db");
    struct bytes before = bytes_of("shop.db");
    ck_quiet("plan", "-f", "shop.db");
    ck_quiet("plan", "-f", "shop.db", "A", "--json");
    ck_quiet("plan", "-f", "shop.db", "shift:A", "--csv");
    ck_quiet("sheet", "-f", "shop.db", "2601");
    ck_quiet("check", "-f", "shop.db");
    ck_quiet("fields", "-f", "shop.db");
    ck_quiet("paths", "-f", "shop.db");
    ck_quiet("speed", "-f", "shop.db", "--material", "steel", "--thickness", "6");
    ck_quiet("set", "-f", "shop.db", "2601/1", "--list");
    ck_quiet("set", "-f", "shop.db", "2601/1", "edge=2", "--dry-run");
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
    ck_refused(3, "no shift \"B\"; the first is A", "plan", "-f", "shop.db", "B");
    ck_refused(3, "no job \"2699\"; jobs: 2601, 2602", "sheet", "-f", "shop.db", "2699");
    ck_refused(3, "a job sheet is of a JOB", "sheet", "-f", "shop.db", "2601/1");
}
END_TEST

/* The program waits 5 s for a lock; both waits run at the same time. */
START_TEST(a_file_that_stays_locked_is_5)
{
    make_shop();
    struct bytes before = bytes_of("shop.db");
    sqlite3 *db = open_database("shop.db");
    run_sql(db, "BEGIN IMMEDIATE");
    ck_quiet("plan", "-f", "shop.db"); /* who only looks is not kept out by one who has not written yet */
    run_sql(db, "ROLLBACK; BEGIN EXCLUSIVE");
    static const char *const set[] = {"set", "-f", "shop.db", "shift:A", "start=7:00", NULL},
                             *const plan[] = {"plan", "-f", "shop.db", NULL};
    struct running one = start_words(NULL, set), two = start_words(NULL, plan);
    struct ran ran = finish(one);
    ck_code(ran, 5);
    ck_says(ran.err, "shop.db");
    ck_assert_str_eq(ran.out, "");
    done(&ran);
    ran = finish(two);
    ck_code(ran, 5);
    ck_says(ran.err, "shop.db");
    ck_assert_str_eq(ran.out, "");
    done(&ran);
    run_sql(db, "ROLLBACK");
    sqlite3_close(db);
    ck_unchanged("shop.db", &before);
    ck_done("set", "-f", "shop.db", "shift:A", "start=7:00");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_new_file_has_the_starter_library_and_no_jobs);
    tcase_add_test(tcase, units_of_a_new_file_are_what_a_bare_number_means);
    tcase_add_test(tcase, nothing_is_made_over_a_file);
    tcase_add_test(tcase, a_folder_that_may_not_be_written_is_6);
    tcase_add_test(tcase, example_with_a_file_keeps_it);
    tcase_add_test(tcase, what_is_no_shop_file_is_4_and_stays_as_it_is);
    tcase_add_test(tcase, a_newer_file_is_7_and_stays_as_it_is);
    tcase_add_test(tcase, a_missing_file_is_named_with_where_its_name_came_from);
    tcase_add_test(tcase, check_finds_what_another_program_broke);
    tcase_add_test(tcase, commands_that_read_change_no_byte);
    tcase_add_test(tcase, a_file_that_stays_locked_is_5);
}

int main(void)
{
    return run_suite("files", fill);
}
