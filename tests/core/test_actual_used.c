/* What the hopper holds, what a clock used, hours on heads and counters: sums by hand. 300 g a minute. */
#include "support/logged.h"
#include "support/suite.h"

static const double hour = 3600;

/* A clock that takes as long as planned unless a stop says otherwise. */
static void cut(double from, double to)
{
    start(from, "A/1");
    record(to, SG_RECORD_STOP);
}

/* ---- the hopper ---- */

START_TEST(what_was_cut_since_is_taken_as_planned)
{
    cut(370, 372);
    cut(380, 382);
    read_at(400);
    expect(actual.hopper.level, 100 - 1.2);
    expect(actual.hopper.low, 100 - 1.2);
    expect(actual.hopper.high, 100 - 1.2);
    expect(actual.hopper.taken, 1.2);
    ck_assert_int_eq(actual.hopper.trust, SG_LEVEL_CARRIED);
    expect(actual.sludge, shop->machine.sludge + 1.2);
}
END_TEST

START_TEST(half_of_the_time_takes_half_of_the_garnet)
{
    start(370, "A/1");
    read_at(371);
    expect(actual.hopper.level, 100 - 0.3);
}
END_TEST

/* 3 minutes where 2 were planned: the garnet flowed for as long, or the machine stood. */
START_TEST(ways_to_reckon_it_that_differ_make_it_a_range)
{
    cut(370, 373);
    read_at(400);
    expect(actual.hopper.level, 100 - 0.6);
    expect(actual.hopper.low, 100 - 0.9);
    expect(actual.hopper.high, 100 - 0.6);
}
END_TEST

START_TEST(pieces_that_were_counted_say_what_was_cut)
{
    cut(370, 372);
    count(372, SG_RECORD_DONE, 1, "A/1/A");
    read_at(400);
    expect(actual.hopper.level, 100 - 0.6); /* not all of it is counted: the time says what flowed */
    count(372, SG_RECORD_DONE, 1, "A/1/A");
    shop->records[0].at = minute(371);
    read_at(400);
    expect(actual.hopper.level, 100 - 0.6);
    expect(actual.hopper.low, 100 - 0.6);
}
END_TEST

/* A slip that is taken back leaves the level as it was. */
START_TEST(more_than_lay_there_says_nothing_of_garnet_until_it_is_taken_back)
{
    cut(370, 371);
    count(371, SG_RECORD_DONE, 2, "A/1/A");
    count(372, SG_RECORD_DONE, 3, "A/1/A");
    read_at(372);
    expect(actual.hopper.level, 100 - 0.3); /* the time says it */
    count(373, SG_RECORD_NOT_DONE, 3, "A/1/A");
    read_at(373);
    expect(actual.hopper.level, 100 - 0.6);
}
END_TEST

/* A clock that somebody started and stopped afterwards: its pieces took their garnet all the same. */
START_TEST(pieces_on_a_clock_that_took_no_time_took_their_garnet)
{
    cut(370, 370);
    count(370, SG_RECORD_DONE, 2, "A/1/A");
    read_at(400);
    expect(actual.hopper.level, 100 - 0.6);
    expect(actual.hopper.high, 100);
    level(390, 90);
    read_at(400);
    expect(actual.hopper.level, 90); /* it is in the reading */
}
END_TEST

START_TEST(of_a_spoilt_sheet_the_time_says_what_was_taken)
{
    cut(370, 371);
    count(371, SG_RECORD_SCRAP, 2, "A/1/A");
    read_at(400);
    expect(actual.hopper.level, 100 - 0.3);
}
END_TEST

START_TEST(a_weighed_feed_is_a_way_of_its_own)
{
    struct sg_record *weighed = record(365, SG_RECORD_WEIGH);
    weighed->place = "abrasive";
    weighed->feed = 400;
    cut(370, 372);
    read_at(400);
    expect(actual.hopper.level, 100 - 0.6);
    expect(actual.hopper.low, 100 - 0.8);
    expect(actual.hopper.high, 100 - 0.6);
}
END_TEST

