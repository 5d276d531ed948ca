/* Reading the log: by hand, and for logs that look random by what must hold of any. */
#include "support/logged.h"
#include "support/random.h"
#include "support/suite.h"

/* ---- clocks ---- */

START_TEST(a_clock_ends_where_it_is_stopped)
{
    start(370, "A/1");
    record(372.5, SG_RECORD_STOP);
    read_at(400);
    ck_assert(actual.clocks[0].from == minute(370) && actual.clocks[0].until == minute(372.5));
    ck_assert(!actual.clocks[0].running && !actual.clocks[0].mended);
    expect(sg_actual_net(&actual.clocks[0]), 150);
    ck_assert_int_eq(actual.running, SG_UNKNOWN);
    ck_assert_int_eq(actual.last, 0);
    ck_assert_int_eq(actual.n_remarks, 0);
}
END_TEST

START_TEST(a_clock_runs_until_now)
{
    start(370, "A/1");
    read_at(375);
    ck_assert(actual.clocks[0].running && actual.clocks[0].until == minute(375));
    ck_assert_int_eq(actual.running, 0);
    expect(sg_actual_net(&actual.clocks[0]), 300);
}
END_TEST

START_TEST(a_forgotten_stop_is_mended_and_said)
{
    start(370, "A/1");
    start(703, "B/1");
    read_at(710);
    ck_assert(actual.clocks[0].mended && actual.clocks[0].until == minute(703));
    ck_assert_int_eq(actual.running, 1);
    ck_assert_int_eq(actual.n_remarks, 2);
    remarked(0, "clock on A/1 ended at 11:43, where B/1 started");
    remarked(1, "A/1 sheet 1, cut from 06:10: nothing is counted, it is taken as cut");
}
END_TEST

START_TEST(a_stop_at_the_minute_of_the_next_start_is_of_the_one_before)
{
    start(370, "A/1");
    start(380, "A/1");
    record(380, SG_RECORD_STOP);
    read_at(390);
    ck_assert(!actual.clocks[0].mended && actual.clocks[0].until == minute(380));
    ck_assert_int_eq(actual.running, 1);
    ck_assert_int_eq(actual.n_remarks, 1);
    remarked(0, "A/1 sheet 1, cut from 06:10: nothing is counted, it is taken as cut");
}
END_TEST

START_TEST(a_start_and_stop_of_one_minute_are_a_clock_of_nothing)
{
    start(370, "A/1");
    record(370, SG_RECORD_STOP);
    read_at(390);
    ck_assert_int_eq(actual.running, SG_UNKNOWN);
    expect(sg_actual_net(&actual.clocks[0]), 0);
    ck_assert_int_eq(actual.n_remarks, 0);
}
END_TEST

START_TEST(a_clock_runs_over_midnight)
{
    start(1435, "A/1");
    record(1438, SG_RECORD_PAUSE)->reason = "nozzle plugged";
    record(1442, SG_RECORD_RESUME);
    record(1445, SG_RECORD_STOP);
    read_at(1500);
    expect(sg_actual_net(&actual.clocks[0]), 6 * 60);
    expect(actual.clocks[0].paused, 4 * 60);
    expect(sg_actual_net_from(&actual, 0, minute(1440)), 3 * 60);
    expect(sg_actual_net_from(&actual, 0, minute(1000)), 6 * 60);
    expect(sg_actual_net_from(&actual, 0, minute(1446)), 0);
}
END_TEST

START_TEST(what_is_noted_for_later_has_not_happened)
{
    start(370, "A/1");
    start(420, "A/1");
    record(380, SG_RECORD_STOP);
    count(380, SG_RECORD_DONE, 2, "A/1/A");
    read_at(379);
    ck_assert(actual.clocks[0].running && !actual.clocks[1].happened);
    ck_assert_int_eq(actual.parts[0].good, 0);
    read_at(380);
    ck_assert(!actual.clocks[0].running && !actual.clocks[1].happened);
    ck_assert_int_eq(actual.parts[0].good, 2);
}
END_TEST

START_TEST(an_empty_log_says_nothing)
{
    read_at(400);
    ck_assert_int_eq(actual.running, SG_UNKNOWN);
    ck_assert_int_eq(actual.last, SG_UNKNOWN);
    ck_assert_int_eq(actual.n_remarks + actual.n_pauses, 0);
    expect(actual.hopper.level, 100);
    ck_assert_int_eq(actual.hopper.trust, SG_LEVEL_TYPED);
}
END_TEST

