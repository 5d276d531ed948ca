/* The text under the fingers outlives its program and is offered to one. */
#include "edit/leaving.h"
#include "support/random.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>

/* ---- another program ---- */

struct other {
    pid_t pid;
    int said; /* read end: a byte for each thing that it has done */
};

/* Runs work in a process of its own, with where to say; it must not return. */
static struct other other_start(void (*work)(int say))
{
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    pid_t pid = fork();
    ck_assert_int_ge(pid, 0);
    if (pid == 0) {
        close(ends[0]);
        work(ends[1]);
        _exit(1);
    }
    close(ends[1]);
    return (struct other){.pid = pid, .said = ends[0]};
}

static void say(int to, char what)
{
    if (write(to, &what, 1) != 1)
        _exit(2);
}

static char hear(const struct other *other)
{
    char what;
    ck_assert_int_eq(read(other->said, &what, 1), 1);
    return what;
}

static void other_kill(struct other *other)
{
    int how;
    ck_assert_int_eq(kill(other->pid, SIGKILL), 0);
    ck_assert_int_eq(waitpid(other->pid, &how, 0), other->pid);
    ck_assert(WIFSIGNALED(how));
    close(other->said);
}

static void type_and_wait(int to)
{
    struct sg_left *left = left_new();
    put(left, "=12*4");
    put(left, "=12*4.5");
    struct sg_left_text text = text_of("=12*4.5");
    text.cursor = 3;
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_OK);
    say(to, 'p');
    for (;;)
        pause();
}

START_TEST(the_text_of_a_killed_program_is_found_as_it_was)
{
    struct other other = other_start(type_and_wait);
    hear(&other);
    ck_assert_int_eq(find(), 0); /* it lives */
    other_kill(&other);
    ck_assert_int_eq(find(), 1);
    struct sg_left_text be = text_of("=12*4.5");
    be.cursor = 3;
    ck_same(&found[0].text, &be);
    ck_assert(!found[0].replaced);
    drop_all();
    ck_assert_int_eq(find(), 0);
}
END_TEST

static void type_notes(int to)
{
    struct sg_left *left = left_new();
    for (int number = 0;; number++) {
        number_note(number);
        put(left, note);
        say(to, 'p');
    }
}

START_TEST(a_kill_at_any_moment_takes_the_last_key_at_most)
{
    struct random random = {0x9E3779B97F4A7C15u * (uint64_t)(_i + 1)};
    struct other other = other_start(type_notes);
    int heard = 1 + (int)random_below(&random, 200);
    for (int i = 0; i < heard; i++)
        hear(&other);
    other_kill(&other);
    ck_assert_int_eq(find(), 1);
    int number = atoi(found[0].text.text);
    ck_assert_int_ge(number, heard - 1);
    number_note(number);
    ck_assert_str_eq(found[0].text.text, note);
    drop_all();
}
END_TEST

/* ---- made, put, cleared ---- */

START_TEST(no_file_before_the_first_key_and_none_after_a_clean_end)
{
    char path[PATH];
    struct sg_left *left = left_new();
    ck_assert_int_eq(drafts(-1, path), 0);
    sg_left_clear(left);
    put(left, "1");
    put(left, "12");
    ck_assert_int_eq(drafts(-1, path), 1);
    sg_left_clear(left);
    ck_assert_int_eq(drafts(-1, path), 0);
    put(left, "3");
    sg_left_clear(left);
    sg_left_free(left);
    ck_assert_int_eq(drafts(-1, path), 0);
}
END_TEST

START_TEST(what_a_program_leaves_at_a_signal_is_found)
{
    leave("24");
    ck_assert_int_eq(find(), 1);
    struct sg_left_text be = text_of("24");
    ck_same(&found[0].text, &be);
    drop_all();
}
END_TEST

START_TEST(a_living_program_of_the_same_process_is_not_offered)
{
    struct sg_left *left = left_new();
    put(left, "24");
    ck_assert_int_eq(find(), 0);
    put(left, "245");
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    ck_assert_str_eq(found[0].text.text, "245");
    drop_all();
}
END_TEST

START_TEST(a_note_of_ten_thousand_characters_is_found)
{
    for (int i = 0; i < NOTE; i++)
        memcpy(note + 4 * i, "\xF0\x9F\x94\xA7", 5); /* four bytes each */
    struct sg_left *left = left_new();
    struct sg_left_text text = text_of(note);
    text.field = "note";
    text.before = "";
    text.cursor = 4 * 7777;
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_OK);
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    ck_same(&found[0].text, &text);
    drop_all();
}
END_TEST

START_TEST(three_thousand_rows_are_found)
{
    enum { ROWS = 3000, KEY = 24 };
    static char names[ROWS][KEY];
    static const char *keys[ROWS];
    for (int i = 0; i < ROWS; i++) {
        snprintf(names[i], KEY, "%d/%d/part %d", 2600 + i % 7, i % 11, i);
        keys[i] = names[i];
    }
    struct sg_left *left = left_new();
    struct sg_left_text text = text_of("40");
    text.keys = keys;
    text.n = ROWS;
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_OK);
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_OK);
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    ck_same(&found[0].text, &text);
    drop_all();
}
END_TEST