START_TEST(pauses_take_no_garnet)
{
    start(370, "A/1");
    record(371, SG_RECORD_PAUSE);
    record(390, SG_RECORD_RESUME);
    record(391, SG_RECORD_STOP);
    read_at(400);
    expect(actual.hopper.low, 100 - 0.6);
}
END_TEST

START_TEST(a_reading_stands_for_all_before_it)
{
    cut(370, 372);
    level(375, 90);
    read_at(400);
    expect(actual.hopper.level, 90);
    ck_assert_int_eq(actual.hopper.trust, SG_LEVEL_READ);
    ck_assert(actual.hopper.since == minute(375));
    cut(410, 412);
    read_at(420);
    expect(actual.hopper.level, 89.4);
    ck_assert_int_eq(actual.hopper.trust, SG_LEVEL_CARRIED);
}
END_TEST

START_TEST(of_a_clock_around_a_reading_what_comes_after_is_taken)
{
    start(370, "A/1");
    level(371, 90);
    record(372, SG_RECORD_STOP);
    read_at(400);
    expect(actual.hopper.level, 90 - 0.3);
}
END_TEST

START_TEST(fills_are_added_in_bags_and_in_mass)
{
    level(365, 30);
    record(366, SG_RECORD_FILL)->count = 2;
    record(367, SG_RECORD_FILL)->mass = 5;
    read_at(400);
    expect(actual.hopper.level, 30 + 2 * 20 + 5);
    ck_assert_int_eq(actual.hopper.bags, 3); /* the mass opened one */
    ck_assert_int_eq(actual.n_remarks, 0);
}
END_TEST

START_TEST(more_pieces_than_lay_there_take_no_more_than_the_clock_ran)
{
    cut(370, 371); /* half of it */
    count(371, SG_RECORD_DONE, 99, "A/1/A");
    read_at(400);
    expect(actual.hopper.level, 100 - 0.3);
    expect(actual.sludge, shop->machine.sludge + 0.3);
}
END_TEST

START_TEST(what_was_filled_in_the_minute_of_the_close_is_in_the_fields)
{
    level(365, 30);
    record(840, SG_RECORD_FILL)->count = 2;
    record(840, SG_RECORD_CLOSE)->place = "A";
    shop->machine.hopper_level = 70; /* as closing leaves it */
    record(840, SG_RECORD_FILL)->count = 1;
    read_at(900);
    expect(actual.hopper.level, 70 + 20);
    ck_assert_int_eq(actual.hopper.bags, 1);
}
END_TEST

START_TEST(a_hopper_holds_no_more_than_it_can_and_no_less_than_nothing)
{
    record(366, SG_RECORD_FILL)->count = 1;
    read_at(400);
    expect(actual.hopper.level, 100);
    remarked(0, "the hopper would hold 44.1 lb more than it can: read the level");
    level(401, 0.1);
    cut(402, 404);
    read_at(410);
    expect(actual.hopper.level, 0);
    remarked(0, "the hopper would be empty by 1.1 lb: read the level"); /* 0.5 kg */
}
END_TEST

START_TEST(the_machines_own_reading_counts_from_when_it_was_read)
{
    cut(370, 372);
    shop->machine.hopper_read = minute(375);
    shop->machine.hopper_level = 80;
    cut(380, 382);
    read_at(400);
    expect(actual.hopper.level, 80 - 0.6);
    ck_assert(actual.hopper.since == minute(375));
}
END_TEST

START_TEST(what_was_cut_before_the_shift_is_in_its_level)
{
    start(100, "A/1"); /* four hours before */
    record(102, SG_RECORD_STOP);
    start(355, "B/1"); /* of another shift */
    record(358, SG_RECORD_STOP);
    cut(370, 372);
    read_at(400);
    ck_assert(actual.since == minute(360));
    expect(actual.hopper.level, 100 - 0.6);
}
END_TEST

