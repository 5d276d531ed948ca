/* Each act of the floor: what it notes, its words in the history, and that undo takes all of it back. On the
 * example shop, whose shift A is that of 2026-12-01. */
#include "edit/acts.h"

/* ---- clocks ---- */

START_TEST(a_clock_has_its_plan_as_it_stood)
{
    const struct sg_plan *plan;
    must(sg_desk_plan(desk, 0, &plan, &error));
    double load = plan->sheets[0].load, garnet = plan->stocks[0].garnet;
    int32_t sheets = (int32_t)plan->stocks[0].sheets;
    must(start_phase("2601/1", "06:00", SG_PHASE_LOAD));
    ck_step("loading of 2601/1, sheet 1, started");
    ck_assert(fabs(sg_desk_shop(desk)->clocks[0].planned_hands - load) < 1e-9);
    must(start("2601", "06:10"));
    ck_step("clock started on 2601/1, sheet 1");
    const struct sg_shop *shop = sg_desk_shop(desk);
    const struct sg_clock *clock = &shop->clocks[1];
    ck_assert_str_eq(clock->id, "2");
    ck_assert_str_eq(clock->place, "2601/1");
    ck_assert_str_eq(clock->material, "aluminium 6061");
    ck_assert(clock->pieces > 0 && clock->planned_cut > 0 && clock->planned_pierce > 0);
    ck_assert(clock->planned_end != SG_NO_MOMENT);
    ck_assert(sheets == 1 ? fabs(clock->planned_garnet - garnet) < 1e-9 : clock->planned_garnet < garnet);
    /* what is set later does not change it */
    double planned = clock->planned_cut;
    must(sg_desk_set(desk, "head:abrasive", (const char *[]){"garnet=0.5 lb/min"}, 1, true, changes, &target,
                     &error));
    ck_assert(sg_desk_shop(desk)->clocks[1].planned_cut == planned);
}
END_TEST

START_TEST(several_sheets_are_clocked_together)
{
    const struct sg_start all = {.phase = SG_PHASE_CUT, .place = "2604/1/A", .sheets = 1000, .note = "night"};
    must(sg_desk_start(desk, &all, at("08:00"), &noted, &error));
    const struct sg_shop *shop = sg_desk_shop(desk);
    ck_assert_int_gt(shop->clocks[0].sheets, 1);
    ck_assert_int_eq(shop->clocks[0].pieces, 20);
    ck_assert_str_eq(shop->clocks[0].note, "night");
    char words[80];
    snprintf(words, sizeof words, "clock started on 2604/1, sheets 1 to %d: only %d of 1000 are left to cut",
             shop->clocks[0].sheets, shop->clocks[0].sheets);
    ck_step(words);
}
END_TEST

START_TEST(a_clock_needs_a_stock)
{
    ck_refuse(start("2605", "06:00"), SG_BAD_DATA, "of several or none: name JOB/STOCK");
    ck_refuse(start("2699/1", "06:00"), SG_BAD_DATA, "no job \"2699\"");
    ck_refuse(start("head:abrasive", "06:00"), SG_BAD_DATA, "is a head");
    const struct sg_start none = {.place = "2601/1", .sheets = 0};
    ck_refuse(sg_desk_start(desk, &none, at("06:00"), &noted, &error), SG_BAD_DATA, "1 to 1000000 sheets");
    ck_assert_int_eq(history().n, 0);
    ck_assert_int_eq(sg_desk_shop(desk)->n_clocks, 0);
}
END_TEST

START_TEST(what_is_done_already_is_clocked_without_a_plan)
{
    must(count("06:00", false, 12, "2602/1/A"));
    must(start("2602/1", "06:05"));
    ck_step("clock started on 2602/1, sheet 1 (not planned)");
    ck_assert(!sg_known(sg_desk_shop(desk)->clocks[0].planned_cut));
}
END_TEST

/* ---- plain records ---- */

