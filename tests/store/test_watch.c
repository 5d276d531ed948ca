/* Several people on one file: who changed something is seen and named, and nobody's change is lost. */
#include "store/steps.h"

static struct sg_store *store;

static void open_example(void)
{
    enter_folder();
    make_shop("shop.db", true);
    store = open_shop("shop.db", SG_STORE_WRITE);
}

static void close_example(void)
{
    sg_store_close(store);
    leave_folder();
}

/* Another process opens the file, does this and ends well. */
static void elsewhere(void (*act)(struct sg_store *other))
{
    pid_t child = fork();
    if (child == 0) {
        struct sg_store *other = open_shop("shop.db", SG_STORE_WRITE);
        act(other);
        sg_store_close(other);
        _exit(0);
    }
    int state;
    ck_assert_int_eq(waitpid(child, &state, 0), child);
    ck_assert(WIFEXITED(state) && WEXITSTATUS(state) == 0);
}

static void keep_a_step(struct sg_store *other)
{
    set_part(other, "office", 32, 1, "quantity", 7, "quantity of 2601/1/A: 20 -> 7");
}

static void take_it_back(struct sg_store *other)
{
    undoes(other, "office", 33, "quantity of 2601/1/A: 20 -> 7");
}

static void change_without_a_step(struct sg_store *other)
{
    begin(other);
    write_part(other, 2, "quantity", 7);
    ck_assert_int_eq(sg_store_commit(other, &error), SG_OK);
}

static void roll_back(struct sg_store *other)
{
    begin(other);
    write_part(other, 2, "quantity", 8);
    sg_store_rollback(other);
}

static void only_read(struct sg_store *other)
{
    ck_assert_str_eq(order_of(other), "2601 2602 2603 2604 2605");
}

static char news[2000];

static void note(void *context, const struct sg_step_told *step)
{
    int64_t *last = context;
    char line[600];
    snprintf(line, sizeof line, "%lld %s: %s\n", (long long)step->id, step->who, step->words);
    strcat(news, line);
    ck_assert_int_gt(step->id, *last); /* oldest first */
    *last = step->id;
}

static void news_are(int64_t *last, const char *expected)
{
    *news = '\0';
    ck_assert_msg(sg_store_news(store, *last, note, last, &error) == SG_OK, "%s", error.text);
    ck_assert_str_eq(news, expected);
}

START_TEST(another_process_is_seen_and_named)
{
    int64_t last = 0;
    ck_assert(!sg_store_moved(store));
    elsewhere(keep_a_step);
    ck_assert(sg_store_moved(store));
    ck_assert(!sg_store_moved(store)); /* told once */
    news_are(&last, "1 office: quantity of 2601/1/A: 20 -> 7\n");
    news_are(&last, "");
    elsewhere(take_it_back);
    ck_assert(sg_store_moved(store));
    news_are(&last, "2 office: undo: quantity of 2601/1/A: 20 -> 7\n");
}
END_TEST

START_TEST(what_changes_nothing_does_not_move)
{
    elsewhere(roll_back);
    ck_assert(!sg_store_moved(store));
    elsewhere(only_read);
    ck_assert(!sg_store_moved(store));
    elsewhere(change_without_a_step);
    ck_assert(sg_store_moved(store));
}
END_TEST

START_TEST(ones_own_steps_are_no_news)
{
    int64_t last = 0;
    set_part(store, "anna", 1, 1, "pierces", 7, "mine");
    ck_assert(!sg_store_moved(store));
    ck_assert_int_eq(sg_store_kept(store), 1);
    elsewhere(keep_a_step);
    ck_assert(sg_store_moved(store));
    set_part(store, "anna", 3, 1, "pierces", 8, "mine again");
    ck_assert(!sg_store_moved(store));
    ck_assert_int_eq(sg_store_kept(store), 3);
    undoes(store, "anna", 4, "mine again");
    ck_assert(!sg_store_moved(store));
    ck_assert_int_eq(sg_store_kept(store), 4);
    news_are(&last, "1 anna: mine\n2 office: quantity of 2601/1/A: 20 -> 7\n3 anna: mine again\n"
                    "4 anna: undo: mine again\n");
}
END_TEST

/* Seen between two looks, however much is read or written here meanwhile. */
START_TEST(a_change_is_not_missed_because_the_shop_was_loaded)
{
    elsewhere(keep_a_step);
    ck_assert_str_eq(order_of(store), "2601 2602 2603 2604 2605");
    set_part(store, "anna", 1, 3, "quantity", 8, "mine");
    ck_assert(sg_store_moved(store));
}
END_TEST

START_TEST(a_reader_sees_it_too)
{
    struct sg_store *reader = open_shop("shop.db", SG_STORE_READ);
    set_part(store, "anna", 1, 1, "pierces", 7, "mine");
    ck_assert(sg_store_moved(reader));
    ck_assert(!sg_store_moved(reader));
    sg_store_close(reader);
}
END_TEST

/* The wait of this connection is longer than the test may take: a look does not wait. */
START_TEST(a_look_does_not_wait_for_a_writer)
{
    struct sg_opening how = {sg_schema_steps, sg_schema_n_steps, 1000000};
    struct sg_store *patient = NULL;
    ck_assert_int_eq(sg_store_open_as("shop.db", SG_STORE_WRITE, &how, &patient, &error), SG_OK);
    ck_assert_int_eq(sg_store_run(store, "BEGIN EXCLUSIVE", &error), SG_OK);
    write_part(store, 1, "quantity", 8);
    ck_assert(!sg_store_moved(patient));
    ck_assert_int_eq(sg_store_run(store, "COMMIT", &error), SG_OK);
    ck_assert(sg_store_moved(patient));
    sg_store_close(patient);
}
END_TEST

