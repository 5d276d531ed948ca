/* What comes in wrong, odd or impossible: each gets its error, caution or event, and nothing else changes. */
#include "cli/json.h"
#include "cli/run.h"

/* shop.db: metric, job J, stock 1 of 6 mm mild steel with sheets of 2000 x 1000, part A. */
static void make_job(void)
{
    make_shop();
    ck_done("add", "-f", "shop.db", "job", "J");
    ck_done("add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=6", "sheet_length=2000",
            "sheet_width=1000");
    ck_done("add", "-f", "shop.db", "part", "J/1", "A", "cut_length=500", "length=100", "width=50");
}

static struct ran plan_json(void)
{
    struct ran ran = run("plan", "-f", "shop.db", "--json", NULL);
    ck_code(ran, 0);
    ck_document(ran.out);
    return ran;
}

/* ---- values ---- */

START_TEST(what_is_no_such_number_is_refused_with_what_would_be_right)
{
    static const struct {
        const char *target, *assignment, *piece;
    } bad[] = {
        {"J/1", "thickness=six", "a number is expected"},
        {"J/1", "thickness=1e309", "too large"},
        {"J/1", "thickness=nan", "a number is expected"},
        {"J/1", "thickness=inf", "a number is expected"},
        {"J/1", "thickness=-6", "more than 0"},
        {"J/1", "thickness=0", "more than 0"},
        {"J/1", "thickness=1,200", "1200 or 1.2"},
        {"J/1", "thickness=", "nothing typed"},
        {"J/1", "thickness= ", "nothing typed"},
        {"J/1", "thickness=6 plates", "unit of length"},
        {"J/1", "thickness=6mm thick", "thickness=6mm thick"},
        {"J/1", "thickness=6kg", "kg is a unit of mass"},
        {"J/1", "thickness=0x10", "unit of length"},
        {"J/1", "thickness=(6)", "a number is expected"},
        {"J/1", "thickness==1/0", "divided by 0"},
        {"J/1", "thickness==(2", ") is expected"},
        {"J/1", "thickness=1001", "too large"},
        {"J/1", "stack=0", "too small"},
        {"J/1", "stack=1.5", "a whole number"},
        {"J/1", "edge=0", "1 to 5"},
        {"J/1", "edge=5.01", "1 to 5"},
        {"J/1", "feed_override=5", "10 to 400"},
        {"J/1", "feed_override=401", "10 to 400"},
        {"J/1", "pierce=quick", "still, moving, low, drilled"},
        {"J/1", "turn=maybe", "no, yes"},
        {"J/1", "load=-1", "too small"},
        {"J/1", "load=1:75", "load=1:75"},
        {"J/1/A", "quantity=-1", "a whole number, 0 to 1000000"},
        {"J/1/A", "quantity=1000001", "a whole number, 0 to 1000000"},
        {"J/1/A", "quantity=2.5", "a whole number"},
        {"J/1/A", "quantity=ten", "a number is expected"},
        {"J/1/A", "quantity=1,200", "1200 or 1.2"},
        {"J/1/A", "cut_length=-1", "too small"},
        {"J/1/A", "length=0", "more than 0"},
        {"J/1/A", "pierces=x", "a number is expected"},
        {"J", "due=tomorrow", "2026-12-01"},
        {"J", "due=2026-02-30", "2026-12-01"},
        {"J", "order=0", "too small"},
        {"shift:A", "date=2026-13-01", "2026-12-01"},
        {"shift:A", "date=", "nothing typed"},
        {"shift:A", "start=25:00", "06:00"},
        {"shift:A", "start=6", "06:00"},
        {"shift:A", "breaks=9-10", "09:30-09:45"},
        {"head:abrasive", "garnet=0", "more than 0"},
        {"head:abrasive", "pressure=0", "more than 0"},
        {"head:abrasive", "discharge=1.5", "too large"},
        {"head:abrasive", "heads=0", "too small"},
        {"machine:main", "bag=-1", "too small"},
        {"machine:main", "hopper=0", "more than 0"},
        {"machine:main", "bags_in_stock=-1", "too small"},
        {"machine:main", "edge_error=1,2", "edge_error=1,2"},
        {"machine:main", "head_fitted=laser", "no head \"laser\""},
        {"material:copper", "density=0", "more than 0"},
        {"material:copper", "machinability=-5", "more than 0"},
        {"material:copper", "basis=hearsay", "estimate"},
    };
    make_job();
    struct bytes before = bytes_of("shop.db");
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct ran ran = run("set", "-f", "shop.db", bad[i].target, bad[i].assignment, NULL);
        ck_assert_msg(ran.code == 3 && ran.out_length == 0, "%s %s: exit %d, %s", bad[i].target,
                      bad[i].assignment, ran.code, ran.out);
        ck_says(ran.err, bad[i].piece);
        done(&ran);
    }
    ck_unchanged("shop.db", &before);
    ck_assert_int_eq(names_here(), 1);
}
END_TEST