START_TEST(each_record_is_a_step_with_words)
{
    static const struct {
        int32_t what;
        const char *place, *reason, *words;
    } acts[] = {{SG_RECORD_PAUSE, "", "nozzle plugged", "machine stands: nozzle plugged"},
                {SG_RECORD_PAUSE, "", "", "machine stands: no reason noted"},
                {SG_RECORD_RESUME, "", "", "machine goes on"},
                {SG_RECORD_STOP, "", "shifted on its slats",
                 "clock stopped: shifted on its slats; nothing is counted: sheet 1 stays on the table, not "
                 "finished"},
                {SG_RECORD_LEVEL, "", "", "hopper read: 110.23 lb"},
                {SG_RECORD_WEIGH, "abrasive", "", "feed of head abrasive weighed: 0.68 lb/min"},
                {SG_RECORD_TUBE, "abrasive", "", "mixing tube of head abrasive changed"},
                {SG_RECORD_ORIFICE, "water", "cracked", "orifice of head water changed: cracked"},
                {SG_RECORD_NOTE, "", "bore 0.08 over, offset set", "noted: bore 0.08 over, offset set"}};
    must(start("2601/1", "06:10"));
    for (size_t i = 0; i < sizeof acts / sizeof *acts; i++) {
        must(put("06:20", acts[i].what, acts[i].place, acts[i].reason));
        ck_step(acts[i].words);
        const struct sg_shop *shop = sg_desk_shop(desk);
        ck_assert_int_eq(shop->n_records, (int)i + 1);
        ck_assert_int_eq(shop->records[i].what, acts[i].what);
        ck_assert_int_eq(atoi(shop->records[i].id), (int)i + 1);
    }
}
END_TEST

START_TEST(a_service_is_of_a_chore)
{
    must(sg_desk_add(desk, SG_KIND_CHORE, NULL, "grease rails", (const char *[]){"when=due", "every=40 h"}, 2,
                     0, changes, &target, &error));
    ck_refuse(put("07:00", SG_RECORD_SERVICE, "grease", ""), SG_BAD_DATA, "no chore \"grease\"");
    must(put("07:00", SG_RECORD_SERVICE, "grease rails", ""));
    ck_step("service done: grease rails");
}
END_TEST

START_TEST(records_about_what_is_not_there_are_refused)
{
    struct sg_record level = sg_fresh_record;
    level.what = SG_RECORD_LEVEL;
    level.at = at("06:00");
    level.mass = 1e4;
    ck_refuse(sg_desk_record(desk, &level, &noted, &error), SG_BAD_DATA, "the hopper holds");
    ck_refuse(put("06:00", SG_RECORD_TUBE, "laser", ""), SG_BAD_DATA, "no head \"laser\"");
    ck_refuse(put("06:00", SG_RECORD_WEIGH, "water", ""), SG_BAD_DATA, "takes no garnet");
    level.mass = 700 * 0.45359237; /* a pound, by definition */
    ck_refuse(sg_desk_record(desk, &level, &noted, &error), SG_BAD_DATA, " lb, not 700 lb");
    ck_assert_int_eq(history().n, 0);
}
END_TEST

/* ---- pieces ---- */

START_TEST(pieces_are_those_under_the_clock)
{
    must(start("2602/1", "08:00"));
    int32_t pieces = sg_desk_shop(desk)->clocks[0].pieces;
    char words[60];
    must(count("08:30", false, 2, NULL));
    ck_step("2 of 2602/1/A done");
    must(count("08:31", true, 1, "A"));
    ck_step("1 of 2602/1/A scrapped");
    must(count("08:32", false, -1, "2602/1/A"));
    ck_step("1 of 2602/1/A taken back, noted as done");
    ck_assert_int_eq(sg_desk_shop(desk)->records[2].what, SG_RECORD_NOT_DONE);
    must(count("09:00", false, 0, NULL));
    snprintf(words, sizeof words, "%d of 2602/1/A done", pieces - 2);
    ck_step(words);
    ck_refuse(count("09:01", false, 0, NULL), SG_BAD_DATA, "are counted already");
    read_now("09:10");
    ck_assert_int_eq((int)now.actual.parts[found(desk, "2602/1/A").index].good, pieces - 1);
}
END_TEST