/* ---- pauses ---- */

START_TEST(a_pause_that_is_never_resumed_ends_with_its_clock)
{
    start(370, "A/1");
    record(375, SG_RECORD_PAUSE)->reason = "no crane";
    record(380, SG_RECORD_STOP);
    read_at(400);
    expect(actual.clocks[0].paused, 300);
    expect(sg_actual_net(&actual.clocks[0]), 300);
    ck_assert(!actual.pauses[0].open && actual.pauses[0].until == minute(380) && !actual.paused);
    ck_assert_int_eq(actual.n_remarks, 0);
}
END_TEST

START_TEST(a_pause_that_lasts_counts_up_to_now)
{
    start(370, "A/1");
    record(375, SG_RECORD_PAUSE);
    read_at(395);
    ck_assert(actual.paused && actual.pauses[0].open);
    expect(actual.clocks[0].paused, 1200);
    expect(sg_actual_net(&actual.clocks[0]), 300);
}
END_TEST

START_TEST(odd_pauses_are_taken_with_a_remark)
{
    record(365, SG_RECORD_PAUSE);
    start(370, "A/1");
    record(371, SG_RECORD_RESUME);
    record(372, SG_RECORD_PAUSE)->reason = "first";
    record(374, SG_RECORD_PAUSE)->reason = "second";
    record(379, SG_RECORD_RESUME);
    record(380, SG_RECORD_STOP);
    record(381, SG_RECORD_STOP);
    read_at(400);
    ck_assert_int_eq(actual.n_pauses, 3);
    ck_assert_int_eq(actual.pauses[0].clock, SG_UNKNOWN);
    ck_assert(actual.pauses[0].until == minute(370)); /* the machine went on then */
    ck_assert(actual.pauses[1].until == minute(374) && actual.pauses[2].until == minute(379));
    ck_assert_int_eq(actual.clocks[0].first_pause, 1);
    ck_assert_int_eq(actual.clocks[0].n_pauses, 2);
    expect(actual.clocks[0].paused, 7 * 60);
    ck_assert_int_eq(actual.n_remarks, 4);
    remarked(0, "pause at 06:05: no clock was running");
    remarked(1, "resume at 06:11: it was not paused");
    remarked(2, "pause at 06:14: it stood already, from then on for this reason");
    remarked(3, "stop at 06:21: no clock was running");
}
END_TEST

/* ---- pieces ---- */

START_TEST(pieces_count_to_the_clock_that_ran_last)
{
    start(370, "A/1");
    record(375, SG_RECORD_STOP);
    count(376, SG_RECORD_DONE, 2, "A/1/A");
    start(380, "A/1");
    count(380, SG_RECORD_SCRAP, 1, "A/1/A"); /* the minute at which the next one starts */
    count(381, SG_RECORD_DONE, 3, "A/1/A");
    count(382, SG_RECORD_NOT_DONE, 1, "A/1/A");
    read_at(400);
    ck_assert_int_eq(actual.clocks[0].good, 2);
    ck_assert_int_eq(actual.clocks[0].scrapped, 1);
    ck_assert_int_eq(actual.clocks[1].good, 2);
    ck_assert(actual.clocks[1].counted_at == minute(381));
    ck_assert_int_eq(actual.parts[0].good, 4);
    ck_assert_int_eq(actual.parts[0].scrapped, 1);
    ck_assert_int_eq(actual.n_remarks, 0);
    expect(sg_clock_scale(&shop->clocks[0], &actual.clocks[0]), 1.5);
}
END_TEST

START_TEST(pieces_that_are_found_to_be_spoilt_stay_with_the_clock_that_cut_them)
{
    start(370, "A/1");
    record(375, SG_RECORD_STOP);
    count(376, SG_RECORD_DONE, 2, "A/1/A");
    start(380, "A/1");
    count(381, SG_RECORD_NOT_DONE, 1, "A/1/A");
    count(381, SG_RECORD_SCRAP, 1, "A/1/A");
    read_at(400);
    ck_assert_int_eq(actual.clocks[0].good, 1);
    ck_assert_int_eq(actual.clocks[0].scrapped, 1);
    ck_assert(!actual.clocks[1].counted);
    ck_assert_int_eq(actual.parts[0].good, 1);
    ck_assert_int_eq(actual.parts[0].scrapped, 1);
    ck_assert_int_eq(actual.n_remarks, 0);
}
END_TEST

