/* A desk on the example shop, its history as it is read back, and changes of some kinds: for the tests of
 * what is kept through the desk. */
#ifndef SANDGLASS_TESTS_EDIT_STEPS_H
#define SANDGLASS_TESTS_EDIT_STEPS_H

#include "edit/desk.h"
#include "edit/run_suite.h"
#include "edit/shop_file.h"

enum { SOME = 8, STEPS = 60 };

static struct shop_file file;
static struct sg_desk *desk;
static struct sg_error error;
static struct sg_change changes[SOME];
static struct sg_target target;

static inline struct sg_desk *desk_of(const char *who)
{
    struct sg_desk *made = shop_file_desk(&file, SG_STORE_WRITE);
    sg_desk_sign(made, who);
    return made;
}

static inline void open_example(void)
{
    shop_file_make(&file, true);
    desk = desk_of("office");
}

static inline void close_example(void)
{
    sg_desk_close(desk);
    ck_assert_msg(shop_file_remove(&file), "something was left in %s", file.folder);
}

static inline void reopen(void)
{
    sg_desk_close(desk);
    desk = desk_of("office");
}

static inline void must(enum sg_status status)
{
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

/* ---- the history as it is read back ---- */

struct told {
    int n;
    struct sg_step_told steps[STEPS];
};

static inline void note(void *context, const struct sg_step_told *step)
{
    struct told *told = context;
    ck_assert_int_lt(told->n, STEPS);
    told->steps[told->n++] = *step;
}

/* Newest first. */
static inline struct told history(void)
{
    struct told told = {0};
    must(sg_store_history(sg_desk_store(desk), 0, note, &told, &error));
    return told;
}

static inline void ck_newest(int n, const char *who, const char *words)
{
    struct told told = history();
    ck_assert_msg(told.n == n, "%d steps, expected %d for %s", told.n, n, words);
    ck_assert_str_eq(told.steps[0].who, who);
    ck_assert_str_eq(told.steps[0].words, words);
    ck_assert_int_eq(told.steps[0].kind, SG_STEP_CHANGE);
    ck_assert(!told.steps[0].undone);
}

/* ---- shops compared ---- */

/* The same rows under the same keys, with the same fields. */
static inline void ck_same_shop(const struct sg_shop *a, const struct sg_shop *b, const char *when)
{
    const char *where = shop_difference(a, b);
    ck_assert_msg(*where == '\0', "%s: %s differs", when, where);
    for (int kind = 0; kind < SG_KINDS; kind++)
        for (int32_t i = 0; i < rows_of(a, (enum sg_kind)kind); i++) {
            char x[1200], y[1200];
            int64_t p, q;
            const struct sg_target at = {(enum sg_kind)kind, i};
            sg_key_write(a, at, x, sizeof x);
            sg_key_write(b, at, y, sizeof y);
            memcpy(&p, sg_target_record(a, at), sizeof p);
            memcpy(&q, sg_target_record(b, at), sizeof q);
            ck_assert_msg(strcmp(x, y) == 0 && p == q, "%s: %s is %s", when, x, y);
        }
}

/* The shop as the file holds it now, kept by a desk of its own that is never asked again. */
static inline struct sg_desk *snapshot(void)
{
    return shop_file_desk(&file, SG_STORE_READ);
}

/* The desk and the file both show what the snapshot does; nothing is wrong with the file. */
static inline void complain(void *context, const char *sentence)
{
    (void)context;
    ck_abort_msg("check: %s", sentence);
}

static inline void ck_shows(struct sg_desk *wanted, const char *when)
{
    struct sg_desk *now = snapshot();
    ck_same_shop(sg_desk_shop(wanted), sg_desk_shop(desk), when);
    ck_same_shop(sg_desk_shop(wanted), sg_desk_shop(now), when);
    ck_assert_int_eq(sg_store_check(sg_desk_store(now), complain, NULL, &error), 0);
    sg_desk_close(now);
}

static inline bool differ(struct sg_desk *a, struct sg_desk *b)
{
    return *shop_difference(sg_desk_shop(a), sg_desk_shop(b)) != '\0';
}

static inline struct sg_target found(const struct sg_desk *on, const char *key)
{
    struct sg_target at = {SG_KIND_JOB, 0};
    ck_assert_msg(sg_key_find(sg_desk_shop(on), key, &at, &error) == SG_OK, "%s", error.text);
    return at;
}

static inline bool there(const char *key)
{
    struct sg_target at;
    return sg_key_find(sg_desk_shop(desk), key, &at, NULL) == SG_OK;
}

static inline const struct sg_part *part_of(const struct sg_desk *on, const char *key)
{
    struct sg_target at = found(on, key);
    ck_assert_int_eq(at.kind, SG_KIND_PART);
    return &sg_desk_shop(on)->parts[at.index];
}

/* ---- changes of every kind ---- */

static inline enum sg_status set_by(struct sg_desk *by, const char *key, const char *assignment)
{
    return sg_desk_set(by, key, &assignment, 1, true, changes, &target, &error);
}

static inline enum sg_status add(enum sg_kind kind, const char *parent, const char *id)
{
    return sg_desk_add(desk, kind, parent, id, NULL, 0, 20000, changes, &target, &error);
}

static inline struct sg_edit edit_of(const char *key, const char *assignment, const char *before)
{
    struct sg_edit edit = {.before = before};
    snprintf(edit.key, sizeof edit.key, "%s", key);
    snprintf(edit.assignment, sizeof edit.assignment, "%s", assignment);
    return edit;
}

static inline enum sg_status set_one(void)
{
    return set_by(desk, "2601/1/A", "quantity=16");
}

static inline enum sg_status add_shift(void)
{
    return add(SG_KIND_SHIFT, NULL, "B");
}

static inline enum sg_status remove_job(void)
{
    return sg_desk_remove(desk, "2602", &error);
}

static inline enum sg_status copy_job(void)
{
    return sg_desk_copy(desk, "2605", "2705", &target, &error);
}

static inline enum sg_status copy_head(void)
{
    return sg_desk_copy(desk, "head:abrasive", "head:abrasive two", &target, &error);
}

static inline enum sg_status copy_material(void)
{
    return sg_desk_copy(desk, "material:copper", "material:copper, soft", &target, &error);
}

static inline enum sg_status copy_shift(void)
{
    return sg_desk_copy(desk, "shift:A", "shift:late", &target, &error);
}

static inline void turn(enum sg_status (*how)(struct sg_desk *, struct sg_step_told *, struct sg_error *),
                        const char *words, bool undone)
{
    struct sg_step_told told = {0};
    must(how(desk, &told, &error));
    ck_assert_str_eq(told.words, words);
    ck_assert_int_eq(told.undone, undone);
}

static inline struct told looked(struct sg_desk *on, bool moved)
{
    struct told told = {0};
    bool did = !moved;
    must(sg_desk_look(on, &did, note, &told, &error));
    ck_assert_int_eq(did, moved);
    return told;
}

#endif
