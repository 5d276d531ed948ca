/* `events`, `hopper` and `plan --all`, worked out by hand. A piece is one minute, and 1 kg under the garnet
 * head. */
#include "cli/csv.h"
#include "cli/json.h"
#include "cli/run.h"

#include <math.h>

#define ck_set(...) ck_done("set", "-f", "shop.db", __VA_ARGS__)

static void add_part(const char *stock, const char *quantity)
{
    ck_done("add", "-f", "shop.db", "part", stock, "A", quantity, "cut_length=600mm", "pierces=0",
            "rapid_length=0mm");
}

static void add_job(const char *id, const char *material, const char *load, const char *check)
{
    ck_done("add", "-f", "shop.db", "job", id);
    ck_done("add", "-f", "shop.db", "stock", id, material, "thickness=6mm", "feed=600mm/min", load, check);
}

/* Hopper 100 kg, low line 10, level 70, bags of 20; a refill takes 3 minutes and half a minute a bag. */
static void make_minutes(void)
{
    make_shop();
    ck_set("head:abrasive", "garnet=1000g/min");
    ck_set("machine:main", "low_line=10kg", "hopper_level=70kg", "hopper=100kg", "bag=20kg", "refill=3min",
           "refill_per_bag=0.5min", "bags_in_stock=50", "head_change=15min", "tube_change=10min");
}

static void add_chore(const char *name, const char *when, const char *time)
{
    ck_done("add", "-f", "shop.db", "chore", name, when, time);
}

/* Water job J: a first check after its first piece. Garnet job K: its two minutes pass the life of the tube.
 * Chores of every kind. */
static void make_busy_shift(void)
{
    make_minutes();
    ck_set("shift:A", "end=07:20");
    ck_set("head:abrasive", "tube_hours=0:59", "tube_life=1:00", "orifice_life=none");
    add_chore("warm up", "when=shift_start", "time=10min");
    add_chore("look", "when=job", "time=5min");
    add_chore("wash", "when=sheet", "time=4min");
    add_chore("tidy", "when=shift_end", "time=6min");
    add_job("J", "material=foam, polyethylene", "load=5min", "first_check=3min");
    add_part("J/1", "quantity=2");
    add_job("K", "material=steel, mild", "load=5min", "first_check=0min");
    add_part("K/1", "quantity=2");
}

/* The same, by hand: minutes after 06:00. */
static const struct {
    double at, minutes;
    const char *what, *chore, *where;
    bool after_shift;
} busy[] = {
    {0, 10, "chore", "warm up", "shift:A", false},
    {10, 5, "chore", "look", "J", false},
    {15, 15, "head change", NULL, "J/1 sheet 1", false},
    {30, 5, "load", NULL, "J/1 sheet 1", false},
    {36, 3, "first check", NULL, "J/1 sheet 1", false}, /* the first piece is cut from 35 to 36 */
    {40, 4, "chore", "wash", "J/1 sheet 1", false},     /* the second to 40 */
    {44, 5, "chore", "look", "K", false},
    {49, 15, "head change", NULL, "K/1 sheet 1", false},
    {64, 10, "tube change", NULL, "K/1 sheet 1", false},
    {74, 5, "load", NULL, "K/1 sheet 1", false},
    {81, 4, "chore", "wash", "K/1 sheet 1", true}, /* two pieces to 81; the shift closes at 80 */
    {85, 6, "chore", "tidy", "shift:A", true},
};
enum { BUSY = sizeof busy / sizeof *busy };

