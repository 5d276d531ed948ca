/* `ask`, worked out by hand. A piece here is 600 mm at 600 mm/min: one minute, without pierces and rapids;
 * the garnet head takes 1 kg in it, the water head none. Loads take 5 minutes where they are not 0. */
#include "cli/json.h"
#include "cli/run.h"

#include <math.h>

/* One answer: the exit code and a piece of the one line on standard output. */
#define ck_answer(expected, piece, ...)                                                                      \
    do {                                                                                                     \
        struct ran answer_ = run("ask", __VA_ARGS__, "-f", "shop.db", NULL);                                 \
        ck_code(answer_, expected);                                                                          \
        ck_says(answer_.out, piece);                                                                         \
        ck_assert_msg(strchr(answer_.out, '\n') == answer_.out + answer_.out_length - 1, "%s", answer_.out); \
        done(&answer_);                                                                                      \
    } while (0)

#define ck_set(...) ck_done("set", "-f", "shop.db", __VA_ARGS__)

static void add_part(const char *stock, const char *id, const char *quantity)
{
    ck_done("add", "-f", "shop.db", "part", stock, id, quantity, "cut_length=600mm", "pierces=0",
            "rapid_length=0mm");
}

static void add_job(const char *id, const char *material, const char *load)
{
    ck_done("add", "-f", "shop.db", "job", id);
    ck_done("add", "-f", "shop.db", "stock", id, material, "thickness=6mm", "feed=600mm/min", load,
            "first_check=0min");
}

/* A metric shop, shift A 06:00 to 14:00 on Tue 1 Dec 2026; hopper 100 kg, low line 10, level 70, bags of 20;
 * a refill takes 3 minutes and half a minute a bag. */
static void make_minutes(void)
{
    make_shop();
    ck_set("head:abrasive", "garnet=1000g/min");
    ck_set("machine:main", "low_line=10kg", "hopper_level=70kg", "hopper=100kg", "bag=20kg", "refill=3min",
           "refill_per_bag=0.5min", "bags_in_stock=50", "head_change=0min");
}

static void make_steel(const char *quantity)
{
    make_minutes();
    add_job("J", "material=steel, mild", "load=0min");
    add_part("J/1", "A", quantity);
}

START_TEST(a_run_that_ends_in_a_break)
{
    /* 75 pieces from 06:00: done at 07:15, in the break from 07:00 to 07:30. */
    make_minutes();
    ck_set("shift:A", "breaks=07:00-07:30");
    add_job("J", "material=foam, polyethylene", "load=0min");
    add_part("J/1", "A", "quantity=75");
    ck_answer(0, "Shift A ends at 07:15, 6:45:00 before 14:00", "ends");
    ck_answer(0, "asks for nobody from 07:00 to 07:30.", "alone", "07:00", "07:30");
    ck_answer(0, "its work is done at 07:15", "alone", "07:15", "07:30");
    ck_answer(0, "just in time for 07:15", "done-by", "07:15");
    ck_answer(1, "0:01:00 after 07:14", "done-by", "07:14", "J");
    ck_answer(0, "75 pieces of J/1/A fit before 07:15; 75 are planned", "fits", "J/1/A", "before", "07:15");
    ck_answer(1, "74 pieces of J/1/A fit before 07:14; 75 are planned", "fits", "J/1/A", "before",
              "07:14:59");
    /* With run_in_breaks=no the last 15 wait for 07:30: done at 07:45. */
    ck_set("shift:A", "run_in_breaks=no");
    ck_answer(0, "ends at 07:45", "ends");
    ck_answer(1, "60 pieces of J/1/A fit before 07:30; 75 are planned", "fits", "J/1/A", "before", "07:30");
}
END_TEST