START_TEST(a_remark_about_another_day_has_its_date)
{
    record(365, SG_RECORD_STOP);
    read_at(365 + 1440);
    remarked(0, "stop at 2024-10-04 06:05: no clock was running"); /* 19723 days to 2024, 277 more */
}
END_TEST

START_TEST(pieces_without_a_clock_count_all_the_same)
{
    count(376, SG_RECORD_DONE, 5, "A/1/A");
    read_at(400);
    ck_assert_int_eq(actual.parts[0].good, 5);
    ck_assert_int_eq(sg_actual_left(&shop->parts[0], &actual.parts[0]), 3);
}
END_TEST

START_TEST(counts_that_do_not_fit_are_said)
{
    count(371, SG_RECORD_DONE, 9, "A/1/A");
    count(371, SG_RECORD_NOT_DONE, 9, "A/1/A");
    count(372, SG_RECORD_NOT_DONE, 1, "A/1/A");
    count(373, SG_RECORD_DONE, 1, "B/7/A");
    record(374, SG_RECORD_DONE)->place = "A/1/A";
    read_at(400);
    ck_assert_int_eq(actual.n_remarks, 3);
    remarked(0, "A/1/A: more taken back than was noted");
    remarked(1, "done at 06:13: there is no part B/7/A any more");
    remarked(2, "done at 06:14: no number, nothing is counted");
    ck_assert_int_eq(actual.parts[0].good, -1);
}
END_TEST

/* Before the day begins its clocks stand alone: nothing of them is looked for in others. */
START_TEST(clocks_that_have_not_happened_belong_to_no_others)
{
    start_hands(365, "A/1", SG_PHASE_CHECK, 180);
    start(370, "A/1");
    read_at(360);
    for (int32_t i = 0; i < 2; i++) {
        ck_assert(!actual.clocks[i].happened);
        ck_assert_int_eq(actual.clocks[i].previous, SG_UNKNOWN);
        expect(sg_actual_before(shop, &actual, i), 0);
        ck_assert_int_eq(sg_actual_goes_on_with(shop, &actual, i), SG_UNKNOWN);
    }
    ck_assert_int_eq(sg_actual_last_cut(shop, &actual, 0), SG_UNKNOWN);
}
END_TEST

START_TEST(more_than_was_asked_for_is_said_once_and_as_it_is_now)
{
    count(371, SG_RECORD_DONE, 9, "A/1/A");
    read_at(371);
    remarked(0, "A/1/A: 1 more done than asked for");
    count(372, SG_RECORD_DONE, 30, "A/1/A");
    read_at(372);
    ck_assert_int_eq(actual.n_remarks, 1);
    remarked(0, "A/1/A: 31 more done than asked for");
    count(373, SG_RECORD_NOT_DONE, 28, "A/1/A");
    read_at(373);
    ck_assert_int_eq(actual.n_remarks, 1);
    remarked(0, "A/1/A: 3 more done than asked for");
    count(374, SG_RECORD_NOT_DONE, 3, "A/1/A");
    read_at(374);
    ck_assert_int_eq(actual.n_remarks, 0);
}
END_TEST

/* ---- taken back ---- */

START_TEST(what_is_taken_back_is_taken_from_the_clocks_that_have_it)
{
    start(370, "A/1");
    record(375, SG_RECORD_STOP);
    count(376, SG_RECORD_DONE, 2, "A/1/A");
    start(380, "A/1");
    count(381, SG_RECORD_NOT_DONE, 1, "A/1/A");
    read_at(382);
    ck_assert_int_eq(actual.clocks[0].good, 1);
    ck_assert(!actual.clocks[1].counted);
    count(383, SG_RECORD_DONE, 2, "A/1/A");
    count(384, SG_RECORD_NOT_DONE, 3, "A/1/A");
    read_at(385);
    ck_assert(!actual.clocks[0].counted && !actual.clocks[1].counted);
    ck_assert_int_eq(actual.parts[0].good, 0);
    ck_assert_int_eq(actual.n_remarks, 1);
    remarked(0, "A/1 sheet 1, cut from 06:10: nothing is counted, it is taken as cut");
}
END_TEST

