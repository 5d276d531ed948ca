/* The example and its content at the start, to which undo leads back or is refused. */
#ifndef SANDGLASS_TESTS_STORE_TAKEN_BACK_H
#define SANDGLASS_TESTS_STORE_TAKEN_BACK_H

#include "store/example_file.h"

static struct content start;

static void open_at_start(void)
{
    open_example();
    read_content(store->db, &start);
}

static void close_at_start(void)
{
    free_content(&start);
    close_example();
}

static void is_as_at_start(void)
{
    struct content now;
    read_content(store->db, &now);
    assert_same_content(&start, &now, "the start");
    free_content(&now);
}

/* Refused with these words in the sentence, and nothing changed, not even the history. */
static void refused(enum sg_step_kind kind, const char *who, int at, enum sg_status expected,
                    const char *words)
{
    struct content before, after;
    struct sg_step_told told = {.id = -1};
    read_content(store->db, &before);
    int64_t steps = row_of(store, "SELECT count(*) FROM step");
    enum sg_status status = kind == SG_STEP_UNDO ? sg_store_undo(store, who, minute(at), &told, &error)
                                                 : sg_store_redo(store, who, minute(at), &told, &error);
    ck_assert_msg(status == expected, "%d: %s", status, status ? error.text : "");
    ck_assert_msg(strstr(error.text, words) && strstr(error.text, "shop.db"), "\"%s\" not in: %s", words,
                  error.text);
    ck_assert_int_eq(told.id, -1);
    ck_assert_int_eq(row_of(store, "SELECT count(*) FROM step"), steps);
    read_content(store->db, &after);
    assert_same_content(&before, &after, error.text);
    free_content(&before);
    free_content(&after);
}

#endif