START_TEST(a_refill_due_in_a_break)
{
    /* 70 kg to 10 kg are 60 pieces: due at 07:00, in the break, so at 07:30; floor((100 - 10) / 20) = 4 bags,
     * 80 kg, take 3 + 4/2 = 5 minutes; the last 15 of 75 pieces end at 07:50. */
    make_steel("quantity=75");
    ck_set("shift:A", "breaks=07:00-07:30");
    ck_answer(0, "The next refill is at 07:30 (asked for at 07:00), in J/1 sheet 1: 4 bags, 80.0 kg.",
              "refill");
    ck_answer(1, "does not last shift A: the first refill is at 07:30", "lasts");
    ck_answer(1, "refill of J/1 sheet 1 waits from 07:00 and starts at 07:30", "alone", "07:00", "07:30");
    ck_answer(1, "waits from 07:00", "alone", "07:10", "07:20");
    ck_answer(1, "starts at 07:30", "alone", "07:30", "08:00");
    ck_answer(0, "refill of J/1 sheet 1 goes on until 07:35", "alone", "07:31", "08:00");
    ck_answer(0, "asks for nobody from 06:00 to 07:00", "alone", "06:00", "07:00");
    ck_answer(0, "ends at 07:50", "ends");
    ck_answer(1, "60 pieces of J/1/A fit before 07:35", "fits", "J/1/A", "before", "07:35");
    ck_answer(1, "61 pieces of J/1/A fit before 07:36", "fits", "J/1/A", "before", "07:36");
    struct ran ran = run("ask", "refill", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_keys(ran.out, "$",
            "question:text yes:bool sentence:text shift:object at:text where:text job:text stock:number "
            "sheet:number bags:number add_kg:number level_kg:number seconds:number waited_s:number "
            "refills:number bags_short:number");
    ck_assert_str_eq(json_text(ran.out, "$.at"), "2026-12-01T07:30:00.000+00:00");
    ck_assert_str_eq(json_text(ran.out, "$.where"), "J/1 sheet 1");
    ck_assert_double_eq_tol(json_number(ran.out, "$.waited_s"), 1800, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.level_kg"), 10, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.add_kg"), 80, 1e-6);
    ck_assert(json_number(ran.out, "$.bags") == 4 && json_number(ran.out, "$.refills") == 1);
    done(&ran);
}
END_TEST

START_TEST(a_shift_over_midnight)
{
    /* From 22:00, load to 22:05, 300 pieces: done at 03:05 the next day, a Wednesday. */
    make_minutes();
    ck_set("shift:A", "start=22:00", "end=06:00", "breaks=02:00-02:30");
    add_job("J", "material=foam, polyethylene", "load=5min");
    add_part("J/1", "A", "quantity=300");
    ck_answer(0, "ends at Wed 03:05, 2:55:00 before Wed 06:00", "ends");
    ck_answer(0, "nobody from 23:30 to Wed 00:30.", "alone", "23:30", "00:30");
    ck_answer(0, "nobody from 23:30 to Wed 00:30.", "alone", "2026-12-01 23:30", "2026-12-02T00:30");
    ck_answer(0, "nobody from Wed 02:00 to Wed 02:30.", "alone", "2:00", "2:30");
    ck_answer(1, "load of J/1 sheet 1 starts at 22:00", "alone", "22:00", "24:00");
    ck_answer(1, "after Wed 03:00", "done-by", "03:00");
    ck_answer(0, "before Wed 04:00", "done-by", "04:00", "J");
    ck_answer(0, "Wed 03:05, 20:55:00 before Thu 00:00", "done-by", "2026-12-03 00:00");
    /* 22:05 to 01:00 is 175 minutes. */
    ck_answer(1, "175 pieces of J/1/A fit before Wed 01:00; 300 are planned.", "fits", "J/1/A", "before",
              "01:00");
    ck_refused(3, "12:00 is not in shift A, which goes from 22:00 to Wed 06:00", "ask", "alone", "12:00",
               "12:30", "-f", "shop.db");
}
END_TEST

