/* sweep: each step is the plan with that value, what bounds it is told, and the cheapest garnet feed is that
 * of the closed form. */
#include "cli/csv.h"
#include "cli/sweeps.h"

/* ---- the check of record ---- */

/* The traverse rises as Ma^a, a = 0.343 x 1.15, so a cut of a given length takes t = k Ma^-a and costs
 * K = t (F + c Ma), F the cost of a minute of jet without garnet, c that of a gram with its disposal. dK/dMa
 * = k Ma^(-a-1) (-a F + (1-a) c Ma) = 0 where Ma = a F / ((1-a) c), that is where c Ma / (F + c Ma) = a.
 * Derived here from the exponents of the formula (sandglass-formats(5), traverse). */
static double closed_form(double garnet_per_kg)
{
    const double a = 0.343 * 1.15;
    /* sqrt(2 P / rho) at 320 MPa is 800 m/s; mL/s through 0.4 mm at Cd 0.7; P Q / 0.8 at the shaft. */
    const double flow = 0.7 * acos(-1) / 4 * 0.16 * 800;
    const double minute = 72 / 60.0 + 320 * flow / 1e3 / 0.8 * 0.15 / 60 + flow * 60 / 1e6 * 2.5 +
                          120 / (80 * 60.0) + 45 / (60 * 60.0);
    return a * minute / ((1 - a) * (garnet_per_kg + 0.1) / 1000);
}

START_TEST(the_cheapest_garnet_feed_is_that_of_the_closed_form)
{
    static const struct {
        const char *set;
        double price;
    } prices[] = {{"garnet=2", 2}, {"garnet=3", 3}, {"garnet=4.5", 4.5}, {"garnet=7", 7}};
    make_job();
    for (size_t i = 0; i < sizeof prices / sizeof *prices; i++) {
        ck_done("set", "-f", "shop.db", "rates:shop", prices[i].set);
        struct ran ran = sweep("J", "garnet=50..600:1", 0);
        int best = (int)json_number(ran.out, "$.cheapest");
        double value = json_number(ran.out, at_step(best, "value")), ideal = closed_form(prices[i].price);
        ck_assert_msg(fabs(value / ideal - 1) < 0.01, "%g g/min, closed form %g", value, ideal);
        ck_assert_int_eq(json_count(ran.out, "$.steps"), 551);
        ck_assert(best > 0 && best < 550);
        ck_assert_int_eq(json_count(ran.out, at_step(best, "bounds")), 0); /* none binds */
        ck_assert(json_number(ran.out, at_step(best, "hands_on_s")) == 0);
        ck_assert(json_number(ran.out, at_step(best, "refills")) == 0);
        /* More garnet is always quicker: that is what the formula lacks. */
        ck_assert(json_number(ran.out, "$.quickest") == 550);
        done(&ran);
    }
}
END_TEST

START_TEST(pierces_and_hands_on_time_move_it)
{
    make_job();
    ck_done("set", "-f", "shop.db", "J/1/A", "pierces=30", "pierce_seconds=20");
    struct ran ran = sweep("J", "garnet=50..600:1", 0);
    double value = json_number(ran.out, at_step((int)json_number(ran.out, "$.cheapest"), "value"));
    ck_assert_double_lt(value, 0.9 * closed_form(3)); /* so the check above can fail */
    done(&ran);
}
END_TEST

/* ---- a step is a plan ---- */

static void ck_step_is_plan(const char *json, int step)
{
    static const char *const same[][2] = {{"garnet_kg", "garnet_kg"},   {"water_l", "water_l"},
                                          {"energy_kwh", "energy_kwh"}, {"time_s", "elapsed_s"},
                                          {"hands_on_s", "hands_on_s"}, {"refills", "refills"}};
    struct ran plan = run("plan", "-f", "shop.db", "--json", NULL);
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        char path[60];
        snprintf(path, sizeof path, "$.totals.%s", same[i][1]);
        double of_plan = json_number(plan.out, path), of_step = json_number(json, at_step(step, same[i][0]));
        ck_assert_msg(fabs(of_step - of_plan) <= 1e-9 * fabs(of_plan), "%s: %.17g, plan %.17g", same[i][0],
                      of_step, of_plan);
    }
    ck_assert_str_eq(json_text(json, at_step(step, "ends_at")), json_text(plan.out, "$.answers.ends_at"));
    done(&plan);
}

