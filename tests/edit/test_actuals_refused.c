/* What cannot have happened is refused with what would be right, or set right. */
#include "edit/acts.h"

START_TEST(a_stop_without_a_clock_and_a_resume_without_a_pause_are_slips)
{
    ck_refuse(put("06:00", SG_RECORD_STOP, "", ""), SG_BAD_DATA,
              "no clock runs; `record start PLACE` starts one");
    ck_refuse(put("06:00", SG_RECORD_RESUME, "", ""), SG_BAD_DATA, "the machine is not paused");
    must(put("06:05", SG_RECORD_PAUSE, "", "no water"));
    ck_step("machine stands (no clock runs): no water");
    must(put("06:10", SG_RECORD_RESUME, "", ""));
    must(start("2601/1", "06:15"));
    ck_refuse(put("06:20", SG_RECORD_RESUME, "", ""), SG_BAD_DATA, "the machine is not paused");
    ck_refuse(put("06:14", SG_RECORD_STOP, "", ""), SG_BAD_DATA, "no clock runs");
    must(put("06:20", SG_RECORD_STOP, "", ""));
    ck_assert_int_eq(sg_desk_shop(desk)->n_records, 3);
}
END_TEST

START_TEST(a_moment_is_not_to_come_and_not_of_another_year_unless_a_shift_is_near)
{
    const struct sg_shop *shop = sg_desk_shop(desk); /* its shift is on 2026-12-01, 06:00 to 14:30 */
    const int64_t today = at("00:00") - 5 * (int64_t)SG_DAY_S;
    must(sg_note_moment(shop, today, today, &error));
    must(sg_note_moment(shop, today + 300, today, &error));
    ck_refuse(sg_note_moment(shop, today + 301, today, &error), SG_BAD_DATA,
              "2026-11-26 00:05:01 is later than now (2026-11-26 00:00), and no shift is near");
    must(sg_note_moment(shop, at("06:05"), today, &error));
    must(sg_note_moment(shop, at("06:00") - 12 * 3600, today, &error));
    ck_refuse(sg_note_moment(shop, at("06:00") - 12 * 3600 - 1, today, &error), SG_BAD_DATA,
              "later than now");
    must(sg_note_moment(shop, at("14:30") + 12 * 3600, today, &error));
    ck_refuse(sg_note_moment(shop, at("14:30") + 12 * 3600 + 1, today, &error), SG_BAD_DATA,
              "later than now");
    must(sg_note_moment(shop, today - 100 * (int64_t)SG_DAY_S, today, &error));
    ck_refuse(sg_note_moment(shop, today - 365 * (int64_t)SG_DAY_S, today, &error), SG_BAD_DATA,
              "is the year right?");
    must(sg_note_moment(shop, at("06:05"), at("06:05") + 400 * (int64_t)SG_DAY_S, &error));
}
END_TEST

START_TEST(what_was_counted_as_done_and_is_scrapped_is_moved)
{
    must(start("2601/1", "06:10"));
    must(count("08:00", false, 18, "A")); /* of 20 */
    must(count("08:10", true, 5, "A"));
    ck_step("5 of 2601/1/A scrapped, 3 of them counted as done before");
    read_now("08:20");
    const struct sg_actual_part *a = &now.actual.parts[found(desk, "2601/1/A").index];
    ck_assert_int_eq((int)a->good, 15);
    ck_assert_int_eq((int)a->scrapped, 5);
    ck_assert_int_eq((int)(now.actual.clocks[0].good + now.actual.clocks[0].scrapped), 20);
    ck_assert_int_eq(now.actual.n_remarks, 0);
    ck_refuse(
        count("08:30", true, 16, "A"), SG_BAD_DATA,
        "16 of 2601/1/A cannot be scrapped: 15 are counted as done, and 0 more lie on the clocked sheets");
    must(count("08:30", true, 15, "A"));
}
END_TEST