START_TEST(nothing_to_cut)
{
    make_minutes();
    for (int i = 0; i < 2; i++) {
        ck_answer(0, "Shift A has nothing to cut.", "ends");
        ck_answer(0, "Shift A has nothing to cut.", "done-by", "06:00");
        ck_answer(1, "No refill is coming: the hopper lasts.", "refill");
        ck_answer(0, "The hopper lasts shift A: 70.0 kg at its start, 70.0 at its end, low line 10.0.",
                  "lasts");
        ck_answer(0, "nobody from 12:00 to 12:30; nothing is cut.", "alone", "12:00", "12:30");
        if (i == 1)
            break;
        add_job("J", "material=steel, mild", "load=5min"); /* and now a job of 0 pieces */
        add_part("J/1", "A", "quantity=0");
    }
    ck_answer(0, "Job J has nothing to cut.", "done-by", "06:00", "J");
    /* Load to 06:05, then a minute each. */
    ck_answer(0, "25 pieces of J/1/A fit before 06:30; 0 are planned.", "fits", "J/1/A", "before", "06:30");
    ck_done("add", "-f", "shop.db", "job", "K");
    ck_answer(0, "Job K has nothing to cut.", "done-by", "06:00", "K");
}
END_TEST

START_TEST(water_alone_needs_no_garnet)
{
    make_minutes();
    ck_set("machine:main", "hopper_level=0kg", "bags_in_stock=0");
    add_job("J", "material=foam, polyethylene", "load=5min");
    add_part("J/1", "A", "quantity=600");
    ck_answer(1, "No refill is coming: the hopper lasts.", "refill");
    ck_answer(0, "The hopper lasts shift A: 0.0 kg at its start, 0.0 at its end", "lasts");
    ck_answer(1, "ends at 16:05, 2:05:00 after 14:00", "ends");             /* 06:05 and 600 minutes */
    ck_answer(0, "nobody from 15:00 to 16:00.", "alone", "15:00", "16:00"); /* past closing, still at work */
    ck_answer(1, "475 pieces of J/1/A fit before 14:00; 600 are planned.", "fits", "J/1/A", "before",
              "14:00");
}
END_TEST

START_TEST(bags_that_run_out)
{
    /* No bag: 60 pieces take the hopper to its low line at 07:00, where the run stops in job K (J has 50).
     * K is 25, so 15 kg are missing: one bag. */
    make_steel("quantity=50");
    ck_set("machine:main", "bags_in_stock=0");
    add_job("K", "material=steel, mild", "load=0min");
    add_part("K/1", "A", "quantity=25");
    ck_answer(1, "Shift A has no end: the garnet runs out at 07:00 in K/1 sheet 1, at least 1 bag short.",
              "ends");
    ck_answer(1, "No refill is coming: the garnet runs out at 07:00", "refill");
    ck_answer(1, "does not last shift A: the garnet runs out at 07:00", "lasts");
    ck_answer(0, "Job J is done at 06:50, 0:10:00 before 07:00", "done-by", "07:00", "J");
    ck_answer(1, "Job K has no end: the garnet runs out", "done-by", "13:00", "K");
    ck_answer(1, "has no end", "done-by", "2030-01-01");
    ck_answer(1, "10 pieces of K/1/A fit before 14:00; 25 are planned.", "fits", "K/1/A", "before", "14:00");
    ck_answer(0, "nobody from 06:30 to 07:00.", "alone", "06:30", "07:00");
    ck_answer(1, "the garnet runs out at 07:00", "alone", "06:30", "07:01");
    ck_answer(1, "the garnet runs out at 07:00", "alone", "12:00", "12:30"); /* it waits for bags */
    struct ran ran = run("ask", "ends", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 1);
    ck_document(ran.out);
    ck_keys(ran.out, "$", "ends_at:null over_s:null reason:text bags_short:number yes:bool");
    ck_assert_str_eq(json_text(ran.out, "$.reason"), "out_of_garnet");
    ck_assert(json_number(ran.out, "$.bags_short") == 1);
    done(&ran);
    /* One bag: 20 more kg at 07:00, 3.5 minutes; all 75 are cut by 07:18:30. */
    ck_set("machine:main", "bags_in_stock=1");
    ck_answer(0, "ends at 07:18", "ends");
    ck_answer(0, "1 bag, 20.0 kg.", "refill");
    /* 80 pieces in all: with J's 50 there are 30 for K, whatever the time. */
    ck_answer(0, "30 pieces of K/1/A fit before 14:00; 25 are planned.", "fits", "K/1/A", "before", "14:00");
    /* 40 of K want 90 kg, there are 60 and 20: the refill comes, and the garnet runs out after 80 pieces. */
    ck_set("K/1/A", "quantity=40");
    ck_answer(
        1, "the first refill is at 07:00, in K/1 sheet 1: 1 bag, 20.0 kg, and the garnet runs out at 07:23",
        "lasts");
}
END_TEST

