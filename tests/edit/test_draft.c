/* Drafts: what is typed is planned as if it were kept, and nothing else is touched. */
#include "edit/drafting.h"

static void ck_covered(const char *what, const struct member *members, size_t size)
{
    size_t end = 0;
    for (; members->name; members++) {
        size_t gap = members->offset - end;
        ck_assert_msg(members->offset >= end && gap < 8, "%s: %zu bytes before %s are not compared", what,
                      gap, members->name);
        end = members->offset + members->size;
    }
    ck_assert_msg(size - end < 8, "%s: the last %zu bytes are not compared", what, size - end);
}

START_TEST(the_comparison_leaves_nothing_out)
{
    ck_covered("part", part_members, sizeof(struct sg_plan_part));
    ck_covered("stock", stock_members, offsetof(struct sg_plan_stock, layout)); /* the planner's own memory */
    ck_covered("job", job_members, sizeof(struct sg_plan_job));
    ck_covered("break", break_members, sizeof(struct sg_plan_break));
    ck_covered("event", event_members, sizeof(struct sg_event));
    ck_covered("caution", caution_members, sizeof(struct sg_caution));
    struct sg_event a = {.at = 1}, b = a;
    ck_assert_ptr_null(difference(event_members, &a, &b));
    b.at = nextafter(1, 2);
    ck_assert_str_eq(difference(event_members, &a, &b), "at");
    b = a;
    b.flags = 1;
    ck_assert_str_eq(difference(event_members, &a, &b), "flags");
    b = a;
    b.kind = 1;
    ck_assert_str_eq(difference(event_members, &a, &b), "bags to kind");
}
END_TEST

static const struct {
    const char *key, *field, *text;
    enum sg_parse_state state;
    const char *why;
} not_taken[] = {
    {"2601/1/A", "quantity", "", SG_PARSE_UNFINISHED, "nothing typed"},
    {"2601/1/A", "quantity", "1.5", SG_PARSE_WRONG, "whole"},
    {"2601/1/A", "quantity", "=12*", SG_PARSE_UNFINISHED, ""},
    {"2601/1/A", "cut_length", "12x", SG_PARSE_WRONG, ""},
    {"2601/1", "thickness", "0", SG_PARSE_WRONG, "more than 0"},
    {"2601/1", "material", "cheese", SG_PARSE_WRONG, "not in the library"},
    {"2601/1", "pierce", "mov", SG_PARSE_UNFINISHED, "moving"},
    {"head:abrasive", "pressure", "none", SG_PARSE_WRONG, "cleared"},
    /* the rules between fields (rules.c) */
    {"machine:main", "low_line", "700 lb", SG_PARSE_WRONG,
     "low_line of 700.000 lb is not below the hopper's 600.000 lb"},
    {"machine:main", "hopper_level", "601 lb", SG_PARSE_WRONG,
     "hopper_level of 601.000 lb is more than the hopper's"},
    {"2603/1", "thickness", "9 in", SG_PARSE_WRONG,
     "thickness times stack is 9.000 in, the head lifts over z_travel 8.000 in"},
    {"2603/1", "stack", "20", SG_PARSE_WRONG, "thickness times stack is 10.000 in"},
    {"2605/1", "sheet_width", "70 in", SG_PARSE_WRONG, "does not fit across the table_width of 60.000 in"},
    {"2603/1", "margin", "30 in", SG_PARSE_WRONG, "leaves nothing of a sheet 24.000 in wide"},
    {"head:abrasive", "low_pressure", "60 ksi", SG_PARSE_WRONG,
     "low_pressure of 60.000 ksi is above the pressure of 55.000 ksi"},
    {"head:abrasive", "tube", "0.010 in", SG_PARSE_WRONG,
     "a tube of 0.010 in is not wider than the orifice of 0.013 in"},
    {"head:abrasive", "garnet", "none", SG_PARSE_WRONG, "an abrasive head needs a tube and a garnet feed"},
    {"shift:A", "breaks", "05:00-05:30", SG_PARSE_WRONG,
     "the break 05:00-05:30 does not lie inside the shift, 06:00 to 14:30"},
    {"shift:A", "end", "12:00", SG_PARSE_WRONG,
     "the break 12:00-12:30 does not lie inside the shift, 06:00 to 12:00"},
    {"shift:A", "breaks", "09:00-09:30,09:30-10:00", SG_PARSE_WRONG, "touches the one before it"},
};

