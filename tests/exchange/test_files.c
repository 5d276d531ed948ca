#define _XOPEN_SOURCE 700
#include "exchange/exchange.h"

#include <check.h>
#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char folder[1024], path[1100];
static struct sg_error error;

static void make_folder(void)
{
    snprintf(folder, sizeof folder, "%s/files-XXXXXX", SCRATCH);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/out.csv", folder);
    error = (struct sg_error){0};
}

/* Names in the folder, hidden ones too. */
static int count_names(void)
{
    DIR *open_folder = opendir(folder);
    int names = -2; /* . and .. */
    while (readdir(open_folder))
        names++;
    closedir(open_folder);
    return names;
}

static void remove_folder(void)
{
    DIR *open_folder = opendir(folder);
    for (struct dirent *entry; (entry = readdir(open_folder));)
        unlinkat(dirfd(open_folder), entry->d_name, 0);
    closedir(open_folder);
    ck_assert_int_eq(rmdir(folder), 0);
}

static void expect_content(const char *expected)
{
    char *data = NULL;
    size_t length = 0;
    ck_assert_int_eq(sg_file_read(path, 1 << 20, &data, &length, &error), SG_OK);
    ck_assert_uint_eq(length, strlen(expected));
    ck_assert_str_eq(data, expected);
    free(data);
}

static enum sg_status write_text(const char *text, bool replace)
{
    return sg_file_write(path, text, strlen(text), replace, &error);
}

static mode_t mode_of_path(void)
{
    struct stat info;
    ck_assert_int_eq(stat(path, &info), 0);
    return info.st_mode & 0777;
}

START_TEST(writes_and_reads_back)
{
    ck_assert_int_eq(write_text("a,b\r\n", false), SG_OK);
    expect_content("a,b\r\n");
    ck_assert_int_eq(write_text("", true), SG_OK);
    expect_content("");
    ck_assert_int_eq(count_names(), 1);
}
END_TEST

START_TEST(an_existing_file_is_replaced_only_when_told)
{
    ck_assert_int_eq(write_text("first", false), SG_OK);
    ck_assert_int_eq(write_text("second", false), SG_NO_WRITE);
    ck_assert_ptr_nonnull(strstr(error.text, path));
    ck_assert_ptr_nonnull(strstr(error.text, "exists already"));
    expect_content("first");
    ck_assert_int_eq(write_text("second", true), SG_OK);
    expect_content("second");
    ck_assert_int_eq(count_names(), 1);
}
END_TEST

START_TEST(of_many_writers_at_once_one_gets_the_new_name)
{
    enum { WRITERS = 12 };
    int good = 0, refused = 0;
    for (int i = 0; i < WRITERS; i++)
        if (fork() == 0) {
            char text[20];
            snprintf(text, sizeof text, "writer %d", i);
            _exit(write_text(text, false));
        }
    for (int i = 0; i < WRITERS; i++) {
        int status = 0;
        wait(&status);
        good += WEXITSTATUS(status) == SG_OK;
        refused += WEXITSTATUS(status) == SG_NO_WRITE;
    }
    ck_assert_int_eq(good, 1);
    ck_assert_int_eq(refused, WRITERS - 1);
    ck_assert_int_eq(count_names(), 1);
}
END_TEST

START_TEST(a_write_that_fails_half_way_leaves_all_as_it_was)
{
    static char large[100000];
    memset(large, 'x', sizeof large);
    ck_assert_int_eq(write_text("old", false), SG_OK);
    signal(SIGXFSZ, SIG_IGN);
    struct rlimit before, small = {5000, 5000};
    getrlimit(RLIMIT_FSIZE, &before);
    small.rlim_max = before.rlim_max;
    setrlimit(RLIMIT_FSIZE, &small);
    enum sg_status status = sg_file_write(path, large, sizeof large, true, &error);
    setrlimit(RLIMIT_FSIZE, &before);
    ck_assert_int_eq(status, SG_NO_WRITE);
    ck_assert_ptr_nonnull(strstr(error.text, "File too large"));
    expect_content("old");
    ck_assert_int_eq(count_names(), 1);
}
END_TEST

START_TEST(the_umask_holds_and_a_replaced_file_keeps_its_mode)
{
    mode_t before = umask(027);
    ck_assert_int_eq(write_text("1", false), SG_OK);
    umask(before);
    ck_assert_uint_eq(mode_of_path(), 0640);
    chmod(path, 0600);
    ck_assert_int_eq(write_text("2", true), SG_OK);
    ck_assert_uint_eq(mode_of_path(), 0600);
}
END_TEST