START_TEST(three_shifts_with_carry_over)
{
    /* A cuts 50 of its 70 kg: B starts at 20 kg, is due after 10 pieces, at 14:10, and takes 4 bags. B is 40
     * pieces, so 20 + 80 - 40 = 60 kg are left to C, whose 50 just reach the low line. */
    make_steel("quantity=50");
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-01", "start=14:00", "end=22:00");
    ck_done("add", "-f", "shop.db", "shift", "C", "date=2026-12-01", "start=22:00", "end=06:00");
    add_job("K", "material=steel, mild", "load=0min");
    ck_set("K", "shift=B");
    add_part("K/1", "A", "quantity=40");
    add_job("L", "material=steel, mild", "load=0min");
    ck_set("L", "shift=C");
    add_part("L/1", "A", "quantity=50");
    ck_answer(0, "The hopper lasts shift A: 70.0 kg at its start, 20.0 at its end", "lasts");
    ck_answer(0, "at 14:10, in K/1 sheet 1: 4 bags, 80.0 kg.", "refill", "--shift", "B");
    ck_answer(0, "The hopper lasts shift C: 60.0 kg at its start, 10.0 at its end", "lasts", "--shift",
              "shift:C");
    ck_answer(0, "Shift C ends at 22:50", "ends", "--shift", "C");
    ck_answer(0, "Job K is done at 14:45", "done-by", "15:00", "K"); /* 40 minutes and a refill of 5 */
    ck_answer(0, "40 pieces of K/1/A fit before 14:45", "fits", "K/1/A", "before", "14:45");
    ck_refused(3, "K is in shift B, not in A", "ask", "done-by", "15:00", "K", "--shift", "A", "-f",
               "shop.db");
    ck_refused(3, "no shift \"D\"", "ask", "ends", "--shift", "D", "-f", "shop.db");
    /* What is asked of one shift is not answered for another. */
    ck_refused(3, "shift B begins at 14:00: ask about its time with --shift B", "ask", "alone", "13:00",
               "15:00", "-f", "shop.db");
    ck_answer(0, "nobody from 13:00 to 14:00", "alone", "13:00", "14:00");
    /* A runs over: 500 pieces fill it to 14:20 and more, B cannot start before. */
    ck_set("J/1/A", "quantity=500");
    ck_refused(3, "the shift before B runs over until", "ask", "alone", "14:00", "14:10", "--shift", "B",
               "-f", "shop.db");
    ck_answer(1, "after 14:00", "ends");
}
END_TEST