START_TEST(a_text_that_is_not_taken_leaves_the_kept_results_and_says_why)
{
    struct sg_typed first = typed_into(not_taken[_i].key, not_taken[_i].field, not_taken[_i].text);
    ck_assert_msg(first.state == not_taken[_i].state, "%s=%s: %d %s", not_taken[_i].field, not_taken[_i].text,
                  first.state, first.text);
    ck_assert_msg(first.text[0] && strstr(first.text, not_taken[_i].why), "%s=%s: %s", not_taken[_i].field,
                  not_taken[_i].text, first.text);
    ck_plans_as(sg_desk_shop(desk), 0, not_taken[_i].field);
    ck_shop_is_mirror(not_taken[_i].field);
}
END_TEST

START_TEST(each_key_of_a_number_is_planned_and_a_wrong_one_takes_it_back)
{
    double kept = ends_of(0);
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "2").state, SG_PARSE_WHOLE);
    double two = ends_of(0);
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "25").state, SG_PARSE_WHOLE);
    double twenty_five = ends_of(0);
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "25x").state, SG_PARSE_WRONG);
    ck_assert_msg(two < kept && kept < twenty_five, "%g %g %g", two, kept, twenty_five);
    ck_assert(ends_of(0) == kept);
}
END_TEST

/* The planner keeps what it knows of the stocks that did not change: a part without pieces behind the one
 * that is typed must not reach into the next stock. */
START_TEST(a_part_without_pieces_leaves_the_next_stock_alone)
{
    mirror.shop.parts[1].quantity = 0; /* 2601/1/B, the last of its stock */
    ck_assert_int_eq(typed_into("2601/1/B", "quantity", "0").state, SG_PARSE_WHOLE);
    ck_plans_as(&mirror.shop, 0, "no pieces of B");
    mirror.shop.parts[0].quantity = 21;
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "21").state, SG_PARSE_WHOLE);
    ck_plans_as(&mirror.shop, 0, "21 pieces of A");
    mirror.shop.parts[1].cut_length = (double)NAN;
    mirror.shop.parts[1].quantity = 3;
    ck_assert_int_eq(typed_into("2601/1/B", "quantity", "3").state, SG_PARSE_WHOLE);
    ck_assert_int_eq(typed_into("2601/1/B", "cut_length", "none").state, SG_PARSE_WHOLE);
    ck_plans_as(&mirror.shop, 0, "B of no length");
    mirror.shop.parts[0].quantity = 22;
    ck_assert_int_eq(typed_into("2601/1/A", "quantity", "22").state, SG_PARSE_WHOLE);
    ck_plans_as(&mirror.shop, 0, "22 pieces of A");
}
END_TEST

/* sheet_on names a stock: a blank behind it must not make it another one. */
START_TEST(blanks_around_a_text_do_not_count)
{
    const struct sg_plan *plan = NULL;
    ck_assert_int_eq(typed_into("shift:A", "sheet_on", " 2601/1 \t").state, SG_PARSE_WHOLE);
    ck_assert_str_eq(sg_draft_shop(draft)->shifts[0].sheet_on, "2601/1");
    ck_assert_int_eq(sg_draft_plan(draft, 0, &plan, &error), SG_OK);
    ck_assert(plan->sheet_on);
}
END_TEST

START_TEST(what_was_typed_into_a_moved_job_goes_back_to_its_own_kept_value)
{
    struct sg_change change;
    struct sg_target target;
    const char *first = "order=1";
    ck_assert_int_eq(sg_draft_set(draft, "2603", &first, 1, &change, &target, &error), SG_OK);
    ck_assert_int_eq(target.index, 0);
    ck_assert_int_eq(typed_into("2603/1/A", "quantity", "99").state, SG_PARSE_WHOLE);
    ck_assert_int_eq(typed_into("2603/1/A", "quantity", "").state, SG_PARSE_UNFINISHED);
    ck_assert_int_eq(typed_into("2601/1", "edge", "x").state, SG_PARSE_WRONG);
    shop_copy_move(&mirror, 2, 0, 1);
    ck_shop_is_mirror("the move"); /* 12 base plates, not the 20 brackets that stand first in the kept shop */
    ck_plans_as(&mirror.shop, 0, "the move");
}
END_TEST

static void refuse_set(const char *key, const char *first, const char *second, const char *why)
{
    struct sg_change changes[2];
    struct sg_target target = {SG_KIND_CHORE, 77};
    const char *const assignments[] = {first, second};
    ck_assert_int_ne(sg_draft_set(draft, key, assignments, 2, changes, &target, &error), SG_OK);
    ck_assert_msg(strstr(error.text, why), "%s", error.text);
    ck_assert_int_eq(target.index, 77);
    ck_shop_is_mirror(second);
    ck_plans_as(&mirror.shop, 0, second);
}

