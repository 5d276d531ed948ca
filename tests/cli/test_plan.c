/* The plan as other programs read it: every key of the contract, and figures that agree with each other and
 * with arithmetic by hand. */
#include "cli/json.h"
#include "cli/run.h"

/* Every key of the contract with its type; where parts are, null is allowed where `unknown` says so. */
static void ck_contract(const char *json)
{
    ck_document(json);
    ck_keys(json, "$",
            "shift:object answers:object totals:object jobs:array refills:array hopper:array cautions:array");
    ck_keys(json, "$.shift", "id:text starts_at:text closes_at:text");
    ck_keys(json, "$.answers",
            "ends_at:text? over_s:number? next_refill_at:text? hopper_lasts:bool alone:array");
    ck_keys(
        json, "$.totals",
        "cut_s:number? pierce_s:number? rapid_s:number? hands_on_s:number waiting_s:number elapsed_s:number? "
        "garnet_kg:number? water_l:number? energy_kwh:number? bags:integer refills:integer sheets:integer? "
        "pieces:integer");
    char at[200];
    for (int i = 0; i < json_count(json, "$.answers.alone"); i++) {
        snprintf(at, sizeof at, "$.answers.alone[%d]", i);
        ck_keys(json, at, "from:text to:text yes:bool reason:text?");
    }
    for (int i = 0; i < json_count(json, "$.refills"); i++) {
        snprintf(at, sizeof at, "$.refills[%d]", i);
        ck_keys(json, at,
                "at:text job:text stock:integer sheet:integer level_kg:number add_kg:number bags:integer");
    }
    char *points = json_part(json, "$.hopper");
    for (int i = 0, n = json_count(points, "$.part"); i < n; i++) {
        snprintf(at, sizeof at, "$.part[%d]", i);
        ck_keys(points, at, "at:text level_kg:number");
    }
    free(points);
    for (int i = 0; i < json_count(json, "$.cautions"); i++) {
        snprintf(at, sizeof at, "$.cautions[%d]", i);
        ck_keys(json, at, "code:text where:text text:text");
    }
}

static void ck_contract_of_stocks(const char *json, const char *job)
{
    char at[200], below[220];
    snprintf(at, sizeof at, "%s.stocks", job);
    for (int i = 0, n = json_count(json, at); i < n; i++) {
        snprintf(at, sizeof at, "%s.stocks[%d]", job, i);
        ck_keys(
            json, at,
            "stock:integer material:text? thickness_mm:number? head:text edge:number traverse_mm_min:number? "
            "separation_mm_min:number? pierce_s:number? sheets:integer? sheet_mass_kg:number? "
            "slat_load_kg_m2:number? index_moves:integer parts:array");
        snprintf(below, sizeof below, "%s.parts", at);
        for (int k = 0, parts = json_count(json, below); k < parts; k++) {
            snprintf(below, sizeof below, "%s.parts[%d]", at, k);
            ck_keys(json, below,
                    "part:text quantity:integer cut_length_mm:number? pierces:integer each_s:number? "
                    "cut_s:number? "
                    "pierce_s:number? rapid_s:number? garnet_kg:number? mass_kg:number?");
        }
    }
}

static void ck_contract_of_jobs(const char *json)
{
    char at[60];
    for (int i = 0, n = json_count(json, "$.jobs"); i < n; i++) {
        snprintf(at, sizeof at, "$.jobs[%d]", i);
        ck_keys(json, at, "job:text starts_at:text? ends_at:text? stocks:array");
        ck_contract_of_stocks(json, at);
    }
}

#define PARTS                                                                                                \
    "FROM json_each(?1, '$.jobs') j, json_each(j.value, '$.stocks') s, json_each(s.value, '$.parts') p"
#define STOCKS "FROM json_each(?1, '$.jobs') j, json_each(j.value, '$.stocks') s"

