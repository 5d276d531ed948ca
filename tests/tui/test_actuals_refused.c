/* The questions of the Actuals screen: what is refused stays to be mended, and what chooses a word. */
#include "edit/run_suite.h"
#include "tui/actuals_day.h"

enum { REFUSED = 13, TIMES = 12 }; /* rows of tables in tests */

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* Whatever the reason: the question is open again, the text as it was typed, ready to be mended. */
START_TEST(what_is_refused_is_in_its_question_again)
{
    static const struct {
        const char *key, *typed, *said;
    } refused[] = {{"@", " 608", "is no time such as 10:40"},
                   {"@", "2025-12-01 10:00", "more than half a year ago"},
                   {"t", "9:29 1", "has several parts"},
                   {"t", "0 A", "1 to 1000000 pieces"},
                   {"X", "9:29 40 A edge burnt", "2601/1/A"},
                   {"R", "2000", "hopper"},
                   {"f", "10:40 0", "a fill is 1 bag or more"},
                   {"f", "500", "bags"},
                   {"m", "10:40 abc", "abc"},
                   {"O", "10:40 hose", "choose the tube or the orifice"},
                   {"v", "10:40 oil", "oil"},
                   {"c", "2027-12-01 10:00 wrong year", "no shift is near"},
                   {"s", "2027-12-01 10:00 wrong year", "no shift is near"}};
    ck_assert_int_eq(COUNT(refused), REFUSED);
    add_chore();
    start_cut();
    int before = noted();
    press(&s, refused[_i].key);
    press(&s, refused[_i].typed);
    press(&s, "<Enter>");
    ck_said(refused[_i].said);
    ck_assert_int_eq(s.wish, SG_WISH_BELL);
    ck_assert_ptr_nonnull(s.ui->question);
    ck_assert_str_eq(sg_entry_text(&s.ui->entry), refused[_i].typed);
    press(&s, "b"); /* goes on in the text and is no key */
    ck_assert_str_eq(sg_entry_text(&s.ui->entry) + strlen(refused[_i].typed), "b");
    press(&s, "<Esc>");
    ck_assert_ptr_null(s.ui->question);
    ck_assert_int_eq(noted(), before);
}
END_TEST

START_TEST(a_key_that_asks_nothing_opens_no_question_where_it_is_refused)
{
    static const char *const keys[] = {"B", ":record-stop<Enter>"};
    press(&s, "R2000<Enter><Esc>"); /* an older one was refused */
    press(&s, keys[_i]);
    ck_said("no clock runs");
    ck_assert_ptr_null(s.ui->question);
}
END_TEST

/* Enter behind a time alone does what Enter alone does: nothing is chosen by a time. */
START_TEST(a_time_alone_chooses_nothing)
{
    static const struct {
        const char *keys;
        int32_t what;
        const char *reason;
        int n; /* records it makes; 0: it is refused */
    } keys[] = {{"t10:45<Enter>", SG_RECORD_DONE, "", 2},
                {"t10:45 <Enter>", SG_RECORD_DONE, "", 2},
                {"t10:45 all<Enter>", SG_RECORD_DONE, "", 2},
                {"tA<Backspace><Enter>", SG_RECORD_DONE, "", 2},
                {"s10:45<Enter>", SG_RECORD_PAUSE, "", 1},
                {"O10:45<Enter>", SG_RECORD_TUBE, "", 0},
                {"v10:45<Enter>", SG_RECORD_SERVICE, "", 0},
                {"X10:45 1<Enter>", SG_RECORD_SCRAP, "", 0},
                {"t10:45<Down><Down><Enter>", SG_RECORD_DONE, "", 1},
                {"t10:45 short<Enter>", SG_RECORD_DONE, "", 1},
                {"X10:45 2 B short<Enter>", SG_RECORD_SCRAP, "short", 1},
                {"X10:45 2 short<Enter>", SG_RECORD_SCRAP, "", 1}};
    ck_assert_int_eq(COUNT(keys), TIMES);
    add_chore();
    start_cut();
    press(&s, "spump leaks<Enter>u"); /* nor by a reason that was used before */
    press(&s, "s10:30 pump leaks<Enter>");
    at("10:40");
    press(&s, "r");
    at("10:55");
    int before = shop()->n_records;
    press(&s, keys[_i].keys);
    ck_assert_int_eq(shop()->n_records - before, keys[_i].n);
    if (keys[_i].n == 0)
        return;
    ck_assert_int_eq(newest()->what, keys[_i].what);
    ck_assert_int_eq(newest()->at, at_of("10:45") + (strncmp(keys[_i].keys, "tA", 2) == 0 ? 600 : 0));
    ck_assert_str_eq(newest()->reason, keys[_i].reason);
    if (keys[_i].n == 1 && keys[_i].what != SG_RECORD_PAUSE)
        ck_assert_str_eq(newest()->place, "2601/1/B");
    if (keys[_i].what == SG_RECORD_SCRAP)
        ck_assert_int_eq(newest()->count, 2);
}
END_TEST

/* Ids that are numbers: a choice says how many too, and a number that is typed is never a part. */
START_TEST(a_part_whose_id_is_a_number_is_not_taken_for_a_count)
{
    static const char *const values[] = {"quantity=4", "cut_length=20in", "length=2in", "width=2in"};
    stand_on(&s, "2601/1/A", "quantity");
    press(&s, "a<Ctrl-U>5<Enter><Esc>");
    for (int i = 0; i < COUNT(values); i++)
        other_sets(&s, "office", "2601/1/5", values[i]);
    ck_assert(sg_ui_look(s.ui));
    press(&s, "ga");
    start_cut();
    press(&s, "t");
    ck_shows(&s, "  all 5");
    press(&s, "5<Enter>");
    ck_said("has several parts");
    press(&s, "<Ctrl-U>3 5<Enter>");
    ck_assert_str_eq(newest()->place, "2601/1/5");
    ck_assert_int_eq(newest()->count, 3);
    press(&s, "t<Down><Down><Enter>");
    ck_assert_str_eq(newest()->place, "2601/1/5");
    ck_assert_int_eq(newest()->count, 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("actuals_refused");
    TCase *c = tcase_create("actuals_refused");
    tcase_add_checked_fixture(c, day_start, day_stop);
    tcase_add_loop_test(c, what_is_refused_is_in_its_question_again, 0, REFUSED);
    tcase_add_loop_test(c, a_key_that_asks_nothing_opens_no_question_where_it_is_refused, 0, 2);
    tcase_add_loop_test(c, a_time_alone_chooses_nothing, 0, TIMES);
    tcase_add_test(c, a_part_whose_id_is_a_number_is_not_taken_for_a_count);
    suite_add_tcase(suite, c);
    return run(suite);
}
