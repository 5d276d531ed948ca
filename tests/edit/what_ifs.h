/* A desk on the example shop with a draft, plans as numbers, and short ways to what-ifs. */
#ifndef SANDGLASS_TESTS_EDIT_WHAT_IFS_H
#define SANDGLASS_TESTS_EDIT_WHAT_IFS_H

#include "edit/run_suite.h"
#include "edit/shop_file.h"
#include "edit/what_if.h"
#include "sandglass/compare.h"

enum { NUMBERS = 4000 };

static struct shop_file file;
static struct sg_desk *desk;
static struct sg_draft *draft;
static struct sg_error error;
static struct sg_what_if_edits edits;

static inline void must(enum sg_status status)
{
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

static inline void open_desk(void)
{
    desk = shop_file_desk(&file, SG_STORE_WRITE);
    sg_desk_sign(desk, "office");
    must(sg_draft_new(desk, &draft, &error));
}

static inline void close_desk(void)
{
    sg_draft_free(draft);
    sg_desk_close(desk);
    draft = NULL;
}

static inline void open_example(void)
{
    shop_file_make(&file, true);
    open_desk();
}

static inline void close_example(void)
{
    close_desk();
    ck_assert_msg(shop_file_remove(&file), "something was left in %s", file.folder);
}

/* ---- a plan as numbers ---- */

struct figures {
    int n;
    double number[NUMBERS];
};

static inline void put(struct figures *f, double value)
{
    ck_assert_int_lt(f->n, NUMBERS);
    f->number[f->n++] = value;
}

static inline struct figures figures_of(const struct sg_plan *plan)
{
    struct figures f = {0};
    put(&f, plan->ends);
    put(&f, plan->over);
    for (const struct sg_compare_row *row = sg_compare_rows; row->name; row++)
        put(&f, row->value(plan, SG_UNKNOWN));
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        put(&f, plan->run.events[i].at);
        put(&f, plan->run.events[i].seconds);
        put(&f, plan->run.events[i].level);
        put(&f, plan->run.events[i].garnet);
    }
    return f;
}

static inline struct figures kept_figures(void)
{
    const struct sg_plan *plan;
    must(sg_desk_plan(desk, 0, &plan, &error));
    return figures_of(plan);
}

static inline struct figures drafted_figures(void)
{
    const struct sg_plan *plan;
    must(sg_draft_plan(draft, 0, &plan, &error));
    return figures_of(plan);
}

static inline bool same_figures(const struct figures *a, const struct figures *b)
{
    return a->n == b->n && memcmp(a->number, b->number, (size_t)a->n * sizeof *a->number) == 0;
}

#define ck_same_figures(a, b)                                                                                \
    do {                                                                                                     \
        const struct figures x_ = (a), y_ = (b);                                                             \
        ck_assert_msg(same_figures(&x_, &y_), "%d and %d numbers, ends %.17g and %.17g", x_.n, y_.n,         \
                      x_.number[0], y_.number[0]);                                                           \
    } while (0)

/* ---- what-ifs ---- */

static inline enum sg_status add_three(const char *name, const char *key, const char *a, const char *b,
                                       const char *c)
{
    const char *const assignments[] = {a, b, c};
    return sg_what_if_add(desk, draft, name, key, assignments, c ? 3 : b ? 2 : 1, &error);
}

static inline enum sg_status add(const char *name, const char *key, const char *assignment)
{
    return add_three(name, key, assignment, NULL, NULL);
}

static inline void read_edits(const char *name, int n)
{
    must(sg_what_if_read(desk, name, &edits, &error));
    ck_assert(edits.found);
    ck_assert_int_eq(edits.n, n);
}

static inline bool is_there(const char *name)
{
    must(sg_what_if_read(desk, name, &edits, &error));
    return edits.found;
}

static inline void show(const char *name)
{
    must(sg_what_if_read(desk, name, &edits, &error));
    must(sg_what_if_show(draft, &edits, &error));
}

static inline void keep(const char *name)
{
    must(sg_what_if_read(desk, name, &edits, &error));
    must(sg_what_if_keep(desk, name, &edits, &error));
}

static inline void set_kept(struct sg_desk *by, const char *key, const char *assignment)
{
    struct sg_change change;
    must(sg_desk_set(by, key, &assignment, 1, true, &change, NULL, &error));
}

struct steps {
    int n;
    struct sg_step_told newest;
};

static inline void count(void *context, const struct sg_step_told *step)
{
    struct steps *steps = context;
    if (steps->n++ == 0)
        steps->newest = *step;
}

static inline struct steps history(void)
{
    struct steps steps = {0};
    must(sg_store_history(sg_desk_store(desk), 0, count, &steps, &error));
    return steps;
}

/* The file's shop is the snapshot's, and so is the desk's. */
static inline void ck_plan_tables(struct sg_desk *before, const char *when)
{
    struct sg_desk *now = shop_file_desk(&file, SG_STORE_READ);
    const char *where = shop_difference(sg_desk_shop(before), sg_desk_shop(now));
    ck_assert_msg(*where == '\0', "%s: %s differs in the file", when, where);
    where = shop_difference(sg_desk_shop(before), sg_desk_shop(desk));
    ck_assert_msg(*where == '\0', "%s: %s differs on the desk", when, where);
    sg_desk_close(now);
}

#endif