/* Whatever the shop: sums are totals, the elapsed time is what it is spent on, jobs follow each other. */
static void ck_sums(const char *json)
{
    static const char *const sums[] = {"cut_s", "pierce_s", "rapid_s", "garnet_kg"};
    for (int i = 0; i < 4; i++) {
        char sql[300], path[40];
        snprintf(sql, sizeof sql, "SELECT total(json_extract(p.value, '$.%s')) " PARTS, sums[i]);
        snprintf(path, sizeof path, "$.totals.%s", sums[i]);
        ck_near(json_number(json, path), json_ask(json, sql), 1e-12);
    }
    ck_assert(json_ask(json, "SELECT total(json_extract(p.value, '$.quantity')) " PARTS) ==
              json_number(json, "$.totals.pieces"));
    ck_assert(json_ask(json, "SELECT total(json_extract(s.value, '$.sheets')) " STOCKS) ==
              json_number(json, "$.totals.sheets"));
    ck_assert(json_ask(json, "SELECT total(json_extract(value, '$.bags')) FROM json_each(?1, '$.refills')") ==
              json_number(json, "$.totals.bags"));
    ck_assert(json_count(json, "$.refills") == json_number(json, "$.totals.refills"));
    double elapsed = json_number(json, "$.totals.elapsed_s");
    double spent = json_number(json, "$.totals.cut_s") + json_number(json, "$.totals.pierce_s") +
                   json_number(json, "$.totals.rapid_s") + json_number(json, "$.totals.hands_on_s") +
                   json_number(json, "$.totals.waiting_s");
    double starts = json_seconds(json, "$.shift.starts_at"), ends = json_seconds(json, "$.answers.ends_at");
    double over = ends - json_seconds(json, "$.shift.closes_at");
    ck_near(spent, elapsed, 1e-12);
    ck_assert_double_eq_tol(ends - starts, elapsed, 0.0006); /* times have milliseconds */
    ck_assert_double_eq_tol(json_number(json, "$.answers.over_s"), over > 0 ? over : 0, 0.0006);
    if (json_count(json, "$.refills") > 0)
        ck_assert_str_eq(json_text(json, "$.answers.next_refill_at"), json_text(json, "$.refills[0].at"));
    else
        ck_assert_str_eq(json_type(json, "$.answers.next_refill_at"), "null");
    bool lasts = strcmp(json_type(json, "$.answers.hopper_lasts"), "true") == 0;
    ck_assert_int_eq(lasts, json_count(json, "$.refills") == 0);
}

/* The level starts as typed, ends as the garnet says, keeps between the low line and the brim, jumps by what
 * the refills add when they are done, and time does not go back. */
static void ck_hopper(const char *json, double start, double low_line, double brim)
{
    char *points = json_part(json, "$.hopper");
    int n = json_count(points, "$.part"), refill = 0;
    double before_at = json_seconds(json, "$.shift.starts_at"), before = start, added = 0;
    for (int i = 0; i < n; i++) {
        char path[60];
        snprintf(path, sizeof path, "$.part[%d].at", i);
        double at = json_seconds(points, path);
        snprintf(path, sizeof path, "$.part[%d].level_kg", i);
        double level = json_number(points, path);
        ck_assert_msg(at >= before_at, "point %d goes back in time", i);
        ck_assert_msg(level >= low_line - 1e-6 && level <= brim + 1e-6, "point %d: %.9f kg", i, level);
        if (level > before + 1e-9) {
            snprintf(path, sizeof path, "$.refills[%d]", refill++);
            char field[90];
            snprintf(field, sizeof field, "%s.add_kg", path);
            ck_assert_double_eq_tol(level - before, json_number(json, field), 1e-9);
            added += json_number(json, field);
            snprintf(field, sizeof field, "%s.level_kg", path);
            ck_assert_double_eq_tol(before, json_number(json, field), 1e-9);
            snprintf(field, sizeof field, "%s.at", path);
            double from = json_seconds(json, field);
            snprintf(field, sizeof field, "%s.seconds", path);
            ck_assert_double_eq_tol(at, from + json_number(json, field), 0.0021);
        }
        before = level;
        before_at = at;
    }
    free(points);
    ck_assert_int_eq(refill, json_count(json, "$.refills"));
    ck_assert_double_eq_tol(before, start + added - json_number(json, "$.totals.garnet_kg"), 1e-6);
    ck_assert_double_eq_tol(before_at, json_seconds(json, "$.answers.ends_at"), 0.0011);
}