START_TEST(what_is_counted_late_goes_to_the_sheet_that_was_not_counted)
{
    start(370, "A/1");
    record(375, SG_RECORD_STOP);
    start(380, "A/1");
    count(381, SG_RECORD_DONE, 1, "A/1/A");
    count(382, SG_RECORD_DONE, 2, "A/1/A");
    read_at(390);
    ck_assert_int_eq(actual.clocks[0].good, 2); /* all of it, then of the one that runs */
    ck_assert_int_eq(actual.clocks[1].good, 1);
    count(383, SG_RECORD_SCRAP, 1, "A/1/A");
    start(400, "A/1");
    count(401, SG_RECORD_DONE, 1, "A/1/A"); /* the second was counted while it ran */
    read_at(410);
    ck_assert_int_eq(actual.clocks[1].good, 1);
    ck_assert_int_eq(actual.clocks[1].scrapped, 1);
    ck_assert_int_eq(actual.clocks[2].good, 1);
}
END_TEST

START_TEST(what_is_spoilt_is_what_lies_there_now)
{
    start(370, "A/1");
    record(375, SG_RECORD_STOP);
    start(380, "A/1");
    count(381, SG_RECORD_SCRAP, 2, "A/1/A");
    read_at(390);
    ck_assert(!actual.clocks[0].counted);
    ck_assert_int_eq(actual.clocks[1].scrapped, 2);
}
END_TEST

START_TEST(spoilt_pieces_are_taken_back_where_they_were_moved)
{
    start(370, "A/1");
    record(375, SG_RECORD_STOP);
    count(376, SG_RECORD_DONE, 2, "A/1/A");
    start(380, "A/1");
    count(381, SG_RECORD_DONE, 2, "A/1/A");
    count(382, SG_RECORD_NOT_DONE, 3, "A/1/A"); /* three of the four are found to be spoilt */
    count(382, SG_RECORD_SCRAP, 3, "A/1/A");
    read_at(383);
    ck_assert_int_eq(actual.clocks[0].good, 1);
    ck_assert_int_eq(actual.clocks[0].scrapped, 1);
    ck_assert_int_eq(actual.clocks[1].scrapped, 2);
    count(384, SG_RECORD_NOT_SCRAP, 2, "A/1/A");
    read_at(385);
    ck_assert_int_eq(actual.clocks[0].good, 1);
    ck_assert_int_eq(actual.clocks[0].scrapped + actual.clocks[1].scrapped, 1);
    ck_assert_int_eq(actual.parts[0].scrapped, 1);
    ck_assert_int_eq(actual.n_remarks, 0);
}
END_TEST

START_TEST(what_is_left_is_by_good_pieces_and_by_the_scrap_allowed_for)
{
    static const struct {
        int32_t quantity, scrap;
        int64_t good, scrapped, left;
    } cases[] = {{8, 0, 0, 0, 8},   {8, 0, 3, 0, 5}, {8, 0, 3, 2, 5}, {8, 0, 9, 0, 0},
                 {8, 2, 3, 0, 7},   {8, 2, 3, 2, 5}, {8, 2, 3, 4, 5}, {8, 2, 8, 0, 0},
                 {8, 16, 0, 16, 8}, {0, 0, 0, 0, 0}, {8, 0, -1, 0, 9}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct sg_part part = sg_fresh_part;
        struct sg_actual_part done = {.left_good = cases[i].good, .left_scrapped = cases[i].scrapped};
        part.quantity = cases[i].quantity;
        part.scrap = cases[i].scrap;
        ck_assert_msg(sg_actual_left(&part, &done) == cases[i].left, "case %zu", i);
    }
}
END_TEST

START_TEST(a_job_that_moved_asks_for_what_was_left)
{
    count(371, SG_RECORD_DONE, 5, "A/1/A");
    record(372, SG_RECORD_MOVED)->place = "A";
    count(373, SG_RECORD_DONE, 1, "A/1/A");
    shop->parts[0].quantity = 3;
    read_at(400);
    ck_assert_int_eq(actual.parts[0].good, 6);
    ck_assert_int_eq(actual.parts[0].left_good, 1);
    ck_assert_int_eq(sg_actual_left(&shop->parts[0], &actual.parts[0]), 2);
}
END_TEST

/* ---- any log ---- */