START_TEST(who_begins_before_the_bell_begins_the_log)
{
    start(350, "A/1");
    read_at(352);
    ck_assert(actual.since == minute(350));
    expect(actual.hopper.level, 100 - 0.6);
}
END_TEST

START_TEST(a_closed_shift_begins_the_log_anew)
{
    cut(370, 372);
    record(375, SG_RECORD_CLOSE)->place = "A";
    cut(380, 382);
    read_at(400);
    ck_assert(actual.since == minute(375));
    expect(actual.hopper.level, 100 - 0.6);
}
END_TEST

START_TEST(water_takes_no_garnet)
{
    start(370, "A/1")->head_kind = SG_HEAD_WATER;
    read_at(372);
    expect(actual.hopper.level, 100);
}
END_TEST

START_TEST(what_a_clock_without_a_plan_took_nobody_knows)
{
    start(370, "A/1")->planned_garnet = UNKNOWN;
    read_at(372);
    expect(actual.hopper.level, 100);
    expect(actual.hopper.low, 0);
    ck_assert_int_eq(actual.hopper.trust, SG_LEVEL_CARRIED);
}
END_TEST

/* ---- readings around a clock ---- */

START_TEST(readings_around_a_clock_tell_what_it_used)
{
    level(365, 50);
    cut(370, 372);
    record(373, SG_RECORD_FILL)->count = 1;
    level(375, 69.3);
    read_at(400);
    expect(actual.clocks[0].garnet_used, 0.7);
}
END_TEST

START_TEST(a_reading_in_a_clock_does_not_part_it)
{
    level(370, 50);
    start(370, "A/1");
    level(371, 49);
    record(372, SG_RECORD_STOP);
    level(372, 48.5);
    read_at(400);
    expect(actual.clocks[0].garnet_used, 1.5);
}
END_TEST

START_TEST(of_two_clocks_between_readings_neither_is_told)
{
    level(365, 50);
    cut(370, 372);
    cut(373, 374);
    level(375, 49);
    cut(380, 382);
    level(385, 48.2);
    cut(390, 392);
    read_at(400);
    ck_assert(!sg_known(actual.clocks[0].garnet_used));
    ck_assert(!sg_known(actual.clocks[1].garnet_used));
    expect(actual.clocks[2].garnet_used, 0.8);
    ck_assert(!sg_known(actual.clocks[3].garnet_used));
}
END_TEST

START_TEST(a_weighing_belongs_to_the_clock_in_which_it_was)
{
    start(370, "A/1");
    struct sg_record *weighed = record(371, SG_RECORD_WEIGH);
    weighed->place = "abrasive";
    weighed->feed = 310;
    weighed = record(371, SG_RECORD_WEIGH);
    weighed->place = "water";
    weighed->feed = 1;
    record(372, SG_RECORD_STOP);
    cut(380, 382);
    read_at(400);
    expect(actual.clocks[0].weighed, 310);
    ck_assert(!sg_known(actual.clocks[1].weighed));
}
END_TEST

/* ---- hours ---- */

START_TEST(jet_hours_come_on_top_of_the_heads)
{
    shop->heads[0].tube_hours = 10 * hour;
    shop->heads[0].orifice_hours = 5 * hour;
    struct sg_clock *clock = start(370, "A/1");
    clock->planned_pierce = 30;
    clock->planned_rapid = 50; /* the jet is on for 150 of 200 s */
    record(380, SG_RECORD_STOP);
    read_at(400);
    expect(actual.heads[0].tube, 10 * hour + 450);
    expect(actual.heads[0].orifice, 5 * hour + 450);
    expect(actual.heads[1].tube, shop->heads[1].tube_hours);
    expect(actual.jet, 450);
}
END_TEST

START_TEST(a_change_begins_from_nothing)
{
    shop->heads[0].tube_hours = 10 * hour;
    start(370, "A/1");
    record(375, SG_RECORD_TUBE)->place = "abrasive";
    record(378, SG_RECORD_STOP);
    read_at(400);
    expect(actual.heads[0].tube, 180);
    ck_assert(actual.heads[0].tube_changed && !actual.heads[0].orifice_changed);
    expect(actual.heads[0].orifice, shop->heads[0].orifice_hours + 480);
}
END_TEST