START_TEST(set_in_a_draft_is_all_or_none)
{
    ck_assert_int_eq(typed_into("2602/1/A", "quantity", "3").state, SG_PARSE_WHOLE);
    mirror.shop.parts[2].quantity = 3; /* stays through everything that is refused */
    refuse_set("2601/1/A", "quantity=3", "pierces=-1", "pierces=-1");
    refuse_set("2601/1/A", "quantity=3", "colour=red", "no field \"colour\"");
    refuse_set("2601/1/A", "quantity=3", "quantity=4", "given twice");
    refuse_set("machine:main", "hopper=100 lb", "low_line=200 lb", "not below the hopper");
    refuse_set("shift:A", "start=05:00", "end=10:00", "does not lie inside the shift");
    refuse_set("2603", "order=1", "due=never", "due=never");
    refuse_set("2603", "shift=B", "order=0", "order=0");
    refuse_set("9999", "order=1", "due=none", "no job");
}
END_TEST

/* ---- two desks on one file ---- */

static void keep(struct sg_desk *with, const char *key, const char *assignment)
{
    struct sg_change change;
    shop_must(sg_desk_set(with, key, &assignment, 1, true, &change, NULL, &error), &error);
}

static const struct sg_part *part_of(struct sg_desk *of, const char *key)
{
    struct sg_target target = {SG_KIND_PART, 0};
    shop_must(sg_key_find(sg_desk_shop(of), key, &target, &error), &error);
    return &sg_desk_shop(of)->parts[target.index];
}

START_TEST(two_people_change_one_file_and_both_keep_theirs)
{
    struct shop_file shared;
    struct sg_draft *mine = NULL;
    struct sg_typed typed;
    const struct sg_plan *plan = NULL;
    shop_file_make(&shared, true);
    struct sg_desk *one = shop_file_desk(&shared, SG_STORE_WRITE),
                   *other = shop_file_desk(&shared, SG_STORE_WRITE);
    shop_must(sg_draft_new(one, &mine, &error), &error);
    struct sg_target target = {SG_KIND_PART, 0}; /* 2601/1/A */
    const struct sg_field *quantity = sg_field_find(SG_KIND_PART, "quantity");
    sg_draft_type(mine, target, quantity, "7", &typed);
    ck_assert_int_eq(sg_draft_plan(mine, 0, &plan, &error), SG_OK);
    double drafted = plan->ends;
    keep(other, "2601/1/B", "quantity=5"); /* while the draft of one stands */
    ck_assert_int_eq(sg_draft_plan(mine, 0, &plan, &error), SG_OK);
    ck_assert(plan->ends == drafted);
    ck_assert_int_eq(sg_draft_shop(mine)->parts[0].quantity, 7);
    keep(one, "2601/1/A", "quantity=7");
    ck_assert_int_eq(sg_draft_reset(mine, &error), SG_OK);
    ck_assert_int_eq(sg_draft_shop(mine)->parts[0].quantity, 7);
    ck_assert_int_eq(sg_draft_shop(mine)->parts[1].quantity, 5);
    struct sg_desk *third = shop_file_desk(&shared, SG_STORE_READ);
    ck_assert_int_eq(part_of(third, "2601/1/A")->quantity, 7);
    ck_assert_int_eq(part_of(third, "2601/1/B")->quantity, 5);
    sg_desk_close(third);
    /* a field of the same row, and the same field: the later one stands */
    keep(other, "2601/1/A", "pierces=9");
    keep(one, "2601/1/A", "cut_length=10 in");
    keep(other, "2601/1/A", "quantity=8");
    ck_assert_int_eq(part_of(other, "2601/1/A")->quantity, 8);
    ck_assert_int_eq(part_of(other, "2601/1/A")->pierces, 9);
    ck_assert(part_of(other, "2601/1/A")->cut_length == 254);
    sg_draft_free(mine);
    sg_desk_close(one);
    sg_desk_close(other);
    ck_assert(shop_file_remove(&shared));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("draft");
    TCase *plain = tcase_create("plain"), *example = on_shop(suite, "example", open_example);
    suite_add_tcase(suite, plain);
    tcase_add_test(plain, the_comparison_leaves_nothing_out);
    tcase_add_test(plain, two_people_change_one_file_and_both_keep_theirs);
    tcase_add_loop_test(example, a_text_that_is_not_taken_leaves_the_kept_results_and_says_why, 0,
                        sizeof not_taken / sizeof *not_taken);
    tcase_add_test(example, each_key_of_a_number_is_planned_and_a_wrong_one_takes_it_back);
    tcase_add_test(example, a_part_without_pieces_leaves_the_next_stock_alone);
    tcase_add_test(example, blanks_around_a_text_do_not_count);
    tcase_add_test(example, what_was_typed_into_a_moved_job_goes_back_to_its_own_kept_value);
    tcase_add_test(example, set_in_a_draft_is_all_or_none);
    return run(suite);
}