static void random_log(struct random *r)
{
    double at = 360;
    shop->n_clocks = shop->n_records = 0;
    while (shop->n_clocks + shop->n_records < LOGGED_MOST) {
        at += random_below(r, 4) / 2.0;
        if (random_below(r, 4) == 0)
            start(at, random_below(r, 3) ? "A/1" : "Z/9");
        else if (random_below(r, 3) == 0)
            count(at, random_below(r, 4) ? SG_RECORD_DONE : SG_RECORD_NOT_DONE, (int32_t)random_below(r, 3),
                  random_below(r, 5) ? "A/1/A" : "Z/9/A");
        else
            record(at, (int32_t)random_below(r, SG_RECORD_WHATS))->count = (int32_t)random_below(r, 5);
    }
}

static int64_t plain_good(void)
{
    int64_t good = 0;
    for (int32_t i = 0; i < shop->n_records; i++) {
        const struct sg_record *r = &shop->records[i];
        bool of_part = r->at <= actual.now && strcmp(r->place, "A/1/A") == 0;
        if (of_part && r->count != SG_UNKNOWN)
            good += r->what == SG_RECORD_DONE ? r->count : r->what == SG_RECORD_NOT_DONE ? -r->count : 0;
    }
    return good;
}

START_TEST(of_any_log_clocks_follow_one_another)
{
    struct random r = {0x51aa70c3u + (unsigned)_i};
    for (int round = 0; round < 200; round++) {
        int64_t ran = 0;
        random_log(&r);
        read_at(360 + random_below(&r, 60));
        for (int32_t i = 0; i < shop->n_clocks && actual.clocks[i].happened; i++) {
            const struct sg_actual_clock *c = &actual.clocks[i];
            must_hold(c->until >= c->from && c->until <= actual.now);
            must_hold(c->paused >= 0 && sg_actual_net(c) >= 0);
            must_hold(i == 0 || c->from >= actual.clocks[i - 1].until);
            must_hold(c->running == (i == actual.running) && (i <= actual.last));
            ran += c->until - c->from;
        }
        must_hold(ran <= actual.now - minute(360));
        must_hold(actual.parts[0].good == plain_good());
        for (int32_t i = 0; i < actual.n_pauses; i++)
            must_hold(actual.pauses[i].until >= actual.pauses[i].from);
        sg_arena_free(&arena);
        must_hold(actual.n_remarks <= shop->n_clocks + shop->n_records + 2);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("actual");
    tcase_add_checked_fixture(tests, open_log, close_log);
    tcase_add_test(tests, a_clock_ends_where_it_is_stopped);
    tcase_add_test(tests, a_clock_runs_until_now);
    tcase_add_test(tests, a_forgotten_stop_is_mended_and_said);
    tcase_add_test(tests, a_stop_at_the_minute_of_the_next_start_is_of_the_one_before);
    tcase_add_test(tests, a_start_and_stop_of_one_minute_are_a_clock_of_nothing);
    tcase_add_test(tests, a_clock_runs_over_midnight);
    tcase_add_test(tests, what_is_noted_for_later_has_not_happened);
    tcase_add_test(tests, an_empty_log_says_nothing);
    tcase_add_test(tests, a_pause_that_is_never_resumed_ends_with_its_clock);
    tcase_add_test(tests, a_pause_that_lasts_counts_up_to_now);
    tcase_add_test(tests, odd_pauses_are_taken_with_a_remark);
    tcase_add_test(tests, pieces_count_to_the_clock_that_ran_last);
    tcase_add_test(tests, pieces_that_are_found_to_be_spoilt_stay_with_the_clock_that_cut_them);
    tcase_add_test(tests, a_remark_about_another_day_has_its_date);
    tcase_add_test(tests, pieces_without_a_clock_count_all_the_same);
    tcase_add_test(tests, counts_that_do_not_fit_are_said);
    tcase_add_test(tests, clocks_that_have_not_happened_belong_to_no_others);
    tcase_add_test(tests, more_than_was_asked_for_is_said_once_and_as_it_is_now);
    tcase_add_test(tests, what_is_taken_back_is_taken_from_the_clocks_that_have_it);
    tcase_add_test(tests, what_is_counted_late_goes_to_the_sheet_that_was_not_counted);
    tcase_add_test(tests, what_is_spoilt_is_what_lies_there_now);
    tcase_add_test(tests, spoilt_pieces_are_taken_back_where_they_were_moved);
    tcase_add_test(tests, what_is_left_is_by_good_pieces_and_by_the_scrap_allowed_for);
    tcase_add_test(tests, a_job_that_moved_asks_for_what_was_left);
    tcase_add_loop_test(tests, of_any_log_clocks_follow_one_another, 0, 2);
    return run_case("actual", tests);
}
