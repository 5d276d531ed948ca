/* What-ifs: what one shows is what keeping it gives; until then the plan is as it was. */
#include "edit/shop_file.h"
#include "edit/what_if.h"
#include "sandglass/compare.h"

#include <check.h>

enum { NUMBERS = 4000 };

static struct shop_file file;
static struct sg_desk *desk;
static struct sg_draft *draft;
static struct sg_error error;
static struct sg_what_if_edits edits;

static void must(enum sg_status status)
{
    ck_assert_msg(status == SG_OK, "%s", error.text);
}

static void open_desk(void)
{
    desk = shop_file_desk(&file, SG_STORE_WRITE);
    sg_desk_sign(desk, "office");
    must(sg_draft_new(desk, &draft, &error));
}

static void close_desk(void)
{
    sg_draft_free(draft);
    sg_desk_close(desk);
    draft = NULL;
}

static void open_example(void)
{
    shop_file_make(&file, true);
    open_desk();
}

static void close_example(void)
{
    close_desk();
    ck_assert_msg(shop_file_remove(&file), "something was left in %s", file.folder);
}

/* ---- a plan as numbers ---- */

struct figures {
    int n;
    double number[NUMBERS];
};

static void put(struct figures *f, double value)
{
    ck_assert_int_lt(f->n, NUMBERS);
    f->number[f->n++] = value;
}

static struct figures figures_of(const struct sg_plan *plan)
{
    struct figures f = {0};
    put(&f, plan->ends);
    put(&f, plan->over);
    for (const struct sg_compare_row *row = sg_compare_rows; row->name; row++)
        put(&f, row->value(plan));
    for (int32_t i = 0; i < plan->run.n_events; i++) {
        put(&f, plan->run.events[i].at);
        put(&f, plan->run.events[i].seconds);
        put(&f, plan->run.events[i].level);
        put(&f, plan->run.events[i].garnet);
    }
    return f;
}

static struct figures kept_figures(void)
{
    const struct sg_plan *plan;
    must(sg_desk_plan(desk, 0, &plan, &error));
    return figures_of(plan);
}

static struct figures drafted_figures(void)
{
    const struct sg_plan *plan;
    must(sg_draft_plan(draft, 0, &plan, &error));
    return figures_of(plan);
}

static bool same_figures(const struct figures *a, const struct figures *b)
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

static enum sg_status add_three(const char *name, const char *key, const char *a, const char *b,
                                const char *c)
{
    const char *const assignments[] = {a, b, c};
    return sg_what_if_add(desk, draft, name, key, assignments, c ? 3 : b ? 2 : 1, &error);
}

static enum sg_status add(const char *name, const char *key, const char *assignment)
{
    return add_three(name, key, assignment, NULL, NULL);
}

static void read_edits(const char *name, int n)
{
    must(sg_what_if_read(desk, name, &edits, &error));
    ck_assert(edits.found);
    ck_assert_int_eq(edits.n, n);
}

static bool is_there(const char *name)
{
    must(sg_what_if_read(desk, name, &edits, &error));
    return edits.found;
}

static void show(const char *name)
{
    must(sg_what_if_read(desk, name, &edits, &error));
    must(sg_what_if_show(draft, &edits, &error));
}

static void keep(const char *name)
{
    must(sg_what_if_read(desk, name, &edits, &error));
    must(sg_what_if_keep(desk, name, &edits, &error));
}

static void set_kept(struct sg_desk *by, const char *key, const char *assignment)
{
    struct sg_change change;
    must(sg_desk_set(by, key, &assignment, 1, true, &change, NULL, &error));
}

struct steps {
    int n;
    struct sg_step_told newest;
};

static void count(void *context, const struct sg_step_told *step)
{
    struct steps *steps = context;
    if (steps->n++ == 0)
        steps->newest = *step;
}

static struct steps history(void)
{
    struct steps steps = {0};
    must(sg_store_history(sg_desk_store(desk), 0, count, &steps, &error));
    return steps;
}