START_TEST(each_step_is_the_plan_with_that_value)
{
    static const struct {
        const char *sweep, *target, *values[3];
    } all[] = {{"pressure=300..400:50", "head:abrasive", {"pressure=300", "pressure=350", "pressure=400"}},
               {"garnet=200..400:100", "head:abrasive", {"garnet=200", "garnet=300", "garnet=400"}},
               {"edge=3..5:1", "J/1", {"edge=3", "edge=4", "edge=5"}},
               {"orifice=0.3/0.9,0.33/1.0,0.36/1.1",
                "head:abrasive",
                {"orifice=0.3", "orifice=0.33", "orifice=0.36"}}};
    static const char *const tubes[] = {"tube=0.9", "tube=1.0", "tube=1.1"};
    make_job();
    ck_done("set", "-f", "shop.db", "J/1", "load=4:00");
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        struct bytes before = bytes_of("shop.db");
        struct ran ran = sweep("J", all[i].sweep, 0);
        ck_unchanged("shop.db", &before);
        ck_assert_int_eq(json_count(ran.out, "$.steps"), 3);
        for (int k = 0; k < 3; k++) {
            ck_done("set", "-f", "shop.db", all[i].target, all[i].values[k], i == 3 ? tubes[k] : NULL);
            ck_step_is_plan(ran.out, k);
        }
        done(&ran);
    }
}
END_TEST

START_TEST(cost_is_the_quote_without_what_is_put_on_it)
{
    make_job();
    ck_done("set", "-f", "shop.db", "rates:shop", "decimals=4");
    struct ran ran = sweep("J/1", "garnet=300..300:1", 0),
               quote = run("quote", "-f", "shop.db", "J", "--json", NULL);
    double cost = json_number(quote.out, "$.price") - json_number(quote.out, "$.rows.mark_up");
    ck_assert_double_lt(fabs(json_number(ran.out, "$.steps[0].cost") - cost), 0.0002);
    ck_assert(json_number(ran.out, "$.now.cost") == json_number(ran.out, "$.steps[0].cost"));
    ck_assert(json_number(ran.out, "$.stock") == 1);
    done(&ran);
    done(&quote);
}
END_TEST

/* ---- bounds ---- */

START_TEST(no_feed_past_what_was_weighed_is_offered)
{
    make_job();
    ck_done("set", "-f", "shop.db", "rates:shop", "garnet=0.1"); /* so that more is always cheaper */
    struct ran ran = sweep("J", "garnet=100..900:10", 0);
    /* 0.15 of the water, 4222 g/min, is 633. */
    ck_assert(json_number(ran.out, at_step((int)json_number(ran.out, "$.cheapest"), "value")) == 630);
    ck_assert_str_eq(json_text(ran.out, "$.rising"), "the formula would go on rising, jets do not");
    ck_assert_str_eq(json_type(ran.out, "$.weighed_g_min"), "null");
    ck_assert_str_eq(json_text(ran.out, "$.steps[80].bounds[0]"), "garnet_not_weighed");
    ck_assert_str_eq(json_type(ran.out, "$.steps[80].allowed"), "false");
    done(&ran);
    ck_done("record", "-f", "shop.db", "weigh", "abrasive", "700");
    ck_done("record", "-f", "shop.db", "weigh", "abrasive", "450");
    ck_done("copy", "head:abrasive", "head:second", "-f", "shop.db");
    ck_done("record", "-f", "shop.db", "weigh", "second", "900"); /* which proves nothing of the first */
    ran = sweep("J", "garnet=100..900:10", 0);
    ck_assert(json_number(ran.out, "$.weighed_g_min") == 700);
    ck_assert(json_number(ran.out, at_step((int)json_number(ran.out, "$.cheapest"), "value")) == 700);
    done(&ran);
    struct ran text = run("sweep", "-f", "shop.db", "J", "garnet=650..800:50", NULL);
    ck_code(text, 0);
    ck_says(text.out,
            "Mind: the formula would go on rising, jets do not: no feed above the 700 g/min that was "
            "weighed is\n  offered.\n");
    ck_says(text.out, "NOT ALLOWED: garnet feed above what was weighed");
    ck_says(text.out, "a first cut decides.\n");
    done(&text);
}
END_TEST

