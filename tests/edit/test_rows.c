/* Whole rows are removed, copied and moved, or nothing is. */
#include "edit/steps.h"

static void ck_orders_close_up(void)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    int32_t place = 0;
    for (int32_t i = 0; i < shop->n_jobs; i++) {
        place = i > 0 && shop->jobs[i - 1].shift == shop->jobs[i].shift ? place + 1 : 1;
        ck_assert_int_eq(shop->jobs[i].order, place);
    }
}

START_TEST(a_removed_row_takes_along_what_belongs_to_it)
{
    must(sg_desk_remove(desk, "2602", &error));
    ck_assert(!there("2602") && !there("2602/1") && !there("2602/1/A"));
    ck_assert_int_eq(sg_desk_shop(desk)->n_jobs, 4);
    ck_orders_close_up();
    must(sg_desk_remove(desk, "2605/1", &error));
    ck_assert(!there("2605/1") && there("2605/2/A"));
    must(sg_desk_remove(desk, "2601/1/A", &error));
    ck_assert(!there("2601/1/A") && there("2601/1/B"));
    must(add(SG_KIND_CHORE, NULL, "wash"));
    must(sg_desk_remove(desk, "chore:wash", &error));
    ck_assert(!there("chore:wash"));
    must(add_shift());
    must(sg_desk_remove(desk, "shift:B", &error));
    must(copy_head());
    must(sg_desk_remove(desk, "head:abrasive two", &error));
    must(sg_desk_remove(desk, "material:BeCu", &error)); /* by another name of it */
    ck_assert(!there("material:copper, beryllium"));
    ck_newest(10, "office", "material:copper, beryllium removed");
    struct sg_desk *now = snapshot();
    ck_shows(now, "all that");
    sg_desk_close(now);
}
END_TEST

static void ck_refusal(enum sg_status status, const char *why, struct sg_desk *before)
{
    ck_assert_msg(status == SG_BAD_DATA, "%s gives %d", why, status);
    ck_assert_msg(strstr(error.text, why) != NULL, "\"%s\" is not in: %s", why, error.text);
    ck_shows(before, error.text);
    ck_assert_int_eq(history().n, 0);
}

START_TEST(what_is_in_use_or_not_there_is_not_removed)
{
    static const char *const refused[][2] = {
        {"shift:A", "job 2601 and 4 more use it"},
        {"head:abrasive", "machine main uses it"},
        {"material:glass, float", "stock 2604/1 uses it"},
        {"machine:main", "machine cannot be removed"},
        {"2699", "no job \"2699\""},
        {"2601/9", "9"},
        {"2601/1/Z", "no part \"Z\""},
        {"chore:none", "none"},
        {"material:coppe", "2 materials begin so"},
        {"material:titan", "material:titan is only the beginning of material:titanium"},
        {"material:", ""},
        {"", ""},
    };
    struct sg_desk *before = snapshot();
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        ck_refusal(sg_desk_remove(desk, refused[i][0], &error), refused[i][1], before);
    sg_desk_close(before);
}
END_TEST

/* A name that is whole, in any case, or a whole alias. */
START_TEST(a_material_is_removed_by_its_whole_name_only)
{
    ck_assert_int_eq(sg_desk_remove(desk, "material:tit", &error), SG_BAD_DATA);
    must(sg_desk_remove(desk, "material:TITANIUM", &error));
    ck_newest(1, "office", "material:titanium removed");
    must(sg_desk_copy(desk, "material:stainless 30", "material:stainless 309", &target, &error));
    ck_newest(2, "office", "material:stainless 304 copied to material:stainless 309");
    must(sg_desk_remove(desk, "material:stainless 309", &error)); /* and not 304 */
    ck_assert(there("material:stainless 304") && !there("material:stainless 309"));
    must(sg_desk_copy(desk, "head:ABRASIVE", "head:two", &target, &error));
    ck_newest(4, "office", "head:abrasive copied to head:two");
}
END_TEST

static void ck_same_parts(const char *a, const char *b)
{
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_stock *x = &shop->stocks[found(desk, a).index], *y = &shop->stocks[found(desk, b).index];
    int n_fields;
    const struct sg_field *fields = sg_fields(SG_KIND_STOCK, &n_fields);
    struct sg_value p, q;
    for (int f = 0; f < n_fields; f++) {
        sg_field_get(&fields[f], x, &p);
        sg_field_get(&fields[f], y, &q);
        ck_assert_msg(sg_field_same(&fields[f], &p, &q), "%s of %s", fields[f].name, b);
    }
    ck_assert_int_eq(x->n_parts, y->n_parts);
    fields = sg_fields(SG_KIND_PART, &n_fields);
    for (int32_t i = 0; i < x->n_parts; i++) {
        const struct sg_part *k = &shop->parts[x->first_part + i], *l = &shop->parts[y->first_part + i];
        ck_assert_str_eq(k->id, l->id);
        for (int f = 0; f < n_fields; f++) {
            sg_field_get(&fields[f], k, &p);
            sg_field_get(&fields[f], l, &q);
            ck_assert_msg(sg_field_same(&fields[f], &p, &q), "%s of %s/%s", fields[f].name, b, l->id);
        }
    }
}

