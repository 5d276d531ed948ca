/* A folder with a shop file, drafts put beside it and found again. */
#ifndef SANDGLASS_TESTS_EDIT_LEAVING_H
#define SANDGLASS_TESTS_EDIT_LEAVING_H

#include "edit/left.h"
#include "edit/run_suite.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH = 600, NOTE = 10000 };

static char folder[PATH / 2], shop[PATH];
static struct sg_error error;

/* What is in the shop file does not matter here. */
static inline void put_file(const char *path, const void *bytes, size_t size)
{
    FILE *out = fopen(path, "wb");
    ck_assert_ptr_nonnull(out);
    ck_assert_uint_eq(fwrite(bytes, 1, size, out), size);
    ck_assert_int_eq(fclose(out), 0);
}

static inline void make_folder(void)
{
    snprintf(folder, sizeof folder, "%s/left-XXXXXX", SCRATCH);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(shop, sizeof shop, "%s/shop.db", folder);
    put_file(shop, "shop", 4);
}

/* The path of the n-th draft in the folder; how many there are. */
static inline int drafts(int wanted, char *path)
{
    DIR *open_folder = opendir(folder);
    int n = 0;
    for (struct dirent *entry; (entry = readdir(open_folder));)
        if (strstr(entry->d_name, ".draft-") && n++ == wanted)
            snprintf(path, PATH, "%s/%s", folder, entry->d_name);
    closedir(open_folder);
    return n;
}

static inline void the_only_draft(char *path)
{
    ck_assert_int_eq(drafts(0, path), 1);
}

static inline void remove_folder(void)
{
    ck_assert_msg(unlink(shop) == 0 && rmdir(folder) == 0, "something was left in %s", folder);
}

static inline struct sg_left *left_new(void)
{
    struct sg_left *left = sg_left_new(shop);
    ck_assert_ptr_nonnull(left);
    return left;
}

static const char *const one_key[] = {"2604/1/A"};

static inline struct sg_left_text text_of(const char *text)
{
    return (struct sg_left_text){.keys = one_key,
                                 .n = 1,
                                 .field = "quantity",
                                 .before = "16",
                                 .text = text,
                                 .cursor = strlen(text),
                                 .who = "office",
                                 .at = 1764000000.25};
}

static inline void put(struct sg_left *left, const char *text)
{
    struct sg_left_text whole = text_of(text);
    ck_assert_msg(sg_left_put(left, &whole, &error) == SG_OK, "%s", error.text);
}

/* As a program that was told to end leaves it. */
static inline void leave(const char *text)
{
    struct sg_left *left = left_new();
    put(left, text);
    sg_left_free(left);
}

static struct sg_left_found *found;
static int n_found;

static inline int find(void)
{
    found = NULL;
    n_found = -1;
    ck_assert_msg(sg_left_find(shop, &found, &n_found, &error) == SG_OK, "%s", error.text);
    ck_assert((n_found == 0) == (found == NULL));
    return n_found;
}

static inline void let_go(void)
{
    sg_left_found_free(found, n_found);
    found = NULL;
    n_found = 0;
}

static inline void drop_all(void)
{
    for (int i = 0; i < n_found; i++)
        sg_left_drop(&found[i]);
    let_go();
}

static inline void ck_same(const struct sg_left_text *is, const struct sg_left_text *be)
{
    ck_assert_int_eq(is->n, be->n);
    for (int i = 0; i < be->n; i++)
        if (strcmp(is->keys[i], be->keys[i]) != 0)
            ck_abort_msg("key %d: %s, not %s", i, is->keys[i], be->keys[i]);
    ck_assert_str_eq(is->field, be->field);
    ck_assert_str_eq(is->before, be->before);
    ck_assert_str_eq(is->text, be->text);
    ck_assert_uint_eq(is->cursor, be->cursor);
    ck_assert_str_eq(is->who, be->who);
    ck_assert_double_eq(is->at, be->at);
}

/* A note of full length with its number at both ends, over and over: quickly made, so that kills come within
 * a write too. On the machine where this was written 3 of 300 kills tore a bare write of 10,000 bytes. */
static char note[4 * NOTE + 1];

static inline void number_note(int number)
{
    memset(note, 'x', NOTE);
    snprintf(note, 8, "%07d", number);
    note[7] = 'x';
    snprintf(note + NOTE - 7, 8, "%07d", number);
}

static inline TCase *add_case(Suite *suite, const char *name)
{
    TCase *tests = tcase_create(name);
    tcase_add_checked_fixture(tests, make_folder, remove_folder);
    suite_add_tcase(suite, tests);
    return tests;
}

#endif