START_TEST(a_material_must_be_one_of_the_library)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "material=unobtainium", "set", "-f", "shop.db", "J/1", "material=unobtainium");
    ck_refused(3, "foam, polyurethane", "set", "-f", "shop.db", "J/1", "material=foam");
    ck_refused(3, "material=", "set", "-f", "shop.db", "J/1", "material=");
    ck_unchanged("shop.db", &before);
    static const char *const ways[] = {"material=STEEL, MILD", "material=mild steel", "material=titan",
                                       "material=1.4301"};
    for (int i = 0; i < 4; i++)
        ck_quiet("set", "-f", "shop.db", "J/1", ways[i]);
    struct ran ran = plan_json();
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].material"), "stainless 304");
    done(&ran);
}
END_TEST

/* ---- sheets and loads ---- */

START_TEST(what_the_machine_cannot_hold_is_refused)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "z_travel 203.200 mm", "set", "-f", "shop.db", "J/1", "thickness=204");
    ck_refused(3, "z_travel 203.200 mm", "set", "-f", "shop.db", "J/1", "stack=34");
    ck_refused(3, "table_width of 1524.000 mm", "set", "-f", "shop.db", "J/1", "sheet_length=1600",
               "sheet_width=1530");
    ck_refused(3, "leaves nothing", "set", "-f", "shop.db", "J/1", "margin=500");
    ck_refused(3, "z_travel", "add", "-f", "shop.db", "stock", "J", "material=steel", "thickness=210");
    ck_unchanged("shop.db", &before);
    ck_done("set", "-f", "shop.db", "J/1", "thickness=203.2", "stack=1");
    ck_done("set", "-f", "shop.db", "J/1", "thickness=6", "stack=33");
    /* Turned on the table, its other side lies across. */
    ck_quiet("set", "-f", "shop.db", "J/1", "stack=1", "sheet_length=1500", "sheet_width=4000");
}
END_TEST

/* A sheet of 4,000 mm on a table of 3,048 mm; pieces of 400 x 200 lie 9 along: (4000 - 20 + 10) / 410,
 * reaching 10 + 9 x 400 + 8 x 10 + 10 = 3,700 mm: one move. Eight columns reach 3,290 mm, seven 2,880 mm. */
START_TEST(a_sheet_longer_than_the_table_is_moved_along)
{
    make_job();
    ck_done("set", "-f", "shop.db", "J/1", "sheet_length=4000", "gap=10", "margin=10", "turn=no");
    ck_done("set", "-f", "shop.db", "J/1/A", "length=400", "width=200", "quantity=36");
    struct ran ran = plan_json();
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].index_moves") == 1);
    /* Hands on: load 300 s + 60 s for each 100 lb of 4 m2 x 47.1 kg/m2, first check 180 s, one move 600 s. */
    ck_near(json_number(ran.out, "$.totals.hands_on_s"), 300 + 60 * 188.4L / 45.359237L + 180 + 600, 1e-12L);
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1/A", "quantity=28"); /* seven columns of four */
    ran = plan_json();
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].index_moves") == 0);
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1/A", "quantity=29");
    ran = plan_json();
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].index_moves") == 1);
    done(&ran);
}
END_TEST

START_TEST(more_than_the_slats_carry_is_a_caution)
{
    make_job();
    ck_done("set", "-f", "shop.db", "machine:main", "slat_load=100");
    struct ran ran = plan_json();
    ck_assert_int_eq(cautions_of(ran.out, "over_slat_load"), 0); /* 47.1 kg/m2 */
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1", "stack=3");
    ran = plan_json();
    ck_assert_int_eq(cautions_of(ran.out, "over_slat_load"), 1); /* 141.3 */
    ck_near(json_number(ran.out, "$.jobs[0].stocks[0].slat_load_kg_m2"), 141.3L, 1e-12L);
    ck_assert_str_ne(json_type(ran.out, "$.answers.ends_at"), "null");
    done(&ran);
}
END_TEST

START_TEST(fewer_sheets_on_hand_than_needed_is_a_caution)
{
    make_job();
    ck_done("set", "-f", "shop.db", "J/1", "sheets=1");
    ck_done("set", "-f", "shop.db", "J/1/A", "quantity=1000");
    struct ran ran = plan_json();
    ck_assert_int_eq(cautions_of(ran.out, "sheets_short"), 1);
    ck_assert(json_number(ran.out, "$.jobs[0].stocks[0].sheets") > 1);
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1/A", "quantity=10");
    ran = plan_json();
    ck_assert_int_eq(cautions_of(ran.out, "sheets_short"), 0);
    done(&ran);
}
END_TEST