START_TEST(the_example_shop_keeps_the_contract_and_agrees_with_itself)
{
    ck_done("example", "shop.db");
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.err, "");
    ck_contract(ran.out);
    ck_contract_of_jobs(ran.out);
    ck_sums(ran.out);
    ck_hopper(ran.out, 104.3262451, 60 * 0.45359237, 600 * 0.45359237);
    ck_assert_str_eq(json_text(ran.out, "$.shift.starts_at"), "2026-12-01T06:00:00.000+00:00");
    ck_assert_str_eq(json_text(ran.out, "$.shift.closes_at"), "2026-12-01T14:30:00.000+00:00");
    ck_assert_int_eq(json_count(ran.out, "$.answers.alone"), 2);
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].from"), "2026-12-01T09:30:00.000+00:00");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[0].to"), "2026-12-01T09:45:00.000+00:00");
    /* Jobs follow each other; pieces take what their quantity takes (no stacks here). */
    for (int i = 1; i < json_count(ran.out, "$.jobs"); i++) {
        char ends[60], starts[60];
        snprintf(ends, sizeof ends, "$.jobs[%d].ends_at", i - 1);
        snprintf(starts, sizeof starts, "$.jobs[%d].starts_at", i);
        ck_assert(json_seconds(ran.out, starts) >= json_seconds(ran.out, ends));
    }
    ck_assert(json_ask(ran.out, "SELECT max(abs(json_extract(p.value, '$.each_s') * json_extract(p.value, "
                                "'$.quantity') / (json_extract(p.value, '$.cut_s') + json_extract(p.value, "
                                "'$.pierce_s') + json_extract(p.value, '$.rapid_s')) - 1)) " PARTS) < 1e-12);
    done(&ran);
}
END_TEST

START_TEST(numbers_are_si_whatever_the_shop_shows)
{
    sqlite3 *db;
    ck_done("example", "us.db");
    ck_done("example", "metric.db");
    ck_assert_int_eq(sqlite3_open("metric.db", &db), SQLITE_OK);
    ck_assert_int_eq(
        sqlite3_exec(db, "UPDATE setting SET value = 'metric' WHERE name = 'units'", NULL, NULL, NULL),
        SQLITE_OK);
    sqlite3_close(db);
    struct ran us = run("plan", "-f", "us.db", "--json", NULL),
               metric = run("plan", "-f", "metric.db", "--json", NULL);
    char *us_cautions = strstr(us.out, "\"cautions\""), *metric_cautions = strstr(metric.out, "\"cautions\"");
    ck_assert(us_cautions && metric_cautions); /* sentences are in the shop's units */
    *us_cautions = *metric_cautions = '\0';
    ck_assert_str_eq(us.out, metric.out);
    done(&us);
    done(&metric);
    us = run("plan", "-f", "us.db", NULL);
    metric = run("plan", "-f", "metric.db", NULL);
    ck_says(us.out, "Garnet lb");
    ck_says(metric.out, "Garnet kg");
    done(&us);
    done(&metric);
}
END_TEST

START_TEST(the_same_shop_gives_the_same_bytes)
{
    ck_done("example", "shop.db");
    for (int i = 0; i < 3; i++) {
        static const char *const ways[] = {"--json", "--csv", NULL};
        struct ran one = run("plan", "-f", "shop.db", ways[i], NULL),
                   two = run("plan", "-f", "shop.db", ways[i], NULL);
        ck_code(one, 0);
        ck_assert_str_eq(one.out, two.out);
        done(&one);
        done(&two);
    }
}
END_TEST

/* ---- by hand ---- */

/* A shop of round figures: 300 g/min of garnet, a typed feed of 600 mm/min and a typed pierce of 60 s; a load
 * is 5 min, a first check 3 min, a refill 3 min and half a minute a bag, the head goes up and down in 2 s. */
static void make_round_shop(void)
{
    make_shop();
    ck_done("set", "-f", "shop.db", "head:abrasive", "garnet=300");
    ck_done("set", "-f", "shop.db", "machine:main", "hopper_level=50", "hopper=60", "low_line=6", "bag=20");
    ck_done("set", "-f", "shop.db", "machine:main", "hopper_level=60", "rapid=6000");
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000", "gap=10", "margin=10", "feed=600", "pierce_seconds=60", "load=5");
}