/* The file's shop is the snapshot's, and so is the desk's. */
static void ck_plan_tables(struct sg_desk *before, const char *when)
{
    struct sg_desk *now = shop_file_desk(&file, SG_STORE_READ);
    const char *where = shop_difference(sg_desk_shop(before), sg_desk_shop(now));
    ck_assert_msg(*where == '\0', "%s: %s differs in the file", when, where);
    where = shop_difference(sg_desk_shop(before), sg_desk_shop(desk));
    ck_assert_msg(*where == '\0', "%s: %s differs on the desk", when, where);
    sg_desk_close(now);
}

START_TEST(a_what_if_is_shown_and_the_plan_is_as_it_was)
{
    struct sg_desk *before = shop_file_desk(&file, SG_STORE_READ);
    const struct figures kept = kept_figures();
    must(add("fewer", "2601/1/A", "quantity=7"));
    ck_assert_int_eq(sg_draft_shop(draft)->parts[0].quantity, 7);
    struct figures drafted = drafted_figures();
    ck_assert(drafted.number[0] < kept.number[0]);
    must(add_three("fewer", "2602/1", "edge=coarse", "feed_override=110%", NULL));
    ck_assert(drafted_figures().number[0] < drafted.number[0]); /* on top of the first */
    must(add("later", "shift:A", "start=07:00"));
    read_edits("fewer", 3);
    ck_assert_str_eq(edits.edits[0].key, "2601/1/A");
    ck_assert_str_eq(edits.edits[0].assignment, "quantity=7");
    ck_assert_ptr_null(edits.edits[0].before);
    ck_assert_str_eq(edits.edits[2].key, "2602/1");
    ck_assert_str_eq(edits.edits[2].assignment, "feed_override=110%");
    read_edits("later", 1);
    ck_same_figures(kept_figures(), kept);
    ck_plan_tables(before, "two what-ifs");
    ck_assert_int_eq(history().n, 0);
    sg_desk_close(before);
}
END_TEST

static const struct {
    const char *key, *a, *b, *c;
} wishes[] = {
    {"2601/1/A", "quantity=27", NULL, NULL},
    {"2602/1/A", "edge=coarse", "quantity=20", "cut_length=40 1/3 in"},
    {"2603", "order=1", NULL, NULL},
    {"2603/1", "thickness=3/8in", "feed_override=110%", NULL},
    {"machine:main", "hopper_level=90 lb", "bags_in_stock=9", NULL},
    {"machine:main", "hopper_level=20 lb", "hopper=60 lb", "low_line=10 lb"},
    {"head:abrasive", "pressure=50 ksi", "garnet=0.6 lb/min", NULL},
    {"material:steel, mild", "machinability=95", NULL, NULL},
    {"shift:A", "start=07:15", "run_in_breaks=no", NULL},
    {"2605", "note=tab and = signs; kept", "due=2026-12-01 15:00", NULL},
};
enum { WISHES = sizeof wishes / sizeof *wishes };

START_TEST(what_is_shown_is_the_plan_once_it_is_kept)
{
    must(add_three("one", wishes[_i].key, wishes[_i].a, wishes[_i].b, wishes[_i].c));
    must(add("one", "2604/1/A", "quantity=3"));
    must(sg_draft_reset(draft, &error));
    show("one");
    const struct figures shown = drafted_figures();
    struct sg_desk *before = shop_file_desk(&file, SG_STORE_READ);
    struct sg_draft *over = NULL; /* over a desk that is not read anew */
    must(sg_draft_new(before, &over, &error));
    must(sg_what_if_show(over, &edits, &error));
    keep("one");
    ck_same_figures(kept_figures(), shown);
    ck_assert_str_eq(shop_difference(sg_desk_shop(desk), sg_draft_shop(over)), "");
    sg_draft_free(over);
    ck_assert(!is_there("one"));
    struct sg_desk *fresh = shop_file_desk(&file, SG_STORE_READ);
    ck_assert_str_eq(shop_difference(sg_desk_shop(fresh), sg_desk_shop(desk)), "");
    sg_desk_close(fresh);
    struct steps steps = history();
    ck_assert_int_eq(steps.n, 1);
    ck_assert_str_eq(steps.newest.who, "office");
    ck_assert_msg(strncmp(steps.newest.words, "what-if one, ", 13) == 0, "%s", steps.newest.words);
    struct sg_step_told told;
    must(sg_desk_undo(desk, &told, &error));
    ck_plan_tables(before, "undone");
    ck_assert(!is_there("one"));
    sg_desk_close(before);
}
END_TEST