START_TEST(a_copied_job_has_everything_and_stands_at_the_end)
{
    must(copy_job());
    const struct sg_shop *shop = sg_desk_shop(desk);
    ck_assert_int_eq(target.kind, SG_KIND_JOB);
    const struct sg_job *copy = &shop->jobs[target.index], *from = &shop->jobs[found(desk, "2605").index];
    ck_assert_str_eq(copy->id, "2705");
    ck_assert_str_eq(copy->name, from->name);
    ck_assert_str_eq(copy->customer, "customer 7");
    ck_assert_int_eq(copy->due, from->due);
    ck_assert_int_eq(copy->shift, from->shift);
    ck_assert_int_eq(copy->order, 6);
    ck_assert_int_eq(copy->n_stocks, 2);
    ck_same_parts("2605/1", "2705/1");
    ck_same_parts("2605/2", "2705/2");
    ck_orders_close_up();
}
END_TEST

START_TEST(a_copied_stock_gets_the_next_number)
{
    must(sg_desk_copy(desk, "2601/1", "2605", &target, &error));
    ck_assert_int_eq(sg_desk_shop(desk)->stocks[target.index].number, 3);
    ck_same_parts("2601/1", "2605/3");
    must(sg_desk_copy(desk, "2605/1", "2605", &target, &error)); /* to its own job */
    ck_same_parts("2605/1", "2605/4");
}
END_TEST

START_TEST(a_copied_part_keeps_its_key_or_gets_a_new_one)
{
    must(sg_desk_copy(desk, "2601/1/B", "2602/1", &target, &error));
    ck_assert_int_eq(part_of(desk, "2602/1/B")->quantity, 36);
    ck_assert_ptr_eq(part_of(desk, "2602/1/B"), &sg_desk_shop(desk)->parts[target.index]);
    must(sg_desk_copy(desk, "2601/1/B", "2602/1/3/4 in", &target, &error));
    ck_assert_str_eq(sg_desk_shop(desk)->parts[target.index].id, "3/4 in");
    must(sg_desk_copy(desk, "2602/1/3/4 in", "2601/1", &target, &error));
    ck_assert_int_eq(part_of(desk, "2601/1/3/4 in")->quantity, 36);
    ck_assert_int_eq(part_of(desk, "2601/1/B")->quantity, 36); /* the original stays */
}
END_TEST

START_TEST(heads_materials_shifts_and_chores_are_copied_to_another_name)
{
    const struct sg_shop *shop;
    const char *time_of_it = "time=7 min";
    must(copy_head());
    shop = sg_desk_shop(desk);
    ck_assert_str_eq(shop->heads[target.index].name, "abrasive two");
    ck_assert(shop->heads[target.index].orifice == shop->heads[found(desk, "head:abrasive").index].orifice);
    must(copy_material());
    shop = sg_desk_shop(desk);
    ck_assert(shop->materials[target.index].density ==
              shop->materials[found(desk, "material:copper").index].density);
    must(copy_shift());
    shop = sg_desk_shop(desk);
    ck_assert_int_eq(shop->shifts[target.index].n_breaks, 2);
    ck_assert_int_eq(shop->n_jobs, 5); /* a shift's jobs do not belong to it */
    must(sg_desk_add(desk, SG_KIND_CHORE, NULL, "wash", &time_of_it, 1, 20000, changes, &target, &error));
    must(sg_desk_copy(desk, "chore:wash", "chore:wash again", &target, &error));
    ck_assert(sg_desk_shop(desk)->chores[target.index].time == 420);
    ck_assert_int_eq(sg_desk_shop(desk)->n_chores, 2);
}
END_TEST

START_TEST(a_copy_that_has_no_place_is_refused)
{
    static const char *const refused[][3] = {
        {"2601", "2602", "2602 exists already"},
        {"2601", "27/01", "may not hold / or :"},
        {"2601", "", ""},
        {"2601/1", "2699", "no job \"2699\""},
        {"2601/1", "2602/1", "a stock goes to a JOB; 2602/1 is a stock"},
        {"2601/1", "shift:A", "a stock goes to a JOB; shift:A is a shift"},
        {"2601/1/A", "2602/1", "A exists already"},
        {"2601/1/A", "2601/1/B", "B exists already"},
        {"2601/1/A", "2602", "a part goes to JOB/STOCK or JOB/STOCK/PART; 2602 is a job"},
        {"2601/1/A", "2602/9/A", "9"},
        {"2601/1/A", "2602/1/", ""},
        {"head:abrasive", "head:water", "water exists already"},
        {"head:abrasive", "water two", "a head is copied to head:NAME"},
        {"head:abrasive", "head:", ""},
        {"material:copper", "material:acrylic", "acrylic exists already"},
        {"material:copper", "head:copper", "a material is copied to material:NAME"},
        {"shift:A", "shift:A", "A exists already"},
        {"machine:main", "machine:two", "a shop file holds one machine"},
        {"2699", "2700", "no job \"2699\""},
    };
    struct sg_desk *before = snapshot();
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        ck_refusal(sg_desk_copy(desk, refused[i][0], refused[i][1], &target, &error), refused[i][2], before);
    sg_desk_close(before);
}
END_TEST