/* A piece: cut 6000 mm / 600 mm/min = 600 s, one pierce of 60 s, rapid 0 mm and one lift of 2 s: 662 s, and
 *   300 g/min x 660 s = 3.3 kg of garnet. Sixty of them: 36,000 + 3,600 + 120 s and 198 kg.
 * A sheet: turned, floor((2000-20+10)/(200+10)) x floor((1000-20+10)/(400+10)) = 9 x 2 = 18 pieces (4 x 4 =
 * 16 the other way), so sheets of 18, 18, 18 and 6. The hopper: 60 kg take 16 pieces (52.8 kg), the 17th
 * would end at 3.9 kg, below 6: level 7.2, add 2 bags of 20 = 40 (a third does not fit) -> 47.2; 12 pieces
 * (39.6 kg) -> 7.6, + 40 = 47.6; 12 -> 8.0, + 40 = 48.0; 12 -> 8.4, + 40 = 48.4; the last 8 pieces (26.4 kg)
 * -> 22.0. Four refills of 180 + 2 x 30 = 240 s. The clock: load 300, piece 1, check 180, pieces 2 to 16: 480
 * + 16 x 662        = 11,072  refill 1 pieces 17, 18, load, 19 to 28:             11,072 + 240 + 12 x 662 +
 * 300              = 19,556  refill 2 pieces 29 to 36, load, 37 to 40:           19,556 + 240 + 12 x 662 +
 * 300              = 28,040  refill 3 pieces 41 to 52:                           28,040 + 240 + 12 x 662 =
 * 36,224  refill 4 pieces 53, 54, load, 55 to 60:             36,224 + 240 + 8 x 662 + 300               =
 * 42,060  the end 42,060 s = 36,000 + 3,600 + 120 + hands on (4 loads 1,200, check 180, refills 960 = 2,340).
 * 06:00 + 42,060 s is 17:41:00; the shift closes at 14:00, 28,800 s after its start: 13,260 s over. */
START_TEST(sixty_pieces_and_four_refills)
{
    make_round_shop();
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=60", "cut_length=6000", "length=400",
            "width=200", "rapid_length=0");
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_contract(ran.out);
    ck_contract_of_jobs(ran.out);
    ck_sums(ran.out);
    ck_hopper(ran.out, 60, 6, 60);
    static const struct {
        const char *key;
        double value;
    } totals[] = {{"cut_s", 36000},     {"pierce_s", 3600}, {"rapid_s", 120}, {"hands_on_s", 2340},
                  {"elapsed_s", 42060}, {"garnet_kg", 198}, {"bags", 8},      {"refills", 4},
                  {"sheets", 4},        {"pieces", 60}};
    for (size_t i = 0; i < sizeof totals / sizeof *totals; i++) {
        char path[60];
        snprintf(path, sizeof path, "$.totals.%s", totals[i].key);
        ck_near(json_number(ran.out, path), totals[i].value, 1e-12);
    }
    ck_assert(json_number(ran.out, "$.totals.waiting_s") == 0);
    ck_assert_str_eq(json_text(ran.out, "$.answers.ends_at"), "2026-12-01T17:41:00.000+00:00");
    ck_near(json_number(ran.out, "$.answers.over_s"), 13260, 1e-12);
    ck_assert_str_eq(json_type(ran.out, "$.answers.hopper_lasts"), "false");
    static const struct {
        int at, sheet;
        double level;
    } refills[] = {{11072, 1, 7.2}, {19556, 2, 7.6}, {28040, 3, 8.0}, {36224, 3, 8.4}};
    double start = json_seconds(ran.out, "$.shift.starts_at");
    for (int i = 0; i < 4; i++) {
        char at[40], path[60];
        snprintf(at, sizeof at, "$.refills[%d]", i);
        snprintf(path, sizeof path, "%s.at", at);
        ck_assert_double_eq_tol(json_seconds(ran.out, path) - start, refills[i].at, 0.0006);
        snprintf(path, sizeof path, "%s.sheet", at);
        ck_assert(json_number(ran.out, path) == refills[i].sheet);
        snprintf(path, sizeof path, "%s.level_kg", at);
        ck_near(json_number(ran.out, path), refills[i].level, 1e-9);
        snprintf(path, sizeof path, "%s.add_kg", at);
        ck_near(json_number(ran.out, path), 40, 1e-12);
        snprintf(path, sizeof path, "%s.bags", at);
        ck_assert(json_number(ran.out, path) == 2);
    }
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].each_s"), 662, 1e-12);
    /* Water: 39,600 s at Q = 0.7 pi/4 (0.013 in)^2 sqrt(2 x 55 ksi / 1000 kg/m3); energy: that flow times 55
     * ksi over an efficiency of 0.90. */
    long double q =
        0.7L * 3.14159265358979323846L / 4 * powl(0.0003302L, 2) * sqrtl(2 * 379211651.1242598735L / 1000);
    ck_near(json_number(ran.out, "$.totals.water_l"), 39600 * q * 1000, 1e-9L);
    ck_near(json_number(ran.out, "$.totals.energy_kwh"), 39600 / 3600.0L * 379211.6511242598735L * q / 0.90L,
            1e-9L);
    /* 6 mm of 7850 kg/m3: 2 m2 weigh 94.2 kg, 47.1 kg/m2; sixty pieces of 0.08 m2 weigh 226.08 kg. */
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].sheet_mass_kg"), 94.2, 1e-12);
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].slat_load_kg_m2"), 47.1, 1e-12);
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].mass_kg"), 226.08, 1e-12);
    done(&ran);
}
END_TEST