/* start and end and breaks by themselves would each leave a break outside of the shift. */
START_TEST(changes_that_keep_the_rules_only_together_go_together)
{
    must(add_three("late", "shift:A", "start=14:00", "end=22:00", "breaks=17:00-17:30"));
    const struct figures shown = drafted_figures();
    must(add("late", "shift:A", "end=23:00"));
    must(add("late", "shift:A", "end=22:00")); /* a field again: the last one counts */
    ck_same_figures(drafted_figures(), shown);
    show("late");
    ck_same_figures(drafted_figures(), shown);
    keep("late");
    ck_same_figures(kept_figures(), shown);
    ck_assert_int_eq(history().n, 1);
    ck_assert(sg_desk_shop(desk)->shifts[0].start == 14 * 3600 &&
              sg_desk_shop(desk)->shifts[0].end == 22 * 3600);
}
END_TEST

START_TEST(a_what_if_goes_along_when_the_plan_changes)
{
    must(add("fewer", "2601/1/A", "quantity=7"));
    set_kept(desk, "2602/1/A", "quantity=30");
    show("fewer");
    ck_assert_int_eq(sg_draft_shop(draft)->parts[0].quantity, 7);
    ck_assert_int_eq(sg_draft_shop(draft)->parts[2].quantity, 30);
    const struct figures shown = drafted_figures();
    set_kept(desk, "2601/1/A", "quantity=7"); /* by hand what the what-if says */
    ck_same_figures(kept_figures(), shown);
}
END_TEST

START_TEST(an_edit_whose_row_is_gone_says_so)
{
    must(add("both", "2601/1/A", "quantity=7"));
    must(add("both", "2602/1/A", "quantity=7"));
    must(sg_desk_remove(desk, "2602", &error));
    struct sg_desk *before = shop_file_desk(&file, SG_STORE_READ);
    read_edits("both", 2);
    ck_assert_int_eq(sg_what_if_show(draft, &edits, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "no job \"2602\"") != NULL, "%s", error.text);
    ck_assert_int_eq(sg_what_if_keep(desk, "both", &edits, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "no job \"2602\"") != NULL, "%s", error.text);
    ck_plan_tables(before, "a stale what-if");
    ck_assert_int_eq(history().n, 1);
    ck_assert(is_there("both"));
    struct sg_step_told told;
    must(sg_desk_undo(desk, &told, &error)); /* the job is back, and the what-if good again */
    show("both");
    keep("both");
    ck_assert_int_eq(sg_desk_shop(desk)->parts[2].quantity, 7);
    sg_desk_close(before);
}
END_TEST

START_TEST(what_does_not_go_is_refused_and_the_what_if_stays)
{
    static char long_note[400];
    snprintf(long_note, sizeof long_note, "note=%0300d", 1);
    const struct {
        const char *name, *key, *a, *b, *why;
    } refused[] = {
        {"one", "2601/1/A", "quantity=1", "quantity=many", "quantity=many"},
        {"one", "2601/1/A", "colour=red", NULL, "no field \"colour\""},
        {"one", "2699", "order=1", NULL, "no job \"2699\""},
        {"one", "machine:main", "low_line=900 lb", NULL, "not below the hopper"},
        {"one", "2601", long_note, NULL, "one line, up to 299 bytes"},
        {"one", "2601", "note=a\tb", NULL, "one line"},
        {"", "2601/1/A", "quantity=1", NULL, "empty"},
        {"a\nb", "2601/1/A", "quantity=1", NULL, ""},
        {"a name of more than sixty characters, which no key may have in here", "2601/1/A", "quantity=1",
         NULL, "60"},
    };
    must(add("one", "2601/1/A", "quantity=7"));
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        ck_assert_int_eq(add_three(refused[i].name, refused[i].key, refused[i].a, refused[i].b, NULL),
                         SG_BAD_DATA);
        ck_assert_msg(strstr(error.text, refused[i].why) != NULL, "%s", error.text);
        read_edits("one", 1);
        ck_assert_str_eq(edits.edits[0].assignment, "quantity=7");
        ck_assert(!is_there(refused[i].name[0] == 'o' ? "two" : refused[i].name));
    }
}
END_TEST