/* Records of all lengths one after another in one file, from program to program: the last is the one found.
 */
START_TEST(the_last_text_counts_however_long_each_is)
{
    struct random random = {7};
    static char text[200001];
    leave("first");
    for (int round = 0; round < 300; round++) {
        ck_assert_int_eq(find(), 1);
        struct sg_left *left = left_new();
        sg_left_take(left, &found[0]);
        let_go();
        for (unsigned puts = 1 + random_below(&random, 4); puts > 0; puts--) {
            size_t length = random_below(&random, random_below(&random, 4) == 0 ? 200000 : 9000);
            memset(text, 'a' + (int)random_below(&random, 26), length);
            text[length] = '\0';
            put(left, text);
        }
        sg_left_free(left);
        ck_assert_int_eq(find(), 1);
        ck_assert_msg(strcmp(found[0].text.text, text) == 0, "round %d", round);
        let_go();
    }
    find();
    drop_all();
}
END_TEST

START_TEST(a_swept_file_is_made_again)
{
    char path[PATH];
    struct sg_left *left = left_new();
    put(left, "1");
    the_only_draft(path);
    ck_assert_int_eq(unlink(path), 0);
    put(left, "12");
    the_only_draft(path);
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    ck_assert_str_eq(found[0].text.text, "12");
    drop_all();
}
END_TEST

/* ---- found once ---- */

START_TEST(two_who_look_do_not_both_get_it)
{
    leave("24");
    ck_assert_int_eq(find(), 1);
    struct sg_left_found *other = (struct sg_left_found *)1;
    int n = -1;
    ck_assert_int_eq(sg_left_find(shop, &other, &n, &error), SG_OK);
    ck_assert_int_eq(n, 0);
    ck_assert_ptr_null(other);
    let_go();
    ck_assert_int_eq(find(), 1); /* it was let go of */
    drop_all();
}
END_TEST

static int gate[2];

/* Looks when the gate opens, says how many it got, and holds them. */
static void look_and_hold(int to)
{
    char go;
    close(gate[1]);
    if (read(gate[0], &go, 1) != 0)
        _exit(3);
    find();
    say(to, (char)('0' + n_found));
    for (;;)
        pause();
}

START_TEST(of_many_that_start_at_once_one_gets_it)
{
    enum { LOOKERS = 6 };
    struct other others[LOOKERS];
    leave("24");
    ck_assert_int_eq(pipe(gate), 0);
    for (int i = 0; i < LOOKERS; i++)
        others[i] = other_start(look_and_hold);
    close(gate[0]);
    close(gate[1]); /* all see its end at once */
    int got = 0;
    for (int i = 0; i < LOOKERS; i++)
        got += hear(&others[i]) - '0';
    for (int i = 0; i < LOOKERS; i++)
        other_kill(&others[i]);
    ck_assert_int_eq(got, 1);
    ck_assert_int_eq(find(), 1); /* it is not lost with the one that got it */
    drop_all();
}
END_TEST

static void look_and_look(int to)
{
    say(to, 'p');
    for (;;) {
        if (find() > 0)
            say(to, 'f');
        let_go();
    }
}

/* A file is empty and not locked for a moment after it is made: one who looks then may not take it away. */
START_TEST(looking_takes_nothing_from_one_who_types)
{
    char path[PATH];
    struct stat info;
    struct other other = other_start(look_and_look);
    hear(&other);
    struct sg_left *left = left_new();
    for (int i = 0; i < 2000; i++) {
        put(left, "1");
        the_only_draft(path);
        ck_assert_int_eq(stat(path, &info), 0);
        ck_assert_int_gt(info.st_size, 0);
        sg_left_clear(left);
    }
    sg_left_free(left);
    ck_assert_int_eq(fcntl(other.said, F_SETFL, O_NONBLOCK), 0);
    char what;
    ck_assert_int_eq(read(other.said, &what, 1), -1); /* it found nothing */
    other_kill(&other);
    find();
    drop_all();
}
END_TEST

START_TEST(a_taken_text_goes_on_and_goes_away_with_its_field)
{
    char path[PATH], same[PATH];
    leave("24");
    the_only_draft(path);
    ck_assert_int_eq(find(), 1);
    struct sg_left *left = left_new();
    sg_left_take(left, &found[0]);
    sg_left_take(left, &found[0]); /* nothing more to take */
    let_go();
    ck_assert_int_eq(find(), 0); /* its new program lives */
    put(left, "240");
    the_only_draft(same);
    ck_assert_str_eq(path, same);
    sg_left_clear(left);
    sg_left_free(left);
    ck_assert_int_eq(drafts(-1, path), 0);
}
END_TEST

START_TEST(a_taken_text_is_safe_before_the_next_key)
{
    leave("24");
    ck_assert_int_eq(find(), 1);
    struct sg_left *left = left_new();
    put(left, "another");
    sg_left_take(left, &found[0]);
    let_go();
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    ck_assert_str_eq(found[0].text.text, "24");
    drop_all();
}
END_TEST

