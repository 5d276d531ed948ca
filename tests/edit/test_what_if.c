/* What-ifs: what one shows is what keeping it gives; until then the plan is as it was. */
#include "edit/what_ifs.h"
#include "store/inside.h"

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
    ck_assert_int_eq(sg_draft_shop(draft)->parts[0].quantity, 20); /* the plan, not half of it */
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

START_TEST(a_what_if_has_the_whole_name_of_what_was_named_in_short)
{
    must(add("hard", "material:stainless 30", "machinability=80"));
    must(add("hard", "material:Mild Steel", "machinability=81"));
    must(add("hard", "head:WATER", "heads=1"));
    read_edits("hard", 3);
    ck_assert_str_eq(edits.edits[0].key, "material:stainless 304");
    ck_assert_str_eq(edits.edits[1].key, "material:steel, mild");
    ck_assert_str_eq(edits.edits[2].key, "head:water");
    /* another material that begins so makes the short name useless, not the what-if */
    struct sg_change change;
    struct sg_target target;
    must(
        sg_desk_add(desk, SG_KIND_MATERIAL, NULL, "stainless 309", NULL, 0, 20000, &change, &target, &error));
    ck_assert_int_eq(add("hard", "material:stainless 30", "machinability=80"), SG_BAD_DATA);
    show("hard");
}
END_TEST

/* ---- two at once ---- */

/* The other desk has the file when this one asks for it, and lets it go then. */
struct holder {
    struct sg_desk *other;
    int asked;
};

static int let_go(void *context, int times)
{
    struct holder *holder = context;
    (void)times;
    holder->asked++;
    return holder->asked == 1 && sg_store_commit(sg_desk_store(holder->other), NULL) == SG_OK;
}

START_TEST(of_two_who_add_at_once_both_get_theirs_in)
{
    struct holder holder = {shop_file_desk(&file, SG_STORE_WRITE), 0};
    const struct sg_what_if theirs = {
        .name = "both", .who = "floor", .at = 1e9, .edits = "2601/1/A\tquantity=7\n2602/1/A\tquantity=8\n"};
    must(add("both", "2601/1/A", "quantity=7"));
    must(sg_store_begin(sg_desk_store(holder.other), &error));
    must(sg_store_what_if_put(sg_desk_store(holder.other), &theirs, &error));
    sqlite3_busy_handler(sg_desk_store(desk)->db, let_go, &holder);
    must(add("both", "2603/1/A", "quantity=9"));
    ck_assert_int_eq(holder.asked, 1);
    read_edits("both", 3);
    ck_assert_str_eq(edits.edits[1].key, "2602/1/A");
    ck_assert_str_eq(edits.edits[2].key, "2603/1/A");
    ck_assert_int_eq(sg_draft_shop(draft)->parts[2].quantity, 8); /* and shows it */
    sg_desk_close(holder.other);
}
END_TEST

START_TEST(what_another_added_meanwhile_is_not_kept_unseen_nor_lost)
{
    struct sg_desk *floor = shop_file_desk(&file, SG_STORE_WRITE);
    struct sg_draft *theirs = NULL;
    const char *more = "quantity=8";
    must(sg_draft_new(floor, &theirs, &error));
    must(add("both", "2601/1/A", "quantity=7"));
    read_edits("both", 1);
    must(sg_what_if_add(floor, theirs, "both", "2602/1/A", &more, 1, &error));
    ck_assert_int_eq(sg_what_if_keep(desk, "both", &edits, &error), SG_BAD_DATA);
    ck_assert_msg(strstr(error.text, "was changed since"), "%s", error.text);
    ck_plan_tables(floor, "not kept");
    keep("both");
    ck_assert_int_eq(sg_desk_shop(desk)->parts[2].quantity, 8);
    sg_draft_free(theirs);
    sg_desk_close(floor);
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
    tcase_add_test(tests, a_what_if_survives_closing);
    tcase_add_test(tests, what_ifs_are_listed_the_oldest_first_and_leave_the_plan_alone);
    tcase_add_test(tests, a_kept_plan_does_not_notice_what_ifs);
    tcase_add_test(tests, a_what_if_has_the_whole_name_of_what_was_named_in_short);
    tcase_add_test(tests, of_two_who_add_at_once_both_get_theirs_in);
    tcase_add_test(tests, what_another_added_meanwhile_is_not_kept_unseen_nor_lost);
    suite_add_tcase(suite, tests);
    return run(suite);
}