START_TEST(a_part_that_cannot_be_timed)
{
    make_steel("quantity=10");
    ck_done("add", "-f", "shop.db", "part", "J/1", "B", "quantity=2", "pierces=0"); /* no cut length */
    add_job("K", "material=steel, mild", "load=0min");
    add_part("K/1", "A", "quantity=10");
    ck_answer(1, "Shift A has no end: J/1/B cannot be timed.", "ends");
    ck_answer(1, "J/1/B cannot be timed", "done-by", "14:00");
    ck_answer(1, "J/1/B cannot be timed", "done-by", "14:00", "J");
    ck_answer(1, "J/1/B cannot be timed", "done-by", "14:00", "K");
    ck_answer(1, "J/1/B cannot be timed", "alone", "12:00", "12:30");
    ck_answer(0, "asks for nobody from 06:00 to 06:10", "alone", "06:00", "06:10"); /* 10 pieces before it */
    ck_answer(1, "J/1/B cannot be timed", "alone", "06:05", "06:11");
    ck_answer(1, "It is not known whether the hopper lasts shift A: J/1/B cannot be timed.", "lasts");
    ck_answer(1, "Whether a refill is coming is not known: J/1/B cannot be timed.", "refill");
    ck_answer(0, "30 pieces of J/1/A fit before 06:30", "fits", "J/1/A", "before",
              "06:30"); /* it comes before */
    ck_answer(1, "is not known: J/1/B cannot be timed", "fits", "J/1/B", "before", "06:30");
    ck_answer(1, "is not known: J/1/B cannot be timed", "fits", "K/1/A", "before", "06:30");
    struct ran ran = run("ask", "fits", "K/1/A", "before", "06:30", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 1);
    ck_document(ran.out);
    ck_keys(ran.out, "$",
            "pieces:null quantity:number finished_at:null reason:text yes:bool by:text part:text");
    ck_assert_str_eq(json_text(ran.out, "$.reason"), "not_timed");
    done(&ran);
    /* What comes before it can want a refill all the same: 70 pieces take 70 of the 60 kg there are. */
    ck_set("J/1/A", "quantity=70");
    ck_answer(1, "does not last shift A: the first refill is at 07:00, in J/1 sheet 1: 4 bags, 80.0 kg.",
              "lasts");
    ck_answer(0, "The next refill is at 07:00", "refill");
}
END_TEST

START_TEST(a_closed_day)
{
    make_steel("quantity=10");
    ck_set("shift:A", "closed_days=2026-12-01");
    ck_answer(1, "Shift A has no end: nobody works on that day.", "ends");
    ck_answer(1, "Job J has no end: nobody works on that day.", "done-by", "14:00", "J");
    ck_answer(1, "No piece of J/1/A fits before 14:00: nobody works on that day", "fits", "J/1/A", "before",
              "14:00");
    ck_answer(0, "nothing is cut", "alone", "12:00", "12:30");
}
END_TEST

START_TEST(stacks_scrap_and_sheets_count_in_what_fits)
{
    /* 2 at a time: by 06:30 30 cuts are 60 pieces. 4 more for scrap: 56 are left. */
    make_minutes();
    add_job("J", "material=foam, polyethylene", "load=0min");
    add_part("J/1", "A", "quantity=8");
    ck_set("J/1", "stack=2");
    ck_answer(0, "60 pieces of J/1/A fit before 06:30; 8 are planned.", "fits", "J/1/A", "before", "06:30");
    ck_set("J/1/A", "scrap=4");
    ck_answer(0, "56 pieces of J/1/A fit before 06:30; 8 are planned, and 4 for scrap.", "fits", "J/1/A",
              "before", "06:30");
    /* One sheet of 1000 x 1000 with a margin of 0 and no gap holds 2 x 2 pieces of 450 x 450; each sheet has
     * a load of 5 minutes: 5 + 4 + 5 + 4 + 5 = 23 minutes to the third sheet, 4 pieces more to 06:27, and
     * 06:32 for the fourth load. */
    ck_set("J/1", "stack=1", "load=5min", "sheet_length=1000mm", "sheet_width=1000mm", "gap=0mm",
           "margin=0mm");
    ck_set("J/1/A", "scrap=0", "length=450mm", "width=450mm");
    ck_answer(0, "12 pieces of J/1/A fit before 06:30", "fits", "J/1/A", "before", "06:30");
    ck_answer(0, "12 pieces of J/1/A fit before 06:27", "fits", "J/1/A", "before", "06:27");
    ck_answer(0, "11 pieces of J/1/A fit before 06:26", "fits", "J/1/A", "before", "06:26");
    ck_answer(1, "0 pieces of J/1/A fit before 06:05", "fits", "J/1/A", "before", "06:05");
    ck_answer(1, "1 piece of J/1/A fits before 06:06", "fits", "J/1/A", "before", "06:06");
}
END_TEST