START_TEST(the_newest_comes_first)
{
    static const int order[] = {3, 1, 4, 0, 2};
    struct sg_left *lefts[5];
    for (int i = 0; i < 5; i++) {
        struct sg_left_text text = text_of("24");
        text.at = order[i];
        lefts[i] = left_new();
        ck_assert_int_eq(sg_left_put(lefts[i], &text, &error), SG_OK);
    }
    for (int i = 0; i < 5; i++)
        sg_left_free(lefts[i]);
    ck_assert_int_eq(find(), 5);
    for (int i = 0; i < 5; i++)
        ck_assert_double_eq(found[i].text.at, 4 - i);
    sg_left_drop(&found[1]);
    let_go();
    ck_assert_int_eq(find(), 4);
    drop_all();
}
END_TEST

/* ---- which shop ---- */

START_TEST(those_who_come_through_a_link_meet_at_the_file)
{
    char link_path[PATH];
    snprintf(link_path, sizeof link_path, "%s/link.db", folder);
    ck_assert_int_eq(symlink("shop.db", link_path), 0);
    struct sg_left *left = sg_left_new(link_path);
    put(left, "24");
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    let_go();
    ck_assert_int_eq(sg_left_find(link_path, &found, &n_found, &error), SG_OK);
    ck_assert_int_eq(n_found, 1);
    drop_all();
    ck_assert_int_eq(unlink(link_path), 0);
}
END_TEST

START_TEST(a_name_without_a_folder_means_this_one)
{
    ck_assert_int_eq(chdir(folder), 0);
    struct sg_left *left = sg_left_new("shop.db");
    put(left, "24");
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    let_go();
    ck_assert_int_eq(sg_left_find("shop.db", &found, &n_found, &error), SG_OK);
    ck_assert_int_eq(n_found, 1);
    drop_all();
}
END_TEST

START_TEST(another_shop_in_the_folder_is_not_asked)
{
    leave("24");
    char other[PATH];
    snprintf(other, sizeof other, "%s/hop.db", folder);
    ck_assert_int_eq(sg_left_find(other, &found, &n_found, &error), SG_OK);
    ck_assert_int_eq(n_found, 0);
    snprintf(other, sizeof other, "%s/shop.d", folder);
    ck_assert_int_eq(sg_left_find(other, &found, &n_found, &error), SG_OK);
    ck_assert_int_eq(n_found, 0);
    find();
    drop_all();
}
END_TEST

START_TEST(a_shop_file_that_was_replaced_is_told)
{
    leave("24");
    char other[PATH];
    snprintf(other, sizeof other, "%s/other.db", folder);
    put_file(other, "shop", 4);
    ck_assert_int_eq(rename(other, shop), 0);
    ck_assert_int_eq(find(), 1);
    ck_assert(found[0].replaced);
    struct sg_left *left = left_new();
    sg_left_take(left, &found[0]);
    let_go();
    put(left, "245");
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    ck_assert(!found[0].replaced); /* it was typed into this one since */
    drop_all();
}
END_TEST

static void add_typing(Suite *suite)
{
    TCase *tests = add_case(suite, "typing");
    tcase_add_test(tests, the_text_of_a_killed_program_is_found_as_it_was);
    tcase_add_loop_test(tests, a_kill_at_any_moment_takes_the_last_key_at_most, 0, 40);
    tcase_add_test(tests, no_file_before_the_first_key_and_none_after_a_clean_end);
    tcase_add_test(tests, what_a_program_leaves_at_a_signal_is_found);
    tcase_add_test(tests, a_living_program_of_the_same_process_is_not_offered);
    tcase_add_test(tests, a_note_of_ten_thousand_characters_is_found);
    tcase_add_test(tests, three_thousand_rows_are_found);
    tcase_add_test(tests, the_last_text_counts_however_long_each_is);
    tcase_add_test(tests, a_swept_file_is_made_again);
}

static void add_finding(Suite *suite)
{
    TCase *tests = add_case(suite, "finding");
    tcase_add_test(tests, two_who_look_do_not_both_get_it);
    tcase_add_test(tests, of_many_that_start_at_once_one_gets_it);
    tcase_add_test(tests, looking_takes_nothing_from_one_who_types);
    tcase_add_test(tests, a_taken_text_goes_on_and_goes_away_with_its_field);
    tcase_add_test(tests, a_taken_text_is_safe_before_the_next_key);
    tcase_add_test(tests, the_newest_comes_first);
    tcase_add_test(tests, those_who_come_through_a_link_meet_at_the_file);
    tcase_add_test(tests, a_name_without_a_folder_means_this_one);
    tcase_add_test(tests, another_shop_in_the_folder_is_not_asked);
    tcase_add_test(tests, a_shop_file_that_was_replaced_is_told);
}

int main(void)
{
    Suite *suite = suite_create("left");
    add_typing(suite);
    add_finding(suite);
    return run(suite);
}