START_TEST(a_name_that_is_not_there_is_not_found)
{
    must(add("one", "2601/1/A", "quantity=7"));
    memset(&edits, 'x', sizeof edits);
    must(sg_what_if_read(desk, "One", &edits, &error));
    ck_assert(!edits.found);
    ck_assert_int_eq(edits.n, 0);
    struct sg_desk *before = shop_file_desk(&file, SG_STORE_READ);
    ck_assert_int_eq(sg_what_if_keep(desk, "two", &edits, &error), SG_BAD_DATA);
    ck_assert_int_eq(sg_store_what_if_drop(sg_desk_store(desk), "two", &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "no what-if \"two\"") != NULL, "%s", error.text);
    ck_plan_tables(before, "no such what-if");
    must(sg_store_what_if_drop(sg_desk_store(desk), "one", &error));
    ck_assert(!is_there("one"));
    ck_plan_tables(before, "dropped");
    ck_assert_int_eq(history().n, 0);
    sg_desk_close(before);
}
END_TEST

/* Another desk dropped it while it was looked at: nothing goes into the plan unseen. */
START_TEST(what_another_desk_dropped_is_not_kept)
{
    struct sg_desk *floor = shop_file_desk(&file, SG_STORE_WRITE);
    must(add("one", "2601/1/A", "quantity=7"));
    read_edits("one", 1);
    must(sg_store_what_if_drop(sg_desk_store(floor), "one", &error));
    ck_assert_int_eq(sg_what_if_keep(desk, "one", &edits, &error), SG_BAD_DATA);
    ck_plan_tables(floor, "dropped by another");
    ck_assert_int_eq(history().n, 0);
    sg_desk_close(floor);
}
END_TEST

START_TEST(two_hundred_changes_go_in_and_no_more)
{
    char assignment[40];
    for (int i = 0; i < SG_WHAT_IF_EDITS; i += 3) {
        char more[2][40];
        snprintf(assignment, sizeof assignment, "quantity=%d", i + 1);
        snprintf(more[0], sizeof more[0], "pierces=%d", i + 1);
        snprintf(more[1], sizeof more[1], "scrap=%d", i + 1);
        bool last = i + 3 > SG_WHAT_IF_EDITS;
        must(add_three("long", "2601/1/A", assignment, more[0], last ? NULL : more[1]));
    }
    read_edits("long", SG_WHAT_IF_EDITS);
    ck_assert_int_eq(add("long", "2601/1/B", "quantity=1"), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "at most 200 changes") != NULL, "%s", error.text);
    show("long");
    const struct figures shown = drafted_figures();
    ck_assert_int_eq(sg_draft_shop(draft)->parts[0].quantity, 199);
    ck_assert_int_eq(sg_draft_shop(draft)->parts[0].scrap, 196);
    keep("long");
    ck_same_figures(kept_figures(), shown);
    ck_assert_int_eq(history().n, 1);
    ck_assert_str_eq(history().newest.words, "what-if long, 200 changes");
}
END_TEST

/* The longest that fit in number and size: more than a shop file takes is refused in words. */
START_TEST(changes_too_long_together_are_refused)
{
    static char key[1100], part[201], assignment[300];
    struct sg_change change;
    struct sg_target target;
    memset(part, 'p', 200);
    const char *no_notes = "note=none";
    must(sg_desk_add(desk, SG_KIND_PART, "2601/1", part, &no_notes, 1, 20000, &change, &target, &error));
    snprintf(key, sizeof key, "2601/1/%s", part);
    int n = 0;
    enum sg_status status = SG_OK;
    must(sg_draft_reset(draft, &error));
    while (n < SG_WHAT_IF_EDITS && status == SG_OK) {
        snprintf(assignment, sizeof assignment, "note=%0290d", n);
        status = add("long", key, assignment);
        n += status == SG_OK;
    }
    ck_assert_int_eq(status, SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "what-if \"long\" is full") != NULL, "%s", error.text);
    ck_assert_int_gt(n, 190);
    read_edits("long", n);
    ck_assert_str_eq(edits.edits[n - 1].key, key);
}
END_TEST