START_TEST(of_several_parts_one_is_named)
{
    const struct sg_start all = {.phase = SG_PHASE_CUT, .place = "2601/1", .sheets = 1000};
    must(sg_desk_start(desk, &all, at("06:10"), &noted, &error));
    ck_refuse(count("08:00", false, 3, NULL), SG_BAD_DATA, "has several parts: name one of A, B");
    ck_refuse(count("08:00", false, 3, "Z"), SG_BAD_DATA, "no part Z in 2601/1; it has A, B");
    must(count("08:00", false, 0, "A"));
    ck_step("20 of 2601/1/A done");
    must(count("08:01", false, 0, "2601/1/B"));
    ck_step("36 of 2601/1/B done");
}
END_TEST

START_TEST(a_plan_that_changed_since_does_not_change_what_lay_there)
{
    must(start("2601/1", "06:10"));
    must(sg_desk_set(desk, "2601/1/A", (const char *[]){"quantity=1"}, 1, true, changes, &target, &error));
    must(count("08:00", false, 0, "A"));
    ck_step("20 of 2601/1/A done");
}
END_TEST

START_TEST(without_a_clock_the_part_is_named_in_full)
{
    ck_refuse(count("06:00", false, 3, NULL), SG_BAD_DATA, "no clock says of which part");
    ck_refuse(count("06:00", false, 3, "A"), SG_BAD_DATA, "no job \"A\"");
    ck_refuse(count("06:00", false, 0, "2602/1/A"), SG_BAD_DATA, "no clock says how many");
    ck_refuse(count("06:00", false, 2, "2601/1"), SG_BAD_DATA, "name one of A, B");
    ck_refuse(count("06:00", false, 2, "2601"), SG_BAD_DATA, "2601 is a job");
    ck_refuse(count("06:00", false, 1000001, "2602/1/A"), SG_BAD_DATA, "1 to 1000000 pieces");
    must(count("06:00", false, 3, "2602/1"));
    ck_step("3 of 2602/1/A done");
}
END_TEST

START_TEST(all_of_several_parts_is_one_step)
{
    must(start("2601/1", "06:10"));
    must(count("08:00", false, 5, "A"));
    int steps = history().n;
    must(count("08:10", false, 0, NULL));
    ck_assert_int_eq(history().n, steps + 1);
    ck_step("15 of 2601/1/A, 11 of 2601/1/B done");
    ck_assert_int_eq(sg_desk_shop(desk)->n_records, 3);
    ck_refuse(count("08:11", false, 0, NULL), SG_BAD_DATA,
              "all 31 of 2601/1 on the clocked sheet are counted already");
    ck_refuse(count("08:11", true, 0, NULL), SG_BAD_DATA, "say how many of them are spoilt");
    ck_refuse(count("08:11", false, 0, "2602/1"), SG_BAD_DATA, "no clock says how many of 2602/1/A");
    ck_assert_int_eq(sg_desk_shop(desk)->n_records, 3);
}
END_TEST

START_TEST(a_spoilt_sheet_of_several_parts_is_one_step)
{
    must(start("2601/1", "06:10"));
    must(count("08:10", true, 0, "2601/1"));
    ck_assert_int_eq(history().n, 2);
    ck_step("20 of 2601/1/A, 11 of 2601/1/B scrapped");
}
END_TEST

/* ---- the hopper ---- */

START_TEST(a_fill_leaves_the_fields_of_the_shifts_start)
{
    const struct sg_plan *plan;
    int32_t bags = sg_desk_shop(desk)->machine.bags_in_stock;
    double level = sg_desk_shop(desk)->machine.hopper_level;
    must(sg_desk_plan(desk, 0, &plan, &error));
    double ends = plan->ends;
    must(fill(3, (double)NAN, "09:52"));
    ck_step("3 bags into the hopper");
    must(fill(SG_UNKNOWN, 30, "09:53")); /* a bag of 55 lb and a bit */
    ck_step("66.14 lb into the hopper");
    ck_assert_int_eq(sg_desk_shop(desk)->machine.bags_in_stock, bags);
    ck_assert(sg_desk_shop(desk)->machine.hopper_level == level);
    must(sg_desk_plan(desk, 0, &plan, &error));
    ck_assert(plan->ends == ends);
    read_now("09:55");
    ck_assert_int_eq(now.rest.shop.machine.bags_in_stock, bags - 5);
    must(sg_desk_remove(desk, "record:1", &error)); /* needs nothing else */
    read_now("09:55");
    ck_assert_int_eq(now.rest.shop.machine.bags_in_stock, bags - 2);
}
END_TEST