START_TEST(a_link_that_is_replaced_stays_a_link)
{
    char link_path[1100];
    snprintf(link_path, sizeof link_path, "%s/link.csv", folder);
    ck_assert_int_eq(write_text("old", false), SG_OK);
    ck_assert_int_eq(symlink("out.csv", link_path), 0);
    ck_assert_int_eq(sg_file_write(link_path, "new", 3, false, &error), SG_NO_WRITE);
    expect_content("old");
    ck_assert_int_eq(sg_file_write(link_path, "new", 3, true, &error), SG_OK);
    expect_content("new");
    struct stat info;
    ck_assert_int_eq(lstat(link_path, &info), 0);
    ck_assert(S_ISLNK(info.st_mode));
}
END_TEST

START_TEST(a_device_and_a_folder_are_not_renamed_over)
{
    ck_assert_int_eq(mkfifo(path, 0600), 0);
    ck_assert_int_eq(write_text("x", true), SG_NO_WRITE);
    ck_assert_ptr_nonnull(strstr(error.text, "not a regular file"));
    ck_assert_int_eq(sg_file_write(folder, "x", 1, true, &error), SG_NO_WRITE);
    ck_assert_int_eq(sg_file_write(folder, "x", 1, false, &error), SG_NO_WRITE);
    ck_assert_int_eq(count_names(), 1);
}
END_TEST

START_TEST(names_without_folder_go_to_the_working_folder)
{
    char before[4096];
    ck_assert_ptr_nonnull(getcwd(before, sizeof before));
    ck_assert_int_eq(chdir(folder), 0);
    enum sg_status status = sg_file_write("out.csv", "here", 4, false, &error);
    ck_assert_int_eq(chdir(before), 0);
    ck_assert_int_eq(status, SG_OK);
    expect_content("here");
}
END_TEST

START_TEST(errors_name_the_path_and_the_reason)
{
    char *data = NULL;
    size_t length = 7;
    ck_assert_int_eq(sg_file_read(path, 100, &data, &length, &error), SG_NO_FILE);
    ck_assert_ptr_nonnull(strstr(error.text, path));
    ck_assert_ptr_nonnull(strstr(error.text, "No such file"));
    ck_assert_int_eq(sg_file_read(folder, 100, &data, &length, &error), SG_NO_FILE);
    ck_assert_ptr_nonnull(strstr(error.text, "directory"));
    ck_assert_ptr_null(data);
    ck_assert_uint_eq(length, 7);
    strcat(path, "/no/folder");
    ck_assert_int_eq(write_text("x", false), SG_NO_WRITE);
    ck_assert_ptr_nonnull(strstr(error.text, "No such file"));
    memset(path, 'n', 300);
    path[300] = '\0';
    ck_assert_int_eq(write_text("x", false), SG_NO_WRITE);
    ck_assert_ptr_nonnull(strstr(error.text, "File name too long"));
}
END_TEST

START_TEST(the_limit_is_the_largest_size_that_is_read)
{
    char *data = NULL;
    size_t length = 0;
    ck_assert_int_eq(write_text("12345", false), SG_OK);
    ck_assert_int_eq(sg_file_read(path, 5, &data, &length, &error), SG_OK);
    free(data);
    data = NULL;
    ck_assert_int_eq(sg_file_read(path, 4, &data, &length, &error), SG_BAD_DATA);
    ck_assert_ptr_nonnull(strstr(error.text, "more than 4 bytes"));
    ck_assert_ptr_null(data);
}
END_TEST

START_TEST(a_single_dash_is_standard_input)
{
    char *data = NULL;
    size_t length = 0;
    ck_assert_int_eq(write_text("typed", false), SG_OK);
    int file = open(path, O_RDONLY);
    ck_assert_int_eq(dup2(file, STDIN_FILENO), STDIN_FILENO);
    close(file);
    ck_assert_int_eq(sg_file_read("-", 100, &data, &length, &error), SG_OK);
    ck_assert_str_eq(data, "typed");
    free(data);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("files");
    TCase *tests = tcase_create("files");
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    tcase_add_test(tests, writes_and_reads_back);
    tcase_add_test(tests, an_existing_file_is_replaced_only_when_told);
    tcase_add_test(tests, of_many_writers_at_once_one_gets_the_new_name);
    tcase_add_test(tests, a_write_that_fails_half_way_leaves_all_as_it_was);
    tcase_add_test(tests, the_umask_holds_and_a_replaced_file_keeps_its_mode);
    tcase_add_test(tests, a_link_that_is_replaced_stays_a_link);
    tcase_add_test(tests, a_device_and_a_folder_are_not_renamed_over);
    tcase_add_test(tests, names_without_folder_go_to_the_working_folder);
    tcase_add_test(tests, errors_name_the_path_and_the_reason);
    tcase_add_test(tests, the_limit_is_the_largest_size_that_is_read);
    tcase_add_test(tests, a_single_dash_is_standard_input);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