/* ---- many writers ---- */

enum { WRITERS = 3, KEEPS = 200 };

/* One more piece of part 1 for the shop, and of a part of one's own; again where the file is in use. */
static int add_one(struct sg_store *other, int writer, int number)
{
    struct loaded loaded = {0};
    const struct sg_field *field = sg_field_find(SG_KIND_PART, "quantity");
    char words[60], who[20];
    int busy = 0;
    snprintf(words, sizeof words, "step %d of writer %d", number, writer);
    snprintf(who, sizeof who, "writer %d", writer);
    struct sg_step_note note = {who, minute(number), words};
    for (;; busy++) {
        enum sg_status status = sg_store_begin(other, &error);
        if (status == SG_OK) {
            load(other, &loaded);
            const int32_t rows[] = {0, 1 + writer};
            for (int i = 0; i < 2 && status == SG_OK; i++) {
                struct sg_part part = loaded.shop.parts[rows[i]];
                part.quantity++;
                status =
                    sg_store_update(other, SG_KIND_PART, part.row, &loaded.shop, &part, &field, 1, &error);
            }
            if (status == SG_OK)
                status = sg_store_keep(other, &note, &error);
        }
        sg_store_rollback(other);
        if (status == SG_OK)
            break;
        if (status != SG_BUSY)
            _exit(9);
    }
    sg_arena_free(&loaded.arena);
    return busy;
}

START_TEST(three_writers_lose_nothing)
{
    static const int before[] = {20, 36, 12, 12};
    for (int writer = 0; writer < WRITERS; writer++)
        if (fork() == 0) {
            struct sg_store *other = open_shop("shop.db", SG_STORE_WRITE);
            if (sg_store_run(other, "PRAGMA synchronous = OFF", &error) != SG_OK)
                _exit(8);
            for (int i = 0; i < KEEPS; i++)
                add_one(other, writer, i);
            sg_store_close(other);
            _exit(0);
        }
    for (int writer = 0; writer < WRITERS; writer++) {
        int state;
        ck_assert_int_gt(wait(&state), 0);
        ck_assert(WIFEXITED(state));
        ck_assert_int_eq(WEXITSTATUS(state), 0);
    }
    ck_assert(sg_store_moved(store));
    struct loaded loaded = {0};
    load(store, &loaded);
    ck_assert_int_eq(loaded.shop.parts[0].quantity, before[0] + WRITERS * KEEPS);
    for (int writer = 0; writer < WRITERS; writer++) {
        char sql[100];
        ck_assert_int_eq(loaded.shop.parts[1 + writer].quantity, before[1 + writer] + KEEPS);
        snprintf(sql, sizeof sql, "SELECT count(DISTINCT words) FROM step WHERE who = 'writer %d'", writer);
        ck_assert_int_eq(row_of(store, sql), KEEPS);
    }
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM step"), WRITERS * KEEPS);
    ck_assert_int_eq(row_of(store, "SELECT max(id) FROM step"), WRITERS * KEEPS);
    is_sound(store);
    sg_arena_free(&loaded.arena);
}
END_TEST

/* Two keep and take back their own without end; each is left with nothing done, and nothing of the other's.
 */
START_TEST(two_who_take_back_at_once_leave_the_shop_as_it_was)
{
    struct content before;
    read_content(store->db, &before);
    for (int writer = 0; writer < 2; writer++)
        if (fork() == 0) {
            struct sg_opening how = {sg_schema_steps, sg_schema_n_steps, 60000};
            struct sg_store *other = NULL;
            const char *who = writer ? "anna" : "office";
            if (sg_store_open_as("shop.db", SG_STORE_WRITE, &how, &other, &error) != SG_OK ||
                sg_store_run(other, "PRAGMA synchronous = OFF", &error) != SG_OK)
                _exit(8);
            for (int i = 0; i < 60; i++) {
                add_job(other, who, i, writer ? "a" : "o", "added");
                undoes(other, who, i, "added");
                redoes(other, who, i, "added");
                undoes(other, who, i, "added");
            }
            sg_store_close(other);
            _exit(0);
        }
    for (int writer = 0; writer < 2; writer++) {
        int state;
        ck_assert_int_gt(wait(&state), 0);
        ck_assert(WIFEXITED(state));
        ck_assert_int_eq(WEXITSTATUS(state), 0);
    }
    is_as(store, &before, "both undone");
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM step"), 2 * 60 * 4);
    is_sound(store);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("watch");
    TCase *tests = tcase_create("watch");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_test(tests, another_process_is_seen_and_named);
    tcase_add_test(tests, what_changes_nothing_does_not_move);
    tcase_add_test(tests, ones_own_steps_are_no_news);
    tcase_add_test(tests, a_change_is_not_missed_because_the_shop_was_loaded);
    tcase_add_test(tests, a_reader_sees_it_too);
    tcase_add_test(tests, a_look_does_not_wait_for_a_writer);
    tcase_add_test(tests, three_writers_lose_nothing);
    tcase_add_test(tests, two_who_take_back_at_once_leave_the_shop_as_it_was);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