/* With "enough" the last refill is one bag less: 26.4 kg are left to cut from 8.4 kg, down to 6: 24 kg, 2
 * bags; no less. With bags of 30 kg each refill is one bag: from 7.2 to 37.2, 9 pieces (29.7) -> 7.5 ... 44
 * pieces after the first 16 ask for ceil(44 / 9) = 5 refills. */
START_TEST(bags_that_are_larger_ask_for_more_refills)
{
    make_round_shop();
    ck_done("set", "-f", "shop.db", "machine:main", "bag=30");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=60", "cut_length=6000", "length=400",
            "width=200", "rapid_length=0");
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_sums(ran.out);
    ck_hopper(ran.out, 60, 6, 60);
    ck_assert_int_eq(json_count(ran.out, "$.refills"), 5);
    ck_near(json_number(ran.out, "$.refills[1].level_kg"), 7.5, 1e-9);
    done(&ran);
}
END_TEST

/* 500 lines, line i (from 0) with one piece, cut length 100 + i mm, 1 + i mod 3 pierces, box 90 x 40 mm:
 *   cut lengths 500 x 100 + 0 + 1 + .. + 499 = 174,750 mm at 600 mm/min: 17,475 s
 *   pierces 500 + 166 x (0 + 1 + 2) + 0 + 1 = 999, of 60 s: 59,940 s
 *   rapid 999 x (90 + 40)/2 = 64,935 mm at 6,000 mm/min: 649.35 s, and 999 lifts of 2 s: 2,647.35 s
 *   boxes with the gap are 100 x 50: 1990 x 990 mm holds 394 by area, 19 x 19 = 361 in rows, so it takes two
 *   sheets: 2 loads of 60 s, and one first check of 180 s: 300 s
 *   garnet 300 g/min x 77,415 s = 387.075 kg: the level is 400 kg, the low line 6. */
START_TEST(five_hundred_lines_of_one_piece)
{
    struct bytes list = {0};
    make_round_shop();
    ck_done("set", "-f", "shop.db", "machine:main", "hopper=500", "hopper_level=400");
    ck_done("set", "-f", "shop.db", "J/1", "load=1");
    add_bytes(&list, "part,quantity,cut_length_mm,pierces,length_mm,width_mm\r\n", 56);
    for (int i = 0; i < 500; i++) {
        char line[80];
        add_bytes(&list, line,
                  (size_t)snprintf(line, sizeof line, "L%03d,1,%d,%d,90,40\r\n", i, 100 + i, 1 + i % 3));
    }
    const struct run_how how = {.input = list.at, .input_length = list.size};
    struct ran ran = run_how(&how, "import", "-f", "shop.db", "J/1", "-", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "500 parts added");
    done(&ran);
    ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_contract(ran.out);
    ck_sums(ran.out);
    ck_hopper(ran.out, 400, 6, 500);
    ck_near(json_number(ran.out, "$.totals.cut_s"), 17475, 1e-12);
    ck_near(json_number(ran.out, "$.totals.pierce_s"), 59940, 1e-12);
    ck_near(json_number(ran.out, "$.totals.rapid_s"), 2647.35, 1e-12);
    ck_near(json_number(ran.out, "$.totals.hands_on_s"), 300, 1e-12);
    ck_near(json_number(ran.out, "$.totals.elapsed_s"), 17475 + 59940 + 2647.35 + 300, 1e-12);
    ck_near(json_number(ran.out, "$.totals.garnet_kg"), 387.075, 1e-12);
    ck_assert(json_number(ran.out, "$.totals.sheets") == 2);
    ck_assert(json_number(ran.out, "$.totals.pieces") == 500);
    ck_assert_str_eq(json_type(ran.out, "$.answers.hopper_lasts"), "true");
    /* Line 250: 350 mm in 35 s, 2 pierces in 120 s, rapid 130 mm in 1.3 s and two lifts: 160.3 s. */
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].parts[250].part"), "L250");
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[250].each_s"), 160.3, 1e-12);
    done(&ran);
    free(list.at);
}
END_TEST

/* ---- breaks ---- */

