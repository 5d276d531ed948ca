/* Killed while writing: what was committed is there, what was not is not, and the file is sound. */
#include "store/common.h"

#include <signal.h>

static struct sg_error error;

static void make_example(void)
{
    enter_folder();
    make_shop("shop.db", true);
}

static struct sg_shop load(struct sg_store *store, struct sg_arena *arena)
{
    struct sg_shop shop;
    ck_assert_msg(sg_store_load(store, arena, &shop, &error) == SG_OK, "%s", error.text);
    return shop;
}

static void insert_parts(struct sg_store *store, const struct sg_shop *shop, int from, int to)
{
    struct sg_part part = sg_fresh_part;
    char id[20];
    int64_t row;
    part.id = id;
    part.note = "a note that takes some room, so that the pages of this part do not all fit into memory";
    for (int i = from; i < to; i++) {
        snprintf(id, sizeof id, "k%d", i);
        if (sg_store_insert(store, SG_KIND_PART, shop->stocks[0].row, shop, &part, &row, &error) != SG_OK)
            _exit(9);
    }
}

static int count_parts(enum sg_store_mode mode)
{
    struct sg_arena arena = {0};
    struct told told = {0};
    struct sg_store *store = open_shop("shop.db", mode);
    int n = load(store, &arena).n_parts;
    int found = sg_store_check(store, tell, &told, &error);
    ck_assert_msg(found == 0, "%s", told.text);
    sg_store_close(store);
    sg_arena_free(&arena);
    return n;
}

/* So many rows that the file itself has been written before the commit; the reader has to undo that. */
static void killed_before_commit(enum sg_store_mode mode)
{
    int before = count_parts(mode);
    pid_t child = fork();
    if (child == 0) {
        struct sg_arena arena = {0};
        struct sg_store *store = open_shop("shop.db", SG_STORE_WRITE);
        struct sg_shop shop = load(store, &arena);
        sg_store_begin(store, &error);
        insert_parts(store, &shop, 0, 30000);
        kill(getpid(), SIGKILL);
    }
    int state;
    ck_assert_int_eq(waitpid(child, &state, 0), child);
    ck_assert(WIFSIGNALED(state) && WTERMSIG(state) == SIGKILL);
    ck_assert(exists("shop.db-journal"));
    struct bytes half = bytes_of("shop.db");
    ck_assert_uint_gt(half.size, 1000000); /* the kill did leave the file half changed */
    free(half.at);
    ck_assert_int_eq(count_parts(mode), before);
}

START_TEST(a_writer_undoes_what_a_kill_left)
{
    killed_before_commit(SG_STORE_WRITE);
}
END_TEST

START_TEST(a_reader_undoes_what_a_kill_left)
{
    killed_before_commit(SG_STORE_READ);
}
END_TEST

/* The child commits one part after the other and says so each time; it is killed after the n-th word. */
START_TEST(what_was_said_to_be_kept_is_kept)
{
    int before = count_parts(SG_STORE_READ);
    for (int round = 0; round < 12; round++) {
        int words[2], expected = 3 + round;
        ck_assert_int_eq(pipe(words), 0);
        pid_t child = fork();
        if (child == 0) {
            struct sg_arena arena = {0};
            struct sg_store *store = open_shop("shop.db", SG_STORE_WRITE);
            struct sg_shop shop = load(store, &arena);
            for (int i = 0;; i++) {
                if (sg_store_begin(store, &error) != SG_OK)
                    _exit(8);
                insert_parts(store, &shop, round * 100000 + i, round * 100000 + i + 1);
                if (sg_store_commit(store, &error) != SG_OK || write(words[1], "k", 1) != 1)
                    _exit(7);
            }
        }
        close(words[1]);
        int heard = 0, more;
        char word[64];
        while (heard < expected) {
            ck_assert_int_eq(read(words[0], word, 1), 1);
            heard++;
        }
        kill(child, SIGKILL);
        ck_assert_int_eq(waitpid(child, NULL, 0), child);
        while ((more = (int)read(words[0], word, sizeof word)) > 0)
            heard += more; /* said before the kill came through */
        close(words[0]);
        int kept = count_parts(SG_STORE_READ) - before;
        ck_assert_msg(kept == heard || kept == heard + 1, "%d said, %d kept", heard, kept);
        before += kept;
    }
}
END_TEST

/* Killed somewhere in a long commit: all of it or nothing. */
START_TEST(a_commit_is_whole_or_nothing)
{
    enum { MANY = 2000 };
    int before = count_parts(SG_STORE_READ);
    for (int round = 0; round < 30; round++) {
        int ready[2];
        ck_assert_int_eq(pipe(ready), 0);
        pid_t child = fork();
        if (child == 0) {
            struct sg_arena arena = {0};
            struct sg_store *store = open_shop("shop.db", SG_STORE_WRITE);
            struct sg_shop shop = load(store, &arena);
            sg_store_begin(store, &error);
            insert_parts(store, &shop, round * MANY, (round + 1) * MANY);
            if (write(ready[1], "x", 1) != 1)
                _exit(7);
            _exit(sg_store_commit(store, &error));
        }
        char byte;
        ck_assert_int_eq(read(ready[0], &byte, 1), 1);
        for (volatile int spin = 0; spin < round * 60000; spin++)
            ;
        kill(child, SIGKILL);
        ck_assert_int_eq(waitpid(child, NULL, 0), child);
        close(ready[0]);
        close(ready[1]);
        int after = count_parts(SG_STORE_READ);
        ck_assert_msg(after == before || after == before + MANY, "%d, then %d", before, after);
        before = after;
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("kill");
    TCase *tests = tcase_create("kill");
    tcase_add_checked_fixture(tests, make_example, leave_folder);
    tcase_add_test(tests, a_writer_undoes_what_a_kill_left);
    tcase_add_test(tests, a_reader_undoes_what_a_kill_left);
    tcase_add_test(tests, what_was_said_to_be_kept_is_kept);
    tcase_add_test(tests, a_commit_is_whole_or_nothing);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