/* ---- the rest ---- */

START_TEST(the_rest_ends_as_planned_while_all_goes_to_plan)
{
    const struct sg_plan *plan;
    must(sg_desk_plan(desk, 0, &plan, &error));
    double ends = plan->ends, first = plan->sheets[0].load;
    int64_t begin = at("06:00");
    must(start_phase("2601/1", "06:00", SG_PHASE_LOAD));
    struct sg_start cut = {.phase = SG_PHASE_CUT, .place = "2601/1", .sheets = 1};
    must(sg_desk_start(desk, &cut, begin + llround(first), &noted, &error));
    read_now("06:20");
    double epoch = now.rest.shop.shifts[0].calendar.epoch;
    double planned = sg_desk_shop(desk)->shifts[0].calendar.epoch + ends;
    ck_assert_msg(fabs(epoch + now.plan->ends - planned) < 1, "%.1f s late",
                  epoch + now.plan->ends - planned);
    ck_assert(llabs(sg_desk_shop(desk)->clocks[0].planned_end - (begin + llround(ends))) <= 1);
}
END_TEST

/* ---- the end of a shift ---- */

static void a_morning(void)
{
    must(start("2601/1", "06:10"));
    must(put("07:10", SG_RECORD_TUBE, "abrasive", ""));
    must(count("08:10", false, 5, "A"));
    must(count("08:10", true, 1, "A"));
    must(put("08:10", SG_RECORD_STOP, "", ""));
    must(sg_desk_fill(desk, 2, (double)NAN, at("08:20"), &noted, &error));
}

START_TEST(a_closed_shift_leaves_the_machine_as_it_is)
{
    a_morning();
    read_now("08:30");
    double level = now.actual.hopper.level, tube = now.actual.heads[0].tube;
    double orifice = now.actual.heads[0].orifice, sludge = now.actual.sludge;
    int32_t bags = sg_desk_shop(desk)->machine.bags_in_stock;
    ck_assert(tube > 0 && orifice > tube);
    must(sg_desk_close_shift(desk, 0, SG_UNKNOWN, at("08:30"), &noted, &error));
    ck_step(noted.words);
    ck_assert_ptr_nonnull(strstr(noted.words, "shift A closed: hopper about "));
    ck_assert_ptr_nonnull(strstr(noted.words, " pieces left"));
    const struct sg_shop *shop = sg_desk_shop(desk);
    ck_assert(shop->shifts[0].closed);
    ck_assert(fabs(shop->machine.hopper_level - level) < 1e-9);
    ck_assert(shop->machine.hopper_read == SG_NO_MOMENT);
    ck_assert_int_eq(shop->machine.bags_in_stock, bags - 2);
    ck_assert(fabs(shop->machine.sludge - sludge) < 1e-9);
    ck_assert(fabs(shop->heads[0].tube_hours - tube) < 1e-9);
    ck_assert(fabs(shop->heads[0].orifice_hours - orifice) < 1e-9);
    /* and nothing of it counts again */
    read_now("08:40");
    ck_assert(fabs(now.actual.hopper.level - level) < 1e-9);
    ck_assert(fabs(now.actual.heads[0].tube - tube) < 1e-9);
    ck_assert(fabs(now.actual.sludge - sludge) < 1e-9);
    ck_assert_int_eq(now.rest.shop.machine.bags_in_stock, bags - 2);
    ck_refuse(sg_desk_close_shift(desk, 0, SG_UNKNOWN, at("08:50"), &noted, &error), SG_BAD_DATA,
              "closed already");
}
END_TEST

START_TEST(a_level_that_was_read_is_read_in_the_next_shift_too)
{
    a_morning();
    must(put("08:25", SG_RECORD_LEVEL, "", ""));
    must(sg_desk_close_shift(desk, 0, SG_UNKNOWN, at("08:30"), &noted, &error));
    ck_assert(sg_desk_shop(desk)->machine.hopper_read == at("08:25"));
    ck_assert(sg_desk_shop(desk)->machine.hopper_level == 50);
}
END_TEST