/* The promise behind the number: with it the plan is in time, with one more it is not. */
START_TEST(what_fits_is_what_the_plan_then_says)
{
    char quantity[40], at[40];
    ck_done("example", "shop.db");
    struct ran ran = run("ask", "fits", "2603/1/A", "before", "12:00", "-f", "shop.db", "--json", NULL);
    int pieces = (int)json_number(ran.out, "$.pieces");
    ck_assert_int_gt(pieces, 1);
    done(&ran);
    for (int more = 0; more < 2; more++) {
        snprintf(quantity, sizeof quantity, "quantity=%d", pieces + more);
        ck_set("2603/1/A", quantity);
        ran = run("ask", "fits", "2603/1/A", "before", "12:00", "-f", "shop.db", "--json", NULL);
        ck_code(ran, more);
        ck_assert_int_eq((int)json_number(ran.out, "$.pieces"), pieces);
        ck_assert_int_eq((int)json_number(ran.out, "$.quantity"), pieces + more);
        snprintf(at, sizeof at, "%s", json_text(ran.out, "$.finished_at"));
        ck_assert_msg((iso_seconds(at) > json_seconds(ran.out, "$.by")) == more, "%s", at);
        done(&ran);
    }
}
END_TEST

START_TEST(a_clock_change_is_real_time)
{
    /* Central European time goes back at 03:00 on Sun 25 Oct 2026: 22:00 to 04:00 is 7 hours, 420 pieces. */
    static const struct run_how how = {.environment = {"TZ=CET-1CEST,M3.5.0,M10.5.0/3"}};
    make_minutes();
    ck_set("shift:A", "date=2026-10-24", "start=22:00", "end=06:00");
    add_job("J", "material=foam, polyethylene", "load=0min");
    add_part("J/1", "A", "quantity=420");
    struct ran ran = run_how(&how, "ask", "fits", "J/1/A", "before", "04:00", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "420 pieces of J/1/A fit before Sun 04:00; 420 are planned.");
    done(&ran);
    ran = run_how(&how, "ask", "done-by", "03:59", "-f", "shop.db", NULL);
    ck_code(ran, 1);
    ck_says(ran.out, "done at Sun 04:00, 0:01:00 after Sun 03:59");
    done(&ran);
}
END_TEST