START_TEST(where_nothing_is_allowed_the_answer_is_no)
{
    make_job();
    ck_done("set", "-f", "shop.db", "machine:main", "pump_power=1");
    struct ran ran = sweep("J", "pressure=300..400:50", 1),
               text = run("sweep", "-f", "shop.db", "J", "head", NULL);
    ck_assert_str_eq(json_type(ran.out, "$.cheapest"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.quickest"), "null");
    for (int i = 0; i < 3; i++)
        ck_assert_str_eq(json_text(ran.out, at_step(i, "bounds[0]")), "pump_power");
    ck_code(text, 1);
    ck_says(text.out, "No step is allowed.\n");
    ck_says(text.out, "water alone does not cut it");
    ck_says_not(text.out, "Cheapest");
    ck_says_not(text.out, "nan");
    done(&ran);
    done(&text);
}
END_TEST

/* ---- what is not known ---- */

START_TEST(without_rates_there_is_no_cost_and_no_cheapest)
{
    make_job();
    ck_done("set", "-f", "shop.db", "rates:shop", "machine=none", "labour=none", "power=none", "water=none",
            "garnet=none", "disposal=none", "tube=none", "orifice=none", "setup=none", "mark_up=none");
    struct ran ran = sweep("J", "garnet=200..400:100", 0),
               text = run("sweep", "-f", "shop.db", "J", "garnet=200..400:100", NULL);
    ck_assert_str_eq(json_type(ran.out, "$.cheapest"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.steps[0].cost"), "null");
    ck_assert(json_number(ran.out, "$.quickest") == 2);
    ck_says(text.out, "No rates are set, so there is no cost: `sandglass set rates:shop --list` names them.");
    ck_says_not(text.out, "heapest");
    done(&ran);
    done(&text);
}
END_TEST

START_TEST(the_cheapest_is_told_only_where_all_that_moves_is_known)
{
    make_job();
    ck_done("set", "-f", "shop.db", "rates:shop", "setup=none");
    ck_done("set", "-f", "shop.db", "J/1", "sheet_price=none");
    struct ran ran = run("sweep", "-f", "shop.db", "J", "garnet=200..400:100", NULL);
    ck_says(ran.out, "cheapest"); /* the same set-up and sheets on every step */
    ck_says(ran.out, "sandglass set J/1 sheet_price=PRICE\n");
    ck_says(ran.out, "sandglass set rates:shop setup=PRICE\n");
    done(&ran);
    ck_done("set", "-f", "shop.db", "rates:shop", "garnet=none");
    ran = run("sweep", "-f", "shop.db", "J", "garnet=200..400:100", NULL);
    ck_says(ran.out, "and so no cheapest step is told:\n");
    ck_says(ran.out, "sandglass set rates:shop garnet=PRICE/kg\n");
    ck_says_not(ran.out, "Cheapest");
    done(&ran);
    ran = sweep("J", "garnet=200..400:100", 0);
    ck_assert_str_eq(json_type(ran.out, "$.cheapest"), "null");
    ck_assert_int_eq(json_count(ran.out, "$.lacking"), 3);
    done(&ran);
}
END_TEST

/* ---- forms ---- */

START_TEST(csv_is_a_row_a_step_with_the_numbers_of_json)
{
    static const char *const same[] = {"time_s", "jet_s",    "hands_on_s", "garnet_kg", "water_l",
                                       "tubes",  "orifices", "cost",       "refills",   "loading_ratio"};
    make_job();
    struct ran ran = run("sweep", "-f", "shop.db", "J", "garnet=200..900:100", "--csv", NULL),
               json = sweep("J", "garnet=200..900:100", 0),
               us = run("sweep", "-f", "shop.db", "J", "garnet=200..400:100g/min", "--csv", "--units", "us",
                        NULL);
    struct csv csv, of_us;
    ck_code(ran, 0);
    csv_read(ran.out, ',', &csv);
    csv_read(us.out, ',', &of_us);
    ck_assert_int_eq(csv.rows, 9);
    for (int row = 1; row < csv.rows; row++) {
        ck_near(csv_number(&csv, row, "garnet_feed_g_min"), 100 + 100 * row, 1e-12);
        for (size_t i = 0; i < sizeof same / sizeof *same; i++)
            ck_near(csv_number(&csv, row, same[i]), json_number(json.out, at_step(row - 1, same[i])), 1e-15);
        bool allowed = strcmp(json_type(json.out, at_step(row - 1, "allowed")), "true") == 0;
        ck_assert_str_eq(csv_at(&csv, row, "allowed"), allowed ? "yes" : "no");
        ck_assert_str_eq(csv_at(&csv, row, "cheapest"),
                         json_number(json.out, "$.cheapest") == row - 1 ? "yes" : "no");
    }
    ck_assert_str_eq(csv_at(&csv, 8, "bounds"), "garnet_not_weighed");
    ck_near(csv_number(&of_us, 1, "garnet_feed_lb_min") * 453.59237, 200, 1e-12);
    ck_near(csv_number(&of_us, 1, "garnet_lb") * 0.45359237, csv_number(&csv, 1, "garnet_kg"), 1e-12);
    csv_free(&csv);
    csv_free(&of_us);
    done(&ran);
    done(&json);
    done(&us);
}
END_TEST

START_TEST(a_bare_number_takes_the_unit_typed_with_the_others)
{
    static const char *const ways[] = {"pressure=40..50:5ksi", "pressure=40..50ksi:5",
                                       "pressure=40 ksi..50 ksi:5", "pressure=40ksi..50ksi:5ksi",
                                       "pressure==4*10..50 ksi:5ksi"};
    make_job();
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        struct ran ran = sweep("J", ways[i], 0);
        ck_assert_int_eq(json_count(ran.out, "$.steps"), 3);
        ck_near(json_number(ran.out, "$.steps[0].value"), 40 * 6.894757293168361, 1e-12);
        ck_near(json_number(ran.out, "$.steps[2].value"), 50 * 6.894757293168361, 1e-12);
        done(&ran);
    }
    struct ran feed = sweep("J", "garnet=0.5..0.7:0.1lb/min", 0);
    ck_near(json_number(feed.out, "$.steps[2].value"), 0.7 * 453.59237, 1e-12);
    done(&feed);
    feed = sweep("J", "garnet=0.5lb/min..0.7:0.1", 0);
    ck_near(json_number(feed.out, "$.steps[2].value"), 0.7 * 453.59237, 1e-12);
    done(&feed);
    struct ran pairs = sweep("J", "orifice=0.013/0.040in,0.014/0.045", 0);
    ck_near(json_number(pairs.out, "$.steps[1].value"), 0.014 * 25.4, 1e-12);
    ck_near(json_number(pairs.out, "$.steps[1].tube_mm"), 0.045 * 25.4, 1e-12);
    done(&pairs);
    struct ran ratio =
        run("sweep", "-f", "shop.db", "J", "orifice=1/64..1/32:1/64in", "--tube-ratio", "3", "--json", NULL);
    ck_near(json_number(ratio.out, "$.steps[0].tube_mm"), 25.4 * 3 / 64, 1e-12);
    ck_near(json_number(ratio.out, "$.steps[1].value"), 25.4 / 32, 1e-12);
    done(&ratio);
    struct ran words = sweep("J", "edge=medium..finest:1", 0);
    ck_assert(json_number(words.out, "$.steps[2].value") == 5);
    done(&words);
}
END_TEST

START_TEST(a_bare_number_is_in_the_unit_of_the_units_that_were_asked_for)
{
    make_job();
    struct ran us =
        run("sweep", "-f", "shop.db", "J", "garnet=0.5..0.7:0.1", "--units", "us", "--json", NULL);
    ck_code(us, 0);
    ck_near(json_number(us.out, "$.steps[2].value"), 0.7 * 453.59237, 1e-12);
    struct ran metric =
        run("sweep", "-f", "shop.db", "J", "garnet=0.1..0.7:0.1", "--units", "metric", "--json", NULL);
    ck_code(metric, 1); /* g/min: so little that nothing of it is recommended, but it is shown */
    ck_assert_int_eq(json_count(metric.out, "$.steps"), 7);
    ck_near(json_number(metric.out, "$.steps[6].value"), 0.7, 1e-12);
    ck_assert_str_eq(json_text(metric.out, "$.steps[6].bounds[0]"), "outside_range");
    ck_assert_str_eq(json_type(metric.out, "$.quickest"), "null");
    done(&us);
    done(&metric);
}
END_TEST

/* Whatever binary makes of them. */
START_TEST(settings_in_csv_are_those_that_were_typed)
{
    static const struct {
        const char *field, *units, *column, *unit;
        int from, to, per_unit, decimals;
    } all[] = {{"pressure=42..47.9:0.1ksi", "us", "pressure_ksi", "ksi", 420, 479, 10, 1},
               {"garnet=0.300..0.590:0.005lb/min", "us", "garnet_feed_lb_min", "lb/min", 300, 590, 1000, 3},
               {"orifice=0.0100..0.0150:0.0001in", "us", "orifice_in", "in", 100, 150, 10000, 4},
               {"pressure=300..305:0.1", "metric", "pressure_mpa", "MPa", 3000, 3050, 10, 1}};
    make_job();
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        struct ran ran =
            run("sweep", "-f", "shop.db", "J", all[i].field, "--csv", "--units", all[i].units, NULL);
        struct csv csv;
        int by = strcmp(all[i].unit, "lb/min") == 0 ? 5 : 1;
        csv_read(ran.out, ',', &csv);
        ck_assert_int_eq(csv.rows - 1, (all[i].to - all[i].from) / by + 1);
        for (int row = 1; row < csv.rows; row++) {
            char typed[40];
            snprintf(typed, sizeof typed, "%.*f", all[i].decimals,
                     (double)(all[i].from + by * (row - 1)) / all[i].per_unit);
            for (size_t end = strlen(typed); typed[end - 1] == '0' || typed[end - 1] == '.'; end--) {
                bool point = typed[end - 1] == '.';
                typed[end - 1] = '\0';
                if (point)
                    break;
            }
            ck_assert_str_eq(csv_at(&csv, row, all[i].column), typed);
        }
        csv_free(&csv);
        done(&ran);
    }
}
END_TEST

START_TEST(what_is_in_the_time_is_said)
{
    make_job();
    struct ran ran = run("sweep", "-f", "shop.db", "J", "pressure=300..380:20", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "\nTime is the machine's for this job alone, from a full hopper: cutting, loads,");
    done(&ran);
}
END_TEST

START_TEST(what_cannot_be_swept_is_refused)
{
    static const struct {
        const char *of, *field, *words;
        int code;
    } all[] = {
        {"J", "speed=1..2:1", "no sweep along \"speed\"; it is pressure, garnet, edge, orifice or head", 2},
        {"J", "garnet", "garnet needs its range: garnet=FROM..TO:STEP", 2},
        {"J", "garnet=", "type garnet=FROM..TO:STEP", 2},
        {"J", "garnet=100..200", "type garnet=FROM..TO:STEP", 2},
        {"J", "garnet=..200:1", "type garnet=FROM..TO:STEP", 2},
        {"J", "garnet=100:200", "type garnet=FROM..TO:STEP", 2},
        {"J", "head=1", "head stands alone", 2},
        {"J", "garnet=400..100:10", "runs downwards: type the lower value first, garnet=100..400:10", 3},
        {"J", "garnet=1mm..2mm:1mm", "mm is a unit of length; garnet feed is expected here, such as 1 g/min",
         3},
        {"J", "garnet=100..200:1ksi", "step \"1ksi\": ksi is a unit of pressure", 3},
        {"J", "garnet=100..200:0", "step \"0\": it must be above 0", 3},
        {"J", "garnet=100..200:-5", "step \"-5\": it must be above 0", 3},
        {"J", "garnet=x..200:5", "garnet \"x\"", 3},
        {"J", "garnet=none..200:5", "garnet \"none\": a value is expected", 3},
        {"J", "garnet=1,200..1,300:5", "type 1200 or 1.2", 3},
        {"J", "garnet=1..10001:1", "garnet \"10001\": too large", 3},
        {"J", "garnet=0.1..1000.1:0.1", "10001 steps of garnet: a sweep has 1 to 10000", 3},
        {"J", "edge=1..7:1", "edge \"7\": too large; type 1 to 5", 3},
        {"J", "orifice=0.3/", "tube \"\": a value is expected", 3},
        {"J", "orifice=0.3/0.9,", "type orifice=FROM..TO:STEP, or pairs", 2},
        {"J", "orifice=0.9/0.3", "is not wider than the orifice", 3},
        {"J", "orifice=0.3", "an abrasive head needs a tube", 3},
        {"J/1/A", "head", "a sweep is of a JOB or JOB/STOCK; J/1/A is a part", 3},
        {"K", "head", "no job \"K\"", 3},
        {"E", "head", "job E has no pieces", 3},
        {"W", "garnet=100..200:10", "job W is cut with water alone: there is no garnet to sweep", 3},
    };
    make_job();
    ck_done("add", "job", "E", "-f", "shop.db");
    ck_done("add", "job", "W", "-f", "shop.db");
    ck_done("add", "stock", "W", "-f", "shop.db", "material=foam, polyethylene", "thickness=20");
    ck_done("add", "part", "W/1", "A", "-f", "shop.db", "cut_length=100");
    struct bytes before = bytes_of("shop.db");
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        ck_refused(all[i].code, all[i].words, "sweep", "-f", "shop.db", all[i].of, all[i].field);
    ck_refused(2, "usage: sandglass sweep JOB[/STOCK]", "sweep", "-f", "shop.db", "J");
    ck_refused(2, "one of --text, --csv and --json", "sweep", "-f", "shop.db", "J", "head", "--csv",
               "--json");
    ck_refused(2, "--tube-ratio goes with orifice=FROM..TO:STEP, not with garnet", "sweep", "-f", "shop.db",
               "J", "garnet=100..200:10", "--tube-ratio", "3");
    ck_refused(2, "pairs name their tubes", "sweep", "-f", "shop.db", "J", "orifice=0.3/0.9", "--tube-ratio",
               "3");
    ck_refused(3, "--tube-ratio 1: tube over orifice is above 1", "sweep", "-f", "shop.db", "J",
               "orifice=0.3..0.4:0.1", "--tube-ratio", "1");
    ck_unchanged("shop.db", &before);
}
END_TEST

START_TEST(ten_thousand_steps_are_swept)
{
    make_job();
    struct ran ran = run("sweep", "-f", "shop.db", "J", "garnet=0.1..1000:0.1", "--csv", NULL);
    int lines = 0;
    ck_code(ran, 0);
    for (const char *c = ran.out; *c; c++)
        lines += *c == '\n';
    ck_assert_int_eq(lines, 10001);
    done(&ran);
}
END_TEST

static void fill(TCase *t)
{
    tcase_add_test(t, the_cheapest_garnet_feed_is_that_of_the_closed_form);
    tcase_add_test(t, pierces_and_hands_on_time_move_it);
    tcase_add_test(t, each_step_is_the_plan_with_that_value);
    tcase_add_test(t, cost_is_the_quote_without_what_is_put_on_it);
    tcase_add_test(t, no_feed_past_what_was_weighed_is_offered);
    tcase_add_test(t, where_nothing_is_allowed_the_answer_is_no);
    tcase_add_test(t, without_rates_there_is_no_cost_and_no_cheapest);
    tcase_add_test(t, the_cheapest_is_told_only_where_all_that_moves_is_known);
    tcase_add_test(t, csv_is_a_row_a_step_with_the_numbers_of_json);
    tcase_add_test(t, a_bare_number_takes_the_unit_typed_with_the_others);
    tcase_add_test(t, a_bare_number_is_in_the_unit_of_the_units_that_were_asked_for);
    tcase_add_test(t, settings_in_csv_are_those_that_were_typed);
    tcase_add_test(t, what_is_in_the_time_is_said);
    tcase_add_test(t, what_cannot_be_swept_is_refused);
    tcase_add_test(t, ten_thousand_steps_are_swept);
}

int main(void)
{
    return run_suite("sweep", fill);
}