/* Two sheets with one piece each, load 300 s, cut 600 s, no pierce, no check. */
static void make_two_sheets(const char *breaks)
{
    make_round_shop();
    ck_done("set", "-f", "shop.db", "shift:A", breaks);
    ck_done("set", "-f", "shop.db", "J/1", "first_check=0");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=2", "cut_length=6000", "length=1900",
            "width=900", "rapid_length=0", "pierces=0");
}

/* Load 0 to 300 s, over the break at 120 to 240 s in which nothing starts: it runs on. Cut 300 to 900. The
 * load of sheet 2 is asked for at 900 s, in the break from 600 to 1,200 s: it waits 300 s, loads to 1,500,
 * cuts to 2,100. */
START_TEST(a_load_runs_on_into_a_break_and_waits_for_the_end_of_one)
{
    make_two_sheets("breaks=06:02-06:04,06:10-06:20");
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_sums(ran.out);
    ck_near(json_number(ran.out, "$.totals.elapsed_s"), 2100, 1e-12);
    ck_near(json_number(ran.out, "$.totals.waiting_s"), 300, 1e-12);
    ck_near(json_number(ran.out, "$.totals.hands_on_s"), 600, 1e-12);
    ck_assert_str_eq(json_type(ran.out, "$.answers.alone[0].yes"), "true");
    ck_assert_str_eq(json_type(ran.out, "$.answers.alone[0].reason"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.answers.alone[1].yes"), "false");
    ck_assert_str_eq(json_text(ran.out, "$.answers.alone[1].reason"), "load J/1 sheet 2 at 06:15");
    ck_assert_int_eq(cautions_of(ran.out, "unattended"), 1);
    done(&ran);
    ran = run("plan", "-f", "shop.db", NULL);
    ck_says(ran.out, "06:02-06:04 yes");
    ck_says(ran.out, "06:10-06:20 no, load J/1 sheet 2 at 06:15");
    done(&ran);
}
END_TEST

/* The machine rests in breaks too: the piece of 600 s from 300 s on would not end by 600 s, so it waits for
 * 1,200; cut to 1,800, load to 2,100, cut to 2,700: 900 s of waiting. */
START_TEST(no_piece_starts_that_would_not_end_by_the_break)
{
    make_two_sheets("breaks=06:02-06:04,06:10-06:20");
    ck_done("set", "-f", "shop.db", "shift:A", "run_in_breaks=no");
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_sums(ran.out);
    ck_near(json_number(ran.out, "$.totals.elapsed_s"), 2700, 1e-12);
    ck_near(json_number(ran.out, "$.totals.waiting_s"), 900, 1e-12);
    ck_assert_str_eq(json_type(ran.out, "$.answers.alone[1].yes"), "true");
    done(&ran);
}
END_TEST

START_TEST(a_stack_counts_sheets_and_pieces_by_the_contract)
{
    make_round_shop();
    ck_done("set", "-f", "shop.db", "J/1", "stack=3");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "quantity=20", "cut_length=6000", "length=400",
            "width=200", "rapid_length=0", "pierces=0");
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_sums(ran.out);
    /* ceil(20 / 3) = 7 cuts of 600 s, on one stack of three sheets; a piece is a third of a cut. */
    ck_near(json_number(ran.out, "$.totals.cut_s"), 4200, 1e-12);
    ck_assert(json_number(ran.out, "$.totals.pieces") == 20);
    ck_assert(json_number(ran.out, "$.totals.sheets") == 3);
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].parts[0].each_s"), 200, 1e-12);
    ck_near(json_number(ran.out, "$.totals.hands_on_s"), 300 + 180, 1e-12); /* one load, one check */
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].slat_load_kg_m2"), 3 * 47.1, 1e-12);
    done(&ran);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, the_example_shop_keeps_the_contract_and_agrees_with_itself);
    tcase_add_test(tcase, numbers_are_si_whatever_the_shop_shows);
    tcase_add_test(tcase, the_same_shop_gives_the_same_bytes);
    tcase_add_test(tcase, sixty_pieces_and_four_refills);
    tcase_add_test(tcase, bags_that_are_larger_ask_for_more_refills);
    tcase_add_test(tcase, five_hundred_lines_of_one_piece);
    tcase_add_test(tcase, a_load_runs_on_into_a_break_and_waits_for_the_end_of_one);
    tcase_add_test(tcase, no_piece_starts_that_would_not_end_by_the_break);
    tcase_add_test(tcase, a_stack_counts_sheets_and_pieces_by_the_contract);
}

int main(void)
{
    return run_suite("plan", fill);
}