/* ---- what cannot be timed ---- */

START_TEST(water_on_steel_has_no_speed_and_no_end)
{
    make_job();
    struct ran ran = run("set", "-f", "shop.db", "J/1", "head=water", NULL);
    ck_code(ran, 0);
    ck_says(ran.out, "ends not known");
    done(&ran);
    ran = plan_json();
    ck_assert_int_eq(cautions_of(ran.out, "water_no"), 1);
    ck_assert_int_eq(cautions_of(ran.out, "no_speed"), 1);
    static const char *const unknown[] = {"$.answers.ends_at",
                                          "$.answers.over_s",
                                          "$.totals.elapsed_s",
                                          "$.jobs[0].stocks[0].traverse_mm_min",
                                          "$.jobs[0].stocks[0].separation_mm_min",
                                          "$.jobs[0].stocks[0].pierce_s",
                                          "$.jobs[0].stocks[0].parts[0].each_s",
                                          "$.jobs[0].stocks[0].parts[0].cut_s",
                                          "$.jobs[0].stocks[0].parts[0].garnet_kg",
                                          "$.jobs[0].ends_at"};
    for (size_t i = 0; i < sizeof unknown / sizeof *unknown; i++)
        ck_assert_msg(strcmp(json_type(ran.out, unknown[i]), "null") == 0, "%s is %s", unknown[i],
                      json_type(ran.out, unknown[i]));
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].head"), "water");
    done(&ran);
    ran = run("plan", "-f", "shop.db", NULL);
    ck_says(ran.out, "Ends    not known, a part cannot be timed");
    done(&ran);
    ck_done("set", "-f", "shop.db", "J/1", "feed=20", "pierce_seconds=30"); /* a trial cut was timed */
    ran = plan_json();
    ck_assert_str_eq(json_type(ran.out, "$.answers.ends_at"), "text");
    ck_assert_str_eq(json_text(ran.out, "$.jobs[0].stocks[0].traverse_basis"), "typed");
    done(&ran);
}
END_TEST

START_TEST(a_part_without_a_box_is_cut_from_one_load)
{
    make_job();
    ck_done("set", "-f", "shop.db", "J/1/A", "length=none", "quantity=50");
    struct ran ran = plan_json();
    ck_assert_str_eq(json_type(ran.out, "$.jobs[0].stocks[0].sheets"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.totals.sheets"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.jobs[0].stocks[0].parts[0].mass_kg"), "null");
    ck_assert_int_eq(cautions_of(ran.out, "no_box"), 1);
    ck_assert_str_eq(json_type(ran.out, "$.answers.ends_at"), "text");
    /* One load (300 s + 60 s for each 100 lb of 94.2 kg) and one first check of 180 s. */
    ck_near(json_number(ran.out, "$.totals.hands_on_s"), 480 + 60 * 94.2L / 45.359237L, 1e-12L);
    done(&ran);
}
END_TEST

START_TEST(a_part_that_fits_no_sheet_is_said)
{
    make_job();
    ck_done("set", "-f", "shop.db", "J/1/A", "length=2100");
    struct ran ran = plan_json();
    ck_assert_int_eq(cautions_of(ran.out, "does_not_fit"), 1);
    ck_assert_str_eq(json_type(ran.out, "$.jobs[0].stocks[0].sheets"), "null");
    done(&ran);
}
END_TEST

