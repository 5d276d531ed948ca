/* The same text typed into a field of several rows, and edits of several rows tried in a draft: all or none.
 */
#include "edit/drafting.h"
#include "sandglass/rules.h"
#include "support/random.h"

enum { MOST = 600 };

static struct sg_target targets[MOST];
static int n_targets;

static void take_all(enum sg_kind kind)
{
    n_targets = rows_of(&mirror.shop, kind);
    ck_assert_int_le(n_targets, MOST);
    for (int i = 0; i < n_targets; i++)
        targets[i] = (struct sg_target){kind, i};
}

static struct sg_typed typed_rows(const char *name, const char *text)
{
    struct sg_typed typed;
    sg_draft_type_rows(draft, targets, n_targets, sg_field_find(targets[0].kind, name), text, &typed);
    return typed;
}

START_TEST(a_text_typed_into_rows_is_in_all_of_them)
{
    struct sg_typed typed;
    take_all(SG_KIND_PART);
    typed = typed_rows("quantity", "=3+4");
    ck_assert_int_eq(typed.state, SG_PARSE_WHOLE);
    ck_assert_int_eq(typed.value.whole, 7);
    for (int i = 0; i < n_targets; i++)
        mirror.shop.parts[i].quantity = 7;
    ck_shop_is_mirror("quantity");
    ck_plans_as(&mirror.shop, 0, "quantity");
    take_all(SG_KIND_JOB);
    ck_assert_int_eq(typed_rows("due", "2026-12-01 11:00").state, SG_PARSE_WHOLE);
    ck_assert_int_eq(typed_rows("note", " call first  ").state, SG_PARSE_WHOLE);
    for (int i = 0; i < n_targets; i++) {
        mirror.shop.jobs[i].note = "call first";
        mirror.shop.jobs[i].due = (int64_t)sg_date_days(2026, 12, 1) * SG_DAY_S + 11 * 3600;
    }
    sg_calendar_fill_all(&mirror.shop);
    ck_shop_is_mirror("due and note");
    ck_plans_as(&mirror.shop, 0, "due and note");
    ck_plans_as(&mirror.shop, 1, "due and note");
}
END_TEST

START_TEST(a_text_that_is_not_whole_gives_all_rows_their_kept_values_back)
{
    static const struct {
        const char *text;
        enum sg_parse_state state;
    } texts[] = {{"", SG_PARSE_UNFINISHED}, {"=7*", SG_PARSE_UNFINISHED}, {"7x", SG_PARSE_WRONG}};
    take_all(SG_KIND_PART);
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        ck_assert_int_eq(typed_rows("quantity", "7").state, SG_PARSE_WHOLE);
        struct sg_typed typed = typed_rows("quantity", texts[i].text);
        ck_assert_int_eq(typed.state, texts[i].state);
        ck_assert(typed.text[0]);
        ck_shop_is_mirror(texts[i].text);
        ck_plans_as(sg_desk_shop(desk), 0, texts[i].text);
    }
}
END_TEST

/* 17 sheets of half an inch are too high, and 2603/1 is not the first row: those before it had the text. */
START_TEST(what_one_rows_rule_refuses_no_row_gets_and_the_row_is_named)
{
    take_all(SG_KIND_STOCK);
    targets[0] = targets[n_targets - 1]; /* without 2601/1, which is as thick */
    n_targets--;
    ck_assert_int_eq(typed_rows("stack", "2").state, SG_PARSE_WHOLE);
    struct sg_typed typed = typed_rows("stack", "17");
    ck_assert_int_eq(typed.state, SG_PARSE_WRONG);
    ck_assert_msg(strncmp(typed.text, "2603/1: thickness times stack is 8.500 in", 41) == 0, "%s",
                  typed.text);
    ck_shop_is_mirror("17 sheets on each other");
    ck_plans_as(sg_desk_shop(desk), 0, "17 sheets on each other");
    targets[0] = find("2603/1");
    n_targets = 1; /* a row alone needs no name */
    ck_assert_msg(strncmp(typed_rows("stack", "17").text, "thickness times stack", 21) == 0, "%s",
                  typed.text);
}
END_TEST