START_TEST(what_is_moved_is_there_and_no_longer_where_it_was)
{
    must(add_shift());
    must(sg_desk_move(desk, "2602", "shift:B", &target, &error));
    ck_assert_int_eq(target.kind, SG_KIND_JOB);
    ck_assert_str_eq(sg_desk_shop(desk)->jobs[target.index].id, "2602");
    ck_assert_str_eq(sg_desk_shop(desk)->shifts[sg_desk_shop(desk)->jobs[target.index].shift].id, "B");
    ck_orders_close_up();
    ck_newest(2, "office", "shift of 2602: A -> B");
    must(sg_desk_move(desk, "2605/1", "2601", &target, &error));
    ck_assert_int_eq(sg_desk_shop(desk)->stocks[target.index].number, 2);
    ck_assert(there("2601/2/A") && !there("2605/1") && there("2605/2/A"));
    ck_assert_int_eq(part_of(desk, "2601/2/A")->pierces, 6);
    must(sg_desk_move(desk, "2601/1/B", "2602/1", &target, &error));
    ck_assert(!there("2601/1/B"));
    ck_assert_int_eq(part_of(desk, "2602/1/B")->quantity, 36);
    must(sg_desk_move(desk, "2602/1/B", "2602/1/C", &target, &error)); /* so a part gets another key */
    ck_assert(!there("2602/1/B"));
    ck_assert_int_eq(part_of(desk, "2602/1/C")->quantity, 36);
    ck_assert_int_eq(history().n, 5);
    struct sg_desk *now = snapshot();
    ck_shows(now, "all that");
    sg_desk_close(now);
}
END_TEST

START_TEST(a_move_that_has_no_place_is_refused)
{
    static const char *const refused[][3] = {
        {"2601", "shift:Z", "Z"},
        {"2601", "2602", "a job is moved to shift:ID"},
        {"2601", "Z", "a job is moved to shift:ID"},
        {"2601/1", "2699", "no job \"2699\""},
        {"2601/1", "shift:A", "a stock goes to a JOB"},
        {"2601/1/A", "2602/1", "A exists already"},
        {"2601/1/A", "2601/1", "A exists already"},
        {"2601/1/A", "2602", "a part goes to JOB/STOCK"},
        {"head:abrasive", "head:two", "head:abrasive is a head"},
        {"shift:A", "shift:B", "shift:A is a shift"},
        {"machine:main", "machine:two", "machine:main is a machine"},
        {"2699", "shift:A", "no job \"2699\""},
    };
    struct sg_desk *before = snapshot();
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        ck_refusal(sg_desk_move(desk, refused[i][0], refused[i][1], &target, &error), refused[i][2], before);
    sg_desk_close(before);
}
END_TEST

/* Another desk removed it in the meantime, or added it. */
START_TEST(what_another_desk_did_to_a_row_counts)
{
    struct sg_desk *floor = desk_of("floor");
    must(sg_desk_remove(floor, "2602", &error));
    ck_assert(there("2602")); /* not looked yet */
    ck_assert_int_eq(sg_desk_remove(desk, "2602", &error), SG_BAD_DATA);
    ck_assert(!there("2602"));
    must(sg_desk_copy(floor, "2601", "2801", &target, &error));
    looked(desk, true);
    must(sg_desk_move(desk, "2801/1/A", "2603/1/Z", &target, &error));
    ck_assert_int_eq(part_of(desk, "2603/1/Z")->quantity, 20);
    sg_desk_close(floor);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rows");
    TCase *tests = tcase_create("rows");
    tcase_add_checked_fixture(tests, open_example, close_example);
    tcase_add_test(tests, a_removed_row_takes_along_what_belongs_to_it);
    tcase_add_test(tests, what_is_in_use_or_not_there_is_not_removed);
    tcase_add_test(tests, a_material_is_removed_by_its_whole_name_only);
    tcase_add_test(tests, a_copied_job_has_everything_and_stands_at_the_end);
    tcase_add_test(tests, a_copied_stock_gets_the_next_number);
    tcase_add_test(tests, a_copied_part_keeps_its_key_or_gets_a_new_one);
    tcase_add_test(tests, heads_materials_shifts_and_chores_are_copied_to_another_name);
    tcase_add_test(tests, a_copy_that_has_no_place_is_refused);
    tcase_add_test(tests, what_is_moved_is_there_and_no_longer_where_it_was);
    tcase_add_test(tests, a_move_that_has_no_place_is_refused);
    tcase_add_test(tests, what_another_desk_did_to_a_row_counts);
    suite_add_tcase(suite, tests);
    return run(suite);
}
