/* Looking for drafts and writing them harms nothing, and what was torn is not offered. */
#include "edit/leaving.h"

#include <signal.h>
#include <sys/resource.h>

/* ---- torn, empty, not ours ---- */

static unsigned char bytes[4096];

/* A draft that was left, read into bytes; its path and size. */
static size_t left_bytes(char *path)
{
    leave("24");
    the_only_draft(path);
    FILE *in = fopen(path, "rb");
    size_t size = fread(bytes, 1, sizeof bytes, in);
    fclose(in);
    ck_assert_uint_lt(size, sizeof bytes);
    return size;
}

START_TEST(a_torn_text_is_neither_offered_nor_kept)
{
    char path[PATH];
    size_t size = left_bytes(path);
    for (size_t cut = 8; cut < size; cut++) {
        put_file(path, bytes, cut);
        ck_assert_int_eq(find(), 0);
        ck_assert_int_eq(drafts(-1, path), 0);
    }
}
END_TEST

START_TEST(a_text_with_a_wrong_byte_is_not_offered)
{
    char path[PATH];
    size_t size = left_bytes(path);
    for (size_t at = 0; at < size; at++) {
        bytes[at] ^= 0x10;
        put_file(path, bytes, size);
        ck_assert_int_eq(find(), 0);
        bytes[at] ^= 0x10;
    }
    put_file(path, bytes, size); /* and as it was */
    ck_assert_int_eq(find(), 1);
    drop_all();
}
END_TEST

START_TEST(where_the_last_write_is_torn_the_one_before_is_offered)
{
    char path[PATH];
    struct stat info;
    struct sg_left *left = left_new();
    put(left, "2");
    put(left, "24");
    sg_left_free(left);
    the_only_draft(path);
    ck_assert_int_eq(stat(path, &info), 0);
    ck_assert_int_eq(truncate(path, info.st_size - 1), 0);
    ck_assert_int_eq(find(), 1);
    ck_assert_str_eq(found[0].text.text, "2");
    drop_all();
}
END_TEST

START_TEST(an_empty_one_of_ours_is_removed)
{
    char path[PATH];
    snprintf(path, sizeof path, "%s.draft-aB3dE6", shop);
    put_file(path, "", 0);
    ck_assert_int_eq(find(), 0);
    ck_assert_int_eq(access(path, F_OK), -1);
}
END_TEST

START_TEST(what_is_not_text_is_not_offered)
{
    char path[PATH];
    leave("2\xFF");
    ck_assert_int_eq(find(), 0);
    struct sg_left *left = left_new();
    struct sg_left_text text = text_of("\xC3\xA4");
    text.cursor = 1; /* within the character */
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_OK);
    sg_left_free(left);
    ck_assert_int_eq(find(), 0);
    while (drafts(0, path) > 0)
        ck_assert_int_eq(unlink(path), 0);
}
END_TEST

START_TEST(a_file_that_is_not_ours_is_left_alone)
{
    static const char *const others[] = {"a note to the office", "sgdraft2 of a later version", "SQLite",
                                         "s"};
    char path[PATH], got[100];
    snprintf(path, sizeof path, "%s.draft-backup", shop);
    put_file(path, others[_i], strlen(others[_i]));
    ck_assert_int_eq(find(), 0);
    FILE *in = fopen(path, "rb");
    ck_assert_ptr_nonnull(in);
    size_t size = fread(got, 1, sizeof got, in);
    fclose(in);
    ck_assert_uint_eq(size, strlen(others[_i]));
    ck_assert_int_eq(memcmp(got, others[_i], size), 0);
    ck_assert_int_eq(unlink(path), 0);
}
END_TEST

/* A whole draft under a name that none of ours has, behind a link, and things that are no files. */
START_TEST(names_links_folders_and_pipes_are_left_alone)
{
    char path[PATH], moved[PATH], names[3][PATH];
    static const char *const ends[] = {"link00", "folder", "pipe00"};
    left_bytes(path);
    snprintf(moved, sizeof moved, "%s.draft-longer0", shop);
    ck_assert_int_eq(rename(path, moved), 0);
    for (int i = 0; i < 3; i++)
        snprintf(names[i], PATH, "%s.draft-%s", shop, ends[i]);
    ck_assert_int_eq(symlink(moved, names[0]), 0);
    ck_assert_int_eq(mkdir(names[1], 0700), 0);
    ck_assert_int_eq(mkfifo(names[2], 0600), 0);
    ck_assert_int_eq(find(), 0);
    ck_assert_int_eq(unlink(moved), 0);
    ck_assert_int_eq(unlink(names[0]), 0);
    ck_assert_int_eq(rmdir(names[1]), 0);
    ck_assert_int_eq(unlink(names[2]), 0);
}
END_TEST

START_TEST(a_link_in_place_of_the_file_is_neither_followed_nor_removed)
{
    char path[PATH], victim[PATH];
    struct stat info;
    snprintf(victim, sizeof victim, "%s/victim", folder);
    put_file(victim, "whole", 5);
    struct sg_left *left = left_new();
    put(left, "1");
    the_only_draft(path);
    ck_assert_int_eq(unlink(path), 0);
    ck_assert_int_eq(symlink(victim, path), 0);
    if (_i == 1)
        put(left, "12"); /* else the field is closed next */
    sg_left_clear(left);
    sg_left_free(left);
    ck_assert_int_eq(stat(victim, &info), 0);
    ck_assert_int_eq(info.st_size, 5);
    ck_assert_int_eq(unlink(path), 0); /* the link is there still */
    ck_assert_int_eq(drafts(-1, path), 0);
    ck_assert_int_eq(unlink(victim), 0);
}
END_TEST