/* Jobs stand elsewhere in the draft, so do all of their rows. */
START_TEST(rows_of_moved_jobs_get_their_own_kept_values_back)
{
    static const struct {
        enum sg_kind kind;
        const char *field, *text, *wrong;
    } fields[] = {{SG_KIND_PART, "rapid_length", "777 mm", "x"},
                  {SG_KIND_STOCK, "thickness", "7 mm", "0"},
                  {SG_KIND_JOB, "customer", "somebody else", "a\x01"}};
    struct random dice = {.state = 0xB0A7};
    struct sg_change change;
    struct sg_target target;
    for (int round = 0; round < 30; round++) {
        char order[24], key[80];
        const char *assignment = order;
        int32_t job = (int32_t)random_below(&dice, (unsigned)mirror.shop.n_jobs), place;
        place = 1 + (int32_t)random_below(&dice, 20);
        snprintf(key, sizeof key, "%s", mirror.shop.jobs[job].id);
        snprintf(order, sizeof order, "order=%d", place);
        ck_assert_int_eq(sg_draft_set(draft, key, &assignment, 1, &change, &target, &error), SG_OK);
        shop_copy_move(&mirror, job, mirror.shop.jobs[job].shift, place);
        for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
            take_all(fields[i].kind);
            for (int k = n_targets - 1; k > 0; k--) { /* in any order */
                unsigned other = random_below(&dice, (unsigned)k + 1);
                const struct sg_target swapped = targets[k];
                targets[k] = targets[other];
                targets[other] = swapped;
            }
            ck_assert_int_eq(typed_rows(fields[i].field, fields[i].text).state, SG_PARSE_WHOLE);
            ck_assert_str_ne(shop_difference(sg_draft_shop(draft), &mirror.shop), "");
            ck_assert_int_eq(typed_rows(fields[i].field, fields[i].wrong).state, SG_PARSE_WRONG);
            ck_shop_is_mirror(fields[i].field);
        }
    }
    ck_plans_as(&mirror.shop, 0, "all that");
}
END_TEST

/* ---- edits tried together ---- */

static struct sg_edit edit_of(const char *key, const char *assignment, const char *before)
{
    struct sg_edit edit = {.before = before};
    snprintf(edit.key, sizeof edit.key, "%s", key);
    snprintf(edit.assignment, sizeof edit.assignment, "%s", assignment);
    return edit;
}

START_TEST(a_draft_shows_edits_by_the_rules_of_keeping)
{
    const struct sg_edit edits[] = {
        edit_of("shift:A", "start=14:00", "06:00"),
        edit_of("2601/1/A", "quantity=7", "20"),
        edit_of("shift:A", "breaks=17:00-17:30", NULL),
        edit_of("shift:A", "end=22:00", NULL),
        edit_of("2603", "order=1", "3"),
    };
    struct sg_change changes[5];
    struct sg_clash clash;
    struct shop_file kept_file;
    shop_must(sg_draft_edit(draft, edits, 5, changes, &error), &error);
    ck_assert_str_eq(changes[1].before, "20");
    ck_assert_str_eq(changes[1].after, "7");
    /* the same edits kept, in another file of the same example */
    shop_file_make(&kept_file, true);
    struct sg_desk *kept = shop_file_desk(&kept_file, SG_STORE_WRITE);
    shop_must(sg_desk_keep(kept, edits, 5, NULL, changes, &clash, &error), &error);
    shop_copy_take(&mirror, sg_desk_shop(desk));
    mirror.shop.shifts[0] = sg_desk_shop(kept)->shifts[0];
    mirror.shop.parts[0].quantity = 7;
    shop_copy_move(&mirror, 2, 0, 1);
    ck_shop_is_mirror("edits");
    ck_plans_as(&mirror.shop, 0, "edits");
    sg_desk_close(kept);
    ck_assert(shop_file_remove(&kept_file));
}
END_TEST

START_TEST(edits_that_do_not_go_leave_the_draft_as_kept)
{
    const struct {
        struct sg_edit last;
        enum sg_status status;
        const char *why;
    } bad[] = {
        {edit_of("2602/1/A", "quantity=x", NULL), SG_BAD_DATA, "quantity"},
        {edit_of("2699", "order=1", NULL), SG_BAD_DATA, "no job"},
        {edit_of("2603/1", "stack=17", NULL), SG_BAD_DATA, "2603/1: thickness times stack"},
        {edit_of("2602/1/A", "quantity=8", "11"), SG_NO, "quantity of 2602/1/A is 12 by now, no longer 11"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        const struct sg_edit edits[] = {edit_of("2601/1/A", "quantity=7", NULL),
                                        edit_of("2603", "order=1", NULL), bad[i].last};
        struct sg_change changes[3];
        ck_assert_int_eq(typed_into("2604/1/A", "quantity", "3").state, SG_PARSE_WHOLE);
        ck_assert_int_eq(sg_draft_edit(draft, edits, 3, changes, &error), bad[i].status);
        ck_assert_msg(strstr(error.text, bad[i].why), "%s", error.text);
        ck_shop_is_mirror(bad[i].why);
        ck_plans_as(sg_desk_shop(desk), 0, bad[i].why);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rows of a draft");
    TCase *example = on_shop(suite, "example", open_example),
          *lines = on_shop(suite, "500 lines", open_lines);
    tcase_add_test(example, a_text_typed_into_rows_is_in_all_of_them);
    tcase_add_test(lines, a_text_typed_into_rows_is_in_all_of_them);
    tcase_add_test(example, a_text_that_is_not_whole_gives_all_rows_their_kept_values_back);
    tcase_add_test(example, what_one_rows_rule_refuses_no_row_gets_and_the_row_is_named);
    tcase_add_test(example, rows_of_moved_jobs_get_their_own_kept_values_back);
    tcase_add_test(lines, rows_of_moved_jobs_get_their_own_kept_values_back);
    tcase_add_test(example, a_draft_shows_edits_by_the_rules_of_keeping);
    tcase_add_test(example, edits_that_do_not_go_leave_the_draft_as_kept);
    return run(suite);
}