START_TEST(a_what_if_survives_closing)
{
    must(add("fewer", "2601/1/A", "quantity=7"));
    must(add("fewer", "2603", "order=1"));
    const struct figures shown = drafted_figures(), kept = kept_figures();
    close_desk();
    open_desk();
    show("fewer");
    ck_same_figures(drafted_figures(), shown);
    ck_same_figures(kept_figures(), kept);
}
END_TEST

struct names {
    int n;
    char name[8][80], who[8][80];
};

static void list(void *context, const struct sg_what_if *what_if)
{
    struct names *names = context;
    ck_assert_int_lt(names->n, 8);
    snprintf(names->who[names->n], sizeof *names->who, "%s", what_if->who);
    snprintf(names->name[names->n++], sizeof *names->name, "%s", what_if->name);
}

START_TEST(what_ifs_are_listed_the_oldest_first_and_leave_the_plan_alone)
{
    struct sg_desk *before = shop_file_desk(&file, SG_STORE_READ);
    struct names names = {0};
    must(add("z", "2601/1/A", "quantity=7"));
    must(add("a", "2601/1/A", "quantity=8"));
    must(add("z", "2601/1/B", "quantity=9")); /* changed, but not newer */
    must(sg_store_what_ifs(sg_desk_store(desk), list, &names, &error));
    ck_assert_int_eq(names.n, 2);
    ck_assert_str_eq(names.name[0], "z");
    ck_assert_str_eq(names.name[1], "a");
    ck_assert_str_eq(names.who[0], "office");
    show("z");
    show("a");
    ck_assert_int_eq(sg_draft_shop(draft)->parts[1].quantity, 36); /* nothing of z is left in it */
    ck_plan_tables(before, "listed and shown");
    ck_assert_int_eq(history().n, 0);
    sg_desk_close(before);
}
END_TEST

START_TEST(a_kept_plan_does_not_notice_what_ifs)
{
    const struct figures kept = kept_figures();
    char name[20], assignment[40];
    for (int i = 0; i < 30; i++) {
        snprintf(name, sizeof name, "w%d", i % 7);
        snprintf(assignment, sizeof assignment, "quantity=%d", i);
        must(add(name, i % 2 ? "2601/1/A" : "2602/1/A", assignment));
        ck_same_figures(kept_figures(), kept);
    }
    struct sg_desk *fresh = shop_file_desk(&file, SG_STORE_READ);
    const struct sg_plan *plan;
    must(sg_desk_plan(fresh, 0, &plan, &error));
    ck_same_figures(figures_of(plan), kept);
    sg_desk_close(fresh);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("what-if");
    TCase *tests = tcase_create("what-if");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_test(tests, a_what_if_is_shown_and_the_plan_is_as_it_was);
    tcase_add_loop_test(tests, what_is_shown_is_the_plan_once_it_is_kept, 0, WISHES);
    tcase_add_test(tests, changes_that_keep_the_rules_only_together_go_together);
    tcase_add_test(tests, a_what_if_goes_along_when_the_plan_changes);
    tcase_add_test(tests, an_edit_whose_row_is_gone_says_so);
    tcase_add_test(tests, what_does_not_go_is_refused_and_the_what_if_stays);
    tcase_add_test(tests, a_name_that_is_not_there_is_not_found);
    tcase_add_test(tests, what_another_desk_dropped_is_not_kept);
    tcase_add_test(tests, two_hundred_changes_go_in_and_no_more);
    tcase_add_test(tests, changes_too_long_together_are_refused);
    tcase_add_test(tests, a_what_if_survives_closing);
    tcase_add_test(tests, what_ifs_are_listed_the_oldest_first_and_leave_the_plan_alone);
    tcase_add_test(tests, a_kept_plan_does_not_notice_what_ifs);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