START_TEST(jobs_move_with_what_is_left_of_them)
{
    must(sg_desk_add(desk, SG_KIND_SHIFT, NULL, "B",
                     (const char *[]){"date=2026-12-01", "start=14:30", "end=22:30"}, 3, 0, changes, &target,
                     &error));
    must(sg_desk_add(desk, SG_KIND_JOB, NULL, "2700", (const char *[]){"shift=B"}, 1, 0, changes, &target,
                     &error));
    a_morning();
    must(start("2602/1", "09:00"));
    must(count("10:00", false, 12, "A"));
    must(put("10:00", SG_RECORD_STOP, "", ""));
    must(start("2603/1", "10:10"));
    must(count("10:30", false, 1, "A"));
    must(put("10:30", SG_RECORD_STOP, "", ""));
    ck_refuse(sg_desk_close_shift(desk, 0, 0, at("14:30"), &noted, &error), SG_BAD_DATA, "to itself");
    must(sg_desk_close_shift(desk, 0, 1, at("14:30"), &noted, &error));
    ck_assert_ptr_nonnull(strstr(noted.words, "to shift B"));
    ck_step(noted.words);
    const struct sg_shop *shop = sg_desk_shop(desk);
    const char *const order[] = {"2601", "2603", "2604", "2605", "2700"};
    int32_t n = 0;
    for (int32_t i = 0; i < shop->n_jobs; i++) {
        if (shop->jobs[i].shift != 1) {
            ck_assert_str_eq(shop->jobs[i].id, "2602"); /* done */
            continue;
        }
        ck_assert_str_eq(shop->jobs[i].id, order[n]);
        ck_assert_int_eq(shop->jobs[i].order, ++n);
    }
    ck_assert_int_eq(n, 5);
    ck_assert_int_eq(part_of(desk, "2601/1/A")->quantity, 15);
    ck_assert_int_eq(part_of(desk, "2601/1/B")->quantity, 36);
    ck_assert_str_eq(shop->shifts[1].sheet_on, "2603/1");
    read_now("14:31");
    int32_t part = found(desk, "2601/1/A").index;
    ck_assert_int_eq((int)now.actual.parts[part].good, 5);
    ck_assert_int_eq((int)sg_actual_left(&shop->parts[part], &now.actual.parts[part]), 15);
    ck_assert_int_eq(now.rest.shift, 1);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("actuals");
    TCase *tests = tcase_create("actuals");
    tcase_add_checked_fixture(tests, open_example, close_all);
    tcase_add_test(tests, a_clock_has_its_plan_as_it_stood);
    tcase_add_test(tests, several_sheets_are_clocked_together);
    tcase_add_test(tests, a_clock_needs_a_stock);
    tcase_add_test(tests, what_is_done_already_is_clocked_without_a_plan);
    tcase_add_test(tests, each_record_is_a_step_with_words);
    tcase_add_test(tests, a_service_is_of_a_chore);
    tcase_add_test(tests, records_about_what_is_not_there_are_refused);
    tcase_add_test(tests, pieces_are_those_under_the_clock);
    tcase_add_test(tests, of_several_parts_one_is_named);
    tcase_add_test(tests, a_plan_that_changed_since_does_not_change_what_lay_there);
    tcase_add_test(tests, without_a_clock_the_part_is_named_in_full);
    tcase_add_test(tests, all_of_several_parts_is_one_step);
    tcase_add_test(tests, a_spoilt_sheet_of_several_parts_is_one_step);
    tcase_add_test(tests, a_fill_leaves_the_fields_of_the_shifts_start);
    tcase_add_test(tests, the_rest_ends_as_planned_while_all_goes_to_plan);
    tcase_add_test(tests, a_closed_shift_leaves_the_machine_as_it_is);
    tcase_add_test(tests, a_level_that_was_read_is_read_in_the_next_shift_too);
    tcase_add_test(tests, jobs_move_with_what_is_left_of_them);
    suite_add_tcase(suite, tests);
    return run(suite);
}