START_TEST(odd_characters_in_the_path_are_only_characters)
{
    snprintf(shop, sizeof shop, "%s/%%s '\"$(x)*?[a]\n\xC3\xA4.draft-abcdef", folder);
    char plain[PATH];
    snprintf(plain, sizeof plain, "%s/shop.db", folder);
    ck_assert_int_eq(rename(plain, shop), 0);
    leave("24");
    ck_assert_int_eq(find(), 1);
    ck_assert_str_eq(found[0].text.text, "24");
    drop_all();
}
END_TEST

START_TEST(who_may_write_the_shop_may_take_its_drafts)
{
    static const mode_t modes[][2] = {{0600, 0600}, {0644, 0600}, {0660, 0660}, {0664, 0660}, {0666, 0666}};
    char path[PATH];
    struct stat info;
    gid_t group = getegid();
    if (geteuid() == 0) {
        group = 4321; /* any that is not ours: only root can give a file away like that */
        ck_assert_int_eq(chown(shop, (uid_t)-1, group), 0);
    }
    ck_assert_int_eq(chmod(shop, modes[_i][0]), 0);
    leave("24");
    the_only_draft(path);
    ck_assert_int_eq(stat(path, &info), 0);
    ck_assert_uint_eq(info.st_mode & 0777, modes[_i][1]);
    if (modes[_i][1] & 0060)
        ck_assert_uint_eq(info.st_gid, group);
    find();
    drop_all();
}
END_TEST

/* ---- what cannot be written ---- */

START_TEST(a_folder_that_is_not_there_is_told_once_and_tried_again)
{
    char inner[PATH], path[PATH + 10];
    struct sg_left_text text = text_of("24");
    snprintf(inner, sizeof inner, "%s/inner", folder);
    snprintf(path, sizeof path, "%s/shop.db", inner);
    struct sg_left *left = sg_left_new(path);
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_NO_WRITE);
    ck_assert_ptr_nonnull(strstr(error.text, path));
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_NO);
    ck_assert_int_eq(sg_left_find(path, &found, &n_found, &error), SG_NO_FILE);
    sg_left_clear(left); /* the next field is told again */
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_NO_WRITE);
    ck_assert_int_eq(mkdir(inner, 0700), 0);
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_OK);
    sg_left_clear(left);
    sg_left_free(left);
    ck_assert_int_eq(rmdir(inner), 0);
}
END_TEST

/* A limit on the size of files stands for the full disk: the write ends early in the same way. */
START_TEST(a_full_disk_is_told_once_and_what_was_put_before_stays)
{
    struct rlimit before, small;
    struct sg_left_text text = text_of(note);
    number_note(1);
    signal(SIGXFSZ, SIG_IGN);
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &before), 0);
    small = before;
    small.rlim_cur = 5000;
    struct sg_left *left = left_new();
    put(left, "24");
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &small), 0);
    enum sg_status first = sg_left_put(left, &text, &error), then = sg_left_put(left, &text, &error);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &before), 0);
    ck_assert_int_eq(first, SG_NO_WRITE);
    ck_assert_int_eq(then, SG_NO);
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    ck_assert_str_eq(found[0].text.text, "24");
    left = left_new();
    sg_left_take(left, &found[0]);
    let_go();
    ck_assert_int_eq(sg_left_put(left, &text, &error), SG_OK);
    sg_left_free(left);
    ck_assert_int_eq(find(), 1);
    ck_assert_str_eq(found[0].text.text, note);
    drop_all();
}
END_TEST

static void add_harm(Suite *suite)
{
    TCase *tests = add_case(suite, "harm");
    tcase_add_test(tests, a_torn_text_is_neither_offered_nor_kept);
    tcase_add_test(tests, a_text_with_a_wrong_byte_is_not_offered);
    tcase_add_test(tests, where_the_last_write_is_torn_the_one_before_is_offered);
    tcase_add_test(tests, an_empty_one_of_ours_is_removed);
    tcase_add_test(tests, what_is_not_text_is_not_offered);
    tcase_add_loop_test(tests, a_file_that_is_not_ours_is_left_alone, 0, 4);
    tcase_add_test(tests, names_links_folders_and_pipes_are_left_alone);
    tcase_add_loop_test(tests, a_link_in_place_of_the_file_is_neither_followed_nor_removed, 0, 2);
    tcase_add_test(tests, odd_characters_in_the_path_are_only_characters);
    tcase_add_loop_test(tests, who_may_write_the_shop_may_take_its_drafts, 0, 5);
    tcase_add_test(tests, a_folder_that_is_not_there_is_told_once_and_tried_again);
    tcase_add_test(tests, a_full_disk_is_told_once_and_what_was_put_before_stays);
}

int main(void)
{
    Suite *suite = suite_create("left: harm");
    add_harm(suite);
    return run(suite);
}