START_TEST(everything_that_needs_a_person_in_order)
{
    char path[60];
    make_busy_shift();
    struct ran ran = run("events", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_assert_int_eq(json_count(ran.out, "$.events"), BUSY);
    double start = json_seconds(ran.out, "$.shift.starts_at");
    for (int i = 0; i < BUSY; i++) {
        snprintf(path, sizeof path, "$.events[%d]", i);
        ck_keys(ran.out, path,
                "at:text what:text chore:text? where:text job:text? stock:number? part:text? sheet:number? "
                "seconds:number waited_s:number after_shift:bool bags:null level_kg:number add_kg:null");
        snprintf(path, sizeof path, "$.events[%d].at", i);
        ck_assert_msg(fabs(json_seconds(ran.out, path) - start - busy[i].at * 60) < 0.001, "%s is %s", path,
                      json_text(ran.out, path));
        snprintf(path, sizeof path, "$.events[%d].seconds", i);
        ck_assert_msg(fabs(json_number(ran.out, path) - busy[i].minutes * 60) < 1e-6, "%s", path);
        snprintf(path, sizeof path, "$.events[%d].what", i);
        ck_assert_str_eq(json_text(ran.out, path), busy[i].what);
        snprintf(path, sizeof path, "$.events[%d].where", i);
        ck_assert_str_eq(json_text(ran.out, path), busy[i].where);
        snprintf(path, sizeof path, "$.events[%d].chore", i);
        if (busy[i].chore)
            ck_assert_str_eq(json_text(ran.out, path), busy[i].chore);
        else
            ck_assert_str_eq(json_type(ran.out, path), "null");
        snprintf(path, sizeof path, "$.events[%d].after_shift", i);
        ck_assert_str_eq(json_type(ran.out, path), busy[i].after_shift ? "true" : "false");
    }
    ck_assert_str_eq(json_type(ran.out, "$.events[0].job"), "null"); /* the shift's, not a job's */
    ck_assert_str_eq(json_text(ran.out, "$.events[1].job"), "J");
    ck_assert_str_eq(json_type(ran.out, "$.events[1].stock"), "null");
    ck_assert_str_eq(json_text(ran.out, "$.events[9].part"), "A");
    done(&ran);
}
END_TEST

START_TEST(the_same_events_as_csv_and_as_text)
{
    make_busy_shift();
    struct csv csv;
    struct ran ran = run("events", "A", "-f", "shop.db", "--csv", NULL);
    ck_code(ran, 0);
    csv_read(ran.out, ',', &csv);
    ck_assert_int_eq(csv.rows, BUSY + 1);
    for (int i = 0; i < BUSY; i++) {
        ck_assert(csv_number(&csv, i + 1, "seconds") == busy[i].minutes * 60);
        ck_assert_str_eq(csv_at(&csv, i + 1, "what"), busy[i].what);
        ck_assert_str_eq(csv_at(&csv, i + 1, "chore"), busy[i].chore ? busy[i].chore : "");
        ck_assert_str_eq(csv_at(&csv, i + 1, "where"), busy[i].where);
        ck_assert_str_eq(csv_at(&csv, i + 1, "after_shift"), busy[i].after_shift ? "yes" : "no");
    }
    csv_free(&csv);
    done(&ran);
    ran = run("events", "shift:A", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    const char *line = strchr(ran.out, '\n');
    for (int i = 0; i < BUSY; i++) {
        char at[8], text[200];
        snprintf(at, sizeof at, "%02d:%02d", 6 + (int)busy[i].at / 60, (int)busy[i].at % 60);
        snprintf(text, sizeof text, "%.*s", (int)strcspn(line + 1, "\n"), line + 1);
        ck_assert_msg(strncmp(text, at, 5) == 0, "%s is not at %s", text, at);
        ck_says(text, busy[i].chore ? busy[i].chore : busy[i].what);
        ck_assert((strstr(text, "after shift") != NULL) == busy[i].after_shift);
        line = strchr(line + 1, '\n');
    }
    ck_assert_str_eq(line, "\n");
    done(&ran);
}
END_TEST

START_TEST(refills_wait_and_the_garnet_ends_in_the_list)
{
    /* 60 pieces to 07:00, in a break to 07:30; one bag of 20 kg is left: 3.5 minutes, 20 pieces, the end of
     * it at 07:53:30 with 20 pieces uncut. */
    make_minutes();
    ck_set("shift:A", "breaks=07:00-07:30");
    ck_set("machine:main", "bags_in_stock=1", "head_change=0min");
    add_job("J", "material=steel, mild", "load=0min", "first_check=0min");
    add_part("J/1", "quantity=100");
    struct ran ran = run("events", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_assert_int_eq(json_count(ran.out, "$.events"), 2);
    ck_assert_str_eq(json_text(ran.out, "$.events[0].what"), "refill");
    ck_assert_str_eq(json_text(ran.out, "$.events[0].at"), "2026-12-01T07:30:00.000+00:00");
    ck_assert_double_eq_tol(json_number(ran.out, "$.events[0].waited_s"), 1800, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.events[0].seconds"), 210, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.events[0].level_kg"), 10, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.events[0].add_kg"), 20, 1e-6);
    ck_assert(json_number(ran.out, "$.events[0].bags") == 1);
    ck_assert_str_eq(json_text(ran.out, "$.events[1].what"), "out of garnet");
    ck_assert_str_eq(json_text(ran.out, "$.events[1].at"), "2026-12-01T07:53:30.000+00:00");
    done(&ran);
}
END_TEST

START_TEST(index_moves_and_orifice_changes_are_listed)
{
    /* A sheet of 2000 mm on a table of 1000: pieces of 390 mm with a kerf of 1 mm or so between them end at
     * 390, 781, 1172: one move before the third of 5. 5 minutes pass the orifice's life. */
    make_minutes();
    ck_set("head:abrasive", "orifice_hours=0:59", "orifice_life=1:00", "tube_life=none");
    ck_set("machine:main", "table_length=1000mm", "index_move=10min", "orifice_change=7min");
    add_job("J", "material=steel, mild", "load=5min", "first_check=0min");
    ck_set("J/1", "sheet_length=2000mm", "sheet_width=500mm", "gap=0mm", "margin=0mm");
    add_part("J/1", "quantity=5");
    ck_set("J/1/A", "length=390mm", "width=390mm");
    struct ran ran = run("events", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_assert_int_eq(json_count(ran.out, "$.events"), 3);
    ck_assert_str_eq(json_text(ran.out, "$.events[0].what"), "orifice change");
    ck_assert_str_eq(json_text(ran.out, "$.events[1].what"), "load");
    ck_assert_str_eq(json_text(ran.out, "$.events[2].what"), "index move");
    ck_assert_str_eq(json_text(ran.out, "$.events[2].at"), "2026-12-01T06:14:00.000+00:00"); /* 7 + 5 + 2 */
    done(&ran);
}
END_TEST

START_TEST(a_shift_without_work_asks_for_nobody)
{
    make_minutes();
    struct ran ran = run("events", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    ck_assert_str_eq(ran.out, "Shift A asks for nobody.\n");
    done(&ran);
    ran = run("events", "-f", "shop.db", "--json", NULL);
    ck_document(ran.out);
    ck_assert_int_eq(json_count(ran.out, "$.events"), 0);
    done(&ran);
    ran = run("hopper", "-f", "shop.db", "--json", NULL);
    ck_document(ran.out);
    ck_assert_int_eq(json_count(ran.out, "$.hopper"), 1);
    ck_assert_double_eq_tol(json_number(ran.out, "$.hopper[0].level_kg"), 70, 1e-6);
    done(&ran);
    ck_refused(3, "no shift \"B\"", "events", "B", "-f", "shop.db");
    ck_refused(3, "no shift \"B\"", "hopper", "B", "-f", "shop.db");
    ck_refused(2, "usage: sandglass events [SHIFT]", "events", "A", "B", "-f", "shop.db");
}
END_TEST

/* ---- hopper ---- */

/* 70 kg, 75 pieces from 06:00: at 10 kg at 07:00; 4 bags in 5 minutes, 90 kg at 07:05; 15 more to 75 kg at
 * 07:20. */
static void make_refilled(void)
{
    make_minutes();
    ck_set("machine:main", "head_change=0min");
    add_job("J", "material=steel, mild", "load=0min", "first_check=0min");
    add_part("J/1", "quantity=75");
}

START_TEST(the_level_over_time)
{
    static const struct {
        const char *at;
        double kg;
    } points[] = {{"06:00", 70}, {"07:00", 10}, {"07:05", 10}, {"07:05", 90}, {"07:20", 75}};
    enum { POINTS = sizeof points / sizeof *points };
    char path[60], at[40];
    struct csv csv;
    make_refilled();
    struct ran ran = run("hopper", "-f", "shop.db", "--json", NULL),
               rows = run("hopper", "A", "-f", "shop.db", "--csv", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    csv_read(rows.out, ',', &csv);
    ck_assert_int_eq(json_count(ran.out, "$.hopper"), POINTS);
    ck_assert_int_eq(csv.rows, POINTS + 1);
    for (int i = 0; i < POINTS; i++) {
        snprintf(at, sizeof at, "2026-12-01T%s:00.000+00:00", points[i].at);
        snprintf(path, sizeof path, "$.hopper[%d].at", i);
        ck_assert_str_eq(json_text(ran.out, path), at);
        ck_assert_str_eq(csv_at(&csv, i + 1, "at"), at);
        snprintf(path, sizeof path, "$.hopper[%d].level_kg", i);
        ck_assert_double_eq_tol(json_number(ran.out, path), points[i].kg, 1e-6);
        ck_assert_double_eq_tol(csv_number(&csv, i + 1, "level_kg"), points[i].kg, 1e-6);
    }
    ck_keys(ran.out, "$",
            "shift:object capacity_kg:number low_line_kg:number start_kg:number end_kg:number "
            "used_kg:number filled_kg:number bags:number bags_short:number refills:array");
    ck_assert_double_eq_tol(json_number(ran.out, "$.capacity_kg"), 100, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.low_line_kg"), 10, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.start_kg"), 70, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.end_kg"), 75, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.used_kg"), 75, 1e-6);
    ck_assert_double_eq_tol(json_number(ran.out, "$.filled_kg"), 80, 1e-6);
    ck_assert(json_number(ran.out, "$.bags") == 4 && json_number(ran.out, "$.bags_short") == 0);
    ck_assert_int_eq(json_count(ran.out, "$.refills"), 1);
    ck_assert_str_eq(json_text(ran.out, "$.refills[0].where"), "J/1 sheet 1");
    csv_free(&csv);
    done(&ran);
    done(&rows);
    /* The points are those of the plan. */
    struct ran plan = run("plan", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(plan.out, "$.hopper"), POINTS);
    done(&plan);
}
END_TEST

/* The chart begins behind the last empty line; each line without its end. */
static int chart_of(const char *text, char lines[16][120])
{
    const char *at = strstr(text, "\n\n");
    int n = 0;
    for (const char *next = at; next; next = strstr(next + 1, "\n\n"))
        at = next;
    for (at += 2; *at; at += strcspn(at, "\n") + 1) {
        ck_assert_int_lt(n, 16);
        snprintf(lines[n++], sizeof *lines, "%.*s", (int)strcspn(at, "\n"), at);
    }
    return n;
}

START_TEST(the_chart_is_12_lines_of_80_plain_characters)
{
    char lines[16][120];
    make_refilled();
    ck_set("shift:A", "end=08:00");
    struct ran ran = run("hopper", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    for (size_t i = 0; i < ran.out_length; i++)
        ck_assert_msg(ran.out[i] == '\n' || (ran.out[i] >= ' ' && ran.out[i] <= '~'), "byte %d", ran.out[i]);
    int n = chart_of(ran.out, lines);
    ck_assert_int_eq(n, 12);
    for (int i = 0; i < n; i++)
        ck_assert_msg(strlen(lines[i]) <= 80, "%zu: %s", strlen(lines[i]), lines[i]);
    ck_says(lines[0], "100 kg |");
    ck_says(lines[9], " 10 low|");
    /* 72 columns of two hours; the refill at half of them; 06:00 under the first. */
    const char *field = strchr(lines[0], '|');
    int left = (int)(field - lines[0]) + 1;
    ck_assert_int_eq(left, 8);
    ck_assert_str_eq(strchr(lines[10], '+'),
                     "+------------------------------------R-----------------------------------");
    ck_assert_int_eq((int)(strstr(lines[11], "06:00") - lines[11]), left);
    ck_assert_int_eq((int)(strstr(lines[11], "07:00") - lines[11]), left + 36);
    /* Rows from the top are 100, 90, ... 10 kg. In the first column there are 70 kg, less 50 seconds; in the
     * middle of the first hour 40; after the refill 90 kg, then 75 to the end, which fill 8 rows. */
    static const struct {
        int column, rows;
    } heights[] = {{0, 7}, {18, 4}, {35, 1}, {39, 9}, {60, 8}, {71, 8}};
    for (size_t i = 0; i < sizeof heights / sizeof *heights; i++)
        for (int row = 0; row < 10; row++) {
            int at = left + heights[i].column;
            char shown = at < (int)strlen(lines[row]) ? lines[row][at] : ' ';
            bool filled = 10 - row <= heights[i].rows;
            ck_assert_msg(shown == (row == 9 ? filled ? '=' : '-'
                                    : filled ? '#'
                                             : ' '),
                          "column %d, row %d: %c", heights[i].column, row, shown);
        }
    done(&ran);
}
END_TEST

START_TEST(the_chart_holds_whatever_the_shift)
{
    static const char *const settings[][2] = {
        {"shift:A", "end=06:01"}, {"shift:A", "start=22:15"},       {"J/1/A", "quantity=20000"},
        {"J/1/A", "quantity=0"},  {"machine:main", "low_line=0kg"}, {"machine:main", "hopper=100000kg"},
    };
    char lines[16][120];
    make_refilled();
    ck_set("machine:main", "bags_in_stock=100000");
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++) {
        ck_set(settings[i][0], settings[i][1]);
        struct ran ran = run("hopper", "-f", "shop.db", NULL);
        ck_code(ran, 0);
        int n = chart_of(ran.out, lines);
        ck_assert_int_eq(n, 12);
        for (int k = 0; k < n; k++)
            ck_assert_msg(strlen(lines[k]) <= 80, "%zu: %s", strlen(lines[k]), lines[k]);
        done(&ran);
    }
}
END_TEST

/* ---- plan --all ---- */

/* Three shifts; the second one is over. */
static void make_three(void)
{
    make_minutes();
    ck_set("machine:main", "head_change=0min");
    ck_done("add", "-f", "shop.db", "shift", "C", "date=2026-12-01", "start=22:00", "end=06:00");
    ck_done("add", "-f", "shop.db", "shift", "B", "date=2026-12-01", "start=14:00", "end=22:00");
    static const char *const jobs[][3] = {
        {"J", "shift=A", "quantity=50"}, {"K", "shift=C", "quantity=40"}, {"L", "shift=B", "quantity=40"}};
    for (int i = 0; i < 3; i++) {
        char stock[8], part[8];
        snprintf(stock, sizeof stock, "%s/1", jobs[i][0]);
        snprintf(part, sizeof part, "%s/1/A", jobs[i][0]);
        add_job(jobs[i][0], "material=steel, mild", "load=0min", "first_check=0min");
        ck_set(jobs[i][0], jobs[i][1]);
        add_part(stock, jobs[i][2]);
        ck_set(part, "note=note");
    }
}

START_TEST(all_open_shifts_in_order_with_what_is_carried_over)
{
    make_three();
    struct ran ran = run("plan", "--all", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    ck_assert_int_eq(json_count(ran.out, "$.shifts"), 3);
    static const char *const ids[] = {"A", "B", "C"};
    /* 70 kg; A takes 50; B takes 10 to the low line, gets 4 bags, takes 30 more: 60; C takes 40. */
    static const double starts[] = {70, 20, 60};
    for (int i = 0; i < 3; i++) {
        char path[60];
        snprintf(path, sizeof path, "$.shifts[%d].shift.id", i);
        ck_assert_str_eq(json_text(ran.out, path), ids[i]);
        snprintf(path, sizeof path, "$.shifts[%d].hopper[0].level_kg", i);
        ck_assert_double_eq_tol(json_number(ran.out, path), starts[i], 1e-6);
        snprintf(path, sizeof path, "$.shifts[%d]", i);
        ck_keys(ran.out, path,
                "shift:object answers:object totals:object jobs:array refills:array hopper:array "
                "cautions:array");
        snprintf(path, sizeof path, "$.shifts[%d].format", i);
        ck_assert_str_eq(json_type(ran.out, path), "");
    }
    done(&ran);
    struct ran hopper = run("hopper", "C", "-f", "shop.db", "--json", NULL);
    ck_assert_double_eq_tol(json_number(hopper.out, "$.start_kg"), 60, 1e-6);
    done(&hopper);
    ck_set("shift:B", "closed=yes"); /* its work is in nobody's way any more */
    ran = run("plan", "--all", "-f", "shop.db", "--json", NULL);
    ck_assert_int_eq(json_count(ran.out, "$.shifts"), 2);
    ck_assert_double_eq_tol(json_number(ran.out, "$.shifts[1].hopper[0].level_kg"), 20, 1e-6);
    done(&ran);
}
END_TEST

START_TEST(all_shifts_as_csv_and_text)
{
    make_three();
    struct csv csv;
    struct ran ran = run("plan", "-f", "shop.db", "--csv", "--all", NULL);
    ck_code(ran, 0);
    csv_read(ran.out, ',', &csv);
    ck_assert_int_eq(csv.rows, 4);
    static const char *const jobs[] = {"J", "L", "K"}; /* shifts A, B, C */
    for (int i = 0; i < 3; i++)
        ck_assert_str_eq(csv_at(&csv, i + 1, "job"), jobs[i]);
    csv_free(&csv);
    done(&ran);
    ran = run("plan", "--all", "-f", "shop.db", NULL);
    ck_code(ran, 0);
    const char *a = strstr(ran.out, "SHIFT A"), *b = strstr(ran.out, "SHIFT B"),
               *c = strstr(ran.out, "SHIFT C");
    ck_assert(a == ran.out && b > a && c > b);
    done(&ran);
    ck_refused(2, "not both", "plan", "A", "--all", "-f", "shop.db");
    ck_set("shift:A", "closed=yes");
    ck_set("shift:B", "closed=yes");
    ck_set("shift:C", "closed=yes");
    ck_refused(3, "no shift is open", "plan", "--all", "-f", "shop.db");
}
END_TEST

START_TEST(output_that_cannot_be_written_is_6)
{
    static const struct run_how full = {.out = RUN_FULL};
    static const char *const calls[][5] = {{"events", "-f", "shop.db"},
                                           {"hopper", "-f", "shop.db"},
                                           {"ask", "ends", "-f", "shop.db"},
                                           {"plan", "--all", "-f", "shop.db"}};
    make_refilled();
    for (size_t i = 0; i < sizeof calls / sizeof *calls; i++) {
        const char *words[6] = {0};
        memcpy(words, calls[i], sizeof calls[i]);
        struct ran ran = finish(start_words(&full, words));
        ck_code(ran, 6);
        done(&ran);
    }
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, everything_that_needs_a_person_in_order);
    tcase_add_test(tcase, the_same_events_as_csv_and_as_text);
    tcase_add_test(tcase, refills_wait_and_the_garnet_ends_in_the_list);
    tcase_add_test(tcase, index_moves_and_orifice_changes_are_listed);
    tcase_add_test(tcase, a_shift_without_work_asks_for_nobody);
    tcase_add_test(tcase, the_level_over_time);
    tcase_add_test(tcase, the_chart_is_12_lines_of_80_plain_characters);
    tcase_add_test(tcase, the_chart_holds_whatever_the_shift);
    tcase_add_test(tcase, all_open_shifts_in_order_with_what_is_carried_over);
    tcase_add_test(tcase, all_shifts_as_csv_and_text);
    tcase_add_test(tcase, output_that_cannot_be_written_is_6);
}

int main(void)
{
    return run_suite("events", fill);
}