START_TEST(no_more_is_taken_back_or_scrapped_than_there_is)
{
    must(start("2602/1", "08:00")); /* 12 lie on the sheet */
    ck_refuse(count("08:10", false, -1, "A"), SG_BAD_DATA,
              "1 of 2602/1/A cannot be taken back: 0 are noted as done");
    ck_refuse(
        count("08:10", true, 500, "A"), SG_BAD_DATA,
        "500 of 2602/1/A cannot be scrapped: 0 are counted as done, and 12 more lie on the clocked sheets");
    must(count("08:20", false, 7, "A"));
    ck_refuse(count("08:30", false, -30, "A"), SG_BAD_DATA, "7 are noted as done");
    ck_refuse(count("08:15", false, -1, "A"), SG_BAD_DATA, "0 are noted as done"); /* not yet then */
    must(count("08:30", false, -7, "A"));
    ck_refuse(count("08:30", true, -1, "A"), SG_BAD_DATA, "0 are noted as scrapped");
    /* where nothing was clocked, what is asked for is the limit */
    int32_t asked = part_of(desk, "2603/1/A")->quantity;
    ck_refuse(count("08:30", true, asked + 1, "2603/1/A"), SG_BAD_DATA, "more are asked for");
    must(count("08:30", true, asked, "2603/1/A"));
}
END_TEST

START_TEST(two_clocks_of_one_load_have_its_pieces_once)
{
    must(start("2602/1", "08:00"));
    must(start_phase("2602/1", "08:05", SG_PHASE_CHECK));
    must(start("2602/1", "08:10"));
    ck_refuse(count("09:20", true, 13, "A"), SG_BAD_DATA, "12 more lie on the clocked sheets");
    must(count("09:20", true, 12, "A"));
}
END_TEST

START_TEST(no_more_is_filled_than_fits_or_is_there)
{
    const char *const fields[] = {"hopper=500 lb", "hopper_level=230 lb", "bag=55 lb", "bags_in_stock=4"};
    must(sg_desk_set(desk, "machine:main", fields, 4, true, changes, &target, &error));
    int steps = history().n;
    ck_refuse(fill(5, (double)NAN, "06:00"), SG_BAD_DATA, "4 bags (220 lb) are in stock");
    must(fill(3, (double)NAN, "06:00"));
    ck_refuse(fill(2, (double)NAN, "06:00"), SG_BAD_DATA, "1 bag (55 lb) is in stock");
    ck_refuse(fill(SG_UNKNOWN, 56 * 0.45359237, "06:00"), SG_BAD_DATA, "1 bag (55 lb) is in stock");
    must(sg_desk_set(desk, "machine:main", (const char *[]){"bags_in_stock=40"}, 1, true, changes, &target,
                     &error));
    /* 500 - 230 - 3 * 55 = 105 */
    ck_refuse(fill(2, (double)NAN, "06:00"), SG_BAD_DATA, "1 bag (105 lb) fits into the hopper of 500 lb");
    ck_refuse(fill(SG_UNKNOWN, 106 * 0.45359237, "06:00"), SG_BAD_DATA, "105 lb fit into the hopper");
    must(fill(SG_UNKNOWN, 105 * 0.45359237, "06:00"));
    ck_refuse(fill(1, (double)NAN, "06:00"), SG_BAD_DATA, "0 bags (0 lb) fit");
    ck_assert_int_eq(history().n, steps + 3);
    ck_refuse(fill(0, (double)NAN, "09:55"), SG_BAD_DATA, "1 bag or more");
    ck_refuse(fill(SG_UNKNOWN, 0, "09:55"), SG_BAD_DATA, "above 0");
    must(sg_desk_set(desk, "machine:main", (const char *[]){"bag=0"}, 1, true, changes, &target, &error));
    ck_refuse(fill(2, (double)NAN, "09:55"), SG_BAD_DATA, "in bulk: say a mass, such as 250 lb");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("actuals refused");
    TCase *tests = tcase_create("actuals refused");
    tcase_add_checked_fixture(tests, open_example, close_all);
    tcase_add_test(tests, a_stop_without_a_clock_and_a_resume_without_a_pause_are_slips);
    tcase_add_test(tests, a_moment_is_not_to_come_and_not_of_another_year_unless_a_shift_is_near);
    tcase_add_test(tests, what_was_counted_as_done_and_is_scrapped_is_moved);
    tcase_add_test(tests, no_more_is_taken_back_or_scrapped_than_there_is);
    tcase_add_test(tests, two_clocks_of_one_load_have_its_pieces_once);
    tcase_add_test(tests, no_more_is_filled_than_fits_or_is_there);
    suite_add_tcase(suite, tests);
    return run(suite);
}
