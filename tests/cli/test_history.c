/* history, undo and redo; and a command that is killed in the middle, which leaves all of its step or none.
 */
#include "cli/json.h"
#include "cli/run.h"

/* Every field of the plan's tables in one text, read by SQLite itself. Free with free(). */
static char *dump(void)
{
    static const char *const tables[] = {"setting", "machine", "head",  "material", "shift",
                                         "chore",   "job",     "stock", "part",     "what_if"};
    struct bytes text = {0};
    sqlite3 *db;
    sqlite3_stmt *rows;
    add_bytes(&text, "", 0);
    ck_assert_int_eq(sqlite3_open_v2("shop.db", &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) {
        char sql[60];
        snprintf(sql, sizeof sql, "SELECT * FROM %s ORDER BY 1", tables[i]);
        ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &rows, NULL), SQLITE_OK);
        add_bytes(&text, tables[i], strlen(tables[i]));
        while (sqlite3_step(rows) == SQLITE_ROW) {
            add_bytes(&text, "\n", 1);
            for (int column = 0; column < sqlite3_column_count(rows); column++) {
                const char *value = (const char *)sqlite3_column_text(rows, column);
                value = value ? value : "NULL";
                add_bytes(&text, value, strlen(value));
                add_bytes(&text, "|", 1);
            }
        }
        ck_assert_int_eq(sqlite3_finalize(rows), SQLITE_OK);
    }
    ck_assert_int_eq(sqlite3_close(db), SQLITE_OK);
    return text.at;
}