START_TEST(services_are_counted_in_jet_hours_table_hours_and_days)
{
    static struct sg_chore chores[3];
    for (int i = 0; i < 3; i++) {
        chores[i] = sg_fresh_chore;
        chores[i].hours = hour;
        chores[i].last = 100;
    }
    chores[0].name = "seals", chores[0].counts = SG_COUNTS_PUMP;
    chores[1].name = "rails", chores[1].counts = SG_COUNTS_TABLE;
    chores[2].name = "filter", chores[2].counts = SG_COUNTS_CALENDAR;
    shop->chores = chores;
    shop->n_chores = 3;
    start(370, "A/1")->planned_rapid = 120; /* half of it without jet */
    record(375, SG_RECORD_SERVICE)->place = "rails";
    record(376, SG_RECORD_SERVICE)->place = "filter";
    record(380, SG_RECORD_STOP);
    read_at(400);
    expect(actual.chores[0], hour + 300);
    expect(actual.chores[1], 300);
    ck_assert_int_eq(actual.chore_days[1], LOGGED_DAY);
    ck_assert_int_eq(actual.chore_days[2], LOGGED_DAY);
    ck_assert_int_eq(actual.chore_days[0], 100);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("actual_used");
    tcase_add_checked_fixture(tests, open_log, close_log);
    tcase_add_test(tests, what_was_cut_since_is_taken_as_planned);
    tcase_add_test(tests, half_of_the_time_takes_half_of_the_garnet);
    tcase_add_test(tests, ways_to_reckon_it_that_differ_make_it_a_range);
    tcase_add_test(tests, pieces_that_were_counted_say_what_was_cut);
    tcase_add_test(tests, more_than_lay_there_says_nothing_of_garnet_until_it_is_taken_back);
    tcase_add_test(tests, pieces_on_a_clock_that_took_no_time_took_their_garnet);
    tcase_add_test(tests, of_a_spoilt_sheet_the_time_says_what_was_taken);
    tcase_add_test(tests, a_weighed_feed_is_a_way_of_its_own);
    tcase_add_test(tests, pauses_take_no_garnet);
    tcase_add_test(tests, a_reading_stands_for_all_before_it);
    tcase_add_test(tests, of_a_clock_around_a_reading_what_comes_after_is_taken);
    tcase_add_test(tests, fills_are_added_in_bags_and_in_mass);
    tcase_add_test(tests, more_pieces_than_lay_there_take_no_more_than_the_clock_ran);
    tcase_add_test(tests, what_was_filled_in_the_minute_of_the_close_is_in_the_fields);
    tcase_add_test(tests, a_hopper_holds_no_more_than_it_can_and_no_less_than_nothing);
    tcase_add_test(tests, the_machines_own_reading_counts_from_when_it_was_read);
    tcase_add_test(tests, what_was_cut_before_the_shift_is_in_its_level);
    tcase_add_test(tests, who_begins_before_the_bell_begins_the_log);
    tcase_add_test(tests, a_closed_shift_begins_the_log_anew);
    tcase_add_test(tests, water_takes_no_garnet);
    tcase_add_test(tests, what_a_clock_without_a_plan_took_nobody_knows);
    tcase_add_test(tests, readings_around_a_clock_tell_what_it_used);
    tcase_add_test(tests, a_reading_in_a_clock_does_not_part_it);
    tcase_add_test(tests, of_two_clocks_between_readings_neither_is_told);
    tcase_add_test(tests, a_weighing_belongs_to_the_clock_in_which_it_was);
    tcase_add_test(tests, jet_hours_come_on_top_of_the_heads);
    tcase_add_test(tests, a_change_begins_from_nothing);
    tcase_add_test(tests, services_are_counted_in_jet_hours_table_hours_and_days);
    return run_case("actual used", tests);
}