START_TEST(every_yes_to_alone_comes_with_its_caution)
{
    make_steel("quantity=75");
    struct ran ran = run("ask", "alone", "06:10", "06:20", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_says(ran.err, "alone means only that the plan asks for no person");
    done(&ran);
    ran = run("ask", "alone", "06:10", "07:10", "-f", "shop.db", NULL);
    ck_code(ran, 1);
    ck_assert_str_eq(ran.err, "");
    done(&ran);
    ran = run("ask", "alone", "06:10", "06:20", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_assert_str_eq(ran.err, "");
    ck_keys(ran.out, "$", "yes:bool from:text to:text event:null cautions:array shift:object");
    ck_assert_int_eq(cautions_of(ran.out, "unattended"), 1);
    ck_assert_str_eq(json_text(ran.out, "$.cautions[0].where"), "shift:A");
    done(&ran);
    ran = run("ask", "alone", "06:10", "07:10", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 1);
    ck_document(ran.out);
    ck_keys(ran.out, "$.event",
            "at:text what:text where:text seconds:number waited_s:number level_kg:number");
    ck_assert_str_eq(json_text(ran.out, "$.event.what"), "refill");
    ck_assert_int_eq(json_count(ran.out, "$.cautions"), 0);
    done(&ran);
}
END_TEST

START_TEST(chores_ask_for_somebody_by_name)
{
    make_steel("quantity=30");
    ck_done("add", "-f", "shop.db", "chore", "warm up", "when=shift_start", "time=10min");
    ck_done("add", "-f", "shop.db", "chore", "wash down", "when=sheet", "time=4min");
    ck_answer(1, "warm up of shift:A starts at 06:00", "alone", "06:00", "06:30");
    ck_answer(0, "warm up of shift:A goes on until 06:10", "alone", "06:05", "06:40");
    ck_answer(1, "wash down of J/1 sheet 1 starts at 06:40", "alone", "06:15",
              "06:41"); /* 06:10 and 30 min */
    ck_answer(0, "Job J is done at 06:44", "done-by", "07:00", "J");
}
END_TEST

START_TEST(wrong_words_are_2_and_say_how)
{
    static const struct {
        const char *words[6], *says;
    } cases[] = {
        {{"ask"}, "usage: sandglass ask ends | refill"},
        {{"ask", "when"}, "\"when\" is no question; usage: sandglass ask ends | refill"},
        {{"ask", "ends", "now"}, "usage: sandglass ask ends"},
        {{"ask", "refill", "now"}, "usage: sandglass ask refill"},
        {{"ask", "lasts", "now"}, "usage: sandglass ask lasts"},
        {{"ask", "alone"}, "usage: sandglass ask alone FROM TO"},
        {{"ask", "alone", "12:00"}, "usage: sandglass ask alone FROM TO"},
        {{"ask", "alone", "12:00", "12:30", "A"}, "usage: sandglass ask alone FROM TO"},
        {{"ask", "alone", "12:00", "25:00"}, "\"25:00\" is no time such as 12:30"},
        {{"ask", "alone", "noon", "12:30"}, "usage: sandglass ask alone FROM TO"},
        {{"ask", "done-by"}, "usage: sandglass ask done-by TIME [JOB]"},
        {{"ask", "done-by", "J"}, "\"J\" is no time"},
        {{"ask", "fits", "J/1/A", "12:00"}, "usage: sandglass ask fits JOB/STOCK/PART before TIME"},
        {{"ask", "fits", "J/1/A", "after", "12:00"}, "usage: sandglass ask fits JOB/STOCK/PART before TIME"},
        {{"ask", "fits", "J/1/A", "before", ""}, "\"\" is no time"},
        {{"ask", "ends", "--csv"}, "ask takes no option --csv"},
    };
    make_steel("quantity=10");
    static const struct run_how how = {.environment = {"SANDGLASS_FILE=shop.db"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *words[7] = {0};
        memcpy(words, cases[i].words, sizeof cases[i].words);
        struct ran ran = finish(start_words(&how, words));
        ck_code(ran, 2);
        ck_says(ran.err, cases[i].says);
        ck_assert_str_eq(ran.out, "");
        done(&ran);
    }
    ck_refused(3, "no job \"K\"", "ask", "done-by", "12:00", "K", "-f", "shop.db");
    ck_refused(3, "J/1 is a stock", "ask", "done-by", "12:00", "J/1", "-f", "shop.db");
    ck_refused(3, "J/1 is a stock", "ask", "fits", "J/1", "before", "12:00", "-f", "shop.db");
    ck_refused(3, "no part \"B\"", "ask", "fits", "J/1/B", "before", "12:00", "-f", "shop.db");
    ck_refused(3, "Wed 05:00 is not in shift A", "ask", "alone", "05:00", "06:30", "-f", "shop.db");
    ck_refused(3, "is not after", "ask", "alone", "2026-12-01 12:00", "2026-12-01 11:00", "-f", "shop.db");
    ck_refused(4, "no shop file", "ask", "ends", "-f", "none.db");
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, a_run_that_ends_in_a_break);
    tcase_add_test(tcase, a_refill_due_in_a_break);
    tcase_add_test(tcase, a_shift_over_midnight);
    tcase_add_test(tcase, nothing_to_cut);
    tcase_add_test(tcase, water_alone_needs_no_garnet);
    tcase_add_test(tcase, bags_that_run_out);
    tcase_add_test(tcase, three_shifts_with_carry_over);
    tcase_add_test(tcase, a_part_that_cannot_be_timed);
    tcase_add_test(tcase, a_closed_day);
    tcase_add_test(tcase, stacks_scrap_and_sheets_count_in_what_fits);
    tcase_add_test(tcase, what_fits_is_what_the_plan_then_says);
    tcase_add_test(tcase, a_clock_change_is_real_time);
    tcase_add_test(tcase, every_yes_to_alone_comes_with_its_caution);
    tcase_add_test(tcase, chores_ask_for_somebody_by_name);
    tcase_add_test(tcase, wrong_words_are_2_and_say_how);
}

int main(void)
{
    return run_suite("ask", fill);
}