static int steps(void)
{
    struct ran ran = run("history", "-f", "shop.db", "--json", "--limit", "0", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    int n = json_count(ran.out, "$.steps");
    done(&ran);
    return n;
}

#define as(who, ...) run_how(&(struct run_how){.environment = {"SANDGLASS_WHO=" who}}, __VA_ARGS__, NULL)

#define ck_as(who, ...)                                                                                      \
    do {                                                                                                     \
        struct ran as_ = as(who, __VA_ARGS__);                                                               \
        ck_code(as_, 0);                                                                                     \
        done(&as_);                                                                                          \
    } while (0)

/* ---- history ---- */

START_TEST(a_file_that_nobody_changed_has_no_history)
{
    ck_done("example", "shop.db");
    struct ran ran = run("history", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "nothing was changed yet\n");
    done(&ran);
    ck_assert_int_eq(steps(), 0);
    ck_refused(1, "nothing of yours to undo", "undo", "-f", "shop.db");
    ck_refused(1, "nothing of yours to redo", "redo", "-f", "shop.db");
}
END_TEST

START_TEST(the_history_reads_latest_first_with_who_and_words)
{
    ck_done("example", "shop.db");
    double from = (double)time(NULL);
    ck_as("office", "set", "-f", "shop.db", "2601/1/A", "quantity=16", "pierces=6");
    ck_as("floor", "add", "-f", "shop.db", "job", "2700");
    ck_as("floor", "undo", "-f", "shop.db");
    double to = (double)time(NULL) + 1;
    struct ran ran = run("history", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    const char *third = strstr(ran.out, "\n   3  "), *second = strstr(ran.out, "\n   2  "),
               *first = strstr(ran.out, "\n   1  ");
    ck_assert(third && second && first && third < second && second < first);
    ck_says(third, "floor           undo: 2700 added\n");
    ck_says(second, "floor   undone  2700 added\n");
    ck_says(first, "office          quantity of 2601/1/A: 20 -> 16; pierces of 2601/1/A: 5 -> 6\n");
    done(&ran);
    ran = run("history", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_assert_int_eq(json_count(ran.out, "$.steps"), 3);
    for (int i = 0; i < 3; i++) {
        char at[40];
        snprintf(at, sizeof at, "$.steps[%d]", i);
        ck_keys(ran.out, at, "step:integer at:text who:text kind:text words:text undone:bool");
        strcat(at, ".at");
        ck_assert(json_seconds(ran.out, at) >= from - 0.001 && json_seconds(ran.out, at) <= to);
    }
    ck_assert(json_number(ran.out, "$.steps[0].step") == 3);
    ck_assert_str_eq(json_text(ran.out, "$.steps[0].kind"), "undo");
    ck_assert_str_eq(json_text(ran.out, "$.steps[1].kind"), "change");
    ck_assert_str_eq(json_type(ran.out, "$.steps[1].undone"), "true");
    ck_assert_str_eq(json_type(ran.out, "$.steps[2].undone"), "false");
    ck_assert_str_eq(json_text(ran.out, "$.steps[2].who"), "office");
    done(&ran);
}
END_TEST

START_TEST(the_history_is_as_long_as_asked)
{
    ck_done("example", "shop.db");
    for (int i = 1; i <= 25; i++) {
        char quantity[30];
        snprintf(quantity, sizeof quantity, "quantity=%d", 100 + i);
        ck_as("office", "set", "-f", "shop.db", "2601/1/A", quantity);
    }
    static const struct {
        const char *limit;
        int n;
    } asked[] = {{"1", 1}, {"7", 7}, {"0", 25}, {"100", 25}};
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++) {
        struct ran ran = run("history", "-f", "shop.db", "--json", "--limit", asked[i].limit, NULL);
        ck_code(ran, 0);
        ck_assert_int_eq(json_count(ran.out, "$.steps"), asked[i].n);
        ck_assert(json_number(ran.out, "$.steps[0].step") == 25);
        done(&ran);
    }
    struct ran ran = run("history", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.steps"), 20);
    done(&ran);
    static const char *const wrong[] = {"x", "-1", "1.5", "", "1000001", "3 "};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        ck_refused(2, "--limit is a whole number", "history", "-f", "shop.db", "--limit", wrong[i]);
    ck_refused(4, "there is no shop file", "history", "-f", "none.db");
    ck_refused(2, "usage: sandglass history", "history", "-f", "shop.db", "5");
}
END_TEST

START_TEST(reading_the_history_changes_nothing)
{
    ck_done("example", "shop.db");
    ck_as("office", "set", "-f", "shop.db", "2601/1/A", "quantity=16");
    struct bytes before = bytes_of("shop.db");
    ck_done("history", "-f", "shop.db");
    ck_done("history", "-f", "shop.db", "--json");
    ck_done("set", "-f", "shop.db", "2601/1/A", "quantity=17", "--dry-run");
    ck_done("try", "set", "-f", "shop.db", "2601/1/A", "quantity=17");
    ck_refused(3, "quantity=x", "set", "-f", "shop.db", "2601/1/A", "quantity=x");
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

static void ck_signed(const char *environment, const char *more, const char *who)
{
    const struct run_how how = {.environment = {environment, more}};
    struct ran ran = run_how(&how, "add", "-f", "shop.db", "chore", who, NULL);
    ck_code(ran, 0);
    done(&ran);
    ran = run("history", "-f", "shop.db", "--json", "--limit", "1", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.steps[0].who"), who);
    done(&ran);
}

START_TEST(a_step_is_signed_by_the_name_that_the_shop_gave)
{
    make_shop();
    ck_signed("SANDGLASS_WHO=early shift", "LOGNAME=shop", "early shift");
    ck_signed("LOGNAME=shop", "USER=other", "shop");
    ck_signed("SANDGLASS_WHO=", "USER=other", "other");
    ck_signed("SANDGLASS_WHO=fr\xC3\xBCh", NULL, "fr\xC3\xBCh");
    /* what a terminal would act on is not written down */
    const struct run_how how = {.environment = {"SANDGLASS_WHO=a\033[31mb"}};
    struct ran ran = run_how(&how, "add", "-f", "shop.db", "job", "2700", NULL);
    ck_code(ran, 0);
    done(&ran);
    ran = run("history", "-f", "shop.db", "--json", "--limit", "1", NULL);
    ck_assert_str_eq(json_text(ran.out, "$.steps[0].who"), "a [31mb");
    done(&ran);
}
END_TEST

/* ---- undo and redo ---- */

START_TEST(undo_and_redo_say_what_they_took_and_what_the_shift_is_then)
{
    ck_done("example", "shop.db");
    char *before = dump();
    ck_as("office", "set", "-f", "shop.db", "2601/1/A", "quantity=16");
    char *after = dump();
    ck_assert_str_ne(before, after);
    struct ran plan = run("plan", "-f", "shop.db", "--json", NULL);
    struct ran ran = as("office", "undo", "-f", "shop.db");
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_assert_ptr_eq(strstr(ran.out, "undone: quantity of 2601/1/A: 20 -> 16\nends 14:41, 0:11 over"),
                     ran.out);
    done(&ran);
    char *now = dump();
    ck_assert_str_eq(now, before);
    free(now);
    ran = as("office", "redo", "-f", "shop.db", "--json");
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_keys(ran.out, "$", "redone:text step:integer answers:object");
    ck_assert_str_eq(json_text(ran.out, "$.redone"), "quantity of 2601/1/A: 20 -> 16");
    ck_assert(json_number(ran.out, "$.step") == 1);
    ck_assert_str_eq(json_text(ran.out, "$.answers.ends_at"), json_text(plan.out, "$.answers.ends_at"));
    done(&ran);
    now = dump();
    ck_assert_str_eq(now, after);
    free(now);
    ran = as("office", "undo", "-f", "shop.db", "--json");
    ck_code(ran, 0);
    ck_keys(ran.out, "$", "undone:text step:integer answers:object");
    done(&ran);
    done(&plan);
    free(before);
    free(after);
    ck_quiet("check", "-f", "shop.db");
}
END_TEST

static void ck_no(struct ran ran, int code, const char *why, const char *before)
{
    ck_code(ran, code);
    ck_says(ran.err, why);
    ck_assert_str_eq(ran.out, "");
    done(&ran);
    char *now = dump();
    ck_assert_str_eq(now, before);
    free(now);
}

START_TEST(what_cannot_be_taken_back_says_who_is_in_the_way)
{
    ck_done("example", "shop.db");
    ck_as("office", "set", "-f", "shop.db", "2601/1/A", "quantity=16");
    ck_as("floor", "set", "-f", "shop.db", "2601/1/A", "quantity=18");
    char *before = dump();
    ck_no(as("office", "undo", "-f", "shop.db"), 3, "floor changed it at ", before);
    ck_no(as("office", "undo", "-f", "shop.db", "--json"), 3, "quantity of 2601/1/A: 16 -> 18", before);
    ck_no(as("gate", "undo", "-f", "shop.db"), 1, "nothing of yours to undo", before);
    ck_no(as("office", "redo", "-f", "shop.db"), 1, "nothing of yours to redo", before);
    ck_no(as("office", "undo", "-f", "shop.db", "2601"), 2, "usage: sandglass undo", before);
    ck_no(as("office", "undo", "-f", "none.db"), 4, "there is no shop file", before);
    ck_assert_int_eq(steps(), 2);
    free(before);
    ck_as("floor", "undo", "-f", "shop.db");
    ck_as("office", "undo", "-f", "shop.db");
    ck_as("office", "set", "-f", "shop.db", "2602/1/A", "quantity=13");
    before = dump();
    ck_no(as("office", "redo", "-f", "shop.db"), 1, "since you took back", before);
    free(before);
}
END_TEST

/* ---- killed in the middle ---- */

enum { ROUNDS = 20, LINES = 300 };

static void write_list(void)
{
    struct bytes list = {0};
    const char *head = "part,quantity,cut length,pierces,length,width\n";
    add_bytes(&list, head, strlen(head));
    for (int i = 0; i < LINES; i++) {
        char line[80];
        add_bytes(&list, line, (size_t)snprintf(line, sizeof line, "L%d,%d,300,2,60,40\n", i, 1 + i % 9));
    }
    write_bytes("list.csv", list.at, list.size);
    free(list.at);
}

static const char *const killed[][8] = {
    {"set", "-f", "shop.db", "2601/1/A", "quantity=77", "pierces=8", "note=all or nothing"},
    {"import", "-f", "shop.db", "2602/1", "list.csv"},
    {"undo", "-f", "shop.db"},
    {"remove", "-f", "shop.db", "2605"},
};
enum { KILLED = sizeof killed / sizeof *killed };

/* Where it is to be killed: in an even round some time after its start, else so much after it began to write,
 * which its journal shows. False where it came to its end before. */
static bool kill_in_round(struct running running, int round, double whole_s)
{
    double start = seconds_now(), wait_s = round % 2 == 0 ? whole_s * 1.1 * round / ROUNDS : 0;
    int status;
    while (round % 2 && access("shop.db-journal", F_OK) != 0 && seconds_now() < start + 10 * whole_s)
        if (waitpid(running.pid, &status, WNOHANG | WNOWAIT) != 0)
            break;
    if (round % 2)
        start = seconds_now();
    wait_s = round % 2 ? (round / 2) * 3e-5 : wait_s;
    while (seconds_now() < start + wait_s)
        ;
    kill(running.pid, SIGKILL);
    struct ran ran = finish(running);
    bool was_killed = ran.code == 1000 + SIGKILL;
    if (!was_killed)
        ck_code(ran, 0);
    done(&ran);
    return was_killed;
}

static double run_whole(const char *const *words)
{
    double start = seconds_now();
    struct ran ran = finish(start_words(NULL, words));
    ck_code(ran, 0);
    done(&ran);
    return seconds_now() - start;
}

START_TEST(a_killed_command_leaves_all_of_its_step_or_none)
{
    const char *const *words = killed[_i];
    int n_killed = 0, n_hot = 0;
    ck_done("example", "shop.db");
    write_list();
    ck_done("import", "-f", "shop.db", "2605/2", "list.csv");
    int steps_before = steps();
    struct bytes file = bytes_of("shop.db");
    char *before = dump();
    double whole_s = run_whole(words);
    char *after = dump();
    ck_assert_str_ne(before, after);
    for (int round = 0; round < ROUNDS; round++) {
        write_bytes("shop.db", file.at, file.size);
        bool was_killed = kill_in_round(start_words(NULL, words), round, whole_s);
        n_killed += was_killed;
        n_hot += access("shop.db-journal", F_OK) == 0;
        ck_quiet("check", "-f", "shop.db");
        int n_steps = steps() - steps_before;
        char *now = dump();
        ck_assert_msg(strcmp(now, n_steps ? after : before) == 0 && (n_steps == 0 || n_steps == 1),
                      "%s, round %d: %d steps more, and another plan than that", words[0], round, n_steps);
        ck_assert(n_steps == 1 || was_killed); /* what came to its end is kept */
        if (n_steps == 0) {                    /* nothing is left that would keep the next one from it */
            run_whole(words);
            free(now);
            now = dump();
            ck_assert_str_eq(now, after);
        }
        free(now);
        ck_assert_int_eq(names_here(), 2);
    }
    printf("%s: %d of %d killed, %d of them while they wrote\n", words[0], n_killed, ROUNDS, n_hot);
    ck_assert_int_ge(n_killed, 1); /* the first is killed as soon as it is started */
    free(file.at);
    free(before);
    free(after);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_file_that_nobody_changed_has_no_history);
    tcase_add_test(tcase, the_history_reads_latest_first_with_who_and_words);
    tcase_add_test(tcase, the_history_is_as_long_as_asked);
    tcase_add_test(tcase, reading_the_history_changes_nothing);
    tcase_add_test(tcase, a_step_is_signed_by_the_name_that_the_shop_gave);
    tcase_add_test(tcase, undo_and_redo_say_what_they_took_and_what_the_shift_is_then);
    tcase_add_test(tcase, what_cannot_be_taken_back_says_who_is_in_the_way);
    tcase_add_loop_test(tcase, a_killed_command_leaves_all_of_its_step_or_none, 0, KILLED);
}

int main(void)
{
    return run_suite("history", fill);
}