START_TEST(a_part_without_a_length_leaves_the_end_open)
{
    make_job();
    ck_done("set", "-f", "shop.db", "J/1/A", "cut_length=none");
    struct ran ran = plan_json();
    ck_assert_int_eq(cautions_of(ran.out, "no_length"), 1);
    ck_assert_str_eq(json_type(ran.out, "$.answers.ends_at"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.jobs[0].stocks[0].parts[0].cut_length_mm"), "null");
    done(&ran);
}
END_TEST

/* ---- garnet ---- */

START_TEST(a_head_with_garnet_needs_some)
{
    make_job();
    struct bytes before = bytes_of("shop.db");
    ck_refused(3, "garnet=0: must be more than 0", "set", "-f", "shop.db", "head:abrasive", "garnet=0");
    ck_refused(3, "garnet feed", "set", "-f", "shop.db", "head:abrasive", "garnet=none");
    ck_refused(3, "low_line", "set", "-f", "shop.db", "machine:main", "hopper=20");
    ck_unchanged("shop.db", &before);
}
END_TEST

/* 600 g/min, a piece of 3,000 s takes 30 kg; the hopper holds 20 kg down to a low line of 2 kg. */
static void make_thirsty_piece(void)
{
    make_job();
    ck_done("set", "-f", "shop.db", "head:abrasive", "garnet=600");
    ck_done("set", "-f", "shop.db", "machine:main", "hopper_level=20", "low_line=2", "bag=6");
    ck_done("set", "-f", "shop.db", "machine:main", "hopper=20");
    ck_done("set", "-f", "shop.db", "J/1", "feed=60");
    ck_done("set", "-f", "shop.db", "J/1/A", "cut_length=3000", "pierces=0", "quantity=2");
}

/* It must stop inside the cut, where the level meets 2 kg: refill by 3 bags to 20 kg. Two pieces take 60 kg.
 */
START_TEST(a_piece_that_takes_more_than_the_hopper_stops_in_the_cut)
{
    make_thirsty_piece();
    struct ran ran = plan_json();
    ck_assert_int_ge(cautions_of(ran.out, "stops_in_cut"), 1);
    ck_near(json_number(ran.out, "$.totals.garnet_kg"), 60, 1e-12L);
    ck_assert_str_eq(json_type(ran.out, "$.answers.ends_at"), "text");
    ck_assert_str_eq(json_type(ran.out, "$.answers.hopper_lasts"), "false");
    int n = json_count(ran.out, "$.refills"), in_cut = 0;
    ck_assert_int_ge(n, 3); /* 20 - 2 = 18 at the start, and 18 a refill: (60 - 18) / 18 = 2.3 */
    for (int i = 0; i < n; i++) {
        char path[60];
        snprintf(path, sizeof path, "$.refills[%d].in_cut", i);
        bool inside = strcmp(json_type(ran.out, path), "true") == 0;
        snprintf(path, sizeof path, "$.refills[%d].level_kg", i);
        if (inside)
            ck_near(json_number(ran.out, path), 2, 1e-9L);
        in_cut += inside;
    }
    ck_assert_int_ge(in_cut, 2);
    ck_assert(
        json_ask(ran.out, "SELECT min(json_extract(value, '$.level_kg')) FROM json_each(?1, '$.hopper')") >=
        2 - 1e-9);
    done(&ran);
}
END_TEST

START_TEST(bags_that_run_out_leave_no_end)
{
    make_thirsty_piece();
    ck_done("set", "-f", "shop.db", "machine:main", "bags_in_stock=1");
    struct ran ran = plan_json();
    ck_assert_int_eq(cautions_of(ran.out, "out_of_garnet"), 1);
    ck_assert_str_eq(json_type(ran.out, "$.answers.hopper_lasts"), "false");
    ck_assert_str_eq(json_type(ran.out, "$.answers.ends_at"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.answers.over_s"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.totals.elapsed_s"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.jobs[0].ends_at"), "null");
    ck_assert(json_number(ran.out, "$.answers.bags_short") >= 1);
    done(&ran);
    ran = run("plan", "-f", "shop.db", NULL);
    ck_says(ran.out, "Ends    never, the garnet runs out");
    done(&ran);
    ck_done("set", "-f", "shop.db", "machine:main", "bags_in_stock=0", "hopper_level=0");
    ran = plan_json();
    ck_assert_int_eq(json_count(ran.out, "$.refills"), 0);
    ck_assert_str_eq(json_type(ran.out, "$.answers.next_refill_at"), "null");
    ck_assert_str_eq(json_type(ran.out, "$.answers.hopper_lasts"), "false");
    done(&ran);
}
END_TEST

static void fill(TCase *tcase)
{
    tcase_add_test(tcase, what_is_no_such_number_is_refused_with_what_would_be_right);
    tcase_add_test(tcase, a_material_must_be_one_of_the_library);
    tcase_add_test(tcase, what_the_machine_cannot_hold_is_refused);
    tcase_add_test(tcase, a_sheet_longer_than_the_table_is_moved_along);
    tcase_add_test(tcase, more_than_the_slats_carry_is_a_caution);
    tcase_add_test(tcase, fewer_sheets_on_hand_than_needed_is_a_caution);
    tcase_add_test(tcase, water_on_steel_has_no_speed_and_no_end);
    tcase_add_test(tcase, a_part_without_a_box_is_cut_from_one_load);
    tcase_add_test(tcase, a_part_that_fits_no_sheet_is_said);
    tcase_add_test(tcase, a_part_without_a_length_leaves_the_end_open);
    tcase_add_test(tcase, a_head_with_garnet_needs_some);
    tcase_add_test(tcase, a_piece_that_takes_more_than_the_hopper_stops_in_the_cut);
    tcase_add_test(tcase, bags_that_run_out_leave_no_end);
}

int main(void)
{
    return run_suite("bad input", fill);
}
